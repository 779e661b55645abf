// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/measures.h"

#include "study/study_priv.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static bool is_meant(const gw_measure *m, const gw_house_component *c)
{
    return m->component != NULL ? strcmp(m->component, c->name) == 0 : m->kind == c->kind;
}

static void insulate(const gw_measure *m, gw_house_component *c)
{
    const double after = fmax(m->insulation_m2k_w, c->insulation_m2k_w + m->insulation_added_m2k_w);
    if (after > c->insulation_m2k_w) {
        c->insulation_m2k_w = after;
        c->solar_gain_frac = m->solar_gain_frac >= 0.0 ? m->solar_gain_frac : c->solar_gain_frac;
    }
}

void gw_measure_apply(const gw_measure *m, gw_house *house, gw_house_component *envelope)
{
    house->envelope = envelope;
    if (m->part == GW_MEASURE_TIGHTEN) {
        if (m->ach50 < gw_house_ach50(house) && house->leakage.kind != GW_HOUSE_LEAKAGE_NATURAL) {
            house->leakage.kind = GW_HOUSE_LEAKAGE_ACH50;
            house->leakage.ach50 = m->ach50;
        }
        return;
    }
    for (size_t i = 0; i < house->envelope_count; i++) {
        if (is_meant(m, &envelope[i])) {
            insulate(m, &envelope[i]);
        }
    }
}

// ---------------------------------------------------------------- input

static gw_status fail_measure(gw_err *err, size_t index, const char *member, double found,
                              const char *expected)
{
    char field[GW_ERR_FIELD_SIZE];
    snprintf(field, sizeof field, "measures[%zu].%s", index, member);
    return gw_fail(err, GW_ERR_RANGE, field, "found %g, expected %s", found, expected);
}

static gw_status check_component(const gw_measure *m, size_t index, const gw_house *house,
                                 gw_err *err)
{
    for (size_t i = 0; i < house->envelope_count; i++) {
        if (is_meant(m, &house->envelope[i])) {
            return GW_OK;
        }
    }
    char field[GW_ERR_FIELD_SIZE];
    snprintf(field, sizeof field, "measures[%zu].component", index);
    return gw_fail(err, GW_ERR_KEY, field, "the house has no component \"%s\"",
                   m->component != NULL ? m->component : gw_house_kind_word(m->kind));
}

static gw_status check_measure(const gw_measure *m, size_t index, const gw_house *house,
                               gw_err *err)
{
    if (!(m->cost.cents > 0)) {
        return fail_measure(err, index, "cost", gw_money_to_units(m->cost), "more than 0");
    }
    if (m->part == GW_MEASURE_TIGHTEN) {
        return m->ach50 >= 0.05 && m->ach50 <= 50.0
                   ? GW_OK
                   : fail_measure(err, index, "ach50", m->ach50, "0.05 to 50");
    }
    if (!(m->insulation_m2k_w >= 0.0 && m->insulation_m2k_w <= 30.0)) {
        return fail_measure(err, index, "insulation_m2k_w", m->insulation_m2k_w, "0 to 30");
    }
    if (!(m->insulation_added_m2k_w >= 0.0 && m->insulation_added_m2k_w <= 20.0)) {
        return fail_measure(err, index, "insulation_added_m2k_w", m->insulation_added_m2k_w,
                            "0 to 20");
    }
    if (!(m->solar_gain_frac <= 1.0)) {
        return fail_measure(err, index, "solar_gain_frac", m->solar_gain_frac, "at most 1");
    }
    return check_component(m, index, house, err);
}

static gw_status check_input(const gw_measures_input *in, gw_err *err)
{
    const gw_house *const house = &in->design.job->house;
    if (gw_house_is_given(house)) {
        return gw_fail(err, GW_ERR_MISSING, "house.envelope",
                       "the house's loss is given as one number: measures need its envelope");
    }
    if (in->list.count > GW_MEASURES_MOST) {
        return gw_fail(err, GW_ERR_RANGE, "measures", "found %zu measures, expected at most %d",
                       in->list.count, (int)GW_MEASURES_MOST);
    }
    for (size_t i = 0; i < in->list.count; i++) {
        const gw_status st = check_measure(&in->list.items[i], i, house, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

// ---------------------------------------------------------------- one set

typedef struct {
    bool done[GW_MEASURES_MOST];
} set;

typedef struct {
    const gw_measures_input *in;
    size_t loop;
    gw_study_priv_meter meter;
    bool stopped;
} study;

static void add_spent(const gw_measures_input *in, const set *which, gw_measures_step *step)
{
    step->spent = gw_money_from_cents(0);
    for (size_t i = 0; i < in->list.count; i++) {
        if (which->done[i]) {
            step->spent = gw_money_add(step->spent, in->list.items[i].cost);
        }
    }
    step->first_cost = gw_money_add(step->spent, step->at.installed);
    step->present_cost = gw_money_add(step->spent, step->at.present_cost);
    step->present_system = gw_money_add(step->spent, step->present_system);
}

static gw_status fill_step(const study *s, gw_arena *arena, const set *which,
                           gw_measures_step *step, gw_err *err)
{
    const gw_measures_input *const in = s->in;
    gw_study_priv_job copy;
    gw_status st = gw_study_priv_copy(arena, in->design.job, &copy, err);
    if (st != GW_OK) {
        return st;
    }
    gw_study_priv_keep_loop(&copy, s->loop);
    for (size_t i = 0; i < in->list.count; i++) {
        if (which->done[i]) {
            gw_measure_apply(&in->list.items[i], &copy.job.house, copy.envelope);
        }
    }
    gw_design_input own = in->design;
    own.job = &copy.job;
    const gw_design *design = NULL;
    st = gw_study_priv_design(arena, &own, &design, err);
    if (st != GW_OK) {
        return st;
    }
    step->at = gw_study_outcome_of(design, 0);
    step->at.name = in->design.job->loops[s->loop].name;
    const gw_alternative_year *const present =
        gw_study_alternative_row(design, copy.job.money.compare_with);
    if (present != NULL) {
        st = gw_study_alternative_cost(&copy.job, present, &step->present_system, err);
    }
    add_spent(in, which, step);
    return st;
}

static gw_status run_step(const study *s, const set *which, gw_measures_step *step, gw_err *err)
{
    gw_arena *const arena = gw_arena_create(GW_STUDY_PRIV_CAP_BYTES);
    const gw_status st = arena != NULL ? fill_step(s, arena, which, step, err)
                                       : gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory");
    gw_arena_destroy(arena);
    return st;
}

// ---------------------------------------------------------------- many sets

static void rate(const gw_measures_input *in, const gw_measures_step *before,
                 gw_measures_step *step)
{
    step->saved = gw_money_subtract(before->at.present_cost, step->at.present_cost);
    step->per_unit = gw_money_ratio(step->saved, in->list.items[step->measure].cost);
}

// Every measure not in `which` added to it alone, several threads. steps[i] of those that are in
// it stay as they are.
static gw_status try_each(study *s, const set *which, const gw_measures_step *before,
                          gw_measures_step *steps, gw_err *err)
{
    const size_t count = s->in->list.count;
    gw_err errs[GW_MEASURES_MOST] = {0};
    gw_status status[GW_MEASURES_MOST] = {GW_OK};
#pragma omp parallel for schedule(dynamic, 1)
    for (size_t i = 0; i < count; i++) {
        bool skip = false;
#pragma omp atomic read
        skip = s->stopped;
        if (which->done[i] || skip) {
            continue;
        }
        set with = *which;
        with.done[i] = true;
        steps[i].measure = i;
        status[i] = run_step(s, &with, &steps[i], &errs[i]);
        bool go_on = true;
#pragma omp critical(gw_study_meter)
        go_on = gw_study_priv_tick(&s->meter);
        if (!go_on) {
#pragma omp atomic write
            s->stopped = true;
        }
    }
    for (size_t i = 0; i < count; i++) {
        if (status[i] != GW_OK) {
            if (err != NULL) {
                *err = errs[i];
            }
            return status[i];
        }
        if (!which->done[i] && !s->stopped) {
            rate(s->in, before, &steps[i]);
        }
    }
    return GW_OK;
}

// The best of those left: one that stands before one that does not, then the most saved per unit.
static size_t pick(const set *which, const gw_measures_step *steps, size_t count)
{
    size_t best = count;
    for (size_t i = 0; i < count; i++) {
        if (which->done[i]) {
            continue;
        }
        const bool better = best == count || (steps[i].at.stands && !steps[best].at.stands) ||
                            (steps[i].at.stands == steps[best].at.stands &&
                             steps[i].per_unit > steps[best].per_unit);
        best = better ? i : best;
    }
    return best;
}

static gw_status grow(study *s, const gw_measures_step *alone, gw_measures_step *curve, gw_err *err)
{
    const size_t count = s->in->list.count;
    set which = {{false}};
    gw_measures_step steps[GW_MEASURES_MOST];
    memcpy(steps, alone, count * sizeof *steps);
    for (size_t k = 1; k <= count; k++) {
        if (k > 1) { // the first round is that of the measures alone
            const gw_status st = try_each(s, &which, &curve[k - 1], steps, err);
            if (st != GW_OK || s->stopped) {
                return st;
            }
        }
        const size_t next = pick(&which, steps, count);
        which.done[next] = true;
        curve[k] = steps[next];
    }
    return GW_OK;
}

static size_t cheapest(const gw_measures_step *curve, size_t count)
{
    size_t best = 0;
    for (size_t k = 1; k <= count; k++) {
        const bool stands = curve[k].at.stands;
        const bool better = gw_money_compare(curve[k].present_cost, curve[best].present_cost) < 0;
        if (stands && (better || !curve[best].at.stands)) {
            best = k;
        }
    }
    return best;
}

static gw_status find_loop(gw_arena *arena, const gw_measures_input *in, size_t *loop, gw_err *err)
{
    *loop = in->loop;
    if (in->loop < in->design.job->loop_count || in->design.job->loop_count == 1) {
        *loop = in->loop < in->design.job->loop_count ? in->loop : 0;
        return GW_OK;
    }
    const gw_design *design = NULL;
    const gw_status st = gw_study_priv_design(arena, &in->design, &design, err);
    if (st == GW_OK) {
        *loop = gw_study_priv_best(design);
    }
    return st;
}

gw_status gw_measures_run(gw_arena *arena, const gw_measures_input *input, gw_measures *out,
                          gw_err *err)
{
    const size_t count = input->list.count;
    study s = {.in = input, .meter = {.watch = input->watch, .all = count * (count + 1) / 2}};
    gw_status st = check_input(input, err);
    if (st == GW_OK) {
        st = find_loop(arena, input, &s.loop, err);
    }
    if (st != GW_OK) {
        return st;
    }
    gw_measures_step *const alone = gw_arena_alloc(arena, count + 1, sizeof *alone);
    gw_measures_step *const curve = gw_arena_alloc(arena, count + 1, sizeof *curve);
    if (alone == NULL || curve == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory for the measures");
    }
    const set none = {{false}};
    curve[0].measure = count;
    st = run_step(&s, &none, &curve[0], err);
    if (st == GW_OK) {
        st = try_each(&s, &none, &curve[0], alone, err);
    }
    if (st == GW_OK && !s.stopped) {
        st = grow(&s, alone, curve, err);
    }
    *out = (gw_measures){.loop = input->design.job->loops[s.loop].name,
                         .list = input->list,
                         .base = curve[0],
                         .alone = alone,
                         .curve = curve,
                         .count = count,
                         .designs = s.meter.done + 1,
                         .stopped = s.stopped};
    if (st == GW_OK && !s.stopped) {
        out->best = cheapest(curve, count);
    }
    return st;
}
