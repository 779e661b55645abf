// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The report for the people of the house: two pages of plain words and pictures, then the numbers,
// what was assumed, what is uncertain and what could go wrong. Trade terms are explained where they
// first stand.
//
//   st = gw_report_client(arena, design, &style, &pdf, err);
#ifndef GW_REPORT_CLIENT_H
#define GW_REPORT_CLIENT_H

#include "report/papers.h"

// Errors: those of gw_papers_open, GW_ERR_NOMEM.
gw_status gw_report_client(gw_arena *arena, const gw_design *design, const gw_papers_style *style,
                           gw_file_bytes *out, gw_err *err) GW_MUST_USE;

// The pages, for other back ends and for tests.
gw_status gw_report_client_pages(gw_arena *arena, const gw_design *design,
                                 const gw_papers_style *style, gw_pages *out,
                                 gw_err *err) GW_MUST_USE;

#endif
