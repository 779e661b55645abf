// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/arena.h"
#include "harness.h"
#include "money/program.h"

#include <string.h>

static gw_arena *arena;

static void open_arena(void)
{
    arena = gw_arena_create(0);
}

static void close_arena(void)
{
    gw_arena_destroy(arena);
}

// Common practice, no source: audit before the work, about 18 months to finish, audit after, an
// accredited installer's sign-off; a second grant may match the first.
static const gw_program grants[] = {
    {.key = "grant",
     .name = "first grant",
     .kind = GW_PROGRAM_FIXED,
     .amount = {500000},
     .needs_audit_before = true,
     .needs_audit_after = true,
     .window_month = 18,
     .needs_accredited_installer = true,
     .needs_sign_off = true,
     .paid_year = 1},
    {.key = "match",
     .name = "matching grant",
     .kind = GW_PROGRAM_MATCH,
     .share_frac = 1.0,
     .match_key = "grant",
     .cap = {400000},
     .reduces_eligible_cost = true},
    {.key = "credit", .name = "tax credit", .kind = GW_PROGRAM_CREDIT, .share_frac = 0.30},
};

static gw_program_case finished_work(void)
{
    return (gw_program_case){.eligible_cost = {3000000},
                             .capacity_w = 12300.0,
                             .seasonal_performance = 3.3,
                             .tax_owed = {650000},
                             .accredited_installer = true,
                             .audit_before = {2025, 3, 10},
                             .work_start = {2025, 5, 1},
                             .work_finish = {2025, 6, 20},
                             .audit_after = {2026, 9, 10},
                             .sign_off = {2025, 6, 25}};
}

static gw_program_assessment assess(const gw_program *programs, size_t count, gw_program_case work)
{
    const gw_program_input in = {programs, count, work};
    gw_program_assessment a;
    gw_err err = {0};
    ck_assert_msg(gw_program_assess(arena, &in, &a, &err) == GW_OK, "%s", err.text);
    return a;
}

static const gw_program_condition *condition(const gw_program_verdict *v, const char *part)
{
    for (size_t i = 0; i < v->condition_count; i++) {
        if (strstr(v->conditions[i].text, part) != NULL) {
            return &v->conditions[i];
        }
    }
    ck_abort_msg("no condition \"%s\"", part);
    return NULL;
}

START_TEST(programs_pay_in_order_when_all_is_done)
{
    const gw_program_assessment a = assess(grants, 3, finished_work());
    ck_assert_int_eq(a.verdicts[0].state, GW_PROGRAM_MET);
    ck_assert_int_eq(a.verdicts[0].payment.cents, 500000);
    ck_assert_int_eq(a.verdicts[1].payment.cents, 400000); // match 5000, cap 4000
    // 30 % of 30 000 less the 4 000 that reduce the cost is 7 800; tax owed is 6 500.
    ck_assert_int_eq(a.verdicts[2].payment.cents, 650000);
    ck_assert_int_eq(a.certain.cents, 1550000);
    ck_assert_int_eq(a.possible.cents, 1550000);
    gw_program_case work = finished_work();
    work.tax_owed = gw_money_from_cents(900000);
    ck_assert_int_eq(assess(grants, 3, work).verdicts[2].payment.cents, 780000);
}
END_TEST

START_TEST(late_second_audit_loses_grant_and_match)
{
    gw_program_case work = finished_work();
    work.audit_after = (gw_date){2026, 9, 11}; // 18 months after 10 March 2025 is 10 September
    const gw_program_assessment a = assess(grants, 3, work);
    ck_assert_int_eq(a.verdicts[0].state, GW_PROGRAM_FAILED);
    ck_assert_int_eq(condition(&a.verdicts[0], "window")->state, GW_PROGRAM_FAILED);
    ck_assert_int_eq(a.verdicts[0].payment.cents, 0);
    ck_assert_int_eq(a.verdicts[1].state, GW_PROGRAM_FAILED);
    ck_assert_int_eq(a.verdicts[1].payment.cents, 0);
    ck_assert_int_eq(a.verdicts[2].payment.cents, 650000);
    ck_assert_int_eq(a.certain.cents, 650000);
}
END_TEST

START_TEST(audit_after_work_started_is_no_audit_before)
{
    gw_program_case work = finished_work();
    work.audit_before = (gw_date){2025, 5, 2};
    const gw_program_assessment a = assess(grants, 1, work);
    ck_assert_int_eq(condition(&a.verdicts[0], "before")->state, GW_PROGRAM_FAILED);
    work.audit_before = (gw_date){2025, 5, 1};
    ck_assert_int_eq(assess(grants, 1, work).verdicts[0].state, GW_PROGRAM_MET);
}
END_TEST

START_TEST(unknown_date_is_open_with_its_deadline)
{
    gw_program_case work = finished_work();
    work.audit_after = (gw_date){0, 0, 0};
    work.today = (gw_date){2026, 2, 1};
    const gw_program_assessment a = assess(grants, 2, work);
    const gw_program_condition *const audit = condition(&a.verdicts[0], "after the work");
    char text[16];
    ck_assert_int_eq(audit->state, GW_PROGRAM_OPEN);
    ck_assert_str_eq(gw_date_print(audit->deadline, text, sizeof text), "2026-09-10");
    ck_assert_int_eq(a.certain.cents, 0);
    ck_assert_int_eq(a.possible.cents, 900000);
    work.today = (gw_date){2026, 9, 11};
    const gw_program_assessment late = assess(grants, 2, work);
    ck_assert_int_eq(late.verdicts[0].state, GW_PROGRAM_FAILED);
    ck_assert_int_eq(late.possible.cents, 0);
}
END_TEST

START_TEST(work_begun_without_audit_cannot_be_mended)
{
    gw_program_case work = {.eligible_cost = {3000000}, .accredited_installer = true};
    ck_assert_int_eq(assess(grants, 1, work).verdicts[0].state, GW_PROGRAM_OPEN);
    work.work_start = (gw_date){2025, 5, 1};
    work.today = (gw_date){2025, 4, 1};
    const gw_program_assessment before = assess(grants, 1, work);
    const gw_program_condition *const c = condition(&before.verdicts[0], "before");
    ck_assert_int_eq(c->state, GW_PROGRAM_OPEN);
    ck_assert_int_eq(gw_date_compare(c->deadline, work.work_start), 0);
    work.today = (gw_date){2025, 5, 2};
    ck_assert_int_eq(assess(grants, 1, work).verdicts[0].state, GW_PROGRAM_FAILED);
}
END_TEST

START_TEST(each_condition_can_fail_by_itself)
{
    gw_program_case work = finished_work();
    work.accredited_installer = false;
    ck_assert_int_eq(assess(grants, 1, work).verdicts[0].state, GW_PROGRAM_FAILED);
    work = finished_work();
    work.sign_off = (gw_date){2026, 10, 1};
    ck_assert_int_eq(assess(grants, 1, work).verdicts[0].state, GW_PROGRAM_FAILED);
    work = finished_work();
    work.audit_after = (gw_date){2025, 6, 19}; // before the work was finished
    ck_assert_int_eq(assess(grants, 1, work).verdicts[0].state, GW_PROGRAM_FAILED);
    gw_program p = {.key = "p", .kind = GW_PROGRAM_PER_W, .rate_per_w = 0.5};
    work = finished_work();
    ck_assert_int_eq(assess(&p, 1, work).verdicts[0].payment.cents, 615000);
    p.least_seasonal_performance = 3.5;
    ck_assert_int_eq(assess(&p, 1, work).verdicts[0].state, GW_PROGRAM_FAILED);
    p.least_seasonal_performance = 3.3;
    p.opens = (gw_date){2025, 5, 2};
    ck_assert_int_eq(assess(&p, 1, work).verdicts[0].state, GW_PROGRAM_FAILED);
    p.opens = (gw_date){2025, 4, 1};
    p.closes = (gw_date){2025, 5, 1};
    ck_assert_int_eq(assess(&p, 1, work).verdicts[0].state, GW_PROGRAM_MET);
    p.closes = (gw_date){2025, 4, 30};
    ck_assert_int_eq(assess(&p, 1, work).verdicts[0].state, GW_PROGRAM_FAILED);
}
END_TEST

START_TEST(programs_together_never_pay_more_than_the_cost)
{
    const gw_program rich[] = {
        {.key = "a", .kind = GW_PROGRAM_SHARE, .share_frac = 0.8},
        {.key = "b", .kind = GW_PROGRAM_FIXED, .amount = {1000000}},
        {.key = "c", .kind = GW_PROGRAM_FIXED, .amount = {1000000}},
    };
    const gw_program_assessment a = assess(rich, 3, finished_work());
    ck_assert_int_eq(a.verdicts[0].payment.cents, 2400000);
    ck_assert_int_eq(a.verdicts[1].payment.cents, 600000);
    ck_assert_int_eq(a.verdicts[2].payment.cents, 0);
    ck_assert_int_eq(a.certain.cents, 3000000);
}
END_TEST

START_TEST(months_are_counted_by_the_calendar)
{
    char text[16];
    ck_assert_str_eq(gw_date_print(gw_date_add_months((gw_date){2024, 8, 31}, 6), text, 16),
                     "2025-02-28");
    ck_assert_str_eq(gw_date_print(gw_date_add_months((gw_date){2023, 8, 31}, 6), text, 16),
                     "2024-02-29");
    ck_assert_str_eq(gw_date_print(gw_date_add_months((gw_date){2025, 12, 1}, 1), text, 16),
                     "2026-01-01");
    ck_assert_str_eq(gw_date_print(gw_date_add_months((gw_date){2025, 1, 15}, -1), text, 16),
                     "2024-12-15");
    ck_assert(gw_date_valid((gw_date){2000, 2, 29}));
    ck_assert(!gw_date_valid((gw_date){2100, 2, 29}));
    ck_assert(!gw_date_valid((gw_date){2025, 4, 31}));
    ck_assert(!gw_date_valid((gw_date){2025, 13, 1}));
    ck_assert_int_eq(gw_date_compare((gw_date){2025, 1, 31}, (gw_date){2025, 2, 1}), -1);
    ck_assert_str_eq(gw_date_print((gw_date){0, 0, 0}, text, 16), "not known");
}
END_TEST

START_TEST(impossible_input_is_refused_by_name)
{
    gw_program_assessment a;
    gw_err err = {0};
    gw_program_input in = {grants, 3, finished_work()};
    in.work.audit_before = (gw_date){2025, 2, 30};
    ck_assert_int_eq(gw_program_assess(arena, &in, &a, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "audit_before");
    in.work = finished_work();
    in.work.work_finish = (gw_date){2025, 4, 1};
    ck_assert_int_eq(gw_program_assess(arena, &in, &a, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "work_finish");
    in.work = finished_work();
    in.programs = grants + 1; // the match without what it matches
    in.count = 1;
    ck_assert_int_eq(gw_program_assess(arena, &in, &a, &err), GW_ERR_KEY);
    gw_program p = grants[0];
    in.programs = &p;
    p.share_frac = 1.5;
    ck_assert_int_eq(gw_program_assess(arena, &in, &a, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "share_frac");
    p = grants[0];
    p.window_month = -1;
    ck_assert_int_eq(gw_program_assess(arena, &in, &a, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "window_month");
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("program");
    TCase *const tc = tcase_create("incentives");
    tcase_add_checked_fixture(tc, open_arena, close_arena);
    tcase_add_test(tc, programs_pay_in_order_when_all_is_done);
    tcase_add_test(tc, late_second_audit_loses_grant_and_match);
    tcase_add_test(tc, audit_after_work_started_is_no_audit_before);
    tcase_add_test(tc, unknown_date_is_open_with_its_deadline);
    tcase_add_test(tc, work_begun_without_audit_cannot_be_mended);
    tcase_add_test(tc, each_condition_can_fail_by_itself);
    tcase_add_test(tc, programs_together_never_pay_more_than_the_cost);
    tcase_add_test(tc, months_are_counted_by_the_calendar);
    tcase_add_test(tc, impossible_input_is_refused_by_name);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
