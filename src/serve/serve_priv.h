// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What the files of this room share: a request and its reply as plain structs, so that only http.c
// knows the HTTP library and everything else can be read without it.
#ifndef GW_SERVE_PRIV_H
#define GW_SERVE_PRIV_H

#include "serve/serve.h"

#include "base/quantity.h"
#include "design/design.h"
#include "job/form.h"
#include "job/node.h"
#include "job/sink.h"

#include <pthread.h>
#include <stdbool.h>

// What a handler may use of the server.
typedef struct {
    gw_serve_config config;
    unsigned port;              // the one in use
    gw_units *units;            // udunits2 is not made for several threads:
    pthread_mutex_t units_lock; // held while a job is read
} gw_serve_priv_state;

typedef struct {
    const char *host;
    const char *origin;
    const char *fetch_site;
    const char *content_type;
    const char *content_length;
    const char *transfer_encoding;
    const char *if_match;
    const char *if_none_match;
    bool repeated; // one of these stood there twice
} gw_serve_priv_heads;

typedef struct {
    gw_serve_priv_state *state;
    gw_arena *arena;
    const char *method;
    const char *path; // as sent, nothing decoded
    gw_serve_priv_heads heads;
    const char *search; // query values as sent, '+' already a blank; or NULL
    const char *hidden;
    const char *body;
    size_t length;
    int64_t numbers[2]; // the '#' of the route, in order
    const char *name;   // its '*'
} gw_serve_priv_request;

// All zero: nothing came of it, which is sent as a plain 500.
typedef struct {
    unsigned status;
    const char *type; // NULL: JSON
    const char *text; // lives in the request's arena or for ever
    size_t length;
    const char *etag;     // without quotes
    const char *location; //
    const char *attach;   // file name of an attachment
    const char *allow;    //
    bool may_be_kept;     // Cache-Control: no-cache instead of no-store
} gw_serve_priv_reply;

typedef void (*gw_serve_priv_handler)(const gw_serve_priv_request *, gw_serve_priv_reply *);

typedef struct {
    const char *method;
    const char *pattern; // '#': a whole number from 1, '*': a name
    const char *takes;   // content type of the body; NULL: no body, "file": bytes
    gw_serve_priv_handler run;
} gw_serve_priv_route;

// ---- route.c: which handler?
// The route with numbers and name filled into the request; NULL after it wrote 404 or 405.
const gw_serve_priv_route *gw_serve_priv_find_route(gw_serve_priv_request *request,
                                                    gw_serve_priv_reply *reply);

// ---- guard.c: may this request be answered at all? False after it wrote the refusal.
bool gw_serve_priv_guard_site(const gw_serve_priv_request *request, gw_serve_priv_reply *reply);
bool gw_serve_priv_guard_body(const gw_serve_priv_request *request,
                              const gw_serve_priv_route *route, gw_serve_priv_reply *reply);

// ---- reply.c: replies and their parts
void gw_serve_priv_send(gw_serve_priv_reply *reply, unsigned status, gw_sink *sink);
void gw_serve_priv_refuse(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                          unsigned status, const char *fmt, ...) GW_PRINTF(4, 5);
void gw_serve_priv_refuse_err(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                              unsigned status, const gw_err *err);
// For what the store said.
void gw_serve_priv_refuse_store(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                                const gw_err *err);
void gw_serve_priv_put_errors(gw_sink *sink, const gw_err *items, size_t count);
// Bytes that are no UTF-8 (a sentence cut short) become '?'.
void gw_serve_priv_put_text(gw_sink *sink, const char *text); // NULL gives null

// ---- asset.c: what is embedded
typedef struct {
    const char *name; // path below web/dist, or file name of an example
    const char *text;
    size_t length;
} gw_serve_priv_asset;

size_t gw_serve_priv_example_count(void);
gw_serve_priv_asset gw_serve_priv_example_at(size_t index);
// Answers "/" and the files of the page; false when there is none of that path.
bool gw_serve_priv_page(const gw_serve_priv_request *request, gw_serve_priv_reply *reply);

// ---- name.c: the name that a job text gives itself
gw_status gw_serve_priv_name_of(gw_arena *arena, const char *text, size_t length, const char **name,
                                gw_err *err) GW_MUST_USE;
// The text with another name, everything else byte for byte.
typedef struct {
    const char *text;
    size_t length;
    const char *name;
} gw_serve_priv_renaming;

gw_status gw_serve_priv_rename(gw_arena *arena, const gw_serve_priv_renaming *what,
                               const char **out, gw_err *err) GW_MUST_USE;

// ---- design_api.c: a job from the body, the files it names, and refusals
gw_status gw_serve_priv_read_job(const gw_serve_priv_request *request, const gw_job **job,
                                 gw_form_report *report, gw_err *err) GW_MUST_USE;
gw_status gw_serve_priv_read_files(const gw_serve_priv_request *request, const gw_job *job,
                                   gw_design_input *input, gw_err *err) GW_MUST_USE;
void gw_serve_priv_refuse_job(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                              const gw_form_report *report);
unsigned gw_serve_priv_status_of(gw_status st);

// ---- handlers
void gw_serve_priv_post_ground(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_version(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_schema(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_starter(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_examples(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_example(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_lists(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_list(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_post_design(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_post_verify(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_jobs(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_post_jobs(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_job(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_put_job(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_delete_job(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_revisions(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_revision(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_post_restore(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_post_copy(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_export(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_files(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_put_file(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_get_file(const gw_serve_priv_request *, gw_serve_priv_reply *);
void gw_serve_priv_delete_file(const gw_serve_priv_request *, gw_serve_priv_reply *);

#endif
