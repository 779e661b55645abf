// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "money/money_priv.h"

#include "base/text.h"

#include <stdio.h>
#include <string.h>

gw_status gw_money_priv_fail(const gw_table *table, size_t row, gw_status code, gw_err *err,
                             const char *what)
{
    if (err != NULL) {
        err->line = table->lines[row];
    }
    return gw_fail(err, code, table->name, "%s, line %d: %s", table->name, table->lines[row], what);
}

static bool has_name(const char *const *names, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(names[i], name) == 0) {
            return true;
        }
    }
    return false;
}

gw_status gw_money_priv_columns(const gw_table *table, const char *const *names, size_t count,
                                gw_err *err)
{
    for (size_t i = 0; i < count; i++) {
        if (!has_name(table->head, table->columns, names[i])) {
            return gw_fail(err, GW_ERR_KEY, table->name, "%s: column \"%s\" is missing",
                           table->name, names[i]);
        }
    }
    for (size_t c = 0; c < table->columns; c++) {
        if (!has_name(names, count, table->head[c])) {
            const size_t near = gw_text_nearest(table->head[c], names, count);
            return gw_fail(err, GW_ERR_KEY, table->name, "%s: unknown column \"%s\"%s%s%s",
                           table->name, table->head[c], near < count ? "; is it \"" : "",
                           near < count ? names[near] : "", near < count ? "\"?" : "");
        }
    }
    return GW_OK;
}

gw_status gw_money_priv_text(const gw_table *table, size_t row, const char *column,
                             const char **out, gw_err *err)
{
    const gw_status st = gw_table_text(table, row, column, out, err);
    if (st != GW_OK) {
        return st;
    }
    if ((*out)[0] == '\0') {
        char what[128];
        (void)snprintf(what, sizeof what, "\"%s\" is empty", column);
        return gw_money_priv_fail(table, row, GW_ERR_MISSING, err, what);
    }
    return GW_OK;
}

gw_status gw_money_priv_number(const gw_table *table, size_t row, gw_money_priv_range range,
                               double *out, gw_err *err)
{
    double x = 0.0;
    const gw_status st = gw_table_number(table, row, range.column, &x, err);
    if (st != GW_OK) {
        return st;
    }
    if (!(x >= range.low && x <= range.high)) {
        char what[160];
        (void)snprintf(what, sizeof what, "%s %.6g must be %.6g to %.6g", range.column, x,
                       range.low, range.high);
        return gw_money_priv_fail(table, row, GW_ERR_RANGE, err, what);
    }
    *out = x;
    return GW_OK;
}

gw_status gw_money_priv_unique(const gw_table *table, size_t row, const char *column, gw_err *err)
{
    const char *own = NULL;
    gw_status st = gw_table_text(table, row, column, &own, err);
    for (size_t r = 0; st == GW_OK && r < row; r++) {
        const char *other = NULL;
        st = gw_table_text(table, r, column, &other, err);
        if (st == GW_OK && strcmp(own, other) == 0) {
            char what[192];
            (void)snprintf(what, sizeof what, "%s \"%.80s\" stands already on line %d", column, own,
                           table->lines[r]);
            return gw_money_priv_fail(table, row, GW_ERR_KEY, err, what);
        }
    }
    return st;
}

gw_status gw_money_priv_within(const char *field, double x, gw_money_priv_range range, gw_err *err)
{
    if (!(x >= range.low && x <= range.high)) {
        return gw_fail(err, GW_ERR_RANGE, field, "%s %.6g must be %.6g to %.6g", field, x,
                       range.low, range.high);
    }
    return GW_OK;
}

void gw_money_priv_consider(gw_money_priv_guess *guess, const char *key)
{
    const size_t distance = gw_text_distance(guess->wanted, key);
    if (guess->near == NULL || distance < guess->distance) {
        guess->near = key;
        guess->distance = distance;
    }
}

gw_status gw_money_priv_fail_key(const gw_money_priv_guess *guess, const char *kind, gw_err *err)
{
    // The same bound as gw_text_nearest: a third of the length, at least 2.
    const bool close = guess->near != NULL &&
                       (guess->distance <= 2 || 3U * guess->distance <= strlen(guess->wanted));
    return gw_fail(err, GW_ERR_KEY, kind, "there is no %s \"%s\"%s%s%s", kind, guess->wanted,
                   close ? "; is it \"" : "", close ? guess->near : "", close ? "\"?" : "");
}
