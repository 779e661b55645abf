// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/large.h"

#include "ground/columns.h"
#include "ground/dense.h"
#include "ground/modes.h"

#include <math.h>
#include <omp.h>
#include <stdlib.h>
#include <string.h>

enum { CURVE = 512 };   // intervals of the curve over ln(distance)
enum { NEAR_CUTS = 4 }; // of each part by its neighbours

// Unknowns: first the mean load of each bore, then for each class the load of each piece but the
// last over that mean; the last one's follows, since these shapes have no mean (piece m up by one,
// the last down by l_m/l_last).
typedef struct {
    const gw_transfer *t;
    size_t bores, pieces, classes, unknowns;
    const double *length_m; // [pieces]
    double bore_m;          // their sum
    double resistance_mk_w;
    double *x_m, *y_m; // [bores]
    double *place;     // [bores (bores + 1)/2] where each distance is on the curve
    size_t *class_of;  // [bores]
    double low, step;  // of ln(distance) along the curve
    double *gauss;     // [CURVE + 1][nodes] e^(−r²s²)
    double *power;     // [CURVE + 1][nodes] its derivative over ln r
    double *whole;     // [nodes] w f e^(ρ²s²) between two whole bores
    double *part;      // [pieces][nodes] between a piece and a whole bore
    double *pair;      // [pieces][pieces][nodes] between two pieces
    double *to_class;  // [bores][classes][nodes] Σ e^(−r²s²) to the bores of a class
    double *in_class;  // [classes][classes][nodes] the same summed over the bores of a class
} large_field;

static gw_status no_memory(gw_err *err)
{
    return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for the large field");
}

// ---- geometry ----

static gw_status check_equal(const gw_field *field, const gw_columns_layout *layout, gw_err *err)
{
    if (!gw_columns_fit(field)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "segments", "all bores must be vertical");
    }
    if (layout->types != 1) {
        return gw_fail(err, GW_ERR_GEOMETRY, "segments",
                       "%zu kinds of bore, all must be equal in depth, pieces and radius",
                       layout->types);
    }
    for (size_t i = 1; i < field->count && field->resistance_mk_w != NULL; ++i) {
        if (field->resistance_mk_w[i] != field->resistance_mk_w[0]) {
            return gw_fail(err, GW_ERR_GEOMETRY, "resistance", "all resistances must be equal");
        }
    }
    if (field->boundary != GW_FIELD_EQUAL_TEMPERATURE) {
        return gw_fail(err, GW_ERR_RANGE, "boundary", "only equal temperature is meant here");
    }
    return GW_OK;
}

// Rank of a pair (i ≥ j) in a triangle.
static size_t rank_of(size_t i, size_t j)
{
    return i * (i + 1) / 2 + j;
}

static gw_status make_places(gw_arena *arena, large_field *g, const gw_columns_layout *layout,
                             gw_err *err)
{
    const gw_segment *const segments = g->t->field->segments;
    g->x_m = gw_arena_alloc(arena, g->bores, sizeof *g->x_m);
    g->y_m = gw_arena_alloc(arena, g->bores, sizeof *g->y_m);
    g->place = gw_arena_alloc(arena, rank_of(g->bores, 0), sizeof *g->place);
    if (g->x_m == NULL || g->y_m == NULL || g->place == NULL) {
        return no_memory(err);
    }
    const double radius = segments[0].radius_m;
    double farthest = radius;
    for (size_t i = 0; i < g->bores; ++i) {
        g->x_m[i] = segments[layout->column[i].member[0]].x_m;
        g->y_m[i] = segments[layout->column[i].member[0]].y_m;
        for (size_t j = 0; j <= i; ++j) {
            const double r = hypot(g->x_m[i] - g->x_m[j], g->y_m[i] - g->y_m[j]);
            g->place[rank_of(i, j)] = fmax(r, radius);
            farthest = fmax(farthest, r);
        }
    }
    g->low = log(radius);
    g->step = fmax(log(farthest) - g->low, 1e-6) * (1.0 + 1e-12) / CURVE;
    const long bores = (long)g->bores;
#pragma omp parallel for schedule(dynamic, 16)
    for (long i = 0; i < bores; ++i) {
        for (size_t k = rank_of((size_t)i, 0); k <= rank_of((size_t)i, (size_t)i); ++k) {
            g->place[k] = (log(g->place[k]) - g->low) / g->step;
        }
    }
    return GW_OK;
}

// ---- what does not depend on p ----

// w f(s) e^(ρ²s²) for two segments on one axis, apart from the distance.
static void axis_kernel(const gw_transfer *t, const gw_segment *a, const gw_segment *b, double *f)
{
    gw_kernel_pair(&(gw_kernel_at){&t->table, t->s, t->nodes, false}, a, b, f);
    for (size_t q = 0; q < t->nodes; ++q) {
        f[q] *= t->w[q] * exp(a->radius_m * a->radius_m * t->s[q] * t->s[q]);
    }
}

static gw_status make_kernels(gw_arena *arena, large_field *g, const gw_transfer_column *bore,
                              gw_err *err)
{
    const gw_transfer *const t = g->t;
    const size_t n = t->nodes, pieces = g->pieces;
    double *const all = gw_arena_alloc(arena, (1 + pieces + pieces * pieces) * n, sizeof *all);
    double *const length = gw_arena_alloc(arena, pieces, sizeof *length);
    if (all == NULL || length == NULL) {
        return no_memory(err);
    }
    g->whole = all;
    g->part = all + n;
    g->pair = all + (1 + pieces) * n;
    g->length_m = length;
    for (size_t i = 0; i < pieces; ++i) {
        const gw_segment *const a = &t->field->segments[bore->member[i]];
        length[i] = a->length_m;
        g->bore_m += a->length_m;
        for (size_t j = 0; j < pieces; ++j) {
            double *const f = g->pair + (i * pieces + j) * n;
            axis_kernel(t, a, &t->field->segments[bore->member[j]], f);
            for (size_t q = 0; q < n; ++q) {
                g->part[i * n + q] += f[q];
                g->whole[q] += f[q];
            }
        }
    }
    return GW_OK;
}

static gw_status make_curve(gw_arena *arena, large_field *g, gw_err *err)
{
    const gw_transfer *const t = g->t;
    g->gauss = gw_arena_alloc(arena, 2 * (size_t)(CURVE + 1) * t->nodes, sizeof *g->gauss);
    if (g->gauss == NULL) {
        return no_memory(err);
    }
    g->power = g->gauss + (size_t)(CURVE + 1) * t->nodes;
    for (size_t c = 0; c <= CURVE; ++c) {
        const double r = exp(g->low + g->step * (double)c);
        for (size_t q = 0; q < t->nodes; ++q) {
            const double power = r * r * t->s[q] * t->s[q];
            const double value = power > GW_KERNEL_EXP_END ? 0.0 : exp(-power);
            g->gauss[c * t->nodes + q] = value;
            g->power[c * t->nodes + q] = -2.0 * power * value;
        }
    }
    return GW_OK;
}

// Value and slope (per interval) of L H(r) of whole bores at the points of the curve.
static void curve_at(const large_field *g, const double *factor, double curve[][2])
{
    const size_t n = g->t->nodes;
    for (size_t c = 0; c <= CURVE; ++c) {
        double value = 0.0, slope = 0.0;
        for (size_t q = 0; q < n; ++q) {
            const double f = g->whole[q] * factor[q];
            value += f * g->gauss[c * n + q];
            slope += f * g->power[c * n + q];
        }
        curve[c][0] = value;
        curve[c][1] = slope * g->step;
    }
}

// Cubic Hermite between the points of the curve.
static double on_curve(double curve[][2], double place)
{
    const size_t c = place < CURVE ? (size_t)place : CURVE - 1;
    const double u = place - (double)c, v = 1.0 - u;
    return v * v * ((1.0 + 2.0 * u) * curve[c][0] + u * curve[c][1]) +
           u * u * ((1.0 + 2.0 * v) * curve[c + 1][0] - v * curve[c + 1][1]);
}

// ---- classes ----

typedef struct {
    double warmth;
    size_t bore;
} likeness;

static int by_warmth(const void *left, const void *right)
{
    const likeness *const a = left, *const b = right;
    if (a->warmth < b->warmth || a->warmth > b->warmth) {
        return a->warmth < b->warmth ? -1 : 1;
    }
    return (a->bore > b->bore) - (a->bore < b->bore);
}

static double mean_nearest_m(const large_field *g)
{
    double sum = 0.0;
    for (size_t i = 0; i < g->bores; ++i) {
        double least = HUGE_VAL;
        for (size_t j = 0; j < g->bores; ++j) {
            const double r = hypot(g->x_m[i] - g->x_m[j], g->y_m[i] - g->y_m[j]);
            least = j != i && r < least ? r : least;
        }
        sum += g->bores > 1 ? least : 1.0;
    }
    return sum / (double)g->bores;
}

// Temperature of each bore under equal load everywhere, at one p.
static void find_warmth(const large_field *g, double p, double *factor, double curve[][2],
                        double *warmth)
{
    gw_transfer_factors(g->t, p, factor);
    curve_at(g, factor, curve);
    for (size_t i = 0; i < g->bores; ++i) {
        warmth[i] = 0.0;
        for (size_t j = 0; j <= i; ++j) {
            const double h = on_curve(curve, g->place[rank_of(i, j)]);
            warmth[i] += h;
            warmth[j] += j < i ? h : 0.0;
        }
    }
}

static void sort_by(likeness *like, size_t count, const double *warmth)
{
    for (size_t i = 0; i < count; ++i) {
        like[i].warmth = warmth[like[i].bore];
    }
    qsort(like, count, sizeof *like, by_warmth);
}

// Cut into equal numbers of bores by the steady temperature, each part again by the temperature
// while only neighbours out to twice the mean nearest distance are felt: the shape over depth
// follows both the place in the field and the crowding. (One cut by the steady temperature alone
// leaves four times the error in fields laid out at random.)
static gw_status make_classes(gw_arena *arena, large_field *g, double *factor, gw_err *err)
{
    likeness *const like = gw_arena_alloc(arena, g->bores, sizeof *like);
    double *const warmth = gw_arena_alloc(arena, 2 * g->bores, sizeof *warmth);
    g->class_of = gw_arena_alloc(arena, g->bores, sizeof *g->class_of);
    double(*const curve)[2] = gw_arena_alloc(arena, CURVE + 1, sizeof *curve);
    if (like == NULL || warmth == NULL || g->class_of == NULL || curve == NULL) {
        return no_memory(err);
    }
    const double reach = 2.0 * mean_nearest_m(g);
    double *const crowding = warmth + g->bores;
    find_warmth(g, 0.0, factor, curve, warmth);
    find_warmth(g, g->t->field->medium.diffusivity_m2_s / (reach * reach), factor, curve, crowding);
    for (size_t i = 0; i < g->bores; ++i) {
        like[i].bore = i;
    }
    sort_by(like, g->bores, warmth);
    const size_t near = g->classes < NEAR_CUTS ? g->classes : NEAR_CUTS;
    const size_t parts = g->classes / near;
    g->classes = near * parts;
    for (size_t k = 0; k < parts; ++k) {
        const size_t from = k * g->bores / parts, count = (k + 1) * g->bores / parts - from;
        sort_by(like + from, count, crowding);
        for (size_t i = 0; i < count; ++i) {
            g->class_of[like[from + i].bore] = k * near + i * near / count;
        }
    }
    return GW_OK;
}

// Σ e^(−r²s²) from one bore to the bores of each class.
static void sum_from(const large_field *g, size_t bore, double radius_m, double *to_class)
{
    const size_t n = g->t->nodes;
    const double *const s = g->t->s;
    for (size_t j = 0; j < g->bores; ++j) {
        const double x = g->x_m[bore] - g->x_m[j], y = g->y_m[bore] - g->y_m[j];
        const double r2 = fmax(x * x + y * y, radius_m * radius_m);
        double *const sum = to_class + g->class_of[j] * n;
        for (size_t q = 0; q < n && r2 * s[q] * s[q] <= GW_KERNEL_EXP_END; ++q) {
            sum[q] += exp(-r2 * s[q] * s[q]);
        }
    }
}

static gw_status sum_classes(gw_arena *arena, large_field *g, gw_err *err)
{
    const gw_transfer *const t = g->t;
    const size_t n = t->nodes, classes = g->classes;
    g->to_class = gw_arena_alloc(arena, g->bores * classes * n, sizeof *g->to_class);
    g->in_class = gw_arena_alloc(arena, classes * classes * n, sizeof *g->in_class);
    if (g->to_class == NULL || g->in_class == NULL) {
        return no_memory(err);
    }
    const double radius_m = t->field->segments[0].radius_m;
    const long bores = (long)g->bores;
#pragma omp parallel for schedule(dynamic, 16)
    for (long i = 0; i < bores; ++i) {
        sum_from(g, (size_t)i, radius_m, g->to_class + (size_t)i * classes * n);
    }
    for (size_t i = 0; i < g->bores; ++i) {
        double *const sum = g->in_class + g->class_of[i] * classes * n;
        for (size_t k = 0; k < classes * n; ++k) {
            sum[k] += g->to_class[i * classes * n + k];
        }
    }
    return GW_OK;
}

// ---- one p ----

typedef struct {
    double *factor;     // [nodes]
    double (*curve)[2]; // [CURVE + 1]
    double *weighted;   // [pieces + pieces²][nodes] kernels times the factors
    double *cell;       // [pieces][pieces]
    double *matrix;     // [unknowns][unknowns], lower triangle by columns
    double *load;       // [unknowns]
} large_work;

static double dot(const double *a, const double *b, size_t n)
{
    double even = 0.0, odd = 0.0;
    size_t q = 0;
    for (; q + 1 < n; q += 2) {
        even += a[q] * b[q];
        odd += a[q + 1] * b[q + 1];
    }
    return even + odd + (q < n ? a[q] * b[q] : 0.0);
}

// Bores against bores, then shapes of the classes against bores: row of the shape, column of the
// bore, so that only the lower triangle is written.
static void fill_bores(const large_field *g, const large_work *w)
{
    const size_t n = g->t->nodes, size = g->unknowns, last = g->pieces - 1;
    for (size_t j = 0; j < g->bores; ++j) {
        double *const column = w->matrix + j * size;
        for (size_t i = j; i < g->bores; ++i) {
            column[i] = on_curve(w->curve, g->place[rank_of(i, j)]);
        }
        column[j] += g->resistance_mk_w * g->bore_m;
        for (size_t k = 0; k < g->classes; ++k) {
            const double *const sum = g->to_class + (j * g->classes + k) * n;
            const double end = dot(w->weighted + last * n, sum, n) / g->length_m[last];
            for (size_t m = 0; m < last; ++m) {
                column[g->bores + k * last + m] =
                    dot(w->weighted + m * n, sum, n) - end * g->length_m[m];
            }
        }
    }
}

// Shapes of class k against those of class c: both ends projected on shapes without a mean.
static void fill_shapes(const large_field *g, const large_work *w, size_t k, size_t c)
{
    const size_t n = g->t->nodes, pieces = g->pieces, last = pieces - 1;
    const double *const sum = g->in_class + (k * g->classes + c) * n;
    const double *const pair = w->weighted + pieces * n, *const l = g->length_m;
    for (size_t i = 0; i < pieces * pieces; ++i) {
        w->cell[i] = dot(pair + i * n, sum, n);
    }
    size_t members = 0;
    for (size_t i = 0; i < g->bores && k == c; ++i) {
        members += g->class_of[i] == k;
    }
    const double resistance = (double)members * g->resistance_mk_w;
    for (size_t m = 0; m < last; ++m) {
        for (size_t i = 0; i < last; ++i) {
            const double both = w->cell[m * pieces + i] -
                                l[i] / l[last] * w->cell[m * pieces + last] -
                                l[m] / l[last] * w->cell[last * pieces + i] +
                                l[m] * l[i] / (l[last] * l[last]) * w->cell[last * pieces + last];
            const double wall = resistance * (l[m] * l[i] / l[last] + (m == i ? l[m] : 0.0));
            const size_t row = g->bores + k * last + m, column = g->bores + c * last + i;
            if (row >= column) {
                w->matrix[column * g->unknowns + row] = both + wall;
            }
        }
    }
}

// Drop for 1 W/m in the mean, or a negative number when the system has no solution.
static double solve_large(const large_field *g, double p, const large_work *w)
{
    const size_t n = g->t->nodes;
    gw_transfer_factors(g->t, p, w->factor);
    curve_at(g, w->factor, w->curve);
    for (size_t i = 0; i < g->pieces + g->pieces * g->pieces; ++i) {
        for (size_t q = 0; q < n; ++q) {
            w->weighted[i * n + q] = g->part[i * n + q] * w->factor[q]; // part, then pair
        }
    }
    fill_bores(g, w);
    for (size_t k = 0; k < g->classes; ++k) {
        for (size_t c = 0; c <= k; ++c) {
            fill_shapes(g, w, k, c);
        }
    }
    for (size_t i = 0; i < g->unknowns; ++i) {
        w->load[i] = i < g->bores ? g->bore_m : 0.0;
    }
    if (!gw_dense_cholesky(&(gw_dense){w->matrix, w->load, g->unknowns})) {
        return -1.0;
    }
    double sum = 0.0;
    for (size_t i = 0; i < g->bores; ++i) {
        sum += g->bore_m * w->load[i];
    }
    return g->bore_m * (double)g->bores / sum;
}

static gw_status make_work(gw_arena *arena, const large_field *g, large_work *w, gw_err *err)
{
    const size_t n = g->t->nodes, kernels = g->pieces + g->pieces * g->pieces;
    w->factor = gw_arena_alloc(arena, n, sizeof *w->factor);
    w->curve = gw_arena_alloc(arena, CURVE + 1, sizeof *w->curve);
    w->weighted = gw_arena_alloc(arena, kernels * n, sizeof *w->weighted);
    w->cell = gw_arena_alloc(arena, g->pieces * g->pieces, sizeof *w->cell);
    w->matrix = gw_arena_alloc(arena, g->unknowns * g->unknowns, sizeof *w->matrix);
    w->load = gw_arena_alloc(arena, g->unknowns, sizeof *w->load);
    const bool all = w->factor != NULL && w->curve != NULL && w->weighted != NULL &&
                     w->cell != NULL && w->matrix != NULL && w->load != NULL;
    return all ? GW_OK : no_memory(err);
}

static gw_status solve_spectrum(gw_arena *arena, const large_field *g, gw_modes *modes, gw_err *err)
{
    const int threads = omp_get_max_threads();
    large_work *const work = gw_arena_alloc(arena, (size_t)threads, sizeof *work);
    modes->drop = gw_arena_alloc(arena, modes->spectrum.count, sizeof *modes->drop);
    if (work == NULL || modes->drop == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < threads; ++i) {
        const gw_status st = make_work(arena, g, &work[i], err);
        if (st != GW_OK) {
            return st;
        }
    }
    const long count = (long)modes->spectrum.count;
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (long m = 0; m < count; ++m) {
        modes->drop[m] = solve_large(g, modes->spectrum.p[m], &work[omp_get_thread_num()]);
    }
    for (size_t m = 0; m < modes->spectrum.count; ++m) {
        if (!(modes->drop[m] > 0.0)) {
            return gw_fail(err, GW_ERR_GEOMETRY, "segments",
                           "the field cannot be solved: some bores lie on each other");
        }
    }
    return GW_OK;
}

static gw_status prepare(gw_arena *arena, const gw_field_large *large, large_field *g,
                         gw_transfer *t, gw_err *err)
{
    gw_columns_layout layout = {0};
    t->field = large->field;
    gw_kernel_table_init(&t->table);
    gw_status st = gw_columns_lay_out(arena, large->field, &layout, err);
    if (st == GW_OK) {
        st = check_equal(large->field, &layout, err);
    }
    if (st == GW_OK) {
        st = gw_transfer_nodes(arena, t, err);
    }
    double *const factor = gw_arena_alloc(arena, t->nodes, sizeof *factor);
    if (st != GW_OK || factor == NULL) {
        return st != GW_OK ? st : no_memory(err);
    }
    g->t = t;
    g->bores = layout.columns;
    g->pieces = layout.column[0].count;
    g->classes = large->classes < g->bores ? large->classes : g->bores;
    g->resistance_mk_w =
        large->field->resistance_mk_w != NULL ? large->field->resistance_mk_w[0] : 0.0;
    st = make_places(arena, g, &layout, err);
    st = st == GW_OK ? make_kernels(arena, g, &layout.column[0], err) : st;
    st = st == GW_OK ? make_curve(arena, g, err) : st;
    st = st == GW_OK ? make_classes(arena, g, factor, err) : st;
    g->unknowns = g->bores + g->classes * (g->pieces - 1);
    return st == GW_OK ? sum_classes(arena, g, err) : st;
}

gw_status gw_field_step_response_large(gw_arena *arena, const gw_field_large *large,
                                       const gw_field_times *times, gw_field_step *out, gw_err *err)
{
    gw_status st = gw_field_check(large->field, err);
    if (st == GW_OK) {
        st = gw_response_check(
            &(gw_response_case){large->field->medium, times->times_s, times->count, false}, err);
    }
    if (st == GW_OK && !(large->classes >= 1 && large->classes <= 64)) {
        st = gw_fail(err, GW_ERR_RANGE, "classes", "%zu classes must be 1 to 64", large->classes);
    }
    gw_transfer *const t = gw_arena_alloc(arena, 1, sizeof *t);
    if (st != GW_OK || t == NULL) {
        return st != GW_OK ? st : no_memory(err);
    }
    large_field g = {0};
    gw_modes modes = {.transfer = t};
    st = prepare(arena, large, &g, t, err);
    if (st == GW_OK) {
        st = gw_modes_spectrum(arena, large->field, times, GW_MODES_LARGE, &modes.spectrum, err);
    }
    if (st == GW_OK) {
        st = solve_spectrum(arena, &g, &modes, err);
    }
    if (st != GW_OK) {
        return st;
    }
    modes.instant = g.resistance_mk_w;
    *out = (gw_field_step){.unknowns = g.unknowns, .kernels = g.pieces * g.pieces};
    return gw_modes_to_times(arena, &modes, times, out, err);
}
