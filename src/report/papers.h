// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What the papers of a design share: their style, the loop they are about, texts in the reader's
// units, and the design's figures by key.
//
// The papers are the permit drawings (permit.h), the client report (client.h) and the design report
// for the reviewing engineer (engineer.h). They hold no dates and no signatures: those are lines to
// write on, so the same design gives the same bytes.
#ifndef GW_REPORT_PAPERS_H
#define GW_REPORT_PAPERS_H

#include "base/table.h"
#include "design/design.h"
#include "draw/sheet.h"

typedef struct {
    gw_unit_system units;
    gw_paper paper;         // of the drawings; reports take Letter or A4, whichever goes with it
    gw_drawing_level level; // of the drawings
    double scale;           // of the site plan, 1 : scale; 0: the largest usual one that fits
    size_t loop; // which one, counted from 1 in the job's order; 0: the best, else the first
} gw_papers_style;

// Kept while one paper is made. A failed allocation is remembered in `failed`.
typedef struct {
    gw_arena *arena;
    const gw_design *design;
    const gw_design_loop *loop; // the one the paper is about
    gw_papers_style style;
    bool failed;
} gw_papers;

// Errors: GW_ERR_MISSING (a design without loops), GW_ERR_RANGE (style; a loop of another kind than
// bores and straight-pipe trenches: the message names those that can be drawn).
gw_status gw_papers_open(gw_papers *papers, gw_arena *arena, const gw_design *design,
                         const gw_papers_style *style, gw_err *err) GW_MUST_USE;

// Texts in the arena; never NULL.
const char *gw_papers_text(gw_papers *p, const char *fmt, ...) GW_PRINTF(2, 3);
const char *gw_papers_quantity(gw_papers *p, gw_quantity_kind kind, double si);
const char *gw_papers_money(gw_papers *p, gw_money amount);

// A length as drawings are dimensioned: "3.66 m", "91.4 m", "12′-6″"; a small one: "150 mm", "6
// in".
const char *gw_papers_measure(gw_papers *p, double length_m);
const char *gw_papers_small(gw_papers *p, double length_m);

// A quantity of a price line in the reader's units ("m", "m2", "m3", "kg", "W", else as it is).
const char *gw_papers_amount(gw_papers *p, double quantity, const char *unit);
const char *gw_papers_place(gw_papers *p);             // station and region
const char *gw_papers_hour(gw_papers *p, size_t hour); // "14 February, 06:00"
const char *gw_papers_loop(gw_papers *p);              // "5 bores of 93.0 m: 465 m of bore"
const char *gw_papers_limit(gw_papers *p, const gw_verdict *v); // "at least -3.9 °C" or ""
const char *gw_papers_tidy(gw_papers *p, const char *id);       // "heavy-clay" as "heavy clay"

// The design's figure by the key of data/requirements.csv and data/site_tests.csv.
// Errors: GW_ERR_KEY.
gw_status gw_papers_value(gw_papers *p, const char *key, const char **out, gw_err *err) GW_MUST_USE;

// Does a row of such a table hold for this loop and fluid ("always", "bores", "trench",
// "antifreeze")?
bool gw_papers_applies(const gw_papers *p, const char *when);

// A built-in table. Errors: those of gw_table_read.
gw_status gw_papers_table(gw_papers *p, const char *name, gw_table *out, gw_err *err) GW_MUST_USE;

// Grout of one bore, m³: the hole over its grouted length less the pipes; no allowance for loss.
double gw_papers_grout_m3(const gw_design_loop *loop);

// Paper of the reports that goes with that of the drawings.
gw_paper gw_papers_report_paper(gw_paper drawings);

// Pages of a report, in order.
typedef struct {
    gw_scene *const *scenes; // [count]
    size_t count;
} gw_pages;

// Water temperatures over the horizon with their limits, on a sheet.
void gw_papers_draw_water(gw_papers *p, gw_scene *scene, gw_box box, double size_mm);

// A year's energy with each system, as bars; returns the height used.
double gw_papers_draw_costs(gw_papers *p, gw_scene *scene, gw_box box, double size_mm);

// Pressure of the assembled loop's test, Pa (690 kPa: IRC M2105.28, from memory).
#define GW_PAPERS_TEST_PA 690e3

#endif
