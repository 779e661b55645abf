// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "soil/soil.h"

#include "base/arena.h"
#include "base/builtin.h"
#include "harness.h"
#include "soil/moisture.h"

#include <math.h>
#include <string.h>

static gw_arena *arena;
static gw_table table;

static void open_table(void)
{
    arena = gw_arena_create(0);
    gw_builtin_file file;
    ck_assert(gw_builtin("soils.csv", &file));
    ck_assert_int_eq(gw_table_read(arena, file.name, file.text, file.length, &table, NULL), GW_OK);
}

static void close_table(void)
{
    gw_arena_destroy(arena);
}

static const double PCF = 16.018463373960142;

static gw_soil_moist moist_of(double rho, double w, double quartz, gw_soil_texture texture)
{
    return (gw_soil_moist){rho, w, quartz, texture};
}

// Johansen 1975, equations from memory; values computed independently from them.
START_TEST(johansen_matches_the_table)
{
    static const struct {
        double rho, saturation, quartz;
        gw_soil_texture texture;
        double unfrozen, frozen;
    } rows[] = {
        {1620, 1.0, 0.6, GW_SOIL_COARSE, 1.9667, 3.3756},
        {1620, 0.5, 0.6, GW_SOIL_COARSE, 1.6035, 1.8093},
        {1620, 0.2, 0.6, GW_SOIL_COARSE, 1.1234, 0.86959},
        {1485, 1.0, 0.3, GW_SOIL_FINE, 1.4201, 2.6077},
        {1485, 0.8, 0.3, GW_SOIL_FINE, 1.3023, 2.1272},
        {1485, 0.5, 0.3, GW_SOIL_FINE, 1.0543, 1.4063},
        {1350, 1.0, 0.1, GW_SOIL_FINE, 1.3708, 2.6930},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
        const double w =
            rows[i].saturation * gw_soil_porosity_frac(rows[i].rho) * 1000 / rows[i].rho;
        const gw_soil_moist moist = moist_of(rows[i].rho, w, rows[i].quartz, rows[i].texture);
        gw_soil_conductivity k;
        ck_assert_int_eq(gw_soil_johansen(&moist, &k, NULL), GW_OK);
        ck_close(k.unfrozen_w_mk, rows[i].unfrozen, 5e-5);
        ck_close(k.frozen_w_mk, rows[i].frozen, 5e-5);
    }
}
END_TEST

START_TEST(johansen_joins_dry_soil_without_a_jump)
{
    const double rho = 1500, full = gw_soil_porosity_frac(rho) * 1000 / rho;
    const gw_soil_texture textures[] = {GW_SOIL_COARSE, GW_SOIL_FINE};
    const double least[] = {0.05, 0.1};
    for (size_t i = 0; i < 2; ++i) {
        gw_soil_conductivity below, above, dry;
        gw_soil_moist moist = moist_of(rho, full * least[i] * (1 - 1e-9), 0.4, textures[i]);
        ck_assert_int_eq(gw_soil_johansen(&moist, &below, NULL), GW_OK);
        moist.moisture_frac = full * least[i] * (1 + 1e-9);
        ck_assert_int_eq(gw_soil_johansen(&moist, &above, NULL), GW_OK);
        ck_close(below.unfrozen_w_mk, above.unfrozen_w_mk, 1e-7);
        moist.moisture_frac = 0;
        ck_assert_int_eq(gw_soil_johansen(&moist, &dry, NULL), GW_OK);
        ck_close(dry.unfrozen_w_mk, (0.135 * rho + 64.7) / (2700 - 0.947 * rho), 1e-12);
        ck_close(dry.frozen_w_mk, dry.unfrozen_w_mk, 1e-12);
    }
}
END_TEST

// Kersten 1949, equations from memory; values computed independently from them (W/mK).
START_TEST(kersten_matches_the_table)
{
    static const struct {
        double pcf, w, sand_u, sand_f, clay_u, clay_f;
    } rows[] = {
        {90, 0.10, 1.260, 1.113, 0.8020, 0.7811}, {90, 0.20, 1.502, 2.064, 1.112, 1.425},
        {100, 0.05, 1.283, 0.8843, 0, 0},         {100, 0.10, 1.587, 1.550, 1.010, 1.002},
        {100, 0.15, 1.764, 2.215, 1.238, 1.389},  {100, 0.20, 1.890, 2.881, 1.400, 1.776},
        {110, 0.10, 1.997, 2.158, 1.271, 1.309},  {110, 0.15, 2.221, 3.089, 1.559, 1.774},
        {120, 0.15, 2.796, 4.309, 1.962, 2.307},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
        gw_soil_moist moist = moist_of(rows[i].pcf * PCF, rows[i].w, 0, GW_SOIL_COARSE);
        gw_soil_conductivity k;
        ck_assert_int_eq(gw_soil_kersten(&moist, &k, NULL), GW_OK);
        ck_close(k.unfrozen_w_mk, rows[i].sand_u, 5e-4);
        ck_close(k.frozen_w_mk, rows[i].sand_f, 5e-4);
        if (rows[i].clay_u > 0) {
            moist.texture = GW_SOIL_FINE;
            ck_assert_int_eq(gw_soil_kersten(&moist, &k, NULL), GW_OK);
            ck_close(k.unfrozen_w_mk, rows[i].clay_u, 5e-4);
            ck_close(k.frozen_w_mk, rows[i].clay_f, 5e-4);
        }
    }
}
END_TEST

// Heat capacity and latent heat by UFC 3-130-06 (MJ/m³), values computed independently.
START_TEST(heat_and_latent_heat_match_the_table)
{
    static const struct {
        double rho, w, latent, unfrozen, frozen;
    } rows[] = {
        {1300, 0.05, 21.7, 1.20, 1.06}, {1300, 0.30, 130.3, 2.56, 1.74},
        {1500, 0.15, 75.2, 2.01, 1.54}, {1600, 0.20, 106.9, 2.48, 1.81},
        {1800, 0.25, 150.3, 0, 0},      {1800, 0.20, 120.2, 2.79, 2.03},
        {2000, 0.10, 66.8, 2.26, 1.84},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
        const double rho = rows[i].rho, w = rows[i].w;
        ck_assert_double_eq_tol(gw_soil_latent_j_m3(rho, w) / 1e6, rows[i].latent, 0.0501);
        if (rows[i].unfrozen > 0) {
            ck_assert_double_eq_tol(gw_soil_heat_unfrozen_j_m3k(rho, w) / 1e6, rows[i].unfrozen,
                                    0.00501);
            ck_assert_double_eq_tol(gw_soil_heat_frozen_j_m3k(rho, w) / 1e6, rows[i].frozen,
                                    0.00501);
        }
    }
}
END_TEST

START_TEST(moisture_rejects_what_cannot_be)
{
    gw_soil_conductivity k;
    gw_err err = {0};
    const gw_soil_moist bad[] = {
        moist_of(700, 0.1, 0.3, GW_SOIL_FINE),   moist_of((double)NAN, 0.1, 0.3, GW_SOIL_FINE),
        moist_of(1500, -0.1, 0.3, GW_SOIL_FINE), moist_of(1500, 0.4, 0.3, GW_SOIL_FINE),
        moist_of(1500, 0.1, 1.3, GW_SOIL_FINE),
    };
    const char *const fields[] = {"dry_density_kg_m3", "dry_density_kg_m3", "moisture_frac",
                                  "moisture_frac", "quartz_frac"};
    for (size_t i = 0; i < 5; ++i) {
        ck_assert_int_eq(gw_soil_johansen(&bad[i], &k, &err), GW_ERR_RANGE);
        ck_assert_str_eq(err.field, fields[i]);
    }
    const gw_soil_moist drier = moist_of(1500, 0.05, 0.3, GW_SOIL_FINE);
    ck_assert_int_eq(gw_soil_kersten(&drier, &k, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "moisture_frac");
}
END_TEST

START_TEST(every_class_reads_and_makes_sound_ground)
{
    ck_assert_uint_ge(table.rows, 25);
    for (size_t row = 0; row < table.rows; ++row) {
        gw_soil_class found;
        gw_err err = {0};
        ck_assert_msg(gw_soil_class_read(&table, row, &found, &err) == GW_OK, "%s", err.text);
        ck_assert_uint_gt(strlen(found.source), 4);
        ck_assert_uint_gt(strlen(found.name), 3);
        for (int level = GW_SOIL_LOW; level <= GW_SOIL_HIGH; ++level) {
            const gw_soil soil = gw_soil_of_class(&found, (gw_soil_level)level);
            ck_assert_msg(gw_soil_check(&soil, &err) == GW_OK, "%s: %s", found.id, err.text);
            const double alpha_m2_day = 86400 * gw_soil_diffusivity_m2_s(&soil);
            ck_assert_msg(alpha_m2_day > 0.006 && alpha_m2_day < 0.32, "%s: %g m2/day", found.id,
                          alpha_m2_day);
        }
        for (size_t other = 0; other < row; ++other) {
            gw_soil_class twin;
            ck_assert_int_eq(gw_soil_class_read(&table, other, &twin, NULL), GW_OK);
            ck_assert_str_ne(twin.id, found.id);
        }
    }
}
END_TEST

// The frozen column follows the rule stated in the file's head.
START_TEST(frozen_conductivity_of_sand_follows_johansen)
{
    gw_soil_class found;
    ck_assert_int_eq(gw_soil_class_find(&table, "sand-saturated", &found, NULL), GW_OK);
    const gw_soil_moist moist =
        moist_of(found.dry_density_kg_m3, found.moisture_frac, 0.6, GW_SOIL_COARSE);
    gw_soil_conductivity k;
    ck_assert_int_eq(gw_soil_johansen(&moist, &k, NULL), GW_OK);
    ck_close(found.frozen_conductivity_w_mk,
             found.conductivity_w_mk[GW_SOIL_TYPICAL] * k.frozen_w_mk / k.unfrozen_w_mk, 5e-3);
}
END_TEST

// VDI 4640-1 table 1 (read): sand dry 0.4, saturated 2.4, limestone 2.8, basalt 1.7 W/mK.
START_TEST(classes_carry_the_guideline_values)
{
    static const struct {
        const char *id;
        double typical;
    } rows[] = {{"sand-dry", 0.4},         {"sand-saturated", 2.4},
                {"limestone", 2.8},        {"basalt", 1.7},
                {"gravel-saturated", 1.8}, {"clay-silt-saturated", 1.7},
                {"sandstone", 2.3},        {"gneiss", 2.9}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
        gw_soil_class found;
        ck_assert_int_eq(gw_soil_class_find(&table, rows[i].id, &found, NULL), GW_OK);
        ck_close(found.conductivity_w_mk[GW_SOIL_TYPICAL], rows[i].typical, 1e-12);
    }
}
END_TEST

START_TEST(unknown_class_is_an_error)
{
    gw_soil_class found;
    gw_err err = {0};
    ck_assert_int_eq(gw_soil_class_find(&table, "limstone", &found, &err), GW_ERR_KEY);
    ck_assert_ptr_nonnull(strstr(err.text, "limestone"));
}
END_TEST

static gw_soil plain(double k)
{
    return (gw_soil){k, 2e6, k, 1.6e6, 5e7};
}

START_TEST(layers_weigh_by_length)
{
    const gw_soil_layer layers[] = {{10, plain(1.0)}, {30, plain(2.0)}, {5, plain(4.0)}};
    const gw_soil_profile profile = {layers, 3};
    gw_soil mean;
    ck_assert_int_eq(gw_soil_equivalent(&profile, (gw_soil_interval){2, 102}, &mean, NULL), GW_OK);
    ck_close(mean.conductivity_w_mk, (8 * 1.0 + 30 * 2.0 + 62 * 4.0) / 100, 1e-14);
    ck_close(mean.latent_heat_j_m3, 5e7, 1e-14);
    ck_assert_int_eq(gw_soil_equivalent(&profile, (gw_soil_interval){12, 20}, &mean, NULL), GW_OK);
    ck_close(mean.conductivity_w_mk, 2.0, 1e-14);
    ck_assert_int_eq(gw_soil_equivalent(&profile, (gw_soil_interval){60, 70}, &mean, NULL), GW_OK);
    ck_close(mean.conductivity_w_mk, 4.0, 1e-14);
    ck_assert_int_eq(gw_soil_at_depth(&profile, 10.0, &mean, NULL), GW_OK);
    ck_close(mean.conductivity_w_mk, 2.0, 1e-14);
    ck_assert_int_eq(gw_soil_at_depth(&profile, 500.0, &mean, NULL), GW_OK);
    ck_close(mean.conductivity_w_mk, 4.0, 1e-14);
}
END_TEST

START_TEST(layers_reject_bad_input)
{
    gw_soil_layer layers[] = {{10, plain(1.0)}, {30, plain(2.0)}};
    const gw_soil_profile profile = {layers, 2}, none = {layers, 0};
    gw_soil mean;
    gw_err err = {0};
    ck_assert_int_eq(gw_soil_equivalent(&none, (gw_soil_interval){0, 1}, &mean, &err),
                     GW_ERR_MISSING);
    ck_assert_int_eq(gw_soil_equivalent(&profile, (gw_soil_interval){3, 3}, &mean, &err),
                     GW_ERR_RANGE);
    ck_assert_int_eq(gw_soil_at_depth(&profile, -1, &mean, &err), GW_ERR_RANGE);
    layers[1].thickness_m = 0;
    ck_assert_int_eq(gw_soil_at_depth(&profile, 1, &mean, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "thickness_m");
    layers[1].thickness_m = 3;
    layers[1].soil.conductivity_w_mk = (double)NAN;
    ck_assert_int_eq(gw_soil_at_depth(&profile, 1, &mean, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "conductivity_w_mk");
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("soil");
    TCase *const formulas = tcase_create("moisture");
    tcase_add_test(formulas, johansen_matches_the_table);
    tcase_add_test(formulas, johansen_joins_dry_soil_without_a_jump);
    tcase_add_test(formulas, kersten_matches_the_table);
    tcase_add_test(formulas, heat_and_latent_heat_match_the_table);
    tcase_add_test(formulas, moisture_rejects_what_cannot_be);
    suite_add_tcase(suite, formulas);
    TCase *const classes = tcase_create("classes");
    tcase_add_checked_fixture(classes, open_table, close_table);
    tcase_add_test(classes, every_class_reads_and_makes_sound_ground);
    tcase_add_test(classes, frozen_conductivity_of_sand_follows_johansen);
    tcase_add_test(classes, classes_carry_the_guideline_values);
    tcase_add_test(classes, unknown_class_is_an_error);
    suite_add_tcase(suite, classes);
    TCase *const layers = tcase_create("layers");
    tcase_add_test(layers, layers_weigh_by_length);
    tcase_add_test(layers, layers_reject_bad_input);
    suite_add_tcase(suite, layers);
    return harness_run(suite);
}
