/* SPDX-License-Identifier: Apache-2.0
 * SPDX-FileCopyrightText: groundwright contributors
 *
 * The public face of the library: open a job, run its design, take the answer, close.
 *
 * One work is one job with all its memory; works share nothing and may run on different threads.
 * The library opens no file, prints nothing and keeps no state of its own. Texts returned belong
 * to the work and live until groundwright_close.
 *
 *   groundwright *work = groundwright_open(text, length);
 *   if (groundwright_run(work) <= GROUNDWRIGHT_NO_LOOP) {
 *       puts(groundwright_text(work, GROUNDWRIGHT_IMPERIAL));
 *   }
 *   for (size_t i = 0; i < groundwright_problem_count(work); i++) { ... }
 *   groundwright_close(work);
 *
 * The formats of job and design are versioned inside the documents ("groundwright": 1,
 * "groundwright_design": 1); docs/job.md describes the job. */
#ifndef GROUNDWRIGHT_H
#define GROUNDWRIGHT_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef struct groundwright groundwright;

typedef enum {
    GROUNDWRIGHT_DONE = 0,      /* designed, and a loop stands */
    GROUNDWRIGHT_NO_LOOP = 1,   /* designed, but no loop of the job holds: the verdicts say why */
    GROUNDWRIGHT_BAD_INPUT = 2, /* the job, weather or prices have errors: see the problems */
    GROUNDWRIGHT_FAILED = 3     /* out of memory, or the numbers did not converge */
} groundwright_result;

typedef enum { GROUNDWRIGHT_METRIC = 0, GROUNDWRIGHT_IMPERIAL = 1 } groundwright_units;

/* Something found in the input: an error, or (warning 1) a value that is merely unusual. */
typedef struct {
    const char *path; /* place in the document, e.g. "house.envelope[3].area_m2" */
    const char *text; /* one sentence: found, expected */
    int line;         /* 1-based; 0: no place */
    int column;
    int warning;
} groundwright_problem;

/* Version of the library, "0.1.0". */
const char *groundwright_version(void);

/* Reads a job (JSON text of `length` bytes, copied). Returns NULL only when there is no memory; a job
 * with errors is opened too, so that they can be read. */
groundwright *groundwright_open(const char *job, size_t length);
void groundwright_close(groundwright *work); /* NULL is fine */

/* Everything found so far, errors first. */
size_t groundwright_problem_count(const groundwright *work);
groundwright_problem groundwright_problem_at(const groundwright *work, size_t index);

/* Names of files the job asks for, or NULL: the caller reads them and gives their text. */
const char *groundwright_weather_name(const groundwright *work);
const char *groundwright_prices_name(const groundwright *work);

/* An hourly file (EPW text), a price book (CSV text). Errors are among the problems. */
groundwright_result groundwright_give_weather(groundwright *work, const char *text, size_t length);
groundwright_result groundwright_give_prices(groundwright *work, const char *text, size_t length);

/* Designs. A job that names a weather file or a price book that was not given is bad input. */
groundwright_result groundwright_run(groundwright *work);

/* The design as JSON, or as plain text; NULL before a run that designed, or without memory. */
const char *groundwright_json(groundwright *work);
const char *groundwright_text(groundwright *work, groundwright_units units);

#ifdef __cplusplus
}
#endif

#endif
