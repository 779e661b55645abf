// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/short_time.h"

#include "harness.h"

#include <math.h>

static gw_short_bore reference(void)
{
    return (gw_short_bore){.bore_radius_m = 0.055,
                           .equivalent_radius_m = 0.022627417,
                           .pipe_resistance_mk_w = 0.05,
                           .fluid_capacity_j_mk = 4438.5678,
                           .grout_w_mk = 1.5,
                           .grout_heat_j_m3k = 3.1e6,
                           .ground_w_mk = 3.0,
                           .ground_heat_j_m3k = 2.25e6};
}

// Abramowitz & Stegun table 5.1 (from memory) and its continuation, computed to seven digits.
START_TEST(exponential_integral_matches_the_table)
{
    static const double x[] = {1e-10, 1e-6, 1e-3, .01, .1, .5, 1, 2, 5, 9};
    static const double want[] = {22.44864, 13.23830, 6.331539,  4.037930,   1.822924,
                                  .5597736, .2193839, .04890051, .001148296, 1.244735e-5};
    for (size_t i = 0; i < sizeof x / sizeof x[0]; ++i) {
        ck_close(gw_exponential_integral(x[i]), want[i], 4e-7);
    }
    ck_close(gw_exponential_integral(1 + 1e-12), gw_exponential_integral(1 - 1e-12), 1e-11);
    ck_assert(gw_exponential_integral(1e4) == 0.0);
}
END_TEST

// Model of Javed & Claesson 2011 inverted by Talbot's method with 30 digits, q' = 50 W/m.
START_TEST(response_matches_the_independent_inversion)
{
    static const double time_s[] = {60, 300, 600, 1800, 3600, 10800, 21600, 86400, 360000, 2592000};
    static const double want_k[] = {.6100723,  2.3115885,  3.6418478,  6.2303952,  7.8501803,
                                    9.9704563, 11.0732892, 13.0560742, 14.9897230, 17.6207946};
    double got[10];
    const gw_short_bore bore = reference();
    ck_assert_int_eq(gw_short_time_response(&bore, time_s, 10, got, NULL), GW_OK);
    for (size_t i = 0; i < 10; ++i) {
        ck_close(50 * got[i], want_k[i], i == 0 ? 2e-7 : 1e-7);
    }
    ck_close(gw_short_time_steady_resistance(&bore), .1442378565, 3e-8);
}
END_TEST

// Limits: at first all heat is in the fluid, T = t/C; at last line source plus resistance.
START_TEST(response_has_both_limits)
{
    const gw_short_bore bore = reference();
    const double time_s[] = {0.01, 3e9};
    double got[2];
    ck_assert_int_eq(gw_short_time_response(&bore, time_s, 2, got, NULL), GW_OK);
    ck_close(got[0], time_s[0] / bore.fluid_capacity_j_mk, 1e-3);
    const gw_line_source line = {3.0, 3.0 / 2.25e6, 0.055};
    ck_close(got[1], gw_line_source_response(&line, 3e9) + gw_short_time_steady_resistance(&bore),
             1e-6);
}
END_TEST

// Invariant: the times asked together do not change each other's answers beyond the accuracy.
START_TEST(answers_do_not_depend_on_company)
{
    const gw_short_bore bore = reference();
    const double alone[] = {600}, together[] = {1e9, 600, 3};
    double a[1], b[3];
    ck_assert_int_eq(gw_short_time_response(&bore, alone, 1, a, NULL), GW_OK);
    ck_assert_int_eq(gw_short_time_response(&bore, together, 3, b, NULL), GW_OK);
    ck_close(b[1], a[0], 1e-8);
}
END_TEST

START_TEST(match_gives_the_wanted_resistance)
{
    const gw_short_bore bore = reference();
    gw_short_bore matched;
    gw_err err = {0};
    ck_assert_int_eq(gw_short_time_match(&bore, 0.12, &matched, NULL), GW_OK);
    ck_close(gw_short_time_steady_resistance(&matched), 0.12, 1e-14);
    ck_assert_int_eq(gw_short_time_match(&bore, 0.04, &matched, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "bore_mk_w");
    ck_assert_int_eq(gw_short_time_match(&bore, (double)NAN, &matched, &err), GW_ERR_RANGE);
}
END_TEST

// Joined to a long-time response: from the plain model early to wall + Rb* late, rising all along.
START_TEST(join_runs_from_model_to_wall_response)
{
    enum { COUNT = 60 };
    const gw_short_bore bore = reference();
    const gw_line_source line = {3.0, 3.0 / 2.25e6, 0.055};
    double time_s[COUNT], wall[COUNT], plain[COUNT], joined[COUNT];
    for (size_t i = 0; i < COUNT; ++i) {
        time_s[i] = 60 * pow(10, 0.12 * (double)i);
        // A bore of 100 m: the line source bends to a plateau at ts = H²/9α (Eskilson 1987).
        const double ts = 100.0 * 100.0 / (9 * 3.0 / 2.25e6);
        wall[i] = gw_line_source_response(&line, time_s[i] / (1 + time_s[i] / ts));
    }
    const gw_short_series series = {time_s, wall, COUNT, 0.15, 900};
    ck_assert_int_eq(gw_short_time_join(&bore, &series, joined, NULL), GW_OK);
    ck_assert_int_eq(gw_short_time_response(&bore, time_s, COUNT, plain, NULL), GW_OK);
    ck_close(joined[0], plain[0], 0.04);
    ck_close(joined[COUNT - 1], wall[COUNT - 1] + 0.15, 1e-6);
    for (size_t i = 1; i < COUNT; ++i) {
        ck_assert_double_gt(joined[i], joined[i - 1]);
    }
}
END_TEST

START_TEST(bad_input_is_refused_by_field)
{
    const double time_s[] = {3600};
    double got[1];
    gw_err err = {0};
    gw_short_bore bad[9];
    for (size_t i = 0; i < 9; ++i) {
        bad[i] = reference();
    }
    bad[0].bore_radius_m = 0;
    bad[1].equivalent_radius_m = (double)NAN;
    bad[2].pipe_resistance_mk_w = -1;
    bad[3].fluid_capacity_j_mk = 0;
    bad[4].grout_w_mk = 0;
    bad[5].grout_heat_j_m3k = (double)INFINITY;
    bad[6].ground_w_mk = (double)NAN;
    bad[7].ground_heat_j_m3k = 0;
    bad[8].equivalent_radius_m = 0.056;
    const char *const fields[] = {
        "bore_radius_m",       "equivalent_radius_m", "pipe_resistance_mk_w",
        "fluid_capacity_j_mk", "grout_w_mk",          "grout_heat_j_m3k",
        "ground_w_mk",         "ground_heat_j_m3k",   "equivalent_radius_m"};
    for (size_t i = 0; i < 9; ++i) {
        ck_assert_int_ne(gw_short_time_response(&bad[i], time_s, 1, got, &err), GW_OK);
        ck_assert_str_eq(err.field, fields[i]);
    }
    const gw_short_bore bore = reference();
    const double never[] = {0};
    ck_assert_int_eq(gw_short_time_response(&bore, never, 1, got, &err), GW_ERR_RANGE);
    ck_assert_int_eq(gw_short_time_response(&bore, never, 0, got, &err), GW_ERR_MISSING);
    const double wall[] = {0.1};
    const gw_short_series low = {time_s, wall, 1, 0.1, 900}, still = {time_s, wall, 1, 0.2, 0};
    ck_assert_int_eq(gw_short_time_join(&bore, &low, got, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "effective_mk_w");
    ck_assert_int_eq(gw_short_time_join(&bore, &still, got, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "circulation_s");
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("short_time");
    TCase *const cases = tcase_create("short_time");
    tcase_add_test(cases, exponential_integral_matches_the_table);
    tcase_add_test(cases, response_matches_the_independent_inversion);
    tcase_add_test(cases, response_has_both_limits);
    tcase_add_test(cases, answers_do_not_depend_on_company);
    tcase_add_test(cases, match_gives_the_wanted_resistance);
    tcase_add_test(cases, join_runs_from_model_to_wall_response);
    tcase_add_test(cases, bad_input_is_refused_by_field);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
