// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "harness.h"
#include "pipes/friction.h"
#include "pipes/pump.h"

#include <math.h>

#define US_GPM 6.30901964e-5
#define TON 3516.8528420667

// 1 US gal/min lifted 1 ft of water: 0.1885 W (water of 62.4 lb/ft³).
START_TEST(one_gallon_a_minute_one_foot)
{
    const gw_pump_duty duty = {.flow_m3_s = US_GPM,
                               .pressure_pa = 62.4 * 16.018463374 * 9.80665 * 0.3048,
                               .wire_to_water_frac = 0.25};
    ck_assert_double_eq_tol(gw_pipes_hydraulic_power_w(&duty), 0.1885, 0.5e-4);
    // ARI 330 charged 0.8 W per gpm·ft, about 25 % wire to water: exactly 0.754.
    ck_assert_double_eq_tol(gw_pipes_pump_power_w(&duty), 0.754, 0.5e-3);
}
END_TEST

// ISO 13256-1 pump term (from memory): 0.57 L/s at 30 kPa over 0.3 is 57.0 W.
START_TEST(iso_pump_term)
{
    const gw_pump_duty duty = {.flow_m3_s = 0.57e-3,
                               .pressure_pa = 30e3,
                               .wire_to_water_frac = GW_PIPES_WIRE_TO_WATER_DEFAULT};
    ck_close(gw_pipes_pump_power_w(&duty), 57.0, 1e-12);
}
END_TEST

// Kavanaugh and Rafferty 2014 (from memory): A to 50, B to 75, C to 100, D to 150 W/ton, then F.
START_TEST(pump_grades_change_at_their_bands)
{
    const struct {
        double w_per_ton;
        char grade;
    } rows[] = {{10, 'A'},   {49.9, 'A'}, {50.1, 'B'}, {74.9, 'B'}, {75.1, 'C'},
                {99.9, 'C'}, {101, 'D'},  {149, 'D'},  {151, 'F'},  {400, 'F'}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
        const gw_pump_grade g = gw_pipes_grade_pump(3 * rows[i].w_per_ton, 3 * TON);
        ck_assert_int_eq(g.grade, rows[i].grade);
        ck_close(g.w_per_ton, rows[i].w_per_ton, 1e-12);
        ck_close(g.w_per_kw, rows[i].w_per_ton / 3.5168528420667, 1e-12);
    }
    ck_assert_int_eq(gw_pipes_grade_pump(100, 0).grade, 0);
    // 7.5 horsepower per 100 tons of shaft power is 56 W/ton: still B.
    ck_assert_int_eq(gw_pipes_grade_pump(7.5 * 745.7, 100 * TON).grade, 'B');
}
END_TEST

static const double flow_m3_s[] = {0, 0.4e-3, 0.8e-3, 1.2e-3, 1.6e-3};
static const double head_m[] = {8, 7.5, 6.2, 4, 0.5};
static const gw_pump_curve curve = {flow_m3_s, head_m, 5};

START_TEST(operating_point_lies_on_both_curves)
{
    for (double need_m = 0.5; need_m < 7; need_m += 0.5) {
        const gw_pump_system system = {0.8e-3, need_m, 1.75};
        gw_pump_point point;
        gw_err err = {0};
        ck_assert_msg(gw_pipes_operating_point(&curve, &system, &point, &err) == GW_OK, "%s",
                      err.text);
        ck_close(point.head_m, need_m * pow(point.flow_m3_s / 0.8e-3, 1.75), 1e-9);
        ck_assert(point.head_m <= 8 && point.head_m >= 0.5);
        ck_assert((point.flow_m3_s > 0.8e-3) == (need_m < 6.2));
    }
}
END_TEST

START_TEST(pump_out_of_reach_or_bad_curve_is_refused)
{
    gw_pump_point point;
    gw_err err = {0};
    const gw_pump_system easy = {0.8e-3, 0.05, 1.75};
    ck_assert(gw_pipes_operating_point(&curve, &easy, &point, &err) == GW_ERR_CAPACITY);
    const gw_pump_system none = {0, 5, 1.75};
    ck_assert(gw_pipes_operating_point(&curve, &none, &point, &err) == GW_ERR_RANGE);
    const gw_pump_system steep = {0.8e-3, 5, 3};
    ck_assert(gw_pipes_operating_point(&curve, &steep, &point, &err) == GW_ERR_RANGE);
    const double rising_m[] = {5, 6};
    const gw_pump_curve bad = {flow_m3_s, rising_m, 2};
    const gw_pump_system system = {0.8e-3, 5, 1.75};
    ck_assert(gw_pipes_operating_point(&bad, &system, &point, &err) == GW_ERR_RANGE);
    const gw_pump_curve one = {flow_m3_s, head_m, 1};
    ck_assert(gw_pipes_operating_point(&one, &system, &point, &err) == GW_ERR_RANGE);
}
END_TEST

START_TEST(flow_and_drop_turn_back)
{
    const gw_loop_heat loop = {.heat_w = 9000, .density_kg_m3 = 975.8, .specific_heat_j_kgk = 4369};
    const double q = gw_pipes_flow_for_drop_m3_s(&loop, 3.5);
    ck_close(q, 9000 / (975.8 * 4369 * 3.5), 1e-14);
    ck_close(gw_pipes_drop_for_flow_k(&loop, q), 3.5, 1e-14);
}
END_TEST

// 3 US gal/min a ton is 0.054 L/s per kilowatt (common practice).
START_TEST(nominal_flow_is_three_gallons_a_ton)
{
    ck_close(gw_pipes_nominal_flow_m3_s(TON), 3 * US_GPM, 1e-12);
    ck_assert_double_eq_tol(gw_pipes_nominal_flow_m3_s(1000) * 1e3, 0.054, 0.0005);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("pump");
    TCase *const tc = tcase_create("pump");
    tcase_add_test(tc, one_gallon_a_minute_one_foot);
    tcase_add_test(tc, iso_pump_term);
    tcase_add_test(tc, pump_grades_change_at_their_bands);
    tcase_add_test(tc, operating_point_lies_on_both_curves);
    tcase_add_test(tc, pump_out_of_reach_or_bad_curve_is_refused);
    tcase_add_test(tc, flow_and_drop_turn_back);
    tcase_add_test(tc, nominal_flow_is_three_gallons_a_ton);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
