// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/table.h"

#include "base/text.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

// Reading position in the text. Fields are cut one at a time; rows end at a line feed.
typedef struct {
    gw_arena *arena;
    const char *name;
    const char *text;
    size_t length;
    size_t at;
    size_t line_start;
    int line;
    gw_err *err;
} reader;

static gw_status fail_here(const reader *r, gw_status code, const char *what)
{
    if (r->err != NULL) {
        r->err->line = r->line;
        r->err->column = (int)(r->at - r->line_start) + 1;
    }
    return gw_fail(r->err, code, r->name, "%s, line %d, column %d: %s", r->name, r->line,
                   (int)(r->at - r->line_start) + 1, what);
}

static bool at_line_end(const reader *r)
{
    return r->at >= r->length || r->text[r->at] == '\n' || r->text[r->at] == '\r';
}

static void next_line(reader *r)
{
    while (r->at < r->length && r->text[r->at] != '\n') {
        r->at++;
    }
    if (r->at < r->length) {
        r->at++;
    }
    r->line++;
    r->line_start = r->at;
}

// Skips comment lines and blank lines. False at the end of the text.
static bool find_row(reader *r)
{
    while (r->at < r->length) {
        if (r->text[r->at] != '#' && !at_line_end(r)) {
            return true;
        }
        next_line(r);
    }
    return false;
}

// A quoted field may hold commas and doubled quotes, not line ends: a lost closing quote is then
// reported on its own line instead of swallowing the rest of the file.
static gw_status read_quoted(reader *r, const char **out)
{
    char *const cell = gw_arena_alloc(r->arena, r->length - r->at + 1, 1);
    if (cell == NULL) {
        return gw_fail(r->err, GW_ERR_NOMEM, r->name, "out of memory reading %s", r->name);
    }
    size_t n = 0;
    for (r->at++; !at_line_end(r); r->at++) {
        if (r->text[r->at] == '"') {
            if (r->at + 1 >= r->length || r->text[r->at + 1] != '"') {
                r->at++;
                *out = cell;
                return GW_OK;
            }
            r->at++;
        }
        cell[n++] = r->text[r->at];
    }
    return fail_here(r, GW_ERR_SYNTAX, "a quoted field has no closing quote on its line");
}

static gw_status read_field(reader *r, const char **out)
{
    if (r->at < r->length && r->text[r->at] == '"') {
        const gw_status st = read_quoted(r, out);
        if (st == GW_OK && !at_line_end(r) && r->text[r->at] != ',') {
            return fail_here(r, GW_ERR_SYNTAX, "expected a comma after a quoted field");
        }
        return st;
    }
    const size_t start = r->at;
    while (!at_line_end(r) && r->text[r->at] != ',') {
        if (r->text[r->at] == '\0') {
            return fail_here(r, GW_ERR_SYNTAX, "a NUL character in the text");
        }
        r->at++;
    }
    *out = gw_arena_strndup(r->arena, r->text + start, r->at - start);
    return *out != NULL
               ? GW_OK
               : gw_fail(r->err, GW_ERR_NOMEM, r->name, "out of memory reading %s", r->name);
}

// Reads the fields of the current line into cells[0..capacity); *count is how many there were.
static gw_status read_row(reader *r, const char **cells, size_t capacity, size_t *count)
{
    *count = 0;
    for (;;) {
        const char *cell = NULL;
        const gw_status st = read_field(r, &cell);
        if (st != GW_OK) {
            return st;
        }
        if (*count < capacity) {
            cells[*count] = cell;
        }
        (*count)++;
        if (at_line_end(r)) {
            return GW_OK;
        }
        r->at++; // the comma
    }
}

static size_t count_lines(const char *text, size_t length)
{
    size_t lines = 1;
    for (size_t i = 0; i < length; i++) {
        lines += text[i] == '\n' ? 1 : 0;
    }
    return lines;
}

static size_t count_commas(const reader *r)
{
    size_t commas = 0;
    for (size_t i = r->at; i < r->length && r->text[i] != '\n'; i++) {
        commas += r->text[i] == ',' ? 1 : 0;
    }
    return commas;
}

static gw_status read_head(reader *r, gw_table *table)
{
    if (!find_row(r)) {
        return fail_here(r, GW_ERR_SYNTAX, "expected a header row, found an empty table");
    }
    const size_t capacity = count_commas(r) + 1;
    table->head = gw_arena_alloc(r->arena, capacity, sizeof *table->head);
    if (table->head == NULL) {
        return gw_fail(r->err, GW_ERR_NOMEM, r->name, "out of memory reading %s", r->name);
    }
    return read_row(r, table->head, capacity, &table->columns);
}

gw_status gw_table_read(gw_arena *arena, const char *name, const char *text, size_t length,
                        gw_table *out, gw_err *err)
{
    reader r = {
        .arena = arena, .name = name, .text = text, .length = length, .line = 1, .err = err};
    gw_table table = {.name = name};
    gw_status st = read_head(&r, &table);
    if (st != GW_OK) {
        return st;
    }
    next_line(&r);
    const size_t capacity = count_lines(text + r.at, length - r.at);
    table.cells = gw_arena_alloc(arena, capacity * table.columns, sizeof *table.cells);
    int *const lines = gw_arena_alloc(arena, capacity, sizeof *lines);
    if (table.cells == NULL || lines == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, name, "out of memory reading %s", name);
    }
    for (; find_row(&r); next_line(&r)) {
        size_t count = 0;
        st = read_row(&r, table.cells + table.rows * table.columns, table.columns, &count);
        if (st != GW_OK) {
            return st;
        }
        if (count != table.columns) {
            char what[96];
            snprintf(what, sizeof what, "found %zu fields, expected %zu as in the header", count,
                     table.columns);
            return fail_here(&r, GW_ERR_SYNTAX, what);
        }
        lines[table.rows++] = r.line;
    }
    table.lines = lines;
    *out = table;
    return GW_OK;
}

static gw_status find_column(const gw_table *table, const char *column, size_t *out, gw_err *err)
{
    for (size_t i = 0; i < table->columns; i++) {
        if (strcmp(table->head[i], column) == 0) {
            *out = i;
            return GW_OK;
        }
    }
    return gw_fail(err, GW_ERR_KEY, column, "%s has no column \"%s\"", table->name, column);
}

gw_status gw_table_text(const gw_table *table, size_t row, const char *column, const char **out,
                        gw_err *err)
{
    size_t at = 0;
    const gw_status st = find_column(table, column, &at, err);
    if (st == GW_OK) {
        *out = table->cells[row * table->columns + at];
    }
    return st;
}

gw_status gw_table_number(const gw_table *table, size_t row, const char *column, double *out,
                          gw_err *err)
{
    const char *cell = NULL;
    const gw_status st = gw_table_text(table, row, column, &cell, err);
    if (st != GW_OK) {
        return st;
    }
    if (gw_text_to_number(cell, strlen(cell), out)) {
        return GW_OK;
    }
    if (err != NULL) {
        err->line = table->lines[row];
    }
    return gw_fail(err, GW_ERR_TYPE, column,
                   "%s, line %d, column \"%s\": found \"%s\", expected a number", table->name,
                   table->lines[row], column, cell);
}

gw_status gw_table_number_or(const gw_table *table, size_t row, const char *column,
                             double otherwise, double *out, gw_err *err)
{
    const char *cell = NULL;
    const gw_status st = gw_table_text(table, row, column, &cell, err);
    if (st == GW_OK && cell[0] == '\0') {
        *out = otherwise;
        return GW_OK;
    }
    return st != GW_OK ? st : gw_table_number(table, row, column, out, err);
}

gw_status gw_table_find(const gw_table *table, const char *column, const char *key, size_t *row,
                        gw_err *err)
{
    size_t at = 0;
    const gw_status st = find_column(table, column, &at, err);
    if (st != GW_OK) {
        return st;
    }
    size_t nearest = 0;
    size_t nearest_distance = SIZE_MAX;
    for (size_t i = 0; i < table->rows; i++) {
        const char *const cell = table->cells[i * table->columns + at];
        if (strcmp(cell, key) == 0) {
            *row = i;
            return GW_OK;
        }
        const size_t distance = gw_text_distance(cell, key);
        if (distance < nearest_distance) {
            nearest = i;
            nearest_distance = distance;
        }
    }
    const size_t limit = strlen(key) / 3 > 2 ? strlen(key) / 3 : 2; // as gw_text_nearest
    if (table->rows > 0 && nearest_distance <= limit) {
        return gw_fail(err, GW_ERR_KEY, column, "%s has no \"%s\"; did you mean \"%s\"?",
                       table->name, key, table->cells[nearest * table->columns + at]);
    }
    return gw_fail(err, GW_ERR_KEY, column, "%s has no \"%s\"", table->name, key);
}
