// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "loop/pulse_method.h"

#include "harness.h"

// Exact cylinder-source factors, f6h = G(6 h), f1m = G(30 d + 6 h) − G(6 h), f10y likewise,
// computed independently from Carslaw & Jaeger §13.5 for 3650 d, 30 d, 0.25 d.
typedef struct {
    double r_m, alpha_m2_day, six_hours, one_month, ten_years;
} exact_row;
static const exact_row EXACT[] = {
    {0.054, 0.086, 0.24211, 0.36327, 0.38169}, {0.06, 0.068, 0.21323, 0.35688, 0.38151},
    {0.075, 0.1, 0.20943, 0.35589, 0.38148},   {0.05, 0.025, 0.17510, 0.34482, 0.38110},
    {0.1, 0.2, 0.21684, 0.35779, 0.38154},
};

START_TEST(factors_match_the_cylinder_source)
{
    const exact_row *const e = &EXACT[_i];
    gw_pulse_factors f;
    ck_assert_int_eq(gw_pulse_factors_at(e->r_m, e->alpha_m2_day / 86400.0, &f, NULL), GW_OK);
    // The correlations' own error, as found over 30 points: 0.82 %, 0.17 %, 0.03 %.
    ck_close(f.six_hours, e->six_hours, 0.0083);
    ck_close(f.one_month, e->one_month, 0.0018);
    ck_close(f.ten_years, e->ten_years, 0.0005);
}
END_TEST

// Philippe, Bernier & Marchio 2010, case 1 (single bore, heat rejection; inputs from memory): 151.7
// m printed. Mean fluid 42.581 °C follows from 40.2 °C entering and 12 kW at 0.05 kg/s per kW.
START_TEST(published_single_bore_length)
{
    const gw_pulse_loads loads = {.hour_w = 12000.0, .month_w = 6000.0, .year_w = 1500.0};
    const gw_pulse_ground ground = {.conductivity_w_mk = 2.0,
                                    .diffusivity_m2_s = 0.086 / 86400.0,
                                    .bore_radius_m = 0.054,
                                    .bore_resistance_mk_w = 0.112560,
                                    .fluid_degc = 42.5810,
                                    .ground_degc = 15.0};
    double length_m = 0.0;
    ck_assert_int_eq(gw_pulse_length(&loads, &ground, &length_m, NULL), GW_OK);
    ck_close(length_m, 151.7, 0.005);
    ck_close(length_m, 151.59, 1e-4); // by the correlation, computed independently
}
END_TEST

START_TEST(inputs_out_of_range_are_refused)
{
    const gw_pulse_loads loads = {.hour_w = 12000.0};
    gw_pulse_ground ground = {.conductivity_w_mk = 2.0,
                              .diffusivity_m2_s = 1e-6,
                              .bore_radius_m = 0.03,
                              .fluid_degc = 0.0,
                              .ground_degc = 8.0};
    double length_m = -1.0;
    ck_assert_int_eq(gw_pulse_length(&loads, &ground, &length_m, NULL), GW_ERR_RANGE);
    ground.bore_radius_m = 0.06;
    ground.fluid_degc = 8.0;
    ck_assert_int_eq(gw_pulse_length(&loads, &ground, &length_m, NULL), GW_ERR_RANGE);
    ground.fluid_degc = 0.0;
    ground.diffusivity_m2_s = 1e-8;
    ck_assert_int_eq(gw_pulse_length(&loads, &ground, &length_m, NULL), GW_ERR_RANGE);
    ck_assert(length_m == -1.0);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("pulse method");
    TCase *const tc = tcase_create("pulses");
    tcase_add_loop_test(tc, factors_match_the_cylinder_source, 0,
                        (int)(sizeof EXACT / sizeof EXACT[0]));
    tcase_add_test(tc, published_single_bore_length);
    tcase_add_test(tc, inputs_out_of_range_are_refused);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
