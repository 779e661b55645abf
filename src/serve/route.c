// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The paths: one table, matched byte for byte. Nothing is decoded, joined or looked up on a disk.
#include "serve/serve_priv.h"

#include <string.h>

static const char JSON[] = "application/json";
static const char FILE_BYTES[] = "file";

static const gw_serve_priv_route ROUTES[] = {
    {"GET", "/api/version", NULL, gw_serve_priv_get_version},
    {"GET", "/api/schema", NULL, gw_serve_priv_get_schema},
    {"GET", "/api/starter", NULL, gw_serve_priv_get_starter},
    {"GET", "/api/examples", NULL, gw_serve_priv_get_examples},
    {"GET", "/api/examples/*", NULL, gw_serve_priv_get_example},
    {"GET", "/api/lists", NULL, gw_serve_priv_get_lists},
    {"GET", "/api/lists/*", NULL, gw_serve_priv_get_list},
    {"POST", "/api/design", JSON, gw_serve_priv_post_design},
    {"POST", "/api/verify", JSON, gw_serve_priv_post_verify},
    {"POST", "/api/ground", JSON, gw_serve_priv_post_ground},
    {"GET", "/api/jobs", NULL, gw_serve_priv_get_jobs},
    {"POST", "/api/jobs", JSON, gw_serve_priv_post_jobs},
    {"GET", "/api/jobs/#", NULL, gw_serve_priv_get_job},
    {"PUT", "/api/jobs/#", JSON, gw_serve_priv_put_job},
    {"DELETE", "/api/jobs/#", NULL, gw_serve_priv_delete_job},
    {"GET", "/api/jobs/#/revisions", NULL, gw_serve_priv_get_revisions},
    {"GET", "/api/jobs/#/revisions/#", NULL, gw_serve_priv_get_revision},
    {"POST", "/api/jobs/#/restore", JSON, gw_serve_priv_post_restore},
    {"POST", "/api/jobs/#/copy", JSON, gw_serve_priv_post_copy},
    {"GET", "/api/jobs/#/export", NULL, gw_serve_priv_get_export},
    {"GET", "/api/files", NULL, gw_serve_priv_get_files},
    {"GET", "/api/files/*", NULL, gw_serve_priv_get_file},
    {"PUT", "/api/files/*", FILE_BYTES, gw_serve_priv_put_file},
    {"DELETE", "/api/files/*", NULL, gw_serve_priv_delete_file},
};
enum { ROUTE_COUNT = sizeof ROUTES / sizeof ROUTES[0] };

// A whole number from 1, written in the one usual way. Its length, or 0.
static size_t take_number(const char *s, int64_t *out)
{
    enum { DIGITS_MOST = 18 };
    const size_t length = strspn(s, "0123456789");
    if (length < 1 || length > DIGITS_MOST || s[0] == '0') {
        return 0;
    }
    int64_t value = 0;
    for (size_t i = 0; i < length; i++) {
        value = 10 * value + (s[i] - '0');
    }
    *out = value;
    return length;
}

static bool match(const char *pattern, gw_serve_priv_request *request)
{
    const char *s = request->path;
    size_t numbers = 0;
    for (const char *p = pattern; *p != '\0'; p++) {
        if (*p == '#') {
            const size_t length = take_number(s, &request->numbers[numbers]);
            if (length == 0) {
                return false;
            }
            numbers++;
            s += length;
        } else if (*p == '*') {
            if (!gw_store_is_file_name(s)) { // no slash, no percent sign, no dot at the front
                return false;
            }
            request->name = s;
            s += strlen(s);
        } else if (*s++ != *p) {
            return false;
        }
    }
    return *s == '\0';
}

static void put_method(gw_sink *allow, const char *method)
{
    gw_sink_put(allow, allow->length > 0 ? ", " : "");
    gw_sink_put(allow, method);
    gw_sink_put(allow, strcmp(method, "GET") == 0 ? ", HEAD" : "");
}

const gw_serve_priv_route *gw_serve_priv_find_route(gw_serve_priv_request *request,
                                                    gw_serve_priv_reply *reply)
{
    const char *const method = strcmp(request->method, "HEAD") == 0 ? "GET" : request->method;
    gw_sink allow = {.arena = request->arena};
    for (size_t i = 0; i < ROUTE_COUNT; i++) {
        if (match(ROUTES[i].pattern, request)) {
            if (strcmp(ROUTES[i].method, method) == 0) {
                return &ROUTES[i];
            }
            put_method(&allow, ROUTES[i].method);
        }
    }
    if (allow.length == 0) {
        gw_serve_priv_refuse(request, reply, 404, "there is nothing at %.100s", request->path);
        return NULL;
    }
    gw_serve_priv_refuse(request, reply, 405, "%.20s is not what can be done at %.100s",
                         request->method, request->path);
    reply->allow = gw_sink_text(&allow);
    return NULL;
}
