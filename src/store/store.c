// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The one file that knows SQLite: opening, statements, transactions, migrations.
#include "store/store.h"

#include "store/store_priv.h"

#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

// "gwst", so that a file of another program is told from ours.
enum { APPLICATION_ID = 0x67777374, BUSY_MS = 3000, BACKUPS_MOST = 99 };

struct gw_store {
    sqlite3 *db;
    char *path;
    bool read_only;
    pthread_mutex_t lock; // SQLite's own lock would let two changes run into one transaction
};

// ---------------------------------------------------------------- errors

static gw_status fail_sqlite(gw_store *store, int code, gw_err *err)
{
    const char *const path = store->path;
    switch (code & 0xFF) {
    case SQLITE_NOMEM:
        return gw_fail(err, GW_ERR_NOMEM, "", "out of memory in the store");
    case SQLITE_FULL:
        return gw_fail(err, GW_ERR_IO, "",
                       "the disk of %s is full: nothing was saved, what was saved before stands",
                       path);
    case SQLITE_READONLY:
    case SQLITE_PERM:
        return gw_fail(err, GW_ERR_IO, "", "%s may only be read: nothing was saved", path);
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return gw_fail(err, GW_ERR_IO, "", "another program holds %s: nothing was saved, try again",
                       path);
    case SQLITE_NOTADB:
    case SQLITE_CORRUPT:
        return gw_fail(err, GW_ERR_SYNTAX, "",
                       "%s is damaged or no store at all (%s): it was left as it is; put a backup "
                       "in its place, or name another with --store FILE",
                       path, sqlite3_errstr(code));
    default: // a foreign list of codes: the rest has its own words
        return gw_fail(err, GW_ERR_IO, "", "the store %s: %s", path, sqlite3_errmsg(store->db));
    }
}

// ---------------------------------------------------------------- statements

gw_store_priv_value gw_store_priv_of_whole(int64_t value)
{
    return (gw_store_priv_value){.type = GW_STORE_VALUE_WHOLE, .whole = value};
}

gw_store_priv_value gw_store_priv_of_text(const char *text)
{
    return text == NULL ? (gw_store_priv_value){.type = GW_STORE_VALUE_NULL}
                        : gw_store_priv_of_span(text, strlen(text));
}

gw_store_priv_value gw_store_priv_of_span(const char *text, size_t length)
{
    return (gw_store_priv_value){.type = GW_STORE_VALUE_TEXT, .bytes = text, .length = length};
}

gw_store_priv_value gw_store_priv_of_bytes(const char *bytes, size_t length)
{
    return (gw_store_priv_value){.type = GW_STORE_VALUE_BYTES, .bytes = bytes, .length = length};
}

// The values outlive the statement: callers end it before they return.
static int bind(sqlite3_stmt *statement, int place, const gw_store_priv_value *v)
{
    switch (v->type) {
    case GW_STORE_VALUE_NULL:
        return sqlite3_bind_null(statement, place);
    case GW_STORE_VALUE_WHOLE:
        return sqlite3_bind_int64(statement, place, v->whole);
    case GW_STORE_VALUE_TEXT:
        return sqlite3_bind_text64(statement, place, v->bytes, v->length, SQLITE_STATIC,
                                   SQLITE_UTF8);
    case GW_STORE_VALUE_BYTES:
        return v->length == 0
                   ? sqlite3_bind_zeroblob(statement, place, 0)
                   : sqlite3_bind_blob64(statement, place, v->bytes, v->length, SQLITE_STATIC);
    }
    return SQLITE_MISUSE;
}

void gw_store_priv_ask(gw_store_priv_query *q, gw_store *store, const gw_store_priv_ask_for *what,
                       gw_err *err)
{
    *q = (gw_store_priv_query){.store = store, .err = err};
    sqlite3_stmt *statement = NULL;
    int code = sqlite3_prepare_v2(store->db, what->sql, -1, &statement, NULL);
    for (size_t i = 0; code == SQLITE_OK && i < what->count; i++) {
        code = bind(statement, (int)i + 1, &what->values[i]);
    }
    q->statement = statement;
    if (code != SQLITE_OK) {
        q->status = fail_sqlite(store, code, err);
    }
}

bool gw_store_priv_next(gw_store_priv_query *q)
{
    if (q->status != GW_OK) {
        return false;
    }
    const int code = sqlite3_step(q->statement);
    if (code != SQLITE_ROW && code != SQLITE_DONE) {
        q->status = fail_sqlite(q->store, code, q->err);
    }
    return code == SQLITE_ROW;
}

int64_t gw_store_priv_whole(gw_store_priv_query *q, int column)
{
    return sqlite3_column_int64(q->statement, column);
}

const char *gw_store_priv_text(gw_store_priv_query *q, int column, gw_arena *arena, size_t *length)
{
    if (sqlite3_column_type(q->statement, column) == SQLITE_NULL) {
        return NULL;
    }
    const void *const bytes = sqlite3_column_blob(q->statement, column);
    const size_t count = (size_t)sqlite3_column_bytes(q->statement, column);
    char *const copy = gw_arena_alloc(arena, count + 1, 1);
    if (copy == NULL || (bytes == NULL && count > 0)) {
        q->status = gw_fail(q->err, GW_ERR_NOMEM, "", "out of memory reading the store");
        return NULL;
    }
    if (count > 0) {
        memcpy(copy, bytes, count);
    }
    if (length != NULL) {
        *length = count;
    }
    return copy;
}

gw_status gw_store_priv_end(gw_store_priv_query *q)
{
    sqlite3_finalize(q->statement);
    q->statement = NULL;
    return q->status;
}

gw_status gw_store_priv_run(gw_store *store, const gw_store_priv_ask_for *what, int64_t *changed,
                            gw_err *err)
{
    gw_store_priv_query q;
    gw_store_priv_ask(&q, store, what, err);
    while (gw_store_priv_next(&q)) {
        // A pragma may answer with rows; nobody asked for them.
    }
    const gw_status st = gw_store_priv_end(&q);
    if (st == GW_OK && changed != NULL) {
        *changed = sqlite3_changes64(store->db);
    }
    return st;
}

int64_t gw_store_priv_last_id(gw_store *store)
{
    return sqlite3_last_insert_rowid(store->db);
}

static gw_status run(gw_store *store, const char *sql, gw_err *err)
{
    return gw_store_priv_run(store, &(gw_store_priv_ask_for){.sql = sql}, NULL, err);
}

static gw_status read_whole(gw_store *store, const char *sql, int64_t *out, gw_err *err)
{
    gw_store_priv_query q;
    gw_store_priv_ask(&q, store, &(gw_store_priv_ask_for){.sql = sql}, err);
    *out = gw_store_priv_next(&q) ? gw_store_priv_whole(&q, 0) : 0;
    return gw_store_priv_end(&q);
}

// ---------------------------------------------------------------- transactions

void gw_store_priv_lock(gw_store *store)
{
    pthread_mutex_lock(&store->lock);
}

void gw_store_priv_unlock(gw_store *store)
{
    pthread_mutex_unlock(&store->lock);
}

gw_status gw_store_priv_begin(gw_store *store, gw_err *err)
{
    if (store->read_only) {
        return fail_sqlite(store, SQLITE_READONLY, err);
    }
    return run(store, "BEGIN IMMEDIATE", err);
}

gw_status gw_store_priv_finish(gw_store *store, gw_status st, gw_err *err)
{
    if (st == GW_OK) {
        st = run(store, "COMMIT", err);
    }
    if (st != GW_OK && sqlite3_get_autocommit(store->db) == 0) {
        (void)run(store, "ROLLBACK", NULL); // the first error is the one to tell
    }
    return st;
}

// ---------------------------------------------------------------- migrations

// A file name that is free, made here so that nobody else takes it.
static gw_status make_backup_file(const gw_store *store, int version, char *out, size_t size,
                                  gw_err *err)
{
    for (int i = 1; i <= BACKUPS_MOST; i++) {
        char number[16] = "";
        if (i > 1) {
            snprintf(number, sizeof number, "-%d", i);
        }
        snprintf(out, size, "%s.version-%d%s.backup", store->path, version, number);
        const int file = open(out, O_CREAT | O_EXCL | O_WRONLY | O_CLOEXEC, 0600);
        if (file >= 0) {
            close(file);
            return GW_OK;
        }
        if (errno != EEXIST) {
            break;
        }
    }
    return gw_fail(err, GW_ERR_IO, "",
                   "the backup %s cannot be made (%s): the store was left as it is", out,
                   strerror(errno));
}

static gw_status back_up(gw_store *store, int version, gw_err *err)
{
    const size_t size = strlen(store->path) + 64;
    char *const path = malloc(size);
    if (path == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "", "out of memory in the store");
    }
    gw_status st = make_backup_file(store, version, path, size, err);
    if (st == GW_OK) {
        sqlite3 *copy = NULL;
        int code = sqlite3_open_v2(path, &copy, SQLITE_OPEN_READWRITE, NULL);
        sqlite3_backup *const work =
            code == SQLITE_OK ? sqlite3_backup_init(copy, "main", store->db, "main") : NULL;
        if (work != NULL) {
            code = sqlite3_backup_step(work, -1);
            const int end = sqlite3_backup_finish(work);
            code = code == SQLITE_DONE ? end : code;
        } else if (code == SQLITE_OK) {
            code = sqlite3_errcode(copy);
        }
        sqlite3_close(copy);
        if (code != SQLITE_OK) {
            unlink(path);
            st = gw_fail(err, GW_ERR_IO, "",
                         "the backup %s cannot be written (%s): the store was left as it is", path,
                         sqlite3_errstr(code));
        }
    }
    free(path);
    return st;
}

static gw_status run_steps(gw_store *store, int64_t from, gw_err *err)
{
    for (int64_t i = from; i < GW_STORE_PRIV_VERSION; i++) {
        const int code = sqlite3_exec(store->db, GW_STORE_PRIV_STEPS[i], NULL, NULL, NULL);
        if (code != SQLITE_OK) {
            return fail_sqlite(store, code, err);
        }
    }
    char mark[96];
    snprintf(mark, sizeof mark, "PRAGMA user_version = %d", GW_STORE_PRIV_VERSION);
    gw_status st = run(store, mark, err);
    if (st == GW_OK) {
        snprintf(mark, sizeof mark, "PRAGMA application_id = %d", (int)APPLICATION_ID);
        st = run(store, mark, err);
    }
    return st;
}

static gw_status fail_version(const gw_store *store, int64_t version, gw_err *err)
{
    return gw_fail(err, GW_ERR_TYPE, "",
                   "%s was written by a newer version of this program (layout %lld, this one knows "
                   "up to %d): it was left as it is",
                   store->path, (long long)version, GW_STORE_PRIV_VERSION);
}

// The version is looked at again within the transaction: another process may have been faster.
static gw_status migrate(gw_store *store, int64_t version, gw_err *err)
{
    if (store->read_only) {
        return gw_fail(err, GW_ERR_TYPE, "",
                       "%s has an older layout (%lld) and cannot be brought up to date while it "
                       "may only be read",
                       store->path, (long long)version);
    }
    gw_status st = version > 0 ? back_up(store, (int)version, err) : GW_OK;
    if (st == GW_OK) {
        st = gw_store_priv_begin(store, err);
    }
    if (st != GW_OK) {
        return st;
    }
    int64_t now = version;
    st = read_whole(store, "PRAGMA user_version", &now, err);
    if (st == GW_OK && now > GW_STORE_PRIV_VERSION) {
        st = fail_version(store, now, err);
    } else if (st == GW_OK && now < GW_STORE_PRIV_VERSION) {
        st = run_steps(store, now, err);
    }
    return gw_store_priv_finish(store, st, err);
}

// ---------------------------------------------------------------- opening

// Is the file ours (or still empty), and of which version?
static gw_status look(gw_store *store, int64_t *version, gw_err *err)
{
    int64_t application = 0;
    int64_t tables = 0;
    gw_status st = read_whole(store, "PRAGMA application_id", &application, err);
    if (st == GW_OK) {
        st = read_whole(store, "SELECT count(*) FROM sqlite_schema", &tables, err);
    }
    if (st == GW_OK) {
        st = read_whole(store, "PRAGMA user_version", version, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const bool is_empty = tables == 0 && application == 0 && *version == 0;
    if (application != APPLICATION_ID && !is_empty) {
        return gw_fail(err, GW_ERR_TYPE, "",
                       "%s belongs to another program: it was left as it is; name another file "
                       "with --store FILE",
                       store->path);
    }
    if (*version > GW_STORE_PRIV_VERSION) {
        return fail_version(store, *version, err);
    }
    return *version < 0 || (*version == 0 && !is_empty)
               ? gw_fail(err, GW_ERR_SYNTAX, "", "%s is damaged: its layout has no version",
                         store->path)
               : GW_OK;
}

static gw_status check_pages(gw_store *store, gw_err *err)
{
    gw_store_priv_query q;
    gw_store_priv_ask(&q, store, &(gw_store_priv_ask_for){.sql = "PRAGMA quick_check(1)"}, err);
    if (gw_store_priv_next(&q)) {
        const char *const word = (const char *)sqlite3_column_text(q.statement, 0);
        if (word == NULL || strcmp(word, "ok") != 0) {
            q.status = fail_sqlite(store, SQLITE_CORRUPT, err);
        }
    }
    return gw_store_priv_end(&q);
}

static gw_status prepare(gw_store *store, gw_err *err)
{
    sqlite3_extended_result_codes(store->db, 1);
    sqlite3_busy_timeout(store->db, BUSY_MS);
    sqlite3_db_config(store->db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    sqlite3_db_config(store->db, SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0, NULL);
    int64_t version = 0;
    gw_status st = look(store, &version, err);
    // Before the first write: WAL with FULL writes the log to the disk at every commit.
    static const char *const SETTINGS[] = {"PRAGMA journal_mode = WAL", "PRAGMA synchronous = FULL",
                                           "PRAGMA foreign_keys = ON",
                                           "PRAGMA cell_size_check = ON"};
    for (size_t i = store->read_only ? 2 : 0; st == GW_OK && i < 4; i++) {
        st = run(store, SETTINGS[i], err);
    }
    if (st == GW_OK) {
        st = check_pages(store, err);
    }
    return st == GW_OK && version < GW_STORE_PRIV_VERSION ? migrate(store, version, err) : st;
}

// A new file is made here and not by SQLite, so that only its owner may read it.
static gw_status make_file(const gw_store *store, gw_err *err)
{
    const int flags = (store->read_only ? O_RDONLY : O_RDWR | O_CREAT) | O_CLOEXEC;
    const int file = open(store->path, flags, 0600);
    if (file < 0) {
        return gw_fail(err, GW_ERR_IO, "", "the store %s cannot be opened: %s", store->path,
                       strerror(errno));
    }
    close(file);
    return GW_OK;
}

static gw_status open_file(gw_store *store, gw_err *err)
{
    gw_status st = make_file(store, err);
    if (st != GW_OK) {
        return st;
    }
    const int mode = store->read_only ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE;
    const int code = sqlite3_open_v2(store->path, &store->db, mode | SQLITE_OPEN_FULLMUTEX, NULL);
    if (code != SQLITE_OK) {
        return fail_sqlite(store, code, err);
    }
    return prepare(store, err);
}

gw_status gw_store_open(const gw_store_config *config, gw_store **out, gw_err *err)
{
    gw_store *const store = calloc(1, sizeof *store);
    char *const path = store != NULL ? strdup(config->path) : NULL;
    if (path == NULL || pthread_mutex_init(&store->lock, NULL) != 0) {
        free(path);
        free(store);
        return gw_fail(err, GW_ERR_NOMEM, "", "out of memory opening the store");
    }
    store->path = path;
    store->read_only = config->read_only;
    const gw_status st = open_file(store, err);
    if (st != GW_OK) {
        gw_store_close(store);
        return st;
    }
    *out = store;
    return GW_OK;
}

void gw_store_close(gw_store *store)
{
    if (store == NULL) {
        return;
    }
    sqlite3_close(store->db);
    pthread_mutex_destroy(&store->lock);
    free(store->path);
    free(store);
}

bool gw_store_is_read_only(const gw_store *store)
{
    return store->read_only;
}

const char *gw_store_path(const gw_store *store)
{
    return store->path;
}
