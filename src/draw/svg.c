// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "draw/svg.h"

#include "draw/bytes.h"

#include <math.h>

#define PI 3.14159265358979323846

typedef struct {
    gw_bytes out;
    gw_layer layer;
    size_t view;
    bool open; // a group is
} writer;

static void escaped(gw_bytes *out, const char *text)
{
    for (const char *s = text; *s != '\0'; s++) {
        const unsigned char c = (unsigned char)*s;
        if (*s == '&') {
            gw_bytes_text(out, "&amp;");
        } else if (*s == '<') {
            gw_bytes_text(out, "&lt;");
        } else if (*s == '>') {
            gw_bytes_text(out, "&gt;");
        } else if (*s == '"') {
            gw_bytes_text(out, "&quot;");
        } else if (c >= 0x20) { // control letters are not allowed in XML
            gw_bytes_add(out, s, 1);
        }
    }
}

static void attribute(gw_bytes *out, const char *name, double value)
{
    gw_bytes_text(out, " ");
    gw_bytes_text(out, name);
    gw_bytes_text(out, "=\"");
    gw_bytes_number(out, value, 3);
    gw_bytes_text(out, "\"");
}

static void colour(gw_bytes *out, const char *name, uint32_t rgb)
{
    static const char HEX[] = "0123456789abcdef";
    char text[] = "=\"#000000\"";
    for (int i = 0; i < 6; i++) {
        text[3 + i] = HEX[rgb >> (20 - 4 * i) & 0xFU];
    }
    gw_bytes_text(out, " ");
    gw_bytes_text(out, name);
    gw_bytes_text(out, text);
}

static void pen(gw_bytes *out, const gw_pen *p)
{
    const double *lengths_mm;
    const size_t count = gw_dash_pattern(p->dash, &lengths_mm);
    if (!(p->width_mm > 0.0)) {
        return;
    }
    colour(out, "stroke", p->rgb);
    attribute(out, "stroke-width", p->width_mm);
    if (count > 0) {
        gw_bytes_text(out, " stroke-dasharray=\"");
        for (size_t i = 0; i < count; i++) {
            gw_bytes_text(out, i > 0 ? " " : "");
            gw_bytes_number(out, lengths_mm[i], 3);
        }
        gw_bytes_text(out, "\"");
    }
}

static void group(writer *w, const gw_item *item)
{
    if (w->open && w->layer == item->layer && w->view == item->view) {
        return;
    }
    gw_bytes_text(&w->out, w->open ? "</g>\n<g class=\"" : "<g class=\"");
    gw_bytes_text(&w->out, gw_layer_name(item->layer));
    gw_bytes_text(&w->out, "\"");
    if (item->view > 0) {
        attribute(&w->out, "data-view", (double)item->view);
    }
    gw_bytes_text(&w->out, ">\n");
    w->open = true;
    w->layer = item->layer;
    w->view = item->view;
}

static void point(gw_bytes *out, gw_mm p)
{
    gw_bytes_number(out, p.x, 3);
    gw_bytes_text(out, ",");
    gw_bytes_number(out, p.y, 3);
}

static void arc_path(gw_bytes *out, const gw_item *item)
{
    const gw_mm c = item->points[0];
    const double r = item->radius_mm;
    gw_bytes_text(out, "<path d=\"M");
    for (int end = 0; end < 2; end++) {
        const double turn = (item->start_deg + (end == 1 ? item->sweep_deg : 0.0)) * PI / 180.0;
        point(out, (gw_mm){c.x + r * cos(turn), c.y - r * sin(turn)});
        if (end == 0) {
            gw_bytes_text(out, "A");
            point(out, (gw_mm){r, r});
            gw_bytes_text(out, item->sweep_deg > 180.0 ? " 0 1 0 " : " 0 0 0 ");
        }
    }
    gw_bytes_text(out, "\"");
}

static void shape(void *context, const gw_item *item)
{
    writer *const w = context;
    gw_bytes *const out = &w->out;
    group(w, item);
    if (item->kind == GW_ITEM_ARC && item->closed) {
        gw_bytes_text(out, "<circle");
        attribute(out, "cx", item->points[0].x);
        attribute(out, "cy", item->points[0].y);
        attribute(out, "r", item->radius_mm);
    } else if (item->kind == GW_ITEM_ARC) {
        arc_path(out, item);
    } else {
        gw_bytes_text(out, item->closed ? "<polygon points=\"" : "<polyline points=\"");
        for (size_t i = 0; i < item->count; i++) {
            gw_bytes_text(out, i > 0 ? " " : "");
            point(out, item->points[i]);
        }
        gw_bytes_text(out, "\"");
    }
    if (item->face.filled) {
        colour(out, "fill", item->face.fill);
    }
    pen(out, &item->face.pen);
    gw_bytes_text(out, "/>\n");
}

static void lettering(void *context, const gw_item *item)
{
    static const char *const ANCHORS[] = {"start", "middle", "end"};
    writer *const w = context;
    gw_bytes *const out = &w->out;
    group(w, item);
    gw_bytes_text(out, "<text");
    attribute(out, "x", item->points[0].x);
    attribute(out, "y", item->points[0].y);
    attribute(out, "font-size", item->type.size_mm);
    colour(out, "fill", item->type.rgb);
    if (item->type.bold) {
        gw_bytes_text(out, " font-weight=\"600\"");
    }
    if (item->type.anchor != GW_ANCHOR_START) {
        gw_bytes_text(out, " text-anchor=\"");
        gw_bytes_text(out, ANCHORS[item->type.anchor]);
        gw_bytes_text(out, "\"");
    }
    // The width it was laid out with, so that another font runs into nothing.
    attribute(out, "textLength", item->width_mm);
    gw_bytes_text(out, " lengthAdjust=\"spacingAndGlyphs\"");
    if (item->type.angle_deg != 0.0) {
        gw_bytes_text(out, " transform=\"rotate(");
        gw_bytes_number(out, -item->type.angle_deg, 3);
        gw_bytes_text(out, " ");
        gw_bytes_number(out, item->points[0].x, 3);
        gw_bytes_text(out, " ");
        gw_bytes_number(out, item->points[0].y, 3);
        gw_bytes_text(out, ")\"");
    }
    gw_bytes_text(out, ">");
    escaped(out, item->text);
    gw_bytes_text(out, "</text>\n");
}

gw_status gw_svg_write(gw_arena *arena, const gw_scene *scene, const char *title,
                       gw_file_bytes *out, gw_err *err)
{
    writer w = {.out = {.arena = arena}};
    const gw_size paper = gw_scene_paper(scene);
    gw_bytes_text(&w.out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                          "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"");
    gw_bytes_number(&w.out, paper.w, 3);
    gw_bytes_text(&w.out, "mm\" height=\"");
    gw_bytes_number(&w.out, paper.h, 3);
    gw_bytes_text(&w.out, "mm\" viewBox=\"0 0 ");
    gw_bytes_number(&w.out, paper.w, 3);
    gw_bytes_text(&w.out, " ");
    gw_bytes_number(&w.out, paper.h, 3);
    gw_bytes_text(&w.out, "\" fill=\"none\" stroke-linejoin=\"round\" font-family=\"'Open Sans', "
                          "'Noto Sans', 'DejaVu Sans', sans-serif\">\n<title>");
    escaped(&w.out, title);
    gw_bytes_text(&w.out, "</title>\n<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n");
    gw_scene_walk(scene, &(gw_back_end){.context = &w, .shape = shape, .lettering = lettering});
    gw_bytes_text(&w.out, w.open ? "</g>\n</svg>\n" : "</svg>\n");
    *out = (gw_file_bytes){w.out.data, w.out.length};
    return gw_bytes_status(&w.out, err);
}
