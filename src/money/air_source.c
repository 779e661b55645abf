// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "money/air_source.h"

#include "money/money_priv.h"

#include <math.h>

#define SECONDS_PER_HOUR 3600.0

gw_air_source gw_air_source_cold_climate(double rated_capacity_w)
{
    return (gw_air_source){
        .rated_capacity_w = rated_capacity_w,
        // The dip at 1 °C is frost: most defrosting happens just around freezing.
        .heating = {{-30.0, 0.42, 1.35},
                    {-25.0, 0.52, 1.55},
                    {-15.0, 0.72, 2.00},
                    {-8.3, 0.85, 2.35},
                    {1.0, 0.88, 2.75},
                    {8.3, 1.00, 3.60},
                    {15.0, 1.05, 4.10}},
        .heating_count = 7,
        .cooling = {{20.0, 1.00, 5.2}, {27.8, 0.95, 4.3}, {35.0, 0.85, 3.4}, {45.0, 0.70, 2.5}},
        .cooling_count = 4,
        .lowest_degc = -28.0,
        .least_load_frac = 0.3,
        .cycling_cd = 0.25,
    };
}

static gw_status check_curve(const char *field, const gw_air_source_point *points, size_t count,
                             gw_err *err)
{
    for (size_t i = 0; i < count; i++) {
        const gw_air_source_point *const p = &points[i];
        if (!(p->outdoor_degc >= -60.0 && p->outdoor_degc <= 60.0) ||
            !(p->capacity_frac >= 0.0 && p->capacity_frac <= 3.0) ||
            !(p->cop >= 0.5 && p->cop <= 12.0)) {
            return gw_fail(err, GW_ERR_RANGE, field,
                           "%s point %zu: %.3g degC, capacity %.3g, COP %.3g must be -60 to 60 "
                           "degC, 0 to 3, 0.5 to 12",
                           field, i, p->outdoor_degc, p->capacity_frac, p->cop);
        }
        if (i > 0 && !(p->outdoor_degc > points[i - 1].outdoor_degc)) {
            return gw_fail(err, GW_ERR_RANGE, field, "%s point %zu: temperatures must rise", field,
                           i);
        }
    }
    return GW_OK;
}

gw_status gw_air_source_check(const gw_air_source *unit, gw_err *err)
{
    if (unit->heating_count < 1 || unit->heating_count > GW_AIR_SOURCE_POINTS_MAX ||
        unit->cooling_count > GW_AIR_SOURCE_POINTS_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "heating_count", "a curve must have 1 to %d points",
                       GW_AIR_SOURCE_POINTS_MAX);
    }
    const struct {
        double value;
        gw_money_priv_range range;
    } rows[] = {{unit->rated_capacity_w, {"rated_capacity_w", 1.0, 1e7}},
                {unit->lowest_degc, {"lowest_degc", -60.0, 30.0}},
                {unit->least_load_frac, {"least_load_frac", 0.0, 1.0}},
                {unit->cycling_cd, {"cycling_cd", 0.0, 0.5}}};
    gw_status st = GW_OK;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0] && st == GW_OK; i++) {
        st = gw_money_priv_within(rows[i].range.column, rows[i].value, rows[i].range, err);
    }
    if (st == GW_OK) {
        st = check_curve("heating", unit->heating, unit->heating_count, err);
    }
    if (st == GW_OK) {
        st = check_curve("cooling", unit->cooling, unit->cooling_count, err);
    }
    return st;
}

// Linear between the points, level outside them.
static gw_air_source_point curve_at(const gw_air_source_point *points, size_t count, double t_degc)
{
    if (t_degc <= points[0].outdoor_degc) {
        return points[0];
    }
    for (size_t i = 1; i < count; i++) {
        if (t_degc <= points[i].outdoor_degc) {
            const gw_air_source_point *const a = &points[i - 1], *const b = &points[i];
            const double w = (t_degc - a->outdoor_degc) / (b->outdoor_degc - a->outdoor_degc);
            return (gw_air_source_point){
                t_degc, a->capacity_frac + w * (b->capacity_frac - a->capacity_frac),
                a->cop + w * (b->cop - a->cop)};
        }
    }
    return points[count - 1];
}

// Electric power to move `heat_w` with the unit at the given point, cycling below the least load.
static double compressor_power_w(const gw_air_source *unit, const gw_air_source_point *at,
                                 double heat_w)
{
    const double least_w = unit->least_load_frac * at->capacity_frac * unit->rated_capacity_w;
    const double part_load_frac =
        heat_w < least_w ? 1.0 - unit->cycling_cd * (1.0 - heat_w / least_w) : 1.0;
    return heat_w / (at->cop * part_load_frac);
}

// Adds one hour of heating to the sums; returns its electric power.
static double heat_hour(const gw_air_source *unit, double outdoor_degc, double load_w,
                        gw_air_source_result *sum)
{
    const gw_air_source_point at = curve_at(unit->heating, unit->heating_count, outdoor_degc);
    const double capacity_w =
        outdoor_degc < unit->lowest_degc ? 0.0 : at.capacity_frac * unit->rated_capacity_w;
    const double by_compressor_w = fmin(load_w, capacity_w);
    const double backup_w = load_w - by_compressor_w;
    const double power_w =
        by_compressor_w > 0.0 ? compressor_power_w(unit, &at, by_compressor_w) : 0.0;
    sum->heating_j += load_w * SECONDS_PER_HOUR;
    sum->compressor_heat_j += by_compressor_w * SECONDS_PER_HOUR;
    sum->compressor_j += power_w * SECONDS_PER_HOUR;
    sum->backup_j += backup_w * SECONDS_PER_HOUR;
    sum->backup_hours += backup_w > 0.0;
    return power_w + backup_w;
}

static double cool_hour(const gw_air_source *unit, double outdoor_degc, double load_w,
                        gw_air_source_result *sum)
{
    if (unit->cooling_count == 0) {
        sum->cooling_unmet_j += load_w * SECONDS_PER_HOUR;
        return 0.0;
    }
    const gw_air_source_point at = curve_at(unit->cooling, unit->cooling_count, outdoor_degc);
    const double met_w = fmin(load_w, at.capacity_frac * unit->rated_capacity_w);
    const double power_w = met_w > 0.0 ? compressor_power_w(unit, &at, met_w) : 0.0;
    sum->cooling_j += met_w * SECONDS_PER_HOUR;
    sum->cooling_unmet_j += (load_w - met_w) * SECONDS_PER_HOUR;
    sum->cooling_electricity_j += power_w * SECONDS_PER_HOUR;
    return power_w;
}

static gw_status check_hour(const gw_air_source_year *year, size_t h, gw_err *err)
{
    const double t_degc = year->outdoor_degc[h], heating_w = year->heating_w[h];
    const double cooling_w = year->cooling_w == NULL ? 0.0 : year->cooling_w[h];
    if (!(t_degc >= -90.0 && t_degc <= 70.0)) {
        return gw_fail(err, GW_ERR_RANGE, "outdoor_degc",
                       "hour %zu: outdoor %.3g degC must be -90 to 70", h, t_degc);
    }
    if (!(heating_w >= 0.0 && heating_w <= 1e9) || !(cooling_w >= 0.0 && cooling_w <= 1e9)) {
        return gw_fail(err, GW_ERR_RANGE, "heating_w",
                       "hour %zu: heating %.6g W and cooling %.6g W must be 0 to 1e9", h, heating_w,
                       cooling_w);
    }
    return GW_OK;
}

gw_status gw_air_source_run(const gw_air_source *unit, const gw_air_source_year *year,
                            double *electricity_w, gw_air_source_result *out, gw_err *err)
{
    gw_status st = gw_air_source_check(unit, err);
    if (st == GW_OK && (year->hours < 1 || year->hours > 8784)) {
        st = gw_fail(err, GW_ERR_RANGE, "hours", "hours %zu must be 1 to 8784", year->hours);
    }
    gw_air_source_result sum = {0};
    for (size_t h = 0; h < year->hours && st == GW_OK; h++) {
        st = check_hour(year, h, err);
        if (st == GW_OK) {
            double power_w = heat_hour(unit, year->outdoor_degc[h], year->heating_w[h], &sum);
            if (year->cooling_w != NULL) {
                power_w += cool_hour(unit, year->outdoor_degc[h], year->cooling_w[h], &sum);
            }
            sum.peak_w = fmax(sum.peak_w, power_w);
            if (electricity_w != NULL) {
                electricity_w[h] = power_w;
            }
        }
    }
    if (st != GW_OK) {
        return st;
    }
    const double heating_in_j = sum.compressor_j + sum.backup_j;
    sum.heating_cop = heating_in_j > 0.0 ? sum.heating_j / heating_in_j : 0.0;
    sum.cooling_cop =
        sum.cooling_electricity_j > 0.0 ? sum.cooling_j / sum.cooling_electricity_j : 0.0;
    sum.backup_frac = sum.heating_j > 0.0 ? sum.backup_j / sum.heating_j : 0.0;
    *out = sum;
    return GW_OK;
}
