// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The lot on the plan: distances against hand-worked ones, three sizes of lot on every paper.
#include "draw/dxf.h"
#include "draw/view.h"
#include "report/permit.h"

#include "harness.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct {
    gw_arena *arena;
    gw_units *units;
    gw_form_report report;
    gw_err err;
    const gw_design *design;
} desk;

#define P(x, y) "{\"x_m\": " #x ", \"y_m\": " #y "}"

// 18 × 30 m with a house, services, a driveway and a tree; three bores in the garden.
static const char URBAN[] = "{\"boundary\": [" P(0, 0) "," P(18, 0) "," P(18, 30) "," P(
    0, 30) "], \"features\": ["
           "{\"id\": \"house\", \"kind\": \"house\", \"points\": [" P(4, 8) "," P(13, 8) "," P(
               13,
               17) "," P(4, 17) "]},"
                                "{\"id\": \"water\", \"kind\": \"water_line\", \"shape\": "
                                "\"line\", \"points\": [" P(9, 0) "," P(
                                    9, 8) "]},"
                                          "{\"id\": \"drive\", \"kind\": \"driveway\", \"points\": "
                                          "[" P(13.5, 0) "," P(16.5, 0) "," P(16.5, 12) "," P(
                                              13.5, 12) "]},"
                                                        "{\"id\": \"maple\", \"kind\": \"tree\", "
                                                        "\"shape\": \"circle\", \"points\": [" P(
                                                            3, 26) "], \"radius_m\": 2}],"
                                                                   "\"entry\": " P(8, 17) "}";
static const char URBAN_PLACES[] = P(4.5, 23) "," P(9.5, 25) "," P(14.5, 23);

static const char RURAL[] = "{\"boundary\": [" P(0, 0) "," P(60, 0) "," P(60, 220) "," P(
    0,
    220) "], \"features\": ["
         "{\"id\": \"house\", \"kind\": \"house\", \"points\": [" P(22, 40) "," P(36, 40) "," P(
             36,
             50) "," P(22,
                       50) "]},"
                           "{\"id\": \"tank\", \"kind\": \"septic_tank\", \"shape\": \"circle\", "
                           "\"points\": [" P(
                               40,
                               38) "], \"radius_m\": 1.2},"
                                   "{\"id\": \"field\", \"kind\": \"septic_field\", \"points\": "
                                   "[" P(42, 20) "," P(54, 20) "," P(54, 32) "," P(
                                       42,
                                       32) "]},"
                                           "{\"id\": \"well\", \"kind\": \"well\", \"shape\": "
                                           "\"circle\", \"points\": [" P(
                                               18,
                                               62) "], \"radius_m\": 0.1},"
                                                   "{\"id\": \"power\", \"kind\": \"power_line\", "
                                                   "\"shape\": \"line\", \"points\": [" P(
                                                       0, 10) "," P(60, 10) "]}],"
                                                                            "\"entry\": " P(36,
                                                                                            48) "}";
static const char RURAL_PLACES[] = P(44, 64) "," P(49, 64) "," P(54, 64);

static const char LAKE[] =
    "{\"boundary\": [" P(0, 0) "," P(45, -4) "," P(48, 50) "," P(25, 58) "," P(
        -3,
        52) "], \"features\": ["
            "{\"id\": \"house\", \"kind\": \"house\", \"points\": [" P(14, 26) "," P(26, 26) "," P(
                26, 35) "," P(14,
                              35) "]},"
                                  "{\"id\": \"lake\", \"kind\": \"pond\", \"points\": "
                                  "[" P(-2, 44) "," P(10, 42) "," P(30, 46) "," P(46.5, 42) "," P(
                                      47.5, 49) "," P(25, 57) "," P(-2.7,
                                                                    51) "]},"
                                                                        "{\"id\": "
                                                                        "\"pine\", "
                                                                        "\"kind\": "
                                                                        "\"tree\", "
                                                                        "\"shape\": "
                                                                        "\"circle\", "
                                                                        "\"points\": [" P(
                                                                            8, 36) "], "
                                                                                   "\"radius"
                                                                                   "_m\": "
                                                                                   "2.2}],"
                                                                                   "\"entry"
                                                                                   "\": " P(18,
                                                                                            26) "}";
static const char LAKE_PLACES[] = P(12, 14) "," P(18, 12) "," P(15, 18);

static void open_desk(desk *d, const char *lot, const char *places)
{
    memset(d, 0, sizeof *d);
    d->arena = gw_arena_create(0);
    d->units = gw_units_create(&d->err);
    const char *const text =
        gw_arena_printf(d->arena,
                        "{\"groundwright\": 1, \"name\": \"A lot\", \"site\": {\"station\": "
                        "\"sherbrooke\"}, \"house\": "
                        "{\"floor_area_m2\": 180, \"design_loss_w\": 9000}, \"plant\": "
                        "{\"heat_pump\": \"generic_single_stage\"}, "
                        "\"ground\": {\"soil\": {\"class\": \"granite\"}}, \"fluid\": {\"kind\": "
                        "\"propylene_glycol\", "
                        "\"freeze_point_degc\": -12}, \"limits\": {\"min_entering_degc\": -2, "
                        "\"years\": 3}, \"loops\": [{\"name\": "
                        "\"b\", \"kind\": \"bores\", \"bores\": {\"count\": 3, \"diameter_m\": "
                        "0.12, \"rock_depth_m\": 2, \"places\": [%s]}}],"
                        "\"lot\": %s}",
                        places, lot);
    const gw_job_source source = {
        .arena = d->arena, .units = d->units, .text = text, .length = strlen(text)};
    const gw_job *job = NULL;
    ck_assert_msg(gw_job_read(&source, &job, &d->report, &d->err) == GW_OK, "%s: %s", d->err.field,
                  d->err.text);
    const gw_design_input input = {.job = job};
    const gw_status st = gw_design_run(d->arena, &input, &d->design, &d->err);
    ck_assert_msg(st == GW_OK || st == GW_ERR_CAPACITY, "%s: %s", d->err.field, d->err.text);
}

static void close_desk(desk *d)
{
    gw_units_destroy(d->units);
    gw_arena_destroy(d->arena);
}

static size_t count_text(const gw_scene *scene, const char *text)
{
    size_t count = 0;
    for (size_t i = 0; i < gw_scene_count(scene); i++) {
        const gw_item *const item = gw_scene_item(scene, i);
        count += item->kind == GW_ITEM_TEXT && strcmp(item->text, text) == 0 ? 1 : 0;
    }
    return count;
}

START_TEST(distances_are_those_worked_by_hand)
{
    desk d;
    gw_permit_set set;
    open_desk(&d, URBAN, URBAN_PLACES);
    ck_assert_msg(gw_report_permit_sheets(d.arena, d.design,
                                          &(gw_papers_style){.paper = GW_PAPER_TABLOID}, &set,
                                          &d.err) == GW_OK,
                  "%s", d.err.text);
    const gw_scene *const plan = set.scenes[0];
    ck_assert_str_eq(set.names[0], "plan");
    // Edge of a bore of 0.12 m: 18 − 14.5 − 0.06 to the line; 23 − 17 − 0.06 to the house;
    // √(1.5² + 3²) − 2 − 0.06 = 1.294 to the tree. Each on the plan and in the table.
    ck_assert_uint_eq(count_text(plan, "3.44 m"), 2);
    ck_assert_uint_eq(count_text(plan, "5.94 m"), 2);
    ck_assert_uint_eq(count_text(plan, "1.29 m"), 2);
    ck_assert_uint_eq(count_text(plan, "SHORT"), 1); // a tree wants 1.5 m
    ck_assert_uint_eq(count_text(plan, "maple"), 0); // no name given: its kind is shown
    ck_assert_uint_ge(count_text(plan, "tree"), 2);
    close_desk(&d);
}
END_TEST

START_TEST(three_sizes_of_lot_are_clear_on_every_paper)
{
    const struct {
        const char *lot;
        const char *places;
    } lots[] = {{URBAN, URBAN_PLACES}, {RURAL, RURAL_PLACES}, {LAKE, LAKE_PLACES}};
    desk d;
    open_desk(&d, lots[_i].lot, lots[_i].places);
    for (int k = 0; k < 2 * GW_PAPER_COUNT; k++) {
        const gw_papers_style style = {.units = (gw_unit_system)(k % 2),
                                       .paper = (gw_paper)(k / 2)};
        gw_permit_set set;
        ck_assert_msg(gw_report_permit_sheets(d.arena, d.design, &style, &set, &d.err) == GW_OK,
                      "%s", d.err.text);
        for (size_t i = 0; i < set.count; i++) {
            ck_assert_msg(gw_scene_check_text(set.scenes[i], &d.err) == GW_OK, "%s: %s",
                          gw_paper_word(style.paper), d.err.text);
        }
        // The view keeps the lot's own axes, turned or not: the house's corner comes back.
        const gw_view *const view = gw_scene_view(set.scenes[0], 0);
        const gw_mm a = gw_view_mm(view, 0.0, 0.0);
        const gw_mm b = gw_view_mm(view, 10.0, 0.0);
        ck_close(hypot(b.x - a.x, b.y - a.y), 10000.0 / view->scale, 1e-9);
    }
    close_desk(&d);
}
END_TEST

START_TEST(field_without_places_keeps_a_plan_of_its_own)
{
    desk d;
    gw_permit_set set;
    open_desk(&d, URBAN, URBAN_PLACES);
    gw_design changed = *d.design;
    gw_design_loop loop = d.design->loops[0];
    loop.on_lot = NULL;
    changed.loops = &loop;
    ck_assert_msg(gw_report_permit_sheets(d.arena, &changed,
                                          &(gw_papers_style){.paper = GW_PAPER_A3}, &set,
                                          &d.err) == GW_OK,
                  "%s", d.err.text);
    ck_assert_str_eq(set.names[0], "plan");
    ck_assert_str_eq(set.names[1], "lot");
    ck_assert_uint_eq(count_text(set.scenes[1], "kept"), 0);
    close_desk(&d);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("lot sheet");
    TCase *const tc = tcase_create("lot sheet");
    tcase_set_timeout(tc, 120.0);
    tcase_add_test(tc, distances_are_those_worked_by_hand);
    tcase_add_loop_test(tc, three_sizes_of_lot_are_clear_on_every_paper, 0, 3);
    tcase_add_test(tc, field_without_places_keeps_a_plan_of_its_own);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
