// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Usable ground: where the centre line of a loop may lie, and what takes the rest of the lot.
//
// It does not judge the ground itself (soil, slope of rock) and does not place anything. The lot
// must have passed gw_lot_check.
//
// Method: the boundary taken in by the property-line setback, less every feature grown by its
// setback, both plus the half width of the loop (Minkowski sums with a disc; de Berg and others
// 2008, Computational Geometry, chapter 13). Arcs become chords that part from them by 5 mm at
// most, so that a point of the usable ground may stand 5 mm too near to a rounded corner: half of
// GW_LOT_SLACK_M, which violation.h forgives.
//
//   const gw_lot_site site = {&lot, &rules};
//   const gw_lot_need need = {.loop = GW_LOT_TRENCH, .half_width_m = 0.3};
//   st = gw_lot_find_usable(arena, &site, &need, &region, err);   // region.count 0: nothing left
#ifndef GW_LOT_USABLE_H
#define GW_LOT_USABLE_H

#include "lot/lot.h"
#include "lot/setback.h"

// Distances short by no more than this are kept distances: less than a survey can tell.
#define GW_LOT_SLACK_M 0.01

typedef struct gw_lot_site {
    const gw_lot *lot;
    const gw_lot_ruleset *rules;
} gw_lot_site;

// A drilling rig that has to drive to the bores and stand there. It may not drive over houses,
// buildings, septic tanks, fields and reserves, ponds, watercourses, steep slopes, rock outcrops,
// wells and trees.
typedef struct gw_lot_rig {
    gw_lot_point enters_at; // on the lot or at most width_m from it: the street end of the driveway
    double width_m;         // of the lane it needs, > 0 to 20
    double clearance_m;     // between the mast and houses, buildings, trees, power lines, 0 to 30
} gw_lot_rig;

typedef struct gw_lot_need {
    gw_lot_loop loop;
    double half_width_m;   // half a trench's width, a bore's radius; 0 to 10
    double least_area_m2;  // smaller pieces of ground are left out; 0 keeps all
    const gw_lot_rig *rig; // NULL: access is not looked at
} gw_lot_need;

// The usable ground, in the arena. No ground is a result (count 0), not an error.
// Errors: GW_ERR_RANGE (need.…), GW_ERR_GEOMETRY (the rig's entrance is not at the lot, or
// blocked), GW_ERR_NOMEM.
gw_status gw_lot_find_usable(gw_arena *arena, const gw_lot_site *site, const gw_lot_need *need,
                             gw_lot_region *out, gw_err *err) GW_MUST_USE;

enum { GW_LOT_NO_FEATURE = -1 };

// What one thing takes from the lot. Areas of different things overlap: they do not add up.
typedef struct gw_lot_taker {
    long feature;     // index in lot->features, GW_LOT_NO_FEATURE for the property line
    double area_m2;   // of the lot that it and its setback cover
    double area_frac; // of the whole lot
} gw_lot_taker;

typedef struct gw_lot_shares {
    const gw_lot_taker *takers; // largest first; things that take nothing are left out
    size_t count;
    double lot_area_m2;
    double usable_area_m2;
    const char *text; // one sentence: how much is left and what takes most
} gw_lot_shares;

// Who takes the room, in the arena. The rig is not looked at.
gw_status gw_lot_find_shares(gw_arena *arena, const gw_lot_site *site, const gw_lot_need *need,
                             gw_lot_shares *out, gw_err *err) GW_MUST_USE;

#endif
