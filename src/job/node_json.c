// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The one file that knows Jansson: text to gw_node.
#include "job/node.h"

#include <jansson.h>
#include <string.h>

typedef struct {
    int line;
    int column;
} place;

// Place of the first bracket deeper than allowed; line 0 when there is none. Run before the
// parser, so that its recursion is bounded.
static place find_too_deep(const char *text, size_t length)
{
    place at = {.line = 1, .column = 0};
    int depth = 0;
    bool in_string = false;
    for (size_t i = 0; i < length; i++) {
        const char c = text[i];
        at.column += ((unsigned char)c & 0xC0) != 0x80 ? 1 : 0;
        if (c == '\n') {
            at = (place){.line = at.line + 1, .column = 0};
        } else if (in_string && c == '\\') {
            i++;
            at.column++;
        } else if (c == '"') {
            in_string = !in_string;
        } else if (!in_string && (c == '[' || c == '{')) {
            depth++;
            if (depth > GW_NODE_DEPTH_MAX) {
                return at;
            }
        } else if (!in_string && (c == ']' || c == '}')) {
            depth--;
        }
    }
    return (place){0};
}

static gw_status fail_at(gw_err *err, gw_status code, place at, const char *text)
{
    if (err != NULL) {
        err->line = at.line;
        err->column = at.column;
    }
    return gw_fail(err, code, "", "%s", text);
}

static gw_status fail_parse(gw_err *err, const json_error_t *why)
{
    const place at = {.line = why->line > 0 ? why->line : 1, .column = why->column};
    char text[GW_ERR_TEXT_SIZE];
    gw_status code = GW_ERR_SYNTAX;
    const char *expected = "expected JSON";
    switch (json_error_code(why)) {
    case json_error_duplicate_key:
        code = GW_ERR_KEY;
        expected = "expected every key once in its object";
        break;
    case json_error_numeric_overflow:
        code = GW_ERR_RANGE;
        expected = "expected a number that a computer can hold";
        break;
    case json_error_out_of_memory:
        code = GW_ERR_NOMEM;
        break;
    case json_error_invalid_utf8:
        expected = "expected text in UTF-8";
        break;
    case json_error_premature_end_of_input:
        expected = "expected the rest of the document: the text ends too early";
        break;
    default: // a foreign enum: every other code is a plain syntax error
        break;
    }
    snprintf(text, sizeof text, "found %.200s; %s", why->text, expected);
    return fail_at(err, code, at, text);
}

// NOLINTBEGIN(misc-no-recursion): as deep as the document, at most GW_NODE_DEPTH_MAX
static bool convert(gw_arena *arena, json_t *json, gw_node *out);

static bool convert_items(gw_arena *arena, json_t *json, gw_node *out)
{
    const bool is_list = json_is_array(json);
    out->type = is_list ? GW_NODE_LIST : GW_NODE_OBJECT;
    out->count = is_list ? json_array_size(json) : json_object_size(json);
    out->items = gw_arena_alloc(arena, out->count, sizeof *out->items);
    if (out->items == NULL) {
        return false;
    }
    void *iter = is_list ? NULL : json_object_iter(json);
    for (size_t i = 0; i < out->count; i++) {
        gw_node *const item = &out->items[i];
        json_t *const value = is_list ? json_array_get(json, i) : json_object_iter_value(iter);
        if (!is_list) {
            item->key = gw_arena_strdup(arena, json_object_iter_key(iter));
            if (item->key == NULL) {
                return false;
            }
            iter = json_object_iter_next(json, iter);
        }
        if (!convert(arena, value, item)) {
            return false;
        }
    }
    return true;
}

static bool convert(gw_arena *arena, json_t *json, gw_node *out)
{
    switch (json_typeof(json)) {
    case JSON_OBJECT:
    case JSON_ARRAY:
        return convert_items(arena, json, out);
    case JSON_STRING:
        out->type = GW_NODE_TEXT;
        out->text = gw_arena_strndup(arena, json_string_value(json), json_string_length(json));
        return out->text != NULL;
    case JSON_INTEGER:
    case JSON_REAL:
        out->type = GW_NODE_NUMBER;
        out->number = json_number_value(json);
        return true;
    case JSON_TRUE:
    case JSON_FALSE:
        out->type = GW_NODE_YES_NO;
        out->yes = json_is_true(json);
        return true;
    case JSON_NULL:
        break;
    }
    out->type = GW_NODE_NULL;
    return true;
}

// NOLINTEND(misc-no-recursion)

static bool is_blank(const char *text, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        if (strchr(" \t\r\n", text[i]) == NULL || text[i] == '\0') {
            return false;
        }
    }
    return true;
}

gw_status gw_node_read(gw_arena *arena, const char *text, size_t length, const gw_node **out,
                       gw_err *err)
{
    if (length > GW_NODE_TEXT_MAX) {
        return fail_at(err, GW_ERR_SYNTAX, (place){1, 1},
                       "found a text of more than 4 MiB, expected a document of ordinary size");
    }
    if (length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
        text += 3;
        length -= 3;
    }
    if (is_blank(text, length)) {
        return fail_at(err, GW_ERR_SYNTAX, (place){1, 1},
                       "found an empty text, expected a document that begins with {");
    }
    const place deep = find_too_deep(text, length);
    if (deep.line > 0) {
        return fail_at(err, GW_ERR_SYNTAX, deep,
                       "found brackets nested deeper than 20, expected a document of ordinary "
                       "depth");
    }
    json_error_t why;
    json_t *const json = json_loadb(
        text, length, JSON_REJECT_DUPLICATES | JSON_DECODE_INT_AS_REAL | JSON_DECODE_ANY, &why);
    if (json == NULL) {
        return fail_parse(err, &why);
    }
    gw_node *const root = gw_arena_alloc(arena, 1, sizeof *root);
    const bool ok = root != NULL && convert(arena, json, root);
    json_decref(json);
    if (!ok) {
        return gw_fail(err, GW_ERR_NOMEM, "", "out of memory reading the document");
    }
    gw_node_place(root, text, length);
    *out = root;
    return GW_OK;
}
