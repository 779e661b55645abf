// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "money/program.h"

#include "money/money_priv.h"

#include <string.h>

static gw_status check_program(const gw_program *p, gw_err *err)
{
    const struct {
        double value;
        gw_money_priv_range range;
    } rows[] = {
        {gw_money_to_units(p->amount), {"amount", 0.0, 1e7}},
        {p->share_frac, {"share_frac", 0.0, p->kind == GW_PROGRAM_MATCH ? 2.0 : 1.0}},
        {p->rate_per_w, {"rate_per_w", 0.0, 1e3}},
        {gw_money_to_units(p->cap), {"cap", 0.0, 1e7}},
        {(double)p->window_month, {"window_month", 0.0, 120.0}},
        {p->least_seasonal_performance, {"least_seasonal_performance", 0.0, 20.0}},
        {(double)p->paid_year, {"paid_year", 0.0, 5.0}},
    };
    gw_status st = GW_OK;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0] && st == GW_OK; i++) {
        st = gw_money_priv_within(rows[i].range.column, rows[i].value, rows[i].range, err);
    }
    return st;
}

static gw_status check_dates(const gw_date *dates, const char *const *names, size_t count,
                             gw_err *err)
{
    for (size_t i = 0; i < count; i++) {
        if (gw_date_known(dates[i]) && !gw_date_valid(dates[i])) {
            return gw_fail(err, GW_ERR_RANGE, names[i], "%s %d-%d-%d is no day from 1990 to 2200",
                           names[i], dates[i].year, dates[i].month, dates[i].day);
        }
    }
    return GW_OK;
}

static gw_status check_work(const gw_program_case *work, gw_err *err)
{
    const gw_date dates[] = {work->audit_before, work->work_start, work->work_finish,
                             work->audit_after,  work->sign_off,   work->today};
    static const char *const names[] = {"audit_before", "work_start", "work_finish",
                                        "audit_after",  "sign_off",   "today"};
    gw_status st = check_dates(dates, names, 6, err);
    if (st == GW_OK && gw_date_known(work->work_start) && gw_date_known(work->work_finish) &&
        gw_date_compare(work->work_finish, work->work_start) < 0) {
        st = gw_fail(err, GW_ERR_RANGE, "work_finish", "work finishes before it starts");
    }
    const struct {
        double value;
        gw_money_priv_range range;
    } rows[] = {{gw_money_to_units(work->eligible_cost), {"eligible_cost", 0.0, 1e9}},
                {gw_money_to_units(work->tax_owed), {"tax_owed", 0.0, 1e9}},
                {work->capacity_w, {"capacity_w", 0.0, 1e7}},
                {work->seasonal_performance, {"seasonal_performance", 0.0, 20.0}}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0] && st == GW_OK; i++) {
        st = gw_money_priv_within(rows[i].range.column, rows[i].value, rows[i].range, err);
    }
    return st;
}

// True when today is known and past the deadline.
static bool is_overdue(const gw_program_case *work, gw_date deadline)
{
    return gw_date_known(deadline) && gw_date_known(work->today) &&
           gw_date_compare(work->today, deadline) > 0;
}

static void add_condition(gw_program_verdict *v, const char *text, gw_program_state state,
                          gw_date deadline)
{
    v->conditions[v->condition_count++] = (gw_program_condition){text, state, deadline};
    if (state > v->state) {
        v->state = state;
    }
}

static gw_program_state of_bool(bool met)
{
    return met ? GW_PROGRAM_MET : GW_PROGRAM_FAILED;
}

// An audit that was not done by the day work starts can no longer be done.
static void judge_audit_before(const gw_program_case *work, gw_program_verdict *v)
{
    gw_program_state state = GW_PROGRAM_OPEN;
    if (gw_date_known(work->audit_before)) {
        state = of_bool(!gw_date_known(work->work_start) ||
                        gw_date_compare(work->audit_before, work->work_start) <= 0);
    } else if (is_overdue(work, work->work_start) || gw_date_known(work->work_finish)) {
        state = GW_PROGRAM_FAILED;
    }
    add_condition(v, "energy audit before work starts", state, work->work_start);
}

static gw_date window_end(const gw_program *p, const gw_program_case *work)
{
    const gw_date from = p->needs_audit_before ? work->audit_before : work->work_start;
    const gw_date none = {0, 0, 0};
    return p->window_month > 0 && gw_date_known(from) ? gw_date_add_months(from, p->window_month)
                                                      : none;
}

static void judge_audit_after(const gw_program_case *work, gw_date deadline, gw_program_verdict *v)
{
    gw_program_state state = is_overdue(work, deadline) ? GW_PROGRAM_FAILED : GW_PROGRAM_OPEN;
    if (gw_date_known(work->audit_after)) {
        state = !gw_date_known(work->work_finish)
                    ? GW_PROGRAM_OPEN
                    : of_bool(gw_date_compare(work->audit_after, work->work_finish) >= 0);
    }
    add_condition(v, "energy audit after the work", state, deadline);
}

static void judge_window(const gw_program *p, const gw_program_case *work, gw_date deadline,
                         gw_program_verdict *v)
{
    const gw_date last = p->needs_audit_after ? work->audit_after : work->work_finish;
    gw_program_state state = is_overdue(work, deadline) ? GW_PROGRAM_FAILED : GW_PROGRAM_OPEN;
    if (gw_date_known(last) && gw_date_known(deadline)) {
        state = of_bool(gw_date_compare(last, deadline) <= 0);
    }
    add_condition(v, "all steps within the window of the program", state, deadline);
}

static void judge_opening(const gw_program *p, const gw_program_case *work, gw_program_verdict *v)
{
    gw_program_state state = is_overdue(work, p->closes) ? GW_PROGRAM_FAILED : GW_PROGRAM_OPEN;
    if (gw_date_known(work->work_start)) {
        const bool early =
            gw_date_known(p->opens) && gw_date_compare(work->work_start, p->opens) < 0;
        const bool late =
            gw_date_known(p->closes) && gw_date_compare(work->work_start, p->closes) > 0;
        state = of_bool(!early && !late);
    }
    add_condition(v, "work starts while the program is open", state, p->closes);
}

static void judge_sign_off(const gw_program_case *work, gw_date deadline, gw_program_verdict *v)
{
    gw_program_state state = is_overdue(work, deadline) ? GW_PROGRAM_FAILED : GW_PROGRAM_OPEN;
    if (gw_date_known(work->sign_off)) {
        state = of_bool(!gw_date_known(deadline) || gw_date_compare(work->sign_off, deadline) <= 0);
    }
    add_condition(v, "installer's sign-off", state, deadline);
}

static void judge(const gw_program *p, const gw_program_case *work, gw_program_verdict *v)
{
    const gw_date none = {0, 0, 0}, deadline = window_end(p, work);
    if (gw_date_known(p->opens) || gw_date_known(p->closes)) {
        judge_opening(p, work, v);
    }
    if (p->needs_audit_before) {
        judge_audit_before(work, v);
    }
    if (p->needs_accredited_installer) {
        add_condition(v, "accredited installer", of_bool(work->accredited_installer), none);
    }
    if (p->least_seasonal_performance > 0.0) {
        add_condition(v, "least seasonal performance",
                      of_bool(work->seasonal_performance >= p->least_seasonal_performance), none);
    }
    if (p->needs_sign_off) {
        judge_sign_off(work, deadline, v);
    }
    if (p->needs_audit_after) {
        judge_audit_after(work, deadline, v);
    }
    if (p->window_month > 0) {
        judge_window(p, work, deadline, v);
    }
}

// What has been paid and what is still eligible when a program's turn comes.
typedef struct {
    gw_money eligible; // for shares
    gw_money unpaid;   // no payment may pass it: programs together never pay more than the cost
    gw_money matched;  // payment of the program that this one matches; 0 when it matches none
} purse;

static gw_status find_matched(const gw_program_input *in, const gw_program_verdict *verdicts,
                              size_t index, const gw_program_verdict **out, gw_err *err)
{
    const gw_program *const p = &in->programs[index];
    for (size_t i = 0; i < index && p->match_key != NULL; i++) {
        if (strcmp(in->programs[i].key, p->match_key) == 0) {
            *out = &verdicts[i];
            return GW_OK;
        }
    }
    return gw_fail(err, GW_ERR_KEY, "match_key", "\"%s\" matches \"%s\", which is not given before",
                   p->key, p->match_key == NULL ? "" : p->match_key);
}

static gw_status gross_payment(const gw_program *p, const gw_program_case *work, const purse *left,
                               gw_money *out, gw_err *err)
{
    switch (p->kind) {
    case GW_PROGRAM_FIXED:
        *out = p->amount;
        return GW_OK;
    case GW_PROGRAM_SHARE:
    case GW_PROGRAM_CREDIT:
        return gw_money_scale(left->eligible, p->share_frac, out, err);
    case GW_PROGRAM_PER_W:
        return gw_money_from_rate(p->rate_per_w, work->capacity_w, out, err);
    case GW_PROGRAM_MATCH:
        return gw_money_scale(left->matched, p->share_frac, out, err);
    }
    return gw_fail(err, GW_ERR_RANGE, "kind", "\"%s\" has an unknown kind", p->key);
}

static gw_money lesser(gw_money a, gw_money b)
{
    return gw_money_compare(a, b) < 0 ? a : b;
}

static gw_status pay(const gw_program *p, const gw_program_case *work, purse *left,
                     gw_program_verdict *v, gw_err *err)
{
    gw_money payment = {0};
    if (v->state == GW_PROGRAM_FAILED) {
        return GW_OK;
    }
    const gw_status st = gross_payment(p, work, left, &payment, err);
    if (st != GW_OK) {
        return st;
    }
    if (p->cap.cents > 0) {
        payment = lesser(payment, p->cap);
    }
    if (p->kind == GW_PROGRAM_CREDIT) {
        payment = lesser(payment, work->tax_owed);
    }
    v->payment = lesser(payment, left->unpaid);
    left->unpaid = gw_money_subtract(left->unpaid, v->payment);
    if (p->reduces_eligible_cost) {
        left->eligible = gw_money_subtract(left->eligible, lesser(v->payment, left->eligible));
    }
    return GW_OK;
}

static gw_status assess_one(const gw_program_input *in, gw_program_verdict *verdicts, size_t i,
                            purse *left, gw_err *err)
{
    const gw_program *const p = &in->programs[i];
    static const char *const names[] = {"opens", "closes"};
    const gw_program_verdict *matched = NULL;
    gw_program_verdict *const v = &verdicts[i];
    gw_status st = check_program(p, err);
    if (st == GW_OK) {
        st = check_dates((const gw_date[]){p->opens, p->closes}, names, 2, err);
    }
    if (st == GW_OK && p->kind == GW_PROGRAM_MATCH) {
        st = find_matched(in, verdicts, i, &matched, err);
    }
    if (st != GW_OK) {
        return st;
    }
    *v = (gw_program_verdict){.program = p, .state = GW_PROGRAM_MET};
    judge(p, &in->work, v);
    left->matched = gw_money_from_cents(0);
    if (matched != NULL) {
        left->matched = matched->payment;
        add_condition(v, "the matched program pays", matched->state, (gw_date){0, 0, 0});
    }
    return pay(p, &in->work, left, v, err);
}

gw_status gw_program_assess(gw_arena *arena, const gw_program_input *input,
                            gw_program_assessment *out, gw_err *err)
{
    gw_status st = check_work(&input->work, err);
    if (st != GW_OK) {
        return st;
    }
    gw_program_verdict *const verdicts = gw_arena_alloc(arena, input->count, sizeof *verdicts);
    if (verdicts == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "programs", "out of memory for the programs");
    }
    gw_program_assessment result = {.verdicts = verdicts, .count = input->count};
    purse left = {input->work.eligible_cost, input->work.eligible_cost, {0}};
    for (size_t i = 0; i < input->count && st == GW_OK; i++) {
        st = assess_one(input, verdicts, i, &left, err);
        if (st == GW_OK && verdicts[i].state == GW_PROGRAM_MET) {
            result.certain = gw_money_add(result.certain, verdicts[i].payment);
        }
        result.possible = gw_money_add(result.possible, verdicts[i].payment);
    }
    if (st == GW_OK) {
        *out = result;
    }
    return st;
}
