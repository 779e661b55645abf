// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The response of straight pipes in trenches.
#include "loop/response_priv.h"

#include "ground/trench_resistance.h"

#include <math.h>

static const double PI = 3.14159265358979323846;

typedef struct {
    double steady_mk_w;
    double radius_m; // of the cylinder that stands for the backfill
} backfill_effect;

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
    out->coldest_rest_degc = out->warmest_rest_degc = out->undisturbed_degc;
    return GW_OK;
}

// What a backfill unlike the soil adds to the fluid's drop, long after the load began, per pipe; 0
// where none is stated.
static gw_status backfill_resistance(const gw_loop_site *site, double native_w_mk,
                                     backfill_effect *out, gw_err *err)
{
    static const double BED_M = 0.05;  // under the lowest pipes
    static const double OVER_M = 0.15; // over the highest, where no height is given
    static const double MOST_RATIO = 3.0;
    const gw_trench_plan *const t = &site->plan->trench;
    const double outer_m = site->pipe->outer_diameter_m;
    *out = (backfill_effect){0};
    if (!(t->backfill_w_mk > 0.0)) {
        return GW_OK;
    }
    gw_loop_section_pipe places[GW_LOOP_PIPES_MAX];
    gw_trench_pipe pipes[GW_LOOP_PIPES_MAX];
    gw_status st = gw_loop_trench_section(t, outer_m, places, err);
    double highest_m = t->depth_m;
    for (size_t i = 0; st == GW_OK && i < t->pipes; i++) {
        pipes[i] = (gw_trench_pipe){places[i].x_m, places[i].depth_m};
        highest_m = fmin(highest_m, places[i].depth_m);
    }
    const double bottom_m = t->depth_m + fmax(BED_M, outer_m);
    const double asked_m =
        t->backfill_height_m > 0.0 ? t->backfill_height_m : bottom_m - highest_m + OVER_M;
    // The equivalent cylinder is stated for sides up to 3 to 1.
    const double height_m =
        fmin(fmax(asked_m, t->width_m / MOST_RATIO), fmin(t->width_m * MOST_RATIO, bottom_m));
    const gw_trench_section section = {.width_m = t->width_m,
                                       .top_m = bottom_m - height_m,
                                       .bottom_m = bottom_m,
                                       .backfill_w_mk = t->backfill_w_mk,
                                       .native_w_mk = native_w_mk,
                                       .pipe_outer_radius_m = 0.5 * outer_m,
                                       .pipes = pipes,
                                       .pipe_count = t->pipes};
    out->radius_m =
        gw_trench_equivalent_radius_m(fmin(t->width_m, height_m), fmax(t->width_m, height_m));
    return st == GW_OK ? gw_trench_backfill_resistance(&section, &out->steady_mk_w, err) : st;
}

// The effect sets in as the heat fills the backfill: the line source's drop between pipe and
// equivalent radius, E1(r²/4αt) − E1(R²/4αt) over its end value 2 ln(R/r).
static double backfill_share(const backfill_effect *b, double pipe_radius_m, double reach_m2)
{
    const double near = gw_well_function(pipe_radius_m * pipe_radius_m / reach_m2);
    const double far = gw_well_function(b->radius_m * b->radius_m / reach_m2);
    return (near - far) / (2.0 * log(b->radius_m / pipe_radius_m));
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

gw_status gw_loop_priv_trench(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
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
    out->circuits = gw_loop_circuits(site->plan);
    out->length_m = t->length_m * (double)pipes;
    out->circuit_pipe_m = out->length_m / (double)out->circuits;
    gw_film film = {0};
    st = gw_loop_priv_pipe(site, site->fluid->flow_m3_s / (double)out->circuits, &film,
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
    double times_s[GW_LOOP_TIMES_MAX];
    const size_t count = gw_loop_priv_times(site->years, times_s);
    gw_field_step fluid;
    st = gw_field_step_response(arena, &field, &(gw_field_times){times_s, count}, &fluid, err);
    if (st == GW_OK) {
        st = trench_undisturbed(arena, site, &field, out, err);
    }
    backfill_effect backfill = {0};
    if (st == GW_OK) {
        st = backfill_resistance(site, out->soil.conductivity_w_mk, &backfill, err);
    }
    if (st != GW_OK) {
        return st;
    }
    out->steady_mk_w = fluid.steady_mk_w + backfill.steady_mk_w;
    out->segments = segments;
    out->segment_count = pipes;
    out->pieces = 1;
    // What follows at once is the pipe's resistance: leave it to the fit's offset.
    for (size_t i = 0; i < count; i++) {
        fluid.h_mk_w[i] -= out->resistance_mk_w;
        if (backfill.steady_mk_w != 0.0) {
            fluid.h_mk_w[i] += backfill.steady_mk_w *
                               backfill_share(&backfill, 0.5 * site->pipe->outer_diameter_m,
                                              4.0 * field.medium.diffusivity_m2_s * times_s[i]);
        }
    }
    const gw_step_samples samples = {
        .times_s = times_s, .value = fluid.h_mk_w, .count = count, .offset = out->resistance_mk_w};
    return gw_exp_fit(arena, &samples, site->years * GW_YEAR_S, &out->step, err);
}
