// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "job/sink.h"

#include "base/text.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { FIRST_BYTES = 1024, NUMBER_BYTES = 40 };

// Room for `more` bytes and a NUL.
static bool make_room(gw_sink *sink, size_t more)
{
    if (sink->failed) {
        return false;
    }
    if (sink->text != NULL && sink->length + more < sink->capacity) {
        return true;
    }
    size_t capacity = sink->capacity > 0 ? 2 * sink->capacity : FIRST_BYTES;
    while (capacity <= sink->length + more) {
        capacity *= 2;
    }
    char *const text = gw_arena_alloc(sink->arena, capacity, 1);
    if (text == NULL) {
        sink->failed = true;
        return false;
    }
    if (sink->text != NULL) {
        memcpy(text, sink->text, sink->length);
    }
    sink->text = text;
    sink->capacity = capacity;
    return true;
}

static void put_bytes(gw_sink *sink, const char *bytes, size_t count)
{
    if (make_room(sink, count)) {
        memcpy(sink->text + sink->length, bytes, count);
        sink->length += count;
        sink->text[sink->length] = '\0';
    }
}

void gw_sink_put(gw_sink *sink, const char *text)
{
    put_bytes(sink, text, strlen(text));
}

void gw_sink_printf(gw_sink *sink, const char *fmt, ...)
{
    va_list args;
    va_start(args, fmt);
    va_list again;
    va_copy(again, args);
    // NOLINTNEXTLINE(clang-analyzer-valist.Uninitialized): started above
    const int length = vsnprintf(NULL, 0, fmt, args);
    va_end(args);
    if (length >= 0 && make_room(sink, (size_t)length)) {
        vsnprintf(sink->text + sink->length, (size_t)length + 1, fmt, again);
        sink->length += (size_t)length;
    }
    va_end(again);
}

void gw_sink_indent(gw_sink *sink, int depth)
{
    for (int i = 0; i < depth; i++) {
        gw_sink_put(sink, "  ");
    }
}

void gw_sink_json_string(gw_sink *sink, const char *text)
{
    gw_sink_put(sink, "\"");
    for (const char *s = text; *s != '\0'; s++) {
        const unsigned char c = (unsigned char)*s;
        if (c == '"' || c == '\\') {
            const char escaped[3] = {'\\', *s, '\0'};
            gw_sink_put(sink, escaped);
        } else if (c == '\n') {
            gw_sink_put(sink, "\\n");
        } else if (c < 0x20) {
            gw_sink_printf(sink, "\\u%04x", c);
        } else {
            put_bytes(sink, s, 1);
        }
    }
    gw_sink_put(sink, "\"");
}

void gw_sink_number(gw_sink *sink, double value)
{
    char digits[NUMBER_BYTES];
    put_bytes(sink, digits, gw_text_from_number(value, digits, sizeof digits));
}

const char *gw_sink_text(gw_sink *sink)
{
    return make_room(sink, 0) ? sink->text : NULL;
}
