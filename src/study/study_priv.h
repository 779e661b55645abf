// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Shared by the studies: a job that may be changed, and a design that may fail to stand.
#ifndef GW_STUDY_PRIV_H
#define GW_STUDY_PRIV_H

#include "study/outcome.h"

// A copy of a job in which everything that studies change is the copy's own. The rest is shared.
typedef struct {
    gw_job job;
    gw_house_component *envelope; // [job.house.envelope_count]
    gw_loop_plan *loops;          // [job.loop_count]
    gw_job_soil *rock;            // or NULL
    gw_job_layer *layers;         // [job.ground.layer_count]
} gw_study_priv_job;

gw_status gw_study_priv_copy(gw_arena *arena, const gw_job *job, gw_study_priv_job *out,
                             gw_err *err) GW_MUST_USE;

// Leaves only loop `index`.
void gw_study_priv_keep_loop(gw_study_priv_job *copy, size_t index);

// As gw_design_run; a design without a loop that stands is a result too.
gw_status gw_study_priv_design(gw_arena *arena, const gw_design_input *input, const gw_design **out,
                               gw_err *err) GW_MUST_USE;

// The loop a study is made of: the best that stands, else the first.
size_t gw_study_priv_best(const gw_design *design);

// A loop as designed, with everything that was sized held fast: its length, the heat pump with the
// size it was given, the power of its circulator. Designing copy.job again checks that loop.
typedef struct {
    gw_study_priv_job copy; // one loop
    const gw_design *design;
    size_t loop; // of the job and of `design`
} gw_study_priv_held;

// loop: of the job; its count: the best. The design lives in the arena.
gw_status gw_study_priv_hold(gw_arena *arena, const gw_design_input *input, size_t loop,
                             gw_study_priv_held *out, gw_err *err) GW_MUST_USE;

// Counts finished parts for a watch; the caller sees to it that only one thread ticks at a time.
typedef struct {
    const gw_study_watch *watch; // or NULL
    size_t done;
    size_t all;
} gw_study_priv_meter;

// One more part is done. False: the watch asks to stop.
bool gw_study_priv_tick(gw_study_priv_meter *meter);

// The memory one variant may take.
#define GW_STUDY_PRIV_CAP_BYTES ((size_t)512 << 20)

#endif
