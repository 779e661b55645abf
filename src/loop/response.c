// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "loop/response.h"

#include "ground/resistance.h"
#include "loop/response_priv.h"

#include <math.h>

enum { TIMES_PER_DECADE = 8 };
static const double FIRST_TIME_S = 3600.0; // one step of the march

size_t gw_loop_priv_times(double years, double times_s[static GW_LOOP_TIMES_MAX])
{
    const double last_s = 1.5 * years * GW_YEAR_S;
    const double decades = log10(last_s / FIRST_TIME_S);
    size_t count = (size_t)ceil(decades * TIMES_PER_DECADE) + 1;
    count = count < GW_LOOP_TIMES_MAX ? count : GW_LOOP_TIMES_MAX;
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

gw_status gw_loop_priv_pipe(const gw_loop_site *site, double flow_m3_s, gw_film *film,
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

double gw_loop_priv_capacity_w_k(const gw_loop_fluid *fluid)
{
    return fluid->flow_m3_s * fluid->props.density_kg_m3 * fluid->props.heat_j_kgk;
}

gw_exp_response gw_loop_priv_at_once(double offset_mk_w)
{
    gw_exp_response step = {.terms = 4, .offset = offset_mk_w};
    for (size_t k = 0; k < step.terms; k++) {
        step.time_constant_s[k] = GW_EXP_FIRST_S * (double)(k + 1);
    }
    return step;
}

gw_status gw_loop_respond(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                          gw_err *err)
{
    *out = (gw_loop_response){0};
    const gw_status st = check_site(site, err);
    if (st != GW_OK) {
        return st;
    }
    out->capacity_w_k = gw_loop_priv_capacity_w_k(site->fluid);
    out->load_ratio = 1.0;
    out->pieces = 1;
    switch (site->plan->kind) {
    case GW_LOOP_BORES:
        return gw_loop_priv_bores(arena, site, out, err);
    case GW_LOOP_TRENCH:
        return gw_loop_priv_trench(arena, site, out, err);
    case GW_LOOP_COIL:
        return gw_loop_priv_coil(arena, site, out, err);
    case GW_LOOP_POND:
        return gw_loop_priv_pond(arena, site, out, err);
    case GW_LOOP_WELL:
        return gw_loop_priv_well(site, out, err);
    case GW_LOOP_MIXED:
        return gw_loop_priv_mixed(arena, site, out, err);
    }
    return gw_fail(err, GW_ERR_RANGE, "kind", "found an unknown kind of loop");
}
