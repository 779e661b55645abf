// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/err.h"

#include "base/arena.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *gw_status_text(gw_status code)
{
    switch (code) {
#define X(name, text)                                                                              \
    case name:                                                                                     \
        return text;
        GW_STATUS_LIST(X)
#undef X
    }
    return "unknown status";
}

gw_status gw_fail(gw_err *err, gw_status code, const char *field, const char *fmt, ...)
{
    if (err == NULL) {
        return code;
    }
    err->code = code;
    snprintf(err->field, sizeof err->field, "%s", field != NULL ? field : "");
    va_list args;
    va_start(args, fmt);
    vsnprintf(err->text, sizeof err->text, fmt, args);
    va_end(args);
    return code;
}

void gw_err_list_init(gw_err_list *list, struct gw_arena *arena)
{
    *list = (gw_err_list){.arena = arena};
}

gw_status gw_err_list_add(gw_err_list *list, const gw_err *err)
{
    if (list->count == list->capacity) {
        // Arena blocks are never freed singly: doubling keeps the waste below the size kept.
        const size_t capacity = list->capacity == 0 ? 8 : 2 * list->capacity;
        gw_err *const items = gw_arena_alloc(list->arena, capacity, sizeof *items);
        if (items == NULL) {
            return GW_ERR_NOMEM;
        }
        if (list->count > 0) {
            memcpy(items, list->items, list->count * sizeof *items);
        }
        list->items = items;
        list->capacity = capacity;
    }
    list->items[list->count++] = *err;
    return GW_OK;
}
