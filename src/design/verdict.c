// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What a reviewing engineer would ask of a loop, answered one by one.
#include "design/design_priv.h"

#include <math.h>
#include <string.h>

enum { VERDICTS_MAX = 80 };

typedef gw_design_bench bench;

void gw_design_priv_add(gw_design_bench *b, gw_verdict v)
{
    if (b->count < VERDICTS_MAX) {
        b->items[b->count++] = v;
    }
}

// Holds with room to spare, holds thinly, or fails.
static gw_verdict_state grade(double margin, double thin)
{
    return margin < 0.0 ? GW_VERDICT_FAILS : margin < thin ? GW_VERDICT_CAUTION : GW_VERDICT_HOLDS;
}

static void water_verdicts(bench *b, const gw_design_loop *loop)
{
    const gw_loop_result *const r = &loop->sized.result;
    const gw_loop_limits *const l = &b->d->input->job->limits;
    gw_design_priv_add(b, (gw_verdict){.state = grade(r->coldest.degc - l->min_entering_degc, 0.0),
                                       .what = "coldest entering water",
                                       .kind = GW_QTY_TEMPERATURE,
                                       .found = r->coldest.degc,
                                       .side = GW_LIMIT_AT_LEAST,
                                       .limit = l->min_entering_degc,
                                       .because = gw_arena_printf(
                                           b->d->arena, "coldest hour of %zu years, in year %zu",
                                           (size_t)l->years, r->coldest.year)});
    gw_design_priv_add(
        b, (gw_verdict){.state = grade(l->max_entering_degc - r->warmest.degc, 0.0),
                        .what = "warmest entering water",
                        .kind = GW_QTY_TEMPERATURE,
                        .found = r->warmest.degc,
                        .side = GW_LIMIT_AT_MOST,
                        .limit = l->max_entering_degc,
                        .because = gw_arena_printf(b->d->arena, "warmest hour, in year %zu",
                                                   r->warmest.year)});
    const double drift_k = r->coldest_first.degc - r->coldest_last.degc;
    gw_design_priv_add(
        b, (gw_verdict){.state = drift_k > 3.0 ? GW_VERDICT_CAUTION : GW_VERDICT_HOLDS,
                        .what = "colder in the last winter than in the first by",
                        .kind = GW_QTY_TEMPERATURE_DIFFERENCE,
                        .found = drift_k,
                        .side = GW_LIMIT_AT_MOST,
                        .limit = 3.0,
                        .because =
                            "a field that keeps drifting is crowded (common practice, no source)"});
}

static void fluid_verdicts(bench *b, const gw_design_loop *loop)
{
    const double margin_k = loop->sized.result.leaving_degc - loop->freeze_degc;
    const double wanted_k = 3.0;
    gw_design_priv_add(
        b,
        (gw_verdict){.state = margin_k < 1.0        ? GW_VERDICT_FAILS
                              : margin_k < wanted_k ? GW_VERDICT_CAUTION
                                                    : GW_VERDICT_HOLDS,
                     .what = "freezing point below the coldest leaving water by",
                     .kind = GW_QTY_TEMPERATURE_DIFFERENCE,
                     .found = margin_k,
                     .side = GW_LIMIT_AT_LEAST,
                     .limit = wanted_k,
                     .because = gw_arena_printf(
                         b->d->arena,
                         "leaving water %.1f °C, fluid freezes at %.1f °C (3 K: common practice)",
                         loop->sized.result.leaving_degc, loop->freeze_degc)});
    gw_design_priv_add(
        b, (gw_verdict){
               .state = loop->hydraulics.turbulent_enough ? GW_VERDICT_HOLDS : GW_VERDICT_CAUTION,
               .what = "Reynolds number at the coldest fluid",
               .kind = GW_QTY_NUMBER,
               .found = loop->hydraulics.least_reynolds,
               .side = GW_LIMIT_AT_LEAST,
               .limit = GW_PIPES_REYNOLDS_DESIGN,
               .because =
                   "laminar flow costs temperature: the bore or pipe resistance here counts it"});
}

static void pump_verdict(bench *b, const gw_design_loop *loop)
{
    gw_design_priv_add(
        b, (gw_verdict){
               .state = loop->hydraulics.grade.w_per_kw <= 100.0 / 3.5168528 ? GW_VERDICT_HOLDS
                                                                             : GW_VERDICT_CAUTION,
               .what = loop->kind == GW_LOOP_WELL
                           ? "well pump per kilowatt of heating capacity (W/kW)"
                           : "circulator power per kilowatt of heating capacity (W/kW)",
               .kind = GW_QTY_NUMBER,
               .found = loop->hydraulics.grade.w_per_kw,
               .side = GW_LIMIT_AT_MOST,
               .limit = 100.0 / 3.5168528,
               .because = gw_arena_printf(
                   b->d->arena, "pumping grade %c of Kavanaugh & Rafferty 2014 (from memory)",
                   loop->hydraulics.grade.grade)});
}

static void lot_verdict(bench *b, const gw_design_loop *loop)
{
    const gw_job_site *const site = &b->d->input->job->site;
    if (b->d->input->job->lot != NULL) {
        return; // judged by what is on it
    }
    if (gw_job_is_given(site->usable_length_m)) {
        gw_design_priv_add(
            b, (gw_verdict){
                   .state = loop->fits_lot ? GW_VERDICT_HOLDS : GW_VERDICT_FAILS,
                   .what = "length of ground taken up",
                   .kind = GW_QTY_LENGTH,
                   .found = loop->land_length_m,
                   .side = GW_LIMIT_AT_MOST,
                   .limit = loop->kind == GW_LOOP_WELL
                                ? hypot(site->usable_length_m, site->usable_width_m)
                                : site->usable_length_m,
                   .because = gw_arena_printf(
                       b->d->arena, "the field is %.0f × %.0f m on free ground of %.0f × %.0f m",
                       loop->land_length_m, loop->land_width_m, site->usable_length_m,
                       gw_job_is_given(site->usable_width_m) ? site->usable_width_m : 0.0)});
    } else {
        gw_design_priv_add(
            b, (gw_verdict){.state = GW_VERDICT_CAUTION,
                            .what = "length of ground taken up",
                            .kind = GW_QTY_LENGTH,
                            .found = loop->land_length_m,
                            .because = "the job does not say how much free ground there is"});
    }
}

static void auxiliary_verdict(bench *b, const gw_design_loop *loop)
{
    const gw_loop_energy *const y = &loop->sized.result.last;
    const double heat_j = y->heating_j + y->hot_water_j;
    const double share = heat_j > 0.0 ? y->auxiliary_j / heat_j : 0.0;
    gw_design_priv_add(
        b, (gw_verdict){.state = share > 0.10 ? GW_VERDICT_CAUTION : GW_VERDICT_HOLDS,
                        .what = "share of the heat from the auxiliary",
                        .kind = GW_QTY_FRACTION,
                        .found = share,
                        .side = GW_LIMIT_AT_MOST,
                        .limit = 0.10,
                        .because = "more than a tenth by resistance heat undoes the saving (common "
                                   "practice, no source)"});
}

gw_status gw_design_priv_verdicts(gw_design_priv *d, gw_design_loop *loop)
{
    bench b = {.d = d, .items = gw_arena_alloc(d->arena, VERDICTS_MAX, sizeof *b.items)};
    if (b.items == NULL) {
        return gw_fail(d->err, GW_ERR_NOMEM, NULL, "out of memory judging the loop");
    }
    water_verdicts(&b, loop);
    if (loop->land_length_m > 0.0) {
        lot_verdict(&b, loop);
    }
    if (loop->kind != GW_LOOP_WELL) {
        fluid_verdicts(&b, loop);
    }
    pump_verdict(&b, loop);
    gw_design_priv_judge_kind(&b, loop);
    gw_design_priv_plausible(&b, loop);
    auxiliary_verdict(&b, loop);
    loop->verdicts = (gw_verdict_list){.items = b.items, .count = b.count};
    for (size_t i = 0; i < b.count; i++) {
        if (b.items[i].state > loop->verdicts.worst) {
            loop->verdicts.worst = b.items[i].state;
        }
    }
    loop->stands = loop->verdicts.worst != GW_VERDICT_FAILS;
    return GW_OK;
}

// Is a caution of this word about the loop? What is said of trenches holds for coils too.
static bool is_about(const gw_loop_plan *plan, const char *when)
{
    for (size_t i = 0; i < plan->mixed.part_count; i++) {
        if (is_about(&plan->mixed.parts[i], when)) {
            return true;
        }
    }
    return strcmp(gw_loop_kind_row_of(plan->kind)->id, when) == 0 ||
           (plan->kind == GW_LOOP_COIL && strcmp(when, "trench") == 0);
}

static bool applies(const gw_design *design, const char *when)
{
    if (strcmp(when, "always") == 0) {
        return true;
    }
    if (strcmp(when, "antifreeze") == 0) {
        return design->fluid.kind != GW_FLUID_WATER;
    }
    if (strcmp(when, "flammable") == 0) {
        return design->fluid_data->flammable;
    }
    for (size_t i = 0; i < design->loop_count; i++) {
        if (is_about(&design->loops[i].sized.plan, when)) {
            return true;
        }
    }
    return false;
}

gw_status gw_design_priv_cautions(gw_design_priv *d)
{
    gw_table table;
    gw_status st = gw_design_priv_table(d, "cautions.csv", &table);
    if (st != GW_OK) {
        return st;
    }
    const char **const out = gw_arena_alloc(d->arena, table.rows, sizeof *out);
    if (out == NULL) {
        return gw_fail(d->err, GW_ERR_NOMEM, NULL, "out of memory listing the cautions");
    }
    size_t count = 0;
    for (size_t i = 0; i < table.rows && st == GW_OK; i++) {
        const char *when = NULL;
        st = gw_table_text(&table, i, "when", &when, d->err);
        if (st == GW_OK && applies(d->design, when)) {
            st = gw_table_text(&table, i, "text", &out[count++], d->err);
        }
    }
    d->design->cautions = out;
    d->design->caution_count = count;
    return st;
}

const char *gw_verdict_word(gw_verdict_state state)
{
    switch (state) {
    case GW_VERDICT_HOLDS:
        return "holds";
    case GW_VERDICT_CAUTION:
        return "mind this";
    case GW_VERDICT_FAILS:
        return "FAILS";
    }
    return "";
}
