// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Fuels, present worth, loans, rate of return, the air-source comparison.
#include "check.h"
#include "climate/degree_days.h"
#include "climate/synthesis.h"
#include "money/air_source.h"
#include "money/alternative.h"
#include "money/fuel.h"
#include "money/life_cycle.h"

#include <string.h>

enum { FLOWS_MAX = 101 };

static gw_status run_fuel(gw_check_call *call, gw_err *err)
{
    gw_fuel_table fuels;
    gw_fuel fuel;
    gw_status st = gw_fuel_builtin(call->arena, &fuels, err);
    if (st == GW_OK) {
        st = gw_fuel_find(&fuels, gw_check_word(call, "fuel"), &fuel, err);
    }
    if (st != GW_OK) {
        return st;
    }
    gw_check_give(call, "energy_j", fuel.energy_j);
    gw_check_give(call, "price_low", fuel.price_low);
    gw_check_give(call, "price", fuel.price);
    gw_check_give(call, "price_high", fuel.price_high);
    gw_check_give(call, "co2e_kg", fuel.co2e_kg);
    gw_check_give(call, "quantity",
                  gw_fuel_quantity(&fuel, gw_check_number(call, "heat_j"),
                                   gw_check_number(call, "efficiency_frac")));
    return GW_OK;
}

static gw_status run_grid(gw_check_call *call, gw_err *err)
{
    gw_grid_table grids;
    gw_grid grid;
    gw_status st = gw_grid_builtin(call->arena, &grids, err);
    if (st == GW_OK) {
        st = gw_grid_find(&grids, gw_check_word(call, "grid"), &grid, err);
    }
    if (st == GW_OK) {
        gw_check_give(call, "co2e_kg_kwh", grid.co2e_kg_kwh);
    }
    return st;
}

static gw_status run_worth(gw_check_call *call, gw_err *err)
{
    (void)err;
    const double d = gw_check_number(call, "discount_frac");
    const double e = gw_check_number(call, "escalation_frac");
    const double years = gw_check_number(call, "years");
    gw_check_give(call, "spv", gw_life_cycle_spv(d, years));
    gw_check_give(call, "compound_amount", 1.0 / gw_life_cycle_spv(d, years));
    gw_check_give(call, "upv", gw_life_cycle_upv(d, years));
    gw_check_give(call, "ucr", gw_life_cycle_ucr(d, years));
    gw_check_give(call, "upv_star", gw_life_cycle_upv_star(d, e, years));
    return GW_OK;
}

static gw_status run_loan(gw_check_call *call, gw_err *err)
{
    gw_life_cycle_loan loan = {.interest_frac = gw_check_number(call, "interest_frac"),
                               .term_year = gw_check_number(call, "term_year"),
                               .periods_per_year = (int)gw_check_number(call, "periods_per_year")};
    gw_life_cycle_loan_terms terms = {0};
    gw_status st = gw_money_from_units(gw_check_number(call, "principal"), &loan.principal, err);
    if (st == GW_OK) {
        st = gw_life_cycle_loan_solve(&loan, &terms, err);
    }
    gw_check_give(call, "payment", gw_money_to_units(terms.payment));
    return st;
}

static gw_status run_cash(gw_check_call *call, gw_err *err)
{
    gw_money net[FLOWS_MAX];
    gw_life_cycle_cash cash = {.net = net};
    const double *flows = gw_check_list(call, "flows", &cash.count);
    gw_status st = cash.count > FLOWS_MAX ? gw_fail(err, GW_ERR_RANGE, "flows",
                                                    "%zu flows, at most %d", cash.count, FLOWS_MAX)
                                          : GW_OK;
    for (size_t i = 0; i < cash.count && st == GW_OK; ++i) {
        st = gw_money_from_units(flows[i], &net[i], err);
    }
    double irr_frac = 0.0, years = 0.0;
    if (st == GW_OK) {
        st = gw_life_cycle_irr(&cash, &irr_frac, err);
    }
    if (st == GW_OK) {
        st = gw_life_cycle_payback(&cash, gw_check_number(call, "discount_frac"), &years, err);
    }
    gw_check_give(call, "irr_frac", irr_frac);
    gw_check_give(call, "payback_years", years);
    return st;
}

// A house that needs `loss_w_k` × (18 °C − outdoor) in every hour below 18 °C.
static gw_status weather_of(gw_check_call *call, gw_weather *weather, gw_err *err)
{
    size_t count = 0;
    const double *means_degc = gw_check_list(call, "monthly_mean_degc", &count);
    if (count != GW_MONTHS) {
        return gw_fail(err, GW_ERR_RANGE, "monthly_mean_degc", "%zu means, expected 12", count);
    }
    gw_station station = {.id = "case",
                          .name = "case",
                          .region = "",
                          .country = "CA",
                          .latitude_deg = gw_check_number(call, "latitude_deg"),
                          .longitude_deg = -75.0,
                          .elevation_m = 100.0,
                          .timezone_h = -5.0,
                          .heating_design_degc = -25.0,
                          .cooling_design_degc = 29.0,
                          .daily_range_k = gw_check_number(call, "daily_range_k"),
                          .ground_mean_degc = 9.0,
                          .ground_amplitude_k = 11.0,
                          .ground_phase_day = 35.0,
                          .source = "the case file",
                          .ground_source = "not used"};
    memcpy(station.monthly_mean_degc, means_degc, sizeof station.monthly_mean_degc);
    const gw_synthesis how = {.station = &station, .seed = 1};
    return gw_weather_synthesize(call->arena, &how, weather, err);
}

static gw_status run_air_source(gw_check_call *call, gw_err *err)
{
    gw_weather weather;
    const gw_status st = weather_of(call, &weather, err);
    if (st != GW_OK) {
        return st;
    }
    double *heating_w = gw_arena_alloc(call->arena, GW_HOURS_PER_YEAR, sizeof *heating_w);
    if (heating_w == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for hours");
    }
    for (size_t h = 0; h < GW_HOURS_PER_YEAR; ++h) {
        const double below_k = 18.0 - weather.dry_bulb_degc[h];
        heating_w[h] = below_k > 0.0 ? gw_check_number(call, "loss_w_k") * below_k : 0.0;
    }
    const gw_air_source unit = gw_air_source_cold_climate(gw_check_number(call, "rated_w"));
    const gw_air_source_year year = {
        .outdoor_degc = weather.dry_bulb_degc, .heating_w = heating_w, .hours = GW_HOURS_PER_YEAR};
    gw_air_source_result result = {0};
    const gw_status run = gw_air_source_run(&unit, &year, NULL, &result, err);
    gw_check_give(call, "heating_k_day",
                  gw_degree_days_daily(weather.dry_bulb_degc, GW_DEGREE_DAYS_HEATING, 18.0));
    gw_check_give(call, "heating_cop", result.heating_cop);
    gw_check_give(call, "backup_frac", result.backup_frac);
    return run;
}

static gw_status run_air_source_point(gw_check_call *call, gw_err *err)
{
    const gw_air_source unit = gw_air_source_cold_climate(10000.0);
    const double outdoor_degc = gw_check_number(call, "outdoor_degc");
    double heating_w = 0.0;
    for (size_t i = 0; i < unit.heating_count; ++i) { // greatest output at that temperature
        const gw_air_source_point *p = &unit.heating[i];
        if (p->outdoor_degc == outdoor_degc) {
            heating_w = p->capacity_frac * unit.rated_capacity_w;
        }
    }
    if (!(heating_w > 0.0)) {
        return gw_fail(err, GW_ERR_RANGE, "outdoor_degc", "%g °C is no point of the curve",
                       outdoor_degc);
    }
    const gw_air_source_year year = {
        .outdoor_degc = &outdoor_degc, .heating_w = &heating_w, .hours = 1};
    gw_air_source_result result = {0};
    const gw_status st = gw_air_source_run(&unit, &year, NULL, &result, err);
    gw_check_give(call, "heating_cop", result.heating_cop);
    return st;
}

// Energy cost of a year by the built-in prices, the alternatives named here only.
enum { RANKED = 5 };
static const char *const ranked[RANKED] = {"oil_old", "oil_new", "propane", "pellets",
                                           "ground_source"};

static gw_status read_ranked(gw_check_call *call, gw_alternative items[RANKED], gw_err *err)
{
    gw_alternative_list list;
    gw_status st = gw_alternative_builtin(call->arena, &list, err);
    for (size_t i = 0; i < RANKED && st == GW_OK; ++i) {
        st = gw_alternative_find(&list, ranked[i], &items[i], err);
    }
    return st;
}

static gw_status compare_ranked(gw_check_call *call, const gw_alternative items[RANKED],
                                gw_alternative_table *out, gw_err *err)
{
    gw_fuel_table fuels;
    gw_grid_table grids;
    gw_grid grid;
    gw_status st = gw_fuel_builtin(call->arena, &fuels, err);
    if (st == GW_OK) {
        st = gw_grid_builtin(call->arena, &grids, err);
    }
    if (st == GW_OK) {
        st = gw_grid_find(&grids, "canada", &grid, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const double heat_j = gw_check_number(call, "heat_j");
    const gw_alternative_known known = {
        .key = "ground_source", .heating_electricity_j = heat_j / gw_check_number(call, "spf")};
    const gw_alternative_input input = {.need = {.heating_j = heat_j, .design_heating_w = 12e3},
                                        .fuels = &fuels,
                                        .grid = &grid,
                                        .alternatives = items,
                                        .count = RANKED,
                                        .known = &known,
                                        .known_count = 1};
    return gw_alternative_compare(call->arena, &input, out, err);
}

static gw_status run_ranking(gw_check_call *call, gw_err *err)
{
    gw_alternative items[RANKED];
    gw_alternative_table table;
    gw_status st = read_ranked(call, items, err);
    if (st == GW_OK) {
        st = compare_ranked(call, items, &table, err);
    }
    for (size_t r = 0; st == GW_OK && r < table.count; ++r) { // the dearest comes first
        for (size_t i = 0; i < RANKED; ++i) {
            if (strcmp(table.rows[r].key, ranked[i]) == 0) {
                gw_check_give(call, ranked[i], (double)r + 1.0);
            }
        }
    }
    if (st == GW_OK) {
        gw_check_give(call, "saving_frac", table.rows[0].saving_frac);
    }
    return st;
}

const gw_check_verb gw_verbs_money[] = {
    {.name = "cost_order",
     .what = "rank by energy cost of a year, 1 the dearest, by the built-in prices; saving_frac is "
             "that of ground source over the dearest",
     .run = run_ranking,
     .givens = {{.name = "heat_j", .kind = GW_QTY_ENERGY}, {.name = "spf", .kind = GW_QTY_NUMBER}},
     .results = {{"oil_old", GW_QTY_NUMBER},
                 {"oil_new", GW_QTY_NUMBER},
                 {"propane", GW_QTY_NUMBER},
                 {"pellets", GW_QTY_NUMBER},
                 {"ground_source", GW_QTY_NUMBER},
                 {"saving_frac", GW_QTY_FRACTION}}},
    {.name = "fuel",
     .what = "a built-in fuel: gross energy per unit sold, price, carbon; quantity for a heat",
     .run = run_fuel,
     .givens = {{.name = "fuel", .kind = GW_CHECK_WORD},
                {.name = "heat_j", .kind = GW_QTY_ENERGY, .otherwise = "1 GJ"},
                {.name = "efficiency_frac", .kind = GW_QTY_FRACTION, .otherwise = "1"}},
     .results = {{"energy_j", GW_QTY_ENERGY},
                 {"price_low", GW_QTY_NUMBER},
                 {"price", GW_QTY_NUMBER},
                 {"price_high", GW_QTY_NUMBER},
                 {"co2e_kg", GW_QTY_MASS},
                 {"quantity", GW_QTY_NUMBER}}},
    {.name = "grid",
     .what = "carbon of a built-in electricity grid, kg CO2e per kWh",
     .run = run_grid,
     .givens = {{.name = "grid", .kind = GW_CHECK_WORD}},
     .results = {{"co2e_kg_kwh", GW_QTY_NUMBER}}},
    {.name = "present_worth",
     .what = "factors of present worth",
     .run = run_worth,
     .givens = {{.name = "discount_frac", .kind = GW_QTY_FRACTION},
                {.name = "escalation_frac", .kind = GW_QTY_FRACTION, .otherwise = "0"},
                {.name = "years", .kind = GW_QTY_NUMBER}},
     .results = {{"spv", GW_QTY_NUMBER},
                 {"compound_amount", GW_QTY_NUMBER},
                 {"upv", GW_QTY_NUMBER},
                 {"ucr", GW_QTY_NUMBER},
                 {"upv_star", GW_QTY_NUMBER}}},
    {.name = "loan",
     .what = "level payment of a loan",
     .run = run_loan,
     .givens = {{.name = "principal", .kind = GW_QTY_NUMBER},
                {.name = "interest_frac", .kind = GW_QTY_FRACTION},
                {.name = "term_year", .kind = GW_QTY_NUMBER},
                {.name = "periods_per_year", .kind = GW_QTY_NUMBER, .otherwise = "12"}},
     .results = {{"payment", GW_QTY_NUMBER}}},
    {.name = "cash_flow",
     .what = "rate of return and payback of yearly flows, the first in year 0",
     .run = run_cash,
     .givens = {{.name = "flows", .kind = GW_QTY_NUMBER, .list = true},
                {.name = "discount_frac", .kind = GW_QTY_FRACTION, .otherwise = "0"}},
     .results = {{"irr_frac", GW_QTY_FRACTION}, {"payback_years", GW_QTY_NUMBER}}},
    {.name = "air_source_year",
     .what = "generic cold-climate air-source unit over a year made from monthly means; the load "
             "is loss_w_k for every kelvin below 18 degC",
     .run = run_air_source,
     .givens = {{.name = "monthly_mean_degc", .kind = GW_QTY_TEMPERATURE, .list = true},
                {.name = "latitude_deg", .kind = GW_QTY_ANGLE, .otherwise = "45"},
                {.name = "daily_range_k", .kind = GW_QTY_TEMPERATURE_DIFFERENCE, .otherwise = "11"},
                {.name = "loss_w_k", .kind = GW_QTY_HEAT_LOSS_RATE},
                {.name = "rated_w", .kind = GW_QTY_POWER}},
     .results = {{"heating_k_day", GW_QTY_NUMBER},
                 {"heating_cop", GW_QTY_NUMBER},
                 {"backup_frac", GW_QTY_FRACTION}}},
    {.name = "air_source_point",
     .what = "the same unit at full output in one hour",
     .run = run_air_source_point,
     .givens = {{.name = "outdoor_degc", .kind = GW_QTY_TEMPERATURE}},
     .results = {{"heating_cop", GW_QTY_NUMBER}}},
    {0},
};
