// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// How wide a text is, without asking a font library: the same layout on every machine.
//
// The widths are the advance widths of Open Sans Regular and Semibold (Steve Matteson 2010,
// Apache-2.0; read from the font files, Debian fonts-open-sans 1.11). A back end that finds another
// font squeezes its text to these widths, so what does not overlap here overlaps nowhere. No
// kerning, no ligatures, left to right only. A letter without an entry counts 0.6 of its size.
//
//   gw_letter_width_mm("12 bores", 2.5, false)
//   gw_letter_lines lines = gw_letter_wrap(arena, text, &(gw_letter_box){60.0, 2.5, false});
#ifndef GW_DRAW_LETTERING_H
#define GW_DRAW_LETTERING_H

#include "base/arena.h"

#include <stdbool.h>

// Heights of the letters as shares of their size (the em), and the usual distance of lines.
#define GW_LETTER_CAP 0.714
#define GW_LETTER_ASCENT 0.76 // of the tallest accents in use less a hair
#define GW_LETTER_DESCENT 0.24
#define GW_LETTER_LEADING 1.32

double gw_letter_width_mm(const char *text, double size_mm, bool bold);

typedef struct {
    double width_mm; // to break at
    double size_mm;
    bool bold;
} gw_letter_box;

typedef struct {
    const char *const *lines; // NULL without memory
    size_t count;
} gw_letter_lines;

// Breaks at blanks and at "\n"; a word wider than the box is broken inside. Empty text has no line.
gw_letter_lines gw_letter_wrap(gw_arena *arena, const char *text, const gw_letter_box *box);

// Reads one UTF-8 letter at *at and moves on; a wrong byte counts as one letter U+FFFD.
unsigned gw_letter_next(const char **at);

#endif
