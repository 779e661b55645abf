// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/arena.h"
#include "harness.h"
#include "money/alternative.h"

#include <math.h>
#include <string.h>

static gw_arena *arena;
static gw_fuel_table fuels;
static gw_grid grid;
static gw_alternative_list list;

// 80 GJ of heat with a seasonal performance of 3.3, pumps and fan in it; cooling at 5.0.
static const gw_alternative_known known[] = {
    {GW_ALTERNATIVE_GROUND_SOURCE, 80e9 / 3.3 - 3e9, 8e9 / 5.0, 3e9, NULL, NULL},
    {GW_ALTERNATIVE_AIR_SOURCE, 80e9 / 2.5, 8e9 / 4.0, 2e9, NULL, NULL},
};

static void open_tables(void)
{
    gw_err err = {0};
    gw_grid_table grids;
    arena = gw_arena_create(0);
    ck_assert_msg(gw_fuel_builtin(arena, &fuels, &err) == GW_OK, "%s", err.text);
    ck_assert_msg(gw_grid_builtin(arena, &grids, &err) == GW_OK, "%s", err.text);
    ck_assert_msg(gw_grid_find(&grids, "ontario", &grid, &err) == GW_OK, "%s", err.text);
    ck_assert_msg(gw_alternative_builtin(arena, &list, &err) == GW_OK, "%s", err.text);
}

static void close_tables(void)
{
    gw_arena_destroy(arena);
}

static gw_alternative_input house(void)
{
    return (gw_alternative_input){.need = {80e9, 8e9, 12300.0, 8000.0},
                                  .fuels = &fuels,
                                  .grid = &grid,
                                  .alternatives = list.items,
                                  .count = list.count,
                                  .known = known,
                                  .known_count = 2};
}

static gw_alternative_table compare(const gw_alternative_input *in)
{
    gw_alternative_table table;
    gw_err err = {0};
    ck_assert_msg(gw_alternative_compare(arena, in, &table, &err) == GW_OK, "%s", err.text);
    return table;
}

static const gw_alternative_year *row_of(const gw_alternative_table *table, const char *key)
{
    for (size_t i = 0; i < table->count; i++) {
        if (strcmp(table->rows[i].key, key) == 0) {
            return &table->rows[i];
        }
    }
    ck_abort_msg("no row %s", key);
    return NULL;
}

// The table of fuels with other prices.
static gw_fuel_table with_prices(double oil, double electricity)
{
    gw_fuel *const own = gw_arena_alloc(arena, fuels.count, sizeof *own);
    for (size_t i = 0; i < fuels.count; i++) {
        own[i] = fuels.fuels[i];
        if (strcmp(own[i].key, "heating_oil") == 0) {
            own[i].price = oil;
        }
        if (strcmp(own[i].key, GW_FUEL_ELECTRICITY) == 0) {
            own[i].price = electricity;
        }
    }
    return (gw_fuel_table){own, fuels.count};
}

// 80 GJ: oil 85 % 2463.8 L, gas 95 % 2245.6 m3, propane 92 % 3437.0 L, resistance 22 222 kWh
// (by hand from published energy contents, see the fuel tests).
START_TEST(eighty_gigajoules_take_the_known_fuel)
{
    const gw_alternative_input in = house();
    const gw_alternative_table t = compare(&in);
    ck_close(row_of(&t, "oil_new")->fuel_quantity, 2463.8, 2.5e-5);
    ck_close(row_of(&t, "gas")->fuel_quantity, 2245.6, 2.5e-5);
    ck_close(row_of(&t, "propane")->fuel_quantity, 3437.0, 2.5e-5);
    ck_close(row_of(&t, "electric_baseboard")->fuel_quantity, 22222.0, 2.5e-5);
    // With pumps and fan 80 GJ at 3.3 are 6734 kWh.
    const gw_alternative_year *const ground = row_of(&t, GW_ALTERNATIVE_GROUND_SOURCE);
    ck_close((ground->electricity_j - 1.6e9) / 3.6e6, 6734.0, 2.5e-5);
    ck_close(ground->performance, 3.3, 1e-12);
}
END_TEST

// Common practice, no source: oil at 70 % dearest, then newer oil and propane, pellets lower,
// ground source lowest, with moderately priced electricity.
START_TEST(order_of_yearly_cost_is_that_of_the_trade)
{
    const gw_alternative_input in = house();
    const gw_alternative_table t = compare(&in);
    ck_assert_str_eq(t.rows[0].key, "oil_old");
    ck_assert_str_eq(t.rows[t.count - 1].key, GW_ALTERNATIVE_GROUND_SOURCE);
    ck_assert_uint_eq(t.chosen, t.count - 1);
    const gw_money old = row_of(&t, "oil_old")->energy_cost,
                   oil = row_of(&t, "oil_new")->energy_cost;
    const gw_money propane = row_of(&t, "propane")->energy_cost;
    const gw_money pellets = row_of(&t, "pellets")->energy_cost;
    ck_assert(old.cents > oil.cents && old.cents > propane.cents);
    ck_assert(oil.cents > pellets.cents && propane.cents > pellets.cents);
    ck_assert(pellets.cents > row_of(&t, GW_ALTERNATIVE_GROUND_SOURCE)->energy_cost.cents);
    for (size_t i = 1; i < t.count; i++) {
        ck_assert(t.rows[i - 1].energy_cost.cents >= t.rows[i].energy_cost.cents);
    }
}
END_TEST

// Common practice, no source: the saving is up to about 66 % against the dearest, marginal against
// efficient gas or a good air-source unit. The saving hangs on the price of oil in kilowatt-hours:
// the model gives about 66 % at 6.4 kWh a litre, and more at the 2024 prices (11.4 kWh a litre).
START_TEST(saving_is_two_thirds_where_a_litre_of_oil_costs_six_kilowatt_hours)
{
    const gw_fuel_table cheap = with_prices(0.90, 0.14);
    gw_alternative_input in = house();
    const gw_alternative_table now = compare(&in);
    in.fuels = &cheap;
    const gw_alternative_table then = compare(&in);
    const double saving = row_of(&then, "oil_old")->saving_frac;
    ck_assert_msg(saving >= 0.60 && saving <= 0.70, "%.3f", saving);
    ck_assert(row_of(&now, "oil_old")->saving_frac > saving);
    // Marginal: a small part of what is saved against old oil, in money.
    const gw_money against_oil = row_of(&now, "oil_old")->saving;
    ck_assert(gw_money_ratio(row_of(&now, "gas")->saving, against_oil) < 0.15);
    ck_assert(gw_money_ratio(row_of(&now, "air_source")->saving, against_oil) < 0.15);
}
END_TEST

START_TEST(dear_electricity_turns_the_order_round)
{
    const gw_fuel_table dear = with_prices(1.60, 0.38);
    gw_alternative_input in = house();
    in.fuels = &dear;
    const gw_alternative_table t = compare(&in);
    ck_assert(row_of(&t, "gas")->saving.cents < 0);
    ck_assert(row_of(&t, "gas")->saving_frac < 0.0);
    ck_assert(row_of(&t, "electric_furnace")->energy_cost.cents >
              row_of(&t, "oil_old")->energy_cost.cents);
}
END_TEST

START_TEST(costs_of_oil_match_hand_calculation)
{
    const gw_alternative_input in = house();
    const gw_alternative_table t = compare(&in);
    const gw_alternative_year *const r = row_of(&t, "oil_new");
    // 2463.81 L x 1.60; 8 GJ / 3.2 = 694.44 kWh x 0.14; 2 % of 80 GJ = 444.44 kWh x 0.14.
    ck_assert_int_eq(r->heating_cost.cents, 394210);
    ck_assert_int_eq(r->cooling_cost.cents, 9722);
    ck_assert_int_eq(r->fan_pump_cost.cents, 6222);
    ck_assert_int_eq(r->energy_cost.cents, 394210 + 9722 + 6222);
    ck_assert_int_eq(r->year_cost.cents, r->energy_cost.cents + 22000);
    // 3800 + 120 x 12.3 + 1800 + 250 x 8.
    ck_assert_int_eq(r->capital.cents, 907600);
    // 2463.81 L x (2.753 + 28 x 26e-6 + 265 x 6e-6) + 1138.89 kWh x 0.033.
    ck_close(r->co2e_kg, 2463.812 * 2.755318 + 1138.889 * 0.033, 1e-6);
    ck_close(r->performance, 80.0 / (80.0 / 0.85 + 1.6), 1e-12);
    ck_close(r->saving_frac, gw_money_ratio(r->saving, r->energy_cost), 0.0);
}
END_TEST

START_TEST(fixed_charge_is_part_of_the_heating_cost)
{
    const gw_alternative_input in = house();
    const gw_alternative_table t = compare(&in);
    // 2245.614 m3 x 0.45 + 300.
    ck_assert_int_eq(row_of(&t, "gas")->heating_cost.cents, 101053 + 30000);
}
END_TEST

START_TEST(cost_scales_with_the_need)
{
    gw_alternative_input in = house();
    gw_alternative own[16];
    ck_assert_uint_le(in.count, 16);
    for (size_t i = 0; i < in.count; i++) {
        own[i] = in.alternatives[i];
        own[i].fixed_charge = gw_money_from_cents(0);
    }
    in.alternatives = own;
    const gw_alternative_table one = compare(&in);
    gw_alternative_known twice[2] = {known[0], known[1]};
    for (size_t i = 0; i < 2; i++) {
        twice[i].heating_electricity_j *= 2.0;
        twice[i].cooling_electricity_j *= 2.0;
        twice[i].fan_pump_electricity_j *= 2.0;
    }
    in.need.heating_j *= 2.0;
    in.need.cooling_j *= 2.0;
    in.known = twice;
    const gw_alternative_table two = compare(&in);
    for (size_t i = 0; i < one.count; i++) {
        ck_assert_str_eq(one.rows[i].key, two.rows[i].key);
        ck_assert(llabs(two.rows[i].energy_cost.cents - 2 * one.rows[i].energy_cost.cents) <= 6);
        ck_close(two.rows[i].saving_frac, one.rows[i].saving_frac, 1e-4);
        ck_close(two.rows[i].co2e_kg, 2.0 * one.rows[i].co2e_kg, 1e-12);
    }
}
END_TEST

START_TEST(bill_and_capital_passed_in_are_taken_to_the_cent)
{
    const gw_money bill = {123457}, capital = {3456789};
    gw_alternative_known own[2] = {known[0], known[1]};
    own[0].electricity_bill = &bill;
    own[0].capital = &capital;
    gw_alternative_input in = house();
    in.known = own;
    const gw_alternative_table t = compare(&in);
    const gw_alternative_year *const r = row_of(&t, GW_ALTERNATIVE_GROUND_SOURCE);
    ck_assert_int_eq(r->energy_cost.cents, 123457);
    ck_assert_int_eq(r->heating_cost.cents + r->cooling_cost.cents + r->fan_pump_cost.cents,
                     123457);
    ck_assert_int_eq(r->capital.cents, 3456789);
    // 1.6 of 25.842 GJ is 6.19137 %: 76.437 of 1234.57.
    ck_assert_int_eq(r->cooling_cost.cents, 7644);
}
END_TEST

// Common practice, no source: ground source costs four to five times an oil or gas furnace with
// ordinary air conditioning. The ground-source figure is the fall-back rate of the list.
START_TEST(ground_source_costs_four_to_five_furnaces)
{
    const gw_alternative_input in = house();
    const gw_alternative_table t = compare(&in);
    const gw_money ground = row_of(&t, GW_ALTERNATIVE_GROUND_SOURCE)->capital;
    const double by_oil = gw_money_ratio(ground, row_of(&t, "oil_new")->capital);
    const double by_gas = gw_money_ratio(ground, row_of(&t, "gas")->capital);
    ck_assert_msg(by_oil >= 4.0 && by_oil <= 5.5, "%.2f", by_oil);
    ck_assert_msg(by_gas >= 4.0 && by_gas <= 5.5, "%.2f", by_gas);
}
END_TEST

START_TEST(system_without_cooling_says_so)
{
    gw_alternative own[16];
    gw_alternative_input in = house();
    for (size_t i = 0; i < in.count; i++) {
        own[i] = in.alternatives[i];
        if (strcmp(own[i].key, "electric_baseboard") == 0) {
            own[i].cooling_cop = 0.0;
        }
    }
    in.alternatives = own;
    const gw_alternative_table t = compare(&in);
    ck_assert(!row_of(&t, "electric_baseboard")->cools);
    ck_assert_int_eq(row_of(&t, "electric_baseboard")->cooling_cost.cents, 0);
    ck_assert(row_of(&t, "gas")->cools);
    in.need.cooling_j = 0.0;
    const gw_alternative_table mild = compare(&in);
    ck_assert(row_of(&mild, "gas")->cools);
}
END_TEST

START_TEST(air_source_run_enters_with_its_fan)
{
    gw_alternative row;
    ck_assert_int_eq(gw_alternative_find(&list, "air_source", &row, NULL), GW_OK);
    const gw_air_source_result run = {.heating_j = 80e9,
                                      .compressor_j = 30e9,
                                      .backup_j = 2e9,
                                      .cooling_j = 8e9,
                                      .cooling_electricity_j = 2e9};
    const gw_alternative_known k = gw_alternative_from_air_source(&row, &run);
    ck_assert_str_eq(k.key, "air_source");
    ck_close(k.heating_electricity_j, 32e9, 1e-15);
    ck_close(k.fan_pump_electricity_j, 0.02 * 88e9, 1e-12);
}
END_TEST

START_TEST(impossible_input_is_refused_by_name)
{
    gw_alternative_table t;
    gw_err err = {0};
    gw_alternative_input in = house();
    in.known_count = 1;
    ck_assert_int_eq(gw_alternative_compare(arena, &in, &t, &err), GW_ERR_MISSING);
    ck_assert_str_eq(err.field, "air_source");
    in = house();
    in.chosen = "ground_sorce";
    ck_assert_int_eq(gw_alternative_compare(arena, &in, &t, &err), GW_ERR_KEY);
    ck_assert_ptr_nonnull(strstr(err.text, "ground_source"));
    in = house();
    in.need.heating_j = (double)NAN;
    ck_assert_int_eq(gw_alternative_compare(arena, &in, &t, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "need.heating_j");
    in = house();
    in.grid = NULL;
    ck_assert_int_eq(gw_alternative_compare(arena, &in, &t, &err), GW_ERR_MISSING);
    const gw_alternative_known gas = {"gas", 1e9, 0.0, 0.0, NULL, NULL};
    in = house();
    in.known = &gas;
    in.known_count = 1;
    ck_assert_int_eq(gw_alternative_compare(arena, &in, &t, &err), GW_ERR_RANGE);
    gw_alternative one = list.items[0];
    one.efficiency_frac = 0.1;
    ck_assert_int_eq(gw_alternative_check(&one, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "efficiency_frac");
    one = list.items[0];
    one.fuel_key = "peat";
    in = (gw_alternative_input){.need = {1e9, 0.0, 0.0, 0.0},
                                .fuels = &fuels,
                                .grid = &grid,
                                .alternatives = &one,
                                .count = 1,
                                .chosen = one.key};
    ck_assert_int_eq(gw_alternative_compare(arena, &in, &t, &err), GW_ERR_KEY);
    ck_assert_ptr_nonnull(strstr(err.text, "peat"));
    const gw_alternative two[] = {list.items[0], list.items[0]};
    in.alternatives = two;
    in.count = 2;
    ck_assert_int_eq(gw_alternative_compare(arena, &in, &t, &err), GW_ERR_KEY);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("alternative");
    TCase *const tc = tcase_create("yearly comparison");
    tcase_add_checked_fixture(tc, open_tables, close_tables);
    tcase_add_test(tc, eighty_gigajoules_take_the_known_fuel);
    tcase_add_test(tc, order_of_yearly_cost_is_that_of_the_trade);
    tcase_add_test(tc, saving_is_two_thirds_where_a_litre_of_oil_costs_six_kilowatt_hours);
    tcase_add_test(tc, dear_electricity_turns_the_order_round);
    tcase_add_test(tc, costs_of_oil_match_hand_calculation);
    tcase_add_test(tc, fixed_charge_is_part_of_the_heating_cost);
    tcase_add_test(tc, cost_scales_with_the_need);
    tcase_add_test(tc, bill_and_capital_passed_in_are_taken_to_the_cent);
    tcase_add_test(tc, ground_source_costs_four_to_five_furnaces);
    tcase_add_test(tc, system_without_cooling_says_so);
    tcase_add_test(tc, air_source_run_enters_with_its_fan);
    tcase_add_test(tc, impossible_input_is_refused_by_name);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
