// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "house/foundation.h"

#include "harness.h"

#include <math.h>

static gw_foundation_floor slab(double perimeter_over_area, double resistance, double lambda)
{
    return (gw_foundation_floor){.area_m2 = 100.0,
                                 .perimeter_m = 100.0 * perimeter_over_area,
                                 .wall_thickness_m = 0.3,
                                 .resistance_m2k_w = resistance,
                                 .soil_conductivity_w_mk = lambda};
}

// U of uninsulated solid floors on clay (1.5 W/(m·K)), walls 0.3 m, Rsi + Rse 0.21: the table that
// BR 443, CIBSE Guide A and UK building guidance print from ISO 13370 (from memory), two decimals.
START_TEST(uninsulated_slabs_match_the_published_table)
{
    static const double table[][2] = {{.05, .13}, {.10, .22}, {.15, .30}, {.20, .37},  {.25, .44},
                                      {.30, .49}, {.35, .55}, {.40, .60}, {.45, .65},  {.50, .70},
                                      {.55, .74}, {.60, .78}, {.65, .82}, {.70, .86},  {.75, .89},
                                      {.80, .93}, {.85, .96}, {.90, .99}, {.95, 1.02}, {1.0, 1.05}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        const double u = gw_foundation_floor_u_w_m2k(slab(table[i][0], 0.21, 1.5));
        ck_assert_double_eq_tol(u, table[i][1], 0.0056); // 0.30: 0.495 is printed as 0.49
    }
}
END_TEST

// The formula evaluated apart: sand (2.0), and 2.5 m2K/W of insulation on clay.
START_TEST(other_soils_and_insulation_match_the_formula)
{
    static const double rows[][4] = {{.2, 2.0, .21, .4728},   {.5, 2.0, .21, .8777},
                                     {1.0, 2.0, .21, 1.2993}, {.2, 1.5, 2.71, .1764},
                                     {.5, 1.5, 2.71, .2422},  {1.0, 1.5, 2.71, .2841}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const double u = gw_foundation_floor_u_w_m2k(slab(rows[i][0], rows[i][2], rows[i][1]));
        ck_assert_double_eq_tol(u, rows[i][3], 6e-5);
    }
}
END_TEST

START_TEST(a_floor_at_grade_is_a_slab_and_deeper_loses_less)
{
    gw_foundation_floor floor = slab(0.4, 0.5, 1.5);
    const double slab_u = gw_foundation_floor_u_w_m2k(floor);
    const double slab_periodic = gw_foundation_floor_periodic_w_k(floor);
    floor.depth_m = 1e-9;
    ck_close(gw_foundation_floor_u_w_m2k(floor), slab_u, 1e-6);
    floor.depth_m = 2.4;
    ck_assert_double_lt(gw_foundation_floor_u_w_m2k(floor), slab_u);
    ck_assert_double_lt(gw_foundation_floor_periodic_w_k(floor), 0.6 * slab_periodic);
}
END_TEST

// Straight evaluation of the wall formula: z 2.4, lambda 1.5, R 0.5 and 3.5; floor d_t 0.615.
START_TEST(basement_walls_match_the_formula)
{
    gw_foundation_wall wall = {.depth_m = 2.4,
                               .resistance_m2k_w = 0.5,
                               .floor_thickness_m = 0.615,
                               .soil_conductivity_w_mk = 1.5};
    const double d = 0.615;
    ck_close(gw_foundation_wall_u_w_m2k(wall),
             2.0 * 1.5 / (M_PI * 2.4) * (1.0 + 0.5 * d / (d + 2.4)) * log(2.4 / 0.75 + 1.0), 1e-12);
    wall.resistance_m2k_w = 3.5;
    const double insulated = gw_foundation_wall_u_w_m2k(wall);
    ck_assert_double_lt(insulated, 1.0 / 3.5); // soil only adds resistance
    ck_assert_double_gt(insulated, 0.12);
}
END_TEST

// A shallow wall nearly meets outside air: U tends to 1/R (1 + 1/2) 2/pi of the standard's form.
START_TEST(wall_at_no_depth_tends_to_its_limit)
{
    const gw_foundation_wall wall = {
        .depth_m = 1e-6, .resistance_m2k_w = 1.0, .soil_conductivity_w_mk = 1.5};
    ck_close(gw_foundation_wall_u_w_m2k(wall), 2.0 / M_PI * 1.5, 1e-5);
}
END_TEST

START_TEST(house_sums_its_ground_components)
{
    const gw_house_component parts[] = {
        {.kind = GW_HOUSE_WALL, .area_m2 = 100.0, .insulation_m2k_w = 3.0},
        {.kind = GW_HOUSE_BASEMENT_FLOOR,
         .area_m2 = 80.0,
         .insulation_m2k_w = 0.5,
         .depth_m = 2.0,
         .perimeter_m = 36.0},
        {.kind = GW_HOUSE_BASEMENT_WALL, .area_m2 = 72.0, .insulation_m2k_w = 2.0, .depth_m = 2.0},
    };
    gw_house house = gw_house_default();
    house.envelope = parts;
    house.envelope_count = 3;
    const gw_foundation_loss wall = gw_foundation_component(&house, 0);
    ck_assert_double_eq(wall.steady_w_k, 0.0);
    const gw_foundation_loss a = gw_foundation_component(&house, 1);
    const gw_foundation_loss b = gw_foundation_component(&house, 2);
    const gw_foundation_loss total = gw_foundation_total(&house);
    ck_close(total.steady_w_k, a.steady_w_k + b.steady_w_k, 1e-12);
    ck_close(total.periodic_w_k, a.periodic_w_k + b.periodic_w_k, 1e-12);
    ck_assert_double_gt(a.steady_w_k, 0.0);
}
END_TEST

START_TEST(sink_is_coldest_a_month_after_the_air)
{
    const gw_foundation_loss loss = {.steady_w_k = 30.0, .periodic_w_k = 15.0};
    const gw_foundation_air air = {
        .air_mean_degc = 6.0, .air_amplitude_k = 15.0, .coldest_day = 20.0};
    const double worst = gw_foundation_sink_degc(loss, air, 20.0 + 365.0 / 12.0);
    ck_close(worst, 6.0 - 0.5 * 15.0, 1e-12);
    double sum = 0.0;
    for (int day = 0; day < 365; day++) {
        const double sink = gw_foundation_sink_degc(loss, air, day);
        ck_assert_double_ge(sink, worst - 1e-9);
        sum += sink / 365.0;
    }
    ck_close(sum, 6.0, 1e-9);
    ck_assert_double_eq(gw_foundation_sink_degc((gw_foundation_loss){0}, air, 3.0), 6.0);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("house/foundation");
    TCase *const cases = tcase_create("all");
    tcase_add_test(cases, uninsulated_slabs_match_the_published_table);
    tcase_add_test(cases, other_soils_and_insulation_match_the_formula);
    tcase_add_test(cases, a_floor_at_grade_is_a_slab_and_deeper_loses_less);
    tcase_add_test(cases, basement_walls_match_the_formula);
    tcase_add_test(cases, wall_at_no_depth_tends_to_its_limit);
    tcase_add_test(cases, house_sums_its_ground_components);
    tcase_add_test(cases, sink_is_coldest_a_month_after_the_air);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
