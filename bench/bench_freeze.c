// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The freezing section beside what the memory of the machine allows, in one run:
//   triad  a = b + s c over arrays far larger than the caches, all threads: bytes per second
//   large  a section far larger than the caches: cell-stages per second, and the bandwidth they
//          need at the least: a stage reads Y(j−1), reads and writes Y(j−2): 24 bytes a cell
//   house  the section of a house's trench for a year, on one core (it fits the caches)
// On one core by processor time, which a busy machine does not spoil much, and on all by the clock,
// which it does. Best of a few runs each.
#include "ground/freeze_priv.h"

#include <omp.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { TRIAD = 1 << 24, RUNS = 5 };
static const double BYTES = 24.0;

static double now_s(void)
{
    struct timespec t;
    clock_gettime(omp_get_max_threads() == 1 ? CLOCK_THREAD_CPUTIME_ID : CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double triad_bytes_s(void)
{
    double *const a = malloc(TRIAD * sizeof *a), *const b = malloc(TRIAD * sizeof *b);
    double *const c = malloc(TRIAD * sizeof *c);
    double best = 1e30;
    if (a == NULL || b == NULL || c == NULL) {
        exit(1);
    }
#pragma omp parallel for schedule(static)
    for (long i = 0; i < TRIAD; ++i) {
        a[i] = 0.0;
        b[i] = 1.0;
        c[i] = (double)i;
    }
    for (int run = 0; run < RUNS; ++run) {
        const double start = now_s(), s = 0.5 + run;
#pragma omp parallel for simd schedule(static)
        for (long i = 0; i < TRIAD; ++i) {
            a[i] = b[i] + s * c[i];
        }
        const double spent = now_s() - start;
        best = spent < best ? spent : best;
    }
    const double check = a[TRIAD / 2];
    free(a);
    free(b);
    free(c);
    return check > 0.0 ? 3.0 * sizeof(double) * TRIAD / best : 0.0;
}

typedef struct {
    double width_m, depth_m, cell_m, growth, most_m, step_s, days;
} section;

static const gw_soil SOIL = {1.5, 2.6e6, 2.1, 1.9e6, 9e7};

// Cell-stages per second, best of the runs.
static double march(const section *s, int runs, size_t *cells, int *stages)
{
    double best = 0.0;
    for (int run = 0; run < runs; ++run) {
        gw_arena *const arena = gw_arena_create(0);
        gw_freeze_priv_body body = {0};
        const double x[1] = {0.0}, z[1] = {1.5};
        gw_freeze_priv_plan plan = {s->width_m, x, 1, s->cell_m, s->growth, s->most_m, false};
        gw_err err = {0};
        gw_status st = gw_freeze_priv_axis_flat(arena, &plan, &body.x, &err);
        plan.length_m = s->depth_m;
        plan.points_m = z;
        plan.fine_at_start = true;
        st = st == GW_OK ? gw_freeze_priv_axis_flat(arena, &plan, &body.z, &err) : st;
        const gw_freeze_priv_start start_with = {SOIL, 0.0, 4.0};
        st = st == GW_OK ? gw_freeze_priv_body_init(arena, &start_with, &body, &err) : st;
        if (st != GW_OK) {
            fprintf(stderr, "%s: %s\n", err.field, err.text);
            exit(1);
        }
        size_t row = 0;
        while (body.z.node_m[row] < 1.499) {
            ++row;
        }
        body.sink_count = 1;
        body.sinks[0] = (gw_freeze_priv_sink){row * body.x.count, 0.5, 0.05, 0.05};
        const double heat[1] = {12.0};
        const gw_freeze_drive drive = {s->days * 86400.0, -5.0, 0.1, GW_FREEZE_BY_HEAT, heat};
        const double start = now_s();
        st = gw_freeze_priv_advance(&body, &drive, s->step_s, &err);
        const double spent = now_s() - start;
        if (st != GW_OK) {
            fprintf(stderr, "%s: %s\n", err.field, err.text);
            exit(1);
        }
        *cells = body.x.count * body.z.count;
        *stages = body.last_stages;
        const double rate =
            (double)*cells * body.last_stages * s->days * 86400.0 / s->step_s / spent;
        best = rate > best ? rate : best;
        gw_arena_destroy(arena);
    }
    return best;
}

static void on_threads(int threads)
{
    size_t cells;
    int stages;
    omp_set_num_threads(threads);
    const double triad = triad_bytes_s();
    printf("triad    %d threads: %.1f GB/s\n", threads, 1e-9 * triad);
    const section large = {36.0, 36.0, 0.02, 1.0, 0.02, 1800.0, 0.125};
    const double rate = march(&large, 3, &cells, &stages);
    printf("large    %d threads: %zu cells, %d stages a step: %.0f million cell-stages a second, "
           "%.1f GB/s at %.0f bytes: %.0f %% of the triad\n",
           threads, cells, stages, 1e-6 * rate, 1e-9 * BYTES * rate, BYTES,
           100.0 * BYTES * rate / triad);
    if (threads == 1) {
        const section house = {10.0, 12.0, 0.05, 1.15, 0.6, 10800.0, 365.0};
        const double small = march(&house, 3, &cells, &stages);
        printf(
            "house    1 thread: %zu cells, %d stages a step: %.0f million cell-stages a second; a "
            "year %.3f s\n",
            cells, stages, 1e-6 * small, (double)cells * stages * 8.0 * 365.0 / small);
    }
}

int main(void)
{
    const int all = omp_get_max_threads();
    on_threads(1);
    on_threads(all);
    return 0;
}
