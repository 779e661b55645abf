// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "cli/study_text.h"

#include "report/prose.h"

#include <math.h>
#include <string.h>

enum { WIDTH = 100, BAR = 30 };

typedef struct {
    gw_prose text;
    const gw_study_style *style;
} page;

#define Q(kind, value) gw_prose_quantity(&p->text, GW_QTY_##kind, (value))

static page open_page(gw_arena *arena, const gw_study_style *style, const char *title)
{
    page p = {.text = {.arena = arena, .units = style->units}, .style = style};
    gw_prose_add(&p.text, "%s: %s\n", style->job->name, title);
    return p;
}

static gw_status close_page(page *p, const char **out, gw_err *err)
{
    *out = gw_prose_finish(&p->text);
    return *out != NULL ? GW_OK : gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory writing");
}

static const char *money(page *p, gw_money amount)
{
    return gw_prose_money(&p->text, amount, p->style->job->currency);
}

static const char *units_of_money(page *p, double units)
{
    gw_money amount = {0};
    return gw_money_from_units(units, &amount, NULL) == GW_OK ? money(p, amount) : "?";
}

// A bar of `share` of the full width; any positive share shows.
static void bar(page *p, double share, const char *letter)
{
    const double wanted = share > 0.0 ? fmax(share * BAR, 1.0) : 0.0;
    const size_t count = (size_t)lround(fmin(wanted, (double)BAR));
    for (size_t i = 0; i < count; i++) {
        gw_prose_add(&p->text, "%s", letter);
    }
}

static const char *percent(page *p, double share)
{
    const char *const s = gw_arena_printf(p->text.arena, "%.0f %%", 100.0 * share);
    return s != NULL ? s : "?";
}

static const char *short_name(page *p, const char *name, size_t most)
{
    size_t bytes = 0;
    size_t letters = 0;
    while (name[bytes] != '\0' &&
           (letters < most || ((unsigned char)name[bytes] & 0xC0U) == 0x80U)) {
        letters += ((unsigned char)name[bytes] & 0xC0U) != 0x80U ? 1 : 0;
        bytes++;
    }
    const char *const s = gw_arena_strndup(p->text.arena, name, bytes);
    return s != NULL ? s : "?";
}

// ---------------------------------------------------------------- compare

static void compare_row(page *p, const gw_study_outcome *o, bool best)
{
    gw_prose_add(&p->text, "%s %s", best ? "*" : o->stands ? " " : "x", short_name(p, o->name, 28));
    if (!o->done) {
        gw_prose_cell(&p->text, 32, "cannot be laid out, see below\n");
        return;
    }
    gw_prose_cell(&p->text, 32, Q(LENGTH, o->length_m));
    const char *const land = gw_arena_printf(p->text.arena, "%s × %s", Q(LENGTH, o->land_length_m),
                                             Q(LENGTH, o->land_width_m));
    gw_prose_cell(&p->text, 42, !(o->land_length_m > 0.0) ? "–" : land != NULL ? land : "?");
    gw_prose_cell(&p->text, 61, Q(TEMPERATURE, o->coldest_degc));
    gw_prose_cell(&p->text, 70, Q(TEMPERATURE, o->warmest_degc));
    const char *const spf = gw_arena_printf(p->text.arena, "%.2f", o->performance);
    gw_prose_cell(&p->text, 79, spf != NULL ? spf : "?");
    const char *const pump = gw_arena_printf(p->text.arena, "%.0f W", o->circulator_w);
    gw_prose_cell(&p->text, 85, pump != NULL ? pump : "?");
    gw_prose_cell(&p->text, 92, money(p, o->installed));
    gw_prose_cell(&p->text, 104, money(p, o->present_cost));
    gw_prose_add(&p->text, "\n");
}

static void compare_table(page *p, const gw_compare *c)
{
    gw_prose_add(&p->text, "\n  loop");
    gw_prose_cell(&p->text, 32, "length");
    gw_prose_cell(&p->text, 42, "ground taken");
    gw_prose_cell(&p->text, 61, "coldest");
    gw_prose_cell(&p->text, 70, "warmest");
    gw_prose_cell(&p->text, 79, "heat/");
    gw_prose_cell(&p->text, 85, "pump");
    gw_prose_cell(&p->text, 92, "installed");
    gw_prose_cell(&p->text, 104, "life cycle\n");
    gw_prose_cell(&p->text, 79, "elec.\n");
    for (size_t i = 0; i < c->count; i++) {
        compare_row(p, &c->loops[i], i == c->best);
    }
    gw_prose_add(&p->text, "\n  * least life-cycle cost of those that hold    x ruled out\n");
}

static void compare_reasons(page *p, const gw_compare *c)
{
    bool any = false;
    for (size_t i = 0; i < c->count; i++) {
        if (c->loops[i].ruled_out[0] != '\0') {
            if (!any) {
                gw_prose_heading(&p->text, "What rules them out");
            }
            any = true;
            gw_prose_add(&p->text, "  %s\n", c->loops[i].name);
            gw_prose_wrap(&p->text, 4, WIDTH, c->loops[i].ruled_out);
        }
    }
}

static void compare_costs(page *p, const gw_compare *c)
{
    double most = gw_money_to_units(c->present_cost);
    for (size_t i = 0; i < c->count; i++) {
        most = fmax(most, gw_money_to_units(c->loops[i].present_cost));
    }
    gw_prose_heading(&p->text, "Life-cycle cost");
    for (size_t i = 0; i < c->count; i++) {
        const gw_study_outcome *const o = &c->loops[i];
        if (o->done) {
            gw_prose_add(&p->text, "  %s", short_name(p, o->name, 34));
            gw_prose_cell(&p->text, 38, money(p, o->present_cost));
            gw_prose_pad(&p->text, 52);
            bar(p, gw_money_to_units(o->present_cost) / most, o->stands ? "█" : "░");
            gw_prose_add(&p->text, "%s\n", o->stands ? "" : " ruled out");
        }
    }
    gw_prose_add(&p->text, "  %s", short_name(p, c->present, 34));
    gw_prose_cell(&p->text, 38, money(p, c->present_cost));
    gw_prose_pad(&p->text, 52);
    bar(p, gw_money_to_units(c->present_cost) / most, "▒");
    gw_prose_add(&p->text, " kept as it is\n");
}

gw_status gw_study_text_compare(gw_arena *arena, const gw_study_style *style, const gw_compare *c,
                                const char **out, gw_err *err)
{
    page held = open_page(arena, style, "its loops side by side");
    page *const p = &held;
    compare_table(p, c);
    compare_reasons(p, c);
    compare_costs(p, c);
    return close_page(p, out, err);
}

// ---------------------------------------------------------------- spread

static void spread_water(page *p, const gw_spread *s)
{
    gw_prose_add(&p->text, "\n  Coldest water of the year, limit %s\n",
                 Q(TEMPERATURE, s->limit_degc));
    gw_prose_add(&p->text, "  ");
    gw_prose_cell(&p->text, 39, "each");
    gw_prose_cell(&p->text, 52, "apart");
    for (int t = 0; t < GW_SPREAD_TIMES; t++) {
        gw_prose_pad(&p->text, 61 + 9 * (size_t)t);
        gw_prose_add(&p->text, "year %.0f", s->rows[0].at[t].year);
    }
    gw_prose_add(&p->text, "\n");
    for (size_t i = 0; i < s->count; i++) {
        const gw_spread_row *const r = &s->rows[i];
        gw_prose_add(&p->text, "  %s", r->what);
        if (!r->done) {
            gw_prose_add(&p->text, "\n");
            gw_prose_wrap(&p->text, 6, WIDTH, r->why_not);
            continue;
        }
        gw_prose_pad(&p->text, 39);
        gw_prose_add(&p->text, "%zu × %s", r->count, Q(LENGTH, r->each_m));
        gw_prose_cell(&p->text, 52, Q(LENGTH, r->spacing_m));
        for (int t = 0; t < GW_SPREAD_TIMES; t++) {
            gw_prose_cell(&p->text, 61 + 9 * (size_t)t, Q(TEMPERATURE, r->at[t].coldest_degc));
        }
        if (r->first_below_year > 0.0) {
            gw_prose_pad(&p->text, 98);
            gw_prose_add(&p->text, "below from year %.0f", r->first_below_year);
        }
        gw_prose_add(&p->text, "%s\n", r->freezes ? " (ice)" : "");
    }
}

static void spread_ground(page *p, const gw_spread *s)
{
    double most = 0.1;
    for (size_t i = 0; i < s->count; i++) {
        for (int t = 0; t < GW_SPREAD_TIMES && s->rows[i].done; t++) {
            most = fmax(most, fabs(s->rows[i].undisturbed_degc - s->rows[i].at[t].ground_degc));
        }
    }
    gw_prose_add(&p->text,
                 "\n  The ground in the middle of the field, mean of the year, against the "
                 "untouched ground at that depth\n");
    for (size_t i = 0; i < s->count; i++) {
        const gw_spread_row *const r = &s->rows[i];
        for (int t = 0; t < GW_SPREAD_TIMES && r->done; t++) {
            const double drop_k = r->undisturbed_degc - r->at[t].ground_degc;
            gw_prose_add(&p->text, "  %s", t == 0 ? r->what : "");
            gw_prose_pad(&p->text, 39);
            gw_prose_add(&p->text, "year %.0f", r->at[t].year);
            gw_prose_cell(&p->text, 48, Q(TEMPERATURE, r->at[t].ground_degc));
            gw_prose_pad(&p->text, 57);
            bar(p, fabs(drop_k) / most, drop_k >= 0.0 ? "▄" : "▀");
            gw_prose_add(&p->text, " %s %s\n", Q(TEMPERATURE_DIFFERENCE, fabs(drop_k)),
                         drop_k >= 0.0 ? "colder" : "warmer");
        }
    }
}

gw_status gw_study_text_spread(gw_arena *arena, const gw_study_style *style, const gw_spread *s,
                               const char **out, gw_err *err)
{
    page held = open_page(arena, style, "spread or concentrate");
    page *const p = &held;
    gw_prose_add(&p->text, "%s, %s in every row: the same heat, the same pump, laid otherwise.\n",
                 s->loop, Q(LENGTH, s->rows[0].length_m));
    spread_water(p, s);
    spread_ground(p, s);
    bool ice = false;
    for (size_t i = 0; i < s->count; i++) {
        ice = ice || s->rows[i].freezes;
    }
    if (ice) {
        gw_prose_add(&p->text, "\n");
        gw_prose_wrap(&p->text, 2, WIDTH,
                      "Ice: the pipes freeze the ground, and the ice is reckoned as if the row of "
                      "trenches had no end. For a few crowded trenches this is too kind to the "
                      "water: judge the crowding by the ground's temperature.");
    }
    return close_page(p, out, err);
}

// ---------------------------------------------------------------- measures

static void measures_head(page *p, const char *first)
{
    gw_prose_add(&p->text, "  %s", first);
    gw_prose_cell(&p->text, 44, "costs");
    gw_prose_cell(&p->text, 54, "heat loss");
    gw_prose_cell(&p->text, 65, "heat pump");
    gw_prose_cell(&p->text, 75, "loop");
    gw_prose_cell(&p->text, 85, "energy/year");
    gw_prose_cell(&p->text, 97, "saves per 1 spent\n");
}

static void measures_row(page *p, const gw_measures *m, const gw_measures_step *s)
{
    const bool base = s->measure >= m->count;
    const char *const name = base ? "as it is" : m->list.items[s->measure].name;
    gw_prose_add(&p->text, "  %s", short_name(p, name, 40));
    gw_prose_cell(&p->text, 44, base ? "–" : money(p, m->list.items[s->measure].cost));
    gw_prose_cell(&p->text, 54, Q(POWER, s->at.loss_w));
    gw_prose_cell(&p->text, 65, Q(POWER, s->at.capacity_w));
    gw_prose_cell(&p->text, 75, Q(LENGTH, s->at.length_m));
    gw_prose_cell(&p->text, 85, money(p, s->at.electricity_year));
    if (!base) {
        gw_prose_pad(&p->text, 97);
        gw_prose_add(&p->text, "%.2f", s->per_unit);
    }
    gw_prose_add(&p->text, "%s\n", s->at.stands ? "" : "  (loop ruled out)");
}

static void measures_curve(page *p, const gw_measures *m)
{
    double most = 0.0;
    for (size_t k = 0; k <= m->count; k++) {
        most = fmax(most, fmax(gw_money_to_units(m->curve[k].present_cost),
                               gw_money_to_units(m->curve[k].present_system)));
    }
    gw_prose_add(&p->text, "\n  Life-cycle cost with all measures down to that line: ground source "
                           "█, present system kept ▒\n");
    for (size_t k = 0; k <= m->count; k++) {
        const gw_measures_step *const s = &m->curve[k];
        const char *const name =
            s->measure < m->count ? m->list.items[s->measure].name : "as it is";
        gw_prose_add(&p->text, "  %s%s", k > 0 ? "+ " : "", short_name(p, name, 38));
        gw_prose_cell(&p->text, 44, money(p, s->present_cost));
        gw_prose_pad(&p->text, 57);
        bar(p, gw_money_to_units(s->present_cost) / most, s->at.stands ? "█" : "░");
        gw_prose_add(&p->text, "%s\n", k == m->best ? "  ← stop here" : "");
        gw_prose_cell(&p->text, 44, money(p, s->present_system));
        gw_prose_pad(&p->text, 57);
        bar(p, gw_money_to_units(s->present_system) / most, "▒");
        gw_prose_add(&p->text, "\n");
    }
}

gw_status gw_study_text_measures(gw_arena *arena, const gw_study_style *style, const gw_measures *m,
                                 const char **out, gw_err *err)
{
    page held = open_page(arena, style, "the envelope first");
    page *const p = &held;
    gw_prose_add(&p->text, "Loop: %s. Every line is a whole design (%zu in all).\n", m->loop,
                 m->designs);
    gw_prose_heading(&p->text, "Each measure alone");
    measures_head(p, "");
    measures_row(p, m, &m->base);
    for (size_t i = 0; i < m->count; i++) {
        measures_row(p, m, &m->alone[i]);
    }
    gw_prose_heading(&p->text, "The cheapest next dollar");
    measures_head(p, "one after the other");
    for (size_t k = 0; k <= m->count; k++) {
        measures_row(p, m, &m->curve[k]);
    }
    measures_curve(p, m);
    gw_prose_add(&p->text, "\n");
    gw_prose_wrap(
        &p->text, 2, WIDTH,
        "\"Saves per 1 spent\": life-cycle cost of heating saved by the measure, over its "
        "own price. Above 1 it pays for itself within the study. Comfort, moisture and "
        "the ventilation that a tight house needs are not counted. Built-in prices of "
        "measures are invented for demonstration.");
    return close_page(p, out, err);
}

// ---------------------------------------------------------------- uncertainty

static void range_row(page *p, const char *what, const char *low, const char *middle,
                      const char *high)
{
    gw_prose_add(&p->text, "  %s", what);
    gw_prose_cell(&p->text, 44, low);
    gw_prose_cell(&p->text, 58, middle);
    gw_prose_cell(&p->text, 72, high);
    gw_prose_add(&p->text, "\n");
}

#define RANGE(what, kind, r)                                                                       \
    range_row(p, what, Q(kind, (r).p10), Q(kind, (r).p50), Q(kind, (r).p90))
#define MONEY_RANGE(what, r)                                                                       \
    range_row(p, what, units_of_money(p, (r).p10), units_of_money(p, (r).p50),                     \
              units_of_money(p, (r).p90))
#define PLAIN_RANGE(what, r)                                                                       \
    range_row(p, what, Q(NUMBER, (r).p10), Q(NUMBER, (r).p50), Q(NUMBER, (r).p90))

static void uncertainty_ranges(page *p, const gw_uncertainty *u)
{
    gw_prose_heading(&p->text, "What may come");
    range_row(p, "", "1 in 10 below", "middle", "1 in 10 above");
    RANGE("coldest water into the heat pump", TEMPERATURE, u->coldest_degc);
    RANGE("warmest water", TEMPERATURE, u->warmest_degc);
    RANGE("length of the loop", LENGTH, u->length_m);
    RANGE("heat of a year", ENERGY, u->heat_j);
    PLAIN_RANGE("heat per electricity", u->performance);
    MONEY_RANGE("installed", u->installed);
    MONEY_RANGE("electricity of a year", u->electricity_year);
    MONEY_RANGE("life-cycle cost", u->present_cost);
    gw_prose_add(&p->text, "\n  The water stays within the job's limits in %s of the draws.\n",
                 percent(p, u->holds_frac));
}

static void uncertainty_histogram(page *p, const gw_uncertainty *u)
{
    enum { BINS = 12 };
    double low = HUGE_VAL;
    double high = -HUGE_VAL;
    for (size_t i = 0; i < u->sample_count; i++) {
        if (u->samples[i].done) {
            low = fmin(low, u->samples[i].coldest_degc);
            high = fmax(high, u->samples[i].coldest_degc);
        }
    }
    if (!(high > low)) {
        return;
    }
    size_t count[BINS] = {0};
    size_t most = 1;
    for (size_t i = 0; i < u->sample_count; i++) {
        const double at = (u->samples[i].coldest_degc - low) / (high - low) * BINS;
        size_t *const bin = &count[at >= BINS ? BINS - 1 : (size_t)fmax(at, 0.0)];
        *bin += u->samples[i].done ? 1 : 0;
        most = *bin > most ? *bin : most;
    }
    gw_prose_heading(&p->text, "Coldest water");
    const double limit = p->style->job->limits.min_entering_degc;
    for (size_t b = 0; b < BINS; b++) {
        const double from = low + (high - low) * (double)b / BINS;
        const double to = low + (high - low) * (double)(b + 1) / BINS;
        gw_prose_add(&p->text, "  %s", Q(TEMPERATURE, 0.5 * (from + to)));
        gw_prose_pad(&p->text, 12);
        bar(p, (double)count[b] / (double)most, to <= limit ? "░" : "█");
        gw_prose_add(&p->text, "%s\n",
                     from <= limit && limit < to ? "  ← the limit lies here" : "");
    }
}

static void uncertainty_rivals(page *p, const gw_uncertainty *u)
{
    gw_prose_heading(&p->text, "Chance of costing less over the study than");
    for (size_t i = 0; i < u->rival_count; i++) {
        const gw_uncertainty_rival *const r = &u->rivals[i];
        gw_prose_add(&p->text, "  %s", short_name(p, r->name, 40));
        gw_prose_cell(&p->text, 44, percent(p, r->beaten_frac));
        gw_prose_pad(&p->text, 51);
        bar(p, r->beaten_frac, "█");
        gw_prose_pad(&p->text, 83);
        gw_prose_add(&p->text, "(%s … %s; a year's energy: %s)\n",
                     units_of_money(p, r->present_cost.p10), units_of_money(p, r->present_cost.p90),
                     percent(p, r->beaten_year_frac));
    }
}

static void uncertainty_tornado(page *p, const gw_uncertainty *u)
{
    gw_prose_heading(
        &p->text,
        "What the life-cycle cost hangs on (each alone, from its 1-in-10 low to its high)");
    const double most = u->bar_count > 0 ? fmax(u->bars[0].cost_swing, 1.0) : 1.0;
    for (size_t i = 0; i < u->bar_count; i++) {
        const gw_uncertainty_bar *const b = &u->bars[i];
        gw_prose_add(&p->text, "  %s", gw_uncertain_text(b->what));
        gw_prose_cell(&p->text, 44, units_of_money(p, b->low.present_cost));
        gw_prose_cell(&p->text, 57, units_of_money(p, b->high.present_cost));
        gw_prose_pad(&p->text, 70);
        bar(p, b->cost_swing / most, "█");
        if (b->water_swing_k >= 0.05) {
            gw_prose_pad(&p->text, 102);
            gw_prose_add(&p->text, "water %s", Q(TEMPERATURE_DIFFERENCE, b->water_swing_k));
        }
        gw_prose_add(&p->text, "\n");
    }
}

gw_status gw_study_text_uncertainty(gw_arena *arena, const gw_study_style *style,
                                    const gw_uncertainty *u, const char **out, gw_err *err)
{
    page held = open_page(arena, style, "how sure");
    page *const p = &held;
    gw_prose_add(&p->text, "%s, %s. %zu draws through the whole design, seed %llu.\n", u->loop,
                 u->mode == GW_UNCERTAINTY_FIXED ? "built as designed" : "sized anew in every draw",
                 u->done, (unsigned long long)u->seed);
    if (u->done < u->sample_count) {
        gw_prose_add(&p->text, "%zu draws could not be designed and are left out; the first: %s\n",
                     u->sample_count - u->done, u->first_failure.text);
    }
    uncertainty_ranges(p, u);
    uncertainty_histogram(p, u);
    uncertainty_rivals(p, u);
    uncertainty_tornado(p, u);
    gw_prose_add(&p->text, "\n");
    gw_prose_wrap(&p->text, 2, WIDTH,
                  "The spreads are assumptions, not measurements, and independent of each other; "
                  "one weather year repeats through a draw. See docs/methods/study.md.");
    return close_page(p, out, err);
}
