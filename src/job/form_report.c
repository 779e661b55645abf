// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What a reading leaves behind besides the values: errors, warnings, defaults used, members given.
#include "base/text.h"
#include "job/form_priv.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

// ---------------------------------------------------------------- path

static size_t append_path(gw_form_reader *reader, const char *format, const char *key, size_t index)
{
    const size_t length = strlen(reader->path);
    char *const end = reader->path + length;
    const size_t room = sizeof reader->path - length;
    if (key != NULL) {
        snprintf(end, room, "%s%s", format, key);
    } else {
        snprintf(end, room, "[%zu]", index);
    }
    return length;
}

size_t gw_form_priv_enter(gw_form_reader *reader, const char *key)
{
    return append_path(reader, reader->path[0] != '\0' && key[0] != '[' ? "." : "", key, 0);
}

size_t gw_form_priv_enter_item(gw_form_reader *reader, size_t index)
{
    return append_path(reader, "", NULL, index);
}

void gw_form_priv_leave(gw_form_reader *reader, size_t length)
{
    reader->path[length] = '\0';
}

// ---------------------------------------------------------------- errors and warnings

typedef struct {
    int line;
    int column;
    gw_status code;
    bool is_warning;
} finding;

static size_t utf8_length(unsigned char lead)
{
    return lead < 0x80 ? 1 : lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC0 ? 2 : 0;
}

// Texts of a document are quoted and cut short: a character cut in two, or a control character,
// becomes a question mark, so that the message stays one line of good text.
static void mend_text(char *text)
{
    for (char *s = text; *s != '\0';) {
        const size_t length = utf8_length((unsigned char)*s);
        size_t whole = 1;
        while (whole < length && ((unsigned char)s[whole] & 0xC0) == 0x80) {
            whole++;
        }
        if (length != whole || (unsigned char)*s < 0x20) {
            memset(s, '?', whole);
        }
        s += whole;
    }
}

static void GW_PRINTF(3, 0)
    add(gw_form_reader *reader, const finding *what, const char *fmt, va_list args)
{
    gw_err err = {.code = what->code, .line = what->line, .column = what->column};
    memcpy(err.field, reader->path, sizeof err.field);
    // NOLINTNEXTLINE(clang-analyzer-valist.Uninitialized): every caller has started it
    vsnprintf(err.text, sizeof err.text, fmt, args);
    mend_text(err.field);
    mend_text(err.text);
    gw_form_report *const report = reader->report;
    gw_err_list *const list = what->is_warning ? &report->warnings : &report->errors;
    if (list->count >= GW_FORM_ERRORS_MAX) {
        report->unlisted += what->is_warning ? 0 : 1;
    } else if (gw_err_list_add(list, &err) != GW_OK) {
        reader->out_of_memory = true;
    }
    reader->problems += what->is_warning ? 0 : 1;
}

static finding finding_at(const gw_node *node, gw_status code)
{
    return (finding){.line = node != NULL ? node->line : 0,
                     .column = node != NULL ? node->column : 0,
                     .code = code};
}

void gw_form_priv_complain(gw_form_reader *reader, const gw_node *node, gw_status code,
                           const char *fmt, ...)
{
    const finding what = finding_at(node, code);
    va_list args;
    va_start(args, fmt);
    add(reader, &what, fmt, args);
    va_end(args);
}

void gw_form_priv_note_unusual(gw_form_reader *reader, const gw_node *node, const char *fmt, ...)
{
    finding what = finding_at(node, GW_ERR_RANGE);
    what.is_warning = true;
    va_list args;
    va_start(args, fmt);
    add(reader, &what, fmt, args);
    va_end(args);
}

// The object of a `finish` may have been left out: then the error stands at what is near.
static const gw_node *place_of(const gw_form_reader *reader, const char *path)
{
    return reader->node != NULL ? gw_node_deepest(reader->node, path) : reader->near;
}

void gw_form_complain(gw_form_reader *reader, gw_status code, const char *path, const char *fmt,
                      ...)
{
    const finding what = finding_at(place_of(reader, path), code);
    const size_t length = gw_form_priv_enter(reader, path);
    va_list args;
    va_start(args, fmt);
    add(reader, &what, fmt, args);
    va_end(args);
    gw_form_priv_leave(reader, length);
}

void gw_form_warn(gw_form_reader *reader, const char *path, const char *fmt, ...)
{
    finding what = finding_at(place_of(reader, path), GW_ERR_RANGE);
    what.is_warning = true;
    const size_t length = gw_form_priv_enter(reader, path);
    va_list args;
    va_start(args, fmt);
    add(reader, &what, fmt, args);
    va_end(args);
    gw_form_priv_leave(reader, length);
}

bool gw_form_has(const gw_form_reader *reader, const char *key)
{
    return gw_node_member(reader->node, key) != NULL;
}

bool gw_form_is_left_out(const gw_form_reader *reader)
{
    return reader->node == NULL;
}

static void complain_at_key(gw_form_reader *reader, const gw_node *node, const char *fmt, ...)
    GW_PRINTF(3, 4);

static void complain_at_key(gw_form_reader *reader, const gw_node *node, const char *fmt, ...)
{
    const finding what = {.line = node->key_line, .column = node->key_column, .code = GW_ERR_KEY};
    const size_t length = gw_form_priv_enter(reader, node->key);
    va_list args;
    va_start(args, fmt);
    add(reader, &what, fmt, args);
    va_end(args);
    gw_form_priv_leave(reader, length);
}

// A key may be right but for its unit: "depth" or "depth_ft" for "depth_m".
static const char *same_stem(const gw_form *form, const char *key)
{
    for (size_t i = 0; i < form->field_count; i++) {
        const char *const known = form->fields[i].key;
        const char *const known_end = strrchr(known, '_');
        const char *const key_end = strrchr(key, '_');
        const size_t stem = known_end != NULL ? (size_t)(known_end - known) : strlen(known);
        const size_t mine = key_end != NULL ? (size_t)(key_end - key) : strlen(key);
        const bool whole = strlen(key) == stem && strncmp(known, key, stem) == 0;
        if (whole || (mine == stem && mine > 2 && strncmp(known, key, stem) == 0)) {
            return known;
        }
    }
    return NULL;
}

enum { KEYS_MAX = 64 };

static size_t list_keys(const gw_form *form, const char *names[KEYS_MAX])
{
    size_t count = 0;
    for (size_t i = 0; i < form->field_count && i < KEYS_MAX; i++) {
        names[count++] = form->fields[i].key;
    }
    return count;
}

const char *gw_form_priv_suggest_key(const gw_form *form, const char *key)
{
    const char *names[KEYS_MAX] = {NULL};
    const size_t count = list_keys(form, names);
    const char *const near = same_stem(form, key);
    if (near != NULL) {
        return near;
    }
    const size_t nearest = gw_text_nearest(key, names, count);
    return nearest < count ? names[nearest] : NULL;
}

void gw_form_priv_unknown_key(gw_form_reader *reader, const gw_form *form, const gw_node *node)
{
    // Looking for the nearest key costs time that a flood of errors is not worth.
    const bool is_full = reader->report->errors.count >= GW_FORM_ERRORS_MAX;
    const char *const near = is_full ? NULL : gw_form_priv_suggest_key(form, node->key);
    if (near != NULL) {
        complain_at_key(reader, node, "found the unknown key \"%.60s\", expected \"%s\"?",
                        node->key, near);
        return;
    }
    const char *names[KEYS_MAX] = {NULL};
    const size_t count = list_keys(form, names);
    char known[GW_ERR_TEXT_SIZE / 2] = "";
    for (size_t i = 0; i < count; i++) {
        const size_t length = strlen(known);
        snprintf(known + length, sizeof known - length, "%s%s", i > 0 ? ", " : "", names[i]);
    }
    complain_at_key(reader, node, "found the unknown key \"%.60s\", expected one of %s", node->key,
                    known);
}

// ---------------------------------------------------------------- defaults and marks

// Doubles an arena array when it is full; NULL when memory ran out.
static void *grown(gw_form_reader *reader, const void *old, size_t *capacity, size_t size)
{
    const size_t more = *capacity > 0 ? 2 * *capacity : 64;
    void *const items = gw_arena_alloc(reader->arena, more, size);
    if (items == NULL) {
        reader->out_of_memory = true;
        return NULL;
    }
    if (*capacity > 0) {
        memcpy(items, old, *capacity * size);
    }
    *capacity = more;
    return items;
}

void gw_form_priv_add_default(gw_form_reader *reader, const gw_form_field *field, double value,
                              const char *text)
{
    gw_form_report *const report = reader->report;
    if (report->default_count == reader->default_capacity) {
        gw_form_default *const items =
            grown(reader, reader->defaults, &reader->default_capacity, sizeof *items);
        if (items == NULL) {
            return;
        }
        reader->defaults = items;
        report->defaults = items;
    }
    char number[64];
    gw_form_default *const item = &reader->defaults[report->default_count];
    item->field = field;
    item->number = value;
    item->path = gw_arena_strdup(reader->arena, reader->path);
    item->text =
        text != NULL
            ? gw_arena_printf(reader->arena, "\"%s\"", text)
            : gw_arena_strdup(reader->arena,
                              gw_form_priv_print_number(field, value, number, sizeof number));
    if (item->path == NULL || item->text == NULL) {
        reader->out_of_memory = true;
        return;
    }
    report->default_count++;
}

void gw_form_priv_add_mark(gw_form_reader *reader, const gw_form_field *field, const void *member)
{
    if (reader->mark_count == reader->mark_capacity) {
        gw_form_mark *const marks =
            grown(reader, reader->marks, &reader->mark_capacity, sizeof *marks);
        if (marks == NULL) {
            return;
        }
        reader->marks = marks;
    }
    reader->marks[reader->mark_count++] = (gw_form_mark){.member = member, .field = field};
}

// ---------------------------------------------------------------- derived members

static const gw_form_field *field_of(const gw_form *form, const char *key)
{
    for (size_t i = 0; i < form->field_count; i++) {
        if (strcmp(form->fields[i].key, key) == 0) {
            return &form->fields[i];
        }
    }
    return NULL;
}

// Where a derived member stands: of the present form, or of another one.
static const gw_form_field *find_derived(const gw_form_reader *reader, const gw_form_target *target,
                                         const char *key, char **member)
{
    const gw_form_field *const field = field_of(target != NULL ? target->form : reader->form, key);
    assert(field != NULL && field->derived);
    *member = (char *)(target != NULL ? target->object : reader->object) + field->offset;
    return field;
}

static void list_settled(gw_form_reader *reader, const gw_form_target *target,
                         const gw_form_field *field, double value, const char *text)
{
    const size_t length = strlen(reader->path);
    if (target != NULL) {
        gw_form_priv_enter(reader, target->path);
    }
    gw_form_priv_enter(reader, field->key);
    gw_form_priv_add_default(reader, field, value, text);
    gw_form_priv_leave(reader, length);
}

void gw_form_settle(gw_form_reader *reader, const gw_form_target *target, const char *key,
                    double value)
{
    char *member = NULL;
    const gw_form_field *const field = find_derived(reader, target, key, &member);
    gw_form_priv_set_number(field, member, value);
    list_settled(reader, target, field, value, NULL);
}

void gw_form_settle_text(gw_form_reader *reader, const gw_form_target *target, const char *key,
                         const char *value)
{
    char *member = NULL;
    const gw_form_field *const field = find_derived(reader, target, key, &member);
    memcpy(member, &value, sizeof value);
    list_settled(reader, target, field, 0.0, value);
}
