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

// Columns in the order of the field, and one of each type.
typedef struct {
    gw_transfer_column *column;
    size_t columns;
    size_t *type; // [types] number of one column of each
    size_t types;
} gw_columns_layout;

gw_status gw_columns_lay_out(gw_arena *arena, const gw_field *field, gw_columns_layout *out,
                             gw_err *err) GW_MUST_USE;

#endif
