// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The studies as JSON, for machines. Keys carry the SI unit, as the C fields do; money is in cents,
// but for the uncertainty study, whose statistics are in units of the currency. Each document names
// its kind and version: {"groundwright_study": "compare", "format": 1, …}.
#ifndef GW_STUDY_JSON_H
#define GW_STUDY_JSON_H

#include "study/compare.h"
#include "study/measures.h"
#include "study/spread.h"
#include "study/uncertainty.h"

// Errors of all: GW_ERR_NOMEM. The text lives in the arena.
gw_status gw_compare_write_json(gw_arena *arena, const gw_compare *compare, const char **out,
                                gw_err *err) GW_MUST_USE;
gw_status gw_spread_write_json(gw_arena *arena, const gw_spread *spread, const char **out,
                               gw_err *err) GW_MUST_USE;
gw_status gw_measures_write_json(gw_arena *arena, const gw_measures *measures, const char **out,
                                 gw_err *err) GW_MUST_USE;

// With `samples` every single draw is written too.
gw_status gw_uncertainty_write_json(gw_arena *arena, const gw_uncertainty *uncertainty,
                                    bool samples, const char **out, gw_err *err) GW_MUST_USE;

#endif
