// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Two charts on a sheet: curves over a common axis with limit lines, and horizontal bars with their
// values. Numbers come in the units they are shown in; round ticks are chosen here.
//
//   gw_chart_lines(scene, &(gw_chart){.box = box, .x = {"year", 0, 25}, .y = {"°C", -4, 22}, …});
#ifndef GW_DRAW_CHART_H
#define GW_DRAW_CHART_H

#include "draw/scene.h"

typedef struct {
    const char *title;
    double low;
    double high;
} gw_chart_axis;

typedef struct {
    const double *x; // [count]
    const double *y;
    const double *y2; // [count] or NULL: the band from y to y2 is filled instead of a line drawn
    size_t count;
    gw_pen pen; // of the line; its colour fills the band
    const char *name;
} gw_chart_series;

typedef struct {
    double y;
    const char *name;
} gw_chart_limit;

typedef struct {
    gw_box box; // all of it, titles included
    gw_chart_axis x;
    gw_chart_axis y;
    const gw_chart_series *series;
    size_t series_count; // 1 to 6
    const gw_chart_limit *limits;
    size_t limit_count;
    double size_mm; // of the lettering
} gw_chart;

void gw_chart_lines(gw_scene *scene, const gw_chart *chart);

typedef struct {
    const char *name;
    const char *value_text;
    double value; // ≥ 0
    bool chosen;  // drawn in the accent
} gw_chart_bar;

// Bars from the top of the box down; returns the height used.
double gw_chart_bars(gw_scene *scene, gw_box box, const gw_chart_bar *bars, size_t count,
                     double size_mm);

// A round step (1, 2, 2.5 or 5 times a power of ten) that cuts a range into at most `most` parts.
double gw_chart_step(double range, size_t most);

#endif
