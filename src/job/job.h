// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The job document: what a designer knows and decides about one house, as one JSON text.
//
// It computes nothing and opens no file: names of files are handed on. The parts are the input
// structures of the rooms that use them; what belongs to no room (site, choices among built-in
// rows, money) is here. Quantities are SI; in the text they may carry a unit ("300 ft"). Every key
// is described in docs/job.md and docs/job.schema.json, both made from the tables that read it.
//
// What is left out gets a stated default, listed in gw_job.defaults. A quantity that has none is
// GW_FORM_NOT_GIVEN (structures of this room) or what its own room takes for "not given".
//
//   gw_units *units = gw_units_create(&err);
//   const gw_job_source source = {.arena = arena, .units = units, .text = text, .length = n};
//   gw_form_report report;
//   const gw_job *job;
//   if (gw_job_read(&source, &job, &report, &err) != GW_OK) { …every report.errors.items[i]… }
#ifndef GW_JOB_H
#define GW_JOB_H

#include "base/arena.h"
#include "base/err.h"
#include "base/quantity.h"
#include "climate/station.h"
#include "fluid/fluid.h"
#include "house/bills.h"
#include "house/house.h"
#include "job/form.h"
#include "loop/plan.h"
#include "lot/setback.h"
#include "lot/usable.h"
#include "money/program.h"
#include "money/tariff.h"
#include "plant/plant.h"
#include "soil/soil.h"

enum { GW_JOB_FORMAT = 1 };

// ---- site ---------------------------------------------------------------------------------------

// Own climate values hold over those of the station; without a station the required ones are given.
typedef struct {
    const char *station;             // id in data/stations.csv, or NULL
    const char *weather_file;        // path of an hourly file (EPW), or NULL; not opened here
    double latitude_deg;             // this and the following: GW_FORM_NOT_GIVEN = the station's
    double longitude_deg;            //
    double elevation_m;              //
    double timezone_h;               //
    const double *monthly_mean_degc; // [12] or NULL
    size_t month_count;              // 12 or 0
    double heating_design_degc;      //
    double cooling_design_degc;      //
    double daily_range_k;            //
    double ground_mean_degc;         //
    double ground_amplitude_k;       //
    double ground_phase_day;         //
    double usable_length_m;          // free ground for bores or trenches; GW_FORM_NOT_GIVEN
    double usable_width_m;           //
    double entry_distance_m;         // from that ground to the house
} gw_job_site;

// ---- lot ----------------------------------------------------------------------------------------

typedef enum {
    GW_JOB_ANY_LOOP,
    GW_JOB_ONE_LOOP, // and on: GW_JOB_ONE_LOOP + gw_lot_loop
} gw_job_setback_loop;

// A distance of the job's own, over those of the jurisdiction.
typedef struct {
    gw_lot_kind kind;         // GW_LOT_PROPERTY_LINE for the boundary
    const char *feature;      // id of one feature of the kind, or NULL: all of them
    const char *variant;      // or NULL: any
    gw_job_setback_loop loop; //
    double distance_m;        //
    double raise_factor;      //
    const char *source;       // or NULL
} gw_job_setback;

typedef enum {
    GW_JOB_NEAR_HOUSE, // at the wanted spacing, near the house
    GW_JOB_FAR_APART,  // as far apart as the ground allows
} gw_job_spread;

// A lane laid by hand for one loop of the job.
typedef struct {
    const char *loop; // its name
    gw_lot_point from, to;
} gw_job_lane;

// Where a loop may lie. Everything in local metres, x east, y north; places of bores are in the
// same frame.
typedef struct {
    gw_lot_path boundary;           // as written; `lot` has it with its ring closed
    const gw_lot_feature *features; // [feature_count] likewise
    size_t feature_count;           //
    gw_lot lot;                     // what everything else works with: rings are closed
    const char *jurisdiction;       // in data/setbacks.csv
    const gw_job_setback *setbacks; // [setback_count]
    size_t setback_count;           //
    gw_lot_point entry;             // where the pipes enter the house
    const gw_lot_rig *rig;          // NULL: access is not looked at
    gw_job_spread spread;           // of bores without places
    const gw_job_lane *lanes;       // [lane_count] laid by hand
    size_t lane_count;
} gw_job_lot;

// ---- bills
// ----------------------------------------------------------------------------------------

typedef struct {
    gw_date date;
    double quantity; // units of fuel
    bool partial;
} gw_job_bill;

typedef struct {
    const char *fuel; // key in data/fuels.csv
    double energy_j;  // per unit of it, gross; from that row
    gw_bills_kind kind;
    double efficiency_frac;
    const gw_job_bill *list; // [count] in order of date
    size_t count;
    double balance_degc; // GW_FORM_NOT_GIVEN: fitted
    double base_w;       // likewise
} gw_job_bills;

// ---- plant --------------------------------------------------------------------------------------

typedef struct {
    gw_plant_hot_water use;
    double cop_ratio; // gw_plant_input.hot_water_cop_ratio
} gw_job_hot_water;

typedef struct {
    const char *heat_pump;             // id in data/heat_pumps.csv, or NULL when `own` is given
    const gw_heat_pump *own;           // rating points typed into the job, or NULL
    int unit_count;                    //
    double share_of_design_loss;       // 0: the curve as it is
    double cycling_coefficient;        //
    double circulator_power_w;         // of one unit; GW_FORM_NOT_GIVEN = from the pipes' head
    double circulator_heat_frac;       //
    double flow_m3_s;                  // of all units; GW_FORM_NOT_GIVEN = their rated flow
    const gw_job_hot_water *hot_water; // NULL: not made by this plant
} gw_job_plant;

// ---- ground -------------------------------------------------------------------------------------

// A class, its values replaced by those given (GW_FORM_NOT_GIVEN otherwise); or no class and at
// least conductivity and volumetric heat.
typedef struct {
    const char *soil_class; // id in data/soils.csv, or NULL
    gw_soil_level level;
    double conductivity_w_mk;
    double volumetric_heat_j_m3k;
    double frozen_conductivity_w_mk;
    double frozen_volumetric_heat_j_m3k;
    double latent_heat_j_m3;
} gw_job_soil;

typedef struct {
    double thickness_m;
    gw_job_soil soil;
} gw_job_layer;

typedef enum { GW_JOB_DRILL_SOFT_ROCK, GW_JOB_DRILL_HARD_ROCK } gw_job_drilling;

typedef struct {
    gw_job_soil soil;           // around trenches, and around bores where nothing else is given
    const gw_job_soil *rock;    // around bores, or NULL
    const gw_job_layer *layers; // around bores, from the surface down; or NULL
    size_t layer_count;
    gw_job_drilling drilling; // for the price below the overburden
} gw_job_ground;

// ---- fluid and pipes ----------------------------------------------------------------------------

typedef struct {
    gw_fluid_kind kind;
    double freeze_point_degc; // wanted; GW_FORM_NOT_GIVEN when mass_frac is given
    double mass_frac;         // GW_FORM_NOT_GIVEN when freeze_point_degc is given
} gw_job_fluid;

typedef struct {
    const char *header_pipe;   // id in data/pipes.csv
    double wire_to_water_frac; // of the circulator
} gw_job_pipes;

// ---- money --------------------------------------------------------------------------------------

typedef struct {
    const char *fuel; // key in data/fuels.csv
    double price;     // per unit as sold
} gw_job_fuel_price;

// A period by months of the year instead of bits.
typedef struct {
    const char *name;
    double price_per_kwh;
    int from_month; // 1 to 12
    int to_month;   // included; less than from_month runs over the turn of the year
    gw_tariff_days days;
    int from_hour;
    int to_hour;
} gw_job_tariff_period;

typedef struct {
    gw_tariff tariff; // complete; periods filled in from the list below
    gw_job_tariff_period periods[GW_TARIFF_PERIODS_MAX];
    size_t period_count;
} gw_job_tariff;

typedef struct {
    const char *price_book;           // path of the firm's own book, or NULL: the built-in one
    const char *grid;                 // key in data/grid.csv
    double electricity_price_per_kwh; // GW_FORM_NOT_GIVEN: that of data/fuels.csv
    const gw_job_tariff *tariff;      // or NULL: the flat price
    const gw_job_fuel_price *fuel_prices;
    size_t fuel_price_count;
    const char *compare_with; // key in data/alternatives.csv: the present system
    double discount_frac;     // real, per year
    double electricity_escalation_frac;
    double fuel_escalation_frac;
    int study_year;
    const gw_program *programs;
    size_t program_count;
    gw_program_case work; // dates and sign-offs; cost and performance are the design's
} gw_job_money;

// ---- the job ------------------------------------------------------------------------------------

typedef struct {
    int format;         // GW_JOB_FORMAT
    const char *schema; // "$schema" as found, or NULL; ignored
    const char *name;
    const char *notes;    // or NULL
    const char *currency; // symbol or code as printed
    gw_job_site site;
    const gw_job_lot *lot;     // or NULL: site says how much free ground there is
    const gw_job_bills *bills; // or NULL
    gw_house house;            // its hot water follows from plant.hot_water
    gw_job_plant plant;
    gw_job_ground ground;
    gw_job_fluid fluid;
    gw_job_pipes pipes;
    gw_loop_limits limits;
    const gw_loop_plan *loops; // [loop_count], at least one
    size_t loop_count;
    gw_job_money money;
    // How it was read:
    const gw_form_default *defaults; // [default_count]
    size_t default_count;
    gw_form_given given; // which members stood in the text
} gw_job;

typedef struct {
    gw_arena *arena;
    gw_units *units;
    const char *text; // need not be NUL-terminated
    size_t length;
} gw_job_source;

// Reads and checks a job; it lives in the arena. The report holds every error and warning, also
// when GW_OK is returned (then warnings only). Errors: the first of them, GW_ERR_NOMEM.
gw_status gw_job_read(const gw_job_source *source, const gw_job **out, gw_form_report *report,
                      gw_err *err) GW_MUST_USE;

// The job as text: what was given, and what differs from leaving it out. Reading it again gives the
// same job. In a copy of the struct, or one made by program, what equals its default is left out.
gw_status gw_job_write(gw_arena *arena, const gw_job *job, const char **out,
                       gw_err *err) GW_MUST_USE;

// JSON Schema and Markdown description of the document.
gw_status gw_job_schema(gw_arena *arena, const char **out, gw_err *err) GW_MUST_USE;
gw_status gw_job_docs(gw_arena *arena, const char **out, gw_err *err) GW_MUST_USE;

// The lot's own rules as the lot room reads them, in the arena. Errors: GW_ERR_NOMEM.
gw_status gw_job_lot_rules(gw_arena *arena, const gw_job_lot *lot, gw_lot_rules *out,
                           gw_err *err) GW_MUST_USE;

// The table behind all of them.
const gw_form *gw_job_form(void);

// Puts the job's own values over those of a station, or of a soil class.
void gw_job_apply_climate(const gw_job_site *site, gw_station *station);
void gw_job_apply_soil(const gw_job_soil *own, gw_soil *soil);

// Was this quantity given (or settled), or is it GW_FORM_NOT_GIVEN?
bool gw_job_is_given(double value);

#endif
