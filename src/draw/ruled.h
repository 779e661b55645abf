// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Ruled tables: columns by share of the width, cells broken to fit, rows as high as their fullest
// cell, a table cut between rows where the space ends.
//
//   const gw_ruled_column columns[] = {{"Pipe", 3, GW_ANCHOR_START}, {"Length", 1, GW_ANCHOR_END}};
//   const gw_ruled table = {columns, 2, cells, rows, 2.4};
//   size_t row = 0;
//   double used_mm = gw_ruled_draw(scene, &table, box, &row);   // row < rows: not all of it fitted
#ifndef GW_DRAW_RULED_H
#define GW_DRAW_RULED_H

#include "draw/scene.h"

typedef struct {
    const char *title; // "" for none
    double share;      // of the width
    gw_anchor anchor;  // GW_ANCHOR_START or GW_ANCHOR_END
} gw_ruled_column;

typedef struct {
    const gw_ruled_column *columns;
    size_t column_count;      // 1 to 12
    const char *const *cells; // [rows × column_count]; NULL counts as ""
    size_t rows;
    double size_mm;
    bool plain; // no heading row
} gw_ruled;

// Draws the heading and the rows from *row on that fit the box; moves *row on and returns the
// height used. With nothing but the heading fitting, draws nothing and returns 0.
double gw_ruled_draw(gw_scene *scene, const gw_ruled *table, gw_box box, size_t *row);

// Height of the whole table at a width.
double gw_ruled_height(gw_arena *arena, const gw_ruled *table, double width_mm);

// Grows a table's cells row by row.
typedef struct {
    gw_arena *arena;
    size_t column_count;
    const char **cells;
    size_t rows;
    size_t capacity;
    bool failed;
} gw_ruled_rows;

// A row of column_count texts; copies the pointers, not the texts.
void gw_ruled_add(gw_ruled_rows *rows, const char *const *cells);

#endif
