// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The enthalpy body that ground/freeze.h stands on: rows and columns of cells, a surface above,
// line sinks within. The column metric is general, so the same body computes a flat column, a
// cross-section, or rings around an axis; the checks against exact solutions use all three.
#ifndef GW_GROUND_FREEZE_PRIV_H
#define GW_GROUND_FREEZE_PRIV_H

#include "base/arena.h"
#include "base/err.h"
#include "ground/freeze.h"
#include "soil/soil.h"

#include <stdbool.h>
#include <stddef.h>

enum { GW_FREEZE_PRIV_SINKS_MAX = 16, GW_FREEZE_PRIV_SCRATCH = 7 };

// One axis: `count` cells with count + 1 faces; lo[f] and hi[f] are what the path from the node
// before face f to the face and from the face to the node after it adds to k × resistance (a
// length for a flat axis, ln(r/r)/2π around an axis); width is what a cell's size is measured by
// (m, or m² around an axis).
typedef struct {
    size_t count;
    double *face_m; // [count + 1]
    double *node_m; // [count]
    double *width;  // [count]
    double *lo;     // [count + 1]
    double *hi;     // [count + 1]
} gw_freeze_priv_axis;

typedef struct {
    size_t cell;
    double share;    // part of the pipe that lies in this half, 1 or 0.5
    double log_term; // ln(node radius / pipe radius)/2π
    double resistance_mk_w;
} gw_freeze_priv_sink;

typedef struct {
    gw_freeze_priv_axis x;
    gw_freeze_priv_axis z;
    gw_soil soil;
    double freezing_degc;
    size_t sink_count;
    gw_freeze_priv_sink sinks[GW_FREEZE_PRIV_SINKS_MAX];
    double *heat_j_m3; // [x × z], row by row; 0 = all ice at freezing, latent heat = no ice
    double *other;     // [x × z], the earlier stage of a step; takes turns with heat_j_m3
    double *per_width; // [x] 1/width
    double *scratch;   // [blocks of rows] [GW_FREEZE_PRIV_SCRATCH × x + 1]
    double *row_j;     // [z] heat stored in each row
    double *surface_w; // [x] what crosses the surface, W (per m of trench)
    double surface_in_j;
    double pipes_out_j;
    double worst_frac;
    int least_stages; // a companion that must step alike; 0 for none
    int last_stages;
} gw_freeze_priv_body;

typedef struct {
    double length_m;
    const double *points_m; // pipe positions, increasing, distinct; the first may be 0
    size_t count;
    double cell_m;      // width of the cells at the points
    double growth;      // ratio of neighbouring cells
    double most_m;      // widest cell
    bool fine_at_start; // cells grow from 0 too (the surface)
} gw_freeze_priv_plan;

// Cells centred on the points (on 0: half a cell whose node is 0), growing away from them.
gw_status gw_freeze_priv_axis_flat(gw_arena *arena, const gw_freeze_priv_plan *plan,
                                   gw_freeze_priv_axis *out, gw_err *err) GW_MUST_USE;

// Rings between given radii; a first radius of 0 is the axis.
gw_status gw_freeze_priv_axis_rings(gw_arena *arena, const double *face_m, size_t count,
                                    gw_freeze_priv_axis *out, gw_err *err) GW_MUST_USE;

// A body of uniform temperature on two axes; sinks are added by the caller.
typedef struct {
    gw_soil soil;
    double freezing_degc;
    double initial_degc;
} gw_freeze_priv_start;
gw_status gw_freeze_priv_body_init(gw_arena *arena, const gw_freeze_priv_start *start,
                                   gw_freeze_priv_body *body, gw_err *err) GW_MUST_USE;

double gw_freeze_priv_heat_at(const gw_freeze_priv_body *body, double temp_degc);
double gw_freeze_priv_temp_at(const gw_freeze_priv_body *body, double heat_j_m3);
double gw_freeze_priv_frozen_at(const gw_freeze_priv_body *body, double heat_j_m3);
double gw_freeze_priv_stored_j(const gw_freeze_priv_body *body);

// Heat leaving through a sink now, W per metre of pipe.
double gw_freeze_priv_sink_w_m(const gw_freeze_priv_body *body, size_t sink,
                               const gw_freeze_drive *drive);
double gw_freeze_priv_conductivity(const gw_freeze_priv_body *body, size_t cell);

// Steps of at most `step_s` over drive->duration_s.
gw_status gw_freeze_priv_advance(gw_freeze_priv_body *body, const gw_freeze_drive *drive,
                                 double step_s, gw_err *err) GW_MUST_USE;

#endif
