// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "harness.h"
#include "pipes/friction.h"

#include <math.h>

#define FT 0.3048
#define IN 0.0254
#define LBM 0.45359237
#define PSF (LBM * 9.80665 / (FT * FT)) // pound-force per square foot, Pa
#define US_GPM 6.30901964e-5

// Reference points of the two formulas, evaluated apart from this program to 1e-15 and printed to
// six decimals (C. F. Colebrook 1939; S. W. Churchill 1977).
static const struct {
    double reynolds;
    double rough;
    double colebrook;
    double churchill;
} points[] = {
    {4000, 0, .039907, .040590},   {1e4, 0, .030883, .031002},    {1e5, 0, .017990, .017875},
    {1e5, 1e-4, .018514, .018463}, {1e5, .001, .022175, .022343}, {1e7, 1e-5, .008996, .009059},
    {1e5, .05, .071781, .071950},
};

START_TEST(friction_factors_meet_the_reference_points)
{
    ck_assert_double_eq_tol(gw_pipes_friction_colebrook(points[_i].reynolds, points[_i].rough),
                            points[_i].colebrook, 0.51e-6);
    ck_assert_double_eq_tol(gw_pipes_friction_churchill(points[_i].reynolds, points[_i].rough),
                            points[_i].churchill, 0.51e-6);
}
END_TEST

static const struct {
    double reynolds;
    double churchill;
} slow[] = {{500, .128000},  {1000, .064000}, {1500, .042667}, {2000, .032043},
            {2300, .030840}, {2500, .035145}, {3000, .042975}, {3500, .042262}};

START_TEST(churchill_covers_laminar_and_transition)
{
    ck_assert_double_eq_tol(gw_pipes_friction_churchill(slow[_i].reynolds, 0.0), slow[_i].churchill,
                            0.51e-6);
}
END_TEST

START_TEST(colebrook_satisfies_its_own_equation)
{
    for (double reynolds = 4000; reynolds < 1e8; reynolds *= 1.7) {
        for (double rough = 0; rough < 0.06; rough = rough * 3 + 1e-6) {
            const double f = gw_pipes_friction_colebrook(reynolds, rough);
            ck_close(1 / sqrt(f), -2 * log10(rough / 3.7 + 2.51 / (reynolds * sqrt(f))), 1e-13);
        }
    }
}
END_TEST

START_TEST(churchill_keeps_near_colebrook)
{
    for (double reynolds = 4000; reynolds < 1e8; reynolds *= 1.3) {
        for (double rough = 0; rough < 0.05; rough = rough * 2 + 1e-6) {
            ck_close(gw_pipes_friction_churchill(reynolds, rough),
                     gw_pipes_friction_colebrook(reynolds, rough), rough <= 1e-3 ? 0.02 : 0.032);
        }
    }
}
END_TEST

START_TEST(creeping_flow_is_laminar_and_joins_on)
{
    ck_close(gw_pipes_friction_churchill(0.5, 0.0), 128.0, 1e-15);
    ck_close(gw_pipes_friction_churchill(1e-30, 0.0), 64e30, 1e-15);
    ck_close(gw_pipes_friction_churchill(1.0, 0.01), gw_pipes_friction_churchill(0.999999, 0.01),
             2e-6);
}
END_TEST

static gw_pipe_flow flow_of(gw_pipe_run run)
{
    gw_pipe_flow flow;
    gw_err err = {0};
    ck_assert_msg(gw_pipes_flow(&run, &flow, &err) == GW_OK, "%s", err.text);
    return flow;
}

// Çengel and Cimbala, Fluid Mechanics, "Determining the head loss in a water pipe" (from memory,
// recomputed): V 9.17 ft/s, Re 126 400, f 0.0174, Δp 1700 lbf/ft², head 27.3 ft, 461 W.
// Printed to three digits and with Colebrook's factor; Churchill's is 0.4 % from it.
START_TEST(textbook_stainless_pipe)
{
    const gw_pipe_flow f = flow_of((gw_pipe_run){.flow_m3_s = 0.2 * FT * FT * FT,
                                                 .diameter_m = 2 * IN,
                                                 .length_m = 200 * FT,
                                                 .roughness_m = 7e-6 * FT,
                                                 .density_kg_m3 = 62.36 * LBM / (FT * FT * FT),
                                                 .viscosity_pa_s = 7.536e-4 * LBM / FT});
    ck_close(f.velocity_m_s / FT, 9.17, 0.0005);
    ck_close(f.reynolds, 126400, 0.0005);
    ck_close(f.friction_factor, 0.0174, 0.01);
    ck_close(f.pressure_loss_pa / PSF, 1700, 0.01);
    ck_close(f.head_loss_m / FT, 27.3, 0.01);
    ck_close(f.pressure_loss_pa * 0.2 * FT * FT * FT, 461, 0.01);
    ck_assert_double_eq_tol(gw_pipes_friction_colebrook(f.reynolds, 7e-6 * 12 / 2), 0.0174, 5e-5);
    ck_assert_int_eq(f.regime, GW_PIPES_TURBULENT);
}
END_TEST

// The same book's laminar example: Re 1803, f 0.0355, head 14.9 ft, 929 lbf/ft², 0.30 W.
START_TEST(textbook_laminar_tube)
{
    const double d_m = 0.12 * IN;
    const double flow_m3_s = 0.25 * M_PI * d_m * d_m * 3 * FT;
    const gw_pipe_flow f = flow_of((gw_pipe_run){.flow_m3_s = flow_m3_s,
                                                 .diameter_m = d_m,
                                                 .length_m = 30 * FT,
                                                 .density_kg_m3 = 62.42 * LBM / (FT * FT * FT),
                                                 .viscosity_pa_s = 1.038e-3 * LBM / FT});
    ck_close(f.reynolds, 1803, 0.001);
    ck_close(f.friction_factor, 0.0355, 0.002);
    ck_close(f.head_loss_m / FT, 14.9, 0.005);
    ck_close(f.pressure_loss_pa / PSF, 929, 0.001);
    ck_close(f.pressure_loss_pa * flow_m3_s, 0.30, 0.02);
    ck_assert_int_eq(f.regime, GW_PIPES_LAMINAR);
    ck_assert_str_eq(gw_pipes_regime_text(f.regime), "laminar");
}
END_TEST

// F. M. White, Fluid Mechanics, ex. 6.6 (from memory, to be confirmed): 6-in asphalted cast iron,
// ε/D 0.0008, 6 ft/s, ν 1.1e-5 ft²/s, 200 ft: Re 2.7e5, f 0.020, head 4.5 ft, 280 lbf/ft² (read off
// the Moody chart to two digits; recomputed 0.0198, 4.43, 277).
START_TEST(textbook_cast_iron_main)
{
    const double d_m = 0.5 * FT;
    const gw_pipe_flow f = flow_of((gw_pipe_run){.flow_m3_s = 0.25 * M_PI * d_m * d_m * 6 * FT,
                                                 .diameter_m = d_m,
                                                 .length_m = 200 * FT,
                                                 .roughness_m = 0.0008 * d_m,
                                                 .density_kg_m3 = 62.4 * LBM / (FT * FT * FT),
                                                 .viscosity_pa_s = 1.1e-5 * 62.4 * LBM / FT});
    ck_close(f.reynolds, 2.7e5, 0.02);
    ck_close(f.friction_factor, 0.0198, 0.01);
    ck_close(f.head_loss_m / FT, 4.43, 0.01);
    ck_close(f.pressure_loss_pa / PSF, 277, 0.01);
}
END_TEST

static const gw_pipe_run loop_run = {.flow_m3_s = 0.35e-3,
                                     .diameter_m = 0.0273,
                                     .length_m = 150,
                                     .roughness_m = 1.5e-6,
                                     .loss_coefficient = 5,
                                     .density_kg_m3 = 1020.1,
                                     .viscosity_pa_s = 4.312e-3};

START_TEST(slope_of_head_loss_is_its_derivative)
{
    for (double q = 1e-7; q < 5e-3; q *= 1.13) {
        gw_pipe_run run = loop_run;
        run.flow_m3_s = q;
        const double got = flow_of(run).d_head_loss_s_m2;
        run.flow_m3_s = q * (1 + 1e-5);
        const double above_m = flow_of(run).head_loss_m;
        run.flow_m3_s = q * (1 - 1e-5);
        const double below_m = flow_of(run).head_loss_m;
        ck_close(got, (above_m - below_m) / (2e-5 * q), 1e-6);
    }
}
END_TEST

START_TEST(standing_fluid_loses_nothing_and_keeps_the_laminar_slope)
{
    gw_pipe_run run = loop_run;
    run.flow_m3_s = 0;
    run.loss_coefficient = 0;
    const gw_pipe_flow still = flow_of(run);
    ck_assert_double_eq(still.head_loss_m, 0.0);
    run.flow_m3_s = 1e-9;
    ck_close(flow_of(run).head_loss_m / 1e-9, still.d_head_loss_s_m2, 1e-9);
}
END_TEST

START_TEST(fittings_add_velocity_heads)
{
    gw_pipe_run run = loop_run;
    const gw_pipe_flow with = flow_of(run);
    run.loss_coefficient = 0;
    const gw_pipe_flow without = flow_of(run);
    ck_close(with.head_loss_m - without.head_loss_m,
             5 * with.velocity_m_s * with.velocity_m_s / (2 * 9.80665), 1e-10);
}
END_TEST

START_TEST(regimes_change_at_2300_and_4000)
{
    ck_assert_int_eq(gw_pipes_regime(2299), GW_PIPES_LAMINAR);
    ck_assert_int_eq(gw_pipes_regime(2300), GW_PIPES_TRANSITION);
    ck_assert_int_eq(gw_pipes_regime(3999), GW_PIPES_TRANSITION);
    ck_assert_int_eq(gw_pipes_regime(4000), GW_PIPES_TURBULENT);
}
END_TEST

// Re 2500 in DR-11 pipe of minimum wall, US gal/min, from the fluid properties of the table
// (computed): PG 20 % at 0 °C in 1 in: 3.59, EtOH 20 % 4.57, MeOH 15 % 2.52, K2CO3 20 % 1.98.
START_TEST(flow_for_turbulence_as_tabulated)
{
    const struct {
        double density_kg_m3;
        double viscosity_pa_s;
        double gpm;
    } rows[] = {{1020.1, 4.312e-3, 3.59},
                {975.8, 5.249e-3, 4.57},
                {978.3, 2.905e-3, 2.52},
                {1198.0, 2.791e-3, 1.98}};
    for (size_t i = 0; i < 4; ++i) {
        const gw_pipe_reynolds input = {.reynolds = 2500,
                                        .diameter_m = 1.075 * IN,
                                        .density_kg_m3 = rows[i].density_kg_m3,
                                        .viscosity_pa_s = rows[i].viscosity_pa_s};
        ck_assert_double_eq_tol(gw_pipes_flow_at_reynolds_m3_s(&input) / US_GPM, rows[i].gpm,
                                0.0051);
    }
}
END_TEST

static const char *const fields[] = {"flow_m3_s",     "diameter_m",       "length_m",
                                     "roughness_m",   "loss_coefficient", "density_kg_m3",
                                     "viscosity_pa_s"};

// Spoils one field after the other: once negative, once not a number.
START_TEST(bad_run_is_refused_by_field)
{
    const double values[] = {-1.0, (double)NAN};
    for (int k = 0; k < 2; ++k) {
        gw_pipe_run run = loop_run;
        double *const to[] = {&run.flow_m3_s,     &run.diameter_m,       &run.length_m,
                              &run.roughness_m,   &run.loss_coefficient, &run.density_kg_m3,
                              &run.viscosity_pa_s};
        *to[_i] = values[k];
        gw_pipe_flow flow;
        gw_err err = {0};
        ck_assert(gw_pipes_flow(&run, &flow, &err) == GW_ERR_RANGE);
        ck_assert_str_eq(err.field, fields[_i]);
    }
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("friction");
    TCase *const tc = tcase_create("friction");
    tcase_add_loop_test(tc, friction_factors_meet_the_reference_points, 0,
                        (int)(sizeof points / sizeof points[0]));
    tcase_add_loop_test(tc, churchill_covers_laminar_and_transition, 0,
                        (int)(sizeof slow / sizeof slow[0]));
    tcase_add_test(tc, colebrook_satisfies_its_own_equation);
    tcase_add_test(tc, churchill_keeps_near_colebrook);
    tcase_add_test(tc, creeping_flow_is_laminar_and_joins_on);
    tcase_add_test(tc, textbook_stainless_pipe);
    tcase_add_test(tc, textbook_laminar_tube);
    tcase_add_test(tc, textbook_cast_iron_main);
    tcase_add_test(tc, slope_of_head_loss_is_its_derivative);
    tcase_add_test(tc, standing_fluid_loses_nothing_and_keeps_the_laminar_slope);
    tcase_add_test(tc, fittings_add_velocity_heads);
    tcase_add_test(tc, regimes_change_at_2300_and_4000);
    tcase_add_test(tc, flow_for_turbulence_as_tabulated);
    tcase_add_loop_test(tc, bad_run_is_refused_by_field, 0,
                        (int)(sizeof fields / sizeof fields[0]));
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
