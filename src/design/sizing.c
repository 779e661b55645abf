// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Sizing one loop together with what depends on its length: the circulator that pushes through it
// and the ice around its pipes.
#include "design/design_priv.h"

#include <math.h>

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

// What the rounds of sizing hand on to each other.
typedef struct {
    gw_loop_plan plan; // as asked, with what the rounds found
    double circulator_w;
    double flow_m3_s;           // of an open well, found; 0: the job's or the unit's
    const double *correction_k; // by freezing, or NULL
    gw_loop_pond water;         // of a pond
    double start_m;
    gw_loop_fluid fluid; // of the round just done
} sizing_round;

static double flow_of(const gw_design_priv *d, const gw_design_loop *loop,
                      const sizing_round *round)
{
    const gw_job_plant *const p = &d->input->job->plant;
    return round->flow_m3_s > 0.0          ? round->flow_m3_s
           : gw_job_is_given(p->flow_m3_s) ? p->flow_m3_s
                                           : loop->plant.rated_flow_m3_s;
}

// The coldest water that enters: the limit, or what a well gives.
static double least_entering(const gw_design_priv *d, const sizing_round *round)
{
    return round->plan.kind == GW_LOOP_WELL ? round->plan.well.well.water_degc
                                            : d->input->job->limits.min_entering_degc;
}

// The fluid's properties are taken half-way between entering and leaving at the least entering
// water, not below a kelvin above its freezing point.
static gw_status fluid_at_design(gw_design_priv *d, gw_design_loop *loop, sizing_round *round)
{
    const double flow_m3_s = flow_of(d, loop, round);
    const double least_degc = least_entering(d, round);
    const double ground_w = peak_ground_w(&loop->plant, least_degc);
    gw_fluid_props props;
    double mean_degc = fmax(least_degc, loop->freeze_degc + 1.0);
    gw_status st = gw_fluid_at(&d->fluids, loop->fluid, mean_degc, &props, d->err);
    if (st != GW_OK) {
        return st;
    }
    const double drop_k = ground_w / (flow_m3_s * props.density_kg_m3 * props.specific_heat_j_kgk);
    mean_degc = fmax(least_degc - 0.5 * drop_k, loop->freeze_degc + 1.0);
    st = gw_fluid_at(&d->fluids, loop->fluid, mean_degc, &props, d->err);
    loop->entering_fluid_degc = mean_degc;
    round->fluid = (gw_loop_fluid){.flow_m3_s = flow_m3_s,
                                   .props = {.density_kg_m3 = props.density_kg_m3,
                                             .heat_j_kgk = props.specific_heat_j_kgk,
                                             .conductivity_w_mk = props.conductivity_w_mk,
                                             .viscosity_pa_s = props.viscosity_pa_s}};
    return st;
}

static gw_loop_pipe pipe_as_laid(const gw_pipe_size *size)
{
    return (gw_loop_pipe){.outer_diameter_m = size->outer_diameter_m,
                          .inner_diameter_m = size->inner_diameter_m,
                          .conductivity_w_mk = size->conductivity_w_mk};
}

static void list_pipes(const gw_design_loop *loop, gw_loop_pipe pipes[GW_LOOP_PARTS_MAX])
{
    pipes[0] = pipe_as_laid(loop->pipe);
    for (size_t i = 0; i < GW_LOOP_PARTS_MAX && loop->part_pipes[i] != NULL; i++) {
        pipes[i] = pipe_as_laid(loop->part_pipes[i]);
    }
}

const gw_loop_ground *gw_design_priv_ground_of(const gw_design *design, gw_loop_kind kind)
{
    return kind == GW_LOOP_BORES ? &design->bore_ground : &design->trench_ground;
}

static gw_status size_once(gw_design_priv *d, gw_design_loop *loop, const sizing_round *round)
{
    gw_loop_pipe pipes[GW_LOOP_PARTS_MAX];
    list_pipes(loop, pipes);
    const gw_loop_task task = {
        .plan = &round->plan,
        .ground = gw_design_priv_ground_of(d->design, round->plan.kind),
        .bore_ground = &d->design->bore_ground,
        .pipe = pipes,
        .fluid = &round->fluid,
        .pond = round->plan.kind == GW_LOOP_POND ? &round->water : NULL,
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

static gw_status build_plant(gw_design_priv *d, gw_design_loop *loop, const sizing_round *round)
{
    const gw_plant_input input = with_circulator(d, round->circulator_w);
    return gw_plant_build(&input, &loop->plant, d->err);
}

static gw_status one_round(gw_design_priv *d, gw_design_loop *loop, sizing_round *round)
{
    gw_status st = build_plant(d, loop, round);
    if (st == GW_OK) {
        st = fluid_at_design(d, loop, round);
    }
    if (st == GW_OK) {
        st = size_once(d, loop, round);
    }
    loop->horizons += loop->sized.try_count;
    loop->circulator_w = round->circulator_w;
    if (st == GW_OK) {
        st =
            gw_design_priv_hydraulics(d, loop, round->fluid.flow_m3_s, round->plan.mixed.flow_frac);
    }
    return st == GW_OK && loop->kind == GW_LOOP_WELL ? gw_design_priv_well(d, loop) : st;
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
    const gw_loop_pipe pipe = pipe_as_laid(loop->pipe);
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

// Frozen ground around coils and mixed loops is not modelled: the answer is told to be cautious.
static bool freezes_uncounted(const gw_design_loop *loop)
{
    return (loop->kind == GW_LOOP_COIL || loop->kind == GW_LOOP_MIXED) &&
           gw_loop_may_freeze(&loop->sized.response, &loop->sized.result);
}

// The loop as sized, frozen by its own heat, simulated once more: does it still hold? If not it is
// made a step longer and tried again.
static gw_status confirm_ice(gw_design_priv *d, gw_design_loop *loop, sizing_round *round)
{
    enum { TRIES = 6 };
    static const double LONGER_FRAC = 0.02;
    const gw_loop_free asked = loop->sized.plan.free;
    const gw_loop_governor governor = loop->sized.governor;
    gw_trench_plan *const trench = &round->plan.trench;
    round->plan = loop->sized.plan;
    round->plan.free = GW_FREE_NOTHING;
    gw_status st = GW_OK;
    for (int i = 0; i < TRIES && st == GW_OK; i++) {
        st = freeze(d, loop, &round->fluid, 1.0);
        if (st == GW_OK) {
            round->correction_k = loop->frozen.correction_k;
            st = one_round(d, loop, round);
        }
        const bool longest = asked == GW_FREE_LENGTH && trench->length_m >= trench->max_length_m;
        if (st != GW_OK || loop->sized.holds || asked == GW_FREE_NOTHING || longest) {
            break;
        }
        if (asked == GW_FREE_COUNT) {
            trench->count++;
        } else {
            trench->length_m =
                fmin(ceil(trench->length_m * (1.0 + LONGER_FRAC)), trench->max_length_m);
        }
    }
    loop->sized.plan.free = asked;
    loop->sized.governor = governor;
    return st;
}

// What the round just done says about pump, flow, water and ice: is all as it was assumed?
static gw_status take_over(gw_design_priv *d, gw_design_loop *loop, double before_m,
                           sizing_round *round, bool *settled)
{
    static const double SETTLED_W = 5.0;
    static const double SETTLED_FRAC = 0.02;
    static const double SETTLED_K = 0.05;
    static const double FIRST_SCALE = 1.15;
    const bool well = loop->kind == GW_LOOP_WELL;
    const bool given = gw_job_is_given(d->input->job->plant.circulator_power_w) && !well;
    const double length_m = loop->sized.response.length_m;
    const double shrink = before_m > 0.0 ? before_m / length_m : FIRST_SCALE;
    const bool ice = may_freeze(loop);
    gw_status st = GW_OK;
    double moved_k = 0.0;
    *settled = (given || fabs(loop->hydraulics.pump_w - round->circulator_w) < SETTLED_W) &&
               (!ice || (round->correction_k != NULL && fabs(shrink - 1.0) < SETTLED_FRAC));
    round->circulator_w = given ? round->circulator_w : loop->hydraulics.pump_w;
    if (well) {
        const double flow_m3_s = loop->well->answer.flow_m3_s;
        *settled = *settled && fabs(flow_m3_s - round->fluid.flow_m3_s) < SETTLED_FRAC * flow_m3_s;
        round->flow_m3_s = flow_m3_s;
    }
    if (loop->kind == GW_LOOP_POND) {
        st = gw_design_priv_pond_feed(d, loop, &round->water, &moved_k);
        *settled = *settled && moved_k < SETTLED_K;
    }
    if (loop->kind == GW_LOOP_MIXED && before_m == 0.0) {
        *settled = false; // the first round shared the flow by the number of circuits
    }
    if (st == GW_OK && ice && !*settled) {
        const bool same = round->plan.free == GW_FREE_NOTHING || !loop->sized.holds;
        st = freeze(d, loop, &round->fluid, same ? 1.0 : fmin(fmax(shrink, 1.0), 1.25));
        round->correction_k = loop->frozen.correction_k;
    }
    round->start_m = gw_loop_each_m(&loop->sized.plan);
    return st;
}

// The circulator's heat and power depend on the length it pushes through, the ice and a pond's
// water on the heat taken, the length on all of them. Each round shortens a freezing loop by about
// half of what the one before did, so the ice is worked out for the length it is heading for; the
// end is confirmed.
gw_status gw_design_priv_size(gw_design_priv *d, gw_design_loop *loop, const gw_loop_plan *plan)
{
    enum { ROUNDS = 8 };
    const gw_job_plant *const p = &d->input->job->plant;
    const bool given = gw_job_is_given(p->circulator_power_w);
    const double share = d->plant.share_of_design_loss;
    const double capacity_w = share > 0.0 ? share * d->plant.design_loss_w : 10000.0;
    // First guess: 15 W per kilowatt, the best pumping grade of the trade.
    sizing_round round = {.plan = *plan,
                          .circulator_w = given ? p->circulator_power_w * (double)p->unit_count
                                                : 0.015 * capacity_w};
    gw_status st = build_plant(d, loop, &round);
    if (st == GW_OK && plan->kind == GW_LOOP_POND) {
        st = gw_design_priv_pond_start(d, loop, &plan->pond, &round.water);
    }
    double before_m = 0.0;
    bool settled = false;
    for (int i = 0; i < ROUNDS && st == GW_OK && !settled; i++) {
        st = one_round(d, loop, &round);
        if (st == GW_OK) {
            st = take_over(d, loop, before_m, &round, &settled);
        }
        before_m = loop->sized.response.length_m;
    }
    if (st == GW_OK && may_freeze(loop)) {
        st = confirm_ice(d, loop, &round);
    }
    loop->freezes_uncounted = st == GW_OK && freezes_uncounted(loop);
    return st;
}
