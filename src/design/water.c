// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What a loop in water needs besides its sizing: the pond's year with the loop's heat in it, and
// flow, levels and pump of an open well.
#include "design/design_priv.h"

#include <math.h>
#include <string.h>

enum { POND_YEARS = 3 }; // the last counts; the first ones settle the sediment

static gw_status no_memory(gw_design_priv *d)
{
    return gw_fail(d->err, GW_ERR_NOMEM, NULL, "out of memory in the design");
}

// ---------------------------------------------------------------- pond

static gw_pond_run pond_run(const gw_design_priv *d, const gw_pond_plan *pond,
                            const gw_loop_pond *water)
{
    return (gw_pond_run){.pond = pond,
                         .weather = d->design->weather,
                         .water = water->properties,
                         .ground_degc = d->design->station->ground_mean_degc,
                         .years = POND_YEARS};
}

// A pond that freezes to the bundles is an answer, not an error: the water stays as it was.
static gw_status pond_year(gw_design_priv *d, const gw_pond_run *run, gw_design_pond *pond,
                           gw_pond_year *out)
{
    gw_err why = {0};
    const gw_status st = gw_pond_simulate(d->arena, run, out, &why);
    if (st == GW_ERR_CAPACITY) {
        pond->refused = gw_arena_strdup(d->arena, why.text);
        return pond->refused != NULL ? GW_OK : no_memory(d);
    }
    return st == GW_OK ? GW_OK : gw_fail(d->err, st, why.field, "%s", why.text);
}

// A pond that freezes to the bundles without any loop: water at 0 °C all year.
static gw_status frozen_solid(gw_design_priv *d, gw_pond_year *out)
{
    out->coil_degc = gw_arena_alloc(d->arena, GW_HOURS_PER_YEAR, sizeof *out->coil_degc);
    return out->coil_degc != NULL ? GW_OK : no_memory(d);
}

gw_status gw_design_priv_pond_start(gw_design_priv *d, gw_design_loop *loop,
                                    const gw_pond_plan *pond, gw_loop_pond *water)
{
    gw_design_pond *const own = gw_arena_alloc(d->arena, 1, sizeof *own);
    gw_pond_water *const properties = gw_arena_alloc(d->arena, 1, sizeof *properties);
    if (own == NULL || properties == NULL) {
        return no_memory(d);
    }
    *own = (gw_design_pond){0};
    loop->pond = own;
    gw_status st = gw_pond_water_init(&d->fluids, properties, d->err);
    if (st != GW_OK) {
        return st;
    }
    const double units_w =
        gw_plant_rated_heating(&loop->plant, d->input->job->limits.min_entering_degc).capacity_w -
        gw_plant_rated_heating(&loop->plant, d->input->job->limits.min_entering_degc).power_w;
    *water = (gw_loop_pond){.properties = properties, .design_heat_w = fmax(units_w, 500.0)};
    const gw_pond_run run = pond_run(d, pond, water);
    st = pond_year(d, &run, own, &own->without);
    if (st == GW_OK && own->refused != NULL) {
        st = frozen_solid(d, &own->without);
    }
    own->with = own->without;
    water->coil_degc = own->without.coil_degc;
    return st;
}

gw_status gw_design_priv_pond_feed(gw_design_priv *d, gw_design_loop *loop, gw_loop_pond *water,
                                   double *moved_k)
{
    gw_design_pond *own = NULL;
    memcpy(&own, &loop->pond, sizeof own); // NOLINT(bugprone-sizeof-expression): made here
    *moved_k = 0.0;
    if (own->refused != NULL) {
        return GW_OK;
    }
    const gw_loop_result *const r = &loop->sized.result;
    double *const heat_w = gw_arena_alloc(d->arena, GW_HOURS_PER_YEAR, sizeof *heat_w);
    if (heat_w == NULL) {
        return no_memory(d);
    }
    for (size_t h = 0; h < GW_HOURS_PER_YEAR; h++) {
        heat_w[h] = r->day_heat_w_m[h / 24] * loop->sized.response.length_m;
    }
    gw_pond_run run = pond_run(d, &loop->sized.plan.pond, water);
    run.heat_w = heat_w;
    gw_pond_year with;
    const gw_status st = pond_year(d, &run, own, &with);
    if (st != GW_OK || own->refused != NULL) {
        return st;
    }
    *moved_k = fabs(with.coldest_degc - own->with.coldest_degc);
    own->with = with;
    water->coil_degc = with.coil_degc;
    water->design_heat_w = fmax(r->peak_extraction_w, 500.0);
    return GW_OK;
}

gw_status gw_design_priv_pond_rules(gw_design_priv *d, gw_design_loop *loop)
{
    gw_design_pond *own = NULL;
    memcpy(&own, &loop->pond, sizeof own); // NOLINT(bugprone-sizeof-expression): made here
    gw_table rules;
    const gw_status st = gw_design_priv_table(d, "pond_rules.csv", &rules);
    if (st != GW_OK) {
        return st;
    }
    const bool open = own->refused == NULL;
    const gw_pond_case about = {.pond = &loop->sized.plan.pond,
                                .capacity_w = gw_plant_rated_heating(&loop->plant, 0.0).capacity_w,
                                .without = open ? &own->without : NULL,
                                .with = open ? &own->with : NULL};
    return gw_pond_judge(&rules, &about, own->rules, &own->rule_count, d->err);
}

// ---------------------------------------------------------------- open well

// Greatest mean over seven days in a row, round the turn of the year.
static double coldest_week_w(const gw_design_loop *loop)
{
    enum { WEEK = 7 };
    double most_w = 0.0;
    for (size_t day = 0; day < GW_DAYS_PER_YEAR; day++) {
        double sum_w = 0.0;
        for (size_t k = 0; k < WEEK; k++) {
            sum_w += loop->sized.result.day_heat_w_m[(day + k) % GW_DAYS_PER_YEAR] *
                     loop->sized.response.length_m;
        }
        most_w = fmax(most_w, sum_w / WEEK);
    }
    return most_w;
}

static gw_well_demand well_demand(const gw_design_loop *loop)
{
    const gw_open_well_plan *const plan = &loop->sized.plan.well;
    const gw_loop_result *const r = &loop->sized.result;
    const double peak_w = fmax(fmax(r->peak_extraction_w, r->peak_rejection_w), 100.0);
    return (gw_well_demand){
        .peak_heat_w = peak_w,
        .week_heat_w = fmin(fmax(coldest_week_w(loop), 0.0), peak_w),
        .year_heat_w = fmax(r->last.ground_j / GW_YEAR_S, 0.0),
        .year_flow_hours = fmin(fmax(r->last.run_hours, 1.0), 8760.0),
        .greatest_change_k = plan->greatest_change_k,
        .least_leaving_degc = plan->least_leaving_degc,
        .resistance_pa = loop->hydraulics.total_pressure_pa,
        .pump_efficiency = plan->pump_efficiency,
    };
}

static gw_status judge_water(gw_design_priv *d, const gw_open_well_plan *plan, gw_design_well *own)
{
    gw_table rules;
    gw_status st = gw_design_priv_table(d, "water_quality.csv", &rules);
    if (st == GW_OK) {
        const gw_well_sample sample = {.items = plan->analysis,
                                       .count = plan->analysis_count,
                                       .material = plan->material,
                                       .water_degc = plan->well.water_degc,
                                       .reinjected = plan->well.back == GW_WELL_RETURN_WELL};
        st = gw_well_judge_water(&rules, &sample, own->quality, &own->quality_count, d->err);
    }
    return st;
}

gw_status gw_design_priv_well(gw_design_priv *d, gw_design_loop *loop)
{
    gw_design_well *const own = gw_arena_alloc(d->arena, 1, sizeof *own);
    if (own == NULL) {
        return no_memory(d);
    }
    *own = (gw_design_well){.demand = well_demand(loop)};
    gw_status st = gw_well_assess(&loop->sized.plan.well.well, &own->demand, &own->answer, d->err);
    if (st == GW_OK) {
        st = judge_water(d, &loop->sized.plan.well, own);
    }
    loop->well = own;
    // The pump lifts the water too: it is the loop's circulator.
    loop->hydraulics.pump_w = own->answer.pump_w;
    loop->hydraulics.grade = gw_pipes_grade_pump(
        own->answer.pump_w, gw_plant_rated_heating(&loop->plant, 0.0).capacity_w);
    return st;
}
