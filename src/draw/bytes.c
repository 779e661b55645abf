// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "draw/bytes.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static bool make_room(gw_bytes *out, size_t more)
{
    if (out->length + more + 1 <= out->size) {
        return true;
    }
    size_t size = out->size > 0 ? out->size : 4096;
    while (size < out->length + more + 1) {
        size *= 2;
    }
    char *const data = gw_arena_alloc(out->arena, size, 1);
    if (data == NULL) {
        out->failed = true;
        return false;
    }
    if (out->length > 0) {
        memcpy(data, out->data, out->length);
    }
    out->data = data;
    out->size = size;
    return true;
}

void gw_bytes_add(gw_bytes *out, const void *data, size_t length)
{
    if (length > 0 && make_room(out, length)) {
        memcpy(out->data + out->length, data, length);
        out->length += length;
        out->data[out->length] = '\0';
    }
}

void gw_bytes_text(gw_bytes *out, const char *text)
{
    gw_bytes_add(out, text, strlen(text));
}

void gw_bytes_number(gw_bytes *out, double value, int digits)
{
    static const double TENS[] = {1.0, 10.0, 100.0, 1e3, 1e4, 1e5, 1e6};
    const double limit = 9e15;
    const double scaled = isfinite(value) ? round(value * TENS[digits]) : 0.0;
    const int64_t whole = (int64_t)fmin(fmax(scaled, -limit), limit);
    const int64_t unit = (int64_t)TENS[digits];
    const int64_t size = whole < 0 ? -whole : whole;
    char text[48];
    int length = snprintf(text, sizeof text, "%s%" PRId64, whole < 0 ? "-" : "", size / unit);
    if (size % unit != 0) {
        length += snprintf(text + length, sizeof text - (size_t)length, ".%0*" PRId64, digits,
                           size % unit);
        while (text[length - 1] == '0') {
            length--;
        }
    }
    gw_bytes_add(out, text, (size_t)length);
}

gw_status gw_bytes_status(const gw_bytes *out, gw_err *err)
{
    return out->failed ? gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory writing a drawing")
                       : GW_OK;
}
