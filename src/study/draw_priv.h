// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// From numbers drawn to a job in which they hold.
#ifndef GW_STUDY_DRAW_PRIV_H
#define GW_STUDY_DRAW_PRIV_H

#include "study/study_priv.h"
#include "study/uncertainty.h"

// What all draws start from.
typedef struct {
    const gw_job *job;          // one loop; held or free
    const gw_price_book *book;  // complete
    const gw_fuel_table *fuels; // with the job's prices
    const gw_heat_pump *pump;
    const gw_station *station;      // with the job's values
    const gw_table *soils;          // data/soils.csv
    const gw_weather *const *years; // [year_count], coldest first
    size_t year_count;
    const gw_weather *typical; // the job's own year
} gw_study_priv_start;

// Every variable at the value that changes nothing.
void gw_study_priv_neutral(double values[GW_UNCERTAIN_COUNT]);

// A design input in which the values hold; it lives in the arena. values[…WEATHER_YEAR] below 0:
// the job's own year. Errors: GW_ERR_NOMEM, GW_ERR_KEY.
gw_status gw_study_priv_apply(gw_arena *arena, const gw_study_priv_start *start,
                              const double values[GW_UNCERTAIN_COUNT], gw_design_input *out,
                              gw_err *err) GW_MUST_USE;

// Fills years[0 … year_count − 1].
gw_status gw_study_priv_make_years(gw_arena *arena, const gw_station *station,
                                   gw_study_priv_start *out, gw_err *err) GW_MUST_USE;

#endif
