// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// One loop of the job: sized, laid against the lot, held against the handbook.
#include "design/design_priv.h"

#include "loop/pulse_method.h"

#include <math.h>

// Lot limits go into the plan, so that the sizing does not propose what cannot be laid.
static gw_loop_plan plan_on_lot(const gw_design_priv *d, const gw_loop_plan *asked)
{
    const gw_job_site *const site = &d->input->job->site;
    gw_loop_plan plan = *asked;
    if (plan.kind == GW_LOOP_TRENCH && gw_job_is_given(site->usable_length_m)) {
        const double longest_m = plan.trench.max_length_m;
        plan.trench.max_length_m =
            longest_m > 0.0 ? fmin(longest_m, site->usable_length_m) : site->usable_length_m;
    }
    return plan;
}

// Working room around a collar or beside a trench (common practice, no source).
static const double LAND_MARGIN_M = 1.0;

static void measure_land(const gw_design_priv *d, gw_design_loop *loop)
{
    const gw_job_site *const site = &d->input->job->site;
    const gw_loop_response *const r = &loop->sized.response;
    double low[2] = {HUGE_VAL, HUGE_VAL};
    double high[2] = {-HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < r->segment_count; i++) {
        for (int end = 0; end < 2; end++) {
            const gw_position p =
                gw_segment_point(&r->segments[i], end == 0 ? 0.0 : r->segments[i].length_m);
            low[0] = fmin(low[0], p.x_m);
            high[0] = fmax(high[0], p.x_m);
            low[1] = fmin(low[1], p.y_m);
            high[1] = fmax(high[1], p.y_m);
        }
    }
    const double margin_m =
        loop->kind == GW_LOOP_BORES ? LAND_MARGIN_M : 0.5 * loop->sized.plan.trench.width_m;
    const double across_m = high[0] - low[0] + 2.0 * margin_m;
    const double along_m = high[1] - low[1] + (loop->kind == GW_LOOP_BORES ? 2.0 * margin_m : 0.0);
    loop->land_length_m = fmax(across_m, along_m);
    loop->land_width_m = fmin(across_m, along_m);
    const double slack_m = 1e-6;
    loop->fits_lot = (!gw_job_is_given(site->usable_length_m) ||
                      loop->land_length_m <= site->usable_length_m + slack_m) &&
                     (!gw_job_is_given(site->usable_width_m) ||
                      loop->land_width_m <= site->usable_width_m + slack_m);
}

// Peak, highest month and year of the heat that the design's last year takes from the ground, by
// the heat pump at the least entering water.
static gw_pulse_loads pulse_loads(const gw_design_priv *d, const gw_design_loop *loop)
{
    const double *const heating_w = d->design->loads.heating_w;
    const gw_loop_energy *const y = &loop->sized.result.last;
    const double share =
        y->heating_j > 0.0 ? y->extracted_j / (y->heating_j + y->hot_water_j) : 0.7;
    double month_w = 0.0;
    for (int month = 0; month < 12; month++) {
        double sum_w = 0.0;
        const int start = gw_weather_hours_before_month(month);
        const int hours = 24 * gw_weather_days_of_month(month);
        for (int h = 0; h < hours; h++) {
            sum_w += heating_w[start + h];
        }
        month_w = fmax(month_w, sum_w / hours);
    }
    return (gw_pulse_loads){.hour_w = loop->sized.result.peak_extraction_w,
                            .month_w = share * month_w,
                            .year_w = y->ground_j / GW_YEAR_S};
}

static void handbook_line(const gw_design_priv *d, gw_design_loop *loop)
{
    gw_design_handbook *const h = &loop->handbook;
    if (loop->kind != GW_LOOP_BORES) {
        h->why_not = "the three-pulse formula is for bores";
        return;
    }
    const gw_loop_response *const r = &loop->sized.response;
    const gw_loop_limits *const limits = &d->input->job->limits;
    const gw_pulse_loads loads = pulse_loads(d, loop);
    const double drop_k = loads.hour_w / r->capacity_w_k;
    const gw_pulse_ground ground = {
        .conductivity_w_mk = r->soil.conductivity_w_mk,
        .diffusivity_m2_s = gw_soil_diffusivity_m2_s(&r->soil),
        .bore_radius_m = 0.5 * loop->sized.plan.bores.diameter_m,
        .bore_resistance_mk_w = r->resistance_mk_w,
        .fluid_degc = limits->min_entering_degc - 0.5 * drop_k,
        .ground_degc = r->undisturbed_degc,
    };
    gw_err why = {0};
    h->bore_mk_w = r->resistance_mk_w;
    if (gw_pulse_length(&loads, &ground, &h->length_m, &why) != GW_OK) {
        h->length_m = 0.0;
        h->why_not = gw_arena_strdup(d->arena, why.text);
    }
}

gw_status gw_design_priv_loop(gw_design_priv *d, size_t index)
{
    gw_design_loop *const loop = &d->design->loops[index];
    const gw_loop_plan plan = plan_on_lot(d, &d->input->job->loops[index]);
    loop->name = plan.name;
    loop->kind = plan.kind;
    const char *const pipe_id = plan.kind == GW_LOOP_BORES ? plan.bores.pipe : plan.trench.pipe;
    gw_status st = gw_pipes_find(&d->pipes, pipe_id, &loop->pipe, d->err);
    if (st == GW_OK) {
        st = gw_pipes_find(&d->pipes, d->input->job->pipes.header_pipe, &loop->header, d->err);
    }
    if (st == GW_OK) {
        st = gw_design_priv_size(d, loop, &plan);
    }
    if (st != GW_OK) {
        return st;
    }
    measure_land(d, loop);
    handbook_line(d, loop);
    return GW_OK;
}
