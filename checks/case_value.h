// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The numbers and tolerances of a case file: text to SI.
//
// Values: one quantity ("300 ft"), or several: separated by commas ("30 day, 1 year") or, when
// they are bare numbers in the SI unit of the kind, by blanks. Tolerances:
//   1e-6 relative | 0.05 absolute | 0.5 % | the printed digits
// The last means half a unit of the last digit written in the file.
#ifndef GW_CASE_VALUE_H
#define GW_CASE_VALUE_H

#include "base/arena.h"
#include "base/err.h"
#include "base/quantity.h"

#include <stdbool.h>
#include <stddef.h>

typedef struct {
    double *numbers;   // [count] SI
    double *last_half; // [count] half a unit of the last digit written, SI
    size_t count;
} gw_case_numbers;

typedef enum {
    GW_CASE_RELATIVE,
    GW_CASE_ABSOLUTE,
    GW_CASE_PRINTED,
    GW_CASE_BETWEEN, // and the one-sided bands
} gw_case_tolerance_kind;

typedef struct {
    gw_case_tolerance_kind kind;
    double amount; // fraction, or SI
    double low;    // of a band; −HUGE_VAL when open
    double high;
} gw_case_tolerance;

typedef struct {
    gw_arena *arena;
    gw_units *units;
} gw_case_context;

// A text that holds several values, cut up; `texts` lies in the arena.
gw_status gw_case_split(const gw_case_context *with, const char *text, const char ***texts,
                        size_t *count, gw_err *err) GW_MUST_USE;

gw_status gw_case_read_numbers(const gw_case_context *with, int kind, const char *text,
                               gw_case_numbers *out, gw_err *err) GW_MUST_USE;

// What follows `within`.
gw_status gw_case_read_tolerance(const char *text, gw_case_tolerance *out, gw_err *err) GW_MUST_USE;

// "between A and B", "at least A", "at most B": fills the band and returns true; *st says whether
// the numbers in it were good. Anything else: false.
bool gw_case_read_band(const gw_case_context *with, int kind, const char *text,
                       gw_case_tolerance *out, gw_status *st, gw_err *err);

// The greatest difference let through, SI; a band has none (0).
double gw_case_allowed(const gw_case_tolerance *tolerance, double expected, double last_half);

#endif
