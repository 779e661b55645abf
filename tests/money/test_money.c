// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "harness.h"
#include "money/money.h"

#include <math.h>
#include <string.h>

static int64_t from_units(double units)
{
    gw_money m = {0};
    ck_assert_int_eq(gw_money_from_units(units, &m, NULL), GW_OK);
    return m.cents;
}

START_TEST(half_a_cent_rounds_away_from_zero)
{
    ck_assert_int_eq(from_units(0.005), 1);
    ck_assert_int_eq(from_units(-0.005), -1);
    ck_assert_int_eq(from_units(1.005), 101); // 100.49999999999999 in binary
    ck_assert_int_eq(from_units(2.675), 268);
    ck_assert_int_eq(from_units(8.345), 835);
    ck_assert_int_eq(from_units(0.0049999), 0);
    ck_assert_int_eq(from_units(24310.0), 2431000);
}
END_TEST

START_TEST(sums_are_exact_where_doubles_are_not)
{
    gw_money sum = gw_money_from_cents(0);
    double as_double = 0.0;
    for (int i = 0; i < 1000; i++) {
        sum = gw_money_add(sum, gw_money_from_cents(10));
        as_double += 0.10;
    }
    ck_assert_int_eq(sum.cents, 10000);
    ck_assert(as_double < 100.0 || as_double > 100.0);
    ck_assert_int_eq(gw_money_subtract(sum, sum).cents, 0);
}
END_TEST

START_TEST(sums_beyond_the_range_saturate)
{
    const gw_money most = {INT64_MAX}, least = {INT64_MIN};
    ck_assert_int_eq(gw_money_add(most, gw_money_from_cents(1)).cents, INT64_MAX);
    ck_assert_int_eq(gw_money_add(least, gw_money_from_cents(-1)).cents, INT64_MIN);
    ck_assert_int_eq(gw_money_negate(least).cents, INT64_MAX);
}
END_TEST

START_TEST(rate_times_quantity_rounds_once)
{
    gw_money m = {0};
    ck_assert_int_eq(gw_money_from_rate(86.0, 325.0, &m, NULL), GW_OK);
    ck_assert_int_eq(m.cents, 2795000);
    ck_assert_int_eq(gw_money_from_rate(2.4, 0.5, &m, NULL), GW_OK);
    ck_assert_int_eq(m.cents, 120);
}
END_TEST

START_TEST(ratio_matches_hand_calculation)
{
    gw_money m = {0};
    ck_assert_int_eq(gw_money_scale_ratio(gw_money_from_cents(1050), 13, 100, &m, NULL), GW_OK);
    ck_assert_int_eq(m.cents, 137); // 136.5
    ck_assert_int_eq(gw_money_scale_ratio(gw_money_from_cents(-1050), 13, 100, &m, NULL), GW_OK);
    ck_assert_int_eq(m.cents, -137);
    ck_assert_int_eq(gw_money_scale_ratio(gw_money_from_cents(100), 1, 3, &m, NULL), GW_OK);
    ck_assert_int_eq(m.cents, 33);
    // Exact where a double product could not be: 123456789012 × 999999999 / 1000000000.
    ck_assert_int_eq(
        gw_money_scale_ratio(gw_money_from_cents(INT64_C(9007199254740993)), 1, 1, &m, NULL),
        GW_OK);
    ck_assert_int_eq(m.cents, INT64_C(9007199254740993));
    ck_assert_int_eq(gw_money_scale_ratio(gw_money_from_cents(INT64_C(123456789012)), 999999999,
                                          1000000000, &m, NULL),
                     GW_OK);
    ck_assert_int_eq(m.cents, INT64_C(123456788889)); // …888888.54…
}
END_TEST

START_TEST(rounding_to_a_step_is_half_away)
{
    ck_assert_int_eq(gw_money_round(gw_money_from_cents(149), 100).cents, 100);
    ck_assert_int_eq(gw_money_round(gw_money_from_cents(150), 100).cents, 200);
    ck_assert_int_eq(gw_money_round(gw_money_from_cents(-150), 100).cents, -200);
    ck_assert_int_eq(gw_money_round(gw_money_from_cents(-149), 100).cents, -100);
    ck_assert_int_eq(gw_money_round(gw_money_from_cents(1202), 5).cents, 1200);
    ck_assert_int_eq(gw_money_round(gw_money_from_cents(1203), 5).cents, 1205);
    ck_assert_int_eq(gw_money_round(gw_money_from_cents(200), 100).cents, 200);
}
END_TEST

START_TEST(amounts_print_as_people_write_them)
{
    char text[64];
    const gw_money_style after = {.symbol = "$"};
    const gw_money_style cents = {.symbol = "$", .cents = true};
    const gw_money_style first = {.symbol = "$", .group = ",", .symbol_first = true};
    const gw_money_style comma = {.symbol = "EUR", .group = ".", .point = ",", .cents = true};
    ck_assert_str_eq(gw_money_print((gw_money){2431000}, &after, text, sizeof text), "24 310 $");
    ck_assert_str_eq(gw_money_print((gw_money){2431049}, &after, text, sizeof text), "24 310 $");
    ck_assert_str_eq(gw_money_print((gw_money){2431050}, &after, text, sizeof text), "24 311 $");
    ck_assert_str_eq(gw_money_print((gw_money){-125050}, &cents, text, sizeof text), "-1 250.50 $");
    ck_assert_str_eq(gw_money_print((gw_money){5}, &cents, text, sizeof text), "0.05 $");
    ck_assert_str_eq(gw_money_print((gw_money){-30}, &after, text, sizeof text), "0 $");
    ck_assert_str_eq(gw_money_print((gw_money){123456700}, &first, text, sizeof text),
                     "$1,234,567");
    ck_assert_str_eq(gw_money_print((gw_money){99999}, &comma, text, sizeof text), "999,99 EUR");
    ck_assert_str_eq(gw_money_print((gw_money){100000}, NULL, text, sizeof text), "1 000");
}
END_TEST

START_TEST(printing_never_passes_the_buffer)
{
    char text[6] = "xxxxx";
    gw_money_print((gw_money){INT64_MIN}, &(gw_money_style){.symbol = "$", .cents = true}, text,
                   sizeof text);
    ck_assert_uint_eq(strlen(text), 5);
}
END_TEST

START_TEST(numbers_that_are_no_amount_are_refused)
{
    gw_money m = {7};
    gw_err err = {0};
    ck_assert_int_eq(gw_money_from_units((double)NAN, &m, &err), GW_ERR_RANGE);
    ck_assert_int_eq(gw_money_from_units((double)INFINITY, &m, &err), GW_ERR_RANGE);
    ck_assert_int_eq(gw_money_from_units(1.1e10, &m, &err), GW_ERR_RANGE);
    ck_assert_int_eq(gw_money_scale((gw_money){100}, (double)NAN, &m, &err), GW_ERR_RANGE);
    ck_assert_int_eq(gw_money_scale_ratio((gw_money){100}, 1, 0, &m, &err), GW_ERR_RANGE);
    ck_assert_int_eq(gw_money_scale_ratio((gw_money){INT64_MAX}, 2, 1, &m, &err), GW_ERR_RANGE);
    ck_assert_int_eq(m.cents, 7);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("money");
    TCase *const tc = tcase_create("amounts");
    tcase_add_test(tc, half_a_cent_rounds_away_from_zero);
    tcase_add_test(tc, sums_are_exact_where_doubles_are_not);
    tcase_add_test(tc, sums_beyond_the_range_saturate);
    tcase_add_test(tc, rate_times_quantity_rounds_once);
    tcase_add_test(tc, ratio_matches_hand_calculation);
    tcase_add_test(tc, rounding_to_a_step_is_half_away);
    tcase_add_test(tc, amounts_print_as_people_write_them);
    tcase_add_test(tc, printing_never_passes_the_buffer);
    tcase_add_test(tc, numbers_that_are_no_amount_are_refused);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
