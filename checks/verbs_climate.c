// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Undisturbed ground temperature, degree-days, stations.
#include "base/builtin.h"
#include "check.h"
#include "climate/degree_days.h"
#include "climate/ground_temperature.h"
#include "climate/station.h"

static gw_status run_ground_temperature(gw_check_call *call, gw_err *err)
{
    const gw_ground_climate ground = {
        .mean_degc = gw_check_number(call, "mean_degc"),
        .amplitude_k = gw_check_number(call, "amplitude_k"),
        .phase_day = gw_check_number(call, "phase_day"),
    };
    const gw_depth_day point = {gw_check_number(call, "depth_m"), gw_check_number(call, "day"),
                                gw_check_number(call, "diffusivity_m2_s")};
    const gw_status st = gw_ground_climate_check(&ground, err);
    const gw_ground_wave wave = gw_ground_wave_at(&ground, point.depth_m, point.diffusivity_m2_s);
    const double swing_k = gw_ground_wave_amplitude_k(wave);
    gw_check_give(call, "temperature_degc", gw_ground_temperature_degc(&ground, point));
    gw_check_give(call, "damping_depth_m", gw_ground_damping_depth_m(point.diffusivity_m2_s));
    gw_check_give(call, "swing_frac", swing_k / ground.amplitude_k);
    gw_check_give(call, "least_degc", ground.mean_degc - swing_k);
    gw_check_give(call, "greatest_degc", ground.mean_degc + swing_k);
    gw_check_give(call, "coldest_day", gw_ground_wave_minimum_day(wave));
    return st;
}

static gw_status run_degree_days(gw_check_call *call, gw_err *err)
{
    static const gw_degree_days_kind kinds[] = {GW_DEGREE_DAYS_HEATING, GW_DEGREE_DAYS_COOLING};
    size_t count = 0;
    const double *means_degc = gw_check_list(call, "monthly_mean_degc", &count);
    if (count != 12) {
        return gw_fail(err, GW_ERR_RANGE, "monthly_mean_degc", "%zu means, expected 12", count);
    }
    double months[12], year = 0.0;
    gw_degree_days_erbs(means_degc, kinds[gw_check_choice(call, "for")],
                        gw_check_number(call, "base_degc"), months);
    for (size_t m = 0; m < 12; ++m) {
        year += months[m];
    }
    gw_check_give_list(call, "months_k_day", months, 12);
    gw_check_give(call, "year_k_day", year);
    gw_check_give(call, "sigma_year_k", gw_degree_days_sigma_year_k(means_degc));
    return GW_OK;
}

static gw_status find_station(gw_check_call *call, const gw_station **out, gw_err *err)
{
    gw_builtin_file file;
    gw_table table;
    gw_stations stations;
    if (!gw_builtin("stations.csv", &file)) {
        return gw_fail(err, GW_ERR_MISSING, NULL, "no built-in stations");
    }
    gw_status st = gw_table_read(call->arena, file.name, file.text, file.length, &table, err);
    if (st == GW_OK) {
        st = gw_stations_read(call->arena, &table, &stations, err);
    }
    if (st == GW_OK) {
        st = gw_station_find(&stations, gw_check_word(call, "station"), out, err);
    }
    return st;
}

static gw_status run_station(gw_check_call *call, gw_err *err)
{
    const gw_station *station = NULL;
    const gw_status st = find_station(call, &station, err);
    if (st != GW_OK) {
        return st;
    }
    double months[12], year = 0.0;
    gw_degree_days_erbs(station->monthly_mean_degc, GW_DEGREE_DAYS_HEATING,
                        gw_check_number(call, "base_degc"), months);
    for (size_t m = 0; m < 12; ++m) {
        year += months[m];
    }
    gw_check_give_list(call, "monthly_mean_degc", station->monthly_mean_degc, 12);
    gw_check_give(call, "january_degc", station->monthly_mean_degc[0]);
    gw_check_give(call, "april_degc", station->monthly_mean_degc[3]);
    gw_check_give(call, "july_degc", station->monthly_mean_degc[6]);
    gw_check_give(call, "october_degc", station->monthly_mean_degc[9]);
    gw_check_give(call, "mean_degc", gw_station_mean_degc(station));
    gw_check_give(call, "heating_design_degc", station->heating_design_degc);
    gw_check_give(call, "heating_k_day", year);
    gw_check_give(call, "ground_mean_degc", station->ground_mean_degc);
    return GW_OK;
}

const gw_check_verb gw_verbs_climate[] = {
    {.name = "ground_temperature",
     .what = "undisturbed temperature: one yearly harmonic at the surface",
     .run = run_ground_temperature,
     .givens = {{.name = "mean_degc", .kind = GW_QTY_TEMPERATURE, .otherwise = "9"},
                {.name = "amplitude_k", .kind = GW_QTY_TEMPERATURE_DIFFERENCE, .otherwise = "12"},
                {.name = "phase_day", .kind = GW_QTY_NUMBER, .otherwise = "35"},
                {.name = "depth_m", .kind = GW_QTY_LENGTH},
                {.name = "day", .kind = GW_QTY_NUMBER, .otherwise = "0"},
                {.name = "diffusivity_m2_s", .kind = GW_QTY_DIFFUSIVITY}},
     .results = {{"temperature_degc", GW_QTY_TEMPERATURE},
                 {"damping_depth_m", GW_QTY_LENGTH},
                 {"swing_frac", GW_QTY_NUMBER},
                 {"least_degc", GW_QTY_TEMPERATURE},
                 {"greatest_degc", GW_QTY_TEMPERATURE},
                 {"coldest_day", GW_QTY_NUMBER}}},
    {.name = "degree_days",
     .what = "degree-days from the twelve monthly means",
     .run = run_degree_days,
     .givens = {{.name = "monthly_mean_degc", .kind = GW_QTY_TEMPERATURE, .list = true},
                {.name = "base_degc", .kind = GW_QTY_TEMPERATURE},
                {.name = "for",
                 .kind = GW_CHECK_WORD,
                 .words = "heating|cooling",
                 .otherwise = "heating"}},
     .results = {{"months_k_day", GW_QTY_NUMBER},
                 {"year_k_day", GW_QTY_NUMBER},
                 {"sigma_year_k", GW_QTY_TEMPERATURE_DIFFERENCE}}},
    {.name = "station",
     .what = "a station of the built-in list and the degree-days that follow from its normals",
     .run = run_station,
     .givens = {{.name = "station", .kind = GW_CHECK_WORD},
                {.name = "base_degc", .kind = GW_QTY_TEMPERATURE, .otherwise = "18"}},
     .results = {{"monthly_mean_degc", GW_QTY_TEMPERATURE},
                 {"january_degc", GW_QTY_TEMPERATURE},
                 {"april_degc", GW_QTY_TEMPERATURE},
                 {"july_degc", GW_QTY_TEMPERATURE},
                 {"october_degc", GW_QTY_TEMPERATURE},
                 {"mean_degc", GW_QTY_TEMPERATURE},
                 {"heating_design_degc", GW_QTY_TEMPERATURE},
                 {"heating_k_day", GW_QTY_NUMBER},
                 {"ground_mean_degc", GW_QTY_TEMPERATURE}}},
    {0},
};
