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

enum { STAGES_MAX = 400, PARALLEL_CELLS = 3000, BLOCK = 32 };

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
    const size_t blocks = (nz + BLOCK - 1) / BLOCK;
    body->heat_j_m3 = numbers(arena, n);
    body->other = numbers(arena, n);
    body->per_width = numbers(arena, nx);
    body->scratch = numbers(arena, blocks * (GW_FREEZE_PRIV_SCRATCH * nx + 1));
    body->row_j = numbers(arena, nz);
    body->surface_w = numbers(arena, nx);
    if (body->heat_j_m3 == NULL || body->other == NULL || body->per_width == NULL ||
        body->scratch == NULL || body->row_j == NULL || body->surface_w == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for %zu cells", n);
    }
    for (size_t i = 0; i < nx; ++i) {
        body->per_width[i] = 1.0 / body->x.width[i];
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

// Rows may be summed by any thread; the rows' sums are added in order.
double gw_freeze_priv_stored_j(const gw_freeze_priv_body *body)
{
    const size_t nx = body->x.count, nz = body->z.count;
#pragma omp parallel for schedule(static) if (nx * nz > PARALLEL_CELLS)
    for (size_t j = 0; j < nz; ++j) {
        double row = 0.0;
#pragma omp simd reduction(+ : row)
        for (size_t i = 0; i < nx; ++i) {
            row += (body->heat_j_m3[j * nx + i] - body->soil.latent_heat_j_m3) * body->x.width[i];
        }
        body->row_j[j] = row * body->z.width[j];
    }
    double sum = 0.0;
    for (size_t j = 0; j < nz; ++j) {
        sum += body->row_j[j];
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

typedef struct {
    gw_freeze_priv_body *body;
    const gw_freeze_drive *drive;
    const double *newest;
    double *older;
    double mu, nu, tau_s; // Y_j = mu Y_(j−1) + nu Y_(j−2) + tau L(Y_(j−1))
} stage;

// Temperature and conductivity of a row of cells, without branches.
static void fill_states(const gw_freeze_priv_body *body, const double *restrict heat,
                        double *restrict temp, double *restrict k)
{
    const gw_soil *const soil = &body->soil;
    const double latent = soil->latent_heat_j_m3, at = body->freezing_degc;
    const double per_frozen = 1.0 / soil->frozen_volumetric_heat_j_m3k;
    const double per_thawed = 1.0 / soil->volumetric_heat_j_m3k;
    const double per_latent = latent > 0.0 ? 1.0 / latent : 1e300;
    const double thawed_k = soil->conductivity_w_mk;
    const double more_k = soil->frozen_conductivity_w_mk - thawed_k;
    const size_t nx = body->x.count;
#pragma omp simd
    for (size_t i = 0; i < nx; ++i) {
        const double h = heat[i], over = h - latent;
        const double below = h < 0.0 ? h * per_frozen : 0.0;
        const double above = over > 0.0 ? over * per_thawed : 0.0;
        double frozen = 1.0 - h * per_latent;
        frozen = frozen > 0.0 ? frozen : 0.0;
        frozen = frozen < 1.0 ? frozen : 1.0;
        temp[i] = at + (below + above);
        k[i] = thawed_k + frozen * more_k;
    }
}

// A row's states and what flows into it from above; one division per face: two lengths lo, hi of
// conductivities a, b in series conduct ab/(lo b + hi a).
typedef struct {
    double *restrict temp;
    double *restrict k;
    double *restrict from_above;
} row_state;

static void flow_down(const gw_freeze_priv_body *body, size_t face, const row_state *above,
                      const row_state *here)
{
    const double lo = body->z.lo[face], hi = body->z.hi[face];
    const double *const restrict width = body->x.width;
    const double *const restrict ta = above->temp, *const restrict ka = above->k;
    const double *const restrict tb = here->temp, *const restrict kb = here->k;
    double *const restrict flow = here->from_above;
    const size_t nx = body->x.count;
#pragma omp simd
    for (size_t i = 0; i < nx; ++i) {
        flow[i] = (ta[i] - tb[i]) * width[i] * (ka[i] * kb[i]) / (lo * kb[i] + hi * ka[i]);
    }
}

static void flow_from_surface(const stage *s, const row_state *here)
{
    const double hi = s->body->z.hi[0], cover = s->drive->surface_m2k_w;
    const double air = s->drive->surface_degc;
    const double *const width = s->body->x.width;
    for (size_t i = 0; i < s->body->x.count; ++i) {
        here->from_above[i] =
            (air - here->temp[i]) * width[i] * here->k[i] / (cover * here->k[i] + hi);
        s->body->surface_w[i] = here->from_above[i];
    }
}

// New stage of row j; `across` has room for nx + 1 faces.
static void advance_row(const stage *s, size_t j, const row_state *here, const row_state *next,
                        double *restrict across)
{
    const gw_freeze_priv_body *const body = s->body;
    const size_t nx = body->x.count;
    const double *const restrict lo = body->x.lo, *const restrict hi = body->x.hi;
    const double *const restrict t = here->temp, *const restrict k = here->k;
    const double height = body->z.width[j], per_height = s->tau_s / height;
    across[0] = across[nx] = 0.0;
#pragma omp simd
    for (size_t i = 1; i < nx; ++i) {
        across[i] =
            (t[i - 1] - t[i]) * height * (k[i - 1] * k[i]) / (lo[i] * k[i] + hi[i] * k[i - 1]);
    }
    const double *const restrict in = here->from_above, *const restrict out = next->from_above;
    const double *const restrict newest = s->newest + j * nx;
    const double *const restrict per_width = body->per_width;
    double *const restrict older = s->older + j * nx;
    const double mu = s->mu, nu = s->nu;
#pragma omp simd
    for (size_t i = 0; i < nx; ++i) {
        const double net_w = (across[i] - across[i + 1]) + (in[i] - out[i]);
        older[i] = mu * newest[i] + nu * older[i] + per_height * per_width[i] * net_w;
    }
}

// A block of rows, top to bottom: each row's states are found once and used while at hand, so that
// a stage reads and writes the two arrays of heat and nothing else. Blocks do not depend on each
// other (they read `newest` only) nor on the number of threads.
static void advance_block(const stage *s, size_t block)
{
    gw_freeze_priv_body *const body = s->body;
    const size_t nx = body->x.count, nz = body->z.count;
    double *const room = body->scratch + block * (GW_FREEZE_PRIV_SCRATCH * nx + 1);
    row_state here = {room, room + nx, room + 2 * nx};
    row_state next = {room + 3 * nx, room + 4 * nx, room + 5 * nx};
    double *const across = room + 6 * nx;
    const size_t first = block * BLOCK, end = first + BLOCK < nz ? first + BLOCK : nz;
    fill_states(body, s->newest + first * nx, here.temp, here.k);
    if (first == 0) {
        flow_from_surface(s, &here);
    } else {
        fill_states(body, s->newest + (first - 1) * nx, next.temp, next.k);
        flow_down(body, first, &next, &here);
    }
    for (size_t j = first; j < end; ++j) {
        if (j + 1 < nz) {
            fill_states(body, s->newest + (j + 1) * nx, next.temp, next.k);
            flow_down(body, j + 1, &here, &next);
        } else {
            for (size_t i = 0; i < nx; ++i) {
                next.from_above[i] = 0.0;
            }
        }
        advance_row(s, j, &here, &next, across);
        const row_state kept = here;
        here = next;
        next = kept;
    }
}

// One stage: `newest` holds Y_(j−1); the result goes over Y_(j−2) in `older`.
static crossed do_stage(const stage *s)
{
    const gw_freeze_priv_body *const body = s->body;
    const size_t nx = body->x.count, nz = body->z.count, blocks = (nz + BLOCK - 1) / BLOCK;
    // A small grid is not worth a team of threads.
#pragma omp parallel for schedule(static) if (nx * nz > PARALLEL_CELLS)
    for (size_t b = 0; b < blocks; ++b) {
        advance_block(s, b);
    }
    crossed rate = {0.0, 0.0};
    for (size_t k = 0; k < body->sink_count; ++k) {
        const size_t c = body->sinks[k].cell;
        const double out_w = body->sinks[k].share * sink_heat(body, k, s->drive, s->newest[c]);
        s->older[c] -= s->tau_s * out_w / (body->x.width[c % nx] * body->z.width[c / nx]);
        rate.pipes_j += out_w;
    }
    for (size_t i = 0; i < nx; ++i) {
        rate.surface_j += body->surface_w[i];
    }
    return rate;
}

// One step of `stages` stages.
static crossed do_step(gw_freeze_priv_body *body, const gw_freeze_drive *drive, double step_s,
                       int stages)
{
    const double s = (double)stages;
    const double unit_s = 2.0 * step_s / (s * s + s);
    // Y_0 is the state; the first stage does not use Y_(−1), which is multiplied by zero.
    double *newest = body->heat_j_m3, *older = body->other;
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
    body->heat_j_m3 = newest;
    body->other = older;
    return last;
}

// What leads heat up and down out of a row, or to both sides out of a column, over the size of its
// cells: W/(m³·K), all ground at conductivity k. A cell has the sum of both.
static double row_rate(const gw_freeze_priv_body *body, const gw_freeze_drive *drive, size_t j,
                       double k)
{
    const gw_freeze_priv_axis *const z = &body->z;
    const double up =
        j > 0 ? k / (z->lo[j] + z->hi[j]) : 1.0 / (drive->surface_m2k_w + z->hi[0] / k);
    const double down = j + 1 < z->count ? k / (z->lo[j + 1] + z->hi[j + 1]) : 0.0;
    return (up + down) / z->width[j];
}

static double column_rate(const gw_freeze_priv_body *body, size_t i, double k)
{
    const gw_freeze_priv_axis *const x = &body->x;
    const double left = i > 0 ? k / (x->lo[i] + x->hi[i]) : 0.0;
    const double right = i + 1 < x->count ? k / (x->lo[i + 1] + x->hi[i + 1]) : 0.0;
    return (left + right) / x->width[i];
}

// What the pipes held at a fluid's temperature add in a sink's cell.
static double sink_rate(const gw_freeze_priv_body *body, size_t cell, double k)
{
    const size_t nx = body->x.count;
    const double volume = body->x.width[cell % nx] * body->z.width[cell / nx];
    double sum = 0.0;
    for (size_t s = 0; s < body->sink_count; ++s) {
        const gw_freeze_priv_sink *const sink = &body->sinks[s];
        // The logarithm may be negative (small cells): either conductivity can be the worse.
        const double other = body->soil.conductivity_w_mk + body->soil.frozen_conductivity_w_mk - k;
        const double least = fmin(sink_resistance(sink, k), sink_resistance(sink, other));
        sum += sink->cell == cell ? sink->share / (least * volume) : 0.0;
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
    double row = 0.0, column = 0.0;
    for (size_t j = 0; j < body->z.count; ++j) {
        row = fmax(row, row_rate(body, drive, j, k));
    }
    for (size_t i = 0; i < nx; ++i) {
        column = fmax(column, column_rate(body, i, k));
    }
    double fastest = row + column;
    for (size_t s = 0; s < body->sink_count && drive->mode == GW_FREEZE_BY_FLUID; ++s) {
        const size_t cell = body->sinks[s].cell;
        fastest = fmax(fastest, row_rate(body, drive, cell / nx, k) +
                                    column_rate(body, cell % nx, k) + sink_rate(body, cell, k));
    }
    return fastest > 0.0 ? c / fastest : (double)INFINITY;
}

static void note_balance(gw_freeze_priv_body *body, double before_j, double after_j,
                         const crossed *moved)
{
    const double change_j = after_j - before_j;
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
    double stored_j = gw_freeze_priv_stored_j(body);
    for (size_t n = 0; n < (size_t)steps; ++n) {
        const crossed moved = do_step(body, drive, each_s, (int)stages);
        const double now_j = gw_freeze_priv_stored_j(body);
        note_balance(body, stored_j, now_j, &moved);
        stored_j = now_j;
    }
    if (!isfinite(stored_j)) {
        return gw_fail(err, GW_ERR_CONVERGE, "drive", "temperatures are no longer numbers");
    }
    return GW_OK;
}
