// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "lot/rows.h"

#include "lot/plane.h"

#include <math.h>

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
    out->crossings = gw_arena_alloc(arena, out->count, sizeof *out->crossings);
    if (out->edges == NULL || out->crossings == NULL) {
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
        rows->low_m = fmin(rows->low_m, b.y_m);
        rows->high_m = fmax(rows->high_m, b.y_m);
        rows->west_m = fmin(rows->west_m, b.x_m);
        rows->east_m = fmax(rows->east_m, b.x_m);
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

size_t gw_lot_rows_cut(gw_lot_rows *rows, double y_m)
{
    size_t count = 0;
    for (size_t i = 0; i < rows->count; i++) {
        const gw_lot_point a = rows->edges[i].a;
        const gw_lot_point b = rows->edges[i].b;
        if ((a.y_m > y_m) == (b.y_m > y_m)) {
            continue;
        }
        const double x_m = a.x_m + (y_m - a.y_m) / (b.y_m - a.y_m) * (b.x_m - a.x_m);
        size_t at = count++;
        for (; at > 0 && rows->crossings[at - 1] > x_m; at--) {
            rows->crossings[at] = rows->crossings[at - 1];
        }
        rows->crossings[at] = x_m;
    }
    return count;
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
