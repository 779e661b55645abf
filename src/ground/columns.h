// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the ground room: the pairs of a field of vertical bores, taken column by column.
// See transfer.h.
#ifndef GW_GROUND_COLUMNS_H
#define GW_GROUND_COLUMNS_H

#include "ground/transfer.h"

#include <stdbool.h>

// All segments vertical, and one radius along each bore.
bool gw_columns_fit(const gw_field *field);

gw_status gw_columns_create(gw_arena *arena, gw_transfer *transfer, gw_err *err) GW_MUST_USE;

// Adds all pairs to the group matrix, with the factors of one p at the nodes.
void gw_columns_add(const gw_transfer *transfer, const double *factor, double *work,
                    double *matrix);

#endif
