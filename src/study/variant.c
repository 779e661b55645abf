// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Variants of a job: copies that may be changed, and their designs.
#include "study/study_priv.h"

#include <string.h>

// A copy of `count` items, or an empty place when there are none.
static void *copy_items(gw_arena *arena, const void *items, size_t count, size_t size)
{
    void *const out = gw_arena_alloc(arena, count > 0 ? count : 1, size);
    if (out != NULL && count > 0) {
        memcpy(out, items, count * size);
    }
    return out;
}

gw_status gw_study_priv_copy(gw_arena *arena, const gw_job *job, gw_study_priv_job *out,
                             gw_err *err)
{
    out->job = *job;
    out->envelope =
        copy_items(arena, job->house.envelope, job->house.envelope_count, sizeof *out->envelope);
    out->loops = copy_items(arena, job->loops, job->loop_count, sizeof *out->loops);
    out->rock =
        copy_items(arena, job->ground.rock, job->ground.rock != NULL ? 1 : 0, sizeof *out->rock);
    out->layers =
        copy_items(arena, job->ground.layers, job->ground.layer_count, sizeof *out->layers);
    if (out->envelope == NULL || out->loops == NULL || out->rock == NULL || out->layers == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory copying the job");
    }
    out->job.house.envelope = out->envelope;
    out->job.loops = out->loops;
    if (job->ground.rock != NULL) {
        out->job.ground.rock = out->rock;
    }
    out->job.ground.layers = out->layers;
    return GW_OK;
}

void gw_study_priv_keep_loop(gw_study_priv_job *copy, size_t index)
{
    copy->loops[0] = copy->loops[index];
    copy->job.loop_count = 1;
}

gw_status gw_study_priv_design(gw_arena *arena, const gw_design_input *input, const gw_design **out,
                               gw_err *err)
{
    *out = NULL;
    const gw_status st = gw_design_run(arena, input, out, err);
    return st == GW_ERR_CAPACITY && *out != NULL ? GW_OK : st;
}

size_t gw_study_priv_best(const gw_design *design)
{
    return design->best < design->loop_count ? design->best : 0;
}

void gw_study_priv_tick(gw_study_priv_meter *meter)
{
    meter->done++;
    if (meter->watch != NULL && !meter->stopped) {
        meter->stopped = !meter->watch->go_on(meter->watch->context, meter->done, meter->all);
    }
}
