// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/freeze.h"

#include "ground/freeze_priv.h"
#include "ground/short_time.h"
#include "harness.h"

#include <math.h>
#include <omp.h>
#include <string.h>

static const double PI = 3.14159265358979323846;
static const double DAY = 86400.0;
static gw_arena *arena;

static void open_arena(void)
{
    arena = gw_arena_create(0);
}

static void close_arena(void)
{
    gw_arena_destroy(arena);
}

static const gw_soil wet = {1.6, 2.8e6, 2.2, 2.0e6, 90e6};

// A column cooled from above

static void make_column(gw_freeze_priv_body *body, const gw_freeze_priv_start *start, double cell_m)
{
    *body = (gw_freeze_priv_body){0};
    const gw_freeze_priv_plan plan = {.length_m = 30,
                                      .cell_m = cell_m,
                                      .growth = 1.0 + cell_m,
                                      .most_m = 1.0,
                                      .fine_at_start = true};
    const double edge[] = {0.0, 1.0};
    ck_assert_int_eq(gw_freeze_priv_axis_flat(arena, &plan, &body->z, NULL), GW_OK);
    ck_assert_int_eq(gw_freeze_priv_axis_rings(arena, edge, 1, &body->x, NULL), GW_OK);
    ck_assert_int_eq(gw_freeze_priv_body_init(arena, start, body, NULL), GW_OK);
}

static void cool(gw_freeze_priv_body *body, double surface_degc, double days)
{
    const gw_freeze_drive drive = {.duration_s = days * DAY, .surface_degc = surface_degc};
    ck_assert_int_eq(gw_freeze_priv_advance(body, &drive, 3600, NULL), GW_OK);
}

static double front_m(const gw_freeze_priv_body *body)
{
    double sum_m = 0;
    for (size_t j = 0; j < body->z.count; ++j) {
        sum_m += body->z.width[j] * gw_freeze_priv_frozen_at(body, body->heat_j_m3[j]);
    }
    return sum_m;
}

static double column_degc(const gw_freeze_priv_body *body, double depth_m)
{
    size_t j = 0;
    while (body->z.node_m[j + 1] < depth_m) {
        ++j;
    }
    const double a = gw_freeze_priv_temp_at(body, body->heat_j_m3[j]);
    const double b = gw_freeze_priv_temp_at(body, body->heat_j_m3[j + 1]);
    return a +
           (b - a) * (depth_m - body->z.node_m[j]) / (body->z.node_m[j + 1] - body->z.node_m[j]);
}

// Two-phase Neumann solution (Carslaw & Jaeger §11.2), roots computed independently.
START_TEST(column_follows_neumann)
{
    gw_freeze_priv_body body;
    const gw_freeze_priv_start start = {wet, 0.0, 8.0};
    make_column(&body, &start, 0.01);
    cool(&body, -5, 10);
    ck_close(front_m(&body), 0.344817, 0.01);
    cool(&body, -5, 20);
    ck_close(front_m(&body), 0.597240, 0.006);
    ck_assert_double_eq_tol(column_degc(&body, 0.597240 / 2), -2.480478, 0.03);
    ck_assert_double_eq_tol(column_degc(&body, 0.597240 * 2), 2.645246, 0.03);
    ck_assert_double_eq_tol(column_degc(&body, 0.597240 + 1), 4.119640, 0.03);
    cool(&body, -5, 90);
    ck_close(front_m(&body), 1.19448, 0.005);
    ck_assert_double_lt(body.worst_frac, 1e-6);
}
END_TEST

// Neumann benchmark of a land-surface model's documentation after Dall'Amico and others 2011:
// published root 0.26447353269809687, X(20 d) = 0.613150 m.
START_TEST(column_follows_the_published_benchmark)
{
    gw_freeze_priv_body body;
    const gw_soil soil = {0.7919567038, 2449230, 1.370547659, 1762500, 1.10088e8};
    const gw_freeze_priv_start start = {soil, 0.0, 2.0};
    make_column(&body, &start, 0.01);
    cool(&body, -10, 20);
    ck_close(front_m(&body), 0.613150, 0.004);
}
END_TEST

// One-phase Stefan problem, √π λ e^(λ²) erf λ = St (computed independently).
START_TEST(column_follows_stefan)
{
    static const double stefan[] = {0.05, 0.1, 0.5};
    static const double root[] = {.1568209, .2200163, .4647859};
    for (size_t i = 0; i < 3; ++i) {
        gw_soil soil = wet;
        soil.latent_heat_j_m3 = 2.0e6 * 5.0 / stefan[i];
        gw_freeze_priv_body body;
        const gw_freeze_priv_start start = {soil, 0.0, 0.0};
        make_column(&body, &start, 0.01);
        cool(&body, -5, 30);
        ck_close(front_m(&body), 2 * root[i] * sqrt(2.2 / 2.0e6 * 30 * DAY), 0.006);
    }
}
END_TEST

// Modified Berggren with equal properties (Aldrich & Paynter 1953; UFC 3-130-06): X = λ √(2 k vs
// t/L) with λ exact for μ = vs C/L and α = v0/vs (computed independently).
START_TEST(column_follows_berggren)
{
    static const struct {
        double mu, alpha, lambda;
    } rows[] = {{.1, .5, .911066}, {.3, .5, .826477}, {.2, 1, .776213}, {.2, 2, .638967}};
    for (size_t i = 0; i < 4; ++i) {
        const gw_soil soil = {2.0, 2.0e6, 2.0, 2.0e6, 5.0 * 2.0e6 / rows[i].mu};
        gw_freeze_priv_body body;
        const gw_freeze_priv_start start = {soil, 0.0, 5.0 * rows[i].alpha};
        make_column(&body, &start, 0.01);
        cool(&body, -5, 30);
        ck_close(front_m(&body),
                 rows[i].lambda * sqrt(2 * 2.0 * 5 * 30 * DAY / soil.latent_heat_j_m3), 0.008);
    }
}
END_TEST

START_TEST(column_error_falls_with_cell_size)
{
    double error[2];
    for (size_t i = 0; i < 2; ++i) {
        gw_freeze_priv_body body;
        const gw_freeze_priv_start start = {wet, 0.0, 8.0};
        make_column(&body, &start, i == 0 ? 0.08 : 0.01);
        error[i] = 0;
        for (int d = 0; d < 30; ++d) { // mean over the wiggles as the front crosses cells
            cool(&body, -5, 1);
            error[i] += fabs(front_m(&body) / (0.597240 * sqrt((d + 1) / 30.0)) - 1) / 30;
        }
    }
    ck_assert_double_lt(error[1], 0.35 * error[0]);
}
END_TEST

// Rings around a pipe

static void make_rings(gw_freeze_priv_body *body, const gw_freeze_priv_start *start,
                       const double first[2], double growth)
{
    *body = (gw_freeze_priv_body){0};
    double face_m[400] = {first[0], first[1]};
    size_t n = 1;
    double width = 0.004;
    while (face_m[n] < 20.0) {
        width = fmin(width * growth, 1.0);
        face_m[n + 1] = face_m[n] + width;
        ++n;
    }
    const gw_freeze_priv_plan plan = {.length_m = 1, .cell_m = 1, .growth = 1, .most_m = 1};
    ck_assert_int_eq(gw_freeze_priv_axis_rings(arena, face_m, n, &body->x, NULL), GW_OK);
    ck_assert_int_eq(gw_freeze_priv_axis_flat(arena, &plan, &body->z, NULL), GW_OK);
    ck_assert_uint_eq(body->z.count, 1);
    ck_assert_int_eq(gw_freeze_priv_body_init(arena, start, body, NULL), GW_OK);
    body->sink_count = 1;
    body->sinks[0] = (gw_freeze_priv_sink){.cell = 0, .share = 1};
}

static double ring_m(const gw_freeze_priv_body *body)
{
    double area_m2 = 0;
    for (size_t i = 0; i < body->x.count; ++i) {
        area_m2 += body->x.width[i] * gw_freeze_priv_frozen_at(body, body->heat_j_m3[i]);
    }
    return sqrt(area_m2 / PI + body->x.face_m[0] * body->x.face_m[0]);
}

// A surface held far away from the rings: they must not feel it.
static gw_freeze_drive ring_drive(double days, gw_freeze_mode mode, const double *value)
{
    return (gw_freeze_drive){
        .duration_s = days * DAY, .surface_m2k_w = 1e12, .mode = mode, .pipe_value = value};
}

// Line sink freezing wet soil (Paterson 1952; Carslaw & Jaeger §11.6; equation from memory, roots
// computed independently). Pipe radius 0.016 m is the node radius of the innermost ring.
START_TEST(rings_follow_the_line_sink)
{
    static const struct {
        double q, t0, radius[2], pipe[2]; // 30 and 90 days
    } rows[] = {{20, 5, {.11982, .20754}, {-2.9122, -3.7070}},
                {20, 0, {.42482, .73580}, {-4.7330, -5.5277}},
                {50, 5, {.39917, .69138}, {-11.611, -13.597}}};
    for (size_t c = 0; c < 3; ++c) {
        gw_freeze_priv_body body;
        const gw_freeze_priv_start start = {wet, 0.0, rows[c].t0};
        make_rings(&body, &start, (const double[]){0.0, 0.016 * exp(0.5)}, 1.02);
        for (size_t i = 0; i < 2; ++i) {
            const gw_freeze_drive drive =
                ring_drive(i == 0 ? 30 : 60, GW_FREEZE_BY_HEAT, &rows[c].q);
            ck_assert_int_eq(gw_freeze_priv_advance(&body, &drive, 1800, NULL), GW_OK);
            ck_close(ring_m(&body), rows[c].radius[i], 0.01);
            ck_close(gw_freeze_priv_temp_at(&body, body.heat_j_m3[0]), rows[c].pipe[i], 0.01);
        }
        ck_assert_double_lt(body.worst_frac, 1e-6);
    }
}
END_TEST

// Ring around a pipe of constant temperature, no sensible heat (quasi-steady, computed
// independently): days to reach a radius.
START_TEST(rings_follow_the_quasi_steady_solution)
{
    static const double at[] = {1.06170, 3.09612, 6.40445, 17.2771};
    static const double want[] = {0.10, 0.15, 0.20, 0.30};
    const gw_soil soil = {1.6, 2e4, 2.2, 2e4, 90e6};
    gw_freeze_priv_body body;
    const gw_freeze_priv_start start = {soil, 0.0, 0.0};
    make_rings(&body, &start, (const double[]){0.016, 0.022}, 1.02);
    body.sinks[0].log_term = log(body.x.node_m[0] / 0.016) / (2 * PI);
    double before = 0;
    for (size_t i = 0; i < 4; ++i) {
        const double fluid = -3;
        const gw_freeze_drive drive = ring_drive(at[i] - before, GW_FREEZE_BY_FLUID, &fluid);
        ck_assert_int_eq(gw_freeze_priv_advance(&body, &drive, 1200, NULL), GW_OK);
        ck_close(ring_m(&body), want[i], 0.006);
        before = at[i];
    }
}
END_TEST

// The section

static const double one_depth[] = {0.0};

typedef struct {
    const gw_soil *soil;
    const gw_freeze_pipe *pipes;
    size_t count;
    double cell_m;
    const double *initial_degc;
} layout;

static gw_freeze *make_section(const layout *l, double half_width_m, double depth_m)
{
    const gw_freeze_section section = {.soil = l->soil,
                                       .pipes = l->pipes,
                                       .pipe_count = l->count,
                                       .pipe_radius_m = 0.0167,
                                       .pipe_resistance_mk_w = 0.08,
                                       .cell_m = l->cell_m,
                                       .half_width_m = half_width_m,
                                       .depth_m = depth_m,
                                       .initial_depth_m = one_depth,
                                       .initial_degc = l->initial_degc,
                                       .initial_count = 1};
    gw_freeze *freeze = NULL;
    gw_err err = {0};
    ck_assert_msg(gw_freeze_create(arena, &section, &freeze, &err) == GW_OK, "%s", err.text);
    return freeze;
}

static void run_days(gw_freeze *freeze, double days, double surface_degc, const double *heat)
{
    const gw_freeze_drive drive = {.duration_s = days * DAY,
                                   .surface_degc = surface_degc,
                                   .mode = GW_FREEZE_BY_HEAT,
                                   .pipe_value = heat};
    gw_err err = {0};
    ck_assert_msg(gw_freeze_advance(freeze, &drive, &err) == GW_OK, "%s", err.text);
}

static double mean_fall_k(const gw_freeze *freeze, size_t count, double from_degc)
{
    double sum = 0;
    for (size_t p = 0; p < count; ++p) {
        gw_freeze_ring ring;
        ck_assert_int_eq(gw_freeze_ring_at(freeze, p, &ring, NULL), GW_OK);
        sum += (from_degc - ring.wall_degc) / (double)count;
    }
    return sum;
}

// Linear limit: line sources with mirror (Kelvin; Ingersoll), k 1.4, α 0.05 m²/d, 10 W per m of
// pipe, radius 0.0167 m (computed independently).
START_TEST(section_without_ice_follows_the_line_sources)
{
    const gw_soil dry = {1.4, 1.4 * DAY / 0.05, 1.4, 1.4 * DAY / 0.05, 0.0};
    static const gw_freeze_pipe single[] = {{0, 1.5}}, beside[] = {{0.3, 1.5}},
                                above[] = {{0, 1.2}, {0, 1.8}};
    static const struct {
        const gw_freeze_pipe *pipes;
        size_t count;
        double want[4]; // 10, 30, 90, 365 days
    } rows[] = {{single, 1, {4.71706, 5.28580, 5.64892, 5.83322}},
                {beside, 1, {5.46061, 6.53845, 7.25097, 7.61734}},
                {above, 2, {5.45718, 6.51261, 7.20953, 7.57216}}};
    static const double days[] = {10, 20, 60, 275};
    const double heat[] = {10, 10}, initial = 10;
    for (size_t c = 0; c < 3; ++c) {
        const layout l = {&dry, rows[c].pipes, rows[c].count, 0.06, &initial};
        gw_freeze *const freeze = make_section(&l, 12, 15);
        for (size_t i = 0; i < 4; ++i) {
            run_days(freeze, days[i], 10, heat);
            ck_close(mean_fall_k(freeze, rows[c].count, 10), rows[c].want[i], 0.006);
        }
        ck_assert_double_lt(gw_freeze_balance_of(freeze).worst_frac, 1e-6);
    }
}
END_TEST

// Temperature fall at a distance: 40 W per m of trench at 1.5 m, point 0.9 m deep (line source with
// mirror, computed independently; K at 30, 90, 180 days). Cells are 0.5 m wide out there: straight
// lines between their centres miss h²/8 of the curvature (0.3 K/m² at most), 0.01 K.
START_TEST(fall_at_a_distance_follows_the_line_source)
{
    const gw_soil dry = {1.4, 1.4 * DAY / 0.05, 1.4, 1.4 * DAY / 0.05, 0.0};
    static const gw_freeze_pipe pipe[] = {{0, 1.5}};
    static const double x_m[] = {1.5, 3.0, 5.0};
    static const double want[3][3] = {
        {1.180, 1.958, 2.232}, {0.148, 0.538, 0.746}, {0.0043, 0.093, 0.202}};
    static const double days[] = {30, 60, 90};
    const double heat[] = {40}, initial = 10;
    const layout l = {&dry, pipe, 1, 0.06, &initial};
    gw_freeze *const freeze = make_section(&l, 14, 15);
    for (size_t i = 0; i < 3; ++i) {
        run_days(freeze, days[i], 10, heat);
        for (size_t p = 0; p < 3; ++p) {
            double t;
            const gw_freeze_pipe at = {x_m[p], 0.9};
            ck_assert_int_eq(gw_freeze_temperature(freeze, at, &t, NULL), GW_OK);
            ck_assert_double_eq_tol(10 - t, want[p][i], 0.01 * want[p][i] + 0.01);
        }
    }
}
END_TEST

// Steady shape factors, pipes of equal heat under an isothermal surface, times conductivity:
// Claesson & Dunand 1983 for one pipe at 1.5 m, two 0.6 m apart, four in a square of 0.6 m (radius
// 0.0167 m); endless row of pipes 0.032 m thick, ln[(2s/πD) sinh(2πz/s)]/2π (Hahne & Grigull 1975,
// in Incropera). A small heat capacity brings the steady state near.
START_TEST(section_reaches_the_steady_shape_factors)
{
    const gw_soil light = {1.0, 5e5, 1.0, 5e5, 0.0};
    static const gw_freeze_pipe alone[] = {{0, 1.5}}, pair[] = {{0.3, 1.5}},
                                four[] = {{0.3, 1.2}, {0.3, 1.8}}, row_12[] = {{0, 1.2}};
    const double thicker = log(0.0167 / 0.016) / (2 * PI);
    const struct {
        const gw_freeze_pipe *pipes;
        size_t count;
        double half_width_m, depth_m, want;
    } rows[] = {
        {alone, 1, 15, 20, 0.826167},
        {pair, 1, 15, 20, 1.08544},
        {four, 2, 15, 20, 1.53958},
        {alone, 1, 0.4, 4, 2.20511 - thicker},
        {row_12, 1, 0.5, 4, 1.56562 - thicker},
        {alone, 1, 0.25, 4, 3.25531 - thicker},
    };
    const double heat[] = {10, 10}, initial = 10;
    for (size_t c = 0; c < sizeof rows / sizeof rows[0]; ++c) {
        const layout l = {&light, rows[c].pipes, rows[c].count, 0.08, &initial};
        gw_freeze *const freeze = make_section(&l, rows[c].half_width_m, rows[c].depth_m);
        run_days(freeze, 600, 10, heat);
        ck_close(mean_fall_k(freeze, rows[c].count, 10) / 10, rows[c].want, 0.006);
    }
}
END_TEST

// Exact pipe-wall temperature of the freezing line sink, frozen 2.2 W/mK and 2.0 MJ/m³K.
static double line_sink_wall_degc(const double q_lambda[2], double days)
{
    const double r = 0.0167, alpha = 2.2 / 2.0e6;
    return -q_lambda[0] / (4 * PI * 2.2) *
           (gw_exponential_integral(r * r / (4 * alpha * days * DAY)) -
            gw_exponential_integral(q_lambda[1] * q_lambda[1]));
}

// The line sink of rings_follow_the_line_sink in the section, pipe deep enough to be alone. On a
// fixed grid the wall's temperature swings a few per cent as the front crosses a cell: its mean
// over days 10 to 40 is compared.
START_TEST(section_freezes_like_the_line_sink)
{
    static const gw_freeze_pipe deep[] = {{0, 6}};
    static const struct {
        double q_lambda[2], radius_30, radius_90;
    } rows[] = {{{20, 0.0354803889}, 0.11982, 0.20754}, {{50, 0.1181983}, 0.39917, 0.69138}};
    const double initial = 5;
    const layout l = {&wet, deep, 1, 0.03, &initial};
    for (size_t c = 0; c < 2; ++c) {
        gw_freeze *const freeze = make_section(&l, 8, 14);
        const double *const heat = rows[c].q_lambda;
        gw_freeze_ring ring;
        double got = 0, want = 0;
        for (int d = 1; d <= 90; ++d) {
            run_days(freeze, 1, 5, heat);
            ck_assert_int_eq(gw_freeze_ring_at(freeze, 0, &ring, NULL), GW_OK);
            got += d >= 10 && d <= 40 ? ring.wall_degc : 0;
            want += d >= 10 && d <= 40 ? line_sink_wall_degc(rows[c].q_lambda, d) : 0;
            if (d == 30) {
                // The front is known to a part of the cell it stands in.
                ck_assert_double_eq_tol(ring.frozen_radius_m, rows[c].radius_30, 0.25 * 0.03);
            }
        }
        ck_close(got, want, 0.02);
        ck_close(ring.frozen_radius_m, rows[c].radius_90, 0.02);
        ck_close(ring.fluid_degc, ring.wall_degc - heat[0] * 0.08, 1e-12);
        ck_assert(!ring.joins_surface);
        ck_assert(!ring.joins_pipe);
    }
}
END_TEST

START_TEST(section_error_falls_with_cell_size)
{
    static const gw_freeze_pipe deep[] = {{0, 6}};
    const double initial = 5, heat[] = {20};
    double error[2];
    for (size_t i = 0; i < 2; ++i) {
        const layout l = {&wet, deep, 1, i == 0 ? 0.08 : 0.0201, &initial};
        gw_freeze *const freeze = make_section(&l, 8, 14);
        gw_freeze_ring ring;
        error[i] = 0;
        for (int d = 10; d <= 90; d += 10) {
            run_days(freeze, 10, 5, heat);
            ck_assert_int_eq(gw_freeze_ring_at(freeze, 0, &ring, NULL), GW_OK);
            error[i] += fabs(ring.frozen_radius_m / (0.20754 * sqrt(d / 90.0)) - 1) / 9;
        }
    }
    ck_assert_double_lt(error[1], 0.4 * error[0]);
}
END_TEST

// Driving by the fluid's temperature and by the heat that it then gives are the same thing.
START_TEST(fluid_and_heat_drives_agree)
{
    static const gw_freeze_pipe pipe[] = {{0, 1.5}};
    const double initial = 6, fluid[] = {-4};
    const layout l = {&wet, pipe, 1, 0.06, &initial};
    gw_freeze *const a = make_section(&l, 6, 8), *const b = make_section(&l, 6, 8);
    gw_freeze_ring ring, other;
    for (int h = 0; h < 400; ++h) {
        gw_freeze_drive drive = {
            .duration_s = 3600, .surface_degc = 2, .mode = GW_FREEZE_BY_FLUID, .pipe_value = fluid};
        const double before = gw_freeze_balance_of(a).pipes_out_j_m;
        ck_assert_int_eq(gw_freeze_advance(a, &drive, NULL), GW_OK);
        const double heat = 2 * (gw_freeze_balance_of(a).pipes_out_j_m - before) / 3600;
        drive.mode = GW_FREEZE_BY_HEAT;
        drive.pipe_value = &heat;
        ck_assert_int_eq(gw_freeze_advance(b, &drive, NULL), GW_OK);
    }
    ck_assert_int_eq(gw_freeze_ring_at(a, 0, &ring, NULL), GW_OK);
    ck_assert_int_eq(gw_freeze_ring_at(b, 0, &other, NULL), GW_OK);
    ck_close(other.frozen_radius_m, ring.frozen_radius_m, 2e-3);
    ck_assert_double_eq_tol(ring.fluid_degc, -4, 1e-9);
    ck_assert_double_eq_tol(other.fluid_degc, -4, 0.02);
}
END_TEST

// A row of pipes 1 m apart, cut at a pipe or between two pipes, is one and the same row.
START_TEST(planes_of_symmetry_may_be_moved)
{
    static const gw_freeze_pipe on_plane[] = {{0, 1.5}}, between[] = {{0.5, 1.5}};
    const double initial = 5, heat[] = {25};
    const layout first = {&wet, on_plane, 1, 0.04, &initial};
    const layout second = {&wet, between, 1, 0.04, &initial};
    gw_freeze *const a = make_section(&first, 0.5, 8), *const b = make_section(&second, 1.0, 8);
    gw_freeze_ring ring, other;
    run_days(a, 60, 3, heat);
    run_days(b, 60, 3, heat);
    ck_assert_int_eq(gw_freeze_ring_at(a, 0, &ring, NULL), GW_OK);
    ck_assert_int_eq(gw_freeze_ring_at(b, 0, &other, NULL), GW_OK);
    ck_close(other.frozen_radius_m, ring.frozen_radius_m, 1e-9);
    ck_close(other.wall_degc, ring.wall_degc, 1e-9);
    ck_close(gw_freeze_balance_of(b).pipes_out_j_m, 2 * gw_freeze_balance_of(a).pipes_out_j_m,
             1e-12);
    run_days(a, 240, 3, heat);
    ck_assert_int_eq(gw_freeze_ring_at(a, 0, &ring, NULL), GW_OK);
    ck_assert(ring.joins_pipe);
}
END_TEST

START_TEST(surface_frost_is_not_the_pipes_ice)
{
    static const gw_freeze_pipe pipe[] = {{0, 1.5}};
    const double initial = 4, heat[] = {0};
    const layout l = {&wet, pipe, 1, 0.05, &initial};
    gw_freeze *const freeze = make_section(&l, 4, 8);
    run_days(freeze, 60, -10, heat);
    double t;
    ck_assert_int_eq(gw_freeze_temperature(freeze, (gw_freeze_pipe){2, 0.4}, &t, NULL), GW_OK);
    ck_assert_double_lt(t, -1);
    gw_freeze_ring ring;
    ck_assert_int_eq(gw_freeze_ring_at(freeze, 0, &ring, NULL), GW_OK);
    ck_assert_double_lt(ring.frozen_radius_m, 1e-3);
}
END_TEST

// A resistance above the soil (snow) keeps frost out: the steady limit of Stefan with R.
START_TEST(snow_slows_the_frost)
{
    static const gw_freeze_pipe pipe[] = {{0, 2.5}};
    const double initial = 0.0, heat[] = {0};
    gw_soil soil = {1.6, 5e5, 2.2, 5e5, 90e6};
    const layout l = {&soil, pipe, 1, 0.05, &initial};
    gw_freeze *const freeze = make_section(&l, 1, 6);
    const gw_freeze_drive drive = {
        .duration_s = 100 * DAY, .surface_degc = -5, .surface_m2k_w = 1.0, .pipe_value = heat};
    ck_assert_int_eq(gw_freeze_advance(freeze, &drive, NULL), GW_OK);
    // L dX/dt = 5/(R + X/k): X²/(2k) + R X = 5 t/L.
    const double x = 2.2 * (-1 + sqrt(1 + 2 * 5 * 100 * DAY / 90e6 / 2.2));
    const gw_freeze_balance b = gw_freeze_balance_of(freeze);
    ck_close(-b.stored_j_m / 90e6, x, 0.02); // half width 1 m; little sensible heat
}
END_TEST

// Same bits whatever the number of threads.
START_TEST(threads_do_not_change_a_bit)
{
    static const gw_freeze_pipe pipes[] = {{0.3, 1.2}, {0.3, 1.8}};
    const double initial = 5, heat[] = {20, 25};
    const layout l = {&wet, pipes, 2, 0.0201, &initial};
    double kept = 0;
    for (int threads = 1; threads <= 3; ++threads) {
        omp_set_num_threads(threads);
        gw_freeze *const freeze = make_section(&l, 8, 12);
        ck_assert_uint_gt(gw_freeze_cell_count(freeze), 3000);
        run_days(freeze, 2, -2, heat);
        const gw_freeze_balance b = gw_freeze_balance_of(freeze);
        if (threads == 1) {
            kept = b.stored_j_m;
        }
        ck_assert(b.stored_j_m == kept);
        ck_assert_double_lt(b.worst_frac, 1e-6);
    }
}
END_TEST

START_TEST(a_year_is_reported_by_month)
{
    enum { DAYS = 365 };
    static const gw_freeze_pipe pipe[] = {{0.3, 1.5}};
    const double initial = 8;
    const layout l = {&wet, pipe, 1, 0.06, &initial};
    gw_freeze *const freeze = make_section(&l, 4, 10);
    double surface[DAYS], heat[DAYS], snow[DAYS];
    for (size_t d = 0; d < DAYS; ++d) {
        const double season = cos(2 * PI * ((double)d - 30) / 365); // 1 in the coldest days
        surface[d] = 7 - 12 * season;
        heat[d] = season > 0 ? 15 * season : 0;
        snow[d] = season > 0.5 ? 0.3 : 0;
    }
    gw_freeze_month months[12];
    const gw_freeze_schedule schedule = {.days = DAYS,
                                         .surface_degc = surface,
                                         .surface_m2k_w = snow,
                                         .mode = GW_FREEZE_BY_HEAT,
                                         .pipe_value = heat};
    gw_err err = {0};
    ck_assert_msg(gw_freeze_run(freeze, &schedule, months, 12, &err) == GW_OK, "%s", err.text);
    ck_assert_double_gt(months[2].largest_radius_m[0], 0.01);
    ck_assert_double_lt(months[7].largest_radius_m[0], 1e-6);
    ck_assert_double_lt(months[1].lowest_fluid_degc, months[7].lowest_fluid_degc);
    const gw_freeze_balance b = gw_freeze_balance_of(freeze);
    ck_assert_double_lt(b.worst_frac, 1e-6);
    ck_assert_int_eq(gw_freeze_run(freeze, &schedule, months, 11, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "days");
}
END_TEST

START_TEST(bad_input_is_refused_by_field)
{
    static const gw_freeze_pipe pipe[] = {{0, 1.5}}, close[] = {{0, 1.5}, {0, 1.53}},
                                outside[] = {{9, 1.5}};
    const double initial = 5;
    const gw_freeze_section good = {.soil = &wet,
                                    .pipes = pipe,
                                    .pipe_count = 1,
                                    .pipe_radius_m = 0.0167,
                                    .pipe_resistance_mk_w = 0.08,
                                    .cell_m = 0.05,
                                    .half_width_m = 4,
                                    .depth_m = 8,
                                    .initial_depth_m = one_depth,
                                    .initial_degc = &initial,
                                    .initial_count = 1};
    enum { ROWS = 10 };
    gw_freeze_section bad[ROWS];
    for (size_t i = 0; i < ROWS; ++i) {
        bad[i] = good;
    }
    const double nan_value = (double)NAN;
    bad[0].pipe_count = 0;
    bad[1].pipe_radius_m = nan_value;
    bad[2].pipe_resistance_mk_w = -1;
    bad[3].cell_m = 0.001;
    bad[4].half_width_m = 0;
    bad[5].depth_m = 1e4;
    bad[6].freezing_degc = nan_value;
    bad[7].pipes = outside;
    bad[8].initial_degc = &nan_value;
    bad[9].pipes = close;
    bad[9].pipe_count = 2;
    const char *const fields[ROWS] = {"pipe_count",    "pipe_radius_m", "pipe_resistance_mk_w",
                                      "cell_m",        "half_width_m",  "depth_m",
                                      "freezing_degc", "x_m",           "initial_degc",
                                      "pipes"};
    gw_freeze *freeze = NULL;
    gw_err err = {0};
    for (size_t i = 0; i < ROWS; ++i) {
        ck_assert_int_ne(gw_freeze_create(arena, &bad[i], &freeze, &err), GW_OK);
        ck_assert_str_eq(err.field, fields[i]);
    }
    ck_assert_int_eq(gw_freeze_create(arena, &good, &freeze, &err), GW_OK);
    const double heat[] = {nan_value}, fine[] = {5};
    const gw_freeze_drive wrong = {.duration_s = 3600, .surface_degc = 1, .pipe_value = heat};
    const gw_freeze_drive never = {.duration_s = 0, .surface_degc = 1, .pipe_value = fine};
    const gw_freeze_drive hot = {.duration_s = 60, .surface_degc = nan_value, .pipe_value = fine};
    ck_assert_int_eq(gw_freeze_advance(freeze, &wrong, &err), GW_ERR_RANGE);
    ck_assert_int_eq(gw_freeze_advance(freeze, &never, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "duration_s");
    ck_assert_int_eq(gw_freeze_advance(freeze, &hot, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "surface_degc");
    gw_freeze_ring ring;
    ck_assert_int_eq(gw_freeze_ring_at(freeze, 1, &ring, &err), GW_ERR_RANGE);
    double t;
    ck_assert_int_eq(gw_freeze_temperature(freeze, (gw_freeze_pipe){5, 1}, &t, &err), GW_ERR_RANGE);
    for (size_t n = 0; n < 20; ++n) {
        gw_arena *const small = gw_arena_create(0);
        gw_arena_fail_after(small, n);
        ck_assert_int_eq(gw_freeze_create(small, &good, &freeze, &err), GW_ERR_NOMEM);
        gw_arena_destroy(small);
    }
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("freeze");
    TCase *const exact = tcase_create("exact");
    tcase_add_checked_fixture(exact, open_arena, close_arena);
    tcase_add_test(exact, column_follows_neumann);
    tcase_add_test(exact, column_follows_the_published_benchmark);
    tcase_add_test(exact, column_follows_stefan);
    tcase_add_test(exact, column_follows_berggren);
    tcase_add_test(exact, column_error_falls_with_cell_size);
    tcase_add_test(exact, rings_follow_the_line_sink);
    tcase_add_test(exact, rings_follow_the_quasi_steady_solution);
    tcase_set_timeout(exact, 60);
    suite_add_tcase(suite, exact);
    TCase *const section = tcase_create("section");
    tcase_add_checked_fixture(section, open_arena, close_arena);
    tcase_add_test(section, section_without_ice_follows_the_line_sources);
    tcase_add_test(section, fall_at_a_distance_follows_the_line_source);
    tcase_add_test(section, section_reaches_the_steady_shape_factors);
    tcase_add_test(section, section_freezes_like_the_line_sink);
    tcase_add_test(section, section_error_falls_with_cell_size);
    tcase_add_test(section, fluid_and_heat_drives_agree);
    tcase_add_test(section, planes_of_symmetry_may_be_moved);
    tcase_add_test(section, surface_frost_is_not_the_pipes_ice);
    tcase_add_test(section, snow_slows_the_frost);
    tcase_add_test(section, threads_do_not_change_a_bit);
    tcase_add_test(section, a_year_is_reported_by_month);
    tcase_add_test(section, bad_input_is_refused_by_field);
    tcase_set_timeout(section, 60);
    suite_add_tcase(suite, section);
    return harness_run(suite);
}
