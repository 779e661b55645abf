// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The design report for the reviewing engineer: every input as typed, every default in use, each
// step with its method, source and intermediate results, so that it can be checked by hand.
//
//   st = gw_report_engineer(arena, design, &style, &pdf, err);
#ifndef GW_REPORT_ENGINEER_H
#define GW_REPORT_ENGINEER_H

#include "report/papers.h"

// Errors: those of gw_papers_open, GW_ERR_NOMEM.
gw_status gw_report_engineer(gw_arena *arena, const gw_design *design, const gw_papers_style *style,
                             gw_file_bytes *out, gw_err *err) GW_MUST_USE;

// The pages, for other back ends and for tests.
gw_status gw_report_engineer_pages(gw_arena *arena, const gw_design *design,
                                   const gw_papers_style *style, gw_pages *out,
                                   gw_err *err) GW_MUST_USE;

#endif
