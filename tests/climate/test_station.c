// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "climate/station.h"

#include "base/builtin.h"
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
    gw_err err = {0};
    ck_assert_msg(gw_table_read(arena, file.name, file.text, file.length, &table, &err) == GW_OK,
                  "%s", err.text);
    ck_assert_msg(gw_stations_read(arena, &table, &stations, &err) == GW_OK, "%s", err.text);
}

static void close_stations(void)
{
    gw_arena_destroy(arena);
}

static const gw_station *station_of(const char *id)
{
    const gw_station *station = NULL;
    gw_err err = {0};
    ck_assert_msg(gw_station_find(&stations, id, &station, &err) == GW_OK, "%s", err.text);
    return station;
}

START_TEST(every_row_has_its_source)
{
    ck_assert_uint_ge(stations.count, 34);
    for (size_t i = 0; i < stations.count; i++) {
        ck_assert_uint_gt(strlen(stations.items[i].source), 20);
        ck_assert_uint_gt(strlen(stations.items[i].ground_source), 20);
        for (size_t j = 0; j < i; j++) {
            ck_assert_str_ne(stations.items[i].id, stations.items[j].id);
        }
    }
}
END_TEST

// A slip in one digit of a normal shows as a kink: the year must look like a wave.
START_TEST(every_row_is_a_plausible_year)
{
    for (size_t i = 0; i < stations.count; i++) {
        const gw_station *const s = &stations.items[i];
        const double mean_degc = gw_station_mean_degc(s);
        const double amplitude_k = gw_station_amplitude_k(s);
        double second_k = 0.0;
        for (int m = 0; m < 12; m++) {
            const double bend_k = s->monthly_mean_degc[(m + 11) % 12] +
                                  s->monthly_mean_degc[(m + 1) % 12] -
                                  2.0 * s->monthly_mean_degc[m];
            second_k = fmax(second_k, fabs(bend_k));
        }
        // The months of a typical-year file come from different years.
        const double bound_k = strstr(s->source, "typical-year") != NULL ? 12.0 : 8.0;
        ck_assert_msg(second_k < bound_k, "%s bends by %g K", s->id, second_k);
        double coldest_degc = 99.0;
        for (int m = 0; m < 12; m++) {
            coldest_degc = fmin(coldest_degc, s->monthly_mean_degc[m]);
        }
        ck_assert_msg(s->heating_design_degc < coldest_degc - 4.0, "%s", s->id);
        ck_assert_msg(s->heating_design_degc > coldest_degc - 28.0, "%s", s->id);
        ck_assert_msg(s->cooling_design_degc > mean_degc + amplitude_k, "%s", s->id);
        ck_assert_msg(fabs(s->ground_mean_degc - mean_degc) < 3.0, "%s", s->id);
        ck_assert_msg(s->ground_amplitude_k < 1.1 * amplitude_k, "%s", s->id);
        ck_assert_msg(s->ground_phase_day > 5.0 && s->ground_phase_day < 70.0, "%s", s->id);
        const double clock_h = s->longitude_deg / 15.0 - s->timezone_h;
        ck_assert_msg(fabs(clock_h) < 1.6, "%s: %g h off its meridian", s->id, clock_h);
    }
}
END_TEST

// ASHRAE Fundamentals 2017 ch. 14: yearly means 6.7, 8.7, 3.0, 10.5 °C.
START_TEST(yearly_means_match_published)
{
    ck_assert_double_eq_tol(gw_station_mean_degc(station_of("ottawa")), 6.7, 0.06);
    ck_assert_double_eq_tol(gw_station_mean_degc(station_of("toronto")), 8.7, 0.1);
    ck_assert_double_eq_tol(gw_station_mean_degc(station_of("winnipeg")), 3.0, 0.06);
    ck_assert_double_eq_tol(gw_station_mean_degc(station_of("vancouver")), 10.5, 0.06);
}
END_TEST

// Harmonic of the Montréal typical year computed from its hours: 15.41 K.
START_TEST(amplitude_from_months_matches_hours)
{
    ck_close(gw_station_amplitude_k(station_of("montreal")), 15.41, 0.005);
}
END_TEST

START_TEST(unknown_id_suggests_the_nearest)
{
    const gw_station *station = NULL;
    gw_err err = {0};
    ck_assert_int_eq(gw_station_find(&stations, "halifx", &station, &err), GW_ERR_KEY);
    ck_assert_ptr_nonnull(strstr(err.text, "halifax"));
    ck_assert_int_eq(gw_station_find(&stations, "qqqqqqqq", &station, &err), GW_ERR_KEY);
    ck_assert_ptr_null(strstr(err.text, "did you mean"));
}
END_TEST

START_TEST(nearest_station_is_found_on_the_sphere)
{
    const gw_station *station = NULL;
    double distance_m = 0.0;
    const double truro[2] = {45.36, -63.28};
    ck_assert_int_eq(gw_station_nearest(&stations, truro, &station, &distance_m, NULL), GW_OK);
    ck_assert_str_eq(station->id, "halifax");
    ck_assert_double_eq_tol(distance_m, 56.3e3, 1.0e3); // haversine by hand
    const double off[2] = {91.0, 0.0};
    const double nowhere[2] = {0.0, (double)NAN};
    ck_assert_int_eq(gw_station_nearest(&stations, off, &station, NULL, NULL), GW_ERR_RANGE);
    ck_assert_int_eq(gw_station_nearest(&stations, nowhere, &station, NULL, NULL), GW_ERR_RANGE);
    const gw_stations none = {0};
    ck_assert_int_eq(gw_station_nearest(&none, truro, &station, NULL, NULL), GW_ERR_MISSING);
}
END_TEST

START_TEST(each_number_out_of_range_is_refused)
{
    const gw_station good = *station_of("halifax");
    ck_assert_int_eq(gw_station_check(&good, NULL), GW_OK);
    for (int i = 0; i < 11; i++) {
        gw_station bad = good;
        double *const fields[11] = {
            &bad.latitude_deg,     &bad.longitude_deg,       &bad.elevation_m,
            &bad.timezone_h,       &bad.heating_design_degc, &bad.cooling_design_degc,
            &bad.daily_range_k,    &bad.ground_mean_degc,    &bad.ground_amplitude_k,
            &bad.ground_phase_day, &bad.monthly_mean_degc[6]};
        gw_err err = {0};
        *fields[i] = 1e6;
        ck_assert_int_eq(gw_station_check(&bad, &err), GW_ERR_RANGE);
        ck_assert_ptr_nonnull(strstr(err.field, "halifax"));
        *fields[i] = (double)NAN;
        ck_assert_int_eq(gw_station_check(&bad, &err), GW_ERR_RANGE);
    }
}
END_TEST

START_TEST(a_missing_column_or_a_word_is_an_error)
{
    gw_table table;
    gw_stations out;
    static const char no_columns[] = "id,name\nx,y\n";
    ck_assert_int_eq(gw_table_read(arena, "t.csv", no_columns, sizeof no_columns - 1, &table, NULL),
                     GW_OK);
    ck_assert_int_eq(gw_stations_read(arena, &table, &out, NULL), GW_ERR_KEY);
}
END_TEST

START_TEST(no_memory_is_reported)
{
    gw_builtin_file file;
    ck_assert(gw_builtin("stations.csv", &file));
    gw_table table;
    ck_assert_int_eq(gw_table_read(arena, file.name, file.text, file.length, &table, NULL), GW_OK);
    gw_arena_fail_after(arena, 0);
    gw_stations out;
    ck_assert_int_eq(gw_stations_read(arena, &table, &out, NULL), GW_ERR_NOMEM);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("climate/station");
    TCase *const cases = tcase_create("all");
    tcase_add_checked_fixture(cases, open_stations, close_stations);
    tcase_add_test(cases, every_row_has_its_source);
    tcase_add_test(cases, every_row_is_a_plausible_year);
    tcase_add_test(cases, yearly_means_match_published);
    tcase_add_test(cases, amplitude_from_months_matches_hours);
    tcase_add_test(cases, unknown_id_suggests_the_nearest);
    tcase_add_test(cases, nearest_station_is_found_on_the_sphere);
    tcase_add_test(cases, each_number_out_of_range_is_refused);
    tcase_add_test(cases, a_missing_column_or_a_word_is_an_error);
    tcase_add_test(cases, no_memory_is_reported);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
