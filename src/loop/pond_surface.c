// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Heat across the pond's surface, and stirring below it. Sources in docs/methods/loop-pond.md.
#include "loop/pond_priv.h"

#include "climate/solar.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double STEFAN_BOLTZMANN = 5.670374419e-8;
static const double EMISSIVITY = 0.97;
static const double TRANSFER = 1.3e-3;    // of heat and vapour, neutral air, wind at 10 m
static const double LEAST_WIND_M_S = 1.0; // still air rises by itself
static const double AIR_HEAT_J_KGK = 1006.0;
static const double EVAPORATE_J_KG = 2.48e6; // at 10 °C
static const double SUBLIME_J_KG = 2.83e6;
static const double ZERO_K = 273.15;

// Alduchov & Eskridge 1996.
static double saturation_pa(double degc)
{
    return 610.94 * exp(17.625 * degc / (243.04 + degc));
}

gw_pond_surface gw_pond_priv_surface(const gw_pond_air *air, double degc, bool ice)
{
    const double surface_k = degc + ZERO_K;
    const double wind_m_s = fmax(air->wind_m_s, LEAST_WIND_M_S);
    const double air_kg_m3 = air->pressure_pa / (287.05 * (air->air_degc + ZERO_K));
    const double exchange = air_kg_m3 * TRANSFER * wind_m_s;
    const double saturated_pa = saturation_pa(degc);
    const double slope_pa_k = saturated_pa * 17.625 * 243.04 / ((243.04 + degc) * (243.04 + degc));
    const double latent =
        exchange * (ice ? SUBLIME_J_KG : EVAPORATE_J_KG) * 0.622 / air->pressure_pa;
    const double emitted =
        EMISSIVITY * STEFAN_BOLTZMANN * surface_k * surface_k * surface_k * surface_k;
    return (gw_pond_surface){
        .longwave_w_m2 = EMISSIVITY * air->longwave_w_m2 - emitted,
        .d_longwave_w_m2k = -4.0 * emitted / surface_k,
        .evaporation_w_m2 = latent * (air->vapour_pa - saturated_pa),
        .d_evaporation_w_m2k = -latent * slope_pa_k,
        .convection_w_m2 = exchange * AIR_HEAT_J_KGK * (air->air_degc - degc),
        .d_convection_w_m2k = -exchange * AIR_HEAT_J_KGK,
    };
}

void gw_pond_priv_clearness(const gw_weather *weather, double out[static GW_DAYS_PER_YEAR])
{
    double last = 0.7; // for days without sun at high latitude
    for (size_t day = 0; day < GW_DAYS_PER_YEAR; day++) {
        double sun_j_m2 = 0.0;
        for (size_t h = 0; h < 24; h++) {
            sun_j_m2 += 3600.0 * weather->global_horizontal_w_m2[24 * day + h];
        }
        const double above_j_m2 =
            gw_solar_daily_extraterrestrial_j_m2(weather->latitude_deg, (double)day);
        if (above_j_m2 > 1e6) {
            const double clear_j_m2 = (0.75 + 2e-5 * weather->elevation_m) * above_j_m2; // FAO-56
            last = fmin(fmax(sun_j_m2 / clear_j_m2, 0.0), 1.0);
        }
        out[day] = last;
    }
}

gw_pond_air gw_pond_priv_air(const gw_weather *weather, size_t hour, double clearness)
{
    const double air_degc = weather->dry_bulb_degc[hour];
    const double air_k = air_degc + ZERO_K;
    const double vapour_pa = saturation_pa(weather->dew_point_degc[hour]);
    // Clear sky by Brutsaert 1975 (vapour in hPa), clouds by Crawford & Duchon 1999.
    const double clear = 1.24 * pow(0.01 * vapour_pa / air_k, 1.0 / 7.0);
    const double emissivity = fmin((1.0 - clearness) + clearness * clear, 1.0);
    return (gw_pond_air){
        .air_degc = air_degc,
        .vapour_pa = vapour_pa,
        .wind_m_s = weather->wind_m_s[hour],
        .sun_w_m2 = weather->global_horizontal_w_m2[hour],
        .longwave_w_m2 = emissivity * STEFAN_BOLTZMANN * air_k * air_k * air_k * air_k,
        .pressure_pa = 101325.0 * gw_weather_pressure_ratio(weather->elevation_m),
    };
}

gw_pond_stirring gw_pond_priv_stirring(double wind_10m_m_s, double latitude_deg, bool ice)
{
    const double wind_m_s = fmax(0.8 * wind_10m_m_s, 0.1); // at 2 m: log profile over water
    return (gw_pond_stirring){.friction_m_s = 0.0012 * wind_m_s,
                              .decay_1_m = 6.6 * sqrt(fabs(sin(latitude_deg * PI / 180.0))) *
                                           pow(wind_m_s, -1.84),
                              .ice = ice};
}

double gw_pond_priv_diffusivity_m2_s(const gw_pond_stirring *stirring, gw_pond_place at)
{
    static const double VON_KARMAN = 0.4, MOLECULAR_M2_S = 1.37e-7;
    static const double LEAST_N2 = 7.5e-5, MOST_BACKGROUND_M2_S = 6.176707e-7; // Fang & Stefan 1996
    const double background = at.stability_s2 > LEAST_N2
                                  ? 1.04e-8 * pow(at.stability_s2, -0.43)
                                  : MOST_BACKGROUND_M2_S; // the same at the least N²
    const double reach = stirring->decay_1_m * at.depth_m;
    if (stirring->ice || reach > 20.0) {
        return MOLECULAR_M2_S + background;
    }
    const double stable = fmax(at.stability_s2, 0.0);
    const double fade = exp(-reach);
    const double ratio = VON_KARMAN * at.depth_m / (stirring->friction_m_s * fade);
    const double richardson = (sqrt(1.0 + 40.0 * stable * ratio * ratio) - 1.0) / 20.0;
    const double eddy = VON_KARMAN * stirring->friction_m_s * at.depth_m * fade /
                        (1.0 + 37.0 * richardson * richardson);
    return MOLECULAR_M2_S + background + eddy;
}
