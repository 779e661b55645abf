// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/compare.h"

#include "study/study_priv.h"

#include <stdio.h>

// What one thread leaves of one loop.
typedef struct {
    gw_study_outcome outcome;
    gw_money present_cost;
    gw_money present_energy_year;
    gw_status status;
    gw_err err;
} corner;

static gw_status fill(const gw_design_input *input, gw_arena *arena, size_t index, corner *c)
{
    gw_study_priv_job copy;
    gw_status st = gw_study_priv_copy(arena, input->job, &copy, &c->err);
    if (st != GW_OK) {
        return st;
    }
    gw_study_priv_keep_loop(&copy, index);
    gw_design_input own = *input;
    own.job = &copy.job;
    const gw_design *design = NULL;
    st = gw_study_priv_design(arena, &own, &design, &c->err);
    if (st != GW_OK) {
        return st;
    }
    c->outcome = gw_study_outcome_of(design, 0);
    const gw_alternative_year *const row =
        gw_study_alternative_row(design, input->job->money.compare_with);
    if (row == NULL) {
        return GW_OK;
    }
    c->present_energy_year = row->energy_cost;
    return gw_study_alternative_cost(input->job, row, &c->present_cost, &c->err);
}

static void design_one(const gw_design_input *input, size_t index, corner *c)
{
    gw_arena *const arena = gw_arena_create(GW_STUDY_PRIV_CAP_BYTES);
    c->status = arena != NULL ? fill(input, arena, index, c)
                              : gw_fail(&c->err, GW_ERR_NOMEM, NULL, "out of memory");
    gw_arena_destroy(arena);
    const gw_loop_plan *const plan = &input->job->loops[index];
    c->outcome.name = plan->name;
    c->outcome.kind = plan->kind;
    if (c->status != GW_OK) {
        snprintf(c->outcome.ruled_out, sizeof c->outcome.ruled_out, "%s", c->err.text);
    }
}

static void choose(gw_compare *out, const corner *corners)
{
    out->best = out->count;
    bool known = false;
    for (size_t i = 0; i < out->count; i++) {
        const gw_study_outcome *const o = &out->loops[i];
        if (o->stands &&
            (out->best == out->count ||
             gw_money_compare(o->present_cost, out->loops[out->best].present_cost) < 0)) {
            out->best = i;
        }
        if (!known && corners[i].status == GW_OK) {
            out->present_cost = corners[i].present_cost;
            out->present_energy_year = corners[i].present_energy_year;
            known = true;
        }
    }
}

static gw_status collect(gw_arena *arena, const corner *corners, gw_compare *out, gw_err *err)
{
    gw_study_outcome *const loops = gw_arena_alloc(arena, out->count, sizeof *loops);
    if (loops == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory comparing the loops");
    }
    size_t failed = 0;
    for (size_t i = 0; i < out->count; i++) {
        loops[i] = corners[i].outcome;
        failed += corners[i].status != GW_OK ? 1 : 0;
        if (corners[i].status == GW_ERR_NOMEM) {
            return gw_fail(err, GW_ERR_NOMEM, NULL, "%s", corners[i].err.text);
        }
    }
    if (failed == out->count) {
        if (err != NULL) {
            *err = corners[0].err;
        }
        return corners[0].status;
    }
    out->loops = loops;
    choose(out, corners);
    return GW_OK;
}

static const char *present_name(gw_arena *arena, const gw_job *job)
{
    gw_alternative_list list;
    gw_alternative row;
    gw_err ignored = {0};
    if (gw_alternative_builtin(arena, &list, &ignored) != GW_OK ||
        gw_alternative_find(&list, job->money.compare_with, &row, &ignored) != GW_OK) {
        return job->money.compare_with;
    }
    return row.name;
}

gw_status gw_compare_loops(gw_arena *arena, const gw_design_input *input, gw_compare *out,
                           gw_err *err)
{
    const size_t count = input->job->loop_count;
    corner *const corners = gw_arena_alloc(arena, count, sizeof *corners);
    if (corners == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory comparing the loops");
    }
#pragma omp parallel for schedule(dynamic, 1)
    for (size_t i = 0; i < count; i++) {
        design_one(input, i, &corners[i]);
    }
    *out = (gw_compare){.count = count, .present = present_name(arena, input->job)};
    return collect(arena, corners, out, err);
}
