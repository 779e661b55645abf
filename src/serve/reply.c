// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Replies: JSON bodies and the one shape of an error.
#include "serve/serve_priv.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

void gw_serve_priv_send(gw_serve_priv_reply *reply, unsigned status, gw_sink *sink)
{
    const char *const text = gw_sink_text(sink);
    if (text == NULL) {
        *reply = (gw_serve_priv_reply){0};
        return;
    }
    reply->status = status;
    reply->text = text;
    reply->length = sink->length;
}

// Bytes of the UTF-8 sequence at s; 0 when it is none.
static size_t sequence(const unsigned char *s)
{
    const size_t length = s[0] < 0x80    ? 1
                          : s[0] < 0xC2  ? 0
                          : s[0] < 0xE0  ? 2
                          : s[0] < 0xF0  ? 3
                          : s[0] <= 0xF4 ? 4
                                         : 0;
    for (size_t i = 1; i < length; i++) {
        if ((s[i] & 0xC0) != 0x80) {
            return 0;
        }
    }
    const bool is_surrogate = s[0] == 0xED && s[1] >= 0xA0;
    const bool is_long = (s[0] == 0xE0 && s[1] < 0xA0) || (s[0] == 0xF0 && s[1] < 0x90);
    const bool is_beyond = s[0] == 0xF4 && s[1] >= 0x90;
    return length > 1 && (is_surrogate || is_long || is_beyond) ? 0 : length;
}

void gw_serve_priv_put_text(gw_sink *sink, const char *text)
{
    if (text == NULL) {
        gw_sink_put(sink, "null");
        return;
    }
    char *const clean = gw_arena_strdup(sink->arena, text);
    if (clean == NULL) {
        sink->failed = true;
        return;
    }
    for (char *s = clean; *s != '\0';) {
        const size_t length = sequence((const unsigned char *)s);
        *s = length == 0 ? '?' : *s;
        s += length == 0 ? 1 : length;
    }
    gw_sink_json_string(sink, clean);
}

void gw_serve_priv_put_errors(gw_sink *sink, const gw_err *items, size_t count)
{
    gw_sink_put(sink, "[");
    for (size_t i = 0; i < count; i++) {
        gw_sink_put(sink, i > 0 ? ", " : "");
        gw_sink_put(sink, "{\"path\": ");
        gw_serve_priv_put_text(sink, items[i].field);
        gw_sink_printf(sink, ", \"line\": %d, \"column\": %d, \"text\": ", items[i].line,
                       items[i].column);
        gw_serve_priv_put_text(sink, items[i].text);
        gw_sink_put(sink, "}");
    }
    gw_sink_put(sink, "]");
}

void gw_serve_priv_refuse_err(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                              unsigned status, const gw_err *err)
{
    gw_sink sink = {.arena = request->arena};
    gw_sink_put(&sink, "{\"errors\": ");
    gw_serve_priv_put_errors(&sink, err, 1);
    gw_sink_put(&sink, "}\n");
    gw_serve_priv_send(reply, status, &sink);
}

void gw_serve_priv_refuse(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                          unsigned status, const char *fmt, ...)
{
    gw_err err = {0};
    va_list args;
    va_start(args, fmt);
    vsnprintf(err.text, sizeof err.text, fmt, args);
    va_end(args);
    gw_serve_priv_refuse_err(request, reply, status, &err);
}

void gw_serve_priv_refuse_store(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                                const gw_err *err)
{
    const bool only_reads =
        strcmp(request->method, "GET") == 0 || strcmp(request->method, "HEAD") == 0;
    unsigned status = 500;
    if (err->code == GW_ERR_KEY) {
        status = 404;
    } else if (err->code == GW_ERR_RANGE) {
        status = strcmp(err->field, "revision") == 0 ? 412 : 400;
    } else if (err->code == GW_ERR_IO && !only_reads) {
        status = 507;
    }
    gw_serve_priv_refuse_err(request, reply, status, err);
}
