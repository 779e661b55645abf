// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The walk over a document: objects, lists, and what is left out.
#include "job/form_priv.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

// NOLINTBEGIN(misc-no-recursion): as deep as the document, at most GW_NODE_DEPTH_MAX
static void read_object(gw_form_reader *reader, const gw_form *form, const gw_node *node,
                        void *out);

// ---------------------------------------------------------------- left out

static void take_fallback(gw_form_reader *reader, const gw_form_field *field, void *member)
{
    if (gw_form_priv_is_number(field)) {
        gw_form_priv_set_number(field, member, field->fallback);
    } else if (field->fallback_text != NULL) {
        memcpy(member, &field->fallback_text, sizeof field->fallback_text);
    }
    if (field->presence == GW_FORM_DEFAULT) {
        const bool is_text = field->type == GW_FORM_TEXT || field->type == GW_FORM_ID;
        gw_form_priv_add_default(reader, field, field->fallback,
                                 is_text ? field->fallback_text : NULL);
    }
}

static bool knows_key(const gw_form *form, const char *key)
{
    for (size_t i = 0; i < form->field_count; i++) {
        if (strcmp(form->fields[i].key, key) == 0) {
            return true;
        }
    }
    return false;
}

// Does an unknown key stand for this one? Then the unknown key is the only complaint.
static bool is_misspelt(const gw_form *form, const gw_node *node, const char *key)
{
    for (size_t i = 0; node != NULL && i < node->count && i < GW_FORM_ERRORS_MAX; i++) {
        const char *const found = node->items[i].key;
        const char *const meant =
            knows_key(form, found) ? NULL : gw_form_priv_suggest_key(form, found);
        if (meant != NULL && strcmp(meant, key) == 0) {
            return true;
        }
    }
    return false;
}

static void read_absent(gw_form_reader *reader, const gw_form *form, const gw_form_field *field,
                        const gw_node *node, void *member)
{
    const size_t length = gw_form_priv_enter(reader, field->key);
    if (field->presence == GW_FORM_REQUIRED) {
        if (!is_misspelt(form, node, field->key)) {
            gw_form_priv_complain(reader, reader->near, GW_ERR_MISSING,
                                  "found no \"%s\", expected it here: %.250s", field->key,
                                  field->doc);
        }
    } else if (field->type != GW_FORM_OBJECT) {
        take_fallback(reader, field, member);
    } else if (field->presence == GW_FORM_DEFAULT) {
        read_object(reader, field->form, NULL, member);
    }
    gw_form_priv_leave(reader, length);
}

// ---------------------------------------------------------------- lists

// Memory of a list: inside the struct, or new.
static char *elements_for(gw_form_reader *reader, const gw_form_field *field, size_t count,
                          size_t size, char *owner)
{
    char *const member = owner + field->offset;
    if (field->count_offset != GW_FORM_NO_COUNT) {
        memcpy(owner + field->count_offset, &count, sizeof count);
    }
    if (field->home == GW_FORM_IN_PLACE) {
        return member;
    }
    char *const elements = gw_arena_alloc(reader->arena, count, size);
    if (elements == NULL) {
        reader->out_of_memory = true;
    }
    memcpy(member, &elements, sizeof elements);
    return elements;
}

static void read_list(gw_form_reader *reader, const gw_form_field *field, const gw_node *node,
                      char *owner)
{
    if (node->type != GW_NODE_LIST) {
        gw_form_priv_complain(reader, node, GW_ERR_TYPE, "found %s, expected a list",
                              gw_node_type_name(node->type));
        return;
    }
    if (node->count < field->least || node->count > field->most) {
        gw_form_priv_complain(reader, node, GW_ERR_RANGE,
                              "found a list of %zu, expected %zu to %zu", node->count, field->least,
                              field->most);
        return;
    }
    const bool is_numbers = field->type == GW_FORM_NUMBERS;
    const size_t size = is_numbers ? sizeof(double) : field->form->size;
    char *const elements = elements_for(reader, field, node->count, size, owner);
    for (size_t i = 0; i < node->count && !reader->out_of_memory; i++) {
        const size_t length = gw_form_priv_enter_item(reader, i);
        char *const element = elements + i * size;
        if (is_numbers) {
            double value = 0.0;
            if (gw_form_priv_read_quantity(reader, field, &node->items[i], &value)) {
                memcpy(element, &value, sizeof value);
            }
        } else {
            read_object(reader, field->form, &node->items[i], element);
        }
        gw_form_priv_leave(reader, length);
    }
}

// ---------------------------------------------------------------- objects

static void read_inner_object(gw_form_reader *reader, const gw_form_field *field,
                              const gw_node *node, char *member)
{
    if (field->home == GW_FORM_IN_PLACE) {
        read_object(reader, field->form, node, member);
        return;
    }
    void *const made = gw_arena_alloc(reader->arena, 1, field->form->size);
    if (made == NULL) {
        reader->out_of_memory = true;
        return;
    }
    memcpy(member, &made, sizeof made);
    read_object(reader, field->form, node, made);
}

static void read_present(gw_form_reader *reader, const gw_form_field *field, const gw_node *node,
                         char *owner)
{
    const size_t length = gw_form_priv_enter(reader, field->key);
    char *const member = owner + field->offset;
    const gw_node *const near = reader->near;
    reader->near = node;
    gw_form_priv_add_mark(reader, field, member);
    if (field->type == GW_FORM_OBJECT) {
        read_inner_object(reader, field, node, member);
    } else if (field->type == GW_FORM_LIST || field->type == GW_FORM_NUMBERS) {
        read_list(reader, field, node, owner);
    } else {
        gw_form_priv_read_scalar(reader, field, node, member);
    }
    reader->near = near;
    gw_form_priv_leave(reader, length);
}

static void refuse_unknown_keys(gw_form_reader *reader, const gw_form *form, const gw_node *node)
{
    for (size_t i = 0; node != NULL && i < node->count; i++) {
        if (!knows_key(form, node->items[i].key)) {
            gw_form_priv_unknown_key(reader, form, &node->items[i]);
        }
    }
}

// `node` NULL: the object was left out and is read as if it were {}.
static void read_object(gw_form_reader *reader, const gw_form *form, const gw_node *node, void *out)
{
    if (node != NULL && node->type != GW_NODE_OBJECT) {
        char shown[100];
        gw_form_priv_complain(reader, node, GW_ERR_TYPE, "found %s, expected an object {…}",
                              gw_node_print(node, shown, sizeof shown));
        return;
    }
    const size_t problems = reader->problems;
    const gw_node *const outer = reader->node;
    const gw_node *const near = reader->near;
    reader->near = node != NULL ? node : near;
    refuse_unknown_keys(reader, form, node);
    for (size_t i = 0; i < form->field_count && !reader->out_of_memory; i++) {
        const gw_form_field *const field = &form->fields[i];
        const gw_node *const member = gw_node_member(node, field->key);
        if (member != NULL) {
            read_present(reader, field, member, out);
        } else {
            read_absent(reader, form, field, node, (char *)out + field->offset);
        }
    }
    reader->node = node;
    if (form->finish != NULL && reader->problems == problems && !reader->out_of_memory) {
        reader->form = form;
        reader->object = out;
        form->finish(reader, out);
    }
    reader->node = outer;
    reader->near = near;
}

// NOLINTEND(misc-no-recursion)

// ---------------------------------------------------------------- the whole

static bool stands_before(const gw_err *a, const gw_err *b)
{
    return a->line != b->line ? a->line < b->line : a->column < b->column;
}

// Insertion: few, mostly sorted, and errors at one place keep their order.
static void sort_by_place(gw_err_list *list)
{
    for (size_t i = 1; i < list->count; i++) {
        const gw_err moved = list->items[i];
        size_t at = i;
        for (; at > 0 && stands_before(&moved, &list->items[at - 1]); at--) {
            list->items[at] = list->items[at - 1];
        }
        list->items[at] = moved;
    }
}

static int compare_marks(const void *a, const void *b)
{
    const gw_form_mark *const x = a;
    const gw_form_mark *const y = b;
    const uintptr_t left[2] = {(uintptr_t)x->member, (uintptr_t)x->field};
    const uintptr_t right[2] = {(uintptr_t)y->member, (uintptr_t)y->field};
    for (int i = 0; i < 2; i++) {
        if (left[i] != right[i]) {
            return left[i] < right[i] ? -1 : 1;
        }
    }
    return 0;
}

static gw_status close_report(gw_form_reader *reader, const void *root, gw_err *err)
{
    gw_form_report *const report = reader->report;
    sort_by_place(&report->errors);
    sort_by_place(&report->warnings);
    if (reader->mark_count > 1) {
        qsort(reader->marks, reader->mark_count, sizeof *reader->marks, compare_marks);
    }
    report->given =
        (gw_form_given){.root = root, .marks = reader->marks, .count = reader->mark_count};
    if (reader->out_of_memory) {
        return gw_fail(err, GW_ERR_NOMEM, "", "out of memory reading the document");
    }
    if (report->errors.count > 0) {
        if (err != NULL) {
            *err = report->errors.items[0];
        }
        return report->errors.items[0].code;
    }
    return GW_OK;
}

gw_status gw_form_read(const gw_form_source *source, void *out, gw_form_report *report, gw_err *err)
{
    *report = (gw_form_report){0};
    gw_err_list_init(&report->errors, source->arena);
    gw_err_list_init(&report->warnings, source->arena);
    memset(out, 0, source->form->size);
    const gw_node *root = NULL;
    gw_err first = {0};
    const gw_status st = gw_node_read(source->arena, source->text, source->length, &root, &first);
    if (st != GW_OK) {
        if (err != NULL) {
            *err = first;
        }
        return gw_err_list_add(&report->errors, &first) == GW_OK ? st : GW_ERR_NOMEM;
    }
    gw_form_reader reader = {
        .arena = source->arena, .units = source->units, .report = report, .near = root};
    read_object(&reader, source->form, root, out);
    return close_report(&reader, out, err);
}
