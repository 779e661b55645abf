// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Plain water at atmospheric pressure, private to the room.
#ifndef GW_FLUID_WATER_PRIV_H
#define GW_FLUID_WATER_PRIV_H

#include "fluid/fluid.h"

// 0 to 100 °C (the caller checks); density 1e-5, specific heat 1e-4, viscosity and conductivity
// within the 1 to 2 % uncertainty IAPWS states, and 1e-6 of the published check values.
void gw_fluid_priv_water(double temp_degc, gw_fluid_props *out);

#endif
