// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Tables of money: prices, tariff, programs.
#include "job/job_priv.h"

#include <stdio.h>
#include <string.h>

#define MONEY(member) GW_FORM_AT(gw_job_money, member)
#define PROGRAM(member) GW_FORM_AT(gw_program, member)
#define WORK(member) GW_FORM_AT(gw_program_case, member)
#define PERIOD(member) GW_FORM_AT(gw_job_tariff_period, member)
#define TARIFF(member) .key = #member, .offset = offsetof(gw_job_tariff, tariff.member)
#define PRICE .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER

static const char *const DAYS_WORDS[] = {"every_day", "weekdays", "weekends"};
static const char *const PROGRAM_WORDS[] = {"fixed", "share", "per_w", "match", "credit"};

// clang-format off
static const gw_form_field FUEL_PRICE_FIELDS[] = {
    {GW_FORM_AT(gw_job_fuel_price, fuel), .type = GW_FORM_ID, .table = "fuels.csv", .column = "key", REQUIRED, .doc = "Which fuel."},
    {GW_FORM_AT(gw_job_fuel_price, price), PRICE, LIMITS(0, 100000), REQUIRED, .doc = "Per unit as sold (litre, m3, tonne, cord, kWh), taxes included."},
};

static const gw_form FUEL_PRICE_FORM = {
    .name = "fuel_price",
    .doc = "What a fuel costs here.",
    .size = sizeof(gw_job_fuel_price),
    ROWS(FUEL_PRICE_FIELDS),
};

static const gw_form_field BLOCK_FIELDS[] = {
    {GW_FORM_AT(gw_tariff_block, upto_kwh), PRICE, LIMITS(0, 1000000), OPTIONAL(0), .doc = "Upper edge in kWh per month; left out in the last block."},
    {GW_FORM_AT(gw_tariff_block, price_per_kwh), PRICE, LIMITS(-10, 10), USUAL(-0.5, 1), REQUIRED, .doc = "Currency per kWh."},
};

static const gw_form BLOCK_FORM = {
    .name = "block",
    .doc = "A block of a month's energy.",
    .size = sizeof(gw_tariff_block),
    ROWS(BLOCK_FIELDS),
};

static const gw_form_field PERIOD_FIELDS[] = {
    {PERIOD(name), .type = GW_FORM_TEXT, .least = 1, REQUIRED, .doc = "As printed."},
    {PERIOD(price_per_kwh), PRICE, LIMITS(-10, 10), USUAL(-0.5, 1), REQUIRED, .doc = "Currency per kWh."},
    {PERIOD(from_month), WHOLE(INT), LIMITS(1, 12), DEFAULT(1), .doc = "First month it holds in."},
    {PERIOD(to_month), WHOLE(INT), LIMITS(1, 12), DEFAULT(12), .doc = "Last month; before from_month it runs over the turn of the year."},
    {PERIOD(days), .type = GW_FORM_CHOICE, WORDS(DAYS_WORDS), DEFAULT(GW_TARIFF_EVERY_DAY), .doc = "Days it holds on."},
    {PERIOD(from_hour), WHOLE(INT), LIMITS(0, 23), DEFAULT(0), .doc = "First hour of the day, standard time."},
    {PERIOD(to_hour), WHOLE(INT), LIMITS(1, 24), DEFAULT(24), .doc = "Hour at which it ends; before from_hour it runs over midnight."},
};

static const gw_form PERIOD_FORM = {
    .name = "period",
    .doc = "A time of use with its own price; the first that holds gives the price.",
    .size = sizeof(gw_job_tariff_period),
    ROWS(PERIOD_FIELDS),
};

static const gw_form_field TARIFF_FIELDS[] = {
    {TARIFF(monthly_charge), .type = GW_FORM_MONEY, LIMITS(0, 10000), DEFAULT(0), .doc = "Each month, whatever is used."},
    {.key = "blocks", .offset = offsetof(gw_job_tariff, tariff.blocks), .type = GW_FORM_LIST, .form = &BLOCK_FORM, .home = GW_FORM_IN_PLACE,
     .count_offset = offsetof(gw_job_tariff, tariff.block_count), .least = 1, .most = GW_TARIFF_BLOCKS_MAX, OPTIONAL(0), .doc = "Prices by the month's whole energy."},
    {TARIFF(blocks_per_day), .type = GW_FORM_YES_NO, DEFAULT(0), .doc = "Edges of the blocks are per day of the month."},
    {GW_FORM_AT(gw_job_tariff, periods), .type = GW_FORM_LIST, .form = &PERIOD_FORM, .home = GW_FORM_IN_PLACE,
     .count_offset = offsetof(gw_job_tariff, period_count), .least = 1, .most = GW_TARIFF_PERIODS_MAX, OPTIONAL(0), .doc = "Prices by time of use; together they cover every hour."},
    {TARIFF(demand_per_kw), PRICE, LIMITS(0, 200), DEFAULT(0), .doc = "Per kW of the month's greatest hour."},
    {TARIFF(demand_free_kw), PRICE, LIMITS(0, 1000), DEFAULT(0), .doc = "Part of it that is free."},
    {TARIFF(tax_frac), QUANTITY(FRACTION), LIMITS(0, 0.5), DEFAULT(0), .doc = "On all of it."},
    {TARIFF(first_weekday), WHOLE(INT), LIMITS(0, 6), DEFAULT(0), .doc = "Weekday of 1 January, 0 Monday to 6 Sunday."},
};
// clang-format on

static unsigned month_bits(int from_month, int to_month)
{
    unsigned bits = 0;
    for (int m = from_month;; m = m % 12 + 1) {
        bits |= 1u << (unsigned)(m - 1);
        if (m == to_month) {
            return bits;
        }
    }
}

static void finish_tariff(gw_form_reader *reader, void *object)
{
    gw_job_tariff *const own = object;
    for (size_t i = 0; i < own->period_count; i++) {
        const gw_job_tariff_period *const p = &own->periods[i];
        own->tariff.periods[i] = (gw_tariff_period){
            .name = p->name,
            .price_per_kwh = p->price_per_kwh,
            .months = month_bits(p->from_month, p->to_month),
            .days = p->days,
            .from_hour = p->from_hour,
            .to_hour = p->to_hour,
        };
    }
    own->tariff.period_count = own->period_count;
    gw_err err = {0};
    if (gw_tariff_check(&own->tariff, &err) != GW_OK) {
        gw_job_priv_hand_on(reader, &err, "");
    }
}

static const gw_form TARIFF_FORM = {
    .name = "tariff",
    .doc = "What electricity costs, in full.",
    .rules = "Blocks or periods or both; edges of blocks rise, and the last block is open.",
    .size = sizeof(gw_job_tariff),
    ROWS(TARIFF_FIELDS),
    .finish = finish_tariff,
};

// clang-format off
static const gw_form_field PROGRAM_FIELDS[] = {
    {PROGRAM(key), .type = GW_FORM_TEXT, .least = 1, .most = 60, REQUIRED, .doc = "Short name that other programs refer to."},
    {PROGRAM(name), .type = GW_FORM_TEXT, .least = 1, REQUIRED, .doc = "As printed."},
    {PROGRAM(kind), .type = GW_FORM_CHOICE, WORDS(PROGRAM_WORDS), REQUIRED, .doc = "A fixed sum, a share of the eligible cost, a rate per watt of capacity, a match of another program, or a tax credit."},
    {PROGRAM(amount), .type = GW_FORM_MONEY, LIMITS(0, 1000000), OPTIONAL(0), .doc = "When kind is fixed."},
    {PROGRAM(share_frac), QUANTITY(FRACTION), LIMITS(0, 2), OPTIONAL(0), .doc = "When kind is share, match or credit."},
    {PROGRAM(rate_per_w), PRICE, LIMITS(0, 100), OPTIONAL(0), .doc = "When kind is per_w."},
    {PROGRAM(match_key), .type = GW_FORM_TEXT, .least = 1, .most = 60, OPTIONAL(0), .doc = "When kind is match: key of a program that stands before this one."},
    {PROGRAM(cap), .type = GW_FORM_MONEY, LIMITS(0, 1000000), OPTIONAL(0), .doc = "Greatest payment; left out, none."},
    {PROGRAM(reduces_eligible_cost), .type = GW_FORM_YES_NO, DEFAULT(0), .doc = "What it pays is taken off the eligible cost of later programs."},
    {PROGRAM(needs_audit_before), .type = GW_FORM_YES_NO, DEFAULT(0), .doc = "An energy audit on or before the day work starts."},
    {PROGRAM(needs_audit_after), .type = GW_FORM_YES_NO, DEFAULT(0), .doc = "An energy audit after the work, within the window."},
    {PROGRAM(window_month), WHOLE(INT), LIMITS(1, 120), OPTIONAL(0), .doc = "Months from the first audit to the last step; left out, no window."},
    {PROGRAM(needs_accredited_installer), .type = GW_FORM_YES_NO, DEFAULT(0), .doc = "An accredited installer."},
    {PROGRAM(needs_sign_off), .type = GW_FORM_YES_NO, DEFAULT(0), .doc = "A sign-off of the finished work."},
    {PROGRAM(least_seasonal_performance), PRICE, LIMITS(0, 10), OPTIONAL(0), .doc = "Least seasonal performance; left out, none asked."},
    {PROGRAM(opens), .type = GW_FORM_DATE, OPTIONAL(0), .doc = "Work starts on or after this day."},
    {PROGRAM(closes), .type = GW_FORM_DATE, OPTIONAL(0), .doc = "Work starts on or before this day."},
    {PROGRAM(paid_year), WHOLE(INT), LIMITS(0, 5), DEFAULT(1), .doc = "Year of the cash flow in which it is paid."},
};
// clang-format on

static void finish_program(gw_form_reader *reader, void *object)
{
    static const char *const NEEDED[] = {"amount", "share_frac", "rate_per_w", "share_frac",
                                         "share_frac"};
    const gw_program *const program = object;
    if (!gw_form_has(reader, NEEDED[program->kind])) {
        gw_form_complain(reader, GW_ERR_MISSING, NEEDED[program->kind],
                         "found no \"%s\", expected it of a program of kind \"%s\"",
                         NEEDED[program->kind], PROGRAM_WORDS[program->kind]);
    }
    if ((program->kind == GW_PROGRAM_MATCH) != gw_form_has(reader, "match_key")) {
        gw_form_complain(reader, GW_ERR_MISSING, "match_key",
                         "expected \"match_key\" of a program of kind \"match\", and of no other");
    }
    if (gw_date_known(program->opens) && gw_date_known(program->closes) &&
        gw_date_compare(program->closes, program->opens) < 0) {
        gw_form_complain(reader, GW_ERR_RANGE, "closes",
                         "found a day before \"opens\", expected a later one");
    }
}

static const gw_form PROGRAM_FORM = {
    .name = "program",
    .doc = "A grant, matching grant or tax credit with its conditions.",
    .rules = "Each kind needs its own amount, share_frac or rate_per_w; a match needs match_key.",
    .size = sizeof(gw_program),
    ROWS(PROGRAM_FIELDS),
    .finish = finish_program,
};

// clang-format off
static const gw_form_field WORK_FIELDS[] = {
    {WORK(tax_owed), .type = GW_FORM_MONEY, LIMITS(0, 1000000), OPTIONAL(0), .doc = "Income tax that a credit can be set against."},
    {WORK(accredited_installer), .type = GW_FORM_YES_NO, DEFAULT(1), .doc = "Designed and installed by accredited people."},
    {WORK(audit_before), .type = GW_FORM_DATE, OPTIONAL(0), .doc = "Day of the energy audit before work; this and the following: left out while not known."},
    {WORK(work_start), .type = GW_FORM_DATE, OPTIONAL(0), .doc = "Day on which work starts."},
    {WORK(work_finish), .type = GW_FORM_DATE, OPTIONAL(0), .doc = "Day on which it is finished."},
    {WORK(audit_after), .type = GW_FORM_DATE, OPTIONAL(0), .doc = "Day of the audit after work."},
    {WORK(sign_off), .type = GW_FORM_DATE, OPTIONAL(0), .doc = "Day of the sign-off."},
    {WORK(today), .type = GW_FORM_DATE, OPTIONAL(0), .doc = "Day for which deadlines are judged; left out, none is overdue."},
};

static const gw_form WORK_FORM = {
    .name = "work",
    .doc = "Dates of the work, for the conditions of programs.",
    .size = sizeof(gw_program_case),
    ROWS(WORK_FIELDS),
};

static const gw_form_field MONEY_FIELDS[] = {
    {MONEY(price_book), .type = GW_FORM_TEXT, .least = 1, .most = 1000, OPTIONAL(0), .doc = "Path of the firm's own price book; left out, the built-in one, which is invented for demonstration."},
    {MONEY(grid), .type = GW_FORM_ID, .table = "grid.csv", .column = "key", .presence = GW_FORM_DEFAULT, .fallback_text = "canada", .doc = "Whose electricity, for its carbon."},
    {MONEY(electricity_price_per_kwh), PRICE, LIMITS(0, 10), USUAL(0.03, 0.6), NOT_GIVEN, .doc = "Flat price with taxes; left out, that of the fuel table."},
    {MONEY(tariff), .type = GW_FORM_OBJECT, .form = &TARIFF_FORM, .home = GW_FORM_POINTED, OPTIONAL(0), .doc = "In place of the flat price."},
    {MONEY(fuel_prices), .type = GW_FORM_LIST, .form = &FUEL_PRICE_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_job_money, fuel_price_count), .least = 1, .most = 20, OPTIONAL(0), .doc = "Prices here; fuels left out keep those of the fuel table."},
    {MONEY(compare_with), .type = GW_FORM_ID, .table = "alternatives.csv", .column = "key", .presence = GW_FORM_DEFAULT, .fallback_text = "oil_old", .doc = "The present system, which the savings are counted against."},
    {MONEY(discount_frac), QUANTITY(FRACTION), LIMITS(-0.5, 1), USUAL(0, 0.1), DEFAULT(0.03), .doc = "Real discount rate per year, inflation taken off."},
    {MONEY(electricity_escalation_frac), QUANTITY(FRACTION), LIMITS(-0.5, 1), USUAL(-0.03, 0.06), DEFAULT(0), .doc = "Real yearly rise of the price of electricity."},
    {MONEY(fuel_escalation_frac), QUANTITY(FRACTION), LIMITS(-0.5, 1), USUAL(-0.03, 0.06), DEFAULT(0), .doc = "Real yearly rise of the price of fuels."},
    {MONEY(study_year), WHOLE(INT), LIMITS(1, 100), USUAL(10, 50), DEFAULT(25), .doc = "Years over which cost is compared."},
    {MONEY(programs), .type = GW_FORM_LIST, .form = &PROGRAM_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_job_money, program_count), .least = 1, .most = 20, OPTIONAL(0), .doc = "In the order in which they pay."},
    {MONEY(work), .type = GW_FORM_OBJECT, .form = &WORK_FORM, .presence = GW_FORM_DEFAULT, .doc = "What is known of the work's dates."},
};
// clang-format on

static void check_matches(gw_form_reader *reader, const gw_job_money *money)
{
    for (size_t i = 0; i < money->program_count; i++) {
        const gw_program *const program = &money->programs[i];
        bool found = program->match_key == NULL;
        char path[48];
        for (size_t j = 0; j < i; j++) {
            found = found || strcmp(money->programs[j].key, program->match_key) == 0;
            if (strcmp(money->programs[j].key, program->key) == 0) {
                snprintf(path, sizeof path, "programs[%zu].key", i);
                gw_form_complain(reader, GW_ERR_KEY, path,
                                 "found \"%.40s\" twice, expected keys that differ", program->key);
            }
        }
        if (!found) {
            snprintf(path, sizeof path, "programs[%zu].match_key", i);
            gw_form_complain(reader, GW_ERR_KEY, path,
                             "found \"%.40s\", expected the key of an earlier program",
                             program->match_key);
        }
    }
}

static void finish_money(gw_form_reader *reader, void *object)
{
    const gw_job_money *const money = object;
    if (money->tariff != NULL && gw_form_has(reader, "electricity_price_per_kwh")) {
        gw_form_complain(reader, GW_ERR_KEY, "electricity_price_per_kwh",
                         "found both a flat price and \"tariff\", expected one of them");
    }
    for (size_t i = 0; i < money->fuel_price_count; i++) {
        for (size_t j = 0; j < i; j++) {
            if (strcmp(money->fuel_prices[i].fuel, money->fuel_prices[j].fuel) == 0) {
                char path[48];
                snprintf(path, sizeof path, "fuel_prices[%zu].fuel", i);
                gw_form_complain(reader, GW_ERR_KEY, path,
                                 "found \"%s\" twice, expected one price for each fuel",
                                 money->fuel_prices[i].fuel);
            }
        }
    }
    check_matches(reader, money);
}

const gw_form GW_JOB_PRIV_MONEY = {
    .name = "money",
    .doc = "Prices, the present system, and grants.",
    .rules = "A flat electricity price or a tariff, not both; one price for each fuel; a match "
             "names an earlier program.",
    .size = sizeof(gw_job_money),
    ROWS(MONEY_FIELDS),
    .finish = finish_money,
};
