// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The one file that knows libmicrohttpd: listening, gathering a request, sending a reply.
#include "serve/serve_priv.h"

#include <arpa/inet.h>
#include <errno.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <time.h>

enum { THREADS = 4, CONNECTIONS_MOST = 64, SILENCE_S = 20, BODY_S = 60 };
static const size_t ARENA_CAP_BYTES = (size_t)512 << 20;
static const size_t CONNECTION_BYTES = (size_t)64 << 10;

struct gw_serve {
    gw_serve_priv_state state;
    struct MHD_Daemon *daemon;
};

// One request while it comes in. Lives from its head to its reply's last byte.
typedef struct {
    gw_arena *arena;
    gw_serve_priv_request request;
    const gw_serve_priv_route *route; // NULL: a page
    char *body;
    size_t capacity;
    size_t received; // also what was thrown away
    time_t begun_s;
    bool answered; // the reply is written
    gw_serve_priv_reply reply;
} exchange;

// ---------------------------------------------------------------- sending

static const char *const FIXED_HEADERS[][2] = {
    {"Content-Security-Policy",
     "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; "
     "form-action 'self'; frame-ancestors 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    {"Referrer-Policy", "no-referrer"},
    {"Cross-Origin-Opener-Policy", "same-origin"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
};

static bool add(struct MHD_Response *response, const char *name, const char *value)
{
    return value == NULL || MHD_add_response_header(response, name, value) == MHD_YES;
}

static bool add_headers(exchange *x, const gw_serve_priv_reply *reply,
                        struct MHD_Response *response)
{
    bool ok = true;
    for (size_t i = 0; i < sizeof FIXED_HEADERS / sizeof FIXED_HEADERS[0]; i++) {
        ok = ok && add(response, FIXED_HEADERS[i][0], FIXED_HEADERS[i][1]);
    }
    const char *const etag =
        reply->etag != NULL ? gw_arena_printf(x->arena, "\"%s\"", reply->etag) : NULL;
    const char *const attach =
        reply->attach != NULL
            ? gw_arena_printf(x->arena, "attachment; filename=\"%s\"", reply->attach)
            : NULL;
    return ok &&
           add(response, "Content-Type",
               reply->type != NULL ? reply->type : "application/json; charset=utf-8") &&
           add(response, "Cache-Control", reply->may_be_kept ? "no-cache" : "no-store") &&
           add(response, "ETag", etag) && add(response, "Location", reply->location) &&
           add(response, "Content-Disposition", attach) && add(response, "Allow", reply->allow);
}

static bool is_known(const exchange *x, const gw_serve_priv_reply *reply)
{
    const char *const known = x->request.heads.if_none_match;
    char mark[64];
    const bool only_reads =
        strcmp(x->request.method, "GET") == 0 || strcmp(x->request.method, "HEAD") == 0;
    if (!only_reads || known == NULL || reply->etag == NULL || reply->status != 200) {
        return false;
    }
    snprintf(mark, sizeof mark, "\"%s\"", reply->etag);
    return strcmp(known, mark) == 0;
}

static const char TROUBLE[] =
    "{\"errors\": [{\"path\": \"\", \"line\": 0, \"column\": 0, \"text\": \"out of memory, or a "
    "fault of this program: read again what you meant to change\"}]}\n";

static enum MHD_Result send_reply(struct MHD_Connection *connection, exchange *x)
{
    gw_serve_priv_reply *const reply = &x->reply;
    if (reply->status == 0) {
        *reply =
            (gw_serve_priv_reply){.status = 500, .text = TROUBLE, .length = sizeof TROUBLE - 1};
    }
    if (is_known(x, reply)) {
        reply->status = 304;
        reply->length = 0;
    }
    // The text outlives the reply; the library's pointer is not const and is only read.
    union {
        const void *from;
        void *to;
    } text = {.from = reply->text};
    struct MHD_Response *const response =
        MHD_create_response_from_buffer(reply->length, text.to, MHD_RESPMEM_PERSISTENT);
    if (response == NULL) {
        return MHD_NO;
    }
    enum MHD_Result result = MHD_NO;
    if (add_headers(x, reply, response)) {
        result = MHD_queue_response(connection, reply->status, response);
    }
    MHD_destroy_response(response);
    return result;
}

// ---------------------------------------------------------------- receiving

typedef struct {
    const char *name;
    const char **value;
} head_row;

typedef struct {
    gw_serve_priv_heads *heads;
    const head_row *rows;
    size_t count;
} head_reader;

static enum MHD_Result take_head(void *cls, enum MHD_ValueKind kind, const char *name,
                                 const char *value)
{
    const head_reader *const r = cls;
    (void)kind;
    for (size_t i = 0; i < r->count; i++) {
        if (strcasecmp(name, r->rows[i].name) == 0) {
            r->heads->repeated = r->heads->repeated || *r->rows[i].value != NULL;
            *r->rows[i].value = value != NULL ? value : "";
        }
    }
    return MHD_YES;
}

static void read_heads(struct MHD_Connection *connection, gw_serve_priv_heads *h)
{
    const head_row rows[] = {
        {"Host", &h->host},
        {"Origin", &h->origin},
        {"Sec-Fetch-Site", &h->fetch_site},
        {"Content-Type", &h->content_type},
        {"Content-Length", &h->content_length},
        {"Transfer-Encoding", &h->transfer_encoding},
        {"If-Match", &h->if_match},
        {"If-None-Match", &h->if_none_match},
    };
    head_reader reader = {.heads = h, .rows = rows, .count = sizeof rows / sizeof rows[0]};
    MHD_get_connection_values(connection, MHD_HEADER_KIND, take_head, &reader);
}

static time_t seconds(void)
{
    struct timespec now;
    return clock_gettime(CLOCK_MONOTONIC, &now) == 0 ? now.tv_sec : 0;
}

static exchange *open_exchange(gw_serve *server, const char *method, const char *path)
{
    gw_arena *const arena = gw_arena_create(ARENA_CAP_BYTES);
    exchange *const x = arena != NULL ? gw_arena_alloc(arena, 1, sizeof *x) : NULL;
    if (x == NULL) {
        gw_arena_destroy(arena);
        return NULL;
    }
    x->arena = arena;
    x->begun_s = seconds();
    x->request.state = &server->state;
    x->request.arena = arena;
    x->request.method = gw_arena_strdup(arena, method);
    x->request.path = gw_arena_strdup(arena, path);
    if (x->request.method == NULL || x->request.path == NULL) {
        gw_arena_destroy(arena);
        return NULL;
    }
    return x;
}

static const char *copy_value(struct MHD_Connection *connection, gw_arena *arena, const char *key)
{
    const char *const value = MHD_lookup_connection_value(connection, MHD_GET_ARGUMENT_KIND, key);
    return value != NULL ? gw_arena_strdup(arena, value) : NULL;
}

// Everything that can be said before the body is there. False: the reply is written.
static bool read_head(struct MHD_Connection *connection, exchange *x)
{
    gw_serve_priv_request *const request = &x->request;
    read_heads(connection, &request->heads);
    request->search = copy_value(connection, x->arena, "search");
    request->hidden = copy_value(connection, x->arena, "hidden");
    if (!gw_serve_priv_guard_site(request, &x->reply)) {
        return false;
    }
    const bool only_reads =
        strcmp(request->method, "GET") == 0 || strcmp(request->method, "HEAD") == 0;
    if (only_reads && gw_serve_priv_page(request, &x->reply)) {
        return false;
    }
    x->route = gw_serve_priv_find_route(request, &x->reply);
    return x->route != NULL && gw_serve_priv_guard_body(request, x->route, &x->reply);
}

static bool make_room(exchange *x, size_t more)
{
    const size_t need = x->request.length + more + 1;
    if (need <= x->capacity) {
        return true;
    }
    size_t capacity = x->capacity > 0 ? 2 * x->capacity : CONNECTION_BYTES;
    while (capacity < need) {
        capacity *= 2;
    }
    char *const body = gw_arena_alloc(x->arena, capacity, 1);
    if (body == NULL) {
        return false;
    }
    if (x->request.length > 0) {
        memcpy(body, x->body, x->request.length);
    }
    x->body = body;
    x->capacity = capacity;
    return true;
}

// A body whose length was not told may turn out too long: it is thrown away up to twice the limit,
// so that the sender gets an answer, and cut off beyond.
static enum MHD_Result take_body(exchange *x, const char *data, size_t length)
{
    const gw_serve_config *const config = &x->request.state->config;
    x->received += length;
    if (seconds() - x->begun_s > (time_t)config->body_s ||
        x->received > 2 * (size_t)GW_SERVE_BODY_MAX) {
        return MHD_NO;
    }
    if (x->received > GW_SERVE_BODY_MAX) {
        return MHD_YES;
    }
    if (!make_room(x, length)) {
        return MHD_NO;
    }
    memcpy(x->body + x->request.length, data, length);
    x->request.length += length;
    return MHD_YES;
}

static void answer(exchange *x)
{
    if (x->received > GW_SERVE_BODY_MAX) {
        gw_serve_priv_refuse(&x->request, &x->reply, 413, "found a body of more than %d bytes",
                             GW_SERVE_BODY_MAX);
        return;
    }
    x->request.body = x->body != NULL ? x->body : "";
    x->route->run(&x->request, &x->reply);
}

static bool has_body(const gw_serve_priv_heads *h)
{
    return h->transfer_encoding != NULL ||
           (h->content_length != NULL && strcmp(h->content_length, "0") != 0);
}

static enum MHD_Result handle(void *cls, struct MHD_Connection *connection, const char *url,
                              const char *method, const char *version, const char *data,
                              size_t *length, void **context)
{
    exchange *x = *context;
    (void)version;
    if (x == NULL) {
        x = open_exchange(cls, method, url);
        *context = x;
        if (x == NULL) {
            return MHD_NO;
        }
        x->answered = !read_head(connection, x);
        // A refusal need not wait for the body; the library then ends the connection, so a request
        // without a body is answered in the next call, which keeps it open.
        return x->answered && has_body(&x->request.heads) ? send_reply(connection, x) : MHD_YES;
    }
    if (*length > 0) {
        const enum MHD_Result result = take_body(x, data, *length);
        *length = 0;
        return result;
    }
    if (!x->answered) {
        // The time an answer takes is not the client's silence: the clock is stopped, and setting
        // it again starts it anew.
        MHD_set_connection_option(connection, MHD_CONNECTION_OPTION_TIMEOUT, 0U);
        answer(x);
        MHD_set_connection_option(connection, MHD_CONNECTION_OPTION_TIMEOUT,
                                  x->request.state->config.silence_s);
    }
    return send_reply(connection, x);
}

static void finish(void *cls, struct MHD_Connection *connection, void **context,
                   enum MHD_RequestTerminationCode why)
{
    exchange *const x = *context;
    (void)cls;
    (void)connection;
    (void)why;
    if (x != NULL) {
        gw_arena_destroy(x->arena);
        *context = NULL;
    }
}

// Paths and query values are left as they were sent: what is never decoded cannot be decoded
// twice.
static size_t leave_as_sent(void *cls, struct MHD_Connection *connection, char *text)
{
    (void)cls;
    (void)connection;
    return strlen(text);
}

// ---------------------------------------------------------------- start and stop

static gw_status listen_here(gw_serve *server, gw_err *err)
{
    const gw_serve_config *const c = &server->state.config;
    struct sockaddr_in here = {.sin_family = AF_INET, .sin_port = htons((uint16_t)c->port)};
    here.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    server->state.port = c->port;
    errno = 0;
    server->daemon = MHD_start_daemon(
        MHD_USE_AUTO | MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_ITC, 0, NULL, NULL, handle, server,
        MHD_OPTION_SOCK_ADDR, &here, MHD_OPTION_THREAD_POOL_SIZE, (unsigned)THREADS,
        MHD_OPTION_CONNECTION_LIMIT, (unsigned)CONNECTIONS_MOST, MHD_OPTION_CONNECTION_TIMEOUT,
        c->silence_s, MHD_OPTION_CONNECTION_MEMORY_LIMIT, CONNECTION_BYTES,
        MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_NOTIFY_COMPLETED, finish, NULL,
        MHD_OPTION_UNESCAPE_CALLBACK, leave_as_sent, NULL, MHD_OPTION_END);
    if (server->daemon == NULL) {
        return gw_fail(err, GW_ERR_IO, "port", "127.0.0.1:%u cannot be listened on: %s%s", c->port,
                       strerror(errno),
                       errno == EADDRINUSE ? "; is it running already? Else take another --port"
                                           : "");
    }
    const union MHD_DaemonInfo *const info =
        MHD_get_daemon_info(server->daemon, MHD_DAEMON_INFO_BIND_PORT);
    if (c->port == 0 && info != NULL) {
        server->state.port = info->port;
    }
    return GW_OK;
}

static gw_status check_config(const gw_serve_config *c, gw_err *err)
{
    if (c->address != NULL && strcmp(c->address, "127.0.0.1") != 0) {
        return gw_fail(err, GW_ERR_RANGE, "address",
                       "found address %.80s, expected 127.0.0.1: there is no password and no "
                       "encryption, so nobody else may reach it",
                       c->address);
    }
    if (c->port > 65535) {
        return gw_fail(err, GW_ERR_RANGE, "port", "found port %u, expected 0 to 65535", c->port);
    }
    return GW_OK;
}

gw_status gw_serve_start(const gw_serve_config *config, gw_serve **out, gw_err *err)
{
    gw_status st = check_config(config, err);
    if (st != GW_OK) {
        return st;
    }
    gw_serve *const server = calloc(1, sizeof *server);
    if (server == NULL || pthread_mutex_init(&server->state.units_lock, NULL) != 0) {
        free(server);
        return gw_fail(err, GW_ERR_NOMEM, "", "out of memory starting the server");
    }
    gw_serve_config *const own = &server->state.config;
    *own = *config;
    own->silence_s = own->silence_s > 0 ? own->silence_s : SILENCE_S;
    own->body_s = own->body_s > 0 ? own->body_s : BODY_S;
    server->state.units = gw_units_create(err);
    st = server->state.units != NULL ? listen_here(server, err) : GW_ERR_NOMEM;
    if (st != GW_OK) {
        gw_serve_stop(server);
        return st;
    }
    *out = server;
    return GW_OK;
}

unsigned gw_serve_port(const gw_serve *server)
{
    return server->state.port;
}

void gw_serve_stop(gw_serve *server)
{
    if (server == NULL) {
        return;
    }
    if (server->daemon != NULL) {
        MHD_stop_daemon(server->daemon);
    }
    gw_units_destroy(server->state.units);
    pthread_mutex_destroy(&server->state.units_lock);
    free(server);
}
