// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "house/design_load.h"

#include "base/builtin.h"
#include "climate/weather.h"
#include "harness.h"
#include "house/bestest.h"
#include "house/example_house.h"
#include "house/foundation.h"
#include "house/infiltration.h"

#include <math.h>
#include <string.h>

static gw_arena *arena;

static void open_arena(void)
{
    arena = gw_arena_create(0);
}

static void close_arena(void)
{
    gw_arena_destroy(arena);
}

static gw_house_design_result design(const example *e)
{
    gw_house_design_result out;
    gw_err err = {0};
    ck_assert_msg(gw_house_design(arena, &e->house, &e->conditions, &out, &err) == GW_OK, "%s",
                  err.text);
    return out;
}

static const gw_house_row *row_of(const gw_house_design_result *result, const char *name)
{
    for (size_t i = 0; i < result->row_count; i++) {
        if (strcmp(result->rows[i].name, name) == 0) {
            return &result->rows[i];
        }
    }
    ck_abort_msg("no row %s", name);
    return NULL;
}

// BESTEST case 600 (from memory, evaluated apart): walls 32.72, roof 15.25, floor 1.89, windows
// 36.0, infiltration 18.44 (altitude factor 0.822), together 104.3 W/K.
START_TEST(case_600_gives_its_heat_loss_coefficients)
{
    bestest cell;
    bestest_600(&cell);
    example e;
    example_house(&e);
    e.conditions.elevation_m = 1609.0;
    e.house = cell.house;
    const gw_house_design_result r = design(&e);
    double walls_w_k = 0.0;
    for (size_t i = 0; i < 4; i++) {
        walls_w_k += r.rows[i].ua_w_k;
    }
    ck_close(walls_w_k, 32.72, 1e-3);
    ck_close(row_of(&r, "roof")->ua_w_k, 15.25, 1e-3);
    ck_close(row_of(&r, "floor")->ua_w_k, 1.89, 3e-3);
    ck_close(row_of(&r, "glass")->ua_w_k, 36.0, 1e-9);
    // 18.44 W/K stands for 1246 J/(m3 K) of air at sea level; ISO 13790 has 1200: 3.7 % apart.
    ck_close(row_of(&r, "infiltration")->ua_w_k, 18.44 * 1200.0 / 1246.0, 0.003);
    ck_close(r.ua_total_w_k, 104.3, 0.01);
}
END_TEST

// Conduction A dT/RSI and air 1200 q dT, by hand.
START_TEST(loss_by_component_matches_hand_calculation)
{
    example e;
    example_house(&e);
    const gw_house_design_result r = design(&e);
    const double dt_k = 37.0;
    ck_close(row_of(&r, "walls")->loss_w, 170.0 / 3.0 * dt_k, 1e-12);
    ck_close(row_of(&r, "attic")->loss_w, 100.0 / 7.0 * dt_k, 1e-12);
    ck_close(row_of(&r, "south windows")->loss_w, 12.0 / 0.55 * dt_k, 1e-12);
    ck_close(row_of(&r, "bay floor")->loss_w, 3.0 / 5.0 * dt_k, 1e-12);
    const double thin = gw_weather_pressure_ratio(145.0);
    ck_close(row_of(&r, "ventilation")->loss_w, 1200.0 * thin * 0.045 * 0.35 * dt_k, 1e-12);
    const gw_infiltration_house leaky = {gw_infiltration_leakage_area_m2(3.0, 720.0), 2, 4};
    const double q_m3_s = gw_infiltration_m3_s(leaky, dt_k, 6.7);
    ck_close(r.infiltration_m3_s, q_m3_s, 1e-12);
    ck_close(row_of(&r, "infiltration")->loss_w, 1200.0 * thin * q_m3_s * dt_k, 1e-12);
    const gw_foundation_loss floor = gw_foundation_component(&e.house, 6);
    ck_close(row_of(&r, "basement floor")->loss_w,
             floor.steady_w_k * (21.0 - 7.0) + floor.periodic_w_k * 12.5, 1e-12);
}
END_TEST

START_TEST(totals_are_the_sums_of_the_rows)
{
    example e;
    example_house(&e);
    const gw_house_design_result r = design(&e);
    double loss_w = 0.0;
    double gain_w = 0.0;
    double ua_w_k = 0.0;
    for (size_t i = 0; i < r.row_count; i++) {
        loss_w += r.rows[i].loss_w;
        gain_w += r.rows[i].gain_w;
        ua_w_k += r.rows[i].ua_w_k;
    }
    ck_close(r.loss_w, loss_w, 1e-12);
    ck_close(r.ua_total_w_k, ua_w_k, 1e-12);
    ck_close(r.gain_w, gain_w, 1e-9);
    ck_close(r.latent_gain_w, 0.3 * r.gain_w, 1e-12);
    ck_close(r.loss_w, r.ua_total_w_k * 37.0, 1e-12);
    // A well-built 200 m2 house in such a climate loses 6 to 12 kW (common practice, no source).
    ck_assert_double_gt(r.loss_w, 6000.0);
    ck_assert_double_lt(r.loss_w, 12000.0);
}
END_TEST

START_TEST(gain_peaks_in_the_afternoon_and_sun_is_its_largest_part)
{
    example e;
    example_house(&e);
    const gw_house_design_result r = design(&e);
    ck_assert_double_gt(r.gain_w, 500.0);
    ck_assert_int_ge(r.gain_hour, 12);
    ck_assert_int_le(r.gain_hour, 18);
    const double windows_w =
        row_of(&r, "south windows")->gain_w + row_of(&r, "other windows")->gain_w;
    ck_assert_double_gt(windows_w, 0.5 * r.gain_w);
    ck_assert_double_lt(row_of(&r, "basement floor")->gain_w, 0.0);
    ck_assert_double_lt(row_of(&r, "heat stored in the fabric")->gain_w, 0.0);
}
END_TEST

START_TEST(better_parts_lower_loss_and_gain)
{
    example e;
    example_house(&e);
    const gw_house_design_result before = design(&e);
    e.parts[0].insulation_m2k_w = 4.5;
    const gw_house_design_result walls = design(&e);
    ck_assert_double_lt(walls.loss_w, before.loss_w - 500.0);
    example_house(&e);
    e.house.leakage.ach50 = 1.5;
    ck_assert_double_lt(design(&e).loss_w, before.loss_w);
    example_house(&e);
    e.house.heat_recovery_frac = 0.8;
    ck_assert_double_lt(design(&e).loss_w, before.loss_w);
    example_house(&e);
    e.parts[2].shading_frac = e.parts[3].shading_frac = 0.9;
    ck_assert_double_lt(design(&e).gain_w, 0.75 * before.gain_w);
    example_house(&e);
    e.house.mass = GW_HOUSE_MASS_HEAVY;
    const gw_house_design_result heavy = design(&e);
    ck_assert_double_lt(heavy.gain_w, before.gain_w);
    ck_close(heavy.loss_w, before.loss_w, 1e-12);
}
END_TEST

START_TEST(a_house_that_never_warms_has_no_gain)
{
    example e;
    example_house(&e);
    e.conditions.cooling_outdoor_degc = 12.0;
    e.house.internal_gain_w = 0.0;
    e.parts[2].solar_gain_frac = e.parts[3].solar_gain_frac = 0.0;
    const gw_house_design_result r = design(&e);
    ck_assert_double_eq(r.gain_w, 0.0);
    double sum_w = 0.0;
    for (size_t i = 0; i < r.row_count; i++) {
        sum_w += r.rows[i].gain_w;
    }
    ck_assert_double_eq_tol(sum_w, 0.0, 1e-9);
}
END_TEST

START_TEST(given_loads_stand_as_given)
{
    example e;
    example_house(&e);
    e.house.envelope_count = 0;
    e.house.design_loss_w = 11100.0;
    e.house.design_gain_w = 7000.0;
    const gw_house_design_result r = design(&e);
    ck_assert(r.given);
    ck_assert_uint_eq(r.row_count, 1);
    ck_close(r.loss_w, 11100.0, 1e-12);
    ck_close(r.gain_w, 7000.0, 1e-12);
    ck_close(r.ua_total_w_k, 300.0, 1e-12);
}
END_TEST

START_TEST(each_condition_out_of_range_is_refused)
{
    static const char *const names[] = {
        "heating_outdoor_degc", "cooling_outdoor_degc", "daily_range_k",
        "air_mean_degc",        "air_amplitude_k",      "latitude_deg",
        "elevation_m",          "heating_wind_m_s",     "cooling_wind_m_s"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        example e;
        example_house(&e);
        gw_house_conditions *const c = &e.conditions;
        double *const fields[] = {
            &c->heating_outdoor_degc, &c->cooling_outdoor_degc, &c->daily_range_k,
            &c->air_mean_degc,        &c->air_amplitude_k,      &c->latitude_deg,
            &c->elevation_m,          &c->heating_wind_m_s,     &c->cooling_wind_m_s};
        gw_house_design_result out;
        gw_err err = {0};
        *fields[i] = (double)NAN;
        ck_assert_int_eq(gw_house_design(arena, &e.house, c, &out, &err), GW_ERR_RANGE);
        ck_assert_str_eq(err.field, names[i]);
        *fields[i] = 1e5;
        ck_assert_int_eq(gw_house_design(arena, &e.house, c, &out, &err), GW_ERR_RANGE);
    }
}
END_TEST

START_TEST(impossible_houses_are_refused)
{
    example e;
    example_house(&e);
    gw_house_design_result out;
    gw_err err = {0};
    e.house.heating_setpoint_degc = 19.5;
    e.conditions.heating_outdoor_degc = 19.0;
    ck_assert_int_eq(gw_house_design(arena, &e.house, &e.conditions, &out, &err), GW_ERR_RANGE);
    example_house(&e);
    e.parts[0].area_m2 = 9000.0;
    e.parts[0].insulation_m2k_w = 0.2;
    ck_assert_int_eq(gw_house_design(arena, &e.house, &e.conditions, &out, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "envelope");
    example_house(&e);
    gw_arena_fail_after(arena, 0);
    ck_assert_int_eq(gw_house_design(arena, &e.house, &e.conditions, &out, &err), GW_ERR_NOMEM);
}
END_TEST

START_TEST(every_station_gives_sound_conditions)
{
    gw_builtin_file file;
    ck_assert(gw_builtin("stations.csv", &file));
    gw_table table;
    gw_stations stations;
    ck_assert_int_eq(gw_table_read(arena, file.name, file.text, file.length, &table, NULL), GW_OK);
    ck_assert_int_eq(gw_stations_read(arena, &table, &stations, NULL), GW_OK);
    for (size_t i = 0; i < stations.count; i++) {
        example e;
        example_house(&e);
        e.conditions = gw_house_conditions_from_station(&stations.items[i]);
        const gw_house_design_result r = design(&e);
        ck_assert_msg(r.loss_w > 3000.0 && r.loss_w < 18000.0, "%s: %g W", stations.items[i].id,
                      r.loss_w);
        ck_assert_msg(r.gain_w >= 0.0 && r.gain_w < 9000.0, "%s: %g W", stations.items[i].id,
                      r.gain_w);
    }
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("house/design_load");
    TCase *const cases = tcase_create("all");
    tcase_add_checked_fixture(cases, open_arena, close_arena);
    tcase_add_test(cases, case_600_gives_its_heat_loss_coefficients);
    tcase_add_test(cases, loss_by_component_matches_hand_calculation);
    tcase_add_test(cases, totals_are_the_sums_of_the_rows);
    tcase_add_test(cases, gain_peaks_in_the_afternoon_and_sun_is_its_largest_part);
    tcase_add_test(cases, better_parts_lower_loss_and_gain);
    tcase_add_test(cases, a_house_that_never_warms_has_no_gain);
    tcase_add_test(cases, given_loads_stand_as_given);
    tcase_add_test(cases, each_condition_out_of_range_is_refused);
    tcase_add_test(cases, impossible_houses_are_refused);
    tcase_add_test(cases, every_station_gives_sound_conditions);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
