// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Studies of the example jobs: draws through the whole design, envelope measures, loops compared,
// spreading. Aims: 1,000 draws within 10 s and 500 sets of measures within 10 s on two cores.
//
//   bench_study [DRAWS]        200 when not given
#include "study/compare.h"
#include "study/measures.h"
#include "study/spread.h"
#include "study/uncertainty.h"

#include <omp.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static double now_s(clockid_t clock)
{
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

typedef struct {
    double wall_s;
    double cores_s;
} stopwatch;

static stopwatch start(void)
{
    return (stopwatch){now_s(CLOCK_MONOTONIC), now_s(CLOCK_PROCESS_CPUTIME_ID)};
}

static void stop(stopwatch from, const char *what, size_t count)
{
    const double wall_s = now_s(CLOCK_MONOTONIC) - from.wall_s;
    const double cores_s = now_s(CLOCK_PROCESS_CPUTIME_ID) - from.cores_s;
    printf("  %-34s %5zu designs  wall %7.3f s  processor %7.3f s  %7.2f ms of processor each\n",
           what, count, wall_s, cores_s, 1e3 * cores_s / (double)count);
}

static void draw(gw_arena *arena, const gw_job *job, size_t samples, gw_uncertainty_mode mode)
{
    gw_uncertain list[GW_UNCERTAIN_COUNT];
    const gw_uncertainty_input in = {.design = {.job = job},
                                     .loop = job->loop_count,
                                     .variables = list,
                                     .variable_count = gw_uncertainty_usual(list),
                                     .samples = samples,
                                     .seed = 1,
                                     .mode = mode};
    gw_uncertainty out;
    gw_err err = {0};
    const stopwatch from = start();
    if (gw_uncertainty_run(arena, &in, &out, &err) != GW_OK) {
        printf("  uncertainty: %s\n", err.text);
        return;
    }
    stop(from,
         mode == GW_UNCERTAINTY_FIXED ? "uncertainty, built as designed"
                                      : "uncertainty, sized anew",
         samples + 2 * out.bar_count + 1);
}

static void measure(gw_arena *arena, const gw_job *job)
{
    gw_measures_input in = {.design = {.job = job}, .loop = job->loop_count};
    gw_measures out;
    gw_err err = {0};
    gw_status st = gw_measures_usual(arena, job, &in.list, &err);
    const stopwatch from = start();
    if (st == GW_OK) {
        st = gw_measures_run(arena, &in, &out, &err);
    }
    if (st != GW_OK) {
        printf("  measures: %s\n", err.text);
        return;
    }
    stop(from, "measures", out.designs);
}

static void compare_and_spread(gw_arena *arena, const gw_job *job)
{
    gw_err err = {0};
    gw_compare compare;
    gw_spread spread;
    const gw_design_input input = {.job = job};
    const stopwatch from = start();
    if (gw_compare_loops(arena, &input, &compare, &err) == GW_OK) {
        stop(from, "compare", compare.count);
    }
    const gw_spread_input in = {.design = input, .loop = job->loop_count};
    const stopwatch again = start();
    if (gw_spread_run(arena, &in, &spread, &err) == GW_OK) {
        stop(again, "spread, 50 years", spread.count + job->loop_count);
    }
}

static void bench(const char *name, size_t samples)
{
    enum { MOST = 1 << 16 };
    char path[512];
    gw_err err = {0};
    gw_form_report report;
    const gw_job *job = NULL;
    gw_arena *const arena = gw_arena_create(0);
    gw_units *const units = gw_units_create(&err);
    snprintf(path, sizeof path, "%s/examples/%s.json", GW_SOURCE_DIR, name);
    FILE *const file = fopen(path, "rb");
    char *const text = gw_arena_alloc(arena, MOST, 1);
    if (file == NULL || text == NULL || units == NULL) {
        printf("%s cannot be read\n", path);
        return;
    }
    const size_t length = fread(text, 1, MOST - 1, file);
    fclose(file);
    const gw_job_source source = {.arena = arena, .units = units, .text = text, .length = length};
    if (gw_job_read(&source, &job, &report, &err) != GW_OK) {
        printf("%s: %s\n", name, err.text);
        return;
    }
    printf("%s\n", name);
    compare_and_spread(arena, job);
    measure(arena, job);
    draw(arena, job, samples, GW_UNCERTAINTY_FIXED);
    draw(arena, job, samples / 5, GW_UNCERTAINTY_RESIZED);
    gw_units_destroy(units);
    gw_arena_destroy(arena);
}

int main(int argc, char **argv)
{
    const long asked = argc > 1 ? strtol(argv[1], NULL, 10) : 200;
    const size_t samples = asked >= 50 && asked <= GW_UNCERTAINTY_SAMPLES_MAX ? (size_t)asked : 200;
    printf("%d threads\n", omp_get_max_threads());
    bench("village", samples);
    bench("cottage", samples);
    bench("farmhouse", samples);
    return 0;
}
