// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/least.h"

#include <lapacke.h>
#include <string.h>

static gw_status no_memory(gw_err *err)
{
    return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a least-squares fit");
}

static lapack_int run(const gw_least *system, gw_least_room *room, double *work, lapack_int size)
{
    const lapack_int m = (lapack_int)system->rows, n = (lapack_int)system->columns;
    lapack_int rank = 0;
    return LAPACKE_dgelsy_work(LAPACK_COL_MAJOR, m, n, 1, system->matrix, m, system->right,
                               m > n ? m : n, room->pivot, system->rank_tolerance_frac, &rank, work,
                               size);
}

gw_status gw_least_squares_in(gw_arena *arena, const gw_least *system, gw_least_room *room,
                              gw_err *err)
{
    _Static_assert(sizeof(lapack_int) == sizeof(int), "pivots are int");
    if (room->pivot == NULL) {
        room->pivot = gw_arena_alloc(arena, system->columns, sizeof *room->pivot);
        double best = 0.0;
        if (room->pivot == NULL || run(system, room, &best, -1) != 0) {
            return no_memory(err);
        }
        room->work_size = (size_t)best;
        room->work = gw_arena_alloc(arena, room->work_size, sizeof *room->work);
    }
    if (room->work == NULL) {
        return no_memory(err);
    }
    memset(room->pivot, 0, system->columns * sizeof *room->pivot);
    const lapack_int info = run(system, room, room->work, (lapack_int)room->work_size);
    if (info != 0) {
        return gw_fail(err, GW_ERR_CONVERGE, NULL, "least squares failed (code %d)", (int)info);
    }
    return GW_OK;
}

gw_status gw_least_squares(gw_arena *arena, const gw_least *system, gw_err *err)
{
    gw_least_room room = {0};
    return gw_least_squares_in(arena, system, &room, err);
}
