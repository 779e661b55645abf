// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Coils in trenches: pipe laid as a row of overlapping rings, flat on the trench floor or upright
// in a narrow trench, in one or more parallel trenches.
//
// It does not know the fluid: the response is that of the pipe's wall, to which the caller adds
// film and pipe wall. The straight return pipe of each trench is counted as pipe to buy and to
// pump through, but gives no heat here (cautious). One homogeneous ground, isothermal surface.
//
// Method: ring sources. A turn counts as a circle about its own centre with the pipe of the real
// turn spread over it; every turn heats every other one and itself, each with its mirror image
// above the surface; all pipe gives the same heat per metre; the answer is the mean wall
// temperature (Li, Nagano & Lai 2012, Int. J. Heat Mass Transfer 55:6819; Xiong, Fisher & Spitler
// 2015, Applied Energy 141; a ring on itself at ring radius ± pipe radius as they do). Over
// the angles the Gaussian of the heat kernel is closed with Bessel I0, and equal offsets are taken
// once with their number, so a trench of a hundred rings needs no representative ring and no
// cut-off of neighbours. docs/methods/loop-coil.md has the equations.
// Accuracy: 1e-6 relative of the stated model. Equal heat per metre instead of equal fluid
// temperature: see the document for the measured difference.
//
//   const gw_coil_plan coil = {.count = 2, .length_m = 30, .spacing_m = 4, .depth_m = 1.8,
//                              .width_m = 1.0, .ring_diameter_m = 0.9, .pitch_m = 0.45};
//   st = gw_coil_check(&coil, 0.0267, err);
//   const gw_coil_extent extent = gw_coil_extent_of(&coil);
//   st = gw_coil_step_response(&with, &coil, 0.0267, wall_mk_w, err);
//   st = gw_coil_undisturbed(&coil, &surface, diffusivity_m2_s, &rest, err);
#ifndef GW_LOOP_COIL_H
#define GW_LOOP_COIL_H

#include "base/err.h"
#include "climate/ground_temperature.h"
#include "ground/response.h"

#include <stddef.h>

typedef enum {
    GW_COIL_FLAT,    // rings lie on the trench floor
    GW_COIL_UPRIGHT, // rings stand in the trench, in its long direction
} gw_coil_lie;

typedef struct {
    size_t count;           // parallel trenches; 1 to 60
    double length_m;        // of each, from the outer edge of the first ring to that of the last;
                            // ring diameter to 500, or 0: to be found
    double spacing_m;       // between trench centres; at least the width, to 30
    double depth_m;         // finished grade to the lowest pipe; 0.6 to 4
    double width_m;         // of the trench; 0.1 to 3
    double ring_diameter_m; // to the pipe's axis; 0.3 to 2
    double pitch_m;         // from ring to ring along the trench; two pipe diameters to 3 rings
    gw_coil_lie lie;
    const char *pipe;    // id of the pipe size
    double max_length_m; // longest that the lot takes
} gw_coil_plan;

// What the plan amounts to, per trench. Rings need not be a whole number: the last turn may be cut
// short, and a sizing sees a smooth function of the length.
typedef struct {
    double rings;          // turns: (length − diameter)/pitch + 1
    double turn_m;         // pipe of one turn, drawn out along the trench by the pitch
    double ring_pipe_m;    // pipe that exchanges heat
    double pipe_m;         // with the straight return
    double centre_depth_m; // of the rings' centres
    double top_depth_m;    // of the highest pipe
} gw_coil_extent;

// Each value in its range, rings within the trench, pipes clear of each other and of the surface.
// Errors: GW_ERR_RANGE, GW_ERR_GEOMETRY; the field is named below "coil.".
gw_status gw_coil_check(const gw_coil_plan *coil, double pipe_diameter_m, gw_err *err) GW_MUST_USE;

// Of a plan that has been checked.
gw_coil_extent gw_coil_extent_of(const gw_coil_plan *coil);

// wall_mk_w[with->count]: drop of the mean pipe wall per W of heat taken per metre of all ring
// pipe (count × ring_pipe_m). Times may end with INFINITY. `without_mirror` as in
// ground/response.h. Errors: those of gw_coil_check and gw_response_check.
gw_status gw_coil_step_response(const gw_response_case *with, const gw_coil_plan *coil,
                                double pipe_diameter_m, double *wall_mk_w, gw_err *err) GW_MUST_USE;

// Temperature of the fluid while no heat is taken: yearly mean above that of the surface per
// gradient, and the yearly wave, each the mean over the depth of the rings.
typedef struct {
    double mean_depth_m; // where the gradient counts
    gw_ground_wave wave;
} gw_coil_rest;

gw_status gw_coil_undisturbed(const gw_coil_plan *coil, const gw_ground_climate *surface,
                              double diffusivity_m2_s, gw_coil_rest *out, gw_err *err) GW_MUST_USE;

// Two straight lines that stand for one trench's rings when seen from outside the trench: same
// heat, same place, same second moment. x counts from the trench's centre line and y along the
// trench from 0; each line carries load_ratio W/m per W/m of ring pipe. Within 1 % of the rings
// from one ring diameter outside the trench on.
typedef struct {
    gw_segment line[2];
    double load_ratio;
} gw_coil_lines;

gw_status gw_coil_lines_of(const gw_coil_plan *coil, double pipe_diameter_m, gw_coil_lines *out,
                           gw_err *err) GW_MUST_USE;

// One ring about the origin (centre depth as planned) as a polygon of `count` ≥ 3 chords with the
// circle's perimeter, so that its heat per metre is the ring's.
gw_status gw_coil_ring_chords(const gw_coil_plan *coil, double pipe_diameter_m, size_t count,
                              gw_segment *chords, gw_err *err) GW_MUST_USE;

// ---- private to the room: the ring integrals (coil_ring.c), for the tests ----------------------

// e^(−x) I0(x), x ≥ 0. Abramowitz & Stegun 9.8.1 and 9.8.2: relative error below
// 4.8e-7 (their 1.9e-7 of 0.399).
double gw_coil_bessel_i0e(double x);

// Mean of e^(−s²R²) over all pairs of points of two circles of one plane, centres `offset_m`
// apart. `s` in 1/m.
double gw_coil_ring_mean(double s, double ring_radius_m, double offset_m);

// The same of a circle and itself, at the wall: receivers at ring radius ± pipe radius.
double gw_coil_ring_self(double s, double ring_radius_m, double pipe_radius_m);

#endif
