// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/aggregate.h"

gw_status gw_aggregation_init(gw_arena *arena, size_t per_level, size_t steps, gw_aggregation *out,
                              gw_err *err)
{
    if (per_level < 2 || per_level > 1000) {
        return gw_fail(err, GW_ERR_RANGE, "per_level", "%zu cells per level must be 2 to 1000",
                       per_level);
    }
    if (steps < 1 || steps > 100000000) {
        return gw_fail(err, GW_ERR_RANGE, "steps", "%zu steps must be 1 to 1e8", steps);
    }
    size_t cells = 0, width = 1;
    for (size_t reach = 0; reach < steps; width *= 2) {
        reach += per_level * width;
        cells += per_level;
    }
    double *const all = gw_arena_alloc(arena, 4 * cells, sizeof *all);
    if (all == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for %zu cells", cells);
    }
    *out = (gw_aggregation){cells, all, all + cells, all + 2 * cells, all + 3 * cells};
    double edge = 0.0, size = 1.0;
    for (size_t v = 0; v < cells; ++v) {
        if (v > 0 && v % per_level == 0) {
            size *= 2.0;
        }
        edge += size;
        out->width_steps[v] = size;
        out->edge_steps[v] = edge;
    }
    return GW_OK;
}

double gw_aggregation_advance(gw_aggregation *sum, double load)
{
    // Oldest cell first, so that each takes from its neighbour's value before the step.
    for (size_t v = sum->cells - 1; v > 0; --v) {
        sum->load[v] += (sum->load[v - 1] - sum->load[v]) / sum->width_steps[v];
    }
    sum->load[0] = load;
    double change = 0.0, before = 0.0;
    for (size_t v = 0; v < sum->cells; ++v) {
        change += sum->load[v] * (sum->step_at_edge[v] - before);
        before = sum->step_at_edge[v];
    }
    return change;
}
