// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "loop/size.h"

#include <math.h>
#include <string.h>

// A loop within this much above the limit at its worst hour is as short as it can be built: it is
// a tenth of what a good probe resolves.
static const double CLOSE_K = 0.02;
// Lengths are rounded up to whole metres before the last try: nobody drills to the centimetre.
static const double BUILD_STEP_M = 1.0;
static gw_status check_limits(const gw_loop_limits *l, gw_err *err)
{
    if (!(l->min_entering_degc < l->max_entering_degc)) {
        return gw_fail(err, GW_ERR_RANGE, "limits.min_entering_degc",
                       "found a least entering water of %.1f °C not below the greatest of %.1f °C",
                       l->min_entering_degc, l->max_entering_degc);
    }
    return GW_OK;
}

typedef struct {
    const gw_loop_task *task;
    gw_arena *arena;
    gw_loop_sized *out;
    gw_loop_sized *best; // the smallest that held, so that it need not be simulated again
    bool has_best;
    gw_err *err;
} search;

static double size_of(const gw_loop_sized *s)
{
    return gw_loop_length_m(&s->plan);
}

static double margin_of(const gw_loop_limits *l, const gw_loop_result *r,
                        gw_loop_governor *governor)
{
    const double cold_k = r->coldest.degc - l->min_entering_degc;
    const double warm_k = l->max_entering_degc - r->warmest.degc;
    *governor = cold_k <= warm_k ? GW_GOVERNED_BY_COLD : GW_GOVERNED_BY_WARMTH;
    return cold_k <= warm_k ? cold_k : warm_k;
}

// Simulates the plan as it stands in s->out->plan and books the try.
static gw_status attempt(search *s)
{
    gw_loop_sized *const out = s->out;
    const gw_loop_task *const t = s->task;
    if (out->try_count == GW_LOOP_TRIES_MAX) {
        return gw_fail(s->err, GW_ERR_CONVERGE, t->plan->name,
                       "sizing did not settle in %d simulated horizons", (int)GW_LOOP_TRIES_MAX);
    }
    const gw_loop_site site = {.plan = &out->plan,
                               .ground = t->ground,
                               .bore_ground = t->bore_ground,
                               .pipe = t->pipe,
                               .fluid = t->fluid,
                               .pond = t->pond,
                               .years = t->limits->years};
    gw_status st = gw_loop_respond(s->arena, &site, &out->response, s->err);
    if (st != GW_OK) {
        return st;
    }
    if (t->correction_k != NULL) {
        out->response.correction_k = t->correction_k;
    }
    const gw_loop_run run = {.heating_w = t->heating_w,
                             .cooling_w = t->cooling_w,
                             .hot_water_w = t->hot_water_w,
                             .plant = t->plant,
                             .response = &out->response,
                             .years = (size_t)t->limits->years,
                             .first_month = t->first_month};
    st = gw_loop_simulate(s->arena, &run, &out->result, s->err);
    if (st != GW_OK) {
        return st;
    }
    out->margin_k = margin_of(t->limits, &out->result, &out->governor);
    out->holds = out->margin_k >= 0.0;
    out->tries[out->try_count++] = (gw_loop_try){.each_m = gw_loop_each_m(&out->plan),
                                                 .count = gw_loop_count_of(&out->plan),
                                                 .least_degc = out->result.coldest.degc,
                                                 .greatest_degc = out->result.warmest.degc,
                                                 .margin_k = out->margin_k};
    if (out->holds && (!s->has_best || size_of(out) < size_of(s->best))) {
        *s->best = *out;
        s->has_best = true;
    }
    return GW_OK;
}

// Ends the search with the smallest loop that held; the list of tries stays whole.
static void take_best(search *s)
{
    gw_loop_sized *const out = s->out;
    if (s->has_best) {
        s->best->try_count = out->try_count;
        memcpy(s->best->tries, out->tries, sizeof out->tries);
        *out = *s->best;
    }
}

// The longest length tried that is too short, and the shortest that is long enough.
typedef struct {
    double low_m, low_margin_k;
    double high_m, high_margin_k;
} bracket;

// Next length: the margin is nearly linear in 1/L. From one point the line runs through the
// margin of an endless loop, which is that of the undisturbed ground.
static double next_length(const bracket *b, const gw_loop_sized *out, const gw_loop_limits *l)
{
    const bool both = b->low_m > 0.0 && isfinite(b->high_m);
    double u = 0.0;
    if (both) {
        const double ul = 1.0 / b->low_m;
        const double uh = 1.0 / b->high_m;
        const double aim_k = 0.5 * CLOSE_K;
        u = uh + (ul - uh) * (b->high_margin_k - aim_k) / (b->high_margin_k - b->low_margin_k);
        // Keep away from the ends of the bracket so that it shrinks from both sides.
        const double edge = 0.02 * (ul - uh);
        u = fmin(fmax(u, uh + edge), ul - edge);
        return 1.0 / u;
    }
    const double at_m = b->low_m > 0.0 ? b->low_m : b->high_m;
    const double at_k = b->low_m > 0.0 ? b->low_margin_k : b->high_margin_k;
    const double endless_k = out->governor == GW_GOVERNED_BY_COLD
                                 ? out->response.coldest_rest_degc - l->min_entering_degc
                                 : l->max_entering_degc - out->response.warmest_rest_degc;
    const double ratio = (endless_k - at_k) / fmax(endless_k, 0.5);
    return at_m * fmin(fmax(ratio, 0.4), 2.5);
}

static void narrow(bracket *b, double length_m, double margin_k)
{
    if (margin_k < 0.0) {
        b->low_m = length_m;
        b->low_margin_k = margin_k;
    } else {
        b->high_m = length_m;
        b->high_margin_k = margin_k;
    }
}

// A first guess from the rated extraction at the least entering water; length of each.
static double first_each_m(const gw_loop_task *t)
{
    double peak_w = 0.0;
    for (size_t h = 0; h < GW_LOOP_HOURS; h++) {
        peak_w = fmax(peak_w, t->heating_w[h]);
    }
    const gw_plant_rated rated = gw_plant_rated_heating(t->plant, t->limits->min_entering_degc);
    const double ground_w = fmin(peak_w, rated.capacity_w) * (1.0 - 1.0 / fmax(rated.cop, 1.2));
    return gw_loop_first_m(t->plan, ground_w);
}

static double round_up_m(double length_m, double longest_m)
{
    return fmin(ceil(length_m / BUILD_STEP_M - 1e-9) * BUILD_STEP_M, longest_m);
}

// The search works on the lengths that can be built (whole metres): it ends with a length that
// holds while one step less does not, or is near enough to the limit.
static gw_status search_length(search *s)
{
    gw_loop_plan *const plan = &s->out->plan;
    double *const each_m = gw_loop_each(plan);
    const double longest_m = gw_loop_longest_m(plan);
    const double shortest_m = fmin(gw_loop_shortest_m(plan), longest_m);
    bracket b = {.low_m = 0.0, .high_m = HUGE_VAL};
    const double start_m = s->task->start_m > 0.0 ? s->task->start_m : first_each_m(s->task);
    double length_m = fmin(fmax(start_m, shortest_m), longest_m);
    while (b.high_m - b.low_m > 1.001 * BUILD_STEP_M && b.low_m < longest_m) {
        // A guess that rounds back to a length already tried moves on by one step.
        length_m = round_up_m(length_m, longest_m);
        length_m = length_m >= b.high_m ? b.high_m - BUILD_STEP_M : length_m;
        length_m = length_m <= b.low_m ? b.low_m + BUILD_STEP_M : length_m;
        *each_m = fmin(length_m, longest_m);
        const gw_status st = attempt(s);
        if (st != GW_OK) {
            return st;
        }
        const double margin_k = s->out->margin_k;
        narrow(&b, *each_m, margin_k);
        if (margin_k >= 0.0 && length_m <= shortest_m + BUILD_STEP_M) {
            s->best->governor = GW_GOVERNED_BY_NOTHING;
            break;
        }
        if (margin_k >= 0.0 && margin_k < CLOSE_K) {
            break;
        }
        length_m = fmin(fmax(next_length(&b, s->out, s->task->limits), shortest_m), longest_m);
    }
    take_best(s); // none held: the longest, tried last, stays
    return GW_OK;
}

// Whole numbers of bores or trenches of a stated length.
static gw_status search_count(search *s, size_t most)
{
    size_t *const count = gw_loop_count(&s->out->plan);
    const double loops = (double)(*count > 0 ? *count : 1);
    const double guess = ceil(loops * first_each_m(s->task) / gw_loop_each_m(&s->out->plan));
    bracket b = {.low_m = 0.0, .high_m = HUGE_VAL};
    size_t low = 0;
    size_t high = most + 1;
    size_t n = guess < 1.0 ? 1 : guess > (double)most ? most : (size_t)guess;
    while (high - low > 1) {
        *count = n;
        const gw_status st = attempt(s);
        if (st != GW_OK) {
            return st;
        }
        narrow(&b, (double)n, s->out->margin_k);
        if (s->out->holds) {
            high = n;
        } else {
            low = n;
        }
        const double next = ceil(next_length(&b, s->out, s->task->limits));
        n = (size_t)fmin(fmax(next, (double)low + 1.0), (double)high - 1.0);
    }
    take_best(s);
    return GW_OK;
}

gw_status gw_loop_size(gw_arena *arena, const gw_loop_task *task, gw_loop_sized *out, gw_err *err)
{
    const gw_status st = check_limits(task->limits, err);
    if (st != GW_OK) {
        return st;
    }
    *out = (gw_loop_sized){.plan = *task->plan};
    gw_loop_sized *const best = gw_arena_alloc(arena, 1, sizeof *best);
    if (best == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory sizing the loop");
    }
    search s = {.task = task, .arena = arena, .out = out, .best = best, .err = err};
    switch (task->plan->free) {
    case GW_FREE_LENGTH:
        return gw_loop_each(&out->plan) != NULL ? search_length(&s) : attempt(&s);
    case GW_FREE_COUNT:
        return gw_loop_count(&out->plan) != NULL
                   ? search_count(&s, gw_loop_kind_row_of(task->plan->kind)->most)
                   : attempt(&s);
    case GW_FREE_NOTHING:
        return attempt(&s);
    }
    return gw_fail(err, GW_ERR_RANGE, "free", "found an unknown choice of what is free");
}
