// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A job in, a design out; nothing is kept.
#include "serve/serve_priv.h"

#include "design/design.h"
#include "job/job.h"

#include <string.h>

gw_status gw_serve_priv_read_job(const gw_serve_priv_request *request, const gw_job **job,
                                 gw_form_report *report, gw_err *err)
{
    gw_serve_priv_state *const state = request->state;
    const gw_job_source source = {.arena = request->arena,
                                  .units = state->units,
                                  .text = request->body,
                                  .length = request->length};
    pthread_mutex_lock(&state->units_lock);
    const gw_status st = gw_job_read(&source, job, report, err);
    pthread_mutex_unlock(&state->units_lock);
    if (st == GW_OK || report->errors.count > 0) {
        return st;
    }
    // What goes wrong before the first key is read is not in the report.
    gw_err_list_init(&report->errors, request->arena);
    const gw_status added = gw_err_list_add(&report->errors, err);
    return added == GW_OK ? st : added;
}

static void put_report(gw_sink *sink, const gw_form_report *report)
{
    gw_sink_put(sink, "\"errors\": ");
    gw_serve_priv_put_errors(sink, report->errors.items, report->errors.count);
    gw_sink_printf(sink, ", \"more\": %zu, \"warnings\": ", report->unlisted);
    gw_serve_priv_put_errors(sink, report->warnings.items, report->warnings.count);
}

void gw_serve_priv_post_verify(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    const gw_job *job = NULL;
    gw_form_report report;
    gw_err err = {0};
    const gw_status st = gw_serve_priv_read_job(request, &job, &report, &err);
    if (st == GW_ERR_NOMEM) {
        return;
    }
    gw_sink sink = {.arena = request->arena};
    gw_sink_printf(&sink, "{\"valid\": %s, ", st == GW_OK ? "true" : "false");
    put_report(&sink, &report);
    gw_sink_put(&sink, ", \"defaults\": [");
    for (size_t i = 0; st == GW_OK && i < report.default_count; i++) {
        gw_sink_put(&sink, i > 0 ? ", {\"path\": " : "{\"path\": ");
        gw_serve_priv_put_text(&sink, report.defaults[i].path);
        gw_sink_put(&sink, ", \"value\": ");
        gw_serve_priv_put_text(&sink, report.defaults[i].text);
        gw_sink_put(&sink, "}");
    }
    gw_sink_put(&sink, "]}\n");
    gw_serve_priv_send(reply, 200, &sink);
}

// A file that the job names: one that was put into the store, and nothing else.
static gw_status get_named_file(const gw_serve_priv_request *request, const char *name,
                                gw_store_file *out, gw_err *err)
{
    gw_store *const store = request->state->config.store;
    gw_status st = GW_ERR_KEY;
    if (gw_store_is_file_name(name)) {
        st = gw_store_get_file(store, request->arena, name, out, err);
    }
    if (st == GW_ERR_KEY) {
        return gw_fail(err, GW_ERR_KEY, "",
                       "found \"%.80s\", expected the name of an uploaded file: the server opens "
                       "no files of this machine; upload it with PUT /api/files/NAME and write "
                       "that name here",
                       name);
    }
    return st;
}

static gw_status read_weather(const gw_serve_priv_request *request, const char *name,
                              const gw_weather **out, gw_err *err)
{
    gw_store_file file;
    gw_weather *const weather = gw_arena_alloc(request->arena, 1, sizeof *weather);
    if (weather == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "", "out of memory");
    }
    gw_status st = get_named_file(request, name, &file, err);
    if (st == GW_OK) {
        const gw_weather_text text = {file.name, file.content, file.length};
        st = gw_weather_read_epw(request->arena, text, weather, err);
    }
    *out = weather;
    return st;
}

static gw_status read_prices(const gw_serve_priv_request *request, const char *name,
                             const gw_price_book **out, gw_err *err)
{
    gw_store_file file;
    gw_price_book *const book = gw_arena_alloc(request->arena, 1, sizeof *book);
    if (book == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "", "out of memory");
    }
    gw_status st = get_named_file(request, name, &file, err);
    if (st == GW_OK) {
        st = gw_price_book_read(request->arena, file.name, file.content, file.length, book, err);
    }
    *out = book;
    return st;
}

static void set_field(gw_err *err, const char *field)
{
    strncpy(err->field, field, sizeof err->field - 1);
    err->field[sizeof err->field - 1] = '\0';
}

gw_status gw_serve_priv_read_files(const gw_serve_priv_request *request, const gw_job *job,
                                   gw_design_input *input, gw_err *err)
{
    input->job = job;
    gw_status st = GW_OK;
    if (job->site.weather_file != NULL) {
        st = read_weather(request, job->site.weather_file, &input->weather, err);
        if (st != GW_OK) {
            set_field(err, "site.weather_file");
        }
    }
    if (st == GW_OK && job->money.price_book != NULL) {
        st = read_prices(request, job->money.price_book, &input->price_book, err);
        if (st != GW_OK) {
            set_field(err, "money.price_book");
        }
    }
    return st;
}

void gw_serve_priv_refuse_job(const gw_serve_priv_request *request, gw_serve_priv_reply *reply,
                              const gw_form_report *report)
{
    gw_sink sink = {.arena = request->arena};
    gw_sink_put(&sink, "{");
    put_report(&sink, report);
    gw_sink_put(&sink, "}\n");
    gw_serve_priv_send(reply, 422, &sink);
}

unsigned gw_serve_priv_status_of(gw_status st)
{
    return st == GW_ERR_NOMEM || st == GW_ERR_CONVERGE || st == GW_ERR_IO ? 500 : 422;
}

void gw_serve_priv_post_design(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    const gw_job *job = NULL;
    gw_form_report report;
    gw_err err = {0};
    gw_status st = gw_serve_priv_read_job(request, &job, &report, &err);
    if (st != GW_OK) {
        if (st != GW_ERR_NOMEM) {
            gw_serve_priv_refuse_job(request, reply, &report);
        }
        return;
    }
    gw_design_input input = {0};
    const gw_design *design = NULL;
    st = gw_serve_priv_read_files(request, job, &input, &err);
    if (st == GW_OK) {
        st = gw_design_run(request->arena, &input, &design, &err);
    }
    if (design == NULL) {
        gw_serve_priv_refuse_err(request, reply, gw_serve_priv_status_of(st), &err);
        return;
    }
    // A design without a loop that stands is an answer too: its verdicts say why.
    const char *text = NULL;
    if (gw_design_write_json(request->arena, design, &text, &(gw_err){0}) != GW_OK) {
        return;
    }
    gw_sink sink = {.arena = request->arena};
    gw_sink_printf(&sink, "{\"stands\": %s, \"because\": ", st == GW_OK ? "true" : "false");
    gw_serve_priv_put_text(&sink, st == GW_OK ? NULL : err.text);
    gw_sink_put(&sink, ", \"warnings\": ");
    gw_serve_priv_put_errors(&sink, report.warnings.items, report.warnings.count);
    gw_sink_put(&sink, ",\n\"design\": ");
    gw_sink_put(&sink, text);
    gw_sink_put(&sink, "}\n");
    gw_serve_priv_send(reply, 200, &sink);
}
