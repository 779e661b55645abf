// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// True scale: metres onto the sheet, and what a measured drawing needs: dimensions, leaders, scale
// bar, north arrow.
//
// Scales come from the usual lists, metric (1:100, 1:200 …) or inches to feet (1″ = 10′ …), so that
// the sheet can be measured with a scale rule. Nothing here knows what is drawn.
//
//   double scale = gw_view_scale((gw_view_need){30.0, 20.0, GW_UNITS_METRIC}, box.size);
//   gw_view view = gw_view_centred("plan", scale, (gw_view_span){0, 0, 30, 20}, box);
//   gw_scene_use_view(scene, gw_scene_add_view(scene, &view));
//   gw_mm at = gw_view_mm(&view, 12.5, 3.0);
#ifndef GW_DRAW_VIEW_H
#define GW_DRAW_VIEW_H

#include "base/quantity.h"
#include "draw/scene.h"

// What has to fit, m, and whose scales are used.
typedef struct {
    double width_m;
    double height_m;
    gw_unit_system units;
} gw_view_need;

// Largest usual scale (least N of 1:N) at which it fits the paper; the smallest of the list when
// none does.
double gw_view_scale(gw_view_need need, gw_size paper);

// "1:200" or "1″ = 20′ (1:240)".
const char *gw_view_scale_text(gw_arena *arena, double scale, gw_unit_system units);

// Left, low, right and top of what is drawn, m.
typedef struct {
    double x0_m, y0_m, x1_m, y1_m;
} gw_view_span;

// A view with the middle of the span in the middle of the box.
gw_view gw_view_centred(const char *name, double scale, gw_view_span span, gw_box box);

gw_mm gw_view_mm(const gw_view *view, double x_m, double y_m);
double gw_view_length_mm(const gw_view *view, double length_m);

// A dimension line beside two points: extension lines, line with arrow heads, text. The offset is
// to the left hand on the way from `from` to `to`; negative: to the right hand.
typedef struct {
    gw_mm from;
    gw_mm to;
    double offset_mm;
    const char *text;
    double size_mm; // of the text; 0: 2.2
} gw_dimension;
void gw_view_dimension(gw_scene *scene, const gw_dimension *dimension);

// An arrow head with its point at `tip`, pointing along (dx, dy).
void gw_view_arrow(gw_scene *scene, gw_mm tip, gw_mm direction, double length_mm);

// Labels in a column with leaders to what they name. Labels keep the order of their targets' height
// (with the shifts asked for) and never run into each other.
typedef struct {
    gw_mm target;
    const char *text;
} gw_label;
typedef struct {
    gw_box column;           // where the labels stand
    double size_mm;          // of the lettering
    bool to_left;            // the leaders leave from the column's right side
    const double *shifts_mm; // [count] of the labels down from their targets' height, or NULL
} gw_label_column;
void gw_view_labels(gw_scene *scene, const gw_label_column *column, const gw_label *labels,
                    size_t count);

// A short text near a place, level, moved around it until it stands clear of the other lettering;
// lines behind it are broken if `clear`. Nowhere near: it is left out, and false returned.
typedef struct {
    gw_mm near;
    const char *text;
    bool clear;
} gw_name;
bool gw_view_name(gw_scene *scene, const gw_lettering *type, const gw_name *name);

// Scale bar in whole units of the system, at most `most_mm` long; `at` is its left end.
void gw_view_scale_bar(gw_scene *scene, const gw_view *view, gw_unit_system units, gw_mm at,
                       double most_mm);

// North arrow about `at`, 12 mm long; `note` stands below it. Where nobody knows north yet the
// arrow is drawn empty, for the person on site to fill in.
typedef struct {
    bool known;
    double angle_deg; // anticlockwise from the sheet's upper edge
    const char *note;
} gw_north;
void gw_view_north(gw_scene *scene, gw_mm at, const gw_north *north);

#endif
