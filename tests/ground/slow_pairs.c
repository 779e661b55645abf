// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// 10,000 random pairs of segments in random directions, near and far, short and long times, against
// adaptive double integration of the point source by the GNU Scientific Library. Takes minutes:
// part of `./check --long` only. An argument gives another number of pairs.
//
// Passes when every pair is within 1e-6 relative plus 1e-10 m·K/W (k = 1 W/(m·K)).
#include "base/random.h"
#include "ground/kernel.h"
#include "ground/response.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const double DIFFUSIVITY = 1e-6;

typedef struct {
    gsl_integration_workspace *inner, *outer;
    const gw_segment *a, *b;
    double width_m; // √(4αt)
    double u;
} double_integral;

static double along_b(double v, void *data)
{
    const double_integral *const p = data;
    const gw_position x = gw_segment_point(p->a, p->u), y = gw_segment_point(p->b, v);
    const double r = hypot(hypot(x.x_m - y.x_m, x.y_m - y.y_m), x.z_m - y.z_m);
    return erfc(r / p->width_m) / r;
}

// Split where b comes nearest to the point, so that the peak is at an end of an interval.
static double along_a(double u, void *data)
{
    double_integral *const p = data;
    p->u = u;
    const gsl_function f = {along_b, p};
    const gw_position x = gw_segment_point(p->a, u);
    const double foot = (x.x_m - p->b->x_m) * p->b->dx + (x.y_m - p->b->y_m) * p->b->dy +
                        (x.z_m - p->b->z_m) * p->b->dz;
    const double cut = fmin(fmax(foot, 0.0), p->b->length_m);
    double sum = 0.0, part = 0.0, error = 0.0;
    if (cut > 0.0) {
        gsl_integration_qag(&f, 0.0, cut, 1e-15, 1e-9, 200, GSL_INTEG_GAUSS21, p->inner, &part,
                            &error);
        sum += part;
    }
    if (cut < p->b->length_m) {
        gsl_integration_qag(&f, cut, p->b->length_m, 1e-15, 1e-9, 200, GSL_INTEG_GAUSS21, p->inner,
                            &part, &error);
        sum += part;
    }
    return sum;
}

static double by_quadrature(double_integral *work, const gw_segment *a, const gw_segment *b,
                            double time_s)
{
    const gw_segment mirror = gw_kernel_mirror(b);
    const gsl_function f = {along_a, work};
    double total = 0.0;
    work->a = a;
    work->width_m = sqrt(4.0 * DIFFUSIVITY * time_s);
    for (int part = 0; part < 2; ++part) {
        double sum = 0.0, error = 0.0;
        work->b = part == 0 ? b : &mirror;
        gsl_integration_qag(&f, 0.0, a->length_m, 1e-14, 1e-8, 200, GSL_INTEG_GAUSS21, work->outer,
                            &sum, &error);
        total += part == 0 ? sum : -sum;
    }
    return total / (4.0 * M_PI * a->length_m);
}

static gw_segment random_segment(gw_random *random, double size_m)
{
    for (;;) {
        gw_position end[2];
        for (size_t i = 0; i < 2; ++i) {
            end[i].x_m = size_m * gw_random_uniform(random);
            end[i].y_m = size_m * gw_random_uniform(random);
            end[i].z_m = 0.3 + size_m * gw_random_uniform(random);
        }
        const gw_segment s = gw_segment_between(end[0], end[1], 0.02);
        if (s.length_m > 0.03 * size_m) {
            return s;
        }
    }
}

int main(int argc, char **argv)
{
    const long pairs = argc > 1 ? strtol(argv[1], NULL, 10) : 10000;
    gsl_set_error_handler_off();
    double_integral work = {.inner = gsl_integration_workspace_alloc(200),
                            .outer = gsl_integration_workspace_alloc(200)};
    gw_random random;
    gw_random_init(&random, 90125);
    double worst_frac = 0.0, worst_mk_w = 0.0;
    long done = 0, bad = 0;
    while (done < pairs) {
        const double size = 2.0 * pow(50.0, gw_random_uniform(&random)); // 2 to 100 m
        const gw_segment a = random_segment(&random, size), b = random_segment(&random, size);
        const double time_s = 86400.0 * pow(1e5, gw_random_uniform(&random)); // a day to 270 years
        if (gw_segment_gap_m(&a, &b) < 0.04) {
            continue; // touching walls: the rule for those is tested elsewhere
        }
        double h = 0.0;
        gw_err err = {0};
        const gw_response_case with = {{1.0, DIFFUSIVITY}, &time_s, 1, false};
        if (gw_response_between(&with, &a, &b, &h, &err) != GW_OK) {
            fprintf(stderr, "%s: %s\n", err.field, err.text);
            return EXIT_FAILURE;
        }
        const double want = by_quadrature(&work, &a, &b, time_s), off = fabs(h - want);
        worst_mk_w = fmax(worst_mk_w, off);
        worst_frac = want > 1e-4 ? fmax(worst_frac, off / want) : worst_frac;
        if (!(off <= 1e-6 * want + 1e-10)) {
            ++bad;
            printf("pair %ld, size %g m, time %g s: %.12g, want %.12g\n", done, size, time_s, h,
                   want);
        }
        ++done;
    }
    gsl_integration_workspace_free(work.inner);
    gsl_integration_workspace_free(work.outer);
    printf("%ld pairs: worst %.2e relative (of those above 1e-4 m·K/W), %.2e m·K/W; %ld outside\n",
           done, worst_frac, worst_mk_w, bad);
    return bad == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
