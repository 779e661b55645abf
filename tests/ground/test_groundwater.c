// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Moving line sources against the infinite one (closed and integrated), the point source integrated
// over both lines, and the published thresholds.
#include "ground/groundwater.h"
#include "ground/history.h"
#include "harness.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_sf_bessel.h>
#include <math.h>

#define YEAR GW_YEAR_S
static const gw_ground_medium MEDIUM = {2.0, 1e-6};
static const double TIMES[3] = {YEAR, 10.0 * YEAR, 50.0 * YEAR};

static gw_segment bore_at(double x_m, double y_m, double top_m, double length_m)
{
    return (gw_segment){x_m, y_m, top_m, 0.0, 0.0, 1.0, length_m, 0.07};
}

// Darcy flux for a given speed of heat.
static gw_groundwater water_of(double heat_m_s)
{
    return (gw_groundwater){
        heat_m_s * MEDIUM.conductivity_w_mk / (4.19e6 * MEDIUM.diffusivity_m2_s), 1.0, 0.0, 0.0};
}

static gw_groundwater_screening screen(const gw_groundwater_case *with,
                                       gw_groundwater_change *change)
{
    gw_groundwater_screening out;
    gw_err err = {0};
    const gw_status st = gw_groundwater_screen(with, &out, change, &err);
    ck_assert_msg(st == GW_OK, "%s: %s", err.field, err.text);
    return out;
}

START_TEST(without_flow_it_is_the_still_response)
{
    const gw_segment bores[2] = {bore_at(0.0, 0.0, 2.0, 100.0), bore_at(5.0, 2.0, 3.0, 60.0)};
    const gw_groundwater_case with = {bores, 2, MEDIUM, water_of(0.0), TIMES, 3};
    gw_groundwater_change change[3];
    const gw_groundwater_screening found = screen(&with, change);
    ck_assert(found.class == GW_GROUNDWATER_NEGLIGIBLE && found.peclet_length == 0.0);
    double h[4][3];
    const gw_response_case still = {MEDIUM, TIMES, 3, false};
    for (size_t i = 0; i < 4; ++i) {
        ck_assert(gw_response_between(&still, &bores[i / 2], &bores[i % 2], h[i], NULL) == GW_OK);
    }
    for (size_t t = 0; t < 3; ++t) {
        const double first = h[0][t] + h[1][t], second = h[2][t] + h[3][t];
        ck_close(change[t].still_mk_w, 0.5 * (first + second), 1e-6);
        ck_close(change[t].moving_mk_w, change[t].still_mk_w, 1e-12);
        ck_close(change[t].coldest_mk_w, fmax(first, second), 1e-6);
    }
}
END_TEST

// Steady, endless line: I0(x) K0(x)/(2πk), x = U r/2α (Carslaw & Jaeger 1959, §10.7). An end takes
// ∫∫ e^(−Uζ/2α)/(4πkζ) = α/(2πkU) off the sum over the length (thin bore), so two ends take
// 2/(Pe I0 K0) of the response.
START_TEST(long_bore_in_a_stream_is_the_steady_moving_line)
{
    for (double length = 250.0; length <= 2000.0; length *= 2.0) {
        const gw_segment bore = bore_at(0.0, 0.0, 50.0, length);
        for (double speed = 5e-7; speed < 1e-4; speed *= 10.0) {
            const gw_groundwater_case with = {&bore, 1, MEDIUM, water_of(speed), TIMES, 3};
            gw_groundwater_change change[3];
            const gw_groundwater_screening found = screen(&with, change);
            ck_assert(found.class == GW_GROUNDWATER_STRONG);
            ck_close(found.heat_m_s, speed, 1e-12);
            ck_close(found.peclet_length, speed * length / 1e-6, 1e-12);
            const double x = speed * 0.07 / 2e-6;
            const double want = gsl_sf_bessel_I0(x) * gsl_sf_bessel_K0(x) / (2.0 * M_PI * 2.0);
            const double off = 1.0 - change[2].moving_mk_w / want;
            const double ends = 2.0 / (found.peclet_length * want * 4.0 * M_PI);
            ck_assert_msg(off > 0.0 && off < 1.02 * ends, "%g m, %g m/s: %g, ends %g", length,
                          speed, off, ends);
            if (x < 0.1) {
                ck_close(off, ends, 0.03);
            }
        }
    }
}
END_TEST

// ---- the point source carried along, integrated over both lines ----

typedef struct {
    double speed, time, x, y; // offset from the source's axis
    double from_top, from_foot, depth;
    gsl_integration_workspace *inner;
} moving_point;

// Molina-Giraldo et al. 2011: constant point source in a stream, over 4πk.
static double point(double up, void *data)
{
    const moving_point *const p = data;
    const double a = 1e-6, dz = p->depth - up;
    const double r = sqrt(p->x * p->x + p->y * p->y + dz * dz), w = 2.0 * sqrt(a * p->time);
    const double u = p->speed / (2.0 * a);
    return 0.5 / r *
           (exp(u * (p->x - r)) * erfc((r - p->speed * p->time) / w) +
            exp(u * (p->x + r)) * erfc((r + p->speed * p->time) / w));
}

static double source_at_depth(double depth, void *data)
{
    moving_point *const p = data;
    const gsl_function f = {point, p};
    double real[2], image = 0.0, error = 0.0;
    p->depth = depth;
    const double cut = fmin(fmax(depth, p->from_top), p->from_foot);
    gsl_integration_qag(&f, p->from_top, cut, 1e-15, 1e-9, 500, GSL_INTEG_GAUSS21, p->inner,
                        &real[0], &error);
    gsl_integration_qag(&f, cut, p->from_foot, 1e-15, 1e-9, 500, GSL_INTEG_GAUSS21, p->inner,
                        &real[1], &error);
    gsl_integration_qag(&f, -p->from_foot, -p->from_top, 1e-15, 1e-9, 500, GSL_INTEG_GAUSS21,
                        p->inner, &image, &error);
    return real[0] + real[1] - image;
}

static double on_bore(moving_point *p, const gw_segment *on, const gw_segment *from,
                      gsl_integration_workspace *outer)
{
    const gsl_function f = {source_at_depth, p};
    double sum = 0.0, error = 0.0;
    p->from_top = from->z_m;
    p->from_foot = from->z_m + from->length_m;
    gsl_integration_qag(&f, on->z_m, on->z_m + on->length_m, 1e-13, 1e-8, 500, GSL_INTEG_GAUSS21,
                        outer, &sum, &error);
    return sum / (4.0 * M_PI * MEDIUM.conductivity_w_mk * on->length_m);
}

START_TEST(two_bores_agree_with_point_sources_integrated)
{
    enum { AROUND = 16 };
    gsl_set_error_handler_off();
    gsl_integration_workspace *const outer = gsl_integration_workspace_alloc(500);
    const gw_segment bores[2] = {bore_at(0.0, 0.0, 2.0, 60.0), bore_at(4.0, 3.0, 4.0, 40.0)};
    for (double speed = 2e-8; speed < 1e-5; speed *= 12.0) {
        const gw_groundwater_case with = {bores, 2, MEDIUM, water_of(speed), TIMES, 3};
        gw_groundwater_change change[3];
        (void)screen(&with, change);
        for (size_t t = 0; t < 3; t += 2) {
            double each[2] = {0.0, 0.0};
            for (size_t i = 0; i < 2; ++i) {
                moving_point p = {.speed = speed,
                                  .time = TIMES[t],
                                  .inner = gsl_integration_workspace_alloc(500)};
                p.x = bores[i].x_m - bores[1 - i].x_m;
                p.y = bores[i].y_m - bores[1 - i].y_m;
                each[i] = on_bore(&p, &bores[i], &bores[1 - i], outer);
                for (int a = 0; a < AROUND; ++a) {
                    p.x = 0.07 * cos(2.0 * M_PI * a / AROUND);
                    p.y = 0.07 * sin(2.0 * M_PI * a / AROUND);
                    each[i] += on_bore(&p, &bores[i], &bores[i], outer) / AROUND;
                }
                gsl_integration_workspace_free(p.inner);
            }
            ck_close(change[t].moving_mk_w, 0.5 * (each[0] + each[1]), 1e-6);
            ck_close(change[t].coldest_mk_w, fmax(each[0], each[1]), 1e-6);
        }
    }
    gsl_integration_workspace_free(outer);
}
END_TEST

// ---- what is published, and what must be so ----

// Below Pe 1.2 negligible, above 10 the ends do not matter (Molina-Giraldo et al. 2011).
START_TEST(thresholds_mean_what_they_say)
{
    const gw_segment bore = bore_at(0.0, 0.0, 0.0, 100.0);
    gw_groundwater_change change[3];
    gw_groundwater_case with = {&bore, 1, MEDIUM, water_of(1.19e-8), TIMES, 3};
    ck_assert(screen(&with, change).class == GW_GROUNDWATER_NEGLIGIBLE);
    for (size_t t = 0; t < 3; ++t) {
        ck_assert(fabs(change[t].moving_mk_w / change[t].still_mk_w - 1.0) < 0.01);
    }
    with.water = water_of(9.9e-8);
    ck_assert(screen(&with, change).class == GW_GROUNDWATER_FELT);
    with.water = water_of(1.01e-7);
    ck_assert(screen(&with, change).class == GW_GROUNDWATER_STRONG);
    const double x = 1.01e-7 * 0.07 / 2e-6;
    const double shape = gsl_sf_bessel_I0(x) * gsl_sf_bessel_K0(x);
    // The mirror doubles what the end at the surface takes: 3/(Pe I0 K0), five per cent.
    ck_close(1.0 - change[2].moving_mk_w * 4.0 * M_PI / shape, 3.0 / (10.1 * shape), 0.05);
}
END_TEST

START_TEST(flow_cools_less_and_less_with_time_and_more_downstream)
{
    const gw_segment row[3] = {bore_at(0.0, 0.0, 2.0, 100.0), bore_at(6.0, 0.0, 2.0, 100.0),
                               bore_at(12.0, 0.0, 2.0, 100.0)};
    gw_groundwater_change along[3], back[3], across[3];
    gw_groundwater_case with = {row, 3, MEDIUM, water_of(5e-8), TIMES, 3};
    const gw_groundwater_screening found = screen(&with, along);
    ck_close(found.peclet_spacing, 0.3, 1e-9);
    with.water.to_x = -2.0;
    (void)screen(&with, back);
    with.water.to_x = 0.0;
    with.water.to_y = 1.0;
    (void)screen(&with, across);
    double helped = 0.0;
    for (size_t t = 0; t < 3; ++t) {
        ck_close(back[t].moving_mk_w, along[t].moving_mk_w, 1e-12);
        ck_close(back[t].coldest_mk_w, along[t].coldest_mk_w, 1e-12);
        ck_assert(along[t].moving_mk_w < along[t].still_mk_w);
        ck_assert(across[t].moving_mk_w < along[t].moving_mk_w);
        ck_assert(along[t].coldest_mk_w > along[t].moving_mk_w);
        ck_assert(1.0 - along[t].moving_mk_w / along[t].still_mk_w > helped);
        helped = 1.0 - along[t].moving_mk_w / along[t].still_mk_w;
    }
}
END_TEST

START_TEST(bad_input_is_refused_by_name)
{
    gw_segment bores[2] = {bore_at(0.0, 0.0, 2.0, 100.0), bore_at(6.0, 0.0, 2.0, 100.0)};
    const gw_groundwater_case good = {bores, 2, MEDIUM, {1e-7, 1.0, 0.0, 0.0}, TIMES, 3};
    gw_groundwater_change change[3];
    gw_groundwater_screening out;
    gw_err err = {0};
    const struct {
        const char *field;
        gw_groundwater water;
    } waters[] = {{"darcy_m_s", {-1e-9, 1.0, 0.0, 0.0}},
                  {"darcy_m_s", {nan(""), 1.0, 0.0, 0.0}},
                  {"darcy_m_s", {9e-4, 1.0, 0.0, 0.0}}, // too fast for this wall
                  {"to_x", {1e-7, 0.0, 0.0, 0.0}},
                  {"water_heat_j_m3k", {1e-7, 1.0, 0.0, -1.0}}};
    for (size_t i = 0; i < sizeof waters / sizeof *waters; ++i) {
        gw_groundwater_case bad = good;
        bad.water = waters[i].water;
        ck_assert(gw_groundwater_screen(&bad, &out, change, &err) == GW_ERR_RANGE);
        ck_assert_str_eq(err.field, waters[i].field);
    }
    gw_groundwater_case bad = good;
    bad.count = 0;
    ck_assert(gw_groundwater_screen(&bad, &out, change, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "bores");
    const double forever[1] = {INFINITY};
    bad = good;
    bad.times_s = forever;
    bad.times = 1;
    ck_assert(gw_groundwater_screen(&bad, &out, change, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "times");
    bores[1].x_m = 0.1;
    ck_assert(gw_groundwater_screen(&good, &out, change, &err) == GW_ERR_GEOMETRY);
    ck_assert_str_eq(err.field, "segments[0], segments[1]");
    bores[1] = (gw_segment){6.0, 0.0, 2.0, 0.6, 0.0, 0.8, 50.0, 0.07};
    ck_assert(gw_groundwater_screen(&good, &out, change, &err) == GW_ERR_GEOMETRY);
    ck_assert_str_eq(err.field, "bores[1]");
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("groundwater");
    TCase *const all = tcase_create("all");
    tcase_set_timeout(all, 120);
    tcase_add_test(all, without_flow_it_is_the_still_response);
    tcase_add_test(all, long_bore_in_a_stream_is_the_steady_moving_line);
    tcase_add_test(all, two_bores_agree_with_point_sources_integrated);
    tcase_add_test(all, thresholds_mean_what_they_say);
    tcase_add_test(all, flow_cools_less_and_less_with_time_and_more_downstream);
    tcase_add_test(all, bad_input_is_refused_by_name);
    suite_add_tcase(suite, all);
    return harness_run(suite);
}
