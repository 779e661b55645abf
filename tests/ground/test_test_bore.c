// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/test_bore.h"

#include "base/random.h"
#include "harness.h"

#include <math.h>
#include <string.h>

static const double PI = 3.14159265358979323846;
static const double EULER = 0.57721566490153286061;
static const double HOUR = 3600.0;
static gw_arena *arena;

static void open_arena(void)
{
    arena = gw_arena_create(0);
}

static void close_arena(void)
{
    gw_arena_destroy(arena);
}

enum { COUNT = 300 }; // ten minutes apart, 50 h

static const gw_test_bore bore = {
    .length_m = 100, .radius_m = 0.063, .undisturbed_degc = 9, .ground_heat_j_m3k = 2.3e6};

typedef struct {
    double k, rb;
    double power_w[COUNT];
    double noise_k;
    gw_random *random;
} truth;

// Every change of power begins a line source of its own; written apart from the code under test.
static void make_series(const truth *true_values, gw_test_sample *samples)
{
    const double alpha = true_values->k / bore.ground_heat_j_m3k;
    for (size_t i = 0; i < COUNT; ++i) {
        const double t = 600.0 * (double)(i + 1);
        double rise = true_values->power_w[i] / bore.length_m * true_values->rb;
        for (size_t j = 0; j <= i; ++j) {
            const double q = (true_values->power_w[j] - (j > 0 ? true_values->power_w[j - 1] : 0)) /
                             bore.length_m;
            const double since = t - 600.0 * (double)j;
            rise += q / (4 * PI * true_values->k) *
                    gw_exponential_integral(bore.radius_m * bore.radius_m / (4 * alpha * since));
        }
        if (true_values->noise_k > 0) {
            rise += true_values->noise_k * gw_random_normal(true_values->random);
        }
        samples[i] = (gw_test_sample){.time_s = t,
                                      .power_w = true_values->power_w[i],
                                      .inlet_degc = bore.undisturbed_degc + rise + 1.5,
                                      .outlet_degc = bore.undisturbed_degc + rise - 1.5,
                                      .flow_m3_s = 4e-4};
    }
}

static truth steady(double k, double rb)
{
    truth t = {.k = k, .rb = rb};
    for (size_t i = 0; i < COUNT; ++i) {
        t.power_w[i] = 6000;
    }
    return t;
}

static gw_test_record record_of(const gw_test_sample *samples, double start_s)
{
    return (gw_test_record){
        .bore = bore, .series = {samples, COUNT}, .options = {.start_s = start_s}};
}

START_TEST(fit_recovers_a_steady_test)
{
    static const double k[] = {0.8, 2.4, 5.5}, rb[] = {0.05, 0.12, 0.21};
    gw_test_sample samples[COUNT];
    for (size_t i = 0; i < 3; ++i) {
        const truth t = steady(k[i], rb[i]);
        make_series(&t, samples);
        const gw_test_record record = record_of(samples, 5 * HOUR);
        gw_test_fit fit;
        gw_err err = {0};
        ck_assert_msg(gw_test_bore_fit(arena, &record, &fit, &err) == GW_OK, "%s", err.text);
        ck_close(fit.conductivity_w_mk, k[i], 1e-6);
        ck_close(fit.resistance_mk_w, rb[i], 1e-6);
        ck_assert_double_lt(fit.residual_k, 1e-6);
        ck_close(fit.mean_w_m, 60, 1e-12);
        ck_assert_double_lt(fit.power_spread_frac, 1e-12);
    }
}
END_TEST

// Power that fails for four hours and wanders: the fit follows it, the slope does not.
START_TEST(fit_recovers_a_test_with_varying_power)
{
    truth t = steady(2.4, 0.12);
    for (size_t i = 0; i < COUNT; ++i) {
        t.power_w[i] *= 1 + 0.15 * sin((double)i / 9);
        t.power_w[i] = i >= 110 && i < 134 ? 0 : t.power_w[i];
    }
    gw_test_sample samples[COUNT];
    make_series(&t, samples);
    const gw_test_record record = record_of(samples, 10 * HOUR);
    gw_test_fit fit, slope;
    ck_assert_int_eq(gw_test_bore_fit(arena, &record, &fit, NULL), GW_OK);
    ck_close(fit.conductivity_w_mk, 2.4, 1e-6);
    ck_close(fit.resistance_mk_w, 0.12, 1e-6);
    gw_err err = {0};
    if (gw_test_bore_slope(arena, &record, &slope, &err) == GW_OK) {
        ck_assert_double_gt(fabs(slope.conductivity_w_mk / 2.4 - 1), 0.1);
    }
}
END_TEST

// Exact: data that are a straight line over ln t give k = q/(4π slope) and Rb exactly.
START_TEST(slope_of_a_straight_line_is_exact)
{
    gw_test_sample samples[COUNT];
    const truth t = steady(2.82, 0.173);
    make_series(&t, samples);
    for (size_t i = 0; i < COUNT; ++i) {
        const double x =
            4 * t.k / bore.ground_heat_j_m3k * samples[i].time_s / (bore.radius_m * bore.radius_m);
        const double rise = 60 * ((log(x) - EULER) / (4 * PI * t.k) + t.rb);
        samples[i].inlet_degc = samples[i].outlet_degc = bore.undisturbed_degc + rise;
    }
    const gw_test_record record = record_of(samples, 10 * HOUR);
    gw_test_fit fit;
    ck_assert_int_eq(gw_test_bore_slope(arena, &record, &fit, NULL), GW_OK);
    ck_close(fit.conductivity_w_mk, 2.82, 1e-11);
    ck_close(fit.resistance_mk_w, 0.173, 1e-11);
}
END_TEST

// On true line-source data from 10 to 50 h the logarithm over-reads E1 by x = r²/4αt: by hand the
// slope is low and k high by the mean of x, about 0.2 % here, and Rb follows.
START_TEST(slope_of_a_line_source_is_near)
{
    gw_test_sample samples[COUNT];
    const truth t = steady(2.82, 0.173);
    make_series(&t, samples);
    const gw_test_record record = record_of(samples, 10 * HOUR);
    gw_test_fit slope, fit;
    ck_assert_int_eq(gw_test_bore_slope(arena, &record, &slope, NULL), GW_OK);
    ck_assert_int_eq(gw_test_bore_fit(arena, &record, &fit, NULL), GW_OK);
    const double x_10 =
        bore.radius_m * bore.radius_m * bore.ground_heat_j_m3k / (4 * t.k * 10 * HOUR);
    ck_assert_double_gt(slope.conductivity_w_mk, 2.82);
    ck_assert_double_lt(slope.conductivity_w_mk / 2.82 - 1, x_10);
    ck_close(fit.conductivity_w_mk, 2.82, 1e-6);
}
END_TEST

// Sandbox of Beier, Smith & Spitler 2011, inputs from memory: 1056 W on 18.3 m, k 2.82, 3.2 MJ/m³K,
// Rb 0.173; line-source rise computed independently at 10 to 50 h (K).
START_TEST(model_follows_the_sandbox_line_source)
{
    static const double hours[] = {10, 20, 30, 40, 50},
                        want[] = {14.74, 15.84, 16.49, 16.96, 17.32};
    gw_test_sample samples[60];
    for (size_t i = 0; i < 60; ++i) {
        samples[i] = (gw_test_sample){HOUR * (double)(i + 1), 1056, 22, 22, 1.97e-4};
    }
    const gw_test_record record = {
        .bore = {18.3, 0.063, 22, 3.2e6}, .series = {samples, 60}, .options = {.start_s = 1}};
    const gw_test_fit fit = {.conductivity_w_mk = 2.82, .resistance_mk_w = 0.173};
    double model[60];
    ck_assert_int_eq(gw_test_bore_model(arena, &record, &fit, model, NULL), GW_OK);
    for (size_t i = 0; i < 5; ++i) {
        ck_assert_double_eq_tol(model[(size_t)hours[i] - 1] - 22, want[i], 0.00501);
    }
}
END_TEST

// White noise of 0.05 K: the 95 % interval holds the truth in 95 of 100 tests; fewer than 88 or
// all of them would be a one-in-hundreds chance.
START_TEST(intervals_hold_the_truth_as_often_as_they_say)
{
    gw_random random;
    gw_random_init(&random, 20240517);
    truth t = steady(2.4, 0.12);
    t.noise_k = 0.05;
    t.random = &random;
    gw_test_sample samples[COUNT];
    int inside_k = 0, inside_rb = 0;
    for (int n = 0; n < 100; ++n) {
        make_series(&t, samples);
        const gw_test_record record = record_of(samples, 10 * HOUR);
        gw_test_fit fit;
        ck_assert_int_eq(gw_test_bore_fit(arena, &record, &fit, NULL), GW_OK);
        inside_k += fabs(fit.conductivity_w_mk - 2.4) <= fit.conductivity_half_w_mk;
        inside_rb += fabs(fit.resistance_mk_w - 0.12) <= fit.resistance_half_mk_w;
        ck_assert_double_eq_tol(fit.residual_k, 0.05, 0.01);
    }
    ck_assert_int_ge(inside_k, 88);
    ck_assert_int_le(inside_k, 99);
    ck_assert_int_ge(inside_rb, 88);
    ck_assert_int_le(inside_rb, 99);
}
END_TEST

// A test with real fluid and grout: the line source needs a late start, the short-time model does
// not.
START_TEST(short_time_model_fits_from_the_first_hour)
{
    const gw_short_bore true_bore = {.bore_radius_m = 0.063,
                                     .equivalent_radius_m = 0.03,
                                     .pipe_resistance_mk_w = 0.04,
                                     .fluid_capacity_j_mk = 4900,
                                     .grout_w_mk = 1.2,
                                     .grout_heat_j_m3k = 2.8e6,
                                     .ground_w_mk = 2.6,
                                     .ground_heat_j_m3k = bore.ground_heat_j_m3k};
    gw_test_sample samples[COUNT];
    double time_s[COUNT], rise[COUNT];
    for (size_t i = 0; i < COUNT; ++i) {
        time_s[i] = 600 * (double)(i + 1);
    }
    ck_assert_int_eq(gw_short_time_response(&true_bore, time_s, COUNT, rise, NULL), GW_OK);
    for (size_t i = 0; i < COUNT; ++i) {
        const double t = bore.undisturbed_degc + 60 * rise[i];
        samples[i] = (gw_test_sample){time_s[i], 6000, t + 1.5, t - 1.5, 4e-4};
    }
    gw_test_record record = record_of(samples, 0.5 * HOUR);
    gw_short_bore guess = true_bore;
    guess.equivalent_radius_m = 0.04;
    guess.ground_w_mk = 1.0;
    record.options.short_bore = &guess;
    gw_test_fit fit;
    gw_err err = {0};
    ck_assert_msg(gw_test_bore_fit(arena, &record, &fit, &err) == GW_OK, "%s", err.text);
    ck_close(fit.conductivity_w_mk, 2.6, 1e-5);
    ck_close(fit.resistance_mk_w, gw_short_time_steady_resistance(&true_bore), 1e-5);

    record.options.short_bore = NULL;
    static const double starts_s[] = {1800, 5 * 3600.0, 10 * 3600.0, 20 * 3600.0};
    gw_test_fit fits[4];
    const gw_test_starts starts = {starts_s, 4, fits};
    ck_assert_int_eq(gw_test_bore_start_sensitivity(arena, &record, &starts, NULL), GW_OK);
    double before = fabs(fits[0].conductivity_w_mk - 2.6);
    for (size_t i = 1; i < 4; ++i) {
        const double now = fabs(fits[i].conductivity_w_mk - 2.6);
        ck_assert_double_lt(now, before);
        before = now;
    }
    // The grout still warms after 20 h: between 24 and 100 h the short-time reference values of
    // test_short_time rise 2.5 % faster than the line source, so k reads that much low.
    ck_assert_double_lt(fits[3].conductivity_w_mk, 2.6);
    ck_close(fits[3].conductivity_w_mk, 2.6, 0.04);
}
END_TEST

// A long record is thinned with its energy kept: the answer hardly moves.
START_TEST(long_records_are_thinned)
{
    enum { LONG = 5000 };
    static gw_test_sample samples[LONG];
    const double alpha = 2.4 / bore.ground_heat_j_m3k;
    for (size_t i = 0; i < LONG; ++i) {
        const double t = 36.0 * (double)(i + 1);
        const double rise =
            60 * (gw_exponential_integral(bore.radius_m * bore.radius_m / (4 * alpha * t)) /
                      (4 * PI * 2.4) +
                  0.12);
        samples[i] = (gw_test_sample){t, 6000, 9 + rise, 9 + rise, 4e-4};
    }
    const gw_test_record record = {bore, {samples, LONG}, {.start_s = 10 * HOUR}};
    gw_test_fit fit;
    ck_assert_int_eq(gw_test_bore_fit(arena, &record, &fit, NULL), GW_OK);
    ck_close(fit.conductivity_w_mk, 2.4, 1e-6);
    ck_assert_uint_le(fit.samples, 2000);
    static double model[LONG];
    ck_assert_int_eq(gw_test_bore_model(arena, &record, &fit, model, NULL), GW_OK);
    ck_close(model[LONG - 1], samples[LONG - 1].inlet_degc, 1e-5);
}
END_TEST

START_TEST(bad_input_is_refused_by_field)
{
    gw_test_sample samples[COUNT];
    const truth t = steady(2.4, 0.12);
    make_series(&t, samples);
    const gw_test_record good = record_of(samples, 10 * HOUR);
    gw_test_fit fit;
    gw_err err = {0};
    const double nan_value = (double)NAN;
    gw_test_record bad[6] = {good, good, good, good, good, good};
    bad[0].bore.length_m = 0;
    bad[1].bore.radius_m = nan_value;
    bad[2].bore.undisturbed_degc = nan_value;
    bad[3].bore.ground_heat_j_m3k = 1;
    bad[4].options.start_s = -1;
    bad[5].options.end_s = nan_value;
    const char *const fields[] = {"length_m",          "radius_m", "undisturbed_degc",
                                  "ground_heat_j_m3k", "start_s",  "end_s"};
    for (size_t i = 0; i < 6; ++i) {
        ck_assert_int_eq(gw_test_bore_fit(arena, &bad[i], &fit, &err), GW_ERR_RANGE);
        ck_assert_str_eq(err.field, fields[i]);
    }
    bad[4].options.start_s = 49 * HOUR;
    ck_assert_int_eq(gw_test_bore_fit(arena, &bad[4], &fit, &err), GW_ERR_MISSING);
    struct {
        gw_test_sample sample;
        const char *field;
    } rows[] = {{samples[20], "time_s"},
                {samples[20], "power_w"},
                {samples[20], "inlet_degc"},
                {samples[20], "outlet_degc"},
                {samples[20], "flow_m3_s"}};
    rows[0].sample.time_s = samples[19].time_s;
    rows[1].sample.power_w = nan_value;
    rows[2].sample.inlet_degc = nan_value;
    rows[3].sample.outlet_degc = 500;
    rows[4].sample.flow_m3_s = 0;
    const gw_test_sample kept = samples[20];
    for (size_t i = 0; i < 5; ++i) {
        samples[20] = rows[i].sample;
        ck_assert_int_eq(gw_test_bore_fit(arena, &good, &fit, &err), GW_ERR_RANGE);
        ck_assert_str_eq(err.field, rows[i].field);
    }
    samples[20] = kept;
    for (size_t n = 0; n < 6; ++n) {
        gw_arena *const small = gw_arena_create(0);
        gw_arena_fail_after(small, n);
        ck_assert_int_eq(gw_test_bore_fit(small, &good, &fit, &err), GW_ERR_NOMEM);
        gw_arena_destroy(small);
    }
    for (size_t i = 0; i < COUNT; ++i) { // a cold bore under a heater: nothing fits
        samples[i].inlet_degc = samples[i].outlet_degc = 9 - 0.01 * (double)i;
    }
    ck_assert_int_ne(gw_test_bore_slope(arena, &good, &fit, &err), GW_OK);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("test_bore");
    TCase *const cases = tcase_create("test_bore");
    tcase_add_checked_fixture(cases, open_arena, close_arena);
    tcase_add_test(cases, fit_recovers_a_steady_test);
    tcase_add_test(cases, fit_recovers_a_test_with_varying_power);
    tcase_add_test(cases, slope_of_a_straight_line_is_exact);
    tcase_add_test(cases, slope_of_a_line_source_is_near);
    tcase_add_test(cases, model_follows_the_sandbox_line_source);
    tcase_add_test(cases, intervals_hold_the_truth_as_often_as_they_say);
    tcase_add_test(cases, short_time_model_fits_from_the_first_hour);
    tcase_add_test(cases, long_records_are_thinned);
    tcase_add_test(cases, bad_input_is_refused_by_field);
    tcase_set_timeout(cases, 60);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
