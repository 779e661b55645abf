// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What only one kind of loop is asked: ice and cover of trenches, the rules of ponds, flow, levels
// and water of wells. And guidelines and handbooks beside the sized loop.
#include "design/design_priv.h"

#include <math.h>
#include <string.h>

// ---------------------------------------------------------------- trenches and coils

static void ice_verdict(gw_design_bench *b, const gw_design_loop *loop)
{
    if (!loop->freezes) {
        return;
    }
    static const char *const MONTHS[] = {"January",   "February", "March",    "April",
                                         "May",       "June",     "July",     "August",
                                         "September", "October",  "November", "December"};
    const gw_loop_frozen *const f = &loop->frozen;
    const bool bad = f->joins_pipe || !f->thaws;
    gw_design_priv_add(b, (gw_verdict){.state = GW_VERDICT_CAUTION,
                                       .what = "ice around a pipe, radius when thickest",
                                       .kind = GW_QTY_LENGTH,
                                       .found = f->greatest_radius_m,
                                       .because = gw_arena_printf(
                                           b->d->arena,
                                           "thickest at the end of %s%s; frozen ground heaves: "
                                           "keep clear of foundations, drains and "
                                           "septic field. Without ice the coldest water would be "
                                           "%.1f °C at the length of %.0f m",
                                           MONTHS[f->greatest_month],
                                           bad ? (f->thaws ? "; the ice of two pipes meets"
                                                           : "; it does not all thaw in summer")
                                               : "",
                                           loop->unfrozen_coldest_degc, loop->unfrozen_length_m)});
}

// Frozen ground about coils and mixed loops is not modelled.
static void uncounted_ice_verdict(gw_design_bench *b, const gw_design_loop *loop)
{
    if (loop->freezes_uncounted) {
        gw_design_priv_add(
            b, (gw_verdict){.state = GW_VERDICT_CAUTION,
                            .what = "ground at the pipes freezes, ice not counted",
                            .kind = GW_QTY_TEMPERATURE,
                            .found = loop->sized.result.leaving_degc,
                            .because =
                                "ice gives heat and conducts better, so the real loop is warmer "
                                "than this one: the answer is on the safe side. Frozen ground "
                                "heaves: keep clear of foundations, drains and septic field"});
    }
}

static double cover_m(const gw_loop_plan *plan, double pipe_m)
{
    gw_loop_section_pipe pipes[GW_LOOP_PIPES_MAX];
    gw_err ignored = {0};
    if (plan->kind == GW_LOOP_COIL) {
        return gw_coil_extent_of(&plan->coil).top_depth_m;
    }
    double least_m = plan->trench.depth_m;
    if (gw_loop_trench_section(&plan->trench, pipe_m, pipes, &ignored) == GW_OK) {
        for (size_t i = 0; i < plan->trench.pipes; i++) {
            least_m = fmin(least_m, pipes[i].depth_m);
        }
    }
    return least_m;
}

static void cover_verdict(gw_design_bench *b, const gw_loop_plan *plan, const gw_pipe_size *pipe)
{
    static const double FROST_SAFE_M = 4.0 * 0.3048;
    const double found_m = cover_m(plan, pipe->outer_diameter_m);
    gw_design_priv_add(
        b, (gw_verdict){.state = found_m < FROST_SAFE_M ? GW_VERDICT_CAUTION : GW_VERDICT_HOLDS,
                        .what = "cover over the highest pipe, from finished grade",
                        .kind = GW_QTY_LENGTH,
                        .found = found_m,
                        .side = GW_LIMIT_AT_LEAST,
                        .limit = FROST_SAFE_M,
                        .because = "4 ft: UFGS 15741N (read); shallower pipes feel every cold "
                                   "spell and the neighbour's spade"});
}

// ---------------------------------------------------------------- pond

// Short words for a rule of data/pond_rules.csv, and how its unit is printed.
static const struct {
    const char *id, *what;
    gw_quantity_kind kind;
    double scale;
} POND_WORDS[] = {
    {"depth-least", "depth of the pond in the driest time", GW_QTY_LENGTH, 1.0},
    {"depth-good", "the same, as most of the trade asks", GW_QTY_LENGTH, 1.0},
    {"cover", "water over the bundles", GW_QTY_LENGTH, 1.0},
    {"area-per-ton", "capacity per square metre of pond", GW_QTY_IRRADIANCE, 1.0},
    {"area-house", "surface of the pond", GW_QTY_AREA, 1.0},
    {"load-shallow", "capacity per square metre, shallow pond", GW_QTY_IRRADIANCE, 1.0},
    {"pipe", "pipe for each kilowatt of capacity (m)", GW_QTY_NUMBER, 1000.0},
    {"off-bottom", "bundles off the bottom", GW_QTY_LENGTH, 1.0},
    {"bundle-spacing", "water between bundles", GW_QTY_LENGTH, 1.0},
    {"moving-water", "moving water", GW_QTY_NUMBER, 1.0},
    {"ice-clearance", "open water between ice and bundles", GW_QTY_LENGTH, 1.0},
    {"winter-water", "coldest water at the bundles", GW_QTY_TEMPERATURE, 1.0},
    {"drop", "the loop cools the coldest water by", GW_QTY_TEMPERATURE_DIFFERENCE, 1.0},
    {"summer-water", "warmest water at the bundles", GW_QTY_TEMPERATURE, 1.0},
};

static void pond_rule(gw_design_bench *b, const gw_pond_verdict *rule)
{
    const size_t count = sizeof POND_WORDS / sizeof POND_WORDS[0];
    size_t i = 0;
    while (i < count && strcmp(POND_WORDS[i].id, rule->id) != 0) {
        i++;
    }
    const bool known = i < count;
    const double scale = known ? POND_WORDS[i].scale : 1.0;
    gw_design_priv_add(b, (gw_verdict){.state = rule->holds     ? GW_VERDICT_HOLDS
                                                : rule->refuses ? GW_VERDICT_FAILS
                                                                : GW_VERDICT_CAUTION,
                                       .what = known ? POND_WORDS[i].what : rule->id,
                                       .kind = known ? POND_WORDS[i].kind : GW_QTY_NUMBER,
                                       .found = scale * rule->value,
                                       .side = rule->least ? GW_LIMIT_AT_LEAST : GW_LIMIT_AT_MOST,
                                       .limit = scale * rule->limit,
                                       .because = gw_arena_printf(b->d->arena, "%s (%s)",
                                                                  rule->text, rule->source)});
}

// Skin of the pipe in the hour that asks most, in the coldest water.
static void skin_verdict(gw_design_bench *b, const gw_design_loop *loop)
{
    const gw_loop_response *const r = &loop->sized.response;
    const double heat_w_m = loop->sized.result.peak_extraction_w / r->length_m;
    const double skin_degc = loop->pond->with.coldest_degc - heat_w_m * r->outside_mk_w;
    gw_design_priv_add(
        b,
        (gw_verdict){.state = skin_degc < 0.0 ? GW_VERDICT_CAUTION : GW_VERDICT_HOLDS,
                     .what = "skin of the pipe in the coldest hour",
                     .kind = GW_QTY_TEMPERATURE,
                     .found = skin_degc,
                     .side = GW_LIMIT_AT_LEAST,
                     .limit = 0.0,
                     .because = "below freezing ice grows on the pipe: it keeps heat from it and "
                                "lifts the bundles; more pipe, or weights for it (ice on the "
                                "pipe is not counted)"});
}

static void pond_verdicts(gw_design_bench *b, const gw_design_loop *loop)
{
    const gw_design_pond *const pond = loop->pond;
    if (pond->refused != NULL) {
        gw_design_priv_add(b, (gw_verdict){.state = GW_VERDICT_FAILS,
                                           .what = "the pond stays open about the bundles",
                                           .kind = GW_QTY_LENGTH,
                                           .found = 0.0,
                                           .because = pond->refused});
    }
    if (pond->refused == NULL) {
        skin_verdict(b, loop);
    }
    for (size_t i = 0; i < pond->rule_count; i++) {
        pond_rule(b, &pond->rules[i]);
    }
}

// ---------------------------------------------------------------- open well

typedef struct {
    unsigned flag; // of the answer, that breaks it
    gw_verdict_state broken;
    const char *what;
    gw_quantity_kind kind;
    double found;
    gw_limit_side side;
    double limit;
    const char *because; // while it holds
} well_row;

static void add_well_row(gw_design_bench *b, unsigned flags, const well_row *row)
{
    const bool broken = (flags & row->flag) != 0;
    gw_design_priv_add(
        b, (gw_verdict){.state = broken ? row->broken : GW_VERDICT_HOLDS,
                        .what = row->what,
                        .kind = row->kind,
                        .found = row->found,
                        .side = row->side,
                        .limit = row->limit,
                        .because = broken ? gw_well_flag_text(row->flag) : row->because});
}

static void well_flow_verdicts(gw_design_bench *b, const gw_design_loop *loop)
{
    static const double SEASON_S = 182.5 * 86400.0;
    const gw_well_answer *const a = &loop->well->answer;
    const gw_open_well_plan *const open = &loop->sized.plan.well;
    const gw_well_plan *const w = &open->well;
    const bool back = w->back == GW_WELL_RETURN_WELL;
    const well_row rows[] = {
        {GW_WELL_SHORT_PEAK, GW_VERDICT_CAUTION, "water drawn in the coldest hour", GW_QTY_FLOW,
         a->flow_m3_s + w->domestic_m3_s, GW_LIMIT_AT_MOST, w->yield_m3_s,
         "heat of the hour over the change of the water; the house's own use added"},
        {GW_WELL_SHORT_WEEK, GW_VERDICT_FAILS, "water drawn in the coldest week", GW_QTY_FLOW,
         a->week_flow_m3_s + w->domestic_m3_s, GW_LIMIT_AT_MOST, w->yield_m3_s,
         "mean of the week, the house's own use added"},
        {GW_WELL_DRY, GW_VERDICT_FAILS, "depth of the water while pumping", GW_QTY_LENGTH,
         a->level_m, GW_LIMIT_AT_MOST, w->pump_depth_m,
         "Theis 1935, at the end of the coldest day of a year"},
        {GW_WELL_COLD, GW_VERDICT_FAILS, "temperature of the ground water", GW_QTY_TEMPERATURE,
         w->water_degc, GW_LIMIT_AT_LEAST, open->least_leaving_degc + 2.0,
         "the unit must be able to cool it by 2 K"},
        {GW_WELL_FLOODS, GW_VERDICT_FAILS, "depth of the water in the return well", GW_QTY_LENGTH,
         a->return_level_m, GW_LIMIT_AT_LEAST, 0.0, "Theis 1935, at the end of the coldest day"},
        {GW_WELL_FEEDS_BACK, GW_VERDICT_FAILS, "returned water reaches the supply well after",
         GW_QTY_DURATION, a->heat.breakthrough_s, GW_LIMIT_AT_LEAST, SEASON_S,
         a->heat.feedback ? "half a year, so that a winter's cold meets the summer (Gringarten & "
                            "Sauty 1975)"
                          : "the natural flow carries it away (Clyde & Madabhushi 1983)"},
    };
    const size_t count = sizeof rows / sizeof rows[0];
    for (size_t i = 0; i < (back ? count : count - 2); i++) {
        add_well_row(b, a->flags, &rows[i]);
    }
    const double out_degc = loop->sized.result.leaving_degc;
    gw_design_priv_add(b, (gw_verdict){.state = out_degc < open->least_leaving_degc - 0.05
                                                    ? GW_VERDICT_FAILS
                                                    : GW_VERDICT_HOLDS,
                                       .what = "coldest water out of the unit",
                                       .kind = GW_QTY_TEMPERATURE,
                                       .found = out_degc,
                                       .side = GW_LIMIT_AT_LEAST,
                                       .limit = open->least_leaving_degc,
                                       .because = "plain water must not freeze in the exchanger"});
}

static void water_verdicts(gw_design_bench *b, const gw_design_well *well)
{
    size_t missing = 0;
    const char *names = "";
    for (size_t i = 0; i < well->quality_count; i++) {
        const gw_well_quality *const q = &well->quality[i];
        if (!q->measured) {
            names = gw_arena_printf(b->d->arena, "%s%s%s", names != NULL ? names : "",
                                    missing > 0 ? ", " : "", q->id);
            missing++;
            continue;
        }
        // Hardness alone only says that an index is to judge.
        const bool hint = strcmp(q->id, "scaling-hardness") == 0;
        const bool above = !(q->value >= q->low);
        gw_design_priv_add(
            b,
            (gw_verdict){.state = q->holds ? GW_VERDICT_HOLDS
                                  : hint   ? GW_VERDICT_CAUTION
                                           : GW_VERDICT_FAILS,
                         .what = gw_arena_printf(b->d->arena, "water: %s%s%s%s", q->id,
                                                 q->unit[0] != '\0' ? " (" : "", q->unit,
                                                 q->unit[0] != '\0' ? ")" : ""),
                         .kind = GW_QTY_NUMBER,
                         .found = q->value,
                         .side = above || !isfinite(q->high) ? GW_LIMIT_AT_LEAST : GW_LIMIT_AT_MOST,
                         .limit = above || !isfinite(q->high) ? q->low : q->high,
                         .because = gw_arena_printf(b->d->arena, "%s (%s)", q->text, q->source)});
    }
    if (missing > 0) {
        gw_design_priv_add(
            b, (gw_verdict){.state = GW_VERDICT_CAUTION,
                            .what = "values missing from the water's analysis",
                            .kind = GW_QTY_NUMBER,
                            .found = (double)missing,
                            .side = GW_LIMIT_AT_MOST,
                            .limit = 0.0,
                            .because = gw_arena_printf(
                                b->d->arena, "have the water analysed before buying: %s", names)});
    }
}

void gw_design_priv_judge_kind(gw_design_bench *b, const gw_design_loop *loop)
{
    const gw_loop_plan *const plan = &loop->sized.plan;
    switch (loop->kind) {
    case GW_LOOP_TRENCH:
    case GW_LOOP_COIL:
        cover_verdict(b, plan, loop->pipe);
        ice_verdict(b, loop);
        break;
    case GW_LOOP_MIXED:
        for (size_t i = 0; i < plan->mixed.part_count; i++) {
            if (plan->mixed.parts[i].kind != GW_LOOP_BORES) {
                cover_verdict(b, &plan->mixed.parts[i], loop->part_pipes[i]);
            }
        }
        break;
    case GW_LOOP_POND:
        pond_verdicts(b, loop);
        break;
    case GW_LOOP_WELL:
        well_flow_verdicts(b, loop);
        water_verdicts(b, loop->well);
        break;
    case GW_LOOP_BORES:
        break;
    }
    uncounted_ice_verdict(b, loop);
}

// ---------------------------------------------------------------- guidelines and handbooks

// VDI 4640-2 (2001) bands for bores: below 20 W/m anywhere, above 84 W/m nowhere.
static void bore_guideline(gw_design_bench *b, double w_m)
{
    gw_design_priv_add(
        b, (gw_verdict){
               .state = w_m > 84.0 ? GW_VERDICT_CAUTION : GW_VERDICT_HOLDS,
               .what = "peak extraction per metre of bore",
               .kind = GW_QTY_LINE_POWER,
               .found = w_m,
               .side = GW_LIMIT_AT_MOST,
               .limit = 84.0,
               .because = "the best rock of VDI 4640-2 (2001) at 1,800 h; a guideline, not a law"});
}

// The guideline's ground by its conductivity: dry 0.4, damp 1.2 to 1.7, saturated sand about 2.4
// W/(m·K) (VDI 4640-1); between them the lower band's limit.
static double guideline_w_m2(double conductivity_w_mk)
{
    return conductivity_w_mk < 0.8 ? 10.0 : conductivity_w_mk < 1.8 ? 25.0 : 40.0;
}

static void area_guideline(gw_design_bench *b, const gw_design_loop *loop, double area_m2)
{
    const gw_loop_sized *const s = &loop->sized;
    const double most_w_m2 = guideline_w_m2(s->response.soil.conductivity_w_mk);
    const double w_m2 = s->result.peak_extraction_w / area_m2;
    const double year_kwh_m2 = s->result.last.extracted_j / 3.6e6 / area_m2;
    gw_design_priv_add(
        b, (gw_verdict){.state = w_m2 > most_w_m2 ? GW_VERDICT_CAUTION : GW_VERDICT_HOLDS,
                        .what = "peak extraction per square metre of ground",
                        .kind = GW_QTY_IRRADIANCE,
                        .found = w_m2,
                        .side = GW_LIMIT_AT_MOST,
                        .limit = most_w_m2,
                        .because = "VDI 4640-2 (2001) at 1,800 h: dry 10, damp 25, saturated 40 "
                                   "W/m²; a guideline, not a law"});
    gw_design_priv_add(
        b, (gw_verdict){.state = year_kwh_m2 > 70.0 ? GW_VERDICT_CAUTION : GW_VERDICT_HOLDS,
                        .what = "heat of a year per square metre (kWh)",
                        .kind = GW_QTY_NUMBER,
                        .found = year_kwh_m2,
                        .side = GW_LIMIT_AT_MOST,
                        .limit = 70.0,
                        .because = "50 to 70 kWh of VDI 4640-2 (2001); a guideline, not a law"});
}

static void handbook_verdict(gw_design_bench *b, const gw_design_loop *loop)
{
    const gw_design_handbook *const h = &loop->handbook;
    if (h->length_m > 0.0 && h->least_frac > 0.0) {
        const double frac = loop->sized.response.length_m / h->length_m;
        gw_design_priv_add(
            b, (gw_verdict){
                   .state = frac < h->least_frac ? GW_VERDICT_CAUTION : GW_VERDICT_HOLDS,
                   .what = "length as a share of the handbook's",
                   .kind = GW_QTY_FRACTION,
                   .found = frac,
                   .side = GW_LIMIT_AT_LEAST,
                   .limit = h->least_frac,
                   .because = gw_arena_printf(b->d->arena,
                                              "%s gives %.0f m; it knows neither the load nor the "
                                              "water limit of this house",
                                              h->what, h->length_m)});
    }
}

void gw_design_priv_plausible(gw_design_bench *b, const gw_design_loop *loop)
{
    const gw_trench_plan *const t = &loop->sized.plan.trench;
    const gw_coil_plan *const c = &loop->sized.plan.coil;
    double share_m = 0.0;
    switch (loop->kind) {
    case GW_LOOP_BORES:
        bore_guideline(b, loop->sized.result.peak_extraction_w / loop->sized.response.length_m);
        break;
    case GW_LOOP_TRENCH:
        share_m = t->count > 1 ? t->spacing_m : fmax(t->width_m, 3.0);
        area_guideline(b, loop, t->length_m * (double)t->count * share_m);
        break;
    case GW_LOOP_COIL:
        share_m = c->count > 1 ? c->spacing_m : fmax(c->width_m, 3.0);
        area_guideline(b, loop, c->length_m * (double)c->count * share_m);
        break;
    case GW_LOOP_POND:
    case GW_LOOP_WELL:
    case GW_LOOP_MIXED:
        break;
    }
    handbook_verdict(b, loop);
}
