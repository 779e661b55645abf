// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the room: the few operations done by the GEOS library, on plain structs.
//
// No GEOS object leaves lot_geos.c. Each call makes its own context, so calls from several threads
// do not meet. Results live in the arena given. Errors: GW_ERR_NOMEM, and GW_ERR_GEOMETRY with the
// library's own words when it gives up on a shape.
#ifndef GW_LOT_LOT_GEOS_H
#define GW_LOT_LOT_GEOS_H

#include "lot/lot.h"

enum { GW_LOT_REASON_SIZE = 80 };

// What is wrong with a ring, and where.
typedef struct gw_lot_flaw {
    bool valid;
    char reason[GW_LOT_REASON_SIZE]; // "Self-intersection"
    gw_lot_point at;
} gw_lot_flaw;

// Validity of a closed ring of four or more finite points.
gw_status gw_lot_geos_examine_ring(const gw_lot_path *ring, gw_lot_flaw *out,
                                   gw_err *err) GW_MUST_USE;

// A feature with the distance to stay clear of it, measured from its core (its path).
typedef struct gw_lot_blocker {
    const gw_lot_geometry *geometry;
    double reach_m; // ≥ 0, half widths included
} gw_lot_blocker;

// boundary taken in by inset_m, less every blocker grown by its reach. Arcs are replaced by chords
// that depart from them by 5 mm at most.
typedef struct gw_lot_cut {
    const gw_lot_path *boundary;
    double inset_m; // ≥ 0
    const gw_lot_blocker *blockers;
    size_t count;
    double least_area_m2; // smaller pieces are dropped
} gw_lot_cut;

gw_status gw_lot_geos_cut(gw_arena *arena, const gw_lot_cut *cut, gw_lot_region *out,
                          gw_err *err) GW_MUST_USE;

// How much of the boundary taken in each blocker covers, by itself, in m2: taken_m2[count];
// *inset_area_m2 is the area of the boundary taken in.
gw_status gw_lot_geos_shares(const gw_lot_cut *cut, double *taken_m2, double *inset_area_m2,
                             gw_err *err) GW_MUST_USE;

// Ground common to both.
gw_status gw_lot_geos_common(gw_arena *arena, const gw_lot_region *a, const gw_lot_region *b,
                             gw_lot_region *out, gw_err *err) GW_MUST_USE;

#endif
