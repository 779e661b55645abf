// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Trenches as parallel lanes on usable ground, in the direction that serves best.
//
// It does not bend lanes, join them or know what pipe lies in them. Two lanes of one row, parted by
// a thing on the lot, may come nearer end to end than the spacing, by as little as that thing and
// its setbacks take.
//
// Method: for directions 3° apart, begun at the longest edge of the ground, and along every edge of
// 5 m or more; for six shifts of the rows; rows are cut to the ground (scan-line clipping). Among
// layouts that reach the length asked: equal lanes before unequal, then the shortest header: way
// from the house to the nearest lane end plus breadth of the field. Otherwise: the longest total.
// Equal lanes are as few as the ground allows (or as many as asked), each total / number long, cut
// so that their near ends lie as near to the house as they can.
//
//   const gw_lot_lane_request ask = {.total_m = 240, .spacing_m = 3, .least_m = 10, .near =
//   &entry}; st = gw_lot_place_lanes(arena, &usable, &ask, &lanes, err); if (!lanes.fits) { …
//   lanes.most_m of it fit; lanes.text … }
#ifndef GW_LOT_LANES_H
#define GW_LOT_LANES_H

#include "lot/lot.h"

typedef struct gw_lot_lane_request {
    double total_m;              // length of all lanes, > 0 to 20 000
    double spacing_m;            // between centre lines, 0.3 to 50
    double least_m;              // shorter lanes are not worth a digger's turn, 0.5 to 500
    double longest_m;            // 0: as long as the ground allows
    size_t count;                // 0: as few as the ground allows; else so many, equal
    const double *direction_rad; // anticlockwise from east; NULL: searched
    const gw_lot_point *near;    // the house entry; NULL: header not looked at
} gw_lot_lane_request;

typedef struct gw_lot_lane {
    gw_lot_point from; // the end nearer to the house
    gw_lot_point to;
    double length_m;
} gw_lot_lane;

typedef struct gw_lot_lanes {
    const gw_lot_lane *items; // side by side: in order of rows, then along the row
    size_t count;
    double total_m;       // what was placed
    double most_m;        // longest total the ground takes at this spacing, in any direction tried
    double direction_rad; // 0 to π
    bool equal;           // all of one length
    bool fits;            // total_m reached
    const char *text;     // one sentence
} gw_lot_lanes;

// Lanes in the arena. Too little ground is a result (fits false, the best there is), not an error.
// Errors: GW_ERR_RANGE ("lanes.…"), GW_ERR_NOMEM.
gw_status gw_lot_place_lanes(gw_arena *arena, const gw_lot_region *usable,
                             const gw_lot_lane_request *ask, gw_lot_lanes *out,
                             gw_err *err) GW_MUST_USE;

#endif
