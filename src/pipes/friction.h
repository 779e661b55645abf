// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Flow of a fluid in one round pipe: Reynolds number, friction factor, head loss.
//
// It does not solve networks (network.h). Friction: S. W. Churchill, Chem. Eng. 84(24) (1977) 91,
// one formula over laminar, transition and turbulent flow; C. F. Colebrook, J. Inst. Civ. Eng. 11
// (1939) 133, as a check: for Re ≥ 4000 they part by at most 2 % up to ε/D = 0.001 and by at most
// 3.2 % up to 0.05 (a test walks the range).
//
//   const gw_pipe_run run = {.flow_m3_s = 0.4e-3, .diameter_m = 0.0273, .length_m = 150.0,
//                            .roughness_m = 1.5e-6, .loss_coefficient = 3.0,
//                            .density_kg_m3 = 1020.0, .viscosity_pa_s = 0.0043};
//   gw_pipe_flow flow;
//   st = gw_pipes_flow(&run, &flow, err);
#ifndef GW_PIPES_FRICTION_H
#define GW_PIPES_FRICTION_H

#include "base/err.h"

// Standard gravity, m/s² (3rd CGPM 1901).
#define GW_PIPES_GRAVITY_M_S2 9.80665

// Limits of the three regimes (common textbook values: laminar below 2300, fully turbulent friction
// formulas from 4000).
#define GW_PIPES_REYNOLDS_LAMINAR 2300.0
#define GW_PIPES_REYNOLDS_TURBULENT 4000.0

typedef enum { GW_PIPES_LAMINAR, GW_PIPES_TRANSITION, GW_PIPES_TURBULENT } gw_pipe_regime;

// Darcy friction factor; reynolds > 0, roughness relative to the diameter, 0 to 0.1.
double gw_pipes_friction_churchill(double reynolds, double relative_roughness);
double gw_pipes_friction_colebrook(double reynolds, double relative_roughness); // Re ≥ 4000

gw_pipe_regime gw_pipes_regime(double reynolds);
const char *gw_pipes_regime_text(gw_pipe_regime regime); // "laminar", "transition", "turbulent"

typedef struct {
    double flow_m3_s;  // ≥ 0
    double diameter_m; // inner
    double length_m;   // with the equivalent length of fittings, if those are so given
    double roughness_m;
    double loss_coefficient; // sum of K of fittings, 0 and up
    double density_kg_m3;
    double viscosity_pa_s;
} gw_pipe_run;

typedef struct {
    double velocity_m_s;
    double reynolds;
    double friction_factor; // Darcy; 0 at zero flow
    gw_pipe_regime regime;
    double pressure_loss_pa;
    double head_loss_m;      // of the fluid
    double d_head_loss_s_m2; // derivative of the head loss with flow, m per m³/s
} gw_pipe_flow;

// Darcy–Weisbach with Churchill's factor plus K v²/2g. Errors: GW_ERR_RANGE names the field.
gw_status gw_pipes_flow(const gw_pipe_run *run, gw_pipe_flow *out, gw_err *err) GW_MUST_USE;

// Flow at which a pipe reaches a Reynolds number: Re π D μ / (4 ρ).
typedef struct {
    double reynolds;
    double diameter_m;
    double density_kg_m3;
    double viscosity_pa_s;
} gw_pipe_reynolds;

double gw_pipes_flow_at_reynolds_m3_s(const gw_pipe_reynolds *input);

// Flow through the bore at a velocity, e.g. GW_PIPES_PURGE_M_S.
double gw_pipes_flow_at_velocity_m3_s(double inner_diameter_m, double velocity_m_s);

#endif
