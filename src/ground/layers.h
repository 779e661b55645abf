// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Layered ground beside a vertical bore: the one ground that stands for the layers, and how far the
// response may be from the true one.
//
// It does not give temperatures by layer, and counts only the layers along the bore (what covers
// the bore's top or lies under its foot is taken as the same ground).
//
// Method: the fluid is at nearly one temperature along the bore, so the layers share the load as
// conductances in parallel. Two radial answers enclose the true one, because cutting a conducting
// body up by insulating sheets can only lower its conductance, and shorting parts of it can only
// raise it (Rayleigh's monotonicity theorem; it holds at every real Laplace p):
//   cut:     each layer by itself behind the bore's resistance, a line source each (the layer-wise
//            model of Sutton, Couvillion, Nutter & Davis 2002, ASHRAE Trans. 108(2):177);
//   shorted: no resistance to vertical flow: the mean conductivity by length.
// The equivalent is the homogeneous ground of the first, to which the numeric twin came nearest and
// which, but for the ends, errs to the cautious side.
// Error: half their distance, plus what the ends of the bore make of the layers: less heat to the
// surface where layers lie across (a finite line in ground of kh along and kv across is one of
// √(kh/kv) times the length in isotropic ground: Li & Lai 2012, Applied Energy 96:451; kv the
// harmonic mean of the bore's layers, or of those above mid-depth if that is less), and the effect
// of the ends times the contrast of the layers they lie in. It is an estimate, no bound; it held in
// every case of the axisymmetric finite-volume model it was checked against
// (docs/methods/ground.md). Sources here are cited from memory.
//
//   const gw_layers_case with = {&profile, {2.0, 120.0}, 0.07, 0.1, 25.0 * GW_YEAR_S};
//   gw_layers_equivalent ground;
//   st = gw_layers_reduce(&with, &ground, err);
#ifndef GW_GROUND_LAYERS_H
#define GW_GROUND_LAYERS_H

#include "base/err.h"
#include "soil/soil.h"

typedef struct {
    const gw_soil_profile *profile;
    gw_soil_interval bore;  // top and foot of the bore's active length; 1 to 2000 m long
    double radius_m;        // of the bore's wall, 0.01 to 1
    double resistance_mk_w; // fluid to wall, 0 to 10
    double time_s;          // of the response that is to be right: the horizon; 3600 to 1e10
} gw_layers_case;

typedef struct {
    double conductivity_w_mk;     // of the equivalent ground
    double volumetric_heat_j_m3k; // mean by length
    double mean_w_mk;             // conductivity, mean by length: the highest it can be
    double across_w_mk;           // harmonic mean: for heat that passes the layers one by one
    double response_mk_w;         // fluid, finite line, at that time, with the equivalent ground
    double error_frac;            // of that response: the true one is expected within ±
} gw_layers_equivalent;

// Errors: GW_ERR_RANGE by member name, and those of the profile.
gw_status gw_layers_reduce(const gw_layers_case *with, gw_layers_equivalent *out,
                           gw_err *err) GW_MUST_USE;

#endif
