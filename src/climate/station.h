// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Climate stations: monthly normals, design temperatures and the yearly wave of ground temperature.
//
// It does not interpolate between stations and knows no hourly data (see weather.h, synthesis.h).
// Built-in stations are data/stations.csv; each row names where its numbers come from.
//
//   gw_stations stations;
//   st = gw_stations_read(arena, &table, &stations, err);
//   st = gw_station_find(&stations, "halifax", &station, err);
#ifndef GW_STATION_H
#define GW_STATION_H

#include "base/arena.h"
#include "base/err.h"
#include "base/table.h"

#include <stddef.h>

enum { GW_MONTHS = 12 };

typedef struct {
    const char *id;                      // lower-case key, e.g. "halifax"
    const char *name;                    // as printed, e.g. "Halifax (Stanfield airport)"
    const char *region;                  // province, state or part of a country
    const char *country;                 // two-letter country code
    double latitude_deg;                 // -90 to 90, north positive
    double longitude_deg;                // -180 to 180, east positive
    double elevation_m;                  // above sea level, -430 to 5000
    double timezone_h;                   // standard time minus UTC, -12 to 14
    double monthly_mean_degc[GW_MONTHS]; // mean air temperature, January first, -60 to 50
    double heating_design_degc; // outdoor design temperature for heating (basis named in source)
    double cooling_design_degc; // outdoor design dry bulb for cooling (basis named in source)
    double daily_range_k;       // mean daily range of the warmest month, 1 to 25
    double ground_mean_degc;    // yearly mean temperature of the ground surface
    double ground_amplitude_k;  // half the yearly swing at the surface, 0 to 40
    double ground_phase_day;    // day of the year of the minimum surface temperature, 0 to 365
    const char *source;         // of normals and design temperatures
    const char *ground_source;  // of the three ground values
} gw_station;

typedef struct {
    const gw_station *items;
    size_t count;
} gw_stations;

// Reads every row of a table with the columns of data/stations.csv. Pointers stay in the arena.
// Errors: those of the table, GW_ERR_RANGE (field "stations[id].column"), GW_ERR_NOMEM.
gw_status gw_stations_read(gw_arena *arena, const gw_table *table, gw_stations *out,
                           gw_err *err) GW_MUST_USE;

// The station of that id. Errors: GW_ERR_KEY with the nearest id suggested.
gw_status gw_station_find(const gw_stations *stations, const char *id, const gw_station **out,
                          gw_err *err) GW_MUST_USE;

// The station nearest to a point along the great circle; *distance_m may be NULL.
// Errors: GW_ERR_RANGE (coordinates), GW_ERR_MISSING (no stations).
gw_status gw_station_nearest(const gw_stations *stations, const double latitude_longitude_deg[2],
                             const gw_station **out, double *distance_m, gw_err *err) GW_MUST_USE;

// Every number within its range. Errors: GW_ERR_RANGE with the field's name.
gw_status gw_station_check(const gw_station *station, gw_err *err) GW_MUST_USE;

// Mean of the twelve months weighted by their days (365), and half the yearly swing of the first
// harmonic fitted to the monthly means.
double gw_station_mean_degc(const gw_station *station);
double gw_station_amplitude_k(const gw_station *station);

#endif
