// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// `compare`, `spread`, `measures`, `uncertainty`: studies of a job.
#include "cli/command.h"

#include "cli/files.h"
#include "cli/session.h"
#include "cli/study_text.h"
#include "study/study_json.h"

#include <unistd.h>

// A study makes its text from a design input; errors are in the session.
typedef gw_status study_fn(gw_session *s, const gw_design_input *input, const gw_options *options,
                           const char **text);

static gw_exit run_study(const gw_options *options, study_fn *study)
{
    gw_session s;
    const char *text = NULL;
    gw_design_input input;
    gw_status st = gw_session_open(&s);
    if (st == GW_OK) {
        st = gw_session_read_job(&s, options->operand);
    }
    if (st == GW_OK) {
        gw_session_print_warnings(&s, options->operand);
        st = gw_session_input(&s, options->operand, &input);
    }
    if (st == GW_OK) {
        st = study(&s, &input, options, &text);
    }
    if (text != NULL) {
        const gw_err why = s.err;
        const gw_status written = gw_file_write(options->output, text, &s.err);
        if (written == GW_OK) {
            s.err = why;
        } else {
            st = written;
        }
    }
    return gw_session_close(&s, st, options->operand);
}

static gw_study_style style_of(const gw_session *s, const gw_options *options)
{
    return (gw_study_style){.job = s->job, .units = options->units, .verbose = options->verbose};
}

// A line that overwrites itself while somebody looks.
static bool show_progress(void *context, size_t done, size_t all)
{
    const char *const what = context;
    fprintf(stderr, "\r%s: %zu of at most %zu designs%s", what, done, all, done == all ? "\n" : "");
    return true;
}

// ---------------------------------------------------------------- compare

static gw_status compare(gw_session *s, const gw_design_input *input, const gw_options *options,
                         const char **text)
{
    gw_compare out;
    gw_status st = gw_compare_loops(s->arena, input, &out, &s->err);
    if (st != GW_OK) {
        return st;
    }
    const gw_study_style style = style_of(s, options);
    st = options->json ? gw_compare_write_json(s->arena, &out, text, &s->err)
                       : gw_study_text_compare(s->arena, &style, &out, text, &s->err);
    if (st == GW_OK && out.best == out.count) {
        return gw_fail(&s->err, GW_ERR_CAPACITY, "loops",
                       "none of the %zu loops of the job holds its limits on this lot", out.count);
    }
    return st;
}

gw_exit gw_cli_compare(const gw_options *options)
{
    return run_study(options, compare);
}

// ---------------------------------------------------------------- spread

static gw_status spread(gw_session *s, const gw_design_input *input, const gw_options *options,
                        const char **text)
{
    const gw_spread_input in = {.design = *input, .loop = s->job->loop_count};
    gw_spread out;
    const gw_status st = gw_spread_run(s->arena, &in, &out, &s->err);
    if (st != GW_OK) {
        return st;
    }
    const gw_study_style style = style_of(s, options);
    return options->json ? gw_spread_write_json(s->arena, &out, text, &s->err)
                         : gw_study_text_spread(s->arena, &style, &out, text, &s->err);
}

gw_exit gw_cli_spread(const gw_options *options)
{
    return run_study(options, spread);
}

// ---------------------------------------------------------------- measures

static gw_status measures(gw_session *s, const gw_design_input *input, const gw_options *options,
                          const char **text)
{
    static char what[] = "measures";
    const gw_study_watch watch = {show_progress, what};
    gw_measures_input in = {.design = *input, .loop = s->job->loop_count};
    in.watch = isatty(STDERR_FILENO) ? &watch : NULL;
    gw_measures out;
    gw_status st = gw_measures_usual(s->arena, s->job, &in.list, &s->err);
    if (st == GW_OK) {
        st = gw_measures_run(s->arena, &in, &out, &s->err);
    }
    if (st != GW_OK) {
        return st;
    }
    const gw_study_style style = style_of(s, options);
    return options->json ? gw_measures_write_json(s->arena, &out, text, &s->err)
                         : gw_study_text_measures(s->arena, &style, &out, text, &s->err);
}

gw_exit gw_cli_measures(const gw_options *options)
{
    return run_study(options, measures);
}

// ---------------------------------------------------------------- uncertainty

enum { USUAL_SAMPLES = 400 };

static gw_status uncertainty(gw_session *s, const gw_design_input *input, const gw_options *options,
                             const char **text)
{
    static char what[] = "uncertainty";
    const gw_study_watch watch = {show_progress, what};
    gw_uncertain list[GW_UNCERTAIN_COUNT];
    const gw_uncertainty_input in = {
        .design = *input,
        .loop = s->job->loop_count,
        .variables = list,
        .variable_count = gw_uncertainty_usual(list),
        .samples = options->samples > 0 ? options->samples : USUAL_SAMPLES,
        .seed = options->has_seed ? options->seed : 1,
        .mode = options->resize ? GW_UNCERTAINTY_RESIZED : GW_UNCERTAINTY_FIXED,
        .watch = isatty(STDERR_FILENO) ? &watch : NULL};
    gw_uncertainty out;
    const gw_status st = gw_uncertainty_run(s->arena, &in, &out, &s->err);
    if (st != GW_OK) {
        return st;
    }
    const gw_study_style style = style_of(s, options);
    return options->json
               ? gw_uncertainty_write_json(s->arena, &out, options->verbose, text, &s->err)
               : gw_study_text_uncertainty(s->arena, &style, &out, text, &s->err);
}

gw_exit gw_cli_uncertainty(const gw_options *options)
{
    return run_study(options, uncertainty);
}
