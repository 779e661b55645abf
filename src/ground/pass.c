// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/pass.h"

#include <math.h>

// What a piece makes of temperatures (over its wall's) that enter it: leg 1 at the near end, leg 2
// at the far end.
typedef struct {
    double near_back;   // leg 1 in at the near end → leg 2 out there
    double far_back;    // leg 2 in at the far end → leg 1 out there
    double through_in;  // along leg 1
    double through_out; // along leg 2
} piece;

// exp of A = (l/C) [[−k11, −k12], [k21, k22]] = e^τ (cosh κ + (sinh κ/κ) D), D = A − τ,
// D² = κ², turned from "near to far end" into "in to out".
static piece piece_of(const double k[3], double length_over_capacity)
{
    const double k11 = k[0] * length_over_capacity, k12 = k[1] * length_over_capacity;
    const double k22 = k[2] * length_over_capacity;
    const double tau = 0.5 * (k22 - k11), s = 0.5 * (k11 + k22);
    const double kappa = sqrt(fmax(s * s - k12 * k12, 0.0));
    const double h = kappa < 1e-8 ? 1.0 : tanh(kappa) / kappa;
    const double all = 1.0 + s * h;
    // 1/cosh κ times e^±τ, without overflow; |τ| ≤ κ.
    const double falling = 2.0 / (1.0 + exp(-2.0 * kappa));
    return (piece){.near_back = -k12 * h / all,
                   .far_back = -k12 * h / all,
                   .through_in = falling * exp(tau - kappa) / all,
                   .through_out = falling * exp(-tau - kappa) / all};
}

// Conductances of the two legs: k11, k12, k22 (W/(m·K)).
static void legs_of(const gw_field_pass *pass, double k[3])
{
    const double a = 1.0 / pass->resistance.internal_mk_w, b = 1.0 / pass->resistance.bore_mk_w;
    switch (pass->path) {
    case GW_PATH_ANNULUS_FIRST:
        k[0] = a + b;
        k[1] = -a;
        k[2] = a;
        break;
    case GW_PATH_CENTRE_FIRST:
        k[0] = a;
        k[1] = -a;
        k[2] = a + b;
        break;
    case GW_PATH_U_TUBE:
    case GW_PATH_THROUGH:
    default: // equal legs: Rb = 1/ΣK, Ra = ΣK/det K
        k[0] = k[2] = a + 0.25 * b;
        k[1] = -(a - 0.25 * b);
        break;
    }
}

typedef struct {
    const piece *pieces;
    size_t count;
    double *kept; // [count + 1] leg 2 = kept × leg 1 + Σ wall_j × wall temperature, at each node
    double *wall; // [count + 1][count]
} reflections;

static void gather_reflections(const reflections *r)
{
    const size_t n = r->count;
    r->kept[n] = 1.0; // the legs join
    for (size_t j = 0; j < n; ++j) {
        r->wall[n * n + j] = 0.0;
    }
    for (size_t i = n; i-- > 0;) {
        const piece *const p = &r->pieces[i];
        const double below = r->kept[i + 1], loop = 1.0 - below * p->far_back;
        const double up = p->through_out / loop;
        r->kept[i] = p->near_back + up * below * p->through_in;
        for (size_t j = 0; j < n; ++j) {
            r->wall[i * n + j] = up * r->wall[(i + 1) * n + j];
        }
        r->wall[i * n + i] += (1.0 - p->near_back - p->through_out) +
                              up * below * (1.0 - p->through_in - p->far_back);
    }
}

// Leg 1 from node to node, as numbers of inlet (last place) and walls; loads by what each leg
// loses.
static void follow_inward(const reflections *r, double *here, double *next, gw_pass_numbers *out)
{
    const size_t n = r->count;
    for (size_t j = 0; j <= n; ++j) {
        here[j] = j == n ? 1.0 : 0.0;
    }
    for (size_t i = 0; i < n; ++i) {
        const piece *const p = &r->pieces[i];
        const double loop = 1.0 - p->far_back * r->kept[i + 1];
        for (size_t j = 0; j <= n; ++j) {
            const double above = j < n ? r->wall[i * n + j] : 0.0;
            const double below = j < n ? r->wall[(i + 1) * n + j] : 0.0;
            const double own = j == i ? 1.0 - p->through_in - p->far_back : 0.0;
            next[j] = (own + p->through_in * here[j] + p->far_back * below) / loop;
            const double leg2_here = r->kept[i] * here[j] + above;
            const double leg2_next = r->kept[i + 1] * next[j] + below;
            const double load = (here[j] - next[j]) + (leg2_next - leg2_here);
            if (j < n) {
                out->by_wall[i * n + j] = load;
            } else {
                out->by_inlet[i] = load;
            }
        }
        for (size_t j = 0; j <= n; ++j) {
            here[j] = next[j];
        }
    }
}

static void solve_through(const gw_pass_input *input, gw_pass_numbers *out)
{
    const size_t n = out->count;
    double *const here = out->from_wall; // walls' part of the temperature on the way
    out->kept = 1.0;
    for (size_t i = 0; i < n; ++i) {
        const double x =
            input->segments[i].length_m / (input->pass->resistance.bore_mk_w * input->capacity_w_k);
        const double lost = -expm1(-x);
        out->by_inlet[i] = lost * out->kept;
        for (size_t j = 0; j < n; ++j) {
            out->by_wall[i * n + j] = lost * (here[j] - (i == j ? 1.0 : 0.0));
            here[j] -= out->by_wall[i * n + j];
        }
        out->kept -= out->by_inlet[i];
    }
}

gw_status gw_pass_solve(gw_arena *arena, const gw_pass_input *input, gw_pass_numbers *out,
                        gw_err *err)
{
    const size_t n = input->pass->segments;
    *out = (gw_pass_numbers){.count = n,
                             .from_wall = gw_arena_alloc(arena, n, sizeof(double)),
                             .by_inlet = gw_arena_alloc(arena, n, sizeof(double)),
                             .by_wall = gw_arena_alloc(arena, n * n, sizeof(double))};
    piece *const pieces = gw_arena_alloc(arena, n, sizeof *pieces);
    double *const room = gw_arena_alloc(arena, (n + 1) * (n + 3), sizeof *room);
    if (out->from_wall == NULL || out->by_inlet == NULL || out->by_wall == NULL || pieces == NULL ||
        room == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for the circuits");
    }
    if (input->pass->path == GW_PATH_THROUGH) {
        solve_through(input, out);
        return GW_OK;
    }
    double k[3];
    legs_of(input->pass, k);
    for (size_t i = 0; i < n; ++i) {
        pieces[i] = piece_of(k, input->segments[i].length_m / input->capacity_w_k);
    }
    const reflections r = {pieces, n, room, room + (n + 1)};
    double *const here = room + (n + 1) * (n + 1);
    gather_reflections(&r);
    follow_inward(&r, here, here + (n + 1), out);
    out->kept = r.kept[0];
    for (size_t j = 0; j < n; ++j) {
        out->from_wall[j] = r.wall[j];
    }
    return GW_OK;
}
