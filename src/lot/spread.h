// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the room: choose points far apart (maximin distance) out of a list of candidates.
//
// Method: insertion of the farthest candidate (Gonzalez 1985, Theoretical Computer Science 38:293,
// never worse than half the best spacing), then exchange of either end of the closest pair for the
// candidate that widens it most, until none does; repeated from several starts, the best kept. The
// starts are fixed places and numbers from a fixed seed: the same list gives the same choice.
#ifndef GW_LOT_SPREAD_H
#define GW_LOT_SPREAD_H

#include "lot/lot.h"

typedef struct gw_lot_candidates {
    const gw_lot_point *points;
    size_t count;              // at least 1
    const gw_lot_point *fixed; // already there, kept
    size_t fixed_count;
} gw_lot_candidates;

// Chooses `wanted` (≥ 1) points into chosen[]. Points may coincide when there are too few
// candidates.
gw_status gw_lot_spread(gw_arena *arena, const gw_lot_candidates *from, size_t wanted,
                        gw_lot_point *chosen, gw_err *err) GW_MUST_USE;

// Least distance from points[index] to the others and to the fixed ones; HUGE_VAL when alone.
double gw_lot_spread_nearest_m(const gw_lot_candidates *from, const gw_lot_point *points,
                               size_t count, size_t index);

// Least distance of all.
double gw_lot_spread_least_m(const gw_lot_candidates *from, const gw_lot_point *points,
                             size_t count);

#endif
