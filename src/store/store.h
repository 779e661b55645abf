// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Where jobs are kept: one SQLite file of jobs, their revisions, and the files that jobs name.
//
// It knows no job document: a job is a text with a name. Each save adds a revision; none is ever
// changed or removed, and deleting a job only hides it. It reads no clock: the caller says the
// time. When a change returns GW_OK it is on the disk (write-ahead log, synchronous = FULL).
//
// An older file is brought up to date by migrations, after a copy was put beside it
// ("store.db.version-1.backup"). A damaged file, a file of another program, or one written by a
// newer version is refused and left as it is.
//
// A store may be used by several threads, and several processes may have the same file open.
//
//   gw_store *store;
//   st = gw_store_open(&(gw_store_config){.path = "jobs.db"}, &store, &err);
//   const gw_store_change change = {.name = "Barn", .text = text, .length = n, .now_unix_s = now};
//   gw_store_job job;
//   st = gw_store_add(store, arena, &change, &job, &err);
//   gw_store_close(store);
//
// Errors of every function, beside those named: GW_ERR_IO (cannot be written or read: disk full,
// read-only, in use; a change has then not happened), GW_ERR_SYNTAX (the file is damaged),
// GW_ERR_NOMEM.
#ifndef GW_STORE_H
#define GW_STORE_H

#include "base/arena.h"
#include "base/err.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct gw_store gw_store;

typedef struct {
    const char *path; // of the SQLite file; made when it is not there, readable by its owner only
    bool read_only;   // must be there, and up to date
} gw_store_config;

// Errors: GW_ERR_SYNTAX (damaged), GW_ERR_TYPE (file of another program, or of a newer version).
gw_status gw_store_open(const gw_store_config *config, gw_store **out, gw_err *err) GW_MUST_USE;
void gw_store_close(gw_store *store); // NULL is fine

bool gw_store_is_read_only(const gw_store *store);
const char *gw_store_path(const gw_store *store);

// $XDG_DATA_HOME/groundwright/store.db, else ~/.local/share/groundwright/store.db; makes the
// folders. Errors: GW_ERR_MISSING (neither variable is set), GW_ERR_IO.
gw_status gw_store_default_path(gw_arena *arena, const char **out, gw_err *err) GW_MUST_USE;

// ---- jobs ---------------------------------------------------------------------------------------

typedef struct {
    int64_t id; // from 1
    const char *name;
    int64_t revision; // the latest, from 1
    int64_t created_unix_s;
    int64_t saved_unix_s;
    bool hidden;
} gw_store_job;

// What a change needs of this; the rest is left zero.
typedef struct {
    int64_t id;         // of the job; not for add
    int64_t revision;   // save: the one the edit began from, 0 = any. restore: the one wanted
    const char *name;   // 1 to 200 bytes
    const char *note;   // of the revision, or NULL
    const char *text;   //
    size_t length;      // at most GW_STORE_TEXT_MAX
    int64_t now_unix_s; //
} gw_store_change;

enum { GW_STORE_TEXT_MAX = 4 * 1024 * 1024, GW_STORE_FILE_MAX = 8 * 1024 * 1024 };

// A new job with its revision 1.
gw_status gw_store_add(gw_store *store, gw_arena *arena, const gw_store_change *change,
                       gw_store_job *out, gw_err *err) GW_MUST_USE;

// A new revision; none when text and name equal the latest. Errors: GW_ERR_KEY (no such job),
// GW_ERR_RANGE with field "revision" (`change->revision` is not the latest: somebody saved in
// between; *out is the job as it is).
gw_status gw_store_save(gw_store *store, gw_arena *arena, const gw_store_change *change,
                        gw_store_job *out, gw_err *err) GW_MUST_USE;

// The text of an earlier revision as the new latest one; shows the job again if it was hidden.
// `change->revision` 0: only that. Errors: GW_ERR_KEY.
gw_status gw_store_restore(gw_store *store, gw_arena *arena, const gw_store_change *change,
                           gw_store_job *out, gw_err *err) GW_MUST_USE;

// A new job from the latest revision of another; name and text replace those of it when not NULL.
// Errors: GW_ERR_KEY.
gw_status gw_store_copy(gw_store *store, gw_arena *arena, const gw_store_change *change,
                        gw_store_job *out, gw_err *err) GW_MUST_USE;

// Takes the job out of the lists. Errors: GW_ERR_KEY.
gw_status gw_store_hide(gw_store *store, gw_arena *arena, const gw_store_change *change,
                        gw_store_job *out, gw_err *err) GW_MUST_USE;

// Errors: GW_ERR_KEY.
gw_status gw_store_get_job(gw_store *store, gw_arena *arena, int64_t id, gw_store_job *out,
                           gw_err *err) GW_MUST_USE;

typedef struct {
    const char *search; // part of the name, case of A to Z ignored; NULL or "": every job
    const char *text;   // only jobs whose latest text is this; NULL: every job
    bool hidden;        // the hidden ones instead of the others
    size_t most;        // rows at most
} gw_store_query;

typedef struct {
    const gw_store_job *items; // last saved first
    size_t count;
    bool more; // than `most`
} gw_store_jobs;

gw_status gw_store_find_jobs(gw_store *store, gw_arena *arena, const gw_store_query *query,
                             gw_store_jobs *out, gw_err *err) GW_MUST_USE;

// ---- revisions ----------------------------------------------------------------------------------

typedef struct {
    int64_t revision;
    int64_t saved_unix_s;
    const char *name;
    const char *note; // or NULL
    const char *text; // NUL-terminated; NULL in a list
    size_t length;
} gw_store_revision;

typedef struct {
    const gw_store_revision *items; // latest first
    size_t count;
} gw_store_revisions;

typedef struct {
    int64_t id;
    int64_t revision; // 0: the latest
} gw_store_place;

// Errors: GW_ERR_KEY.
gw_status gw_store_get_revision(gw_store *store, gw_arena *arena, gw_store_place place,
                                gw_store_revision *out, gw_err *err) GW_MUST_USE;
gw_status gw_store_get_revisions(gw_store *store, gw_arena *arena, int64_t id,
                                 gw_store_revisions *out, gw_err *err) GW_MUST_USE;

// ---- files that jobs name -----------------------------------------------------------------------

typedef struct {
    const char *name;     // 1 to 80 of A-Z a-z 0-9 . _ -, no dot at the front
    const char *content;  // NUL-terminated; NULL in a list
    size_t length;        // at most GW_STORE_FILE_MAX
    int64_t saved_unix_s; //
} gw_store_file;

typedef struct {
    const gw_store_file *items; // in order of name
    size_t count;
} gw_store_files;

bool gw_store_is_file_name(const char *name);

// Puts a file in, or in the place of the one of that name. Errors: GW_ERR_RANGE (name, length).
gw_status gw_store_put_file(gw_store *store, const gw_store_file *file, bool *replaced,
                            gw_err *err) GW_MUST_USE;

// Errors: GW_ERR_KEY.
gw_status gw_store_get_file(gw_store *store, gw_arena *arena, const char *name, gw_store_file *out,
                            gw_err *err) GW_MUST_USE;
gw_status gw_store_remove_file(gw_store *store, const char *name, gw_err *err) GW_MUST_USE;

gw_status gw_store_get_files(gw_store *store, gw_arena *arena, gw_store_files *out,
                             gw_err *err) GW_MUST_USE;

#endif
