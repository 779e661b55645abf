// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The steps of the design procedure, in the order in which design.c calls them. Each fills its part
// of the design and reads only what earlier steps filled.
#ifndef GW_DESIGN_PRIV_H
#define GW_DESIGN_PRIV_H

#include "design/design.h"
#include "plant/catalogue.h"

// Tables and choices that the steps share and that are no part of the result.
typedef struct {
    gw_arena *arena;
    const gw_design_input *input;
    gw_design *design;
    gw_fluid_table fluids;
    gw_pipe_catalogue pipes;
    gw_price_book prices;
    gw_alternative_list alternatives;
    gw_alternative_known air_source; // its year, the same beside every loop
    gw_plant_input plant;            // complete but for the circulator
    gw_err *err;
} gw_design_priv;

gw_status gw_design_priv_climate(gw_design_priv *d);
gw_status gw_design_priv_house(gw_design_priv *d);
gw_status gw_design_priv_plant(gw_design_priv *d);
gw_status gw_design_priv_fluid(gw_design_priv *d);
gw_status gw_design_priv_ground(gw_design_priv *d);
gw_status gw_design_priv_tables(gw_design_priv *d);

// The house's year with an air-source heat pump; after house and plant.
gw_status gw_design_priv_air_source(gw_design_priv *d);

// Sizes a loop by its plan, with circulator and ice, and works out its hydraulics.
gw_status gw_design_priv_size(gw_design_priv *d, gw_design_loop *loop, const gw_loop_plan *plan);

// What carries heat around a kind of loop.
const gw_loop_ground *gw_design_priv_ground_of(const gw_design *design, gw_loop_kind kind);

// Head, pump and filling of the loop as sized; of a mixed loop also each part's share of the flow.
gw_status gw_design_priv_hydraulics(gw_design_priv *d, gw_design_loop *loop, double flow_m3_s,
                                    double flow_frac[static GW_LOOP_PARTS_MAX]);

// The pond's water and what the loop does to it. Start: the pond as it is. Feed: with the heat of
// the loop as just sized; *moved_k is how far the coldest water moved.
gw_status gw_design_priv_pond_start(gw_design_priv *d, gw_design_loop *loop,
                                    const gw_pond_plan *pond, gw_loop_pond *water);
gw_status gw_design_priv_pond_feed(gw_design_priv *d, gw_design_loop *loop, gw_loop_pond *water,
                                   double *moved_k);

// The trade's rules, held against the pond as it turned out.
gw_status gw_design_priv_pond_rules(gw_design_priv *d, gw_design_loop *loop);

// Flow, levels and pump of an open well for the year just simulated.
gw_status gw_design_priv_well(gw_design_priv *d, gw_design_loop *loop);

// Length of a handbook beside the sized one.
gw_status gw_design_priv_handbook(gw_design_priv *d, gw_design_loop *loop);

// Sizes loop `index`, lays it against the lot and works out its handbook length.
gw_status gw_design_priv_loop(gw_design_priv *d, size_t index);

// What has to be dug, drilled, sunk and bought for it.
void gw_design_priv_quantities(gw_design_priv *d, const gw_design_loop *loop,
                               gw_estimate_quantities *q);

// Pipe of all circuits of a loop or part, waste not counted.
double gw_design_priv_pipe_m(const gw_loop_plan *part);

// Its installed cost.
gw_status gw_design_priv_estimate(gw_design_priv *d, gw_design_loop *loop);

// What the house costs a year with each system, with this loop as the ground-source one; the table
// is written to *table. Then the loop's life-cycle cost and its comparison with the present system.
gw_status gw_design_priv_alternatives(gw_design_priv *d, gw_design_loop *loop,
                                      gw_alternative_table *table);
gw_status gw_design_priv_life_cycle(gw_design_priv *d, gw_design_loop *loop,
                                    const gw_alternative_table *table);

// Verdicts of one loop while they are collected.
typedef struct {
    gw_design_priv *d;
    gw_verdict *items;
    size_t count;
} gw_design_bench;

void gw_design_priv_add(gw_design_bench *bench, gw_verdict verdict);
// Guidelines and handbooks; then what a pond, an open well or a trench is asked besides.
void gw_design_priv_plausible(gw_design_bench *bench, const gw_design_loop *loop);
void gw_design_priv_judge_kind(gw_design_bench *bench, const gw_design_loop *loop);

gw_status gw_design_priv_verdicts(gw_design_priv *d, gw_design_loop *loop);
gw_status gw_design_priv_cautions(gw_design_priv *d);

// Sizes a loop where it can lie on the job's lot; without a lot, gw_design_priv_size.
gw_status gw_design_priv_size_on_lot(gw_design_priv *d, gw_design_loop *loop,
                                     const gw_loop_plan *plan);

// What the loop does to the ground at the things on the lot. Nothing without a lot.
gw_status gw_design_priv_neighbours(gw_design_priv *d, gw_design_loop *loop);

// Adds the verdicts of lot and neighbours to the loop's.
gw_status gw_design_priv_judge_lot(gw_design_priv *d, gw_design_loop *loop);

// Appends a warning of the design.
gw_status gw_design_priv_warn(gw_design_priv *d, const char *field, const char *fmt, ...)
    GW_PRINTF(3, 4);

// A built-in table by name.
gw_status gw_design_priv_table(gw_design_priv *d, const char *name, gw_table *out);

#endif
