// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The hourly march: heat pump and ground solved together for every hour of the horizon.
//
// Each hour the entering water E satisfies
//   E = undisturbed(t) − [what past loads do] − (h₁/L) Q(E) + Q(E)/(2 C),
// with Q(E) the heat taken from the ground at that entering water, h₁ the response to this hour's
// own heat, L the length and C the flow's heat capacity: Newton on one unknown. (Water used once
// enters at the ground's own temperature: without the last term.) The past is the
// sum of exponentials of ground/history.h, so an hour costs the same in year 1 and in year 50.
//
// The loads of an hour come back every year at almost the same entering water: between the first
// and the last year the plant is taken from its slope at that hour's last full evaluation as long
// as the water is within 0.15 K of it. Monthly means then move by less than 0.001 K; `exact` turns
// this off.
//
// Heat within an hour is taken as spread over it: what a cycling unit does within the hour is only
// in its part-load factor. Loads repeat every year. The loop starts at rest at the
// beginning of `first_month`.
//
//   gw_loop_run run = {.heating_w = h, .cooling_w = c, .plant = &plant, .response = &response,
//                      .years = 25, .first_month = GW_LOOP_FIRST_MONTH};
//   st = gw_loop_simulate(arena, &run, &result, err);
#ifndef GW_LOOP_SIMULATE_H
#define GW_LOOP_SIMULATE_H

#include "base/arena.h"
#include "base/err.h"
#include "loop/response.h"
#include "plant/plant.h"

#include <stdbool.h>

enum { GW_LOOP_HOURS = 8760, GW_LOOP_FIRST_MONTH = 8 }; // a loop is filled in September

typedef struct {
    const double *heating_w;   // [8760] from 1 January
    const double *cooling_w;   // [8760]
    const double *hot_water_w; // [8760] or NULL
    const gw_plant *plant;
    const gw_loop_response *response;
    size_t years;       // 1 to 60
    size_t first_month; // in which the loop starts, 0 = January to 11
    bool exact;         // work the plant out anew in every hour of every year (slower; the check)
} gw_loop_run;

// Where in the horizon something happens.
typedef struct {
    size_t year; // of operation, 1 = first
    size_t hour; // of the calendar year, 0 to 8759
    double degc;
} gw_loop_moment;

typedef struct {
    double mean_degc;
    double least_degc;
    double greatest_degc;
} gw_loop_month;

typedef struct {
    double heating_j; // delivered to the house by compressor and auxiliary
    double cooling_j;
    double hot_water_j;
    double ground_j; // net taken from the ground
    double extracted_j;
    double rejected_j;
    double compressor_j;
    double blower_j;
    double circulator_j;
    double auxiliary_j;
    double unmet_j;               // cooling not met
    double heating_electricity_j; // all of the above that was drawn for heat and hot water
    double cooling_electricity_j; // and for cooling
    double run_hours;
    double short_hours; // hours in which the unit alone could not meet the heating load
} gw_loop_energy;

typedef struct {
    gw_loop_moment coldest; // least entering water of the horizon
    gw_loop_moment warmest;
    gw_loop_moment coldest_first; // of the first year of operation
    gw_loop_moment coldest_last;
    gw_loop_moment warmest_first;
    gw_loop_moment warmest_last;
    double coldest_week_degc; // least mean entering water over seven days in a row
    double leaving_degc;      // least temperature of water leaving the heat pump
    double peak_extraction_w; // greatest hourly mean
    double peak_rejection_w;
    gw_loop_energy first;   // first year of operation
    gw_loop_energy last;    // last year of operation
    gw_loop_month *months;  // [12 × years] from first_month on, in the arena
    double *day_heat_w_m;   // [365] calendar days of the last year: mean heat, W per metre
    double *day_fluid_degc; // [365] and mean fluid temperature in the ground
    double heating_spf;     // last year: heat delivered / all electricity for heating
    unsigned flags;         // of plant.h, or-ed over the horizon
} gw_loop_result;

// Errors: GW_ERR_RANGE (field named), GW_ERR_NOMEM, GW_ERR_CONVERGE (names year and hour).
gw_status gw_loop_simulate(gw_arena *arena, const gw_loop_run *run, gw_loop_result *out,
                           gw_err *err) GW_MUST_USE;

// The plain version, kept as the check: direct superposition of all past hours with the same
// fitted response, same coupling. Work grows with the square of the hours.
gw_status gw_loop_simulate_directly(gw_arena *arena, const gw_loop_run *run, gw_loop_result *out,
                                    gw_err *err) GW_MUST_USE;

#endif
