// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Vertical bores on usable ground: as far apart as the ground allows, or as far as wanted and near
// the house.
//
// It does not know temperatures: wide spacing is the geometric stand-in for a small long-term
// change of the ground, which the engine then refines. It does not size anything.
//
// Method: candidates on a grid along the longest edge of the ground, its corners included; choice
// by maximin distance (spread.h; Gonzalez 1985 and exchange), then each bore slides in steps that
// halve down to 1 mm while its nearest neighbour gets farther. A local optimum: within a few
// per cent of the known best for up to ten points in a square (see the tests).
// With a wanted spacing, bores are taken in order of distance from `near`, each at least that
// far from those taken; only when this does not place them all is the spacing maximised.
//
//   const gw_lot_bore_request ask = {.count = 6, .least_spacing_m = 5, .wanted_spacing_m = 6,
//                                    .near = &entry};
//   st = gw_lot_place_bores(arena, &usable, &ask, &bores, err);
//   if (!bores.fits) { … bores.count of them fit; bores.text … }
#ifndef GW_LOT_BORES_H
#define GW_LOT_BORES_H

#include "lot/lot.h"

enum { GW_LOT_MOST_BORES = 500 };

typedef struct gw_lot_bore_request {
    size_t count;              // to place, 1 to GW_LOT_MOST_BORES
    double least_spacing_m;    // centre to centre, 0 to 100
    double wanted_spacing_m;   // enough when reached, ≥ least; 0: as much as the ground allows
    const gw_lot_point *near;  // e.g. the house entry; NULL: the middle of the ground
    const gw_lot_point *fixed; // placed by hand: kept, kept clear of, not moved and not returned
    size_t fixed_count;
} gw_lot_bore_request;

typedef struct gw_lot_bores {
    const gw_lot_point *at;
    size_t count;
    double spacing_m; // least centre distance, hand-placed ones included; 0 for a lone bore
    bool fits;        // all of them, at least_spacing_m or more
    const char *text; // one sentence
} gw_lot_bores;

// Bores in the arena, in the order found. Too little ground is a result (fits false, as many as
// could be placed), not an error. Errors: GW_ERR_RANGE ("bores.…"), GW_ERR_NOMEM.
gw_status gw_lot_place_bores(gw_arena *arena, const gw_lot_region *usable,
                             const gw_lot_bore_request *ask, gw_lot_bores *out,
                             gw_err *err) GW_MUST_USE;

#endif
