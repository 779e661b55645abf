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
    gw_err own = {0};
    const gw_status st = gw_design_run(arena, input, out, &own);
    if (st == GW_OK || (st == GW_ERR_CAPACITY && *out != NULL)) {
        return GW_OK;
    }
    if (err != NULL) {
        *err = own;
    }
    return st;
}

size_t gw_study_priv_best(const gw_design *design)
{
    return design->best < design->loop_count ? design->best : 0;
}

static void scale_curve(gw_plant_curve *curve, double scale)
{
    for (size_t i = 0; i < curve->count; i++) {
        curve->points[i].capacity_w *= scale;
        curve->points[i].power_w *= scale;
    }
}

// The catalogued pump in the size that the plant was given.
static gw_heat_pump pump_as_built(const gw_design *design, const gw_plant *plant)
{
    gw_heat_pump pump = *design->heat_pump;
    scale_curve(&pump.heating, plant->scale);
    scale_curve(&pump.heating_low, plant->scale);
    scale_curve(&pump.cooling, plant->scale);
    scale_curve(&pump.cooling_low, plant->scale);
    pump.blower_power_w *= plant->scale;
    pump.rated_flow_m3_s *= plant->scale;
    return pump;
}

gw_status gw_study_priv_hold(gw_arena *arena, const gw_design_input *input, size_t loop,
                             gw_study_priv_held *out, gw_err *err)
{
    gw_status st = gw_study_priv_copy(arena, input->job, &out->copy, err);
    if (st != GW_OK) {
        return st;
    }
    const bool all = loop >= input->job->loop_count;
    gw_design_input own = *input;
    if (!all) {
        gw_job *const one = gw_arena_alloc(arena, 1, sizeof *one);
        if (one == NULL) {
            return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory holding the design");
        }
        *one = *input->job;
        one->loops = &input->job->loops[loop];
        one->loop_count = 1;
        own.job = one;
    }
    st = gw_study_priv_design(arena, &own, &out->design, err);
    gw_heat_pump *const pump = gw_arena_alloc(arena, 1, sizeof *pump);
    if (st != GW_OK || pump == NULL) {
        return st != GW_OK ? st : gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory");
    }
    out->loop = gw_study_priv_best(out->design);
    const gw_design_loop *const sized = &out->design->loops[out->loop];
    *pump = pump_as_built(out->design, &sized->plant);
    gw_job *const job = &out->copy.job;
    job->plant.own = pump;
    job->plant.share_of_design_loss = 0.0;
    job->plant.circulator_power_w = sized->circulator_w / (double)job->plant.unit_count;
    out->copy.loops[0] = sized->sized.plan;
    out->copy.loops[0].free = GW_FREE_NOTHING;
    job->loop_count = 1;
    return GW_OK;
}

bool gw_study_priv_tick(gw_study_priv_meter *meter)
{
    meter->done++;
    return meter->watch == NULL ||
           meter->watch->go_on(meter->watch->context, meter->done, meter->all);
}
