// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What test_faults.py runs with the shim: changes to a store, each told on standard output once the
// store says that it is made.
//
//   store_worker work STORE FIRST COUNT CLOCK   changes FIRST … FIRST+COUNT-1, "ok N" or "no N:
//   why" store_worker list STORE                     "N" for every change that the store holds
#include "store/store.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    gw_store *store;
    gw_arena *arena;
    gw_err err;
} bench;

// Every third change is a file, every second of the others a new revision of job 1.
static gw_status make_change(bench *b, int number, int64_t clock_unix_s)
{
    gw_store_job job;
    bool replaced = false;
    const char *const name = gw_arena_printf(b->arena, "change %d", number);
    const char *const text = gw_arena_printf(b->arena, "{\"change\": %d, \"long\": \"%0*d\"}",
                                             number, number % 4 == 0 ? 9000 : 10, 7);
    const gw_store_change change = {
        .id = 1, .name = name, .text = text, .length = strlen(text), .now_unix_s = clock_unix_s};
    if (number % 3 == 0) {
        const char *const file = gw_arena_printf(b->arena, "change-%d", number);
        const gw_store_file put = {file, text, strlen(text), clock_unix_s};
        return gw_store_put_file(b->store, &put, &replaced, &b->err);
    }
    return number % 2 == 0 && number > 1 ? gw_store_save(b->store, b->arena, &change, &job, &b->err)
                                         : gw_store_add(b->store, b->arena, &change, &job, &b->err);
}

static int work(bench *b, int first, int count, int64_t clock_unix_s)
{
    for (int i = first; i < first + count; i++) {
        if (make_change(b, i, clock_unix_s + i) == GW_OK) {
            printf("ok %d\n", i);
        } else {
            printf("no %d: %s\n", i, b->err.text);
        }
        fflush(stdout);
    }
    return 0;
}

static void tell(const gw_store_revision *r)
{
    int number = 0;
    if (sscanf(r->text, "{\"change\": %d", &number) == 1) {
        printf("%d\n", number);
    }
}

static gw_status list_job(bench *b, int64_t id)
{
    gw_store_revisions all;
    gw_status st = gw_store_get_revisions(b->store, b->arena, id, &all, &b->err);
    for (size_t i = 0; st == GW_OK && i < all.count; i++) {
        gw_store_revision one;
        const gw_store_place place = {id, all.items[i].revision};
        st = gw_store_get_revision(b->store, b->arena, place, &one, &b->err);
        if (st == GW_OK) {
            tell(&one);
        }
    }
    return st;
}

static gw_status list(bench *b)
{
    gw_store_jobs jobs;
    gw_store_files files;
    gw_status st =
        gw_store_find_jobs(b->store, b->arena, &(gw_store_query){.most = 100000}, &jobs, &b->err);
    for (size_t i = 0; st == GW_OK && i < jobs.count; i++) {
        st = list_job(b, jobs.items[i].id);
    }
    if (st == GW_OK) {
        st = gw_store_get_files(b->store, b->arena, &files, &b->err);
    }
    for (size_t i = 0; st == GW_OK && i < files.count; i++) {
        gw_store_file one;
        st = gw_store_get_file(b->store, b->arena, files.items[i].name, &one, &b->err);
        if (st == GW_OK) {
            tell(&(gw_store_revision){.text = one.content});
        }
    }
    return st;
}

int main(int argc, char **argv)
{
    if (argc < 3) {
        return 2;
    }
    bench b = {.arena = gw_arena_create(0)};
    if (gw_store_open(&(gw_store_config){.path = argv[2]}, &b.store, &b.err) != GW_OK) {
        printf("not opened: %s\n", b.err.text);
        gw_arena_destroy(b.arena);
        return 3;
    }
    int result = 0;
    if (strcmp(argv[1], "work") == 0 && argc == 6) {
        result = work(&b, atoi(argv[3]), atoi(argv[4]), strtoll(argv[5], NULL, 10));
    } else if (list(&b) != GW_OK) {
        printf("not read: %s\n", b.err.text);
        result = 4;
    }
    gw_store_close(b.store);
    gw_arena_destroy(b.arena);
    return result;
}
