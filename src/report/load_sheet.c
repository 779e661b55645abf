// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "report/load_sheet.h"

#include "base/builtin.h"
#include "climate/synthesis.h"

// The year of a design of the same job.
static const uint64_t WEATHER_SEED = 1;

static gw_status no_memory(gw_err *err)
{
    return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory in the load sheet");
}

// ---- Climate ------------------------------------------------------------------------------------

static gw_status named_station(gw_arena *arena, const char *id, gw_station *out, gw_err *err)
{
    gw_builtin_file file;
    gw_table table;
    gw_stations stations;
    const gw_station *found = NULL;
    if (!gw_builtin("stations.csv", &file)) {
        return gw_fail(err, GW_ERR_IO, "stations.csv", "the built-in table is missing");
    }
    gw_status st = gw_table_read(arena, file.name, file.text, file.length, &table, err);
    if (st == GW_OK) {
        st = gw_stations_read(arena, &table, &stations, err);
    }
    if (st == GW_OK) {
        st = gw_station_find(&stations, id, &found, err);
    }
    if (st == GW_OK) {
        *out = *found;
    }
    return st;
}

static gw_status find_climate(gw_arena *arena, const gw_load_sheet_input *input, gw_load_sheet *s,
                              gw_err *err)
{
    gw_station *const station = gw_arena_alloc(arena, 1, sizeof *station);
    gw_weather *const made = gw_arena_alloc(arena, 1, sizeof *made);
    if (station == NULL || made == NULL) {
        return no_memory(err);
    }
    *station = (gw_station){.id = "own",
                            .name = "own climate values",
                            .region = "",
                            .country = "",
                            .source = "given in the job",
                            .ground_source = "given in the job"};
    const gw_job_site *const site = &s->job->site;
    gw_status st =
        site->station != NULL ? named_station(arena, site->station, station, err) : GW_OK;
    if (st != GW_OK) {
        return st;
    }
    gw_job_apply_climate(site, station);
    s->station = station;
    s->conditions = gw_house_conditions_from_station(station);
    s->weather = input->weather;
    st = gw_station_check(station, err);
    if (st != GW_OK || s->weather != NULL) {
        return st;
    }
    const gw_synthesis how = {.station = station, .seed = WEATHER_SEED};
    s->weather = made;
    s->weather_made = true;
    return gw_weather_synthesize(arena, &how, made, err);
}

// ---- Bills --------------------------------------------------------------------------------------

static size_t day_of_year(gw_date date)
{
    const int hours = gw_weather_hours_before_month(date.month - 1);
    const int days = gw_weather_days_of_month(date.month - 1);
    return (size_t)(hours / 24 + (date.day <= days ? date.day : days) - 1);
}

static gw_status fit_bills(gw_arena *arena, const gw_job_bills *bills, const double *typical_degc,
                           gw_bills_fit *out, gw_err *err)
{
    const gw_date first = bills->list[0].date;
    const gw_date last = bills->list[bills->count - 1].date;
    const long begin = gw_bills_day_number(first.year, first.month, first.day);
    const size_t days = (size_t)(gw_bills_day_number(last.year, last.month, last.day) - begin);
    gw_bill *const list = gw_arena_alloc(arena, bills->count, sizeof *list);
    double *const daily_degc = gw_arena_alloc(arena, days, sizeof *daily_degc);
    if (list == NULL || daily_degc == NULL) {
        return no_memory(err);
    }
    gw_bills_lay_typical(typical_degc, day_of_year(first), daily_degc, days);
    for (size_t i = 0; i < bills->count; i++) {
        const gw_job_bill *const b = &bills->list[i];
        const long day = gw_bills_day_number(b->date.year, b->date.month, b->date.day) - begin;
        list[i] = (gw_bill){.day = (size_t)day, .quantity = b->quantity, .partial = b->partial};
    }
    const gw_bills_input in = {.kind = bills->kind,
                               .bills = list,
                               .bill_count = bills->count,
                               .daily_mean_degc = daily_degc,
                               .day_count = days,
                               .energy_j = bills->energy_j,
                               .efficiency_frac = bills->efficiency_frac,
                               .balance_given = gw_job_is_given(bills->balance_degc),
                               .balance_degc = bills->balance_degc,
                               .base_given = gw_job_is_given(bills->base_w),
                               .base_w = bills->base_w};
    return gw_bills_solve(arena, &in, out, err);
}

// The component method in the mean weather of the days that need heat.
static gw_status season_ua(gw_arena *arena, gw_load_sheet *s, const double *daily_degc,
                           double *ua_w_k, gw_err *err)
{
    gw_load_sheet_bills *const b = &s->bills;
    double wind_m_s[GW_DAYS_PER_YEAR];
    gw_weather_daily_means(s->weather->wind_m_s, wind_m_s);
    size_t days = 0;
    for (size_t i = 0; i < GW_DAYS_PER_YEAR; i++) {
        if (daily_degc[i] < b->fit.balance_degc.value) {
            b->season_degc += daily_degc[i];
            b->season_wind_m_s += wind_m_s[i];
            days++;
        }
    }
    if (days == 0) {
        return gw_fail(err, GW_ERR_RANGE, "bills",
                       "no day of the year is below the balance temperature of %.1f degC",
                       b->fit.balance_degc.value);
    }
    b->season_degc /= (double)days;
    b->season_wind_m_s /= (double)days;
    gw_house_conditions mean = s->conditions;
    mean.heating_outdoor_degc = b->season_degc;
    mean.heating_wind_m_s = b->season_wind_m_s;
    gw_house_design_result result;
    const gw_status st = gw_house_design(arena, &s->job->house, &mean, &result, err);
    *ua_w_k = st == GW_OK ? result.ua_total_w_k : 0.0;
    return st;
}

// Bills that say nothing are no fault of the sheet: the reason goes into it.
static gw_status add_bills(gw_arena *arena, gw_load_sheet *s, gw_err *err)
{
    gw_load_sheet_bills *const b = &s->bills;
    b->given = s->job->bills != NULL;
    if (!b->given) {
        return GW_OK;
    }
    double daily_degc[GW_DAYS_PER_YEAR];
    double ua_w_k = 0.0;
    gw_weather_daily_means(s->weather->dry_bulb_degc, daily_degc);
    gw_status st = fit_bills(arena, s->job->bills, daily_degc, &b->fit, &b->why);
    if (st == GW_OK) {
        st = season_ua(arena, s, daily_degc, &ua_w_k, &b->why);
    }
    if (st == GW_OK) {
        st = gw_bills_compare(&b->fit, ua_w_k, &b->comparison, &b->why);
    }
    b->fitted = st == GW_OK;
    if (st == GW_ERR_NOMEM && err != NULL) {
        *err = b->why;
    }
    return st == GW_ERR_NOMEM ? st : GW_OK;
}

// ---- Together -----------------------------------------------------------------------------------

static void sum_months(gw_load_sheet *s)
{
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        const int month = gw_weather_month_of_hour(h);
        s->heating_j[month] += 3600.0 * s->year.heating_w[h];
        s->cooling_j[month] += 3600.0 * s->year.cooling_w[h];
    }
}

// What windows that somebody opens would leave of the cooling.
static gw_status open_windows(gw_arena *arena, gw_load_sheet *s, gw_err *err)
{
    gw_house house = s->job->house;
    if (gw_house_is_given(&house) || house.window_opening_ach > 0.0 || !(s->year.cooling_j > 0.0)) {
        return GW_OK;
    }
    house.window_opening_ach = GW_LOAD_SHEET_OPEN_ACH;
    const gw_house_year year = {.weather = s->weather, .conditions = &s->conditions};
    gw_house_load_year opened;
    const gw_status st = gw_house_loads(arena, &house, &year, &opened, err);
    s->has_open = st == GW_OK;
    s->open_cooling_j = st == GW_OK ? opened.cooling_j : 0.0;
    return st;
}

gw_status gw_load_sheet_run(gw_arena *arena, const gw_load_sheet_input *input, gw_load_sheet *out,
                            gw_err *err)
{
    *out = (gw_load_sheet){.job = input->job};
    const gw_house *const house = &input->job->house;
    gw_status st = find_climate(arena, input, out, err);
    if (st == GW_OK) {
        st = gw_house_design(arena, house, &out->conditions, &out->design, err);
    }
    if (st == GW_OK) {
        const gw_house_year year = {.weather = out->weather, .conditions = &out->conditions};
        st = gw_house_loads(arena, house, &year, &out->year, err);
    }
    if (st == GW_OK) {
        sum_months(out);
        st = open_windows(arena, out, err);
    }
    return st == GW_OK ? add_bills(arena, out, err) : st;
}
