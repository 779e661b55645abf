// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Text that grows in an arena. A failed allocation is remembered: write on, look once at the end.
//
//   gw_prose text = {.arena = arena};
//   gw_prose_add(&text, "%d bores\n", 5);
//   const char *all = gw_prose_finish(&text);  // NULL when memory ran out
#ifndef GW_REPORT_PROSE_H
#define GW_REPORT_PROSE_H

#include "base/arena.h"
#include "base/quantity.h"
#include "money/money.h"

#include <stdbool.h>

typedef struct {
    gw_arena *arena;
    gw_unit_system units;
    char *data;
    size_t length;
    size_t size;
    bool failed;
} gw_prose;

void gw_prose_add(gw_prose *text, const char *fmt, ...) GW_PRINTF(2, 3);

// Letters count, not bytes: pads to `column` characters from the start of the current line.
void gw_prose_pad(gw_prose *text, size_t column);

// Paragraph broken at blanks to `width` characters, each line begun with `indent` blanks.
void gw_prose_wrap(gw_prose *text, size_t indent, size_t width, const char *paragraph);

// A title on a line of its own, underlined, with a blank line before.
void gw_prose_heading(gw_prose *text, const char *title);

// Text at a column of the current line.
void gw_prose_cell(gw_prose *text, size_t column, const char *cell);

// An amount in whole units with the job's symbol, in the arena; never NULL ("?" without memory).
const char *gw_prose_money(gw_prose *text, gw_money amount, const char *currency);

// A quantity in the text's unit system, in the arena; never NULL ("?" without memory).
const char *gw_prose_quantity(gw_prose *text, gw_quantity_kind kind, double si);

const char *gw_prose_finish(const gw_prose *text);

#endif
