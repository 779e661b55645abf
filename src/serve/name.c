// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The name that a job text gives itself, read and replaced without touching another byte.
#include "serve/serve_priv.h"

#include <string.h>

enum { NAME_MOST = 200 };
static const char UNNAMED[] = "Unnamed job";

static gw_status read_object(gw_arena *arena, const char *text, size_t length, const gw_node **out,
                             gw_err *err)
{
    const gw_status st = gw_node_read(arena, text, length, out, err);
    if (st == GW_OK && (*out)->type != GW_NODE_OBJECT) {
        if (err != NULL) {
            err->line = (*out)->line;
            err->column = (*out)->column;
        }
        return gw_fail(err, GW_ERR_TYPE, "", "found %s, expected an object: { … }",
                       gw_node_type_name((*out)->type));
    }
    return st;
}

// At most NAME_MOST bytes, and no letter cut in two.
static const char *shorten(gw_arena *arena, const char *name)
{
    size_t length = strlen(name);
    if (length > NAME_MOST) {
        length = NAME_MOST;
        while (length > 0 && ((unsigned char)name[length] & 0xC0) == 0x80) {
            length--;
        }
    }
    return gw_arena_strndup(arena, name, length);
}

gw_status gw_serve_priv_name_of(gw_arena *arena, const char *text, size_t length, const char **name,
                                gw_err *err)
{
    const gw_node *root = NULL;
    const gw_status st = read_object(arena, text, length, &root, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_node *const node = gw_node_member(root, "name");
    const bool has_name = node != NULL && node->type == GW_NODE_TEXT && node->text[0] != '\0';
    *name = has_name ? shorten(arena, node->text) : UNNAMED;
    return *name != NULL ? GW_OK : gw_fail(err, GW_ERR_NOMEM, "", "out of memory");
}

// First byte of the character at a line and column, both from 1.
static size_t offset_of(const char *text, size_t length, int line, int column)
{
    size_t at = length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    for (int l = 1; l < line && at < length; at++) {
        l += text[at] == '\n' ? 1 : 0;
    }
    for (int c = 1; c < column && at < length; c++) {
        do {
            at++;
        } while (at < length && ((unsigned char)text[at] & 0xC0) == 0x80);
    }
    return at;
}

// Behind the closing quote of the string that begins at `at`.
static size_t end_of_string(const char *text, size_t length, size_t at)
{
    for (at++; at < length && text[at] != '"'; at++) {
        at += text[at] == '\\' ? 1 : 0;
    }
    return at < length ? at + 1 : length;
}

gw_status gw_serve_priv_rename(gw_arena *arena, const gw_serve_priv_renaming *what,
                               const char **out, gw_err *err)
{
    const gw_node *root = NULL;
    const gw_status st = read_object(arena, what->text, what->length, &root, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_node *const node = gw_node_member(root, "name");
    size_t from = offset_of(what->text, what->length, root->line, root->column) + 1;
    size_t to = from;
    const char *before = "\"name\": ";
    const char *after = root->count > 0 ? "," : "";
    if (node != NULL && node->type != GW_NODE_TEXT) {
        return gw_fail(err, GW_ERR_TYPE, "name", "found %s as name, expected text",
                       gw_node_type_name(node->type));
    }
    if (node != NULL) {
        from = offset_of(what->text, what->length, node->line, node->column);
        to = end_of_string(what->text, what->length, from);
        before = "";
        after = "";
    }
    gw_sink sink = {.arena = arena};
    gw_sink_printf(&sink, "%.*s%s", (int)from, what->text, before);
    gw_serve_priv_put_text(&sink, what->name);
    gw_sink_printf(&sink, "%s%.*s", after, (int)(what->length - to), what->text + to);
    *out = gw_sink_text(&sink);
    return *out != NULL ? GW_OK : gw_fail(err, GW_ERR_NOMEM, "", "out of memory");
}

gw_status gw_serve_import_job(gw_arena *arena, const gw_serve_import *what, int64_t *id,
                              gw_err *err)
{
    const char *name = NULL;
    gw_status st = gw_serve_priv_name_of(arena, what->text, what->length, &name, err);
    const char *const text = gw_arena_strndup(arena, what->text, what->length);
    if (st == GW_OK && text == NULL) {
        st = gw_fail(err, GW_ERR_NOMEM, "", "out of memory");
    }
    gw_store_jobs found = {0};
    if (st == GW_OK) {
        const gw_store_query query = {.text = text, .most = 1};
        st = gw_store_find_jobs(what->store, arena, &query, &found, err);
    }
    if (st == GW_OK && found.count > 0) {
        *id = found.items[0].id;
        return GW_OK;
    }
    gw_store_job job = {0};
    if (st == GW_OK) {
        const gw_store_change change = {
            .name = name, .text = text, .length = what->length, .now_unix_s = what->now_unix_s};
        st = gw_store_add(what->store, arena, &change, &job, err);
    }
    *id = job.id;
    return st;
}
