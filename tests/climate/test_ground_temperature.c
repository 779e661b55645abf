// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "climate/ground_temperature.h"

#include "harness.h"

#include <math.h>
#include <string.h>

static double m2_s(double m2_day)
{
    return m2_day / 86400.0;
}

// Kusuda & Achenbach (1965) evaluated to 15 digits: damping depth, amplitude ratio, lag per metre.
START_TEST(damping_and_lag_match_closed_form)
{
    static const struct {
        double diffusivity_m2_day, damping_m, lag_day_per_m, at_1, at_1_5, at_2, at_3, at_5, at_10;
    } rows[] = {
        {0.025, 1.704282, 34.0856, 0.556128, 0.414727, 0.309278, 0.171998, 0.053195, 0.0028297},
        {0.04, 2.155765, 26.9471, 0.628844, 0.498671, 0.395445, 0.248673, 0.098336, 0.0096700},
        {0.05, 2.410219, 24.1022, 0.660406, 0.536682, 0.436136, 0.288027, 0.125619, 0.0157802},
        {0.0557, 2.543894, 22.8357, 0.674963, 0.554523, 0.455574, 0.307496, 0.140087, 0.0196244},
        {0.08, 3.048713, 19.0545, 0.720358, 0.611396, 0.518915, 0.373805, 0.193973, 0.0376255},
    };
    const gw_ground_climate unit = {.mean_degc = 0.0, .amplitude_k = 1.0, .phase_day = 0.0};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const double d = m2_s(rows[i].diffusivity_m2_day);
        ck_close(gw_ground_damping_depth_m(d), rows[i].damping_m, 1e-6);
        const double want[6] = {rows[i].at_1, rows[i].at_1_5, rows[i].at_2,
                                rows[i].at_3, rows[i].at_5,   rows[i].at_10};
        static const double depth_m[6] = {1, 1.5, 2, 3, 5, 10};
        for (int k = 0; k < 6; k++) {
            const gw_ground_wave wave = gw_ground_wave_at(&unit, depth_m[k], d);
            ck_close(gw_ground_wave_amplitude_k(wave), want[k], 2e-5);
        }
        const gw_ground_wave at_1 = gw_ground_wave_at(&unit, 1.0, d);
        ck_close(gw_ground_wave_minimum_day(at_1), rows[i].lag_day_per_m, 3e-6);
    }
}
END_TEST

// Closed form: mean 9 °C, amplitude 12 K, minimum on day 35, 0.05 m2/day.
START_TEST(point_values_match_closed_form)
{
    static const double rows[][3] = {
        {0, 35, -3.0},      {1.5, 35, 3.767284},   {1.5, 60, 2.678155}, {1.8, 80, 3.315748},
        {2, 100, 3.983589}, {1.8, 262, 14.685403}, {3, 120, 5.625857}};
    const gw_ground_climate ground = {.mean_degc = 9.0, .amplitude_k = 12.0, .phase_day = 35.0};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const gw_depth_day point = {rows[i][0], rows[i][1], m2_s(0.05)};
        ck_assert_double_eq_tol(gw_ground_temperature_degc(&ground, point), rows[i][2], 6e-7);
        const gw_ground_wave wave = gw_ground_wave_at(&ground, rows[i][0], m2_s(0.05));
        ck_assert_double_eq_tol(9.0 + gw_ground_wave_value_k(wave, rows[i][1]), rows[i][2], 6e-7);
    }
}
END_TEST

// Boston, published table of ground climate constants: 11.08 °C, 11.57 K, sine phase 115.1 days,
// which is a minimum on day 23.85; at 1.5 m and 0.05 m2/day 4.871 to 17.289 °C, minimum day 60.0.
START_TEST(boston_constants_give_its_range_at_depth)
{
    const double sine_phase_day = 115.1;
    const gw_ground_climate boston = {11.08, 11.57, sine_phase_day - 365.0 / 4.0};
    ck_assert_double_eq_tol(boston.phase_day, 23.85, 1e-9);
    const gw_ground_wave wave = gw_ground_wave_at(&boston, 1.5, m2_s(0.05));
    const double amplitude_k = gw_ground_wave_amplitude_k(wave);
    ck_assert_double_eq_tol(boston.mean_degc - amplitude_k, 4.871, 5e-4);
    ck_assert_double_eq_tol(boston.mean_degc + amplitude_k, 17.289, 5e-4);
    ck_assert_double_eq_tol(gw_ground_wave_minimum_day(wave), 60.0, 0.05);
}
END_TEST

START_TEST(year_repeats_and_deep_ground_is_constant)
{
    const gw_ground_climate ground = {8.0, 11.0, 40.0};
    const gw_depth_day a = {1.2, 100.0, 6e-7};
    const gw_depth_day b = {1.2, 100.0 + 365.0 * 30.0, 6e-7};
    ck_assert_double_eq_tol(gw_ground_temperature_degc(&ground, a),
                            gw_ground_temperature_degc(&ground, b), 1e-9);
    const gw_depth_day deep = {60.0, 10.0, 6e-7};
    ck_assert_double_eq_tol(gw_ground_temperature_degc(&ground, deep), 8.0, 1e-8);
}
END_TEST

// The analytic field obeys dT/dt = D d2T/dz2.
START_TEST(field_obeys_conduction)
{
    const gw_ground_climate ground = {8.0, 11.0, 40.0};
    const double d = 6e-7;
    const double dz = 0.01;
    const double dt = 0.1;
    for (double z = 0.5; z < 4.0; z += 0.7) {
        const double day = 77.0;
        const double t0 = gw_ground_temperature_degc(&ground, (gw_depth_day){z, day - dt, d});
        const double t1 = gw_ground_temperature_degc(&ground, (gw_depth_day){z, day + dt, d});
        const double a = gw_ground_temperature_degc(&ground, (gw_depth_day){z - dz, day, d});
        const double m = gw_ground_temperature_degc(&ground, (gw_depth_day){z, day, d});
        const double b = gw_ground_temperature_degc(&ground, (gw_depth_day){z + dz, day, d});
        const double rate = (t1 - t0) / (2.0 * dt * 86400.0);
        ck_assert_double_eq_tol(rate, d * (a - 2.0 * m + b) / (dz * dz), 2e-5 * 2e-6);
    }
}
END_TEST

START_TEST(fit_returns_the_wave_it_was_given)
{
    static double hourly[GW_HOURS_PER_YEAR];
    const gw_ground_climate ground = {6.3, 15.4, 20.7};
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        const gw_depth_day surface = {0.0, (h + 0.5) / 24.0, 6e-7};
        hourly[h] = gw_ground_temperature_degc(&ground, surface);
    }
    gw_ground_climate fit = {0};
    gw_ground_fit_harmonic(hourly, &fit);
    ck_assert_double_eq_tol(fit.mean_degc, 6.3, 1e-9);
    ck_assert_double_eq_tol(fit.amplitude_k, 15.4, 1e-9);
    ck_assert_double_eq_tol(fit.phase_day, 20.7, 1e-7);
    ck_assert_int_eq(gw_ground_climate_from_air(hourly, 1.5, 0.75, &fit, NULL), GW_OK);
    ck_assert_double_eq_tol(fit.mean_degc, 7.8, 1e-9);
    ck_assert_double_eq_tol(fit.amplitude_k, 11.55, 1e-9);
}
END_TEST

START_TEST(each_field_out_of_range_is_refused)
{
    static const struct {
        gw_ground_climate ground;
        const char *field;
    } rows[] = {
        {{(double)NAN, 10, 30}, "mean_degc"}, {{31, 10, 30}, "mean_degc"},
        {{8, -1, 30}, "amplitude_k"},         {{8, 41, 30}, "amplitude_k"},
        {{8, 10, -1}, "phase_day"},           {{8, 10, 366}, "phase_day"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        gw_err err = {0};
        ck_assert_int_eq(gw_ground_climate_check(&rows[i].ground, &err), GW_ERR_RANGE);
        ck_assert_str_eq(err.field, rows[i].field);
    }
    static double hourly[GW_HOURS_PER_YEAR];
    gw_ground_climate fit = {0};
    ck_assert_int_eq(gw_ground_climate_from_air(hourly, 11.0, 1.0, &fit, NULL), GW_ERR_RANGE);
    ck_assert_int_eq(gw_ground_climate_from_air(hourly, 1.0, (double)NAN, &fit, NULL),
                     GW_ERR_RANGE);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("climate/ground_temperature");
    TCase *const cases = tcase_create("all");
    tcase_add_test(cases, damping_and_lag_match_closed_form);
    tcase_add_test(cases, point_values_match_closed_form);
    tcase_add_test(cases, boston_constants_give_its_range_at_depth);
    tcase_add_test(cases, year_repeats_and_deep_ground_is_constant);
    tcase_add_test(cases, field_obeys_conduction);
    tcase_add_test(cases, fit_returns_the_wave_it_was_given);
    tcase_add_test(cases, each_field_out_of_range_is_refused);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
