// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The equivalent of layered ground against a numeric twin: an axisymmetric finite-volume model of
// bore, layers and surface, solved in the Laplace domain and brought back by Gaver–Stehfest.
#include "ground/field.h"
#include "ground/layers.h"
#include "harness.h"

#include <math.h>
#include <string.h>

#define YEAR GW_YEAR_S
static const double RADIUS_M = 0.07, TOP_M = 2.0, FOOT_M = 82.0;

static gw_soil soil_of(double k, double heat)
{
    return (gw_soil){k, heat, k, heat, 0.0};
}

// ---- the twin ----

enum { RINGS = 44, ROWS = 4 + 86 + 24, STEHFEST = 10 };

typedef struct {
    double r[RINGS + 1], z[ROWS + 1];
    double k[ROWS], heat[ROWS]; // by row
    double resistance;
    double band[(size_t)RINGS * ROWS * (RINGS + 1)]; // lower band of the symmetric matrix, by rows
    double right[(size_t)RINGS * ROWS];
} twin;

// Rows of 1 m, fine at the bore's ends where the load is concentrated, growing below the foot.
static void lay_grid(twin *t, const gw_soil_profile *profile)
{
    static const double fine[4] = {0.1, 0.15, 0.25, 0.5};
    for (size_t i = 0; i <= RINGS; ++i) {
        t->r[i] = RADIUS_M * pow(400.0 / RADIUS_M, (double)i / RINGS);
    }
    size_t at = 0;
    t->z[0] = 0.0;
    for (size_t j = 4; j-- > 0; ++at) {
        t->z[at + 1] = t->z[at] + 2.0 * fine[j];
    }
    for (size_t j = 0; j < 86; ++j, ++at) {
        const double step = j < 4 ? fine[j] : j < 82 ? 1.0 : fine[85 - j];
        t->z[at + 1] = t->z[at] + step;
    }
    for (double step = 0.1; at < ROWS; ++at, step *= 1.3) {
        t->z[at + 1] = t->z[at] + step;
    }
    for (size_t j = 0; j < ROWS; ++j) {
        gw_soil soil;
        ck_assert(gw_soil_at_depth(profile, 0.5 * (t->z[j] + t->z[j + 1]), &soil, NULL) == GW_OK);
        t->k[j] = soil.conductivity_w_mk;
        t->heat[j] = soil.volumetric_heat_j_m3k;
    }
}

static double *cell(twin *t, size_t row, size_t column)
{
    return &t->band[row * (RINGS + 1) + RINGS - (row - column)];
}

// Radius a ring's mean temperature stands at under steady flow: mean of ln r over its area.
static double node_m(const twin *t, size_t i)
{
    const double a = t->r[i] * t->r[i], b = t->r[i + 1] * t->r[i + 1];
    return exp(0.5 * ((b * log(b) - a * log(a)) / (b - a) - 1.0));
}

static void link(twin *t, size_t a, size_t b, double conductance)
{
    *cell(t, a, a) += conductance;
    *cell(t, b, b) += conductance;
    *cell(t, b, a) -= conductance;
}

// Conductance of the fluid at 1 K to the ring cell of a row of the bore.
static double to_wall(const twin *t, size_t j)
{
    const double dz = t->z[j + 1] - t->z[j];
    return dz / (t->resistance + log(node_m(t, 0) / RADIUS_M) / (2.0 * M_PI * t->k[j]));
}

static bool in_bore(const twin *t, size_t j)
{
    const double middle = 0.5 * (t->z[j] + t->z[j + 1]);
    return middle > TOP_M && middle < FOOT_M;
}

static void assemble(twin *t, double p)
{
    memset(t->band, 0, sizeof t->band);
    memset(t->right, 0, sizeof t->right);
    for (size_t j = 0; j < ROWS; ++j) {
        const double dz = t->z[j + 1] - t->z[j];
        for (size_t i = 0; i < RINGS; ++i) {
            const size_t c = j * RINGS + i;
            const double area = M_PI * (t->r[i + 1] * t->r[i + 1] - t->r[i] * t->r[i]);
            *cell(t, c, c) += p * t->heat[j] * area * dz;
            if (i + 1 < RINGS) {
                link(t, c, c + 1, 2.0 * M_PI * t->k[j] * dz / log(node_m(t, i + 1) / node_m(t, i)));
            }
            if (j + 1 < ROWS) {
                const double next = t->z[j + 2] - t->z[j + 1];
                link(t, c, c + RINGS, area / (0.5 * dz / t->k[j] + 0.5 * next / t->k[j + 1]));
            }
            *cell(t, c, c) += j == 0 ? area * t->k[0] / (0.5 * dz) : 0.0; // the surface at 0
        }
        if (in_bore(t, j)) {
            *cell(t, j * RINGS, j * RINGS) += to_wall(t, j);
            t->right[j * RINGS] += to_wall(t, j);
        }
    }
}

static void solve_band(twin *t)
{
    const size_t n = (size_t)RINGS * ROWS;
    for (size_t r = 0; r < n; ++r) {
        const size_t from = r > RINGS ? r - RINGS : 0;
        for (size_t c = from; c <= r; ++c) {
            const size_t start = c > RINGS && c - RINGS > from ? c - RINGS : from;
            double sum = *cell(t, r, c);
            for (size_t m = start; m < c; ++m) {
                sum -= *cell(t, r, m) * *cell(t, c, m);
            }
            *cell(t, r, c) = r == c ? sqrt(sum) : sum / *cell(t, c, c);
        }
    }
    for (size_t r = 0; r < n; ++r) {
        for (size_t m = r > RINGS ? r - RINGS : 0; m < r; ++m) {
            t->right[r] -= *cell(t, r, m) * t->right[m];
        }
        t->right[r] /= *cell(t, r, r);
    }
    for (size_t r = n; r-- > 0;) {
        t->right[r] /= *cell(t, r, r);
        for (size_t m = r > RINGS ? r - RINGS : 0; m < r; ++m) {
            t->right[m] -= *cell(t, r, m) * t->right[r];
        }
    }
}

// Fluid temperature per W/m at real p (p-multiplied).
static double twin_at(twin *t, double p)
{
    assemble(t, p);
    solve_band(t);
    double power = 0.0;
    for (size_t j = 0; j < ROWS; ++j) {
        power += in_bore(t, j) ? to_wall(t, j) * (1.0 - t->right[j * RINGS]) : 0.0;
    }
    return (FOOT_M - TOP_M) / power;
}

static double factorial(size_t n)
{
    return n < 2 ? 1.0 : (double)n * factorial(n - 1);
}

// Step response at a time: Stehfest 1970 (Comm. ACM 13:47), ten terms, for G(p)/p.
static double twin_response(twin *t, double time_s)
{
    const size_t half = STEHFEST / 2;
    double sum = 0.0;
    for (size_t i = 1; i <= STEHFEST; ++i) {
        double v = 0.0;
        for (size_t k = (i + 1) / 2; k <= (i < half ? i : half); ++k) {
            v += pow((double)k, (double)half) * factorial(2 * k) /
                 (factorial(half - k) * factorial(k) * factorial(k - 1) * factorial(i - k) *
                  factorial(2 * k - i));
        }
        v *= (half + i) % 2 == 0 ? 1.0 : -1.0;
        sum += v * twin_at(t, (double)i * M_LN2 / time_s) / (double)i;
    }
    return sum;
}

// ---- the model of the library in one ground ----

static double field_response(double k, double heat, double resistance, double time_s)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_segment bore = {0.0, 0.0, TOP_M, 0.0, 0.0, 1.0, FOOT_M - TOP_M, RADIUS_M};
    gw_segment part[24];
    double each[24];
    ck_assert(gw_segment_cut(&bore, 24, GW_CUT_COSINE, part, NULL) == GW_OK);
    for (size_t i = 0; i < 24; ++i) {
        each[i] = resistance;
    }
    const gw_field field = {.segments = part,
                            .resistance_mk_w = each,
                            .count = 24,
                            .medium = {k, k / heat},
                            .boundary = GW_FIELD_EQUAL_TEMPERATURE};
    gw_field_step step;
    ck_assert(gw_field_step_response(arena, &field, &(gw_field_times){&time_s, 1}, &step, NULL) ==
              GW_OK);
    const double h = step.h_mk_w[0];
    gw_arena_destroy(arena);
    return h;
}

// What is left is the rings' width, and that the twin's bore is hollow where the line source has
// ground (7e-4 after 30 days).
START_TEST(twin_agrees_with_the_field_in_one_ground)
{
    twin *const t = malloc(sizeof *t);
    const gw_soil_layer layer = {100.0, soil_of(2.2, 2.3e6)};
    const gw_soil_profile profile = {&layer, 1};
    lay_grid(t, &profile);
    const double times[3] = {30.0 * 86400.0, YEAR, 25.0 * YEAR};
    for (size_t i = 0; i < 6; ++i) {
        t->resistance = i < 3 ? 0.1 : 0.0;
        const double want = field_response(2.2, 2.3e6, t->resistance, times[i % 3]);
        ck_close(twin_response(t, times[i % 3]), want, 3.5e-3);
    }
    free(t);
}
END_TEST

typedef struct {
    double thickness[3], k[3], heat[3];
    double resistance;
} layered;

// Dry sand over wet over rock; a conducting middle; strong contrasts; a bore without resistance.
static const layered CASES[] = {
    {{10.0, 30.0, 100.0}, {0.5, 1.8, 3.2}, {1.5e6, 2.5e6, 2.3e6}, 0.1},
    {{30.0, 20.0, 100.0}, {1.4, 4.0, 1.4}, {2.4e6, 2.2e6, 2.4e6}, 0.15},
    {{42.0, 1.0, 100.0}, {1.0, 1.0, 4.0}, {2.0e6, 2.0e6, 2.2e6}, 0.1},
    {{42.0, 1.0, 100.0}, {4.0, 1.0, 1.0}, {2.2e6, 2.0e6, 2.0e6}, 0.1},
    {{20.0, 30.0, 100.0}, {1.5, 2.8, 2.0}, {2.4e6, 2.1e6, 2.3e6}, 0.0},
};

// The estimate must hold, and must not be a blank cheque. Twin against twin, so that its own error
// drops out.
START_TEST(true_response_lies_within_the_stated_error)
{
    const layered *const c = &CASES[_i];
    gw_soil_layer layers[3];
    for (size_t i = 0; i < 3; ++i) {
        layers[i] = (gw_soil_layer){c->thickness[i], soil_of(c->k[i], c->heat[i])};
    }
    const gw_soil_profile profile = {layers, 3};
    twin *const t = malloc(sizeof *t);
    lay_grid(t, &profile);
    t->resistance = c->resistance;
    const double times[3] = {30.0 * 86400.0, YEAR, 25.0 * YEAR};
    for (size_t i = 0; i < 3; ++i) {
        gw_layers_equivalent ground;
        const gw_layers_case with = {&profile, {TOP_M, FOOT_M}, RADIUS_M, c->resistance, times[i]};
        ck_assert(gw_layers_reduce(&with, &ground, NULL) == GW_OK);
        const double layered_mk_w = twin_response(t, times[i]);
        const gw_soil_layer same = {
            100.0, soil_of(ground.conductivity_w_mk, ground.volumetric_heat_j_m3k)};
        const gw_soil_profile one = {&same, 1};
        lay_grid(t, &one);
        const double off = twin_response(t, times[i]) / layered_mk_w - 1.0;
        lay_grid(t, &profile);
        ck_assert_msg(fabs(off) <= ground.error_frac, "time %zu: %.4f off, stated %.4f", i, off,
                      ground.error_frac);
        ck_assert(ground.error_frac < 0.1);
    }
    free(t);
}
END_TEST

START_TEST(one_ground_is_itself_without_error)
{
    const gw_soil_layer layers[2] = {{20.0, soil_of(2.2, 2.3e6)}, {50.0, soil_of(2.2, 2.3e6)}};
    const gw_soil_profile profile = {layers, 2};
    const gw_layers_case with = {&profile, {TOP_M, FOOT_M}, RADIUS_M, 0.1, 25.0 * YEAR};
    gw_layers_equivalent ground;
    ck_assert(gw_layers_reduce(&with, &ground, NULL) == GW_OK);
    ck_close(ground.conductivity_w_mk, 2.2, 1e-9);
    ck_close(ground.across_w_mk, 2.2, 1e-12);
    ck_assert(ground.error_frac < 1e-9);
}
END_TEST

// Thickness cannot matter to the radial means: k by length and across, by hand.
START_TEST(means_by_hand)
{
    const gw_soil_layer layers[2] = {{12.0, soil_of(1.0, 2e6)}, {50.0, soil_of(3.0, 3e6)}};
    const gw_soil_profile profile = {layers, 2};
    const gw_layers_case with = {&profile, {2.0, 42.0}, 0.06, 0.1, YEAR};
    gw_layers_equivalent ground;
    ck_assert(gw_layers_reduce(&with, &ground, NULL) == GW_OK);
    ck_close(ground.mean_w_mk, 2.5, 1e-12);   // 10 m and 30 m
    ck_close(ground.across_w_mk, 2.0, 1e-12); // 40/(10/1 + 30/3)
    ck_close(ground.volumetric_heat_j_m3k, 2.75e6, 1e-12);
    ck_assert(ground.conductivity_w_mk < 2.5 && ground.conductivity_w_mk > 2.0);
}
END_TEST

START_TEST(bad_input_is_refused_by_field)
{
    const gw_soil_layer layer = {100.0, soil_of(2.2, 2.3e6)};
    const gw_soil_profile profile = {&layer, 1}, none = {&layer, 0};
    const gw_layers_case good = {&profile, {TOP_M, FOOT_M}, RADIUS_M, 0.1, YEAR};
    gw_layers_equivalent out;
    gw_err err = {0};
    gw_layers_case bad = good;
    bad.bore.bottom_m = 1.0;
    ck_assert(gw_layers_reduce(&bad, &out, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "bore");
    bad = good;
    bad.radius_m = nan("");
    ck_assert(gw_layers_reduce(&bad, &out, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "radius_m");
    bad = good;
    bad.resistance_mk_w = -0.1;
    ck_assert(gw_layers_reduce(&bad, &out, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "resistance_mk_w");
    bad = good;
    bad.time_s = 0.0;
    ck_assert(gw_layers_reduce(&bad, &out, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "time_s");
    bad = good;
    bad.bore.top_m = -1.0;
    ck_assert(gw_layers_reduce(&bad, &out, &err) == GW_ERR_RANGE);
    bad = good;
    bad.profile = &none;
    ck_assert(gw_layers_reduce(&bad, &out, &err) != GW_OK);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("ground layers");
    TCase *const all = tcase_create("all");
    tcase_set_timeout(all, 120);
    tcase_add_test(all, twin_agrees_with_the_field_in_one_ground);
    tcase_add_loop_test(all, true_response_lies_within_the_stated_error, 0,
                        (int)(sizeof CASES / sizeof *CASES));
    tcase_add_test(all, one_ground_is_itself_without_error);
    tcase_add_test(all, means_by_hand);
    tcase_add_test(all, bad_input_is_refused_by_field);
    suite_add_tcase(suite, all);
    return harness_run(suite);
}
