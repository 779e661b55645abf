// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// `groundwright serve`: the page and its interface until Ctrl-C.
#include "cli/command.h"

#include "cli/files.h"
#include "serve/serve.h"

#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static int64_t now_unix_s(void)
{
    return (int64_t)time(NULL);
}

static gw_exit fail(gw_status st, const gw_err *err)
{
    fprintf(stderr, "groundwright serve: %s\n",
            err->text[0] != '\0' ? err->text : gw_status_text(st));
    switch (st) {
    case GW_ERR_NOMEM:
    case GW_ERR_CONVERGE:
        return GW_EXIT_INTERNAL;
    case GW_ERR_RANGE:
    case GW_ERR_MISSING:
        return GW_EXIT_USAGE;
    case GW_ERR_KEY:
        return GW_EXIT_INPUT;
    case GW_OK:
        return GW_EXIT_DONE;
    case GW_ERR_IO:
    case GW_ERR_SYNTAX:
    case GW_ERR_TYPE:
    case GW_ERR_UNIT:
    case GW_ERR_GEOMETRY:
    case GW_ERR_CAPACITY:
        return GW_EXIT_FILE;
    }
    return GW_EXIT_INTERNAL;
}

static gw_status open_store(gw_arena *arena, const char *path, gw_store **out, gw_err *err)
{
    gw_status st = path == NULL ? gw_store_default_path(arena, &path, err) : GW_OK;
    if (st == GW_OK) {
        st = gw_store_open(&(gw_store_config){.path = path}, out, err);
    }
    return st;
}

static gw_status import_job(gw_arena *arena, gw_store *store, const char *path, int64_t *id,
                            gw_err *err)
{
    const char *text = NULL;
    size_t length = 0;
    gw_status st = gw_file_read(arena, path, &text, &length, err);
    if (st == GW_OK) {
        const gw_serve_import what = {
            .store = store, .text = text, .length = length, .now_unix_s = now_unix_s()};
        st = gw_serve_import_job(arena, &what, id, err);
        if (st == GW_ERR_SYNTAX || st == GW_ERR_TYPE || st == GW_ERR_KEY || st == GW_ERR_RANGE) {
            const gw_err why = *err; // told with the file's name, as every other command does
            return gw_fail(err, GW_ERR_KEY, "", "%s:%d:%d: %s", path, why.line, why.column,
                           why.text);
        }
    }
    return st;
}

// The signals that end it are taken by sigwait below; the server's threads inherit the mask.
static sigset_t hold_signals(void)
{
    sigset_t ends;
    sigemptyset(&ends);
    sigaddset(&ends, SIGINT);
    sigaddset(&ends, SIGTERM);
    pthread_sigmask(SIG_BLOCK, &ends, NULL);
    return ends;
}

static gw_status serve(gw_arena *arena, gw_store *store, const gw_options *options, gw_err *err)
{
    gw_serve_config config = {.port = options->has_port ? options->port : GW_SERVE_PORT,
                              .version = GW_VERSION,
                              .store = store,
                              .now_unix_s = now_unix_s};
    gw_status st = GW_OK;
    if (options->open != NULL) {
        st = import_job(arena, store, options->open, &config.open_id, err);
    }
    const sigset_t ends = hold_signals();
    gw_serve *server = NULL;
    if (st == GW_OK) {
        st = gw_serve_start(&config, &server, err);
    }
    if (st != GW_OK) {
        return st;
    }
    printf("http://127.0.0.1:%u/\n", gw_serve_port(server));
    fprintf(stderr, "The page is there; jobs are kept in %s. Ctrl-C ends it.\n",
            gw_store_path(store));
    fflush(stdout);
    int signal = 0;
    sigwait(&ends, &signal);
    gw_serve_stop(server);
    return GW_OK;
}

gw_exit gw_cli_serve(const gw_options *options)
{
    gw_err err = {0};
    gw_store *store = NULL;
    gw_arena *const arena = gw_arena_create(0);
    gw_status st = arena != NULL ? open_store(arena, options->store, &store, &err) : GW_ERR_NOMEM;
    if (st == GW_OK) {
        st = serve(arena, store, options, &err);
    }
    gw_store_close(store);
    gw_arena_destroy(arena);
    return st == GW_OK ? GW_EXIT_DONE : fail(st, &err);
}
