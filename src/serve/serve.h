// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The HTTP interface and the page, on the IPv4 loopback address only. docs/api.md is the contract.
//
// It opens no file of the machine: the page, the examples and the tables are embedded, jobs and
// the files they name are in the store. Every request stands alone, with an arena of its own. A few
// threads answer; no callback sleeps. What it refuses and why is in docs/threat-model.md.
//
//   const gw_serve_config config = {.version = "0.1.0", .store = store, .now_unix_s = now};
//   gw_serve *server;
//   st = gw_serve_start(&config, &server, &err);
//   printf("http://127.0.0.1:%u/\n", gw_serve_port(server));
//   …
//   gw_serve_stop(server);
#ifndef GW_SERVE_H
#define GW_SERVE_H

#include "base/arena.h"
#include "base/err.h"
#include "store/store.h"

#include <stdint.h>

typedef struct gw_serve gw_serve;

typedef struct {
    const char *address;         // NULL or "127.0.0.1"; any other is refused
    unsigned port;               // 0: any free one
    const char *version;         // of the program
    gw_store *store;             // borrowed; outlives the server
    int64_t (*now_unix_s)(void); // the clock
    int64_t open_id;             // job that the page shows first; 0: none
    unsigned silence_s;          // a connection silent for so long is closed; 0: 20 s
    unsigned body_s;             // a body not complete after so long is dropped; 0: 60 s
} gw_serve_config;

enum { GW_SERVE_PORT = 8732, GW_SERVE_BODY_MAX = 8 * 1024 * 1024 };

// Errors: GW_ERR_RANGE (address, port), GW_ERR_IO (the port is taken), GW_ERR_NOMEM.
gw_status gw_serve_start(const gw_serve_config *config, gw_serve **out, gw_err *err) GW_MUST_USE;
unsigned gw_serve_port(const gw_serve *server);
void gw_serve_stop(gw_serve *server); // waits for requests under way; NULL is fine

// Puts a job text into the store under the name it gives itself, unless the latest revision of a
// job is that very text already. Errors: GW_ERR_SYNTAX … (no JSON object), those of the store.
typedef struct {
    gw_store *store;
    const char *text;
    size_t length;
    int64_t now_unix_s;
} gw_serve_import;

gw_status gw_serve_import_job(gw_arena *arena, const gw_serve_import *what, int64_t *id,
                              gw_err *err) GW_MUST_USE;

#endif
