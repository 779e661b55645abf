// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The user's data folder, by the XDG base directory specification.
#include "store/store.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static const char *folder(gw_arena *arena)
{
    const char *const data = getenv("XDG_DATA_HOME");
    const char *const home = getenv("HOME");
    if (data != NULL && data[0] == '/') { // a relative one is to be ignored, says the specification
        return gw_arena_printf(arena, "%s/groundwright", data);
    }
    if (home != NULL && home[0] == '/') {
        return gw_arena_printf(arena, "%s/.local/share/groundwright", home);
    }
    return NULL;
}

// Every folder of the path that is not there yet, for its owner only.
static gw_status make_folders(char *path, gw_err *err)
{
    for (char *s = path + 1;; s++) {
        if (*s != '/' && *s != '\0') {
            continue;
        }
        const char kept = *s;
        *s = '\0';
        const int failed = mkdir(path, 0700) != 0 && errno != EEXIST;
        if (failed) {
            return gw_fail(err, GW_ERR_IO, "", "the folder %s cannot be made: %s", path,
                           strerror(errno));
        }
        *s = kept;
        if (kept == '\0') {
            return GW_OK;
        }
    }
}

gw_status gw_store_default_path(gw_arena *arena, const char **out, gw_err *err)
{
    const char *const found = folder(arena);
    if (found == NULL) {
        return gw_fail(err, GW_ERR_MISSING, "",
                       "neither XDG_DATA_HOME nor HOME names a folder: say where the store is "
                       "with --store FILE");
    }
    char *const path = gw_arena_strdup(arena, found);
    if (path == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "", "out of memory");
    }
    const gw_status st = make_folders(path, err);
    *out = st == GW_OK ? gw_arena_printf(arena, "%s/store.db", path) : NULL;
    return st == GW_OK && *out == NULL ? gw_fail(err, GW_ERR_NOMEM, "", "out of memory") : st;
}
