// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/freeze.h"

#include "base/range.h"

#include "ground/freeze_priv.h"

#include <math.h>
#include <string.h>

static const double PI = 3.14159265358979323846;
// Radius at which the logarithm around a sink has the temperature of the sink's cell, of the cell's
// side: e^(−γ)/√8, exact on an endless even grid (Peaceman 1978 found 0.1982 by solving).
static const double WELL_RADIUS = 0.19850654;
static const double STEP_S = 10800.0;
static const double DAY_S = 86400.0;
static const double MONTH_DAY = 365.0 / 12.0;

enum { PIPES_MAX = 16 };

struct gw_freeze {
    gw_freeze_priv_body body;
    gw_freeze_priv_body bare; // the same ground without pipes: one column
    size_t pipe_count;
    gw_freeze_pipe pipes[PIPES_MAX];
    double pipe_radius_m;
    double pipe_resistance_mk_w;
    double half_width_m;
    double step_s;
    gw_freeze_mode mode;
    double last_value[PIPES_MAX]; // what drove the pipes last
};

// Checks

static gw_status check_initial(const gw_freeze_section *section, gw_err *err)
{
    for (size_t i = 0; i < section->initial_count; ++i) {
        const double t = section->initial_degc[i];
        if (!(t >= -60.0 && t <= 90.0)) {
            return gw_fail(err, GW_ERR_RANGE, "initial_degc",
                           "initial temperature %g degC must be -60 to 90 degC", t);
        }
        if (i > 0 && !(section->initial_depth_m[i] > section->initial_depth_m[i - 1])) {
            return gw_fail(err, GW_ERR_RANGE, "initial_depth_m", "depth %g m must go down",
                           section->initial_depth_m[i]);
        }
    }
    return GW_OK;
}

static gw_status check_section(const gw_freeze_section *section, gw_err *err)
{
    const gw_range items[] = {
        {"pipe_count", (double)section->pipe_count, 1.0, (double)PIPES_MAX},
        {"pipe_radius_m", section->pipe_radius_m, 2e-3, 0.2},
        {"pipe_resistance_mk_w", section->pipe_resistance_mk_w, 0.0, 10.0},
        {"cell_m", section->cell_m, 1.2 * section->pipe_radius_m, 20.0 * section->pipe_radius_m},
        {"half_width_m", section->half_width_m, 0.1, 100.0},
        {"depth_m", section->depth_m, 0.5, 200.0},
        {"freezing_degc", section->freezing_degc, -10.0, 10.0},
        {"step_s", section->step_s, 0.0, 5.0 * DAY_S},
        {"initial_count", (double)section->initial_count, 1.0, 1e6},
    };
    gw_status st = gw_range_check(items, sizeof items / sizeof items[0], err);
    if (st == GW_OK) {
        st = gw_soil_check(section->soil, err);
    }
    for (size_t i = 0; st == GW_OK && i < section->pipe_count; ++i) {
        const gw_range pipe[] = {
            {"x_m", section->pipes[i].x_m, 0.0, section->half_width_m},
            {"depth_m", section->pipes[i].depth_m, section->cell_m, section->depth_m},
        };
        st = gw_range_check(pipe, 2, err);
    }
    return st != GW_OK ? st : check_initial(section, err);
}

// Building

// Inserts into a sorted list without repeats.
static void insert_point(double *points, size_t *count, double value)
{
    size_t at = 0;
    while (at < *count && points[at] < value - 1e-6) {
        ++at;
    }
    if (at < *count && points[at] < value + 1e-6) {
        return;
    }
    memmove(points + at + 1, points + at, (*count - at) * sizeof *points);
    points[at] = value;
    *count += 1;
}

static gw_status build_axes(gw_arena *arena, const gw_freeze_section *section,
                            gw_freeze_priv_body *body, gw_err *err)
{
    double across[PIPES_MAX], down[PIPES_MAX];
    size_t across_count = 0, down_count = 0;
    for (size_t i = 0; i < section->pipe_count; ++i) {
        insert_point(across, &across_count, section->pipes[i].x_m);
        insert_point(down, &down_count, section->pipes[i].depth_m);
    }
    const double widest_m = fmax(0.05 * section->depth_m, 2.0 * section->cell_m);
    gw_freeze_priv_plan plan = {.length_m = section->half_width_m,
                                .points_m = across,
                                .count = across_count,
                                .cell_m = section->cell_m,
                                .growth = 1.15,
                                .most_m = widest_m};
    const gw_status st = gw_freeze_priv_axis_flat(arena, &plan, &body->x, err);
    if (st != GW_OK) {
        return st;
    }
    plan.length_m = section->depth_m;
    plan.points_m = down;
    plan.count = down_count;
    plan.fine_at_start = true;
    return gw_freeze_priv_axis_flat(arena, &plan, &body->z, err);
}

static size_t index_of(const gw_freeze_priv_axis *axis, double at_m)
{
    size_t i = 0;
    while (i + 1 < axis->count && axis->face_m[i + 1] <= at_m) {
        ++i;
    }
    return i;
}

static void place_sinks(gw_freeze *freeze, const gw_freeze_section *section)
{
    gw_freeze_priv_body *const body = &freeze->body;
    const double node_m = WELL_RADIUS * section->cell_m;
    body->sink_count = section->pipe_count;
    for (size_t i = 0; i < section->pipe_count; ++i) {
        const gw_freeze_pipe *const p = &section->pipes[i];
        body->sinks[i] = (gw_freeze_priv_sink){
            .cell = index_of(&body->z, p->depth_m) * body->x.count + index_of(&body->x, p->x_m),
            .share = p->x_m < 1e-9 ? 0.5 : 1.0,
            .log_term = log(node_m / section->pipe_radius_m) / (2.0 * PI),
            .resistance_mk_w = section->pipe_resistance_mk_w,
        };
    }
}

static double initial_at(const gw_freeze_section *section, double depth_m)
{
    const double *const z = section->initial_depth_m;
    const double *const t = section->initial_degc;
    size_t i = 0;
    while (i < section->initial_count && z[i] < depth_m) {
        ++i;
    }
    if (i == 0) {
        return t[0];
    }
    if (i == section->initial_count) {
        return t[i - 1];
    }
    return t[i - 1] + (t[i] - t[i - 1]) * (depth_m - z[i - 1]) / (z[i] - z[i - 1]);
}

static void fill_initial(gw_freeze_priv_body *body, const gw_freeze_section *section)
{
    for (size_t j = 0; j < body->z.count; ++j) {
        const double heat = gw_freeze_priv_heat_at(body, initial_at(section, body->z.node_m[j]));
        for (size_t i = 0; i < body->x.count; ++i) {
            body->heat_j_m3[j * body->x.count + i] = heat;
        }
    }
}

gw_status gw_freeze_create(gw_arena *arena, const gw_freeze_section *section, gw_freeze **out,
                           gw_err *err)
{
    gw_status st = check_section(section, err);
    if (st != GW_OK) {
        return st;
    }
    gw_freeze *const freeze = gw_arena_alloc(arena, 1, sizeof *freeze);
    if (freeze == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for the section");
    }
    freeze->pipe_count = section->pipe_count;
    memcpy(freeze->pipes, section->pipes, section->pipe_count * sizeof *section->pipes);
    freeze->pipe_radius_m = section->pipe_radius_m;
    freeze->pipe_resistance_mk_w = section->pipe_resistance_mk_w;
    freeze->step_s = section->step_s > 0.0 ? section->step_s : STEP_S;
    freeze->half_width_m = section->half_width_m;
    st = build_axes(arena, section, &freeze->body, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_freeze_priv_start start = {*section->soil, section->freezing_degc, 10.0};
    st = gw_freeze_priv_body_init(arena, &start, &freeze->body, err);
    freeze->bare.z = freeze->body.z;
    const double edge[] = {0.0, 1.0};
    if (st == GW_OK) {
        st = gw_freeze_priv_axis_rings(arena, edge, 1, &freeze->bare.x, err);
    }
    if (st == GW_OK) {
        st = gw_freeze_priv_body_init(arena, &start, &freeze->bare, err);
    }
    if (st != GW_OK) {
        return st;
    }
    place_sinks(freeze, section);
    fill_initial(&freeze->body, section);
    fill_initial(&freeze->bare, section);
    *out = freeze;
    return GW_OK;
}

// Going on

static gw_status check_drive(const gw_freeze *freeze, const gw_freeze_drive *drive, gw_err *err)
{
    const gw_range items[] = {
        {"duration_s", drive->duration_s, 1.0, 1e9},
        {"surface_degc", drive->surface_degc, -80.0, 80.0},
        {"surface_m2k_w", drive->surface_m2k_w, 0.0, 100.0},
    };
    const gw_status st = gw_range_check(items, sizeof items / sizeof items[0], err);
    if (st != GW_OK) {
        return st;
    }
    const bool heat = drive->mode == GW_FREEZE_BY_HEAT;
    for (size_t i = 0; i < freeze->pipe_count; ++i) {
        const gw_range value = {heat ? "pipe_value (W/m)" : "pipe_value (degC)",
                                drive->pipe_value[i], heat ? -1000.0 : -60.0, heat ? 1000.0 : 90.0};
        const gw_status each = gw_range_check(&value, 1, err);
        if (each != GW_OK) {
            return each;
        }
    }
    const gw_soil *const soil = &freeze->body.soil;
    const double k = fmin(soil->conductivity_w_mk, soil->frozen_conductivity_w_mk);
    const gw_freeze_priv_sink *const sink = &freeze->body.sinks[0];
    // A cell smaller than 4.8 pipe radii holds the temperature of a point inside the pipe.
    if (!heat && !(sink->resistance_mk_w + sink->log_term / k > 1e-3)) {
        return gw_fail(err, GW_ERR_RANGE, "cell_m",
                       "cells must be larger for a pipe of resistance %.4f mK/W that is driven by "
                       "its fluid's temperature",
                       sink->resistance_mk_w);
    }
    return GW_OK;
}

gw_status gw_freeze_advance(gw_freeze *freeze, const gw_freeze_drive *drive, gw_err *err)
{
    gw_status st = check_drive(freeze, drive, err);
    if (st == GW_OK) {
        st = gw_freeze_priv_advance(&freeze->body, drive, freeze->step_s, err);
    }
    if (st == GW_OK) {
        // Alike in every step, so that their difference is the pipes' doing alone.
        freeze->bare.least_stages = freeze->body.last_stages;
        st = gw_freeze_priv_advance(&freeze->bare, drive, freeze->step_s, err);
    }
    freeze->mode = drive->mode;
    memcpy(freeze->last_value, drive->pipe_value, freeze->pipe_count * sizeof(double));
    return st;
}

// Reading the state

static double frozen_cell(const gw_freeze *freeze, size_t cell)
{
    return gw_freeze_priv_frozen_at(&freeze->body, freeze->body.heat_j_m3[cell]);
}

static size_t nearest_pipe(const gw_freeze *freeze, double x_m, double z_m)
{
    size_t best = 0;
    double best_m = (double)INFINITY;
    for (size_t p = 0; p < freeze->pipe_count; ++p) {
        const double d = hypot(x_m - freeze->pipes[p].x_m, z_m - freeze->pipes[p].depth_m);
        if (d < best_m) {
            best_m = d;
            best = p;
        }
    }
    return best;
}

// Ice nearest to each pipe that would not be there without pipes, m² in this half.
static double ice_of_pipe(const gw_freeze *freeze, size_t pipe)
{
    const gw_freeze_priv_body *const body = &freeze->body;
    double sum_m2 = 0.0;
    for (size_t j = 0; j < body->z.count; ++j) {
        const double bare = gw_freeze_priv_frozen_at(&freeze->bare, freeze->bare.heat_j_m3[j]);
        for (size_t i = 0; i < body->x.count; ++i) {
            const double more = frozen_cell(freeze, j * body->x.count + i) - bare;
            if (more > 0.0 && nearest_pipe(freeze, body->x.node_m[i], body->z.node_m[j]) == pipe) {
                sum_m2 += more * body->x.width[i] * body->z.width[j];
            }
        }
    }
    return sum_m2;
}

// Is everything on the straight way at least half ice? Points beyond the planes of symmetry count
// as their mirror images.
static bool ice_between(const gw_freeze *freeze, gw_freeze_pipe a, gw_freeze_pipe b)
{
    enum { SAMPLES = 64 };
    const gw_freeze_priv_body *const body = &freeze->body;
    for (int n = 0; n <= SAMPLES; ++n) {
        const double share = (double)n / SAMPLES;
        double x_m = fabs(a.x_m + share * (b.x_m - a.x_m));
        x_m = x_m > freeze->half_width_m ? 2.0 * freeze->half_width_m - x_m : x_m;
        const double z_m = a.depth_m + share * (b.depth_m - a.depth_m);
        const size_t cell = index_of(&body->z, z_m) * body->x.count + index_of(&body->x, x_m);
        if (frozen_cell(freeze, cell) < 0.5) {
            return false;
        }
    }
    return true;
}

static bool joins_any_pipe(const gw_freeze *freeze, size_t pipe)
{
    const gw_freeze_pipe at = freeze->pipes[pipe];
    for (size_t p = 0; p < freeze->pipe_count; ++p) {
        const gw_freeze_pipe o = freeze->pipes[p];
        const gw_freeze_pipe left = {-o.x_m, o.depth_m};
        const gw_freeze_pipe right = {2.0 * freeze->half_width_m - o.x_m, o.depth_m};
        if ((p != pipe && ice_between(freeze, at, o)) ||
            (o.x_m > 1e-9 && ice_between(freeze, at, left)) || ice_between(freeze, at, right)) {
            return true;
        }
    }
    return false;
}

gw_status gw_freeze_ring_at(const gw_freeze *freeze, size_t pipe, gw_freeze_ring *out, gw_err *err)
{
    if (!(pipe < freeze->pipe_count)) {
        return gw_fail(err, GW_ERR_RANGE, "pipe", "pipe %zu of %zu does not exist", pipe,
                       freeze->pipe_count);
    }
    const gw_freeze_priv_body *const body = &freeze->body;
    const gw_freeze_priv_sink *const sink = &body->sinks[pipe];
    const gw_freeze_drive drive = {.mode = freeze->mode, .pipe_value = freeze->last_value};
    const double q = gw_freeze_priv_sink_w_m(body, pipe, &drive);
    const double cell_degc = gw_freeze_priv_temp_at(body, body->heat_j_m3[sink->cell]);
    const double k = gw_freeze_priv_conductivity(body, sink->cell);
    const gw_freeze_pipe top = {freeze->pipes[pipe].x_m, 0.0};
    *out = (gw_freeze_ring){
        .frozen_radius_m = sqrt(ice_of_pipe(freeze, pipe) / (sink->share * PI)),
        .wall_degc = cell_degc - q * sink->log_term / k,
        .heat_w_m = q,
        .joins_surface = ice_between(freeze, freeze->pipes[pipe], top),
        .joins_pipe = joins_any_pipe(freeze, pipe),
    };
    out->fluid_degc = out->wall_degc - q * sink->resistance_mk_w;
    return GW_OK;
}

// Lower index of the pair of nodes around a position, and the share of the upper one.
static size_t between_nodes(const gw_freeze_priv_axis *axis, double at_m, double *share)
{
    size_t i = 0;
    while (i + 2 < axis->count && axis->node_m[i + 1] <= at_m) {
        ++i;
    }
    if (axis->count < 2) {
        *share = 0.0;
        return 0;
    }
    const double s = (at_m - axis->node_m[i]) / (axis->node_m[i + 1] - axis->node_m[i]);
    *share = fmin(fmax(s, 0.0), 1.0);
    return i;
}

gw_status gw_freeze_temperature(const gw_freeze *freeze, gw_freeze_pipe at, double *out_degc,
                                gw_err *err)
{
    const gw_freeze_priv_body *const body = &freeze->body;
    const double depth_m = body->z.face_m[body->z.count];
    if (!(at.x_m >= 0.0 && at.x_m <= freeze->half_width_m && at.depth_m >= 0.0 &&
          at.depth_m <= depth_m)) {
        return gw_fail(err, GW_ERR_RANGE, "at", "point %g, %g m lies outside the section", at.x_m,
                       at.depth_m);
    }
    double sx, sz;
    const size_t i = between_nodes(&body->x, at.x_m, &sx);
    const size_t j = between_nodes(&body->z, at.depth_m, &sz);
    const size_t nx = body->x.count;
    const double *const h = body->heat_j_m3 + j * nx + i;
    const size_t right = nx > 1 ? 1 : 0, below = body->z.count > 1 ? nx : 0;
    const double upper = (1.0 - sx) * gw_freeze_priv_temp_at(body, h[0]) +
                         sx * gw_freeze_priv_temp_at(body, h[right]);
    const double lower = (1.0 - sx) * gw_freeze_priv_temp_at(body, h[below]) +
                         sx * gw_freeze_priv_temp_at(body, h[below + right]);
    *out_degc = (1.0 - sz) * upper + sz * lower;
    return GW_OK;
}

gw_freeze_balance gw_freeze_balance_of(const gw_freeze *freeze)
{
    return (gw_freeze_balance){.stored_j_m = gw_freeze_priv_stored_j(&freeze->body),
                               .surface_in_j_m = freeze->body.surface_in_j,
                               .pipes_out_j_m = freeze->body.pipes_out_j,
                               .worst_frac = freeze->body.worst_frac};
}

size_t gw_freeze_cell_count(const gw_freeze *freeze)
{
    return freeze->body.x.count * freeze->body.z.count;
}

// A schedule by days

static gw_status note_day(const gw_freeze *freeze, gw_freeze_month *month, gw_err *err)
{
    for (size_t p = 0; p < freeze->pipe_count; ++p) {
        const gw_status st = gw_freeze_ring_at(freeze, p, &month->rings[p], err);
        if (st != GW_OK) {
            return st;
        }
        month->largest_radius_m[p] =
            fmax(month->largest_radius_m[p], month->rings[p].frozen_radius_m);
        month->lowest_fluid_degc = fmin(month->lowest_fluid_degc, month->rings[p].fluid_degc);
    }
    return GW_OK;
}

gw_status gw_freeze_run(gw_freeze *freeze, const gw_freeze_schedule *schedule,
                        gw_freeze_month *months, size_t months_count, gw_err *err)
{
    const size_t needed = (size_t)ceil((double)schedule->days / MONTH_DAY - 1e-9);
    if (schedule->days == 0 || needed > months_count) {
        return gw_fail(err, GW_ERR_RANGE, "days", "%zu days need room for %zu months, found %zu",
                       schedule->days, needed, months_count);
    }
    for (size_t m = 0; m < needed; ++m) {
        months[m] = (gw_freeze_month){.lowest_fluid_degc = 1e9};
    }
    for (size_t day = 0; day < schedule->days; ++day) {
        const gw_freeze_drive drive = {
            .duration_s = DAY_S,
            .surface_degc = schedule->surface_degc[day],
            .surface_m2k_w = schedule->surface_m2k_w == NULL ? 0.0 : schedule->surface_m2k_w[day],
            .mode = schedule->mode,
            .pipe_value = schedule->pipe_value + day * freeze->pipe_count,
        };
        gw_status st = gw_freeze_advance(freeze, &drive, err);
        if (st == GW_OK) {
            const size_t m = (size_t)(((double)day + 0.5) / MONTH_DAY);
            st = note_day(freeze, &months[m < needed ? m : needed - 1], err);
        }
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}
