// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/segment.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>

static const double LENGTH_MIN_M = 0.001, LENGTH_MAX_M = 2000.0;
static const double RADIUS_MIN_M = 0.0005, RADIUS_MAX_M = 1.0;
static const double UNIT_TOLERANCE = 1e-9;

gw_segment gw_segment_between(gw_position start, gw_position end, double radius_m)
{
    const double x = end.x_m - start.x_m, y = end.y_m - start.y_m, z = end.z_m - start.z_m;
    const double length = sqrt(x * x + y * y + z * z);
    const double scale = length > 0.0 ? 1.0 / length : 0.0;
    return (gw_segment){.x_m = start.x_m,
                        .y_m = start.y_m,
                        .z_m = start.z_m,
                        .dx = x * scale,
                        .dy = y * scale,
                        .dz = z * scale,
                        .length_m = length,
                        .radius_m = radius_m};
}

gw_position gw_segment_point(const gw_segment *segment, double along_m)
{
    return (gw_position){segment->x_m + along_m * segment->dx, segment->y_m + along_m * segment->dy,
                         segment->z_m + along_m * segment->dz};
}

static double clamp(double value, double low, double high)
{
    return value < low ? low : value > high ? high : value;
}

// Distance from a point to the axis of a segment.
static double point_gap_m(gw_position p, const gw_segment *s)
{
    const double x = p.x_m - s->x_m, y = p.y_m - s->y_m, z = p.z_m - s->z_m;
    const double along = clamp(x * s->dx + y * s->dy + z * s->dz, 0.0, s->length_m);
    return hypot(hypot(x - along * s->dx, y - along * s->dy), z - along * s->dz);
}

// Least distance of two straight pieces: either at an end of one of them, or between two inner
// points, which are then the feet of the common perpendicular of both lines.
double gw_segment_gap_m(const gw_segment *a, const gw_segment *b)
{
    double gap = point_gap_m(gw_segment_point(a, 0.0), b);
    gap = fmin(gap, point_gap_m(gw_segment_point(a, a->length_m), b));
    gap = fmin(gap, point_gap_m(gw_segment_point(b, 0.0), a));
    gap = fmin(gap, point_gap_m(gw_segment_point(b, b->length_m), a));

    const double x = b->x_m - a->x_m, y = b->y_m - a->y_m, z = b->z_m - a->z_m;
    const double cosine = a->dx * b->dx + a->dy * b->dy + a->dz * b->dz;
    const double sine2 = 1.0 - cosine * cosine;
    if (sine2 < 1e-12) {
        return gap; // parallel: an end is among the nearest points
    }
    const double on_a = x * a->dx + y * a->dy + z * a->dz;
    const double on_b = x * b->dx + y * b->dy + z * b->dz;
    const double u = (on_a - cosine * on_b) / sine2;
    const double v = (cosine * on_a - on_b) / sine2;
    if (u > 0.0 && u < a->length_m && v > 0.0 && v < b->length_m) {
        gap = fmin(gap, point_gap_m(gw_segment_point(a, u), b));
    }
    return gap;
}

gw_status gw_segment_cut(const gw_segment *whole, size_t count, gw_cut cut, gw_segment *pieces,
                         gw_err *err)
{
    if (count < 1 || count > 1000) {
        return gw_fail(err, GW_ERR_RANGE, "count", "%zu pieces must be 1 to 1000", count);
    }
    double from = 0.0;
    for (size_t i = 0; i < count; ++i) {
        const double share = (double)(i + 1) / (double)count;
        double to = cut == GW_CUT_EQUAL ? share : 0.5 * (1.0 - cos(M_PI * share));
        to = i + 1 == count ? 1.0 : to;
        const gw_position start = gw_segment_point(whole, from * whole->length_m);
        pieces[i] = *whole;
        pieces[i].x_m = start.x_m;
        pieces[i].y_m = start.y_m;
        pieces[i].z_m = start.z_m;
        pieces[i].length_m = (to - from) * whole->length_m;
        from = to;
    }
    return GW_OK;
}

static gw_status check_size(const gw_segment *s, const char *field, gw_err *err)
{
    if (!(s->length_m > 0.0)) {
        return gw_fail(err, GW_ERR_GEOMETRY, field, "length %g m must be above zero", s->length_m);
    }
    if (!(s->length_m >= LENGTH_MIN_M && s->length_m <= LENGTH_MAX_M)) {
        return gw_fail(err, GW_ERR_RANGE, field, "length %g m must be %g to %g m", s->length_m,
                       LENGTH_MIN_M, LENGTH_MAX_M);
    }
    if (!(s->radius_m >= RADIUS_MIN_M && s->radius_m <= RADIUS_MAX_M)) {
        return gw_fail(err, GW_ERR_RANGE, field, "radius %g m must be %g to %g m", s->radius_m,
                       RADIUS_MIN_M, RADIUS_MAX_M);
    }
    return GW_OK;
}

gw_status gw_segment_check(const gw_segment *segment, size_t index, gw_err *err)
{
    const gw_segment *const s = segment;
    char field[48];
    (void)snprintf(field, sizeof field, "segments[%zu]", index);
    if (!isfinite(s->x_m) || !isfinite(s->y_m) || !isfinite(s->z_m)) {
        return gw_fail(err, GW_ERR_RANGE, field, "start (%g, %g, %g) m must be finite", s->x_m,
                       s->y_m, s->z_m);
    }
    const gw_status st = check_size(s, field, err);
    if (st != GW_OK) {
        return st;
    }
    const double norm2 = s->dx * s->dx + s->dy * s->dy + s->dz * s->dz;
    if (!(fabs(norm2 - 1.0) <= UNIT_TOLERANCE)) {
        return gw_fail(err, GW_ERR_RANGE, field, "direction (%g, %g, %g) must have length 1", s->dx,
                       s->dy, s->dz);
    }
    // The wall stands out from the axis by the radius times the sine of the slope.
    const double top = fmin(s->z_m, s->z_m + s->length_m * s->dz);
    const double wall = top - s->radius_m * sqrt(fmax(0.0, 1.0 - s->dz * s->dz));
    if (!(wall >= -1e-9)) {
        return gw_fail(err, GW_ERR_GEOMETRY, field,
                       "wall reaches %g m above the surface, all of it must be below", -wall);
    }
    return GW_OK;
}

static double end_gap_m(const gw_segment *a, double along_a, const gw_segment *b, double along_b)
{
    const gw_position p = gw_segment_point(a, along_a), q = gw_segment_point(b, along_b);
    return hypot(hypot(p.x_m - q.x_m, p.y_m - q.y_m), p.z_m - q.z_m);
}

// Number of end pairs that coincide: 1 is a joint, 2 a duplicate.
static int shared_ends(const gw_segment *a, const gw_segment *b)
{
    const double near = 1e-6;
    return (end_gap_m(a, 0.0, b, 0.0) < near) + (end_gap_m(a, 0.0, b, b->length_m) < near) +
           (end_gap_m(a, a->length_m, b, 0.0) < near) +
           (end_gap_m(a, a->length_m, b, b->length_m) < near);
}

// A joint of two lines that fold back on each other is an overlap, not a joint.
static bool is_joint(const gw_segment *a, const gw_segment *b)
{
    if (shared_ends(a, b) != 1) {
        return false;
    }
    const bool start_a =
        end_gap_m(a, 0.0, b, 0.0) < 1e-6 || end_gap_m(a, 0.0, b, b->length_m) < 1e-6;
    const bool start_b =
        end_gap_m(b, 0.0, a, 0.0) < 1e-6 || end_gap_m(b, 0.0, a, a->length_m) < 1e-6;
    const double cosine = a->dx * b->dx + a->dy * b->dy + a->dz * b->dz;
    const double away = (start_a ? 1.0 : -1.0) * (start_b ? 1.0 : -1.0) * cosine;
    return away < 0.999;
}

static gw_status check_pair(const gw_segment *segments, size_t i, size_t j, gw_err *err)
{
    const gw_segment *const a = &segments[i], *const b = &segments[j];
    const double reach = 0.5 * (a->length_m + b->length_m) + a->radius_m + b->radius_m;
    const double middle = end_gap_m(a, 0.5 * a->length_m, b, 0.5 * b->length_m);
    if (middle > reach) {
        return GW_OK;
    }
    const double gap = gw_segment_gap_m(a, b), least = a->radius_m + b->radius_m;
    if (gap >= least * (1.0 - 1e-9) || is_joint(a, b)) {
        return GW_OK;
    }
    char field[96];
    (void)snprintf(field, sizeof field, "segments[%zu], segments[%zu]", i, j);
    if (shared_ends(a, b) == 2) {
        return gw_fail(err, GW_ERR_GEOMETRY, field, "segment %zu is a duplicate of segment %zu", j,
                       i);
    }
    return gw_fail(err, GW_ERR_GEOMETRY, field,
                   "axes of segments %zu and %zu come as near as %.4g m, must be %.4g m or more "
                   "(sum of the radii)",
                   i, j, gap, least);
}

gw_status gw_segments_check(const gw_segment *segments, size_t count, gw_err *err)
{
    if (count < 1) {
        return gw_fail(err, GW_ERR_MISSING, "segments", "there must be at least one segment");
    }
    for (size_t i = 0; i < count; ++i) {
        const gw_status st = gw_segment_check(&segments[i], i, err);
        if (st != GW_OK) {
            return st;
        }
    }
    for (size_t i = 0; i < count; ++i) {
        for (size_t j = i + 1; j < count; ++j) {
            const gw_status st = check_pair(segments, i, j, err);
            if (st != GW_OK) {
                return st;
            }
        }
    }
    return GW_OK;
}
