// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The whole order: a job in, a design out.
//
// This is the only room that knows every other physics room. It is pure: same job and same
// weather give the same design, whatever the number of threads; it opens no file, reads no clock
// and prints nothing. Numbers it cannot stand behind come with a verdict or a warning beside them.
//
//   gw_design_input input = {.job = job};
//   const gw_design *design;
//   st = gw_design_run(arena, &input, &design, &err);
//   design->loops[design->best].sized.plan.bores.depth_m
#ifndef GW_DESIGN_H
#define GW_DESIGN_H

#include "base/arena.h"
#include "base/err.h"
#include "base/quantity.h"
#include "climate/weather.h"
#include "design/on_lot.h"
#include "fluid/fluid.h"
#include "house/design_load.h"
#include "house/hourly_load.h"
#include "job/job.h"
#include "loop/frozen.h"
#include "loop/size.h"
#include "money/alternative.h"
#include "money/estimate.h"
#include "money/life_cycle.h"
#include "pipes/circuit.h"
#include "plant/plant.h"

typedef struct {
    const gw_job *job;
    const gw_weather *weather;       // hourly file, read by the caller; NULL: made from the normals
    const gw_price_book *price_book; // the firm's own, read by the caller; NULL: the built-in one
} gw_design_input;

// ---- verdicts -----------------------------------------------------------------------------------

typedef enum {
    GW_VERDICT_HOLDS,
    GW_VERDICT_CAUTION, // thin margin, or outside what is usual
    GW_VERDICT_FAILS,
} gw_verdict_state;

// "holds", "mind this", "FAILS".
const char *gw_verdict_word(gw_verdict_state state);

typedef enum { GW_LIMIT_NONE, GW_LIMIT_AT_LEAST, GW_LIMIT_AT_MOST } gw_limit_side;

typedef struct {
    gw_verdict_state state;
    const char *what;      // "coldest entering water"
    gw_quantity_kind kind; // of the two numbers
    double found;
    gw_limit_side side;
    double limit;        // when side is not NONE
    const char *because; // one sentence
} gw_verdict;

typedef struct {
    const gw_verdict *items;
    size_t count;
    gw_verdict_state worst;
} gw_verdict_list;

// ---- one loop -----------------------------------------------------------------------------------

// A handbook's length beside the sized one, in the same terms (response.length_m): plausibility.
typedef struct {
    double length_m;     // 0 when nothing applies
    const char *what;    // "three-pulse length for bores far apart"
    double least_frac;   // sized over handbook: below this it is worth a look; 0 = no such bound
    double bore_mk_w;    // of the three-pulse formula
    const char *why_not; // when nothing applies
} gw_design_handbook;

// What only a pond loop has. Years live in the design's arena.
typedef struct {
    gw_pond_year without; // the pond as it is
    gw_pond_year with;    // with the loop's heat; not set when `refused`
    const char *refused;  // the pond freezes to the coils: says when
    gw_pond_verdict rules[GW_POND_RULES_MAX];
    size_t rule_count;
} gw_design_pond;

// What only an open well has.
typedef struct {
    gw_well_demand demand;
    gw_well_answer answer;
    gw_well_quality quality[GW_WELL_RULES_MAX];
    size_t quality_count;
} gw_design_well;

typedef struct {
    const char *name;
    gw_loop_kind kind;
    const gw_pipe_size *pipe;                          // of the circuits
    const gw_pipe_size *part_pipes[GW_LOOP_PARTS_MAX]; // of a mixed loop's
    const gw_pipe_size *header;
    gw_fluid_mix fluid; // the job's; plain water in an open well
    double freeze_degc; // of it
    gw_plant plant;     // with this loop's own circulator
    gw_loop_sized sized;
    const gw_design_pond *pond;   // when kind is GW_LOOP_POND, else NULL
    const gw_design_well *well;   // when kind is GW_LOOP_WELL, else NULL
    size_t horizons;              // simulated while sizing, all rounds
    bool freezes;                 // the ground at the pipes does, and the sizing counts it
    bool freezes_uncounted;       // it does (coils, mixed loops), and the sizing leaves ice out
    gw_loop_frozen frozen;        // when it does
    double unfrozen_coldest_degc; // what line sources alone would have said, at
    double unfrozen_length_m;     // the length they would have asked for
    double entering_fluid_degc;   // that resistances and head were worked out at
    gw_circuit_result hydraulics;
    double circulator_w;  // electrical, all units, while running
    double land_length_m; // ground taken up
    double land_width_m;
    bool fits_lot;
    gw_design_handbook handbook;
    gw_estimate estimate;
    gw_money electricity_year; // for heating, hot water and cooling, last year
    gw_life_cycle_result life_cycle;
    gw_life_cycle_comparison against; // the present system
    const gw_design_on_lot *on_lot;   // where it lies; NULL when the job describes no lot
    gw_design_neighbours neighbours;  // what it does to the things on it
    gw_verdict_list verdicts;
    bool stands; // sized, fits the lot, no verdict fails
} gw_design_loop;

// ---- the design ---------------------------------------------------------------------------------

typedef struct {
    const gw_job *job;
    const gw_station *station; // with the job's own values put over it
    const gw_weather *weather;
    bool weather_made; // from the normals, not from a file
    gw_house_conditions conditions;
    gw_house_design_result house;
    gw_house_load_year loads;
    const double *plant_cooling_w; // [8760] with the latent allowance
    const double *hot_water_w;     // [8760] or NULL
    double hot_water_electric_w;   // made by the tank's own element
    const gw_heat_pump *heat_pump;
    gw_fluid_mix fluid;
    const gw_fluid_data *fluid_data;
    double freeze_degc;
    gw_loop_ground bore_ground;
    gw_loop_ground trench_ground;
    gw_design_loop *loops; // [loop_count], in the job's order
    size_t loop_count;
    size_t best; // least life-cycle cost of those that stand; loop_count: none
    gw_fuel_table fuels;
    gw_grid grid;
    gw_alternative_table alternatives; // for the best loop (or the first)
    gw_air_source_result air_source;
    gw_err_list warnings;
    const char *const *cautions; // [caution_count]
    size_t caution_count;
} gw_design;

// Errors: those of the rooms with the job's path as field; GW_ERR_CAPACITY when no loop of the job
// stands: the design is still returned, complete, so that it can be shown why.
gw_status gw_design_run(gw_arena *arena, const gw_design_input *input, const gw_design **out,
                        gw_err *err) GW_MUST_USE;

// The design as JSON text (format in docs/design-json.md). Errors: GW_ERR_NOMEM.
gw_status gw_design_write_json(gw_arena *arena, const gw_design *design, const char **out,
                               gw_err *err) GW_MUST_USE;

#endif
