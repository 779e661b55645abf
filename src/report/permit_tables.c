// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Schedules, checklist, basis of the design and the record to fill in.
#include "report/permit_priv.h"

#include <math.h>
#include <string.h>

#define Q(kind, value) gw_papers_quantity(p, GW_QTY_##kind, (value))

enum { CELLS_MAX = 8 };

// A table being filled.
typedef struct {
    gw_permit_columns *to;
    gw_ruled_rows rows;
    const gw_ruled_column *columns;
    double size_mm;
} filling;

static filling start(gw_permit_columns *to, const gw_ruled_column *columns, size_t count)
{
    return (filling){.to = to,
                     .rows = {.arena = to->set->p.arena, .column_count = count},
                     .columns = columns,
                     .size_mm = to->set->letter_mm};
}

static void finish(filling *f, bool plain)
{
    f->to->set->p.failed = f->to->set->p.failed || f->rows.failed;
    const gw_ruled table = {f->columns,   f->rows.column_count, f->rows.cells,
                            f->rows.rows, f->size_mm,           plain};
    gw_permit_columns_table(f->to, &table);
}

static void row(filling *f, const char *a, const char *b, const char *c, const char *d)
{
    const char *const cells[] = {a, b, c, d};
    gw_ruled_add(&f->rows, cells);
}

// ---------------------------------------------------------------- schedules

static void pipe_schedule(gw_permit_columns *c)
{
    static const gw_ruled_column COLUMNS[] = {{"Pipe", 2.6, GW_ANCHOR_START},
                                              {"Where", 1.7, GW_ANCHOR_START},
                                              {"Outside × wall", 1.6, GW_ANCHOR_START},
                                              {"Length", 1.1, GW_ANCHOR_END}};
    gw_papers *const p = &c->set->p;
    const gw_design_loop *const l = p->loop;
    const gw_pipe_size *const sizes[] = {l->pipe, l->header};
    const double lengths[] = {l->sized.response.circuit_pipe_m * (double)l->sized.response.circuits,
                              2.0 * l->sized.plan.header_m};
    gw_permit_columns_heading(c, "Pipe schedule");
    filling f = start(c, COLUMNS, 4);
    for (size_t i = 0; i < 2; i++) {
        row(&f, gw_papers_text(p, "%s, %s", sizes[i]->name, sizes[i]->standard),
            i == 0 ? gw_papers_text(p, "%zu circuit%s", l->sized.response.circuits,
                                    l->sized.response.circuits == 1 ? "" : "s")
                   : "header, both ways",
            gw_papers_text(p, "%s × %s", gw_papers_small(p, sizes[i]->outer_diameter_m),
                           gw_papers_small(p, sizes[i]->wall_m)),
            Q(LENGTH, lengths[i]));
    }
    finish(&f, false);
}

static void bore_schedule(gw_permit_columns *c)
{
    static const gw_ruled_column COLUMNS[] = {{"Bores", 1.3, GW_ANCHOR_START},
                                              {"Hole", 1.0, GW_ANCHOR_START},
                                              {"From – to", 1.6, GW_ANCHOR_START},
                                              {"Grout, each", 1.2, GW_ANCHOR_END}};
    gw_papers *const p = &c->set->p;
    const gw_bores_plan *const b = &p->loop->sized.plan.bores;
    gw_permit_columns_heading(c, "Bore and grout schedule");
    filling f = start(c, COLUMNS, 4);
    row(&f, b->count > 1 ? gw_papers_text(p, "B1 to B%zu", b->count) : "B1",
        gw_papers_small(p, b->diameter_m),
        gw_papers_text(p, "%s – %s", Q(LENGTH, b->top_m), Q(LENGTH, b->top_m + b->depth_m)),
        Q(VOLUME, gw_papers_grout_m3(p->loop)));
    finish(&f, false);
    gw_permit_columns_paragraph(
        c, gw_papers_text(p,
                          "Grout %s, thermally as designed; volume of the hole less the pipes, %s "
                          "for all bores, 15 to 25 %% more is usual for losses.",
                          Q(CONDUCTIVITY, b->grout_conductivity_w_mk),
                          Q(VOLUME, gw_papers_grout_m3(p->loop) * (double)b->count)));
}

static void trench_schedule(gw_permit_columns *c)
{
    static const gw_ruled_column COLUMNS[] = {{"Trenches", 1.3, GW_ANCHOR_START},
                                              {"Each", 1.0, GW_ANCHOR_END},
                                              {"Depth × width", 1.5, GW_ANCHOR_START},
                                              {"Pipe in each", 1.2, GW_ANCHOR_END}};
    gw_papers *const p = &c->set->p;
    const gw_trench_plan *const t = &p->loop->sized.plan.trench;
    gw_permit_columns_heading(c, "Trench schedule");
    filling f = start(c, COLUMNS, 4);
    row(&f, t->count > 1 ? gw_papers_text(p, "T1 to T%zu", t->count) : "T1", Q(LENGTH, t->length_m),
        gw_papers_text(p, "%s × %s", Q(LENGTH, t->depth_m), Q(LENGTH, t->width_m)),
        Q(LENGTH, t->length_m * (double)t->pipes));
    finish(&f, false);
}

static void fluid_schedule(gw_permit_columns *c)
{
    static const gw_ruled_column COLUMNS[] = {{"", 1.5, GW_ANCHOR_START},
                                              {"", 2.2, GW_ANCHOR_START}};
    gw_papers *const p = &c->set->p;
    const gw_design *const d = p->design;
    const gw_circuit_result *const h = &p->loop->hydraulics;
    gw_permit_columns_heading(c, "Fluid and flow schedule");
    filling f = start(c, COLUMNS, 2);
    row(&f, "Fluid",
        gw_papers_text(p, "%s, %.0f %% by mass", d->fluid_data->name, 100.0 * d->fluid.mass_frac),
        NULL, NULL);
    row(&f, "Freezes at", Q(TEMPERATURE, d->freeze_degc), NULL, NULL);
    row(&f, "Loop holds", Q(VOLUME, h->total_volume_m3), NULL, NULL);
    if (d->fluid.kind != GW_FLUID_WATER) {
        row(&f, "Antifreeze to pour",
            h->charge.antifreeze_m3 > 0.0
                ? gw_papers_text(p, "%s (%s)", Q(VOLUME, h->charge.antifreeze_m3),
                                 Q(MASS, h->charge.antifreeze_kg))
                : Q(MASS, h->charge.antifreeze_kg),
            NULL, NULL);
    }
    row(&f, "Flow, all circuits",
        Q(FLOW, p->loop->sized.response.capacity_w_k /
                    (h->props.density_kg_m3 * h->props.specific_heat_j_kgk)),
        NULL, NULL);
    row(&f, "Head at the coldest fluid",
        gw_papers_text(p, "%s (%s)", Q(HEAD, h->total_head_m), Q(PRESSURE, h->total_pressure_pa)),
        NULL, NULL);
    row(&f, "Circulator",
        gw_papers_text(p, "%.0f W electrical, grade %c", h->pump_w, h->grade.grade), NULL, NULL);
    row(&f, "Purging",
        gw_papers_text(p, "%s at %s of head, water", Q(FLOW, h->purge_flow_m3_s),
                       Q(HEAD, h->purge_head_m)),
        NULL, NULL);
    finish(&f, true);
}

static gw_status test_schedule(gw_permit_columns *c, gw_err *err)
{
    static const gw_ruled_column COLUMNS[] = {{"Test", 1.4, GW_ANCHOR_START},
                                              {"How", 2.3, GW_ANCHOR_START},
                                              {"Design", 1.9, GW_ANCHOR_START},
                                              {"Found, date, by", 1.4, GW_ANCHOR_START}};
    gw_papers *const p = &c->set->p;
    gw_table table;
    gw_status st = gw_papers_table(p, "site_tests.csv", &table, err);
    gw_permit_columns_heading(c, "Tests and readings");
    filling f = start(c, COLUMNS, 4);
    for (size_t i = 0; st == GW_OK && i < table.rows; i++) {
        const char *cells[4] = {NULL, NULL, NULL, ""};
        const char *when = NULL;
        const char *key = NULL;
        const char *const names[] = {"when", "test", "how", "value"};
        const char **const outs[] = {&when, &cells[0], &cells[1], &key};
        for (size_t k = 0; k < 4 && st == GW_OK; k++) {
            st = gw_table_text(&table, i, names[k], outs[k], err);
        }
        if (st == GW_OK && gw_papers_applies(p, when)) {
            st = gw_papers_value(p, key, &cells[2], err);
            gw_ruled_add(&f.rows, cells);
        }
    }
    if (st == GW_OK) {
        finish(&f, false);
    }
    return st;
}

gw_status gw_permit_priv_schedules(gw_permit_priv *set, gw_err *err)
{
    gw_permit_columns c;
    gw_permit_columns_open(&c, set, "schedules", "Schedules");
    pipe_schedule(&c);
    if (set->p.loop->kind == GW_LOOP_BORES) {
        bore_schedule(&c);
    } else {
        trench_schedule(&c);
    }
    fluid_schedule(&c);
    gw_permit_columns_break(&c);
    return test_schedule(&c, err);
}

// ---------------------------------------------------------------- checklist and cautions

static const char *state_words(const char *state)
{
    return strcmp(state, "read") == 0         ? "read"
           : strcmp(state, "remembered") == 0 ? "from memory: confirm"
                                              : "value to be confirmed in the standard";
}

static gw_status requirements(gw_permit_columns *c, gw_err *err)
{
    static const gw_ruled_column COLUMNS[] = {{"Requirement", 2.3, GW_ANCHOR_START},
                                              {"Standard", 1.35, GW_ANCHOR_START},
                                              {"This design", 2.1, GW_ANCHOR_START},
                                              {"Source", 1.15, GW_ANCHOR_START},
                                              {"Met?", 0.6, GW_ANCHOR_START}};
    gw_papers *const p = &c->set->p;
    gw_table table;
    gw_status st = gw_papers_table(p, "requirements.csv", &table, err);
    gw_permit_columns_heading(c, "Checklist by public standards");
    filling f = start(c, COLUMNS, 5);
    for (size_t i = 0; st == GW_OK && i < table.rows; i++) {
        const char *cells[5] = {NULL, NULL, NULL, NULL, ""};
        const char *when = NULL;
        const char *key = NULL;
        const char *state = NULL;
        const char *const names[] = {"when", "requirement", "standard", "value", "state"};
        const char **const outs[] = {&when, &cells[0], &cells[1], &key, &state};
        for (size_t k = 0; k < 5 && st == GW_OK; k++) {
            st = gw_table_text(&table, i, names[k], outs[k], err);
        }
        if (st == GW_OK && gw_papers_applies(p, when)) {
            st = gw_papers_value(p, key, &cells[2], err);
            cells[3] = state_words(state);
            gw_ruled_add(&f.rows, cells);
        }
    }
    if (st == GW_OK) {
        finish(&f, false);
    }
    return st;
}

// Distances usual where no bylaw says otherwise, for this sort of loop.
static gw_status distances(gw_permit_columns *c, gw_err *err)
{
    static const gw_ruled_column COLUMNS[] = {{"From", 1.2, GW_ANCHOR_START},
                                              {"Keep", 0.7, GW_ANCHOR_END},
                                              {"Source", 3.2, GW_ANCHOR_START}};
    gw_papers *const p = &c->set->p;
    gw_table table;
    gw_status st = gw_papers_table(p, "setbacks.csv", &table, err);
    const char *const sort = p->loop->kind == GW_LOOP_BORES ? "bore" : "trench";
    gw_permit_columns_heading(
        c, gw_papers_text(p, "Distances of a %s, where the bylaw says nothing", sort));
    filling f = start(c, COLUMNS, 3);
    for (size_t i = 0; st == GW_OK && i < table.rows; i++) {
        const char *jurisdiction = NULL;
        const char *kind = NULL;
        const char *variant = NULL;
        const char *loop = NULL;
        const char *source = NULL;
        double distance_m = 0.0;
        const char *const names[] = {"jurisdiction", "kind", "variant", "loop", "source"};
        const char **const outs[] = {&jurisdiction, &kind, &variant, &loop, &source};
        for (size_t k = 0; k < 5 && st == GW_OK; k++) {
            st = gw_table_text(&table, i, names[k], outs[k], err);
        }
        st = st == GW_OK ? gw_table_number(&table, i, "distance_m", &distance_m, err) : st;
        if (st == GW_OK && strcmp(jurisdiction, "typical") == 0 && variant[0] == '\0' &&
            distance_m > 0.0 && (strstr(loop, sort) != NULL || strcmp(loop, "any") == 0)) {
            row(&f, gw_papers_tidy(p, kind), Q(LENGTH, distance_m), source, NULL);
        }
    }
    if (st == GW_OK) {
        finish(&f, false);
    }
    return st;
}

static void cautions(gw_permit_columns *c)
{
    const gw_design *const d = c->set->p.design;
    gw_permit_columns_heading(c, "Cautions");
    for (size_t i = 0; i < d->caution_count; i++) {
        gw_permit_columns_paragraph(c,
                                    gw_papers_text(&c->set->p, "%zu. %s", i + 1, d->cautions[i]));
    }
}

gw_status gw_permit_priv_checklist(gw_permit_priv *set, gw_err *err)
{
    gw_permit_columns c;
    gw_permit_columns_open(&c, set, "checklist", "Standards checklist, distances, cautions");
    gw_status st = requirements(&c, err);
    if (st == GW_OK) {
        st = distances(&c, err);
    }
    cautions(&c);
    return st;
}

// ---------------------------------------------------------------- basis of the design

static void verdict_table(gw_permit_columns *c)
{
    static const gw_ruled_column COLUMNS[] = {{"Question", 2.6, GW_ANCHOR_START},
                                              {"Found", 1.0, GW_ANCHOR_END},
                                              {"Limit", 1.4, GW_ANCHOR_END},
                                              {"", 0.9, GW_ANCHOR_START}};
    gw_papers *const p = &c->set->p;
    gw_permit_columns_heading(c, "Verdicts");
    filling f = start(c, COLUMNS, 4);
    for (size_t i = 0; i < p->loop->verdicts.count; i++) {
        const gw_verdict *const v = &p->loop->verdicts.items[i];
        row(&f, v->what, gw_papers_quantity(p, v->kind, v->found), gw_papers_limit(p, v),
            gw_verdict_word(v->state));
    }
    finish(&f, false);
}

static void basis_table(gw_permit_columns *c)
{
    static const gw_ruled_column COLUMNS[] = {{"", 1.7, GW_ANCHOR_START},
                                              {"", 2.2, GW_ANCHOR_START}};
    gw_papers *const p = &c->set->p;
    const gw_design *const d = p->design;
    const gw_loop_response *const r = &p->loop->sized.response;
    const gw_loop_result *const w = &p->loop->sized.result;
    gw_permit_columns_heading(c, "Basis of the design");
    filling f = start(c, COLUMNS, 2);
    row(&f, "Climate",
        gw_papers_text(p, "%s, %s", d->station->name,
                       d->weather_made ? "hourly year made from monthly normals"
                                       : d->weather->name),
        NULL, NULL);
    row(&f, "Design heat loss",
        gw_papers_text(p, "%s at %s outside", Q(POWER, d->house.loss_w),
                       Q(TEMPERATURE, d->house.heating_outdoor_degc)),
        NULL, NULL);
    row(&f, "Design gain",
        gw_papers_text(p, "%s sensible, %s latent", Q(POWER, d->house.gain_w),
                       Q(POWER, d->house.latent_gain_w)),
        NULL, NULL);
    row(&f, "Heat in a year",
        gw_papers_text(p, "%s heating, %s cooling", Q(ENERGY, d->loads.heating_j),
                       Q(ENERGY, d->loads.cooling_j)),
        NULL, NULL);
    row(&f, "Heat pump", d->heat_pump->name, NULL, NULL);
    row(&f, "Ground",
        gw_papers_text(p, "%s, undisturbed %s", Q(CONDUCTIVITY, r->soil.conductivity_w_mk),
                       Q(TEMPERATURE, r->undisturbed_degc)),
        NULL, NULL);
    row(&f, "Fluid to ground", Q(LINE_RESISTANCE, r->resistance_mk_w), NULL, NULL);
    row(&f, "Coldest entering water",
        gw_papers_text(p, "%s on %s of year %zu", Q(TEMPERATURE, w->coldest.degc),
                       gw_papers_hour(p, w->coldest.hour), w->coldest.year),
        NULL, NULL);
    row(&f, "Warmest entering water",
        gw_papers_text(p, "%s on %s of year %zu", Q(TEMPERATURE, w->warmest.degc),
                       gw_papers_hour(p, w->warmest.hour), w->warmest.year),
        NULL, NULL);
    row(&f, "Method",
        "Hourly simulation of house, heat pump and ground together over the horizon; finite line "
        "sources with mirror images; the length is the least that holds the limits. Equations and "
        "sources: the design report.",
        NULL, NULL);
    finish(&f, true);
}

gw_status gw_permit_priv_basis(gw_permit_priv *set, gw_err *err)
{
    (void)err;
    gw_permit_columns c;
    gw_permit_columns_open(&c, set, "basis", "Basis of the design");
    basis_table(&c);
    verdict_table(&c);
    if (c.column + 1 < c.columns) {
        gw_permit_columns_break(&c);
    }
    gw_permit_columns_heading(&c, "Water temperature over the horizon");
    const gw_box box = gw_permit_columns_space(&c, 34.0 * set->letter_mm);
    gw_papers_draw_water(&set->p, c.scene, box, 0.9 * set->letter_mm);
    return GW_OK;
}

// ---------------------------------------------------------------- record to fill in

gw_status gw_permit_priv_record(gw_permit_priv *set, gw_err *err)
{
    (void)err;
    static const gw_ruled_column BORES[] = {{"Bore", 0.6, GW_ANCHOR_START},
                                            {"Depth, design", 1.0, GW_ANCHOR_END},
                                            {"Depth, found", 1.0, GW_ANCHOR_START},
                                            {"Tie 1", 1.0, GW_ANCHOR_START},
                                            {"Tie 2", 1.0, GW_ANCHOR_START},
                                            {"Tie 3", 1.0, GW_ANCHOR_START},
                                            {"Grout, theory", 1.0, GW_ANCHOR_END},
                                            {"Grout, pumped", 1.0, GW_ANCHOR_START},
                                            {"Water struck at", 1.0, GW_ANCHOR_START},
                                            {"Pipe lot", 1.0, GW_ANCHOR_START},
                                            {"Date, by", 1.1, GW_ANCHOR_START}};
    static const gw_ruled_column TRENCHES[] = {
        {"Trench end", 0.9, GW_ANCHOR_START},   {"Depth, design", 1.0, GW_ANCHOR_END},
        {"Depth, found", 1.0, GW_ANCHOR_START}, {"Tie 1", 1.0, GW_ANCHOR_START},
        {"Tie 2", 1.0, GW_ANCHOR_START},        {"Tie 3", 1.0, GW_ANCHOR_START},
        {"Length, design", 1.0, GW_ANCHOR_END}, {"Length, found", 1.0, GW_ANCHOR_START},
        {"Pipe lot", 1.0, GW_ANCHOR_START},     {"Photograph", 1.0, GW_ANCHOR_START},
        {"Date, by", 1.1, GW_ANCHOR_START}};
    enum { COLUMNS = 11 };
    gw_papers *const p = &set->p;
    const gw_loop_plan *const plan = &p->loop->sized.plan;
    const bool bores = plan->kind == GW_LOOP_BORES;
    gw_permit_columns c;
    gw_permit_columns_open(&c, set, "record", "Record of what is in the ground");
    c.columns = 1;
    gw_permit_columns_heading(
        &c, "Fixed points of the ties (permanent corners), datum and way of measuring");
    for (int i = 0; i < 3; i++) {
        const gw_box box = gw_permit_columns_space(&c, 4.2 * set->letter_mm);
        gw_sheet_blank(c.scene, (gw_mm){box.at.x, box.at.y + 2.6 * set->letter_mm},
                       0.6 * box.size.w, gw_papers_text(p, "tie %d is measured from", i + 1));
    }
    gw_permit_columns_heading(&c, bores ? "Bores as installed" : "Trenches as installed");
    filling f = start(&c, bores ? BORES : TRENCHES, COLUMNS);
    const size_t count = bores ? plan->bores.count : 2 * plan->trench.count;
    for (size_t i = 0; i < count; i++) {
        const char *cells[COLUMNS] = {NULL};
        cells[0] = bores ? gw_papers_text(p, "B%zu", i + 1)
                         : gw_papers_text(p, "T%zu %s", i / 2 + 1, i % 2 == 0 ? "near" : "far");
        cells[1] = bores ? Q(LENGTH, plan->bores.top_m + plan->bores.depth_m)
                         : Q(LENGTH, plan->trench.depth_m);
        cells[6] = bores        ? Q(VOLUME, gw_papers_grout_m3(p->loop))
                   : i % 2 == 0 ? Q(LENGTH, plan->trench.length_m)
                                : "";
        gw_ruled_add(&f.rows, cells);
    }
    finish(&f, false);
    return GW_OK;
}
