// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private: how a loop lies, whatever its kind, and the steps of laying it on the lot.
#ifndef GW_DESIGN_LOT_PRIV_H
#define GW_DESIGN_LOT_PRIV_H

#include "design/design_priv.h"

// Bores are points, everything in trenches is lanes.
typedef struct {
    bool placed; // false: this kind is not placed
    bool lanes;
    gw_lot_loop loop;
    size_t count;
    double each_m;
    double spacing_m;
    double half_width_m;
    double longest_m; // of a lane
} gw_design_lie;

gw_design_lie gw_design_priv_lie(const gw_loop_plan *plan);

// What the placing of one loop works with.
typedef struct {
    gw_design_priv *d;
    const gw_job_lot *job;
    gw_lot_rules shipped;
    gw_lot_ruleset rules;
    gw_lot_site site;
    gw_design_on_lot *on;
} gw_design_lot_desk;

// Usable ground and who takes the rest.
gw_status gw_design_priv_lot_open(gw_design_lot_desk *desk, const gw_loop_plan *plan);

// Fills the places of the plan's bores; the ground's and the job's.
gw_status gw_design_priv_place_bores(gw_design_lot_desk *desk, gw_loop_plan *plan);

// Lanes for the plan's number and length.
gw_status gw_design_priv_place_lanes(gw_design_lot_desk *desk, const gw_loop_plan *plan);

// Longest of `count` equal lanes that the ground takes, 0 when there is none.
gw_status gw_design_priv_longest_lane(gw_design_lot_desk *desk, const gw_loop_plan *plan,
                                      double *out_m);

// Header to what was placed; its length replaces the plan's.
gw_status gw_design_priv_route_header(gw_design_lot_desk *desk, gw_loop_plan *plan);

// Distances of what was placed.
gw_status gw_design_priv_measure(gw_design_lot_desk *desk, const gw_loop_plan *plan);

#endif
