// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// `loads`: the load sheet of a job.
#include "cli/command.h"

#include "cli/files.h"
#include "cli/session.h"
#include "report/load_sheet.h"

static gw_status make_sheet(gw_session *s, const gw_options *options)
{
    gw_design_input input;
    gw_load_sheet sheet;
    const char *text = NULL;
    gw_status st = gw_session_input(s, options->operand, &input);
    if (st == GW_OK) {
        const gw_load_sheet_input in = {.job = s->job, .weather = input.weather};
        st = gw_load_sheet_run(s->arena, &in, &sheet, &s->err);
    }
    if (st == GW_OK) {
        st = options->json ? gw_load_sheet_json(s->arena, &sheet, &text, &s->err)
                           : gw_load_sheet_text(s->arena, &sheet, options->units, &text, &s->err);
    }
    return st == GW_OK ? gw_file_write(options->output, text, &s->err) : st;
}

gw_exit gw_cli_loads(const gw_options *options)
{
    gw_session s;
    gw_status st = gw_session_open(&s);
    if (st == GW_OK) {
        st = gw_session_read_job(&s, options->operand);
    }
    if (st == GW_OK) {
        gw_session_print_warnings(&s, options->operand);
        st = make_sheet(&s, options);
    }
    return gw_session_close(&s, st, options->operand);
}
