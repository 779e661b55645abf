// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/arena.h"
#include "harness.h"
#include "money/fuel.h"

#include <string.h>

static gw_arena *arena;
static gw_fuel_table fuels;
static gw_grid_table grids;

static void open_tables(void)
{
    gw_err err = {0};
    arena = gw_arena_create(0);
    ck_assert_msg(gw_fuel_builtin(arena, &fuels, &err) == GW_OK, "%s", err.text);
    ck_assert_msg(gw_grid_builtin(arena, &grids, &err) == GW_OK, "%s", err.text);
}

static void close_tables(void)
{
    gw_arena_destroy(arena);
}

static gw_fuel fuel(const char *key)
{
    gw_fuel f;
    gw_err err = {0};
    ck_assert_msg(gw_fuel_find(&fuels, key, &f, &err) == GW_OK, "%s", err.text);
    return f;
}

// 80 GJ of useful heat. Energy contents: natural gas 37.5 MJ/m3, propane 25.3 MJ/L (Natural
// Resources Canada, gas heating terms), light fuel oil 38.2 MJ/L (same, from memory); quantities
// computed by hand from them.
static const struct {
    const char *key;
    double efficiency_frac;
    double quantity;
} eighty_gj[] = {{"heating_oil", 0.85, 2463.8},
                 {"natural_gas", 0.95, 2245.6},
                 {"propane", 0.92, 3437.0},
                 {"electricity", 1.0, 22222.0}};

START_TEST(eighty_gigajoules_take_the_known_quantity)
{
    const gw_fuel f = fuel(eighty_gj[_i].key);
    ck_close(gw_fuel_quantity(&f, 80e9, eighty_gj[_i].efficiency_frac), eighty_gj[_i].quantity,
             2.5e-5);
}
END_TEST

// What a million Btu takes, by published rounded figures (US Energy Information Administration, as
// printed in US energy guides): about 7 USgal of oil, 293 kWh, 976 ft3 of gas, 11 USgal of propane,
// 121 lb of pellets. Whole numbers, so within half a unit of the last digit printed or 6 %: the
// Canadian energy contents differ by a few per cent from the US ones.
static const struct {
    const char *key;
    double si_per_unit; // of the fuel table's unit in that of the figure
    double figure;
    double relative;
} million_btu[] = {{"heating_oil", 1.0 / 3.785411784, 7.0, 0.07},
                   {"electricity", 1.0, 293.0, 0.001},
                   {"natural_gas", 35.314666721, 976.0, 0.03},
                   {"propane", 1.0 / 3.785411784, 11.0, 0.01},
                   {"wood_pellets", 2204.6226218, 121.0, 0.035}};

START_TEST(million_btu_agrees_with_published_equivalents)
{
    const gw_fuel f = fuel(million_btu[_i].key);
    ck_close(gw_fuel_quantity(&f, 1055.05585262e6, 1.0) * million_btu[_i].si_per_unit,
             million_btu[_i].figure, million_btu[_i].relative);
}
END_TEST

// Independent figures: US EPA 53.06, 62.87, 73.96 kg CO2 per million Btu of gas, propane and No. 2
// oil (emission factors for greenhouse gas inventories, from memory). Fuels differ between the
// countries by a few per cent.
START_TEST(carbon_per_energy_agrees_with_us_factors)
{
    const double per_million_btu = 1055.05585262e6;
    const gw_fuel gas = fuel("natural_gas"), oil = fuel("heating_oil"), propane = fuel("propane");
    ck_close(gas.co2e_kg / gas.energy_j * per_million_btu, 53.06, 0.03);
    ck_close(oil.co2e_kg / oil.energy_j * per_million_btu, 73.96, 0.04);
    ck_close(propane.co2e_kg / propane.energy_j * per_million_btu, 62.87, 0.03);
}
END_TEST

// Natural gas 1.921 kg CO2, 0.037 g CH4, 0.035 g N2O per m3 (Canada national inventory report, from
// memory), potentials 28 and 265 (IPCC AR5): 1.921 + 0.001036 + 0.009275.
START_TEST(co2_equivalent_adds_methane_and_nitrous_oxide)
{
    ck_close(fuel("natural_gas").co2e_kg, 1.931311, 1e-9);
    ck_assert(fuel("wood_pellets").biogenic);
    ck_assert(!fuel("propane").biogenic);
    ck_assert(fuel("wood_pellets").co2e_kg > 0.0);
}
END_TEST

START_TEST(price_of_useful_heat_follows_efficiency)
{
    gw_fuel oil = fuel("heating_oil");
    oil.price = 1.60;
    ck_close(gw_fuel_price_per_gj(&oil, 0.70), 1.60 / (0.0382 * 0.70), 1e-12);
    ck_close(gw_fuel_price_per_gj(&oil, 0.70) / gw_fuel_price_per_gj(&oil, 0.85), 0.85 / 0.70,
             1e-12);
}
END_TEST

// Order of provinces by residential emissions, Canada Energy Regulator 2017: Nova Scotia highest,
// then Saskatchewan, Alberta, New Brunswick; Ontario, British Columbia, Manitoba, Quebec lowest.
START_TEST(grids_rank_as_published)
{
    const char *const order[] = {"nova_scotia", "saskatchewan",     "alberta",  "new_brunswick",
                                 "ontario",     "british_columbia", "manitoba", "quebec"};
    for (size_t i = 1; i < sizeof order / sizeof order[0]; i++) {
        gw_grid higher, lower;
        ck_assert_int_eq(gw_grid_find(&grids, order[i - 1], &higher, NULL), GW_OK);
        ck_assert_int_eq(gw_grid_find(&grids, order[i], &lower, NULL), GW_OK);
        ck_assert_msg(higher.co2e_kg_kwh > lower.co2e_kg_kwh, "%s, %s", order[i - 1], order[i]);
    }
}
END_TEST

START_TEST(unknown_key_suggests_the_nearest)
{
    gw_fuel f;
    gw_grid g;
    gw_err err = {0};
    ck_assert_int_eq(gw_fuel_find(&fuels, "heatin_oil", &f, &err), GW_ERR_KEY);
    ck_assert_ptr_nonnull(strstr(err.text, "heating_oil"));
    ck_assert_int_eq(gw_grid_find(&grids, "ontaria", &g, &err), GW_ERR_KEY);
    ck_assert_ptr_nonnull(strstr(err.text, "ontario"));
}
END_TEST

#define HEAD                                                                                       \
    "key,name,unit,energy_mj,price_low,price,price_high,co2_kg,ch4_g,n2o_g,biogenic,region,year,"  \
    "source,price_source,co2_source\n"

static const struct {
    const char *text;
    gw_status status;
} refused[] = {
    {HEAD "a,a,L,0,1,2,3,1,0,0,0,r,2024,s,p,c\n", GW_ERR_RANGE},
    {HEAD "a,a,L,38,3,2,1,1,0,0,0,r,2024,s,p,c\n", GW_ERR_RANGE},
    {HEAD "a,a,L,38,1,2,3,-1,0,0,0,r,2024,s,p,c\n", GW_ERR_RANGE},
    {HEAD "a,a,L,38,1,2,3,1,0,0,2,r,2024,s,p,c\n", GW_ERR_RANGE},
    {HEAD "a,a,L,38,1,x,3,1,0,0,0,r,2024,s,p,c\n", GW_ERR_TYPE},
    {HEAD "a,a,L,38,1,2,3,1,0,0,0,r,2024,,p,c\n", GW_ERR_MISSING},
    {HEAD "a,a,L,38,1,2,3,1,0,0,0,r,2024,s,p,c\na,a,L,38,1,2,3,1,0,0,0,r,2024,s,p,c\n", GW_ERR_KEY},
    {"key,name\na,b\n", GW_ERR_KEY},
};

START_TEST(wrong_fuel_row_is_refused)
{
    gw_fuel_table t;
    gw_err err = {0};
    const gw_status st =
        gw_fuel_read(arena, "own", refused[_i].text, strlen(refused[_i].text), &t, &err);
    ck_assert_msg(st == refused[_i].status, "case %d: %d, %s", _i, (int)st, err.text);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("fuel");
    TCase *const tc = tcase_create("fuels and grids");
    tcase_add_checked_fixture(tc, open_tables, close_tables);
    tcase_add_loop_test(tc, eighty_gigajoules_take_the_known_quantity, 0,
                        (int)(sizeof eighty_gj / sizeof eighty_gj[0]));
    tcase_add_loop_test(tc, million_btu_agrees_with_published_equivalents, 0,
                        (int)(sizeof million_btu / sizeof million_btu[0]));
    tcase_add_test(tc, carbon_per_energy_agrees_with_us_factors);
    tcase_add_test(tc, co2_equivalent_adds_methane_and_nitrous_oxide);
    tcase_add_test(tc, price_of_useful_heat_follows_efficiency);
    tcase_add_test(tc, grids_rank_as_published);
    tcase_add_test(tc, unknown_key_suggests_the_nearest);
    tcase_add_loop_test(tc, wrong_fuel_row_is_refused, 0,
                        (int)(sizeof refused / sizeof refused[0]));
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
