// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Memory that runs out at the first, second, third … allocation of the whole main job: job read,
// design, both ways of telling it. Twice: at each piece taken from the arena, and at each call of
// malloc, calloc and realloc in the process, those of foreign libraries too: that one call, and
// then that one and all after it. Every run ends with an error or with the whole answer, never in a
// fault.
//
// Two things of foreign libraries are not held against the program. udunits2 ends the process when
// malloc fails in it: the sweep of malloc begins when the job is read. And jansson leaves a member
// out of the JSON when one single call fails and the next ones do not: such answers are counted.
//
//   sweep_memory JOB [EVERY]      every EVERY-th point; prints how many were tried
#include "design/design.h"
#include "job/job.h"
#include "report/answer.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

enum { JOB_MOST = 1 << 16, FAULTS_SHOWN = 20 };

// ---------------------------------------------------------------- malloc that fails once

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *old, size_t size);

static bool armed; // counting begins when the job is read
static bool counting;
static size_t calls;
static size_t fail_at;     // 0: never
static bool fails_forever; // and every later one too

static bool fails_now(void)
{
    if (!counting) {
        return false;
    }
    calls++;
    return fail_at != 0 && (calls == fail_at || (fails_forever && calls > fail_at));
}

void *malloc(size_t size)
{
    return fails_now() ? NULL : __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    return fails_now() ? NULL : __libc_calloc(count, size);
}

void *realloc(void *old, size_t size)
{
    return fails_now() ? NULL : __libc_realloc(old, size);
}

// ---------------------------------------------------------------- the main job

static char job_text[JOB_MOST];
static size_t job_length;
static char *whole; // what a run with enough memory says

static gw_units *units;

typedef enum { SAID_ALL, SAID_AN_ERROR, SAID_LESS, SAID_SOMETHING_ELSE } outcome;

// A design with a member missing is shorter.
static outcome tell_apart(const char *json)
{
    if (whole == NULL) {
        whole = strdup(json);
    }
    if (whole == NULL || strcmp(json, whole) == 0) {
        return SAID_ALL;
    }
    return strlen(json) < strlen(whole) ? SAID_LESS : SAID_SOMETHING_ELSE;
}

// With an arena that ends after so many pieces.
static outcome run_rooms(size_t allowed)
{
    gw_err err = {0};
    gw_arena *const arena = gw_arena_create(0);
    if (arena == NULL) {
        return SAID_AN_ERROR;
    }
    const gw_job_source source = {
        .arena = arena, .units = units, .text = job_text, .length = job_length};
    gw_form_report report = {0};
    const gw_job *job = NULL;
    const gw_design *design = NULL;
    const char *json = NULL;
    const char *text = NULL;
    gw_arena_fail_after(arena, allowed);
    gw_status st = gw_job_read(&source, &job, &report, &err);
    counting = armed;
    if (st == GW_OK) {
        st = gw_design_run(arena, &(gw_design_input){.job = job}, &design, &err);
    }
    if (st == GW_OK) {
        st = gw_design_write_json(arena, design, &json, &err);
    }
    if (st == GW_OK) {
        st = gw_report_answer(arena, design, (gw_answer_style){.units = GW_UNITS_METRIC}, &text,
                              &err);
    }
    counting = false;
    outcome said = st == GW_ERR_NOMEM ? SAID_AN_ERROR : SAID_SOMETHING_ELSE;
    if (st == GW_OK) {
        said = tell_apart(json);
    } else if (said == SAID_SOMETHING_ELSE) {
        printf("after %zu pieces: %s: %s\n", allowed, gw_status_text(st), err.text);
    }
    gw_arena_destroy(arena);
    return said;
}

// ---------------------------------------------------------------- sweeps

// In a child, so that a fault is counted and the sweep goes on. Its exit code is the outcome.
static outcome try_point(size_t point, bool forever)
{
    fflush(stdout);
    const pid_t child = fork();
    if (child == 0) {
        fail_at = point;
        fails_forever = forever;
        calls = 0;
        armed = true;
        const outcome said = run_rooms(SIZE_MAX);
        _exit((int)said);
    }
    int status = 0;
    waitpid(child, &status, 0);
    if (WIFEXITED(status) && WEXITSTATUS(status) <= SAID_LESS &&
        !(forever && WEXITSTATUS(status) == SAID_LESS)) {
        return (outcome)WEXITSTATUS(status);
    }
    printf("malloc %zu%s: %s %d\n", point, forever ? " and all after it" : "",
           WIFSIGNALED(status) ? "killed by signal" : "exit",
           WIFSIGNALED(status) ? WTERMSIG(status) : WEXITSTATUS(status));
    return SAID_SOMETHING_ELSE;
}

static size_t sweep_mallocs(size_t every)
{
    size_t seen[SAID_SOMETHING_ELSE + 1] = {0};
    calls = 0;
    armed = true;
    run_rooms(SIZE_MAX);
    armed = false;
    const size_t all = calls;
    size_t tried = 0;
    for (size_t point = 1; point <= all; point += every) {
        for (int forever = 0; forever < 2; forever++) {
            seen[try_point(point, forever == 1)]++;
            tried++;
        }
    }
    printf("%zu of %zu points of malloc tried: %zu errors, %zu whole answers, %zu with a member "
           "missing, "
           "%zu faults\n",
           tried, 2 * all, seen[SAID_AN_ERROR], seen[SAID_ALL], seen[SAID_LESS],
           seen[SAID_SOMETHING_ELSE]);
    return seen[SAID_SOMETHING_ELSE];
}

static size_t sweep_pieces(size_t every)
{
    size_t faults = 0;
    size_t tried = 0;
    outcome said = SAID_AN_ERROR;
    size_t allowed = 0;
    for (; said != SAID_ALL; allowed += every) {
        said = run_rooms(allowed);
        faults += said == SAID_SOMETHING_ELSE ? 1 : 0;
        tried++;
        if (faults > FAULTS_SHOWN) {
            break;
        }
    }
    printf("%zu points of about %zu pieces of the arena tried, %zu faults\n", tried, allowed,
           faults);
    return faults;
}

int main(int argc, char **argv)
{
    FILE *const file = argc > 1 ? fopen(argv[1], "rb") : NULL;
    const int every = argc > 2 ? atoi(argv[2]) : 1;
    if (file == NULL || every < 1) {
        fprintf(stderr, "usage: sweep_memory JOB [EVERY]\n");
        return 2;
    }
    job_length = fread(job_text, 1, sizeof job_text - 1, file);
    fclose(file);
    units = gw_units_create(NULL);
    if (units == NULL || run_rooms(SIZE_MAX) != SAID_ALL) {
        fprintf(stderr, "the job does not design\n");
        return 2;
    }
    const size_t faults = sweep_mallocs((size_t)every) + sweep_pieces((size_t)every);
    free(whole);
    gw_units_destroy(units);
    return faults == 0 ? 0 : 1;
}
