// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the ground room: the space integral of pairs of segments, as a function of s,
//
//   f(s) = (2/√π) ∬ e^(−s²R²) du dv   (real line minus its mirror image),
//
// from which every response follows: a step response is 1/(4πk L) ∫ f ds from 1/√(4αt) to ∞, the
// transfer function at Laplace p is 1/(4πk L) ∫ f e^(−p/(4αs²)) ds from 0 to ∞.
#ifndef GW_GROUND_KERNEL_H
#define GW_GROUND_KERNEL_H

#include "ground/segment.h"

#include <math.h>
#include <stdbool.h>

// erfc and its integral by Taylor series about the nearest of a row of nodes: |x − node| ≤ 1/32,
// eight terms, error below 1e-14. Beyond the last node both are below 1e-18 and taken as zero.
enum { GW_KERNEL_NODES = 105, GW_KERNEL_TERMS = 8, GW_KERNEL_PER_UNIT = 16 };
#define GW_KERNEL_END 6.5
#define GW_KERNEL_EXP_END 40.0 // e^(−s²R²) beyond this is taken as zero

typedef struct {
    double erfc[GW_KERNEL_NODES][GW_KERNEL_TERMS];
    double ierfc[GW_KERNEL_NODES][GW_KERNEL_TERMS];
} gw_kernel_table;

void gw_kernel_table_init(gw_kernel_table *table);

static inline double gw_kernel_series(const double nodes[][GW_KERNEL_TERMS], double x)
{
    if (!(x < GW_KERNEL_END)) {
        return 0.0;
    }
    const int i = (int)(x * GW_KERNEL_PER_UNIT + 0.5);
    const double d = x - (double)i / GW_KERNEL_PER_UNIT;
    const double *const c = nodes[i];
    const double d2 = d * d, d4 = d2 * d2;
    return ((c[0] + c[1] * d) + (c[2] + c[3] * d) * d2) +
           ((c[4] + c[5] * d) + (c[6] + c[7] * d) * d2) * d4;
}

// erfc(x) and ∫_x^∞ erfc, x ≥ 0.
static inline double gw_kernel_erfc(const gw_kernel_table *table, double x)
{
    return gw_kernel_series(table->erfc, x);
}
static inline double gw_kernel_ierfc(const gw_kernel_table *table, double x)
{
    return gw_kernel_series(table->ierfc, x);
}

typedef struct {
    const gw_kernel_table *table;
    const double *s; // [count] > 0, 1/m, any order
    size_t count;
    bool without_mirror;
} gw_kernel_at;

// f[count], m: symmetric in a and b.
void gw_kernel_pair(const gw_kernel_at *at, const gw_segment *a, const gw_segment *b, double *f);

// The same with a point in place of the receiving line: (2/√π) ∫ e^(−s²R²) dv.
void gw_kernel_point(const gw_kernel_at *at, const gw_position *point, const gw_segment *source,
                     double *f);

// Least distance that counts between two segments (the wall rule of response.h): f is nothing
// where s × distance exceeds √GW_KERNEL_EXP_END.
double gw_kernel_pair_gap_m(const gw_segment *a, const gw_segment *b);
double gw_kernel_point_gap_m(const gw_position *point, const gw_segment *source);

// The mirror image above the surface (z negative).
gw_segment gw_kernel_mirror(const gw_segment *segment);

// Nodes and weights of Gauss–Legendre quadrature on [−1, 1], 1 ≤ n ≤ 32.
void gw_gauss_legendre(size_t n, double *node, double *weight);

#endif
