// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The design procedure, top to bottom.
#include "design/design.h"

#include "design/design_priv.h"

static gw_status prepare(gw_design_priv *d)
{
    gw_status (*const steps[])(gw_design_priv *) = {
        gw_design_priv_tables,     gw_design_priv_climate, gw_design_priv_house,
        gw_design_priv_plant,      gw_design_priv_fluid,   gw_design_priv_ground,
        gw_design_priv_air_source,
    };
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        const gw_status st = steps[i](d);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

static gw_status answer_loop(gw_design_priv *d, size_t index, gw_alternative_table *table)
{
    gw_design_loop *const loop = &d->design->loops[index];
    gw_status st = gw_design_priv_loop(d, index);
    if (st == GW_OK) {
        st = gw_design_priv_estimate(d, loop);
    }
    if (st == GW_OK) {
        st = gw_design_priv_alternatives(d, loop, table);
    }
    if (st == GW_OK) {
        st = gw_design_priv_life_cycle(d, loop, table);
    }
    if (st == GW_OK) {
        st = gw_design_priv_verdicts(d, loop);
    }
    if (st == GW_OK) {
        st = gw_design_priv_neighbours(d, loop);
    }
    return st == GW_OK ? gw_design_priv_judge_lot(d, loop) : st;
}

// With a lot, the site's own size of the free ground is not looked at.
static gw_status set_site_aside(gw_design_priv *d, gw_design_input *input)
{
    const gw_job *const job = input->job;
    if (job->lot == NULL || !gw_job_is_given(job->site.usable_length_m)) {
        return GW_OK;
    }
    gw_job *const own = gw_arena_alloc(d->arena, 1, sizeof *own);
    if (own == NULL) {
        return gw_fail(d->err, GW_ERR_NOMEM, NULL, "out of memory in the design");
    }
    *own = *job;
    own->site.usable_length_m = GW_FORM_NOT_GIVEN;
    own->site.usable_width_m = GW_FORM_NOT_GIVEN;
    input->job = own;
    return gw_design_priv_warn(d, "site.usable_length_m",
                               "not looked at: the lot says where a loop may lie");
}

static bool is_cheaper(const gw_design_loop *a, const gw_design_loop *b)
{
    return gw_money_compare(a->life_cycle.present_cost, b->life_cycle.present_cost) < 0;
}

static gw_status answer_all(gw_design_priv *d)
{
    gw_design *const design = d->design;
    for (size_t i = 0; i < design->loop_count; i++) {
        gw_alternative_table table;
        const gw_status st = answer_loop(d, i, &table);
        if (st != GW_OK) {
            return st;
        }
        const gw_design_loop *const loop = &design->loops[i];
        const bool first = design->best == design->loop_count;
        if (loop->stands && (first || is_cheaper(loop, &design->loops[design->best]))) {
            design->best = i;
            design->alternatives = table;
        } else if (i == 0) {
            design->alternatives = table;
        }
    }
    return gw_design_priv_cautions(d);
}

gw_status gw_design_run(gw_arena *arena, const gw_design_input *input, const gw_design **out,
                        gw_err *err)
{
    const gw_job *const job = input->job;
    gw_design *const design = gw_arena_alloc(arena, 1, sizeof *design);
    gw_design_loop *const loops = gw_arena_alloc(arena, job->loop_count, sizeof *loops);
    if (design == NULL || loops == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory in the design");
    }
    *design = (gw_design){
        .job = job, .loops = loops, .loop_count = job->loop_count, .best = job->loop_count};
    gw_err_list_init(&design->warnings, arena);
    gw_design_input own = *input;
    gw_design_priv d = {.arena = arena, .input = &own, .design = design, .err = err};
    gw_status st = set_site_aside(&d, &own);
    if (st == GW_OK) {
        st = prepare(&d);
    }
    if (st == GW_OK) {
        st = answer_all(&d);
    }
    if (st != GW_OK) {
        return st;
    }
    *out = design;
    if (design->best == design->loop_count) {
        return gw_fail(
            err, GW_ERR_CAPACITY, "loops",
            "none of the %zu loops of the job holds its limits on this lot: see the verdicts",
            design->loop_count);
    }
    return GW_OK;
}
