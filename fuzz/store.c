// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Damaged stores: every three bytes of the input change one byte of a good file with jobs,
// revisions and a file in it. Whatever comes of it: refused in words, or opened, listed and written
// to.
#include "fuzz.h"

#include "store/store.h"

#include <string.h>
#include <unistd.h>

enum { FILE_MOST = 1 << 20 };

static char folder[] = "/dev/shm/gw_fuzz_XXXXXX";
static char path[64];
static char good[FILE_MOST];
static size_t good_length;

static void remove_file(void)
{
    static const char *const ENDINGS[] = {"", "-wal", "-shm", "-journal"};
    char file[80];
    for (size_t i = 0; i < 4; i++) {
        snprintf(file, sizeof file, "%s%s", path, ENDINGS[i]);
        unlink(file);
    }
}

static void leave(void)
{
    remove_file();
    rmdir(folder);
}

static void use(gw_store *store, gw_arena *arena)
{
    gw_err err = {0};
    gw_store_jobs jobs;
    gw_store_revisions revisions;
    gw_store_files files;
    gw_store_revision one;
    gw_store_job job;
    (void)!gw_store_find_jobs(store, arena, &(gw_store_query){.most = 20}, &jobs, &err);
    (void)!gw_store_get_revisions(store, arena, 1, &revisions, &err);
    (void)!gw_store_get_revision(store, arena, (gw_store_place){.id = 2}, &one, &err);
    (void)!gw_store_get_files(store, arena, &files, &err);
    const gw_store_change change = {.id = 1, .name = "B", .text = "{}", .length = 2};
    (void)!gw_store_save(store, arena, &change, &job, &err);
    (void)!gw_store_copy(store, arena, &change, &job, &err);
}

static void make_good(void)
{
    gw_err err = {0};
    gw_store *store = NULL;
    gw_arena *const arena = gw_arena_create(0);
    fuzz_must(gw_store_open(&(gw_store_config){.path = path}, &store, &err) == GW_OK, "%s",
              err.text);
    for (int i = 0; i < 4; i++) {
        gw_store_job job;
        const gw_store_change change = {
            .name = "A", .text = "{\"name\": \"A\"}", .length = 13, .now_unix_s = i};
        fuzz_must(gw_store_add(store, arena, &change, &job, &err) == GW_OK, "%s", err.text);
    }
    bool replaced = false;
    const gw_store_file file = {"a.csv", "x,y\n1,2\n", 8, 1};
    fuzz_must(gw_store_put_file(store, &file, &replaced, &err) == GW_OK, "%s", err.text);
    use(store, arena);
    gw_store_close(store);
    gw_arena_destroy(arena);
    FILE *const in = fopen(path, "rb");
    good_length = in != NULL ? fread(good, 1, sizeof good, in) : 0;
    fuzz_must(in != NULL && fclose(in) == 0 && good_length > 0, "no good file");
}

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    fuzz_must(mkdtemp(folder) != NULL, "no folder");
    snprintf(path, sizeof path, "%s/store.db", folder);
    make_good();
    atexit(leave);
    return 0;
}

// Three bytes of input change one byte of the file; the first of all may cut it.
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    static char bytes[FILE_MOST];
    memcpy(bytes, good, good_length);
    size_t kept = good_length;
    if (length >= 3 && data[0] == 255) {
        kept = ((size_t)data[1] << 8 | data[2]) % good_length;
    }
    for (size_t i = 0; i + 3 <= length; i += 3) {
        bytes[((size_t)data[i] << 8 | data[i + 1]) % good_length] = (char)data[i + 2];
    }
    remove_file();
    FILE *const out = fopen(path, "wb");
    fuzz_must(out != NULL && fwrite(bytes, 1, kept, out) == kept && fclose(out) == 0, "disk");
    gw_err err = {0};
    gw_store *store = NULL;
    gw_arena *const arena = gw_arena_create(FUZZ_ARENA_BYTES);
    if (gw_store_open(&(gw_store_config){.path = path}, &store, &err) == GW_OK) {
        use(store, arena);
    } else {
        fuzz_must(err.text[0] != '\0', "refused without a word");
    }
    gw_store_close(store);
    gw_arena_destroy(arena);
    return 0;
}
