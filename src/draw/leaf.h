// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Running pages: headings, paragraphs, tables and figures set one below the other in one column,
// with new pages as they fill, and page numbers at the foot.
//
// A heading is kept with what follows it. Tables are cut between rows.
//
//   gw_leaf leaf;
//   gw_leaf_open(&leaf, arena, &(gw_leaf_style){.paper = GW_PAPER_LETTER, .running = "Design …"});
//   gw_leaf_heading(&leaf, 1, "Ground");
//   gw_leaf_paragraph(&leaf, "…");
//   gw_box figure = gw_leaf_space(&leaf, 60.0);
//   st = gw_leaf_close(&leaf, err);   // leaf.scenes[0 … leaf.count-1]
#ifndef GW_DRAW_LEAF_H
#define GW_DRAW_LEAF_H

#include "draw/ruled.h"
#include "draw/sheet.h"

typedef struct {
    gw_paper paper;      // upright
    const char *running; // at the head of every page but the first
    const char *foot;    // at the foot of every page, beside the number
    double size_mm;      // of the text; 0: 3.3
} gw_leaf_style;

typedef struct {
    gw_arena *arena;
    gw_leaf_style style;
    gw_scene **scenes;
    size_t count;
    size_t capacity;
    gw_box column;
    double y; // next free line
    bool failed;
} gw_leaf;

void gw_leaf_open(gw_leaf *leaf, gw_arena *arena, const gw_leaf_style *style);

// The page being set; NULL without memory (drawing functions take that).
gw_scene *gw_leaf_scene(const gw_leaf *leaf);

void gw_leaf_title(gw_leaf *leaf, const char *title, const char *subtitle);
void gw_leaf_heading(gw_leaf *leaf, int level, const char *text); // 1 or 2
void gw_leaf_paragraph(gw_leaf *leaf, const char *text);
void gw_leaf_note(gw_leaf *leaf, const char *text);  // small and grey
void gw_leaf_lines(gw_leaf *leaf, const char *text); // a paragraph with no space after it
void gw_leaf_bullet(gw_leaf *leaf, const char *text);

// Lettering smaller than the text, for wide tables: size_mm 0 takes 0.8 of it.
void gw_leaf_table(gw_leaf *leaf, const gw_ruled *table);

// A free box of this height, on a new page when it does not fit.
gw_box gw_leaf_space(gw_leaf *leaf, double height_mm);
// A new page unless this much is free: keeps a heading with its figure.
void gw_leaf_keep(gw_leaf *leaf, double height_mm);
void gw_leaf_break(gw_leaf *leaf);

// Page numbers; GW_ERR_NOMEM when anything was lost.
gw_status gw_leaf_close(gw_leaf *leaf, gw_err *err) GW_MUST_USE;

#endif
