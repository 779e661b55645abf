// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "lot/lanes.h"

#include "lot/plane.h"
#include "lot/rows.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { DIRECTIONS = 60, SHIFTS = 6, MOST_EDGE_DIRECTIONS = 24, MOST_LANES = 2000 };
static const double EDGE_M = 5;    // an edge as long as this gives a direction of its own
static const double INTO_M = 1e-7; // the outermost rows lie this far inside
static const double SLACK_M = 1e-6;

// ---- request ---------------------------------------------------------------------------------

static gw_status check_span(const char *field, double value_m, double least_m, double most_m,
                            gw_err *err)
{
    if (!(value_m >= least_m && value_m <= most_m)) {
        return gw_fail(err, GW_ERR_RANGE, field, "%g m must be %g to %g m", value_m, least_m,
                       most_m);
    }
    return GW_OK;
}

static gw_status check_request(const gw_lot_lane_request *ask, gw_err *err)
{
    gw_status st = check_span("lanes.total_m", ask->total_m, 1e-3, 20000, err);
    if (st == GW_OK) {
        st = check_span("lanes.spacing_m", ask->spacing_m, 0.3, 50, err);
    }
    if (st == GW_OK) {
        st = check_span("lanes.least_m", ask->least_m, 0.5, 500, err);
    }
    if (st == GW_OK && ask->longest_m != 0) {
        st = check_span("lanes.longest_m", ask->longest_m, ask->least_m, 20000, err);
    }
    if (st != GW_OK) {
        return st;
    }
    if (ask->count > MOST_LANES) {
        return gw_fail(err, GW_ERR_RANGE, "lanes.count", "%zu lanes must be at most %d", ask->count,
                       MOST_LANES);
    }
    if (ask->direction_rad != NULL && !isfinite(*ask->direction_rad)) {
        return gw_fail(err, GW_ERR_RANGE, "lanes.direction_rad", "not a direction");
    }
    if (ask->near != NULL && !(isfinite(ask->near->x_m) && isfinite(ask->near->y_m))) {
        return gw_fail(err, GW_ERR_RANGE, "lanes.near", "not a place");
    }
    return GW_OK;
}

// ---- pieces of rows --------------------------------------------------------------------------

// A stretch of a row on the ground, in the frame of the rows.
typedef struct {
    double y_m, from_m, to_m;
    double key_m; // what it is sorted by
} piece;

typedef struct {
    gw_arena *arena;
    piece *items;
    size_t count;
    size_t capacity;
} pieces;

static bool make_room(pieces *list, size_t wanted)
{
    if (wanted <= list->capacity) {
        return true;
    }
    const size_t capacity = wanted > 2 * list->capacity ? wanted : 2 * list->capacity;
    piece *const items = gw_arena_alloc(list->arena, capacity, sizeof *items);
    if (items == NULL) {
        return false;
    }
    if (list->count > 0) {
        memcpy(items, list->items, list->count * sizeof *items);
    }
    list->items = items;
    list->capacity = capacity;
    return true;
}

static double piece_m(const piece *p, const gw_lot_lane_request *ask)
{
    const double length_m = p->to_m - p->from_m;
    return ask->longest_m > 0 ? fmin(length_m, ask->longest_m) : length_m;
}

// All stretches at least least_m long of the rows cut.
static bool keep_stretches(const gw_lot_cuts *cuts, const gw_lot_lane_request *ask, pieces *out)
{
    out->count = 0;
    if (cuts->count == 0) {
        return true;
    }
    if (!make_room(out, cuts->start[cuts->count] / 2)) {
        return false;
    }
    for (size_t k = 0; k < cuts->count; k++) {
        for (size_t c = cuts->start[k]; c + 1 < cuts->start[k + 1]; c += 2) {
            const piece p = {cuts->y_m[k], cuts->crossing_m[c], cuts->crossing_m[c + 1], 0};
            if (p.to_m - p.from_m >= ask->least_m - SLACK_M) {
                out->items[out->count++] = p;
            }
        }
    }
    return true;
}

static int by_key(const void *left, const void *right)
{
    const piece *const a = left;
    const piece *const b = right;
    if (fabs(a->key_m - b->key_m) > 1e-9) {
        return a->key_m < b->key_m ? -1 : 1;
    }
    if (a->y_m != b->y_m) {
        return a->y_m < b->y_m ? -1 : 1;
    }
    return (a->from_m > b->from_m) - (a->from_m < b->from_m);
}

static void sort_by_length(pieces *list, const gw_lot_lane_request *ask)
{
    for (size_t i = 0; i < list->count; i++) {
        list->items[i].key_m = -piece_m(&list->items[i], ask);
    }
    if (list->count > 0) {
        qsort(list->items, list->count, sizeof *list->items, by_key);
    }
}

// ---- a layout --------------------------------------------------------------------------------

typedef struct {
    pieces lanes; // trimmed; key_m is the distance of the near end from the house
    double total_m;
    double cost_m;
    double direction_rad;
    double cosine, sine; // of the frame
    bool equal, fits;
} layout;

// Trims a stretch to length_m with one end as near to the house as can be.
static piece trim(const piece *p, double length_m, const gw_lot_point *house)
{
    const double spare_m = fmax(p->to_m - p->from_m - length_m, 0);
    if (house == NULL) {
        return (piece){p->y_m, p->from_m, p->to_m - spare_m, p->y_m};
    }
    // Either the near end to the right of the house, or the far one to its left.
    const double begin_m = fmin(fmax(house->x_m, p->from_m), p->from_m + spare_m);
    const double end_m = fmin(fmax(house->x_m, p->to_m - spare_m), p->to_m);
    const double right_m = hypot(begin_m - house->x_m, p->y_m - house->y_m);
    const double left_m = hypot(end_m - house->x_m, p->y_m - house->y_m);
    const double length = p->to_m - p->from_m - spare_m;
    return right_m <= left_m ? (piece){p->y_m, begin_m, begin_m + length, right_m}
                             : (piece){p->y_m, end_m - length, end_m, left_m};
}

// Number of equal lanes, 0 when equal lanes cannot reach the total. Pieces are sorted by length.
static size_t equal_count(const pieces *list, const gw_lot_lane_request *ask)
{
    const size_t first = ask->count > 0 ? ask->count : 1;
    const size_t last = ask->count > 0 ? ask->count : list->count;
    for (size_t n = first; n <= last && n <= list->count; n++) {
        const double each_m = ask->total_m / (double)n;
        if (each_m < ask->least_m - SLACK_M) {
            return 0;
        }
        if (piece_m(&list->items[n - 1], ask) >= each_m - SLACK_M) {
            return n;
        }
    }
    return 0;
}

static void finish(layout *l, const gw_lot_point *house)
{
    double low_m = HUGE_VAL;
    double high_m = -HUGE_VAL;
    double near_m = HUGE_VAL;
    l->total_m = 0;
    for (size_t i = 0; i < l->lanes.count; i++) {
        const piece *const p = &l->lanes.items[i];
        low_m = fmin(low_m, p->y_m);
        high_m = fmax(high_m, p->y_m);
        near_m = fmin(near_m, p->key_m);
        l->total_m += p->to_m - p->from_m;
    }
    l->cost_m = l->lanes.count == 0 ? 0 : high_m - low_m + (house != NULL ? near_m : 0);
}

// The `count` stretches that begin nearest to the house, each each_m long.
static bool lay_equal(const pieces *list, size_t count, const gw_lot_lane_request *ask,
                      const gw_lot_point *house, layout *out)
{
    const double each_m = ask->total_m / (double)count;
    out->lanes.count = 0;
    if (!make_room(&out->lanes, list->count)) {
        return false;
    }
    for (size_t i = 0; i < list->count; i++) {
        if (piece_m(&list->items[i], ask) >= each_m - SLACK_M) {
            out->lanes.items[out->lanes.count++] = trim(&list->items[i], each_m, house);
        }
    }
    qsort(out->lanes.items, out->lanes.count, sizeof *out->lanes.items, by_key);
    out->lanes.count = count;
    out->equal = out->fits = true;
    finish(out, house);
    return true;
}

// The longest stretches until the total is reached; the last is trimmed, not under least_m.
static bool lay_longest(const pieces *list, const gw_lot_lane_request *ask,
                        const gw_lot_point *house, layout *out)
{
    out->lanes.count = 0;
    if (!make_room(&out->lanes, list->count)) {
        return false;
    }
    double left_m = ask->total_m;
    const size_t most = ask->count > 0 && ask->count < list->count ? ask->count : list->count;
    for (size_t i = 0; i < most && left_m > SLACK_M; i++) {
        const double whole_m = piece_m(&list->items[i], ask);
        const double length_m = fmin(whole_m, fmax(left_m, ask->least_m));
        out->lanes.items[out->lanes.count++] = trim(&list->items[i], length_m, house);
        left_m -= length_m;
    }
    out->equal = false;
    out->fits = left_m <= SLACK_M;
    finish(out, house);
    return true;
}

static bool is_better(const layout *a, const layout *b)
{
    if (a->fits != b->fits) {
        return a->fits;
    }
    if (a->equal != b->equal) {
        return a->equal;
    }
    return a->fits ? a->cost_m < b->cost_m - SLACK_M : a->total_m > b->total_m + SLACK_M;
}

// ---- search ----------------------------------------------------------------------------------

typedef struct {
    gw_lot_rows rows;
    gw_lot_cuts cuts;
    pieces cut;
    layout trial, best;
    double most_m;
} search;

static bool keep_trial(search *s)
{
    const pieces room = s->best.lanes;
    s->best = s->trial;
    s->best.lanes = room;
    s->best.lanes.count = 0;
    if (!make_room(&s->best.lanes, s->trial.lanes.count)) {
        return false;
    }
    if (s->trial.lanes.count > 0) {
        memcpy(s->best.lanes.items, s->trial.lanes.items,
               s->trial.lanes.count * sizeof *s->trial.lanes.items);
    }
    s->best.lanes.count = s->trial.lanes.count;
    return true;
}

static bool try_rows(search *s, const gw_lot_lane_request *ask, double direction_rad,
                     double shift_m)
{
    const double first_m = s->rows.low_m + INTO_M + shift_m;
    if (!gw_lot_rows_cut_all(s->cut.arena, &s->rows, first_m, ask->spacing_m, &s->cuts) ||
        !keep_stretches(&s->cuts, ask, &s->cut)) {
        return false;
    }
    double all_m = 0;
    for (size_t i = 0; i < s->cut.count; i++) {
        all_m += piece_m(&s->cut.items[i], ask);
    }
    s->most_m = fmax(s->most_m, all_m);
    sort_by_length(&s->cut, ask);
    gw_lot_point in_frame;
    const gw_lot_point *house = NULL;
    if (ask->near != NULL) {
        in_frame = gw_lot_rows_to_frame(&s->rows, *ask->near);
        house = &in_frame;
    }
    const size_t equal = equal_count(&s->cut, ask);
    if (!(equal > 0 ? lay_equal(&s->cut, equal, ask, house, &s->trial)
                    : lay_longest(&s->cut, ask, house, &s->trial))) {
        return false;
    }
    s->trial.direction_rad = direction_rad;
    s->trial.cosine = s->rows.cosine;
    s->trial.sine = s->rows.sine;
    return !is_better(&s->trial, &s->best) || keep_trial(s);
}

static bool try_direction(search *s, const gw_lot_region *usable, const gw_lot_lane_request *ask,
                          double direction_rad)
{
    const double half_turn_rad = acos(-1.0);
    double turned_rad = fmod(direction_rad, half_turn_rad);
    turned_rad += turned_rad < 0 ? half_turn_rad : 0;
    gw_lot_rows_turn(&s->rows, usable, turned_rad);
    for (size_t k = 0; k < SHIFTS; k++) {
        const double shift_m = ask->spacing_m * (double)k / SHIFTS;
        if (!try_rows(s, ask, turned_rad, shift_m)) {
            return false;
        }
    }
    return true;
}

// Directions of long edges, longest edges first come first served.
static bool try_edges(search *s, const gw_lot_region *usable, const gw_lot_lane_request *ask)
{
    size_t tried = 0;
    for (size_t i = 0; i < usable->count; i++) {
        const gw_lot_path *const ring = &usable->polygons[i].outer;
        for (size_t k = 1; k < ring->count && tried < MOST_EDGE_DIRECTIONS; k++) {
            const gw_lot_point a = ring->points[k - 1];
            const gw_lot_point b = ring->points[k];
            if (gw_lot_distance_m(a, b) < EDGE_M) {
                continue;
            }
            tried++;
            if (!try_direction(s, usable, ask, atan2(b.y_m - a.y_m, b.x_m - a.x_m))) {
                return false;
            }
        }
    }
    return true;
}

static bool try_all(search *s, const gw_lot_region *usable, const gw_lot_lane_request *ask)
{
    if (ask->direction_rad != NULL) {
        return try_direction(s, usable, ask, *ask->direction_rad);
    }
    const double first_rad = gw_lot_longest_edge_rad(usable);
    for (size_t k = 0; k < DIRECTIONS; k++) {
        if (!try_direction(s, usable, ask, first_rad + (double)k * acos(-1.0) / DIRECTIONS)) {
            return false;
        }
    }
    return try_edges(s, usable, ask);
}

// ---- result ----------------------------------------------------------------------------------

static int by_place(const void *left, const void *right)
{
    const piece *const a = left;
    const piece *const b = right;
    if (a->y_m != b->y_m) {
        return a->y_m < b->y_m ? -1 : 1;
    }
    return (a->from_m > b->from_m) - (a->from_m < b->from_m);
}

static bool copy_lanes(gw_arena *arena, search *s, const gw_lot_lane_request *ask,
                       gw_lot_lanes *out)
{
    layout *const best = &s->best;
    gw_lot_lane *const lanes = gw_arena_alloc(arena, best->lanes.count, sizeof *lanes);
    if (lanes == NULL) {
        return false;
    }
    s->rows.cosine = best->cosine;
    s->rows.sine = best->sine;
    if (best->lanes.count > 0) {
        qsort(best->lanes.items, best->lanes.count, sizeof *best->lanes.items, by_place);
    }
    for (size_t i = 0; i < best->lanes.count; i++) {
        const piece *const p = &best->lanes.items[i];
        gw_lot_lane lane = {
            gw_lot_rows_to_lot(&s->rows, (gw_lot_point){p->from_m, p->y_m}),
            gw_lot_rows_to_lot(&s->rows, (gw_lot_point){p->to_m, p->y_m}),
            p->to_m - p->from_m,
        };
        if (ask->near != NULL &&
            gw_lot_distance_m(lane.to, *ask->near) < gw_lot_distance_m(lane.from, *ask->near)) {
            const gw_lot_point far = lane.from;
            lane.from = lane.to;
            lane.to = far;
        }
        lanes[i] = lane;
    }
    out->items = lanes;
    out->count = best->lanes.count;
    return true;
}

static const char *tell(gw_arena *arena, const gw_lot_lane_request *ask, const gw_lot_lanes *l)
{
    if (l->count == 0) {
        return gw_arena_printf(arena, "no lane of %.1f m or more fits on the usable ground",
                               ask->least_m);
    }
    const char *const plural = l->count == 1 ? "" : "s";
    if (l->fits && l->equal) {
        return gw_arena_printf(arena, "%zu lane%s of %.1f m, %.2f m apart", l->count, plural,
                               l->total_m / (double)l->count, ask->spacing_m);
    }
    if (l->fits) {
        return gw_arena_printf(arena, "%zu lane%s, %.1f m together, of unequal length", l->count,
                               plural, l->total_m);
    }
    return gw_arena_printf(arena, "%.1f m of the %.1f m asked fit, in %zu lane%s %.2f m apart",
                           l->total_m, ask->total_m, l->count, plural, ask->spacing_m);
}

gw_status gw_lot_place_lanes(gw_arena *arena, const gw_lot_region *usable,
                             const gw_lot_lane_request *ask, gw_lot_lanes *out, gw_err *err)
{
    *out = (gw_lot_lanes){0};
    gw_status st = check_request(ask, err);
    if (st != GW_OK) {
        return st;
    }
    if (usable->count > 0) {
        search s = {.cut = {.arena = arena}};
        s.trial.lanes.arena = s.best.lanes.arena = arena;
        st = gw_lot_rows_init(arena, usable, &s.rows, err);
        if (st != GW_OK) {
            return st;
        }
        if (!try_all(&s, usable, ask) || !copy_lanes(arena, &s, ask, out)) {
            return gw_fail(err, GW_ERR_NOMEM, "lanes", "no memory for the lanes");
        }
        out->total_m = s.best.total_m;
        out->most_m = s.most_m;
        out->direction_rad = s.best.direction_rad;
        out->equal = s.best.equal;
        out->fits = s.best.fits;
    }
    out->text = tell(arena, ask, out);
    return out->text != NULL ? GW_OK
                             : gw_fail(err, GW_ERR_NOMEM, "lanes", "no memory for a sentence");
}
