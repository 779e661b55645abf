// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Fields with their pipework: one inlet temperature, circuits in parallel with flows and lengths of
// their own, bores or pipes one after the other within a circuit. The fluid changes along its way
// and the legs of a bore exchange heat; each piece of wall has its own temperature and load.
//
// It does not store heat in the fluid or the grout and has no transport delay (short_time.h), and
// the headers lose nothing.
//
// Method: along each pass the steady energy balances of its two legs (Hellström 1991), solved
// exactly for pieces of uniform wall temperature (the idea of Cimmino 2016, Renewable Energy
// 96:137, and, for networks, Cimmino 2018, IGSHPA Research Track: fluid and wall coupled instead of
// a common wall temperature); between the pieces the ground, as in field.h. Linear in the Laplace
// domain, one system per p. Equations: docs/methods/ground.md.
//
//   const gw_field_pass passes[2] = {{0, 12, GW_PATH_U_TUBE, {0.09, 0.3}},
//                                    {1, 12, GW_PATH_U_TUBE, {0.09, 0.3}}};
//   const double capacity_w_k[2] = {900.0, 600.0};
//   const gw_field_network net = {.segments = part, .count = 24, .medium = {2.5, 1.1e-6},
//                                 .passes = passes, .pass_count = 2,
//                                 .capacity_w_k = capacity_w_k, .circuit_count = 2};
//   st = gw_field_circuits_response(arena, &net, &times, &step, err);
//   double inlet_mk_w = step.mean.h_mk_w[0] + step.inlet_over_mean_mk_w;
#ifndef GW_GROUND_CIRCUITS_H
#define GW_GROUND_CIRCUITS_H

#include "ground/field.h"
#include "ground/resistance.h"

typedef enum {
    GW_PATH_U_TUBE,        // down one group of legs, back up an equal one
    GW_PATH_ANNULUS_FIRST, // coaxial: in through the annulus, which alone meets the wall
    GW_PATH_CENTRE_FIRST,  // coaxial: in through the inner pipe
    GW_PATH_THROUGH,       // one pipe, in at one end and out at the other
} gw_field_path;

// A bore or pipe that the fluid of a circuit passes, with the next `segments` pieces of the field
// in the order of the fluid's way in.
typedef struct {
    size_t circuit;  // 0…; the passes of one circuit follow each other in the fluid's order
    size_t segments; // 1 to 1000
    gw_field_path path;
    gw_bore_resistance resistance; // internal_mk_w is not used by GW_PATH_THROUGH
} gw_field_pass;

typedef struct {
    const gw_segment *segments; // [count], pass by pass
    size_t count;               // 1 to 5,000
    gw_ground_medium medium;
    const gw_field_pass *passes; // [pass_count], circuits in order
    size_t pass_count;
    const double *capacity_w_k; // [circuit_count] mass flow × heat capacity, 0.1 to 1e7
    size_t circuit_count;
    double total_length_m; // load is per this length; 0: the sum of the segments
} gw_field_network;

typedef struct {
    gw_field_step mean;          // of (inlet + mixed outlet)/2: drop per W/m extracted
    double inlet_over_mean_mk_w; // the inlet drops by this more, the outlet by this less
    double *instant_share;       // [circuits] of the load, at the first instant
    double *steady_share;        // [circuits] at infinite time
} gw_field_circuits;

// Ranges, and that passes, circuits and segments belong together. Names "passes[i]" and the like.
gw_status gw_field_network_check(const gw_field_network *network, gw_err *err) GW_MUST_USE;

gw_status gw_field_circuits_response(gw_arena *arena, const gw_field_network *network,
                                     const gw_field_times *times, gw_field_circuits *out,
                                     gw_err *err) GW_MUST_USE;

#endif
