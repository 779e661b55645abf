// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A loop sized where it can lie: placed on usable ground, joined to the house, measured against
// every distance.
//
// Bores of a known number are placed first and sized where they stand. Bores of a free number are
// sized on a grid, placed, and given one more until they hold where they stand. Lanes are sized no
// longer than the ground takes, then placed; the header found is sized with.
#include "design/lot_priv.h"
#include "loop/kind.h"

#include <math.h>
#include <string.h>

gw_design_lie gw_design_priv_lie(const gw_loop_plan *plan)
{
    static const double LONGEST_M = 500.0;
    const gw_bores_plan *const b = &plan->bores;
    const gw_trench_plan *const t = &plan->trench;
    const gw_coil_plan *const c = &plan->coil;
    switch (plan->kind) {
    case GW_LOOP_BORES:
        return (gw_design_lie){.placed = true,
                               .loop = GW_LOT_BORE,
                               .count = b->count,
                               .each_m = b->depth_m,
                               .spacing_m = b->spacing_m,
                               .half_width_m = 0.5 * b->diameter_m};
    case GW_LOOP_TRENCH:
        return (gw_design_lie){.placed = true,
                               .lanes = true,
                               .loop = GW_LOT_TRENCH,
                               .count = t->count,
                               .each_m = t->length_m,
                               .spacing_m = t->spacing_m,
                               .half_width_m = 0.5 * t->width_m,
                               .longest_m = t->max_length_m > 0.0 ? t->max_length_m : LONGEST_M};
    case GW_LOOP_COIL:
        return (gw_design_lie){.placed = true,
                               .lanes = true,
                               .loop = GW_LOT_COIL,
                               .count = c->count,
                               .each_m = c->length_m,
                               .spacing_m = c->spacing_m,
                               .half_width_m = 0.5 * c->width_m,
                               .longest_m = c->max_length_m > 0.0 ? c->max_length_m : LONGEST_M};
    case GW_LOOP_POND:
    case GW_LOOP_WELL:
    case GW_LOOP_MIXED:
        break;
    }
    return (gw_design_lie){0};
}

static double *longest_of(gw_loop_plan *plan)
{
    return plan->kind == GW_LOOP_COIL ? &plan->coil.max_length_m : &plan->trench.max_length_m;
}

static void set_longest(gw_loop_plan *plan, double longest_m)
{
    *longest_of(plan) = longest_m;
}

static void set_lanes(gw_loop_plan *plan, size_t count, double length_m)
{
    *gw_loop_count(plan) = count;
    *gw_loop_each(plan) = length_m;
    set_longest(plan, fmax(*longest_of(plan), length_m));
}

// ---- bores --------------------------------------------------------------------------------------

static gw_status lay_bores(gw_design_lot_desk *desk, gw_loop_plan *plan)
{
    gw_status st = gw_design_priv_place_bores(desk, plan);
    return st == GW_OK ? gw_design_priv_route_header(desk, plan) : st;
}

static gw_status size_free_number(gw_design_lot_desk *desk, gw_design_loop *loop,
                                  const gw_loop_plan *asked)
{
    enum { MORE = 8 };
    gw_loop_plan plan = *asked;
    gw_status st = gw_design_priv_size(desk->d, loop, &plan);
    size_t count = loop->sized.plan.bores.count;
    for (int i = 0; st == GW_OK && i < MORE; i++, count++) {
        plan.free = GW_FREE_NOTHING;
        plan.bores.count = count;
        st = lay_bores(desk, &plan);
        if (st == GW_OK) {
            st = gw_design_priv_size(desk->d, loop, &plan);
        }
        if (st != GW_OK || loop->sized.holds || !desk->on->fits) {
            break;
        }
    }
    loop->sized.plan.free = asked->free;
    return st;
}

static gw_status size_bores(gw_design_lot_desk *desk, gw_design_loop *loop,
                            const gw_loop_plan *asked)
{
    if (asked->free == GW_FREE_COUNT) {
        return size_free_number(desk, loop, asked);
    }
    gw_loop_plan plan = *asked;
    const gw_status st = lay_bores(desk, &plan);
    return st == GW_OK ? gw_design_priv_size(desk->d, loop, &plan) : st;
}

// ---- lanes --------------------------------------------------------------------------------------

// Lanes that the job lays for this loop: their number and mean length are the loop's.
static gw_status take_hand_lanes(gw_design_lot_desk *desk, gw_loop_plan *plan)
{
    const gw_job_lot *const job = desk->job;
    gw_lot_lane *const lanes = gw_arena_alloc(desk->d->arena, job->lane_count + 1, sizeof *lanes);
    if (lanes == NULL) {
        return gw_fail(desk->d->err, GW_ERR_NOMEM, "lot.lanes", "out of memory");
    }
    size_t count = 0;
    double total_m = 0.0;
    for (size_t i = 0; i < job->lane_count; i++) {
        const gw_job_lane *const l = &job->lanes[i];
        if (strcmp(l->loop, plan->name) == 0) {
            const double length_m = hypot(l->to.x_m - l->from.x_m, l->to.y_m - l->from.y_m);
            lanes[count++] = (gw_lot_lane){l->from, l->to, length_m};
            total_m += length_m;
        }
    }
    if (count == 0) {
        return GW_OK;
    }
    desk->on->by_hand = true;
    desk->on->lanes = lanes;
    desk->on->lane_count = count;
    desk->on->placing = gw_arena_printf(desk->d->arena,
                                        "%zu trench%s of %.1f m in the mean where the job lays %s; "
                                        "number and length are not sized",
                                        count, count == 1 ? "" : "es", total_m / (double)count,
                                        count == 1 ? "it" : "them");
    set_lanes(plan, count, total_m / (double)count);
    plan->free = GW_FREE_NOTHING;
    return desk->on->placing != NULL
               ? GW_OK
               : gw_fail(desk->d->err, GW_ERR_NOMEM, "lot.lanes", "out of memory");
}

static gw_status lay_lanes(gw_design_lot_desk *desk, gw_loop_plan *plan)
{
    gw_status st = gw_design_priv_place_lanes(desk, plan);
    return st == GW_OK ? gw_design_priv_route_header(desk, plan) : st;
}

static gw_status size_lanes(gw_design_lot_desk *desk, gw_design_loop *loop,
                            const gw_loop_plan *asked)
{
    enum { ROUNDS = 3 };
    static const double SETTLED_M = 1.0;
    static const double SHORTEST_M = 5.0;
    gw_loop_plan plan = *asked;
    double longest_m = 0.0;
    gw_status st = take_hand_lanes(desk, &plan);
    if (st == GW_OK && plan.free == GW_FREE_LENGTH) {
        st = gw_design_priv_longest_lane(desk, &plan, &longest_m);
        set_longest(&plan, fmax(longest_m, SHORTEST_M));
    }
    // The header of lanes as long as they can be is a good first guess.
    gw_loop_plan first = plan;
    if (st == GW_OK && longest_m >= SHORTEST_M) {
        set_lanes(&first, gw_design_priv_lie(&plan).count, longest_m);
    }
    if (st == GW_OK && gw_design_priv_lie(&first).count > 0 &&
        gw_design_priv_lie(&first).each_m > 0.0) {
        st = lay_lanes(desk, &first);
        plan.header_m = first.header_m;
    }
    for (int i = 0; st == GW_OK && i < ROUNDS; i++) {
        st = gw_design_priv_size(desk->d, loop, &plan);
        gw_loop_plan sized = loop->sized.plan;
        if (st == GW_OK) {
            st = lay_lanes(desk, &sized);
        }
        // What is priced and drawn is the header as it lies; its head was that of plan.header_m.
        loop->sized.plan.header_m = sized.header_m;
        if (fabs(sized.header_m - plan.header_m) <= SETTLED_M) {
            break;
        }
        plan.header_m = sized.header_m;
    }
    loop->sized.plan.free = asked->free;
    return st;
}

// ---- the step -----------------------------------------------------------------------------------

gw_status gw_design_priv_size_on_lot(gw_design_priv *d, gw_design_loop *loop,
                                     const gw_loop_plan *plan)
{
    const gw_job_lot *const job = d->input->job->lot;
    if (job == NULL) {
        return gw_design_priv_size(d, loop, plan);
    }
    gw_design_on_lot *const on = gw_arena_alloc(d->arena, 1, sizeof *on);
    if (on == NULL) {
        return gw_fail(d->err, GW_ERR_NOMEM, "lot", "out of memory laying the loop on the lot");
    }
    loop->on_lot = on;
    gw_design_lot_desk desk = {.d = d, .job = job, .on = on};
    gw_status st = gw_design_priv_lot_open(&desk, plan);
    if (st != GW_OK) {
        return st;
    }
    if (!on->placed) {
        on->fits = true;
        return gw_design_priv_size(d, loop, plan);
    }
    st = gw_design_priv_lie(plan).lanes ? size_lanes(&desk, loop, plan)
                                        : size_bores(&desk, loop, plan);
    return st == GW_OK ? gw_design_priv_measure(&desk, &loop->sized.plan) : st;
}
