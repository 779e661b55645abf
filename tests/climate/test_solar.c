// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Duffie & Beckman, Solar Engineering of Thermal Processes, worked examples of chapters 1 and 2
// (from memory); solstices, day length and energy balance by exact reasoning.
#include "climate/solar.h"

#include "harness.h"

#include <math.h>

#define PI 3.14159265358979323846

START_TEST(declination_peaks_at_the_solstices)
{
    ck_assert_double_eq_tol(gw_solar_declination_deg(171.0), 23.45, 0.05);  // 21 June
    ck_assert_double_eq_tol(gw_solar_declination_deg(354.0), -23.45, 0.05); // 21 December
    ck_assert_double_eq_tol(gw_solar_declination_deg(79.5), 0.0, 0.5);      // 21 March
    // 13 February: -13.5° by the almanac (Cooper's rougher formula gives -14°).
    ck_assert_double_eq_tol(gw_solar_declination_deg(43.0), -13.5, 0.2);
}
END_TEST

START_TEST(equation_of_time_has_its_known_extremes)
{
    ck_assert_double_eq_tol(gw_solar_equation_of_time_min(41.0), -14.3, 0.3); // 11 February
    ck_assert_double_eq_tol(gw_solar_equation_of_time_min(306.0), 16.4, 0.3); // 3 November
    // Example 1.5.1: 3 February, Madison, 10:30 central standard time is 10:19 solar time.
    const double solar_min = 4.0 * (90.0 - 89.4) + gw_solar_equation_of_time_min(33.0);
    ck_assert_double_eq_tol(solar_min, -11.0, 0.5);
}
END_TEST

// Example 1.6.1: Madison (43° N), 13 February, 10:30 solar time, surface tilted 45° and facing 15°
// west of south: angle of incidence 35°.
START_TEST(incidence_matches_madison_example)
{
    const gw_sun sun = gw_solar_sun_at_solar_time(43.0, 43.0, 10.5);
    const gw_surface roof = {.facing_deg = 195.0, .tilt_deg = 45.0, .ground_albedo = 0.2};
    ck_assert_double_eq_tol(acos(gw_solar_incidence_cosine(&sun, &roof)) * 180.0 / PI, 35.0, 0.4);
    // Example 1.6.2: 13 February 9:30, zenith 66.5°, azimuth 40° east of south.
    const gw_sun morning = gw_solar_sun_at_solar_time(43.0, 43.0, 9.5);
    ck_assert_double_eq_tol(acos(morning.cos_zenith) * 180.0 / PI, 66.5, 0.5);
    ck_assert_double_eq_tol(morning.azimuth_deg, 140.0, 0.5);
}
END_TEST

// Example 1.10.1: Madison (43° N), 15 April: 33.8 MJ/m2.
START_TEST(daily_extraterrestrial_matches_example_and_integral)
{
    ck_close(gw_solar_daily_extraterrestrial_j_m2(43.0, 104.0), 33.8e6, 0.006);
    double sum_j_m2 = 0.0;
    for (int i = 0; i < 8640; i++) {
        const gw_sun sun = gw_solar_sun_at_solar_time(43.0, 104.0, (i + 0.5) / 360.0);
        sum_j_m2 += fmax(0.0, sun.cos_zenith) * sun.extraterrestrial_w_m2 * 10.0;
    }
    ck_close(gw_solar_daily_extraterrestrial_j_m2(43.0, 104.0), sum_j_m2, 1e-5);
    ck_assert_double_eq_tol(gw_solar_daily_extraterrestrial_j_m2(80.0, 354.0), 0.0, 1e-3);
    ck_assert_double_gt(gw_solar_daily_extraterrestrial_j_m2(80.0, 171.0), 40e6);
}
END_TEST

// Example 2.8.1: Madison (270 m), 22 August, 11:30 solar time: cosine of the zenith angle 0.846,
// extraterrestrial 1339 W/m2, beam transmittance 0.62.
START_TEST(clear_sky_matches_madison_example)
{
    const gw_sun sun = {.cos_zenith = 0.846, .extraterrestrial_w_m2 = 1339.0};
    const gw_sky sky = gw_solar_clear_sky(&sun, 270.0, 0);
    ck_assert_double_eq_tol(sky.direct_normal_w_m2 / 1339.0, 0.62, 0.0051);
    // The sun stands 1.0113 au away on that day (almanac).
    ck_assert_double_eq_tol(gw_solar_extraterrestrial_w_m2(233.0), 1367.0 / (1.0113 * 1.0113), 2.0);
    ck_close(sky.global_horizontal_w_m2,
             sky.direct_normal_w_m2 * sun.cos_zenith + sky.diffuse_horizontal_w_m2, 1e-12);
    const gw_sun night = gw_solar_sun_at_solar_time(43.0, 233.0, 0.0);
    ck_assert_double_eq(gw_solar_clear_sky(&night, 270.0, 0).global_horizontal_w_m2, 0.0);
}
END_TEST

// Erbs, Klein & Duffie (1982) correlation, at its joints (continuous to about 0.005).
START_TEST(diffuse_share_is_continuous_and_falls)
{
    ck_assert_double_eq_tol(gw_solar_diffuse_frac(0.22), gw_solar_diffuse_frac(0.2200001), 6e-3);
    ck_assert_double_eq_tol(gw_solar_diffuse_frac(0.80), 0.165, 6e-3);
    ck_close(gw_solar_diffuse_frac(0.1), 0.991, 1e-12);
    ck_close(gw_solar_diffuse_frac(0.5), 0.6588, 2e-3);
}
END_TEST

START_TEST(horizontal_surface_receives_the_global)
{
    const gw_sun sun = gw_solar_sun_at_solar_time(46.0, 180.0, 13.0);
    const gw_sky sky = gw_solar_clear_sky(&sun, 100.0, 0);
    const gw_surface flat = {.facing_deg = 77.0, .tilt_deg = 0.0, .ground_albedo = 0.7};
    ck_close(gw_solar_on_surface(&sun, &sky, &flat), sky.global_horizontal_w_m2, 1e-12);
    // A wall in the shade sees half the sky and half the ground.
    const gw_surface north = {.facing_deg = 0.0, .tilt_deg = 90.0, .ground_albedo = 0.2};
    ck_close(gw_solar_on_surface(&sun, &sky, &north),
             0.5 * sky.diffuse_horizontal_w_m2 + 0.1 * sky.global_horizontal_w_m2, 1e-12);
}
END_TEST

START_TEST(east_and_west_mirror_about_solar_noon)
{
    const gw_surface east = {90.0, 90.0, 0.2};
    const gw_surface west = {270.0, 90.0, 0.2};
    const gw_sun morning = gw_solar_sun_at_solar_time(46.0, 100.0, 9.0);
    const gw_sun evening = gw_solar_sun_at_solar_time(46.0, 100.0, 15.0);
    const gw_sky sky = {600.0, 100.0, 400.0};
    ck_close(gw_solar_on_surface(&morning, &sky, &east), gw_solar_on_surface(&evening, &sky, &west),
             1e-12);
    ck_assert_double_lt(morning.azimuth_deg, 180.0);
    ck_assert_double_gt(evening.azimuth_deg, 180.0);
}
END_TEST

// Local standard time: at the meridian of the zone noon differs by the equation of time only.
START_TEST(clock_time_follows_longitude)
{
    const gw_solar_site on = {46.0, -60.0, -4.0, 0.0};
    const gw_solar_site west = {46.0, -67.5, -4.0, 0.0};
    const double noon_h = 24.0 * 41.0 + 12.0;
    ck_assert_double_eq_tol(gw_solar_sun_at(&on, noon_h).hour_angle_deg,
                            gw_solar_equation_of_time_min(41.0) / 4.0, 1e-9);
    ck_assert_double_eq_tol(gw_solar_sun_at(&west, noon_h).hour_angle_deg,
                            gw_solar_sun_at(&on, noon_h).hour_angle_deg - 7.5, 1e-9);
}
END_TEST

START_TEST(surface_year_of_a_flat_roof_is_the_global)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_weather w;
    ck_assert_int_eq(gw_weather_init(arena, &w, NULL), GW_OK);
    w.latitude_deg = 46.0;
    w.longitude_deg = -66.0;
    w.timezone_h = -4.0;
    const gw_solar_site site = {46.0, -66.0, -4.0, 0.0};
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        const gw_sun sun = gw_solar_sun_at(&site, h + 0.5);
        const gw_sky sky = gw_solar_clear_sky(&sun, 0.0, 1);
        w.direct_normal_w_m2[h] = sky.direct_normal_w_m2;
        w.diffuse_horizontal_w_m2[h] = sky.diffuse_horizontal_w_m2;
        w.global_horizontal_w_m2[h] = sky.global_horizontal_w_m2;
    }
    static gw_sun suns[GW_HOURS_PER_YEAR];
    gw_solar_sun_year(&w, suns);
    static double flat_w_m2[GW_HOURS_PER_YEAR];
    static double south_w_m2[GW_HOURS_PER_YEAR];
    static double north_w_m2[GW_HOURS_PER_YEAR];
    gw_solar_surface_year(&w, suns, &(gw_surface){0.0, 0.0, 0.2}, flat_w_m2);
    gw_solar_surface_year(&w, suns, &(gw_surface){180.0, 90.0, 0.2}, south_w_m2);
    gw_solar_surface_year(&w, suns, &(gw_surface){0.0, 90.0, 0.2}, north_w_m2);
    double flat = 0.0;
    double global = 0.0;
    double south = 0.0;
    double north = 0.0;
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        flat += flat_w_m2[h];
        global += w.global_horizontal_w_m2[h];
        south += south_w_m2[h];
        north += north_w_m2[h];
    }
    ck_close(flat, global, 2e-3); // the sun of a sunrise hour is moved to its lit part
    ck_assert_double_gt(south, 2.0 * north);
    gw_arena_destroy(arena);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("climate/solar");
    TCase *const cases = tcase_create("all");
    tcase_add_test(cases, declination_peaks_at_the_solstices);
    tcase_add_test(cases, equation_of_time_has_its_known_extremes);
    tcase_add_test(cases, incidence_matches_madison_example);
    tcase_add_test(cases, daily_extraterrestrial_matches_example_and_integral);
    tcase_add_test(cases, clear_sky_matches_madison_example);
    tcase_add_test(cases, diffuse_share_is_continuous_and_falls);
    tcase_add_test(cases, horizontal_surface_receives_the_global);
    tcase_add_test(cases, east_and_west_mirror_about_solar_noon);
    tcase_add_test(cases, clock_time_follows_longitude);
    tcase_add_test(cases, surface_year_of_a_flat_roof_is_the_global);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
