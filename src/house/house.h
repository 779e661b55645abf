// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What a house is made of: the input to design loss and gain (design_load.h) and to the hourly
// loads of a year (hourly_load.h).
//
// A house is described by its envelope, or, where somebody has already worked it out, directly by
// its design heat loss and gain (design_loss_w, design_gain_w). It is one zone: rooms only share
// out its loss and gain, and no basement is kept at another temperature. Zero in an optional field
// means "not given"; gw_house_default() gives the stated defaults.
//
//   gw_house house = gw_house_default();
//   house.floor_area_m2 = 180.0;
//   house.envelope = components;
//   house.envelope_count = 7;
//   st = gw_house_check(&house, err);
#ifndef GW_HOUSE_H
#define GW_HOUSE_H

#include "base/err.h"

#include <stdbool.h>
#include <stddef.h>

enum { GW_HOUSE_ROOMS_MOST = 60 };

// Kinds of component: enumerator, word in a document, what it borders on.
#define GW_HOUSE_KIND_LIST(X)                                                                      \
    X(GW_HOUSE_WALL, "wall", "outside air")                                                        \
    X(GW_HOUSE_ROOF, "roof", "outside air")                                                        \
    X(GW_HOUSE_FLOOR_EXPOSED, "floor_exposed", "outside air")                                      \
    X(GW_HOUSE_WINDOW, "window", "outside air")                                                    \
    X(GW_HOUSE_DOOR, "door", "outside air")                                                        \
    X(GW_HOUSE_BASEMENT_WALL, "basement_wall", "ground")                                           \
    X(GW_HOUSE_BASEMENT_FLOOR, "basement_floor", "ground")                                         \
    X(GW_HOUSE_SLAB, "slab", "ground")

typedef enum {
#define X(code, word, side) code,
    GW_HOUSE_KIND_LIST(X)
#undef X
        GW_HOUSE_KIND_COUNT
} gw_house_kind;

// Thermal mass, ISO 13790:2008 table 12: enumerator, word, A_m/A_f, C_m/A_f in J/(m2·K).
#define GW_HOUSE_MASS_LIST(X)                                                                      \
    X(GW_HOUSE_MASS_VERY_LIGHT, "very_light", 2.5, 80e3)                                           \
    X(GW_HOUSE_MASS_LIGHT, "light", 2.5, 110e3)                                                    \
    X(GW_HOUSE_MASS_MEDIUM, "medium", 2.5, 165e3)                                                  \
    X(GW_HOUSE_MASS_HEAVY, "heavy", 3.0, 260e3)                                                    \
    X(GW_HOUSE_MASS_VERY_HEAVY, "very_heavy", 3.5, 370e3)

typedef enum {
#define X(code, word, am, cm) code,
    GW_HOUSE_MASS_LIST(X)
#undef X
        GW_HOUSE_MASS_COUNT
} gw_house_mass;

// How air-tight, where no blower-door test was made: enumerator, word, air changes per hour at
// 50 Pa (common practice, no source).
#define GW_HOUSE_TIGHTNESS_LIST(X)                                                                 \
    X(GW_HOUSE_TIGHT_VERY_TIGHT, "very_tight", 0.6)                                                \
    X(GW_HOUSE_TIGHT_TIGHT, "tight", 1.5)                                                          \
    X(GW_HOUSE_TIGHT_AVERAGE, "average", 3.5)                                                      \
    X(GW_HOUSE_TIGHT_LOOSE, "loose", 7.0)                                                          \
    X(GW_HOUSE_TIGHT_VERY_LOOSE, "very_loose", 12.0)

typedef enum {
#define X(code, word, ach50) code,
    GW_HOUSE_TIGHTNESS_LIST(X)
#undef X
        GW_HOUSE_TIGHT_COUNT
} gw_house_tightness;

// Sky of the hourly loads: enumerator, word.
#define GW_HOUSE_SKY_LIST(X)                                                                       \
    X(GW_HOUSE_SKY_ISOTROPIC, "isotropic")                                                         \
    X(GW_HOUSE_SKY_PEREZ, "perez")

typedef enum {
#define X(code, word) code,
    GW_HOUSE_SKY_LIST(X)
#undef X
        GW_HOUSE_SKY_COUNT
} gw_house_sky;

// Which of the leakage fields holds.
typedef enum {
    GW_HOUSE_LEAKAGE_CLASS,   // tightness
    GW_HOUSE_LEAKAGE_ACH50,   // ach50
    GW_HOUSE_LEAKAGE_NATURAL, // natural_ach, the same every hour
} gw_house_leakage_kind;

typedef struct {
    gw_house_leakage_kind kind;
    gw_house_tightness tightness;
    double ach50;       // air changes per hour at 50 Pa, 0 to 50
    double natural_ach; // air changes per hour without a fan, 0 to 5
    int shelter_class;  // 1 open country … 3 moderate … 5 very sheltered (LBL model)
} gw_house_leakage;

// The space above a ceiling that is neither heated nor cooled. The roof component is then the
// ceiling below it; all zero: the component borders on outside air.
typedef struct {
    double roof_area_m2;          // of the roof above, gables included, 1 to 10000; 0 = none
    double roof_insulation_m2k_w; // of that roof, films included, 0.05 to 50
    double volume_m3;             // of the space, 0 to 10000
    double air_changes_h;         // with outside air, per hour, 0 to 50
} gw_house_attic;

struct gw_assembly; // house/assembly.h

typedef struct {
    const char *name;        // as printed
    gw_house_kind kind;      //
    double area_m2;          // 0.01 to 10000
    double insulation_m2k_w; // RSI from air to air (to soil below grade), films included; 0.05-50
    double solar_gain_frac;  // windows: solar heat gain coefficient, 0 to 1
    double facing_deg;       // windows, walls, doors: outward direction, 0 = north, 90 = east;
                             // below 0: spread evenly over the four sides
    double shading_frac;     // part of the sun kept off, 0 to 1
    double depth_m;          // basement wall and floor: depth of the floor below grade, 0 to 10
    double perimeter_m;      // basement floor and slab: exposed outline, above 0 to 1000
    gw_house_attic attic;    // roofs
    const char *room;        // name of the room it belongs to; NULL: shared out by floor area
    const struct gw_assembly *assembly; // where insulation_m2k_w comes from, or NULL; not read here
} gw_house_component;

// A room shares in loss and gain: of its own components, and of the air and all that belongs to no
// room by its share.
typedef struct {
    const char *name;
    double floor_area_m2; // 0.5 to 5000
    double air_frac;      // share in air leakage and ventilation; 0 in all rooms: by floor area
} gw_house_room;

// Ducts that run outside the heated space; air_flow_m3_s 0 = none.
typedef struct {
    double air_flow_m3_s;    // while the fan runs, 0.02 to 5
    double supply_area_m2;   // surface outside the heated space, 0 to 500
    double return_area_m2;   //
    double insulation_m2k_w; // of their walls, films included, 0.05 to 10
    double supply_leak_frac; // of the air, lost outside the heated space, 0 to 0.5
    double return_leak_frac; // drawn in from there
    double outdoor_share;    // how near its temperature is to outdoors: 1 outdoors, 0 indoors
} gw_house_ducts;

typedef struct {
    double floor_area_m2; // heated floor area, 10 to 5000
    double volume_m3;     // heated volume; 0 = 2.5 m × floor area
    int storeys;          // above grade, 1 to 3
    gw_house_mass mass;   //

    double heating_setpoint_degc; // 5 to 30
    double cooling_setpoint_degc; // above heating_setpoint_degc, to 35
    double setback_degc;          // heating setpoint at night; used when the two hours differ
    int setback_start_h;          // 0 to 24, e.g. 23
    int setback_end_h;            // 0 to 24, e.g. 7
    double internal_gain_w;       // sensible, the year's mean from people, lights and appliances
    double latent_gain_frac;      // latent share on top of the sensible cooling load, 0 to 1

    const gw_house_component *envelope; // borrowed
    size_t envelope_count;
    double soil_conductivity_w_mk; // of the ground at the foundation, 0.2 to 6
    double opaque_absorptance;     // solar, of walls and roof, 0 to 1
    gw_house_sky sky;              // of the hourly loads; the design day's is isotropic

    const gw_house_room *rooms; // borrowed; [room_count], 0 = the house as a whole
    size_t room_count;          // at most GW_HOUSE_ROOMS_MOST
    gw_house_ducts ducts;
    gw_house_leakage leakage;
    double ventilation_m3_s;   // balanced mechanical ventilation, 0 to 2
    double heat_recovery_frac; // of its sensible heat, 0 to 0.98
    double window_opening_ach; // air changes per hour with windows open, used instead of cooling
                               // while it is cooler outside, 0 to 30; 0 = windows stay shut

    double design_loss_w;     // heating load at design, given directly; 0 = from the envelope
    double design_gain_w;     // sensible cooling load at design, given directly; 0 = none or
                              // from the envelope
    double heating_base_degc; // with design_loss_w: outdoor temperature above which no heat is
                              // needed; 0 = heating setpoint minus 3 K
    double cooling_base_degc; // with design_gain_w: outdoor temperature above which cooling
                              // begins; 0 = cooling setpoint minus 3 K

    double hot_water_m3_day; // drawn per day, 0 to 5; 0 = none
    double hot_water_rise_k; // from mains to tap, 0 to 80
} gw_house;

// Defaults: one storey, medium mass, 21 °C / 25 °C, no setback, 4 W/m2 when internal_gain_w is
// left below 0, latent share 0.3, soil 1.5 W/(m·K), absorptance 0.6, average tightness in class-4
// shelter, no ventilation, windows shut, isotropic sky, no ducts outside, no hot water (rise 45 K).
// Areas and envelope are the caller's.
gw_house gw_house_default(void);

// Errors: GW_ERR_RANGE or GW_ERR_MISSING with the field ("envelope[3].area_m2").
gw_status gw_house_check(const gw_house *house, gw_err *err) GW_MUST_USE;

// True when loads come from design_loss_w or design_gain_w rather than from the envelope.
bool gw_house_is_given(const gw_house *house);

double gw_house_volume_m3(const gw_house *house);
double gw_house_internal_gain_w(const gw_house *house); // 4 W/m2 when internal_gain_w < 0
double gw_house_ach50(const gw_house *house);           // of the test or of the class
double gw_house_hot_water_j_day(const gw_house *house); // 4.19 MJ/(m3·K) × volume × rise

// Words of a document, in the order of the enumerators.
const char *gw_house_kind_word(gw_house_kind kind);
const char *gw_house_mass_word(gw_house_mass mass);
const char *gw_house_tightness_word(gw_house_tightness tightness);
const char *gw_house_sky_word(gw_house_sky sky);

// Mass factors of ISO 13790:2008 table 12.
double gw_house_mass_area_ratio(gw_house_mass mass);
double gw_house_mass_capacity_j_m2k(gw_house_mass mass);

#endif
