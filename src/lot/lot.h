// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The lot: its boundary and the things on it that a loop must stay clear of.
//
// It does not read files, know coordinate systems or repair anything: everything is in local
// metres, x to the east and y to the north, and a shape that is wrong is named, not mended.
// Distances are in setback.h, the ground left over in usable.h, broken distances in violation.h.
//
// Method: polygon validity after the OGC Simple Features rules (ISO 19125-1:2004, section 6.1.11),
// as the GEOS library tests them.
//
//   const gw_lot lot = {.boundary = {ring, 5}, .features = features, .count = 3};
//   gw_err_list_init(&faults, arena);
//   if (gw_lot_check(&lot, &faults, &err) != GW_OK) { … faults.items[0 … count-1] … }
#ifndef GW_LOT_LOT_H
#define GW_LOT_LOT_H

#include "base/arena.h"
#include "base/err.h"

#include <stdbool.h>
#include <stddef.h>

typedef struct gw_lot_point {
    double x_m; // east
    double y_m; // north
} gw_lot_point;

// A line through points, or a ring: a ring repeats its first point as its last.
typedef struct gw_lot_path {
    const gw_lot_point *points;
    size_t count;
} gw_lot_path;

typedef enum { GW_LOT_POLYGON, GW_LOT_LINE, GW_LOT_CIRCLE } gw_lot_shape;

// A filled ring, a line with a half width, or a disc about one point.
typedef struct gw_lot_geometry {
    gw_lot_shape shape;
    gw_lot_path path; // polygon: ring of 4 or more points; line: 2 or more; circle: 1, the centre
    double radius_m;  // circle: radius, ≥ 0; line: half its width, ≥ 0; polygon: 0
} gw_lot_geometry;

// kind, its name, shapes allowed (P polygon, L line, C circle), and whether all of it must lie
// inside the boundary (else it may cross it, as a service line or a driveway does).
#define GW_LOT_KIND_LIST(X)                                                                        \
    X(GW_LOT_HOUSE, "house", "P", true)                                                            \
    X(GW_LOT_BUILDING, "building", "P", true)                                                      \
    X(GW_LOT_SEPTIC_TANK, "septic_tank", "PC", true)                                               \
    X(GW_LOT_SEPTIC_FIELD, "septic_field", "P", true)                                              \
    X(GW_LOT_SEPTIC_RESERVE, "septic_reserve", "P", true)                                          \
    X(GW_LOT_WELL, "well", "C", true)                                                              \
    X(GW_LOT_DRIVEWAY, "driveway", "PL", false)                                                    \
    X(GW_LOT_TREE, "tree", "CP", false)                                                            \
    X(GW_LOT_WATER_LINE, "water_line", "L", false)                                                 \
    X(GW_LOT_SEWER_LINE, "sewer_line", "L", false)                                                 \
    X(GW_LOT_GAS_LINE, "gas_line", "L", false)                                                     \
    X(GW_LOT_POWER_LINE, "power_line", "L", false)                                                 \
    X(GW_LOT_TELECOM_LINE, "telecom_line", "L", false)                                             \
    X(GW_LOT_DRAIN, "drain", "LPC", false)                                                         \
    X(GW_LOT_EASEMENT, "easement", "PL", false)                                                    \
    X(GW_LOT_STEEP_SLOPE, "steep_slope", "P", false)                                               \
    X(GW_LOT_ROCK_OUTCROP, "rock_outcrop", "P", false)                                             \
    X(GW_LOT_POND, "pond", "P", false)                                                             \
    X(GW_LOT_WATERCOURSE, "watercourse", "LP", false)

// GW_LOT_PROPERTY_LINE is the boundary itself: rules name it, features may not be of this kind.
typedef enum {
#define X(kind, name, shapes, inside) kind,
    GW_LOT_KIND_LIST(X)
#undef X
        GW_LOT_PROPERTY_LINE,
    GW_LOT_KIND_COUNT
} gw_lot_kind;

typedef struct gw_lot_feature {
    const char *id; // not empty, unique on the lot
    gw_lot_kind kind;
    const char *name;    // as people call it; NULL or "" is replaced by the kind in messages
    const char *variant; // picks a rule made for a sort of this kind; NULL for the ordinary one
    gw_lot_geometry geometry;
    double depth_m; // of a line's axis, a tank's or field's bottom; ≥ 0, 0 when not known
    double raise_m; // finished less existing grade (raised septic bed); ≥ 0
    bool off_lot;   // on the neighbour's land, known to be outside the boundary
    const char *notes;
} gw_lot_feature;

typedef struct gw_lot {
    gw_lot_path boundary; // ring, either direction
    const gw_lot_feature *features;
    size_t count;
} gw_lot;

// "septic_field"; "property_line" for the boundary. Never NULL.
const char *gw_lot_kind_name(gw_lot_kind kind);

// The kind of that name, property_line included. GW_ERR_KEY suggests the nearest one.
gw_status gw_lot_kind_find(const char *name, gw_lot_kind *out, gw_err *err) GW_MUST_USE;

// Name for messages: the feature's own name, else its kind.
const char *gw_lot_feature_name(const gw_lot_feature *feature);

// Validates the whole lot and lists every fault found, each with the path of the value (as
// "lot.features[3].path[2]"), the feature's name and the place. Refused: numbers that are not
// finite or beyond ± 10 000 km, rings that are open, cross themselves or have no area, lines
// without length, negative widths, depths and radii, a shape that the kind cannot have, missing
// and repeated ids, and features outside the boundary that are not marked off_lot.
// Returns GW_OK, or the first fault's status with the fault in *err.
gw_status gw_lot_check(const gw_lot *lot, gw_err_list *faults, gw_err *err) GW_MUST_USE;

// Ground of any outline, as operations return it: outer rings run anticlockwise, holes clockwise,
// so that the ground is always on the left hand. All of it lives in the arena given.
typedef struct gw_lot_polygon {
    gw_lot_path outer;
    const gw_lot_path *holes;
    size_t hole_count;
    double area_m2;
} gw_lot_polygon;

typedef struct gw_lot_region {
    const gw_lot_polygon *polygons; // largest first
    size_t count;                   // 0: no ground at all
    double area_m2;                 // sum of the areas
} gw_lot_region;

#endif
