// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Heat pumps from a table (data/heat_pumps.csv): generic curves, each labelled as such.
//
// It holds no products: a designer types the rating points of the chosen unit into the job. The
// built-in curves exist so that a first design can be made before a unit is chosen.
//
//   gw_plant_catalogue pumps;
//   st = gw_plant_read_builtin(arena, &pumps, err);
//   const gw_heat_pump *pump;
//   st = gw_plant_find(&pumps, "generic_two_stage", &pump, err);
#ifndef GW_PLANT_CATALOGUE_H
#define GW_PLANT_CATALOGUE_H

#include "base/arena.h"
#include "base/table.h"
#include "plant/plant.h"

typedef struct {
    const gw_heat_pump *pumps; // in the arena, in order of the table
    size_t count;
} gw_plant_catalogue;

// One row per point: id, name, mode (heating, cooling), stage (full, low), entering_water_degc,
// capacity_w, power_w, and in the rows of a pump the same blower_power_w, rated_flow_m3_s,
// pressure_drop_pa, min_entering_degc, max_entering_degc, source. Rows of a pump stand together.
// Every pump is checked. Errors as gw_table_*, and those of gw_plant_check_pump.
gw_status gw_plant_read_table(gw_arena *arena, const gw_table *table, gw_plant_catalogue *out,
                              gw_err *err) GW_MUST_USE;
gw_status gw_plant_read_builtin(gw_arena *arena, gw_plant_catalogue *out, gw_err *err) GW_MUST_USE;

// By id. GW_ERR_KEY suggests the nearest known id. The pump is borrowed from the catalogue.
gw_status gw_plant_find(const gw_plant_catalogue *catalogue, const char *id,
                        const gw_heat_pump **out, gw_err *err) GW_MUST_USE;

#endif
