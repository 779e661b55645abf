// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/circuits.h"

#include "ground/dense.h"
#include "ground/modes.h"
#include "ground/pass.h"

#include <math.h>
#include <omp.h>
#include <stdio.h>

static gw_status no_memory(gw_err *err)
{
    return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for the circuits");
}

// ---- checks ----

static gw_status check_pass(const gw_field_network *net, size_t i, gw_err *err)
{
    const gw_field_pass *const pass = &net->passes[i];
    const size_t before = i > 0 ? net->passes[i - 1].circuit : 0;
    char name[48];
    (void)snprintf(name, sizeof name, "passes[%zu]", i);
    if (pass->segments < 1 || pass->segments > 1000) {
        return gw_fail(err, GW_ERR_RANGE, name, "%zu segments must be 1 to 1000", pass->segments);
    }
    if (i == 0 ? pass->circuit != 0 : pass->circuit < before || pass->circuit > before + 1) {
        return gw_fail(err, GW_ERR_RANGE, name,
                       "circuit %zu after circuit %zu: circuits must follow each other from 0",
                       pass->circuit, before);
    }
    const gw_bore_resistance *const r = &pass->resistance;
    if (!(r->bore_mk_w >= 1e-4 && r->bore_mk_w <= 100.0)) {
        return gw_fail(err, GW_ERR_RANGE, name, "bore resistance %g m·K/W must be 1e-4 to 100",
                       r->bore_mk_w);
    }
    if (pass->path != GW_PATH_THROUGH && !(r->internal_mk_w >= 1e-4)) {
        return gw_fail(err, GW_ERR_RANGE, name, "internal resistance %g m·K/W must be 1e-4 or more",
                       r->internal_mk_w);
    }
    return GW_OK;
}

static gw_status check_flows(const gw_field_network *net, gw_err *err)
{
    const size_t circuits = net->passes[net->pass_count - 1].circuit + 1;
    if (circuits != net->circuit_count) {
        return gw_fail(err, GW_ERR_MISSING, "capacity_w_k", "%zu flows are given for %zu circuits",
                       net->circuit_count, circuits);
    }
    for (size_t c = 0; c < circuits; ++c) {
        const double w_k = net->capacity_w_k[c];
        char name[48];
        (void)snprintf(name, sizeof name, "capacity_w_k[%zu]", c);
        if (!(w_k >= 0.1 && w_k <= 1e7)) {
            return gw_fail(err, GW_ERR_RANGE, name, "flow of %g W/K must be 0.1 to 1e7 W/K", w_k);
        }
    }
    return GW_OK;
}

static gw_field field_of(const gw_field_network *net)
{
    return (gw_field){.segments = net->segments,
                      .count = net->count,
                      .medium = net->medium,
                      .boundary = GW_FIELD_EQUAL_TEMPERATURE,
                      .total_length_m = net->total_length_m};
}

gw_status gw_field_network_check(const gw_field_network *network, gw_err *err)
{
    if (network->count > 5000) {
        return gw_fail(err, GW_ERR_RANGE, "segments", "%zu segments must be 1 to 5000",
                       network->count);
    }
    if (network->pass_count < 1) {
        return gw_fail(err, GW_ERR_MISSING, "passes", "there must be at least one pass");
    }
    const gw_field field = field_of(network);
    gw_status st = gw_field_check(&field, err);
    size_t segments = 0;
    for (size_t i = 0; i < network->pass_count && st == GW_OK; ++i) {
        st = check_pass(network, i, err);
        segments += network->passes[i].segments;
    }
    if (st == GW_OK && segments != network->count) {
        st = gw_fail(err, GW_ERR_RANGE, "passes", "passes hold %zu segments of the %zu given",
                     segments, network->count);
    }
    return st == GW_OK ? check_flows(network, err) : st;
}

// ---- fluid ----

// load_i (W) = by_inlet_i × inlet + Σ by_wall_ij wall_j, drops throughout; only segments of the
// same circuit act on each other through the fluid.
typedef struct {
    double *by_inlet; // [segments]
    double *by_wall;  // [segments][segments] by columns
    size_t *first;    // [segments] first segment of the circuit
    size_t *end;      // [segments] one past its last
    double capacity_w_k;
} fluid;

// One circuit: `at` is its first segment, `pass` its first pass; both are moved on.
static gw_status chain_passes(gw_arena *arena, const gw_field_network *net, size_t *pass,
                              size_t *at, const fluid *out, gw_err *err)
{
    const size_t first = *at, circuit = net->passes[*pass].circuit;
    const double flow = net->capacity_w_k[circuit];
    double *const wall = gw_arena_alloc(arena, net->count, sizeof *wall); // in the fluid so far
    double inlet = 1.0;
    if (wall == NULL) {
        return no_memory(err);
    }
    for (; *pass < net->pass_count && net->passes[*pass].circuit == circuit; ++*pass) {
        gw_pass_numbers n;
        const gw_status st = gw_pass_solve(
            arena, &(gw_pass_input){&net->passes[*pass], net->segments + *at, flow}, &n, err);
        if (st != GW_OK) {
            return st;
        }
        for (size_t i = 0; i < n.count; ++i) {
            out->by_inlet[*at + i] = flow * n.by_inlet[i] * inlet;
            for (size_t j = first; j < *at + n.count; ++j) {
                const double direct = j < *at ? 0.0 : n.by_wall[i * n.count + (j - *at)];
                out->by_wall[j * net->count + *at + i] = flow * (n.by_inlet[i] * wall[j] + direct);
            }
        }
        inlet *= n.kept;
        for (size_t j = first; j < *at; ++j) {
            wall[j] *= n.kept;
        }
        for (size_t j = 0; j < n.count; ++j) {
            wall[*at + j] = n.from_wall[j];
        }
        *at += n.count;
    }
    for (size_t i = first; i < *at; ++i) {
        out->first[i] = first;
        out->end[i] = *at;
    }
    return GW_OK;
}

static gw_status make_fluid(gw_arena *arena, const gw_field_network *net, fluid *out, gw_err *err)
{
    const size_t n = net->count;
    *out = (fluid){
        gw_arena_alloc(arena, n, sizeof(double)), gw_arena_alloc(arena, n * n, sizeof(double)),
        gw_arena_alloc(arena, n, sizeof(size_t)), gw_arena_alloc(arena, n, sizeof(size_t)), 0.0};
    if (out->by_inlet == NULL || out->by_wall == NULL || out->first == NULL || out->end == NULL) {
        return no_memory(err);
    }
    for (size_t c = 0; c < net->circuit_count; ++c) {
        out->capacity_w_k += net->capacity_w_k[c];
    }
    size_t pass = 0, at = 0;
    gw_status st = GW_OK;
    while (pass < net->pass_count && st == GW_OK) {
        st = chain_passes(arena, net, &pass, &at, out, err);
    }
    return st;
}

// ---- ground and fluid ----

typedef struct {
    double *ground; // [n][n]
    double *system; // [n][n]
    double *load;   // [n]
    double *work;   // of the transfer
} network_work;

// Loads (W) for an inlet drop of 1 K: (1 − B Ĥ) Q = a, wall drops Ĥ Q with Ĥ_ij = H_ij/L_j.
static bool solve_loads(const gw_transfer *t, const fluid *f, double p, const network_work *w)
{
    const size_t n = t->groups;
    gw_transfer_matrix(t, p, w->work, w->ground);
    for (size_t c = 0; c < n; ++c) {
        double *const column = w->system + c * n;
        for (size_t i = 0; i < n; ++i) {
            column[i] = i == c ? 1.0 : 0.0;
        }
        for (size_t j = 0; j < n; ++j) {
            const double wall = w->ground[c * n + j] / (t->length_m[c] * t->length_m[j]);
            const double *const by_wall = f->by_wall + j * n;
            for (size_t i = f->first[j]; i < f->end[j]; ++i) {
                column[i] -= by_wall[i] * wall;
            }
        }
        w->load[c] = f->by_inlet[c];
    }
    return gw_dense_eliminate(&(gw_dense){w->system, w->load, n});
}

static gw_status make_works(gw_arena *arena, const gw_transfer *t, int count, network_work **out,
                            gw_err *err)
{
    const size_t n = t->groups;
    *out = gw_arena_alloc(arena, (size_t)count, sizeof **out);
    for (int i = 0; i < count && *out != NULL; ++i) {
        network_work *const w = &(*out)[i];
        *w = (network_work){gw_arena_alloc(arena, n * n, sizeof(double)),
                            gw_arena_alloc(arena, n * n, sizeof(double)),
                            gw_arena_alloc(arena, n, sizeof(double)),
                            gw_arena_alloc(arena, t->work, sizeof(double))};
        if (w->ground == NULL || w->system == NULL || w->load == NULL || w->work == NULL) {
            return no_memory(err);
        }
    }
    return *out != NULL ? GW_OK : no_memory(err);
}

static double sum_of(const double *values, size_t count)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; ++i) {
        sum += values[i];
    }
    return sum;
}

// Drop of the mean fluid temperature per W per metre: inlet 1 K, outlet 1 − P/C.
static double mean_drop(const fluid *f, const double *load, size_t count, double length_m)
{
    const double power = sum_of(load, count);
    return (1.0 - 0.5 * power / f->capacity_w_k) * length_m / power;
}

static gw_status share_out(gw_arena *arena, const gw_field_network *net, const double *load,
                           double **share, gw_err *err)
{
    *share = gw_arena_alloc(arena, net->circuit_count, sizeof **share);
    if (*share == NULL) {
        return no_memory(err);
    }
    const double power = sum_of(load, net->count);
    size_t at = 0;
    for (size_t i = 0; i < net->pass_count; ++i) {
        (*share)[net->passes[i].circuit] += sum_of(load + at, net->passes[i].segments) / power;
        at += net->passes[i].segments;
    }
    return GW_OK;
}

static gw_status solve_spectrum(gw_arena *arena, const gw_field_network *net, const fluid *f,
                                gw_modes *modes, gw_field_circuits *out, gw_err *err)
{
    const size_t n = net->count, count = modes->spectrum.count;
    const double length = gw_modes_length_m(modes->transfer->field);
    const int threads = n < 128 ? 1 : omp_get_max_threads();
    modes->drop = gw_arena_alloc(arena, count, sizeof *modes->drop);
    network_work *work = NULL;
    gw_status st = make_works(arena, modes->transfer, threads, &work, err);
    if (st != GW_OK || modes->drop == NULL) {
        return st != GW_OK ? st : no_memory(err);
    }
    int failures = 0;
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads) reduction(+ : failures)
    for (size_t m = 1; m < count; ++m) {
        const network_work *const w = &work[omp_get_thread_num()];
        failures += !solve_loads(modes->transfer, f, modes->spectrum.p[m], w);
        modes->drop[m] = mean_drop(f, w->load, n, length);
    }
    failures += !solve_loads(modes->transfer, f, 0.0, &work[0]);
    if (failures > 0) {
        return gw_fail(err, GW_ERR_GEOMETRY, "segments",
                       "the field cannot be solved: some segments lie on each other");
    }
    modes->drop[0] = mean_drop(f, work[0].load, n, length);
    modes->instant = mean_drop(f, f->by_inlet, n, length);
    st = share_out(arena, net, work[0].load, &out->steady_share, err);
    return st != GW_OK ? st : share_out(arena, net, f->by_inlet, &out->instant_share, err);
}

// The resistances, so that the spectrum is made for walls behind them.
static gw_status make_spectrum(gw_arena *arena, const gw_field_network *net,
                               const gw_field_times *times, gw_spectrum *out, gw_err *err)
{
    double *const resistance = gw_arena_alloc(arena, net->count, sizeof *resistance);
    if (resistance == NULL) {
        return no_memory(err);
    }
    size_t at = 0;
    for (size_t i = 0; i < net->pass_count; ++i) {
        for (size_t k = 0; k < net->passes[i].segments; ++k) {
            resistance[at++] = net->passes[i].resistance.bore_mk_w;
        }
    }
    gw_field behind = field_of(net);
    behind.resistance_mk_w = resistance;
    return gw_modes_spectrum(arena, &behind, times, GW_MODES_UNLIKE, out, err);
}

gw_status gw_field_circuits_response(gw_arena *arena, const gw_field_network *network,
                                     const gw_field_times *times, gw_field_circuits *out,
                                     gw_err *err)
{
    const gw_response_case with = {network->medium, times->times_s, times->count, false};
    gw_status st = gw_field_network_check(network, err);
    if (st == GW_OK) {
        st = gw_response_check(&with, err);
    }
    const gw_field field = field_of(network);
    gw_modes modes = {0};
    fluid f = {0};
    if (st == GW_OK) {
        st = make_fluid(arena, network, &f, err);
    }
    if (st == GW_OK) {
        st = gw_transfer_create(arena, &field, &modes.transfer, err);
    }
    if (st == GW_OK) {
        st = make_spectrum(arena, network, times, &modes.spectrum, err);
    }
    if (st != GW_OK) {
        return st;
    }
    *out = (gw_field_circuits){
        .mean = {.unknowns = network->count, .kernels = modes.transfer->kernels},
        .inlet_over_mean_mk_w =
            0.5 * gw_modes_ratio(&field) * gw_modes_length_m(&field) / f.capacity_w_k};
    st = solve_spectrum(arena, network, &f, &modes, out, err);
    return st == GW_OK ? gw_modes_to_times(arena, &modes, times, &out->mean, err) : st;
}
