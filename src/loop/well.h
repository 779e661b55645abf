// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Open loops: ground water pumped through the heat pump and given back to the ground, to a pond or
// to a drain.
//
// It does not design a well, knows one flat aquifer of even thickness, no storage in the bore, and
// no mixing of waters. Whether ground water may be used at all is for the authority: see
// gw_well_caution.
//
// Method: docs/methods/loop-well.md. Flow from the heat balance of the heat pump; drawdown by Theis
// 1935 with superposition of return well and of one straight boundary (image well), well loss
// C Q² (Jacob 1947); pump power from lift, friction and injection; first arrival of cooled
// water by Gringarten & Sauty 1975; feedback under a natural gradient by Clyde & Madabhushi 1983.
//
//   gw_well_answer answer;
//   st = gw_well_assess(&well, &demand, &answer, err);
//   st = gw_well_judge_water(&rules, &water, verdicts, &count, err);
#ifndef GW_LOOP_WELL_H
#define GW_LOOP_WELL_H

#include "base/err.h"
#include "base/table.h"

#include <stdbool.h>
#include <stddef.h>

#define GW_WELL_WATER_J_M3K 4.19e6 // water of 5 to 15 °C: density × specific heat, within 0.3 %

// ---- hydraulics of the ground -----------------------------------------------------------------

// Well function W(u) = E1(u), u > 0; relative error below 1e-13.
double gw_well_function(double u);

typedef struct {
    double transmissivity_m2_s; // 1e-7 to 10
    double storativity;         // 1e-6 to 0.4
} gw_well_aquifer;

typedef struct {
    double flow_m3_s;  // out of the ground positive
    double distance_m; // from the well's axis
    double time_s;     // since the pump was started
} gw_well_pumping;

// Theis 1935: s = Q/(4πT) W(r²S/(4Tt)), metres of drawdown; Q negative gives a rise.
double gw_well_drawdown_m(const gw_well_aquifer *aquifer, const gw_well_pumping *pumping);

// ---- heat of the water --------------------------------------------------------------------------

// Water that gives `heat_w` when cooled (or warmed) by `change_k`.
double gw_well_flow_m3_s(double heat_w, double change_k);

// The same per watt of the unit's capacity: (1 − 1/COP) in heating, (1 + 1/COP) in cooling.
double gw_well_flow_per_watt_m3_s(double cop, double change_k, bool cooling);

// ---- return well --------------------------------------------------------------------------------

typedef struct {
    double distance_m;         // supply to return well
    double flow_m3_s;          // yearly mean through both, > 0
    double thickness_m;        // of the aquifer
    double aquifer_heat_j_m3k; // volumetric heat capacity of wet aquifer
    double transmissivity_m2_s;
    double gradient; // natural slope of the water table from supply to return, ≥ 0
} gw_well_doublet;

typedef struct {
    double breakthrough_s;      // first returned water is felt, no natural flow
    double feedback_distance_m; // wells nearer than this feed back; INFINITY without gradient
    bool feedback;              // this pair does, given enough time
} gw_well_return_heat;

// t = π D² b C_aquifer/(3 Q C_water) (Gringarten & Sauty 1975); feedback when D < 2Q/(π T i)
// (Clyde & Madabhushi 1983; return well downstream of the supply well).
gw_well_return_heat gw_well_return_heat_of(const gw_well_doublet *doublet);

// ---- the whole loop -----------------------------------------------------------------------------

typedef enum {
    GW_WELL_RETURN_WELL,    // to a second well in the same aquifer
    GW_WELL_RETURN_SURFACE, // to a pond, stream or drain
} gw_well_return;

typedef enum {
    GW_WELL_NO_BOUNDARY,
    GW_WELL_RECHARGE, // stream or lake that holds the level
    GW_WELL_BARRIER,  // tight rock or clay
} gw_well_boundary;

typedef struct {
    double water_degc;      // of the ground water; 1 to 30
    double yield_m3_s;      // that the well gives for days, by test; > 0
    double static_level_m;  // ground surface to the water at rest; 0 to 300
    double pump_depth_m;    // ground surface to the pump's inlet; below the level
    double well_diameter_m; // of the bore or screen; 0.05 to 2
    gw_well_aquifer aquifer;
    double thickness_m;        // of the aquifer; 0.5 to 300
    double aquifer_heat_j_m3k; // 1e6 to 4e6
    double loss_s2_m5;         // C of the well loss C Q²; ≥ 0, 0 = none or unknown
    gw_well_boundary boundary;
    double boundary_m; // from the supply well; where there is one
    gw_well_return back;
    double return_distance_m; // to the return well, or to the outfall
    double return_loss_s2_m5; // of the return well; ≥ 0
    double gradient;          // natural, towards the return well; 0 to 0.1
    double domestic_m3_s;     // that the house draws from the same well besides; ≥ 0
} gw_well_plan;

// What heat pump and pipes ask for.
typedef struct {
    double peak_heat_w;        // from the water in the design hour; > 0
    double week_heat_w;        // mean of the coldest week
    double year_heat_w;        // mean over the year of heat taken minus given, ≥ 0
    double year_flow_hours;    // hours a year the pump runs at full flow; 0 to 8760
    double greatest_change_k;  // that the unit may cool the water; 2 to 12
    double least_leaving_degc; // coldest water allowed out of the unit; 0.5 to 10
    double resistance_pa;      // of heat pump and pipes at full flow; ≥ 0
    double pump_efficiency;    // wire to water; 0.1 to 0.85
} gw_well_demand;

enum {                       // why the well does not do; or-ed
    GW_WELL_SHORT_PEAK = 1,  // yield below the flow of the design hour
    GW_WELL_SHORT_WEEK = 2,  // yield below the flow of the coldest week
    GW_WELL_DRY = 4,         // the level falls to the pump's inlet
    GW_WELL_FLOODS = 8,      // the return well overflows
    GW_WELL_FEEDS_BACK = 16, // returned water reaches the supply well within a season
    GW_WELL_COLD = 32,       // water too cold to be cooled by 2 K
};

// Levels are those at the end of the coldest day, with the pump running: a year of the mean flow,
// then the coldest week's flow, in the last day the full flow.
typedef struct {
    double change_k;          // by which the water is cooled
    double flow_m3_s;         // of the loop in the design hour (full flow)
    double week_flow_m3_s;    // mean of the coldest week
    double year_flow_m3_s;    // mean of the year
    double flow_m3_s_per_w;   // flow over heat from the water
    double drawdown_m;        // in the supply well, well loss included
    double alone_m;           // the same without the return well's help
    double loss_m;            // well loss within it
    double rise_m;            // of the level in the return well, its loss included
    double level_m;           // ground surface to the water while pumping
    double return_level_m;    // ground surface to the water in the return well; below 0: overflows
    double head_m;            // of the pump: lift to the surface, pipes, pressure to inject
    double pump_w;            // electric, at full flow
    double pump_year_j;       // electric, of a year
    gw_well_return_heat heat; // when there is a return well
    unsigned flags;
} gw_well_answer;

gw_status gw_well_check(const gw_well_plan *well, gw_err *err) GW_MUST_USE;
gw_status gw_well_check_demand(const gw_well_demand *demand, gw_err *err) GW_MUST_USE;

// Errors: GW_ERR_RANGE, GW_ERR_GEOMETRY; fields are named below "well." and "demand.". A well that
// does not do is no error: see flags.
gw_status gw_well_assess(const gw_well_plan *well, const gw_well_demand *demand,
                         gw_well_answer *out, gw_err *err) GW_MUST_USE;

// Sentence for one flag of the answer; NULL for an unknown one.
const char *gw_well_flag_text(unsigned flag);

// What every report about an open loop says.
const char *gw_well_caution(void);

// ---- water quality ------------------------------------------------------------------------------

// One analysed value: key of data/water_quality.csv, in its unit.
typedef struct {
    const char *key; // "ph", "chloride_mg_l", …
    double value;
} gw_well_analysis;

typedef struct {
    const gw_well_analysis *items;
    size_t count;
    const char *material; // of the unit's coil: a material of the table; NULL checks none of those
    double water_degc;    // for limits that go with temperature
    bool reinjected;      // goes back into the ground through a well
} gw_well_sample;

typedef struct {
    const char *id;   // row of the table
    const char *text; // sentence
    const char *unit;
    const char *source;
    double value;
    double low; // −INFINITY when there is none
    double high;
    bool measured; // false: the table asks for it, the analysis has no value
    bool holds;    // false too when not measured
} gw_well_quality;

enum { GW_WELL_RULES_MAX = 40 };

// One verdict per row that applies, in the table's order.
// Errors: GW_ERR_KEY (unknown key or material, with the nearest one), GW_ERR_RANGE.
gw_status gw_well_judge_water(const gw_table *rules, const gw_well_sample *sample,
                              gw_well_quality verdicts[static GW_WELL_RULES_MAX], size_t *count,
                              gw_err *err) GW_MUST_USE;

#endif
