// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "cli/files.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const size_t MOST_BYTES = (size_t)64 << 20;

static gw_status fail_io(gw_err *err, const char *path, const char *what)
{
    return gw_fail(err, GW_ERR_IO, NULL, "%s %s: %s", path, what, strerror(errno));
}

static gw_status read_open(gw_arena *arena, FILE *file, const char *path, const char **text,
                           size_t *length, gw_err *err)
{
    size_t size = (size_t)1 << 16;
    size_t used = 0;
    char *data = gw_arena_alloc(arena, size + 1, 1);
    while (data != NULL) {
        used += fread(data + used, 1, size - used, file);
        if (used < size) {
            break;
        }
        if (size >= MOST_BYTES) {
            return gw_fail(err, GW_ERR_IO, NULL, "%s is larger than %zu MiB", path,
                           MOST_BYTES >> 20);
        }
        char *const larger = gw_arena_alloc(arena, 2 * size + 1, 1);
        if (larger != NULL) {
            memcpy(larger, data, used);
        }
        data = larger;
        size *= 2;
    }
    if (data == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, path, "out of memory reading %s", path);
    }
    if (ferror(file)) {
        return fail_io(err, path, "cannot be read");
    }
    *text = data;
    *length = used;
    return GW_OK;
}

gw_status gw_file_read(gw_arena *arena, const char *path, const char **text, size_t *length,
                       gw_err *err)
{
    struct stat info;
    if (stat(path, &info) != 0) {
        return fail_io(err, path, "cannot be opened");
    }
    if (S_ISDIR(info.st_mode)) {
        return gw_fail(err, GW_ERR_IO, NULL, "%s is a folder, expected a file", path);
    }
    FILE *const file = fopen(path, "rb");
    if (file == NULL) {
        return fail_io(err, path, "cannot be opened");
    }
    const gw_status st = read_open(arena, file, path, text, length, err);
    fclose(file);
    return st;
}

typedef struct {
    const char *data;
    size_t length;
} bytes;

static gw_status write_all(FILE *file, const char *path, bytes text, gw_err *err)
{
    if (fwrite(text.data, 1, text.length, file) != text.length || fflush(file) != 0) {
        return fail_io(err, path, "cannot be written");
    }
    return GW_OK;
}

gw_status gw_file_write(const char *path, const char *text, gw_err *err)
{
    return gw_file_write_bytes(path, text, strlen(text), err);
}

gw_status gw_folder_make(const char *path, gw_err *err)
{
    struct stat info;
    if (mkdir(path, 0777) == 0 || (stat(path, &info) == 0 && S_ISDIR(info.st_mode))) {
        return GW_OK;
    }
    return fail_io(err, path, "cannot be made");
}

gw_status gw_file_write_bytes(const char *path, const char *data, size_t length, gw_err *err)
{
    const bytes text = {data, length};
    if (path == NULL) {
        return write_all(stdout, "standard output", text, err);
    }
    const size_t size = strlen(path) + 8;
    char *const beside = malloc(size);
    if (beside == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, path, "out of memory writing %s", path);
    }
    snprintf(beside, size, "%s.part", path);
    FILE *const file = fopen(beside, "wb");
    gw_status st = file != NULL ? GW_OK : fail_io(err, path, "cannot be written");
    if (file != NULL) {
        st = write_all(file, path, text, err);
        if (st == GW_OK && fsync(fileno(file)) != 0) {
            st = fail_io(err, path, "cannot be written");
        }
        if (fclose(file) != 0 && st == GW_OK) {
            st = fail_io(err, path, "cannot be written");
        }
        if (st == GW_OK && rename(beside, path) != 0) {
            st = fail_io(err, path, "cannot be written");
        }
        if (st != GW_OK) {
            unlink(beside);
        }
    }
    free(beside);
    return st;
}
