// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Fuels and grids: energy content, price and carbon of what a house can be heated with.
//
// It forecasts no price. Built-in prices (data/fuels.csv) are ranges from memory for Canada,
// 2023-24, each marked so: a job should bring its own. Energy contents are gross (higher heating
// values), as retail figures are; efficiencies in alternative.h are on the same basis.
// CO2e per unit = CO2 + 28 CH4 + 265 N2O (100-year potentials, IPCC AR5, table 8.A.1). CO2 of
// wood is biogenic and counts as zero here, as national inventories count it in the land-use
// sector; the methane and nitrous oxide of burning it are counted where a figure is given.
// Electricity takes its carbon from the grid table (data/grid.csv).
//
//   st = gw_fuel_find(&fuels, "heating_oil", &oil, err);
//   litres = heat_j / (0.85 * oil.energy_j);
#ifndef GW_FUEL_H
#define GW_FUEL_H

#include "base/arena.h"
#include "base/err.h"

#include <stdbool.h>
#include <stddef.h>

#define GW_FUEL_ELECTRICITY "electricity"
#define GW_FUEL_J_PER_KWH 3.6e6

typedef struct {
    const char *key;  // "heating_oil", "propane", "natural_gas", "wood_pellets", "hardwood",
                      // "softwood", "electricity"
    const char *name; // as printed
    const char *unit; // as sold: "L", "m³", "t", "cord", "kWh"
    double energy_j;  // J per unit, gross; > 0
    double price_low; // currency per unit
    double price;     // typical; ≥ 0
    double price_high;
    double co2e_kg;     // kg CO2e per unit; electricity: 0 here, see gw_grid
    bool biogenic;      // carbon of the fuel itself counted as zero
    const char *region; // of the price
    int year;           // of the price
    const char *source; // of the energy content
    const char *price_source;
    const char *co2_source;
} gw_fuel;

typedef struct {
    const gw_fuel *fuels;
    size_t count;
} gw_fuel_table;

typedef struct {
    const char *key;  // "ontario", "quebec", …
    const char *name; // as printed
    double co2e_kg_kwh_low;
    double co2e_kg_kwh; // consumption intensity, kg CO2e per kWh; ≥ 0
    double co2e_kg_kwh_high;
    const char *source;
} gw_grid;

typedef struct {
    const gw_grid *grids;
    size_t count;
} gw_grid_table;

// Errors of both: GW_ERR_SYNTAX, GW_ERR_KEY (missing column, key twice), GW_ERR_TYPE, GW_ERR_RANGE.
gw_status gw_fuel_read(gw_arena *arena, const char *name, const char *text, size_t length,
                       gw_fuel_table *out, gw_err *err) GW_MUST_USE;
gw_status gw_grid_read(gw_arena *arena, const char *name, const char *text, size_t length,
                       gw_grid_table *out, gw_err *err) GW_MUST_USE;

// The built-in tables data/fuels.csv and data/grid.csv.
gw_status gw_fuel_builtin(gw_arena *arena, gw_fuel_table *out, gw_err *err) GW_MUST_USE;
gw_status gw_grid_builtin(gw_arena *arena, gw_grid_table *out, gw_err *err) GW_MUST_USE;

// A copy of the row, which the caller may then give its own price. GW_ERR_KEY suggests the nearest.
gw_status gw_fuel_find(const gw_fuel_table *table, const char *key, gw_fuel *out,
                       gw_err *err) GW_MUST_USE;
gw_status gw_grid_find(const gw_grid_table *table, const char *key, gw_grid *out,
                       gw_err *err) GW_MUST_USE;

// Units of fuel for `useful_j` of heat at a seasonal efficiency (useful heat / gross energy), 0 <
// η.
double gw_fuel_quantity(const gw_fuel *fuel, double useful_j, double efficiency_frac);

// Price of a joule of useful heat at a seasonal efficiency, currency per GJ.
double gw_fuel_price_per_gj(const gw_fuel *fuel, double efficiency_frac);

#endif
