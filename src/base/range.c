// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/range.h"

#include <stdbool.h>

// Written so that NaN is outside.
static bool is_inside(double value, double least, double most)
{
    return value >= least && value <= most;
}

gw_status gw_range_check(const gw_range *ranges, size_t count, gw_err *err)
{
    for (size_t i = 0; i < count; i++) {
        const gw_range *const r = &ranges[i];
        if (!is_inside(r->value, r->least, r->most)) {
            return gw_fail(err, GW_ERR_RANGE, r->field, "%s %g must be %g to %g", r->field,
                           r->value, r->least, r->most);
        }
    }
    return GW_OK;
}

gw_status gw_unit_range_check(const gw_unit_range *ranges, size_t count, gw_err *err)
{
    for (size_t i = 0; i < count; i++) {
        const gw_unit_range *const r = &ranges[i];
        if (!is_inside(r->value, r->least, r->most)) {
            return gw_fail(err, GW_ERR_RANGE, r->field, "%g %s must be %g to %g", r->value, r->unit,
                           r->least, r->most);
        }
    }
    return GW_OK;
}
