// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Freezing of soil around horizontal pipes: temperatures and ice in a vertical cross-section.
//
// It does not move water (no frost heave, no suction of water to the ice), does not change along
// the pipe, and freezes all water at one temperature. The two sides of the trench are alike, so
// only x ≥ 0 is computed.
//
// Method: enthalpy method on a rectangular finite-volume grid (Voller & Cross 1981), stepped by
// super-time-stepping of the first-order Runge–Kutta–Legendre family (Meyer, Balsara & Aslam
// 2014, J. Comput. Phys. 257:594), which is explicit, stable, and conserves heat to rounding. The
// pipe is a line sink in one square cell, whose temperature belongs to the radius 0.1985 times the
// cell's side (Peaceman 1978); the rest of the way to the pipe is a logarithm.
// Equations and checks: docs/methods/ground-resistance.md.
//
//   st = gw_freeze_create(arena, &section, &freeze, err);
//   for (size_t d = 0; d < 365; ++d) {
//       st = gw_freeze_advance(freeze, &(gw_freeze_drive){.duration_s = 86400, …}, err);
//   }
//   gw_freeze_ring ring;
//   st = gw_freeze_ring_at(freeze, 0, &ring, err);
#ifndef GW_GROUND_FREEZE_H
#define GW_GROUND_FREEZE_H

#include "base/arena.h"
#include "base/err.h"
#include "soil/soil.h"

#include <stdbool.h>
#include <stddef.h>

typedef struct {
    double x_m;     // ≥ 0; 0 lies on the plane of symmetry (then the pipe is a single one)
    double depth_m; // > 0
} gw_freeze_pipe;

typedef struct {
    const gw_soil *soil;
    const gw_freeze_pipe *pipes; // 1 to 16
    size_t pipe_count;
    double pipe_radius_m;          // outer
    double pipe_resistance_mk_w;   // fluid to outer surface
    double cell_m;                 // side of the cells at the pipes, 1.2 to 20 pipe radii
    double half_width_m;           // to the next plane of symmetry, or far away
    double depth_m;                // of the section; no heat crosses its bottom
    double freezing_degc;          // usually 0
    double step_s;                 // longest time step, to 5 days; 0 = three hours
    const double *initial_depth_m; // increasing depths of the initial temperature
    const double *initial_degc;    // linear between, constant beyond
    size_t initial_count;
} gw_freeze_section;

typedef enum { GW_FREEZE_BY_HEAT, GW_FREEZE_BY_FLUID } gw_freeze_mode;

// What drives the section during one call.
typedef struct {
    double duration_s;    // > 0
    double surface_degc;  // of the air or the bare surface
    double surface_m2k_w; // resistance above the soil (snow, turf), ≥ 0
    gw_freeze_mode mode;
    const double *pipe_value; // per pipe: heat taken out (W per m of pipe) or fluid temperature
} gw_freeze_drive;

typedef struct {
    double frozen_radius_m; // circle of the same area as the ice that this pipe has made
    double wall_degc;       // at the pipe's outer surface
    double fluid_degc;
    double heat_w_m;    // taken out at the last moment, W per m of pipe
    bool joins_surface; // ice all the way up to the surface
    bool joins_pipe;    // ice all the way to another pipe
} gw_freeze_ring;

typedef struct {
    double stored_j_m;     // heat in the half section over that of ice-free soil at freezing
    double surface_in_j_m; // since the beginning, through the surface
    double pipes_out_j_m;  // since the beginning, to the pipes
    double worst_frac;     // worst imbalance of any step over the heat moved in it
} gw_freeze_balance;

typedef struct gw_freeze gw_freeze;

// Builds the grid and the initial state in the arena.
gw_status gw_freeze_create(gw_arena *arena, const gw_freeze_section *section, gw_freeze **out,
                           gw_err *err) GW_MUST_USE;

// Goes on by drive->duration_s in steps of at most section->step_s.
gw_status gw_freeze_advance(gw_freeze *freeze, const gw_freeze_drive *drive,
                            gw_err *err) GW_MUST_USE;

gw_status gw_freeze_ring_at(const gw_freeze *freeze, size_t pipe, gw_freeze_ring *out,
                            gw_err *err) GW_MUST_USE;

// Temperature at a point of the section, bilinear between cell centres.
gw_status gw_freeze_temperature(const gw_freeze *freeze, gw_freeze_pipe at, double *out_degc,
                                gw_err *err) GW_MUST_USE;

gw_freeze_balance gw_freeze_balance_of(const gw_freeze *freeze);
size_t gw_freeze_cell_count(const gw_freeze *freeze);

// One month of a year's report.
typedef struct {
    gw_freeze_ring rings[16];    // at the month's end, pipe by pipe
    double largest_radius_m[16]; // within the month
    double lowest_fluid_degc;
} gw_freeze_month;

// A run of whole years of twelve months (365 days): what drives each day, one report per month.
typedef struct {
    size_t days;                 // length of the arrays
    const double *surface_degc;  // [days]
    const double *surface_m2k_w; // [days], or NULL for none
    gw_freeze_mode mode;
    const double *pipe_value; // [days × pipe_count], day by day
} gw_freeze_schedule;

// Fills months[0 .. ceil(days/30.4)]; months_count says how many there is room for.
gw_status gw_freeze_run(gw_freeze *freeze, const gw_freeze_schedule *schedule,
                        gw_freeze_month *months, size_t months_count, gw_err *err) GW_MUST_USE;

#endif
