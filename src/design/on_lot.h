// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// One loop laid on the lot, and what it does to the things around it.
//
// Part of the result of design.h; made only when the job describes a lot. Then the ground's size in
// the site is not looked at. Places and lanes given by hand are kept as they are and measured.
//
// Neighbours: temperature in the ground at the place of each thing where the loop lowers it most,
// at the ends of all months of the horizon: undisturbed wave (climate/ground_temperature.h) less
// what the loop takes away (loop/ground_at.h), from the mean heat of each month of the simulated
// last year, every year alike. Conduction only: where ice forms at the pipes the drop is
// overstated.
#ifndef GW_DESIGN_ON_LOT_H
#define GW_DESIGN_ON_LOT_H

#include "ground/segment.h"
#include "lot/lanes.h"
#include "lot/route.h"
#include "lot/usable.h"
#include "lot/violation.h"

#include <stdbool.h>

typedef struct gw_design_on_lot {
    bool placed;                  // false: ponds, wells and mixed loops are not placed
    bool by_hand;                 // places or lanes of the job
    bool fits;                    //
    const char *placing;          // one sentence
    double usable_m2;             // ground that may take this loop
    gw_lot_shares shares;         // and what takes the rest
    gw_lot_region usable;         //
    const gw_lot_lane *lanes;     // [lane_count] of trenches and coils
    size_t lane_count;            //
    double spacing_m;             // least between bores, or between lanes
    double wanted_spacing_m;      // as the plan asks
    gw_lot_loop_plan items;       // what was measured
    gw_lot_violations violations; //
    bool has_header;              //
    gw_lot_header_tree header;    // from the entry to every bore or lane
    const char *no_header;        // why there is none
} gw_design_on_lot;

// A day of the horizon.
typedef struct {
    double degc;
    size_t year; // of operation, 1 = first
    size_t day;  // of the calendar year, 0 to 364
} gw_design_day;

typedef struct {
    const char *name;
    gw_lot_kind kind;
    long feature;       // index on the lot; GW_LOT_NO_FEATURE: the property line
    gw_position at;     // depth as given for the feature, or usual for the kind
    bool depth_usual;   // the latter (common practice, no source)
    double distance_m;  // in plan, edge to edge
    const double *degc; // [12 × years] at the end of each month from the first of operation, with
    const double *drop_k;          // the loop, and how much of it is the loop's doing
    gw_design_day coldest;         // with the loop
    gw_design_day coldest_without; // its year is 1
    double greatest_drop_k;        // at the end of month
    size_t greatest_month;         // 0 = first of operation
    size_t frost_days;             // of the last year, below 0 °C
    size_t frost_days_without;     //
    bool fails;                    // freezes, and would not without the loop
    bool mind;                     // a caution
    const char *because;           // one sentence
} gw_design_neighbour;

typedef struct {
    const gw_design_neighbour *items; // in the lot's order, the property line last
    size_t count;
    size_t months; // in each series
} gw_design_neighbours;

#endif
