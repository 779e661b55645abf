// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What the same house costs a year with each other way of heating and cooling it.
//
// It does not compute loads, and it does not simulate a ground-source system: that result is
// passed in as yearly electricity. Fuel systems use one seasonal efficiency, useful heat / gross
// fuel energy, and cool by ordinary air conditioning with a seasonal COP. Electricity costs one
// flat price here; with blocks or times of use bill it by tariff.h and pass the bill.
// The built-in list (data/alternatives.csv) has a source in every row.
//
//   fuel used = heat / (efficiency × energy content)      electricity = fan share × heat
//   cooling electricity = cooling / COP       cost = Σ quantity × price + fixed charge (heating)
//
//   gw_alternative_input in = {.need = {80e9, 8e9, 12000, 7000}, .fuels = &fuels, .grid = &grid,
//       .alternatives = list.items, .count = list.count, .known = known, .known_count = 2};
//   st = gw_alternative_compare(arena, &in, &table, err);   // table.rows[0] is the dearest
#ifndef GW_ALTERNATIVE_H
#define GW_ALTERNATIVE_H

#include "base/arena.h"
#include "money/air_source.h"
#include "money/fuel.h"
#include "money/money.h"

#include <stdbool.h>

#define GW_ALTERNATIVE_AIR_SOURCE "air_source"
#define GW_ALTERNATIVE_GROUND_SOURCE "ground_source"

// Capital of a system: base + per_w × capacity, currency and currency per W (rates).
typedef struct {
    double base;
    double per_w;
} gw_alternative_capital;

typedef struct {
    const char *key;        // "oil_old", "oil_new", "propane", "gas", "pellets", "cordwood",
                            // "electric_furnace", "electric_baseboard", "air_source",
                            // "ground_source" or the job's own
    const char *name;       // as printed
    const char *fuel_key;   // of heating; "electricity" for resistance and heat pumps
    double efficiency_frac; // seasonal, 0.2 to 1; not used where electricity is passed in
    double fan_frac;        // fan, pump and burner electricity / useful heat, 0 to 0.2
    double cooling_cop;     // of ordinary air conditioning, 1.5 to 10; 0: no cooling
    gw_alternative_capital heating; // by design heating load
    gw_alternative_capital cooling; // by design cooling load; 0 where the heating system cools
    gw_money maintenance;           // per year, ≥ 0
    double life_year;               // of the equipment, 1 to 100
    const char *source;
    gw_money fixed_charge; // per year, for being connected (gas meter, tank rental); ≥ 0
} gw_alternative;

typedef struct {
    const gw_alternative *items;
    size_t count;
} gw_alternative_list;

// The house's year.
typedef struct {
    double heating_j;        // useful heat, ≥ 0 (hot water too, if every alternative makes it)
    double cooling_j;        // heat removed, ≥ 0
    double design_heating_w; // sizes the capital; ≥ 0
    double design_cooling_w;
} gw_alternative_need;

// A system whose yearly electricity is already known (simulated): ground source, air source.
typedef struct {
    const char *key;              // of the alternative it belongs to
    double heating_electricity_j; // compressor and backup, heating
    double cooling_electricity_j;
    double fan_pump_electricity_j; // fan and circulating pumps
    const gw_money *capital; // replaces the capital rates (e.g. an estimate's total); may be NULL
    const gw_money *electricity_bill; // replaces flat price × electricity; may be NULL
} gw_alternative_known;

typedef struct {
    gw_alternative_need need;
    const gw_fuel_table *fuels; // with the prices to use
    const gw_grid *grid;
    const gw_alternative *alternatives; // [count]
    size_t count;
    const gw_alternative_known *known; // [known_count]
    size_t known_count;
    const char *chosen; // key the savings are counted for; NULL means "ground_source"
} gw_alternative_input;

// One alternative's year. Costs: heating (fuel or compressor and backup), cooling, fan and pumps.
typedef struct {
    const char *key;
    const char *name;
    const char *fuel_name;
    const char *fuel_unit;
    double fuel_quantity; // of the heating fuel, in its unit (kWh for electricity)
    double electricity_j; // in all: heating, cooling, fan and pumps
    gw_money heating_cost;
    gw_money cooling_cost;
    gw_money fan_pump_cost;
    gw_money energy_cost; // sum of the three (or with the bill that was passed in)
    gw_money maintenance;
    gw_money year_cost; // energy and maintenance
    gw_money capital;
    double life_year;
    double co2e_kg;
    double performance; // useful heat / energy bought for heating with fan and pumps
    bool cools;         // false: its cost has no cooling in it, even if the house needs some
    gw_money saving;    // energy cost of this minus that of the chosen: what choosing it saves
    double saving_frac; // of this one's energy cost; negative when the chosen is dearer
    double co2e_saving_kg;
} gw_alternative_year;

typedef struct {
    const gw_alternative_year *rows; // dearest energy cost first; equal costs in order of key
    size_t count;
    size_t chosen;  // row of the chosen one
    size_t dearest; // always 0
} gw_alternative_table;

// Errors: as gw_fuel_read.
gw_status gw_alternative_read(gw_arena *arena, const char *name, const char *text, size_t length,
                              gw_alternative_list *out, gw_err *err) GW_MUST_USE;
gw_status gw_alternative_builtin(gw_arena *arena, gw_alternative_list *out,
                                 gw_err *err) GW_MUST_USE;
gw_status gw_alternative_find(const gw_alternative_list *list, const char *key, gw_alternative *out,
                              gw_err *err) GW_MUST_USE;
gw_status gw_alternative_check(const gw_alternative *alternative, gw_err *err) GW_MUST_USE;

// The air-source run as a known system; the fan share of its row counts on heat and cooling.
gw_alternative_known gw_alternative_from_air_source(const gw_alternative *row,
                                                    const gw_air_source_result *result);

// Errors: GW_ERR_KEY (fuel or chosen key unknown, an alternative given twice), GW_ERR_RANGE,
// GW_ERR_MISSING (an alternative "air_source" or "ground_source" without its known electricity),
// GW_ERR_NOMEM.
gw_status gw_alternative_compare(gw_arena *arena, const gw_alternative_input *input,
                                 gw_alternative_table *out, gw_err *err) GW_MUST_USE;

#endif
