// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Irradiance on a surface under an anisotropic sky: brighter round the sun and at the horizon.
//
// Perez, Ineichen, Seals, Michalsky & Stewart (1990), "Modeling daylight availability and
// irradiance components from direct and global irradiance", Solar Energy 44(5):271, table 6
// (irradiance, all sites). Air mass: Kasten & Young (1989). Beam and ground as in solar.h.
// For hourly values of a file or of a synthesis; it needs the direct normal irradiance.
//
//   const gw_perez sky_shape = gw_perez_of(&sun, &sky);
//   w_m2 = gw_perez_on_surface(&sun, &sky, &sky_shape, &surface);
#ifndef GW_PEREZ_H
#define GW_PEREZ_H

#include "climate/solar.h"

typedef struct {
    double circumsolar_frac; // F1, 0 or more
    double horizon_frac;     // F2, may be negative
} gw_perez;

// Shape of the sky; both 0 (isotropic) without diffuse light or with the sun down.
gw_perez gw_perez_of(const gw_sun *sun, const gw_sky *sky);

// Beam, sky and ground-reflected irradiance together, 0 or more.
double gw_perez_on_surface(const gw_sun *sun, const gw_sky *sky, const gw_perez *shape,
                           const gw_surface *surface);

// Every hour of a year; `suns` from gw_solar_sun_year.
void gw_perez_year(const gw_weather *weather, const gw_sun suns[GW_HOURS_PER_YEAR],
                   gw_perez out[GW_HOURS_PER_YEAR]);
void gw_perez_surface_year(const gw_weather *weather, const gw_sun suns[GW_HOURS_PER_YEAR],
                           const gw_perez shapes[GW_HOURS_PER_YEAR], const gw_surface *surface,
                           double out_w_m2[GW_HOURS_PER_YEAR]);

#endif
