// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A designer's slips, in one table: every bad layout or number is refused, and the message names
// the element. (Each file's own test has the rest of its ranges.)
#include "ground/field.h"
#include "ground/layers.h"
#include "harness.h"

#include <math.h>
#include <string.h>

static const gw_segment GOOD = {0.0, 0.0, 2.0, 0.0, 0.0, 1.0, 100.0, 0.07};
static const gw_segment OTHER = {6.0, 0.0, 2.0, 0.0, 0.0, 1.0, 100.0, 0.07};

typedef struct {
    const char *what;
    gw_segment third; // beside GOOD and OTHER
    gw_status status;
    const char *field;
    const char *word; // that the message must hold
} slip;

static const slip SLIPS[] = {
    {"duplicated",
     {6.0, 0.0, 2.0, 0.0, 0.0, 1.0, 100.0, 0.07},
     GW_ERR_GEOMETRY,
     "segments[1], segments[2]",
     "duplicate"},
    {"duplicated, drawn from the foot",
     {6.0, 0.0, 102.0, 0.0, 0.0, -1.0, 100.0, 0.07},
     GW_ERR_GEOMETRY,
     "segments[1], segments[2]",
     "duplicate"},
    {"touching",
     {6.13, 0.0, 2.0, 0.0, 0.0, 1.0, 100.0, 0.07},
     GW_ERR_GEOMETRY,
     "segments[1], segments[2]",
     "sum of the radii"},
    {"crossing under ground",
     {3.0, 0.0, 1.0, 0.6, 0.0, 0.8, 60.0, 0.07},
     GW_ERR_GEOMETRY,
     "segments[1], segments[2]",
     "come as near"},
    {"lying in another",
     {0.0, 0.0, 50.0, 0.0, 0.0, 1.0, 20.0, 0.07},
     GW_ERR_GEOMETRY,
     "segments[0], segments[2]",
     "come as near"},
    {"zero length",
     {12.0, 0.0, 2.0, 0.0, 0.0, 1.0, 0.0, 0.07},
     GW_ERR_GEOMETRY,
     "segments[2]",
     "length"},
    {"negative length",
     {12.0, 0.0, 2.0, 0.0, 0.0, 1.0, -5.0, 0.07},
     GW_ERR_GEOMETRY,
     "segments[2]",
     "length"},
    {"negative depth",
     {12.0, 0.0, -2.0, 0.0, 0.0, 1.0, 100.0, 0.07},
     GW_ERR_GEOMETRY,
     "segments[2]",
     "above the surface"},
    {"rising out of the ground",
     {12.0, 0.0, 5.0, 0.0, 0.0, -1.0, 8.0, 0.07},
     GW_ERR_GEOMETRY,
     "segments[2]",
     "above the surface"},
    {"pipe half out of the ground",
     {12.0, 0.0, 0.01, 1.0, 0.0, 0.0, 8.0, 0.0167},
     GW_ERR_GEOMETRY,
     "segments[2]",
     "above the surface"},
    {"no radius",
     {12.0, 0.0, 2.0, 0.0, 0.0, 1.0, 100.0, 0.0},
     GW_ERR_RANGE,
     "segments[2]",
     "radius"},
    {"radius in millimetres",
     {12.0, 0.0, 2.0, 0.0, 0.0, 1.0, 100.0, 70.0},
     GW_ERR_RANGE,
     "segments[2]",
     "radius"},
    {"no direction",
     {12.0, 0.0, 2.0, 0.0, 0.0, 0.0, 100.0, 0.07},
     GW_ERR_RANGE,
     "segments[2]",
     "direction"},
};

START_TEST(bad_bores_are_named)
{
    const slip *const s = &SLIPS[_i];
    const gw_segment bores[3] = {GOOD, OTHER, s->third};
    gw_err err = {0};
    ck_assert_msg(gw_segments_check(bores, 3, &err) == s->status, "%s", s->what);
    ck_assert_msg(strcmp(err.field, s->field) == 0, "%s: \"%s\"", s->what, err.field);
    ck_assert_msg(strstr(err.text, s->word) != NULL, "%s: \"%s\"", s->what, err.text);
    // A bore that is bad by itself is refused by the field as well.
    if (strcmp(s->field, "segments[2]") == 0) {
        const gw_field field = {
            .segments = bores, .count = 3, .medium = {2.0, 1e-6}, .boundary = GW_FIELD_EQUAL_FLUX};
        ck_assert_msg(gw_field_check(&field, &err) == s->status, "%s", s->what);
        ck_assert_str_eq(err.field, s->field);
    }
}
END_TEST

START_TEST(properties_out_of_range_are_named)
{
    const struct {
        gw_ground_medium medium;
        const char *field;
    } bad[] = {{{0.0, 1e-6}, "conductivity"},       {{-2.0, 1e-6}, "conductivity"},
               {{0.04, 1e-6}, "conductivity"},      {{21.0, 1e-6}, "conductivity"},
               {{INFINITY, 1e-6}, "conductivity"},  {{2.0, 0.0}, "diffusivity"},
               {{2.0, -1e-6}, "diffusivity"},       {{2.0, 1e-3}, "diffusivity"},
               {{2.0, (double)NAN}, "diffusivity"}, {{(double)NAN, 1e-6}, "conductivity"}};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; ++i) {
        const gw_field field = {.segments = &GOOD,
                                .count = 1,
                                .medium = bad[i].medium,
                                .boundary = GW_FIELD_EQUAL_FLUX};
        gw_err err = {0};
        ck_assert(gw_field_check(&field, &err) == GW_ERR_RANGE);
        ck_assert_str_eq(err.field, bad[i].field);
    }
}
END_TEST

START_TEST(times_out_of_order_are_named)
{
    const double bad[][3] = {{1e6, 1e6, 2e6},
                             {1e6, 3e6, 2e6},
                             {0.0, 1e6, 2e6},
                             {-1e6, 1e6, 2e6},
                             {1e6, NAN, 2e6},
                             {NAN, 1e6, 2e6},
                             {1e6, (double)INFINITY, 2e6}};
    const char *const field[] = {"times[1]", "times[2]", "times[0]", "times[0]",
                                 "times[1]", "times[0]", "times[2]"};
    gw_arena *const arena = gw_arena_create(0);
    for (size_t i = 0; i < sizeof bad / sizeof *bad; ++i) {
        const gw_field one = {
            .segments = &GOOD, .count = 1, .medium = {2.0, 1e-6}, .boundary = GW_FIELD_EQUAL_FLUX};
        gw_field_step step;
        gw_err err = {0};
        double h[3];
        ck_assert(gw_field_step_response(arena, &one, &(gw_field_times){bad[i], 3}, &step, &err) ==
                  GW_ERR_RANGE);
        ck_assert_msg(strcmp(err.field, field[i]) == 0, "%zu: %s", i, err.field);
        const gw_response_case with = {{2.0, 1e-6}, bad[i], 3, false};
        ck_assert(gw_response_between(&with, &GOOD, &OTHER, h, &err) == GW_ERR_RANGE);
        ck_assert_str_eq(err.field, field[i]);
    }
    gw_arena_destroy(arena);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("ground bad input");
    TCase *const all = tcase_create("all");
    tcase_add_loop_test(all, bad_bores_are_named, 0, (int)(sizeof SLIPS / sizeof *SLIPS));
    tcase_add_test(all, properties_out_of_range_are_named);
    tcase_add_test(all, times_out_of_order_are_named);
    suite_add_tcase(suite, all);
    return harness_run(suite);
}
