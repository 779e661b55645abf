// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the pond: what crosses the surface, and the column of water.
#ifndef GW_LOOP_POND_PRIV_H
#define GW_LOOP_POND_PRIV_H

#include "loop/pond.h"

#define GW_POND_HEAT_J_M3K 4.2e6   // water of 0 to 25 °C, within 0.5 %
#define GW_POND_LATENT_J_M3 3.06e8 // ice: 917 kg/m³ × 333.6 kJ/kg

// Air and sun of one hour.
typedef struct {
    double air_degc;
    double vapour_pa;
    double wind_m_s;
    double sun_w_m2;      // on the level surface
    double longwave_w_m2; // from the sky
    double pressure_pa;
} gw_pond_air;

// Longwave, evaporation and convection into a surface, and their slopes with its temperature.
typedef struct {
    double longwave_w_m2, d_longwave_w_m2k;
    double evaporation_w_m2, d_evaporation_w_m2k;
    double convection_w_m2, d_convection_w_m2k;
} gw_pond_surface;

gw_pond_surface gw_pond_priv_surface(const gw_pond_air *air, double surface_degc, bool ice);

// Share of clear-sky sun on each of the 365 days, 0 to 1.
void gw_pond_priv_clearness(const gw_weather *weather, double out[static GW_DAYS_PER_YEAR]);

gw_pond_air gw_pond_priv_air(const gw_weather *weather, size_t hour, double clearness);

// Wind-driven stirring of one hour (Henderson-Sellers 1985): friction velocity w* and decay k*.
typedef struct {
    double friction_m_s;
    double decay_1_m;
    bool ice; // no wind below it
} gw_pond_stirring;

gw_pond_stirring gw_pond_priv_stirring(double wind_10m_m_s, double latitude_deg, bool ice);

// Wind-driven, background and molecular diffusivity at a depth; N² of the water there.
typedef struct {
    double depth_m;
    double stability_s2;
} gw_pond_place;

double gw_pond_priv_diffusivity_m2_s(const gw_pond_stirring *stirring, gw_pond_place at);

#endif
