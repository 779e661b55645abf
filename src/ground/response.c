// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/response.h"

#include "ground/kernel.h"

#include <math.h>
#include <stdio.h>

gw_status gw_response_check(const gw_response_case *with, gw_err *err)
{
    const double k = with->medium.conductivity_w_mk, a = with->medium.diffusivity_m2_s;
    if (!(k >= 0.05 && k <= 20.0)) {
        return gw_fail(err, GW_ERR_RANGE, "conductivity",
                       "conductivity %g W/(m·K) must be 0.05 to 20", k);
    }
    if (!(a >= 1e-8 && a <= 1e-4)) {
        return gw_fail(err, GW_ERR_RANGE, "diffusivity", "diffusivity %g m²/s must be 1e-8 to 1e-4",
                       a);
    }
    if (with->count < 1) {
        return gw_fail(err, GW_ERR_MISSING, "times", "there must be at least one time");
    }
    double before = 0.0;
    for (size_t i = 0; i < with->count; ++i) {
        if (!(with->times_s[i] > before)) {
            char field[48];
            (void)snprintf(field, sizeof field, "times[%zu]", i);
            return gw_fail(err, GW_ERR_RANGE, field, "time %g s must be above %g s",
                           with->times_s[i], before);
        }
        before = with->times_s[i];
    }
    return GW_OK;
}

enum { BATCH = 256, LOW = 2, MIDDLE = 4, HIGH = 7 };

// A batch of nodes of the integral over s. `time` says from which time on a node counts.
typedef struct {
    gw_kernel_table table;
    double node[HIGH + 1][HIGH], weight[HIGH + 1][HIGH]; // Gauss–Legendre rules by their size
    double s[BATCH], w[BATCH], f[BATCH];
    size_t time[BATCH];
    size_t count;
    const gw_response_case *with;
    const gw_segment *on;     // NULL: a point
    const gw_position *point; // when `on` is NULL
    const gw_segment *from;   // [sources]
    const double *load;       // [sources] or NULL: 1 each
    size_t sources;
    double *h;
} batch;

static void flush(batch *b)
{
    const gw_kernel_at at = {&b->table, b->s, b->count, b->with->without_mirror};
    for (size_t j = 0; j < b->sources; ++j) {
        if (b->on != NULL) {
            gw_kernel_pair(&at, b->on, &b->from[j], b->f);
        } else {
            gw_kernel_point(&at, b->point, &b->from[j], b->f);
        }
        const double load = b->load != NULL ? b->load[j] : 1.0;
        for (size_t i = 0; i < b->count; ++i) {
            b->h[b->time[i]] += b->w[i] * b->f[i] * load;
        }
    }
    b->count = 0;
}

// One panel of the integral: in ln s, or in s itself next to zero.
static void add_panel(batch *b, double low, double high, bool logarithmic, size_t time)
{
    const double x0 = logarithmic ? log(low) : low, x1 = logarithmic ? log(high) : high;
    const double half = 0.5 * (x1 - x0), middle = 0.5 * (x1 + x0);
    const size_t points = !logarithmic || half > 0.05 ? HIGH : half > 0.01 ? MIDDLE : LOW;
    if (b->count + points > BATCH) {
        flush(b);
    }
    for (size_t i = 0; i < points; ++i) {
        const double x = middle + half * b->node[points][i];
        const double s = logarithmic ? exp(x) : x;
        b->s[b->count] = s;
        b->w[b->count] = half * b->weight[points][i] * (logarithmic ? s : 1.0);
        b->time[b->count++] = time;
    }
}

static void add_range(batch *b, double low, double high, size_t time)
{
    const double width = 0.3;
    const size_t panels = (size_t)ceil(log(high / low) / width);
    for (size_t i = panels; i-- > 0;) {
        const double from = low * exp(log(high / low) * (double)i / (double)panels);
        const double to =
            i + 1 == panels ? high : low * exp(log(high / low) * (double)(i + 1) / (double)panels);
        add_panel(b, from, to, true, time);
    }
}

// Sum of the panels from s_max (beyond which f is nothing) down to each time's own lower limit.
static void integrate(batch *b, double gap_m, double size_m)
{
    const gw_response_case *const with = b->with;
    double high = sqrt(GW_KERNEL_EXP_END) / gap_m;
    for (size_t k = 0; k < with->count; ++k) {
        b->h[k] = 0.0;
    }
    for (size_t k = 0; k < with->count; ++k) {
        const double low = 1.0 / sqrt(4.0 * with->medium.diffusivity_m2_s * with->times_s[k]);
        if (!(low < high)) {
            continue;
        }
        // Below 0.3/size the integrand is a parabola; a panel down to zero needs no logarithm.
        const double flat = 0.3 / size_m;
        if (low > 0.0) {
            add_range(b, low, high, k);
        } else {
            if (high > flat) {
                add_range(b, flat, high, k);
            }
            add_panel(b, 0.0, fmin(flat, high), false, k);
        }
        high = low;
    }
    flush(b);
    const double length = b->on != NULL ? b->on->length_m : 1.0;
    const double scale = 1.0 / (4.0 * M_PI * with->medium.conductivity_w_mk * length);
    double sum = 0.0;
    for (size_t k = 0; k < with->count; ++k) {
        sum += b->h[k];
        b->h[k] = sum * scale;
    }
}

static void prepare(batch *b, const gw_response_case *with, const gw_segment *from, double *h)
{
    gw_kernel_table_init(&b->table);
    gw_gauss_legendre(LOW, b->node[LOW], b->weight[LOW]);
    gw_gauss_legendre(MIDDLE, b->node[MIDDLE], b->weight[MIDDLE]);
    gw_gauss_legendre(HIGH, b->node[HIGH], b->weight[HIGH]);
    b->count = 0;
    b->with = with;
    b->on = NULL;
    b->point = NULL;
    b->from = from;
    b->load = NULL;
    b->sources = 1;
    b->h = h;
}

// A length that no distance between the two, or to the mirror image, exceeds.
static double extent_m(gw_position p, double length_on_m, const gw_segment *from)
{
    const double across = hypot(p.x_m - from->x_m, p.y_m - from->y_m);
    return across + p.z_m + from->z_m + length_on_m + from->length_m;
}

gw_status gw_response_between(const gw_response_case *with, const gw_segment *on,
                              const gw_segment *from, double *h_mk_w, gw_err *err)
{
    gw_status st = gw_response_check(with, err);
    if (st == GW_OK) {
        st = gw_segment_check(on, 0, err);
    }
    if (st == GW_OK) {
        st = gw_segment_check(from, 1, err);
    }
    if (st != GW_OK) {
        return st;
    }
    batch b;
    prepare(&b, with, from, h_mk_w);
    b.on = on;
    integrate(&b, gw_kernel_pair_gap_m(on, from),
              extent_m(gw_segment_point(on, 0.0), on->length_m, from));
    return GW_OK;
}

static gw_status check_point(const gw_position *point, size_t index, gw_err *err)
{
    if (!isfinite(point->x_m) || !isfinite(point->y_m) ||
        !(point->z_m >= 0.0 && isfinite(point->z_m))) {
        char field[48];
        (void)snprintf(field, sizeof field, "points[%zu]", index);
        return gw_fail(err, GW_ERR_RANGE, field, "point (%g, %g, %g) m must be finite, depth ≥ 0",
                       point->x_m, point->y_m, point->z_m);
    }
    return GW_OK;
}

static void integrate_point(batch *b, const gw_position *point)
{
    double gap = HUGE_VAL, extent = 0.0;
    for (size_t j = 0; j < b->sources; ++j) {
        gap = fmin(gap, gw_kernel_point_gap_m(point, &b->from[j]));
        extent = fmax(extent, extent_m(*point, 0.0, &b->from[j]));
    }
    b->point = point;
    integrate(b, gap, extent);
}

gw_status gw_response_at_point(const gw_response_case *with, const gw_position *point,
                               const gw_segment *from, double *h_mk_w, gw_err *err)
{
    gw_status st = gw_response_check(with, err);
    if (st == GW_OK) {
        st = gw_segment_check(from, 0, err);
    }
    if (st == GW_OK) {
        st = check_point(point, 0, err);
    }
    if (st != GW_OK) {
        return st;
    }
    batch b;
    prepare(&b, with, from, h_mk_w);
    integrate_point(&b, point);
    return GW_OK;
}

static gw_status check_map(const gw_response_case *with, const gw_response_map *map, gw_err *err)
{
    gw_status st = gw_response_check(with, err);
    if (st == GW_OK && map->segment_count < 1) {
        st = gw_fail(err, GW_ERR_MISSING, "segments", "there must be at least one segment");
    }
    for (size_t j = 0; j < map->segment_count && st == GW_OK; ++j) {
        st = gw_segment_check(&map->segments[j], j, err);
        if (st == GW_OK && map->load_w_m != NULL && !isfinite(map->load_w_m[j])) {
            st = gw_fail(err, GW_ERR_RANGE, "load", "load %zu must be finite", j);
        }
    }
    for (size_t i = 0; i < map->point_count && st == GW_OK; ++i) {
        st = check_point(&map->points[i], i, err);
    }
    return st;
}

gw_status gw_response_map_points(const gw_response_case *with, const gw_response_map *map,
                                 double *change_k, gw_err *err)
{
    const gw_status st = check_map(with, map, err);
    if (st != GW_OK) {
        return st;
    }
    const long points = (long)map->point_count;
#pragma omp parallel if (points * (long)map->segment_count > 1000)
    {
        batch b;
        prepare(&b, with, map->segments, change_k);
        b.load = map->load_w_m;
        b.sources = map->segment_count;
#pragma omp for schedule(dynamic, 64)
        for (long i = 0; i < points; ++i) {
            b.h = change_k + (size_t)i * with->count;
            integrate_point(&b, &map->points[i]);
        }
    }
    return GW_OK;
}
