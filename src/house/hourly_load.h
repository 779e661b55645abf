// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Heating and cooling loads of a house for every hour of a year.
//
// From the envelope: the one-mass model (five resistances, one capacity) of ISO 13790:2008
// annex C, with solar gains by orientation, infiltration of each hour's weather, and the ground by
// ISO 13370. From given design loads: heating is UA (base - 24-hour mean outdoor temperature),
// cooling is proportional to outdoor temperature above its base; docs/methods/house.md.
// Windows may be opened: while it is cooler outside than the cooling setpoint, air at
// window_opening_ach does the cooling as far as it can. Ducts outside the heated space add their
// loss hour by hour, the fan running in proportion to the load over the year's highest.
// Sensible heat only; latent_frac tells the allowance to add for cooling coils. Capacity is
// unlimited, so a setback gives a sharp morning peak: limit it with the plant, not here.
//
//   st = gw_house_loads(arena, &house, &(gw_house_year){&weather, &conditions}, &loads, err);
#ifndef GW_HOURLY_LOAD_H
#define GW_HOURLY_LOAD_H

#include "base/arena.h"
#include "base/err.h"
#include "climate/weather.h"
#include "house/design_load.h"
#include "house/house.h"

typedef struct {
    double *heating_w;     // [8760] mean over each hour, 0 or more
    double *cooling_w;     // [8760] sensible, 0 or more
    double *indoor_degc;   // [8760] air; the setpoint when the loads were given directly
    double heating_j;      // over the year
    double cooling_j;      // sensible, over the year
    double free_cooling_j; // done by open windows, not part of cooling_j
    double duct_heating_j; // lost from ducts, part of heating_j
    double duct_cooling_j; // part of cooling_j
    double latent_frac;    // allowance on top of cooling_w
    double peak_heating_w; // highest hour
    double peak_cooling_w; //
    int peak_heating_hour; // 0 to 8759
    int peak_cooling_hour; //
    double hot_water_j_day;
} gw_house_load_year;

typedef struct {
    const gw_weather *weather;
    const gw_house_conditions *conditions; // used when design loads are given; else may be NULL
    bool free_float;                       // no heating or cooling: indoor_degc only
} gw_house_year;

// Errors: GW_ERR_RANGE, GW_ERR_MISSING, GW_ERR_NOMEM.
gw_status gw_house_loads(gw_arena *arena, const gw_house *house, const gw_house_year *year,
                         gw_house_load_year *out, gw_err *err) GW_MUST_USE;

#endif
