// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "lot/violation.h"

#include "lot/plane.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct {
    double west_m, east_m, south_m, north_m;
} box;

static box box_of(const gw_lot_geometry *g)
{
    box b = {HUGE_VAL, -HUGE_VAL, HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < g->path.count; i++) {
        b.west_m = fmin(b.west_m, g->path.points[i].x_m);
        b.east_m = fmax(b.east_m, g->path.points[i].x_m);
        b.south_m = fmin(b.south_m, g->path.points[i].y_m);
        b.north_m = fmax(b.north_m, g->path.points[i].y_m);
    }
    b.west_m -= g->radius_m;
    b.east_m += g->radius_m;
    b.south_m -= g->radius_m;
    b.north_m += g->radius_m;
    return b;
}

static bool apart(const box *a, const box *b, double by_m)
{
    return a->west_m - b->east_m > by_m || b->west_m - a->east_m > by_m ||
           a->south_m - b->north_m > by_m || b->south_m - a->north_m > by_m;
}

// ---- a growing list --------------------------------------------------------------------------

typedef struct {
    gw_arena *arena;
    gw_lot_violation *items;
    size_t count;
    size_t capacity;
} growing;

static gw_status add(growing *list, const gw_lot_violation *violation, gw_err *err)
{
    if (list->count == list->capacity) {
        const size_t capacity = list->capacity == 0 ? 16 : 2 * list->capacity;
        gw_lot_violation *const items = gw_arena_alloc(list->arena, capacity, sizeof *items);
        if (items == NULL) {
            return gw_fail(err, GW_ERR_NOMEM, "loop", "no memory for the violations");
        }
        if (list->count > 0) {
            memcpy(items, list->items, list->count * sizeof *items);
        }
        list->items = items;
        list->capacity = capacity;
    }
    if (violation->text == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "loop", "no memory for the violations");
    }
    list->items[list->count++] = *violation;
    return GW_OK;
}

// ---- words -----------------------------------------------------------------------------------

enum { NAME_SIZE = 80 };

static void name_item(const gw_lot_loop_plan *plan, size_t index, char name[NAME_SIZE])
{
    const gw_lot_item *const item = &plan->items[index];
    if (item->name != NULL && item->name[0] != '\0') {
        snprintf(name, NAME_SIZE, "%s", item->name);
    } else {
        snprintf(name, NAME_SIZE, "%s %zu", gw_lot_loop_name(item->loop), index + 1);
    }
}

static const char *origin_words(const gw_lot_setback *setback)
{
    switch (setback->origin) {
    case GW_LOT_OWN_RULE:
        return "this job's rule";
    case GW_LOT_LOCAL_RULE:
        return "local rule";
    case GW_LOT_TYPICAL_RULE:
        break;
    }
    return "typical, check your bylaw";
}

static const char *tell(gw_arena *arena, const char *item, const char *thing,
                        const gw_lot_violation *v)
{
    const bool line = v->feature == GW_LOT_NO_FEATURE;
    const char *const source = v->setback.rule->source;
    const char *const found =
        v->found_m < 0
            ? gw_arena_printf(arena, line ? "reaches %.2f m beyond %s" : "lies %.2f m inside %s",
                              -v->found_m, thing)
            : gw_arena_printf(arena, "is %.2f m from %s", v->found_m, thing);
    if (found == NULL) {
        return NULL;
    }
    return gw_arena_printf(arena, "%s %s; %.2f m is required (%s: %s); %.2f m short", item, found,
                           v->required_m, origin_words(&v->setback),
                           source != NULL && source[0] != '\0' ? source : "no source given",
                           v->shortfall_m);
}

// ---- checks of the items ---------------------------------------------------------------------

static gw_status check_item(const gw_lot_item *item, size_t index, gw_err *err)
{
    static const size_t LEAST[] = {[GW_LOT_POLYGON] = 4, [GW_LOT_LINE] = 2, [GW_LOT_CIRCLE] = 1};
    const gw_lot_geometry *const g = &item->geometry;
    char field[GW_ERR_FIELD_SIZE];
    snprintf(field, sizeof field, "loop.items[%zu].geometry", index);
    if ((unsigned)item->loop >= GW_LOT_LOOP_COUNT || (unsigned)g->shape > GW_LOT_CIRCLE ||
        g->path.count < LEAST[g->shape] || (g->shape == GW_LOT_CIRCLE && g->path.count != 1)) {
        return gw_fail(err, GW_ERR_GEOMETRY, field, "%zu points do not make this shape",
                       g->path.count);
    }
    if (!(g->radius_m >= 0 && isfinite(g->radius_m))) {
        return gw_fail(err, GW_ERR_RANGE, field, "radius %g m must be 0 or more", g->radius_m);
    }
    for (size_t i = 0; i < g->path.count; i++) {
        if (!isfinite(g->path.points[i].x_m) || !isfinite(g->path.points[i].y_m)) {
            return gw_fail(err, GW_ERR_RANGE, field, "point %zu is not finite", i + 1);
        }
    }
    if (g->shape == GW_LOT_POLYGON &&
        gw_lot_distance_m(g->path.points[0], g->path.points[g->path.count - 1]) > 1e-6) {
        return gw_fail(err, GW_ERR_GEOMETRY, field, "the outline is not closed");
    }
    return GW_OK;
}

static gw_status check_plan(const gw_lot_loop_plan *plan, gw_err *err)
{
    if (!(plan->least_spacing_m >= 0 && isfinite(plan->least_spacing_m))) {
        return gw_fail(err, GW_ERR_RANGE, "loop.least_spacing_m", "spacing %g m must be 0 or more",
                       plan->least_spacing_m);
    }
    for (size_t i = 0; i < plan->count; i++) {
        const gw_status st = check_item(&plan->items[i], i, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

// ---- measuring -------------------------------------------------------------------------------

// One asked distance between a kind of loop and a feature.
typedef struct {
    bool asked;
    gw_lot_setback setback;
} ask;

typedef struct {
    const gw_lot_site *site;
    const gw_lot_loop_plan *plan;
    ask (*asks)[GW_LOT_LOOP_COUNT]; // [feature + 1]; 0 is the property line
    box *boxes;                     // [feature]
    growing found;
} survey;

static bool reaches_down(gw_lot_kind kind)
{
    return kind == GW_LOT_WELL || kind == GW_LOT_EASEMENT || kind == GW_LOT_SEPTIC_TANK ||
           kind == GW_LOT_SEPTIC_FIELD || kind == GW_LOT_SEPTIC_RESERVE;
}

static gw_status survey_init(survey *s, gw_arena *arena, gw_err *err)
{
    const gw_lot *const lot = s->site->lot;
    s->asks = gw_arena_alloc(arena, lot->count + 1, sizeof *s->asks);
    s->boxes = gw_arena_alloc(arena, lot->count, sizeof *s->boxes);
    if (s->asks == NULL || s->boxes == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "lot", "no memory for %zu features", lot->count);
    }
    for (size_t i = 0; i <= lot->count; i++) {
        const gw_lot_feature *const feature = i > 0 ? &lot->features[i - 1] : NULL;
        for (size_t loop = 0; loop < GW_LOT_LOOP_COUNT; loop++) {
            ask *const a = &s->asks[i][loop];
            a->asked = gw_lot_find_setback(s->site->rules, feature, (gw_lot_loop)loop, &a->setback);
        }
        if (feature != NULL) {
            s->boxes[i - 1] = box_of(&feature->geometry);
        }
    }
    return GW_OK;
}

// Who is held against whom, by which distance.
typedef struct {
    size_t item;
    long feature; // GW_LOT_NO_FEATURE: the property line
    const gw_lot_setback *setback;
} pairing;

static gw_status report(survey *s, const pairing *pair, const gw_lot_gap *gap, gw_err *err)
{
    const double shortfall_m = pair->setback->distance_m - gap->gap_m;
    if (!(shortfall_m > GW_LOT_SLACK_M)) {
        return GW_OK;
    }
    gw_lot_violation v = {
        .item = pair->item,
        .feature = pair->feature,
        .other = GW_LOT_NO_FEATURE,
        .found_m = gap->gap_m,
        .required_m = pair->setback->distance_m,
        .shortfall_m = shortfall_m,
        .setback = *pair->setback,
        .at_item = gap->on_a,
        .at_feature = gap->on_b,
    };
    char name[NAME_SIZE];
    name_item(s->plan, pair->item, name);
    v.text = tell(s->found.arena, name,
                  pair->feature == GW_LOT_NO_FEATURE
                      ? "the property line"
                      : gw_lot_feature_name(&s->site->lot->features[pair->feature]),
                  &v);
    return add(&s->found, &v, err);
}

// The boundary holds even where no rule asks for a distance: a loop stays on its own lot.
static gw_status measure_boundary(survey *s, size_t index, gw_err *err)
{
    static const gw_lot_rule OWN_LAND = {.jurisdiction = "typical",
                                         .kind = GW_LOT_PROPERTY_LINE,
                                         .source = "a loop stays on its own lot"};
    const gw_lot_item *const item = &s->plan->items[index];
    const ask *const a = &s->asks[0][item->loop];
    const gw_lot_setback own = {0, &OWN_LAND, GW_LOT_TYPICAL_RULE};
    gw_lot_gap gap;
    gw_lot_measure_inside_gap(&item->geometry, &s->site->lot->boundary, &gap);
    const pairing pair = {index, GW_LOT_NO_FEATURE, a->asked ? &a->setback : &own};
    return report(s, &pair, &gap, err);
}

static gw_status measure_features(survey *s, size_t index, gw_err *err)
{
    const gw_lot *const lot = s->site->lot;
    const gw_lot_item *const item = &s->plan->items[index];
    const box around = box_of(&item->geometry);
    for (size_t f = 0; f < lot->count; f++) {
        const ask *const a = &s->asks[f + 1][item->loop];
        if (!a->asked || (item->deep && !reaches_down(lot->features[f].kind)) ||
            apart(&around, &s->boxes[f], a->setback.distance_m)) {
            continue;
        }
        gw_lot_gap gap;
        gw_lot_measure_gap(&item->geometry, &lot->features[f].geometry, &gap);
        const pairing pair = {index, (long)f, &a->setback};
        const gw_status st = report(s, &pair, &gap, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

static gw_status report_spacing(survey *s, size_t index, size_t other, const gw_lot_gap *gap,
                                gw_err *err)
{
    gw_lot_violation v = {
        .item = index,
        .feature = GW_LOT_NO_FEATURE,
        .other = (long)other,
        .found_m = gap->gap_m,
        .required_m = s->plan->least_spacing_m,
        .shortfall_m = s->plan->least_spacing_m - gap->gap_m,
        .at_item = gap->on_a,
        .at_feature = gap->on_b,
    };
    char name[NAME_SIZE];
    char other_name[NAME_SIZE];
    name_item(s->plan, index, name);
    name_item(s->plan, other, other_name);
    v.text = gw_arena_printf(
        s->found.arena, "%s is %.2f m from %s, centre to centre; %.2f m is asked; %.2f m short",
        name, v.found_m, other_name, v.required_m, v.shortfall_m);
    return add(&s->found, &v, err);
}

// Later items of the same kind that are too near, centre line to centre line.
static gw_status measure_spacing(survey *s, size_t index, gw_err *err)
{
    const gw_lot_item *const item = &s->plan->items[index];
    gw_lot_geometry core = item->geometry;
    core.radius_m = 0;
    const box around = box_of(&core);
    for (size_t i = index + 1; i < s->plan->count; i++) {
        const gw_lot_item *const other = &s->plan->items[i];
        gw_lot_geometry other_core = other->geometry;
        other_core.radius_m = 0;
        const box other_around = box_of(&other_core);
        if (other->loop != item->loop || other->deep != item->deep ||
            apart(&around, &other_around, s->plan->least_spacing_m)) {
            continue;
        }
        gw_lot_gap gap;
        gw_lot_measure_gap(&core, &other_core, &gap);
        if (s->plan->least_spacing_m - gap.gap_m > GW_LOT_SLACK_M) {
            const gw_status st = report_spacing(s, index, i, &gap, err);
            if (st != GW_OK) {
                return st;
            }
        }
    }
    return GW_OK;
}

gw_status gw_lot_find_violations(gw_arena *arena, const gw_lot_site *site,
                                 const gw_lot_loop_plan *plan, gw_lot_violations *out, gw_err *err)
{
    survey s = {.site = site, .plan = plan, .found = {.arena = arena}};
    gw_status st = check_plan(plan, err);
    if (st == GW_OK) {
        st = survey_init(&s, arena, err);
    }
    for (size_t i = 0; i < plan->count && st == GW_OK; i++) {
        st = measure_boundary(&s, i, err);
        if (st == GW_OK) {
            st = measure_features(&s, i, err);
        }
        if (st == GW_OK && plan->least_spacing_m > 0) {
            st = measure_spacing(&s, i, err);
        }
    }
    *out = (gw_lot_violations){s.found.items, s.found.count};
    return st;
}
