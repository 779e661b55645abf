// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Loops laid on a lot, and what they do to the things on it.
#include "design/design.h"
#include "design/ground_map.h"
#include "ground/field.h"
#include "lot/plane.h"

#include "harness.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static gw_arena *arena;
static gw_units *units;
static gw_err err;

#define ck_ok(call) ck_assert_msg((call) == GW_OK, "%s: %s", err.field, err.text)

static void begin(void)
{
    memset(&err, 0, sizeof err);
    arena = gw_arena_create(0);
    units = gw_units_create(&err);
}

static void end(void)
{
    gw_units_destroy(units);
    gw_arena_destroy(arena);
}

static gw_job *open_job(const char *name)
{
    enum { MOST = 1 << 16 };
    char path[512];
    snprintf(path, sizeof path, "%s/examples/%s.json", GW_SOURCE_DIR, name);
    FILE *const file = fopen(path, "rb");
    ck_assert_ptr_nonnull(file);
    char *const text = gw_arena_alloc(arena, MOST, 1);
    const size_t length = fread(text, 1, MOST - 1, file);
    fclose(file);
    gw_form_report report;
    const gw_job *job = NULL;
    const gw_job_source source = {.arena = arena, .units = units, .text = text, .length = length};
    ck_ok(gw_job_read(&source, &job, &report, &err));
    gw_job *const copy = gw_arena_alloc(arena, 1, sizeof *copy);
    *copy = *job;
    return copy;
}

static gw_lot_path path_of(const double *xy, size_t count)
{
    gw_lot_point *const points = gw_arena_alloc(arena, count, sizeof *points);
    for (size_t i = 0; i < count; i++) {
        points[i] = (gw_lot_point){xy[2 * i], xy[2 * i + 1]};
    }
    return (gw_lot_path){points, count};
}

#define PATH(...) path_of((const double[]){__VA_ARGS__}, sizeof((const double[]){__VA_ARGS__}) / 16)

static gw_lot_geometry box(double w, double s, double e, double n)
{
    return (gw_lot_geometry){GW_LOT_POLYGON, PATH(w, s, e, s, e, n, w, n, w, s), 0};
}

static gw_lot_geometry line(double ax, double ay, double bx, double by)
{
    return (gw_lot_geometry){GW_LOT_LINE, PATH(ax, ay, bx, by), 0};
}

enum { HOUSE, FIELD, WATER, WELL, FAR, THINGS };

// 100 m by 80 m, house by the road, septic field in the west; a barn half a kilometre away.
static gw_job_lot *farm(void)
{
    gw_lot_feature *const f = gw_arena_alloc(arena, THINGS, sizeof *f);
    f[HOUSE] = (gw_lot_feature){
        .id = "h", .kind = GW_LOT_HOUSE, .geometry = box(40, 8, 54, 18), .depth_m = 2.0};
    f[FIELD] = (gw_lot_feature){.id = "s",
                                .kind = GW_LOT_SEPTIC_FIELD,
                                .name = "the septic field",
                                .geometry = box(10, 30, 25, 40)};
    f[WATER] = (gw_lot_feature){.id = "w",
                                .kind = GW_LOT_WATER_LINE,
                                .name = "the water line",
                                .geometry = line(54, 12, 90, 12),
                                .depth_m = 1.8};
    f[WELL] = (gw_lot_feature){
        .id = "k", .kind = GW_LOT_WELL, .geometry = {GW_LOT_CIRCLE, PATH(90, 12), 0.1}};
    f[FAR] = (gw_lot_feature){.id = "b",
                              .kind = GW_LOT_BUILDING,
                              .name = "the far barn",
                              .geometry = box(500, 500, 510, 510),
                              .off_lot = true};
    gw_job_lot *const lot = gw_arena_alloc(arena, 1, sizeof *lot);
    *lot = (gw_job_lot){.lot = {.boundary = PATH(0, 0, 100, 0, 100, 80, 0, 80, 0, 0),
                                .features = f,
                                .count = THINGS},
                        .jurisdiction = "typical",
                        .entry = {47, 18}};
    gw_err_list faults;
    gw_err_list_init(&faults, arena);
    ck_ok(gw_lot_check(&lot->lot, &faults, &err));
    return lot;
}

static gw_job *farm_job(gw_loop_kind kind)
{
    gw_job *const job = open_job("farmhouse");
    size_t i = 0;
    while (job->loops[i].kind != kind) {
        i++;
        ck_assert_uint_lt(i, job->loop_count);
    }
    gw_loop_plan *const plan = gw_arena_alloc(arena, 1, sizeof *plan);
    *plan = job->loops[i];
    job->loops = plan;
    job->loop_count = 1;
    job->limits.years = 25;
    job->lot = farm();
    return job;
}

static const gw_design *design_of(const gw_job *job)
{
    const gw_design *design = NULL;
    memset(&err, 0, sizeof err);
    const gw_status st = gw_design_run(arena, &(gw_design_input){.job = job}, &design, &err);
    ck_assert_msg(design != NULL, "%s: %s", err.field, err.text);
    ck_assert(st == GW_OK || st == GW_ERR_CAPACITY);
    return design;
}

static const gw_design_neighbour *neighbour_of(const gw_design_loop *loop, long feature)
{
    for (size_t i = 0; i < loop->neighbours.count; i++) {
        if (loop->neighbours.items[i].feature == feature) {
            return &loop->neighbours.items[i];
        }
    }
    ck_abort_msg("thing %ld is not watched", feature);
    return NULL;
}

static const gw_verdict *verdict_with(const gw_design_loop *loop, const char *what)
{
    for (size_t i = 0; i < loop->verdicts.count; i++) {
        if (strstr(loop->verdicts.items[i].what, what) != NULL) {
            return &loop->verdicts.items[i];
        }
    }
    return NULL;
}

START_TEST(example_bores_stand_on_usable_ground)
{
    begin();
    gw_job *const job = open_job("village");
    const gw_design *const design = design_of(job);
    const gw_design_loop *const loop = &design->loops[0];
    ck_assert(loop->stands && loop->on_lot->placed && loop->on_lot->fits);
    ck_assert(!loop->on_lot->by_hand && loop->on_lot->violations.count == 0);
    const gw_bores_plan *const b = &loop->sized.plan.bores;
    ck_assert_uint_eq(b->place_count, 3);
    for (size_t i = 0; i < b->count; i++) {
        const gw_lot_point p = {b->places[i].x_m, b->places[i].y_m};
        ck_assert(gw_lot_region_contains(&loop->on_lot->usable, p));
    }
    ck_assert_double_ge(loop->on_lot->spacing_m, 4.99);
    ck_assert(loop->on_lot->has_header);
    ck_close(loop->sized.plan.header_m, loop->on_lot->header.length_m, 1e-9);
    // The second loop leans under the neighbours by hand: kept, measured, ruled out.
    const gw_design_loop *const leaning = &design->loops[1];
    ck_assert(leaning->on_lot->by_hand && !leaning->stands);
    const gw_verdict *const v = verdict_with(leaning, "distance to the property line");
    ck_assert(v != NULL && v->state == GW_VERDICT_FAILS && v->found < -20.0);
    ck_assert_ptr_nonnull(strstr(v->because, "16 TAC 6.106"));
    end();
}
END_TEST

START_TEST(lanes_lie_clear_of_everything)
{
    begin();
    const gw_design *const design = design_of(farm_job(GW_LOOP_TRENCH));
    const gw_design_loop *const loop = &design->loops[0];
    const gw_design_on_lot *const on = loop->on_lot;
    ck_assert_msg(loop->stands, "%s", on->placing);
    ck_assert(on->fits && !on->by_hand && on->violations.count == 0);
    ck_assert_uint_eq(on->lane_count, loop->sized.plan.trench.count);
    for (size_t i = 0; i < on->lane_count; i++) {
        ck_close(on->lanes[i].length_m, loop->sized.plan.trench.length_m, 1e-6);
        gw_lot_gap gap;
        gw_lot_measure_gap(&on->items.items[i].geometry,
                           &design->job->lot->lot.features[FIELD].geometry, &gap);
        ck_assert_double_ge(gap.gap_m, 7.61);
    }
    ck_assert(on->has_header && fabs(on->header.length_m - loop->sized.plan.header_m) < 1e-9);
    const gw_design_neighbour *const field = neighbour_of(loop, FIELD);
    ck_assert(!field->fails && field->greatest_drop_k < 1.0 && field->distance_m > 7.6);
    ck_assert_uint_eq(loop->neighbours.months, 300);
    ck_assert_double_lt(fabs(neighbour_of(loop, FAR)->greatest_drop_k), 1e-6);
    end();
}
END_TEST

// Coils lie in lanes as trenches do; their two lines follow the lane.
START_TEST(coils_lie_in_lanes)
{
    begin();
    gw_job *const job = farm_job(GW_LOOP_TRENCH);
    const gw_loop_plan plan = {.name = "coils",
                               .kind = GW_LOOP_COIL,
                               .coil = {.count = 4,
                                        .spacing_m = 4,
                                        .depth_m = 1.8,
                                        .width_m = 1.0,
                                        .ring_diameter_m = 0.8,
                                        .pitch_m = 0.4,
                                        .pipe = job->loops[0].trench.pipe}};
    job->loops = &plan;
    const gw_design *const design = design_of(job);
    const gw_design_loop *const loop = &design->loops[0];
    const gw_design_on_lot *const on = loop->on_lot;
    ck_assert_msg(on->fits && on->violations.count == 0, "%s", on->placing);
    ck_assert_uint_eq(on->lane_count, 4);
    gw_design_source source;
    ck_ok(gw_design_ground_source(arena, design, 0, &source, &err));
    ck_assert_uint_eq(source.past.segment_count, 8);
    for (size_t i = 0; i < 8; i++) {
        const gw_segment *const s = &source.past.segments[i];
        const gw_position middle = gw_segment_point(s, 0.5 * s->length_m);
        const gw_lot_lane *const lane = &on->lanes[i / 2];
        const gw_lot_path path = {(const gw_lot_point[]){lane->from, lane->to}, 2};
        const gw_lot_point at = {middle.x_m, middle.y_m};
        ck_assert_double_le(gw_lot_distance_m(at, gw_lot_nearest_on_path(&path, at)), 0.5);
        ck_assert_double_le(s->length_m, lane->length_m + 1e-6);
    }
    ck_assert_double_lt(neighbour_of(loop, FIELD)->greatest_drop_k, 1.5);
    end();
}
END_TEST

// The same loop laid by hand against the septic field and along the water line.
START_TEST(loop_against_the_field_fails_with_distance_and_temperature)
{
    begin();
    gw_job *const job = farm_job(GW_LOOP_TRENCH);
    gw_job_lot *const lot = farm();
    const gw_job_lane lanes[] = {{job->loops[0].name, {25.8, 25}, {25.8, 75}},
                                 {job->loops[0].name, {28.8, 25}, {28.8, 75}},
                                 {job->loops[0].name, {31.8, 25}, {31.8, 75}}};
    lot->lanes = lanes;
    lot->lane_count = 3;
    job->lot = lot;
    const gw_design *const design = design_of(job);
    const gw_design_loop *const loop = &design->loops[0];
    ck_assert(loop->on_lot->by_hand && !loop->stands);
    ck_assert_uint_eq(loop->sized.plan.trench.count, 3);
    ck_close(loop->sized.plan.trench.length_m, 50.0, 1e-9);
    const gw_verdict *const v = verdict_with(loop, "distance to the septic field");
    ck_assert(v != NULL && v->state == GW_VERDICT_FAILS);
    const double edge_m = 0.8 - 0.5 * loop->sized.plan.trench.width_m;
    ck_close(v->found, edge_m, 1e-6);
    ck_close(v->limit, 7.62, 1e-9);
    const gw_design_neighbour *const field = neighbour_of(loop, FIELD);
    ck_assert_msg(field->greatest_drop_k > 1.0 && (field->mind || field->fails), "%s",
                  field->because);
    ck_close(field->distance_m, edge_m, 1e-6);
    ck_assert_double_lt(field->coldest.degc, field->coldest_without.degc - 0.5);
    ck_assert(field->coldest.year >= 1 && field->coldest.year <= 25);
    end();
}
END_TEST

// Where the ground just does not freeze by itself, a trench beside a water line freezes it.
START_TEST(frost_that_only_the_loop_brings_fails)
{
    begin();
    gw_job *const job = farm_job(GW_LOOP_TRENCH);
    gw_job_lot *const lot = farm();
    gw_lot_feature *const features = gw_arena_alloc(arena, THINGS, sizeof *features);
    memcpy(features, lot->lot.features, THINGS * sizeof *features);
    features[WATER].geometry = line(60, 40, 60, 70);
    lot->lot.features = features;
    const gw_job_lane lanes[] = {{job->loops[0].name, {60.6, 40}, {60.6, 70}}};
    lot->lanes = lanes;
    lot->lane_count = 1;
    job->lot = lot;
    int failed = 0, held = 0;
    for (double depth_m = 0.8; depth_m < 2.6; depth_m += 0.3) {
        features[WATER].depth_m = depth_m;
        const gw_design_loop *const loop = &design_of(job)->loops[0];
        const gw_design_neighbour *const n = neighbour_of(loop, WATER);
        ck_assert_double_eq(n->at.z_m, depth_m);
        ck_assert_int_eq(n->fails, n->coldest.degc < 0.0 && n->coldest_without.degc >= 0.0);
        ck_assert(n->coldest.degc <= n->coldest_without.degc);
        ck_assert_uint_ge(n->frost_days, n->frost_days_without);
        failed += n->fails ? 1 : 0;
        held += n->fails ? 0 : 1;
        if (n->fails) {
            const gw_verdict *const v = verdict_with(loop, "at the water line");
            ck_assert(v->state == GW_VERDICT_FAILS && strstr(v->because, "would freeze") != NULL);
        }
    }
    ck_assert_msg(failed > 0 && held > 0, "%d failed, %d held", failed, held);
    end();
}
END_TEST

START_TEST(lot_too_small_says_what_takes_the_room)
{
    begin();
    gw_job *const job = farm_job(GW_LOOP_TRENCH);
    gw_job_lot *const lot = farm();
    lot->lot.boundary = PATH(8, 5, 57, 5, 57, 42, 8, 42, 8, 5);
    lot->lot.count = 2;
    job->lot = lot;
    const gw_design *const design = design_of(job);
    const gw_design_loop *const loop = &design->loops[0];
    ck_assert(!loop->stands);
    const gw_verdict *const v = verdict_with(loop, "usable ground");
    if (loop->on_lot->fits) { // short lanes went in, and the water is too cold instead
        ck_assert(!loop->sized.holds);
    } else {
        ck_assert(v->state == GW_VERDICT_FAILS && strstr(v->because, "too small") != NULL);
    }
    ck_assert_ptr_nonnull(strstr(v->because, "the septic field"));
    // Not even a bore.
    gw_job *const bores = farm_job(GW_LOOP_BORES);
    lot->lot.boundary = PATH(9, 7, 56, 7, 56, 41, 9, 41, 9, 7);
    gw_lot_feature *const features = gw_arena_alloc(arena, THINGS, sizeof *features);
    memcpy(features, lot->lot.features, THINGS * sizeof *features);
    features[FIELD].geometry = box(10, 22, 55, 40);
    lot->lot.features = features;
    bores->lot = lot;
    const gw_design_loop *const none = &design_of(bores)->loops[0];
    ck_assert(!none->stands && !none->on_lot->fits && none->on_lot->usable_m2 < 1.0);
    ck_assert_ptr_nonnull(strstr(verdict_with(none, "usable ground")->because, "too small"));
    end();
}
END_TEST

START_TEST(free_number_of_bores_is_placed)
{
    begin();
    gw_job *const job = farm_job(GW_LOOP_BORES);
    gw_loop_plan plan = job->loops[0];
    plan.free = GW_FREE_COUNT;
    plan.bores.count = 0;
    plan.bores.rows = 0;
    plan.bores.places = NULL;
    plan.bores.place_count = 0;
    plan.bores.depth_m = 60.0;
    job->loops = &plan;
    const gw_design_loop *const loop = &design_of(job)->loops[0];
    ck_assert(loop->sized.holds && loop->on_lot->fits);
    ck_assert_uint_eq(loop->sized.plan.bores.place_count, loop->sized.plan.bores.count);
    ck_assert_uint_ge(loop->sized.plan.bores.count, 3);
    ck_assert_int_eq(loop->sized.plan.free, GW_FREE_COUNT);
    ck_assert_uint_eq(loop->on_lot->violations.count, 0);
    end();
}
END_TEST

START_TEST(sites_own_measure_is_set_aside_with_a_warning)
{
    begin();
    gw_job *const job = farm_job(GW_LOOP_TRENCH);
    job->site.usable_length_m = 6.0;
    job->site.usable_width_m = 6.0;
    const gw_design *const design = design_of(job);
    ck_assert(design->loops[0].stands);
    bool warned = false;
    for (size_t i = 0; i < design->warnings.count; i++) {
        warned = warned || strcmp(design->warnings.items[i].field, "site.usable_length_m") == 0;
    }
    ck_assert(warned);
    ck_assert_double_eq(job->site.usable_length_m, 6.0);
    job->lot = NULL;
    const gw_design *const plain = design_of(job);
    ck_assert(plain->loops[0].on_lot == NULL && plain->loops[0].neighbours.count == 0);
    end();
}
END_TEST

// Map, section and neighbour are one temperature.
START_TEST(map_section_and_neighbour_agree)
{
    begin();
    gw_job *const job = open_job("village");
    const gw_design *const design = design_of(job);
    const gw_design_neighbour *const n = neighbour_of(&design->loops[0], 0);
    const size_t months[] = {0, 5, 200, 359};
    double degc[4];
    const double x = n->at.x_m, y = n->at.y_m, z = n->at.z_m;
    gw_ground_map map = {.depth_m = z,
                         .nx = 1,
                         .ny = 1,
                         .west_m = x - 0.01,
                         .east_m = x + 0.01,
                         .south_m = y - 0.01,
                         .north_m = y + 0.01,
                         .months = months,
                         .month_count = 4};
    ck_ok(gw_design_map_ground(arena, design, 0, &map, degc, &err));
    for (size_t m = 0; m < 4; m++) {
        ck_assert_msg(fabs(degc[m] - n->degc[months[m]]) < 0.01, "%g against %g", degc[m],
                      n->degc[months[m]]);
    }
    const gw_ground_section section = {.from = {x - 1, y},
                                       .to = {x + 1, y},
                                       .deep_m = 2.0 * z,
                                       .nx = 1,
                                       .nz = 1,
                                       .months = months,
                                       .month_count = 4};
    ck_ok(gw_design_section_ground(arena, design, 0, &section, degc, &err));
    for (size_t m = 0; m < 4; m++) {
        ck_assert_double_lt(fabs(degc[m] - n->degc[months[m]]), 1e-6);
    }
    // The surface itself keeps its wave.
    map.depth_m = 0.0;
    ck_ok(gw_design_map_ground(arena, design, 0, &map, degc, &err));
    gw_design_source source;
    ck_ok(gw_design_ground_source(arena, design, 0, &source, &err));
    for (size_t m = 0; m < 4; m++) {
        ck_assert_double_lt(
            fabs(degc[m] - gw_design_undisturbed_degc(&source, 0.0,
                                                      gw_design_month_end_day(&source, months[m]))),
            1e-9);
    }
    gw_ground_map whole = {.depth_m = 1.0, .nx = 3, .ny = 5, .months = months, .month_count = 1};
    double cells[15];
    ck_ok(gw_design_map_ground(arena, design, 0, &whole, cells, &err));
    ck_assert(whole.west_m <= 0.0 && whole.east_m >= 18.0 && whole.north_m >= 30.0);
    end();
}
END_TEST

// The fixed shares against a field that shares the heat anew at every moment: a steady load on the
// example's bores, at points from the wall of the house to the property line.
START_TEST(fixed_shares_are_near_those_of_the_moment)
{
    begin();
    const gw_design *const design = design_of(open_job("village"));
    const gw_design_loop *const loop = &design->loops[0];
    const gw_loop_response *const r = &loop->sized.response;
    gw_design_source source;
    ck_ok(gw_design_ground_source(arena, design, 0, &source, &err));
    size_t *const circuit = gw_arena_alloc(arena, r->segment_count, sizeof *circuit);
    for (size_t i = 0; i < r->segment_count; i++) {
        circuit[i] = i / r->pieces;
    }
    const gw_field field = {.segments = r->segments,
                            .circuit = circuit,
                            .count = r->segment_count,
                            .medium = source.past.medium,
                            .boundary = GW_FIELD_EQUAL_TEMPERATURE};
    gw_position points[8];
    for (size_t i = 0; i < loop->neighbours.count; i++) {
        points[i] = loop->neighbours.items[i].at;
    }
    const double time_s = (_i == 0 ? 1.0 : 30.0) * GW_YEAR_S;
    double *shared = NULL;
    ck_ok(gw_field_point_response(arena, &field, &(gw_field_times){&time_s, 1},
                                  &(gw_field_points){points, loop->neighbours.count}, &shared,
                                  &err));
    const double heat_w = r->length_m; // 1 W/m in the mean
    gw_ground_past past = source.past;
    past.end_s = &time_s;
    past.heat_w = &heat_w;
    past.count = 1;
    double alike[8]; // with the fixed shares
    const size_t span = 0;
    const gw_ground_ask ask = {points, loop->neighbours.count, &span, 1};
    ck_ok(gw_ground_at_points(arena, &past, &ask, alike, &err));
    for (size_t i = 0; i < loop->neighbours.count; i++) {
        if (_i == 1) {
            ck_close(alike[i], shared[i], 0.03);
        } else if (shared[i] > 1e-3) { // early: shallow points on the safe side
            ck_assert(alike[i] > 0.9 * shared[i] && alike[i] < 1.4 * shared[i]);
        }
    }
    end();
}
END_TEST

START_TEST(bad_map_is_named)
{
    begin();
    const gw_design *const design = design_of(open_job("village"));
    const size_t late = 360, first = 0;
    double degc[4];
    gw_ground_map map = {.depth_m = 1, .nx = 2, .ny = 2, .months = &late, .month_count = 1};
    ck_assert_int_eq(gw_design_map_ground(arena, design, 0, &map, degc, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "months");
    map.months = &first;
    ck_assert_int_eq(gw_design_map_ground(arena, design, 2, &map, degc, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "loop");
    map.depth_m = (double)NAN;
    ck_assert_int_eq(gw_design_map_ground(arena, design, 0, &map, degc, &err), GW_ERR_RANGE);
    gw_ground_section cut = {.from = {0, 0},
                             .to = {0, 0},
                             .deep_m = 5,
                             .nx = 2,
                             .nz = 2,
                             .months = &first,
                             .month_count = 1};
    ck_assert_int_eq(gw_design_section_ground(arena, design, 0, &cut, degc, &err), GW_ERR_GEOMETRY);
    cut.to.x_m = 1;
    cut.deep_m = 0;
    ck_assert_int_eq(gw_design_section_ground(arena, design, 0, &cut, degc, &err), GW_ERR_RANGE);
    end();
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("designs on a lot");
    TCase *const all = tcase_create("all");
    tcase_set_timeout(all, 240);
    tcase_add_test(all, example_bores_stand_on_usable_ground);
    tcase_add_test(all, lanes_lie_clear_of_everything);
    tcase_add_test(all, coils_lie_in_lanes);
    tcase_add_test(all, loop_against_the_field_fails_with_distance_and_temperature);
    tcase_add_test(all, frost_that_only_the_loop_brings_fails);
    tcase_add_test(all, lot_too_small_says_what_takes_the_room);
    tcase_add_test(all, free_number_of_bores_is_placed);
    tcase_add_test(all, sites_own_measure_is_set_aside_with_a_warning);
    tcase_add_test(all, map_section_and_neighbour_agree);
    tcase_add_loop_test(all, fixed_shares_are_near_those_of_the_moment, 0, 2);
    tcase_add_test(all, bad_map_is_named);
    suite_add_tcase(suite, all);
    return harness_run(suite);
}
