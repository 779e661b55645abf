// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Ground temperature around one loop of a design: level maps and vertical sections, for any months
// of the horizon.
//
// Undisturbed wave (climate/ground_temperature.h, with the loop's own soil) less what the loop
// takes (loop/ground_at.h): heat alike over every metre of bore or pipe, month by month as the
// simulated last year takes it, every year alike. It knows no freezing: where ice forms the ground
// is colder here than it will be. With a lot the frame is the lot's; without, the loop's own.
//
//   gw_ground_map map = {.depth_m = 1.5, .nx = 200, .ny = 200, .months = m, .month_count = 3};
//   st = gw_design_map_ground(arena, design, 0, &map, degc, err);   // degc[3 × 200 × 200]
#ifndef GW_DESIGN_GROUND_MAP_H
#define GW_DESIGN_GROUND_MAP_H

#include "design/design.h"
#include "loop/ground_at.h"

// The lines that take heat, where they lie, and what all of them took in each month.
typedef struct {
    gw_ground_past past; // a span per month of the horizon
    gw_loop_ground ground;
    double diffusivity_m2_s; // of the loop's soil
    double depth_m;          // mean of the lines
    size_t first_month;      // of the calendar, 0 = January
} gw_design_source;

// Errors: GW_ERR_RANGE when the loop has no lines in the ground (a pond, an open well),
// GW_ERR_NOMEM.
gw_status gw_design_ground_source(gw_arena *arena, const gw_design *design, size_t loop,
                                  gw_design_source *out, gw_err *err) GW_MUST_USE;

// Day of the calendar year at which month `month` of the horizon ends, and ground temperature
// without the loop on it.
double gw_design_month_end_day(const gw_design_source *source, size_t month);
double gw_design_undisturbed_degc(const gw_design_source *source, double depth_m, double day);

typedef struct {
    double depth_m;                          // 0 to 300
    size_t nx, ny;                           // 1 to 1000
    double west_m, east_m, south_m, north_m; // all 0: the lot, or the field, with a margin; filled
    const size_t *months; // [month_count] of the horizon, 0 = the first of operation
    size_t month_count;
} gw_ground_map;

// degc[month × ny × nx] at the ends of the months, rows from the south, cell centres.
gw_status gw_design_map_ground(gw_arena *arena, const gw_design *design, size_t loop,
                               gw_ground_map *map, double *degc, gw_err *err) GW_MUST_USE;

typedef struct {
    gw_lot_point from, to; // in plan; the section's left and right edge
    double deep_m;         // from the surface down to here, > 0 to 400
    size_t nx, nz;         // 1 to 1000, at most 40,000 cells
    const size_t *months;
    size_t month_count;
} gw_ground_section;

// degc[month × nz × nx], rows from the surface down, cell centres.
gw_status gw_design_section_ground(gw_arena *arena, const gw_design *design, size_t loop,
                                   const gw_ground_section *section, double *degc,
                                   gw_err *err) GW_MUST_USE;

#endif
