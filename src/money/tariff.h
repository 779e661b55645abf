// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// An electricity tariff: monthly charge, blocks, times of use, demand; billed against hourly load.
//
// It holds no tariff of any utility: a job brings its own. No daylight-saving shift: hours are
// local standard time, hour 0 of the year is 00:00–01:00 on 1 January of a year of 365 days.
// Energy price of an hour = price of its period; then blocks price the month's whole energy with
// their own price. A tariff has periods or blocks or both (a block price may be a credit, < 0).
// Order: energy (periods + blocks), demand, monthly charge, then the share of tax on all of it.
//
//   gw_tariff tariff = {.monthly_charge = {2500}, .blocks = {{600, 0.09}, {0, 0.11}},
//       .block_count = 2};
//   st = gw_tariff_bill(&tariff, &load, &bill, err);
#ifndef GW_TARIFF_H
#define GW_TARIFF_H

#include "money/money.h"

#include <stdbool.h>

enum { GW_TARIFF_BLOCKS_MAX = 6, GW_TARIFF_PERIODS_MAX = 12, GW_TARIFF_HOURS = 8760 };

// Days a period holds for.
typedef enum { GW_TARIFF_EVERY_DAY, GW_TARIFF_WEEKDAYS, GW_TARIFF_WEEKENDS } gw_tariff_days;

typedef struct {
    double upto_kwh;      // upper edge, kWh per month (or per day, see blocks_per_day), ascending;
                          // 0 in the last block: no edge
    double price_per_kwh; // −10 to 10
} gw_tariff_block;

typedef struct {
    const char *name;     // "on peak"
    double price_per_kwh; // −10 to 10
    unsigned months;      // bit 0 January … bit 11 December; 0 means all
    gw_tariff_days days;
    int from_hour; // 0 to 23
    int to_hour;   // 1 to 24, not included; less than from_hour runs over midnight
} gw_tariff_period;

typedef struct {
    gw_money monthly_charge;
    gw_tariff_block blocks[GW_TARIFF_BLOCKS_MAX];
    size_t block_count;
    bool blocks_per_day;                             // edges × days of the month
    gw_tariff_period periods[GW_TARIFF_PERIODS_MAX]; // the first that holds gives the price;
    size_t period_count;                             // when there are periods every hour needs one
    double demand_per_kw;  // currency per kW of the month's greatest hour, ≥ 0
    double demand_free_kw; // part of it that is free, ≥ 0
    double tax_frac;       // 0 to 0.5
    int first_weekday;     // weekday of 1 January, 0 Monday … 6 Sunday
} gw_tariff;

// Mean power of each hour of the year, W, ≥ 0.
typedef struct {
    const double *power_w; // [GW_TARIFF_HOURS]
} gw_tariff_load;

typedef struct {
    double month_kwh[12];
    double month_peak_kw[12];
    gw_money month[12]; // with tax
    gw_money energy;    // year, before tax
    gw_money demand;    // year, before tax
    gw_money charges;   // monthly charges, before tax
    gw_money tax;
    gw_money year; // Σ month
    double year_kwh;
    double mean_price_per_kwh; // year / year_kwh; 0 without use
} gw_tariff_result;

gw_status gw_tariff_check(const gw_tariff *tariff, gw_err *err) GW_MUST_USE;

// Errors: GW_ERR_RANGE (tariff, or a power not finite or negative: the hour is named),
// GW_ERR_MISSING (an hour that no period covers: named).
gw_status gw_tariff_bill(const gw_tariff *tariff, const gw_tariff_load *load, gw_tariff_result *out,
                         gw_err *err) GW_MUST_USE;

// What `added` costs on top of `base`: bill(base + added) − bill(base). base may have NULL power.
gw_status gw_tariff_added_cost(const gw_tariff *tariff, const gw_tariff_load *base,
                               const gw_tariff_load *added, gw_money *out, gw_err *err) GW_MUST_USE;

#endif
