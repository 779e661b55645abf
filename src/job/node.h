// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A JSON document as a tree in an arena, every value and key with its line and column.
//
// It knows nothing of jobs. Numbers are doubles; object members keep the order of the text.
// Refused: text over GW_NODE_TEXT_MAX bytes, nesting over GW_NODE_DEPTH_MAX, keys given twice,
// numbers that no double holds, NUL, and text that is not UTF-8. A byte-order mark is skipped.
//
// Parsing is Jansson's. It gives no positions of good values, so a second walk over the text,
// which is then known to be well formed, visits the values in the same order and marks them.
//
//   const gw_node *root;
//   st = gw_node_read(arena, text, length, &root, err);
//   const gw_node *house = gw_node_member(root, "house");
#ifndef GW_NODE_H
#define GW_NODE_H

#include "base/arena.h"
#include "base/err.h"

#include <stdbool.h>
#include <stddef.h>

enum { GW_NODE_TEXT_MAX = 4 * 1024 * 1024, GW_NODE_DEPTH_MAX = 20 };

typedef enum {
    GW_NODE_NULL,
    GW_NODE_YES_NO,
    GW_NODE_NUMBER,
    GW_NODE_TEXT,
    GW_NODE_LIST,
    GW_NODE_OBJECT,
} gw_node_type;

typedef struct gw_node gw_node;
struct gw_node {
    gw_node_type type;
    bool yes;         // GW_NODE_YES_NO
    double number;    // GW_NODE_NUMBER, finite
    const char *text; // GW_NODE_TEXT
    gw_node *items;   // GW_NODE_LIST, GW_NODE_OBJECT: [count], in order of the text
    size_t count;     //
    const char *key;  // name within an object, else NULL
    int line;         // of the value's first character, from 1
    int column;       // in characters, from 1
    int key_line;     // of the key; 0 without key
    int key_column;   //
};

// Errors: GW_ERR_SYNTAX, GW_ERR_KEY (a key twice), GW_ERR_RANGE (a number too large), each with
// line and column; GW_ERR_NOMEM.
gw_status gw_node_read(gw_arena *arena, const char *text, size_t length, const gw_node **out,
                       gw_err *err) GW_MUST_USE;

// Member of an object by key; NULL when node is NULL, no object, or without that key.
const gw_node *gw_node_member(const gw_node *node, const char *key);

// Deepest existing value along a path such as "loops[2].bores.places", starting at `node`.
const gw_node *gw_node_deepest(const gw_node *node, const char *path);

// "a number", "text", "a list" …, and the value itself where it is short: for error messages.
const char *gw_node_type_name(gw_node_type type);
const char *gw_node_print(const gw_node *node, char *buffer, size_t size);

// Used by gw_node_read: marks the tree of a well-formed text.
void gw_node_place(gw_node *root, const char *text, size_t length);

#endif
