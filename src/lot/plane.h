// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Plane geometry on plain points: lengths, areas, inside or outside, and the gap between shapes.
//
// It does not buffer or cut shapes (lot_geos.h does) and assumes shapes that passed gw_lot_check.
//
// Method: exact up to rounding; area by the shoelace sum, inside by the even-odd rule, gaps as the
// least distance over all pairs of edges (O'Rourke 1998, Computational Geometry in C, chapters 1
// and 7).
//
//   gw_lot_gap gap;
//   gw_lot_measure_gap(&bore, &well->geometry, &gap);   // gap.gap_m between the edges
#ifndef GW_LOT_PLANE_H
#define GW_LOT_PLANE_H

#include "lot/lot.h"

// Points nearer to an edge than this lie on it.
#define GW_LOT_ON_EDGE_M 1e-7

double gw_lot_distance_m(gw_lot_point a, gw_lot_point b);
double gw_lot_path_length_m(const gw_lot_path *path);

// Positive for an anticlockwise ring.
double gw_lot_ring_area_m2(const gw_lot_path *ring);

// Nearest point of the path (its edges, not its inside).
gw_lot_point gw_lot_nearest_on_path(const gw_lot_path *path, gw_lot_point point);

// The edge counts as inside.
bool gw_lot_ring_contains(const gw_lot_path *ring, gw_lot_point point);
bool gw_lot_region_contains(const gw_lot_region *region, gw_lot_point point);

// Nearest point of the region's edges; the region must not be empty.
gw_lot_point gw_lot_nearest_on_region(const gw_lot_region *region, gw_lot_point point);

// The gap between two shapes and the two points that show it.
typedef struct gw_lot_gap {
    double gap_m; // edge to edge; negative when they overlap: how deep the first one reaches in
    gw_lot_point on_a;
    gw_lot_point on_b;
} gw_lot_gap;

// Overlap is measured at the corners of each and at the middle of each piece of edge inside the
// other, so that for slanting edges it may understate the depth, never miss an overlap.
void gw_lot_measure_gap(const gw_lot_geometry *a, const gw_lot_geometry *b, gw_lot_gap *out);

// Gap between a shape inside a ring and the ring; negative where the shape reaches outside.
void gw_lot_measure_inside_gap(const gw_lot_geometry *shape, const gw_lot_path *ring,
                               gw_lot_gap *out);

// The first place after `after`, as a share (0 to 1) of segment a-b, where it meets the ring: a
// crossing or a corner on the segment; 2 when there is none. An edge along the segment crosses
// nothing, but its ends count: after rounding, the edges beyond them may seem to miss the segment.
double gw_lot_next_meeting(const gw_lot_path *ring, gw_lot_point a, gw_lot_point b, double after);

#endif
