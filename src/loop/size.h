// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Sizing: the smallest loop whose entering water stays within its limits over the horizon.
//
// The free quantity (depth or length of each, or their number; see kind.h) is found by trying whole
// simulated horizons. The margin — how far the worst hour stays inside the limits — grows almost
// linearly with one over the length, so a secant on 1/L needs few tries; a bracket keeps it safe.
// It does not judge the lot: longest and deepest come from the plan.
//
//   st = gw_loop_size(arena, &task, &sized, err);
#ifndef GW_LOOP_SIZE_H
#define GW_LOOP_SIZE_H

#include "loop/kind.h"
#include "loop/simulate.h"

typedef struct {
    const gw_loop_plan *plan;
    const gw_loop_ground *ground;
    const gw_loop_ground *bore_ground; // of the bores in a mixed loop; else NULL
    const gw_loop_pipe *pipe;          // of the circuits; [part_count] of a mixed loop
    const gw_loop_fluid *fluid;
    const gw_loop_pond *pond; // of a pond loop; else NULL
    const gw_loop_limits *limits;
    const double *heating_w;   // [8760]
    const double *cooling_w;   // [8760]
    const double *hot_water_w; // [8760] or NULL
    const gw_plant *plant;
    const double *correction_k; // [8760] by freezing (loop/frozen.h), or NULL
    double start_m;             // first length to try, each; 0 = from guideline bands
    size_t first_month;         // 0 = January to 11
} gw_loop_task;

typedef enum {
    GW_GOVERNED_BY_COLD,    // the least entering water sets the length
    GW_GOVERNED_BY_WARMTH,  // the greatest does
    GW_GOVERNED_BY_NOTHING, // even the shortest loop allowed holds the limits
} gw_loop_governor;

// One simulated horizon on the way.
typedef struct {
    double each_m; // depth of each bore, length of each trench, pipe of each bundle
    size_t count;
    double least_degc;
    double greatest_degc;
    double margin_k; // ≥ 0: inside the limits
} gw_loop_try;

enum { GW_LOOP_TRIES_MAX = 40 };

typedef struct {
    gw_loop_plan plan; // with what was free filled in
    gw_loop_response response;
    gw_loop_result result;
    gw_loop_governor governor;
    bool holds; // false: the longest loop the plan allows is still too short
    double margin_k;
    gw_loop_try tries[GW_LOOP_TRIES_MAX]; // in order of trying
    size_t try_count;
} gw_loop_sized;

// Errors: those of gw_loop_respond and gw_loop_simulate, GW_ERR_RANGE (limits).
// A loop that cannot hold the limits is no error: `holds` is false and the longest is returned.
gw_status gw_loop_size(gw_arena *arena, const gw_loop_task *task, gw_loop_sized *out,
                       gw_err *err) GW_MUST_USE;

#endif
