// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Broken distances: what is found, what is asked, by which rule, and in which words.
#include "lots.h"

static gw_lot_violations find(const gw_lot *lot, const gw_lot_ruleset *set,
                              const gw_lot_item *items, size_t count)
{
    const gw_lot_site site = {lot, set};
    const gw_lot_loop_plan plan = {items, count, 0};
    gw_lot_violations found;
    ck_assert_msg(gw_lot_find_violations(arena, &site, &plan, &found, &err) == GW_OK, "%s",
                  err.text);
    return found;
}

static gw_lot_item bore_at(double x, double y)
{
    return (gw_lot_item){.loop = GW_LOT_BORE, .geometry = disc(x, y, 0.075)};
}

START_TEST(distance_found_and_asked_are_exact)
{
    begin();
    gw_lot_rule own = rule(GW_LOT_HOUSE, 4.572);
    own.source = "North Carolina 2011";
    const gw_lot_ruleset set = {.own = {&own, 1}};
    const gw_lot_feature house = {
        .id = "h", .kind = GW_LOT_HOUSE, .name = "cottage", .geometry = box_shape(10, 10, 20, 18)};
    const gw_lot lot = {box_path(0, 0, 40, 30), &house, 1};
    const gw_lot_item bore = bore_at(23, 22); // 3-4-5 from the corner
    gw_lot_violations found = find(&lot, &set, &bore, 1);
    ck_assert_uint_eq(found.count, 0);        // 5 - 0.075 > 4.572
    gw_lot_item nearer = bore_at(21.8, 20.4); // 3 m from the corner
    nearer.geometry.radius_m = 0.07;
    found = find(&lot, &set, &nearer, 1);
    ck_assert_uint_eq(found.count, 1);
    const gw_lot_violation *const v = &found.items[0];
    ck_assert_int_eq(v->feature, 0);
    ck_assert_uint_eq(v->item, 0);
    ck_close(v->found_m, 2.93, 1e-13);
    ck_close(v->required_m, 4.572, 1e-15);
    ck_close(v->shortfall_m, 4.572 - 2.93, 1e-13);
    ck_close(v->at_feature.x_m, 20, 1e-15);
    ck_close(v->at_feature.y_m, 18, 1e-15);
    ck_close(gw_lot_distance_m(v->at_item, v->at_feature), v->found_m, 1e-13);
    ck_assert_ptr_eq(v->setback.rule, &own);
    ck_assert_str_eq(v->text, "bore 1 is 2.93 m from cottage; 4.57 m is required (this job's rule: "
                              "North Carolina 2011); 1.64 m short");
    end();
}
END_TEST

START_TEST(ten_millimetres_are_forgiven_and_eleven_not)
{
    begin();
    gw_lot_rule own = rule(GW_LOT_WELL, 30);
    const gw_lot_ruleset set = {.own = {&own, 1}};
    const gw_lot_feature well = {.id = "w", .kind = GW_LOT_WELL, .geometry = disc(50, 50, 0.1)};
    const gw_lot lot = {box_path(0, 0, 100, 100), &well, 1};
    const double edge = 50 + 0.1 + 30 + 0.075;
    const gw_lot_item items[] = {bore_at(edge, 50), bore_at(edge - 0.0099, 50),
                                 bore_at(edge - 0.0111, 50)};
    const gw_lot_violations found = find(&lot, &set, items, 3);
    ck_assert_uint_eq(found.count, 1);
    ck_assert_uint_eq(found.items[0].item, 2);
    ck_close(found.items[0].shortfall_m, 0.0111, 1e-9);
    end();
}
END_TEST

START_TEST(property_line_holds_even_without_a_rule)
{
    begin();
    const gw_lot_ruleset none = {0};
    const gw_lot lot = {box_path(0, 0, 40, 30), NULL, 0};
    const gw_lot_item items[] = {
        bore_at(20, 15),
        {.name = "north lane", .loop = GW_LOT_TRENCH, .geometry = line(10, 28, 10, 33, 0.3)},
    };
    gw_lot_violations found = find(&lot, &none, items, 2);
    ck_assert_uint_eq(found.count, 1);
    ck_assert_uint_eq(found.items[0].item, 1);
    ck_assert_int_eq(found.items[0].feature, GW_LOT_NO_FEATURE);
    ck_assert_int_eq(found.items[0].other, GW_LOT_NO_FEATURE);
    ck_close(found.items[0].found_m, -3.3, 1e-13);
    ck_assert(strstr(found.items[0].text, "north lane reaches 3.30 m beyond the property line") !=
              NULL);
    gw_lot_rule own = rule(GW_LOT_PROPERTY_LINE, 3);
    const gw_lot_ruleset set = {.own = {&own, 1}};
    const gw_lot_item near = bore_at(2, 15);
    found = find(&lot, &set, &near, 1);
    ck_assert_uint_eq(found.count, 1);
    ck_close(found.items[0].shortfall_m, 3 - 1.925, 1e-13);
    end();
}
END_TEST

START_TEST(zero_distance_allows_touching_not_crossing)
{
    begin();
    gw_lot_rule own = rule(GW_LOT_DRIVEWAY, 0);
    const gw_lot_ruleset set = {.own = {&own, 1}};
    const gw_lot_feature drive = {
        .id = "d", .kind = GW_LOT_DRIVEWAY, .geometry = box_shape(10, -5, 14, 20)};
    const gw_lot lot = {box_path(0, 0, 40, 30), &drive, 1};
    const gw_lot_item items[] = {
        {.loop = GW_LOT_TRENCH, .geometry = line(14.3, 5, 30, 5, 0.3)},
        {.loop = GW_LOT_TRENCH, .geometry = line(5, 10, 30, 10, 0.3)},
        {.loop = GW_LOT_TRENCH, .geometry = line(5, 25, 30, 25, 0.3)},
    };
    const gw_lot_violations found = find(&lot, &set, items, 3);
    ck_assert_uint_eq(found.count, 1);
    ck_assert_uint_eq(found.items[0].item, 1);
    ck_close(found.items[0].found_m, -2.3, 1e-13); // 2 m deep in the middle, and half its width
    ck_assert(strstr(found.items[0].text, "lies 2.30 m inside driveway") != NULL);
    end();
}
END_TEST

START_TEST(deep_part_of_a_bore_minds_only_what_reaches_down)
{
    begin();
    const gw_lot_rules rules = shipped();
    const gw_lot_ruleset set = {.shipped = &rules};
    const gw_lot_feature things[] = {
        {.id = "h", .kind = GW_LOT_HOUSE, .geometry = box_shape(45, 45, 55, 55)},
        {.id = "w", .kind = GW_LOT_WELL, .geometry = disc(80, 50, 0.1)},
        {.id = "t", .kind = GW_LOT_TREE, .geometry = disc(40, 50, 3)},
    };
    const gw_lot lot = {box_path(0, 0, 100, 100), things, 3};
    gw_lot_item bore = {.loop = GW_LOT_BORE, .geometry = line(30, 50, 60, 50, 0.075)};
    ck_assert_uint_eq(find(&lot, &set, &bore, 1).count, 3);
    bore.deep = true;
    const gw_lot_violations found = find(&lot, &set, &bore, 1);
    ck_assert_uint_eq(found.count, 1);
    ck_assert_int_eq(found.items[0].feature, 1);
    ck_close(found.items[0].found_m, 20 - 0.1 - 0.075, 1e-12);
    end();
}
END_TEST

START_TEST(spacing_is_measured_between_centre_lines_of_one_kind)
{
    begin();
    const gw_lot_ruleset none = {0};
    const gw_lot lot = {box_path(0, 0, 40, 30), NULL, 0};
    const gw_lot_item items[] = {bore_at(10, 10),
                                 bore_at(14, 10),
                                 bore_at(14, 15.5),
                                 {.loop = GW_LOT_TRENCH, .geometry = line(11, 0.5, 11, 25, 0.3)}};
    const gw_lot_site site = {&lot, &none};
    const gw_lot_loop_plan plan = {items, 4, 5};
    gw_lot_violations found;
    ck_assert_int_eq(gw_lot_find_violations(arena, &site, &plan, &found, &err), GW_OK);
    ck_assert_uint_eq(found.count, 1);
    ck_assert_int_eq(found.items[0].other, 1);
    ck_close(found.items[0].found_m, 4, 1e-14);
    ck_close(found.items[0].shortfall_m, 1, 1e-14);
    ck_assert_str_eq(
        found.items[0].text,
        "bore 1 is 4.00 m from bore 2, centre to centre; 5.00 m is asked; 1.00 m short");
    end();
}
END_TEST

START_TEST(turned_lot_gives_the_same_distances)
{
    begin();
    const gw_lot_rules rules = shipped();
    const gw_lot_ruleset set = {.shipped = &rules, .jurisdiction = "us-me"};
    const gw_lot_feature things[] = {
        {.id = "h", .kind = GW_LOT_HOUSE, .geometry = box_shape(25, 40, 37, 49)},
        {.id = "s", .kind = GW_LOT_SEPTIC_FIELD, .geometry = box_shape(40, 60, 52, 70)},
        {.id = "w", .kind = GW_LOT_WELL, .geometry = disc(10, 75, 0.1)},
        {.id = "p", .kind = GW_LOT_POWER_LINE, .geometry = line(30, 40, 30, 5, 0)},
    };
    const gw_lot lot = {PATH(0, 0, 60, 0, 60, 85, 0, 85, 0, 0), things, 4};
    const gw_lot_item lane = {.loop = GW_LOT_TRENCH, .geometry = line(5, 28, 50, 55, 0.3)};
    const gw_lot_violations first = find(&lot, &set, &lane, 1);
    ck_assert_uint_ge(first.count, 3);
    for (int k = 1; k < 6; k++) {
        const gw_lot turned = turn_lot(&lot, 1.1 * k, 4000, 300.0 * k);
        gw_lot_item other = lane;
        other.geometry.path = turn_path(&lane.geometry.path, 1.1 * k, 4000, 300.0 * k);
        const gw_lot_violations found = find(&turned, &set, &other, 1);
        ck_assert_uint_eq(found.count, first.count);
        for (size_t i = 0; i < found.count; i++) {
            ck_assert_double_eq_tol(found.items[i].found_m, first.items[i].found_m, 1e-9);
            ck_assert_int_eq(found.items[i].feature, first.items[i].feature);
        }
    }
    end();
}
END_TEST

START_TEST(usable_ground_and_violations_agree_at_random_places)
{
    begin();
    const gw_lot_rules rules = shipped();
    const gw_lot_ruleset set = {.shipped = &rules};
    const gw_lot_feature things[] = {
        {.id = "h", .kind = GW_LOT_HOUSE, .geometry = box_shape(25, 40, 37, 49)},
        {.id = "s",
         .kind = GW_LOT_SEPTIC_FIELD,
         .geometry = {GW_LOT_POLYGON, PATH(60, 80, 75, 85, 70, 98, 58, 90, 60, 80), 0}},
        {.id = "w", .kind = GW_LOT_WELL, .geometry = disc(10, 75, 0.1)},
        {.id = "p", .kind = GW_LOT_POWER_LINE, .geometry = line(30, 40, 38, -5, 0)},
        {.id = "t", .kind = GW_LOT_TREE, .geometry = disc(85, 12, 4)},
        {.id = "e", .kind = GW_LOT_EASEMENT, .geometry = line(0, 20, 90, 30, 3)},
        {.id = "r", .kind = GW_LOT_ROCK_OUTCROP, .geometry = box_shape(80, 40, 90, 50)},
    };
    const gw_lot lot = {PATH(0, 0, 95, 5, 100, 60, 80, 110, 20, 100, 0, 60, 0, 0), things, 7};
    const gw_lot_site site = {&lot, &set};
    const gw_lot_need need = {.loop = GW_LOT_BORE, .half_width_m = 0.075};
    gw_lot_region region;
    ck_assert_int_eq(gw_lot_find_usable(arena, &site, &need, &region, &err), GW_OK);
    size_t inside = 0;
    for (int i = 0; i < 4000; i++) {
        // Points of a Halton sequence: spread evenly, the same every run.
        double x = 0;
        double y = 0;
        double f = 0.5;
        for (int n = i + 1; n > 0; n /= 2, f /= 2) {
            x += f * (n % 2);
        }
        f = 1.0 / 3;
        for (int n = i + 1; n > 0; n /= 3, f /= 3) {
            y += f * (n % 3);
        }
        const gw_lot_item bore = bore_at(110 * x - 5, 120 * y - 5);
        const gw_lot_violations found = find(&lot, &set, &bore, 1);
        if (gw_lot_region_contains(&region, bore.geometry.path.points[0])) {
            inside++;
            ck_assert_msg(found.count == 0, "%s", found.items[0].text);
        } else {
            // Outside: a distance is short, if only by the slack.
            const gw_lot_point near =
                gw_lot_nearest_on_region(&region, bore.geometry.path.points[0]);
            const double off = gw_lot_distance_m(near, bore.geometry.path.points[0]);
            ck_assert_msg(found.count > 0 || off < 0.02, "(%g, %g): %g m off", 110 * x - 5,
                          120 * y - 5, off);
        }
    }
    ck_assert_uint_gt(inside, 400);
    end();
}
END_TEST

START_TEST(bad_items_are_refused_by_number)
{
    begin();
    const gw_lot_ruleset none = {0};
    const gw_lot lot = {box_path(0, 0, 40, 30), NULL, 0};
    const gw_lot_site site = {&lot, &none};
    gw_lot_violations found;
    const gw_lot_geometry bad[] = {{GW_LOT_CIRCLE, PATH(1, 1, 2, 2), 0.1},
                                   {GW_LOT_LINE, PATH(1, 1), 0.1},
                                   {GW_LOT_POLYGON, PATH(1, 1, 2, 2, 3, 1), 0},
                                   {GW_LOT_CIRCLE, PATH(NOT_A_NUMBER, 1), 0.1},
                                   {GW_LOT_CIRCLE, PATH(1, 1), -0.1},
                                   {GW_LOT_CIRCLE, PATH(1, 1), NOT_A_NUMBER},
                                   {GW_LOT_POLYGON, PATH(1, 1, 2, 1, 2, 2, 1, 2), 0}};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        const gw_lot_item items[] = {bore_at(5, 5), {.loop = GW_LOT_BORE, .geometry = bad[i]}};
        const gw_lot_loop_plan plan = {items, 2, 0};
        const gw_status st = gw_lot_find_violations(arena, &site, &plan, &found, &err);
        ck_assert(st == GW_ERR_GEOMETRY || st == GW_ERR_RANGE);
        ck_assert_str_eq(err.field, "loop.items[1].geometry");
    }
    const gw_lot_loop_plan plan = {NULL, 0, -1};
    ck_assert_int_eq(gw_lot_find_violations(arena, &site, &plan, &found, &err), GW_ERR_RANGE);
    end();
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("violation");
    TCase *const cases = tcase_create("violation");
    tcase_add_test(cases, distance_found_and_asked_are_exact);
    tcase_add_test(cases, ten_millimetres_are_forgiven_and_eleven_not);
    tcase_add_test(cases, property_line_holds_even_without_a_rule);
    tcase_add_test(cases, zero_distance_allows_touching_not_crossing);
    tcase_add_test(cases, deep_part_of_a_bore_minds_only_what_reaches_down);
    tcase_add_test(cases, spacing_is_measured_between_centre_lines_of_one_kind);
    tcase_add_test(cases, turned_lot_gives_the_same_distances);
    tcase_add_test(cases, usable_ground_and_violations_agree_at_random_places);
    tcase_add_test(cases, bad_items_are_refused_by_number);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
