// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Undisturbed ground temperature: one yearly harmonic at the surface, conducted downwards.
//
// Kusuda & Achenbach (1965), ASHRAE Transactions 71(1):61:
//   T(z, t) = Tm - As exp(-z/d) cos(2 pi/365 (t - t0) - z/d),   d = sqrt(2 D/omega).
// It knows no snow, freezing, heat flow from below or layers. Measured ground shows further
// harmonics: shallow values err by about 1 K in any one year. The year has 365 days.
//
// Tables of ground climate give either the day of the minimum (used here) or the phase of a sine,
// t_sine = t_min + 91.25 days.
//
//   gw_ground_climate ground = {.mean_degc = 8.5, .amplitude_k = 11.0, .phase_day = 40.0};
//   t_degc = gw_ground_temperature_degc(&ground, (gw_depth_day){1.8, 80.0, 5.8e-7});
#ifndef GW_GROUND_TEMPERATURE_H
#define GW_GROUND_TEMPERATURE_H

#include "base/err.h"
#include "climate/weather.h"

typedef struct {
    double mean_degc;   // yearly mean of the surface, -20 to 30
    double amplitude_k; // half the yearly swing at the surface, 0 to 40
    double phase_day;   // day of the minimum surface temperature, 0 to 365
} gw_ground_climate;

typedef struct {
    double depth_m;          // below the surface, 0 or more
    double day;              // of the year, 0 at 1 January 00:00; may run on over years
    double diffusivity_m2_s; // thermal diffusivity of the soil, 1e-8 to 1e-5
} gw_depth_day;

// Every number within its range. Errors: GW_ERR_RANGE.
gw_status gw_ground_climate_check(const gw_ground_climate *ground, gw_err *err) GW_MUST_USE;

// Temperature at a depth and day. Inputs are the caller's to have checked.
double gw_ground_temperature_degc(const gw_ground_climate *ground, gw_depth_day point);

// Damping depth d: the amplitude falls to 1/e and lags 1 rad (58.09 days) per d.
double gw_ground_damping_depth_m(double diffusivity_m2_s);

// The yearly wave at a depth as mean + Re(amplitude exp(i omega t)), omega = 2 pi/(365 day), t from
// 1 January: real and imaginary part in K. For methods that add harmonics.
typedef struct {
    double real_k;
    double imag_k;
} gw_ground_wave;
gw_ground_wave gw_ground_wave_at(const gw_ground_climate *ground, double depth_m,
                                 double diffusivity_m2_s);
double gw_ground_wave_amplitude_k(gw_ground_wave wave);
double gw_ground_wave_minimum_day(gw_ground_wave wave);         // 0 to 365
double gw_ground_wave_value_k(gw_ground_wave wave, double day); // deviation from the mean

// First harmonic of an hourly series (least squares; hour h counts at h + 0.5).
void gw_ground_fit_harmonic(const double hourly_degc[GW_HOURS_PER_YEAR], gw_ground_climate *out);

// Surface climate estimated from an hourly year of air temperature: the fitted air harmonic with
// a mean offset (snow and sun: +1 to +2 K, common practice) and an amplitude factor (0.6 to 1).
// Errors: GW_ERR_RANGE.
gw_status gw_ground_climate_from_air(const double dry_bulb_degc[GW_HOURS_PER_YEAR], double offset_k,
                                     double amplitude_factor, gw_ground_climate *out,
                                     gw_err *err) GW_MUST_USE;

#endif
