// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Discount factors of NIST Handbook 135 and ASTM E917, exact at zero rates and near them.
#include "money/life_cycle.h"

#include <math.h>

double gw_life_cycle_spv(double discount_frac, double years)
{
    return exp(-years * log1p(discount_frac));
}

double gw_life_cycle_upv(double discount_frac, double years)
{
    // 1 − (1+d)^−n without the loss of digits at small d.
    return discount_frac == 0.0 ? years : -expm1(-years * log1p(discount_frac)) / discount_frac;
}

double gw_life_cycle_ucr(double discount_frac, double years)
{
    return 1.0 / gw_life_cycle_upv(discount_frac, years);
}

double gw_life_cycle_upv_star(double discount_frac, double escalation_frac, double years)
{
    // (1+d)/(1+e) − 1 is a discount rate by itself: UPV* is the UPV at it.
    return gw_life_cycle_upv((discount_frac - escalation_frac) / (1.0 + escalation_frac), years);
}

double gw_life_cycle_real_rate(double nominal_frac, double inflation_frac)
{
    return (nominal_frac - inflation_frac) / (1.0 + inflation_frac);
}
