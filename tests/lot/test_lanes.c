// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Trench lanes on ground whose answer can be counted.
#include "lots.h"

#include "lot/lanes.h"
#include "lot/serpentine.h"

static gw_lot_lanes place(const gw_lot_region *ground, gw_lot_lane_request ask)
{
    gw_lot_lanes lanes;
    ck_assert_msg(gw_lot_place_lanes(arena, ground, &ask, &lanes, &err) == GW_OK, "%s", err.text);
    double total = 0;
    for (size_t i = 0; i < lanes.count; i++) {
        const gw_lot_lane *const a = &lanes.items[i];
        ck_close(gw_lot_distance_m(a->from, a->to), a->length_m, 1e-9);
        total += a->length_m;
        for (int k = 0; k <= 10; k++) {
            const gw_lot_point p = {a->from.x_m + 0.1 * k * (a->to.x_m - a->from.x_m),
                                    a->from.y_m + 0.1 * k * (a->to.y_m - a->from.y_m)};
            ck_assert_msg(gw_lot_region_contains(ground, p), "(%.9f, %.9f) m", p.x_m, p.y_m);
        }
    }
    ck_assert_double_eq_tol(total, lanes.total_m, 1e-6);
    return lanes;
}

START_TEST(rectangle_takes_the_lanes_one_can_count)
{
    begin();
    // 30 × 12 m: along the long side, lanes at 0, 3, 6, 9, 12 m.
    const gw_lot_region ground = ground_of(box_path(0, 0, 30, 12));
    const gw_lot_lanes lanes =
        place(&ground, (gw_lot_lane_request){.total_m = 1000, .spacing_m = 3, .least_m = 5});
    ck_assert(!lanes.fits);
    ck_assert_uint_eq(lanes.count, 5);
    ck_close(lanes.total_m, 150, 1e-6);
    // Across, eleven lanes of 12 m only make 132 m.
    ck_close(lanes.most_m, 150, 1e-6);
    ck_assert_double_eq_tol(sin(lanes.direction_rad), 0, 1e-9);
    ck_assert_str_eq(lanes.text, "150.0 m of the 1000.0 m asked fit, in 5 lanes 3.00 m apart");
    end();
}
END_TEST

START_TEST(equal_lanes_are_as_few_as_reach_the_total)
{
    begin();
    const gw_lot_region ground = ground_of(box_path(0, 0, 30, 12));
    const gw_lot_lanes lanes =
        place(&ground, (gw_lot_lane_request){.total_m = 80, .spacing_m = 3, .least_m = 5});
    ck_assert(lanes.fits && lanes.equal);
    ck_assert_uint_eq(lanes.count, 3);
    for (size_t i = 0; i < 3; i++) {
        ck_close(lanes.items[i].length_m, 80.0 / 3, 1e-9);
    }
    ck_close(gw_lot_distance_m(lanes.items[0].from, lanes.items[1].from), 3, 1e-6);
    const gw_lot_lanes four = place(
        &ground, (gw_lot_lane_request){.total_m = 80, .spacing_m = 3, .least_m = 5, .count = 4});
    ck_assert_uint_eq(four.count, 4);
    ck_close(four.items[3].length_m, 20, 1e-9);
    const gw_lot_lanes shorter =
        place(&ground,
              (gw_lot_lane_request){.total_m = 80, .spacing_m = 3, .least_m = 5, .longest_m = 18});
    ck_assert(shorter.fits && shorter.equal);
    ck_assert_uint_eq(shorter.count, 5);
    ck_close(shorter.items[0].length_m, 16, 1e-9);
    end();
}
END_TEST

START_TEST(lanes_begin_near_the_house)
{
    begin();
    const gw_lot_region ground = ground_of(box_path(0, 0, 40, 30));
    const gw_lot_point house = {42, 2};
    const gw_lot_lanes lanes = place(
        &ground, (gw_lot_lane_request){
                     .total_m = 60, .spacing_m = 3, .least_m = 5, .near = &house, .count = 3});
    ck_assert(lanes.fits && lanes.equal);
    for (size_t i = 0; i < lanes.count; i++) {
        ck_assert_double_le(gw_lot_distance_m(lanes.items[i].from, house),
                            gw_lot_distance_m(lanes.items[i].to, house));
        ck_assert_double_le(gw_lot_distance_m(lanes.items[i].from, house), 9);
    }
    end();
}
END_TEST

START_TEST(turned_ground_is_found_by_the_search)
{
    begin();
    const gw_lot_path ring = box_path(0, 0, 50, 9);
    for (int k = 0; k < 9; k++) {
        const gw_lot_region ground = ground_of(turn_path(&ring, 0.37 * k, 100.0 * k, -40));
        const gw_lot_lanes lanes =
            place(&ground, (gw_lot_lane_request){.total_m = 195, .spacing_m = 3, .least_m = 5});
        ck_assert(lanes.fits && lanes.equal);
        ck_assert_uint_eq(lanes.count, 4);
        ck_assert_double_eq_tol(sin(lanes.direction_rad - 0.37 * k), 0, 1e-9);
    }
    end();
}
END_TEST

START_TEST(direction_of_no_edge_is_found)
{
    begin();
    // A rhombus with diagonals of 60 and 8 m: no chord along an edge is longer than the edge,
    // 30.3 m; only a row near the long diagonal holds 45 m.
    const gw_lot_region ground = ground_of(PATH(0, 4, -30, 0, 0, -4, 30, 0, 0, 4));
    const gw_lot_lanes lanes = place(
        &ground, (gw_lot_lane_request){.total_m = 45, .spacing_m = 3, .least_m = 5, .count = 1});
    ck_assert(lanes.fits);
    ck_assert_double_le(fabs(sin(lanes.direction_rad)), 0.05);
    end();
}
END_TEST

START_TEST(row_through_a_corner_is_cut_once)
{
    begin();
    // The second row, 3 m above the first (which lies 1e-7 m inside), meets the western corner.
    const gw_lot_region ground = ground_of(PATH(0, 0, 30, 0, 30, 6, 0, 6, -5, 3 + 1e-7, 0, 0));
    const double along = 0;
    const gw_lot_lanes lanes =
        place(&ground, (gw_lot_lane_request){
                           .total_m = 1000, .spacing_m = 3, .least_m = 5, .direction_rad = &along});
    ck_assert_uint_eq(lanes.count, 3);
    ck_close(lanes.total_m, 30 + 35 + 30, 1e-6);
    end();
}
END_TEST

START_TEST(given_direction_is_kept)
{
    begin();
    const gw_lot_region ground = ground_of(box_path(0, 0, 30, 12));
    const double across = PI / 2;
    const gw_lot_lanes lanes = place(
        &ground, (gw_lot_lane_request){
                     .total_m = 1000, .spacing_m = 3, .least_m = 5, .direction_rad = &across});
    ck_assert_uint_eq(lanes.count, 11);
    ck_close(lanes.total_m, 132, 1e-6);
    ck_close(lanes.direction_rad, across, 1e-15);
    end();
}
END_TEST

START_TEST(lanes_stop_at_a_hole)
{
    begin();
    const gw_lot_path hole = PATH(10, 0.5, 10, 5.5, 20, 5.5, 20, 0.5, 10, 0.5);
    const gw_lot_polygon polygon = {box_path(0, 0, 30, 6), &hole, 1, 130};
    const gw_lot_region ground = {&polygon, 1, 130};
    const double along = 0;
    const gw_lot_lanes lanes =
        place(&ground, (gw_lot_lane_request){
                           .total_m = 1000, .spacing_m = 3, .least_m = 5, .direction_rad = &along});
    // Rows at 0, 3, 6 m: whole, two pieces of 10 m, whole.
    ck_assert_uint_eq(lanes.count, 4);
    ck_close(lanes.total_m, 30 + 10 + 10 + 30, 1e-6);
    end();
}
END_TEST

START_TEST(unequal_lanes_when_equal_ones_do_not_reach)
{
    begin();
    // A triangle has no two equal rows: 3 m apart along the base 30, 25, 20, 15, 10, 5 m.
    const gw_lot_region ground = ground_of(PATH(0, 0, 30, 0, 0, 18, 0, 0));
    const double along = 0;
    const gw_lot_lanes lanes =
        place(&ground, (gw_lot_lane_request){
                           .total_m = 100, .spacing_m = 3, .least_m = 4, .direction_rad = &along});
    ck_assert(lanes.fits);
    ck_assert(!lanes.equal);
    ck_assert_double_eq_tol(lanes.total_m, 100, 1e-5);
    // At most n × (n-th longest) in equal lanes: 3 × 20 = 4 × 15 = 60.
    const gw_lot_lanes equal =
        place(&ground, (gw_lot_lane_request){
                           .total_m = 59.9, .spacing_m = 3, .least_m = 4, .direction_rad = &along});
    ck_assert(equal.fits && equal.equal);
    ck_assert_uint_eq(equal.count, 3);
    end();
}
END_TEST

START_TEST(too_small_a_lot_is_a_result)
{
    begin();
    const gw_lot_region none = {0};
    gw_lot_lanes lanes =
        place(&none, (gw_lot_lane_request){.total_m = 100, .spacing_m = 3, .least_m = 5});
    ck_assert(!lanes.fits);
    ck_assert_uint_eq(lanes.count, 0);
    const gw_lot_region yard = ground_of(box_path(0, 0, 3, 3));
    lanes = place(&yard, (gw_lot_lane_request){.total_m = 100, .spacing_m = 3, .least_m = 5});
    ck_assert_uint_eq(lanes.count, 0);
    ck_assert_str_eq(lanes.text, "no lane of 5.0 m or more fits on the usable ground");
    end();
}
END_TEST

START_TEST(winding_trench_goes_out_and_back)
{
    begin();
    const gw_lot_region ground = ground_of(box_path(0, 0, 30, 12));
    const gw_lot_lanes lanes =
        place(&ground, (gw_lot_lane_request){.total_m = 80, .spacing_m = 3, .least_m = 5});
    gw_lot_winding winding;
    ck_assert_int_eq(gw_lot_wind_lanes(arena, &ground, &lanes, &winding, &err), GW_OK);
    ck_close(winding.joins_m, 6, 1e-6); // three lanes, two joins of 3 m
    ck_close(winding.length_m, 86, 1e-6);
    ck_assert_uint_eq(winding.path.count, 6);
    const gw_lot_lanes none = {0};
    ck_assert_int_eq(gw_lot_wind_lanes(arena, &ground, &none, &winding, &err), GW_ERR_MISSING);
    end();
}
END_TEST

START_TEST(winding_trench_goes_round_what_stands_between)
{
    begin();
    // A wall 1 m thick from the west edge to x = 20 parts two lanes 6 m apart.
    const gw_lot_region ground =
        ground_of(PATH(0, 0, 30, 0, 30, 7, 0, 7, 0, 4, 20, 4, 20, 3, 0, 3, 0, 0));
    const gw_lot_lane two[] = {{{15, 0.5}, {5, 0.5}, 10}, {{15, 6.5}, {5, 6.5}, 10}};
    const gw_lot_lanes lanes = {.items = two, .count = 2, .total_m = 20};
    gw_lot_winding winding;
    ck_assert_int_eq(gw_lot_wind_lanes(arena, &ground, &lanes, &winding, &err), GW_OK);
    // From (5, 0.5) round (20, 3) and (20, 4) to (15, 6.5), the nearer end.
    ck_close(winding.joins_m, hypot(15, 2.5) + 1 + hypot(5, 2.5), 1e-12);
    ck_close(winding.length_m, 20 + winding.joins_m, 1e-12);
    end();
}
END_TEST

START_TEST(bad_requests_are_refused_by_field)
{
    begin();
    const gw_lot_region ground = ground_of(box_path(0, 0, 20, 10));
    const double nan = NOT_A_NUMBER;
    const gw_lot_point nowhere = {0, HUGE_VAL};
    const gw_lot_lane_request good = {.total_m = 50, .spacing_m = 3, .least_m = 5};
    gw_lot_lane_request bad[10];
    const char *const fields[10] = {"lanes.total_m",   "lanes.total_m", "lanes.spacing_m",
                                    "lanes.spacing_m", "lanes.least_m", "lanes.least_m",
                                    "lanes.longest_m", "lanes.count",   "lanes.direction_rad",
                                    "lanes.near"};
    for (size_t i = 0; i < 10; i++) {
        bad[i] = good;
    }
    bad[0].total_m = 0;
    bad[1].total_m = NOT_A_NUMBER;
    bad[2].spacing_m = 0.1;
    bad[3].spacing_m = NOT_A_NUMBER;
    bad[4].least_m = 0;
    bad[5].least_m = NOT_A_NUMBER;
    bad[6].longest_m = 2;
    bad[7].count = 3000;
    bad[8].direction_rad = &nan;
    bad[9].near = &nowhere;
    for (size_t i = 0; i < 10; i++) {
        gw_lot_lanes lanes;
        ck_assert_int_eq(gw_lot_place_lanes(arena, &ground, &bad[i], &lanes, &err), GW_ERR_RANGE);
        ck_assert_str_eq(err.field, fields[i]);
    }
    end();
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("lanes");
    TCase *const cases = tcase_create("lanes");
    tcase_set_timeout(cases, 60);
    tcase_add_test(cases, rectangle_takes_the_lanes_one_can_count);
    tcase_add_test(cases, equal_lanes_are_as_few_as_reach_the_total);
    tcase_add_test(cases, lanes_begin_near_the_house);
    tcase_add_test(cases, turned_ground_is_found_by_the_search);
    tcase_add_test(cases, direction_of_no_edge_is_found);
    tcase_add_test(cases, row_through_a_corner_is_cut_once);
    tcase_add_test(cases, given_direction_is_kept);
    tcase_add_test(cases, lanes_stop_at_a_hole);
    tcase_add_test(cases, unequal_lanes_when_equal_ones_do_not_reach);
    tcase_add_test(cases, too_small_a_lot_is_a_result);
    tcase_add_test(cases, winding_trench_goes_out_and_back);
    tcase_add_test(cases, winding_trench_goes_round_what_stands_between);
    tcase_add_test(cases, bad_requests_are_refused_by_field);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
