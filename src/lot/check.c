// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What can be wrong with a lot, in full.
#include "lot/kinds.h"
#include "lot/lot.h"
#include "lot/lot_geos.h"
#include "lot/plane.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { PATH_SIZE = 100 };
static const double FARTHEST_M = 1e7; // no plane coordinate on Earth is larger
static const double CLOSED_M = 1e-6;
static const double LEAST_AREA_M2 = 1e-6;
static const double OUTSIDE_M = 0.01; // survey slack: a wall drawn on the line is not outside

// Where faults go, and what is being looked at.
typedef struct {
    gw_err_list *faults;
    const char *name; // of the feature, or "the boundary"
    char path[PATH_SIZE];
    bool sound; // shape fit for the geometry library
} inspection;

#define FAULT(in, code, member, ...)                                                               \
    do {                                                                                           \
        gw_err fault_ = {0};                                                                       \
        char field_[GW_ERR_FIELD_SIZE];                                                            \
        snprintf(field_, sizeof field_, "%s%s", (in)->path, member);                               \
        (void)gw_fail(&fault_, code, field_, __VA_ARGS__);                                         \
        const gw_status added_ = gw_err_list_add((in)->faults, &fault_);                           \
        if (added_ != GW_OK) {                                                                     \
            return added_;                                                                         \
        }                                                                                          \
    } while (0)

static bool is_place(gw_lot_point p)
{
    return fabs(p.x_m) <= FARTHEST_M && fabs(p.y_m) <= FARTHEST_M;
}

static gw_status check_points(inspection *in, const gw_lot_path *path)
{
    for (size_t i = 0; i < path->count; i++) {
        if (!is_place(path->points[i])) {
            char member[40];
            snprintf(member, sizeof member, ".path[%zu]", i);
            in->sound = false;
            FAULT(in, GW_ERR_RANGE, member,
                  "%s: point %zu (%g, %g) must be two finite numbers within ±1e7 m", in->name,
                  i + 1, path->points[i].x_m, path->points[i].y_m);
        }
    }
    return GW_OK;
}

static gw_status check_ring_shape(inspection *in, const gw_lot_path *ring, gw_err *err)
{
    gw_lot_flaw flaw;
    const gw_status st = gw_lot_geos_examine_ring(ring, &flaw, err);
    if (st != GW_OK) {
        return st;
    }
    if (!flaw.valid) {
        in->sound = false;
        const char *const what = strcmp(flaw.reason, "Self-intersection") == 0 ? "crosses itself"
                                 : strcmp(flaw.reason, "Ring Self-intersection") == 0
                                     ? "touches itself"
                                     : flaw.reason;
        FAULT(in, GW_ERR_GEOMETRY, ".path", "%s %s at (%.2f, %.2f) m", in->name, what, flaw.at.x_m,
              flaw.at.y_m);
    } else if (!(fabs(gw_lot_ring_area_m2(ring)) > LEAST_AREA_M2)) {
        in->sound = false;
        FAULT(in, GW_ERR_GEOMETRY, ".path", "%s encloses no area", in->name);
    }
    return GW_OK;
}

static gw_status check_ring(inspection *in, const gw_lot_path *ring, gw_err *err)
{
    if (ring->count < 4) {
        in->sound = false;
        FAULT(
            in, GW_ERR_GEOMETRY, ".path",
            "%s has %zu points; a closed outline needs at least 4, the first repeated as the last",
            in->name, ring->count);
        return GW_OK;
    }
    if (!in->sound) {
        return GW_OK;
    }
    const gw_lot_point first = ring->points[0];
    const gw_lot_point last = ring->points[ring->count - 1];
    const double open_m = gw_lot_distance_m(first, last);
    if (open_m > CLOSED_M) {
        in->sound = false;
        FAULT(in, GW_ERR_GEOMETRY, ".path",
              "%s is not closed: it starts at (%.2f, %.2f) m and ends %.3f m away", in->name,
              first.x_m, first.y_m, open_m);
        return GW_OK;
    }
    return check_ring_shape(in, ring, err);
}

static gw_status check_line(inspection *in, const gw_lot_path *line)
{
    if (line->count < 2) {
        in->sound = false;
        FAULT(in, GW_ERR_GEOMETRY, ".path", "%s has %zu points; a line needs at least 2", in->name,
              line->count);
    } else if (in->sound && !(gw_lot_path_length_m(line) > 0)) {
        in->sound = false;
        FAULT(in, GW_ERR_GEOMETRY, ".path", "%s has no length", in->name);
    }
    return GW_OK;
}

static gw_status check_amount(inspection *in, const char *member, double value_m)
{
    if (!(value_m >= 0 && value_m <= FARTHEST_M)) {
        FAULT(in, GW_ERR_RANGE, member, "%s: %s %g m must be 0 or more", in->name, member + 1,
              value_m);
    }
    return GW_OK;
}

static gw_status check_geometry(inspection *in, const gw_lot_feature *feature, gw_err *err)
{
    static const char *const SHAPES[] = {"polygon", "line", "circle"};
    const gw_lot_geometry *const g = &feature->geometry;
    if (!gw_lot_kind_takes(feature->kind, g->shape)) {
        in->sound = false;
        FAULT(in, GW_ERR_GEOMETRY, ".geometry", "%s: a %s cannot be drawn as a %s", in->name,
              gw_lot_kind_name(feature->kind),
              (unsigned)g->shape < 3 ? SHAPES[g->shape] : "shape of unknown kind");
        return GW_OK;
    }
    gw_status st = check_points(in, &g->path);
    if (st != GW_OK) {
        return st;
    }
    if (g->shape == GW_LOT_POLYGON) {
        st = check_ring(in, &g->path, err);
        if (st == GW_OK && g->radius_m != 0) {
            in->sound = false;
            FAULT(in, GW_ERR_RANGE, ".radius_m", "%s: an area has no radius", in->name);
        }
        return st;
    }
    if (!(g->radius_m >= 0 && g->radius_m <= FARTHEST_M)) {
        in->sound = false;
    }
    st = check_amount(in, ".radius_m", g->radius_m);
    if (st != GW_OK) {
        return st;
    }
    if (g->shape == GW_LOT_LINE) {
        return check_line(in, &g->path);
    }
    if (g->path.count != 1) {
        in->sound = false;
        FAULT(in, GW_ERR_GEOMETRY, ".path", "%s: a circle has one centre, not %zu", in->name,
              g->path.count);
    }
    return GW_OK;
}

// Kinds that must lie wholly inside are tested whole; the others must at least reach the lot.
static gw_status check_inside(inspection *in, const gw_lot *lot, const gw_lot_feature *feature)
{
    const gw_lot_geometry core = {feature->geometry.shape, feature->geometry.path, 0};
    gw_lot_gap gap;
    if (gw_lot_kind_stays_inside(feature->kind)) {
        gw_lot_measure_inside_gap(&core, &lot->boundary, &gap);
        if (gap.gap_m < -OUTSIDE_M) {
            FAULT(in, GW_ERR_GEOMETRY, ".path",
                  "%s reaches %.2f m outside the boundary at (%.2f, %.2f) m; mark it off_lot if it "
                  "is the neighbour's",
                  in->name, -gap.gap_m, gap.on_a.x_m, gap.on_a.y_m);
        }
        return GW_OK;
    }
    const gw_lot_geometry whole = {GW_LOT_POLYGON, lot->boundary, 0};
    gw_lot_measure_gap(&feature->geometry, &whole, &gap);
    if (gap.gap_m > OUTSIDE_M) {
        FAULT(in, GW_ERR_GEOMETRY, ".path",
              "%s lies %.2f m outside the boundary near (%.2f, %.2f) m; mark it off_lot if it is "
              "the neighbour's",
              in->name, gap.gap_m, gap.on_a.x_m, gap.on_a.y_m);
    }
    return GW_OK;
}

static gw_status check_id(inspection *in, const gw_lot *lot, size_t index)
{
    const char *const id = lot->features[index].id;
    if (id == NULL || id[0] == '\0') {
        FAULT(in, GW_ERR_MISSING, ".id", "%s has no id", in->name);
        return GW_OK;
    }
    for (size_t i = 0; i < index; i++) {
        if (lot->features[i].id != NULL && strcmp(lot->features[i].id, id) == 0) {
            FAULT(in, GW_ERR_KEY, ".id", "%s: the id \"%s\" is already taken by features[%zu]",
                  in->name, id, i);
            break;
        }
    }
    return GW_OK;
}

static gw_status check_feature(gw_err_list *faults, const gw_lot *lot, size_t index,
                               bool boundary_sound, gw_err *err)
{
    const gw_lot_feature *const feature = &lot->features[index];
    inspection in = {.faults = faults, .sound = true};
    snprintf(in.path, sizeof in.path, "lot.features[%zu]", index);
    if ((unsigned)feature->kind >= GW_LOT_PROPERTY_LINE) {
        in.name = feature->name != NULL ? feature->name : "feature";
        FAULT(&in, GW_ERR_KEY, ".kind", "%s: not a kind of feature", in.name);
        return GW_OK;
    }
    in.name = gw_lot_feature_name(feature);
    gw_status st = check_id(&in, lot, index);
    if (st == GW_OK) {
        st = check_geometry(&in, feature, err);
    }
    if (st == GW_OK) {
        st = check_amount(&in, ".depth_m", feature->depth_m);
    }
    if (st == GW_OK) {
        st = check_amount(&in, ".raise_m", feature->raise_m);
    }
    if (st == GW_OK && in.sound && boundary_sound && !feature->off_lot) {
        st = check_inside(&in, lot, feature);
    }
    return st;
}

gw_status gw_lot_check(const gw_lot *lot, gw_err_list *faults, gw_err *err)
{
    const size_t before = faults->count;
    inspection in = {
        .faults = faults, .name = "the boundary", .path = "lot.boundary", .sound = true};
    gw_status st = check_points(&in, &lot->boundary);
    if (st == GW_OK) {
        st = check_ring(&in, &lot->boundary, err);
    }
    for (size_t i = 0; i < lot->count && st == GW_OK; i++) {
        st = check_feature(faults, lot, i, in.sound, err);
    }
    if (st == GW_ERR_NOMEM) {
        return gw_fail(err, GW_ERR_NOMEM, "lot", "no memory for the list of faults");
    }
    if (st != GW_OK || faults->count == before) {
        return st;
    }
    if (err != NULL) {
        *err = faults->items[before];
    }
    return faults->items[before].code;
}
