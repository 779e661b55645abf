// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A store in a folder of its own, made before and removed after each case.
#ifndef GW_STORE_CASE_H
#define GW_STORE_CASE_H

#include "store/store.h"

#include "harness.h"

#include <dirent.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[64];
static char path[128];
static gw_arena *arena;
static gw_err err;

static inline void open_case(void)
{
    strcpy(folder, "/tmp/gw_store_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/store.db", folder);
    arena = gw_arena_create(0);
    err = (gw_err){0};
}

static inline void close_case(void)
{
    gw_arena_destroy(arena);
    DIR *const dir = opendir(folder);
    for (struct dirent *e = dir != NULL ? readdir(dir) : NULL; e != NULL; e = readdir(dir)) {
        char file[400];
        snprintf(file, sizeof file, "%s/%s", folder, e->d_name);
        unlink(file);
    }
    closedir(dir);
    rmdir(folder);
}

#define ck_ok(call)                                                                                \
    do {                                                                                           \
        const gw_status st_ = (call);                                                              \
        ck_assert_msg(st_ == GW_OK, "%s: %s: %s", #call, gw_status_text(st_), err.text);           \
    } while (0)

static inline gw_store *open_store(void)
{
    gw_store *store = NULL;
    ck_ok(gw_store_open(&(gw_store_config){.path = path}, &store, &err));
    return store;
}

static inline gw_store_change change_of(const char *name, const char *text, int64_t now_unix_s)
{
    return (gw_store_change){
        .name = name, .text = text, .length = strlen(text), .now_unix_s = now_unix_s};
}

static inline int64_t add(gw_store *store, const char *name, const char *text, int64_t now_unix_s)
{
    gw_store_job job;
    const gw_store_change change = change_of(name, text, now_unix_s);
    ck_ok(gw_store_add(store, arena, &change, &job, &err));
    return job.id;
}

#endif
