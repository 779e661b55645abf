// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/least.h"

#include <lapacke.h>

gw_status gw_least_squares(gw_arena *arena, const gw_least *system, gw_err *err)
{
    const lapack_int m = (lapack_int)system->rows, n = (lapack_int)system->columns;
    const lapack_int larger = m > n ? m : n;
    lapack_int *const pivot = gw_arena_alloc(arena, system->columns, sizeof *pivot);
    double best = 0.0;
    lapack_int rank = 0;
    if (pivot == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a least-squares fit");
    }
    lapack_int info =
        LAPACKE_dgelsy_work(LAPACK_COL_MAJOR, m, n, 1, system->matrix, m, system->right, larger,
                            pivot, system->rank_tolerance_frac, &rank, &best, -1);
    const lapack_int size = info == 0 ? (lapack_int)best : 0;
    double *const work = gw_arena_alloc(arena, (size_t)size, sizeof *work);
    if (work == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a least-squares fit");
    }
    info = LAPACKE_dgelsy_work(LAPACK_COL_MAJOR, m, n, 1, system->matrix, m, system->right, larger,
                               pivot, system->rank_tolerance_frac, &rank, work, size);
    if (info != 0) {
        return gw_fail(err, GW_ERR_CONVERGE, NULL, "least squares failed (code %d)", (int)info);
    }
    return GW_OK;
}
