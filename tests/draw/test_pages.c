// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Sheets, tables, charts and running pages: nothing lost, nothing overlapping.
#include "draw/chart.h"
#include "draw/leaf.h"
#include "draw/view.h"

#include "harness.h"

#include <math.h>
#include <string.h>

enum { ROWS = 120 };

static const char *const WORDS = "a cell with some words that have to be broken over lines";

static gw_ruled long_table(gw_arena *arena)
{
    static const gw_ruled_column COLUMNS[] = {
        {"No.", 0.5, GW_ANCHOR_END}, {"Words", 2.0, GW_ANCHOR_START}, {"", 1.0, GW_ANCHOR_START}};
    gw_ruled_rows rows = {.arena = arena, .column_count = 3};
    for (int i = 0; i < ROWS; i++) {
        const char *const cells[] = {gw_arena_printf(arena, "row %d", i),
                                     i % 3 == 0 ? WORDS : "short", NULL};
        gw_ruled_add(&rows, cells);
    }
    ck_assert(!rows.failed);
    return (gw_ruled){COLUMNS, 3, rows.cells, rows.rows, 2.4, false};
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

START_TEST(table_over_pages_keeps_every_row_once)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_leaf leaf;
    gw_err err = {0};
    gw_leaf_open(&leaf, arena,
                 &(gw_leaf_style){.paper = GW_PAPER_LETTER, .running = "running", .foot = "foot"});
    gw_leaf_title(&leaf, "Title", "subtitle");
    gw_leaf_heading(&leaf, 1, "Heading");
    gw_leaf_paragraph(&leaf, WORDS);
    const gw_ruled table = long_table(arena);
    gw_leaf_table(&leaf, &table);
    gw_leaf_bullet(&leaf, WORDS);
    ck_assert(gw_leaf_close(&leaf, &err) == GW_OK);
    ck_assert_uint_ge(leaf.count, 2);
    for (int i = 0; i < ROWS; i++) {
        const char *const name = gw_arena_printf(arena, "row %d", i);
        size_t found = 0;
        for (size_t k = 0; k < leaf.count; k++) {
            found += count_text(leaf.scenes[k], name);
        }
        ck_assert_msg(found == 1, "%s stands %zu times", name, found);
    }
    for (size_t k = 0; k < leaf.count; k++) {
        ck_assert_msg(gw_scene_check_text(leaf.scenes[k], &err) == GW_OK, "page %zu: %s", k + 1,
                      err.text);
        ck_assert_uint_eq(count_text(leaf.scenes[k], "Words"), 1); // the heading is repeated
    }
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(table_height_is_what_drawing_uses)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_ruled table = long_table(arena);
    table.rows = 9;
    gw_scene *const scene = gw_scene_create(arena, (gw_size){400.0, 400.0});
    size_t row = 0;
    const double used = gw_ruled_draw(scene, &table, (gw_box){{10.0, 10.0}, {120.0, 300.0}}, &row);
    ck_assert_uint_eq(row, 9);
    ck_close(used, gw_ruled_height(arena, &table, 120.0), 1e-12);
    row = 0;
    ck_assert(gw_ruled_draw(scene, &table, (gw_box){{10.0, 10.0}, {120.0, 5.0}}, &row) == 0.0);
    ck_assert_uint_eq(row, 0);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(title_block_of_every_paper_is_clear)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_err err = {0};
    for (int paper = 0; paper < GW_PAPER_COUNT; paper++) {
        const gw_sheet_info info = {
            .paper = (gw_paper)paper,
            .project = "A project with a name so long that it does not fit in its field at all",
            .place = "Climate of a place, with its region and a long addition to it as well",
            .title = "Standards checklist, distances, cautions and a lot of other things",
            .scale = "1″ = 20′ (1:240)",
            .number = 12,
            .count = 24,
            .level = GW_LEVEL_SKETCH};
        gw_box area;
        gw_scene *const scene = gw_sheet_begin(arena, &info, &area);
        ck_assert_msg(gw_scene_check_text(scene, &err) == GW_OK, "%s: %s",
                      gw_paper_word((gw_paper)paper), err.text);
        const gw_box told = gw_sheet_area((gw_paper)paper);
        ck_assert(told.at.x == area.at.x && told.size.h == area.size.h);
    }
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(paper_and_level_are_found_by_word)
{
    gw_paper paper = GW_PAPER_LETTER;
    gw_drawing_level level = GW_LEVEL_SKETCH;
    gw_err err = {0};
    ck_assert(gw_paper_find("arch-d", &paper, &err) == GW_OK && paper == GW_PAPER_ARCH_D);
    ck_assert(gw_paper_find("leter", &paper, &err) == GW_ERR_KEY);
    ck_assert(strstr(err.text, "letter") != NULL);
    ck_assert(gw_drawing_level_find("record", &level, &err) == GW_OK && level == GW_LEVEL_RECORD);
    ck_assert(gw_drawing_level_find("nothing", &level, &err) == GW_ERR_KEY);
    ck_close(gw_paper_size(GW_PAPER_ARCH_D, true).w, 914.4, 1e-12);
}
END_TEST

START_TEST(labels_with_one_target_do_not_overlap)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_scene *const scene = gw_scene_create(arena, (gw_size){279.4, 215.9});
    gw_label labels[12];
    for (int i = 0; i < 12; i++) {
        labels[i] = (gw_label){{50.0, 198.0}, WORDS};
    }
    gw_view_labels(scene, &(gw_label_column){{{100.0, 20.0}, {40.0, 180.0}}, 2.4, false, NULL},
                   labels, 12);
    gw_err err = {0};
    ck_assert_msg(gw_scene_check_text(scene, &err) == GW_OK, "%s", err.text);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(chart_steps_are_round)
{
    ck_close(gw_chart_step(25.0, 10), 2.5, 1e-12);
    ck_close(gw_chart_step(18.0, 7), 5.0, 1e-12);
    ck_close(gw_chart_step(0.03, 7), 0.005, 1e-12);
    ck_close(gw_chart_step(1.0, 10), 0.1, 1e-12);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("pages");
    TCase *const tc = tcase_create("pages");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, table_over_pages_keeps_every_row_once);
    tcase_add_test(tc, table_height_is_what_drawing_uses);
    tcase_add_test(tc, title_block_of_every_paper_is_clear);
    tcase_add_test(tc, paper_and_level_are_found_by_word);
    tcase_add_test(tc, labels_with_one_target_do_not_overlap);
    tcase_add_test(tc, chart_steps_are_round);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
