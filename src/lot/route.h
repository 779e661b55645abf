// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Header routes: the shortest way over allowed ground from the house entry to the loop, and the
// shortest tree that joins the entry with several loop ends.
//
// It does not size pipes or keep bends to a radius. Allowed ground is the usable ground for
// GW_LOT_HEADER (usable.h). The tree joins ends to ends (no branching in between), so that it may
// be up to 15.5 % longer than the best branching one in open ground (Steiner ratio 2 / √3, a
// conjecture).
//
// Method: visibility graph (Lozano-Perez & Wesley 1979, Communications of the ACM 22:560): the
// shortest path among polygons bends only at their corners that point into the ground, and passes
// each on the outside; A* search (Hart, Nilsson & Raphael 1968) with straight-line distance; least
// spanning tree by Prim 1957.
//
//   const gw_lot_trip trip = {.from = entry, .to = lane.from, .reach_m = 1};
//   st = gw_lot_find_route(arena, &allowed, &trip, &route, err);
#ifndef GW_LOT_ROUTE_H
#define GW_LOT_ROUTE_H

#include "lot/lot.h"

typedef struct gw_lot_trip {
    gw_lot_point from;
    gw_lot_point to;
    double
        reach_m; // an end off the allowed ground by no more than this is joined straight, 0 to 50
} gw_lot_trip;

typedef struct gw_lot_route {
    gw_lot_path path; // from … to, corners between
    double length_m;
} gw_lot_route;

// Route in the arena. Errors: GW_ERR_RANGE ("trip.…"), GW_ERR_GEOMETRY: an end lies too far from
// the allowed ground, or no allowed ground joins the two; GW_ERR_NOMEM.
gw_status gw_lot_find_route(gw_arena *arena, const gw_lot_region *allowed, const gw_lot_trip *trip,
                            gw_lot_route *out, gw_err *err) GW_MUST_USE;

typedef struct gw_lot_header_request {
    gw_lot_point entry; // at the house
    const gw_lot_point *ends;
    size_t count;   // 1 to 500
    double reach_m; // as in gw_lot_trip
} gw_lot_header_request;

typedef struct gw_lot_header_leg {
    size_t parent; // index of the end it comes from; `count` of the request: the entry
    size_t end;
    gw_lot_route route; // from parent to end
} gw_lot_header_leg;

typedef struct gw_lot_header_tree {
    const gw_lot_header_leg *legs; // in the order they join; one for each end
    size_t count;
    double length_m; // of all legs
} gw_lot_header_tree;

// Tree in the arena. Errors as gw_lot_find_route.
gw_status gw_lot_find_header(gw_arena *arena, const gw_lot_region *allowed,
                             const gw_lot_header_request *ask, gw_lot_header_tree *out,
                             gw_err *err) GW_MUST_USE;

#endif
