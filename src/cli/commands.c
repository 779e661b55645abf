// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "cli/command.h"

#include "base/builtin.h"
#include "base/table.h"
#include "cli/files.h"
#include "design/design.h"
#include "job/starter.h"
#include "report/answer.h"

#include <string.h>

static const size_t MEMORY_CAP = (size_t)1 << 30;

static gw_exit exit_of(gw_status st)
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

// "job.json:12:9: house.envelope[3].area_m2: found …, expected …"
static void print_problem(const char *file, const gw_err *e)
{
    fprintf(stderr, "%s", file);
    if (e->line > 0) {
        fprintf(stderr, ":%d:%d", e->line, e->column);
    }
    fprintf(stderr, ": %s%s%s\n", e->field, e->field[0] != '\0' ? ": " : "", e->text);
}

// What every command on a job opens, and closes at one place.
typedef struct {
    gw_arena *arena;
    gw_units *units;
    const gw_job *job;
    gw_form_report report;
    gw_err err;
} session;

static gw_exit close_session(session *s, gw_status st, const char *file)
{
    const gw_exit code = exit_of(st);
    if (st != GW_OK && s->err.text[0] != '\0') {
        print_problem(file, &s->err);
    }
    gw_units_destroy(s->units);
    gw_arena_destroy(s->arena);
    return code;
}

static gw_status open_session(session *s)
{
    *s = (session){.arena = gw_arena_create(MEMORY_CAP)};
    if (s->arena == NULL) {
        return gw_fail(&s->err, GW_ERR_NOMEM, NULL, "out of memory");
    }
    s->units = gw_units_create(&s->err);
    return s->units != NULL ? GW_OK : s->err.code;
}

static gw_status read_job(session *s, const char *path)
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
        print_problem(path, &s->report.errors.items[i]);
    }
    if (s->report.unlisted > 0) {
        fprintf(stderr, "%s: and %zu more\n", path, s->report.unlisted);
    }
    if (s->report.errors.count > 0) {
        s->err.text[0] = '\0'; // printed above, with the others
    }
    return st;
}

gw_exit gw_cli_new(const gw_options *options)
{
    gw_err err = {0};
    const gw_status st = gw_file_write(options->operand, gw_job_starter(), &err);
    if (st != GW_OK) {
        print_problem("new", &err);
    } else if (options->operand != NULL) {
        fprintf(stderr,
                "Wrote %s. Every key is explained in docs/job.md and by `groundwright schema`.\n",
                options->operand);
    }
    return exit_of(st);
}

gw_exit gw_cli_verify(const gw_options *options)
{
    session s;
    gw_status st = open_session(&s);
    if (st == GW_OK) {
        st = read_job(&s, options->operand);
    }
    if (st == GW_OK) {
        for (size_t i = 0; i < s.report.warnings.count; i++) {
            fprintf(stderr, "warning: ");
            print_problem(options->operand, &s.report.warnings.items[i]);
        }
        printf("%s is a valid job: %zu warning%s, %zu default%s in use.\n", options->operand,
               s.report.warnings.count, s.report.warnings.count == 1 ? "" : "s",
               s.job->default_count, s.job->default_count == 1 ? "" : "s");
    }
    return close_session(&s, st, options->operand);
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

static gw_status read_weather(session *s, const char *job_path, gw_weather *out)
{
    const char *const path = beside_job(s->arena, job_path, s->job->site.weather_file);
    const char *text = NULL;
    size_t length = 0;
    gw_status st =
        path != NULL ? gw_file_read(s->arena, path, &text, &length, &s->err) : GW_ERR_NOMEM;
    if (st == GW_OK) {
        st = gw_weather_read_epw(s->arena, (gw_weather_text){path, text, length}, out, &s->err);
    }
    return st;
}

static gw_status read_prices(session *s, const char *job_path, gw_price_book *out)
{
    const char *const path = beside_job(s->arena, job_path, s->job->money.price_book);
    const char *text = NULL;
    size_t length = 0;
    gw_status st =
        path != NULL ? gw_file_read(s->arena, path, &text, &length, &s->err) : GW_ERR_NOMEM;
    if (st == GW_OK) {
        st = gw_price_book_read(s->arena, path, text, length, out, &s->err);
    }
    return st;
}

static gw_status run_design(session *s, const char *job_path, const gw_design **design)
{
    gw_design_input input = {.job = s->job};
    gw_weather weather;
    gw_price_book prices;
    gw_status st = GW_OK;
    if (s->job->site.weather_file != NULL) {
        st = read_weather(s, job_path, &weather);
        input.weather = &weather;
    }
    if (st == GW_OK && s->job->money.price_book != NULL) {
        st = read_prices(s, job_path, &prices);
        input.price_book = &prices;
    }
    if (st != GW_OK) {
        return st;
    }
    // The design refers to the weather and must not outlive this frame's copy.
    if (input.weather != NULL) {
        gw_weather *const kept = gw_arena_alloc(s->arena, 1, sizeof *kept);
        if (kept == NULL) {
            return gw_fail(&s->err, GW_ERR_NOMEM, NULL, "out of memory");
        }
        *kept = weather;
        input.weather = kept;
    }
    st = gw_design_run(s->arena, &input, design, &s->err);
    return st;
}

static gw_status write_answer(session *s, const gw_design *design, const gw_options *options)
{
    const char *text = NULL;
    const gw_answer_style style = {.units = options->units, .verbose = options->verbose};
    const gw_status st = options->json ? gw_design_write_json(s->arena, design, &text, &s->err)
                                       : gw_report_answer(s->arena, design, style, &text, &s->err);
    return st == GW_OK ? gw_file_write(options->output, text, &s->err) : st;
}

gw_exit gw_cli_design(const gw_options *options)
{
    session s;
    const gw_design *design = NULL;
    gw_status st = open_session(&s);
    if (st == GW_OK) {
        st = read_job(&s, options->operand);
    }
    if (st == GW_OK) {
        for (size_t i = 0; i < s.report.warnings.count; i++) {
            fprintf(stderr, "warning: ");
            print_problem(options->operand, &s.report.warnings.items[i]);
        }
        st = run_design(&s, options->operand, &design);
    }
    if (design != NULL) {
        // A design without a loop that stands is shown too: its verdicts say why.
        const gw_err why = s.err;
        const gw_status written = write_answer(&s, design, options);
        if (written == GW_OK) {
            s.err = why;
        } else {
            st = written;
        }
    }
    return close_session(&s, st, options->operand);
}

gw_exit gw_cli_schema(const gw_options *options)
{
    session s;
    const char *text = NULL;
    gw_status st = open_session(&s);
    if (st == GW_OK) {
        st = gw_job_schema(s.arena, &text, &s.err);
    }
    if (st == GW_OK) {
        st = gw_file_write(options->output, text, &s.err);
    }
    return close_session(&s, st, "schema");
}

// ---------------------------------------------------------------- lists

typedef struct {
    const char *name;
    const char *file;
    const char *columns[4]; // up to the first NULL
} list_row;

static const list_row LISTS[] = {
    {"stations", "stations.csv", {"id", "name", "region", "heating_design_degc"}},
    {"soils", "soils.csv", {"id", "name", NULL, NULL}},
    {"pipes", "pipes.csv", {"id", "name", NULL, NULL}},
    {"heat-pumps", "heat_pumps.csv", {"id", "name", NULL, NULL}},
    {"fluids", "fluid_kinds.csv", {"id", "name", NULL, NULL}},
    {"fuels", "fuels.csv", {"key", "name", "unit", "price"}},
    {"prices", "prices.csv", {"key", "unit", "typical", "what"}},
};

static gw_status print_list(gw_arena *arena, const list_row *list, gw_err *err)
{
    gw_builtin_file file;
    gw_table table;
    if (!gw_builtin(list->file, &file)) {
        return gw_fail(err, GW_ERR_IO, list->file, "the built-in table is missing");
    }
    gw_status st = gw_table_read(arena, file.name, file.text, file.length, &table, err);
    const char *last = "";
    for (size_t row = 0; st == GW_OK && row < table.rows; row++) {
        for (size_t c = 0; c < 4 && list->columns[c] != NULL && st == GW_OK; c++) {
            const char *cell = NULL;
            st = gw_table_text(&table, row, list->columns[c], &cell, err);
            if (st != GW_OK || (c == 0 && strcmp(cell, last) == 0)) {
                break; // rows of one thing stand together: name it once
            }
            last = c == 0 ? cell : last;
            const bool more = c + 1 < 4 && list->columns[c + 1] != NULL;
            printf("%-*s%s", !more ? 0 : c == 0 ? 24 : 40, cell, more ? " " : "\n");
        }
    }
    return st;
}

gw_exit gw_cli_list(const gw_options *options)
{
    for (size_t i = 0; i < sizeof LISTS / sizeof LISTS[0]; i++) {
        if (strcmp(options->operand, LISTS[i].name) == 0) {
            gw_err err = {0};
            gw_arena *const arena = gw_arena_create(MEMORY_CAP);
            const gw_status st = arena != NULL ? print_list(arena, &LISTS[i], &err) : GW_ERR_NOMEM;
            gw_arena_destroy(arena);
            if (st != GW_OK) {
                print_problem(LISTS[i].file, &err);
            }
            return exit_of(st);
        }
    }
    fprintf(stderr, "groundwright list: found \"%s\", expected one of:", options->operand);
    for (size_t i = 0; i < sizeof LISTS / sizeof LISTS[0]; i++) {
        fprintf(stderr, " %s", LISTS[i].name);
    }
    fprintf(stderr, "\n");
    return GW_EXIT_USAGE;
}

gw_exit gw_cli_print_man(const gw_options *options)
{
    (void)options;
    gw_cli_man(stdout);
    return GW_EXIT_DONE;
}
