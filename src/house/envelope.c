// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "house/envelope_priv.h"
#include "house/foundation.h"

#define SURFACE_OUTSIDE_M2K_W 0.04 // R_se
#define GLASS_ANGLE_FACTOR 0.9     // F_w, non-scattering glass (ISO 13790 11.4.2)
#define SKY_RADIATION_W_M2K 4.5    // h_r = 5 x emissivity 0.9 (ISO 13790 11.4.6)
#define SKY_DIFFERENCE_K 11.0      // between air and sky, intermediate zones (ISO 13790 11.4.6)
#define GROUND_ALBEDO 0.2

bool gw_house_priv_in_ground(gw_house_kind kind)
{
    return kind == GW_HOUSE_BASEMENT_WALL || kind == GW_HOUSE_BASEMENT_FLOOR ||
           kind == GW_HOUSE_SLAB;
}

bool gw_house_priv_is_light(gw_house_kind kind)
{
    return kind == GW_HOUSE_WINDOW || kind == GW_HOUSE_DOOR;
}

static bool sees_sky(gw_house_kind kind)
{
    return !gw_house_priv_in_ground(kind) && kind != GW_HOUSE_FLOOR_EXPOSED;
}

static bool has_attic(const gw_house_component *component)
{
    return component->attic.roof_area_m2 > 0.0;
}

// What: a ceiling below an attic that is neither heated nor cooled.
// Method: ISO 13789 (unconditioned space) without gains of its own: the heat balance of the attic,
//   H_iu (Ti - Ta) = H_ue (Ta - Te), gives H = H_iu H_ue/(H_iu + H_ue); H_ue is the roof's
//   conductance and its air. Sun on the roof passes the ceiling in the share H_iu/(H_iu + H_ue).
static double attic_outer_w_k(const gw_house_attic *attic)
{
    const double air_w_k =
        GW_HOUSE_PRIV_AIR_J_M3K * attic->air_changes_h * attic->volume_m3 / 3600.0;
    return attic->roof_area_m2 / attic->roof_insulation_m2k_w + air_w_k;
}

double gw_house_priv_ua_w_k(const gw_house_component *component)
{
    if (gw_house_priv_in_ground(component->kind)) {
        return 0.0;
    }
    const double own_w_k = component->area_m2 / component->insulation_m2k_w;
    if (!has_attic(component)) {
        return own_w_k;
    }
    const double outer_w_k = attic_outer_w_k(&component->attic);
    return own_w_k * outer_w_k / (own_w_k + outer_w_k);
}

// Conductance of the sunlit skin, times the share of what it takes up that comes inside.
static double skin_w_k(const gw_house_component *component)
{
    if (!has_attic(component)) {
        return gw_house_priv_ua_w_k(component);
    }
    const double roof_w_k = component->attic.roof_area_m2 / component->attic.roof_insulation_m2k_w;
    return roof_w_k * gw_house_priv_ua_w_k(component) / attic_outer_w_k(&component->attic);
}

double gw_house_priv_aperture_m2(const gw_house *house, const gw_house_component *component)
{
    if (!sees_sky(component->kind)) {
        return 0.0;
    }
    const double open = 1.0 - component->shading_frac;
    if (component->kind == GW_HOUSE_WINDOW) {
        return GLASS_ANGLE_FACTOR * component->solar_gain_frac * component->area_m2 * open;
    }
    return house->opaque_absorptance * SURFACE_OUTSIDE_M2K_W * skin_w_k(component) * open;
}

double gw_house_priv_sky_loss_w(const gw_house_component *component)
{
    if (!sees_sky(component->kind)) {
        return 0.0;
    }
    const double view = component->kind == GW_HOUSE_ROOF ? 1.0 : 0.5; // F_r
    return view * SURFACE_OUTSIDE_M2K_W * skin_w_k(component) * SKY_RADIATION_W_M2K *
           SKY_DIFFERENCE_K;
}

int gw_house_priv_surfaces(const gw_house_component *component, gw_surface out[4])
{
    if (component->kind == GW_HOUSE_ROOF) {
        out[0] = (gw_surface){.ground_albedo = GROUND_ALBEDO};
        return 1;
    }
    const int sides = component->facing_deg < 0.0 ? 4 : 1;
    for (int i = 0; i < sides; i++) {
        out[i] = (gw_surface){.facing_deg = sides == 4 ? 90.0 * i : component->facing_deg,
                              .tilt_deg = 90.0,
                              .ground_albedo = GROUND_ALBEDO};
    }
    return sides;
}

double gw_house_priv_opaque_air_w_k(const gw_house *house)
{
    double sum_w_k = 0.0;
    for (size_t i = 0; i < house->envelope_count; i++) {
        if (!gw_house_priv_is_light(house->envelope[i].kind)) {
            sum_w_k += gw_house_priv_ua_w_k(&house->envelope[i]);
        }
    }
    return sum_w_k;
}

gw_status gw_house_priv_zone(const gw_house *house, gw_zone *out, gw_err *err)
{
    double window_w_k = 0.0;
    for (size_t i = 0; i < house->envelope_count; i++) {
        if (gw_house_priv_is_light(house->envelope[i].kind)) {
            window_w_k += gw_house_priv_ua_w_k(&house->envelope[i]);
        }
    }
    const double floor_m2 = house->floor_area_m2;
    *out = (gw_zone){
        .floor_area_m2 = floor_m2,
        .mass_area_m2 = gw_house_mass_area_ratio(house->mass) * floor_m2,
        .capacity_j_k = gw_house_mass_capacity_j_m2k(house->mass) * floor_m2,
        .window_w_k = window_w_k,
        .opaque_w_k = gw_house_priv_opaque_air_w_k(house) + gw_foundation_total(house).steady_w_k,
    };
    const double most_w_k = gw_zone_mass_coupling_w_k(out);
    if (!(out->opaque_w_k < 0.9 * most_w_k)) {
        return gw_fail(err, GW_ERR_RANGE, "envelope",
                       "walls, roof and floors lose %.0f W/K, too much for a floor area of %.0f m2",
                       out->opaque_w_k, floor_m2);
    }
    if (!(out->window_w_k < most_w_k)) {
        return gw_fail(err, GW_ERR_RANGE, "envelope",
                       "windows and doors lose %.0f W/K, too much for a floor area of %.0f m2",
                       out->window_w_k, floor_m2);
    }
    return GW_OK;
}
