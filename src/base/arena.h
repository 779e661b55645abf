// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// One arena per job run: everything a run allocates lives here and dies with it.
//
// It does not free single pieces. Memory comes back zeroed and aligned for any type. A byte cap
// turns a runaway request into GW_ERR_NOMEM instead of a swapping machine.
//
//   gw_arena *arena = gw_arena_create(0);
//   double *t_degc = gw_arena_alloc(arena, 8760, sizeof *t_degc);
//   if (t_degc == NULL) { … }
//   gw_arena_destroy(arena);
#ifndef GW_ARENA_H
#define GW_ARENA_H

#include "base/err.h"

#include <stddef.h>

typedef struct gw_arena gw_arena;

// Returns NULL when the system has no memory. cap_bytes 0 means 1 GiB.
gw_arena *gw_arena_create(size_t cap_bytes);
void gw_arena_destroy(gw_arena *arena);  // NULL is fine

// count × size zeroed bytes, or NULL (cap reached, overflow, no memory). Zero bytes give a valid
// pointer that must not be written through.
void *gw_arena_alloc(gw_arena *arena, size_t count, size_t size);

// Copy of a string of known length, with a terminating NUL; NULL on failure.
char *gw_arena_strndup(gw_arena *arena, const char *text, size_t length);
char *gw_arena_strdup(gw_arena *arena, const char *text);
char *gw_arena_printf(gw_arena *arena, const char *fmt, ...) GW_PRINTF(2, 3);

// Bytes handed out so far.
size_t gw_arena_used(const gw_arena *arena);

// For tests of the out-of-memory paths: after `count` further successful allocations every
// allocation fails. SIZE_MAX (the initial state) never fails.
void gw_arena_fail_after(gw_arena *arena, size_t count);

#endif
