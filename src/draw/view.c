// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "draw/view.h"

#include "draw/lettering.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846

static const gw_pen THIN = {0.18, GW_DASH_NONE, GW_INK};
static const gw_pen HAIR = {0.13, GW_DASH_NONE, GW_GREY};

// ---------------------------------------------------------------- scales

static const double METRIC[] = {5,   10,  20,  25,   50,   75,   100,  200,  250, 300,
                                400, 500, 750, 1000, 1250, 1500, 2000, 2500, 5000};
// 3″ to 1/8″ a foot, then 1″ = 10′ to 400′.
static const double IMPERIAL[] = {4,   8,   12,  16,  24,  32,  48,   96,   120,
                                  240, 360, 480, 600, 720, 960, 1200, 2400, 4800};

double gw_view_scale(gw_view_need need, gw_size paper)
{
    const bool metric = need.units == GW_UNITS_METRIC;
    const double *const list = metric ? METRIC : IMPERIAL;
    const size_t count =
        metric ? sizeof METRIC / sizeof METRIC[0] : sizeof IMPERIAL / sizeof IMPERIAL[0];
    const double least =
        1000.0 * fmax(need.width_m / fmax(paper.w, 1e-3), need.height_m / fmax(paper.h, 1e-3));
    for (size_t i = 0; i < count; i++) {
        if (list[i] >= least) {
            return list[i];
        }
    }
    return list[count - 1];
}

const char *gw_view_scale_text(gw_arena *arena, double scale, gw_unit_system units)
{
    const char *text = NULL;
    if (units == GW_UNITS_METRIC || fmod(scale, 1.0) != 0.0) {
        text = gw_arena_printf(arena, "1:%.0f", scale);
    } else if (fmod(scale, 12.0) == 0.0) {
        text = scale >= 120.0 ? gw_arena_printf(arena, "1″ = %.0f′ (1:%.0f)", scale / 12.0, scale)
               : scale == 12.0
                   ? gw_arena_printf(arena, "1″ = 1′ (1:12)")
                   : gw_arena_printf(arena, "1/%.0f″ = 1′ (1:%.0f)", scale / 12.0, scale);
    } else {
        text = scale == 16.0   ? gw_arena_strdup(arena, "3/4″ = 1′ (1:16)")
               : scale == 32.0 ? gw_arena_strdup(arena, "3/8″ = 1′ (1:32)")
               : scale == 8.0  ? gw_arena_strdup(arena, "1-1/2″ = 1′ (1:8)")
               : scale == 4.0  ? gw_arena_strdup(arena, "3″ = 1′ (1:4)")
                               : gw_arena_printf(arena, "1:%.0f", scale);
    }
    return text != NULL ? text : "";
}

gw_view gw_view_centred(const char *name, double scale, gw_view_span span, gw_box box)
{
    return (gw_view){.name = name,
                     .scale = scale,
                     .at = {box.at.x + 0.5 * box.size.w, box.at.y + 0.5 * box.size.h},
                     .x_m = 0.5 * (span.x0_m + span.x1_m),
                     .y_m = 0.5 * (span.y0_m + span.y1_m)};
}

gw_mm gw_view_mm(const gw_view *view, double x_m, double y_m)
{
    const double x_mm = gw_view_length_mm(view, x_m - view->x_m);
    const double y_mm = gw_view_length_mm(view, y_m - view->y_m);
    const double turn = view->turn_deg * PI / 180.0;
    return (gw_mm){view->at.x + x_mm * cos(turn) - y_mm * sin(turn),
                   view->at.y - x_mm * sin(turn) - y_mm * cos(turn)};
}

double gw_view_length_mm(const gw_view *view, double length_m)
{
    return 1000.0 * length_m / view->scale;
}

// ---------------------------------------------------------------- dimensions

void gw_view_arrow(gw_scene *scene, gw_mm tip, gw_mm direction, double length_mm)
{
    const double length = hypot(direction.x, direction.y);
    if (!(length > 0.0)) {
        return;
    }
    const double u = direction.x / length;
    const double v = direction.y / length;
    const double half = 0.17 * length_mm;
    const gw_mm points[] = {tip,
                            {tip.x - length_mm * u + half * v, tip.y - length_mm * v - half * u},
                            {tip.x - length_mm * u - half * v, tip.y - length_mm * v + half * u}};
    gw_scene_polygon(scene, &(gw_face){.filled = true, .fill = GW_INK}, points, 3);
}

// Angle of the lettering along a direction, turned so that it reads from below or from the right.
static double reading_angle(double u, double v)
{
    double angle = atan2(-v, u) * 180.0 / PI;
    if (angle > 90.0 - 1e-9) {
        angle -= 180.0;
    }
    if (angle < -90.0 - 1e-9) {
        angle += 180.0;
    }
    return fabs(angle + 90.0) < 1e-6 ? 90.0 : angle;
}

void gw_view_dimension(gw_scene *scene, const gw_dimension *d)
{
    const double length = hypot(d->to.x - d->from.x, d->to.y - d->from.y);
    if (!(length > 0.0)) {
        return;
    }
    const double size = d->size_mm > 0.0 ? d->size_mm : 2.2;
    const double u = (d->to.x - d->from.x) / length;
    const double v = (d->to.y - d->from.y) / length;
    const double nx = v; // left hand on paper, y down
    const double ny = -u;
    const double side = d->offset_mm < 0.0 ? -1.0 : 1.0;
    const gw_mm a = {d->from.x + d->offset_mm * nx, d->from.y + d->offset_mm * ny};
    const gw_mm b = {d->to.x + d->offset_mm * nx, d->to.y + d->offset_mm * ny};
    const double gap = fmin(0.8, 0.4 * fabs(d->offset_mm)) * side;
    const double past = 1.2 * side;
    gw_scene_line(scene, HAIR, (gw_mm){d->from.x + gap * nx, d->from.y + gap * ny},
                  (gw_mm){a.x + past * nx, a.y + past * ny});
    gw_scene_line(scene, HAIR, (gw_mm){d->to.x + gap * nx, d->to.y + gap * ny},
                  (gw_mm){b.x + past * nx, b.y + past * ny});
    const double head = 2.4;
    const double text_mm = gw_letter_width_mm(d->text, size, false);
    const bool inside = length >= 2.6 * head;
    const double stretch = inside ? 0.0 : 2.0 * head;
    gw_scene_line(scene, THIN, (gw_mm){a.x - stretch * u, a.y - stretch * v},
                  (gw_mm){b.x + stretch * u, b.y + stretch * v});
    const double way = inside ? 1.0 : -1.0;
    gw_view_arrow(scene, a, (gw_mm){-way * u, -way * v}, head);
    gw_view_arrow(scene, b, (gw_mm){way * u, way * v}, head);
    // Above the line when it fits between the ends, else beyond the second end.
    const double angle = reading_angle(u, v);
    const double turn = angle * PI / 180.0;
    const double up = 0.9;
    const gw_mm lift = {-up * sin(turn), -up * cos(turn)};
    const bool fits = text_mm + 1.0 <= length;
    const double along = fits ? 0.5 * length : length + stretch + 0.6 + 0.5 * text_mm;
    gw_scene_text(scene,
                  &(gw_lettering){.size_mm = size, .anchor = GW_ANCHOR_MIDDLE, .angle_deg = angle},
                  (gw_mm){a.x + along * u + lift.x, a.y + along * v + lift.y}, d->text);
}

// ---------------------------------------------------------------- labels

enum { LABELS_MAX = 24 };

// Height at which a label would like to stand.
static double level(const gw_label_column *c, const gw_label *labels, size_t index)
{
    return labels[index].target.y + (c->shifts_mm != NULL ? c->shifts_mm[index] : 0.0);
}

static void order_by_height(const gw_label_column *c, const gw_label *labels, size_t count,
                            size_t order[static LABELS_MAX])
{
    for (size_t i = 0; i < count; i++) {
        size_t k = i;
        for (; k > 0 && level(c, labels, order[k - 1]) > level(c, labels, i); k--) {
            order[k] = order[k - 1];
        }
        order[k] = i;
    }
}

void gw_view_labels(gw_scene *scene, const gw_label_column *c, const gw_label *labels, size_t count)
{
    size_t order[LABELS_MAX];
    double top[LABELS_MAX];
    double height[LABELS_MAX];
    const size_t n = count < LABELS_MAX ? count : LABELS_MAX;
    const gw_lettering type = {.size_mm = c->size_mm};
    const double gap = 0.5 * c->size_mm;
    order_by_height(c, labels, n, order);
    double next = c->column.at.y;
    for (size_t i = 0; i < n; i++) {
        const gw_label *const label = &labels[order[i]];
        height[i] =
            gw_scene_paragraph_height(gw_scene_arena(scene), &type, c->column.size.w, label->text);
        top[i] = fmax(next, level(c, labels, order[i]) - 0.5 * c->size_mm);
        next = top[i] + height[i] + gap;
    }
    // What ran over the foot is pushed back up.
    double foot = c->column.at.y + c->column.size.h;
    for (size_t i = n; i-- > 0;) {
        top[i] = fmin(top[i], foot - height[i]);
        foot = top[i] - gap;
    }
    for (size_t i = 0; i < n; i++) {
        const gw_label *const label = &labels[order[i]];
        const double y = top[i] + 0.5 * c->size_mm;
        const double x =
            c->to_left ? c->column.at.x + c->column.size.w + 1.0 : c->column.at.x - 1.0;
        const double elbow = c->to_left ? x + 2.0 : x - 2.0;
        const gw_mm line[] = {{x, y}, {elbow, y}, label->target};
        gw_scene_path(scene, HAIR, line, 3);
        gw_scene_circle(scene, &(gw_face){.filled = true, .fill = GW_INK}, label->target, 0.35);
        const gw_lettering set = {.size_mm = c->size_mm,
                                  .anchor = c->to_left ? GW_ANCHOR_END : GW_ANCHOR_START};
        gw_scene_paragraph(scene, &set,
                           (gw_box){{c->column.at.x, top[i]}, {c->column.size.w, height[i]}},
                           label->text);
    }
}

// Lines stop short of a name.
static void clear_behind(gw_scene *scene, const gw_lettering *type, gw_mm at, const char *text)
{
    const double pad = 0.12 * type->size_mm;
    const double width = gw_letter_width_mm(text, type->size_mm, type->bold);
    const double left = type->anchor == GW_ANCHOR_START    ? 0.0
                        : type->anchor == GW_ANCHOR_MIDDLE ? 0.5 * width
                                                           : width;
    gw_scene_box(scene, &(gw_face){.filled = true, .fill = 0xFFFFFFU},
                 (gw_box){{at.x - left - pad, at.y - GW_LETTER_CAP * type->size_mm - pad},
                          {width + 2.0 * pad, GW_LETTER_CAP * type->size_mm + 2.0 * pad}});
}

bool gw_view_name(gw_scene *scene, const gw_lettering *type, const gw_name *name)
{
    enum { RINGS = 7, WAYS = 8 };
    if (scene == NULL || name->text == NULL || name->text[0] == '\0') {
        return true;
    }
    gw_lettering roomy = *type; // so that what is cleared behind it touches no other lettering
    roomy.size_mm *= name->clear ? 1.25 : 1.0;
    for (int ring = 0; ring < RINGS; ring++) {
        for (int way = 0; way < (ring == 0 ? 1 : WAYS); way++) {
            const double turn = 2.0 * PI * (double)way / WAYS;
            const double away = 1.1 * ring * type->size_mm;
            const gw_mm at = {name->near.x + 1.6 * away * cos(turn),
                              name->near.y + away * sin(turn) + 0.36 * type->size_mm};
            if (!gw_scene_text_is_free(scene, &roomy, at, name->text)) {
                continue;
            }
            if (name->clear) {
                clear_behind(scene, type, at, name->text);
            }
            gw_scene_text(scene, type, at, name->text);
            return true;
        }
    }
    return false;
}

// ---------------------------------------------------------------- scale bar and north

void gw_view_scale_bar(gw_scene *scene, const gw_view *view, gw_unit_system units, gw_mm at,
                       double most_mm)
{
    enum { PARTS = 4 };
    static const double STEPS[] = {0.05, 0.1, 0.25, 0.5, 1, 2, 2.5, 5, 10, 20, 25, 50, 100, 250};
    const bool metric = units == GW_UNITS_METRIC;
    const double unit_m = metric ? 1.0 : 0.3048;
    double step = STEPS[0];
    for (size_t i = 0; i < sizeof STEPS / sizeof STEPS[0]; i++) {
        if (PARTS * gw_view_length_mm(view, STEPS[i] * unit_m) <= most_mm) {
            step = STEPS[i];
        }
    }
    const double part = gw_view_length_mm(view, step * unit_m);
    const double high = 1.4;
    const gw_lettering type = {.size_mm = 2.0, .anchor = GW_ANCHOR_MIDDLE};
    for (int i = 0; i < PARTS; i++) {
        gw_scene_box(
            scene, &(gw_face){.pen = THIN, .filled = true, .fill = i % 2 == 0 ? GW_INK : 0xFFFFFFU},
            (gw_box){{at.x + i * part, at.y}, {part, high}});
    }
    for (int i = 0; i <= PARTS; i += part > 7.0 ? 1 : 2) {
        gw_scene_textf(scene, &type, (gw_mm){at.x + i * part, at.y - 0.8}, "%g%s", i * step,
                       i == PARTS ? (metric ? " m" : " ft") : "");
    }
}

void gw_view_north(gw_scene *scene, gw_mm at, const gw_north *north)
{
    const double r = 6.0;
    const double turn = north->known ? north->angle_deg * PI / 180.0 : 0.0;
    // Tip, right tail, notch, left tail in the arrow's own axes, then turned.
    static const double SHAPE[][2] = {{0.0, 1.0}, {0.42, -0.75}, {0.0, -0.45}, {-0.42, -0.75}};
    gw_mm points[4];
    for (int i = 0; i < 4; i++) {
        const double x = r * SHAPE[i][0];
        const double y = r * SHAPE[i][1];
        points[i] =
            (gw_mm){at.x + x * cos(turn) - y * sin(turn), at.y - x * sin(turn) - y * cos(turn)};
    }
    if (north->known) {
        const gw_mm half[] = {points[0], points[2], points[3]};
        gw_scene_polygon(scene, &(gw_face){.filled = true, .fill = GW_INK}, half, 3);
    }
    gw_scene_polygon(
        scene, &(gw_face){.pen = {0.18, north->known ? GW_DASH_NONE : GW_DASH_DASHED, GW_INK}},
        points, 4);
    const double away = r + 2.2;
    const gw_mm letter = {at.x - away * sin(turn), at.y - away * cos(turn) + 1.1};
    gw_scene_text(scene, &(gw_lettering){.size_mm = 3.2, .bold = true, .anchor = GW_ANCHOR_MIDDLE},
                  letter, "N");
    gw_scene_text(scene,
                  &(gw_lettering){.size_mm = 1.9, .anchor = GW_ANCHOR_MIDDLE, .rgb = GW_GREY},
                  (gw_mm){at.x, at.y + r + 2.6}, north->note);
}
