// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Segments: straight finite lines in the ground, the only kind of heat source the ground knows.
// A bore, a trench pipe or a chord of a coil is one or more segments.
//
// Coordinates: x and y on the surface, z positive DOWN, surface at z = 0. It knows nothing of
// heat: see response.h.
//
//   const gw_segment bore = gw_segment_between((gw_position){0, 0, 2},
//                                              (gw_position){0, 0, 102}, 0.07);
//   gw_segment part[12];
//   st = gw_segment_cut(&bore, 12, GW_CUT_EQUAL, part, err);
//   st = gw_segments_check(part, 12, err);
#ifndef GW_GROUND_SEGMENT_H
#define GW_GROUND_SEGMENT_H

#include "base/err.h"

#include <stddef.h>

typedef struct {
    double x_m, y_m; // on the surface
    double z_m;      // depth, positive down
} gw_position;

typedef struct {
    double x_m, y_m, z_m; // start of the axis; z positive down
    double dx, dy, dz;    // unit direction; dz > 0 runs down
    double length_m;      // 0.001 to 2000
    double radius_m;      // wall radius, 0.0005 to 1
} gw_segment;

// How a line is cut: into equal pieces, or with nodes at (1 − cos(πi/n))/2 of the length (short
// pieces at both ends, where the heat flow changes most along the line).
typedef enum { GW_CUT_EQUAL, GW_CUT_COSINE } gw_cut;

// Segment from `start` to `end`. No check: a zero length shows in gw_segment_check.
gw_segment gw_segment_between(gw_position start, gw_position end, double radius_m);

// Point on the axis at `along_m` from the start.
gw_position gw_segment_point(const gw_segment *segment, double along_m);

// Shortest distance between the axes of two segments, m.
double gw_segment_gap_m(const gw_segment *a, const gw_segment *b);

// Cuts a segment into `count` pieces (1 to 1000), in order from its start.
gw_status gw_segment_cut(const gw_segment *whole, size_t count, gw_cut cut, gw_segment *pieces,
                         gw_err *err) GW_MUST_USE;

// One segment: finite, in the ranges above, unit direction, wall wholly below the surface.
// The error names it "segments[index]".
gw_status gw_segment_check(const gw_segment *segment, size_t index, gw_err *err) GW_MUST_USE;

// Each segment by itself, then all pairs: no two axes nearer than the sum of the radii, except
// that two segments may join end to end (as pieces of one line or chords of one ring do).
// Names both segments of the first bad pair: duplicated, overlapping, crossing or too near.
// Work grows with count²; a caller that lays coils with turns on top of each other skips it and
// checks each segment alone.
gw_status gw_segments_check(const gw_segment *segments, size_t count, gw_err *err) GW_MUST_USE;

#endif
