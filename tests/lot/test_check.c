// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What a lot is refused for: each fault by the name of the thing, the place and the path.
#include "lots.h"

static gw_err_list faults;

static gw_status check(gw_lot_path boundary, const gw_lot_feature *features, size_t count)
{
    const gw_lot lot = {boundary, features, count};
    gw_err_list_init(&faults, arena);
    memset(&err, 0, sizeof err);
    return gw_lot_check(&lot, &faults, &err);
}

#define EXPECT_FAULT(index, status, path, words)                                                   \
    do {                                                                                           \
        ck_assert_uint_gt(faults.count, (index));                                                  \
        ck_assert_int_eq(faults.items[index].code, (status));                                      \
        ck_assert_str_eq(faults.items[index].field, (path));                                       \
        ck_assert_msg(strstr(faults.items[index].text, (words)) != NULL, "\"%s\" lacks \"%s\"",    \
                      faults.items[index].text, (words));                                          \
    } while (0)

// One feature on a 40 × 30 m lot.
static gw_status check_one(gw_lot_feature feature)
{
    return check(box_path(0, 0, 40, 30), &feature, 1);
}

START_TEST(sound_lot_passes)
{
    begin();
    const gw_lot_feature features[] = {
        {.id = "h", .kind = GW_LOT_HOUSE, .geometry = box_shape(10, 10, 20, 18)},
        {.id = "w", .kind = GW_LOT_WELL, .geometry = disc(35, 25, 0.1)},
        {.id = "w2", .kind = GW_LOT_WELL, .geometry = disc(60, 25, 0.1), .off_lot = true},
        {.id = "p", .kind = GW_LOT_POWER_LINE, .geometry = line(15, 18, 15, 50, 0), .depth_m = 0.9},
        {.id = "t", .kind = GW_LOT_TREE, .geometry = disc(0, 5, 4)},
        {.id = "g", .kind = GW_LOT_BUILDING, .geometry = box_shape(0, 20, 5, 30)},
    };
    ck_assert_int_eq(check(box_path(0, 0, 40, 30), features, 6), GW_OK);
    ck_assert_uint_eq(faults.count, 0);
    end();
}
END_TEST

START_TEST(self_crossing_boundary_is_named_with_its_place)
{
    begin();
    ck_assert_int_eq(check(PATH(0, 0, 10, 10, 10, 0, 0, 10, 0, 0), NULL, 0), GW_ERR_GEOMETRY);
    EXPECT_FAULT(0, GW_ERR_GEOMETRY, "lot.boundary.path",
                 "the boundary crosses itself at (5.00, 5.00) m");
    ck_assert_str_eq(err.text, faults.items[0].text);
    end();
}
END_TEST

START_TEST(self_crossing_feature_is_named)
{
    begin();
    ck_assert_int_eq(check_one((gw_lot_feature){
                         .id = "s",
                         .kind = GW_LOT_SEPTIC_FIELD,
                         .name = "old bed",
                         .geometry = {GW_LOT_POLYGON, PATH(2, 2, 8, 6, 8, 2, 2, 6, 2, 2), 0}}),
                     GW_ERR_GEOMETRY);
    EXPECT_FAULT(0, GW_ERR_GEOMETRY, "lot.features[0].path",
                 "old bed crosses itself at (5.00, 4.00) m");
    end();
}
END_TEST

START_TEST(open_outline_tells_how_far_it_gapes)
{
    begin();
    ck_assert_int_eq(check(PATH(0, 0, 10, 0, 10, 10, 0, 10, 0, 0.25), NULL, 0), GW_ERR_GEOMETRY);
    EXPECT_FAULT(0, GW_ERR_GEOMETRY, "lot.boundary.path", "is not closed");
    EXPECT_FAULT(0, GW_ERR_GEOMETRY, "lot.boundary.path", "0.250 m away");
    ck_assert_int_eq(check(PATH(0, 0, 10, 0, 0, 0), NULL, 0), GW_ERR_GEOMETRY);
    EXPECT_FAULT(0, GW_ERR_GEOMETRY, "lot.boundary.path", "has 3 points");
    ck_assert_int_eq(check((gw_lot_path){NULL, 0}, NULL, 0), GW_ERR_GEOMETRY);
    EXPECT_FAULT(0, GW_ERR_GEOMETRY, "lot.boundary.path", "has 0 points");
    end();
}
END_TEST

START_TEST(outline_without_area_is_refused)
{
    begin();
    ck_assert_int_eq(check(PATH(0, 0, 10, 0, 5, 0, 0, 0), NULL, 0), GW_ERR_GEOMETRY);
    ck_assert_uint_eq(faults.count, 1);
    end();
}
END_TEST

START_TEST(numbers_that_are_not_finite_are_refused)
{
    begin();
    ck_assert_int_eq(check(PATH(0, 0, NOT_A_NUMBER, 0, 10, 10, 0, 0), NULL, 0), GW_ERR_RANGE);
    EXPECT_FAULT(0, GW_ERR_RANGE, "lot.boundary.path[1]", "must be two finite numbers");
    ck_assert_int_eq(check(PATH(0, 0, 1, HUGE_VAL, 1e9, 10, 0, 0), NULL, 0), GW_ERR_RANGE);
    ck_assert_uint_eq(faults.count, 2);
    const gw_lot_feature well = {.id = "w", .kind = GW_LOT_WELL, .geometry = disc(5, 5, 0)};
    gw_lot_feature bad = well;
    bad.depth_m = NOT_A_NUMBER;
    ck_assert_int_eq(check_one(bad), GW_ERR_RANGE);
    EXPECT_FAULT(0, GW_ERR_RANGE, "lot.features[0].depth_m", "depth_m");
    bad = well;
    bad.raise_m = -1;
    ck_assert_int_eq(check_one(bad), GW_ERR_RANGE);
    EXPECT_FAULT(0, GW_ERR_RANGE, "lot.features[0].raise_m", "raise_m");
    bad = well;
    bad.geometry.radius_m = -0.1;
    ck_assert_int_eq(check_one(bad), GW_ERR_RANGE);
    EXPECT_FAULT(0, GW_ERR_RANGE, "lot.features[0].radius_m", "radius_m");
    bad.geometry.radius_m = NOT_A_NUMBER;
    ck_assert_int_eq(check_one(bad), GW_ERR_RANGE);
    end();
}
END_TEST

START_TEST(feature_outside_is_refused_unless_marked)
{
    begin();
    gw_lot_feature house = {
        .id = "h", .kind = GW_LOT_HOUSE, .name = "cottage", .geometry = box_shape(35, 5, 43, 9)};
    ck_assert_int_eq(check_one(house), GW_ERR_GEOMETRY);
    EXPECT_FAULT(0, GW_ERR_GEOMETRY, "lot.features[0].path",
                 "cottage reaches 3.00 m outside the boundary at (43.00,");
    house.off_lot = true;
    ck_assert_int_eq(check_one(house), GW_OK);
    gw_lot_feature pipe = {
        .id = "g", .kind = GW_LOT_GAS_LINE, .name = "gas", .geometry = line(50, 0, 50, 20, 0)};
    ck_assert_int_eq(check_one(pipe), GW_ERR_GEOMETRY);
    EXPECT_FAULT(0, GW_ERR_GEOMETRY, "lot.features[0].path", "gas lies 10.00 m outside");
    pipe.geometry = line(30, 10, 50, 10, 0); // a service line comes from the street
    ck_assert_int_eq(check_one(pipe), GW_OK);
    end();
}
END_TEST

START_TEST(ids_must_be_there_and_differ)
{
    begin();
    const gw_lot_feature features[] = {
        {.id = "a", .kind = GW_LOT_WELL, .geometry = disc(5, 5, 0.1)},
        {.id = "", .kind = GW_LOT_WELL, .geometry = disc(9, 5, 0.1)},
        {.id = "a", .kind = GW_LOT_WELL, .name = "new well", .geometry = disc(7, 5, 0.1)},
        {.kind = GW_LOT_WELL, .geometry = disc(7, 8, 0.1)},
    };
    ck_assert_int_eq(check(box_path(0, 0, 40, 30), features, 4), GW_ERR_MISSING);
    ck_assert_uint_eq(faults.count, 3);
    EXPECT_FAULT(0, GW_ERR_MISSING, "lot.features[1].id", "well has no id");
    EXPECT_FAULT(1, GW_ERR_KEY, "lot.features[2].id", "new well: the id \"a\" is already taken");
    EXPECT_FAULT(2, GW_ERR_MISSING, "lot.features[3].id", "no id");
    end();
}
END_TEST

START_TEST(shape_must_suit_the_kind)
{
    begin();
    ck_assert_int_eq(
        check_one((gw_lot_feature){.id = "h", .kind = GW_LOT_HOUSE, .geometry = disc(5, 5, 3)}),
        GW_ERR_GEOMETRY);
    EXPECT_FAULT(0, GW_ERR_GEOMETRY, "lot.features[0].geometry",
                 "a house cannot be drawn as a circle");
    ck_assert_int_eq(check_one((gw_lot_feature){
                         .id = "l", .kind = GW_LOT_WATER_LINE, .geometry = box_shape(1, 1, 2, 2)}),
                     GW_ERR_GEOMETRY);
    ck_assert_int_eq(check_one((gw_lot_feature){
                         .id = "l", .kind = GW_LOT_WATER_LINE, .geometry = line(1, 1, 1, 1, 0)}),
                     GW_ERR_GEOMETRY);
    EXPECT_FAULT(0, GW_ERR_GEOMETRY, "lot.features[0].path", "water_line has no length");
    gw_lot_feature two = {
        .id = "w", .kind = GW_LOT_WELL, .geometry = {GW_LOT_CIRCLE, PATH(1, 1, 2, 2), 1}};
    ck_assert_int_eq(check_one(two), GW_ERR_GEOMETRY);
    EXPECT_FAULT(0, GW_ERR_GEOMETRY, "lot.features[0].path", "one centre, not 2");
    two.kind = GW_LOT_PROPERTY_LINE;
    ck_assert_int_eq(check_one(two), GW_ERR_KEY);
    end();
}
END_TEST

START_TEST(all_faults_are_listed_not_the_first)
{
    begin();
    const gw_lot_feature features[] = {
        {.id = "h", .kind = GW_LOT_HOUSE, .geometry = box_shape(100, 5, 110, 9)},
        {.id = "h", .kind = GW_LOT_WELL, .geometry = disc(5, 5, -1), .depth_m = -2},
    };
    ck_assert_int_eq(check(box_path(0, 0, 40, 30), features, 2), GW_ERR_GEOMETRY);
    ck_assert_uint_eq(faults.count, 4); // outside; id, radius, depth
    end();
}
END_TEST

START_TEST(memory_that_runs_out_is_reported)
{
    begin();
    const gw_lot_path bow = PATH(0, 0, 10, 10, 10, 0, 0, 10, 0, 0);
    const gw_lot lot = {bow, NULL, 0};
    gw_err_list_init(&faults, arena);
    gw_arena_fail_after(arena, 0);
    ck_assert_int_eq(gw_lot_check(&lot, &faults, &err), GW_ERR_NOMEM);
    end();
}
END_TEST

START_TEST(kind_names_go_both_ways)
{
    begin();
    for (int k = 0; k < GW_LOT_KIND_COUNT; k++) {
        gw_lot_kind kind;
        ck_assert_int_eq(gw_lot_kind_find(gw_lot_kind_name((gw_lot_kind)k), &kind, &err), GW_OK);
        ck_assert_int_eq((int)kind, k);
    }
    gw_lot_kind kind;
    ck_assert_int_eq(gw_lot_kind_find("septic_feild", &kind, &err), GW_ERR_KEY);
    ck_assert(strstr(err.text, "did you mean \"septic_field\"") != NULL);
    ck_assert_int_eq(gw_lot_kind_find("zebra crossing", &kind, &err), GW_ERR_KEY);
    end();
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("check");
    TCase *const cases = tcase_create("check");
    tcase_add_test(cases, sound_lot_passes);
    tcase_add_test(cases, self_crossing_boundary_is_named_with_its_place);
    tcase_add_test(cases, self_crossing_feature_is_named);
    tcase_add_test(cases, open_outline_tells_how_far_it_gapes);
    tcase_add_test(cases, outline_without_area_is_refused);
    tcase_add_test(cases, numbers_that_are_not_finite_are_refused);
    tcase_add_test(cases, feature_outside_is_refused_unless_marked);
    tcase_add_test(cases, ids_must_be_there_and_differ);
    tcase_add_test(cases, shape_must_suit_the_kind);
    tcase_add_test(cases, all_faults_are_listed_not_the_first);
    tcase_add_test(cases, memory_that_runs_out_is_reported);
    tcase_add_test(cases, kind_names_go_both_ways);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
