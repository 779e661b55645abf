// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The pond hour by hour: a column of layers over a column of sediment, ice on top.
//
// Each hour: diffusion, stirring, inflow, sediment and coils are solved together, implicit in the
// new temperatures; what would fall below 0 °C turns to ice; unstable layers mix. Every flux that
// moves heat is added up as it was applied, so the balance closes to rounding.
#include "loop/pond_priv.h"

#include <math.h>
#include <string.h>

enum { LAYERS_MAX = 40, SEDIMENT = 12 };
static const double HOUR_S = 3600.0;
static const double LAYER_M = 0.4;
static const double SEDIMENT_FIRST_M = 0.1;
static const double SEDIMENT_GROWTH = 1.3;
static const double SEDIMENT_W_MK = 1.3; // saturated silt and clay
static const double SEDIMENT_J_M3K = 3.2e6;
static const double WATER_W_MK = 0.565; // still, near 0 °C
static const double ICE_W_MK = 2.2;
static const double SNOW_W_MK = 0.25;
static const double DENSEST_DEGC = 3.98;
static const double LEAST_ICE_M = 0.0005;
static const double THINNEST_PIPE_M = 0.01; // the run knows no pipe
static const double GRAVITY_M_S2 = 9.80665;
static const double EVAPORATE_J_M3 = 2.48e9;
static const double WATER_ALBEDO = 0.08, ICE_ALBEDO = 0.4, SNOW_ALBEDO = 0.75;
static const double SURFACE_SHARE = 0.4; // of the sun, absorbed at the surface itself
static const double ICE_EXTINCTION_1_M = 1.5, SNOW_EXTINCTION_1_M = 12.0;

typedef struct {
    const gw_pond_run *run;
    size_t layers;
    size_t coil;    // layer of the coils
    double thick_m; // of a layer
    double capacity_j_k[LAYERS_MAX];
    double face_m2[LAYERS_MAX + 1]; // horizontal area at the top of layer i, and of the bottom
    double sun_m2[LAYERS_MAX];      // that layer i and its floor absorb per W/m² that enters
    double floor_m2[LAYERS_MAX];    // sediment that layer i lies on
    double water_degc[LAYERS_MAX];  // state
    double sediment_degc[SEDIMENT]; // state
    double ice_m;                   // state
    gw_pond_balance balance;
} column;

// One hour's linear system and what is needed to read the fluxes back.
typedef struct {
    double low[LAYERS_MAX], middle[LAYERS_MAX], high[LAYERS_MAX], right[LAYERS_MAX];
    double floor_w_k[LAYERS_MAX];
    double top_degc; // old surface temperature, about which the surface is made linear
    gw_pond_surface surface;
    double sun_w_m2; // absorbed by water or ice
    double top_w_k;  // from the top layer to the ice
    double flow_w_k; // of the inflow
    size_t entry;    // layer the inflow joins
} hour_system;

// ---------------------------------------------------------------- set-up

// Area at a depth: A = A₀ (1 − z/D)^γ with γ = D/mean − 1.
static double area_m2(const gw_pond_plan *p, double depth_m)
{
    const double mean_m = p->mean_depth_m > 0.0 ? p->mean_depth_m : 0.5 * p->depth_m;
    const double left = fmax(1.0 - depth_m / p->depth_m, 0.0);
    const double power = p->depth_m / mean_m - 1.0;
    return power > 1e-9 ? p->area_m2 * pow(left, power) : p->area_m2;
}

// Volume below a depth, its integral.
static double below_m3(const gw_pond_plan *p, double depth_m)
{
    const double mean_m = p->mean_depth_m > 0.0 ? p->mean_depth_m : 0.5 * p->depth_m;
    const double left = fmax(1.0 - depth_m / p->depth_m, 0.0);
    return p->area_m2 * mean_m * pow(left, p->depth_m / mean_m);
}

static void start(column *c, const gw_pond_run *run)
{
    const gw_pond_plan *const p = run->pond;
    *c = (column){.run = run};
    const size_t wanted = (size_t)ceil(p->depth_m / LAYER_M);
    c->layers = wanted < 5 ? 5 : wanted > LAYERS_MAX ? LAYERS_MAX : wanted;
    c->thick_m = p->depth_m / (double)c->layers;
    const size_t coil = (size_t)(gw_pond_coil_depth_m(p) / c->thick_m);
    c->coil = coil < c->layers ? coil : c->layers - 1;
    for (size_t i = 0; i <= c->layers; i++) {
        c->face_m2[i] = area_m2(p, c->thick_m * (double)i);
    }
    for (size_t i = 0; i < c->layers; i++) {
        const double top_m = c->thick_m * (double)i;
        const double volume_m3 = below_m3(p, top_m) - below_m3(p, top_m + c->thick_m);
        c->capacity_j_k[i] = GW_POND_HEAT_J_M3K * volume_m3;
        const double below_m2 = i + 1 < c->layers ? c->face_m2[i + 1] : 0.0;
        c->floor_m2[i] = c->face_m2[i] - below_m2;
        const double fade = 1.7 / p->clearness_m; // Poole & Atkins 1929, 1/m
        c->sun_m2[i] =
            c->face_m2[i] * exp(-fade * top_m) - below_m2 * exp(-fade * (top_m + c->thick_m));
        c->water_degc[i] = 4.0;
    }
    for (size_t j = 0; j < SEDIMENT; j++) {
        c->sediment_degc[j] = run->ground_degc;
    }
}

static double stored_j(const column *c)
{
    double sum = -c->ice_m * GW_POND_LATENT_J_M3 * c->run->pond->area_m2;
    for (size_t i = 0; i < c->layers; i++) {
        sum += c->capacity_j_k[i] * c->water_degc[i];
    }
    return sum;
}

// ---------------------------------------------------------------- ice

static double snow_m(const column *c)
{
    return fmin(c->run->pond->snow_m, c->ice_m); // thin ice carries little
}

// Temperature of the surface of snow or ice: what arrives there goes down through the slab.
static double slab_degc(const column *c, const gw_pond_air *air, double sun_w_m2)
{
    const double resistance = c->ice_m / ICE_W_MK + snow_m(c) / SNOW_W_MK;
    double degc = fmin(air->air_degc, 0.0);
    for (int i = 0; i < 6; i++) {
        const gw_pond_surface s = gw_pond_priv_surface(air, degc, true);
        const double net =
            sun_w_m2 + s.longwave_w_m2 + s.evaporation_w_m2 + s.convection_w_m2 - degc / resistance;
        const double slope =
            s.d_longwave_w_m2k + s.d_evaporation_w_m2k + s.d_convection_w_m2k - 1.0 / resistance;
        degc -= net / slope;
    }
    return fmin(degc, 0.0);
}

// ---------------------------------------------------------------- one hour

static double stability_s2(const column *c, size_t below)
{
    const double upper = gw_pond_water_density(c->run->water, c->water_degc[below - 1]);
    const double lower = gw_pond_water_density(c->run->water, c->water_degc[below]);
    return GRAVITY_M_S2 / lower * (lower - upper) / c->thick_m;
}

static void set_column(const column *c, const gw_pond_air *air, hour_system *s)
{
    const gw_pond_stirring stirring =
        gw_pond_priv_stirring(air->wind_m_s, c->run->weather->latitude_deg, c->ice_m > 0.0);
    const double floor_w_m2k = SEDIMENT_W_MK / (0.5 * SEDIMENT_FIRST_M);
    for (size_t i = 0; i < c->layers; i++) {
        const double inertia_w_k = c->capacity_j_k[i] / HOUR_S;
        s->floor_w_k[i] = floor_w_m2k * c->floor_m2[i];
        s->middle[i] = inertia_w_k + s->floor_w_k[i];
        s->right[i] = inertia_w_k * c->water_degc[i] + s->floor_w_k[i] * c->sediment_degc[0];
        s->low[i] = s->high[i] = 0.0;
    }
    for (size_t i = 1; i < c->layers; i++) {
        const gw_pond_place at = {c->thick_m * (double)i, stability_s2(c, i)};
        const double g_w_k = GW_POND_HEAT_J_M3K * c->face_m2[i] / c->thick_m *
                             gw_pond_priv_diffusivity_m2_s(&stirring, at);
        s->middle[i] += g_w_k;
        s->middle[i - 1] += g_w_k;
        s->low[i] -= g_w_k;
        s->high[i - 1] -= g_w_k;
    }
}

// Sun by Beer's law below the surface; what reaches a floor stays in its layer.
static void add_sun(const column *c, double entering_w_m2, hour_system *s)
{
    for (size_t i = 0; i < c->layers && entering_w_m2 > 0.0; i++) {
        s->right[i] += entering_w_m2 * c->sun_m2[i];
    }
}

static void add_surface(const column *c, const gw_pond_air *air, hour_system *s)
{
    const double area = c->face_m2[0];
    if (c->ice_m > 0.0) {
        const double snow = snow_m(c);
        const double albedo = snow > 0.02 ? SNOW_ALBEDO : ICE_ALBEDO;
        const double through = exp(-ICE_EXTINCTION_1_M * c->ice_m - SNOW_EXTINCTION_1_M * snow);
        s->sun_w_m2 = (1.0 - albedo) * air->sun_w_m2;
        s->top_degc = slab_degc(c, air, s->sun_w_m2 * (1.0 - through));
        s->surface = gw_pond_priv_surface(air, s->top_degc, true);
        s->top_w_k = area * WATER_W_MK / (0.5 * c->thick_m);
        s->middle[0] += s->top_w_k; // ice at 0 °C
        add_sun(c, s->sun_w_m2 * through, s);
        return;
    }
    s->sun_w_m2 = (1.0 - WATER_ALBEDO) * air->sun_w_m2;
    s->top_degc = c->water_degc[0];
    s->surface = gw_pond_priv_surface(air, s->top_degc, false);
    const gw_pond_surface *const f = &s->surface;
    const double slope = f->d_longwave_w_m2k + f->d_evaporation_w_m2k + f->d_convection_w_m2k;
    const double flux = f->longwave_w_m2 + f->evaporation_w_m2 + f->convection_w_m2;
    s->middle[0] -= area * slope;
    s->right[0] += area * (flux - slope * s->top_degc + SURFACE_SHARE * s->sun_w_m2);
    add_sun(c, (1.0 - SURFACE_SHARE) * s->sun_w_m2, s);
}

// Inflow joins the layer nearest to its density, counted from the bottom, and pushes the water
// above it up and out at the surface.
static void add_inflow(const column *c, hour_system *s)
{
    const gw_pond_plan *const p = c->run->pond;
    s->flow_w_k = GW_POND_HEAT_J_M3K * p->inflow_m3_s;
    const double inflow_kg_m3 = gw_pond_water_density(c->run->water, p->inflow_degc);
    double least = (double)INFINITY;
    for (size_t i = c->layers; i-- > 0;) {
        const double gap =
            fabs(gw_pond_water_density(c->run->water, c->water_degc[i]) - inflow_kg_m3);
        if (gap < least) {
            least = gap;
            s->entry = i;
        }
    }
    for (size_t i = 0; i <= s->entry; i++) {
        s->middle[i] += s->flow_w_k;
        if (i < s->entry) {
            s->high[i] -= s->flow_w_k;
        }
    }
    s->right[s->entry] += s->flow_w_k * p->inflow_degc;
}

static void solve(column *c, hour_system *s)
{
    const size_t n = c->layers;
    for (size_t i = 1; i < n; i++) { // Thomas
        const double m = s->low[i] / s->middle[i - 1];
        s->middle[i] -= m * s->high[i - 1];
        s->right[i] -= m * s->right[i - 1];
    }
    c->water_degc[n - 1] = s->right[n - 1] / s->middle[n - 1];
    for (size_t i = n - 1; i-- > 0;) {
        c->water_degc[i] = (s->right[i] - s->high[i] * c->water_degc[i + 1]) / s->middle[i];
    }
}

// Heat that the surface took in the hour, J, added to the balance.
static double book_surface(column *c, const hour_system *s)
{
    const gw_pond_surface *const f = &s->surface;
    const double moved_k = c->ice_m > 0.0 ? 0.0 : c->water_degc[0] - s->top_degc;
    const double scale = c->face_m2[0] * HOUR_S;
    const double longwave_j = scale * (f->longwave_w_m2 + f->d_longwave_w_m2k * moved_k);
    const double evaporation_j = scale * (f->evaporation_w_m2 + f->d_evaporation_w_m2k * moved_k);
    const double convection_j = scale * (f->convection_w_m2 + f->d_convection_w_m2k * moved_k);
    c->balance.sun_j += scale * s->sun_w_m2;
    c->balance.longwave_j += longwave_j;
    c->balance.evaporation_j += evaporation_j;
    c->balance.convection_j += convection_j;
    return longwave_j + evaporation_j + convection_j;
}

static void grow_ice(column *c, const hour_system *s, const gw_pond_air *air, double surface_j)
{
    const double latent_j_m = GW_POND_LATENT_J_M3 * c->face_m2[0];
    double arriving_j = 0.0;
    if (c->ice_m > 0.0) {
        const double albedo = snow_m(c) > 0.02 ? SNOW_ALBEDO : ICE_ALBEDO;
        const double through =
            exp(-ICE_EXTINCTION_1_M * c->ice_m - SNOW_EXTINCTION_1_M * snow_m(c));
        arriving_j = surface_j +
                     HOUR_S * c->face_m2[0] * (1.0 - albedo) * air->sun_w_m2 * (1.0 - through) +
                     HOUR_S * s->top_w_k * c->water_degc[0];
    }
    double ice_m = c->ice_m - arriving_j / latent_j_m;
    for (size_t i = 0; i < c->layers; i++) {
        if (c->water_degc[i] < 0.0) { // ice crystals rise to the cover
            ice_m -= c->capacity_j_k[i] * c->water_degc[i] / latent_j_m;
            c->water_degc[i] = 0.0;
        }
    }
    if (ice_m < LEAST_ICE_M) { // rests of ice melt into the top layer, or it was melted through
        c->water_degc[0] -= ice_m * latent_j_m / c->capacity_j_k[0];
        ice_m = 0.0;
    }
    c->ice_m = ice_m;
}

static void warm_sediment(column *c, const hour_system *s)
{
    double into_w = 0.0, area = 0.0;
    for (size_t i = 0; i < c->layers; i++) {
        into_w += s->floor_w_k[i] * (c->water_degc[i] - c->sediment_degc[0]);
        area += c->floor_m2[i];
    }
    c->balance.sediment_j -= HOUR_S * into_w;
    double low[SEDIMENT] = {0}, middle[SEDIMENT], high[SEDIMENT] = {0}, right[SEDIMENT];
    double thick_m = SEDIMENT_FIRST_M;
    for (size_t j = 0; j < SEDIMENT; j++) {
        const double inertia = SEDIMENT_J_M3K * thick_m / HOUR_S;
        middle[j] = inertia + (j > 0 ? -low[j] : 0.0);
        right[j] = inertia * c->sediment_degc[j] + (j == 0 ? into_w / area : 0.0);
        const double next_m = thick_m * SEDIMENT_GROWTH;
        const bool last = j + 1 == SEDIMENT;
        const double g = SEDIMENT_W_MK / (0.5 * (thick_m + (last ? 0.0 : next_m)));
        middle[j] += g;
        if (last) {
            right[j] += g * c->run->ground_degc;
        } else {
            high[j] = -g;
            low[j + 1] = -g;
        }
        thick_m = next_m;
    }
    for (size_t j = 1; j < SEDIMENT; j++) {
        const double m = low[j] / middle[j - 1];
        middle[j] -= m * high[j - 1];
        right[j] -= m * right[j - 1];
    }
    for (size_t j = SEDIMENT; j-- > 0;) {
        const double below = j + 1 < SEDIMENT ? high[j] * c->sediment_degc[j + 1] : 0.0;
        c->sediment_degc[j] = (right[j] - below) / middle[j];
    }
}

// Layers denser than the next one mix with it, and the mixed ones with theirs, until none is.
static void overturn(column *c)
{
    double heat[LAYERS_MAX], size[LAYERS_MAX];
    size_t first[LAYERS_MAX], groups = 0;
    for (size_t i = 0; i < c->layers; i++) {
        heat[groups] = c->capacity_j_k[i] * c->water_degc[i];
        size[groups] = c->capacity_j_k[i];
        first[groups++] = i;
        while (groups > 1) {
            const double above = heat[groups - 2] / size[groups - 2];
            const double below = heat[groups - 1] / size[groups - 1];
            if (gw_pond_water_density(c->run->water, above) <=
                gw_pond_water_density(c->run->water, below)) {
                break;
            }
            heat[groups - 2] += heat[groups - 1];
            size[groups - 2] += size[groups - 1];
            groups--;
        }
    }
    for (size_t g = 0; g < groups; g++) {
        const size_t end = g + 1 < groups ? first[g + 1] : c->layers;
        if (end - first[g] > 1) {
            for (size_t i = first[g]; i < end; i++) {
                c->water_degc[i] = heat[g] / size[g];
            }
        }
    }
}

// Water warmer than the densest under ice rises to it (or has nothing lighter above it but the thin
// cold film) and melts it: from the top down, as far as it is that warm.
static void melt_from_below(column *c)
{
    const double latent_j_m = GW_POND_LATENT_J_M3 * c->face_m2[0];
    for (size_t i = 0; i < c->layers && c->ice_m > 0.0 && c->water_degc[i] > DENSEST_DEGC; i++) {
        const double spare_j = c->capacity_j_k[i] * (c->water_degc[i] - DENSEST_DEGC);
        const double used_j = fmin(spare_j, c->ice_m * latent_j_m);
        c->water_degc[i] -= used_j / c->capacity_j_k[i];
        c->ice_m = used_j < spare_j ? 0.0 : c->ice_m - used_j / latent_j_m;
    }
}

static void advance(column *c, const gw_pond_air *air, double coils_w)
{
    hour_system s = {0};
    set_column(c, air, &s);
    add_surface(c, air, &s);
    add_inflow(c, &s);
    s.right[c->coil] -= coils_w;
    solve(c, &s);
    const double surface_j = book_surface(c, &s);
    c->balance.coils_j -= HOUR_S * coils_w;
    c->balance.inflow_j += HOUR_S * s.flow_w_k * (c->run->pond->inflow_degc - c->water_degc[0]);
    warm_sediment(c, &s);
    grow_ice(c, &s, air, surface_j);
    overturn(c);
    melt_from_below(c);
}

// ---------------------------------------------------------------- the years

static gw_status check_run(const gw_pond_run *run, gw_err *err)
{
    if (!(run->ground_degc >= -5.0 && run->ground_degc <= 30.0)) {
        return gw_fail(err, GW_ERR_RANGE, "ground_degc",
                       "found ground at %g °C about the pond, expected -5 to 30 °C",
                       run->ground_degc);
    }
    if (run->years < 2 || run->years > 20) {
        return gw_fail(err, GW_ERR_RANGE, "years",
                       "found %zu years, expected 2 to 20 (the first ones only settle)",
                       run->years);
    }
    for (size_t h = 0; run->heat_w != NULL && h < GW_HOURS_PER_YEAR; h++) {
        if (!(fabs(run->heat_w[h]) <= 1e7)) {
            return gw_fail(err, GW_ERR_RANGE, "heat_w", "found %g W from the pond in hour %zu",
                           run->heat_w[h], h);
        }
    }
    const gw_status st = gw_weather_check(run->weather, err);
    return st != GW_OK ? st : gw_pond_check(run->pond, THINNEST_PIPE_M, err);
}

static void note_hour(const column *c, size_t hour, double before_degc, gw_pond_year *out)
{
    // The mean over the hour: what it was before and after, in equal parts.
    const double coil_degc = 0.5 * (before_degc + c->water_degc[c->coil]);
    out->coil_degc[hour] = coil_degc;
    out->surface_degc[hour] = c->water_degc[0];
    out->ice_m[hour] = c->ice_m;
    if (hour == 0 || coil_degc < out->coldest_degc) {
        out->coldest_degc = coil_degc;
        out->coldest_hour = hour;
    }
    out->warmest_degc = hour == 0 ? coil_degc : fmax(out->warmest_degc, coil_degc);
    out->thickest_ice_m = fmax(out->thickest_ice_m, c->ice_m);
    out->ice_hours += c->ice_m > 0.0;
}

static gw_status one_year(column *c, const gw_pond_air *airs, bool last, gw_pond_year *out,
                          gw_err *err)
{
    const double *const heat_w = c->run->heat_w;
    const double coil_m = gw_pond_coil_depth_m(c->run->pond);
    c->balance = (gw_pond_balance){0};
    const double before_j = stored_j(c);
    for (size_t h = 0; h < GW_HOURS_PER_YEAR; h++) {
        const double before_degc = c->water_degc[c->coil];
        advance(c, &airs[h], heat_w != NULL ? heat_w[h] : 0.0);
        if (!(c->ice_m < coil_m)) {
            return gw_fail(err, GW_ERR_CAPACITY, "pond",
                           "the pond freezes down to the coils at %.2f m on day %zu: it is too "
                           "small or too shallow for this load",
                           coil_m, h / 24 + 1);
        }
        if (last) {
            note_hour(c, h, before_degc, out);
        }
    }
    gw_pond_balance *const b = &c->balance;
    b->stored_j = stored_j(c) - before_j;
    b->residual_j = b->stored_j - (b->sun_j + b->longwave_j + b->evaporation_j + b->convection_j +
                                   b->sediment_j + b->inflow_j + b->coils_j);
    return GW_OK;
}

gw_status gw_pond_simulate(gw_arena *arena, const gw_pond_run *run, gw_pond_year *out, gw_err *err)
{
    *out = (gw_pond_year){0};
    gw_status st = check_run(run, err);
    if (st != GW_OK) {
        return st;
    }
    double *const series = gw_arena_alloc(arena, 3 * GW_HOURS_PER_YEAR, sizeof *series);
    gw_pond_air *const airs = gw_arena_alloc(arena, GW_HOURS_PER_YEAR, sizeof *airs);
    if (series == NULL || airs == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "pond", "out of memory for the pond's year");
    }
    out->coil_degc = series;
    out->surface_degc = series + GW_HOURS_PER_YEAR;
    out->ice_m = series + 2 * GW_HOURS_PER_YEAR;
    double clearness[GW_DAYS_PER_YEAR];
    gw_pond_priv_clearness(run->weather, clearness);
    for (size_t h = 0; h < GW_HOURS_PER_YEAR; h++) {
        airs[h] = gw_pond_priv_air(run->weather, h, clearness[h / 24]);
    }
    column c;
    start(&c, run);
    for (size_t year = 0; st == GW_OK && year < run->years; year++) {
        st = one_year(&c, airs, year + 1 == run->years, out, err);
    }
    out->balance = c.balance;
    out->evaporated_m = -c.balance.evaporation_j / (EVAPORATE_J_M3 * run->pond->area_m2);
    return st;
}
