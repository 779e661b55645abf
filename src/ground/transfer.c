// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/transfer.h"

#include "ground/columns.h"
#include "ground/kernels.h"

#include <math.h>
#include <string.h>

static gw_status no_memory(gw_err *err)
{
    return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for the field's pairs");
}

// Groups: what shares one load per metre.
static gw_status make_groups(gw_arena *arena, gw_transfer *t, gw_err *err)
{
    const gw_field *const field = t->field;
    size_t *const group = gw_arena_alloc(arena, field->count, sizeof *group);
    if (group == NULL) {
        return no_memory(err);
    }
    t->groups = 1;
    for (size_t i = 0; i < field->count; ++i) {
        if (field->boundary == GW_FIELD_EQUAL_TEMPERATURE) {
            group[i] = i;
        } else if (field->boundary == GW_FIELD_CIRCUIT_FLUX) {
            group[i] = field->circuit != NULL ? field->circuit[i] : i;
        }
        t->groups = group[i] + 1 > t->groups ? group[i] + 1 : t->groups;
    }
    double *const length = gw_arena_alloc(arena, t->groups, sizeof *length);
    double *const resistance = gw_arena_alloc(arena, t->groups, sizeof *resistance);
    if (length == NULL || resistance == NULL) {
        return no_memory(err);
    }
    for (size_t i = 0; i < field->count; ++i) {
        const double r = field->resistance_mk_w != NULL ? field->resistance_mk_w[i] : 0.0;
        length[group[i]] += field->segments[i].length_m;
        resistance[group[i]] += field->segments[i].length_m * r;
    }
    t->group = group;
    t->length_m = length;
    t->resistance_k = resistance;
    return GW_OK;
}

gw_status gw_transfer_nodes(gw_arena *arena, gw_transfer *t, gw_err *err)
{
    double radius = HUGE_VAL, depth = 0.0;
    for (size_t i = 0; i < t->field->count; ++i) {
        const gw_segment *const one = &t->field->segments[i];
        radius = fmin(radius, one->radius_m);
        depth = fmax(depth, fmax(one->z_m, one->z_m + one->length_m * one->dz));
    }
    const double low = GW_TRANSFER_SURFACE / depth, high = sqrt(GW_KERNEL_EXP_END) / radius;
    t->nodes = (size_t)ceil(log(high / low) / GW_TRANSFER_STEP) + 1;
    double *const s = gw_arena_alloc(arena, t->nodes, sizeof *s);
    double *const w = gw_arena_alloc(arena, t->nodes, sizeof *w);
    if (s == NULL || w == NULL) {
        return no_memory(err);
    }
    for (size_t q = 0; q < t->nodes; ++q) {
        s[q] = low * exp(GW_TRANSFER_STEP * (double)q);
        w[q] = GW_TRANSFER_STEP * s[q] / (4.0 * M_PI * t->field->medium.conductivity_w_mk);
    }
    t->s = s;
    t->w = w;
    return GW_OK;
}

gw_status gw_transfer_create(gw_arena *arena, const gw_field *field, gw_transfer **out, gw_err *err)
{
    gw_transfer *const t = gw_arena_alloc(arena, 1, sizeof *t);
    if (t == NULL) {
        return no_memory(err);
    }
    t->field = field;
    gw_kernel_table_init(&t->table);
    gw_status st = make_groups(arena, t, err);
    if (st == GW_OK) {
        st = gw_transfer_nodes(arena, t, err);
    }
    if (st == GW_OK) {
        st = gw_columns_fit(field) ? gw_columns_create(arena, t, err)
                                   : gw_kernels_create(arena, t, err);
    }
    *out = t;
    return st;
}

void gw_transfer_factors(const gw_transfer *transfer, double p, double *factor)
{
    const double scale = p / (4.0 * transfer->field->medium.diffusivity_m2_s);
    for (size_t q = 0; q < transfer->nodes; ++q) {
        const double power = scale / (transfer->s[q] * transfer->s[q]);
        factor[q] = power > GW_KERNEL_EXP_END ? 0.0 : exp(-power);
    }
}

void gw_transfer_matrix(const gw_transfer *transfer, double p, double *work, double *matrix)
{
    memset(matrix, 0, transfer->groups * transfer->groups * sizeof *matrix);
    gw_transfer_factors(transfer, p, work);
    double *const rest = work + transfer->nodes;
    if (transfer->column != NULL) {
        gw_columns_add(transfer, work, rest, matrix);
    } else {
        gw_kernels_add(transfer, work, rest, matrix);
    }
    for (size_t g = 0; g < transfer->groups; ++g) {
        matrix[g * transfer->groups + g] += transfer->resistance_k[g];
    }
}
