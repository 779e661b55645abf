// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Jobs and revisions of the store. Jobs are kept as text, so any JSON object may be saved.
#include "serve/serve_priv.h"

#include <string.h>

enum { JOBS_MOST = 500 };

// ---------------------------------------------------------------- parts of a reply

static void put_head(gw_sink *sink, const gw_store_job *job)
{
    gw_sink_printf(sink, "\"id\": %lld, \"name\": ", (long long)job->id);
    gw_serve_priv_put_text(sink, job->name);
    gw_sink_printf(sink,
                   ", \"revision\": %lld, \"created_unix_s\": %lld, \"saved_unix_s\": %lld, "
                   "\"hidden\": %s",
                   (long long)job->revision, (long long)job->created_unix_s,
                   (long long)job->saved_unix_s, job->hidden ? "true" : "false");
}

static void put_revision(gw_sink *sink, const gw_store_revision *r)
{
    gw_sink_printf(sink,
                   "\"revision\": %lld, \"saved_unix_s\": %lld, \"name\": ", (long long)r->revision,
                   (long long)r->saved_unix_s);
    gw_serve_priv_put_text(sink, r->name);
    gw_sink_printf(sink, ", \"bytes\": %zu, \"note\": ", r->length);
    gw_serve_priv_put_text(sink, r->note);
}

// The text is known to be one JSON object: it goes in as it is, without a byte-order mark.
static void put_text_of_job(gw_sink *sink, const char *text)
{
    gw_sink_put(sink, ", \"job\": ");
    gw_sink_put(sink, strncmp(text, "\xEF\xBB\xBF", 3) == 0 ? text + 3 : text);
}

static const char *mark_of(const gw_serve_priv_request *request, int64_t revision)
{
    return gw_arena_printf(request->arena, "%lld", (long long)revision);
}

static void send_head(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                      unsigned status, const gw_store_job *job)
{
    gw_sink sink = {.arena = request->arena};
    gw_sink_put(&sink, "{");
    put_head(&sink, job);
    gw_sink_put(&sink, "}\n");
    reply->etag = mark_of(request, job->revision);
    if (status == 201) {
        reply->location = gw_arena_printf(request->arena, "/api/jobs/%lld", (long long)job->id);
    }
    gw_serve_priv_send(reply, status, &sink);
}

// ---------------------------------------------------------------- lists and reading

// %XX of a query value decoded; NULL when it is broken or holds a NUL.
static const char *decode(gw_arena *arena, const char *value)
{
    static const char HEX[] = "0123456789abcdef0123456789ABCDEF";
    char *const out = gw_arena_strdup(arena, value);
    char *to = out;
    for (const char *s = value; out != NULL && *s != '\0'; s++, to++) {
        *to = *s;
        if (*s == '%') {
            const char *const high = s[1] != '\0' ? strchr(HEX, s[1]) : NULL;
            const char *const low = high != NULL && s[2] != '\0' ? strchr(HEX, s[2]) : NULL;
            const int code = low != NULL ? (int)((high - HEX) % 16 * 16 + (low - HEX) % 16) : 0;
            if (code == 0) {
                return NULL;
            }
            *to = (char)code;
            s += 2;
        }
    }
    if (out != NULL) {
        *to = '\0';
    }
    return out;
}

void gw_serve_priv_get_jobs(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    gw_store_query query = {.most = JOBS_MOST};
    if (request->search != NULL) {
        query.search = decode(request->arena, request->search);
        if (query.search == NULL) {
            gw_serve_priv_refuse(request, reply, 400, "\"search\" is not understood");
            return;
        }
    }
    if (request->hidden != NULL && strcmp(request->hidden, "0") != 0) {
        query.hidden = strcmp(request->hidden, "1") == 0;
        if (!query.hidden) {
            gw_serve_priv_refuse(request, reply, 400, "found hidden=%.20s, expected 0 or 1",
                                 request->hidden);
            return;
        }
    }
    gw_store_jobs found;
    gw_err err = {0};
    if (gw_store_find_jobs(request->state->config.store, request->arena, &query, &found, &err) !=
        GW_OK) {
        gw_serve_priv_refuse_store(request, reply, &err);
        return;
    }
    gw_sink sink = {.arena = request->arena};
    gw_sink_put(&sink, "{\"jobs\": [");
    for (size_t i = 0; i < found.count; i++) {
        gw_sink_put(&sink, i > 0 ? ",\n{" : "\n{");
        put_head(&sink, &found.items[i]);
        gw_sink_put(&sink, "}");
    }
    gw_sink_printf(&sink, "], \"more\": %s}\n", found.more ? "true" : "false");
    gw_serve_priv_send(reply, 200, &sink);
}

// Latest revision and head; false after it wrote the refusal.
static bool get_latest(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                       gw_store_job *job, gw_store_revision *latest)
{
    gw_store *const store = request->state->config.store;
    const int64_t id = request->numbers[0];
    gw_err err = {0};
    gw_status st = gw_store_get_job(store, request->arena, id, job, &err);
    if (st == GW_OK) { // the revision that the head names, whoever saves in between
        const gw_store_place place = {.id = id, .revision = job->revision};
        st = gw_store_get_revision(store, request->arena, place, latest, &err);
    }
    if (st != GW_OK) {
        gw_serve_priv_refuse_store(request, reply, &err);
    }
    return st == GW_OK;
}

void gw_serve_priv_get_job(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    gw_store_job job;
    gw_store_revision latest;
    if (!get_latest(request, reply, &job, &latest)) {
        return;
    }
    gw_sink sink = {.arena = request->arena};
    gw_sink_put(&sink, "{");
    put_head(&sink, &job);
    put_text_of_job(&sink, latest.text);
    gw_sink_put(&sink, "}\n");
    reply->etag = mark_of(request, job.revision);
    gw_serve_priv_send(reply, 200, &sink);
}

void gw_serve_priv_get_revisions(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    gw_store_revisions list;
    gw_err err = {0};
    if (gw_store_get_revisions(request->state->config.store, request->arena, request->numbers[0],
                               &list, &err) != GW_OK) {
        gw_serve_priv_refuse_store(request, reply, &err);
        return;
    }
    gw_sink sink = {.arena = request->arena};
    gw_sink_printf(&sink, "{\"id\": %lld, \"revisions\": [", (long long)request->numbers[0]);
    for (size_t i = 0; i < list.count; i++) {
        gw_sink_put(&sink, i > 0 ? ",\n{" : "\n{");
        put_revision(&sink, &list.items[i]);
        gw_sink_put(&sink, "}");
    }
    gw_sink_put(&sink, "]}\n");
    gw_serve_priv_send(reply, 200, &sink);
}

void gw_serve_priv_get_revision(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    gw_store_revision revision;
    gw_err err = {0};
    const gw_store_place place = {request->numbers[0], request->numbers[1]};
    if (gw_store_get_revision(request->state->config.store, request->arena, place, &revision,
                              &err) != GW_OK) {
        gw_serve_priv_refuse_store(request, reply, &err);
        return;
    }
    gw_sink sink = {.arena = request->arena};
    gw_sink_printf(&sink, "{\"id\": %lld, ", (long long)place.id);
    put_revision(&sink, &revision);
    put_text_of_job(&sink, revision.text);
    gw_sink_put(&sink, "}\n");
    gw_serve_priv_send(reply, 200, &sink);
}

// "larch-ridge-farmhouse.json": letters and digits of ASCII, everything else one dash.
static const char *file_name_of(gw_arena *arena, const char *name)
{
    enum { LONGEST = 60 };
    char plain[LONGEST + 1];
    size_t length = 0;
    for (const char *s = name; *s != '\0' && length < LONGEST; s++) {
        const char c = *s >= 'A' && *s <= 'Z' ? (char)(*s - 'A' + 'a') : *s;
        if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) {
            plain[length++] = c;
        } else if (length > 0 && plain[length - 1] != '-') {
            plain[length++] = '-';
        }
    }
    length -= length > 0 && plain[length - 1] == '-' ? 1 : 0;
    plain[length] = '\0';
    return gw_arena_printf(arena, "%s.json", length > 0 ? plain : "job");
}

void gw_serve_priv_get_export(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    gw_store_job job;
    gw_store_revision latest;
    if (!get_latest(request, reply, &job, &latest)) {
        return;
    }
    const char *const name = file_name_of(request->arena, job.name);
    if (name != NULL) {
        reply->status = 200;
        reply->text = latest.text;
        reply->length = latest.length;
        reply->attach = name;
        reply->etag = mark_of(request, job.revision);
    }
}

// ---------------------------------------------------------------- changes

typedef gw_status (*store_change)(gw_store *, gw_arena *, const gw_store_change *, gw_store_job *,
                                  gw_err *);

static void run_change(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                       store_change run, const gw_store_change *change)
{
    gw_store_job job = {0};
    gw_err err = {0};
    if (run(request->state->config.store, request->arena, change, &job, &err) == GW_OK) {
        const bool is_new = run == gw_store_add || run == gw_store_copy;
        send_head(request, reply, is_new ? 201 : 200, &job);
        return;
    }
    gw_serve_priv_refuse_store(request, reply, &err);
    if (reply->status == 412) {
        reply->etag = mark_of(request, job.revision);
    }
}

// What the body saves; false after it wrote the refusal.
static bool read_change(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                        gw_store_change *change)
{
    gw_err err = {0};
    const char *name = NULL;
    if (gw_serve_priv_name_of(request->arena, request->body, request->length, &name, &err) !=
        GW_OK) {
        if (err.code != GW_ERR_NOMEM) {
            gw_serve_priv_refuse_err(request, reply, 422, &err);
        }
        return false;
    }
    *change = (gw_store_change){.id = request->numbers[0],
                                .name = name,
                                .text = request->body,
                                .length = request->length,
                                .now_unix_s = request->state->config.now_unix_s()};
    return true;
}

void gw_serve_priv_post_jobs(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    gw_store_change change;
    if (read_change(request, reply, &change)) {
        run_change(request, reply, gw_store_add, &change);
    }
}

// "3" in quotes, or *; false: it names no revision there ever was.
static bool read_mark(const char *value, int64_t *revision)
{
    enum { DIGITS_MOST = 15 };
    *revision = 0;
    if (strcmp(value, "*") == 0) {
        return true;
    }
    const size_t digits = value[0] == '"' ? strspn(value + 1, "0123456789") : 0;
    if (digits < 1 || digits > DIGITS_MOST || strcmp(value + 1 + digits, "\"") != 0) {
        return false;
    }
    for (size_t i = 1; i <= digits; i++) {
        *revision = 10 * *revision + (value[i] - '0');
    }
    return *revision > 0;
}

void gw_serve_priv_put_job(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    gw_store_change change;
    const char *const mark = request->heads.if_match;
    if (mark == NULL) {
        gw_serve_priv_refuse(request, reply, 428,
                             "expected If-Match with the revision that the edit began from");
        return;
    }
    int64_t revision = 0;
    if (!read_mark(mark, &revision)) {
        gw_serve_priv_refuse(request, reply, 412,
                             "found If-Match: %.40s, expected a revision in quotes, or *", mark);
        return;
    }
    if (read_change(request, reply, &change)) {
        change.revision = revision;
        run_change(request, reply, gw_store_save, &change);
    }
}

void gw_serve_priv_delete_job(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    run_change(request, reply, gw_store_hide, &(gw_store_change){.id = request->numbers[0]});
}

// The member `key` of a body that has no other; *out stays NULL when it is {}. False after it wrote
// the refusal.
static bool read_member(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                        const char *key, const gw_node **out)
{
    const gw_node *root = NULL;
    gw_err err = {0};
    const gw_status st = gw_node_read(request->arena, request->body, request->length, &root, &err);
    if (st == GW_ERR_NOMEM) {
        return false;
    }
    if (st != GW_OK) {
        gw_serve_priv_refuse_err(request, reply, 400, &err);
        return false;
    }
    *out = gw_node_member(root, key);
    if (root->type != GW_NODE_OBJECT || root->count > (*out != NULL ? 1U : 0U)) {
        gw_serve_priv_refuse(request, reply, 400, "expected {\"%s\": …} or {}", key);
        return false;
    }
    return true;
}

void gw_serve_priv_post_restore(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    const gw_node *node = NULL;
    if (!read_member(request, reply, "revision", &node)) {
        return;
    }
    gw_store_change change = {.id = request->numbers[0],
                              .now_unix_s = request->state->config.now_unix_s()};
    if (node != NULL) {
        const bool fits = node->type == GW_NODE_NUMBER && node->number >= 1.0 &&
                          node->number <= 1e15 && (double)(int64_t)node->number == node->number;
        if (!fits) {
            gw_serve_priv_refuse(request, reply, 400, "expected a whole revision from 1");
            return;
        }
        change.revision = (int64_t)node->number;
    }
    run_change(request, reply, gw_store_restore, &change);
}

// The name and text of a copy; false after it wrote the refusal.
static bool rename_copy(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                        const char *wanted, gw_store_change *change)
{
    gw_arena *const arena = request->arena;
    gw_store_job job;
    gw_store_revision latest;
    if (!get_latest(request, reply, &job, &latest)) {
        return false;
    }
    const char *const name =
        wanted != NULL ? wanted : gw_arena_printf(arena, "%.180s (copy)", latest.name);
    const gw_serve_priv_renaming what = {latest.text, latest.length, name};
    gw_err err = {0};
    gw_status st =
        name != NULL ? gw_serve_priv_rename(arena, &what, &change->text, &err) : GW_ERR_NOMEM;
    if (st == GW_ERR_TYPE) { // unfinished work: its name is no text and stays as it is
        change->text = latest.text;
        st = GW_OK;
    }
    if (st == GW_OK) {
        change->length = strlen(change->text);
        st = gw_serve_priv_name_of(arena, change->text, change->length, &change->name, &err);
    }
    if (st != GW_OK && st != GW_ERR_NOMEM) {
        gw_serve_priv_refuse_err(request, reply, 422, &err);
    }
    return st == GW_OK;
}

void gw_serve_priv_post_copy(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    const gw_node *node = NULL;
    if (!read_member(request, reply, "name", &node)) {
        return;
    }
    if (node != NULL && (node->type != GW_NODE_TEXT || node->text[0] == '\0')) {
        gw_serve_priv_refuse(request, reply, 400, "expected a name that is text");
        return;
    }
    gw_store_change change = {.id = request->numbers[0],
                              .now_unix_s = request->state->config.now_unix_s()};
    if (rename_copy(request, reply, node != NULL ? node->text : NULL, &change)) {
        run_change(request, reply, gw_store_copy, &change);
    }
}
