// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The site and loop plan, to true scale.
//
// On the sheet the house stands on the left and the field to the right of it. u runs from the house
// into the field, v up the sheet; the job's x is −v and its y is u, so that bores lie where the
// simulation had them. Where nobody surveyed the lot the field is put against the middle of the
// house side of the free ground, at the header's length from the wall.
#include "draw/lettering.h"
#include "report/permit_priv.h"

#include <math.h>

static const double HOUSE_DEPTH_M = 5.0; // of the house's near part, as drawn

typedef struct {
    double u0, v0, u1, v1; // m
} rect;

typedef struct {
    gw_permit_priv *set;
    gw_scene *scene;
    gw_view view;
    rect field;  // outline of the loop with half a trench or the bores' margin
    rect ground; // free ground
    bool has_ground;
    double wall_u;  // the house's near wall
    double house_m; // its length along v
    double mid_v;
} plan;

static const gw_pen THIN = {0.18, GW_DASH_NONE, GW_INK};

static gw_mm at(const plan *p, double u, double v)
{
    return gw_view_mm(&p->view, -v, u);
}

static void cover(rect *r, double u, double v)
{
    r->u0 = fmin(r->u0, u);
    r->u1 = fmax(r->u1, u);
    r->v0 = fmin(r->v0, v);
    r->v1 = fmax(r->v1, v);
}

static void measure_field(plan *p)
{
    const gw_design_loop *const loop = p->set->p.loop;
    const gw_loop_response *const r = &loop->sized.response;
    p->field = (rect){HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < r->segment_count; i++) {
        const gw_segment *const s = &r->segments[i];
        const gw_position end = gw_segment_point(s, s->length_m);
        cover(&p->field, s->y_m, -s->x_m);
        cover(&p->field, end.y_m, -end.x_m);
    }
    const bool bores = loop->kind == GW_LOOP_BORES;
    const double side = bores ? 1.0 : 0.5 * loop->sized.plan.trench.width_m;
    const double ends = bores ? 1.0 : 0.0;
    p->field =
        (rect){p->field.u0 - ends, p->field.v0 - side, p->field.u1 + ends, p->field.v1 + side};
    p->mid_v = 0.5 * (p->field.v0 + p->field.v1);
}

// Free ground about the field, and the house beyond it.
static void measure_ground(plan *p)
{
    const gw_job *const job = p->set->p.design->job;
    const gw_job_site *const site = &job->site;
    const double header_m = p->set->p.loop->sized.plan.header_m;
    const double deep = p->field.u1 - p->field.u0;
    const double wide = p->field.v1 - p->field.v0;
    double entry_m = gw_job_is_given(site->entry_distance_m) ? site->entry_distance_m : header_m;
    p->has_ground = gw_job_is_given(site->usable_length_m) && gw_job_is_given(site->usable_width_m);
    double u_size = deep;
    double v_size = wide;
    if (p->has_ground) {
        const double longer = fmax(site->usable_length_m, site->usable_width_m);
        const double shorter = fmin(site->usable_length_m, site->usable_width_m);
        u_size = deep >= wide ? longer : shorter;
        v_size = deep >= wide ? shorter : longer;
    } else {
        entry_m = header_m;
    }
    const double in_m = fmax(0.0, fmin(header_m - entry_m, u_size - deep));
    const double u0 = p->field.u0 - in_m;
    p->ground = (rect){u0, p->mid_v - 0.5 * v_size, u0 + u_size, p->mid_v + 0.5 * v_size};
    p->wall_u = u0 - entry_m;
    const double storeys = job->house.storeys > 0 ? (double)job->house.storeys : 1.0;
    p->house_m = sqrt(fmax(job->house.floor_area_m2, 25.0) / storeys);
}

static gw_status choose_view(plan *p, gw_box box, gw_err *err)
{
    const rect all = {p->wall_u - HOUSE_DEPTH_M, fmin(p->ground.v0, p->mid_v - 0.5 * p->house_m),
                      fmax(p->ground.u1, p->field.u1),
                      fmax(p->ground.v1, p->mid_v + 0.5 * p->house_m)};
    const gw_view_need need = {all.u1 - all.u0, all.v1 - all.v0, p->set->p.style.units};
    const double fits = gw_view_scale(need, box.size);
    const double asked = p->set->p.style.scale;
    const double least = 1000.0 * fmax(need.width_m / box.size.w, need.height_m / box.size.h);
    if (asked > 0.0 && asked < least) {
        return gw_fail(
            err, GW_ERR_RANGE, "scale",
            "the plan at 1:%g does not fit %s paper: 1:%g is the largest usual scale that "
            "does",
            asked, gw_paper_name(p->set->p.style.paper), fits);
    }
    p->view = (gw_view){.name = "plan",
                        .scale = asked > 0.0 ? asked : fits,
                        .at = {box.at.x + 0.5 * box.size.w, box.at.y + 0.5 * box.size.h},
                        .x_m = -0.5 * (all.v0 + all.v1),
                        .y_m = 0.5 * (all.u0 + all.u1),
                        .turn_deg = -90.0};
    return GW_OK;
}

// ---------------------------------------------------------------- drawing

static void outline(const plan *p, const gw_face *face, const rect *r)
{
    const gw_mm points[] = {at(p, r->u0, r->v0), at(p, r->u1, r->v0), at(p, r->u1, r->v1),
                            at(p, r->u0, r->v1)};
    gw_scene_polygon(p->scene, face, points, 4);
}

static void draw_ground(const plan *p)
{
    gw_papers *const q = &p->set->p;
    if (!p->has_ground) {
        return;
    }
    const rect *const g = &p->ground;
    gw_scene_layer(p->scene, GW_LAYER_LAND);
    outline(p, &(gw_face){.pen = {0.35, GW_DASH_CENTRE, GW_GREY}}, g);
    gw_scene_layer(p->scene, GW_LAYER_DIMENSION);
    gw_view_dimension(p->scene, &(gw_dimension){at(p, g->u0, g->v1), at(p, g->u1, g->v1), 6.0,
                                                gw_papers_text(q, "free ground %s",
                                                               gw_papers_measure(q, g->u1 - g->u0)),
                                                0.9 * p->set->letter_mm});
    gw_view_dimension(p->scene, &(gw_dimension){at(p, g->u1, g->v0), at(p, g->u1, g->v1), -6.0,
                                                gw_papers_text(q, "free ground %s",
                                                               gw_papers_measure(q, g->v1 - g->v0)),
                                                0.9 * p->set->letter_mm});
}

static void draw_house(const plan *p)
{
    const double half = 0.5 * p->house_m;
    const rect body = {p->wall_u - HOUSE_DEPTH_M, p->mid_v - half, p->wall_u, p->mid_v + half};
    gw_scene_layer(p->scene, GW_LAYER_BUILDING);
    outline(p,
            &(gw_face){.filled = true,
                       .fill = GW_WASH,
                       .hatch_mm = 2.6,
                       .hatch_deg = 45.0,
                       .hatch_pen = {0.1, GW_DASH_NONE, GW_PALE}},
            &body);
    // The far side is not known: three walls, the fourth broken off.
    const gw_mm walls[] = {at(p, body.u0, body.v0), at(p, body.u1, body.v0),
                           at(p, body.u1, body.v1), at(p, body.u0, body.v1)};
    gw_scene_path(p->scene, (gw_pen){0.5, GW_DASH_NONE, GW_INK}, walls, 4);
    gw_scene_line(p->scene, (gw_pen){0.18, GW_DASH_DASHED, GW_GREY}, walls[0], walls[3]);
    const gw_mm middle = at(p, 0.5 * (body.u0 + body.u1), p->mid_v);
    const gw_lettering type = {
        .size_mm = 2.8, .bold = true, .anchor = GW_ANCHOR_MIDDLE, .angle_deg = 90.0};
    const double wide = gw_view_length_mm(&p->view, HOUSE_DEPTH_M);
    const double high = gw_view_length_mm(&p->view, p->house_m);
    if (wide > 4.0 && high > 12.0) {
        const double text = gw_letter_width_mm("House", type.size_mm, true);
        const gw_box paper = {{middle.x - 2.0, middle.y - 0.5 * text - 1.0}, {4.0, text + 2.0}};
        gw_scene_box(p->scene, &(gw_face){.filled = true, .fill = GW_WASH}, paper);
        gw_scene_text(p->scene, &type, (gw_mm){middle.x + 1.0, middle.y}, "House");
    }
}

static void draw_trenches(const plan *p)
{
    const gw_loop_plan *const l = &p->set->p.loop->sized.plan;
    const gw_trench_plan *const t = &l->trench;
    const gw_loop_response *const r = &p->set->p.loop->sized.response;
    for (size_t i = 0; i < t->count; i++) {
        const double v = -(double)i * t->spacing_m;
        const rect trench = {0.0, v - 0.5 * t->width_m, t->length_m, v + 0.5 * t->width_m};
        gw_scene_layer(p->scene, GW_LAYER_TRENCH);
        outline(p,
                &(gw_face){.pen = {0.18, GW_DASH_NONE, GW_GREY}, .filled = true, .fill = GW_WASH},
                &trench);
    }
    gw_scene_layer(p->scene, GW_LAYER_PIPE);
    for (size_t i = 0; i < r->segment_count; i++) {
        const gw_segment *const s = &r->segments[i];
        gw_scene_line(p->scene, (gw_pen){0.25, GW_DASH_NONE, GW_PIPE_INK}, at(p, s->y_m, -s->x_m),
                      at(p, s->y_m + s->length_m, -s->x_m));
    }
    gw_scene_layer(p->scene, GW_LAYER_TRENCH);
    for (size_t i = 0; i < t->count; i++) {
        const gw_mm end = at(p, t->length_m, -(double)i * t->spacing_m);
        const gw_lettering type = {.size_mm = p->set->letter_mm, .bold = true, .rgb = GW_ACCENT};
        gw_view_name(
            p->scene, &type,
            &(gw_name){{end.x + 1.2, end.y}, gw_papers_text(&p->set->p, "T%zu", i + 1), false});
    }
}

static void draw_bores(const plan *p)
{
    const gw_bores_plan *const b = &p->set->p.loop->sized.plan.bores;
    const gw_loop_response *const r = &p->set->p.loop->sized.response;
    const double radius = fmax(0.9, gw_view_length_mm(&p->view, 0.5 * b->diameter_m));
    size_t number = 0;
    for (size_t i = 0; i + r->pieces <= r->segment_count; i += r->pieces) {
        const gw_segment *const first = &r->segments[i];
        const gw_segment *const last = &r->segments[i + r->pieces - 1];
        const gw_position toe = gw_segment_point(last, last->length_m);
        const gw_mm c = at(p, first->y_m, -first->x_m);
        gw_scene_layer(p->scene, GW_LAYER_BORE);
        if (hypot(toe.x_m - first->x_m, toe.y_m - first->y_m) > 0.1) {
            gw_scene_line(p->scene, (gw_pen){0.25, GW_DASH_DASHED, GW_ACCENT}, c,
                          at(p, toe.y_m, -toe.x_m));
        }
        gw_scene_circle(
            p->scene,
            &(gw_face){.pen = {0.3, GW_DASH_NONE, GW_ACCENT}, .filled = true, .fill = 0xFFFFFFU}, c,
            radius);
        gw_scene_line(p->scene, THIN, (gw_mm){c.x - radius - 0.7, c.y},
                      (gw_mm){c.x + radius + 0.7, c.y});
        gw_scene_line(p->scene, THIN, (gw_mm){c.x, c.y - radius - 0.7},
                      (gw_mm){c.x, c.y + radius + 0.7});
        number++;
        const gw_lettering type = {.size_mm = p->set->letter_mm, .bold = true, .rgb = GW_ACCENT};
        gw_view_name(p->scene, &type,
                     &(gw_name){{c.x + radius + 0.8, c.y - 1.0 - 0.36 * type.size_mm},
                                gw_papers_text(&p->set->p, "B%zu", number),
                                false});
    }
}

// Header from the wall to a line along the near edge of the field, and on to each bore or trench.
static void draw_header(const plan *p)
{
    const gw_pen pen = {0.5, GW_DASH_NONE, GW_PIPE_INK};
    const gw_loop_response *const r = &p->set->p.loop->sized.response;
    const bool bores = p->set->p.loop->kind == GW_LOOP_BORES;
    const double edge_u = p->field.u0;
    double low = p->mid_v;
    double high = p->mid_v;
    gw_scene_layer(p->scene, GW_LAYER_HEADER);
    const size_t step = bores ? r->pieces : 1;
    for (size_t i = 0; i + step <= r->segment_count; i += step) {
        const gw_segment *const s = &r->segments[i];
        low = fmin(low, -s->x_m);
        high = fmax(high, -s->x_m);
        if (bores) {
            gw_scene_line(p->scene, (gw_pen){0.25, GW_DASH_NONE, GW_PIPE_INK},
                          at(p, edge_u, -s->x_m), at(p, s->y_m, -s->x_m));
        }
    }
    gw_scene_line(p->scene, pen, at(p, edge_u, low), at(p, edge_u, high));
    gw_scene_line(p->scene, pen, at(p, p->wall_u, p->mid_v), at(p, edge_u, p->mid_v));
    const gw_mm wall = at(p, p->wall_u, p->mid_v);
    gw_scene_box(p->scene, &(gw_face){.filled = true, .fill = GW_PIPE_INK},
                 (gw_box){{wall.x - 0.9, wall.y - 0.9}, {1.8, 1.8}});
}

static void header_dimensions(const plan *p)
{
    gw_papers *const q = &p->set->p;
    const double half = 0.5 * p->house_m;
    gw_scene_layer(p->scene, GW_LAYER_DIMENSION);
    const double run = p->field.u0 - p->wall_u;
    if (run > 0.0) {
        gw_view_dimension(p->scene,
                          &(gw_dimension){at(p, p->wall_u, p->mid_v), at(p, p->field.u0, p->mid_v),
                                          4.5, gw_papers_measure(q, run), 0.9 * p->set->letter_mm});
    }
    const double entry = p->ground.u0 - p->wall_u;
    if (p->has_ground && entry > 0.0 && fabs(entry - run) > 0.05) {
        const double v = fmax(p->ground.v0, p->mid_v - half);
        gw_view_dimension(p->scene,
                          &(gw_dimension){at(p, p->wall_u, v), at(p, p->ground.u0, v), -5.0,
                                          gw_papers_measure(q, entry), 0.9 * p->set->letter_mm});
    }
}

static void trench_dimensions(const plan *p)
{
    gw_papers *const q = &p->set->p;
    const gw_trench_plan *const t = &q->loop->sized.plan.trench;
    const double foot = fmin(p->field.v0, p->ground.v0);
    gw_scene_layer(p->scene, GW_LAYER_DIMENSION);
    gw_view_dimension(
        p->scene, &(gw_dimension){at(p, 0.0, foot), at(p, t->length_m, foot), -6.0,
                                  gw_papers_text(q, "trench %s", gw_papers_measure(q, t->length_m)),
                                  0.9 * p->set->letter_mm});
    for (size_t i = 0; i + 1 < t->count && i < 2; i++) {
        const double u = (0.7 - 0.12 * (double)i) * t->length_m;
        const double v = -(double)i * t->spacing_m;
        gw_view_dimension(p->scene, &(gw_dimension){at(p, u, v - t->spacing_m), at(p, u, v), 0.0,
                                                    gw_papers_measure(q, t->spacing_m),
                                                    0.9 * p->set->letter_mm});
    }
}

static void bore_dimensions(const plan *p)
{
    gw_papers *const q = &p->set->p;
    const gw_loop_response *const r = &q->loop->sized.response;
    const gw_bores_plan *const b = &q->loop->sized.plan.bores;
    gw_scene_layer(p->scene, GW_LAYER_DIMENSION);
    if (b->count >= 2) {
        const gw_segment *const one = &r->segments[0];
        const gw_segment *const two = &r->segments[r->pieces];
        const double apart = hypot(two->x_m - one->x_m, two->y_m - one->y_m);
        gw_view_dimension(
            p->scene, &(gw_dimension){at(p, two->y_m, -two->x_m), at(p, one->y_m, -one->x_m), -7.5,
                                      gw_papers_measure(q, apart), 0.9 * p->set->letter_mm});
    }
    const size_t columns = b->rows > 0 ? (b->count + b->rows - 1) / b->rows : 0;
    for (size_t i = 1; i < b->count; i++) {
        const gw_segment *const one = &r->segments[0];
        const gw_segment *const next = &r->segments[i * r->pieces];
        if (fabs(next->x_m - one->x_m) < 1e-6 && (columns == 0 || i == columns)) {
            gw_view_dimension(
                p->scene, &(gw_dimension){at(p, one->y_m, -one->x_m), at(p, next->y_m, -next->x_m),
                                          5.0, gw_papers_measure(q, fabs(next->y_m - one->y_m)),
                                          0.9 * p->set->letter_mm});
            break;
        }
    }
}

// ---------------------------------------------------------------- the panel beside it

double gw_permit_priv_loop_table(gw_permit_priv *set, gw_scene *scene, gw_box box)
{
    gw_papers *const q = &set->p;
    const gw_design_loop *const l = q->loop;
    const gw_loop_response *const r = &l->sized.response;
    gw_ruled_rows rows = {.arena = q->arena, .column_count = 2};
    const char *const texts[][2] = {
        {"Loop", gw_papers_loop(q)},
        {"Pipe", l->pipe->name},
        {"Circuits",
         gw_papers_text(q, "%zu of %s", r->circuits, gw_papers_measure(q, r->circuit_pipe_m))},
        {"Header", gw_papers_text(q, "%s, %s one way", l->header->name,
                                  gw_papers_measure(q, l->sized.plan.header_m))},
        {"Ground used", gw_papers_text(q, "%s × %s", gw_papers_measure(q, l->land_length_m),
                                       gw_papers_measure(q, l->land_width_m))},
        {"Fluid", gw_papers_text(q, "%s, %.0f %%", q->design->fluid_data->name,
                                 100.0 * q->design->fluid.mass_frac)},
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        gw_ruled_add(&rows, texts[i]);
    }
    q->failed = q->failed || rows.failed;
    static const gw_ruled_column COLUMNS[] = {{"", 1.0, GW_ANCHOR_START},
                                              {"", 2.3, GW_ANCHOR_START}};
    const gw_ruled table = {COLUMNS, 2, rows.cells, rows.rows, set->letter_mm, true};
    size_t row = 0;
    return gw_ruled_draw(scene, &table, box, &row);
}

static double panel_notes(plan *p, gw_box box)
{
    gw_papers *const q = &p->set->p;
    const bool bores = q->loop->kind == GW_LOOP_BORES;
    const char *const notes[] = {
        "1. Field, free ground, header and distance to the house are to scale. The job holds no "
        "surveyed lot: place the field from the boundaries on site, keeping the distances of the "
        "local bylaw.",
        bores
            ? "2. Bores are numbered B1 on. Header trenches run straight from the field to the "
              "house; lengths are one way, supply and return lie side by side."
            : "2. Trenches are numbered T1 on from the first one dug. The header runs straight to "
              "the house; lengths are one way, supply and return lie side by side.",
        "3. Before the fill goes back, measure two ties or more from permanent corners to each "
        "bore, trench end and bend, and enter them in the record.",
    };
    double used = 0.0;
    for (size_t i = 0; i < 3; i++) {
        const gw_box at_box = {{box.at.x, box.at.y + used}, box.size};
        used += gw_scene_paragraph(p->scene, &(gw_lettering){.size_mm = 0.92 * p->set->letter_mm},
                                   at_box, notes[i]) +
                1.0;
    }
    return used;
}

static void draw_key(plan *p, gw_mm from)
{
    const double s = p->set->letter_mm;
    const bool bores = p->set->p.loop->kind == GW_LOOP_BORES;
    const struct {
        gw_pen pen;
        const char *name;
        bool shown;
    } rows[] = {
        {{0.5, GW_DASH_NONE, GW_PIPE_INK}, "header, supply and return", true},
        {{0.25, GW_DASH_NONE, GW_PIPE_INK},
         bores ? "pipes from header to bore" : "pipes in the trench",
         true},
        {{0.35, GW_DASH_CENTRE, GW_GREY}, "edge of free ground", p->has_ground},
    };
    double y = from.y;
    for (size_t i = 0; i < 3; i++) {
        if (rows[i].shown) {
            gw_scene_line(p->scene, rows[i].pen, (gw_mm){from.x, y - 0.35 * s},
                          (gw_mm){from.x + 11.0, y - 0.35 * s});
            gw_scene_text(p->scene, &(gw_lettering){.size_mm = 0.92 * s}, (gw_mm){from.x + 13.0, y},
                          rows[i].name);
            y += 1.6 * s;
        }
    }
}

static void draw_panel(plan *p, gw_box box)
{
    gw_scene_use_view(p->scene, 0);
    gw_scene_layer(p->scene, GW_LAYER_NOTE);
    const double s = p->set->letter_mm;
    double y = box.at.y;
    y += gw_sheet_heading(p->scene, (gw_box){{box.at.x, y}, box.size}, 1.35 * s, "The loop");
    y += gw_permit_priv_loop_table(p->set, p->scene,
                                   (gw_box){{box.at.x, y}, {box.size.w, box.size.h}}) +
         2.0 * s;
    y += gw_sheet_heading(p->scene, (gw_box){{box.at.x, y}, box.size}, 1.35 * s, "Notes");
    panel_notes(p, (gw_box){{box.at.x, y}, box.size});
    const double foot = box.at.y + box.size.h;
    draw_key(p, (gw_mm){box.at.x, foot - 28.0 - 5.0 * s});
    const bool surveyed =
        p->set->p.loop->sized.plan.bores.place_count > 0 && p->set->p.loop->kind == GW_LOOP_BORES;
    gw_view_north(p->scene, (gw_mm){box.at.x + box.size.w - 14.0, foot - 12.5},
                  &(gw_north){.known = surveyed,
                              .angle_deg = p->view.turn_deg,
                              .note = surveyed ? "north of the job" : "to be set on site"});
    gw_view_scale_bar(p->scene, &p->view, p->set->p.style.units,
                      (gw_mm){box.at.x + 2.0, foot - 8.0}, box.size.w - 38.0);
}

void gw_permit_priv_draw_bores(gw_permit_priv *set, gw_scene *scene, const gw_view *view)
{
    const plan p = {.set = set, .scene = scene, .view = *view};
    draw_bores(&p);
}

gw_status gw_permit_priv_plan(gw_permit_priv *set, gw_err *err)
{
    plan p = {.set = set};
    measure_field(&p);
    measure_ground(&p);
    gw_box area = gw_sheet_area(set->p.style.paper);
    const double panel = 26.0 * gw_sheet_lettering_mm(set->p.style.paper);
    const double round_mm = 13.0; // for the dimensions about the plan
    const gw_box box = {{area.at.x + 4.0, area.at.y + round_mm},
                        {area.size.w - panel - round_mm - 10.0, area.size.h - 2.0 * round_mm}};
    const gw_status st = choose_view(&p, box, err);
    if (st != GW_OK) {
        return st;
    }
    const char *const scale = gw_view_scale_text(set->p.arena, p.view.scale, set->p.style.units);
    p.scene = gw_permit_priv_sheet(set, "plan", "Site and loop plan", scale, &area);
    gw_scene_use_view(p.scene, gw_scene_add_view(p.scene, &p.view));
    draw_ground(&p);
    draw_house(&p);
    draw_header(&p);
    if (set->p.loop->kind == GW_LOOP_BORES) {
        draw_bores(&p);
        bore_dimensions(&p);
    } else {
        draw_trenches(&p);
        trench_dimensions(&p);
    }
    header_dimensions(&p);
    const gw_box side = {{area.at.x + area.size.w - panel, area.at.y}, {panel, area.size.h}};
    gw_scene_use_view(p.scene, 0);
    gw_scene_layer(p.scene, GW_LAYER_SHEET);
    gw_scene_line(p.scene, (gw_pen){0.18, GW_DASH_NONE, GW_PALE},
                  (gw_mm){side.at.x - 4.0, side.at.y},
                  (gw_mm){side.at.x - 4.0, side.at.y + side.size.h});
    draw_panel(&p, side);
    return GW_OK;
}
