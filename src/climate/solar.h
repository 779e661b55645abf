// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Where the sun stands, and the irradiance on a surface under an isotropic sky.
//
// Declination, equation of time and eccentricity: Spencer (1971). Angles of incidence and
// isotropic sky (Liu & Jordan 1963): Duffie & Beckman, Solar Engineering of Thermal Processes,
// ch. 1 and 2. Clear sky: Hottel (1976) beam with the diffuse of Liu & Jordan (1960).
// It knows no horizon, no refraction and no anisotropic sky (circumsolar light on a surface is
// low by up to about 10 % on clear days).
//
//   gw_sun sun = gw_solar_sun_at(&site, 4000.5);     // middle of hour 4000
//   w_m2 = gw_solar_on_surface(&sun, sky, south_wall);
#ifndef GW_SOLAR_H
#define GW_SOLAR_H

#include "base/err.h"
#include "climate/weather.h"

#define GW_SOLAR_CONSTANT_W_M2 1367.0 // Duffie & Beckman; World Radiation Center

typedef struct {
    double latitude_deg;  // north positive
    double longitude_deg; // east positive
    double timezone_h;    // standard time minus UTC
    double elevation_m;   // for the clear sky, 0 to 2500
} gw_solar_site;

typedef struct {
    double cos_zenith;            // negative when the sun is down
    double azimuth_deg;           // 0 = north, 90 = east
    double declination_deg;       //
    double hour_angle_deg;        // morning negative
    double extraterrestrial_w_m2; // on a plane normal to the beam
} gw_sun;

typedef struct {
    double direct_normal_w_m2;
    double diffuse_horizontal_w_m2;
    double global_horizontal_w_m2;
} gw_sky;

typedef struct {
    double facing_deg;    // direction of the outward normal, 0 = north, 90 = east
    double tilt_deg;      // 0 = horizontal facing up, 90 = vertical
    double ground_albedo; // 0 to 1, usual 0.2; fresh snow 0.7
} gw_surface;

// Spencer (1971) by day of the year (1 January = 0, fractions allowed).
double gw_solar_declination_deg(double day);
double gw_solar_equation_of_time_min(double day);
double gw_solar_extraterrestrial_w_m2(double day);

// Sun at a time of local standard time in hours since 1 January 00:00 (0 to 8760).
gw_sun gw_solar_sun_at(const gw_solar_site *site, double hour);

// Sun at a given solar time (12 = noon).
gw_sun gw_solar_sun_at_solar_time(double latitude_deg, double day, double solar_hour);

// Cosine of the angle between beam and outward normal; negative when behind.
double gw_solar_incidence_cosine(const gw_sun *sun, const gw_surface *surface);

// Beam, sky and ground-reflected irradiance together.
double gw_solar_on_surface(const gw_sun *sun, const gw_sky *sky, const gw_surface *surface);

// Daily extraterrestrial irradiation on a horizontal plane, J/m2 (Duffie & Beckman eq. 1.10.3).
double gw_solar_daily_extraterrestrial_j_m2(double latitude_deg, double day);

// Clear sky at an elevation, mid-latitude summer (winter = 0) or winter (winter = 1) atmosphere.
gw_sky gw_solar_clear_sky(const gw_sun *sun, double elevation_m, int winter);

// Diffuse share of an hour's global irradiance by clearness index (Erbs, Klein & Duffie 1982).
double gw_solar_diffuse_frac(double clearness);

// The sun of every hour of a year: at the middle of the hour, or of its sunlit part where the sun
// rises or sets in it. Hours without any irradiance get the sun of their middle.
void gw_solar_sun_year(const gw_weather *weather, gw_sun out[GW_HOURS_PER_YEAR]);

// Irradiance on a surface for every hour of a year; `suns` from gw_solar_sun_year, shared by all
// surfaces of a house.
void gw_solar_surface_year(const gw_weather *weather, const gw_sun suns[GW_HOURS_PER_YEAR],
                           const gw_surface *surface, double out_w_m2[GW_HOURS_PER_YEAR]);

#endif
