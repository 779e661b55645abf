// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Loss to the ground, air leakage, the one-mass room.
#include "check.h"
#include "house/foundation.h"
#include "house/infiltration.h"
#include "house/zone.h"

static gw_status run_slab(gw_check_call *call, gw_err *err)
{
    (void)err;
    const double area_m2 = gw_check_number(call, "area_m2");
    const gw_foundation_floor floor = {
        .area_m2 = area_m2,
        .perimeter_m = gw_check_number(call, "perimeter_per_area") * area_m2,
        .depth_m = gw_check_number(call, "depth_m"),
        .wall_thickness_m = gw_check_number(call, "wall_thickness_m"),
        .resistance_m2k_w = gw_check_number(call, "resistance_m2k_w"),
        .soil_conductivity_w_mk = gw_check_number(call, "soil_conductivity_w_mk"),
    };
    gw_check_give(call, "u_w_m2k", gw_foundation_floor_u_w_m2k(floor));
    return GW_OK;
}

static gw_status run_infiltration(gw_check_call *call, gw_err *err)
{
    (void)err;
    const gw_infiltration_house house = {
        .leakage_area_m2 = gw_check_number(call, "leakage_area_m2"),
        .storeys = (int)gw_check_number(call, "storeys"),
        .shelter_class = (int)gw_check_number(call, "shelter_class"),
    };
    const double flow_m3_s = gw_infiltration_m3_s(house, gw_check_number(call, "difference_k"),
                                                  gw_check_number(call, "wind_m_s"));
    gw_check_give(call, "flow_m3_s", flow_m3_s);
    gw_check_give(call, "changes_per_hour",
                  flow_m3_s * 3600.0 / gw_check_number(call, "volume_m3"));
    return GW_OK;
}

static gw_zone zone_of(const gw_check_call *call)
{
    const double floor_m2 = gw_check_number(call, "floor_area_m2");
    return (gw_zone){
        .floor_area_m2 = floor_m2,
        .mass_area_m2 = floor_m2 * gw_check_number(call, "mass_area_ratio"),
        .capacity_j_k = floor_m2 * gw_check_number(call, "capacity_j_m2k"),
        .window_w_k = gw_check_number(call, "window_w_k"),
        .opaque_w_k = gw_check_number(call, "opaque_w_k"),
    };
}

// Steady state: the same hour again until the mass no longer changes.
static gw_status run_zone(gw_check_call *call, gw_err *err)
{
    (void)err;
    const gw_zone zone = zone_of(call);
    const double outdoor_degc = gw_check_number(call, "outdoor_degc");
    const double ventilation_w_k = gw_check_number(call, "ventilation_w_k");
    const gw_zone_input hour = {.ventilation_w_k = ventilation_w_k,
                                .supply_degc = outdoor_degc,
                                .outdoor_degc = outdoor_degc,
                                .opaque_degc = outdoor_degc,
                                .internal_w = gw_check_number(call, "internal_w"),
                                .solar_w = gw_check_number(call, "solar_w"),
                                .heating_degc = gw_check_number(call, "heating_degc"),
                                .cooling_degc = 60.0};
    gw_zone_result result = {0};
    double mass_degc = outdoor_degc;
    for (size_t i = 0; i < 20000; ++i) {
        gw_zone_hour(&zone, &hour, &mass_degc, &result);
    }
    gw_check_give(call, "steady_need_w", result.need_w);
    gw_check_give(call, "decay_ratio", gw_zone_decay_ratio(&zone, ventilation_w_k));
    gw_zone_input free = hour;
    free.free_float = 1;
    free.internal_w = free.solar_w = 0.0;
    double before_degc = outdoor_degc + 10.0;
    gw_zone_hour(&zone, &free, &before_degc, &result);
    gw_check_give(call, "free_decay_ratio", (before_degc - outdoor_degc) / 10.0);
    return GW_OK;
}

static gw_status run_mass(gw_check_call *call, gw_err *err)
{
    (void)err;
    const gw_house_mass mass = (gw_house_mass)gw_check_choice(call, "mass");
    gw_check_give(call, "area_ratio", gw_house_mass_area_ratio(mass));
    gw_check_give(call, "capacity_j_m2k", gw_house_mass_capacity_j_m2k(mass));
    return GW_OK;
}

static gw_status run_blower_door(gw_check_call *call, gw_err *err)
{
    (void)err;
    gw_check_give(call, "leakage_area_m2",
                  gw_infiltration_leakage_area_m2(gw_check_number(call, "ach50"),
                                                  gw_check_number(call, "volume_m3")));
    return GW_OK;
}

const gw_check_verb gw_verbs_house[] = {
    {.name = "floor_on_ground",
     .what = "transmittance of a slab (depth 0) or basement floor; resistance with both films",
     .run = run_slab,
     .givens = {{.name = "area_m2", .kind = GW_QTY_AREA, .otherwise = "100"},
                {.name = "perimeter_per_area", .kind = GW_QTY_NUMBER},
                {.name = "depth_m", .kind = GW_QTY_LENGTH, .otherwise = "0"},
                {.name = "wall_thickness_m", .kind = GW_QTY_LENGTH, .otherwise = "0.3"},
                {.name = "resistance_m2k_w", .kind = GW_QTY_INSULATION},
                {.name = "soil_conductivity_w_mk", .kind = GW_QTY_CONDUCTIVITY}},
     .results = {{"u_w_m2k", GW_QTY_TRANSMITTANCE}}},
    {.name = "infiltration",
     .what = "air leakage from leakage area, temperature difference and wind",
     .run = run_infiltration,
     .givens = {{.name = "leakage_area_m2", .kind = GW_QTY_AREA},
                {.name = "volume_m3", .kind = GW_QTY_VOLUME, .otherwise = "1"},
                {.name = "storeys", .kind = GW_QTY_NUMBER},
                {.name = "shelter_class", .kind = GW_QTY_NUMBER},
                {.name = "difference_k", .kind = GW_QTY_TEMPERATURE_DIFFERENCE},
                {.name = "wind_m_s", .kind = GW_QTY_VELOCITY}},
     .results = {{"flow_m3_s", GW_QTY_FLOW}, {"changes_per_hour", GW_QTY_NUMBER}}},
    {.name = "blower_door",
     .what = "leakage area at 4 Pa from air changes at 50 Pa",
     .run = run_blower_door,
     .givens = {{.name = "ach50", .kind = GW_QTY_NUMBER},
                {.name = "volume_m3", .kind = GW_QTY_VOLUME}},
     .results = {{"leakage_area_m2", GW_QTY_AREA}}},
    {.name = "room",
     .what = "one-mass room: steady need, and decay of the free-floating mass in one hour",
     .run = run_zone,
     .givens = {{.name = "floor_area_m2", .kind = GW_QTY_AREA},
                {.name = "mass_area_ratio", .kind = GW_QTY_NUMBER},
                {.name = "capacity_j_m2k", .kind = GW_QTY_NUMBER},
                {.name = "window_w_k", .kind = GW_QTY_HEAT_LOSS_RATE},
                {.name = "opaque_w_k", .kind = GW_QTY_HEAT_LOSS_RATE},
                {.name = "ventilation_w_k", .kind = GW_QTY_HEAT_LOSS_RATE},
                {.name = "heating_degc", .kind = GW_QTY_TEMPERATURE, .otherwise = "20"},
                {.name = "outdoor_degc", .kind = GW_QTY_TEMPERATURE},
                {.name = "internal_w", .kind = GW_QTY_POWER, .otherwise = "0"},
                {.name = "solar_w", .kind = GW_QTY_POWER, .otherwise = "0"}},
     .results = {{"steady_need_w", GW_QTY_POWER},
                 {"decay_ratio", GW_QTY_NUMBER},
                 {"free_decay_ratio", GW_QTY_NUMBER}}},
    {.name = "thermal_mass",
     .what = "factors of a class of thermal mass",
     .run = run_mass,
     .givens = {{.name = "mass",
                 .kind = GW_CHECK_WORD,
                 .words = "very_light|light|medium|heavy|very_heavy"}},
     .results = {{"area_ratio", GW_QTY_NUMBER}, {"capacity_j_m2k", GW_QTY_NUMBER}}},
    {0},
};
