// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "plant/catalogue.h"

#include "base/builtin.h"
#include "base/text.h"

#include <string.h>

static gw_status read_pump_numbers(const gw_table *table, size_t row, gw_heat_pump *pump,
                                   gw_err *err)
{
    const struct {
        const char *column;
        double *into;
    } cells[] = {
        {"blower_power_w", &pump->blower_power_w},
        {"rated_flow_m3_s", &pump->rated_flow_m3_s},
        {"pressure_drop_pa", &pump->pressure_drop_pa},
        {"min_entering_degc", &pump->min_entering_degc},
        {"max_entering_degc", &pump->max_entering_degc},
    };
    for (size_t i = 0; i < sizeof cells / sizeof cells[0]; ++i) {
        const gw_status st = gw_table_number(table, row, cells[i].column, cells[i].into, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

static gw_status begin_pump(const gw_table *table, size_t row, gw_heat_pump *pump, gw_err *err)
{
    gw_status st = gw_table_text(table, row, "id", &pump->id, err);
    if (st == GW_OK) {
        st = gw_table_text(table, row, "name", &pump->name, err);
    }
    if (st == GW_OK) {
        st = gw_table_text(table, row, "source", &pump->source, err);
    }
    return st == GW_OK ? read_pump_numbers(table, row, pump, err) : st;
}

static gw_status curve_of(const gw_table *table, size_t row, gw_heat_pump *pump,
                          gw_plant_curve **out, gw_err *err)
{
    const char *mode;
    const char *stage;
    gw_status st = gw_table_text(table, row, "mode", &mode, err);
    if (st == GW_OK) {
        st = gw_table_text(table, row, "stage", &stage, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const bool heating = strcmp(mode, "heating") == 0;
    const bool full = strcmp(stage, "full") == 0;
    if ((!heating && strcmp(mode, "cooling") != 0) || (!full && strcmp(stage, "low") != 0)) {
        return gw_fail(err, GW_ERR_KEY, table->name,
                       "line %d: mode \"%s\", stage \"%s\" must be heating or cooling, full or low",
                       table->lines[row], mode, stage);
    }
    if (heating) {
        *out = full ? &pump->heating : &pump->heating_low;
    } else {
        *out = full ? &pump->cooling : &pump->cooling_low;
    }
    return GW_OK;
}

static gw_status read_point(const gw_table *table, size_t row, gw_heat_pump *pump, gw_err *err)
{
    gw_plant_curve *curve = NULL;
    gw_status st = curve_of(table, row, pump, &curve, err);
    if (st != GW_OK) {
        return st;
    }
    if (curve->count == GW_PLANT_POINTS_MAX) {
        return gw_fail(err, GW_ERR_RANGE, table->name, "line %d: more than %d points on a curve",
                       table->lines[row], (int)GW_PLANT_POINTS_MAX);
    }
    gw_plant_rating *const point = &curve->points[curve->count++];
    st = gw_table_number(table, row, "entering_water_degc", &point->entering_water_degc, err);
    if (st == GW_OK) {
        st = gw_table_number(table, row, "capacity_w", &point->capacity_w, err);
    }
    return st == GW_OK ? gw_table_number(table, row, "power_w", &point->power_w, err) : st;
}

gw_status gw_plant_read_table(gw_arena *arena, const gw_table *table, gw_plant_catalogue *out,
                              gw_err *err)
{
    gw_heat_pump *const pumps = gw_arena_alloc(arena, table->rows, sizeof *pumps);
    if (pumps == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, table->name, "no memory for the heat pumps");
    }
    size_t count = 0;
    for (size_t row = 0; row < table->rows; ++row) {
        const char *id;
        gw_status st = gw_table_text(table, row, "id", &id, err);
        if (st == GW_OK && (count == 0 || strcmp(id, pumps[count - 1].id) != 0)) {
            st = begin_pump(table, row, &pumps[count++], err);
        }
        if (st == GW_OK) {
            st = read_point(table, row, &pumps[count - 1], err);
        }
        if (st != GW_OK) {
            return st;
        }
    }
    for (size_t i = 0; i < count; ++i) {
        const gw_status st = gw_plant_check_pump(&pumps[i], err);
        if (st != GW_OK) {
            return st;
        }
    }
    *out = (gw_plant_catalogue){.pumps = pumps, .count = count};
    return GW_OK;
}

gw_status gw_plant_read_builtin(gw_arena *arena, gw_plant_catalogue *out, gw_err *err)
{
    gw_builtin_file file;
    gw_table table;
    if (!gw_builtin("heat_pumps.csv", &file)) {
        return gw_fail(err, GW_ERR_MISSING, "heat_pumps.csv", "built-in data file is missing");
    }
    const gw_status st = gw_table_read(arena, file.name, file.text, file.length, &table, err);
    return st == GW_OK ? gw_plant_read_table(arena, &table, out, err) : st;
}

gw_status gw_plant_find(const gw_plant_catalogue *catalogue, const char *id,
                        const gw_heat_pump **out, gw_err *err)
{
    const gw_heat_pump *near = NULL;
    size_t near_distance = strlen(id) / 3 > 2 ? strlen(id) / 3 : 2;
    for (size_t i = 0; i < catalogue->count; ++i) {
        const size_t distance = gw_text_distance(id, catalogue->pumps[i].id);
        if (strcmp(id, catalogue->pumps[i].id) == 0) {
            *out = &catalogue->pumps[i];
            return GW_OK;
        }
        if (distance <= near_distance) {
            near_distance = distance;
            near = &catalogue->pumps[i];
        }
    }
    if (near != NULL) {
        return gw_fail(err, GW_ERR_KEY, "heat_pump",
                       "heat pump \"%s\" is unknown; did you mean \"%s\"?", id, near->id);
    }
    return gw_fail(err, GW_ERR_KEY, "heat_pump", "heat pump \"%s\" is unknown", id);
}
