// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Closed loops in parallel on one header. All parts get water of one temperature; each gives what
// its own ground yields. With the Laplace transform of a part's response p h_i(p) = F_i (m·K/W),
// its length L_i and its flow's heat capacity C_i, supply = rest_i − Q_i Z_i, where
//   Z_i = F_i/L_i + 1/(2 C_i);
// parallel parts add their conductances, Z = 1/Σ 1/Z_i, and rest = Z Σ rest_i/Z_i, at every p: at
// p = 0 for the mean, at p = iω for the yearly wave. F of the whole is L (Z − 1/(2C)). It is fitted
// with the time constants of the parts. Parts lie so far apart that they do not feel each other.
// Derived here; docs/methods/loop.md.
#include "ground/least.h"
#include "loop/response_priv.h"

#include <complex.h>
#include <math.h>
#include <stdio.h>

static const double PI = 3.14159265358979323846;

typedef struct {
    gw_loop_response response;
    double flow_frac;
} part;

typedef struct {
    part parts[GW_LOOP_PARTS_MAX];
    size_t count;
    double length_m;
    double capacity_w_k; // of the whole flow
} mix;

static gw_status check_mixed(const gw_mixed_plan *m, gw_err *err)
{
    if (m->part_count < 2 || m->part_count > GW_LOOP_PARTS_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "parts",
                       "found %zu parts of a mixed loop, expected 2 to %d", m->part_count,
                       (int)GW_LOOP_PARTS_MAX);
    }
    double sum = 0.0;
    for (size_t i = 0; i < m->part_count; i++) {
        char field[48];
        snprintf(field, sizeof field, "parts[%zu].kind", i);
        const gw_loop_kind kind = m->parts[i].kind;
        if (kind != GW_LOOP_BORES && kind != GW_LOOP_TRENCH && kind != GW_LOOP_COIL) {
            return gw_fail(err, GW_ERR_RANGE, field,
                           "found a part of another kind, expected bores, trench or coil");
        }
        sum += m->flow_frac[i];
    }
    if (sum != 0.0 && !(fabs(sum - 1.0) < 1e-6)) {
        return gw_fail(err, GW_ERR_RANGE, "parts", "found flows that add up to %g of the whole",
                       sum);
    }
    return GW_OK;
}

static gw_status respond_parts(gw_arena *arena, const gw_loop_site *site, mix *m, gw_err *err)
{
    const gw_mixed_plan *const plan = &site->plan->mixed;
    const double circuits = (double)gw_loop_circuits(site->plan);
    m->count = plan->part_count;
    for (size_t i = 0; i < m->count; i++) {
        const gw_loop_plan one = gw_loop_part(site->plan, i);
        const bool given = plan->flow_frac[0] > 0.0;
        m->parts[i].flow_frac =
            given ? plan->flow_frac[i] : (double)gw_loop_circuits(&one) / circuits;
        gw_loop_fluid fluid = *site->fluid;
        fluid.flow_m3_s *= m->parts[i].flow_frac;
        gw_loop_site own = *site;
        own.plan = &one;
        own.pipe = &site->pipe[i];
        own.fluid = &fluid;
        own.ground = one.kind == GW_LOOP_BORES && site->bore_ground != NULL ? site->bore_ground
                                                                            : site->ground;
        const gw_status st = gw_loop_respond(arena, &own, &m->parts[i].response, err);
        if (st != GW_OK) {
            return st;
        }
        m->length_m += m->parts[i].response.length_m;
    }
    m->capacity_w_k = gw_loop_priv_capacity_w_k(site->fluid);
    return GW_OK;
}

static double complex laplace(const gw_exp_response *h, double complex p)
{
    double complex sum = h->offset;
    for (size_t k = 0; k < h->terms; k++) {
        sum += h->weight[k] / (1.0 + p * h->time_constant_s[k]);
    }
    return sum;
}

// 1/Z_i: watts from part i for each kelvin between its rest and the supply.
static double complex conductance(const mix *m, size_t i, double complex p)
{
    const part *const one = &m->parts[i];
    return 1.0 / (laplace(&one->response.step, p) / one->response.length_m +
                  0.5 / (one->flow_frac * m->capacity_w_k));
}

static double complex sum_of(const mix *m, double complex p)
{
    double complex sum = 0.0;
    for (size_t i = 0; i < m->count; i++) {
        sum += conductance(m, i, p);
    }
    return sum;
}

// F of the whole at a real p.
static double whole_at(const mix *m, double p)
{
    return m->length_m * (1.0 / creal(sum_of(m, p)) - 0.5 / m->capacity_w_k);
}

// At infinite p only the offsets are left.
static double whole_at_once(const mix *m)
{
    double sum = 0.0;
    for (size_t i = 0; i < m->count; i++) {
        const part *const one = &m->parts[i];
        sum += 1.0 / (one->response.step.offset / one->response.length_m +
                      0.5 / (one->flow_frac * m->capacity_w_k));
    }
    return fmax(m->length_m * (1.0 / sum - 0.5 / m->capacity_w_k), 0.0);
}

static gw_status fit_whole(gw_arena *arena, const mix *m, gw_exp_response *out, gw_err *err)
{
    enum { ROWS = 96 };
    const gw_exp_response *const pattern = &m->parts[0].response.step;
    *out = *pattern;
    out->offset = whole_at_once(m);
    const double low = 0.1 / pattern->time_constant_s[pattern->terms - 1];
    const double high = 10.0 / pattern->time_constant_s[0];
    double *const matrix = gw_arena_alloc(arena, ROWS * pattern->terms, sizeof *matrix);
    double *const right = gw_arena_alloc(arena, ROWS, sizeof *right);
    if (matrix == NULL || right == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "parts", "out of memory joining the parts");
    }
    double p[ROWS];
    double want[ROWS];
    for (size_t j = 0; j < ROWS; j++) {
        p[j] = j == 0 ? 0.0 : low * pow(high / low, (double)(j - 1) / (ROWS - 2));
        want[j] = whole_at(m, p[j]);
        for (size_t k = 0; k < pattern->terms; k++) {
            matrix[k * ROWS + j] = 1.0 / (1.0 + p[j] * pattern->time_constant_s[k]) / want[j];
        }
        right[j] = 1.0 - out->offset / want[j];
    }
    const gw_status st =
        gw_least_squares(arena, &(gw_least){ROWS, pattern->terms, matrix, right, 1e-9}, err);
    if (st != GW_OK) {
        return st;
    }
    for (size_t k = 0; k < pattern->terms; k++) {
        out->weight[k] = right[k];
    }
    out->fit_error_frac = 0.0;
    for (size_t i = 0; i < m->count; i++) {
        out->fit_error_frac = fmax(out->fit_error_frac, m->parts[i].response.step.fit_error_frac);
    }
    for (size_t j = 0; j < ROWS; j++) {
        out->fit_error_frac =
            fmax(out->fit_error_frac, fabs(creal(laplace(out, p[j])) / want[j] - 1.0));
    }
    return GW_OK;
}

static void mix_rest(const mix *m, gw_loop_response *out)
{
    const double complex unit = (double complex)I;
    const double complex omega = unit * (2.0 * PI / GW_YEAR_S);
    const double steady = creal(sum_of(m, 0.0));
    const double complex yearly = sum_of(m, omega);
    double complex wave = 0.0;
    for (size_t i = 0; i < m->count; i++) {
        const gw_loop_response *const r = &m->parts[i].response;
        out->undisturbed_degc += creal(conductance(m, i, 0.0)) / steady * r->undisturbed_degc;
        wave += conductance(m, i, omega) / yearly * (r->wave.real_k + unit * r->wave.imag_k);
    }
    out->wave = (gw_ground_wave){.real_k = creal(wave), .imag_k = cimag(wave)};
    out->coldest_rest_degc = out->warmest_rest_degc = out->undisturbed_degc;
}

// All segments, one part beside the other.
static gw_status gather_segments(gw_arena *arena, const mix *m, gw_loop_response *out, gw_err *err)
{
    static const double APART_M = 10.0;
    for (size_t i = 0; i < m->count; i++) {
        out->segment_count += m->parts[i].response.segment_count;
    }
    gw_segment *const all = gw_arena_alloc(arena, out->segment_count, sizeof *all);
    size_t *const of = gw_arena_alloc(arena, out->segment_count, sizeof *of);
    if (all == NULL || of == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "parts", "out of memory joining the parts");
    }
    size_t at = 0;
    double shift_m = 0.0;
    for (size_t i = 0; i < m->count; i++) {
        const gw_loop_response *const r = &m->parts[i].response;
        double low_m = HUGE_VAL;
        double high_m = -HUGE_VAL;
        for (size_t k = 0; k < r->segment_count; k++) {
            const gw_position end = gw_segment_point(&r->segments[k], r->segments[k].length_m);
            low_m = fmin(low_m, fmin(r->segments[k].x_m, end.x_m));
            high_m = fmax(high_m, fmax(r->segments[k].x_m, end.x_m));
        }
        for (size_t k = 0; k < r->segment_count; k++, at++) {
            all[at] = r->segments[k];
            all[at].x_m += shift_m - low_m;
            of[at] = i;
        }
        shift_m += high_m - low_m + APART_M;
    }
    out->segments = all;
    out->part = of;
    return GW_OK;
}

gw_status gw_loop_priv_mixed(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                             gw_err *err)
{
    gw_status st = check_mixed(&site->plan->mixed, err);
    mix *const m = gw_arena_alloc(arena, 1, sizeof *m);
    if (st != GW_OK || m == NULL) {
        return st != GW_OK ? st : gw_fail(err, GW_ERR_NOMEM, "parts", "out of memory");
    }
    *m = (mix){0};
    st = respond_parts(arena, site, m, err);
    if (st == GW_OK) {
        st = fit_whole(arena, m, &out->step, err);
    }
    if (st == GW_OK) {
        st = gather_segments(arena, m, out, err);
    }
    if (st != GW_OK) {
        return st;
    }
    mix_rest(m, out);
    out->length_m = m->length_m;
    out->soil = m->parts[0].response.soil;
    out->resistance_mk_w = out->step.offset;
    out->steady_mk_w = whole_at(m, 0.0);
    out->reynolds = m->parts[0].response.reynolds;
    out->regime = m->parts[0].response.regime;
    for (size_t i = 0; i < m->count; i++) {
        const gw_loop_response *const r = &m->parts[i].response;
        out->circuits += r->circuits;
        out->circuit_pipe_m += r->circuit_pipe_m * (double)r->circuits;
        if (r->reynolds < out->reynolds) {
            out->reynolds = r->reynolds;
            out->regime = r->regime;
        }
    }
    out->circuit_pipe_m /= (double)out->circuits;
    return GW_OK;
}
