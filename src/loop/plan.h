// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What a designer decides about a loop before it is sized: the kind, its layout, its pipe, what is
// fixed and what the sizing may change.
//
// It holds no results and does no computation. A length of 0 m where the sizing is free means
// "find it".
#ifndef GW_LOOP_PLAN_H
#define GW_LOOP_PLAN_H

#include <stddef.h>

typedef enum {
    GW_LOOP_BORES,  // vertical or inclined bores with U-tubes
    GW_LOOP_TRENCH, // straight pipes in one or more parallel trenches
} gw_loop_kind;

typedef enum {
    GW_FREE_LENGTH,  // depth of each bore, or length of each trench
    GW_FREE_COUNT,   // number of bores or trenches of the stated length
    GW_FREE_NOTHING, // check the stated loop as it is
} gw_loop_free;

typedef struct {
    double x_m;         // collar east of the job's origin
    double y_m;         // collar north of it
    double tilt_deg;    // from the vertical, 0 to 60
    double azimuth_deg; // direction of the tilt, 0 = north, 90 = east
} gw_bore_place;

typedef struct {
    size_t count;                   // bores; 1 to 400
    double depth_m;                 // active length of each, below top_m; 15 to 300, or 0
    double top_m;                   // ground surface to the top of the active length; 0.5 to 10
    double diameter_m;              // of the bore; 0.075 to 0.3
    double spacing_m;               // between neighbours where no places are given; 3 to 30
    size_t rows;                    // rows of the grid; 0 = as square as the count allows
    const gw_bore_place *places;    // [place_count], or NULL: a grid is laid out
    size_t place_count;             // 0 or equal to count
    size_t u_tubes;                 // 1 or 2 in each bore
    const char *pipe;               // id of the pipe size
    double shank_m;                 // between the pipes' centres; 0 = evenly spread over the bore
    double grout_conductivity_w_mk; // 0.4 to 3
    double grout_volumetric_heat_j_m3k; // 1e6 to 5e6
    double rock_depth_m;                // overburden above rock: priced apart; 0 = all rock
    double max_depth_m;                 // deepest the rig or the law allows
} gw_bores_plan;

typedef enum {
    GW_PIPES_ON_FLOOR,  // side by side on the trench floor, across the width
    GW_PIPES_STACKED,   // one column, one above the other
    GW_PIPES_TWO_SIDES, // two columns at the trench walls
} gw_pipe_arrangement;

typedef struct {
    size_t count;     // parallel trenches; 1 to 60
    double length_m;  // of each; 5 to 500, or 0
    double spacing_m; // between trench centres; 0.6 to 30
    double depth_m;   // finished grade to the lowest pipe; 0.6 to 4
    double width_m;   // of the trench; 0.1 to 3
    size_t pipes;     // in the cross-section: 1 to 6
    gw_pipe_arrangement arrangement;
    double pipe_gap_m;   // vertical distance between layers; 0.15 to 1.5
    const char *pipe;    // id of the pipe size
    double max_length_m; // longest that the lot takes
} gw_trench_plan;

typedef struct {
    const char *name;
    gw_loop_kind kind;
    gw_loop_free free;
    gw_bores_plan bores;   // when kind is GW_LOOP_BORES
    gw_trench_plan trench; // when kind is GW_LOOP_TRENCH
    size_t circuits;       // in parallel; 0 = one per bore, or one out-and-back per trench pair
    double header_m;       // one way from the field to the house; 0 to 300
} gw_loop_plan;

typedef struct {
    double min_entering_degc; // coldest water allowed into the unit; -15 to 15
    double max_entering_degc; // warmest; 15 to 50
    double years;             // horizon; whole, 1 to 60
} gw_loop_limits;

#endif
