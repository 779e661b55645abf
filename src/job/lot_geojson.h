// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A lot from GeoJSON, and back.
//
// Taken: a FeatureCollection of Polygon, LineString and Point. "kind" in the properties says what a
// feature is: a kind of the lot room, "boundary" (exactly one, a Polygon) or "entry" (at most one
// Point). Further properties: name, variant, depth_m, raise_m, radius_m (of a Point; of a line half
// its width), off_lot, notes; "id" of the feature or in the properties. Other properties are
// ignored. Not taken, with the feature named: other geometries, holes, open rings, unknown kinds.
// Nothing is mended. Other formats of the trade are turned into GeoJSON first.
//
// Coordinates: longitude and latitude on WGS 84 (RFC 7946, also when "crs" names CRS84 or
// EPSG:4326); or metres, when "crs" says "metres", a UTM zone of WGS 84 (EPSG:326xx, 327xx) or of
// NAD 83 (EPSG:269xx). Any other system is refused. Degrees are put on the plane that touches the
// ellipsoid at the boundary's first corner, x east and y north; a distance s from there comes out
// short by s³/6R²: 0.5 µm at 500 m, 0.5 mm at 5 km. UTM metres keep their zone's scale (up to
// 0.04 % short).
//
//   gw_lot_geojson read;
//   st = gw_lot_from_geojson(arena, text, length, &read, err);
//   st = gw_lot_to_geojson(arena, &read.lot, &read.frame, &text, err);
#ifndef GW_JOB_LOT_GEOJSON_H
#define GW_JOB_LOT_GEOJSON_H

#include "job/job.h"

// Where the lot's origin lies.
typedef struct {
    bool geographic;      // longitude and latitude; else metres
    double longitude_deg; // when geographic
    double latitude_deg;  //
    double x_m, y_m;      // when not: origin in the coordinates of the file
    const char *crs;      // name as found, or NULL
} gw_lot_frame;

typedef struct {
    gw_job_lot lot; // boundary, features and entry; the rest as of an empty lot
    bool has_entry;
    gw_lot_frame frame;
} gw_lot_geojson;

// Errors: GW_ERR_SYNTAX, GW_ERR_TYPE, GW_ERR_KEY (kind, coordinate system), GW_ERR_MISSING (no
// boundary), GW_ERR_RANGE, GW_ERR_GEOMETRY, with line and column of the value; GW_ERR_NOMEM.
gw_status gw_lot_from_geojson(gw_arena *arena, const char *text, size_t length, gw_lot_geojson *out,
                              gw_err *err) GW_MUST_USE;

// Text in the frame's coordinates; entry included. Errors: GW_ERR_NOMEM.
gw_status gw_lot_to_geojson(gw_arena *arena, const gw_job_lot *lot, const gw_lot_frame *frame,
                            const char **out, gw_err *err) GW_MUST_USE;

// One point into the frame and out of it.
gw_lot_point gw_lot_frame_to_local(const gw_lot_frame *frame, double first, double second);
void gw_lot_frame_from_local(const gw_lot_frame *frame, gw_lot_point point, double out[2]);

#endif
