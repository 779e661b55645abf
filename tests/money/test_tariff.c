// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "harness.h"
#include "money/tariff.h"

#include <math.h>
#include <string.h>

static double power_w[GW_TARIFF_HOURS];
static double other_w[GW_TARIFF_HOURS];

static void fill(double *load_w, double level_w)
{
    for (size_t h = 0; h < GW_TARIFF_HOURS; h++) {
        load_w[h] = level_w;
    }
}

static gw_tariff_result bill(const gw_tariff *tariff, const double *load_w)
{
    const gw_tariff_load load = {load_w};
    gw_tariff_result r;
    gw_err err = {0};
    ck_assert_msg(gw_tariff_bill(tariff, &load, &r, &err) == GW_OK, "%s", err.text);
    return r;
}

static const gw_tariff two_blocks = {.monthly_charge = {2500},
                                     .blocks = {{600.0, 0.10}, {0.0, 0.15}},
                                     .block_count = 2,
                                     .tax_frac = 0.13};

// Winter November to April. On peak 7-11 and 17-19 h, mid peak 11-17 h on weekdays; else off peak.
static const gw_tariff by_time = {
    .periods = {{"on peak", 0.20, 0xc0fU, GW_TARIFF_WEEKDAYS, 7, 11},
                {"on peak", 0.20, 0xc0fU, GW_TARIFF_WEEKDAYS, 17, 19},
                {"mid peak", 0.15, 0xc0fU, GW_TARIFF_WEEKDAYS, 11, 17},
                {"night", 0.05, 0U, GW_TARIFF_EVERY_DAY, 22, 6},
                {"off peak", 0.10, 0U, GW_TARIFF_EVERY_DAY, 0, 24}},
    .period_count = 5,
    .first_weekday = 0};

// 1 kW all year. 31 days: 744 kWh, 60 + 21.60; 30 days: 60 + 18; 28 days: 60 + 10.80.
START_TEST(level_load_in_two_blocks_matches_hand_calculation)
{
    fill(power_w, 1000.0);
    const gw_tariff_result r = bill(&two_blocks, power_w);
    ck_close(r.year_kwh, 8760.0, 1e-12);
    ck_assert_int_eq(r.energy.cents, 95400);
    ck_assert_int_eq(r.charges.cents, 30000);
    ck_assert_int_eq(r.month[0].cents, 8160 + 2500 + 1386); // tax 13.858
    ck_assert_int_eq(r.month[1].cents, 7080 + 2500 + 1245); // tax 12.454
    ck_assert_int_eq(r.month[3].cents, 7800 + 2500 + 1339);
    ck_assert_int_eq(r.tax.cents, 7 * 1386 + 4 * 1339 + 1245);
    ck_assert_int_eq(r.year.cents, 95400 + 30000 + r.tax.cents);
    ck_close(r.mean_price_per_kwh, gw_money_to_units(r.year) / 8760.0, 1e-12);
    ck_close(r.month_peak_kw[5], 1.0, 1e-15);
}
END_TEST

START_TEST(load_below_the_first_edge_pays_the_first_price)
{
    fill(power_w, 500.0);
    const gw_tariff_result r = bill(&two_blocks, power_w);
    ck_assert_int_eq(r.energy.cents, 43800);
}
END_TEST

START_TEST(daily_edge_grows_with_the_month)
{
    const gw_tariff daily = {
        .blocks = {{20.0, 0.10}, {0.0, 0.15}}, .block_count = 2, .blocks_per_day = true};
    fill(power_w, 1000.0); // 24 kWh a day: 2.00 + 0.60
    const gw_tariff_result r = bill(&daily, power_w);
    ck_assert_int_eq(r.month[0].cents, 31 * 260);
    ck_assert_int_eq(r.month[1].cents, 28 * 260);
    ck_assert_int_eq(r.year.cents, 365 * 260);
}
END_TEST

// One kWh·10 in one hour; day 0 is Monday, 1 January.
static const struct {
    size_t day;
    size_t hour;
    int cents;
} moments[] = {
    {0, 8, 200},   // Monday, winter morning
    {0, 10, 200},  // last hour of the morning peak
    {0, 11, 150},  // mid peak
    {0, 18, 200},  // evening peak
    {0, 19, 100},  // after it
    {0, 23, 50},   // night
    {0, 2, 50},    // after midnight
    {0, 6, 100},   // night ends at 6
    {5, 8, 100},   // Saturday
    {6, 18, 100},  // Sunday
    {7, 8, 200},   // Monday again
    {120, 8, 100}, // 1 May: Tuesday, summer
    {119, 8, 200}, // 30 April: Monday, winter
    {304, 8, 200}, // 1 November: Thursday
    {364, 8, 200}, // 31 December: Monday
};

START_TEST(an_hour_pays_the_price_of_its_period)
{
    fill(power_w, 0.0);
    power_w[24 * moments[_i].day + moments[_i].hour] = 10000.0;
    const gw_tariff_result r = bill(&by_time, power_w);
    // 10 kWh at 0.20, 0.15, 0.10 or 0.05.
    ck_assert_msg(r.year.cents == moments[_i].cents, "case %d: %lld", _i, (long long)r.year.cents);
}
END_TEST

START_TEST(demand_is_charged_above_the_free_part)
{
    gw_tariff tariff = two_blocks;
    tariff.demand_per_kw = 10.0;
    tariff.demand_free_kw = 2.0;
    tariff.tax_frac = 0.0;
    fill(power_w, 1000.0);
    power_w[100] = 5000.0;
    const gw_tariff_result r = bill(&tariff, power_w);
    ck_assert_int_eq(r.demand.cents, 3000);
    ck_close(r.month_peak_kw[0], 5.0, 1e-12);
}
END_TEST

START_TEST(parts_of_the_bill_sum_to_the_year)
{
    gw_tariff tariff = by_time;
    tariff.monthly_charge = gw_money_from_cents(1999);
    tariff.tax_frac = 0.05;
    tariff.blocks[0] = (gw_tariff_block){1000.0, -0.01};
    tariff.blocks[1] = (gw_tariff_block){0.0, 0.0};
    tariff.block_count = 2;
    for (size_t h = 0; h < GW_TARIFF_HOURS; h++) {
        power_w[h] = 2000.0 + 1500.0 * sin(0.001 * (double)h) + 300.0 * cos(0.26 * (double)h);
    }
    const gw_tariff_result r = bill(&tariff, power_w);
    gw_money sum = {0};
    double kwh = 0.0;
    for (size_t m = 0; m < 12; m++) {
        sum = gw_money_add(sum, r.month[m]);
        kwh += r.month_kwh[m];
    }
    ck_assert_int_eq(sum.cents, r.year.cents);
    ck_assert_int_eq(r.energy.cents + r.demand.cents + r.charges.cents + r.tax.cents, r.year.cents);
    ck_close(kwh, r.year_kwh, 1e-12);
}
END_TEST

START_TEST(added_load_pays_the_upper_block)
{
    gw_tariff tariff = two_blocks;
    tariff.tax_frac = 0.0;
    fill(power_w, 1000.0); // fills the first block in every month
    fill(other_w, 500.0);
    gw_money added = {0};
    const gw_tariff_load base = {power_w}, more = {other_w}, none = {NULL};
    ck_assert_int_eq(gw_tariff_added_cost(&tariff, &base, &more, &added, NULL), GW_OK);
    ck_assert_int_eq(added.cents, 65700); // 4380 kWh x 0.15
    ck_assert_int_eq(gw_tariff_added_cost(&tariff, &none, &more, &added, NULL), GW_OK);
    ck_assert_int_eq(added.cents, 43800); // x 0.10, charges not counted twice
    ck_assert_int_eq(gw_tariff_added_cost(&tariff, &base, &none, &added, NULL), GW_OK);
    ck_assert_int_eq(added.cents, 0);
}
END_TEST

START_TEST(impossible_tariff_is_refused_by_name)
{
    gw_err err = {0};
    gw_tariff t = two_blocks;
    t.blocks[1].upto_kwh = 900.0;
    ck_assert_int_eq(gw_tariff_check(&t, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "blocks.upto_kwh");
    t = two_blocks;
    t.blocks[0].upto_kwh = 0.0;
    ck_assert_int_eq(gw_tariff_check(&t, &err), GW_ERR_RANGE);
    t = two_blocks;
    t.blocks[0].price_per_kwh = (double)NAN;
    ck_assert_int_eq(gw_tariff_check(&t, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "blocks.price_per_kwh");
    t = two_blocks;
    t.tax_frac = 0.6;
    ck_assert_int_eq(gw_tariff_check(&t, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "tax_frac");
    t = two_blocks;
    t.first_weekday = 7;
    ck_assert_int_eq(gw_tariff_check(&t, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "first_weekday");
    t = by_time;
    t.periods[0].to_hour = 7;
    ck_assert_int_eq(gw_tariff_check(&t, &err), GW_ERR_RANGE);
    t = by_time;
    t.periods[0].months = 0x1000U;
    ck_assert_int_eq(gw_tariff_check(&t, &err), GW_ERR_RANGE);
    t = (gw_tariff){0};
    ck_assert_int_eq(gw_tariff_check(&t, &err), GW_ERR_MISSING);
}
END_TEST

START_TEST(gap_between_periods_and_bad_hour_are_named)
{
    gw_tariff t = by_time;
    gw_tariff_result r;
    gw_err err = {0};
    const gw_tariff_load load = {power_w};
    t.period_count = 3;
    fill(power_w, 1000.0);
    ck_assert_int_eq(gw_tariff_bill(&t, &load, &r, &err), GW_ERR_MISSING);
    ck_assert_ptr_nonnull(strstr(err.text, "hour 0"));
    power_w[1234] = -1.0;
    ck_assert_int_eq(gw_tariff_bill(&two_blocks, &load, &r, &err), GW_ERR_RANGE);
    ck_assert_ptr_nonnull(strstr(err.text, "hour 1234"));
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("tariff");
    TCase *const tc = tcase_create("bills");
    tcase_add_test(tc, level_load_in_two_blocks_matches_hand_calculation);
    tcase_add_test(tc, load_below_the_first_edge_pays_the_first_price);
    tcase_add_test(tc, daily_edge_grows_with_the_month);
    tcase_add_loop_test(tc, an_hour_pays_the_price_of_its_period, 0,
                        (int)(sizeof moments / sizeof moments[0]));
    tcase_add_test(tc, demand_is_charged_above_the_free_part);
    tcase_add_test(tc, parts_of_the_bill_sum_to_the_year);
    tcase_add_test(tc, added_load_pays_the_upper_block);
    tcase_add_test(tc, impossible_tariff_is_refused_by_name);
    tcase_add_test(tc, gap_between_periods_and_bad_hour_are_named);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
