// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/arena.h"
#include "base/random.h"
#include "base/table.h"
#include "base/text.h"

#include "harness.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

START_TEST(arena_gives_zeroed_memory_up_to_its_cap)
{
    gw_arena *const arena = gw_arena_create(1 << 20);
    double *const a = gw_arena_alloc(arena, 100, sizeof *a);
    ck_assert_ptr_nonnull(a);
    for (int i = 0; i < 100; i++) {
        ck_assert(a[i] == 0.0);
        a[i] = 1.0;
    }
    ck_assert_ptr_null(gw_arena_alloc(arena, 1 << 21, 1));
    ck_assert_ptr_null(gw_arena_alloc(arena, SIZE_MAX / 2, 8));
    const char *const s = gw_arena_printf(arena, "%d bores", 5);
    ck_assert_str_eq(s, "5 bores");
    gw_arena_fail_after(arena, 0);
    ck_assert_ptr_null(gw_arena_strdup(arena, "x"));
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(numbers_round_trip_and_oddities_are_refused)
{
    static const double VALUES[] = {0.0, 0.1, 1.0 / 3.0, 1e-300, -2.5e17, 91.44, 123456789.0};
    char text[40];
    for (size_t i = 0; i < sizeof VALUES / sizeof VALUES[0]; i++) {
        double back = NAN;
        const size_t n = gw_text_from_number(VALUES[i], text, sizeof text);
        ck_assert(gw_text_to_number(text, n, &back) && back == VALUES[i]);
    }
    static const char *const BAD[] = {"",    ".",  "-",  "1e",    "0x1", "nan",
                                      "inf", "1 ", " 1", "1e999", "1,5"};
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        double out = 7.0;
        ck_assert_msg(!gw_text_to_number(BAD[i], strlen(BAD[i]), &out), "\"%s\" was taken", BAD[i]);
        ck_assert(out == 7.0);
    }
}
END_TEST

START_TEST(nearest_name_finds_slips_of_the_pen)
{
    static const char *const NAMES[] = {"depth_m", "spacing_m", "count"};
    ck_assert_uint_eq(gw_text_nearest("dpeth_m", NAMES, 3), 0);
    ck_assert_uint_eq(gw_text_nearest("Spacing", NAMES, 3), 1);
    ck_assert_uint_eq(gw_text_nearest("temperature", NAMES, 3), 3);
}
END_TEST

START_TEST(random_numbers_repeat_and_have_their_moments)
{
    gw_random a;
    gw_random b;
    gw_random_init(&a, 42);
    gw_random_init(&b, 42);
    double sum = 0.0;
    double squares = 0.0;
    enum { COUNT = 100000 };
    for (int i = 0; i < COUNT; i++) {
        const double x = gw_random_normal(&a);
        ck_assert(x == gw_random_normal(&b));
        sum += x;
        squares += x * x;
    }
    // Five standard errors of the mean and of the variance.
    ck_assert_double_eq_tol(sum / COUNT, 0.0, 5.0 / sqrt(COUNT));
    ck_assert_double_eq_tol(squares / COUNT, 1.0, 5.0 * sqrt(2.0 / COUNT));
}
END_TEST

static gw_status read_text(gw_arena *arena, const char *text, gw_table *table, gw_err *err)
{
    return gw_table_read(arena, "t.csv", text, strlen(text), table, err);
}

START_TEST(table_reads_quotes_comments_and_line_ends)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_table table;
    gw_err err = {0};
    ck_assert_int_eq(
        read_text(arena,
                  "# made up\r\nid,k,source\r\nclay,1.2,\"Smith, \"\"big\"\" book\"\r\n\r\nsand,,x",
                  &table, &err),
        GW_OK);
    ck_assert_uint_eq(table.rows, 2);
    const char *source = NULL;
    ck_assert_int_eq(gw_table_text(&table, 0, "source", &source, &err), GW_OK);
    ck_assert_str_eq(source, "Smith, \"big\" book");
    double k = 0.0;
    ck_assert_int_eq(gw_table_number(&table, 0, "k", &k, &err), GW_OK);
    ck_assert(k == 1.2);
    ck_assert_int_eq(gw_table_number_or(&table, 1, "k", 9.0, &k, &err), GW_OK);
    ck_assert(k == 9.0);
    ck_assert_int_eq(gw_table_number(&table, 1, "k", &k, &err), GW_ERR_TYPE);
    ck_assert_int_eq(err.line, 5);
    size_t row = 9;
    ck_assert_int_eq(gw_table_find(&table, "id", "sand", &row, &err), GW_OK);
    ck_assert_uint_eq(row, 1);
    ck_assert_int_eq(gw_table_find(&table, "id", "snad", &row, &err), GW_ERR_KEY);
    ck_assert_ptr_nonnull(strstr(err.text, "did you mean \"sand\""));
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(table_errors_name_line_and_column)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_table table;
    gw_err err = {0};
    ck_assert_int_eq(read_text(arena, "", &table, &err), GW_ERR_SYNTAX);
    ck_assert_int_eq(read_text(arena, "a,b\n1,2\n3\n", &table, &err), GW_ERR_SYNTAX);
    ck_assert_int_eq(err.line, 3);
    ck_assert_int_eq(read_text(arena, "a,b\n1,\"2\n", &table, &err), GW_ERR_SYNTAX);
    ck_assert_int_eq(err.line, 2);
    gw_arena_destroy(arena);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("base");
    TCase *const tc = tcase_create("base");
    tcase_add_test(tc, arena_gives_zeroed_memory_up_to_its_cap);
    tcase_add_test(tc, numbers_round_trip_and_oddities_are_refused);
    tcase_add_test(tc, nearest_name_finds_slips_of_the_pen);
    tcase_add_test(tc, random_numbers_repeat_and_have_their_moments);
    tcase_add_test(tc, table_reads_quotes_comments_and_line_ends);
    tcase_add_test(tc, table_errors_name_line_and_column);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
