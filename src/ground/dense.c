// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/dense.h"

#include <cblas.h>
#include <math.h>

enum { TILE = 64 };

static size_t tile_of(size_t n, size_t at)
{
    return n - at < TILE ? n - at : TILE;
}

// c −= x yᵀ or x y, all parts of one matrix with n rows.
static void subtract(const gw_dense *s, CBLAS_TRANSPOSE y_as, const size_t size[3], const double *x,
                     const double *y, double *c)
{
    const int n = (int)s->n;
    cblas_dgemm(CblasColMajor, CblasNoTrans, y_as, (int)size[0], (int)size[1], (int)size[2], -1.0,
                x, n, y, n, 1.0, c, n);
}

// ---- Cholesky ----

static bool factor_tile(double *a, size_t count, size_t n)
{
    for (size_t j = 0; j < count; ++j) {
        double *const column = a + j * n;
        if (!(column[j] > 0.0 && isfinite(column[j]))) {
            return false;
        }
        column[j] = sqrt(column[j]);
        for (size_t i = j + 1; i < count; ++i) {
            column[i] /= column[j];
        }
        for (size_t k = j + 1; k < count; ++k) {
            const double f = column[k];
            for (size_t i = k; i < count; ++i) {
                a[k * n + i] -= f * column[i];
            }
        }
    }
    return true;
}

// Everything below and right of the factored tile at k.
static void update_rest(const gw_dense *s, size_t k, size_t width)
{
    double *const a = s->a;
    const size_t n = s->n;
    for (size_t i = k + width; i < n; i += TILE) {
        cblas_dtrsm(CblasColMajor, CblasRight, CblasLower, CblasTrans, CblasNonUnit,
                    (int)tile_of(n, i), (int)width, 1.0, a + k * n + k, (int)n, a + k * n + i,
                    (int)n);
    }
    for (size_t j = k + width; j < n; j += TILE) {
        for (size_t i = j; i < n; i += TILE) {
            const size_t size[3] = {tile_of(n, i), tile_of(n, j), width};
            subtract(s, CblasTrans, size, a + k * n + i, a + k * n + j, a + j * n + i);
        }
    }
}

static void solve_factored(const gw_dense *s)
{
    const size_t n = s->n;
    double *const b = s->b;
    for (size_t j = 0; j < n; ++j) {
        const double *const column = s->a + j * n;
        b[j] /= column[j];
        for (size_t i = j + 1; i < n; ++i) {
            b[i] -= column[i] * b[j];
        }
    }
    for (size_t j = n; j-- > 0;) {
        const double *const column = s->a + j * n;
        for (size_t i = j + 1; i < n; ++i) {
            b[j] -= column[i] * b[i];
        }
        b[j] /= column[j];
    }
}

bool gw_dense_cholesky(const gw_dense *system)
{
    const size_t n = system->n;
    for (size_t k = 0; k < n; k += TILE) {
        const size_t width = tile_of(n, k);
        if (!factor_tile(system->a + k * n + k, width, n)) {
            return false;
        }
        update_rest(system, k, width);
    }
    solve_factored(system);
    return true;
}

// ---- elimination ----

static void swap_rows(const gw_dense *s, size_t i, size_t j)
{
    for (size_t c = 0; c < s->n; ++c) {
        double *const column = s->a + c * s->n;
        const double kept = column[i];
        column[i] = column[j];
        column[j] = kept;
    }
    const double kept = s->b[i];
    s->b[i] = s->b[j];
    s->b[j] = kept;
}

// Columns k to k + width, all rows from k on.
static bool factor_panel(const gw_dense *s, size_t k, size_t width)
{
    const size_t n = s->n;
    for (size_t j = k; j < k + width; ++j) {
        double *const column = s->a + j * n;
        size_t best = j;
        for (size_t i = j + 1; i < n; ++i) {
            best = fabs(column[i]) > fabs(column[best]) ? i : best;
        }
        if (!(fabs(column[best]) > 0.0 && isfinite(column[best]))) {
            return false;
        }
        if (best != j) {
            swap_rows(s, j, best);
        }
        for (size_t i = j + 1; i < n; ++i) {
            column[i] /= column[j];
        }
        for (size_t c = j + 1; c < k + width; ++c) {
            const double f = s->a[c * n + j];
            for (size_t i = j + 1; i < n; ++i) {
                s->a[c * n + i] -= f * column[i];
            }
        }
    }
    return true;
}

bool gw_dense_eliminate(const gw_dense *system)
{
    const gw_dense *const s = system;
    const size_t n = s->n;
    double *const a = s->a;
    for (size_t k = 0; k < n; k += TILE) {
        const size_t width = tile_of(n, k);
        if (!factor_panel(s, k, width)) {
            return false;
        }
        for (size_t j = k + width; j < n; j += TILE) {
            const size_t columns = tile_of(n, j);
            cblas_dtrsm(CblasColMajor, CblasLeft, CblasLower, CblasNoTrans, CblasUnit, (int)width,
                        (int)columns, 1.0, a + k * n + k, (int)n, a + j * n + k, (int)n);
            for (size_t i = k + width; i < n; i += TILE) {
                const size_t size[3] = {tile_of(n, i), columns, width};
                subtract(s, CblasNoTrans, size, a + k * n + i, a + j * n + k, a + j * n + i);
            }
        }
    }
    for (size_t j = 0; j < n; ++j) {
        for (size_t i = j + 1; i < n; ++i) {
            s->b[i] -= a[j * n + i] * s->b[j];
        }
    }
    for (size_t j = n; j-- > 0;) {
        s->b[j] /= a[j * n + j];
        for (size_t i = 0; i < j; ++i) {
            s->b[i] -= a[j * n + i] * s->b[j];
        }
    }
    return true;
}
