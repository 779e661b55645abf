// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "report/client.h"

#include "draw/cairo.h"
#include "draw/leaf.h"
#include "draw/lettering.h"

#include <math.h>
#include <string.h>

#define Q(kind, value) gw_papers_quantity(p, GW_QTY_##kind, (value))

typedef struct {
    gw_papers p;
    gw_leaf leaf;
} paper;

static const gw_alternative_year *row_of(const gw_papers *p, const char *key)
{
    const gw_alternative_table *const t = &p->design->alternatives;
    for (size_t i = 0; i < t->count; i++) {
        if (strcmp(t->rows[i].key, key) == 0) {
            return &t->rows[i];
        }
    }
    return NULL;
}

// Rounded for reading: to 100 above 2 000, to 10 above 200.
static const char *about(gw_papers *p, gw_money amount)
{
    const int64_t step = amount.cents >= 200000 ? 10000 : amount.cents >= 20000 ? 1000 : 100;
    return gw_papers_money(p, gw_money_from_cents((amount.cents + step / 2) / step * step));
}

static const char *whole_length(gw_papers *p, double length_m)
{
    return p->style.units == GW_UNITS_METRIC ? gw_papers_text(p, "%.0f m", length_m)
                                             : gw_papers_text(p, "%.0f ft", length_m / 0.3048);
}

// ---------------------------------------------------------------- page one

static void four_figures(paper *r)
{
    gw_papers *const p = &r->p;
    const gw_design_loop *const l = p->loop;
    const bool bores = l->kind == GW_LOOP_BORES;
    const char *const figures[] = {
        about(p, l->estimate.total.typical),
        about(p, l->electricity_year),
        whole_length(p, bores ? l->sized.response.length_m
                              : l->sized.plan.trench.length_m * (double)l->sized.plan.trench.count),
        gw_papers_text(p, "%.1f", l->sized.result.heating_spf),
    };
    const char *const names[] = {"to install, about", "of electricity a year",
                                 bores ? "of bore (drilled hole)" : "of trench",
                                 "units of heat for one of electricity"};
    const gw_box box = gw_leaf_space(&r->leaf, 19.0);
    gw_scene *const scene = gw_leaf_scene(&r->leaf);
    for (int i = 0; i < 4; i++) {
        const double x = box.at.x + 0.25 * box.size.w * i;
        gw_scene_text(scene, &(gw_lettering){.size_mm = 7.0, .bold = true, .rgb = GW_ACCENT},
                      (gw_mm){x, box.at.y + 7.0}, figures[i]);
        gw_scene_paragraph(scene, &(gw_lettering){.size_mm = 2.7, .rgb = GW_GREY},
                           (gw_box){{x, box.at.y + 9.0}, {0.23 * box.size.w, 8.0}}, names[i]);
    }
}

static void what_it_is(paper *r)
{
    gw_papers *const p = &r->p;
    const gw_design *const d = p->design;
    const gw_design_loop *const l = p->loop;
    gw_leaf_heading(&r->leaf, 1, "What is proposed");
    gw_leaf_paragraph(
        &r->leaf,
        gw_papers_text(
            p,
            "A heat pump in the house takes heat from the ground in winter and, where it cools, "
            "puts heat back in summer. The ground side (the loop) is %s, filled with %s. On the "
            "coldest design day, %s outside, the house needs %s of heat.",
            gw_papers_loop(p),
            d->fluid.kind == GW_FLUID_WATER
                ? "water"
                : gw_papers_text(p, "water and %s that freezes only at %s", d->fluid_data->name,
                                 Q(TEMPERATURE, d->freeze_degc)),
            Q(TEMPERATURE, d->house.heating_outdoor_degc), Q(POWER, d->house.loss_w)));
    if (!l->stands) {
        gw_leaf_paragraph(
            &r->leaf,
            "As it stands this loop does not hold its limits, so this is not yet a "
            "proposal. The last page says what fails; more ground, more or deeper bores, or "
            "a smaller heat loss are the ways out.");
    }
}

// The house, the ground and the loop in it, not to scale.
static void picture(paper *r)
{
    gw_papers *const p = &r->p;
    const bool bores = p->loop->kind == GW_LOOP_BORES;
    const gw_box box = gw_leaf_space(&r->leaf, 52.0);
    gw_scene *const s = gw_leaf_scene(&r->leaf);
    const double grade = box.at.y + 22.0;
    const double x = box.at.x + 4.0;
    const gw_pen ink = {0.35, GW_DASH_NONE, GW_INK};
    const gw_pen pipe = {0.7, GW_DASH_NONE, GW_PIPE_INK};
    gw_scene_box(s, &(gw_face){.filled = true, .fill = 0xF2ECDFU},
                 (gw_box){{box.at.x, grade}, {box.size.w, box.at.y + 50.0 - grade}});
    const gw_mm house[] = {{x, grade + 7.0},
                           {x, grade - 10.0},
                           {x + 14.0, grade - 19.0},
                           {x + 28.0, grade - 10.0},
                           {x + 28.0, grade + 7.0}};
    gw_scene_polygon(s, &(gw_face){.pen = ink, .filled = true, .fill = 0xFFFFFFU}, house, 5);
    gw_scene_line(s, ink, (gw_mm){box.at.x, grade}, (gw_mm){x, grade});
    gw_scene_line(s, ink, (gw_mm){x + 28.0, grade}, (gw_mm){box.at.x + box.size.w, grade});
    gw_scene_box(
        s, &(gw_face){.pen = {0.25, GW_DASH_NONE, GW_ACCENT}, .filled = true, .fill = 0xDDE7ECU},
        (gw_box){{x + 19.0, grade - 5.0}, {6.0, 9.0}});
    const double lane = bores ? grade + 4.0 : grade + 11.0;
    const double first = x + 54.0;
    const double last = box.at.x + box.size.w - 46.0;
    const gw_mm run[] = {
        {x + 25.0, grade + 2.0}, {x + 33.0, grade + 2.0}, {x + 37.0, lane}, {last, lane}};
    gw_scene_path(s, pipe, run, 4);
    if (bores) {
        const size_t most = 5;
        const size_t count =
            p->loop->sized.plan.bores.count < most ? p->loop->sized.plan.bores.count : most;
        for (size_t i = 0; i < count; i++) {
            const double at =
                count > 1 ? first + (last - first) * (double)i / (double)(count - 1) : last;
            gw_scene_line(s, pipe, (gw_mm){at - 0.9, lane}, (gw_mm){at - 0.9, box.at.y + 46.0});
            gw_scene_line(s, pipe, (gw_mm){at + 0.9, lane}, (gw_mm){at + 0.9, box.at.y + 46.0});
            gw_scene_arc(s, pipe, &(gw_arc){{at, box.at.y + 46.0}, 0.9, 180.0, 180.0});
        }
    } else {
        gw_scene_line(s, pipe, (gw_mm){x + 37.0, lane + 1.8}, (gw_mm){last, lane + 1.8});
        gw_scene_arc(s, pipe, &(gw_arc){{last, lane + 0.9}, 0.9, 270.0, 180.0});
    }
    const gw_lettering type = {.size_mm = 2.7};
    gw_scene_text(s, &type, (gw_mm){x + 34.0, grade - 4.0}, "heat pump, instead of the furnace");
    gw_scene_line(s, (gw_pen){0.13, GW_DASH_NONE, GW_GREY}, (gw_mm){x + 33.0, grade - 4.8},
                  (gw_mm){x + 25.5, grade - 1.5});
    const char *const about_loop =
        bores ? gw_papers_text(
                    p,
                    "Bores, %s deep; each is a sealed pipe down and up, grouted over its "
                    "whole length",
                    Q(LENGTH, p->loop->sized.plan.bores.top_m + p->loop->sized.plan.bores.depth_m))
              : gw_papers_text(
                    p, "Pipe in trenches, %s deep, out and back; grass grows over it as before",
                    Q(LENGTH, p->loop->sized.plan.trench.depth_m));
    gw_scene_paragraph(s, &type, (gw_box){{last + 4.0, grade + 9.0}, {38.0, 30.0}}, about_loop);
    gw_scene_text(s, &(gw_lettering){.size_mm = 2.1, .rgb = GW_GREY},
                  (gw_mm){box.at.x + 1.0, box.at.y + 49.0}, "not to scale");
}

static void costs(paper *r)
{
    gw_papers *const p = &r->p;
    const gw_alternative_year *const now = row_of(p, p->design->job->money.compare_with);
    gw_leaf_heading(&r->leaf, 1, "What it costs to run, against the other ways");
    if (now != NULL) {
        const int64_t saved = now->energy_cost.cents - p->loop->electricity_year.cents;
        const char *const back =
            p->loop->against.has_simple_payback
                ? gw_papers_text(p,
                                 " The extra cost of installing it comes back in about %.0f years.",
                                 fmax(1.0, p->loop->against.simple_payback_year))
                : " At these prices the extra cost of installing it does not come back within the "
                  "study.";
        gw_leaf_paragraph(
            &r->leaf,
            gw_papers_text(
                p,
                "%s take about %s of electricity a year. The present way (%s) takes about %s of "
                "energy: the new one takes %s %s a year.%s",
                p->design->hot_water_w != NULL ? "Heating, cooling and hot water"
                                               : "Heating and cooling",
                about(p, p->loop->electricity_year), now->name, about(p, now->energy_cost),
                about(p, gw_money_from_cents(saved < 0 ? -saved : saved)),
                saved >= 0 ? "less" : "more", back));
    }
    const double size = 2.9;
    const gw_box box =
        gw_leaf_space(&r->leaf, 2.1 * size * (double)p->design->alternatives.count + 3.0);
    gw_papers_draw_costs(p, gw_leaf_scene(&r->leaf), box, size);
    gw_leaf_note(&r->leaf,
                 "Energy alone, a year, at the prices of the job; maintenance and the price of the "
                 "machine are in the numbers at the end.");
}

// ---------------------------------------------------------------- page two

static void ground_and_water(paper *r)
{
    gw_papers *const p = &r->p;
    const gw_loop_result *const w = &p->loop->sized.result;
    gw_leaf_heading(&r->leaf, 1, "What happens to the ground");
    gw_leaf_paragraph(&r->leaf,
                      gw_papers_text(p,
                                     "The water that comes back from the ground (entering water) "
                                     "is coldest late in winter. In the "
                                     "first winter it does not fall below %s, in year %.0f not "
                                     "below %s; the design allows %s. "
                                     "The curve shows every month of the study.",
                                     Q(TEMPERATURE, w->coldest_first.degc),
                                     p->design->job->limits.years, Q(TEMPERATURE, w->coldest.degc),
                                     Q(TEMPERATURE, p->design->job->limits.min_entering_degc)));
    const gw_box box = gw_leaf_space(&r->leaf, 58.0);
    gw_papers_draw_water(p, gw_leaf_scene(&r->leaf), box, 2.5);
    if (p->loop->freezes) {
        gw_leaf_paragraph(
            &r->leaf,
            gw_papers_text(p,
                           "Late in winter a sleeve of ice of about %s around the pipes is part of "
                           "the design%s.",
                           Q(LENGTH, p->loop->frozen.greatest_radius_m),
                           p->loop->frozen.thaws ? "; it thaws in summer"
                                                 : "; some of it stays through summer"));
    }
}

static void uncertain(paper *r)
{
    gw_papers *const p = &r->p;
    const gw_design *const d = p->design;
    gw_leaf_heading(&r->leaf, 1, "What we assumed and what is uncertain");
    gw_leaf_bullet(
        &r->leaf,
        gw_papers_text(
            p,
            "Price: from %s to %s, by what drilling or digging meets and what firms ask. "
            "A quotation settles it.",
            about(p, p->loop->estimate.total.low), about(p, p->loop->estimate.total.high)));
    gw_leaf_bullet(
        &r->leaf,
        gw_papers_text(p, "Weather: %s.",
                       d->weather_made
                           ? gw_papers_text(p, "an ordinary year at %s, made from monthly averages",
                                            d->station->name)
                           : gw_papers_text(p, "the hourly file %s", d->weather->name)));
    gw_leaf_bullet(
        &r->leaf,
        gw_papers_text(p,
                       "Ground: conducts %s, by its class rather than by a test on the spot. "
                       "A test narrows the length.",
                       Q(CONDUCTIVITY, p->loop->sized.response.soil.conductivity_w_mk)));
    gw_leaf_bullet(
        &r->leaf,
        gw_papers_text(p,
                       "%zu values were not given for this house and stand at their usual "
                       "figure; the design report lists every one.",
                       d->job->default_count));
}

static void wrong(paper *r)
{
    gw_leaf_heading(&r->leaf, 1, "What could go wrong, and what guards against it");
    const bool bores = r->p.loop->kind == GW_LOOP_BORES;
    gw_leaf_bullet(
        &r->leaf,
        "A loop that is too short runs colder every winter. This one was run hour by hour over the "
        "whole study before its length was settled.");
    gw_leaf_bullet(
        &r->leaf,
        bores
            ? "Rock or water may stop a bore short. Then another bore makes up the length, before "
              "the rig leaves."
            : "Rock or wet ground may stop a trench. Then more trench makes up the length, before "
              "the machine leaves.");
    gw_leaf_bullet(
        &r->leaf,
        "A bad joint leaks. Joints in the ground are fused and the whole loop is tested with water "
        "before it is covered.");
    gw_leaf_bullet(
        &r->leaf,
        "Somebody digs into it in ten years. The record of where it lies stays with the house and "
        "with the municipality.");
    for (size_t i = 0; i < r->p.loop->verdicts.count; i++) {
        const gw_verdict *const v = &r->p.loop->verdicts.items[i];
        if (v->state != GW_VERDICT_HOLDS) {
            gw_leaf_bullet(&r->leaf, gw_papers_text(&r->p, "To settle: %s, %s%s%s.", v->what,
                                                    gw_papers_quantity(&r->p, v->kind, v->found),
                                                    v->side != GW_LIMIT_NONE ? ", wanted " : "",
                                                    gw_papers_limit(&r->p, v)));
        }
    }
}

static void next_steps(paper *r)
{
    gw_leaf_heading(&r->leaf, 1, "What happens next");
    const bool grants = r->p.design->job->money.program_count > 0;
    if (grants) {
        gw_leaf_bullet(&r->leaf, "Energy audit before any work starts: grants ask for it.");
    }
    gw_leaf_bullet(
        &r->leaf,
        "Site visit: boundaries, septic system, wells, services, soil; then a firm price.");
    gw_leaf_bullet(
        &r->leaf,
        "Permit with the drawings that go with this report; a licensed engineer where required.");
    gw_leaf_bullet(
        &r->leaf,
        "Digging or drilling, tests, filling, the machine, start-up; the record handed over.");
}

// ---------------------------------------------------------------- numbers

static void loops_table(paper *r)
{
    static const gw_ruled_column COLUMNS[] = {
        {"Loop", 2.4, GW_ANCHOR_START},        {"Length", 0.9, GW_ANCHOR_END},
        {"Coldest water", 1.0, GW_ANCHOR_END}, {"Installed", 1.1, GW_ANCHOR_END},
        {"A year", 0.9, GW_ANCHOR_END},        {"", 1.1, GW_ANCHOR_START}};
    gw_papers *const p = &r->p;
    gw_ruled_rows rows = {.arena = p->arena, .column_count = 6};
    for (size_t i = 0; i < p->design->loop_count; i++) {
        const gw_design_loop *const l = &p->design->loops[i];
        const char *const cells[] = {l->name,
                                     Q(LENGTH, l->sized.response.length_m),
                                     Q(TEMPERATURE, l->sized.result.coldest.degc),
                                     about(p, l->estimate.total.typical),
                                     about(p, l->electricity_year),
                                     !l->stands     ? "ruled out"
                                     : l == p->loop ? "this report"
                                                    : "possible"};
        gw_ruled_add(&rows, cells);
    }
    p->failed = p->failed || rows.failed;
    gw_leaf_heading(&r->leaf, 2, "Loops looked at");
    gw_leaf_table(&r->leaf, &(gw_ruled){COLUMNS, 6, rows.cells, rows.rows, 0.0, false});
}

static void price_table(paper *r)
{
    static const gw_ruled_column COLUMNS[] = {{"Line", 3.0, GW_ANCHOR_START},
                                              {"Quantity", 1.1, GW_ANCHOR_END},
                                              {"Low", 1.0, GW_ANCHOR_END},
                                              {"Usual", 1.0, GW_ANCHOR_END},
                                              {"High", 1.0, GW_ANCHOR_END}};
    gw_papers *const p = &r->p;
    const gw_estimate *const e = &p->loop->estimate;
    gw_ruled_rows rows = {.arena = p->arena, .column_count = 5};
    for (size_t i = 0; i < e->line_count; i++) {
        const gw_estimate_line *const l = &e->lines[i];
        const char *const cells[] = {
            l->what, gw_papers_amount(p, l->quantity, l->unit), gw_papers_money(p, l->amount.low),
            gw_papers_money(p, l->amount.typical), gw_papers_money(p, l->amount.high)};
        gw_ruled_add(&rows, cells);
    }
    const struct {
        const char *name;
        const gw_money_range *sum;
    } sums[] = {{"Contingency", &e->contingency}, {"Tax", &e->tax}, {"Total", &e->total}};
    for (size_t i = 0; i < 3; i++) {
        const char *const cells[] = {sums[i].name, "", gw_papers_money(p, sums[i].sum->low),
                                     gw_papers_money(p, sums[i].sum->typical),
                                     gw_papers_money(p, sums[i].sum->high)};
        gw_ruled_add(&rows, cells);
    }
    p->failed = p->failed || rows.failed;
    gw_leaf_heading(&r->leaf, 2, "Installed cost by line");
    gw_leaf_table(&r->leaf, &(gw_ruled){COLUMNS, 5, rows.cells, rows.rows, 0.0, false});
}

static void year_table(paper *r)
{
    static const gw_ruled_column COLUMNS[] = {
        {"System", 2.2, GW_ANCHOR_START},    {"Fuel", 1.4, GW_ANCHOR_END},
        {"Electricity", 1.1, GW_ANCHOR_END}, {"Energy", 0.9, GW_ANCHOR_END},
        {"Upkeep", 0.8, GW_ANCHOR_END},      {"To install", 1.0, GW_ANCHOR_END},
        {"CO2e", 0.9, GW_ANCHOR_END}};
    gw_papers *const p = &r->p;
    const gw_alternative_table *const t = &p->design->alternatives;
    gw_ruled_rows rows = {.arena = p->arena, .column_count = 7};
    for (size_t i = 0; i < t->count; i++) {
        const gw_alternative_year *const a = &t->rows[i];
        const bool electric = strcmp(a->fuel_unit, "kWh") == 0;
        const char *const cells[] = {
            a->name,
            electric ? "" : gw_papers_text(p, "%.4g %s", a->fuel_quantity, a->fuel_unit),
            Q(ENERGY, a->electricity_j),
            gw_papers_money(p, a->energy_cost),
            gw_papers_money(p, a->maintenance),
            gw_papers_money(p, a->capital),
            Q(MASS, a->co2e_kg)};
        gw_ruled_add(&rows, cells);
    }
    p->failed = p->failed || rows.failed;
    gw_leaf_heading(&r->leaf, 2, "A year with each system");
    gw_leaf_table(&r->leaf, &(gw_ruled){COLUMNS, 7, rows.cells, rows.rows, 0.0, false});
}

static void cautions(paper *r)
{
    gw_leaf_heading(&r->leaf, 2, "Cautions");
    for (size_t i = 0; i < r->p.design->caution_count; i++) {
        gw_leaf_bullet(&r->leaf, r->p.design->cautions[i]);
    }
}

gw_status gw_report_client_pages(gw_arena *arena, const gw_design *design,
                                 const gw_papers_style *style, gw_pages *out, gw_err *err)
{
    paper r;
    gw_status st = gw_papers_open(&r.p, arena, design, style, err);
    if (st != GW_OK) {
        return st;
    }
    gw_leaf_open(
        &r.leaf, arena,
        &(gw_leaf_style){
            .paper = gw_papers_report_paper(style->paper),
            .running = design->job->name,
            .foot = "Design aid, not a sealed design. Local codes and bylaws overrule it."});
    gw_leaf_title(
        &r.leaf, design->job->name,
        gw_papers_text(&r.p, "Heating and cooling from the ground · %s", gw_papers_place(&r.p)));
    four_figures(&r);
    what_it_is(&r);
    picture(&r);
    costs(&r);
    gw_leaf_break(&r.leaf);
    ground_and_water(&r);
    uncertain(&r);
    wrong(&r);
    next_steps(&r);
    gw_leaf_break(&r.leaf);
    gw_leaf_heading(&r.leaf, 1, "The numbers");
    loops_table(&r);
    price_table(&r);
    year_table(&r);
    cautions(&r);
    st = gw_leaf_close(&r.leaf, err);
    if (st == GW_OK && r.p.failed) {
        st = gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory writing the client report");
    }
    *out = (gw_pages){r.leaf.scenes, r.leaf.count};
    return st;
}

gw_status gw_report_client(gw_arena *arena, const gw_design *design, const gw_papers_style *style,
                           gw_file_bytes *out, gw_err *err)
{
    gw_pages pages = {0};
    const gw_status st = gw_report_client_pages(arena, design, style, &pages, err);
    return st == GW_OK
               ? gw_pdf_write(arena, &(gw_pdf_pages){pages.scenes, pages.count, design->job->name},
                              out, err)
               : st;
}
