// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "report/permit.h"

#include "draw/cairo.h"
#include "draw/chart.h"
#include "draw/lettering.h"
#include "report/permit_priv.h"

#include <math.h>
#include <string.h>

gw_scene *gw_permit_priv_sheet(gw_permit_priv *set, const char *name, const char *title,
                               const char *scale, gw_box *area)
{
    if (set->count == GW_PERMIT_SHEETS_MAX) {
        return NULL;
    }
    const gw_design *const d = set->p.design;
    const bool stands = set->p.loop->stands;
    const gw_sheet_info info = {
        .paper = set->p.style.paper,
        .project = d->job->name,
        .place = gw_papers_place(&set->p),
        .title = title,
        .scale = scale,
        .number = set->count + 1,
        .count = set->total,
        .level = set->p.style.level,
        .caution = stands
                       ? NULL
                       : "THIS LOOP DOES NOT HOLD ITS LIMITS: not for building. Design aid, not a "
                         "sealed design; local codes and bylaws overrule every value shown."};
    gw_scene *const scene = gw_sheet_begin(set->p.arena, &info, area);
    set->p.failed = set->p.failed || scene == NULL;
    set->scenes[set->count] = scene;
    set->names[set->count] = name;
    set->count++;
    return scene;
}

void gw_permit_priv_caption(gw_scene *scene, gw_mm middle, const char *name, const char *scale)
{
    // Larger on large sheets, as their other lettering.
    const double k = gw_scene_paper(scene).w > 800.0 ? 1.4 : 1.0;
    gw_lettering type = {.size_mm = 3.0 * k, .bold = true, .anchor = GW_ANCHOR_MIDDLE};
    gw_scene_layer(scene, GW_LAYER_NOTE);
    gw_scene_text(scene, &type, middle, name);
    type = (gw_lettering){.size_mm = 2.1 * k, .anchor = GW_ANCHOR_MIDDLE, .rgb = GW_GREY};
    gw_scene_text(scene, &type, (gw_mm){middle.x, middle.y + 3.2 * k}, scale);
}

// ---------------------------------------------------------------- columns

static gw_box column_box(const gw_permit_columns *c)
{
    const double gap = 7.0;
    const double n = (double)c->columns;
    const double width = (c->area.size.w - (n - 1.0) * gap) / n;
    return (gw_box){{c->area.at.x + (double)c->column * (width + gap), c->y},
                    {width, c->area.at.y + c->area.size.h - c->y}};
}

static void next_column(gw_permit_columns *c)
{
    c->column++;
    if (c->scene == NULL || c->column == c->columns) {
        c->scene = gw_permit_priv_sheet(c->set, c->name, c->title, "", &c->area);
        c->column = 0;
    }
    c->y = c->area.at.y;
}

void gw_permit_columns_open(gw_permit_columns *c, gw_permit_priv *set, const char *name,
                            const char *title)
{
    *c = (gw_permit_columns){.set = set,
                             .name = name,
                             .title = title,
                             .columns = set->p.style.paper == GW_PAPER_ARCH_D ? 3 : 2};
    next_column(c);
}

void gw_permit_columns_break(gw_permit_columns *c)
{
    if (c->y > c->area.at.y) {
        next_column(c);
    }
}

gw_box gw_permit_columns_space(gw_permit_columns *c, double height_mm)
{
    if (column_box(c).size.h < height_mm && c->y > c->area.at.y) {
        next_column(c);
    }
    gw_box box = column_box(c);
    box.size.h = height_mm;
    c->y += height_mm;
    return box;
}

void gw_permit_columns_heading(gw_permit_columns *c, const char *text)
{
    const double size = 1.35 * c->set->letter_mm;
    // A heading stands with some lines of what it heads.
    if (column_box(c).size.h < 12.0 * size) {
        next_column(c);
    }
    c->y += c->y > c->area.at.y ? 0.6 * size : 0.0;
    c->y += gw_sheet_heading(c->scene, column_box(c), size, text);
}

void gw_permit_columns_paragraph(gw_permit_columns *c, const char *text)
{
    const gw_lettering type = {.size_mm = c->set->letter_mm};
    const double height =
        gw_scene_paragraph_height(c->set->p.arena, &type, column_box(c).size.w, text);
    const gw_box at = gw_permit_columns_space(c, height + 0.5 * type.size_mm);
    gw_scene_paragraph(c->scene, &type, at, text);
}

void gw_permit_columns_table(gw_permit_columns *c, const gw_ruled *table)
{
    size_t row = 0;
    bool fresh = false;
    while (row < table->rows && c->scene != NULL) {
        const double used = gw_ruled_draw(c->scene, table, column_box(c), &row);
        c->y += used;
        if (row < table->rows) {
            if (fresh && used <= 0.0) {
                break; // a row higher than the sheet
            }
            next_column(c);
            fresh = true;
        }
    }
    c->y += 1.2 * c->set->letter_mm;
}

// ---------------------------------------------------------------- the set

static gw_status draw_all(gw_permit_priv *set, gw_err *err)
{
    const gw_drawing_level level = set->p.style.level;
    const bool lot = set->p.design->job->lot != NULL;
    const gw_design_on_lot *const on = set->p.loop->on_lot;
    const bool placed = lot && on != NULL && on->placed && on->items.count > 0;
    // A loop laid on the lot is drawn there; any other one has a plan of its own before the lot.
    gw_status st = placed ? GW_OK : gw_permit_priv_plan(set, err);
    if (st == GW_OK && lot) {
        st = gw_permit_priv_lot(set, err);
    }
    if (st == GW_OK) {
        st = set->p.loop->kind == GW_LOOP_BORES ? gw_permit_priv_bore(set, err)
                                                : gw_permit_priv_trench(set, err);
    }
    if (st == GW_OK && level != GW_LEVEL_SKETCH) {
        st = gw_permit_priv_schedules(set, err);
        if (st == GW_OK) {
            st = gw_permit_priv_checklist(set, err);
        }
        if (st == GW_OK) {
            st = gw_permit_priv_basis(set, err);
        }
    }
    if (st == GW_OK && level == GW_LEVEL_RECORD) {
        st = gw_permit_priv_record(set, err);
    }
    for (size_t i = 0; i < set->count && st == GW_OK; i++) {
        st = gw_scene_status(set->scenes[i], err);
    }
    if (st == GW_OK && set->p.failed) {
        st = gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory drawing the permit set");
    }
    return st;
}

gw_status gw_report_permit_sheets(gw_arena *arena, const gw_design *design,
                                  const gw_papers_style *style, gw_permit_set *out, gw_err *err)
{
    gw_permit_priv *const set = gw_arena_alloc(arena, 1, sizeof *set);
    if (set == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory drawing the permit set");
    }
    gw_papers papers;
    gw_status st = gw_papers_open(&papers, arena, design, style, err);
    // Twice: the first time counts the sheets, so that each can say "2 of 7".
    size_t total = 1;
    for (int pass = 0; pass < 2 && st == GW_OK; pass++) {
        *set = (gw_permit_priv){
            .p = papers, .total = total, .letter_mm = 0.88 * gw_sheet_lettering_mm(style->paper)};
        st = draw_all(set, err);
        total = set->count;
    }
    if (st == GW_OK) {
        *out = (gw_permit_set){set->scenes, set->names, set->count};
    }
    return st;
}

gw_status gw_report_permit(gw_arena *arena, const gw_design *design, const gw_papers_style *style,
                           gw_file_bytes *out, gw_err *err)
{
    gw_permit_set set;
    const gw_status st = gw_report_permit_sheets(arena, design, style, &set, err);
    const gw_pdf_pages pages = {st == GW_OK ? set.scenes : NULL, st == GW_OK ? set.count : 0,
                                design->job->name};
    return st == GW_OK ? gw_pdf_write(arena, &pages, out, err) : st;
}
