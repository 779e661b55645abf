// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/spectrum.h"

#include <math.h>

gw_status gw_spectrum_init(gw_arena *arena, const gw_spectrum_range *range, gw_spectrum *out,
                           gw_err *err)
{
    const double high = 1.0 / range->fastest_s;
    const double low = 1.0 / range->slowest_s;
    const size_t steps = (size_t)ceil(range->per_decade * log10(high / low));
    double *const p = gw_arena_alloc(arena, steps + 2, sizeof *p);
    if (p == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a spectrum");
    }
    for (size_t m = 0; m <= steps; ++m) {
        p[m + 1] = low * pow(high / low, (double)m / (double)steps);
    }
    *out = (gw_spectrum){steps + 2, p};
    return GW_OK;
}

gw_status gw_spectrum_fit(gw_arena *arena, const gw_spectrum *spectrum,
                          const gw_spectrum_data *data, double *weight, double *residual_frac,
                          gw_err *err)
{
    const size_t rows = spectrum->count, columns = rows - 1;
    gw_spectrum_room own = {0}, *const room = data->room != NULL ? data->room : &own;
    if (room->matrix == NULL) {
        room->matrix = gw_arena_alloc(arena, rows * columns, sizeof *room->matrix);
        room->right = gw_arena_alloc(arena, rows, sizeof *room->right);
    }
    if (room->matrix == NULL || room->right == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a spectrum");
    }
    double *const matrix = room->matrix, *const right = room->right;
    for (size_t m = 0; m < rows; ++m) {
        for (size_t k = 0; k < columns; ++k) {
            matrix[k * rows + m] =
                1.0 / ((1.0 + spectrum->p[m] / spectrum->p[k + 1]) * data->scale[m]);
        }
        right[m] = data->transfer[m] / data->scale[m];
    }
    const gw_least least = {rows, columns, matrix, right, 1e-10};
    const gw_status st = gw_least_squares_in(arena, &least, &room->least, err);
    if (st != GW_OK) {
        return st;
    }
    double worst = 0.0;
    for (size_t k = 0; k < columns; ++k) {
        weight[k] = right[k];
    }
    for (size_t m = 0; m < rows; ++m) {
        double sum = 0.0;
        for (size_t k = 0; k < columns; ++k) {
            sum += weight[k] / (1.0 + spectrum->p[m] / spectrum->p[k + 1]);
        }
        worst = fmax(worst, fabs(sum - data->transfer[m]) / data->scale[m]);
    }
    if (residual_frac != NULL) {
        *residual_frac = worst;
    }
    return GW_OK;
}

double gw_spectrum_step(const gw_spectrum *spectrum, const double *weight, double time_s)
{
    double sum = 0.0;
    for (size_t k = 0; k + 1 < spectrum->count; ++k) {
        sum -= weight[k] * expm1(-time_s * spectrum->p[k + 1]);
    }
    return sum;
}

// Least squares over ωτ from 1e-7 to 1e7, eight per decade. Both sides fall as 1/τ at long times;
// there only the absolute error counts, since what relaxes so slowly is weak.
gw_status gw_spectrum_turn(gw_arena *arena, double ratio[GW_SPECTRUM_TURN],
                           double real[GW_SPECTRUM_TURN], double imaginary[GW_SPECTRUM_TURN],
                           gw_err *err)
{
    enum { ROWS = 113 };
    double *const matrix = gw_arena_alloc(arena, (size_t)ROWS * GW_SPECTRUM_TURN, sizeof *matrix);
    double *const right = gw_arena_alloc(arena, ROWS, sizeof *right);
    if (matrix == NULL || right == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a spectrum");
    }
    for (size_t m = 0; m < GW_SPECTRUM_TURN; ++m) {
        ratio[m] = pow(10.0, -2.0 + 4.0 * (double)m / (GW_SPECTRUM_TURN - 1));
    }
    for (int part = 0; part < 2; ++part) {
        for (size_t i = 0; i < ROWS; ++i) {
            const double x = pow(10.0, -7.0 + 0.125 * (double)i);
            for (size_t m = 0; m < GW_SPECTRUM_TURN; ++m) {
                matrix[m * ROWS + i] = 1.0 / (1.0 + ratio[m] * x);
            }
            right[i] = (part == 0 ? 1.0 : -x) / (1.0 + x * x);
        }
        const gw_status st =
            gw_least_squares(arena, &(gw_least){ROWS, GW_SPECTRUM_TURN, matrix, right, 1e-10}, err);
        if (st != GW_OK) {
            return st;
        }
        for (size_t m = 0; m < GW_SPECTRUM_TURN; ++m) {
            (part == 0 ? real : imaginary)[m] = right[m];
        }
    }
    return GW_OK;
}
