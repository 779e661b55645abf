// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "fluid/fluid.h"
#include "harness.h"

#include <math.h>

static gw_arena *arena;
static gw_fluid_table fluids;
static const gw_fluid_mix water = {.kind = GW_FLUID_WATER};

static void open_table(void)
{
    arena = gw_arena_create(0);
    gw_err err = {0};
    ck_assert_msg(gw_fluid_read_builtin(arena, &fluids, &err) == GW_OK, "%s", err.text);
}

static void close_table(void)
{
    gw_arena_destroy(arena);
}

static gw_fluid_props at(double temp_degc)
{
    gw_fluid_props props;
    ck_assert(gw_fluid_at(&fluids, water, temp_degc, &props, NULL) == GW_OK);
    return props;
}

// IAPWS SR6-08(2011), check values at 298.15 K (from memory): 889.9966 µPa·s, 0.6065 W/(m·K).
START_TEST(release_check_values_at_25_degc)
{
    ck_close(at(25.0).viscosity_pa_s, 889.9966e-6, 1e-6);
    ck_assert_double_eq_tol(at(25.0).conductivity_w_mk, 0.6065, 0.5e-4);
}
END_TEST

// Kell 1975 and IAPWS SR6-08 evaluated apart from this program; IAPWS-95 density and specific heat
// at 101.325 kPa from memory (specific heat ± 0.5 J/(kg·K)).
static const struct {
    double temp_degc;
    double viscosity_upa_s;
    double conductivity_w_mk;
    double kell_kg_m3;
    double iapws_kg_m3;
    double specific_heat_j_kgk;
} rows[] = {
    {0, 1791.78, 0.55565, 999.840, 999.843, 4219.4},
    {4, 1567.32, 0.56548, 999.972, 999.975, 4207.0},
    {5, 1518.20, 0.56780, 999.964, 999.967, 4204.6},
    {10, 1305.90, 0.57879, 999.700, 999.702, 4195.2},
    {15, 1137.55, 0.58880, 999.100, 999.103, 4188.5},
    {20, 1001.57, 0.59800, 998.204, 998.207, 4184.1},
    {25, 889.997, 0.60650, 997.045, 997.048, 4181.3},
    {30, 797.21, 0.61438, 995.647, 995.650, 4179.8},
    {40, 652.73, 0.62848, 992.216, 992.216, 4179.4},
};

START_TEST(tabulated_values_are_met)
{
    const gw_fluid_props p = at(rows[_i].temp_degc);
    ck_assert_double_eq_tol(1e6 * p.viscosity_pa_s, rows[_i].viscosity_upa_s, 0.0051);
    ck_assert_double_eq_tol(p.conductivity_w_mk, rows[_i].conductivity_w_mk, 0.51e-5);
    ck_assert_double_eq_tol(p.density_kg_m3, rows[_i].kell_kg_m3, 0.51e-3);
    ck_close(p.density_kg_m3, rows[_i].iapws_kg_m3, 5e-6);
    ck_assert_double_eq_tol(p.specific_heat_j_kgk, rows[_i].specific_heat_j_kgk, 0.5);
}
END_TEST

// NBS/NRC steam table data carried as text in the open CoolProp sources: viscosity 0.2 %,
// conductivity 1 %, specific heat 0.1 %.
static const struct {
    double temp_degc;
    double viscosity_upa_s;
    double conductivity_w_mk;
    double specific_heat_j_kgk; // 0: not printed there
} nbs[] = {
    {5, 1519.65, 0.5724, 0},
    {10, 1307.59, 0.58209, 4192.2},
    {20, 1002.65, 0.59966, 4181.7},
    {40, 653.15, 0.62868, 4178.6},
};

START_TEST(steam_tables_agree)
{
    const gw_fluid_props p = at(nbs[_i].temp_degc);
    ck_close(1e6 * p.viscosity_pa_s, nbs[_i].viscosity_upa_s, 0.002);
    ck_close(p.conductivity_w_mk, nbs[_i].conductivity_w_mk, 0.01);
    if (nbs[_i].specific_heat_j_kgk > 0) {
        ck_close(p.specific_heat_j_kgk, nbs[_i].specific_heat_j_kgk, 0.001);
    }
}
END_TEST

START_TEST(density_is_greatest_near_4_degc)
{
    ck_assert_double_gt(at(4.0).density_kg_m3, at(3.0).density_kg_m3);
    ck_assert_double_gt(at(4.0).density_kg_m3, at(5.0).density_kg_m3);
}
END_TEST

START_TEST(frozen_or_hot_water_is_refused)
{
    gw_fluid_props props;
    gw_err err = {0};
    ck_assert(gw_fluid_at(&fluids, water, -0.01, &props, &err) == GW_ERR_RANGE);
    ck_assert(gw_fluid_at(&fluids, water, 60.1, &props, &err) == GW_ERR_RANGE);
    ck_assert(gw_fluid_at(&fluids, water, (double)NAN, &props, &err) == GW_ERR_RANGE);
    double freeze_degc;
    ck_assert(gw_fluid_freeze_degc(&fluids, water, &freeze_degc, &err) == GW_OK);
    ck_assert_double_eq(freeze_degc, 0.0);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("water");
    TCase *const tc = tcase_create("water");
    tcase_add_checked_fixture(tc, open_table, close_table);
    tcase_add_test(tc, release_check_values_at_25_degc);
    tcase_add_loop_test(tc, tabulated_values_are_met, 0, (int)(sizeof rows / sizeof rows[0]));
    tcase_add_loop_test(tc, steam_tables_agree, 0, (int)(sizeof nbs / sizeof nbs[0]));
    tcase_add_test(tc, density_is_greatest_near_4_degc);
    tcase_add_test(tc, frozen_or_hot_water_is_refused);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
