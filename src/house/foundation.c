// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "house/foundation.h"

#include <math.h>

#define PI 3.14159265358979323846
#define WALL_THICKNESS_M 0.3
#define SOIL_CAPACITY_J_M3K 2.5e6 // between the standard's clay (3.0e6) and sand (2.0e6)
#define YEAR_S 3.15e7             // as the standard rounds it
#define LAG_DAY (365.0 / 12.0)    // of the heat flow behind the outdoor air: one month

double gw_foundation_floor_thickness_m(gw_foundation_floor floor)
{
    return floor.wall_thickness_m + floor.soil_conductivity_w_mk * floor.resistance_m2k_w;
}

// What: transmittance of a slab on ground, or of the floor of a heated basement.
// Method: ISO 13370, characteristic dimension B' = A/(P/2); d = d_t + z/2;
//   d < B': U = 2 l/(pi B' + d) ln(pi B'/d + 1), else U = l/(0.457 B' + d).
double gw_foundation_floor_u_w_m2k(gw_foundation_floor floor)
{
    const double lambda = floor.soil_conductivity_w_mk;
    const double b_m = floor.area_m2 / (0.5 * floor.perimeter_m);
    const double d_m = gw_foundation_floor_thickness_m(floor) + 0.5 * floor.depth_m;
    if (d_m < b_m) {
        return 2.0 * lambda / (PI * b_m + d_m) * log(PI * b_m / d_m + 1.0);
    }
    return lambda / (0.457 * b_m + d_m);
}

// U = 2 l/(pi z) (1 + 0.5 d_t/(d_t + z)) ln(z/d_w + 1); d_t of the floor, or d_w when smaller.
double gw_foundation_wall_u_w_m2k(gw_foundation_wall wall)
{
    const double lambda = wall.soil_conductivity_w_mk;
    const double z_m = wall.depth_m;
    const double d_w_m = lambda * wall.resistance_m2k_w;
    const double d_t_m = wall.floor_thickness_m > 0.0 ? fmin(wall.floor_thickness_m, d_w_m) : d_w_m;
    return 2.0 * lambda / (PI * z_m) * (1.0 + 0.5 * d_t_m / (d_t_m + z_m)) * log(z_m / d_w_m + 1.0);
}

// ---- Yearly wave --------------------------------------------------------------------------------

static double periodic_depth_m(double lambda)
{
    return sqrt(YEAR_S * lambda / (PI * SOIL_CAPACITY_J_M3K));
}

// Annex A: H_pe = 0.37 P l ln(delta/d_t + 1) for a slab; for a basement the floor has the factor
// exp(-z/delta) and the wall 2 (1 - exp(-z/delta)) ln(delta/d_w + 1).
double gw_foundation_floor_periodic_w_k(gw_foundation_floor floor)
{
    const double delta_m = periodic_depth_m(floor.soil_conductivity_w_mk);
    return 0.37 * floor.perimeter_m * floor.soil_conductivity_w_mk * exp(-floor.depth_m / delta_m) *
           log(delta_m / gw_foundation_floor_thickness_m(floor) + 1.0);
}

double gw_foundation_wall_periodic_w_k(gw_foundation_wall wall, double perimeter_m)
{
    const double delta_m = periodic_depth_m(wall.soil_conductivity_w_mk);
    const double d_w_m = wall.soil_conductivity_w_mk * wall.resistance_m2k_w;
    return 0.37 * perimeter_m * wall.soil_conductivity_w_mk * 2.0 *
           (1.0 - exp(-wall.depth_m / delta_m)) * log(delta_m / d_w_m + 1.0);
}

// ---- Components of a house ----------------------------------------------------------------------

static gw_foundation_floor floor_of(const gw_house *house, const gw_house_component *c)
{
    return (gw_foundation_floor){
        .area_m2 = c->area_m2,
        .perimeter_m = c->perimeter_m,
        .depth_m = c->kind == GW_HOUSE_SLAB ? 0.0 : c->depth_m,
        .wall_thickness_m = WALL_THICKNESS_M,
        .resistance_m2k_w = c->insulation_m2k_w,
        .soil_conductivity_w_mk = house->soil_conductivity_w_mk,
    };
}

// The wall's U needs the floor beside it: the first basement floor of the house.
static double basement_floor_thickness_m(const gw_house *house)
{
    for (size_t i = 0; i < house->envelope_count; i++) {
        if (house->envelope[i].kind == GW_HOUSE_BASEMENT_FLOOR) {
            return gw_foundation_floor_thickness_m(floor_of(house, &house->envelope[i]));
        }
    }
    return 0.0;
}

gw_foundation_loss gw_foundation_component(const gw_house *house, size_t index)
{
    const gw_house_component *const c = &house->envelope[index];
    if (c->kind == GW_HOUSE_SLAB || c->kind == GW_HOUSE_BASEMENT_FLOOR) {
        const gw_foundation_floor floor = floor_of(house, c);
        return (gw_foundation_loss){
            .steady_w_k = c->area_m2 * gw_foundation_floor_u_w_m2k(floor),
            .periodic_w_k = gw_foundation_floor_periodic_w_k(floor),
        };
    }
    if (c->kind == GW_HOUSE_BASEMENT_WALL) {
        const gw_foundation_wall wall = {
            .depth_m = c->depth_m,
            .resistance_m2k_w = c->insulation_m2k_w,
            .floor_thickness_m = basement_floor_thickness_m(house),
            .soil_conductivity_w_mk = house->soil_conductivity_w_mk,
        };
        return (gw_foundation_loss){
            .steady_w_k = c->area_m2 * gw_foundation_wall_u_w_m2k(wall),
            .periodic_w_k = gw_foundation_wall_periodic_w_k(wall, c->area_m2 / c->depth_m),
        };
    }
    return (gw_foundation_loss){0};
}

gw_foundation_loss gw_foundation_total(const gw_house *house)
{
    gw_foundation_loss total = {0};
    for (size_t i = 0; i < house->envelope_count; i++) {
        const gw_foundation_loss one = gw_foundation_component(house, i);
        total.steady_w_k += one.steady_w_k;
        total.periodic_w_k += one.periodic_w_k;
    }
    return total;
}

// Heat flow to the ground = H (Ti - Te,mean) + H_pe amplitude cos(omega (t - t_coldest - lag)).
double gw_foundation_sink_degc(gw_foundation_loss loss, gw_foundation_air air, double day)
{
    if (!(loss.steady_w_k > 0.0)) {
        return air.air_mean_degc;
    }
    const double wave = cos(2.0 * PI / 365.0 * (day - air.coldest_day - LAG_DAY));
    return air.air_mean_degc - loss.periodic_w_k / loss.steady_w_k * air.air_amplitude_k * wave;
}
