// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What the kinds of loop have in common and where they differ, in one place: which length and which
// number of a plan the sizing may change, within what bounds, and the words for them.
//
// It computes no heat. A new kind gets a row here and a response of its own (response.h).
//
//   gw_loop_kind_row_of(plan->kind)->many           // "bores"
//   *gw_loop_each(&plan) = 80.0;                    // depth of each bore, length of each trench …
//   gw_loop_length_m(&plan)                         // metres that exchange heat
#ifndef GW_LOOP_KIND_H
#define GW_LOOP_KIND_H

#include "loop/plan.h"

typedef struct {
    const char *id;     // in the job: "bores", "trench", "coil", "pond", "well", "mixed"
    const char *one;    // of what `count` counts: "bore"
    const char *many;   // "bores"
    const char *length; // what `each` is: "depth_m", key in the job; NULL: nothing to size
    const char *number; // key of the count in the job; NULL: nothing to size
    double shortest_m;  // least each
    double longest_m;   // greatest where the plan names none
    size_t most;        // greatest number
    double first_w_m;   // first guess of the peak heat per metre of `each` (VDI 4640-2 bands;
                        // common practice, no source, for coils and ponds)
    bool in_ground;     // heat comes from the ground around: neighbours and maps apply
    bool antifreeze;    // closed: filled with the job's fluid
} gw_loop_kind_row;

// NULL for an unknown kind.
const gw_loop_kind_row *gw_loop_kind_row_of(gw_loop_kind kind);

// The length and the number that a sizing changes; NULL where there is none (open well; number of a
// mixed loop).
double *gw_loop_each(gw_loop_plan *plan);
size_t *gw_loop_count(gw_loop_plan *plan);

// Their values: 0 and 1 where there is none.
double gw_loop_each_m(const gw_loop_plan *plan);
size_t gw_loop_count_of(const gw_loop_plan *plan);

// Bounds of `each`, that of the plan first.
double gw_loop_shortest_m(const gw_loop_plan *plan);
double gw_loop_longest_m(const gw_loop_plan *plan);

// First guess for `each` from the peak heat.
double gw_loop_first_m(const gw_loop_plan *plan, double ground_w);

// Heat-exchange length: bores, pipe of all trenches, rings or bundles; drilled metres of wells.
double gw_loop_length_m(const gw_loop_plan *plan);

// Parallel circuits, as stated or by the kind's own rule: one per bore; out and back in one trench
// is one, so is a trench with an odd number of pipes; one per coil trench or bundle.
size_t gw_loop_circuits(const gw_loop_plan *plan);

// Id of the pipe of the circuits (a mixed loop: of its first part).
const char *gw_loop_pipe_id(const gw_loop_plan *plan);

// Part `index` of a mixed loop as it is to be built: what the sizing found is filled in.
gw_loop_plan gw_loop_part(const gw_loop_plan *mixed, size_t index);

#endif
