// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "lot/setback.h"

#include "base/text.h"

#include <stdio.h>
#include <string.h>

static const double FARTHEST_M = 1e5;
static const double LARGEST_FACTOR = 100;
static const char TYPICAL[] = "typical";

static const char *const LOOP_NAMES[GW_LOT_LOOP_COUNT] = {
    [GW_LOT_BORE] = "bore",     [GW_LOT_TRENCH] = "trench",  [GW_LOT_COIL] = "coil",
    [GW_LOT_HEADER] = "header", [GW_LOT_POND_LOOP] = "pond",
};

const char *gw_lot_loop_name(gw_lot_loop loop)
{
    return (unsigned)loop < GW_LOT_LOOP_COUNT ? LOOP_NAMES[loop] : "unknown";
}

// ---- reading ---------------------------------------------------------------------------------

static bool set_loop(const char *word, size_t length, bool loops[GW_LOT_LOOP_COUNT])
{
    const bool any = length == 3 && memcmp(word, "any", 3) == 0;
    bool found = false;
    for (size_t i = 0; i < GW_LOT_LOOP_COUNT; i++) {
        if (any || (strlen(LOOP_NAMES[i]) == length && memcmp(word, LOOP_NAMES[i], length) == 0)) {
            loops[i] = true;
            found = true;
        }
    }
    return found;
}

static gw_status read_loops(const char *text, bool loops[GW_LOT_LOOP_COUNT], gw_err *err)
{
    for (const char *word = text;;) {
        const size_t length = strcspn(word, "+");
        if (!set_loop(word, length, loops)) {
            return gw_fail(err, GW_ERR_KEY, "loop",
                           "\"%.*s\" is none of bore, trench, coil, header, pond, any", (int)length,
                           word);
        }
        if (word[length] == '\0') {
            return GW_OK;
        }
        word += length + 1;
    }
}

static gw_status check_rule(const gw_lot_rule *rule, gw_err *err)
{
    if (!(rule->distance_m >= 0 && rule->distance_m <= FARTHEST_M)) {
        return gw_fail(err, GW_ERR_RANGE, "distance_m", "distance %g m must be 0 to %g m",
                       rule->distance_m, FARTHEST_M);
    }
    if (!(rule->raise_factor >= 0 && rule->raise_factor <= LARGEST_FACTOR)) {
        return gw_fail(err, GW_ERR_RANGE, "raise_factor", "raise factor %g must be 0 to %g",
                       rule->raise_factor, LARGEST_FACTOR);
    }
    return GW_OK;
}

static gw_status read_texts(const gw_table *table, size_t row, gw_lot_rule *out, gw_err *err)
{
    const struct {
        const char *column;
        const char **cell;
    } wanted[] = {{"jurisdiction", &out->jurisdiction},
                  {"variant", &out->variant},
                  {"source", &out->source},
                  {"note", &out->note}};
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        const gw_status st = gw_table_text(table, row, wanted[i].column, wanted[i].cell, err);
        if (st != GW_OK) {
            return st;
        }
    }
    if (out->jurisdiction[0] == '\0') {
        return gw_fail(err, GW_ERR_MISSING, "jurisdiction", "a setback has no jurisdiction");
    }
    if (out->source[0] == '\0') {
        return gw_fail(err, GW_ERR_MISSING, "source", "a setback of %s has no source",
                       out->jurisdiction);
    }
    return GW_OK;
}

static gw_status read_rule(const gw_table *table, size_t row, gw_lot_rule *out, gw_err *err)
{
    const char *kind = NULL;
    const char *loop = NULL;
    gw_status st = read_texts(table, row, out, err);
    if (st == GW_OK) {
        st = gw_table_text(table, row, "kind", &kind, err);
    }
    if (st == GW_OK) {
        st = gw_lot_kind_find(kind, &out->kind, err);
    }
    if (st == GW_OK) {
        st = gw_table_text(table, row, "loop", &loop, err);
    }
    if (st == GW_OK) {
        st = read_loops(loop, out->loops, err);
    }
    if (st == GW_OK) {
        st = gw_table_number(table, row, "distance_m", &out->distance_m, err);
    }
    if (st == GW_OK) {
        st = gw_table_number_or(table, row, "raise_factor", 0, &out->raise_factor, err);
    }
    return st == GW_OK ? check_rule(out, err) : st;
}

gw_status gw_lot_rules_read(gw_arena *arena, const gw_table *table, gw_lot_rules *out, gw_err *err)
{
    gw_lot_rule *const items = gw_arena_alloc(arena, table->rows, sizeof *items);
    if (items == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, table->name, "no memory for %zu setbacks", table->rows);
    }
    for (size_t row = 0; row < table->rows; row++) {
        const gw_status st = read_rule(table, row, &items[row], err);
        if (st != GW_OK) {
            if (err != NULL) {
                err->line = table->lines[row];
            }
            return st;
        }
    }
    *out = (gw_lot_rules){items, table->rows};
    return GW_OK;
}

// ---- checking --------------------------------------------------------------------------------

static gw_status check_jurisdiction(const gw_lot_ruleset *set, gw_err *err)
{
    const char *const name = set->jurisdiction;
    if (name == NULL || strcmp(name, TYPICAL) == 0) {
        return GW_OK;
    }
    const char *nearest = NULL;
    size_t nearest_edits = 3;
    for (size_t i = 0; i < set->shipped->count; i++) {
        const char *const other = set->shipped->items[i].jurisdiction;
        const size_t edits = gw_text_distance(name, other);
        if (strcmp(name, other) == 0) {
            return GW_OK;
        }
        if (edits < nearest_edits) {
            nearest_edits = edits;
            nearest = other;
        }
    }
    if (nearest != NULL) {
        return gw_fail(err, GW_ERR_KEY, "lot.jurisdiction",
                       "no setbacks are known for \"%s\"; did you mean \"%s\"?", name, nearest);
    }
    return gw_fail(err, GW_ERR_KEY, "lot.jurisdiction",
                   "no setbacks are known for \"%s\"; leave it out to use typical ones", name);
}

gw_status gw_lot_ruleset_check(const gw_lot_ruleset *set, gw_err *err)
{
    for (size_t i = 0; i < set->own.count; i++) {
        gw_err inner = {0};
        const gw_status st = check_rule(&set->own.items[i], &inner);
        if (st != GW_OK) {
            char field[GW_ERR_FIELD_SIZE];
            snprintf(field, sizeof field, "lot.setbacks[%zu].%.40s", i, inner.field);
            return gw_fail(err, st, field, "%s", inner.text);
        }
    }
    return check_jurisdiction(set, err);
}

// ---- finding ---------------------------------------------------------------------------------

static bool is_set(const char *text)
{
    return text != NULL && text[0] != '\0';
}

// How closely a rule fits: 0 not at all, 1 by kind, 2 by variant, 3 or more by feature.
static int fit_of(const gw_lot_rule *rule, const gw_lot_feature *feature, gw_lot_loop loop)
{
    const gw_lot_kind kind = feature != NULL ? feature->kind : GW_LOT_PROPERTY_LINE;
    if (rule->kind != kind || !rule->loops[loop]) {
        return 0;
    }
    int fit = 1;
    if (is_set(rule->variant)) {
        if (feature == NULL || !is_set(feature->variant) ||
            strcmp(rule->variant, feature->variant) != 0) {
            return 0;
        }
        fit += 1;
    }
    if (rule->feature_id != NULL) {
        if (feature == NULL || strcmp(rule->feature_id, feature->id) != 0) {
            return 0;
        }
        fit += 2;
    }
    return fit;
}

// jurisdiction NULL: all rules of the list.
static const gw_lot_rule *best_of(const gw_lot_rules *rules, const char *jurisdiction,
                                  const gw_lot_feature *feature, gw_lot_loop loop)
{
    const gw_lot_rule *best = NULL;
    int best_fit = 1;
    for (size_t i = 0; i < rules->count; i++) {
        const gw_lot_rule *const rule = &rules->items[i];
        const int fit = fit_of(rule, feature, loop);
        if (fit >= best_fit &&
            (jurisdiction == NULL || strcmp(rule->jurisdiction, jurisdiction) == 0)) {
            best = rule;
            best_fit = fit;
        }
    }
    return best;
}

bool gw_lot_find_setback(const gw_lot_ruleset *set, const gw_lot_feature *feature, gw_lot_loop loop,
                         gw_lot_setback *out)
{
    gw_lot_origin origin = GW_LOT_OWN_RULE;
    const gw_lot_rule *rule = best_of(&set->own, NULL, feature, loop);
    const bool local = set->jurisdiction != NULL && strcmp(set->jurisdiction, TYPICAL) != 0;
    if (rule == NULL && local && set->shipped != NULL) {
        origin = GW_LOT_LOCAL_RULE;
        rule = best_of(set->shipped, set->jurisdiction, feature, loop);
    }
    if (rule == NULL && set->shipped != NULL) {
        origin = GW_LOT_TYPICAL_RULE;
        rule = best_of(set->shipped, TYPICAL, feature, loop);
    }
    if (rule == NULL) {
        return false;
    }
    const double raise_m = feature != NULL ? feature->raise_m : 0;
    *out = (gw_lot_setback){rule->distance_m + rule->raise_factor * raise_m, rule, origin};
    return true;
}
