// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "loop/frozen.h"

#include "climate/weather.h"
#include "ground/freeze.h"

#include <math.h>

enum { YEARS = 2, PROFILE = 60, TWINS = 2, PAIRS = 2 };
static const double PI = 3.14159265358979323846;
static const double DAY_S = 86400.0;
static const double SECTION_DEPTH_M = 12.0;
static const double LONE_HALF_WIDTH_M = 8.0;
// Cells at the pipes: 0.15 m gives the coldest fluid within 0.15 K of cells a seventh that
// size (docs/methods/loop.md), and most of that cancels between the twins.
static const double CELL_M = 0.15;

bool gw_loop_may_freeze(const gw_loop_response *response, const gw_loop_result *result)
{
    for (size_t day = 0; day < GW_DAYS_PER_YEAR; day++) {
        const double wall_degc =
            result->day_fluid_degc[day] + result->day_heat_w_m[day] * response->resistance_mk_w;
        if (wall_degc < 0.0) {
            return true;
        }
    }
    return false;
}

// One of the two sections and what came out of it, day by day of its last year.
typedef struct {
    gw_soil soil;
    gw_freeze *freeze;
    double fluid_degc[GW_DAYS_PER_YEAR]; // by calendar day
    double radius_m[GW_DAYS_PER_YEAR];   // thickest ring
    bool joins_pipe;
    bool joins_surface;
    gw_status status;
    gw_err err;
} twin;

typedef struct {
    gw_freeze_pipe pipes[GW_LOOP_PIPES_MAX];
    size_t count;
    double profile_m[PROFILE];
    double profile_degc[PROFILE];
    double half_width_m;
    gw_soil soil;
} section_shape;

// The right half of the cross-section. Pairs at ±x become one pipe.
static gw_status shape_of(const gw_loop_site *site, size_t first_month, section_shape *out,
                          gw_err *err)
{
    const gw_trench_plan *const t = &site->plan->trench;
    gw_loop_section_pipe all[GW_LOOP_PIPES_MAX];
    const gw_status st = gw_loop_trench_section(t, site->pipe->outer_diameter_m, all, err);
    if (st != GW_OK) {
        return st;
    }
    out->count = 0;
    for (size_t i = 0; i < t->pipes; i++) {
        if (all[i].x_m > -1e-9) {
            out->pipes[out->count++] = (gw_freeze_pipe){fmax(all[i].x_m, 0.0), all[i].depth_m};
        }
    }
    out->half_width_m = t->count > 1 ? 0.5 * t->spacing_m : LONE_HALF_WIDTH_M;
    const double start_day = gw_weather_hours_before_month((int)first_month) / 24.0;
    for (size_t i = 0; i < PROFILE; i++) {
        out->profile_m[i] = 0.02 + SECTION_DEPTH_M * (double)i / (PROFILE - 1);
        out->profile_degc[i] = gw_ground_temperature_degc(
            &site->ground->surface,
            (gw_depth_day){out->profile_m[i], start_day, gw_soil_diffusivity_m2_s(&out->soil)});
    }
    return GW_OK;
}

static gw_status make_twin(gw_arena *arena, const gw_loop_site *site, const section_shape *shape,
                           double resistance_mk_w, twin *t, gw_err *err)
{
    const double radius_m = 0.5 * site->pipe->outer_diameter_m;
    const gw_freeze_section section = {
        .soil = &t->soil,
        .pipes = shape->pipes,
        .pipe_count = shape->count,
        .pipe_radius_m = radius_m,
        .pipe_resistance_mk_w = resistance_mk_w,
        .cell_m = fmin(fmax(CELL_M, 1.2 * radius_m), 20.0 * radius_m),
        .half_width_m = shape->half_width_m,
        .depth_m = SECTION_DEPTH_M,
        .freezing_degc = 0.0,
        .step_s = DAY_S,
        .initial_depth_m = shape->profile_m,
        .initial_degc = shape->profile_degc,
        .initial_count = PROFILE,
    };
    return gw_freeze_create(arena, &section, &t->freeze, err);
}

static gw_status note_day(twin *t, size_t day, size_t pipes)
{
    double fluid_degc = 0.0;
    for (size_t k = 0; k < pipes; k++) {
        gw_freeze_ring ring;
        const gw_status st = gw_freeze_ring_at(t->freeze, k, &ring, &t->err);
        if (st != GW_OK) {
            return st;
        }
        fluid_degc += ring.fluid_degc / (double)pipes;
        t->radius_m[day] = fmax(t->radius_m[day], ring.frozen_radius_m);
        t->joins_pipe = t->joins_pipe || ring.joins_pipe;
        t->joins_surface = t->joins_surface || ring.joins_surface;
    }
    t->fluid_degc[day] = fluid_degc;
    return GW_OK;
}

typedef struct {
    size_t first_day;
    size_t pipes;
    double heat_scale;
} twin_drive;

static gw_status run_twin(const gw_loop_site *site, const gw_loop_result *result,
                          const twin_drive *by, twin *t)
{
    const gw_ground_climate *const surface = &site->ground->surface;
    for (size_t d = 0; d < YEARS * GW_DAYS_PER_YEAR; d++) {
        const size_t day = (by->first_day + d) % GW_DAYS_PER_YEAR;
        double heat_w_m[GW_LOOP_PIPES_MAX];
        for (size_t k = 0; k < by->pipes; k++) {
            heat_w_m[k] = by->heat_scale * result->day_heat_w_m[day];
        }
        const gw_freeze_drive drive = {
            .duration_s = DAY_S,
            .surface_degc =
                surface->mean_degc -
                surface->amplitude_k *
                    cos(2.0 * PI * ((double)day + 0.5 - surface->phase_day) / GW_DAYS_PER_YEAR),
            .mode = GW_FREEZE_BY_HEAT,
            .pipe_value = heat_w_m,
        };
        gw_status st = gw_freeze_advance(t->freeze, &drive, &t->err);
        if (st == GW_OK && d >= (YEARS - 1) * GW_DAYS_PER_YEAR) {
            st = note_day(t, day, by->pipes);
        }
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

// Daily differences at noon, joined by straight lines over the hours.
static void spread_over_hours(const double day_k[GW_DAYS_PER_YEAR], double *hour_k)
{
    for (size_t h = 0; h < GW_LOOP_HOURS; h++) {
        const double at = ((double)h + 0.5) / 24.0 - 0.5;
        const double whole = floor(at);
        const size_t before = (size_t)(whole + GW_DAYS_PER_YEAR) % GW_DAYS_PER_YEAR;
        const size_t after = (before + 1) % GW_DAYS_PER_YEAR;
        const double share = at - whole;
        hour_k[h] = (1.0 - share) * day_k[before] + share * day_k[after];
    }
}

static void report_ice(const twin *frozen, const gw_loop_result *result, const double *day_k,
                       gw_loop_frozen *out)
{
    out->thaws = false;
    for (int month = 0; month < 12; month++) {
        const int last =
            gw_weather_hours_before_month(month) / 24 + gw_weather_days_of_month(month) - 1;
        const double radius_m = frozen->radius_m[last];
        out->month_radius_m[month] = radius_m;
        out->thaws = out->thaws || radius_m == 0.0;
        if (radius_m > out->month_radius_m[out->greatest_month]) {
            out->greatest_month = month;
        }
    }
    size_t coldest = 0;
    for (size_t day = 0; day < GW_DAYS_PER_YEAR; day++) {
        out->greatest_radius_m = fmax(out->greatest_radius_m, frozen->radius_m[day]);
        coldest = result->day_fluid_degc[day] < result->day_fluid_degc[coldest] ? day : coldest;
    }
    out->coldest_gain_k = day_k[coldest];
    out->joins_pipe = frozen->joins_pipe;
    out->joins_surface = frozen->joins_surface;
    out->worst_imbalance_frac = gw_freeze_balance_of(frozen->freeze).worst_frac;
}

// The same ground, whose water does not freeze.
static gw_soil never_frozen(gw_soil soil)
{
    soil.frozen_conductivity_w_mk = soil.conductivity_w_mk;
    soil.frozen_volumetric_heat_j_m3k = soil.volumetric_heat_j_m3k;
    soil.latent_heat_j_m3 = 0.0;
    return soil;
}

// A trench alone is its own row: a second pair would say the same.
static size_t pairs_of(const gw_loop_site *site)
{
    return site->plan->trench.count > 1 ? PAIRS : 1;
}

// Daily gain by ice: the lesser of what a trench alone and one of an endless row would have. An
// endless row without ice gets colder than any real field, so the ice would seem to give more than
// it does; a trench alone has more water to freeze than one with neighbours.
static void lesser_gain(const twin *pairs, size_t count, double day_k[GW_DAYS_PER_YEAR])
{
    for (size_t day = 0; day < GW_DAYS_PER_YEAR; day++) {
        day_k[day] = HUGE_VAL;
        for (size_t p = 0; p < count; p++) {
            const twin *const pair = &pairs[p * TWINS];
            day_k[day] = fmin(day_k[day], pair[0].fluid_degc[day] - pair[1].fluid_degc[day]);
        }
    }
}

// The pairs: endless row (its ice is reported), then alone; one pair where there is one trench. In
// each the water freezes in the first.
static gw_status make_pairs(gw_arena *arena, const gw_loop_site *site, section_shape shape,
                            twin *twins, gw_err *err)
{
    const size_t count = TWINS * pairs_of(site);
    gw_status st = GW_OK;
    for (size_t i = 0; i < count && st == GW_OK; i++) {
        if (i >= TWINS) {
            shape.half_width_m = LONE_HALF_WIDTH_M;
        }
        twins[i].soil = i % TWINS == 0 ? shape.soil : never_frozen(shape.soil);
        // The pipe's own resistance is the same in both and cancels.
        st = make_twin(arena, site, &shape, 0.0, &twins[i], err);
    }
    return st;
}

gw_status gw_loop_freeze(gw_arena *arena, const gw_loop_site *site, const gw_loop_result *result,
                         const gw_loop_freeze_case *at, gw_loop_frozen *out, gw_err *err)
{
    *out = (gw_loop_frozen){0};
    if (site->plan->kind != GW_LOOP_TRENCH) {
        return gw_fail(err, GW_ERR_RANGE, "kind", "freezing is worked out for trenches only");
    }
    section_shape shape;
    gw_status st =
        gw_soil_at_depth(&site->ground->profile, site->plan->trench.depth_m, &shape.soil, err);
    if (st == GW_OK) {
        st = shape_of(site, at->first_month, &shape, err);
    }
    const size_t count = TWINS * pairs_of(site);
    twin *const twins = gw_arena_alloc(arena, count, sizeof *twins);
    out->correction_k = gw_arena_alloc(arena, GW_LOOP_HOURS, sizeof *out->correction_k);
    if (st == GW_OK && (twins == NULL || out->correction_k == NULL)) {
        st = gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory freezing the trench");
    }
    if (st == GW_OK) {
        st = make_pairs(arena, site, shape, twins, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const size_t first_day = (size_t)gw_weather_hours_before_month((int)at->first_month) / 24;
#pragma omp parallel for schedule(dynamic, 1)
    for (size_t i = 0; i < count; i++) {
        twins[i].status = run_twin(
            site, result, &(twin_drive){first_day, shape.count, at->heat_scale}, &twins[i]);
    }
    for (size_t i = 0; i < count; i++) {
        if (twins[i].status != GW_OK) {
            return gw_fail(err, twins[i].status, twins[i].err.field, "%s", twins[i].err.text);
        }
    }
    double day_k[GW_DAYS_PER_YEAR];
    lesser_gain(twins, count / TWINS, day_k);
    spread_over_hours(day_k, out->correction_k);
    report_ice(&twins[0], result, day_k, out);
    return GW_OK;
}
