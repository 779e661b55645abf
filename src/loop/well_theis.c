// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Hydraulics of a pumped aquifer and the way of returned heat.
#include "loop/well.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double EULER = 0.57721566490153286061;

// E1(u) = −γ − ln u + Σ (−1)^(k+1) u^k/(k k!) (Abramowitz & Stegun 5.1.11).
static double by_series(double u)
{
    double term = 1.0, sum = 0.0;
    for (int k = 1; k < 40; k++) {
        term *= -u / k;
        sum -= term / k;
    }
    return -EULER - log(u) + sum;
}

// Continued fraction (A&S 5.1.22) by the modified Lentz recurrence.
static double by_fraction(double u)
{
    double b = u + 1.0;
    double c = 1e300;
    double d = 1.0 / b;
    double h = d;
    for (int i = 1; i < 200; i++) {
        const double a = -(double)i * i;
        b += 2.0;
        d = 1.0 / (a * d + b);
        c = b + a / c;
        const double step = c * d;
        h *= step;
        if (fabs(step - 1.0) < 1e-15) {
            break;
        }
    }
    return h * exp(-u);
}

double gw_well_function(double u)
{
    return u <= 1.0 ? by_series(u) : by_fraction(u);
}

double gw_well_drawdown_m(const gw_well_aquifer *aquifer, const gw_well_pumping *pumping)
{
    if (!(pumping->time_s > 0.0)) {
        return 0.0;
    }
    const double r_m = pumping->distance_m;
    const double u =
        r_m * r_m * aquifer->storativity / (4.0 * aquifer->transmissivity_m2_s * pumping->time_s);
    return pumping->flow_m3_s / (4.0 * PI * aquifer->transmissivity_m2_s) * gw_well_function(u);
}

double gw_well_flow_m3_s(double heat_w, double change_k)
{
    return heat_w / (GW_WELL_WATER_J_M3K * change_k);
}

double gw_well_flow_per_watt_m3_s(double cop, double change_k, bool cooling)
{
    return gw_well_flow_m3_s(cooling ? 1.0 + 1.0 / cop : 1.0 - 1.0 / cop, change_k);
}

gw_well_return_heat gw_well_return_heat_of(const gw_well_doublet *d)
{
    const double area_m2 = d->distance_m * d->distance_m;
    gw_well_return_heat out = {.breakthrough_s = PI * area_m2 * d->thickness_m *
                                                 d->aquifer_heat_j_m3k /
                                                 (3.0 * d->flow_m3_s * GW_WELL_WATER_J_M3K),
                               .feedback_distance_m = (double)INFINITY};
    if (d->gradient > 0.0) {
        out.feedback_distance_m = 2.0 * d->flow_m3_s / (PI * d->transmissivity_m2_s * d->gradient);
    }
    out.feedback = d->distance_m < out.feedback_distance_m;
    return out;
}
