// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The files that jobs name: weather and price books, by a plain name and never by a path.
#include "store/store_priv.h"

#include <string.h>

enum { NAME_MOST = 80 };

bool gw_store_is_file_name(const char *name)
{
    static const char ALLOWED[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-";
    const size_t length = strlen(name);
    return length >= 1 && length <= NAME_MOST && name[0] != '.' && strspn(name, ALLOWED) == length;
}

static gw_status check_file(const gw_store_file *file, gw_err *err)
{
    if (!gw_store_is_file_name(file->name)) {
        return gw_fail(err, GW_ERR_RANGE, "name",
                       "found the name \"%.80s\", expected 1 to %d of A-Z a-z 0-9 . _ - and no dot "
                       "at the front",
                       file->name, NAME_MOST);
    }
    if (file->length > GW_STORE_FILE_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "length", "found %zu bytes, expected at most %d",
                       file->length, GW_STORE_FILE_MAX);
    }
    return GW_OK;
}

static gw_status has_file(gw_store *store, const char *name, bool *out, gw_err *err)
{
    const gw_store_priv_value values[] = {gw_store_priv_of_text(name)};
    gw_store_priv_query q;
    gw_store_priv_ask(
        &q, store, &(gw_store_priv_ask_for){"SELECT 1 FROM files WHERE name = ?1", values, 1}, err);
    *out = gw_store_priv_next(&q);
    return gw_store_priv_end(&q);
}

gw_status gw_store_put_file(gw_store *store, const gw_store_file *file, bool *replaced, gw_err *err)
{
    gw_status st = check_file(file, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_store_priv_value values[] = {gw_store_priv_of_text(file->name),
                                          gw_store_priv_of_whole(file->saved_unix_s),
                                          gw_store_priv_of_bytes(file->content, file->length)};
    gw_store_priv_lock(store);
    st = gw_store_priv_begin(store, err);
    if (st == GW_OK) {
        st = has_file(store, file->name, replaced, err);
        if (st == GW_OK) {
            st = gw_store_priv_run(
                store,
                &(gw_store_priv_ask_for){"INSERT INTO files (name, saved_unix_s, content) VALUES "
                                         "(?1, ?2, ?3) ON CONFLICT (name) DO UPDATE SET "
                                         "saved_unix_s = ?2, content = ?3",
                                         values, 3},
                NULL, err);
        }
        st = gw_store_priv_finish(store, st, err);
    }
    gw_store_priv_unlock(store);
    return st;
}

static gw_status fail_absent(const char *name, gw_err *err)
{
    return gw_fail(err, GW_ERR_KEY, "", "there is no file \"%.80s\" in the store", name);
}

gw_status gw_store_get_file(gw_store *store, gw_arena *arena, const char *name, gw_store_file *out,
                            gw_err *err)
{
    const gw_store_priv_value values[] = {gw_store_priv_of_text(name)};
    gw_store_priv_lock(store);
    gw_store_priv_query q;
    gw_store_priv_ask(
        &q, store,
        &(gw_store_priv_ask_for){"SELECT name, saved_unix_s, content FROM files WHERE name = ?1",
                                 values, 1},
        err);
    const bool found = gw_store_priv_next(&q);
    if (found) {
        out->name = gw_store_priv_text(&q, 0, arena, NULL);
        out->saved_unix_s = gw_store_priv_whole(&q, 1);
        out->content = gw_store_priv_text(&q, 2, arena, &out->length);
    }
    const gw_status st = gw_store_priv_end(&q);
    gw_store_priv_unlock(store);
    return st == GW_OK && !found ? fail_absent(name, err) : st;
}

gw_status gw_store_remove_file(gw_store *store, const char *name, gw_err *err)
{
    const gw_store_priv_value values[] = {gw_store_priv_of_text(name)};
    int64_t changed = 0;
    gw_store_priv_lock(store);
    gw_status st = gw_store_priv_begin(store, err);
    if (st == GW_OK) {
        st = gw_store_priv_run(
            store, &(gw_store_priv_ask_for){"DELETE FROM files WHERE name = ?1", values, 1},
            &changed, err);
        st = gw_store_priv_finish(store, st, err);
    }
    gw_store_priv_unlock(store);
    return st == GW_OK && changed == 0 ? fail_absent(name, err) : st;
}

gw_status gw_store_get_files(gw_store *store, gw_arena *arena, gw_store_files *out, gw_err *err)
{
    gw_store_file *items = NULL;
    size_t count = 0;
    gw_store_priv_lock(store);
    gw_store_priv_query q;
    gw_store_priv_ask(&q, store, &(gw_store_priv_ask_for){"SELECT count(*) FROM files", NULL, 0},
                      err);
    const size_t most = gw_store_priv_next(&q) ? (size_t)gw_store_priv_whole(&q, 0) : 0;
    gw_status st = gw_store_priv_end(&q);
    if (st == GW_OK) {
        items = gw_arena_alloc(arena, most, sizeof *items);
        gw_store_priv_ask(&q, store,
                          &(gw_store_priv_ask_for){"SELECT name, saved_unix_s, length(content) "
                                                   "FROM files ORDER BY name",
                                                   NULL, 0},
                          err);
        while (items != NULL && count < most && gw_store_priv_next(&q)) {
            items[count] = (gw_store_file){.name = gw_store_priv_text(&q, 0, arena, NULL),
                                           .saved_unix_s = gw_store_priv_whole(&q, 1),
                                           .length = (size_t)gw_store_priv_whole(&q, 2)};
            count++;
        }
        st = gw_store_priv_end(&q);
        if (st == GW_OK && items == NULL) {
            st = gw_fail(err, GW_ERR_NOMEM, "", "out of memory reading the store");
        }
    }
    gw_store_priv_unlock(store);
    *out = (gw_store_files){.items = items, .count = count};
    return st;
}
