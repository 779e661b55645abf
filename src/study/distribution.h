// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Distributions of a single uncertain number, and Latin hypercube samples of several.
//
// Independent variables only: no correlation. Method: McKay, Beckman & Conover 1979,
// Technometrics 21(2):239: the range of each variable is cut into as many strata of equal
// probability as there are samples, each stratum is hit once, in random order.
//
//   const gw_distribution d = {GW_DISTRIBUTION_TRIANGULAR, 0.8, 1.0, 1.4};
//   double x = gw_distribution_quantile(&d, 0.5);
//   gw_hypercube_fill(seed, stream, samples, u);      // u[i] in (0, 1), once per stratum
#ifndef GW_STUDY_DISTRIBUTION_H
#define GW_STUDY_DISTRIBUTION_H

#include "base/err.h"

#include <stddef.h>
#include <stdint.h>

typedef enum {
    GW_DISTRIBUTION_TRIANGULAR, // a = least, b = most likely, c = greatest
    GW_DISTRIBUTION_NORMAL,     // a = mean, b = standard deviation; cut at ±3 of them
    GW_DISTRIBUTION_UNIFORM,    // a = least, b = greatest
} gw_distribution_shape;

typedef struct {
    gw_distribution_shape shape;
    double a;
    double b;
    double c;
} gw_distribution;

// Errors: GW_ERR_RANGE with `field` (not finite, not in order, deviation below 0).
gw_status gw_distribution_check(const gw_distribution *distribution, const char *field,
                                gw_err *err) GW_MUST_USE;

// Value not exceeded with probability p, 0 to 1. A distribution without width gives its value.
double gw_distribution_quantile(const gw_distribution *distribution, double p);

// Quantile of the standard normal distribution, 0 < p < 1, to 1e-12.
double gw_distribution_normal_quantile(double p);

// u[count]: one number in each of `count` equal strata of (0, 1), in random order. The same seed
// and stream give the same numbers; each variable takes a stream of its own, so that adding one
// does not change the others.
void gw_hypercube_fill(uint64_t seed, uint64_t stream, size_t count, double *u);

// Value below which a share p of the sorted sample lies, linear between order statistics (the
// 7th definition of Hyndman & Fan 1996, The American Statistician 50(4):361). count ≥ 1.
double gw_sample_quantile(const double *sorted, size_t count, double p);

// Sorts upwards in place.
void gw_sample_sort(double *values, size_t count);

#endif
