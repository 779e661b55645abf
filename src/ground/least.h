// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the ground room: linear least squares of small dense systems by complete orthogonal
// factorisation with column pivoting (LAPACK dgelsy). Work space comes from the arena.
#ifndef GW_GROUND_LEAST_H
#define GW_GROUND_LEAST_H

#include "base/arena.h"

typedef struct {
    size_t rows, columns;
    double *matrix; // [columns][rows], overwritten
    double *right;  // [max(rows, columns)]; becomes the solution in its first `columns` places
    double rank_tolerance_frac; // directions weaker than this share of the strongest are dropped
} gw_least;

gw_status gw_least_squares(gw_arena *arena, const gw_least *system, gw_err *err) GW_MUST_USE;

#endif
