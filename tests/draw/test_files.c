// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What stands in the files: lengths in SVG and DXF, text, repeatable PDF and PNG.
#include "draw/cairo.h"
#include "draw/dxf.h"
#include "draw/svg.h"
#include "draw/view.h"

#include "harness.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    gw_arena *arena;
    gw_scene *scene;
    gw_view view;
} desk;

// A trench of 30 m at 1:200 with its dimension, axes turned as on a plan, and a title off the view.
static void open_desk(desk *d, double turn_deg)
{
    d->arena = gw_arena_create(0);
    d->scene = gw_scene_create(d->arena, (gw_size){279.4, 215.9});
    d->view = (gw_view){.name = "plan",
                        .scale = 200.0,
                        .at = {120.0, 110.0},
                        .x_m = 5.0,
                        .y_m = 7.0,
                        .turn_deg = turn_deg};
    gw_scene_text(d->scene, &(gw_lettering){.size_mm = 3.0}, (gw_mm){10.0, 10.0},
                  "Plan <à> & \"b\" 5 °C ±1 Ø2 ≥3");
    gw_scene_use_view(d->scene, gw_scene_add_view(d->scene, &d->view));
    gw_scene_layer(d->scene, GW_LAYER_TRENCH);
    const gw_mm a = gw_view_mm(&d->view, 2.0, 3.0);
    const gw_mm b = gw_view_mm(&d->view, 32.0, 3.0);
    gw_scene_line(d->scene, (gw_pen){0.25, GW_DASH_NONE, GW_INK}, a, b);
    gw_scene_layer(d->scene, GW_LAYER_BORE);
    gw_scene_circle(d->scene, &(gw_face){.pen = {0.25, GW_DASH_NONE, GW_INK}},
                    gw_view_mm(&d->view, 10.0, 12.0), gw_view_length_mm(&d->view, 0.075));
    gw_scene_layer(d->scene, GW_LAYER_DIMENSION);
    gw_view_dimension(d->scene, &(gw_dimension){a, b, 6.0, "30.0 m", 2.2});
}

static void close_desk(desk *d)
{
    gw_arena_destroy(d->arena);
}

// ---------------------------------------------------------------- SVG

START_TEST(svg_line_of_30_m_at_1_to_200_is_150_mm)
{
    desk d;
    gw_file_bytes file = {0};
    open_desk(&d, 0.0);
    ck_assert(gw_svg_write(d.arena, d.scene, "a & b", &file, NULL) == GW_OK);
    const char *const group = strstr(file.data, "<g class=\"LOOP-TRENCH\"");
    ck_assert(group != NULL);
    double x0, y0, x1, y1;
    ck_assert_int_eq(
        sscanf(strstr(group, "points="), "points=\"%lf,%lf %lf,%lf\"", &x0, &y0, &x1, &y1), 4);
    ck_assert_double_le(fabs(hypot(x1 - x0, y1 - y0) - 150.0), 0.01);
    // User units are millimetres: the view box has the size of the paper.
    ck_assert(strstr(file.data,
                     "width=\"279.4mm\" height=\"215.9mm\" viewBox=\"0 0 279.4 215.9\"") != NULL);
    ck_assert(strstr(file.data, "Plan &lt;à&gt; &amp; &quot;b&quot;") != NULL);
    ck_assert(strstr(file.data, "<title>a &amp; b</title>") != NULL);
    close_desk(&d);
}
END_TEST

// ---------------------------------------------------------------- DXF, by a reader of its own

typedef struct {
    char type[16];
    char layer[32];
    char text[128];
    double value[64]; // by group code
} entity;

enum { ENTITIES_MAX = 400 };

static size_t read_entities(const char *text, entity *out)
{
    size_t count = 0;
    const char *at = strstr(text, "\nENTITIES\n");
    ck_assert(at != NULL);
    at += strlen("\nENTITIES\n");
    while (*at != '\0') {
        char *end = NULL;
        const long code = strtol(at, &end, 10);
        ck_assert_msg(end != at && *end == '\n', "no group code at \"%.20s\"", at);
        const char *const value = end + 1;
        const char *const stop = strchr(value, '\n');
        ck_assert(stop != NULL);
        const int length = (int)(stop - value);
        if (code == 0) {
            ck_assert_uint_lt(count, ENTITIES_MAX);
            memset(&out[count], 0, sizeof out[count]);
            snprintf(out[count++].type, sizeof out->type, "%.*s", length, value);
        } else if (count > 0 && code == 8) {
            snprintf(out[count - 1].layer, sizeof out->layer, "%.*s", length, value);
        } else if (count > 0 && code == 1) {
            snprintf(out[count - 1].text, sizeof out->text, "%.*s", length, value);
        } else if (count > 0 && code >= 10 && code < 64) {
            out[count - 1].value[code] = strtod(value, NULL);
        }
        at = stop + 1;
    }
    ck_assert_str_eq(out[count - 1].type, "EOF");
    return count;
}

static const entity *find(const entity *all, size_t count, const char *type, const char *layer)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(all[i].type, type) == 0 && strcmp(all[i].layer, layer) == 0) {
            return &all[i];
        }
    }
    ck_abort_msg("no %s on %s", type, layer);
    return NULL;
}

static void check_dxf(double turn_deg, gw_unit_system units)
{
    desk d;
    gw_file_bytes file = {0};
    open_desk(&d, turn_deg);
    const gw_dxf_part part = {.view = 1, .units = units};
    ck_assert(gw_dxf_write(d.arena, d.scene, &part, &file, NULL) == GW_OK);
    entity *const all = gw_arena_alloc(d.arena, ENTITIES_MAX, sizeof *all);
    const size_t count = read_entities(file.data, all);
    const double unit_m = units == GW_UNITS_METRIC ? 1.0 : 0.3048;
    const entity *const line = find(all, count, "LINE", "LOOP-TRENCH");
    ck_assert_double_le(fabs(line->value[10] * unit_m - 2.0), 1e-4);
    ck_assert_double_le(fabs(line->value[20] * unit_m - 3.0), 1e-4);
    ck_assert_double_le(fabs(line->value[11] * unit_m - 32.0), 1e-4);
    ck_assert_double_le(fabs(line->value[21] * unit_m - 3.0), 1e-4);
    const entity *const bore = find(all, count, "CIRCLE", "LOOP-BORE");
    ck_assert_double_le(fabs(bore->value[10] * unit_m - 10.0), 1e-4);
    ck_assert_double_le(fabs(bore->value[20] * unit_m - 12.0), 1e-4);
    ck_assert_double_le(fabs(bore->value[40] * unit_m - 0.075), 1e-4);
    ck_assert_str_eq(find(all, count, "TEXT", "DIMENSION")->text, "30.0 m");
    ck_assert(strstr(file.data, units == GW_UNITS_METRIC ? "Units: metres" : "Units: feet") !=
              NULL);
    close_desk(&d);
}

START_TEST(dxf_of_a_view_is_in_true_measure)
{
    check_dxf(0.0, GW_UNITS_METRIC);
    check_dxf(0.0, GW_UNITS_IMPERIAL);
}
END_TEST

START_TEST(dxf_of_a_turned_view_is_in_its_own_axes)
{
    check_dxf(-90.0, GW_UNITS_METRIC);
    check_dxf(37.0, GW_UNITS_IMPERIAL);
}
END_TEST

START_TEST(dxf_of_the_sheet_has_letters_as_ascii)
{
    desk d;
    gw_file_bytes file = {0};
    open_desk(&d, 0.0);
    ck_assert(gw_dxf_write(d.arena, d.scene, &(gw_dxf_part){.view = 0}, &file, NULL) == GW_OK);
    ck_assert(strstr(file.data, "Plan <\\U+00E0> & \"b\" 5 %%dC %%p1 %%c2 \\U+22653") != NULL);
    for (size_t i = 0; i < file.length; i++) {
        ck_assert((unsigned char)file.data[i] < 0x7F);
    }
    gw_err err = {0};
    ck_assert(gw_dxf_write(d.arena, d.scene, &(gw_dxf_part){.view = 2}, &file, &err) ==
              GW_ERR_RANGE);
    close_desk(&d);
}
END_TEST

// ---------------------------------------------------------------- PDF and PNG

static bool holds(const gw_file_bytes *file, const char *text)
{
    const size_t n = strlen(text);
    for (size_t i = 0; i + n <= file->length; i++) {
        if (memcmp(file->data + i, text, n) == 0) {
            return true;
        }
    }
    return false;
}

START_TEST(pdf_is_the_same_every_time_and_undated)
{
    gw_file_bytes files[2] = {{0}};
    desk d[2];
    for (int i = 0; i < 2; i++) {
        open_desk(&d[i], 0.0);
        gw_scene *const scenes[] = {d[i].scene, d[i].scene};
        ck_assert(gw_pdf_write(d[i].arena, &(gw_pdf_pages){scenes, 2, "Plan"}, &files[i], NULL) ==
                  GW_OK);
    }
    ck_assert(files[0].length == files[1].length &&
              memcmp(files[0].data, files[1].data, files[0].length) == 0);
    ck_assert(memcmp(files[0].data, "%PDF-", 5) == 0);
    ck_assert(!holds(&files[0], "CreationDate") && !holds(&files[0], "ModDate"));
    ck_assert(holds(&files[0], "/Count 2"));
    gw_err err = {0};
    ck_assert(gw_pdf_write(d[0].arena, &(gw_pdf_pages){NULL, 0, ""}, &files[0], &err) ==
              GW_ERR_RANGE);
    close_desk(&d[0]);
    close_desk(&d[1]);
}
END_TEST

START_TEST(png_has_the_dots_of_its_paper)
{
    desk d;
    gw_file_bytes file = {0};
    open_desk(&d, 0.0);
    ck_assert(gw_png_write(d.arena, d.scene, 50.8, &file, NULL) == GW_OK);
    const unsigned char *const b = (const unsigned char *)file.data;
    ck_assert(memcmp(b + 1, "PNG", 3) == 0);
    ck_assert_uint_eq((unsigned)b[18] << 8 | b[19], 559); // 279.4 mm × 2 dots, rounded up
    gw_err err = {0};
    ck_assert(gw_png_write(d.arena, d.scene, 5.0, &file, &err) == GW_ERR_RANGE);
    close_desk(&d);
}
END_TEST

// ---------------------------------------------------------------- scales

START_TEST(scale_is_the_largest_usual_one_that_fits)
{
    const gw_size paper = {150.0, 100.0};
    ck_assert(gw_view_scale((gw_view_need){30.0, 10.0, GW_UNITS_METRIC}, paper) == 200.0);
    ck_assert(gw_view_scale((gw_view_need){30.01, 10.0, GW_UNITS_METRIC}, paper) == 250.0);
    ck_assert(gw_view_scale((gw_view_need){1.0, 20.0, GW_UNITS_METRIC}, paper) == 200.0);
    ck_assert(gw_view_scale((gw_view_need){30.0, 10.0, GW_UNITS_IMPERIAL}, paper) == 240.0);
    gw_arena *const arena = gw_arena_create(0);
    ck_assert_str_eq(gw_view_scale_text(arena, 240.0, GW_UNITS_IMPERIAL), "1″ = 20′ (1:240)");
    ck_assert_str_eq(gw_view_scale_text(arena, 48.0, GW_UNITS_IMPERIAL), "1/4″ = 1′ (1:48)");
    ck_assert_str_eq(gw_view_scale_text(arena, 200.0, GW_UNITS_METRIC), "1:200");
    gw_arena_destroy(arena);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("files");
    TCase *const tc = tcase_create("files");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, svg_line_of_30_m_at_1_to_200_is_150_mm);
    tcase_add_test(tc, dxf_of_a_view_is_in_true_measure);
    tcase_add_test(tc, dxf_of_a_turned_view_is_in_its_own_axes);
    tcase_add_test(tc, dxf_of_the_sheet_has_letters_as_ascii);
    tcase_add_test(tc, pdf_is_the_same_every_time_and_undated);
    tcase_add_test(tc, png_has_the_dots_of_its_paper);
    tcase_add_test(tc, scale_is_the_largest_usual_one_that_fits);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
