// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Fittings: their loss as a length of straight pipe (data/fittings.csv).
//
// It holds for turbulent flow; in laminar flow fittings lose more than this, but little beside the
// pipe. A loss coefficient follows as K = f × diameters (f of the pipe's own flow).
//
//   gw_pipe_fittings fittings;
//   st = gw_pipes_read_fittings_builtin(arena, &fittings, err);
//   const gw_pipe_fitting_count used[] = {{"u_bend", 1}, {"elbow_90", 4}};
//   const gw_pipe_fitting_list list = {used, 2, pipe->inner_diameter_m};
//   st = gw_pipes_equivalent_length(&fittings, &list, &length_m, err);
#ifndef GW_PIPES_FITTING_H
#define GW_PIPES_FITTING_H

#include "base/arena.h"
#include "base/err.h"
#include "base/table.h"

#include <stddef.h>

typedef struct {
    const char *id;
    const char *name;
    double length_diameters; // 0 to 1000
    const char *source;
} gw_pipe_fitting;

typedef struct {
    const gw_pipe_fitting *items; // in the arena, in order of the table
    size_t count;
} gw_pipe_fittings;

// Errors: GW_ERR_RANGE for an impossible length, those of gw_table_*.
gw_status gw_pipes_read_fittings(gw_arena *arena, const gw_table *table, gw_pipe_fittings *out,
                                 gw_err *err) GW_MUST_USE;
gw_status gw_pipes_read_fittings_builtin(gw_arena *arena, gw_pipe_fittings *out,
                                         gw_err *err) GW_MUST_USE;

typedef struct {
    const char *id;
    double count; // 0 to 10 000
} gw_pipe_fitting_count;

typedef struct {
    const gw_pipe_fitting_count *items;
    size_t count;
    double inner_diameter_m; // of the pipe they sit on, 0.005 to 0.5
} gw_pipe_fitting_list;

// Sum of the fittings as metres of that pipe. Errors: GW_ERR_KEY (unknown fitting, nearest
// suggested), GW_ERR_RANGE.
gw_status gw_pipes_equivalent_length(const gw_pipe_fittings *fittings,
                                     const gw_pipe_fitting_list *list, double *out_m,
                                     gw_err *err) GW_MUST_USE;

#endif
