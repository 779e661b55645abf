// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/distribution.h"

#include "base/random.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

static const double CUT = 3.0; // standard deviations

gw_status gw_distribution_check(const gw_distribution *d, const char *field, gw_err *err)
{
    const bool three = d->shape == GW_DISTRIBUTION_TRIANGULAR;
    if (!isfinite(d->a) || !isfinite(d->b) || (three && !isfinite(d->c))) {
        return gw_fail(err, GW_ERR_RANGE, field, "found a value that is not a finite number");
    }
    if (d->shape == GW_DISTRIBUTION_NORMAL && !(d->b >= 0.0)) {
        return gw_fail(err, GW_ERR_RANGE, field,
                       "found a standard deviation of %g, expected 0 or more", d->b);
    }
    if (d->shape != GW_DISTRIBUTION_NORMAL && !(d->a <= d->b && (!three || d->b <= d->c))) {
        return gw_fail(err, GW_ERR_RANGE, field,
                       "found ends that are not in order: least, (most likely,) greatest");
    }
    return GW_OK;
}

// Newton on the error function from a rational start (Abramowitz & Stegun 26.2.23, within 4.5e-4).
double gw_distribution_normal_quantile(double p)
{
    static const double ROOT_2 = 1.4142135623730951;
    static const double ROOT_2PI = 2.5066282746310002;
    const double tail = p < 0.5 ? p : 1.0 - p;
    const double t = sqrt(-2.0 * log(tail));
    double x = t - (2.515517 + t * (0.802853 + t * 0.010328)) /
                       (1.0 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
    for (int i = 0; i < 4; i++) {
        const double excess = 0.5 * erfc(x / ROOT_2) - tail;
        x += excess * ROOT_2PI * exp(0.5 * x * x);
    }
    return p < 0.5 ? -x : x;
}

static double triangular(const gw_distribution *d, double p)
{
    const double width = d->c - d->a;
    if (!(width > 0.0)) {
        return d->b;
    }
    const double at_mode = (d->b - d->a) / width;
    return p <= at_mode ? d->a + sqrt(p * width * (d->b - d->a))
                        : d->c - sqrt((1.0 - p) * width * (d->c - d->b));
}

double gw_distribution_quantile(const gw_distribution *d, double p)
{
    switch (d->shape) {
    case GW_DISTRIBUTION_TRIANGULAR:
        return triangular(d, p);
    case GW_DISTRIBUTION_NORMAL: {
        // The mass beyond the cut is spread evenly: p runs between the two cuts.
        const double tail = 0.5 * erfc(CUT / 1.4142135623730951);
        return d->a + d->b * gw_distribution_normal_quantile(tail + p * (1.0 - 2.0 * tail));
    }
    case GW_DISTRIBUTION_UNIFORM:
        return d->a + p * (d->b - d->a);
    }
    return d->a;
}

void gw_hypercube_fill(uint64_t seed, uint64_t stream, size_t count, double *u)
{
    gw_random random;
    // Any odd constant keeps the streams of neighbouring seeds apart.
    gw_random_init(&random, seed ^ ((stream + 1) * UINT64_C(0x9e3779b97f4a7c15)));
    for (size_t i = 0; i < count; i++) {
        u[i] = (double)i;
    }
    for (size_t i = count; i > 1; i--) {
        const size_t j = (size_t)(gw_random_uniform(&random) * (double)i);
        const double kept = u[i - 1];
        u[i - 1] = u[j];
        u[j] = kept;
    }
    for (size_t i = 0; i < count; i++) {
        // Never 0: the middle of one of 2^53 cells.
        u[i] = (u[i] + gw_random_uniform(&random) + 0x1.0p-54) / (double)count;
    }
}

double gw_sample_quantile(const double *sorted, size_t count, double p)
{
    const double at = p * (double)(count - 1);
    const size_t low = (size_t)at;
    if (low + 1 >= count) {
        return sorted[count - 1];
    }
    return sorted[low] + (at - (double)low) * (sorted[low + 1] - sorted[low]);
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return x < y ? -1 : x > y ? 1 : 0;
}

void gw_sample_sort(double *values, size_t count)
{
    qsort(values, count, sizeof *values, by_size);
}
