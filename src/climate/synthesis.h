// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// An hourly year made from monthly normals, for places without an hourly file.
//
// Air temperature = a continuous curve with the given monthly means + the mean diurnal curve of
// Erbs, Klein & Beckman (1983) + day-to-day weather (AR(1) of daily values, mapped to their
// logistic distribution). The spread of the hours of each month is the one that distribution
// states. Sunshine is drawn day by day from the distribution of Bendt, Collares-Pereira & Rabl
// (1981) about a monthly clearness, split into hours (Collares-Pereira & Rabl 1979) and into beam
// and diffuse (Erbs, Klein & Duffie 1982). Without measured clearness it is estimated from the
// daily range of temperature (Hargreaves & Samani 1982). docs/methods/climate.md has the equations.
//
// It is a typical year, not a forecast, and no year of record: cold snaps last as long as the
// AR(1) makes them. Temperature and cloud are drawn independently; wind is a constant. Dew point
// is the day's lowest temperature (FAO-56). Same seed, same year.
//
//   gw_synthesis how = {.station = station, .seed = 1};
//   st = gw_weather_synthesize(arena, &how, &weather, err);
#ifndef GW_SYNTHESIS_H
#define GW_SYNTHESIS_H

#include "climate/station.h"
#include "climate/weather.h"

#include <stdint.h>

typedef struct {
    const gw_station *station;   // borrowed; its normals are used, its ground values are not
    uint64_t seed;               // any
    double clearness[GW_MONTHS]; // monthly mean clearness index 0.2 to 0.8; 0 = estimate
    double wind_m_s;             // constant wind 0 to 20 m/s; 0 = the default 4 m/s
} gw_synthesis;

// Errors: GW_ERR_RANGE, GW_ERR_NOMEM.
gw_status gw_weather_synthesize(gw_arena *arena, const gw_synthesis *how, gw_weather *out,
                                gw_err *err) GW_MUST_USE;

// Monthly clearness index estimated from the mean daily range: 0.16 sqrt(range in K), kept within
// 0.3 to 0.65 (Hargreaves & Samani 1982, interior coefficient).
double gw_synthesis_clearness(double daily_range_k);

#endif
