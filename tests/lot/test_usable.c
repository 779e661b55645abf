// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Usable ground against areas worked out by hand.
#include "lots.h"

#include "lot/lot_geos.h"

static gw_lot_rule own[8];

static gw_lot_region usable(const gw_lot *lot, size_t rules, gw_lot_need need)
{
    const gw_lot_ruleset set = {.own = {own, rules}};
    const gw_lot_site site = {lot, &set};
    gw_lot_region region;
    ck_assert_msg(gw_lot_find_usable(arena, &site, &need, &region, &err) == GW_OK, "%s", err.text);
    return region;
}

START_TEST(empty_lot_loses_its_property_line_strip)
{
    begin();
    own[0] = rule(GW_LOT_PROPERTY_LINE, 3);
    const gw_lot lot = {box_path(0, 0, 40, 30), NULL, 0};
    gw_lot_region region = usable(&lot, 1, (gw_lot_need){.loop = GW_LOT_BORE});
    ck_assert_uint_eq(region.count, 1);
    ck_close(region.area_m2, 34 * 24, 1e-12);
    region = usable(&lot, 1, (gw_lot_need){.loop = GW_LOT_TRENCH, .half_width_m = 0.5});
    ck_close(region.area_m2, 33 * 23, 1e-12);
    region = usable(&lot, 0, (gw_lot_need){.loop = GW_LOT_TRENCH}); // no rule: up to the line
    ck_close(region.area_m2, 1200, 1e-12);
    end();
}
END_TEST

START_TEST(house_in_the_middle_leaves_a_hole_with_rounded_corners)
{
    begin();
    own[0] = rule(GW_LOT_HOUSE, 4);
    const gw_lot_feature house = {
        .id = "h", .kind = GW_LOT_HOUSE, .geometry = box_shape(15, 10, 25, 18)};
    const gw_lot lot = {box_path(0, 0, 40, 30), &house, 1};
    const gw_lot_region region = usable(&lot, 1, (gw_lot_need){.loop = GW_LOT_BORE});
    // Minkowski sum of a box with a disc: area + perimeter × r + π r².
    const double taken = 80 + 36 * 4 + PI * 16;
    ck_assert_uint_eq(region.count, 1);
    ck_assert_uint_eq(region.polygons[0].hole_count, 1);
    ck_close(region.area_m2, 1200 - taken, 1e-4);
    ck_assert(gw_lot_ring_area_m2(&region.polygons[0].outer) > 0);
    ck_assert(gw_lot_ring_area_m2(&region.polygons[0].holes[0]) < 0);
    ck_assert(!gw_lot_region_contains(&region, (gw_lot_point){20, 14}));
    ck_assert(gw_lot_region_contains(&region, (gw_lot_point){20, 6}));
    end();
}
END_TEST

START_TEST(arcs_depart_by_five_millimetres_at_most)
{
    begin();
    for (double r = 0.02; r < 110; r *= 1.7) {
        own[0] = rule(GW_LOT_WELL, r);
        const gw_lot_feature well = {.id = "w", .kind = GW_LOT_WELL, .geometry = disc(0, 0, 0)};
        const gw_lot lot = {box_path(-200, -200, 200, 200), &well, 1};
        const gw_lot_region region = usable(&lot, 1, (gw_lot_need){.loop = GW_LOT_BORE});
        ck_assert_uint_eq(region.polygons[0].hole_count, 1);
        const gw_lot_path *const hole = &region.polygons[0].holes[0];
        const gw_lot_point near = gw_lot_nearest_on_path(hole, (gw_lot_point){0, 0});
        const double short_m = r - hypot(near.x_m, near.y_m);
        ck_assert_msg(short_m > -1e-9 && short_m <= 0.00501, "radius %g: %g", r, short_m);
    }
    end();
}
END_TEST

START_TEST(area_of_overlapping_discs_agrees_with_the_lens_formula)
{
    begin();
    own[0] = rule(GW_LOT_WELL, 10);
    const gw_lot_feature wells[] = {
        {.id = "a", .kind = GW_LOT_WELL, .geometry = disc(20, 20, 0)},
        {.id = "b", .kind = GW_LOT_WELL, .geometry = disc(32, 20, 0)},
    };
    const gw_lot lot = {box_path(0, 0, 60, 40), wells, 2};
    const gw_lot_region region = usable(&lot, 1, (gw_lot_need){.loop = GW_LOT_BORE});
    const double lens = 2 * 100 * acos(0.6) - 6 * sqrt(400 - 144); // d = 12, r = 10
    ck_close(region.area_m2, 2400 - (2 * PI * 100 - lens), 3e-4);
    end();
}
END_TEST

START_TEST(turned_and_shifted_lot_keeps_its_area)
{
    begin();
    const gw_lot_rules rules = shipped();
    const gw_lot_ruleset set = {.shipped = &rules};
    const gw_lot_feature things[] = {
        {.id = "h", .kind = GW_LOT_HOUSE, .geometry = box_shape(25, 40, 37, 49)},
        {.id = "s", .kind = GW_LOT_SEPTIC_FIELD, .geometry = box_shape(40, 60, 52, 70)},
        {.id = "w", .kind = GW_LOT_WELL, .geometry = disc(10, 75, 0.1)},
        {.id = "p", .kind = GW_LOT_POWER_LINE, .geometry = line(30, 40, 30, 0, 0)},
        {.id = "t", .kind = GW_LOT_TREE, .geometry = disc(50, 10, 3)},
    };
    const gw_lot lot = {PATH(0, 0, 60, 5, 55, 80, 0, 85, 0, 0), things, 5};
    const gw_lot_need need = {.loop = GW_LOT_TRENCH, .half_width_m = 0.3};
    const gw_lot_site site = {&lot, &set};
    gw_lot_region first;
    ck_assert_int_eq(gw_lot_find_usable(arena, &site, &need, &first, &err), GW_OK);
    ck_assert(first.area_m2 > 500);
    for (int k = 1; k < 8; k++) {
        const gw_lot turned = turn_lot(&lot, 0.7 * k, 1000.0 * k, -500.0 * k);
        const gw_lot_site other = {&turned, &set};
        gw_lot_region region;
        ck_assert_int_eq(gw_lot_find_usable(arena, &other, &need, &region, &err), GW_OK);
        // Arcs are cut into chords from fixed directions, hence not to the last digit.
        ck_close(region.area_m2, first.area_m2, 2e-4);
        ck_assert_uint_eq(region.count, first.count);
    }
    end();
}
END_TEST

START_TEST(larger_setbacks_never_leave_more_ground)
{
    begin();
    const gw_lot_feature house = {
        .id = "h", .kind = GW_LOT_HOUSE, .geometry = box_shape(15, 10, 25, 18)};
    const gw_lot lot = {box_path(0, 0, 40, 30), &house, 1};
    double before = HUGE_VAL;
    for (double d = 0; d < 20; d += 0.5) {
        own[0] = rule(GW_LOT_HOUSE, d);
        own[1] = rule(GW_LOT_PROPERTY_LINE, d);
        const double area = usable(&lot, 2, (gw_lot_need){.loop = GW_LOT_BORE}).area_m2;
        ck_assert_msg(d == 0 || area < before || area == 0, "at %g m", d);
        before = area;
    }
    ck_assert_double_eq(before, 0);
    end();
}
END_TEST

START_TEST(no_ground_left_is_a_result_that_says_what_takes_the_room)
{
    begin();
    own[0] = rule(GW_LOT_PROPERTY_LINE, 3);
    own[1] = rule(GW_LOT_SEPTIC_FIELD, 15);
    const gw_lot_feature bed = {.id = "s",
                                .kind = GW_LOT_SEPTIC_FIELD,
                                .name = "septic bed",
                                .geometry = box_shape(6, 6, 14, 14)};
    const gw_lot lot = {box_path(0, 0, 20, 20), &bed, 1};
    const gw_lot_ruleset set = {.own = {own, 2}};
    const gw_lot_site site = {&lot, &set};
    const gw_lot_need need = {.loop = GW_LOT_TRENCH};
    ck_assert_uint_eq(usable(&lot, 2, need).count, 0);
    gw_lot_shares shares;
    ck_assert_int_eq(gw_lot_find_shares(arena, &site, &need, &shares, &err), GW_OK);
    ck_assert_double_eq(shares.usable_area_m2, 0);
    ck_close(shares.lot_area_m2, 400, 1e-12);
    ck_assert_uint_eq(shares.count, 2);
    ck_assert_int_eq(shares.takers[0].feature, 0);
    ck_close(shares.takers[0].area_m2, 400, 1e-12); // its 15 m reach over every corner
    ck_assert_int_eq(shares.takers[1].feature, GW_LOT_NO_FEATURE);
    ck_close(shares.takers[1].area_m2, 400 - 14 * 14, 1e-12);
    ck_close(shares.takers[1].area_frac, 0.51, 1e-12);
    ck_assert_str_eq(shares.text, "0 m2 of 400 m2 can take the loop; most is taken, setbacks "
                                  "included, by septic bed (400 m2), the property line (204 m2)");
    end();
}
END_TEST

START_TEST(pieces_come_largest_first_and_slivers_can_be_dropped)
{
    begin();
    own[0] = rule(GW_LOT_DRIVEWAY, 1);
    const gw_lot_feature drive = {
        .id = "d", .kind = GW_LOT_DRIVEWAY, .geometry = box_shape(10, -5, 14, 40)};
    const gw_lot lot = {box_path(0, 0, 40, 30), &drive, 1};
    gw_lot_region region = usable(&lot, 1, (gw_lot_need){.loop = GW_LOT_TRENCH});
    ck_assert_uint_eq(region.count, 2);
    ck_close(region.polygons[0].area_m2, 25 * 30, 1e-12);
    ck_close(region.polygons[1].area_m2, 9 * 30, 1e-12);
    region = usable(&lot, 1, (gw_lot_need){.loop = GW_LOT_TRENCH, .least_area_m2 = 300});
    ck_assert_uint_eq(region.count, 1);
    ck_close(region.area_m2, 25 * 30, 1e-12);
    end();
}
END_TEST

START_TEST(rig_cannot_reach_ground_behind_the_house)
{
    begin();
    own[0] = rule(GW_LOT_PROPERTY_LINE, 2.5);
    own[1] = rule(GW_LOT_HOUSE, 3);
    // House almost as wide as the lot: 2.5 m at either side.
    const gw_lot_feature house = {
        .id = "h", .kind = GW_LOT_HOUSE, .geometry = box_shape(2.5, 20, 27.5, 30)};
    const gw_lot lot = {box_path(0, 0, 30, 60), &house, 1};
    gw_lot_need need = {.loop = GW_LOT_BORE};
    const gw_lot_region both = usable(&lot, 2, need);
    ck_close(both.area_m2, 25 * (17 - 2.5) + 25 * (57.5 - 33), 1e-12);
    const gw_lot_rig wide = {.enters_at = {15, 0}, .width_m = 5.2};
    need.rig = &wide;
    const gw_lot_region front = usable(&lot, 2, need);
    ck_close(front.area_m2, 25 * 14.5, 1e-12);
    const gw_lot_rig slim = {.enters_at = {15, -1}, .width_m = 4.8};
    need.rig = &slim;
    ck_close(usable(&lot, 2, need).area_m2, both.area_m2, 1e-12);
    const gw_lot_rig tall = {.enters_at = {15, 0}, .width_m = 4.8, .clearance_m = 6};
    need.rig = &tall;
    ck_close(usable(&lot, 2, need).area_m2, 25 * (14 - 2.5) + 25 * (57.5 - 36), 1e-12);
    end();
}
END_TEST

START_TEST(bad_needs_are_refused_by_field)
{
    begin();
    const gw_lot lot = {box_path(0, 0, 40, 30), NULL, 0};
    const gw_lot_ruleset set = {0};
    const gw_lot_site site = {&lot, &set};
    const gw_lot_rig no_width = {.enters_at = {1, 1}, .width_m = 0};
    const gw_lot_rig low = {.enters_at = {1, 1}, .width_m = 3, .clearance_m = -1};
    const gw_lot_rig nowhere = {.enters_at = {NOT_A_NUMBER, 1}, .width_m = 3};
    const gw_lot_rig away = {.enters_at = {-10, 1}, .width_m = 3};
    const struct {
        gw_lot_need need;
        const char *field;
        gw_status status;
    } bad[] = {
        {{.loop = GW_LOT_BORE, .half_width_m = -1}, "need.half_width_m", GW_ERR_RANGE},
        {{.loop = GW_LOT_BORE, .half_width_m = NOT_A_NUMBER}, "need.half_width_m", GW_ERR_RANGE},
        {{.loop = GW_LOT_BORE, .least_area_m2 = NOT_A_NUMBER}, "need.least_area_m2", GW_ERR_RANGE},
        {{.loop = GW_LOT_LOOP_COUNT}, "need.loop", GW_ERR_RANGE},
        {{.loop = GW_LOT_BORE, .rig = &no_width}, "need.rig.width_m", GW_ERR_RANGE},
        {{.loop = GW_LOT_BORE, .rig = &low}, "need.rig.clearance_m", GW_ERR_RANGE},
        {{.loop = GW_LOT_BORE, .rig = &nowhere}, "need.rig.enters_at", GW_ERR_RANGE},
        {{.loop = GW_LOT_BORE, .rig = &away}, "need.rig.enters_at", GW_ERR_GEOMETRY},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        gw_lot_region region;
        ck_assert_int_eq(gw_lot_find_usable(arena, &site, &bad[i].need, &region, &err),
                         bad[i].status);
        ck_assert_str_eq(err.field, bad[i].field);
    }
    end();
}
END_TEST

START_TEST(memory_that_runs_out_is_reported_at_every_step)
{
    const gw_lot_feature house = {.id = "h", .kind = GW_LOT_HOUSE};
    bool passed = false;
    for (size_t n = 0; n < 60 && !passed; n++) {
        begin();
        own[0] = rule(GW_LOT_HOUSE, 4);
        gw_lot_feature placed = house;
        placed.geometry = box_shape(15, 10, 25, 18);
        const gw_lot lot = {box_path(0, 0, 40, 30), &placed, 1};
        const gw_lot_ruleset set = {.own = {own, 1}};
        const gw_lot_site site = {&lot, &set};
        const gw_lot_need need = {.loop = GW_LOT_BORE};
        gw_lot_shares shares;
        gw_arena_fail_after(arena, n);
        const gw_status st = gw_lot_find_shares(arena, &site, &need, &shares, &err);
        ck_assert(st == GW_OK || st == GW_ERR_NOMEM);
        passed = st == GW_OK;
        end();
    }
    ck_assert(passed);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("usable");
    TCase *const cases = tcase_create("usable");
    tcase_add_test(cases, empty_lot_loses_its_property_line_strip);
    tcase_add_test(cases, house_in_the_middle_leaves_a_hole_with_rounded_corners);
    tcase_add_test(cases, arcs_depart_by_five_millimetres_at_most);
    tcase_add_test(cases, area_of_overlapping_discs_agrees_with_the_lens_formula);
    tcase_add_test(cases, turned_and_shifted_lot_keeps_its_area);
    tcase_add_test(cases, larger_setbacks_never_leave_more_ground);
    tcase_add_test(cases, no_ground_left_is_a_result_that_says_what_takes_the_room);
    tcase_add_test(cases, pieces_come_largest_first_and_slivers_can_be_dropped);
    tcase_add_test(cases, rig_cannot_reach_ground_behind_the_house);
    tcase_add_test(cases, bad_needs_are_refused_by_field);
    tcase_add_test(cases, memory_that_runs_out_is_reported_at_every_step);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
