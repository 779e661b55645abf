// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The ground around a loop, at points and on maps.
#include "loop/ground_at.h"

#include "harness.h"

#include <math.h>
#include <string.h>

enum { MONTHS = 240 };
static const double DAY_S = 86400.0;
static const gw_ground_medium SOIL = {1.4, 0.05 / 86400.0};
static const gw_ground_medium ROCK = {2.5, 1.1e-6};

static gw_arena *arena;
static gw_err err;

#define ck_ok(call) ck_assert_msg((call) == GW_OK, "%s %s", err.field, err.text)

static void begin(void)
{
    arena = gw_arena_create(0);
    memset(&err, 0, sizeof err);
}

static void end(void)
{
    gw_arena_destroy(arena);
}

static gw_segment level(double x, double y, double z, double length)
{
    return gw_segment_between((gw_position){x, y, z}, (gw_position){x, y + length, z}, 0.0167);
}

static double drop_at(const gw_ground_past *past, gw_position p, size_t span)
{
    double drop_k = 0.0;
    const gw_ground_ask ask = {&p, 1, &span, 1};
    ck_assert_msg(gw_ground_at_points(arena, past, &ask, &drop_k, &err) == GW_OK, "%s %s",
                  err.field, err.text);
    return drop_k;
}

// A heat that swings with the season about a mean, months of 30.4 days.
static void seasons(double *end_s, double *heat_w)
{
    for (size_t m = 0; m < MONTHS; m++) {
        end_s[m] = (double)(m + 1) * 365.0 / 12.0 * DAY_S;
        heat_w[m] = 1500.0 * (0.4 + cos(2.0 * 3.14159265358979323846 * ((double)m - 4.0) / 12.0));
    }
}

// Influence at a distance: line of 40 W/m at 1.5 m, point at 0.9 m depth, k 1.4, 0.05 m2/d
// (Kelvin line source with mirror, computed; printed to three or four digits).
START_TEST(influence_at_a_distance_is_that_of_the_line_source)
{
    static const double ROWS[5][4] = {{1.5, 1.180, 1.958, 2.232},
                                      {3.0, 0.148, 0.538, 0.746},
                                      {5.0, 0.0043, 0.093, 0.202},
                                      {7.6, 8e-6, 0.0069, 0.037},
                                      {15.2, 0.0, 1e-7, 8e-5}};
    begin();
    const gw_segment line = level(0, -1000, 1.5, 2000);
    const double end_s[] = {30 * DAY_S, 90 * DAY_S, 180 * DAY_S};
    const double heat_w[] = {80000, 80000, 80000};
    const gw_ground_past past = {&line, 1, NULL, SOIL, end_s, heat_w, 3};
    for (size_t i = 0; i < 5; i++) {
        for (size_t t = 0; t < 3; t++) {
            const double printed = ROWS[i][1 + t];
            const double got = drop_at(&past, (gw_position){ROWS[i][0], 0, 0.9}, t);
            const double digit = printed >= 0.1    ? 0.0006
                                 : printed >= 0.01 ? 0.0006
                                                   : 0.06 * printed;
            ck_assert_msg(fabs(got - printed) <= digit + 2e-7, "%g m, %zu: %.6f against %g",
                          ROWS[i][0], t, got, printed);
        }
    }
    end();
}
END_TEST

// After 3,000 years the steady column of the same table: 2.550, 1.036, 0.439, 0.202, 0.052 K.
START_TEST(steady_influence_is_that_of_line_and_mirror)
{
    begin();
    const gw_segment line = level(0, -1000, 1.5, 2000);
    const double end_s[] = {1.1e6 * DAY_S};
    const double heat_w[] = {80000};
    const gw_ground_past past = {&line, 1, NULL, SOIL, end_s, heat_w, 1};
    static const double X[] = {1.5, 3.0, 5.0, 7.6, 15.2};
    for (size_t i = 0; i < 5; i++) {
        const double near2 = X[i] * X[i] + 0.36;
        const double far2 = X[i] * X[i] + 2.4 * 2.4;
        const double exact = 40.0 / (2.0 * 3.14159265358979323846 * 1.4) * 0.5 * log(far2 / near2);
        ck_close(drop_at(&past, (gw_position){X[i], 0, 0.9}, 0), exact, 2e-3);
    }
    end();
}
END_TEST

START_TEST(surface_keeps_its_temperature_and_far_ground_is_untouched)
{
    begin();
    double end_s[MONTHS], heat_w[MONTHS];
    seasons(end_s, heat_w);
    const gw_segment lines[] = {level(0, 0, 1.8, 40), level(3, 0, 1.8, 40)};
    const gw_ground_past past = {lines, 2, NULL, SOIL, end_s, heat_w, MONTHS};
    ck_assert_double_lt(fabs(drop_at(&past, (gw_position){1, 20, 0}, 100)), 1e-9);
    ck_assert_double_lt(fabs(drop_at(&past, (gw_position){2000, 20, 1.8}, MONTHS - 1)), 1e-6);
    ck_assert_double_gt(drop_at(&past, (gw_position){1, 20, 1.8}, 100), 1.0);
    end();
}
END_TEST

// Heats that change every month: against superposition of the exact response of every step.
START_TEST(months_superpose)
{
    begin();
    double end_s[MONTHS], heat_w[MONTHS];
    seasons(end_s, heat_w);
    const gw_segment line = level(0, 0, 1.8, 40);
    const gw_ground_past past = {&line, 1, NULL, SOIL, end_s, heat_w, MONTHS};
    const gw_position points[] = {{0.5, 20, 1.0}, {2, 38, 1.8}, {4, 20, 0.9}, {9, 20, 2.5}};
    static const size_t SPANS[] = {0, 4, 11, 60, 239};
    for (size_t p = 0; p < 4; p++) {
        for (size_t s = 0; s < 5; s++) {
            const size_t last = SPANS[s];
            double sum = 0.0;
            for (size_t i = 0; i <= last; i++) {
                const double t = end_s[last] - (i > 0 ? end_s[i - 1] : 0.0);
                const gw_response_case with = {SOIL, &t, 1, false};
                double h = 0.0;
                ck_ok(gw_response_at_point(&with, &points[p], &line, &h, &err));
                sum += h * (heat_w[i] - (i > 0 ? heat_w[i - 1] : 0.0)) / 40.0;
            }
            const double got = drop_at(&past, points[p], last);
            ck_assert_msg(fabs(got - sum) < 1e-3, "point %zu span %zu: %.6f against %.6f", p, last,
                          got, sum);
        }
    }
    end();
}
END_TEST

START_TEST(parts_add_up_and_a_line_in_two_is_the_line)
{
    begin();
    double end_s[MONTHS], heat_w[MONTHS], half_w[MONTHS];
    seasons(end_s, heat_w);
    for (size_t m = 0; m < MONTHS; m++) {
        half_w[m] = 0.5 * heat_w[m];
    }
    const gw_segment both[] = {level(0, 0, 1.8, 20), level(0, 20, 1.8, 20)};
    const gw_segment whole = level(0, 0, 1.8, 40);
    const gw_position p = {1.5, 12, 1.2};
    const gw_ground_past all = {both, 2, NULL, SOIL, end_s, heat_w, MONTHS};
    const gw_ground_past one = {&whole, 1, NULL, SOIL, end_s, heat_w, MONTHS};
    const gw_ground_past a = {&both[0], 1, NULL, SOIL, end_s, half_w, MONTHS};
    const gw_ground_past b = {&both[1], 1, NULL, SOIL, end_s, half_w, MONTHS};
    const double sum = drop_at(&a, p, 200) + drop_at(&b, p, 200);
    ck_close(drop_at(&all, p, 200), sum, 1e-6);
    ck_close(drop_at(&one, p, 200), sum, 1e-5);
    // Three quarters of the heat from the first line.
    static const double RELATIVE[] = {1.5, 0.5};
    const gw_ground_past unlike = {both, 2, RELATIVE, SOIL, end_s, heat_w, MONTHS};
    ck_close(drop_at(&unlike, p, 200), 1.5 * drop_at(&a, p, 200) + 0.5 * drop_at(&b, p, 200), 1e-6);
    end();
}
END_TEST

// A short line seen from another's place is the other seen from the first.
START_TEST(influence_is_mutual)
{
    begin();
    double end_s[MONTHS], heat_w[MONTHS];
    seasons(end_s, heat_w);
    const gw_segment a = level(0, 0, 1.2, 0.05);
    const gw_segment b = level(3, 2, 2.4, 0.05);
    const gw_ground_past from_a = {&a, 1, NULL, SOIL, end_s, heat_w, MONTHS};
    const gw_ground_past from_b = {&b, 1, NULL, SOIL, end_s, heat_w, MONTHS};
    ck_close(drop_at(&from_a, (gw_position){3, 2.025, 2.4}, 150),
             drop_at(&from_b, (gw_position){0, 0.025, 1.2}, 150), 1e-5);
    end();
}
END_TEST

static void hold_against_points(const gw_ground_past *past, const gw_ground_grid *grid)
{
    static const size_t SPANS[] = {5, 17, 239};
    const size_t cells = grid->nx * grid->ny;
    double *const map = gw_arena_alloc(arena, 3 * cells, sizeof *map);
    double *const direct = gw_arena_alloc(arena, 3 * cells, sizeof *direct);
    gw_position *const points = gw_arena_alloc(arena, cells, sizeof *points);
    for (size_t i = 0; i < cells; i++) {
        points[i] =
            (gw_position){grid->west_m + ((double)(i % grid->nx) + 0.5) *
                                             (grid->east_m - grid->west_m) / (double)grid->nx,
                          grid->south_m + ((double)(i / grid->nx) + 0.5) *
                                              (grid->north_m - grid->south_m) / (double)grid->ny,
                          grid->depth_m};
    }
    const gw_ground_ask ask = {points, cells, SPANS, 3};
    ck_assert_msg(gw_ground_at_grid(arena, past, grid, &ask, map, &err) == GW_OK, "%s %s",
                  err.field, err.text);
    ck_ok(gw_ground_at_points(arena, past, &ask, direct, &err));
    double most = 0.0, worst = 0.0;
    for (size_t i = 0; i < 3 * cells; i++) {
        most = fmax(most, fabs(direct[i]));
    }
    for (size_t i = 0; i < cells; i++) {
        for (size_t s = 0; s < 3; s++) {
            worst = fmax(worst, fabs(map[s * cells + i] - direct[i * 3 + s]));
        }
    }
    ck_assert_double_gt(most, 0.5);
    ck_assert_msg(worst < 3e-3 * most, "map off by %.5f of %.3f K", worst, most);
}

START_TEST(map_of_trenches_is_that_of_its_points)
{
    begin();
    double end_s[MONTHS], heat_w[MONTHS];
    seasons(end_s, heat_w);
    gw_segment lines[6];
    for (size_t i = 0; i < 6; i++) { // lanes of two lengths, turned by 30 degrees
        const double x = 3.0 * (double)(i / 2) + 0.5 * (double)(i % 2);
        const double length = i < 4 ? 40.0 : 25.0;
        const gw_position from = {x * 0.866, x * 0.5, 1.8};
        const gw_position to = {from.x_m - 0.5 * length, from.y_m + 0.866 * length, 1.8};
        lines[i] = gw_segment_between(from, to, 0.0167);
    }
    const gw_ground_past past = {lines, 6, NULL, SOIL, end_s, heat_w, MONTHS};
    const gw_ground_grid at_depth = {-30, 25, -10, 50, 41, 37, 1.0};
    hold_against_points(&past, &at_depth);
    end();
}
END_TEST

START_TEST(map_of_bores_is_that_of_its_points)
{
    begin();
    double end_s[MONTHS], heat_w[MONTHS];
    seasons(end_s, heat_w);
    gw_segment lines[5];
    for (size_t i = 0; i < 5; i++) {
        const double x = 6.0 * (double)i;
        lines[i] = gw_segment_between((gw_position){x, 1, 1.5}, (gw_position){x, 1, 41.5}, 0.075);
    }
    const gw_ground_past past = {lines, 5, NULL, ROCK, end_s, heat_w, MONTHS};
    const gw_ground_grid at_depth = {-15, 40, -20, 22, 43, 39, 20};
    hold_against_points(&past, &at_depth);
    static const double RELATIVE[] = {1.2, 0.9, 0.8, 0.9, 1.2};
    hold_against_points(&(gw_ground_past){lines, 5, RELATIVE, ROCK, end_s, heat_w, MONTHS},
                        &at_depth);
    lines[2] = gw_segment_between((gw_position){12, 1, 1.5}, (gw_position){22, 1, 41.5}, 0.075);
    hold_against_points(&past, &(gw_ground_grid){-15, 40, -20, 22, 15, 13, 20});
    end();
}
END_TEST

START_TEST(bad_input_is_named)
{
    begin();
    const gw_segment line = level(0, 0, 1.8, 40);
    const double end_s[] = {30 * DAY_S, 60 * DAY_S};
    const double back_s[] = {60 * DAY_S, 30 * DAY_S};
    const double heat_w[] = {1, 2};
    const double bad_w[] = {1, (double)NAN};
    const gw_position p = {0, 0, 1}, high = {0, 0, -1};
    const size_t span = 1, late = 2;
    double drop_k[2];
    const gw_ground_past good = {&line, 1, NULL, SOIL, end_s, heat_w, 2};
    const struct {
        gw_ground_past past;
        gw_ground_ask ask;
        const char *field;
    } cases[] = {
        {{&line, 0, NULL, SOIL, end_s, heat_w, 2}, {&p, 1, &span, 1}, "past.segments"},
        {{&line, 1, NULL, SOIL, end_s, heat_w, 0}, {&p, 1, &span, 1}, "past.count"},
        {{&line, 1, NULL, SOIL, back_s, heat_w, 2}, {&p, 1, &span, 1}, "past.end_s"},
        {{&line, 1, NULL, SOIL, end_s, bad_w, 2}, {&p, 1, &span, 1}, "past.heat_w"},
        {good, {&p, 1, &late, 1}, "spans"},
        {good, {&high, 1, &span, 1}, "points[0]"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        memset(&err, 0, sizeof err);
        ck_assert_int_eq(gw_ground_at_points(arena, &cases[i].past, &cases[i].ask, drop_k, &err),
                         GW_ERR_RANGE);
        ck_assert_str_eq(err.field, cases[i].field);
    }
    const gw_ground_ask ask = {NULL, 0, &span, 1};
    const gw_ground_grid grids[] = {{0, 1, 0, 1, 0, 1, 1},
                                    {0, 1, 0, 1, 1, 1, -1},
                                    {1, 1, 0, 1, 1, 1, 1},
                                    {0, 1, 0, (double)NAN, 1, 1, 1}};
    for (size_t i = 0; i < 4; i++) {
        ck_assert_int_eq(gw_ground_at_grid(arena, &good, &grids[i], &ask, drop_k, &err),
                         GW_ERR_RANGE);
    }
    end();
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("ground around a loop");
    TCase *const all = tcase_create("all");
    tcase_set_timeout(all, 60);
    tcase_add_test(all, influence_at_a_distance_is_that_of_the_line_source);
    tcase_add_test(all, steady_influence_is_that_of_line_and_mirror);
    tcase_add_test(all, surface_keeps_its_temperature_and_far_ground_is_untouched);
    tcase_add_test(all, months_superpose);
    tcase_add_test(all, parts_add_up_and_a_line_in_two_is_the_line);
    tcase_add_test(all, influence_is_mutual);
    tcase_add_test(all, map_of_trenches_is_that_of_its_points);
    tcase_add_test(all, map_of_bores_is_that_of_its_points);
    tcase_add_test(all, bad_input_is_named);
    suite_add_tcase(suite, all);
    return harness_run(suite);
}
