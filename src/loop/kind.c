// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "loop/kind.h"

#include <math.h>

// clang-format off
static const gw_loop_kind_row ROWS[] = {
    [GW_LOOP_BORES]  = {"bores",  "bore",        "bores",         "depth_m",  "count",   15.0, 300.0,  400, 45.0, true,  true},
    [GW_LOOP_TRENCH] = {"trench", "trench",      "trenches",      "length_m", "count",   5.0,  2000.0, 60,  14.0, true,  true},
    [GW_LOOP_COIL]   = {"coil",   "coil trench", "coil trenches", "length_m", "count",   5.0,  500.0,  60,  60.0, true,  true},
    [GW_LOOP_POND]   = {"pond",   "bundle",      "bundles",       "bundle_m", "bundles", 10.0, 500.0,  200, 30.0, false, true},
    [GW_LOOP_WELL]   = {"well",   "well",        "wells",         NULL,       NULL,      0.0,  0.0,    1,   0.0,  false, false},
    [GW_LOOP_MIXED]  = {"mixed",  "part",        "parts",         "parts",    NULL,      5.0,  2000.0, 1,   14.0, true,  true},
};
// clang-format on

const gw_loop_kind_row *gw_loop_kind_row_of(gw_loop_kind kind)
{
    return (size_t)kind < sizeof ROWS / sizeof ROWS[0] ? &ROWS[kind] : NULL;
}

double *gw_loop_each(gw_loop_plan *plan)
{
    switch (plan->kind) {
    case GW_LOOP_BORES:
        return &plan->bores.depth_m;
    case GW_LOOP_TRENCH:
        return &plan->trench.length_m;
    case GW_LOOP_COIL:
        return &plan->coil.length_m;
    case GW_LOOP_POND:
        return &plan->pond.bundle_m;
    case GW_LOOP_MIXED:
        return plan->mixed.free_part < plan->mixed.part_count ? &plan->mixed.free_each_m : NULL;
    case GW_LOOP_WELL:
        break;
    }
    return NULL;
}

size_t *gw_loop_count(gw_loop_plan *plan)
{
    switch (plan->kind) {
    case GW_LOOP_BORES:
        return &plan->bores.count;
    case GW_LOOP_TRENCH:
        return &plan->trench.count;
    case GW_LOOP_COIL:
        return &plan->coil.count;
    case GW_LOOP_POND:
        return &plan->pond.bundles;
    case GW_LOOP_WELL:
    case GW_LOOP_MIXED:
        break;
    }
    return NULL;
}

double gw_loop_each_m(const gw_loop_plan *plan)
{
    gw_loop_plan copy = *plan;
    const double *const each_m = gw_loop_each(&copy);
    return each_m != NULL ? *each_m : 0.0;
}

size_t gw_loop_count_of(const gw_loop_plan *plan)
{
    gw_loop_plan copy = *plan;
    const size_t *const count = gw_loop_count(&copy);
    return count != NULL ? *count : 1;
}

gw_loop_plan gw_loop_part(const gw_loop_plan *mixed, size_t index)
{
    const gw_mixed_plan *const m = &mixed->mixed;
    gw_loop_plan part = m->parts[index];
    double *const each_m = gw_loop_each(&part);
    if (index == m->free_part && m->free_each_m > 0.0 && each_m != NULL) {
        *each_m = m->free_each_m;
    }
    return part;
}

double gw_loop_shortest_m(const gw_loop_plan *plan)
{
    if (plan->kind == GW_LOOP_MIXED && plan->mixed.free_part < plan->mixed.part_count) {
        return gw_loop_shortest_m(&plan->mixed.parts[plan->mixed.free_part]);
    }
    const double least_m = gw_loop_kind_row_of(plan->kind)->shortest_m;
    return plan->kind == GW_LOOP_COIL ? fmax(least_m, plan->coil.ring_diameter_m) : least_m;
}

double gw_loop_longest_m(const gw_loop_plan *plan)
{
    double own_m = 0.0;
    switch (plan->kind) {
    case GW_LOOP_BORES:
        own_m = plan->bores.max_depth_m;
        break;
    case GW_LOOP_TRENCH:
        own_m = plan->trench.max_length_m;
        break;
    case GW_LOOP_COIL:
        own_m = plan->coil.max_length_m;
        break;
    case GW_LOOP_MIXED:
        if (plan->mixed.free_part < plan->mixed.part_count) {
            return gw_loop_longest_m(&plan->mixed.parts[plan->mixed.free_part]);
        }
        break;
    case GW_LOOP_POND:
    case GW_LOOP_WELL:
        break;
    }
    return own_m > 0.0 ? own_m : gw_loop_kind_row_of(plan->kind)->longest_m;
}

double gw_loop_first_m(const gw_loop_plan *plan, double ground_w)
{
    if (plan->kind == GW_LOOP_MIXED && plan->mixed.free_part < plan->mixed.part_count) {
        // What the others carry is not known yet: an equal share.
        return gw_loop_first_m(&plan->mixed.parts[plan->mixed.free_part],
                               ground_w / (double)plan->mixed.part_count);
    }
    const size_t count = gw_loop_count_of(plan);
    const double pipes = plan->kind == GW_LOOP_TRENCH ? (double)plan->trench.pipes : 1.0;
    const double w_m = gw_loop_kind_row_of(plan->kind)->first_w_m;
    return w_m > 0.0 ? ground_w / w_m / pipes / (double)(count > 0 ? count : 1) : 0.0;
}

static double drilled_m(const gw_open_well_plan *w)
{
    const double each_m = w->depth_m > 0.0 ? w->depth_m : w->well.pump_depth_m + 3.0;
    return each_m * (w->well.back == GW_WELL_RETURN_WELL ? 2.0 : 1.0);
}

double gw_loop_length_m(const gw_loop_plan *plan)
{
    double sum_m = 0.0;
    switch (plan->kind) {
    case GW_LOOP_BORES:
        return plan->bores.depth_m * (double)plan->bores.count;
    case GW_LOOP_TRENCH:
        return plan->trench.length_m * (double)(plan->trench.count * plan->trench.pipes);
    case GW_LOOP_COIL:
        return gw_coil_extent_of(&plan->coil).ring_pipe_m * (double)plan->coil.count;
    case GW_LOOP_POND:
        return plan->pond.bundle_m * (double)plan->pond.bundles;
    case GW_LOOP_WELL:
        return drilled_m(&plan->well);
    case GW_LOOP_MIXED:
        for (size_t i = 0; i < plan->mixed.part_count; i++) {
            const gw_loop_plan part = gw_loop_part(plan, i);
            sum_m += gw_loop_length_m(&part);
        }
        return sum_m;
    }
    return 0.0;
}

size_t gw_loop_circuits(const gw_loop_plan *plan)
{
    size_t sum = 0;
    if (plan->circuits > 0) {
        return plan->circuits;
    }
    if (plan->kind == GW_LOOP_TRENCH) {
        const size_t each = plan->trench.pipes % 2 == 0 ? plan->trench.pipes / 2 : 1;
        return plan->trench.count * each;
    }
    if (plan->kind == GW_LOOP_MIXED) {
        for (size_t i = 0; i < plan->mixed.part_count; i++) {
            sum += gw_loop_circuits(&plan->mixed.parts[i]);
        }
        return sum;
    }
    return gw_loop_count_of(plan);
}

const char *gw_loop_pipe_id(const gw_loop_plan *plan)
{
    switch (plan->kind) {
    case GW_LOOP_BORES:
        return plan->bores.pipe;
    case GW_LOOP_TRENCH:
        return plan->trench.pipe;
    case GW_LOOP_COIL:
        return plan->coil.pipe;
    case GW_LOOP_POND:
        return plan->pond.pipe;
    case GW_LOOP_WELL:
        return plan->well.pipe;
    case GW_LOOP_MIXED:
        return gw_loop_pipe_id(&plan->mixed.parts[0]);
    }
    return NULL;
}
