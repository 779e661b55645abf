// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "draw/leaf.h"

#include "draw/lettering.h"

#include <math.h>
#include <string.h>

static const double SIDE_MM = 20.0;
static const double HEAD_MM = 20.0;
static const double FOOT_MM = 18.0;

static double foot_of(const gw_leaf *leaf)
{
    return leaf->column.at.y + leaf->column.size.h;
}

static void new_page(gw_leaf *leaf)
{
    if (leaf->count == leaf->capacity) {
        const size_t larger = leaf->capacity > 0 ? 2 * leaf->capacity : 8;
        gw_scene **const fresh = gw_arena_alloc(leaf->arena, larger, sizeof *fresh);
        if (fresh == NULL) {
            leaf->failed = true;
            return;
        }
        if (leaf->count > 0) {
            memcpy(fresh, leaf->scenes, leaf->count * sizeof(gw_scene *));
        }
        leaf->scenes = fresh;
        leaf->capacity = larger;
    }
    const gw_size paper = gw_paper_size(leaf->style.paper, false);
    gw_scene *const scene = gw_scene_create(leaf->arena, paper);
    leaf->failed = leaf->failed || scene == NULL;
    leaf->scenes[leaf->count++] = scene;
    leaf->y = leaf->column.at.y;
    gw_scene_layer(scene, GW_LAYER_NOTE);
    if (leaf->count > 1) {
        gw_scene_text(scene, &(gw_lettering){.size_mm = 2.5, .rgb = GW_GREY},
                      (gw_mm){SIDE_MM, HEAD_MM - 6.0}, leaf->style.running);
    }
}

void gw_leaf_open(gw_leaf *leaf, gw_arena *arena, const gw_leaf_style *style)
{
    const gw_size paper = gw_paper_size(style->paper, false);
    *leaf = (gw_leaf){
        .arena = arena,
        .style = *style,
        .column = {{SIDE_MM, HEAD_MM}, {paper.w - 2.0 * SIDE_MM, paper.h - HEAD_MM - FOOT_MM}}};
    if (!(leaf->style.size_mm > 0.0)) {
        leaf->style.size_mm = 3.3;
    }
    new_page(leaf);
}

gw_scene *gw_leaf_scene(const gw_leaf *leaf)
{
    return leaf->count > 0 ? leaf->scenes[leaf->count - 1] : NULL;
}

void gw_leaf_break(gw_leaf *leaf)
{
    new_page(leaf);
}

void gw_leaf_keep(gw_leaf *leaf, double height_mm)
{
    if (leaf->y + height_mm > foot_of(leaf) && leaf->y > leaf->column.at.y) {
        new_page(leaf);
    }
}

gw_box gw_leaf_space(gw_leaf *leaf, double height_mm)
{
    gw_leaf_keep(leaf, height_mm);
    const gw_box box = {{leaf->column.at.x, leaf->y}, {leaf->column.size.w, height_mm}};
    leaf->y += height_mm;
    return box;
}

void gw_leaf_title(gw_leaf *leaf, const char *title, const char *subtitle)
{
    gw_scene *const scene = gw_leaf_scene(leaf);
    const gw_lettering big = {.size_mm = 7.0, .bold = true};
    const gw_lettering small = {.size_mm = 3.6, .rgb = GW_GREY};
    gw_box at = {{leaf->column.at.x, leaf->y}, {leaf->column.size.w, 20.0}};
    at.at.y += gw_scene_paragraph(scene, &big, at, title);
    at.at.y += 0.5;
    at.at.y += gw_scene_paragraph(scene, &small, at, subtitle);
    gw_scene_line(scene, (gw_pen){0.5, GW_DASH_NONE, GW_ACCENT}, (gw_mm){at.at.x, at.at.y + 1.0},
                  (gw_mm){at.at.x + at.size.w, at.at.y + 1.0});
    leaf->y = at.at.y + 5.0;
}

void gw_leaf_heading(gw_leaf *leaf, int level, const char *text)
{
    const double size = leaf->style.size_mm * (level == 1 ? 1.45 : 1.12);
    const double before = leaf->y > leaf->column.at.y ? (level == 1 ? 4.5 : 2.8) : 0.0;
    // Room for the heading and some lines of what it heads.
    if (leaf->y + before + size + 6.0 * leaf->style.size_mm * GW_LETTER_LEADING > foot_of(leaf)) {
        new_page(leaf);
    } else {
        leaf->y += before;
    }
    const gw_lettering type = {
        .size_mm = size, .bold = true, .rgb = level == 1 ? GW_ACCENT : GW_INK};
    const gw_box at = {{leaf->column.at.x, leaf->y}, {leaf->column.size.w, 0.0}};
    leaf->y += gw_scene_paragraph(gw_leaf_scene(leaf), &type, at, text) + 0.9;
}

// A run of lines, broken over pages.
static void set_lines(gw_leaf *leaf, const gw_lettering *type, double indent_mm, const char *text)
{
    const gw_letter_box box = {leaf->column.size.w - indent_mm, type->size_mm, type->bold};
    const gw_letter_lines wrapped = gw_letter_wrap(leaf->arena, text, &box);
    const double step = GW_LETTER_LEADING * type->size_mm;
    for (size_t i = 0; i < wrapped.count; i++) {
        if (leaf->y + step > foot_of(leaf)) {
            new_page(leaf);
        }
        gw_scene_text(
            gw_leaf_scene(leaf), type,
            (gw_mm){leaf->column.at.x + indent_mm, leaf->y + GW_LETTER_ASCENT * type->size_mm},
            wrapped.lines[i]);
        leaf->y += step;
    }
}

void gw_leaf_paragraph(gw_leaf *leaf, const char *text)
{
    set_lines(leaf, &(gw_lettering){.size_mm = leaf->style.size_mm}, 0.0, text);
    leaf->y += 1.6;
}

void gw_leaf_lines(gw_leaf *leaf, const char *text)
{
    set_lines(leaf, &(gw_lettering){.size_mm = leaf->style.size_mm}, 0.0, text);
}

void gw_leaf_note(gw_leaf *leaf, const char *text)
{
    set_lines(leaf, &(gw_lettering){.size_mm = 0.78 * leaf->style.size_mm, .rgb = GW_GREY}, 0.0,
              text);
    leaf->y += 1.4;
}

void gw_leaf_bullet(gw_leaf *leaf, const char *text)
{
    const double step = GW_LETTER_LEADING * leaf->style.size_mm;
    if (leaf->y + step > foot_of(leaf)) {
        new_page(leaf);
    }
    gw_scene_circle(gw_leaf_scene(leaf), &(gw_face){.filled = true, .fill = GW_ACCENT},
                    (gw_mm){leaf->column.at.x + 1.4, leaf->y + 0.48 * leaf->style.size_mm}, 0.55);
    set_lines(leaf, &(gw_lettering){.size_mm = leaf->style.size_mm}, 4.2, text);
    leaf->y += 0.7;
}

void gw_leaf_table(gw_leaf *leaf, const gw_ruled *table)
{
    gw_ruled t = *table;
    if (!(t.size_mm > 0.0)) {
        t.size_mm = 0.8 * leaf->style.size_mm;
    }
    size_t row = 0;
    bool fresh = leaf->y <= leaf->column.at.y;
    while (row < t.rows && !leaf->failed) {
        const gw_box box = {{leaf->column.at.x, leaf->y},
                            {leaf->column.size.w, foot_of(leaf) - leaf->y}};
        const double used = gw_ruled_draw(gw_leaf_scene(leaf), &t, box, &row);
        leaf->y += used;
        if (row < t.rows) {
            if (fresh && used <= 0.0) {
                break; // a row higher than a page: nothing to be done
            }
            new_page(leaf);
            fresh = true;
        }
    }
    leaf->y += 3.0;
}

gw_status gw_leaf_close(gw_leaf *leaf, gw_err *err)
{
    const gw_size paper = gw_paper_size(leaf->style.paper, false);
    const gw_lettering type = {.size_mm = 2.2, .rgb = GW_GREY};
    gw_lettering right = type;
    right.anchor = GW_ANCHOR_END;
    for (size_t i = 0; i < leaf->count; i++) {
        gw_scene *const scene = leaf->scenes[i];
        gw_scene_text(scene, &type, (gw_mm){SIDE_MM, paper.h - 9.0}, leaf->style.foot);
        gw_scene_textf(scene, &right, (gw_mm){paper.w - SIDE_MM, paper.h - 9.0}, "%zu of %zu",
                       i + 1, leaf->count);
        const gw_status st = gw_scene_status(scene, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return leaf->failed ? gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory setting pages") : GW_OK;
}
