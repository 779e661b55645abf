// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "job/lot_geojson.h"

#include "job/node.h"
#include "job/sink.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double PI = 3.14159265358979323846;
// WGS 84 (NIMA TR8350.2, 2000): semi-major axis and first eccentricity squared.
static const double AXIS_M = 6378137.0;
static const double ECCENTRICITY2 = 6.69437999014e-3;
static const double FARTHEST_M = 5000.0;

// ---- frame --------------------------------------------------------------------------------------

typedef struct {
    double x, y, z;
} earth_point; // on the ellipsoid, Earth-centred

static earth_point on_earth(double longitude_deg, double latitude_deg)
{
    const double lambda = longitude_deg * PI / 180.0;
    const double phi = latitude_deg * PI / 180.0;
    const double n_m = AXIS_M / sqrt(1.0 - ECCENTRICITY2 * sin(phi) * sin(phi));
    return (earth_point){n_m * cos(phi) * cos(lambda), n_m * cos(phi) * sin(lambda),
                         n_m * (1.0 - ECCENTRICITY2) * sin(phi)};
}

gw_lot_point gw_lot_frame_to_local(const gw_lot_frame *f, double first, double second)
{
    if (!f->geographic) {
        return (gw_lot_point){first - f->x_m, second - f->y_m};
    }
    const earth_point o = on_earth(f->longitude_deg, f->latitude_deg);
    const earth_point p = on_earth(first, second);
    const double lambda = f->longitude_deg * PI / 180.0;
    const double phi = f->latitude_deg * PI / 180.0;
    const double dx = p.x - o.x;
    const double dy = p.y - o.y;
    const double dz = p.z - o.z;
    return (gw_lot_point){-sin(lambda) * dx + cos(lambda) * dy,
                          -sin(phi) * (cos(lambda) * dx + sin(lambda) * dy) + cos(phi) * dz};
}

// Newton with the radii of curvature at the origin: two or three rounds at the scale of a lot.
void gw_lot_frame_from_local(const gw_lot_frame *f, gw_lot_point point, double out[2])
{
    if (!f->geographic) {
        out[0] = point.x_m + f->x_m;
        out[1] = point.y_m + f->y_m;
        return;
    }
    enum { ROUNDS = 6 };
    const double phi = f->latitude_deg * PI / 180.0;
    const double w2 = 1.0 - ECCENTRICITY2 * sin(phi) * sin(phi);
    const double east_m = AXIS_M / sqrt(w2) * cos(phi);
    const double north_m = AXIS_M * (1.0 - ECCENTRICITY2) / (w2 * sqrt(w2));
    out[0] = f->longitude_deg;
    out[1] = f->latitude_deg;
    for (int i = 0; i < ROUNDS; i++) {
        const gw_lot_point now = gw_lot_frame_to_local(f, out[0], out[1]);
        out[0] += (point.x_m - now.x_m) / east_m * 180.0 / PI;
        out[1] += (point.y_m - now.y_m) / north_m * 180.0 / PI;
    }
}

// ---- reading ------------------------------------------------------------------------------------

typedef struct {
    gw_arena *arena;
    gw_lot_geojson *out;
    const gw_node *boundary; // its ring
    gw_err *err;
} reader;

static gw_status fail_at(reader *r, const gw_node *node, gw_status code, const char *text)
{
    const gw_status st = gw_fail(r->err, code, "geojson", "%s", text != NULL ? text : "");
    if (r->err != NULL && node != NULL) {
        r->err->line = node->line;
        r->err->column = node->column;
    }
    return st;
}

static gw_status no_memory(reader *r)
{
    return gw_fail(r->err, GW_ERR_NOMEM, "geojson", "out of memory reading the lot");
}

static const char *text_or(const gw_node *object, const char *key, const char *other)
{
    const gw_node *const node = gw_node_member(object, key);
    return node != NULL && node->type == GW_NODE_TEXT ? node->text : other;
}

// A number of the properties, 0 when it is not there.
static gw_status number_of(reader *r, const gw_node *properties, const char *key, double *out)
{
    const gw_node *const node = gw_node_member(properties, key);
    *out = 0.0;
    if (node == NULL || node->type == GW_NODE_NULL) {
        return GW_OK;
    }
    if (node->type != GW_NODE_NUMBER) {
        char shown[60];
        return fail_at(r, node, GW_ERR_TYPE,
                       gw_arena_printf(r->arena, "found \"%s\": %s, expected a number in metres",
                                       key, gw_node_print(node, shown, sizeof shown)));
    }
    *out = node->number;
    return GW_OK;
}

// "urn:ogc:def:crs:EPSG::32619", "EPSG:32619": the number after the last colon.
static long epsg_of(const char *name)
{
    const char *const last = strrchr(name, ':');
    return strstr(name, "EPSG") != NULL && last != NULL ? strtol(last + 1, NULL, 10) : 0;
}

static gw_status read_crs(reader *r, const gw_node *root)
{
    gw_lot_frame *const f = &r->out->frame;
    f->geographic = true;
    const gw_node *const crs = gw_node_member(root, "crs");
    if (crs == NULL || crs->type == GW_NODE_NULL) {
        return GW_OK;
    }
    const char *const name = crs->type == GW_NODE_TEXT
                                 ? crs->text
                                 : text_or(gw_node_member(crs, "properties"), "name", "");
    const long code = epsg_of(name);
    const bool utm = (code >= 32601 && code <= 32660) || (code >= 32701 && code <= 32760) ||
                     (code >= 26901 && code <= 26923);
    f->crs = name;
    if (strstr(name, "CRS84") != NULL || code == 4326) {
        return GW_OK;
    }
    f->geographic = false;
    if (utm || strcmp(name, "metres") == 0) {
        return GW_OK;
    }
    return fail_at(r, crs, GW_ERR_KEY,
                   gw_arena_printf(r->arena,
                                   "found the coordinate system \"%.60s\", expected longitude and "
                                   "latitude (CRS84, EPSG:4326), a UTM zone (EPSG:326xx, 327xx, "
                                   "269xx) or \"metres\"",
                                   name));
}

static gw_status read_position(reader *r, const gw_node *node, const char *name, double out[2])
{
    if (node->type != GW_NODE_LIST || node->count < 2 || node->items[0].type != GW_NODE_NUMBER ||
        node->items[1].type != GW_NODE_NUMBER) {
        return fail_at(
            r, node, GW_ERR_TYPE,
            gw_arena_printf(r->arena, "%.60s: expected a position of two numbers", name));
    }
    out[0] = node->items[0].number;
    out[1] = node->items[1].number;
    const bool inside = fabs(out[0]) <= 180.0 && fabs(out[1]) <= 89.0;
    if (r->out->frame.geographic && !inside) {
        return fail_at(r, node, GW_ERR_RANGE,
                       gw_arena_printf(r->arena,
                                       "%.60s: found (%g, %g), expected longitude and latitude in "
                                       "degrees; metres need a \"crs\" that says so",
                                       name, out[0], out[1]));
    }
    return GW_OK;
}

static gw_status read_point(reader *r, const gw_node *node, const char *name, gw_lot_point *out)
{
    double at[2];
    const gw_status st = read_position(r, node, name, at);
    if (st != GW_OK) {
        return st;
    }
    *out = gw_lot_frame_to_local(&r->out->frame, at[0], at[1]);
    if (!(fabs(out->x_m) <= FARTHEST_M && fabs(out->y_m) <= FARTHEST_M)) {
        return fail_at(r, node, GW_ERR_RANGE,
                       gw_arena_printf(r->arena,
                                       "%.60s: lies %.0f m east and %.0f m north of the "
                                       "boundary's first corner, expected a lot within 5 km",
                                       name, out->x_m, out->y_m));
    }
    return GW_OK;
}

static gw_status read_path(reader *r, const gw_node *list, const char *name, gw_lot_path *out)
{
    if (list == NULL || list->type != GW_NODE_LIST || list->count == 0) {
        return fail_at(r, list, GW_ERR_TYPE,
                       gw_arena_printf(r->arena, "%.60s: expected a list of positions", name));
    }
    gw_lot_point *const points = gw_arena_alloc(r->arena, list->count, sizeof *points);
    if (points == NULL) {
        return no_memory(r);
    }
    gw_status st = GW_OK;
    for (size_t i = 0; st == GW_OK && i < list->count; i++) {
        st = read_point(r, &list->items[i], name, &points[i]);
    }
    *out = (gw_lot_path){points, list->count};
    return st;
}

// The outer ring of a Polygon.
static gw_status ring_of(reader *r, const gw_node *geometry, const char *name, const gw_node **out)
{
    const gw_node *const rings = gw_node_member(geometry, "coordinates");
    if (rings == NULL || rings->type != GW_NODE_LIST || rings->count == 0) {
        return fail_at(r, geometry, GW_ERR_TYPE,
                       gw_arena_printf(r->arena, "%.60s: expected the rings of a polygon", name));
    }
    if (rings->count > 1) {
        return fail_at(r, &rings->items[1], GW_ERR_GEOMETRY,
                       gw_arena_printf(r->arena,
                                       "%.60s has a hole, which a lot does not know: "
                                       "draw what lies in it as a feature",
                                       name));
    }
    *out = &rings->items[0];
    return GW_OK;
}

static gw_status read_geometry(reader *r, const gw_node *feature, const char *name,
                               gw_lot_geometry *out)
{
    const gw_node *const geometry = gw_node_member(feature, "geometry");
    const gw_node *const coordinates = gw_node_member(geometry, "coordinates");
    const char *const type = text_or(geometry, "type", "");
    if (strcmp(type, "Polygon") == 0) {
        const gw_node *ring = NULL;
        const gw_status st = ring_of(r, geometry, name, &ring);
        out->shape = GW_LOT_POLYGON;
        return st == GW_OK ? read_path(r, ring, name, &out->path) : st;
    }
    if (strcmp(type, "LineString") == 0) {
        out->shape = GW_LOT_LINE;
        return read_path(r, coordinates, name, &out->path);
    }
    if (strcmp(type, "Point") == 0 && coordinates != NULL) {
        gw_lot_point *const centre = gw_arena_alloc(r->arena, 1, sizeof *centre);
        if (centre == NULL) {
            return no_memory(r);
        }
        out->shape = GW_LOT_CIRCLE;
        out->path = (gw_lot_path){centre, 1};
        return read_point(r, coordinates, name, centre);
    }
    return fail_at(r, geometry != NULL ? geometry : feature, GW_ERR_TYPE,
                   gw_arena_printf(r->arena,
                                   "%.60s: found geometry \"%.30s\", expected Polygon, LineString "
                                   "or Point",
                                   name, type));
}

static gw_status read_feature(reader *r, const gw_node *node, size_t index, gw_lot_feature *out)
{
    const gw_node *const p = gw_node_member(node, "properties");
    const char *const kind = text_or(p, "kind", NULL);
    const char *const id = text_or(node, "id", text_or(p, "id", NULL));
    *out = (gw_lot_feature){
        .id = id != NULL ? id : gw_arena_printf(r->arena, "feature-%zu", index + 1),
        .name = text_or(p, "name", NULL),
        .variant = text_or(p, "variant", NULL),
        .notes = text_or(p, "notes", NULL),
    };
    const gw_node *const off_lot = gw_node_member(p, "off_lot");
    out->off_lot = off_lot != NULL && off_lot->yes;
    const char *const name = out->name != NULL ? out->name : out->id;
    if (out->id == NULL || name == NULL) {
        return no_memory(r);
    }
    if (kind == NULL) {
        return fail_at(r, p != NULL ? p : node, GW_ERR_MISSING,
                       gw_arena_printf(r->arena,
                                       "%.60s: found no \"kind\" in its properties, expected "
                                       "\"boundary\", \"entry\" or a kind of feature",
                                       name));
    }
    gw_err unknown = {0};
    if (gw_lot_kind_find(kind, &out->kind, &unknown) != GW_OK) {
        return fail_at(r, gw_node_member(p, "kind"), GW_ERR_KEY,
                       gw_arena_printf(r->arena, "%.60s: %s", name, unknown.text));
    }
    const struct {
        const char *key;
        double *value;
    } numbers[] = {{"depth_m", &out->depth_m},
                   {"raise_m", &out->raise_m},
                   {"radius_m", &out->geometry.radius_m}};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        const gw_status st = number_of(r, p, numbers[i].key, numbers[i].value);
        if (st != GW_OK) {
            return st;
        }
    }
    return read_geometry(r, node, name, &out->geometry);
}

static bool is_kind(const gw_node *feature, const char *kind)
{
    return strcmp(text_or(gw_node_member(feature, "properties"), "kind", ""), kind) == 0;
}

// The frame's origin is the boundary's first corner; metres within 5 km of zero stay as they are.
static gw_status place_frame(reader *r, const gw_node *features)
{
    gw_lot_frame *const f = &r->out->frame;
    for (size_t i = 0; i < features->count; i++) {
        const gw_node *const node = &features->items[i];
        if (!is_kind(node, "boundary")) {
            continue;
        }
        if (r->boundary != NULL) {
            return fail_at(r, node, GW_ERR_KEY, "found a second boundary, expected one");
        }
        const gw_node *const geometry = gw_node_member(node, "geometry");
        if (strcmp(text_or(geometry, "type", ""), "Polygon") != 0) {
            return fail_at(r, node, GW_ERR_TYPE, "the boundary: expected a Polygon");
        }
        gw_status st = ring_of(r, geometry, "the boundary", &r->boundary);
        if (st != GW_OK || r->boundary->type != GW_NODE_LIST || r->boundary->count == 0) {
            return st != GW_OK ? st
                               : fail_at(r, geometry, GW_ERR_TYPE,
                                         "the boundary: expected a list of positions");
        }
        double at[2];
        st = read_position(r, &r->boundary->items[0], "the boundary", at);
        if (st != GW_OK) {
            return st;
        }
        const bool keep = fabs(at[0]) <= FARTHEST_M && fabs(at[1]) <= FARTHEST_M;
        f->longitude_deg = f->geographic ? at[0] : 0.0;
        f->latitude_deg = f->geographic ? at[1] : 0.0;
        f->x_m = f->geographic || keep ? 0.0 : at[0];
        f->y_m = f->geographic || keep ? 0.0 : at[1];
    }
    return r->boundary != NULL ? GW_OK
                               : fail_at(r, features, GW_ERR_MISSING,
                                         "found no feature of kind \"boundary\", expected one");
}

static gw_status read_features(reader *r, const gw_node *list)
{
    gw_lot_feature *const features = gw_arena_alloc(r->arena, list->count + 1, sizeof *features);
    if (features == NULL) {
        return no_memory(r);
    }
    gw_lot *const lot = &r->out->lot.lot;
    gw_status st = read_path(r, r->boundary, "the boundary", &lot->boundary);
    for (size_t i = 0; st == GW_OK && i < list->count; i++) {
        const gw_node *const node = &list->items[i];
        if (is_kind(node, "boundary")) {
            continue;
        }
        if (is_kind(node, "entry")) {
            const gw_node *const at =
                gw_node_member(gw_node_member(node, "geometry"), "coordinates");
            r->out->has_entry = true;
            st = at != NULL ? read_point(r, at, "the entry", &r->out->lot.entry)
                            : fail_at(r, node, GW_ERR_TYPE, "the entry: expected a Point");
            continue;
        }
        st = read_feature(r, node, i, &features[lot->count]);
        lot->count += st == GW_OK ? 1 : 0;
    }
    lot->features = features;
    return st;
}

gw_status gw_lot_from_geojson(gw_arena *arena, const char *text, size_t length, gw_lot_geojson *out,
                              gw_err *err)
{
    *out = (gw_lot_geojson){.lot.jurisdiction = "typical"};
    const gw_node *root = NULL;
    reader r = {.arena = arena, .out = out, .err = err};
    gw_status st = gw_node_read(arena, text, length, &root, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_node *const features = gw_node_member(root, "features");
    if (strcmp(text_or(root, "type", ""), "FeatureCollection") != 0 || features == NULL ||
        features->type != GW_NODE_LIST) {
        return fail_at(&r, root, GW_ERR_TYPE, "expected a FeatureCollection");
    }
    st = read_crs(&r, root);
    if (st == GW_OK) {
        st = place_frame(&r, features);
    }
    if (st == GW_OK) {
        st = read_features(&r, features);
    }
    if (st != GW_OK) {
        return st;
    }
    gw_err_list faults;
    gw_err_list_init(&faults, arena);
    return gw_lot_check(&out->lot.lot, &faults, err);
}

// ---- writing ------------------------------------------------------------------------------------

static void put_position(gw_sink *sink, const gw_lot_frame *frame, gw_lot_point p)
{
    double at[2];
    gw_lot_frame_from_local(frame, p, at);
    // 1e-9 degree is 0.1 mm on the ground.
    gw_sink_printf(sink, frame->geographic ? "[%.9f, %.9f]" : "[%.4f, %.4f]", at[0], at[1]);
}

static void put_path(gw_sink *sink, const gw_lot_frame *frame, const gw_lot_path *path)
{
    gw_sink_put(sink, "[");
    for (size_t i = 0; i < path->count; i++) {
        gw_sink_put(sink, i > 0 ? ", " : "");
        put_position(sink, frame, path->points[i]);
    }
    gw_sink_put(sink, "]");
}

static void put_geometry(gw_sink *sink, const gw_lot_frame *frame, const gw_lot_geometry *g)
{
    static const char *const TYPES[] = {"Polygon", "LineString", "Point"};
    gw_sink_printf(sink, "\"geometry\": {\"type\": \"%s\", \"coordinates\": ", TYPES[g->shape]);
    if (g->shape == GW_LOT_CIRCLE) {
        put_position(sink, frame, g->path.points[0]);
    } else {
        gw_sink_put(sink, g->shape == GW_LOT_POLYGON ? "[" : "");
        put_path(sink, frame, &g->path);
        gw_sink_put(sink, g->shape == GW_LOT_POLYGON ? "]" : "");
    }
    gw_sink_put(sink, "}}");
}

static void put_text(gw_sink *sink, const char *key, const char *text)
{
    if (text != NULL && text[0] != '\0') {
        gw_sink_printf(sink, ", \"%s\": ", key);
        gw_sink_json_string(sink, text);
    }
}

static void put_number(gw_sink *sink, const char *key, double value)
{
    if (value != 0.0) {
        gw_sink_printf(sink, ", \"%s\": ", key);
        gw_sink_number(sink, value);
    }
}

static void put_feature(gw_sink *sink, const gw_lot_frame *frame, const gw_lot_feature *f)
{
    gw_sink_put(sink, ",\n  {\"type\": \"Feature\", \"id\": ");
    gw_sink_json_string(sink, f->id);
    gw_sink_printf(sink, ", \"properties\": {\"kind\": \"%s\"", gw_lot_kind_name(f->kind));
    put_text(sink, "name", f->name);
    put_text(sink, "variant", f->variant);
    put_text(sink, "notes", f->notes);
    put_number(sink, "depth_m", f->depth_m);
    put_number(sink, "raise_m", f->raise_m);
    put_number(sink, "radius_m", f->geometry.radius_m);
    gw_sink_put(sink, f->off_lot ? ", \"off_lot\": true}, " : "}, ");
    put_geometry(sink, frame, &f->geometry);
}

gw_status gw_lot_to_geojson(gw_arena *arena, const gw_job_lot *lot, const gw_lot_frame *frame,
                            const char **out, gw_err *err)
{
    gw_sink sink = {.arena = arena};
    gw_sink_put(&sink, "{\"type\": \"FeatureCollection\",\n");
    if (!frame->geographic) {
        gw_sink_put(&sink, " \"crs\": {\"type\": \"name\", \"properties\": {\"name\": ");
        gw_sink_json_string(&sink, frame->crs != NULL ? frame->crs : "metres");
        gw_sink_put(&sink, "}},\n");
    }
    const gw_lot_geometry outline = {.shape = GW_LOT_POLYGON, .path = lot->lot.boundary};
    const gw_lot_geometry entry = {.shape = GW_LOT_CIRCLE, .path = {&lot->entry, 1}};
    gw_sink_put(&sink, " \"features\": [\n  {\"type\": \"Feature\", \"properties\": {\"kind\": "
                       "\"boundary\"}, ");
    put_geometry(&sink, frame, &outline);
    gw_sink_put(&sink, ",\n  {\"type\": \"Feature\", \"properties\": {\"kind\": \"entry\"}, ");
    put_geometry(&sink, frame, &entry);
    for (size_t i = 0; i < lot->lot.count; i++) {
        put_feature(&sink, frame, &lot->lot.features[i]);
    }
    gw_sink_put(&sink, "\n ]}\n");
    *out = gw_sink_text(&sink);
    return *out != NULL ? GW_OK
                        : gw_fail(err, GW_ERR_NOMEM, "geojson", "out of memory writing the lot");
}
