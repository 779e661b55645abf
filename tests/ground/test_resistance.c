// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/resistance.h"

#include "ground/trench_resistance.h"
#include "harness.h"

#include <math.h>
#include <string.h>

static const double PI = 3.14159265358979323846;

static gw_bore_resistance solve_u(const gw_bore_u_tube *tube, size_t order, unsigned mask)
{
    gw_bore_section section;
    gw_bore_matrix matrix;
    gw_bore_resistance res;
    gw_err err = {0};
    ck_assert_msg(gw_bore_section_of_u_tube(tube, &section, &err) == GW_OK, "%s", err.text);
    ck_assert_msg(gw_bore_solve_multipole(&section, order, &matrix, &err) == GW_OK, "%s", err.text);
    ck_assert_msg(gw_bore_resistance_of(&matrix, mask, &res, &err) == GW_OK, "%s", err.text);
    return res;
}

static gw_bore_u_tube u_tube(double rb, double rp, double x, double kb, double k, double rp_mk_w)
{
    return (gw_bore_u_tube){.bore_radius_m = rb,
                            .pipe_outer_radius_m = rp,
                            .pipe_resistance_mk_w = rp_mk_w,
                            .axis_radius_m = x,
                            .grout_w_mk = kb,
                            .ground_w_mk = k,
                            .u_count = 1};
}

// Converged multipole solution, computed independently; shank is centre to centre.
START_TEST(single_u_converges_to_the_table)
{
    static const struct {
        double rb, rp, shank, kb, k, pipe, want_rb, want_ra;
    } rows[] = {
        {0.0575, 0.016, 0.045, 1.5, 3.0, 0.10, 0.1303703, 0.3977125},
        {0.0762, 0.0211, 0.064, 0.78, 2.2, 0.09, 0.1875591, 0.5554411},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
        const gw_bore_u_tube tube =
            u_tube(rows[i].rb, rows[i].rp, rows[i].shank / 2, rows[i].kb, rows[i].k, rows[i].pipe);
        const gw_bore_resistance res = solve_u(&tube, 10, 1);
        ck_close(res.bore_mk_w, rows[i].want_rb, 4e-7);
        ck_close(res.internal_mk_w, rows[i].want_ra, 2e-7);
    }
    const gw_bore_u_tube third = u_tube(0.048, 0.016, 0.01655, 1.2, 2.0, 0.05);
    const gw_bore_resistance res = solve_u(&third, 10, 1);
    ck_close(res.bore_mk_w, 0.11557, 5e-5);
    ck_close(res.internal_mk_w, 0.25072, 3e-5);
}
END_TEST

// Symmetric cases A and B by order (computed independently; ten digits).
START_TEST(single_u_matches_every_order)
{
    static const size_t order[] = {0, 1, 2, 3, 10};
    static const double x[] = {0.020, 0.030};
    static const double rb[2][5] = {
        {.1164671584, .1135016409, .1134868653, .1134955463, .1134974848},
        {.0942653564, .0927504018, .0927480102, .0927490803, .0927491575}};
    static const double ra[2][5] = {
        {.2826047993, .2722613216, .2721613342, .2722283738, .2722472199},
        {.3533851596, .3503438600, .3503245838, .3503287870, .3503293409}};
    for (size_t c = 0; c < 2; ++c) {
        const gw_bore_u_tube tube = u_tube(0.060, 0.016, x[c], 1.5, 2.5, 0.05);
        for (size_t i = 0; i < 5; ++i) {
            const gw_bore_resistance res = solve_u(&tube, order[i], 1);
            ck_close(res.bore_mk_w, rb[c][i], 1e-9);
            ck_close(res.internal_mk_w, ra[c][i], 1e-9);
        }
    }
}
END_TEST

START_TEST(closed_forms_equal_the_first_two_orders)
{
    static const double pipe[] = {0.02, 0.05, 0.10610329539459688, 0.3}; // third: b = 1 exactly
    for (size_t i = 0; i < 4; ++i) {
        const gw_bore_u_tube tube = u_tube(0.060, 0.016, 0.021, 1.5, 2.5, pipe[i]);
        for (unsigned order = 0; order <= 1; ++order) {
            const gw_bore_resistance want = solve_u(&tube, order, 1);
            gw_bore_resistance got;
            ck_assert_int_eq(gw_bore_u_tube_closed(&tube, order, &got, NULL), GW_OK);
            ck_close(got.bore_mk_w, want.bore_mk_w, 1e-12);
            ck_close(got.internal_mk_w, want.internal_mk_w, 1e-12);
        }
    }
}
END_TEST

// First-order form of Claesson & Javed 2018: values computed independently.
START_TEST(closed_first_order_matches_the_table)
{
    const gw_bore_u_tube tubes[] = {u_tube(0.0575, 0.016, 0.0225, 1.5, 3.0, 0.10),
                                    u_tube(0.0762, 0.0211, 0.032, 0.78, 2.2, 0.09)};
    static const double want[] = {0.1302372, 0.1875751};
    for (size_t i = 0; i < 2; ++i) {
        gw_bore_resistance got;
        ck_assert_int_eq(gw_bore_u_tube_closed(&tubes[i], 1, &got, NULL), GW_OK);
        ck_close(got.bore_mk_w, want[i], 4e-7);
    }
}
END_TEST

// Geometry of the example of Claesson & Hellström 2011 (inputs from memory); computed
// independently.
START_TEST(unequal_pipes_match_every_order)
{
    gw_bore_section section = {
        .radius_m = 0.070, .grout_w_mk = 1.5, .ground_w_mk = 2.5, .pipe_count = 2};
    const double pipe_mk_w = 1.2 / (2 * PI * 1.5);
    section.pipes[0] = (gw_bore_pipe){0.030, 0.0, 0.020, pipe_mk_w};
    section.pipes[1] = (gw_bore_pipe){-0.030, 0.020, 0.020, pipe_mk_w};
    static const size_t order[] = {0, 1, 2, 3, 10};
    static const double rb[] = {.1344189270, .1349510398, .1350460738, .1350576583, .1350587716};
    static const double q1[] = {3.697882, 3.683213, 3.680609, 3.680293, 3.680263};
    static const double q2[] = {3.741546, 3.726882, 3.724272, 3.723952, 3.723921};
    for (size_t i = 0; i < 5; ++i) {
        gw_bore_matrix m;
        gw_bore_resistance res;
        ck_assert_int_eq(gw_bore_solve_multipole(&section, order[i], &m, NULL), GW_OK);
        ck_assert_int_eq(gw_bore_resistance_of(&m, 1, &res, NULL), GW_OK);
        ck_close(res.bore_mk_w, rb[i], 1e-9);
        ck_close(m.conductance_w_mk[0][0] + m.conductance_w_mk[0][1], q1[i], 2e-7);
        ck_close(m.conductance_w_mk[1][0] + m.conductance_w_mk[1][1], q2[i], 2e-7);
        ck_close(m.resistance_mk_w[0][1], m.resistance_mk_w[1][0], 1e-12); // reciprocity
    }
}
END_TEST

START_TEST(house_bores_match_the_table)
{
    static const struct {
        double rb, ri, ro, x, rp_want, rb_want[4], ra_want[4];
    } rows[] = {
        {.075,
         .01365,
         .0167,
         .0255,
         .088080,
         {.1440860, .1435550, .1436258, .1436360},
         {.4060313, .4041717, .4044853, .4045270}},
        {.054,
         .0137,
         .0167,
         .0236,
         .086652,
         {.1124448, .1117533, .1118397, .1118562},
         {.3820595, .3799180, .3803443, .3804090}},
    };
    static const size_t order[] = {0, 1, 2, 10};
    for (size_t c = 0; c < 2; ++c) {
        const gw_pipe_wall wall = {rows[c].ro, rows[c].ri, 0.42, 1000};
        double pipe_mk_w;
        ck_assert_int_eq(gw_pipe_resistance(&wall, &pipe_mk_w, NULL), GW_OK);
        ck_close(pipe_mk_w, rows[c].rp_want, 6e-6);
        const gw_bore_u_tube tube = u_tube(rows[c].rb, rows[c].ro, rows[c].x, 1.5, 2.0, pipe_mk_w);
        for (size_t i = 0; i < 4; ++i) {
            const gw_bore_resistance res = solve_u(&tube, order[i], 1);
            ck_close(res.bore_mk_w, rows[c].rb_want[i], 1e-6);
            ck_close(res.internal_mk_w, rows[c].ra_want[i], 1e-6);
        }
    }
}
END_TEST

START_TEST(double_u_matches_the_tables)
{
    gw_bore_u_tube tube = u_tube(0.075, 0.016, 0.045, 1.5, 2.5, 0.10);
    tube.u_count = 2;
    ck_close(solve_u(&tube, 10, 0x3).bore_mk_w, 0.0695209, 8e-7);
    static const struct {
        double rb, rp, x, kb, k, pipe, want[3][3];
    } rows[] = {
        {.075,
         .016,
         .042,
         1.5,
         2.5,
         .05,
         {{.0627832, .2087264, .1471640},
          {.0598169, .2040452, .1462290},
          {.0598175, .2040169, .1462372}}},
        {.0575,
         .016,
         .035,
         1.8,
         2.5,
         .06,
         {{.0454851, .1792999, .1252341},
          {.0435543, .1760054, .1246194},
          {.0435589, .1763299, .1246695}}},
    };
    static const size_t order[] = {0, 1, 10};
    for (size_t c = 0; c < 2; ++c) {
        tube = u_tube(rows[c].rb, rows[c].rp, rows[c].x, rows[c].kb, rows[c].k, rows[c].pipe);
        tube.u_count = 2;
        for (size_t i = 0; i < 3; ++i) {
            const gw_bore_resistance beside = solve_u(&tube, order[i], 0x3);
            const gw_bore_resistance opposite = solve_u(&tube, order[i], 0x5);
            ck_close(beside.bore_mk_w, rows[c].want[i][0], 1.2e-6);
            ck_close(beside.internal_mk_w, rows[c].want[i][1], 1e-6);
            ck_close(opposite.internal_mk_w, rows[c].want[i][2], 1e-6);
        }
    }
}
END_TEST

// Sweep in the style of Javed & Spitler 2017; computed independently, five decimals.
START_TEST(sweep_of_places_and_grouts_matches)
{
    static const struct {
        double rb, x, kb, want_rb[4], want_ra[4];
    } rows[] = {
        {.048, .016, 0.6, {.22339, .20232, .20173, .20169}, {.38881, .32754, .31276, .30986}},
        {.048, .016, 1.2, {.12439, .11730, .11715, .11716}, {.25850, .23529, .23350, .23383}},
        {.048, .016, 2.4, {.07483, .07369, .07387, .07398}, {.18864, .18428, .18520, .18552}},
        {.048, .016, 3.6, {.05827, .05861, .05893, .05910}, {.16308, .16453, .16546, .16564}},
        {.048, .024, 0.6, {.16500, .15129, .15127, .15125}, {.50216, .49798, .49573, .49567}},
        {.048, .024, 1.8, {.07286, .07134, .07135, .07135}, {.27169, .26861, .26869, .26871}},
        {.048, .024, 3.6, {.04941, .04956, .04962, .04963}, {.20124, .20197, .20216, .20218}},
        {.048, .032, 0.6, {.11310, .09590, .09532, .09519}, {.49751, .49081, .48706, .48688}},
        {.048, .032, 1.8, {.05842, .05722, .05722, .05723}, {.30291, .30227, .30232, .30232}},
        {.144, .016, 1.2, {.27045, .26370, .26352, .26354}, {.28106, .24847, .24659, .24696}},
        {.144, .128, 0.6, {.15355, .14165, .14046, .14027}, {.81279, .77817, .77357, .77287}},
    };
    static const size_t order[] = {0, 1, 2, 10};
    for (size_t c = 0; c < sizeof rows / sizeof rows[0]; ++c) {
        const gw_bore_u_tube tube = u_tube(rows[c].rb, .016, rows[c].x, rows[c].kb, 3.0, .05);
        for (size_t i = 0; i < 4; ++i) {
            const gw_bore_resistance res = solve_u(&tube, order[i], 1);
            ck_assert_double_eq_tol(res.bore_mk_w, rows[c].want_rb[i], 5.01e-6);
            ck_assert_double_eq_tol(res.internal_mk_w, rows[c].want_ra[i], 5.01e-6);
        }
    }
}
END_TEST

// Inputs of case 1 of Philippe, Bernier & Marchio 2010 (from memory): film 0.011617, wall 0.075035,
// grout 0.069234 by line sources, bore 0.112560 m K/W (computed independently).
START_TEST(sizing_example_matches)
{
    const gw_pipe_wall wall = {0.0167, 0.0137, 0.42, 1000};
    double pipe_mk_w;
    ck_assert_int_eq(gw_pipe_resistance(&wall, &pipe_mk_w, NULL), GW_OK);
    ck_close(pipe_mk_w, 0.011617 + 0.075035, 1e-5);
    const gw_bore_u_tube tube = u_tube(0.054, 0.0167, 0.0471 / 2, 1.5, 2.0, pipe_mk_w);
    const gw_bore_resistance res = solve_u(&tube, 0, 1);
    ck_close(res.bore_mk_w, 0.112560, 1e-5);
    ck_close(res.bore_mk_w - pipe_mk_w / 2, 0.069234, 1e-5);
}
END_TEST

// Sandbox of Beier, Smith & Spitler 2011 (inputs from memory), computed independently. The test's
// own 0.173 m K/W is lower: its aluminium casing spreads the heat, which this model has not.
START_TEST(sandbox_matches_the_computed_values)
{
    gw_bore_u_tube tube = u_tube(0.063, 0.0167, 0.0265, 0.73, 2.82, 0.0884);
    const gw_bore_resistance res = solve_u(&tube, 10, 1);
    ck_assert_double_eq_tol(res.bore_mk_w, 0.2006, 5.1e-5);
    ck_assert_double_eq_tol(res.internal_mk_w, 0.582, 5.1e-4);
    tube.grout_w_mk = 0.806;
    ck_assert_double_eq_tol(solve_u(&tube, 10, 1).bore_mk_w, 0.1864, 5.1e-5);
}
END_TEST

// Exact limit: one pipe on the axis is a plain cylinder, whatever the order.
START_TEST(centred_pipe_is_a_cylinder)
{
    gw_bore_section section = {
        .radius_m = 0.06, .grout_w_mk = 1.4, .ground_w_mk = 3.1, .pipe_count = 1};
    section.pipes[0] = (gw_bore_pipe){0, 0, 0.02, 0.07};
    gw_bore_matrix m;
    ck_assert_int_eq(gw_bore_solve_multipole(&section, 8, &m, NULL), GW_OK);
    ck_close(m.resistance_mk_w[0][0], 0.07 + log(3.0) / (2 * PI * 1.4), 1e-13);
}
END_TEST

// Invariant: turning the whole section changes nothing.
START_TEST(turned_section_is_the_same)
{
    gw_bore_section section = {
        .radius_m = 0.08, .grout_w_mk = 1.0, .ground_w_mk = 2.8, .pipe_count = 3};
    const double place[3][2] = {{0.03, 0.01}, {-0.02, 0.03}, {-0.01, -0.04}};
    gw_bore_matrix plain, turned;
    for (int round = 0; round < 2; ++round) {
        const double c = round == 0 ? 1 : cos(1.1), s = round == 0 ? 0 : sin(1.1);
        for (size_t i = 0; i < 3; ++i) {
            section.pipes[i] =
                (gw_bore_pipe){c * place[i][0] - s * place[i][1], s * place[i][0] + c * place[i][1],
                               0.013 + 0.002 * (double)i, 0.05 * (double)(i + 1)};
        }
        ck_assert_int_eq(gw_bore_solve_multipole(&section, 5, round == 0 ? &plain : &turned, NULL),
                         GW_OK);
    }
    for (size_t i = 0; i < 3; ++i) {
        for (size_t j = 0; j < 3; ++j) {
            ck_close(turned.resistance_mk_w[i][j], plain.resistance_mk_w[i][j], 1e-12);
        }
    }
}
END_TEST

// Shape factors of Remund 1999, from memory.
START_TEST(shape_factors_match_the_example)
{
    const gw_bore_u_tube tube = u_tube(0.064, 0.016, 0.02, 1.0, 2.0, 0.05);
    static const double want[] = {.1843, .1327, .0773};
    for (int p = 0; p < 3; ++p) {
        double got;
        ck_assert_int_eq(gw_bore_grout_by_shape(&tube, (gw_bore_placing)p, &got, NULL), GW_OK);
        ck_assert_double_eq_tol(got, want[p], 5.1e-5);
    }
}
END_TEST

// Hellström 1991, closed form against the exact solution of the coupled equations.
START_TEST(series_solution_equals_the_closed_forms)
{
    const gw_bore_u_tube tube = u_tube(0.060, 0.016, 0.025, 1.5, 2.5, 0.06);
    gw_bore_section section;
    gw_bore_matrix m;
    gw_bore_resistance res;
    ck_assert_int_eq(gw_bore_section_of_u_tube(&tube, &section, NULL), GW_OK);
    ck_assert_int_eq(gw_bore_solve_multipole(&section, 6, &m, NULL), GW_OK);
    ck_assert_int_eq(gw_bore_resistance_of(&m, 1, &res, NULL), GW_OK);
    for (int along = 0; along < 2; ++along) {
        for (double h_m = 50; h_m < 500; h_m *= 3) {
            const gw_bore_flow flow = {h_m, 0.3 * 4200, (gw_bore_along)along};
            double closed, series;
            ck_assert_int_eq(gw_bore_effective(&res, &flow, &closed, NULL), GW_OK);
            ck_assert_int_eq(
                gw_bore_effective_series(&m, (const size_t[]){0, 1}, &flow, &series, NULL), GW_OK);
            ck_close(series, closed, 1e-11);
        }
    }
    // By hand: η = 200/(1260 √(Rb Ra)); flux: Rb + (200/1260)²/(3 Ra).
    const gw_bore_flow flow = {200, 1260, GW_BORE_FLUX_UNIFORM};
    double got;
    ck_assert_int_eq(gw_bore_effective(&res, &flow, &got, NULL), GW_OK);
    ck_close(got - res.bore_mk_w, 0.15873015873 * 0.15873015873 / 3 / res.internal_mk_w, 1e-9);
}
END_TEST

// Double U in series: with short pipes or large flow it tends to Rb; the two orders of the legs
// differ, and neither is below Rb.
START_TEST(series_double_u_tends_to_rb)
{
    gw_bore_u_tube tube = u_tube(0.075, 0.016, 0.042, 1.5, 2.5, 0.05);
    tube.u_count = 2;
    gw_bore_section section;
    gw_bore_matrix m;
    gw_bore_resistance res;
    ck_assert_int_eq(gw_bore_section_of_u_tube(&tube, &section, NULL), GW_OK);
    ck_assert_int_eq(gw_bore_solve_multipole(&section, 6, &m, NULL), GW_OK);
    ck_assert_int_eq(gw_bore_resistance_of(&m, 5, &res, NULL), GW_OK);
    for (int along = 0; along < 2; ++along) {
        const gw_bore_flow fast = {100, 1e6, (gw_bore_along)along};
        const gw_bore_flow real = {100, 0.4 * 4200, (gw_bore_along)along};
        double tight, facing, beside;
        ck_assert_int_eq(
            gw_bore_effective_series(&m, (const size_t[]){0, 2, 1, 3}, &fast, &tight, NULL), GW_OK);
        ck_close(tight, res.bore_mk_w, 1e-5);
        ck_assert_int_eq(
            gw_bore_effective_series(&m, (const size_t[]){0, 2, 1, 3}, &real, &facing, NULL),
            GW_OK);
        ck_assert_int_eq(
            gw_bore_effective_series(&m, (const size_t[]){0, 1, 2, 3}, &real, &beside, NULL),
            GW_OK);
        ck_assert_double_gt(facing, res.bore_mk_w);
        ck_assert_double_gt(beside, res.bore_mk_w);
        ck_assert_double_gt(fabs(facing - beside), 1e-6);
    }
}
END_TEST

START_TEST(coaxial_matches_hand_calculation)
{
    const gw_bore_coaxial co = {.bore_radius_m = 0.0575,
                                .inner = {0.020, 0.0176, 0.4, 800},
                                .outer = {0.0575, 0.0525, 0.42, 300},
                                .inner_outside_film_w_m2k = 400,
                                .grout_w_mk = 1.5};
    gw_bore_resistance res;
    ck_assert_int_eq(gw_bore_coaxial_resistance(&co, &res, NULL), GW_OK);
    ck_close(res.bore_mk_w, log(0.0575 / 0.0525) / (2 * PI * 0.42) + 1 / (2 * PI * 0.0525 * 300),
             1e-13);
    ck_close(res.internal_mk_w,
             log(0.020 / 0.0176) / (2 * PI * 0.4) + 1 / (2 * PI * 0.0176 * 800) +
                 1 / (2 * PI * 0.020 * 400),
             1e-13);
    // Uniform flux, by hand: T_annulus − Tb = q Rb everywhere; with C dTi/dz = −(Ti − Ta)/Ra and
    // Tb falling as the flux demands, Rb* = Rb + (H/C)²/(3 Ra).
    const gw_bore_flow flow = {150, 0.5 * 4200, GW_BORE_FLUX_UNIFORM};
    double got;
    ck_assert_int_eq(gw_bore_effective_coaxial(&res, &flow, &got, NULL), GW_OK);
    const double hc = 150 / (0.5 * 4200);
    ck_close(got, res.bore_mk_w + hc * hc / (3 * res.internal_mk_w), 1e-10);
}
END_TEST

START_TEST(bad_input_is_refused_by_field)
{
    const gw_bore_u_tube good = u_tube(0.060, 0.016, 0.025, 1.5, 2.5, 0.06);
    gw_bore_section section;
    gw_err err = {0};
    const double nan_value = (double)NAN;
    struct {
        gw_bore_u_tube tube;
        gw_status want;
        const char *field;
    } rows[] = {
        {good, GW_ERR_RANGE, "radius_m"},
        {good, GW_ERR_RANGE, "grout_w_mk"},
        {good, GW_ERR_RANGE, "ground_w_mk"},
        {good, GW_ERR_RANGE, "resistance_mk_w"},
        {good, GW_ERR_RANGE, "x_m"},
        {good, GW_ERR_RANGE, "u_count"},
        {good, GW_ERR_GEOMETRY, "pipes"},
        {good, GW_ERR_GEOMETRY, "pipes"},
        {good, GW_ERR_RANGE, "outer_radius_m"},
    };
    rows[0].tube.bore_radius_m = nan_value;
    rows[1].tube.grout_w_mk = 0;
    rows[2].tube.ground_w_mk = nan_value;
    rows[3].tube.pipe_resistance_mk_w = -0.1;
    rows[4].tube.axis_radius_m = nan_value;
    rows[5].tube.u_count = 3;
    rows[6].tube.axis_radius_m = 0.015; // overlap
    rows[7].tube.axis_radius_m = 0.05;  // out of the bore
    rows[8].tube.pipe_outer_radius_m = 0;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
        ck_assert_int_eq(gw_bore_section_of_u_tube(&rows[i].tube, &section, &err), rows[i].want);
        ck_assert_str_eq(err.field, rows[i].field);
    }
    gw_bore_matrix m;
    ck_assert_int_eq(gw_bore_section_of_u_tube(&good, &section, NULL), GW_OK);
    ck_assert_int_eq(gw_bore_solve_multipole(&section, 13, &m, &err), GW_ERR_RANGE);
    ck_assert_int_eq(gw_bore_solve_multipole(&section, 3, &m, &err), GW_OK);
    gw_bore_resistance res;
    ck_assert_int_eq(gw_bore_resistance_of(&m, 4, &res, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "down_mask");
    ck_assert_int_eq(gw_bore_resistance_of(&m, 1, &res, &err), GW_OK);
    double got;
    const gw_bore_flow still = {100, 0, GW_BORE_WALL_UNIFORM}, none = {0, 100, 0};
    ck_assert_int_eq(gw_bore_effective(&res, &still, &got, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "capacity_w_k");
    ck_assert_int_eq(gw_bore_effective(&res, &none, &got, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "length_m");
    ck_assert_int_eq(gw_bore_effective_series(&m, (const size_t[]){0, 0},
                                              &(gw_bore_flow){100, 1000, 0}, &got, &err),
                     GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "legs");
}
END_TEST

// Trench backfill

static gw_trench_section trench_of(const gw_trench_pipe *pipes, size_t count)
{
    return (gw_trench_section){.width_m = 0.6,
                               .top_m = 1.2,
                               .bottom_m = 1.8,
                               .backfill_w_mk = 0.8,
                               .native_w_mk = 1.6,
                               .pipe_outer_radius_m = 0.0167,
                               .pipes = pipes,
                               .pipe_count = count};
}

START_TEST(backfill_of_one_pipe_is_a_sleeve)
{
    const gw_trench_pipe pipe = {0, 1.5};
    gw_trench_section trench = trench_of(&pipe, 1);
    double got;
    ck_assert_int_eq(gw_trench_backfill_resistance(&trench, &got, NULL), GW_OK);
    // A square's equivalent radius lies between the inscribed and the circumscribed circle; its
    // exact conformal value is 1.0787 half sides (textbook), the formula gives 1.099.
    const double rb = gw_trench_equivalent_radius_m(0.6, 0.6);
    ck_close(rb / 0.3, 1.0787, 0.02);
    // ln(2z/r) − acosh(z/rb) against the sleeve ln(rb/r): equal but for (rb/2z)².
    ck_close(got, log(rb / 0.0167) / (2 * PI) * (1 / 0.8 - 1 / 1.6), 5e-3);
    trench.native_w_mk = 0.8;
    ck_assert_int_eq(gw_trench_backfill_resistance(&trench, &got, NULL), GW_OK);
    ck_assert_double_eq_tol(got, 0.0, 1e-15);
}
END_TEST

// Invariant: with N pipes of equal heat the sum of both parts is the all-native value when the
// backfill is native, so the added resistance is antisymmetric in the resistivities.
START_TEST(backfill_changes_sign_with_the_contrast)
{
    const gw_trench_pipe pipes[] = {{-0.2, 1.35}, {0.2, 1.35}, {-0.2, 1.65}, {0.2, 1.65}};
    gw_trench_section trench = trench_of(pipes, 4);
    double poor, good;
    ck_assert_int_eq(gw_trench_backfill_resistance(&trench, &poor, NULL), GW_OK);
    trench.backfill_w_mk = 1.6;
    trench.native_w_mk = 0.8;
    ck_assert_int_eq(gw_trench_backfill_resistance(&trench, &good, NULL), GW_OK);
    ck_assert_double_gt(poor, 0);
    ck_close(-good, poor, 1e-13);
}
END_TEST

START_TEST(backfill_rejects_bad_input)
{
    const gw_trench_pipe pipe = {0, 1.5}, outside = {0.4, 1.5};
    double got;
    gw_err err = {0};
    gw_trench_section trench = trench_of(&pipe, 1);
    trench.bottom_m = 4.0;
    ck_assert_int_eq(gw_trench_backfill_resistance(&trench, &got, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "bottom_m");
    trench = trench_of(&pipe, 1);
    trench.backfill_w_mk = 9;
    ck_assert_int_eq(gw_trench_backfill_resistance(&trench, &got, &err), GW_ERR_RANGE);
    trench = trench_of(&pipe, 1);
    trench.native_w_mk = (double)NAN;
    ck_assert_int_eq(gw_trench_backfill_resistance(&trench, &got, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "native_w_mk");
    trench = trench_of(&outside, 1);
    ck_assert_int_eq(gw_trench_backfill_resistance(&trench, &got, &err), GW_ERR_GEOMETRY);
    trench = trench_of(&pipe, 0);
    ck_assert_int_eq(gw_trench_backfill_resistance(&trench, &got, &err), GW_ERR_RANGE);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("resistance");
    TCase *const bore = tcase_create("bore");
    tcase_add_test(bore, single_u_converges_to_the_table);
    tcase_add_test(bore, single_u_matches_every_order);
    tcase_add_test(bore, closed_forms_equal_the_first_two_orders);
    tcase_add_test(bore, closed_first_order_matches_the_table);
    tcase_add_test(bore, unequal_pipes_match_every_order);
    tcase_add_test(bore, house_bores_match_the_table);
    tcase_add_test(bore, double_u_matches_the_tables);
    tcase_add_test(bore, sweep_of_places_and_grouts_matches);
    tcase_add_test(bore, sizing_example_matches);
    tcase_add_test(bore, sandbox_matches_the_computed_values);
    tcase_add_test(bore, centred_pipe_is_a_cylinder);
    tcase_add_test(bore, turned_section_is_the_same);
    tcase_add_test(bore, shape_factors_match_the_example);
    tcase_add_test(bore, series_solution_equals_the_closed_forms);
    tcase_add_test(bore, series_double_u_tends_to_rb);
    tcase_add_test(bore, coaxial_matches_hand_calculation);
    tcase_add_test(bore, bad_input_is_refused_by_field);
    suite_add_tcase(suite, bore);
    TCase *const trench = tcase_create("trench");
    tcase_add_test(trench, backfill_of_one_pipe_is_a_sleeve);
    tcase_add_test(trench, backfill_changes_sign_with_the_contrast);
    tcase_add_test(trench, backfill_rejects_bad_input);
    suite_add_tcase(suite, trench);
    return harness_run(suite);
}
