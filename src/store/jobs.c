// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Jobs and their revisions.
#include "store/store_priv.h"

#include <string.h>

enum { NAME_MOST = 200, FIRST_ROWS = 32 };

#define JOB_COLUMNS "id, name, revision, created_unix_s, saved_unix_s, hidden"

static gw_status read_job(gw_store_priv_query *q, gw_arena *arena, gw_store_job *out)
{
    *out = (gw_store_job){.id = gw_store_priv_whole(q, 0),
                          .name = gw_store_priv_text(q, 1, arena, NULL),
                          .revision = gw_store_priv_whole(q, 2),
                          .created_unix_s = gw_store_priv_whole(q, 3),
                          .saved_unix_s = gw_store_priv_whole(q, 4),
                          .hidden = gw_store_priv_whole(q, 5) != 0};
    return q->status;
}

// Within the lock, as every function of this file that is not public.
static gw_status get_job(gw_store *store, gw_arena *arena, int64_t id, gw_store_job *out,
                         gw_err *err)
{
    const gw_store_priv_value values[] = {gw_store_priv_of_whole(id)};
    gw_store_priv_query q;
    gw_store_priv_ask(
        &q, store,
        &(gw_store_priv_ask_for){"SELECT " JOB_COLUMNS " FROM jobs WHERE id = ?1", values, 1}, err);
    const bool found = gw_store_priv_next(&q) && read_job(&q, arena, out) == GW_OK;
    const gw_status st = gw_store_priv_end(&q);
    if (st == GW_OK && !found) {
        return gw_fail(err, GW_ERR_KEY, "", "there is no job %lld in the store", (long long)id);
    }
    return st;
}

#define REVISION_COLUMNS "revision, saved_unix_s, name, note, length(CAST(text AS BLOB))"

static gw_status read_revision(gw_store_priv_query *q, gw_arena *arena, gw_store_revision *out)
{
    *out = (gw_store_revision){.revision = gw_store_priv_whole(q, 0),
                               .saved_unix_s = gw_store_priv_whole(q, 1),
                               .name = gw_store_priv_text(q, 2, arena, NULL),
                               .note = gw_store_priv_text(q, 3, arena, NULL),
                               .length = (size_t)gw_store_priv_whole(q, 4)};
    return q->status;
}

static gw_status get_revision(gw_store *store, gw_arena *arena, gw_store_place place,
                              gw_store_revision *out, gw_err *err)
{
    const gw_store_priv_value values[] = {gw_store_priv_of_whole(place.id),
                                          gw_store_priv_of_whole(place.revision)};
    gw_store_priv_query q;
    gw_store_priv_ask(&q, store,
                      &(gw_store_priv_ask_for){
                          "SELECT " REVISION_COLUMNS ", text FROM revisions WHERE job = ?1 AND "
                          "(revision = ?2 OR ?2 = 0) ORDER BY revision DESC LIMIT 1",
                          values, 2},
                      err);
    bool found = false;
    if (gw_store_priv_next(&q) && read_revision(&q, arena, out) == GW_OK) {
        out->text = gw_store_priv_text(&q, 5, arena, &out->length);
        found = true;
    }
    const gw_status st = gw_store_priv_end(&q);
    if (st == GW_OK && !found && place.revision == 0) {
        return gw_fail(err, GW_ERR_KEY, "", "there is no job %lld in the store",
                       (long long)place.id);
    }
    if (st == GW_OK && !found) {
        return gw_fail(err, GW_ERR_KEY, "", "job %lld has no revision %lld", (long long)place.id,
                       (long long)place.revision);
    }
    return st;
}

static gw_status check_change(const gw_store_change *c, gw_err *err)
{
    const size_t name = c->name != NULL ? strlen(c->name) : 0;
    if (name < 1 || name > NAME_MOST) {
        return gw_fail(err, GW_ERR_RANGE, "name", "found a name of %zu bytes, expected 1 to %d",
                       name, NAME_MOST);
    }
    if (c->text == NULL || c->length > GW_STORE_TEXT_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "", "found a text of %zu bytes, expected at most %d",
                       c->length, GW_STORE_TEXT_MAX);
    }
    return GW_OK;
}

// Revision `revision` of job `id`, and the job's own row brought up to it.
static gw_status add_revision(gw_store *store, int64_t id, int64_t revision,
                              const gw_store_change *c, gw_err *err)
{
    const gw_store_priv_value values[] = {
        gw_store_priv_of_whole(id),
        gw_store_priv_of_whole(revision),
        gw_store_priv_of_whole(c->now_unix_s),
        gw_store_priv_of_text(c->name),
        gw_store_priv_of_text(c->note),
        gw_store_priv_of_span(c->text, c->length),
    };
    gw_status st = gw_store_priv_run(
        store,
        &(gw_store_priv_ask_for){"INSERT INTO revisions (job, revision, saved_unix_s, name, note, "
                                 "text) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                                 values, 6},
        NULL, err);
    if (st == GW_OK) {
        st = gw_store_priv_run(
            store,
            &(gw_store_priv_ask_for){"UPDATE jobs SET revision = ?2, saved_unix_s = ?3, name = ?4 "
                                     "WHERE id = ?1",
                                     values, 4},
            NULL, err);
    }
    return st;
}

static gw_status add_job(gw_store *store, gw_arena *arena, const gw_store_change *c,
                         gw_store_job *out, gw_err *err)
{
    gw_status st = check_change(c, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_store_priv_value values[] = {gw_store_priv_of_text(c->name),
                                          gw_store_priv_of_whole(c->now_unix_s)};
    st = gw_store_priv_run(
        store,
        &(gw_store_priv_ask_for){"INSERT INTO jobs (name, revision, created_unix_s, saved_unix_s) "
                                 "VALUES (?1, 1, ?2, ?2)",
                                 values, 2},
        NULL, err);
    const int64_t id = st == GW_OK ? gw_store_priv_last_id(store) : 0;
    if (st == GW_OK) {
        st = add_revision(store, id, 1, c, err);
    }
    return st == GW_OK ? get_job(store, arena, id, out, err) : st;
}

static bool is_same(const gw_store_revision *r, const gw_store_change *c)
{
    return r->length == c->length && memcmp(r->text, c->text, c->length) == 0 &&
           strcmp(r->name, c->name) == 0;
}

static gw_status save_job(gw_store *store, gw_arena *arena, const gw_store_change *c,
                          gw_store_job *out, gw_err *err)
{
    gw_store_revision latest;
    gw_status st = check_change(c, err);
    if (st == GW_OK) {
        st = get_job(store, arena, c->id, out, err);
    }
    if (st == GW_OK && c->revision != 0 && c->revision != out->revision) {
        return gw_fail(err, GW_ERR_RANGE, "revision",
                       "job %lld was saved in between: this edit began from revision %lld, the "
                       "latest is %lld",
                       (long long)c->id, (long long)c->revision, (long long)out->revision);
    }
    if (st == GW_OK) {
        st = get_revision(store, arena, (gw_store_place){.id = c->id}, &latest, err);
    }
    if (st != GW_OK || is_same(&latest, c)) {
        return st;
    }
    st = add_revision(store, c->id, out->revision + 1, c, err);
    return st == GW_OK ? get_job(store, arena, c->id, out, err) : st;
}

static gw_status set_hidden(gw_store *store, int64_t id, bool hidden, gw_err *err)
{
    const gw_store_priv_value values[] = {gw_store_priv_of_whole(id),
                                          gw_store_priv_of_whole(hidden ? 1 : 0)};
    return gw_store_priv_run(
        store, &(gw_store_priv_ask_for){"UPDATE jobs SET hidden = ?2 WHERE id = ?1", values, 2},
        NULL, err);
}

static gw_status restore_job(gw_store *store, gw_arena *arena, const gw_store_change *c,
                             gw_store_job *out, gw_err *err)
{
    gw_status st = get_job(store, arena, c->id, out, err);
    if (st == GW_OK && c->revision != 0) {
        gw_store_revision old;
        st = get_revision(store, arena, (gw_store_place){c->id, c->revision}, &old, err);
        const char *const note =
            gw_arena_printf(arena, "restored from revision %lld", (long long)c->revision);
        if (st == GW_OK && note == NULL) {
            st = gw_fail(err, GW_ERR_NOMEM, "", "out of memory in the store");
        }
        if (st == GW_OK) {
            const gw_store_change again = {.id = c->id,
                                           .name = old.name,
                                           .note = note,
                                           .text = old.text,
                                           .length = old.length,
                                           .now_unix_s = c->now_unix_s};
            st = save_job(store, arena, &again, out, err);
        }
    }
    if (st == GW_OK) {
        st = set_hidden(store, c->id, false, err);
    }
    return st == GW_OK ? get_job(store, arena, c->id, out, err) : st;
}

static gw_status copy_job(gw_store *store, gw_arena *arena, const gw_store_change *c,
                          gw_store_job *out, gw_err *err)
{
    gw_store_revision source;
    gw_status st = get_revision(store, arena, (gw_store_place){.id = c->id}, &source, err);
    const char *const note = gw_arena_printf(arena, "copy of job %lld", (long long)c->id);
    if (st == GW_OK && note == NULL) {
        st = gw_fail(err, GW_ERR_NOMEM, "", "out of memory in the store");
    }
    if (st != GW_OK) {
        return st;
    }
    const gw_store_change new_one = {.name = c->name != NULL ? c->name : source.name,
                                     .note = note,
                                     .text = c->text != NULL ? c->text : source.text,
                                     .length = c->text != NULL ? c->length : source.length,
                                     .now_unix_s = c->now_unix_s};
    return add_job(store, arena, &new_one, out, err);
}

static gw_status hide_job(gw_store *store, gw_arena *arena, const gw_store_change *c,
                          gw_store_job *out, gw_err *err)
{
    gw_status st = get_job(store, arena, c->id, out, err);
    if (st == GW_OK) {
        st = set_hidden(store, c->id, true, err);
    }
    return st == GW_OK ? get_job(store, arena, c->id, out, err) : st;
}

// ---------------------------------------------------------------- changes, each all or nothing

typedef gw_status (*change_step)(gw_store *, gw_arena *, const gw_store_change *, gw_store_job *,
                                 gw_err *);

typedef struct {
    gw_store *store;
    gw_arena *arena;
    const gw_store_change *change;
    gw_err *err;
} change_call;

static gw_status change(change_step step, const change_call *c, gw_store_job *out)
{
    *out = (gw_store_job){0};
    gw_store_priv_lock(c->store);
    gw_status st = gw_store_priv_begin(c->store, c->err);
    if (st == GW_OK) {
        st = step(c->store, c->arena, c->change, out, c->err);
        st = gw_store_priv_finish(c->store, st, c->err);
    }
    gw_store_priv_unlock(c->store);
    return st;
}

gw_status gw_store_add(gw_store *store, gw_arena *arena, const gw_store_change *c,
                       gw_store_job *out, gw_err *err)
{
    return change(add_job, &(change_call){store, arena, c, err}, out);
}

gw_status gw_store_save(gw_store *store, gw_arena *arena, const gw_store_change *c,
                        gw_store_job *out, gw_err *err)
{
    return change(save_job, &(change_call){store, arena, c, err}, out);
}

gw_status gw_store_restore(gw_store *store, gw_arena *arena, const gw_store_change *c,
                           gw_store_job *out, gw_err *err)
{
    return change(restore_job, &(change_call){store, arena, c, err}, out);
}

gw_status gw_store_copy(gw_store *store, gw_arena *arena, const gw_store_change *c,
                        gw_store_job *out, gw_err *err)
{
    return change(copy_job, &(change_call){store, arena, c, err}, out);
}

gw_status gw_store_hide(gw_store *store, gw_arena *arena, const gw_store_change *c,
                        gw_store_job *out, gw_err *err)
{
    return change(hide_job, &(change_call){store, arena, c, err}, out);
}

// ---------------------------------------------------------------- reading

gw_status gw_store_get_job(gw_store *store, gw_arena *arena, int64_t id, gw_store_job *out,
                           gw_err *err)
{
    gw_store_priv_lock(store);
    const gw_status st = get_job(store, arena, id, out, err);
    gw_store_priv_unlock(store);
    return st;
}

gw_status gw_store_get_revision(gw_store *store, gw_arena *arena, gw_store_place place,
                                gw_store_revision *out, gw_err *err)
{
    gw_store_priv_lock(store);
    const gw_status st = get_revision(store, arena, place, out, err);
    gw_store_priv_unlock(store);
    return st;
}

// items[0 .. count], with room for one more.
static void *grow(gw_store_priv_query *q, gw_arena *arena, void *items, size_t count, size_t size)
{
    const bool is_full = count == 0 || (count >= FIRST_ROWS && (count & (count - 1)) == 0);
    if (!is_full) {
        return items;
    }
    void *const larger = gw_arena_alloc(arena, count == 0 ? FIRST_ROWS : 2 * count, size);
    if (larger == NULL) {
        q->status = gw_fail(q->err, GW_ERR_NOMEM, "", "out of memory reading the store");
    } else if (count > 0) {
        memcpy(larger, items, count * size);
    }
    return larger;
}

gw_status gw_store_find_jobs(gw_store *store, gw_arena *arena, const gw_store_query *query,
                             gw_store_jobs *out, gw_err *err)
{
    const gw_store_priv_value values[] = {
        gw_store_priv_of_whole(query->hidden ? 1 : 0),
        gw_store_priv_of_text(query->search != NULL ? query->search : ""),
        gw_store_priv_of_text(query->text),
        gw_store_priv_of_whole((int64_t)query->most + 1),
    };
    gw_store_job *items = NULL;
    size_t count = 0;
    gw_store_priv_lock(store);
    gw_store_priv_query q;
    gw_store_priv_ask(
        &q, store,
        &(gw_store_priv_ask_for){
            "SELECT " JOB_COLUMNS " FROM jobs WHERE hidden = ?1 "
            "AND (?2 = '' OR instr(lower(name), lower(?2)) > 0) "
            "AND (?3 IS NULL OR EXISTS (SELECT 1 FROM revisions AS r WHERE r.job = jobs.id "
            "AND r.revision = jobs.revision AND r.text = ?3)) "
            "ORDER BY saved_unix_s DESC, id DESC LIMIT ?4",
            values, 4},
        err);
    while (gw_store_priv_next(&q)) {
        items = grow(&q, arena, items, count, sizeof *items);
        if (items == NULL || read_job(&q, arena, &items[count]) != GW_OK) {
            break;
        }
        count++;
    }
    const gw_status st = gw_store_priv_end(&q);
    gw_store_priv_unlock(store);
    *out = (gw_store_jobs){.items = items,
                           .count = count > query->most ? query->most : count,
                           .more = count > query->most};
    return st;
}

gw_status gw_store_get_revisions(gw_store *store, gw_arena *arena, int64_t id,
                                 gw_store_revisions *out, gw_err *err)
{
    const gw_store_priv_value values[] = {gw_store_priv_of_whole(id)};
    gw_store_revision *items = NULL;
    size_t count = 0;
    gw_store_priv_lock(store);
    gw_store_priv_query q;
    gw_store_priv_ask(&q, store,
                      &(gw_store_priv_ask_for){"SELECT " REVISION_COLUMNS
                                               " FROM revisions WHERE job = ?1 "
                                               "ORDER BY revision DESC",
                                               values, 1},
                      err);
    while (gw_store_priv_next(&q)) {
        items = grow(&q, arena, items, count, sizeof *items);
        if (items == NULL || read_revision(&q, arena, &items[count]) != GW_OK) {
            break;
        }
        count++;
    }
    const gw_status st = gw_store_priv_end(&q);
    gw_store_priv_unlock(store);
    *out = (gw_store_revisions){.items = items, .count = count};
    if (st == GW_OK && count == 0) { // every job has its revision 1
        return gw_fail(err, GW_ERR_KEY, "", "there is no job %lld in the store", (long long)id);
    }
    return st;
}
