// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The files that jobs name: kept in the store, never on the disk of the machine.
#include "serve/serve_priv.h"

static void put_file(gw_sink *sink, const gw_store_file *file)
{
    gw_sink_put(sink, "{\"name\": ");
    gw_serve_priv_put_text(sink, file->name);
    gw_sink_printf(sink, ", \"bytes\": %zu, \"saved_unix_s\": %lld}", file->length,
                   (long long)file->saved_unix_s);
}

static void send_file(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                      unsigned status, const gw_store_file *file)
{
    gw_sink sink = {.arena = request->arena};
    put_file(&sink, file);
    gw_sink_put(&sink, "\n");
    gw_serve_priv_send(reply, status, &sink);
}

void gw_serve_priv_get_files(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    gw_store_files list;
    gw_err err = {0};
    if (gw_store_get_files(request->state->config.store, request->arena, &list, &err) != GW_OK) {
        gw_serve_priv_refuse_store(request, reply, &err);
        return;
    }
    gw_sink sink = {.arena = request->arena};
    gw_sink_put(&sink, "{\"files\": [");
    for (size_t i = 0; i < list.count; i++) {
        gw_sink_put(&sink, i > 0 ? ",\n" : "\n");
        put_file(&sink, &list.items[i]);
    }
    gw_sink_put(&sink, "]}\n");
    gw_serve_priv_send(reply, 200, &sink);
}

void gw_serve_priv_put_file(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    const gw_store_file file = {.name = request->name,
                                .content = request->body,
                                .length = request->length,
                                .saved_unix_s = request->state->config.now_unix_s()};
    bool replaced = false;
    gw_err err = {0};
    if (gw_store_put_file(request->state->config.store, &file, &replaced, &err) != GW_OK) {
        gw_serve_priv_refuse_store(request, reply, &err);
        return;
    }
    send_file(request, reply, replaced ? 200 : 201, &file);
}

void gw_serve_priv_get_file(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    gw_store_file file;
    gw_err err = {0};
    if (gw_store_get_file(request->state->config.store, request->arena, request->name, &file,
                          &err) != GW_OK) {
        gw_serve_priv_refuse_store(request, reply, &err);
        return;
    }
    *reply = (gw_serve_priv_reply){.status = 200,
                                   .type = "application/octet-stream",
                                   .text = file.content,
                                   .length = file.length,
                                   .attach = request->name};
}

void gw_serve_priv_delete_file(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    gw_store *const store = request->state->config.store;
    gw_store_file file;
    gw_err err = {0};
    gw_status st = gw_store_get_file(store, request->arena, request->name, &file, &err);
    if (st == GW_OK) {
        st = gw_store_remove_file(store, request->name, &err);
    }
    if (st != GW_OK) {
        gw_serve_priv_refuse_store(request, reply, &err);
        return;
    }
    send_file(request, reply, 200, &file);
}
