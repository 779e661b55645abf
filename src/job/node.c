// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Positions of values, and small questions to the tree. No parsing library here.
#include "job/node.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// ---------------------------------------------------------------- positions

typedef struct {
    const char *at;
    const char *end;
    int line;
    int column; // of *at
} walker;

static void step(walker *w)
{
    if (w->at < w->end) {
        const char c = *w->at++;
        if (c == '\n') {
            w->line++;
            w->column = 1;
        } else if (w->at == w->end || ((unsigned char)*w->at & 0xC0) != 0x80) {
            // A character ends where the next byte is not a continuation byte of UTF-8.
            w->column++;
        }
    }
}

static char here(const walker *w)
{
    return w->at < w->end ? *w->at : '\0';
}

// Blanks, and the punctuation between values, which a well-formed text has in the right places.
static void skip_between(walker *w)
{
    while (here(w) != '\0' && strchr(" \t\r\n,:", here(w)) != NULL) {
        step(w);
    }
}

static void skip_string(walker *w)
{
    step(w);
    while (w->at < w->end && here(w) != '"') {
        if (here(w) == '\\') {
            step(w);
        }
        step(w);
    }
    step(w);
}

static void skip_word(walker *w)
{
    while (w->at < w->end && strchr(" \t\r\n,:]}", here(w)) == NULL) {
        step(w);
    }
}

// NOLINTBEGIN(misc-no-recursion): as deep as the document, at most GW_NODE_DEPTH_MAX
static void place_value(walker *w, gw_node *node)
{
    skip_between(w);
    node->line = w->line;
    node->column = w->column;
    if (node->type == GW_NODE_TEXT) {
        skip_string(w);
        return;
    }
    if (node->type != GW_NODE_LIST && node->type != GW_NODE_OBJECT) {
        skip_word(w);
        return;
    }
    step(w); // the opening bracket
    for (size_t i = 0; i < node->count; i++) {
        gw_node *const item = &node->items[i];
        if (item->key != NULL) {
            skip_between(w);
            item->key_line = w->line;
            item->key_column = w->column;
            skip_string(w);
        }
        place_value(w, item); // as deep as GW_NODE_DEPTH_MAX at most
    }
    skip_between(w);
    step(w); // the closing bracket
}

// NOLINTEND(misc-no-recursion)

void gw_node_place(gw_node *root, const char *text, size_t length)
{
    walker w = {.at = text, .end = text + length, .line = 1, .column = 1};
    place_value(&w, root);
}

// ---------------------------------------------------------------- questions

static const gw_node *member_of_length(const gw_node *node, const char *key, size_t length)
{
    if (node == NULL || node->type != GW_NODE_OBJECT) {
        return NULL;
    }
    for (size_t i = 0; i < node->count; i++) {
        const char *const name = node->items[i].key;
        if (strncmp(name, key, length) == 0 && name[length] == '\0') {
            return &node->items[i];
        }
    }
    return NULL;
}

const gw_node *gw_node_member(const gw_node *node, const char *key)
{
    return member_of_length(node, key, strlen(key));
}

const gw_node *gw_node_deepest(const gw_node *node, const char *path)
{
    while (node != NULL && *path != '\0') {
        const gw_node *next = NULL;
        if (*path == '[') {
            char *end = NULL;
            const unsigned long index = strtoul(path + 1, &end, 10);
            path = *end == ']' ? end + 1 : end;
            if (node->type == GW_NODE_LIST && index < node->count) {
                next = &node->items[index];
            }
        } else {
            path += *path == '.' ? 1 : 0;
            const size_t length = strcspn(path, ".[");
            next = member_of_length(node, path, length);
            path += length;
        }
        if (next == NULL) {
            break;
        }
        node = next;
    }
    return node;
}

const char *gw_node_type_name(gw_node_type type)
{
    static const char *const NAMES[] = {
        [GW_NODE_NULL] = "null",       [GW_NODE_YES_NO] = "true or false",
        [GW_NODE_NUMBER] = "a number", [GW_NODE_TEXT] = "a text",
        [GW_NODE_LIST] = "a list",     [GW_NODE_OBJECT] = "an object",
    };
    return NAMES[type];
}

const char *gw_node_print(const gw_node *node, char *buffer, size_t size)
{
    switch (node->type) {
    case GW_NODE_NUMBER:
        snprintf(buffer, size, "%.12g", node->number);
        break;
    case GW_NODE_TEXT:
        snprintf(buffer, size, "\"%.60s\"", node->text);
        break;
    case GW_NODE_YES_NO:
        snprintf(buffer, size, "%s", node->yes ? "true" : "false");
        break;
    case GW_NODE_LIST:
        snprintf(buffer, size, "a list of %zu", node->count);
        break;
    case GW_NODE_NULL:
    case GW_NODE_OBJECT:
        snprintf(buffer, size, "%s", gw_node_type_name(node->type));
        break;
    }
    return buffer;
}
