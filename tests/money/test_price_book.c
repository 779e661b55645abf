// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/arena.h"
#include "base/builtin.h"
#include "harness.h"
#include "money/price_book.h"

#include <string.h>

#define HEAD "key,unit,low,typical,high,region,year,what,source\n"

static gw_arena *arena;

static void open_arena(void)
{
    arena = gw_arena_create(0);
    ck_assert_ptr_nonnull(arena);
}

static void close_arena(void)
{
    gw_arena_destroy(arena);
}

static gw_status read_text(const char *text, gw_price_book *book, gw_err *err)
{
    return gw_price_book_read(arena, "own.csv", text, strlen(text), book, err);
}

START_TEST(builtin_book_prices_every_known_key)
{
    gw_price_book book;
    gw_err err = {0};
    ck_assert_msg(gw_price_book_builtin(arena, &book, &err) == GW_OK, "%s", err.text);
    size_t count = 0;
    const gw_price_key *const keys = gw_price_key_list(&count);
    for (size_t i = 0; i < count; i++) {
        const gw_price_row *row = NULL;
        ck_assert_msg(gw_price_book_find(&book, keys[i].key, &row, &err) == GW_OK, "%s", err.text);
        ck_assert_str_eq(row->unit, keys[i].unit);
        ck_assert(row->low <= row->typical && row->typical <= row->high);
    }
    for (size_t i = 0; i < book.count; i++) {
        ck_assert_msg(strstr(book.rows[i].source, "invented for demonstration") != NULL, "%s",
                      book.rows[i].key);
    }
}
END_TEST

START_TEST(price_per_foot_becomes_price_per_metre)
{
    gw_price_book book;
    const gw_price_row *row = NULL;
    ck_assert_int_eq(read_text(HEAD "drilling.soil,ft,15,17.5,20,here,2026,soil,quotation\n"
                                    "plant.auxiliary,kW,35,50,80,here,2026,heater,quotation\n"
                                    "fluid.ethanol,USgal,8,10,12,here,2026,ethanol,quotation\n"
                                    "share.tax,%,5,13,15,here,2026,tax,law\n",
                               &book, NULL),
                     GW_OK);
    ck_assert_int_eq(gw_price_book_find(&book, "drilling.soil", &row, NULL), GW_OK);
    ck_close(row->low, 49.2126, 1e-6); // 15 / 0.3048
    ck_close(row->high, 65.6168, 1e-6);
    ck_assert_str_eq(row->unit, "m");
    ck_assert_int_eq(gw_price_book_find(&book, "plant.auxiliary", &row, NULL), GW_OK);
    ck_close(row->typical, 0.05, 1e-12);
    ck_assert_int_eq(gw_price_book_find(&book, "fluid.ethanol", &row, NULL), GW_OK);
    ck_close(row->typical, 2641.7205, 1e-7); // 10 / 0.003785411784
    ck_assert_int_eq(gw_price_book_find(&book, "share.tax", &row, NULL), GW_OK);
    ck_close(row->typical, 0.13, 1e-12);
    ck_assert_int_eq(row->year, 2026);
    ck_assert_int_eq(row->line, 5);
}
END_TEST

static const struct {
    const char *text;
    gw_status status;
    int line;
    const char *says;
} refused[] = {
    {HEAD "drilling.sol,m,1,2,3,r,2026,w,s\n", GW_ERR_KEY, 2, "drilling.soil"},
    {HEAD "nonsense,m,1,2,3,r,2026,w,s\n", GW_ERR_KEY, 2, "other."},
    {HEAD "pipe.,m,1,2,3,r,2026,w,s\n", GW_ERR_KEY, 2, "pipe."},
    {HEAD "drilling.soil,m3,1,2,3,r,2026,w,s\n", GW_ERR_UNIT, 2, "per m,"},
    {HEAD "pipe.dn25,cubit,1,2,3,r,2026,w,s\n", GW_ERR_UNIT, 2, "cubit"},
    {HEAD "drilling.soil,m,3,2,1,r,2026,w,s\n", GW_ERR_RANGE, 2, "rise"},
    {HEAD "drilling.soil,m,-1,2,3,r,2026,w,s\n", GW_ERR_RANGE, 2, "low"},
    {HEAD "drilling.soil,m,1,2,3,r,202,w,s\n", GW_ERR_RANGE, 2, "year"},
    {HEAD "share.tax,share,0,1,2,r,2026,w,s\n", GW_ERR_RANGE, 2, "share"},
    {HEAD "drilling.soil,m,1,cheap,3,r,2026,w,s\n", GW_ERR_TYPE, 2, "cheap"},
    {HEAD "drilling.soil,m,1,nan,3,r,2026,w,s\n", GW_ERR_TYPE, 2, "nan"},
    {HEAD "drilling.soil,m,1,2,3,r,2026,w,\n", GW_ERR_MISSING, 2, "source"},
    {HEAD "drilling.soil,m,1,2,3,r,2026,,s\n", GW_ERR_MISSING, 2, "what"},
    {HEAD "drilling.soil,m,1,2,3,,2026,w,s\n", GW_ERR_MISSING, 2, "region"},
    {HEAD "# note\ndrilling.soil,m,1,2,3,r,2026,w,s\ndrilling.soil,m,1,2,3,r,2026,w,s\n",
     GW_ERR_KEY, 4, "line 3"},
    {HEAD "drilling.soil,m,1,2\n", GW_ERR_SYNTAX, 2, ""},
    {HEAD, GW_ERR_MISSING, 0, "no prices"},
    {"key,unit,low,typical,high,region,year,what\n", GW_ERR_KEY, 0, "source"},
    {"key,unit,low,typical,high,region,year,what,source,colour\n", GW_ERR_KEY, 0, "colour"},
};

START_TEST(wrong_row_is_refused_with_line_and_reason)
{
    gw_price_book book;
    gw_err err = {0};
    const gw_status st = read_text(refused[_i].text, &book, &err);
    ck_assert_msg(st == refused[_i].status, "case %d: status %d, %s", _i, (int)st, err.text);
    ck_assert_msg(refused[_i].line == 0 || err.line == refused[_i].line, "case %d: line %d", _i,
                  err.line);
    ck_assert_msg(strstr(err.text, refused[_i].says) != NULL, "case %d: %s", _i, err.text);
}
END_TEST

START_TEST(own_price_wins_over_builtin)
{
    gw_price_book own, builtin, merged;
    const gw_price_row *row = NULL;
    gw_err err = {0};
    ck_assert_int_eq(read_text(HEAD "bore.grout,m3,1,2,3,here,2026,grout,quotation\n"
                                    "other.crane,each,500,600,700,here,2026,crane,quotation\n",
                               &own, NULL),
                     GW_OK);
    ck_assert_int_eq(gw_price_book_builtin(arena, &builtin, NULL), GW_OK);
    ck_assert_int_eq(gw_price_book_merge(arena, &own, &builtin, &merged, NULL), GW_OK);
    ck_assert_uint_eq(merged.count, builtin.count + 1);
    ck_assert_int_eq(gw_price_book_find(&merged, "bore.grout", &row, NULL), GW_OK);
    ck_close(row->typical, 2.0, 0.0);
    ck_assert_int_eq(gw_price_book_find(&merged, "other.crane", &row, NULL), GW_OK);
    ck_assert_int_eq(gw_price_book_find(&merged, "bore.grot", &row, &err), GW_ERR_KEY);
    ck_assert_ptr_nonnull(strstr(err.text, "bore.grout"));
}
END_TEST

START_TEST(damaged_text_is_read_or_refused_never_worse)
{
    static const char marks[] = {',', '"', '\n', '#', '-', '\0'};
    gw_builtin_file file;
    ck_assert(gw_builtin("prices.csv", &file));
    char *const text = malloc(file.length);
    size_t refusals = 0;
    for (size_t i = 0; i < 600; i++) {
        gw_arena *const small = gw_arena_create(0);
        gw_price_book book;
        gw_err err = {0};
        memcpy(text, file.text, file.length);
        text[i * 7919 % file.length] = marks[i % sizeof marks];
        const gw_status st =
            gw_price_book_read(small, "damaged", text, file.length - i % 3, &book, &err);
        ck_assert(st == GW_OK || err.text[0] != '\0');
        refusals += st != GW_OK;
        gw_arena_destroy(small);
    }
    free(text);
    ck_assert_uint_gt(refusals, 100);
}
END_TEST

START_TEST(no_memory_is_reported_at_every_allocation)
{
    size_t n = 0;
    for (;; n++) {
        gw_arena *const small = gw_arena_create(0);
        gw_price_book book;
        gw_arena_fail_after(small, n);
        const gw_status st = gw_price_book_builtin(small, &book, NULL);
        gw_arena_destroy(small);
        if (st == GW_OK) {
            break;
        }
        ck_assert_int_eq(st, GW_ERR_NOMEM);
    }
    ck_assert_uint_gt(n, 2);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("price book");
    TCase *const tc = tcase_create("book");
    tcase_add_checked_fixture(tc, open_arena, close_arena);
    tcase_add_test(tc, builtin_book_prices_every_known_key);
    tcase_add_test(tc, price_per_foot_becomes_price_per_metre);
    tcase_add_loop_test(tc, wrong_row_is_refused_with_line_and_reason, 0,
                        (int)(sizeof refused / sizeof refused[0]));
    tcase_add_test(tc, own_price_wins_over_builtin);
    tcase_add_test(tc, damaged_text_is_read_or_refused_never_worse);
    tcase_add_test(tc, no_memory_is_reported_at_every_allocation);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
