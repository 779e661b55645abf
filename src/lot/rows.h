// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the room: parallel rows across a region, at any angle, each cut to the ground it
// crosses (scan-line clipping by the even-odd rule). Bores take their candidates from rows, lanes
// are rows.
#ifndef GW_LOT_ROWS_H
#define GW_LOT_ROWS_H

#include "lot/lot.h"

typedef struct gw_lot_edge {
    gw_lot_point a, b;
} gw_lot_edge;

// A region in a frame turned about `origin`: rows run along the frame's x.
typedef struct gw_lot_rows {
    gw_lot_point origin;
    double cosine, sine;
    gw_lot_edge *edges;
    size_t count;
    double low_m, high_m;  // extent of the region in the frame's y
    double west_m, east_m; // and in its x
} gw_lot_rows;

// Room for the region's edges. The region must not be empty.
gw_status gw_lot_rows_init(gw_arena *arena, const gw_lot_region *region, gw_lot_rows *out,
                           gw_err *err) GW_MUST_USE;

// Turns the frame: its x points angle_rad anticlockwise from east.
void gw_lot_rows_turn(gw_lot_rows *rows, const gw_lot_region *region, double angle_rad);

gw_lot_point gw_lot_rows_to_frame(const gw_lot_rows *rows, gw_lot_point p);
gw_lot_point gw_lot_rows_to_lot(const gw_lot_rows *rows, gw_lot_point p);

// Parallel rows cut to the ground: ground lies from each even crossing of a row to the next odd
// one.
typedef struct gw_lot_cuts {
    double *y_m;   // [count]
    size_t *start; // [count + 1] crossings of row k: crossing_m[start[k] … start[k + 1] - 1]
    double *crossing_m;
    size_t *filled; // [count] working space
    double rows_per_m;
    size_t count;
    size_t row_room, crossing_room; // what the lists can hold
} gw_lot_cuts;

// Cuts rows step_m apart, the first at first_m, edge by edge: quicker than row by row where edges
// are short. A last row that would lie within 1 µm of the far
// edge lies just inside it. *cuts may hold lists of an earlier call, which are used again.
// Returns false when the arena is exhausted.
bool gw_lot_rows_cut_all(gw_arena *arena, const gw_lot_rows *rows, double first_m, double step_m,
                         gw_lot_cuts *cuts);

// Direction of the region's longest edge, 0 to π.
double gw_lot_longest_edge_rad(const gw_lot_region *region);

#endif
