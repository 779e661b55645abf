// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/field.h"

#include "ground/modes.h"
#include "ground/solve.h"
#include "ground/spectrum.h"
#include "ground/transfer.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static gw_status no_memory(gw_err *err)
{
    return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for the field");
}

// ---- checks ----

static gw_status check_segment(const gw_field *field, size_t i, gw_err *err)
{
    const gw_status st = gw_segment_check(&field->segments[i], i, err);
    if (st != GW_OK) {
        return st;
    }
    char name[48];
    if (field->resistance_mk_w != NULL &&
        !(field->resistance_mk_w[i] >= 0.0 && field->resistance_mk_w[i] <= 100.0)) {
        (void)snprintf(name, sizeof name, "resistance[%zu]", i);
        return gw_fail(err, GW_ERR_RANGE, name, "resistance %g m·K/W must be 0 to 100",
                       field->resistance_mk_w[i]);
    }
    if (field->circuit != NULL && field->circuit[i] >= field->count) {
        (void)snprintf(name, sizeof name, "circuit[%zu]", i);
        return gw_fail(err, GW_ERR_RANGE, name, "circuit %zu must be below the %zu segments",
                       field->circuit[i], field->count);
    }
    return GW_OK;
}

// Every circuit up to the largest number must have a segment, else the system is singular.
static gw_status check_circuits(const gw_field *field, gw_err *err)
{
    size_t circuits = 0;
    for (size_t i = 0; i < field->count; ++i) {
        circuits = field->circuit[i] + 1 > circuits ? field->circuit[i] + 1 : circuits;
    }
    for (size_t c = 0; c < circuits; ++c) {
        size_t i = 0;
        while (i < field->count && field->circuit[i] != c) {
            ++i;
        }
        if (i == field->count) {
            return gw_fail(err, GW_ERR_MISSING, "circuit", "circuit %zu has no segment", c);
        }
    }
    return GW_OK;
}

gw_status gw_field_check(const gw_field *field, gw_err *err)
{
    if (field->count < 1 || field->count > 20000) {
        return gw_fail(err, GW_ERR_RANGE, "segments", "%zu segments must be 1 to 20000",
                       field->count);
    }
    const double any[1] = {1.0};
    gw_status st = gw_response_check(&(gw_response_case){field->medium, any, 1, false}, err);
    for (size_t i = 0; i < field->count && st == GW_OK; ++i) {
        st = check_segment(field, i, err);
    }
    if (st == GW_OK && field->circuit != NULL) {
        st = check_circuits(field, err);
    }
    if (st == GW_OK && !(field->total_length_m >= 0.0 && isfinite(field->total_length_m))) {
        st = gw_fail(err, GW_ERR_RANGE, "total_length", "total length %g m must be zero or more",
                     field->total_length_m);
    }
    return st;
}

static gw_status check_times(const gw_field *field, const gw_field_times *times, gw_err *err)
{
    const gw_status st = gw_field_check(field, err);
    if (st != GW_OK) {
        return st;
    }
    return gw_response_check(
        &(gw_response_case){field->medium, times->times_s, times->count, false}, err);
}

// ---- the field at all p ----

enum { LARGE_SYSTEM = 250 }; // unknowns from which on every p is dear

static gw_status solve_all(gw_arena *arena, const gw_field *field, gw_modes *modes, gw_err *err)
{
    const gw_transfer *const t = modes->transfer;
    const size_t n = modes->spectrum.count;
    modes->drop = gw_arena_alloc(arena, n, sizeof *modes->drop);
    modes->load = gw_arena_alloc(arena, n * t->groups, sizeof *modes->load);
    if (modes->drop == NULL || modes->load == NULL) {
        return no_memory(err);
    }
    const gw_solve solve = {t, modes->spectrum.p, n, modes->load};
    const gw_status st = gw_solve_loads(arena, &solve, err);
    const double total = gw_modes_length_m(field);
    for (size_t m = 0; m < n && st == GW_OK; ++m) {
        // Solved for a drop of 1 K: load per metre u; the field's mean is then Σ L u / total.
        double *const load = modes->load + m * t->groups;
        double sum = 0.0;
        for (size_t g = 0; g < t->groups; ++g) {
            sum += t->length_m[g] * load[g];
        }
        modes->drop[m] = total / sum;
        for (size_t g = 0; g < t->groups; ++g) {
            load[g] *= modes->drop[m];
        }
    }
    return st;
}

// Drop of the first instant: all the load behind parallel resistances; zero if one has none.
static double instant_drop(const gw_field *field, const gw_transfer *t)
{
    double conductance = 0.0;
    for (size_t g = 0; g < t->groups; ++g) {
        if (!(t->resistance_k[g] > 0.0)) {
            return 0.0;
        }
        conductance += t->length_m[g] * t->length_m[g] / t->resistance_k[g];
    }
    return gw_modes_length_m(field) / conductance;
}

static gw_status find_modes(gw_arena *arena, const gw_field *field, const gw_field_times *times,
                            gw_modes *modes, gw_err *err)
{
    gw_status st = gw_transfer_create(arena, field, &modes->transfer, err);
    if (st == GW_OK) {
        const bool large = modes->transfer->groups > LARGE_SYSTEM;
        const gw_modes_kind kind = large ? GW_MODES_LARGE : GW_MODES_USUAL;
        st = gw_modes_spectrum(arena, field, times, kind, &modes->spectrum, err);
    }
    if (st == GW_OK) {
        st = solve_all(arena, field, modes, err);
    }
    if (st == GW_OK) {
        modes->instant = instant_drop(field, modes->transfer);
    }
    return st;
}

// ---- step response of the field ----

gw_status gw_field_step_response(gw_arena *arena, const gw_field *field,
                                 const gw_field_times *times, gw_field_step *out, gw_err *err)
{
    gw_status st = check_times(field, times, err);
    gw_modes modes = {0};
    if (st == GW_OK) {
        st = find_modes(arena, field, times, &modes, err);
    }
    if (st != GW_OK) {
        return st;
    }
    *out = (gw_field_step){.unknowns = modes.transfer->groups, .kernels = modes.transfer->kernels};
    return gw_modes_to_times(arena, &modes, times, out, err);
}

// ---- points ----

// ∫ f e^(−p/(4αs²)) ds/(4πk) of one segment at a point, at all p, added to the loads' differences
// from 1 W/m and to the scale.
typedef struct {
    double *difference, *scale, *weight; // [spectrum]
    double *kernel;                      // [nodes]
    double *factor;                      // [spectrum][nodes]
    gw_spectrum_room *room;              // of the fits, one after the other
} point_work;

static gw_status prepare_points(gw_arena *arena, const gw_modes *modes, point_work *work,
                                gw_err *err)
{
    const gw_transfer *const t = modes->transfer;
    const size_t n = modes->spectrum.count;
    double *const all = gw_arena_alloc(arena, 3 * n + (1 + n) * t->nodes, sizeof *all);
    gw_spectrum_room *const room = gw_arena_alloc(arena, 1, sizeof *room);
    if (all == NULL || room == NULL) {
        return no_memory(err);
    }
    *work = (point_work){all, all + n, all + 2 * n, all + 3 * n, all + 3 * n + t->nodes, room};
    for (size_t m = 0; m < n; ++m) {
        gw_transfer_factors(t, modes->spectrum.p[m], work->factor + m * t->nodes);
    }
    return GW_OK;
}

// Uniform load is known exactly in time (h, on entry); what the unequal loads add is fitted.
static gw_status point_response(gw_arena *arena, const gw_modes *modes, const point_work *work,
                                const gw_position *point, const gw_field_times *times, double *h,
                                gw_err *err)
{
    const gw_transfer *const t = modes->transfer;
    const size_t n = modes->spectrum.count;
    const gw_kernel_at at = {&t->table, t->s, t->nodes, false};
    memset(work->difference, 0, 2 * n * sizeof(double));
    for (size_t i = 0; i < t->field->count; ++i) {
        gw_kernel_point(&at, point, &t->field->segments[i], work->kernel);
        for (size_t q = 0; q < t->nodes; ++q) {
            work->kernel[q] *= t->w[q];
        }
        for (size_t m = 0; m < n; ++m) {
            const double *const factor = work->factor + m * t->nodes;
            double sum = 0.0;
            for (size_t q = 0; q < t->nodes; ++q) {
                sum += work->kernel[q] * factor[q];
            }
            work->difference[m] += sum * (modes->load[m * t->groups + t->group[i]] - 1.0);
            work->scale[m] += sum;
        }
    }
    const double least = 1e-3 * work->scale[0] + 1e-12;
    for (size_t m = 0; m < n; ++m) {
        work->scale[m] += least;
    }
    const gw_spectrum_data data = {work->difference, work->scale, work->room};
    const gw_status st = gw_spectrum_fit(arena, &modes->spectrum, &data, work->weight, NULL, err);
    const double ratio = gw_modes_ratio(t->field);
    for (size_t k = 0; k < times->count && st == GW_OK; ++k) {
        h[k] = ratio * (h[k] + gw_spectrum_step(&modes->spectrum, work->weight, times->times_s[k]));
    }
    return st;
}

gw_status gw_field_point_response(gw_arena *arena, const gw_field *field,
                                  const gw_field_times *times, const gw_field_points *points,
                                  double **h_mk_w, gw_err *err)
{
    gw_status st = check_times(field, times, err);
    gw_modes modes = {0};
    point_work work = {0};
    if (st == GW_OK) {
        st = find_modes(arena, field, times, &modes, err);
    }
    if (st == GW_OK) {
        st = prepare_points(arena, &modes, &work, err);
    }
    if (st != GW_OK) {
        return st;
    }
    double *const h = gw_arena_alloc(arena, points->count * times->count, sizeof *h);
    if (h == NULL) {
        return no_memory(err);
    }
    const gw_response_case with = {field->medium, times->times_s, times->count, false};
    const gw_response_map map = {field->segments, NULL, field->count, points->points,
                                 points->count};
    st = gw_response_map_points(&with, &map, h, err);
    const bool unequal = field->boundary != GW_FIELD_EQUAL_FLUX || gw_modes_ratio(field) != 1.0;
    for (size_t i = 0; i < points->count && st == GW_OK && unequal; ++i) {
        st = point_response(arena, &modes, &work, &points->points[i], times, h + i * times->count,
                            err);
    }
    *h_mk_w = h;
    return st;
}

// ---- unlike undisturbed temperatures ----

// With temperatures U behind one fluid temperature T: A q = L (U − T), Lᵀ q = 0, so
// T = Lᵀ A⁻¹ (L U) / Lᵀ A⁻¹ L, and a load of 1 W/m drops T by total / Lᵀ A⁻¹ L.
gw_status gw_field_mix_periodic(gw_arena *arena, const gw_field *field,
                                double angular_frequency_rad_s, gw_field_periodic *out, gw_err *err)
{
    gw_status st = gw_field_check(field, err);
    if (st != GW_OK) {
        return st;
    }
    if (!(angular_frequency_rad_s >= 0.0 && angular_frequency_rad_s <= 1.0)) {
        return gw_fail(err, GW_ERR_RANGE, "angular_frequency",
                       "angular frequency %g rad/s must be 0 to 1", angular_frequency_rad_s);
    }
    gw_transfer *t = NULL;
    st = gw_transfer_create(arena, field, &t, err);
    if (st != GW_OK) {
        return st;
    }
    gw_complex *const load = gw_arena_alloc(arena, t->groups, sizeof *load);
    gw_complex *const weight = gw_arena_alloc(arena, field->count, sizeof *weight);
    if (load == NULL || weight == NULL) {
        return no_memory(err);
    }
    st = gw_solve_periodic(arena, t, angular_frequency_rad_s, load, err);
    if (st != GW_OK) {
        return st;
    }
    gw_complex sum = {0.0, 0.0};
    for (size_t g = 0; g < t->groups; ++g) {
        sum.re += t->length_m[g] * load[g].re;
        sum.im += t->length_m[g] * load[g].im;
    }
    const double size2 = sum.re * sum.re + sum.im * sum.im;
    for (size_t i = 0; i < field->count; ++i) {
        const gw_complex q = load[t->group[i]];
        const double share = field->segments[i].length_m / size2;
        weight[i] = (gw_complex){share * (q.re * sum.re + q.im * sum.im),
                                 share * (q.im * sum.re - q.re * sum.im)};
    }
    const double total = gw_modes_ratio(field) * gw_modes_length_m(field) / size2;
    *out = (gw_field_periodic){weight, {total * sum.re, -total * sum.im}};
    return GW_OK;
}
