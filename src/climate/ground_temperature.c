// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "climate/ground_temperature.h"

#include <math.h>

#define PI 3.14159265358979323846
#define OMEGA_DAY (2.0 * PI / 365.0)
#define DAY_S 86400.0

gw_status gw_ground_climate_check(const gw_ground_climate *ground, gw_err *err)
{
    if (!(ground->mean_degc >= -20.0 && ground->mean_degc <= 30.0)) {
        return gw_fail(err, GW_ERR_RANGE, "mean_degc",
                       "yearly mean ground temperature %g must be -20 to 30 degC",
                       ground->mean_degc);
    }
    if (!(ground->amplitude_k >= 0.0 && ground->amplitude_k <= 40.0)) {
        return gw_fail(err, GW_ERR_RANGE, "amplitude_k",
                       "ground surface amplitude %g must be 0 to 40 K", ground->amplitude_k);
    }
    if (!(ground->phase_day >= 0.0 && ground->phase_day <= 365.0)) {
        return gw_fail(err, GW_ERR_RANGE, "phase_day",
                       "day of the minimum surface temperature %g must be 0 to 365",
                       ground->phase_day);
    }
    return GW_OK;
}

double gw_ground_damping_depth_m(double diffusivity_m2_s)
{
    return sqrt(diffusivity_m2_s * DAY_S * 365.0 / PI); // sqrt(2 D/omega)
}

double gw_ground_temperature_degc(const gw_ground_climate *ground, gw_depth_day point)
{
    const double x = point.depth_m / gw_ground_damping_depth_m(point.diffusivity_m2_s);
    return ground->mean_degc -
           ground->amplitude_k * exp(-x) * cos(OMEGA_DAY * (point.day - ground->phase_day) - x);
}

// -As e^-x cos(w t - (w t0 + x)) = Re(-As e^-x e^(-i(w t0 + x)) e^(i w t)).
gw_ground_wave gw_ground_wave_at(const gw_ground_climate *ground, double depth_m,
                                 double diffusivity_m2_s)
{
    const double x = depth_m / gw_ground_damping_depth_m(diffusivity_m2_s);
    const double size_k = -ground->amplitude_k * exp(-x);
    const double angle = OMEGA_DAY * ground->phase_day + x;
    return (gw_ground_wave){.real_k = size_k * cos(angle), .imag_k = -size_k * sin(angle)};
}

double gw_ground_wave_amplitude_k(gw_ground_wave wave)
{
    return hypot(wave.real_k, wave.imag_k);
}

double gw_ground_wave_minimum_day(gw_ground_wave wave)
{
    const double angle = atan2(wave.imag_k, -wave.real_k); // -A e^(-i w tmin)
    const double day = angle / OMEGA_DAY;
    return day < 0.0 ? day + 365.0 : day;
}

double gw_ground_wave_value_k(gw_ground_wave wave, double day)
{
    return wave.real_k * cos(OMEGA_DAY * day) - wave.imag_k * sin(OMEGA_DAY * day);
}

void gw_ground_fit_harmonic(const double hourly_degc[GW_HOURS_PER_YEAR], gw_ground_climate *out)
{
    double sum = 0.0;
    gw_ground_wave wave = {0};
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        const double angle = OMEGA_DAY * (h + 0.5) / 24.0;
        sum += hourly_degc[h];
        wave.real_k += hourly_degc[h] * cos(angle);
        wave.imag_k -= hourly_degc[h] * sin(angle);
    }
    wave.real_k *= 2.0 / GW_HOURS_PER_YEAR;
    wave.imag_k *= 2.0 / GW_HOURS_PER_YEAR;
    out->mean_degc = sum / GW_HOURS_PER_YEAR;
    out->amplitude_k = gw_ground_wave_amplitude_k(wave);
    out->phase_day = gw_ground_wave_minimum_day(wave);
}

gw_status gw_ground_climate_from_air(const double dry_bulb_degc[GW_HOURS_PER_YEAR], double offset_k,
                                     double amplitude_factor, gw_ground_climate *out, gw_err *err)
{
    if (!(offset_k >= -5.0 && offset_k <= 10.0)) {
        return gw_fail(err, GW_ERR_RANGE, "offset_k", "ground minus air %g must be -5 to 10 K",
                       offset_k);
    }
    if (!(amplitude_factor >= 0.2 && amplitude_factor <= 1.5)) {
        return gw_fail(err, GW_ERR_RANGE, "amplitude_factor",
                       "ground over air amplitude %g must be 0.2 to 1.5", amplitude_factor);
    }
    gw_ground_fit_harmonic(dry_bulb_degc, out);
    out->mean_degc += offset_k;
    out->amplitude_k *= amplitude_factor;
    return gw_ground_climate_check(out, err);
}
