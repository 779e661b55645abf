// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "pipes/fitting.h"

#include "base/builtin.h"
#include "base/text.h"

#include <string.h>

static gw_status read_fitting(const gw_table *table, size_t row, gw_pipe_fitting *out, gw_err *err)
{
    gw_status st = gw_table_text(table, row, "id", &out->id, err);
    if (st == GW_OK) {
        st = gw_table_text(table, row, "name", &out->name, err);
    }
    if (st == GW_OK) {
        st = gw_table_text(table, row, "source", &out->source, err);
    }
    if (st == GW_OK) {
        st = gw_table_number(table, row, "length_diameters", &out->length_diameters, err);
    }
    if (st == GW_OK && !(out->length_diameters >= 0.0 && out->length_diameters <= 1000.0)) {
        return gw_fail(err, GW_ERR_RANGE, table->name,
                       "line %d: a fitting of %g diameters must be 0 to 1000", table->lines[row],
                       out->length_diameters);
    }
    return st;
}

gw_status gw_pipes_read_fittings(gw_arena *arena, const gw_table *table, gw_pipe_fittings *out,
                                 gw_err *err)
{
    gw_pipe_fitting *const items = gw_arena_alloc(arena, table->rows, sizeof *items);
    if (items == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, table->name, "no memory for the fittings");
    }
    for (size_t row = 0; row < table->rows; ++row) {
        const gw_status st = read_fitting(table, row, &items[row], err);
        if (st != GW_OK) {
            return st;
        }
    }
    *out = (gw_pipe_fittings){.items = items, .count = table->rows};
    return GW_OK;
}

gw_status gw_pipes_read_fittings_builtin(gw_arena *arena, gw_pipe_fittings *out, gw_err *err)
{
    gw_builtin_file file;
    gw_table table;
    if (!gw_builtin("fittings.csv", &file)) {
        return gw_fail(err, GW_ERR_MISSING, "fittings.csv", "built-in data file is missing");
    }
    const gw_status st = gw_table_read(arena, file.name, file.text, file.length, &table, err);
    return st == GW_OK ? gw_pipes_read_fittings(arena, &table, out, err) : st;
}

static gw_status find(const gw_pipe_fittings *fittings, const char *id, const gw_pipe_fitting **out,
                      gw_err *err)
{
    const gw_pipe_fitting *near = NULL;
    size_t near_distance = strlen(id) / 3 > 2 ? strlen(id) / 3 : 2;
    for (size_t i = 0; i < fittings->count; ++i) {
        const gw_pipe_fitting *const item = &fittings->items[i];
        if (strcmp(id, item->id) == 0) {
            *out = item;
            return GW_OK;
        }
        const size_t distance = gw_text_distance(id, item->id);
        if (distance <= near_distance) {
            near_distance = distance;
            near = item;
        }
    }
    if (near != NULL) {
        return gw_fail(err, GW_ERR_KEY, "fitting",
                       "fitting \"%s\" is unknown; did you mean \"%s\"?", id, near->id);
    }
    return gw_fail(err, GW_ERR_KEY, "fitting", "fitting \"%s\" is unknown", id);
}

gw_status gw_pipes_equivalent_length(const gw_pipe_fittings *fittings,
                                     const gw_pipe_fitting_list *list, double *out_m, gw_err *err)
{
    if (!(list->inner_diameter_m >= 0.005 && list->inner_diameter_m <= 0.5)) {
        return gw_fail(err, GW_ERR_RANGE, "inner_diameter_m", "%g m must be 0.005 to 0.5",
                       list->inner_diameter_m);
    }
    double diameters = 0.0;
    for (size_t i = 0; i < list->count; ++i) {
        const gw_pipe_fitting *fitting = NULL;
        const gw_status st = find(fittings, list->items[i].id, &fitting, err);
        if (st != GW_OK) {
            return st;
        }
        if (!(list->items[i].count >= 0.0 && list->items[i].count <= 1e4)) {
            return gw_fail(err, GW_ERR_RANGE, list->items[i].id, "%g fittings must be 0 to 10000",
                           list->items[i].count);
        }
        diameters += list->items[i].count * fitting->length_diameters;
    }
    *out_m = diameters * list->inner_diameter_m;
    return GW_OK;
}
