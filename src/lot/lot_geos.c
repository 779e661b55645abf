// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The one file that knows GEOS. Traps of its C face, met here once: success is 1 in most
// functions; predicates are 0, 1 or 2 where 2 is an exception; constructors give NULL on an
// exception and take over the parts handed to them even when they fail. Every answer passes
// through held() or done(), which turn a failure into a gw_status with the library's message.
#include "lot/lot_geos.h"

#include "lot/plane.h"

#include <geos_c.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { LEAST_QUADRANT = 2, MOST_QUADRANT = 128, MESSAGE_SIZE = 200 };
static const double SAGITTA_M = 0.005; // most an arc and its chord may differ

// One call's context: the handle, the library's last message, the first failure.
typedef struct {
    GEOSContextHandle_t handle;
    gw_arena *arena; // for lists of handles and for results; NULL where there are none
    char message[MESSAGE_SIZE];
    gw_status status;
} session;

static void keep_message(const char *message, void *baton)
{
    session *const s = baton;
    snprintf(s->message, sizeof s->message, "%s", message);
}

static gw_status session_init(session *s, gw_arena *arena, gw_err *err)
{
    *s = (session){.handle = GEOS_init_r(), .arena = arena, .status = GW_OK};
    if (s->handle == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for the geometry library");
    }
    GEOSContext_setErrorMessageHandler_r(s->handle, keep_message, s);
    return GW_OK;
}

// Ends the session and reports its first failure, if any.
static gw_status session_end(session *s, gw_err *err)
{
    GEOS_finish_r(s->handle);
    if (s->status == GW_ERR_NOMEM) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for the geometry of the lot");
    }
    if (s->status != GW_OK) {
        return gw_fail(err, s->status, "lot", "the geometry library gave up: %s",
                       s->message[0] != '\0' ? s->message : "no reason given");
    }
    return GW_OK;
}

// For functions that give a pointer: NULL is a failure.
static bool held(session *s, const void *pointer)
{
    if (pointer == NULL && s->status == GW_OK) {
        s->status = GW_ERR_GEOMETRY;
    }
    return pointer != NULL;
}

// `count` empty places for geometries; NULL, and the failure kept, when there is no memory.
static GEOSGeometry **places(session *s, size_t count)
{
    GEOSGeometry **const out = gw_arena_alloc(s->arena, count, sizeof *out);
    if (out == NULL && s->status == GW_OK) {
        s->status = GW_ERR_NOMEM;
    }
    return out;
}

// For functions whose success is 1.
static bool done(session *s, int code)
{
    if (code != 1 && s->status == GW_OK) {
        s->status = GW_ERR_GEOMETRY;
    }
    return code == 1;
}

static void drop(session *s, GEOSGeometry *geometry)
{
    if (geometry != NULL) {
        GEOSGeom_destroy_r(s->handle, geometry);
    }
}

// ---- in --------------------------------------------------------------------------------------

static GEOSCoordSequence *sequence_of(session *s, const gw_lot_path *path)
{
    GEOSCoordSequence *const coords = GEOSCoordSeq_create_r(s->handle, (unsigned)path->count, 2);
    if (!held(s, coords)) {
        return NULL;
    }
    for (size_t i = 0; i < path->count; i++) {
        const gw_lot_point p = path->points[i];
        if (!done(s, GEOSCoordSeq_setXY_r(s->handle, coords, (unsigned)i, p.x_m, p.y_m))) {
            GEOSCoordSeq_destroy_r(s->handle, coords);
            return NULL;
        }
    }
    return coords;
}

static GEOSGeometry *ring_of(session *s, const gw_lot_path *path)
{
    GEOSCoordSequence *const coords = sequence_of(s, path);
    if (coords == NULL) {
        return NULL;
    }
    GEOSGeometry *const ring = GEOSGeom_createLinearRing_r(s->handle, coords);
    return held(s, ring) ? ring : NULL;
}

static GEOSGeometry *polygon_of(session *s, const gw_lot_path *outer, const gw_lot_path *holes,
                                size_t hole_count)
{
    GEOSGeometry **const inner = hole_count > 0 ? places(s, hole_count) : NULL;
    if (hole_count > 0 && inner == NULL) {
        return NULL;
    }
    GEOSGeometry *const shell = ring_of(s, outer);
    size_t made = 0;
    while (shell != NULL && made < hole_count) {
        inner[made] = ring_of(s, &holes[made]);
        if (inner[made] == NULL) {
            break;
        }
        made++;
    }
    if (shell != NULL && made == hole_count) {
        GEOSGeometry *const polygon =
            GEOSGeom_createPolygon_r(s->handle, shell, inner, (unsigned)hole_count);
        return held(s, polygon) ? polygon : NULL;
    }
    drop(s, shell);
    for (size_t h = 0; h < made; h++) {
        drop(s, inner[h]);
    }
    return NULL;
}

// The core of a shape: polygon, line or point.
static GEOSGeometry *core_of(session *s, const gw_lot_geometry *geometry)
{
    if (geometry->shape == GW_LOT_POLYGON) {
        return polygon_of(s, &geometry->path, NULL, 0);
    }
    GEOSCoordSequence *const coords = sequence_of(s, &geometry->path);
    if (coords == NULL) {
        return NULL;
    }
    GEOSGeometry *const core = geometry->shape == GW_LOT_LINE
                                   ? GEOSGeom_createLineString_r(s->handle, coords)
                                   : GEOSGeom_createPoint_r(s->handle, coords);
    return held(s, core) ? core : NULL;
}

// Collects geometries[0 … count-1] (all of one type, none NULL); they belong to the result.
static GEOSGeometry *collection_of(session *s, int type, GEOSGeometry **geometries, size_t count)
{
    GEOSGeometry *const all =
        GEOSGeom_createCollection_r(s->handle, type, geometries, (unsigned)count);
    return held(s, all) ? all : NULL;
}

// ---- out -------------------------------------------------------------------------------------

static bool path_out(session *s, const GEOSGeometry *ring, bool anticlockwise, gw_lot_path *out)
{
    const GEOSCoordSequence *const coords = GEOSGeom_getCoordSeq_r(s->handle, ring);
    unsigned size = 0;
    if (!held(s, coords) || !done(s, GEOSCoordSeq_getSize_r(s->handle, coords, &size))) {
        return false;
    }
    gw_lot_point *const points = gw_arena_alloc(s->arena, size, sizeof *points);
    if (points == NULL) {
        s->status = GW_ERR_NOMEM;
        return false;
    }
    for (unsigned i = 0; i < size; i++) {
        if (!done(s, GEOSCoordSeq_getXY_r(s->handle, coords, i, &points[i].x_m, &points[i].y_m))) {
            return false;
        }
    }
    *out = (gw_lot_path){points, size};
    if ((gw_lot_ring_area_m2(out) > 0) != anticlockwise) {
        for (size_t i = 0, j = size - 1; i < j; i++, j--) {
            const gw_lot_point keep = points[i];
            points[i] = points[j];
            points[j] = keep;
        }
    }
    return true;
}

static bool polygon_out(session *s, const GEOSGeometry *polygon, gw_lot_polygon *out)
{
    const GEOSGeometry *const shell = GEOSGetExteriorRing_r(s->handle, polygon);
    const int holes = GEOSGetNumInteriorRings_r(s->handle, polygon);
    if (!held(s, shell) || !done(s, holes >= 0) ||
        !done(s, GEOSArea_r(s->handle, polygon, &out->area_m2)) ||
        !path_out(s, shell, true, &out->outer)) {
        return false;
    }
    gw_lot_path *const rings = gw_arena_alloc(s->arena, (size_t)holes, sizeof *rings);
    if (rings == NULL) {
        s->status = GW_ERR_NOMEM;
        return false;
    }
    for (int h = 0; h < holes; h++) {
        const GEOSGeometry *const ring = GEOSGetInteriorRingN_r(s->handle, polygon, h);
        if (!held(s, ring) || !path_out(s, ring, false, &rings[h])) {
            return false;
        }
    }
    out->holes = rings;
    out->hole_count = (size_t)holes;
    return true;
}

// Largest first; equal areas from west to east, then south to north.
static int by_size(const void *left, const void *right)
{
    const gw_lot_polygon *const a = left;
    const gw_lot_polygon *const b = right;
    const gw_lot_point p = a->outer.points[0];
    const gw_lot_point q = b->outer.points[0];
    const double order = a->area_m2 != b->area_m2 ? b->area_m2 - a->area_m2
                         : p.x_m != q.x_m         ? p.x_m - q.x_m
                                                  : p.y_m - q.y_m;
    return (order > 0) - (order < 0);
}

// Every polygon of `geometry` that is not smaller than asked. Points and lines, which an
// intersection of touching grounds leaves behind, are no ground.
static bool region_out(session *s, const GEOSGeometry *geometry, double least_area_m2,
                       gw_lot_region *out)
{
    *out = (gw_lot_region){0};
    const int parts = GEOSGetNumGeometries_r(s->handle, geometry);
    if (!done(s, parts >= 0)) {
        return false;
    }
    gw_lot_polygon *const polygons = gw_arena_alloc(s->arena, (size_t)parts, sizeof *polygons);
    if (polygons == NULL) {
        s->status = GW_ERR_NOMEM;
        return false;
    }
    for (int i = 0; i < parts; i++) {
        const GEOSGeometry *const part = GEOSGetGeometryN_r(s->handle, geometry, i);
        double area_m2 = 0;
        if (!held(s, part) || !done(s, GEOSArea_r(s->handle, part, &area_m2))) {
            return false;
        }
        if (!(area_m2 > 0) || area_m2 < least_area_m2) {
            continue;
        }
        if (!polygon_out(s, part, &polygons[out->count])) {
            return false;
        }
        out->area_m2 += polygons[out->count++].area_m2;
    }
    qsort(polygons, out->count, sizeof *polygons, by_size);
    out->polygons = polygons;
    return true;
}

// ---- operations ------------------------------------------------------------------------------

gw_status gw_lot_geos_examine_ring(const gw_lot_path *ring, gw_lot_flaw *out, gw_err *err)
{
    session s;
    const gw_status st = session_init(&s, NULL, err);
    if (st != GW_OK) {
        return st;
    }
    *out = (gw_lot_flaw){.valid = true};
    GEOSGeometry *const polygon = polygon_of(&s, ring, NULL, 0);
    GEOSGeometry *place = NULL;
    char *reason = NULL;
    if (polygon != NULL) {
        const char answer = GEOSisValidDetail_r(s.handle, polygon, 0, &reason, &place);
        out->valid = answer == 1;
        (void)done(&s, answer == 0 || answer == 1);
    }
    if (!out->valid && place != NULL) {
        snprintf(out->reason, sizeof out->reason, "%s", reason != NULL ? reason : "invalid");
        (void)(done(&s, GEOSGeomGetX_r(s.handle, place, &out->at.x_m)) &&
               done(&s, GEOSGeomGetY_r(s.handle, place, &out->at.y_m)));
    }
    if (reason != NULL) {
        GEOSFree_r(s.handle, reason);
    }
    drop(&s, place);
    drop(&s, polygon);
    return session_end(&s, err);
}

// Chords in a quadrant of radius r so that chord and arc part by SAGITTA_M at most:
// r (1 - cos(π / 4q)) ≤ sagitta.
static int quadrant_chords(double radius_m)
{
    if (radius_m <= SAGITTA_M) {
        return LEAST_QUADRANT;
    }
    const double half_angle = acos(1 - SAGITTA_M / radius_m);
    const double chords = ceil(0.25 * acos(-1.0) / half_angle);
    return (int)fmin(fmax(chords, LEAST_QUADRANT), MOST_QUADRANT);
}

static GEOSGeometry *grown(session *s, const GEOSGeometry *core, double reach_m)
{
    GEOSGeometry *const out =
        GEOSBuffer_r(s->handle, core, reach_m, quadrant_chords(fabs(reach_m)));
    return held(s, out) ? out : NULL;
}

static GEOSGeometry *grown_blocker(session *s, const gw_lot_blocker *blocker)
{
    GEOSGeometry *const core = core_of(s, blocker->geometry);
    if (core == NULL || (blocker->reach_m == 0 && blocker->geometry->shape == GW_LOT_POLYGON)) {
        return core;
    }
    GEOSGeometry *const out = grown(s, core, blocker->reach_m);
    drop(s, core);
    return out;
}

static GEOSGeometry *inset_boundary(session *s, const gw_lot_cut *cut)
{
    GEOSGeometry *const whole = polygon_of(s, cut->boundary, NULL, 0);
    if (whole == NULL || cut->inset_m == 0) {
        return whole;
    }
    GEOSGeometry *const out = grown(s, whole, -cut->inset_m);
    drop(s, whole);
    return out;
}

// All blockers grown and made one.
static GEOSGeometry *blocked_ground(session *s, const gw_lot_cut *cut)
{
    GEOSGeometry **const parts = places(s, cut->count);
    if (parts == NULL) {
        return NULL;
    }
    size_t made = 0;
    while (made < cut->count) {
        parts[made] = grown_blocker(s, &cut->blockers[made]);
        if (parts[made] == NULL) {
            break;
        }
        made++;
    }
    GEOSGeometry *united = NULL;
    if (made == cut->count) {
        GEOSGeometry *const all = collection_of(s, GEOS_GEOMETRYCOLLECTION, parts, made);
        if (all != NULL) {
            united = GEOSUnaryUnion_r(s->handle, all);
            (void)held(s, united);
            drop(s, all);
        }
    } else {
        for (size_t i = 0; i < made; i++) {
            drop(s, parts[i]);
        }
    }
    return united;
}

gw_status gw_lot_geos_cut(gw_arena *arena, const gw_lot_cut *cut, gw_lot_region *out, gw_err *err)
{
    session s;
    const gw_status st = session_init(&s, arena, err);
    if (st != GW_OK) {
        return st;
    }
    GEOSGeometry *const lot = inset_boundary(&s, cut);
    GEOSGeometry *const blocked = lot != NULL ? blocked_ground(&s, cut) : NULL;
    if (blocked != NULL) {
        GEOSGeometry *const left = GEOSDifference_r(s.handle, lot, blocked);
        (void)(held(&s, left) && region_out(&s, left, cut->least_area_m2, out));
        drop(&s, left);
    }
    drop(&s, blocked);
    drop(&s, lot);
    return session_end(&s, err);
}

gw_status gw_lot_geos_shares(const gw_lot_cut *cut, double *taken_m2, double *inset_area_m2,
                             gw_err *err)
{
    session s;
    const gw_status st = session_init(&s, NULL, err);
    if (st != GW_OK) {
        return st;
    }
    GEOSGeometry *const lot = inset_boundary(&s, cut);
    bool going = lot != NULL && done(&s, GEOSArea_r(s.handle, lot, inset_area_m2));
    for (size_t i = 0; i < cut->count && going; i++) {
        GEOSGeometry *const shape = grown_blocker(&s, &cut->blockers[i]);
        GEOSGeometry *const part = shape != NULL ? GEOSIntersection_r(s.handle, lot, shape) : NULL;
        going = held(&s, part) && done(&s, GEOSArea_r(s.handle, part, &taken_m2[i]));
        drop(&s, part);
        drop(&s, shape);
    }
    drop(&s, lot);
    return session_end(&s, err);
}

static GEOSGeometry *multipolygon_of(session *s, const gw_lot_region *region)
{
    GEOSGeometry **const parts = places(s, region->count);
    if (parts == NULL) {
        return NULL;
    }
    size_t made = 0;
    while (made < region->count) {
        const gw_lot_polygon *const p = &region->polygons[made];
        parts[made] = polygon_of(s, &p->outer, p->holes, p->hole_count);
        if (parts[made] == NULL) {
            break;
        }
        made++;
    }
    GEOSGeometry *all = NULL;
    if (made == region->count) {
        all = collection_of(s, GEOS_MULTIPOLYGON, parts, made);
    } else {
        for (size_t i = 0; i < made; i++) {
            drop(s, parts[i]);
        }
    }
    return all;
}

gw_status gw_lot_geos_common(gw_arena *arena, const gw_lot_region *a, const gw_lot_region *b,
                             gw_lot_region *out, gw_err *err)
{
    session s;
    const gw_status st = session_init(&s, arena, err);
    if (st != GW_OK) {
        return st;
    }
    GEOSGeometry *const first = multipolygon_of(&s, a);
    GEOSGeometry *const second = first != NULL ? multipolygon_of(&s, b) : NULL;
    if (second != NULL) {
        GEOSGeometry *const both = GEOSIntersection_r(s.handle, first, second);
        (void)(held(&s, both) && region_out(&s, both, 0, out));
        drop(&s, both);
    }
    drop(&s, second);
    drop(&s, first);
    return session_end(&s, err);
}
