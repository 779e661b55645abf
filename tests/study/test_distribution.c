// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/distribution.h"

#include "harness.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

START_TEST(normal_quantile_is_gsls)
{
    static const double P[] = {1e-9, 1e-5, 0.001, 0.025, 0.1,     0.3,
                               0.5,  0.7,  0.975, 0.999, 1 - 1e-9};
    for (size_t i = 0; i < sizeof P / sizeof P[0]; i++) {
        const double want = gsl_cdf_ugaussian_Pinv(P[i]);
        ck_assert_msg(fabs(gw_distribution_normal_quantile(P[i]) - want) <
                          1e-7 * fmax(1, fabs(want)),
                      "p %g: %.15g, want %.15g", P[i], gw_distribution_normal_quantile(P[i]), want);
    }
}
END_TEST

// Distribution functions written down from their definitions.
START_TEST(quantiles_undo_the_distribution_functions)
{
    const gw_distribution t = {GW_DISTRIBUTION_TRIANGULAR, 2.0, 3.0, 7.0};
    const gw_distribution u = {GW_DISTRIBUTION_UNIFORM, -1.0, 3.0, 0.0};
    for (int i = 0; i <= 20; i++) {
        const double p = 0.05 * i;
        const double x = gw_distribution_quantile(&t, p);
        const double back = x <= 3.0 ? (x - 2.0) * (x - 2.0) / (5.0 * 1.0)
                                     : 1.0 - (7.0 - x) * (7.0 - x) / (5.0 * 4.0);
        ck_assert_double_eq_tol(back, p, 1e-12);
        ck_assert_double_eq_tol(gw_distribution_quantile(&u, p), -1.0 + 4.0 * p, 1e-12);
    }
    const gw_distribution n = {GW_DISTRIBUTION_NORMAL, 10.0, 2.0, 0.0};
    ck_assert_double_eq_tol(gw_distribution_quantile(&n, 0.5), 10.0, 1e-12);
    ck_assert_double_eq_tol(gw_distribution_quantile(&n, 0.0), 4.0, 1e-6);
    ck_assert_double_eq_tol(gw_distribution_quantile(&n, 1.0), 16.0, 1e-6);
}
END_TEST

START_TEST(a_distribution_without_width_is_its_value)
{
    const gw_distribution all[] = {{GW_DISTRIBUTION_TRIANGULAR, 1.5, 1.5, 1.5},
                                   {GW_DISTRIBUTION_NORMAL, 1.5, 0.0, 0.0},
                                   {GW_DISTRIBUTION_UNIFORM, 1.5, 1.5, 0.0}};
    for (size_t i = 0; i < 3; i++) {
        ck_assert(gw_distribution_quantile(&all[i], 0.123) == 1.5);
    }
}
END_TEST

START_TEST(each_stratum_is_hit_once)
{
    enum { N = 997 };
    double u[N];
    int hits[N] = {0};
    gw_hypercube_fill(5, 3, N, u);
    for (size_t i = 0; i < N; i++) {
        ck_assert(u[i] > 0.0 && u[i] < 1.0);
        hits[(size_t)(u[i] * N)]++;
    }
    for (size_t i = 0; i < N; i++) {
        ck_assert_int_eq(hits[i], 1);
    }
}
END_TEST

START_TEST(same_seed_same_numbers_other_stream_other_order)
{
    enum { N = 500 };
    double a[N], b[N], c[N], d[N];
    gw_hypercube_fill(9, 0, N, a);
    gw_hypercube_fill(9, 0, N, b);
    gw_hypercube_fill(9, 1, N, c);
    gw_hypercube_fill(10, 0, N, d);
    double product_c = 0.0, product_d = 0.0;
    for (size_t i = 0; i < N; i++) {
        ck_assert(a[i] == b[i]);
        product_c += (a[i] - 0.5) * (c[i] - 0.5) * 12.0 / N;
        product_d += (a[i] - 0.5) * (d[i] - 0.5) * 12.0 / N;
    }
    // Correlation of independent orders: standard deviation 1/sqrt(500) = 0.045.
    ck_assert_double_lt(fabs(product_c), 0.18);
    ck_assert_double_lt(fabs(product_d), 0.18);
}
END_TEST

// The mean of a stratified sample misses by far less than the 1/sqrt(n) of a plain one.
START_TEST(stratified_means_are_close)
{
    enum { N = 200 };
    double u[N];
    gw_hypercube_fill(1, 1, N, u);
    const gw_distribution n = {GW_DISTRIBUTION_NORMAL, 0.0, 1.0, 0.0};
    double mean = 0.0;
    for (size_t i = 0; i < N; i++) {
        mean += gw_distribution_quantile(&n, u[i]) / N;
    }
    ck_assert_double_lt(fabs(mean), 0.01); // plain sampling: 0.07
}
END_TEST

START_TEST(sample_quantiles_by_hand)
{
    double v[] = {4.0, 1.0, 3.0, 2.0};
    gw_sample_sort(v, 4);
    ck_assert(gw_sample_quantile(v, 4, 0.0) == 1.0 && gw_sample_quantile(v, 4, 1.0) == 4.0);
    ck_assert_double_eq_tol(gw_sample_quantile(v, 4, 0.5), 2.5, 1e-15);
    ck_assert_double_eq_tol(gw_sample_quantile(v, 4, 0.1), 1.3, 1e-15);
    ck_assert(gw_sample_quantile(v, 1, 0.7) == 1.0);
}
END_TEST

START_TEST(bad_distributions_are_refused)
{
    const gw_distribution all[] = {{GW_DISTRIBUTION_TRIANGULAR, 1.0, 0.5, 2.0},
                                   {GW_DISTRIBUTION_TRIANGULAR, 1.0, 3.0, 2.0},
                                   {GW_DISTRIBUTION_NORMAL, 1.0, -0.1, 0.0},
                                   {GW_DISTRIBUTION_UNIFORM, 2.0, 1.0, 0.0},
                                   {GW_DISTRIBUTION_UNIFORM, (double)NAN, 1.0, 0.0},
                                   {GW_DISTRIBUTION_TRIANGULAR, 1.0, 2.0, HUGE_VAL}};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        gw_err err = {0};
        ck_assert_int_eq(gw_distribution_check(&all[i], "load", &err), GW_ERR_RANGE);
        ck_assert_str_eq(err.field, "load");
    }
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("distribution");
    TCase *const tc = tcase_create("distribution");
    tcase_add_test(tc, normal_quantile_is_gsls);
    tcase_add_test(tc, quantiles_undo_the_distribution_functions);
    tcase_add_test(tc, a_distribution_without_width_is_its_value);
    tcase_add_test(tc, each_stratum_is_hit_once);
    tcase_add_test(tc, same_seed_same_numbers_other_stream_other_order);
    tcase_add_test(tc, stratified_means_are_close);
    tcase_add_test(tc, sample_quantiles_by_hand);
    tcase_add_test(tc, bad_distributions_are_refused);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
