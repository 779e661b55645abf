// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Degree-days and temperature bins, from an hourly year or from monthly means.
//
// From hours: sum of the positive differences to the base, on daily means or on hours
// (ISO 15927-6). From monthly means: Erbs, Klein & Beckman (1983), ASHRAE Journal 25(6):60.
// The formula was fitted to continental stations; it is within about 3 % of a year's sum there
// and runs high where the climate is maritime.
//
//   double hdd_k_day = gw_degree_days_daily(weather.dry_bulb_degc, GW_DEGREE_DAYS_HEATING, 18.0);
#ifndef GW_DEGREE_DAYS_H
#define GW_DEGREE_DAYS_H

#include "base/err.h"
#include "climate/weather.h"

#include <stddef.h>

typedef enum { GW_DEGREE_DAYS_HEATING, GW_DEGREE_DAYS_COOLING } gw_degree_days_kind;

// Sums over the year in K·day: on daily means; on single hours (each hour 1/24 day).
double gw_degree_days_daily(const double dry_bulb_degc[GW_HOURS_PER_YEAR], gw_degree_days_kind kind,
                            double base_degc);
double gw_degree_days_hourly(const double dry_bulb_degc[GW_HOURS_PER_YEAR],
                             gw_degree_days_kind kind, double base_degc);

// As gw_degree_days_daily, month by month.
void gw_degree_days_by_month(const double dry_bulb_degc[GW_HOURS_PER_YEAR],
                             gw_degree_days_kind kind, double base_degc, double out_k_day[12]);

// Monthly sums from the twelve monthly mean temperatures (Erbs et al. 1983).
void gw_degree_days_erbs(const double monthly_mean_degc[12], gw_degree_days_kind kind,
                         double base_degc, double out_k_day[12]);

// Standard deviation that Erbs et al. state for the monthly mean, sigma_m, and for the hours of a
// month: their distribution F = 1/(1 + exp(-3.396 h)), h = (T - Tm)/(sigma_m sqrt(N)), is a
// logistic one whose standard deviation is pi/(sqrt(3) 3.396) sigma_m sqrt(N).
// sigma_year_k: population standard deviation of the twelve monthly means.
double gw_degree_days_sigma_month_k(double monthly_mean_degc, double sigma_year_k);
double gw_degree_days_sigma_hours_k(double monthly_mean_degc, double sigma_year_k, int days);
double gw_degree_days_sigma_year_k(const double monthly_mean_degc[12]);

// Counts hours per bin: bin i holds lowest + i·width <= T < lowest + (i + 1)·width; the first and
// last bin also take what lies beyond. Errors: GW_ERR_RANGE (width, no bins).
typedef struct {
    double lowest_degc;
    double width_k; // above 0
    size_t bins;    // at least 1
} gw_bin_scale;
gw_status gw_degree_days_bins(const double dry_bulb_degc[GW_HOURS_PER_YEAR], gw_bin_scale scale,
                              int *count_h, gw_err *err) GW_MUST_USE;

#endif
