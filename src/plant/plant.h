// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A heat pump from its rating points: what it takes from (or gives to) the ground and what it
// draws from the grid, for any hourly load and entering-water temperature.
//
// It does not know the loop, the house or the weather, does not model refrigerant, and does not
// switch the unit off below its entering-water limit: it reports the breach in `flags` and goes on
// with the curve held at its end, so that the sizing of the loop sees a smooth function.
//
// Method. Capacity and power are linear between rating points at the rated flow (ISO 13256-1 points
// belong on such curves); beyond the end points the last slope is carried on for at most
// GW_PLANT_EXTRAPOLATE_K, then held. Part load: PLF = 1 − Cd (1 − PLR), electricity = PLR/PLF of
// full power (Cd: ANSI/AHRI 210/240, 10 CFR 430 App. M form). Heat balance, heating:
// load = ground + compressor + blower + auxiliary; cooling: ground = load + compressor + blower.
// See docs/methods/plant.md.
//
//   const gw_plant_input input = {.pump = pump, .unit_count = 1, .cycling_coefficient = 0.18,
//                                 .design_loss_w = 12000, .share_of_design_loss = 0.9,
//                                 .sizing_entering_degc = -1.0};
//   gw_plant plant;
//   st = gw_plant_build(&input, &plant, err);
//   const gw_plant_flow flow = gw_plant_heat(&plant, 8000.0, 2.5);  // inline, in plant/hot.h
//   flow.ground_w, flow.compressor_w, flow.d_ground_w_k
#ifndef GW_PLANT_H
#define GW_PLANT_H

#include "base/err.h"

#include <stdbool.h>
#include <stddef.h>

enum { GW_PLANT_POINTS_MAX = 12, GW_PLANT_UNITS_MAX = 16 };

// The curve may be carried on by this many kelvin past its first and last point.
#define GW_PLANT_EXTRAPOLATE_K 6.0

// Cd where nothing better is known: gives at half load the 0.909 that EN 14825 gives for
// brine- and water-source units (its Cc = 0.9); the two part by at most 0.023 for load ratios
// 0.4 to 1. The 0.25 of 10 CFR 430 App. M is an air-source default.
#define GW_PLANT_CYCLING_DEFAULT 0.18

// One rating point at full capacity (or low stage) and rated flow.
typedef struct {
    double entering_water_degc; // −15 to 45
    double capacity_w;          // net, to or from the house, blower heat included; > 0
    double power_w;             // compressor and controls only, without blower and pumps; > 0
} gw_plant_rating;

// A curve: 2 to GW_PLANT_POINTS_MAX points, entering water strictly rising. count 0 = no such mode.
typedef struct {
    gw_plant_rating points[GW_PLANT_POINTS_MAX];
    size_t count;
} gw_plant_curve;

// A heat pump as catalogued. Low-stage curves are optional (count 0: single stage).
typedef struct {
    const char *id;
    const char *name;
    const char *source;
    gw_plant_curve heating;
    gw_plant_curve heating_low;
    gw_plant_curve cooling;
    gw_plant_curve cooling_low;
    double blower_power_w;    // while running, heat goes to the house air; 0 for water-to-water
    double rated_flow_m3_s;   // of loop fluid through one unit
    double pressure_drop_pa;  // of the loop side at the rated flow
    double min_entering_degc; // limits of the maker (or of the generic curve)
    double max_entering_degc;
} gw_heat_pump;

// Everything that makes the plant of one house.
typedef struct {
    gw_heat_pump pump;
    int unit_count;              // 1 to GW_PLANT_UNITS_MAX, loaded one after the other
    double cycling_coefficient;  // Cd, 0 to 0.5
    double circulator_power_w;   // loop pump(s) of ONE unit, running with its compressor; ≥ 0
    double circulator_heat_frac; // share of that power that ends in the loop fluid, 0 to 1
    // Sizing: when share_of_design_loss > 0 the whole curve (capacity, power, blower, rated flow)
    // is scaled so that all units together give share × design_loss_w in heating at
    // sizing_entering_degc. 0: the curve is used as it is.
    double design_loss_w;
    double share_of_design_loss; // 0 to 1.5
    double sizing_entering_degc; // lowest entering water of the design
    // Hot water made by the heat pump: its COP relative to space heating at the same entering water
    // (a hotter condenser). 0 means 1.
    double hot_water_cop_ratio; // 0.3 to 1
} gw_plant_input;

// ---- the table of the hot path ----------------------------------------------------------------

// Piecewise linear capacity and power of one stage over entering water T: value = at_0 + slope × T
// in the interval that starts at knot_degc[i]. The first interval (from −∞) and the last (to +∞)
// hold the value of the end, with no slope, so that no temperature needs a limit of its own.
enum { GW_PLANT_INTERVALS_MAX = GW_PLANT_POINTS_MAX + 1 };

typedef struct {
    int last;        // number of intervals − 1; −1 when there is no curve
    double low_degc; // held below and above these
    double high_degc;
    double knot_degc[GW_PLANT_INTERVALS_MAX]; // start of interval i; [0] is never looked at
    double capacity_at_0_w[GW_PLANT_INTERVALS_MAX];
    double capacity_slope_w_k[GW_PLANT_INTERVALS_MAX];
    double power_at_0_w[GW_PLANT_INTERVALS_MAX];
    double power_slope_w_k[GW_PLANT_INTERVALS_MAX];
} gw_plant_stage;

typedef struct {
    gw_plant_stage full;
    gw_plant_stage low; // last = −1 when single stage
    double first_degc;  // first and last rating point: outside is extrapolated
    double final_degc;
} gw_plant_mode;

// Built by gw_plant_build; copied freely; no pointers inside.
typedef struct {
    gw_plant_mode heating;
    gw_plant_mode cooling;
    double per_unit; // 1 / units
    double units;    // as double: unit_count
    double cycling_coefficient;
    double blower_power_w;     // one unit, after scaling
    double circulator_power_w; // one unit
    double circulator_heat_frac;
    double hot_water_cop_ratio;
    double min_entering_degc;
    double max_entering_degc;
    double scale;            // factor the catalogue curve was multiplied with
    double rated_flow_m3_s;  // of all units together
    double pressure_drop_pa; // of one unit at its rated flow
} gw_plant;

enum {
    GW_PLANT_EXTRAPOLATED = 1, // entering water outside the rating points
    GW_PLANT_HELD = 2,         // outside even the allowed extrapolation: value held
    GW_PLANT_TOO_COLD = 4,     // below min_entering_degc
    GW_PLANT_TOO_WARM = 8,     // above max_entering_degc
    GW_PLANT_SHORT = 16,       // load above capacity (auxiliary or unmet)
    GW_PLANT_NO_MODE = 32      // no curve for this mode
};

// What one hour does. Powers are hourly means over all units.
typedef struct {
    double ground_w;     // heating: extracted (> 0); cooling: rejected (> 0); of gw_plant_hour:
                         // net extraction, rejection counts negative
    double d_ground_w_k; // derivative of ground_w with entering water
    double compressor_w;
    double d_compressor_w_k;
    double blower_w;
    double circulator_w;
    double auxiliary_w; // heating: electric heat for the rest
    double unmet_w;     // cooling: load not met
    double run_frac;    // mean share of the units' full run, 0 to 1
    unsigned flags;
} gw_plant_flow;

// Loads of one hour, all ≥ 0.
typedef struct {
    double heating_w;
    double cooling_w;
    double hot_water_w; // the part of hot water that the heat pump makes
} gw_plant_loads;

// ---- functions ----------------------------------------------------------------------------------

// Checks the pump and the sizing and makes the table. Errors: GW_ERR_RANGE (field is the path in
// the input, e.g. "pump.heating.points[1].capacity_w"), GW_ERR_MISSING (no heating curve).
gw_status gw_plant_build(const gw_plant_input *input, gw_plant *out, gw_err *err) GW_MUST_USE;

// Checks one catalogued pump only.
gw_status gw_plant_check_pump(const gw_heat_pump *pump, gw_err *err) GW_MUST_USE;

// Total full-stage capacity and COP (compressor + blower) at an entering-water temperature.
typedef struct {
    double capacity_w;
    double power_w; // compressor + blower, all units
    double cop;
} gw_plant_rated;

gw_plant_rated gw_plant_rated_heating(const gw_plant *plant, double entering_degc);
gw_plant_rated gw_plant_rated_cooling(const gw_plant *plant, double entering_degc);

// Hot water: mean power and the share the heat pump makes.
typedef struct {
    double daily_volume_m3;      // 0 to 5
    double cold_degc;            // mains water, 0 to 30
    double hot_degc;             // at the tap, above cold, to 70
    double standby_loss_w;       // of the tank, 0 to 1000
    double heat_pump_share_frac; // of the heat, made by the heat pump: 0 to 1
} gw_plant_hot_water;

typedef struct {
    double mean_w;      // all hot water heat, averaged over the day
    double heat_pump_w; // to be passed as gw_plant_loads.hot_water_w
    double electric_w;  // the rest, from the element in the tank
} gw_plant_hot_water_heat;

// Volume × density × 4186 J/(kg·K) × rise + standby. Errors: GW_ERR_RANGE.
gw_status gw_plant_hot_water_eval(const gw_plant_hot_water *input, gw_plant_hot_water_heat *out,
                                  gw_err *err) GW_MUST_USE;

// EER in Btu/h per W from a cooling COP, and back (1 W = 3.412 141 633 Btu/h).
double gw_plant_eer_from_cop(double cop);
double gw_plant_cop_from_eer(double eer);

#endif
