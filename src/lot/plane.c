// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "lot/plane.h"

#include <float.h>
#include <math.h>

double gw_lot_distance_m(gw_lot_point a, gw_lot_point b)
{
    const double dx_m = b.x_m - a.x_m;
    const double dy_m = b.y_m - a.y_m;
    return sqrt(dx_m * dx_m + dy_m * dy_m);
}

double gw_lot_path_length_m(const gw_lot_path *path)
{
    double length_m = 0;
    for (size_t i = 1; i < path->count; i++) {
        length_m += gw_lot_distance_m(path->points[i - 1], path->points[i]);
    }
    return length_m;
}

double gw_lot_ring_area_m2(const gw_lot_path *ring)
{
    if (ring->count < 3) {
        return 0;
    }
    // Relative to the first point: large coordinates then lose no digits.
    const gw_lot_point o = ring->points[0];
    double twice_m2 = 0;
    for (size_t i = 1; i < ring->count; i++) {
        const gw_lot_point a = ring->points[i - 1];
        const gw_lot_point b = ring->points[i];
        twice_m2 += (a.x_m - o.x_m) * (b.y_m - o.y_m) - (b.x_m - o.x_m) * (a.y_m - o.y_m);
    }
    return 0.5 * twice_m2;
}

static gw_lot_point along(gw_lot_point a, gw_lot_point b, double t)
{
    return (gw_lot_point){a.x_m + t * (b.x_m - a.x_m), a.y_m + t * (b.y_m - a.y_m)};
}

static gw_lot_point nearest_on_segment(gw_lot_point a, gw_lot_point b, gw_lot_point p)
{
    const double dx_m = b.x_m - a.x_m;
    const double dy_m = b.y_m - a.y_m;
    const double square_m2 = dx_m * dx_m + dy_m * dy_m;
    if (!(square_m2 > 0)) {
        return a;
    }
    const double t = ((p.x_m - a.x_m) * dx_m + (p.y_m - a.y_m) * dy_m) / square_m2;
    return t <= 0 ? a : t >= 1 ? b : along(a, b, t);
}

gw_lot_point gw_lot_nearest_on_path(const gw_lot_path *path, gw_lot_point point)
{
    gw_lot_point best = path->points[0];
    double best_m = gw_lot_distance_m(best, point);
    for (size_t i = 1; i < path->count; i++) {
        const gw_lot_point q = nearest_on_segment(path->points[i - 1], path->points[i], point);
        const double d_m = gw_lot_distance_m(q, point);
        if (d_m < best_m) {
            best_m = d_m;
            best = q;
        }
    }
    return best;
}

// Even-odd rule on a ray to the east; *on_edge is set when the point lies on an edge.
static bool crosses_odd(const gw_lot_path *ring, gw_lot_point p, bool *on_edge)
{
    bool odd = false;
    for (size_t i = 1; i < ring->count; i++) {
        const gw_lot_point a = ring->points[i - 1];
        const gw_lot_point b = ring->points[i];
        const double low_m = fmin(a.y_m, b.y_m);
        const double high_m = fmax(a.y_m, b.y_m);
        if (p.y_m < low_m - GW_LOT_ON_EDGE_M || p.y_m > high_m + GW_LOT_ON_EDGE_M ||
            p.x_m > fmax(a.x_m, b.x_m) + GW_LOT_ON_EDGE_M) {
            continue;
        }
        if (p.x_m >= fmin(a.x_m, b.x_m) - GW_LOT_ON_EDGE_M &&
            gw_lot_distance_m(nearest_on_segment(a, b, p), p) <= GW_LOT_ON_EDGE_M) {
            *on_edge = true;
            return true;
        }
        if ((a.y_m > p.y_m) != (b.y_m > p.y_m)) {
            const double x_m = a.x_m + (p.y_m - a.y_m) / (b.y_m - a.y_m) * (b.x_m - a.x_m);
            odd = odd != (p.x_m < x_m);
        }
    }
    return odd;
}

bool gw_lot_ring_contains(const gw_lot_path *ring, gw_lot_point point)
{
    bool on_edge = false;
    return crosses_odd(ring, point, &on_edge);
}

static bool polygon_contains(const gw_lot_polygon *polygon, gw_lot_point point)
{
    bool on_edge = false;
    if (!crosses_odd(&polygon->outer, point, &on_edge)) {
        return false;
    }
    for (size_t h = 0; h < polygon->hole_count && !on_edge; h++) {
        if (crosses_odd(&polygon->holes[h], point, &on_edge) && !on_edge) {
            return false;
        }
    }
    return true;
}

bool gw_lot_region_contains(const gw_lot_region *region, gw_lot_point point)
{
    for (size_t i = 0; i < region->count; i++) {
        if (polygon_contains(&region->polygons[i], point)) {
            return true;
        }
    }
    return false;
}

static void keep_nearer(const gw_lot_path *ring, gw_lot_point point, gw_lot_point *best,
                        double *best_m)
{
    const gw_lot_point q = gw_lot_nearest_on_path(ring, point);
    const double d_m = gw_lot_distance_m(q, point);
    if (d_m < *best_m) {
        *best_m = d_m;
        *best = q;
    }
}

gw_lot_point gw_lot_nearest_on_region(const gw_lot_region *region, gw_lot_point point)
{
    gw_lot_point best = point;
    double best_m = DBL_MAX;
    for (size_t i = 0; i < region->count; i++) {
        const gw_lot_polygon *const polygon = &region->polygons[i];
        keep_nearer(&polygon->outer, point, &best, &best_m);
        for (size_t h = 0; h < polygon->hole_count; h++) {
            keep_nearer(&polygon->holes[h], point, &best, &best_m);
        }
    }
    return best;
}

// Crossing parameter t on a-b with the segment c-d, or -1.
static double crossing(gw_lot_point a, gw_lot_point b, gw_lot_point c, gw_lot_point d)
{
    const double rx_m = b.x_m - a.x_m;
    const double ry_m = b.y_m - a.y_m;
    const double sx_m = d.x_m - c.x_m;
    const double sy_m = d.y_m - c.y_m;
    const double det_m2 = rx_m * sy_m - ry_m * sx_m;
    if (det_m2 == 0) {
        return -1;
    }
    const double t = ((c.x_m - a.x_m) * sy_m - (c.y_m - a.y_m) * sx_m) / det_m2;
    const double u = ((c.x_m - a.x_m) * ry_m - (c.y_m - a.y_m) * rx_m) / det_m2;
    return t >= 0 && t <= 1 && u >= 0 && u <= 1 ? t : -1;
}

// Where a corner stands along a-b, or -1 when it does not lie on it.
static double corner_on(gw_lot_point a, gw_lot_point b, gw_lot_point p)
{
    const double dx_m = b.x_m - a.x_m;
    const double dy_m = b.y_m - a.y_m;
    const double length_m = sqrt(dx_m * dx_m + dy_m * dy_m);
    const double off_m2 = dx_m * (p.y_m - a.y_m) - dy_m * (p.x_m - a.x_m);
    if (fabs(off_m2) > GW_LOT_ON_EDGE_M * length_m || !(length_m > 0)) {
        return -1;
    }
    const double t = (dx_m * (p.x_m - a.x_m) + dy_m * (p.y_m - a.y_m)) / (length_m * length_m);
    return t >= 0 && t <= 1 ? t : -1;
}

double gw_lot_next_meeting(const gw_lot_path *ring, gw_lot_point a, gw_lot_point b, double after)
{
    double next = 2;
    for (size_t i = 1; i < ring->count; i++) {
        const double t = crossing(a, b, ring->points[i - 1], ring->points[i]);
        if (t > after && t < next) {
            next = t;
        }
        const double at = corner_on(a, b, ring->points[i]);
        if (at > after && at < next) {
            next = at;
        }
    }
    return next;
}

// ---- gaps ------------------------------------------------------------------------------------

// Least distance between the edges of two paths; 0 when they cross. A path of one point is that
// point.
static void edge_gap(const gw_lot_path *a, const gw_lot_path *b, gw_lot_gap *out)
{
    *out = (gw_lot_gap){.gap_m = DBL_MAX};
    for (size_t i = 0; i < a->count; i++) {
        const gw_lot_point q = gw_lot_nearest_on_path(b, a->points[i]);
        const double d_m = gw_lot_distance_m(q, a->points[i]);
        if (d_m < out->gap_m) {
            *out = (gw_lot_gap){d_m, a->points[i], q};
        }
    }
    for (size_t i = 0; i < b->count && a->count > 1; i++) {
        const gw_lot_point q = gw_lot_nearest_on_path(a, b->points[i]);
        const double d_m = gw_lot_distance_m(q, b->points[i]);
        if (d_m < out->gap_m) {
            *out = (gw_lot_gap){d_m, q, b->points[i]};
        }
    }
    for (size_t i = 1; i < a->count; i++) {
        const double t = gw_lot_next_meeting(b, a->points[i - 1], a->points[i], -1);
        if (t <= 1) {
            const gw_lot_point at = along(a->points[i - 1], a->points[i], t);
            *out = (gw_lot_gap){0, at, at};
            return;
        }
    }
}

// The deepest point of `path` on the wrong side of the ring: inside it (`inside` true) or outside.
// Corners and the middles of the pieces between crossings are looked at. Depth 0: none.
typedef struct {
    double depth_m;
    gw_lot_point at;
    gw_lot_point on_ring;
} deepest;

static void look_at(const gw_lot_path *ring, gw_lot_point p, bool inside, deepest *best)
{
    if (gw_lot_ring_contains(ring, p) != inside) {
        return;
    }
    const gw_lot_point q = gw_lot_nearest_on_path(ring, p);
    const double d_m = gw_lot_distance_m(p, q);
    if (d_m > best->depth_m) {
        *best = (deepest){d_m, p, q};
    }
}

static deepest find_deepest(const gw_lot_path *path, const gw_lot_path *ring, bool inside)
{
    deepest best = {0};
    look_at(ring, path->points[0], inside, &best);
    for (size_t i = 1; i < path->count; i++) {
        const gw_lot_point a = path->points[i - 1];
        const gw_lot_point b = path->points[i];
        look_at(ring, b, inside, &best);
        for (double from = 0; from < 1;) {
            const double to = fmin(1, gw_lot_next_meeting(ring, a, b, from));
            look_at(ring, along(a, b, 0.5 * (from + to)), inside, &best);
            from = to;
        }
    }
    return best;
}

// Takes the half widths off: each point moves to the edge of its shape.
static void take_off_radii(double radius_a_m, double radius_b_m, gw_lot_gap *gap)
{
    const double core_m = gap->gap_m;
    gap->gap_m = core_m - radius_a_m - radius_b_m;
    if (core_m > 0 && gap->gap_m >= 0) {
        const gw_lot_point a = gap->on_a;
        const gw_lot_point b = gap->on_b;
        gap->on_a = along(a, b, radius_a_m / core_m);
        gap->on_b = along(b, a, radius_b_m / core_m);
    }
}

void gw_lot_measure_gap(const gw_lot_geometry *a, const gw_lot_geometry *b, gw_lot_gap *out)
{
    edge_gap(&a->path, &b->path, out);
    deepest in = {0};
    if (b->shape == GW_LOT_POLYGON) {
        in = find_deepest(&a->path, &b->path, true);
        if (in.depth_m > 0) {
            *out = (gw_lot_gap){-in.depth_m, in.at, in.on_ring};
        }
    }
    if (a->shape == GW_LOT_POLYGON) {
        const deepest other = find_deepest(&b->path, &a->path, true);
        if (other.depth_m > in.depth_m) {
            *out = (gw_lot_gap){-other.depth_m, other.on_ring, other.at};
        }
    }
    take_off_radii(a->radius_m, b->radius_m, out);
}

void gw_lot_measure_inside_gap(const gw_lot_geometry *shape, const gw_lot_path *ring,
                               gw_lot_gap *out)
{
    edge_gap(&shape->path, ring, out);
    const deepest beyond = find_deepest(&shape->path, ring, false);
    if (beyond.depth_m > 0) {
        *out = (gw_lot_gap){-beyond.depth_m, beyond.at, beyond.on_ring};
    }
    take_off_radii(shape->radius_m, 0, out);
}
