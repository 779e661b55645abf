// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "draw/scene.h"

#include "draw/lettering.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

struct gw_scene {
    gw_arena *arena;
    gw_size paper;
    gw_item *items;
    size_t count;
    size_t capacity;
    gw_view *views;
    size_t view_count;
    size_t view_capacity;
    gw_layer layer;
    size_t view;
    bool failed;
};

// ---------------------------------------------------------------- layers and dashes

const char *gw_layer_name(gw_layer layer)
{
    static const char *const NAMES[] = {
#define X(code, name, index, doc) name,
        GW_LAYER_LIST(X)
#undef X
    };
    return NAMES[layer];
}

int gw_layer_colour_index(gw_layer layer)
{
    static const int INDEX[] = {
#define X(code, name, index, doc) index,
        GW_LAYER_LIST(X)
#undef X
    };
    return INDEX[layer];
}

size_t gw_dash_pattern(gw_dash dash, const double **lengths_mm)
{
    static const double DASHED[] = {2.4, 1.2};
    static const double DOTTED[] = {0.4, 0.9};
    static const double CENTRE[] = {6.0, 1.2, 1.0, 1.2};
    *lengths_mm = NULL;
    switch (dash) {
    case GW_DASH_NONE:
        return 0;
    case GW_DASH_DASHED:
        *lengths_mm = DASHED;
        return 2;
    case GW_DASH_DOTTED:
        *lengths_mm = DOTTED;
        return 2;
    case GW_DASH_CENTRE:
        *lengths_mm = CENTRE;
        return 4;
    }
    return 0;
}

// ---------------------------------------------------------------- the list

gw_scene *gw_scene_create(gw_arena *arena, gw_size paper)
{
    gw_scene *const scene = gw_arena_alloc(arena, 1, sizeof *scene);
    if (scene != NULL) {
        *scene = (gw_scene){.arena = arena, .paper = paper};
    }
    return scene;
}

gw_size gw_scene_paper(const gw_scene *scene)
{
    return scene != NULL ? scene->paper : (gw_size){0};
}

size_t gw_scene_count(const gw_scene *scene)
{
    return scene != NULL ? scene->count : 0;
}

const gw_item *gw_scene_item(const gw_scene *scene, size_t index)
{
    return &scene->items[index];
}

size_t gw_scene_view_count(const gw_scene *scene)
{
    return scene != NULL ? scene->view_count : 0;
}

const gw_view *gw_scene_view(const gw_scene *scene, size_t index)
{
    return &scene->views[index];
}

gw_arena *gw_scene_arena(const gw_scene *scene)
{
    return scene != NULL ? scene->arena : NULL;
}

void gw_scene_layer(gw_scene *scene, gw_layer layer)
{
    if (scene != NULL) {
        scene->layer = layer;
    }
}

void gw_scene_use_view(gw_scene *scene, size_t view)
{
    if (scene != NULL && view <= scene->view_count) {
        scene->view = view;
    }
}

// Room for one more element: the old array stays behind in the arena.
static void *grow(gw_scene *scene, void *items, const size_t sizes[static 3], size_t *capacity)
{
    const size_t count = sizes[0];
    if (count < *capacity) {
        return items;
    }
    const size_t larger = *capacity > 0 ? 2 * *capacity : sizes[2];
    void *const fresh = gw_arena_alloc(scene->arena, larger, sizes[1]);
    if (fresh == NULL) {
        scene->failed = true;
        return NULL;
    }
    if (count > 0) {
        memcpy(fresh, items, count * sizes[1]);
    }
    *capacity = larger;
    return fresh;
}

size_t gw_scene_add_view(gw_scene *scene, const gw_view *view)
{
    if (scene == NULL) {
        return 0;
    }
    const size_t sizes[] = {scene->view_count, sizeof *scene->views, 4};
    gw_view *const views = grow(scene, scene->views, sizes, &scene->view_capacity);
    if (views == NULL) {
        return 0;
    }
    scene->views = views;
    scene->views[scene->view_count++] = *view;
    return scene->view_count;
}

static void add(gw_scene *scene, gw_item item, const gw_mm *points)
{
    if (scene == NULL || item.count == 0) {
        return;
    }
    const size_t sizes[] = {scene->count, sizeof *scene->items, 256};
    gw_item *const items = grow(scene, scene->items, sizes, &scene->capacity);
    gw_mm *const kept = gw_arena_alloc(scene->arena, item.count, sizeof *kept);
    if (items == NULL || kept == NULL) {
        scene->failed = true;
        return;
    }
    memcpy(kept, points, item.count * sizeof *kept);
    item.points = kept;
    item.layer = scene->layer;
    item.view = scene->view;
    scene->items = items;
    scene->items[scene->count++] = item;
}

void gw_scene_line(gw_scene *scene, gw_pen pen, gw_mm from, gw_mm to)
{
    const gw_mm points[] = {from, to};
    gw_scene_path(scene, pen, points, 2);
}

void gw_scene_path(gw_scene *scene, gw_pen pen, const gw_mm *points, size_t count)
{
    add(scene, (gw_item){.kind = GW_ITEM_PATH, .face.pen = pen, .count = count}, points);
}

void gw_scene_polygon(gw_scene *scene, const gw_face *face, const gw_mm *points, size_t count)
{
    add(scene, (gw_item){.kind = GW_ITEM_PATH, .face = *face, .closed = true, .count = count},
        points);
}

void gw_scene_box(gw_scene *scene, const gw_face *face, gw_box box)
{
    const double right = box.at.x + box.size.w;
    const double foot = box.at.y + box.size.h;
    const gw_mm points[] = {box.at, {right, box.at.y}, {right, foot}, {box.at.x, foot}};
    gw_scene_polygon(scene, face, points, 4);
}

void gw_scene_circle(gw_scene *scene, const gw_face *face, gw_mm centre, double radius_mm)
{
    add(scene,
        (gw_item){.kind = GW_ITEM_ARC,
                  .face = *face,
                  .closed = true,
                  .count = 1,
                  .radius_mm = radius_mm,
                  .sweep_deg = 360.0},
        &centre);
}

void gw_scene_arc(gw_scene *scene, gw_pen pen, const gw_arc *arc)
{
    add(scene,
        (gw_item){.kind = GW_ITEM_ARC,
                  .face.pen = pen,
                  .count = 1,
                  .radius_mm = arc->radius_mm,
                  .start_deg = arc->start_deg,
                  .sweep_deg = arc->sweep_deg},
        &arc->centre);
}

// ---------------------------------------------------------------- text

void gw_scene_text(gw_scene *scene, const gw_lettering *type, gw_mm at, const char *text)
{
    if (scene == NULL || text == NULL || text[0] == '\0') {
        return;
    }
    gw_item item = {.kind = GW_ITEM_TEXT, .type = *type, .count = 1};
    item.text = gw_arena_strdup(scene->arena, text);
    if (item.text == NULL) {
        scene->failed = true;
        return;
    }
    if (item.type.rgb == 0) {
        item.type.rgb = GW_INK;
    }
    item.width_mm = gw_letter_width_mm(text, type->size_mm, type->bold);
    add(scene, item, &at);
}

void gw_scene_textf(gw_scene *scene, const gw_lettering *type, gw_mm at, const char *fmt, ...)
{
    char text[512];
    va_list args;
    va_start(args, fmt);
    vsnprintf(text, sizeof text, fmt, args);
    va_end(args);
    gw_scene_text(scene, type, at, text);
}

double gw_scene_paragraph(gw_scene *scene, const gw_lettering *type, gw_box at, const char *text)
{
    if (scene == NULL || text == NULL) {
        return 0.0;
    }
    const gw_letter_box box = {at.size.w, type->size_mm, type->bold};
    const gw_letter_lines wrapped = gw_letter_wrap(scene->arena, text, &box);
    if (text[0] != '\0' && wrapped.lines == NULL) {
        scene->failed = true;
        return 0.0;
    }
    const double step_mm = GW_LETTER_LEADING * type->size_mm;
    const double shift_mm = type->anchor == GW_ANCHOR_MIDDLE ? 0.5 * at.size.w
                            : type->anchor == GW_ANCHOR_END  ? at.size.w
                                                             : 0.0;
    for (size_t i = 0; i < wrapped.count; i++) {
        const gw_mm place = {at.at.x + shift_mm,
                             at.at.y + GW_LETTER_ASCENT * type->size_mm + (double)i * step_mm};
        gw_scene_text(scene, type, place, wrapped.lines[i]);
    }
    return (double)wrapped.count * step_mm;
}

double gw_scene_paragraph_height(gw_arena *arena, const gw_lettering *type, double width_mm,
                                 const char *text)
{
    const gw_letter_box box = {width_mm, type->size_mm, type->bold};
    return (double)gw_letter_wrap(arena, text, &box).count * GW_LETTER_LEADING * type->size_mm;
}

gw_status gw_scene_status(const gw_scene *scene, gw_err *err)
{
    return scene == NULL || scene->failed
               ? gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory drawing a sheet")
               : GW_OK;
}
