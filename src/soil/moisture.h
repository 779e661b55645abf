// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Conductivity, heat capacity and latent heat of soil from dry density and water content.
//
// It does not model moisture movement, unfrozen water below 0 °C, or organic soils.
//
// Methods: Johansen 1975 (CRREL Draft Translation 637) and Kersten 1949 (University of Minnesota
// Bulletin 28), equations from memory; heat capacity and latent heat by weight of water as in
// UFC 3-130-06. Kersten's regressions carry ± 25 % by his own account and over-read above
// saturation; Johansen's root-mean-square error is 0.07 to 0.20 W/mK (Lu and others 2007).
//
//   gw_soil_moist moist = {.dry_density_kg_m3 = 1620, .moisture_frac = 0.12,
//                          .quartz_frac = 0.6, .texture = GW_SOIL_COARSE};
//   st = gw_soil_johansen(&moist, &k, err);
#ifndef GW_SOIL_MOISTURE_H
#define GW_SOIL_MOISTURE_H

#include "base/err.h"
#include "soil/soil.h"

typedef enum { GW_SOIL_COARSE, GW_SOIL_FINE } gw_soil_texture;

typedef struct {
    double dry_density_kg_m3; // 800 to 2200
    double moisture_frac;     // kg water per kg dry soil, 0 to saturation
    double quartz_frac;       // of the solids, 0 to 1; Johansen only
    gw_soil_texture texture;
} gw_soil_moist;

typedef struct {
    double unfrozen_w_mk;
    double frozen_w_mk;
} gw_soil_conductivity;

// Share of the pores filled with water, grains of 2700 kg/m3 and water of 1000 kg/m3.
double gw_soil_saturation_frac(const gw_soil_moist *moist);
double gw_soil_porosity_frac(double dry_density_kg_m3);

// Johansen 1975. Below the least saturation of his normalised conductivity (0.05 coarse, 0.1
// fine) the unfrozen value is joined linearly to the dry one.
// Errors: GW_ERR_RANGE; a saturation over 1 is refused.
gw_status gw_soil_johansen(const gw_soil_moist *moist, gw_soil_conductivity *out,
                           gw_err *err) GW_MUST_USE;

// Kersten 1949: sand for GW_SOIL_COARSE (moisture ≥ 0.01), silt and clay for GW_SOIL_FINE
// (moisture ≥ 0.07); drier soil is refused, as he gives no equation for it.
gw_status gw_soil_kersten(const gw_soil_moist *moist, gw_soil_conductivity *out,
                          gw_err *err) GW_MUST_USE;

// Volumetric heat capacity, dry grains 710 J/kgK with water of 4187 or ice of 2094 J/kgK.
double gw_soil_heat_unfrozen_j_m3k(double dry_density_kg_m3, double moisture_frac);
double gw_soil_heat_frozen_j_m3k(double dry_density_kg_m3, double moisture_frac);

// Latent heat of all the water in the soil, 334 kJ per kg.
double gw_soil_latent_j_m3(double dry_density_kg_m3, double moisture_frac);

// All five numbers of a soil by Johansen and the formulas above.
gw_status gw_soil_from_moisture(const gw_soil_moist *moist, gw_soil *out, gw_err *err) GW_MUST_USE;

#endif
