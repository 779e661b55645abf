// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Slanting bores from one spot, where a rig has room to stand only once.
//
// It does not bend bores or check that they miss each other below beyond spreading their toes. The
// lot must have passed gw_lot_check.
//
// Method: for azimuths 5° apart the largest tilt, in nine steps between the limits, that breaks no
// setback; of these bores, and the least tilted one in each azimuth where a larger one fits, so
// many as asked are chosen whose toes lie farthest apart in plan (spread.h). A bore is held, down
// to shallow_m, against everything; deeper, only against what reaches down (violation.h).
//
//   const gw_lot_fan_request ask = {.spot = {20, 15}, .collar_ring_m = 1, .count = 4,
//                                   .length_m = 90, .tilt_least_rad = 0.17, .tilt_most_rad = 0.52,
//                                   .radius_m = 0.075, .shallow_m = 6};
//   st = gw_lot_place_fan(arena, &site, &ask, &fan, err);
#ifndef GW_LOT_FAN_H
#define GW_LOT_FAN_H

#include "lot/usable.h"

typedef struct gw_lot_fan_request {
    gw_lot_point spot;
    double collar_ring_m;  // collars stand on a circle this wide about the spot, 0 to 10
    size_t count;          // 1 to 36
    double length_m;       // of each bore along its axis, 5 to 500
    double tilt_least_rad; // from the vertical, 0 to 1.2
    double tilt_most_rad;  // least to 1.2
    double radius_m;       // of a bore, 0 to 0.5
    double shallow_m;      // depth down to which everything counts, 0 to 50
} gw_lot_fan_request;

typedef struct gw_lot_slant_bore {
    gw_lot_point collar;
    gw_lot_point toe;   // plan
    double azimuth_rad; // clockwise from north, 0 to 2π
    double tilt_rad;    // from the vertical
    double depth_m;     // of the toe
} gw_lot_slant_bore;

typedef struct gw_lot_fan {
    const gw_lot_slant_bore *bores; // by azimuth
    size_t count;
    double toe_spacing_m; // least, in plan; 0 for a lone bore
    bool fits;            // as many as asked
    const char *text;     // one sentence
} gw_lot_fan;

// Fan in the arena. Too few bores is a result (fits false), not an error.
// Errors: GW_ERR_RANGE ("fan.…"), GW_ERR_NOMEM.
gw_status gw_lot_place_fan(gw_arena *arena, const gw_lot_site *site, const gw_lot_fan_request *ask,
                           gw_lot_fan *out, gw_err *err) GW_MUST_USE;

#endif
