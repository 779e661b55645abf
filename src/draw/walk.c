// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Reading a scene: the walk for back ends with hatches drawn out, the text dump, and the check that
// no lettering runs into other lettering.
#include "draw/bytes.h"
#include "draw/lettering.h"
#include "draw/scene.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846

// ---------------------------------------------------------------- hatches

enum { CROSSINGS_MAX = 64 };

// Where the lines n·p = level cut the outline: even-odd pairs along the line. A circle is two
// crossings, a polygon one per side that is passed.
static size_t crossings(const gw_item *item, const double n[static 2], double level,
                        double along[static CROSSINGS_MAX])
{
    const double t[] = {-n[1], n[0]};
    size_t count = 0;
    if (item->kind == GW_ITEM_ARC) {
        const gw_mm c = item->points[0];
        const double away = level - (n[0] * c.x + n[1] * c.y);
        const double half_sq = item->radius_mm * item->radius_mm - away * away;
        if (half_sq > 0.0) {
            const double middle = t[0] * c.x + t[1] * c.y;
            along[count++] = middle - sqrt(half_sq);
            along[count++] = middle + sqrt(half_sq);
        }
        return count;
    }
    for (size_t i = 0; i < item->count && count < CROSSINGS_MAX; i++) {
        const gw_mm a = item->points[i];
        const gw_mm b = item->points[(i + 1) % item->count];
        const double da = n[0] * a.x + n[1] * a.y - level;
        const double db = n[0] * b.x + n[1] * b.y - level;
        if ((da < 0.0) != (db < 0.0)) {
            const double share = da / (da - db);
            along[count++] =
                t[0] * (a.x + share * (b.x - a.x)) + t[1] * (a.y + share * (b.y - a.y));
        }
    }
    return count;
}

static void sort(double *values, size_t count)
{
    for (size_t i = 1; i < count; i++) {
        const double v = values[i];
        size_t k = i;
        for (; k > 0 && values[k - 1] > v; k--) {
            values[k] = values[k - 1];
        }
        values[k] = v;
    }
}

// Least and greatest n·p over the outline.
static void extent(const gw_item *item, const double n[static 2], double range[static 2])
{
    range[0] = HUGE_VAL;
    range[1] = -HUGE_VAL;
    for (size_t i = 0; i < item->count; i++) {
        const double d = n[0] * item->points[i].x + n[1] * item->points[i].y;
        range[0] = fmin(range[0], d - item->radius_mm);
        range[1] = fmax(range[1], d + item->radius_mm);
    }
}

static void hatch(const gw_item *item, const gw_back_end *back_end)
{
    const double turn = item->face.hatch_deg * PI / 180.0;
    const double n[] = {sin(turn), cos(turn)}; // across the lines; y runs down
    double range[2];
    extent(item, n, range);
    gw_item line = {.kind = GW_ITEM_PATH,
                    .layer = item->layer,
                    .view = item->view,
                    .face.pen = item->face.hatch_pen,
                    .count = 2};
    // Levels count from the sheet's corner, so that neighbouring areas share their lines.
    const double step = item->face.hatch_mm;
    for (double level = ceil(range[0] / step) * step; level < range[1]; level += step) {
        double along[CROSSINGS_MAX];
        const size_t count = crossings(item, n, level, along);
        sort(along, count);
        for (size_t i = 0; i + 1 < count; i += 2) {
            const gw_mm ends[] = {
                {n[0] * level - n[1] * along[i], n[1] * level + n[0] * along[i]},
                {n[0] * level - n[1] * along[i + 1], n[1] * level + n[0] * along[i + 1]}};
            line.points = ends;
            back_end->shape(back_end->context, &line);
        }
    }
}

void gw_scene_walk(const gw_scene *scene, const gw_back_end *back_end)
{
    for (size_t i = 0; i < gw_scene_count(scene); i++) {
        const gw_item *const item = gw_scene_item(scene, i);
        if (item->kind == GW_ITEM_TEXT) {
            back_end->lettering(back_end->context, item);
            continue;
        }
        // Fill, then hatch, then outline on top.
        gw_item part = *item;
        if (item->face.hatch_mm > 0.0 && item->closed) {
            part.face.pen.width_mm = 0.0;
            if (item->face.filled) {
                back_end->shape(back_end->context, &part);
            }
            hatch(item, back_end);
            part = *item;
            part.face.filled = false;
        }
        if (part.face.filled || part.face.pen.width_mm > 0.0) {
            back_end->shape(back_end->context, &part);
        }
    }
}

// ---------------------------------------------------------------- dump

static void dump_number(gw_bytes *out, double value)
{
    gw_bytes_text(out, " ");
    gw_bytes_number(out, value, 2);
}

static void dump_colour(gw_bytes *out, uint32_t rgb)
{
    static const char HEX[] = "0123456789abcdef";
    char text[] = " #000000";
    for (int i = 0; i < 6; i++) {
        text[2 + i] = HEX[rgb >> (20 - 4 * i) & 0xFU];
    }
    gw_bytes_text(out, text);
}

static void dump_item(gw_bytes *out, const gw_item *item)
{
    static const char *const DASHES[] = {"full", "dashed", "dotted", "centre"};
    static const char *const ANCHORS[] = {"start", "middle", "end"};
    gw_bytes_text(out, gw_layer_name(item->layer));
    gw_bytes_text(out, item->view > 0 ? " view" : "");
    if (item->view > 0) {
        gw_bytes_number(out, (double)item->view, 0);
    }
    gw_bytes_text(out, item->kind == GW_ITEM_TEXT  ? " text"
                       : item->kind == GW_ITEM_ARC ? " arc"
                       : item->closed              ? " polygon"
                                                   : " path");
    for (size_t i = 0; i < item->count; i++) {
        dump_number(out, item->points[i].x);
        dump_number(out, item->points[i].y);
    }
    if (item->kind == GW_ITEM_TEXT) {
        gw_bytes_text(out, " size");
        dump_number(out, item->type.size_mm);
        dump_number(out, item->type.angle_deg);
        gw_bytes_text(out, item->type.bold ? " bold " : " ");
        gw_bytes_text(out, ANCHORS[item->type.anchor]);
        dump_colour(out, item->type.rgb);
        gw_bytes_text(out, " \"");
        gw_bytes_text(out, item->text);
        gw_bytes_text(out, "\"\n");
        return;
    }
    if (item->kind == GW_ITEM_ARC) {
        gw_bytes_text(out, " r");
        dump_number(out, item->radius_mm);
        dump_number(out, item->start_deg);
        dump_number(out, item->sweep_deg);
    }
    if (item->face.pen.width_mm > 0.0) {
        gw_bytes_text(out, " pen");
        dump_number(out, item->face.pen.width_mm);
        gw_bytes_text(out, " ");
        gw_bytes_text(out, DASHES[item->face.pen.dash]);
        dump_colour(out, item->face.pen.rgb);
    }
    if (item->face.filled) {
        gw_bytes_text(out, " fill");
        dump_colour(out, item->face.fill);
    }
    if (item->face.hatch_mm > 0.0) {
        gw_bytes_text(out, " hatch");
        dump_number(out, item->face.hatch_mm);
        dump_number(out, item->face.hatch_deg);
    }
    gw_bytes_text(out, "\n");
}

gw_status gw_scene_dump(gw_arena *arena, const gw_scene *scene, const char **out, gw_err *err)
{
    gw_bytes text = {.arena = arena};
    const gw_size paper = gw_scene_paper(scene);
    gw_bytes_text(&text, "sheet");
    dump_number(&text, paper.w);
    dump_number(&text, paper.h);
    gw_bytes_text(&text, "\n");
    for (size_t i = 0; i < gw_scene_count(scene); i++) {
        dump_item(&text, gw_scene_item(scene, i));
    }
    *out = text.data;
    return gw_bytes_status(&text, err);
}

// ---------------------------------------------------------------- lettering against lettering

void gw_item_text_corners(const gw_item *item, gw_mm corners[static 4])
{
    const double turn = item->type.angle_deg * PI / 180.0;
    const double along[] = {cos(turn), -sin(turn)};
    const double up[] = {-sin(turn), -cos(turn)};
    const double share = item->type.anchor == GW_ANCHOR_START    ? 0.0
                         : item->type.anchor == GW_ANCHOR_MIDDLE ? 0.5
                                                                 : 1.0;
    const double left = -share * item->width_mm;
    const double sides[] = {left, left + item->width_mm};
    const double levels[] = {-GW_LETTER_DESCENT * item->type.size_mm,
                             GW_LETTER_ASCENT * item->type.size_mm};
    for (int i = 0; i < 4; i++) {
        const double s = sides[i == 1 || i == 2];
        const double l = levels[i >= 2];
        corners[i] = (gw_mm){item->points[0].x + s * along[0] + l * up[0],
                             item->points[0].y + s * along[1] + l * up[1]};
    }
}

// Two rectangles are apart when some side of one of them has the other one beyond it.
static bool apart(const gw_mm a[static 4], const gw_mm b[static 4])
{
    const double touch_mm = 0.05;
    for (int i = 0; i < 2; i++) {
        const double n[] = {a[i + 1].x - a[i].x, a[i + 1].y - a[i].y};
        const double length = hypot(n[0], n[1]);
        double ra[] = {HUGE_VAL, -HUGE_VAL};
        double rb[] = {HUGE_VAL, -HUGE_VAL};
        for (int k = 0; k < 4; k++) {
            const double da = (a[k].x * n[0] + a[k].y * n[1]) / length;
            const double db = (b[k].x * n[0] + b[k].y * n[1]) / length;
            ra[0] = fmin(ra[0], da);
            ra[1] = fmax(ra[1], da);
            rb[0] = fmin(rb[0], db);
            rb[1] = fmax(rb[1], db);
        }
        if (ra[1] <= rb[0] + touch_mm || rb[1] <= ra[0] + touch_mm) {
            return true;
        }
    }
    return false;
}

static bool on_sheet(const gw_mm corners[static 4], gw_size paper)
{
    for (int i = 0; i < 4; i++) {
        if (!(corners[i].x >= 0.0 && corners[i].x <= paper.w && corners[i].y >= 0.0 &&
              corners[i].y <= paper.h)) {
            return false;
        }
    }
    return true;
}

static gw_status check_one(const gw_scene *scene, size_t index, gw_err *err)
{
    const gw_item *const item = gw_scene_item(scene, index);
    gw_mm corners[4];
    gw_item_text_corners(item, corners);
    if (!on_sheet(corners, gw_scene_paper(scene))) {
        return gw_fail(err, GW_ERR_GEOMETRY, NULL,
                       "the text \"%s\" at %.1f, %.1f mm leaves the sheet", item->text,
                       item->points[0].x, item->points[0].y);
    }
    for (size_t i = 0; i < index; i++) {
        const gw_item *const other = gw_scene_item(scene, i);
        if (other->kind != GW_ITEM_TEXT) {
            continue;
        }
        gw_mm others[4];
        gw_item_text_corners(other, others);
        if (!apart(corners, others) && !apart(others, corners)) {
            return gw_fail(err, GW_ERR_GEOMETRY, NULL,
                           "the text \"%s\" at %.1f, %.1f mm runs over \"%s\" at %.1f, %.1f mm",
                           item->text, item->points[0].x, item->points[0].y, other->text,
                           other->points[0].x, other->points[0].y);
        }
    }
    return GW_OK;
}

bool gw_scene_text_is_free(const gw_scene *scene, const gw_lettering *type, gw_mm at,
                           const char *text)
{
    const gw_item item = {.points = &at,
                          .count = 1,
                          .type = *type,
                          .width_mm = gw_letter_width_mm(text, type->size_mm, type->bold)};
    gw_mm corners[4];
    gw_item_text_corners(&item, corners);
    bool free = on_sheet(corners, gw_scene_paper(scene));
    for (size_t i = 0; free && i < gw_scene_count(scene); i++) {
        const gw_item *const other = gw_scene_item(scene, i);
        if (other->kind == GW_ITEM_TEXT) {
            gw_mm others[4];
            gw_item_text_corners(other, others);
            free = apart(corners, others) || apart(others, corners);
        }
    }
    return free;
}

gw_status gw_scene_check_text(const gw_scene *scene, gw_err *err)
{
    for (size_t i = 0; i < gw_scene_count(scene); i++) {
        if (gw_scene_item(scene, i)->kind == GW_ITEM_TEXT) {
            const gw_status st = check_one(scene, i, err);
            if (st != GW_OK) {
                return st;
            }
        }
    }
    return GW_OK;
}
