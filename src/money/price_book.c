// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "money/price_book.h"

#include "base/builtin.h"
#include "base/text.h"
#include "money/money_priv.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

// Highest price of one SI unit that is taken as meant.
#define PRICE_LIMIT 1e7

static const gw_price_key known_keys[] = {
#define X(key, unit, what) {key, unit, what},
    GW_PRICE_KEY_LIST(X)
#undef X
};
enum { KNOWN_COUNT = sizeof known_keys / sizeof known_keys[0] };

static const char *const open_families[] = {"pipe.", "fluid.", "other."};
enum { FAMILY_COUNT = sizeof open_families / sizeof open_families[0] };

// Units a price may be given for. A price per such unit divided by `si` is the price per SI unit;
// a share is a number itself and is multiplied instead.
typedef struct {
    const char *name;
    const char *si_unit;
    double si;
} price_unit;

static const price_unit units[] = {
    {"m", "m", 1.0},
    {"ft", "m", 0.3048},
    {"m2", "m2", 1.0},
    {"ft2", "m2", 0.09290304},
    {"m3", "m3", 1.0},
    {"L", "m3", 0.001},
    {"USgal", "m3", 0.003785411784},
    {"yd3", "m3", 0.764554857984},
    {"W", "W", 1.0},
    {"kW", "W", 1000.0},
    {"ton", "W", 3516.8528420667}, // of refrigeration, 12 000 Btu/h (international table)
    {"kg", "kg", 1.0},
    {"lb", "kg", 0.45359237},
    {"each", "each", 1.0},
    {"share", "share", 1.0},
    {"%", "share", 0.01},
};
enum { UNIT_COUNT = sizeof units / sizeof units[0] };

const gw_price_key *gw_price_key_list(size_t *count)
{
    *count = KNOWN_COUNT;
    return known_keys;
}

static const gw_price_key *find_known(const char *key)
{
    for (size_t i = 0; i < KNOWN_COUNT; i++) {
        if (strcmp(known_keys[i].key, key) == 0) {
            return &known_keys[i];
        }
    }
    return NULL;
}

static bool in_open_family(const char *key)
{
    for (size_t i = 0; i < FAMILY_COUNT; i++) {
        const size_t n = strlen(open_families[i]);
        if (strncmp(key, open_families[i], n) == 0 && key[n] != '\0') {
            return true;
        }
    }
    return false;
}

static const price_unit *find_unit(const char *name)
{
    for (size_t i = 0; i < UNIT_COUNT; i++) {
        if (strcmp(units[i].name, name) == 0) {
            return &units[i];
        }
    }
    return NULL;
}

static gw_status check_key(const gw_table *table, size_t row, const char *key, gw_err *err)
{
    if (find_known(key) != NULL || in_open_family(key)) {
        return gw_money_priv_unique(table, row, "key", err);
    }
    const char *names[KNOWN_COUNT];
    for (size_t i = 0; i < KNOWN_COUNT; i++) {
        names[i] = known_keys[i].key;
    }
    const size_t near = gw_text_nearest(key, names, KNOWN_COUNT);
    char what[256];
    if (near < KNOWN_COUNT) {
        (void)snprintf(what, sizeof what, "unknown key \"%.80s\"; is it \"%s\"?", key, names[near]);
    } else {
        (void)snprintf(what, sizeof what,
                       "unknown key \"%.80s\"; own items start with \"pipe.\", \"fluid.\" or "
                       "\"other.\"",
                       key);
    }
    return gw_money_priv_fail(table, row, GW_ERR_KEY, err, what);
}

static gw_status read_unit(const gw_table *table, size_t row, const char *key,
                           const price_unit **out, gw_err *err)
{
    const char *name = NULL;
    const gw_status st = gw_money_priv_text(table, row, "unit", &name, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_price_key *const known = find_known(key);
    *out = find_unit(name);
    if (*out == NULL || (known != NULL && strcmp((*out)->si_unit, known->unit) != 0)) {
        char what[256];
        (void)snprintf(what, sizeof what, "%.80s is priced per %s, found per \"%.40s\"", key,
                       known != NULL ? known->unit : "m, m2, m3, W, kg or each", name);
        return gw_money_priv_fail(table, row, GW_ERR_UNIT, err, what);
    }
    return GW_OK;
}

static double per_si(const price_unit *unit, double price)
{
    return strcmp(unit->si_unit, "share") == 0 ? price * unit->si : price / unit->si;
}

static gw_status read_prices(const gw_table *table, size_t row, const price_unit *unit,
                             gw_price_row *out, gw_err *err)
{
    const char *const columns[3] = {"low", "typical", "high"};
    double price[3] = {0.0, 0.0, 0.0};
    for (size_t i = 0; i < 3; i++) {
        const gw_money_priv_range range = {columns[i], 0.0, PRICE_LIMIT};
        const gw_status st = gw_money_priv_number(table, row, range, &price[i], err);
        if (st != GW_OK) {
            return st;
        }
    }
    if (price[0] > price[1] || price[1] > price[2]) {
        return gw_money_priv_fail(table, row, GW_ERR_RANGE, err,
                                  "prices must rise from low over typical to high");
    }
    out->low = per_si(unit, price[0]);
    out->typical = per_si(unit, price[1]);
    out->high = per_si(unit, price[2]);
    if (strcmp(unit->si_unit, "share") == 0 && !(out->high <= 1.0)) {
        return gw_money_priv_fail(table, row, GW_ERR_RANGE, err, "a share must be 0 to 1");
    }
    return GW_OK;
}

static gw_status read_row(const gw_table *table, size_t row, gw_price_row *out, gw_err *err)
{
    const price_unit *unit = NULL;
    double year = 0.0;
    gw_status st = gw_money_priv_text(table, row, "key", &out->key, err);
    if (st == GW_OK) {
        st = check_key(table, row, out->key, err);
    }
    if (st == GW_OK) {
        st = read_unit(table, row, out->key, &unit, err);
    }
    if (st == GW_OK) {
        out->unit = unit->si_unit;
        st = read_prices(table, row, unit, out, err);
    }
    if (st == GW_OK) {
        st = gw_money_priv_number(table, row, (gw_money_priv_range){"year", 1950.0, 2200.0}, &year,
                                  err);
    }
    if (st == GW_OK) {
        st = gw_money_priv_text(table, row, "region", &out->region, err);
    }
    if (st == GW_OK) {
        st = gw_money_priv_text(table, row, "what", &out->what, err);
    }
    if (st == GW_OK) {
        st = gw_money_priv_text(table, row, "source", &out->source, err);
    }
    out->year = (int)year;
    out->line = table->lines[row];
    return st;
}

gw_status gw_price_book_read(gw_arena *arena, const char *name, const char *text, size_t length,
                             gw_price_book *out, gw_err *err)
{
    static const char *const columns[] = {"key",    "unit", "low",  "typical", "high",
                                          "region", "year", "what", "source"};
    gw_table table;
    gw_status st = gw_table_read(arena, name, text, length, &table, err);
    if (st == GW_OK) {
        st = gw_money_priv_columns(&table, columns, sizeof columns / sizeof columns[0], err);
    }
    if (st != GW_OK) {
        return st;
    }
    if (table.rows == 0) {
        return gw_fail(err, GW_ERR_MISSING, name, "%s has no prices", name);
    }
    gw_price_row *const rows = gw_arena_alloc(arena, table.rows, sizeof *rows);
    if (rows == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, name, "out of memory reading %s", name);
    }
    for (size_t r = 0; r < table.rows; r++) {
        st = read_row(&table, r, &rows[r], err);
        if (st != GW_OK) {
            return st;
        }
    }
    *out = (gw_price_book){.name = table.name, .count = table.rows, .rows = rows};
    return GW_OK;
}

gw_status gw_price_book_builtin(gw_arena *arena, gw_price_book *out, gw_err *err)
{
    gw_builtin_file file;
    if (!gw_builtin("prices.csv", &file)) {
        return gw_fail(err, GW_ERR_IO, "prices.csv", "the built-in price book is missing");
    }
    return gw_price_book_read(arena, file.name, file.text, file.length, out, err);
}

static const gw_price_row *find_row(const gw_price_book *book, const char *key)
{
    for (size_t i = 0; i < book->count; i++) {
        if (strcmp(book->rows[i].key, key) == 0) {
            return &book->rows[i];
        }
    }
    return NULL;
}

gw_status gw_price_book_merge(gw_arena *arena, const gw_price_book *own,
                              const gw_price_book *fallback, gw_price_book *out, gw_err *err)
{
    gw_price_row *const rows = gw_arena_alloc(arena, own->count + fallback->count, sizeof *rows);
    if (rows == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, own->name, "out of memory merging price books");
    }
    size_t count = own->count;
    if (count > 0) {
        memcpy(rows, own->rows, count * sizeof *rows);
    }
    for (size_t i = 0; i < fallback->count; i++) {
        if (find_row(own, fallback->rows[i].key) == NULL) {
            rows[count++] = fallback->rows[i];
        }
    }
    *out = (gw_price_book){.name = own->name, .count = count, .rows = rows};
    return GW_OK;
}

gw_status gw_price_book_find(const gw_price_book *book, const char *key, const gw_price_row **out,
                             gw_err *err)
{
    const gw_price_row *const row = find_row(book, key);
    if (row != NULL) {
        *out = row;
        return GW_OK;
    }
    gw_money_priv_guess guess = {.wanted = key};
    for (size_t i = 0; i < book->count; i++) {
        gw_money_priv_consider(&guess, book->rows[i].key);
    }
    return gw_money_priv_fail_key(&guess, "price", err);
}
