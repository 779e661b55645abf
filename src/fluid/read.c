// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// From the data files to the table of fluids.
#include "base/builtin.h"
#include "fluid/fluid.h"

#include <string.h>

// One column of numbers of a row, and where it goes.
typedef struct {
    const char *column;
    double *into;
} number_cell;

static gw_status read_numbers(const gw_table *table, size_t row, const number_cell *cells,
                              size_t count, gw_err *err)
{
    for (size_t i = 0; i < count; ++i) {
        const gw_status st = gw_table_number(table, row, cells[i].column, cells[i].into, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

static gw_status read_kind(const gw_table *kinds, size_t row, gw_fluid_data *data, gw_err *err)
{
    double flammable = 0.0;
    const number_cell cells[] = {
        {"min_mass_frac", &data->min_mass_frac},
        {"max_mass_frac", &data->max_mass_frac},
        {"max_degc", &data->max_degc},
        {"center_mass_percent", &data->center_mass_percent},
        {"center_degc", &data->center_degc},
        {"additive_density_kg_m3", &data->additive_density_kg_m3},
        {"flammable", &flammable},
    };
    gw_status st = read_numbers(kinds, row, cells, sizeof cells / sizeof cells[0], err);
    if (st == GW_OK) {
        st = gw_table_text(kinds, row, "name", &data->name, err);
    }
    if (st == GW_OK) {
        st = gw_table_text(kinds, row, "cautions", &data->cautions, err);
    }
    if (st == GW_OK) {
        st = gw_table_text(kinds, row, "source", &data->source, err);
    }
    data->flammable = flammable != 0.0;
    return st;
}

// Term k of the published order from the powers, or GW_FLUID_TERMS.
static size_t term_of(double x_power, double t_power)
{
    static const unsigned char first[6] = {0, 4, 8, 12, 15, 17}; // index of (i, 0)
    static const unsigned char count[6] = {4, 4, 4, 3, 2, 1};
    for (size_t i = 0; i < 6; ++i) {
        for (size_t j = 0; j < count[i]; ++j) {
            if (x_power == (double)i && t_power == (double)j) {
                return first[i] + j;
            }
        }
    }
    return GW_FLUID_TERMS;
}

static gw_status read_term(const gw_table *table, size_t row, gw_fluid_table *out,
                           unsigned seen[static GW_FLUID_KIND_COUNT], gw_err *err)
{
    const char *id;
    gw_fluid_kind kind = GW_FLUID_WATER;
    double x_power = 0.0;
    double t_power = 0.0;
    const number_cell powers[] = {{"x_power", &x_power}, {"t_power", &t_power}};
    gw_status st = gw_table_text(table, row, "fluid", &id, err);
    if (st == GW_OK) {
        st = gw_fluid_kind_from_id(id, &kind, err);
    }
    if (st == GW_OK) {
        st = read_numbers(table, row, powers, 2, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const size_t k = term_of(x_power, t_power);
    if (k == GW_FLUID_TERMS || (seen[kind] & (1U << k)) != 0U) {
        return gw_fail(err, GW_ERR_RANGE, table->name,
                       "line %d: no term or a term twice: x^%g t^%g", table->lines[row], x_power,
                       t_power);
    }
    seen[kind] |= 1U << k;
    gw_fluid_data *const data = &out->kinds[kind];
    const number_cell cells[] = {
        {"freeze_degc", &data->freeze[k]},
        {"density_kg_m3", &data->density[k]},
        {"specific_heat_j_kgk", &data->specific_heat[k]},
        {"conductivity_w_mk", &data->conductivity[k]},
        {"log_viscosity", &data->log_viscosity[k]},
    };
    return read_numbers(table, row, cells, sizeof cells / sizeof cells[0], err);
}

gw_status gw_fluid_read_tables(const gw_table *kinds, const gw_table *coefficients,
                               gw_fluid_table *out, gw_err *err)
{
    memset(out, 0, sizeof *out);
    for (int kind = 0; kind < GW_FLUID_KIND_COUNT; ++kind) {
        gw_fluid_data *const data = &out->kinds[kind];
        data->id = gw_fluid_kind_id((gw_fluid_kind)kind);
        size_t row = 0;
        gw_status st = gw_table_find(kinds, "id", data->id, &row, err);
        if (st == GW_OK) {
            st = read_kind(kinds, row, data, err);
        }
        if (st != GW_OK) {
            return st;
        }
    }
    unsigned seen[GW_FLUID_KIND_COUNT] = {0};
    for (size_t row = 0; row < coefficients->rows; ++row) {
        const gw_status st = read_term(coefficients, row, out, seen, err);
        if (st != GW_OK) {
            return st;
        }
    }
    for (int kind = GW_FLUID_WATER + 1; kind < GW_FLUID_KIND_COUNT; ++kind) {
        if (seen[kind] != (1U << GW_FLUID_TERMS) - 1U) {
            return gw_fail(err, GW_ERR_MISSING, coefficients->name,
                           "%s: a coefficient of the polynomial is missing", out->kinds[kind].id);
        }
    }
    return GW_OK;
}

static gw_status open_builtin(gw_arena *arena, const char *name, gw_table *out, gw_err *err)
{
    gw_builtin_file file;
    if (!gw_builtin(name, &file)) {
        return gw_fail(err, GW_ERR_MISSING, name, "built-in data file %s is missing", name);
    }
    return gw_table_read(arena, name, file.text, file.length, out, err);
}

gw_status gw_fluid_read_builtin(gw_arena *arena, gw_fluid_table *out, gw_err *err)
{
    gw_table kinds;
    gw_table coefficients;
    gw_status st = open_builtin(arena, "fluid_kinds.csv", &kinds, err);
    if (st == GW_OK) {
        st = open_builtin(arena, "fluids.csv", &coefficients, err);
    }
    return st == GW_OK ? gw_fluid_read_tables(&kinds, &coefficients, out, err) : st;
}
