// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "cli/session.h"

#include "cli/files.h"

#include <string.h>

gw_exit gw_cli_exit_of(gw_status st)
{
    switch (st) {
    case GW_OK:
        return GW_EXIT_DONE;
    case GW_ERR_CAPACITY:
        return GW_EXIT_NO_LOOP;
    case GW_ERR_IO:
        return GW_EXIT_FILE;
    case GW_ERR_NOMEM:
    case GW_ERR_CONVERGE:
        return GW_EXIT_INTERNAL;
    case GW_ERR_SYNTAX:
    case GW_ERR_TYPE:
    case GW_ERR_UNIT:
    case GW_ERR_RANGE:
    case GW_ERR_KEY:
    case GW_ERR_MISSING:
    case GW_ERR_GEOMETRY:
        return GW_EXIT_INPUT;
    }
    return GW_EXIT_INTERNAL;
}

void gw_cli_print_problem(const char *file, const gw_err *e)
{
    fprintf(stderr, "%s", file);
    if (e->line > 0) {
        fprintf(stderr, ":%d:%d", e->line, e->column);
    }
    fprintf(stderr, ": %s%s%s\n", e->field, e->field[0] != '\0' ? ": " : "", e->text);
}

gw_exit gw_session_close(gw_session *s, gw_status st, const char *file)
{
    const gw_exit code = gw_cli_exit_of(st);
    if (st != GW_OK && s->err.text[0] != '\0') {
        gw_cli_print_problem(file, &s->err);
    }
    gw_units_destroy(s->units);
    gw_arena_destroy(s->arena);
    return code;
}

gw_status gw_session_open(gw_session *s)
{
    *s = (gw_session){.arena = gw_arena_create(GW_SESSION_CAP_BYTES)};
    if (s->arena == NULL) {
        return gw_fail(&s->err, GW_ERR_NOMEM, NULL, "out of memory");
    }
    s->units = gw_units_create(&s->err);
    return s->units != NULL ? GW_OK : s->err.code;
}

gw_status gw_session_read_job(gw_session *s, const char *path)
{
    const char *text = NULL;
    size_t length = 0;
    gw_status st = gw_file_read(s->arena, path, &text, &length, &s->err);
    if (st != GW_OK) {
        return st;
    }
    const gw_job_source source = {
        .arena = s->arena, .units = s->units, .text = text, .length = length};
    st = gw_job_read(&source, &s->job, &s->report, &s->err);
    for (size_t i = 0; i < s->report.errors.count; i++) {
        gw_cli_print_problem(path, &s->report.errors.items[i]);
    }
    if (s->report.unlisted > 0) {
        fprintf(stderr, "%s: and %zu more\n", path, s->report.unlisted);
    }
    if (s->report.errors.count > 0) {
        s->err.text[0] = '\0'; // printed above, with the others
    }
    return st;
}

void gw_session_print_warnings(const gw_session *s, const char *path)
{
    for (size_t i = 0; i < s->report.warnings.count; i++) {
        fprintf(stderr, "warning: ");
        gw_cli_print_problem(path, &s->report.warnings.items[i]);
    }
}

// A path in a job is relative to the job's own folder.
static const char *beside_job(gw_arena *arena, const char *job, const char *path)
{
    const char *const slash = strrchr(job, '/');
    if (path[0] == '/' || slash == NULL) {
        return path;
    }
    return gw_arena_printf(arena, "%.*s/%s", (int)(slash - job), job, path);
}

static gw_status read_named(gw_session *s, const char *job_path, const char *name,
                            gw_weather_text *out)
{
    out->name = beside_job(s->arena, job_path, name);
    return out->name != NULL ? gw_file_read(s->arena, out->name, &out->text, &out->length, &s->err)
                             : gw_fail(&s->err, GW_ERR_NOMEM, NULL, "out of memory");
}

gw_status gw_session_input(gw_session *s, const char *job_path, gw_design_input *out)
{
    *out = (gw_design_input){.job = s->job};
    gw_weather_text file;
    gw_status st = GW_OK;
    if (s->job->site.weather_file != NULL) {
        st = read_named(s, job_path, s->job->site.weather_file, &file);
        if (st == GW_OK) {
            st = gw_weather_read_epw(s->arena, file, &s->weather, &s->err);
        }
        out->weather = &s->weather;
    }
    if (st == GW_OK && s->job->money.price_book != NULL) {
        st = read_named(s, job_path, s->job->money.price_book, &file);
        if (st == GW_OK) {
            st = gw_price_book_read(s->arena, file.name, file.text, file.length, &s->prices,
                                    &s->err);
        }
        out->price_book = &s->prices;
    }
    return st;
}
