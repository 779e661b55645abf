// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Air leakage of a house: the LBL model (Sherman & Grimsrud 1980) with the stack and wind
// coefficients of the ASHRAE Handbook of Fundamentals, and the step from a blower-door test.
//
// Q = A_L sqrt(C_s dT + C_w U^2). One zone; storeys 1 to 3; shelter classes 1 to 5. A test at
// 50 Pa is brought to 4 Pa with the exponent 0.65. Not for tall buildings or strong fans.
#ifndef GW_INFILTRATION_H
#define GW_INFILTRATION_H

#include "house/house.h"

typedef struct {
    double leakage_area_m2; // effective, at 4 Pa
    int storeys;            // 1 to 3
    int shelter_class;      // 1 to 5
} gw_infiltration_house;

// Effective leakage area at 4 Pa from air changes at 50 Pa and volume.
double gw_infiltration_leakage_area_m2(double ach50, double volume_m3);

double gw_infiltration_m3_s(gw_infiltration_house house, double difference_k, double wind_m_s);

// The house's own leakage at an indoor-outdoor difference (sign ignored) and wind; a natural rate
// given directly is returned as it stands.
double gw_infiltration_of_house_m3_s(const gw_house *house, double difference_k, double wind_m_s);

#endif
