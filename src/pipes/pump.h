// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Pump power and its grade, operating point on a pump curve, flow and temperature drop.
//
// It holds no pump products. Power = flow × pressure / wire-to-water efficiency.
//
//   gw_pipes_pump_power_w(&(gw_pump_duty){.flow_m3_s = 0.6e-3, .pressure_pa = 90e3,
//                                         .wire_to_water_frac = 0.3});       // 180 W
#ifndef GW_PIPES_PUMP_H
#define GW_PIPES_PUMP_H

#include "base/err.h"

#include <stddef.h>

// Small circulators turn about a quarter to a third of their power into flow work: the 0.3 of
// ISO 13256-1 for the unit's own pump term.
#define GW_PIPES_WIRE_TO_WATER_DEFAULT 0.30

typedef struct {
    double flow_m3_s;
    double pressure_pa;
    double wire_to_water_frac; // 0.05 to 0.9
} gw_pump_duty;

double gw_pipes_hydraulic_power_w(const gw_pump_duty *duty);
double gw_pipes_pump_power_w(const gw_pump_duty *duty);

// Pump input per refrigeration ton of heat-pump capacity, graded after S. Kavanaugh and
// K. Rafferty, Geothermal Heating and Cooling, ASHRAE 2014 (from memory): A to 50, B to 75, C to
// 100, D to 150 W/ton, F above.
typedef struct {
    double w_per_ton;
    double w_per_kw;
    char grade; // 'A', 'B', 'C', 'D', 'F'
} gw_pump_grade;

gw_pump_grade gw_pipes_grade_pump(double pump_w, double capacity_w);

// A pump curve: flow strictly rising, head not rising; 2 or more points, linear between them.
typedef struct {
    const double *flow_m3_s;
    const double *head_m;
    size_t count;
} gw_pump_curve;

// Where the pump meets a system that needs design_head_m at design_flow_m3_s and goes with flow to
// the power `exponent` (2 fully rough, 1.75 smooth turbulent, 1 laminar).
typedef struct {
    double design_flow_m3_s;
    double design_head_m;
    double exponent;
} gw_pump_system;

typedef struct {
    double flow_m3_s;
    double head_m;
} gw_pump_point;

// Errors: GW_ERR_RANGE (curve), GW_ERR_CAPACITY (the curves do not cross within the pump's range).
gw_status gw_pipes_operating_point(const gw_pump_curve *pump, const gw_pump_system *system,
                                   gw_pump_point *out, gw_err *err) GW_MUST_USE;

// Loop flow and temperature drop: heat = flow × ρ × cp × drop.
typedef struct {
    double heat_w;
    double density_kg_m3;
    double specific_heat_j_kgk;
} gw_loop_heat;

double gw_pipes_flow_for_drop_m3_s(const gw_loop_heat *loop, double drop_k);
double gw_pipes_drop_for_flow_k(const gw_loop_heat *loop, double flow_m3_s);

// Rule of thumb: 3 US gallons a minute per refrigeration ton (common practice), m³/s for watts.
double gw_pipes_nominal_flow_m3_s(double capacity_w);

#endif
