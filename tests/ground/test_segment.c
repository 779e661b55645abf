// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/random.h"
#include "ground/segment.h"
#include "harness.h"

#include <math.h>
#include <string.h>

static gw_segment bore(double x_m, double y_m)
{
    return (gw_segment){x_m, y_m, 2.0, 0.0, 0.0, 1.0, 100.0, 0.07};
}

START_TEST(ends_direction_and_length_belong_together)
{
    const gw_position a = {1.0, 2.0, 3.0}, b = {4.0, 6.0, 15.0};
    const gw_segment s = gw_segment_between(a, b, 0.02);
    ck_close(s.length_m, 13.0, 1e-15);
    const gw_position end = gw_segment_point(&s, s.length_m);
    ck_close(end.x_m, b.x_m, 1e-15);
    ck_close(end.y_m, b.y_m, 1e-15);
    ck_close(end.z_m, b.z_m, 1e-15);
    ck_assert(gw_segment_check(&s, 0, NULL) == GW_OK);
}
END_TEST

START_TEST(pieces_join_and_fill_the_whole)
{
    const gw_segment whole = bore(0.0, 0.0);
    gw_segment part[16];
    for (int kind = 0; kind < 2; ++kind) {
        ck_assert(gw_segment_cut(&whole, 16, kind == 0 ? GW_CUT_EQUAL : GW_CUT_COSINE, part,
                                 NULL) == GW_OK);
        double z = 2.0;
        for (size_t i = 0; i < 16; ++i) {
            ck_close(part[i].z_m, z, 1e-13);
            z += part[i].length_m;
        }
        ck_close(z, 102.0, 1e-13);
        ck_assert(gw_segments_check(part, 16, NULL) == GW_OK);
    }
    ck_close(part[0].length_m, 50.0 * (1.0 - cos(M_PI / 16.0)), 1e-12);
    ck_assert(gw_segment_cut(&whole, 0, GW_CUT_EQUAL, part, NULL) == GW_ERR_RANGE);
}
END_TEST

// Sampling both lines can never find a smaller distance, and finds nearly the same.
START_TEST(gap_is_the_least_distance)
{
    gw_random random;
    gw_random_init(&random, 3);
    for (int n = 0; n < 200; ++n) {
        gw_position p[4];
        for (int i = 0; i < 4; ++i) {
            p[i] =
                (gw_position){10.0 * gw_random_uniform(&random), 10.0 * gw_random_uniform(&random),
                              10.0 * gw_random_uniform(&random)};
        }
        const gw_segment a = gw_segment_between(p[0], p[1], 0.01);
        const gw_segment b = gw_segment_between(p[2], p[3], 0.01);
        double least = 1e9;
        for (int i = 0; i <= 200; ++i) {
            for (int j = 0; j <= 200; ++j) {
                const gw_position u = gw_segment_point(&a, a.length_m * i / 200.0);
                const gw_position v = gw_segment_point(&b, b.length_m * j / 200.0);
                least = fmin(least, hypot(hypot(u.x_m - v.x_m, u.y_m - v.y_m), u.z_m - v.z_m));
            }
        }
        const double gap = gw_segment_gap_m(&a, &b);
        ck_assert(gap <= least + 1e-12);
        ck_assert(gap >= least - 0.09);
        ck_close(gw_segment_gap_m(&b, &a), gap, 1e-9);
    }
}
END_TEST

START_TEST(gap_of_parallel_and_collinear_lines)
{
    const gw_segment a = bore(0.0, 0.0), b = bore(3.0, 4.0);
    gw_segment below = a;
    below.z_m = 110.0;
    ck_close(gw_segment_gap_m(&a, &b), 5.0, 1e-14);
    ck_close(gw_segment_gap_m(&a, &below), 8.0, 1e-14);
}
END_TEST

static void expect_bad(const gw_segment *segment, gw_status want, const char *word)
{
    gw_err err = {0};
    ck_assert(gw_segment_check(segment, 4, &err) == want);
    ck_assert_str_eq(err.field, "segments[4]");
    ck_assert_msg(strstr(err.text, word) != NULL, "\"%s\" must name %s", err.text, word);
}

START_TEST(rejects_each_bad_value)
{
    gw_segment s = bore(0.0, 0.0);
    s.length_m = 0.0;
    expect_bad(&s, GW_ERR_GEOMETRY, "length");
    s.length_m = nan("");
    expect_bad(&s, GW_ERR_GEOMETRY, "length");
    s.length_m = 2001.0;
    expect_bad(&s, GW_ERR_RANGE, "length");
    s = bore(0.0, 0.0);
    s.radius_m = 0.0;
    expect_bad(&s, GW_ERR_RANGE, "radius");
    s = bore(0.0, 0.0);
    s.x_m = HUGE_VAL;
    expect_bad(&s, GW_ERR_RANGE, "start");
    s = bore(0.0, 0.0);
    s.dz = 0.9;
    expect_bad(&s, GW_ERR_RANGE, "direction");
    s = bore(0.0, 0.0);
    s.z_m = -0.5;
    expect_bad(&s, GW_ERR_GEOMETRY, "above the surface");
    // A pipe whose axis is below the surface but whose wall is not.
    s = (gw_segment){0.0, 0.0, 0.01, 1.0, 0.0, 0.0, 10.0, 0.02};
    expect_bad(&s, GW_ERR_GEOMETRY, "above the surface");
}
END_TEST

static void expect_bad_pair(const gw_segment *three, const char *word)
{
    gw_err err = {0};
    ck_assert(gw_segments_check(three, 3, &err) == GW_ERR_GEOMETRY);
    ck_assert_str_eq(err.field, "segments[1], segments[2]");
    ck_assert_msg(strstr(err.text, word) != NULL, "\"%s\" must say %s", err.text, word);
}

START_TEST(names_the_two_that_collide)
{
    gw_segment s[3] = {bore(50.0, 0.0), bore(0.0, 0.0), bore(0.0, 0.0)};
    expect_bad_pair(s, "duplicate");
    s[2] = bore(0.1, 0.0);
    expect_bad_pair(s, "as near as 0.1 m");
    // Crossing
    s[2] = (gw_segment){-5.0, 0.0, 30.0, 1.0, 0.0, 0.0, 10.0, 0.07};
    expect_bad_pair(s, "as near as 0 m");
    // Overlap on one line
    s[2] = bore(0.0, 0.0);
    s[2].z_m = 60.0;
    expect_bad_pair(s, "as near as 0 m");
    // Joined at the top but folded back on the first
    s[2] = bore(0.0, 0.0);
    s[2].length_m = 40.0;
    expect_bad_pair(s, "as near as 0 m");
    // Joined end to end, and far enough apart: fine
    s[2] = bore(0.0, 0.0);
    s[2].z_m = 102.0;
    ck_assert(gw_segments_check(s, 3, NULL) == GW_OK);
    s[2] = bore(0.15, 0.0);
    ck_assert(gw_segments_check(s, 3, NULL) == GW_OK);
    ck_assert(gw_segments_check(s, 0, NULL) == GW_ERR_MISSING);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("ground segments");
    TCase *const all = tcase_create("all");
    tcase_add_test(all, ends_direction_and_length_belong_together);
    tcase_add_test(all, pieces_join_and_fill_the_whole);
    tcase_add_test(all, gap_is_the_least_distance);
    tcase_add_test(all, gap_of_parallel_and_collinear_lines);
    tcase_add_test(all, rejects_each_bad_value);
    tcase_add_test(all, names_the_two_that_collide);
    suite_add_tcase(suite, all);
    return harness_run(suite);
}
