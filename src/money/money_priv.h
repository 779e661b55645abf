// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Shared inside the money room: reading tables whose rows name file and line when they are wrong.
// Not part of the room's face.
#ifndef GW_MONEY_PRIV_H
#define GW_MONEY_PRIV_H

#include "base/table.h"

// GW_ERR_KEY unless the table has exactly these columns (in any order); the nearest is suggested.
gw_status gw_money_priv_columns(const gw_table *table, const char *const *names, size_t count,
                                gw_err *err);

// Cell text that must not be empty: GW_ERR_MISSING.
gw_status gw_money_priv_text(const gw_table *table, size_t row, const char *column,
                             const char **out, gw_err *err);

// Number in [low, high]: GW_ERR_RANGE.
typedef struct {
    const char *column;
    double low;
    double high;
} gw_money_priv_range;
gw_status gw_money_priv_number(const gw_table *table, size_t row, gw_money_priv_range range,
                               double *out, gw_err *err);

// GW_ERR_KEY when `column` has the same text in an earlier row.
gw_status gw_money_priv_unique(const gw_table *table, size_t row, const char *column, gw_err *err);

// Fails with the file name and the line of the row in the message, and err->line set.
gw_status gw_money_priv_fail(const gw_table *table, size_t row, gw_status code, gw_err *err,
                             const char *what);

// x in [low, high], else GW_ERR_RANGE naming the field; NaN fails.
gw_status gw_money_priv_within(const char *field, double x, gw_money_priv_range range, gw_err *err);

// The nearest of the keys considered, for a message about a key that is not there.
typedef struct {
    const char *wanted;
    const char *near;
    size_t distance;
} gw_money_priv_guess;
void gw_money_priv_consider(gw_money_priv_guess *guess, const char *key);
// GW_ERR_KEY: no `kind` "wanted"; is it "near"?
gw_status gw_money_priv_fail_key(const gw_money_priv_guess *guess, const char *kind, gw_err *err);

#endif
