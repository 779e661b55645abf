// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// One table per kind of object describes it for every purpose: reading, checking, writing, JSON
// Schema, documentation and the list of defaults used.
//
// It knows no houses and no loops: job.h brings the tables. It opens no file. A row names a member
// of a C struct (offset), what may stand there, the physical limits (refused outside), what is
// usual (a warning outside), what holds when the key is left out, and one sentence that explains
// it. Rules between members are a function of the object, `finish`.
//
// Reading collects every error (up to GW_FORM_ERRORS_MAX), each with path, line, column, what was
// found and what was expected. An unknown key is an error with the nearest known key suggested.
//
//   static const gw_form_field ROWS[] = {
//       {GW_FORM_AT(gw_trench_plan, depth_m), .type = GW_FORM_QUANTITY, .kind = GW_QTY_LENGTH,
//        .lowest = 0.6, .highest = 4.0, .usual_low = 1.2, .usual_high = 2.5,
//        .presence = GW_FORM_DEFAULT, .fallback = 1.8,
//        .doc = "Finished grade to the lowest pipe."},
//   };
//   static const gw_form TRENCH = {.name = "trench", .size = sizeof(gw_trench_plan),
//                                  .fields = ROWS, .field_count = 1, .doc = "…"};
//   const gw_form_source source = {arena, units, &TRENCH, text, length};
//   st = gw_form_read(&source, &trench, &report, err);
#ifndef GW_FORM_H
#define GW_FORM_H

#include "base/arena.h"
#include "base/err.h"
#include "base/quantity.h"
#include "job/node.h"

#include <stdbool.h>
#include <stddef.h>

enum { GW_FORM_ERRORS_MAX = 50 };

// A quantity that was left out and has no default: outside every physical range.
#define GW_FORM_NOT_GIVEN (-1e300)

// ---- the tables ---------------------------------------------------------------------------------

typedef enum {
    GW_FORM_QUANTITY, // double in SI: a number, or a text with a unit
    GW_FORM_WHOLE,    // whole number kept as int, size_t or double: see `store`
    GW_FORM_MONEY,    // gw_money: a number of whole currency units, cents after the point
    GW_FORM_YES_NO,   // bool
    GW_FORM_TEXT,     // const char *
    GW_FORM_CHOICE,   // an enum that counts from 0 in the order of `words`
    GW_FORM_ID,       // const char *, a key that must stand in a built-in table
    GW_FORM_DATE,     // gw_date, written "2026-11-25"
    GW_FORM_NUMBERS,  // list of quantities of one kind
    GW_FORM_OBJECT,   // object of another table
    GW_FORM_LIST,     // list of such objects
} gw_form_type;

typedef enum {
    GW_FORM_REQUIRED, // leaving it out is an error
    GW_FORM_DEFAULT,  // `fallback` holds, and is listed among the defaults used; an object is
                      // read as if it were {}
    GW_FORM_OPTIONAL, // not given: `fallback` marks that (quantities and whole numbers), text and
                      // pointers are NULL, objects in place stay all zero
} gw_form_presence;

typedef enum { GW_FORM_STORE_INT, GW_FORM_STORE_SIZE, GW_FORM_STORE_DOUBLE } gw_form_store;

// Where the elements of a list or of a list of numbers (or an object) live.
typedef enum {
    GW_FORM_IN_PLACE, // object inside the struct; array of `most` elements inside the struct
    GW_FORM_POINTED,  // behind a pointer: one object, or an array of the length read
} gw_form_home;

#define GW_FORM_NO_COUNT ((size_t)-1)
#define GW_FORM_AT(type, member) .key = #member, .offset = offsetof(type, member)

typedef struct gw_form gw_form;

// NOLINTNEXTLINE(clang-analyzer-optin.performance.Padding): in the order a reader wants
typedef struct {
    const char *key;           // name in the document; SI unit as its suffix
    gw_form_type type;         //
    size_t offset;             // of the member in the struct
    gw_quantity_kind kind;     // QUANTITY, NUMBERS
    gw_form_store store;       // WHOLE
    double lowest;             // QUANTITY, WHOLE, MONEY, NUMBERS: refused below
    double highest;            // refused above
    bool open_below;           // `lowest` itself is refused too
    double usual_low;          // warning below; both 0: no such limits
    double usual_high;         // warning above
    gw_form_presence presence; //
    double fallback;           // value, index of the choice, or 0/1
    const char *fallback_text; // TEXT, ID
    bool derived;              // not given: `finish` works it out; never written unless given
    const char *const *words;  // CHOICE
    size_t word_count;         //
    const gw_form *form;       // OBJECT, LIST
    gw_form_home home;         // OBJECT, LIST, NUMBERS
    size_t count_offset;       // LIST, NUMBERS: of the size_t count, or GW_FORM_NO_COUNT
    size_t least, most;        // elements of a list; bytes of a text (most 0: 200)
    const char *table;         // ID: file below data/, e.g. "stations.csv"
    const char *column;        // ID: column of the keys
    const char *doc;           // one sentence
} gw_form_field;

typedef struct gw_form_reader gw_form_reader;

struct gw_form {
    const char *name;  // in the schema's $defs and in the documentation
    const char *doc;   // one sentence
    const char *rules; // sentences: what `finish` checks; NULL when there is nothing
    size_t size;       // of the struct
    const gw_form_field *fields;
    size_t field_count;
    // Checks between members, and derived members. Called after all members were read without
    // error. NULL when there is nothing to do.
    void (*finish)(gw_form_reader *reader, void *object);
};

// ---- reading ------------------------------------------------------------------------------------

typedef struct {
    const char *path;           // "loops[0].bores.top_m"
    const gw_form_field *field; // kind, documentation
    double number;              // QUANTITY, WHOLE, MONEY
    const char *text;           // the value as it would be written, e.g. "1.5", "\"light\""
} gw_form_default;

// Members that stood in the document, by address: sorted, so that the writer finds them.
typedef struct {
    const void *member;
    const gw_form_field *field;
} gw_form_mark;

typedef struct {
    const void *root; // the struct that was read; another one (a copy) is written without marks
    const gw_form_mark *marks;
    size_t count;
} gw_form_given;

typedef struct {
    gw_err_list errors;   // in order of line and column
    gw_err_list warnings; // likewise; code is GW_ERR_RANGE
    size_t unlisted;      // errors beyond GW_FORM_ERRORS_MAX
    const gw_form_default *defaults;
    size_t default_count;
    gw_form_given given;
} gw_form_report;

typedef struct {
    gw_arena *arena;
    gw_units *units;
    const gw_form *form; // of the whole document
    const char *text;
    size_t length;
} gw_form_source;

// Reads the whole document into `out` (form->size bytes, zeroed here). Everything lives in the
// arena. The report is filled in both cases; err holds its first error.
// Errors: that of the first error; GW_ERR_NOMEM.
gw_status gw_form_read(const gw_form_source *source, void *out, gw_form_report *report,
                       gw_err *err) GW_MUST_USE;

// For `finish`. Paths are relative to the object: "count", "places[2].x_m". The error stands at the
// deepest value that the document has along the path.
void gw_form_complain(gw_form_reader *reader, gw_status code, const char *path, const char *fmt,
                      ...) GW_PRINTF(4, 5);
void gw_form_warn(gw_form_reader *reader, const char *path, const char *fmt, ...) GW_PRINTF(3, 4);

// Did this key of the object stand in the document?
bool gw_form_has(const gw_form_reader *reader, const char *key);

// Was the object itself left out of the document, and is now read as {}?
bool gw_form_is_left_out(const gw_form_reader *reader);

// Another object below the present one.
typedef struct {
    const char *path; // e.g. "loops[0].trench"
    const gw_form *form;
    void *object;
} gw_form_target;

// Gives a `derived` member its value and lists it among the defaults used. `target` NULL: a member
// of the present object.
void gw_form_settle(gw_form_reader *reader, const gw_form_target *target, const char *key,
                    double value);
void gw_form_settle_text(gw_form_reader *reader, const gw_form_target *target, const char *key,
                         const char *value);

// A number of a built-in table, e.g. the outer diameter of a pipe that the document names. False
// when there is none (then the reader has complained about the key already).
typedef struct {
    const char *file;
    const char *key_column;
    const char *key;
    const char *column;
} gw_form_cell;

bool gw_form_lookup(gw_form_reader *reader, const gw_form_cell *cell, double *out);

// ---- writing ------------------------------------------------------------------------------------

// JSON text of an object: members that were given, and those that differ from what leaving them out
// means. `given` may be NULL (an object made by program). Reading it back gives the same object.
// Errors: GW_ERR_NOMEM.
gw_status gw_form_write(gw_arena *arena, const gw_form *form, const void *data,
                        const gw_form_given *given, const char **out, gw_err *err) GW_MUST_USE;

typedef struct {
    const char *id;    // $id of the schema
    const char *title; //
} gw_form_title;

// JSON Schema (draft 2020-12) of a document. Quantities may be text, which the schema cannot check.
gw_status gw_form_schema(gw_arena *arena, const gw_form *form, const gw_form_title *title,
                         const char **out, gw_err *err) GW_MUST_USE;

// The same as Markdown: a section per object, a table row per key.
gw_status gw_form_docs(gw_arena *arena, const gw_form *form, const char **out,
                       gw_err *err) GW_MUST_USE;

// Is the table itself sound: keys unique, documented, defaults within their limits? For tests.
gw_status gw_form_check_tables(const gw_form *form, gw_err *err) GW_MUST_USE;

// Every object reached from a root, once, the root first. For schema, docs and checks.
typedef struct {
    const gw_form *items[64];
    size_t count;
} gw_form_set;

gw_form_set gw_form_all(const gw_form *root);

#endif
