// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "pipes/pump.h"

#include <math.h>
#include <stdbool.h>

#define WATTS_PER_TON 3516.8528420667 // 12,000 Btu/h
#define M3_S_PER_GPM 6.30901964e-5    // US gallon a minute

double gw_pipes_hydraulic_power_w(const gw_pump_duty *duty)
{
    return duty->flow_m3_s * duty->pressure_pa;
}

double gw_pipes_pump_power_w(const gw_pump_duty *duty)
{
    return gw_pipes_hydraulic_power_w(duty) / duty->wire_to_water_frac;
}

gw_pump_grade gw_pipes_grade_pump(double pump_w, double capacity_w)
{
    static const struct {
        double most_w_per_ton;
        char grade;
    } bands[] = {{50.0, 'A'}, {75.0, 'B'}, {100.0, 'C'}, {150.0, 'D'}};
    gw_pump_grade out = {.grade = 'F'};
    if (!(capacity_w > 0.0)) {
        return (gw_pump_grade){0};
    }
    out.w_per_ton = pump_w / (capacity_w / WATTS_PER_TON);
    out.w_per_kw = pump_w / (capacity_w / 1000.0);
    for (size_t i = 0; i < sizeof bands / sizeof bands[0]; ++i) {
        if (out.w_per_ton <= bands[i].most_w_per_ton) {
            out.grade = bands[i].grade;
            break;
        }
    }
    return out;
}

static gw_status check_curve(const gw_pump_curve *pump, gw_err *err)
{
    if (pump->count < 2) {
        return gw_fail(err, GW_ERR_RANGE, "pump.curve", "%zu points must be 2 or more",
                       pump->count);
    }
    for (size_t i = 0; i < pump->count; ++i) {
        const bool first = i == 0;
        if (!(pump->flow_m3_s[i] >= 0.0 && pump->head_m[i] >= 0.0 && isfinite(pump->head_m[i]) &&
              (first || (pump->flow_m3_s[i] > pump->flow_m3_s[i - 1] &&
                         pump->head_m[i] <= pump->head_m[i - 1])))) {
            return gw_fail(err, GW_ERR_RANGE, "pump.curve",
                           "point %zu (%g m3/s, %g m): flow must rise and head may not", i,
                           pump->flow_m3_s[i], pump->head_m[i]);
        }
    }
    return GW_OK;
}

static double system_head_m(const gw_pump_system *system, double flow_m3_s)
{
    return system->design_head_m * pow(flow_m3_s / system->design_flow_m3_s, system->exponent);
}

// Pump head less system head falls all along: the interval of the change of sign, then bisection.
gw_status gw_pipes_operating_point(const gw_pump_curve *pump, const gw_pump_system *system,
                                   gw_pump_point *out, gw_err *err)
{
    const gw_status st = check_curve(pump, err);
    if (st != GW_OK) {
        return st;
    }
    if (!(system->design_flow_m3_s > 0.0 && system->design_head_m > 0.0 &&
          system->exponent >= 1.0 && system->exponent <= 2.0)) {
        return gw_fail(err, GW_ERR_RANGE, "system",
                       "design flow %g m3/s and head %g m must be above 0, exponent %g 1 to 2",
                       system->design_flow_m3_s, system->design_head_m, system->exponent);
    }
    size_t i = 0;
    while (i + 1 < pump->count &&
           pump->head_m[i + 1] > system_head_m(system, pump->flow_m3_s[i + 1])) {
        ++i;
    }
    if (i + 1 == pump->count || pump->head_m[0] < system_head_m(system, pump->flow_m3_s[0])) {
        return gw_fail(err, GW_ERR_CAPACITY, "pump.curve",
                       "the pump curve, %g to %g m3/s, does not meet the system curve",
                       pump->flow_m3_s[0], pump->flow_m3_s[pump->count - 1]);
    }
    const double q0 = pump->flow_m3_s[i];
    const double slope = (pump->head_m[i + 1] - pump->head_m[i]) / (pump->flow_m3_s[i + 1] - q0);
    double low = q0;
    double high = pump->flow_m3_s[i + 1];
    for (int k = 0; k < 60; ++k) {
        const double q = 0.5 * (low + high);
        if (pump->head_m[i] + slope * (q - q0) > system_head_m(system, q)) {
            low = q;
        } else {
            high = q;
        }
    }
    *out = (gw_pump_point){.flow_m3_s = low, .head_m = pump->head_m[i] + slope * (low - q0)};
    return GW_OK;
}

double gw_pipes_flow_for_drop_m3_s(const gw_loop_heat *loop, double drop_k)
{
    return loop->heat_w / (loop->density_kg_m3 * loop->specific_heat_j_kgk * drop_k);
}

double gw_pipes_drop_for_flow_k(const gw_loop_heat *loop, double flow_m3_s)
{
    return loop->heat_w / (loop->density_kg_m3 * loop->specific_heat_j_kgk * flow_m3_s);
}

double gw_pipes_nominal_flow_m3_s(double capacity_w)
{
    return 3.0 * M3_S_PER_GPM * capacity_w / WATTS_PER_TON;
}
