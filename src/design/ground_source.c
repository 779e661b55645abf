// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Where a loop takes its heat, and how much month by month.
#include "design/ground_map.h"

#include "climate/weather.h"
#include "ground/field.h"

#include <math.h>
#include <string.h>

enum { MONTHS = 12 };
static const double DAY_S = 86400.0;

static gw_status no_memory(gw_err *err)
{
    return gw_fail(err, GW_ERR_NOMEM, "lot", "out of memory for the ground around the loop");
}

// ---- lines --------------------------------------------------------------------------------------

// How the lines share the heat: all of them at one fluid temperature, as the response was solved,
// each with the pipe's resistance; by reciprocity the weights with which undisturbed temperatures
// mix are the shares of the heat. Taken at the pace of the horizon. Coils and mixed loops: alike.
static gw_status share_heat(gw_arena *arena, const gw_design_loop *loop, double years, double **out,
                            gw_err *err)
{
    const gw_loop_response *const r = &loop->sized.response;
    const bool trench = loop->kind == GW_LOOP_TRENCH;
    *out = NULL;
    if (loop->kind != GW_LOOP_BORES && !trench) {
        return GW_OK;
    }
    const size_t count = r->segment_count;
    double *const relative = gw_arena_alloc(arena, count, sizeof *relative);
    double *const resistance_mk_w = gw_arena_alloc(arena, count, sizeof *resistance_mk_w);
    if (relative == NULL || resistance_mk_w == NULL) {
        return no_memory(err);
    }
    double length_m = 0.0;
    for (size_t i = 0; i < count; i++) {
        resistance_mk_w[i] = r->resistance_mk_w;
        length_m += r->segments[i].length_m;
    }
    const gw_field field = {
        .segments = r->segments,
        .resistance_mk_w = trench ? resistance_mk_w : NULL,
        .count = count,
        .medium = {r->soil.conductivity_w_mk, gw_soil_diffusivity_m2_s(&r->soil)},
        .boundary = GW_FIELD_EQUAL_TEMPERATURE};
    gw_field_periodic mix;
    const gw_status st = gw_field_mix_periodic(arena, &field, 1.0 / (years * GW_YEAR_S), &mix, err);
    for (size_t i = 0; st == GW_OK && i < count; i++) {
        relative[i] = mix.weight[i].re * length_m / r->segments[i].length_m;
    }
    *out = relative;
    return st;
}

// Pieces in a row joined again: one line per bore or pipe.
static size_t join_pieces(const gw_loop_response *r, gw_segment *out)
{
    size_t count = 0;
    for (size_t i = 0; i + r->pieces <= r->segment_count; i += r->pieces) {
        const gw_segment *const first = &r->segments[i];
        const gw_segment *const last = &r->segments[i + r->pieces - 1];
        out[count++] = gw_segment_between((gw_position){first->x_m, first->y_m, first->z_m},
                                          gw_segment_point(last, last->length_m), first->radius_m);
    }
    return count;
}

// A pipe as the response lays it (trenches side by side at the plan's spacing, along y) moved into
// its lane on the lot.
static gw_segment into_lane(const gw_segment *pipe, const gw_design_on_lot *on, double spacing_m,
                            double length_m)
{
    const double place = on->lane_count > 1 ? pipe->x_m / spacing_m : 0.0;
    const double nearest = fmin(fmax(round(place), 0.0), (double)(on->lane_count - 1));
    const gw_lot_lane *const lane = &on->lanes[(size_t)nearest];
    const double ux = (lane->to.x_m - lane->from.x_m) / lane->length_m;
    const double uy = (lane->to.y_m - lane->from.y_m) / lane->length_m;
    const double scale = lane->length_m / length_m;
    const double across_m = pipe->x_m - nearest * spacing_m;
    gw_position end[2];
    for (int e = 0; e < 2; e++) {
        const gw_position p = gw_segment_point(pipe, e == 0 ? 0.0 : pipe->length_m);
        end[e] = (gw_position){lane->from.x_m + ux * p.y_m * scale + uy * across_m,
                               lane->from.y_m + uy * p.y_m * scale - ux * across_m, p.z_m};
    }
    return gw_segment_between(end[0], end[1], pipe->radius_m);
}

static void lay_lines(const gw_design_loop *loop, gw_segment *lines, size_t count)
{
    const gw_design_on_lot *const on = loop->on_lot;
    if (on == NULL || on->lane_count == 0) {
        return;
    }
    double length_m = 0.0;
    for (size_t i = 0; i < on->lane_count; i++) {
        length_m += on->lanes[i].length_m / (double)on->lane_count;
    }
    for (size_t i = 0; i < count; i++) {
        lines[i] = into_lane(&lines[i], on, on->wanted_spacing_m, length_m);
    }
}

// ---- heat ---------------------------------------------------------------------------------------

static void month_heats(const gw_design_loop *loop, double out_w[MONTHS])
{
    const double *const day_w_m = loop->sized.result.day_heat_w_m;
    int day = 0;
    for (int month = 0; month < MONTHS; month++) {
        const int days = gw_weather_days_of_month(month);
        double sum_w_m = 0.0;
        for (int i = 0; i < days; i++) {
            sum_w_m += day_w_m[day++];
        }
        out_w[month] = sum_w_m / days * loop->sized.response.length_m;
    }
}

static gw_status fill_heat(gw_arena *arena, const gw_design *design, const gw_design_loop *loop,
                           gw_design_source *out, gw_err *err)
{
    const size_t count = MONTHS * (size_t)design->job->limits.years;
    double *const end_s = gw_arena_alloc(arena, count, sizeof *end_s);
    double *const heat_w = gw_arena_alloc(arena, count, sizeof *heat_w);
    if (end_s == NULL || heat_w == NULL) {
        return no_memory(err);
    }
    double month_w[MONTHS];
    month_heats(loop, month_w);
    double now_s = 0.0;
    for (size_t i = 0; i < count; i++) {
        const size_t month = (out->first_month + i) % MONTHS;
        now_s += DAY_S * gw_weather_days_of_month((int)month);
        end_s[i] = now_s;
        heat_w[i] = month_w[month];
    }
    out->past.end_s = end_s;
    out->past.heat_w = heat_w;
    out->past.count = count;
    return GW_OK;
}

// ---- public -------------------------------------------------------------------------------------

gw_status gw_design_ground_source(gw_arena *arena, const gw_design *design, size_t index,
                                  gw_design_source *out, gw_err *err)
{
    *out = (gw_design_source){.first_month = GW_LOOP_FIRST_MONTH};
    if (index >= design->loop_count) {
        return gw_fail(err, GW_ERR_RANGE, "loop", "found loop %zu, expected below %zu", index,
                       design->loop_count);
    }
    const gw_design_loop *const loop = &design->loops[index];
    const gw_loop_response *const r = &loop->sized.response;
    if (r->segment_count == 0 || r->pieces == 0 || loop->sized.result.day_heat_w_m == NULL) {
        return gw_fail(err, GW_ERR_RANGE, "loop", "%s takes no heat from the ground around it",
                       loop->name);
    }
    gw_segment *const lines = gw_arena_alloc(arena, r->segment_count, sizeof *lines);
    if (lines == NULL) {
        return no_memory(err);
    }
    double *relative = NULL;
    gw_status st = share_heat(arena, loop, design->job->limits.years, &relative, err);
    if (st != GW_OK) {
        return st;
    }
    size_t count = r->segment_count;
    if (relative != NULL) {
        memcpy(lines, r->segments, count * sizeof *lines);
    } else {
        count = join_pieces(r, lines);
    }
    lay_lines(loop, lines, count);
    double weight = 0.0;
    for (size_t i = 0; i < count; i++) {
        weight += lines[i].length_m;
        out->depth_m +=
            lines[i].length_m * gw_segment_point(&lines[i], 0.5 * lines[i].length_m).z_m;
    }
    out->depth_m /= weight;
    out->diffusivity_m2_s = gw_soil_diffusivity_m2_s(&r->soil);
    out->ground = loop->kind == GW_LOOP_BORES ? design->bore_ground : design->trench_ground;
    out->past.segments = lines;
    out->past.segment_count = count;
    out->past.relative = relative;
    out->past.medium = (gw_ground_medium){r->soil.conductivity_w_mk, out->diffusivity_m2_s};
    return fill_heat(arena, design, loop, out, err);
}

double gw_design_month_end_day(const gw_design_source *source, size_t month)
{
    double day = 0.0;
    for (size_t m = 0; m <= (source->first_month + month) % MONTHS; m++) {
        day += gw_weather_days_of_month((int)m);
    }
    return day;
}

double gw_design_undisturbed_degc(const gw_design_source *source, double depth_m, double day)
{
    return gw_ground_temperature_degc(&source->ground.surface,
                                      (gw_depth_day){depth_m, day, source->diffusivity_m2_s}) +
           source->ground.gradient_k_m * depth_m;
}
