// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Requests through guard, table of paths and handlers, as src/serve/http.c hands them on once they
// are taken apart: "METHOD PATH\nName: value\n…\n\nbody". Several requests of one input are parted
// by a line
// "%%". A change from elsewhere never happens, and no answer is without a status.
#include "fuzz.h"

#include "serve/serve_priv.h"

#include <pthread.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

enum { PORT = 8732, CLOCK_UNIX_S = 1790000000, FRESH_AFTER = 2000, REQUESTS_MOST = 8 };

static gw_serve_priv_state state;
static char folder[] = "/dev/shm/gw_fuzz_XXXXXX";
static char store_path[64];
static unsigned runs;

static int64_t fixed_clock(void)
{
    return CLOCK_UNIX_S;
}

static void remove_store(void)
{
    static const char *const ENDINGS[] = {"", "-wal", "-shm"};
    char file[80];
    gw_store_close(state.config.store);
    for (size_t i = 0; i < 3; i++) {
        snprintf(file, sizeof file, "%s%s", store_path, ENDINGS[i]);
        unlink(file);
    }
}

static void leave(void)
{
    remove_store();
    rmdir(folder);
    gw_units_destroy(state.units);
}

static void open_fresh_store(void)
{
    gw_err err = {0};
    fuzz_must(gw_store_open(&(gw_store_config){.path = store_path}, &state.config.store, &err) ==
                  GW_OK,
              "%s", err.text);
    gw_arena *const arena = gw_arena_create(0);
    gw_store_job job;
    const gw_store_change one = {.name = "A", .text = "{\"name\": \"A\"}", .length = 13};
    fuzz_must(gw_store_add(state.config.store, arena, &one, &job, &err) == GW_OK, "%s", err.text);
    gw_arena_destroy(arena);
}

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    gw_err err = {0};
    fuzz_must(mkdtemp(folder) != NULL, "no folder");
    snprintf(store_path, sizeof store_path, "%s/store.db", folder);
    state.config = (gw_serve_config){.version = "1", .now_unix_s = fixed_clock};
    state.port = PORT;
    state.units = gw_units_create(&err);
    fuzz_must(state.units != NULL && pthread_mutex_init(&state.units_lock, NULL) == 0, "%s",
              err.text);
    open_fresh_store();
    atexit(leave);
    return 0;
}

// ---------------------------------------------------------------- taking apart

static char *cut(char **at, const char *mark)
{
    char *const from = *at;
    char *const found = from != NULL ? strstr(from, mark) : NULL;
    *at = NULL;
    if (found != NULL) {
        *found = '\0';
        *at = found + strlen(mark);
    }
    return from;
}

static void take_head(gw_serve_priv_heads *h, char *line)
{
    const struct {
        const char *name;
        const char **value;
    } rows[] = {
        {"Host", &h->host},
        {"Origin", &h->origin},
        {"Sec-Fetch-Site", &h->fetch_site},
        {"Content-Type", &h->content_type},
        {"Content-Length", &h->content_length},
        {"Transfer-Encoding", &h->transfer_encoding},
        {"If-Match", &h->if_match},
        {"If-None-Match", &h->if_none_match},
    };
    char *value = line;
    const char *const name = cut(&value, ": ");
    for (size_t i = 0; value != NULL && i < sizeof rows / sizeof rows[0]; i++) {
        if (strcasecmp(name, rows[i].name) == 0) {
            h->repeated = h->repeated || *rows[i].value != NULL;
            *rows[i].value = value;
        }
    }
}

static gw_serve_priv_request take_apart(gw_arena *arena, char *text)
{
    gw_serve_priv_request r = {.state = &state, .arena = arena};
    char *body = text;
    char *heads = cut(&body, "\n\n");
    char *first = cut(&heads, "\n");
    r.method = cut(&first, " ");
    r.path = first != NULL ? first : "";
    char *query = first;
    if (cut(&query, "?") != NULL && query != NULL) {
        r.search = query;
        r.hidden = strstr(query, "hidden=1") != NULL ? "1" : NULL;
    }
    while (heads != NULL) {
        take_head(&r.heads, cut(&heads, "\n"));
    }
    r.body = body != NULL ? body : "";
    r.length = strlen(r.body);
    return r;
}

// ---------------------------------------------------------------- answering

static bool is_ours(const char *origin)
{
    return origin != NULL && (strcmp(origin, "http://127.0.0.1:8732") == 0 ||
                              strcmp(origin, "http://localhost:8732") == 0);
}

// As read_head and answer of http.c.
static void answer(gw_serve_priv_request *r, gw_serve_priv_reply *reply)
{
    const bool only_reads = strcmp(r->method, "GET") == 0 || strcmp(r->method, "HEAD") == 0;
    if (!gw_serve_priv_guard_site(r, reply) || (only_reads && gw_serve_priv_page(r, reply))) {
        return;
    }
    const gw_serve_priv_route *const route = gw_serve_priv_find_route(r, reply);
    if (route == NULL || !gw_serve_priv_guard_body(r, route, reply)) {
        return;
    }
    fuzz_must(only_reads || is_ours(r->heads.origin), "a change from %s", r->heads.origin);
    fuzz_must(r->heads.host != NULL && strstr(r->heads.host, ":8732") != NULL, "a host");
    route->run(r, reply);
}

static void try_one(char *text)
{
    gw_arena *const arena = gw_arena_create(FUZZ_ARENA_BYTES);
    gw_serve_priv_request r = take_apart(arena, text);
    gw_serve_priv_reply reply = {0};
    answer(&r, &reply);
    fuzz_must(reply.status >= 200 && reply.status < 600, "%s %s: status %u", r.method, r.path,
              reply.status);
    fuzz_must(reply.status < 500, "%s %s: status %u: %.300s", r.method, r.path, reply.status,
              reply.text);
    fuzz_must(reply.text != NULL, "no text");
    if (reply.status >= 400) {
        fuzz_must(strncmp(reply.text, "{\"errors\": [", 12) == 0, "%.100s", reply.text);
        fuzz_must(strlen(reply.text) == reply.length, "%zu bytes told", reply.length);
    }
    gw_arena_destroy(arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    if (++runs % FRESH_AFTER == 0) {
        remove_store();
        open_fresh_store();
    }
    char *const text = malloc(length + 1);
    if (text == NULL) {
        return 0;
    }
    memcpy(text, data, length);
    text[length] = '\0';
    char *rest = text;
    for (int i = 0; i < REQUESTS_MOST && rest != NULL; i++) {
        try_one(cut(&rest, "\n%%\n"));
    }
    free(text);
    return 0;
}
