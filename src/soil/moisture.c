// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "soil/moisture.h"

#include <math.h>

static const double GRAIN_KG_M3 = 2700.0;
static const double WATER_KG_M3 = 1000.0;
static const double GRAIN_J_KGK = 710.0; // UFC 3-130-06: 0.17 Btu/lb°F
static const double WATER_J_KGK = 4187.0;
static const double ICE_J_KGK = 2094.0;       // UFC 3-130-06: 0.5 Btu/lb°F
static const double FUSION_J_KG = 334000.0;   // UFC 3-130-06: 144 Btu/lb
static const double WATER_W_MK = 0.57;        // Johansen 1975
static const double ICE_W_MK = 2.2;           // Johansen 1975
static const double QUARTZ_W_MK = 7.7;        // Johansen 1975
static const double KERSTEN_W_MK = 0.1442279; // 1 Btu·in/(h·ft²·°F)
static const double LB_FT3_KG_M3 = 16.018463373960142;

double gw_soil_porosity_frac(double dry_density_kg_m3)
{
    return 1.0 - dry_density_kg_m3 / GRAIN_KG_M3;
}

double gw_soil_saturation_frac(const gw_soil_moist *moist)
{
    const double water_frac = moist->dry_density_kg_m3 * moist->moisture_frac / WATER_KG_M3;
    return water_frac / gw_soil_porosity_frac(moist->dry_density_kg_m3);
}

double gw_soil_heat_unfrozen_j_m3k(double dry_density_kg_m3, double moisture_frac)
{
    return dry_density_kg_m3 * (GRAIN_J_KGK + WATER_J_KGK * moisture_frac);
}

double gw_soil_heat_frozen_j_m3k(double dry_density_kg_m3, double moisture_frac)
{
    return dry_density_kg_m3 * (GRAIN_J_KGK + ICE_J_KGK * moisture_frac);
}

double gw_soil_latent_j_m3(double dry_density_kg_m3, double moisture_frac)
{
    return FUSION_J_KG * dry_density_kg_m3 * moisture_frac;
}

static gw_status check_moist(const gw_soil_moist *moist, gw_err *err)
{
    const double rho = moist->dry_density_kg_m3;
    if (!(rho >= 800.0 && rho <= 2200.0)) {
        return gw_fail(err, GW_ERR_RANGE, "dry_density_kg_m3",
                       "dry density %.0f kg/m3 must be 800 to 2200 kg/m3", rho);
    }
    if (!(moist->moisture_frac >= 0.0 && moist->moisture_frac <= 1.0)) {
        return gw_fail(err, GW_ERR_RANGE, "moisture_frac",
                       "moisture %.3f kg/kg must be 0 to saturation", moist->moisture_frac);
    }
    // Density and moisture are measured to about a per cent: half of one over saturation passes.
    const double saturation = gw_soil_saturation_frac(moist);
    if (!(saturation <= 1.005)) {
        return gw_fail(err, GW_ERR_RANGE, "moisture_frac",
                       "moisture %.3f kg/kg is %.2f times what the pores at %.0f kg/m3 hold",
                       moist->moisture_frac, saturation, rho);
    }
    return GW_OK;
}

// Johansen's normalised conductivity of unfrozen soil by saturation.
static double kersten_number(double saturation, gw_soil_texture texture)
{
    const double factor = texture == GW_SOIL_COARSE ? 0.7 : 1.0;
    const double least = texture == GW_SOIL_COARSE ? 0.05 : 0.1;
    if (saturation < least) {
        return (factor * log10(least) + 1.0) * saturation / least;
    }
    return factor * log10(saturation) + 1.0;
}

gw_status gw_soil_johansen(const gw_soil_moist *moist, gw_soil_conductivity *out, gw_err *err)
{
    const gw_status st = check_moist(moist, err);
    if (st != GW_OK) {
        return st;
    }
    const double quartz = moist->quartz_frac;
    if (!(quartz >= 0.0 && quartz <= 1.0)) {
        return gw_fail(err, GW_ERR_RANGE, "quartz_frac", "quartz share %.3f must be 0 to 1",
                       quartz);
    }
    const double rho = moist->dry_density_kg_m3;
    const double pores = gw_soil_porosity_frac(rho);
    const double saturation = fmin(gw_soil_saturation_frac(moist), 1.0);
    const double dry_w_mk = (0.135 * rho + 64.7) / (GRAIN_KG_M3 - 0.947 * rho);
    const double other_w_mk = quartz > 0.2 ? 2.0 : 3.0;
    const double solids_w_mk = pow(QUARTZ_W_MK, quartz) * pow(other_w_mk, 1.0 - quartz);
    const double solids_part = pow(solids_w_mk, 1.0 - pores);
    const double wet_w_mk = solids_part * pow(WATER_W_MK, pores);
    const double icy_w_mk = solids_part * pow(ICE_W_MK, pores);
    const double ke = kersten_number(saturation, moist->texture);
    out->unfrozen_w_mk = (wet_w_mk - dry_w_mk) * ke + dry_w_mk;
    out->frozen_w_mk = (icy_w_mk - dry_w_mk) * saturation + dry_w_mk;
    return GW_OK;
}

gw_status gw_soil_kersten(const gw_soil_moist *moist, gw_soil_conductivity *out, gw_err *err)
{
    const gw_status st = check_moist(moist, err);
    if (st != GW_OK) {
        return st;
    }
    const double w_percent = 100.0 * moist->moisture_frac;
    const double gamma = moist->dry_density_kg_m3 / LB_FT3_KG_M3; // lb/ft³
    const double least = moist->texture == GW_SOIL_COARSE ? 1.0 : 7.0;
    if (!(w_percent >= least)) {
        return gw_fail(err, GW_ERR_RANGE, "moisture_frac",
                       "moisture %.3f kg/kg is below the %.2f of Kersten's equations",
                       moist->moisture_frac, least / 100.0);
    }
    if (moist->texture == GW_SOIL_COARSE) {
        out->unfrozen_w_mk =
            KERSTEN_W_MK * (0.7 * log10(w_percent) + 0.4) * pow(10.0, 0.01 * gamma);
        out->frozen_w_mk = KERSTEN_W_MK * (0.076 * pow(10.0, 0.013 * gamma) +
                                           0.032 * pow(10.0, 0.0146 * gamma) * w_percent);
    } else {
        out->unfrozen_w_mk =
            KERSTEN_W_MK * (0.9 * log10(w_percent) - 0.2) * pow(10.0, 0.01 * gamma);
        out->frozen_w_mk = KERSTEN_W_MK * (0.01 * pow(10.0, 0.022 * gamma) +
                                           0.085 * pow(10.0, 0.008 * gamma) * w_percent);
    }
    return GW_OK;
}

gw_status gw_soil_from_moisture(const gw_soil_moist *moist, gw_soil *out, gw_err *err)
{
    gw_soil_conductivity k;
    const gw_status st = gw_soil_johansen(moist, &k, err);
    if (st != GW_OK) {
        return st;
    }
    const double rho = moist->dry_density_kg_m3;
    const double w = moist->moisture_frac;
    *out = (gw_soil){
        .conductivity_w_mk = k.unfrozen_w_mk,
        .volumetric_heat_j_m3k = gw_soil_heat_unfrozen_j_m3k(rho, w),
        .frozen_conductivity_w_mk = k.frozen_w_mk,
        .frozen_volumetric_heat_j_m3k = gw_soil_heat_frozen_j_m3k(rho, w),
        .latent_heat_j_m3 = gw_soil_latent_j_m3(rho, w),
    };
    return GW_OK;
}
