// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Freezing of soil: the front below a cold surface and the ring of ice around one pipe, by the body
// of cells that the section model stands on, and the ring in the section itself.
#include "check.h"
#include "ground/freeze.h"
#include "ground/freeze_priv.h"

#include <math.h>

static const double PI = 3.14159265358979323846;

enum { TIMES_MAX = 32, FACES_MAX = 400 };

static gw_soil soil_of(const gw_check_call *call)
{
    return (gw_soil){
        .conductivity_w_mk = gw_check_number(call, "unfrozen_w_mk"),
        .volumetric_heat_j_m3k = gw_check_number(call, "unfrozen_j_m3k"),
        .frozen_conductivity_w_mk = gw_check_number(call, "frozen_w_mk"),
        .frozen_volumetric_heat_j_m3k = gw_check_number(call, "frozen_j_m3k"),
        .latent_heat_j_m3 = gw_check_number(call, "latent_j_m3"),
    };
}

static gw_status times_of(const gw_check_call *call, const double **times_s, size_t *count,
                          gw_err *err)
{
    *times_s = gw_check_list(call, "times_s", count);
    if (*count > TIMES_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "times_s", "%zu times, at most %d", *count, TIMES_MAX);
    }
    return GW_OK;
}

// ---- a column cooled from above ----------------------------------------------------------------

static gw_status make_column(gw_check_call *call, gw_freeze_priv_body *body, gw_err *err)
{
    const double edge_m[] = {0.0, 1.0};
    const gw_freeze_priv_plan plan = {.length_m = 30.0,
                                      .cell_m = gw_check_number(call, "cell_m"),
                                      .growth = 1.01,
                                      .most_m = 1.0,
                                      .fine_at_start = true};
    const gw_freeze_priv_start start = {soil_of(call), 0.0, gw_check_number(call, "initial_degc")};
    gw_status st = gw_freeze_priv_axis_flat(call->arena, &plan, &body->z, err);
    if (st == GW_OK) {
        st = gw_freeze_priv_axis_rings(call->arena, edge_m, 1, &body->x, err);
    }
    if (st == GW_OK) {
        st = gw_freeze_priv_body_init(call->arena, &start, body, err);
    }
    return st;
}

static double front_m(const gw_freeze_priv_body *body)
{
    double sum_m = 0.0;
    for (size_t j = 0; j < body->z.count; ++j) {
        sum_m += body->z.width[j] * gw_freeze_priv_frozen_at(body, body->heat_j_m3[j]);
    }
    return sum_m;
}

static double column_degc(const gw_freeze_priv_body *body, double depth_m)
{
    size_t j = 0;
    while (j + 2 < body->z.count && body->z.node_m[j + 1] < depth_m) {
        ++j;
    }
    const double a = gw_freeze_priv_temp_at(body, body->heat_j_m3[j]);
    const double b = gw_freeze_priv_temp_at(body, body->heat_j_m3[j + 1]);
    return a +
           (b - a) * (depth_m - body->z.node_m[j]) / (body->z.node_m[j + 1] - body->z.node_m[j]);
}

static void give_temperatures(gw_check_call *call, const gw_freeze_priv_body *body)
{
    size_t count = 0;
    const double *depths_m = gw_check_list(call, "depths_m", &count);
    double degc[TIMES_MAX];
    for (size_t i = 0; i < count && i < TIMES_MAX; ++i) {
        degc[i] = column_degc(body, depths_m[i]);
    }
    gw_check_give_list(call, "last_degc", degc, count);
}

static gw_status run_front(gw_check_call *call, gw_err *err)
{
    const gw_soil soil = soil_of(call);
    gw_freeze_priv_body body = {0};
    const double *times_s = NULL;
    size_t count = 0;
    double front[TIMES_MAX] = {0.0}, now_s = 0.0;
    gw_status st = times_of(call, &times_s, &count, err);
    if (st == GW_OK) {
        st = make_column(call, &body, err);
    }
    gw_freeze_drive drive = {.surface_degc = gw_check_number(call, "surface_degc")};
    for (size_t i = 0; i < count && st == GW_OK; ++i) {
        drive.duration_s = times_s[i] - now_s;
        now_s = times_s[i];
        st = gw_freeze_priv_advance(&body, &drive, 3600.0, err);
        front[i] = front_m(&body);
    }
    if (st != GW_OK) {
        return st;
    }
    const double diffusivity_m2_s =
        soil.frozen_conductivity_w_mk / soil.frozen_volumetric_heat_j_m3k;
    const double stefan_m = sqrt(-2.0 * soil.frozen_conductivity_w_mk * drive.surface_degc * now_s /
                                 soil.latent_heat_j_m3);
    gw_check_give_list(call, "front_m", front, count);
    gw_check_give(call, "root", front[count - 1] / (2.0 * sqrt(diffusivity_m2_s * now_s)));
    gw_check_give(call, "share_of_stefan", front[count - 1] / stefan_m);
    give_temperatures(call, &body);
    return GW_OK;
}

// ---- rings around a pipe -----------------------------------------------------------------------

// Driven by heat: a line sink, with rings inside the pipe's radius too. By temperature: the
// innermost ring begins at the pipe.
static gw_status make_rings(gw_check_call *call, bool by_heat, gw_freeze_priv_body *body,
                            gw_err *err)
{
    const double pipe_m = gw_check_number(call, "pipe_radius_m");
    double width_m = gw_check_number(call, "ring_m");
    double face_m[FACES_MAX] = {by_heat ? 0.0 : pipe_m, by_heat ? 0.25 * pipe_m : pipe_m + width_m};
    size_t count = 1;
    while (face_m[count] < 20.0 && count + 1 < FACES_MAX) {
        width_m = fmin(width_m * 1.02, 1.0);
        face_m[count + 1] = face_m[count] + width_m;
        ++count;
    }
    const gw_freeze_priv_plan plan = {.length_m = 1.0, .cell_m = 1.0, .growth = 1.0, .most_m = 1.0};
    const gw_freeze_priv_start start = {soil_of(call), 0.0, gw_check_number(call, "initial_degc")};
    gw_status st = gw_freeze_priv_axis_rings(call->arena, face_m, count, &body->x, err);
    if (st == GW_OK) {
        st = gw_freeze_priv_axis_flat(call->arena, &plan, &body->z, err);
    }
    if (st == GW_OK) {
        st = gw_freeze_priv_body_init(call->arena, &start, body, err);
    }
    if (st == GW_OK) {
        body->sink_count = 1;
        body->sinks[0] = (gw_freeze_priv_sink){
            .cell = 0,
            .share = 1.0,
            .log_term = by_heat ? 0.0 : log(body->x.node_m[0] / pipe_m) / (2.0 * PI)};
    }
    return st;
}

static double ring_m(const gw_freeze_priv_body *body)
{
    double area_m2 = 0.0;
    for (size_t i = 0; i < body->x.count; ++i) {
        area_m2 += body->x.width[i] * gw_freeze_priv_frozen_at(body, body->heat_j_m3[i]);
    }
    return sqrt(area_m2 / PI + body->x.face_m[0] * body->x.face_m[0]);
}

// At the pipe's radius, by logarithm between the rings about it.
static double ring_degc(const gw_freeze_priv_body *body, double radius_m)
{
    size_t i = 0;
    while (i + 2 < body->x.count && body->x.node_m[i + 1] < radius_m) {
        ++i;
    }
    const double a = gw_freeze_priv_temp_at(body, body->heat_j_m3[i]);
    const double b = gw_freeze_priv_temp_at(body, body->heat_j_m3[i + 1]);
    return a + (b - a) * log(radius_m / body->x.node_m[i]) /
                   log(body->x.node_m[i + 1] / body->x.node_m[i]);
}

static gw_status run_rings(gw_check_call *call, gw_err *err)
{
    const bool by_heat = gw_check_choice(call, "driven_by") == 0;
    const double value =
        by_heat ? gw_check_number(call, "heat_w_m") : gw_check_number(call, "pipe_degc");
    gw_freeze_drive drive = {.surface_m2k_w = 1e12, // no surface near
                             .mode = by_heat ? GW_FREEZE_BY_HEAT : GW_FREEZE_BY_FLUID,
                             .pipe_value = &value};
    gw_freeze_priv_body body = {0};
    const double *times_s = NULL;
    size_t count = 0;
    double radius_m[TIMES_MAX], wall_degc[TIMES_MAX], now_s = 0.0;
    gw_status st = times_of(call, &times_s, &count, err);
    if (st == GW_OK) {
        st = make_rings(call, by_heat, &body, err);
    }
    for (size_t i = 0; i < count && st == GW_OK; ++i) {
        drive.duration_s = times_s[i] - now_s;
        now_s = times_s[i];
        st = gw_freeze_priv_advance(&body, &drive, by_heat ? 1800.0 : 1200.0, err);
        radius_m[i] = ring_m(&body);
        wall_degc[i] = by_heat ? ring_degc(&body, gw_check_number(call, "pipe_radius_m")) : value;
    }
    if (st == GW_OK) {
        gw_check_give_list(call, "radius_m", radius_m, count);
        gw_check_give_list(call, "wall_degc", wall_degc, count);
    }
    return st;
}

// ---- the section model -------------------------------------------------------------------------

static gw_status run_section(gw_check_call *call, gw_err *err)
{
    const gw_soil soil = soil_of(call);
    const double zero_m = 0.0, initial_degc = gw_check_number(call, "initial_degc");
    const double heat_w_m = gw_check_number(call, "heat_w_m");
    const gw_freeze_pipe pipe = {0.0, 6.0};
    const gw_freeze_section section = {.soil = &soil,
                                       .pipes = &pipe,
                                       .pipe_count = 1,
                                       .pipe_radius_m = gw_check_number(call, "pipe_radius_m"),
                                       .cell_m = gw_check_number(call, "cell_m"),
                                       .half_width_m = 8.0,
                                       .depth_m = 14.0,
                                       .initial_depth_m = &zero_m,
                                       .initial_degc = &initial_degc,
                                       .initial_count = 1};
    gw_freeze_drive drive = {.surface_degc = initial_degc, .pipe_value = &heat_w_m};
    gw_freeze *freeze = NULL;
    const double *times_s = NULL;
    size_t count = 0;
    double radius_m[TIMES_MAX], now_s = 0.0;
    gw_status st = times_of(call, &times_s, &count, err);
    if (st == GW_OK) {
        st = gw_freeze_create(call->arena, &section, &freeze, err);
    }
    for (size_t i = 0; i < count && st == GW_OK; ++i) {
        gw_freeze_ring ring = {0};
        drive.duration_s = times_s[i] - now_s;
        now_s = times_s[i];
        st = gw_freeze_advance(freeze, &drive, err);
        if (st == GW_OK) {
            st = gw_freeze_ring_at(freeze, 0, &ring, err);
        }
        radius_m[i] = ring.frozen_radius_m;
    }
    if (st == GW_OK) {
        gw_check_give_list(call, "radius_m", radius_m, count);
    }
    return st;
}

// An endless row of pipes is one pipe between planes of symmetry. No water to freeze, a small heat
// capacity, and long enough for the steady state.
static gw_status run_row(gw_check_call *call, gw_err *err)
{
    const double k_w_mk = gw_check_number(call, "conductivity_w_mk");
    const gw_soil soil = {k_w_mk, 5e5, k_w_mk, 5e5, 0.0};
    const double zero_m = 0.0, initial_degc = 10.0, heat_w_m = 10.0;
    const gw_freeze_pipe pipe = {0.0, gw_check_number(call, "depth_m")};
    const gw_freeze_section section = {.soil = &soil,
                                       .pipes = &pipe,
                                       .pipe_count = 1,
                                       .pipe_radius_m = gw_check_number(call, "pipe_radius_m"),
                                       .cell_m = gw_check_number(call, "cell_m"),
                                       .half_width_m = 0.5 * gw_check_number(call, "spacing_m"),
                                       .depth_m = 4.0,
                                       .initial_depth_m = &zero_m,
                                       .initial_degc = &initial_degc,
                                       .initial_count = 1};
    const gw_freeze_drive drive = {
        .duration_s = 600.0 * 86400.0, .surface_degc = initial_degc, .pipe_value = &heat_w_m};
    gw_freeze *freeze = NULL;
    gw_freeze_ring ring = {0};
    gw_status st = gw_freeze_create(call->arena, &section, &freeze, err);
    if (st == GW_OK) {
        st = gw_freeze_advance(freeze, &drive, err);
    }
    if (st == GW_OK) {
        st = gw_freeze_ring_at(freeze, 0, &ring, err);
    }
    gw_check_give(call, "resistance_mk_w", (initial_degc - ring.wall_degc) / heat_w_m);
    return st;
}

#define SOIL_GIVENS                                                                                \
    {.name = "unfrozen_w_mk", .kind = GW_QTY_CONDUCTIVITY},                                        \
        {.name = "unfrozen_j_m3k", .kind = GW_QTY_VOLUMETRIC_HEAT},                                \
        {.name = "frozen_w_mk", .kind = GW_QTY_CONDUCTIVITY},                                      \
        {.name = "frozen_j_m3k", .kind = GW_QTY_VOLUMETRIC_HEAT},                                  \
        {.name = "latent_j_m3", .kind = GW_QTY_NUMBER},                                            \
        {.name = "initial_degc", .kind = GW_QTY_TEMPERATURE},                                      \
    {                                                                                              \
        .name = "times_s", .kind = GW_QTY_DURATION, .list = true                                   \
    }

const gw_check_verb gw_verbs_freeze[] = {
    {.name = "freezing_front",
     .what =
         "depth of the frost in even soil below a surface kept cold; root = front/(2 sqrt(at)), "
         "last_degc at the depths at the last time",
     .run = run_front,
     .givens = {SOIL_GIVENS,
                {.name = "surface_degc", .kind = GW_QTY_TEMPERATURE},
                {.name = "cell_m", .kind = GW_QTY_SMALL_LENGTH, .otherwise = "0.01"},
                {.name = "depths_m", .kind = GW_QTY_LENGTH, .list = true, .otherwise = ""}},
     .results = {{"front_m", GW_QTY_LENGTH},
                 {"root", GW_QTY_NUMBER},
                 {"share_of_stefan", GW_QTY_NUMBER},
                 {"last_degc", GW_QTY_TEMPERATURE}}},
    {.name = "frozen_ring",
     .what = "ring of ice around one pipe in endless even soil, in thin rings",
     .run = run_rings,
     .givens = {SOIL_GIVENS,
                {.name = "pipe_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "ring_m", .kind = GW_QTY_SMALL_LENGTH, .otherwise = "0.004"},
                {.name = "driven_by", .kind = GW_CHECK_WORD, .words = "heat|temperature"},
                {.name = "heat_w_m", .kind = GW_QTY_LINE_POWER, .otherwise = "0"},
                {.name = "pipe_degc", .kind = GW_QTY_TEMPERATURE, .otherwise = "0"}},
     .results = {{"radius_m", GW_QTY_LENGTH}, {"wall_degc", GW_QTY_TEMPERATURE}}},
    {.name = "frozen_ring_in_section",
     .what = "ring of ice around one pipe 6 m deep in even soil, in the section model",
     .run = run_section,
     .givens = {SOIL_GIVENS,
                {.name = "pipe_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "heat_w_m", .kind = GW_QTY_LINE_POWER},
                {.name = "cell_m", .kind = GW_QTY_SMALL_LENGTH, .otherwise = "0.03"}},
     .results = {{"radius_m", GW_QTY_LENGTH}}},
    {.name = "pipe_row",
     .what = "endless row of pipes below an isothermal surface, steady, by the section model "
             "without ice",
     .run = run_row,
     .givens = {{.name = "conductivity_w_mk", .kind = GW_QTY_CONDUCTIVITY, .otherwise = "1"},
                {.name = "pipe_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "spacing_m", .kind = GW_QTY_LENGTH},
                {.name = "depth_m", .kind = GW_QTY_LENGTH},
                {.name = "cell_m", .kind = GW_QTY_SMALL_LENGTH, .otherwise = "0.05"}},
     .results = {{"resistance_mk_w", GW_QTY_LINE_RESISTANCE}}},
    {0},
};
