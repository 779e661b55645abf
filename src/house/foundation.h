// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Heat loss to the ground through slabs and heated basements, ISO 13370.
//
// Steady part by the equivalent thickness method; yearly part by the periodic coefficients of the
// standard's annex (damping depth of the ground, lag of one month). It knows no edge insulation,
// suspended floors or ground water. Neighbouring loops are not seen.
//
//   U = gw_foundation_slab_u_w_m2k((gw_foundation_floor){.area_m2 = 80, .perimeter_m = 36, …});
#ifndef GW_FOUNDATION_H
#define GW_FOUNDATION_H

#include "base/err.h"
#include "house/house.h"

typedef struct {
    double area_m2;
    double perimeter_m;            // exposed outline
    double depth_m;                // of the floor below grade; 0 for a slab
    double wall_thickness_m;       // at grade, 0.3 usual
    double resistance_m2k_w;       // of the floor, films and soil surface included
    double soil_conductivity_w_mk; //
} gw_foundation_floor;

typedef struct {
    double depth_m;
    double resistance_m2k_w;       // of the wall, films included
    double floor_thickness_m;      // equivalent thickness d_t of the floor; 0 = none known
    double soil_conductivity_w_mk; //
} gw_foundation_wall;

// Equivalent thickness d_t = w + lambda R.
double gw_foundation_floor_thickness_m(gw_foundation_floor floor);

// Transmittance of slab (depth 0) or basement floor, and of a basement wall (ISO 13370 eqs for
// slab on ground and heated basement), W/(m2·K).
double gw_foundation_floor_u_w_m2k(gw_foundation_floor floor);
double gw_foundation_wall_u_w_m2k(gw_foundation_wall wall);

// External periodic coefficient, W/K per kelvin of the yearly swing of outdoor air.
double gw_foundation_floor_periodic_w_k(gw_foundation_floor floor);
double gw_foundation_wall_periodic_w_k(gw_foundation_wall wall, double perimeter_m);

// All ground components of a house together.
typedef struct {
    double steady_w_k;   // per kelvin between indoor and yearly mean outdoor temperature
    double periodic_w_k; // per kelvin of outdoor amplitude; the peak is one month after the air's
} gw_foundation_loss;
gw_foundation_loss gw_foundation_component(const gw_house *house, size_t index);
gw_foundation_loss gw_foundation_total(const gw_house *house);

// Outdoor temperature that would give the ground's heat flow through steady_w_k alone.
// day: of the year; coldest_day: of the outdoor air's yearly wave.
typedef struct {
    double air_mean_degc;
    double air_amplitude_k;
    double coldest_day;
} gw_foundation_air;
double gw_foundation_sink_degc(gw_foundation_loss loss, gw_foundation_air air, double day);

#endif
