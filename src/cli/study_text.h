// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The studies as plain text with pictures made of letters, for a terminal.
#ifndef GW_CLI_STUDY_TEXT_H
#define GW_CLI_STUDY_TEXT_H

#include "base/quantity.h"
#include "study/compare.h"
#include "study/measures.h"
#include "study/spread.h"
#include "study/uncertainty.h"

typedef struct {
    const gw_job *job; // name and currency
    gw_unit_system units;
    bool verbose;
} gw_study_style;

// Errors of all: GW_ERR_NOMEM.
gw_status gw_study_text_compare(gw_arena *arena, const gw_study_style *style, const gw_compare *c,
                                const char **out, gw_err *err) GW_MUST_USE;
gw_status gw_study_text_spread(gw_arena *arena, const gw_study_style *style, const gw_spread *s,
                               const char **out, gw_err *err) GW_MUST_USE;
gw_status gw_study_text_measures(gw_arena *arena, const gw_study_style *style, const gw_measures *m,
                                 const char **out, gw_err *err) GW_MUST_USE;
gw_status gw_study_text_uncertainty(gw_arena *arena, const gw_study_style *style,
                                    const gw_uncertainty *u, const char **out,
                                    gw_err *err) GW_MUST_USE;

#endif
