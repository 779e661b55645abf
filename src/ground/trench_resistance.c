// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/trench_resistance.h"

#include <math.h>

static const double PI = 3.14159265358979323846;

// Neher & McGrath 1957, eq. 46: ln rb = (x/2y)(4/π − x/y) ln(1 + y²/x²) + ln(x/2), x the shorter
// side.
double gw_trench_equivalent_radius_m(double shorter_m, double longer_m)
{
    const double ratio = shorter_m / longer_m;
    return shorter_m / 2.0 *
           exp(0.5 * ratio * (4.0 / PI - ratio) * log(1.0 + 1.0 / (ratio * ratio)));
}

static gw_status check_numbers(const gw_trench_section *trench, gw_err *err)
{
    const struct {
        const char *field;
        double value, least, most;
    } items[] = {
        {"width_m", trench->width_m, 0.05, 10.0},
        {"top_m", trench->top_m, 0.0, 10.0},
        {"bottom_m", trench->bottom_m, 0.1, 10.0},
        {"backfill_w_mk", trench->backfill_w_mk, 0.1, 10.0},
        {"native_w_mk", trench->native_w_mk, 0.1, 10.0},
        {"pipe_outer_radius_m", trench->pipe_outer_radius_m, 0.002, 0.2},
        {"pipe_count", (double)trench->pipe_count, 1.0, 64.0},
    };
    for (size_t i = 0; i < sizeof items / sizeof items[0]; ++i) {
        if (!(items[i].value >= items[i].least && items[i].value <= items[i].most)) {
            return gw_fail(err, GW_ERR_RANGE, items[i].field, "%s %g must be %g to %g",
                           items[i].field, items[i].value, items[i].least, items[i].most);
        }
    }
    const double height_m = trench->bottom_m - trench->top_m;
    const double longer_m = fmax(trench->width_m, height_m);
    const double shorter_m = fmin(trench->width_m, height_m);
    if (!(shorter_m > 0.0 && longer_m <= 3.0 * shorter_m * (1.0 + 1e-9))) {
        return gw_fail(err, GW_ERR_RANGE, "bottom_m",
                       "backfill %.2f m wide and %.2f m high must have sides within 1:3",
                       trench->width_m, height_m);
    }
    const double contrast = trench->backfill_w_mk / trench->native_w_mk;
    if (!(contrast >= 1.0 / 3.0 && contrast <= 3.0)) {
        return gw_fail(err, GW_ERR_RANGE, "backfill_w_mk",
                       "backfill %.2f and soil %.2f W/mK must be within a factor of 3",
                       trench->backfill_w_mk, trench->native_w_mk);
    }
    return GW_OK;
}

static gw_status check_pipes(const gw_trench_section *trench, gw_err *err)
{
    const double r = trench->pipe_outer_radius_m;
    for (size_t i = 0; i < trench->pipe_count; ++i) {
        const gw_trench_pipe *const p = &trench->pipes[i];
        const bool across = fabs(p->x_m) + r <= trench->width_m / 2.0 * (1.0 + 1e-9);
        const bool down = p->depth_m - r >= trench->top_m && p->depth_m + r <= trench->bottom_m;
        if (!(across && down)) {
            return gw_fail(err, GW_ERR_GEOMETRY, "pipes",
                           "pipe %zu at %.2f m across, %.2f m deep is outside the backfill", i + 1,
                           p->x_m, p->depth_m);
        }
        for (size_t j = 0; j < i; ++j) {
            const gw_trench_pipe *const o = &trench->pipes[j];
            if (!(hypot(p->x_m - o->x_m, p->depth_m - o->depth_m) >= 2.0 * r * (1.0 - 1e-9))) {
                return gw_fail(err, GW_ERR_GEOMETRY, "pipes", "pipes %zu and %zu overlap", j + 1,
                               i + 1);
            }
        }
    }
    return GW_OK;
}

// Mean over the pipes of the sum of logs of image distance over real distance.
static double mean_log_sum(const gw_trench_section *trench)
{
    double sum = 0.0;
    for (size_t i = 0; i < trench->pipe_count; ++i) {
        const gw_trench_pipe *const p = &trench->pipes[i];
        sum += log(2.0 * p->depth_m / trench->pipe_outer_radius_m);
        for (size_t j = 0; j < trench->pipe_count; ++j) {
            const gw_trench_pipe *const o = &trench->pipes[j];
            if (j != i) {
                const double dx = p->x_m - o->x_m;
                sum += log(hypot(dx, p->depth_m + o->depth_m) / hypot(dx, p->depth_m - o->depth_m));
            }
        }
    }
    return sum / (double)trench->pipe_count;
}

gw_status gw_trench_backfill_resistance(const gw_trench_section *trench, double *out_mk_w,
                                        gw_err *err)
{
    gw_status st = check_numbers(trench, err);
    if (st == GW_OK) {
        st = check_pipes(trench, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const double height_m = trench->bottom_m - trench->top_m;
    const double centre_m = (trench->top_m + trench->bottom_m) / 2.0;
    const double rb_m = gw_trench_equivalent_radius_m(fmin(trench->width_m, height_m),
                                                      fmax(trench->width_m, height_m));
    // A cylinder that would break through the surface is held to touch it.
    const double ratio = fmax(centre_m / rb_m, 1.0);
    const double outside =
        (double)trench->pipe_count * log(ratio + sqrt(ratio * ratio - 1.0)); // N·Gb, eq. 45
    const double inside = mean_log_sum(trench) - outside;
    *out_mk_w = inside / (2.0 * PI) * (1.0 / trench->backfill_w_mk - 1.0 / trench->native_w_mk);
    return GW_OK;
}
