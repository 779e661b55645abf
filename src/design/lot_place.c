// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Bores, lanes and header of one loop on the lot.
#include "design/lot_priv.h"

#include "base/builtin.h"
#include "lot/bores.h"
#include "lot/plane.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double PI = 3.14159265358979323846;
// Half the width of a header trench, and how far an end may lie off the ground allowed to it: the
// last stretch to the wall or the collar (common practice, no source).
static const double HEADER_HALF_M = 0.3;
static const double HEADER_REACH_M = 3.0;
// Bores nearer to each other than this are not proposed, nor nearer than this share of what the
// plan asks (common practice, no source).
static const double LEAST_SPACING_M = 3.0;
static const double LEAST_SPACING_FRAC = 0.6;
static const double LEAST_LANE_M = 5.0;
// Everything on the lot counts for a slanting bore down to here.
static const double SHALLOW_M = 6.0;

static gw_status no_memory(const gw_design_lot_desk *desk)
{
    return gw_fail(desk->d->err, GW_ERR_NOMEM, "lot", "out of memory laying the loop on the lot");
}

static gw_lot_need need_of(const gw_design_lie *lie, const gw_job_lot *job)
{
    return (gw_lot_need){
        .loop = lie->loop, .half_width_m = lie->half_width_m, .rig = lie->lanes ? NULL : job->rig};
}

gw_status gw_design_priv_lot_open(gw_design_lot_desk *desk, const gw_loop_plan *plan)
{
    gw_design_priv *const d = desk->d;
    gw_table table;
    gw_status st = gw_design_priv_table(d, "setbacks.csv", &table);
    if (st == GW_OK) {
        st = gw_lot_rules_read(d->arena, &table, &desk->shipped, d->err);
    }
    desk->rules.shipped = &desk->shipped;
    desk->rules.jurisdiction = desk->job->jurisdiction;
    if (st == GW_OK) {
        st = gw_job_lot_rules(d->arena, desk->job, &desk->rules.own, d->err);
    }
    desk->site = (gw_lot_site){&desk->job->lot, &desk->rules};
    const gw_design_lie lie = gw_design_priv_lie(plan);
    desk->on->placed = lie.placed;
    desk->on->wanted_spacing_m = lie.spacing_m;
    if (st != GW_OK || !lie.placed) {
        return st;
    }
    const gw_lot_need need = need_of(&lie, desk->job);
    st = gw_lot_find_usable(d->arena, &desk->site, &need, &desk->on->usable, d->err);
    if (st == GW_OK) {
        desk->on->usable_m2 = desk->on->usable.area_m2;
        st = gw_lot_find_shares(d->arena, &desk->site, &need, &desk->on->shares, d->err);
    }
    return st;
}

// ---- bores --------------------------------------------------------------------------------------

static gw_status bores_by_hand(gw_design_lot_desk *desk, const gw_bores_plan *b)
{
    gw_design_on_lot *const on = desk->on;
    on->by_hand = true;
    on->fits = true;
    on->spacing_m = 0.0;
    for (size_t i = 0; i < b->count; i++) {
        for (size_t k = 0; k < i; k++) {
            const double apart_m =
                hypot(b->places[i].x_m - b->places[k].x_m, b->places[i].y_m - b->places[k].y_m);
            on->spacing_m = on->spacing_m > 0.0 ? fmin(on->spacing_m, apart_m) : apart_m;
        }
    }
    on->wanted_spacing_m = on->spacing_m;
    on->placing = gw_arena_printf(desk->d->arena, "%zu bore%s where the job puts %s", b->count,
                                  b->count == 1 ? "" : "s", b->count == 1 ? "it" : "them");
    return on->placing != NULL ? GW_OK : no_memory(desk);
}

gw_status gw_design_priv_place_bores(gw_design_lot_desk *desk, gw_loop_plan *plan)
{
    gw_bores_plan *const b = &plan->bores;
    gw_design_on_lot *const on = desk->on;
    if (b->place_count > 0 && (on->by_hand || on->placing == NULL)) {
        return bores_by_hand(desk, b);
    }
    const double least_m = fmax(LEAST_SPACING_M, LEAST_SPACING_FRAC * b->spacing_m);
    const gw_lot_bore_request ask = {.count = b->count,
                                     .least_spacing_m = least_m,
                                     .wanted_spacing_m =
                                         desk->job->spread == GW_JOB_FAR_APART ? 0.0 : b->spacing_m,
                                     .near = &desk->job->entry};
    gw_lot_bores found = {0};
    gw_status st = GW_OK;
    if (on->usable.count > 0) {
        st = gw_lot_place_bores(desk->d->arena, &on->usable, &ask, &found, desk->d->err);
    }
    if (st != GW_OK) {
        return st;
    }
    on->fits = found.fits && found.count == b->count;
    on->spacing_m = found.spacing_m;
    on->placing =
        found.text != NULL ? found.text : "no bore fits: there is no usable ground for it";
    b->places = NULL;
    b->place_count = 0;
    if (!on->fits) {
        return GW_OK; // sized on a grid, and ruled out by the verdict
    }
    gw_bore_place *const places = gw_arena_alloc(desk->d->arena, b->count, sizeof *places);
    if (places == NULL) {
        return no_memory(desk);
    }
    for (size_t i = 0; i < b->count; i++) {
        places[i] = (gw_bore_place){.x_m = found.at[i].x_m, .y_m = found.at[i].y_m};
    }
    b->places = places;
    b->place_count = b->count;
    return GW_OK;
}

// ---- lanes --------------------------------------------------------------------------------------

static gw_status ask_lanes(gw_design_lot_desk *desk, const gw_design_lie *lie, double each_m,
                           gw_lot_lanes *out)
{
    *out = (gw_lot_lanes){0};
    if (desk->on->usable.count == 0) {
        out->text = "no trench fits: there is no usable ground for it";
        return GW_OK;
    }
    const gw_lot_lane_request ask = {.total_m = each_m * (double)lie->count,
                                     .spacing_m = lie->spacing_m,
                                     .least_m = fmin(LEAST_LANE_M, each_m),
                                     .count = lie->count,
                                     .near = &desk->job->entry};
    return gw_lot_place_lanes(desk->d->arena, &desk->on->usable, &ask, out, desk->d->err);
}

gw_status gw_design_priv_place_lanes(gw_design_lot_desk *desk, const gw_loop_plan *plan)
{
    gw_design_on_lot *const on = desk->on;
    if (on->by_hand) {
        on->fits = true;
        return GW_OK;
    }
    const gw_design_lie lie = gw_design_priv_lie(plan);
    gw_lot_lanes lanes;
    const gw_status st = ask_lanes(desk, &lie, lie.each_m, &lanes);
    on->fits = lanes.fits && lanes.count == lie.count;
    on->placing = lanes.text;
    on->lanes = on->fits ? lanes.items : NULL;
    on->lane_count = on->fits ? lanes.count : 0;
    on->spacing_m = lie.count > 1 ? lie.spacing_m : 0.0;
    return st;
}

gw_status gw_design_priv_longest_lane(gw_design_lot_desk *desk, const gw_loop_plan *plan,
                                      double *out_m)
{
    enum { HALVINGS = 10 };
    static const double CLOSE_M = 0.2;
    const gw_design_lie lie = gw_design_priv_lie(plan);
    double low_m = 0.0;
    double high_m = lie.longest_m;
    gw_lot_lanes lanes;
    gw_status st = ask_lanes(desk, &lie, high_m, &lanes);
    if (st == GW_OK && lanes.fits) {
        *out_m = high_m;
        return GW_OK;
    }
    for (int i = 0; st == GW_OK && i < HALVINGS && high_m - low_m > CLOSE_M; i++) {
        const double middle_m = 0.5 * (low_m + high_m);
        st = ask_lanes(desk, &lie, middle_m, &lanes);
        if (lanes.fits && lanes.count == lie.count) {
            low_m = middle_m;
        } else {
            high_m = middle_m;
        }
    }
    *out_m = floor(10.0 * low_m) / 10.0;
    return st;
}

// ---- header -------------------------------------------------------------------------------------

static gw_status ends_of(const gw_design_lot_desk *desk, const gw_loop_plan *plan,
                         gw_lot_point **out, size_t *count)
{
    const gw_design_on_lot *const on = desk->on;
    const gw_design_lie lie = gw_design_priv_lie(plan);
    *count = lie.lanes ? on->lane_count : plan->bores.place_count;
    *count = lie.lanes || *count <= lie.count ? *count : lie.count;
    *out = gw_arena_alloc(desk->d->arena, *count + 1, sizeof **out);
    if (*out == NULL) {
        return no_memory(desk);
    }
    for (size_t i = 0; i < *count; i++) {
        const gw_bore_place *const b = lie.lanes ? NULL : &plan->bores.places[i];
        (*out)[i] = lie.lanes ? on->lanes[i].from : (gw_lot_point){b->x_m, b->y_m};
    }
    return GW_OK;
}

gw_status gw_design_priv_route_header(gw_design_lot_desk *desk, gw_loop_plan *plan)
{
    static const double MOST_M = 300.0;
    gw_design_priv *const d = desk->d;
    gw_design_on_lot *const on = desk->on;
    gw_lot_point *ends = NULL;
    size_t count = 0;
    gw_status st = ends_of(desk, plan, &ends, &count);
    on->has_header = false;
    if (st != GW_OK || count == 0) {
        on->no_header = "nothing was placed";
        return st;
    }
    const gw_lot_need need = {.loop = GW_LOT_HEADER, .half_width_m = HEADER_HALF_M};
    gw_lot_region allowed;
    st = gw_lot_find_usable(d->arena, &desk->site, &need, &allowed, d->err);
    if (st != GW_OK) {
        return st;
    }
    const gw_lot_header_request ask = {
        .entry = desk->job->entry, .ends = ends, .count = count, .reach_m = HEADER_REACH_M};
    gw_err why = {0};
    st = gw_lot_find_header(d->arena, &allowed, &ask, &on->header, &why);
    if (st == GW_ERR_GEOMETRY) {
        on->no_header = gw_arena_strdup(d->arena, why.text);
        return on->no_header != NULL ? GW_OK : no_memory(desk);
    }
    if (st != GW_OK) {
        if (d->err != NULL) {
            *d->err = why;
        }
        return st;
    }
    on->has_header = true;
    plan->header_m = fmin(on->header.length_m, MOST_M);
    return GW_OK;
}

// ---- distances ----------------------------------------------------------------------------------

static gw_status path_between(const gw_design_lot_desk *desk, gw_lot_point from, gw_lot_point to,
                              gw_lot_path *out)
{
    gw_lot_point *const points = gw_arena_alloc(desk->d->arena, 2, sizeof *points);
    if (points == NULL) {
        return no_memory(desk);
    }
    points[0] = from;
    points[1] = to;
    *out = (gw_lot_path){points, 2};
    return GW_OK;
}

// A bore as a disc, a slanting one as its shallow and its deep part seen from above.
static gw_status bore_items(const gw_design_lot_desk *desk, const gw_bores_plan *b, size_t index,
                            gw_lot_item *items, size_t *count)
{
    const gw_bore_place *const p = &b->places[index];
    const gw_lot_point collar = {p->x_m, p->y_m};
    const double tilt = p->tilt_deg * PI / 180.0;
    const double azimuth = p->azimuth_deg * PI / 180.0;
    const char *const name = gw_arena_printf(desk->d->arena, "bore %zu", index + 1);
    gw_lot_item item = {.name = name,
                        .loop = GW_LOT_BORE,
                        .geometry = {.shape = GW_LOT_CIRCLE, .radius_m = 0.5 * b->diameter_m}};
    gw_lot_path path = {0};
    const double reach_m[2] = {SHALLOW_M * tan(tilt), (b->top_m + b->depth_m) * sin(tilt)};
    const bool slants = p->tilt_deg > 0.0;
    gw_status st = name != NULL ? GW_OK : no_memory(desk);
    for (int part = 0; st == GW_OK && part < (slants ? 2 : 1); part++) {
        const gw_lot_point toe = {collar.x_m + reach_m[part] * sin(azimuth),
                                  collar.y_m + reach_m[part] * cos(azimuth)};
        st = path_between(desk, collar, toe, &path);
        item.geometry.shape = slants ? GW_LOT_LINE : GW_LOT_CIRCLE;
        item.geometry.path = slants ? path : (gw_lot_path){path.points, 1};
        item.deep = part == 1;
        items[(*count)++] = item;
    }
    return st;
}

static gw_status lane_item(const gw_design_lot_desk *desk, const gw_design_lie *lie, size_t index,
                           gw_lot_item *out)
{
    const gw_lot_lane *const lane = &desk->on->lanes[index];
    *out = (gw_lot_item){.name = gw_arena_printf(desk->d->arena, "trench %zu", index + 1),
                         .loop = lie->loop,
                         .geometry = {.shape = GW_LOT_LINE, .radius_m = lie->half_width_m}};
    return out->name == NULL ? no_memory(desk)
                             : path_between(desk, lane->from, lane->to, &out->geometry.path);
}

gw_status gw_design_priv_measure(gw_design_lot_desk *desk, const gw_loop_plan *plan)
{
    const gw_design_lie lie = gw_design_priv_lie(plan);
    gw_design_on_lot *const on = desk->on;
    const size_t pieces = lie.lanes                             ? on->lane_count
                          : plan->bores.place_count < lie.count ? plan->bores.place_count
                                                                : lie.count;
    gw_lot_item *const items = gw_arena_alloc(desk->d->arena, 2 * pieces + 1, sizeof *items);
    if (items == NULL) {
        return no_memory(desk);
    }
    size_t count = 0;
    gw_status st = GW_OK;
    for (size_t i = 0; st == GW_OK && i < pieces; i++) {
        if (lie.lanes) {
            st = lane_item(desk, &lie, i, &items[count++]);
        } else {
            st = bore_items(desk, &plan->bores, i, items, &count);
        }
    }
    on->items = (gw_lot_loop_plan){.items = items, .count = count};
    return st == GW_OK ? gw_lot_find_violations(desk->d->arena, &desk->site, &on->items,
                                                &on->violations, desk->d->err)
                       : st;
}
