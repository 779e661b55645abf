// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Large fields of equal vertical bores (hundreds to thousands, anywhere): the step response for
// equal temperature everywhere, with far fewer unknowns than bores × pieces.
//
// Method: each bore has its own mean load, exactly as many unknowns as bores; how the load is
// spread over the depth is common to the bores of a class. Classes are cut from the temperature of
// each bore under equal load everywhere (the idea of Prieto & Cimmino 2021, J. Build. Perf. Simul.
// 14(4):394, who give all bores of a class the same load as well), steady and while only near
// neighbours are felt. The loads allowed are a subspace, and the system is the symmetric one
// restricted to it, so that the error of the response is of second order in what is left out. In
// the Laplace domain the sums over pairs of bores do not depend on p but for one curve over
// distance.
// Accuracy: with 8 classes within 0.15 % of gw_field_step_response, which is the check, for up to
// 256 bores on a grid or at random. 1,024 bores of 12 pieces take about 30 MB.
//
//   const gw_field_large large = {&field, 8};
//   st = gw_field_step_response_large(arena, &large, &times, &step, err);
#ifndef GW_GROUND_LARGE_H
#define GW_GROUND_LARGE_H

#include "ground/field.h"

typedef struct {
    const gw_field *field; // vertical bores, equal in depth, pieces, radius and resistance, the
                           // pieces of one after the other; boundary GW_FIELD_EQUAL_TEMPERATURE
    size_t classes;        // 1 to 64
} gw_field_large;

// Errors: as gw_field_step_response; GW_ERR_GEOMETRY for bores that are not equal.
gw_status gw_field_step_response_large(gw_arena *arena, const gw_field_large *large,
                                       const gw_field_times *times, gw_field_step *out,
                                       gw_err *err) GW_MUST_USE;

#endif
