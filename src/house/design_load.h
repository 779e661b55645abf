// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Design heat loss and heat gain of a house, component by component.
//
// Loss: conduction A dT/RSI to outside air; ground floors and basements by ISO 13370 (mean loss
// plus the yearly wave at its worst); infiltration by the LBL model (Sherman & Grimsrud 1980, with
// the coefficients of the ASHRAE Handbook) from the blower-door figure; ventilation less its
// recovered heat. No credit for sun or people. No pick-up allowance after setback.
// Gain: the zone of hourly_load.h run on a repeated clear design day, in July and in August, until
// it settles; the table splits the hour of the higher peak. Sensible; latent_gain_w is an
// allowance. Windows stay shut on the design day.
// Ducts outside the heated space (duct.h) are a row of their own on top of both. Rooms: each has
// its own components, and its share of the rest (by air_frac, else by floor area).
//
//   st = gw_house_design(arena, &house, &conditions, &design, err);
#ifndef GW_DESIGN_LOAD_H
#define GW_DESIGN_LOAD_H

#include "base/arena.h"
#include "base/err.h"
#include "climate/station.h"
#include "house/house.h"

typedef struct {
    double heating_outdoor_degc; // -60 to 20
    double cooling_outdoor_degc; // 10 to 50, the day's highest
    double daily_range_k;        // of the cooling design day, 0 to 25
    double air_mean_degc;        // of the year
    double air_amplitude_k;      // half the yearly swing of monthly means
    double latitude_deg;         // for the sun, -75 to 75
    double elevation_m;          // thins the air
    double heating_wind_m_s;     // at the heating design hour; 6.7 m/s usual
    double cooling_wind_m_s;     // 3.4 m/s usual
} gw_house_conditions;

typedef struct {
    const char *name; // of the component, or "infiltration", "ventilation", "people and
                      // appliances", "heat stored in the fabric", "ducts" (where there are any)
    const char *kind; // word of the kind; "air", "internal", "mass" or "ducts" for the rest
    double area_m2;   // 0 for the rest
    double ua_w_k;    // loss per kelvin of indoor-outdoor difference, at the heating design hour
    double loss_w;    // at the heating design hour
    double gain_w;    // at the peak hour of the cooling design day; negative takes heat away
} gw_house_row;

// A room's part of the whole, at the same two hours: no peaks of its own.
typedef struct {
    const char *name;
    double floor_area_m2;
    double loss_w; // all rooms together: loss_w of the house
    double gain_w; // likewise
} gw_house_room_load;

typedef struct {
    const gw_house_row *rows;
    size_t row_count;
    const gw_house_room_load *rooms; // [room_count], where the house has rooms
    size_t room_count;
    double ua_total_w_k;         // sum of rows
    double loss_w;               // design heat loss, sum of rows
    double gain_w;               // design sensible gain = sum of rows, 0 or more
    double latent_gain_w;        // allowance on top of gain_w
    int gain_hour;               // solar hour of the peak, 0 to 23
    int gain_day;                // day of the year of that design day, 0 = 1 January
    double heating_indoor_degc;  // temperatures used
    double heating_outdoor_degc; //
    double cooling_indoor_degc;  //
    double cooling_outdoor_degc; //
    double infiltration_m3_s;    // at the heating design hour
    bool given;                  // true: the totals were given directly, one row each
} gw_house_design_result;

gw_house_conditions gw_house_conditions_from_station(const gw_station *station);
gw_status gw_house_conditions_check(const gw_house_conditions *conditions, gw_err *err) GW_MUST_USE;

// Errors: those of gw_house_check and gw_house_conditions_check, GW_ERR_NOMEM.
gw_status gw_house_design(gw_arena *arena, const gw_house *house,
                          const gw_house_conditions *conditions, gw_house_design_result *out,
                          gw_err *err) GW_MUST_USE;

#endif
