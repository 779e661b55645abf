// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// One loop of the job: sized, laid against the lot, held against the handbook.
#include "design/design_priv.h"

#include <math.h>

// Lot limits go into the plan, so that the sizing does not propose what cannot be laid; ground
// water has the ground's temperature unless it was measured.
static gw_loop_plan plan_on_lot(const gw_design_priv *d, const gw_loop_plan *asked)
{
    const gw_job_site *const site = &d->input->job->site;
    gw_loop_plan plan = *asked;
    double *const most_m = plan.kind == GW_LOOP_TRENCH ? &plan.trench.max_length_m
                           : plan.kind == GW_LOOP_COIL ? &plan.coil.max_length_m
                                                       : NULL;
    if (most_m != NULL && gw_job_is_given(site->usable_length_m)) {
        *most_m = *most_m > 0.0 ? fmin(*most_m, site->usable_length_m) : site->usable_length_m;
    }
    if (plan.kind == GW_LOOP_WELL && !(plan.well.well.water_degc > 0.0)) {
        const gw_loop_ground *const g = &d->design->bore_ground;
        plan.well.well.water_degc =
            fmax(g->surface.mean_degc + g->gradient_k_m * plan.well.well.pump_depth_m, 1.0);
    }
    return plan;
}

// Working room around a collar or beside a trench (common practice, no source).
static const double LAND_MARGIN_M = 1.0;

typedef struct {
    double across_m;
    double along_m;
} extent;

// Of the segments, as seen from above.
static extent extent_of(const gw_loop_response *r)
{
    double low[2] = {HUGE_VAL, HUGE_VAL};
    double high[2] = {-HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < r->segment_count; i++) {
        for (int end = 0; end < 2; end++) {
            const gw_position p =
                gw_segment_point(&r->segments[i], end == 0 ? 0.0 : r->segments[i].length_m);
            low[0] = fmin(low[0], p.x_m);
            high[0] = fmax(high[0], p.x_m);
            low[1] = fmin(low[1], p.y_m);
            high[1] = fmax(high[1], p.y_m);
        }
    }
    return (extent){high[0] - low[0], high[1] - low[1]};
}

// Ground taken up; a pond loop takes none.
static extent land_of(const gw_design_loop *loop)
{
    const gw_loop_plan *const plan = &loop->sized.plan;
    const gw_coil_plan *const c = &plan->coil;
    extent land = {0};
    switch (loop->kind) {
    case GW_LOOP_BORES:
    case GW_LOOP_MIXED:
        land = extent_of(&loop->sized.response);
        return (extent){land.across_m + 2.0 * LAND_MARGIN_M, land.along_m + 2.0 * LAND_MARGIN_M};
    case GW_LOOP_TRENCH:
        land = extent_of(&loop->sized.response);
        return (extent){land.across_m + plan->trench.width_m, land.along_m};
    case GW_LOOP_COIL:
        return (extent){(double)(c->count - 1) * c->spacing_m + c->width_m, c->length_m};
    case GW_LOOP_WELL:
        return (extent){plan->well.well.return_distance_m + 2.0 * LAND_MARGIN_M,
                        2.0 * LAND_MARGIN_M};
    case GW_LOOP_POND:
        break;
    }
    return land;
}

static void measure_land(const gw_design_priv *d, gw_design_loop *loop)
{
    static const double SLACK_M = 1e-6;
    const gw_job_site *const site = &d->input->job->site;
    const extent land = land_of(loop);
    loop->land_length_m = fmax(land.across_m, land.along_m);
    loop->land_width_m = fmin(land.across_m, land.along_m);
    const bool known = gw_job_is_given(site->usable_length_m);
    if (known && loop->kind == GW_LOOP_WELL) { // from corner to corner
        loop->fits_lot =
            loop->land_length_m <= hypot(site->usable_length_m, site->usable_width_m) + SLACK_M;
        return;
    }
    loop->fits_lot = !known || (loop->land_length_m <= site->usable_length_m + SLACK_M &&
                                loop->land_width_m <= site->usable_width_m + SLACK_M);
}

gw_status gw_design_priv_loop(gw_design_priv *d, size_t index)
{
    gw_design_loop *const loop = &d->design->loops[index];
    const gw_loop_plan plan = plan_on_lot(d, &d->input->job->loops[index]);
    loop->name = plan.name;
    loop->kind = plan.kind;
    const bool well = plan.kind == GW_LOOP_WELL;
    loop->fluid = well ? (gw_fluid_mix){.kind = GW_FLUID_WATER} : d->design->fluid;
    loop->freeze_degc = well ? 0.0 : d->design->freeze_degc;
    gw_status st = gw_pipes_find(&d->pipes, gw_loop_pipe_id(&plan), &loop->pipe, d->err);
    for (size_t i = 0; st == GW_OK && i < plan.mixed.part_count; i++) {
        st = gw_pipes_find(&d->pipes, gw_loop_pipe_id(&plan.mixed.parts[i]), &loop->part_pipes[i],
                           d->err);
    }
    if (st == GW_OK) {
        st = gw_pipes_find(&d->pipes, d->input->job->pipes.header_pipe, &loop->header, d->err);
    }
    if (st == GW_OK) {
        st = gw_design_priv_size_on_lot(d, loop, &plan);
    }
    if (st == GW_OK && plan.kind == GW_LOOP_POND) {
        st = gw_design_priv_pond_rules(d, loop);
    }
    if (st != GW_OK) {
        return st;
    }
    measure_land(d, loop);
    return gw_design_priv_handbook(d, loop);
}
