// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Bore, pipe and grout resistance; the first hours of a bore; three-pulse sizing.
#include "check.h"
#include "ground/film.h"
#include "ground/resistance.h"
#include "ground/short_time.h"
#include "loop/pulse_method.h"

static gw_bore_u_tube tube_of(const gw_check_call *call)
{
    return (gw_bore_u_tube){
        .bore_radius_m = gw_check_number(call, "bore_radius_m"),
        .pipe_outer_radius_m = gw_check_number(call, "pipe_outer_radius_m"),
        .pipe_resistance_mk_w = gw_check_number(call, "pipe_resistance_mk_w"),
        .axis_radius_m = gw_check_number(call, "axis_radius_m"),
        .grout_w_mk = gw_check_number(call, "grout_w_mk"),
        .ground_w_mk = gw_check_number(call, "ground_w_mk"),
        .u_count = (unsigned)gw_check_number(call, "u_tubes"),
    };
}

static void give_resistance(gw_check_call *call, const gw_bore_resistance *res)
{
    gw_check_give(call, "bore_mk_w", res->bore_mk_w);
    gw_check_give(call, "internal_mk_w", res->internal_mk_w);
}

static gw_status run_bore_resistance(gw_check_call *call, gw_err *err)
{
    const gw_bore_u_tube tube = tube_of(call);
    // down pipes: the first of a single U; two facing or two beside each other of a double U
    const unsigned mask = tube.u_count == 1                          ? 0x1
                          : gw_check_choice(call, "down_pipes") == 0 ? 0x5
                                                                     : 0x3;
    gw_bore_section section;
    gw_bore_matrix matrix;
    gw_bore_resistance res;
    gw_status st = gw_bore_section_of_u_tube(&tube, &section, err);
    if (st == GW_OK) {
        st =
            gw_bore_solve_multipole(&section, (size_t)gw_check_number(call, "order"), &matrix, err);
    }
    if (st == GW_OK) {
        st = gw_bore_resistance_of(&matrix, mask, &res, err);
    }
    if (st == GW_OK) {
        give_resistance(call, &res);
    }
    return st;
}

static gw_status run_bore_closed(gw_check_call *call, gw_err *err)
{
    const gw_bore_u_tube tube = tube_of(call);
    gw_bore_resistance res;
    const gw_status st =
        gw_bore_u_tube_closed(&tube, (unsigned)gw_check_number(call, "order"), &res, err);
    if (st == GW_OK) {
        give_resistance(call, &res);
    }
    return st;
}

static gw_status section_of_lists(const gw_check_call *call, gw_bore_section *section, gw_err *err)
{
    size_t x_count = 0, y_count = 0;
    const double *x = gw_check_list(call, "pipe_x_m", &x_count);
    const double *y = gw_check_list(call, "pipe_y_m", &y_count);
    if (x_count != y_count || x_count > GW_BORE_PIPES_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "pipe_x_m",
                       "%zu x for %zu y, expected as many, at most %d", x_count, y_count,
                       GW_BORE_PIPES_MAX);
    }
    *section = (gw_bore_section){.radius_m = gw_check_number(call, "bore_radius_m"),
                                 .grout_w_mk = gw_check_number(call, "grout_w_mk"),
                                 .ground_w_mk = gw_check_number(call, "ground_w_mk"),
                                 .pipe_count = x_count};
    for (size_t i = 0; i < x_count; ++i) {
        section->pipes[i] = (gw_bore_pipe){x[i], y[i], gw_check_number(call, "pipe_outer_radius_m"),
                                           gw_check_number(call, "pipe_resistance_mk_w")};
    }
    return GW_OK;
}

static gw_status run_bore_pipes(gw_check_call *call, gw_err *err)
{
    gw_bore_section section;
    gw_bore_matrix matrix;
    gw_bore_resistance res;
    gw_status st = section_of_lists(call, &section, err);
    if (st == GW_OK) {
        st =
            gw_bore_solve_multipole(&section, (size_t)gw_check_number(call, "order"), &matrix, err);
    }
    if (st == GW_OK) {
        st = gw_bore_resistance_of(&matrix, 0x1, &res, err);
    }
    if (st == GW_OK) {
        double heat_w_m[GW_BORE_PIPES_MAX] = {0.0};
        for (size_t i = 0; i < matrix.pipe_count; ++i) {
            for (size_t j = 0; j < matrix.pipe_count; ++j) {
                heat_w_m[i] += matrix.conductance_w_mk[i][j]; // every fluid 1 K over the wall
            }
        }
        gw_check_give(call, "bore_mk_w", res.bore_mk_w);
        gw_check_give_list(call, "heat_w_m", heat_w_m, matrix.pipe_count);
    }
    return st;
}

static gw_status run_pipe_resistance(gw_check_call *call, gw_err *err)
{
    const gw_pipe_wall pipe = {
        .outer_radius_m = gw_check_number(call, "outer_radius_m"),
        .inner_radius_m = gw_check_number(call, "inner_radius_m"),
        .conductivity_w_mk = gw_check_number(call, "conductivity_w_mk"),
        .film_w_m2k = gw_check_number(call, "film_w_m2k"),
    };
    double resistance_mk_w = 0.0;
    const gw_status st = gw_pipe_resistance(&pipe, &resistance_mk_w, err);
    gw_check_give(call, "pipe_mk_w", resistance_mk_w);
    return st;
}

static gw_status run_grout_by_shape(gw_check_call *call, gw_err *err)
{
    static const gw_bore_placing placings[] = {GW_BORE_TOUCHING, GW_BORE_EVEN, GW_BORE_AT_WALL};
    const double pipe_m = gw_check_number(call, "pipe_outer_radius_m");
    const double bore_m = gw_check_number(call, "bore_radius_m");
    const gw_bore_u_tube tube = {.bore_radius_m = bore_m,
                                 .pipe_outer_radius_m = pipe_m,
                                 .axis_radius_m = 0.5 * bore_m,
                                 .grout_w_mk = gw_check_number(call, "grout_w_mk"),
                                 .ground_w_mk = 2.0, // not used by this method
                                 .u_count = 1};
    double grout_mk_w = 0.0;
    const gw_status st =
        gw_bore_grout_by_shape(&tube, placings[gw_check_choice(call, "placing")], &grout_mk_w, err);
    gw_check_give(call, "grout_mk_w", grout_mk_w);
    return st;
}

static gw_status run_bore_effective(gw_check_call *call, gw_err *err)
{
    static const gw_bore_along along[] = {GW_BORE_WALL_UNIFORM, GW_BORE_FLUX_UNIFORM};
    const gw_bore_resistance res = {gw_check_number(call, "bore_mk_w"),
                                    gw_check_number(call, "internal_mk_w")};
    const gw_bore_flow flow = {.length_m = gw_check_number(call, "length_m"),
                               .capacity_w_k = gw_check_number(call, "capacity_w_k"),
                               .along = along[gw_check_choice(call, "along")]};
    double effective_mk_w = 0.0;
    const gw_status st = gw_bore_effective(&res, &flow, &effective_mk_w, err);
    gw_check_give(call, "effective_mk_w", effective_mk_w);
    return st;
}

static gw_status run_film(gw_check_call *call, gw_err *err)
{
    (void)err;
    gw_check_give(
        call, "nusselt",
        gw_film_nusselt(gw_check_number(call, "reynolds"), gw_check_number(call, "prandtl")));
    return GW_OK;
}

static gw_status run_short_time(gw_check_call *call, gw_err *err)
{
    const gw_short_bore bore = {
        .bore_radius_m = gw_check_number(call, "bore_radius_m"),
        .equivalent_radius_m = gw_check_number(call, "equivalent_radius_m"),
        .pipe_resistance_mk_w = gw_check_number(call, "pipe_resistance_mk_w"),
        .fluid_capacity_j_mk = gw_check_number(call, "fluid_capacity_j_mk"),
        .grout_w_mk = gw_check_number(call, "grout_w_mk"),
        .grout_heat_j_m3k = gw_check_number(call, "grout_heat_j_m3k"),
        .ground_w_mk = gw_check_number(call, "ground_w_mk"),
        .ground_heat_j_m3k = gw_check_number(call, "ground_heat_j_m3k"),
    };
    size_t count = 0;
    const double *times_s = gw_check_list(call, "times_s", &count);
    double *rise_k = gw_arena_alloc(call->arena, count, sizeof *rise_k);
    if (rise_k == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for times");
    }
    const gw_status st = gw_short_time_response(&bore, times_s, count, rise_k, err);
    for (size_t i = 0; i < count; ++i) {
        rise_k[i] *= gw_check_number(call, "heat_w_m");
    }
    gw_check_give_list(call, "rise_k", rise_k, count);
    gw_check_give(call, "steady_mk_w", gw_short_time_steady_resistance(&bore));
    return st;
}

static gw_status run_exponential_integral(gw_check_call *call, gw_err *err)
{
    (void)err;
    gw_check_give(call, "e1", gw_exponential_integral(gw_check_number(call, "x")));
    return GW_OK;
}

static gw_status run_line_source(gw_check_call *call, gw_err *err)
{
    (void)err;
    const gw_line_source line = {gw_check_number(call, "conductivity_w_mk"),
                                 gw_check_number(call, "diffusivity_m2_s"),
                                 gw_check_number(call, "radius_m")};
    const double response_mk_w = gw_line_source_response(&line, gw_check_number(call, "time_s"));
    gw_check_give(call, "response_mk_w", response_mk_w);
    gw_check_give(call, "rise_k",
                  gw_check_number(call, "heat_w_m") *
                      (response_mk_w + gw_check_number(call, "resistance_mk_w")));
    return GW_OK;
}

static gw_status run_pulse_factors(gw_check_call *call, gw_err *err)
{
    gw_pulse_factors factors = {0};
    const gw_status st =
        gw_pulse_factors_at(gw_check_number(call, "bore_radius_m"),
                            gw_check_number(call, "diffusivity_m2_s"), &factors, err);
    gw_check_give(call, "six_hours", factors.six_hours);
    gw_check_give(call, "one_month", factors.one_month);
    gw_check_give(call, "ten_years", factors.ten_years);
    return st;
}

static gw_status run_pulse_length(gw_check_call *call, gw_err *err)
{
    const gw_pulse_loads loads = {gw_check_number(call, "hour_w"), gw_check_number(call, "month_w"),
                                  gw_check_number(call, "year_w")};
    const gw_pulse_ground ground = {
        .conductivity_w_mk = gw_check_number(call, "conductivity_w_mk"),
        .diffusivity_m2_s = gw_check_number(call, "diffusivity_m2_s"),
        .bore_radius_m = gw_check_number(call, "bore_radius_m"),
        .bore_resistance_mk_w = gw_check_number(call, "bore_resistance_mk_w"),
        .fluid_degc = gw_check_number(call, "fluid_degc"),
        .ground_degc = gw_check_number(call, "ground_degc"),
        .penalty_k = gw_check_number(call, "penalty_k"),
    };
    double length_m = 0.0;
    const gw_status st = gw_pulse_length(&loads, &ground, &length_m, err);
    gw_check_give(call, "length_m", length_m);
    return st;
}

#define TUBE_GIVENS                                                                                \
    {.name = "bore_radius_m", .kind = GW_QTY_SMALL_LENGTH},                                        \
        {.name = "pipe_outer_radius_m", .kind = GW_QTY_SMALL_LENGTH},                              \
        {.name = "axis_radius_m", .kind = GW_QTY_SMALL_LENGTH},                                    \
        {.name = "grout_w_mk", .kind = GW_QTY_CONDUCTIVITY},                                       \
        {.name = "ground_w_mk", .kind = GW_QTY_CONDUCTIVITY},                                      \
    {                                                                                              \
        .name = "pipe_resistance_mk_w", .kind = GW_QTY_LINE_RESISTANCE                             \
    }

const gw_check_verb gw_verbs_resistance[] = {
    {.name = "bore_resistance",
     .what = "symmetric U-tubes in a grouted bore, multipole method",
     .run = run_bore_resistance,
     .givens = {TUBE_GIVENS,
                {.name = "u_tubes", .kind = GW_QTY_NUMBER, .otherwise = "1"},
                {.name = "down_pipes",
                 .kind = GW_CHECK_WORD,
                 .words = "facing|beside",
                 .otherwise = "facing"},
                {.name = "order", .kind = GW_QTY_NUMBER, .otherwise = "10"}},
     .results = {{"bore_mk_w", GW_QTY_LINE_RESISTANCE}, {"internal_mk_w", GW_QTY_LINE_RESISTANCE}}},
    {.name = "bore_resistance_closed",
     .what = "symmetric single U-tube, closed forms of order 0 or 1",
     .run = run_bore_closed,
     .givens = {TUBE_GIVENS,
                {.name = "u_tubes", .kind = GW_QTY_NUMBER, .otherwise = "1"},
                {.name = "order", .kind = GW_QTY_NUMBER}},
     .results = {{"bore_mk_w", GW_QTY_LINE_RESISTANCE}, {"internal_mk_w", GW_QTY_LINE_RESISTANCE}}},
    {.name = "bore_pipes",
     .what = "pipes anywhere in a grouted bore, multipole method; heat of each at 1 K",
     .run = run_bore_pipes,
     .givens = {{.name = "bore_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "pipe_outer_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "pipe_x_m", .kind = GW_QTY_SMALL_LENGTH, .list = true},
                {.name = "pipe_y_m", .kind = GW_QTY_SMALL_LENGTH, .list = true},
                {.name = "grout_w_mk", .kind = GW_QTY_CONDUCTIVITY},
                {.name = "ground_w_mk", .kind = GW_QTY_CONDUCTIVITY},
                {.name = "pipe_resistance_mk_w", .kind = GW_QTY_LINE_RESISTANCE},
                {.name = "order", .kind = GW_QTY_NUMBER, .otherwise = "10"}},
     .results = {{"bore_mk_w", GW_QTY_LINE_RESISTANCE}, {"heat_w_m", GW_QTY_LINE_POWER}}},
    {.name = "pipe_resistance",
     .what = "wall and film of one pipe",
     .run = run_pipe_resistance,
     .givens = {{.name = "outer_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "inner_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "conductivity_w_mk", .kind = GW_QTY_CONDUCTIVITY},
                {.name = "film_w_m2k", .kind = GW_QTY_TRANSMITTANCE}},
     .results = {{"pipe_mk_w", GW_QTY_LINE_RESISTANCE}}},
    {.name = "grout_by_shape",
     .what = "grout resistance of a single U by shape factors",
     .run = run_grout_by_shape,
     .givens = {{.name = "bore_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "pipe_outer_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "grout_w_mk", .kind = GW_QTY_CONDUCTIVITY},
                {.name = "placing", .kind = GW_CHECK_WORD, .words = "touching|even|at_wall"}},
     .results = {{"grout_mk_w", GW_QTY_LINE_RESISTANCE}}},
    {.name = "bore_effective",
     .what = "effective resistance of a bore with exchange between its legs",
     .run = run_bore_effective,
     .givens = {{.name = "bore_mk_w", .kind = GW_QTY_LINE_RESISTANCE},
                {.name = "internal_mk_w", .kind = GW_QTY_LINE_RESISTANCE},
                {.name = "length_m", .kind = GW_QTY_LENGTH},
                {.name = "capacity_w_k", .kind = GW_QTY_HEAT_LOSS_RATE},
                {.name = "along", .kind = GW_CHECK_WORD, .words = "uniform_wall|uniform_flux"}},
     .results = {{"effective_mk_w", GW_QTY_LINE_RESISTANCE}}},
    {.name = "film",
     .what = "Nusselt number of flow in a round smooth pipe",
     .run = run_film,
     .givens = {{.name = "reynolds", .kind = GW_QTY_NUMBER},
                {.name = "prandtl", .kind = GW_QTY_NUMBER}},
     .results = {{"nusselt", GW_QTY_NUMBER}}},
    {.name = "short_time",
     .what = "fluid of a bore in the first hours of a heat step",
     .run = run_short_time,
     .givens = {{.name = "bore_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "equivalent_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "pipe_resistance_mk_w", .kind = GW_QTY_LINE_RESISTANCE},
                {.name = "fluid_capacity_j_mk", .kind = GW_QTY_NUMBER},
                {.name = "grout_w_mk", .kind = GW_QTY_CONDUCTIVITY},
                {.name = "grout_heat_j_m3k", .kind = GW_QTY_VOLUMETRIC_HEAT},
                {.name = "ground_w_mk", .kind = GW_QTY_CONDUCTIVITY},
                {.name = "ground_heat_j_m3k", .kind = GW_QTY_VOLUMETRIC_HEAT},
                {.name = "heat_w_m", .kind = GW_QTY_LINE_POWER},
                {.name = "times_s", .kind = GW_QTY_DURATION, .list = true}},
     .results = {{"rise_k", GW_QTY_TEMPERATURE_DIFFERENCE},
                 {"steady_mk_w", GW_QTY_LINE_RESISTANCE}}},
    {.name = "exponential_integral",
     .what = "E1(x), also the well function W(u)",
     .run = run_exponential_integral,
     .givens = {{.name = "x", .kind = GW_QTY_NUMBER}},
     .results = {{"e1", GW_QTY_NUMBER}}},
    {.name = "line_source",
     .what = "infinite line source, and the fluid of a bore with that resistance",
     .run = run_line_source,
     .givens = {{.name = "conductivity_w_mk", .kind = GW_QTY_CONDUCTIVITY},
                {.name = "diffusivity_m2_s", .kind = GW_QTY_DIFFUSIVITY},
                {.name = "radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "time_s", .kind = GW_QTY_DURATION},
                {.name = "heat_w_m", .kind = GW_QTY_LINE_POWER, .otherwise = "1"},
                {.name = "resistance_mk_w", .kind = GW_QTY_LINE_RESISTANCE, .otherwise = "0"}},
     .results = {{"response_mk_w", GW_QTY_LINE_RESISTANCE},
                 {"rise_k", GW_QTY_TEMPERATURE_DIFFERENCE}}},
    {.name = "pulse_factors",
     .what = "the three factors of the three-pulse sizing",
     .run = run_pulse_factors,
     .givens = {{.name = "bore_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "diffusivity_m2_s", .kind = GW_QTY_DIFFUSIVITY}},
     .results = {{"six_hours", GW_QTY_NUMBER},
                 {"one_month", GW_QTY_NUMBER},
                 {"ten_years", GW_QTY_NUMBER}}},
    {.name = "pulse_length",
     .what = "bore length by the three-pulse equation",
     .run = run_pulse_length,
     .givens = {{.name = "hour_w", .kind = GW_QTY_POWER},
                {.name = "month_w", .kind = GW_QTY_POWER},
                {.name = "year_w", .kind = GW_QTY_POWER},
                {.name = "conductivity_w_mk", .kind = GW_QTY_CONDUCTIVITY},
                {.name = "diffusivity_m2_s", .kind = GW_QTY_DIFFUSIVITY},
                {.name = "bore_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "bore_resistance_mk_w", .kind = GW_QTY_LINE_RESISTANCE},
                {.name = "fluid_degc", .kind = GW_QTY_TEMPERATURE},
                {.name = "ground_degc", .kind = GW_QTY_TEMPERATURE},
                {.name = "penalty_k", .kind = GW_QTY_TEMPERATURE_DIFFERENCE, .otherwise = "0"}},
     .results = {{"length_m", GW_QTY_LENGTH}}},
    {0},
};
