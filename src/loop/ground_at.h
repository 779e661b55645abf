// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// How much colder a loop makes the ground at any point, after any time: at a septic bed, a wall,
// the neighbour's line, or over a whole map.
//
// It gives the change alone: the undisturbed temperature is added by the caller
// (climate/ground_temperature.h). Conduction in one homogeneous medium under a surface that keeps
// its own temperature; no freezing: where the ground at the pipes freezes, the heat that the ice
// gives up is left out and the drop found here is too large (the safe side). How the lines share
// the heat is the caller's, and does not change with time.
//
// Method: step responses of finite line sources with their mirror image (ground/response.h) at
// log-spaced times, superposed for heats that are constant in each span (Ingersoll & Plass 1948;
// Carslaw & Jaeger 1959). Between the times: cubic in ln t, so that a wanted drop is a fixed sum of
// the nodes and all months share one evaluation per point.
// A level map of straight vertical or horizontal lines takes each shape's response once, as a table
// over the distances along and across, and looks it up (cubic); the drop then differs from the
// direct one by less than 0.3 % of the greatest drop outside 0.1 m from a line's axis.
//
//   const gw_ground_past past = {.segments = lines, .segment_count = n, .medium = {1.4, 5.8e-7},
//                                .end_s = month_end_s, .heat_w = month_heat_w, .count = 300};
//   const gw_ground_ask ask = {.points = p, .point_count = 3, .spans = all, .span_count = 300};
//   st = gw_ground_at_points(arena, &past, &ask, drop_k, err);   // drop_k[point × 300 + month]
#ifndef GW_LOOP_GROUND_AT_H
#define GW_LOOP_GROUND_AT_H

#include "base/arena.h"
#include "ground/response.h"

enum { GW_GROUND_SPANS_MAX = 1200, GW_GROUND_LINES_MAX = 2000 };

// The heat that all lines together took from the ground.
typedef struct {
    const gw_segment *segments; // [segment_count] the lines; 1 to GW_GROUND_LINES_MAX
    size_t segment_count;
    const double *relative; // [segment_count] heat per metre over the mean of all; NULL: alike
    gw_ground_medium medium;
    const double *end_s;  // [count] end of each span, strictly increasing from above 0
    const double *heat_w; // [count] mean heat in it, of all lines; positive: taken
    size_t count;         // 1 to GW_GROUND_SPANS_MAX
} gw_ground_past;

typedef struct {
    const gw_position *points; // [point_count], depth 0 or more
    size_t point_count;
    const size_t *spans; // [span_count] the drop is wanted at the ends of these; each below count
    size_t span_count;
} gw_ground_ask;

// drop_k[point_count × span_count], row by row: K colder (positive) than without the loop.
// Errors: GW_ERR_RANGE ("past.…", "points[3]"), those of ground/response.h, GW_ERR_NOMEM.
gw_status gw_ground_at_points(gw_arena *arena, const gw_ground_past *past, const gw_ground_ask *ask,
                              double *drop_k, gw_err *err) GW_MUST_USE;

// A level grid: x from west to east, y from south to north, cell centres.
typedef struct {
    double west_m, east_m, south_m, north_m;
    size_t nx, ny;  // 1 to 1000 each
    double depth_m; // 0 to 400
} gw_ground_grid;

// drop_k[span × ny × nx]: one map after the other, rows from the south. Inclined lines are taken
// point by point, which is much slower. `points` of the ask are not looked at.
gw_status gw_ground_at_grid(gw_arena *arena, const gw_ground_past *past, const gw_ground_grid *grid,
                            const gw_ground_ask *ask, double *drop_k, gw_err *err) GW_MUST_USE;

#endif
