// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Fields: many segments that share one load through one fluid. Gives the effective step response
// of the whole (fluid, or wall when there is no resistance), the response at points around it,
// and how unlike undisturbed temperatures mix.
//
// Conduction in one homogeneous medium, isothermal surface. The fluid has one temperature along
// the whole field; the resistance between it and the wall is per segment. What the fluid does on
// its way (inlet and outlet, exchange inside a bore) is in resistance.h.
//
// Method: in the Laplace domain. The transfer function of a pair of segments at a real p is the
// same integral over s as its step response, with the factor e^(−p/(4αs²)) instead of a lower
// limit; it is exact for loads that vary in any way, so no history has to be interpolated. At
// each p one symmetric system gives the response of the field; four or five p per decade and
// p = 0 fix its spectrum of time constants (least squares), which gives all times. See
// docs/methods/ground.md for why this was preferred to marching on a log grid of times
// (Cimmino & Bernier 2014). Equal pairs are computed once.
// Accuracy: about 1e-6 relative, 5e-6 with more than 250 unknowns, plus 2e-8/k m·K/W (which shows
// where r²/4αt exceeds 3), for the pieces given. Times before r²/80α are refused. (What
// the pieces themselves leave: twelve equal ones per bore are 0.2 % high for one bore, 4.6 % for
// ten by ten at long times; the cosine cut is nearer the limit.)
// Cost on one core: a few bores of twelve pieces 1 to 2 ms, a trench field of 72 pieces 4 ms, a
// coil of 720 chords 0.2 s, 100 bores of twelve pieces 1 s (docs/performance.md). Larger fields of
// equal bores: large.h. The work stays in the arena: give a short-lived one when solving often.
//
//   const gw_field field = {.segments = part, .circuit = bore_of, .count = 12 * bores,
//                           .medium = {2.5, 1.1e-6}, .boundary = GW_FIELD_EQUAL_TEMPERATURE};
//   gw_field_step step;
//   st = gw_field_step_response(arena, &field, &(gw_field_times){times_s, 40}, &step, err);
#ifndef GW_GROUND_FIELD_H
#define GW_GROUND_FIELD_H

#include "base/arena.h"
#include "ground/history.h"
#include "ground/response.h"

// How the load is shared. All three: the load of the field is given, 1 W per metre of all.
typedef enum {
    GW_FIELD_EQUAL_FLUX,        // same W/m everywhere; the field's mean temperature (I)
    GW_FIELD_CIRCUIT_FLUX,      // same W/m along each circuit, equal mean temperatures (II)
    GW_FIELD_EQUAL_TEMPERATURE, // each segment its own W/m, equal temperature of all (III)
} gw_field_boundary;

typedef struct {
    const gw_segment *segments;    // [count]
    const size_t *circuit;         // [count] bore or pipe of each, 0…; NULL: all one by one
    const double *resistance_mk_w; // [count] fluid to wall per length, ≥ 0; NULL: none
    size_t count;                  // 1 to 20,000
    gw_ground_medium medium;
    gw_field_boundary boundary;
    double total_length_m; // load is per this length; 0: the sum of the segments
} gw_field;

typedef struct {
    const double *times_s; // [count] strictly increasing, > 0
    size_t count;
} gw_field_times;

typedef struct {
    double *h_mk_w;        // [times] fluid (or wall) temperature drop per W/m extracted
    double steady_mk_w;    // at infinite time
    double instant_mk_w;   // at time zero: the resistances alone; part of h_mk_w
    double fit_error_frac; // largest relative residual of the spectrum's fit
    size_t unknowns;       // size of the system
    size_t kernels;        // different pairs computed
} gw_field_step;

// Ranges, each segment by itself, resistances, circuits. (Pairs: gw_segments_check.)
gw_status gw_field_check(const gw_field *field, gw_err *err) GW_MUST_USE;

// Step response of the field. Memory of the result and of the work is taken from the arena.
gw_status gw_field_step_response(gw_arena *arena, const gw_field *field,
                                 const gw_field_times *times, gw_field_step *out,
                                 gw_err *err) GW_MUST_USE;

typedef struct {
    const gw_position *points; // [count]
    size_t count;
} gw_field_points;

// Step responses at points (z ≥ 0): h_mk_w[point × times], row by row: temperature drop per W/m
// of the field's mean load, with the loads shared as the boundary says.
gw_status gw_field_point_response(gw_arena *arena, const gw_field *field,
                                  const gw_field_times *times, const gw_field_points *points,
                                  double **h_mk_w, gw_err *err) GW_MUST_USE;

typedef struct {
    gw_complex *weight;  // [segments] Σ = 1: fluid temperature = Σ weight_i × undisturbed_i
    gw_complex response; // fluid temperature drop per W/m of a periodic load, m·K/W
} gw_field_periodic;

// With no load in sum, what the fluid takes from undisturbed temperatures that differ by segment
// (complex amplitudes at this angular frequency, rad/s; 0 means steady).
gw_status gw_field_mix_periodic(gw_arena *arena, const gw_field *field,
                                double angular_frequency_rad_s, gw_field_periodic *out,
                                gw_err *err) GW_MUST_USE;

#endif
