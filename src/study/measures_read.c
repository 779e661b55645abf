// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The table of measures, held against one house.
#include "study/measures.h"

#include "base/builtin.h"

#include <math.h>
#include <string.h>

// Nobody replaces what is nearly as good already.
static const double NEARLY_FRAC = 0.85;

static const char AIR[] = "air";

typedef struct {
    const char *key, *name, *applies_to, *source;
    double target_m2k_w, added_m2k_w, solar_gain_frac;
    double ach50_factor, ach50_least;
    double per_m2, fixed;
} table_row;

static gw_status read_row(const gw_table *t, size_t i, table_row *r, gw_err *err)
{
    const struct {
        const char *column;
        const char **out;
    } texts[] = {{"key", &r->key},
                 {"name", &r->name},
                 {"applies_to", &r->applies_to},
                 {"source", &r->source}};
    const struct {
        const char *column;
        double otherwise;
        double *out;
    } numbers[] = {{"rsi_target_m2k_w", 0.0, &r->target_m2k_w},
                   {"rsi_added_m2k_w", 0.0, &r->added_m2k_w},
                   {"solar_gain_frac", -1.0, &r->solar_gain_frac},
                   {"ach50_factor", 1.0, &r->ach50_factor},
                   {"ach50_least", 0.0, &r->ach50_least},
                   {"price_per_m2", 0.0, &r->per_m2},
                   {"price_fixed", 0.0, &r->fixed}};
    gw_status st = GW_OK;
    for (size_t k = 0; k < sizeof texts / sizeof texts[0] && st == GW_OK; k++) {
        st = gw_table_text(t, i, texts[k].column, texts[k].out, err);
    }
    for (size_t k = 0; k < sizeof numbers / sizeof numbers[0] && st == GW_OK; k++) {
        st = gw_table_number_or(t, i, numbers[k].column, numbers[k].otherwise, numbers[k].out, err);
    }
    return st;
}

static gw_status kind_of(const gw_table *t, size_t i, const char *word, gw_house_kind *out,
                         gw_err *err)
{
    for (int k = 0; k < GW_HOUSE_KIND_COUNT; k++) {
        if (strcmp(word, gw_house_kind_word((gw_house_kind)k)) == 0) {
            *out = (gw_house_kind)k;
            return GW_OK;
        }
    }
    if (err != NULL) {
        err->line = t->lines[i];
    }
    return gw_fail(err, GW_ERR_KEY, "applies_to",
                   "%s line %d: found \"%s\", expected \"air\" or a kind of component", t->name,
                   t->lines[i], word);
}

// Area that the measure would improve.
static double area_improved(const gw_house *house, const gw_measure *m)
{
    double area_m2 = 0.0;
    for (size_t i = 0; i < house->envelope_count; i++) {
        const gw_house_component *const c = &house->envelope[i];
        const double after =
            fmax(m->insulation_m2k_w, c->insulation_m2k_w + m->insulation_added_m2k_w);
        if (c->kind == m->kind && c->insulation_m2k_w < NEARLY_FRAC * after) {
            area_m2 += c->area_m2;
        }
    }
    return area_m2;
}

// False: nothing of this house would change.
static bool fit(const gw_house *house, const table_row *r, gw_measure *m, double *area_m2)
{
    if (m->part == GW_MEASURE_INSULATE) {
        *area_m2 = area_improved(house, m);
        return *area_m2 > 0.0;
    }
    *area_m2 = house->floor_area_m2;
    const double now = gw_house_ach50(house);
    m->ach50 = fmax(r->ach50_least, r->ach50_factor * now);
    return house->leakage.kind != GW_HOUSE_LEAKAGE_NATURAL && m->ach50 < NEARLY_FRAC * now;
}

gw_status gw_measures_read(gw_arena *arena, const gw_table *table, const gw_job *job,
                           gw_measure_list *out, gw_err *err)
{
    if (gw_house_is_given(&job->house)) {
        return gw_fail(err, GW_ERR_MISSING, "house.envelope",
                       "the house's loss is given as one number: measures need its envelope");
    }
    gw_measure *const items = gw_arena_alloc(arena, table->rows + 1, sizeof *items);
    if (items == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory reading the measures");
    }
    *out = (gw_measure_list){.items = items};
    for (size_t i = 0; i < table->rows; i++) {
        table_row r;
        gw_status st = read_row(table, i, &r, err);
        if (st != GW_OK) {
            return st;
        }
        gw_measure m = {.key = r.key,
                        .name = r.name,
                        .part = strcmp(r.applies_to, AIR) == 0 ? GW_MEASURE_TIGHTEN
                                                               : GW_MEASURE_INSULATE,
                        .insulation_m2k_w = r.target_m2k_w,
                        .insulation_added_m2k_w = r.added_m2k_w,
                        .solar_gain_frac = r.solar_gain_frac,
                        .cost_from = r.source};
        if (m.part == GW_MEASURE_INSULATE) {
            st = kind_of(table, i, r.applies_to, &m.kind, err);
        }
        double area_m2 = 0.0;
        if (st == GW_OK && fit(&job->house, &r, &m, &area_m2)) {
            st = gw_money_from_units(r.fixed + r.per_m2 * area_m2, &m.cost, err);
            items[out->count++] = m;
        }
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

gw_status gw_measures_usual(gw_arena *arena, const gw_job *job, gw_measure_list *out, gw_err *err)
{
    gw_builtin_file file;
    gw_table table;
    if (!gw_builtin("measures.csv", &file)) {
        return gw_fail(err, GW_ERR_IO, "measures.csv", "the built-in table is missing");
    }
    const gw_status st = gw_table_read(arena, file.name, file.text, file.length, &table, err);
    return st == GW_OK ? gw_measures_read(arena, &table, job, out, err) : st;
}
