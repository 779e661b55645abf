// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "pipes/circuit.h"

#include "base/range.h"

#include "pipes/friction_priv.h"
#include "pipes/network.h"

#include <math.h>
#include <stdio.h>

#define PURGE_WATER_DEGC 10.0

static gw_status check_numbers(const gw_circuit_plan *plan, gw_err *err)
{
    const gw_unit_range limits[] = {
        {"circuit_equivalent_m", plan->circuit_equivalent_m, 0.0, 1000.0, "m"},
        {"circuit_loss_coefficient", plan->circuit_loss_coefficient, 0.0, 1000.0, ""},
        {"header_length_m", plan->header_length_m, 0.0, 2000.0, "m"},
        {"header_equivalent_m", plan->header_equivalent_m, 0.0, 1000.0, "m"},
        {"header_loss_coefficient", plan->header_loss_coefficient, 0.0, 1000.0, ""},
        {"unit_pressure_drop_pa", plan->unit_pressure_drop_pa, 0.0, 5e5, "Pa"},
        {"inside_volume_m3", plan->inside_volume_m3, 0.0, 10.0, "m3"},
        {"total_flow_m3_s", plan->total_flow_m3_s, 1e-6, 0.2, "m3/s"},
        {"wire_to_water_frac", plan->wire_to_water_frac, 0.05, 0.9, ""},
        {"capacity_w", plan->capacity_w, 0.0, 1e7, "W"},
        {"purge_velocity_m_s", plan->purge_velocity_m_s, 0.0, 3.0, "m/s"},
        {"purge_water_degc", plan->purge_water_degc, 0.0, 60.0, "°C"},
    };
    return gw_unit_range_check(limits, sizeof limits / sizeof limits[0], err);
}

static double circuit_length_m(const gw_circuit_plan *plan, size_t i)
{
    return plan->circuit_lengths_m != NULL ? plan->circuit_lengths_m[i] : plan->circuit_length_m;
}

static gw_status check_plan(const gw_circuit_plan *plan, gw_err *err)
{
    if (plan->circuit_pipe == NULL) {
        return gw_fail(err, GW_ERR_MISSING, "circuit_pipe", "a pipe size is required");
    }
    if (plan->header_pipe == NULL && plan->header_length_m > 0.0) {
        return gw_fail(err, GW_ERR_MISSING, "header_pipe", "a header of %g m needs a pipe size",
                       plan->header_length_m);
    }
    if (plan->circuit_count < 1 || plan->circuit_count > GW_PIPES_CIRCUITS_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "circuit_count", "%zu circuits must be 1 to %d",
                       plan->circuit_count, (int)GW_PIPES_CIRCUITS_MAX);
    }
    for (size_t i = 0; i < plan->circuit_count; ++i) {
        const double length_m = circuit_length_m(plan, i);
        if (!(length_m >= 0.1 && length_m <= 5000.0)) {
            return gw_fail(err, GW_ERR_RANGE, "circuit_length_m",
                           "circuit %zu: %g m must be 0.1 to 5000 m", i + 1, length_m);
        }
    }
    return check_numbers(plan, err);
}

// The parallel circuits with one fluid and one total flow.
typedef struct {
    const gw_circuit_plan *plan;
    gw_fluid_props props;
    double total_flow_m3_s;
} circuits;

static gw_pipe_run circuit_run(const circuits *c, size_t i, double flow_m3_s)
{
    const gw_circuit_plan *const plan = c->plan;
    return (gw_pipe_run){.flow_m3_s = flow_m3_s,
                         .diameter_m = plan->circuit_pipe->inner_diameter_m,
                         .length_m = circuit_length_m(plan, i) + plan->circuit_equivalent_m,
                         .roughness_m = plan->circuit_pipe->roughness_m,
                         .loss_coefficient = plan->circuit_loss_coefficient,
                         .density_kg_m3 = c->props.density_kg_m3,
                         .viscosity_pa_s = c->props.viscosity_pa_s};
}

static gw_pipe_flow header_flow(const circuits *c)
{
    const gw_circuit_plan *const plan = c->plan;
    gw_pipe_flow flow = {0};
    if (plan->header_pipe != NULL) {
        gw_pipes_priv_flow(
            &(gw_pipe_run){.flow_m3_s = c->total_flow_m3_s,
                           .diameter_m = plan->header_pipe->inner_diameter_m,
                           .length_m = plan->header_length_m + plan->header_equivalent_m,
                           .roughness_m = plan->header_pipe->roughness_m,
                           .loss_coefficient = plan->header_loss_coefficient,
                           .density_kg_m3 = c->props.density_kg_m3,
                           .viscosity_pa_s = c->props.viscosity_pa_s},
            &flow);
    }
    return flow;
}

// Flow of every circuit between a supply and a return node: with the total flow given, or with the
// head between them given (head_m > 0).
static gw_status share_between(gw_arena *arena, const circuits *c, double head_m, double *flow_m3_s,
                               gw_err *err)
{
    const size_t count = c->plan->circuit_count;
    gw_network_link *const links = gw_arena_alloc(arena, count, sizeof *links);
    if (links == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "circuit_count", "no memory for %zu circuits", count);
    }
    for (size_t i = 0; i < count; ++i) {
        const gw_pipe_run run = circuit_run(c, i, 0.0);
        links[i] = (gw_network_link){.from = 0,
                                     .to = 1,
                                     .diameter_m = run.diameter_m,
                                     .length_m = run.length_m,
                                     .roughness_m = run.roughness_m,
                                     .loss_coefficient = run.loss_coefficient};
    }
    const gw_network_node nodes[] = {
        {.has_head = head_m > 0.0, .head_m = head_m, .demand_m3_s = -c->total_flow_m3_s},
        {.has_head = true}};
    const gw_network network = {.nodes = nodes,
                                .node_count = 2,
                                .links = links,
                                .link_count = count,
                                .density_kg_m3 = c->props.density_kg_m3,
                                .viscosity_pa_s = c->props.viscosity_pa_s};
    gw_network_solution solution;
    const gw_status st = gw_pipes_solve_network(arena, &network, &solution, err);
    for (size_t i = 0; st == GW_OK && i < count; ++i) {
        flow_m3_s[i] = solution.flow_m3_s[i];
    }
    return st;
}

// Equal circuits need no network.
static gw_status share_flow(gw_arena *arena, const circuits *c, double *flow_m3_s, gw_err *err)
{
    const size_t count = c->plan->circuit_count;
    if (c->plan->circuit_lengths_m != NULL) {
        return share_between(arena, c, 0.0, flow_m3_s, err);
    }
    for (size_t i = 0; i < count; ++i) {
        flow_m3_s[i] = c->total_flow_m3_s / (double)count;
    }
    return GW_OK;
}

static size_t longest(const gw_circuit_plan *plan)
{
    size_t at = 0;
    for (size_t i = 1; i < plan->circuit_count; ++i) {
        if (circuit_length_m(plan, i) > circuit_length_m(plan, at)) {
            at = i;
        }
    }
    return at;
}

static gw_status solve_design(gw_arena *arena, const circuits *c, gw_circuit_result *out,
                              gw_err *err)
{
    const gw_circuit_plan *const plan = c->plan;
    out->flow_m3_s = gw_arena_alloc(arena, plan->circuit_count, sizeof *out->flow_m3_s);
    if (out->flow_m3_s == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "circuit_count", "no memory for %zu circuits",
                       plan->circuit_count);
    }
    const gw_status st = share_flow(arena, c, out->flow_m3_s, err);
    if (st != GW_OK) {
        return st;
    }
    out->least_flow_m3_s = out->greatest_flow_m3_s = out->flow_m3_s[0];
    for (size_t i = 1; i < plan->circuit_count; ++i) {
        out->least_flow_m3_s = fmin(out->least_flow_m3_s, out->flow_m3_s[i]);
        out->greatest_flow_m3_s = fmax(out->greatest_flow_m3_s, out->flow_m3_s[i]);
    }
    out->governing = longest(plan);
    out->circuit_flow_m3_s = out->flow_m3_s[out->governing];
    const gw_pipe_run run = circuit_run(c, out->governing, out->circuit_flow_m3_s);
    gw_pipes_priv_flow(&run, &out->circuit);
    out->least_reynolds = out->circuit.reynolds * (out->least_flow_m3_s / out->circuit_flow_m3_s);
    out->header = header_flow(c);
    return GW_OK;
}

static void add_heads(const circuits *c, gw_circuit_result *out)
{
    const gw_circuit_plan *const plan = c->plan;
    const double weight_n_m3 = c->props.density_kg_m3 * GW_PIPES_GRAVITY_M_S2;
    out->circuit_head_m = out->circuit.head_loss_m;
    out->header_head_m = out->header.head_loss_m;
    out->unit_head_m = plan->unit_pressure_drop_pa / weight_n_m3;
    out->total_head_m = out->circuit_head_m + out->header_head_m + out->unit_head_m;
    out->total_pressure_pa = out->total_head_m * weight_n_m3;
    const gw_pump_duty duty = {.flow_m3_s = plan->total_flow_m3_s,
                               .pressure_pa = out->total_pressure_pa,
                               .wire_to_water_frac = plan->wire_to_water_frac};
    out->hydraulic_w = gw_pipes_hydraulic_power_w(&duty);
    out->pump_w = gw_pipes_pump_power_w(&duty);
    out->grade = gw_pipes_grade_pump(out->pump_w, plan->capacity_w);
    out->turbulent_enough = out->least_reynolds >= GW_PIPES_REYNOLDS_DESIGN;
}

static void add_volumes(const gw_circuit_plan *plan, gw_circuit_result *out)
{
    double length_m = 0.0;
    for (size_t i = 0; i < plan->circuit_count; ++i) {
        length_m += circuit_length_m(plan, i);
    }
    out->circuit_volume_m3 = length_m * plan->circuit_pipe->fill_volume_m3_m;
    out->header_volume_m3 = plan->header_pipe != NULL
                                ? plan->header_length_m * plan->header_pipe->fill_volume_m3_m
                                : 0.0;
    out->total_volume_m3 = out->circuit_volume_m3 + out->header_volume_m3 + plan->inside_volume_m3;
}

// The total flow at which the slowest circuit (the longest) has the flow it needs: its head then
// stands across all the others too.
static gw_status raise_flow(gw_arena *arena, circuits *c, double needed_m3_s, double *flow_m3_s,
                            gw_err *err)
{
    c->total_flow_m3_s = needed_m3_s * (double)c->plan->circuit_count;
    if (c->plan->circuit_lengths_m == NULL) {
        return share_flow(arena, c, flow_m3_s, err);
    }
    const gw_pipe_run run = circuit_run(c, longest(c->plan), needed_m3_s);
    gw_pipe_flow slowest;
    gw_pipes_priv_flow(&run, &slowest);
    const gw_status st = share_between(arena, c, slowest.head_loss_m, flow_m3_s, err);
    c->total_flow_m3_s = 0.0;
    for (size_t i = 0; st == GW_OK && i < c->plan->circuit_count; ++i) {
        c->total_flow_m3_s += flow_m3_s[i];
    }
    return st;
}

// Purging with water, all circuits at once: every section must reach the purge velocity.
static gw_status share_purge(gw_arena *arena, circuits *c, double *flow_m3_s, gw_err *err)
{
    const gw_circuit_plan *const plan = c->plan;
    const double velocity_m_s =
        plan->purge_velocity_m_s > 0.0 ? plan->purge_velocity_m_s : GW_PIPES_PURGE_M_S;
    const double circuit_m3_s =
        gw_pipes_flow_at_velocity_m3_s(plan->circuit_pipe->inner_diameter_m, velocity_m_s);
    const gw_status st = raise_flow(arena, c, circuit_m3_s, flow_m3_s, err);
    if (st != GW_OK || plan->header_pipe == NULL) {
        return st;
    }
    const double header_m3_s =
        gw_pipes_flow_at_velocity_m3_s(plan->header_pipe->inner_diameter_m, velocity_m_s);
    if (header_m3_s <= c->total_flow_m3_s) {
        return GW_OK;
    }
    c->total_flow_m3_s = header_m3_s;
    return share_flow(arena, c, flow_m3_s, err);
}

static gw_status add_purge(gw_arena *arena, const gw_fluid_table *fluids,
                           const gw_circuit_plan *plan, gw_circuit_result *out, gw_err *err)
{
    const double water_degc =
        plan->purge_water_degc > 0.0 ? plan->purge_water_degc : PURGE_WATER_DEGC;
    circuits c = {.plan = plan};
    double *const flow_m3_s = gw_arena_alloc(arena, plan->circuit_count, sizeof *flow_m3_s);
    if (flow_m3_s == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "circuit_count", "no memory for the circuits");
    }
    gw_status st =
        gw_fluid_at(fluids, (gw_fluid_mix){.kind = GW_FLUID_WATER}, water_degc, &c.props, err);
    if (st == GW_OK) {
        st = share_purge(arena, &c, flow_m3_s, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const size_t slowest = longest(plan);
    const gw_pipe_run run = circuit_run(&c, slowest, flow_m3_s[slowest]);
    gw_pipe_flow circuit;
    gw_pipes_priv_flow(&run, &circuit);
    out->purge_flow_m3_s = c.total_flow_m3_s;
    out->purge_head_m = circuit.head_loss_m + header_flow(&c).head_loss_m;
    out->purge_pressure_pa = out->purge_head_m * c.props.density_kg_m3 * GW_PIPES_GRAVITY_M_S2;
    out->purge_hydraulic_w = out->purge_flow_m3_s * out->purge_pressure_pa;
    return GW_OK;
}

gw_status gw_pipes_solve_circuits(gw_arena *arena, const gw_fluid_table *fluids,
                                  const gw_circuit_plan *plan, gw_circuit_result *out, gw_err *err)
{
    *out = (gw_circuit_result){0};
    circuits c = {.plan = plan, .total_flow_m3_s = plan->total_flow_m3_s};
    gw_status st = check_plan(plan, err);
    if (st == GW_OK) {
        st = gw_fluid_at(fluids, plan->fluid, plan->coldest_degc, &c.props, err);
    }
    if (st == GW_OK) {
        st = solve_design(arena, &c, out, err);
    }
    if (st != GW_OK) {
        return st;
    }
    out->props = c.props;
    add_heads(&c, out);
    add_volumes(plan, out);
    st = gw_fluid_charge_of(fluids, plan->fluid, out->total_volume_m3, &out->charge, err);
    if (st == GW_OK && fluids->kinds[plan->fluid.kind].additive_density_kg_m3 > 0.0) {
        st = gw_fluid_volume_frac(fluids, plan->fluid, &out->antifreeze_frac_volume, err);
    }
    return st == GW_OK ? add_purge(arena, fluids, plan, out, err) : st;
}
