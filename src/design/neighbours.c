// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What the loop does to the ground at the things on the lot.
#include "design/ground_map.h"
#include "design/lot_priv.h"
#include "lot/plane.h"

#include <math.h>
#include <string.h>

enum { CANDIDATES = 12, YEAR_DAYS = 365, MONTHS = 12 };

// Depths where the job gives none (common practice, no source): footing, bed of a septic field,
// bottom of a tank, lines below frost, feeding roots. 0: not watched; -1: at the loop's own depth.
static double usual_depth_m(gw_lot_kind kind)
{
    switch (kind) {
    case GW_LOT_HOUSE:
    case GW_LOT_BUILDING:
        return 1.2;
    case GW_LOT_SEPTIC_FIELD:
    case GW_LOT_SEPTIC_RESERVE:
        return 0.9;
    case GW_LOT_SEPTIC_TANK:
        return 1.5;
    case GW_LOT_WATER_LINE:
        return 1.8;
    case GW_LOT_SEWER_LINE:
    case GW_LOT_DRAIN:
        return 1.2;
    case GW_LOT_TREE:
        return 0.6;
    case GW_LOT_WELL:
    case GW_LOT_PROPERTY_LINE:
        return -1.0;
    default:
        return 0.0;
    }
}

static bool is_septic(gw_lot_kind kind)
{
    return kind == GW_LOT_SEPTIC_FIELD || kind == GW_LOT_SEPTIC_RESERVE ||
           kind == GW_LOT_SEPTIC_TANK;
}

static bool may_not_freeze(gw_lot_kind kind)
{
    return is_septic(kind) || kind == GW_LOT_HOUSE || kind == GW_LOT_BUILDING ||
           kind == GW_LOT_WATER_LINE || kind == GW_LOT_SEWER_LINE || kind == GW_LOT_DRAIN;
}

typedef struct {
    gw_design_priv *d;
    const gw_design_loop *loop;
    const gw_design_on_lot *on;
    gw_design_source source;
    size_t *spans; // all months
} watch;

static gw_status no_memory(const watch *w)
{
    return gw_fail(w->d->err, GW_ERR_NOMEM, "lot", "out of memory watching the neighbours");
}

// ---- where --------------------------------------------------------------------------------------

// The point of the thing nearest to each piece of the loop, the nearest of all first.
static size_t candidates(const watch *w, const gw_lot_feature *feature, gw_lot_point *out,
                         double *least_m)
{
    const gw_lot_loop_plan *const items = &w->on->items;
    const size_t step = items->count > CANDIDATES ? items->count / CANDIDATES : 1;
    size_t count = 0;
    *least_m = HUGE_VAL;
    for (size_t i = 0; i < items->count; i++) {
        gw_lot_gap gap;
        if (feature != NULL) {
            gw_lot_measure_gap(&items->items[i].geometry, &feature->geometry, &gap);
        } else {
            gw_lot_measure_inside_gap(&items->items[i].geometry,
                                      &w->d->input->job->lot->lot.boundary, &gap);
        }
        const bool nearest = gap.gap_m < *least_m;
        if (nearest || (i % step == 0 && count < CANDIDATES)) {
            const size_t place = count < CANDIDATES ? count++ : CANDIDATES - 1;
            out[place] = gap.on_b;
            if (nearest) {
                *least_m = gap.gap_m;
                out[place] = out[0];
                out[0] = gap.on_b;
            }
        }
    }
    return count;
}

// Drop at the candidate where it grows largest.
static gw_status watch_drop(const watch *w, const gw_lot_point *places, size_t count,
                            gw_design_neighbour *n)
{
    const size_t months = w->source.past.count;
    gw_position points[CANDIDATES];
    double *const drop_k = gw_arena_alloc(w->d->arena, count * months, sizeof *drop_k);
    if (drop_k == NULL) {
        return no_memory(w);
    }
    for (size_t i = 0; i < count; i++) {
        points[i] = (gw_position){places[i].x_m, places[i].y_m, n->at.z_m};
    }
    const gw_ground_ask ask = {points, count, w->spans, months};
    const gw_status st = gw_ground_at_points(w->d->arena, &w->source.past, &ask, drop_k, w->d->err);
    size_t chosen = 0;
    n->greatest_drop_k = -HUGE_VAL;
    for (size_t i = 0; st == GW_OK && i < count * months; i++) {
        if (drop_k[i] > n->greatest_drop_k) {
            n->greatest_drop_k = drop_k[i];
            n->greatest_month = i % months;
            chosen = i / months;
        }
    }
    n->drop_k = drop_k + chosen * months;
    n->at = points[chosen];
    return st;
}

// ---- when ---------------------------------------------------------------------------------------

static gw_status fill_months(const watch *w, gw_design_neighbour *n)
{
    const size_t months = w->source.past.count;
    double *const degc = gw_arena_alloc(w->d->arena, months, sizeof *degc);
    if (degc == NULL) {
        return no_memory(w);
    }
    for (size_t m = 0; m < months; m++) {
        degc[m] = gw_design_undisturbed_degc(&w->source, n->at.z_m,
                                             gw_design_month_end_day(&w->source, m)) -
                  n->drop_k[m];
    }
    n->degc = degc;
    return GW_OK;
}

// Day by day: the wave of the day, the drop between the ends of months.
static void find_coldest(const watch *w, gw_design_neighbour *n)
{
    const size_t months = w->source.past.count;
    n->coldest = n->coldest_without = (gw_design_day){.degc = HUGE_VAL};
    for (size_t m = 0; m < months; m++) {
        const size_t month = (w->source.first_month + m) % MONTHS;
        const int days = gw_weather_days_of_month((int)month);
        const int start = gw_weather_hours_before_month((int)month) / 24;
        const double from_k = m > 0 ? n->drop_k[m - 1] : 0.0;
        for (int i = 0; i < days; i++) {
            const double share = ((double)i + 0.5) / days;
            const double drop_k = from_k + share * (n->drop_k[m] - from_k);
            const double rest_degc =
                gw_design_undisturbed_degc(&w->source, n->at.z_m, start + i + 0.5);
            const gw_design_day day = {rest_degc - drop_k, m / MONTHS + 1, (size_t)(start + i)};
            n->coldest = day.degc < n->coldest.degc ? day : n->coldest;
            if (m < MONTHS && rest_degc < n->coldest_without.degc) {
                n->coldest_without = (gw_design_day){rest_degc, 1, day.day};
            }
            if (m + MONTHS >= months) {
                n->frost_days += day.degc < 0.0 ? 1 : 0;
                n->frost_days_without += rest_degc < 0.0 ? 1 : 0;
            }
        }
    }
}

// ---- what it means ------------------------------------------------------------------------------

// "14 February of year 25".
static const char *date_of(gw_arena *arena, const gw_design_day *day)
{
    static const char *const NAMES[] = {"January",   "February", "March",    "April",
                                        "May",       "June",     "July",     "August",
                                        "September", "October",  "November", "December"};
    const int month = gw_weather_month_of_hour((int)day->day * 24);
    const int within = (int)day->day - gw_weather_hours_before_month(month) / 24;
    return gw_arena_printf(arena, "%d %s of year %zu", within + 1, NAMES[month], day->year);
}

// A lowering of more than 1 K, or a septic bed below 4 °C, is worth a thought (design suggestion:
// bacteria all but stop near 4 °C; no rule says so). New frost is not accepted.
static void judge(const watch *w, gw_design_neighbour *n)
{
    static const double MUCH_K = 1.0;
    static const double SLIGHT_K = 0.1;
    static const double BED_DEGC = 4.0;
    enum { LONGER_DAYS = 7 };
    const bool guarded = may_not_freeze(n->kind);
    const bool frost = n->coldest.degc < 0.0;
    const bool frost_anyway = n->coldest_without.degc < 0.0;
    n->fails = guarded && frost && !frost_anyway;
    const bool longer =
        guarded && frost_anyway && n->frost_days > n->frost_days_without + LONGER_DAYS;
    const bool cold_bed =
        is_septic(n->kind) && n->coldest.degc < BED_DEGC && n->greatest_drop_k > SLIGHT_K;
    n->mind = !n->fails && (n->greatest_drop_k > MUCH_K || cold_bed || longer);
    const char *const told =
        n->fails ? "it would freeze, and would not without the loop: move the loop or deepen what "
                   "may not freeze"
        : longer ? "it freezes without the loop too, but the loop makes the frost last longer"
        : cold_bed
            ? "a bed below 4 °C works slowly (design suggestion); its own warmth is not counted"
        : n->mind ? "more than 1 K is worth a talk with the owner (design suggestion)"
        : frost_anyway && guarded ? "it freezes without the loop too; the loop hardly matters"
                                  : "the loop hardly matters here";
    const bool ice = w->loop->freezes && n->greatest_drop_k > SLIGHT_K;
    const char *const date = date_of(w->d->arena, &n->coldest);
    n->because = gw_arena_printf(
        w->d->arena,
        "%.1f m from the loop, %.1f m deep: coldest %.1f °C on %s, %.1f °C without the loop; "
        "lowered by %.2f K at most; %s%s",
        n->distance_m, n->at.z_m, n->coldest.degc, date != NULL ? date : "?",
        n->coldest_without.degc, n->greatest_drop_k, told,
        ice ? ". Ice at the pipes is left out, which makes this number too large" : "");
}

static gw_status watch_thing(const watch *w, const gw_lot_feature *feature, long index,
                             gw_design_neighbour *n)
{
    const gw_lot_kind kind = feature != NULL ? feature->kind : GW_LOT_PROPERTY_LINE;
    const double usual_m = usual_depth_m(kind);
    const bool given = feature != NULL && usual_m > 0.0 && feature->depth_m > 0.0;
    *n = (gw_design_neighbour){.name = feature != NULL ? gw_lot_feature_name(feature)
                                                       : "the property line",
                               .kind = kind,
                               .feature = index,
                               .depth_usual = !given};
    n->at.z_m = given ? feature->depth_m : usual_m > 0.0 ? usual_m : w->source.depth_m;
    gw_lot_point places[CANDIDATES];
    const size_t count = candidates(w, feature, places, &n->distance_m);
    gw_status st = watch_drop(w, places, count, n);
    if (st == GW_OK) {
        st = fill_months(w, n);
    }
    if (st == GW_OK) {
        find_coldest(w, n);
        judge(w, n);
    }
    return st == GW_OK && n->because == NULL ? no_memory(w) : st;
}

gw_status gw_design_priv_neighbours(gw_design_priv *d, gw_design_loop *loop)
{
    const gw_job_lot *const lot = d->input->job->lot;
    const gw_design_on_lot *const on = loop->on_lot;
    if (lot == NULL || on == NULL || on->items.count == 0) {
        return GW_OK;
    }
    watch w = {.d = d, .loop = loop, .on = on};
    gw_status st = gw_design_ground_source(d->arena, d->design, (size_t)(loop - d->design->loops),
                                           &w.source, d->err);
    if (st != GW_OK) {
        return st;
    }
    const size_t months = w.source.past.count;
    gw_design_neighbour *const items = gw_arena_alloc(d->arena, lot->lot.count + 1, sizeof *items);
    w.spans = gw_arena_alloc(d->arena, months, sizeof *w.spans);
    if (items == NULL || w.spans == NULL) {
        return no_memory(&w);
    }
    for (size_t m = 0; m < months; m++) {
        w.spans[m] = m;
    }
    size_t count = 0;
    for (size_t i = 0; st == GW_OK && i < lot->lot.count; i++) {
        if (usual_depth_m(lot->lot.features[i].kind) != 0.0) {
            st = watch_thing(&w, &lot->lot.features[i], (long)i, &items[count++]);
        }
    }
    if (st == GW_OK) {
        st = watch_thing(&w, NULL, GW_LOT_NO_FEATURE, &items[count++]);
    }
    loop->neighbours = (gw_design_neighbours){items, count, months};
    return st;
}
