// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Small dense linear algebra shared by the resistance files: systems of a few dozen unknowns,
// where a library call would cost more than the work.
#ifndef GW_GROUND_RESISTANCE_PRIV_H
#define GW_GROUND_RESISTANCE_PRIV_H

#include <stdbool.h>
#include <stddef.h>

// Solves A X = B in place. `rows` holds n rows of `stride` numbers: A in columns 0 to n − 1, the
// right-hand sides in the next `sides` columns, replaced by X. Elimination with row pivoting.
// Returns false when A is singular.
bool gw_ground_priv_eliminate(double *rows, size_t n, size_t stride, size_t sides);

#endif
