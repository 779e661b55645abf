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

#include "loop/coil.h"
#include "loop/pond.h"
#include "loop/well.h"

#include <stdbool.h>
#include <stddef.h>

typedef enum {
    GW_LOOP_BORES,  // vertical or inclined bores with U-tubes
    GW_LOOP_TRENCH, // straight pipes in one or more parallel trenches
    GW_LOOP_COIL,   // rings of pipe in one or more parallel trenches
    GW_LOOP_POND,   // bundles of pipe on the bottom of a pond
    GW_LOOP_WELL,   // ground water pumped through the unit and given back
    GW_LOOP_MIXED,  // closed loops of several kinds in parallel on one header
} gw_loop_kind;

typedef enum {
    GW_FREE_LENGTH,  // depth of each bore, length of each trench, pipe of each bundle
    GW_FREE_COUNT,   // number of bores, trenches or bundles of the stated length
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
    double pipe_gap_m;        // vertical distance between layers; 0.15 to 1.5
    const char *pipe;         // id of the pipe size
    double max_length_m;      // longest that the lot takes
    double backfill_w_mk;     // conductivity of what is put around the pipes; 0 = the native soil
    double backfill_height_m; // from the trench floor up; 0 = to 0.15 m over the highest pipe
    double fill_m; // brought in over the trench: depth_m counts from its top, digging does not
} gw_trench_plan;

// An open well with what the heat pump may ask of it and what is known of its water.
typedef struct {
    gw_well_plan well;                // water_degc 0: that of the ground
    double depth_m;                   // of the supply well as drilled; 0 = 3 m below the pump
    bool existing;                    // it is there already
    double greatest_change_k;         // by which the unit may cool the water; 2 to 12
    double least_leaving_degc;        // coldest water allowed out of the unit; 0.5 to 10
    double pump_efficiency;           // wire to water; 0.1 to 0.85
    const char *pipe;                 // id of the size of the lines to the house and back
    const char *material;             // of the unit's coil, as in data/water_quality.csv, or NULL
    const gw_well_analysis *analysis; // [analysis_count], or NULL
    size_t analysis_count;
} gw_open_well_plan;

typedef struct gw_loop_plan gw_loop_plan;

enum { GW_LOOP_PARTS_MAX = 6 };

// The parts share supply and return. At most one of them is sized: that whose own `free` says so.
typedef struct {
    const gw_loop_plan *parts;           // [part_count], bores, trenches and coils
    size_t part_count;                   // 2 to GW_LOOP_PARTS_MAX
    size_t free_part;                    // index of the sized one; part_count: none
    double free_each_m;                  // its depth or length of each, found; 0 = as its plan says
    double flow_frac[GW_LOOP_PARTS_MAX]; // of the whole flow, by the hydraulics; all 0 = by number
                                         // of circuits
} gw_mixed_plan;

struct gw_loop_plan {
    const char *name;
    gw_loop_kind kind;
    gw_loop_free free;
    gw_bores_plan bores;    // when kind is GW_LOOP_BORES; and so on
    gw_trench_plan trench;  //
    gw_coil_plan coil;      //
    gw_pond_plan pond;      //
    gw_open_well_plan well; //
    gw_mixed_plan mixed;    //
    size_t circuits;        // in parallel; 0 = one per bore, one out-and-back per trench pair, one
                            // per coil trench or bundle
    double header_m;        // one way from the field to the house; 0 to 300
};

typedef struct {
    double min_entering_degc; // coldest water allowed into the unit; -15 to 15
    double max_entering_degc; // warmest; 15 to 50
    double years;             // horizon; whole, 1 to 60
} gw_loop_limits;

#endif
