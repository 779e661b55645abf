// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Sizing one loop together with what depends on its length: the circulator that pushes through it
// and the ice around its pipes.
#include "design/design_priv.h"

#include <math.h>

// Inside the house: heat pump, hoses, manifold (common practice, no source).
static const double INSIDE_VOLUME_M3 = 0.02;
// Fittings of a circuit and of the header as a share of their pipe (common practice, no source).
static const double FITTINGS_FRAC = 0.10;

static gw_plant_input with_circulator(const gw_design_priv *d, double circulator_w)
{
    gw_plant_input input = d->plant;
    input.circulator_power_w = circulator_w / (double)input.unit_count;
    return input;
}

// Rough extraction at the least entering water, for the temperature drop across the unit.
static double peak_ground_w(const gw_plant *plant, double entering_degc)
{
    const gw_plant_rated rated = gw_plant_rated_heating(plant, entering_degc);
    return rated.capacity_w - rated.power_w;
}

// The fluid's properties are taken half-way between entering and leaving at the least entering
// water allowed, not below a kelvin above its freezing point.
static gw_status fluid_at_design(gw_design_priv *d, gw_design_loop *loop, gw_loop_fluid *out)
{
    const gw_job *const job = d->input->job;
    const double flow_m3_s =
        gw_job_is_given(job->plant.flow_m3_s) ? job->plant.flow_m3_s : loop->plant.rated_flow_m3_s;
    const double least_degc = job->limits.min_entering_degc;
    const double ground_w = peak_ground_w(&loop->plant, least_degc);
    gw_fluid_props props;
    double mean_degc = fmax(least_degc, d->design->freeze_degc + 1.0);
    gw_status st = gw_fluid_at(&d->fluids, d->design->fluid, mean_degc, &props, d->err);
    if (st != GW_OK) {
        return st;
    }
    const double drop_k = ground_w / (flow_m3_s * props.density_kg_m3 * props.specific_heat_j_kgk);
    mean_degc = fmax(least_degc - 0.5 * drop_k, d->design->freeze_degc + 1.0);
    st = gw_fluid_at(&d->fluids, d->design->fluid, mean_degc, &props, d->err);
    loop->entering_fluid_degc = mean_degc;
    *out = (gw_loop_fluid){.flow_m3_s = flow_m3_s,
                           .props = {.density_kg_m3 = props.density_kg_m3,
                                     .heat_j_kgk = props.specific_heat_j_kgk,
                                     .conductivity_w_mk = props.conductivity_w_mk,
                                     .viscosity_pa_s = props.viscosity_pa_s}};
    return st;
}

static gw_status solve_hydraulics(gw_design_priv *d, gw_design_loop *loop, double flow_m3_s)
{
    const gw_loop_response *const r = &loop->sized.response;
    const double header_m = 2.0 * loop->sized.plan.header_m;
    const gw_circuit_plan plan = {
        .circuit_count = r->circuits,
        .circuit_pipe = loop->pipe,
        .circuit_length_m = r->circuit_pipe_m,
        .circuit_equivalent_m = FITTINGS_FRAC * r->circuit_pipe_m,
        .header_pipe = header_m > 0.0 ? loop->header : NULL,
        .header_length_m = header_m,
        .header_equivalent_m = FITTINGS_FRAC * header_m,
        .unit_pressure_drop_pa = loop->plant.pressure_drop_pa,
        .inside_volume_m3 = INSIDE_VOLUME_M3,
        .total_flow_m3_s = flow_m3_s,
        .fluid = d->design->fluid,
        .coldest_degc = loop->entering_fluid_degc,
        .wire_to_water_frac = d->input->job->pipes.wire_to_water_frac,
        .capacity_w = gw_plant_rated_heating(&loop->plant, 0.0).capacity_w,
    };
    return gw_pipes_solve_circuits(d->arena, &d->fluids, &plan, &loop->hydraulics, d->err);
}

static gw_loop_pipe pipe_of(const gw_design_loop *loop)
{
    return (gw_loop_pipe){.outer_diameter_m = loop->pipe->outer_diameter_m,
                          .inner_diameter_m = loop->pipe->inner_diameter_m,
                          .conductivity_w_mk = loop->pipe->conductivity_w_mk};
}

// What the rounds of sizing hand on to each other.
typedef struct {
    double circulator_w;
    const double *correction_k; // by freezing, or NULL
    double start_m;
} sizing_round;

static gw_status size_once(gw_design_priv *d, gw_design_loop *loop, const gw_loop_plan *plan,
                           const gw_loop_fluid *fluid, const sizing_round *round)
{
    const gw_loop_pipe pipe = pipe_of(loop);
    const gw_loop_task task = {
        .plan = plan,
        .ground = plan->kind == GW_LOOP_BORES ? &d->design->bore_ground : &d->design->trench_ground,
        .pipe = &pipe,
        .fluid = fluid,
        .limits = &d->input->job->limits,
        .heating_w = d->design->loads.heating_w,
        .cooling_w = d->design->plant_cooling_w,
        .hot_water_w = d->design->hot_water_w,
        .plant = &loop->plant,
        .correction_k = round->correction_k,
        .start_m = round->start_m,
        .first_month = GW_LOOP_FIRST_MONTH,
    };
    return gw_loop_size(d->arena, &task, &loop->sized, d->err);
}

static double each_m(const gw_loop_plan *plan)
{
    return plan->kind == GW_LOOP_BORES ? plan->bores.depth_m : plan->trench.length_m;
}

static gw_status one_round(gw_design_priv *d, gw_design_loop *loop, const gw_loop_plan *plan,
                           const sizing_round *round, gw_loop_fluid *fluid)
{
    const gw_plant_input input = with_circulator(d, round->circulator_w);
    gw_status st = gw_plant_build(&input, &loop->plant, d->err);
    if (st == GW_OK) {
        st = fluid_at_design(d, loop, fluid);
    }
    if (st == GW_OK) {
        st = size_once(d, loop, plan, fluid, round);
    }
    loop->horizons += loop->sized.try_count;
    loop->circulator_w = round->circulator_w;
    return st == GW_OK ? solve_hydraulics(d, loop, fluid->flow_m3_s) : st;
}

// Freezes the trench as it was just sized, with its heat per metre times `scale`: a loop that is
// about to get shorter is frozen as it will be. The first time, the unfrozen answer is kept to show
// the difference.
static gw_status freeze(gw_design_priv *d, gw_design_loop *loop, const gw_loop_fluid *fluid,
                        double scale)
{
    if (!loop->freezes) {
        loop->freezes = true;
        loop->unfrozen_coldest_degc = loop->sized.result.coldest.degc;
        loop->unfrozen_length_m = loop->sized.response.length_m;
    }
    const gw_loop_pipe pipe = pipe_of(loop);
    const gw_loop_site site = {.plan = &loop->sized.plan,
                               .ground = &d->design->trench_ground,
                               .pipe = &pipe,
                               .fluid = fluid,
                               .years = d->input->job->limits.years};
    const gw_loop_freeze_case at = {.first_month = GW_LOOP_FIRST_MONTH, .heat_scale = scale};
    return gw_loop_freeze(d->arena, &site, &loop->sized.result, &at, &loop->frozen, d->err);
}

static bool may_freeze(const gw_design_loop *loop)
{
    return loop->kind == GW_LOOP_TRENCH &&
           (loop->freezes || gw_loop_may_freeze(&loop->sized.response, &loop->sized.result));
}

// The loop as sized, frozen by its own heat, simulated once more: does it still hold? If not it is
// made a step longer and tried again.
static gw_status confirm_ice(gw_design_priv *d, gw_design_loop *loop, sizing_round *round,
                             gw_loop_fluid *fluid)
{
    enum { TRIES = 6 };
    static const double LONGER_FRAC = 0.02;
    const gw_loop_free asked = loop->sized.plan.free;
    gw_loop_governor governor = loop->sized.governor;
    gw_loop_plan plan = loop->sized.plan;
    plan.free = GW_FREE_NOTHING;
    gw_status st = GW_OK;
    for (int i = 0; i < TRIES && st == GW_OK; i++) {
        st = freeze(d, loop, fluid, 1.0);
        if (st == GW_OK) {
            round->correction_k = loop->frozen.correction_k;
            st = one_round(d, loop, &plan, round, fluid);
        }
        const bool longest =
            asked == GW_FREE_LENGTH && plan.trench.length_m >= plan.trench.max_length_m;
        if (st != GW_OK || loop->sized.holds || asked == GW_FREE_NOTHING || longest) {
            break;
        }
        if (asked == GW_FREE_COUNT) {
            plan.trench.count++;
        } else {
            plan.trench.length_m =
                fmin(ceil(plan.trench.length_m * (1.0 + LONGER_FRAC)), plan.trench.max_length_m);
        }
    }
    loop->sized.plan.free = asked;
    loop->sized.governor = governor;
    return st;
}

// The circulator's heat and power depend on the length it pushes through, the ice on the heat per
// metre, the length on both. Each round shortens a freezing loop by about half of what the one
// before did, so the ice is worked out for the length it is heading for; the end is confirmed.
gw_status gw_design_priv_size(gw_design_priv *d, gw_design_loop *loop, const gw_loop_plan *plan)
{
    enum { ROUNDS = 8 };
    static const double SETTLED_W = 5.0;
    static const double SETTLED_FRAC = 0.02;
    static const double FIRST_SCALE = 1.15;
    const gw_job_plant *const p = &d->input->job->plant;
    const bool given = gw_job_is_given(p->circulator_power_w);
    const double share = d->plant.share_of_design_loss;
    const double capacity_w = share > 0.0 ? share * d->plant.design_loss_w : 10000.0;
    // First guess: 15 W per kilowatt, the best pumping grade of the trade.
    sizing_round round = {.circulator_w = given ? p->circulator_power_w * (double)p->unit_count
                                                : 0.015 * capacity_w};
    gw_loop_fluid fluid;
    double before_m = 0.0;
    gw_status st = GW_OK;
    for (int i = 0; i < ROUNDS; i++) {
        st = one_round(d, loop, plan, &round, &fluid);
        if (st != GW_OK) {
            return st;
        }
        const double length_m = loop->sized.response.length_m;
        const double shrink = before_m > 0.0 ? before_m / length_m : FIRST_SCALE;
        const bool pump_settled =
            given || fabs(loop->hydraulics.pump_w - round.circulator_w) < SETTLED_W;
        const bool ice_settled =
            !may_freeze(loop) || (round.correction_k != NULL && fabs(shrink - 1.0) < SETTLED_FRAC);
        round.circulator_w = given ? round.circulator_w : loop->hydraulics.pump_w;
        if (pump_settled && ice_settled) {
            break;
        }
        if (may_freeze(loop)) {
            const bool same = plan->free == GW_FREE_NOTHING || !loop->sized.holds;
            st = freeze(d, loop, &fluid, same ? 1.0 : fmin(fmax(shrink, 1.0), 1.25));
            if (st != GW_OK) {
                return st;
            }
            round.correction_k = loop->frozen.correction_k;
        }
        before_m = length_m;
        round.start_m = each_m(&loop->sized.plan);
    }
    return may_freeze(loop) ? confirm_ice(d, loop, &round, &fluid) : st;
}
