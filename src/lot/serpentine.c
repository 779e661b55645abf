// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "lot/serpentine.h"

#include "lot/plane.h"

#include <string.h>

static const double REACH_M = 1e-3; // lane ends lie on the usable ground, but for rounding

typedef struct {
    gw_arena *arena;
    const gw_lot_region *usable;
    const gw_lot_lanes *lanes;
} work;

// One trench under way. `at` is its end so far.
typedef struct {
    gw_lot_route *joins; // [lanes - 1], join i leads to the lane after the i-th
    size_t count;
    size_t points; // of the whole path
    gw_lot_point at;
    double joins_m;
} trench;

static gw_status go_to(const work *w, const trench *t, gw_lot_point to, gw_lot_route *out,
                       gw_err *err)
{
    const gw_lot_trip trip = {t->at, to, REACH_M};
    return gw_lot_find_route(w->arena, w->usable, &trip, out, err);
}

// Joins the next lane by its nearer end and goes along it.
static gw_status add_lane(const work *w, const gw_lot_lane *lane, trench *t, gw_err *err)
{
    gw_lot_route to_near;
    gw_lot_route to_far;
    gw_status st = go_to(w, t, lane->from, &to_near, err);
    if (st == GW_OK) {
        st = go_to(w, t, lane->to, &to_far, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const bool reversed = to_far.length_m < to_near.length_m;
    t->joins[t->count] = reversed ? to_far : to_near;
    t->joins_m += t->joins[t->count].length_m;
    t->points += t->joins[t->count++].path.count;
    t->at = reversed ? lane->from : lane->to;
    return GW_OK;
}

// Lanes in order, or from the last to the first.
static gw_status wind(const work *w, bool backwards, trench *out, gw_err *err)
{
    const size_t count = w->lanes->count;
    const gw_lot_lane *const first = &w->lanes->items[backwards ? count - 1 : 0];
    *out = (trench){.at = first->to, .points = 2};
    out->joins = gw_arena_alloc(w->arena, count, sizeof *out->joins);
    if (out->joins == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "lanes", "no memory for %zu joins", count);
    }
    for (size_t i = 1; i < count; i++) {
        const gw_status st = add_lane(w, &w->lanes->items[backwards ? count - 1 - i : i], out, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

// First end, then every join from end to end, then the last end.
static gw_status draw(const work *w, const trench *t, gw_lot_point begin, gw_lot_winding *out,
                      gw_err *err)
{
    gw_lot_point *const points = gw_arena_alloc(w->arena, t->points, sizeof *points);
    if (points == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "lanes", "no memory for a trench");
    }
    size_t count = 0;
    points[count++] = begin;
    for (size_t i = 0; i < t->count; i++) {
        const gw_lot_path *const path = &t->joins[i].path;
        memcpy(&points[count], path->points, path->count * sizeof *points);
        count += path->count;
    }
    points[count++] = t->at;
    out->path = (gw_lot_path){points, count};
    out->length_m = gw_lot_path_length_m(&out->path);
    out->joins_m = t->joins_m;
    return GW_OK;
}

gw_status gw_lot_wind_lanes(gw_arena *arena, const gw_lot_region *usable, const gw_lot_lanes *lanes,
                            gw_lot_winding *out, gw_err *err)
{
    *out = (gw_lot_winding){0};
    if (lanes->count == 0) {
        return gw_fail(err, GW_ERR_MISSING, "lanes", "there is no lane to wind a trench through");
    }
    const work w = {arena, usable, lanes};
    trench forwards;
    trench backwards;
    gw_status st = wind(&w, false, &forwards, err);
    if (st == GW_OK) {
        st = wind(&w, true, &backwards, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const bool turned = backwards.joins_m < forwards.joins_m;
    return draw(&w, turned ? &backwards : &forwards,
                lanes->items[turned ? lanes->count - 1 : 0].from, out, err);
}
