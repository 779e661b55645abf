// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "draw/ruled.h"

#include "draw/lettering.h"

#include <math.h>
#include <string.h>

enum { COLUMNS_MAX = 12 };

static const gw_pen RULE = {0.13, GW_DASH_NONE, GW_PALE};
static const gw_pen HEAVY = {0.3, GW_DASH_NONE, GW_INK};

typedef struct {
    double left[COLUMNS_MAX + 1];
    double gap; // on either side of a cell's text
} columns;

static columns lay_columns(const gw_ruled *t, double width_mm)
{
    columns c = {.gap = 0.4 * t->size_mm};
    double sum = 0.0;
    for (size_t i = 0; i < t->column_count; i++) {
        sum += t->columns[i].share;
    }
    for (size_t i = 0; i < t->column_count; i++) {
        c.left[i + 1] = c.left[i] + width_mm * t->columns[i].share / sum;
    }
    return c;
}

static double cell_height(gw_arena *arena, const gw_ruled *t, const columns *c, size_t column,
                          const char *text, bool bold)
{
    const double width = c->left[column + 1] - c->left[column] - 2.0 * c->gap;
    const gw_lettering type = {.size_mm = t->size_mm, .bold = bold};
    return text != NULL ? gw_scene_paragraph_height(arena, &type, width, text) : 0.0;
}

static double row_height(gw_arena *arena, const gw_ruled *t, const columns *c, size_t row)
{
    double height = GW_LETTER_LEADING * t->size_mm;
    for (size_t i = 0; i < t->column_count; i++) {
        height =
            fmax(height, cell_height(arena, t, c, i, t->cells[row * t->column_count + i], false));
    }
    return height + 0.45 * t->size_mm;
}

static double head_height(gw_arena *arena, const gw_ruled *t, const columns *c)
{
    double height = 0.0;
    for (size_t i = 0; i < t->column_count && !t->plain; i++) {
        height = fmax(height, cell_height(arena, t, c, i, t->columns[i].title, true));
    }
    return t->plain ? 0.0 : height + 0.45 * t->size_mm;
}

static void draw_cell(gw_scene *scene, const gw_ruled *t, gw_box cell, const char *text,
                      const gw_lettering *type)
{
    const double gap = 0.4 * t->size_mm;
    if (text != NULL) {
        gw_scene_paragraph(scene, type,
                           (gw_box){{cell.at.x + gap, cell.at.y + 0.47 * t->size_mm},
                                    {cell.size.w - 2.0 * gap, cell.size.h}},
                           text);
    }
}

static void draw_row(gw_scene *scene, const gw_ruled *t, const columns *c, gw_box at, size_t row)
{
    for (size_t i = 0; i < t->column_count; i++) {
        const gw_box cell = {{at.at.x + c->left[i], at.at.y},
                             {c->left[i + 1] - c->left[i], at.size.h}};
        const bool head = row == t->rows;
        const char *const text = head ? t->columns[i].title : t->cells[row * t->column_count + i];
        const gw_lettering type = {
            .size_mm = t->size_mm, .bold = head, .anchor = t->columns[i].anchor};
        draw_cell(scene, t, cell, text, &type);
    }
    const double foot = at.at.y + at.size.h;
    gw_scene_line(scene, row == t->rows ? HEAVY : RULE, (gw_mm){at.at.x, foot},
                  (gw_mm){at.at.x + at.size.w, foot});
}

double gw_ruled_draw(gw_scene *scene, const gw_ruled *t, gw_box box, size_t *row)
{
    gw_arena *const arena = gw_scene_arena(scene);
    if (arena == NULL || t->column_count > COLUMNS_MAX || *row >= t->rows) {
        return 0.0;
    }
    const columns c = lay_columns(t, box.size.w);
    double used = head_height(arena, t, &c);
    if (used + row_height(arena, t, &c, *row) > box.size.h) {
        return 0.0;
    }
    if (!t->plain) {
        draw_row(scene, t, &c, (gw_box){box.at, {box.size.w, used}}, t->rows);
    }
    while (*row < t->rows) {
        const double height = row_height(arena, t, &c, *row);
        if (used + height > box.size.h) {
            break;
        }
        draw_row(scene, t, &c, (gw_box){{box.at.x, box.at.y + used}, {box.size.w, height}}, *row);
        used += height;
        *row += 1;
    }
    return used;
}

double gw_ruled_height(gw_arena *arena, const gw_ruled *t, double width_mm)
{
    const columns c = lay_columns(t, width_mm);
    double height = head_height(arena, t, &c);
    for (size_t i = 0; i < t->rows; i++) {
        height += row_height(arena, t, &c, i);
    }
    return height;
}

void gw_ruled_add(gw_ruled_rows *rows, const char *const *cells)
{
    if (rows->rows == rows->capacity) {
        const size_t larger = rows->capacity > 0 ? 2 * rows->capacity : 16;
        const char **const fresh =
            gw_arena_alloc(rows->arena, larger * rows->column_count, sizeof *fresh);
        if (fresh == NULL) {
            rows->failed = true;
            return;
        }
        if (rows->rows > 0) {
            memcpy(fresh, rows->cells, rows->rows * rows->column_count * sizeof *fresh);
        }
        rows->cells = fresh;
        rows->capacity = larger;
    }
    memcpy(rows->cells + rows->rows * rows->column_count, cells,
           rows->column_count * sizeof *rows->cells);
    rows->rows++;
}
