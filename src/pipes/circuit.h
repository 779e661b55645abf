// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The hydraulics of a whole loop: parallel circuits on a header, unit, pump, purge and filling.
//
// It does not place pipes or choose sizes: the caller tries plans. Circuits that differ in length
// share the flow so that all lose the same head (network.h); the header carries the total flow over
// its length. Head is computed with the fluid at its coldest, purging with water.
//
//   const gw_circuit_plan plan = {.circuit_count = 4, .circuit_pipe = pipe, .circuit_length_m =
//   180,
//       .header_pipe = header, .header_length_m = 40, .unit_pressure_drop_pa = 25e3,
//       .total_flow_m3_s = 0.75e-3, .fluid = mix, .coldest_degc = -4, .capacity_w = 14e3,
//       .wire_to_water_frac = GW_PIPES_WIRE_TO_WATER_DEFAULT};
//   gw_circuit_result result;
//   st = gw_pipes_solve_circuits(arena, &fluids, &plan, &result, err);
#ifndef GW_PIPES_CIRCUIT_H
#define GW_PIPES_CIRCUIT_H

#include "base/arena.h"
#include "base/err.h"
#include "fluid/fluid.h"
#include "pipes/friction.h"
#include "pipes/pump.h"
#include "pipes/size.h"

#include <stdbool.h>
#include <stddef.h>

// 2 ft/s, at which air is carried out (field-standard purge velocity).
#define GW_PIPES_PURGE_M_S 0.6096
#define GW_PIPES_REYNOLDS_DESIGN 2500.0 // least Reynolds number wanted at the design flow

enum { GW_PIPES_CIRCUITS_MAX = 200 };

typedef struct {
    size_t circuit_count; // 1 to GW_PIPES_CIRCUITS_MAX
    const gw_pipe_size *circuit_pipe;
    double circuit_length_m;         // pipe of one circuit, out and back; > 0
    const double *circuit_lengths_m; // [circuit_count] when they differ, else NULL
    double circuit_equivalent_m;     // fittings of one circuit as length of pipe
    double circuit_loss_coefficient; // and as sum of K
    const gw_pipe_size *header_pipe; // NULL: no header
    double header_length_m;          // supply and return together
    double header_equivalent_m;
    double header_loss_coefficient;
    double unit_pressure_drop_pa; // heat pump, hoses, strainer, valves at the total flow
    double inside_volume_m3;      // heat pump, pump and inside piping, for filling
    double total_flow_m3_s;       // at design; > 0
    gw_fluid_mix fluid;
    double coldest_degc;       // coldest mean fluid at design
    double wire_to_water_frac; // of the pump
    double capacity_w;         // heat pump capacity for the pump grade; 0: no grade
    double purge_velocity_m_s; // 0: GW_PIPES_PURGE_M_S
    double purge_water_degc;   // water used for purging, 1 to 60; 0 means 10 °C
} gw_circuit_plan;

typedef struct {
    gw_fluid_props props;     // at coldest_degc
    size_t governing;         // index of the circuit with least flow per length (longest)
    gw_pipe_flow circuit;     // the governing circuit at the design flow
    double circuit_flow_m3_s; // through the governing circuit
    double least_flow_m3_s;   // least and greatest flow of all circuits
    double greatest_flow_m3_s;
    double least_reynolds;
    double *flow_m3_s;     // [circuit_count], in the arena
    gw_pipe_flow header;   // zero when there is no header
    double circuit_head_m; // losses, m of the loop fluid
    double header_head_m;
    double unit_head_m;
    double total_head_m;
    double total_pressure_pa;
    double hydraulic_w;
    double pump_w;            // electrical
    gw_pump_grade grade;      // grade 0 when no capacity given
    bool turbulent_enough;    // least_reynolds ≥ GW_PIPES_REYNOLDS_DESIGN
    double circuit_volume_m3; // of all circuits
    double header_volume_m3;
    double total_volume_m3;
    gw_fluid_charge charge; // antifreeze and water for the total volume
    double purge_flow_m3_s; // greatest of what the circuits together and the header need
    double purge_head_m;    // outside loop, m of water, at purge_flow
    double purge_pressure_pa;
    double purge_hydraulic_w;
    double antifreeze_frac_volume; // parts by volume; 0 for water and salts
} gw_circuit_result;

// Errors: GW_ERR_RANGE (field named), GW_ERR_MISSING (no pipe), those of the fluid and the network.
gw_status gw_pipes_solve_circuits(gw_arena *arena, const gw_fluid_table *fluids,
                                  const gw_circuit_plan *plan, gw_circuit_result *out,
                                  gw_err *err) GW_MUST_USE;

#endif
