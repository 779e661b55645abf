// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A farmhouse lot as a whole: what is placed keeps every distance, and what is moved by hand
// against the septic field is told so.
#include "lots.h"

#include "lot/bores.h"
#include "lot/fan.h"
#include "lot/lanes.h"
#include "lot/route.h"
#include "lot/serpentine.h"

static gw_lot_rules rules;
static gw_lot_ruleset set;
static gw_lot_feature things[11];
static gw_lot lot;
static gw_lot_site site;
static const gw_lot_point ENTRY = {52, 41}; // at the east wall

static void farm(const char *jurisdiction)
{
    begin();
    rules = shipped();
    set = (gw_lot_ruleset){.shipped = &rules, .jurisdiction = jurisdiction};
    const gw_lot_feature farm_things[11] = {
        {.id = "house", .kind = GW_LOT_HOUSE, .geometry = box_shape(40, 36, 52, 46)},
        {.id = "barn", .kind = GW_LOT_BUILDING, .geometry = box_shape(12, 60, 30, 72)},
        {.id = "tank", .kind = GW_LOT_SEPTIC_TANK, .geometry = box_shape(44, 50, 46, 53)},
        {.id = "bed",
         .kind = GW_LOT_SEPTIC_FIELD,
         .name = "septic bed",
         .geometry = box_shape(40, 60, 55, 72)},
        {.id = "well", .kind = GW_LOT_WELL, .geometry = disc(20, 30, 0.1)},
        {.id = "drive", .kind = GW_LOT_DRIVEWAY, .geometry = box_shape(36, -2, 40, 44)},
        {.id = "oak", .kind = GW_LOT_TREE, .name = "oak", .geometry = disc(80, 25, 6)},
        {.id = "power", .kind = GW_LOT_POWER_LINE, .geometry = line(46, 36, 46, -10, 0)},
        {.id = "water", .kind = GW_LOT_WATER_LINE, .geometry = line(20, 30, 40, 38, 0)},
        {.id = "creek", .kind = GW_LOT_WATERCOURSE, .geometry = line(-5, 95, 105, 102, 1)},
        {.id = "ease", .kind = GW_LOT_EASEMENT, .geometry = line(96, -5, 100, 105, 3)},
    };
    memcpy(things, farm_things, sizeof things);
    lot = (gw_lot){PATH(0, 0, 100, 0, 104, 100, 0, 96, 0, 0), things, 11};
    site = (gw_lot_site){&lot, &set};
    gw_err_list faults;
    gw_err_list_init(&faults, arena);
    ck_assert_msg(gw_lot_check(&lot, &faults, &err) == GW_OK, "%s", err.text);
}

static gw_lot_region ground_for(gw_lot_loop loop, double half)
{
    const gw_lot_need need = {.loop = loop, .half_width_m = half};
    gw_lot_region region;
    ck_assert_int_eq(gw_lot_find_usable(arena, &site, &need, &region, &err), GW_OK);
    ck_assert_uint_gt(region.count, 0);
    return region;
}

static gw_lot_violations broken(const gw_lot_item *items, size_t count, double spacing)
{
    const gw_lot_loop_plan plan = {items, count, spacing};
    gw_lot_violations found;
    ck_assert_int_eq(gw_lot_find_violations(arena, &site, &plan, &found, &err), GW_OK);
    return found;
}

static gw_lot_lanes trenches(void)
{
    const gw_lot_region ground = ground_for(GW_LOT_TRENCH, 0.3);
    const gw_lot_lane_request ask = {
        .total_m = 240, .spacing_m = 3, .least_m = 15, .longest_m = 60, .near = &ENTRY};
    gw_lot_lanes lanes;
    ck_assert_int_eq(gw_lot_place_lanes(arena, &ground, &ask, &lanes, &err), GW_OK);
    ck_assert_msg(lanes.fits && lanes.equal, "%s", lanes.text);
    return lanes;
}

static gw_lot_item *as_items(const gw_lot_lanes *lanes)
{
    gw_lot_item *const items = gw_arena_alloc(arena, lanes->count, sizeof *items);
    for (size_t i = 0; i < lanes->count; i++) {
        items[i] =
            (gw_lot_item){.loop = GW_LOT_TRENCH,
                          .geometry = line(lanes->items[i].from.x_m, lanes->items[i].from.y_m,
                                           lanes->items[i].to.x_m, lanes->items[i].to.y_m, 0.3)};
    }
    return items;
}

START_TEST(placed_trenches_keep_every_distance)
{
    const char *const places[] = {NULL, "us-me", "us-pa-hanover", "us-oh-middleburg", "ca-on"};
    for (size_t i = 0; i < 5; i++) {
        farm(places[i]);
        const gw_lot_lanes lanes = trenches();
        const gw_lot_violations found = broken(as_items(&lanes), lanes.count, 3);
        ck_assert_msg(found.count == 0, "%s", found.count > 0 ? found.items[0].text : "");
        end();
    }
}
END_TEST

START_TEST(trench_moved_against_the_septic_field_is_told_so)
{
    farm("us-me");
    const gw_lot_lanes lanes = trenches();
    gw_lot_item *const items = as_items(&lanes);
    items[0].name = "lane 1";
    items[0].geometry = line(60, 60, 60, 85, 0.3); // 5 m from the bed, less half the trench
    const gw_lot_violations found = broken(items, lanes.count, 0);
    ck_assert_uint_eq(found.count, 1);
    ck_assert_int_eq(found.items[0].feature, 3);
    ck_close(found.items[0].found_m, 4.7, 1e-12);
    ck_close(found.items[0].required_m, 15.24, 1e-12);
    ck_assert_str_eq(found.items[0].text,
                     "lane 1 is 4.70 m from septic bed; 15.24 m is required (local rule: Maine "
                     "10-144 C.M.R. ch. 232 section 6); 10.54 m short");
    end();
}
END_TEST

START_TEST(placed_bores_and_their_header_keep_every_distance)
{
    farm(NULL);
    const gw_lot_rig rig = {.enters_at = {38, 0}, .width_m = 3, .clearance_m = 5};
    const gw_lot_need need = {.loop = GW_LOT_BORE, .half_width_m = 0.075, .rig = &rig};
    gw_lot_region ground;
    ck_assert_int_eq(gw_lot_find_usable(arena, &site, &need, &ground, &err), GW_OK);
    const gw_lot_bore_request ask = {
        .count = 6, .least_spacing_m = 5, .wanted_spacing_m = 6, .near = &ENTRY};
    gw_lot_bores bores;
    ck_assert_int_eq(gw_lot_place_bores(arena, &ground, &ask, &bores, &err), GW_OK);
    ck_assert(bores.fits);
    gw_lot_item items[16];
    for (size_t i = 0; i < 6; i++) {
        items[i] = (gw_lot_item){.loop = GW_LOT_BORE,
                                 .geometry = disc(bores.at[i].x_m, bores.at[i].y_m, 0.075)};
    }
    const gw_lot_region allowed = ground_for(GW_LOT_HEADER, 0);
    const gw_lot_header_request join = {ENTRY, bores.at, 6, 0};
    gw_lot_header_tree tree;
    ck_assert_msg(gw_lot_find_header(arena, &allowed, &join, &tree, &err) == GW_OK, "%s", err.text);
    ck_assert_uint_eq(tree.count, 6);
    for (size_t i = 0; i < 6; i++) {
        items[6 + i] = (gw_lot_item){.loop = GW_LOT_HEADER,
                                     .geometry = {GW_LOT_LINE, tree.legs[i].route.path, 0}};
    }
    const gw_lot_violations found = broken(items, 12, 0);
    ck_assert_msg(found.count == 0, "%s", found.count > 0 ? found.items[0].text : "");
    ck_assert_double_ge(tree.length_m, 5 * 6);
    end();
}
END_TEST

START_TEST(lot_too_small_says_what_fits_and_what_takes_the_room)
{
    farm("us-me");
    const gw_lot_region ground = ground_for(GW_LOT_TRENCH, 0.3);
    const gw_lot_lane_request ask = {.total_m = 5000, .spacing_m = 3, .least_m = 15};
    gw_lot_lanes lanes;
    ck_assert_int_eq(gw_lot_place_lanes(arena, &ground, &ask, &lanes, &err), GW_OK);
    ck_assert(!lanes.fits);
    ck_assert_double_eq_tol(lanes.total_m, lanes.most_m, 1e-6);
    // Lanes s apart can hardly be longer together than the ground divided by s.
    ck_assert_double_le(lanes.most_m, 1.15 * ground.area_m2 / 3);
    ck_assert_double_ge(lanes.most_m, 0.8 * ground.area_m2 / 3);
    const gw_lot_need need = {.loop = GW_LOT_TRENCH, .half_width_m = 0.3};
    gw_lot_shares shares;
    ck_assert_int_eq(gw_lot_find_shares(arena, &site, &need, &shares, &err), GW_OK);
    ck_close(shares.usable_area_m2, ground.area_m2, 1e-12);
    ck_assert_int_eq(shares.takers[0].feature, 3); // the bed with 15.24 m all round
    ck_close(shares.takers[0].area_m2, 180 + 54 * 15.54 + PI * 15.54 * 15.54, 2e-3);
    ck_assert(strstr(shares.text, "by septic bed (") != NULL);
    end();
}
END_TEST

START_TEST(results_are_the_same_bits_every_time)
{
    farm("us-me");
    const gw_lot_lanes a = trenches();
    const gw_lot_lanes b = trenches();
    ck_assert_uint_eq(a.count, b.count);
    ck_assert_int_eq(memcmp(a.items, b.items, a.count * sizeof *a.items), 0);
    end();
}
END_TEST

// The whole of the room's work once; the first status that is not GW_OK.
static gw_status all_of_it(void)
{
    const gw_lot_need bore_need = {.loop = GW_LOT_BORE, .half_width_m = 0.075};
    const gw_lot_need header_need = {.loop = GW_LOT_HEADER};
    const gw_lot_bore_request ask = {.count = 5, .least_spacing_m = 5};
    const gw_lot_bore_request crowd = {.count = 9, .least_spacing_m = 35, .wanted_spacing_m = 36};
    const gw_lot_lane_request dig = {.total_m = 240, .spacing_m = 3, .least_m = 15};
    gw_lot_region ground, allowed;
    gw_lot_bores bores, many;
    gw_lot_lanes lanes;
    gw_lot_winding winding;
    gw_lot_header_tree tree;
    gw_lot_fan fan;
    gw_lot_violations found;
    const gw_lot_item item = {.loop = GW_LOT_BORE,
                              .geometry = {GW_LOT_CIRCLE, {things[4].geometry.path.points, 1}, 0}};
    const gw_lot_loop_plan plan = {&item, 1, 0};
    const gw_lot_fan_request slant = {.spot = {75, 80},
                                      .count = 3,
                                      .length_m = 20,
                                      .tilt_most_rad = 0.3,
                                      .radius_m = 0.075,
                                      .shallow_m = 6};
    gw_status st = gw_lot_find_usable(arena, &site, &bore_need, &ground, &err);
    st = st == GW_OK ? gw_lot_find_usable(arena, &site, &header_need, &allowed, &err) : st;
    st = st == GW_OK ? gw_lot_place_bores(arena, &ground, &ask, &bores, &err) : st;
    st = st == GW_OK ? gw_lot_place_bores(arena, &ground, &crowd, &many, &err) : st;
    st = st == GW_OK ? gw_lot_place_lanes(arena, &ground, &dig, &lanes, &err) : st;
    st = st == GW_OK ? gw_lot_wind_lanes(arena, &ground, &lanes, &winding, &err) : st;
    if (st == GW_OK) {
        const gw_lot_header_request join = {ENTRY, bores.at, 5, 0.01};
        st = gw_lot_find_header(arena, &allowed, &join, &tree, &err);
    }
    st = st == GW_OK ? gw_lot_place_fan(arena, &site, &slant, &fan, &err) : st;
    st = st == GW_OK ? gw_lot_find_violations(arena, &site, &plan, &found, &err) : st;
    return st;
}

START_TEST(memory_that_runs_out_is_reported_at_every_step)
{
    bool passed = false;
    for (size_t n = 0; n < 100000 && !passed; n += 1 + n / 12) {
        farm(NULL);
        gw_arena_fail_after(arena, n);
        const gw_status st = all_of_it();
        ck_assert_msg(st == GW_OK || st == GW_ERR_NOMEM, "after %zu: %s", n, err.text);
        passed = st == GW_OK;
        end();
    }
    ck_assert(passed);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("layout");
    TCase *const cases = tcase_create("layout");
    tcase_set_timeout(cases, 60);
    tcase_add_test(cases, placed_trenches_keep_every_distance);
    tcase_add_test(cases, trench_moved_against_the_septic_field_is_told_so);
    tcase_add_test(cases, placed_bores_and_their_header_keep_every_distance);
    tcase_add_test(cases, lot_too_small_says_what_fits_and_what_takes_the_room);
    tcase_add_test(cases, results_are_the_same_bits_every_time);
    tcase_add_test(cases, memory_that_runs_out_is_reported_at_every_step);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
