// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "lot/route.h"

#include "lot/plane.h"

#include <math.h>

enum { MOST_ENDS = 500, START = 0, GOAL = 1, FIRST_CORNER = 2 };
static const double LONGEST_REACH_M = 50;
static const double TOUCH_M = 1e-9; // nearer to a line than this: on it

// A corner of the ground that points into it, with its two neighbours along the ring. The two ends
// of the trip have no neighbours (they are their own).
typedef struct {
    gw_lot_point at, before, after;
} corner;

// A ring of the ground with the box about it: most lines of sight miss most rings.
typedef struct {
    const gw_lot_path *path;
    double west_m, east_m, south_m, north_m;
} fence;

typedef struct {
    const gw_lot_region *ground;
    corner *corners; // START, GOAL, then corners of the ground
    size_t count;
    fence *fences;
    size_t fence_count;
} graph;

// ---- the graph's corners ---------------------------------------------------------------------

static double turn_m2(gw_lot_point a, gw_lot_point b, gw_lot_point c)
{
    return (b.x_m - a.x_m) * (c.y_m - a.y_m) - (b.y_m - a.y_m) * (c.x_m - a.x_m);
}

static void add_ring(graph *g, const gw_lot_path *ring)
{
    fence *const f = &g->fences[g->fence_count++];
    *f = (fence){ring, HUGE_VAL, -HUGE_VAL, HUGE_VAL, -HUGE_VAL};
    for (size_t i = 1; i < ring->count; i++) {
        f->west_m = fmin(f->west_m, ring->points[i].x_m);
        f->east_m = fmax(f->east_m, ring->points[i].x_m);
        f->south_m = fmin(f->south_m, ring->points[i].y_m);
        f->north_m = fmax(f->north_m, ring->points[i].y_m);
        const corner c = {ring->points[i], ring->points[i - 1],
                          ring->points[i + 1 < ring->count ? i + 1 : 1]};
        // Ground lies on the left hand: a right turn points into it.
        if (turn_m2(c.before, c.at, c.after) < 0) {
            g->corners[g->count++] = c;
        }
    }
}

static size_t count_points(const gw_lot_region *ground, size_t *rings)
{
    size_t count = FIRST_CORNER;
    *rings = 0;
    for (size_t i = 0; i < ground->count; i++) {
        *rings += 1 + ground->polygons[i].hole_count;
        count += ground->polygons[i].outer.count;
        for (size_t h = 0; h < ground->polygons[i].hole_count; h++) {
            count += ground->polygons[i].holes[h].count;
        }
    }
    return count;
}

static gw_status graph_init(gw_arena *arena, const gw_lot_region *ground, graph *out, gw_err *err)
{
    size_t rings = 0;
    const size_t most = count_points(ground, &rings);
    *out = (graph){.ground = ground, .count = FIRST_CORNER};
    out->corners = gw_arena_alloc(arena, most, sizeof *out->corners);
    out->fences = gw_arena_alloc(arena, rings, sizeof *out->fences);
    if (out->corners == NULL || out->fences == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "lot", "no memory for %zu corners", most);
    }
    for (size_t i = 0; i < ground->count; i++) {
        const gw_lot_polygon *const polygon = &ground->polygons[i];
        add_ring(out, &polygon->outer);
        for (size_t h = 0; h < polygon->hole_count; h++) {
            add_ring(out, &polygon->holes[h]);
        }
    }
    return GW_OK;
}

// ---- who sees whom ---------------------------------------------------------------------------

// A shortest path leaves or passes a corner only so that both its neighbours lie on one side.
static bool passes(const corner *c, gw_lot_point other)
{
    const double touch_m2 = TOUCH_M * gw_lot_distance_m(c->at, other);
    const double before_m2 = turn_m2(other, c->at, c->before);
    const double after_m2 = turn_m2(other, c->at, c->after);
    return !((before_m2 > touch_m2 && after_m2 < -touch_m2) ||
             (before_m2 < -touch_m2 && after_m2 > touch_m2));
}

// Does the edge c-d cross a-b with both edges reaching well over the other?
static bool crosses(gw_lot_point a, gw_lot_point b, gw_lot_point c, gw_lot_point d)
{
    if (fmax(c.x_m, d.x_m) < fmin(a.x_m, b.x_m) || fmin(c.x_m, d.x_m) > fmax(a.x_m, b.x_m) ||
        fmax(c.y_m, d.y_m) < fmin(a.y_m, b.y_m) || fmin(c.y_m, d.y_m) > fmax(a.y_m, b.y_m)) {
        return false;
    }
    const double ab_m = gw_lot_distance_m(a, b);
    const double cd_m = gw_lot_distance_m(c, d);
    const double c_m = turn_m2(a, b, c) / ab_m;
    const double d_m = turn_m2(a, b, d) / ab_m;
    const double a_m = turn_m2(c, d, a) / cd_m;
    const double b_m = turn_m2(c, d, b) / cd_m;
    return ((c_m > TOUCH_M && d_m < -TOUCH_M) || (c_m < -TOUCH_M && d_m > TOUCH_M)) &&
           ((a_m > TOUCH_M && b_m < -TOUCH_M) || (a_m < -TOUCH_M && b_m > TOUCH_M));
}

static bool ring_crosses(const gw_lot_path *ring, gw_lot_point a, gw_lot_point b)
{
    for (size_t i = 1; i < ring->count; i++) {
        if (crosses(a, b, ring->points[i - 1], ring->points[i])) {
            return true;
        }
    }
    return false;
}

static bool misses(const fence *f, gw_lot_point a, gw_lot_point b)
{
    return fmax(a.x_m, b.x_m) < f->west_m || fmin(a.x_m, b.x_m) > f->east_m ||
           fmax(a.y_m, b.y_m) < f->south_m || fmin(a.y_m, b.y_m) > f->north_m;
}

// A line that crosses no edge may still slip out through a corner: the middles of the pieces
// between the places where it meets a ring must lie on the ground.
static bool stays_on(const graph *g, gw_lot_point a, gw_lot_point b)
{
    for (double from = 0; from < 1;) {
        double to = 1;
        for (size_t i = 0; i < g->fence_count; i++) {
            if (!misses(&g->fences[i], a, b)) {
                to = fmin(to, gw_lot_next_meeting(g->fences[i].path, a, b, from));
            }
        }
        const double t = 0.5 * (from + to);
        const gw_lot_point middle = {a.x_m + t * (b.x_m - a.x_m), a.y_m + t * (b.y_m - a.y_m)};
        if (!gw_lot_region_contains(g->ground, middle)) {
            return false;
        }
        from = to;
    }
    return true;
}

static bool sees(const graph *g, gw_lot_point a, gw_lot_point b)
{
    for (size_t i = 0; i < g->fence_count; i++) {
        if (!misses(&g->fences[i], a, b) && ring_crosses(g->fences[i].path, a, b)) {
            return false;
        }
    }
    return stays_on(g, a, b);
}

static bool joined(const graph *g, size_t i, size_t j)
{
    const corner *const a = &g->corners[i];
    const corner *const b = &g->corners[j];
    if (!(gw_lot_distance_m(a->at, b->at) > 0)) {
        return true;
    }
    return passes(a, b->at) && passes(b, a->at) && sees(g, a->at, b->at);
}

// ---- A* --------------------------------------------------------------------------------------

typedef struct {
    double *way_m; // shortest way known from START
    size_t *parent;
    bool *closed;
} frontier;

static bool frontier_init(gw_arena *arena, size_t count, frontier *out)
{
    out->way_m = gw_arena_alloc(arena, count, sizeof *out->way_m);
    out->parent = gw_arena_alloc(arena, count, sizeof *out->parent);
    out->closed = gw_arena_alloc(arena, count, sizeof *out->closed);
    if (out->way_m == NULL || out->parent == NULL || out->closed == NULL) {
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        out->way_m[i] = HUGE_VAL;
    }
    out->way_m[START] = 0;
    return true;
}

// Open corner with the least way so far plus straight line to the goal; count when none is left.
static size_t most_promising(const graph *g, const frontier *f)
{
    size_t best = g->count;
    double best_m = HUGE_VAL;
    for (size_t i = 0; i < g->count; i++) {
        const double least_m =
            f->way_m[i] + gw_lot_distance_m(g->corners[i].at, g->corners[GOAL].at);
        if (!f->closed[i] && least_m < best_m) {
            best_m = least_m;
            best = i;
        }
    }
    return best;
}

static bool search(const graph *g, frontier *f)
{
    for (;;) {
        const size_t at = most_promising(g, f);
        if (at == g->count || at == GOAL) {
            return at == GOAL;
        }
        f->closed[at] = true;
        for (size_t j = 0; j < g->count; j++) {
            const double way_m =
                f->way_m[at] + gw_lot_distance_m(g->corners[at].at, g->corners[j].at);
            if (!f->closed[j] && way_m < f->way_m[j] && joined(g, at, j)) {
                f->way_m[j] = way_m;
                f->parent[j] = at;
            }
        }
    }
}

// ---- ends ------------------------------------------------------------------------------------

static gw_status check_trip(const gw_lot_trip *trip, gw_err *err)
{
    if (!(trip->reach_m >= 0 && trip->reach_m <= LONGEST_REACH_M)) {
        return gw_fail(err, GW_ERR_RANGE, "trip.reach_m", "reach %g m must be 0 to %g m",
                       trip->reach_m, LONGEST_REACH_M);
    }
    if (!isfinite(trip->from.x_m) || !isfinite(trip->from.y_m)) {
        return gw_fail(err, GW_ERR_RANGE, "trip.from", "not a place");
    }
    if (!isfinite(trip->to.x_m) || !isfinite(trip->to.y_m)) {
        return gw_fail(err, GW_ERR_RANGE, "trip.to", "not a place");
    }
    return GW_OK;
}

// Where a trip's end meets the allowed ground.
static gw_status join_end(const gw_lot_region *ground, gw_lot_point end, double reach_m,
                          gw_lot_point *out, gw_err *err)
{
    if (gw_lot_region_contains(ground, end)) {
        *out = end;
        return GW_OK;
    }
    *out = gw_lot_nearest_on_region(ground, end);
    const double off_m = gw_lot_distance_m(end, *out);
    if (ground->count == 0 || off_m > reach_m) {
        return gw_fail(err, GW_ERR_GEOMETRY, "header",
                       "(%.2f, %.2f) m is not within %.2f m of ground where a header may lie",
                       end.x_m, end.y_m, reach_m);
    }
    return GW_OK;
}

static bool same(gw_lot_point a, gw_lot_point b)
{
    return a.x_m == b.x_m && a.y_m == b.y_m;
}

// Writes the route backwards from the goal. points[] holds count + 2.
static gw_status trace(gw_arena *arena, const graph *g, const frontier *f, const gw_lot_trip *trip,
                       gw_lot_route *out)
{
    size_t count = 1;
    for (size_t i = GOAL; i != START; i = f->parent[i]) {
        count++;
    }
    gw_lot_point *const points = gw_arena_alloc(arena, count + 2, sizeof *points);
    if (points == NULL) {
        return GW_ERR_NOMEM;
    }
    const size_t lead = same(trip->from, g->corners[START].at) ? 0 : 1;
    size_t place = lead + count;
    for (size_t i = GOAL; place > lead; i = f->parent[i]) {
        points[--place] = g->corners[i].at;
    }
    points[0] = trip->from;
    count += lead;
    if (!same(trip->to, g->corners[GOAL].at)) {
        points[count++] = trip->to;
    }
    out->path = (gw_lot_path){points, count};
    out->length_m = gw_lot_path_length_m(&out->path);
    return GW_OK;
}

static gw_status route_in(gw_arena *arena, graph *g, const gw_lot_trip *trip, gw_lot_route *out,
                          gw_err *err)
{
    gw_lot_point from;
    gw_lot_point to;
    gw_status st = check_trip(trip, err);
    if (st == GW_OK) {
        st = join_end(g->ground, trip->from, trip->reach_m, &from, err);
    }
    if (st == GW_OK) {
        st = join_end(g->ground, trip->to, trip->reach_m, &to, err);
    }
    if (st != GW_OK) {
        return st;
    }
    g->corners[START] = (corner){from, from, from};
    g->corners[GOAL] = (corner){to, to, to};
    frontier f;
    if (!frontier_init(arena, g->count, &f)) {
        return gw_fail(err, GW_ERR_NOMEM, "header", "no memory for a route");
    }
    if (!search(g, &f)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "header",
                       "no ground where a header may lie joins (%.2f, %.2f) m and (%.2f, %.2f) m",
                       trip->from.x_m, trip->from.y_m, trip->to.x_m, trip->to.y_m);
    }
    st = trace(arena, g, &f, trip, out);
    return st == GW_OK ? GW_OK : gw_fail(err, st, "header", "no memory for a route");
}

gw_status gw_lot_find_route(gw_arena *arena, const gw_lot_region *allowed, const gw_lot_trip *trip,
                            gw_lot_route *out, gw_err *err)
{
    graph g;
    const gw_status st = graph_init(arena, allowed, &g, err);
    return st == GW_OK ? route_in(arena, &g, trip, out, err) : st;
}

// ---- the tree --------------------------------------------------------------------------------

// Prim's tree over ends not joined yet: the best leg known to each. A straight line is never longer
// than a route, so a route is only searched where the straight line could still win.
typedef struct {
    graph g;
    const gw_lot_header_request *ask;
    gw_lot_header_leg *best; // [count]
    bool *in_tree;
} tree;

static gw_status try_legs(gw_arena *arena, tree *t, size_t parent, gw_err *err)
{
    const gw_lot_header_request *const ask = t->ask;
    const gw_lot_point from = parent < ask->count ? ask->ends[parent] : ask->entry;
    for (size_t i = 0; i < ask->count; i++) {
        if (t->in_tree[i] || gw_lot_distance_m(from, ask->ends[i]) >= t->best[i].route.length_m) {
            continue;
        }
        const gw_lot_trip trip = {from, ask->ends[i], ask->reach_m};
        gw_lot_route route;
        const gw_status st = route_in(arena, &t->g, &trip, &route, err);
        if (st != GW_OK) {
            return st;
        }
        if (route.length_m < t->best[i].route.length_m) {
            t->best[i] = (gw_lot_header_leg){parent, i, route};
        }
    }
    return GW_OK;
}

static size_t nearest_outside(const tree *t)
{
    size_t best = t->ask->count;
    for (size_t i = 0; i < t->ask->count; i++) {
        if (!t->in_tree[i] &&
            (best == t->ask->count || t->best[i].route.length_m < t->best[best].route.length_m)) {
            best = i;
        }
    }
    return best;
}

static gw_status grow(gw_arena *arena, tree *t, gw_lot_header_tree *out, gw_err *err)
{
    const size_t count = t->ask->count;
    gw_lot_header_leg *const legs = gw_arena_alloc(arena, count, sizeof *legs);
    if (legs == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "header", "no memory for %zu legs", count);
    }
    for (size_t parent = count; out->count < count;) {
        const gw_status st = try_legs(arena, t, parent, err);
        if (st != GW_OK) {
            return st;
        }
        parent = nearest_outside(t);
        t->in_tree[parent] = true;
        legs[out->count++] = t->best[parent];
        out->length_m += t->best[parent].route.length_m;
    }
    out->legs = legs;
    return GW_OK;
}

gw_status gw_lot_find_header(gw_arena *arena, const gw_lot_region *allowed,
                             const gw_lot_header_request *ask, gw_lot_header_tree *out, gw_err *err)
{
    *out = (gw_lot_header_tree){0};
    if (ask->count < 1 || ask->count > MOST_ENDS) {
        return gw_fail(err, GW_ERR_RANGE, "header.count", "%zu loop ends must be 1 to %d",
                       ask->count, MOST_ENDS);
    }
    tree t = {.ask = ask};
    const gw_status st = graph_init(arena, allowed, &t.g, err);
    if (st != GW_OK) {
        return st;
    }
    t.best = gw_arena_alloc(arena, ask->count, sizeof *t.best);
    t.in_tree = gw_arena_alloc(arena, ask->count, sizeof *t.in_tree);
    if (t.best == NULL || t.in_tree == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "header", "no memory for %zu loop ends", ask->count);
    }
    for (size_t i = 0; i < ask->count; i++) {
        t.best[i].route.length_m = HUGE_VAL;
    }
    return grow(arena, &t, out, err);
}
