// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "report/prose.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static bool make_room(gw_prose *text, size_t more)
{
    if (text->length + more + 1 <= text->size) {
        return true;
    }
    size_t size = text->size > 0 ? text->size : 4096;
    while (size < text->length + more + 1) {
        size *= 2;
    }
    char *const data = gw_arena_alloc(text->arena, size, 1);
    if (data == NULL) {
        text->failed = true;
        return false;
    }
    if (text->length > 0) {
        memcpy(data, text->data, text->length);
    }
    text->data = data;
    text->size = size;
    return true;
}

void gw_prose_add(gw_prose *text, const char *fmt, ...)
{
    va_list args;
    va_start(args, fmt);
    va_list again;
    va_copy(again, args);
    const int length = vsnprintf(NULL, 0, fmt, args);
    va_end(args);
    if (length > 0 && make_room(text, (size_t)length)) {
        vsnprintf(text->data + text->length, (size_t)length + 1, fmt, again);
        text->length += (size_t)length;
    }
    va_end(again);
}

// Continuation bytes of UTF-8 are no letters of their own.
static bool starts_letter(char c)
{
    return ((unsigned char)c & 0xC0U) != 0x80U;
}

static size_t letters(const char *s, size_t bytes)
{
    size_t count = 0;
    for (size_t i = 0; i < bytes; i++) {
        count += starts_letter(s[i]) ? 1 : 0;
    }
    return count;
}

void gw_prose_pad(gw_prose *text, size_t column)
{
    size_t start = text->length;
    while (start > 0 && text->data[start - 1] != '\n') {
        start--;
    }
    size_t at = start == text->length ? 0 : letters(text->data + start, text->length - start);
    do {
        gw_prose_add(text, " ");
    } while (++at < column);
}

void gw_prose_wrap(gw_prose *text, size_t indent, size_t width, const char *paragraph)
{
    size_t at = 0;
    for (const char *s = paragraph; *s != '\0';) {
        const size_t bytes = strcspn(s, " ");
        const size_t count = letters(s, bytes);
        if (at > 0 && indent + at + 1 + count > width) {
            gw_prose_add(text, "\n");
            at = 0;
        }
        if (at == 0) {
            gw_prose_add(text, "%*s%.*s", (int)indent, "", (int)bytes, s);
        } else {
            gw_prose_add(text, " %.*s", (int)bytes, s);
        }
        at += count + (at > 0 ? 1 : 0);
        s += bytes;
        s += strspn(s, " ");
    }
    gw_prose_add(text, "\n");
}

void gw_prose_heading(gw_prose *text, const char *title)
{
    gw_prose_add(text, "\n%s\n", title);
    for (size_t i = 0; i < strlen(title); i++) {
        gw_prose_add(text, "-");
    }
    gw_prose_add(text, "\n");
}

void gw_prose_cell(gw_prose *text, size_t column, const char *cell)
{
    gw_prose_pad(text, column);
    gw_prose_add(text, "%s", cell);
}

const char *gw_prose_money(gw_prose *text, gw_money amount, const char *currency)
{
    enum { SIZE = 64 };
    const gw_money_style style = {.symbol = currency};
    char *const buffer = gw_arena_alloc(text->arena, SIZE, 1);
    if (buffer == NULL) {
        text->failed = true;
        return "?";
    }
    return gw_money_print(amount, &style, buffer, SIZE);
}

const char *gw_prose_quantity(gw_prose *text, gw_quantity_kind kind, double si)
{
    enum { SIZE = 64 };
    char *const buffer = gw_arena_alloc(text->arena, SIZE, 1);
    if (buffer == NULL) {
        text->failed = true;
        return "?";
    }
    return gw_quantity_print(kind, text->units, si, buffer, SIZE);
}

const char *gw_prose_finish(const gw_prose *text)
{
    return text->failed ? NULL : text->data != NULL ? text->data : "";
}
