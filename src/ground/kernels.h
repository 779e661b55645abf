// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the ground room: the pairs of a field of any directions, equal pairs computed once.
// See transfer.h.
#ifndef GW_GROUND_KERNELS_H
#define GW_GROUND_KERNELS_H

#include "ground/transfer.h"

gw_status gw_kernels_create(gw_arena *arena, gw_transfer *transfer, gw_err *err) GW_MUST_USE;

// Adds all pairs to the group matrix, with the factors of one p at the nodes.
void gw_kernels_add(const gw_transfer *transfer, const double *factor, double *work,
                    double *matrix);

#endif
