// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/compare.h"

#include "desk.h"

static const char *const EXAMPLES[] = {"farmhouse", "village", "cottage"};

// Loops designed apart are the loops of the whole design.
START_TEST(rows_are_those_of_the_design)
{
    desk d;
    open_desk(&d);
    const gw_job *const job = open_job(&d, EXAMPLES[_i]);
    const gw_design *design = NULL;
    const gw_design_input in = {.job = job};
    ck_ok(gw_design_run(d.arena, &in, &design, &d.err), d);
    gw_compare c;
    ck_ok(gw_compare_loops(d.arena, &in, &c, &d.err), d);
    ck_assert_uint_eq(c.count, design->loop_count);
    ck_assert_uint_eq(c.best, design->best);
    for (size_t i = 0; i < c.count; i++) {
        const gw_design_loop *const l = &design->loops[i];
        ck_assert_str_eq(c.loops[i].name, l->name);
        ck_assert(c.loops[i].done && c.loops[i].stands == l->stands);
        ck_assert(c.loops[i].length_m == l->sized.response.length_m);
        ck_assert(c.loops[i].coldest_degc == l->sized.result.coldest.degc);
        ck_assert_int_eq(c.loops[i].present_cost.cents, l->life_cycle.present_cost.cents);
        ck_assert((c.loops[i].ruled_out[0] == '\0') == l->stands);
    }
    const gw_design_loop *const best = &design->loops[design->best];
    ck_assert_int_eq(c.present_cost.cents,
                     gw_money_add(best->life_cycle.present_cost, best->against.net_saving).cents);
    close_desk(&d);
}
END_TEST

START_TEST(a_lot_too_small_is_the_reason)
{
    desk d;
    open_desk(&d);
    gw_job *const job = open_job(&d, "village");
    job->lot = NULL;
    job->site.usable_length_m = 4.0;
    job->site.usable_width_m = 4.0;
    gw_compare c;
    ck_ok(gw_compare_loops(d.arena, &(gw_design_input){.job = job}, &c, &d.err), d);
    ck_assert_uint_eq(c.best, c.count);
    ck_assert_ptr_nonnull(strstr(c.loops[0].ruled_out, "free ground"));
    close_desk(&d);
}
END_TEST

// One loop that cannot be laid does not hide the other.
START_TEST(an_impossible_loop_says_why_beside_the_others)
{
    desk d;
    open_desk(&d);
    gw_job *const job = open_job(&d, "farmhouse");
    gw_loop_plan loops[2] = {job->loops[0], job->loops[1]};
    loops[0].trench.width_m = 0.12; // two pipes of 27 mm 5 cm off the walls: they overlap
    job->loops = loops;
    job->loop_count = 2;
    gw_compare c;
    ck_ok(gw_compare_loops(d.arena, &(gw_design_input){.job = job}, &c, &d.err), d);
    ck_assert(!c.loops[0].done && c.loops[1].stands);
    ck_assert_ptr_nonnull(strstr(c.loops[0].ruled_out, "overlap"));
    ck_assert_uint_eq(c.best, 1);
    // And when all fail alike, the error is the design's.
    job->plant.own = NULL;
    job->plant.heat_pump = "no such unit";
    ck_assert_int_eq(gw_compare_loops(d.arena, &(gw_design_input){.job = job}, &c, &d.err),
                     GW_ERR_KEY);
    close_desk(&d);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("compare");
    TCase *const tc = tcase_create("compare");
    tcase_set_timeout(tc, 300.0);
    tcase_add_loop_test(tc, rows_are_those_of_the_design, 0, 3);
    tcase_add_test(tc, a_lot_too_small_is_the_reason);
    tcase_add_test(tc, an_impossible_loop_says_why_beside_the_others);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
