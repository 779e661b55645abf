// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Loops whose heat comes from water: bundles in a pond, and ground water used once. Neither has a
// memory of its own: the pond's is in the water's temperature, hour by hour.
#include "loop/response_priv.h"

#include <math.h>

enum { HOURS = 8760 };

static gw_status water_year(gw_arena *arena, const double *coil_degc, gw_loop_response *out,
                            gw_err *err)
{
    double *const from_mean_k = gw_arena_alloc(arena, HOURS, sizeof *from_mean_k);
    if (from_mean_k == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "pond", "out of memory for the pond's water");
    }
    out->coldest_rest_degc = out->warmest_rest_degc = coil_degc[0];
    double sum_degc = 0.0;
    for (size_t h = 0; h < HOURS; h++) {
        sum_degc += coil_degc[h];
        out->coldest_rest_degc = fmin(out->coldest_rest_degc, coil_degc[h]);
        out->warmest_rest_degc = fmax(out->warmest_rest_degc, coil_degc[h]);
    }
    out->undisturbed_degc = sum_degc / HOURS;
    for (size_t h = 0; h < HOURS; h++) {
        from_mean_k[h] = coil_degc[h] - out->undisturbed_degc;
    }
    out->correction_k = from_mean_k;
    return GW_OK;
}

gw_status gw_loop_priv_pond(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                            gw_err *err)
{
    const gw_pond_plan *const p = &site->plan->pond;
    const gw_loop_pond *const water = site->pond;
    gw_status st = gw_pond_check(p, site->pipe->outer_diameter_m, err);
    if (st != GW_OK) {
        return st;
    }
    if (water == NULL || !(water->design_heat_w > 0.0) || !(p->bundle_m > 0.0)) {
        return gw_fail(err, GW_ERR_MISSING, "pond",
                       "found no water, heat or pipe for the pond's bundles");
    }
    out->circuits = gw_loop_circuits(site->plan);
    out->length_m = p->bundle_m * (double)p->bundles;
    out->circuit_pipe_m = out->length_m / (double)out->circuits;
    gw_film inner = {0};
    double pipe_mk_w = 0.0;
    st = gw_loop_priv_pipe(site, site->fluid->flow_m3_s / (double)out->circuits, &inner, &pipe_mk_w,
                           err);
    if (st == GW_OK) {
        st = water_year(arena, water->coil_degc, out, err);
    }
    if (st != GW_OK) {
        return st;
    }
    out->reynolds = inner.reynolds;
    out->regime = inner.regime;
    const gw_pond_pipe pipe = {.outer_diameter_m = site->pipe->outer_diameter_m,
                               .inner_diameter_m = site->pipe->inner_diameter_m,
                               .conductivity_w_mk = site->pipe->conductivity_w_mk,
                               .inner_film_w_m2k = inner.film_w_m2k};
    const gw_pond_moment at = {.water_degc = fmin(fmax(out->coldest_rest_degc, 0.0), 40.0),
                               .heat_w_m = water->design_heat_w / out->length_m};
    gw_pond_film film;
    st = gw_pond_resistance(water->properties, &pipe, &at, &film, err);
    out->resistance_mk_w = out->steady_mk_w = film.total_mk_w;
    out->outside_mk_w = film.outside_mk_w;
    out->step = gw_loop_priv_at_once(film.total_mk_w);
    return st;
}

gw_status gw_loop_priv_well(const gw_loop_site *site, gw_loop_response *out, gw_err *err)
{
    const gw_status st = gw_well_check(&site->plan->well.well, err);
    if (st != GW_OK) {
        return st;
    }
    out->circuits = 1;
    out->length_m = gw_loop_length_m(site->plan);
    out->circuit_pipe_m = 2.0 * site->plan->header_m + site->plan->well.well.return_distance_m;
    out->undisturbed_degc = site->plan->well.well.water_degc;
    out->coldest_rest_degc = out->warmest_rest_degc = out->undisturbed_degc;
    out->once_through = true;
    out->step = gw_loop_priv_at_once(0.0);
    return GW_OK;
}
