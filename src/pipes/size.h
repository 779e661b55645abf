// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Pipe sizes: polyethylene in inch (iron-pipe-size, DR) and metric (SDR) series.
//
// It does not choose a pipe and does not derate for temperature or chemicals. Inner diameter is
// outer diameter less two minimum walls, the geometry both series of standards define.
//
//   gw_pipe_catalogue pipes;
//   st = gw_pipes_read_builtin(arena, &pipes, err);
//   const gw_pipe_size *pipe;
//   st = gw_pipes_find(&pipes, "1in-dr11", &pipe, err);
#ifndef GW_PIPES_SIZE_H
#define GW_PIPES_SIZE_H

#include "base/arena.h"
#include "base/err.h"
#include "base/table.h"

#include <stddef.h>

typedef struct {
    const char *id;       // "1-1/4in-dr11", "40mm-sdr17"
    const char *name;     // for people
    const char *standard; // e.g. "ASTM D3035 / CSA B137.1"
    const char *source;
    double outer_diameter_m;
    double wall_m;           // minimum wall
    double inner_diameter_m; // outer − 2 × wall
    double dr;               // nominal dimension ratio, outer diameter over wall
    double conductivity_w_mk;
    double roughness_m;
    double pressure_rating_pa; // at 20 to 23 °C
    double fill_volume_m3_m;   // inside volume per metre
} gw_pipe_size;

typedef struct {
    const gw_pipe_size *sizes; // in the arena, in order of the table
    size_t count;
} gw_pipe_catalogue;

// From parsed pipes.csv. Errors: GW_ERR_RANGE for impossible geometry, those of gw_table_*.
gw_status gw_pipes_read_table(gw_arena *arena, const gw_table *table, gw_pipe_catalogue *out,
                              gw_err *err) GW_MUST_USE;
gw_status gw_pipes_read_builtin(gw_arena *arena, gw_pipe_catalogue *out, gw_err *err) GW_MUST_USE;

// By id; GW_ERR_KEY suggests the nearest known id. The size is borrowed from the catalogue.
gw_status gw_pipes_find(const gw_pipe_catalogue *catalogue, const char *id,
                        const gw_pipe_size **out, gw_err *err) GW_MUST_USE;

// A pipe given by its own measures (a job may name one that is in no table). Checks outer
// 10 to 400 mm, DR 6 to 42, conductivity 0.1 to 50, roughness 0 to 1 mm; fills inner and volume.
gw_status gw_pipes_complete_size(gw_pipe_size *size, gw_err *err) GW_MUST_USE;

// Pressure rating 2 σ / (DR − 1): σ is the hydrostatic design stress (ASTM D3035, CSA B137.1) or
// MRS over the design coefficient (ISO 4427, EN 12201).
double gw_pipes_pressure_rating_pa(double design_stress_pa, double dr);

// Least inside pressure needed and greatest met: static_pa at the pump, `depth_m` below it.
double gw_pipes_pressure_at_depth_pa(double static_pa, double density_kg_m3, double depth_m);

#endif
