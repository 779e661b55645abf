// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Mean of the heat kernel e^(−s²R²) over pairs of points of two rings of one plane.
//
// Two points of circles of radius R at angles φ and ψ, centres d apart, differ by d plus a vector
// of length r = 2R sin(|φ − ψ|/2) whose direction turns with φ + ψ. The mean over that direction is
// e^(−s²(d − r)²) · e^(−x) I0(x), x = 2s²dr. What is left is one angle β = |φ − ψ|/2 in 0 … π/2 of
// a smooth even periodic function, for which the midpoint rule converges exponentially: with a step
// h in r its error is about 2 e^(−(π/(s h))²).
#include "loop/coil.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double REACH = 6.2; // e^(−REACH²) = 2e-17 counts as nothing
static const double STEP = 0.73; // s h: error 2e-8 of the peak

double gw_coil_bessel_i0e(double x)
{
    static const double small[] = {1.0,       3.5156229, 3.0899424, 1.2067492,
                                   0.2659732, 0.0360768, 0.0045813}; // 9.8.1
    static const double large[] = {0.39894228,  0.01328592, 0.00225319,  -0.00157565, 0.00916281,
                                   -0.02057706, 0.02635537, -0.01647633, 0.00392377}; // 9.8.2
    double sum = 0.0;
    if (x < 3.75) {
        const double t = x / 3.75 * (x / 3.75);
        for (size_t i = sizeof small / sizeof small[0]; i-- > 0;) {
            sum = sum * t + small[i];
        }
        return exp(-x) * sum;
    }
    const double t = 3.75 / x;
    for (size_t i = sizeof large / sizeof large[0]; i-- > 0;) {
        sum = sum * t + large[i];
    }
    return sum / sqrt(x);
}

double gw_coil_ring_mean(double s, double ring_radius_m, double offset_m)
{
    const double diameter_m = 2.0 * ring_radius_m;
    if (s * (offset_m - diameter_m) > REACH) {
        return 0.0;
    }
    const size_t points = 2 + (size_t)ceil(PI * s * ring_radius_m / STEP);
    const double step = 0.5 * PI / (double)points;
    double sum = 0.0;
    for (size_t i = 0; i < points; i++) {
        const double r_m = diameter_m * sin(((double)i + 0.5) * step);
        const double x = s * (offset_m - r_m);
        if (fabs(x) < REACH) {
            sum += exp(-x * x) * gw_coil_bessel_i0e(2.0 * s * s * offset_m * r_m);
        }
    }
    return sum / (double)points;
}

double gw_coil_ring_self(double s, double ring_radius_m, double pipe_radius_m)
{
    const double gap = s * pipe_radius_m;
    if (gap > REACH) {
        return 0.0;
    }
    const double x = 2.0 * s * s * ring_radius_m;
    return 0.5 * exp(-gap * gap) *
           (gw_coil_bessel_i0e(x * (ring_radius_m + pipe_radius_m)) +
            gw_coil_bessel_i0e(x * (ring_radius_m - pipe_radius_m)));
}
