// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "climate/station.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>

#define PI 3.14159265358979323846
#define EARTH_RADIUS_M 6371008.8 // mean radius, IUGG

static const char *const month_columns[GW_MONTHS] = {
    "jan_degc", "feb_degc", "mar_degc", "apr_degc", "may_degc", "jun_degc",
    "jul_degc", "aug_degc", "sep_degc", "oct_degc", "nov_degc", "dec_degc"};

static const double month_days[GW_MONTHS] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

// ---- Checking -----------------------------------------------------------------------------------

typedef struct {
    const char *name;
    double value;
    double low;
    double high;
} bound;

static gw_status check_bound(const gw_station *station, bound b, gw_err *err)
{
    if (b.value >= b.low && b.value <= b.high) {
        return GW_OK;
    }
    char field[GW_ERR_FIELD_SIZE];
    snprintf(field, sizeof field, "stations[%s].%s", station->id, b.name);
    return gw_fail(err, GW_ERR_RANGE, field, "%s %g must be %g to %g", b.name, b.value, b.low,
                   b.high);
}

gw_status gw_station_check(const gw_station *station, gw_err *err)
{
    const bound bounds[] = {
        {"latitude_deg", station->latitude_deg, -90, 90},
        {"longitude_deg", station->longitude_deg, -180, 180},
        {"elevation_m", station->elevation_m, -430, 5000},
        {"timezone_h", station->timezone_h, -12, 14},
        {"heating_design_degc", station->heating_design_degc, -60, 25},
        {"cooling_design_degc", station->cooling_design_degc, 0, 55},
        {"daily_range_k", station->daily_range_k, 1, 25},
        {"ground_mean_degc", station->ground_mean_degc, -20, 30},
        {"ground_amplitude_k", station->ground_amplitude_k, 0, 40},
        {"ground_phase_day", station->ground_phase_day, 0, 365},
    };
    for (size_t i = 0; i < sizeof bounds / sizeof bounds[0]; i++) {
        const gw_status st = check_bound(station, bounds[i], err);
        if (st != GW_OK) {
            return st;
        }
    }
    for (size_t m = 0; m < GW_MONTHS; m++) {
        const bound b = {month_columns[m], station->monthly_mean_degc[m], -60, 50};
        const gw_status st = check_bound(station, b, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

// ---- Reading ------------------------------------------------------------------------------------

static gw_status read_texts(const gw_table *table, size_t row, gw_station *out, gw_err *err)
{
    const struct {
        const char *column;
        const char **target;
    } texts[] = {
        {"id", &out->id},         {"name", &out->name},
        {"region", &out->region}, {"country", &out->country},
        {"source", &out->source}, {"ground_source", &out->ground_source},
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        const gw_status st = gw_table_text(table, row, texts[i].column, texts[i].target, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

static gw_status read_numbers(const gw_table *table, size_t row, gw_station *out, gw_err *err)
{
    const struct {
        const char *column;
        double *target;
    } numbers[] = {
        {"latitude_deg", &out->latitude_deg},
        {"longitude_deg", &out->longitude_deg},
        {"elevation_m", &out->elevation_m},
        {"timezone_h", &out->timezone_h},
        {"heating_design_degc", &out->heating_design_degc},
        {"cooling_design_degc", &out->cooling_design_degc},
        {"daily_range_k", &out->daily_range_k},
        {"ground_mean_degc", &out->ground_mean_degc},
        {"ground_amplitude_k", &out->ground_amplitude_k},
        {"ground_phase_day", &out->ground_phase_day},
    };
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        const gw_status st = gw_table_number(table, row, numbers[i].column, numbers[i].target, err);
        if (st != GW_OK) {
            return st;
        }
    }
    for (size_t m = 0; m < GW_MONTHS; m++) {
        const gw_status st =
            gw_table_number(table, row, month_columns[m], &out->monthly_mean_degc[m], err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

gw_status gw_stations_read(gw_arena *arena, const gw_table *table, gw_stations *out, gw_err *err)
{
    gw_station *const items = gw_arena_alloc(arena, table->rows, sizeof *items);
    if (items == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "stations", "no memory for %zu stations", table->rows);
    }
    for (size_t row = 0; row < table->rows; row++) {
        gw_status st = read_texts(table, row, &items[row], err);
        if (st == GW_OK) {
            st = read_numbers(table, row, &items[row], err);
        }
        if (st == GW_OK) {
            st = gw_station_check(&items[row], err);
        }
        if (st != GW_OK) {
            return st;
        }
    }
    out->items = items;
    out->count = table->rows;
    return GW_OK;
}

// ---- Finding ------------------------------------------------------------------------------------

// The nearest id by edits, or NULL. Kept without an array of names: there is no arena here.
static const char *nearest_id(const gw_stations *stations, const char *id)
{
    const char *best = NULL;
    size_t best_distance = 0;
    for (size_t i = 0; i < stations->count; i++) {
        const char *const names[1] = {stations->items[i].id};
        if (gw_text_nearest(id, names, 1) == 1) {
            continue;
        }
        const size_t distance = gw_text_distance(id, names[0]);
        if (best == NULL || distance < best_distance) {
            best = names[0];
            best_distance = distance;
        }
    }
    return best;
}

static bool same_text(const char *a, const char *b)
{
    while (*a != '\0' && *a == *b) {
        a++;
        b++;
    }
    return *a == *b;
}

gw_status gw_station_find(const gw_stations *stations, const char *id, const gw_station **out,
                          gw_err *err)
{
    for (size_t i = 0; i < stations->count; i++) {
        if (same_text(stations->items[i].id, id)) {
            *out = &stations->items[i];
            return GW_OK;
        }
    }
    const char *const near = nearest_id(stations, id);
    if (near != NULL) {
        return gw_fail(err, GW_ERR_KEY, "station", "no station \"%s\"; did you mean \"%s\"?", id,
                       near);
    }
    return gw_fail(err, GW_ERR_KEY, "station", "no station \"%s\" among the %zu known", id,
                   stations->count);
}

// Great circle by the haversine, good for small and large distances alike.
static double distance_m(const gw_station *station, const double point_deg[2])
{
    const double rad = PI / 180.0;
    const double lat1 = station->latitude_deg * rad;
    const double lat2 = point_deg[0] * rad;
    const double half_lat = sin(0.5 * (lat2 - lat1));
    const double half_lon = sin(0.5 * (point_deg[1] - station->longitude_deg) * rad);
    const double a = half_lat * half_lat + cos(lat1) * cos(lat2) * half_lon * half_lon;
    return 2.0 * EARTH_RADIUS_M * asin(sqrt(a > 1.0 ? 1.0 : a));
}

gw_status gw_station_nearest(const gw_stations *stations, const double latitude_longitude_deg[2],
                             const gw_station **out, double *distance_out_m, gw_err *err)
{
    const double latitude = latitude_longitude_deg[0];
    const double longitude = latitude_longitude_deg[1];
    if (!(latitude >= -90.0 && latitude <= 90.0)) {
        return gw_fail(err, GW_ERR_RANGE, "latitude_deg", "latitude %g must be -90 to 90",
                       latitude);
    }
    if (!(longitude >= -180.0 && longitude <= 180.0)) {
        return gw_fail(err, GW_ERR_RANGE, "longitude_deg", "longitude %g must be -180 to 180",
                       longitude);
    }
    if (stations->count == 0) {
        return gw_fail(err, GW_ERR_MISSING, "stations", "there are no stations");
    }
    size_t best = 0;
    double best_m = distance_m(&stations->items[0], latitude_longitude_deg);
    for (size_t i = 1; i < stations->count; i++) {
        const double d_m = distance_m(&stations->items[i], latitude_longitude_deg);
        if (d_m < best_m) {
            best = i;
            best_m = d_m;
        }
    }
    *out = &stations->items[best];
    if (distance_out_m != NULL) {
        *distance_out_m = best_m;
    }
    return GW_OK;
}

// ---- Yearly figures -----------------------------------------------------------------------------

double gw_station_mean_degc(const gw_station *station)
{
    double sum = 0.0;
    for (size_t m = 0; m < GW_MONTHS; m++) {
        sum += month_days[m] * station->monthly_mean_degc[m];
    }
    return sum / 365.0;
}

// First harmonic of twelve steps of true length. Averaging a wave over one month lowers it by
// sin(x)/x, x = pi days/365; each month's share is raised by the inverse.
double gw_station_amplitude_k(const gw_station *station)
{
    const double mean_degc = gw_station_mean_degc(station);
    double a_k = 0.0;
    double b_k = 0.0;
    double before_days = 0.0;
    for (size_t m = 0; m < GW_MONTHS; m++) {
        const double phase = 2.0 * PI * (before_days + 0.5 * month_days[m]) / 365.0;
        const double x = PI * month_days[m] / 365.0;
        const double share_k =
            2.0 * month_days[m] / 365.0 * (station->monthly_mean_degc[m] - mean_degc) * x / sin(x);
        a_k += share_k * cos(phase);
        b_k += share_k * sin(phase);
        before_days += month_days[m];
    }
    return sqrt(a_k * a_k + b_k * b_k);
}
