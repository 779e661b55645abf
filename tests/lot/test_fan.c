// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Slanting bores from one spot.
#include "lots.h"

#include "lot/fan.h"

static const gw_lot_fan_request ASK = {.spot = {50, 50},
                                       .collar_ring_m = 1,
                                       .count = 4,
                                       .length_m = 90,
                                       .tilt_least_rad = 0.1,
                                       .tilt_most_rad = PI / 6,
                                       .radius_m = 0.075,
                                       .shallow_m = 6};

static gw_lot_fan place(const gw_lot *lot, const gw_lot_ruleset *set, gw_lot_fan_request ask)
{
    const gw_lot_site site = {lot, set};
    gw_lot_fan fan;
    ck_assert_msg(gw_lot_place_fan(arena, &site, &ask, &fan, &err) == GW_OK, "%s", err.text);
    for (size_t i = 0; i < fan.count; i++) {
        const gw_lot_slant_bore *const b = &fan.bores[i];
        ck_close(hypot(gw_lot_distance_m(b->collar, b->toe), b->depth_m), ask.length_m, 1e-12);
        ck_close(gw_lot_distance_m(b->collar, ask.spot), ask.collar_ring_m, 1e-12);
        ck_assert_double_eq_tol(
            sin(atan2(b->toe.x_m - ask.spot.x_m, b->toe.y_m - ask.spot.y_m) - b->azimuth_rad), 0,
            1e-9);
    }
    return fan;
}

START_TEST(four_bores_on_open_ground_form_a_cross)
{
    begin();
    const gw_lot_rules rules = shipped();
    const gw_lot_ruleset set = {.shipped = &rules};
    const gw_lot lot = {box_path(0, 0, 100, 100), NULL, 0};
    const gw_lot_fan fan = place(&lot, &set, ASK);
    ck_assert(fan.fits);
    ck_assert_uint_eq(fan.count, 4);
    // Toes on a circle of 1 + 90 sin 30° = 46 m, a square: √2 × 46 m apart.
    ck_close(fan.toe_spacing_m, 46 * sqrt(2), 1e-9);
    ck_close(fan.bores[0].depth_m, 90 * cos(PI / 6), 1e-12);
    end();
}
END_TEST

START_TEST(tilt_is_held_back_by_the_property_line)
{
    begin();
    gw_lot_rule own = rule(GW_LOT_PROPERTY_LINE, 3);
    const gw_lot_ruleset set = {.own = {&own, 1}};
    const gw_lot lot = {box_path(30, 30, 70, 70), NULL, 0};
    const gw_lot_fan fan = place(&lot, &set, ASK);
    ck_assert_uint_eq(fan.count, 4);
    for (size_t i = 0; i < 4; i++) {
        const gw_lot_point toe = fan.bores[i].toe;
        ck_assert_double_ge(
            fmin(fmin(toe.x_m - 30, 70 - toe.x_m), fmin(toe.y_m - 30, 70 - toe.y_m)),
            3 + 0.075 - GW_LOT_SLACK_M);
        ck_assert_double_lt(fan.bores[i].tilt_rad, PI / 6);
    }
    end();
}
END_TEST

START_TEST(well_keeps_the_fan_on_the_other_side)
{
    begin();
    gw_lot_rule own[] = {rule(GW_LOT_WELL, 30)};
    const gw_lot_ruleset set = {.own = {own, 1}};
    const gw_lot_feature well = {.id = "w", .kind = GW_LOT_WELL, .geometry = disc(90, 50, 0)};
    const gw_lot lot = {box_path(0, 0, 100, 100), &well, 1};
    const gw_lot_fan fan = place(&lot, &set, ASK);
    ck_assert_uint_eq(fan.count, 4);
    for (size_t i = 0; i < 4; i++) {
        const gw_lot_geometry trace = {GW_LOT_LINE,
                                       PATH(fan.bores[i].collar.x_m, fan.bores[i].collar.y_m,
                                            fan.bores[i].toe.x_m, fan.bores[i].toe.y_m),
                                       0.075};
        gw_lot_gap gap;
        gw_lot_measure_gap(&trace, &well.geometry, &gap);
        ck_assert_double_ge(gap.gap_m, 30 - GW_LOT_SLACK_M);
    }
    end();
}
END_TEST

START_TEST(deep_under_a_house_is_allowed_shallow_is_not)
{
    begin();
    gw_lot_rule own = rule(GW_LOT_HOUSE, 2);
    const gw_lot_ruleset set = {.own = {&own, 1}};
    const gw_lot_feature house = {
        .id = "h", .kind = GW_LOT_HOUSE, .geometry = box_shape(60, 40, 70, 60)};
    const gw_lot lot = {box_path(0, 0, 100, 100), &house, 1};
    gw_lot_fan_request ask = ASK;
    ck_close(place(&lot, &set, ask).toe_spacing_m, 46 * sqrt(2), 1e-9);
    ask.shallow_m = 40; // reaches 23 m out: no longer eastward at full tilt
    ck_assert_double_lt(place(&lot, &set, ask).toe_spacing_m, 46 * sqrt(2) - 0.1);
    end();
}
END_TEST

START_TEST(spot_where_nothing_may_be_drilled_is_a_result)
{
    begin();
    gw_lot_rule own = rule(GW_LOT_WELL, 30);
    const gw_lot_ruleset set = {.own = {&own, 1}};
    const gw_lot_feature well = {.id = "w", .kind = GW_LOT_WELL, .geometry = disc(55, 50, 0)};
    const gw_lot lot = {box_path(0, 0, 100, 100), &well, 1};
    const gw_lot_fan fan = place(&lot, &set, ASK);
    ck_assert(!fan.fits);
    ck_assert_uint_eq(fan.count, 0);
    ck_assert_str_eq(fan.text, "no bore from (50.00, 50.00) m keeps its distances");
    end();
}
END_TEST

START_TEST(upright_bores_from_one_point_are_one_bore)
{
    begin();
    const gw_lot_ruleset none = {0};
    const gw_lot lot = {box_path(0, 0, 100, 100), NULL, 0};
    gw_lot_fan_request ask = ASK;
    ask.collar_ring_m = 0;
    ask.tilt_least_rad = ask.tilt_most_rad = 0;
    const gw_lot_site site = {&lot, &none};
    gw_lot_fan fan;
    ck_assert_int_eq(gw_lot_place_fan(arena, &site, &ask, &fan, &err), GW_OK);
    ck_assert_uint_eq(fan.count, 1);
    ck_assert(!fan.fits);
    ck_assert_str_eq(fan.text, "1 of 4 bores from one spot");
    end();
}
END_TEST

START_TEST(bad_requests_are_refused_by_field)
{
    begin();
    const gw_lot_ruleset none = {0};
    const gw_lot lot = {box_path(0, 0, 100, 100), NULL, 0};
    const gw_lot_site site = {&lot, &none};
    gw_lot_fan_request bad[9];
    for (size_t i = 0; i < 9; i++) {
        bad[i] = ASK;
    }
    bad[0].spot.x_m = NOT_A_NUMBER;
    bad[1].collar_ring_m = -1;
    bad[2].count = 0;
    bad[3].count = 37;
    bad[4].length_m = 1;
    bad[5].tilt_least_rad = NOT_A_NUMBER;
    bad[6].tilt_most_rad = 0.05;
    bad[7].radius_m = 1;
    bad[8].shallow_m = -1;
    const char *const fields[9] = {"fan.spot",          "fan.collar_ring_m", "fan.count",
                                   "fan.count",         "fan.length_m",      "fan.tilt_least_rad",
                                   "fan.tilt_most_rad", "fan.radius_m",      "fan.shallow_m"};
    for (size_t i = 0; i < 9; i++) {
        gw_lot_fan fan;
        ck_assert_int_eq(gw_lot_place_fan(arena, &site, &bad[i], &fan, &err), GW_ERR_RANGE);
        ck_assert_str_eq(err.field, fields[i]);
    }
    end();
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("fan");
    TCase *const cases = tcase_create("fan");
    tcase_set_timeout(cases, 60);
    tcase_add_test(cases, four_bores_on_open_ground_form_a_cross);
    tcase_add_test(cases, tilt_is_held_back_by_the_property_line);
    tcase_add_test(cases, well_keeps_the_fan_on_the_other_side);
    tcase_add_test(cases, deep_under_a_house_is_allowed_shallow_is_not);
    tcase_add_test(cases, spot_where_nothing_may_be_drilled_is_a_result);
    tcase_add_test(cases, upright_bores_from_one_point_are_one_bore);
    tcase_add_test(cases, bad_requests_are_refused_by_field);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
