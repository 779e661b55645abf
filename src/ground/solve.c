// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/solve.h"

#include "ground/dense.h"
#include "ground/spectrum.h"

#include <math.h>
#include <omp.h>
#include <string.h>

static gw_status no_memory(gw_err *err)
{
    return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for the field's system");
}

static gw_status singular(gw_err *err)
{
    return gw_fail(err, GW_ERR_GEOMETRY, "segments",
                   "the field cannot be solved: some segments lie on each other");
}

// Cholesky first; a field of crossing coils need not be positive definite, so pivoting after.
// The matrix is built again for the second try. Returns false when both fail.
static bool solve_one(const gw_solve *solve, size_t m, double *work, double *matrix)
{
    const gw_transfer *const t = solve->transfer;
    double *const load = solve->load + m * t->groups;
    const gw_dense system = {matrix, load, t->groups};
    gw_transfer_matrix(t, solve->p[m], work, matrix);
    memcpy(load, t->length_m, t->groups * sizeof *load);
    if (gw_dense_cholesky(&system)) {
        return true;
    }
    gw_transfer_matrix(t, solve->p[m], work, matrix);
    return gw_dense_eliminate(&system);
}

gw_status gw_solve_loads(gw_arena *arena, const gw_solve *solve, gw_err *err)
{
    const size_t n = solve->transfer->groups;
    const size_t room = solve->transfer->work;
    // A small system is solved sooner than a second thread can be waited for.
    const int threads = n < 128 ? 1 : omp_get_max_threads();
    double *const matrix = gw_arena_alloc(arena, (size_t)threads * n * n, sizeof *matrix);
    double *const work = gw_arena_alloc(arena, (size_t)threads * room, sizeof *work);
    if (matrix == NULL || work == NULL) {
        return no_memory(err);
    }
    const long count = (long)solve->count;
    int failures = 0;
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads) reduction(+ : failures)
    for (long m = 0; m < count; ++m) {
        const size_t me = (size_t)omp_get_thread_num();
        failures += !solve_one(solve, (size_t)m, work + me * room, matrix + me * n * n);
    }
    return failures == 0 ? GW_OK : singular(err);
}

static gw_status solve_steady(gw_arena *arena, const gw_transfer *t, gw_complex *load, gw_err *err)
{
    double *const real = gw_arena_alloc(arena, t->groups, sizeof *real);
    if (real == NULL) {
        return no_memory(err);
    }
    const double p[1] = {0.0};
    const gw_status st = gw_solve_loads(arena, &(gw_solve){t, p, 1, real}, err);
    for (size_t g = 0; g < t->groups; ++g) {
        load[g] = (gw_complex){real[g], 0.0};
    }
    return st;
}

// The transfer functions at iω out of those at real p around ω, entry by entry, as the real system
// of twice the size [[Re, −Im], [Im, Re]].
static gw_status periodic_matrix(gw_arena *arena, const gw_transfer *t, double omega,
                                 double *matrix, gw_err *err)
{
    double ratio[GW_SPECTRUM_TURN], real[GW_SPECTRUM_TURN], imaginary[GW_SPECTRUM_TURN];
    const gw_status st = gw_spectrum_turn(arena, ratio, real, imaginary, err);
    const size_t n = t->groups;
    double *const one = gw_arena_alloc(arena, n * n, sizeof *one);
    double *const work = gw_arena_alloc(arena, t->work, sizeof *work);
    if (st != GW_OK || one == NULL || work == NULL) {
        return st != GW_OK ? st : no_memory(err);
    }
    for (size_t m = 0; m < GW_SPECTRUM_TURN; ++m) {
        gw_transfer_matrix(t, omega * ratio[m], work, one);
        for (size_t g = 0; g < n; ++g) {
            one[g * n + g] -= t->resistance_k[g]; // does not depend on p
        }
        for (size_t c = 0; c < n; ++c) {
            for (size_t r = 0; r < n; ++r) {
                matrix[c * 2 * n + r] += real[m] * one[c * n + r];
                matrix[c * 2 * n + n + r] += imaginary[m] * one[c * n + r];
            }
        }
    }
    for (size_t c = 0; c < n; ++c) {
        matrix[c * 2 * n + c] += t->resistance_k[c];
        for (size_t r = 0; r < n; ++r) {
            matrix[(n + c) * 2 * n + r] = -matrix[c * 2 * n + n + r];
            matrix[(n + c) * 2 * n + n + r] = matrix[c * 2 * n + r];
        }
    }
    return GW_OK;
}

gw_status gw_solve_periodic(gw_arena *arena, const gw_transfer *t, double angular_frequency_rad_s,
                            gw_complex *load, gw_err *err)
{
    if (!(angular_frequency_rad_s > 0.0)) {
        return solve_steady(arena, t, load, err);
    }
    const size_t n = t->groups;
    double *const matrix = gw_arena_alloc(arena, 4 * n * n, sizeof *matrix);
    double *const right = gw_arena_alloc(arena, 2 * n, sizeof *right);
    if (matrix == NULL || right == NULL) {
        return no_memory(err);
    }
    const gw_status st = periodic_matrix(arena, t, angular_frequency_rad_s, matrix, err);
    if (st != GW_OK) {
        return st;
    }
    for (size_t g = 0; g < n; ++g) {
        right[g] = t->length_m[g];
    }
    if (!gw_dense_eliminate(&(gw_dense){matrix, right, 2 * n})) {
        return singular(err);
    }
    for (size_t g = 0; g < n; ++g) {
        load[g] = (gw_complex){right[g], right[n + g]};
    }
    return GW_OK;
}
