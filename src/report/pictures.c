// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The charts that several papers show.
#include "draw/chart.h"
#include "report/papers.h"

#include <math.h>
#include <string.h>

void gw_papers_draw_water(gw_papers *p, gw_scene *scene, gw_box box, double size_mm)
{
    const size_t years = (size_t)p->design->job->limits.years;
    const size_t count = 12 * years;
    const gw_print_unit unit = gw_quantity_print_unit(GW_QTY_TEMPERATURE, p->style.units);
    double *const all = gw_arena_alloc(p->arena, 4 * count, sizeof *all);
    if (all == NULL || count == 0) {
        p->failed = true;
        return;
    }
    const gw_loop_limits *const l = &p->design->job->limits;
    const double floor_degc = l->min_entering_degc * unit.factor + unit.offset;
    const double ceiling_degc = l->max_entering_degc * unit.factor + unit.offset;
    double low = floor_degc;
    double high = -HUGE_VAL;
    for (size_t i = 0; i < count; i++) {
        const gw_loop_month *const m = &p->loop->sized.result.months[i];
        all[i] = ((double)i + 0.5) / 12.0;
        all[count + i] = m->least_degc * unit.factor + unit.offset;
        all[2 * count + i] = m->greatest_degc * unit.factor + unit.offset;
        all[3 * count + i] = m->mean_degc * unit.factor + unit.offset;
        low = fmin(low, all[count + i]);
        high = fmax(high, all[2 * count + i]);
    }
    const double span = high - low;
    const bool near = ceiling_degc < high + 0.5 * span;
    const double top = near ? fmax(high, ceiling_degc) + 0.08 * span : high + 0.1 * span;
    const gw_chart_series series[] = {
        {.x = all,
         .y = all + count,
         .y2 = all + 2 * count,
         .count = count,
         .pen = {0.2, GW_DASH_NONE, GW_ACCENT},
         .name = "coldest to warmest hour of the month"},
        {.x = all,
         .y = all + 3 * count,
         .count = count,
         .pen = {0.25, GW_DASH_NONE, GW_ACCENT},
         .name = "mean of the month"},
    };
    const gw_chart_limit limits[] = {{floor_degc, "coldest allowed"},
                                     {ceiling_degc, "warmest allowed"}};
    gw_chart_lines(scene,
                   &(gw_chart){.box = box,
                               .x = {"years of operation", 0.0, (double)years},
                               .y = {gw_papers_text(p, "water into the heat pump, %s", unit.unit),
                                     low - 0.08 * span, top},
                               .series = series,
                               .series_count = 2,
                               .limits = limits,
                               .limit_count = near ? 2 : 1,
                               .size_mm = size_mm});
    gw_scene_layer(scene, GW_LAYER_NOTE);
}

double gw_papers_draw_costs(gw_papers *p, gw_scene *scene, gw_box box, double size_mm)
{
    const gw_alternative_table *const table = &p->design->alternatives;
    gw_chart_bar *const bars = gw_arena_alloc(p->arena, table->count, sizeof *bars);
    if (bars == NULL) {
        p->failed = true;
        return 0.0;
    }
    for (size_t i = 0; i < table->count; i++) {
        const gw_alternative_year *const r = &table->rows[i];
        // The table has the best loop's bill; the paper may be about another one.
        const bool ours = strcmp(r->key, "ground_source") == 0;
        const gw_money cost = ours ? p->loop->electricity_year : r->energy_cost;
        bars[i] =
            (gw_chart_bar){r->name, gw_papers_money(p, cost), (double)cost.cents / 100.0, ours};
    }
    const double used = gw_chart_bars(scene, box, bars, table->count, size_mm);
    gw_scene_layer(scene, GW_LAYER_NOTE);
    return used;
}
