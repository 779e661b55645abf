// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "loop/simulate.h"

#include "climate/weather.h"
#include "plant/hot.h"

#include "harness.h"

#include <math.h>
#include <string.h>

static const double PI_TEST = 3.14159265358979323846;

// A loop made by hand: response of one line that keeps rising, R = 0.1 m·K/W.
static gw_loop_response made_response(gw_arena *arena, double length_m)
{
    enum { COUNT = 60 };
    double times_s[COUNT];
    double value[COUNT];
    for (size_t i = 0; i < COUNT; i++) {
        times_s[i] = 900.0 * pow(10.0, 6.2 * (double)i / (COUNT - 1));
        value[i] = 0.08 * log(1.0 + times_s[i] / 3000.0);
    }
    const gw_step_samples samples = {
        .times_s = times_s, .value = value, .count = COUNT, .offset = 0.1};
    gw_loop_response r = {.length_m = length_m,
                          .capacity_w_k = 2500.0,
                          .undisturbed_degc = 8.0,
                          .wave = {.real_k = -0.4, .imag_k = 0.2},
                          .resistance_mk_w = 0.1};
    ck_assert_int_eq(gw_exp_fit(arena, &samples, 25.0 * GW_YEAR_S, &r.step, NULL), GW_OK);
    return r;
}

static gw_plant made_plant(void)
{
    const gw_plant_input input = {
        .pump = {.id = "made",
                 .name = "made for the test",
                 .source = "invented",
                 .heating = {.points = {{-5.0, 9000.0, 2800.0},
                                        {0.0, 10500.0, 2900.0},
                                        {10.0, 13500.0, 3000.0}},
                             .count = 3},
                 .cooling = {.points = {{10.0, 13000.0, 1900.0}, {25.0, 11500.0, 2600.0}},
                             .count = 2},
                 .blower_power_w = 300.0,
                 .rated_flow_m3_s = 6e-4,
                 .min_entering_degc = -7.0,
                 .max_entering_degc = 40.0},
        .unit_count = 1,
        .cycling_coefficient = 0.18,
        .circulator_power_w = 150.0,
        .circulator_heat_frac = 0.5,
    };
    gw_plant plant;
    gw_err err = {0};
    ck_assert_msg(gw_plant_build(&input, &plant, &err) == GW_OK, "%s", err.text);
    return plant;
}

typedef struct {
    double heating_w[GW_LOOP_HOURS];
    double cooling_w[GW_LOOP_HOURS];
} loads;

// Seasonal and daily waves of a cold-climate house, cut at zero.
static void made_loads(loads *l)
{
    for (size_t h = 0; h < GW_LOOP_HOURS; h++) {
        const double season = cos(2.0 * PI_TEST * ((double)h / 24.0 - 20.0) / 365.0);
        const double daily = cos(2.0 * PI_TEST * ((double)h - 5.0) / 24.0);
        const double w = 4000.0 + 6000.0 * season + 1200.0 * daily;
        l->heating_w[h] = fmax(w, 0.0);
        l->cooling_w[h] = fmax(-w - 1500.0, 0.0);
    }
}

static gw_loop_run run_of(const loads *l, const gw_plant *plant, const gw_loop_response *r,
                          size_t years)
{
    return (gw_loop_run){.heating_w = l->heating_w,
                         .cooling_w = l->cooling_w,
                         .plant = plant,
                         .response = r,
                         .years = years,
                         .first_month = GW_LOOP_FIRST_MONTH};
}

START_TEST(the_march_equals_direct_superposition)
{
    gw_arena *const arena = gw_arena_create(0);
    static loads l;
    made_loads(&l);
    const gw_plant plant = made_plant();
    const gw_loop_response r = made_response(arena, 300.0);
    const gw_loop_run run = run_of(&l, &plant, &r, 1);
    gw_loop_result fast;
    gw_loop_result plain;
    ck_assert_int_eq(gw_loop_simulate(arena, &run, &fast, NULL), GW_OK);
    ck_assert_int_eq(gw_loop_simulate_directly(arena, &run, &plain, NULL), GW_OK);
    ck_assert_double_eq_tol(fast.coldest.degc, plain.coldest.degc, 1e-6);
    ck_assert_uint_eq(fast.coldest.hour, plain.coldest.hour);
    ck_assert_double_eq_tol(fast.warmest.degc, plain.warmest.degc, 1e-6);
    ck_close(fast.first.ground_j, plain.first.ground_j, 1e-8);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(tangents_do_not_move_the_answer)
{
    gw_arena *const arena = gw_arena_create(0);
    static loads l;
    made_loads(&l);
    const gw_plant plant = made_plant();
    const gw_loop_response r = made_response(arena, 300.0);
    gw_loop_run run = run_of(&l, &plant, &r, 25);
    gw_loop_result quick;
    gw_loop_result exact;
    ck_assert_int_eq(gw_loop_simulate(arena, &run, &quick, NULL), GW_OK);
    run.exact = true;
    ck_assert_int_eq(gw_loop_simulate(arena, &run, &exact, NULL), GW_OK);
    ck_assert_double_eq_tol(quick.coldest.degc, exact.coldest.degc, 1e-3);
    ck_assert_double_eq_tol(quick.warmest.degc, exact.warmest.degc, 1e-3);
    ck_close(quick.last.ground_j, exact.last.ground_j, 1e-6);
    for (size_t i = 0; i < 12 * run.years; i++) {
        ck_assert_double_eq_tol(quick.months[i].mean_degc, exact.months[i].mean_degc, 1e-3);
    }
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(energy_in_is_energy_out)
{
    gw_arena *const arena = gw_arena_create(0);
    static loads l;
    made_loads(&l);
    const gw_plant plant = made_plant();
    const gw_loop_response r = made_response(arena, 300.0);
    const gw_loop_run run = run_of(&l, &plant, &r, 5);
    gw_loop_result out;
    ck_assert_int_eq(gw_loop_simulate(arena, &run, &out, NULL), GW_OK);
    const gw_loop_energy *const y = &out.last;
    // heat to the house = net ground + compressor + blower + half the circulator + auxiliary, less
    // the cooling that went the other way.
    const double in_j =
        y->ground_j + y->compressor_j + y->blower_j + 0.5 * y->circulator_j + y->auxiliary_j;
    ck_close(in_j, y->heating_j - y->cooling_j, 1e-6);
    ck_close(y->heating_electricity_j + y->cooling_electricity_j,
             y->compressor_j + y->blower_j + y->circulator_j + y->auxiliary_j, 1e-12);
    ck_assert(y->auxiliary_j >= 0.0 && out.heating_spf > 2.0 && out.heating_spf < 5.0);
    gw_arena_destroy(arena);
}
END_TEST

// A constant small load for a month, worked by hand from the fitted step response.
START_TEST(constant_load_follows_the_step_response)
{
    gw_arena *const arena = gw_arena_create(0);
    static loads l;
    memset(&l, 0, sizeof l);
    for (size_t h = 0; h < GW_LOOP_HOURS; h++) {
        l.heating_w[h] = 12000.0; // always above capacity: the unit runs without a stop
    }
    const gw_plant plant = made_plant();
    gw_loop_response r = made_response(arena, 300.0);
    r.wave = (gw_ground_wave){0};
    gw_loop_run run = run_of(&l, &plant, &r, 1);
    run.first_month = 0;
    gw_loop_result out;
    ck_assert_int_eq(gw_loop_simulate(arena, &run, &out, NULL), GW_OK);
    // The coldest hour is the last one. Bound it by superposing the greatest and the least heat
    // rate that the unit can have had all year.
    const double e_degc = out.coldest.degc;
    ck_assert_uint_eq(out.coldest.hour, GW_LOOP_HOURS - 1);
    const gw_plant_flow last = gw_plant_heat(&plant, 12000.0, e_degc);
    const gw_plant_flow first = gw_plant_heat(&plant, 12000.0, r.undisturbed_degc);
    const double h_mk_w = gw_exp_step(&r.step, 8760.0 * 3600.0);
    const double high_degc = 8.0 - h_mk_w * last.ground_w / 300.0 + 0.5 * first.ground_w / 2500.0;
    const double low_degc = 8.0 - h_mk_w * first.ground_w / 300.0 + 0.5 * last.ground_w / 2500.0;
    ck_assert_msg(e_degc > low_degc && e_degc < high_degc, "%.3f not in %.3f … %.3f", e_degc,
                  low_degc, high_degc);
    ck_assert_double_eq_tol(out.leaving_degc, e_degc - last.ground_w / 2500.0, 1e-3);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(a_longer_loop_is_never_colder)
{
    gw_arena *const arena = gw_arena_create(0);
    static loads l;
    made_loads(&l);
    const gw_plant plant = made_plant();
    double before_degc = -100.0;
    for (double length_m = 150.0; length_m < 700.0; length_m += 75.0) {
        const gw_loop_response r = made_response(arena, length_m);
        const gw_loop_run run = run_of(&l, &plant, &r, 3);
        gw_loop_result out;
        ck_assert_int_eq(gw_loop_simulate(arena, &run, &out, NULL), GW_OK);
        ck_assert(out.coldest.degc > before_degc);
        before_degc = out.coldest.degc;
    }
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(a_house_without_loads_leaves_the_ground_alone)
{
    gw_arena *const arena = gw_arena_create(0);
    static loads l;
    memset(&l, 0, sizeof l);
    const gw_plant plant = made_plant();
    const gw_loop_response r = made_response(arena, 300.0);
    const gw_loop_run run = run_of(&l, &plant, &r, 1);
    gw_loop_result out;
    ck_assert_int_eq(gw_loop_simulate(arena, &run, &out, NULL), GW_OK);
    ck_assert(out.coldest.degc == 8.0 && out.first.ground_j == 0.0);
    ck_assert_double_eq_tol(out.months[0].mean_degc, 8.0 + 0.4, 0.2); // the wave in September
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(bad_input_is_refused)
{
    gw_arena *const arena = gw_arena_create(0);
    static loads l;
    memset(&l, 0, sizeof l);
    const gw_plant plant = made_plant();
    const gw_loop_response r = made_response(arena, 300.0);
    gw_loop_result out;
    gw_err err = {0};
    gw_loop_run run = run_of(&l, &plant, &r, 0);
    ck_assert_int_eq(gw_loop_simulate(arena, &run, &out, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "limits.years");
    run = run_of(&l, &plant, &r, 1);
    run.first_month = 12;
    ck_assert_int_eq(gw_loop_simulate(arena, &run, &out, &err), GW_ERR_RANGE);
    run.first_month = 0;
    l.heating_w[77] = -1.0;
    ck_assert_int_eq(gw_loop_simulate(arena, &run, &out, &err), GW_ERR_RANGE);
    ck_assert_ptr_nonnull(strstr(err.text, "77"));
    l.heating_w[77] = NAN;
    ck_assert_int_eq(gw_loop_simulate(arena, &run, &out, &err), GW_ERR_RANGE);
    gw_arena_destroy(arena);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("simulate");
    TCase *const tc = tcase_create("march");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, the_march_equals_direct_superposition);
    tcase_add_test(tc, tangents_do_not_move_the_answer);
    tcase_add_test(tc, energy_in_is_energy_out);
    tcase_add_test(tc, constant_load_follows_the_step_response);
    tcase_add_test(tc, a_longer_loop_is_never_colder);
    tcase_add_test(tc, a_house_without_loads_leaves_the_ground_alone);
    tcase_add_test(tc, bad_input_is_refused);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
