// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The house: a year of hourly loads (aim 3 ms) and a fit of bills (aim 5 ms), by processor time,
// and as ratios to the same year with the sky, windows and ducts that a job may ask for.
//
//   bench_house [REPEATS]      40 when not given
#include "base/builtin.h"
#include "climate/synthesis.h"
#include "house/bills.h"
#include "house/hourly_load.h"
#include "job/starter.h"
#include "report/load_sheet.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

// Least of the repeats, each in an arena of its own.
static double year_s(const gw_house *house, const gw_load_sheet *sheet, int repeats)
{
    double least_s = 1e9;
    for (int i = 0; i < repeats; i++) {
        gw_arena *const arena = gw_arena_create(0);
        gw_house_load_year out;
        const gw_house_year year = {sheet->weather, &sheet->conditions, false};
        const double from_s = now_s();
        const gw_status st = gw_house_loads(arena, house, &year, &out, NULL);
        const double took_s = now_s() - from_s;
        least_s = st == GW_OK && took_s < least_s ? took_s : least_s;
        gw_arena_destroy(arena);
    }
    return least_s;
}

enum { DAYS = 1095, BILLS = 37 };

// Monthly use of three years by a plain linear house, so that the fit has something to find.
static double bills_s(const gw_load_sheet *sheet, int repeats)
{
    static double daily_degc[DAYS];
    double typical_degc[GW_DAYS_PER_YEAR];
    gw_bill bills[BILLS] = {{0}};
    gw_weather_daily_means(sheet->weather->dry_bulb_degc, typical_degc);
    gw_bills_lay_typical(typical_degc, 0, daily_degc, DAYS);
    for (size_t i = 1; i < BILLS; i++) {
        bills[i].day = i * 30;
        for (size_t d = bills[i - 1].day; d < bills[i].day; d++) {
            const double cold_k = daily_degc[d] < 16.0 ? 16.0 - daily_degc[d] : 0.0;
            bills[i].quantity += 86400.0 * (220.0 * cold_k + 400.0) / (38.2e6 * 0.78) *
                                 (1.0 + 0.03 * (double)(i % 3));
        }
    }
    const gw_bills_input in = {.kind = GW_BILLS_USE,
                               .bills = bills,
                               .bill_count = BILLS,
                               .daily_mean_degc = daily_degc,
                               .day_count = DAYS,
                               .energy_j = 38.2e6,
                               .efficiency_frac = 0.78};
    double least_s = 1e9;
    for (int i = 0; i < repeats; i++) {
        gw_arena *const arena = gw_arena_create(0);
        gw_bills_fit fit;
        const double from_s = now_s();
        const gw_status st = gw_bills_solve(arena, &in, &fit, NULL);
        const double took_s = now_s() - from_s;
        least_s = st == GW_OK && took_s < least_s ? took_s : least_s;
        gw_arena_destroy(arena);
    }
    return least_s;
}

static void line(const char *what, double took_s, double plain_s)
{
    printf("  %-44s %7.3f ms  %5.2f of the plain year\n", what, 1e3 * took_s, took_s / plain_s);
}

static void run(gw_arena *arena, const gw_job *job, int repeats)
{
    gw_load_sheet sheet;
    gw_err err = {0};
    const gw_load_sheet_input input = {.job = job};
    if (gw_load_sheet_run(arena, &input, &sheet, &err) != GW_OK) {
        printf("  %s\n", err.text);
        return;
    }
    gw_house house = job->house;
    const double plain_s = year_s(&house, &sheet, repeats);
    line("hourly year from the envelope (aim 3 ms)", plain_s, plain_s);
    house.sky = GW_HOUSE_SKY_PEREZ;
    line("with the Perez sky", year_s(&house, &sheet, repeats), plain_s);
    house.sky = GW_HOUSE_SKY_ISOTROPIC;
    house.window_opening_ach = 4.0;
    line("with windows opened", year_s(&house, &sheet, repeats), plain_s);
    house.ducts = (gw_house_ducts){.air_flow_m3_s = 0.5,
                                   .supply_area_m2 = 20.0,
                                   .insulation_m2k_w = 0.7,
                                   .outdoor_share = 1.0};
    line("with ducts too", year_s(&house, &sheet, repeats), plain_s);
    line("bills, 36 months (aim 5 ms)", bills_s(&sheet, repeats), plain_s);
}

int main(int argc, char **argv)
{
    const int repeats = argc > 1 ? atoi(argv[1]) : 40;
    gw_arena *const arena = gw_arena_create(0);
    gw_units *const units = gw_units_create(NULL);
    const char *const text = gw_job_starter();
    const gw_job_source source = {
        .arena = arena, .units = units, .text = text, .length = strlen(text)};
    gw_form_report report;
    const gw_job *job = NULL;
    gw_err err = {0};
    if (gw_job_read(&source, &job, &report, &err) == GW_OK) {
        run(arena, job, repeats);
    } else {
        printf("  %s: %s\n", err.field, err.text);
    }
    gw_units_destroy(units);
    gw_arena_destroy(arena);
    return 0;
}
