// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/arena.h"

#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BLOCK_BYTES = 256 * 1024 };
static const size_t DEFAULT_CAP_BYTES = (size_t)1 << 30;

typedef struct block {
    struct block *next;
    size_t used;
    size_t size;
    max_align_t data[];
} block;

struct gw_arena {
    block *head;        // the block small requests are cut from
    size_t cap_bytes;   // upper bound of all blocks together
    size_t block_bytes; // held in blocks
    size_t used_bytes;  // handed out
    size_t allowed;     // allocations before the injected failure
};

gw_arena *gw_arena_create(size_t cap_bytes)
{
    gw_arena *const arena = calloc(1, sizeof *arena);
    if (arena == NULL) {
        return NULL;
    }
    arena->cap_bytes = cap_bytes != 0 ? cap_bytes : DEFAULT_CAP_BYTES;
    arena->allowed = SIZE_MAX;
    return arena;
}

void gw_arena_destroy(gw_arena *arena)
{
    if (arena == NULL) {
        return;
    }
    for (block *b = arena->head; b != NULL;) {
        block *const next = b->next;
        free(b);
        b = next;
    }
    free(arena);
}

// A fresh zeroed block of at least `bytes`; NULL when the cap or the system says no.
static block *add_block(gw_arena *arena, size_t bytes)
{
    const size_t size = bytes > BLOCK_BYTES ? bytes : BLOCK_BYTES;
    if (size > arena->cap_bytes - arena->block_bytes) {
        return NULL;
    }
    block *const b = calloc(1, sizeof *b + size);
    if (b == NULL) {
        return NULL;
    }
    b->size = size;
    arena->block_bytes += size;
    const int is_oversize = bytes > BLOCK_BYTES;
    if (is_oversize && arena->head != NULL) {
        // A large request gets its own block behind the head, so the head's rest is not lost.
        b->next = arena->head->next;
        arena->head->next = b;
    } else {
        b->next = arena->head;
        arena->head = b;
    }
    return b;
}

void *gw_arena_alloc(gw_arena *arena, size_t count, size_t size)
{
    if (size != 0 && count > SIZE_MAX / 2 / size) {
        return NULL;
    }
    if (arena->allowed == 0) {
        return NULL;
    }
    const size_t unit = sizeof(max_align_t);
    const size_t bytes = (count * size + unit - 1) / unit * unit;
    block *b = arena->head;
    if (b == NULL || bytes > b->size - b->used) {
        b = add_block(arena, bytes);
        if (b == NULL) {
            return NULL;
        }
    }
    if (arena->allowed != SIZE_MAX) {
        arena->allowed--;
    }
    void *const p = (char *)b->data + b->used;
    b->used += bytes;
    arena->used_bytes += bytes;
    return p;
}

char *gw_arena_strndup(gw_arena *arena, const char *text, size_t length)
{
    char *const copy = gw_arena_alloc(arena, length + 1, 1);
    if (copy != NULL) {
        memcpy(copy, text, length);
    }
    return copy;
}

char *gw_arena_strdup(gw_arena *arena, const char *text)
{
    return gw_arena_strndup(arena, text, strlen(text));
}

char *gw_arena_printf(gw_arena *arena, const char *fmt, ...)
{
    va_list args;
    va_start(args, fmt);
    va_list again;
    va_copy(again, args);
    const int length = vsnprintf(NULL, 0, fmt, args);
    va_end(args);
    char *text = NULL;
    if (length >= 0) {
        text = gw_arena_alloc(arena, (size_t)length + 1, 1);
        if (text != NULL) {
            vsnprintf(text, (size_t)length + 1, fmt, again);
        }
    }
    va_end(again);
    return text;
}

size_t gw_arena_used(const gw_arena *arena)
{
    return arena->used_bytes;
}

void gw_arena_fail_after(gw_arena *arena, size_t count)
{
    arena->allowed = count;
}
