// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The permit drawings of a design: site plan to scale, section of bore or trench with header trench
// and house entry, schedules, checklist by public standards, basis of the design.
//
// Sketches have the plan and the section only; records add sheets to fill in with what was
// installed. Where the job has a lot the plan is the lot with its features; without a surveyed
// lot the place of the field on it is said to be schematic.
//
//   const gw_papers_style style = {.units = GW_UNITS_METRIC, .paper = GW_PAPER_TABLOID,
//                                  .level = GW_LEVEL_PERMIT};
//   st = gw_report_permit(arena, design, &style, &pdf, err);
#ifndef GW_REPORT_PERMIT_H
#define GW_REPORT_PERMIT_H

#include "report/papers.h"

typedef struct {
    gw_scene *const *scenes;  // [count]
    const char *const *names; // for file names: "plan", "section" …
    size_t count;
} gw_permit_set;

// The sheets, for any back end. View 1 of the first sheet is the plan in the job's own axes
// (the lot, when the design laid the loop on it).
// Errors: those of gw_papers_open, GW_ERR_RANGE (the scale asked for does not fit the paper),
// GW_ERR_NOMEM.
gw_status gw_report_permit_sheets(gw_arena *arena, const gw_design *design,
                                  const gw_papers_style *style, gw_permit_set *out,
                                  gw_err *err) GW_MUST_USE;

// All of them as one PDF.
gw_status gw_report_permit(gw_arena *arena, const gw_design *design, const gw_papers_style *style,
                           gw_file_bytes *out, gw_err *err) GW_MUST_USE;

#endif
