// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What every command on a job opens, and closes at one place: memory, units, the job with its
// problems on standard error, and the files the job names.
#ifndef GW_CLI_SESSION_H
#define GW_CLI_SESSION_H

#include "cli/command.h"
#include "design/design.h"

typedef struct {
    gw_arena *arena;
    gw_units *units;
    const gw_job *job;
    gw_form_report report;
    gw_weather weather;   // read from the job's file, if it names one
    gw_price_book prices; // likewise
    gw_err err;
} gw_session;

#define GW_SESSION_CAP_BYTES ((size_t)1 << 30)

gw_status gw_session_open(gw_session *session) GW_MUST_USE;

// Prints err when `status` is not GW_OK and it has something to say; frees all; the exit code.
gw_exit gw_session_close(gw_session *session, gw_status status, const char *file);

// Reads the job; errors are printed.
gw_status gw_session_read_job(gw_session *session, const char *path) GW_MUST_USE;

// Prints what is merely unusual about the job.
void gw_session_print_warnings(const gw_session *session, const char *path);

// The job with the files that it names, ready to be designed; points into the session.
gw_status gw_session_input(gw_session *session, const char *job_path,
                           gw_design_input *out) GW_MUST_USE;

gw_exit gw_cli_exit_of(gw_status status);

// "job.json:12:9: house.envelope[3].area_m2: found …, expected …"
void gw_cli_print_problem(const char *file, const gw_err *err);

#endif
