// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "report/papers.h"

#include "base/builtin.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define PI 3.14159265358979323846

static bool can_draw(const gw_design_loop *loop)
{
    return loop->kind == GW_LOOP_BORES || loop->kind == GW_LOOP_TRENCH;
}

static gw_status refuse_kind(const gw_design *design, size_t shown, gw_err *err)
{
    char others[160] = "";
    size_t length = 0;
    for (size_t i = 0; i < design->loop_count && length < sizeof others - 1; i++) {
        if (can_draw(&design->loops[i])) {
            const int more = snprintf(others + length, sizeof others - length, "%s%zu \"%s\"",
                                      length > 0 ? ", " : "", i + 1, design->loops[i].name);
            length += more > 0 ? (size_t)more : 0;
        }
    }
    return gw_fail(
        err, GW_ERR_RANGE, "loop",
        "the papers draw bores and trenches of straight pipe; loop %zu \"%s\" is of another "
        "kind%s%s",
        shown + 1, design->loops[shown].name, others[0] != '\0' ? ". They can draw loop " : "",
        others);
}

gw_status gw_papers_open(gw_papers *papers, gw_arena *arena, const gw_design *design,
                         const gw_papers_style *style, gw_err *err)
{
    if (design->loop_count == 0) {
        return gw_fail(err, GW_ERR_MISSING, "loops", "the design has no loop to draw");
    }
    if (!((unsigned)style->paper < GW_PAPER_COUNT && (unsigned)style->level < GW_LEVEL_COUNT)) {
        return gw_fail(err, GW_ERR_RANGE, "style", "the paper or the drawing level is unknown");
    }
    if (!(style->scale == 0.0 || (style->scale >= 1.0 && style->scale <= 10000.0))) {
        return gw_fail(err, GW_ERR_RANGE, "scale", "found a scale of 1:%g, expected 1:1 to 1:10000",
                       style->scale);
    }
    if (style->loop > design->loop_count) {
        return gw_fail(err, GW_ERR_RANGE, "loop", "found loop %zu, the design has %zu", style->loop,
                       design->loop_count);
    }
    const size_t shown = style->loop > 0                     ? style->loop - 1
                         : design->best < design->loop_count ? design->best
                                                             : 0;
    if (!can_draw(&design->loops[shown])) {
        return refuse_kind(design, shown, err);
    }
    *papers = (gw_papers){
        .arena = arena, .design = design, .loop = &design->loops[shown], .style = *style};
    return GW_OK;
}

const char *gw_papers_text(gw_papers *p, const char *fmt, ...)
{
    va_list args;
    va_start(args, fmt);
    va_list again;
    va_copy(again, args);
    const int length = vsnprintf(NULL, 0, fmt, args);
    va_end(args);
    char *const out = length >= 0 ? gw_arena_alloc(p->arena, (size_t)length + 1, 1) : NULL;
    if (out != NULL) {
        vsnprintf(out, (size_t)length + 1, fmt, again);
    }
    va_end(again);
    p->failed = p->failed || out == NULL;
    return out != NULL ? out : "";
}

const char *gw_papers_quantity(gw_papers *p, gw_quantity_kind kind, double si)
{
    char text[64];
    if (kind == GW_QTY_NUMBER && isfinite(si)) {
        snprintf(text, sizeof text, fabs(si) >= 100.0 ? "%.0f" : "%.3g", si);
    } else {
        gw_quantity_print(kind, p->style.units, si, text, sizeof text);
    }
    // A minus sign, not a hyphen.
    return text[0] == '-' ? gw_papers_text(p, "\u2212%s", text + 1) : gw_papers_text(p, "%s", text);
}

const char *gw_papers_measure(gw_papers *p, double length_m)
{
    if (p->style.units == GW_UNITS_METRIC) {
        return gw_papers_text(p, length_m < 10.0 ? "%.2f m" : "%.1f m", length_m);
    }
    const double inches = round(length_m / 0.0254);
    return gw_papers_text(p, "%.0f\u2032-%.0f\u2033", floor(inches / 12.0), fmod(inches, 12.0));
}

const char *gw_papers_small(gw_papers *p, double length_m)
{
    const double size = p->style.units == GW_UNITS_METRIC ? 1000.0 * length_m : length_m / 0.0254;
    const double step = p->style.units == GW_UNITS_METRIC ? 0.1 : 0.01;
    const bool whole = fabs(size - round(size)) < step;
    return whole
               ? gw_papers_text(p, p->style.units == GW_UNITS_METRIC ? "%.0f mm" : "%.0f in", size)
               : gw_papers_quantity(p, GW_QTY_SMALL_LENGTH, length_m);
}

const char *gw_papers_amount(gw_papers *p, double quantity, const char *unit)
{
    static const struct {
        const char *unit;
        gw_quantity_kind kind;
    } UNITS[] = {
        {"m", GW_QTY_LENGTH}, {"m2", GW_QTY_AREA}, {"kg", GW_QTY_MASS}, {"W", GW_QTY_POWER}};
    for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0]; i++) {
        if (strcmp(unit, UNITS[i].unit) == 0) {
            return gw_papers_quantity(p, UNITS[i].kind, quantity);
        }
    }
    if (strcmp(unit, "m3") == 0) {
        const bool metric = p->style.units == GW_UNITS_METRIC;
        return quantity < 1.0 ? gw_papers_quantity(p, GW_QTY_VOLUME, quantity)
               : metric       ? gw_papers_text(p, "%.1f m³", quantity)
                              : gw_papers_text(p, "%.1f yd³", quantity / 0.764554857984);
    }
    return strcmp(unit, "each") == 0 ? gw_papers_text(p, "%.4g", quantity)
                                     : gw_papers_text(p, "%.4g %s", quantity, unit);
}

const char *gw_papers_money(gw_papers *p, gw_money amount)
{
    char text[64];
    const gw_money_style style = {.symbol = p->design->job->currency};
    return gw_papers_text(p, "%s", gw_money_print(amount, &style, text, sizeof text));
}

const char *gw_papers_place(gw_papers *p)
{
    const gw_station *const s = p->design->station;
    const bool has = s->region != NULL && s->region[0] != '\0';
    return gw_papers_text(p, "Climate of %s%s%s", s->name, has ? ", " : "", has ? s->region : "");
}

const char *gw_papers_hour(gw_papers *p, size_t hour)
{
    static const char *const MONTHS[] = {"January",   "February", "March",    "April",
                                         "May",       "June",     "July",     "August",
                                         "September", "October",  "November", "December"};
    const int month = gw_weather_month_of_hour((int)hour);
    const int within = (int)hour - gw_weather_hours_before_month(month);
    return gw_papers_text(p, "%d %s, %02d:00", within / 24 + 1, MONTHS[month], within % 24);
}

const char *gw_papers_loop(gw_papers *p)
{
    const gw_loop_plan *const plan = &p->loop->sized.plan;
    const char *const all = gw_papers_quantity(p, GW_QTY_LENGTH, p->loop->sized.response.length_m);
    if (plan->kind == GW_LOOP_BORES) {
        return gw_papers_text(p, "%zu bore%s of %s: %s of bore", plan->bores.count,
                              plan->bores.count == 1 ? "" : "s",
                              gw_papers_quantity(p, GW_QTY_LENGTH, plan->bores.depth_m), all);
    }
    return gw_papers_text(p, "%zu trench%s of %s with %zu pipe%s each: %s of pipe",
                          plan->trench.count, plan->trench.count == 1 ? "" : "es",
                          gw_papers_quantity(p, GW_QTY_LENGTH, plan->trench.length_m),
                          plan->trench.pipes, plan->trench.pipes == 1 ? "" : "s", all);
}

const char *gw_papers_limit(gw_papers *p, const gw_verdict *v)
{
    return v->side == GW_LIMIT_NONE
               ? ""
               : gw_papers_text(p, "%s %s", v->side == GW_LIMIT_AT_LEAST ? "at least" : "at most",
                                gw_papers_quantity(p, v->kind, v->limit));
}

const char *gw_papers_tidy(gw_papers *p, const char *id)
{
    char *const out = gw_arena_strdup(p->arena, id);
    for (char *c = out; c != NULL && *c != '\0'; c++) {
        if (*c == '-' || *c == '_') {
            *c = ' ';
        }
    }
    p->failed = p->failed || out == NULL;
    return out != NULL ? out : "";
}

bool gw_papers_applies(const gw_papers *p, const char *when)
{
    const bool bores = p->loop->kind == GW_LOOP_BORES;
    return strcmp(when, "always") == 0 || (strcmp(when, "bores") == 0 && bores) ||
           (strcmp(when, "trench") == 0 && !bores) ||
           (strcmp(when, "antifreeze") == 0 && p->design->fluid.kind != GW_FLUID_WATER);
}

gw_status gw_papers_table(gw_papers *p, const char *name, gw_table *out, gw_err *err)
{
    gw_builtin_file file;
    if (!gw_builtin(name, &file)) {
        return gw_fail(err, GW_ERR_IO, name, "the built-in table %s is missing", name);
    }
    return gw_table_read(p->arena, file.name, file.text, file.length, out, err);
}

double gw_papers_grout_m3(const gw_design_loop *loop)
{
    const gw_bores_plan *const b = &loop->sized.plan.bores;
    const double pipes = 2.0 * (double)b->u_tubes;
    const double outer_m = loop->pipe->outer_diameter_m;
    return 0.25 * PI * (b->diameter_m * b->diameter_m - pipes * outer_m * outer_m) * b->depth_m;
}

gw_paper gw_papers_report_paper(gw_paper drawings)
{
    return drawings == GW_PAPER_A4 || drawings == GW_PAPER_A3 ? GW_PAPER_A4 : GW_PAPER_LETTER;
}
