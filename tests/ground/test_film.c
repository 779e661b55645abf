// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/film.h"

#include "harness.h"

#include <math.h>

// Water at 20 °C (textbook values).
static const gw_film_fluid water = {998.2, 4182, 0.598, 1.002e-3};

// Hand calculation of Gnielinski 1976 at Re 10,000, Pr 7: f = 5.64^−2 = 0.0314371, f/8 =
// 0.00392964; 0.00392964 · 9000 · 7 / (1 + 12.7 · 0.0626868 · (3.659306 − 1)) = 79.4203.
START_TEST(turbulent_matches_hand_calculation)
{
    ck_close(gw_film_nusselt(1e4, 7.0), 79.42, 1e-4);
}
END_TEST

// Dittus & Boelter 1930, Nu = 0.023 Re^0.8 Pr^0.4 (textbook, ± 25 %): an independent correlation.
START_TEST(turbulent_agrees_with_dittus_boelter)
{
    for (double re = 1e4; re <= 1e5; re *= 1.5) {
        for (double pr = 5; pr <= 20; pr *= 2) {
            ck_close(gw_film_nusselt(re, pr), 0.023 * pow(re, 0.8) * pow(pr, 0.4), 0.25);
        }
    }
}
END_TEST

START_TEST(laminar_is_the_uniform_wall_value)
{
    ck_close(gw_film_nusselt(1.0, 7.0), 3.66, 1e-15);
    ck_close(gw_film_nusselt(2300.0, 30.0), 3.66, 1e-15);
}
END_TEST

START_TEST(curve_is_continuous_and_never_falls)
{
    for (double pr = 0.7; pr < 100; pr *= 2) {
        // No step is steeper than the straight piece between Re 2300 and 4000.
        const double steepest = 10 * (gw_film_nusselt(4000, pr) - 3.66) / 1700;
        double before = gw_film_nusselt(100, pr);
        for (double re = 100; re < 2e4; re += 10) {
            const double nu = gw_film_nusselt(re, pr);
            ck_assert_double_ge(nu, before);
            ck_assert_double_le(nu - before, steepest * (1 + 1e-9));
            before = nu;
        }
        ck_close(gw_film_nusselt(4000 * (1 - 1e-12), pr), gw_film_nusselt(4000, pr), 1e-9);
    }
}
END_TEST

START_TEST(pipe_numbers_by_hand)
{
    gw_film film;
    ck_assert_int_eq(gw_film_in_pipe(&water, &(gw_film_pipe){3e-4, 0.0272}, &film, NULL), GW_OK);
    const double v = 3e-4 / (3.14159265358979 / 4 * 0.0272 * 0.0272);
    ck_close(film.velocity_m_s, v, 1e-12);
    ck_close(film.reynolds, 998.2 * v * 0.0272 / 1.002e-3, 1e-12);
    ck_close(film.prandtl, 1.002e-3 * 4182 / 0.598, 1e-12);
    ck_assert_int_eq(film.regime, GW_FILM_TURBULENT);
    ck_close(film.film_w_m2k, gw_film_nusselt(film.reynolds, film.prandtl) * 0.598 / 0.0272, 1e-12);
    ck_assert_int_eq(gw_film_in_pipe(&water, &(gw_film_pipe){0, 0.0272}, &film, NULL), GW_OK);
    ck_assert_int_eq(film.regime, GW_FILM_LAMINAR);
    ck_close(film.film_w_m2k, 3.66 * 0.598 / 0.0272, 1e-12);
}
END_TEST

// Laminar annulus with the other wall insulated (Incropera table 8.2 after Kays & Perkins, from
// memory): inner 11.56, 7.37, 5.74, 4.86; outer 4.11, 4.23, 4.43, 4.86 at ratios 0.1 to 1.
START_TEST(annulus_matches_the_textbook_table)
{
    static const double ratio[] = {0.10, 0.25, 0.50, 0.9999999};
    static const double inner[] = {11.56, 7.37, 5.74, 4.86};
    static const double outer[] = {4.11, 4.23, 4.43, 4.86};
    for (size_t i = 0; i < 4; ++i) {
        gw_film_annulus_pair pair;
        const gw_film_annulus annulus = {1e-9, 0.1 * ratio[i], 0.1};
        ck_assert_int_eq(gw_film_in_annulus(&water, &annulus, &pair, NULL), GW_OK);
        ck_close(pair.inner_wall.nusselt, inner[i], 0.03);
        ck_close(pair.outer_wall.nusselt, outer[i], 0.03);
    }
}
END_TEST

START_TEST(turbulent_annulus_lies_near_the_pipe)
{
    gw_film_annulus_pair pair;
    const gw_film_annulus annulus = {2e-3, 0.04, 0.1};
    ck_assert_int_eq(gw_film_in_annulus(&water, &annulus, &pair, NULL), GW_OK);
    ck_assert_int_eq(pair.outer_wall.regime, GW_FILM_TURBULENT);
    const double plain = gw_film_nusselt(pair.outer_wall.reynolds, pair.outer_wall.prandtl);
    ck_close(pair.outer_wall.nusselt / plain, 1 - 0.14 * pow(0.4, 0.6), 1e-12);
    ck_close(pair.inner_wall.nusselt / plain, 0.86 * pow(0.4, -0.16), 1e-12);
}
END_TEST

START_TEST(bad_input_is_refused_by_field)
{
    gw_film film;
    gw_err err = {0};
    const gw_film_pipe pipe = {1e-4, 0.02};
    gw_film_fluid bad[4] = {water, water, water, water};
    bad[0].density_kg_m3 = 0;
    bad[1].heat_j_kgk = -1;
    bad[2].conductivity_w_mk = (double)NAN;
    bad[3].viscosity_pa_s = (double)INFINITY;
    const char *const fields[] = {"density_kg_m3", "heat_j_kgk", "conductivity_w_mk",
                                  "viscosity_pa_s"};
    for (size_t i = 0; i < 4; ++i) {
        ck_assert_int_eq(gw_film_in_pipe(&bad[i], &pipe, &film, &err), GW_ERR_RANGE);
        ck_assert_str_eq(err.field, fields[i]);
    }
    ck_assert_int_eq(gw_film_in_pipe(&water, &(gw_film_pipe){-1, 0.02}, &film, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "flow_m3_s");
    ck_assert_int_eq(gw_film_in_pipe(&water, &(gw_film_pipe){1, 0}, &film, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "inner_diameter_m");
    gw_film_annulus_pair pair;
    ck_assert_int_eq(gw_film_in_annulus(&water, &(gw_film_annulus){1, 0.1, 0.1}, &pair, &err),
                     GW_ERR_GEOMETRY);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("film");
    TCase *const cases = tcase_create("film");
    tcase_add_test(cases, turbulent_matches_hand_calculation);
    tcase_add_test(cases, turbulent_agrees_with_dittus_boelter);
    tcase_add_test(cases, laminar_is_the_uniform_wall_value);
    tcase_add_test(cases, curve_is_continuous_and_never_falls);
    tcase_add_test(cases, pipe_numbers_by_hand);
    tcase_add_test(cases, annulus_matches_the_textbook_table);
    tcase_add_test(cases, turbulent_annulus_lies_near_the_pipe);
    tcase_add_test(cases, bad_input_is_refused_by_field);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
