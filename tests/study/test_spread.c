// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/spread.h"

#include "desk.h"

#include <math.h>
#include <omp.h>

static gw_spread run(desk *d, const gw_job *job, size_t loop)
{
    const gw_spread_input in = {.design = {.job = job}, .loop = loop, .years = {1, 3, 6, 10}};
    gw_spread out;
    ck_ok(gw_spread_run(d->arena, &in, &out, &d->err), *d);
    return out;
}

static const gw_spread_row *row_of(const gw_spread *s, const char *what)
{
    for (size_t i = 0; i < s->count; i++) {
        if (strcmp(s->rows[i].what, what) == 0) {
            return &s->rows[i];
        }
    }
    ck_abort_msg("no row %s", what);
    return NULL;
}

START_TEST(every_variant_keeps_the_length)
{
    desk d;
    open_desk(&d);
    const gw_job *const job = open_job(&d, "farmhouse");
    const gw_spread s = run(&d, job, 1);
    ck_assert_uint_eq(s.count, 5);
    for (size_t i = 0; i < s.count; i++) {
        const gw_spread_row *const r = &s.rows[i];
        if (r->done) {
            ck_close(r->length_m, s.rows[0].length_m, 1e-12);
            ck_close((double)r->count * r->each_m, s.rows[0].length_m, 1e-12);
            ck_assert(r->at[0].year == 1.0 && r->at[3].year == 10.0);
        } else {
            ck_assert(r->why_not[0] != '\0');
        }
    }
    ck_close(row_of(&s, "half the area")->area_m2, 0.5 * s.rows[0].area_m2, 1e-12);
    ck_close(row_of(&s, "half the spacing")->area_m2, 0.25 * s.rows[0].area_m2, 1e-12);
    close_desk(&d);
}
END_TEST

// The farmhouse takes more heat than it gives back: crowding makes every year colder, and the
// difference grows with the years.
START_TEST(crowding_makes_the_ground_colder_year_by_year)
{
    desk d;
    open_desk(&d);
    const gw_job *const job = open_job(&d, "farmhouse");
    const gw_spread s = run(&d, job, 1);
    const gw_spread_row *const wide = &s.rows[0];
    const gw_spread_row *const area = row_of(&s, "half the area");
    const gw_spread_row *const tight = row_of(&s, "half the spacing");
    double before_k = 0.0;
    for (int t = 0; t < GW_SPREAD_TIMES; t++) {
        ck_assert(wide->at[t].ground_degc > area->at[t].ground_degc);
        ck_assert(area->at[t].ground_degc > tight->at[t].ground_degc);
        ck_assert(wide->at[t].coldest_degc >= area->at[t].coldest_degc);
        ck_assert(area->at[t].coldest_degc >= tight->at[t].coldest_degc);
        ck_assert(wide->at[t].ground_degc < wide->undisturbed_degc);
        const double apart_k = wide->at[t].ground_degc - tight->at[t].ground_degc;
        ck_assert(apart_k > before_k);
        before_k = apart_k;
        ck_assert(t == 0 || wide->at[t].ground_degc < wide->at[t - 1].ground_degc);
    }
    ck_assert(tight->drift_k > wide->drift_k);
    // Deeper down the untouched ground is warmer by the gradient.
    const gw_spread_row *const deep = row_of(&s, "fewer and deeper (half as many)");
    ck_close(deep->undisturbed_degc - wide->undisturbed_degc,
             0.02 * 0.5 * (deep->each_m - wide->each_m), 1e-6);
    // Sized for 25 years: as designed it never falls below in ten, crowded it does.
    ck_assert(wide->first_below_year == 0.0 && tight->first_below_year > 0.0);
    close_desk(&d);
}
END_TEST

// The row as designed is the design itself.
START_TEST(the_first_row_is_the_design)
{
    desk d;
    open_desk(&d);
    gw_job *const job = open_job(&d, "farmhouse");
    job->loops = &job->loops[1];
    job->loop_count = 1;
    job->limits.years = 10.0;
    const gw_design *design = NULL;
    const gw_design_input in = {.job = job};
    ck_ok(gw_design_run(d.arena, &in, &design, &d.err), d);
    const gw_spread s = run(&d, job, 0);
    ck_close(s.rows[0].length_m, design->loops[0].sized.response.length_m, 1e-12);
    const double least = fmin(fmin(s.rows[0].at[0].coldest_degc, s.rows[0].at[1].coldest_degc),
                              fmin(s.rows[0].at[2].coldest_degc, s.rows[0].at[3].coldest_degc));
    ck_close(least, design->loops[0].sized.result.coldest.degc, 1e-9);
    close_desk(&d);
}
END_TEST

// The limit keeps the pipes from freezing, so that the water is that of the line sources alone.
START_TEST(trenches_can_be_crowded_too)
{
    desk d;
    open_desk(&d);
    gw_job *const job = open_job(&d, "farmhouse");
    gw_loop_plan plan = job->loops[0];
    plan.trench.count = 10;
    plan.trench.max_length_m = 0.0;
    job->loops = &plan;
    job->loop_count = 1;
    job->site.usable_length_m = 1000.0;
    job->limits.min_entering_degc = 3.0;
    const gw_spread s = run(&d, job, 0);
    ck_assert_uint_eq(s.count, 4);
    const gw_spread_row *const layers = row_of(&s, "half as many, pipes above each other");
    ck_assert_msg(layers->done, "%s", layers->why_not);
    ck_close(layers->length_m, s.rows[0].length_m, 1e-12);
    const gw_spread_row *const tight = row_of(&s, "half the spacing (half the area)");
    ck_assert(!tight->freezes && !s.rows[0].freezes);
    for (int t = 0; t < GW_SPREAD_TIMES; t++) {
        ck_assert(tight->at[t].ground_degc < s.rows[0].at[t].ground_degc);
        ck_assert(tight->at[t].coldest_degc < s.rows[0].at[t].coldest_degc);
    }
    close_desk(&d);
}
END_TEST

START_TEST(places_given_one_by_one_move_together)
{
    desk d;
    open_desk(&d);
    gw_job *const job = open_job(&d, "village");
    const gw_spread s = run(&d, job, 1); // two bores that lean apart, 3 m between collars
    ck_close(s.rows[0].spacing_m, 3.0, 1e-12);
    ck_close(row_of(&s, "half the spacing")->spacing_m, 1.5, 1e-12);
    ck_assert(!row_of(&s, "more and shallower (twice as many)")->done);
    ck_assert_ptr_nonnull(
        strstr(row_of(&s, "more and shallower (twice as many)")->why_not, "places"));
    close_desk(&d);
}
END_TEST

START_TEST(the_same_on_any_number_of_threads)
{
    desk d;
    open_desk(&d);
    const gw_job *const job = open_job(&d, "cottage");
    omp_set_num_threads(1);
    const gw_spread one = run(&d, job, 0);
    omp_set_num_threads(3);
    const gw_spread three = run(&d, job, 0);
    ck_assert_uint_eq(one.count, three.count);
    for (size_t i = 0; i < one.count; i++) {
        ck_assert_int_eq(memcmp(one.rows[i].at, three.rows[i].at, sizeof one.rows[i].at), 0);
    }
    close_desk(&d);
}
END_TEST

// The best loop has no neighbours: the first that has is taken, but only when none was named.
START_TEST(another_loop_is_taken_for_a_best_without_neighbours)
{
    desk d;
    open_desk(&d);
    gw_job *const job = open_job(&d, "village");
    gw_loop_plan loops[2] = {job->loops[0], job->loops[0]};
    loops[0].name = "one deep bore";
    loops[0].bores.count = 1;
    loops[0].bores.depth_m = 290.0;
    loops[0].bores.max_depth_m = 300.0;
    loops[1].name = "three";
    job->loops = loops;
    job->loop_count = 2;
    const gw_spread s = run(&d, job, 2);
    ck_assert_str_eq(s.loop, "three");
    const gw_spread_input in = {.design = {.job = job}, .loop = 0, .years = {1, 3, 6, 10}};
    gw_spread out;
    ck_assert_int_eq(gw_spread_run(d.arena, &in, &out, &d.err), GW_ERR_GEOMETRY);
    close_desk(&d);
}
END_TEST

START_TEST(what_cannot_be_spread_is_refused)
{
    desk d;
    open_desk(&d);
    gw_job *const job = open_job(&d, "cottage");
    gw_loop_plan one = job->loops[0];
    one.bores.count = 1;
    job->loops = &one;
    job->loop_count = 1;
    gw_spread_input in = {.design = {.job = job}, .years = {1, 3, 6, 10}};
    gw_spread out;
    ck_assert_int_eq(gw_spread_run(d.arena, &in, &out, &d.err), GW_ERR_GEOMETRY);
    const double bad[][GW_SPREAD_TIMES] = {
        {1, 1, 5, 10}, {1.5, 2, 3, 4}, {1, 2, 3, 61}, {1, (double)NAN, 5, 10}};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        memcpy(in.years, bad[i], sizeof in.years);
        ck_assert_int_eq(gw_spread_run(d.arena, &in, &out, &d.err), GW_ERR_RANGE);
        ck_assert_str_eq(d.err.field, "years");
    }
    close_desk(&d);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("spread");
    TCase *const tc = tcase_create("spread");
    tcase_set_timeout(tc, 300.0);
    tcase_add_test(tc, every_variant_keeps_the_length);
    tcase_add_test(tc, crowding_makes_the_ground_colder_year_by_year);
    tcase_add_test(tc, the_first_row_is_the_design);
    tcase_add_test(tc, trenches_can_be_crowded_too);
    tcase_add_test(tc, places_given_one_by_one_move_together);
    tcase_add_test(tc, the_same_on_any_number_of_threads);
    tcase_add_test(tc, another_loop_is_taken_for_a_best_without_neighbours);
    tcase_add_test(tc, what_cannot_be_spread_is_refused);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
