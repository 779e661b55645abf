// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/builtin.h"
#include "money/alternative.h"
#include "money/money_priv.h"

#include <string.h>

gw_status gw_alternative_check(const gw_alternative *alternative, gw_err *err)
{
    const struct {
        double value;
        gw_money_priv_range range;
    } rows[] = {{alternative->efficiency_frac, {"efficiency_frac", 0.2, 1.0}},
                {alternative->fan_frac, {"fan_frac", 0.0, 0.2}},
                {alternative->heating.base, {"heating.base", 0.0, 1e7}},
                {alternative->heating.per_w, {"heating.per_w", 0.0, 1e4}},
                {alternative->cooling.base, {"cooling.base", 0.0, 1e7}},
                {alternative->cooling.per_w, {"cooling.per_w", 0.0, 1e4}},
                {gw_money_to_units(alternative->maintenance), {"maintenance", 0.0, 1e6}},
                {gw_money_to_units(alternative->fixed_charge), {"fixed_charge", 0.0, 1e6}},
                {alternative->life_year, {"life_year", 1.0, 100.0}}};
    gw_status st = GW_OK;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0] && st == GW_OK; i++) {
        st = gw_money_priv_within(rows[i].range.column, rows[i].value, rows[i].range, err);
    }
    if (st == GW_OK && alternative->cooling_cop != 0.0) {
        st = gw_money_priv_within("cooling_cop", alternative->cooling_cop,
                                  (gw_money_priv_range){"cooling_cop", 1.5, 10.0}, err);
    }
    return st;
}

// Columns of numbers, in the order in which read_row keeps them.
enum {
    EFFICIENCY,
    FAN,
    COOLING_COP,
    HEAT_BASE,
    HEAT_KW,
    COOL_BASE,
    COOL_KW,
    UPKEEP,
    FIXED,
    LIFE,
    NUMBERS
};

static const gw_money_priv_range number_columns[NUMBERS] = {
    [EFFICIENCY] = {"efficiency", 0.2, 1.0},    [FAN] = {"fan", 0.0, 0.2},
    [COOLING_COP] = {"cooling_cop", 0.0, 10.0}, [HEAT_BASE] = {"heating_base", 0.0, 1e7},
    [HEAT_KW] = {"heating_per_kw", 0.0, 1e7},   [COOL_BASE] = {"cooling_base", 0.0, 1e7},
    [COOL_KW] = {"cooling_per_kw", 0.0, 1e7},   [UPKEEP] = {"maintenance", 0.0, 1e6},
    [FIXED] = {"fixed_charge", 0.0, 1e6},       [LIFE] = {"life_year", 1.0, 100.0},
};

static gw_status read_row(const gw_table *table, size_t row, gw_alternative *out, gw_err *err)
{
    double x[NUMBERS] = {0.0};
    gw_status st = gw_money_priv_text(table, row, "key", &out->key, err);
    if (st == GW_OK) {
        st = gw_money_priv_text(table, row, "name", &out->name, err);
    }
    if (st == GW_OK) {
        st = gw_money_priv_text(table, row, "fuel", &out->fuel_key, err);
    }
    if (st == GW_OK) {
        st = gw_money_priv_text(table, row, "source", &out->source, err);
    }
    for (size_t i = 0; i < NUMBERS && st == GW_OK; i++) {
        st = gw_money_priv_number(table, row, number_columns[i], &x[i], err);
    }
    if (st == GW_OK) {
        st = gw_money_from_units(x[UPKEEP], &out->maintenance, err);
    }
    if (st == GW_OK) {
        st = gw_money_from_units(x[FIXED], &out->fixed_charge, err);
    }
    if (st != GW_OK) {
        return st;
    }
    out->efficiency_frac = x[EFFICIENCY];
    out->fan_frac = x[FAN];
    out->cooling_cop = x[COOLING_COP];
    out->heating = (gw_alternative_capital){x[HEAT_BASE], x[HEAT_KW] * 1e-3};
    out->cooling = (gw_alternative_capital){x[COOL_BASE], x[COOL_KW] * 1e-3};
    out->life_year = x[LIFE];
    st = gw_alternative_check(out, err);
    if (st != GW_OK && err != NULL) {
        err->line = table->lines[row];
    }
    return st == GW_OK ? gw_money_priv_unique(table, row, "key", err) : st;
}

gw_status gw_alternative_read(gw_arena *arena, const char *name, const char *text, size_t length,
                              gw_alternative_list *out, gw_err *err)
{
    static const char *const columns[] = {
        "key",         "name",         "fuel",           "efficiency",   "fan",
        "cooling_cop", "heating_base", "heating_per_kw", "cooling_base", "cooling_per_kw",
        "maintenance", "fixed_charge", "life_year",      "source"};
    gw_table table;
    gw_status st = gw_table_read(arena, name, text, length, &table, err);
    if (st == GW_OK) {
        st = gw_money_priv_columns(&table, columns, sizeof columns / sizeof columns[0], err);
    }
    if (st != GW_OK) {
        return st;
    }
    gw_alternative *const items = gw_arena_alloc(arena, table.rows, sizeof *items);
    if (items == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, name, "out of memory reading %s", name);
    }
    for (size_t r = 0; r < table.rows && st == GW_OK; r++) {
        st = read_row(&table, r, &items[r], err);
    }
    if (st == GW_OK) {
        *out = (gw_alternative_list){items, table.rows};
    }
    return st;
}

gw_status gw_alternative_builtin(gw_arena *arena, gw_alternative_list *out, gw_err *err)
{
    gw_builtin_file file;
    if (!gw_builtin("alternatives.csv", &file)) {
        return gw_fail(err, GW_ERR_IO, "alternatives.csv",
                       "the built-in table of alternatives is missing");
    }
    return gw_alternative_read(arena, file.name, file.text, file.length, out, err);
}

gw_status gw_alternative_find(const gw_alternative_list *list, const char *key, gw_alternative *out,
                              gw_err *err)
{
    gw_money_priv_guess guess = {.wanted = key};
    for (size_t i = 0; i < list->count; i++) {
        if (strcmp(list->items[i].key, key) == 0) {
            *out = list->items[i];
            return GW_OK;
        }
        gw_money_priv_consider(&guess, list->items[i].key);
    }
    return gw_money_priv_fail_key(&guess, "alternative", err);
}
