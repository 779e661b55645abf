// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What a reviewing engineer would ask of a loop, answered one by one.
#include "design/design_priv.h"

#include <math.h>
#include <string.h>

enum { VERDICTS_MAX = 20 };

typedef struct {
    gw_design_priv *d;
    gw_verdict *items;
    size_t count;
} bench;

static void add(bench *b, gw_verdict v)
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
    add(b, (gw_verdict){.state = grade(r->coldest.degc - l->min_entering_degc, 0.0),
                        .what = "coldest entering water",
                        .kind = GW_QTY_TEMPERATURE,
                        .found = r->coldest.degc,
                        .side = GW_LIMIT_AT_LEAST,
                        .limit = l->min_entering_degc,
                        .because =
                            gw_arena_printf(b->d->arena, "coldest hour of %zu years, in year %zu",
                                            (size_t)l->years, r->coldest.year)});
    add(b, (gw_verdict){.state = grade(l->max_entering_degc - r->warmest.degc, 0.0),
                        .what = "warmest entering water",
                        .kind = GW_QTY_TEMPERATURE,
                        .found = r->warmest.degc,
                        .side = GW_LIMIT_AT_MOST,
                        .limit = l->max_entering_degc,
                        .because = gw_arena_printf(b->d->arena, "warmest hour, in year %zu",
                                                   r->warmest.year)});
    const double drift_k = r->coldest_first.degc - r->coldest_last.degc;
    add(b, (gw_verdict){.state = drift_k > 3.0 ? GW_VERDICT_CAUTION : GW_VERDICT_HOLDS,
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
    const double margin_k = loop->sized.result.leaving_degc - b->d->design->freeze_degc;
    const double wanted_k = 3.0;
    add(b,
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
                         loop->sized.result.leaving_degc, b->d->design->freeze_degc)});
    add(b, (gw_verdict){
               .state = loop->hydraulics.turbulent_enough ? GW_VERDICT_HOLDS : GW_VERDICT_CAUTION,
               .what = "Reynolds number at the coldest fluid",
               .kind = GW_QTY_NUMBER,
               .found = loop->hydraulics.least_reynolds,
               .side = GW_LIMIT_AT_LEAST,
               .limit = GW_PIPES_REYNOLDS_DESIGN,
               .because =
                   "laminar flow costs temperature: the bore or pipe resistance here counts it"});
    add(b, (gw_verdict){
               .state = loop->hydraulics.grade.w_per_kw <= 100.0 / 3.5168528 ? GW_VERDICT_HOLDS
                                                                             : GW_VERDICT_CAUTION,
               .what = "circulator power per kilowatt of heating capacity (W/kW)",
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
    if (gw_job_is_given(site->usable_length_m)) {
        add(b, (gw_verdict){
                   .state = loop->fits_lot ? GW_VERDICT_HOLDS : GW_VERDICT_FAILS,
                   .what = "length of ground taken up",
                   .kind = GW_QTY_LENGTH,
                   .found = loop->land_length_m,
                   .side = GW_LIMIT_AT_MOST,
                   .limit = site->usable_length_m,
                   .because = gw_arena_printf(
                       b->d->arena, "the field is %.0f × %.0f m on free ground of %.0f × %.0f m",
                       loop->land_length_m, loop->land_width_m, site->usable_length_m,
                       gw_job_is_given(site->usable_width_m) ? site->usable_width_m : 0.0)});
    } else {
        add(b, (gw_verdict){.state = GW_VERDICT_CAUTION,
                            .what = "length of ground taken up",
                            .kind = GW_QTY_LENGTH,
                            .found = loop->land_length_m,
                            .because = "the job does not say how much free ground there is"});
    }
}

static void ice_verdict(bench *b, const gw_design_loop *loop)
{
    if (!loop->freezes) {
        return;
    }
    static const char *const MONTHS[] = {"January",   "February", "March",    "April",
                                         "May",       "June",     "July",     "August",
                                         "September", "October",  "November", "December"};
    const gw_loop_frozen *const f = &loop->frozen;
    const bool bad = f->joins_pipe || !f->thaws;
    add(b, (gw_verdict){.state = GW_VERDICT_CAUTION,
                        .what = "ice around a pipe, radius when thickest",
                        .kind = GW_QTY_LENGTH,
                        .found = f->greatest_radius_m,
                        .because =
                            gw_arena_printf(b->d->arena,
                                            "thickest at the end of %s%s; frozen ground heaves: "
                                            "keep clear of foundations, drains and "
                                            "septic field. Without ice the coldest water would be "
                                            "%.1f °C at the length of %.0f m",
                                            MONTHS[f->greatest_month],
                                            bad ? (f->thaws ? "; the ice of two pipes meets"
                                                            : "; it does not all thaw in summer")
                                                : "",
                                            loop->unfrozen_coldest_degc, loop->unfrozen_length_m)});
}

// VDI 4640-2 (2001) bands for bores at 2,400 h: below 20 W/m anywhere, above 84 W/m nowhere.
static void plausibility_verdicts(bench *b, const gw_design_loop *loop)
{
    const gw_loop_sized *const s = &loop->sized;
    const double w_m = s->result.peak_extraction_w / s->response.length_m;
    if (loop->kind == GW_LOOP_BORES) {
        add(b, (gw_verdict){
                   .state = w_m > 84.0 ? GW_VERDICT_CAUTION : GW_VERDICT_HOLDS,
                   .what = "peak extraction per metre of bore",
                   .kind = GW_QTY_LINE_POWER,
                   .found = w_m,
                   .side = GW_LIMIT_AT_MOST,
                   .limit = 84.0,
                   .because =
                       "the best rock of VDI 4640-2 (2001) at 1,800 h; a guideline, not a law"});
    } else {
        const gw_trench_plan *const t = &s->plan.trench;
        const double share_m = t->count > 1 ? t->spacing_m : fmax(t->width_m, 3.0);
        const double w_m2 =
            s->result.peak_extraction_w / (t->length_m * (double)t->count * share_m);
        add(b, (gw_verdict){
                   .state = w_m2 > 40.0 ? GW_VERDICT_CAUTION : GW_VERDICT_HOLDS,
                   .what = "peak extraction per square metre of ground",
                   .kind = GW_QTY_IRRADIANCE,
                   .found = w_m2,
                   .side = GW_LIMIT_AT_MOST,
                   .limit = 40.0,
                   .because = "wet sand of VDI 4640-2 (2001) at 1,800 h; a guideline, not a law"});
        ice_verdict(b, loop);
    }
}

static void auxiliary_verdict(bench *b, const gw_design_loop *loop)
{
    const gw_loop_energy *const y = &loop->sized.result.last;
    const double heat_j = y->heating_j + y->hot_water_j;
    const double share = heat_j > 0.0 ? y->auxiliary_j / heat_j : 0.0;
    add(b, (gw_verdict){.state = share > 0.10 ? GW_VERDICT_CAUTION : GW_VERDICT_HOLDS,
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
    lot_verdict(&b, loop);
    fluid_verdicts(&b, loop);
    plausibility_verdicts(&b, loop);
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
    const gw_loop_kind kind = strcmp(when, "bores") == 0 ? GW_LOOP_BORES : GW_LOOP_TRENCH;
    for (size_t i = 0; i < design->loop_count; i++) {
        if (design->loops[i].kind == kind) {
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
