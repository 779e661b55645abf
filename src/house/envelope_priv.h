// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Shared by design_load.c and hourly_load.c: an envelope turned into the zone's conductances and
// into solar collecting areas. ISO 13790:2008 clause 11 for the sun on windows and opaque parts.
#ifndef GW_HOUSE_ENVELOPE_PRIV_H
#define GW_HOUSE_ENVELOPE_PRIV_H

#include "climate/solar.h"
#include "house/house.h"
#include "house/zone.h"

#include <stdbool.h>

#define GW_HOUSE_PRIV_AIR_J_M3K 1200.0 // heat of a cubic metre of air at sea level

bool gw_house_priv_in_ground(gw_house_kind kind);
bool gw_house_priv_is_light(gw_house_kind kind); // windows and doors: no mass

// Conductance to outside air in W/K (0 for ground components).
double gw_house_priv_ua_w_k(const gw_house_component *component);

// Area that would let in the same sun with no loss, m2: windows F_w g A (1 - shading), opaque
// parts absorptance R_se U A (1 - shading). 0 where the sun does not come.
double gw_house_priv_aperture_m2(const gw_house *house, const gw_house_component *component);

// Heat radiated to the cold sky, W: F_r R_se U A h_r 11 K.
double gw_house_priv_sky_loss_w(const gw_house_component *component);

// Surfaces that see the sun: facing and tilt; `sides` of them (1, or 4 when spread evenly).
int gw_house_priv_surfaces(const gw_house_component *component, gw_surface out[4]);

// The zone of ISO 13790; ground conductance included in opaque_w_k.
// Errors: GW_ERR_RANGE when the opaque parts lose more than the mass can pass on.
gw_status gw_house_priv_zone(const gw_house *house, gw_zone *out, gw_err *err);

// Sum of conductances of opaque parts to outside air.
double gw_house_priv_opaque_air_w_k(const gw_house *house);

#endif
