// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "house/infiltration.h"

#include "harness.h"

#include <math.h>

// Worked example of the ASHRAE Handbook of Fundamentals, infiltration chapter (from memory):
// leakage area 500 cm2, volume 340 m3, two storeys, shelter class 3, 39 K, 6.7 m/s.
START_TEST(handbook_example_is_reproduced)
{
    const gw_infiltration_house house = {
        .leakage_area_m2 = 0.0500, .storeys = 2, .shelter_class = 3};
    const double q_m3_s = gw_infiltration_m3_s(house, 39.0, 6.7);
    ck_close(q_m3_s, 0.0736, 5e-4);
    ck_close(q_m3_s * 3600.0 / 340.0, 0.78, 1e-3);
    ck_close(gw_infiltration_m3_s(house, -39.0, 6.7), q_m3_s, 1e-12);
}
END_TEST

// q4 = 0.1937 q50 with the exponent 0.65, through an opening at 4 Pa.
START_TEST(blower_door_gives_the_leakage_area)
{
    const double area_m2 = gw_infiltration_leakage_area_m2(5.0, 400.0);
    const double q50_m3_s = 5.0 * 400.0 / 3600.0;
    ck_close(area_m2 * sqrt(2.0 * 4.0 / 1.2), 0.1937 * q50_m3_s, 3e-4);
    ck_assert_double_eq(gw_infiltration_leakage_area_m2(0.0, 400.0), 0.0);
}
END_TEST

// Common practice, no source: the natural rate of a heating season is near a twentieth of ach50.
START_TEST(natural_rate_is_near_a_twentieth)
{
    for (int storeys = 1; storeys <= 2; storeys++) {
        const gw_infiltration_house house = {.leakage_area_m2 =
                                                 gw_infiltration_leakage_area_m2(4.0, 400.0),
                                             .storeys = storeys,
                                             .shelter_class = 4};
        const double ach = gw_infiltration_m3_s(house, 20.0, 4.0) * 3600.0 / 400.0;
        ck_assert_double_gt(4.0 / ach, 12.0);
        ck_assert_double_lt(4.0 / ach, 28.0);
    }
}
END_TEST

START_TEST(flow_rises_with_height_exposure_cold_and_wind)
{
    double before = 0.0;
    for (int storeys = 1; storeys <= 3; storeys++) {
        const gw_infiltration_house house = {0.05, storeys, 3};
        const double q = gw_infiltration_m3_s(house, 30.0, 5.0);
        ck_assert_double_gt(q, before);
        ck_assert_double_gt(gw_infiltration_m3_s(house, 40.0, 5.0), q);
        ck_assert_double_gt(gw_infiltration_m3_s(house, 30.0, 6.0), q);
        const gw_infiltration_house open = {0.05, storeys, 1};
        ck_assert_double_gt(gw_infiltration_m3_s(open, 30.0, 5.0), q);
        before = q;
    }
}
END_TEST

START_TEST(natural_rate_given_is_kept)
{
    gw_house house = gw_house_default();
    house.floor_area_m2 = 144.0;
    house.volume_m3 = 360.0;
    house.leakage.kind = GW_HOUSE_LEAKAGE_NATURAL;
    house.leakage.natural_ach = 0.5;
    ck_close(gw_infiltration_of_house_m3_s(&house, 40.0, 9.0), 0.05, 1e-12);
    ck_close(gw_infiltration_of_house_m3_s(&house, 0.0, 0.0), 0.05, 1e-12);
    house.leakage.kind = GW_HOUSE_LEAKAGE_ACH50;
    house.leakage.ach50 = 3.5;
    const double measured = gw_infiltration_of_house_m3_s(&house, 40.0, 5.0);
    house.leakage.kind = GW_HOUSE_LEAKAGE_CLASS;
    house.leakage.tightness = GW_HOUSE_TIGHT_AVERAGE; // 3.5
    ck_close(gw_infiltration_of_house_m3_s(&house, 40.0, 5.0), measured, 1e-12);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("house/infiltration");
    TCase *const cases = tcase_create("all");
    tcase_add_test(cases, handbook_example_is_reproduced);
    tcase_add_test(cases, blower_door_gives_the_leakage_area);
    tcase_add_test(cases, natural_rate_is_near_a_twentieth);
    tcase_add_test(cases, flow_rises_with_height_exposure_cold_and_wind);
    tcase_add_test(cases, natural_rate_given_is_kept);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
