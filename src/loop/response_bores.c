// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The response of a bore field.
#include "loop/response_priv.h"

#include "ground/resistance.h"
#include "ground/short_time.h"

#include <math.h>

enum { CUTS = 8 }; // pieces of a bore, fine at both ends: within 0.3 % of 16 (docs/methods/loop.md)
static const double PI = 3.14159265358979323846;

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
        gw_loop_priv_pipe(site, bore_flow_m3_s / (double)b->u_tubes, &film, &n->pipe_mk_w, err);
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
                               .capacity_w_k =
                                   gw_loop_priv_capacity_w_k(site->fluid) / (double)circuits,
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
    out->coldest_rest_degc = out->warmest_rest_degc = out->undisturbed_degc;
}

gw_status gw_loop_priv_bores(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
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
    out->circuits = gw_loop_circuits(site->plan);
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
    double times_s[GW_LOOP_TIMES_MAX];
    const size_t count = gw_loop_priv_times(site->years, times_s);
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
    double fluid_mk_w[GW_LOOP_TIMES_MAX];
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
