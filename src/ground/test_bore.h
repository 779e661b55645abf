// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Thermal response test: ground conductivity and bore resistance from a heated test bore.
//
// It does not see groundwater flow or layers (a result that rises with the starting time is the
// sign of them), and cannot tell conductivity from heat capacity: the latter is given.
//
// Method: least squares of the mean fluid temperature against the infinite line source under the
// measured, varying power (superposition; Beck & Arnold 1977 for the intervals), over all samples
// after a starting time; with fluid and grout capacity given, the short-time response of
// ground/short_time.h is used and the start may be early. The slope method (Mogensen 1983;
// Gehlin 2002) is the comparison. More than 2000 samples are thinned evenly, energy kept. Intervals
// count correlated residuals once, by their lag-one correlation.
//
//   gw_test_record record = {.bore = …, .series = …, .options = {.start_s = 36e3}};
//   st = gw_test_bore_fit(arena, &record, &fit, err);
#ifndef GW_GROUND_TEST_BORE_H
#define GW_GROUND_TEST_BORE_H

#include "base/arena.h"
#include "base/err.h"
#include "ground/short_time.h"

#include <stddef.h>

typedef struct {
    double time_s;     // since the heater went on, > 0, rising
    double power_w;    // mean since the sample before, into the ground
    double inlet_degc; // at the sample's time
    double outlet_degc;
    double flow_m3_s; // only checked: a stopped pump spoils the test
} gw_test_sample;

typedef struct {
    double length_m;          // active, > 0
    double radius_m;          // bore
    double undisturbed_degc;  // mean over the bore
    double ground_heat_j_m3k; // volumetric, assumed
} gw_test_bore;

typedef struct {
    const gw_test_sample *samples;
    size_t count; // ≥ 12
} gw_test_series;

typedef struct {
    double start_s;                  // samples before it only count as history, > 0
    double end_s;                    // 0: the last sample
    const gw_short_bore *short_bore; // NULL: line source. Else capacities, grout and pipe
                                     // resistance come from here; ground and radius are fitted
} gw_test_options;

typedef struct {
    double conductivity_w_mk;
    double conductivity_half_w_mk; // half width of the 95 % interval
    double resistance_mk_w;
    double resistance_half_mk_w;
    double residual_k;          // root mean square
    double lag_one_correlation; // of the residuals
    double mean_w_m;            // heat per metre over the fitted span
    double power_spread_frac;   // standard deviation over mean, ≤ 0.015 in a good test
    size_t samples;
} gw_test_fit;

// A test bore, its record and how to read it.
typedef struct {
    gw_test_bore bore;
    gw_test_series series;
    gw_test_options options;
} gw_test_record;

// Errors: GW_ERR_RANGE (text names the sample), GW_ERR_MISSING (fewer than 12 samples after the
// start), GW_ERR_CONVERGE.
gw_status gw_test_bore_fit(gw_arena *arena, const gw_test_record *record, gw_test_fit *out,
                           gw_err *err) GW_MUST_USE;

// Slope of the mean fluid temperature over ln t between start and end, as if the mean power had
// been constant: k = q/(4π·slope), Rb from the level. Late values only: αt/r² over 20.
gw_status gw_test_bore_slope(gw_arena *arena, const gw_test_record *record, gw_test_fit *out,
                             gw_err *err) GW_MUST_USE;

// The fit repeated for several starting times. A conductivity that stays put is the sign of a
// sound test; one that rises steadily, of moving groundwater.
typedef struct {
    const double *starts_s;
    size_t count;
    gw_test_fit *fits; // [count], filled
} gw_test_starts;
gw_status gw_test_bore_start_sensitivity(gw_arena *arena, const gw_test_record *record,
                                         const gw_test_starts *starts, gw_err *err) GW_MUST_USE;

// Mean fluid temperature of the model with the fit's two numbers at every sample, for a plot
// beside the measured one.
gw_status gw_test_bore_model(gw_arena *arena, const gw_test_record *record, const gw_test_fit *fit,
                             double *out_degc, gw_err *err) GW_MUST_USE;

#endif
