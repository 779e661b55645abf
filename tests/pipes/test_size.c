// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "harness.h"
#include "pipes/pipes.h"
#include "pipes/pump.h"

#include <math.h>
#include <string.h>

#define IN 0.0254
#define PSI 6894.757293168
#define US_GAL 0.003785411784
#define US_GPM 6.30901964e-5

static gw_arena *arena;
static gw_pipe_catalogue pipes;

static void open_catalogue(void)
{
    arena = gw_arena_create(0);
    gw_err err = {0};
    ck_assert_msg(gw_pipes_read_builtin(arena, &pipes, &err) == GW_OK, "%s", err.text);
}

static void close_catalogue(void)
{
    gw_arena_destroy(arena);
}

static const gw_pipe_size *size_of(const char *id)
{
    const gw_pipe_size *size = NULL;
    gw_err err = {0};
    ck_assert_msg(gw_pipes_find(&pipes, id, &size, &err) == GW_OK, "%s", err.text);
    return size;
}

// ASTM D3035 / CSA B137.1, iron-pipe-size outer diameter and DR-11 minimum wall as printed in a US
// dimension table; the other columns are exact geometry, printed to the digits shown.
static const struct {
    const char *id;
    double outer_in;
    double wall_in;
    double inner_in;
    double litre_m;
    double gal_100ft;
    double purge_gpm; // at 2 ft/s
} rows[] = {
    {"3/4in-dr11", 1.050, .095, .860, .3748, 3.02, 3.62},
    {"1in-dr11", 1.315, .120, 1.075, .5856, 4.71, 5.66},
    {"1-1/4in-dr11", 1.660, .151, 1.358, .9345, 7.52, 9.03},
    {"1-1/2in-dr11", 1.900, .173, 1.554, 1.2237, 9.85, 11.82},
    {"2in-dr11", 2.375, .216, 1.943, 1.9129, 15.40, 18.48},
    {"3in-dr11", 3.500, .318, 2.864, 4.1563, 33.47, 40.16},
};

START_TEST(inch_sizes_are_those_of_the_standard)
{
    const gw_pipe_size *const p = size_of(rows[_i].id);
    ck_close(p->outer_diameter_m / IN, rows[_i].outer_in, 1e-6);
    ck_close(p->wall_m / IN, rows[_i].wall_in, 1e-6);
    ck_close(p->inner_diameter_m / IN, rows[_i].inner_in, 1e-6);
    ck_assert_double_eq_tol(p->fill_volume_m3_m * 1e3, rows[_i].litre_m, 0.51e-4);
    ck_assert_double_eq_tol(p->fill_volume_m3_m * 30.48 / US_GAL, rows[_i].gal_100ft, 0.0051);
    ck_assert_double_eq_tol(
        gw_pipes_flow_at_velocity_m3_s(p->inner_diameter_m, GW_PIPES_PURGE_M_S) / US_GPM,
        rows[_i].purge_gpm, 0.0051);
    ck_close(p->pressure_rating_pa / PSI, 200, 1e-5);
    ck_assert_double_eq(p->dr, 11.0);
}
END_TEST

// Pressure ratings in psi: printed 200, 160, 250 and 333 for DR 11, 13.5, 9 and 7 (PE4710, design
// stress 1000 psi, a US dimension table); PE3408/3608 (800 psi) 200, 160, 128, 110 and 100 for DR
// 9, 11, 13.5, 15.5 and 17 (Maine plumbing rules ch. 232, tables 604.2 to 604.3).
static const struct {
    double stress_psi;
    double dr;
    double printed_psi;
} ratings[] = {
    {1000, 7, 333}, {1000, 9, 250},   {1000, 11, 200},  {1000, 13.5, 160}, {800, 9, 200},
    {800, 11, 160}, {800, 13.5, 128}, {800, 15.5, 110}, {800, 17, 100},
};

START_TEST(pressure_rating_follows_design_stress)
{
    const double got_pa = gw_pipes_pressure_rating_pa(ratings[_i].stress_psi * PSI, ratings[_i].dr);
    ck_assert_double_eq_tol(got_pa / PSI, ratings[_i].printed_psi, 0.5);
}
END_TEST

// ISO 4427 / EN 12201: PE100, 8 MPa: SDR11 PN16, SDR17 PN10, SDR33 PN5 (bar).
START_TEST(metric_ratings_are_nominal_pressures)
{
    ck_close(gw_pipes_pressure_rating_pa(8e6, 11), 16e5, 1e-12);
    ck_close(gw_pipes_pressure_rating_pa(8e6, 17), 10e5, 1e-12);
    ck_close(gw_pipes_pressure_rating_pa(8e6, 33), 5e5, 1e-12);
    ck_close(size_of("40mm-sdr11")->pressure_rating_pa, 16e5, 1e-12);
    ck_close(size_of("40mm-sdr17")->pressure_rating_pa, 10e5, 1e-12);
}
END_TEST

START_TEST(every_size_is_consistent_and_has_a_source)
{
    ck_assert_uint_eq(pipes.count, 34);
    for (size_t i = 0; i < pipes.count; ++i) {
        const gw_pipe_size *const p = &pipes.sizes[i];
        ck_assert(p->inner_diameter_m > 0.7 * p->outer_diameter_m);
        // Walls are rounded to 0.001 in or 0.1 mm, never 12 % from outer diameter over DR.
        ck_close(p->outer_diameter_m / p->wall_m, p->dr, 0.12);
        ck_assert_ptr_nonnull(p->source);
        ck_assert_uint_gt(strlen(p->source), 10);
        ck_assert_ptr_eq(size_of(p->id), p);
    }
}
END_TEST

START_TEST(thicker_wall_holds_more_and_carries_less)
{
    const char *const by_dr[] = {"1in-dr9", "1in-dr11", "1in-dr13.5", "1in-dr15.5"};
    for (int i = 0; i < 3; ++i) {
        ck_assert_double_gt(size_of(by_dr[i])->pressure_rating_pa,
                            size_of(by_dr[i + 1])->pressure_rating_pa);
        ck_assert_double_lt(size_of(by_dr[i])->inner_diameter_m,
                            size_of(by_dr[i + 1])->inner_diameter_m);
    }
}
END_TEST

START_TEST(unknown_size_suggests_the_nearest)
{
    const gw_pipe_size *size = NULL;
    gw_err err = {0};
    ck_assert(gw_pipes_find(&pipes, "1in-dr12", &size, &err) == GW_ERR_KEY);
    ck_assert_ptr_nonnull(strstr(err.text, "1in-dr1"));
    ck_assert(gw_pipes_find(&pipes, "copper", &size, &err) == GW_ERR_KEY);
    ck_assert_ptr_null(size);
}
END_TEST

START_TEST(own_size_is_completed_and_checked)
{
    const gw_pipe_size good = {.id = "own",
                               .outer_diameter_m = 0.04,
                               .wall_m = 0.0037,
                               .conductivity_w_mk = 0.4,
                               .roughness_m = 1.5e-6,
                               .pressure_rating_pa = 16e5};
    gw_pipe_size size = good;
    gw_err err = {0};
    ck_assert(gw_pipes_complete_size(&size, &err) == GW_OK);
    ck_close(size.inner_diameter_m, 0.0326, 1e-12);
    ck_close(size.dr, 0.04 / 0.0037, 1e-12);
    ck_close(size.fill_volume_m3_m, 0.25 * M_PI * 0.0326 * 0.0326, 1e-12);
    const char *const fields[] = {"outer_diameter_m", "wall_m", "conductivity_w_mk", "roughness_m",
                                  "pressure_rating_pa"};
    for (int i = 0; i < 5; ++i) {
        size = good;
        double *const to[] = {&size.outer_diameter_m, &size.wall_m, &size.conductivity_w_mk,
                              &size.roughness_m, &size.pressure_rating_pa};
        *to[i] = (double)NAN;
        ck_assert(gw_pipes_complete_size(&size, &err) == GW_ERR_RANGE);
        ck_assert_str_eq(err.field, fields[i]);
        *to[i] = -1;
        ck_assert(gw_pipes_complete_size(&size, &err) == GW_ERR_RANGE);
        ck_assert_str_eq(err.field, fields[i]);
    }
}
END_TEST

// 100 m of water: ρ g h.
START_TEST(pressure_rises_with_depth)
{
    ck_close(gw_pipes_pressure_at_depth_pa(275e3, 1000, 100), 275e3 + 980665, 1e-12);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("size");
    TCase *const tc = tcase_create("size");
    tcase_add_checked_fixture(tc, open_catalogue, close_catalogue);
    tcase_add_loop_test(tc, inch_sizes_are_those_of_the_standard, 0,
                        (int)(sizeof rows / sizeof rows[0]));
    tcase_add_loop_test(tc, pressure_rating_follows_design_stress, 0,
                        (int)(sizeof ratings / sizeof ratings[0]));
    tcase_add_test(tc, metric_ratings_are_nominal_pressures);
    tcase_add_test(tc, every_size_is_consistent_and_has_a_source);
    tcase_add_test(tc, thicker_wall_holds_more_and_carries_less);
    tcase_add_test(tc, unknown_size_suggests_the_nearest);
    tcase_add_test(tc, own_size_is_completed_and_checked);
    tcase_add_test(tc, pressure_rises_with_depth);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
