// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// An air-source heat pump through a year of hours: the comparison a homeowner asks for.
//
// It is not a selection of a product: capacity and COP are curves over the outdoor temperature,
// with frost and defrost taken to be inside them. Each hour is in a steady state; hourly loads are
// met first by the compressor up to its capacity, the rest by electric backup at COP 1.
// Below lowest_degc the compressor is off. Below least_load_frac of its capacity the unit cycles:
// part-load factor 1 − Cd (1 − load/least load) (form of AHRI 210/240, from memory).
// Between points the curves are linear, outside they are level at the end values.
//
//   gw_air_source unit = gw_air_source_cold_climate(9000.0);
//   gw_air_source_year year = {.outdoor_degc = t, .heating_w = h, .cooling_w = c, .hours = 8760};
//   st = gw_air_source_run(&unit, &year, NULL, &result, err);
#ifndef GW_AIR_SOURCE_H
#define GW_AIR_SOURCE_H

#include "base/err.h"

#include <stddef.h>

enum { GW_AIR_SOURCE_POINTS_MAX = 12 };

typedef struct {
    double outdoor_degc;  // −60 to 60
    double capacity_frac; // of rated_capacity_w, greatest steady output; 0 to 3
    double cop;           // useful heat / electricity, indoor fan left out; 0.5 to 12
} gw_air_source_point;

typedef struct {
    double rated_capacity_w;                               // heating, at 8.3 °C outdoors; > 0
    gw_air_source_point heating[GW_AIR_SOURCE_POINTS_MAX]; // ascending outdoor_degc
    size_t heating_count;                                  // 1 to 12
    gw_air_source_point cooling[GW_AIR_SOURCE_POINTS_MAX]; // ascending; of rated_capacity_w too
    size_t cooling_count;                                  // 0: the unit does not cool
    double lowest_degc;                                    // compressor off below this
    double least_load_frac; // of capacity, below which it cycles; 0 to 1 (1: single speed)
    double cycling_cd;      // 0 to 0.5
} gw_air_source;

// Hourly means; all arrays have `hours` entries. cooling_w may be NULL (no cooling).
typedef struct {
    const double *outdoor_degc;
    const double *heating_w; // ≥ 0
    const double *cooling_w; // ≥ 0, heat taken from the house
    size_t hours;            // 1 to 8784
} gw_air_source_year;

typedef struct {
    double heating_j;         // need, all met by compressor and backup
    double compressor_heat_j; // part of it by the compressor
    double compressor_j;      // electricity, heating
    double backup_j;          // electricity = heat
    double cooling_j;         // heat removed
    double cooling_unmet_j;   // need beyond the cooling capacity
    double cooling_electricity_j;
    double peak_w;       // greatest hourly electric power
    double heating_cop;  // heating_j / (compressor_j + backup_j); 0 without heating
    double cooling_cop;  // cooling_j / cooling_electricity_j; 0 without cooling
    double backup_frac;  // backup_j / heating_j
    size_t backup_hours; // hours in which backup ran
} gw_air_source_result;

// A generic variable-speed cold-climate unit. The points are invented: chosen at or above the
// published floor COP 1.75 at −15 °C, and so that the yearly COP stays within 2.0–2.8 at about
// 4,500 and 1.6–2.2 above 6,000 degree-days (18 °C), the range seen in field studies.
gw_air_source gw_air_source_cold_climate(double rated_capacity_w);

// Errors: GW_ERR_RANGE with the field named.
gw_status gw_air_source_check(const gw_air_source *unit, gw_err *err) GW_MUST_USE;

// Runs the year. electricity_w (may be NULL) receives the power of each hour, [hours].
// Errors: GW_ERR_RANGE (unit, a temperature or load not finite or negative; the hour is named).
gw_status gw_air_source_run(const gw_air_source *unit, const gw_air_source_year *year,
                            double *electricity_w, gw_air_source_result *out,
                            gw_err *err) GW_MUST_USE;

#endif
