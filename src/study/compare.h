// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// All loops of a job side by side on the same house: what each takes, gives and costs, and what
// rules it out.
//
// Each loop is designed by itself, so that one that cannot even be laid out does not hide the
// others: it comes back with `done` false and the reason. It proposes no loop the job does not
// have.
//
//   gw_compare compare;
//   st = gw_compare_loops(arena, &input, &compare, err);
//   compare.loops[compare.best].length_m
#ifndef GW_STUDY_COMPARE_H
#define GW_STUDY_COMPARE_H

#include "study/outcome.h"

typedef struct {
    const gw_study_outcome *loops; // [count], in the job's order
    size_t count;
    size_t best;           // least life-cycle cost of those that stand; count: none
    const char *present;   // name of the present system
    gw_money present_cost; // its life cycle
    gw_money present_energy_year;
} gw_compare;

// Several threads; the same numbers whatever their count. Errors: those that all loops share, by
// the design of the first; GW_ERR_NOMEM.
gw_status gw_compare_loops(gw_arena *arena, const gw_design_input *input, gw_compare *out,
                           gw_err *err) GW_MUST_USE;

#endif
