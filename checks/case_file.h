// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Reads a case file into its cases, as text. It knows no verbs and no numbers: case_run.h does.
// The form of the file is described in checks/README.md.
//
//   gw_case_file file;
//   st = gw_case_read(arena, "fluids.case", text, &file, err);   // err.line says where
#ifndef GW_CASE_FILE_H
#define GW_CASE_FILE_H

#include "base/arena.h"
#include "base/err.h"

#include <stddef.h>

enum {
    GW_CASE_LINES_MAX = 32,   // given, expect or within lines of one case
    GW_CASE_COLUMNS_MAX = 24, // of a table
};

// A named line: "given NAME TEXT", "expect NAME TEXT", "within NAME TEXT".
typedef struct {
    const char *name;
    const char *text;
    const char *reason; // of the `because` line below it, or NULL
    int line;
    int *used; // shared givens: counts the cases that took it; NULL in a case's own
} gw_case_line;

typedef struct {
    gw_case_line at[GW_CASE_LINES_MAX];
    size_t count;
} gw_case_lines;

typedef struct {
    const char *text; // cells as written
    int line;
} gw_case_row;

typedef struct {
    const char *source;
    const char *mark;
    const char *name;
    const char *when; // verb
    int line;         // of `case`
    int when_line;
    gw_case_lines givens; // shared ones first
    gw_case_lines expects;
    gw_case_lines withins;
    const char *columns[GW_CASE_COLUMNS_MAX];
    size_t column_count;
    int columns_line;
    const gw_case_row *rows;
    size_t row_count;
} gw_case;

typedef struct {
    const char *name; // of the file
    const gw_case *cases;
    size_t count;
    const gw_case_lines *shared; // [shared_count] blocks, to see that each was used
    size_t shared_count;
} gw_case_file;

// Errors: GW_ERR_SYNTAX, GW_ERR_KEY (unknown first word, mark), GW_ERR_MISSING; line set.
gw_status gw_case_read(gw_arena *arena, const char *name, const char *text, gw_case_file *out,
                       gw_err *err) GW_MUST_USE;

#endif
