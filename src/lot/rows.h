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
    double *crossings; // of the last cut
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

// Cuts the row at y_m: rows->crossings[0 … returned-1] rise; ground lies from each even one to the
// next odd one.
size_t gw_lot_rows_cut(gw_lot_rows *rows, double y_m);

// Direction of the region's longest edge, 0 to π.
double gw_lot_longest_edge_rad(const gw_lot_region *region);

#endif
