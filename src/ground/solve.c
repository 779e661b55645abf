// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/solve.h"

#include "ground/spectrum.h"

#include <cblas.h>
#include <lapacke.h>
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
static bool solve_one(const gw_solve *solve, size_t m, double *work, double *matrix,
                      lapack_int *pivot)
{
    const gw_transfer *const t = solve->transfer;
    const lapack_int n = (lapack_int)t->groups;
    double *const load = solve->load + m * t->groups;
    gw_transfer_matrix(t, solve->p[m], work, matrix);
    memcpy(load, t->length_m, t->groups * sizeof *load);
    if (LAPACKE_dpotrf_work(LAPACK_COL_MAJOR, 'L', n, matrix, n) == 0) {
        return LAPACKE_dpotrs_work(LAPACK_COL_MAJOR, 'L', n, 1, matrix, n, load, n) == 0;
    }
    gw_transfer_matrix(t, solve->p[m], work, matrix);
    if (LAPACKE_dsytrf_work(LAPACK_COL_MAJOR, 'L', n, matrix, n, pivot, work, n) != 0) {
        return false;
    }
    return LAPACKE_dsytrs_work(LAPACK_COL_MAJOR, 'L', n, 1, matrix, n, pivot, load, n) == 0;
}

gw_status gw_solve_loads(gw_arena *arena, const gw_solve *solve, gw_err *err)
{
    const size_t n = solve->transfer->groups;
    const size_t room = solve->transfer->work > n ? solve->transfer->work : n;
    // A small system is solved sooner than a second thread can be waited for.
    const int threads = n < 128 ? 1 : omp_get_max_threads();
    double *const matrix = gw_arena_alloc(arena, (size_t)threads * n * n, sizeof *matrix);
    double *const work = gw_arena_alloc(arena, (size_t)threads * room, sizeof *work);
    lapack_int *const pivot = gw_arena_alloc(arena, (size_t)threads * n, sizeof *pivot);
    if (matrix == NULL || work == NULL || pivot == NULL) {
        return no_memory(err);
    }
    // One thread per factorisation: no fight over cores, and the same bits on any machine size.
    const int blas_threads = openblas_get_num_threads();
    openblas_set_num_threads(1);
    const long count = (long)solve->count;
    int failures = 0;
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads) reduction(+ : failures)
    for (long m = 0; m < count; ++m) {
        const size_t me = (size_t)omp_get_thread_num();
        failures +=
            !solve_one(solve, (size_t)m, work + me * room, matrix + me * n * n, pivot + me * n);
    }
    openblas_set_num_threads(blas_threads);
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

// The transfer functions at iω out of those at real p around ω, entry by entry; matrix holds pairs
// of real and imaginary part.
static gw_status periodic_matrix(gw_arena *arena, const gw_transfer *t, double omega,
                                 double *matrix, gw_err *err)
{
    double ratio[GW_SPECTRUM_TURN], real[GW_SPECTRUM_TURN], imaginary[GW_SPECTRUM_TURN];
    const gw_status st = gw_spectrum_turn(arena, ratio, real, imaginary, err);
    const size_t cells = t->groups * t->groups;
    double *const one = gw_arena_alloc(arena, cells, sizeof *one);
    double *const work = gw_arena_alloc(arena, t->work, sizeof *work);
    if (st != GW_OK || one == NULL || work == NULL) {
        return st != GW_OK ? st : no_memory(err);
    }
    for (size_t m = 0; m < GW_SPECTRUM_TURN; ++m) {
        gw_transfer_matrix(t, omega * ratio[m], work, one);
        for (size_t g = 0; g < t->groups; ++g) {
            one[g * t->groups + g] -= t->resistance_k[g]; // does not depend on p
        }
        for (size_t c = 0; c < cells; ++c) {
            matrix[2 * c] += real[m] * one[c];
            matrix[2 * c + 1] += imaginary[m] * one[c];
        }
    }
    for (size_t g = 0; g < t->groups; ++g) {
        matrix[2 * (g * t->groups + g)] += t->resistance_k[g];
    }
    return GW_OK;
}

gw_status gw_solve_periodic(gw_arena *arena, const gw_transfer *t, double angular_frequency_rad_s,
                            gw_complex *load, gw_err *err)
{
    if (!(angular_frequency_rad_s > 0.0)) {
        return solve_steady(arena, t, load, err);
    }
    const lapack_int n = (lapack_int)t->groups;
    double *const matrix = gw_arena_alloc(arena, 2 * t->groups * t->groups, sizeof *matrix);
    double *const right = gw_arena_alloc(arena, 4 * t->groups, sizeof *right);
    lapack_int *const pivot = gw_arena_alloc(arena, t->groups, sizeof *pivot);
    if (matrix == NULL || right == NULL || pivot == NULL) {
        return no_memory(err);
    }
    const gw_status st = periodic_matrix(arena, t, angular_frequency_rad_s, matrix, err);
    if (st != GW_OK) {
        return st;
    }
    for (size_t g = 0; g < t->groups; ++g) {
        right[2 * g] = t->length_m[g];
    }
    // A complex number is two doubles in C; the last part of `right` is work space.
    lapack_complex_double *const a = (lapack_complex_double *)(void *)matrix;
    lapack_complex_double *const b = (lapack_complex_double *)(void *)right;
    if (LAPACKE_zsysv_work(LAPACK_COL_MAJOR, 'L', n, 1, a, n, pivot, b, n, b + t->groups, n) != 0) {
        return singular(err);
    }
    for (size_t g = 0; g < t->groups; ++g) {
        load[g] = (gw_complex){right[2 * g], right[2 * g + 1]};
    }
    return GW_OK;
}
