// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "loop/pulse_method.h"

#include <math.h>

// Coefficients a0…a9 of f = a0 + a1 r + a2 r² + a3 α + a4 α² + a5 ln α + a6 ln²α + a7 rα + a8 r ln
// α
// + a9 α ln α, r in m and α in m²/day (Philippe, Bernier & Marchio 2010, table 1).
// clang-format off
static const double SIX_HOURS[10] = {
    0.6619352, -4.815693, 15.03571, -0.09879421, 0.02917889,
    0.1138498, 0.005610933, 0.7796329, -0.3243880, -0.01824101};
static const double ONE_MONTH[10] = {
    0.4132728, 0.2912981, 0.07589286, 0.1563978, -0.2289355,
    -0.004927554, -0.002694979, -0.6380360, 0.2950815, 0.1493320};
static const double TEN_YEARS[10] = {
    0.3057646, 0.08987446, -0.09151786, -0.03872451, 0.1690853,
    -0.02881681, -0.002886584, -0.1723169, 0.03112034, -0.1188438};
// clang-format on

static double correlation(const double a[static 10], double r_m, double alpha)
{
    const double l = log(alpha);
    return a[0] + a[1] * r_m + a[2] * r_m * r_m + a[3] * alpha + a[4] * alpha * alpha + a[5] * l +
           a[6] * l * l + a[7] * r_m * alpha + a[8] * r_m * l + a[9] * alpha * l;
}

gw_status gw_pulse_factors_at(double bore_radius_m, double diffusivity_m2_s, gw_pulse_factors *out,
                              gw_err *err)
{
    const double alpha_m2_day = diffusivity_m2_s * 86400.0;
    if (!(bore_radius_m >= 0.05 && bore_radius_m <= 0.1)) {
        return gw_fail(err, GW_ERR_RANGE, "bore_radius_m",
                       "the three-pulse factors hold for bore radii of 50 to 100 mm, found %.1f mm",
                       1000.0 * bore_radius_m);
    }
    if (!(alpha_m2_day >= 0.025 && alpha_m2_day <= 0.2)) {
        return gw_fail(err, GW_ERR_RANGE, "diffusivity_m2_s",
                       "the three-pulse factors hold for 0.025 to 0.2 m²/day, found %.4f",
                       alpha_m2_day);
    }
    *out = (gw_pulse_factors){.six_hours = correlation(SIX_HOURS, bore_radius_m, alpha_m2_day),
                              .one_month = correlation(ONE_MONTH, bore_radius_m, alpha_m2_day),
                              .ten_years = correlation(TEN_YEARS, bore_radius_m, alpha_m2_day)};
    return GW_OK;
}

gw_status gw_pulse_length(const gw_pulse_loads *loads, const gw_pulse_ground *ground,
                          double *length_m, gw_err *err)
{
    gw_pulse_factors f;
    const gw_status st =
        gw_pulse_factors_at(ground->bore_radius_m, ground->diffusivity_m2_s, &f, err);
    if (st != GW_OK) {
        return st;
    }
    const double k = ground->conductivity_w_mk;
    if (!(k > 0.0 && ground->bore_resistance_mk_w >= 0.0 && ground->penalty_k >= 0.0)) {
        return gw_fail(
            err, GW_ERR_RANGE, "conductivity_w_mk",
            "found conductivity %g W/(m·K), resistance %g m·K/W, expected above 0 and 0 or more", k,
            ground->bore_resistance_mk_w);
    }
    const double room_k = fabs(ground->fluid_degc - ground->ground_degc) - ground->penalty_k;
    if (!(room_k > 0.1)) {
        return gw_fail(err, GW_ERR_RANGE, "fluid_degc",
                       "ground at %.1f °C leaves no room to a fluid limit of %.1f °C",
                       ground->ground_degc, ground->fluid_degc);
    }
    const double heat_mk = loads->hour_w * (ground->bore_resistance_mk_w + f.six_hours / k) +
                           loads->month_w * f.one_month / k + loads->year_w * f.ten_years / k;
    *length_m = heat_mk / room_k;
    return GW_OK;
}
