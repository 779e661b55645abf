// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A design as plain text for a terminal: the answer first, then what it rests on.
//
// Order: answer, loops side by side, each loop's verdicts, house, yearly cost beside the
// alternatives, cost by line, warnings, defaults used, cautions. 100 columns.
#ifndef GW_REPORT_ANSWER_H
#define GW_REPORT_ANSWER_H

#include "design/design.h"

typedef struct {
    gw_unit_system units;
    bool verbose; // sizing tries, soil and resistance numbers
} gw_answer_style;

// Errors: GW_ERR_NOMEM.
gw_status gw_report_answer(gw_arena *arena, const gw_design *design, gw_answer_style style,
                           const char **out, gw_err *err) GW_MUST_USE;

#endif
