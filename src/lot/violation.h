// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Broken distances: every place where a given loop comes too near to something, in numbers and with
// the rule that says so.
//
// It does not move anything; hand edits are measured as they are. Distances are in plan; depth does
// not excuse a crossing, save that the deep part of a slanting bore is held only against what
// reaches down: the property line, wells, septic works and easements.
//
// Method: least distance between the edges of the two shapes, exact (plane.h), against the setback
// of setback.h. Distances short by GW_LOT_SLACK_M (10 mm) or less are kept distances.
//
//   const gw_lot_item bore = {.name = "bore 1", .loop = GW_LOT_BORE,
//                             .geometry = {GW_LOT_CIRCLE, {&centre, 1}, 0.075}};
//   st = gw_lot_find_violations(arena, &site, &loop, &found, err);
#ifndef GW_LOT_VIOLATION_H
#define GW_LOT_VIOLATION_H

#include "lot/usable.h"

// One piece of a loop in plan: a bore is a circle, a trench a line with half its width, a pond
// loop or a pit a polygon.
typedef struct gw_lot_item {
    const char *name; // for messages; NULL is replaced by "bore 3"
    gw_lot_loop loop;
    gw_lot_geometry geometry;
    bool deep; // far below surface works: see above
} gw_lot_item;

typedef struct gw_lot_loop_plan {
    const gw_lot_item *items;
    size_t count;
    double least_spacing_m; // between centre lines of items of one kind; 0: not looked at
} gw_lot_loop_plan;

typedef struct gw_lot_violation {
    size_t item;
    long feature;   // index in lot->features; GW_LOT_NO_FEATURE: see `other`
    long other;     // item too near, or GW_LOT_NO_FEATURE: then it is the property line
    double found_m; // edge to edge; negative: overlapping, or outside the lot, by so much
    double required_m;
    double shortfall_m;     // required less found, over GW_LOT_SLACK_M
    gw_lot_setback setback; // the rule; its .rule is NULL for a spacing
    gw_lot_point at_item;   // the ends of a dimension line that shows the gap
    gw_lot_point at_feature;
    const char *text; // one sentence with both names, both distances and the source
} gw_lot_violation;

typedef struct gw_lot_violations {
    const gw_lot_violation *items; // by item, then property line, features in order, spacings
    size_t count;
} gw_lot_violations;

// All violations, in the arena. The lot must have passed gw_lot_check; items are checked here
// (finite, right number of points: "loop.items[4].geometry").
gw_status gw_lot_find_violations(gw_arena *arena, const gw_lot_site *site,
                                 const gw_lot_loop_plan *plan, gw_lot_violations *out,
                                 gw_err *err) GW_MUST_USE;

#endif
