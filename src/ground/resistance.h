// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Thermal resistance between the fluid in the pipes of a grouted bore and the bore wall.
//
// It is steady two-dimensional conduction: no heat stored in grout or fluid (that is
// ground/short_time.h), no contact gaps, no water moving in the bore, one grout all around.
//
// Method: multipole expansion of any order for any pipes (Bennet, Claesson & Hellström 1987;
// Claesson & Hellström 2011, HVAC&R Research 17(6)); fluid temperatures along the bore after
// Hellström 1991, solved exactly for pipes in parallel or in series.
// Equations and validity: docs/methods/ground-resistance.md.
//
//   gw_bore_u_tube tube = {.bore_radius_m = 0.075, .pipe_outer_radius_m = 0.016, …, .u_count = 1};
//   gw_bore_section section;
//   gw_bore_matrix matrix;
//   gw_bore_resistance res;
//   st = gw_bore_section_of_u_tube(&tube, &section, err);
//   st = gw_bore_solve_multipole(&section, GW_MULTIPOLE_ORDER, &matrix, err);
//   st = gw_bore_resistance_of(&matrix, 0x1, &res, err);  // pipe 0 down, pipe 1 up
#ifndef GW_GROUND_RESISTANCE_H
#define GW_GROUND_RESISTANCE_H

#include "base/err.h"

#include <stddef.h>

enum {
    GW_BORE_PIPES_MAX = 6,  // three U-tubes
    GW_MULTIPOLE_ORDER = 6, // converged to 1e-5 for all but touching pipes
    GW_MULTIPOLE_ORDER_MAX = 12
};

// One pipe of the cross-section; origin on the bore axis.
typedef struct {
    double x_m;
    double y_m;
    double outer_radius_m;
    double resistance_mk_w; // fluid to the pipe's outer surface: film and wall, ≥ 0
} gw_bore_pipe;

typedef struct {
    double radius_m;
    double grout_w_mk;
    double ground_w_mk;
    size_t pipe_count; // 1 to GW_BORE_PIPES_MAX
    gw_bore_pipe pipes[GW_BORE_PIPES_MAX];
} gw_bore_section;

// Tf = R q and q = K Tf, with Tf each pipe's fluid temperature over the mean bore-wall
// temperature (K) and q each pipe's heat to the ground (W/m).
typedef struct {
    size_t pipe_count;
    double resistance_mk_w[GW_BORE_PIPES_MAX][GW_BORE_PIPES_MAX];
    double conductance_w_mk[GW_BORE_PIPES_MAX][GW_BORE_PIPES_MAX];
} gw_bore_matrix;

// The two numbers that matter for a loop whose pipes go down in one group and up in another.
typedef struct {
    double bore_mk_w;     // Rb: (fluid − wall) / heat per metre, all fluid at one temperature
    double internal_mk_w; // Ra: (down − up fluid) / heat per metre passing from one to the other
} gw_bore_resistance;

typedef struct {
    double outer_radius_m;
    double inner_radius_m;
    double conductivity_w_mk;
    double film_w_m2k; // inside, see ground/film.h
} gw_pipe_wall;

// Film and wall of one pipe, fluid to outer surface:
// ln(ro/ri)/(2π k) + 1/(2π ri h).
gw_status gw_pipe_resistance(const gw_pipe_wall *pipe, double *out_mk_w, gw_err *err) GW_MUST_USE;

// Symmetric U-tubes: pipe axes on one circle, evenly spaced. With two U-tubes, pipe i and i+2
// face each other.
typedef struct {
    double bore_radius_m;
    double pipe_outer_radius_m;
    double pipe_resistance_mk_w;
    double axis_radius_m; // pipe axis to bore axis: half the centre distance of facing pipes
    double grout_w_mk;
    double ground_w_mk;
    unsigned u_count; // 1 or 2
} gw_bore_u_tube;

// Errors: GW_ERR_RANGE, GW_ERR_GEOMETRY (pipes overlap or leave the bore).
gw_status gw_bore_section_check(const gw_bore_section *section, gw_err *err) GW_MUST_USE;
gw_status gw_bore_section_of_u_tube(const gw_bore_u_tube *tube, gw_bore_section *out,
                                    gw_err *err) GW_MUST_USE;

// Order 0 is line sources only; each further order adds one multipole per pipe.
gw_status gw_bore_solve_multipole(const gw_bore_section *section, size_t order, gw_bore_matrix *out,
                                  gw_err *err) GW_MUST_USE;

// Bit i of down_mask set: pipe i carries the fluid down; the others carry it up. For two U-tubes
// 0x5 sets the legs of each U facing each other, 0x3 beside each other. A mask that leaves one
// group empty gives internal_mk_w 0.
gw_status gw_bore_resistance_of(const gw_bore_matrix *matrix, unsigned down_mask,
                                gw_bore_resistance *out, gw_err *err) GW_MUST_USE;

// Closed forms for the symmetric single U-tube, order 0 or 1 (Hellström 1991; Claesson & Javed
// 2018): a check of the above and a quick estimate. First-order Rb is within about 1 %; Ra of
// touching pipes in poor grout is off by up to 6 %.
gw_status gw_bore_u_tube_closed(const gw_bore_u_tube *tube, unsigned order, gw_bore_resistance *out,
                                gw_err *err) GW_MUST_USE;

// Pipe placings of the shape-factor form (Remund 1999).
typedef enum { GW_BORE_TOUCHING, GW_BORE_EVEN, GW_BORE_AT_WALL } gw_bore_placing;

// Grout resistance 1/(kg β0 (db/dp)^β1) of a single U: a plausibility figure only.
gw_status gw_bore_grout_by_shape(const gw_bore_u_tube *tube, gw_bore_placing placing,
                                 double *out_mk_w, gw_err *err) GW_MUST_USE;

// Pipe in pipe. Films: on the inner pipe's inside, on the inner pipe's outside and on the outer
// pipe's inside.
typedef struct {
    double bore_radius_m;
    gw_pipe_wall inner; // film_w_m2k: inside the inner pipe
    gw_pipe_wall outer; // film_w_m2k: annulus side of the outer pipe
    double inner_outside_film_w_m2k;
    double grout_w_mk; // any positive value when the outer pipe fills the bore
} gw_bore_coaxial;

// bore_mk_w is from the annulus fluid to the wall, internal_mk_w between the two fluids. The
// radial problem is exact.
gw_status gw_bore_coaxial_resistance(const gw_bore_coaxial *coaxial, gw_bore_resistance *out,
                                     gw_err *err) GW_MUST_USE;

// Which idealisation of the wall along the depth.
typedef enum { GW_BORE_WALL_UNIFORM, GW_BORE_FLUX_UNIFORM } gw_bore_along;

typedef struct {
    double length_m;     // active length of the bore
    double capacity_w_k; // mass flow × heat capacity of ALL fluid of the bore
    gw_bore_along along;
} gw_bore_flow;

// Effective resistance Rb* = ((Tin + Tout)/2 − mean wall) / mean heat per metre (Hellström 1991):
// uniform wall temperature Rb η coth η with η = H/(C √(Rb Ra)); uniform flux
// Rb + (H/C)²/(3 Ra). For single U, and for double U with the two U-tubes in parallel.
gw_status gw_bore_effective(const gw_bore_resistance *res, const gw_bore_flow *flow,
                            double *out_mk_w, gw_err *err) GW_MUST_USE;

// Coaxial bore: the annulus alone meets the wall. Exact for uniform wall temperature and for
// uniform flux; the direction of flow does not matter.
gw_status gw_bore_effective_coaxial(const gw_bore_resistance *res, const gw_bore_flow *flow,
                                    double *out_mk_w, gw_err *err) GW_MUST_USE;

// Any pipes one after the other: fluid runs down pipe legs[0], up legs[1], down legs[2]… The
// number of legs is the (even) number of pipes; capacity_w_k is the flow through each of them.
// Exact solution of the coupled equations. Serves series double U and unequal legs.
gw_status gw_bore_effective_series(const gw_bore_matrix *matrix, const size_t *legs,
                                   const gw_bore_flow *flow, double *out_mk_w,
                                   gw_err *err) GW_MUST_USE;

#endif
