// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// One error shape for the whole library: a status to return, and a caller-owned record that says
// where (path in the document, line, column), what was found and what was expected.
//
// It does not print, log or exit. A caller that does not care passes NULL for the record.
//
//   gw_err err = {0};
//   if (gw_soil_find(table, "clay", &soil, &err) != GW_OK) { fprintf(stderr, "%s\n", err.text); }
#ifndef GW_ERR_H
#define GW_ERR_H

#include <stddef.h>

#define GW_STATUS_LIST(X)                                                                          \
    X(GW_OK, "ok")                                                                                 \
    X(GW_ERR_NOMEM, "out of memory")                                                               \
    X(GW_ERR_IO, "file cannot be read or written")                                                 \
    X(GW_ERR_SYNTAX, "text is not well formed")                                                    \
    X(GW_ERR_TYPE, "wrong type")                                                                   \
    X(GW_ERR_UNIT, "unit is unknown or has the wrong dimension")                                   \
    X(GW_ERR_RANGE, "value out of range")                                                          \
    X(GW_ERR_KEY, "unknown name")                                                                  \
    X(GW_ERR_MISSING, "something required is missing")                                             \
    X(GW_ERR_GEOMETRY, "geometry is impossible")                                                   \
    X(GW_ERR_CONVERGE, "the numbers did not converge")                                             \
    X(GW_ERR_CAPACITY, "no size within the limits meets the need")

typedef enum {
#define X(code, text) code,
    GW_STATUS_LIST(X)
#undef X
} gw_status;

#if defined(__GNUC__)
#define GW_PRINTF(fmt, args) __attribute__((format(printf, fmt, args)))
#define GW_MUST_USE __attribute__((warn_unused_result))
#else
#define GW_PRINTF(fmt, args)
#define GW_MUST_USE
#endif

enum { GW_ERR_FIELD_SIZE = 160, GW_ERR_TEXT_SIZE = 400 };

typedef struct {
    gw_status code;
    int line;                       // 1-based line in the file read; 0 when there is no file
    int column;                     // 1-based column; 0 when unknown
    char field[GW_ERR_FIELD_SIZE];  // path of the value, e.g. "house.envelope[3].area"
    char text[GW_ERR_TEXT_SIZE];    // one sentence: what was found, what was expected
} gw_err;

// Fixed text of a status; never NULL.
const char *gw_status_text(gw_status code);

// Fills *err (when not NULL) and returns `code`, so that a caller writes `return gw_fail(…);`.
// `field` may be NULL. Line and column are kept as they are.
gw_status gw_fail(gw_err *err, gw_status code, const char *field, const char *fmt, ...)
    GW_PRINTF(4, 5);

// A growing list of errors or warnings kept in an arena: bad input is collected in full.
struct gw_arena;
typedef struct {
    struct gw_arena *arena;  // borrowed
    gw_err *items;
    size_t count;
    size_t capacity;
} gw_err_list;

void gw_err_list_init(gw_err_list *list, struct gw_arena *arena);

// Appends a copy. Returns GW_ERR_NOMEM when the arena is exhausted, else GW_OK.
gw_status gw_err_list_add(gw_err_list *list, const gw_err *err);

#endif
