// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "cli/command.h"

#include "base/builtin.h"
#include "base/table.h"
#include "cli/files.h"
#include "cli/session.h"
#include "design/design.h"
#include "job/starter.h"
#include "report/answer.h"

#include <string.h>

gw_exit gw_cli_new(const gw_options *options)
{
    gw_err err = {0};
    const gw_status st = gw_file_write(options->operand, gw_job_starter(), &err);
    if (st != GW_OK) {
        gw_cli_print_problem("new", &err);
    } else if (options->operand != NULL) {
        fprintf(stderr,
                "Wrote %s. Every key is explained in docs/job.md and by `groundwright schema`.\n",
                options->operand);
    }
    return gw_cli_exit_of(st);
}

gw_exit gw_cli_verify(const gw_options *options)
{
    gw_session s;
    gw_status st = gw_session_open(&s);
    if (st == GW_OK) {
        st = gw_session_read_job(&s, options->operand);
    }
    if (st == GW_OK) {
        gw_session_print_warnings(&s, options->operand);
        printf("%s is a valid job: %zu warning%s, %zu default%s in use.\n", options->operand,
               s.report.warnings.count, s.report.warnings.count == 1 ? "" : "s",
               s.job->default_count, s.job->default_count == 1 ? "" : "s");
    }
    return gw_session_close(&s, st, options->operand);
}

static gw_status write_answer(gw_session *s, const gw_design *design, const gw_options *options)
{
    const char *text = NULL;
    const gw_answer_style style = {.units = options->units, .verbose = options->verbose};
    const gw_status st = options->json ? gw_design_write_json(s->arena, design, &text, &s->err)
                                       : gw_report_answer(s->arena, design, style, &text, &s->err);
    return st == GW_OK ? gw_file_write(options->output, text, &s->err) : st;
}

gw_exit gw_cli_design(const gw_options *options)
{
    gw_session s;
    const gw_design *design = NULL;
    gw_status st = gw_session_open(&s);
    if (st == GW_OK) {
        st = gw_session_read_job(&s, options->operand);
    }
    if (st == GW_OK) {
        gw_session_print_warnings(&s, options->operand);
        gw_design_input input;
        st = gw_session_input(&s, options->operand, &input);
        if (st == GW_OK) {
            st = gw_design_run(s.arena, &input, &design, &s.err);
        }
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
    return gw_session_close(&s, st, options->operand);
}

gw_exit gw_cli_schema(const gw_options *options)
{
    gw_session s;
    const char *text = NULL;
    gw_status st = gw_session_open(&s);
    if (st == GW_OK) {
        st = gw_job_schema(s.arena, &text, &s.err);
    }
    if (st == GW_OK) {
        st = gw_file_write(options->output, text, &s.err);
    }
    return gw_session_close(&s, st, "schema");
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
            gw_arena *const arena = gw_arena_create(GW_SESSION_CAP_BYTES);
            const gw_status st = arena != NULL ? print_list(arena, &LISTS[i], &err) : GW_ERR_NOMEM;
            gw_arena_destroy(arena);
            if (st != GW_OK) {
                gw_cli_print_problem(LISTS[i].file, &err);
            }
            return gw_cli_exit_of(st);
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
