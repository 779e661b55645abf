// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Shared by the files of the document engine: how a member is stored, and the reader's state.
#ifndef GW_FORM_PRIV_H
#define GW_FORM_PRIV_H

#include "base/table.h"
#include "job/form.h"
#include "job/sink.h"

enum { GW_FORM_PRIV_TABLES = 12, GW_FORM_PRIV_TEXT_BYTES = 200 };

typedef struct {
    const char *file;
    gw_table table;
} gw_form_priv_table;

struct gw_form_reader {
    gw_arena *arena;
    gw_units *units;
    gw_form_report *report;
    const gw_node *node; // of the object being read; NULL when it is read as {}
    const gw_node *near; // nearest value that stands in the document: where errors point
    const gw_form *form; // of the object whose `finish` runs
    void *object;        // that object
    char path[GW_ERR_FIELD_SIZE];
    size_t problems; // errors so far, listed or not
    bool out_of_memory;
    gw_form_priv_table tables[GW_FORM_PRIV_TABLES];
    size_t table_count;
    gw_form_default *defaults;
    size_t default_capacity;
    gw_form_mark *marks;
    size_t mark_count;
    size_t mark_capacity;
};

// ---- members ------------------------------------------------------------------------------------

// A number-like member (QUANTITY, WHOLE, MONEY, YES_NO, CHOICE) as a double, and back.
double gw_form_priv_number(const gw_form_field *field, const void *member);
void gw_form_priv_set_number(const gw_form_field *field, void *member, double value);
bool gw_form_priv_is_number(const gw_form_field *field);

// Elements of a list member and their number.
size_t gw_form_priv_count(const gw_form_field *field, const void *owner);
const char *gw_form_priv_elements(const gw_form_field *field, const void *owner);

// A number-like value as it stands in a document: 1.5, true, "light". Returns buffer.
const char *gw_form_priv_print_number(const gw_form_field *field, double value, char *buffer,
                                      size_t size);

// Longest text of a row.
size_t gw_form_priv_text_most(const gw_form_field *field);

// SI unit as printed after a number, with a blank before it; "" where there is none.
const char *gw_form_priv_unit(const gw_form_field *field, char *buffer, size_t size);

// "0.6 to 4 m", "above 0, up to 300 m", "1 or more": limits in words.
const char *gw_form_priv_limits(const gw_form_field *field, char *buffer, size_t size);

// ---- reading ------------------------------------------------------------------------------------

// Reads one scalar value into its member. A problem is put into the report.
void gw_form_priv_read_scalar(gw_form_reader *reader, const gw_form_field *field,
                              const gw_node *node, void *member);

// One number of kind and limits of the row; false after a complaint.
bool gw_form_priv_read_quantity(gw_form_reader *reader, const gw_form_field *field,
                                const gw_node *node, double *out);

// Error and warning at a node, under the reader's present path.
void gw_form_priv_complain(gw_form_reader *reader, const gw_node *node, gw_status code,
                           const char *fmt, ...) GW_PRINTF(4, 5);
void gw_form_priv_note_unusual(gw_form_reader *reader, const gw_node *node, const char *fmt, ...)
    GW_PRINTF(3, 4);
void gw_form_priv_unknown_key(gw_form_reader *reader, const gw_form *object, const gw_node *node);
// The key of the form that an unknown one was probably meant to be; NULL when none is near.
const char *gw_form_priv_suggest_key(const gw_form *form, const char *key);

// A default used, at the present path: a number-like value, or a text when that is not NULL.
void gw_form_priv_add_default(gw_form_reader *reader, const gw_form_field *field, double value,
                              const char *text);

// Table of a built-in file, parsed once per reading. Errors: GW_ERR_IO, those of the table.
gw_status gw_form_priv_open_table(gw_form_reader *reader, const char *name, const gw_table **out,
                                  gw_err *err);
void gw_form_priv_add_mark(gw_form_reader *reader, const gw_form_field *field, const void *member);

// Path handling: returns the length to cut back to.
size_t gw_form_priv_enter(gw_form_reader *reader, const char *key);
size_t gw_form_priv_enter_item(gw_form_reader *reader, size_t index);
void gw_form_priv_leave(gw_form_reader *reader, size_t length);

#endif
