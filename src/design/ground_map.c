// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "design/ground_map.h"

#include <math.h>

// Around the field where nothing says how much is to be seen.
static const double MARGIN_M = 10.0;

static void include_point(gw_ground_map *map, double x_m, double y_m)
{
    map->west_m = fmin(map->west_m, x_m);
    map->east_m = fmax(map->east_m, x_m);
    map->south_m = fmin(map->south_m, y_m);
    map->north_m = fmax(map->north_m, y_m);
}

static void frame_map(const gw_design *design, const gw_design_source *source, gw_ground_map *map)
{
    if (map->west_m != 0.0 || map->east_m != 0.0 || map->south_m != 0.0 || map->north_m != 0.0) {
        return;
    }
    map->west_m = map->south_m = HUGE_VAL;
    map->east_m = map->north_m = -HUGE_VAL;
    const gw_job_lot *const lot = design->job->lot;
    for (size_t i = 0; lot != NULL && i < lot->lot.boundary.count; i++) {
        include_point(map, lot->lot.boundary.points[i].x_m, lot->lot.boundary.points[i].y_m);
    }
    const double margin_m = lot != NULL ? 0.0 : MARGIN_M;
    for (size_t i = 0; i < source->past.segment_count; i++) {
        const gw_segment *const s = &source->past.segments[i];
        for (int end = 0; end < 2; end++) {
            const gw_position p = gw_segment_point(s, end == 0 ? 0.0 : s->length_m);
            include_point(map, p.x_m - margin_m, p.y_m - margin_m);
            include_point(map, p.x_m + margin_m, p.y_m + margin_m);
        }
    }
}

static gw_status check_months(const gw_design_source *source, const size_t *months, size_t count,
                              gw_err *err)
{
    for (size_t i = 0; i < count; i++) {
        if (months[i] >= source->past.count) {
            return gw_fail(err, GW_ERR_RANGE, "months", "found month %zu, expected below %zu",
                           months[i], source->past.count);
        }
    }
    return GW_OK;
}

gw_status gw_design_map_ground(gw_arena *arena, const gw_design *design, size_t loop,
                               gw_ground_map *map, double *degc, gw_err *err)
{
    gw_design_source source;
    gw_status st = gw_design_ground_source(arena, design, loop, &source, err);
    if (st == GW_OK) {
        st = check_months(&source, map->months, map->month_count, err);
    }
    if (st != GW_OK) {
        return st;
    }
    frame_map(design, &source, map);
    const gw_ground_grid grid = {.west_m = map->west_m,
                                 .east_m = map->east_m,
                                 .south_m = map->south_m,
                                 .north_m = map->north_m,
                                 .nx = map->nx,
                                 .ny = map->ny,
                                 .depth_m = map->depth_m};
    const gw_ground_ask ask = {.spans = map->months, .span_count = map->month_count};
    st = gw_ground_at_grid(arena, &source.past, &grid, &ask, degc, err);
    const size_t cells = map->nx * map->ny;
    for (size_t m = 0; st == GW_OK && m < map->month_count; m++) {
        const double day = gw_design_month_end_day(&source, map->months[m]);
        const double rest_degc = gw_design_undisturbed_degc(&source, map->depth_m, day);
        for (size_t i = 0; i < cells; i++) {
            degc[m * cells + i] = rest_degc - degc[m * cells + i];
        }
    }
    return st;
}

static gw_status check_section(const gw_ground_section *s, gw_err *err)
{
    enum { MOST = 40000 };
    if (s->nx < 1 || s->nx > 1000 || s->nz < 1 || s->nz > 1000 || s->nx * s->nz > MOST) {
        return gw_fail(err, GW_ERR_RANGE, "section.nx",
                       "found %zu by %zu cells, expected 1 to 1000 each and %d at most", s->nx,
                       s->nz, (int)MOST);
    }
    if (!(s->deep_m > 0.0 && s->deep_m <= 400.0)) {
        return gw_fail(err, GW_ERR_RANGE, "section.deep_m", "found %g m, expected up to 400 m",
                       s->deep_m);
    }
    if (!(hypot(s->to.x_m - s->from.x_m, s->to.y_m - s->from.y_m) > 0.0)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "section.to", "the section has no length");
    }
    return GW_OK;
}

gw_status gw_design_section_ground(gw_arena *arena, const gw_design *design, size_t loop,
                                   const gw_ground_section *section, double *degc, gw_err *err)
{
    gw_design_source source;
    gw_status st = check_section(section, err);
    if (st == GW_OK) {
        st = gw_design_ground_source(arena, design, loop, &source, err);
    }
    if (st == GW_OK) {
        st = check_months(&source, section->months, section->month_count, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const size_t cells = section->nx * section->nz;
    gw_position *const points = gw_arena_alloc(arena, cells, sizeof *points);
    double *const drop_k = gw_arena_alloc(arena, cells * section->month_count + 1, sizeof *drop_k);
    if (points == NULL || drop_k == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "section", "out of memory for the section");
    }
    for (size_t i = 0; i < cells; i++) {
        const double a = ((double)(i % section->nx) + 0.5) / (double)section->nx;
        points[i] = (gw_position){section->from.x_m + a * (section->to.x_m - section->from.x_m),
                                  section->from.y_m + a * (section->to.y_m - section->from.y_m),
                                  ((double)(i / section->nx) + 0.5) * section->deep_m /
                                      (double)section->nz};
    }
    const gw_ground_ask ask = {points, cells, section->months, section->month_count};
    st = gw_ground_at_points(arena, &source.past, &ask, drop_k, err);
    for (size_t m = 0; st == GW_OK && m < section->month_count; m++) {
        const double day = gw_design_month_end_day(&source, section->months[m]);
        for (size_t i = 0; i < cells; i++) {
            degc[m * cells + i] = gw_design_undisturbed_degc(&source, points[i].z_m, day) -
                                  drop_k[i * section->month_count + m];
        }
    }
    return st;
}
