// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Numbers held against their limits, a list at a time: the check that opens most functions.
//
// The first number outside is reported; NaN is outside. It does not convert or correct.
//
//   const gw_range ranges[] = {{"depth_m", depth_m, 0.6, 4.0}, {"width_m", width_m, 0.1, 3.0}};
//   st = gw_range_check(ranges, 2, err);  // "depth_m 5 must be 0.6 to 4"
#ifndef GW_RANGE_H
#define GW_RANGE_H

#include "base/err.h"

#include <stddef.h>

typedef struct {
    const char *field; // name in the message and in err->field
    double value;
    double least;
    double most;
} gw_range;

// The same where the message says the unit instead of the name.
typedef struct {
    const char *field;
    double value;
    double least;
    double most;
    const char *unit; // "" for none
} gw_unit_range;

// Errors: GW_ERR_RANGE.
gw_status gw_range_check(const gw_range *ranges, size_t count, gw_err *err) GW_MUST_USE;
gw_status gw_unit_range_check(const gw_unit_range *ranges, size_t count, gw_err *err) GW_MUST_USE;

#endif
