// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The lot to true scale, north up: boundary, features, bores with places on it, and the distances
// that the loop keeps, drawn where they are least and listed beside what is required.
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
    bool placed;
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
    const gw_mm *const points = path_on_sheet(s, &g->path);
    if (points == NULL) {
        return;
    }
    gw_scene_layer(s->scene, l.layer);
    switch (g->shape) {
    case GW_LOT_POLYGON:
        gw_scene_polygon(s->scene, &face, points, g->path.count - 1);
        break;
    case GW_LOT_LINE:
        gw_scene_path(s->scene, l.pen, points, g->path.count);
        break;
    case GW_LOT_CIRCLE:
        gw_scene_circle(s->scene, &face, points[0],
                        fmax(0.8, gw_view_length_mm(&s->view, g->radius_m)));
        break;
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

// Least gap of any bore to the feature, or to the property line when it is NULL.
static gw_lot_gap least_gap(const sheet *s, const gw_lot_feature *feature)
{
    const gw_loop_response *const r = &s->set->p.loop->sized.response;
    gw_lot_gap least = {.gap_m = HUGE_VAL};
    for (size_t i = 0; i + r->pieces <= r->segment_count; i += r->pieces) {
        const gw_lot_point collar = {r->segments[i].x_m, r->segments[i].y_m};
        const gw_lot_geometry bore = {.shape = GW_LOT_CIRCLE,
                                      .path = {&collar, 1},
                                      .radius_m =
                                          0.5 * s->set->p.loop->sized.plan.bores.diameter_m};
        gw_lot_gap gap;
        if (feature != NULL) {
            gw_lot_measure_gap(&bore, &feature->geometry, &gap);
        } else {
            gw_lot_measure_inside_gap(&bore, &s->lot->lot.boundary, &gap);
        }
        least = gap.gap_m < least.gap_m ? gap : least;
    }
    return least;
}

static size_t measure_kept(const sheet *s, kept out[static KEPT_MAX])
{
    size_t count = 0;
    for (size_t i = 0; s->placed && i <= s->lot->lot.count && count < KEPT_MAX; i++) {
        const gw_lot_feature *const f = i > 0 ? &s->lot->lot.features[i - 1] : NULL;
        gw_lot_setback rule;
        if (gw_lot_find_setback(&s->rules, f, GW_LOT_BORE, &rule)) {
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
    const double asked = s->placed ? s->set->p.style.scale : 0.0;
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

static void draw_header(const sheet *s)
{
    const gw_loop_response *const r = &s->set->p.loop->sized.response;
    gw_lot_point sum = {0.0, 0.0};
    double count = 0.0;
    gw_scene_layer(s->scene, GW_LAYER_HEADER);
    for (size_t i = 0; i + r->pieces <= r->segment_count; i += r->pieces) {
        sum.x_m += r->segments[i].x_m;
        sum.y_m += r->segments[i].y_m;
        count += 1.0;
    }
    const gw_mm field = at(s, (gw_lot_point){sum.x_m / count, sum.y_m / count});
    const gw_mm entry = at(s, s->lot->entry);
    for (size_t i = 0; i + r->pieces <= r->segment_count; i += r->pieces) {
        gw_scene_line(s->scene, (gw_pen){0.25, GW_DASH_NONE, GW_PIPE_INK}, field,
                      at(s, (gw_lot_point){r->segments[i].x_m, r->segments[i].y_m}));
    }
    gw_scene_line(s->scene, (gw_pen){0.5, GW_DASH_NONE, GW_PIPE_INK}, entry, field);
    gw_scene_box(s->scene, &(gw_face){.filled = true, .fill = GW_PIPE_INK},
                 (gw_box){{entry.x - 0.9, entry.y - 0.9}, {1.8, 1.8}});
}

static void draw_names(const sheet *s)
{
    const gw_lettering type = {.size_mm = 0.9 * s->set->letter_mm, .anchor = GW_ANCHOR_MIDDLE};
    gw_scene_layer(s->scene, GW_LAYER_NOTE);
    for (size_t i = 0; i < s->lot->lot.count; i++) {
        const gw_lot_feature *const f = &s->lot->lot.features[i];
        gw_mm near = middle_of(s, &f->geometry);
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
    if (s->placed) {
        y += gw_sheet_heading(s->scene, (gw_box){{box.at.x, y}, box.size}, 1.35 * size,
                              "Distances kept");
        y += kept_table(s, all, count, (gw_box){{box.at.x, y}, {box.size.w, foot - 34.0 - y}}) +
             2.0 * size;
    }
    const char *const note = s->placed
                                 ? "Distances are from the edge of the nearest bore. The header is "
                                   "drawn straight; stake its route out clear of the features."
                                 : "The field has a plan of its own and no place on the lot yet.";
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
    const gw_loop_plan *const plan = &set->p.loop->sized.plan;
    sheet s = {.set = set,
               .lot = set->p.design->job->lot,
               .placed = plan->kind == GW_LOOP_BORES && plan->bores.place_count > 0};
    gw_box area = gw_sheet_area(set->p.style.paper);
    const double panel = 26.0 * gw_sheet_lettering_mm(set->p.style.paper);
    const gw_box box = {{area.at.x + 8.0, area.at.y + 8.0},
                        {area.size.w - panel - 24.0, area.size.h - 16.0}};
    gw_status st = open_rules(&s, err);
    if (st == GW_OK) {
        st = choose_view(&s, box, err);
    }
    if (st != GW_OK) {
        return st;
    }
    s.scene = gw_permit_priv_sheet(
        set, s.placed ? "plan" : "lot", s.placed ? "Site and loop plan" : "The lot",
        gw_view_scale_text(set->p.arena, s.view.scale, set->p.style.units), &area);
    gw_scene_use_view(s.scene, gw_scene_add_view(s.scene, &s.view));
    for (size_t i = 0; i < s.lot->lot.count; i++) {
        draw_feature(&s, &s.lot->lot.features[i]);
    }
    kept all[KEPT_MAX];
    const size_t count = measure_kept(&s, all);
    draw_boundary(&s);
    if (s.placed) {
        draw_header(&s);
        gw_permit_priv_draw_bores(set, s.scene, &s.view);
        draw_kept(&s, all, count);
    }
    draw_names(&s);
    gw_scene_use_view(s.scene, 0);
    draw_panel(&s, all, count,
               (gw_box){{area.at.x + area.size.w - panel, area.at.y}, {panel, area.size.h}});
    return GW_OK;
}
