// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/resistance.h"

#include "base/range.h"

#include <math.h>
#include <stdbool.h>

static const double PI = 3.14159265358979323846;

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

gw_status gw_pipe_resistance(const gw_pipe_wall *pipe, double *out_mk_w, gw_err *err)
{
    const gw_range items[] = {
        {"outer_radius_m", pipe->outer_radius_m, 1e-3, 1.0},
        {"inner_radius_m", pipe->inner_radius_m, 5e-4, pipe->outer_radius_m},
        {"conductivity_w_mk", pipe->conductivity_w_mk, 0.05, 500.0},
        {"film_w_m2k", pipe->film_w_m2k, 1.0, 1e6},
    };
    const gw_status st = gw_range_check(items, COUNT(items), err);
    if (st != GW_OK) {
        return st;
    }
    *out_mk_w =
        log(pipe->outer_radius_m / pipe->inner_radius_m) / (2.0 * PI * pipe->conductivity_w_mk) +
        1.0 / (2.0 * PI * pipe->inner_radius_m * pipe->film_w_m2k);
    return GW_OK;
}

// Cross-sections

static gw_status check_places(const gw_bore_section *section, gw_err *err)
{
    // Touching is allowed; a billionth of the radius is rounding.
    const double slack_m = 1e-9 * section->radius_m;
    for (size_t i = 0; i < section->pipe_count; ++i) {
        const gw_bore_pipe *const p = &section->pipes[i];
        if (!(hypot(p->x_m, p->y_m) + p->outer_radius_m <= section->radius_m + slack_m)) {
            return gw_fail(err, GW_ERR_GEOMETRY, "pipes",
                           "pipe %zu reaches out of the bore of radius %.4f m", i + 1,
                           section->radius_m);
        }
        for (size_t j = 0; j < i; ++j) {
            const gw_bore_pipe *const o = &section->pipes[j];
            const double gap_m =
                hypot(p->x_m - o->x_m, p->y_m - o->y_m) - p->outer_radius_m - o->outer_radius_m;
            if (!(gap_m >= -slack_m)) {
                return gw_fail(err, GW_ERR_GEOMETRY, "pipes", "pipes %zu and %zu overlap by %.4f m",
                               j + 1, i + 1, -gap_m);
            }
        }
    }
    return GW_OK;
}

gw_status gw_bore_section_check(const gw_bore_section *section, gw_err *err)
{
    const gw_range items[] = {
        {"radius_m", section->radius_m, 0.01, 1.0},
        {"grout_w_mk", section->grout_w_mk, 0.05, 20.0},
        {"ground_w_mk", section->ground_w_mk, 0.05, 20.0},
        {"pipe_count", (double)section->pipe_count, 1.0, (double)GW_BORE_PIPES_MAX},
    };
    gw_status st = gw_range_check(items, COUNT(items), err);
    for (size_t i = 0; st == GW_OK && i < section->pipe_count; ++i) {
        const gw_bore_pipe *const p = &section->pipes[i];
        const gw_range pipe[] = {
            {"x_m", p->x_m, -1.0, 1.0},
            {"y_m", p->y_m, -1.0, 1.0},
            {"outer_radius_m", p->outer_radius_m, 1e-3, 1.0},
            {"resistance_mk_w", p->resistance_mk_w, 0.0, 100.0},
        };
        st = gw_range_check(pipe, COUNT(pipe), err);
    }
    return st != GW_OK ? st : check_places(section, err);
}

gw_status gw_bore_section_of_u_tube(const gw_bore_u_tube *tube, gw_bore_section *out, gw_err *err)
{
    if (!(tube->u_count == 1 || tube->u_count == 2)) {
        return gw_fail(err, GW_ERR_RANGE, "u_count", "%u U-tubes must be 1 or 2", tube->u_count);
    }
    static const double cosine[] = {1.0, 0.0, -1.0, 0.0};
    static const double sine[] = {0.0, 1.0, 0.0, -1.0};
    *out = (gw_bore_section){.radius_m = tube->bore_radius_m,
                             .grout_w_mk = tube->grout_w_mk,
                             .ground_w_mk = tube->ground_w_mk,
                             .pipe_count = 2 * (size_t)tube->u_count};
    const size_t turn = tube->u_count == 1 ? 2 : 1;
    for (size_t i = 0; i < out->pipe_count; ++i) {
        out->pipes[i] = (gw_bore_pipe){.x_m = tube->axis_radius_m * cosine[turn * i],
                                       .y_m = tube->axis_radius_m * sine[turn * i],
                                       .outer_radius_m = tube->pipe_outer_radius_m,
                                       .resistance_mk_w = tube->pipe_resistance_mk_w};
    }
    return gw_bore_section_check(out, err);
}

// Reduction to two numbers

gw_status gw_bore_resistance_of(const gw_bore_matrix *matrix, unsigned down_mask,
                                gw_bore_resistance *out, gw_err *err)
{
    const size_t n = matrix->pipe_count;
    if (!(n >= 1 && n <= GW_BORE_PIPES_MAX)) {
        return gw_fail(err, GW_ERR_RANGE, "pipe_count", "%zu pipes must be 1 to %d", n,
                       GW_BORE_PIPES_MAX);
    }
    const unsigned all = (1u << n) - 1u;
    if ((down_mask & ~all) != 0u) {
        return gw_fail(err, GW_ERR_RANGE, "down_mask", "mask 0x%x names more than %zu pipes",
                       down_mask, n);
    }
    double k[2][2] = {{0.0}}; // conductances of the two groups
    for (size_t i = 0; i < n; ++i) {
        for (size_t j = 0; j < n; ++j) {
            k[(down_mask >> i) & 1u][(down_mask >> j) & 1u] += matrix->conductance_w_mk[i][j];
        }
    }
    const double total = k[0][0] + k[0][1] + k[1][0] + k[1][1];
    out->bore_mk_w = 1.0 / total;
    const double det = k[0][0] * k[1][1] - k[0][1] * k[1][0];
    const bool both = down_mask != 0u && down_mask != all;
    // r00 + r11 − r01 − r10 of the inverse: (down − up) when all heat of one goes to the other.
    out->internal_mk_w = both ? total / det : 0.0;
    return GW_OK;
}

gw_status gw_bore_u_tube_closed(const gw_bore_u_tube *tube, unsigned order, gw_bore_resistance *out,
                                gw_err *err)
{
    gw_bore_section section;
    const gw_status st = gw_bore_section_of_u_tube(tube, &section, err);
    if (st != GW_OK) {
        return st;
    }
    if (tube->u_count != 1 || order > 1) {
        return gw_fail(err, GW_ERR_RANGE, "order",
                       "closed forms are for one U-tube, order 0 or 1 (found %u U-tubes, order %u)",
                       tube->u_count, order);
    }
    const double kb = tube->grout_w_mk;
    const double t1 = tube->axis_radius_m / tube->bore_radius_m;
    const double t2 = tube->bore_radius_m / tube->pipe_outer_radius_m;
    const double t3 = tube->pipe_outer_radius_m / (2.0 * tube->axis_radius_m);
    const double s = (kb - tube->ground_w_mk) / (kb + tube->ground_w_mk);
    const double b = 2.0 * PI * kb * tube->pipe_resistance_mk_w;
    const double t12 = t1 * t1, t14 = t12 * t12, t32 = t3 * t3;
    const double rest = 1.0 - t14;
    double rb = b + log(t2 / (2.0 * t1 * pow(rest, s)));
    double ra = b + log(pow((1.0 + t12) / (1.0 - t12), s) / t3);
    if (order == 1) {
        // Numerator and denominator times (1 − b), so that b = 1 is no pole.
        const double up_b = 1.0 - 4.0 * s * t14 / rest;
        rb -= t32 * up_b * up_b * (1.0 - b) /
              (1.0 + b + (1.0 - b) * t32 * (1.0 + 16.0 * s * t14 / (rest * rest)));
        const double up_a = rest + 4.0 * s * t12;
        ra -= t32 * up_a * up_a * (1.0 - b) /
              ((1.0 + b) * rest * rest -
               (1.0 - b) * t32 * (rest * rest - 8.0 * s * t12 * (1.0 + t14)));
    }
    out->bore_mk_w = rb / (4.0 * PI * kb);
    out->internal_mk_w = ra / (PI * kb);
    return GW_OK;
}

gw_status gw_bore_grout_by_shape(const gw_bore_u_tube *tube, gw_bore_placing placing,
                                 double *out_mk_w, gw_err *err)
{
    // Remund 1999, from memory.
    static const double beta0[] = {20.10, 17.44, 21.91};
    static const double beta1[] = {-0.9447, -0.6052, -0.3796};
    const gw_range items[] = {
        {"grout_w_mk", tube->grout_w_mk, 0.05, 20.0},
        {"pipe_outer_radius_m", tube->pipe_outer_radius_m, 1e-3, tube->bore_radius_m / 2.0},
        {"bore_radius_m", tube->bore_radius_m, 0.01, 1.0},
        {"placing", (double)placing, 0.0, 2.0},
    };
    const gw_status st = gw_range_check(items, COUNT(items), err);
    if (st != GW_OK) {
        return st;
    }
    const double shape =
        beta0[placing] * pow(tube->bore_radius_m / tube->pipe_outer_radius_m, beta1[placing]);
    *out_mk_w = 1.0 / (tube->grout_w_mk * shape);
    return GW_OK;
}

// Pipe in pipe

gw_status gw_bore_coaxial_resistance(const gw_bore_coaxial *coaxial, gw_bore_resistance *out,
                                     gw_err *err)
{
    const gw_range items[] = {
        {"bore_radius_m", coaxial->bore_radius_m, 0.01, 1.0},
        {"outer_radius_m", coaxial->outer.outer_radius_m, 1e-3, coaxial->bore_radius_m},
        {"inner_outside_film_w_m2k", coaxial->inner_outside_film_w_m2k, 1.0, 1e6},
        {"grout_w_mk", coaxial->grout_w_mk, 0.05, 20.0},
    };
    gw_status st = gw_range_check(items, COUNT(items), err);
    double inner_mk_w, outer_mk_w;
    if (st == GW_OK) {
        st = gw_pipe_resistance(&coaxial->inner, &inner_mk_w, err);
    }
    if (st == GW_OK) {
        st = gw_pipe_resistance(&coaxial->outer, &outer_mk_w, err);
    }
    if (st != GW_OK) {
        return st;
    }
    if (!(coaxial->inner.outer_radius_m < coaxial->outer.inner_radius_m)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "inner.outer_radius_m",
                       "inner pipe of radius %.4f m does not fit in %.4f m",
                       coaxial->inner.outer_radius_m, coaxial->outer.inner_radius_m);
    }
    out->bore_mk_w = outer_mk_w + log(coaxial->bore_radius_m / coaxial->outer.outer_radius_m) /
                                      (2.0 * PI * coaxial->grout_w_mk);
    out->internal_mk_w = inner_mk_w + 1.0 / (2.0 * PI * coaxial->inner.outer_radius_m *
                                             coaxial->inner_outside_film_w_m2k);
    return GW_OK;
}
