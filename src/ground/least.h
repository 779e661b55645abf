// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the ground room: linear least squares of small dense systems by complete orthogonal
// factorisation with column pivoting (LAPACK dgelsy). Work space comes from the arena.
#ifndef GW_GROUND_LEAST_H
#define GW_GROUND_LEAST_H

#include "base/arena.h"

// Room that a caller who solves many systems of one size keeps between them; zero to begin with.
typedef struct {
    int *pivot;
    double *work;
    size_t work_size;
} gw_least_room;

typedef struct {
    size_t rows, columns;
    double *matrix; // [columns][rows], overwritten
    double *right;  // [max(rows, columns)]; becomes the solution in its first `columns` places
    double rank_tolerance_frac; // directions weaker than this share of the strongest are dropped
} gw_least;

gw_status gw_least_squares(gw_arena *arena, const gw_least *system, gw_err *err) GW_MUST_USE;

// The same with room kept; *room is filled on first use.
gw_status gw_least_squares_in(gw_arena *arena, const gw_least *system, gw_least_room *room,
                              gw_err *err) GW_MUST_USE;

#endif
