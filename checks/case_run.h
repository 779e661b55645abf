// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Runs the cases of a file: binds what is given to the verb, calls it, compares with what is
// expected. It prints nothing: every comparison and every trouble goes to the caller's functions.
//
// A tolerance looser than 1 % of the expected value needs a reason (`because`), and so does a band.
// The printed digits need none: the rounding of the source is the reason.
#ifndef GW_CASE_RUN_H
#define GW_CASE_RUN_H

#include "base/quantity.h"
#include "case_file.h"
#include "case_value.h"

#include <stdbool.h>
#include <stddef.h>

// One number compared.
typedef struct {
    const gw_case *of;
    const char *row;      // cells of the row, or NULL
    const char *quantity; // name of the result
    size_t index;         // among the values of a list
    size_t count;
    gw_case_tolerance tolerance;
    double expected; // of a band: its middle or its one edge
    double got;      // NAN when the verb refused
    double allowed;  // greatest difference; a band has none
    bool pass;
} gw_case_verdict;

typedef struct {
    void *context;
    void (*verdict)(void *context, const gw_case_verdict *verdict);
    // Something is wrong with the file or the library refused: line and one sentence.
    void (*trouble)(void *context, const gw_case_file *file, int line, const char *text);
} gw_case_listener;

// Runs everything; troubles of one case do not stop the next. GW_ERR_NOMEM only.
gw_status gw_case_run(const gw_case_file *file, gw_units *units, const gw_case_listener *to,
                      gw_err *err) GW_MUST_USE;

#endif
