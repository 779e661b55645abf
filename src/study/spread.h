// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Spread or concentrate: what the ground does over the decades when the same total length is laid
// closer together, on less land, or deeper.
//
// Each variant is a whole simulated horizon of the sized loop with one thing changed: half the
// spacing, half the area (spacing over √2), half as many bores twice as deep, twice as many half as
// deep (an odd number is rounded up, the length kept); for trenches half the spacing, half the
// area, and half as many trenches with twice the pipes one above the other. The heat pump, the pump
// power and the loads stay. Nothing is sized again: a variant that falls below the limit is the
// answer, not an error.
//
// Ground temperature: yearly mean at the middle of the field, midway between neighbours and half
// way down (of a single bore: its wall), from the field's segments with the last year's net heat
// spread evenly over them since the start (ground/response.h). Water: coldest hour of the year
// named. Ice: its correction takes the trenches as an endless row. A few crowded trenches then come
// out too warm, so that the coldest water of rows that freeze is no measure of crowding; the
// ground's is. It needs at least two bores or two trenches: a single one has no neighbours.
//
//   st = gw_spread_run(arena, &(gw_spread_input){.design = input}, &spread, err);
//   spread.rows[1].at[GW_SPREAD_TIMES - 1].coldest_degc
#ifndef GW_STUDY_SPREAD_H
#define GW_STUDY_SPREAD_H

#include "study/outcome.h"

enum { GW_SPREAD_TIMES = 4, GW_SPREAD_ROWS_MAX = 5 };

typedef struct {
    gw_design_input design;
    size_t loop; // of the job; its count: the best one, or the first that can be spread
    double years[GW_SPREAD_TIMES]; // whole, increasing, 1 to 60; first 0: 1, 5, 25 and 50
} gw_spread_input;

typedef struct {
    double year;
    double ground_degc;  // middle of the field, mean of the year
    double coldest_degc; // entering water, coldest hour of that year
} gw_spread_moment;

typedef struct {
    const char *what; // "as designed", "half the spacing" …
    bool done;        // false: cannot be laid, `why_not` says why
    char why_not[GW_STUDY_REASON];
    bool freezes; // ice about the pipes is in the water's temperature (loop/frozen.h)
    size_t count;
    double each_m;
    double spacing_m;
    double length_m;
    double area_m2;          // count × the ground of one: spacing², or spacing × length
    double drift_k;          // coldest water, first year minus last
    double first_below_year; // first year below the limit; 0: never within the horizon
    double undisturbed_degc; // of the ground at the place of ground_degc, yearly mean
    gw_spread_moment at[GW_SPREAD_TIMES];
} gw_spread_row;

typedef struct {
    const char *loop;          // name
    double limit_degc;         // least entering water
    const gw_spread_row *rows; // [count]; the first is the loop as designed
    size_t count;
} gw_spread;

// Errors: GW_ERR_GEOMETRY (bores or trenches fewer than two, other kinds of loop), GW_ERR_RANGE
// (years), those of the design.
gw_status gw_spread_run(gw_arena *arena, const gw_spread_input *input, gw_spread *out,
                        gw_err *err) GW_MUST_USE;

#endif
