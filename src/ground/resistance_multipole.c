// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The multipole solution (Bennet, Claesson & Hellström 1987; Claesson & Hellström 2011). Symbols
// of the paper: z complex position, q heat per metre (W/m), P multipole strengths, beta =
// 2π kb Rp, sigma = (kb − k)/(kb + k). The temperature in the grout over the mean of the wall is
//   Σ q_n/(2π kb) [ln(rb/|z − z_n|) + sigma ln(rb²/|rb² − z conj(z_n)|)]
//   + Re Σ P_nj {[rp_n/(z − z_n)]^j + sigma [rp_n conj(z)/(rb² − z_n conj(z))]^j}.
// The strengths are found directly, not by iteration, so touching pipes are no special case.
#include "ground/resistance.h"
#include "ground/resistance_priv.h"

#include <complex.h>
#include <math.h>

static const double PI = 3.14159265358979323846;

enum {
    UNKNOWNS_MAX = 2 * GW_BORE_PIPES_MAX * GW_MULTIPOLE_ORDER_MAX,
    STRIDE = UNKNOWNS_MAX + GW_BORE_PIPES_MAX,
    POWERS = GW_MULTIPOLE_ORDER_MAX + 1
};

typedef double complex dcomplex;

typedef struct {
    size_t pipes;
    size_t order;
    double rb2;
    double kb;
    double sigma;
    dcomplex z[GW_BORE_PIPES_MAX];
    double rp[GW_BORE_PIPES_MAX];
    double beta[GW_BORE_PIPES_MAX];
    double binomial[2 * POWERS][2 * POWERS];
} problem;

static void fill_powers(dcomplex base, dcomplex powers[static POWERS])
{
    powers[0] = 1.0;
    for (size_t j = 1; j < POWERS; ++j) {
        powers[j] = powers[j - 1] * base;
    }
}

static void fill_binomials(problem *p)
{
    for (size_t n = 0; n < (size_t)2 * POWERS; ++n) {
        p->binomial[n][0] = 1.0;
        for (size_t k = 1; k < (size_t)2 * POWERS; ++k) {
            p->binomial[n][k] = n == 0 ? 0.0 : p->binomial[n - 1][k - 1] + p->binomial[n - 1][k];
        }
    }
}

static problem problem_of(const gw_bore_section *section, size_t order)
{
    problem p = {.pipes = section->pipe_count, .order = order};
    p.kb = section->grout_w_mk;
    p.rb2 = section->radius_m * section->radius_m;
    p.sigma = (p.kb - section->ground_w_mk) / (p.kb + section->ground_w_mk);
    for (size_t n = 0; n < p.pipes; ++n) {
        const gw_bore_pipe *const pipe = &section->pipes[n];
        p.z[n] = pipe->x_m + pipe->y_m * (dcomplex)I;
        p.rp[n] = pipe->outer_radius_m;
        p.beta[n] = 2.0 * PI * p.kb * pipe->resistance_mk_w;
    }
    fill_binomials(&p);
    return p;
}

// Coefficient of q_n in the k-th harmonic at pipe m: line source and its image.
static dcomplex source_term(const problem *p, size_t m, size_t n, size_t k)
{
    const double scale = 1.0 / (2.0 * PI * p->kb * (double)k);
    const dcomplex image = p->rp[m] * conj(p->z[n]) / (p->rb2 - p->z[m] * conj(p->z[n]));
    dcomplex powers[POWERS];
    fill_powers(image, powers);
    dcomplex sum = p->sigma * powers[k];
    if (n != m) {
        fill_powers(p->rp[m] / (p->z[n] - p->z[m]), powers);
        sum += powers[k];
    }
    return scale * sum;
}

// Coefficient of P_nj in the k-th harmonic at pipe m ≠ n.
static dcomplex direct_term(const problem *p, const size_t mk[2], const size_t nj[2])
{
    const size_t m = mk[0], k = mk[1], n = nj[0], j = nj[1];
    dcomplex near[POWERS], far[POWERS];
    fill_powers(p->rp[n] / (p->z[m] - p->z[n]), near);
    fill_powers(p->rp[m] / (p->z[n] - p->z[m]), far);
    return p->binomial[j + k - 1][k] * near[j] * far[k];
}

// Coefficient of conj(P_nj) in the k-th harmonic at pipe m: image of the multipole.
static dcomplex image_term(const problem *p, const size_t mk[2], const size_t nj[2])
{
    const size_t m = mk[0], k = mk[1], n = nj[0], j = nj[1];
    const dcomplex d = p->rb2 - conj(p->z[n]) * p->z[m];
    dcomplex shift[POWERS], turn[POWERS], size_n[POWERS], size_m[POWERS];
    fill_powers(p->z[m], shift);
    fill_powers(conj(p->z[n]) / d, turn);
    fill_powers(p->rp[n] / d, size_n);
    fill_powers(p->rp[m], size_m);
    dcomplex sum = 0.0;
    for (size_t i = 0; i <= (j < k ? j : k); ++i) {
        sum += p->binomial[j][i] * p->binomial[j + k - i - 1][k - i] * shift[j - i] * turn[k - i];
    }
    return p->sigma * size_n[j] * size_m[k] * sum;
}

// Row pair (real, imaginary) of  conj(P_mk) + g_k A_mk = 0,  g_k = (1 − k beta)/(1 + k beta).
static void fill_row_pair(const problem *p, const size_t mk[2], double *real, double *imag)
{
    const size_t m = mk[0], k = mk[1];
    const double g = (1.0 - (double)k * p->beta[m]) / (1.0 + (double)k * p->beta[m]);
    for (size_t n = 0; n < p->pipes; ++n) {
        for (size_t j = 1; j <= p->order; ++j) {
            const size_t nj[2] = {n, j};
            const size_t column = 2 * (n * p->order + j - 1);
            const dcomplex a = n == m ? 0.0 : g * direct_term(p, mk, nj);
            dcomplex b = g * image_term(p, mk, nj);
            if (n == m && j == k) {
                b += 1.0;
            }
            // a P + b conj(P) with P = x + iy.
            real[column] = creal(a) + creal(b);
            real[column + 1] = -cimag(a) + cimag(b);
            imag[column] = cimag(a) + cimag(b);
            imag[column + 1] = creal(a) - creal(b);
        }
        const dcomplex source = -g * source_term(p, m, n, k);
        const size_t side = 2 * p->pipes * p->order + n;
        real[side] = creal(source);
        imag[side] = cimag(source);
    }
}

// Temperature at the pipes by line sources alone (order 0).
static double line_resistance(const problem *p, size_t m, size_t n)
{
    const double mirror = log(p->rb2 / cabs(p->rb2 - p->z[m] * conj(p->z[n])));
    const double rb = sqrt(p->rb2);
    const double own = m == n ? p->beta[m] + log(rb / p->rp[m]) : log(rb / cabs(p->z[m] - p->z[n]));
    return (own + p->sigma * mirror) / (2.0 * PI * p->kb);
}

// Contribution of P_nj to the mean temperature at pipe m, as the factor f of Re(f P).
static dcomplex mean_factor(const problem *p, size_t m, const size_t nj[2])
{
    const size_t n = nj[0], j = nj[1];
    dcomplex powers[POWERS];
    fill_powers(p->rp[n] * conj(p->z[m]) / (p->rb2 - p->z[n] * conj(p->z[m])), powers);
    dcomplex sum = p->sigma * powers[j];
    if (n != m) {
        fill_powers(p->rp[n] / (p->z[m] - p->z[n]), powers);
        sum += powers[j];
    }
    return sum;
}

// Adds what the multipoles of unit heat in each pipe make of the mean temperature at pipe m.
static void add_multipoles(const problem *p, const double *strengths, size_t m, double *row)
{
    const size_t first_side = 2 * p->pipes * p->order;
    for (size_t c = 0; c < p->pipes * p->order; ++c) {
        const size_t nj[2] = {c / p->order, c % p->order + 1};
        const dcomplex f = mean_factor(p, m, nj);
        const double *const x = strengths + 2 * c * STRIDE + first_side;
        for (size_t s = 0; s < p->pipes; ++s) {
            row[s] += creal(f) * x[s] - cimag(f) * x[STRIDE + s];
        }
    }
}

static bool invert(gw_bore_matrix *matrix)
{
    enum { WIDTH = 2 * GW_BORE_PIPES_MAX };
    double rows[GW_BORE_PIPES_MAX * WIDTH] = {0};
    const size_t n = matrix->pipe_count;
    for (size_t i = 0; i < n; ++i) {
        for (size_t j = 0; j < n; ++j) {
            // Reciprocity holds to rounding; the mean makes it exact.
            const double mean =
                0.5 * (matrix->resistance_mk_w[i][j] + matrix->resistance_mk_w[j][i]);
            rows[i * WIDTH + j] = mean;
        }
        rows[i * WIDTH + n + i] = 1.0;
    }
    if (!gw_ground_priv_eliminate(rows, n, WIDTH, n)) {
        return false;
    }
    for (size_t i = 0; i < n; ++i) {
        for (size_t j = 0; j < n; ++j) {
            matrix->conductance_w_mk[i][j] = rows[i * WIDTH + n + j];
        }
    }
    return true;
}

gw_status gw_bore_solve_multipole(const gw_bore_section *section, size_t order, gw_bore_matrix *out,
                                  gw_err *err)
{
    const gw_status st = gw_bore_section_check(section, err);
    if (st != GW_OK) {
        return st;
    }
    if (order > GW_MULTIPOLE_ORDER_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "order", "order %zu must be at most %d", order,
                       GW_MULTIPOLE_ORDER_MAX);
    }
    const problem p = problem_of(section, order);
    double rows[UNKNOWNS_MAX * STRIDE];
    for (size_t m = 0; m < p.pipes; ++m) {
        for (size_t k = 1; k <= order; ++k) {
            double *const pair = rows + 2 * (m * order + k - 1) * STRIDE;
            fill_row_pair(&p, (size_t[2]){m, k}, pair, pair + STRIDE);
        }
    }
    if (!gw_ground_priv_eliminate(rows, 2 * p.pipes * order, STRIDE, p.pipes)) {
        return gw_fail(err, GW_ERR_CONVERGE, "pipes", "multipole equations are singular");
    }
    *out = (gw_bore_matrix){.pipe_count = p.pipes};
    for (size_t m = 0; m < p.pipes; ++m) {
        for (size_t n = 0; n < p.pipes; ++n) {
            out->resistance_mk_w[m][n] = line_resistance(&p, m, n);
        }
        add_multipoles(&p, rows, m, out->resistance_mk_w[m]);
    }
    if (!invert(out)) {
        return gw_fail(err, GW_ERR_CONVERGE, "pipes", "resistance matrix is singular");
    }
    return GW_OK;
}
