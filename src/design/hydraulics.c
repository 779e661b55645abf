// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Head, pump power, purging and filling of a loop as it has been sized.
#include "design/design_priv.h"

#include "pipes/network.h"

#include <math.h>

// Inside the house: heat pump, hoses, manifold (common practice, no source).
static const double INSIDE_VOLUME_M3 = 0.02;
// Fittings of a circuit and of the header as a share of their pipe (common practice, no source).
static const double FITTINGS_FRAC = 0.10;

static double efficiency(const gw_design_priv *d, const gw_design_loop *loop)
{
    return loop->kind == GW_LOOP_WELL ? loop->sized.plan.well.pump_efficiency
                                      : d->input->job->pipes.wire_to_water_frac;
}

static gw_circuit_plan whole_plan(const gw_design_priv *d, const gw_design_loop *loop,
                                  double flow_m3_s)
{
    const gw_loop_response *const r = &loop->sized.response;
    const double header_m = loop->kind == GW_LOOP_WELL ? 0.0 : 2.0 * loop->sized.plan.header_m;
    return (gw_circuit_plan){
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
        .fluid = loop->fluid,
        .coldest_degc = loop->entering_fluid_degc,
        .wire_to_water_frac = efficiency(d, loop),
        .capacity_w = gw_plant_rated_heating(&loop->plant, 0.0).capacity_w,
    };
}

// ---------------------------------------------------------------- mixed loops

// Pipe of one circuit of a part, without fittings.
static double part_circuit_m(const gw_loop_plan *part)
{
    const double circuits = (double)gw_loop_circuits(part);
    switch (part->kind) {
    case GW_LOOP_BORES:
        return 2.0 * gw_loop_length_m(part) / circuits;
    case GW_LOOP_COIL:
        return gw_coil_extent_of(&part->coil).pipe_m * (double)part->coil.count / circuits;
    case GW_LOOP_TRENCH:
    case GW_LOOP_POND:
    case GW_LOOP_WELL:
    case GW_LOOP_MIXED:
        break;
    }
    return gw_loop_length_m(part) / circuits;
}

// Between supply and return all circuits of all parts lose the same head.
static gw_status share_flow(gw_design_priv *d, const gw_design_loop *loop,
                            const gw_circuit_plan *whole, double flow_frac[GW_LOOP_PARTS_MAX])
{
    const gw_loop_plan *const plan = &loop->sized.plan;
    gw_network_link links[GW_LOOP_PARTS_MAX];
    gw_fluid_props props;
    gw_status st = gw_fluid_at(&d->fluids, loop->fluid, whole->coldest_degc, &props, d->err);
    if (st != GW_OK) {
        return st;
    }
    size_t count = 0;
    gw_network_link *const all =
        gw_arena_alloc(d->arena, loop->sized.response.circuits, sizeof *all);
    if (all == NULL) {
        return gw_fail(d->err, GW_ERR_NOMEM, NULL, "out of memory sharing the flow");
    }
    for (size_t i = 0; i < plan->mixed.part_count; i++) {
        const gw_loop_plan part = gw_loop_part(plan, i);
        links[i] = (gw_network_link){.from = 0,
                                     .to = 1,
                                     .diameter_m = loop->part_pipes[i]->inner_diameter_m,
                                     .length_m = (1.0 + FITTINGS_FRAC) * part_circuit_m(&part),
                                     .roughness_m = loop->part_pipes[i]->roughness_m};
        for (size_t k = 0; k < gw_loop_circuits(&part); k++) {
            all[count++] = links[i];
        }
    }
    const gw_network_node nodes[] = {{.demand_m3_s = -whole->total_flow_m3_s}, {.has_head = true}};
    const gw_network network = {.nodes = nodes,
                                .node_count = 2,
                                .links = all,
                                .link_count = count,
                                .density_kg_m3 = props.density_kg_m3,
                                .viscosity_pa_s = props.viscosity_pa_s};
    gw_network_solution solution;
    st = gw_pipes_solve_network(d->arena, &network, &solution, d->err);
    size_t at = 0;
    for (size_t i = 0; st == GW_OK && i < plan->mixed.part_count; i++) {
        const size_t circuits = gw_loop_circuits(&plan->mixed.parts[i]);
        flow_frac[i] = (double)circuits * solution.flow_m3_s[at] / whole->total_flow_m3_s;
        at += circuits;
    }
    return st;
}

// One part's circuits with its own flow, no header and no unit.
static gw_circuit_plan part_plan(const gw_design_loop *loop, const gw_circuit_plan *whole,
                                 size_t index, double flow_frac)
{
    const gw_loop_plan part = gw_loop_part(&loop->sized.plan, index);
    gw_circuit_plan own = *whole;
    own.circuit_count = gw_loop_circuits(&part);
    own.circuit_pipe = loop->part_pipes[index];
    own.circuit_length_m = part_circuit_m(&part);
    own.circuit_equivalent_m = FITTINGS_FRAC * own.circuit_length_m;
    own.header_pipe = NULL;
    own.header_length_m = own.header_equivalent_m = 0.0;
    own.unit_pressure_drop_pa = own.inside_volume_m3 = 0.0;
    own.total_flow_m3_s = flow_frac * whole->total_flow_m3_s;
    return own;
}

// Head and Reynolds number of the parts over what the whole was worked out with as if alike.
static gw_status solve_mixed(gw_design_priv *d, gw_design_loop *loop, const gw_circuit_plan *whole,
                             double flow_frac[GW_LOOP_PARTS_MAX])
{
    gw_circuit_result *const h = &loop->hydraulics;
    gw_status st = share_flow(d, loop, whole, flow_frac);
    const double alike_m = h->circuit_head_m;
    h->circuit_volume_m3 = 0.0;
    h->purge_flow_m3_s = 0.0;
    h->least_reynolds = HUGE_VAL;
    double purge_m = 0.0;
    for (size_t i = 0; st == GW_OK && i < loop->sized.plan.mixed.part_count; i++) {
        const gw_circuit_plan own = part_plan(loop, whole, i, flow_frac[i]);
        gw_circuit_result part;
        st = gw_pipes_solve_circuits(d->arena, &d->fluids, &own, &part, d->err);
        if (st == GW_OK) {
            h->circuit_head_m = part.circuit_head_m; // the same for all
            h->circuit_volume_m3 += part.circuit_volume_m3;
            h->least_reynolds = fmin(h->least_reynolds, part.least_reynolds);
            // Parts are purged one after the other.
            h->purge_flow_m3_s = fmax(h->purge_flow_m3_s, part.purge_flow_m3_s);
            purge_m = fmax(purge_m, part.purge_head_m);
        }
    }
    if (st != GW_OK) {
        return st;
    }
    const double per_m_pa = h->total_pressure_pa / h->total_head_m;
    h->total_head_m += h->circuit_head_m - alike_m;
    h->total_pressure_pa = per_m_pa * h->total_head_m;
    h->hydraulic_w = whole->total_flow_m3_s * h->total_pressure_pa;
    h->pump_w = h->hydraulic_w / whole->wire_to_water_frac;
    h->grade = gw_pipes_grade_pump(h->pump_w, whole->capacity_w);
    h->turbulent_enough = h->least_reynolds >= GW_PIPES_REYNOLDS_DESIGN;
    h->total_volume_m3 = h->circuit_volume_m3 + h->header_volume_m3 + INSIDE_VOLUME_M3;
    h->purge_head_m = purge_m;
    return gw_fluid_charge_of(&d->fluids, loop->fluid, h->total_volume_m3, &h->charge, d->err);
}

gw_status gw_design_priv_hydraulics(gw_design_priv *d, gw_design_loop *loop, double flow_m3_s,
                                    double flow_frac[static GW_LOOP_PARTS_MAX])
{
    const gw_circuit_plan plan = whole_plan(d, loop, flow_m3_s);
    const gw_status st =
        gw_pipes_solve_circuits(d->arena, &d->fluids, &plan, &loop->hydraulics, d->err);
    return st == GW_OK && loop->kind == GW_LOOP_MIXED ? solve_mixed(d, loop, &plan, flow_frac) : st;
}
