// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "harness.h"
#include "plant/catalogue.h"
#include "plant/hot.h"

#include <string.h>

static gw_arena *arena;
static gw_plant_catalogue pumps;

static void open_catalogue(void)
{
    arena = gw_arena_create(0);
    gw_err err = {0};
    ck_assert_msg(gw_plant_read_builtin(arena, &pumps, &err) == GW_OK, "%s: %s", err.field,
                  err.text);
}

static void close_catalogue(void)
{
    gw_arena_destroy(arena);
}

static gw_plant plant_of(const char *id)
{
    const gw_heat_pump *pump = NULL;
    gw_err err = {0};
    ck_assert_msg(gw_plant_find(&pumps, id, &pump, &err) == GW_OK, "%s", err.text);
    gw_plant plant;
    ck_assert_msg(gw_plant_build(&(gw_plant_input){.pump = *pump, .unit_count = 1}, &plant, &err) ==
                      GW_OK,
                  "%s: %s", err.field, err.text);
    return plant;
}

// Minimum or tier values at the ISO 13256-1 rating points: ground loop 0 °C heating and 25 °C
// cooling, ground water 10 and 15 °C (ASHRAE 90.1-2013, ENERGY STAR tier 3; from memory).
static const struct {
    const char *id;
    double cop_0;
    double cop_10;
    double eer_25;
    double eer_15;
} tiers[] = {
    {"generic_minimum", 3.2, 3.7, 14.1, 18.0},
    {"generic_single_stage", 3.6, 4.1, 17.1, 21.1},
    {"generic_two_stage", 3.6, 4.1, 17.1, 21.1},
    {"generic_water_to_water", 3.1, 3.5, 16.1, 20.1},
};

START_TEST(generic_curves_meet_their_named_ratings)
{
    const gw_plant plant = plant_of(tiers[_i].id);
    ck_close(gw_plant_rated_heating(&plant, 0).cop, tiers[_i].cop_0, 1e-4);
    ck_close(gw_plant_rated_heating(&plant, 10).cop, tiers[_i].cop_10, 1e-4);
    ck_close(gw_plant_eer_from_cop(gw_plant_rated_cooling(&plant, 25).cop), tiers[_i].eer_25, 1e-4);
    ck_close(gw_plant_eer_from_cop(gw_plant_rated_cooling(&plant, 15).cop), tiers[_i].eer_15, 1e-4);
}
END_TEST

// ISO 13256-1: heating at 0, 10 and 20 °C (ground loop, ground water, water loop), cooling at 15,
// 25 and 30 °C: the warmer the water the better the heating and the worse the cooling.
START_TEST(rating_points_stand_in_their_order)
{
    const gw_plant plant = plant_of(tiers[_i].id);
    const double heating[] = {0, 10, 20};
    const double cooling[] = {30, 25, 15};
    for (int i = 0; i < 2; ++i) {
        const gw_plant_rated a = gw_plant_rated_heating(&plant, heating[i]);
        const gw_plant_rated b = gw_plant_rated_heating(&plant, heating[i + 1]);
        ck_assert(b.cop > a.cop && b.capacity_w > a.capacity_w);
        ck_assert(gw_plant_rated_cooling(&plant, cooling[i + 1]).cop >
                  gw_plant_rated_cooling(&plant, cooling[i]).cop);
    }
}
END_TEST

START_TEST(every_pump_is_labelled_generic_with_a_source)
{
    ck_assert_uint_eq(pumps.count, sizeof tiers / sizeof tiers[0]);
    for (size_t i = 0; i < pumps.count; ++i) {
        ck_assert_ptr_nonnull(strstr(pumps.pumps[i].name, "generic"));
        ck_assert_ptr_nonnull(strstr(pumps.pumps[i].source, "not a product"));
    }
}
END_TEST

START_TEST(two_stage_saves_at_part_load)
{
    const gw_plant one = plant_of("generic_single_stage");
    const gw_plant two = plant_of("generic_two_stage");
    const gw_plant_flow a = gw_plant_heat(&one, 5000, 0);
    const gw_plant_flow b = gw_plant_heat(&two, 5000, 0);
    ck_assert_double_lt(b.compressor_w + b.blower_w, a.compressor_w + a.blower_w);
}
END_TEST

START_TEST(unknown_pump_suggests_the_nearest)
{
    const gw_heat_pump *pump = NULL;
    gw_err err = {0};
    ck_assert(gw_plant_find(&pumps, "generic_one_stage", &pump, &err) == GW_ERR_KEY);
    ck_assert(gw_plant_find(&pumps, "generic_two_stages", &pump, &err) == GW_ERR_KEY);
    ck_assert_ptr_nonnull(strstr(err.text, "\"generic_two_stage\""));
    ck_assert_ptr_null(pump);
}
END_TEST

static gw_status read_text(const char *row, gw_err *err)
{
    const char *const head =
        "id,name,mode,stage,entering_water_degc,capacity_w,power_w,blower_power_w,rated_flow_m3_s,"
        "pressure_drop_pa,min_entering_degc,max_entering_degc,source\n";
    const char *const text = gw_arena_printf(arena, "%s%s", head, row);
    gw_table table;
    gw_plant_catalogue out;
    ck_assert(gw_table_read(arena, "x.csv", text, strlen(text), &table, err) == GW_OK);
    return gw_plant_read_table(arena, &table, &out, err);
}

START_TEST(bad_rows_are_refused)
{
    gw_err err = {0};
    ck_assert(read_text("a,a,warming,full,0,9,2,0,0,0,-7,43,s\n", &err) == GW_ERR_KEY);
    ck_assert(read_text("a,a,heating,full,0,many,2,0,0,0,-7,43,s\n", &err) == GW_ERR_TYPE);
    ck_assert(read_text("a,a,heating,full,0,9,2,0,0,0,-7,43,s\n", &err) == GW_ERR_RANGE);
    ck_assert(read_text("a,a,heating,full,0,9,2,0,0,0,-7,43,s\n"
                        "a,a,heating,full,5,10,2,0,0,0,-7,43,s\n",
                        &err) == GW_OK);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("catalogue");
    TCase *const tc = tcase_create("catalogue");
    tcase_add_checked_fixture(tc, open_catalogue, close_catalogue);
    const int count = (int)(sizeof tiers / sizeof tiers[0]);
    tcase_add_loop_test(tc, generic_curves_meet_their_named_ratings, 0, count);
    tcase_add_loop_test(tc, rating_points_stand_in_their_order, 0, count);
    tcase_add_test(tc, every_pump_is_labelled_generic_with_a_source);
    tcase_add_test(tc, two_stage_saves_at_part_load);
    tcase_add_test(tc, unknown_pump_suggests_the_nearest);
    tcase_add_test(tc, bad_rows_are_refused);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
