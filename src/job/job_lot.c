// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Tables of the lot. What a lot must be is the lot room's own check.
#include "job/form_priv.h"
#include "job/job_priv.h"

#include <stdio.h>
#include <string.h>

#define POINT(member) GW_FORM_AT(gw_lot_point, member)
#define FEATURE(member) GW_FORM_AT(gw_lot_feature, member)
#define SETBACK(member) GW_FORM_AT(gw_job_setback, member)
#define RIG(member) GW_FORM_AT(gw_lot_rig, member)
#define LANE(member) GW_FORM_AT(gw_job_lane, member)
#define LOT(member) GW_FORM_AT(gw_job_lot, member)

static const char *const KIND_WORDS[] = {
#define X(kind, name, shapes, inside) name,
    GW_LOT_KIND_LIST(X)
#undef X
        "property_line"};
static const char *const SHAPE_WORDS[] = {"polygon", "line", "circle"};
static const char *const LOOP_WORDS[] = {"any", "bore", "trench", "coil", "header", "pond"};
static const char *const SPREAD_WORDS[] = {"near_house", "far_apart"};

enum { MOST_POINTS = 2000, MOST_FEATURES = 500, MOST_SETBACKS = 200, MOST_LANES = 60 };

// clang-format off
static const gw_form_field POINT_FIELDS[] = {
    {POINT(x_m), QUANTITY(LENGTH), LIMITS(-5000, 5000), REQUIRED, .doc = "East of the job's origin."},
    {POINT(y_m), QUANTITY(LENGTH), LIMITS(-5000, 5000), REQUIRED, .doc = "North of it."},
};

static const gw_form POINT_FORM = {
    .name = "point",
    .doc = "A point of the lot in local metres.",
    .size = sizeof(gw_lot_point),
    ROWS(POINT_FIELDS),
};

static const gw_form_field FEATURE_FIELDS[] = {
    {FEATURE(id), .type = GW_FORM_TEXT, .least = 1, .most = 60, REQUIRED, .doc = "Short name, unique on the lot."},
    {FEATURE(kind), .type = GW_FORM_CHOICE, .words = KIND_WORDS, .word_count = GW_LOT_PROPERTY_LINE, REQUIRED, .doc = "What it is: decides the distances, and whether its temperature is watched."},
    {FEATURE(name), .type = GW_FORM_TEXT, .most = 80, OPTIONAL(0), .doc = "As people call it; left out, its kind."},
    {FEATURE(variant), .type = GW_FORM_TEXT, .most = 60, OPTIONAL(0), .doc = "Sort of the kind that a rule of the jurisdiction asks for, e.g. \"large\"."},
    {.key = "shape", .offset = offsetof(gw_lot_feature, geometry.shape), .type = GW_FORM_CHOICE, WORDS(SHAPE_WORDS), DEFAULT(GW_LOT_POLYGON), .doc = "A filled outline, a line, or a disc about one point."},
    {.key = "points", .offset = offsetof(gw_lot_feature, geometry.path.points), .type = GW_FORM_LIST, .form = &POINT_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_lot_feature, geometry.path.count), .least = 1, .most = MOST_POINTS, REQUIRED, .doc = "Corners in order (the outline closes itself), the line's points, or the disc's centre."},
    {.key = "radius_m", .offset = offsetof(gw_lot_feature, geometry.radius_m), QUANTITY(LENGTH), LIMITS(0, 500), DEFAULT(0), .doc = "Of a disc; of a line half its width."},
    {FEATURE(depth_m), QUANTITY(LENGTH), LIMITS(0, 300), OPTIONAL(0), .doc = "Finished grade to a line's axis, to the bottom of a tank, field or footing; left out, what is usual for the kind."},
    {FEATURE(raise_m), QUANTITY(LENGTH), LIMITS(0, 5), OPTIONAL(0), .doc = "Finished less existing grade (raised septic bed)."},
    {FEATURE(off_lot), .type = GW_FORM_YES_NO, DEFAULT(0), .doc = "On the neighbour's land."},
    {FEATURE(notes), .type = GW_FORM_TEXT, .most = 2000, OPTIONAL(0), .doc = "Whatever should be remembered."},
};

static const gw_form_field SETBACK_FIELDS[] = {
    {SETBACK(kind), .type = GW_FORM_CHOICE, WORDS(KIND_WORDS), REQUIRED, .doc = "From what; \"property_line\" is the boundary."},
    {SETBACK(feature), .type = GW_FORM_TEXT, .most = 60, OPTIONAL(0), .doc = "Id of one feature of that kind; left out, all of them."},
    {SETBACK(variant), .type = GW_FORM_TEXT, .most = 60, OPTIONAL(0), .doc = "Sort of the kind; left out, any."},
    {SETBACK(loop), .type = GW_FORM_CHOICE, WORDS(LOOP_WORDS), DEFAULT(GW_JOB_ANY_LOOP), .doc = "Which part of a loop keeps it."},
    {SETBACK(distance_m), QUANTITY(LENGTH), LIMITS(0, 500), REQUIRED, .doc = "Edge to edge; 0: may touch, may not lie on or under."},
    {SETBACK(raise_factor), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(0, 10), DEFAULT(0), .doc = "Metres more per metre by which the feature is raised."},
    {SETBACK(source), .type = GW_FORM_TEXT, .most = 200, OPTIONAL(0), .doc = "Where the rule is written."},
};

static const gw_form_field RIG_FIELDS[] = {
    {RIG(enters_at), .type = GW_FORM_OBJECT, .form = &POINT_FORM, REQUIRED, .doc = "Where it comes onto the lot."},
    {RIG(width_m), QUANTITY(LENGTH), LIMITS(0.5, 20), DEFAULT(3), .doc = "Lane that it needs."},
    {RIG(clearance_m), QUANTITY(LENGTH), LIMITS(0, 30), DEFAULT(2), .doc = "Of its mast to houses, trees and power lines."},
};

static const gw_form_field LANE_FIELDS[] = {
    {LANE(loop), .type = GW_FORM_TEXT, .least = 1, .most = 80, REQUIRED, .doc = "Name of the loop it belongs to."},
    {LANE(from), .type = GW_FORM_OBJECT, .form = &POINT_FORM, REQUIRED, .doc = "End towards the house."},
    {LANE(to), .type = GW_FORM_OBJECT, .form = &POINT_FORM, REQUIRED, .doc = "Other end."},
};
// clang-format on

static const gw_form FEATURE_FORM = {
    .name = "feature",
    .doc = "A thing on the lot that a loop keeps clear of.",
    .rules = "The kind can have the shape; outlines do not cross themselves; house, buildings, "
             "septic works and wells lie inside the boundary unless off_lot says otherwise.",
    .size = sizeof(gw_lot_feature),
    ROWS(FEATURE_FIELDS),
};

static const gw_form SETBACK_FORM = {
    .name = "setback",
    .doc = "A distance of the job's own, over those of the jurisdiction.",
    .size = sizeof(gw_job_setback),
    ROWS(SETBACK_FIELDS),
};

static const gw_form RIG_FORM = {
    .name = "rig",
    .doc = "The drilling rig that has to reach the bores.",
    .size = sizeof(gw_lot_rig),
    ROWS(RIG_FIELDS),
};

static const gw_form LANE_FORM = {
    .name = "lane",
    .doc = "A straight trench laid by hand.",
    .size = sizeof(gw_job_lane),
    ROWS(LANE_FIELDS),
};

// clang-format off
static const gw_form_field LOT_FIELDS[] = {
    {.key = "boundary", .offset = offsetof(gw_job_lot, boundary.points), .type = GW_FORM_LIST, .form = &POINT_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_job_lot, boundary.count), .least = 3, .most = MOST_POINTS, REQUIRED, .doc = "Corners of the property in order; the outline closes itself."},
    {LOT(features), .type = GW_FORM_LIST, .form = &FEATURE_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_job_lot, feature_count), .least = 0, .most = MOST_FEATURES, OPTIONAL(0), .doc = "What stands, lies or grows on it."},
    {LOT(jurisdiction), .type = GW_FORM_ID, .table = "setbacks.csv", .column = "jurisdiction", .presence = GW_FORM_DEFAULT, .fallback_text = "typical", .doc = "Whose distances hold; \"typical\" stands in where it says nothing."},
    {LOT(setbacks), .type = GW_FORM_LIST, .form = &SETBACK_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_job_lot, setback_count), .least = 0, .most = MOST_SETBACKS, OPTIONAL(0), .doc = "The job's own distances: read from the local bylaw, or agreed."},
    {LOT(entry), .type = GW_FORM_OBJECT, .form = &POINT_FORM, REQUIRED, .doc = "Where the pipes enter the house."},
    {LOT(rig), .type = GW_FORM_OBJECT, .form = &RIG_FORM, .home = GW_FORM_POINTED, OPTIONAL(0), .doc = "Left out, access of a drilling rig is not looked at."},
    {LOT(spread), .type = GW_FORM_CHOICE, WORDS(SPREAD_WORDS), DEFAULT(GW_JOB_NEAR_HOUSE), .doc = "Bores without places: at their spacing_m near the house, or as far apart as the ground allows."},
    {LOT(lanes), .type = GW_FORM_LIST, .form = &LANE_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_job_lot, lane_count), .least = 0, .most = MOST_LANES, OPTIONAL(0), .doc = "Trenches laid by hand; a loop without any is placed by the program."},
};
// clang-format on

static bool close_ring(gw_form_reader *reader, gw_lot_path *ring)
{
    const gw_lot_point *const p = ring->points;
    if (ring->count < 3 ||
        (p[0].x_m == p[ring->count - 1].x_m && p[0].y_m == p[ring->count - 1].y_m)) {
        return true;
    }
    gw_lot_point *const closed = gw_arena_alloc(reader->arena, ring->count + 1, sizeof *closed);
    if (closed == NULL) {
        reader->out_of_memory = true;
        return false;
    }
    memcpy(closed, p, ring->count * sizeof *closed);
    closed[ring->count] = p[0];
    ring->points = closed;
    ring->count++;
    return true;
}

// What was written stays as it is, so that it is written again as it was.
static bool close_rings(gw_form_reader *reader, gw_job_lot *lot)
{
    const size_t count = lot->feature_count;
    gw_lot_feature *const features = gw_arena_alloc(reader->arena, count + 1, sizeof *features);
    if (features == NULL) {
        reader->out_of_memory = true;
        return false;
    }
    if (count > 0) {
        memcpy(features, lot->features, count * sizeof *features);
    }
    lot->lot = (gw_lot){.boundary = lot->boundary, .features = features, .count = count};
    bool fine = close_ring(reader, &lot->lot.boundary);
    for (size_t i = 0; fine && i < count; i++) {
        if (features[i].geometry.shape == GW_LOT_POLYGON) {
            fine = close_ring(reader, &features[i].geometry.path);
        }
    }
    return fine;
}

// "lot.features[3].path[2]" in the lot room is "features[3].points[2]" here; "lot.boundary.path[2]"
// is "boundary[2]"; the shape's own faults are put at "shape".
static void put_fault(gw_form_reader *reader, const gw_err *fault)
{
    static const char LOT[] = "lot.";
    const char *from = fault->field;
    from += strncmp(from, LOT, strlen(LOT)) == 0 ? strlen(LOT) : 0;
    const char *const path = strstr(from, ".path");
    const char *const shape = strstr(from, ".geometry");
    char key[GW_ERR_FIELD_SIZE];
    if (path != NULL) {
        const bool boundary = strncmp(from, "boundary", strlen("boundary")) == 0;
        snprintf(key, sizeof key, "%.*s%s%s", (int)(path - from), from, boundary ? "" : ".points",
                 path + strlen(".path"));
    } else if (shape != NULL) {
        const char *const rest = shape + strlen(".geometry");
        snprintf(key, sizeof key, "%.*s%s", (int)(shape - from), from,
                 rest[0] == '.' ? rest : ".shape");
    } else {
        snprintf(key, sizeof key, "%s", from);
    }
    gw_form_complain(reader, fault->code, key, "%s", fault->text);
}

static void check_lot(gw_form_reader *reader, const gw_lot *lot)
{
    gw_err_list faults;
    gw_err first = {0};
    gw_err_list_init(&faults, reader->arena);
    const gw_status st = gw_lot_check(lot, &faults, &first);
    if (st == GW_ERR_NOMEM) {
        reader->out_of_memory = true;
    }
    for (size_t i = 0; i < faults.count; i++) {
        put_fault(reader, &faults.items[i]);
    }
    if (st != GW_OK && st != GW_ERR_NOMEM && faults.count == 0) {
        put_fault(reader, &first);
    }
}

static void check_setbacks(gw_form_reader *reader, const gw_job_lot *lot)
{
    for (size_t i = 0; i < lot->setback_count; i++) {
        const gw_job_setback *const s = &lot->setbacks[i];
        bool found = s->feature == NULL;
        for (size_t k = 0; !found && k < lot->lot.count; k++) {
            found = lot->lot.features[k].kind == s->kind &&
                    strcmp(lot->lot.features[k].id, s->feature) == 0;
        }
        if (!found) {
            char path[48];
            snprintf(path, sizeof path, "setbacks[%zu].feature", i);
            gw_form_complain(reader, GW_ERR_KEY, path,
                             "found \"%.60s\", expected the id of a %s on the lot", s->feature,
                             gw_lot_kind_name(s->kind));
        }
    }
}

static void finish_lot(gw_form_reader *reader, void *object)
{
    gw_job_lot *const lot = object;
    if (!close_rings(reader, lot)) {
        return;
    }
    check_lot(reader, &lot->lot);
    check_setbacks(reader, lot);
}

const gw_form GW_JOB_PRIV_LOT = {
    .name = "lot",
    .doc = "The property in plan, in local metres: x to the east, y to the north.",
    .rules = "The outline does not cross itself. Ids are different. A setback names a feature of "
             "its kind.",
    .size = sizeof(gw_job_lot),
    ROWS(LOT_FIELDS),
    .finish = finish_lot,
};

gw_status gw_job_lot_rules(gw_arena *arena, const gw_job_lot *lot, gw_lot_rules *out, gw_err *err)
{
    gw_lot_rule *const rules = gw_arena_alloc(arena, lot->setback_count + 1, sizeof *rules);
    if (rules == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "lot.setbacks", "out of memory for the job's distances");
    }
    for (size_t i = 0; i < lot->setback_count; i++) {
        const gw_job_setback *const s = &lot->setbacks[i];
        rules[i] = (gw_lot_rule){.jurisdiction = "",
                                 .kind = s->kind,
                                 .variant = s->variant,
                                 .feature_id = s->feature,
                                 .distance_m = s->distance_m,
                                 .raise_factor = s->raise_factor,
                                 .source = s->source != NULL ? s->source : "given in the job"};
        for (size_t k = 0; k < GW_LOT_LOOP_COUNT; k++) {
            rules[i].loops[k] =
                s->loop == GW_JOB_ANY_LOOP || (size_t)s->loop == (size_t)GW_JOB_ONE_LOOP + k;
        }
    }
    *out = (gw_lot_rules){rules, lot->setback_count};
    return GW_OK;
}
