// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A server on a free port in this process, and a client that can send anything at all.
#ifndef GW_SERVE_CLIENT_H
#define GW_SERVE_CLIENT_H

#include "serve/serve.h"

#include "harness.h"

#include <arpa/inet.h>
#include <dirent.h>
#include <netinet/in.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <unistd.h>

static char folder[64];
static gw_arena *arena;
static gw_store *store;
static gw_serve *server;
static unsigned port;
static gw_err err;
static unsigned silence_s = 20; // of the server

enum { CLOCK_UNIX_S = 1790000000, WAIT_S = 30, REPLY_MOST = 4 << 20 };

static int64_t fixed_clock(void)
{
    return CLOCK_UNIX_S;
}

#define ck_ok(call)                                                                                \
    do {                                                                                           \
        const gw_status st_ = (call);                                                              \
        ck_assert_msg(st_ == GW_OK, "%s: %s: %s", #call, gw_status_text(st_), err.text);           \
    } while (0)

static inline void open_server(void)
{
    strcpy(folder, "/tmp/gw_serve_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    arena = gw_arena_create(0);
    const char *const path = gw_arena_printf(arena, "%s/store.db", folder);
    ck_ok(gw_store_open(&(gw_store_config){.path = path}, &store, &err));
    const gw_serve_config config = {.version = "1.2.3",
                                    .store = store,
                                    .now_unix_s = fixed_clock,
                                    .silence_s = silence_s,
                                    .body_s = 2};
    ck_ok(gw_serve_start(&config, &server, &err));
    port = gw_serve_port(server);
}

static inline void close_server(void)
{
    gw_serve_stop(server);
    gw_store_close(store);
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

// ---------------------------------------------------------------- raw bytes

static inline int dial(void)
{
    const int s = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    struct sockaddr_in there = {.sin_family = AF_INET, .sin_port = htons((uint16_t)port)};
    there.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    const struct timeval wait = {.tv_sec = WAIT_S};
    setsockopt(s, SOL_SOCKET, SO_RCVTIMEO, &wait, sizeof wait);
    setsockopt(s, SOL_SOCKET, SO_SNDTIMEO, &wait, sizeof wait);
    ck_assert_int_eq(connect(s, (const struct sockaddr *)&there, sizeof there), 0);
    return s;
}

// False when the other side has hung up.
static inline bool put(int s, const char *bytes, size_t length)
{
    while (length > 0) {
        const ssize_t sent = send(s, bytes, length, MSG_NOSIGNAL);
        if (sent <= 0) {
            return false;
        }
        bytes += sent;
        length -= (size_t)sent;
    }
    return true;
}

typedef struct {
    int status; // 0: nothing came
    const char *heads;
    const char *body;
    size_t length;
} answer;

// Reads until the other side hangs up. A reply is cut at REPLY_MOST.
static inline answer hear(int s)
{
    char *const text = gw_arena_alloc(arena, REPLY_MOST + 1, 1);
    size_t length = 0;
    for (;;) {
        const ssize_t got = recv(s, text + length, REPLY_MOST - length, 0);
        if (got <= 0) {
            break;
        }
        length += (size_t)got;
    }
    close(s);
    answer a = {.heads = "", .body = ""};
    char *const gap = strstr(text, "\r\n\r\n");
    if (gap == NULL || sscanf(text, "HTTP/1.%*d %d", &a.status) != 1) {
        return a;
    }
    *gap = '\0';
    a.heads = text;
    a.body = gap + 4;
    a.length = length - (size_t)(a.body - text);
    return a;
}

static inline answer say(const char *bytes)
{
    const int s = dial();
    put(s, bytes, strlen(bytes));
    return hear(s);
}

// ---------------------------------------------------------------- requests

typedef struct {
    const char *method;
    const char *path;
    const char *host;   // NULL: the right one
    const char *origin; // NULL: the right one; "": none
    const char *type;   // NULL: application/json when there is a body
    const char *more;   // further header lines
    const char *body;
    size_t length; // 0: of the text
} request;

static inline answer ask(const request *r)
{
    const size_t length = r->body == NULL ? 0 : r->length > 0 ? r->length : strlen(r->body);
    const char *const here = gw_arena_printf(arena, "127.0.0.1:%u", port);
    const char *origin = r->origin != NULL ? r->origin : gw_arena_printf(arena, "http://%s", here);
    origin = origin[0] != '\0' ? gw_arena_printf(arena, "Origin: %s\r\n", origin) : "";
    const char *const about =
        r->body == NULL ? ""
                        : gw_arena_printf(arena, "Content-Type: %s\r\nContent-Length: %zu\r\n",
                                          r->type != NULL ? r->type : "application/json", length);
    const char *const head = gw_arena_printf(
        arena, "%s %s HTTP/1.1\r\nHost: %s\r\n%s%s%sConnection: close\r\n\r\n", r->method, r->path,
        r->host != NULL ? r->host : here, origin, about, r->more != NULL ? r->more : "");
    const int s = dial();
    put(s, head, strlen(head));
    if (r->body != NULL) {
        put(s, r->body, length);
    }
    return hear(s);
}

static inline answer get(const char *path)
{
    return ask(&(request){.method = "GET", .path = path});
}

static inline answer post(const char *path, const char *body)
{
    return ask(&(request){.method = "POST", .path = path, .body = body});
}

#define ck_status(answer_, want)                                                                   \
    do {                                                                                           \
        const answer a_ = (answer_);                                                               \
        ck_assert_msg(a_.status == (want), "%s: status %d, want %d: %.300s", #answer_, a_.status,  \
                      (want), a_.body);                                                            \
    } while (0)

#define ck_has(text, part)                                                                         \
    ck_assert_msg(strstr((text), (part)) != NULL, "no \"%s\" in: %.600s", (part), (text))

#endif
