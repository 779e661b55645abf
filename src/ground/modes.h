// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the ground room: a field known at the p of a spectrum, and its way to times.
#ifndef GW_GROUND_MODES_H
#define GW_GROUND_MODES_H

#include "ground/field.h"
#include "ground/spectrum.h"
#include "ground/transfer.h"

// What the field does for 1 W per metre of its segments.
typedef struct {
    gw_transfer *transfer;
    gw_spectrum spectrum;
    double *drop;   // [spectrum] fluid temperature drop, p-multiplied
    double *load;   // [spectrum][groups] W/m of each group; NULL where nothing asks for it
    double instant; // drop of the first instant
} gw_modes;

double gw_modes_length_m(const gw_field *field); // sum over the segments

// 1 W per metre of total_length_m in W per metre of the segments.
double gw_modes_ratio(const gw_field *field);

typedef enum {
    GW_MODES_USUAL,
    GW_MODES_LARGE,  // every p is dear: 4 per decade, else 5
    GW_MODES_UNLIKE, // pieces share the load unequally from the start
} gw_modes_kind;

// The p to solve at.
gw_status gw_modes_spectrum(gw_arena *arena, const gw_field *field, const gw_field_times *times,
                            gw_modes_kind kind, gw_spectrum *out, gw_err *err) GW_MUST_USE;

// Fills the step response; unknowns and kernels of *out are the caller's.
gw_status gw_modes_to_times(gw_arena *arena, const gw_modes *modes, const gw_field_times *times,
                            gw_field_step *out, gw_err *err) GW_MUST_USE;

#endif
