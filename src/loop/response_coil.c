// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The response of coils in trenches: ring sources behind film and wall.
#include "loop/response_priv.h"

// Two straight lines for the rings of each trench, for drawings and for temperatures elsewhere.
static gw_status lay_lines(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                           gw_err *err)
{
    enum { LINES = 2 };
    const gw_coil_plan *const c = &site->plan->coil;
    gw_coil_lines lines;
    const gw_status st = gw_coil_lines_of(c, site->pipe->outer_diameter_m, &lines, err);
    gw_segment *const segments = gw_arena_alloc(arena, LINES * c->count, sizeof *segments);
    if (st != GW_OK || segments == NULL) {
        return st != GW_OK ? st : gw_fail(err, GW_ERR_NOMEM, "coil", "out of memory");
    }
    for (size_t i = 0; i < LINES * c->count; i++) {
        segments[i] = lines.line[i % LINES];
        segments[i].x_m += (double)(i / LINES) * c->spacing_m;
    }
    out->segments = segments;
    out->segment_count = LINES * c->count;
    out->load_ratio = lines.load_ratio;
    return GW_OK;
}

static gw_status coil_at_rest(const gw_loop_site *site, gw_loop_response *out, gw_err *err)
{
    gw_coil_rest rest;
    const gw_status st = gw_coil_undisturbed(&site->plan->coil, &site->ground->surface,
                                             gw_soil_diffusivity_m2_s(&out->soil), &rest, err);
    out->undisturbed_degc = site->ground->surface.mean_degc;
    if (st == GW_OK) {
        out->undisturbed_degc += site->ground->gradient_k_m * rest.mean_depth_m;
        out->wave = rest.wave;
    }
    out->coldest_rest_degc = out->warmest_rest_degc = out->undisturbed_degc;
    return st;
}

gw_status gw_loop_priv_coil(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                            gw_err *err)
{
    const gw_coil_plan *const c = &site->plan->coil;
    const double outer_m = site->pipe->outer_diameter_m;
    gw_status st = gw_coil_check(c, outer_m, err);
    if (st == GW_OK) {
        st = gw_soil_at_depth(&site->ground->profile, gw_coil_extent_of(c).centre_depth_m,
                              &out->soil, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const gw_coil_extent extent = gw_coil_extent_of(c);
    out->circuits = gw_loop_circuits(site->plan);
    out->length_m = extent.ring_pipe_m * (double)c->count;
    out->circuit_pipe_m = extent.pipe_m * (double)c->count / (double)out->circuits;
    gw_film film = {0};
    st = gw_loop_priv_pipe(site, site->fluid->flow_m3_s / (double)out->circuits, &film,
                           &out->resistance_mk_w, err);
    out->reynolds = film.reynolds;
    out->regime = film.regime;
    if (st == GW_OK) {
        st = lay_lines(arena, site, out, err);
    }
    if (st == GW_OK) {
        st = coil_at_rest(site, out, err);
    }
    if (st != GW_OK) {
        return st;
    }
    double times_s[GW_LOOP_TIMES_MAX];
    double wall_mk_w[GW_LOOP_TIMES_MAX];
    const size_t count = gw_loop_priv_times(site->years, times_s);
    const gw_response_case with = {
        .medium = {out->soil.conductivity_w_mk, gw_soil_diffusivity_m2_s(&out->soil)},
        .times_s = times_s,
        .count = count};
    st = gw_coil_step_response(&with, c, outer_m, wall_mk_w, err);
    if (st != GW_OK) {
        return st;
    }
    // Endless time costs three times all the others, and rings under a surface settle in years.
    out->steady_mk_w = wall_mk_w[count - 1] + out->resistance_mk_w;
    const gw_step_samples samples = {
        .times_s = times_s, .value = wall_mk_w, .count = count, .offset = out->resistance_mk_w};
    return gw_exp_fit(arena, &samples, site->years * GW_YEAR_S, &out->step, err);
}
