// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Classical load aggregation, a check of the sum of exponentials: cells whose width doubles from
// level to level, each step moving 1/width of a cell's load on to the next.
// Source: Claesson & Javed 2012, ASHRAE Trans. 118(1):530, "A load-aggregation method to
// calculate extraction temperatures of borehole heat exchangers", its scheme with levels of
// equal numbers of cells and widths 1, 2, 4, 8 … steps.
//
// It needs the step response at the cell edges only, and is approximate because a cell's load is
// smeared over the cell (error falls as cells per level rise).
//
//   gw_aggregation sum;
//   st = gw_aggregation_init(arena, 5, 219000, &sum, err);
//   for (size_t v = 0; v < sum.cells; ++v) sum.step_at_edge[v] = h(sum.edge_steps[v] * 3600.0);
//   change_k = gw_aggregation_advance(&sum, q_w_m);
#ifndef GW_GROUND_AGGREGATE_H
#define GW_GROUND_AGGREGATE_H

#include "base/arena.h"

typedef struct {
    size_t cells;
    double *edge_steps;   // [cells] far edge of each cell, in steps
    double *step_at_edge; // [cells] to be filled by the caller: step response there
    double *width_steps;  // [cells]
    double *load;         // [cells] mean load in the cell now
} gw_aggregation;

// Cells for a history of `steps` steps, `per_level` (2 to 1000) cells of each width.
gw_status gw_aggregation_init(gw_arena *arena, size_t per_level, size_t steps, gw_aggregation *out,
                              gw_err *err) GW_MUST_USE;

// Takes the load of the coming step, returns the change at its end.
double gw_aggregation_advance(gw_aggregation *sum, double load);

#endif
