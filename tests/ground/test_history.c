// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Sum of exponentials against exact sums, direct superposition and load aggregation.
#include "base/random.h"
#include "ground/aggregate.h"
#include "ground/history.h"
#include "ground/response.h"
#include "harness.h"

#include <math.h>
#include <string.h>

enum { YEARS = 25, HOURS = YEARS * 8760 };
static const double HOUR_S = 3600.0, HORIZON_S = YEARS * GW_YEAR_S;
static const gw_segment BORE = {0.0, 0.0, 2.0, 0.0, 0.0, 1.0, 100.0, 0.07};
static const gw_segment PIPE = {0.0, 0.0, 1.8, 1.0, 0.0, 0.0, 60.0, 0.0167};
static const gw_ground_medium MEDIUM = {2.0, 1e-6};

static gw_step_samples sample(gw_arena *arena, const gw_segment *segment)
{
    double *const times = gw_arena_alloc(arena, GW_EXP_SAMPLES, sizeof *times);
    double *const value = gw_arena_alloc(arena, GW_EXP_SAMPLES, sizeof *value);
    gw_exp_sample_times(HOUR_S, HORIZON_S, times);
    ck_assert(gw_response_between(&(gw_response_case){MEDIUM, times, GW_EXP_SAMPLES, false},
                                  segment, segment, value, NULL) == GW_OK);
    return (gw_step_samples){times, value, GW_EXP_SAMPLES, 0.0};
}

START_TEST(sample_times_are_whole_steps_to_the_horizon)
{
    const double horizons[3] = {200.0 * HOUR_S, GW_YEAR_S, HORIZON_S};
    for (size_t n = 0; n < 3; ++n) {
        double times[GW_EXP_SAMPLES];
        gw_exp_sample_times(HOUR_S, horizons[n], times);
        ck_close(times[0], HOUR_S, 1e-15);
        ck_close(times[GW_EXP_SAMPLES - 1], horizons[n], 1e-12);
        for (size_t i = 1; i < GW_EXP_SAMPLES; ++i) {
            ck_assert(times[i] > times[i - 1]);
            ck_assert(fabs(times[i] / HOUR_S - round(times[i] / HOUR_S)) < 1e-9);
        }
    }
}
END_TEST

// Step response at every hour.
static double *hourly_steps(gw_arena *arena, const gw_segment *segment, double offset)
{
    double *const times = gw_arena_alloc(arena, HOURS, sizeof *times);
    double *const h = gw_arena_alloc(arena, HOURS, sizeof *h);
    for (size_t n = 0; n < HOURS; ++n) {
        times[n] = HOUR_S * (double)(n + 1);
    }
    ck_assert(gw_response_between(&(gw_response_case){MEDIUM, times, HOURS, false}, segment,
                                  segment, h, NULL) == GW_OK);
    for (size_t n = 0; n < HOURS; ++n) {
        h[n] += offset;
    }
    return h;
}

// Synthetic loads, W/m: a mean, a season, a day whose swing is largest in winter, and noise.
static double *synthetic_loads(gw_arena *arena)
{
    double *const q = gw_arena_alloc(arena, HOURS, sizeof *q);
    gw_random random;
    gw_random_init(&random, 42);
    for (size_t n = 0; n < HOURS; ++n) {
        const double season = cos(2.0 * M_PI * (double)n / 8760.0);
        const double day = cos(2.0 * M_PI * (double)n / 24.0);
        q[n] = 8.0 + 22.0 * season + 6.0 * (1.0 + 0.5 * season) * day +
               4.0 * gw_random_normal(&random);
    }
    return q;
}

static void agrees_with_superposition(const gw_segment *segment, double offset, double limit)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_step_samples samples = sample(arena, segment);
    samples.offset = offset;
    gw_exp_response fit;
    gw_err err = {0};
    ck_assert_msg(gw_exp_fit(arena, &samples, HORIZON_S, &fit, &err) == GW_OK, "%s", err.text);
    ck_assert(fit.fit_error_frac < 2e-5);
    ck_assert(fit.terms % 4 == 0 && fit.terms <= 28);

    const double *const step = hourly_steps(arena, segment, offset);
    const double *const loads = synthetic_loads(arena);
    gw_exp_stepper stepper;
    gw_exp_stepper_init(&stepper, &fit, HOUR_S);
    double worst = 0.0, largest = 0.0;
    for (size_t n = 0; n < HOURS; ++n) {
        const double change = gw_exp_advance(&stepper, loads[n]);
        if (n % 4001 == 0 || n + 24 >= HOURS) {
            const double direct = gw_history_superpose(step, loads, n);
            worst = fmax(worst, fabs(change - direct));
            largest = fmax(largest, fabs(direct));
        }
    }
    ck_assert_msg(worst <= limit * largest, "worst %g K of %g K", worst, largest);
    gw_arena_destroy(arena);
}

START_TEST(bore_agrees_with_direct_superposition)
{
    agrees_with_superposition(&BORE, 0.0, 2e-5);
}
END_TEST

START_TEST(pipe_with_resistance_agrees_with_direct_superposition)
{
    agrees_with_superposition(&PIPE, 0.08, 2e-5);
}
END_TEST

START_TEST(load_aggregation_agrees_with_both)
{
    gw_arena *const arena = gw_arena_create(0);
    const double *const step = hourly_steps(arena, &BORE, 0.0);
    const double *const loads = synthetic_loads(arena);
    double before = HUGE_VAL;
    for (size_t per_level = 5; per_level <= 80; per_level *= 4) {
        gw_aggregation sum;
        ck_assert(gw_aggregation_init(arena, per_level, HOURS, &sum, NULL) == GW_OK);
        for (size_t v = 0; v < sum.cells; ++v) {
            const size_t edge = (size_t)sum.edge_steps[v];
            sum.step_at_edge[v] = step[edge <= HOURS ? edge - 1 : HOURS - 1];
        }
        double worst = 0.0, largest = 0.0;
        for (size_t n = 0; n < 3 * 8760; ++n) {
            const double change = gw_aggregation_advance(&sum, loads[n]);
            if (n % 997 == 0) {
                const double direct = gw_history_superpose(step, loads, n);
                worst = fmax(worst, fabs(change - direct));
                largest = fmax(largest, fabs(direct));
            }
        }
        ck_assert(worst < 0.4 * before); // more cells, less error
        ck_assert(worst < 0.05 * largest);
        before = worst;
    }
    gw_aggregation none;
    ck_assert(gw_aggregation_init(arena, 1, 10, &none, NULL) == GW_ERR_RANGE);
    ck_assert(gw_aggregation_init(arena, 5, 0, &none, NULL) == GW_ERR_RANGE);
    gw_arena_destroy(arena);
}
END_TEST

// A response that is a sum of the very time constants is found again, and the stepper is then
// exact: constant load gives the step response itself.
START_TEST(exact_for_its_own_time_constants)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_step_samples samples = sample(arena, &BORE);
    gw_exp_response fit, again;
    ck_assert(gw_exp_fit(arena, &samples, HORIZON_S, &fit, NULL) == GW_OK);
    double value[200];
    ck_assert(samples.count < 200);
    for (size_t i = 0; i < samples.count; ++i) {
        value[i] = gw_exp_step(&fit, samples.times_s[i]);
    }
    samples.value = value;
    ck_assert(gw_exp_fit(arena, &samples, HORIZON_S, &again, NULL) == GW_OK);
    ck_assert(again.fit_error_frac < 1e-6);

    fit.offset = 0.1;
    gw_exp_stepper stepper;
    gw_exp_stepper_init(&stepper, &fit, HOUR_S);
    for (size_t n = 1; n <= 50000; ++n) {
        const double base = stepper.base, gain = stepper.gain;
        const double change = gw_exp_advance(&stepper, 2.0);
        ck_close(change, base + gain * 2.0, 1e-15);
        if (n % 499 == 1) {
            ck_close(change, 2.0 * gw_exp_step(&fit, HOUR_S * (double)n), 1e-12);
            ck_close(gw_exp_observe(&stepper, &fit, 2.0), change, 1e-12);
        }
    }
    gw_arena_destroy(arena);
}
END_TEST

// Infinite line under a periodic load: K0(r √(iω/α))/(2πk), here against the fit of a response
// known in closed form: h = 1 − e^(−t/τ) gives 1/(1 + iωτ); and marching must reach the same.
START_TEST(periodic_load_settles_to_the_complex_response)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_step_samples samples = sample(arena, &PIPE);
    gw_exp_response fit;
    ck_assert(gw_exp_fit(arena, &samples, HORIZON_S, &fit, NULL) == GW_OK);
    const double omega = 2.0 * M_PI / GW_YEAR_S;
    const gw_complex g = gw_exp_periodic(&fit, omega);
    ck_assert(g.re > 0.0 && g.im < 0.0);
    ck_close(gw_exp_periodic(&fit, 0.0).re, gw_exp_step(&fit, HUGE_VAL), 1e-12);
    gw_exp_stepper stepper;
    gw_exp_stepper_init(&stepper, &fit, HOUR_S);
    double worst = 0.0;
    for (size_t n = 0; n < 20 * 8760; ++n) {
        const double middle = omega * HOUR_S * ((double)n + 0.5),
                     end = middle + 0.5 * omega * HOUR_S;
        const double change = gw_exp_advance(&stepper, cos(middle));
        if (n > 19 * 8760) {
            worst = fmax(worst, fabs(change - (g.re * cos(end) - g.im * sin(end))));
        }
    }
    ck_assert_msg(worst < 1e-3 * g.re, "worst %g of %g", worst, g.re);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(periodic_response_of_one_time_constant)
{
    const gw_exp_response one = {.terms = 4,
                                 .time_constant_s = {100.0, 200.0, 300.0, 400.0},
                                 .weight = {0.0, 2.0, 0.0, 0.0},
                                 .offset = 0.5};
    const gw_complex g = gw_exp_periodic(&one, 1.0 / 200.0);
    ck_close(g.re, 1.5, 1e-15);
    ck_close(g.im, -1.0, 1e-15);
}
END_TEST

START_TEST(rejects_each_bad_input)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_step_samples good = sample(arena, &BORE);
    gw_exp_response fit;
    gw_err err = {0};
    gw_step_samples bad = good;
    bad.count = 7;
    ck_assert(gw_exp_fit(arena, &bad, HORIZON_S, &fit, &err) == GW_ERR_MISSING);
    bad = good;
    bad.offset = -0.1;
    ck_assert(gw_exp_fit(arena, &bad, HORIZON_S, &fit, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "offset");
    ck_assert(gw_exp_fit(arena, &good, nan(""), &fit, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "horizon");
    double values[200], times[200];
    memcpy(values, good.value, good.count * sizeof *values);
    memcpy(times, good.times_s, good.count * sizeof *times);
    bad = (gw_step_samples){times, values, good.count, 0.0};
    values[5] = nan("");
    ck_assert(gw_exp_fit(arena, &bad, HORIZON_S, &fit, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "samples[5]");
    values[5] = good.value[5];
    times[6] = times[5];
    ck_assert(gw_exp_fit(arena, &bad, HORIZON_S, &fit, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "samples[6]");
    // A response that jumps up and down is not a sum of relaxations.
    times[6] = good.times_s[6];
    for (size_t i = 0; i < good.count; ++i) {
        values[i] = i % 2 == 0 ? 1.0 : 2.0;
    }
    ck_assert(gw_exp_fit(arena, &bad, HORIZON_S, &fit, &err) == GW_ERR_CONVERGE);
    gw_arena_fail_after(arena, 0);
    ck_assert(gw_exp_fit(arena, &good, HORIZON_S, &fit, &err) == GW_ERR_NOMEM);
    gw_arena_destroy(arena);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("ground history");
    TCase *const all = tcase_create("all");
    tcase_set_timeout(all, 120);
    tcase_add_test(all, sample_times_are_whole_steps_to_the_horizon);
    tcase_add_test(all, bore_agrees_with_direct_superposition);
    tcase_add_test(all, pipe_with_resistance_agrees_with_direct_superposition);
    tcase_add_test(all, load_aggregation_agrees_with_both);
    tcase_add_test(all, exact_for_its_own_time_constants);
    tcase_add_test(all, periodic_load_settles_to_the_complex_response);
    tcase_add_test(all, periodic_response_of_one_time_constant);
    tcase_add_test(all, rejects_each_bad_input);
    suite_add_tcase(suite, all);
    return harness_run(suite);
}
