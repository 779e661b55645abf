// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "house/infiltration.h"

#include <math.h>

#define EXPONENT 0.65
#define AIR_KG_M3 1.2
#define TEST_PA 50.0
#define REFERENCE_PA 4.0

// Coefficients for A_L in cm2 and Q in L/s (ASHRAE Handbook of Fundamentals, basic model).
static const double stack[3] = {0.000145, 0.000290, 0.000435}; // (L/s)2/(cm4 K), by storeys
static const double wind[3][5] = {                             // (L/s)2/(cm4 (m/s)2)
    {0.000319, 0.000246, 0.000174, 0.000104, 0.000032},
    {0.000420, 0.000325, 0.000231, 0.000137, 0.000042},
    {0.000494, 0.000382, 0.000271, 0.000161, 0.000049}};

// Flow at 4 Pa by the power law, through an opening of discharge coefficient 1: A = Q/sqrt(2
// p/rho).
double gw_infiltration_leakage_area_m2(double ach50, double volume_m3)
{
    const double flow_50_m3_s = ach50 * volume_m3 / 3600.0;
    const double flow_4_m3_s = flow_50_m3_s * pow(REFERENCE_PA / TEST_PA, EXPONENT);
    return flow_4_m3_s / sqrt(2.0 * REFERENCE_PA / AIR_KG_M3);
}

double gw_infiltration_m3_s(gw_infiltration_house house, double difference_k, double wind_m_s)
{
    const double c_stack = stack[house.storeys - 1];
    const double c_wind = wind[house.storeys - 1][house.shelter_class - 1];
    const double area_cm2 = 1e4 * house.leakage_area_m2;
    const double flow_l_s =
        area_cm2 * sqrt(c_stack * fabs(difference_k) + c_wind * wind_m_s * wind_m_s);
    return flow_l_s / 1000.0;
}

double gw_infiltration_of_house_m3_s(const gw_house *house, double difference_k, double wind_m_s)
{
    const double volume_m3 = gw_house_volume_m3(house);
    if (house->leakage.kind == GW_HOUSE_LEAKAGE_NATURAL) {
        return house->leakage.natural_ach * volume_m3 / 3600.0;
    }
    const gw_infiltration_house leaky = {
        .leakage_area_m2 = gw_infiltration_leakage_area_m2(gw_house_ach50(house), volume_m3),
        .storeys = house->storeys,
        .shelter_class = house->leakage.shelter_class,
    };
    return gw_infiltration_m3_s(leaky, difference_k, wind_m_s);
}
