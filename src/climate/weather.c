// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "climate/weather.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const int month_days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

int gw_weather_days_of_month(int month)
{
    return month_days[month];
}

int gw_weather_hours_before_month(int month)
{
    int days = 0;
    for (int m = 0; m < month; m++) {
        days += month_days[m];
    }
    return 24 * days;
}

int gw_weather_month_of_hour(int hour)
{
    int month = 0;
    int left = hour - 24 * month_days[0];
    while (left >= 0 && month < 11) {
        month++;
        left -= 24 * month_days[month];
    }
    return month;
}

gw_status gw_weather_init(gw_arena *arena, gw_weather *out, gw_err *err)
{
    const size_t hours = GW_HOURS_PER_YEAR;
    double *const block = gw_arena_alloc(arena, 6 * hours, sizeof *block);
    if (block == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "weather", "no memory for an hourly year");
    }
    *out = (gw_weather){
        .name = "",
        .source = "",
        .dry_bulb_degc = block,
        .dew_point_degc = block + hours,
        .direct_normal_w_m2 = block + 2 * hours,
        .diffuse_horizontal_w_m2 = block + 3 * hours,
        .global_horizontal_w_m2 = block + 4 * hours,
        .wind_m_s = block + 5 * hours,
    };
    return GW_OK;
}

// ---- Checking -----------------------------------------------------------------------------------

typedef struct {
    const char *name;
    const double *values;
    double low;
    double high;
} series;

static gw_status check_series(series s, gw_err *err)
{
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        if (!(s.values[h] >= s.low && s.values[h] <= s.high)) {
            return gw_fail(err, GW_ERR_RANGE, s.name, "%s %g in hour %d must be %g to %g", s.name,
                           s.values[h], h, s.low, s.high);
        }
    }
    return GW_OK;
}

gw_status gw_weather_check(const gw_weather *weather, gw_err *err)
{
    if (!(weather->latitude_deg >= -90.0 && weather->latitude_deg <= 90.0)) {
        return gw_fail(err, GW_ERR_RANGE, "latitude_deg", "latitude %g must be -90 to 90",
                       weather->latitude_deg);
    }
    if (!(weather->longitude_deg >= -180.0 && weather->longitude_deg <= 180.0)) {
        return gw_fail(err, GW_ERR_RANGE, "longitude_deg", "longitude %g must be -180 to 180",
                       weather->longitude_deg);
    }
    if (!(weather->elevation_m >= -500.0 && weather->elevation_m <= 5000.0)) {
        return gw_fail(err, GW_ERR_RANGE, "elevation_m", "elevation %g must be -500 to 5000 m",
                       weather->elevation_m);
    }
    if (!(weather->timezone_h >= -12.0 && weather->timezone_h <= 14.0)) {
        return gw_fail(err, GW_ERR_RANGE, "timezone_h", "time zone %g must be -12 to 14 h",
                       weather->timezone_h);
    }
    const series all[] = {
        {"dry_bulb_degc", weather->dry_bulb_degc, -70, 70},
        {"dew_point_degc", weather->dew_point_degc, -90, 70},
        {"direct_normal_w_m2", weather->direct_normal_w_m2, 0, 1500},
        {"diffuse_horizontal_w_m2", weather->diffuse_horizontal_w_m2, 0, 1500},
        {"global_horizontal_w_m2", weather->global_horizontal_w_m2, 0, 1600},
        {"wind_m_s", weather->wind_m_s, 0, 60},
    };
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        const gw_status st = check_series(all[i], err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

// ---- Statistics ---------------------------------------------------------------------------------

void gw_weather_monthly_means(const double hourly[GW_HOURS_PER_YEAR], double out[12])
{
    int hour = 0;
    for (int m = 0; m < 12; m++) {
        const int hours = 24 * month_days[m];
        double sum = 0.0;
        for (int k = 0; k < hours; k++) {
            sum += hourly[hour++];
        }
        out[m] = sum / hours;
    }
}

void gw_weather_daily_means(const double hourly[GW_HOURS_PER_YEAR], double out[GW_DAYS_PER_YEAR])
{
    for (int d = 0; d < GW_DAYS_PER_YEAR; d++) {
        double sum = 0.0;
        for (int k = 0; k < 24; k++) {
            sum += hourly[24 * d + k];
        }
        out[d] = sum / 24.0;
    }
}

static int by_value(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

gw_status gw_weather_percentile(gw_arena *arena, const double hourly[GW_HOURS_PER_YEAR],
                                double frac, double *out, gw_err *err)
{
    if (!(frac >= 0.0 && frac < 1.0)) {
        return gw_fail(err, GW_ERR_RANGE, "frac", "fraction %g must be 0 to below 1", frac);
    }
    double *const sorted = gw_arena_alloc(arena, GW_HOURS_PER_YEAR, sizeof *sorted);
    if (sorted == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "percentile", "no memory to sort a year");
    }
    memcpy(sorted, hourly, GW_HOURS_PER_YEAR * sizeof *sorted);
    qsort(sorted, GW_HOURS_PER_YEAR, sizeof *sorted, by_value);
    *out = sorted[(size_t)(frac * GW_HOURS_PER_YEAR)];
    return GW_OK;
}

// ---- Air ----------------------------------------------------------------------------------------

double gw_weather_pressure_ratio(double elevation_m)
{
    return pow(1.0 - 2.25577e-5 * elevation_m, 5.2559);
}

double gw_weather_dew_point_degc(double dry_bulb_degc, double relative_humidity_frac)
{
    const double g =
        log(relative_humidity_frac) + 17.625 * dry_bulb_degc / (243.04 + dry_bulb_degc);
    return 243.04 * g / (17.625 - g);
}

double gw_weather_humidity_frac(double dry_bulb_degc, double dew_point_degc)
{
    return exp(17.625 * dew_point_degc / (243.04 + dew_point_degc) -
               17.625 * dry_bulb_degc / (243.04 + dry_bulb_degc));
}
