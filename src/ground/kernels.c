// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/kernels.h"

#include <math.h>
#include <string.h>

enum { SIGNATURE = 12 };
static const double GRID = 1e-7; // metres and direction cosines closer than this are equal

// What a pair's kernel depends on, rounded: offset along the surface, both depths, directions,
// lengths and the larger radius. The kernel is symmetric, so the two orders share one signature.
typedef struct {
    int64_t part[SIGNATURE];
} signature;

static signature signature_of(const gw_segment *a, const gw_segment *b)
{
    const double r = fmax(a->radius_m, b->radius_m);
    const double value[SIGNATURE] = {b->x_m - a->x_m, b->y_m - a->y_m, a->z_m, b->z_m,
                                     a->dx,           a->dy,           a->dz,  b->dx,
                                     b->dy,           b->dz,           r,      a->length_m};
    signature key;
    for (size_t i = 0; i < SIGNATURE; ++i) {
        key.part[i] = llround(value[i] / GRID);
    }
    // Both lengths in one number: each below 2^35 grid steps would not fit, so mix them.
    key.part[SIGNATURE - 1] = key.part[SIGNATURE - 1] * 1000003 + llround(b->length_m / GRID);
    return key;
}

static signature canonical(const gw_segment *a, const gw_segment *b)
{
    const signature ab = signature_of(a, b), ba = signature_of(b, a);
    for (size_t i = 0; i < SIGNATURE; ++i) {
        if (ab.part[i] != ba.part[i]) {
            return ab.part[i] < ba.part[i] ? ab : ba;
        }
    }
    return ab;
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
    signature *seen;       // [kernels] in order of first meeting
    gw_transfer_pair *who; // [kernels] the pair that was met first
    uint32_t *slot;        // [slots] 1 + kernel number, 0 empty
    size_t slots, kernels, capacity;
} registry;

static gw_status registry_init(gw_arena *arena, size_t capacity, registry *r, gw_err *err)
{
    r->slots = 64;
    while (r->slots < 2 * capacity) {
        r->slots *= 2;
    }
    r->capacity = capacity;
    r->kernels = 0;
    r->seen = gw_arena_alloc(arena, capacity, sizeof *r->seen);
    r->who = gw_arena_alloc(arena, capacity, sizeof *r->who);
    r->slot = gw_arena_alloc(arena, r->slots, sizeof *r->slot);
    if (r->seen == NULL || r->who == NULL || r->slot == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for %zu pairs", capacity);
    }
    return GW_OK;
}

static uint32_t registry_find(registry *r, const signature *key, gw_transfer_pair pair)
{
    size_t at = hash_of(key) & (r->slots - 1);
    while (r->slot[at] != 0) {
        const uint32_t known = r->slot[at] - 1;
        if (memcmp(&r->seen[known], key, sizeof *key) == 0) {
            return known;
        }
        at = (at + 1) & (r->slots - 1);
    }
    const uint32_t fresh = (uint32_t)r->kernels++;
    r->slot[at] = fresh + 1;
    r->seen[fresh] = *key;
    r->who[fresh] = pair;
    return fresh;
}

gw_status gw_kernels_create(gw_arena *arena, gw_transfer *t, gw_err *err)
{
    const gw_segment *const segments = t->field->segments;
    const size_t n = t->field->count, pairs = n * (n + 1) / 2;
    uint32_t *const kernel_of = gw_arena_alloc(arena, pairs, sizeof *kernel_of);
    registry met;
    const gw_status st = registry_init(arena, pairs, &met, err);
    if (st != GW_OK || kernel_of == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for %zu pairs", pairs);
    }
    size_t at = 0;
    for (size_t i = 0; i < n; ++i) {
        for (size_t j = 0; j <= i; ++j) {
            const signature key = canonical(&segments[i], &segments[j]);
            kernel_of[at++] =
                registry_find(&met, &key, (gw_transfer_pair){(uint32_t)i, (uint32_t)j});
        }
    }
    double *const kernel = gw_arena_alloc(arena, met.kernels * t->nodes, sizeof *kernel);
    if (kernel == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for %zu different pairs", met.kernels);
    }
    const gw_kernel_at with = {&t->table, t->s, t->nodes, false};
    const long count = (long)met.kernels;
#pragma omp parallel for schedule(dynamic, 16)
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
