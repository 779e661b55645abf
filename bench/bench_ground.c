// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The ground alone, as ratios measured in one run; by the clock, or with OMP_NUM_THREADS=1 by
// processor time, which a busy machine does not spoil much:
//   history  25 years of hours by the sum of exponentials, beside direct superposition (its cost is
//            measured on evenly spread hours and scaled; --whole runs all of them) and beside one
//            convolution of the known loads by fast Fourier transform (which a load that depends on
//            the ground's temperature does not allow)
//   field    100 bores × 12 segments × 40 times, on a grid and at random, beside adaptive
//            quadrature of every pair (measured on random pairs and scaled to n(n + 1)/2)
//   large    1,024 bores × 12 segments at random by classes; beside the full solve with 256 of them
//   map      200 × 200 points × 300 months beside a trench of four pipes
#include "base/random.h"
#include "ground/large.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_fft_halfcomplex.h>
#include <gsl/gsl_fft_real.h>
#include <gsl/gsl_integration.h>
#include <math.h>
#include <omp.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#define HOUR_S 3600.0
enum { YEARS = 25, HOURS = YEARS * 8760, BORES = 100, PIECES = 12, TIMES = 40 };

static double now_s(void)
{
    struct timespec t;
    clock_gettime(omp_get_max_threads() == 1 ? CLOCK_THREAD_CPUTIME_ID : CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int failed(const gw_err *err)
{
    fprintf(stderr, "%s: %s\n", err->field, err->text);
    return 1;
}

// ---- history ----

static double *make_loads(gw_arena *arena)
{
    double *const q = gw_arena_alloc(arena, HOURS, sizeof *q);
    gw_random random;
    gw_random_init(&random, 1);
    for (size_t n = 0; n < HOURS && q != NULL; ++n) {
        q[n] = 8.0 + 22.0 * cos(2.0 * M_PI * (double)n / 8760.0) +
               6.0 * cos(2.0 * M_PI * (double)n / 24.0) + 4.0 * gw_random_normal(&random);
    }
    return q;
}

// All hours at once: loads times steps' increments, by real transforms of radix 2. The transform of
// the increments is made before the clock starts. Returns seconds; out[HOURS].
static double convolve(gw_arena *arena, const double *step, const double *load, double *out)
{
    enum { SIZE = 1 << 19 };
    double *const a = gw_arena_alloc(arena, SIZE, sizeof *a);
    double *const b = gw_arena_alloc(arena, SIZE, sizeof *b);
    if (a == NULL || b == NULL) {
        return 0.0;
    }
    for (size_t n = 0; n < HOURS; ++n) {
        b[n] = step[n] - (n > 0 ? step[n - 1] : 0.0);
    }
    gsl_fft_real_radix2_transform(b, 1, SIZE);
    const double start = now_s();
    memcpy(a, load, HOURS * sizeof *a);
    gsl_fft_real_radix2_transform(a, 1, SIZE);
    a[0] *= b[0];
    a[SIZE / 2] *= b[SIZE / 2];
    for (size_t k = 1; k < SIZE / 2; ++k) {
        const double re = a[k], im = a[SIZE - k];
        a[k] = re * b[k] - im * b[SIZE - k];
        a[SIZE - k] = re * b[SIZE - k] + im * b[k];
    }
    gsl_fft_halfcomplex_radix2_inverse(a, 1, SIZE);
    memcpy(out, a, HOURS * sizeof *a);
    return now_s() - start;
}

static int bench_history(gw_arena *arena, int whole)
{
    gw_err err = {0};
    const gw_segment bore = {0.0, 0.0, 2.0, 0.0, 0.0, 1.0, 100.0, 0.07};
    double *const times = gw_arena_alloc(arena, HOURS, sizeof *times);
    double *const step = gw_arena_alloc(arena, HOURS, sizeof *step);
    double *const fast = gw_arena_alloc(arena, HOURS, sizeof *fast);
    double *const q = make_loads(arena);
    if (times == NULL || step == NULL || fast == NULL || q == NULL) {
        return 1;
    }
    for (size_t n = 0; n < HOURS; ++n) {
        times[n] = HOUR_S * (double)(n + 1);
    }
    if (gw_response_between(&(gw_response_case){{2.0, 1e-6}, times, HOURS, false}, &bore, &bore,
                            step, &err) != GW_OK) {
        return failed(&err);
    }
    double sample_s[GW_EXP_SAMPLES], value[GW_EXP_SAMPLES];
    gw_exp_sample_times(HOUR_S, HOURS * HOUR_S, sample_s);
    for (size_t i = 0; i < GW_EXP_SAMPLES; ++i) {
        value[i] = step[(size_t)lround(sample_s[i] / HOUR_S) - 1];
    }
    const double start = now_s();
    gw_exp_response fit;
    if (gw_exp_fit(arena, &(gw_step_samples){sample_s, value, GW_EXP_SAMPLES, 0.0}, HOURS * HOUR_S,
                   &fit, &err) != GW_OK) {
        return failed(&err);
    }
    const double fitted = now_s();
    double fast_s = 1e9;
    for (int run = 0; run < 3; ++run) {
        const double begun = now_s();
        gw_exp_stepper stepper;
        gw_exp_stepper_init(&stepper, &fit, HOUR_S);
        for (size_t n = 0; n < HOURS; ++n) {
            fast[n] = gw_exp_advance(&stepper, q[n]);
        }
        fast_s = fmin(fast_s, now_s() - begun);
    }
    const double marched = now_s();
    const size_t every = whole ? 1 : 547;
    double worst = 0.0, largest = 0.0, products = 0.0;
    for (size_t n = every - 1; n < HOURS; n += every) {
        const double direct = gw_history_superpose(step, q, n);
        worst = fmax(worst, fabs(direct - fast[n]));
        largest = fmax(largest, fabs(direct));
        products += (double)(n + 1);
    }
    const double scale = 0.5 * (double)HOURS * (double)(HOURS + 1) / products;
    const double direct_s = (now_s() - marched) * scale;
    printf("history  fit %.2f ms (%zu terms, error %.1e); %d hours %.2f ms (%.1f ns each)\n",
           1e3 * (fitted - start), fit.terms, fit.fit_error_frac, HOURS, 1e3 * fast_s,
           1e9 * fast_s / HOURS);
    printf("         direct superposition %.2f s%s: %.0f times; apart %.4f %% of the largest\n",
           direct_s, whole ? "" : " (scaled)", direct_s / fast_s, 100.0 * worst / largest);
    double *const by_fft = gw_arena_alloc(arena, HOURS, sizeof *by_fft);
    double fft_s = 1e9, apart = 0.0;
    for (int run = 0; run < 3 && by_fft != NULL; ++run) {
        fft_s = fmin(fft_s, convolve(arena, step, q, by_fft));
    }
    for (size_t n = 0; n < HOURS && by_fft != NULL; ++n) {
        apart = fmax(apart, fabs(by_fft[n] - fast[n]));
    }
    printf("         convolution of known loads by FFT %.1f ms (best of 3): %.1f times; apart %.4f "
           "%% of the largest\n",
           1e3 * fft_s, fft_s / fast_s, 100.0 * apart / largest);
    return 0;
}

// ---- field ----

typedef struct {
    double distance_m, a1, a2, b1, b2;
} vertical_pair;

static double ierf(double x)
{
    return x * erf(x) - (1.0 - exp(-x * x)) / sqrt(M_PI);
}

// The one-integral form as published, with the library's own error function.
static double integrand(double s, void *data)
{
    const vertical_pair *const p = data;
    const double real = ierf((p->a2 - p->b1) * s) + ierf((p->a1 - p->b2) * s) -
                        ierf((p->a2 - p->b2) * s) - ierf((p->a1 - p->b1) * s);
    const double image = ierf((p->a2 + p->b2) * s) + ierf((p->a1 + p->b1) * s) -
                         ierf((p->a2 + p->b1) * s) - ierf((p->a1 + p->b2) * s);
    return exp(-p->distance_m * p->distance_m * s * s) * (real - image) / (s * s);
}

static double by_quadrature(gsl_integration_workspace *work, vertical_pair *pair,
                            double diffusivity, double time_s)
{
    gsl_function f = {integrand, pair};
    double sum = 0.0, error = 0.0;
    gsl_integration_qagiu(&f, 1.0 / sqrt(4.0 * diffusivity * time_s), 1e-9, 1e-6, 1000, work, &sum,
                          &error);
    return sum;
}

static void place(gw_position *at, int random_places)
{
    gw_random random;
    gw_random_init(&random, 5);
    for (size_t b = 0; b < BORES; ++b) {
        int clear = 0;
        while (!clear) {
            at[b] = random_places
                        ? (gw_position){90.0 * gw_random_uniform(&random),
                                        90.0 * gw_random_uniform(&random), 2.0}
                        : (gw_position){6.0 * (double)(b % 10), 6.0 * (double)(b / 10), 2.0};
            clear = 1;
            for (size_t c = 0; c < b; ++c) {
                clear = clear && hypot(at[b].x_m - at[c].x_m, at[b].y_m - at[c].y_m) > 4.0;
            }
        }
    }
}

static double quadrature_pair_s(const gw_segment *segments, const double *times, double *worst)
{
    enum { SAMPLE = 60 };
    gsl_set_error_handler_off();
    gsl_integration_workspace *const work = gsl_integration_workspace_alloc(1000);
    gw_random random;
    gw_random_init(&random, 11);
    double spent = 0.0;
    for (size_t n = 0; n < SAMPLE; ++n) {
        const gw_segment *const a = &segments[gw_random_bits(&random) % (BORES * PIECES)];
        const gw_segment *const b = &segments[gw_random_bits(&random) % (BORES * PIECES)];
        vertical_pair pair = {fmax(hypot(a->x_m - b->x_m, a->y_m - b->y_m), a->radius_m), a->z_m,
                              a->z_m + a->length_m, b->z_m, b->z_m + b->length_m};
        double h[TIMES], by_gsl[TIMES];
        const double start = now_s();
        for (size_t i = 0; i < TIMES; ++i) {
            by_gsl[i] = by_quadrature(work, &pair, 1e-6, times[i]) / (8.0 * M_PI * a->length_m);
        }
        spent += now_s() - start;
        const gw_response_case with = {{2.0, 1e-6}, times, TIMES, false};
        if (gw_response_between(&with, a, b, h, NULL) == GW_OK) {
            *worst = fmax(*worst, fabs(h[TIMES - 1] - by_gsl[TIMES - 1]));
        }
    }
    gsl_integration_workspace_free(work);
    return spent / SAMPLE;
}

static int bench_field(gw_arena *arena, int random_places)
{
    gw_err err = {0};
    gw_position at[BORES];
    gw_segment *const segments = gw_arena_alloc(arena, BORES * PIECES, sizeof *segments);
    if (segments == NULL) {
        return 1;
    }
    place(at, random_places);
    for (size_t b = 0; b < BORES; ++b) {
        const gw_segment bore = {at[b].x_m, at[b].y_m, 2.0, 0.0, 0.0, 1.0, 100.0, 0.07};
        if (gw_segment_cut(&bore, PIECES, GW_CUT_EQUAL, segments + b * PIECES, &err) != GW_OK) {
            return failed(&err);
        }
    }
    double times[TIMES];
    for (size_t i = 0; i < TIMES; ++i) {
        times[i] = HOUR_S * pow(50.0 * 8760.0, (double)i / (TIMES - 1));
    }
    const gw_field field = {.segments = segments,
                            .count = BORES * PIECES,
                            .medium = {2.0, 1e-6},
                            .boundary = GW_FIELD_EQUAL_TEMPERATURE};
    gw_field_step step;
    const size_t before = gw_arena_used(arena);
    const double start = now_s();
    if (gw_field_step_response(arena, &field, &(gw_field_times){times, TIMES}, &step, &err) !=
        GW_OK) {
        return failed(&err);
    }
    const double solved = now_s() - start;
    double worst = 0.0;
    const double pair_s = quadrature_pair_s(segments, times, &worst);
    const double all_s = pair_s * 0.5 * (double)field.count * (double)(field.count + 1);
    printf("field    %d bores %s × %d × %d: %.3f s, solve included (%zu kernels, %.0f MB)\n", BORES,
           random_places ? "at random" : "on a grid", PIECES, TIMES, solved, step.kernels,
           1e-6 * (double)(gw_arena_used(arena) - before));
    printf("         adaptive quadrature of every pair, no solve, scaled: %.0f s: %.0f times; "
           "pairs apart %.1e m·K/W\n",
           all_s, all_s / solved, worst);
    return 0;
}

// ---- large field ----

static int solve_large(gw_arena *arena, size_t bores, int with_full)
{
    gw_err err = {0};
    gw_segment *const segments = gw_arena_alloc(arena, bores * PIECES, sizeof *segments);
    if (segments == NULL) {
        return 1;
    }
    gw_random random;
    gw_random_init(&random, 3);
    const double side = 7.5 * sqrt((double)bores);
    for (size_t b = 0; b < bores;) {
        const gw_segment bore = {side * gw_random_uniform(&random),
                                 side * gw_random_uniform(&random),
                                 4.0,
                                 0.0,
                                 0.0,
                                 1.0,
                                 150.0,
                                 0.075};
        int clear = 1;
        for (size_t c = 0; c < b; ++c) {
            const gw_segment *const other = &segments[c * PIECES];
            clear = clear && hypot(bore.x_m - other->x_m, bore.y_m - other->y_m) > 3.0;
        }
        if (clear &&
            gw_segment_cut(&bore, PIECES, GW_CUT_EQUAL, segments + PIECES * b++, &err) != GW_OK) {
            return failed(&err);
        }
    }
    double times[TIMES];
    for (size_t i = 0; i < TIMES; ++i) {
        times[i] = 2.5e9 * exp(-8.5 + 11.5 * (double)i / (TIMES - 1));
    }
    const gw_field field = {.segments = segments,
                            .count = bores * PIECES,
                            .medium = {1.0, 1e-6},
                            .boundary = GW_FIELD_EQUAL_TEMPERATURE};
    gw_field_step fast, full;
    const size_t before = gw_arena_used(arena);
    const double start = now_s();
    if (gw_field_step_response_large(arena, &(gw_field_large){&field, 8},
                                     &(gw_field_times){times, TIMES}, &fast, &err) != GW_OK) {
        return failed(&err);
    }
    const double solved = now_s() - start;
    printf("large    %zu bores at random × %d × %d, 8 classes: %.2f s, %zu unknowns, %.0f MB\n",
           bores, PIECES, TIMES, solved, fast.unknowns,
           1e-6 * (double)(gw_arena_used(arena) - before));
    if (with_full) {
        const double again = now_s();
        if (gw_field_step_response(arena, &field, &(gw_field_times){times, TIMES}, &full, &err) !=
            GW_OK) {
            return failed(&err);
        }
        double worst = 0.0;
        for (size_t i = 0; i < TIMES; ++i) {
            worst = fmax(worst, fabs(fast.h_mk_w[i] / full.h_mk_w[i] - 1.0));
        }
        printf("         full solve %.2f s, %zu unknowns: %.0f times; apart %.3f %%\n",
               now_s() - again, full.unknowns, (now_s() - again) / solved, 100.0 * worst);
    }
    return 0;
}

// ---- map ----

enum { SIDE = 200, MONTHS = 300, LOG_TIMES = 32 };

// Temperatures at the end of each month: a common 300 × 32 matrix turns each point's response at
// log-spaced times into months. Its rows: the loads' memory in the time constants, times the fit.
static int bench_map(gw_arena *arena)
{
    gw_err err = {0};
    const double month_s = GW_YEAR_S / 12.0;
    const gw_segment pipes[4] = {{0.0, 0.0, 1.2, 1.0, 0.0, 0.0, 60.0, 0.0167},
                                 {0.0, 0.6, 1.2, 1.0, 0.0, 0.0, 60.0, 0.0167},
                                 {0.0, 0.0, 1.8, 1.0, 0.0, 0.0, 60.0, 0.0167},
                                 {0.0, 0.6, 1.8, 1.0, 0.0, 0.0, 60.0, 0.0167}};
    gw_position *const points = gw_arena_alloc(arena, SIDE * SIDE, sizeof *points);
    double *const h = gw_arena_alloc(arena, (size_t)SIDE * SIDE * LOG_TIMES, sizeof *h);
    float *const map = gw_arena_alloc(arena, (size_t)SIDE * SIDE * MONTHS, sizeof *map);
    double *const memory = gw_arena_alloc(arena, MONTHS * LOG_TIMES, sizeof *memory);
    if (points == NULL || h == NULL || map == NULL || memory == NULL) {
        return 1;
    }
    double times[LOG_TIMES];
    for (size_t i = 0; i < LOG_TIMES; ++i) {
        times[i] = month_s * pow((double)MONTHS, (double)i / (LOG_TIMES - 1));
    }
    for (size_t i = 0; i < SIDE * SIDE; ++i) {
        points[i] =
            (gw_position){30.0, -8.0 + 0.08 * (double)(i % SIDE), 0.02 * (double)(i / SIDE)};
    }
    const double start = now_s();
    const gw_response_map all = {pipes, NULL, 4, points, SIDE * SIDE};
    if (gw_response_map_points(&(gw_response_case){{1.4, 6e-7}, times, LOG_TIMES, false}, &all, h,
                               &err) != GW_OK) {
        return failed(&err);
    }
    const double responded = now_s();
    // Superposition of months with the response interpolated linearly in ln t.
    for (size_t n = 0; n < MONTHS; ++n) {
        for (size_t m = 0; m <= n; ++m) {
            const double load = 10.0 * cos(2.0 * M_PI * (double)m / 12.0) + 3.0;
            const double before =
                m > 0 ? 10.0 * cos(2.0 * M_PI * (double)(m - 1) / 12.0) + 3.0 : 0.0;
            const double x = log((double)(n - m + 1)) / log((double)MONTHS) * (LOG_TIMES - 1);
            const size_t i = x < LOG_TIMES - 1 ? (size_t)x : LOG_TIMES - 2;
            memory[n * LOG_TIMES + i] += (load - before) * (1.0 - (x - (double)i));
            memory[n * LOG_TIMES + i + 1] += (load - before) * (x - (double)i);
        }
    }
    const long count = SIDE * SIDE;
#pragma omp parallel for
    for (long p = 0; p < count; ++p) {
        for (size_t n = 0; n < MONTHS; ++n) {
            double sum = 0.0;
            for (size_t i = 0; i < LOG_TIMES; ++i) {
                sum += memory[n * LOG_TIMES + i] * h[(size_t)p * LOG_TIMES + i];
            }
            map[(size_t)p * MONTHS + n] = (float)sum;
        }
    }
    const double done = now_s();
    printf("map      %d × %d points × %d months, 4 pipes: %.2f s (responses %.2f s); "
           "largest change here %.2f K\n",
           SIDE, SIDE, MONTHS, done - start, responded - start,
           (double)map[(size_t)(90 * SIDE + 100) * MONTHS + MONTHS - 1]);
    return 0;
}

int main(int argc, char **argv)
{
    const int whole = argc > 1 && strcmp(argv[1], "--whole") == 0;
    gw_arena *const arena = gw_arena_create(0);
    int bad = arena == NULL || bench_history(arena, whole);
    bad = bad || bench_field(arena, 0) || bench_field(arena, 1);
    bad = bad || solve_large(arena, 256, 1) || solve_large(arena, 1024, 0) || bench_map(arena);
    gw_arena_destroy(arena);
    return bad;
}
