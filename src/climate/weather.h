// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// One year of hourly weather (8,760 hours, no leap day), and the reader of the EPW text format.
//
// It opens no file: the caller passes the text. EPW is an open format, documented in the public
// weather data dictionary: 8 header lines, then one line of 35 comma-separated fields per hour.
// Values are taken as they stand; nothing is smoothed. A file whose February has 29 days is
// accepted and the leap day is left out.
//
//   gw_weather weather;
//   st = gw_weather_read_epw(arena, (gw_weather_text){"a.epw", text, length}, &weather, err);
#ifndef GW_WEATHER_H
#define GW_WEATHER_H

#include "base/arena.h"
#include "base/err.h"

#include <stddef.h>

enum { GW_HOURS_PER_YEAR = 8760, GW_DAYS_PER_YEAR = 365 };

// Hour h (0 to 8759) is the hour from h to h + 1 of local standard time, counted from 1 January
// 00:00. Temperature is the value given for that hour; irradiance is its mean over the hour.
typedef struct {
    const char *name;                // place, as the file or station gives it
    const char *source;              // file kind or method, for the papers
    double latitude_deg;             // north positive
    double longitude_deg;            // east positive
    double timezone_h;               // standard time minus UTC
    double elevation_m;              // above sea level
    double *dry_bulb_degc;           // [8760]
    double *dew_point_degc;          // [8760], not above dry bulb
    double *direct_normal_w_m2;      // [8760]
    double *diffuse_horizontal_w_m2; // [8760]
    double *global_horizontal_w_m2;  // [8760]
    double *wind_m_s;                // [8760]
} gw_weather;

typedef struct {
    const char *name; // file name, for messages
    const char *text; // need not be NUL-terminated
    size_t length;
} gw_weather_text;

// Makes a year with all arrays allocated and zero. Errors: GW_ERR_NOMEM.
gw_status gw_weather_init(gw_arena *arena, gw_weather *out, gw_err *err) GW_MUST_USE;

// Reads EPW text. A missing dry bulb (code 99.9 or beyond -70 to 70 °C) is an error. Missing
// dew point is taken from relative humidity, else as the dry bulb minus nothing (saturated);
// missing irradiance (9999) as zero at night and an error by day; missing wind (999) as 0.
// Errors: GW_ERR_SYNTAX (line, column; a missing or doubled hour names the date expected),
// GW_ERR_TYPE (not a number), GW_ERR_RANGE, GW_ERR_MISSING, GW_ERR_NOMEM.
gw_status gw_weather_read_epw(gw_arena *arena, gw_weather_text file, gw_weather *out,
                              gw_err *err) GW_MUST_USE;

// Every value finite and within its physical range, e.g. before hourly loads.
gw_status gw_weather_check(const gw_weather *weather, gw_err *err) GW_MUST_USE;

// Means of the twelve months of any hourly series, January first.
void gw_weather_monthly_means(const double hourly[GW_HOURS_PER_YEAR], double out[12]);

// Means of the 365 days.
void gw_weather_daily_means(const double hourly[GW_HOURS_PER_YEAR], double out[GW_DAYS_PER_YEAR]);

// Value not undercut by a fraction of all hours: element floor(frac × 8760) of the ascending sort
// (0.01 gives the temperature exceeded in 99 % of the hours). frac 0 to below 1.
// Errors: GW_ERR_RANGE, GW_ERR_NOMEM.
gw_status gw_weather_percentile(gw_arena *arena, const double hourly[GW_HOURS_PER_YEAR],
                                double frac, double *out, gw_err *err) GW_MUST_USE;

// Days of month 0 to 11 (28 for February), and hours before it begins.
int gw_weather_days_of_month(int month);
int gw_weather_hours_before_month(int month);
int gw_weather_month_of_hour(int hour); // hour 0 to 8759

// Air pressure at an elevation over that at sea level: (1 - 2.25577e-5 z)^5.2559, ISO 2533 /
// ICAO standard atmosphere. Elevation -500 to 11,000 m.
double gw_weather_pressure_ratio(double elevation_m);

// Dew point from dry bulb and relative humidity (0 to 1], and the reverse; Magnus form over water
// with the coefficients of Alduchov & Eskridge (1996): es = 610.94 exp(17.625 t/(243.04 + t)).
double gw_weather_dew_point_degc(double dry_bulb_degc, double relative_humidity_frac);
double gw_weather_humidity_frac(double dry_bulb_degc, double dew_point_degc);

#endif
