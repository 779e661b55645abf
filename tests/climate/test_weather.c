// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "climate/weather.h"

#include "base/random.h"
#include "climate/degree_days.h"
#include "climate/ground_temperature.h"
#include "epw_text.h"
#include "harness.h"

static gw_arena *arena;

static void open_arena(void)
{
    arena = gw_arena_create(0);
}

static void close_arena(void)
{
    gw_arena_destroy(arena);
}

static gw_status read_text(const char *text, gw_weather *out, gw_err *err)
{
    return gw_weather_read_epw(arena, (gw_weather_text){"t.epw", text, strlen(text)}, out, err);
}

START_TEST(months_tile_the_year)
{
    int hours = 0;
    for (int m = 0; m < 12; m++) {
        ck_assert_int_eq(gw_weather_hours_before_month(m), hours);
        ck_assert_int_eq(gw_weather_month_of_hour(hours), m);
        hours += 24 * gw_weather_days_of_month(m);
        ck_assert_int_eq(gw_weather_month_of_hour(hours - 1), m);
    }
    ck_assert_int_eq(hours, GW_HOURS_PER_YEAR);
}
END_TEST

START_TEST(a_sound_file_is_read_whole)
{
    char *const text = epw_text();
    gw_weather weather;
    gw_err err = {0};
    ck_assert_msg(read_text(text, &weather, &err) == GW_OK, "%s", err.text);
    ck_assert_str_eq(weather.name, "Testville");
    ck_assert_double_eq(weather.latitude_deg, 46.0);
    ck_assert_double_eq(weather.longitude_deg, -66.0);
    ck_assert_double_eq(weather.timezone_h, -4.0);
    ck_assert_double_eq(weather.elevation_m, 50.0);
    ck_assert_double_eq_tol(weather.dry_bulb_degc[0], -15.0, 1e-9);
    ck_assert_double_eq_tol(weather.dry_bulb_degc[4380], 5.0, 1e-9);
    ck_assert_double_eq(weather.global_horizontal_w_m2[10], 300.0);
    ck_assert_double_eq(weather.direct_normal_w_m2[10], 400.0);
    ck_assert_double_eq(weather.diffuse_horizontal_w_m2[10], 100.0);
    ck_assert_double_eq(weather.global_horizontal_w_m2[2], 0.0);
    ck_assert_double_eq(weather.wind_m_s[8759], 3.5);
    free(text);
}
END_TEST

START_TEST(carriage_returns_blanks_and_leap_day_are_accepted)
{
    char *const text = epw_text();
    epw_put(text, epw_line_of(30), 6, "  -14.5 ");
    char *const march = epw_line(text, epw_line_of(24 * 59));
    static const char leap[] = "2000,2,29,1,60,f,9.0,-20,80,101000,0,0,300,0,0,0,0,0,0,0,180,3,5,"
                               "5,16,2000,0,9,10,0.1,0,88,0.2,0.0,0.0\r\n";
    memmove(march + sizeof leap - 1, march, strlen(march) + 1);
    memcpy(march, leap, sizeof leap - 1);
    strcat(text, "\r\n\n");
    gw_weather weather;
    gw_err err = {0};
    ck_assert_msg(read_text(text, &weather, &err) == GW_OK, "%s", err.text);
    ck_assert_double_eq(weather.dry_bulb_degc[30], -14.5);
    ck_assert_double_lt(weather.dry_bulb_degc[24 * 59], 0.0);
    free(text);
}
END_TEST

START_TEST(a_missing_hour_names_the_date_expected)
{
    char *const text = epw_text();
    const int hour = 24 * 45 + 6; // 15 February, hour 7
    char *const line = epw_line(text, epw_line_of(hour));
    char *const next = strchr(line, '\n') + 1;
    memmove(line, next, strlen(next) + 1);
    gw_weather weather;
    gw_err err = {0};
    ck_assert_int_eq(read_text(text, &weather, &err), GW_ERR_SYNTAX);
    ck_assert_int_eq(err.line, epw_line_of(hour));
    ck_assert_int_eq(err.column, 6);
    ck_assert_ptr_nonnull(strstr(err.text, "expected month 2 day 15 hour 7"));
    free(text);
}
END_TEST

START_TEST(a_short_file_names_the_date_expected)
{
    char *const text = epw_text();
    *epw_line(text, epw_line_of(8000)) = '\0';
    gw_weather weather;
    gw_err err = {0};
    ck_assert_int_eq(read_text(text, &weather, &err), GW_ERR_SYNTAX);
    ck_assert_ptr_nonnull(strstr(err.text, "expected month 11 day 30 hour 9"));
    *epw_line(text, 5) = '\0';
    ck_assert_int_eq(read_text(text, &weather, &err), GW_ERR_SYNTAX);
    ck_assert_ptr_nonnull(strstr(err.text, "header"));
    ck_assert_int_eq(read_text("", &weather, &err), GW_ERR_SYNTAX);
    free(text);
}
END_TEST

START_TEST(wrong_field_count_gives_line)
{
    char *const text = epw_text();
    epw_put(text, epw_line_of(100), 5, "one,too many");
    gw_weather weather;
    gw_err err = {0};
    ck_assert_int_eq(read_text(text, &weather, &err), GW_ERR_SYNTAX);
    ck_assert_int_eq(err.line, epw_line_of(100));
    ck_assert_ptr_nonnull(strstr(err.text, "expected 35 fields, found 36"));
    free(text);
}
END_TEST

START_TEST(text_after_the_last_hour_is_refused)
{
    char *const text = epw_text();
    strcat(text, "2002,1,1,1\n");
    gw_weather weather;
    gw_err err = {0};
    ck_assert_int_eq(read_text(text, &weather, &err), GW_ERR_SYNTAX);
    ck_assert_int_eq(err.line, epw_line_of(8760));
    free(text);
}
END_TEST

// One bad field at a time, with the status and column it must give.
START_TEST(bad_values_are_placed_by_line_and_column)
{
    static const struct {
        int field;
        const char *value;
        gw_status status;
    } rows[] = {
        {6, "warm", GW_ERR_TYPE},     {6, "", GW_ERR_TYPE},         {6, "nan", GW_ERR_TYPE},
        {6, "99.9", GW_ERR_MISSING},  {6, "-71", GW_ERR_RANGE},     {7, "x", GW_ERR_TYPE},
        {8, "x", GW_ERR_TYPE},        {13, "9999", GW_ERR_MISSING}, {14, "9999", GW_ERR_MISSING},
        {15, "9999", GW_ERR_MISSING}, {13, "-3", GW_ERR_RANGE},     {14, "2000", GW_ERR_RANGE},
        {21, "88", GW_ERR_RANGE},     {21, "x", GW_ERR_TYPE},       {1, "x", GW_ERR_TYPE},
        {3, "99", GW_ERR_RANGE},      {10, "x", GW_ERR_TYPE},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char *const text = epw_text();
        const int line = epw_line_of(34); // by day
        epw_put(text, line, rows[i].field, rows[i].value);
        const char *const start = epw_line(text, line);
        const int column = (int)(epw_field(text, line, rows[i].field) - start) + 1;
        gw_weather weather;
        gw_err err = {0};
        ck_assert_msg(read_text(text, &weather, &err) == rows[i].status, "field %d \"%s\": %s",
                      rows[i].field, rows[i].value, err.text);
        ck_assert_int_eq(err.line, line);
        if (rows[i].field != 10) { // named where it is needed, at the irradiance
            ck_assert_int_eq(err.column, column);
        }
        free(text);
    }
}
END_TEST

// Missing codes with a stated fallback: dew point 99.9 from humidity, wind 999, night irradiance.
START_TEST(missing_codes_fall_back_as_stated)
{
    char *const text = epw_text();
    epw_put(text, epw_line_of(0), 7, "99.9");
    epw_put(text, epw_line_of(1), 7, "99.9");
    epw_put(text, epw_line_of(1), 8, "999");
    epw_put(text, epw_line_of(2), 21, "999");
    epw_put(text, epw_line_of(2), 13, "9999");
    epw_put(text, epw_line_of(2), 14, "9999");
    epw_put(text, epw_line_of(2), 15, "9999");
    gw_weather w;
    gw_err err = {0};
    ck_assert_msg(read_text(text, &w, &err) == GW_OK, "%s", err.text);
    ck_assert_double_eq_tol(gw_weather_humidity_frac(w.dry_bulb_degc[0], w.dew_point_degc[0]), 0.8,
                            1e-9);
    ck_assert_double_eq(w.dew_point_degc[1], w.dry_bulb_degc[1]);
    ck_assert_double_eq(w.wind_m_s[2], 0.0);
    ck_assert_double_eq(w.global_horizontal_w_m2[2], 0.0);
    free(text);
}
END_TEST

START_TEST(a_wrong_location_line_is_refused)
{
    char *const text = epw_text();
    epw_put(text, 1, 0, "PLACE");
    gw_weather weather;
    gw_err err = {0};
    ck_assert_int_eq(read_text(text, &weather, &err), GW_ERR_SYNTAX);
    ck_assert_int_eq(err.line, 1);
    epw_put(text, 1, 0, "LOCATION");
    epw_put(text, 1, 6, "north");
    ck_assert_int_eq(read_text(text, &weather, &err), GW_ERR_TYPE);
    epw_put(text, 1, 6, "95");
    ck_assert_int_eq(read_text(text, &weather, &err), GW_ERR_RANGE);
    free(text);
}
END_TEST

// Damaged text never reads as a whole year and never reads out of bounds (sanitizer builds).
START_TEST(damaged_text_is_refused_without_harm)
{
    static const char spoil[] = ",\n\r 0-9.eE\t\"x";
    char *const whole = epw_text();
    const size_t length = (size_t)(epw_line(whole, epw_line_of(30)) - whole);
    gw_random random;
    gw_random_init(&random, 11);
    for (int round = 0; round < 120; round++) {
        char *const text = malloc(length); // exactly as long: no NUL to lean on
        ck_assert_ptr_nonnull(text);
        memcpy(text, whole, length);
        const size_t kept = gw_random_bits(&random) % (length + 1);
        for (int i = 0; i < 3; i++) {
            text[gw_random_bits(&random) % length] =
                spoil[gw_random_bits(&random) % (sizeof spoil - 1)];
        }
        gw_weather weather;
        gw_err err = {0};
        ck_assert_int_ne(
            gw_weather_read_epw(arena, (gw_weather_text){"t", text, kept}, &weather, &err), GW_OK);
        ck_assert_uint_gt(strlen(err.text), 0);
        free(text);
    }
    free(whole);
}
END_TEST

START_TEST(no_memory_is_reported)
{
    char *const text = epw_text();
    for (size_t after = 0; after < 3; after++) {
        gw_arena_fail_after(arena, after);
        gw_weather weather;
        ck_assert_int_eq(read_text(text, &weather, NULL), GW_ERR_NOMEM);
    }
    free(text);
}
END_TEST

START_TEST(each_series_out_of_range_is_refused)
{
    gw_weather w;
    ck_assert_int_eq(gw_weather_init(arena, &w, NULL), GW_OK);
    ck_assert_int_eq(gw_weather_check(&w, NULL), GW_OK);
    double *const series[6] = {w.dry_bulb_degc,          w.dew_point_degc,
                               w.direct_normal_w_m2,     w.diffuse_horizontal_w_m2,
                               w.global_horizontal_w_m2, w.wind_m_s};
    for (int i = 0; i < 6; i++) {
        series[i][4000] = (double)NAN;
        ck_assert_int_eq(gw_weather_check(&w, NULL), GW_ERR_RANGE);
        series[i][4000] = -200.0;
        ck_assert_int_eq(gw_weather_check(&w, NULL), GW_ERR_RANGE);
        series[i][4000] = 0.0;
    }
    w.elevation_m = (double)NAN;
    ck_assert_int_eq(gw_weather_check(&w, NULL), GW_ERR_RANGE);
    double out = 0.0;
    ck_assert_int_eq(gw_weather_percentile(arena, w.dry_bulb_degc, 1.0, &out, NULL), GW_ERR_RANGE);
    ck_assert_int_eq(gw_weather_percentile(arena, w.dry_bulb_degc, (double)NAN, &out, NULL),
                     GW_ERR_RANGE);
}
END_TEST

// ISO 2533 standard atmosphere: 89,874.6 Pa at 1000 m, 79,495.2 Pa at 2000 m over 101,325 Pa.
START_TEST(pressure_follows_the_standard_atmosphere)
{
    ck_close(gw_weather_pressure_ratio(0.0), 1.0, 1e-12);
    ck_close(gw_weather_pressure_ratio(1000.0), 89874.6 / 101325.0, 1e-4);
    ck_close(gw_weather_pressure_ratio(2000.0), 79495.2 / 101325.0, 1e-4);
    // Case 600 of BESTEST gives 0.822 for Denver at 1609 m.
    ck_assert_double_eq_tol(gw_weather_pressure_ratio(1609.0), 0.822, 0.002);
}
END_TEST

START_TEST(dew_point_and_humidity_are_inverse)
{
    for (double t_degc = -30.0; t_degc < 40.0; t_degc += 7.0) {
        for (double rh = 0.1; rh <= 1.0; rh += 0.15) {
            const double dew_degc = gw_weather_dew_point_degc(t_degc, rh);
            ck_assert_double_le(dew_degc, t_degc + 1e-9);
            ck_close(gw_weather_humidity_frac(t_degc, dew_degc), rh, 1e-9);
        }
    }
    // Psychrometric tables: 20 °C at 50 % has its dew point at 9.3 °C.
    ck_assert_double_eq_tol(gw_weather_dew_point_degc(20.0, 0.5), 9.3, 0.06);
}
END_TEST

// ---- Real files: statistics counted from the same files by other means --------------------------

static const struct real {
    const char *name;
    double mean_degc, hdd18_daily, hdd18_hourly, hdd15, hdd10, p004, p010, p025;
} reals[] = {
    {"montreal-cwec.epw", 6.331, 4492.9, 4562.2, 3667.0, 2524.6, -22.8, -20.6, -17.8},
    {"chicago-ohare-tmy3.epw", 9.988, 3430.0, 3523.7, 2723.0, 1747.8, -20.0, -17.2, -13.3},
    {"denver-725650-tmy3.epw", 10.875, 3129.3, 3254.7, 2421.8, 1387.3, -13.9, -11.1, -7.8},
};

static double percentile(const gw_weather *w, double frac)
{
    double out = 0.0;
    ck_assert_int_eq(gw_weather_percentile(arena, w->dry_bulb_degc, frac, &out, NULL), GW_OK);
    return out;
}

START_TEST(real_files_give_their_statistics)
{
    const struct real *const want = &reals[_i];
    size_t length = 0;
    char *const text = epw_real(want->name, &length);
    if (text == NULL) {
        return;
    }
    gw_weather w;
    gw_err err = {0};
    ck_assert_msg(
        gw_weather_read_epw(arena, (gw_weather_text){want->name, text, length}, &w, &err) == GW_OK,
        "%s", err.text);
    gw_ground_climate fit = {0};
    gw_ground_fit_harmonic(w.dry_bulb_degc, &fit);
    const double *const t = w.dry_bulb_degc;
    ck_assert_double_eq_tol(fit.mean_degc, want->mean_degc, 6e-4);
    ck_assert_double_eq_tol(gw_degree_days_daily(t, GW_DEGREE_DAYS_HEATING, 18.0),
                            want->hdd18_daily, 0.06);
    ck_assert_double_eq_tol(gw_degree_days_hourly(t, GW_DEGREE_DAYS_HEATING, 18.0),
                            want->hdd18_hourly, 0.06);
    ck_assert_double_eq_tol(gw_degree_days_daily(t, GW_DEGREE_DAYS_HEATING, 15.0), want->hdd15,
                            0.06);
    ck_assert_double_eq_tol(gw_degree_days_daily(t, GW_DEGREE_DAYS_HEATING, 10.0), want->hdd10,
                            0.06);
    ck_assert_double_eq_tol(percentile(&w, 0.004), want->p004, 1e-9);
    ck_assert_double_eq_tol(percentile(&w, 0.010), want->p010, 1e-9);
    ck_assert_double_eq_tol(percentile(&w, 0.025), want->p025, 1e-9);
    free(text);
}
END_TEST

START_TEST(montreal_gives_its_months_and_bins)
{
    static const double means[12] = {-9.83, -9.43, -2.72, 6.49, 13.03, 18.37,
                                     20.44, 19.99, 14.62, 8.24, 2.61,  -6.82};
    static const double hdd[12] = {862.9, 767.9, 642.4, 345.3, 161.7, 39.1,
                                   10.0,  17.3,  112.6, 302.7, 461.8, 769.3};
    static const int bins[13] = {6, 88, 346, 540, 722, 974, 1208, 1027, 1272, 1275, 988, 288, 26};
    size_t length = 0;
    char *const text = epw_real("montreal-cwec.epw", &length);
    if (text == NULL) {
        return;
    }
    gw_weather w;
    ck_assert_int_eq(gw_weather_read_epw(arena, (gw_weather_text){"m", text, length}, &w, NULL),
                     GW_OK);
    double mean[12];
    double month[12];
    gw_weather_monthly_means(w.dry_bulb_degc, mean);
    gw_degree_days_by_month(w.dry_bulb_degc, GW_DEGREE_DAYS_HEATING, 18.0, month);
    int count[13];
    const gw_bin_scale scale = {.lowest_degc = -30.0, .width_k = 5.0, .bins = 13};
    ck_assert_int_eq(gw_degree_days_bins(w.dry_bulb_degc, scale, count, NULL), GW_OK);
    for (int m = 0; m < 12; m++) {
        ck_assert_double_eq_tol(mean[m], means[m], 0.006);
        ck_assert_double_eq_tol(month[m], hdd[m], 0.06);
    }
    for (int i = 0; i < 13; i++) {
        ck_assert_int_eq(count[i], bins[i]);
    }
    gw_ground_climate fit = {0};
    gw_ground_fit_harmonic(w.dry_bulb_degc, &fit);
    ck_assert_double_eq_tol(fit.amplitude_k, 15.41, 0.006);
    ck_assert_double_eq_tol(fit.phase_day, 20.7, 0.06);
    // Erbs et al. on its monthly means: 4561.5, +1.5 % against the hours.
    double erbs[12];
    double sum = 0.0;
    gw_degree_days_erbs(mean, GW_DEGREE_DAYS_HEATING, 18.0, erbs);
    for (int m = 0; m < 12; m++) {
        sum += erbs[m];
    }
    ck_assert_double_eq_tol(sum, 4561.5, 0.5);
    free(text);
}
END_TEST

START_TEST(chicago_lowest_hour)
{
    size_t length = 0;
    char *const text = epw_real("chicago-ohare-tmy3.epw", &length);
    if (text == NULL) {
        return;
    }
    gw_weather w;
    ck_assert_int_eq(gw_weather_read_epw(arena, (gw_weather_text){"c", text, length}, &w, NULL),
                     GW_OK);
    ck_assert_double_eq_tol(percentile(&w, 0.0), -22.8, 1e-9);
    free(text);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("climate/weather");
    TCase *const cases = tcase_create("all");
    tcase_set_timeout(cases, 60);
    tcase_add_checked_fixture(cases, open_arena, close_arena);
    tcase_add_test(cases, months_tile_the_year);
    tcase_add_test(cases, a_sound_file_is_read_whole);
    tcase_add_test(cases, carriage_returns_blanks_and_leap_day_are_accepted);
    tcase_add_test(cases, a_missing_hour_names_the_date_expected);
    tcase_add_test(cases, a_short_file_names_the_date_expected);
    tcase_add_test(cases, wrong_field_count_gives_line);
    tcase_add_test(cases, text_after_the_last_hour_is_refused);
    tcase_add_test(cases, bad_values_are_placed_by_line_and_column);
    tcase_add_test(cases, missing_codes_fall_back_as_stated);
    tcase_add_test(cases, a_wrong_location_line_is_refused);
    tcase_add_test(cases, damaged_text_is_refused_without_harm);
    tcase_add_test(cases, no_memory_is_reported);
    tcase_add_test(cases, each_series_out_of_range_is_refused);
    tcase_add_test(cases, pressure_follows_the_standard_atmosphere);
    tcase_add_test(cases, dew_point_and_humidity_are_inverse);
    tcase_add_loop_test(cases, real_files_give_their_statistics, 0,
                        (int)(sizeof reals / sizeof reals[0]));
    tcase_add_test(cases, montreal_gives_its_months_and_bins);
    tcase_add_test(cases, chicago_lowest_hour);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
