// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the ground room: the fluid of one pass through a bore or pipe over pieces of given
// wall temperature. Linear, so it is given by numbers:
//   outlet = kept × inlet + Σ from_wall_j wall_j,
//   load_i = C (by_inlet_i × inlet + Σ by_wall_ij wall_j)   (W, fluid to ground).
//
// Method: s C dT/dz = −Σ K (T − Tb) for the two legs (Hellström 1991). A piece of uniform wall
// temperature passes part of what enters its top and its bottom and reflects part into the other
// leg; reflections are gathered from the far end upwards, where the legs join. Nothing grows along
// the way, so that any length over flow can be taken.
#ifndef GW_GROUND_PASS_H
#define GW_GROUND_PASS_H

#include "ground/circuits.h"

typedef struct {
    size_t count;      // pieces
    double kept;       // of the inlet at the outlet
    double *from_wall; // [count]
    double *by_inlet;  // [count]
    double *by_wall;   // [count][count] row by row
} gw_pass_numbers;

typedef struct {
    const gw_field_pass *pass;
    const gw_segment *segments; // [pass->segments]
    double capacity_w_k;
} gw_pass_input;

gw_status gw_pass_solve(gw_arena *arena, const gw_pass_input *input, gw_pass_numbers *out,
                        gw_err *err) GW_MUST_USE;

#endif
