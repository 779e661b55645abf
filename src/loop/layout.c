// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Where the pipes of a trench and the collars of a bore field lie.
#include "loop/response.h"

#include <math.h>

// Clear soil between a pipe and the trench wall, so that a pipe can be laid and bedded.
static const double EDGE_M = 0.05;

static double across(double width_m, size_t index, size_t count)
{
    const double half_m = 0.5 * width_m - EDGE_M;
    if (count < 2) {
        return 0.0;
    }
    return -half_m + 2.0 * half_m * (double)index / (double)(count - 1);
}

static gw_status check_section(const gw_trench_plan *t, gw_err *err)
{
    if (t->pipes < 1 || t->pipes > GW_LOOP_PIPES_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "trench.pipes",
                       "found %zu pipes in a trench, expected 1 to %d", t->pipes,
                       (int)GW_LOOP_PIPES_MAX);
    }
    if (!(t->width_m >= 0.1 && t->width_m <= 3.0)) {
        return gw_fail(err, GW_ERR_RANGE, "trench.width_m",
                       "found a trench %.2f m wide, expected 0.1 to 3 m", t->width_m);
    }
    if (!(t->depth_m >= 0.6 && t->depth_m <= 4.0)) {
        return gw_fail(err, GW_ERR_RANGE, "trench.depth_m",
                       "found a trench %.2f m deep, expected 0.6 to 4 m", t->depth_m);
    }
    if (t->arrangement == GW_PIPES_TWO_SIDES && t->pipes % 2 != 0) {
        return gw_fail(err, GW_ERR_GEOMETRY, "trench.pipes",
                       "found %zu pipes on two sides of the trench, expected an even number",
                       t->pipes);
    }
    return GW_OK;
}

static gw_status check_gaps(const gw_trench_plan *t, double diameter_m,
                            const gw_loop_section_pipe *pipes, gw_err *err)
{
    for (size_t i = 0; i < t->pipes; i++) {
        if (fabs(pipes[i].x_m) + 0.5 * diameter_m > 0.5 * t->width_m) {
            return gw_fail(err, GW_ERR_GEOMETRY, "trench.width_m",
                           "a pipe %.0f mm thick does not fit a trench %.0f mm wide",
                           1000.0 * diameter_m, 1000.0 * t->width_m);
        }
        if (pipes[i].depth_m < 0.45) {
            return gw_fail(
                err, GW_ERR_GEOMETRY, "trench.pipe_gap_m",
                "the top pipe would lie %.2f m deep, expected at least 0.45 m: fewer layers, "
                "a smaller gap or a deeper trench",
                pipes[i].depth_m);
        }
        for (size_t j = 0; j < i; j++) {
            const double gap_m =
                hypot(pipes[i].x_m - pipes[j].x_m, pipes[i].depth_m - pipes[j].depth_m);
            if (!(gap_m > diameter_m)) {
                return gw_fail(err, GW_ERR_GEOMETRY, "trench.pipes",
                               "pipes %zu and %zu of the trench overlap: %.0f mm between axes of "
                               "pipes %.0f mm thick",
                               j + 1, i + 1, 1000.0 * gap_m, 1000.0 * diameter_m);
            }
        }
    }
    return GW_OK;
}

gw_status gw_loop_trench_section(const gw_trench_plan *t, double pipe_diameter_m,
                                 gw_loop_section_pipe pipes[static GW_LOOP_PIPES_MAX], gw_err *err)
{
    const gw_status st = check_section(t, err);
    if (st != GW_OK) {
        return st;
    }
    for (size_t i = 0; i < t->pipes; i++) {
        switch (t->arrangement) {
        case GW_PIPES_ON_FLOOR:
            pipes[i] = (gw_loop_section_pipe){across(t->width_m, i, t->pipes), t->depth_m};
            break;
        case GW_PIPES_STACKED:
            pipes[i] = (gw_loop_section_pipe){0.0, t->depth_m - (double)i * t->pipe_gap_m};
            break;
        case GW_PIPES_TWO_SIDES:
            pipes[i] = (gw_loop_section_pipe){across(t->width_m, i % 2, 2),
                                              t->depth_m - (double)(i / 2) * t->pipe_gap_m};
            break;
        }
    }
    return check_gaps(t, pipe_diameter_m, pipes, err);
}

// As square as the count allows: rows × columns ≥ count with the least left over.
static size_t rows_for(size_t count)
{
    size_t rows = (size_t)sqrt((double)count);
    while (rows > 1 && count % rows != 0 && rows * rows > count) {
        rows--;
    }
    return rows > 0 ? rows : 1;
}

gw_status gw_loop_bore_places(gw_arena *arena, const gw_bores_plan *b, const gw_bore_place **out,
                              gw_err *err)
{
    if (b->count < 1 || b->count > 400) {
        return gw_fail(err, GW_ERR_RANGE, "bores.count", "found %zu bores, expected 1 to 400",
                       b->count);
    }
    if (b->place_count > 0) {
        if (b->place_count < b->count) {
            return gw_fail(err, GW_ERR_GEOMETRY, "bores.places",
                           "found places for %zu bores, expected %zu", b->place_count, b->count);
        }
        *out = b->places;
        return GW_OK;
    }
    gw_bore_place *const places = gw_arena_alloc(arena, b->count, sizeof *places);
    if (places == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "bores", "out of memory laying out the bores");
    }
    const size_t rows = b->rows > 0 ? b->rows : rows_for(b->count);
    const size_t columns = (b->count + rows - 1) / rows;
    for (size_t i = 0; i < b->count; i++) {
        places[i] = (gw_bore_place){.x_m = (double)(i % columns) * b->spacing_m,
                                    .y_m = (double)(i / columns) * b->spacing_m};
    }
    *out = places;
    return GW_OK;
}
