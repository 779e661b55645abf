// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Enthalpy H per volume is the unknown; temperature and ice follow from it (Voller & Cross 1981):
//   H < 0: all ice, T = Tf + H/Cf;   0 ≤ H ≤ L: T = Tf;   H > L: T = Tf + (H − L)/Cu.
// Conductivity goes linearly with the ice from unfrozen to frozen; two cells meet in series.
// A step of s stages of the first-order Runge–Kutta–Legendre method (Meyer, Balsara & Aslam 2014,
// eq. 2.4 to 2.7) covers (s² + s)/2 explicit steps. What crosses the surface and the pipes goes
// through the same recurrence as the cells, so the balance closes to rounding.
#include "ground/freeze_priv.h"

#include <math.h>

enum { STAGES_MAX = 400, PARALLEL_CELLS = 3000 };

static double *numbers(gw_arena *arena, size_t count)
{
    return gw_arena_alloc(arena, count, sizeof(double));
}

gw_status gw_freeze_priv_body_init(gw_arena *arena, const gw_freeze_priv_start *start,
                                   gw_freeze_priv_body *body, gw_err *err)
{
    const size_t nx = body->x.count, nz = body->z.count, n = nx * nz;
    body->soil = start->soil;
    body->freezing_degc = start->freezing_degc;
    double **const arrays[] = {&body->heat_j_m3, &body->stage[0], &body->stage[1], &body->temp_degc,
                               &body->resistivity_mk_w};
    for (size_t i = 0; i < sizeof arrays / sizeof arrays[0]; ++i) {
        *arrays[i] = numbers(arena, n);
        if (*arrays[i] == NULL) {
            return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for %zu cells", n);
        }
    }
    body->flux_x = numbers(arena, (nx + 1) * nz);
    body->flux_z = numbers(arena, nx * (nz + 1));
    if (body->flux_x == NULL || body->flux_z == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for %zu cells", n);
    }
    for (size_t i = 0; i < n; ++i) {
        body->heat_j_m3[i] = gw_freeze_priv_heat_at(body, start->initial_degc);
    }
    return GW_OK;
}

double gw_freeze_priv_heat_at(const gw_freeze_priv_body *body, double temp_degc)
{
    const double over_k = temp_degc - body->freezing_degc;
    return over_k < 0.0 ? over_k * body->soil.frozen_volumetric_heat_j_m3k
                        : over_k * body->soil.volumetric_heat_j_m3k + body->soil.latent_heat_j_m3;
}

double gw_freeze_priv_temp_at(const gw_freeze_priv_body *body, double heat_j_m3)
{
    if (heat_j_m3 < 0.0) {
        return body->freezing_degc + heat_j_m3 / body->soil.frozen_volumetric_heat_j_m3k;
    }
    const double over = heat_j_m3 - body->soil.latent_heat_j_m3;
    return body->freezing_degc + (over > 0.0 ? over / body->soil.volumetric_heat_j_m3k : 0.0);
}

double gw_freeze_priv_frozen_at(const gw_freeze_priv_body *body, double heat_j_m3)
{
    if (heat_j_m3 <= 0.0) {
        return body->soil.latent_heat_j_m3 > 0.0 || heat_j_m3 < 0.0 ? 1.0 : 0.0;
    }
    return heat_j_m3 >= body->soil.latent_heat_j_m3 ? 0.0
                                                    : 1.0 - heat_j_m3 / body->soil.latent_heat_j_m3;
}

static double conductivity_at(const gw_freeze_priv_body *body, double heat_j_m3)
{
    const double frozen = gw_freeze_priv_frozen_at(body, heat_j_m3);
    return body->soil.conductivity_w_mk +
           frozen * (body->soil.frozen_conductivity_w_mk - body->soil.conductivity_w_mk);
}

double gw_freeze_priv_conductivity(const gw_freeze_priv_body *body, size_t cell)
{
    return conductivity_at(body, body->heat_j_m3[cell]);
}

double gw_freeze_priv_stored_j(const gw_freeze_priv_body *body)
{
    double sum = 0.0;
    for (size_t j = 0; j < body->z.count; ++j) {
        double row = 0.0;
        for (size_t i = 0; i < body->x.count; ++i) {
            row += (body->heat_j_m3[j * body->x.count + i] - body->soil.latent_heat_j_m3) *
                   body->x.width[i];
        }
        sum += row * body->z.width[j];
    }
    return sum;
}

// Denominator of a sink that is held at a fluid temperature, K m/W.
static double sink_resistance(const gw_freeze_priv_sink *sink, double conductivity_w_mk)
{
    return sink->resistance_mk_w + sink->log_term / conductivity_w_mk;
}

static double sink_heat(const gw_freeze_priv_body *body, size_t s, const gw_freeze_drive *drive,
                        double heat_j_m3)
{
    if (drive->mode == GW_FREEZE_BY_HEAT) {
        return drive->pipe_value[s];
    }
    const double k = conductivity_at(body, heat_j_m3);
    return (gw_freeze_priv_temp_at(body, heat_j_m3) - drive->pipe_value[s]) /
           sink_resistance(&body->sinks[s], k);
}

double gw_freeze_priv_sink_w_m(const gw_freeze_priv_body *body, size_t sink,
                               const gw_freeze_drive *drive)
{
    return sink_heat(body, sink, drive, body->heat_j_m3[body->sinks[sink].cell]);
}

// What has crossed the outside since the step began, by the recurrence of the cells.
typedef struct {
    double surface_j;
    double pipes_j;
} crossed;

// One pass over the rows of the grid. A row reads its neighbours' results of earlier passes only,
// so the rows may be shared out; a small grid is not worth a team of threads.
typedef struct {
    gw_freeze_priv_body *body;
    const gw_freeze_drive *drive;
    const double *newest;
    double *older;
    double mu, nu, tau_s; // Y_j = mu Y_(j−1) + nu Y_(j−2) + tau L(Y_(j−1))
} stage;

static void for_rows(const stage *s, void (*row)(const stage *s, size_t j))
{
    const size_t nz = s->body->z.count;
    if (s->body->x.count * nz <= PARALLEL_CELLS) {
        for (size_t j = 0; j < nz; ++j) {
            row(s, j);
        }
        return;
    }
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < nz; ++j) {
        row(s, j);
    }
}

static void fill_states(const stage *s, size_t j)
{
    gw_freeze_priv_body *const body = s->body;
    const size_t nx = body->x.count;
    for (size_t c = j * nx; c < (j + 1) * nx; ++c) {
        body->temp_degc[c] = gw_freeze_priv_temp_at(body, s->newest[c]);
        body->resistivity_mk_w[c] = 1.0 / conductivity_at(body, s->newest[c]);
    }
}

// Heat flow across each face, positive towards higher index.
static void fill_fluxes(const stage *s, size_t j)
{
    gw_freeze_priv_body *const body = s->body;
    const size_t nx = body->x.count;
    const double *const t = body->temp_degc, *const r = body->resistivity_mk_w;
    const gw_freeze_priv_axis *const x = &body->x, *const z = &body->z;
    for (size_t i = 1; i < nx; ++i) {
        const size_t b = j * nx + i, a = b - 1;
        body->flux_x[j * (nx + 1) + i] =
            (t[a] - t[b]) * z->width[j] / (x->lo[i] * r[a] + x->hi[i] * r[b]);
    }
    for (size_t i = 0; i < nx; ++i) {
        const size_t b = j * nx + i;
        if (j == 0) {
            body->flux_z[b] = (s->drive->surface_degc - t[b]) * x->width[i] /
                              (s->drive->surface_m2k_w + z->hi[0] * r[b]);
        } else {
            const size_t a = b - nx;
            body->flux_z[b] = (t[a] - t[b]) * x->width[i] / (z->lo[j] * r[a] + z->hi[j] * r[b]);
        }
    }
}

static void add_fluxes(const stage *s, size_t j)
{
    const gw_freeze_priv_body *const body = s->body;
    const size_t nx = body->x.count;
    for (size_t i = 0; i < nx; ++i) {
        const size_t c = j * nx + i;
        const double *const fx = body->flux_x + j * (nx + 1) + i;
        const double net_w = (fx[0] - fx[1]) + (body->flux_z[c] - body->flux_z[c + nx]);
        const double volume = body->x.width[i] * body->z.width[j];
        s->older[c] = s->mu * s->newest[c] + s->nu * s->older[c] + s->tau_s * net_w / volume;
    }
}

// One stage: `newest` holds Y_(j−1); the result goes over Y_(j−2) in `older`.
static crossed do_stage(const stage *s)
{
    const gw_freeze_priv_body *const body = s->body;
    const size_t nx = body->x.count;
    for_rows(s, fill_states);
    for_rows(s, fill_fluxes);
    for_rows(s, add_fluxes);
    crossed rate = {0.0, 0.0};
    for (size_t k = 0; k < body->sink_count; ++k) {
        const size_t c = body->sinks[k].cell;
        const double out_w = body->sinks[k].share * sink_heat(body, k, s->drive, s->newest[c]);
        s->older[c] -= s->tau_s * out_w / (body->x.width[c % nx] * body->z.width[c / nx]);
        rate.pipes_j += out_w;
    }
    for (size_t i = 0; i < nx; ++i) {
        rate.surface_j += body->flux_z[i];
    }
    return rate;
}

// One step of `stages` stages.
static crossed do_step(gw_freeze_priv_body *body, const gw_freeze_drive *drive, double step_s,
                       int stages)
{
    const size_t n = body->x.count * body->z.count;
    const double s = (double)stages;
    const double unit_s = 2.0 * step_s / (s * s + s);
    double *newest = body->stage[0], *older = body->stage[1];
    for (size_t c = 0; c < n; ++c) {
        newest[c] = body->heat_j_m3[c];
        older[c] = 0.0;
    }
    crossed last = {0.0, 0.0}, before = {0.0, 0.0};
    for (int k = 1; k <= stages; ++k) {
        const double j = (double)k;
        const stage w = {.body = body,
                         .drive = drive,
                         .newest = newest,
                         .older = older,
                         .mu = (2.0 * j - 1.0) / j,
                         .nu = (1.0 - j) / j,
                         .tau_s = (2.0 * j - 1.0) / j * unit_s};
        const crossed rate = do_stage(&w);
        const crossed now = {w.mu * last.surface_j + w.nu * before.surface_j +
                                 w.tau_s * rate.surface_j,
                             w.mu * last.pipes_j + w.nu * before.pipes_j + w.tau_s * rate.pipes_j};
        before = last;
        last = now;
        double *const kept = newest;
        newest = older;
        older = kept;
    }
    for (size_t c = 0; c < n; ++c) {
        body->heat_j_m3[c] = newest[c];
    }
    return last;
}

// What leads heat out of a cell per kelvin, W/K, all ground at conductivity k.
static double cell_conductance(const gw_freeze_priv_body *body, const gw_freeze_drive *drive,
                               size_t cell, double k)
{
    const gw_freeze_priv_axis *const x = &body->x, *const z = &body->z;
    const size_t i = cell % x->count, j = cell / x->count;
    double sum = j > 0 ? k * x->width[i] / (z->lo[j] + z->hi[j])
                       : x->width[i] / (drive->surface_m2k_w + z->hi[0] / k);
    sum += i > 0 ? k * z->width[j] / (x->lo[i] + x->hi[i]) : 0.0;
    sum += i + 1 < x->count ? k * z->width[j] / (x->lo[i + 1] + x->hi[i + 1]) : 0.0;
    sum += j + 1 < z->count ? k * x->width[i] / (z->lo[j + 1] + z->hi[j + 1]) : 0.0;
    for (size_t s = 0; s < body->sink_count && drive->mode == GW_FREEZE_BY_FLUID; ++s) {
        const gw_freeze_priv_sink *const sink = &body->sinks[s];
        // The logarithm may be negative (small cells): either conductivity can be the worse.
        const double other = body->soil.conductivity_w_mk + body->soil.frozen_conductivity_w_mk - k;
        const double least = fmin(sink_resistance(sink, k), sink_resistance(sink, other));
        sum += sink->cell == cell ? sink->share / least : 0.0;
    }
    return sum;
}

// Longest stable explicit step, by the fastest cell.
static double explicit_limit_s(const gw_freeze_priv_body *body, const gw_freeze_drive *drive)
{
    const gw_soil *const soil = &body->soil;
    const double k = fmax(soil->conductivity_w_mk, soil->frozen_conductivity_w_mk);
    const double c = fmin(soil->volumetric_heat_j_m3k, soil->frozen_volumetric_heat_j_m3k);
    const size_t nx = body->x.count;
    double fastest = 0.0; // 1/s
    for (size_t j = 0; j < body->z.count; ++j) {
        for (size_t i = 0; i < nx; ++i) {
            const double volume = body->x.width[i] * body->z.width[j];
            fastest = fmax(fastest, cell_conductance(body, drive, j * nx + i, k) / (c * volume));
        }
    }
    return fastest > 0.0 ? 1.0 / fastest : (double)INFINITY;
}

static void note_balance(gw_freeze_priv_body *body, double before_j, const crossed *moved)
{
    const double change_j = gw_freeze_priv_stored_j(body) - before_j;
    const double size_j = fabs(moved->surface_j) + fabs(moved->pipes_j) + fabs(change_j);
    const double missing_j = fabs(change_j - moved->surface_j + moved->pipes_j);
    // Steps that move nothing are judged against what rounding leaves of the stored heat.
    const double floor_j = 1e-9 * fabs(before_j);
    body->worst_frac = fmax(body->worst_frac, missing_j / fmax(fmax(size_j, floor_j), 1e-30));
    body->surface_in_j += moved->surface_j;
    body->pipes_out_j += moved->pipes_j;
}

gw_status gw_freeze_priv_advance(gw_freeze_priv_body *body, const gw_freeze_drive *drive,
                                 double step_s, gw_err *err)
{
    const double steps = fmax(1.0, ceil(drive->duration_s / step_s * (1.0 - 1e-12)));
    const double each_s = drive->duration_s / steps;
    // A twentieth in hand, for conductivities that change within the step.
    const double ratio = each_s / (0.95 * explicit_limit_s(body, drive));
    const double stages =
        fmax(fmax(3.0, (double)body->least_stages), ceil(0.5 * (sqrt(1.0 + 8.0 * ratio) - 1.0)));
    if (!(stages <= (double)STAGES_MAX && steps < 1e8)) {
        return gw_fail(err, GW_ERR_CONVERGE, "cell_m",
                       "cells are too small for steps of %.0f s (%.0f stages)", each_s, stages);
    }
    body->last_stages = (int)stages;
    for (size_t n = 0; n < (size_t)steps; ++n) {
        const double before_j = gw_freeze_priv_stored_j(body);
        const crossed moved = do_step(body, drive, each_s, (int)stages);
        note_balance(body, before_j, &moved);
    }
    if (!isfinite(gw_freeze_priv_stored_j(body))) {
        return gw_fail(err, GW_ERR_CONVERGE, "drive", "temperatures are no longer numbers");
    }
    return GW_OK;
}
