// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "report/answer.h"

#include "report/neighbours_text.h"
#include "report/prose.h"

#include <math.h>
#include <string.h>

enum { WIDTH = 100 };

typedef struct {
    gw_prose text;
    const gw_design *design;
    gw_answer_style style;
} page;

#define Q(kind, value) gw_prose_quantity(&p->text, GW_QTY_##kind, (value))

static const char *money(page *p, gw_money amount)
{
    return gw_prose_money(&p->text, amount, p->design->job->currency);
}

// "14 February, 06:00" of an hour of the year.
static const char *date_of(page *p, size_t hour)
{
    static const char *const MONTHS[] = {"January",   "February", "March",    "April",
                                         "May",       "June",     "July",     "August",
                                         "September", "October",  "November", "December"};
    const int month = gw_weather_month_of_hour((int)hour);
    const int within = (int)hour - gw_weather_hours_before_month(month);
    const char *const s = gw_arena_printf(p->text.arena, "%d %s, %02d:00", within / 24 + 1,
                                          MONTHS[month], within % 24);
    return s != NULL ? s : "?";
}

// ---------------------------------------------------------------- the answer

static const char *plural(size_t count)
{
    return count == 1 ? "" : "s";
}

static void describe_trench(page *p, const gw_trench_plan *t)
{
    const double trench_m = t->length_m * (double)t->count;
    gw_prose_add(
        &p->text,
        "  %zu trench%s of %s with %zu pipe%s each, %s deep: %s of pipe in %s of trench.\n",
        t->count, t->count == 1 ? "" : "es", Q(LENGTH, t->length_m), t->pipes, plural(t->pipes),
        Q(LENGTH, t->depth_m), Q(LENGTH, trench_m * (double)t->pipes), Q(LENGTH, trench_m));
    if (t->fill_m > 0.0) {
        gw_prose_add(&p->text, "  Under %s of fill: dug %s deep from today's ground.\n",
                     Q(LENGTH, t->fill_m), Q(LENGTH, t->depth_m - t->fill_m));
    }
    if (t->backfill_w_mk > 0.0) {
        gw_prose_add(&p->text, "  Backfill of %s around the pipes.\n",
                     Q(CONDUCTIVITY, t->backfill_w_mk));
    }
}

static void describe_coil(page *p, const gw_coil_plan *c)
{
    const gw_coil_extent extent = gw_coil_extent_of(c);
    gw_prose_add(
        &p->text,
        "  %zu coil trench%s of %s, rings of %s every %s, %s, %s deep: %s of pipe with the "
        "returns.\n",
        c->count, c->count == 1 ? "" : "es", Q(LENGTH, c->length_m), Q(LENGTH, c->ring_diameter_m),
        Q(LENGTH, c->pitch_m), c->lie == GW_COIL_FLAT ? "flat" : "upright", Q(LENGTH, c->depth_m),
        Q(LENGTH, extent.pipe_m * (double)c->count));
}

static void describe_pond(page *p, const gw_design_loop *loop)
{
    const gw_pond_plan *const pond = &loop->sized.plan.pond;
    gw_prose_add(&p->text, "  %zu bundle%s of %s of pipe, %s deep in a pond of %s.\n",
                 pond->bundles, plural(pond->bundles), Q(LENGTH, pond->bundle_m),
                 Q(LENGTH, gw_pond_coil_depth_m(pond)), Q(AREA, pond->area_m2));
    if (loop->pond->refused == NULL) {
        gw_prose_add(&p->text,
                     "  Water at the bundles: coldest %s (%s without the loop), warmest %s; ice up "
                     "to %s.\n",
                     Q(TEMPERATURE, loop->pond->with.coldest_degc),
                     Q(TEMPERATURE, loop->pond->without.coldest_degc),
                     Q(TEMPERATURE, loop->pond->with.warmest_degc),
                     Q(LENGTH, loop->pond->with.thickest_ice_m));
    }
}

static void describe_well(page *p, const gw_design_loop *loop)
{
    const gw_open_well_plan *const open = &loop->sized.plan.well;
    const gw_well_answer *const a = &loop->well->answer;
    const bool back = open->well.back == GW_WELL_RETURN_WELL;
    gw_prose_add(
        &p->text, "  Ground water of %s, %s of it in the coldest hour, given back %s %s away.\n",
        Q(TEMPERATURE, open->well.water_degc), Q(FLOW, a->flow_m3_s),
        back ? "through a well" : "at the surface", Q(LENGTH, open->well.return_distance_m));
    gw_prose_add(&p->text,
                 "  Pumping draws the water down by %s to %s; head %s, pump %.0f W, %s a year.\n",
                 Q(LENGTH, a->drawdown_m), Q(LENGTH, a->level_m), Q(HEAD, a->head_m), a->pump_w,
                 Q(ENERGY, a->pump_year_j));
    if (back && isfinite(a->heat.breakthrough_s) && a->heat.breakthrough_s > 0.0) {
        gw_prose_add(&p->text, "  Returned water is first felt after %.0f days.\n",
                     a->heat.breakthrough_s / 86400.0);
    }
}

static void describe_part(page *p, const gw_design_loop *loop, const gw_loop_plan *plan)
{
    switch (plan->kind) {
    case GW_LOOP_BORES:
        gw_prose_add(&p->text,
                     "  %zu bore%s, each %s deep below its top at %s: %s of bore in all.\n",
                     plan->bores.count, plural(plan->bores.count), Q(LENGTH, plan->bores.depth_m),
                     Q(LENGTH, plan->bores.top_m), Q(LENGTH, gw_loop_length_m(plan)));
        break;
    case GW_LOOP_TRENCH:
        describe_trench(p, &plan->trench);
        break;
    case GW_LOOP_COIL:
        describe_coil(p, &plan->coil);
        break;
    case GW_LOOP_POND:
        describe_pond(p, loop);
        break;
    case GW_LOOP_WELL:
        describe_well(p, loop);
        break;
    case GW_LOOP_MIXED:
        gw_prose_add(&p->text, "  %zu parts in parallel on one header:\n", plan->mixed.part_count);
        break;
    }
}

static void describe_loop(page *p, const gw_design_loop *loop)
{
    const gw_loop_plan *const plan = &loop->sized.plan;
    describe_part(p, loop, plan);
    for (size_t i = 0; i < plan->mixed.part_count; i++) {
        const gw_loop_plan part = gw_loop_part(plan, i);
        gw_prose_add(&p->text, "  %.0f %% of the flow:", 100.0 * plan->mixed.flow_frac[i]);
        describe_part(p, loop, &part);
    }
}

static void describe_water(page *p, const gw_design_loop *loop)
{
    const gw_loop_result *const r = &loop->sized.result;
    gw_prose_add(&p->text,
                 "  Coldest water into the heat pump: %s on %s of year %zu (first winter: %s).\n",
                 Q(TEMPERATURE, r->coldest.degc), date_of(p, r->coldest.hour), r->coldest.year,
                 Q(TEMPERATURE, r->coldest_first.degc));
    gw_prose_add(&p->text, "  Warmest: %s on %s of year %zu.\n", Q(TEMPERATURE, r->warmest.degc),
                 date_of(p, r->warmest.hour), r->warmest.year);
}

static const gw_alternative_year *find_row(const gw_alternative_table *table, const char *key)
{
    for (size_t i = 0; i < table->count; i++) {
        if (strcmp(table->rows[i].key, key) == 0) {
            return &table->rows[i];
        }
    }
    return NULL;
}

static void describe_money(page *p, const gw_design_loop *loop)
{
    const gw_alternative_table *const table = &p->design->alternatives;
    const gw_alternative_year *const base = find_row(table, p->design->job->money.compare_with);
    gw_prose_add(&p->text, "  Installed: about %s (from %s to %s by the price book).\n",
                 money(p, loop->estimate.total.typical), money(p, loop->estimate.total.low),
                 money(p, loop->estimate.total.high));
    if (base != NULL) {
        gw_prose_add(&p->text, "  Energy: %s a year, where %s takes %s.",
                     money(p, loop->electricity_year), base->name, money(p, base->energy_cost));
        if (loop->against.has_simple_payback) {
            gw_prose_add(&p->text, " The difference pays back in %.1f years.",
                         loop->against.simple_payback_year);
        }
        gw_prose_add(&p->text, "\n");
    }
    gw_prose_add(&p->text,
                 "  Heat delivered per unit of electricity, circulator, blower and auxiliary "
                 "included: %.2f.\n",
                 loop->sized.result.heating_spf);
}

static void answer(page *p)
{
    const gw_design *const d = p->design;
    gw_prose_add(&p->text, "%s\n", d->job->name);
    gw_prose_add(&p->text, "%s%s%s · %s\n", d->station->name,
                 d->station->region[0] != '\0' ? ", " : "", d->station->region,
                 d->weather_made ? "hourly year made from the monthly normals" : d->weather->name);
    gw_prose_heading(&p->text, "Answer");
    if (d->best == d->loop_count) {
        gw_prose_wrap(
            &p->text, 2, WIDTH,
            "None of the loops in this job holds its limits on this lot. The verdicts "
            "below say why; more "
            "ground, more or deeper bores, a smaller heat loss or a lower water limit are "
            "the ways out.");
        return;
    }
    const gw_design_loop *const loop = &d->loops[d->best];
    gw_prose_add(&p->text, "  %s%s\n", loop->name,
                 d->loop_count > 1 ? " (least cost over the study of those that hold)" : "");
    describe_loop(p, loop);
    describe_water(p, loop);
    describe_money(p, loop);
}

// ---------------------------------------------------------------- loops side by side

static void side_by_side(page *p)
{
    const gw_design *const d = p->design;
    gw_prose_heading(&p->text, "Loops side by side");
    static const size_t COLUMNS[] = {30, 41, 54, 65, 75, 87};
    const char *const titles[] = {"length",  "ground used", "coldest",
                                  "warmest", "installed",   "a year"};
    for (size_t i = 0; i < 6; i++) {
        gw_prose_pad(&p->text, COLUMNS[i]);
        gw_prose_add(&p->text, "%s", titles[i]);
    }
    gw_prose_add(&p->text, "\n");
    for (size_t i = 0; i < d->loop_count; i++) {
        const gw_design_loop *const loop = &d->loops[i];
        const gw_loop_result *const r = &loop->sized.result;
        gw_prose_add(&p->text, "  %.*s", 27, loop->name);
        const char *const cells[] = {Q(LENGTH, loop->sized.response.length_m),
                                     Q(AREA, loop->land_length_m * loop->land_width_m),
                                     Q(TEMPERATURE, r->coldest.degc),
                                     Q(TEMPERATURE, r->warmest.degc),
                                     money(p, loop->estimate.total.typical),
                                     money(p, loop->electricity_year)};
        for (size_t k = 0; k < 6; k++) {
            gw_prose_pad(&p->text, COLUMNS[k]);
            gw_prose_add(&p->text, "%s", cells[k]);
        }
        gw_prose_add(&p->text, "%s\n", loop->stands ? "" : "  (ruled out)");
    }
}

// ---------------------------------------------------------------- one loop

static const char *limit_words(page *p, const gw_verdict *v)
{
    if (v->side == GW_LIMIT_NONE) {
        return "";
    }
    const char *const s = gw_arena_printf(p->text.arena, "%s %s",
                                          v->side == GW_LIMIT_AT_LEAST ? "at least" : "at most",
                                          gw_prose_quantity(&p->text, v->kind, v->limit));
    return s != NULL ? s : "?";
}

static void verdicts(page *p, const gw_design_loop *loop)
{
    for (size_t i = 0; i < loop->verdicts.count; i++) {
        const gw_verdict *const v = &loop->verdicts.items[i];
        gw_prose_add(&p->text, "  %s", gw_verdict_word(v->state));
        gw_prose_pad(&p->text, 13);
        gw_prose_add(&p->text, "%s", v->what);
        gw_prose_pad(&p->text, 62);
        gw_prose_add(&p->text, "%s", gw_prose_quantity(&p->text, v->kind, v->found));
        gw_prose_pad(&p->text, 76);
        gw_prose_add(&p->text, "%s\n", limit_words(p, v));
        if (v->state != GW_VERDICT_HOLDS || p->style.verbose) {
            gw_prose_wrap(&p->text, 15, WIDTH, v->because);
        }
    }
}

static void charge_of(page *p, const gw_design_loop *loop)
{
    const gw_circuit_result *const h = &loop->hydraulics;
    gw_prose_add(&p->text, "  Loop holds %s", Q(VOLUME, h->total_volume_m3));
    if (loop->fluid.kind == GW_FLUID_WATER) {
        gw_prose_add(&p->text, " of water");
    } else {
        gw_prose_add(&p->text, ": %s of %s (%.0f %% by mass), freezes at %s",
                     h->charge.antifreeze_m3 > 0.0 ? Q(VOLUME, h->charge.antifreeze_m3)
                                                   : Q(MASS, h->charge.antifreeze_kg),
                     p->design->fluid_data->name, 100.0 * loop->fluid.mass_frac,
                     Q(TEMPERATURE, loop->freeze_degc));
    }
    gw_prose_add(&p->text, ". Purge at %s, %s of head.\n", Q(FLOW, h->purge_flow_m3_s),
                 Q(HEAD, h->purge_head_m));
}

static void pipes_of(page *p, const gw_design_loop *loop)
{
    const gw_circuit_result *const h = &loop->hydraulics;
    const gw_loop_response *const r = &loop->sized.response;
    if (loop->kind == GW_LOOP_WELL) {
        gw_prose_add(&p->text, "  Lines of %s, %s of pipe to the house and back.\n",
                     loop->pipe->name, Q(LENGTH, r->circuit_pipe_m));
        return;
    }
    gw_prose_add(&p->text, "  %zu circuit%s of %s, each %s of pipe; header %s, %s one way.\n",
                 r->circuits, plural(r->circuits), loop->pipe->name, Q(LENGTH, r->circuit_pipe_m),
                 loop->header->name, Q(LENGTH, loop->sized.plan.header_m));
    gw_prose_add(&p->text,
                 "  Flow %s, head %s at the coldest fluid, circulator %.0f W (pumping grade %c), "
                 "Reynolds %.0f.\n",
                 Q(FLOW, r->capacity_w_k / (h->props.density_kg_m3 * h->props.specific_heat_j_kgk)),
                 Q(HEAD, h->total_head_m), h->pump_w, h->grade.grade, h->least_reynolds);
    charge_of(p, loop);
}

static void handbook(page *p, const gw_design_loop *loop)
{
    if (loop->handbook.length_m > 0.0) {
        const double ratio = loop->sized.response.length_m / loop->handbook.length_m - 1.0;
        gw_prose_add(&p->text, "  Handbook: %s: %s; this design is %.0f %% %s.\n",
                     loop->handbook.what, Q(LENGTH, loop->handbook.length_m), 100.0 * fabs(ratio),
                     ratio >= 0.0 ? "longer" : "shorter");
    }
}

static void numbers(page *p, const gw_design_loop *loop)
{
    const gw_loop_response *const r = &loop->sized.response;
    gw_prose_add(
        &p->text,
        "  Ground %s, undisturbed %s; fluid to ground %s; fit of the response within %.2f %%.\n",
        Q(CONDUCTIVITY, r->soil.conductivity_w_mk), Q(TEMPERATURE, r->undisturbed_degc),
        Q(LINE_RESISTANCE, r->resistance_mk_w), 100.0 * r->step.fit_error_frac);
    gw_prose_add(&p->text, "  Sizing took %zu simulated horizons; the last round:", loop->horizons);
    for (size_t i = 0; i < loop->sized.try_count; i++) {
        const gw_loop_try *const t = &loop->sized.tries[i];
        gw_prose_add(&p->text, "%s %zu × %s → %s", i > 0 ? "," : "", t->count, Q(LENGTH, t->each_m),
                     Q(TEMPERATURE, t->least_degc));
    }
    gw_prose_add(&p->text, "\n");
}

static void loop_details(page *p, const gw_design_loop *loop)
{
    gw_prose_heading(&p->text, loop->name);
    describe_loop(p, loop);
    describe_water(p, loop);
    const char *const governs = loop->sized.governor == GW_GOVERNED_BY_COLD ? "the coldest hour"
                                : loop->sized.governor == GW_GOVERNED_BY_WARMTH
                                    ? "the warmest hour"
                                    : "nothing: the shortest loop allowed holds";
    if (loop->kind != GW_LOOP_WELL && loop->sized.plan.free != GW_FREE_NOTHING) {
        gw_prose_add(&p->text, "  What governs the length: %s.\n", governs);
    }
    pipes_of(p, loop);
    handbook(p, loop);
    if (p->style.verbose) {
        numbers(p, loop);
    }
    gw_prose_add(&p->text, "\n");
    verdicts(p, loop);
}

// ---------------------------------------------------------------- house and money

static void house(page *p)
{
    const gw_design *const d = p->design;
    gw_prose_heading(&p->text, "House");
    gw_prose_add(&p->text,
                 "  Design heat loss %s at %s outside; design gain %s sensible, %s latent.\n",
                 Q(POWER, d->house.loss_w), Q(TEMPERATURE, d->house.heating_outdoor_degc),
                 Q(POWER, d->house.gain_w), Q(POWER, d->house.latent_gain_w));
    gw_prose_add(&p->text,
                 "  A year: %s of heat, %s of cooling. Heat pump: %s, %s at 0 °C water.\n",
                 Q(ENERGY, d->loads.heating_j), Q(ENERGY, d->loads.cooling_j), d->heat_pump->name,
                 Q(POWER, gw_plant_rated_heating(&d->loops[0].plant, 0.0).capacity_w));
    for (size_t i = 0; i < d->house.row_count; i++) {
        const gw_house_row *const row = &d->house.rows[i];
        if (row->loss_w == 0.0 && row->gain_w == 0.0) {
            continue;
        }
        gw_prose_add(&p->text, "    %s", row->name);
        gw_prose_pad(&p->text, 40);
        gw_prose_add(&p->text, "loss %s", Q(POWER, row->loss_w));
        gw_prose_pad(&p->text, 60);
        gw_prose_add(&p->text, "gain %s\n", Q(POWER, row->gain_w));
    }
}

static void alternatives(page *p)
{
    enum { BAR = 30 };
    const gw_alternative_table *const t = &p->design->alternatives;
    if (t->count == 0) {
        return;
    }
    gw_prose_heading(&p->text, "Energy cost of a year, dearest first");
    const double most = gw_money_to_units(t->rows[0].energy_cost);
    for (size_t i = 0; i < t->count; i++) {
        const gw_alternative_year *const row = &t->rows[i];
        gw_prose_add(&p->text, "  %s", row->name);
        gw_prose_pad(&p->text, 38);
        gw_prose_add(&p->text, "%s", money(p, row->energy_cost));
        gw_prose_pad(&p->text, 48);
        const double share = most > 0.0 ? gw_money_to_units(row->energy_cost) / most : 0.0;
        for (int k = 0; k < (int)lround(share * BAR); k++) {
            gw_prose_add(&p->text, "█");
        }
        gw_prose_pad(&p->text, 80);
        gw_prose_add(&p->text, i == t->chosen ? "← this design\n" : "saves %.0f %%\n",
                     100.0 * row->saving_frac);
    }
}

static void estimate(page *p)
{
    const gw_design *const d = p->design;
    const gw_design_loop *const loop = &d->loops[d->best < d->loop_count ? d->best : 0];
    gw_prose_heading(&p->text, "Installed cost by line");
    for (size_t i = 0; i < loop->estimate.line_count; i++) {
        const gw_estimate_line *const line = &loop->estimate.lines[i];
        gw_prose_add(&p->text, "  %.52s", line->what);
        gw_prose_pad(&p->text, 56);
        gw_prose_add(&p->text, "%.1f %s", line->quantity, line->unit);
        gw_prose_pad(&p->text, 72);
        gw_prose_add(&p->text, "%s\n", money(p, line->amount.typical));
    }
    gw_prose_add(&p->text, "  Contingency %.0f %%", 100.0 * loop->estimate.contingency_frac);
    gw_prose_pad(&p->text, 72);
    gw_prose_add(&p->text, "%s\n  Tax %.0f %%", money(p, loop->estimate.contingency.typical),
                 100.0 * loop->estimate.tax_frac);
    gw_prose_pad(&p->text, 72);
    gw_prose_add(&p->text, "%s\n  Total", money(p, loop->estimate.tax.typical));
    gw_prose_pad(&p->text, 72);
    gw_prose_add(&p->text, "%s\n", money(p, loop->estimate.total.typical));
}

// ---------------------------------------------------------------- what it rests on

static void warnings(page *p)
{
    const gw_err_list *const w = &p->design->warnings;
    if (w->count == 0) {
        return;
    }
    gw_prose_heading(&p->text, "Warnings");
    for (size_t i = 0; i < w->count; i++) {
        gw_prose_wrap(
            &p->text, 2, WIDTH,
            gw_arena_printf(p->text.arena, "%s: %s", w->items[i].field, w->items[i].text));
    }
}

static void defaults(page *p)
{
    const gw_job *const job = p->design->job;
    if (job->default_count == 0) {
        return;
    }
    gw_prose_heading(&p->text, "Defaults used (say otherwise in the job)");
    for (size_t i = 0; i < job->default_count; i++) {
        const gw_form_default *const f = &job->defaults[i];
        gw_prose_add(&p->text, "  %s", f->path);
        gw_prose_pad(&p->text, 48);
        gw_prose_add(&p->text, "%s\n", f->text);
    }
}

static void cautions(page *p)
{
    gw_prose_heading(&p->text, "Cautions");
    for (size_t i = 0; i < p->design->caution_count; i++) {
        gw_prose_wrap(&p->text, 2, WIDTH, p->design->cautions[i]);
    }
}

gw_status gw_report_answer(gw_arena *arena, const gw_design *design, gw_answer_style style,
                           const char **out, gw_err *err)
{
    page p = {.text = {.arena = arena, .units = style.units}, .design = design, .style = style};
    answer(&p);
    if (design->loop_count > 1) {
        side_by_side(&p);
    }
    for (size_t i = 0; i < design->loop_count; i++) {
        loop_details(&p, &design->loops[i]);
    }
    gw_report_neighbours(&p.text, design);
    house(&p);
    alternatives(&p);
    estimate(&p);
    warnings(&p);
    defaults(&p);
    cautions(&p);
    *out = gw_prose_finish(&p.text);
    return *out != NULL ? GW_OK
                        : gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory writing the answer");
}
