// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "climate/degree_days.h"

#include <math.h>

#define PI 3.14159265358979323846

static double positive_difference_k(gw_degree_days_kind kind, double base_degc, double t_degc)
{
    const double difference_k =
        kind == GW_DEGREE_DAYS_HEATING ? base_degc - t_degc : t_degc - base_degc;
    return difference_k > 0.0 ? difference_k : 0.0;
}

double gw_degree_days_daily(const double dry_bulb_degc[GW_HOURS_PER_YEAR], gw_degree_days_kind kind,
                            double base_degc)
{
    double mean_degc[GW_DAYS_PER_YEAR];
    gw_weather_daily_means(dry_bulb_degc, mean_degc);
    double sum_k_day = 0.0;
    for (int d = 0; d < GW_DAYS_PER_YEAR; d++) {
        sum_k_day += positive_difference_k(kind, base_degc, mean_degc[d]);
    }
    return sum_k_day;
}

double gw_degree_days_hourly(const double dry_bulb_degc[GW_HOURS_PER_YEAR],
                             gw_degree_days_kind kind, double base_degc)
{
    double sum_k_h = 0.0;
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        sum_k_h += positive_difference_k(kind, base_degc, dry_bulb_degc[h]);
    }
    return sum_k_h / 24.0;
}

void gw_degree_days_by_month(const double dry_bulb_degc[GW_HOURS_PER_YEAR],
                             gw_degree_days_kind kind, double base_degc, double out_k_day[12])
{
    double mean_degc[GW_DAYS_PER_YEAR];
    gw_weather_daily_means(dry_bulb_degc, mean_degc);
    int day = 0;
    for (int m = 0; m < 12; m++) {
        out_k_day[m] = 0.0;
        for (int k = 0; k < gw_weather_days_of_month(m); k++) {
            out_k_day[m] += positive_difference_k(kind, base_degc, mean_degc[day++]);
        }
    }
}

// ---- Erbs, Klein & Beckman (1983) ---------------------------------------------------------------

double gw_degree_days_sigma_year_k(const double monthly_mean_degc[12])
{
    double mean_degc = 0.0;
    for (int m = 0; m < 12; m++) {
        mean_degc += monthly_mean_degc[m] / 12.0;
    }
    double variance_k2 = 0.0;
    for (int m = 0; m < 12; m++) {
        const double d_k = monthly_mean_degc[m] - mean_degc;
        variance_k2 += d_k * d_k / 12.0;
    }
    return sqrt(variance_k2);
}

double gw_degree_days_sigma_month_k(double monthly_mean_degc, double sigma_year_k)
{
    const double sigma_k = 1.45 - 0.0290 * monthly_mean_degc + 0.0664 * sigma_year_k;
    // The line was fitted to temperate places; it must not reach zero in a hot one.
    return sigma_k > 0.2 ? sigma_k : 0.2;
}

double gw_degree_days_sigma_hours_k(double monthly_mean_degc, double sigma_year_k, int days)
{
    const double logistic = PI / (sqrt(3.0) * 3.396);
    return logistic * gw_degree_days_sigma_month_k(monthly_mean_degc, sigma_year_k) *
           sqrt((double)days);
}

// What: heating degree-days of a month of N days, K·day.
// Method: DD = sigma_m N^1.5 [h/2 + ln(2 cosh(1.698 h))/3.396], h = (Tb - Tm)/(sigma_m sqrt N);
// cooling is the same with the sign of h turned.
static double erbs_month_k_day(double sigma_month_k, double below_base_k, int days)
{
    const double n = (double)days;
    const double h = below_base_k / (sigma_month_k * sqrt(n));
    const double x = fabs(1.698 * h);
    const double ln_2cosh = x + log1p(exp(-2.0 * x)); // safe for large h
    return sigma_month_k * n * sqrt(n) * (0.5 * h + ln_2cosh / 3.396);
}

void gw_degree_days_erbs(const double monthly_mean_degc[12], gw_degree_days_kind kind,
                         double base_degc, double out_k_day[12])
{
    const double sigma_year_k = gw_degree_days_sigma_year_k(monthly_mean_degc);
    const double sign = kind == GW_DEGREE_DAYS_HEATING ? 1.0 : -1.0;
    for (int m = 0; m < 12; m++) {
        const double sigma_k = gw_degree_days_sigma_month_k(monthly_mean_degc[m], sigma_year_k);
        out_k_day[m] = erbs_month_k_day(sigma_k, sign * (base_degc - monthly_mean_degc[m]),
                                        gw_weather_days_of_month(m));
    }
}

// ---- Bins ---------------------------------------------------------------------------------------

gw_status gw_degree_days_bins(const double dry_bulb_degc[GW_HOURS_PER_YEAR], gw_bin_scale scale,
                              int *count_h, gw_err *err)
{
    if (!(scale.width_k > 0.0) || !isfinite(scale.width_k) || !isfinite(scale.lowest_degc)) {
        return gw_fail(err, GW_ERR_RANGE, "width_k", "bin width %g K must be above 0",
                       scale.width_k);
    }
    if (scale.bins == 0) {
        return gw_fail(err, GW_ERR_RANGE, "bins", "there must be at least one bin");
    }
    for (size_t i = 0; i < scale.bins; i++) {
        count_h[i] = 0;
    }
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        const double at = floor((dry_bulb_degc[h] - scale.lowest_degc) / scale.width_k);
        const double last = (double)(scale.bins - 1);
        const double held = at < 0.0 ? 0.0 : (at > last ? last : at);
        count_h[(size_t)held]++;
    }
    return GW_OK;
}
