// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "house/hourly_load.h"

#include "climate/ground_temperature.h"
#include "climate/perez.h"
#include "climate/solar.h"
#include "house/duct.h"
#include "house/envelope_priv.h"
#include "house/foundation.h"
#include "house/infiltration.h"
#include "house/zone.h"

#include <math.h>

#define SETTLING_HOURS (31 * 24) // December is run first so that January starts warm
#define MEAN_HOURS 24

static gw_status make_arrays(gw_arena *arena, gw_house_load_year *out, gw_err *err)
{
    const size_t hours = GW_HOURS_PER_YEAR;
    double *const block = gw_arena_alloc(arena, 3 * hours, sizeof *block);
    if (block == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "loads", "no memory for hourly loads");
    }
    *out = (gw_house_load_year){
        .heating_w = block, .cooling_w = block + hours, .indoor_degc = block + 2 * hours};
    return GW_OK;
}

static void sum_up(gw_house_load_year *out)
{
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        out->heating_j += 3600.0 * out->heating_w[h];
        out->cooling_j += 3600.0 * out->cooling_w[h];
        if (out->heating_w[h] > out->peak_heating_w) {
            out->peak_heating_w = out->heating_w[h];
            out->peak_heating_hour = h;
        }
        if (out->cooling_w[h] > out->peak_cooling_w) {
            out->peak_cooling_w = out->cooling_w[h];
            out->peak_cooling_hour = h;
        }
    }
}

// ---- Sun ----------------------------------------------------------------------------------------

typedef struct {
    gw_surface surface;
    double aperture_m2;
} sunlit;

typedef struct {
    sunlit *items;
    size_t count;
} sunlit_list;

static bool same_surface(const gw_surface *a, const gw_surface *b)
{
    return a->facing_deg == b->facing_deg && a->tilt_deg == b->tilt_deg;
}

static void add_sunlit(sunlit_list *list, const gw_surface *surface, double aperture_m2)
{
    for (size_t i = 0; i < list->count; i++) {
        if (same_surface(&list->items[i].surface, surface)) {
            list->items[i].aperture_m2 += aperture_m2;
            return;
        }
    }
    list->items[list->count++] = (sunlit){.surface = *surface, .aperture_m2 = aperture_m2};
}

// Irradiance of a year on the listed surfaces, weighted with their apertures and added to out_w.
static gw_status add_sun(gw_arena *arena, const gw_weather *weather, gw_house_sky sky,
                         const sunlit_list *list, double *out_w)
{
    const size_t hours = GW_HOURS_PER_YEAR;
    const bool perez = sky == GW_HOUSE_SKY_PEREZ;
    double *const irradiance_w_m2 = gw_arena_alloc(arena, hours, sizeof(double));
    gw_sun *const suns = gw_arena_alloc(arena, hours, sizeof *suns);
    gw_perez *const shapes = gw_arena_alloc(arena, perez ? hours : 0, sizeof *shapes);
    if (irradiance_w_m2 == NULL || suns == NULL || shapes == NULL) {
        return GW_ERR_NOMEM;
    }
    gw_solar_sun_year(weather, suns);
    if (perez) {
        gw_perez_year(weather, suns, shapes);
    }
    for (size_t i = 0; i < list->count; i++) {
        const gw_surface *const surface = &list->items[i].surface;
        if (perez) {
            gw_perez_surface_year(weather, suns, shapes, surface, irradiance_w_m2);
        } else {
            gw_solar_surface_year(weather, suns, surface, irradiance_w_m2);
        }
        for (size_t h = 0; h < hours; h++) {
            out_w[h] += list->items[i].aperture_m2 * irradiance_w_m2[h];
        }
    }
    return GW_OK;
}

// Sun on windows and opaque parts less the radiation to the sky, W, every hour. Components that
// face the same way are taken together.
static gw_status solar_year(gw_arena *arena, const gw_house *house, const gw_weather *weather,
                            double *out_w, gw_err *err)
{
    sunlit_list list = {gw_arena_alloc(arena, 4 * house->envelope_count, sizeof(sunlit)), 0};
    if (list.items == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "loads", "no memory for solar gains");
    }
    double sky_w = 0.0;
    for (size_t i = 0; i < house->envelope_count; i++) {
        const gw_house_component *const c = &house->envelope[i];
        const double aperture_m2 = gw_house_priv_aperture_m2(house, c);
        sky_w += gw_house_priv_sky_loss_w(c);
        gw_surface surface[4];
        const int sides = gw_house_priv_surfaces(c, surface);
        for (int k = 0; k < sides && aperture_m2 > 0.0; k++) {
            add_sunlit(&list, &surface[k], aperture_m2 / sides);
        }
    }
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        out_w[h] = -sky_w;
    }
    const gw_status st = add_sun(arena, weather, house->sky, &list, out_w);
    return st == GW_OK ? st : gw_fail(err, st, "loads", "no memory for solar gains");
}

// ---- From the envelope --------------------------------------------------------------------------

typedef struct {
    const gw_house *house;
    const gw_weather *weather;
    gw_zone zone;
    gw_foundation_loss ground;
    gw_foundation_air air;
    double ground_share; // of the opaque conductance
    double air_j_m3k;
    double *solar_w;
    int free_float;
} model;

static gw_status prepare(gw_arena *arena, const gw_house *house, const gw_house_year *year,
                         model *m, gw_err *err)
{
    *m = (model){.house = house, .weather = year->weather, .free_float = year->free_float};
    gw_status st = gw_house_priv_zone(house, &m->zone, err);
    if (st != GW_OK) {
        return st;
    }
    gw_ground_climate fit;
    gw_ground_fit_harmonic(year->weather->dry_bulb_degc, &fit);
    m->air = (gw_foundation_air){.air_mean_degc = fit.mean_degc,
                                 .air_amplitude_k = fit.amplitude_k,
                                 .coldest_day = fit.phase_day};
    m->ground = gw_foundation_total(house);
    m->ground_share = m->zone.opaque_w_k > 0.0 ? m->ground.steady_w_k / m->zone.opaque_w_k : 0.0;
    m->air_j_m3k = GW_HOUSE_PRIV_AIR_J_M3K * gw_weather_pressure_ratio(year->weather->elevation_m);
    m->solar_w = gw_arena_alloc(arena, GW_HOURS_PER_YEAR, sizeof *m->solar_w);
    if (m->solar_w == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "loads", "no memory for solar gains");
    }
    return solar_year(arena, house, year->weather, m->solar_w, err);
}

// The setback runs from its start to its end hour, over midnight when the end is the smaller.
static double heating_setpoint_degc(const gw_house *house, int hour_of_day)
{
    const int start = house->setback_start_h % 24;
    const int end = house->setback_end_h % 24;
    const bool over_midnight = end < start;
    const bool after = hour_of_day >= start;
    const bool before = hour_of_day < end;
    const bool night = start != end && (over_midnight ? after || before : after && before);
    return night ? fmin(house->setback_degc, house->heating_setpoint_degc)
                 : house->heating_setpoint_degc;
}

static gw_zone_input input_of_hour(const model *m, int hour, double indoor_degc)
{
    const double outdoor_degc = m->weather->dry_bulb_degc[hour];
    const double infiltration_m3_s = gw_infiltration_of_house_m3_s(
        m->house, indoor_degc - outdoor_degc, m->weather->wind_m_s[hour]);
    const double ventilation_m3_s =
        m->house->ventilation_m3_s * (1.0 - m->house->heat_recovery_frac);
    const double sink_degc = gw_foundation_sink_degc(m->ground, m->air, (hour + 0.5) / 24.0);
    return (gw_zone_input){
        .ventilation_w_k = m->air_j_m3k * (infiltration_m3_s + ventilation_m3_s),
        .supply_degc = outdoor_degc,
        .outdoor_degc = outdoor_degc,
        .opaque_degc = outdoor_degc + m->ground_share * (sink_degc - outdoor_degc),
        .internal_w = gw_house_internal_gain_w(m->house),
        .solar_w = m->solar_w[hour],
        .heating_degc = heating_setpoint_degc(m->house, hour % 24),
        .cooling_degc = m->house->cooling_setpoint_degc,
        .free_float = m->free_float,
    };
}

// Cooling that open windows do in place of the plant, W. Power and outdoor air act on the same node
// of the zone, so air that carries off what the plant would leaves air and mass as they are: no
// second run. With the room held at the cooling setpoint: boost × (setpoint - outdoor).
static double free_cooling_w(const model *m, int hour, double need_w)
{
    const double ach = m->house->window_opening_ach;
    if (!(ach > 0.0) || need_w >= 0.0) {
        return 0.0;
    }
    const double boost_w_k = m->air_j_m3k * ach * gw_house_volume_m3(m->house) / 3600.0;
    const double cooler_k = m->house->cooling_setpoint_degc - m->weather->dry_bulb_degc[hour];
    return fmin(-need_w, boost_w_k * fmax(cooler_k, 0.0));
}

static void run_envelope(const model *m, gw_house_load_year *out)
{
    double mass_degc = m->house->heating_setpoint_degc;
    double indoor_degc = mass_degc;
    for (int step = -SETTLING_HOURS; step < GW_HOURS_PER_YEAR; step++) {
        const int hour = (step + GW_HOURS_PER_YEAR) % GW_HOURS_PER_YEAR;
        const gw_zone_input input = input_of_hour(m, hour, indoor_degc);
        gw_zone_result result;
        gw_zone_hour(&m->zone, &input, &mass_degc, &result);
        indoor_degc = result.air_degc;
        if (step >= 0) {
            out->heating_w[hour] = result.need_w > 0.0 ? result.need_w : 0.0;
            const double free_w = free_cooling_w(m, hour, result.need_w);
            out->free_cooling_j += 3600.0 * free_w;
            out->cooling_w[hour] = result.need_w < 0.0 ? -result.need_w - free_w : 0.0;
            out->indoor_degc[hour] = indoor_degc;
        }
    }
}

// ---- Ducts --------------------------------------------------------------------------------------

static double highest(const double *hourly)
{
    double most = 0.0;
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        most = fmax(most, hourly[h]);
    }
    return most;
}

static void add_ducts(const gw_house *house, const gw_weather *weather, gw_house_load_year *out)
{
    if (!(house->ducts.air_flow_m3_s > 0.0)) {
        return;
    }
    const double air_j_m3k =
        GW_HOUSE_PRIV_AIR_J_M3K * gw_weather_pressure_ratio(weather->elevation_m);
    const double most_heating_w = highest(out->heating_w);
    const double most_cooling_w = highest(out->cooling_w);
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        gw_duct_run run = {.indoor_degc = out->indoor_degc[h],
                           .outdoor_degc = weather->dry_bulb_degc[h]};
        if (out->heating_w[h] > 0.0) {
            run.load_w = out->heating_w[h];
            run.run_frac = run.load_w / most_heating_w;
            const double extra_w = gw_duct_extra_w(&house->ducts, air_j_m3k, &run);
            out->heating_w[h] += extra_w;
            out->duct_heating_j += 3600.0 * extra_w;
        }
        if (out->cooling_w[h] > 0.0) {
            run.load_w = -out->cooling_w[h];
            run.run_frac = out->cooling_w[h] / most_cooling_w;
            const double extra_w = -gw_duct_extra_w(&house->ducts, air_j_m3k, &run);
            out->cooling_w[h] += extra_w;
            out->duct_cooling_j += 3600.0 * extra_w;
        }
    }
}

// ---- From given design loads --------------------------------------------------------------------

// What: hourly loads of a house of which only the design loads are known.
// Method: heating UA max(0, base - mean of the last 24 h), UA = loss/(indoor - outdoor design):
//   the degree-day method taken day by day. Sun and people stand in the base temperature. Cooling
//   gain max(0, T - base)/(outdoor design - base), in hours whose 24-hour mean is above the
//   heating base. Validity: a year's energy as good as the base temperature, no solar peaks.
static gw_status run_given(const gw_house *house, const gw_house_year *year,
                           gw_house_load_year *out, gw_err *err)
{
    const gw_house_conditions *const c = year->conditions;
    const double ua_w_k =
        house->design_loss_w / (house->heating_setpoint_degc - c->heating_outdoor_degc);
    const double heating_base_degc = house->heating_base_degc > 0.0
                                         ? house->heating_base_degc
                                         : house->heating_setpoint_degc - 3.0;
    const double cooling_base_degc = house->cooling_base_degc > 0.0
                                         ? house->cooling_base_degc
                                         : house->cooling_setpoint_degc - 3.0;
    const double span_k = c->cooling_outdoor_degc - cooling_base_degc;
    if (house->design_gain_w > 0.0 && !(span_k >= 1.0)) {
        return gw_fail(err, GW_ERR_RANGE, "cooling_base_degc",
                       "the cooling base %g must be at least 1 K below the cooling design "
                       "temperature %g",
                       cooling_base_degc, c->cooling_outdoor_degc);
    }
    const double *const t_degc = year->weather->dry_bulb_degc;
    double sum_degc = 0.0;
    for (int h = -MEAN_HOURS; h < GW_HOURS_PER_YEAR; h++) {
        sum_degc += t_degc[(h + GW_HOURS_PER_YEAR) % GW_HOURS_PER_YEAR];
        if (h < 0) {
            continue;
        }
        sum_degc -= t_degc[(h - MEAN_HOURS + GW_HOURS_PER_YEAR) % GW_HOURS_PER_YEAR];
        const double mean_degc = sum_degc / MEAN_HOURS;
        out->heating_w[h] = ua_w_k * fmax(0.0, heating_base_degc - mean_degc);
        const double over_k = mean_degc > heating_base_degc ? t_degc[h] - cooling_base_degc : 0.0;
        out->cooling_w[h] =
            house->design_gain_w > 0.0 ? house->design_gain_w * fmax(0.0, over_k) / span_k : 0.0;
        out->indoor_degc[h] =
            out->cooling_w[h] > 0.0 ? house->cooling_setpoint_degc : house->heating_setpoint_degc;
    }
    return GW_OK;
}

static gw_status check_given(const gw_house *house, const gw_house_year *year, gw_err *err)
{
    if (year->conditions == NULL) {
        return gw_fail(err, GW_ERR_MISSING, "conditions",
                       "loads given directly need the design temperatures they hold for");
    }
    const gw_status st = gw_house_conditions_check(year->conditions, err);
    if (st != GW_OK) {
        return st;
    }
    if (!(house->heating_setpoint_degc - year->conditions->heating_outdoor_degc >= 1.0)) {
        return gw_fail(err, GW_ERR_RANGE, "heating_outdoor_degc",
                       "the heating setpoint %g must be at least 1 K above the outdoor design "
                       "temperature %g",
                       house->heating_setpoint_degc, year->conditions->heating_outdoor_degc);
    }
    if (year->free_float) {
        return gw_fail(err, GW_ERR_RANGE, "free_float",
                       "a house given by its design loads has no free indoor temperature");
    }
    return GW_OK;
}

gw_status gw_house_loads(gw_arena *arena, const gw_house *house, const gw_house_year *year,
                         gw_house_load_year *out, gw_err *err)
{
    gw_status st = gw_house_check(house, err);
    if (st == GW_OK) {
        st = gw_weather_check(year->weather, err);
    }
    if (st == GW_OK) {
        st = make_arrays(arena, out, err);
    }
    if (st == GW_OK && gw_house_is_given(house)) {
        st = check_given(house, year, err);
        if (st == GW_OK) {
            st = run_given(house, year, out, err);
        }
    } else if (st == GW_OK) {
        model m;
        st = prepare(arena, house, year, &m, err);
        if (st == GW_OK) {
            run_envelope(&m, out);
            add_ducts(house, year->weather, out);
        }
    }
    if (st != GW_OK) {
        return st;
    }
    out->latent_frac = house->latent_gain_frac;
    out->hot_water_j_day = gw_house_hot_water_j_day(house);
    sum_up(out);
    return GW_OK;
}
