// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What a loop costs to install and to live with, and what the same house costs otherwise.
#include "design/design_priv.h"

#include <math.h>
#include <string.h>

static const double LOOP_LIFE_YEAR = 50.0; // TRADE: loop warranty (common practice, no source)

static gw_status no_memory(gw_design_priv *d)
{
    return gw_fail(d->err, GW_ERR_NOMEM, NULL, "out of memory in the estimate");
}

// Nominal size in the price book's terms: the pipe nearest in outside diameter.
static const char *pipe_price_key(const gw_pipe_size *pipe)
{
    static const struct {
        double outer_m;
        const char *key;
    } SIZES[] = {{0.0267, "pipe.dn20"}, {0.0334, "pipe.dn25"}, {0.0422, "pipe.dn32"},
                 {0.0483, "pipe.dn40"}, {0.0603, "pipe.dn50"}, {0.0889, "pipe.dn75"}};
    size_t best = 0;
    for (size_t i = 1; i < sizeof SIZES / sizeof SIZES[0]; i++) {
        if (fabs(SIZES[i].outer_m - pipe->outer_diameter_m) <
            fabs(SIZES[best].outer_m - pipe->outer_diameter_m)) {
            best = i;
        }
    }
    return SIZES[best].key;
}

// Pipe of the circuits: one line for each size that a mixed loop has.
static size_t pipe_items(const gw_design_loop *loop, gw_estimate_item *items)
{
    static const char *const ORIGIN = "pipe of all circuits, and 5 % for waste";
    const gw_loop_plan *const plan = &loop->sized.plan;
    if (loop->kind != GW_LOOP_MIXED) {
        const bool well = loop->kind == GW_LOOP_WELL;
        items[0] = (gw_estimate_item){
            .key = pipe_price_key(loop->pipe),
            .amount =
                1.05 * (well ? loop->sized.response.circuit_pipe_m : gw_design_priv_pipe_m(plan)),
            .origin = well ? "lines to the house and back, and 5 % for waste" : ORIGIN};
        return 1;
    }
    size_t count = 0;
    for (size_t i = 0; i < plan->mixed.part_count; i++) {
        const gw_loop_plan part = gw_loop_part(plan, i);
        const char *const key = pipe_price_key(loop->part_pipes[i]);
        size_t at = 0;
        while (at < count && strcmp(items[at].key, key) != 0) {
            at++;
        }
        if (at == count) {
            items[count++] = (gw_estimate_item){.key = key, .origin = ORIGIN};
        }
        items[at].amount += 1.05 * gw_design_priv_pipe_m(&part);
    }
    return count;
}

gw_status gw_design_priv_estimate(gw_design_priv *d, gw_design_loop *loop)
{
    enum { ITEMS = 2 + GW_LOOP_PARTS_MAX };
    gw_estimate_quantities q = {0};
    gw_estimate_item *const items = gw_arena_alloc(d->arena, ITEMS, sizeof *items);
    if (items == NULL) {
        return no_memory(d);
    }
    gw_design_priv_quantities(d, loop, &q);
    size_t count = pipe_items(loop, items);
    if (loop->sized.plan.header_m > 0.0 && loop->kind != GW_LOOP_WELL) {
        items[count++] =
            (gw_estimate_item){.key = pipe_price_key(loop->header),
                               .amount = 1.05 * 2.0 * loop->sized.plan.header_m,
                               .origin = "header, supply and return, and 5 % for waste"};
    }
    if (loop->fluid.kind != GW_FLUID_WATER) {
        const gw_fluid_charge *const c = &loop->hydraulics.charge;
        // Salts are sold as mass: price them by the volume of water they would take.
        const double volume_m3 =
            c->antifreeze_m3 > 0.0 ? c->antifreeze_m3 : c->antifreeze_kg / 1000.0;
        items[count++] = (gw_estimate_item){
            .key = gw_arena_printf(d->arena, "fluid.%s", gw_fluid_kind_id(loop->fluid.kind)),
            .amount = volume_m3,
            .origin = "antifreeze for the whole loop"};
    }
    q.items = items;
    q.item_count = count;
    return gw_estimate_build(d->arena, &d->prices, &q, &loop->estimate, d->err);
}

// ---------------------------------------------------------------- a year of each system

// The ground-source year from the last simulated year, split the way the comparison counts it.
static gw_alternative_known ground_source_year(const gw_design *design, const gw_design_loop *loop)
{
    const gw_loop_energy *const y = &loop->sized.result.last;
    const double machine_j = y->heating_electricity_j - y->auxiliary_j;
    const double all_j = machine_j + y->cooling_electricity_j;
    const double share = all_j > 0.0 ? machine_j / all_j : 1.0;
    const double moving_j = y->blower_j + y->circulator_j;
    return (gw_alternative_known){
        .key = GW_ALTERNATIVE_GROUND_SOURCE,
        .heating_electricity_j = machine_j - share * moving_j + y->auxiliary_j +
                                 design->hot_water_electric_w * GW_YEAR_S,
        .cooling_electricity_j = y->cooling_electricity_j - (1.0 - share) * moving_j,
        .fan_pump_electricity_j = moving_j,
        .capital = &loop->estimate.total.typical,
    };
}

gw_status gw_design_priv_air_source(gw_design_priv *d)
{
    gw_design *const design = d->design;
    const gw_air_source unit = gw_air_source_cold_climate(fmax(design->house.loss_w, 1000.0));
    double *const heat_w = gw_arena_alloc(d->arena, GW_HOURS_PER_YEAR, sizeof *heat_w);
    if (heat_w == NULL) {
        return no_memory(d);
    }
    for (size_t h = 0; h < GW_HOURS_PER_YEAR; h++) {
        heat_w[h] = design->loads.heating_w[h] +
                    (design->hot_water_w != NULL ? design->hot_water_w[h] : 0.0);
    }
    const gw_air_source_year year = {.outdoor_degc = design->weather->dry_bulb_degc,
                                     .heating_w = heat_w,
                                     .cooling_w = design->plant_cooling_w,
                                     .hours = GW_HOURS_PER_YEAR};
    gw_alternative row;
    gw_status st = gw_air_source_run(&unit, &year, NULL, &design->air_source, d->err);
    if (st == GW_OK) {
        st = gw_alternative_find(&d->alternatives, GW_ALTERNATIVE_AIR_SOURCE, &row, d->err);
    }
    if (st == GW_OK) {
        d->air_source = gw_alternative_from_air_source(&row, &design->air_source);
    }
    return st;
}

gw_status gw_design_priv_alternatives(gw_design_priv *d, gw_design_loop *loop,
                                      gw_alternative_table *table)
{
    gw_design *const design = d->design;
    const gw_alternative_known known[2] = {ground_source_year(design, loop), d->air_source};
    const gw_loop_energy *const y = &loop->sized.result.last;
    const double tank_j = design->hot_water_electric_w * GW_YEAR_S;
    const gw_alternative_input input = {
        .need = {.heating_j = y->heating_j + y->hot_water_j + tank_j,
                 .cooling_j = y->cooling_j + y->unmet_j,
                 .design_heating_w = design->house.loss_w,
                 .design_cooling_w = design->house.gain_w + design->house.latent_gain_w},
        .fuels = &design->fuels,
        .grid = &design->grid,
        .alternatives = d->alternatives.items,
        .count = d->alternatives.count,
        .known = known,
        .known_count = 2,
    };
    return gw_alternative_compare(d->arena, &input, table, d->err);
}

// ---------------------------------------------------------------- life cycle

static const gw_alternative_year *row_of(const gw_alternative_table *table, const char *key)
{
    for (size_t i = 0; i < table->count; i++) {
        if (strcmp(table->rows[i].key, key) == 0) {
            return &table->rows[i];
        }
    }
    return NULL;
}

enum { PLAN_PARTS = 2, PLAN_FLOWS = 2 };

typedef struct {
    gw_life_cycle_part parts[PLAN_PARTS];
    gw_life_cycle_flow flows[PLAN_FLOWS];
    gw_life_cycle_plan plan;
} cost_plan;

static void plan_flows(const gw_design_priv *d, const gw_alternative_year *row, cost_plan *out)
{
    const gw_job_money *const m = &d->input->job->money;
    const bool electric = strcmp(row->fuel_unit, "kWh") == 0;
    out->flows[0] = (gw_life_cycle_flow){
        .name = "energy",
        .per_year = row->energy_cost,
        .escalation_frac = electric ? m->electricity_escalation_frac : m->fuel_escalation_frac,
        .energy = true};
    out->flows[1] = (gw_life_cycle_flow){.name = "maintenance", .per_year = row->maintenance};
    out->plan = (gw_life_cycle_plan){.horizon_year = m->study_year,
                                     .discount_frac = m->discount_frac,
                                     .parts = out->parts,
                                     .part_count = PLAN_PARTS,
                                     .flows = out->flows,
                                     .flow_count = PLAN_FLOWS};
}

gw_status gw_design_priv_life_cycle(gw_design_priv *d, gw_design_loop *loop,
                                    const gw_alternative_table *table)
{
    const gw_job_money *const m = &d->input->job->money;
    const gw_alternative_year *const own = row_of(table, GW_ALTERNATIVE_GROUND_SOURCE);
    const gw_alternative_year *const base = row_of(table, m->compare_with);
    if (own == NULL || base == NULL) {
        return gw_fail(d->err, GW_ERR_KEY, "money.compare_with",
                       "the comparison has no \"%s\" to hold the loop against", m->compare_with);
    }
    loop->electricity_year = own->energy_cost;
    gw_money ground = {0};
    const gw_status scaled = gw_money_scale(
        loop->estimate.total.typical, gw_estimate_ground_share(&loop->estimate), &ground, d->err);
    if (scaled != GW_OK) {
        return scaled;
    }
    const gw_money indoors = gw_money_subtract(loop->estimate.total.typical, ground);
    cost_plan with = {
        .parts = {{.name = "loop", .cost = ground, .life_year = LOOP_LIFE_YEAR},
                  {.name = "equipment indoors", .cost = indoors, .life_year = own->life_year}}};
    cost_plan without = {
        .parts = {{.name = base->name, .cost = base->capital, .life_year = base->life_year}}};
    plan_flows(d, own, &with);
    plan_flows(d, base, &without);
    without.plan.part_count = 1;
    with.plan.heat_j_per_year =
        loop->sized.result.last.heating_j + loop->sized.result.last.hot_water_j;
    without.plan.heat_j_per_year = with.plan.heat_j_per_year;
    gw_status st = gw_life_cycle_cost(&with.plan, &loop->life_cycle, d->err);
    if (st == GW_OK) {
        st = gw_life_cycle_compare(&without.plan, &with.plan, &loop->against, d->err);
    }
    return st;
}
