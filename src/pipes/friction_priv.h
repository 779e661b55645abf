// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Friction without the checks, private to the room: for solvers that have checked already.
#ifndef GW_PIPES_FRICTION_PRIV_H
#define GW_PIPES_FRICTION_PRIV_H

#include "pipes/friction.h"

typedef struct {
    double factor; // Darcy
    double slope;  // d ln f / d ln Re
} gw_pipe_priv_factor;

gw_pipe_priv_factor gw_pipes_priv_churchill(double reynolds, double relative_roughness);

// As gw_pipes_flow, input known to be in range.
void gw_pipes_priv_flow(const gw_pipe_run *run, gw_pipe_flow *out);

#endif
