// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/kernels.h"

#include <math.h>
#include <string.h>

enum { SIGNATURE = 11 };
static const double GRID_M = 1e-7;  // lengths and depths closer than this are equal
static const double GRID_M2 = 1e-6; // squares of distances

// What a kernel depends on, rounded: the four distances along the surface between the ends of the
// two segments, the four depths, both lengths and the larger radius. Turning and mirroring the
// plan leaves these alone; which end comes first, and which segment, does not matter either, so
// of the eight orders the one with the smallest numbers stands for all.
typedef struct {
    int64_t part[SIGNATURE];
} signature;

// Part numbers: distances 0-0, 0-1, 1-0, 1-1; depths a0, a1, b0, b1; lengths a, b; radius.
static const unsigned char ORDERS[8][SIGNATURE] = {
    {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, {2, 3, 0, 1, 5, 4, 6, 7, 8, 9, 10},
    {1, 0, 3, 2, 4, 5, 7, 6, 8, 9, 10}, {3, 2, 1, 0, 5, 4, 7, 6, 8, 9, 10},
    {0, 2, 1, 3, 6, 7, 4, 5, 9, 8, 10}, {2, 0, 3, 1, 6, 7, 5, 4, 9, 8, 10},
    {1, 3, 0, 2, 7, 6, 4, 5, 9, 8, 10}, {3, 1, 2, 0, 7, 6, 5, 4, 9, 8, 10}};

typedef struct {
    gw_position end[2];
    int64_t depth[2], length;
} outline;

static int64_t rounded(double value, double grid)
{
    const double scaled = value / grid;
    return (int64_t)(scaled < 0.0 ? scaled - 0.5 : scaled + 0.5);
}

static outline outline_of(const gw_segment *segment)
{
    outline o = {
        .end = {gw_segment_point(segment, 0.0), gw_segment_point(segment, segment->length_m)},
        .length = rounded(segment->length_m, GRID_M)};
    o.depth[0] = rounded(o.end[0].z_m, GRID_M);
    o.depth[1] = rounded(o.end[1].z_m, GRID_M);
    return o;
}

static int64_t distance2(const gw_position *p, const gw_position *q)
{
    const double x = p->x_m - q->x_m, y = p->y_m - q->y_m;
    return rounded(x * x + y * y, GRID_M2);
}

static signature signature_of(const outline *a, const outline *b, double radius_m)
{
    const int64_t value[SIGNATURE] = {distance2(&a->end[0], &b->end[0]),
                                      distance2(&a->end[0], &b->end[1]),
                                      distance2(&a->end[1], &b->end[0]),
                                      distance2(&a->end[1], &b->end[1]),
                                      a->depth[0],
                                      a->depth[1],
                                      b->depth[0],
                                      b->depth[1],
                                      a->length,
                                      b->length,
                                      rounded(radius_m, GRID_M)};
    size_t best = 0;
    for (size_t order = 1; order < 8; ++order) {
        size_t i = 0;
        while (i < SIGNATURE && value[ORDERS[order][i]] == value[ORDERS[best][i]]) {
            ++i;
        }
        if (i < SIGNATURE && value[ORDERS[order][i]] < value[ORDERS[best][i]]) {
            best = order;
        }
    }
    signature key;
    for (size_t i = 0; i < SIGNATURE; ++i) {
        key.part[i] = value[ORDERS[best][i]];
    }
    return key;
}

static size_t hash_of(const signature *key)
{
    uint64_t hash = 1469598103934665603u;
    for (size_t i = 0; i < SIGNATURE; ++i) {
        hash = (hash ^ (uint64_t)key->part[i]) * 0x9E3779B97F4A7C15u;
        hash ^= hash >> 29;
    }
    return (size_t)hash;
}

typedef struct {
    gw_arena *arena;
    signature *seen;       // [capacity] in order of first meeting
    gw_transfer_pair *who; // [capacity] the pair that was met first
    uint32_t *slot;        // [4 × capacity] 1 + kernel number, 0 empty
    size_t kernels, capacity;
} registry;

static size_t find_slot(const registry *r, const signature *key)
{
    const size_t mask = 4 * r->capacity - 1;
    size_t at = hash_of(key) & mask;
    while (r->slot[at] != 0 && memcmp(&r->seen[r->slot[at] - 1], key, sizeof *key) != 0) {
        at = (at + 1) & mask;
    }
    return at;
}

// Doubles the room; the old arrays stay in the arena, together no more than the new ones.
static gw_status registry_grow(registry *r, gw_err *err)
{
    const registry old = *r;
    r->capacity = old.capacity > 0 ? 2 * old.capacity : 256;
    r->seen = gw_arena_alloc(r->arena, r->capacity, sizeof *r->seen);
    r->who = gw_arena_alloc(r->arena, r->capacity, sizeof *r->who);
    r->slot = gw_arena_alloc(r->arena, 4 * r->capacity, sizeof *r->slot);
    if (r->seen == NULL || r->who == NULL || r->slot == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for %zu pairs", r->capacity);
    }
    for (size_t k = 0; k < old.kernels; ++k) {
        r->seen[k] = old.seen[k];
        r->who[k] = old.who[k];
        r->slot[find_slot(r, &r->seen[k])] = (uint32_t)k + 1;
    }
    return GW_OK;
}

static gw_status registry_find(registry *r, const signature *key, gw_transfer_pair pair,
                               uint32_t *found, gw_err *err)
{
    if (r->kernels == r->capacity) {
        const gw_status st = registry_grow(r, err);
        if (st != GW_OK) {
            return st;
        }
    }
    const size_t at = find_slot(r, key);
    if (r->slot[at] == 0) {
        r->seen[r->kernels] = *key;
        r->who[r->kernels] = pair;
        r->slot[at] = (uint32_t)++r->kernels;
    }
    *found = r->slot[at] - 1;
    return GW_OK;
}

static gw_status register_pairs(gw_arena *arena, const gw_field *field, registry *met,
                                uint32_t *kernel_of, gw_err *err)
{
    const gw_segment *const segments = field->segments;
    outline *const outlines = gw_arena_alloc(arena, field->count, sizeof *outlines);
    if (outlines == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for %zu segments", field->count);
    }
    for (size_t i = 0; i < field->count; ++i) {
        outlines[i] = outline_of(&segments[i]);
    }
    size_t at = 0;
    gw_status st = GW_OK;
    for (size_t i = 0; i < field->count; ++i) {
        for (size_t j = 0; j <= i && st == GW_OK; ++j) {
            const double radius_m = fmax(segments[i].radius_m, segments[j].radius_m);
            const signature key = signature_of(&outlines[i], &outlines[j], radius_m);
            const gw_transfer_pair pair = {(uint32_t)i, (uint32_t)j};
            st = registry_find(met, &key, pair, &kernel_of[at++], err);
        }
    }
    return st;
}

gw_status gw_kernels_create(gw_arena *arena, gw_transfer *t, gw_err *err)
{
    const gw_segment *const segments = t->field->segments;
    const size_t pairs = t->field->count * (t->field->count + 1) / 2;
    uint32_t *const kernel_of = gw_arena_alloc(arena, pairs, sizeof *kernel_of);
    if (kernel_of == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for %zu pairs", pairs);
    }
    registry met = {.arena = arena};
    const gw_status st = register_pairs(arena, t->field, &met, kernel_of, err);
    if (st != GW_OK) {
        return st;
    }
    double *const kernel = gw_arena_alloc(arena, met.kernels * t->nodes, sizeof *kernel);
    if (kernel == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for %zu different pairs", met.kernels);
    }
    const gw_kernel_at with = {&t->table, t->s, t->nodes, false};
    const long count = (long)met.kernels;
#pragma omp parallel for schedule(dynamic, 16) if (count > 1500)
    for (long k = 0; k < count; ++k) {
        double *const f = kernel + (size_t)k * t->nodes;
        const gw_transfer_pair pair = met.who[k];
        gw_kernel_pair(&with, &segments[pair.a], &segments[pair.b], f);
        for (size_t q = 0; q < t->nodes; ++q) {
            f[q] *= t->w[q];
        }
    }
    t->kernel = kernel;
    t->kernel_of = kernel_of;
    t->kernels = met.kernels;
    t->work = t->nodes + met.kernels;
    return GW_OK;
}

void gw_kernels_add(const gw_transfer *t, const double *factor, double *work, double *matrix)
{
    for (size_t k = 0; k < t->kernels; ++k) {
        const double *const f = t->kernel + k * t->nodes;
        double sum = 0.0;
        for (size_t q = 0; q < t->nodes; ++q) {
            sum += f[q] * factor[q];
        }
        work[k] = sum;
    }
    size_t at = 0;
    for (size_t i = 0; i < t->field->count; ++i) {
        for (size_t j = 0; j <= i; ++j) {
            const double value = work[t->kernel_of[at++]];
            const size_t a = t->group[i], b = t->group[j];
            matrix[a * t->groups + b] += value;
            if (i != j) {
                matrix[b * t->groups + a] += value;
            }
        }
    }
}
