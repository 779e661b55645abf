// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Resistances of a pipe laid in a trench: wall and film, and a backfill unlike the native soil.
//
// It does not give the ground's own response (ground/segment.h does); its results are added to it.
//
// Method: backfill by the duct-bank correction of Neher & McGrath 1957 (AIEE Trans. 76, eq. 43 to
// 46; also IEC 60287-2-1), from memory: the rectangle of backfill counts as a cylinder of equal
// conductance; inside it the log terms of the line sources carry the backfill's conductivity
// instead of the soil's. Steady, so it over-reads for pulses shorter than about rb²/α (one to
// two days). Stated for sides in a ratio up to 3 and conductivities within a factor of 3.
//
//   st = gw_trench_backfill_resistance(&trench, &r_mk_w, err);
#ifndef GW_GROUND_TRENCH_RESISTANCE_H
#define GW_GROUND_TRENCH_RESISTANCE_H

#include "base/err.h"
#include "ground/resistance.h"

#include <stdbool.h>
#include <stddef.h>

typedef struct {
    double x_m;     // across the trench
    double depth_m; // of the pipe's axis below the surface, > 0
} gw_trench_pipe;

typedef struct {
    double width_m;       // of the backfilled rectangle, > 0
    double top_m;         // depth of its upper side, ≥ 0
    double bottom_m;      // depth of its lower side
    double backfill_w_mk; // 0.1 to 10
    double native_w_mk;   // 0.1 to 10
    double pipe_outer_radius_m;
    const gw_trench_pipe *pipes; // borrowed; every one inside the rectangle centred on x = 0
    size_t pipe_count;
} gw_trench_section;

// Radius of the cylinder that stands for the rectangle; shorter and longer side > 0.
double gw_trench_equivalent_radius_m(double shorter_m, double longer_m);

// Resistance to add to each pipe (mean over the pipes, equal heat from each; K m/W of pipe). It
// is negative when the backfill conducts better than the soil.
// Errors: GW_ERR_RANGE (also sides over 3:1), GW_ERR_GEOMETRY (a pipe outside the backfill).
gw_status gw_trench_backfill_resistance(const gw_trench_section *trench, double *out_mk_w,
                                        gw_err *err) GW_MUST_USE;

#endif
