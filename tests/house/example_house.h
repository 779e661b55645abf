// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// For tests: a two-storey house of 200 m2 on a full basement, insulated as usual in a cold
// climate, and the design conditions of a cold maritime place.
#ifndef GW_EXAMPLE_HOUSE_H
#define GW_EXAMPLE_HOUSE_H

#include "house/design_load.h"
#include "house/house.h"

enum { EXAMPLE_PARTS = 8 };

typedef struct {
    gw_house_component parts[EXAMPLE_PARTS];
    gw_house house;
    gw_house_conditions conditions;
} example;

static inline void example_house(example *e)
{
    const gw_house_component parts[EXAMPLE_PARTS] = {
        {.name = "walls",
         .kind = GW_HOUSE_WALL,
         .area_m2 = 170.0,
         .insulation_m2k_w = 3.0,
         .facing_deg = -1.0},
        {.name = "attic", .kind = GW_HOUSE_ROOF, .area_m2 = 100.0, .insulation_m2k_w = 7.0},
        {.name = "south windows",
         .kind = GW_HOUSE_WINDOW,
         .area_m2 = 12.0,
         .insulation_m2k_w = 0.55,
         .solar_gain_frac = 0.5,
         .facing_deg = 180.0,
         .shading_frac = 0.2},
        {.name = "other windows",
         .kind = GW_HOUSE_WINDOW,
         .area_m2 = 14.0,
         .insulation_m2k_w = 0.55,
         .solar_gain_frac = 0.5,
         .facing_deg = -1.0,
         .shading_frac = 0.2},
        {.name = "doors",
         .kind = GW_HOUSE_DOOR,
         .area_m2 = 4.0,
         .insulation_m2k_w = 1.0,
         .facing_deg = 0.0},
        {.name = "basement walls",
         .kind = GW_HOUSE_BASEMENT_WALL,
         .area_m2 = 80.0,
         .insulation_m2k_w = 2.1,
         .depth_m = 2.0},
        {.name = "basement floor",
         .kind = GW_HOUSE_BASEMENT_FLOOR,
         .area_m2 = 100.0,
         .insulation_m2k_w = 0.5,
         .depth_m = 2.0,
         .perimeter_m = 40.0},
        {.name = "bay floor",
         .kind = GW_HOUSE_FLOOR_EXPOSED,
         .area_m2 = 3.0,
         .insulation_m2k_w = 5.0},
    };
    for (int i = 0; i < EXAMPLE_PARTS; i++) {
        e->parts[i] = parts[i];
    }
    e->house = gw_house_default();
    e->house.floor_area_m2 = 200.0;
    e->house.volume_m3 = 720.0;
    e->house.storeys = 2;
    e->house.leakage.kind = GW_HOUSE_LEAKAGE_ACH50;
    e->house.leakage.ach50 = 3.0;
    e->house.ventilation_m3_s = 0.045;
    e->house.heat_recovery_frac = 0.65;
    e->house.hot_water_m3_day = 0.2;
    e->house.envelope = e->parts;
    e->house.envelope_count = EXAMPLE_PARTS;
    e->conditions = (gw_house_conditions){.heating_outdoor_degc = -16.0,
                                          .cooling_outdoor_degc = 26.0,
                                          .daily_range_k = 9.0,
                                          .air_mean_degc = 7.0,
                                          .air_amplitude_k = 12.5,
                                          .latitude_deg = 44.9,
                                          .elevation_m = 145.0,
                                          .heating_wind_m_s = 6.7,
                                          .cooling_wind_m_s = 3.4};
}

#endif
