// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The handbook's three-pulse sizing of a bore, shown beside the simulated length as a plausibility
// line: ten years of the mean load, one month of the highest month, six hours of the peak.
//
// It knows no hours, no interference between bores (the penalty is the caller's, 0 for one bore)
// and no heat pump curve. It does not replace the simulation.
//
// Method: L = (q_h R_b + q_y R_10y + q_m R_1m + q_h R_6h) / |T_fluid − T_ground − T_penalty|, with
// R = f/k and f by the correlations of Philippe, Bernier & Marchio 2010 (ASHRAE Journal
// 52(7):20–28, table 1; coefficients from memory, held against exact cylinder-source values in the
// tests: within 0.4 % inside their range, 0.8 % at its corner).
// Valid for bore radius 0.05 to 0.1 m and diffusivity 0.025 to 0.2 m²/day.
//
//   const gw_pulse_loads loads = {.hour_w = 12000, .month_w = 6000, .year_w = 1500};
//   st = gw_pulse_length(&loads, &ground, &length_m, err);
#ifndef GW_LOOP_PULSE_METHOD_H
#define GW_LOOP_PULSE_METHOD_H

#include "base/err.h"

// Heat exchanged with the ground; one sign throughout (all rejection or all extraction positive).
typedef struct {
    double hour_w;  // peak
    double month_w; // mean of the highest month
    double year_w;  // mean of the year, may have the other sign
} gw_pulse_loads;

typedef struct {
    double conductivity_w_mk;
    double diffusivity_m2_s;
    double bore_radius_m;
    double bore_resistance_mk_w;
    double fluid_degc;  // mean of in and out at the limit
    double ground_degc; // undisturbed
    double penalty_k;   // by neighbours, counted towards the fluid's limit, ≥ 0
} gw_pulse_ground;

// The three factors f (dimensionless, R = f/k).
typedef struct {
    double six_hours;
    double one_month;
    double ten_years;
} gw_pulse_factors;

// Errors: GW_ERR_RANGE outside the correlations' range.
gw_status gw_pulse_factors_at(double bore_radius_m, double diffusivity_m2_s, gw_pulse_factors *out,
                              gw_err *err) GW_MUST_USE;

// Errors: GW_ERR_RANGE; also when the limit leaves no temperature difference to work with.
gw_status gw_pulse_length(const gw_pulse_loads *loads, const gw_pulse_ground *ground,
                          double *length_m, gw_err *err) GW_MUST_USE;

#endif
