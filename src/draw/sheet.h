// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A drawing sheet before anything is drawn on it: paper size, frame, and the title block along the
// foot with title, scale, revisions, places to sign and the note that it is a design aid.
//
// It dates and signs nothing: those fields are lines to write on.
//
//   gw_sheet_info info = {.paper = GW_PAPER_TABLOID, .project = "…", .title = "Site plan",
//                         .number = 1, .count = 4, .level = GW_LEVEL_PERMIT};
//   gw_box free;
//   gw_scene *scene = gw_sheet_begin(arena, &info, &free);
#ifndef GW_DRAW_SHEET_H
#define GW_DRAW_SHEET_H

#include "draw/scene.h"

// Enumerator, word on the command line, name for people, short and long side in mm (ANSI/ASME
// Y14.1, ISO 216, architectural D).
#define GW_PAPER_LIST(X)                                                                           \
    X(GW_PAPER_LETTER, "letter", "Letter", 215.9, 279.4)                                           \
    X(GW_PAPER_TABLOID, "tabloid", "Tabloid", 279.4, 431.8)                                        \
    X(GW_PAPER_A4, "a4", "A4", 210.0, 297.0)                                                       \
    X(GW_PAPER_A3, "a3", "A3", 297.0, 420.0)                                                       \
    X(GW_PAPER_ARCH_D, "arch-d", "Arch D", 609.6, 914.4)

typedef enum {
#define X(code, word, name, short_mm, long_mm) code,
    GW_PAPER_LIST(X)
#undef X
        GW_PAPER_COUNT
} gw_paper;

const char *gw_paper_word(gw_paper paper);
const char *gw_paper_name(gw_paper paper);
gw_size gw_paper_size(gw_paper paper, bool landscape);

// By its word; GW_ERR_KEY suggests the nearest one.
gw_status gw_paper_find(const char *word, gw_paper *out, gw_err *err) GW_MUST_USE;

// How far the drawing has come.
#define GW_LEVEL_LIST(X)                                                                           \
    X(GW_LEVEL_SKETCH, "sketch", "Sketch: for talking, not for building")                          \
    X(GW_LEVEL_PERMIT, "permit", "For permit")                                                     \
    X(GW_LEVEL_RECORD, "record", "Record: as installed")

typedef enum {
#define X(code, word, name) code,
    GW_LEVEL_LIST(X)
#undef X
        GW_LEVEL_COUNT
} gw_drawing_level;

const char *gw_drawing_level_word(gw_drawing_level level);
const char *gw_drawing_level_name(gw_drawing_level level);
gw_status gw_drawing_level_find(const char *word, gw_drawing_level *out, gw_err *err) GW_MUST_USE;

typedef struct {
    gw_paper paper;
    const char *project;
    const char *place;
    const char *title;
    const char *scale; // "1:200", "as shown", or ""
    size_t number;
    size_t count;
    gw_drawing_level level;
    const char *caution; // one line at the foot; NULL: that it is a design aid
} gw_sheet_info;

// A landscape sheet with frame and title block; *area is what is left to draw in. NULL without
// memory.
gw_scene *gw_sheet_begin(gw_arena *arena, const gw_sheet_info *info, gw_box *area);

// What a sheet of that paper leaves to draw in.
gw_box gw_sheet_area(gw_paper paper);

// Size of ordinary lettering on a paper, mm.
double gw_sheet_lettering_mm(gw_paper paper);

// A heading with a rule under it; returns the height used.
double gw_sheet_heading(gw_scene *scene, gw_box at, double size_mm, const char *text);

// A line to write on with a caption under it.
void gw_sheet_blank(gw_scene *scene, gw_mm at, double width_mm, const char *caption);

#endif
