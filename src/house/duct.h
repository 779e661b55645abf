// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What ducts outside the heated space add to a load.
//
// Delivery effectiveness of ASHRAE Standard 152 (steady, from memory): supply and return ducts in
// a space of one temperature, conduction by B = exp(-A/(C R)) and leakage as a share of the air.
// It knows no air that leakage draws into the house, no heat that the space gives back to the
// house, and no warming-up of the ducts at each start.
//
//   const gw_duct_run run = {.load_w = 9000, .indoor_degc = 21, .outdoor_degc = -16, .run_frac =
//   1}; extra_w = gw_duct_extra_w(&house.ducts, 1200.0, &run);
#ifndef GW_DUCT_H
#define GW_DUCT_H

#include "house/house.h"

typedef struct {
    double load_w;       // of the rooms: heating above 0, cooling below
    double indoor_degc;  //
    double outdoor_degc; //
    double run_frac;     // share of the hour that the fan runs, 0 to 1
} gw_duct_run;

// Exact: heat of the unit less load of the rooms, W (cooling likewise below 0). The unit's output
// never changes sign. air_j_m3k: heat of a cubic metre of air.
double gw_duct_extra_w(const gw_house_ducts *ducts, double air_j_m3k, const gw_duct_run *run);

// Share of the unit's output that reaches the rooms.
double gw_duct_delivery_frac(const gw_house_ducts *ducts, double air_j_m3k, const gw_duct_run *run);

#endif
