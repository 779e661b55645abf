// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "loop/response.h"

#include "ground/resistance.h"
#include "ground/short_time.h"

#include <math.h>
#include <string.h>

enum {
    TIMES_PER_DECADE = 8,
    TIMES_MAX = 96,
    CUTS = 8, // pieces of a bore, fine at both ends: within 0.3 % of 16 (docs/methods/loop.md)
};
static const double PI = 3.14159265358979323846;
static const double FIRST_TIME_S = 3600.0; // one step of the march

// Log-spaced times from the first step of the march to past the horizon.
static size_t log_times(double years, double *times_s)
{
    const double last_s = 1.5 * years * GW_YEAR_S;
    const double decades = log10(last_s / FIRST_TIME_S);
    size_t count = (size_t)ceil(decades * TIMES_PER_DECADE) + 1;
    count = count < TIMES_MAX ? count : TIMES_MAX;
    for (size_t i = 0; i < count; i++) {
        times_s[i] = FIRST_TIME_S * pow(10.0, decades * (double)i / (double)(count - 1));
    }
    return count;
}

static gw_status check_site(const gw_loop_site *site, gw_err *err)
{
    const gw_loop_pipe *const p = site->pipe;
    if (!(p->inner_diameter_m > 0.005 && p->outer_diameter_m > p->inner_diameter_m)) {
        return gw_fail(err, GW_ERR_RANGE, "pipe",
                       "found a pipe of %.1f/%.1f mm, expected outer over inner over 5 mm",
                       1000.0 * p->outer_diameter_m, 1000.0 * p->inner_diameter_m);
    }
    if (!(site->fluid->flow_m3_s > 0.0)) {
        return gw_fail(err, GW_ERR_RANGE, "flow_m3_s",
                       "found a flow of %g m³/s, expected more than none", site->fluid->flow_m3_s);
    }
    if (!(site->years >= 1.0 && site->years <= 60.0)) {
        return gw_fail(err, GW_ERR_RANGE, "limits.years",
                       "found a horizon of %g years, expected 1 to 60", site->years);
    }
    return gw_ground_climate_check(&site->ground->surface, err);
}

// Film and wall of one pipe that carries `flow_m3_s`.
static gw_status pipe_resistance(const gw_loop_site *site, double flow_m3_s, gw_film *film,
                                 double *out_mk_w, gw_err *err)
{
    const gw_film_pipe inside = {.flow_m3_s = flow_m3_s,
                                 .inner_diameter_m = site->pipe->inner_diameter_m};
    const gw_status st = gw_film_in_pipe(&site->fluid->props, &inside, film, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_pipe_wall wall = {.outer_radius_m = 0.5 * site->pipe->outer_diameter_m,
                               .inner_radius_m = 0.5 * site->pipe->inner_diameter_m,
                               .conductivity_w_mk = site->pipe->conductivity_w_mk,
                               .film_w_m2k = film->film_w_m2k};
    return gw_pipe_resistance(&wall, out_mk_w, err);
}

static double capacity_w_k(const gw_loop_fluid *fluid)
{
    return fluid->flow_m3_s * fluid->props.density_kg_m3 * fluid->props.heat_j_kgk;
}

// ---------------------------------------------------------------- bores

typedef struct {
    double length_m; // of one bore
    size_t count;
    double radius_m;
    gw_bore_resistance resistance;
    double effective_mk_w;
    double pipe_mk_w; // film and wall of one pipe
    size_t pipes;     // in one bore
} bore_numbers;

static gw_status check_bores(const gw_bores_plan *b, gw_err *err)
{
    const struct {
        const char *field;
        double value, low, high;
    } ranges[] = {
        {"bores.depth_m", b->depth_m, 10.0, 600.0},
        {"bores.top_m", b->top_m, 0.2, 20.0},
        {"bores.diameter_m", b->diameter_m, 0.06, 0.4},
        {"bores.grout_conductivity_w_mk", b->grout_conductivity_w_mk, 0.2, 5.0},
        {"bores.grout_volumetric_heat_j_m3k", b->grout_volumetric_heat_j_m3k, 5e5, 5e6},
    };
    for (size_t i = 0; i < sizeof ranges / sizeof ranges[0]; i++) {
        if (!(ranges[i].value >= ranges[i].low && ranges[i].value <= ranges[i].high)) {
            return gw_fail(err, GW_ERR_RANGE, ranges[i].field, "found %s %g, expected %g to %g",
                           ranges[i].field, ranges[i].value, ranges[i].low, ranges[i].high);
        }
    }
    if (b->u_tubes < 1 || b->u_tubes > 2) {
        return gw_fail(err, GW_ERR_RANGE, "bores.u_tubes",
                       "found %zu U-tubes in a bore, expected 1 or 2", b->u_tubes);
    }
    return GW_OK;
}

// Pipe axes from the bore's axis: half the shank given, or pipes that leave the same gap between
// each other as to the wall.
static double axis_radius_m(const gw_bores_plan *b, double pipe_diameter_m)
{
    if (b->shank_m > 0.0) {
        return 0.5 * b->shank_m;
    }
    const double gap_m = (b->diameter_m - 2.0 * pipe_diameter_m) / 3.0;
    return 0.5 * (pipe_diameter_m + gap_m);
}

static gw_status bore_resistance(const gw_loop_site *site, const gw_soil *soil, size_t circuits,
                                 bore_numbers *n, gw_loop_response *out, gw_err *err)
{
    const gw_bores_plan *const b = &site->plan->bores;
    const double bore_flow_m3_s = site->fluid->flow_m3_s / (double)circuits;
    gw_film film = {0};
    gw_status st =
        pipe_resistance(site, bore_flow_m3_s / (double)b->u_tubes, &film, &n->pipe_mk_w, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_bore_u_tube tube = {.bore_radius_m = n->radius_m,
                                 .pipe_outer_radius_m = 0.5 * site->pipe->outer_diameter_m,
                                 .pipe_resistance_mk_w = n->pipe_mk_w,
                                 .axis_radius_m = axis_radius_m(b, site->pipe->outer_diameter_m),
                                 .grout_w_mk = b->grout_conductivity_w_mk,
                                 .ground_w_mk = soil->conductivity_w_mk,
                                 .u_count = (unsigned)b->u_tubes};
    gw_bore_section section;
    gw_bore_matrix matrix;
    st = gw_bore_section_of_u_tube(&tube, &section, err);
    if (st == GW_OK) {
        st = gw_bore_solve_multipole(&section, GW_MULTIPOLE_ORDER, &matrix, err);
    }
    if (st == GW_OK) {
        st = gw_bore_resistance_of(&matrix, b->u_tubes == 1 ? 0x1U : 0x5U, &n->resistance, err);
    }
    if (st != GW_OK) {
        return st;
    }
    out->reynolds = film.reynolds;
    out->regime = film.regime;
    const gw_bore_flow flow = {.length_m = n->length_m,
                               .capacity_w_k = capacity_w_k(site->fluid) / (double)circuits,
                               .along = GW_BORE_WALL_UNIFORM};
    return gw_bore_effective(&n->resistance, &flow, &n->effective_mk_w, err);
}

static gw_status lay_bores(gw_arena *arena, const gw_bores_plan *b, gw_segment **segments,
                           size_t **circuit, gw_err *err)
{
    const gw_bore_place *places = NULL;
    gw_status st = gw_loop_bore_places(arena, b, &places, err);
    if (st != GW_OK) {
        return st;
    }
    *segments = gw_arena_alloc(arena, b->count * CUTS, sizeof **segments);
    *circuit = gw_arena_alloc(arena, b->count * CUTS, sizeof **circuit);
    gw_segment *const whole = gw_arena_alloc(arena, b->count, sizeof *whole);
    if (*segments == NULL || *circuit == NULL || whole == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "bores", "out of memory laying out the bores");
    }
    for (size_t i = 0; i < b->count; i++) {
        const double tilt = places[i].tilt_deg * PI / 180.0;
        const double azimuth = places[i].azimuth_deg * PI / 180.0;
        const gw_segment bore = {.x_m = places[i].x_m,
                                 .y_m = places[i].y_m,
                                 .z_m = b->top_m,
                                 .dx = sin(tilt) * sin(azimuth),
                                 .dy = sin(tilt) * cos(azimuth),
                                 .dz = cos(tilt),
                                 .length_m = b->depth_m,
                                 .radius_m = 0.5 * b->diameter_m};
        whole[i] = bore;
        st = gw_segment_cut(&bore, CUTS, GW_CUT_COSINE, *segments + i * CUTS, err);
        if (st != GW_OK) {
            return st;
        }
        for (size_t k = 0; k < CUTS; k++) {
            (*circuit)[i * CUTS + k] = i;
        }
    }
    return gw_segments_check(whole, b->count, err);
}

// Fluid response of minutes to decades: the wall's response joined to what fluid and grout store.
static gw_status join_short_time(const gw_loop_site *site, const gw_soil *soil,
                                 const bore_numbers *n, const gw_short_series *series,
                                 double *fluid_mk_w, gw_err *err)
{
    const gw_bores_plan *const b = &site->plan->bores;
    const double inner_m = site->pipe->inner_diameter_m;
    const double area_m2 = 0.25 * PI * inner_m * inner_m * (double)n->pipes;
    const gw_short_bore start = {
        .bore_radius_m = n->radius_m,
        .equivalent_radius_m = 0.5 * n->radius_m,
        .pipe_resistance_mk_w = n->pipe_mk_w / (double)n->pipes,
        .fluid_capacity_j_mk =
            area_m2 * site->fluid->props.density_kg_m3 * site->fluid->props.heat_j_kgk,
        .grout_w_mk = b->grout_conductivity_w_mk,
        .grout_heat_j_m3k = b->grout_volumetric_heat_j_m3k,
        .ground_w_mk = soil->conductivity_w_mk,
        .ground_heat_j_m3k = soil->volumetric_heat_j_m3k,
    };
    gw_short_bore bore;
    const gw_status st = gw_short_time_match(&start, n->resistance.bore_mk_w, &bore, err);
    return st != GW_OK ? st : gw_short_time_join(&bore, series, fluid_mk_w, err);
}

// Mean undisturbed temperature along the bore: the surface wave averaged over the depth, and the
// gradient at half depth.
static void bore_undisturbed(const gw_loop_site *site, const gw_soil *soil, gw_loop_response *out)
{
    const gw_bores_plan *const b = &site->plan->bores;
    const double alpha_m2_s = gw_soil_diffusivity_m2_s(soil);
    out->undisturbed_degc = site->ground->surface.mean_degc +
                            site->ground->gradient_k_m * (b->top_m + 0.5 * b->depth_m);
    enum { SLICES = 200 };
    gw_ground_wave sum = {0};
    for (int i = 0; i < SLICES; i++) {
        const double depth_m = b->top_m + b->depth_m * ((double)i + 0.5) / SLICES;
        const gw_ground_wave w = gw_ground_wave_at(&site->ground->surface, depth_m, alpha_m2_s);
        sum.real_k += w.real_k / SLICES;
        sum.imag_k += w.imag_k / SLICES;
    }
    out->wave = sum;
}

static gw_status respond_bores(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                               gw_err *err)
{
    const gw_bores_plan *const b = &site->plan->bores;
    gw_status st = check_bores(b, err);
    if (st == GW_OK) {
        st = gw_soil_equivalent(&site->ground->profile,
                                (gw_soil_interval){b->top_m, b->top_m + b->depth_m}, &out->soil,
                                err);
    }
    if (st != GW_OK) {
        return st;
    }
    out->circuits = site->plan->circuits > 0 ? site->plan->circuits : b->count;
    out->length_m = b->depth_m * (double)b->count;
    out->circuit_pipe_m = 2.0 * out->length_m / (double)out->circuits;
    bore_numbers n = {.length_m = b->depth_m,
                      .count = b->count,
                      .radius_m = 0.5 * b->diameter_m,
                      .pipes = 2 * b->u_tubes};
    gw_segment *segments = NULL;
    size_t *circuit = NULL;
    st = lay_bores(arena, b, &segments, &circuit, err);
    if (st == GW_OK) {
        st = bore_resistance(site, &out->soil, out->circuits, &n, out, err);
    }
    if (st != GW_OK) {
        return st;
    }
    double times_s[TIMES_MAX];
    const size_t count = log_times(site->years, times_s);
    const gw_field field = {
        .segments = segments,
        .circuit = circuit,
        .count = b->count * CUTS,
        .medium = {out->soil.conductivity_w_mk, gw_soil_diffusivity_m2_s(&out->soil)},
        .boundary = GW_FIELD_EQUAL_TEMPERATURE};
    gw_field_step wall;
    st = gw_field_step_response(arena, &field, &(gw_field_times){times_s, count}, &wall, err);
    if (st != GW_OK) {
        return st;
    }
    const double pipe_m2 = 0.25 * PI * site->pipe->inner_diameter_m * site->pipe->inner_diameter_m;
    const double volume_m3 = pipe_m2 * (double)b->u_tubes * 2.0 * out->length_m;
    const gw_short_series series = {.time_s = times_s,
                                    .wall_mk_w = wall.h_mk_w,
                                    .count = count,
                                    .effective_mk_w = n.effective_mk_w,
                                    .circulation_s = volume_m3 / site->fluid->flow_m3_s};
    double fluid_mk_w[TIMES_MAX];
    st = join_short_time(site, &out->soil, &n, &series, fluid_mk_w, err);
    if (st != GW_OK) {
        return st;
    }
    out->resistance_mk_w = n.effective_mk_w;
    out->steady_mk_w = wall.steady_mk_w + n.effective_mk_w;
    out->segments = segments;
    out->segment_count = field.count;
    out->pieces = CUTS;
    bore_undisturbed(site, &out->soil, out);
    const gw_step_samples samples = {.times_s = times_s, .value = fluid_mk_w, .count = count};
    return gw_exp_fit(arena, &samples, site->years * GW_YEAR_S, &out->step, err);
}

// ---------------------------------------------------------------- trenches

static gw_status lay_trenches(gw_arena *arena, const gw_loop_site *site, gw_segment **segments,
                              gw_err *err)
{
    const gw_trench_plan *const t = &site->plan->trench;
    gw_loop_section_pipe pipes[GW_LOOP_PIPES_MAX];
    gw_status st = gw_loop_trench_section(t, site->pipe->outer_diameter_m, pipes, err);
    if (st != GW_OK) {
        return st;
    }
    *segments = gw_arena_alloc(arena, t->count * t->pipes, sizeof **segments);
    if (*segments == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "trench", "out of memory laying out the trenches");
    }
    for (size_t i = 0; i < t->count; i++) {
        for (size_t k = 0; k < t->pipes; k++) {
            (*segments)[i * t->pipes + k] =
                (gw_segment){.x_m = (double)i * t->spacing_m + pipes[k].x_m,
                             .z_m = pipes[k].depth_m,
                             .dy = 1.0,
                             .length_m = t->length_m,
                             .radius_m = 0.5 * site->pipe->outer_diameter_m};
        }
    }
    return gw_segments_check(*segments, t->count * t->pipes, err);
}

// Mean and yearly wave of the fluid when no heat is taken: the pipes' undisturbed temperatures
// weighted as the field mixes them, for the steady part and for the yearly one.
static gw_status trench_undisturbed(gw_arena *arena, const gw_loop_site *site,
                                    const gw_field *field, gw_loop_response *out, gw_err *err)
{
    const double alpha_m2_s = field->medium.diffusivity_m2_s;
    const double omega_rad_s = 2.0 * PI / GW_YEAR_S;
    gw_field_periodic steady;
    gw_field_periodic yearly;
    gw_status st = gw_field_mix_periodic(arena, field, 0.0, &steady, err);
    if (st == GW_OK) {
        st = gw_field_mix_periodic(arena, field, omega_rad_s, &yearly, err);
    }
    if (st != GW_OK) {
        return st;
    }
    out->undisturbed_degc = site->ground->surface.mean_degc;
    out->wave = (gw_ground_wave){0};
    for (size_t i = 0; i < field->count; i++) {
        const double depth_m = field->segments[i].z_m;
        const gw_ground_wave w = gw_ground_wave_at(&site->ground->surface, depth_m, alpha_m2_s);
        const gw_complex g = yearly.weight[i];
        out->undisturbed_degc += steady.weight[i].re * site->ground->gradient_k_m * depth_m;
        out->wave.real_k += g.re * w.real_k - g.im * w.imag_k;
        out->wave.imag_k += g.re * w.imag_k + g.im * w.real_k;
    }
    return GW_OK;
}

static gw_status check_trenches(const gw_trench_plan *t, gw_err *err)
{
    if (t->count < 1 || t->count > 60) {
        return gw_fail(err, GW_ERR_RANGE, "trench.count", "found %zu trenches, expected 1 to 60",
                       t->count);
    }
    if (!(t->length_m >= 2.0 && t->length_m <= 2000.0)) {
        return gw_fail(err, GW_ERR_RANGE, "trench.length_m",
                       "found a trench %.1f m long, expected 2 to 2000 m", t->length_m);
    }
    if (t->count > 1 && !(t->spacing_m >= t->width_m)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "trench.spacing_m",
                       "trenches %.2f m wide at %.2f m between centres overlap", t->width_m,
                       t->spacing_m);
    }
    return GW_OK;
}

// Out and back in one trench is a circuit; a trench with an odd number of pipes is one circuit.
static size_t trench_circuits(const gw_loop_plan *plan)
{
    if (plan->circuits > 0) {
        return plan->circuits;
    }
    const size_t each = plan->trench.pipes % 2 == 0 ? plan->trench.pipes / 2 : 1;
    return plan->trench.count * each;
}

static gw_status respond_trenches(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                                  gw_err *err)
{
    const gw_trench_plan *const t = &site->plan->trench;
    gw_segment *segments = NULL;
    gw_status st = check_trenches(t, err);
    if (st == GW_OK) {
        st = lay_trenches(arena, site, &segments, err);
    }
    if (st == GW_OK) {
        st = gw_soil_at_depth(&site->ground->profile, t->depth_m, &out->soil, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const size_t pipes = t->count * t->pipes;
    out->circuits = trench_circuits(site->plan);
    out->length_m = t->length_m * (double)pipes;
    out->circuit_pipe_m = out->length_m / (double)out->circuits;
    gw_film film = {0};
    st = pipe_resistance(site, site->fluid->flow_m3_s / (double)out->circuits, &film,
                         &out->resistance_mk_w, err);
    double *const resistance_mk_w = gw_arena_alloc(arena, pipes, sizeof *resistance_mk_w);
    if (st != GW_OK || resistance_mk_w == NULL) {
        return st != GW_OK ? st : gw_fail(err, GW_ERR_NOMEM, "trench", "out of memory");
    }
    for (size_t i = 0; i < pipes; i++) {
        resistance_mk_w[i] = out->resistance_mk_w;
    }
    out->reynolds = film.reynolds;
    out->regime = film.regime;
    const gw_field field = {
        .segments = segments,
        .resistance_mk_w = resistance_mk_w,
        .count = pipes,
        .medium = {out->soil.conductivity_w_mk, gw_soil_diffusivity_m2_s(&out->soil)},
        .boundary = GW_FIELD_EQUAL_TEMPERATURE};
    double times_s[TIMES_MAX];
    const size_t count = log_times(site->years, times_s);
    gw_field_step fluid;
    st = gw_field_step_response(arena, &field, &(gw_field_times){times_s, count}, &fluid, err);
    if (st == GW_OK) {
        st = trench_undisturbed(arena, site, &field, out, err);
    }
    if (st != GW_OK) {
        return st;
    }
    out->steady_mk_w = fluid.steady_mk_w;
    out->segments = segments;
    out->segment_count = pipes;
    out->pieces = 1;
    // What follows at once is the pipe's resistance: leave it to the fit's offset.
    for (size_t i = 0; i < count; i++) {
        fluid.h_mk_w[i] -= out->resistance_mk_w;
    }
    const gw_step_samples samples = {
        .times_s = times_s, .value = fluid.h_mk_w, .count = count, .offset = out->resistance_mk_w};
    return gw_exp_fit(arena, &samples, site->years * GW_YEAR_S, &out->step, err);
}

gw_status gw_loop_respond(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                          gw_err *err)
{
    *out = (gw_loop_response){0};
    const gw_status st = check_site(site, err);
    if (st != GW_OK) {
        return st;
    }
    out->capacity_w_k = capacity_w_k(site->fluid);
    switch (site->plan->kind) {
    case GW_LOOP_BORES:
        return respond_bores(arena, site, out, err);
    case GW_LOOP_TRENCH:
        return respond_trenches(arena, site, out, err);
    }
    return gw_fail(err, GW_ERR_RANGE, "kind", "found an unknown kind of loop");
}
