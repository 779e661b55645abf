// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The sheets of the permit set, one function each, and columns of text and tables that run on from
// sheet to sheet.
#ifndef GW_REPORT_PERMIT_PRIV_H
#define GW_REPORT_PERMIT_PRIV_H

#include "draw/ruled.h"
#include "draw/view.h"
#include "report/permit.h"

enum { GW_PERMIT_SHEETS_MAX = 48 };

typedef struct {
    gw_papers p;
    gw_scene *scenes[GW_PERMIT_SHEETS_MAX];
    const char *names[GW_PERMIT_SHEETS_MAX];
    size_t count;
    size_t total; // of the finished set; known in the second pass
    double letter_mm;
} gw_permit_priv;

// A new sheet; *area is what is free on it. NULL past the last one or without memory.
gw_scene *gw_permit_priv_sheet(gw_permit_priv *set, const char *name, const char *title,
                               const char *scale, gw_box *area);

// The lot with its features, the distances kept, and the bores where they have places on it.
gw_status gw_permit_priv_lot(gw_permit_priv *set, gw_err *err);

// What the lot sheet shares with the plan: bores with their numbers, and the table of the loop.
void gw_permit_priv_draw_bores(gw_permit_priv *set, gw_scene *scene, const gw_view *view);
double gw_permit_priv_loop_table(gw_permit_priv *set, gw_scene *scene, gw_box box);

gw_status gw_permit_priv_plan(gw_permit_priv *set, gw_err *err);
gw_status gw_permit_priv_bore(gw_permit_priv *set, gw_err *err);
gw_status gw_permit_priv_trench(gw_permit_priv *set, gw_err *err);
gw_status gw_permit_priv_schedules(gw_permit_priv *set, gw_err *err);
gw_status gw_permit_priv_checklist(gw_permit_priv *set, gw_err *err);
gw_status gw_permit_priv_basis(gw_permit_priv *set, gw_err *err);
gw_status gw_permit_priv_record(gw_permit_priv *set, gw_err *err);

// Header trench and house entry in section, beside or below each other in a box.
void gw_permit_priv_header(gw_permit_priv *set, gw_scene *scene, gw_box box);

// A caption under a drawing: name, and its scale in smaller letters.
void gw_permit_priv_caption(gw_scene *scene, gw_mm middle, const char *name, const char *scale);

// ---- columns ------------------------------------------------------------------------------------

typedef struct {
    gw_permit_priv *set;
    const char *name;
    const char *title;
    size_t columns;
    gw_scene *scene;
    gw_box area;
    size_t column;
    double y;
} gw_permit_columns;

void gw_permit_columns_open(gw_permit_columns *c, gw_permit_priv *set, const char *name,
                            const char *title);
// The next column, when this one has something in it.
void gw_permit_columns_break(gw_permit_columns *c);

void gw_permit_columns_heading(gw_permit_columns *c, const char *text);
void gw_permit_columns_paragraph(gw_permit_columns *c, const char *text);
void gw_permit_columns_table(gw_permit_columns *c, const gw_ruled *table);
gw_box gw_permit_columns_space(gw_permit_columns *c, double height_mm);

#endif
