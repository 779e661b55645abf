// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Step responses against exact values. "computed" values: closed forms evaluated independently
// with 15 digits or more (mpmath), two methods agreeing to the digits shown.
#include "base/random.h"
#include "ground/kernel.h"
#include "ground/response.h"
#include "harness.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_sf_expint.h>
#include <math.h>

#define DAY 86400.0
#define YEAR 31536000.0

static const double FOUR_TIMES[4] = {30.0 * DAY, YEAR, 10.0 * YEAR, 50.0 * YEAR};
static const gw_response_case UNIT = {{1.0, 1e-6}, FOUR_TIMES, 4, false};

static gw_segment vertical(double x_m, double top_m, double length_m, double radius_m)
{
    return (gw_segment){x_m, 0.0, top_m, 0.0, 0.0, 1.0, length_m, radius_m};
}

static gw_segment flat(double y_m, double depth_m, double length_m, double radius_m)
{
    return (gw_segment){0.0, y_m, depth_m, 1.0, 0.0, 0.0, length_m, radius_m};
}

static void expect(const gw_segment *on, const gw_segment *from, const double want[4], double rel)
{
    gw_err err = {0};
    double h[4];
    const gw_status st = gw_response_between(&UNIT, on, from, h, &err);
    ck_assert_msg(st == GW_OK, "%s", err.text);
    for (size_t i = 0; i < 4; ++i) {
        ck_close(h[i], want[i], rel);
    }
}

// Responses of finite line sources with mirror; computed, independent double integration.
START_TEST(vertical_bore_on_itself)
{
    const gw_segment a = vertical(0.0, 2.0, 100.0, 0.07);
    expect(&a, &a, (double[]){0.560658264, 0.751217129, 0.904970236, 0.977093203}, 2e-9);
}
END_TEST

START_TEST(vertical_pair)
{
    const gw_segment a = vertical(0.0, 2.0, 100.0, 0.07), b = vertical(6.0, 2.0, 100.0, 0.07);
    expect(&a, &b, (double[]){0.000564474939, 0.0711646744, 0.208426496, 0.279457234}, 2.5e-9);
}
END_TEST

START_TEST(vertical_pair_of_unequal_lengths_and_depths)
{
    const gw_segment a = vertical(0.0, 2.0, 100.0, 0.07), b = vertical(6.0, 1.0, 60.0, 0.07);
    expect(&a, &b, (double[]){0.00033589151, 0.0422001981, 0.122104232, 0.159665666}, 2e-8);
}
END_TEST

START_TEST(inclined_pair)
{
    const double tilt = 15.0 * M_PI / 180.0;
    const gw_segment a = {0.0, 0.0, 1.5, -sin(tilt), 0.0, cos(tilt), 90.0, 0.07};
    const gw_segment b = {3.0, 0.0, 1.5, sin(tilt), 0.0, cos(tilt), 90.0, 0.07};
    const double want[4] = {0.0002808, 0.0091620, 0.0510477, 0.0969072};
    double h[4];
    ck_assert(gw_response_between(&UNIT, &a, &b, h, NULL) == GW_OK);
    for (size_t i = 0; i < 4; ++i) {
        ck_assert_msg(fabs(h[i] - want[i]) <= 0.51e-7, "time %zu: %.10f, want %.7f", i, h[i],
                      want[i]);
    }
}
END_TEST

START_TEST(horizontal_pipe_on_itself)
{
    const gw_segment a = flat(0.0, 1.8, 60.0, 0.0167);
    expect(&a, &a, (double[]){0.7753633, 0.8394067, 0.8454093, 0.8457783}, 6.5e-8);
}
END_TEST

START_TEST(horizontal_pair)
{
    const gw_segment a = flat(0.0, 1.8, 60.0, 0.0167), b = flat(0.6, 1.8, 60.0, 0.0167);
    expect(&a, &b, (double[]){0.2100641, 0.2729954, 0.2789885, 0.2793574}, 2.4e-7);
}
END_TEST

// Single bore, mean over depth, uniform flux, r/H = 0.0005: g = 2πk h at times by ln(t/ts),
// ts = H²/(9α). Computed from the one-integral form (Claesson & Javed 2011).
static const double LOG_TIMES[13] = {-8.5, -7, -6, -5, -4, -3, -2, -1, 0, 1, 2, 3, 20};
static const double G_SINGLE[3][13] = {
    {2.650891, 3.390840, 3.879597, 4.361306, 4.831238, 5.281696, 5.700027, 6.065386, 6.344800,
     6.508339, 6.575007, 6.595048, 6.601652},
    {2.653331, 3.396273, 3.888702, 4.376198, 4.854222, 5.314642, 5.744213, 6.121623, 6.413368,
     6.587231, 6.659489, 6.681494, 6.688796},
    {2.653331, 3.396273, 3.888712, 4.376460, 4.855740, 5.318935, 5.752636, 6.135130, 6.432486,
     6.611311, 6.686363, 6.709372, 6.717034}};

START_TEST(single_bore_over_all_times)
{
    const double depth[3] = {0.0, 4.0 / 150.0, 0.04};
    const double length = 150.0, ts = length * length / 9e-6;
    double times[13], h[13];
    for (size_t i = 0; i < 13; ++i) {
        times[i] = ts * exp(LOG_TIMES[i]);
    }
    const gw_response_case with = {{1.0, 1e-6}, times, 13, false};
    for (size_t d = 0; d < 3; ++d) {
        const gw_segment a = vertical(0.0, depth[d] * length, length, 0.075);
        ck_assert(gw_response_between(&with, &a, &a, h, NULL) == GW_OK);
        for (size_t i = 0; i < 13; ++i) {
            const double g = 2.0 * M_PI * h[i];
            ck_assert_msg(fabs(g - G_SINGLE[d][i]) <= 0.51e-6 + 2e-9 * g,
                          "D/H %g, ln %g: %.8f, want %.6f", depth[d], LOG_TIMES[i], g,
                          G_SINGLE[d][i]);
        }
    }
    // One more digit set of the same source: D = 0, ln(t/ts) = 0.
    const double at_ts[1] = {ts};
    const gw_segment a = vertical(0.0, 0.0, length, 0.075);
    ck_assert(gw_response_between(&(gw_response_case){{1.0, 1e-6}, at_ts, 1, false}, &a, &a, h,
                                  NULL) == GW_OK);
    ck_close(2.0 * M_PI * h[0], 6.34480024052, 1e-11);
}
END_TEST

// D = 0: g(∞) → ln(H/r) − 1 + O(r/H), exact.
START_TEST(steady_limit_of_a_bore_from_the_surface)
{
    const double ever[1] = {HUGE_VAL};
    const gw_segment a = vertical(0.0, 0.0, 150.0, 0.075);
    double h[1];
    ck_assert(gw_response_between(&(gw_response_case){{1.0, 1e-6}, ever, 1, false}, &a, &a, h,
                                  NULL) == GW_OK);
    ck_close(2.0 * M_PI * h[0], log(2000.0) - 1.0, 1.2e-4);
    ck_assert(fabs(2.0 * M_PI * h[0] - 6.601652) <= 0.51e-6);
}
END_TEST

// Eskilson 1987: g ≈ ln(H/2r) + ½ ln(t/ts) between 5r²/α and ts, ln(H/2r) after; within 7 %.
START_TEST(within_seven_percent_of_eskilson)
{
    const double length = 150.0, ts = length * length / 9e-6;
    double times[12], h[12];
    for (size_t i = 0; i < 12; ++i) {
        times[i] = ts * exp(LOG_TIMES[i]);
    }
    const gw_segment a = vertical(0.0, 4.0, length, 0.075);
    ck_assert(gw_response_between(&(gw_response_case){{1.0, 1e-6}, times, 12, false}, &a, &a, h,
                                  NULL) == GW_OK);
    for (size_t i = 0; i < 12; ++i) {
        const double line = log(1000.0) + fmin(0.0, 0.5 * LOG_TIMES[i]);
        ck_close(2.0 * M_PI * h[i], line, 0.075);
    }
}
END_TEST

// Infinite line E1(r²/4αt)/(4πk): long segment, deep, early.
START_TEST(infinite_line_at_short_times)
{
    const double times[4] = {3600.0, 36000.0, 360000.0, 3.6e6};
    const gw_segment a = vertical(0.0, 500.0, 1500.0, 0.06), b = vertical(0.3, 500.0, 1500.0, 0.06);
    const gw_response_case with = {{2.0, 1e-6}, times, 4, false};
    const gw_position middle = {0.3, 0.0, 1200.0};
    double self[4], pair[4], point[4];
    ck_assert(gw_response_between(&with, &a, &a, self, NULL) == GW_OK);
    ck_assert(gw_response_between(&with, &b, &a, pair, NULL) == GW_OK);
    ck_assert(gw_response_at_point(&with, &middle, &a, point, NULL) == GW_OK);
    for (size_t i = 0; i < 4; ++i) {
        const double scale = 1.0 / (8.0 * M_PI), spread = 4e-6 * times[i];
        const double ends = 1.2 * sqrt(1e-6 * times[i]) / 1500.0; // what the two ends lose
        ck_close(self[i], scale * gsl_sf_expint_E1(0.0036 / spread), ends + 1e-9);
        ck_close(point[i], scale * gsl_sf_expint_E1(0.09 / spread), 1e-8);
        ck_close(pair[i], point[i], ends + 1e-9);
    }
}
END_TEST

// Four pipes and others: E1 sums with mirror (Ingersoll's line source), long pipes at mid length.
START_TEST(points_beside_a_long_trench)
{
    // Line of 40 W/m at 1.5 m, point at 0.9 m depth, k 1.4, α 0.05 m²/day; computed, E1 sums.
    const double times[4] = {30.0 * DAY, 90.0 * DAY, 180.0 * DAY, HUGE_VAL};
    const gw_response_case with = {{1.4, 0.05 / DAY}, times, 4, false};
    const gw_segment line = {-1000.0, 0.0, 1.5, 1.0, 0.0, 0.0, 2000.0, 0.0167};
    const double x[5] = {1.5, 3.0, 5.0, 7.6, 15.2};
    const double want[5][4] = {{1.180, 1.958, 2.232, 2.550},
                               {0.148, 0.538, 0.746, 1.036},
                               {0.0043, 0.093, 0.202, 0.439},
                               {8e-6, 0.0069, 0.037, 0.202},
                               {0.0, 1e-7, 8e-5, 0.052}};
    const double digits[5][4] = {{5e-4, 5e-4, 5e-4, 5e-4},
                                 {5e-4, 5e-4, 5e-4, 5e-4},
                                 {5e-5, 5e-4, 5e-4, 5e-4},
                                 {5e-7, 5e-5, 5e-4, 5e-4},
                                 {1e-9, 5e-8, 5e-6, 5e-4}};
    for (size_t i = 0; i < 5; ++i) {
        double h[4];
        const gw_position at = {0.0, x[i], 0.9};
        ck_assert(gw_response_at_point(&with, &at, &line, h, NULL) == GW_OK);
        for (size_t t = 0; t < 4; ++t) {
            ck_assert_msg(fabs(40.0 * h[t] - want[i][t]) <= 1.1 * digits[i][t],
                          "x %g time %zu: %.9f want %.9f", x[i], t, 40.0 * h[t], want[i][t]);
        }
    }
}
END_TEST

// ---- independent adaptive double integration ----

typedef struct {
    const gw_segment *a, *b;
    double width, u, add2;
} pair;

static double distance(const pair *p, double v)
{
    const gw_position x = gw_segment_point(p->a, p->u), y = gw_segment_point(p->b, v);
    const double dx = x.x_m - y.x_m, dy = x.y_m - y.y_m, dz = x.z_m - y.z_m;
    return sqrt(dx * dx + dy * dy + dz * dz + p->add2);
}

static double inner(double v, void *data)
{
    const pair *const p = data;
    const double r = distance(p, v);
    return erfc(r / p->width) / r;
}

static gsl_integration_workspace *work_inner, *work_outer;

static double outer(double u, void *data)
{
    pair p = *(pair *)data;
    p.u = u;
    const gsl_function f = {inner, &p};
    double sum = 0.0, error = 0.0;
    gsl_integration_qag(&f, 0.0, p.b->length_m, 1e-15, 1e-9, 200, GSL_INTEG_GAUSS21, work_inner,
                        &sum, &error);
    return sum;
}

static double by_quadrature(const gw_segment *a, const gw_segment *b, double time, double add2)
{
    double total = 0.0;
    gw_segment mirror = gw_kernel_mirror(b);
    for (int part = 0; part < 2; ++part) {
        pair p = {a, part == 0 ? b : &mirror, sqrt(4e-6 * time), 0.0, part == 0 ? add2 : 0.0};
        const gsl_function f = {outer, &p};
        double sum = 0.0, error = 0.0;
        gsl_integration_qag(&f, 0.0, a->length_m, 1e-14, 1e-8, 200, GSL_INTEG_GAUSS21, work_outer,
                            &sum, &error);
        total += part == 0 ? sum : -sum;
    }
    return total / (4.0 * M_PI * a->length_m);
}

static gw_segment random_segment(gw_random *random, double size)
{
    for (;;) {
        const gw_position p = {size * gw_random_uniform(random), size * gw_random_uniform(random),
                               0.3 + size * gw_random_uniform(random)};
        const gw_position q = {size * gw_random_uniform(random), size * gw_random_uniform(random),
                               0.3 + size * gw_random_uniform(random)};
        const gw_segment s = gw_segment_between(p, q, 0.02);
        if (s.length_m > 0.05 * size) {
            return s;
        }
    }
}

START_TEST(random_pairs_agree_with_adaptive_double_integration)
{
    gsl_set_error_handler_off();
    work_inner = gsl_integration_workspace_alloc(200);
    work_outer = gsl_integration_workspace_alloc(200);
    gw_random random;
    gw_random_init(&random, 20260);
    const double times[5] = {10.0 * DAY, 100.0 * DAY, YEAR, 25.0 * YEAR, 1e5 * YEAR};
    const gw_response_case with = {{1.0, 1e-6}, times, 5, false};
    double worst = 0.0;
    for (size_t n = 0; n < 300; ++n) {
        const double size = n % 3 == 0 ? 2.0 : n % 3 == 1 ? 10.0 : 60.0;
        const gw_segment a = random_segment(&random, size), b = random_segment(&random, size);
        if (gw_segment_gap_m(&a, &b) < 0.04) {
            continue;
        }
        double h[5];
        ck_assert(gw_response_between(&with, &a, &b, h, NULL) == GW_OK);
        const size_t i = n % 5;
        const double want = by_quadrature(&a, &b, times[i], 0.0);
        const double error = fabs(h[i] - want) / (want + 1e-4);
        worst = fmax(worst, error);
        ck_assert_msg(fabs(h[i] - want) <= 1e-6 * want + 1e-10, "pair %zu size %g: %.12g, %.12g", n,
                      size, h[i], want);
    }
    ck_assert(worst < 1e-6);
    gsl_integration_workspace_free(work_inner);
    gsl_integration_workspace_free(work_outer);
}
END_TEST

// Chords that share an end, and crossing axes: the wall rule against the same rule integrated.
START_TEST(joined_and_crossing_chords_use_the_wall)
{
    gsl_set_error_handler_off();
    work_inner = gsl_integration_workspace_alloc(200);
    work_outer = gsl_integration_workspace_alloc(200);
    const double times[2] = {DAY, YEAR};
    const gw_response_case with = {{1.0, 1e-6}, times, 2, false};
    const gw_position p = {0, 0, 1.5}, q = {0.3, 0, 1.5}, r = {0.5, 0.2, 1.5}, s = {0.1, -0.1, 1.5},
                      t = {0.2, 0.2, 1.5};
    const gw_segment a = gw_segment_between(p, q, 0.0167), b = gw_segment_between(q, r, 0.0167),
                     c = gw_segment_between(s, t, 0.0167);
    double h[2];
    ck_assert(gw_response_between(&with, &a, &b, h, NULL) == GW_OK);
    ck_close(h[0], by_quadrature(&a, &b, DAY, 0.0167 * 0.0167), 1e-6);
    ck_close(h[1], by_quadrature(&a, &b, YEAR, 0.0167 * 0.0167), 1e-6);
    ck_assert(gw_response_between(&with, &a, &c, h, NULL) == GW_OK);
    ck_close(h[0], by_quadrature(&a, &c, DAY, 0.0167 * 0.0167), 1e-6);
    gsl_integration_workspace_free(work_inner);
    gsl_integration_workspace_free(work_outer);
}
END_TEST

START_TEST(reciprocity_in_any_direction)
{
    gw_random random;
    gw_random_init(&random, 7);
    for (size_t n = 0; n < 200; ++n) {
        const gw_segment a = random_segment(&random, 20.0), b = random_segment(&random, 20.0);
        double ab[4], ba[4];
        ck_assert(gw_response_between(&UNIT, &a, &b, ab, NULL) == GW_OK);
        ck_assert(gw_response_between(&UNIT, &b, &a, ba, NULL) == GW_OK);
        for (size_t i = 0; i < 4; ++i) {
            ck_close(a.length_m * ab[i], b.length_m * ba[i], 1e-7);
        }
    }
}
END_TEST

START_TEST(grows_with_time_to_the_steady_state)
{
    gw_random random;
    gw_random_init(&random, 8);
    double times[40], h[40];
    for (size_t i = 0; i < 39; ++i) {
        times[i] = 3600.0 * pow(10.0, 0.2 * (double)i);
    }
    times[39] = HUGE_VAL;
    const gw_response_case with = {{1.0, 1e-6}, times, 40, false};
    for (size_t n = 0; n < 60; ++n) {
        const gw_segment a = random_segment(&random, 20.0), b = random_segment(&random, 20.0);
        ck_assert(gw_response_between(&with, &a, n % 4 == 0 ? &a : &b, h, NULL) == GW_OK);
        for (size_t i = 1; i < 40; ++i) {
            ck_assert(h[i] >= h[i - 1] * (1.0 - 1e-12));
        }
        ck_close(h[38], h[39], 1e-3);
    }
}
END_TEST

// Moving both along the surface or turning both about a vertical axis changes nothing.
START_TEST(moving_and_turning_changes_nothing)
{
    gw_random random;
    gw_random_init(&random, 9);
    for (size_t n = 0; n < 60; ++n) {
        const gw_segment a = random_segment(&random, 20.0), b = random_segment(&random, 20.0);
        const double c = cos(1.1 + (double)n), s = sin(1.1 + (double)n);
        gw_segment moved[2] = {a, b};
        for (size_t i = 0; i < 2; ++i) {
            const gw_segment o = moved[i];
            moved[i].x_m = c * o.x_m - s * o.y_m + 100.0;
            moved[i].y_m = s * o.x_m + c * o.y_m - 55.0;
            moved[i].dx = c * o.dx - s * o.dy;
            moved[i].dy = s * o.dx + c * o.dy;
        }
        double h[4], same[4];
        ck_assert(gw_response_between(&UNIT, &a, &b, h, NULL) == GW_OK);
        ck_assert(gw_response_between(&UNIT, &moved[0], &moved[1], same, NULL) == GW_OK);
        for (size_t i = 0; i < 4; ++i) {
            ck_close(same[i], h[i], 1e-8);
        }
    }
}
END_TEST

// A line is the sum of its pieces; almost parallel lines go over into parallel ones.
START_TEST(pieces_add_up_and_directions_are_continuous)
{
    const gw_segment a = vertical(0.0, 2.0, 90.0, 0.07), b = vertical(5.0, 3.0, 60.0, 0.07);
    gw_segment piece[7];
    ck_assert(gw_segment_cut(&b, 7, GW_CUT_COSINE, piece, NULL) == GW_OK);
    double whole[4], sum[4] = {0}, part[4];
    ck_assert(gw_response_between(&UNIT, &a, &b, whole, NULL) == GW_OK);
    for (size_t i = 0; i < 7; ++i) {
        ck_assert(gw_response_between(&UNIT, &a, &piece[i], part, NULL) == GW_OK);
        for (size_t t = 0; t < 4; ++t) {
            sum[t] += part[t];
        }
    }
    gw_segment tilted = b;
    tilted.dx = 1e-9;
    double near[4];
    ck_assert(gw_response_between(&UNIT, &a, &tilted, near, NULL) == GW_OK);
    for (size_t t = 0; t < 4; ++t) {
        ck_close(sum[t], whole[t], 1e-9);
        ck_close(near[t], whole[t], 1e-7);
    }
}
END_TEST

// A point response integrated along the receiver is the mean response.
START_TEST(points_average_to_the_segment)
{
    const gw_segment a = vertical(4.0, 2.0, 30.0, 0.07), b = vertical(0.0, 2.0, 50.0, 0.07);
    double h[4], mean[4] = {0}, node[20], weight[20];
    gw_gauss_legendre(20, node, weight);
    ck_assert(gw_response_between(&UNIT, &a, &b, h, NULL) == GW_OK);
    for (size_t i = 0; i < 20; ++i) {
        double at[4];
        const gw_position p = gw_segment_point(&a, 15.0 * (1.0 + node[i]));
        ck_assert(gw_response_at_point(&UNIT, &p, &b, at, NULL) == GW_OK);
        for (size_t t = 0; t < 4; ++t) {
            mean[t] += 0.5 * weight[i] * at[t];
        }
    }
    for (size_t t = 0; t < 4; ++t) {
        ck_close(mean[t], h[t], 1e-7);
    }
}
END_TEST

// Half-space: the surface stays as it was; without the mirror it does not.
START_TEST(surface_keeps_its_temperature)
{
    const gw_segment a = flat(0.0, 1.2, 30.0, 0.0167);
    const gw_position top = {10.0, 0.4, 0.0};
    double h[4];
    ck_assert(gw_response_at_point(&UNIT, &top, &a, h, NULL) == GW_OK);
    gw_response_case free_space = UNIT;
    free_space.without_mirror = true;
    double free_h[4];
    ck_assert(gw_response_at_point(&free_space, &top, &a, free_h, NULL) == GW_OK);
    for (size_t t = 0; t < 4; ++t) {
        ck_assert(fabs(h[t]) < 1e-12);
        ck_assert(free_h[t] > 0.05);
    }
}
END_TEST

// Ring source (Li et al. 2012) of many chords: computed from the erfc(d)/d integral, wall value =
// mean of the points at R ± r. k 1.4, α 0.05 m²/day, 10 W/m, R 0.4 m, r 0.0167 m, depth 1.5 m.
START_TEST(ring_of_chords)
{
    enum { CHORDS = 180 };
    const double times[5] = {DAY, 10 * DAY, 30 * DAY, 90 * DAY, 365 * DAY};
    const double mirrored[5] = {3.46931, 4.89276, 5.29374, 5.45462, 5.50145};
    const double unmirrored[5] = {3.46931, 4.89383, 5.33030, 5.59924, 5.78856};
    for (int without = 0; without < 2; ++without) {
        const gw_response_case with = {{1.4, 0.05 / DAY}, times, 5, without == 1};
        double sum[5] = {0};
        for (size_t i = 0; i < CHORDS; ++i) {
            const double from = 2.0 * M_PI * ((double)i - 0.5) / CHORDS,
                         to = 2.0 * M_PI * ((double)i + 0.5) / CHORDS;
            const gw_segment chord =
                gw_segment_between((gw_position){0.4 * cos(from), 0.4 * sin(from), 1.5},
                                   (gw_position){0.4 * cos(to), 0.4 * sin(to), 1.5}, 0.0005);
            for (int side = -1; side <= 1; side += 2) {
                const gw_position p = {0.4 + side * 0.0167, 0.0, 1.5};
                double h[5];
                ck_assert(gw_response_at_point(&with, &p, &chord, h, NULL) == GW_OK);
                for (size_t t = 0; t < 5; ++t) {
                    sum[t] += 0.5 * 10.0 * h[t];
                }
            }
        }
        for (size_t t = 0; t < 5; ++t) {
            ck_close(sum[t], without ? unmirrored[t] : mirrored[t], 3e-4);
        }
    }
}
END_TEST

START_TEST(map_is_the_sum_of_its_parts)
{
    const gw_segment lines[2] = {flat(0.0, 1.2, 30.0, 0.0167), vertical(8.0, 1.5, 40.0, 0.06)};
    const gw_position points[3] = {{3.0, 1.0, 0.8}, {8.0, 0.0, 20.0}, {-40.0, 5.0, 0.0}};
    const double loads[2] = {12.0, -30.0};
    double change[12];
    const gw_response_map map = {lines, loads, 2, points, 3};
    ck_assert(gw_response_map_points(&UNIT, &map, change, NULL) == GW_OK);
    for (size_t i = 0; i < 3; ++i) {
        double one[4], two[4];
        ck_assert(gw_response_at_point(&UNIT, &points[i], &lines[0], one, NULL) == GW_OK);
        ck_assert(gw_response_at_point(&UNIT, &points[i], &lines[1], two, NULL) == GW_OK);
        for (size_t t = 0; t < 4; ++t) {
            ck_assert(fabs(change[i * 4 + t] - (12.0 * one[t] - 30.0 * two[t])) < 1e-8);
        }
    }
    gw_err err = {0};
    const double bad[2] = {1.0, nan("")};
    ck_assert(gw_response_map_points(&UNIT, &(gw_response_map){lines, bad, 2, points, 3}, change,
                                     &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "load");
    ck_assert(gw_response_map_points(&UNIT, &(gw_response_map){lines, NULL, 0, points, 3}, change,
                                     &err) == GW_ERR_MISSING);
}
END_TEST

START_TEST(rejects_bad_input)
{
    const gw_segment a = vertical(0.0, 2.0, 100.0, 0.07);
    gw_err err = {0};
    double h[4];
    gw_response_case bad = UNIT;
    bad.medium.conductivity_w_mk = nan("");
    ck_assert(gw_response_between(&bad, &a, &a, h, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "conductivity");
    bad = UNIT;
    bad.medium.diffusivity_m2_s = 0.0;
    ck_assert(gw_response_between(&bad, &a, &a, h, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "diffusivity");
    bad = UNIT;
    bad.count = 0;
    ck_assert(gw_response_between(&bad, &a, &a, h, &err) == GW_ERR_MISSING);
    const double falling[2] = {2.0, 1.0};
    bad = UNIT;
    bad.times_s = falling;
    bad.count = 2;
    ck_assert(gw_response_between(&bad, &a, &a, h, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "times[1]");
    gw_segment off = a;
    off.length_m = 0.0;
    ck_assert(gw_response_between(&UNIT, &a, &off, h, &err) == GW_ERR_GEOMETRY);
    const gw_position above = {0.0, 0.0, -0.1};
    ck_assert(gw_response_at_point(&UNIT, &above, &a, h, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "points[0]");
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("ground responses");
    TCase *const values = tcase_create("published and computed values");
    tcase_set_timeout(values, 120);
    tcase_add_test(values, vertical_bore_on_itself);
    tcase_add_test(values, vertical_pair);
    tcase_add_test(values, vertical_pair_of_unequal_lengths_and_depths);
    tcase_add_test(values, inclined_pair);
    tcase_add_test(values, horizontal_pipe_on_itself);
    tcase_add_test(values, horizontal_pair);
    tcase_add_test(values, single_bore_over_all_times);
    tcase_add_test(values, steady_limit_of_a_bore_from_the_surface);
    tcase_add_test(values, within_seven_percent_of_eskilson);
    tcase_add_test(values, infinite_line_at_short_times);
    tcase_add_test(values, points_beside_a_long_trench);
    tcase_add_test(values, ring_of_chords);
    suite_add_tcase(suite, values);
    TCase *const laws = tcase_create("laws");
    tcase_set_timeout(laws, 120);
    tcase_add_test(laws, random_pairs_agree_with_adaptive_double_integration);
    tcase_add_test(laws, joined_and_crossing_chords_use_the_wall);
    tcase_add_test(laws, reciprocity_in_any_direction);
    tcase_add_test(laws, grows_with_time_to_the_steady_state);
    tcase_add_test(laws, moving_and_turning_changes_nothing);
    tcase_add_test(laws, pieces_add_up_and_directions_are_continuous);
    tcase_add_test(laws, points_average_to_the_segment);
    tcase_add_test(laws, surface_keeps_its_temperature);
    tcase_add_test(laws, map_is_the_sum_of_its_parts);
    tcase_add_test(laws, rejects_bad_input);
    suite_add_tcase(suite, laws);
    return harness_run(suite);
}
