// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Fields against values computed by marching on a log grid of times (Cimmino & Bernier 2014's
// equations; the grid is 0.0625 in ln t), closed forms, and marching done here.
#include "base/random.h"
#include "ground/field.h"
#include "harness.h"

#include <complex.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <math.h>
#include <omp.h>
#include <string.h>

#define DAY 86400.0
enum { TIMES = 14 };
static const double LOG_TIMES[TIMES] = {-8.5, -7, -6, -5, -4, -3, -2, -1, -0.5, 0, 0.5, 1, 2, 3};
static const double LENGTH_M = 150.0;
static const gw_ground_medium UNIT_MEDIUM = {1.0, 1e-6};

// The base case of Cimmino & Bernier 2014: B/H 0.05, r/H 0.0005, D/H 0.0266667.
typedef struct {
    size_t rows, columns;
    gw_field_boundary boundary;
    size_t pieces;
    gw_cut cut;
    double within; // how good the marched values are: see marching_reproduces_...
    double g[TIMES];
} grid_case;

// clang-format off
static const grid_case GRID_CASES[] = {
    // Equal flux: nothing is marched, all digits are good.
    {2, 1, GW_FIELD_EQUAL_FLUX, 1, GW_CUT_EQUAL, 1e-6, {2.65333, 3.39642, 3.90536, 4.51841, 5.28132, 6.12121, 6.95061, 7.69552, 8.01187, 8.27612, 8.48003, 8.62319, 8.76761, 8.81160}},
    {3, 2, GW_FIELD_EQUAL_FLUX, 1, GW_CUT_EQUAL, 1e-6, {2.65333, 3.39662, 3.92887, 4.76235, 6.21084, 8.23935, 10.51464, 12.67334, 13.60735, 14.39241, 15.00050, 15.42844, 15.86086, 15.99277}},
    {10, 1, GW_FIELD_EQUAL_FLUX, 1, GW_CUT_EQUAL, 1e-6, {2.65333, 3.39654, 3.91869, 4.63884, 5.75096, 7.40887, 9.69563, 12.41562, 13.75221, 14.93819, 15.89073, 16.57694, 17.28305, 17.50119}},
    {10, 10, GW_FIELD_EQUAL_FLUX, 1, GW_CUT_EQUAL, 1e-6, {2.65333, 3.39680, 3.95184, 5.03322, 7.66447, 13.72243, 26.02614, 45.72820, 56.95979, 67.56870, 76.44900, 83.01833, 89.91884, 92.08132}},
    {2, 1, GW_FIELD_CIRCUIT_FLUX, 1, GW_CUT_EQUAL, 1e-6, {2.65333, 3.39642, 3.90536, 4.51841, 5.28132, 6.12121, 6.95061, 7.69552, 8.01187, 8.27612, 8.48003, 8.62319, 8.76761, 8.81160}},
    {3, 2, GW_FIELD_CIRCUIT_FLUX, 1, GW_CUT_EQUAL, 1e-4, {2.65333, 3.39662, 3.92887, 4.76205, 6.20338, 8.21156, 10.47051, 12.62248, 13.55519, 14.33959, 14.94739, 15.37520, 15.80755, 15.93945}},
    {10, 1, GW_FIELD_CIRCUIT_FLUX, 1, GW_CUT_EQUAL, 1e-4, {2.65333, 3.39654, 3.91869, 4.63866, 5.74701, 7.38361, 9.60835, 12.23513, 13.53359, 14.69444, 15.63336, 16.31341, 17.01630, 17.23409}},
    {10, 10, GW_FIELD_CIRCUIT_FLUX, 1, GW_CUT_EQUAL, 1e-3, {2.65333, 3.39680, 3.95184, 5.03267, 7.63989, 13.43659, 24.49476, 41.51530, 51.35752, 60.91533, 69.15909, 75.41630, 82.14462, 84.28811}},
    {1, 1, GW_FIELD_EQUAL_TEMPERATURE, 12, GW_CUT_EQUAL, 1e-4, {2.65329, 3.39611, 3.88831, 4.37521, 4.85166, 5.30833, 5.73047, 6.09621, 6.24858, 6.37475, 6.47154, 6.53924, 6.60727, 6.62799}},
    {1, 1, GW_FIELD_EQUAL_TEMPERATURE, 16, GW_CUT_COSINE, 1e-4, {2.65284, 3.39464, 3.88556, 4.37068, 4.84485, 5.29898, 5.71874, 6.08251, 6.23411, 6.35967, 6.45603, 6.52347, 6.59129, 6.61196}},
    {2, 1, GW_FIELD_EQUAL_TEMPERATURE, 12, GW_CUT_EQUAL, 1e-4, {2.65329, 3.39626, 3.90496, 4.51726, 5.27746, 6.10885, 6.91821, 7.62862, 7.92420, 8.16831, 8.35511, 8.48548, 8.61622, 8.65603}},
    {2, 1, GW_FIELD_EQUAL_TEMPERATURE, 16, GW_CUT_COSINE, 1e-4, {2.65284, 3.39479, 3.90218, 4.51228, 5.26866, 6.09460, 6.89793, 7.60287, 7.89621, 8.13852, 8.32404, 8.45359, 8.58364, 8.62327}},
    {3, 2, GW_FIELD_EQUAL_TEMPERATURE, 12, GW_CUT_EQUAL, 1.6e-4, {2.65329, 3.39646, 3.92846, 4.76061, 6.19621, 8.17632, 10.34684, 12.32249, 13.14304, 13.81590, 14.32714, 14.68175, 15.03544, 15.14313}},
    {3, 2, GW_FIELD_EQUAL_TEMPERATURE, 16, GW_CUT_COSINE, 1.7e-4, {2.65284, 3.39499, 3.92563, 4.75486, 6.18270, 8.14588, 10.29053, 12.23769, 13.04550, 13.70776, 14.21104, 14.56035, 14.90919, 15.01560}},
    {10, 10, GW_FIELD_EQUAL_TEMPERATURE, 12, GW_CUT_EQUAL, 1e-3, {2.65329, 3.39664, 3.95142, 5.03092, 7.62668, 13.31497, 23.64280, 37.70472, 44.65672, 50.54181, 54.93523, 57.85448, 60.62631, 61.47275}},
};
// clang-format on

static double start_time_s(void)
{
    return LENGTH_M * LENGTH_M / 9e-6; // ts = H²/(9α)
}

static gw_field grid_field(gw_arena *arena, const grid_case *grid, double depth_m)
{
    const size_t bores = grid->rows * grid->columns, count = bores * grid->pieces;
    gw_segment *const segments = gw_arena_alloc(arena, count, sizeof *segments);
    size_t *const circuit = gw_arena_alloc(arena, count, sizeof *circuit);
    for (size_t b = 0; b < bores; ++b) {
        const gw_segment bore = {7.5 * (double)(b % grid->rows),
                                 7.5 * (double)(b / grid->rows),
                                 depth_m,
                                 0.0,
                                 0.0,
                                 1.0,
                                 LENGTH_M,
                                 0.075};
        ck_assert(gw_segment_cut(&bore, grid->pieces, grid->cut, segments + b * grid->pieces,
                                 NULL) == GW_OK);
        for (size_t i = 0; i < grid->pieces; ++i) {
            circuit[b * grid->pieces + i] = b;
        }
    }
    return (gw_field){.segments = segments,
                      .circuit = circuit,
                      .count = count,
                      .medium = UNIT_MEDIUM,
                      .boundary = grid->boundary};
}

static gw_field_step solve(gw_arena *arena, const gw_field *field, const double *times_s,
                           size_t count)
{
    gw_field_step step;
    gw_err err = {0};
    const gw_field_times times = {times_s, count};
    const gw_status st = gw_field_step_response(arena, field, &times, &step, &err);
    ck_assert_msg(st == GW_OK, "%s: %s", err.field, err.text);
    return step;
}

START_TEST(grids_of_bores)
{
    const grid_case *const grid = &GRID_CASES[_i];
    gw_arena *const arena = gw_arena_create(0);
    double times[TIMES];
    for (size_t i = 0; i < TIMES; ++i) {
        times[i] = start_time_s() * exp(LOG_TIMES[i]);
    }
    const gw_field field = grid_field(arena, grid, 4.0);
    const gw_field_step step = solve(arena, &field, times, TIMES);
    ck_assert(step.fit_error_frac < 1e-7);
    for (size_t i = 0; i < TIMES; ++i) {
        const double g = 2.0 * M_PI * step.h_mk_w[i];
        ck_assert_msg(fabs(g - grid->g[i]) <= grid->within * grid->g[i] + 0.6e-5,
                      "%zux%zu boundary %d, ln %g: %.6f, want %.5f", grid->rows, grid->columns,
                      (int)grid->boundary, LOG_TIMES[i], g, grid->g[i]);
    }
    gw_arena_destroy(arena);
}
END_TEST

// D = 0, equal flux and equal mean temperatures, ln −5, −3, 0, 3; computed by marching as above,
// but with steps of 0.25 in ln t: its error is four times that of the values above.
START_TEST(grids_of_bores_from_the_surface)
{
    const double want[3][2][4] = {
        {{4.50182, 6.07344, 8.15831, 8.65808}, {4.50182, 6.07344, 8.15831, 8.65808}},
        {{4.74281, 8.15089, 14.10264, 15.59623}, {4.74245, 8.12318, 14.05168, 15.54483}},
        {{5.01035, 13.52109, 65.47739, 88.34265}, {5.00971, 13.22969, 59.07338, 80.91032}}};
    const grid_case grids[3] = {{.rows = 2, .columns = 1, .pieces = 1},
                                {.rows = 3, .columns = 2, .pieces = 1},
                                {.rows = 10, .columns = 10, .pieces = 1}};
    const double log_times[4] = {-5, -3, 0, 3};
    gw_arena *const arena = gw_arena_create(0);
    double times[4];
    for (size_t i = 0; i < 4; ++i) {
        times[i] = start_time_s() * exp(log_times[i]);
    }
    for (size_t n = 0; n < 3; ++n) {
        for (size_t kind = 0; kind < 2; ++kind) {
            grid_case grid = grids[n];
            grid.boundary = kind == 0 ? GW_FIELD_EQUAL_FLUX : GW_FIELD_CIRCUIT_FLUX;
            const gw_field field = grid_field(arena, &grid, 0.0);
            const gw_field_step step = solve(arena, &field, times, 4);
            for (size_t i = 0; i < 4; ++i) {
                const double within = kind == 0 || n == 0 ? 1e-6 : n == 1 ? 1.3e-4 : 1.4e-3;
                ck_close(2.0 * M_PI * step.h_mk_w[i], want[n][kind][i], within + 1.5e-6);
            }
        }
    }
    gw_arena_destroy(arena);
}
END_TEST

// Refinement along the bores: published qualitative results (Cimmino & Bernier 2014; Malayappan &
// Spitler 2013): equal flux lies above equal temperature and the gap grows with the field.
START_TEST(equal_flux_lies_above_equal_temperature)
{
    gw_arena *const arena = gw_arena_create(0);
    const double times[2] = {start_time_s(), 20.0 * start_time_s()};
    double gap_before = 0.0;
    for (size_t side = 1; side <= 4; ++side) {
        double h[3];
        for (int kind = 0; kind < 3; ++kind) {
            const grid_case grid = {side, side, (gw_field_boundary)kind, 12, GW_CUT_EQUAL, 0, {0}};
            const gw_field field = grid_field(arena, &grid, 4.0);
            h[kind] = solve(arena, &field, times, 2).h_mk_w[1];
        }
        ck_assert(h[0] >= h[1] * (1.0 - 1e-6) && h[1] > h[2]);
        ck_assert(h[0] / h[2] - 1.0 > gap_before);
        gap_before = h[0] / h[2] - 1.0;
    }
    gw_arena_destroy(arena);
}
END_TEST

// ---- marching: loads constant between times, every pair's response at every time difference ----

typedef struct {
    const gw_field *field;
    size_t steps;
    double *time;     // [steps + 1] from 0
    double *drop;     // [steps + 1]
    double *load;     // [steps + 1][n] W/m in the step that ends there
    double *response; // [n][n][steps]
} march;

// Solves the symmetric-in-structure small system by elimination with pivoting.
static void eliminate(double *a, double *b, size_t n)
{
    for (size_t i = 0; i < n; ++i) {
        size_t best = i;
        for (size_t r = i; r < n; ++r) {
            best = fabs(a[r * n + i]) > fabs(a[best * n + i]) ? r : best;
        }
        for (size_t c = 0; c < n; ++c) {
            const double swap = a[i * n + c];
            a[i * n + c] = a[best * n + c];
            a[best * n + c] = swap;
        }
        const double swap = b[i];
        b[i] = b[best];
        b[best] = swap;
        for (size_t r = i + 1; r < n; ++r) {
            const double f = a[r * n + i] / a[i * n + i];
            for (size_t c = i; c < n; ++c) {
                a[r * n + c] -= f * a[i * n + c];
            }
            b[r] -= f * b[i];
        }
    }
    for (size_t i = n; i-- > 0;) {
        for (size_t c = i + 1; c < n; ++c) {
            b[i] -= a[i * n + c] * b[c];
        }
        b[i] /= a[i * n + i];
    }
}

static void responses_for_step(march *m, size_t k)
{
    const gw_field *const f = m->field;
    double lag[512];
    for (size_t p = 0; p < k; ++p) {
        lag[k - 1 - p] = m->time[k] - m->time[p];
    }
    const gw_response_case with = {f->medium, lag, k, false};
    for (size_t i = 0; i < f->count; ++i) {
        for (size_t j = 0; j <= i; ++j) {
            double *const ij = m->response + (i * f->count + j) * m->steps;
            ck_assert(gw_response_between(&with, &f->segments[i], &f->segments[j], ij, NULL) ==
                      GW_OK);
            double *const ji = m->response + (j * f->count + i) * m->steps;
            for (size_t p = 0; p < k; ++p) {
                ji[p] = ij[p] * f->segments[i].length_m / f->segments[j].length_m;
            }
        }
    }
}

static void march_step(march *m, size_t k, double *a, double *b)
{
    const gw_field *const f = m->field;
    const size_t n = f->count, size = n + 1;
    responses_for_step(m, k);
    memset(a, 0, size * size * sizeof *a);
    double total = 0.0;
    for (size_t i = 0; i < n; ++i) {
        const double resistance = f->resistance_mk_w != NULL ? f->resistance_mk_w[i] : 0.0;
        b[i] = 0.0;
        for (size_t j = 0; j < n; ++j) {
            const double *const h = m->response + (i * n + j) * m->steps;
            a[i * size + j] = h[0];
            // Σ_p (q_p − q_{p−1}) h(t_k − t_{p−1}) without the part of q_k
            for (size_t p = 1; p < k; ++p) {
                b[i] -= m->load[p * n + j] * (h[k - p] - h[k - p - 1]);
            }
        }
        a[i * size + i] += resistance;
        a[i * size + n] = -1.0;
        a[n * size + i] = f->segments[i].length_m;
        total += f->segments[i].length_m;
    }
    b[n] = total;
    eliminate(a, b, size);
    memcpy(m->load + k * n, b, n * sizeof *b);
    m->drop[k] = b[n];
}

// Times of each result: first × ratio^(k − 1).
static march march_field(gw_arena *arena, const gw_field *field, double first_s, double ratio,
                         size_t steps)
{
    const size_t n = field->count;
    march m = {field,
               steps,
               gw_arena_alloc(arena, steps + 1, sizeof(double)),
               gw_arena_alloc(arena, steps + 1, sizeof(double)),
               gw_arena_alloc(arena, (steps + 1) * n, sizeof(double)),
               gw_arena_alloc(arena, n * n * steps, sizeof(double))};
    double *const a = gw_arena_alloc(arena, (n + 1) * (n + 1), sizeof *a);
    double *const b = gw_arena_alloc(arena, n + 1, sizeof *b);
    for (size_t k = 1; k <= steps; ++k) {
        m.time[k] = first_s * pow(ratio, (double)(k - 1));
        march_step(&m, k, a, b);
    }
    return m;
}

// The values above for equal mean temperatures come from such a march with ln steps of 0.0625.
// Done here it gives their digits; its error is of first order, and extrapolated to no step it
// gives what the field solve gives. So where they differ, it is the march that is off.
START_TEST(marching_reproduces_the_values_and_extrapolates_to_the_field_solve)
{
    gw_arena *const arena = gw_arena_create(0);
    const grid_case *grid = NULL;
    for (size_t i = 0; i < sizeof GRID_CASES / sizeof *GRID_CASES; ++i) {
        if (GRID_CASES[i].rows == 3 && GRID_CASES[i].boundary == GW_FIELD_CIRCUIT_FLUX) {
            grid = &GRID_CASES[i];
        }
    }
    const gw_field field = grid_field(arena, grid, 4.0);
    const double first = start_time_s() * exp(-8.5);
    const march fine = march_field(arena, &field, first, exp(0.0625), 185);
    const march coarse = march_field(arena, &field, first, exp(0.125), 93);
    double times[TIMES];
    for (size_t i = 0; i < TIMES; ++i) {
        times[i] = start_time_s() * exp(LOG_TIMES[i]);
    }
    const gw_field_step step = solve(arena, &field, times, TIMES);
    for (size_t i = 0; i < TIMES; ++i) {
        const double steps = (LOG_TIMES[i] + 8.5) / 0.0625;
        const double g_fine = 2.0 * M_PI * fine.drop[(size_t)lround(steps) + 1];
        const double g_coarse = 2.0 * M_PI * coarse.drop[(size_t)lround(steps / 2.0) + 1];
        ck_assert_msg(fabs(g_fine - grid->g[i]) < 0.6e-5, "ln %g: %.6f, want %.5f", LOG_TIMES[i],
                      g_fine, grid->g[i]);
        ck_close(2.0 * M_PI * step.h_mk_w[i], 2.0 * g_fine - g_coarse, 1.2e-5);
    }
    gw_arena_destroy(arena);
}
END_TEST

// Times at which the load has barely crossed from the axis to the wall (r²/4αt up to 14). Two equal
// bores share their load equally, so the field is the sum of two pairs, known in time.
START_TEST(first_minutes_of_a_wide_bore)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_segment pair[2] = {{0.0, 0.0, 2.0, 0.0, 0.0, 1.0, 80.0, 0.075},
                                {0.5, 0.0, 2.0, 0.0, 0.0, 1.0, 80.0, 0.075}};
    const double times[6] = {100.0, 300.0, 900.0, 3600.0, 1e5, 1e8};
    const gw_response_case with = {UNIT_MEDIUM, times, 6, false};
    double self[6], other[6];
    ck_assert(gw_response_between(&with, &pair[0], &pair[0], self, NULL) == GW_OK);
    ck_assert(gw_response_between(&with, &pair[0], &pair[1], other, NULL) == GW_OK);
    const gw_field field = {.segments = pair,
                            .count = 2,
                            .medium = UNIT_MEDIUM,
                            .boundary = GW_FIELD_EQUAL_TEMPERATURE};
    const gw_field_step step = solve(arena, &field, times, 6);
    for (size_t i = 0; i < 6; ++i) {
        const double want = self[i] + other[i];
        ck_assert_msg(fabs(step.h_mk_w[i] - want) <= 2e-6 * want + 2e-8, "time %g: %.9g, want %.9g",
                      times[i], step.h_mk_w[i], want);
    }
    // Unlike bores: the early times do not change the later ones.
    const gw_segment unlike[3] = {pair[0],
                                  {9.0, 0.0, 1.0, 0.0, 0.0, 1.0, 30.0, 0.05},
                                  {0.0, 8.0, 1.8, 1.0, 0.0, 0.0, 40.0, 0.0167}};
    const gw_field mixed = {unlike, NULL, NULL, 3, UNIT_MEDIUM, GW_FIELD_EQUAL_TEMPERATURE, 0.0};
    const gw_field_step all = solve(arena, &mixed, times, 6);
    const gw_field_step late = solve(arena, &mixed, times + 4, 2);
    for (size_t i = 0; i < 2; ++i) {
        ck_close(all.h_mk_w[4 + i], late.h_mk_w[i], 5e-6);
        ck_assert(all.h_mk_w[i + 1] >= all.h_mk_w[i] && all.h_mk_w[0] > -2e-8);
    }
    const double too_soon[2] = {60.0, 1e5};
    gw_field_step out;
    gw_err err = {0};
    ck_assert(gw_field_step_response(arena, &field, &(gw_field_times){too_soon, 2}, &out, &err) ==
              GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "times[0]");
    gw_arena_destroy(arena);
}
END_TEST

// A bore, a shorter inclined one, two trench pipes at different depths, each behind its own
// resistance and with its own radius.
static gw_field mixed_field(gw_segment segments[4], double resistance[4])
{
    segments[0] = (gw_segment){0.0, 0.0, 1.5, 0.0, 0.0, 1.0, 60.0, 0.06};
    segments[1] = (gw_segment){4.0, 1.0, 1.5, 0.6, 0.0, 0.8, 25.0, 0.05};
    segments[2] = (gw_segment){-3.0, -8.0, 1.8, 0.0, 1.0, 0.0, 40.0, 0.0167};
    segments[3] = (gw_segment){-3.6, -8.0, 1.2, 0.0, 1.0, 0.0, 40.0, 0.0167};
    resistance[0] = 0.09;
    resistance[1] = 0.12;
    resistance[2] = 0.05;
    resistance[3] = 0.06;
    return (gw_field){.segments = segments,
                      .resistance_mk_w = resistance,
                      .count = 4,
                      .medium = {1.7, 8e-7},
                      .boundary = GW_FIELD_EQUAL_TEMPERATURE};
}

START_TEST(mixed_field_agrees_with_marching)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_segment segments[4];
    double resistance[4];
    const gw_field field = mixed_field(segments, resistance);
    const double first = 600.0, ratio = pow(25.0 * GW_YEAR_S / first, 1.0 / 160.0);
    const march fine = march_field(arena, &field, first, ratio, 161);
    const march coarse = march_field(arena, &field, first, ratio * ratio, 81);
    const gw_field_step step = solve(arena, &field, fine.time + 1, 161);
    // From one hour on; before, a march that starts with one constant load is not yet right.
    for (size_t k = 40; k < 161; k += 2) {
        const double better = 2.0 * fine.drop[k + 1] - coarse.drop[k / 2 + 1];
        ck_close(step.h_mk_w[k], better, 2e-4);
    }
    ck_assert(step.instant_mk_w > 0.05 && step.instant_mk_w < 0.12);
    ck_assert(step.h_mk_w[160] < step.steady_mk_w);
    gw_arena_destroy(arena);
}
END_TEST

// The two ways of counting pairs give the same: bores out of plumb by a millionth.
START_TEST(columns_and_single_pairs_agree)
{
    gw_arena *const arena = gw_arena_create(0);
    const grid_case grid = {3, 2, GW_FIELD_EQUAL_TEMPERATURE, 6, GW_CUT_COSINE, 0, {0}};
    gw_field field = grid_field(arena, &grid, 2.0);
    gw_segment *const tilted = gw_arena_alloc(arena, field.count, sizeof *tilted);
    memcpy(tilted, field.segments, field.count * sizeof *tilted);
    double times[20];
    for (size_t i = 0; i < 20; ++i) {
        times[i] = 3600.0 * pow(2.0, (double)i);
    }
    const gw_field_step plumb = solve(arena, &field, times, 20);
    for (size_t i = 0; i < field.count; ++i) {
        tilted[i].dx = 1e-6;
        tilted[i].dz = sqrt(1.0 - 1e-12);
    }
    field.segments = tilted;
    const gw_field_step out = solve(arena, &field, times, 20);
    ck_assert(out.kernels > plumb.kernels);
    for (size_t i = 0; i < 20; ++i) {
        ck_close(out.h_mk_w[i], plumb.h_mk_w[i], 2e-5);
    }
    gw_arena_destroy(arena);
}
END_TEST

// Bores of unequal length, depth and radius, out of order: turned about the vertical and listed
// otherwise they are the same field.
START_TEST(order_and_place_do_not_matter)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_segment one[12], other[12];
    for (size_t b = 0; b < 3; ++b) {
        const gw_segment bore = {
            6.0 * (double)b,         b == 1 ? 4.0 : 0.0,     1.0 + 0.5 * (double)b, 0.0, 0.0, 1.0,
            60.0 + 20.0 * (double)b, 0.05 + 0.01 * (double)b};
        ck_assert(gw_segment_cut(&bore, 4, GW_CUT_EQUAL, one + 4 * b, NULL) == GW_OK);
    }
    for (size_t i = 0; i < 12; ++i) {
        other[i] = one[(i * 5 + 7) % 12];
        const double x = other[i].x_m, y = other[i].y_m;
        other[i].x_m = 0.6 * x - 0.8 * y + 50.0;
        other[i].y_m = 0.8 * x + 0.6 * y - 20.0;
        // Drilled from below: same line.
        other[i].z_m += other[i].length_m;
        other[i].dz = -1.0;
    }
    const double times[4] = {3600.0, 1e6, 1e8, 1e9};
    gw_field field = {.segments = one,
                      .count = 12,
                      .medium = {2.2, 9e-7},
                      .boundary = GW_FIELD_EQUAL_TEMPERATURE};
    const gw_field_step a = solve(arena, &field, times, 4);
    field.segments = other;
    const gw_field_step b = solve(arena, &field, times, 4);
    for (size_t i = 0; i < 4; ++i) {
        ck_close(b.h_mk_w[i], a.h_mk_w[i], 5e-6);
    }
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(one_segment_is_its_own_response_and_resistance)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_segment bore = {0.0, 0.0, 2.0, 0.0, 0.0, 1.0, 100.0, 0.07};
    const double times[5] = {60.0, 3600.0, 1e6, 1e9, 1e12}, resistance[1] = {0.11};
    double h[5];
    const gw_response_case with = {{2.0, 1e-6}, times, 5, false};
    ck_assert(gw_response_between(&with, &bore, &bore, h, NULL) == GW_OK);
    gw_field field = {.segments = &bore,
                      .resistance_mk_w = resistance,
                      .count = 1,
                      .medium = {2.0, 1e-6},
                      .boundary = GW_FIELD_EQUAL_TEMPERATURE};
    gw_field_step step = solve(arena, &field, times, 5);
    for (size_t i = 0; i < 5; ++i) {
        ck_close(step.h_mk_w[i], h[i] + 0.11, 1e-9);
    }
    ck_close(step.instant_mk_w, 0.11, 1e-15);
    // Load counted per metre of something else (trench instead of pipe).
    field.total_length_m = 25.0;
    step = solve(arena, &field, times, 5);
    ck_close(step.h_mk_w[2], 0.25 * (h[2] + 0.11), 1e-9);
    gw_arena_destroy(arena);
}
END_TEST

// Long pipes, equal load, transient and steady (Ingersoll's line source with mirror; Claesson &
// Dunand 1983 for the steady resistances): computed E1 sums, k 1.4, α 0.05 m²/day, 10 W/m.
START_TEST(pipes_in_a_trench)
{
    gw_arena *const arena = gw_arena_create(0);
    const double times[6] = {DAY, 10 * DAY, 30 * DAY, 90 * DAY, 180 * DAY, 365 * DAY};
    const double want[2][6] = {{3.44692, 5.46061, 6.53845, 7.25097, 7.48640, 7.61734},
                               {3.44692, 5.45718, 6.51261, 7.20953, 7.44210, 7.57216}};
    const double steady[2] = {7.75313, 7.70763};
    const gw_segment pipes[2][2] = {{{0.0, 0.0, 1.5, 1.0, 0.0, 0.0, 2000.0, 0.0167},
                                     {0.0, 0.6, 1.5, 1.0, 0.0, 0.0, 2000.0, 0.0167}},
                                    {{0.0, 0.0, 1.2, 1.0, 0.0, 0.0, 2000.0, 0.0167},
                                     {0.0, 0.0, 1.8, 1.0, 0.0, 0.0, 2000.0, 0.0167}}};
    for (size_t n = 0; n < 2; ++n) {
        const gw_field field = {.segments = pipes[n],
                                .count = 2,
                                .medium = {1.4, 0.05 / DAY},
                                .boundary = GW_FIELD_EQUAL_FLUX};
        const gw_field_step step = solve(arena, &field, times, 6);
        for (size_t i = 0; i < 6; ++i) {
            ck_close(10.0 * step.h_mk_w[i], want[n][i], 6e-4); // the ends of 2 km
        }
        ck_close(10.0 * step.steady_mk_w, steady[n], 6e-4);
    }
    gw_arena_destroy(arena);
}
END_TEST

// Six pipes, steady, k = 1: mean of 2.05153, 2.29838, 2.24058 (Claesson & Dunand 1983's sum).
START_TEST(six_pipes_steady)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_segment pipe[6];
    for (size_t i = 0; i < 6; ++i) {
        pipe[i] = (gw_segment){
            0.0, 0.6 * (double)(i % 2), 1.2 + 0.3 * (double)(i / 2), 1.0, 0.0, 0.0, 2000.0, 0.0167};
    }
    const double times[2] = {DAY, 1e9};
    const gw_field field = {
        .segments = pipe, .count = 6, .medium = {1.0, 5e-7}, .boundary = GW_FIELD_EQUAL_FLUX};
    ck_close(solve(arena, &field, times, 2).steady_mk_w, 2.19683, 8e-4);
    gw_arena_destroy(arena);
}
END_TEST

// ---- points ----

START_TEST(points_on_the_axis_average_to_the_field)
{
    gw_arena *const arena = gw_arena_create(0);
    const grid_case grid = {2, 2, GW_FIELD_EQUAL_TEMPERATURE, 4, GW_CUT_EQUAL, 0, {0}};
    const gw_field field = grid_field(arena, &grid, 4.0);
    const double times[4] = {1e6, 1e8, 1e9, 1e10};
    const gw_field_step step = solve(arena, &field, times, 4);
    gw_position point[80];
    for (size_t i = 0; i < 80; ++i) {
        const gw_segment *const s = &field.segments[i / 40];
        point[i] = gw_segment_point(s, s->length_m * ((double)(i % 40) + 0.5) / 40.0);
    }
    double *h = NULL;
    gw_err err = {0};
    ck_assert_msg(gw_field_point_response(arena, &field, &(gw_field_times){times, 4},
                                          &(gw_field_points){point, 80}, &h, &err) == GW_OK,
                  "%s", err.text);
    for (size_t piece = 0; piece < 2; ++piece) {
        for (size_t t = 0; t < 4; ++t) {
            double mean = 0.0;
            for (size_t i = 0; i < 40; ++i) {
                mean += h[(piece * 40 + i) * 4 + t] / 40.0;
            }
            ck_close(mean, step.h_mk_w[t], 2e-3); // midpoint rule across the ends
        }
    }
    gw_arena_destroy(arena);
}
END_TEST

// Drop at a point by the loads a march found.
static double marched_at(const march *m, const gw_position *point, size_t k)
{
    const gw_field *const f = m->field;
    double lag[512], h[512], sum = 0.0;
    for (size_t p = 0; p < k; ++p) {
        lag[k - 1 - p] = m->time[k] - m->time[p];
    }
    const gw_response_case with = {f->medium, lag, k, false};
    for (size_t j = 0; j < f->count; ++j) {
        ck_assert(gw_response_at_point(&with, point, &f->segments[j], h, NULL) == GW_OK);
        for (size_t p = 1; p <= k; ++p) {
            const double before = p > 1 ? m->load[(p - 1) * f->count + j] : 0.0;
            sum += (m->load[p * f->count + j] - before) * h[k - p];
        }
    }
    return sum;
}

START_TEST(points_of_unequal_loads_agree_with_marching)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_segment segments[4];
    double resistance[4];
    const gw_field field = mixed_field(segments, resistance);
    const double first = 600.0, ratio = pow(25.0 * GW_YEAR_S / first, 1.0 / 320.0);
    const march fine = march_field(arena, &field, first, ratio, 321);
    const march coarse = march_field(arena, &field, first, ratio * ratio, 161);
    const gw_position points[3] = {{-3.3, 12.0, 0.9}, {1.5, 0.5, 20.0}, {-3.0, 12.0, 1.75}};
    double *h = NULL;
    ck_assert(gw_field_point_response(arena, &field, &(gw_field_times){fine.time + 1, 321},
                                      &(gw_field_points){points, 3}, &h, NULL) == GW_OK);
    for (size_t p = 0; p < 3; ++p) {
        for (size_t k = 120; k < 321; k += 40) {
            const double better = 2.0 * marched_at(&fine, &points[p], k + 1) -
                                  marched_at(&coarse, &points[p], k / 2 + 1);
            ck_assert_msg(fabs(h[p * 321 + k] - better) <= 2e-4 * better + 1e-5,
                          "point %zu step %zu: %.8f, %.8f", p, k, h[p * 321 + k], better);
        }
    }
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(points_of_equal_flux_add_up)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_segment segments[4];
    double resistance[4];
    gw_field field = mixed_field(segments, resistance);
    field.boundary = GW_FIELD_EQUAL_FLUX;
    const double times[3] = {DAY, 30.0 * DAY, GW_YEAR_S};
    const gw_position point[2] = {{2.0, 3.0, 0.9}, {-5.0, 10.0, 1.5}};
    double *h = NULL;
    ck_assert(gw_field_point_response(arena, &field, &(gw_field_times){times, 3},
                                      &(gw_field_points){point, 2}, &h, NULL) == GW_OK);
    for (size_t p = 0; p < 2; ++p) {
        double sum[3] = {0};
        for (size_t j = 0; j < 4; ++j) {
            double part[3];
            const gw_response_case with = {field.medium, times, 3, false};
            ck_assert(gw_response_at_point(&with, &point[p], &segments[j], part, NULL) == GW_OK);
            for (size_t t = 0; t < 3; ++t) {
                sum[t] += part[t];
            }
        }
        for (size_t t = 0; t < 3; ++t) {
            ck_assert(fabs(h[p * 3 + t] - sum[t]) <= 1e-9 * sum[t] + 1e-12);
        }
    }
    gw_arena_destroy(arena);
}
END_TEST

// ---- periodic ----

typedef struct {
    double complex kappa;
    double distance, length;
    int imaginary;
} oscillation;

// (L − w) e^(−κR)/R, R = √(w² + d²): parallel lines of equal length side by side.
static double oscillating(double w, void *data)
{
    const oscillation *const o = data;
    const double r = sqrt(w * w + o->distance * o->distance);
    const double complex value = (o->length - w) * cexp(-o->kappa * r) / r;
    return o->imaginary ? cimag(value) : creal(value);
}

// (CMPLX is not in every compiler's header, and I is of single precision.)
static double complex complex_of(double re, double im)
{
    const double part[2] = {re, im};
    double complex z;
    memcpy(&z, part, sizeof z);
    return z;
}

static double complex exact_pair(double complex kappa, double distance, double length, double k)
{
    gsl_set_error_handler_off();
    gsl_integration_workspace *const work = gsl_integration_workspace_alloc(2000);
    double part[2];
    for (int i = 0; i < 2; ++i) {
        oscillation o = {kappa, distance, length, i};
        const gsl_function f = {oscillating, &o};
        double near = 0.0, far = 0.0, error = 0.0;
        const double split = fmin(length, 20.0 * distance);
        gsl_integration_qag(&f, 0.0, split, 1e-14, 1e-11, 2000, GSL_INTEG_GAUSS61, work, &near,
                            &error);
        gsl_integration_qag(&f, split, length, 1e-14, 1e-11, 2000, GSL_INTEG_GAUSS61, work, &far,
                            &error);
        part[i] = (near + far) * 2.0 / (4.0 * M_PI * k * length);
    }
    gsl_integration_workspace_free(work);
    return complex_of(part[0], part[1]);
}

// Two pipes at different depths over the year: e^(−κR)/(4πkR), κ = √(iω/α), integrated.
START_TEST(annual_mix_of_two_depths)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_segment pipe[2] = {{0.0, 0.0, 1.2, 1.0, 0.0, 0.0, 30.0, 0.0167},
                                {0.0, 0.5, 2.0, 1.0, 0.0, 0.0, 30.0, 0.0167}};
    const double resistance[2] = {0.05, 0.08};
    const double k = 1.4, alpha = 6e-7, omega = 2.0 * M_PI / GW_YEAR_S;
    const double complex kappa = csqrt(complex_of(0.0, omega / alpha));
    const double complex h11 = exact_pair(kappa, 0.0167, 30.0, k) - exact_pair(kappa, 2.4, 30.0, k);
    const double complex h22 = exact_pair(kappa, 0.0167, 30.0, k) - exact_pair(kappa, 4.0, 30.0, k);
    const double complex h12 =
        exact_pair(kappa, hypot(0.5, 0.8), 30.0, k) - exact_pair(kappa, hypot(0.5, 3.2), 30.0, k);
    // (H + R) q = U − T, q1 + q2 = 0
    const double complex a = h11 + resistance[0] - h12, b = h22 + resistance[1] - h12;
    const double complex w1 = b / (a + b);
    const double complex drop =
        2.0 * ((h11 + resistance[0]) * (h22 + resistance[1]) - h12 * h12) / (a + b);

    const gw_field field = {.segments = pipe,
                            .resistance_mk_w = resistance,
                            .count = 2,
                            .medium = {k, alpha},
                            .boundary = GW_FIELD_EQUAL_TEMPERATURE};
    gw_field_periodic mix;
    gw_err err = {0};
    ck_assert_msg(gw_field_mix_periodic(arena, &field, omega, &mix, &err) == GW_OK, "%s", err.text);
    ck_assert(fabs(mix.weight[0].re - creal(w1)) < 2e-5);
    ck_assert(fabs(mix.weight[0].im - cimag(w1)) < 2e-5);
    ck_assert(fabs(mix.weight[0].re + mix.weight[1].re - 1.0) < 1e-12);
    ck_assert(fabs(mix.weight[0].im + mix.weight[1].im) < 1e-12);
    ck_assert(fabs(mix.response.re - creal(drop)) < 2e-5 * cabs(drop));
    ck_assert(fabs(mix.response.im - cimag(drop)) < 2e-5 * cabs(drop));

    // Steady: the same with the steady responses.
    gw_field_periodic steady;
    ck_assert(gw_field_mix_periodic(arena, &field, 0.0, &steady, NULL) == GW_OK);
    const double s11 = creal(exact_pair(0.0, 0.0167, 30.0, k) - exact_pair(0.0, 2.4, 30.0, k));
    const double s22 = creal(exact_pair(0.0, 0.0167, 30.0, k) - exact_pair(0.0, 4.0, 30.0, k));
    const double s12 = creal(exact_pair(0.0, hypot(0.5, 0.8), 30.0, k) -
                             exact_pair(0.0, hypot(0.5, 3.2), 30.0, k));
    const double sa = s11 + resistance[0] - s12, sb = s22 + resistance[1] - s12;
    ck_close(steady.weight[0].re, sb / (sa + sb), 1e-8);
    ck_close(steady.weight[0].im, 0.0, 1e-30);
    const double times[2] = {DAY, 1e9};
    ck_close(solve(arena, &field, times, 2).steady_mk_w, steady.response.re, 1e-12);
    gw_arena_destroy(arena);
}
END_TEST

// The periodic response of the field is that of its fitted step response.
START_TEST(annual_response_agrees_with_the_fitted_history)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_segment segments[4];
    double resistance[4], times[90], value[90];
    const gw_field field = mixed_field(segments, resistance);
    for (size_t i = 0; i < 90; ++i) {
        times[i] = 600.0 * pow(100.0 * GW_YEAR_S / 600.0, (double)i / 89.0);
    }
    const gw_field_step step = solve(arena, &field, times, 90);
    for (size_t i = 0; i < 90; ++i) {
        value[i] = step.h_mk_w[i] - step.instant_mk_w;
    }
    gw_exp_response fit;
    gw_err err = {0};
    const gw_step_samples samples = {times, value, 90, step.instant_mk_w};
    ck_assert_msg(gw_exp_fit(arena, &samples, 25.0 * GW_YEAR_S, &fit, &err) == GW_OK, "%s",
                  err.text);
    const double omega = 2.0 * M_PI / GW_YEAR_S;
    const gw_complex by_history = gw_exp_periodic(&fit, omega);
    gw_field_periodic mix;
    ck_assert(gw_field_mix_periodic(arena, &field, omega, &mix, NULL) == GW_OK);
    ck_close(by_history.re, mix.response.re, 3e-4);
    ck_close(by_history.im, mix.response.im, 2e-3);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(same_bits_on_one_thread_and_on_two)
{
    gw_arena *const arena = gw_arena_create(0);
    const grid_case grid = {4, 3, GW_FIELD_EQUAL_TEMPERATURE, 12, GW_CUT_EQUAL, 0, {0}};
    const gw_field field = grid_field(arena, &grid, 4.0);
    const double times[3] = {1e6, 1e8, 1e9};
    const int threads = omp_get_max_threads();
    omp_set_num_threads(1);
    const gw_field_step one = solve(arena, &field, times, 3);
    omp_set_num_threads(2);
    const gw_field_step two = solve(arena, &field, times, 3);
    omp_set_num_threads(threads);
    ck_assert(memcmp(one.h_mk_w, two.h_mk_w, 3 * sizeof(double)) == 0);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(several_threads_may_solve_at_once)
{
    enum { TEAM = 4 };
    gw_arena *const arena = gw_arena_create(0);
    const grid_case grid = {4, 3, GW_FIELD_EQUAL_TEMPERATURE, 12, GW_CUT_EQUAL, 0, {0}};
    const gw_field field = grid_field(arena, &grid, 4.0);
    const double times[3] = {1e6, 1e8, 1e9};
    const gw_field_step alone = solve(arena, &field, times, 3);
    int same = 0;
#pragma omp parallel for num_threads(TEAM) reduction(+ : same)
    for (int i = 0; i < TEAM; ++i) {
        gw_arena *const own = gw_arena_create(0);
        gw_field_step step = {0};
        const gw_status st =
            gw_field_step_response(own, &field, &(gw_field_times){times, 3}, &step, NULL);
        same += st == GW_OK && memcmp(step.h_mk_w, alone.h_mk_w, 3 * sizeof(double)) == 0;
        gw_arena_destroy(own);
    }
    ck_assert_int_eq(same, TEAM);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(rejects_each_bad_input)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_segment segments[4];
    double resistance[4];
    const gw_field good = mixed_field(segments, resistance);
    const double times[2] = {DAY, GW_YEAR_S};
    gw_field_step step;
    gw_err err = {0};
    gw_field bad = good;
    bad.count = 0;
    ck_assert(gw_field_step_response(arena, &bad, &(gw_field_times){times, 2}, &step, &err) ==
              GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "segments");
    bad = good;
    bad.medium.conductivity_w_mk = 0.0;
    ck_assert(gw_field_check(&bad, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "conductivity");
    bad = good;
    bad.total_length_m = nan("");
    ck_assert(gw_field_check(&bad, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "total_length");
    resistance[2] = -0.01;
    ck_assert(gw_field_check(&good, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "resistance[2]");
    resistance[2] = 0.05;
    segments[3].length_m = nan("");
    ck_assert(gw_field_check(&good, &err) == GW_ERR_GEOMETRY);
    ck_assert_str_eq(err.field, "segments[3]");
    segments[3].length_m = 40.0;
    const size_t circuit[4] = {0, 1, 9, 1}, gap[4] = {0, 0, 2, 2};
    bad = good;
    bad.circuit = circuit;
    ck_assert(gw_field_check(&bad, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "circuit[2]");
    bad.circuit = gap;
    ck_assert(gw_field_check(&bad, &err) == GW_ERR_MISSING);
    const double falling[2] = {2.0, 1.0};
    ck_assert(gw_field_step_response(arena, &good, &(gw_field_times){falling, 2}, &step, &err) ==
              GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "times[1]");
    gw_field_periodic mix;
    ck_assert(gw_field_mix_periodic(arena, &good, -1.0, &mix, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "angular_frequency");
    for (size_t n = 0; n < 60; ++n) {
        gw_arena *const small = gw_arena_create(0);
        gw_arena_fail_after(small, n);
        const gw_status st =
            gw_field_step_response(small, &good, &(gw_field_times){times, 2}, &step, &err);
        ck_assert(st == GW_ERR_NOMEM || (st == GW_OK && n > 15));
        gw_arena_destroy(small);
    }
    gw_arena_destroy(arena);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("ground fields");
    TCase *const values = tcase_create("computed values");
    tcase_set_timeout(values, 240);
    tcase_add_loop_test(values, grids_of_bores, 0, (int)(sizeof GRID_CASES / sizeof *GRID_CASES));
    tcase_add_test(values, grids_of_bores_from_the_surface);
    tcase_add_test(values, equal_flux_lies_above_equal_temperature);
    tcase_add_test(values, marching_reproduces_the_values_and_extrapolates_to_the_field_solve);
    tcase_add_test(values, mixed_field_agrees_with_marching);
    tcase_add_test(values, pipes_in_a_trench);
    tcase_add_test(values, six_pipes_steady);
    tcase_add_test(values, annual_mix_of_two_depths);
    suite_add_tcase(suite, values);
    TCase *const laws = tcase_create("laws");
    tcase_set_timeout(laws, 240);
    tcase_add_test(laws, first_minutes_of_a_wide_bore);
    tcase_add_test(laws, columns_and_single_pairs_agree);
    tcase_add_test(laws, order_and_place_do_not_matter);
    tcase_add_test(laws, one_segment_is_its_own_response_and_resistance);
    tcase_add_test(laws, points_on_the_axis_average_to_the_field);
    tcase_add_test(laws, points_of_unequal_loads_agree_with_marching);
    tcase_add_test(laws, points_of_equal_flux_add_up);
    tcase_add_test(laws, annual_response_agrees_with_the_fitted_history);
    tcase_add_test(laws, same_bits_on_one_thread_and_on_two);
    tcase_add_test(laws, several_threads_may_solve_at_once);
    tcase_add_test(laws, rejects_each_bad_input);
    suite_add_tcase(suite, laws);
    return harness_run(suite);
}
