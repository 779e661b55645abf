// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A display list: everything that stands on one sheet, in the order of drawing.
//
// Coordinates are millimetres of paper from the upper left corner, y down. It knows no file format
// and no font library; back ends (svg.h, cairo.h, dxf.h) walk it with two callbacks, one for shapes
// and one for lettering. The same calls give the same list, byte for byte. A failed allocation is
// remembered: draw on, ask gw_scene_status once at the end.
//
//   gw_scene *scene = gw_scene_create(arena, (gw_size){279.4, 215.9});
//   gw_scene_layer(scene, GW_LAYER_BORE);
//   gw_scene_circle(scene, &(gw_face){.pen = {0.35, GW_DASH_NONE, GW_INK}}, (gw_mm){40, 50}, 1.5);
//   gw_scene_text(scene, &(gw_lettering){.size_mm = 2.5}, (gw_mm){43, 51}, "B1");
//   st = gw_scene_status(scene, err);
#ifndef GW_DRAW_SCENE_H
#define GW_DRAW_SCENE_H

#include "base/arena.h"
#include "base/err.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct {
    double x, y; // mm from the sheet's upper left corner, y down
} gw_mm;

typedef struct {
    double w, h; // mm
} gw_size;

typedef struct {
    gw_mm at; // upper left corner
    gw_size size;
} gw_box;

// ---- layers, pens, faces ------------------------------------------------------------------------

// Enumerator, name (as in a DXF file), colour index there, what belongs on it.
#define GW_LAYER_LIST(X)                                                                           \
    X(GW_LAYER_SHEET, "SHEET", 7, "frame and title block")                                         \
    X(GW_LAYER_NOTE, "NOTE", 7, "notes, tables and captions")                                      \
    X(GW_LAYER_LAND, "LAND", 8, "free ground and boundaries")                                      \
    X(GW_LAYER_BUILDING, "BUILDING", 7, "house and other buildings")                               \
    X(GW_LAYER_SETBACK, "SETBACK", 8, "distances to be kept")                                      \
    X(GW_LAYER_BORE, "LOOP-BORE", 5, "bores")                                                      \
    X(GW_LAYER_TRENCH, "LOOP-TRENCH", 8, "trenches")                                               \
    X(GW_LAYER_PIPE, "LOOP-PIPE", 3, "pipes in the ground")                                        \
    X(GW_LAYER_HEADER, "LOOP-HEADER", 3, "header pipes to the house")                              \
    X(GW_LAYER_TRACER, "LOOP-TRACER", 1, "warning tape and tracer wire")                           \
    X(GW_LAYER_GROUT, "LOOP-GROUT", 9, "grout and bedding")                                        \
    X(GW_LAYER_GROUND, "GROUND", 9, "soil and rock in section")                                    \
    X(GW_LAYER_DIMENSION, "DIMENSION", 2, "dimensions")                                            \
    X(GW_LAYER_CHART, "CHART", 7, "charts")

typedef enum {
#define X(code, name, index, doc) code,
    GW_LAYER_LIST(X)
#undef X
        GW_LAYER_COUNT
} gw_layer;

const char *gw_layer_name(gw_layer layer);
int gw_layer_colour_index(gw_layer layer);

typedef enum { GW_DASH_NONE, GW_DASH_DASHED, GW_DASH_DOTTED, GW_DASH_CENTRE } gw_dash;

// Lengths of the dashes and gaps of a line type, mm: [count], 0 entries for a full line.
size_t gw_dash_pattern(gw_dash dash, const double **lengths_mm);

// Colours, 0xRRGGBB.
#define GW_INK 0x1A1A1AU
#define GW_GREY 0x6E6E6EU
#define GW_PALE 0xB8B8B8U
#define GW_WASH 0xF1F1EEU
#define GW_ACCENT 0x1F5D78U
#define GW_WARN 0xA83A1EU
#define GW_PIPE_INK 0x2E7D3AU

typedef struct {
    double width_mm; // 0: no line
    gw_dash dash;
    uint32_t rgb;
} gw_pen;

// An outlined, filled or hatched area.
typedef struct {
    gw_pen pen;
    bool filled;
    uint32_t fill;
    double hatch_mm; // distance of the hatch lines; 0: none
    double hatch_deg;
    gw_pen hatch_pen;
} gw_face;

typedef enum { GW_ANCHOR_START, GW_ANCHOR_MIDDLE, GW_ANCHOR_END } gw_anchor;

typedef struct {
    double size_mm; // the em; capitals are GW_LETTER_CAP of it
    bool bold;
    gw_anchor anchor;
    double angle_deg; // anticlockwise
    uint32_t rgb;     // 0: GW_INK
} gw_lettering;

// ---- the list -----------------------------------------------------------------------------------

typedef enum { GW_ITEM_PATH, GW_ITEM_ARC, GW_ITEM_TEXT } gw_item_kind;

typedef struct {
    gw_item_kind kind;
    gw_layer layer;
    size_t view;         // 0: the paper itself; else index + 1 into the scene's views
    gw_face face;        // path and arc
    bool closed;         // path
    const gw_mm *points; // path: [count]; arc: its centre; text: its anchor on the base line
    size_t count;
    double radius_mm;  // arc
    double start_deg;  // arc: anticlockwise from the right
    double sweep_deg;  // arc: 0 to 360; 360 is a circle
    const char *text;  // text
    gw_lettering type; // text
    double width_mm;   // text: as laid out
} gw_item;

// A part of the sheet drawn to scale (view.h makes it).
typedef struct {
    const char *name;
    double scale;    // 1 : scale
    gw_mm at;        // where the point (x_m, y_m) lies on the sheet
    double x_m;      // east or right
    double y_m;      // north or up
    double turn_deg; // of the axes on the sheet, anticlockwise; -90: north to the right
} gw_view;

typedef struct gw_scene gw_scene;

// NULL without memory; the other functions take a NULL scene and do nothing.
gw_scene *gw_scene_create(gw_arena *arena, gw_size paper);

gw_size gw_scene_paper(const gw_scene *scene);
size_t gw_scene_count(const gw_scene *scene);
const gw_item *gw_scene_item(const gw_scene *scene, size_t index);
size_t gw_scene_view_count(const gw_scene *scene);
const gw_view *gw_scene_view(const gw_scene *scene, size_t index);
gw_arena *gw_scene_arena(const gw_scene *scene);

// What follows is drawn on this layer; in this view (0: the paper).
void gw_scene_layer(gw_scene *scene, gw_layer layer);
void gw_scene_use_view(gw_scene *scene, size_t view);

// Adds a view and returns its number for gw_scene_use_view.
size_t gw_scene_add_view(gw_scene *scene, const gw_view *view);

void gw_scene_line(gw_scene *scene, gw_pen pen, gw_mm from, gw_mm to);
void gw_scene_path(gw_scene *scene, gw_pen pen, const gw_mm *points, size_t count);
void gw_scene_polygon(gw_scene *scene, const gw_face *face, const gw_mm *points, size_t count);
void gw_scene_box(gw_scene *scene, const gw_face *face, gw_box box);
void gw_scene_circle(gw_scene *scene, const gw_face *face, gw_mm centre, double radius_mm);

typedef struct {
    gw_mm centre;
    double radius_mm;
    double start_deg; // anticlockwise from the right
    double sweep_deg; // > 0
} gw_arc;
void gw_scene_arc(gw_scene *scene, gw_pen pen, const gw_arc *arc);

// One line of text on its base line. Empty and NULL text draws nothing.
void gw_scene_text(gw_scene *scene, const gw_lettering *type, gw_mm at, const char *text);
void gw_scene_textf(gw_scene *scene, const gw_lettering *type, gw_mm at, const char *fmt, ...)
    GW_PRINTF(4, 5);

// Text broken to a width, first line's top at `at`; returns the height used, mm. Anchored at the
// start or the middle of the width.
double gw_scene_paragraph(gw_scene *scene, const gw_lettering *type, gw_box at, const char *text);

// The height gw_scene_paragraph would use.
double gw_scene_paragraph_height(gw_arena *arena, const gw_lettering *type, double width_mm,
                                 const char *text);

// GW_ERR_NOMEM when something could not be kept.
gw_status gw_scene_status(const gw_scene *scene, gw_err *err) GW_MUST_USE;

// ---- reading it ---------------------------------------------------------------------------------

// A back end. Hatches have been turned into paths of two points before they come to `shape`.
typedef struct {
    void *context;
    void (*shape)(void *context, const gw_item *item);
    void (*lettering)(void *context, const gw_item *item);
} gw_back_end;

void gw_scene_walk(const gw_scene *scene, const gw_back_end *back_end);

// One line of text per item, for golden files: layer, kind, numbers to 0.01 mm.
gw_status gw_scene_dump(gw_arena *arena, const gw_scene *scene, const char **out,
                        gw_err *err) GW_MUST_USE;

// Four corners of a text, from its lower left on, anticlockwise as read.
void gw_item_text_corners(const gw_item *item, gw_mm corners[static 4]);

// Would this text stand clear of all texts there are, and on the sheet?
bool gw_scene_text_is_free(const gw_scene *scene, const gw_lettering *type, gw_mm at,
                           const char *text);

// No text runs over another text or leaves the sheet. Errors: GW_ERR_GEOMETRY (both texts named).
gw_status gw_scene_check_text(const gw_scene *scene, gw_err *err) GW_MUST_USE;

// Bytes of a finished file.
typedef struct {
    const char *data;
    size_t length;
} gw_file_bytes;

#endif
