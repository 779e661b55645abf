// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Who may ask: a page of another site, also one whose name was made to point here, may not.
#include "serve/serve_priv.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

static const char *const NAMES[] = {"127.0.0.1", "localhost"};

// Exactly PREFIX NAME:PORT; a prefix match would let 127.0.0.1:80.evil.example through.
static bool is_here(const char *value, const char *prefix, unsigned port)
{
    char want[64];
    for (size_t i = 0; value != NULL && i < sizeof NAMES / sizeof NAMES[0]; i++) {
        snprintf(want, sizeof want, "%s%s:%u", prefix, NAMES[i], port);
        if (strcmp(value, want) == 0) {
            return true;
        }
        snprintf(want, sizeof want, "%s%s", prefix, NAMES[i]);
        if (port == 80 && strcmp(value, want) == 0) { // browsers leave out the usual port
            return true;
        }
    }
    return false;
}

static bool only_reads(const gw_serve_priv_request *request)
{
    return strcmp(request->method, "GET") == 0 || strcmp(request->method, "HEAD") == 0;
}

bool gw_serve_priv_guard_site(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    const gw_serve_priv_heads *const h = &request->heads;
    const unsigned port = request->state->port;
    if (h->repeated) {
        gw_serve_priv_refuse(request, reply, 400, "a header stands there twice");
        return false;
    }
    if (!is_here(h->host, "", port)) {
        gw_serve_priv_refuse(request, reply, 421,
                             "found Host \"%.100s\", expected 127.0.0.1:%u or localhost:%u",
                             h->host != NULL ? h->host : "", port, port);
        return false;
    }
    if (!only_reads(request) && !is_here(h->origin, "http://", port)) {
        gw_serve_priv_refuse(request, reply, 403,
                             "found Origin \"%.100s\", expected http://127.0.0.1:%u or "
                             "http://localhost:%u",
                             h->origin != NULL ? h->origin : "", port, port);
        return false;
    }
    const bool is_api = strncmp(request->path, "/api/", 5) == 0;
    if (is_api && h->fetch_site != NULL && strcmp(h->fetch_site, "same-origin") != 0 &&
        strcmp(h->fetch_site, "none") != 0) {
        gw_serve_priv_refuse(request, reply, 403, "the request comes from another site (%.40s)",
                             h->fetch_site);
        return false;
    }
    return true;
}

// "application/json", "application/json; charset=utf-8"
static bool is_type(const char *value, const char *type)
{
    const size_t length = strlen(type);
    if (value == NULL || strncasecmp(value, type, length) != 0) {
        return false;
    }
    const char *s = value + length;
    s += strspn(s, " ");
    if (*s == ';') {
        s++;
        s += strspn(s, " ");
        return strcasecmp(s, "charset=utf-8") == 0;
    }
    return *s == '\0';
}

static bool check_type(const gw_serve_priv_request *request, const char *takes,
                       gw_serve_priv_reply *reply)
{
    const char *const type = request->heads.content_type;
    const bool is_file = strcmp(takes, "file") == 0;
    const bool fits = is_file
                          ? is_type(type, "application/octet-stream") || is_type(type, "text/csv")
                          : is_type(type, takes);
    if (!fits) {
        gw_serve_priv_refuse(request, reply, 415, "found Content-Type \"%.80s\", expected %s",
                             type != NULL ? type : "",
                             is_file ? "application/octet-stream or text/csv" : takes);
    }
    return fits;
}

// Is the length of the body told in exactly one way that is understood?
static bool check_framing(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    const gw_serve_priv_heads *const h = &request->heads;
    if (h->transfer_encoding != NULL) {
        if (h->content_length != NULL || strcasecmp(h->transfer_encoding, "chunked") != 0) {
            gw_serve_priv_refuse(request, reply, 400,
                                 "the length of the body is told in two ways, or in an unknown "
                                 "one");
            return false;
        }
        return true;
    }
    const char *const s = h->content_length != NULL ? h->content_length : "0";
    const size_t digits = strspn(s, "0123456789");
    if (digits == 0 || s[digits] != '\0') {
        gw_serve_priv_refuse(request, reply, 400, "found Content-Length \"%.40s\"", s);
        return false;
    }
    unsigned long long length = digits > 12 ? GW_SERVE_BODY_MAX + 1ULL : 0;
    for (size_t i = 0; digits <= 12 && i < digits; i++) {
        length = 10 * length + (unsigned long long)(s[i] - '0');
    }
    if (length > GW_SERVE_BODY_MAX) {
        gw_serve_priv_refuse(request, reply, 413,
                             "found a body of %.20s bytes, expected at most %d", s,
                             GW_SERVE_BODY_MAX);
        return false;
    }
    return true;
}

bool gw_serve_priv_guard_body(const gw_serve_priv_request *request,
                              const gw_serve_priv_route *route, gw_serve_priv_reply *reply)
{
    const gw_serve_priv_heads *const h = &request->heads;
    if (!check_framing(request, reply)) {
        return false;
    }
    if (route != NULL && route->takes != NULL) {
        return check_type(request, route->takes, reply);
    }
    const bool has_body = h->transfer_encoding != NULL ||
                          (h->content_length != NULL && strcmp(h->content_length, "0") != 0);
    if (has_body) {
        gw_serve_priv_refuse(request, reply, 400, "%.20s at %.100s takes no body", request->method,
                             request->path);
    }
    return !has_body;
}
