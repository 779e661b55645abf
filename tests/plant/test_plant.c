// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "harness.h"
#include "plant/hot.h"
#include "plant/plant.h"

#include <math.h>
#include <string.h>

// 15 kW at COP 4.5 at 0 °C, as in the exact check below.
static const gw_heat_pump simple = {
    .id = "simple",
    .heating = {.points = {{-5, 13000, 3200}, {0, 15000, 15000 / 4.5}, {10, 19000, 3500}},
                .count = 3},
    .cooling = {.points = {{10, 17000, 2400}, {25, 16000, 3200}, {35, 14500, 3900}}, .count = 3},
    .min_entering_degc = -7,
    .max_entering_degc = 43,
};

static gw_heat_pump staged(void)
{
    gw_heat_pump pump = simple;
    pump.heating_low =
        (gw_plant_curve){.points = {{-5, 9000, 2100}, {10, 13000, 2200}}, .count = 2};
    pump.cooling_low =
        (gw_plant_curve){.points = {{10, 12000, 1500}, {35, 10500, 2500}}, .count = 2};
    pump.blower_power_w = 300;
    return pump;
}

static gw_plant build(const gw_plant_input *input)
{
    gw_plant plant;
    gw_err err = {0};
    ck_assert_msg(gw_plant_build(input, &plant, &err) == GW_OK, "%s: %s", err.field, err.text);
    return plant;
}

// Load·(1 − 1/COP): 15 kW at COP 4.5 takes 11.667 kW from the ground (exact).
START_TEST(extraction_is_load_less_electricity)
{
    const gw_plant plant = build(&(gw_plant_input){.pump = simple, .unit_count = 1});
    const gw_plant_flow flow = gw_plant_heat(&plant, 15000.0, 0.0);
    ck_close(flow.ground_w, 15000.0 * (1.0 - 1.0 / 4.5), 1e-12);
    ck_assert_double_eq_tol(flow.ground_w, 11667.0, 0.5);
    ck_assert_double_eq_tol(flow.run_frac, 1.0, 1e-12);
    ck_assert_double_eq_tol(flow.auxiliary_w, 0.0, 1e-9);
    ck_close(gw_plant_rated_heating(&plant, 0.0).cop, 4.5, 1e-12);
}
END_TEST

// PLF = 1 − 0.25 (1 − 0.5) = 0.875 (10 CFR 430 App. M): half load takes 0.5/0.875 of full power.
START_TEST(half_load_cycles_at_the_published_part_load_factor)
{
    const gw_plant plant =
        build(&(gw_plant_input){.pump = simple, .unit_count = 1, .cycling_coefficient = 0.25});
    const gw_plant_flow flow = gw_plant_heat(&plant, 7500.0, 0.0);
    ck_close(flow.compressor_w, 15000.0 / 4.5 * 0.5 / 0.875, 1e-12);
    ck_close(flow.run_frac, 0.5 / 0.875, 1e-12);
}
END_TEST

// EN 14825, brine and water units with Cc = 0.9: CR/(Cc CR + 1 − Cc), at half load 0.9091.
START_TEST(default_cycling_keeps_near_the_european_default)
{
    for (double x = 0.4; x <= 1.0; x += 0.05) {
        const double european = x / (0.9 * x + 0.1);
        const double ours = 1.0 - GW_PLANT_CYCLING_DEFAULT * (1.0 - x);
        ck_assert_double_eq_tol(ours, european, 0.023);
    }
    ck_assert_double_eq_tol(1.0 - GW_PLANT_CYCLING_DEFAULT * 0.5, 0.9091, 0.001);
}
END_TEST

START_TEST(eer_is_3_412_times_cop)
{
    ck_assert_double_eq_tol(gw_plant_eer_from_cop(1.0), 3.412, 0.0005);
    ck_assert_double_eq_tol(gw_plant_cop_from_eer(17.1), 5.01, 0.005);
    ck_close(gw_plant_eer_from_cop(gw_plant_cop_from_eer(14.1)), 14.1, 1e-15);
}
END_TEST

// The plants every invariant is tried on.
static gw_plant plant_of(int which)
{
    gw_plant_input input = {.pump = simple,
                            .unit_count = 1,
                            .cycling_coefficient = GW_PLANT_CYCLING_DEFAULT,
                            .circulator_power_w = 150,
                            .circulator_heat_frac = 0.8,
                            .hot_water_cop_ratio = 0.8};
    if (which & 1) {
        input.pump = staged();
    }
    if (which & 2) {
        input.unit_count = 3;
    }
    if (which & 4) {
        input.design_loss_w = 12000;
        input.share_of_design_loss = 0.9;
        input.sizing_entering_degc = -1;
    }
    return build(&input);
}

enum { PLANTS = 8 };

START_TEST(energy_balances_in_heating)
{
    const gw_plant plant = plant_of(_i);
    for (double e = -15; e < 30; e += 1.7) {
        for (double load_w = 0; load_w < 70000; load_w += 1234.5) {
            const gw_plant_flow f = gw_plant_heat(&plant, load_w, e);
            ck_assert_double_eq_tol(f.ground_w + f.compressor_w + f.blower_w + f.auxiliary_w +
                                        plant.circulator_heat_frac * f.circulator_w,
                                    load_w, 1e-8);
            ck_assert(f.run_frac >= 0.0 && f.run_frac <= 1.0 + 1e-12);
            ck_assert(f.auxiliary_w >= 0.0 && f.ground_w >= 0.0);
            ck_assert((f.auxiliary_w > 0.0) == ((f.flags & GW_PLANT_SHORT) != 0));
        }
    }
}
END_TEST

START_TEST(energy_balances_in_cooling)
{
    const gw_plant plant = plant_of(_i);
    for (double e = 0; e < 50; e += 1.7) {
        for (double load_w = 0; load_w < 70000; load_w += 1234.5) {
            const gw_plant_flow f = gw_plant_cool(&plant, load_w, e);
            ck_assert_double_eq_tol(load_w - f.unmet_w + f.compressor_w + f.blower_w +
                                        plant.circulator_heat_frac * f.circulator_w,
                                    f.ground_w, 1e-8);
            ck_assert(f.run_frac >= 0.0 && f.run_frac <= 1.0 + 1e-12 && f.unmet_w >= 0.0);
        }
    }
}
END_TEST

START_TEST(energy_balances_over_the_whole_hour)
{
    const gw_plant plant = plant_of(_i);
    for (double e = -15; e < 50; e += 2.3) {
        for (double load_w = 0; load_w < 30000; load_w += 1777.7) {
            const gw_plant_loads loads = {
                .heating_w = load_w, .cooling_w = 0.4 * load_w, .hot_water_w = 500};
            const gw_plant_flow f = gw_plant_hour(&plant, loads, e);
            ck_assert_double_eq_tol(
                f.ground_w + f.compressor_w + f.blower_w + f.auxiliary_w +
                    plant.circulator_heat_frac * f.circulator_w,
                loads.heating_w + loads.hot_water_w - (loads.cooling_w - f.unmet_w), 1e-8);
        }
    }
}
END_TEST

static double both_sides(const gw_plant *plant, gw_plant_loads loads, double e, double h)
{
    return (gw_plant_hour(plant, loads, e + h).ground_w -
            gw_plant_hour(plant, loads, e - h).ground_w) /
           (2.0 * h);
}

// Away from the corners the derivative is that of the function, by two-sided differences.
START_TEST(derivative_is_that_of_the_extraction)
{
    const gw_plant plant = plant_of(_i);
    int tried = 0;
    for (double e = -18.13; e < 55; e += 1.37) {
        for (double load_w = 100; load_w < 70000; load_w += 997.0) {
            const gw_plant_loads loads = {
                .heating_w = load_w, .cooling_w = 0.3 * load_w, .hot_water_w = 0.1 * load_w};
            const double got = gw_plant_hour(&plant, loads, e).d_ground_w_k;
            const double wide = both_sides(&plant, loads, e, 2e-3);
            const double narrow = both_sides(&plant, loads, e, 1e-3);
            if (fabs(wide - narrow) > 1e-4 * (1.0 + fabs(narrow))) {
                continue; // a corner of the curve lies between
            }
            ck_assert_double_eq_tol(got, narrow, 1e-3 * (1.0 + fabs(narrow)));
            ++tried;
        }
    }
    ck_assert_int_gt(tried, 3000);
}
END_TEST

START_TEST(extraction_rises_with_load_and_with_water_temperature)
{
    const gw_plant plant = plant_of(_i);
    for (double e = -14; e < 20; e += 0.9) {
        double before_w = -1.0;
        for (double load_w = 0; load_w < 70000; load_w += 555.5) {
            const gw_plant_flow f = gw_plant_heat(&plant, load_w, e);
            ck_assert_double_ge(f.ground_w, before_w - 1e-9);
            before_w = f.ground_w;
            ck_assert_double_ge(gw_plant_heat(&plant, load_w, e + 0.9).ground_w, f.ground_w - 1e-9);
        }
    }
}
END_TEST

START_TEST(rejection_rises_with_load_and_with_water_temperature)
{
    const gw_plant plant = plant_of(_i);
    for (double e = 5; e < 35; e += 0.9) {
        double before_w = -1.0;
        for (double load_w = 0; load_w < 40000; load_w += 555.5) {
            const gw_plant_flow f = gw_plant_cool(&plant, load_w, e);
            ck_assert_double_ge(f.ground_w, before_w - 1e-9);
            before_w = f.ground_w;
        }
        const double part_w = 5000.0;
        ck_assert_double_ge(gw_plant_cool(&plant, part_w, e + 0.9).ground_w,
                            gw_plant_cool(&plant, part_w, e).ground_w - 1e-9);
    }
}
END_TEST

START_TEST(nothing_runs_without_load)
{
    const gw_plant plant = plant_of(_i);
    const gw_plant_flow f = gw_plant_hour(&plant, (gw_plant_loads){0}, 3.0);
    ck_assert_double_eq(f.ground_w, 0.0);
    ck_assert_double_eq(f.d_ground_w_k, 0.0);
    ck_assert_double_eq(f.compressor_w + f.blower_w + f.circulator_w + f.auxiliary_w, 0.0);
    ck_assert_double_eq(f.run_frac, 0.0);
}
END_TEST

START_TEST(share_of_design_loss_sets_the_capacity)
{
    gw_plant_input input = {.pump = staged(),
                            .unit_count = 2,
                            .design_loss_w = 14000,
                            .share_of_design_loss = 0.8,
                            .sizing_entering_degc = -1.5};
    const gw_plant plant = build(&input);
    ck_close(gw_plant_rated_heating(&plant, -1.5).capacity_w, 0.8 * 14000, 1e-12);
    // The COP is that of the catalogue curve: blower and power are scaled alike.
    input.share_of_design_loss = 0;
    input.unit_count = 1;
    const gw_plant catalogued = build(&input);
    ck_close(gw_plant_rated_heating(&plant, 4.0).cop, gw_plant_rated_heating(&catalogued, 4.0).cop,
             1e-12);
    const gw_plant_flow peak = gw_plant_heat(&plant, 14000, -1.5);
    ck_close(peak.auxiliary_w, 0.2 * 14000, 1e-12);
}
END_TEST

START_TEST(units_run_one_after_the_other)
{
    const gw_plant one =
        build(&(gw_plant_input){.pump = simple, .unit_count = 1, .cycling_coefficient = 0.25});
    const gw_plant two =
        build(&(gw_plant_input){.pump = simple, .unit_count = 2, .cycling_coefficient = 0.25});
    const gw_plant_flow full = gw_plant_heat(&one, 15000, 0);
    const gw_plant_flow half = gw_plant_heat(&one, 7500, 0);
    const gw_plant_flow both = gw_plant_heat(&two, 22500, 0);
    ck_close(both.compressor_w, full.compressor_w + half.compressor_w, 1e-12);
    ck_close(both.run_frac, 0.5 * (full.run_frac + half.run_frac), 1e-12);
}
END_TEST

START_TEST(two_stages_meet_the_load_without_cycling_between_them)
{
    const gw_plant plant =
        build(&(gw_plant_input){.pump = staged(), .unit_count = 1, .cycling_coefficient = 0.25});
    const double at_degc = 10.0;
    const double low_w = 13000;
    const double full_w = 19000;
    ck_close(gw_plant_heat(&plant, low_w, at_degc).compressor_w, 2200, 1e-12);
    ck_close(gw_plant_heat(&plant, 0.5 * (low_w + full_w), at_degc).compressor_w,
             0.5 * (2200 + 3500), 1e-12);
    ck_close(gw_plant_heat(&plant, 0.5 * (low_w + full_w), at_degc).run_frac, 1.0, 1e-12);
    ck_close(gw_plant_heat(&plant, 0.5 * low_w, at_degc).compressor_w, 2200 * 0.5 / 0.875, 1e-12);
}
END_TEST

START_TEST(hot_water_costs_more_and_takes_less_from_the_ground)
{
    gw_plant_input input = {.pump = simple, .unit_count = 1, .hot_water_cop_ratio = 0.75};
    const gw_plant plant = build(&input);
    const gw_plant_flow space = gw_plant_hour(&plant, (gw_plant_loads){.heating_w = 4500}, 0.0);
    const gw_plant_flow water = gw_plant_hour(&plant, (gw_plant_loads){.hot_water_w = 4500}, 0.0);
    ck_close(space.compressor_w, 1000.0, 1e-12);
    ck_close(water.compressor_w, 1000.0 / 0.75, 1e-12);
    ck_close(water.ground_w, 4500.0 - 1000.0 / 0.75, 1e-12);
}
END_TEST

START_TEST(water_outside_the_points_is_flagged_and_held)
{
    const gw_plant plant = build(&(gw_plant_input){.pump = simple, .unit_count = 1});
    ck_assert_uint_eq(gw_plant_heat(&plant, 5000, 0).flags, 0);
    ck_assert_uint_eq(gw_plant_heat(&plant, 5000, -6).flags, GW_PLANT_EXTRAPOLATED);
    ck_assert_uint_eq(gw_plant_heat(&plant, 5000, -7.5).flags,
                      GW_PLANT_EXTRAPOLATED | GW_PLANT_TOO_COLD);
    const gw_plant_flow held = gw_plant_heat(&plant, 5000, -12);
    ck_assert_uint_eq(held.flags, GW_PLANT_EXTRAPOLATED | GW_PLANT_HELD | GW_PLANT_TOO_COLD);
    ck_assert_double_eq(held.d_ground_w_k, 0.0);
    ck_assert_double_eq(held.ground_w, gw_plant_heat(&plant, 5000, -11).ground_w);
    ck_assert_uint_eq(gw_plant_cool(&plant, 5000, 44).flags,
                      GW_PLANT_EXTRAPOLATED | GW_PLANT_HELD | GW_PLANT_TOO_WARM);
}
END_TEST

START_TEST(mode_without_curve_leaves_the_load)
{
    gw_heat_pump pump = simple;
    pump.cooling.count = 0;
    const gw_plant plant = build(&(gw_plant_input){.pump = pump, .unit_count = 1});
    const gw_plant_flow f = gw_plant_cool(&plant, 3000, 20);
    ck_assert_double_eq(f.unmet_w, 3000.0);
    ck_assert_double_eq(f.ground_w, 0.0);
    ck_assert_uint_eq(f.flags, GW_PLANT_NO_MODE);
    ck_assert_double_eq(gw_plant_rated_cooling(&plant, 20).capacity_w, 0.0);
}
END_TEST

// One row per field of the input: what is spoiled, which field the error names.
static void spoil_count(gw_plant_input *in)
{
    in->pump.heating.count = 1;
}
static void spoil_none(gw_plant_input *in)
{
    in->pump.heating.count = 0;
}
static void spoil_order(gw_plant_input *in)
{
    in->pump.heating.points[1].entering_water_degc = -5;
}
static void spoil_nan(gw_plant_input *in)
{
    in->pump.heating.points[1].capacity_w = (double)NAN;
}
static void spoil_power(gw_plant_input *in)
{
    in->pump.heating.points[0].power_w = 0;
}
static void spoil_water(gw_plant_input *in)
{
    in->pump.cooling.points[2].entering_water_degc = 50;
}
static void spoil_balance(gw_plant_input *in)
{
    in->pump.heating.points[0].power_w = 13500;
}
static void spoil_fall(gw_plant_input *in)
{
    in->pump.heating.points[2].capacity_w = 14000;
}
static void spoil_cop(gw_plant_input *in)
{
    in->pump.heating.points[2].power_w = 6000;
}
static void spoil_cool(gw_plant_input *in)
{
    in->pump.cooling.points[1].power_w = 2000;
}
static void spoil_low(gw_plant_input *in)
{
    in->pump.heating_low.points[1].capacity_w = 20000;
}
static void spoil_ends(gw_plant_input *in)
{
    in->pump.heating_low.points[0].entering_water_degc = -3;
}
static void spoil_blower(gw_plant_input *in)
{
    in->pump.blower_power_w = -1;
}
static void spoil_flow(gw_plant_input *in)
{
    in->pump.rated_flow_m3_s = -1;
}
static void spoil_drop(gw_plant_input *in)
{
    in->pump.pressure_drop_pa = (double)NAN;
}
static void spoil_min(gw_plant_input *in)
{
    in->pump.min_entering_degc = -30;
}
static void spoil_max(gw_plant_input *in)
{
    in->pump.max_entering_degc = 10;
}
static void spoil_units(gw_plant_input *in)
{
    in->unit_count = 0;
}
static void spoil_cd(gw_plant_input *in)
{
    in->cycling_coefficient = 0.6;
}
static void spoil_pump(gw_plant_input *in)
{
    in->circulator_power_w = -5;
}
static void spoil_heat(gw_plant_input *in)
{
    in->circulator_heat_frac = 1.1;
}
static void spoil_share(gw_plant_input *in)
{
    in->share_of_design_loss = 2;
}
static void spoil_loss(gw_plant_input *in)
{
    in->design_loss_w = 0;
}
static void spoil_sizing(gw_plant_input *in)
{
    in->sizing_entering_degc = -40;
}
static void spoil_ratio(gw_plant_input *in)
{
    in->hot_water_cop_ratio = 0.1;
}

static const struct {
    void (*spoil)(gw_plant_input *input);
    const char *field;
} spoiled[] = {
    {spoil_count, "pump.heating"},
    {spoil_none, "pump.heating"},
    {spoil_order, "pump.heating.points[1]"},
    {spoil_nan, "pump.heating.points[1]"},
    {spoil_power, "pump.heating.points[0]"},
    {spoil_water, "pump.cooling.points[2]"},
    {spoil_balance, "pump.heating.points[0]"},
    {spoil_fall, "pump.heating.points[2]"},
    {spoil_cop, "pump.heating.points[2]"},
    {spoil_cool, "pump.cooling.points[1]"},
    {spoil_low, "pump.heating_low"},
    {spoil_ends, "pump.heating_low"},
    {spoil_blower, "pump.blower_power_w"},
    {spoil_flow, "pump.rated_flow_m3_s"},
    {spoil_drop, "pump.pressure_drop_pa"},
    {spoil_min, "pump.min_entering_degc"},
    {spoil_max, "pump.max_entering_degc"},
    {spoil_units, "unit_count"},
    {spoil_cd, "cycling_coefficient"},
    {spoil_pump, "circulator_power_w"},
    {spoil_heat, "circulator_heat_frac"},
    {spoil_share, "share_of_design_loss"},
    {spoil_loss, "design_loss_w"},
    {spoil_sizing, "sizing_entering_degc"},
    {spoil_ratio, "hot_water_cop_ratio"},
};

START_TEST(bad_input_is_refused_by_field)
{
    gw_plant_input input = {.pump = staged(),
                            .unit_count = 1,
                            .design_loss_w = 10000,
                            .share_of_design_loss = 1,
                            .hot_water_cop_ratio = 0.8};
    build(&input);
    spoiled[_i].spoil(&input);
    gw_plant plant;
    gw_err err = {0};
    ck_assert(gw_plant_build(&input, &plant, &err) != GW_OK);
    ck_assert_str_eq(err.field, spoiled[_i].field);
}
END_TEST

// 200 L a day from 8 to 55 °C: 0.2 · 4.186 MJ · 47 K / 86400 s = 455.4 W (exact arithmetic).
START_TEST(hot_water_is_volume_times_rise)
{
    gw_plant_hot_water input = {.daily_volume_m3 = 0.2,
                                .cold_degc = 8,
                                .hot_degc = 55,
                                .standby_loss_w = 60,
                                .heat_pump_share_frac = 0.5};
    gw_plant_hot_water_heat heat;
    ck_assert(gw_plant_hot_water_eval(&input, &heat, NULL) == GW_OK);
    ck_close(heat.mean_w, 0.2 * 4.186e6 * 47 / 86400 + 60, 1e-12);
    ck_close(heat.heat_pump_w + heat.electric_w, heat.mean_w, 1e-15);
    input.hot_degc = 8;
    gw_err err = {0};
    ck_assert(gw_plant_hot_water_eval(&input, &heat, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "hot_degc");
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("plant");
    TCase *const tc = tcase_create("plant");
    tcase_add_test(tc, extraction_is_load_less_electricity);
    tcase_add_test(tc, half_load_cycles_at_the_published_part_load_factor);
    tcase_add_test(tc, default_cycling_keeps_near_the_european_default);
    tcase_add_test(tc, eer_is_3_412_times_cop);
    tcase_add_loop_test(tc, energy_balances_in_heating, 0, PLANTS);
    tcase_add_loop_test(tc, energy_balances_in_cooling, 0, PLANTS);
    tcase_add_loop_test(tc, energy_balances_over_the_whole_hour, 0, PLANTS);
    tcase_add_loop_test(tc, derivative_is_that_of_the_extraction, 0, PLANTS);
    tcase_add_loop_test(tc, extraction_rises_with_load_and_with_water_temperature, 0, PLANTS);
    tcase_add_loop_test(tc, rejection_rises_with_load_and_with_water_temperature, 0, PLANTS);
    tcase_add_loop_test(tc, nothing_runs_without_load, 0, PLANTS);
    tcase_add_test(tc, share_of_design_loss_sets_the_capacity);
    tcase_add_test(tc, units_run_one_after_the_other);
    tcase_add_test(tc, two_stages_meet_the_load_without_cycling_between_them);
    tcase_add_test(tc, hot_water_costs_more_and_takes_less_from_the_ground);
    tcase_add_test(tc, water_outside_the_points_is_flagged_and_held);
    tcase_add_test(tc, mode_without_curve_leaves_the_load);
    tcase_add_loop_test(tc, bad_input_is_refused_by_field, 0,
                        (int)(sizeof spoiled / sizeof spoiled[0]));
    tcase_add_test(tc, hot_water_is_volume_times_rise);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
