// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Step responses of lines in the ground: bores, trench pipes and rings made of short chords.
#include "check.h"
#include "ground/response.h"
#include "ground/segment.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846
#define LONG_M 2000.0 // a trench so long that its middle does not feel its ends

enum { TIMES_MAX = 64, PIPES_MAX = 16, CHORDS = 240 };

// The times asked for, with infinity behind them when steady is asked for.
typedef struct {
    double s[TIMES_MAX];
    size_t count;
} time_list;

static gw_status times_of(const gw_check_call *call, time_list *out, gw_err *err)
{
    const double *times_s = gw_check_list(call, "times_s", &out->count);
    if (out->count >= TIMES_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "times_s", "%zu times, expected fewer than %d",
                       out->count, TIMES_MAX);
    }
    memcpy(out->s, times_s, out->count * sizeof *times_s);
    if (gw_check_choice(call, "steady") == 1) {
        out->s[out->count++] = HUGE_VAL;
    }
    return GW_OK;
}

static gw_response_case case_of(const gw_check_call *call, const time_list *times)
{
    return (gw_response_case){
        .medium = {gw_check_number(call, "conductivity_w_mk"),
                   gw_check_number(call, "diffusivity_m2_s")},
        .times_s = times->s,
        .count = times->count,
        .without_mirror = gw_check_choice(call, "surface") == 1,
    };
}

// Sine and cosine in degrees, exact for the right angles.
static double sine(double angle_deg)
{
    return fmod(angle_deg, 180.0) == 0.0 ? 0.0 : sin(angle_deg * PI / 180.0);
}

static double cosine(double angle_deg)
{
    return fmod(angle_deg + 90.0, 180.0) == 0.0 ? 0.0 : cos(angle_deg * PI / 180.0);
}

// name[] = {x, y, depth of the start, length, radius, tilt from the vertical, azimuth of the tilt}
static gw_segment line_of(const gw_check_call *call, const char *const name[7])
{
    double v[7];
    for (size_t i = 0; i < 7; ++i) {
        v[i] = gw_check_number(call, name[i]);
    }
    const double run_m = v[3] * sine(v[5]);
    const gw_position start = {v[0], v[1], v[2]};
    const gw_position end = {v[0] + run_m * sine(v[6]), v[1] + run_m * cosine(v[6]),
                             v[2] + v[3] * cosine(v[5])};
    return gw_segment_between(start, end, v[4]);
}

static gw_status run_line_response(gw_check_call *call, gw_err *err)
{
    static const char *const on_names[] = {"on_x_m",        "on_y_m",      "on_depth_m",
                                           "on_length_m",   "on_radius_m", "on_tilt_deg",
                                           "on_azimuth_deg"};
    static const char *const from_names[] = {"from_x_m",        "from_y_m",      "from_depth_m",
                                             "from_length_m",   "from_radius_m", "from_tilt_deg",
                                             "from_azimuth_deg"};
    time_list times;
    gw_status st = times_of(call, &times, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_segment on = line_of(call, on_names);
    const gw_segment from = line_of(call, from_names);
    const gw_response_case with = case_of(call, &times);
    double h_mk_w[TIMES_MAX];
    st = gw_response_between(&with, &on, &from, h_mk_w, err);
    gw_check_give_list(call, "h_mk_w", h_mk_w, times.count);
    return st;
}

static gw_status run_bore_g(gw_check_call *call, gw_err *err)
{
    const double length_m = gw_check_number(call, "length_m");
    const double top_m = gw_check_number(call, "top_m");
    const gw_segment bore = gw_segment_between((gw_position){0.0, 0.0, top_m},
                                               (gw_position){0.0, 0.0, top_m + length_m},
                                               gw_check_number(call, "radius_m"));
    const gw_ground_medium medium = {1.0, 1e-6}; // g is without dimension
    const double time_s =
        exp(gw_check_number(call, "ln_time")) * length_m * length_m / (9.0 * 1e-6);
    const gw_response_case with = {medium, &time_s, 1, false};
    double h_mk_w = 0.0;
    const gw_status st = gw_response_between(&with, &bore, &bore, &h_mk_w, err);
    gw_check_give(call, "g", 2.0 * PI * h_mk_w);
    return st;
}

// Pipes of a trench, all with the same heat; what each one's wall feels at every time.
typedef struct {
    gw_segment lines[PIPES_MAX];
    size_t count;
} trench;

static gw_status trench_of(const gw_check_call *call, trench *out, gw_err *err)
{
    size_t depths = 0;
    const double *x = gw_check_list(call, "pipe_x_m", &out->count);
    const double *depth = gw_check_list(call, "pipe_depth_m", &depths);
    if (depths != out->count || depths > PIPES_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "pipe_x_m", "%zu places for %zu depths, at most %d",
                       out->count, depths, PIPES_MAX);
    }
    for (size_t i = 0; i < depths; ++i) {
        out->lines[i] = gw_segment_between((gw_position){x[i], -0.5 * LONG_M, depth[i]},
                                           (gw_position){x[i], 0.5 * LONG_M, depth[i]},
                                           gw_check_number(call, "pipe_radius_m"));
    }
    return GW_OK;
}

static gw_status add_responses(const gw_response_case *with, const gw_position *point,
                               const gw_segment *lines, size_t count, double *sum_mk_w, gw_err *err)
{
    double h_mk_w[TIMES_MAX];
    memset(sum_mk_w, 0, with->count * sizeof *sum_mk_w);
    for (size_t j = 0; j < count; ++j) {
        const gw_status st = gw_response_at_point(with, point, &lines[j], h_mk_w, err);
        if (st != GW_OK) {
            return st;
        }
        for (size_t t = 0; t < with->count; ++t) {
            sum_mk_w[t] += h_mk_w[t];
        }
    }
    return GW_OK;
}

static gw_status run_trench_pipes(gw_check_call *call, gw_err *err)
{
    trench pipes;
    time_list times;
    gw_status st = trench_of(call, &pipes, err);
    if (st == GW_OK) {
        st = times_of(call, &times, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const gw_response_case with = case_of(call, &times);
    const double heat_w_m = gw_check_number(call, "heat_w_m");
    double mean_k[TIMES_MAX] = {0.0}, each_mk_w[PIPES_MAX];
    for (size_t i = 0; i < pipes.count && st == GW_OK; ++i) {
        double sum_mk_w[TIMES_MAX];
        const gw_segment *line = &pipes.lines[i];
        const gw_position middle = {line->x_m, 0.0, line->z_m};
        st = add_responses(&with, &middle, pipes.lines, pipes.count, sum_mk_w, err);
        for (size_t t = 0; t < times.count; ++t) {
            mean_k[t] += heat_w_m * sum_mk_w[t] / (double)pipes.count;
        }
        each_mk_w[i] = sum_mk_w[times.count - 1];
    }
    gw_check_give_list(call, "mean_k", mean_k, times.count);
    gw_check_give_list(call, "last_mk_w", each_mk_w, pipes.count);
    gw_check_give(call, "last_mean_mk_w", mean_k[times.count - 1] / heat_w_m);
    gw_check_give(call, "heat_w",
                  gw_check_number(call, "length_m") * gw_check_number(call, "difference_k") *
                      heat_w_m / mean_k[times.count - 1]);
    return st;
}

static gw_status run_beside_trench(gw_check_call *call, gw_err *err)
{
    trench pipes;
    time_list times;
    gw_status st = trench_of(call, &pipes, err);
    if (st == GW_OK) {
        st = times_of(call, &times, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const gw_response_case with = case_of(call, &times);
    const gw_position point = {gw_check_number(call, "point_x_m"), 0.0,
                               gw_check_number(call, "point_depth_m")};
    double change_k[TIMES_MAX];
    st = add_responses(&with, &point, pipes.lines, pipes.count, change_k, err);
    for (size_t t = 0; t < times.count; ++t) {
        change_k[t] *= gw_check_number(call, "heat_w_m");
    }
    gw_check_give_list(call, "change_k", change_k, times.count);
    return st;
}

// Two pipes deep in the ground, one giving what the other takes, by line sources.
static gw_status run_between_pipes(gw_check_call *call, gw_err *err)
{
    const double steady_s = HUGE_VAL, depth_m = gw_check_number(call, "depth_m");
    const gw_response_case with = {.medium = {gw_check_number(call, "conductivity_w_mk"), 1e-6},
                                   .times_s = &steady_s,
                                   .count = 1,
                                   .without_mirror = true};
    const double x_m[2] = {0.0, gw_check_number(call, "apart_m")};
    const double radius_m[2] = {0.5 * gw_check_number(call, "first_diameter_m"),
                                0.5 * gw_check_number(call, "second_diameter_m")};
    gw_segment pipe[2];
    double h_mk_w[2][2];
    gw_status st = GW_OK;
    for (size_t i = 0; i < 2; ++i) {
        pipe[i] = gw_segment_between((gw_position){x_m[i], -0.5 * LONG_M, depth_m},
                                     (gw_position){x_m[i], 0.5 * LONG_M, depth_m}, radius_m[i]);
    }
    for (size_t i = 0; i < 4 && st == GW_OK; ++i) {
        const gw_position axis = {x_m[i / 2], 0.0, depth_m};
        st = gw_response_at_point(&with, &axis, &pipe[i % 2], &h_mk_w[i / 2][i % 2], err);
    }
    if (st == GW_OK) {
        gw_check_give(call, "heat_w_m",
                      gw_check_number(call, "difference_k") /
                          (h_mk_w[0][0] + h_mk_w[1][1] - h_mk_w[0][1] - h_mk_w[1][0]));
    }
    return st;
}

// A ring laid flat (or upright in the x–z plane) about (0, 0, depth), as chords whose length
// together is the circle's.
static void ring_of(const gw_check_call *call, gw_segment chords[CHORDS])
{
    const double depth_m = gw_check_number(call, "depth_m");
    const double corner_m =
        gw_check_number(call, "ring_radius_m") * (PI / CHORDS) / sin(PI / CHORDS);
    const bool upright = gw_check_choice(call, "lying") == 1;
    gw_position corner[CHORDS + 1];
    for (size_t i = 0; i <= CHORDS; ++i) {
        const double angle = 2.0 * PI * ((double)(i % CHORDS) + 0.5) / CHORDS;
        const double across_m = corner_m * sin(angle);
        corner[i] = (gw_position){corner_m * cos(angle), upright ? 0.0 : across_m,
                                  upright ? depth_m + across_m : depth_m};
    }
    for (size_t i = 0; i < CHORDS; ++i) {
        chords[i] =
            gw_segment_between(corner[i], corner[i + 1], gw_check_number(call, "pipe_radius_m"));
    }
}

// Mean over points of a ring about (offset, 0): in pairs at ring radius ± pipe radius, or on its
// axis.
static gw_status run_ring(gw_check_call *call, gw_err *err)
{
    gw_segment chords[CHORDS];
    time_list times;
    gw_status st = times_of(call, &times, err);
    if (st != GW_OK) {
        return st;
    }
    ring_of(call, chords);
    const gw_response_case with = case_of(call, &times);
    const double radius_m = gw_check_number(call, "ring_radius_m");
    const double wall_m =
        gw_check_choice(call, "at") == 1 ? 0.0 : gw_check_number(call, "pipe_radius_m");
    const size_t points = (size_t)gw_check_number(call, "points");
    double change_k[TIMES_MAX] = {0.0};
    for (size_t i = 0; i < 2 * points && st == GW_OK; ++i) {
        const double angle = 2.0 * PI * (double)(i / 2) / (double)points;
        const double at_m = radius_m + (i % 2 == 0 ? wall_m : -wall_m);
        const gw_position point = {gw_check_number(call, "offset_m") + at_m * cos(angle),
                                   at_m * sin(angle), gw_check_number(call, "depth_m")};
        double sum_mk_w[TIMES_MAX];
        st = add_responses(&with, &point, chords, CHORDS, sum_mk_w, err);
        for (size_t t = 0; t < times.count; ++t) {
            change_k[t] += gw_check_number(call, "heat_w_m") * sum_mk_w[t] / (2.0 * (double)points);
        }
    }
    gw_check_give_list(call, "change_k", change_k, times.count);
    return st;
}

#define MEDIUM_GIVENS                                                                              \
    {.name = "conductivity_w_mk", .kind = GW_QTY_CONDUCTIVITY},                                    \
        {.name = "diffusivity_m2_s", .kind = GW_QTY_DIFFUSIVITY},                                  \
        {.name = "times_s", .kind = GW_QTY_DURATION, .list = true, .otherwise = ""},               \
        {.name = "steady", .kind = GW_CHECK_WORD, .words = "no|yes", .otherwise = "no"},           \
    {                                                                                              \
        .name = "surface", .kind = GW_CHECK_WORD, .words = "isothermal|none",                      \
        .otherwise = "isothermal"                                                                  \
    }

#define LINE_GIVENS(side)                                                                          \
    {.name = side "_x_m", .kind = GW_QTY_LENGTH, .otherwise = "0"},                                \
        {.name = side "_y_m", .kind = GW_QTY_LENGTH, .otherwise = "0"},                            \
        {.name = side "_depth_m", .kind = GW_QTY_LENGTH},                                          \
        {.name = side "_length_m", .kind = GW_QTY_LENGTH},                                         \
        {.name = side "_radius_m", .kind = GW_QTY_SMALL_LENGTH},                                   \
        {.name = side "_tilt_deg", .kind = GW_QTY_ANGLE, .otherwise = "0"},                        \
    {                                                                                              \
        .name = side "_azimuth_deg", .kind = GW_QTY_ANGLE, .otherwise = "0"                        \
    }

#define TRENCH_GIVENS                                                                              \
    {.name = "pipe_x_m", .kind = GW_QTY_LENGTH, .list = true, .otherwise = "0"},                   \
        {.name = "pipe_depth_m", .kind = GW_QTY_LENGTH, .list = true},                             \
        {.name = "pipe_radius_m", .kind = GW_QTY_SMALL_LENGTH},                                    \
    {                                                                                              \
        .name = "heat_w_m", .kind = GW_QTY_LINE_POWER, .otherwise = "1"                            \
    }

const gw_check_verb gw_verbs_segment[] = {
    {.name = "line_response",
     .what = "mean change of one line per W/m on another (tilt 90 deg lies flat)",
     .run = run_line_response,
     .givens = {MEDIUM_GIVENS, LINE_GIVENS("on"), LINE_GIVENS("from")},
     .results = {{"h_mk_w", GW_QTY_LINE_RESISTANCE}}},
    {.name = "bore_g",
     .what = "g of one vertical bore, uniform heat along it; ln_time = ln(9 alpha t/H2)",
     .run = run_bore_g,
     .givens = {{.name = "length_m", .kind = GW_QTY_LENGTH},
                {.name = "top_m", .kind = GW_QTY_LENGTH},
                {.name = "radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "ln_time", .kind = GW_QTY_NUMBER}},
     .results = {{"g", GW_QTY_NUMBER}}},
    {.name = "trench_pipes",
     .what = "endless pipes of one trench with equal heat: change at their walls",
     .run = run_trench_pipes,
     .givens = {MEDIUM_GIVENS,
                TRENCH_GIVENS,
                {.name = "length_m", .kind = GW_QTY_LENGTH, .otherwise = "1"},
                {.name = "difference_k", .kind = GW_QTY_TEMPERATURE_DIFFERENCE, .otherwise = "1"}},
     .results = {{"mean_k", GW_QTY_TEMPERATURE_DIFFERENCE},
                 {"last_mk_w", GW_QTY_LINE_RESISTANCE},
                 {"last_mean_mk_w", GW_QTY_LINE_RESISTANCE},
                 {"heat_w", GW_QTY_POWER}}},
    {.name = "beside_trench",
     .what = "change at a point beside endless pipes; heat is that of each pipe",
     .run = run_beside_trench,
     .givens = {MEDIUM_GIVENS,
                TRENCH_GIVENS,
                {.name = "point_x_m", .kind = GW_QTY_LENGTH},
                {.name = "point_depth_m", .kind = GW_QTY_LENGTH}},
     .results = {{"change_k", GW_QTY_TEMPERATURE_DIFFERENCE}}},
    {.name = "between_pipes",
     .what = "heat from one pipe to another deep in the ground, steady, by line sources",
     .run = run_between_pipes,
     .givens = {{.name = "conductivity_w_mk", .kind = GW_QTY_CONDUCTIVITY},
                {.name = "first_diameter_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "second_diameter_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "apart_m", .kind = GW_QTY_LENGTH},
                {.name = "depth_m", .kind = GW_QTY_LENGTH, .otherwise = "10"},
                {.name = "difference_k", .kind = GW_QTY_TEMPERATURE_DIFFERENCE}},
     .results = {{"heat_w_m", GW_QTY_LINE_POWER}}},
    {.name = "ring",
     .what = "ring of pipe as 240 chords: change of a ring beside it (offset 0: itself), mean "
             "of points at ring radius plus and minus pipe radius, or on its axis",
     .run = run_ring,
     .givens =
         {MEDIUM_GIVENS,
          {.name = "ring_radius_m", .kind = GW_QTY_LENGTH},
          {.name = "pipe_radius_m", .kind = GW_QTY_SMALL_LENGTH},
          {.name = "depth_m", .kind = GW_QTY_LENGTH},
          {.name = "lying", .kind = GW_CHECK_WORD, .words = "flat|upright", .otherwise = "flat"},
          {.name = "offset_m", .kind = GW_QTY_LENGTH, .otherwise = "0"},
          {.name = "at", .kind = GW_CHECK_WORD, .words = "wall|axis", .otherwise = "wall"},
          {.name = "points", .kind = GW_QTY_NUMBER, .otherwise = "1"},
          {.name = "heat_w_m", .kind = GW_QTY_LINE_POWER}},
     .results = {{"change_k", GW_QTY_TEMPERATURE_DIFFERENCE}}},
    {0},
};
