// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Water-quality gates: rows of data/water_quality.csv held against an analysis.
#include "loop/well.h"

#include <math.h>
#include <string.h>

typedef struct {
    const char *key, *material, *reinjected;
    double above_degc, to_degc;
    gw_well_quality verdict; // without value
} rule;

static gw_status read_texts(const gw_table *rules, size_t row, rule *out, gw_err *err)
{
    const struct {
        const char *column;
        const char **cell;
    } texts[] = {
        {"id", &out->verdict.id},         {"key", &out->key},
        {"material", &out->material},     {"reinjected", &out->reinjected},
        {"unit", &out->verdict.unit},     {"text", &out->verdict.text},
        {"source", &out->verdict.source},
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        const gw_status st = gw_table_text(rules, row, texts[i].column, texts[i].cell, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

static gw_status read_rule(const gw_table *rules, size_t row, rule *out, gw_err *err)
{
    *out = (rule){0};
    gw_status st = read_texts(rules, row, out, err);
    const struct {
        const char *column;
        double otherwise;
        double *cell;
    } numbers[] = {
        {"above_degc", -(double)INFINITY, &out->above_degc},
        {"to_degc", (double)INFINITY, &out->to_degc},
        {"low", -(double)INFINITY, &out->verdict.low},
        {"high", (double)INFINITY, &out->verdict.high},
    };
    for (size_t i = 0; st == GW_OK && i < sizeof numbers / sizeof numbers[0]; i++) {
        st = gw_table_number_or(rules, row, numbers[i].column, numbers[i].otherwise,
                                numbers[i].cell, err);
    }
    return st;
}

static bool applies(const rule *r, const gw_well_sample *sample)
{
    if (strcmp(r->material, "any") != 0 &&
        (sample->material == NULL || strcmp(r->material, sample->material) != 0)) {
        return false;
    }
    if (r->reinjected[0] != '\0' && (strcmp(r->reinjected, "yes") == 0) != sample->reinjected) {
        return false;
    }
    return sample->water_degc > r->above_degc && sample->water_degc <= r->to_degc;
}

// Every key analysed and the material must be in the table: a misspelt one would check nothing.
static gw_status check_sample(const gw_table *rules, const gw_well_sample *sample, gw_err *err)
{
    size_t row = 0;
    if (!isfinite(sample->water_degc)) {
        return gw_fail(err, GW_ERR_RANGE, "water.water_degc",
                       "found a water temperature that is no number");
    }
    for (size_t i = 0; i < sample->count; i++) {
        const gw_status st = gw_table_find(rules, "key", sample->items[i].key, &row, err);
        if (st != GW_OK) {
            return st;
        }
        if (!isfinite(sample->items[i].value)) {
            return gw_fail(err, GW_ERR_RANGE, sample->items[i].key,
                           "found an analysis of %s that is no number", sample->items[i].key);
        }
    }
    return sample->material == NULL ? GW_OK
                                    : gw_table_find(rules, "material", sample->material, &row, err);
}

gw_status gw_well_judge_water(const gw_table *rules, const gw_well_sample *sample,
                              gw_well_quality verdicts[static GW_WELL_RULES_MAX], size_t *count,
                              gw_err *err)
{
    *count = 0;
    gw_status st = check_sample(rules, sample, err);
    for (size_t row = 0; st == GW_OK && row < rules->rows; row++) {
        rule r;
        st = read_rule(rules, row, &r, err);
        if (st != GW_OK || !applies(&r, sample)) {
            continue;
        }
        if (*count == GW_WELL_RULES_MAX) {
            return gw_fail(err, GW_ERR_RANGE, rules->name, "found more than %d rows that apply",
                           (int)GW_WELL_RULES_MAX);
        }
        gw_well_quality *const v = &verdicts[(*count)++];
        *v = r.verdict;
        for (size_t i = 0; i < sample->count; i++) {
            if (strcmp(sample->items[i].key, r.key) == 0) {
                v->measured = true;
                v->value = sample->items[i].value;
            }
        }
        v->holds = v->measured && v->value >= v->low && v->value <= v->high;
    }
    return st;
}
