// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the ground room: the field's symmetric systems, one per Laplace p, by Cholesky
// factors (dense.h), several p at a time; and the complex one of a periodic load.
#ifndef GW_GROUND_SOLVE_H
#define GW_GROUND_SOLVE_H

#include "ground/transfer.h"

typedef struct {
    const gw_transfer *transfer;
    const double *p; // [count] 1/s
    size_t count;
    double *load; // [count][groups] result: W/m for a drop of 1 K
} gw_solve;

// Errors: GW_ERR_NOMEM; GW_ERR_GEOMETRY when a system cannot be solved (segments on each other).
gw_status gw_solve_loads(gw_arena *arena, const gw_solve *solve, gw_err *err) GW_MUST_USE;

// load[groups] for a periodic drop of 1 K; 0 rad/s is the steady state.
gw_status gw_solve_periodic(gw_arena *arena, const gw_transfer *transfer,
                            double angular_frequency_rad_s, gw_complex *load,
                            gw_err *err) GW_MUST_USE;

#endif
