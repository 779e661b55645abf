// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "lot/fan.h"

#include "lot/plane.h"
#include "lot/spread.h"
#include "lot/violation.h"

#include <math.h>
#include <stdlib.h>

enum { AZIMUTHS = 72, TILTS = 9, MOST_BORES = 36 };
static const double STEEPEST_RAD = 1.2;

static gw_status check_span(const char *field, double value, double least, double most, gw_err *err)
{
    if (!(value >= least && value <= most)) {
        return gw_fail(err, GW_ERR_RANGE, field, "%g must be %g to %g", value, least, most);
    }
    return GW_OK;
}

static gw_status check_request(const gw_lot_fan_request *ask, gw_err *err)
{
    const struct {
        const char *field;
        double value, least, most;
    } spans[] = {
        {"fan.spot", ask->spot.x_m, -1e7, 1e7},
        {"fan.spot", ask->spot.y_m, -1e7, 1e7},
        {"fan.collar_ring_m", ask->collar_ring_m, 0, 10},
        {"fan.count", (double)ask->count, 1, MOST_BORES},
        {"fan.length_m", ask->length_m, 5, 500},
        {"fan.tilt_least_rad", ask->tilt_least_rad, 0, STEEPEST_RAD},
        {"fan.tilt_most_rad", ask->tilt_most_rad, ask->tilt_least_rad, STEEPEST_RAD},
        {"fan.radius_m", ask->radius_m, 0, 0.5},
        {"fan.shallow_m", ask->shallow_m, 0, 50},
    };
    for (size_t i = 0; i < sizeof spans / sizeof spans[0]; i++) {
        const gw_status st =
            check_span(spans[i].field, spans[i].value, spans[i].least, spans[i].most, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

static gw_lot_point away(gw_lot_point from, double azimuth_rad, double by_m)
{
    return (gw_lot_point){from.x_m + by_m * sin(azimuth_rad), from.y_m + by_m * cos(azimuth_rad)};
}

static gw_lot_slant_bore bore_at(const gw_lot_fan_request *ask, double azimuth_rad, double tilt_rad)
{
    const gw_lot_point collar = away(ask->spot, azimuth_rad, ask->collar_ring_m);
    return (gw_lot_slant_bore){
        .collar = collar,
        .toe = away(collar, azimuth_rad, ask->length_m * sin(tilt_rad)),
        .azimuth_rad = azimuth_rad,
        .tilt_rad = tilt_rad,
        .depth_m = ask->length_m * cos(tilt_rad),
    };
}

// Every azimuth at every tilt, most tilted first, and whether it keeps its distances.
typedef struct {
    gw_lot_slant_bore bores[AZIMUTHS][TILTS];
    gw_lot_point points[AZIMUTHS][TILTS][4];
    gw_lot_item items[2 * AZIMUTHS * TILTS];
    bool broken[AZIMUTHS * TILTS];
} trials;

// A bore as the two pieces it is held by: near the surface, and over its whole length.
static void draw_bore(const gw_lot_fan_request *ask, const gw_lot_slant_bore *bore,
                      gw_lot_point points[4], gw_lot_item items[2])
{
    const double shallow_m =
        fmin(ask->shallow_m * tan(bore->tilt_rad), gw_lot_distance_m(bore->collar, bore->toe));
    points[0] = points[2] = bore->collar;
    points[1] = away(bore->collar, bore->azimuth_rad, shallow_m);
    points[3] = bore->toe;
    items[0] =
        (gw_lot_item){.loop = GW_LOT_BORE, .geometry = {GW_LOT_LINE, {points, 2}, ask->radius_m}};
    items[1] = (gw_lot_item){.loop = GW_LOT_BORE,
                             .geometry = {GW_LOT_LINE, {points + 2, 2}, ask->radius_m},
                             .deep = true};
}

static gw_status judge_all(gw_arena *arena, const gw_lot_site *site, const gw_lot_fan_request *ask,
                           trials *out, gw_err *err)
{
    const double range_rad = ask->tilt_most_rad - ask->tilt_least_rad;
    for (size_t k = 0; k < AZIMUTHS; k++) {
        const double azimuth_rad = (double)k * 2 * acos(-1.0) / AZIMUTHS;
        for (size_t t = 0; t < TILTS; t++) {
            const double tilt_rad = ask->tilt_most_rad - range_rad * (double)t / (TILTS - 1);
            out->bores[k][t] = bore_at(ask, azimuth_rad, tilt_rad);
            draw_bore(ask, &out->bores[k][t], out->points[k][t], &out->items[2 * (k * TILTS + t)]);
        }
    }
    const gw_lot_loop_plan plan = {out->items, sizeof out->items / sizeof out->items[0], 0};
    gw_lot_violations found;
    const gw_status st = gw_lot_find_violations(arena, site, &plan, &found, err);
    for (size_t i = 0; st == GW_OK && i < found.count; i++) {
        out->broken[found.items[i].item / 2] = true;
    }
    return st;
}

typedef struct {
    gw_lot_slant_bore bores[2 * AZIMUTHS];
    gw_lot_point toes[2 * AZIMUTHS];
    size_t count;
} choice;

static void add_bore(choice *c, const gw_lot_slant_bore *bore)
{
    for (size_t i = 0; i < c->count; i++) {
        if (gw_lot_distance_m(c->toes[i], bore->toe) < 1e-6) {
            return; // upright bores from one spot are one bore
        }
    }
    c->bores[c->count] = *bore;
    c->toes[c->count++] = bore->toe;
}

// Adds the most tilted bore allowed at each azimuth, and the least tilted one.
static void collect(const trials *all, choice *out)
{
    for (size_t k = 0; k < AZIMUTHS; k++) {
        size_t most = 0;
        while (most < TILTS && all->broken[k * TILTS + most]) {
            most++;
        }
        if (most < TILTS) {
            add_bore(out, &all->bores[k][most]);
        }
        if (!all->broken[k * TILTS + TILTS - 1]) {
            add_bore(out, &all->bores[k][TILTS - 1]);
        }
    }
}

static int by_azimuth(const void *left, const void *right)
{
    const gw_lot_slant_bore *const a = left;
    const gw_lot_slant_bore *const b = right;
    if (a->azimuth_rad != b->azimuth_rad) {
        return a->azimuth_rad < b->azimuth_rad ? -1 : 1;
    }
    return (a->tilt_rad > b->tilt_rad) - (a->tilt_rad < b->tilt_rad);
}

static const gw_lot_slant_bore *bore_of(const choice *c, gw_lot_point toe)
{
    size_t i = 0;
    while (i + 1 < c->count && (c->toes[i].x_m != toe.x_m || c->toes[i].y_m != toe.y_m)) {
        i++;
    }
    return &c->bores[i];
}

static gw_status choose(gw_arena *arena, const choice *c, size_t wanted, gw_lot_fan *out,
                        gw_err *err)
{
    const gw_lot_candidates from = {.points = c->toes, .count = c->count};
    gw_lot_point *const toes = gw_arena_alloc(arena, wanted, sizeof *toes);
    gw_lot_slant_bore *const bores = gw_arena_alloc(arena, wanted, sizeof *bores);
    if (toes == NULL || bores == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "fan", "no memory for %zu bores", wanted);
    }
    const gw_status st = gw_lot_spread(arena, &from, wanted, toes, err);
    if (st != GW_OK) {
        return st;
    }
    for (size_t i = 0; i < wanted; i++) {
        bores[i] = *bore_of(c, toes[i]);
    }
    const double least_m = gw_lot_spread_least_m(&from, toes, wanted);
    qsort(bores, wanted, sizeof *bores, by_azimuth);
    out->bores = bores;
    out->count = wanted;
    out->toe_spacing_m = isfinite(least_m) ? least_m : 0;
    return GW_OK;
}

static const char *tell(gw_arena *arena, const gw_lot_fan_request *ask, const gw_lot_fan *fan)
{
    if (fan->count == 0) {
        return gw_arena_printf(arena, "no bore from (%.2f, %.2f) m keeps its distances",
                               ask->spot.x_m, ask->spot.y_m);
    }
    if (fan->count == 1) {
        return gw_arena_printf(arena, "1 of %zu bores from one spot", ask->count);
    }
    return gw_arena_printf(arena, "%zu of %zu bores from one spot, toes %.2f m or more apart",
                           fan->count, ask->count, fan->toe_spacing_m);
}

gw_status gw_lot_place_fan(gw_arena *arena, const gw_lot_site *site, const gw_lot_fan_request *ask,
                           gw_lot_fan *out, gw_err *err)
{
    *out = (gw_lot_fan){0};
    gw_status st = check_request(ask, err);
    if (st != GW_OK) {
        return st;
    }
    choice *const options = gw_arena_alloc(arena, 1, sizeof *options);
    trials *const all = gw_arena_alloc(arena, 1, sizeof *all);
    if (options == NULL || all == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "fan", "no memory for the directions");
    }
    st = judge_all(arena, site, ask, all, err);
    if (st == GW_OK) {
        collect(all, options);
    }
    if (st == GW_OK && options->count > 0) {
        const size_t wanted = ask->count < options->count ? ask->count : options->count;
        st = choose(arena, options, wanted, out, err);
    }
    if (st != GW_OK) {
        return st;
    }
    out->fits = out->count == ask->count;
    out->text = tell(arena, ask, out);
    return out->text != NULL ? GW_OK
                             : gw_fail(err, GW_ERR_NOMEM, "fan", "no memory for a sentence");
}
