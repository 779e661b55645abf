// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Level maps by tables: lines of one shape (depth, direction to the vertical, length) share one
// table over the distances beyond the end and beside the axis. Both axes of the table are stretched
// (asinh), fine at the line and wide far from it.
#include "loop/ground_at.h"
#include "loop/ground_at_priv.h"

#include <math.h>
#include <string.h>

enum { ACROSS = 72, ALONG = 56 };
static const double FINE_ACROSS_M = 0.05;
static const double FINE_ALONG_M = 0.5;
static const double SAME_M = 1e-9;

typedef struct {
    gw_segment shape; // its middle at the origin of the plan
    bool vertical;
    double half_m;       // half its length in plan; 0 of a vertical line
    double across_step;  // of the stretched coordinates
    double along_first;  //
    double along_step;   //
    size_t along;        // rows: 1 of a vertical line
    double *value;       // [along × ACROSS × nodes]
    const size_t *lines; // indices of the segments of this shape
    size_t line_count;
} table;

typedef struct {
    gw_arena *arena;
    const gw_ground_past *past;
    const gw_ground_grid *grid;
    const gw_ground_nodes *nodes;
    double reach_m; // farthest that a point can lie from a line
} work;

static bool is_vertical(const gw_segment *s)
{
    return hypot(s->dx, s->dy) < 1e-9;
}

static bool is_level(const gw_segment *s)
{
    return fabs(s->dz) < 1e-9;
}

static bool same_shape(const gw_segment *a, const gw_segment *b)
{
    return is_vertical(a) == is_vertical(b) && fabs(a->z_m - b->z_m) < SAME_M &&
           fabs(a->length_m - b->length_m) < SAME_M && fabs(a->radius_m - b->radius_m) < SAME_M &&
           fabs(a->dz - b->dz) < SAME_M;
}

static double unstretch(double s, double fine_m)
{
    return fine_m * sinh(s);
}

static double stretch(double d_m, double fine_m)
{
    return asinh(d_m / fine_m);
}

static gw_status fill_table(const work *w, table *t, gw_err *err)
{
    const gw_segment *const first = &w->past->segments[t->lines[0]];
    t->vertical = is_vertical(first);
    t->half_m = t->vertical ? 0.0 : 0.5 * first->length_m;
    t->shape = *first;
    t->shape.x_m = -t->half_m;
    t->shape.y_m = 0.0;
    t->shape.dx = t->vertical ? 0.0 : 1.0;
    t->shape.dy = 0.0;
    t->along = t->vertical ? 1 : ALONG;
    t->across_step = stretch(w->reach_m, FINE_ACROSS_M) / (ACROSS - 1);
    t->along_first = stretch(-t->half_m, FINE_ALONG_M);
    t->along_step = (stretch(w->reach_m, FINE_ALONG_M) - t->along_first) / (ALONG - 1);
    const size_t count = t->along * ACROSS;
    gw_position *const points = gw_arena_alloc(w->arena, count, sizeof *points);
    t->value = gw_arena_alloc(w->arena, count * w->nodes->count, sizeof *t->value);
    if (points == NULL || t->value == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "grid", "out of memory for the map");
    }
    for (size_t i = 0; i < count; i++) {
        const double beyond_m =
            unstretch(t->along_first + (double)(i / ACROSS) * t->along_step, FINE_ALONG_M);
        const double along_m = t->vertical ? 0.0 : t->half_m + beyond_m;
        points[i] =
            (gw_position){along_m, unstretch((double)(i % ACROSS) * t->across_step, FINE_ACROSS_M),
                          w->grid->depth_m};
    }
    const gw_response_case with = {
        .medium = w->past->medium, .times_s = w->nodes->times_s, .count = w->nodes->count};
    const gw_response_map map = {
        .segments = &t->shape, .segment_count = 1, .points = points, .point_count = count};
    return gw_response_map_points(&with, &map, t->value, err);
}

// Four nodes about `place` and their weights.
static size_t cubic(double place, size_t count, double weight[4])
{
    const double inside = fmin(fmax(place, 0.0), (double)(count - 1));
    size_t first = inside > 1.0 ? (size_t)inside - 1 : 0;
    first = first + 4 > count ? count - 4 : first;
    const double x = inside - (double)first;
    weight[0] = -(x - 1.0) * (x - 2.0) * (x - 3.0) / 6.0;
    weight[1] = x * (x - 2.0) * (x - 3.0) / 2.0;
    weight[2] = -x * (x - 1.0) * (x - 3.0) / 2.0;
    weight[3] = x * (x - 1.0) * (x - 2.0) / 6.0;
    return first;
}

// Where the sums of one cell go.
typedef struct {
    double at[2];
    double *sum; // [nodes]
    size_t nodes;
} cell;

// Adds the response of one line of the table's shape, `relative` times the mean heat, to a cell.
static void add_line(const table *t, const gw_segment *line, double relative, const cell *c)
{
    const double *const at = c->at;
    const size_t nodes = c->nodes;
    double *restrict const sum = c->sum;
    const double mid = t->half_m;
    const double px = at[0] - (line->x_m + line->dx * mid);
    const double py = at[1] - (line->y_m + line->dy * mid);
    const double along_m = t->vertical ? 0.0 : fabs(px * line->dx + py * line->dy);
    const double across_m = t->vertical ? hypot(px, py) : fabs(py * line->dx - px * line->dy);
    double wa[4], wl[4] = {1.0, 0.0, 0.0, 0.0};
    const size_t a = cubic(stretch(across_m, FINE_ACROSS_M) / t->across_step, ACROSS, wa);
    const size_t l =
        t->vertical
            ? 0
            : cubic((stretch(along_m - t->half_m, FINE_ALONG_M) - t->along_first) / t->along_step,
                    ALONG, wl);
    const size_t rows = t->vertical ? 1 : 4;
    for (size_t i = 0; i < rows; i++) {
        for (size_t k = 0; k < 4; k++) {
            const double *restrict const from = t->value + ((l + i) * ACROSS + a + k) * nodes;
            const double weight = relative * wl[i] * wa[k];
            for (size_t j = 0; j < nodes; j++) {
                sum[j] += weight * from[j];
            }
        }
    }
}

static gw_status sort_shapes(const work *w, table *tables, size_t *count, gw_err *err)
{
    const gw_ground_past *const past = w->past;
    *count = 0;
    for (size_t i = 0; i < past->segment_count; i++) {
        size_t t = 0;
        while (t < *count && !same_shape(&past->segments[tables[t].lines[0]], &past->segments[i])) {
            t++;
        }
        if (t < *count) {
            continue;
        }
        size_t *const lines = gw_arena_alloc(w->arena, past->segment_count, sizeof *lines);
        if (lines == NULL) {
            return gw_fail(err, GW_ERR_NOMEM, "grid", "out of memory for the map");
        }
        size_t n = 0;
        for (size_t k = i; k < past->segment_count; k++) {
            if (same_shape(&past->segments[i], &past->segments[k])) {
                lines[n++] = k;
            }
        }
        tables[(*count)++] = (table){.lines = lines, .line_count = n};
    }
    return GW_OK;
}

static gw_status check_grid(const gw_ground_grid *g, gw_err *err)
{
    if (g->nx < 1 || g->nx > 1000 || g->ny < 1 || g->ny > 1000) {
        return gw_fail(err, GW_ERR_RANGE, "grid.nx", "found %zu by %zu cells, expected 1 to 1000",
                       g->nx, g->ny);
    }
    if (!(g->depth_m >= 0.0 && g->depth_m <= 400.0)) {
        return gw_fail(err, GW_ERR_RANGE, "grid.depth_m", "found %g m, expected 0 to 400 m",
                       g->depth_m);
    }
    if (!(g->east_m > g->west_m && g->north_m > g->south_m && isfinite(g->east_m - g->west_m) &&
          isfinite(g->north_m - g->south_m))) {
        return gw_fail(err, GW_ERR_RANGE, "grid.west_m",
                       "found %g to %g m by %g to %g m, expected a box with an area", g->west_m,
                       g->east_m, g->south_m, g->north_m);
    }
    return GW_OK;
}

static gw_position centre(const gw_ground_grid *g, size_t i)
{
    const double dx = (g->east_m - g->west_m) / (double)g->nx;
    const double dy = (g->north_m - g->south_m) / (double)g->ny;
    return (gw_position){g->west_m + ((double)(i % g->nx) + 0.5) * dx,
                         g->south_m + ((double)(i / g->nx) + 0.5) * dy, g->depth_m};
}

// Farthest corner of the grid from any end of a line.
static double reach_of(const gw_ground_past *past, const gw_ground_grid *g)
{
    double reach_m = 1.0;
    for (size_t i = 0; i < past->segment_count; i++) {
        const gw_segment *const s = &past->segments[i];
        for (int end = 0; end < 2; end++) {
            const gw_position p = gw_segment_point(s, end == 0 ? 0.0 : s->length_m);
            const double x_m = fmax(fabs(g->west_m - p.x_m), fabs(g->east_m - p.x_m));
            const double y_m = fmax(fabs(g->south_m - p.y_m), fabs(g->north_m - p.y_m));
            reach_m = fmax(reach_m, hypot(x_m, y_m));
        }
    }
    return reach_m;
}

// Every cell by its own, in pieces that stay in the cache: same bits whatever the number of
// threads.
static void weigh(const work *w, const gw_ground_ask *ask, const double *h_mk_w, double *drop_k)
{
    enum { PIECE = 1024 };
    const size_t cells = w->grid->nx * w->grid->ny;
    const size_t nodes = w->nodes->count;
    const size_t pieces = (cells + PIECE - 1) / PIECE;
#pragma omp parallel for schedule(static)
    for (size_t p = 0; p < pieces; p++) {
        const size_t begin = p * PIECE;
        const size_t count = cells - begin < PIECE ? cells - begin : PIECE;
        for (size_t s = 0; s < ask->span_count; s++) {
            double *restrict const out = drop_k + s * cells + begin;
            memset(out, 0, count * sizeof *out);
            for (size_t j = 0; j < nodes; j++) {
                const double weight = w->nodes->weight_w_m[s * nodes + j];
                const double *restrict const from = h_mk_w + j * cells + begin;
                for (size_t i = 0; i < count; i++) {
                    out[i] += weight * from[i];
                }
            }
        }
    }
}

static void look_up(const work *w, const table *tables, size_t table_count, double *h_mk_w)
{
    const size_t cells = w->grid->nx * w->grid->ny;
    const size_t nodes = w->nodes->count;
#pragma omp parallel for schedule(static)
    for (size_t i = 0; i < cells; i++) {
        double sum[GW_GROUND_NODES_MAX] = {0};
        const gw_position p = centre(w->grid, i);
        const cell c = {{p.x_m, p.y_m}, sum, nodes};
        for (size_t t = 0; t < table_count; t++) {
            for (size_t k = 0; k < tables[t].line_count; k++) {
                const size_t line = tables[t].lines[k];
                const double *const relative = w->past->relative;
                add_line(&tables[t], &w->past->segments[line],
                         relative != NULL ? relative[line] : 1.0, &c);
            }
        }
        for (size_t j = 0; j < nodes; j++) {
            h_mk_w[j * cells + i] = sum[j];
        }
    }
}

static gw_status point_by_point(const work *w, double *h_mk_w, gw_err *err)
{
    const size_t cells = w->grid->nx * w->grid->ny;
    const size_t nodes = w->nodes->count;
    gw_position *const points = gw_arena_alloc(w->arena, cells, sizeof *points);
    double *const rows = gw_arena_alloc(w->arena, cells * nodes, sizeof *rows);
    if (points == NULL || rows == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "grid", "out of memory for the map");
    }
    for (size_t i = 0; i < cells; i++) {
        points[i] = centre(w->grid, i);
    }
    const gw_response_case with = {
        .medium = w->past->medium, .times_s = w->nodes->times_s, .count = nodes};
    const gw_response_map map = {.segments = w->past->segments,
                                 .load_w_m = w->past->relative,
                                 .segment_count = w->past->segment_count,
                                 .points = points,
                                 .point_count = cells};
    const gw_status st = gw_response_map_points(&with, &map, rows, err);
    for (size_t i = 0; st == GW_OK && i < cells; i++) {
        for (size_t j = 0; j < nodes; j++) {
            h_mk_w[j * cells + i] = rows[i * nodes + j];
        }
    }
    return st;
}

static bool all_straight(const gw_ground_past *past)
{
    for (size_t i = 0; i < past->segment_count; i++) {
        if (!is_vertical(&past->segments[i]) && !is_level(&past->segments[i])) {
            return false;
        }
    }
    return true;
}

gw_status gw_ground_at_grid(gw_arena *arena, const gw_ground_past *past, const gw_ground_grid *grid,
                            const gw_ground_ask *ask, double *drop_k, gw_err *err)
{
    gw_ground_nodes nodes;
    gw_status st = check_grid(grid, err);
    if (st == GW_OK) {
        st = gw_ground_priv_nodes(arena, past, ask, &nodes, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const work w = {arena, past, grid, &nodes, reach_of(past, grid)};
    double *const h_mk_w = gw_arena_alloc(arena, grid->nx * grid->ny * nodes.count, sizeof *h_mk_w);
    table *const tables = gw_arena_alloc(arena, past->segment_count, sizeof *tables);
    if (h_mk_w == NULL || tables == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "grid", "out of memory for the map");
    }
    if (!all_straight(past)) {
        st = point_by_point(&w, h_mk_w, err);
    } else {
        size_t count = 0;
        st = sort_shapes(&w, tables, &count, err);
        for (size_t t = 0; st == GW_OK && t < count; t++) {
            st = fill_table(&w, &tables[t], err);
        }
        if (st == GW_OK) {
            look_up(&w, tables, count, h_mk_w);
        }
    }
    if (st == GW_OK) {
        weigh(&w, ask, h_mk_w, drop_k);
    }
    return st;
}
