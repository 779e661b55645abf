// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "lot/rows.h"

#include "lot/plane.h"

#include <math.h>

static const double SLACK_M = 1e-6; // a row beyond the far edge by less is one along it
static const double INTO_M = 1e-7;  // … and lies this far inside

static size_t ring_edges(const gw_lot_polygon *polygon)
{
    size_t count = polygon->outer.count - 1;
    for (size_t h = 0; h < polygon->hole_count; h++) {
        count += polygon->holes[h].count - 1;
    }
    return count;
}

gw_status gw_lot_rows_init(gw_arena *arena, const gw_lot_region *region, gw_lot_rows *out,
                           gw_err *err)
{
    *out = (gw_lot_rows){.cosine = 1, .origin = region->polygons[0].outer.points[0]};
    for (size_t i = 0; i < region->count; i++) {
        out->count += ring_edges(&region->polygons[i]);
    }
    out->edges = gw_arena_alloc(arena, out->count, sizeof *out->edges);
    if (out->edges == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "lot", "no memory for %zu edges", out->count);
    }
    return GW_OK;
}

gw_lot_point gw_lot_rows_to_frame(const gw_lot_rows *rows, gw_lot_point p)
{
    const double x_m = p.x_m - rows->origin.x_m;
    const double y_m = p.y_m - rows->origin.y_m;
    return (gw_lot_point){x_m * rows->cosine + y_m * rows->sine,
                          y_m * rows->cosine - x_m * rows->sine};
}

gw_lot_point gw_lot_rows_to_lot(const gw_lot_rows *rows, gw_lot_point p)
{
    return (gw_lot_point){rows->origin.x_m + p.x_m * rows->cosine - p.y_m * rows->sine,
                          rows->origin.y_m + p.x_m * rows->sine + p.y_m * rows->cosine};
}

static size_t turn_ring(gw_lot_rows *rows, const gw_lot_path *ring, size_t next)
{
    gw_lot_point a = gw_lot_rows_to_frame(rows, ring->points[0]);
    for (size_t i = 1; i < ring->count; i++) {
        const gw_lot_point b = gw_lot_rows_to_frame(rows, ring->points[i]);
        rows->edges[next++] = (gw_lot_edge){a, b};
        rows->low_m = b.y_m < rows->low_m ? b.y_m : rows->low_m;
        rows->high_m = b.y_m > rows->high_m ? b.y_m : rows->high_m;
        rows->west_m = b.x_m < rows->west_m ? b.x_m : rows->west_m;
        rows->east_m = b.x_m > rows->east_m ? b.x_m : rows->east_m;
        a = b;
    }
    return next;
}

void gw_lot_rows_turn(gw_lot_rows *rows, const gw_lot_region *region, double angle_rad)
{
    rows->cosine = cos(angle_rad);
    rows->sine = sin(angle_rad);
    rows->low_m = rows->west_m = HUGE_VAL;
    rows->high_m = rows->east_m = -HUGE_VAL;
    size_t next = 0;
    for (size_t i = 0; i < region->count; i++) {
        const gw_lot_polygon *const polygon = &region->polygons[i];
        next = turn_ring(rows, &polygon->outer, next);
        for (size_t h = 0; h < polygon->hole_count; h++) {
            next = turn_ring(rows, &polygon->holes[h], next);
        }
    }
}

static bool make_rows(gw_arena *arena, gw_lot_cuts *cuts, size_t count)
{
    cuts->count = count;
    if (count <= cuts->row_room) {
        return true;
    }
    cuts->row_room = 2 * count;
    cuts->y_m = gw_arena_alloc(arena, cuts->row_room, sizeof *cuts->y_m);
    cuts->start = gw_arena_alloc(arena, cuts->row_room + 1, sizeof *cuts->start);
    cuts->filled = gw_arena_alloc(arena, cuts->row_room, sizeof *cuts->filled);
    return cuts->y_m != NULL && cuts->start != NULL && cuts->filled != NULL;
}

static bool make_crossings(gw_arena *arena, gw_lot_cuts *cuts, size_t count)
{
    if (count <= cuts->crossing_room) {
        return true;
    }
    cuts->crossing_room = 2 * count;
    cuts->crossing_m = gw_arena_alloc(arena, cuts->crossing_room, sizeof *cuts->crossing_m);
    return cuts->crossing_m != NULL;
}

// First row at or above y_m. Rows are evenly spaced but for the last: a guess and a step or two.
static size_t first_row(const gw_lot_cuts *cuts, double y_m)
{
    const double guess = (y_m - cuts->y_m[0]) * cuts->rows_per_m;
    size_t k = guess <= 0 ? 0 : guess >= (double)cuts->count ? cuts->count : (size_t)guess;
    while (k > 0 && cuts->y_m[k - 1] >= y_m) {
        k--;
    }
    while (k < cuts->count && cuts->y_m[k] < y_m) {
        k++;
    }
    return k;
}

// An edge crosses the rows from its lower end, included, to its upper end, not included.
static void count_crossings(const gw_lot_rows *rows, gw_lot_cuts *cuts)
{
    for (size_t k = 0; k < cuts->count; k++) {
        cuts->filled[k] = 0;
    }
    for (size_t i = 0; i < rows->count; i++) {
        const gw_lot_edge e = rows->edges[i];
        const double high_m = e.a.y_m > e.b.y_m ? e.a.y_m : e.b.y_m;
        size_t k = first_row(cuts, e.a.y_m < e.b.y_m ? e.a.y_m : e.b.y_m);
        for (; k < cuts->count && cuts->y_m[k] < high_m; k++) {
            cuts->filled[k]++;
        }
    }
    cuts->start[0] = 0;
    for (size_t k = 0; k < cuts->count; k++) {
        cuts->start[k + 1] = cuts->start[k] + cuts->filled[k];
        cuts->filled[k] = 0;
    }
}

static void insert_crossing(gw_lot_cuts *cuts, size_t row, double x_m)
{
    size_t at = cuts->start[row] + cuts->filled[row]++;
    for (; at > cuts->start[row] && cuts->crossing_m[at - 1] > x_m; at--) {
        cuts->crossing_m[at] = cuts->crossing_m[at - 1];
    }
    cuts->crossing_m[at] = x_m;
}

static void fill_crossings(const gw_lot_rows *rows, gw_lot_cuts *cuts)
{
    for (size_t i = 0; i < rows->count; i++) {
        const gw_lot_point a = rows->edges[i].a;
        const gw_lot_point b = rows->edges[i].b;
        const double high_m = a.y_m > b.y_m ? a.y_m : b.y_m;
        size_t k = first_row(cuts, a.y_m < b.y_m ? a.y_m : b.y_m);
        for (; k < cuts->count && cuts->y_m[k] < high_m; k++) {
            const double share = (cuts->y_m[k] - a.y_m) / (b.y_m - a.y_m);
            insert_crossing(cuts, k, a.x_m + share * (b.x_m - a.x_m));
        }
    }
}

bool gw_lot_rows_cut_all(gw_arena *arena, const gw_lot_rows *rows, double first_m, double step_m,
                         gw_lot_cuts *cuts)
{
    const double last = floor((rows->high_m + SLACK_M - first_m) / step_m);
    if (!make_rows(arena, cuts, last < 0 ? 0 : (size_t)last + 1)) {
        return false;
    }
    cuts->rows_per_m = 1 / step_m;
    for (size_t k = 0; k < cuts->count; k++) {
        cuts->y_m[k] = fmin(first_m + (double)k * step_m, rows->high_m - INTO_M);
    }
    if (cuts->count == 0) {
        return true;
    }
    count_crossings(rows, cuts);
    if (!make_crossings(arena, cuts, cuts->start[cuts->count])) {
        return false;
    }
    fill_crossings(rows, cuts);
    return true;
}

double gw_lot_longest_edge_rad(const gw_lot_region *region)
{
    const double half_turn_rad = acos(-1.0);
    double longest_m = 0;
    double angle_rad = 0;
    for (size_t i = 0; i < region->count; i++) {
        const gw_lot_path *const ring = &region->polygons[i].outer;
        for (size_t k = 1; k < ring->count; k++) {
            const gw_lot_point a = ring->points[k - 1];
            const gw_lot_point b = ring->points[k];
            const double length_m = gw_lot_distance_m(a, b);
            if (length_m > longest_m * (1 + 1e-9)) {
                longest_m = length_m;
                angle_rad = atan2(b.y_m - a.y_m, b.x_m - a.x_m);
            }
        }
    }
    angle_rad = fmod(angle_rad + 2 * half_turn_rad, half_turn_rad);
    return half_turn_rad - angle_rad < 1e-9 ? 0 : angle_rad;
}
