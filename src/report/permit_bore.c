// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A bore in section: its whole depth with the layers beside it, and its cross-section.
#include "draw/lettering.h"
#include "report/permit_priv.h"

#include <math.h>

typedef struct {
    gw_permit_priv *set;
    gw_scene *scene;
    gw_view view;
    const gw_bores_plan *bores;
    double x; // mm, middle of the bore
} profile;

static const double BORE_MM = 7.0;    // drawn width of the bore: not to scale across
static const double GROUND_MM = 30.0; // and of the ground beside it

static double y_of(const profile *p, double depth_m)
{
    return gw_view_mm(&p->view, 0.0, -depth_m).y;
}

// One layer of the ground; the bore is drawn over it.
static void layer(const profile *p, double top_m, double bottom_m, bool rock)
{
    const double top = y_of(p, top_m);
    const gw_face face = {.pen = {0.13, GW_DASH_NONE, GW_GREY},
                          .filled = true,
                          .fill = rock ? 0xE4E4E0U : 0xF2ECDFU,
                          .hatch_mm = rock ? 2.6 : 1.8,
                          .hatch_deg = rock ? 60.0 : 0.0,
                          .hatch_pen = {0.1, rock ? GW_DASH_NONE : GW_DASH_DOTTED, GW_GREY}};
    gw_scene_box(p->scene, &face,
                 (gw_box){{p->x - 0.5 * GROUND_MM, top}, {GROUND_MM, y_of(p, bottom_m) - top}});
}

enum { LAYERS_MAX = 16 };

typedef struct {
    double top_m;
    double bottom_m;
    const char *name;
    bool rock;
} stratum;

// What the job says lies along the bore, from the surface to `depth_m`.
static size_t strata(gw_papers *q, double depth_m, stratum out[static LAYERS_MAX])
{
    const gw_job_ground *const g = &q->design->job->ground;
    const gw_bores_plan *const b = &q->loop->sized.plan.bores;
    size_t count = 0;
    double top_m = 0.0;
    for (size_t i = 0; i < g->layer_count && count < LAYERS_MAX && top_m < depth_m; i++) {
        const bool last = i + 1 == g->layer_count;
        const double bottom_m = last ? depth_m : fmin(depth_m, top_m + g->layers[i].thickness_m);
        const char *const id = g->layers[i].soil.soil_class;
        out[count++] =
            (stratum){top_m, bottom_m, id != NULL ? gw_papers_tidy(q, id) : "ground as given",
                      top_m >= b->rock_depth_m - 1e-6};
        top_m = bottom_m;
    }
    if (count == 0) {
        const double rock_m = fmin(b->rock_depth_m, depth_m);
        const gw_job_soil *const rock = g->rock != NULL ? g->rock : &g->soil;
        if (rock_m > 0.0) {
            out[count++] =
                (stratum){0.0, rock_m,
                          g->soil.soil_class != NULL ? gw_papers_tidy(q, g->soil.soil_class)
                                                     : "overburden as given",
                          false};
        }
        if (rock_m < depth_m) {
            out[count++] = (stratum){rock_m, depth_m,
                                     rock->soil_class != NULL ? gw_papers_tidy(q, rock->soil_class)
                                                              : "rock as given",
                                     true};
        }
    }
    return count;
}

static void draw_bore(const profile *p)
{
    const gw_bores_plan *const b = p->bores;
    const double top = y_of(p, b->top_m);
    const double foot = y_of(p, b->top_m + b->depth_m);
    gw_scene_layer(p->scene, GW_LAYER_GROUT);
    gw_scene_box(p->scene,
                 &(gw_face){.pen = {0.3, GW_DASH_NONE, GW_INK},
                            .filled = true,
                            .fill = 0xDADAD6U,
                            .hatch_mm = 0.9,
                            .hatch_deg = -45.0,
                            .hatch_pen = {0.08, GW_DASH_NONE, 0xFFFFFFU}},
                 (gw_box){{p->x - 0.5 * BORE_MM, top}, {BORE_MM, foot - top}});
    // One U-tube, or two drawn beside each other.
    gw_scene_layer(p->scene, GW_LAYER_PIPE);
    const gw_pen pipe = {0.6, GW_DASH_NONE, GW_PIPE_INK};
    for (size_t i = 0; i < b->u_tubes; i++) {
        const double half = b->u_tubes == 1 ? 1.5 : i == 0 ? 2.3 : 1.0;
        const double bend = foot - 1.0 - half;
        const double up = y_of(p, b->top_m) - 2.0 - (double)i;
        gw_scene_line(p->scene, pipe, (gw_mm){p->x - half, up}, (gw_mm){p->x - half, bend});
        gw_scene_line(p->scene, pipe, (gw_mm){p->x + half, up}, (gw_mm){p->x + half, bend});
        gw_scene_arc(p->scene, pipe, &(gw_arc){{p->x, bend}, half, 180.0, 180.0});
    }
}

static void profile_labels(const profile *p, const stratum *s, size_t count, gw_box column)
{
    gw_papers *const q = &p->set->p;
    const gw_bores_plan *const b = p->bores;
    gw_label labels[LAYERS_MAX + 3];
    size_t n = 0;
    const double edge = p->x + 0.5 * GROUND_MM - 3.0;
    for (size_t i = 0; i < count; i++) {
        labels[n++] = (gw_label){{edge, 0.5 * (y_of(p, s[i].top_m) + y_of(p, s[i].bottom_m))},
                                 gw_papers_text(q, "%s, %s to %s", s[i].name,
                                                gw_papers_measure(q, s[i].top_m),
                                                gw_papers_measure(q, s[i].bottom_m))};
    }
    const double top = y_of(p, b->top_m);
    const double foot = y_of(p, b->top_m + b->depth_m);
    labels[n++] = (gw_label){
        {p->x + 3.0, top + 0.2 * (foot - top)},
        gw_papers_text(q, "Grout from the bottom up, %s, %s a bore in theory",
                       gw_papers_quantity(q, GW_QTY_CONDUCTIVITY, b->grout_conductivity_w_mk),
                       gw_papers_quantity(q, GW_QTY_VOLUME, gw_papers_grout_m3(q->loop)))};
    labels[n++] = (gw_label){{p->x + 1.5, top + 0.72 * (foot - top)},
                             gw_papers_text(q, "%s, %s", b->u_tubes == 1 ? "U-tube" : "Two U-tubes",
                                            q->loop->pipe->name)};
    labels[n++] = (gw_label){{p->x + 1.0, foot - 1.2}, "Factory-made return bend, fused"};
    gw_scene_layer(p->scene, GW_LAYER_NOTE);
    gw_view_labels(p->scene, &(gw_label_column){column, p->set->letter_mm, false, NULL}, labels, n);
}

static void draw_profile(gw_permit_priv *set, gw_scene *scene, gw_box box)
{
    gw_papers *const q = &set->p;
    const gw_bores_plan *const b = &q->loop->sized.plan.bores;
    const double end_m = b->top_m + b->depth_m;
    const double shown_m = end_m + 0.03 * end_m;
    const double room = box.size.h - 14.0;
    const double scale =
        gw_view_scale((gw_view_need){0.001, shown_m, q->style.units}, (gw_size){100.0, room});
    profile p = {
        set, scene, {.name = "bore", .scale = scale}, b, box.at.x + 20.0 + 0.5 * GROUND_MM};
    p.view.at = (gw_mm){p.x, box.at.y + 4.0};
    gw_scene_use_view(scene, gw_scene_add_view(scene, &p.view));
    stratum s[LAYERS_MAX];
    const size_t count = strata(q, shown_m, s);
    gw_scene_layer(scene, GW_LAYER_GROUND);
    for (size_t i = 0; i < count; i++) {
        layer(&p, s[i].top_m, s[i].bottom_m, s[i].rock);
    }
    gw_scene_line(scene, (gw_pen){0.6, GW_DASH_NONE, GW_INK},
                  (gw_mm){p.x - 0.5 * GROUND_MM - 2.0, p.view.at.y},
                  (gw_mm){p.x + 0.5 * GROUND_MM + 2.0, p.view.at.y});
    draw_bore(&p);
    gw_scene_layer(scene, GW_LAYER_DIMENSION);
    const double left = p.x - 0.5 * GROUND_MM;
    gw_view_dimension(
        scene, &(gw_dimension){{left, y_of(&p, end_m)},
                               {left, y_of(&p, b->top_m)},
                               5.0,
                               gw_papers_text(q, "grouted %s", gw_papers_measure(q, b->depth_m)),
                               0.9 * set->letter_mm});
    gw_view_dimension(scene, &(gw_dimension){{left, y_of(&p, end_m)},
                                             {left, y_of(&p, 0.0)},
                                             12.0,
                                             gw_papers_measure(q, end_m),
                                             0.9 * set->letter_mm});
    gw_scene_use_view(scene, 0);
    const double right = p.x + 0.5 * GROUND_MM + 7.0;
    profile_labels(&p, s, count,
                   (gw_box){{right, box.at.y + 6.0}, {box.at.x + box.size.w - right, room - 6.0}});
    gw_permit_priv_caption(scene, (gw_mm){p.x, y_of(&p, shown_m) + 5.5}, "Bore",
                           gw_papers_text(q, "depth %s; width not to scale",
                                          gw_view_scale_text(q->arena, scale, q->style.units)));
}

// ---------------------------------------------------------------- cross-section

static void draw_cross(gw_permit_priv *set, gw_scene *scene, gw_box box)
{
    gw_papers *const q = &set->p;
    const gw_bores_plan *const b = &q->loop->sized.plan.bores;
    const gw_pipe_size *const pipe = q->loop->pipe;
    static const double SCALES[] = {1.0, 2.0, 4.0, 5.0, 8.0, 10.0};
    const double room = fmin(box.size.w - 60.0, box.size.h - 21.0);
    double scale = SCALES[5];
    for (size_t i = 6; i-- > 0;) {
        scale = 1000.0 * b->diameter_m / SCALES[i] <= room ? SCALES[i] : scale;
    }
    const double drawn = gw_view_length_mm(&(gw_view){.scale = scale}, b->diameter_m);
    const gw_mm c = {box.at.x + 20.0 + 0.5 * GROUND_MM, box.at.y + 6.0 + 0.5 * drawn};
    const gw_view view = {.name = "bore cross-section", .scale = scale, .at = c};
    gw_scene_use_view(scene, gw_scene_add_view(scene, &view));
    gw_scene_layer(scene, GW_LAYER_GROUT);
    gw_scene_circle(scene,
                    &(gw_face){.pen = {0.4, GW_DASH_NONE, GW_INK},
                               .filled = true,
                               .fill = 0xE6E6E2U,
                               .hatch_mm = 1.6,
                               .hatch_deg = -45.0,
                               .hatch_pen = {0.08, GW_DASH_NONE, GW_GREY}},
                    c, gw_view_length_mm(&view, 0.5 * b->diameter_m));
    // Evenly spread over the bore where the job gives no distance (loop/response.h does the same).
    const double outer = pipe->outer_diameter_m;
    const double apart = b->shank_m > 0.0 ? b->shank_m : (b->diameter_m + outer) / 3.0;
    gw_scene_layer(scene, GW_LAYER_PIPE);
    gw_mm first = c;
    for (size_t i = 0; i < 2 * b->u_tubes; i++) {
        const double turn = 3.14159265358979323846 * (double)i / (double)b->u_tubes;
        const double r = gw_view_length_mm(&view, 0.5 * apart);
        const gw_mm at = {c.x + r * cos(turn), c.y - r * sin(turn)};
        first = i == 0 ? at : first;
        gw_scene_circle(scene,
                        &(gw_face){.pen = {0.3, GW_DASH_NONE, GW_PIPE_INK},
                                   .filled = true,
                                   .fill = GW_PIPE_INK},
                        at, gw_view_length_mm(&view, 0.5 * outer));
        gw_scene_circle(scene, &(gw_face){.filled = true, .fill = 0xFFFFFFU}, at,
                        gw_view_length_mm(&view, 0.5 * pipe->inner_diameter_m));
    }
    const double half = gw_view_length_mm(&view, 0.5 * apart);
    if (b->u_tubes == 1) {
        gw_scene_layer(scene, GW_LAYER_DIMENSION);
        gw_scene_line(scene, (gw_pen){0.18, GW_DASH_NONE, GW_INK}, (gw_mm){c.x - half, c.y},
                      (gw_mm){c.x + half, c.y});
    }
    const double radius = gw_view_length_mm(&view, 0.5 * b->diameter_m);
    gw_scene_layer(scene, GW_LAYER_DIMENSION);
    gw_view_dimension(scene, &(gw_dimension){{c.x - radius, c.y + radius},
                                             {c.x + radius, c.y + radius},
                                             -4.0,
                                             gw_papers_small(q, b->diameter_m),
                                             0.9 * set->letter_mm});
    gw_scene_use_view(scene, 0);
    const double edge = c.x + radius + 6.0;
    const gw_label labels[] = {
        {{c.x + 0.45 * radius, c.y - 0.75 * radius}, "Grout over the full length"},
        {{first.x, first.y - 0.47 * gw_view_length_mm(&view, outer)},
         gw_papers_text(q, "%s, outside %s, wall %s", pipe->name, gw_papers_small(q, outer),
                        gw_papers_small(q, pipe->wall_m))},
        {{c.x - 0.2 * half, c.y},
         gw_papers_text(q, "Pipe centres %s apart", gw_papers_small(q, apart))},
    };
    gw_scene_layer(scene, GW_LAYER_NOTE);
    gw_view_labels(
        scene,
        &(gw_label_column){
            {{edge, box.at.y + 4.0}, {fmax(22.0, box.at.x + box.size.w - edge), box.size.h - 24.0}},
            set->letter_mm,
            false,
            NULL},
        labels, 3);
    gw_permit_priv_caption(scene, (gw_mm){c.x, c.y + radius + 12.0}, "Across the bore",
                           gw_papers_text(q, "1:%.0f", scale));
}

gw_status gw_permit_priv_bore(gw_permit_priv *set, gw_err *err)
{
    (void)err;
    gw_box area;
    gw_scene *const scene =
        gw_permit_priv_sheet(set, "section", "Sections and house entry", "as shown", &area);
    const double left = fmax(104.0, 0.43 * area.size.w);
    const double upper = 0.64 * area.size.h;
    draw_profile(set, scene, (gw_box){area.at, {left, upper}});
    draw_cross(set, scene, (gw_box){{area.at.x, area.at.y + upper}, {left, area.size.h - upper}});
    gw_permit_priv_header(
        set, scene,
        (gw_box){{area.at.x + left + 8.0, area.at.y}, {area.size.w - left - 8.0, area.size.h}});
    return GW_OK;
}
