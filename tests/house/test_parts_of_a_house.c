// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Ducts, attic, rooms, opened windows and the Perez sky in design and hourly loads.
#include "climate/synthesis.h"
#include "house/duct.h"
#include "house/hourly_load.h"
#include "house/zone.h"

#include "climate/epw_text.h"
#include "harness.h"
#include "house/bestest.h"
#include "house/example_house.h"

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
    ck_assert_msg(gw_house_design(arena, &e->house, &e->conditions, &out, &err) == GW_OK, "%s: %s",
                  err.field, err.text);
    return out;
}

static gw_house_load_year loads(const gw_house *house, const gw_weather *weather)
{
    gw_house_load_year out;
    gw_err err = {0};
    const gw_house_year year = {.weather = weather};
    ck_assert_msg(gw_house_loads(arena, house, &year, &out, &err) == GW_OK, "%s: %s", err.field,
                  err.text);
    return out;
}

static gw_weather made_year(void)
{
    static const gw_station station = {
        .id = "test",
        .name = "Test",
        .latitude_deg = 44.88,
        .longitude_deg = -63.51,
        .elevation_m = 145.0,
        .timezone_h = -4.0,
        .monthly_mean_degc = {-5.9, -5.2, -1.3, 4.4, 10.0, 15.1, 18.8, 19.1, 15.5, 9.9, 4.8, -0.8},
        .heating_design_degc = -16.0,
        .cooling_design_degc = 26.0,
        .daily_range_k = 9.0,
        .ground_mean_degc = 8.6,
        .ground_amplitude_k = 9.3,
        .ground_phase_day = 46.0,
    };
    gw_weather weather;
    const gw_synthesis how = {.station = &station, .seed = 1};
    ck_assert_int_eq(gw_weather_synthesize(arena, &how, &weather, NULL), GW_OK);
    return weather;
}

// ---- Ducts --------------------------------------------------------------------------------------

// Air followed step by step from room to room, to check the closed form of Standard 152.
static double delivered_w(const gw_house_ducts *d, double air, const gw_duct_run *run,
                          double unit_w)
{
    const double c = air * d->air_flow_m3_s;
    const double around =
        run->indoor_degc - d->outdoor_share * (run->indoor_degc - run->outdoor_degc);
    const double b_r = exp(-d->return_area_m2 / (c * d->insulation_m2k_w));
    const double b_s = exp(-d->supply_area_m2 / (c * d->insulation_m2k_w));
    double t = around + b_r * (run->indoor_degc - around);
    t = (1.0 - d->return_leak_frac) * t + d->return_leak_frac * around;
    t += unit_w / c;
    t = around + b_s * (t - around);
    return (1.0 - d->supply_leak_frac) * c * (t - run->indoor_degc);
}

static const gw_house_ducts DUCTS = {.air_flow_m3_s = 0.5,
                                     .supply_area_m2 = 20.0,
                                     .return_area_m2 = 8.0,
                                     .insulation_m2k_w = 0.7,
                                     .supply_leak_frac = 0.06,
                                     .return_leak_frac = 0.05,
                                     .outdoor_share = 0.9};

START_TEST(ducts_follow_the_air_step_by_step)
{
    const gw_duct_run runs[] = {{9000.0, 21.0, -16.0, 1.0}, {-4000.0, 25.0, 31.0, 1.0}};
    for (int i = 0; i < 2; i++) {
        const double unit_w = runs[i].load_w + gw_duct_extra_w(&DUCTS, 1200.0, &runs[i]);
        ck_assert_double_gt(fabs(unit_w), fabs(runs[i].load_w));
        ck_close(delivered_w(&DUCTS, 1200.0, &runs[i], unit_w), runs[i].load_w, 1e-12);
        ck_close(gw_duct_delivery_frac(&DUCTS, 1200.0, &runs[i]), runs[i].load_w / unit_w, 1e-12);
    }
}
END_TEST

// Tight ducts inside the house lose nothing; leaks alone give 1/(1 - leak); no load, no loss.
START_TEST(ducts_lose_nothing_in_the_exact_limits)
{
    const gw_duct_run run = {9000.0, 21.0, -16.0, 1.0};
    gw_house_ducts d = {.air_flow_m3_s = 0.5, .insulation_m2k_w = 1.0, .outdoor_share = 1.0};
    ck_assert_double_eq_tol(gw_duct_extra_w(&d, 1200.0, &run), 0.0, 1e-9);
    d.outdoor_share = 0.0;
    d.supply_leak_frac = 0.1;
    ck_close(gw_duct_extra_w(&d, 1200.0, &run), 9000.0 / 0.9 - 9000.0, 1e-12);
    ck_assert_double_eq(gw_duct_extra_w(&d, 1200.0, &(gw_duct_run){0.0, 21, -16, 1.0}), 0.0);
    d.air_flow_m3_s = 0.0;
    ck_assert_double_eq(gw_duct_extra_w(&d, 1200.0, &run), 0.0);
}
END_TEST

START_TEST(ducts_are_a_row_of_their_own_and_part_of_the_year)
{
    example e;
    example_house(&e);
    const gw_weather w = made_year();
    const gw_house_design_result none = design(&e);
    const gw_house_load_year year = loads(&e.house, &w);
    e.house.ducts = DUCTS;
    const gw_house_design_result with = design(&e);
    const gw_house_load_year more = loads(&e.house, &w);
    ck_assert_uint_eq(with.row_count, none.row_count + 1);
    const gw_house_row *const row = &with.rows[with.row_count - 1];
    ck_assert_str_eq(row->name, "ducts");
    ck_close(with.loss_w, none.loss_w + row->loss_w, 1e-12);
    ck_close(with.gain_w, none.gain_w + row->gain_w, 1e-12);
    ck_assert_double_gt(row->loss_w, 0.05 * none.loss_w);
    ck_assert_double_lt(row->loss_w, 0.5 * none.loss_w);
    ck_close(more.heating_j, year.heating_j + more.duct_heating_j, 1e-12);
    ck_close(more.cooling_j, year.cooling_j + more.duct_cooling_j, 1e-12);
    ck_assert_double_gt(more.duct_heating_j, 0.0);
}
END_TEST

// ---- Attic --------------------------------------------------------------------------------------

// Ceiling and roof in series (ISO 13789): RSI adds up over equal areas without air; a gale in the
// attic leaves the ceiling alone.
START_TEST(attic_is_in_series_with_the_ceiling)
{
    example e;
    example_house(&e);
    const double difference_k = 21.0 + 16.0;
    e.parts[1].attic = (gw_house_attic){.roof_area_m2 = 100.0, .roof_insulation_m2k_w = 0.5};
    ck_close(design(&e).rows[1].loss_w, 100.0 / 7.5 * difference_k, 1e-12);
    e.parts[1].attic.volume_m3 = 10000.0;
    e.parts[1].attic.air_changes_h = 50.0;
    ck_close(design(&e).rows[1].loss_w, 100.0 / 7.0 * difference_k, 1e-3);
    e.parts[1].attic.volume_m3 = 100.0;
    e.parts[1].attic.air_changes_h = 5.0;
    const double outer = 100.0 / 0.5 + 1200.0 * 5.0 * 100.0 / 3600.0;
    const double inner = 100.0 / 7.0;
    ck_close(design(&e).rows[1].loss_w, inner * outer / (inner + outer) * difference_k, 1e-12);
}
END_TEST

// ---- Rooms --------------------------------------------------------------------------------------

START_TEST(rooms_make_up_the_house)
{
    const gw_house_room rooms[] = {{.name = "kitchen", .floor_area_m2 = 30.0, .air_frac = 0.25},
                                   {.name = "bedrooms", .floor_area_m2 = 70.0, .air_frac = 0.30},
                                   {.name = "cellar", .floor_area_m2 = 100.0, .air_frac = 0.45}};
    example e;
    example_house(&e);
    e.house.rooms = rooms;
    e.house.room_count = 3;
    e.house.ducts = DUCTS;
    e.parts[1].room = "bedrooms";
    e.parts[2].room = "kitchen";
    e.parts[5].room = "cellar";
    e.parts[6].room = "cellar";
    const gw_house_design_result r = design(&e);
    double loss_w = 0.0;
    double gain_w = 0.0;
    ck_assert_uint_eq(r.room_count, 3);
    for (size_t i = 0; i < 3; i++) {
        loss_w += r.rooms[i].loss_w;
        gain_w += r.rooms[i].gain_w;
    }
    ck_close(loss_w, r.loss_w, 1e-9);
    ck_close(gain_w, r.gain_w, 1e-9);
    // Of the kitchen: its window whole, and a quarter of what belongs to no room.
    double kitchen_w = r.rows[2].loss_w;
    for (size_t i = 0; i < r.row_count; i++) {
        const bool own = i < EXAMPLE_PARTS && e.parts[i].room != NULL;
        kitchen_w += own ? 0.0 : 0.25 * r.rows[i].loss_w;
    }
    ck_close(r.rooms[0].loss_w, kitchen_w, 1e-12);
}
END_TEST

START_TEST(rooms_share_a_given_load_by_floor_area)
{
    const gw_house_room rooms[] = {{.name = "a", .floor_area_m2 = 50.0},
                                   {.name = "b", .floor_area_m2 = 150.0}};
    example e;
    example_house(&e);
    e.house.envelope_count = 0;
    e.house.design_loss_w = 10000.0;
    e.house.design_gain_w = 4000.0;
    e.house.rooms = rooms;
    e.house.room_count = 2;
    const gw_house_design_result r = design(&e);
    ck_close(r.rooms[0].loss_w, 2500.0, 1e-12);
    ck_close(r.rooms[1].gain_w, 3000.0, 1e-12);
}
END_TEST

// ---- Opened windows and sky ---------------------------------------------------------------------

START_TEST(opened_windows_take_cooling_and_leave_heating)
{
    example e;
    example_house(&e);
    const gw_weather w = made_year();
    const gw_house_load_year shut = loads(&e.house, &w);
    double before_j = shut.cooling_j;
    for (int ach = 1; ach <= 8; ach *= 2) {
        e.house.window_opening_ach = ach;
        const gw_house_load_year open = loads(&e.house, &w);
        ck_assert_double_lt(open.cooling_j, before_j);
        ck_close(open.cooling_j + open.free_cooling_j, shut.cooling_j, 1e-12);
        ck_assert_double_eq(open.heating_j, shut.heating_j);
        for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
            ck_assert(open.cooling_w[h] >= 0.0);
            ck_assert(w.dry_bulb_degc[h] < 25.0 || open.cooling_w[h] == shut.cooling_w[h]);
        }
        before_j = open.cooling_j;
    }
}
END_TEST

// Free air instead of power: the zone run with the boosted air itself, without plant, comes out at
// the setpoint in the hour where the boost is just what the plant would have done.
START_TEST(opened_windows_do_what_the_plant_would)
{
    const gw_zone zone = {.floor_area_m2 = 200.0,
                          .mass_area_m2 = 500.0,
                          .capacity_j_k = 33e6,
                          .window_w_k = 50.0,
                          .opaque_w_k = 120.0};
    gw_zone_input in = {.ventilation_w_k = 60.0,
                        .supply_degc = 18.0,
                        .outdoor_degc = 18.0,
                        .opaque_degc = 18.0,
                        .internal_w = 800.0,
                        .solar_w = 6000.0,
                        .heating_degc = 21.0,
                        .cooling_degc = 25.0};
    double by_plant_degc = 25.0;
    double by_air_degc = 25.0;
    gw_zone_result plant;
    gw_zone_result air;
    gw_zone_hour(&zone, &in, &by_plant_degc, &plant);
    ck_assert_double_lt(plant.need_w, 0.0);
    in.ventilation_w_k += -plant.need_w / (25.0 - 18.0);
    in.free_float = 1;
    gw_zone_hour(&zone, &in, &by_air_degc, &air);
    ck_close(air.air_degc, 25.0, 1e-9);
    ck_close(by_air_degc, by_plant_degc, 1e-9);
}
END_TEST

// Standard 140-2020 with the Denver typical year, case 600 with the Perez sky: within 15 % of the
// ranges like the isotropic one, with more cooling.
START_TEST(perez_sky_keeps_the_denver_cell_within_its_ranges)
{
    size_t length = 0;
    char *const text = epw_real("denver-725650-tmy3.epw", &length);
    if (text == NULL) {
        return;
    }
    gw_weather w;
    bestest cell;
    ck_assert_int_eq(gw_weather_read_epw(arena, (gw_weather_text){"d", text, length}, &w, NULL),
                     GW_OK);
    bestest_600(&cell);
    cell.parts[6].insulation_m2k_w = 1.0 / 2.10;
    cell.parts[6].solar_gain_frac = 0.769;
    const gw_house_load_year isotropic = loads(&cell.house, &w);
    cell.house.sky = GW_HOUSE_SKY_PEREZ;
    const gw_house_load_year y = loads(&cell.house, &w);
    ck_assert_double_gt(y.cooling_j, isotropic.cooling_j);
    const double heat = y.heating_j / 3.6e9;
    const double cool = y.cooling_j / 3.6e9;
    ck_assert_msg(heat > 0.85 * 3.993 && heat < 1.15 * 4.504, "heating %g MWh", heat);
    ck_assert_msg(cool > 0.85 * 5.432 && cool < 1.15 * 6.162, "cooling %g MWh", cool);
    free(text);
}
END_TEST

// ---- Properties and bad input -------------------------------------------------------------------

// More insulation in any component never raises loss, year's heating or its peak.
START_TEST(more_insulation_never_raises_loss)
{
    const gw_weather w = made_year();
    for (int part = 0; part < EXAMPLE_PARTS; part++) {
        example e;
        example_house(&e);
        double loss_w = INFINITY;
        double heating_j = INFINITY;
        for (int step = 0; step < 6; step++) {
            const gw_house_design_result r = design(&e);
            const gw_house_load_year y = loads(&e.house, &w);
            ck_assert_msg(r.loss_w < loss_w && y.heating_j < heating_j, "part %d step %d", part,
                          step);
            loss_w = r.loss_w;
            heating_j = y.heating_j;
            e.parts[part].insulation_m2k_w *= 1.3;
        }
    }
}
END_TEST

static void refuse(const example *e, gw_status status, const char *field)
{
    gw_err err = {0};
    ck_assert_int_eq(gw_house_check(&e->house, &err), status);
    ck_assert_str_eq(err.field, field);
}

START_TEST(bad_parts_are_refused_by_name)
{
    gw_house_room rooms[2] = {{.name = "a", .floor_area_m2 = 50.0},
                              {.name = "a", .floor_area_m2 = 9}};
    example e;
    example_house(&e);
    e.parts[0].attic.roof_area_m2 = 10.0;
    refuse(&e, GW_ERR_RANGE, "envelope[0].attic");
    example_house(&e);
    e.parts[1].attic.roof_area_m2 = 10.0; // without the roof's resistance
    refuse(&e, GW_ERR_RANGE, "envelope[1].attic.roof_insulation_m2k_w");
    example_house(&e);
    e.parts[3].room = "attic";
    refuse(&e, GW_ERR_KEY, "envelope[3].room");
    example_house(&e);
    e.house.rooms = rooms;
    e.house.room_count = 2;
    refuse(&e, GW_ERR_KEY, "rooms[1].name");
    rooms[1] = (gw_house_room){.name = "b", .floor_area_m2 = (double)NAN};
    refuse(&e, GW_ERR_RANGE, "rooms[1].floor_area_m2");
    rooms[1] = (gw_house_room){.name = "b", .floor_area_m2 = 9.0, .air_frac = 0.5};
    refuse(&e, GW_ERR_RANGE, "rooms");
    example_house(&e);
    e.house.ducts = DUCTS;
    e.house.ducts.supply_leak_frac = 0.6;
    refuse(&e, GW_ERR_RANGE, "ducts.supply_leak_frac");
    e.house.ducts = (gw_house_ducts){.air_flow_m3_s = 0.5};
    refuse(&e, GW_ERR_RANGE, "ducts.insulation_m2k_w");
    example_house(&e);
    e.house.window_opening_ach = -1.0;
    refuse(&e, GW_ERR_RANGE, "window_opening_ach");
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("house/parts");
    TCase *const cases = tcase_create("all");
    tcase_set_timeout(cases, 60);
    tcase_add_checked_fixture(cases, open_arena, close_arena);
    tcase_add_test(cases, ducts_follow_the_air_step_by_step);
    tcase_add_test(cases, ducts_lose_nothing_in_the_exact_limits);
    tcase_add_test(cases, ducts_are_a_row_of_their_own_and_part_of_the_year);
    tcase_add_test(cases, attic_is_in_series_with_the_ceiling);
    tcase_add_test(cases, rooms_make_up_the_house);
    tcase_add_test(cases, rooms_share_a_given_load_by_floor_area);
    tcase_add_test(cases, opened_windows_take_cooling_and_leave_heating);
    tcase_add_test(cases, opened_windows_do_what_the_plant_would);
    tcase_add_test(cases, perez_sky_keeps_the_denver_cell_within_its_ranges);
    tcase_add_test(cases, more_insulation_never_raises_loss);
    tcase_add_test(cases, bad_parts_are_refused_by_name);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
