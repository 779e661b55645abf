// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Pond loops: bundles of pipe on the bottom of a pond, and the pond's own heat through the year.
//
// It knows no hydraulics and no heat pump. It does not model streams, salt water, waves or
// weeds, and it takes the snow on the ice as given. A pond is one column of water: the same at
// one depth everywhere.
//
// Method: docs/methods/loop-pond.md.
//  - Pipe to water: natural convection about a horizontal cylinder, Churchill & Chu 1975, with the
//    buoyancy by water's own density, which turns about 4 °C: where the film passes 4 °C on its
//    way the densest water in it is taken as what moves (the two-way flow may carry less).
//  - Pond: layers with eddy diffusion after Henderson-Sellers 1985 as used by Hostetler & Bartlein
//    1990, mixing of unstable layers by density, sun, long-wave, evaporation and convection at the
//    surface, sediment below, inflow; ice as a slab by a quasi-steady heat balance with latent
//    heat. Heat is conserved to rounding: the balance is in the result.
//
//   gw_pond_water water;
//   st = gw_pond_water_init(&fluids, &water, err);
//   st = gw_pond_check(&pond, 0.0267, err);
//   st = gw_pond_simulate(arena, &run, &year, err);         // hourly water at the coils
//   st = gw_pond_resistance(&water, &coil, &at, &film, err); // fluid = pond − q R
//   st = gw_pond_judge(&rules, &case, verdicts, &count, err);
#ifndef GW_LOOP_POND_H
#define GW_LOOP_POND_H

#include "base/arena.h"
#include "base/err.h"
#include "base/table.h"
#include "climate/weather.h"
#include "fluid/fluid.h"

#include <stdbool.h>
#include <stddef.h>

typedef struct {
    double area_m2;      // of the surface in the driest, coldest time; 50 to 1e6
    double depth_m;      // deepest, in that time; 0.5 to 30
    double mean_depth_m; // volume over area, or 0: half the depth; a third of depth to the depth
    double coil_depth_m; // of the coils' axis below the surface; ≥ 0.3, or 0: 0.45 m off the bottom
    size_t bundles;      // coils; 1 to 200
    double bundle_m;     // pipe of each; 10 to 500, or 0: to be found
    double spacing_m;    // clear water between bundles; 0 to 20
    const char *pipe;    // id of the pipe size
    bool moving_water;   // stream, flood or strong current
    double inflow_m3_s; // yearly mean from springs and brooks, leaves again at the surface; ≥ 0
    double inflow_degc; // its temperature; 0 to 25
    double snow_m;      // mean depth of snow on the ice in winter; 0 to 1
    double clearness_m; // Secchi depth, to which a white plate can be seen; 0.2 to 15
} gw_pond_plan;

// ---- water --------------------------------------------------------------------------------

enum { GW_POND_WATER_NODES = 161 }; // every 0.25 K from 0 to 40 °C

// Water of 0 to 40 °C for quick use, linear between nodes.
typedef struct {
    double density_kg_m3[GW_POND_WATER_NODES];
    double heat_j_kgk[GW_POND_WATER_NODES];
    double conductivity_w_mk[GW_POND_WATER_NODES];
    double viscosity_pa_s[GW_POND_WATER_NODES];
} gw_pond_water;

gw_status gw_pond_water_init(const gw_fluid_table *fluids, gw_pond_water *out,
                             gw_err *err) GW_MUST_USE;

// Outside 0 to 40 °C the value at the end.
double gw_pond_water_density(const gw_pond_water *water, double degc);

// ---- pipe to water --------------------------------------------------------------------------

// Nusselt number of a horizontal cylinder, Churchill & Chu 1975, Int. J. Heat Mass Transfer
// 18:1049, eq. 10. Rayleigh 0 to 1e12; 0 gives 0.36.
double gw_pond_nusselt(double rayleigh, double prandtl);

typedef struct {
    double outer_diameter_m;
    double inner_diameter_m;
    double conductivity_w_mk;
    double inner_film_w_m2k; // of the fluid in the pipe
} gw_pond_pipe;

typedef struct {
    double water_degc; // about the coil, 0 to 40
    double heat_w_m;   // taken from the water per metre of pipe; negative when given to it
} gw_pond_moment;

typedef struct {
    double total_mk_w;   // mean fluid to water, per metre of pipe
    double outside_mk_w; // the water's share of it
    double wall_degc;    // of the pipe's outer surface
    double fluid_degc;   // mean of the fluid
    double rayleigh;     // about the pipe
    double nusselt;      // of it
    double film_w_m2k;   // outside
    bool ice;            // the surface would be below 0 °C: ice grows on the pipe
} gw_pond_film;

// Mean fluid = water − heat × total. Errors: GW_ERR_RANGE.
gw_status gw_pond_resistance(const gw_pond_water *water, const gw_pond_pipe *pipe,
                             const gw_pond_moment *at, gw_pond_film *out, gw_err *err) GW_MUST_USE;

// ---- the pond's year ------------------------------------------------------------------------

typedef struct {
    const gw_pond_plan *pond;
    const gw_weather *weather;
    const gw_pond_water *water;
    double ground_degc;   // yearly mean of the ground about the pond
    const double *heat_w; // [8760] taken from the water, negative when given to it; or NULL
    size_t years;         // of which the last is given; 2 to 20
} gw_pond_run;

// Heat into water and ice over the last year, J.
typedef struct {
    double sun_j;         // absorbed
    double longwave_j;    // net
    double evaporation_j; // ≤ 0 but for dew
    double convection_j;
    double sediment_j;
    double inflow_j;   // brought in minus carried out
    double coils_j;    // minus what the loop took
    double stored_j;   // what the pond has more at the end, ice counted by its latent heat
    double residual_j; // stored minus the sum of the others: rounding only
} gw_pond_balance;

typedef struct {
    double *coil_degc;    // [8760] water at the coils, mean over the hour
    double *surface_degc; // [8760] water at the surface (under ice: below it)
    double *ice_m;        // [8760]
    double coldest_degc;  // of coil_degc
    size_t coldest_hour;
    double warmest_degc;
    double thickest_ice_m;
    size_t ice_hours;
    double evaporated_m; // water lost in the year
    gw_pond_balance balance;
} gw_pond_year;

// Errors: GW_ERR_RANGE (field named below "pond."), GW_ERR_NOMEM, GW_ERR_CAPACITY (the loop
// freezes the pond to the coils: names the day).
gw_status gw_pond_check(const gw_pond_plan *pond, double pipe_diameter_m, gw_err *err) GW_MUST_USE;

// Of the coils' axis, as planned or by the rule for where nothing is said.
double gw_pond_coil_depth_m(const gw_pond_plan *pond);

gw_status gw_pond_simulate(gw_arena *arena, const gw_pond_run *run, gw_pond_year *out,
                           gw_err *err) GW_MUST_USE;

// ---- is it big enough -----------------------------------------------------------------------

// One row of data/pond_rules.csv, held against the pond.
typedef struct {
    const char *id;
    const char *text;   // one sentence for the reader
    const char *source; // of the limit
    double value;       // of this pond, in the unit of the rule
    double limit;
    const char *unit;
    bool least; // the limit is a lower one
    bool holds;
    bool refuses; // a breach rules the loop out; else it is a warning
} gw_pond_verdict;

enum { GW_POND_RULES_MAX = 16 };

typedef struct {
    const gw_pond_plan *pond;
    double capacity_w;           // of the heat pumps in heating, for the rules per ton; > 0
    const gw_pond_year *without; // undisturbed year, or NULL
    const gw_pond_year *with;    // with the loop's heat, or NULL
} gw_pond_case;

// Verdicts in the table's order; what needs a simulated year is left out without one. Errors:
// GW_ERR_KEY (a rule this version does not know), those of the table.
gw_status gw_pond_judge(const gw_table *rules, const gw_pond_case *about,
                        gw_pond_verdict verdicts[static GW_POND_RULES_MAX], size_t *count,
                        gw_err *err) GW_MUST_USE;

#endif
