// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "money/fuel.h"

#include "base/builtin.h"
#include "money/money_priv.h"

#include <string.h>

// Global warming potentials over 100 years, IPCC AR5 (2013), table 8.A.1 (without feedbacks).
#define GWP_CH4 28.0
#define GWP_N2O 265.0

typedef struct {
    const char *column;
    const char **target;
} text_cell;

typedef struct {
    gw_money_priv_range range;
    double *target;
} number_cell;

static gw_status read_texts(const gw_table *table, size_t row, const text_cell *cells, size_t count,
                            gw_err *err)
{
    gw_status st = GW_OK;
    for (size_t i = 0; i < count && st == GW_OK; i++) {
        st = gw_money_priv_text(table, row, cells[i].column, cells[i].target, err);
    }
    return st;
}

static gw_status read_numbers(const gw_table *table, size_t row, const number_cell *cells,
                              size_t count, gw_err *err)
{
    gw_status st = GW_OK;
    for (size_t i = 0; i < count && st == GW_OK; i++) {
        st = gw_money_priv_number(table, row, cells[i].range, cells[i].target, err);
    }
    return st;
}

static gw_status check_rising(const gw_table *table, size_t row, const double value[static 3],
                              gw_err *err)
{
    if (value[0] > value[1] || value[1] > value[2]) {
        return gw_money_priv_fail(table, row, GW_ERR_RANGE, err,
                                  "values must rise from low over typical to high");
    }
    return GW_OK;
}

static gw_status read_fuel(const gw_table *table, size_t row, gw_fuel *out, gw_err *err)
{
    double energy_mj = 0.0, co2_kg = 0.0, ch4_g = 0.0, n2o_g = 0.0, biogenic = 0.0, year = 0.0;
    const text_cell texts[] = {{"key", &out->key},
                               {"name", &out->name},
                               {"unit", &out->unit},
                               {"region", &out->region},
                               {"source", &out->source},
                               {"price_source", &out->price_source},
                               {"co2_source", &out->co2_source}};
    const number_cell numbers[] = {
        {{"energy_mj", 0.01, 1e6}, &energy_mj}, {{"price_low", 0.0, 1e6}, &out->price_low},
        {{"price", 0.0, 1e6}, &out->price},     {{"price_high", 0.0, 1e6}, &out->price_high},
        {{"co2_kg", 0.0, 1e5}, &co2_kg},        {{"ch4_g", 0.0, 1e6}, &ch4_g},
        {{"n2o_g", 0.0, 1e6}, &n2o_g},          {{"biogenic", 0.0, 1.0}, &biogenic},
        {{"year", 1950.0, 2200.0}, &year}};
    gw_status st = read_texts(table, row, texts, sizeof texts / sizeof texts[0], err);
    if (st == GW_OK) {
        st = read_numbers(table, row, numbers, sizeof numbers / sizeof numbers[0], err);
    }
    if (st == GW_OK) {
        st = check_rising(table, row, (double[]){out->price_low, out->price, out->price_high}, err);
    }
    if (st == GW_OK) {
        st = gw_money_priv_unique(table, row, "key", err);
    }
    out->energy_j = energy_mj * 1e6;
    out->co2e_kg = co2_kg + GWP_CH4 * ch4_g * 1e-3 + GWP_N2O * n2o_g * 1e-3;
    out->biogenic = biogenic > 0.0;
    out->year = (int)year;
    return st;
}

static gw_status read_grid(const gw_table *table, size_t row, gw_grid *out, gw_err *err)
{
    double g_kwh[3] = {0.0, 0.0, 0.0};
    const text_cell texts[] = {{"key", &out->key}, {"name", &out->name}, {"source", &out->source}};
    const number_cell numbers[] = {{{"low_g_kwh", 0.0, 3000.0}, &g_kwh[0]},
                                   {{"typical_g_kwh", 0.0, 3000.0}, &g_kwh[1]},
                                   {{"high_g_kwh", 0.0, 3000.0}, &g_kwh[2]}};
    gw_status st = read_texts(table, row, texts, 3, err);
    if (st == GW_OK) {
        st = read_numbers(table, row, numbers, 3, err);
    }
    if (st == GW_OK) {
        st = check_rising(table, row, g_kwh, err);
    }
    if (st == GW_OK) {
        st = gw_money_priv_unique(table, row, "key", err);
    }
    out->co2e_kg_kwh_low = g_kwh[0] * 1e-3;
    out->co2e_kg_kwh = g_kwh[1] * 1e-3;
    out->co2e_kg_kwh_high = g_kwh[2] * 1e-3;
    return st;
}

gw_status gw_fuel_read(gw_arena *arena, const char *name, const char *text, size_t length,
                       gw_fuel_table *out, gw_err *err)
{
    static const char *const columns[] = {"key",       "name",   "unit",         "energy_mj",
                                          "price_low", "price",  "price_high",   "co2_kg",
                                          "ch4_g",     "n2o_g",  "biogenic",     "region",
                                          "year",      "source", "price_source", "co2_source"};
    gw_table table;
    gw_status st = gw_table_read(arena, name, text, length, &table, err);
    if (st == GW_OK) {
        st = gw_money_priv_columns(&table, columns, sizeof columns / sizeof columns[0], err);
    }
    if (st != GW_OK) {
        return st;
    }
    gw_fuel *const fuels = gw_arena_alloc(arena, table.rows, sizeof *fuels);
    if (fuels == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, name, "out of memory reading %s", name);
    }
    for (size_t r = 0; r < table.rows && st == GW_OK; r++) {
        st = read_fuel(&table, r, &fuels[r], err);
    }
    if (st == GW_OK) {
        *out = (gw_fuel_table){fuels, table.rows};
    }
    return st;
}

gw_status gw_grid_read(gw_arena *arena, const char *name, const char *text, size_t length,
                       gw_grid_table *out, gw_err *err)
{
    static const char *const columns[] = {"key",           "name",       "low_g_kwh",
                                          "typical_g_kwh", "high_g_kwh", "source"};
    gw_table table;
    gw_status st = gw_table_read(arena, name, text, length, &table, err);
    if (st == GW_OK) {
        st = gw_money_priv_columns(&table, columns, sizeof columns / sizeof columns[0], err);
    }
    if (st != GW_OK) {
        return st;
    }
    gw_grid *const grids = gw_arena_alloc(arena, table.rows, sizeof *grids);
    if (grids == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, name, "out of memory reading %s", name);
    }
    for (size_t r = 0; r < table.rows && st == GW_OK; r++) {
        st = read_grid(&table, r, &grids[r], err);
    }
    if (st == GW_OK) {
        *out = (gw_grid_table){grids, table.rows};
    }
    return st;
}

gw_status gw_fuel_builtin(gw_arena *arena, gw_fuel_table *out, gw_err *err)
{
    gw_builtin_file file;
    if (!gw_builtin("fuels.csv", &file)) {
        return gw_fail(err, GW_ERR_IO, "fuels.csv", "the built-in table of fuels is missing");
    }
    return gw_fuel_read(arena, file.name, file.text, file.length, out, err);
}

gw_status gw_grid_builtin(gw_arena *arena, gw_grid_table *out, gw_err *err)
{
    gw_builtin_file file;
    if (!gw_builtin("grid.csv", &file)) {
        return gw_fail(err, GW_ERR_IO, "grid.csv", "the built-in table of grids is missing");
    }
    return gw_grid_read(arena, file.name, file.text, file.length, out, err);
}

gw_status gw_fuel_find(const gw_fuel_table *table, const char *key, gw_fuel *out, gw_err *err)
{
    gw_money_priv_guess g = {.wanted = key};
    for (size_t i = 0; i < table->count; i++) {
        if (strcmp(table->fuels[i].key, key) == 0) {
            *out = table->fuels[i];
            return GW_OK;
        }
        gw_money_priv_consider(&g, table->fuels[i].key);
    }
    return gw_money_priv_fail_key(&g, "fuel", err);
}

gw_status gw_grid_find(const gw_grid_table *table, const char *key, gw_grid *out, gw_err *err)
{
    gw_money_priv_guess g = {.wanted = key};
    for (size_t i = 0; i < table->count; i++) {
        if (strcmp(table->grids[i].key, key) == 0) {
            *out = table->grids[i];
            return GW_OK;
        }
        gw_money_priv_consider(&g, table->grids[i].key);
    }
    return gw_money_priv_fail_key(&g, "grid", err);
}

double gw_fuel_quantity(const gw_fuel *fuel, double useful_j, double efficiency_frac)
{
    return useful_j / (efficiency_frac * fuel->energy_j);
}

double gw_fuel_price_per_gj(const gw_fuel *fuel, double efficiency_frac)
{
    return fuel->price * gw_fuel_quantity(fuel, 1e9, efficiency_frac);
}
