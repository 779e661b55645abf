// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What is built in: version, schema, starter, examples, tables.
#include "serve/serve_priv.h"

#include "base/builtin.h"
#include "base/table.h"
#include "base/text.h"
#include "job/job.h"
#include "job/starter.h"

#include <string.h>

enum { API_VERSION = 1 };

void gw_serve_priv_get_version(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    const gw_serve_config *const c = &request->state->config;
    gw_sink sink = {.arena = request->arena};
    gw_sink_put(&sink, "{\"version\": ");
    gw_serve_priv_put_text(&sink, c->version);
    gw_sink_printf(&sink, ", \"api\": %d, \"job_format\": %d, \"store\": ", API_VERSION,
                   GW_JOB_FORMAT);
    gw_serve_priv_put_text(&sink, gw_store_path(c->store));
    gw_sink_printf(&sink, ", \"read_only\": %s, \"open\": ",
                   gw_store_is_read_only(c->store) ? "true" : "false");
    if (c->open_id > 0) {
        gw_sink_printf(&sink, "%lld}\n", (long long)c->open_id);
    } else {
        gw_sink_put(&sink, "null}\n");
    }
    gw_serve_priv_send(reply, 200, &sink);
}

static void send_text(gw_serve_priv_reply *reply, const char *text, size_t length)
{
    reply->status = 200;
    reply->text = text;
    reply->length = length;
}

void gw_serve_priv_get_schema(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    gw_err err = {0};
    const char *text = NULL;
    if (gw_job_schema(request->arena, &text, &err) == GW_OK) {
        send_text(reply, text, strlen(text));
    }
}

void gw_serve_priv_get_starter(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    (void)request;
    const char *const text = gw_job_starter();
    send_text(reply, text, strlen(text));
}

// ---------------------------------------------------------------- examples

// "farmhouse" for "farmhouse.json"
static size_t short_length(const gw_serve_priv_asset *example)
{
    return strlen(example->name) - strlen(".json");
}

void gw_serve_priv_get_examples(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    gw_sink sink = {.arena = request->arena};
    gw_sink_put(&sink, "{\"examples\": [");
    for (size_t i = 0; i < gw_serve_priv_example_count(); i++) {
        const gw_serve_priv_asset e = gw_serve_priv_example_at(i);
        const gw_node *root = NULL;
        if (gw_node_read(request->arena, e.text, e.length, &root, NULL) != GW_OK) {
            return;
        }
        const gw_node *const title = gw_node_member(root, "name");
        const gw_node *const notes = gw_node_member(root, "notes");
        gw_sink_printf(&sink, "%s{\"name\": \"%.*s\", \"title\": ", i > 0 ? ", " : "",
                       (int)short_length(&e), e.name);
        gw_serve_priv_put_text(&sink, title != NULL ? title->text : NULL);
        gw_sink_put(&sink, ", \"notes\": ");
        gw_serve_priv_put_text(&sink, notes != NULL ? notes->text : NULL);
        gw_sink_put(&sink, "}");
    }
    gw_sink_put(&sink, "]}\n");
    gw_serve_priv_send(reply, 200, &sink);
}

void gw_serve_priv_get_example(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    for (size_t i = 0; i < gw_serve_priv_example_count(); i++) {
        const gw_serve_priv_asset e = gw_serve_priv_example_at(i);
        if (strlen(request->name) == short_length(&e) &&
            strncmp(request->name, e.name, short_length(&e)) == 0) {
            send_text(reply, e.text, e.length);
            return;
        }
    }
    gw_serve_priv_refuse(request, reply, 404, "there is no example \"%s\"", request->name);
}

// ---------------------------------------------------------------- tables

typedef struct {
    const char *name;
    const char *file;
} list_row;

static const list_row LISTS[] = {
    {"stations", "stations.csv"},  {"soils", "soils.csv"},
    {"pipes", "pipes.csv"},        {"heat-pumps", "heat_pumps.csv"},
    {"fluids", "fluid_kinds.csv"}, {"fuels", "fuels.csv"},
    {"prices", "prices.csv"},      {"setbacks", "setbacks.csv"},
    {"grid", "grid.csv"},          {"alternatives", "alternatives.csv"},
};
enum { LIST_COUNT = sizeof LISTS / sizeof LISTS[0] };

void gw_serve_priv_get_lists(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    gw_sink sink = {.arena = request->arena};
    gw_sink_put(&sink, "{\"lists\": [");
    for (size_t i = 0; i < LIST_COUNT; i++) {
        gw_sink_printf(&sink, "%s\"%s\"", i > 0 ? ", " : "", LISTS[i].name);
    }
    gw_sink_put(&sink, "]}\n");
    gw_serve_priv_send(reply, 200, &sink);
}

static const char *cell_at(const gw_table *table, size_t row, size_t column)
{
    return table->cells[row * table->columns + column];
}

// Are all its cells numbers (or empty, but not all of them)?
static bool is_number_column(const gw_table *table, size_t column)
{
    size_t numbers = 0;
    for (size_t row = 0; row < table->rows; row++) {
        const char *const cell = cell_at(table, row, column);
        double value = 0.0;
        if (cell[0] != '\0' && !gw_text_to_number(cell, strlen(cell), &value)) {
            return false;
        }
        numbers += cell[0] != '\0' ? 1 : 0;
    }
    return numbers > 0;
}

static void put_cell(gw_sink *sink, const char *cell, bool is_number)
{
    double value = 0.0;
    if (cell[0] == '\0') {
        gw_sink_put(sink, "null");
    } else if (is_number && gw_text_to_number(cell, strlen(cell), &value)) {
        gw_sink_number(sink, value);
    } else {
        gw_serve_priv_put_text(sink, cell);
    }
}

static void put_table(gw_sink *sink, const gw_table *table, const bool *is_number)
{
    gw_sink_put(sink, ", \"columns\": [");
    for (size_t c = 0; c < table->columns; c++) {
        gw_sink_put(sink, c > 0 ? ", " : "");
        gw_serve_priv_put_text(sink, table->head[c]);
    }
    gw_sink_put(sink, "], \"rows\": [");
    for (size_t row = 0; row < table->rows; row++) {
        gw_sink_put(sink, row > 0 ? ",\n{" : "\n{");
        for (size_t c = 0; c < table->columns; c++) {
            gw_sink_put(sink, c > 0 ? ", " : "");
            gw_serve_priv_put_text(sink, table->head[c]);
            gw_sink_put(sink, ": ");
            put_cell(sink, cell_at(table, row, c), is_number[c]);
        }
        gw_sink_put(sink, "}");
    }
    gw_sink_put(sink, "]}\n");
}

void gw_serve_priv_get_list(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    size_t at = 0;
    while (at < LIST_COUNT && strcmp(LISTS[at].name, request->name) != 0) {
        at++;
    }
    gw_builtin_file file;
    if (at == LIST_COUNT || !gw_builtin(LISTS[at].file, &file)) {
        gw_serve_priv_refuse(request, reply, 404, "there is no list \"%s\"", request->name);
        return;
    }
    gw_table table;
    gw_err err = {0};
    if (gw_table_read(request->arena, file.name, file.text, file.length, &table, &err) != GW_OK) {
        return;
    }
    bool *const is_number = gw_arena_alloc(request->arena, table.columns, sizeof *is_number);
    if (is_number == NULL) {
        return;
    }
    for (size_t c = 0; c < table.columns; c++) {
        is_number[c] = is_number_column(&table, c);
    }
    gw_sink sink = {.arena = request->arena};
    gw_sink_printf(&sink, "{\"list\": \"%s\"", LISTS[at].name);
    put_table(&sink, &table, is_number);
    gw_serve_priv_send(reply, 200, &sink);
}
