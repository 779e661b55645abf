// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// From a loop plan to what the simulation needs: how the fluid's temperature answers a metre's
// worth of heat, and what temperature the fluid would have with no heat taken at all.
//
// It lays the segments, finds the resistance between fluid and ground, asks the ground room for
// the field's response and fits it for the hourly march. It knows no loads and no heat pump.
//
// Method: docs/methods/loop.md. Bores: multipole resistance, Hellström's effective resistance,
// field with equal wall temperature, short-time join. Trenches: line sources laid flat, film and
// wall per pipe, all pipes at one fluid temperature, undisturbed temperature by depth and season.
// Coils: ring sources (coil.h). Ponds: the pipe's resistance in the water of every hour (pond.h).
// Open wells: water of one temperature, used once. Mixed loops: the parts' responses joined behind
// one supply.
//
//   gw_loop_response response;
//   st = gw_loop_respond(arena, &site, &response, err);
#ifndef GW_LOOP_RESPONSE_H
#define GW_LOOP_RESPONSE_H

#include "base/arena.h"
#include "base/err.h"
#include "climate/ground_temperature.h"
#include "ground/field.h"
#include "ground/film.h"
#include "ground/history.h"
#include "loop/plan.h"
#include "soil/soil.h"

#include <stdbool.h>

// Ground around the loop.
typedef struct {
    gw_soil_profile profile;   // layers from the surface down; one layer = the same everywhere
    gw_ground_climate surface; // yearly wave at the surface
    double gradient_k_m;       // of temperature with depth; 0 to 0.1
} gw_loop_ground;

typedef struct {
    double outer_diameter_m;
    double inner_diameter_m;
    double conductivity_w_mk;
} gw_loop_pipe;

// The loop fluid at the temperature the resistances are worked out for, and its total flow.
typedef struct {
    gw_film_fluid props;
    double flow_m3_s; // through the heat pump, > 0
} gw_loop_fluid;

// The water about the bundles of a pond, and what the pipe's resistance is worked out at.
typedef struct {
    const gw_pond_water *properties;
    const double *coil_degc; // [8760] at the coils
    double design_heat_w;    // taken by all pipe in the design hour, > 0
} gw_loop_pond;

typedef struct {
    const gw_loop_plan *plan; // length and count as they are to be built
    const gw_loop_ground *ground;
    const gw_loop_ground *bore_ground; // of the bores in a mixed loop; else NULL
    const gw_loop_pipe *pipe;          // of the circuits; [part_count] of a mixed loop
    const gw_loop_fluid *fluid;
    const gw_loop_pond *pond; // of a pond loop; else NULL
    double years;             // horizon the response must hold for
} gw_loop_site;

typedef struct {
    gw_exp_response step;       // drop of the mean fluid temperature, K per W/m of heat extracted
    double length_m;            // that the W/m refer to: bores, or pipe of all trenches
    double capacity_w_k;        // of the whole flow: volume flow × density × specific heat
    double undisturbed_degc;    // yearly mean that the fluid would settle at
    double coldest_rest_degc;   // least and
    double warmest_rest_degc;   // greatest that an endless loop would bring
    const double *correction_k; // [8760] added to it hour by hour (loop/frozen.h; of a pond, its
                                // water), or NULL
    bool once_through;          // water is used once: what leaves the unit does not come back
    gw_ground_wave wave;        // and its yearly wave
    double resistance_mk_w;     // fluid to ground, effective, per metre of length_m
    double reynolds;            // in the pipe of one circuit
    gw_film_regime regime;
    double steady_mk_w;         // response at infinite time (coils: after one and a half horizons),
                                // resistance included
    double outside_mk_w;        // of a pond: the share of the water about the pipe
    size_t circuits;            // in parallel
    double circuit_pipe_m;      // pipe of one circuit, out and back
    gw_soil soil;               // equivalent ground used
    const gw_segment *segments; // [segment_count], as solved
    size_t segment_count;
    size_t pieces;      // segments in a row that make one straight bore or pipe
    double load_ratio;  // W per metre of segment for 1 W/m of length_m (coils: lines for rings)
    const size_t *part; // [segment_count] part of a mixed loop, else NULL
} gw_loop_response;

// Pipes of a trench cross-section: place across the trench and depth of the axis.
typedef struct {
    double x_m;     // from the trench's centre line
    double depth_m; // below finished grade
} gw_loop_section_pipe;

enum { GW_LOOP_PIPES_MAX = 6 };

// Places of the plan's pipes. Errors: GW_ERR_RANGE, GW_ERR_GEOMETRY (pipes overlap, leave the
// trench or the ground); the field is named below "trench.".
gw_status gw_loop_trench_section(const gw_trench_plan *trench, double pipe_diameter_m,
                                 gw_loop_section_pipe pipes[static GW_LOOP_PIPES_MAX],
                                 gw_err *err) GW_MUST_USE;

// Collars of the plan's bores, [count] in the arena: as given, or a grid about the origin.
gw_status gw_loop_bore_places(gw_arena *arena, const gw_bores_plan *bores,
                              const gw_bore_place **out, gw_err *err) GW_MUST_USE;

// Errors: GW_ERR_RANGE and GW_ERR_GEOMETRY with the plan's field named, those of the ground room.
gw_status gw_loop_respond(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                          gw_err *err) GW_MUST_USE;

#endif
