// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What the files of this room share: statements with bound values, transactions, migrations. Only
// store.c knows SQLite.
//
//   gw_store_priv_query q;
//   const gw_store_priv_value values[] = {gw_store_priv_of_whole(id)};
//   const gw_store_priv_ask_for what = {"SELECT name FROM jobs WHERE id = ?1", values, 1};
//   gw_store_priv_ask(&q, store, &what, err);
//   while (gw_store_priv_next(&q)) { name = gw_store_priv_text(&q, 0, arena, NULL); }
//   st = gw_store_priv_end(&q);
#ifndef GW_STORE_PRIV_H
#define GW_STORE_PRIV_H

#include "store/store.h"

typedef enum {
    GW_STORE_VALUE_NULL,
    GW_STORE_VALUE_WHOLE,
    GW_STORE_VALUE_TEXT,
    GW_STORE_VALUE_BYTES,
} gw_store_priv_type;

typedef struct {
    gw_store_priv_type type;
    int64_t whole;
    const char *bytes;
    size_t length;
} gw_store_priv_value;

gw_store_priv_value gw_store_priv_of_whole(int64_t value);
gw_store_priv_value gw_store_priv_of_text(const char *text); // NULL gives NULL
gw_store_priv_value gw_store_priv_of_span(const char *text, size_t length);
gw_store_priv_value gw_store_priv_of_bytes(const char *bytes, size_t length);

typedef struct {
    const char *sql;
    const gw_store_priv_value *values; // [count], for ?1, ?2 …
    size_t count;
} gw_store_priv_ask_for;

// One statement while it runs. The first thing that goes wrong is kept until the end.
typedef struct {
    gw_store *store;
    void *statement;
    gw_err *err;
    gw_status status;
} gw_store_priv_query;

void gw_store_priv_ask(gw_store_priv_query *q, gw_store *store, const gw_store_priv_ask_for *what,
                       gw_err *err);
bool gw_store_priv_next(gw_store_priv_query *q); // is there another row?
int64_t gw_store_priv_whole(gw_store_priv_query *q, int column);
// Copy in the arena, NUL-terminated; NULL for NULL. `length` may be NULL.
const char *gw_store_priv_text(gw_store_priv_query *q, int column, gw_arena *arena, size_t *length);
gw_status gw_store_priv_end(gw_store_priv_query *q);

// A statement without rows; *changed (may be NULL) is the number of rows it changed.
gw_status gw_store_priv_run(gw_store *store, const gw_store_priv_ask_for *what, int64_t *changed,
                            gw_err *err);
int64_t gw_store_priv_last_id(gw_store *store);

// One thread at a time; a change between begin and finish is all or nothing. finish commits when
// `st` is GW_OK, else it takes everything back, and returns what came of it.
void gw_store_priv_lock(gw_store *store);
void gw_store_priv_unlock(gw_store *store);
gw_status gw_store_priv_begin(gw_store *store, gw_err *err);
gw_status gw_store_priv_finish(gw_store *store, gw_status st, gw_err *err);

// The steps from an empty file to the present one; step i leads from version i to i + 1.
extern const char *const GW_STORE_PRIV_STEPS[];
extern const int GW_STORE_PRIV_VERSION;

#endif
