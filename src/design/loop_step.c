// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// One loop of the job: sized with its own circulator, laid against the lot, held against the
// handbook.
#include "design/design_priv.h"

#include "loop/pulse_method.h"

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

// Lot limits go into the plan, so that the sizing does not propose what cannot be laid.
static gw_loop_plan plan_on_lot(const gw_design_priv *d, const gw_loop_plan *asked)
{
    const gw_job_site *const site = &d->input->job->site;
    gw_loop_plan plan = *asked;
    if (plan.kind == GW_LOOP_TRENCH && gw_job_is_given(site->usable_length_m)) {
        const double longest_m = plan.trench.max_length_m;
        plan.trench.max_length_m =
            longest_m > 0.0 ? fmin(longest_m, site->usable_length_m) : site->usable_length_m;
    }
    return plan;
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

// Working room around a collar or beside a trench (common practice, no source).
static const double LAND_MARGIN_M = 1.0;

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

// Freezes the trench as it was just sized. The first time, the unfrozen answer is kept to show the
// difference.
static gw_status freeze_round(gw_design_priv *d, gw_design_loop *loop, const gw_loop_fluid *fluid)
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
    return gw_loop_freeze(d->arena, &site, &loop->sized.result, GW_LOOP_FIRST_MONTH, &loop->frozen,
                          d->err);
}

// The circulator's heat and power depend on the length it pushes through, the ice on the heat per
// metre, the length on both: rounds until neither moves the length. The ice of a longer loop is
// less than that of a shorter one, so each round errs to the safe side.
static gw_status size_in_rounds(gw_design_priv *d, gw_design_loop *loop, const gw_loop_plan *plan)
{
    enum { ROUNDS = 8 };
    static const double SETTLED_W = 5.0;
    static const double SETTLED_FRAC = 0.03;
    static const double SETTLED_K = 0.3;
    const gw_job_plant *const p = &d->input->job->plant;
    const bool given = gw_job_is_given(p->circulator_power_w);
    const double share = d->plant.share_of_design_loss;
    const double capacity_w = share > 0.0 ? share * d->plant.design_loss_w : 10000.0;
    // First guess: 15 W per kilowatt, the best pumping grade of the trade.
    sizing_round round = {.circulator_w = given ? p->circulator_power_w * (double)p->unit_count
                                                : 0.015 * capacity_w};
    double gain_k = 0.0;
    for (int i = 0; i < ROUNDS; i++) {
        gw_loop_fluid fluid;
        gw_status st = one_round(d, loop, plan, &round, &fluid);
        if (st != GW_OK) {
            return st;
        }
        const double length_m = each_m(&loop->sized.plan);
        const bool pump_settled =
            given || fabs(loop->hydraulics.pump_w - round.circulator_w) < SETTLED_W;
        bool ice_settled = true;
        if (plan->kind == GW_LOOP_TRENCH &&
            (loop->freezes || gw_loop_may_freeze(&loop->sized.response, &loop->sized.result))) {
            st = freeze_round(d, loop, &fluid);
            if (st != GW_OK) {
                return st;
            }
            ice_settled = round.correction_k != NULL &&
                          fabs(length_m - round.start_m) <= SETTLED_FRAC * length_m &&
                          fabs(loop->frozen.coldest_gain_k - gain_k) < SETTLED_K;
            gain_k = loop->frozen.coldest_gain_k;
        }
        if (pump_settled && ice_settled) {
            return GW_OK;
        }
        round.circulator_w = given ? round.circulator_w : loop->hydraulics.pump_w;
        round.correction_k = loop->freezes ? loop->frozen.correction_k : NULL;
        round.start_m = length_m;
    }
    return GW_OK;
}

static void measure_land(const gw_design_priv *d, gw_design_loop *loop)
{
    const gw_job_site *const site = &d->input->job->site;
    const gw_loop_response *const r = &loop->sized.response;
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
    const double margin_m =
        loop->kind == GW_LOOP_BORES ? LAND_MARGIN_M : 0.5 * loop->sized.plan.trench.width_m;
    const double across_m = high[0] - low[0] + 2.0 * margin_m;
    const double along_m = high[1] - low[1] + (loop->kind == GW_LOOP_BORES ? 2.0 * margin_m : 0.0);
    loop->land_length_m = fmax(across_m, along_m);
    loop->land_width_m = fmin(across_m, along_m);
    const double slack_m = 1e-6;
    loop->fits_lot = (!gw_job_is_given(site->usable_length_m) ||
                      loop->land_length_m <= site->usable_length_m + slack_m) &&
                     (!gw_job_is_given(site->usable_width_m) ||
                      loop->land_width_m <= site->usable_width_m + slack_m);
}

// Peak, highest month and year of the heat that the design's last year takes from the ground, by
// the heat pump at the least entering water.
static gw_pulse_loads pulse_loads(const gw_design_priv *d, const gw_design_loop *loop)
{
    const double *const heating_w = d->design->loads.heating_w;
    const gw_loop_energy *const y = &loop->sized.result.last;
    const double share =
        y->heating_j > 0.0 ? y->extracted_j / (y->heating_j + y->hot_water_j) : 0.7;
    double month_w = 0.0;
    for (int month = 0; month < 12; month++) {
        double sum_w = 0.0;
        const int start = gw_weather_hours_before_month(month);
        const int hours = 24 * gw_weather_days_of_month(month);
        for (int h = 0; h < hours; h++) {
            sum_w += heating_w[start + h];
        }
        month_w = fmax(month_w, sum_w / hours);
    }
    return (gw_pulse_loads){.hour_w = loop->sized.result.peak_extraction_w,
                            .month_w = share * month_w,
                            .year_w = y->ground_j / GW_YEAR_S};
}

static void handbook_line(const gw_design_priv *d, gw_design_loop *loop)
{
    gw_design_handbook *const h = &loop->handbook;
    if (loop->kind != GW_LOOP_BORES) {
        h->why_not = "the three-pulse formula is for bores";
        return;
    }
    const gw_loop_response *const r = &loop->sized.response;
    const gw_loop_limits *const limits = &d->input->job->limits;
    const gw_pulse_loads loads = pulse_loads(d, loop);
    const double drop_k = loads.hour_w / r->capacity_w_k;
    const gw_pulse_ground ground = {
        .conductivity_w_mk = r->soil.conductivity_w_mk,
        .diffusivity_m2_s = gw_soil_diffusivity_m2_s(&r->soil),
        .bore_radius_m = 0.5 * loop->sized.plan.bores.diameter_m,
        .bore_resistance_mk_w = r->resistance_mk_w,
        .fluid_degc = limits->min_entering_degc - 0.5 * drop_k,
        .ground_degc = r->undisturbed_degc,
    };
    gw_err why = {0};
    h->bore_mk_w = r->resistance_mk_w;
    if (gw_pulse_length(&loads, &ground, &h->length_m, &why) != GW_OK) {
        h->length_m = 0.0;
        h->why_not = gw_arena_strdup(d->arena, why.text);
    }
}

gw_status gw_design_priv_loop(gw_design_priv *d, size_t index)
{
    gw_design_loop *const loop = &d->design->loops[index];
    const gw_loop_plan plan = plan_on_lot(d, &d->input->job->loops[index]);
    loop->name = plan.name;
    loop->kind = plan.kind;
    const char *const pipe_id = plan.kind == GW_LOOP_BORES ? plan.bores.pipe : plan.trench.pipe;
    gw_status st = gw_pipes_find(&d->pipes, pipe_id, &loop->pipe, d->err);
    if (st == GW_OK) {
        st = gw_pipes_find(&d->pipes, d->input->job->pipes.header_pipe, &loop->header, d->err);
    }
    if (st == GW_OK) {
        st = size_in_rounds(d, loop, &plan);
    }
    if (st != GW_OK) {
        return st;
    }
    measure_land(d, loop);
    handbook_line(d, loop);
    return GW_OK;
}
