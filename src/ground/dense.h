// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the ground room: dense linear systems, one right-hand side, on the calling thread.
//
// Blocked factorisations (Golub & Van Loan, Matrix Computations, ch. 3 and 4) whose products are
// tiles of 64 × 64 handed to BLAS: the library does not share work that small out over threads,
// so no process-wide setting of it has to be touched, several threads may solve at once, and the
// bits do not depend on how many there are.
#ifndef GW_GROUND_DENSE_H
#define GW_GROUND_DENSE_H

#include <stdbool.h>
#include <stddef.h>

typedef struct {
    double *a; // [n][n] by columns; the factors go over it
    double *b; // [n] right-hand side, replaced by the solution
    size_t n;
} gw_dense;

// Symmetric positive definite; only the lower triangle (row ≥ column) is read. False when it is
// not positive definite; b is then untouched.
bool gw_dense_cholesky(const gw_dense *system);

// Any regular matrix, by elimination with row pivoting. False when a column is all zero.
bool gw_dense_eliminate(const gw_dense *system);

#endif
