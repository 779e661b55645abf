// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/groundwater.h"

#include "ground/kernel.h"

#include <math.h>
#include <stdio.h>

enum { NODES = 12, CIRCLE = 96 };
static const double WATER_J_M3K = 4.19e6;
static const double FELT = 1.2, STRONG = 10.0;
static const double LARGEST_X = 40.0; // U r/2α: beyond it the wall is cooled like a rod in a stream

static double heat_speed(const gw_groundwater_case *with)
{
    const double water =
        with->water.water_heat_j_m3k > 0.0 ? with->water.water_heat_j_m3k : WATER_J_M3K;
    return with->water.darcy_m_s * water * with->medium.diffusivity_m2_s /
           with->medium.conductivity_w_mk;
}

static gw_status check_water(const gw_groundwater_case *with, gw_err *err)
{
    const gw_groundwater *const w = &with->water;
    if (!(w->darcy_m_s >= 0.0 && w->darcy_m_s <= 1e-3)) {
        return gw_fail(err, GW_ERR_RANGE, "darcy_m_s", "Darcy flux %g m/s must be 0 to 1e-3 m/s",
                       w->darcy_m_s);
    }
    if (!(w->water_heat_j_m3k >= 0.0 && w->water_heat_j_m3k <= 5e6)) {
        return gw_fail(err, GW_ERR_RANGE, "water_heat_j_m3k",
                       "heat capacity of the water %g J/(m3·K) must be 0 to 5e6",
                       w->water_heat_j_m3k);
    }
    const double length = hypot(w->to_x, w->to_y);
    if (!(length > 0.0 && isfinite(length))) {
        return gw_fail(err, GW_ERR_RANGE, "to_x", "direction (%g, %g) must have a length", w->to_x,
                       w->to_y);
    }
    return GW_OK;
}

static gw_status check_bores(const gw_groundwater_case *with, gw_err *err)
{
    if (with->count < 1 || with->count > 500) {
        return gw_fail(err, GW_ERR_RANGE, "bores", "%zu bores must be 1 to 500", with->count);
    }
    const double widest = LARGEST_X * 2.0 * with->medium.diffusivity_m2_s;
    for (size_t i = 0; i < with->count; ++i) {
        char name[48];
        (void)snprintf(name, sizeof name, "bores[%zu]", i);
        if (!(fabs(with->bores[i].dz) >= 1.0 - 1e-9)) {
            return gw_fail(err, GW_ERR_GEOMETRY, name, "the bore must be vertical");
        }
        if (!(with->bores[i].radius_m * heat_speed(with) <= widest)) {
            return gw_fail(err, GW_ERR_RANGE, "darcy_m_s",
                           "water at %g m/s is too fast for a line source of radius %g m",
                           with->water.darcy_m_s, with->bores[i].radius_m);
        }
    }
    return gw_segments_check(with->bores, with->count, err);
}

// Mean of e^(x (cos φ − 1)) around a circle: e^(−x) I0(x), by the trapezoidal rule, which converges
// exponentially on a circle.
static double around_wall(double x)
{
    double sum = 0.0;
    for (int i = 0; i < CIRCLE; ++i) {
        sum += exp(x * (cos(2.0 * M_PI * (double)i / CIRCLE) - 1.0));
    }
    return sum / CIRCLE;
}

// One bore on another: e^(s part) is e^(−(s d − U/4αs)²), with the factor that is left outside.
typedef struct {
    gw_segment on, from; // both on one axis with a vanishing radius: the depths' part alone
    double distance_m;   // d: between the axes, or the wall's radius
    double factor; // e^(U (Δ − d)/2α) downstream distance Δ; around the wall: e^(−x) I0(x)
    double half_rate; // U/4α, 1/m
} carried;

static carried pair_of(const gw_groundwater_case *with, double speed, size_t i, size_t j)
{
    const gw_segment *const on = &with->bores[i], *const from = &with->bores[j];
    carried c = {*on, *from, on->radius_m, 1.0, speed / (4.0 * with->medium.diffusivity_m2_s)};
    if (i == j) {
        c.factor = around_wall(2.0 * c.half_rate * on->radius_m);
    } else {
        const double dx = on->x_m - from->x_m, dy = on->y_m - from->y_m;
        const double along = (dx * with->water.to_x + dy * with->water.to_y) /
                             hypot(with->water.to_x, with->water.to_y);
        c.distance_m = hypot(dx, dy);
        c.factor = exp(2.0 * c.half_rate * (along - c.distance_m));
    }
    c.from.x_m = c.on.x_m;
    c.from.y_m = c.on.y_m;
    c.on.radius_m = c.from.radius_m = 1e-4;
    return c;
}

// ∫ f e^(−U²/16α²s²) ds/(4πk L) from 1/√(4αt), in ln s by Gauss–Legendre panels.
static double carried_response(const gw_groundwater_case *with, const carried *c,
                               const gw_kernel_table *table, double time_s)
{
    const double d = c->distance_m, x = 2.0 * c->half_rate * d;
    const double low = 1.0 / sqrt(4.0 * with->medium.diffusivity_m2_s * time_s);
    const double reach = sqrt(GW_KERNEL_EXP_END);
    const double high = (reach + sqrt(reach * reach + 2.0 * x)) / (2.0 * d);
    if (!(high > low)) {
        return 0.0;
    }
    double node[NODES], weight[NODES], s[NODES], f[NODES];
    gw_gauss_legendre(NODES, node, weight);
    const double span = log(high / low);
    const size_t panels = (size_t)ceil(span / fmin(0.4, 2.0 / sqrt(1.0 + 4.0 * x)));
    const double half = 0.5 * span / (double)panels;
    const gw_kernel_at at = {table, s, NODES, false};
    double sum = 0.0;
    for (size_t p = 0; p < panels; ++p) {
        for (size_t q = 0; q < NODES; ++q) {
            s[q] = low * exp(half * (2.0 * (double)p + 1.0 + node[q]));
        }
        gw_kernel_pair(&at, &c->on, &c->from, f);
        for (size_t q = 0; q < NODES; ++q) {
            const double apart = s[q] * d - c->half_rate / s[q], thin = 1e-4 * s[q];
            sum += half * weight[q] * s[q] * f[q] * exp(thin * thin - apart * apart);
        }
    }
    return c->factor * sum / (4.0 * M_PI * with->medium.conductivity_w_mk * c->on.length_m);
}

static gw_groundwater_change change_at(const gw_groundwater_case *with,
                                       const gw_kernel_table *table, double speed, double time_s)
{
    gw_groundwater_change change = {0.0, 0.0, 0.0};
    for (size_t i = 0; i < with->count; ++i) {
        double moving = 0.0;
        for (size_t j = 0; j < with->count; ++j) {
            const carried flow = pair_of(with, speed, i, j), still = pair_of(with, 0.0, i, j);
            moving += carried_response(with, &flow, table, time_s);
            change.still_mk_w += carried_response(with, &still, table, time_s);
        }
        change.moving_mk_w += moving;
        change.coldest_mk_w = fmax(change.coldest_mk_w, moving);
    }
    change.still_mk_w /= (double)with->count;
    change.moving_mk_w /= (double)with->count;
    return change;
}

static void find_numbers(const gw_groundwater_case *with, gw_groundwater_screening *out)
{
    const double speed = heat_speed(with), alpha = with->medium.diffusivity_m2_s;
    double length = 0.0, spacing = HUGE_VAL;
    for (size_t i = 0; i < with->count; ++i) {
        length += with->bores[i].length_m / (double)with->count;
        for (size_t j = 0; j < i; ++j) {
            spacing = fmin(spacing, hypot(with->bores[i].x_m - with->bores[j].x_m,
                                          with->bores[i].y_m - with->bores[j].y_m));
        }
    }
    const double peclet = speed * length / alpha;
    *out = (gw_groundwater_screening){
        .heat_m_s = speed,
        .peclet_length = peclet,
        .peclet_spacing = with->count > 1 ? speed * spacing / alpha : 0.0,
        .class = peclet < FELT      ? GW_GROUNDWATER_NEGLIGIBLE
                 : peclet <= STRONG ? GW_GROUNDWATER_FELT
                                    : GW_GROUNDWATER_STRONG,
    };
}

gw_status gw_groundwater_screen(const gw_groundwater_case *with, gw_groundwater_screening *out,
                                gw_groundwater_change *change, gw_err *err)
{
    const gw_response_case times = {with->medium, with->times_s, with->times, false};
    gw_status st = gw_response_check(&times, err);
    if (st == GW_OK) {
        st = check_water(with, err);
    }
    if (st == GW_OK) {
        st = check_bores(with, err);
    }
    if (st == GW_OK && !isfinite(with->times_s[with->times - 1])) {
        st = gw_fail(err, GW_ERR_RANGE, "times", "the last time must be finite");
    }
    if (st != GW_OK) {
        return st;
    }
    gw_kernel_table table;
    gw_kernel_table_init(&table);
    find_numbers(with, out);
    for (size_t i = 0; i < with->times; ++i) {
        change[i] = change_at(with, &table, out->heat_m_s, with->times_s[i]);
    }
    return GW_OK;
}
