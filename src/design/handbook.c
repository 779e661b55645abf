// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Lengths of the handbooks, beside the sized ones: the three-pulse formula for bores, a table of
// trench for each ton for trenches and coils, pipe for each ton for ponds. Plausibility, no method.
#include "design/design_priv.h"

#include "loop/pulse_method.h"

#include <math.h>

#define FOOT_M 0.3048
#define TON_W 3516.8528420667
#define BTU_W_MK 1.7307346663714 // 1 Btu/(h·ft·°F)

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

static void three_pulses(const gw_design_priv *d, gw_design_loop *loop)
{
    gw_design_handbook *const h = &loop->handbook;
    h->what = "three-pulse length for bores far apart";
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

// ---------------------------------------------------------------- trenches and coils

// How the table's lengths change with the soil: about 1.2, 1, 0.9 and 0.8 at 0.4, 0.6, 0.8 and 1
// Btu/(h·ft·°F) (from memory, as the table); straight lines between, the ends held.
static double soil_factor(double conductivity_w_mk)
{
    static const double K[] = {0.4, 0.6, 0.8, 1.0};
    static const double FACTOR[] = {1.2, 1.0, 0.9, 0.8};
    const double k = fmin(fmax(conductivity_w_mk / BTU_W_MK, K[0]), K[3]);
    size_t i = 0;
    while (i < 2 && k > K[i + 1]) {
        i++;
    }
    return FACTOR[i] + (FACTOR[i + 1] - FACTOR[i]) * (k - K[i]) / (K[i + 1] - K[i]);
}

// Feet of trench for each ton: the row of the number of pipes (0: coil) and of the ground.
static gw_status table_ft(gw_design_priv *d, double pipes, double ground_degf, double *out_ft)
{
    gw_table table;
    gw_status st = gw_design_priv_table(d, "trench_lengths.csv", &table);
    double off = HUGE_VAL;
    for (size_t i = 0; st == GW_OK && i < table.rows; i++) {
        static const char *const COLUMNS[] = {"pipes", "ground_from_degf", "ground_to_degf",
                                              "trench_ft_per_ton"};
        double cell[4] = {0.0};
        for (size_t k = 0; st == GW_OK && k < 4; k++) {
            st = gw_table_number(&table, i, COLUMNS[k], &cell[k], d->err);
        }
        const double away = fabs(ground_degf - 0.5 * (cell[1] + cell[2]));
        if (st == GW_OK && cell[0] == pipes && away < off) {
            off = away;
            *out_ft = cell[3];
        }
    }
    return st;
}

static gw_status trench_table(gw_design_priv *d, gw_design_loop *loop)
{
    gw_design_handbook *const h = &loop->handbook;
    const gw_loop_plan *const plan = &loop->sized.plan;
    const bool coil = loop->kind == GW_LOOP_COIL;
    const size_t pipes = coil ? 0 : plan->trench.pipes;
    if (!coil && pipes != 2 && pipes != 4 && pipes != 6) {
        h->why_not = "the table of trench for each ton knows 2, 4 or 6 pipes";
        return GW_OK;
    }
    double ft = 0.0;
    const double ground_degf = 32.0 + 1.8 * loop->sized.response.undisturbed_degc;
    const gw_status st = table_ft(d, (double)pipes, ground_degf, &ft);
    if (st != GW_OK) {
        return st;
    }
    const double tons = gw_plant_rated_heating(&loop->plant, 0.0).capacity_w / TON_W;
    const double trench_m =
        FOOT_M * ft * tons * soil_factor(loop->sized.response.soil.conductivity_w_mk);
    // A coil's rings hold as much pipe to the metre as this design's do.
    const double per_m =
        coil ? loop->sized.response.length_m / (plan->coil.length_m * (double)plan->coil.count)
             : (double)pipes;
    h->what = "table of trench for each ton (Kavanaugh, from memory, 15 %)";
    h->length_m = trench_m * per_m;
    h->least_frac = 0.7;
    return GW_OK;
}

gw_status gw_design_priv_handbook(gw_design_priv *d, gw_design_loop *loop)
{
    gw_design_handbook *const h = &loop->handbook;
    switch (loop->kind) {
    case GW_LOOP_BORES:
        three_pulses(d, loop);
        break;
    case GW_LOOP_TRENCH:
    case GW_LOOP_COIL:
        return trench_table(d, loop);
    case GW_LOOP_POND:
        h->what = "300 ft of pipe for each ton (trade pages on pond loops)";
        h->length_m = 300.0 * FOOT_M * gw_plant_rated_heating(&loop->plant, 0.0).capacity_w / TON_W;
        h->least_frac = 0.7;
        break;
    case GW_LOOP_WELL:
        h->why_not = "a well is judged by its flow";
        break;
    case GW_LOOP_MIXED:
        h->why_not = "no handbook knows a mixed loop";
        break;
    }
    return GW_OK;
}
