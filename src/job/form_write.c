// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Struct to JSON by the tables.
#include "job/form_priv.h"
#include "money/program.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

typedef struct {
    gw_sink *sink;
    const gw_form_given *given; // NULL: an object made by program
} writer;

static const char *text_at(const void *member)
{
    const char *text = NULL;
    memcpy(&text, member, sizeof text);
    return text;
}

// Binary search in the sorted marks.
static bool was_given(const writer *w, const gw_form_field *field, const void *member)
{
    size_t low = 0;
    size_t high = w->given != NULL ? w->given->count : 0;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        const gw_form_mark *const mark = &w->given->marks[middle];
        if (mark->member == member && mark->field == field) {
            return true;
        }
        const bool before = (uintptr_t)mark->member != (uintptr_t)member
                                ? (uintptr_t)mark->member < (uintptr_t)member
                                : (uintptr_t)mark->field < (uintptr_t)field;
        if (before) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return false;
}

static bool is_all_zero(const char *bytes, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (bytes[i] != 0) {
            return false;
        }
    }
    return true;
}

// NOLINTBEGIN(misc-no-recursion): as deep as the document, at most GW_NODE_DEPTH_MAX
static bool is_written(const writer *w, const gw_form_field *field, const char *owner);

static bool has_written_member(const writer *w, const gw_form *form, const char *data)
{
    for (size_t i = 0; i < form->field_count; i++) {
        if (is_written(w, &form->fields[i], data)) {
            return true;
        }
    }
    return false;
}

static bool object_is_written(const writer *w, const gw_form_field *field, const char *owner)
{
    const char *const data = gw_form_priv_elements(field, owner);
    if (field->home == GW_FORM_POINTED) {
        return data != NULL;
    }
    if (field->presence == GW_FORM_OPTIONAL) {
        return !is_all_zero(data, field->form->size);
    }
    return has_written_member(w, field->form, data);
}

static bool text_is_written(const gw_form_field *field, const char *text)
{
    if (text == NULL) {
        return false;
    }
    return field->fallback_text == NULL || strcmp(text, field->fallback_text) != 0;
}

// Written: what is required, what was given, what differs from leaving it out.
static bool is_written(const writer *w, const gw_form_field *field, const char *owner)
{
    const char *const member = owner + field->offset;
    if (field->presence == GW_FORM_REQUIRED || was_given(w, field, member)) {
        return true;
    }
    if (field->derived && w->given != NULL) {
        return false;
    }
    switch (field->type) {
    case GW_FORM_QUANTITY:
    case GW_FORM_WHOLE:
    case GW_FORM_MONEY:
    case GW_FORM_YES_NO:
    case GW_FORM_CHOICE:
        return gw_form_priv_number(field, member) != field->fallback;
    case GW_FORM_TEXT:
    case GW_FORM_ID:
        return text_is_written(field, text_at(member));
    case GW_FORM_DATE:
        return !is_all_zero(member, sizeof(gw_date));
    case GW_FORM_NUMBERS:
    case GW_FORM_LIST:
        // A list of fixed length has no count: all zeros mean that it was not given.
        return field->count_offset == GW_FORM_NO_COUNT
                   ? !is_all_zero(member, field->most * sizeof(double))
                   : gw_form_priv_count(field, owner) > 0;
    case GW_FORM_OBJECT:
        return object_is_written(w, field, owner);
    }
    return false;
}

static void write_object(const writer *w, const gw_form *form, const char *data, int depth);

static void write_numbers(const writer *w, const gw_form_field *field, const char *owner)
{
    const char *const elements = gw_form_priv_elements(field, owner);
    const size_t count = gw_form_priv_count(field, owner);
    gw_sink_put(w->sink, "[");
    for (size_t i = 0; i < count; i++) {
        double value = 0.0;
        memcpy(&value, elements + i * sizeof value, sizeof value);
        gw_sink_put(w->sink, i > 0 ? ", " : "");
        gw_sink_number(w->sink, value);
    }
    gw_sink_put(w->sink, "]");
}

static void write_list(const writer *w, const gw_form_field *field, const char *owner, int depth)
{
    const char *const elements = gw_form_priv_elements(field, owner);
    const size_t count = gw_form_priv_count(field, owner);
    gw_sink_put(w->sink, "[");
    for (size_t i = 0; i < count; i++) {
        gw_sink_put(w->sink, i > 0 ? ",\n" : "\n");
        gw_sink_indent(w->sink, depth + 1);
        write_object(w, field->form, elements + i * field->form->size, depth + 1);
    }
    if (count > 0) {
        gw_sink_put(w->sink, "\n");
        gw_sink_indent(w->sink, depth);
    }
    gw_sink_put(w->sink, "]");
}

static void write_value(const writer *w, const gw_form_field *field, const char *owner, int depth)
{
    const char *const member = owner + field->offset;
    char text[64];
    gw_date date = {0};
    const char *value = NULL;
    switch (field->type) {
    case GW_FORM_QUANTITY:
    case GW_FORM_WHOLE:
    case GW_FORM_MONEY:
    case GW_FORM_YES_NO:
    case GW_FORM_CHOICE:
        gw_sink_put(w->sink, gw_form_priv_print_number(field, gw_form_priv_number(field, member),
                                                       text, sizeof text));
        break;
    case GW_FORM_TEXT:
    case GW_FORM_ID:
        value = text_at(member);
        gw_sink_json_string(w->sink, value != NULL ? value : "");
        break;
    case GW_FORM_DATE:
        memcpy(&date, member, sizeof date);
        gw_sink_printf(w->sink, "\"%04d-%02d-%02d\"", date.year, date.month, date.day);
        break;
    case GW_FORM_NUMBERS:
        write_numbers(w, field, owner);
        break;
    case GW_FORM_LIST:
        write_list(w, field, owner, depth);
        break;
    case GW_FORM_OBJECT:
        write_object(w, field->form, gw_form_priv_elements(field, owner), depth);
        break;
    }
}

static void write_object(const writer *w, const gw_form *form, const char *data, int depth)
{
    gw_sink_put(w->sink, "{");
    bool first = true;
    for (size_t i = 0; i < form->field_count; i++) {
        const gw_form_field *const field = &form->fields[i];
        if (!is_written(w, field, data)) {
            continue;
        }
        gw_sink_put(w->sink, first ? "\n" : ",\n");
        first = false;
        gw_sink_indent(w->sink, depth + 1);
        gw_sink_json_string(w->sink, field->key);
        gw_sink_put(w->sink, ": ");
        write_value(w, field, data, depth + 1);
    }
    if (!first) {
        gw_sink_put(w->sink, "\n");
        gw_sink_indent(w->sink, depth);
    }
    gw_sink_put(w->sink, "}");
}

// NOLINTEND(misc-no-recursion)

gw_status gw_form_write(gw_arena *arena, const gw_form *form, const void *data,
                        const gw_form_given *given, const char **out, gw_err *err)
{
    gw_sink sink = {.arena = arena};
    const bool is_as_read = given != NULL && given->root == data;
    const writer w = {.sink = &sink, .given = is_as_read ? given : NULL};
    write_object(&w, form, data, 0);
    gw_sink_put(&sink, "\n");
    const char *const text = gw_sink_text(&sink);
    if (text == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "", "out of memory writing the document");
    }
    *out = text;
    return GW_OK;
}
