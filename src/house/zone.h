// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The one-mass room model of ISO 13790:2008 annex C: five conductances, one capacity, one hour.
//
// It knows nothing of houses or weather: conductances and gains in, temperatures and need out.
// Steady state without gains: need = (Ti - Te)(H_ve + 1/(1/H_is + 1/(H_w + H_op))).
//
//   double mass_degc = 20.0;
//   gw_zone_hour(&zone, &input, &mass_degc, &result);
#ifndef GW_ZONE_H
#define GW_ZONE_H

typedef struct {
    double floor_area_m2; // A_f
    double mass_area_m2;  // A_m
    double capacity_j_k;  // C_m
    double window_w_k;    // H_tr,w: windows and doors
    double opaque_w_k;    // H_tr,op: walls, roof, floors, ground
} gw_zone;

typedef struct {
    double ventilation_w_k; // H_ve
    double supply_degc;     // temperature of the air that H_ve brings
    double outdoor_degc;    // behind windows
    double opaque_degc;     // behind opaque parts (air and ground weighted)
    double internal_w;      // phi_int
    double solar_w;         // phi_sol
    double heating_degc;    // setpoints
    double cooling_degc;
    int free_float; // nonzero: no heating or cooling
} gw_zone_input;

typedef struct {
    double need_w; // heating positive, cooling negative
    double air_degc;
    double mass_degc; // mean over the hour
} gw_zone_result;

// Advances the mass temperature *mass_degc by one hour.
void gw_zone_hour(const gw_zone *zone, const gw_zone_input *input, double *mass_degc,
                  gw_zone_result *out);

// Conductance between mass and surfaces, H_tr,ms: opaque_w_k must stay below it.
double gw_zone_mass_coupling_w_k(const gw_zone *zone);

// Free-float decay ratio of the mass temperature over one hour, for checks.
double gw_zone_decay_ratio(const gw_zone *zone, double ventilation_w_k);

#endif
