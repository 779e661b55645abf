// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The 25-year hourly march coupled with the heat pump, beside direct superposition of the same
// hours. Direct superposition grows with the square of the hours: it is run over 1 and 2 years and
// over the whole horizon only with --whole.
#include "loop/simulate.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double heating_w[GW_LOOP_HOURS];
static double cooling_w[GW_LOOP_HOURS];

static void make_loads(void)
{
    for (size_t h = 0; h < GW_LOOP_HOURS; h++) {
        const double season = cos(2.0 * 3.14159265358979 * ((double)h / 24.0 - 20.0) / 365.0);
        const double daily = cos(2.0 * 3.14159265358979 * ((double)h - 5.0) / 24.0);
        const double w = 4000.0 + 6000.0 * season + 1200.0 * daily;
        heating_w[h] = fmax(w, 0.0);
        cooling_w[h] = fmax(-w - 1500.0, 0.0);
    }
}

static gw_loop_response make_response(gw_arena *arena)
{
    enum { COUNT = 60 };
    double times_s[COUNT];
    double value[COUNT];
    for (size_t i = 0; i < COUNT; i++) {
        times_s[i] = 900.0 * pow(10.0, 6.2 * (double)i / (COUNT - 1));
        value[i] = 0.08 * log(1.0 + times_s[i] / 3000.0);
    }
    const gw_step_samples samples = {
        .times_s = times_s, .value = value, .count = COUNT, .offset = 0.1};
    gw_loop_response r = {.length_m = 300.0,
                          .capacity_w_k = 2500.0,
                          .undisturbed_degc = 8.0,
                          .wave = {.real_k = -0.4, .imag_k = 0.2}};
    if (gw_exp_fit(arena, &samples, 25.0 * GW_YEAR_S, &r.step, NULL) != GW_OK) {
        fprintf(stderr, "the response could not be fitted\n");
    }
    return r;
}

static gw_plant make_plant(void)
{
    const gw_plant_input input = {
        .pump = {.id = "bench",
                 .name = "made for the bench",
                 .source = "invented",
                 .heating = {.points = {{-5.0, 9000.0, 2800.0},
                                        {0.0, 10500.0, 2900.0},
                                        {10.0, 13500.0, 3000.0}},
                             .count = 3},
                 .cooling = {.points = {{10.0, 13000.0, 1900.0}, {25.0, 11500.0, 2600.0}},
                             .count = 2},
                 .blower_power_w = 300.0,
                 .rated_flow_m3_s = 6e-4,
                 .min_entering_degc = -7.0,
                 .max_entering_degc = 40.0},
        .unit_count = 1,
        .cycling_coefficient = 0.18};
    gw_plant plant = {0};
    if (gw_plant_build(&input, &plant, NULL) != GW_OK) {
        fprintf(stderr, "the plant could not be built\n");
    }
    return plant;
}

typedef gw_status (*march)(gw_arena *, const gw_loop_run *, gw_loop_result *, gw_err *);

// Shortest of `tries` runs, and the coldest water found.
static double time_march(march f, const gw_loop_run *run, int tries, double *coldest_degc)
{
    double best_s = HUGE_VAL;
    for (int i = 0; i < tries; i++) {
        gw_arena *const arena = gw_arena_create((size_t)4 << 30);
        gw_loop_result out;
        const double start_s = now_s();
        if (f(arena, run, &out, NULL) != GW_OK) {
            fprintf(stderr, "the march failed\n");
        }
        best_s = fmin(best_s, now_s() - start_s);
        *coldest_degc = out.coldest.degc;
        gw_arena_destroy(arena);
    }
    return best_s;
}

int main(int argc, char **argv)
{
    const int whole = argc > 1 && strcmp(argv[1], "--whole") == 0;
    make_loads();
    gw_arena *const arena = gw_arena_create(0);
    const gw_loop_response response = make_response(arena);
    const gw_plant plant = make_plant();
    gw_loop_run run = {.heating_w = heating_w,
                       .cooling_w = cooling_w,
                       .plant = &plant,
                       .response = &response,
                       .years = 25,
                       .first_month = GW_LOOP_FIRST_MONTH};
    double fast_degc = 0.0;
    double plain_degc = 0.0;
    const double fast_s = time_march(gw_loop_simulate, &run, 15, &fast_degc);
    printf("25-year coupled march (sum of exponentials): %.2f ms, coldest %.4f degC\n",
           1e3 * fast_s, fast_degc);
    double plain_s = 0.0;
    if (whole) {
        plain_s = time_march(gw_loop_simulate_directly, &run, 1, &plain_degc);
        printf("direct superposition, 25 years: %.1f s, coldest %.4f degC\n", plain_s, plain_degc);
    } else {
        run.years = 2;
        const double two_s = time_march(gw_loop_simulate_directly, &run, 1, &plain_degc);
        plain_s = two_s * (25.0 / 2.0) * (25.0 / 2.0);
        printf("direct superposition, 2 years: %.2f s; scaled by the square of the hours to 25 "
               "years: %.1f s\n",
               two_s, plain_s);
    }
    printf("ratio: %.0f times faster than direct superposition\n", plain_s / fast_s);
    gw_arena_destroy(arena);
    return 0;
}
