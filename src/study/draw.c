// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/draw_priv.h"

#include "climate/degree_days.h"
#include "climate/synthesis.h"

#include <math.h>
#include <string.h>

static gw_status no_memory(gw_err *err)
{
    return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory drawing a sample");
}

void gw_study_priv_neutral(double values[GW_UNCERTAIN_COUNT])
{
    for (int i = 0; i < GW_UNCERTAIN_COUNT; i++) {
        const gw_uncertain_how how = gw_uncertain_how_of((gw_uncertain_what)i);
        values[i] = how == GW_UNCERTAIN_FACTOR ? 1.0 : how == GW_UNCERTAIN_SHIFT ? 0.0 : -1.0;
    }
}

// ---------------------------------------------------------------- house

static void change_house(gw_study_priv_job *copy, const double *v)
{
    gw_house *const h = &copy->job.house;
    for (size_t i = 0; i < h->envelope_count; i++) {
        copy->envelope[i].insulation_m2k_w /= v[GW_UNCERTAIN_LOAD];
    }
    // A load given directly has no parts: all of it moves.
    h->design_loss_w *= v[GW_UNCERTAIN_LOAD];
    h->design_gain_w *= v[GW_UNCERTAIN_LOAD];
    if (h->leakage.kind != GW_HOUSE_LEAKAGE_NATURAL) {
        h->leakage.ach50 = gw_house_ach50(h) * v[GW_UNCERTAIN_INFILTRATION];
        h->leakage.kind = GW_HOUSE_LEAKAGE_ACH50;
    } else {
        h->leakage.natural_ach *= v[GW_UNCERTAIN_INFILTRATION];
    }
    h->internal_gain_w = gw_house_internal_gain_w(h) * v[GW_UNCERTAIN_INTERNAL_GAIN];
    const double most_degc = h->cooling_setpoint_degc - 0.5;
    h->heating_setpoint_degc =
        fmin(h->heating_setpoint_degc + v[GW_UNCERTAIN_INDOOR_TEMPERATURE], most_degc);
    if (h->setback_start_h != h->setback_end_h) {
        h->setback_degc = fmin(h->setback_degc + v[GW_UNCERTAIN_INDOOR_TEMPERATURE], most_degc);
    }
}

// ---------------------------------------------------------------- ground

// The job's soil with its conductivities written out and changed.
static gw_status change_soil(const gw_study_priv_start *start, gw_job_soil *own, double factor,
                             gw_err *err)
{
    gw_soil soil = {0};
    if (own->soil_class != NULL) {
        gw_soil_class found;
        const gw_status st = gw_soil_class_find(start->soils, own->soil_class, &found, err);
        if (st != GW_OK) {
            return st;
        }
        soil = gw_soil_of_class(&found, own->level);
    }
    gw_job_apply_soil(own, &soil);
    own->conductivity_w_mk = factor * soil.conductivity_w_mk;
    own->frozen_conductivity_w_mk = factor * soil.frozen_conductivity_w_mk;
    return GW_OK;
}

static gw_status change_ground(const gw_study_priv_start *start, gw_study_priv_job *copy,
                               const double *v, gw_err *err)
{
    gw_job_ground *const g = &copy->job.ground;
    const double factor = v[GW_UNCERTAIN_CONDUCTIVITY];
    copy->job.site.ground_mean_degc =
        start->station->ground_mean_degc + v[GW_UNCERTAIN_GROUND_TEMPERATURE];
    if (factor == 1.0) {
        return GW_OK;
    }
    gw_status st = change_soil(start, &g->soil, factor, err);
    if (st == GW_OK && g->rock != NULL) {
        st = change_soil(start, copy->rock, factor, err);
    }
    for (size_t i = 0; i < g->layer_count && st == GW_OK; i++) {
        st = change_soil(start, &copy->layers[i].soil, factor, err);
    }
    return st;
}

// ---------------------------------------------------------------- heat pump

static void scale_power(gw_plant_curve *curve, double factor)
{
    for (size_t i = 0; i < curve->count; i++) {
        curve->points[i].power_w *= factor;
    }
}

static gw_status change_pump(gw_arena *arena, const gw_study_priv_start *start,
                             gw_study_priv_job *copy, const double *v, gw_err *err)
{
    gw_heat_pump *const pump = gw_arena_alloc(arena, 1, sizeof *pump);
    if (pump == NULL) {
        return no_memory(err);
    }
    *pump = *start->pump;
    scale_power(&pump->heating, v[GW_UNCERTAIN_HEAT_PUMP_POWER]);
    scale_power(&pump->heating_low, v[GW_UNCERTAIN_HEAT_PUMP_POWER]);
    scale_power(&pump->cooling, v[GW_UNCERTAIN_HEAT_PUMP_POWER]);
    scale_power(&pump->cooling_low, v[GW_UNCERTAIN_HEAT_PUMP_POWER]);
    copy->job.plant.own = pump;
    return GW_OK;
}

// ---------------------------------------------------------------- money

static gw_status change_fuels(gw_arena *arena, const gw_study_priv_start *start,
                              gw_study_priv_job *copy, const double *v, gw_err *err)
{
    gw_job_money *const m = &copy->job.money;
    gw_job_fuel_price *const prices = gw_arena_alloc(arena, start->fuels->count, sizeof *prices);
    if (prices == NULL) {
        return no_memory(err);
    }
    size_t count = 0;
    for (size_t i = 0; i < start->fuels->count; i++) {
        const gw_fuel *const f = &start->fuels->fuels[i];
        if (strcmp(f->key, GW_FUEL_ELECTRICITY) == 0) {
            m->electricity_price_per_kwh = f->price * v[GW_UNCERTAIN_ELECTRICITY_PRICE];
        } else {
            prices[count++] = (gw_job_fuel_price){f->key, f->price * v[GW_UNCERTAIN_FUEL_PRICE]};
        }
    }
    m->fuel_prices = prices;
    m->fuel_price_count = count;
    m->discount_frac += v[GW_UNCERTAIN_DISCOUNT];
    m->electricity_escalation_frac += v[GW_UNCERTAIN_ELECTRICITY_ESCALATION];
    m->fuel_escalation_frac += v[GW_UNCERTAIN_FUEL_ESCALATION];
    return GW_OK;
}

static bool starts_with(const char *key, const char *family)
{
    return strncmp(key, family, strlen(family)) == 0;
}

// Families of the price book: shares stay, plant, house and papers are indoors, the rest is ground.
static double price_factor(const char *key, const double *v)
{
    static const char *const INDOORS[] = {"plant.", "house.", "paper."};
    if (starts_with(key, "share.")) {
        return 1.0;
    }
    for (size_t i = 0; i < sizeof INDOORS / sizeof INDOORS[0]; i++) {
        if (starts_with(key, INDOORS[i])) {
            return v[GW_UNCERTAIN_INDOOR_PRICE];
        }
    }
    return v[GW_UNCERTAIN_GROUND_PRICE];
}

static gw_status change_book(gw_arena *arena, const gw_study_priv_start *start, const double *v,
                             const gw_price_book **out, gw_err *err)
{
    gw_price_book *const book = gw_arena_alloc(arena, 1, sizeof *book);
    gw_price_row *const rows = gw_arena_alloc(arena, start->book->count, sizeof *rows);
    if (book == NULL || rows == NULL) {
        return no_memory(err);
    }
    for (size_t i = 0; i < start->book->count; i++) {
        rows[i] = start->book->rows[i];
        const double factor = price_factor(rows[i].key, v);
        rows[i].low *= factor;
        rows[i].typical *= factor;
        rows[i].high *= factor;
    }
    *book = *start->book;
    book->rows = rows;
    *out = book;
    return GW_OK;
}

// ---------------------------------------------------------------- weather

static const gw_weather *pick_year(const gw_study_priv_start *start, double u)
{
    if (!(u >= 0.0) || start->year_count == 0) {
        return start->typical;
    }
    const size_t i = (size_t)(u * (double)start->year_count);
    return start->years[i < start->year_count ? i : start->year_count - 1];
}

static gw_status change_weather(gw_arena *arena, const gw_study_priv_start *start, const double *v,
                                const gw_weather **out, gw_err *err)
{
    const gw_weather *const year = pick_year(start, v[GW_UNCERTAIN_WEATHER_YEAR]);
    const double shift_k = v[GW_UNCERTAIN_OUTDOOR_TEMPERATURE];
    *out = year;
    if (shift_k == 0.0) {
        return GW_OK;
    }
    gw_weather *const moved = gw_arena_alloc(arena, 1, sizeof *moved);
    double *const dry_degc = gw_arena_alloc(arena, GW_HOURS_PER_YEAR, sizeof *dry_degc);
    double *const dew_degc = gw_arena_alloc(arena, GW_HOURS_PER_YEAR, sizeof *dew_degc);
    if (moved == NULL || dry_degc == NULL || dew_degc == NULL) {
        return no_memory(err);
    }
    for (size_t h = 0; h < GW_HOURS_PER_YEAR; h++) {
        dry_degc[h] = year->dry_bulb_degc[h] + shift_k;
        dew_degc[h] = year->dew_point_degc[h] + shift_k;
    }
    *moved = *year;
    moved->dry_bulb_degc = dry_degc;
    moved->dew_point_degc = dew_degc;
    *out = moved;
    return GW_OK;
}

// Seeds of the years; any numbers, the first of them not that of the design's own year.
enum { FIRST_SEED = 101 };

gw_status gw_study_priv_make_years(gw_arena *arena, const gw_station *station,
                                   gw_study_priv_start *out, gw_err *err)
{
    const gw_weather **const years = gw_arena_alloc(arena, GW_UNCERTAINTY_YEARS, sizeof *years);
    gw_weather *const made = gw_arena_alloc(arena, GW_UNCERTAINTY_YEARS, sizeof *made);
    double cold_k_day[GW_UNCERTAINTY_YEARS];
    if (years == NULL || made == NULL) {
        return no_memory(err);
    }
    for (size_t i = 0; i < GW_UNCERTAINTY_YEARS; i++) {
        const gw_synthesis how = {.station = station, .seed = FIRST_SEED + i};
        const gw_status st = gw_weather_synthesize(arena, &how, &made[i], err);
        if (st != GW_OK) {
            return st;
        }
        const double k_day =
            gw_degree_days_daily(made[i].dry_bulb_degc, GW_DEGREE_DAYS_HEATING, 18.0);
        size_t at = i;
        for (; at > 0 && cold_k_day[at - 1] < k_day; at--) {
            cold_k_day[at] = cold_k_day[at - 1];
            years[at] = years[at - 1];
        }
        cold_k_day[at] = k_day;
        years[at] = &made[i];
    }
    out->years = years;
    out->year_count = GW_UNCERTAINTY_YEARS;
    return GW_OK;
}

// ---------------------------------------------------------------- all of it

gw_status gw_study_priv_apply(gw_arena *arena, const gw_study_priv_start *start,
                              const double values[GW_UNCERTAIN_COUNT], gw_design_input *out,
                              gw_err *err)
{
    gw_study_priv_job *const copy = gw_arena_alloc(arena, 1, sizeof *copy);
    if (copy == NULL) {
        return no_memory(err);
    }
    gw_status st = gw_study_priv_copy(arena, start->job, copy, err);
    if (st != GW_OK) {
        return st;
    }
    change_house(copy, values);
    st = change_ground(start, copy, values, err);
    if (st == GW_OK) {
        st = change_pump(arena, start, copy, values, err);
    }
    if (st == GW_OK) {
        st = change_fuels(arena, start, copy, values, err);
    }
    *out = (gw_design_input){.job = &copy->job};
    if (st == GW_OK) {
        st = change_book(arena, start, values, &out->price_book, err);
    }
    return st == GW_OK ? change_weather(arena, start, values, &out->weather, err) : st;
}
