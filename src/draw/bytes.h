// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Bytes that grow in an arena, and numbers as text whatever the host's locale. A failed allocation
// is remembered: write on, look once at the end.
//
//   gw_bytes out = {.arena = arena};
//   gw_bytes_text(&out, "<g>");
//   gw_bytes_number(&out, 12.5, 3);  // "12.5"
//   if (out.failed) { … }
#ifndef GW_DRAW_BYTES_H
#define GW_DRAW_BYTES_H

#include "base/arena.h"

#include <stdbool.h>

typedef struct {
    gw_arena *arena;
    char *data; // with a NUL behind it
    size_t length;
    size_t size;
    bool failed;
} gw_bytes;

void gw_bytes_add(gw_bytes *out, const void *data, size_t length);
void gw_bytes_text(gw_bytes *out, const char *text);

// Rounded to `digits` (0 to 6) after the point, trailing zeros dropped; no "-0".
void gw_bytes_number(gw_bytes *out, double value, int digits);

// GW_ERR_NOMEM when something was lost.
gw_status gw_bytes_status(const gw_bytes *out, gw_err *err) GW_MUST_USE;

#endif
