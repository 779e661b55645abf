// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// `groundwright papers`: permit drawings and reports of a job into a folder.
#include "cli/command.h"

#include "base/text.h"
#include "cli/files.h"
#include "cli/session.h"
#include "draw/dxf.h"
#include "draw/svg.h"
#include "report/client.h"
#include "report/engineer.h"
#include "report/permit.h"

#include <string.h>

typedef struct {
    gw_session session;
    const gw_design *design;
    gw_papers_style style;
    const char *folder;
} work;

// "1:200" or "200".
static gw_status read_scale(const char *text, double *out, gw_err *err)
{
    const char *const number = strncmp(text, "1:", 2) == 0 ? text + 2 : text;
    if (!gw_text_to_number(number, strlen(number), out) || !(*out >= 1.0 && *out <= 10000.0)) {
        return gw_fail(err, GW_ERR_RANGE, "--scale", "found \"%s\", expected 1:1 to 1:10000", text);
    }
    return GW_OK;
}

static gw_status read_loop(const char *text, size_t *out, gw_err *err)
{
    double number = 0.0;
    if (!gw_text_to_number(text, strlen(text), &number) || !(number >= 1.0 && number <= 1000.0) ||
        number != (double)(size_t)number) {
        return gw_fail(err, GW_ERR_RANGE, "--loop", "found \"%s\", expected its number in the job",
                       text);
    }
    *out = (size_t)number;
    return GW_OK;
}

static gw_status read_style(const gw_options *options, gw_papers_style *style, gw_err *err)
{
    *style = (gw_papers_style){
        .units = options->units, .paper = GW_PAPER_TABLOID, .level = GW_LEVEL_PERMIT};
    gw_status st = GW_OK;
    if (options->paper != NULL) {
        st = gw_paper_find(options->paper, &style->paper, err);
    }
    if (st == GW_OK && options->level != NULL) {
        st = gw_drawing_level_find(options->level, &style->level, err);
    }
    if (st == GW_OK && options->scale != NULL) {
        st = read_scale(options->scale, &style->scale, err);
    }
    if (st == GW_OK && options->loop != NULL) {
        st = read_loop(options->loop, &style->loop, err);
    }
    return st;
}

static gw_status keep(work *w, const char *name, const gw_file_bytes *file)
{
    const char *const path = gw_arena_printf(w->session.arena, "%s/%s", w->folder, name);
    if (path == NULL) {
        return gw_fail(&w->session.err, GW_ERR_NOMEM, NULL, "out of memory");
    }
    const gw_status st = gw_file_write_bytes(path, file->data, file->length, &w->session.err);
    if (st == GW_OK) {
        printf("%s\n", path);
    }
    return st;
}

static gw_status write_reports(work *w)
{
    const struct {
        const char *name;
        gw_status (*make)(gw_arena *, const gw_design *, const gw_papers_style *, gw_file_bytes *,
                          gw_err *);
    } papers[] = {{"permit.pdf", gw_report_permit},
                  {"client.pdf", gw_report_client},
                  {"engineer.pdf", gw_report_engineer}};
    gw_status st = GW_OK;
    for (size_t i = 0; i < 3 && st == GW_OK; i++) {
        gw_file_bytes file = {0};
        st = papers[i].make(w->session.arena, w->design, &w->style, &file, &w->session.err);
        if (st == GW_OK) {
            st = keep(w, papers[i].name, &file);
        }
    }
    return st;
}

static gw_status write_drawings(work *w)
{
    gw_arena *const arena = w->session.arena;
    gw_err *const err = &w->session.err;
    gw_permit_set set;
    gw_file_bytes file = {0};
    gw_status st = gw_report_permit_sheets(arena, w->design, &w->style, &set, err);
    for (size_t i = 0; st == GW_OK && i < set.count; i++) {
        const char *const name = gw_arena_printf(arena, "%zu-%s.svg", i + 1, set.names[i]);
        st = name != NULL ? gw_svg_write(arena, set.scenes[i], w->design->job->name, &file, err)
                          : gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory");
        if (st == GW_OK) {
            st = keep(w, name, &file);
        }
    }
    if (st == GW_OK) {
        const gw_dxf_part plan = {.view = 1, .units = w->style.units};
        st = gw_dxf_write(arena, set.scenes[0], &plan, &file, err);
    }
    return st == GW_OK
               ? keep(w, w->style.units == GW_UNITS_METRIC ? "plan-metres.dxf" : "plan-feet.dxf",
                      &file)
               : st;
}

static gw_status design_job(work *w, const char *job_path)
{
    gw_session *const s = &w->session;
    gw_status st = gw_session_read_job(s, job_path);
    if (st != GW_OK) {
        return st;
    }
    gw_session_print_warnings(s, job_path);
    gw_design_input input;
    st = gw_session_input(s, job_path, &input);
    return st == GW_OK ? gw_design_run(s->arena, &input, &w->design, &s->err) : st;
}

gw_exit gw_cli_papers(const gw_options *options)
{
    gw_err usage = {0};
    work w = {.folder = options->output};
    if (read_style(options, &w.style, &usage) != GW_OK || options->output == NULL) {
        fprintf(stderr, "groundwright papers: %s%s%s\nTry: groundwright help papers\n", usage.field,
                usage.field[0] != '\0' ? ": " : "",
                usage.text[0] != '\0' ? usage.text : "expected --output and a folder");
        return GW_EXIT_USAGE;
    }
    gw_status st = gw_session_open(&w.session);
    if (st == GW_OK) {
        st = design_job(&w, options->operand);
    }
    if (w.design != NULL) {
        // Papers of a loop that does not hold are made too: they say so on every sheet.
        const gw_status designed = st;
        const gw_err why = w.session.err;
        w.session.err = (gw_err){0};
        st = gw_folder_make(w.folder, &w.session.err);
        st = st == GW_OK ? write_reports(&w) : st;
        st = st == GW_OK ? write_drawings(&w) : st;
        if (st == GW_OK && designed != GW_OK) {
            st = designed;
            w.session.err = why;
        }
    }
    return gw_session_close(&w.session, st, options->operand);
}
