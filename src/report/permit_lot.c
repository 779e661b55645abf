// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The lot to true scale: boundary, features, the loop where the design laid it, its header by the
// routed way, and the distances that the loop keeps, drawn where they are least and listed beside
// what is required.
//
// Distances are edge to edge (lot/plane.h); rules are the job's own, then the jurisdiction's, then
// the typical ones (lot/setback.h). Lines of services carry the public uniform colours (APWA).
#include "draw/lettering.h"
#include "lot/plane.h"
#include "lot/setback.h"
#include "report/permit_priv.h"

#include <math.h>

typedef struct {
    gw_permit_priv *set;
    gw_scene *scene;
    gw_view view;
    const gw_job_lot *lot;
    gw_lot_ruleset rules;
    const gw_design_on_lot *on; // where the loop lies; NULL: not placed
    gw_box frame;               // of the drawing: nothing is drawn beyond it
} sheet;

typedef struct {
    gw_lot_kind kind;
    gw_layer layer;
    gw_pen pen;
    uint32_t fill; // 0: none
    double hatch_mm;
} look;

// What is not listed is drawn grey and thin.
static const look LOOKS[] = {
    {GW_LOT_HOUSE, GW_LAYER_BUILDING, {0.5, GW_DASH_NONE, GW_INK}, GW_WASH, 2.6},
    {GW_LOT_BUILDING, GW_LAYER_BUILDING, {0.35, GW_DASH_NONE, GW_INK}, GW_WASH, 2.6},
    {GW_LOT_SEPTIC_TANK, GW_LAYER_LAND, {0.3, GW_DASH_NONE, 0x2F7D32U}, 0xEAF3E6U, 0.0},
    {GW_LOT_SEPTIC_FIELD, GW_LAYER_LAND, {0.3, GW_DASH_NONE, 0x2F7D32U}, 0xEAF3E6U, 1.8},
    {GW_LOT_SEPTIC_RESERVE, GW_LAYER_LAND, {0.3, GW_DASH_DASHED, 0x2F7D32U}, 0, 0.0},
    {GW_LOT_WELL, GW_LAYER_LAND, {0.4, GW_DASH_NONE, 0x1F5FBFU}, 0xFFFFFFU, 0.0},
    {GW_LOT_DRIVEWAY, GW_LAYER_LAND, {0.18, GW_DASH_NONE, GW_GREY}, 0xEFEFEDU, 0.0},
    {GW_LOT_TREE, GW_LAYER_LAND, {0.2, GW_DASH_NONE, 0x5E7F4EU}, 0xF0F5ECU, 0.0},
    {GW_LOT_WATER_LINE, GW_LAYER_LAND, {0.3, GW_DASH_DASHED, 0x1F5FBFU}, 0, 0.0},
    {GW_LOT_SEWER_LINE, GW_LAYER_LAND, {0.3, GW_DASH_DASHED, 0x2F7D32U}, 0, 0.0},
    {GW_LOT_GAS_LINE, GW_LAYER_LAND, {0.3, GW_DASH_DASHED, 0xC9A400U}, 0, 0.0},
    {GW_LOT_POWER_LINE, GW_LAYER_LAND, {0.3, GW_DASH_DASHED, 0xC62828U}, 0, 0.0},
    {GW_LOT_TELECOM_LINE, GW_LAYER_LAND, {0.3, GW_DASH_DASHED, 0xE07B00U}, 0, 0.0},
    {GW_LOT_EASEMENT, GW_LAYER_LAND, {0.2, GW_DASH_CENTRE, GW_GREY}, 0, 0.0},
    {GW_LOT_POND, GW_LAYER_LAND, {0.3, GW_DASH_NONE, 0x3A7CA5U}, 0xE3EEF4U, 0.0},
    {GW_LOT_WATERCOURSE, GW_LAYER_LAND, {0.3, GW_DASH_NONE, 0x3A7CA5U}, 0, 0.0},
};

static look look_of(gw_lot_kind kind)
{
    for (size_t i = 0; i < sizeof LOOKS / sizeof LOOKS[0]; i++) {
        if (LOOKS[i].kind == kind) {
            return LOOKS[i];
        }
    }
    return (look){kind, GW_LAYER_LAND, {0.18, GW_DASH_NONE, GW_GREY}, 0, 0.0};
}

static gw_mm at(const sheet *s, gw_lot_point p)
{
    return gw_view_mm(&s->view, p.x_m, p.y_m);
}

static const gw_mm *path_on_sheet(const sheet *s, const gw_lot_path *path)
{
    gw_mm *const points = gw_arena_alloc(s->set->p.arena, path->count, sizeof *points);
    for (size_t i = 0; points != NULL && i < path->count; i++) {
        points[i] = at(s, path->points[i]);
    }
    s->set->p.failed = s->set->p.failed || points == NULL;
    return points;
}

// How far a point lies inside side 0 to 3 of the frame, mm; negative: outside.
static double inside(const sheet *s, int side, gw_mm p)
{
    const gw_box *const f = &s->frame;
    return side == 0   ? p.x - f->at.x
           : side == 1 ? f->at.x + f->size.w - p.x
           : side == 2 ? p.y - f->at.y
                       : f->at.y + f->size.h - p.y;
}

static bool in_frame(const sheet *s, gw_mm p)
{
    return inside(s, 0, p) >= 0.0 && inside(s, 1, p) >= 0.0 && inside(s, 2, p) >= 0.0 &&
           inside(s, 3, p) >= 0.0;
}

static gw_mm between(gw_mm a, gw_mm b, double share)
{
    return (gw_mm){a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)};
}

// A segment cut to the frame; false when nothing of it is inside (Liang & Barsky 1984).
static bool cut_segment(const sheet *s, gw_mm ends[static 2])
{
    double from = 0.0;
    double to = 1.0;
    for (int side = 0; side < 4; side++) {
        const double a = inside(s, side, ends[0]);
        const double b = inside(s, side, ends[1]);
        if (a < 0.0 && b < 0.0) {
            return false;
        }
        if (a < 0.0) {
            from = fmax(from, a / (a - b));
        } else if (b < 0.0) {
            to = fmin(to, a / (a - b));
        }
    }
    const gw_mm start = between(ends[0], ends[1], from);
    ends[1] = between(ends[0], ends[1], to);
    ends[0] = start;
    return from < to;
}

// A polygon cut to the frame side by side (Sutherland & Hodgman 1974). Points in the arena.
static const gw_mm *cut_polygon(const sheet *s, const gw_mm *points, size_t *count)
{
    for (int side = 0; side < 4 && points != NULL && *count > 0; side++) {
        gw_mm *const kept = gw_arena_alloc(s->set->p.arena, 2 * *count, sizeof *kept);
        size_t n = 0;
        for (size_t i = 0; kept != NULL && i < *count; i++) {
            const gw_mm p = points[i];
            const gw_mm q = points[(i + 1) % *count];
            const double a = inside(s, side, p);
            const double b = inside(s, side, q);
            if (a >= 0.0) {
                kept[n++] = p;
            }
            if ((a < 0.0) != (b < 0.0)) {
                kept[n++] = between(p, q, a / (a - b));
            }
        }
        s->set->p.failed = s->set->p.failed || kept == NULL;
        points = kept;
        *count = n;
    }
    return points;
}

// A line, and the strip it stands for where it is wide.
static void draw_line(const sheet *s, gw_pen pen, const gw_lot_geometry *g, const gw_mm *points)
{
    const double wide = gw_view_length_mm(&s->view, 2.0 * g->radius_m);
    for (int pass = wide > 1.0 ? 0 : 1; pass < 2; pass++) {
        for (size_t i = 0; i + 1 < g->path.count; i++) {
            gw_mm ends[] = {points[i], points[i + 1]};
            if (cut_segment(s, ends)) {
                gw_scene_line(s->scene, pass == 0 ? (gw_pen){wide, GW_DASH_NONE, 0xEFEFEDU} : pen,
                              ends[0], ends[1]);
            }
        }
    }
}

static void draw_feature(const sheet *s, const gw_lot_feature *f)
{
    const look l = look_of(f->kind);
    const gw_lot_geometry *const g = &f->geometry;
    const gw_face face = {.pen = l.pen,
                          .filled = l.fill != 0,
                          .fill = l.fill,
                          .hatch_mm = l.hatch_mm,
                          .hatch_deg = 45.0,
                          .hatch_pen = {0.1, GW_DASH_NONE, GW_PALE}};
    const gw_mm *points = path_on_sheet(s, &g->path);
    if (points == NULL) {
        return;
    }
    gw_scene_layer(s->scene, l.layer);
    if (g->shape == GW_LOT_LINE) {
        draw_line(s, l.pen, g, points);
    } else if (g->shape == GW_LOT_POLYGON) {
        size_t count = g->path.count - 1;
        points = cut_polygon(s, points, &count);
        if (points != NULL && count >= 3) {
            gw_scene_polygon(s->scene, &face, points, count);
        }
    } else if (in_frame(s, points[0])) {
        gw_scene_circle(s->scene, &face, points[0],
                        fmax(0.8, gw_view_length_mm(&s->view, g->radius_m)));
    }
}

// Middle of a shape's corners; of a line, its middle point.
static gw_mm middle_of(const sheet *s, const gw_lot_geometry *g)
{
    if (g->shape == GW_LOT_LINE) {
        const gw_mm a = at(s, g->path.points[(g->path.count - 1) / 2]);
        const gw_mm b = at(s, g->path.points[g->path.count / 2]);
        return (gw_mm){0.5 * (a.x + b.x), 0.5 * (a.y + b.y)};
    }
    const size_t corners = g->shape == GW_LOT_POLYGON ? g->path.count - 1 : g->path.count;
    gw_lot_point sum = {0.0, 0.0};
    for (size_t i = 0; i < corners; i++) {
        sum.x_m += g->path.points[i].x_m / (double)corners;
        sum.y_m += g->path.points[i].y_m / (double)corners;
    }
    return at(s, sum);
}

// ---------------------------------------------------------------- distances kept

typedef struct {
    const char *name;
    gw_lot_gap gap;
    gw_lot_setback rule;
} kept;

enum { KEPT_MAX = 40 };

// Least gap of any piece of the loop to the feature, or to the property line when it is NULL.
static gw_lot_gap least_gap(const sheet *s, const gw_lot_feature *feature)
{
    gw_lot_gap least = {.gap_m = HUGE_VAL};
    for (size_t i = 0; i < s->on->items.count; i++) {
        const gw_lot_item *const item = &s->on->items.items[i];
        gw_lot_gap gap;
        if (feature != NULL) {
            gw_lot_measure_gap(&item->geometry, &feature->geometry, &gap);
        } else {
            gw_lot_measure_inside_gap(&item->geometry, &s->lot->lot.boundary, &gap);
        }
        least = gap.gap_m < least.gap_m ? gap : least;
    }
    return least;
}

static size_t measure_kept(const sheet *s, kept out[static KEPT_MAX])
{
    const gw_lot_loop loop = s->set->p.loop->kind == GW_LOOP_BORES ? GW_LOT_BORE : GW_LOT_TRENCH;
    size_t count = 0;
    for (size_t i = 0; s->on != NULL && i <= s->lot->lot.count && count < KEPT_MAX; i++) {
        const gw_lot_feature *const f = i > 0 ? &s->lot->lot.features[i - 1] : NULL;
        gw_lot_setback rule;
        if (gw_lot_find_setback(&s->rules, f, loop, &rule)) {
            out[count++] =
                (kept){f != NULL ? gw_lot_feature_name(f) : "property line", least_gap(s, f), rule};
        }
    }
    return count;
}

// Those near enough to matter are dimensioned on the plan; all are in the table.
static void draw_kept(const sheet *s, const kept *all, size_t count)
{
    gw_papers *const q = &s->set->p;
    const gw_lettering type = {.size_mm = 0.85 * s->set->letter_mm};
    gw_scene_layer(s->scene, GW_LAYER_SETBACK);
    for (size_t i = 0; i < count; i++) {
        const gw_lot_gap *const g = &all[i].gap;
        if (!(g->gap_m > 0.0 && g->gap_m < 3.0 * fmax(all[i].rule.distance_m, 2.0))) {
            continue;
        }
        const gw_mm a = at(s, g->on_a);
        const gw_mm b = at(s, g->on_b);
        if (!in_frame(s, a) || !in_frame(s, b)) {
            continue; // off the drawing: the table has it
        }
        const uint32_t rgb = g->gap_m < all[i].rule.distance_m ? GW_WARN : GW_GREY;
        gw_scene_line(s->scene, (gw_pen){0.15, GW_DASH_NONE, rgb}, a, b);
        gw_view_arrow(s->scene, a, (gw_mm){a.x - b.x, a.y - b.y}, 2.0);
        gw_view_arrow(s->scene, b, (gw_mm){b.x - a.x, b.y - a.y}, 2.0);
        gw_view_name(s->scene, &type,
                     &(gw_name){{0.5 * (a.x + b.x) + 1.0, 0.5 * (a.y + b.y)},
                                gw_papers_measure(q, g->gap_m),
                                true});
    }
}

static double kept_table(const sheet *s, const kept *all, size_t count, gw_box box)
{
    static const gw_ruled_column COLUMNS[] = {{"From", 1.5, GW_ANCHOR_START},
                                              {"Found", 0.9, GW_ANCHOR_END},
                                              {"Keep", 0.9, GW_ANCHOR_END},
                                              {"", 0.7, GW_ANCHOR_START}};
    gw_papers *const q = &s->set->p;
    gw_ruled_rows rows = {.arena = q->arena, .column_count = 4};
    for (size_t i = 0; i < count; i++) {
        const bool good = all[i].gap.gap_m >= all[i].rule.distance_m - 1e-6;
        const char *const cells[] = {
            gw_papers_tidy(q, all[i].name),
            all[i].gap.gap_m > 0.0 ? gw_papers_measure(q, all[i].gap.gap_m) : "on it",
            all[i].rule.distance_m > 0.0 ? gw_papers_measure(q, all[i].rule.distance_m) : "off it",
            good ? "kept" : "SHORT"};
        gw_ruled_add(&rows, cells);
    }
    q->failed = q->failed || rows.failed;
    size_t row = 0;
    return gw_ruled_draw(s->scene,
                         &(gw_ruled){COLUMNS, 4, rows.cells, rows.rows, s->set->letter_mm, false},
                         box, &row);
}

// ---------------------------------------------------------------- the sheet

static gw_status open_rules(sheet *s, gw_err *err)
{
    gw_papers *const q = &s->set->p;
    gw_lot_rules *const shipped = gw_arena_alloc(q->arena, 1, sizeof *shipped);
    gw_table table;
    gw_status st = shipped != NULL ? gw_papers_table(q, "setbacks.csv", &table, err)
                                   : gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory");
    if (st == GW_OK) {
        st = gw_lot_rules_read(q->arena, &table, shipped, err);
    }
    if (st == GW_OK) {
        s->rules = (gw_lot_ruleset){.shipped = shipped, .jurisdiction = s->lot->jurisdiction};
        st = gw_job_lot_rules(q->arena, s->lot, &s->rules.own, err);
    }
    return st;
}

static gw_status choose_view(sheet *s, gw_box box, gw_err *err)
{
    gw_view_span span = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
    const gw_lot_path *const ring = &s->lot->lot.boundary;
    for (size_t i = 0; i < ring->count; i++) {
        span.x0_m = fmin(span.x0_m, ring->points[i].x_m);
        span.x1_m = fmax(span.x1_m, ring->points[i].x_m);
        span.y0_m = fmin(span.y0_m, ring->points[i].y_m);
        span.y1_m = fmax(span.y1_m, ring->points[i].y_m);
    }
    // North up, or to the right where that gives the larger drawing.
    const gw_unit_system units = s->set->p.style.units;
    const gw_view_need upright = {span.x1_m - span.x0_m, span.y1_m - span.y0_m, units};
    const gw_view_need turned = {upright.height_m, upright.width_m, units};
    const bool turn = gw_view_scale(turned, box.size) < gw_view_scale(upright, box.size);
    const gw_view_need need = turn ? turned : upright;
    const double fits = gw_view_scale(need, box.size);
    const double asked = s->on != NULL ? s->set->p.style.scale : 0.0;
    const double least = 1000.0 * fmax(need.width_m / box.size.w, need.height_m / box.size.h);
    if (asked > 0.0 && asked < least) {
        return gw_fail(
            err, GW_ERR_RANGE, "scale",
            "the lot at 1:%g does not fit %s paper: 1:%g is the largest usual scale that does",
            asked, gw_paper_name(s->set->p.style.paper), fits);
    }
    s->view = gw_view_centred("lot", asked > 0.0 ? asked : fits, span, box);
    s->view.turn_deg = turn ? -90.0 : 0.0;
    return GW_OK;
}

static void draw_boundary(const sheet *s)
{
    const gw_lot_path *const ring = &s->lot->lot.boundary;
    gw_papers *const q = &s->set->p;
    const gw_mm *const points = path_on_sheet(s, ring);
    if (points == NULL) {
        return;
    }
    gw_scene_layer(s->scene, GW_LAYER_LAND);
    gw_scene_polygon(s->scene, &(gw_face){.pen = {0.5, GW_DASH_CENTRE, GW_INK}}, points,
                     ring->count - 1);
    const gw_lettering type = {
        .size_mm = 0.85 * s->set->letter_mm, .anchor = GW_ANCHOR_MIDDLE, .rgb = GW_GREY};
    gw_scene_layer(s->scene, GW_LAYER_DIMENSION);
    for (size_t i = 0; i + 1 < ring->count; i++) {
        const double side_m = gw_lot_distance_m(ring->points[i], ring->points[i + 1]);
        if (gw_view_length_mm(&s->view, side_m) > 18.0) {
            gw_view_name(s->scene, &type,
                         &(gw_name){{0.5 * (points[i].x + points[i + 1].x),
                                     0.5 * (points[i].y + points[i + 1].y)},
                                    gw_papers_measure(q, side_m),
                                    true});
        }
    }
}

// The header tree by its routed legs.
static void draw_header(const sheet *s)
{
    gw_scene_layer(s->scene, GW_LAYER_HEADER);
    for (size_t i = 0; s->on->has_header && i < s->on->header.count; i++) {
        const gw_lot_path *const path = &s->on->header.legs[i].route.path;
        const gw_mm *const points = path_on_sheet(s, path);
        if (points != NULL) {
            gw_scene_path(s->scene, (gw_pen){0.4, GW_DASH_NONE, GW_PIPE_INK}, points, path->count);
        }
    }
    const gw_mm entry = at(s, s->lot->entry);
    gw_scene_box(s->scene, &(gw_face){.filled = true, .fill = GW_PIPE_INK},
                 (gw_box){{entry.x - 0.9, entry.y - 0.9}, {1.8, 1.8}});
}

// Trenches as strips with their numbers at the far end.
static void draw_lanes(const sheet *s)
{
    const gw_lettering type = {.size_mm = s->set->letter_mm, .bold = true, .rgb = GW_ACCENT};
    const double half =
        0.5 * gw_view_length_mm(&s->view, s->set->p.loop->sized.plan.trench.width_m);
    gw_scene_layer(s->scene, GW_LAYER_TRENCH);
    for (size_t i = 0; i < s->on->lane_count; i++) {
        const gw_mm a = at(s, s->on->lanes[i].from);
        const gw_mm b = at(s, s->on->lanes[i].to);
        const double length = fmax(hypot(b.x - a.x, b.y - a.y), 1e-6);
        const double u = (b.x - a.x) / length;
        const double v = (b.y - a.y) / length;
        const gw_mm strip[] = {{a.x - half * v, a.y + half * u},
                               {b.x - half * v, b.y + half * u},
                               {b.x + half * v, b.y - half * u},
                               {a.x + half * v, a.y - half * u}};
        gw_scene_polygon(
            s->scene,
            &(gw_face){.pen = {0.25, GW_DASH_NONE, GW_PIPE_INK}, .filled = true, .fill = GW_WASH},
            strip, 4);
        gw_view_name(s->scene, &type,
                     &(gw_name){{b.x + 1.5 * u, b.y + 3.0 * v},
                                gw_papers_text(&s->set->p, "T%zu", i + 1),
                                false});
    }
}

static void draw_names(const sheet *s)
{
    const gw_lettering type = {.size_mm = 0.9 * s->set->letter_mm, .anchor = GW_ANCHOR_MIDDLE};
    gw_scene_layer(s->scene, GW_LAYER_NOTE);
    for (size_t i = 0; i < s->lot->lot.count; i++) {
        const gw_lot_feature *const f = &s->lot->lot.features[i];
        gw_mm near = middle_of(s, &f->geometry);
        if (!in_frame(s, near)) {
            continue;
        }
        const double radius = gw_view_length_mm(&s->view, f->geometry.radius_m);
        if (f->geometry.shape == GW_LOT_CIRCLE && radius < 2.0 * type.size_mm) {
            near.y -= radius + 1.2 * type.size_mm; // beside what the name would hide
        }
        gw_view_name(s->scene, &type,
                     &(gw_name){near, gw_papers_tidy(&s->set->p, gw_lot_feature_name(f)), true});
    }
}

static void draw_panel(const sheet *s, const kept *all, size_t count, gw_box box)
{
    const double size = s->set->letter_mm;
    double y = box.at.y;
    gw_scene_layer(s->scene, GW_LAYER_NOTE);
    y += gw_sheet_heading(s->scene, (gw_box){{box.at.x, y}, box.size}, 1.35 * size, "The loop");
    y +=
        gw_permit_priv_loop_table(s->set, s->scene, (gw_box){{box.at.x, y}, box.size}) + 2.0 * size;
    const double foot = box.at.y + box.size.h;
    if (s->on != NULL) {
        y += gw_sheet_heading(s->scene, (gw_box){{box.at.x, y}, box.size}, 1.35 * size,
                              "Distances kept");
        y += kept_table(s, all, count, (gw_box){{box.at.x, y}, {box.size.w, foot - 34.0 - y}}) +
             2.0 * size;
    }
    const char *const note =
        s->on == NULL ? "The field has a plan of its own and no place on the lot yet."
        : s->on->has_header
            ? "Distances are from the edge of the nearest bore or trench. The header runs clear of "
              "what it may not cross; things off this drawing are in the table alone."
            : gw_papers_text(
                  &s->set->p,
                  "Distances are from the edge of the nearest bore or trench. No header: %s",
                  s->on->no_header != NULL ? s->on->no_header : "not routed");
    const gw_lettering type = {.size_mm = 0.92 * size};
    if (y + gw_scene_paragraph_height(s->set->p.arena, &type, box.size.w, note) < foot - 32.0) {
        gw_scene_paragraph(s->scene, &type, (gw_box){{box.at.x, y}, box.size}, note);
    }
    gw_view_north(
        s->scene, (gw_mm){box.at.x + box.size.w - 14.0, foot - 12.5},
        &(gw_north){.known = true, .angle_deg = s->view.turn_deg, .note = "north of the job"});
    gw_view_scale_bar(s->scene, &s->view, s->set->p.style.units,
                      (gw_mm){box.at.x + 2.0, foot - 8.0}, box.size.w - 38.0);
}

gw_status gw_permit_priv_lot(gw_permit_priv *set, gw_err *err)
{
    const gw_design_on_lot *const on = set->p.loop->on_lot;
    sheet s = {.set = set,
               .lot = set->p.design->job->lot,
               .on = on != NULL && on->placed && on->items.count > 0 ? on : NULL};
    gw_box area = gw_sheet_area(set->p.style.paper);
    const double panel = 26.0 * gw_sheet_lettering_mm(set->p.style.paper);
    const gw_box box = {{area.at.x + 8.0, area.at.y + 8.0},
                        {area.size.w - panel - 24.0, area.size.h - 16.0}};
    s.frame = (gw_box){{area.at.x, area.at.y}, {area.size.w - panel - 8.0, area.size.h}};
    gw_status st = open_rules(&s, err);
    if (st == GW_OK) {
        st = choose_view(&s, box, err);
    }
    if (st != GW_OK) {
        return st;
    }
    s.scene = gw_permit_priv_sheet(
        set, s.on != NULL ? "plan" : "lot", s.on != NULL ? "Site and loop plan" : "The lot",
        gw_view_scale_text(set->p.arena, s.view.scale, set->p.style.units), &area);
    gw_scene_use_view(s.scene, gw_scene_add_view(s.scene, &s.view));
    for (size_t i = 0; i < s.lot->lot.count; i++) {
        draw_feature(&s, &s.lot->lot.features[i]);
    }
    kept all[KEPT_MAX];
    const size_t count = measure_kept(&s, all);
    draw_boundary(&s);
    if (s.on != NULL) {
        draw_header(&s);
        if (set->p.loop->kind == GW_LOOP_BORES) {
            gw_permit_priv_draw_bores(set, s.scene, &s.view);
        } else {
            draw_lanes(&s);
        }
        draw_kept(&s, all, count);
    }
    draw_names(&s);
    gw_scene_use_view(s.scene, 0);
    draw_panel(&s, all, count,
               (gw_box){{area.at.x + area.size.w - panel, area.at.y}, {panel, area.size.h}});
    return GW_OK;
}
