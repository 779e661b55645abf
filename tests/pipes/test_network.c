// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "harness.h"
#include "pipes/friction.h"
#include "pipes/network.h"

#include <math.h>
#include <string.h>

static gw_arena *arena;

static void open_arena(void)
{
    arena = gw_arena_create(0);
}

static void close_arena(void)
{
    gw_arena_destroy(arena);
}

static gw_network_solution solve(const gw_network *network)
{
    gw_network_solution solution;
    gw_err err = {0};
    ck_assert_msg(gw_pipes_solve_network(arena, network, &solution, &err) == GW_OK, "%s", err.text);
    return solution;
}

// F. M. White, Fluid Mechanics, ex. 6.17 and 6.18 (from memory, recomputed with Colebrook's
// factor): three pipes, 20.3 m of head, ν = 1.02e-6 m²/s.
static gw_network_link white_pipe(int i, size_t from, size_t to)
{
    static const double length_m[] = {100, 150, 80};
    static const double diameter_m[] = {0.08, 0.06, 0.04};
    static const double rough[] = {0.003, 0.002, 0.005};
    return (gw_network_link){.from = from,
                             .to = to,
                             .diameter_m = diameter_m[i],
                             .length_m = length_m[i],
                             .roughness_m = rough[i] * diameter_m[i]};
}

// Published 10.2 m³/h (0.00284 m³/s).
START_TEST(three_pipes_in_series_carry_the_textbook_flow)
{
    const gw_network_node nodes[] = {
        {.has_head = true, .head_m = 20.3}, {0}, {0}, {.has_head = true}};
    const gw_network_link links[] = {white_pipe(0, 0, 1), white_pipe(1, 1, 2), white_pipe(2, 2, 3)};
    const gw_network network = {nodes, 4, links, 3, 1000.0, 1.02e-3};
    const gw_network_solution s = solve(&network);
    for (int i = 0; i < 3; ++i) {
        ck_close(s.flow_m3_s[i] * 3600, 10.2, 0.005);
        ck_close(s.flow_m3_s[i], s.flow_m3_s[0], 1e-12);
    }
    ck_close(s.loss_m[0] + s.loss_m[1] + s.loss_m[2], 20.3, 1e-10);
    ck_assert_int_le(s.iterations, 12);
}
END_TEST

// Published 62.5, 25.9 and 11.4, together 99.8 m³/h.
START_TEST(three_pipes_in_parallel_share_the_textbook_flow)
{
    const gw_network_node nodes[] = {{.has_head = true, .head_m = 20.3}, {.has_head = true}};
    const gw_network_link links[] = {white_pipe(0, 0, 1), white_pipe(1, 0, 1), white_pipe(2, 0, 1)};
    const gw_network network = {nodes, 2, links, 3, 1000.0, 1.02e-3};
    const gw_network_solution s = solve(&network);
    ck_close(s.flow_m3_s[0] * 3600, 62.5, 0.005);
    ck_close(s.flow_m3_s[1] * 3600, 25.9, 0.005);
    ck_close(s.flow_m3_s[2] * 3600, 11.4, 0.005);
    ck_close((s.flow_m3_s[0] + s.flow_m3_s[1] + s.flow_m3_s[2]) * 3600, 99.8, 0.005);
}
END_TEST

// The same with the flow given and the head found.
START_TEST(parallel_pipes_with_given_flow_find_the_head)
{
    const gw_network_node nodes[] = {{.demand_m3_s = -99.87 / 3600}, {.has_head = true}};
    const gw_network_link links[] = {white_pipe(0, 0, 1), white_pipe(1, 0, 1), white_pipe(2, 0, 1)};
    const gw_network network = {nodes, 2, links, 3, 1000.0, 1.02e-3};
    const gw_network_solution s = solve(&network);
    ck_close(s.head_m[0], 20.3, 0.008);
    ck_assert_double_le(s.imbalance_m3_s, 1e-12);
}
END_TEST

// Hardy Cross example with two reservoirs, Michigan Technological University, course CE 3620,
// lecture 9, 2013: h = K Q|Q| in feet and cubic feet a second, A 10 ft above B. Printed after 16
// rounds to two decimals; a Newton solution apart from this program to four.
static const struct {
    size_t from;
    size_t to;
    double k;
    double flow;
    double head;
} cross[] = {
    {0, 1, 0.38, 6.2899, 15.034}, {1, 2, 2.89, 2.1287, 13.096}, {1, 4, 2.53, 2.1612, 11.817},
    {4, 2, 12.13, 0.3247, 1.279}, {3, 2, 2.17, 1.5466, 5.191},  {3, 4, 2.89, 1.1635, 3.912},
    {5, 3, 0.94, 3.7101, 12.939},
};

START_TEST(hardy_cross_network_matches_the_lecture)
{
    const gw_network_node nodes[] = {{.has_head = true, .head_m = 10},
                                     {.demand_m3_s = 2},
                                     {.demand_m3_s = 4},
                                     {.demand_m3_s = 1},
                                     {.demand_m3_s = 3},
                                     {.has_head = true, .head_m = 0}};
    gw_network_link links[7] = {0};
    for (size_t i = 0; i < 7; ++i) {
        links[i] = (gw_network_link){
            .from = cross[i].from, .to = cross[i].to, .quadratic_s2_m5 = cross[i].k};
    }
    const gw_network network = {nodes, 6, links, 7, 1000.0, 1e-3};
    const gw_network_solution s = solve(&network);
    for (size_t i = 0; i < 7; ++i) {
        ck_assert_double_eq_tol(s.flow_m3_s[i], cross[i].flow, 0.51e-4);
        ck_assert_double_eq_tol(s.loss_m[i], cross[i].head, 0.51e-3);
    }
    // The lecture's own printed values (sixteenth round).
    ck_assert_double_eq_tol(s.flow_m3_s[1], 2.13, 0.0051);
    ck_assert_double_eq_tol(s.flow_m3_s[3], 0.32, 0.0051);
    ck_assert_double_eq_tol(s.flow_m3_s[2], 2.16, 0.0051);
    ck_assert_double_eq_tol(s.loss_m[1], 13.10, 0.0051);
    ck_assert_double_eq_tol(s.loss_m[3], 1.28, 0.0051);
    ck_assert_double_eq_tol(s.loss_m[2], 11.81, 0.0075); // printed 11.81, exact 11.817
    ck_assert_double_le(s.imbalance_m3_s, 1e-12);
}
END_TEST

// A grid of pipes with a pump: continuity at every node, energy along every link.
START_TEST(looped_grid_keeps_continuity_and_energy)
{
    enum { SIDE = 8, NODES = SIDE * SIDE };
    gw_network_node nodes[NODES] = {0};
    gw_network_link links[2 * NODES] = {0};
    size_t count = 0;
    nodes[0] = (gw_network_node){.has_head = true, .head_m = 3};
    for (size_t i = 1; i < NODES; ++i) {
        nodes[i].demand_m3_s = 1e-6 * (double)(i % 7);
    }
    for (size_t y = 0; y < SIDE; ++y) {
        for (size_t x = 0; x < SIDE; ++x) {
            const size_t at = y * SIDE + x;
            gw_network_link link = {.from = at,
                                    .diameter_m = 0.02 + 0.001 * (double)((x + 2 * y) % 5),
                                    .length_m = 10 + (double)x,
                                    .roughness_m = 1.5e-6,
                                    .loss_coefficient = 1,
                                    .gain_m = at == 27 ? 4 : 0};
            if (x + 1 < SIDE) {
                link.to = at + 1;
                links[count++] = link;
            }
            if (y + 1 < SIDE) {
                link.to = at + SIDE;
                links[count++] = link;
            }
        }
    }
    const gw_network network = {nodes, NODES, links, count, 1020.0, 4.3e-3};
    const gw_network_solution s = solve(&network);
    ck_assert_double_le(s.imbalance_m3_s, 1e-14);
    for (size_t i = 0; i < count; ++i) {
        ck_assert_double_eq_tol(s.head_m[links[i].from] - s.head_m[links[i].to],
                                s.loss_m[i] - links[i].gain_m, 1e-8);
    }
}
END_TEST

// Laminar flow at almost nothing and turbulent flow in one network; the transition lies between.
START_TEST(transition_from_laminar_to_turbulent_converges)
{
    for (double flow_m3_s = 1e-6; flow_m3_s < 1e-2; flow_m3_s *= 1.05) {
        const gw_network_node nodes[] = {{.demand_m3_s = -flow_m3_s}, {.has_head = true}};
        const gw_network_link links[] = {
            {.from = 0, .to = 1, .diameter_m = 0.0273, .length_m = 150, .roughness_m = 1.5e-6},
            {.from = 0, .to = 1, .diameter_m = 0.0273, .length_m = 190, .roughness_m = 1.5e-6},
            {.from = 0, .to = 1, .diameter_m = 0.0218, .length_m = 120, .roughness_m = 1.5e-6}};
        const gw_network network = {nodes, 2, links, 3, 1020.0, 4.3e-3};
        const gw_network_solution s = solve(&network);
        ck_close(s.loss_m[0], s.loss_m[1], 1e-7);
        ck_close(s.loss_m[0], s.loss_m[2], 1e-7);
        ck_close(s.flow_m3_s[0] + s.flow_m3_s[1] + s.flow_m3_s[2], flow_m3_s, 1e-12);
    }
}
END_TEST

START_TEST(quadratic_link_without_flow_stays_at_rest)
{
    const gw_network_node nodes[] = {{.has_head = true}, {0}, {.has_head = true}};
    const gw_network_link links[] = {{.from = 0, .to = 1, .quadratic_s2_m5 = 3},
                                     {.from = 1, .to = 2, .quadratic_s2_m5 = 5}};
    const gw_network network = {nodes, 3, links, 2, 1000.0, 1e-3};
    const gw_network_solution s = solve(&network);
    ck_assert_double_eq_tol(s.flow_m3_s[0], 0.0, 1e-6);
}
END_TEST

START_TEST(impossible_networks_are_refused)
{
    gw_network_node nodes[] = {{.has_head = true, .head_m = 1}, {.has_head = true}, {0}};
    gw_network_link links[] = {white_pipe(0, 0, 1)};
    gw_network network = {nodes, 3, links, 1, 1000.0, 1e-3};
    gw_network_solution s;
    gw_err err = {0};
    ck_assert(gw_pipes_solve_network(arena, &network, &s, &err) == GW_ERR_GEOMETRY);
    ck_assert_ptr_nonnull(strstr(err.text, "node 2"));
    network.node_count = 2;
    ck_assert(gw_pipes_solve_network(arena, &network, &s, &err) == GW_OK);
    links[0].to = 7;
    ck_assert(gw_pipes_solve_network(arena, &network, &s, &err) == GW_ERR_RANGE);
    links[0] = white_pipe(0, 0, 1);
    links[0].length_m = 0;
    ck_assert(gw_pipes_solve_network(arena, &network, &s, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "network.links[0]");
    links[0] = white_pipe(0, 0, 1);
    nodes[1].head_m = (double)NAN;
    ck_assert(gw_pipes_solve_network(arena, &network, &s, &err) == GW_ERR_RANGE);
    nodes[1].head_m = 0;
    network.viscosity_pa_s = 0;
    ck_assert(gw_pipes_solve_network(arena, &network, &s, &err) == GW_ERR_RANGE);
}
END_TEST

START_TEST(every_failed_allocation_is_reported)
{
    const gw_network_node nodes[] = {{.has_head = true, .head_m = 1}, {.has_head = true}};
    const gw_network_link links[] = {white_pipe(0, 0, 1)};
    const gw_network network = {nodes, 2, links, 1, 1000.0, 1e-3};
    gw_network_solution s;
    size_t failed = 0;
    for (size_t n = 0;; ++n, ++failed) {
        gw_arena_fail_after(arena, n);
        const gw_status st = gw_pipes_solve_network(arena, &network, &s, NULL);
        if (st == GW_OK) {
            break;
        }
        ck_assert_int_eq(st, GW_ERR_NOMEM);
    }
    ck_assert_uint_ge(failed, 5);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("network");
    TCase *const tc = tcase_create("network");
    tcase_add_checked_fixture(tc, open_arena, close_arena);
    tcase_add_test(tc, three_pipes_in_series_carry_the_textbook_flow);
    tcase_add_test(tc, three_pipes_in_parallel_share_the_textbook_flow);
    tcase_add_test(tc, parallel_pipes_with_given_flow_find_the_head);
    tcase_add_test(tc, hardy_cross_network_matches_the_lecture);
    tcase_add_test(tc, looped_grid_keeps_continuity_and_energy);
    tcase_add_test(tc, transition_from_laminar_to_turbulent_converges);
    tcase_add_test(tc, quadratic_link_without_flow_stays_at_rest);
    tcase_add_test(tc, impossible_networks_are_refused);
    tcase_add_test(tc, every_failed_allocation_is_reported);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
