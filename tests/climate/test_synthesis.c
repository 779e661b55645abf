// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "climate/synthesis.h"

#include "base/builtin.h"
#include "climate/degree_days.h"
#include "climate/solar.h"
#include "harness.h"

#include <math.h>
#include <string.h>

static gw_arena *arena;
static gw_stations stations;

static void open_stations(void)
{
    arena = gw_arena_create(0);
    gw_builtin_file file;
    ck_assert(gw_builtin("stations.csv", &file));
    gw_table table;
    ck_assert_int_eq(gw_table_read(arena, file.name, file.text, file.length, &table, NULL), GW_OK);
    ck_assert_int_eq(gw_stations_read(arena, &table, &stations, NULL), GW_OK);
}

static void close_stations(void)
{
    gw_arena_destroy(arena);
}

static gw_weather year_of(const char *id, uint64_t seed)
{
    gw_synthesis how = {.seed = seed};
    gw_weather weather;
    gw_err err = {0};
    ck_assert_int_eq(gw_station_find(&stations, id, &how.station, &err), GW_OK);
    ck_assert_msg(gw_weather_synthesize(arena, &how, &weather, &err) == GW_OK, "%s", err.text);
    ck_assert_msg(gw_weather_check(&weather, &err) == GW_OK, "%s", err.text);
    return weather;
}

static double deviation_k(const double *hourly, int month)
{
    const int first = gw_weather_hours_before_month(month);
    const int hours = 24 * gw_weather_days_of_month(month);
    double mean = 0.0;
    double square = 0.0;
    for (int k = 0; k < hours; k++) {
        mean += hourly[first + k] / hours;
        square += hourly[first + k] * hourly[first + k] / hours;
    }
    return sqrt(square - mean * mean);
}

START_TEST(monthly_means_are_reproduced)
{
    for (size_t i = 0; i < stations.count; i++) {
        const gw_weather w = year_of(stations.items[i].id, 1);
        double mean[12];
        gw_weather_monthly_means(w.dry_bulb_degc, mean);
        for (int m = 0; m < 12; m++) {
            ck_assert_double_eq_tol(mean[m], stations.items[i].monthly_mean_degc[m], 1e-3);
        }
    }
}
END_TEST

// Erbs, Klein & Beckman (1983): the hours of a month spread by pi/(sqrt(3) 3.396) sigma_m sqrt(N).
START_TEST(hourly_spread_is_the_one_stated)
{
    static const char *const ids[] = {"halifax", "montreal", "winnipeg", "oulu", "vancouver"};
    for (size_t i = 0; i < sizeof ids / sizeof ids[0]; i++) {
        for (uint64_t seed = 1; seed <= 3; seed++) {
            const gw_station *station = NULL;
            ck_assert_int_eq(gw_station_find(&stations, ids[i], &station, NULL), GW_OK);
            const double sigma_k = gw_degree_days_sigma_year_k(station->monthly_mean_degc);
            const gw_weather w = year_of(ids[i], seed);
            for (int m = 0; m < 12; m++) {
                const double want_k = gw_degree_days_sigma_hours_k(
                    station->monthly_mean_degc[m], sigma_k, gw_weather_days_of_month(m));
                ck_close(deviation_k(w.dry_bulb_degc, m), want_k, 0.02);
            }
        }
    }
}
END_TEST

START_TEST(same_seed_same_year_other_seed_other_year)
{
    const gw_weather a = year_of("halifax", 7);
    const gw_weather b = year_of("halifax", 7);
    const gw_weather c = year_of("halifax", 8);
    const size_t bytes = GW_HOURS_PER_YEAR * sizeof(double);
    ck_assert_int_eq(memcmp(a.dry_bulb_degc, b.dry_bulb_degc, bytes), 0);
    ck_assert_int_eq(memcmp(a.direct_normal_w_m2, b.direct_normal_w_m2, bytes), 0);
    ck_assert_int_ne(memcmp(a.dry_bulb_degc, c.dry_bulb_degc, bytes), 0);
}
END_TEST

// ASHRAE Fundamentals 2017: measured HDD18.3 (65 °F) of stations whose normals are used.
START_TEST(degree_days_match_measured_ones)
{
    static const struct {
        const char *id;
        double hdd18_3;
    } rows[] = {{"ottawa", 4483}, {"toronto", 3837}, {"winnipeg", 5758}, {"vancouver", 2911}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const gw_weather w = year_of(rows[i].id, 1);
        const double hdd =
            gw_degree_days_daily(w.dry_bulb_degc, GW_DEGREE_DAYS_HEATING, 33.0 / 1.8);
        ck_close(hdd, rows[i].hdd18_3, 0.03);
    }
}
END_TEST

// The 99 % temperature of the made year against the published 99 % design temperature
// (ASHRAE 2017 and 2009), mean of ten seeds: plausible means within 3 K everywhere and within
// 1.5 K on the average. Measured: 0.2 to 1.0 K too warm, Burlington 2.6 K.
START_TEST(cold_end_is_near_the_design_temperature)
{
    enum { PLACES = 6 };
    static const char *const ids[PLACES] = {"ottawa",   "toronto",    "winnipeg",
                                            "montreal", "burlington", "vancouver"};
    double off_k = 0.0;
    for (size_t i = 0; i < PLACES; i++) {
        const gw_station *station = NULL;
        ck_assert_int_eq(gw_station_find(&stations, ids[i], &station, NULL), GW_OK);
        double mean_degc = 0.0;
        for (uint64_t seed = 1; seed <= 10; seed++) {
            const gw_weather w = year_of(ids[i], seed);
            double p01_degc = 0.0;
            ck_assert_int_eq(gw_weather_percentile(arena, w.dry_bulb_degc, 0.01, &p01_degc, NULL),
                             GW_OK);
            mean_degc += 0.1 * p01_degc;
        }
        ck_assert_double_eq_tol(mean_degc, station->heating_design_degc, 3.0);
        off_k += fabs(mean_degc - station->heating_design_degc) / PLACES;
    }
    ck_assert_double_lt(off_k, 1.5);
}
END_TEST

START_TEST(days_follow_each_other_with_persistence)
{
    const gw_weather w = year_of("montreal", 3);
    double day[GW_DAYS_PER_YEAR];
    double month[12];
    gw_weather_daily_means(w.dry_bulb_degc, day);
    gw_weather_monthly_means(w.dry_bulb_degc, month);
    double product = 0.0;
    double square = 0.0;
    double before = 0.0;
    for (int d = 0; d < GW_DAYS_PER_YEAR; d++) {
        const double z = day[d] - month[gw_weather_month_of_hour(24 * d)];
        product += d > 0 ? z * before : 0.0;
        square += z * z;
        before = z;
    }
    ck_assert_double_gt(product / square, 0.5); // typical-year files: 0.57 to 0.70
    ck_assert_double_lt(product / square, 0.85);
}
END_TEST

START_TEST(afternoon_is_warmer_than_dawn)
{
    const gw_weather w = year_of("ottawa", 1);
    double at[24] = {0};
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        at[h % 24] += w.dry_bulb_degc[h] / 365.0;
    }
    int warmest = 0;
    int coldest = 0;
    for (int k = 1; k < 24; k++) {
        warmest = at[k] > at[warmest] ? k : warmest;
        coldest = at[k] < at[coldest] ? k : coldest;
    }
    ck_assert_int_ge(warmest, 13);
    ck_assert_int_le(warmest, 16);
    ck_assert_int_ge(coldest, 3);
    ck_assert_int_le(coldest, 7);
    ck_assert_double_gt(at[warmest] - at[coldest], 4.0);
}
END_TEST

// The monthly clearness asked for comes out of the hours, seed or no seed.
START_TEST(monthly_clearness_is_reproduced)
{
    gw_synthesis how = {.seed = 5};
    ck_assert_int_eq(gw_station_find(&stations, "montreal", &how.station, NULL), GW_OK);
    for (int m = 0; m < 12; m++) {
        how.clearness[m] = 0.40 + 0.015 * m;
    }
    gw_weather w;
    ck_assert_int_eq(gw_weather_synthesize(arena, &how, &w, NULL), GW_OK);
    for (int m = 0; m < 12; m++) {
        const int first = gw_weather_hours_before_month(m);
        double global_j_m2 = 0.0;
        double outside_j_m2 = 0.0;
        for (int d = 0; d < gw_weather_days_of_month(m); d++) {
            outside_j_m2 += gw_solar_daily_extraterrestrial_j_m2(w.latitude_deg, first / 24 + d);
            for (int k = 0; k < 24; k++) {
                global_j_m2 += 3600.0 * w.global_horizontal_w_m2[first + 24 * d + k];
            }
        }
        ck_close(global_j_m2 / outside_j_m2, how.clearness[m], 0.04);
    }
}
END_TEST

START_TEST(sun_and_sky_add_up_every_hour)
{
    const gw_weather w = year_of("halifax", 2);
    const gw_solar_site site = {w.latitude_deg, w.longitude_deg, w.timezone_h, w.elevation_m};
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        const gw_sun sun = gw_solar_sun_at(&site, h + 0.5);
        const double beam_w_m2 = w.direct_normal_w_m2[h] * fmax(0.0, sun.cos_zenith);
        ck_assert_double_eq_tol(beam_w_m2 + w.diffuse_horizontal_w_m2[h],
                                w.global_horizontal_w_m2[h], 1e-6);
        ck_assert_double_lt(w.direct_normal_w_m2[h], 1367.0);
        ck_assert_double_le(w.dew_point_degc[h], w.dry_bulb_degc[h]);
    }
}
END_TEST

START_TEST(bad_input_is_refused)
{
    gw_weather w;
    gw_err err = {0};
    gw_synthesis how = {.seed = 1};
    ck_assert_int_eq(gw_weather_synthesize(arena, &how, &w, &err), GW_ERR_MISSING);
    ck_assert_int_eq(gw_station_find(&stations, "halifax", &how.station, NULL), GW_OK);
    how.clearness[3] = 0.1;
    ck_assert_int_eq(gw_weather_synthesize(arena, &how, &w, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "clearness");
    how.clearness[3] = (double)NAN;
    ck_assert_int_eq(gw_weather_synthesize(arena, &how, &w, &err), GW_ERR_RANGE);
    how.clearness[3] = 0.0;
    how.wind_m_s = 21.0;
    ck_assert_int_eq(gw_weather_synthesize(arena, &how, &w, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "wind_m_s");
    how.wind_m_s = 0.0;
    gw_arena_fail_after(arena, 1);
    ck_assert_int_eq(gw_weather_synthesize(arena, &how, &w, &err), GW_ERR_NOMEM);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("climate/synthesis");
    TCase *const cases = tcase_create("all");
    tcase_set_timeout(cases, 120);
    tcase_add_checked_fixture(cases, open_stations, close_stations);
    tcase_add_test(cases, monthly_means_are_reproduced);
    tcase_add_test(cases, hourly_spread_is_the_one_stated);
    tcase_add_test(cases, same_seed_same_year_other_seed_other_year);
    tcase_add_test(cases, degree_days_match_measured_ones);
    tcase_add_test(cases, cold_end_is_near_the_design_temperature);
    tcase_add_test(cases, days_follow_each_other_with_persistence);
    tcase_add_test(cases, afternoon_is_warmer_than_dawn);
    tcase_add_test(cases, monthly_clearness_is_reproduced);
    tcase_add_test(cases, sun_and_sky_add_up_every_hour);
    tcase_add_test(cases, bad_input_is_refused);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
