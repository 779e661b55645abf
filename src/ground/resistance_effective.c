// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Fluid temperatures along the bore. Per pipe i at depth z, with s_i = +1 down, −1 up:
//   s_i C dT_i/dz = −Σ_j K_ij (T_j − Tb)                                     (Hellström 1991)
// Tb is zero (uniform wall temperature) or what keeps Σ q = 1 W/m (uniform flux). The linear
// system is carried from top to bottom by its matrix exponential and the ends are joined.
#include "ground/resistance.h"
#include "ground/resistance_priv.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

enum { SIZE = GW_BORE_PIPES_MAX + 2 }; // temperatures, the constant 1, the integral of Tb

typedef struct {
    double a[SIZE][SIZE];
} square;

static gw_status check_flow(const gw_bore_flow *flow, gw_err *err)
{
    if (!(flow->length_m > 0.0 && flow->length_m <= 5000.0)) {
        return gw_fail(err, GW_ERR_RANGE, "length_m", "length %g m must be 0 to 5000 m",
                       flow->length_m);
    }
    if (!(flow->capacity_w_k > 0.0 && isfinite(flow->capacity_w_k))) {
        return gw_fail(err, GW_ERR_RANGE, "capacity_w_k",
                       "heat capacity of the flow %g W/K must be above 0", flow->capacity_w_k);
    }
    return GW_OK;
}

static gw_status check_resistance(const gw_bore_resistance *res, gw_err *err)
{
    if (!(res->bore_mk_w > 0.0 && isfinite(res->bore_mk_w))) {
        return gw_fail(err, GW_ERR_RANGE, "bore_mk_w", "bore resistance %g mK/W must be above 0",
                       res->bore_mk_w);
    }
    if (!(res->internal_mk_w > 0.0 && isfinite(res->internal_mk_w))) {
        return gw_fail(err, GW_ERR_RANGE, "internal_mk_w",
                       "internal resistance %g mK/W must be above 0", res->internal_mk_w);
    }
    return GW_OK;
}

gw_status gw_bore_effective(const gw_bore_resistance *res, const gw_bore_flow *flow,
                            double *out_mk_w, gw_err *err)
{
    gw_status st = check_resistance(res, err);
    if (st == GW_OK) {
        st = check_flow(flow, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const double hc = flow->length_m / flow->capacity_w_k;
    if (flow->along == GW_BORE_FLUX_UNIFORM) {
        *out_mk_w = res->bore_mk_w + hc * hc / (3.0 * res->internal_mk_w);
    } else {
        const double eta = hc / sqrt(res->bore_mk_w * res->internal_mk_w);
        *out_mk_w = res->bore_mk_w * (eta < 1e-6 ? 1.0 : eta / tanh(eta));
    }
    return GW_OK;
}

static square multiply(const square *x, const square *y, size_t n)
{
    square z = {{{0.0}}};
    for (size_t i = 0; i < n; ++i) {
        for (size_t k = 0; k < n; ++k) {
            for (size_t j = 0; j < n; ++j) {
                z.a[i][j] += x->a[i][k] * y->a[k][j];
            }
        }
    }
    return z;
}

// exp(A) by scaling, Taylor's series and squaring.
static square exponential(const square *matrix, size_t n)
{
    double norm = 0.0;
    for (size_t i = 0; i < n; ++i) {
        double row = 0.0;
        for (size_t j = 0; j < n; ++j) {
            row += fabs(matrix->a[i][j]);
        }
        norm = fmax(norm, row);
    }
    int halvings = 0;
    while (norm > 0.25 && halvings < 60) {
        norm *= 0.5;
        ++halvings;
    }
    square scaled = *matrix, sum = {{{0.0}}}, term = {{{0.0}}};
    for (size_t i = 0; i < n; ++i) {
        term.a[i][i] = sum.a[i][i] = 1.0;
        for (size_t j = 0; j < n; ++j) {
            scaled.a[i][j] = ldexp(matrix->a[i][j], -halvings);
        }
    }
    for (int k = 1; k <= 14; ++k) {
        term = multiply(&term, &scaled, n);
        for (size_t i = 0; i < n; ++i) {
            for (size_t j = 0; j < n; ++j) {
                term.a[i][j] /= (double)k;
                sum.a[i][j] += term.a[i][j];
            }
        }
    }
    for (int h = 0; h < halvings; ++h) {
        sum = multiply(&sum, &sum, n);
    }
    return sum;
}

typedef struct {
    const gw_bore_matrix *matrix;
    const size_t *legs;
    const gw_bore_flow *flow;
} circuit;

// The system matrix times the length; rows and columns by leg.
static square along_bore(const circuit *way)
{
    const size_t n = way->matrix->pipe_count;
    const double scale = way->flow->length_m / way->flow->capacity_w_k;
    double row_sum[GW_BORE_PIPES_MAX] = {0.0};
    double total = 0.0;
    for (size_t i = 0; i < n; ++i) {
        for (size_t j = 0; j < n; ++j) {
            row_sum[i] += way->matrix->conductance_w_mk[way->legs[i]][way->legs[j]];
        }
        total += row_sum[i];
    }
    const bool flux = way->flow->along == GW_BORE_FLUX_UNIFORM;
    square s = {{{0.0}}};
    for (size_t i = 0; i < n; ++i) {
        const double sign = i % 2 == 0 ? -scale : scale;
        for (size_t j = 0; j < n; ++j) {
            const double k = way->matrix->conductance_w_mk[way->legs[i]][way->legs[j]];
            // Tb = (Σ row_sum_j T_j − 1)/total keeps the heat per metre at 1 W/m.
            s.a[i][j] = sign * (flux ? k - row_sum[i] * row_sum[j] / total : k);
        }
        s.a[i][n] = flux ? sign * row_sum[i] / total : 0.0;
        s.a[n + 1][i] = flux ? row_sum[i] / total : 0.0;
    }
    s.a[n + 1][n] = flux ? -1.0 / total : 0.0;
    return s;
}

// Temperatures at the top of every leg when the fluid enters leg 0 at `inlet`.
static bool join_ends(const square *e, size_t n, double inlet, double top[static SIZE])
{
    enum { WIDTH = GW_BORE_PIPES_MAX + 1 };
    double rows[GW_BORE_PIPES_MAX * WIDTH] = {0.0};
    rows[0] = 1.0;
    rows[n] = inlet;
    size_t r = 1;
    for (size_t i = 0; i + 1 < n; ++i, ++r) {
        double *const row = rows + r * WIDTH;
        if (i % 2 == 0) { // joined at the bottom
            for (size_t j = 0; j < n; ++j) {
                row[j] = e->a[i][j] - e->a[i + 1][j];
            }
            row[n] = e->a[i + 1][n] - e->a[i][n];
        } else { // joined at the top
            row[i] = 1.0;
            row[i + 1] = -1.0;
        }
    }
    if (!gw_ground_priv_eliminate(rows, n, WIDTH, 1)) {
        return false;
    }
    for (size_t i = 0; i < n; ++i) {
        top[i] = rows[i * WIDTH + n];
    }
    return true;
}

static gw_status check_legs(const gw_bore_matrix *matrix, const size_t *legs, gw_err *err)
{
    const size_t n = matrix->pipe_count;
    if (!(n >= 2 && n <= GW_BORE_PIPES_MAX && n % 2 == 0)) {
        return gw_fail(err, GW_ERR_RANGE, "pipe_count", "%zu pipes in series must be even", n);
    }
    unsigned seen = 0;
    for (size_t i = 0; i < n; ++i) {
        if (legs[i] >= n || ((seen >> legs[i]) & 1u) != 0u) {
            return gw_fail(err, GW_ERR_RANGE, "legs", "leg %zu must name each pipe once", i + 1);
        }
        seen |= 1u << legs[i];
    }
    return GW_OK;
}

gw_status gw_bore_effective_series(const gw_bore_matrix *matrix, const size_t *legs,
                                   const gw_bore_flow *flow, double *out_mk_w, gw_err *err)
{
    gw_status st = check_legs(matrix, legs, err);
    if (st == GW_OK) {
        st = check_flow(flow, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const size_t n = matrix->pipe_count;
    const bool flux = flow->along == GW_BORE_FLUX_UNIFORM;
    const double inlet = flux ? 0.0 : 1.0;
    const circuit way = {matrix, legs, flow};
    const square s = along_bore(&way);
    const square e = exponential(&s, n + 2);
    double top[SIZE] = {0.0};
    if (!join_ends(&e, n, inlet, top)) {
        return gw_fail(err, GW_ERR_CONVERGE, "legs", "fluid temperatures cannot be solved");
    }
    const double mean_fluid = 0.5 * (inlet + top[n - 1]);
    double mean_wall = flux ? e.a[n + 1][n] : 0.0;
    for (size_t j = 0; j < n; ++j) {
        mean_wall += e.a[n + 1][j] * top[j];
    }
    const double heat_w_m = flow->capacity_w_k * (inlet - top[n - 1]) / flow->length_m;
    if (!(heat_w_m > 0.0)) {
        return gw_fail(err, GW_ERR_CONVERGE, "capacity_w_k",
                       "flow %g W/K is too small for a bore of %g m", flow->capacity_w_k,
                       flow->length_m);
    }
    *out_mk_w = (mean_fluid - mean_wall) / heat_w_m;
    return GW_OK;
}

gw_status gw_bore_effective_coaxial(const gw_bore_resistance *res, const gw_bore_flow *flow,
                                    double *out_mk_w, gw_err *err)
{
    const gw_status st = check_resistance(res, err);
    if (st != GW_OK) {
        return st;
    }
    const double a = 1.0 / res->internal_mk_w, b = 1.0 / res->bore_mk_w;
    gw_bore_matrix matrix = {.pipe_count = 2};
    matrix.conductance_w_mk[0][0] = a;
    matrix.conductance_w_mk[0][1] = matrix.conductance_w_mk[1][0] = -a;
    matrix.conductance_w_mk[1][1] = a + b;
    return gw_bore_effective_series(&matrix, (const size_t[]){0, 1}, flow, out_mk_w, err);
}
