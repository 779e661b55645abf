// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// From the job to what every loop shares: climate, house, heat pump, fluid, ground.
#include "design/design_priv.h"

#include "base/builtin.h"
#include "climate/synthesis.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

// Common practice, no source: the earth warms by about 25 to 30 K per kilometre; the low end, since
// a warmer ground shortens the loop.
static const double GRADIENT_K_M = 0.02;
// Any fixed number: the year made from the normals is the same in every run.
static const uint64_t WEATHER_SEED = 1;

gw_status gw_design_priv_warn(gw_design_priv *d, const char *field, const char *fmt, ...)
{
    gw_err warning = {.code = GW_OK};
    snprintf(warning.field, sizeof warning.field, "%s", field);
    va_list args;
    va_start(args, fmt);
    vsnprintf(warning.text, sizeof warning.text, fmt, args);
    va_end(args);
    return gw_err_list_add(&d->design->warnings, &warning);
}

gw_status gw_design_priv_table(gw_design_priv *d, const char *name, gw_table *out)
{
    gw_builtin_file file;
    if (!gw_builtin(name, &file)) {
        return gw_fail(d->err, GW_ERR_IO, name, "the built-in table %s is missing", name);
    }
    return gw_table_read(d->arena, file.name, file.text, file.length, out, d->err);
}

static gw_status no_memory(gw_design_priv *d)
{
    return gw_fail(d->err, GW_ERR_NOMEM, NULL, "out of memory in the design");
}

// A job without a station brings every climate value itself.
static const gw_station NAMELESS = {.id = "own",
                                    .name = "own climate values",
                                    .region = "",
                                    .country = "",
                                    .source = "given in the job",
                                    .ground_source = "given in the job"};

static gw_status find_station(gw_design_priv *d)
{
    const gw_job_site *const site = &d->input->job->site;
    gw_station *const station = gw_arena_alloc(d->arena, 1, sizeof *station);
    if (station == NULL) {
        return no_memory(d);
    }
    *station = NAMELESS;
    if (site->station != NULL) {
        gw_table table;
        gw_stations stations;
        const gw_station *found = NULL;
        gw_status st = gw_design_priv_table(d, "stations.csv", &table);
        if (st == GW_OK) {
            st = gw_stations_read(d->arena, &table, &stations, d->err);
        }
        if (st == GW_OK) {
            st = gw_station_find(&stations, site->station, &found, d->err);
        }
        if (st != GW_OK) {
            return st;
        }
        *station = *found;
    }
    gw_job_apply_climate(site, station);
    d->design->station = station;
    return gw_station_check(station, d->err);
}

gw_status gw_design_priv_climate(gw_design_priv *d)
{
    gw_status st = find_station(d);
    if (st != GW_OK) {
        return st;
    }
    gw_design *const design = d->design;
    design->conditions = gw_house_conditions_from_station(design->station);
    design->weather = d->input->weather;
    if (design->weather != NULL) {
        return GW_OK;
    }
    gw_weather *const made = gw_arena_alloc(d->arena, 1, sizeof *made);
    if (made == NULL) {
        return no_memory(d);
    }
    const gw_synthesis how = {.station = design->station, .seed = WEATHER_SEED};
    design->weather = made;
    design->weather_made = true;
    return gw_weather_synthesize(d->arena, &how, made, d->err);
}

// The unit sees the latent heat too: cooling on the plant = sensible × (1 + allowance).
static gw_status add_latent(gw_design_priv *d)
{
    const gw_house_load_year *const loads = &d->design->loads;
    double *const cooling_w = gw_arena_alloc(d->arena, GW_HOURS_PER_YEAR, sizeof *cooling_w);
    if (cooling_w == NULL) {
        return no_memory(d);
    }
    for (size_t h = 0; h < GW_HOURS_PER_YEAR; h++) {
        cooling_w[h] = loads->cooling_w[h] * (1.0 + loads->latent_frac);
    }
    d->design->plant_cooling_w = cooling_w;
    return GW_OK;
}

gw_status gw_design_priv_house(gw_design_priv *d)
{
    gw_design *const design = d->design;
    const gw_house *const house = &d->input->job->house;
    gw_status st = gw_house_design(d->arena, house, &design->conditions, &design->house, d->err);
    if (st == GW_OK) {
        const gw_house_year year = {.weather = design->weather, .conditions = &design->conditions};
        st = gw_house_loads(d->arena, house, &year, &design->loads, d->err);
    }
    return st == GW_OK ? add_latent(d) : st;
}

static gw_status hot_water(gw_design_priv *d)
{
    const gw_job_hot_water *const water = d->input->job->plant.hot_water;
    if (water == NULL) {
        return GW_OK;
    }
    gw_plant_hot_water_heat heat;
    const gw_status st = gw_plant_hot_water_eval(&water->use, &heat, d->err);
    if (st != GW_OK) {
        return st;
    }
    double *const each_w = gw_arena_alloc(d->arena, GW_HOURS_PER_YEAR, sizeof *each_w);
    if (each_w == NULL) {
        return no_memory(d);
    }
    for (size_t h = 0; h < GW_HOURS_PER_YEAR; h++) {
        each_w[h] = heat.heat_pump_w;
    }
    d->design->hot_water_w = each_w;
    d->design->hot_water_electric_w = heat.electric_w;
    return GW_OK;
}

gw_status gw_design_priv_plant(gw_design_priv *d)
{
    const gw_job_plant *const p = &d->input->job->plant;
    gw_design *const design = d->design;
    design->heat_pump = p->own;
    if (p->own == NULL) {
        gw_plant_catalogue pumps;
        gw_status st = gw_plant_read_builtin(d->arena, &pumps, d->err);
        if (st == GW_OK) {
            st = gw_plant_find(&pumps, p->heat_pump, &design->heat_pump, d->err);
        }
        if (st != GW_OK) {
            return st;
        }
    }
    d->plant = (gw_plant_input){
        .pump = *design->heat_pump,
        .unit_count = p->unit_count,
        .cycling_coefficient = p->cycling_coefficient,
        .circulator_heat_frac = p->circulator_heat_frac,
        .design_loss_w = design->house.loss_w,
        .share_of_design_loss = p->share_of_design_loss,
        .sizing_entering_degc = d->input->job->limits.min_entering_degc,
        .hot_water_cop_ratio = p->hot_water != NULL ? p->hot_water->cop_ratio : 1.0,
    };
    return hot_water(d);
}

gw_status gw_design_priv_fluid(gw_design_priv *d)
{
    const gw_job_fluid *const f = &d->input->job->fluid;
    gw_design *const design = d->design;
    gw_status st = gw_fluid_read_builtin(d->arena, &d->fluids, d->err);
    if (st != GW_OK) {
        return st;
    }
    // The table lives as long as the procedure, the design longer.
    gw_fluid_data *const data = gw_arena_alloc(d->arena, 1, sizeof *data);
    if (data == NULL) {
        return no_memory(d);
    }
    *data = d->fluids.kinds[f->kind];
    design->fluid.kind = f->kind;
    design->fluid_data = data;
    if (gw_job_is_given(f->mass_frac)) {
        design->fluid.mass_frac = f->mass_frac;
        st = gw_fluid_check_mix(&d->fluids, design->fluid, d->err);
    } else if (f->kind != GW_FLUID_WATER) {
        st = gw_fluid_dose(&d->fluids, f->kind, f->freeze_point_degc, &design->fluid.mass_frac,
                           d->err);
        // The polynomials begin at a few percent: a thinner mixture is made that strong.
        if (st == GW_OK && design->fluid.mass_frac < design->fluid_data->min_mass_frac) {
            design->fluid.mass_frac = design->fluid_data->min_mass_frac;
        }
    }
    return st == GW_OK
               ? gw_fluid_freeze_degc(&d->fluids, design->fluid, &design->freeze_degc, d->err)
               : st;
}

static gw_status soil_of(gw_design_priv *d, const gw_table *classes, const gw_job_soil *own,
                         gw_soil *out)
{
    *out = (gw_soil){0};
    if (own->soil_class != NULL) {
        gw_soil_class found;
        const gw_status st = gw_soil_class_find(classes, own->soil_class, &found, d->err);
        if (st != GW_OK) {
            return st;
        }
        *out = gw_soil_of_class(&found, own->level);
    }
    gw_job_apply_soil(own, out);
    return gw_soil_check(out, d->err);
}

static gw_status profile_of(gw_design_priv *d, const gw_table *classes, gw_soil_profile *out)
{
    const gw_job_ground *const g = &d->input->job->ground;
    const size_t count = g->layer_count > 0 ? g->layer_count : 1;
    gw_soil_layer *const layers = gw_arena_alloc(d->arena, count, sizeof *layers);
    if (layers == NULL) {
        return no_memory(d);
    }
    gw_status st = GW_OK;
    if (g->layer_count == 0) {
        layers[0].thickness_m = 1.0;
        st = soil_of(d, classes, g->rock != NULL ? g->rock : &g->soil, &layers[0].soil);
    }
    for (size_t i = 0; i < g->layer_count && st == GW_OK; i++) {
        layers[i].thickness_m = g->layers[i].thickness_m;
        st = soil_of(d, classes, &g->layers[i].soil, &layers[i].soil);
    }
    *out = (gw_soil_profile){.layers = layers, .count = count};
    return st;
}

gw_status gw_design_priv_ground(gw_design_priv *d)
{
    gw_design *const design = d->design;
    const gw_station *const s = design->station;
    gw_table classes;
    gw_status st = gw_design_priv_table(d, "soils.csv", &classes);
    if (st != GW_OK) {
        return st;
    }
    const gw_ground_climate surface = {.mean_degc = s->ground_mean_degc,
                                       .amplitude_k = s->ground_amplitude_k,
                                       .phase_day = s->ground_phase_day};
    design->bore_ground = (gw_loop_ground){.surface = surface, .gradient_k_m = GRADIENT_K_M};
    design->trench_ground = (gw_loop_ground){.surface = surface};
    st = profile_of(d, &classes, &design->bore_ground.profile);
    gw_soil_layer *const layer = gw_arena_alloc(d->arena, 1, sizeof *layer);
    if (st != GW_OK || layer == NULL) {
        return st != GW_OK ? st : no_memory(d);
    }
    layer->thickness_m = 1.0;
    st = soil_of(d, &classes, &d->input->job->ground.soil, &layer->soil);
    design->trench_ground.profile = (gw_soil_profile){.layers = layer, .count = 1};
    return st;
}

// The job's own prices over the built-in ones.
static gw_status price_fuels(gw_design_priv *d)
{
    const gw_job_money *const m = &d->input->job->money;
    gw_fuel_table *const table = &d->design->fuels;
    gw_status st = gw_fuel_builtin(d->arena, table, d->err);
    if (st != GW_OK) {
        return st;
    }
    gw_fuel *const fuels = gw_arena_alloc(d->arena, table->count, sizeof *fuels);
    if (fuels == NULL) {
        return no_memory(d);
    }
    memcpy(fuels, table->fuels, table->count * sizeof *fuels);
    for (size_t i = 0; i < table->count; i++) {
        for (size_t k = 0; k < m->fuel_price_count; k++) {
            if (strcmp(fuels[i].key, m->fuel_prices[k].fuel) == 0) {
                fuels[i].price = m->fuel_prices[k].price;
                fuels[i].price_source = "given in the job";
            }
        }
        if (strcmp(fuels[i].key, GW_FUEL_ELECTRICITY) == 0 &&
            gw_job_is_given(m->electricity_price_per_kwh)) {
            fuels[i].price = m->electricity_price_per_kwh;
            fuels[i].price_source = "given in the job";
        }
    }
    table->fuels = fuels;
    return GW_OK;
}

gw_status gw_design_priv_tables(gw_design_priv *d)
{
    gw_grid_table grids;
    gw_status st = gw_pipes_read_builtin(d->arena, &d->pipes, d->err);
    if (st == GW_OK) {
        st = gw_price_book_builtin(d->arena, &d->prices, d->err);
    }
    if (st == GW_OK && d->input->price_book != NULL) {
        gw_price_book merged;
        st = gw_price_book_merge(d->arena, d->input->price_book, &d->prices, &merged, d->err);
        if (st == GW_OK) {
            d->prices = merged;
        }
    }
    if (st == GW_OK) {
        st = gw_alternative_builtin(d->arena, &d->alternatives, d->err);
    }
    if (st == GW_OK) {
        st = gw_grid_builtin(d->arena, &grids, d->err);
    }
    if (st == GW_OK) {
        st = gw_grid_find(&grids, d->input->job->money.grid, &d->design->grid, d->err);
    }
    return st == GW_OK ? price_fuels(d) : st;
}
