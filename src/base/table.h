// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Small tables: comma-separated text with a header row, read from memory.
//
// Lines that start with '#' and blank lines are skipped. Fields may be quoted ("…", doubled quote
// inside). Every row must have as many fields as the header. Numbers are read independent of
// locale. It opens no file: built-in tables come from gw_builtin(), others from the caller.
//
//   gw_table table;
//   st = gw_table_read(arena, "soils.csv", text, length, &table, err);
//   st = gw_table_number(&table, row, "conductivity_w_mk", &k_w_mk, err);
#ifndef GW_TABLE_H
#define GW_TABLE_H

#include "base/arena.h"
#include "base/err.h"

#include <stdbool.h>
#include <stddef.h>

typedef struct {
    const char *name;    // file name, for error messages
    size_t columns;      // number of columns
    size_t rows;         // number of data rows (header not counted)
    const char **head;   // [columns] column names
    const char **cells;  // [rows × columns], row by row
    const int *lines;    // [rows] line number of each row in the text
} gw_table;

// Reads `length` bytes of text. Everything read lives in the arena.
// Errors: GW_ERR_SYNTAX (line and column set), GW_ERR_NOMEM.
gw_status gw_table_read(gw_arena *arena, const char *name, const char *text, size_t length,
                        gw_table *out, gw_err *err) GW_MUST_USE;

// Cell text by row and column name. Errors: GW_ERR_KEY when there is no such column.
gw_status gw_table_text(const gw_table *table, size_t row, const char *column, const char **out,
                        gw_err *err) GW_MUST_USE;

// Finite number in a cell. Errors: GW_ERR_KEY, GW_ERR_TYPE (names file, line, column, text).
gw_status gw_table_number(const gw_table *table, size_t row, const char *column, double *out,
                          gw_err *err) GW_MUST_USE;

// As gw_table_number, but an empty cell gives `otherwise`.
gw_status gw_table_number_or(const gw_table *table, size_t row, const char *column,
                             double otherwise, double *out, gw_err *err) GW_MUST_USE;

// Row whose `column` equals `key`; GW_ERR_KEY with the nearest existing key suggested.
gw_status gw_table_find(const gw_table *table, const char *column, const char *key, size_t *row,
                        gw_err *err) GW_MUST_USE;

#endif
