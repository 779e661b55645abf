// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/columns.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double SAME_M = 1e-7; // positions and lengths closer than this are equal

static double top_m(const gw_segment *s)
{
    return fmin(s->z_m, s->z_m + s->length_m * s->dz);
}

static double bottom_m(const gw_segment *s)
{
    return fmax(s->z_m, s->z_m + s->length_m * s->dz);
}

static bool same_place(const gw_segment *a, const gw_segment *b)
{
    return fabs(a->x_m - b->x_m) < SAME_M && fabs(a->y_m - b->y_m) < SAME_M;
}

static gw_status no_memory(gw_err *err)
{
    return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for the pairs of bores");
}

bool gw_columns_fit(const gw_field *field)
{
    for (size_t i = 0; i < field->count; ++i) {
        const gw_segment *const s = &field->segments[i];
        if (fabs(s->dz) < 1.0 - 1e-15) {
            return false;
        }
        // Neighbours in the list are enough here: a bore's pieces come one after the other, and
        // pieces of one bore that do not are still right, each kept as a column of its own.
        if (i > 0 && same_place(s, s - 1) && s->radius_m != (s - 1)->radius_m) {
            return false;
        }
    }
    return true;
}

// ---- columns and their types ----

static bool same_type(const gw_segment *segments, const gw_transfer_column *a,
                      const gw_transfer_column *b)
{
    if (a->count != b->count) {
        return false;
    }
    for (size_t i = 0; i < a->count; ++i) {
        const gw_segment *const p = &segments[a->member[i]], *const q = &segments[b->member[i]];
        if (fabs(top_m(p) - top_m(q)) > SAME_M || fabs(bottom_m(p) - bottom_m(q)) > SAME_M ||
            p->radius_m != q->radius_m) {
            return false;
        }
    }
    return true;
}

gw_status gw_columns_lay_out(gw_arena *arena, const gw_field *field, gw_columns_layout *lay,
                             gw_err *err)
{
    uint32_t *const member = gw_arena_alloc(arena, field->count, sizeof *member);
    lay->column = gw_arena_alloc(arena, field->count, sizeof *lay->column);
    lay->type = gw_arena_alloc(arena, field->count, sizeof *lay->type);
    if (member == NULL || lay->column == NULL || lay->type == NULL) {
        return no_memory(err);
    }
    lay->columns = lay->types = 0;
    for (size_t i = 0; i < field->count; ++i) {
        member[i] = (uint32_t)i;
        if (i == 0 || !same_place(&field->segments[i], &field->segments[i - 1])) {
            lay->column[lay->columns++] = (gw_transfer_column){member + i, 0, 0};
        }
        ++lay->column[lay->columns - 1].count;
    }
    for (size_t c = 0; c < lay->columns; ++c) {
        size_t type = 0;
        while (type < lay->types &&
               !same_type(field->segments, &lay->column[lay->type[type]], &lay->column[c])) {
            ++type;
        }
        if (type == lay->types) {
            lay->type[lay->types++] = c;
        }
        lay->column[c].type = type;
    }
    return GW_OK;
}

// ---- tables of a pair of types ----

static int by_value(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

// The eight arguments of ierfc of a pair: real line (+ + − −), then its mirror image (− − + +).
static void arguments(const gw_segment *a, const gw_segment *b, double x[8])
{
    const double a1 = top_m(a), a2 = bottom_m(a), b1 = top_m(b), b2 = bottom_m(b);
    x[0] = fabs(a2 - b1);
    x[1] = fabs(a1 - b2);
    x[2] = fabs(a2 - b2);
    x[3] = fabs(a1 - b1);
    x[4] = a2 + b2;
    x[5] = a1 + b1;
    x[6] = a2 + b1;
    x[7] = a1 + b2;
}

static uint32_t nearest(const double *value, size_t count, double x)
{
    size_t low = 0, high = count;
    while (high - low > 1) {
        const size_t middle = (low + high) / 2;
        if (value[middle] <= x + SAME_M) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return (uint32_t)low;
}

typedef struct {
    double *value;
    double *overlap2_m;
    uint32_t *index;
} block_memory;

static size_t different(double *value, size_t count)
{
    qsort(value, count, sizeof *value, by_value);
    size_t kept = 0;
    for (size_t i = 0; i < count; ++i) {
        if (kept == 0 || value[i] > value[kept - 1] + SAME_M) {
            value[kept++] = value[i];
        }
    }
    return kept;
}

static gw_status fill_table(gw_arena *arena, const gw_transfer *t, const double *value,
                            gw_transfer_block *block, gw_err *err)
{
    double *const table = gw_arena_alloc(arena, block->values * t->nodes, sizeof *table);
    size_t *const reach = gw_arena_alloc(arena, block->values, sizeof *reach);
    if (table == NULL || reach == NULL) {
        return no_memory(err);
    }
    for (size_t v = 0; v < block->values; ++v) {
        size_t q = 0;
        for (; q < t->nodes && value[v] * t->s[q] < GW_KERNEL_END; ++q) {
            table[v * t->nodes + q] =
                t->w[q] * gw_kernel_ierfc(&t->table, value[v] * t->s[q]) / (t->s[q] * t->s[q]);
        }
        reach[v] = q;
    }
    block->table = table;
    block->reach = reach;
    return GW_OK;
}

static gw_status make_block(gw_arena *arena, const gw_transfer *t, const gw_transfer_column *a,
                            const gw_transfer_column *b, gw_transfer_block *block, gw_err *err)
{
    const gw_segment *const segments = t->field->segments;
    const size_t cells = a->count * b->count;
    const block_memory m = {gw_arena_alloc(arena, 8 * cells, sizeof(double)),
                            gw_arena_alloc(arena, cells, sizeof(double)),
                            gw_arena_alloc(arena, 8 * cells, sizeof(uint32_t))};
    if (m.value == NULL || m.overlap2_m == NULL || m.index == NULL) {
        return no_memory(err);
    }
    for (size_t c = 0; c < cells; ++c) {
        const gw_segment *const p = &segments[a->member[c / b->count]];
        const gw_segment *const q = &segments[b->member[c % b->count]];
        arguments(p, q, m.value + 8 * c);
        const double shared = fmin(bottom_m(p), bottom_m(q)) - fmax(top_m(p), top_m(q));
        m.overlap2_m[c] = shared > SAME_M ? 2.0 * shared : 0.0;
    }
    *block = (gw_transfer_block){.rows = a->count, .columns = b->count};
    block->values = different(m.value, 8 * cells);
    for (size_t c = 0; c < cells; ++c) {
        double x[8];
        arguments(&segments[a->member[c / b->count]], &segments[b->member[c % b->count]], x);
        for (size_t i = 0; i < 8; ++i) {
            m.index[8 * c + i] = nearest(m.value, block->values, x[i]);
        }
    }
    block->index = m.index;
    block->overlap2_m = m.overlap2_m;
    return fill_table(arena, t, m.value, block, err);
}

// ---- pairs of columns by their distance ----

typedef struct {
    double distance_m;
    uint32_t block, a, b;
} spacing;

static int by_block_and_distance(const void *left, const void *right)
{
    const spacing *const p = left, *const q = right;
    if (p->block != q->block) {
        return p->block < q->block ? -1 : 1;
    }
    if (p->distance_m < q->distance_m || p->distance_m > q->distance_m) {
        return p->distance_m < q->distance_m ? -1 : 1;
    }
    // Same order on every machine, whatever its qsort does with equals.
    return p->a != q->a ? (p->a < q->a ? -1 : 1) : (p->b > q->b) - (p->b < q->b);
}

static spacing spacing_of(const gw_field *field, const gw_columns_layout *lay, size_t i, size_t j)
{
    const gw_transfer_column *a = &lay->column[i], *b = &lay->column[j];
    const bool swap = a->type > b->type;
    const gw_segment *const p = &field->segments[a->member[0]];
    const gw_segment *const q = &field->segments[b->member[0]];
    const size_t low = swap ? b->type : a->type, high = swap ? a->type : b->type;
    return (spacing){
        .distance_m = fmax(hypot(p->x_m - q->x_m, p->y_m - q->y_m), fmax(p->radius_m, q->radius_m)),
        .block = (uint32_t)(high * (high + 1) / 2 + low),
        .a = (uint32_t)(swap ? j : i),
        .b = (uint32_t)(swap ? i : j)};
}

static gw_status make_keys(gw_arena *arena, gw_transfer *t, const gw_columns_layout *lay,
                           const gw_transfer_block *blocks, gw_err *err)
{
    const size_t pairs = lay->columns * (lay->columns + 1) / 2;
    spacing *const all = gw_arena_alloc(arena, pairs, sizeof *all);
    gw_transfer_pair *const pair = gw_arena_alloc(arena, pairs, sizeof *pair);
    gw_transfer_key *const key = gw_arena_alloc(arena, pairs, sizeof *key);
    if (all == NULL || pair == NULL || key == NULL) {
        return no_memory(err);
    }
    size_t at = 0;
    for (size_t i = 0; i < lay->columns; ++i) {
        for (size_t j = 0; j <= i; ++j) {
            all[at++] = spacing_of(t->field, lay, i, j);
        }
    }
    qsort(all, pairs, sizeof *all, by_block_and_distance);
    for (size_t i = 0; i < pairs; ++i) {
        pair[i] = (gw_transfer_pair){all[i].a, all[i].b};
        const gw_transfer_block *const block = &blocks[all[i].block];
        gw_transfer_key *const last = t->keys > 0 ? &key[t->keys - 1] : NULL;
        if (last != NULL && last->block == block && all[i].distance_m < last->distance_m + SAME_M) {
            ++last->count;
        } else {
            key[t->keys++] = (gw_transfer_key){block, all[i].distance_m, i, 1};
        }
    }
    t->key = key;
    t->pair = pair;
    return GW_OK;
}

gw_status gw_columns_create(gw_arena *arena, gw_transfer *t, gw_err *err)
{
    gw_columns_layout lay = {0};
    gw_status st = gw_columns_lay_out(arena, t->field, &lay, err);
    if (st != GW_OK) {
        return st;
    }
    const size_t blocks = lay.types * (lay.types + 1) / 2;
    gw_transfer_block *const block = gw_arena_alloc(arena, blocks, sizeof *block);
    if (block == NULL) {
        return no_memory(err);
    }
    size_t values = 0, cells = 0;
    for (size_t high = 0; high < lay.types; ++high) {
        for (size_t low = 0; low <= high; ++low) {
            gw_transfer_block *const one = &block[high * (high + 1) / 2 + low];
            st = make_block(arena, t, &lay.column[lay.type[low]], &lay.column[lay.type[high]], one,
                            err);
            if (st != GW_OK) {
                return st;
            }
            values = one->values > values ? one->values : values;
            cells = one->rows * one->columns > cells ? one->rows * one->columns : cells;
        }
    }
    t->column = lay.column;
    st = make_keys(arena, t, &lay, block, err);
    t->kernels = t->keys;
    t->work = 2 * t->nodes + values + cells;
    return st;
}

// ---- one p ----

// Σ w e^(−r²s²) e^(−p/4αs²) ierfc(x s)/s² for each value x, then the pairs of the block.
static void evaluate(const gw_transfer *t, const gw_transfer_key *key, const double *factor,
                     double *work, double *cell)
{
    const gw_transfer_block *const block = key->block;
    double *const g = work, *const sum = work + t->nodes;
    const double r2 = key->distance_m * key->distance_m;
    size_t first = 0, last = 0;
    while (first < t->nodes && factor[first] == 0.0) {
        ++first;
    }
    double line = 0.0;
    for (last = first; last < t->nodes; ++last) {
        const double power = r2 * t->s[last] * t->s[last];
        if (power > GW_KERNEL_EXP_END) {
            break;
        }
        g[last] = factor[last] * exp(-power);
        line += g[last] * t->w[last] / t->s[last];
    }
    for (size_t v = 0; v < block->values; ++v) {
        const double *const row = block->table + v * t->nodes;
        const size_t end = block->reach[v] < last ? block->reach[v] : last;
        double even = 0.0, odd = 0.0;
        size_t q = first;
        for (; q + 1 < end; q += 2) {
            even += row[q] * g[q];
            odd += row[q + 1] * g[q + 1];
        }
        sum[v] = even + odd + (q < end ? row[q] * g[q] : 0.0);
    }
    for (size_t c = 0; c < block->rows * block->columns; ++c) {
        const uint32_t *const i = block->index + 8 * c;
        cell[c] = line * block->overlap2_m[c] +
                  ((sum[i[0]] - sum[i[2]]) + (sum[i[1]] - sum[i[3]])) -
                  ((sum[i[4]] - sum[i[6]]) + (sum[i[5]] - sum[i[7]]));
    }
}

static void spread(const gw_transfer *t, gw_transfer_pair pair, const gw_transfer_block *block,
                   const double *cell, double *matrix)
{
    const gw_transfer_column *const a = &t->column[pair.a], *const b = &t->column[pair.b];
    for (size_t i = 0; i < block->rows; ++i) {
        const size_t row = t->group[a->member[i]];
        for (size_t j = 0; j < block->columns; ++j) {
            const size_t column = t->group[b->member[j]];
            matrix[row * t->groups + column] += cell[i * block->columns + j];
            if (pair.a != pair.b) {
                matrix[column * t->groups + row] += cell[i * block->columns + j];
            }
        }
    }
}

void gw_columns_add(const gw_transfer *t, const double *factor, double *work, double *matrix)
{
    for (size_t k = 0; k < t->keys; ++k) {
        const gw_transfer_key *const key = &t->key[k];
        double *const cell = work + (t->work - t->nodes) - key->block->rows * key->block->columns;
        evaluate(t, key, factor, work, cell);
        for (size_t n = 0; n < key->count; ++n) {
            spread(t, t->pair[key->first + n], key->block, cell, matrix);
        }
    }
}
