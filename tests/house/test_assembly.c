// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Assemblies: published effective resistances, bounds, exact limits, the two tables.
#include "house/assembly.h"

#include "base/builtin.h"
#include "harness.h"

#include <math.h>

static gw_arena *arena;

static void open_arena(void)
{
    arena = gw_arena_create(0);
}

static void close_arena(void)
{
    gw_arena_destroy(arena);
}

static gw_table table_of(const char *name)
{
    gw_builtin_file file;
    gw_table table;
    gw_err err = {0};
    ck_assert(gw_builtin(name, &file));
    ck_assert_msg(gw_table_read(arena, file.name, file.text, file.length, &table, &err) == GW_OK,
                  "%s", err.text);
    return table;
}

static gw_assembly_result solve(const gw_assembly_layer *layers, size_t count, gw_house_kind kind)
{
    const gw_assembly a = {.layers = layers, .layer_count = count};
    gw_assembly_result out;
    gw_err err = {0};
    ck_assert_msg(gw_assembly_solve(&a, kind, &out, &err) == GW_OK, "%s: %s", err.field, err.text);
    return out;
}

// A batt of given resistance between studs of wood at 0.0085 m2·K/W per millimetre.
static gw_assembly_layer studs(double thickness_m, double batt_m2k_w, double share)
{
    return (gw_assembly_layer){.thickness_m = thickness_m,
                               .resistance_m2k_w = batt_m2k_w,
                               .member = "softwood",
                               .member_frac = share,
                               .member_conductivity_w_mk = 1.0 / 8.5};
}

// National Building Code of Canada, A-9.36.2.4: RSI of framing and cavity together at 406 mm, 23 %
// framing (table of the appendix, two decimals, from memory): 38 × 140 mm with RSI 3.34, 3.52 and
// 3.87; 38 × 89 mm with RSI 2.11. Half a digit of the last place.
START_TEST(framed_cavities_have_the_code_s_resistance)
{
    const struct {
        double thickness_m, batt_m2k_w, want_m2k_w;
    } rows[] = {{0.140, 3.34, 2.36}, {0.140, 3.52, 2.43}, {0.140, 3.87, 2.55}, {0.089, 2.11, 1.49}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const gw_assembly_layer layer = studs(rows[i].thickness_m, rows[i].batt_m2k_w, 0.23);
        const gw_assembly_result r = solve(&layer, 1, GW_HOUSE_WALL);
        ck_assert_double_eq_tol(r.resistance_m2k_w - 0.12 - 0.03, rows[i].want_m2k_w, 0.0051);
    }
}
END_TEST

// Layers of the wood-frame wall of the ASHRAE Handbook of Fundamentals (from memory): siding 0.14,
// sheathing 0.23, gypsum board 0.08, batt 2.29, stud 0.63 m2·K/W, a quarter framing. Worked by
// hand: parallel 1/(0.75/2.89 + 0.25/1.23) = 2.162; isothermal 0.60 + 1/(0.75/2.29 + 0.25/0.63).
START_TEST(wood_frame_wall_lies_between_its_bounds)
{
    const gw_assembly_layer layers[] = {
        {.thickness_m = 0.013, .resistance_m2k_w = 0.08},
        {.thickness_m = 0.089,
         .resistance_m2k_w = 2.29,
         .member = "stud",
         .member_frac = 0.25,
         .member_conductivity_w_mk = 0.089 / 0.63},
        {.thickness_m = 0.013, .resistance_m2k_w = 0.23},
        {.thickness_m = 0.015, .resistance_m2k_w = 0.14},
    };
    const gw_assembly_result r = solve(layers, 4, GW_HOUSE_WALL);
    ck_close(r.clear_m2k_w, 2.89, 1e-12);
    ck_close(r.parallel_m2k_w, 1.0 / (0.75 / 2.89 + 0.25 / 1.23), 1e-12);
    ck_close(r.isothermal_m2k_w, 0.60 + 1.0 / (0.75 / 2.29 + 0.25 / 0.63), 1e-12);
    ck_assert_double_lt(r.isothermal_m2k_w, r.parallel_m2k_w);
    ck_assert_double_lt(r.parallel_m2k_w, r.clear_m2k_w);
    ck_assert_double_eq(r.resistance_m2k_w, r.isothermal_m2k_w);
}
END_TEST

// Without framing, with framing that conducts as its cavity does, and with one framed layer and
// no other resistance, the bounds are one.
START_TEST(bounds_meet_in_the_exact_limits)
{
    gw_assembly_layer layers[] = {{.thickness_m = 0.1, .conductivity_w_mk = 0.04},
                                  {.thickness_m = 0.2, .conductivity_w_mk = 1.9}};
    gw_assembly_result r = solve(layers, 2, GW_HOUSE_WALL);
    ck_close(r.resistance_m2k_w, 0.15 + 2.5 + 0.2 / 1.9, 1e-12);
    ck_close(r.parallel_m2k_w, r.isothermal_m2k_w, 1e-12);
    layers[0].member = "same";
    layers[0].member_frac = 0.3;
    layers[0].member_conductivity_w_mk = 0.04;
    r = solve(layers, 2, GW_HOUSE_WALL);
    ck_close(r.parallel_m2k_w, 0.15 + 2.5 + 0.2 / 1.9, 1e-12);
    ck_close(r.isothermal_m2k_w, r.parallel_m2k_w, 1e-12);
}
END_TEST

// Crossed framing in two layers: four paths, shares multiplied.
START_TEST(crossed_framing_makes_four_paths)
{
    const gw_assembly_layer layers[] = {studs(0.089, 2.1, 0.2), studs(0.038, 0.9, 0.1)};
    const double wood[2] = {0.089 * 8.5, 0.038 * 8.5};
    const double films = 0.15;
    const double u = 0.8 * 0.9 / (films + 2.1 + 0.9) + 0.2 * 0.9 / (films + wood[0] + 0.9) +
                     0.8 * 0.1 / (films + 2.1 + wood[1]) + 0.2 * 0.1 / (films + wood[0] + wood[1]);
    const gw_assembly_result r = solve(layers, 2, GW_HOUSE_WALL);
    ck_close(r.parallel_m2k_w, 1.0 / u, 1e-12);
    ck_assert_double_lt(r.isothermal_m2k_w, r.parallel_m2k_w);
}
END_TEST

START_TEST(films_follow_the_kind)
{
    const gw_assembly_layer layer = {.thickness_m = 0.2, .resistance_m2k_w = 1.0};
    ck_close(solve(&layer, 1, GW_HOUSE_WALL).resistance_m2k_w, 1.15, 1e-12);
    ck_close(solve(&layer, 1, GW_HOUSE_ROOF).resistance_m2k_w, 1.14, 1e-12);
    ck_close(solve(&layer, 1, GW_HOUSE_FLOOR_EXPOSED).resistance_m2k_w, 1.19, 1e-12);
    ck_close(solve(&layer, 1, GW_HOUSE_BASEMENT_WALL).resistance_m2k_w, 1.12, 1e-12);
    ck_close(solve(&layer, 1, GW_HOUSE_SLAB).resistance_m2k_w, 1.16, 1e-12);
}
END_TEST

// Every more insulation, and less framing, raises both bounds.
START_TEST(more_insulation_never_lowers_the_resistance)
{
    double before_m2k_w = 0.0;
    for (int step = 1; step <= 40; step++) {
        const gw_assembly_layer layer = studs(0.14, 0.2 * step, 0.23);
        const gw_assembly_result r = solve(&layer, 1, GW_HOUSE_WALL);
        ck_assert_double_gt(r.resistance_m2k_w, before_m2k_w);
        before_m2k_w = r.resistance_m2k_w;
    }
    for (int step = 0; step <= 18; step++) {
        const gw_assembly_layer layer = studs(0.14, 3.5, 0.05 * step);
        const gw_assembly_result r = solve(&layer, 1, GW_HOUSE_WALL);
        ck_assert(step == 0 || r.resistance_m2k_w < before_m2k_w);
        before_m2k_w = r.resistance_m2k_w;
    }
}
END_TEST

// ---- Tables -------------------------------------------------------------------------------------

START_TEST(every_material_and_assembly_is_sound_and_sourced)
{
    const gw_table materials = table_of("materials.csv");
    const gw_table assemblies = table_of("assemblies.csv");
    const gw_assembly_tables tables = {&materials, &assemblies};
    for (size_t i = 0; i < materials.rows; i++) {
        gw_assembly_layer layer = {0};
        const char *source = NULL;
        ck_assert_int_eq(gw_table_text(&materials, i, "id", &layer.material, NULL), GW_OK);
        ck_assert_int_eq(gw_assembly_fill_layer(&materials, &layer, NULL), GW_OK);
        ck_assert_int_eq(gw_table_text(&materials, i, "source", &source, NULL), GW_OK);
        ck_assert_msg(source[0] != '\0', "%s has no source", layer.material);
        ck_assert_double_gt(solve(&layer, 1, GW_HOUSE_WALL).resistance_m2k_w, 0.15);
    }
    for (size_t i = 0; i < assemblies.rows; i++) {
        const char *id = NULL;
        gw_assembly a;
        gw_assembly_result r;
        ck_assert_int_eq(gw_table_text(&assemblies, i, "assembly", &id, NULL), GW_OK);
        ck_assert_int_eq(gw_assembly_read(arena, &tables, id, &a, NULL), GW_OK);
        ck_assert_int_eq(gw_assembly_solve(&a, GW_HOUSE_WALL, &r, NULL), GW_OK);
        ck_assert_double_le(r.isothermal_m2k_w, r.parallel_m2k_w + 1e-12);
    }
}
END_TEST

// 2x6, R-20, 23 % framing: 2.43 (code, from memory) + board, sheathing, siding and films.
START_TEST(ready_wall_adds_up)
{
    const gw_table materials = table_of("materials.csv");
    const gw_table list = table_of("assemblies.csv");
    const gw_assembly_tables tables = {&materials, &list};
    gw_assembly a;
    gw_assembly_result r;
    gw_err err = {0};
    ck_assert_int_eq(gw_assembly_read(arena, &tables, "wall-2x6-r20", &a, NULL), GW_OK);
    ck_assert_uint_eq(a.layer_count, 4);
    ck_assert_int_eq(gw_assembly_solve(&a, GW_HOUSE_WALL, &r, NULL), GW_OK);
    ck_assert_double_eq_tol(r.resistance_m2k_w, 2.43 + 0.0794 + 0.1088 + 0.11 + 0.15, 0.01);
    ck_close(r.thickness_m, 0.1738, 1e-9);
    ck_assert_double_gt(r.heat_capacity_j_m2k, 20e3); // board 9, studs 26, sheathing 12 kJ/(m2·K)
    ck_assert_double_lt(r.heat_capacity_j_m2k, 60e3);
    ck_assert_int_eq(gw_assembly_read(arena, &tables, "wall-2x6-r21", &a, &err), GW_ERR_KEY);
    gw_assembly_layer odd = {.material = "gypsum-bored"};
    ck_assert_int_eq(gw_assembly_fill_layer(&materials, &odd, &err), GW_ERR_KEY);
}
END_TEST

START_TEST(bad_layers_are_refused_by_name)
{
    const gw_assembly_layer good = studs(0.14, 3.5, 0.23);
    gw_assembly_layer bad[6] = {good, good, good, good, good, good};
    bad[0].thickness_m = 0.0;
    bad[1].resistance_m2k_w = -1.0;
    bad[2].member_frac = 0.96;
    bad[3].member_conductivity_w_mk = 50.0; // steel
    bad[4].resistance_m2k_w = 0.0;          // and no conductivity
    bad[5].density_kg_m3 = (double)NAN;
    const char *const fields[6] = {"layers[0].thickness_m",       "layers[0].resistance_m2k_w",
                                   "layers[0].member_frac",       "layers[0].member",
                                   "layers[0].conductivity_w_mk", "layers[0].density_kg_m3"};
    gw_assembly_result r;
    for (int i = 0; i < 6; i++) {
        const gw_assembly a = {.layers = &bad[i], .layer_count = 1};
        gw_err err = {0};
        ck_assert_int_eq(gw_assembly_solve(&a, GW_HOUSE_WALL, &r, &err), GW_ERR_RANGE);
        ck_assert_str_eq(err.field, fields[i]);
    }
    const gw_assembly none = {.layers = bad};
    ck_assert_int_eq(gw_assembly_solve(&none, GW_HOUSE_WALL, &r, NULL), GW_ERR_RANGE);
    const gw_assembly one = {.layers = &good, .layer_count = 1};
    ck_assert_int_eq(gw_assembly_solve(&one, GW_HOUSE_WINDOW, &r, NULL), GW_ERR_RANGE);
    const gw_assembly_layer five[5] = {good, good, good, good, good};
    const gw_assembly many = {.layers = five, .layer_count = 5};
    ck_assert_int_eq(gw_assembly_solve(&many, GW_HOUSE_WALL, &r, NULL), GW_ERR_RANGE);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("house/assembly");
    TCase *const cases = tcase_create("all");
    tcase_add_checked_fixture(cases, open_arena, close_arena);
    tcase_add_test(cases, framed_cavities_have_the_code_s_resistance);
    tcase_add_test(cases, wood_frame_wall_lies_between_its_bounds);
    tcase_add_test(cases, bounds_meet_in_the_exact_limits);
    tcase_add_test(cases, crossed_framing_makes_four_paths);
    tcase_add_test(cases, films_follow_the_kind);
    tcase_add_test(cases, more_insulation_never_lowers_the_resistance);
    tcase_add_test(cases, every_material_and_assembly_is_sound_and_sourced);
    tcase_add_test(cases, ready_wall_adds_up);
    tcase_add_test(cases, bad_layers_are_refused_by_name);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
