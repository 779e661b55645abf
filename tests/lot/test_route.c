// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Header routes round obstacles whose shortest way is known.
#include "lots.h"

#include "lot/route.h"

static gw_lot_route route(const gw_lot_region *ground, gw_lot_point from, gw_lot_point to)
{
    const gw_lot_trip trip = {from, to, 0.5};
    gw_lot_route out;
    ck_assert_msg(gw_lot_find_route(arena, ground, &trip, &out, &err) == GW_OK, "%s", err.text);
    ck_close(gw_lot_path_length_m(&out.path), out.length_m, 1e-12);
    ck_assert(out.path.points[0].x_m == from.x_m && out.path.points[0].y_m == from.y_m);
    const gw_lot_point last = out.path.points[out.path.count - 1];
    ck_assert(last.x_m == to.x_m && last.y_m == to.y_m);
    return out;
}

// 40 × 30 m with a box-shaped hole.
static gw_lot_region holed(gw_lot_path hole)
{
    gw_lot_polygon *const polygon = gw_arena_alloc(arena, 1, sizeof *polygon);
    gw_lot_path *const holes = gw_arena_alloc(arena, 1, sizeof *holes);
    *holes = hole;
    ck_assert(gw_lot_ring_area_m2(holes) < 0);
    *polygon =
        (gw_lot_polygon){box_path(0, 0, 40, 30), holes, 1, 1200 + gw_lot_ring_area_m2(holes)};
    return (gw_lot_region){polygon, 1, polygon->area_m2};
}

START_TEST(open_ground_is_crossed_straight)
{
    begin();
    const gw_lot_region ground = ground_of(box_path(0, 0, 40, 30));
    const gw_lot_route r = route(&ground, (gw_lot_point){3, 4}, (gw_lot_point){33, 28});
    ck_close(r.length_m, hypot(30, 24), 1e-14);
    ck_assert_uint_eq(r.path.count, 2);
    // Along the very edge as well, and from corner to corner.
    ck_close(route(&ground, (gw_lot_point){0, 0}, (gw_lot_point){40, 0}).length_m, 40, 1e-14);
    ck_close(route(&ground, (gw_lot_point){0, 0}, (gw_lot_point){40, 30}).length_m, 50, 1e-14);
    ck_assert_double_eq(route(&ground, (gw_lot_point){7, 7}, (gw_lot_point){7, 7}).length_m, 0);
    end();
}
END_TEST

START_TEST(box_is_rounded_by_its_nearer_corners)
{
    begin();
    const gw_lot_region ground = holed(PATH(15, 10, 15, 20, 25, 20, 25, 10, 15, 10));
    const gw_lot_route r = route(&ground, (gw_lot_point){5, 14}, (gw_lot_point){35, 14});
    // South round: to (15, 10), along 10 m, to (35, 14); north would be longer.
    ck_close(r.length_m, 2 * hypot(10, 4) + 10, 1e-13);
    ck_assert_uint_eq(r.path.count, 4);
    ck_close(r.path.points[1].y_m, 10, 1e-14);
    // Past one corner only.
    const gw_lot_route s = route(&ground, (gw_lot_point){5, 16}, (gw_lot_point){20, 9});
    ck_close(s.length_m, hypot(10, 6) + hypot(5, 1), 1e-13);
    // Touching a corner on the way is straight.
    const gw_lot_route t = route(&ground, (gw_lot_point){5, 20}, (gw_lot_point){25, 0});
    ck_close(t.length_m, hypot(20, 20), 1e-13);
    // Along the wall.
    const gw_lot_route u = route(&ground, (gw_lot_point){5, 10}, (gw_lot_point){35, 10});
    ck_close(u.length_m, 30, 1e-13);
    end();
}
END_TEST

START_TEST(round_obstacle_gives_tangents_and_an_arc)
{
    begin();
    const size_t n = 720;
    gw_lot_point *const ring = gw_arena_alloc(arena, n + 1, sizeof *ring);
    for (size_t i = 0; i <= n; i++) {
        const double a = -2 * PI * (double)(i % n) / (double)n;
        ring[i] = (gw_lot_point){20 + 6 * cos(a), 15 + 6 * sin(a)};
    }
    const gw_lot_region ground = holed((gw_lot_path){ring, n + 1});
    const double d = 14; // from either end to the centre
    const gw_lot_route r = route(&ground, (gw_lot_point){20 - d, 15}, (gw_lot_point){20 + d, 15});
    const double exact = 2 * sqrt(d * d - 36) + 6 * (PI - 2 * acos(6 / d));
    ck_close(r.length_m, exact, 1e-5);
    ck_assert_double_le(r.length_m, exact); // chords are shorter than the arc
    end();
}
END_TEST

START_TEST(notch_is_entered_round_its_corner)
{
    begin();
    // A U: from one arm to the other round the two inner corners.
    const gw_lot_region ground =
        ground_of(PATH(0, 0, 30, 0, 30, 20, 20, 20, 20, 10, 10, 10, 10, 20, 0, 20, 0, 0));
    const gw_lot_route r = route(&ground, (gw_lot_point){5, 20}, (gw_lot_point){25, 20});
    ck_close(r.length_m, 2 * hypot(5, 10) + 10, 1e-13);
    for (int k = 1; k < 7; k++) {
        const gw_lot_path turned = turn_path(&ground.polygons[0].outer, 0.8 * k, 3e3, -7e3);
        const gw_lot_region other = ground_of(turned);
        const gw_lot_route s = route(&other, turn((gw_lot_point){5, 20}, 0.8 * k, 3e3, -7e3),
                                     turn((gw_lot_point){25, 20}, 0.8 * k, 3e3, -7e3));
        ck_close(s.length_m, r.length_m, 1e-10);
    }
    end();
}
END_TEST

START_TEST(spike_along_the_line_of_sight_is_not_a_bridge)
{
    begin();
    // Two pieces of ground; a spike of the first runs along the line of sight and ends short of the
    // second. Turned by odd angles so that no coordinate is round.
    const gw_lot_path first = PATH(0, 0, 10, 0, 10, 2, 20, 2, 10, 4, 10, 10, 0, 10, 0, 0);
    const gw_lot_path second = PATH(26, 2, 40, 2, 40, 10, 30, 10, 26, 2);
    for (int k = 0; k < 60; k++) {
        const gw_lot_path a = turn_path(&first, 0.1237 * k, 6.4e5, 1.05e6);
        const gw_lot_path b = turn_path(&second, 0.1237 * k, 6.4e5, 1.05e6);
        const gw_lot_polygon two[] = {{.outer = a, .area_m2 = 110}, {.outer = b, .area_m2 = 96}};
        const gw_lot_region ground = {two, 2, 206};
        gw_lot_route out;
        const gw_lot_trip trip = {a.points[2], b.points[0], 0};
        ck_assert_int_eq(gw_lot_find_route(arena, &ground, &trip, &out, &err), GW_ERR_GEOMETRY);
        const gw_lot_trip along = {a.points[2], a.points[3], 0};
        ck_assert_int_eq(gw_lot_find_route(arena, &ground, &along, &out, &err), GW_OK);
        ck_close(out.length_m, 10, 1e-9);
    }
    end();
}
END_TEST

START_TEST(way_back_is_as_long)
{
    begin();
    const gw_lot_rules rules = shipped();
    const gw_lot_ruleset set = {.shipped = &rules};
    const gw_lot_feature things[] = {
        {.id = "h", .kind = GW_LOT_HOUSE, .geometry = box_shape(25, 40, 37, 49)},
        {.id = "s", .kind = GW_LOT_SEPTIC_FIELD, .geometry = box_shape(38, 55, 55, 70)},
        {.id = "t1", .kind = GW_LOT_TREE, .geometry = disc(20, 55, 3)},
        {.id = "t2", .kind = GW_LOT_TREE, .geometry = disc(29, 60, 4)},
        {.id = "r", .kind = GW_LOT_ROCK_OUTCROP, .geometry = box_shape(5, 66, 30, 70)},
    };
    const gw_lot lot = {PATH(0, 0, 60, 5, 55, 80, 0, 85, 0, 0), things, 5};
    const gw_lot_site site = {&lot, &set};
    const gw_lot_need need = {.loop = GW_LOT_HEADER, .half_width_m = 0.2};
    gw_lot_region ground;
    ck_assert_int_eq(gw_lot_find_usable(arena, &site, &need, &ground, &err), GW_OK);
    const gw_lot_point entry = {31, 49}; // at the wall, half the header's width off the ground
    for (int k = 0; k < 8; k++) {
        const gw_lot_point end = {6.0 + 5 * k, 76};
        const gw_lot_route there = route(&ground, entry, end);
        const gw_lot_route back = route(&ground, end, entry);
        ck_close(there.length_m, back.length_m, 1e-12);
        ck_assert_double_ge(there.length_m, gw_lot_distance_m(entry, end));
        const gw_lot_item item = {.loop = GW_LOT_HEADER,
                                  .geometry = {GW_LOT_LINE, there.path, 0.2}};
        const gw_lot_loop_plan plan = {&item, 1, 0};
        gw_lot_violations found;
        ck_assert_int_eq(gw_lot_find_violations(arena, &site, &plan, &found, &err), GW_OK);
        for (size_t i = 0; i < found.count; i++) {
            // Only the entry itself reaches into the wall, by half the header's width.
            ck_assert_msg(found.items[i].feature == 0 && found.items[i].shortfall_m < 0.2001, "%s",
                          found.items[i].text);
        }
    }
    end();
}
END_TEST

START_TEST(ends_off_the_ground_or_cut_off_are_refused)
{
    begin();
    const gw_lot_polygon two[] = {{.outer = box_path(0, 0, 10, 10), .area_m2 = 100},
                                  {.outer = box_path(20, 0, 30, 10), .area_m2 = 100}};
    const gw_lot_region ground = {two, 2, 200};
    gw_lot_route out;
    gw_lot_trip trip = {{5, 5}, {25, 5}, 0.5};
    ck_assert_int_eq(gw_lot_find_route(arena, &ground, &trip, &out, &err), GW_ERR_GEOMETRY);
    ck_assert(strstr(err.text, "no ground where a header may lie joins (5.00, 5.00) m") != NULL);
    trip = (gw_lot_trip){{5, 5}, {13, 5}, 2};
    ck_assert_int_eq(gw_lot_find_route(arena, &ground, &trip, &out, &err), GW_ERR_GEOMETRY);
    ck_assert(strstr(err.text, "(13.00, 5.00) m is not within 2.00 m") != NULL);
    trip = (gw_lot_trip){{5, 5}, {11, 5}, 2};
    ck_assert_int_eq(gw_lot_find_route(arena, &ground, &trip, &out, &err), GW_OK);
    ck_close(out.length_m, 6, 1e-14);
    const gw_lot_region none = {0};
    ck_assert_int_eq(gw_lot_find_route(arena, &none, &trip, &out, &err), GW_ERR_GEOMETRY);
    trip.reach_m = NOT_A_NUMBER;
    ck_assert_int_eq(gw_lot_find_route(arena, &ground, &trip, &out, &err), GW_ERR_RANGE);
    trip = (gw_lot_trip){{NOT_A_NUMBER, 5}, {11, 5}, 2};
    ck_assert_int_eq(gw_lot_find_route(arena, &ground, &trip, &out, &err), GW_ERR_RANGE);
    end();
}
END_TEST

START_TEST(tree_joins_every_end_by_the_shortest_legs)
{
    begin();
    const gw_lot_region ground = holed(PATH(15, 10, 15, 20, 25, 20, 25, 10, 15, 10));
    const gw_lot_point ends[] = {{35, 5}, {15, 5}, {25, 5}, {5, 25}};
    const gw_lot_header_request ask = {{5, 5}, ends, 4, 0};
    gw_lot_header_tree tree;
    ck_assert_int_eq(gw_lot_find_header(arena, &ground, &ask, &tree, &err), GW_OK);
    ck_assert_uint_eq(tree.count, 4);
    ck_close(tree.length_m, 10 + 10 + 10 + 20, 1e-12);
    ck_assert_uint_eq(tree.legs[0].end, 1);
    ck_assert_uint_eq(tree.legs[0].parent, 4); // the entry
    ck_assert_uint_eq(tree.legs[1].parent, 1);
    ck_assert_uint_eq(tree.legs[2].parent, 2);
    ck_assert_uint_eq(tree.legs[3].parent, 4);
    gw_lot_header_request none = ask;
    none.count = 0;
    ck_assert_int_eq(gw_lot_find_header(arena, &ground, &none, &tree, &err), GW_ERR_RANGE);
    end();
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("route");
    TCase *const cases = tcase_create("route");
    tcase_set_timeout(cases, 60);
    tcase_add_test(cases, open_ground_is_crossed_straight);
    tcase_add_test(cases, box_is_rounded_by_its_nearer_corners);
    tcase_add_test(cases, round_obstacle_gives_tangents_and_an_arc);
    tcase_add_test(cases, notch_is_entered_round_its_corner);
    tcase_add_test(cases, spike_along_the_line_of_sight_is_not_a_bridge);
    tcase_add_test(cases, way_back_is_as_long);
    tcase_add_test(cases, ends_off_the_ground_or_cut_off_are_refused);
    tcase_add_test(cases, tree_joins_every_end_by_the_shortest_legs);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
