// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "draw/dxf.h"

#include "draw/bytes.h"
#include "draw/lettering.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PI 3.14159265358979323846

static const char *const LINE_TYPES[] = {"CONTINUOUS", "DASHED", "DOTTED", "CENTER"};

typedef struct {
    gw_bytes out;
    size_t view;
    double factor;   // drawing units per mm of paper
    double turn_deg; // of the view's axes on the sheet
    gw_mm at;        // a place on the sheet
    double x;        // and in the drawing
    double y;
} writer;

static void text_group(gw_bytes *out, int code, const char *value)
{
    char line[16];
    snprintf(line, sizeof line, "%3d\n", code);
    gw_bytes_text(out, line);
    gw_bytes_text(out, value);
    gw_bytes_text(out, "\n");
}

static void whole_group(gw_bytes *out, int code, int value)
{
    char text[16];
    snprintf(text, sizeof text, "%d", value);
    text_group(out, code, text);
}

static void number_group(gw_bytes *out, int code, double value)
{
    char line[16];
    snprintf(line, sizeof line, "%3d\n", code);
    gw_bytes_text(out, line);
    gw_bytes_number(out, value, 5);
    if (fabs(value - round(value)) < 5e-6) {
        gw_bytes_text(out, ".0"); // a real number shows its point
    }
    gw_bytes_text(out, "\n");
}

static void place(writer *w, int code, gw_mm p)
{
    const double turn = w->turn_deg * PI / 180.0;
    const double right = w->factor * (p.x - w->at.x);
    const double up = w->factor * (w->at.y - p.y);
    number_group(&w->out, code, w->x + right * cos(turn) + up * sin(turn));
    number_group(&w->out, code + 10, w->y - right * sin(turn) + up * cos(turn));
    number_group(&w->out, code + 20, 0.0);
}

static void angle_group(writer *w, int code, double sheet_deg)
{
    number_group(&w->out, code, fmod(sheet_deg - w->turn_deg + 720.0, 360.0));
}

static void head(writer *w, const char *entity, const gw_item *item)
{
    text_group(&w->out, 0, entity);
    text_group(&w->out, 8, gw_layer_name(item->layer));
    if (item->kind != GW_ITEM_TEXT && item->face.pen.dash != GW_DASH_NONE) {
        text_group(&w->out, 6, LINE_TYPES[item->face.pen.dash]);
    }
}

// Solid fills are kept where the format can say them: triangles and quadrilaterals in ink (arrow
// heads, bars). Washes of colour would hide the lines in a CAD program and are left out.
static void solid(writer *w, const gw_item *item)
{
    static const size_t QUAD[] = {0, 1, 3, 2};
    if (item->kind != GW_ITEM_PATH || item->count < 3 || item->count > 4 ||
        item->face.fill != GW_INK) {
        return;
    }
    head(w, "SOLID", item);
    for (size_t i = 0; i < 4; i++) {
        const size_t k = item->count == 3 ? (i < 3 ? i : 2) : QUAD[i];
        place(w, 10 + (int)i, item->points[k]);
    }
}

static void polyline(writer *w, const gw_item *item)
{
    head(w, "POLYLINE", item);
    whole_group(&w->out, 66, 1);
    number_group(&w->out, 10, 0.0);
    number_group(&w->out, 20, 0.0);
    number_group(&w->out, 30, 0.0);
    whole_group(&w->out, 70, item->closed ? 1 : 0);
    for (size_t i = 0; i < item->count; i++) {
        text_group(&w->out, 0, "VERTEX");
        text_group(&w->out, 8, gw_layer_name(item->layer));
        place(w, 10, item->points[i]);
    }
    text_group(&w->out, 0, "SEQEND");
    text_group(&w->out, 8, gw_layer_name(item->layer));
}

static void shape(void *context, const gw_item *item)
{
    writer *const w = context;
    if (w->view > 0 && item->view != w->view) {
        return;
    }
    if (item->face.filled) {
        solid(w, item);
    }
    if (!(item->face.pen.width_mm > 0.0)) {
        return;
    }
    if (item->kind == GW_ITEM_ARC) {
        head(w, item->closed ? "CIRCLE" : "ARC", item);
        place(w, 10, item->points[0]);
        number_group(&w->out, 40, w->factor * item->radius_mm);
        if (!item->closed) {
            angle_group(w, 50, item->start_deg);
            angle_group(w, 51, item->start_deg + item->sweep_deg);
        }
    } else if (item->count == 2) {
        head(w, "LINE", item);
        place(w, 10, item->points[0]);
        place(w, 11, item->points[1]);
    } else {
        polyline(w, item);
    }
}

// ASCII as it is; degree, plus-minus and diameter by their own codes; the rest as \U+XXXX.
static void letters(gw_bytes *out, const char *text)
{
    gw_bytes_text(out, "  1\n");
    for (const char *at = text; *at != '\0';) {
        const char *const from = at;
        const unsigned letter = gw_letter_next(&at);
        char code[16];
        if (letter >= 0x20 && letter < 0x7F) {
            gw_bytes_add(out, from, 1);
        } else if (letter == 0xB0 || letter == 0xB1 || letter == 0xD8) {
            gw_bytes_text(out, letter == 0xB0 ? "%%d" : letter == 0xB1 ? "%%p" : "%%c");
        } else if (letter >= 0xA0 && letter <= 0xFFFF) {
            snprintf(code, sizeof code, "\\U+%04X", letter);
            gw_bytes_text(out, code);
        }
    }
    gw_bytes_text(out, "\n");
}

static void lettering(void *context, const gw_item *item)
{
    writer *const w = context;
    if (w->view > 0 && item->view != w->view) {
        return;
    }
    head(w, "TEXT", item);
    place(w, 10, item->points[0]);
    // The format's text height is that of the capitals.
    number_group(&w->out, 40, w->factor * GW_LETTER_CAP * item->type.size_mm);
    letters(&w->out, item->text);
    if (item->type.angle_deg != w->turn_deg) {
        angle_group(w, 50, item->type.angle_deg);
    }
    text_group(&w->out, 7, "NOTES");
    if (item->type.anchor != GW_ANCHOR_START) {
        whole_group(&w->out, 72, item->type.anchor == GW_ANCHOR_MIDDLE ? 1 : 2);
        place(w, 11, item->points[0]);
    }
}

// ---------------------------------------------------------------- header and tables

static void limits(writer *w, const gw_scene *scene)
{
    const gw_size paper = gw_scene_paper(scene);
    text_group(&w->out, 0, "SECTION");
    text_group(&w->out, 2, "HEADER");
    text_group(&w->out, 9, "$ACADVER");
    text_group(&w->out, 1, "AC1009");
    text_group(&w->out, 9, "$EXTMIN");
    place(w, 10, (gw_mm){0.0, paper.h});
    text_group(&w->out, 9, "$EXTMAX");
    place(w, 10, (gw_mm){paper.w, 0.0});
    text_group(&w->out, 0, "ENDSEC");
}

static void line_types(writer *w)
{
    text_group(&w->out, 0, "TABLE");
    text_group(&w->out, 2, "LTYPE");
    whole_group(&w->out, 70, 4);
    for (int i = 0; i < 4; i++) {
        const double *lengths_mm;
        const size_t count = gw_dash_pattern((gw_dash)i, &lengths_mm);
        double sum = 0.0;
        for (size_t k = 0; k < count; k++) {
            sum += lengths_mm[k];
        }
        text_group(&w->out, 0, "LTYPE");
        text_group(&w->out, 2, LINE_TYPES[i]);
        whole_group(&w->out, 70, 0);
        text_group(&w->out, 3, "");
        whole_group(&w->out, 72, 65);
        whole_group(&w->out, 73, (int)count);
        number_group(&w->out, 40, w->factor * sum);
        for (size_t k = 0; k < count; k++) {
            number_group(&w->out, 49, w->factor * (k % 2 == 0 ? lengths_mm[k] : -lengths_mm[k]));
        }
    }
    text_group(&w->out, 0, "ENDTAB");
}

static void layers(writer *w)
{
    text_group(&w->out, 0, "TABLE");
    text_group(&w->out, 2, "LAYER");
    whole_group(&w->out, 70, GW_LAYER_COUNT);
    for (int i = 0; i < GW_LAYER_COUNT; i++) {
        text_group(&w->out, 0, "LAYER");
        text_group(&w->out, 2, gw_layer_name((gw_layer)i));
        whole_group(&w->out, 70, 0);
        whole_group(&w->out, 62, gw_layer_colour_index((gw_layer)i));
        text_group(&w->out, 6, "CONTINUOUS");
    }
    text_group(&w->out, 0, "ENDTAB");
}

static void style(writer *w)
{
    text_group(&w->out, 0, "TABLE");
    text_group(&w->out, 2, "STYLE");
    whole_group(&w->out, 70, 1);
    text_group(&w->out, 0, "STYLE");
    text_group(&w->out, 2, "NOTES");
    whole_group(&w->out, 70, 0);
    number_group(&w->out, 40, 0.0);
    number_group(&w->out, 41, 1.0);
    number_group(&w->out, 50, 0.0);
    whole_group(&w->out, 71, 0);
    number_group(&w->out, 42, w->factor * 2.5);
    text_group(&w->out, 3, "arial.ttf");
    text_group(&w->out, 4, "");
    text_group(&w->out, 0, "ENDTAB");
}

static gw_status choose_measure(writer *w, const gw_scene *scene, const gw_dxf_part *part,
                                gw_err *err)
{
    if (part->view > gw_scene_view_count(scene)) {
        return gw_fail(err, GW_ERR_RANGE, "view", "found view %zu, the sheet has %zu", part->view,
                       gw_scene_view_count(scene));
    }
    w->view = part->view;
    if (part->view == 0) {
        w->factor = 1.0;
        w->at.y = gw_scene_paper(scene).h;
        return GW_OK;
    }
    const gw_view *const view = gw_scene_view(scene, part->view - 1);
    const double unit_m = part->units == GW_UNITS_METRIC ? 1.0 : 0.3048;
    w->factor = view->scale / 1000.0 / unit_m;
    w->turn_deg = view->turn_deg;
    w->at = view->at;
    w->x = view->x_m / unit_m;
    w->y = view->y_m / unit_m;
    return GW_OK;
}

gw_status gw_dxf_write(gw_arena *arena, const gw_scene *scene, const gw_dxf_part *part,
                       gw_file_bytes *out, gw_err *err)
{
    writer w = {.out = {.arena = arena}};
    gw_status st = choose_measure(&w, scene, part, err);
    if (st != GW_OK) {
        return st;
    }
    text_group(&w.out, 999,
               part->view == 0                  ? "Units: millimetres of paper"
               : part->units == GW_UNITS_METRIC ? "Units: metres"
                                                : "Units: feet");
    limits(&w, scene);
    text_group(&w.out, 0, "SECTION");
    text_group(&w.out, 2, "TABLES");
    line_types(&w);
    layers(&w);
    style(&w);
    text_group(&w.out, 0, "ENDSEC");
    text_group(&w.out, 0, "SECTION");
    text_group(&w.out, 2, "ENTITIES");
    gw_scene_walk(scene, &(gw_back_end){.context = &w, .shape = shape, .lettering = lettering});
    text_group(&w.out, 0, "ENDSEC");
    text_group(&w.out, 0, "EOF");
    *out = (gw_file_bytes){w.out.data, w.out.length};
    return gw_bytes_status(&w.out, err);
}
