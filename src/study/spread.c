// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/spread.h"

#include "study/study_priv.h"

#include "ground/response.h"

#include <math.h>
#include <stdio.h>

static gw_status no_memory(gw_err *err)
{
    return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory spreading the loop");
}

// ---------------------------------------------------------------- the variants

typedef struct {
    const char *what;
    double spacing; // factor
    double count;   // factor on the number, its inverse on the depth of each
    double layers;  // trenches: factor on pipes, its inverse on the number of trenches
} change;

static const change BORE_CHANGES[] = {
    {"as designed", 1.0, 1.0, 1.0},
    {"half the spacing", 0.5, 1.0, 1.0},
    {"half the area", 0.70710678118654752, 1.0, 1.0},
    {"fewer and deeper (half as many)", 1.0, 0.5, 1.0},
    {"more and shallower (twice as many)", 1.0, 2.0, 1.0},
};
static const change TRENCH_CHANGES[] = {
    {"as designed", 1.0, 1.0, 1.0},
    {"half the spacing (half the area)", 0.5, 1.0, 1.0},
    {"twice the spacing", 2.0, 1.0, 1.0},
    {"half as many, pipes above each other", 1.0, 1.0, 2.0},
};

// A grid is laid out anew at another spacing or number; places given one by one move about the
// first of them.
static gw_status move_places(gw_arena *arena, gw_bores_plan *b, double spacing, gw_err *err)
{
    if (b->place_count == 0) {
        return GW_OK;
    }
    gw_bore_place *const places = gw_arena_alloc(arena, b->place_count, sizeof *places);
    if (places == NULL) {
        return no_memory(err);
    }
    for (size_t i = 0; i < b->place_count; i++) {
        places[i] = b->places[i];
        places[i].x_m = places[0].x_m + spacing * (b->places[i].x_m - b->places[0].x_m);
        places[i].y_m = places[0].y_m + spacing * (b->places[i].y_m - b->places[0].y_m);
    }
    b->places = places;
    return GW_OK;
}

static gw_status change_bores(gw_arena *arena, gw_bores_plan *b, const change *c, gw_err *err)
{
    const double count = round((double)b->count * c->count);
    if (c->count != 1.0) {
        if (b->place_count > 0) {
            return gw_fail(err, GW_ERR_GEOMETRY, "bores.places",
                           "the places of the bores are given one by one: another number of them "
                           "has no places");
        }
        if (count < 1.0) {
            return gw_fail(err, GW_ERR_GEOMETRY, "bores.count", "one bore cannot be halved");
        }
        b->rows = b->rows == 1 ? 1 : 0;
    }
    b->depth_m *= (double)b->count / count;
    b->count = (size_t)count;
    b->spacing_m *= c->spacing;
    b->max_depth_m = 0.0; // to see what it would do; the rig is another question
    return move_places(arena, b, c->spacing, err);
}

static gw_status change_trenches(gw_trench_plan *t, const change *c, gw_err *err)
{
    if (c->layers != 1.0) {
        const bool column = t->pipes == 1 || t->arrangement == GW_PIPES_STACKED;
        const bool pair = t->pipes == 2 && t->arrangement == GW_PIPES_ON_FLOOR;
        const bool sides = t->arrangement == GW_PIPES_TWO_SIDES;
        if (t->count % 2 != 0 || t->pipes > 3 || !(column || pair || sides)) {
            return gw_fail(err, GW_ERR_GEOMETRY, "trench.pipes",
                           "%zu trenches of %zu pipes cannot be laid as half as many with twice "
                           "the pipes",
                           t->count, t->pipes);
        }
        t->arrangement = column ? GW_PIPES_STACKED : GW_PIPES_TWO_SIDES;
        t->pipe_gap_m = t->pipe_gap_m > 0.0 ? t->pipe_gap_m : 0.3;
        t->pipes *= 2;
        t->count /= 2;
    }
    t->spacing_m *= c->spacing;
    t->max_length_m = 0.0;
    return GW_OK;
}

// ---------------------------------------------------------------- one horizon

static double spacing_of(const gw_loop_plan *plan)
{
    if (plan->kind != GW_LOOP_BORES) {
        return plan->trench.spacing_m;
    }
    const gw_bores_plan *const b = &plan->bores;
    if (b->place_count < 2) {
        return b->spacing_m;
    }
    return hypot(b->places[1].x_m - b->places[0].x_m, b->places[1].y_m - b->places[0].y_m);
}

static double area_of(const gw_loop_plan *plan)
{
    const double spacing_m = spacing_of(plan);
    return plan->kind == GW_LOOP_BORES
               ? (double)plan->bores.count * spacing_m * spacing_m
               : (double)plan->trench.count * spacing_m * plan->trench.length_m;
}

// Midway between the segment nearest the field's middle and its nearest neighbour, half way down.
static gw_position middle_of(const gw_loop_response *r)
{
    gw_position centre = {0};
    const double share = 1.0 / (double)r->segment_count;
    for (size_t i = 0; i < r->segment_count; i++) {
        const gw_position p = gw_segment_point(&r->segments[i], 0.5 * r->segments[i].length_m);
        centre.x_m += share * p.x_m;
        centre.y_m += share * p.y_m;
        centre.z_m += share * p.z_m;
    }
    double near[2] = {HUGE_VAL, HUGE_VAL};
    gw_position at[2] = {centre, centre};
    for (int pass = 0; pass < 2; pass++) {
        const gw_position from = pass == 0 ? centre : at[0];
        for (size_t i = 0; i < r->segment_count; i++) {
            gw_position p = gw_segment_point(&r->segments[i], 0.5 * r->segments[i].length_m);
            p.z_m = centre.z_m;
            const double away_m = hypot(p.x_m - from.x_m, p.y_m - from.y_m);
            // The pieces and pipes of the same bore or trench are no neighbours.
            if (away_m < near[pass] && (pass == 0 || away_m > 1.0)) {
                near[pass] = away_m;
                at[pass] = p;
            }
        }
    }
    return (gw_position){.x_m = 0.5 * (at[0].x_m + at[1].x_m),
                         .y_m = 0.5 * (at[0].y_m + at[1].y_m),
                         .z_m = centre.z_m};
}

// Yearly mean of the undisturbed ground at a depth.
static double undisturbed_at(const gw_design *design, gw_loop_kind kind, double depth_m)
{
    const gw_loop_ground *const g =
        kind == GW_LOOP_BORES ? &design->bore_ground : &design->trench_ground;
    return g->surface.mean_degc + g->gradient_k_m * depth_m;
}

typedef struct {
    const gw_spread_input *input;
    const double *years;
    gw_design_input base; // weather and prices
    const gw_job *job;    // as designed, one loop, everything held
    double limit_degc;
} study;

static gw_status fill_ground(const study *s, const gw_design *design, gw_spread_row *row,
                             gw_err *err)
{
    const gw_design_loop *const loop = &design->loops[0];
    const gw_loop_response *const r = &loop->sized.response;
    double times_s[GW_SPREAD_TIMES];
    double change_mk_w[GW_SPREAD_TIMES];
    for (int t = 0; t < GW_SPREAD_TIMES; t++) {
        times_s[t] = s->years[t] * GW_YEAR_S;
    }
    const gw_response_case with = {
        .medium = {.conductivity_w_mk = r->soil.conductivity_w_mk,
                   .diffusivity_m2_s = gw_soil_diffusivity_m2_s(&r->soil)},
        .times_s = times_s,
        .count = GW_SPREAD_TIMES};
    const gw_position middle = middle_of(r);
    const gw_response_map map = {.segments = r->segments,
                                 .segment_count = r->segment_count,
                                 .points = &middle,
                                 .point_count = 1};
    const gw_status st = gw_response_map_points(&with, &map, change_mk_w, err);
    if (st != GW_OK) {
        return st;
    }
    row->undisturbed_degc = undisturbed_at(design, loop->kind, middle.z_m);
    const double w_m = loop->sized.result.last.ground_j / GW_YEAR_S / r->length_m;
    for (int t = 0; t < GW_SPREAD_TIMES; t++) {
        row->at[t].ground_degc = row->undisturbed_degc - w_m * change_mk_w[t];
    }
    return GW_OK;
}

static void fill_water(const study *s, const gw_loop_result *r, gw_spread_row *row)
{
    const size_t years = (size_t)s->years[GW_SPREAD_TIMES - 1];
    size_t t = 0;
    for (size_t y = 0; y < years; y++) {
        double least = HUGE_VAL;
        for (size_t m = 0; m < 12; m++) {
            least = fmin(least, r->months[12 * y + m].least_degc);
        }
        if (least < s->limit_degc && row->first_below_year == 0.0) {
            row->first_below_year = (double)(y + 1);
        }
        if (t < GW_SPREAD_TIMES && (size_t)s->years[t] == y + 1) {
            row->at[t].year = s->years[t];
            row->at[t++].coldest_degc = least;
        }
    }
    row->drift_k = r->coldest_first.degc - r->coldest_last.degc;
}

static gw_status fill_row(const study *s, gw_arena *arena, const change *c, gw_spread_row *row,
                          gw_err *err)
{
    gw_study_priv_job copy;
    gw_status st = gw_study_priv_copy(arena, s->job, &copy, err);
    if (st != GW_OK) {
        return st;
    }
    gw_loop_plan *const plan = &copy.loops[0];
    st = plan->kind == GW_LOOP_BORES ? change_bores(arena, &plan->bores, c, err)
                                     : change_trenches(&plan->trench, c, err);
    if (st != GW_OK) {
        return st;
    }
    gw_design_input input = s->base;
    input.job = &copy.job;
    const gw_design *design = NULL;
    st = gw_study_priv_design(arena, &input, &design, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_study_outcome o = gw_study_outcome_of(design, 0);
    row->count = o.count;
    row->each_m = o.each_m;
    row->length_m = o.length_m;
    row->spacing_m = spacing_of(plan);
    row->area_m2 = area_of(plan);
    row->freezes = design->loops[0].freezes;
    fill_water(s, &design->loops[0].sized.result, row);
    st = fill_ground(s, design, row, err);
    row->done = st == GW_OK;
    return st;
}

// Every reason but a lack of memory is kept as the row's own.
static gw_status run_row(const study *s, const change *c, gw_spread_row *row)
{
    gw_err err = {0};
    gw_arena *const arena = gw_arena_create(GW_STUDY_PRIV_CAP_BYTES);
    const gw_status st = arena != NULL ? fill_row(s, arena, c, row, &err) : no_memory(&err);
    gw_arena_destroy(arena);
    row->what = c->what;
    if (st != GW_OK) {
        snprintf(row->why_not, sizeof row->why_not, "%s", err.text);
    }
    return st;
}

static gw_status run_rows(gw_arena *arena, const study *s, gw_spread *out, gw_err *err)
{
    const bool bores = s->job->loops[0].kind == GW_LOOP_BORES;
    const change *const changes = bores ? BORE_CHANGES : TRENCH_CHANGES;
    const size_t count = bores ? sizeof BORE_CHANGES / sizeof BORE_CHANGES[0]
                               : sizeof TRENCH_CHANGES / sizeof TRENCH_CHANGES[0];
    gw_spread_row *const rows = gw_arena_alloc(arena, count, sizeof *rows);
    if (rows == NULL) {
        return no_memory(err);
    }
    gw_status status[GW_SPREAD_ROWS_MAX] = {GW_OK};
#pragma omp parallel for schedule(dynamic, 1)
    for (size_t i = 0; i < count; i++) {
        status[i] = run_row(s, &changes[i], &rows[i]);
    }
    for (size_t i = 0; i < count; i++) {
        if (status[i] == GW_ERR_NOMEM || (i == 0 && status[i] != GW_OK)) {
            return gw_fail(err, status[i], NULL, "%s", rows[i].why_not);
        }
    }
    out->rows = rows;
    out->count = count;
    return GW_OK;
}

// ---------------------------------------------------------------- the loop as designed

static gw_status check_years(const double *years, gw_err *err)
{
    for (int t = 0; t < GW_SPREAD_TIMES; t++) {
        const double before = t > 0 ? years[t - 1] : 0.0;
        if (!(years[t] > before && years[t] <= 60.0 && floor(years[t]) == years[t])) {
            return gw_fail(err, GW_ERR_RANGE, "years",
                           "found year %g after year %g, expected whole years that increase, 1 to "
                           "60",
                           years[t], before);
        }
    }
    return GW_OK;
}

static bool has_neighbours(const gw_loop_plan *plan)
{
    return (plan->kind == GW_LOOP_BORES && plan->bores.count >= 2) ||
           (plan->kind == GW_LOOP_TRENCH && plan->trench.count >= 2);
}

// Holds the loop asked for; where the best was asked for and cannot be spread, the first of the job
// that can.
static gw_status hold_loop(gw_arena *arena, const gw_spread_input *in, gw_study_priv_held *held,
                           gw_err *err)
{
    const gw_job *const job = in->design.job;
    gw_status st = gw_study_priv_hold(arena, &in->design, in->loop, held, err);
    if (st != GW_OK || has_neighbours(&held->copy.loops[0])) {
        return st;
    }
    for (size_t i = 0; i < job->loop_count && in->loop >= job->loop_count; i++) {
        st = gw_study_priv_hold(arena, &in->design, i, held, err);
        if (st != GW_OK || has_neighbours(&held->copy.loops[0])) {
            return st;
        }
    }
    return gw_fail(err, GW_ERR_GEOMETRY, "loops",
                   "this study needs a loop of at least two bores or two trenches side by side");
}

gw_status gw_spread_run(gw_arena *arena, const gw_spread_input *input, gw_spread *out, gw_err *err)
{
    static const double USUAL[GW_SPREAD_TIMES] = {1.0, 5.0, 25.0, 50.0};
    study s = {.input = input,
               .base = input->design,
               .years = input->years[0] > 0.0 ? input->years : USUAL,
               .limit_degc = input->design.job->limits.min_entering_degc};
    gw_status st = check_years(s.years, err);
    gw_study_priv_held held;
    if (st == GW_OK) {
        st = hold_loop(arena, input, &held, err);
    }
    if (st != GW_OK) {
        return st;
    }
    held.copy.job.limits.years = s.years[GW_SPREAD_TIMES - 1];
    s.job = &held.copy.job;
    *out = (gw_spread){.loop = held.copy.loops[0].name, .limit_degc = s.limit_degc};
    return run_rows(arena, &s, out, err);
}
