// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "pipes/size.h"

#include "base/builtin.h"
#include "base/text.h"
#include "pipes/friction.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846

typedef struct {
    const char *field;
    double value;
    double least;
    double most;
    const char *unit;
} limit;

gw_status gw_pipes_complete_size(gw_pipe_size *size, gw_err *err)
{
    const limit limits[] = {
        {"outer_diameter_m", size->outer_diameter_m, 0.010, 0.400, "m"},
        {"wall_m", size->wall_m, size->outer_diameter_m / 42.0, size->outer_diameter_m / 6.0, "m"},
        {"conductivity_w_mk", size->conductivity_w_mk, 0.1, 50.0, "W/(m·K)"},
        {"roughness_m", size->roughness_m, 0.0, 0.001, "m"},
        {"pressure_rating_pa", size->pressure_rating_pa, 0.0, 1e8, "Pa"},
    };
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; ++i) {
        const limit *const l = &limits[i];
        if (!(l->value >= l->least && l->value <= l->most)) {
            return gw_fail(err, GW_ERR_RANGE, l->field, "pipe %s: %g %s must be %g to %g",
                           size->id != NULL ? size->id : "(unnamed)", l->value, l->unit, l->least,
                           l->most);
        }
    }
    size->inner_diameter_m = size->outer_diameter_m - 2.0 * size->wall_m;
    size->fill_volume_m3_m = 0.25 * PI * size->inner_diameter_m * size->inner_diameter_m;
    if (!(size->dr > 0.0)) {
        size->dr = size->outer_diameter_m / size->wall_m;
    }
    return GW_OK;
}

static gw_status read_size(const gw_table *table, size_t row, gw_pipe_size *size, gw_err *err)
{
    const struct {
        const char *column;
        const char **into;
    } texts[] = {{"id", &size->id},
                 {"name", &size->name},
                 {"standard", &size->standard},
                 {"source", &size->source}};
    const struct {
        const char *column;
        double *into;
    } numbers[] = {{"outer_diameter_m", &size->outer_diameter_m},
                   {"wall_m", &size->wall_m},
                   {"dr", &size->dr},
                   {"conductivity_w_mk", &size->conductivity_w_mk},
                   {"roughness_m", &size->roughness_m},
                   {"pressure_rating_pa", &size->pressure_rating_pa}};
    gw_status st = GW_OK;
    for (size_t i = 0; st == GW_OK && i < sizeof texts / sizeof texts[0]; ++i) {
        st = gw_table_text(table, row, texts[i].column, texts[i].into, err);
    }
    for (size_t i = 0; st == GW_OK && i < sizeof numbers / sizeof numbers[0]; ++i) {
        st = gw_table_number(table, row, numbers[i].column, numbers[i].into, err);
    }
    return st == GW_OK ? gw_pipes_complete_size(size, err) : st;
}

gw_status gw_pipes_read_table(gw_arena *arena, const gw_table *table, gw_pipe_catalogue *out,
                              gw_err *err)
{
    gw_pipe_size *const sizes = gw_arena_alloc(arena, table->rows, sizeof *sizes);
    if (sizes == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, table->name, "no memory for the pipe sizes");
    }
    for (size_t row = 0; row < table->rows; ++row) {
        const gw_status st = read_size(table, row, &sizes[row], err);
        if (st != GW_OK) {
            return st;
        }
    }
    *out = (gw_pipe_catalogue){.sizes = sizes, .count = table->rows};
    return GW_OK;
}

gw_status gw_pipes_read_builtin(gw_arena *arena, gw_pipe_catalogue *out, gw_err *err)
{
    gw_builtin_file file;
    gw_table table;
    if (!gw_builtin("pipes.csv", &file)) {
        return gw_fail(err, GW_ERR_MISSING, "pipes.csv", "built-in data file is missing");
    }
    const gw_status st = gw_table_read(arena, file.name, file.text, file.length, &table, err);
    return st == GW_OK ? gw_pipes_read_table(arena, &table, out, err) : st;
}

gw_status gw_pipes_find(const gw_pipe_catalogue *catalogue, const char *id,
                        const gw_pipe_size **out, gw_err *err)
{
    const gw_pipe_size *near = NULL;
    size_t near_distance = strlen(id) / 3 > 2 ? strlen(id) / 3 : 2;
    for (size_t i = 0; i < catalogue->count; ++i) {
        const gw_pipe_size *const size = &catalogue->sizes[i];
        if (strcmp(id, size->id) == 0) {
            *out = size;
            return GW_OK;
        }
        const size_t distance = gw_text_distance(id, size->id);
        if (distance <= near_distance) {
            near_distance = distance;
            near = size;
        }
    }
    if (near != NULL) {
        return gw_fail(err, GW_ERR_KEY, "pipe", "pipe \"%s\" is unknown; did you mean \"%s\"?", id,
                       near->id);
    }
    return gw_fail(err, GW_ERR_KEY, "pipe",
                   "pipe \"%s\" is unknown; sizes are named like \"1in-dr11\" or \"40mm-sdr11\"",
                   id);
}

double gw_pipes_pressure_rating_pa(double design_stress_pa, double dr)
{
    return 2.0 * design_stress_pa / (dr - 1.0);
}

double gw_pipes_pressure_at_depth_pa(double static_pa, double density_kg_m3, double depth_m)
{
    return static_pa + density_kg_m3 * GW_PIPES_GRAVITY_M_S2 * depth_m;
}
