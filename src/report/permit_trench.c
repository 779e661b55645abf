// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Trench loops in section, header trench and house entry.
//
// Places of tape and wire and the bed of sand are common practice (no source) within the figures of
// data/requirements.csv; pipes, depth and width are the design's.
#include "report/permit_priv.h"

#include <math.h>

// Round numbers in either system, as they are set out on site.
typedef struct {
    double tape_m;       // warning tape below grade: 300 to 450 mm
    double bed_m;        // sand below, beside and above the pipes
    double header_gap_m; // between supply and return
    double insulated_m;  // of the header, from the wall
} detail_sizes;

static const detail_sizes METRIC_SIZES = {0.38, 0.15, 0.3, 1.5};
static const detail_sizes IMPERIAL_SIZES = {0.381, 0.1524, 0.3048, 1.524};

typedef struct {
    gw_permit_priv *set;
    gw_scene *scene;
    gw_view view;
    const detail_sizes *sizes;
} section;

static section open_section(gw_permit_priv *set, gw_scene *scene, const char *name)
{
    const bool metric = set->p.style.units == GW_UNITS_METRIC;
    return (section){.set = set,
                     .scene = scene,
                     .view = {.name = name, .scale = 1.0},
                     .sizes = metric ? &METRIC_SIZES : &IMPERIAL_SIZES};
}

static gw_mm at(const section *s, double x_m, double depth_m)
{
    return gw_view_mm(&s->view, x_m, -depth_m);
}

static gw_box box_of(const section *s, double x0_m, double depth0_m, gw_size size_m)
{
    return (gw_box){at(s, x0_m, depth0_m),
                    {gw_view_length_mm(&s->view, size_m.w), gw_view_length_mm(&s->view, size_m.h)}};
}

// Grade line with the usual strokes below it.
static void grade(const section *s, double x0_m, double x1_m)
{
    const gw_pen pen = {0.5, GW_DASH_NONE, GW_INK};
    const gw_mm from = at(s, x0_m, 0.0);
    const gw_mm to = at(s, x1_m, 0.0);
    gw_scene_layer(s->scene, GW_LAYER_GROUND);
    gw_scene_line(s->scene, pen, from, to);
    for (double x = from.x + 1.0; x < to.x - 2.0; x += 5.0) {
        for (int i = 0; i < 3; i++) {
            gw_scene_line(s->scene, (gw_pen){0.13, GW_DASH_NONE, GW_GREY},
                          (gw_mm){x + 1.1 * i, from.y}, (gw_mm){x + 1.1 * i - 1.1, from.y + 1.3});
        }
    }
}

// A trench with its fill and a bed of sand from bed0 to the floor.
static void dig(const section *s, double x_m, gw_size size_m, double bed0_m)
{
    const gw_pen wall = {0.35, GW_DASH_NONE, GW_INK};
    const double left = x_m - 0.5 * size_m.w;
    gw_scene_layer(s->scene, GW_LAYER_TRENCH);
    gw_scene_box(s->scene,
                 &(gw_face){.filled = true,
                            .fill = 0xFAFAF7U,
                            .hatch_mm = 3.0,
                            .hatch_deg = 45.0,
                            .hatch_pen = {0.08, GW_DASH_NONE, GW_PALE}},
                 box_of(s, left, 0.0, (gw_size){size_m.w, bed0_m}));
    gw_scene_layer(s->scene, GW_LAYER_GROUT);
    gw_scene_box(s->scene,
                 &(gw_face){.filled = true,
                            .fill = 0xF3EBD3U,
                            .hatch_mm = 1.3,
                            .hatch_deg = 0.0,
                            .hatch_pen = {0.18, GW_DASH_DOTTED, GW_GREY}},
                 box_of(s, left, bed0_m, (gw_size){size_m.w, size_m.h - bed0_m}));
    gw_scene_layer(s->scene, GW_LAYER_TRENCH);
    const gw_mm outline[] = {at(s, left, 0.0), at(s, left, size_m.h),
                             at(s, left + size_m.w, size_m.h), at(s, left + size_m.w, 0.0)};
    gw_scene_path(s->scene, wall, outline, 4);
}

static void tape_and_wire(const section *s, double x_m, double wire_m)
{
    gw_scene_layer(s->scene, GW_LAYER_TRACER);
    gw_scene_line(s->scene, (gw_pen){0.7, GW_DASH_NONE, GW_WARN},
                  at(s, x_m - 0.08, s->sizes->tape_m), at(s, x_m + 0.08, s->sizes->tape_m));
    gw_scene_circle(s->scene, &(gw_face){.filled = true, .fill = GW_WARN}, at(s, x_m, wire_m), 0.5);
}

static void draw_pipe(const section *s, gw_layer layer, gw_mm centre, double diameter_m)
{
    gw_scene_layer(s->scene, layer);
    gw_scene_circle(
        s->scene,
        &(gw_face){.pen = {0.3, GW_DASH_NONE, GW_PIPE_INK}, .filled = true, .fill = 0xFFFFFFU},
        centre, fmax(0.5, gw_view_length_mm(&s->view, 0.5 * diameter_m)));
}

// ---------------------------------------------------------------- trench of the loop

static void trench_labels(const section *s, const gw_loop_section_pipe *top, double bed0_m,
                          gw_box box)
{
    gw_papers *const q = &s->set->p;
    const gw_trench_plan *const t = &q->loop->sized.plan.trench;
    const gw_design_loop *const l = q->loop;
    const gw_label labels[] = {
        {at(s, 0.08, s->sizes->tape_m),
         gw_papers_text(q, "Warning tape, %s below grade", gw_papers_small(q, s->sizes->tape_m))},
        {at(s, 0.45 * t->width_m, 0.62 * bed0_m), "Native fill, no stones, compacted in lifts"},
        {at(s, 0.0, top->depth_m - 0.1),
         "Tracer wire within 150 mm (6 in) of the pipe, ends brought up at "
         "the house"},
        {at(s, top->x_m, top->depth_m),
         gw_papers_text(q, "%zu × %s, outside %s", t->pipes, l->pipe->name,
                        gw_papers_small(q, l->pipe->outer_diameter_m))},
        {at(s, 0.45 * t->width_m, t->depth_m + 0.5 * s->sizes->bed_m),
         gw_papers_text(q, "Sand, %s around every pipe", gw_papers_small(q, s->sizes->bed_m))},
    };
    gw_scene_layer(s->scene, GW_LAYER_NOTE);
    gw_view_labels(s->scene, &(gw_label_column){box, s->set->letter_mm, false, NULL}, labels, 5);
}

static gw_status loop_trench(gw_permit_priv *set, gw_scene *scene, gw_box box, gw_err *err)
{
    section s = open_section(set, scene, "trench");
    gw_papers *const q = &set->p;
    const gw_trench_plan *const t = &q->loop->sized.plan.trench;
    const double outer_m = q->loop->pipe->outer_diameter_m;
    gw_loop_section_pipe pipes[GW_LOOP_PIPES_MAX];
    const gw_status st = gw_loop_trench_section(t, outer_m, pipes, err);
    if (st != GW_OK) {
        return st;
    }
    const double floor_m = t->depth_m + s.sizes->bed_m;
    const double notes_mm = fmin(21.0 * set->letter_mm, 0.42 * box.size.w);
    const gw_size room = {box.size.w - notes_mm - 30.0, box.size.h - 24.0};
    const double scale =
        gw_view_scale((gw_view_need){t->width_m + 0.7, floor_m + 0.15, q->style.units}, room);
    s.view.scale = scale;
    s.view.at = (gw_mm){box.at.x + 20.0 + 0.5 * room.w, box.at.y + 4.0};
    gw_scene_use_view(scene, gw_scene_add_view(scene, &s.view));
    const gw_loop_section_pipe *top = &pipes[0];
    for (size_t i = 1; i < t->pipes; i++) {
        top = pipes[i].depth_m < top->depth_m ||
                      (pipes[i].depth_m <= top->depth_m && pipes[i].x_m > top->x_m)
                  ? &pipes[i]
                  : top;
    }
    const double bed0_m = top->depth_m - s.sizes->bed_m;
    grade(&s, -0.5 * t->width_m - 0.3, 0.5 * t->width_m + 0.3);
    dig(&s, 0.0, (gw_size){t->width_m, floor_m}, bed0_m);
    tape_and_wire(&s, 0.0, top->depth_m - 0.1);
    for (size_t i = 0; i < t->pipes; i++) {
        draw_pipe(&s, GW_LAYER_PIPE, at(&s, pipes[i].x_m, pipes[i].depth_m), outer_m);
    }
    const double left = -0.5 * t->width_m;
    gw_scene_layer(scene, GW_LAYER_DIMENSION);
    gw_view_dimension(scene,
                      &(gw_dimension){at(&s, left, t->depth_m), at(&s, left, 0.0), 13.0,
                                      gw_papers_measure(q, t->depth_m), 0.9 * set->letter_mm});
    if (t->depth_m - top->depth_m > 0.02) {
        gw_view_dimension(scene, &(gw_dimension){at(&s, left, top->depth_m), at(&s, left, 0.0), 6.5,
                                                 gw_papers_measure(q, top->depth_m),
                                                 0.9 * set->letter_mm});
    }
    gw_view_dimension(scene,
                      &(gw_dimension){at(&s, left, floor_m), at(&s, -left, floor_m), -5.0,
                                      gw_papers_measure(q, t->width_m), 0.9 * set->letter_mm});
    gw_scene_use_view(scene, 0);
    const gw_box notes = {{box.at.x + box.size.w - notes_mm, box.at.y + 6.0},
                          {notes_mm, box.size.h - 24.0}};
    trench_labels(&s, top, bed0_m, notes);
    gw_permit_priv_caption(scene, (gw_mm){s.view.at.x, at(&s, 0.0, floor_m).y + 13.0},
                           "Trench of the loop",
                           gw_view_scale_text(q->arena, scale, q->style.units));
    return GW_OK;
}

// ---------------------------------------------------------------- header trench and entry

static double header_depth_m(const gw_loop_plan *plan)
{
    return plan->kind == GW_LOOP_BORES ? fmax(plan->bores.top_m, 1.2) : plan->trench.depth_m;
}

static void header_trench(gw_permit_priv *set, gw_scene *scene, gw_box box, double scale)
{
    section s = open_section(set, scene, "header trench");
    gw_papers *const q = &set->p;
    const double outer_m = q->loop->header->outer_diameter_m;
    const double depth_m = header_depth_m(&q->loop->sized.plan);
    const double width_m = s.sizes->header_gap_m + 2.0 * s.sizes->bed_m;
    s.view.scale = scale;
    s.view.at =
        (gw_mm){box.at.x + 13.0 + gw_view_length_mm(&s.view, 0.5 * width_m + 0.2), box.at.y + 4.0};
    gw_scene_use_view(scene, gw_scene_add_view(scene, &s.view));
    grade(&s, -0.5 * width_m - 0.2, 0.5 * width_m + 0.2);
    dig(&s, 0.0, (gw_size){width_m, depth_m + s.sizes->bed_m}, depth_m - s.sizes->bed_m);
    tape_and_wire(&s, 0.0, depth_m - 0.1);
    for (int i = -1; i <= 1; i += 2) {
        draw_pipe(&s, GW_LAYER_HEADER, at(&s, 0.5 * i * s.sizes->header_gap_m, depth_m), outer_m);
    }
    gw_scene_layer(scene, GW_LAYER_DIMENSION);
    const double left = -0.5 * width_m;
    gw_view_dimension(scene, &(gw_dimension){at(&s, left, depth_m), at(&s, left, 0.0), 7.0,
                                             gw_papers_measure(q, depth_m), 0.9 * set->letter_mm});
    gw_view_dimension(
        scene, &(gw_dimension){at(&s, -0.5 * s.sizes->header_gap_m, depth_m + s.sizes->bed_m),
                               at(&s, 0.5 * s.sizes->header_gap_m, depth_m + s.sizes->bed_m), -4.5,
                               gw_papers_small(q, s.sizes->header_gap_m), 0.9 * set->letter_mm});
    gw_scene_use_view(scene, 0);
    const double right = at(&s, 0.5 * width_m + 0.2, 0.0).x + 5.0;
    const gw_label labels[] = {
        {at(&s, 0.08, s.sizes->tape_m), "Warning tape"},
        {at(&s, 0.0, depth_m - 0.1), "Tracer wire"},
        {at(&s, 0.5 * s.sizes->header_gap_m, depth_m),
         gw_papers_text(q, "Header, supply and return, 2 × %s", q->loop->header->name)},
    };
    gw_scene_layer(scene, GW_LAYER_NOTE);
    gw_view_labels(
        scene,
        &(gw_label_column){{{right, box.at.y + 8.0},
                            {fmax(18.0, box.at.x + box.size.w - right), box.size.h - 26.0}},
                           set->letter_mm,
                           false,
                           NULL},
        labels, 3);
    gw_permit_priv_caption(scene,
                           (gw_mm){s.view.at.x, at(&s, 0.0, depth_m + s.sizes->bed_m).y + 12.5},
                           "Header trench", gw_view_scale_text(q->arena, scale, q->style.units));
}

// Foundation wall, sleeve, pipe that falls away from the house, insulation by the wall.
static void house_entry(gw_permit_priv *set, gw_scene *scene, gw_box box, double scale)
{
    section s = open_section(set, scene, "house entry");
    gw_papers *const q = &set->p;
    const double depth_m = header_depth_m(&q->loop->sized.plan);
    s.view.scale = scale;
    s.view.at = (gw_mm){box.at.x + gw_view_length_mm(&s.view, 0.75), box.at.y + 4.0};
    const double wall_m = 0.25;
    const double reach_m = 1.9;
    gw_scene_use_view(scene, gw_scene_add_view(scene, &s.view));
    grade(&s, 0.0, reach_m);
    gw_scene_layer(scene, GW_LAYER_BUILDING);
    gw_scene_box(scene,
                 &(gw_face){.pen = {0.35, GW_DASH_NONE, GW_INK},
                            .filled = true,
                            .fill = 0xE9E9E6U,
                            .hatch_mm = 1.8,
                            .hatch_deg = 45.0,
                            .hatch_pen = {0.1, GW_DASH_NONE, GW_GREY}},
                 box_of(&s, -wall_m, -0.12, (gw_size){wall_m, depth_m + 0.47}));
    gw_scene_layer(scene, GW_LAYER_GROUT);
    gw_scene_box(
        scene,
        &(gw_face){.filled = true, .fill = 0xDDE7ECU, .pen = {0.13, GW_DASH_DASHED, GW_GREY}},
        box_of(&s, 0.0, depth_m - 0.09, (gw_size){s.sizes->insulated_m, 0.2}));
    gw_scene_layer(scene, GW_LAYER_HEADER);
    gw_scene_box(scene,
                 &(gw_face){.pen = {0.25, GW_DASH_NONE, GW_INK}, .filled = true, .fill = 0xFFFFFFU},
                 box_of(&s, -wall_m - 0.06, depth_m - 0.06, (gw_size){wall_m + 0.12, 0.12}));
    gw_scene_line(scene, (gw_pen){0.8, GW_DASH_NONE, GW_PIPE_INK},
                  at(&s, -wall_m - 0.3, depth_m - 0.01), at(&s, reach_m, depth_m + 0.06));
    gw_scene_layer(scene, GW_LAYER_TRACER);
    const gw_mm wire[] = {at(&s, reach_m, depth_m - 0.04), at(&s, 0.06, depth_m - 0.1),
                          at(&s, 0.06, -0.1)};
    gw_scene_path(scene, (gw_pen){0.25, GW_DASH_DASHED, GW_WARN}, wire, 3);
    gw_scene_layer(scene, GW_LAYER_DIMENSION);
    gw_view_dimension(scene, &(gw_dimension){at(&s, 0.0, depth_m + 0.12),
                                             at(&s, s.sizes->insulated_m, depth_m + 0.12), -5.0,
                                             gw_papers_measure(q, s.sizes->insulated_m),
                                             0.9 * set->letter_mm});
    gw_scene_use_view(scene, 0);
    const double right = at(&s, reach_m, 0.0).x + 5.0;
    static const double SHIFTS[] = {0.0, -14.0, 0.0, 0.0};
    const gw_label labels[] = {
        {at(&s, 0.06, -0.08), "Tracer wire brought up and tagged"},
        {at(&s, -0.06, depth_m - 0.06),
         "Sleeve, sealed on both sides. Label inside: GROUND-SOURCE HEAT-PUMP LOOP SYSTEM"},
        {at(&s, 1.2, depth_m - 0.06), "Insulation R-2 within this distance of the wall"},
        {at(&s, 1.75, depth_m + 0.055), "Pipe falls away from the house"},
    };
    gw_scene_layer(scene, GW_LAYER_NOTE);
    gw_view_labels(
        scene,
        &(gw_label_column){{{right, box.at.y + 4.0},
                            {fmax(20.0, box.at.x + box.size.w - right), box.size.h - 20.0}},
                           set->letter_mm,
                           false,
                           SHIFTS},
        labels, 4);
    gw_permit_priv_caption(scene, (gw_mm){at(&s, 0.7, 0.0).x, at(&s, 0.0, depth_m + 0.35).y + 6.5},
                           "House entry", gw_view_scale_text(q->arena, scale, q->style.units));
}

// Room that header trench and entry need in section, m, and on paper beside that, mm.
static const double ENTRY_WIDE_M = 2.75;
static const gw_size ASIDE_MM = {48.0, 21.0};

static double header_scale(const gw_permit_priv *set, gw_size box)
{
    const double depth_m = header_depth_m(&set->p.loop->sized.plan);
    return gw_view_scale((gw_view_need){ENTRY_WIDE_M, depth_m + 0.36, set->p.style.units},
                         (gw_size){box.w - ASIDE_MM.w, box.h - ASIDE_MM.h});
}

void gw_permit_priv_header(gw_permit_priv *set, gw_scene *scene, gw_box box)
{
    // Whichever arrangement shows them larger.
    const gw_size beside = {0.5 * box.size.w, box.size.h};
    const gw_size below = {box.size.w, 0.5 * box.size.h};
    const bool stacked = header_scale(set, below) < header_scale(set, beside);
    const gw_size half = stacked ? below : beside;
    const double scale = header_scale(set, half);
    const gw_mm second =
        stacked ? (gw_mm){box.at.x, box.at.y + half.h} : (gw_mm){box.at.x + half.w, box.at.y};
    header_trench(set, scene, (gw_box){box.at, {half.w - 3.0, half.h}}, scale);
    house_entry(set, scene, (gw_box){second, half}, scale);
}

// ---------------------------------------------------------------- trenches side by side

static void trench_row(gw_permit_priv *set, gw_scene *scene, gw_box box)
{
    section s = open_section(set, scene, "row of trenches");
    gw_papers *const q = &set->p;
    const gw_trench_plan *const t = &q->loop->sized.plan.trench;
    const size_t shown = t->count < 3 ? t->count : 3;
    const double wide_m = (double)(shown - 1) * t->spacing_m + t->width_m + 0.8;
    const double deep_m = t->depth_m + s.sizes->bed_m;
    const double scale = gw_view_scale((gw_view_need){wide_m, deep_m + 0.1, q->style.units},
                                       (gw_size){box.size.w - 6.0, box.size.h - 24.0});
    s.view.scale = scale;
    s.view.at = (gw_mm){box.at.x + 0.5 * box.size.w, box.at.y + 8.0};
    s.view.x_m = 0.5 * (double)(shown - 1) * t->spacing_m;
    gw_scene_use_view(scene, gw_scene_add_view(scene, &s.view));
    grade(&s, -0.5 * t->width_m - 0.4, (double)(shown - 1) * t->spacing_m + 0.5 * t->width_m + 0.4);
    gw_loop_section_pipe pipes[GW_LOOP_PIPES_MAX];
    const double outer_m = q->loop->pipe->outer_diameter_m;
    const bool known = gw_loop_trench_section(t, outer_m, pipes, NULL) == GW_OK;
    for (size_t i = 0; i < shown; i++) {
        const double x_m = (double)i * t->spacing_m;
        double top_m = t->depth_m;
        for (size_t k = 0; known && k < t->pipes; k++) {
            top_m = fmin(top_m, pipes[k].depth_m);
        }
        dig(&s, x_m, (gw_size){t->width_m, deep_m}, top_m - s.sizes->bed_m);
        for (size_t k = 0; known && k < t->pipes; k++) {
            draw_pipe(&s, GW_LAYER_PIPE, at(&s, x_m + pipes[k].x_m, pipes[k].depth_m), outer_m);
        }
    }
    gw_scene_layer(scene, GW_LAYER_DIMENSION);
    for (size_t i = 0; i + 1 < shown; i++) {
        const double x_m = (double)i * t->spacing_m;
        gw_view_dimension(
            scene, &(gw_dimension){at(&s, x_m, deep_m), at(&s, x_m + t->spacing_m, deep_m), -4.5,
                                   gw_papers_measure(q, t->spacing_m), 0.9 * set->letter_mm});
    }
    gw_scene_use_view(scene, 0);
    gw_permit_priv_caption(scene, (gw_mm){s.view.at.x, at(&s, 0.0, deep_m).y + 12.5},
                           t->count > shown ? "Trenches, the first three" : "Trenches side by side",
                           gw_view_scale_text(q->arena, scale, q->style.units));
}

gw_status gw_permit_priv_trench(gw_permit_priv *set, gw_err *err)
{
    gw_box area;
    gw_scene *const scene =
        gw_permit_priv_sheet(set, "section", "Sections and house entry", "as shown", &area);
    const double left = 0.47 * area.size.w;
    const bool row = set->p.loop->sized.plan.trench.count > 1;
    const double upper = (row ? 0.66 : 1.0) * area.size.h;
    const gw_box right = {{area.at.x + left + 8.0, area.at.y},
                          {area.size.w - left - 8.0, area.size.h}};
    const gw_status st = loop_trench(set, scene, (gw_box){area.at, {left, upper}}, err);
    if (row && st == GW_OK) {
        trench_row(set, scene,
                   (gw_box){{area.at.x, area.at.y + upper}, {left, area.size.h - upper}});
    }
    gw_permit_priv_header(set, scene, right);
    return st;
}
