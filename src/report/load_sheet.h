// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The load sheet of a house: design loss and gain by component and by room, the year by month, the
// hardest hours, and the fuel bills beside it where the job has any. No loop is sized.
//
// Climate and weather are those of a design of the same job: station with the job's own values,
// the given hourly weather or the year made from the normals. Bills are laid on a typical year's
// daily temperatures, not on those of their own years: winters warmer or colder than usual shift
// the fit by as much. What the bills are held against is the component method with the mean
// outdoor temperature and wind of the days below the fitted balance temperature.
//
//   const gw_load_sheet_input input = {.job = job};
//   st = gw_load_sheet_run(arena, &input, &sheet, err);
//   st = gw_load_sheet_text(arena, &sheet, GW_UNITS_METRIC, &text, err);
#ifndef GW_LOAD_SHEET_H
#define GW_LOAD_SHEET_H

#include "base/arena.h"
#include "base/err.h"
#include "base/quantity.h"
#include "house/bills.h"
#include "house/hourly_load.h"
#include "job/job.h"

// Air changes per hour of the second run that shows what opened windows would do, where the job
// leaves them shut (common practice, no source: cross ventilation gives 3 to 10).
#define GW_LOAD_SHEET_OPEN_ACH 4.0

typedef struct {
    const gw_job *job;
    const gw_weather *weather; // of the file that the job names; NULL: made from the normals
} gw_load_sheet_input;

typedef struct {
    bool given;  // the job has bills
    bool fitted; // and they could be fitted; else `why`
    gw_err why;
    gw_bills_fit fit;
    gw_bills_comparison comparison;
    double season_degc;     // mean outdoors on the days below the balance temperature
    double season_wind_m_s; //
} gw_load_sheet_bills;

typedef struct {
    const gw_job *job;
    const gw_station *station;
    const gw_weather *weather;
    bool weather_made;
    gw_house_conditions conditions;
    gw_house_design_result design;
    gw_house_load_year year;
    double heating_j[12];
    double cooling_j[12];  // sensible
    double open_cooling_j; // of the year with windows opened, see GW_LOAD_SHEET_OPEN_ACH
    bool has_open;         // the former was worked out
    gw_load_sheet_bills bills;
} gw_load_sheet;

// Errors: those of station, house and weather; bills that cannot be fitted are told in the sheet.
gw_status gw_load_sheet_run(gw_arena *arena, const gw_load_sheet_input *input, gw_load_sheet *out,
                            gw_err *err) GW_MUST_USE;

// For a printer or a terminal. Errors: GW_ERR_NOMEM.
gw_status gw_load_sheet_text(gw_arena *arena, const gw_load_sheet *sheet, gw_unit_system units,
                             const char **out, gw_err *err) GW_MUST_USE;

// SI, keys as here. Errors: GW_ERR_NOMEM.
gw_status gw_load_sheet_json(gw_arena *arena, const gw_load_sheet *sheet, const char **out,
                             gw_err *err) GW_MUST_USE;

#endif
