// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/freeze_priv.h"

#include <math.h>
#include <stdbool.h>

static const double PI = 3.14159265358979323846;

enum { CELLS_MAX = 2000 };

static gw_status axis_alloc(gw_arena *arena, size_t count, gw_freeze_priv_axis *axis, gw_err *err)
{
    axis->count = count;
    axis->face_m = gw_arena_alloc(arena, count + 1, sizeof(double));
    axis->node_m = gw_arena_alloc(arena, count, sizeof(double));
    axis->width = gw_arena_alloc(arena, count, sizeof(double));
    axis->lo = gw_arena_alloc(arena, count + 1, sizeof(double));
    axis->hi = gw_arena_alloc(arena, count + 1, sizeof(double));
    if (axis->face_m == NULL || axis->node_m == NULL || axis->width == NULL || axis->lo == NULL ||
        axis->hi == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a grid of %zu cells", count);
    }
    return GW_OK;
}

// Faces under construction.
typedef struct {
    double *face_m;
    size_t count;
} faces;

static void push(faces *f, double at_m)
{
    if (f->count < (size_t)CELLS_MAX) {
        f->face_m[f->count] = at_m;
    }
    f->count += 1;
}

typedef struct {
    double from_m, to_m;
    bool fine_left, fine_right;
} gap;

// Cells at a fine end keep their size over this many, so that the sink's cell sees the even
// neighbourhood its effective radius is for.
enum { EVEN = 3 };

// Widths from the fine end outward over `reach_m`; returns their number.
static size_t fill_widths(const gw_freeze_priv_plan *plan, double reach_m, double *width_m)
{
    const double h = plan->cell_m;
    if (reach_m < (EVEN + 0.5) * h) {
        const size_t n = (size_t)fmax(1.0, floor(reach_m / h + 0.5));
        for (size_t i = 0; i < n; ++i) {
            width_m[i] = reach_m / (double)n;
        }
        return n;
    }
    size_t n = 0;
    while (n < EVEN) {
        width_m[n++] = h;
    }
    const double rest_m = reach_m - EVEN * h;
    double sum_m = 0.0, next_m = h;
    while (sum_m < rest_m && n < (size_t)CELLS_MAX) {
        next_m = fmin(next_m * plan->growth, plan->most_m);
        width_m[n++] = next_m;
        sum_m += next_m;
    }
    // The last cell goes when the sum is nearer to the rest without it.
    if (n > EVEN + 1 && rest_m - (sum_m - next_m) < 0.5 * next_m) {
        sum_m -= next_m;
        --n;
    }
    for (size_t i = EVEN; i < n; ++i) {
        width_m[i] *= rest_m / sum_m;
    }
    return n;
}

// Fills one gap with cells that grow away from its fine ends and fit exactly.
static void fill_gap(faces *f, const gw_freeze_priv_plan *plan, const gap *g)
{
    const double length_m = g->to_m - g->from_m;
    const bool both = g->fine_left && g->fine_right;
    if (length_m < 1.6 * plan->cell_m) {
        push(f, g->to_m);
        return;
    }
    double width_m[CELLS_MAX];
    const size_t n = fill_widths(plan, both ? length_m / 2.0 : length_m, width_m);
    const size_t total = both ? 2 * n : n;
    double at_m = g->from_m;
    for (size_t i = 0; i + 1 < total; ++i) {
        const size_t mirrored = total - 1 - i;
        const size_t from_fine = both ? (i < n ? i : mirrored) : (g->fine_left ? i : mirrored);
        at_m += width_m[from_fine];
        push(f, at_m);
    }
    push(f, g->to_m);
}

static gw_status check_points(const gw_freeze_priv_plan *plan, gw_err *err)
{
    const double h = plan->cell_m;
    for (size_t i = 0; i < plan->count; ++i) {
        const double p = plan->points_m[i];
        const double before = i == 0 ? -p : plan->points_m[i - 1];
        // On the edge, or far enough from it and from the neighbour for a cell between.
        const bool edge = i == 0 && p < 1e-9;
        if (!(edge || p - before >= (i == 0 ? 1.0 : 1.3) * h)) {
            return gw_fail(err, GW_ERR_GEOMETRY, "pipes",
                           "pipes %.3f m apart are too close for cells of %.3f m", p - before, h);
        }
        if (!(p + h <= plan->length_m)) {
            return gw_fail(err, GW_ERR_GEOMETRY, "pipes",
                           "pipe at %.3f m lies outside the section of %.3f m", p, plan->length_m);
        }
    }
    return GW_OK;
}

static void build_faces(const gw_freeze_priv_plan *plan, faces *f)
{
    const double half_m = plan->cell_m / 2.0;
    bool fine = plan->fine_at_start;
    double at_m = 0.0;
    push(f, 0.0);
    for (size_t i = 0; i < plan->count; ++i) {
        const double p = plan->points_m[i];
        if (p - half_m > at_m + 1e-12) {
            fill_gap(f, plan, &(gap){at_m, p - half_m, fine, true});
        }
        push(f, p + half_m);
        at_m = p + half_m;
        fine = true;
    }
    fill_gap(f, plan, &(gap){at_m, plan->length_m, fine, false});
}

gw_status gw_freeze_priv_axis_flat(gw_arena *arena, const gw_freeze_priv_plan *plan,
                                   gw_freeze_priv_axis *out, gw_err *err)
{
    gw_status st = check_points(plan, err);
    if (st != GW_OK) {
        return st;
    }
    double made[CELLS_MAX];
    faces f = {made, 0};
    build_faces(plan, &f);
    if (f.count > (size_t)CELLS_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "cell_m", "cells of %g m are too many over %g m",
                       plan->cell_m, plan->length_m);
    }
    const size_t n = f.count - 1;
    st = axis_alloc(arena, n, out, err);
    if (st != GW_OK) {
        return st;
    }
    const bool on_edge = plan->count > 0 && plan->points_m[0] < 1e-9;
    for (size_t i = 0; i <= n; ++i) {
        out->face_m[i] = made[i];
    }
    for (size_t i = 0; i < n; ++i) {
        out->width[i] = made[i + 1] - made[i];
        out->node_m[i] = i == 0 && on_edge ? 0.0 : 0.5 * (made[i] + made[i + 1]);
    }
    for (size_t i = 0; i <= n; ++i) {
        out->lo[i] = i == 0 ? 0.0 : made[i] - out->node_m[i - 1];
        out->hi[i] = i == n ? 0.0 : out->node_m[i] - made[i];
    }
    return GW_OK;
}

gw_status gw_freeze_priv_axis_rings(gw_arena *arena, const double *face_m, size_t count,
                                    gw_freeze_priv_axis *out, gw_err *err)
{
    const gw_status st = axis_alloc(arena, count, out, err);
    if (st != GW_OK) {
        return st;
    }
    for (size_t i = 0; i <= count; ++i) {
        out->face_m[i] = face_m[i];
    }
    for (size_t i = 0; i < count; ++i) {
        const double a = face_m[i], b = face_m[i + 1];
        out->width[i] = PI * (b * b - a * a);
        // The radius whose logarithm is the ring's mean; e^−½ times the radius in the middle ring.
        const double log_mean =
            (b * b * (log(b) - 0.5) - (a > 0.0 ? a * a * (log(a) - 0.5) : 0.0)) / (b * b - a * a);
        out->node_m[i] = exp(log_mean);
    }
    for (size_t i = 0; i <= count; ++i) {
        out->lo[i] = i == 0 ? 0.0 : log(face_m[i] / out->node_m[i - 1]) / (2.0 * PI);
        out->hi[i] =
            i == count || !(face_m[i] > 0.0) ? 0.0 : log(out->node_m[i] / face_m[i]) / (2.0 * PI);
    }
    return GW_OK;
}
