// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "draw/chart.h"

#include "draw/lettering.h"

#include <math.h>

static const gw_pen AXIS = {0.25, GW_DASH_NONE, GW_INK};
static const gw_pen MESH = {0.1, GW_DASH_NONE, GW_PALE};

double gw_chart_step(double range, size_t most)
{
    static const double STEPS[] = {1.0, 2.0, 2.5, 5.0, 10.0};
    if (!(range > 0.0) || most == 0) {
        return 1.0;
    }
    const double power = pow(10.0, floor(log10(range / (double)most)));
    for (size_t i = 0; i < 5; i++) {
        if (STEPS[i] * power * (double)most >= range * (1.0 - 1e-9)) {
            return STEPS[i] * power;
        }
    }
    return 10.0 * power;
}

// Steps of a long axis that counts things (years) are whole.
static double whole_step(double range)
{
    const double step = gw_chart_step(range, 10);
    return range >= 10.0 && fmod(step, 1.0) > 0.0 ? 5.0 * floor(step / 2.5) : step;
}

// A tick's number, with a minus sign for a hyphen.
static void tick(gw_scene *scene, const gw_lettering *type, gw_mm at, double value)
{
    const double shown = fabs(value) < 1e-9 ? 0.0 : value;
    gw_scene_textf(scene, type, at, "%s%g", shown < 0.0 ? "\u2212" : "", fabs(shown));
}

typedef struct {
    gw_scene *scene;
    const gw_chart *chart;
    gw_box plot; // inside the axes
} frame;

static double x_at(const frame *f, double x)
{
    const gw_chart_axis *const a = &f->chart->x;
    return f->plot.at.x + f->plot.size.w * (x - a->low) / (a->high - a->low);
}

static double y_at(const frame *f, double y)
{
    const gw_chart_axis *const a = &f->chart->y;
    const double held = fmin(fmax(y, a->low), a->high);
    return f->plot.at.y + f->plot.size.h * (a->high - held) / (a->high - a->low);
}

static void draw_axes(const frame *f)
{
    const gw_chart *const c = f->chart;
    const double s = c->size_mm;
    const double right = f->plot.at.x + f->plot.size.w;
    const double foot = f->plot.at.y + f->plot.size.h;
    const double y_step = gw_chart_step(c->y.high - c->y.low, 7);
    for (double y = ceil(c->y.low / y_step - 1e-9) * y_step; y <= c->y.high + 1e-9; y += y_step) {
        const double at = y_at(f, y);
        gw_scene_line(f->scene, MESH, (gw_mm){f->plot.at.x, at}, (gw_mm){right, at});
        tick(f->scene, &(gw_lettering){.size_mm = s, .anchor = GW_ANCHOR_END},
             (gw_mm){f->plot.at.x - 1.0, at + 0.36 * s}, y);
    }
    const double x_step = whole_step(c->x.high - c->x.low);
    for (double x = ceil(c->x.low / x_step - 1e-9) * x_step; x <= c->x.high + 1e-9; x += x_step) {
        const double at = x_at(f, x);
        gw_scene_line(f->scene, MESH, (gw_mm){at, f->plot.at.y}, (gw_mm){at, foot});
        tick(f->scene, &(gw_lettering){.size_mm = s, .anchor = GW_ANCHOR_MIDDLE},
             (gw_mm){at, foot + 1.2 * s}, x);
    }
    gw_scene_line(f->scene, AXIS, f->plot.at, (gw_mm){f->plot.at.x, foot});
    gw_scene_line(f->scene, AXIS, (gw_mm){f->plot.at.x, foot}, (gw_mm){right, foot});
    gw_scene_text(f->scene, &(gw_lettering){.size_mm = s},
                  (gw_mm){f->chart->box.at.x, f->plot.at.y - 0.9 * s}, c->y.title);
    gw_scene_text(f->scene, &(gw_lettering){.size_mm = s, .anchor = GW_ANCHOR_END},
                  (gw_mm){right, foot + 2.5 * s}, c->x.title);
}

// A lighter tint of a colour, for bands.
static uint32_t tint(uint32_t rgb)
{
    uint32_t out = 0;
    for (unsigned shift = 0; shift < 24; shift += 8) {
        const uint32_t part = rgb >> shift & 0xFFU;
        out |= (255U - (255U - part) / 4U) << shift;
    }
    return out;
}

static void draw_series(const frame *f, const gw_chart_series *s)
{
    gw_arena *const arena = gw_scene_arena(f->scene);
    gw_mm *const points = gw_arena_alloc(arena, 2 * s->count, sizeof *points);
    if (points == NULL) {
        return;
    }
    for (size_t i = 0; i < s->count; i++) {
        points[i] = (gw_mm){x_at(f, s->x[i]), y_at(f, s->y[i])};
        if (s->y2 != NULL) {
            points[2 * s->count - 1 - i] = (gw_mm){points[i].x, y_at(f, s->y2[i])};
        }
    }
    if (s->y2 != NULL) {
        gw_scene_polygon(f->scene, &(gw_face){.filled = true, .fill = tint(s->pen.rgb)}, points,
                         2 * s->count);
    } else {
        gw_scene_path(f->scene, s->pen, points, s->count);
    }
}

static void draw_legend(const frame *f)
{
    const double s = f->chart->size_mm;
    double x = f->plot.at.x;
    const double y = f->plot.at.y + f->plot.size.h + 2.5 * s;
    for (size_t i = 0; i < f->chart->series_count; i++) {
        const gw_chart_series *const one = &f->chart->series[i];
        if (one->y2 != NULL) {
            gw_scene_box(f->scene, &(gw_face){.filled = true, .fill = tint(one->pen.rgb)},
                         (gw_box){{x, y - 0.7 * s}, {5.0, 0.7 * s}});
        } else {
            gw_scene_line(f->scene, one->pen, (gw_mm){x, y - 0.35 * s},
                          (gw_mm){x + 5.0, y - 0.35 * s});
        }
        gw_scene_text(f->scene, &(gw_lettering){.size_mm = s}, (gw_mm){x + 6.2, y}, one->name);
        x += 10.0 + gw_letter_width_mm(one->name, s, false);
    }
}

void gw_chart_lines(gw_scene *scene, const gw_chart *c)
{
    if (!(c->x.high > c->x.low && c->y.high > c->y.low)) {
        return;
    }
    const double s = c->size_mm;
    const frame f = {.scene = scene,
                     .chart = c,
                     .plot = {{c->box.at.x + 3.6 * s, c->box.at.y + 1.9 * s},
                              {c->box.size.w - 4.6 * s, c->box.size.h - 4.8 * s}}};
    gw_scene_layer(scene, GW_LAYER_CHART);
    for (size_t i = 0; i < c->series_count; i++) {
        if (c->series[i].y2 != NULL) {
            draw_series(&f, &c->series[i]);
        }
    }
    draw_axes(&f);
    for (size_t i = 0; i < c->series_count; i++) {
        if (c->series[i].y2 == NULL) {
            draw_series(&f, &c->series[i]);
        }
    }
    for (size_t i = 0; i < c->limit_count; i++) {
        const double y = y_at(&f, c->limits[i].y);
        const double right = f.plot.at.x + f.plot.size.w;
        gw_scene_line(scene, (gw_pen){0.3, GW_DASH_DASHED, GW_WARN}, (gw_mm){f.plot.at.x, y},
                      (gw_mm){right, y});
        gw_scene_text(scene, &(gw_lettering){.size_mm = s, .anchor = GW_ANCHOR_END, .rgb = GW_WARN},
                      (gw_mm){right - 1.0, y - 0.5}, c->limits[i].name);
    }
    draw_legend(&f);
}

double gw_chart_bars(gw_scene *scene, gw_box box, const gw_chart_bar *bars, size_t count,
                     double size_mm)
{
    double most = 0.0;
    double name_mm = 0.0;
    double value_mm = 0.0;
    for (size_t i = 0; i < count; i++) {
        most = fmax(most, bars[i].value);
        name_mm = fmax(name_mm, gw_letter_width_mm(bars[i].name, size_mm, bars[i].chosen));
        value_mm = fmax(value_mm, gw_letter_width_mm(bars[i].value_text, size_mm, bars[i].chosen));
    }
    const double row = 2.1 * size_mm;
    const double left = box.at.x + name_mm + 2.0;
    const double room = box.size.w - name_mm - value_mm - 5.0;
    gw_scene_layer(scene, GW_LAYER_CHART);
    for (size_t i = 0; i < count; i++) {
        const double y = box.at.y + (double)i * row;
        const double long_mm = most > 0.0 ? room * bars[i].value / most : 0.0;
        const gw_lettering type = {.size_mm = size_mm, .bold = bars[i].chosen};
        gw_scene_text(
            scene,
            &(gw_lettering){.size_mm = size_mm, .bold = bars[i].chosen, .anchor = GW_ANCHOR_END},
            (gw_mm){left - 1.5, y + 0.7 * row}, bars[i].name);
        gw_scene_box(scene,
                     &(gw_face){.filled = true, .fill = bars[i].chosen ? GW_ACCENT : 0xC9C9C4U},
                     (gw_box){{left, y + 0.15 * row}, {long_mm, 0.7 * row}});
        gw_scene_text(scene, &type, (gw_mm){left + long_mm + 1.5, y + 0.7 * row},
                      bars[i].value_text);
    }
    return (double)count * row;
}
