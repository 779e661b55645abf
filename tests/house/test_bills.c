// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Fuel bills made from a known house must give that house back.
#include "house/bills.h"

#include "base/random.h"
#include "harness.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { DAYS = 1095, MOST = 64 };

// A house for this test: W/K, °C, W; oil of 38.2 MJ/L burnt at 80 %.
static const double UA = 215.0;
static const double BALANCE = 15.5;
static const double BASE = 640.0;
static const double ENERGY_J = 38.2e6;
static const double EFFICIENCY = 0.8;

typedef struct {
    gw_arena *arena;
    double t_degc[DAYS];
    double used[DAYS]; // litres of each day
    gw_bill bills[MOST];
    gw_bills_input input;
    gw_bills_fit fit;
    gw_err err;
} desk;

static void open_desk(desk *d)
{
    memset(d, 0, sizeof *d);
    d->arena = gw_arena_create(0);
    gw_random random;
    gw_random_init(&random, 7);
    double weather_k = 0.0;
    for (size_t i = 0; i < DAYS; i++) {
        weather_k = 0.7 * weather_k + 3.0 * gw_random_normal(&random);
        d->t_degc[i] =
            5.0 - 15.0 * cos(2.0 * 3.14159265358979 * ((double)i - 20.0) / 365.0) + weather_k;
        const double heat_w = UA * fmax(BALANCE - d->t_degc[i], 0.0) + BASE;
        d->used[i] = heat_w * 86400.0 / (ENERGY_J * EFFICIENCY);
    }
    d->input = (gw_bills_input){.kind = GW_BILLS_USE,
                                .bills = d->bills,
                                .daily_mean_degc = d->t_degc,
                                .day_count = DAYS,
                                .energy_j = ENERGY_J,
                                .efficiency_frac = EFFICIENCY};
}

static double used_between(const desk *d, size_t from, size_t to)
{
    double sum = 0.0;
    for (size_t i = from; i < to; i++) {
        sum += d->used[i];
    }
    return sum;
}

// Readings every `step` days of the first two years.
static void read_every(desk *d, size_t step)
{
    d->input.bill_count = 0;
    for (size_t day = 0; day <= 730; day += step) {
        gw_bill *const b = &d->bills[d->input.bill_count++];
        *b =
            (gw_bill){.day = day, .quantity = day > 0 ? used_between(d, day - step, day) : 12345.0};
    }
}

static void solve(desk *d)
{
    ck_assert_msg(gw_bills_solve(d->arena, &d->input, &d->fit, &d->err) == GW_OK, "%s: %s",
                  d->err.field, d->err.text);
}

START_TEST(readings_without_noise_give_the_house_back)
{
    desk d;
    open_desk(&d);
    read_every(&d, 30);
    solve(&d);
    ck_close(d.fit.ua_w_k.value, UA, 1e-6);
    ck_close(d.fit.balance_degc.value, BALANCE, 1e-6);
    ck_close(d.fit.base_w.value, BASE, 1e-6);
    ck_assert_double_lt(d.fit.ua_w_k.high - d.fit.ua_w_k.low, 1e-3);
    ck_assert_double_gt(d.fit.r2, 1.0 - 1e-9);
    ck_assert_uint_eq(d.fit.period_count, 24);
    ck_assert_uint_eq(d.fit.freedom, 21);
    ck_assert_uint_eq(d.fit.left_out, 1);
    gw_arena_destroy(d.arena);
}
END_TEST

START_TEST(a_meter_says_the_same_as_its_differences)
{
    desk d;
    open_desk(&d);
    read_every(&d, 60);
    solve(&d);
    const gw_bills_fit before = d.fit;
    double total = 5000.0;
    for (size_t i = 0; i < d.input.bill_count; i++) {
        total += i > 0 ? d.bills[i].quantity : 0.0;
        d.bills[i].quantity = total;
    }
    d.input.kind = GW_BILLS_METER;
    solve(&d);
    ck_close(d.fit.ua_w_k.value, before.ua_w_k.value, 1e-6);
    ck_close(d.fit.base_w.value, before.base_w.value, 1e-6);
    gw_arena_destroy(d.arena);
}
END_TEST

// Odd gaps, a partial delivery, two trucks within days, and an opening fill and a last partial one
// that must not count.
START_TEST(irregular_deliveries_give_the_house_back)
{
    static const struct {
        size_t day;
        bool partial;
    } VISITS[] = {{3, true},    {20, false},  {51, false},  {66, false},  {90, true},
                  {104, false}, {109, false}, {190, false}, {330, false}, {371, false},
                  {395, false}, {431, true},  {452, false}, {533, false}, {700, false},
                  {731, false}, {760, true}};
    enum { COUNT = sizeof VISITS / sizeof VISITS[0] };
    desk d;
    open_desk(&d);
    double level = -500.0; // litres below full when the records begin
    size_t last = 0;
    for (size_t i = 0; i < COUNT; i++) {
        level -= used_between(&d, last, VISITS[i].day);
        last = VISITS[i].day;
        const double put = VISITS[i].partial ? 0.4 * -level : -level;
        level += put;
        d.bills[i] = (gw_bill){.day = VISITS[i].day, .quantity = put, .partial = VISITS[i].partial};
    }
    d.input.kind = GW_BILLS_DELIVERIES;
    d.input.bill_count = COUNT;
    solve(&d);
    ck_close(d.fit.ua_w_k.value, UA, 1e-5);
    ck_close(d.fit.balance_degc.value, BALANCE, 1e-5);
    ck_close(d.fit.base_w.value, BASE, 1e-4);
    ck_assert_uint_eq(d.fit.left_out, 3); // the first partial, the opening fill, the last partial
    ck_assert_uint_eq(d.fit.joined, 3);   // two partials; the fill of day 109 waits for day 190
    ck_assert_uint_eq(d.fit.period_count, COUNT - 3 - 3);
    gw_arena_destroy(d.arena);
}
END_TEST

START_TEST(counting_the_opening_fill_would_be_wrong)
{
    desk d;
    open_desk(&d);
    read_every(&d, 30);
    d.bills[0].quantity = 0.0;
    solve(&d);
    const double ua = d.fit.ua_w_k.value;
    d.bills[0].quantity = 9e5;
    solve(&d);
    ck_assert(d.fit.ua_w_k.value == ua);
    gw_arena_destroy(d.arena);
}
END_TEST

static double disturbed(desk *d, gw_random *random, const gw_bill *exact)
{
    for (size_t i = 0; i < d->input.bill_count; i++) {
        d->bills[i].quantity = exact[i].quantity * fmax(1.0 + 0.08 * gw_random_normal(random), 0.1);
    }
    solve(d);
    return d->fit.ua_w_k.value;
}

// 95 % intervals should hold the truth in about 95 of 100 noisy records. The noise here grows with
// the use, which the fit does not know; four standard deviations of 400 draws are 4.4 of 100.
START_TEST(intervals_hold_the_truth_as_often_as_they_say)
{
    enum { RECORDS = 400 };
    desk d;
    open_desk(&d);
    read_every(&d, 30);
    gw_bill exact[MOST];
    memcpy(exact, d.bills, sizeof exact);
    gw_random random;
    gw_random_init(&random, 11);
    int ua_in = 0;
    double mean = 0.0;
    for (int i = 0; i < RECORDS; i++) {
        mean += disturbed(&d, &random, exact) / RECORDS;
        ua_in += d.fit.ua_w_k.low <= UA && UA <= d.fit.ua_w_k.high;
    }
    ck_assert_msg(ua_in > 0.90 * RECORDS && ua_in < 0.99 * RECORDS, "%d of %d", ua_in, RECORDS);
    ck_close(mean, UA, 0.01);
    gw_arena_destroy(d.arena);
}
END_TEST

START_TEST(more_noise_makes_wider_intervals)
{
    desk d;
    open_desk(&d);
    double before = 0.0;
    for (int step = 1; step <= 3; step++) {
        read_every(&d, 30);
        for (size_t i = 0; i < d.input.bill_count; i++) {
            d.bills[i].quantity *= 1.0 + 0.03 * step * (i % 2 == 0 ? 1.0 : -1.0);
        }
        solve(&d);
        const double width = d.fit.ua_w_k.high - d.fit.ua_w_k.low;
        ck_assert_double_gt(width, before);
        before = width;
    }
    gw_arena_destroy(d.arena);
}
END_TEST

START_TEST(winter_bills_need_one_thing_told)
{
    desk d;
    open_desk(&d);
    // 1 November to 1 April of two winters... one run of days, all far below the balance.
    for (size_t i = 0; i < DAYS; i++) {
        d.t_degc[i] = fmin(d.t_degc[i], 5.0);
        d.used[i] = (UA * (BALANCE - d.t_degc[i]) + BASE) * 86400.0 / (ENERGY_J * EFFICIENCY);
    }
    read_every(&d, 30);
    ck_assert_int_eq(gw_bills_solve(d.arena, &d.input, &d.fit, &d.err), GW_ERR_MISSING);
    ck_assert_ptr_nonnull(strstr(d.err.text, "summer"));
    d.input.base_given = true;
    d.input.base_w = BASE;
    solve(&d);
    ck_close(d.fit.ua_w_k.value, UA, 1e-6);
    ck_close(d.fit.balance_degc.value, BALANCE, 1e-6);
    d.input.base_given = false;
    d.input.balance_given = true;
    d.input.balance_degc = BALANCE;
    solve(&d);
    ck_close(d.fit.base_w.value, BASE, 1e-6);
    ck_assert(d.fit.balance_degc.low == BALANCE && d.fit.balance_degc.high == BALANCE);
    gw_arena_destroy(d.arena);
}
END_TEST

START_TEST(a_base_below_zero_is_held_at_zero)
{
    desk d;
    open_desk(&d);
    for (size_t i = 0; i < DAYS; i++) {
        // Nothing at all within 3 K of the balance: pulls the straight line below zero.
        const double below_k = BALANCE - d.t_degc[i];
        d.used[i] = below_k > 3.0 ? below_k : 0.0;
    }
    read_every(&d, 30);
    d.input.balance_given = true;
    d.input.balance_degc = 20.0;
    solve(&d);
    ck_assert(d.fit.base_held && d.fit.base_w.value == 0.0 && d.fit.base_w.high == 0.0);
    gw_arena_destroy(d.arena);
}
END_TEST

START_TEST(bad_bills_are_refused_by_name)
{
    static const struct {
        size_t index;
        gw_bill bill;
        const char *field;
    } CASES[] = {
        {4, {.day = 120, .quantity = -1.0}, "bills[4].quantity"},
        {4, {.day = 120, .quantity = (double)NAN}, "bills[4].quantity"},
        {4, {.day = 90, .quantity = 10.0}, "bills[4].day"},
        {4, {.day = 60, .quantity = 10.0}, "bills[4].day"},
        {24, {.day = 2000, .quantity = 10.0}, "bills[24].day"},
    };
    desk d;
    open_desk(&d);
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        read_every(&d, 30);
        d.bills[CASES[i].index] = CASES[i].bill;
        ck_assert_int_eq(gw_bills_solve(d.arena, &d.input, &d.fit, &d.err), GW_ERR_RANGE);
        ck_assert_str_eq(d.err.field, CASES[i].field);
    }
    read_every(&d, 30);
    d.input.kind = GW_BILLS_METER;
    ck_assert_int_eq(gw_bills_solve(d.arena, &d.input, &d.fit, &d.err), GW_ERR_RANGE);
    ck_assert_str_eq(d.err.field, "bills[1].quantity");
    gw_arena_destroy(d.arena);
}
END_TEST

static void expect_refused(desk *d, const gw_bills_input *in, gw_status status, const char *field)
{
    ck_assert_int_eq(gw_bills_solve(d->arena, in, &d->fit, &d->err), status);
    ck_assert_msg(strcmp(d->err.field, field) == 0, "%s, want %s", d->err.field, field);
}

START_TEST(bad_input_is_refused_by_name)
{
    desk d;
    open_desk(&d);
    read_every(&d, 30);
    gw_bills_input in = d.input;
    in.energy_j = 0.0;
    expect_refused(&d, &in, GW_ERR_RANGE, "energy_j");
    in = d.input;
    in.efficiency_frac = (double)NAN;
    expect_refused(&d, &in, GW_ERR_RANGE, "efficiency_frac");
    in = d.input;
    in.balance_given = true;
    in.balance_degc = 31.0;
    expect_refused(&d, &in, GW_ERR_RANGE, "balance_degc");
    in = d.input;
    in.base_given = true;
    in.base_w = -1.0;
    expect_refused(&d, &in, GW_ERR_RANGE, "base_w");
    in = d.input;
    in.bill_count = 1;
    expect_refused(&d, &in, GW_ERR_RANGE, "bills");
    in.bill_count = 4;
    expect_refused(&d, &in, GW_ERR_MISSING, "bills");
    in = d.input;
    in.base_given = true;
    in.base_w = 1e6; // leaves nothing that grows with cold
    expect_refused(&d, &in, GW_ERR_RANGE, "bills");
    d.t_degc[100] = (double)NAN;
    expect_refused(&d, &d.input, GW_ERR_RANGE, "daily_mean_degc");
    gw_arena_destroy(d.arena);
}
END_TEST

START_TEST(the_sentence_tells_which_to_trust)
{
    gw_bills_fit fit = {.ua_w_k = {200.0, 180.0, 220.0}};
    gw_bills_comparison c;
    gw_err err = {0};
    ck_assert_int_eq(gw_bills_compare(&fit, 205.0, &c, &err), GW_OK);
    ck_assert(c.agree && !c.vague && c.trust == GW_BILLS_TRUST_BILLS);
    ck_assert_ptr_nonnull(strstr(c.sentence, "200 W/K (180 to 220"));
    ck_assert_int_eq(gw_bills_compare(&fit, 260.0, &c, &err), GW_OK);
    ck_assert(!c.agree && strstr(c.sentence, "below the component figure") != NULL);
    ck_assert_int_eq(gw_bills_compare(&fit, 150.0, &c, &err), GW_OK);
    ck_assert(!c.agree && strstr(c.sentence, "above the component figure") != NULL);
    ck_close(c.ratio, 200.0 / 150.0, 1e-12);
    fit.ua_w_k = (gw_bills_interval){200.0, 100.0, 300.0};
    ck_assert_int_eq(gw_bills_compare(&fit, 150.0, &c, &err), GW_OK);
    ck_assert(c.vague && c.trust == GW_BILLS_TRUST_COMPONENTS);
    ck_assert_int_eq(gw_bills_compare(&fit, (double)NAN, &c, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "component_ua_w_k");
}
END_TEST

START_TEST(students_t_is_the_tables)
{
    for (size_t n = 1; n < 200; n++) {
        ck_close(gw_bills_student_975(n), gsl_cdf_tdist_Pinv(0.975, (double)n), 1e-4);
    }
}
END_TEST

START_TEST(day_numbers_follow_the_calendar)
{
    ck_assert_int_eq(gw_bills_day_number(2000, 1, 1), 0);
    ck_assert_int_eq(gw_bills_day_number(2000, 3, 1), 60); // 2000 had a leap day
    ck_assert_int_eq(gw_bills_day_number(2001, 3, 1) - gw_bills_day_number(2001, 2, 28), 1);
    ck_assert_int_eq(gw_bills_day_number(2025, 1, 1) - gw_bills_day_number(2024, 1, 1), 366);
    ck_assert_int_eq(gw_bills_day_number(1970, 1, 1), -10957); // 30 years of 365 days and 7 leap
    double year[365], out[500];
    for (size_t i = 0; i < 365; i++) {
        year[i] = (double)i;
    }
    gw_bills_lay_typical(year, 300, out, 500);
    ck_assert(out[0] == 300.0 && out[65] == 0.0 && out[430] == 0.0);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("bills");
    TCase *const tc = tcase_create("bills");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, readings_without_noise_give_the_house_back);
    tcase_add_test(tc, a_meter_says_the_same_as_its_differences);
    tcase_add_test(tc, irregular_deliveries_give_the_house_back);
    tcase_add_test(tc, counting_the_opening_fill_would_be_wrong);
    tcase_add_test(tc, intervals_hold_the_truth_as_often_as_they_say);
    tcase_add_test(tc, more_noise_makes_wider_intervals);
    tcase_add_test(tc, winter_bills_need_one_thing_told);
    tcase_add_test(tc, a_base_below_zero_is_held_at_zero);
    tcase_add_test(tc, bad_bills_are_refused_by_name);
    tcase_add_test(tc, bad_input_is_refused_by_name);
    tcase_add_test(tc, the_sentence_tells_which_to_trust);
    tcase_add_test(tc, students_t_is_the_tables);
    tcase_add_test(tc, day_numbers_follow_the_calendar);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
