// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A growing text in an arena: what the writers of the job room put their output into.
//
// Once an allocation fails every later call does nothing and gw_sink_text gives NULL, so that a
// writer checks once, at its end.
//
//   gw_sink sink = {.arena = arena};
//   gw_sink_put(&sink, "{\n");
//   gw_sink_printf(&sink, "  \"count\": %d\n", 5);
//   const char *text = gw_sink_text(&sink);
#ifndef GW_SINK_H
#define GW_SINK_H

#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>

typedef struct {
    gw_arena *arena; // borrowed
    char *text;
    size_t length;
    size_t capacity;
    bool failed;
} gw_sink;

void gw_sink_put(gw_sink *sink, const char *text);
void gw_sink_printf(gw_sink *sink, const char *fmt, ...) GW_PRINTF(2, 3);

// `depth` levels of two blanks.
void gw_sink_indent(gw_sink *sink, int depth);

// A quoted JSON string, with what JSON wants escaped.
void gw_sink_json_string(gw_sink *sink, const char *text);

// Shortest decimal number that reads back to the same double.
void gw_sink_number(gw_sink *sink, double value);

// The text so far, NUL-terminated; NULL after a failed allocation.
const char *gw_sink_text(gw_sink *sink);

#endif
