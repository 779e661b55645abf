// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "lot/bores.h"

#include "lot/plane.h"
#include "lot/rows.h"
#include "lot/spread.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { GRID_POINTS = 1500, MOST_CANDIDATES = 40000, SLIDE_DIRECTIONS = 16, MOST_SWEEPS = 60 };
static const double FINEST_GRID_M = 0.05;
static const double FINEST_SLIDE_M = 0.001;
static const double LARGEST_SPACING_M = 100;
static const double INTO_M = 1e-7; // the outermost rows lie this far inside
static const double SPACING_SLACK_M = 1e-6;

static gw_status check_request(const gw_lot_bore_request *ask, gw_err *err)
{
    if (ask->count < 1 || ask->count > GW_LOT_MOST_BORES) {
        return gw_fail(err, GW_ERR_RANGE, "bores.count", "%zu bores must be 1 to %d", ask->count,
                       GW_LOT_MOST_BORES);
    }
    if (!(ask->least_spacing_m >= 0 && ask->least_spacing_m <= LARGEST_SPACING_M)) {
        return gw_fail(err, GW_ERR_RANGE, "bores.least_spacing_m",
                       "least spacing %g m must be 0 to %g m", ask->least_spacing_m,
                       LARGEST_SPACING_M);
    }
    const double wanted_m = ask->wanted_spacing_m;
    if (wanted_m != 0 &&
        !(wanted_m >= ask->least_spacing_m && wanted_m > 0 && wanted_m <= LARGEST_SPACING_M)) {
        return gw_fail(err, GW_ERR_RANGE, "bores.wanted_spacing_m",
                       "wanted spacing %g m must be the least spacing %g m to %g m, or 0", wanted_m,
                       ask->least_spacing_m, LARGEST_SPACING_M);
    }
    if (ask->near != NULL && !(isfinite(ask->near->x_m) && isfinite(ask->near->y_m))) {
        return gw_fail(err, GW_ERR_RANGE, "bores.near", "not a place");
    }
    for (size_t i = 0; i < ask->fixed_count; i++) {
        if (!isfinite(ask->fixed[i].x_m) || !isfinite(ask->fixed[i].y_m)) {
            return gw_fail(err, GW_ERR_RANGE, "bores.fixed", "bore %zu is not at a place", i + 1);
        }
    }
    return GW_OK;
}

// ---- candidates ------------------------------------------------------------------------------

typedef struct {
    gw_arena *arena;
    gw_lot_point *points;
    size_t count;
    size_t capacity;
    bool full; // out of memory
} pool;

static void pool_add(pool *p, gw_lot_point point)
{
    if (p->count == p->capacity) {
        const size_t capacity = p->capacity == 0 ? 1024 : 2 * p->capacity;
        gw_lot_point *const points = gw_arena_alloc(p->arena, capacity, sizeof *points);
        if (points == NULL) {
            p->full = true;
            return;
        }
        if (p->count > 0) {
            memcpy(points, p->points, p->count * sizeof *points);
        }
        p->points = points;
        p->capacity = capacity;
    }
    p->points[p->count++] = point;
}

// Real corners of the ground: turns of more than 10°, not the chords of an arc.
static void add_corners(pool *p, const gw_lot_path *ring)
{
    const double least_sine = 0.17;
    for (size_t i = 1; i < ring->count; i++) {
        const gw_lot_point a = ring->points[i - 1];
        const gw_lot_point b = ring->points[i];
        const gw_lot_point c = ring->points[i + 1 < ring->count ? i + 1 : 1];
        const double cross = (b.x_m - a.x_m) * (c.y_m - b.y_m) - (b.y_m - a.y_m) * (c.x_m - b.x_m);
        if (cross > least_sine * gw_lot_distance_m(a, b) * gw_lot_distance_m(b, c)) {
            pool_add(p, b);
        }
    }
}

// Both ends of a stretch of a row, and the places of the grid between.
static void add_row(pool *p, const gw_lot_rows *rows, double step_m, gw_lot_point from, double to_m)
{
    const double west_m = rows->west_m + INTO_M;
    pool_add(p, gw_lot_rows_to_lot(rows, from));
    double n = ceil((from.x_m - west_m) / step_m);
    for (; west_m + n * step_m <= to_m && !p->full; n += 1) {
        pool_add(p, gw_lot_rows_to_lot(rows, (gw_lot_point){west_m + n * step_m, from.y_m}));
    }
    pool_add(p, gw_lot_rows_to_lot(rows, (gw_lot_point){to_m, from.y_m}));
}

// Points step_m apart in rows step_m apart, row by row, with both ends of every row; corners last.
static gw_status fill_grid(pool *p, const gw_lot_region *ground, double step_m, gw_err *err)
{
    gw_lot_rows rows;
    const gw_status st = gw_lot_rows_init(p->arena, ground, &rows, err);
    if (st != GW_OK) {
        return st;
    }
    gw_lot_rows_turn(&rows, ground, gw_lot_longest_edge_rad(ground));
    gw_lot_cuts cuts = {0};
    if (!gw_lot_rows_cut_all(p->arena, &rows, rows.low_m + INTO_M, step_m, &cuts)) {
        return gw_fail(err, GW_ERR_NOMEM, "lot", "no memory for places to drill");
    }
    for (size_t k = 0; k < cuts.count; k++) {
        for (size_t c = cuts.start[k]; c + 1 < cuts.start[k + 1] && !p->full; c += 2) {
            const gw_lot_point from = {cuts.crossing_m[c], cuts.y_m[k]};
            add_row(p, &rows, step_m, from, cuts.crossing_m[c + 1]);
        }
    }
    for (size_t i = 0; i < ground->count && !p->full; i++) {
        add_corners(p, &ground->polygons[i].outer);
    }
    if (p->full) {
        return gw_fail(err, GW_ERR_NOMEM, "lot", "no memory for places to drill");
    }
    if (p->count == 0) { // a sliver between two rows
        pool_add(p, ground->polygons[0].outer.points[0]);
    }
    return GW_OK;
}

static double step_for(const gw_lot_region *ground, double points)
{
    return fmax(sqrt(ground->area_m2 / points), FINEST_GRID_M);
}

// A step that goes whole times into the spacing, so that rows can stand exactly that far apart.
static double step_within(const gw_lot_region *ground, double spacing_m)
{
    const double coarse_m = fmin(step_for(ground, GRID_POINTS), 0.25 * spacing_m);
    const double step_m = spacing_m / ceil(spacing_m / coarse_m - 1e-9);
    return fmax(step_m, step_for(ground, MOST_CANDIDATES));
}

// ---- taking them in order --------------------------------------------------------------------

typedef struct {
    gw_lot_point at;
    double key_m;
    size_t rank; // in the grid: breaks ties
} ordered;

static int by_key(const void *left, const void *right)
{
    const ordered *const a = left;
    const ordered *const b = right;
    if (fabs(a->key_m - b->key_m) > 1e-9) {
        return a->key_m < b->key_m ? -1 : 1;
    }
    return (a->rank > b->rank) - (a->rank < b->rank);
}

static bool stands_clear(gw_lot_point p, const gw_lot_point *others, size_t count, double spacing_m)
{
    for (size_t i = 0; i < count; i++) {
        if (gw_lot_distance_m(p, others[i]) < spacing_m - SPACING_SLACK_M) {
            return false;
        }
    }
    return true;
}

// Takes candidates in the order given, each clear of those taken.
static gw_status take(gw_arena *arena, const gw_lot_candidates *from,
                      const gw_lot_bore_request *ask, double spacing_m, gw_lot_bores *out)
{
    gw_lot_point *const taken = gw_arena_alloc(arena, ask->count, sizeof *taken);
    if (taken == NULL) {
        return GW_ERR_NOMEM;
    }
    out->count = 0;
    for (size_t c = 0; c < from->count && out->count < ask->count; c++) {
        if (stands_clear(from->points[c], from->fixed, from->fixed_count, spacing_m) &&
            stands_clear(from->points[c], taken, out->count, spacing_m)) {
            taken[out->count++] = from->points[c];
        }
    }
    out->at = taken;
    return GW_OK;
}

// Puts the candidates in order of distance from `near`.
static gw_status sort_by_distance(pool *p, gw_lot_point near)
{
    ordered *const order = gw_arena_alloc(p->arena, p->count, sizeof *order);
    if (order == NULL) {
        return GW_ERR_NOMEM;
    }
    for (size_t c = 0; c < p->count; c++) {
        order[c] = (ordered){p->points[c], gw_lot_distance_m(p->points[c], near), c};
    }
    qsort(order, p->count, sizeof *order, by_key);
    for (size_t c = 0; c < p->count; c++) {
        p->points[c] = order[c].at;
    }
    return GW_OK;
}

// ---- as far apart as the ground allows -------------------------------------------------------

typedef struct {
    gw_arena *arena;
    const gw_lot_region *ground;
    gw_lot_candidates from;
    double step_m;
    gw_lot_point near;
} site;

// One bore to a better place step_m away, if there is one on the ground.
static bool slide(const site *s, gw_lot_point *bores, size_t count, size_t index, double step_m)
{
    const gw_lot_point at = bores[index];
    gw_lot_point best = at;
    double best_m = gw_lot_spread_nearest_m(&s->from, bores, count, index) + 1e-9;
    const double first_rad = gw_lot_longest_edge_rad(s->ground);
    for (size_t k = 0; k < SLIDE_DIRECTIONS; k++) {
        const double angle_rad = first_rad + (double)k * 2 * acos(-1.0) / SLIDE_DIRECTIONS;
        bores[index] =
            (gw_lot_point){at.x_m + step_m * cos(angle_rad), at.y_m + step_m * sin(angle_rad)};
        const double near_m = gw_lot_spread_nearest_m(&s->from, bores, count, index);
        if (near_m > best_m && gw_lot_region_contains(s->ground, bores[index])) {
            best_m = near_m;
            best = bores[index];
        }
    }
    bores[index] = best;
    return best.x_m != at.x_m || best.y_m != at.y_m;
}

static void refine(const site *s, gw_lot_point *bores, size_t count)
{
    for (double step_m = s->step_m; step_m >= FINEST_SLIDE_M; step_m *= 0.5) {
        bool moved = true;
        for (size_t sweep = 0; sweep < MOST_SWEEPS && moved; sweep++) {
            moved = false;
            for (size_t i = 0; i < count; i++) {
                moved = slide(s, bores, count, i, step_m) || moved;
            }
        }
    }
}

static gw_status spread_out(const site *s, size_t count, gw_lot_bores *out, gw_err *err)
{
    gw_lot_point *const bores = gw_arena_alloc(s->arena, count, sizeof *bores);
    if (bores == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "bores", "no memory for %zu bores", count);
    }
    const gw_status st = gw_lot_spread(s->arena, &s->from, count, bores, err);
    if (st != GW_OK) {
        return st;
    }
    const double rough_m = gw_lot_spread_least_m(&s->from, bores, count);
    gw_lot_point *const finer = gw_arena_alloc(s->arena, count, sizeof *finer);
    if (finer == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "bores", "no memory for %zu bores", count);
    }
    memcpy(finer, bores, count * sizeof *finer);
    refine(s, finer, count);
    const double fine_m = gw_lot_spread_least_m(&s->from, finer, count);
    out->at = fine_m > rough_m ? finer : bores;
    out->count = count;
    return GW_OK;
}

// A lone bore goes where it is handy: nearest to the house, or to the middle of the ground.
static gw_status place_one(const site *s, gw_lot_bores *out, gw_err *err)
{
    gw_lot_point *const bore = gw_arena_alloc(s->arena, 1, sizeof *bore);
    if (bore == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "bores", "no memory for a bore");
    }
    *bore = s->from.points[0];
    for (size_t c = 1; c < s->from.count; c++) {
        if (gw_lot_distance_m(s->from.points[c], s->near) < gw_lot_distance_m(*bore, s->near)) {
            *bore = s->from.points[c];
        }
    }
    out->at = bore;
    out->count = 1;
    return GW_OK;
}

static bool keeps(const site *s, const gw_lot_bores *bores, double spacing_m)
{
    return gw_lot_spread_least_m(&s->from, bores->at, bores->count) >= spacing_m - SPACING_SLACK_M;
}

// Fills the ground row by row with bores spacing_m apart: in square order when the grid's step is
// the spacing, staggered when it is finer. Kept when it beats *out.
static gw_status fill_rows(const site *s, const gw_lot_bore_request *ask, double step_m,
                           gw_lot_bores *out, gw_err *err)
{
    pool grid = {.arena = s->arena};
    gw_status st = fill_grid(&grid, s->ground, step_m, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_lot_candidates from = {grid.points, grid.count, ask->fixed, ask->fixed_count};
    gw_lot_bores trial = {0};
    st = take(s->arena, &from, ask, ask->least_spacing_m, &trial);
    if (st != GW_OK) {
        return gw_fail(err, st, "lot", "no memory for places to drill");
    }
    if (trial.count > out->count) {
        *out = trial;
    }
    return GW_OK;
}

// The most that keep the least spacing: between what filling by rows takes and what was asked, by
// halving; spacing falls with the number but for small waves of the search.
static gw_status place_fewer(const site *s, const gw_lot_bore_request *ask, gw_lot_bores *out,
                             gw_err *err)
{
    *out = (gw_lot_bores){0};
    const double spacing_m = ask->least_spacing_m;
    gw_status st =
        fill_rows(s, ask, fmax(spacing_m, step_for(s->ground, MOST_CANDIDATES)), out, err);
    if (st == GW_OK) {
        st = fill_rows(s, ask, step_within(s->ground, spacing_m), out, err);
    }
    if (st != GW_OK) {
        return st;
    }
    size_t fitting = out->count;
    size_t failing = ask->count;
    while (failing - fitting > 1) {
        const size_t middle = fitting + (failing - fitting) / 2;
        gw_lot_bores trial = {0};
        st = spread_out(s, middle, &trial, err);
        if (st != GW_OK) {
            return st;
        }
        if (keeps(s, &trial, ask->least_spacing_m)) {
            fitting = middle;
            *out = trial;
        } else {
            failing = middle;
        }
    }
    return GW_OK;
}

static gw_status place_widest(const site *s, const gw_lot_bore_request *ask, gw_lot_bores *out,
                              gw_err *err)
{
    const bool lone = ask->count == 1 && ask->fixed_count == 0;
    const gw_status st = lone ? place_one(s, out, err) : spread_out(s, ask->count, out, err);
    if (st != GW_OK || lone || keeps(s, out, ask->least_spacing_m)) {
        return st;
    }
    return place_fewer(s, ask, out, err);
}

static gw_status place(site *s, const gw_lot_bore_request *ask, gw_lot_bores *out, gw_err *err)
{
    if (ask->wanted_spacing_m > 0) {
        pool fine = {.arena = s->arena};
        const gw_status st =
            fill_grid(&fine, s->ground, step_within(s->ground, ask->wanted_spacing_m), err);
        if (st != GW_OK) {
            return st;
        }
        const gw_lot_candidates from = {fine.points, fine.count, ask->fixed, ask->fixed_count};
        if (sort_by_distance(&fine, s->near) != GW_OK ||
            take(s->arena, &from, ask, ask->wanted_spacing_m, out) != GW_OK) {
            return gw_fail(err, GW_ERR_NOMEM, "lot", "no memory for places to drill");
        }
        if (out->count == ask->count) {
            return GW_OK;
        }
    }
    pool grid = {.arena = s->arena};
    s->step_m = step_for(s->ground, GRID_POINTS);
    const gw_status st = fill_grid(&grid, s->ground, s->step_m, err);
    if (st != GW_OK) {
        return st;
    }
    s->from = (gw_lot_candidates){grid.points, grid.count, ask->fixed, ask->fixed_count};
    return place_widest(s, ask, out, err);
}

// ---- the public face -------------------------------------------------------------------------

static gw_lot_point middle_of_ground(const gw_lot_region *ground)
{
    const gw_lot_path *const ring = &ground->polygons[0].outer;
    gw_lot_point sum = {0, 0};
    for (size_t i = 1; i < ring->count; i++) {
        sum.x_m += (ring->points[i].x_m - ring->points[0].x_m) / (double)(ring->count - 1);
        sum.y_m += (ring->points[i].y_m - ring->points[0].y_m) / (double)(ring->count - 1);
    }
    return (gw_lot_point){ring->points[0].x_m + sum.x_m, ring->points[0].y_m + sum.y_m};
}

static gw_status tell(gw_arena *arena, const gw_lot_bore_request *ask, gw_lot_bores *out,
                      gw_err *err)
{
    const gw_lot_candidates fixed = {NULL, 0, ask->fixed, ask->fixed_count};
    const double least_m = gw_lot_spread_least_m(&fixed, out->at, out->count);
    out->spacing_m = isfinite(least_m) ? least_m : 0;
    out->fits = out->count == ask->count;
    const char *const plural = ask->count == 1 ? "" : "s";
    if (out->count == 0) {
        out->text = gw_arena_printf(arena, "no bore fits: there is no usable ground for it");
    } else if (!out->fits) {
        out->text = gw_arena_printf(arena, "%zu of %zu bores fit at least %.2f m apart", out->count,
                                    ask->count, ask->least_spacing_m);
    } else if (out->spacing_m == 0) {
        out->text = gw_arena_printf(arena, "%zu bore%s placed", out->count, plural);
    } else {
        out->text = gw_arena_printf(arena, "%zu bore%s placed, %.2f m or more apart", out->count,
                                    plural, out->spacing_m);
    }
    return out->text != NULL ? GW_OK
                             : gw_fail(err, GW_ERR_NOMEM, "bores", "no memory for a sentence");
}

gw_status gw_lot_place_bores(gw_arena *arena, const gw_lot_region *usable,
                             const gw_lot_bore_request *ask, gw_lot_bores *out, gw_err *err)
{
    *out = (gw_lot_bores){0};
    gw_status st = check_request(ask, err);
    if (st == GW_OK && usable->count > 0) {
        site s = {.arena = arena,
                  .ground = usable,
                  .near = ask->near != NULL ? *ask->near : middle_of_ground(usable)};
        st = place(&s, ask, out, err);
    }
    return st == GW_OK ? tell(arena, ask, out, err) : st;
}
