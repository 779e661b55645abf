// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Ground, loop, energy, pipes and money: what each step gave, with the sums that check it.
#include "draw/lettering.h"
#include "report/engineer_priv.h"

#include <math.h>

#define Q(kind, value) gw_papers_quantity(p, GW_QTY_##kind, (value))

static const double DAY_S = 86400.0;

// ---------------------------------------------------------------- ground

void gw_engineer_priv_ground(gw_engineer_priv *r)
{
    static const gw_ruled_column COLUMNS[] = {{"Layer", 1.4, GW_ANCHOR_START},
                                              {"Conductivity", 1.1, GW_ANCHOR_END},
                                              {"Heat capacity", 1.2, GW_ANCHOR_END},
                                              {"Frozen conductivity", 1.3, GW_ANCHOR_END},
                                              {"Latent heat", 1.0, GW_ANCHOR_END}};
    gw_papers *const p = &r->p;
    const gw_design *const d = p->design;
    const gw_loop_ground *const g =
        p->loop->kind == GW_LOOP_BORES ? &d->bore_ground : &d->trench_ground;
    const gw_loop_response *const s = &p->loop->sized.response;
    gw_leaf_heading(&r->leaf, 1, "5 Ground");
    gw_engineer_priv_method(
        r, "layers as in the job or of their class (data/soils.csv); one equivalent ground, "
           "each property the mean weighted by length; undisturbed temperature by Kusuda & "
           "Achenbach 1965.");
    gw_engineer_priv_begin(r, COLUMNS, 5);
    double top_m = 0.0;
    for (size_t i = 0; i < g->profile.count; i++) {
        const gw_soil_layer *const l = &g->profile.layers[i];
        const bool last = i + 1 == g->profile.count;
        const char *const cells[] = {
            last && i == 0 ? "all depths"
            : last         ? gw_papers_text(p, "below %s", Q(LENGTH, top_m))
                           : gw_papers_text(p, "%s to %s", Q(LENGTH, top_m),
                                            Q(LENGTH, top_m + l->thickness_m)),
            Q(CONDUCTIVITY, l->soil.conductivity_w_mk),
            Q(VOLUMETRIC_HEAT, l->soil.volumetric_heat_j_m3k),
            Q(CONDUCTIVITY, l->soil.frozen_conductivity_w_mk),
            gw_papers_text(p, "%.0f MJ/m³", l->soil.latent_heat_j_m3 / 1e6)};
        gw_engineer_priv_row(r, cells);
        top_m += l->thickness_m;
    }
    gw_engineer_priv_end(r, false);
    gw_engineer_priv_begin_list(r);
    gw_engineer_priv_pair(
        r, "Equivalent ground",
        gw_papers_text(p, "%s, %s, diffusivity %s", Q(CONDUCTIVITY, s->soil.conductivity_w_mk),
                       Q(VOLUMETRIC_HEAT, s->soil.volumetric_heat_j_m3k),
                       Q(DIFFUSIVITY, s->soil.conductivity_w_mk / s->soil.volumetric_heat_j_m3k)));
    gw_engineer_priv_pair(
        r, "Surface: mean, half swing, day of minimum",
        gw_papers_text(p, "%s, %s, day %.0f", Q(TEMPERATURE, g->surface.mean_degc),
                       Q(TEMPERATURE_DIFFERENCE, g->surface.amplitude_k), g->surface.phase_day));
    gw_engineer_priv_pair(r, "Gradient with depth", gw_papers_text(p, "%.4f K/m", g->gradient_k_m));
    gw_engineer_priv_pair(
        r, "Fluid at rest: yearly mean, half swing",
        gw_papers_text(p, "%s, %s", Q(TEMPERATURE, s->undisturbed_degc),
                       Q(TEMPERATURE_DIFFERENCE, gw_ground_wave_amplitude_k(s->wave))));
    gw_engineer_priv_end(r, true);
}

// ---------------------------------------------------------------- loop

static void geometry(gw_engineer_priv *r)
{
    gw_papers *const p = &r->p;
    const gw_loop_plan *const plan = &p->loop->sized.plan;
    const gw_bores_plan *const b = &plan->bores;
    const gw_trench_plan *const t = &plan->trench;
    gw_engineer_priv_begin_list(r);
    if (plan->kind == GW_LOOP_BORES) {
        gw_engineer_priv_pair(r, "Bores",
                              gw_papers_text(p, "%zu, active %s below %s, %s apart", b->count,
                                             Q(LENGTH, b->depth_m), Q(LENGTH, b->top_m),
                                             Q(LENGTH, b->spacing_m)));
        gw_engineer_priv_pair(r, "Hole, U-tubes",
                              gw_papers_text(p, "%s, %zu of %s", Q(SMALL_LENGTH, b->diameter_m),
                                             b->u_tubes, p->loop->pipe->name));
        gw_engineer_priv_pair(r, "Pipe centres",
                              b->shank_m > 0.0
                                  ? gw_papers_text(p, "%s apart", Q(SMALL_LENGTH, b->shank_m))
                                  : "same gap between the pipes as to the wall");
        gw_engineer_priv_pair(r, "Grout",
                              gw_papers_text(p, "%s, %s",
                                             Q(CONDUCTIVITY, b->grout_conductivity_w_mk),
                                             Q(VOLUMETRIC_HEAT, b->grout_volumetric_heat_j_m3k)));
    } else {
        static const char *const ARRANGEMENTS[] = {
            "side by side on the floor", "one above the other", "in two columns at the walls"};
        gw_engineer_priv_pair(r, "Trenches",
                              gw_papers_text(p, "%zu of %s, %s between centres", t->count,
                                             Q(LENGTH, t->length_m), Q(LENGTH, t->spacing_m)));
        gw_engineer_priv_pair(
            r, "Depth, width",
            gw_papers_text(p, "%s, %s", Q(LENGTH, t->depth_m), Q(LENGTH, t->width_m)));
        gw_engineer_priv_pair(r, "Pipes",
                              gw_papers_text(p, "%zu of %s, %s", t->pipes, p->loop->pipe->name,
                                             ARRANGEMENTS[t->arrangement]));
    }
    const gw_loop_response *const s = &p->loop->sized.response;
    gw_engineer_priv_pair(r, "Length that the W/m refer to", Q(LENGTH, s->length_m));
    gw_engineer_priv_pair(r, "Resistance, fluid to ground", Q(LINE_RESISTANCE, s->resistance_mk_w));
    gw_engineer_priv_pair(r, "Reynolds number in the circuit",
                          gw_papers_text(p, "%.0f (fluid at %s)", s->reynolds,
                                         Q(TEMPERATURE, p->loop->entering_fluid_degc)));
    gw_engineer_priv_pair(r, "Capacity of the flow", Q(HEAT_LOSS_RATE, s->capacity_w_k));
    gw_engineer_priv_pair(r, "Response after infinite time", Q(LINE_RESISTANCE, s->steady_mk_w));
    gw_engineer_priv_pair(
        r, "Fit of the response: terms, error",
        gw_papers_text(p, "%zu, %.3f %%", s->step.terms, 100.0 * s->step.fit_error_frac));
    gw_engineer_priv_end(r, true);
}

static void step_response(gw_engineer_priv *r)
{
    static const gw_ruled_column COLUMNS[] = {
        {"Time", 1.0, GW_ANCHOR_START},
        {"Drop of the mean fluid temperature per W/m", 2.4, GW_ANCHOR_END}};
    static const struct {
        const char *name;
        double days;
    } TIMES[] = {{"1 hour", 1.0 / 24.0}, {"6 hours", 0.25},   {"1 day", 1.0},
                 {"1 week", 7.0},        {"1 month", 30.4},   {"1 year", 365.0},
                 {"10 years", 3650.0},   {"25 years", 9125.0}};
    gw_papers *const p = &r->p;
    gw_leaf_heading(&r->leaf, 2, "Step response used in the simulation");
    gw_engineer_priv_begin(r, COLUMNS, 2);
    for (size_t i = 0; i < sizeof TIMES / sizeof TIMES[0]; i++) {
        const char *const cells[] = {
            TIMES[i].name,
            Q(LINE_RESISTANCE, gw_exp_step(&p->loop->sized.response.step, TIMES[i].days * DAY_S))};
        gw_engineer_priv_row(r, cells);
    }
    gw_engineer_priv_end(r, false);
}

static void tries(gw_engineer_priv *r)
{
    static const gw_ruled_column COLUMNS[] = {
        {"Try", 0.5, GW_ANCHOR_START},   {"Number", 0.8, GW_ANCHOR_END},
        {"Each", 1.0, GW_ANCHOR_END},    {"Coldest", 1.0, GW_ANCHOR_END},
        {"Warmest", 1.0, GW_ANCHOR_END}, {"Margin", 1.0, GW_ANCHOR_END}};
    gw_papers *const p = &r->p;
    const gw_loop_sized *const s = &p->loop->sized;
    gw_leaf_heading(&r->leaf, 2, "Sizing: simulated horizons of the last round");
    gw_engineer_priv_begin(r, COLUMNS, 6);
    for (size_t i = 0; i < s->try_count; i++) {
        const gw_loop_try *const t = &s->tries[i];
        const char *const cells[] = {gw_papers_text(p, "%zu", i + 1),
                                     gw_papers_text(p, "%zu", t->count),
                                     Q(LENGTH, t->each_m),
                                     Q(TEMPERATURE, t->least_degc),
                                     Q(TEMPERATURE, t->greatest_degc),
                                     Q(TEMPERATURE_DIFFERENCE, t->margin_k)};
        gw_engineer_priv_row(r, cells);
    }
    gw_engineer_priv_end(r, false);
}

void gw_engineer_priv_loop(gw_engineer_priv *r)
{
    gw_papers *const p = &r->p;
    const gw_design_loop *const l = p->loop;
    const gw_loop_result *const w = &l->sized.result;
    gw_leaf_heading(&r->leaf, 1, "6 Loop");
    gw_engineer_priv_method(
        r, l->kind == GW_LOOP_BORES
               ? "multipole resistance, Hellström's effective resistance, finite line sources with "
                 "mirror, field solved for equal wall temperature, short times joined on "
                 "(docs/methods/loop.md)."
               : "pipes as line sources laid flat with mirror, film and wall per pipe, all pipes "
                 "at one "
                 "fluid temperature, own undisturbed temperature by depth and season "
                 "(docs/methods/loop.md).");
    geometry(r);
    step_response(r);
    tries(r);
    gw_leaf_keep(&r->leaf, 75.0);
    gw_leaf_heading(&r->leaf, 2, "Entering water over the horizon");
    const gw_box box = gw_leaf_space(&r->leaf, 62.0);
    gw_papers_draw_water(p, gw_leaf_scene(&r->leaf), box, 2.4);
    gw_engineer_priv_begin_list(r);
    gw_engineer_priv_pair(r, "Coldest hour, first and last winter",
                          gw_papers_text(p, "%s, %s", Q(TEMPERATURE, w->coldest_first.degc),
                                         Q(TEMPERATURE, w->coldest_last.degc)));
    gw_engineer_priv_pair(r, "Coldest week; coldest leaving water",
                          gw_papers_text(p, "%s; %s", Q(TEMPERATURE, w->coldest_week_degc),
                                         Q(TEMPERATURE, w->leaving_degc)));
    gw_engineer_priv_pair(
        r, "Greatest hour of extraction",
        gw_papers_text(p, "%s, %s", Q(POWER, w->peak_extraction_w),
                       Q(LINE_POWER, w->peak_extraction_w / l->sized.response.length_m)));
    gw_engineer_priv_pair(r, "Greatest hour of rejection", Q(POWER, w->peak_rejection_w));
    if (l->handbook.length_m > 0.0) {
        gw_engineer_priv_pair(
            r, "Check: three-pulse length, bores far apart",
            gw_papers_text(
                p, "%s, against %s here: the neighbours and the hourly loads make the difference",
                Q(LENGTH, l->handbook.length_m), Q(LENGTH, l->sized.response.length_m)));
    }
    if (l->freezes) {
        gw_engineer_priv_pair(r, "Freezing: line sources alone would ask for",
                              gw_papers_text(p, "%s, coldest %s", Q(LENGTH, l->unfrozen_length_m),
                                             Q(TEMPERATURE, l->unfrozen_coldest_degc)));
        gw_engineer_priv_pair(r, "Ice about a pipe at most",
                              gw_papers_text(p, "%s; worst heat imbalance of a step %.2g",
                                             Q(LENGTH, l->frozen.greatest_radius_m),
                                             l->frozen.worst_imbalance_frac));
    }
    gw_engineer_priv_end(r, true);
}

// ---------------------------------------------------------------- energy

void gw_engineer_priv_energy(gw_engineer_priv *r)
{
    static const gw_ruled_column COLUMNS[] = {{"", 2.4, GW_ANCHOR_START},
                                              {"First year", 1.0, GW_ANCHOR_END},
                                              {"Last year", 1.0, GW_ANCHOR_END}};
    gw_papers *const p = &r->p;
    const gw_loop_energy *const a = &p->loop->sized.result.first;
    const gw_loop_energy *const b = &p->loop->sized.result.last;
    const struct {
        const char *name;
        double first_j;
        double last_j;
    } rows[] = {
        {"Heat to the house", a->heating_j, b->heating_j},
        {"Hot water", a->hot_water_j, b->hot_water_j},
        {"Cooling", a->cooling_j, b->cooling_j},
        {"Taken from the ground", a->extracted_j, b->extracted_j},
        {"Put into the ground", a->rejected_j, b->rejected_j},
        {"Compressor", a->compressor_j, b->compressor_j},
        {"Blower", a->blower_j, b->blower_j},
        {"Circulator", a->circulator_j, b->circulator_j},
        {"Auxiliary", a->auxiliary_j, b->auxiliary_j},
        {"Cooling not met", a->unmet_j, b->unmet_j},
        {"Electricity for heat and hot water", a->heating_electricity_j, b->heating_electricity_j},
        {"Electricity for cooling", a->cooling_electricity_j, b->cooling_electricity_j},
    };
    gw_leaf_heading(&r->leaf, 1, "7 Energy");
    gw_engineer_priv_begin(r, COLUMNS, 3);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const char *const cells[] = {rows[i].name, Q(ENERGY, rows[i].first_j),
                                     Q(ENERGY, rows[i].last_j)};
        gw_engineer_priv_row(r, cells);
    }
    const char *const hours[] = {"Hours of compressor, hours short of the load",
                                 gw_papers_text(p, "%.0f, %.0f", a->run_hours, a->short_hours),
                                 gw_papers_text(p, "%.0f, %.0f", b->run_hours, b->short_hours)};
    gw_engineer_priv_row(r, hours);
    gw_engineer_priv_end(r, false);
    gw_leaf_paragraph(
        &r->leaf,
        gw_papers_text(p, "Seasonal performance in heating, last year: (%s + %s) / %s = %.2f.",
                       Q(ENERGY, b->heating_j), Q(ENERGY, b->hot_water_j),
                       Q(ENERGY, b->heating_electricity_j), p->loop->sized.result.heating_spf));
}

// ---------------------------------------------------------------- pipes

void gw_engineer_priv_pipes(gw_engineer_priv *r)
{
    gw_papers *const p = &r->p;
    const gw_circuit_result *const h = &p->loop->hydraulics;
    const gw_pipe_size *const pipe = p->loop->pipe;
    const gw_loop_response *const s = &p->loop->sized.response;
    gw_leaf_heading(&r->leaf, 1, "8 Pipes, fluid and circulator");
    gw_engineer_priv_method(r, "Churchill 1977 friction over all regimes, parallel circuits at one "
                               "head, fluid at its coldest "
                               "(docs/methods/pipes.md).");
    gw_engineer_priv_begin_list(r);
    gw_engineer_priv_pair(r, "Circuit pipe",
                          gw_papers_text(p, "%s: outside %s, inside %s, roughness %.1f µm",
                                         pipe->name, Q(SMALL_LENGTH, pipe->outer_diameter_m),
                                         Q(SMALL_LENGTH, pipe->inner_diameter_m),
                                         1e6 * pipe->roughness_m));
    gw_engineer_priv_pair(
        r, "Circuits", gw_papers_text(p, "%zu of %s", s->circuits, Q(LENGTH, s->circuit_pipe_m)));
    gw_engineer_priv_pair(r, "Header",
                          gw_papers_text(p, "%s, %s both ways", p->loop->header->name,
                                         Q(LENGTH, 2.0 * p->loop->sized.plan.header_m)));
    gw_engineer_priv_pair(
        r, "Fluid",
        gw_papers_text(p, "%s, %.1f %% by mass, freezes at %s", p->design->fluid_data->name,
                       100.0 * p->design->fluid.mass_frac, Q(TEMPERATURE, p->design->freeze_degc)));
    gw_engineer_priv_pair(
        r, "At its coldest",
        gw_papers_text(p, "%s, %s, %.0f J/(kg·K), %s", Q(DENSITY, h->props.density_kg_m3),
                       Q(VISCOSITY, h->props.viscosity_pa_s), h->props.specific_heat_j_kgk,
                       Q(CONDUCTIVITY, h->props.conductivity_w_mk)));
    gw_engineer_priv_pair(r, "Source of the fluid data", p->design->fluid_data->source);
    gw_engineer_priv_pair(r, "Circuit: flow, velocity, Reynolds, friction factor",
                          gw_papers_text(p, "%s, %s, %.0f, %.4f", Q(FLOW, h->circuit_flow_m3_s),
                                         Q(VELOCITY, h->circuit.velocity_m_s), h->circuit.reynolds,
                                         h->circuit.friction_factor));
    gw_engineer_priv_pair(r, "Header: velocity, Reynolds, friction factor",
                          gw_papers_text(p, "%s, %.0f, %.4f", Q(VELOCITY, h->header.velocity_m_s),
                                         h->header.reynolds, h->header.friction_factor));
    gw_engineer_priv_pair(r, "Head: circuit + header + unit",
                          gw_papers_text(p, "%s + %s + %s = %s", Q(HEAD, h->circuit_head_m),
                                         Q(HEAD, h->header_head_m), Q(HEAD, h->unit_head_m),
                                         Q(HEAD, h->total_head_m)));
    gw_engineer_priv_pair(
        r, "Circulator",
        gw_papers_text(p, "%.0f W of flow work, %.0f W electrical, %.1f W/kW, grade %c",
                       h->hydraulic_w, h->pump_w, h->grade.w_per_kw, h->grade.grade));
    gw_engineer_priv_pair(
        r, "Volume: circuits + header + inside = loop",
        gw_papers_text(p, "%s + %s + %s = %s", Q(VOLUME, h->circuit_volume_m3),
                       Q(VOLUME, h->header_volume_m3),
                       Q(VOLUME, h->total_volume_m3 - h->circuit_volume_m3 - h->header_volume_m3),
                       Q(VOLUME, h->total_volume_m3)));
    gw_engineer_priv_pair(
        r, "To pour",
        gw_papers_text(p, "%s of antifreeze (%s), %s of water", Q(MASS, h->charge.antifreeze_kg),
                       Q(VOLUME, h->charge.antifreeze_m3), Q(VOLUME, h->charge.water_m3)));
    gw_engineer_priv_pair(
        r, "Purging with water",
        gw_papers_text(p, "%s at %s", Q(FLOW, h->purge_flow_m3_s), Q(HEAD, h->purge_head_m)));
    gw_engineer_priv_end(r, true);
}

// ---------------------------------------------------------------- money

static void price_lines(gw_engineer_priv *r)
{
    static const gw_ruled_column COLUMNS[] = {{"Line", 1.9, GW_ANCHOR_START},
                                              {"Quantity", 0.9, GW_ANCHOR_END},
                                              {"Each", 0.7, GW_ANCHOR_END},
                                              {"Amount", 0.9, GW_ANCHOR_END},
                                              {"From where", 2.6, GW_ANCHOR_START}};
    gw_papers *const p = &r->p;
    const gw_estimate *const e = &p->loop->estimate;
    gw_engineer_priv_begin(r, COLUMNS, 5);
    for (size_t i = 0; i < e->line_count; i++) {
        const gw_estimate_line *const l = &e->lines[i];
        const char *const cells[] = {
            l->what, gw_papers_amount(p, l->quantity, l->unit),
            gw_papers_text(p, "%.4g", l->unit_price), gw_papers_money(p, l->amount.typical),
            gw_papers_text(p, "%s; price: %s", l->origin != NULL ? l->origin : "",
                           l->price_source != NULL ? l->price_source : "")};
        gw_engineer_priv_row(r, cells);
    }
    gw_engineer_priv_end(r, false);
}

void gw_engineer_priv_money(gw_engineer_priv *r)
{
    gw_papers *const p = &r->p;
    const gw_estimate *const e = &p->loop->estimate;
    const gw_life_cycle_result *const c = &p->loop->life_cycle;
    gw_leaf_heading(&r->leaf, 1, "9 Money");
    price_lines(r);
    gw_engineer_priv_begin_list(r);
    gw_engineer_priv_pair(
        r, "Lines + contingency + tax = installed",
        gw_papers_text(p, "%s + %s + %s = %s", gw_papers_money(p, e->subtotal.typical),
                       gw_papers_money(p, e->contingency.typical),
                       gw_papers_money(p, e->tax.typical), gw_papers_money(p, e->total.typical)));
    gw_engineer_priv_pair(r, "Bounds",
                          gw_papers_text(p, "%s to %s, every line at its low or high price at once",
                                         gw_papers_money(p, e->total.low),
                                         gw_papers_money(p, e->total.high)));
    gw_engineer_priv_pair(r, "Electricity, last year",
                          gw_papers_money(p, p->loop->electricity_year));
    gw_engineer_priv_pair(
        r, "Present cost over the study",
        gw_papers_text(p, "%s: first %s, energy %s, upkeep %s, replacement %s, less residual %s",
                       gw_papers_money(p, c->present_cost), gw_papers_money(p, c->first_cost),
                       gw_papers_money(p, c->energy), gw_papers_money(p, c->upkeep),
                       gw_papers_money(p, c->replacement), gw_papers_money(p, c->residual)));
    if (p->loop->against.has_simple_payback) {
        gw_engineer_priv_pair(
            r, "Simple payback against the present system",
            gw_papers_text(p, "%.1f years", p->loop->against.simple_payback_year));
    }
    gw_engineer_priv_end(r, true);
    gw_leaf_keep(&r->leaf, 2.1 * 2.6 * (double)p->design->alternatives.count + 15.0);
    gw_leaf_heading(&r->leaf, 2, "A year's energy with each system");
    const gw_box box =
        gw_leaf_space(&r->leaf, 2.1 * 2.6 * (double)p->design->alternatives.count + 3.0);
    gw_papers_draw_costs(p, gw_leaf_scene(&r->leaf), box, 2.6);
}
