// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Step responses of finite line sources under an isothermal surface: the mean temperature change
// of one segment, or the change at a point, per W/m put on another segment from time zero on.
// Unit m·K/W (kelvin per watt per metre). Heat extracted counts as a temperature drop with the
// same numbers.
//
// Conduction only, one homogeneous medium, constant properties; no flow of groundwater, no
// freezing, no capacity inside the bore (short times: see short_time.h).
//
// Method: point source e^(−R²s²) integrated over both lines and over s from 1/√(4αt) to ∞, minus
// the mirror image above the surface. Parallel lines: closed in space, one integral over s
// (Claesson & Javed 2011, ASHRAE Trans. 117(2):279; Cimmino & Bernier 2014, Int. J. Heat Mass
// Transfer 70:641). Other directions: closed along the source, Gauss–Legendre along the receiver
// on panels no longer than 1.6 times their distance from the source. Over s: Gauss–Legendre
// panels in ln s that end at the times asked for.
// Accuracy: 1e-6 relative plus 1e-10/k absolute (m·K/W, k in W/(m·K)), any time above zero,
// INFINITY (steady) included. Checked against adaptive double integration.
//
// Wall: for parallel axes the distance is never less than the larger of the two radii, so a
// segment's response on itself is on its own wall. For other directions R² is increased by
// (radius² − gap²) when the gap between the axes is less than the larger radius.
//
//   const double times_s[] = {3600.0, 86400.0, 31536000.0};
//   const gw_response_case with = {{2.5, 1.1e-6}, times_s, 3, false};
//   double h_mk_w[3];
//   st = gw_response_between(&with, &bore, &bore, h_mk_w, err);
#ifndef GW_GROUND_RESPONSE_H
#define GW_GROUND_RESPONSE_H

#include "ground/segment.h"

#include <stdbool.h>

typedef struct {
    double conductivity_w_mk; // 0.05 to 20
    double diffusivity_m2_s;  // 1e-8 to 1e-4
} gw_ground_medium;

typedef struct {
    gw_ground_medium medium;
    const double *times_s; // [count] strictly increasing, > 0; the last may be INFINITY
    size_t count;          // ≥ 1
    bool without_mirror;   // true: infinite medium, no surface
} gw_response_case;

// Ranges of medium and times.
gw_status gw_response_check(const gw_response_case *with, gw_err *err) GW_MUST_USE;

// h_mk_w[with->count]: mean change of segment `on` per W/m on segment `from`. The same segment
// twice gives its own wall. Reciprocity: length(on) × h(on, from) = length(from) × h(from, on).
gw_status gw_response_between(const gw_response_case *with, const gw_segment *on,
                              const gw_segment *from, double *h_mk_w, gw_err *err) GW_MUST_USE;

// h_mk_w[with->count]: change at a point (z ≥ 0) per W/m on the segment; a point inside the wall
// radius gets the wall's value.
gw_status gw_response_at_point(const gw_response_case *with, const gw_position *point,
                               const gw_segment *from, double *h_mk_w, gw_err *err) GW_MUST_USE;

// Many points and many segments at once, several threads: change_k[point][time], row by row, for
// loads that start together at time zero.
typedef struct {
    const gw_segment *segments; // [segment_count]
    const double *load_w_m;     // [segment_count], or NULL: 1 W/m each
    size_t segment_count;
    const gw_position *points; // [point_count], z ≥ 0
    size_t point_count;
} gw_response_map;

gw_status gw_response_map_points(const gw_response_case *with, const gw_response_map *map,
                                 double *change_k, gw_err *err) GW_MUST_USE;

#endif
