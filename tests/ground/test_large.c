// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Large fields by classes against the full solve of the same pieces.
#include "base/random.h"
#include "ground/large.h"
#include "harness.h"

#include <math.h>
#include <string.h>

enum { PIECES = 6, TIMES = 12 };

static gw_field bores(gw_arena *arena, size_t count, int at_random)
{
    gw_segment *const segments = gw_arena_alloc(arena, count * PIECES, sizeof *segments);
    gw_random random;
    gw_random_init(&random, 17);
    const double side = 7.5 * sqrt((double)count);
    for (size_t b = 0; b < count; ++b) {
        gw_segment bore = {
            7.5 * (double)(b % 6), 7.5 * (double)(b / 6), 4.0, 0.0, 0.0, 1.0, 150.0, 0.075};
        int clear = !at_random;
        while (!clear) {
            bore.x_m = side * gw_random_uniform(&random);
            bore.y_m = side * gw_random_uniform(&random);
            clear = 1;
            for (size_t c = 0; c < b; ++c) {
                const gw_segment *const other = &segments[c * PIECES];
                clear = clear && hypot(bore.x_m - other->x_m, bore.y_m - other->y_m) > 3.0;
            }
        }
        ck_assert(gw_segment_cut(&bore, PIECES, GW_CUT_COSINE, segments + b * PIECES, NULL) ==
                  GW_OK);
    }
    return (gw_field){.segments = segments,
                      .count = count * PIECES,
                      .medium = {1.0, 1e-6},
                      .boundary = GW_FIELD_EQUAL_TEMPERATURE};
}

static void make_times(double times[TIMES])
{
    for (size_t i = 0; i < TIMES; ++i) {
        times[i] = 2.5e9 * exp(-8.5 + (double)i);
    }
}

static double worst_error(const gw_field *field, size_t classes)
{
    gw_arena *const arena = gw_arena_create(0);
    double times[TIMES], worst = 0.0;
    make_times(times);
    gw_field_step full, fast;
    gw_err err = {0};
    ck_assert(gw_field_step_response(arena, field, &(gw_field_times){times, TIMES}, &full, &err) ==
              GW_OK);
    ck_assert_msg(gw_field_step_response_large(arena, &(gw_field_large){field, classes},
                                               &(gw_field_times){times, TIMES}, &fast,
                                               &err) == GW_OK,
                  "%s: %s", err.field, err.text);
    ck_assert(fast.unknowns < full.unknowns);
    for (size_t i = 0; i < TIMES; ++i) {
        worst = fmax(worst, fabs(fast.h_mk_w[i] / full.h_mk_w[i] - 1.0));
    }
    worst = fmax(worst, fabs(fast.steady_mk_w / full.steady_mk_w - 1.0));
    ck_assert_msg(fabs(fast.instant_mk_w - full.instant_mk_w) < 1e-15, "instant");
    gw_arena_destroy(arena);
    return worst;
}

START_TEST(grid_within_a_tenth_of_a_percent)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_field field = bores(arena, 36, 0);
    ck_assert(worst_error(&field, 8) < 1e-3);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(random_places_within_fifteen_hundredths)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_field field = bores(arena, 60, 1);
    const double one = worst_error(&field, 1), eight = worst_error(&field, 8);
    ck_assert_msg(eight < 1.5e-3, "error %g", eight);
    ck_assert(eight < 0.3 * one); // classes are what makes it good
    gw_arena_destroy(arena);
}
END_TEST

// A class for each bore leaves nothing out.
START_TEST(as_many_classes_as_bores_is_the_full_solve)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_field field = bores(arena, 24, 1);
    gw_arena *const work = gw_arena_create(0);
    double times[TIMES], *const resistance = gw_arena_alloc(arena, field.count, sizeof(double));
    make_times(times);
    for (size_t i = 0; i < field.count; ++i) {
        resistance[i] = 0.1;
    }
    field.resistance_mk_w = resistance;
    gw_field_step full, fast;
    ck_assert(gw_field_step_response(work, &field, &(gw_field_times){times, TIMES}, &full, NULL) ==
              GW_OK);
    ck_assert(gw_field_step_response_large(work, &(gw_field_large){&field, 64},
                                           &(gw_field_times){times, TIMES}, &fast, NULL) == GW_OK);
    ck_close(fast.steady_mk_w, full.steady_mk_w, 1e-8);
    ck_close(fast.instant_mk_w, 0.1, 1e-14);
    for (size_t i = 0; i < TIMES; ++i) {
        ck_close(fast.h_mk_w[i], full.h_mk_w[i], 1e-5);
    }
    gw_arena_destroy(work);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(one_bore_alone)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_field field = bores(arena, 1, 0);
    double times[TIMES];
    make_times(times);
    gw_field_step full, fast;
    ck_assert(gw_field_step_response(arena, &field, &(gw_field_times){times, TIMES}, &full, NULL) ==
              GW_OK);
    ck_assert(gw_field_step_response_large(arena, &(gw_field_large){&field, 8},
                                           &(gw_field_times){times, TIMES}, &fast, NULL) == GW_OK);
    for (size_t i = 0; i < TIMES; ++i) {
        ck_close(fast.h_mk_w[i], full.h_mk_w[i], 1e-5);
    }
    gw_arena_destroy(arena);
}
END_TEST

static gw_status try_field(const gw_field *field, size_t classes, gw_err *err)
{
    gw_arena *const arena = gw_arena_create(0);
    double times[TIMES];
    make_times(times);
    gw_field_step step;
    const gw_status st = gw_field_step_response_large(arena, &(gw_field_large){field, classes},
                                                      &(gw_field_times){times, TIMES}, &step, err);
    gw_arena_destroy(arena);
    return st;
}

START_TEST(rejects_what_it_is_not_made_for)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_field good = bores(arena, 6, 0);
    gw_segment *const segments = gw_arena_alloc(arena, good.count, sizeof *segments);
    memcpy(segments, good.segments, good.count * sizeof *segments);
    gw_err err = {0};
    ck_assert(try_field(&good, 0, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "classes");
    gw_field bad = good;
    bad.boundary = GW_FIELD_EQUAL_FLUX;
    ck_assert(try_field(&bad, 4, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "boundary");
    bad = good;
    bad.segments = segments;
    segments[good.count - 1].length_m += 1.0;
    ck_assert(try_field(&bad, 4, &err) == GW_ERR_GEOMETRY);
    ck_assert(strstr(err.text, "2 kinds of bore") != NULL);
    segments[good.count - 1] = (gw_segment){0.0, -9.0, 3.0, 1.0, 0.0, 0.0, 20.0, 0.02};
    ck_assert(try_field(&bad, 4, &err) == GW_ERR_GEOMETRY);
    double resistance[36] = {0.1};
    bad = good;
    bad.resistance_mk_w = resistance;
    ck_assert(try_field(&bad, 4, &err) == GW_ERR_GEOMETRY);
    ck_assert_str_eq(err.field, "resistance");
    double times[TIMES];
    make_times(times);
    gw_field_step step;
    for (size_t n = 0; n < 60; ++n) {
        gw_arena *const small = gw_arena_create(0);
        gw_arena_fail_after(small, n);
        const gw_status st = gw_field_step_response_large(
            small, &(gw_field_large){&good, 4}, &(gw_field_times){times, TIMES}, &step, &err);
        ck_assert(st == GW_ERR_NOMEM || (st == GW_OK && n > 20));
        gw_arena_destroy(small);
    }
    gw_arena_destroy(arena);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("large fields");
    TCase *const all = tcase_create("all");
    tcase_set_timeout(all, 120);
    tcase_add_test(all, grid_within_a_tenth_of_a_percent);
    tcase_add_test(all, random_places_within_fifteen_hundredths);
    tcase_add_test(all, as_many_classes_as_bores_is_the_full_solve);
    tcase_add_test(all, one_bore_alone);
    tcase_add_test(all, rejects_what_it_is_not_made_for);
    suite_add_tcase(suite, all);
    return harness_run(suite);
}
