// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/outcome.h"

#include "loop/kind.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

// A text that was cut ends with a whole letter.
static void end_whole(char *text, size_t length)
{
    while (length > 0 && ((unsigned char)text[length - 1] & 0xC0U) == 0x80U) {
        length--;
    }
    if (length > 0 && ((unsigned char)text[length - 1] & 0x80U) != 0) {
        length--;
    }
    text[length] = '\0';
}

static void add_reason(gw_study_outcome *o, const char *what, const char *because)
{
    const size_t used = strlen(o->ruled_out);
    const int wanted = snprintf(o->ruled_out + used, sizeof o->ruled_out - used, "%s%s: %s",
                                used > 0 ? "; " : "", what, because);
    if (wanted < 0 || used + (size_t)wanted >= sizeof o->ruled_out) {
        end_whole(o->ruled_out, strlen(o->ruled_out));
    }
}

gw_study_outcome gw_study_outcome_of(const gw_design *design, size_t index)
{
    const gw_design_loop *const loop = &design->loops[index];
    const gw_loop_result *const r = &loop->sized.result;
    gw_study_outcome out = {
        .name = design->job->loops[index].name,
        .kind = loop->kind,
        .done = true,
        .stands = loop->stands,
        .loss_w = design->house.loss_w,
        .heat_j = r->last.heating_j + r->last.hot_water_j,
        .capacity_w = gw_plant_rated_heating(&loop->plant, 0.0).capacity_w,
        .count = gw_loop_count_of(&loop->sized.plan),
        .each_m = gw_loop_each_m(&loop->sized.plan),
        .length_m = loop->sized.response.length_m,
        .land_length_m = loop->land_length_m,
        .land_width_m = loop->land_width_m,
        .coldest_degc = r->coldest.degc,
        .warmest_degc = r->warmest.degc,
        .coldest_first_degc = r->coldest_first.degc,
        .performance = r->heating_spf,
        .circulator_w = loop->circulator_w,
        .installed = loop->estimate.total.typical,
        .electricity_year = loop->electricity_year,
        .present_cost = loop->life_cycle.present_cost,
    };
    for (size_t i = 0; i < loop->verdicts.count; i++) {
        const gw_verdict *const v = &loop->verdicts.items[i];
        out.cautions += v->state == GW_VERDICT_CAUTION ? 1 : 0;
        if (v->state == GW_VERDICT_FAILS) {
            add_reason(&out, v->what, v->because);
        }
    }
    return out;
}

const gw_alternative_year *gw_study_alternative_row(const gw_design *design, const char *key)
{
    for (size_t i = 0; i < design->alternatives.count; i++) {
        if (strcmp(design->alternatives.rows[i].key, key) == 0) {
            return &design->alternatives.rows[i];
        }
    }
    return NULL;
}

gw_status gw_study_alternative_cost(const gw_job *job, const gw_alternative_year *row,
                                    gw_money *present_cost, gw_err *err)
{
    const gw_job_money *const m = &job->money;
    const bool electric = strcmp(row->fuel_unit, "kWh") == 0;
    const gw_life_cycle_part part = {
        .name = row->name, .cost = row->capital, .life_year = row->life_year};
    const gw_life_cycle_flow flows[] = {
        {.name = "energy",
         .per_year = row->energy_cost,
         .escalation_frac = electric ? m->electricity_escalation_frac : m->fuel_escalation_frac,
         .energy = true},
        {.name = "maintenance", .per_year = row->maintenance},
    };
    const gw_life_cycle_plan plan = {.horizon_year = m->study_year,
                                     .discount_frac = m->discount_frac,
                                     .parts = &part,
                                     .part_count = 1,
                                     .flows = flows,
                                     .flow_count = 2};
    gw_life_cycle_result result;
    const gw_status st = gw_life_cycle_cost(&plan, &result, err);
    *present_cost = st == GW_OK ? result.present_cost : gw_money_from_cents(0);
    return st;
}
