// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "loop/ground_at.h"

#include "loop/ground_at_priv.h"

#include <math.h>
#include <stdio.h>

static const double NODES_PER_DECADE = 9.0;

static gw_status no_memory(gw_err *err)
{
    return gw_fail(err, GW_ERR_NOMEM, "past", "out of memory for the ground around the loop");
}

static gw_status check_past(const gw_ground_past *past, gw_err *err)
{
    if (past->segment_count < 1 || past->segment_count > GW_GROUND_LINES_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "past.segments", "found %zu lines, expected 1 to %d",
                       past->segment_count, (int)GW_GROUND_LINES_MAX);
    }
    if (past->count < 1 || past->count > GW_GROUND_SPANS_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "past.count", "found %zu spans, expected 1 to %d",
                       past->count, (int)GW_GROUND_SPANS_MAX);
    }
    for (size_t i = 0; i < past->count; i++) {
        const double start_s = i > 0 ? past->end_s[i - 1] : 0.0;
        if (!(past->end_s[i] > start_s && past->end_s[i] <= 1e11)) {
            return gw_fail(err, GW_ERR_RANGE, "past.end_s",
                           "span %zu ends at %g s, expected after its start at %g s", i + 1,
                           past->end_s[i], start_s);
        }
        if (!isfinite(past->heat_w[i])) {
            return gw_fail(err, GW_ERR_RANGE, "past.heat_w", "the heat of span %zu is not finite",
                           i + 1);
        }
    }
    gw_status st = GW_OK;
    for (size_t i = 0; st == GW_OK && i < past->segment_count; i++) {
        st = gw_segment_check(&past->segments[i], i, err);
        if (st == GW_OK && past->relative != NULL && !isfinite(past->relative[i])) {
            st = gw_fail(err, GW_ERR_RANGE, "past.relative", "the share of line %zu is not finite",
                         i + 1);
        }
    }
    return st;
}

static double total_m(const gw_ground_past *past)
{
    double sum_m = 0.0;
    for (size_t i = 0; i < past->segment_count; i++) {
        sum_m += past->segments[i].length_m;
    }
    return sum_m;
}

// Log-spaced from the shortest span to the whole past; spans of a loop are months, so that this is
// two or three decades.
static void lay_nodes(const gw_ground_past *past, gw_ground_nodes *out)
{
    double first_s = past->end_s[0];
    for (size_t i = 1; i < past->count; i++) {
        first_s = fmin(first_s, past->end_s[i] - past->end_s[i - 1]);
    }
    const double last_s = past->end_s[past->count - 1];
    const double decades = log10(last_s / first_s);
    size_t count = (size_t)ceil(decades * NODES_PER_DECADE) + 1;
    count = count < 4 ? 4 : count > GW_GROUND_NODES_MAX ? GW_GROUND_NODES_MAX : count;
    const double reach = decades > 0.01 ? decades : 0.01;
    for (size_t j = 0; j < count; j++) {
        out->times_s[j] = first_s * pow(10.0, reach * (double)j / (double)(count - 1));
    }
    out->count = count;
}

// Adds `amount` × the response at time t to the weights: Lagrange's cubic in ln t through the four
// nodes about it.
static void add_step(const gw_ground_nodes *nodes, double t_s, double amount, double *weight)
{
    const double step = log(nodes->times_s[1] / nodes->times_s[0]);
    const double place = fmax(log(t_s / nodes->times_s[0]) / step, 0.0);
    size_t first = place > 1.0 ? (size_t)place - 1 : 0;
    first = first + 4 > nodes->count ? nodes->count - 4 : first;
    for (size_t a = 0; a < 4; a++) {
        double w = amount;
        for (size_t b = 0; b < 4; b++) {
            if (b != a) {
                w *= (place - (double)(first + b)) / ((double)a - (double)b);
            }
        }
        weight[first + a] += w;
    }
}

gw_status gw_ground_priv_nodes(gw_arena *arena, const gw_ground_past *past,
                               const gw_ground_ask *ask, gw_ground_nodes *out, gw_err *err)
{
    const gw_status st = check_past(past, err);
    if (st != GW_OK) {
        return st;
    }
    lay_nodes(past, out);
    out->weight_w_m = gw_arena_alloc(arena, ask->span_count * out->count + 1, sizeof(double));
    if (out->weight_w_m == NULL) {
        return no_memory(err);
    }
    const double length_m = total_m(past);
    for (size_t s = 0; s < ask->span_count; s++) {
        const size_t last = ask->spans[s];
        if (last >= past->count) {
            return gw_fail(err, GW_ERR_RANGE, "spans", "found span %zu, expected below %zu", last,
                           past->count);
        }
        for (size_t i = 0; i <= last; i++) {
            const double step_w = past->heat_w[i] - (i > 0 ? past->heat_w[i - 1] : 0.0);
            const double begin_s = i > 0 ? past->end_s[i - 1] : 0.0;
            add_step(out, past->end_s[last] - begin_s, step_w / length_m,
                     out->weight_w_m + s * out->count);
        }
    }
    return GW_OK;
}

gw_status gw_ground_at_points(gw_arena *arena, const gw_ground_past *past, const gw_ground_ask *ask,
                              double *drop_k, gw_err *err)
{
    gw_ground_nodes nodes;
    gw_status st = gw_ground_priv_nodes(arena, past, ask, &nodes, err);
    for (size_t i = 0; st == GW_OK && i < ask->point_count; i++) {
        const gw_position *const p = &ask->points[i];
        if (!(p->z_m >= 0.0 && isfinite(p->z_m) && isfinite(p->x_m) && isfinite(p->y_m))) {
            char field[32];
            snprintf(field, sizeof field, "points[%zu]", i);
            return gw_fail(err, GW_ERR_RANGE, field,
                           "found (%g, %g) at depth %g m, expected finite numbers and a depth of "
                           "0 or more",
                           p->x_m, p->y_m, p->z_m);
        }
    }
    double *const h_mk_w =
        st == GW_OK ? gw_arena_alloc(arena, ask->point_count * nodes.count + 1, sizeof *h_mk_w)
                    : NULL;
    if (h_mk_w == NULL) {
        return st != GW_OK ? st : no_memory(err);
    }
    const gw_response_case with = {
        .medium = past->medium, .times_s = nodes.times_s, .count = nodes.count};
    const gw_response_map map = {.segments = past->segments,
                                 .load_w_m = past->relative,
                                 .segment_count = past->segment_count,
                                 .points = ask->points,
                                 .point_count = ask->point_count};
    st = ask->point_count > 0 ? gw_response_map_points(&with, &map, h_mk_w, err) : GW_OK;
    for (size_t i = 0; st == GW_OK && i < ask->point_count; i++) {
        for (size_t s = 0; s < ask->span_count; s++) {
            double sum_k = 0.0;
            for (size_t j = 0; j < nodes.count; j++) {
                sum_k += nodes.weight_w_m[s * nodes.count + j] * h_mk_w[i * nodes.count + j];
            }
            drop_k[i * ask->span_count + s] = sum_k;
        }
    }
    return st;
}
