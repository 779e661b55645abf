// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "harness.h"
#include "pipes/circuit.h"

#include <math.h>
#include <string.h>

static gw_arena *arena;
static gw_fluid_table fluids;
static gw_pipe_catalogue pipes;
static gw_circuit_plan plan;

static const gw_pipe_size *size_of(const char *id)
{
    const gw_pipe_size *size = NULL;
    ck_assert(gw_pipes_find(&pipes, id, &size, NULL) == GW_OK);
    return size;
}

// A house of 4 tons: five circuits of 1 in pipe on a 2 in header, ethanol 20 %.
static void set_up(void)
{
    arena = gw_arena_create(0);
    ck_assert(gw_fluid_read_builtin(arena, &fluids, NULL) == GW_OK);
    ck_assert(gw_pipes_read_builtin(arena, &pipes, NULL) == GW_OK);
    plan = (gw_circuit_plan){.circuit_count = 5,
                             .circuit_pipe = size_of("1in-dr11"),
                             .circuit_length_m = 150,
                             .circuit_equivalent_m = 6,
                             .circuit_loss_coefficient = 2,
                             .header_pipe = size_of("2in-dr11"),
                             .header_length_m = 40,
                             .header_loss_coefficient = 4,
                             .unit_pressure_drop_pa = 25e3,
                             .inside_volume_m3 = 0.02,
                             .total_flow_m3_s = 0.76e-3,
                             .fluid = {GW_FLUID_ETHANOL, 0.20},
                             .coldest_degc = -3,
                             .wire_to_water_frac = 0.30,
                             .capacity_w = 14067};
}

static void tear_down(void)
{
    gw_arena_destroy(arena);
}

static gw_circuit_result solve(void)
{
    gw_circuit_result result;
    gw_err err = {0};
    ck_assert_msg(gw_pipes_solve_circuits(arena, &fluids, &plan, &result, &err) == GW_OK, "%s: %s",
                  err.field, err.text);
    return result;
}

START_TEST(equal_circuits_are_the_sum_of_their_parts)
{
    const gw_circuit_result r = solve();
    gw_fluid_props props;
    ck_assert(gw_fluid_at(&fluids, plan.fluid, -3, &props, NULL) == GW_OK);
    const gw_pipe_run run = {.flow_m3_s = 0.76e-3 / 5,
                             .diameter_m = plan.circuit_pipe->inner_diameter_m,
                             .length_m = 156,
                             .roughness_m = 1.5e-6,
                             .loss_coefficient = 2,
                             .density_kg_m3 = props.density_kg_m3,
                             .viscosity_pa_s = props.viscosity_pa_s};
    gw_pipe_flow flow;
    ck_assert(gw_pipes_flow(&run, &flow, NULL) == GW_OK);
    ck_close(r.circuit_head_m, flow.head_loss_m, 1e-12);
    ck_close(r.circuit_flow_m3_s, run.flow_m3_s, 1e-12);
    ck_close(r.unit_head_m, 25e3 / (props.density_kg_m3 * 9.80665), 1e-12);
    ck_close(r.total_head_m, r.circuit_head_m + r.header_head_m + r.unit_head_m, 1e-12);
    ck_close(r.total_pressure_pa, r.total_head_m * props.density_kg_m3 * 9.80665, 1e-12);
    ck_close(r.pump_w * 0.30, 0.76e-3 * r.total_pressure_pa, 1e-12);
    ck_close(r.least_reynolds, flow.reynolds, 1e-12);
    ck_assert(r.turbulent_enough == (flow.reynolds >= 2500));
    ck_close(r.grade.w_per_ton, r.pump_w / (14067 / 3516.8528420667), 1e-12);
}
END_TEST

START_TEST(volume_and_charge_are_those_of_the_pipes)
{
    const gw_circuit_result r = solve();
    ck_close(r.circuit_volume_m3, 750 * plan.circuit_pipe->fill_volume_m3_m, 1e-12);
    ck_close(r.header_volume_m3, 40 * plan.header_pipe->fill_volume_m3_m, 1e-12);
    ck_close(r.total_volume_m3, r.circuit_volume_m3 + r.header_volume_m3 + 0.02, 1e-12);
    ck_close(r.charge.antifreeze_kg, 0.2 * r.charge.mixture_kg, 1e-12);
    ck_assert_double_eq_tol(r.antifreeze_frac_volume, 0.24, 0.005);
}
END_TEST

START_TEST(unequal_circuits_lose_the_same_head)
{
    const double lengths_m[] = {150, 110, 190, 150, 170};
    plan.circuit_lengths_m = lengths_m;
    plan.coldest_degc = 5;
    const gw_circuit_result r = solve();
    ck_assert_uint_eq(r.governing, 2);
    ck_close(r.least_flow_m3_s, r.flow_m3_s[2], 1e-15);
    ck_close(r.greatest_flow_m3_s, r.flow_m3_s[1], 1e-15);
    double sum_m3_s = 0;
    for (int i = 0; i < 5; ++i) {
        sum_m3_s += r.flow_m3_s[i];
        const gw_pipe_run run = {.flow_m3_s = r.flow_m3_s[i],
                                 .diameter_m = plan.circuit_pipe->inner_diameter_m,
                                 .length_m = lengths_m[i] + 6,
                                 .roughness_m = 1.5e-6,
                                 .loss_coefficient = 2,
                                 .density_kg_m3 = r.props.density_kg_m3,
                                 .viscosity_pa_s = r.props.viscosity_pa_s};
        gw_pipe_flow flow;
        ck_assert(gw_pipes_flow(&run, &flow, NULL) == GW_OK);
        ck_close(flow.head_loss_m, r.circuit_head_m, 1e-8);
    }
    ck_close(sum_m3_s, plan.total_flow_m3_s, 1e-12);
}
END_TEST

START_TEST(equal_lengths_given_one_by_one_change_nothing)
{
    const gw_circuit_result a = solve();
    const double lengths_m[] = {150, 150, 150, 150, 150};
    plan.circuit_lengths_m = lengths_m;
    plan.circuit_length_m = 0;
    const gw_circuit_result b = solve();
    ck_close(b.total_head_m, a.total_head_m, 1e-10);
    ck_close(b.purge_flow_m3_s, a.purge_flow_m3_s, 1e-8);
    ck_close(b.total_volume_m3, a.total_volume_m3, 1e-12);
}
END_TEST

// Laminar: head is proportional to flow, and two circuits of half the flow lose half the head.
START_TEST(laminar_head_is_proportional_to_flow)
{
    plan.circuit_loss_coefficient = plan.header_loss_coefficient = 0;
    plan.total_flow_m3_s = 0.1e-3;
    const gw_circuit_result a = solve();
    plan.total_flow_m3_s = 0.2e-3;
    const gw_circuit_result b = solve();
    ck_assert_int_eq(b.circuit.regime, GW_PIPES_LAMINAR);
    ck_close(b.circuit_head_m, 2 * a.circuit_head_m, 1e-5);
    plan.circuit_count = 10;
    const gw_circuit_result c = solve();
    ck_close(c.circuit_head_m, a.circuit_head_m, 1e-5);
}
END_TEST

START_TEST(purge_reaches_its_velocity_in_every_section)
{
    const double lengths_m[] = {150, 110, 190, 150, 170};
    plan.circuit_lengths_m = lengths_m;
    const gw_circuit_result r = solve();
    const double circuit_m3_s =
        gw_pipes_flow_at_velocity_m3_s(plan.circuit_pipe->inner_diameter_m, 0.6096);
    const double header_m3_s =
        gw_pipes_flow_at_velocity_m3_s(plan.header_pipe->inner_diameter_m, 0.6096);
    ck_assert_double_ge(r.purge_flow_m3_s, 5 * circuit_m3_s);
    ck_assert_double_ge(r.purge_flow_m3_s, header_m3_s);
    // The head is the longest circuit's at the purge velocity plus the header's.
    gw_fluid_props water;
    ck_assert(gw_fluid_at(&fluids, (gw_fluid_mix){.kind = GW_FLUID_WATER}, 10, &water, NULL) ==
              GW_OK);
    gw_pipe_run run = {.flow_m3_s = circuit_m3_s,
                       .diameter_m = plan.circuit_pipe->inner_diameter_m,
                       .length_m = 196,
                       .roughness_m = 1.5e-6,
                       .loss_coefficient = 2,
                       .density_kg_m3 = water.density_kg_m3,
                       .viscosity_pa_s = water.viscosity_pa_s};
    gw_pipe_flow circuit;
    gw_pipe_flow header;
    ck_assert(gw_pipes_flow(&run, &circuit, NULL) == GW_OK);
    run.flow_m3_s = r.purge_flow_m3_s;
    run.diameter_m = plan.header_pipe->inner_diameter_m;
    run.length_m = 40;
    run.loss_coefficient = 4;
    ck_assert(gw_pipes_flow(&run, &header, NULL) == GW_OK);
    ck_close(r.purge_head_m, circuit.head_loss_m + header.head_loss_m, 1e-6);
    ck_close(r.purge_hydraulic_w, r.purge_flow_m3_s * r.purge_pressure_pa, 1e-12);
}
END_TEST

START_TEST(wide_header_governs_the_purge)
{
    plan.circuit_count = 1;
    plan.header_pipe = size_of("3in-dr11");
    const gw_circuit_result r = solve();
    ck_close(r.purge_flow_m3_s,
             gw_pipes_flow_at_velocity_m3_s(plan.header_pipe->inner_diameter_m, 0.6096), 1e-12);
}
END_TEST

START_TEST(colder_fluid_flows_less_easily)
{
    const gw_circuit_result cold = solve();
    plan.coldest_degc = 10;
    const gw_circuit_result warm = solve();
    ck_assert_double_gt(warm.least_reynolds, cold.least_reynolds);
}
END_TEST

START_TEST(loop_without_header_or_capacity_works)
{
    plan.header_pipe = NULL;
    plan.header_length_m = 0;
    plan.capacity_w = 0;
    plan.fluid = (gw_fluid_mix){.kind = GW_FLUID_WATER};
    plan.coldest_degc = 4;
    const gw_circuit_result r = solve();
    ck_assert_double_eq(r.header_head_m, 0.0);
    ck_assert_int_eq(r.grade.grade, 0);
    ck_assert_double_eq(r.antifreeze_frac_volume, 0.0);
    ck_assert_double_eq(r.charge.antifreeze_kg, 0.0);
    plan.fluid = (gw_fluid_mix){GW_FLUID_POTASSIUM_CARBONATE, 0.2};
    ck_assert_double_gt(solve().charge.antifreeze_kg, 0.0);
}
END_TEST

START_TEST(bad_plan_is_refused_by_field)
{
    const char *const fields[] = {
        "circuit_length_m",      "circuit_equivalent_m", "circuit_loss_coefficient",
        "header_length_m",       "header_equivalent_m",  "header_loss_coefficient",
        "unit_pressure_drop_pa", "inside_volume_m3",     "total_flow_m3_s",
        "wire_to_water_frac",    "capacity_w",           "purge_velocity_m_s",
        "purge_water_degc"};
    double *const to[] = {
        &plan.circuit_length_m,      &plan.circuit_equivalent_m, &plan.circuit_loss_coefficient,
        &plan.header_length_m,       &plan.header_equivalent_m,  &plan.header_loss_coefficient,
        &plan.unit_pressure_drop_pa, &plan.inside_volume_m3,     &plan.total_flow_m3_s,
        &plan.wire_to_water_frac,    &plan.capacity_w,           &plan.purge_velocity_m_s,
        &plan.purge_water_degc};
    const double spoilt[] = {-1.0, (double)NAN};
    const double good = *to[_i];
    for (int k = 0; k < 2; ++k) {
        *to[_i] = spoilt[k];
        gw_circuit_result r;
        gw_err err = {0};
        ck_assert(gw_pipes_solve_circuits(arena, &fluids, &plan, &r, &err) == GW_ERR_RANGE);
        ck_assert_str_eq(err.field, fields[_i]);
    }
    *to[_i] = good;
    solve();
}
END_TEST

START_TEST(missing_pipe_and_frozen_fluid_are_refused)
{
    gw_circuit_result r;
    gw_err err = {0};
    plan.coldest_degc = -12;
    ck_assert(gw_pipes_solve_circuits(arena, &fluids, &plan, &r, &err) == GW_ERR_RANGE);
    ck_assert_ptr_nonnull(strstr(err.text, "freezing"));
    plan.coldest_degc = 0;
    plan.header_pipe = NULL;
    ck_assert(gw_pipes_solve_circuits(arena, &fluids, &plan, &r, &err) == GW_ERR_MISSING);
    plan.circuit_pipe = NULL;
    ck_assert(gw_pipes_solve_circuits(arena, &fluids, &plan, &r, &err) == GW_ERR_MISSING);
    plan.circuit_pipe = size_of("1in-dr11");
    plan.header_length_m = 0;
    plan.circuit_count = 0;
    ck_assert(gw_pipes_solve_circuits(arena, &fluids, &plan, &r, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "circuit_count");
}
END_TEST

START_TEST(every_failed_allocation_is_reported)
{
    const double lengths_m[] = {150, 110, 190, 150, 170};
    plan.circuit_lengths_m = lengths_m;
    size_t failed = 0;
    for (;; ++failed) {
        gw_circuit_result r;
        gw_arena_fail_after(arena, failed);
        const gw_status st = gw_pipes_solve_circuits(arena, &fluids, &plan, &r, NULL);
        if (st == GW_OK) {
            break;
        }
        ck_assert_int_eq(st, GW_ERR_NOMEM);
    }
    ck_assert_uint_ge(failed, 10);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("circuit");
    TCase *const tc = tcase_create("circuit");
    tcase_add_checked_fixture(tc, set_up, tear_down);
    tcase_add_test(tc, equal_circuits_are_the_sum_of_their_parts);
    tcase_add_test(tc, volume_and_charge_are_those_of_the_pipes);
    tcase_add_test(tc, unequal_circuits_lose_the_same_head);
    tcase_add_test(tc, equal_lengths_given_one_by_one_change_nothing);
    tcase_add_test(tc, laminar_head_is_proportional_to_flow);
    tcase_add_test(tc, purge_reaches_its_velocity_in_every_section);
    tcase_add_test(tc, wide_header_governs_the_purge);
    tcase_add_test(tc, colder_fluid_flows_less_easily);
    tcase_add_test(tc, loop_without_header_or_capacity_works);
    tcase_add_loop_test(tc, bad_plan_is_refused_by_field, 0, 13);
    tcase_add_test(tc, missing_pipe_and_frozen_fluid_are_refused);
    tcase_add_test(tc, every_failed_allocation_is_reported);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
