// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The test cells of BESTEST / ANSI/ASHRAE Standard 140 as inputs of this library: 8 x 6 x 2.7 m,
// 12 m2 of south glass, 200 W inside, half an air change, heated to 20 and cooled to 27 °C.
// Transmittances of the standard's layers with its films (8.29 and 29.3 W/(m2·K)).
#ifndef GW_BESTEST_H
#define GW_BESTEST_H

#include "house/house.h"

enum { BESTEST_PARTS = 7 };

typedef struct {
    gw_house_component parts[BESTEST_PARTS];
    gw_house house;
} bestest;

static inline double series(double films, double a, double b, double c)
{
    return films + a + b + c;
}

// Resistances are layer thickness over conductivity. The house points into the struct: keep it.
static inline void bestest_600(bestest *cell)
{
    const double films = 1.0 / 8.29 + 1.0 / 29.3;
    const double wall = series(films, 0.012 / 0.16, 0.066 / 0.04, 0.009 / 0.14);
    const double roof = series(films, 0.010 / 0.16, 0.1118 / 0.04, 0.019 / 0.14);
    const double floor = series(1.0 / 8.29, 0.025 / 0.14, 1.003 / 0.04, 0.0);
    const gw_house_component parts[BESTEST_PARTS] = {
        {.name = "north", .kind = GW_HOUSE_WALL, .area_m2 = 21.6, .insulation_m2k_w = wall},
        {.name = "east",
         .kind = GW_HOUSE_WALL,
         .area_m2 = 16.2,
         .insulation_m2k_w = wall,
         .facing_deg = 90.0},
        {.name = "south",
         .kind = GW_HOUSE_WALL,
         .area_m2 = 9.6,
         .insulation_m2k_w = wall,
         .facing_deg = 180.0},
        {.name = "west",
         .kind = GW_HOUSE_WALL,
         .area_m2 = 16.2,
         .insulation_m2k_w = wall,
         .facing_deg = 270.0},
        {.name = "roof", .kind = GW_HOUSE_ROOF, .area_m2 = 48.0, .insulation_m2k_w = roof},
        {.name = "floor",
         .kind = GW_HOUSE_FLOOR_EXPOSED,
         .area_m2 = 48.0,
         .insulation_m2k_w = floor},
        {.name = "glass",
         .kind = GW_HOUSE_WINDOW,
         .area_m2 = 12.0,
         .insulation_m2k_w = 1.0 / 3.0,
         .solar_gain_frac = 0.787,
         .facing_deg = 180.0},
    };
    for (int i = 0; i < BESTEST_PARTS; i++) {
        cell->parts[i] = parts[i];
    }
    cell->house = gw_house_default();
    cell->house.floor_area_m2 = 48.0;
    cell->house.volume_m3 = 129.6;
    cell->house.mass = GW_HOUSE_MASS_VERY_LIGHT;
    cell->house.heating_setpoint_degc = 20.0;
    cell->house.cooling_setpoint_degc = 27.0;
    cell->house.internal_gain_w = 200.0;
    cell->house.leakage.kind = GW_HOUSE_LEAKAGE_NATURAL;
    cell->house.leakage.natural_ach = 0.5;
    cell->house.envelope = cell->parts;
    cell->house.envelope_count = BESTEST_PARTS;
}

// Heavy cell: 100 mm block inside foam, 80 mm slab: 306 kJ/(m2·K) of floor, nearest class heavy.
static inline void bestest_900(bestest *cell)
{
    bestest_600(cell);
    const double films = 1.0 / 8.29 + 1.0 / 29.3;
    const double wall = series(films, 0.100 / 0.51, 0.0615 / 0.04, 0.009 / 0.14);
    const double floor = series(1.0 / 8.29, 0.080 / 1.13, 1.007 / 0.04, 0.0);
    for (int i = 0; i < 4; i++) {
        cell->parts[i].insulation_m2k_w = wall;
    }
    cell->parts[5].insulation_m2k_w = floor;
    cell->house.mass = GW_HOUSE_MASS_HEAVY;
}

// Night setback of cases 640 and 940: 10 °C from 23 to 7 h.
static inline void bestest_setback(bestest *cell)
{
    cell->house.setback_degc = 10.0;
    cell->house.setback_start_h = 23;
    cell->house.setback_end_h = 7;
}

// Cases 620 and 920: half the glass east, half west.
static inline void bestest_east_west(bestest *cell, gw_house_component more[BESTEST_PARTS + 1])
{
    for (int i = 0; i < BESTEST_PARTS; i++) {
        more[i] = cell->parts[i];
    }
    more[1].area_m2 = 10.2;
    more[2].area_m2 = 21.6;
    more[3].area_m2 = 10.2;
    more[6].area_m2 = 6.0;
    more[6].facing_deg = 90.0;
    more[7] = more[6];
    more[7].facing_deg = 270.0;
    cell->house.envelope = more;
    cell->house.envelope_count = BESTEST_PARTS + 1;
}

#endif
