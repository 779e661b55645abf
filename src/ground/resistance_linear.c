// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/resistance_priv.h"

#include <math.h>

static size_t pivot_row(const double *rows, size_t n, size_t stride, size_t column)
{
    size_t best = column;
    for (size_t i = column + 1; i < n; ++i) {
        if (fabs(rows[i * stride + column]) > fabs(rows[best * stride + column])) {
            best = i;
        }
    }
    return best;
}

static void swap_rows(double *a, double *b, size_t count)
{
    for (size_t j = 0; j < count; ++j) {
        const double kept = a[j];
        a[j] = b[j];
        b[j] = kept;
    }
}

bool gw_ground_priv_eliminate(double *rows, size_t n, size_t stride, size_t sides)
{
    const size_t width = n + sides;
    for (size_t c = 0; c < n; ++c) {
        const size_t best = pivot_row(rows, n, stride, c);
        if (!(fabs(rows[best * stride + c]) > 0.0)) {
            return false;
        }
        double *const top = rows + c * stride;
        if (best != c) {
            swap_rows(top, rows + best * stride, width);
        }
        for (size_t i = c + 1; i < n; ++i) {
            double *const row = rows + i * stride;
            const double factor = row[c] / top[c];
            for (size_t j = c; j < width; ++j) {
                row[j] -= factor * top[j];
            }
        }
    }
    for (size_t c = n; c-- > 0;) {
        double *const row = rows + c * stride;
        for (size_t side = n; side < width; ++side) {
            for (size_t j = c + 1; j < n; ++j) {
                row[side] -= row[j] * rows[j * stride + side];
            }
            row[side] /= row[c];
        }
    }
    return true;
}
