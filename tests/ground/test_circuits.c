// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Fields with their pipework: closed forms, limits, energy, and two independent solutions (the
// fluid integrated in small steps around a steady ground; marching in time).
#include "ground/circuits.h"
#include "ground/pass.h"
#include "harness.h"

#include <math.h>
#include <string.h>

static const gw_ground_medium MEDIUM = {2.0, 1e-6};
static const gw_bore_resistance USUAL = {0.1, 0.35};
#define YEAR GW_YEAR_S

static gw_segment bore_at(double x_m, double y_m, double length_m)
{
    return (gw_segment){x_m, y_m, 2.0, 0.0, 0.0, 1.0, length_m, 0.07};
}

static gw_field_circuits solve(gw_arena *arena, const gw_field_network *net, const double *times,
                               size_t count)
{
    gw_field_circuits out;
    gw_err err = {0};
    const gw_status st =
        gw_field_circuits_response(arena, net, &(gw_field_times){times, count}, &out, &err);
    ck_assert_msg(st == GW_OK, "%s: %s", err.field, err.text);
    ck_assert_msg(out.mean.fit_error_frac < 1e-6, "fit %g", out.mean.fit_error_frac);
    return out;
}

// ---- closed forms ----

// Three bores at the corners of an equal triangle, one piece each: walls are all at one
// temperature, and the effective resistance for a uniform wall is exact (Hellström 1991).
START_TEST(equal_circuits_are_the_common_field_behind_the_effective_resistance)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_segment bores[3] = {bore_at(0.0, 0.0, 100.0), bore_at(6.0, 0.0, 100.0),
                                 bore_at(3.0, 3.0 * sqrt(3.0), 100.0)};
    const double times[5] = {3600.0, 1e5, 1e7, YEAR, 25.0 * YEAR};
    const gw_field_path paths[3] = {GW_PATH_U_TUBE, GW_PATH_ANNULUS_FIRST, GW_PATH_CENTRE_FIRST};
    for (size_t n = 0; n < 6; ++n) {
        const double capacity = n < 3 ? 1200.0 : 150.0;
        const double flow[3] = {capacity, capacity, capacity};
        gw_field_pass passes[3];
        for (size_t i = 0; i < 3; ++i) {
            passes[i] = (gw_field_pass){i, 1, paths[n % 3], USUAL};
        }
        const gw_bore_flow along = {100.0, capacity, GW_BORE_WALL_UNIFORM};
        double effective = 0.0;
        ck_assert((paths[n % 3] == GW_PATH_U_TUBE
                       ? gw_bore_effective(&USUAL, &along, &effective, NULL)
                       : gw_bore_effective_coaxial(&USUAL, &along, &effective, NULL)) == GW_OK);
        const double resistance[3] = {effective, effective, effective};
        const gw_field field = {.segments = bores,
                                .resistance_mk_w = resistance,
                                .count = 3,
                                .medium = MEDIUM,
                                .boundary = GW_FIELD_EQUAL_TEMPERATURE};
        gw_field_step want;
        ck_assert(gw_field_step_response(arena, &field, &(gw_field_times){times, 5}, &want, NULL) ==
                  GW_OK);
        const gw_field_network net = {bores, 3, MEDIUM, passes, 3, flow, 3, 0.0};
        const gw_field_circuits got = solve(arena, &net, times, 5);
        for (size_t i = 0; i < 5; ++i) {
            ck_close(got.mean.h_mk_w[i], want.h_mk_w[i], 2e-6);
        }
        ck_close(got.mean.instant_mk_w, effective, 1e-10);
        ck_close(got.mean.steady_mk_w, want.steady_mk_w, 1e-9);
        ck_close(got.inlet_over_mean_mk_w, 100.0 / (2.0 * capacity), 1e-12);
        ck_close(got.steady_share[1], 1.0 / 3.0, 1e-9);
    }
    gw_arena_destroy(arena);
}
END_TEST

// One pipe passed once: (in + out)/2 over the wall is q (L/2C) coth(L/2RC).
START_TEST(a_pipe_passed_once_has_its_closed_form)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_segment pipe = {0.0, 0.0, 1.6, 1.0, 0.0, 0.0, 80.0, 0.0167};
    const double times[2] = {1e6, YEAR}, flow[1] = {250.0};
    const gw_field_pass pass = {0, 1, GW_PATH_THROUGH, {0.07, 0.0}};
    const gw_field_circuits got =
        solve(arena, &(gw_field_network){&pipe, 1, MEDIUM, &pass, 1, flow, 1, 0.0}, times, 2);
    const double own = 80.0 / 500.0 / tanh(80.0 / (2.0 * 0.07 * 250.0));
    double h[2];
    ck_assert(gw_response_between(&(gw_response_case){MEDIUM, times, 2, false}, &pipe, &pipe, h,
                                  NULL) == GW_OK);
    ck_close(got.mean.instant_mk_w, own, 1e-12);
    ck_close(got.mean.h_mk_w[0], h[0] + own, 2e-6);
    ck_close(got.mean.h_mk_w[1], h[1] + own, 2e-6);
    gw_arena_destroy(arena);
}
END_TEST

// Sixty times the length over which fluid and wall come together: nothing overflows.
START_TEST(a_trickle_through_a_long_bore_keeps_its_closed_form)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_segment whole = bore_at(0.0, 0.0, 600.0);
    gw_segment part[40];
    ck_assert(gw_segment_cut(&whole, 40, GW_CUT_EQUAL, part, NULL) == GW_OK);
    const double times[1] = {YEAR}, eta = 60.0;
    const double flow[1] = {600.0 / (eta * sqrt(0.1 * 0.35))};
    const gw_field_pass pass = {0, 40, GW_PATH_U_TUBE, USUAL};
    const gw_field_circuits got =
        solve(arena, &(gw_field_network){part, 40, MEDIUM, &pass, 1, flow, 1, 0.0}, times, 1);
    ck_close(got.mean.instant_mk_w, 0.1 * eta / tanh(eta), 1e-9);
    gw_arena_destroy(arena);
}
END_TEST

// ---- limits ----

static size_t lay_three(gw_segment part[12])
{
    const gw_segment bores[3] = {bore_at(0.0, 0.0, 120.0),
                                 bore_at(5.0, 0.0, 70.0),
                                 {-4.0, 3.0, 1.5, 0.6, 0.0, 0.8, 60.0, 0.06}};
    for (size_t b = 0; b < 3; ++b) {
        ck_assert(gw_segment_cut(&bores[b], 4, GW_CUT_COSINE, part + 4 * b, NULL) == GW_OK);
    }
    return 12;
}

// Linear in 1/flow there (bores of unequal load return unequal fluid), so two flows give the limit.
START_TEST(fast_fluid_is_the_common_field_in_parallel_and_in_series)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_segment part[12];
    const size_t count = lay_three(part);
    const double times[4] = {7200.0, 1e6, YEAR, 50.0 * YEAR};
    const double fast[3] = {1e7, 1e7, 1e7}, slower[3] = {1e6, 1e6, 1e6},
                 resistance_of[3] = {0.08, 0.12, 0.1};
    double resistance[12];
    gw_field_pass passes[3];
    for (size_t i = 0; i < 12; ++i) {
        resistance[i] = resistance_of[i / 4];
    }
    for (size_t i = 0; i < 3; ++i) {
        passes[i] = (gw_field_pass){i, 4, GW_PATH_U_TUBE, {resistance_of[i], 0.4}};
    }
    const gw_field field = {.segments = part,
                            .resistance_mk_w = resistance,
                            .count = count,
                            .medium = MEDIUM,
                            .boundary = GW_FIELD_EQUAL_TEMPERATURE};
    gw_field_step want;
    ck_assert(gw_field_step_response(arena, &field, &(gw_field_times){times, 4}, &want, NULL) ==
              GW_OK);
    for (size_t circuits = 1; circuits <= 3; circuits += 2) {
        for (size_t i = 0; i < 3; ++i) {
            passes[i].circuit = circuits == 3 ? i : 0;
        }
        gw_field_network net = {part, count, MEDIUM, passes, 3, fast, circuits, 0.0};
        const gw_field_circuits faster = solve(arena, &net, times, 4);
        net.capacity_w_k = slower;
        const gw_field_circuits fluid = solve(arena, &net, times, 4);
        for (size_t i = 0; i < 4; ++i) {
            const double limit = (10.0 * faster.mean.h_mk_w[i] - fluid.mean.h_mk_w[i]) / 9.0;
            ck_close(limit, want.h_mk_w[i], 1e-6);
        }
    }
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(a_circuit_without_flow_leaves_the_others_alone)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_segment part[12];
    lay_three(part);
    const double times[2] = {1e6, 10.0 * YEAR}, alone_flow[1] = {800.0};
    const gw_field_pass passes[2] = {{0, 4, GW_PATH_U_TUBE, USUAL}, {1, 4, GW_PATH_U_TUBE, USUAL}};
    const gw_field_circuits alone = solve(
        arena, &(gw_field_network){part, 4, MEDIUM, passes, 1, alone_flow, 1, 190.0}, times, 2);
    double before = 1.0;
    for (double rest = 800.0; rest >= 0.1; rest *= 0.05) {
        const double flow[2] = {800.0, rest};
        const gw_field_circuits both =
            solve(arena, &(gw_field_network){part, 8, MEDIUM, passes, 2, flow, 2, 190.0}, times, 2);
        ck_assert(both.steady_share[1] < before && both.mean.h_mk_w[1] < alone.mean.h_mk_w[1]);
        before = both.steady_share[1];
        if (rest < 0.2) {
            ck_assert(both.steady_share[1] < 2e-3);
            ck_close(both.mean.h_mk_w[0], alone.mean.h_mk_w[0], 2e-3);
            ck_close(both.mean.h_mk_w[1], alone.mean.h_mk_w[1], 2e-3);
        }
    }
    gw_arena_destroy(arena);
}
END_TEST

// The same total flow: what goes through the bores one after the other is drawn from unequal walls.
START_TEST(two_bores_in_series_share_the_load_unequally)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_segment bores[2] = {bore_at(0.0, 0.0, 100.0), bore_at(6.0, 0.0, 100.0)};
    const double times[2] = {1e5, 10.0 * YEAR}, one[1] = {400.0}, two[2] = {200.0, 200.0};
    gw_field_pass passes[2] = {{0, 1, GW_PATH_U_TUBE, USUAL}, {0, 1, GW_PATH_U_TUBE, USUAL}};
    const gw_field_circuits series =
        solve(arena, &(gw_field_network){bores, 2, MEDIUM, passes, 2, one, 1, 0.0}, times, 2);
    passes[1].circuit = 1;
    const gw_field_circuits parallel =
        solve(arena, &(gw_field_network){bores, 2, MEDIUM, passes, 2, two, 2, 0.0}, times, 2);
    ck_close(series.inlet_over_mean_mk_w, parallel.inlet_over_mean_mk_w, 1e-12);
    ck_close(parallel.steady_share[0], 0.5, 1e-9);
    // Double the flow in each bore: less exchange between its legs.
    ck_assert(series.mean.instant_mk_w < parallel.mean.instant_mk_w);
    gw_arena_destroy(arena);
}
END_TEST

// ---- energy ----

START_TEST(what_the_fluid_loses_the_walls_receive)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_segment whole = bore_at(0.0, 0.0, 150.0);
    gw_segment part[9];
    ck_assert(gw_segment_cut(&whole, 9, GW_CUT_COSINE, part, NULL) == GW_OK);
    for (int path = GW_PATH_U_TUBE; path <= GW_PATH_THROUGH; ++path) {
        for (double capacity = 0.5; capacity < 1e6; capacity *= 10.0) {
            const gw_field_pass pass = {0, 9, (gw_field_path)path, USUAL};
            gw_pass_numbers n;
            ck_assert(gw_pass_solve(arena, &(gw_pass_input){&pass, part, capacity}, &n, NULL) ==
                      GW_OK);
            double inlet = 1.0 - n.kept, wall = 1.0 - n.kept;
            for (size_t j = 0; j < 9; ++j) {
                double column = n.from_wall[j], row = n.by_inlet[j];
                for (size_t i = 0; i < 9; ++i) {
                    column += n.by_wall[i * 9 + j]; // a wall warmed: outlet gains what walls lose
                    row += n.by_wall[j * 9 + i];    // all at one temperature: no heat
                }
                ck_assert(fabs(column) < 1e-13 && fabs(row) < 1e-13);
                ck_assert(n.by_wall[j * 9 + j] < 0.0 && n.by_inlet[j] >= 0.0);
                inlet -= n.by_inlet[j];
                wall -= n.from_wall[j];
            }
            ck_assert(fabs(inlet) < 1e-13 && fabs(wall) < 1e-13);
        }
    }
    gw_arena_destroy(arena);
}
END_TEST

// ---- the fluid in small steps around a steady ground ----

enum { STEPS = 4000 };

typedef struct {
    double capacity, bore, internal; // legs of a U-tube
    const gw_segment *segments;
    size_t count;
    double length;
    const double *wall;
} legs;

static double wall_at(const legs *l, double z)
{
    double end = 0.0;
    for (size_t i = 0; i + 1 < l->count; ++i) {
        end += l->segments[i].length_m;
        if (z < end) {
            return l->wall[i];
        }
    }
    return l->wall[l->count - 1];
}

// Midpoint rule down leg 1 and up leg 2 for given values at the top; returns their difference at
// the bottom and the heat into each piece (by Rb: (mean of legs − wall)/Rb).
static double run_down(const legs *l, double down, double up, double *load)
{
    const double a = 1.0 / l->internal + 0.25 / l->bore, c = 1.0 / l->internal - 0.25 / l->bore;
    const double dz = l->length / STEPS;
    memset(load, 0, l->count * sizeof *load);
    for (size_t s = 0; s < STEPS; ++s) {
        const double z = ((double)s + 0.5) * dz, tb = wall_at(l, z);
        double d = down, u = up;
        for (int pass = 0; pass < 3; ++pass) { // implicit midpoint by iteration
            const double dm = 0.5 * (down + d) - tb, um = 0.5 * (up + u) - tb;
            d = down - dz / l->capacity * (a * dm - c * um);
            u = up + dz / l->capacity * (a * um - c * dm);
        }
        double end = 0.0;
        size_t i = 0;
        for (; i + 1 < l->count && z >= (end += l->segments[i].length_m); ++i) {
        }
        load[i] += l->capacity * ((down - d) + (u - up));
        down = d;
        up = u;
    }
    return up - down;
}

// Shooting for the outlet that makes the legs join at the bottom.
static double outlet_of(const legs *l, double inlet, double *load)
{
    const double at0 = run_down(l, inlet, 0.0, load), at1 = run_down(l, inlet, 1.0, load);
    const double outlet = -at0 / (at1 - at0);
    (void)run_down(l, inlet, outlet, load);
    return outlet;
}

// Two U-tube bores in series beside a third on its own, steady: walls from loads and loads from
// walls in turn until they agree.
START_TEST(steady_network_agrees_with_fluid_integrated_in_small_steps)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_segment part[12];
    const size_t count = lay_three(part);
    const double flow[2] = {500.0, 220.0}, forever[1] = {INFINITY};
    double h[144];
    for (size_t i = 0; i < count * count; ++i) {
        ck_assert(gw_response_between(&(gw_response_case){MEDIUM, forever, 1, false},
                                      &part[i / count], &part[i % count], &h[i], NULL) == GW_OK);
    }
    double wall[12] = {0.0}, load[12] = {0.0}, outlet[2] = {0.0}, change = 1.0;
    for (int round = 0; round < 400 && change > 1e-11; ++round) {
        const double inlet[3] = {1.0, outlet[0], 1.0};
        double mid = 0.0;
        for (size_t b = 0; b < 3; ++b) {
            const double length = b == 0 ? 120.0 : b == 1 ? 70.0 : 60.0;
            const legs l = {
                flow[b == 2 ? 1 : 0], USUAL.bore_mk_w, USUAL.internal_mk_w, part + 4 * b, 4, length,
                wall + 4 * b};
            const double out = outlet_of(&l, b == 1 ? mid : inlet[b], load + 4 * b);
            mid = b == 0 ? out : mid;
            outlet[b == 2 ? 1 : 0] = out;
        }
        change = 0.0;
        for (size_t i = 0; i < count; ++i) {
            double t = 0.0;
            for (size_t j = 0; j < count; ++j) {
                t += h[i * count + j] * load[j] / part[j].length_m;
            }
            change = fmax(change, fabs(t - wall[i]));
            wall[i] += 0.25 * (t - wall[i]);
        }
    }
    ck_assert_msg(change <= 1e-11, "walls have not settled: %g", change);
    double power = 0.0, second = 0.0;
    for (size_t i = 0; i < count; ++i) {
        power += load[i];
        second += i >= 8 ? load[i] : 0.0;
    }
    const double mixed = (500.0 * outlet[0] + 220.0 * outlet[1]) / 720.0;
    ck_close(power, 720.0 * (1.0 - mixed), 1e-9);
    const gw_field_pass passes[3] = {{0, 4, GW_PATH_U_TUBE, USUAL},
                                     {0, 4, GW_PATH_U_TUBE, USUAL},
                                     {1, 4, GW_PATH_U_TUBE, USUAL}};
    const double times[1] = {YEAR};
    const gw_field_circuits got =
        solve(arena, &(gw_field_network){part, count, MEDIUM, passes, 3, flow, 2, 0.0}, times, 1);
    // The integration is of second order in 1/STEPS; pieces' ends fall between steps.
    ck_close(got.mean.steady_mk_w, 0.5 * (1.0 + mixed) * 250.0 / power, 2e-5);
    ck_close(got.steady_share[1], second / power, 1e-4);
    gw_arena_destroy(arena);
}
END_TEST

// ---- marching in time ----

// Two one-piece bores in series, power given: outlet = kept × inlet + (1 − kept) × wall of each.
static double march_series(const gw_segment bores[2], double kept, double capacity, double last_s,
                           double ratio, size_t steps)
{
    double *const time = calloc(steps + 1, sizeof *time);
    double *const load = calloc(2 * (steps + 1), sizeof *load); // W/m
    double *const lag = calloc(steps + 1, sizeof *lag);
    double *const h = calloc(4 * (steps + 1), sizeof *h);
    double mean = 0.0;
    for (size_t k = 1; k <= steps; ++k) {
        time[k] = last_s * pow(ratio, (double)k - (double)steps);
        for (size_t p = 0; p < k; ++p) {
            lag[k - 1 - p] = time[k] - time[p];
        }
        const gw_response_case with = {MEDIUM, lag, k, false};
        double known[2] = {0.0, 0.0};
        for (size_t ij = 0; ij < 4; ++ij) {
            double *const one = h + ij * (steps + 1);
            ck_assert(gw_response_between(&with, &bores[ij / 2], &bores[ij % 2], one, NULL) ==
                      GW_OK);
            for (size_t p = 1; p < k; ++p) {
                known[ij / 2] += load[2 * p + ij % 2] * (one[k - p] - one[k - p - 1]);
            }
        }
        // Unknown q0, q1 (W/m) and inlet θ: with total 200 W. L q0 = C (1 − kept)(θ − w0),
        // L q1 = C (1 − kept)(kept θ + (1 − kept) w0 − w1), w = known + h q.
        const double g = capacity * (1.0 - kept) / 100.0;
        const double h00 = h[0], h01 = h[steps + 1], h10 = h[2 * (steps + 1)],
                     h11 = h[3 * (steps + 1)];
        // Eliminate q1 = 2 − q0.
        const double w0c = known[0] + 2.0 * h01, w0q = h00 - h01; // w0 = w0c + w0q q0
        const double w1c = known[1] + 2.0 * h11, w1q = h10 - h11;
        // θ = q0/g + w0; 2 − q0 = g (kept θ + (1 − kept) w0 − w1).
        const double left = 1.0 + g * (kept * (1.0 / g + w0q) + (1.0 - kept) * w0q - w1q);
        const double q0 = (2.0 - g * (kept * w0c + (1.0 - kept) * w0c - w1c)) / left;
        load[2 * k] = q0;
        load[2 * k + 1] = 2.0 - q0;
        mean = q0 / g + w0c + w0q * q0 - 0.5 * 200.0 / capacity;
    }
    free(time);
    free(load);
    free(lag);
    free(h);
    return mean;
}

START_TEST(series_in_time_agrees_with_marching)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_segment bores[2] = {bore_at(0.0, 0.0, 100.0), bore_at(4.0, 0.0, 100.0)};
    const double capacity = 150.0, times[3] = {1e5, YEAR, 20.0 * YEAR};
    const double eta = 100.0 / (capacity * sqrt(USUAL.bore_mk_w * USUAL.internal_mk_w));
    // Uniform wall: out = kept × in + …, from Rb η coth η = (1 + kept)/(1 − kept) H/2C.
    const double ratio = USUAL.bore_mk_w * eta / tanh(eta) * 2.0 * capacity / 100.0;
    const double kept = (ratio - 1.0) / (ratio + 1.0);
    const gw_field_pass passes[2] = {{0, 1, GW_PATH_U_TUBE, USUAL}, {0, 1, GW_PATH_U_TUBE, USUAL}};
    const gw_field_circuits got =
        solve(arena, &(gw_field_network){bores, 2, MEDIUM, passes, 2, &capacity, 1, 0.0}, times, 3);
    for (size_t i = 0; i < 3; ++i) {
        // The march is of first order; two halvings give its limit to 1e-6.
        double h[3];
        for (size_t n = 0; n < 3; ++n) {
            const double step = 0.125 / (double)(1U << n);
            h[n] = march_series(bores, kept, capacity, times[i], exp(step), 90U << n);
        }
        const double once = 2.0 * h[1] - h[0], twice = 2.0 * h[2] - h[1];
        ck_close(got.mean.h_mk_w[i], twice + (twice - once) / 3.0, 5e-6);
    }
    gw_arena_destroy(arena);
}
END_TEST

// ---- bad input ----

START_TEST(bad_input_is_refused_by_name)
{
    gw_segment part[12];
    lay_three(part);
    const double flow[2] = {500.0, 300.0}, bad_flow[2] = {500.0, 0.0};
    const gw_field_pass good[2] = {{0, 4, GW_PATH_U_TUBE, USUAL}, {1, 8, GW_PATH_THROUGH, USUAL}};
    const gw_field_network net = {part, 12, MEDIUM, good, 2, flow, 2, 0.0};
    ck_assert(gw_field_network_check(&net, NULL) == GW_OK);
    gw_err err = {0};
    gw_field_network bad = net;
    bad.capacity_w_k = bad_flow;
    ck_assert(gw_field_network_check(&bad, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "capacity_w_k[1]");
    bad = net;
    bad.circuit_count = 1;
    ck_assert(gw_field_network_check(&bad, &err) == GW_ERR_MISSING);
    ck_assert_str_eq(err.field, "capacity_w_k");
    bad = net;
    bad.count = 11;
    ck_assert(gw_field_network_check(&bad, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "passes");
    bad = net;
    bad.pass_count = 0;
    ck_assert(gw_field_network_check(&bad, &err) == GW_ERR_MISSING);
    bad = net;
    bad.medium.conductivity_w_mk = 21.0;
    ck_assert(gw_field_network_check(&bad, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "conductivity");
    const gw_field_pass wrong[5] = {{2, 8, GW_PATH_THROUGH, USUAL},
                                    {1, 0, GW_PATH_THROUGH, USUAL},
                                    {1, 8, GW_PATH_THROUGH, {0.0, 0.3}},
                                    {1, 8, GW_PATH_U_TUBE, {0.1, 0.0}},
                                    {1, 8, GW_PATH_U_TUBE, {nan(""), 0.3}}};
    for (size_t i = 0; i < 5; ++i) {
        const gw_field_pass passes[2] = {good[0], wrong[i]};
        bad = net;
        bad.passes = passes;
        ck_assert(gw_field_network_check(&bad, &err) == GW_ERR_RANGE);
        ck_assert_str_eq(err.field, "passes[1]");
    }
    const double falling[2] = {2e6, 1e6};
    gw_field_circuits out;
    gw_arena *const arena = gw_arena_create(0);
    ck_assert(gw_field_circuits_response(arena, &net, &(gw_field_times){falling, 2}, &out, &err) ==
              GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "times[1]");
    const double times[2] = {1e6, 2e6};
    for (size_t n = 0; n < 60; ++n) {
        gw_arena *const small = gw_arena_create(0);
        gw_arena_fail_after(small, n);
        const gw_status st =
            gw_field_circuits_response(small, &net, &(gw_field_times){times, 2}, &out, &err);
        ck_assert(st == GW_ERR_NOMEM || (st == GW_OK && n > 20));
        gw_arena_destroy(small);
    }
    gw_arena_destroy(arena);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("ground circuits");
    TCase *const all = tcase_create("all");
    tcase_set_timeout(all, 120);
    tcase_add_test(all, equal_circuits_are_the_common_field_behind_the_effective_resistance);
    tcase_add_test(all, a_pipe_passed_once_has_its_closed_form);
    tcase_add_test(all, a_trickle_through_a_long_bore_keeps_its_closed_form);
    tcase_add_test(all, fast_fluid_is_the_common_field_in_parallel_and_in_series);
    tcase_add_test(all, a_circuit_without_flow_leaves_the_others_alone);
    tcase_add_test(all, two_bores_in_series_share_the_load_unequally);
    tcase_add_test(all, what_the_fluid_loses_the_walls_receive);
    tcase_add_test(all, steady_network_agrees_with_fluid_integrated_in_small_steps);
    tcase_add_test(all, series_in_time_agrees_with_marching);
    tcase_add_test(all, bad_input_is_refused_by_name);
    suite_add_tcase(suite, all);
    return harness_run(suite);
}
