// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// One trench that winds through all lanes: out along the first, back along the next.
//
// It does not keep joins apart from lanes of other fields, nor bends to a radius.
//
// Method: lanes in their order side by side; each is entered by the end that the shortest way over
// the usable ground (route.h) reaches first. Begun from either side, the shorter whole is kept.
//
//   st = gw_lot_wind_lanes(arena, &usable, &lanes, &winding, err);
#ifndef GW_LOT_SERPENTINE_H
#define GW_LOT_SERPENTINE_H

#include "lot/lanes.h"
#include "lot/route.h"

typedef struct gw_lot_winding {
    gw_lot_path path; // of the whole trench
    double length_m;  // lanes and joins
    double joins_m;   // joins alone
} gw_lot_winding;

// The winding trench in the arena; it begins at the near end of the first or of the last lane.
// Errors: GW_ERR_MISSING (no lanes), GW_ERR_GEOMETRY (no usable ground joins two of them),
// GW_ERR_NOMEM.
gw_status gw_lot_wind_lanes(gw_arena *arena, const gw_lot_region *usable, const gw_lot_lanes *lanes,
                            gw_lot_winding *out, gw_err *err) GW_MUST_USE;

#endif
