// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "climate/degree_days.h"

#include "harness.h"

#include <math.h>

// "HDD18.3" of the published tables has the base 65 °F.
#define BASE_65F_DEGC ((65.0 - 32.0) / 1.8)

static double sum12(const double values[12])
{
    double sum = 0.0;
    for (int m = 0; m < 12; m++) {
        sum += values[m];
    }
    return sum;
}

// Monthly means and measured HDD18.3: ASHRAE Fundamentals 2017 ch. 14 station data.
static const struct place {
    const char *name;
    double mean_degc[12];
    double erbs_18_3, erbs_18, measured_18_3, sigma_year_k;
} places[] = {
    {"Ottawa",
     {-9.7, -8, -2, 6.2, 13.5, 18.8, 21, 20, 15.2, 8.4, 1.8, -5.6},
     4543,
     4446.4,
     4483,
     10.745},
    {"Toronto",
     {-4.8, -4.2, .5, 7.1, 13.5, 19.2, 21.7, 20.9, 16.6, 10, 4, -1.5},
     3875,
     3781.6,
     3837,
     9.397},
    {"Winnipeg",
     {-16.4, -13.7, -6.1, 3.9, 11, 16.9, 19.3, 18.8, 13.3, 5.3, -4.4, -13},
     5818,
     5715.3,
     5758,
     12.693},
    {"Vancouver",
     {4.1, 4.9, 6.8, 9.4, 12.8, 15.6, 18.1, 18.1, 15.1, 10.4, 6.4, 3.8},
     2988,
     2883.1,
     2911,
     5.139},
};

// Erbs, Klein & Beckman (1983) evaluated by hand, and within 3 % of the measured year.
START_TEST(erbs_year_matches_formula_and_measurement)
{
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        double month[12];
        ck_close(gw_degree_days_sigma_year_k(places[i].mean_degc), places[i].sigma_year_k, 5e-5);
        gw_degree_days_erbs(places[i].mean_degc, GW_DEGREE_DAYS_HEATING, BASE_65F_DEGC, month);
        ck_assert_double_eq_tol(sum12(month), places[i].erbs_18_3, 0.6);
        ck_close(sum12(month), places[i].measured_18_3, 0.03);
        gw_degree_days_erbs(places[i].mean_degc, GW_DEGREE_DAYS_HEATING, 18.0, month);
        ck_assert_double_eq_tol(sum12(month), places[i].erbs_18, 0.06);
    }
}
END_TEST

// Ottawa by month: formula, and measured (December from the annual total).
START_TEST(erbs_months_match_ottawa)
{
    static const double formula[12] = {869, 737, 631, 366, 165, 48, 24, 34, 117, 312, 497, 742};
    static const double measured[12] = {870, 738, 632, 364, 160, 39, 8, 18, 110, 308, 497, 739};
    double month[12];
    gw_degree_days_erbs(places[0].mean_degc, GW_DEGREE_DAYS_HEATING, BASE_65F_DEGC, month);
    for (int m = 0; m < 12; m++) {
        ck_assert_double_eq_tol(month[m], formula[m], 0.6);
        if (measured[m] > 300.0) {
            ck_close(month[m], measured[m], 0.015);
        } else {
            ck_assert_double_eq_tol(month[m], measured[m], 30.0);
        }
    }
}
END_TEST

// Heating minus cooling degree-days = N (base - mean) exactly, month by month.
START_TEST(heating_less_cooling_is_the_mean_difference)
{
    double heating[12];
    double cooling[12];
    gw_degree_days_erbs(places[1].mean_degc, GW_DEGREE_DAYS_HEATING, 15.0, heating);
    gw_degree_days_erbs(places[1].mean_degc, GW_DEGREE_DAYS_COOLING, 15.0, cooling);
    for (int m = 0; m < 12; m++) {
        const double want = gw_weather_days_of_month(m) * (15.0 - places[1].mean_degc[m]);
        ck_assert_double_eq_tol(heating[m] - cooling[m], want, 0.02);
    }
}
END_TEST

START_TEST(hourly_sum_is_never_below_daily_sum)
{
    static double year[GW_HOURS_PER_YEAR];
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        year[h] = 8.0 - 14.0 * cos(6.2831853 * h / 8760.0) - 5.0 * cos(6.2831853 * h / 24.0);
    }
    const double daily = gw_degree_days_daily(year, GW_DEGREE_DAYS_HEATING, 18.0);
    const double hourly = gw_degree_days_hourly(year, GW_DEGREE_DAYS_HEATING, 18.0);
    ck_assert_double_gt(hourly, daily);
    double month[12];
    gw_degree_days_by_month(year, GW_DEGREE_DAYS_HEATING, 18.0, month);
    ck_close(sum12(month), daily, 1e-12);
}
END_TEST

START_TEST(constant_temperature_gives_exact_sums)
{
    static double year[GW_HOURS_PER_YEAR];
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        year[h] = 8.0;
    }
    ck_close(gw_degree_days_daily(year, GW_DEGREE_DAYS_HEATING, 18.0), 3650.0, 1e-12);
    ck_close(gw_degree_days_hourly(year, GW_DEGREE_DAYS_HEATING, 18.0), 3650.0, 1e-12);
    ck_assert_double_eq(gw_degree_days_daily(year, GW_DEGREE_DAYS_COOLING, 18.0), 0.0);
    ck_close(gw_degree_days_hourly(year, GW_DEGREE_DAYS_COOLING, 5.0), 3.0 * 365.0, 1e-12);
}
END_TEST

// The logistic distribution of Erbs et al.: F = 1/(1 + exp(-3.396 h)).
START_TEST(stated_hourly_spread_is_that_of_the_logistic)
{
    const double sigma_k = gw_degree_days_sigma_month_k(-9.7, 10.745);
    ck_close(sigma_k, 1.45 + 0.0290 * 9.7 + 0.0664 * 10.745, 1e-12);
    double variance = 0.0; // of h, by summing quantiles
    enum { STEPS = 400000 };
    for (int i = 0; i < STEPS; i++) {
        const double p = (i + 0.5) / STEPS;
        const double h = log(p / (1.0 - p)) / 3.396;
        variance += h * h / STEPS;
    }
    ck_close(gw_degree_days_sigma_hours_k(-9.7, 10.745, 31), sqrt(variance) * sigma_k * sqrt(31.0),
             1e-4);
}
END_TEST

START_TEST(bins_count_every_hour_once)
{
    static double year[GW_HOURS_PER_YEAR];
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        year[h] = h < 100 ? -50.0 : (h < 150 ? -10.0 : (h < 160 ? -5.0 : 99.0));
    }
    int count[4];
    const gw_bin_scale scale = {.lowest_degc = -15.0, .width_k = 5.0, .bins = 4};
    ck_assert_int_eq(gw_degree_days_bins(year, scale, count, NULL), GW_OK);
    ck_assert_int_eq(count[0], 100); // below the lowest edge
    ck_assert_int_eq(count[1], 50);  // -10 belongs to the bin that begins there
    ck_assert_int_eq(count[2], 10);
    ck_assert_int_eq(count[3], 8600);
    const gw_bin_scale no_width = {.lowest_degc = 0.0, .width_k = 0.0, .bins = 4};
    const gw_bin_scale nan_width = {.lowest_degc = 0.0, .width_k = (double)NAN, .bins = 4};
    const gw_bin_scale no_bins = {.lowest_degc = 0.0, .width_k = 1.0, .bins = 0};
    ck_assert_int_eq(gw_degree_days_bins(year, no_width, count, NULL), GW_ERR_RANGE);
    ck_assert_int_eq(gw_degree_days_bins(year, nan_width, count, NULL), GW_ERR_RANGE);
    ck_assert_int_eq(gw_degree_days_bins(year, no_bins, count, NULL), GW_ERR_RANGE);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("climate/degree_days");
    TCase *const cases = tcase_create("all");
    tcase_add_test(cases, erbs_year_matches_formula_and_measurement);
    tcase_add_test(cases, erbs_months_match_ottawa);
    tcase_add_test(cases, heating_less_cooling_is_the_mean_difference);
    tcase_add_test(cases, hourly_sum_is_never_below_daily_sum);
    tcase_add_test(cases, constant_temperature_gives_exact_sums);
    tcase_add_test(cases, stated_hourly_spread_is_that_of_the_logistic);
    tcase_add_test(cases, bins_count_every_hour_once);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
