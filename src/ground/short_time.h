// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Fluid temperature of a bore in the first minutes to days of a heat step, when the heat still
// goes into the fluid and the grout, and its joining to the long-time response of the wall.
//
// It does not resolve the legs of the U-tube (they are one pipe of equal resistance) nor the
// fluid's travel along the bore: below one circulation time it is only a plausible curve.
//
// Method: Javed & Claesson 2011 (ASHRAE Transactions 117(1):279): fluid node, pipe resistance,
// grout annulus and endless ground as thermal admittances in the Laplace domain, brought back by
// the real integral along the branch cut. Joining by difference: the infinite line source that the
// model tends to is replaced by the bore's own long-time response.
// Equations: docs/methods/ground-resistance.md.
//
//   gw_short_bore bore = {.bore_radius_m = 0.055, .equivalent_radius_m = 0.0226, …};
//   st = gw_short_time_match(&bore, rb_mk_w, &bore, err);
//   st = gw_short_time_join(&bore, &series, fluid_k_mw, err);
#ifndef GW_GROUND_SHORT_TIME_H
#define GW_GROUND_SHORT_TIME_H

#include "base/err.h"

#include <stddef.h>

typedef struct {
    double bore_radius_m;
    double equivalent_radius_m;  // of the one pipe that stands for all; 0 < r < bore radius
    double pipe_resistance_mk_w; // fluid to that pipe's surface, all pipes in parallel, ≥ 0
    double fluid_capacity_j_mk;  // heat capacity of the fluid per metre of bore, > 0
    double grout_w_mk;
    double grout_heat_j_m3k;
    double ground_w_mk;
    double ground_heat_j_m3k;
} gw_short_bore;

// Response of an infinite line source at radius r_m, K per (W/m): E1(r²/4αt)/(4πk).
// All arguments > 0; time 0 gives 0.
typedef struct {
    double conductivity_w_mk;
    double diffusivity_m2_s;
    double radius_m;
} gw_line_source;
double gw_line_source_response(const gw_line_source *line, double time_s);

// Exponential integral E1(x) for x > 0, full double precision.
double gw_exponential_integral(double x);

// Range checks of every member (GW_ERR_RANGE, GW_ERR_GEOMETRY).
gw_status gw_short_bore_check(const gw_short_bore *bore, gw_err *err) GW_MUST_USE;

// Resistance fluid to wall when nothing is stored any more.
double gw_short_time_steady_resistance(const gw_short_bore *bore);

// Copies `bore` to `out` with the equivalent radius chosen so that the steady resistance is
// `bore_mk_w`, the grout and pipe resistance being kept. GW_ERR_RANGE when that radius would not
// lie between 0.1 and 0.98 of the bore radius.
gw_status gw_short_time_match(const gw_short_bore *bore, double bore_mk_w, gw_short_bore *out,
                              gw_err *err) GW_MUST_USE;

// Fluid temperature over undisturbed, K per (W/m), for a unit step, in endless ground. Times > 0 in
// any order, up to 1e10 s; one call with many times costs little more than with one.
// Accurate to about 1e-7 relative.
gw_status gw_short_time_response(const gw_short_bore *bore, const double *time_s, size_t count,
                                 double *out_mk_w, gw_err *err) GW_MUST_USE;

// Long-time side of the join.
typedef struct {
    const double *time_s;    // > 0
    const double *wall_mk_w; // mean wall response of the bore (or field) at those times
    size_t count;
    double effective_mk_w; // Rb* ≥ steady resistance; the excess is added in full once the
                           // fluid has gone round
    double circulation_s;  // time of one round, > 0; used only for that excess
} gw_short_series;

// Fluid step response from minutes to decades:
// out = short(t) + [wall(t) − line source(t)] + (Rb* − R)·(1 − exp(−t/circulation)).
gw_status gw_short_time_join(const gw_short_bore *bore, const gw_short_series *series,
                             double *out_mk_w, gw_err *err) GW_MUST_USE;

#endif
