// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Anisotropic sky: values of an independent implementation, exact limits, the year against it.
#include "climate/perez.h"

#include "climate/epw_text.h"
#include "harness.h"

#include <math.h>

#define RAD (3.14159265358979323846 / 180.0)

// A low and a mid sun over the desert of Arizona, 24 June: sky part on a surface tilted 40° that
// the sun does not reach. Inputs and results, isotropic and horizon part added (26.84138589
// + 4.62212181; 31.72696071 + 9.25316454 W/m2), are those of the published tests of an open-source
// solar library with the same coefficients and air mass (read); its sums are given to two digits
// only.
START_TEST(sky_part_agrees_with_an_independent_implementation)
{
    const struct {
        double zenith_deg, beam, diffuse, global, want;
    } rows[] = {{82.85457044, 316.1949056, 40.46149818, 79.73860422, 26.84138589 + 4.62212181},
                {72.41687122, 646.22886049, 62.03376265, 257.20751138, 31.72696071 + 9.25316454}};
    for (int i = 0; i < 2; i++) {
        const gw_sun sun = {.cos_zenith = cos(rows[i].zenith_deg * RAD),
                            .azimuth_deg = 90.0,
                            .extraterrestrial_w_m2 = 1321.1655834833093};
        const gw_sky sky = {rows[i].beam, rows[i].diffuse, rows[i].global};
        const gw_surface away = {.facing_deg = 270.0, .tilt_deg = 40.0};
        const gw_perez shape = gw_perez_of(&sun, &sky);
        ck_assert_double_lt(gw_solar_incidence_cosine(&sun, &away), 0.0);
        ck_close(gw_perez_on_surface(&sun, &sky, &shape, &away), rows[i].want, 1e-6);
    }
}
END_TEST

// A horizontal surface gets the whole diffuse light whatever the shape (a = b above 5° of sun).
START_TEST(horizontal_surface_gets_the_diffuse_light_whole)
{
    const gw_surface flat = {.ground_albedo = 0.2};
    for (int step = 1; step <= 16; step++) {
        const gw_sun sun = {.cos_zenith = sin(5.0 * step * RAD),
                            .azimuth_deg = 180.0,
                            .extraterrestrial_w_m2 = 1367.0};
        const double beam = 50.0 * step;
        const gw_sky sky = {beam, 120.0, beam * sun.cos_zenith + 120.0};
        const gw_perez shape = gw_perez_of(&sun, &sky);
        ck_close(gw_perez_on_surface(&sun, &sky, &shape, &flat), sky.global_horizontal_w_m2, 1e-12);
    }
}
END_TEST

// Shape zero is the isotropic sky of solar.h, beam and ground included.
START_TEST(no_shape_is_the_isotropic_sky)
{
    const gw_sun sun = {.cos_zenith = 0.6, .azimuth_deg = 170.0, .extraterrestrial_w_m2 = 1367.0};
    const gw_sky sky = {500.0, 150.0, 450.0};
    for (int tilt = 0; tilt <= 180; tilt += 15) {
        const gw_surface s = {.facing_deg = 200.0, .tilt_deg = tilt, .ground_albedo = 0.3};
        ck_close(gw_perez_on_surface(&sun, &sky, &(gw_perez){0}, &s),
                 gw_solar_on_surface(&sun, &sky, &s), 1e-12);
    }
    const gw_sun down = {.cos_zenith = -0.1, .extraterrestrial_w_m2 = 1367.0};
    const gw_perez dark = gw_perez_of(&down, &sky);
    ck_assert_double_eq(dark.circumsolar_frac, 0.0);
    const gw_sky none = {0};
    ck_assert_double_eq(gw_perez_of(&sun, &none).horizon_frac, 0.0);
}
END_TEST

// Denver: a south wall gets more than under the isotropic sky (its diffuse light stands round the
// sun), a north wall less; both within a fifth.
START_TEST(year_is_brighter_towards_the_sun)
{
    static gw_sun suns[GW_HOURS_PER_YEAR];
    static gw_perez shapes[GW_HOURS_PER_YEAR];
    static double isotropic[GW_HOURS_PER_YEAR];
    static double perez[GW_HOURS_PER_YEAR];
    size_t length = 0;
    char *const text = epw_real("denver-725650-tmy3.epw", &length);
    if (text == NULL) {
        return;
    }
    gw_arena *const arena = gw_arena_create(0);
    gw_weather w;
    ck_assert_int_eq(gw_weather_read_epw(arena, (gw_weather_text){"d", text, length}, &w, NULL),
                     GW_OK);
    gw_solar_sun_year(&w, suns);
    gw_perez_year(&w, suns, shapes);
    double ratio[2];
    for (int north = 0; north < 2; north++) {
        const gw_surface wall = {
            .facing_deg = north ? 0.0 : 180.0, .tilt_deg = 90.0, .ground_albedo = 0.2};
        double sum[2] = {0.0, 0.0};
        gw_solar_surface_year(&w, suns, &wall, isotropic);
        gw_perez_surface_year(&w, suns, shapes, &wall, perez);
        for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
            ck_assert(isfinite(perez[h]) && perez[h] >= 0.0);
            sum[0] += isotropic[h];
            sum[1] += perez[h];
        }
        ratio[north] = sum[1] / sum[0];
    }
    ck_assert_msg(ratio[0] > 1.0 && ratio[0] < 1.2, "south %g", ratio[0]);
    ck_assert_msg(ratio[1] < 1.0 && ratio[1] > 0.8, "north %g", ratio[1]);
    gw_arena_destroy(arena);
    free(text);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("climate/perez");
    TCase *const cases = tcase_create("all");
    tcase_add_test(cases, sky_part_agrees_with_an_independent_implementation);
    tcase_add_test(cases, horizontal_surface_gets_the_diffuse_light_whole);
    tcase_add_test(cases, no_shape_is_the_isotropic_sky);
    tcase_add_test(cases, year_is_brighter_towards_the_sun);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
