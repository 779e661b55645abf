// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The display list: same calls, same bytes; hatches; lettering that runs into lettering is found.
#include "draw/lettering.h"
#include "draw/scene.h"

#include "harness.h"

#include <math.h>
#include <string.h>

static const gw_size LETTER = {279.4, 215.9};

static gw_scene *sample(gw_arena *arena)
{
    gw_scene *const s = gw_scene_create(arena, LETTER);
    const gw_pen pen = {0.35, GW_DASH_DASHED, GW_INK};
    gw_scene_layer(s, GW_LAYER_BORE);
    gw_scene_line(s, pen, (gw_mm){10.0, 20.0}, (gw_mm){30.125, 20.0});
    gw_scene_circle(s, &(gw_face){.pen = pen, .filled = true, .fill = 0xFFFFFFU},
                    (gw_mm){40.0, 50.0}, 1.5);
    gw_scene_layer(s, GW_LAYER_NOTE);
    gw_scene_text(s, &(gw_lettering){.size_mm = 2.5, .anchor = GW_ANCHOR_MIDDLE},
                  (gw_mm){60.0, 70.0}, "B1");
    return s;
}

START_TEST(dump_is_the_list_in_order)
{
    gw_arena *const arena = gw_arena_create(0);
    const char *text = NULL;
    ck_assert(gw_scene_dump(arena, sample(arena), &text, NULL) == GW_OK);
    ck_assert_str_eq(text, "sheet 279.4 215.9\n"
                           "LOOP-BORE path 10 20 30.13 20 pen 0.35 dashed #1a1a1a\n"
                           "LOOP-BORE arc 40 50 r 1.5 0 360 pen 0.35 dashed #1a1a1a fill #ffffff\n"
                           "NOTE text 60 70 size 2.5 0 middle #1a1a1a \"B1\"\n");
    gw_arena_destroy(arena);
}
END_TEST

typedef struct {
    double length_mm;
    size_t lines;
    double highest_x;
} measured;

static void measure(void *context, const gw_item *item)
{
    measured *const m = context;
    if (item->kind == GW_ITEM_PATH && item->count == 2) {
        m->length_mm +=
            hypot(item->points[1].x - item->points[0].x, item->points[1].y - item->points[0].y);
        m->lines++;
        m->highest_x = fmax(m->highest_x, fmax(item->points[0].x, item->points[1].x));
    }
}

static measured hatch_of(double step_mm, double angle_deg, bool circle)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_scene *const s = gw_scene_create(arena, LETTER);
    const gw_face face = {
        .hatch_mm = step_mm, .hatch_deg = angle_deg, .hatch_pen = {0.1, GW_DASH_NONE, GW_INK}};
    if (circle) {
        gw_scene_circle(s, &face, (gw_mm){100.0, 100.0}, 20.0);
    } else {
        // An L of 40 × 40 less 20 × 20.
        const gw_mm points[] = {{50, 50}, {90, 50}, {90, 70}, {70, 70}, {70, 90}, {50, 90}};
        gw_scene_polygon(s, &face, points, 6);
    }
    measured m = {0};
    gw_scene_walk(s, &(gw_back_end){.context = &m, .shape = measure, .lettering = measure});
    gw_arena_destroy(arena);
    return m;
}

START_TEST(hatch_covers_area_over_spacing)
{
    // The lines of a hatch, each standing for a strip one spacing wide, add up to the area.
    const double angles[] = {0.0, 30.0, 45.0, -60.0};
    for (size_t i = 0; i < 4; i++) {
        ck_close(hatch_of(0.05, angles[i], false).length_mm * 0.05, 1200.0, 5e-3);
        ck_close(hatch_of(0.05, angles[i], true).length_mm * 0.05, acos(-1.0) * 400.0, 5e-3);
    }
    ck_assert(hatch_of(1.0, 0.0, false).highest_x <= 90.0);
}
END_TEST

START_TEST(lettering_over_lettering_is_named)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_scene *const s = gw_scene_create(arena, LETTER);
    const gw_lettering type = {.size_mm = 3.0};
    gw_err err = {0};
    gw_scene_text(s, &type, (gw_mm){20.0, 20.0}, "first");
    gw_scene_text(s, &type, (gw_mm){20.0, 23.2}, "below");
    gw_lettering turned = type;
    turned.angle_deg = 90.0;
    gw_scene_text(s, &turned, (gw_mm){15.0, 40.0}, "turned");
    ck_assert_msg(gw_scene_check_text(s, &err) == GW_OK, "%s", err.text);
    gw_scene_text(s, &type, (gw_mm){22.0, 21.0}, "over");
    ck_assert(gw_scene_check_text(s, &err) == GW_ERR_GEOMETRY);
    ck_assert(strstr(err.text, "over") != NULL && strstr(err.text, "first") != NULL);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(lettering_beyond_the_sheet_is_named)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_scene *const s = gw_scene_create(arena, LETTER);
    gw_err err = {0};
    gw_scene_text(s, &(gw_lettering){.size_mm = 3.0}, (gw_mm){276.0, 20.0}, "beyond");
    ck_assert(gw_scene_check_text(s, &err) == GW_ERR_GEOMETRY);
    ck_assert(strstr(err.text, "leaves the sheet") != NULL);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(every_failed_allocation_is_reported)
{
    bool whole = false;
    for (size_t n = 0; n < 200 && !whole; n++) {
        gw_arena *const arena = gw_arena_create(0);
        gw_arena_fail_after(arena, n);
        gw_scene *const s = sample(arena);
        gw_err err = {0};
        const gw_status st = gw_scene_status(s, &err);
        whole = st == GW_OK;
        ck_assert(whole ? gw_scene_count(s) == 3 : st == GW_ERR_NOMEM);
        gw_arena_destroy(arena);
    }
    ck_assert(whole);
}
END_TEST

START_TEST(wrapped_lines_keep_the_words_and_the_width)
{
    gw_arena *const arena = gw_arena_create(0);
    const char *const text =
        "Grout every bore over its full length from the bottom up: the grout keeps "
        "surface water out of the aquifer, à 0 °C.";
    for (double width = 12.0; width < 200.0; width += 7.3) {
        const gw_letter_box box = {width, 2.5, false};
        const gw_letter_lines lines = gw_letter_wrap(arena, text, &box);
        size_t letters = 0;
        for (size_t i = 0; i < lines.count; i++) {
            ck_assert_double_le(gw_letter_width_mm(lines.lines[i], 2.5, false), width + 1e-9);
            letters += strlen(lines.lines[i]);
        }
        // Every line but the last gave up one blank.
        ck_assert_uint_eq(letters + lines.count - 1, strlen(text));
    }
    ck_assert_uint_eq(gw_letter_wrap(arena, "", &(gw_letter_box){10.0, 2.5, false}).count, 0);
    ck_assert_uint_eq(gw_letter_wrap(arena, "two\nlines", &(gw_letter_box){90.0, 2.5, false}).count,
                      2);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(broken_utf8_is_measured_not_read_beyond)
{
    ck_close(gw_letter_width_mm("\xC3", 10.0, false), 6.0, 1e-12); // U+FFFD
    ck_close(gw_letter_width_mm("00", 10.0, false), 11.44, 1e-12);
    ck_close(gw_letter_width_mm("00", 10.0, true), 11.42, 1e-12);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("scene");
    TCase *const tc = tcase_create("scene");
    tcase_add_test(tc, dump_is_the_list_in_order);
    tcase_add_test(tc, hatch_covers_area_over_spacing);
    tcase_add_test(tc, lettering_over_lettering_is_named);
    tcase_add_test(tc, lettering_beyond_the_sheet_is_named);
    tcase_add_test(tc, every_failed_allocation_is_reported);
    tcase_add_test(tc, wrapped_lines_keep_the_words_and_the_width);
    tcase_add_test(tc, broken_utf8_is_measured_not_read_beyond);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
