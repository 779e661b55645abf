// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Friction, head loss, networks, pipe sizes, pump power.
#include "check.h"
#include "pipes/pipes.h"

enum { NODES_MAX = 16, LINKS_MAX = 24 };

static gw_status run_friction(gw_check_call *call, gw_err *err)
{
    (void)err;
    const double reynolds = gw_check_number(call, "reynolds");
    const double relative = gw_check_number(call, "relative_roughness");
    gw_check_give(call, "churchill", gw_pipes_friction_churchill(reynolds, relative));
    gw_check_give(call, "colebrook",
                  reynolds < GW_PIPES_REYNOLDS_TURBULENT
                      ? 0.0
                      : gw_pipes_friction_colebrook(reynolds, relative));
    return GW_OK;
}

static gw_status run_pipe_flow(gw_check_call *call, gw_err *err)
{
    const double diameter_m = gw_check_number(call, "diameter_m");
    double flow_m3_s = gw_check_number(call, "flow_m3_s");
    size_t count = 0;
    const double *velocity_m_s = gw_check_list(call, "velocity_m_s", &count);
    if (count == 1) {
        flow_m3_s = gw_pipes_flow_at_velocity_m3_s(diameter_m, velocity_m_s[0]);
    }
    const gw_pipe_run run = {
        .flow_m3_s = flow_m3_s,
        .diameter_m = diameter_m,
        .length_m = gw_check_number(call, "length_m"),
        .roughness_m = gw_check_number(call, "roughness_m"),
        .density_kg_m3 = gw_check_number(call, "density_kg_m3"),
        .viscosity_pa_s = gw_check_number(call, "viscosity_pa_s"),
    };
    gw_pipe_flow flow = {0};
    const gw_status st = gw_pipes_flow(&run, &flow, err);
    const gw_pump_duty duty = {flow_m3_s, flow.pressure_loss_pa, 1.0};
    gw_check_give(call, "flow_m3_s", flow_m3_s);
    gw_check_give(call, "velocity_m_s", flow.velocity_m_s);
    gw_check_give(call, "reynolds", flow.reynolds);
    gw_check_give(call, "friction_factor", flow.friction_factor);
    gw_check_give(call, "pressure_loss_pa", flow.pressure_loss_pa);
    gw_check_give(call, "head_loss_m", flow.head_loss_m);
    gw_check_give(call, "hydraulic_w", gw_pipes_hydraulic_power_w(&duty));
    return st;
}

static gw_status run_flow_at(gw_check_call *call, gw_err *err)
{
    (void)err;
    const double diameter_m = gw_check_number(call, "diameter_m");
    const gw_pipe_reynolds reynolds = {gw_check_number(call, "reynolds"), diameter_m,
                                       gw_check_number(call, "density_kg_m3"),
                                       gw_check_number(call, "viscosity_pa_s")};
    gw_check_give(call, "reynolds_flow_m3_s", gw_pipes_flow_at_reynolds_m3_s(&reynolds));
    gw_check_give(
        call, "velocity_flow_m3_s",
        gw_pipes_flow_at_velocity_m3_s(diameter_m, gw_check_number(call, "velocity_m_s")));
    return GW_OK;
}

// Pads a list: one value stands for all, none for zero.
static double at(const double *values, size_t count, size_t i)
{
    return count == 0 ? 0.0 : values[count == 1 ? 0 : i];
}

static gw_status nodes_of(const gw_check_call *call, gw_network_node nodes[NODES_MAX],
                          size_t *count, gw_err *err)
{
    size_t heads = 0, demands = 0;
    const double *head_m = gw_check_list(call, "fixed_heads_m", &heads);
    const double *demand_m3_s = gw_check_list(call, "demands_m3_s", &demands);
    *count = heads + demands;
    if (*count > NODES_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "demands_m3_s", "%zu nodes, expected at most %d", *count,
                       NODES_MAX);
    }
    for (size_t i = 0; i < *count; ++i) {
        const bool fixed = i < heads;
        nodes[i] = (gw_network_node){.has_head = fixed,
                                     .head_m = fixed ? head_m[i] : 0.0,
                                     .demand_m3_s = fixed ? 0.0 : demand_m3_s[i - heads]};
    }
    return GW_OK;
}

static gw_status links_of(const gw_check_call *call, gw_network_link links[LINKS_MAX],
                          size_t *count, gw_err *err)
{
    size_t ends = 0, diameters = 0, lengths = 0, roughnesses = 0, quadratics = 0;
    const double *from = gw_check_list(call, "from_nodes", count);
    const double *to = gw_check_list(call, "to_nodes", &ends);
    const double *diameter_m = gw_check_list(call, "diameters_m", &diameters);
    const double *length_m = gw_check_list(call, "lengths_m", &lengths);
    const double *roughness_m = gw_check_list(call, "roughnesses_m", &roughnesses);
    const double *quadratic = gw_check_list(call, "quadratics_s2_m5", &quadratics);
    if (ends != *count || *count > LINKS_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "to_nodes", "%zu ends for %zu starts, at most %d", ends,
                       *count, LINKS_MAX);
    }
    for (size_t i = 0; i < *count; ++i) {
        links[i] = (gw_network_link){.from = (size_t)from[i] - 1,
                                     .to = (size_t)to[i] - 1,
                                     .diameter_m = at(diameter_m, diameters, i),
                                     .length_m = at(length_m, lengths, i),
                                     .roughness_m = at(roughness_m, roughnesses, i),
                                     .quadratic_s2_m5 = at(quadratic, quadratics, i)};
    }
    return GW_OK;
}

static gw_status run_network(gw_check_call *call, gw_err *err)
{
    gw_network_node nodes[NODES_MAX];
    gw_network_link links[LINKS_MAX];
    gw_network network = {.nodes = nodes,
                          .links = links,
                          .density_kg_m3 = gw_check_number(call, "density_kg_m3"),
                          .viscosity_pa_s = gw_check_number(call, "viscosity_pa_s")};
    gw_network_solution solution;
    gw_status st = nodes_of(call, nodes, &network.node_count, err);
    if (st == GW_OK) {
        st = links_of(call, links, &network.link_count, err);
    }
    if (st == GW_OK) {
        st = gw_pipes_solve_network(call->arena, &network, &solution, err);
    }
    if (st == GW_OK) {
        double sum_m3_s = 0.0;
        for (size_t i = 0; i < network.link_count; ++i) {
            sum_m3_s += solution.flow_m3_s[i];
        }
        gw_check_give_list(call, "flows_m3_s", solution.flow_m3_s, network.link_count);
        gw_check_give_list(call, "losses_m", solution.loss_m, network.link_count);
        gw_check_give_list(call, "heads_m", solution.head_m, network.node_count);
        gw_check_give(call, "sum_m3_s", sum_m3_s);
    }
    return st;
}

static gw_status run_pipe_size(gw_check_call *call, gw_err *err)
{
    gw_pipe_catalogue pipes;
    const gw_pipe_size *pipe = NULL;
    gw_status st = gw_pipes_read_builtin(call->arena, &pipes, err);
    if (st == GW_OK) {
        st = gw_pipes_find(&pipes, gw_check_word(call, "pipe"), &pipe, err);
    }
    if (st == GW_OK) {
        gw_check_give(call, "outer_diameter_m", pipe->outer_diameter_m);
        gw_check_give(call, "wall_m", pipe->wall_m);
        gw_check_give(call, "inner_diameter_m", pipe->inner_diameter_m);
        gw_check_give(call, "volume_m3_m", pipe->fill_volume_m3_m);
        gw_check_give(call, "rating_pa", pipe->pressure_rating_pa);
        gw_check_give(call, "conductivity_w_mk", pipe->conductivity_w_mk);
        gw_check_give(call, "roughness_m", pipe->roughness_m);
        gw_check_give(call, "purge_m3_s",
                      gw_pipes_flow_at_velocity_m3_s(pipe->inner_diameter_m, GW_PIPES_PURGE_M_S));
    }
    return st;
}

static gw_status run_rating(gw_check_call *call, gw_err *err)
{
    (void)err;
    gw_check_give(call, "rating_pa",
                  gw_pipes_pressure_rating_pa(gw_check_number(call, "design_stress_pa"),
                                              gw_check_number(call, "dr")));
    return GW_OK;
}

static gw_status run_pump(gw_check_call *call, gw_err *err)
{
    (void)err;
    const gw_pump_duty duty = {gw_check_number(call, "flow_m3_s"),
                               gw_check_number(call, "pressure_pa"),
                               gw_check_number(call, "wire_to_water_frac")};
    const double pump_w = gw_pipes_pump_power_w(&duty);
    const gw_pump_grade grade = gw_pipes_grade_pump(pump_w, gw_check_number(call, "capacity_w"));
    gw_check_give(call, "hydraulic_w", gw_pipes_hydraulic_power_w(&duty));
    gw_check_give(call, "pump_w", pump_w);
    gw_check_give(call, "w_per_ton", grade.w_per_ton);
    return GW_OK;
}

static gw_status run_nominal_flow(gw_check_call *call, gw_err *err)
{
    (void)err;
    gw_check_give(call, "flow_m3_s",
                  gw_pipes_nominal_flow_m3_s(gw_check_number(call, "capacity_w")));
    return GW_OK;
}

static gw_status run_drop(gw_check_call *call, gw_err *err)
{
    (void)err;
    const gw_loop_heat loop = {gw_check_number(call, "heat_w"),
                               gw_check_number(call, "density_kg_m3"),
                               gw_check_number(call, "specific_heat_j_kgk")};
    gw_check_give(call, "flow_m3_s",
                  gw_pipes_flow_for_drop_m3_s(&loop, gw_check_number(call, "drop_k")));
    return GW_OK;
}

#define FLUID_GIVENS                                                                               \
    {.name = "density_kg_m3", .kind = GW_QTY_DENSITY, .otherwise = "1000"},                        \
    {                                                                                              \
        .name = "viscosity_pa_s", .kind = GW_QTY_VISCOSITY, .otherwise = "0.001"                   \
    }

const gw_check_verb gw_verbs_pipes[] = {
    {.name = "friction",
     .what = "Darcy friction factor (colebrook: from Reynolds number 4000, else 0)",
     .run = run_friction,
     .givens = {{.name = "reynolds", .kind = GW_QTY_NUMBER},
                {.name = "relative_roughness", .kind = GW_QTY_NUMBER, .otherwise = "0"}},
     .results = {{"churchill", GW_QTY_NUMBER}, {"colebrook", GW_QTY_NUMBER}}},
    {.name = "pipe_flow",
     .what = "one pipe: velocity, head and pressure loss at a flow or a velocity",
     .run = run_pipe_flow,
     .givens = {FLUID_GIVENS,
                {.name = "flow_m3_s", .kind = GW_QTY_FLOW, .otherwise = "0"},
                {.name = "velocity_m_s", .kind = GW_QTY_VELOCITY, .list = true, .otherwise = ""},
                {.name = "diameter_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "length_m", .kind = GW_QTY_LENGTH},
                {.name = "roughness_m", .kind = GW_QTY_SMALL_LENGTH, .otherwise = "0"}},
     .results = {{"flow_m3_s", GW_QTY_FLOW},
                 {"velocity_m_s", GW_QTY_VELOCITY},
                 {"reynolds", GW_QTY_NUMBER},
                 {"friction_factor", GW_QTY_NUMBER},
                 {"pressure_loss_pa", GW_QTY_PRESSURE},
                 {"head_loss_m", GW_QTY_HEAD},
                 {"hydraulic_w", GW_QTY_POWER}}},
    {.name = "flow_at",
     .what = "flow at a Reynolds number, and at a velocity",
     .run = run_flow_at,
     .givens = {FLUID_GIVENS,
                {.name = "diameter_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "reynolds", .kind = GW_QTY_NUMBER, .otherwise = "2500"},
                {.name = "velocity_m_s", .kind = GW_QTY_VELOCITY, .otherwise = "2 ft/s"}},
     .results = {{"reynolds_flow_m3_s", GW_QTY_FLOW}, {"velocity_flow_m3_s", GW_QTY_FLOW}}},
    {.name = "network",
     .what = "steady flow in a network; nodes are numbered from 1, those with a fixed head first",
     .run = run_network,
     .givens =
         {FLUID_GIVENS,
          {.name = "fixed_heads_m", .kind = GW_QTY_HEAD, .list = true},
          {.name = "demands_m3_s", .kind = GW_QTY_FLOW, .list = true, .otherwise = ""},
          {.name = "from_nodes", .kind = GW_QTY_NUMBER, .list = true},
          {.name = "to_nodes", .kind = GW_QTY_NUMBER, .list = true},
          {.name = "diameters_m", .kind = GW_QTY_SMALL_LENGTH, .list = true, .otherwise = ""},
          {.name = "lengths_m", .kind = GW_QTY_LENGTH, .list = true, .otherwise = ""},
          {.name = "roughnesses_m", .kind = GW_QTY_SMALL_LENGTH, .list = true, .otherwise = ""},
          {.name = "quadratics_s2_m5", .kind = GW_QTY_NUMBER, .list = true, .otherwise = ""}},
     .results = {{"flows_m3_s", GW_QTY_FLOW},
                 {"losses_m", GW_QTY_HEAD},
                 {"heads_m", GW_QTY_HEAD},
                 {"sum_m3_s", GW_QTY_FLOW}}},
    {.name = "pipe_size",
     .what = "a pipe of the built-in list; purge is the flow at 2 ft/s",
     .run = run_pipe_size,
     .givens = {{.name = "pipe", .kind = GW_CHECK_WORD}},
     .results = {{"outer_diameter_m", GW_QTY_SMALL_LENGTH},
                 {"wall_m", GW_QTY_SMALL_LENGTH},
                 {"inner_diameter_m", GW_QTY_SMALL_LENGTH},
                 {"volume_m3_m", GW_QTY_AREA},
                 {"rating_pa", GW_QTY_PRESSURE},
                 {"conductivity_w_mk", GW_QTY_CONDUCTIVITY},
                 {"roughness_m", GW_QTY_SMALL_LENGTH},
                 {"purge_m3_s", GW_QTY_FLOW}}},
    {.name = "pressure_rating",
     .what = "pressure rating from design stress and dimension ratio",
     .run = run_rating,
     .givens = {{.name = "design_stress_pa", .kind = GW_QTY_PRESSURE},
                {.name = "dr", .kind = GW_QTY_NUMBER}},
     .results = {{"rating_pa", GW_QTY_PRESSURE}}},
    {.name = "pump_power",
     .what = "pump power from flow, pressure and wire-to-water efficiency",
     .run = run_pump,
     .givens = {{.name = "flow_m3_s", .kind = GW_QTY_FLOW},
                {.name = "pressure_pa", .kind = GW_QTY_PRESSURE},
                {.name = "wire_to_water_frac", .kind = GW_QTY_FRACTION, .otherwise = "0.3"},
                {.name = "capacity_w", .kind = GW_QTY_COOLING_POWER, .otherwise = "10000"}},
     .results = {{"hydraulic_w", GW_QTY_POWER},
                 {"pump_w", GW_QTY_POWER},
                 {"w_per_ton", GW_QTY_NUMBER}}},
    {.name = "nominal_flow",
     .what = "loop flow by the rule of thumb",
     .run = run_nominal_flow,
     .givens = {{.name = "capacity_w", .kind = GW_QTY_COOLING_POWER}},
     .results = {{"flow_m3_s", GW_QTY_FLOW}}},
    {.name = "flow_for_drop",
     .what = "flow that carries a heat at a temperature drop",
     .run = run_drop,
     .givens = {{.name = "heat_w", .kind = GW_QTY_POWER},
                {.name = "drop_k", .kind = GW_QTY_TEMPERATURE_DIFFERENCE},
                {.name = "density_kg_m3", .kind = GW_QTY_DENSITY, .otherwise = "1000"},
                {.name = "specific_heat_j_kgk", .kind = GW_QTY_NUMBER, .otherwise = "4186"}},
     .results = {{"flow_m3_s", GW_QTY_FLOW}}},
    {0},
};
