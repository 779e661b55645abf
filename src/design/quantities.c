// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What has to be dug, drilled, sunk and bought for a loop, and for the plant in the house.
#include "design/design_priv.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
// Losses into fissures and an uneven wall (common practice, no source).
static const double GROUT_EXTRA_FRAC = 0.25;

static gw_estimate_quantity measured(double amount, const char *origin)
{
    return (gw_estimate_quantity){.amount = amount, .origin = origin};
}

// A mixed loop may dig twice: amounts add up under the first one's words.
static void add(gw_estimate_quantity *q, double amount, const char *origin)
{
    *q = measured(q->amount + amount, q->origin != NULL ? q->origin : origin);
}

static void bore_quantities(gw_design_priv *d, const gw_bores_plan *b, const gw_pipe_size *pipe,
                            gw_estimate_quantities *q)
{
    const double count = (double)b->count;
    const double bored_m = b->top_m + b->depth_m;
    const double soil_m = fmin(b->rock_depth_m, bored_m);
    const char *const origin =
        gw_arena_printf(d->arena, "%zu bores of %.0f m", b->count, b->top_m + b->depth_m);
    const char *const overburden =
        gw_arena_printf(d->arena, "%zu bores through %.1f m of overburden", b->count, soil_m);
    const bool hard = d->input->job->ground.drilling == GW_JOB_DRILL_HARD_ROCK;
    add(hard ? &q->bore_hard_rock_m : &q->bore_soft_rock_m, count * (bored_m - soil_m), origin);
    add(&q->bore_soil_m, count * soil_m, overburden);
    add(&q->casing_m, count * soil_m, overburden);
    q->rig_visits = measured(1.0, "one visit of the rig");
    add(&q->bores, count, "the sized loop");
    const double pipe_m2 = 0.25 * PI * pipe->outer_diameter_m * pipe->outer_diameter_m;
    const double annulus_m2 =
        0.25 * PI * b->diameter_m * b->diameter_m - 2.0 * (double)b->u_tubes * pipe_m2;
    add(&q->grout_m3, count * bored_m * annulus_m2 * (1.0 + GROUT_EXTRA_FRAC),
        "bore less pipes over the full length, and 25 % for losses");
}

// Digging from today's ground: fill that is brought in need not be dug.
static void trench_quantities(gw_design_priv *d, const gw_trench_plan *t, gw_estimate_quantities *q)
{
    const double run_m = (double)t->count * t->length_m;
    const double dug_m = t->depth_m - t->fill_m;
    add(&q->excavation_m3, run_m * t->width_m * dug_m,
        gw_arena_printf(d->arena, "%zu trenches of %.0f m, %.2f m wide, dug %.2f m deep", t->count,
                        t->length_m, t->width_m, dug_m));
    add(&q->imported_fill_m3, run_m * t->width_m * t->fill_m,
        "fill over the trenches themselves; the rest belongs to the lot");
    q->excavator_visits = measured(1.0, "one visit of the excavator");
    add(&q->sand_m3, run_m * t->width_m * 0.15, "0.15 m of sand around the pipes");
    add(&q->restoration_m2, run_m * (t->width_m + 3.0), "the trench and 1.5 m on each side");
}

static void coil_quantities(gw_design_priv *d, const gw_coil_plan *c, gw_estimate_quantities *q)
{
    const double run_m = (double)c->count * c->length_m;
    add(&q->excavation_m3, run_m * c->width_m * c->depth_m,
        gw_arena_printf(d->arena, "%zu coil trenches of %.0f m, %.2f m wide, %.2f m deep", c->count,
                        c->length_m, c->width_m, c->depth_m));
    q->excavator_visits = measured(1.0, "one visit of the excavator");
    if (c->lie == GW_COIL_FLAT) {
        add(&q->sand_m3, run_m * c->width_m * 0.15, "0.15 m of sand around the pipes");
    } else { // washed in around the rings, or they lie in air
        add(&q->sand_m3, run_m * c->width_m * c->ring_diameter_m,
            "sand washed in between the rings");
    }
    add(&q->restoration_m2, run_m * (c->width_m + 3.0), "the trench and 1.5 m on each side");
}

static void well_quantities(gw_design_priv *d, const gw_open_well_plan *w,
                            gw_estimate_quantities *q)
{
    const bool back = w->well.back == GW_WELL_RETURN_WELL;
    const double each_m = w->depth_m > 0.0 ? w->depth_m : w->well.pump_depth_m + 3.0;
    const double wells = (w->existing ? 0.0 : 1.0) + (back ? 1.0 : 0.0);
    add(&q->well_m, wells * each_m,
        gw_arena_printf(d->arena, "%s%s, %.0f m each", w->existing ? "" : "supply well",
                        back ? (w->existing ? "return well" : " and return well") : "", each_m));
    q->well_pumps = measured(1.0, "in the supply well");
    if (wells > 0.0) {
        q->rig_visits = measured(1.0, "one visit of the rig");
    }
    add(&q->header_m, w->well.return_distance_m, "line to where the water goes");
}

static void part_quantities(gw_design_priv *d, const gw_loop_plan *plan, const gw_pipe_size *pipe,
                            gw_estimate_quantities *q)
{
    switch (plan->kind) {
    case GW_LOOP_BORES:
        bore_quantities(d, &plan->bores, pipe, q);
        break;
    case GW_LOOP_TRENCH:
        trench_quantities(d, &plan->trench, q);
        break;
    case GW_LOOP_COIL:
        coil_quantities(d, &plan->coil, q);
        break;
    case GW_LOOP_POND:
        q->pond_coils = measured((double)plan->pond.bundles, "bundles, each made up and sunk");
        break;
    case GW_LOOP_WELL:
        well_quantities(d, &plan->well, q);
        break;
    case GW_LOOP_MIXED:
        break; // its parts one by one
    }
}

double gw_design_priv_pipe_m(const gw_loop_plan *part)
{
    switch (part->kind) {
    case GW_LOOP_BORES:
        return 2.0 * (double)part->bores.u_tubes * gw_loop_length_m(part);
    case GW_LOOP_COIL:
        return gw_coil_extent_of(&part->coil).pipe_m * (double)part->coil.count;
    case GW_LOOP_TRENCH:
    case GW_LOOP_POND:
    case GW_LOOP_WELL:
    case GW_LOOP_MIXED:
        break;
    }
    return gw_loop_length_m(part);
}

static void shared_quantities(const gw_design_priv *d, const gw_design_loop *loop,
                              gw_estimate_quantities *q)
{
    const double units = (double)d->plant.unit_count;
    const double capacity_w = gw_plant_rated_heating(&loop->plant, 0.0).capacity_w;
    const double backup_w = d->design->house.loss_w;
    const bool closed = gw_loop_kind_row_of(loop->kind)->antifreeze;
    add(&q->header_m, loop->sized.plan.header_m, "from the field to the house");
    q->wall_entries = measured(1.0, "supply and return through one sleeve");
    q->heat_pumps = measured(units, "the job");
    q->heat_pump_capacity_w = measured(capacity_w, "heating capacity at 0 °C entering water");
    q->heat_pump_settings = measured(units, "the job");
    if (closed) {
        q->manifold_circuits =
            measured((double)loop->sized.response.circuits, "circuits in parallel");
        q->flush_and_fill = measured(1.0, "the whole loop");
        q->circulators = measured(units, "one for each heat pump");
    }
    q->auxiliary_w =
        measured(backup_w, "sized to the whole design loss, for a day without the heat pump");
    q->controls = measured(units, "the job");
    q->ductwork_w = measured(capacity_w, "heating capacity at 0 °C entering water");
    q->electrical = measured(units, "the job");
    q->designs = measured(1.0, "this design");
    q->permits = measured(1.0, "one permit");
    q->locates = measured(1.0, "before digging");
    q->as_built_records = measured(1.0, "for the municipality and the next excavator");
    if (d->design->hot_water_w != NULL) {
        q->hot_water_tanks = measured(1.0, "hot water by the heat pump");
    }
}

void gw_design_priv_quantities(gw_design_priv *d, const gw_design_loop *loop,
                               gw_estimate_quantities *q)
{
    const gw_loop_plan *const plan = &loop->sized.plan;
    part_quantities(d, plan, loop->pipe, q);
    for (size_t i = 0; i < plan->mixed.part_count; i++) {
        const gw_loop_plan part = gw_loop_part(plan, i);
        part_quantities(d, &part, loop->part_pipes[i], q);
    }
    shared_quantities(d, loop, q);
}
