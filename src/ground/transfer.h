// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the ground room: transfer functions of all pairs of segments of a field at a real
// Laplace p, summed into the groups that share one load per metre.
//
// H_ij(p) = 1/(4πk L_i) ∫_0^∞ f_ij(s) e^(−p/(4αs²)) ds is the p-multiplied transform of the step
// response. In x = ln s the integrand decays doubly exponentially at both ends and the trapezoidal
// rule converges exponentially: with a step of 0.2 its error is about e^(−2π·0.78/0.2) = 2e-11.
//
// Vertical bores are taken as columns: a pair of columns needs e^(−r²s²) for their distance and
// ierfc at the differences and sums of their node depths; the latter are the same for all pairs of
// equal columns and are tabulated once. Any other field keeps one kernel per different pair (same
// relative position, depths and directions).
#ifndef GW_GROUND_TRANSFER_H
#define GW_GROUND_TRANSFER_H

#include "ground/field.h"
#include "ground/kernel.h"

#include <stdint.h>

// Ends of the s range where nothing is left: of e^(−r²s²), and of the field minus its mirror.
#define GW_TRANSFER_STEP 0.2
#define GW_TRANSFER_SURFACE 3e-4

typedef struct {
    size_t rows, columns;     // segments in the two columns
    size_t values;            // different node differences and sums
    const double *table;      // [values][nodes] quadrature weight × ierfc(value × s)/s²
    const size_t *reach;      // [values] nodes in use (ierfc is nothing at the others)
    const uint32_t *index;    // [rows][columns][8] values of a pair, signs + + − − − − + +
    const double *overlap2_m; // [rows][columns] twice the overlap in depth
} gw_transfer_block;

typedef struct {
    const gw_transfer_block *block;
    double distance_m;
    size_t first, count; // of its pairs in `pairs`
} gw_transfer_key;

typedef struct {
    const uint32_t *member; // segment numbers, top to bottom
    size_t count;
    size_t type;
} gw_transfer_column;

typedef struct {
    uint32_t a, b;
} gw_transfer_pair;

typedef struct {
    const gw_field *field;
    gw_kernel_table table;
    size_t nodes;    // of the quadrature over s, rising
    const double *s; // [nodes]
    const double *w; // [nodes] step × s / (4πk): Σ w f = 1/(4πk) ∫ f ds
    size_t groups;
    const size_t *group;        // [segments]
    const double *length_m;     // [groups]
    const double *resistance_k; // [groups] Σ length × resistance: drop per W/m of the group
    size_t kernels;
    // columns of vertical bores
    const gw_transfer_column *column;
    const gw_transfer_key *key;
    size_t keys;
    const gw_transfer_pair *pair;
    // anything else
    const double *kernel;      // [kernels][nodes] w × f
    const uint32_t *kernel_of; // [segments (segments + 1)/2]
    size_t work;               // doubles of work space gw_transfer_matrix needs
} gw_transfer;

gw_status gw_transfer_create(gw_arena *arena, const gw_field *field, gw_transfer **out,
                             gw_err *err) GW_MUST_USE;

// The nodes over s alone, for the field and table already set.
gw_status gw_transfer_nodes(gw_arena *arena, gw_transfer *transfer, gw_err *err) GW_MUST_USE;

// e^(−p/(4αs²)) at the nodes.
void gw_transfer_factors(const gw_transfer *transfer, double p, double *factor);

// matrix[groups][groups] = Σ_i∈a Σ_j∈b L_i H_ij(p) + (on the diagonal) Σ L_i R_i. Symmetric.
// Threads may share the transfer, each with its own work[transfer->work] and matrix.
void gw_transfer_matrix(const gw_transfer *transfer, double p, double *work, double *matrix);

#endif
