// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/uncertainty.h"

#include "base/builtin.h"
#include "study/draw_priv.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

// ---------------------------------------------------------------- the variables

typedef struct {
    const char *word;
    gw_uncertain_how how;
    const char *text;
} variable_row;

static const variable_row VARIABLES[] = {
#define X(code, word, how, text) {word, GW_UNCERTAIN_##how, text},
    GW_UNCERTAIN_LIST(X)
#undef X
};

const char *gw_uncertain_word(gw_uncertain_what what)
{
    return VARIABLES[what].word;
}

const char *gw_uncertain_text(gw_uncertain_what what)
{
    return VARIABLES[what].text;
}

gw_uncertain_how gw_uncertain_how_of(gw_uncertain_what what)
{
    return VARIABLES[what].how;
}

size_t gw_uncertainty_usual(gw_uncertain out[GW_UNCERTAIN_COUNT])
{
    // Assumed: no source. What a firm has measured on its own jobs is better.
    static const gw_uncertain USUAL[] = {
        {GW_UNCERTAIN_ELECTRICITY_PRICE, {GW_DISTRIBUTION_TRIANGULAR, 0.85, 1.0, 1.30}},
        {GW_UNCERTAIN_FUEL_PRICE, {GW_DISTRIBUTION_TRIANGULAR, 0.70, 1.0, 1.50}},
        {GW_UNCERTAIN_ELECTRICITY_ESCALATION, {GW_DISTRIBUTION_NORMAL, 0.0, 0.010, 0.0}},
        {GW_UNCERTAIN_FUEL_ESCALATION, {GW_DISTRIBUTION_NORMAL, 0.0, 0.015, 0.0}},
        {GW_UNCERTAIN_DISCOUNT, {GW_DISTRIBUTION_UNIFORM, -0.01, 0.01, 0.0}},
        {GW_UNCERTAIN_GROUND_PRICE, {GW_DISTRIBUTION_TRIANGULAR, 0.80, 1.0, 1.40}},
        {GW_UNCERTAIN_INDOOR_PRICE, {GW_DISTRIBUTION_TRIANGULAR, 0.85, 1.0, 1.25}},
        {GW_UNCERTAIN_CONDUCTIVITY, {GW_DISTRIBUTION_NORMAL, 1.0, 0.12, 0.0}},
        {GW_UNCERTAIN_GROUND_TEMPERATURE, {GW_DISTRIBUTION_NORMAL, 0.0, 0.5, 0.0}},
        {GW_UNCERTAIN_LOAD, {GW_DISTRIBUTION_NORMAL, 1.0, 0.08, 0.0}},
        {GW_UNCERTAIN_INFILTRATION, {GW_DISTRIBUTION_TRIANGULAR, 0.65, 1.0, 1.50}},
        {GW_UNCERTAIN_INDOOR_TEMPERATURE, {GW_DISTRIBUTION_TRIANGULAR, -1.5, 0.0, 1.5}},
        {GW_UNCERTAIN_INTERNAL_GAIN, {GW_DISTRIBUTION_TRIANGULAR, 0.6, 1.0, 1.5}},
        {GW_UNCERTAIN_HEAT_PUMP_POWER, {GW_DISTRIBUTION_TRIANGULAR, 0.97, 1.0, 1.12}},
        {GW_UNCERTAIN_OUTDOOR_TEMPERATURE, {GW_DISTRIBUTION_NORMAL, 0.0, 0.7, 0.0}},
        {GW_UNCERTAIN_WEATHER_YEAR, {GW_DISTRIBUTION_UNIFORM, 0.0, 1.0, 0.0}},
    };
    memcpy(out, USUAL, sizeof USUAL);
    return sizeof USUAL / sizeof USUAL[0];
}

static gw_status check_variables(const gw_uncertainty_input *in, gw_err *err)
{
    bool seen[GW_UNCERTAIN_COUNT] = {false};
    for (size_t i = 0; i < in->variable_count; i++) {
        const gw_uncertain *const v = &in->variables[i];
        char field[GW_ERR_FIELD_SIZE];
        snprintf(field, sizeof field, "variables[%zu]", i);
        if ((unsigned)v->what >= GW_UNCERTAIN_COUNT) {
            return gw_fail(err, GW_ERR_RANGE, field, "found no variable of number %d",
                           (int)v->what);
        }
        if (seen[v->what]) {
            return gw_fail(err, GW_ERR_KEY, field, "found \"%s\" twice",
                           gw_uncertain_word(v->what));
        }
        seen[v->what] = true;
        const gw_status st = gw_distribution_check(&v->distribution, field, err);
        if (st != GW_OK) {
            return st;
        }
        const double least = gw_distribution_quantile(&v->distribution, 0.0);
        if (gw_uncertain_how_of(v->what) == GW_UNCERTAIN_FACTOR && !(least > 0.05)) {
            return gw_fail(err, GW_ERR_RANGE, field,
                           "found a factor that may fall to %g, expected above 0.05", least);
        }
    }
    return GW_OK;
}

// ---------------------------------------------------------------- one run

typedef struct {
    const gw_uncertainty_input *in;
    gw_study_priv_start start;
    const gw_uncertainty_rival *rivals;
    size_t rival_count;
} study;

// Where one run leaves its results; costs of the rivals NULL where they are not wanted.
typedef struct {
    gw_uncertainty_sample *sample;
    double *present; // [rival_count]
    double *year;    // [rival_count]
} place;

static gw_status fill_rivals(const study *s, const gw_design *design, place to, gw_err *err)
{
    for (size_t i = 0; i < s->rival_count; i++) {
        const gw_alternative_year *const row = gw_study_alternative_row(design, s->rivals[i].key);
        gw_money present = {0};
        if (row == NULL) {
            return gw_fail(err, GW_ERR_KEY, s->rivals[i].key, "is missing from a sample");
        }
        const gw_status st = gw_study_alternative_cost(design->job, row, &present, err);
        if (st != GW_OK) {
            return st;
        }
        to.present[i] = gw_money_to_units(present);
        to.year[i] = gw_money_to_units(row->energy_cost);
    }
    return GW_OK;
}

static gw_status design_sample(const study *s, gw_arena *arena, const double *values, place to,
                               gw_err *err)
{
    gw_design_input input;
    const gw_design *design = NULL;
    gw_status st = gw_study_priv_apply(arena, &s->start, values, &input, err);
    if (st == GW_OK) {
        st = gw_study_priv_design(arena, &input, &design, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const gw_study_outcome o = gw_study_outcome_of(design, 0);
    const gw_loop_limits *const limits = &input.job->limits;
    *to.sample = (gw_uncertainty_sample){
        .done = true,
        .holds = o.coldest_degc >= limits->min_entering_degc &&
                 o.warmest_degc <= limits->max_entering_degc,
        .coldest_degc = o.coldest_degc,
        .warmest_degc = o.warmest_degc,
        .length_m = o.length_m,
        .performance = o.performance,
        .heat_j = o.heat_j,
        .installed = gw_money_to_units(o.installed),
        .electricity_year = gw_money_to_units(o.electricity_year),
        .present_cost = gw_money_to_units(o.present_cost),
    };
    return to.present != NULL ? fill_rivals(s, design, to, err) : GW_OK;
}

static gw_status run_one(const study *s, const double *values, place to, gw_err *err)
{
    gw_arena *const arena = gw_arena_create(GW_STUDY_PRIV_CAP_BYTES);
    if (arena == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory in a sample");
    }
    const gw_status st = design_sample(s, arena, values, to, err);
    to.sample->done = st == GW_OK;
    gw_arena_destroy(arena);
    return st;
}

// ---------------------------------------------------------------- all samples

typedef struct {
    gw_uncertainty_sample *samples;
    double *drawn;   // [samples × variables]
    double *present; // [samples × rivals]
    double *year;    // [samples × rivals]
    gw_err *errs;    // [samples]
} ledger;

static gw_status make_ledger(gw_arena *arena, const study *s, ledger *l, gw_err *err)
{
    const size_t n = s->in->samples;
    const size_t variables = s->in->variable_count > 0 ? s->in->variable_count : 1;
    const size_t rivals = s->rival_count > 0 ? s->rival_count : 1;
    *l = (ledger){.samples = gw_arena_alloc(arena, n, sizeof *l->samples),
                  .drawn = gw_arena_alloc(arena, n * variables, sizeof *l->drawn),
                  .present = gw_arena_alloc(arena, n * rivals, sizeof *l->present),
                  .year = gw_arena_alloc(arena, n * rivals, sizeof *l->year),
                  .errs = gw_arena_alloc(arena, n, sizeof *l->errs)};
    if (l->samples == NULL || l->drawn == NULL || l->present == NULL || l->year == NULL ||
        l->errs == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory for %zu samples", n);
    }
    double *const u = gw_arena_alloc(arena, n, sizeof *u);
    if (u == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory for %zu samples", n);
    }
    for (size_t v = 0; v < s->in->variable_count; v++) {
        const gw_uncertain *const variable = &s->in->variables[v];
        gw_hypercube_fill(s->in->seed, (uint64_t)variable->what, n, u);
        for (size_t i = 0; i < n; i++) {
            l->drawn[i * s->in->variable_count + v] =
                gw_distribution_quantile(&variable->distribution, u[i]);
        }
    }
    return GW_OK;
}

static void values_of(const gw_uncertainty_input *in, const double *drawn,
                      double values[GW_UNCERTAIN_COUNT])
{
    gw_study_priv_neutral(values);
    for (size_t v = 0; v < in->variable_count; v++) {
        values[in->variables[v].what] = drawn[v];
    }
}

// Stopped by the watch: false.
static bool run_all(const study *s, ledger *l)
{
    const gw_uncertainty_input *const in = s->in;
    gw_study_priv_meter meter = {.watch = in->watch, .all = in->samples};
    bool stopped = false;
#pragma omp parallel for schedule(dynamic, 4)
    for (size_t i = 0; i < in->samples; i++) {
        bool skip = false;
#pragma omp atomic read
        skip = stopped;
        if (skip) {
            continue;
        }
        double values[GW_UNCERTAIN_COUNT];
        values_of(in, l->drawn + i * in->variable_count, values);
        const place to = {&l->samples[i], l->present + i * s->rival_count,
                          l->year + i * s->rival_count};
        const gw_status st = run_one(s, values, to, &l->errs[i]);
        (void)st; // kept in errs[i] and in `done`
        bool go_on = true;
#pragma omp critical(gw_study_meter)
        go_on = gw_study_priv_tick(&meter);
        if (!go_on) {
#pragma omp atomic write
            stopped = true;
        }
    }
    return !stopped;
}

// ---------------------------------------------------------------- tornado

static gw_status run_bars(gw_arena *arena, const study *s, gw_uncertainty *out, gw_err *err)
{
    const gw_uncertainty_input *const in = s->in;
    const size_t n = in->variable_count;
    gw_uncertainty_bar *const bars = gw_arena_alloc(arena, n > 0 ? n : 1, sizeof *bars);
    gw_err *const errs = gw_arena_alloc(arena, 2 * n + 1, sizeof *errs);
    double *const median = gw_arena_alloc(arena, n > 0 ? n : 1, sizeof *median);
    if (bars == NULL || errs == NULL || median == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory for the tornado");
    }
    for (size_t v = 0; v < n; v++) {
        const gw_distribution *const d = &in->variables[v].distribution;
        median[v] = gw_distribution_quantile(d, 0.5);
        bars[v] = (gw_uncertainty_bar){.what = in->variables[v].what,
                                       .low_value = gw_distribution_quantile(d, 0.1),
                                       .high_value = gw_distribution_quantile(d, 0.9)};
    }
#pragma omp parallel for schedule(dynamic, 1)
    for (size_t i = 0; i < 2 * n + 1; i++) {
        double values[GW_UNCERTAIN_COUNT];
        values_of(in, median, values);
        gw_uncertainty_bar *const bar = i < 2 * n ? &bars[i / 2] : NULL;
        gw_uncertainty_sample *sample = &out->central;
        if (bar != NULL) {
            values[bar->what] = i % 2 == 0 ? bar->low_value : bar->high_value;
            sample = i % 2 == 0 ? &bar->low : &bar->high;
        }
        const gw_status st = run_one(s, values, (place){.sample = sample}, &errs[i]);
        (void)st; // kept in errs[i]
    }
    for (size_t i = 0; i < 2 * n + 1; i++) {
        if (errs[i].code != GW_OK) {
            if (err != NULL) {
                *err = errs[i];
            }
            return errs[i].code;
        }
    }
    out->bars = bars;
    out->bar_count = n;
    for (size_t v = 0; v < n; v++) {
        bars[v].cost_swing = fabs(bars[v].high.present_cost - bars[v].low.present_cost);
        bars[v].water_swing_k = fabs(bars[v].high.coldest_degc - bars[v].low.coldest_degc);
    }
    for (size_t i = 1; i < n; i++) {
        const gw_uncertainty_bar bar = bars[i];
        size_t at = i;
        for (; at > 0 && bars[at - 1].cost_swing < bar.cost_swing; at--) {
            bars[at] = bars[at - 1];
        }
        bars[at] = bar;
    }
    return GW_OK;
}

// ---------------------------------------------------------------- ranges

// Range of the `count` numbers in `values`, which are sorted here.
static gw_uncertainty_range range_of(double *values, size_t count)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += values[i];
    }
    gw_sample_sort(values, count);
    return (gw_uncertainty_range){.mean = sum / (double)count,
                                  .p10 = gw_sample_quantile(values, count, 0.1),
                                  .p50 = gw_sample_quantile(values, count, 0.5),
                                  .p90 = gw_sample_quantile(values, count, 0.9)};
}

static void set_ranges(gw_uncertainty *out, double *room)
{
#define RANGE(member)                                                                              \
    do {                                                                                           \
        size_t n = 0;                                                                              \
        for (size_t i = 0; i < out->sample_count; i++) {                                           \
            if (out->samples[i].done) {                                                            \
                room[n++] = out->samples[i].member;                                                \
            }                                                                                      \
        }                                                                                          \
        out->member = range_of(room, n);                                                           \
    } while (0)
    RANGE(coldest_degc);
    RANGE(warmest_degc);
    RANGE(length_m);
    RANGE(performance);
    RANGE(heat_j);
    RANGE(installed);
    RANGE(electricity_year);
    RANGE(present_cost);
#undef RANGE
}

static void set_rival(const gw_uncertainty *out, const ledger *l, size_t index,
                      gw_uncertainty_rival *rival, double *room)
{
    size_t n = 0;
    size_t beaten = 0;
    size_t beaten_year = 0;
    for (size_t i = 0; i < out->sample_count; i++) {
        if (out->samples[i].done) {
            const double cost = l->present[i * out->rival_count + index];
            const double year = l->year[i * out->rival_count + index];
            beaten += out->samples[i].present_cost < cost ? 1 : 0;
            beaten_year += out->samples[i].electricity_year < year ? 1 : 0;
            room[n++] = cost;
        }
    }
    rival->present_cost = range_of(room, n);
    rival->beaten_frac = (double)beaten / (double)n;
    rival->beaten_year_frac = (double)beaten_year / (double)n;
    n = 0;
    for (size_t i = 0; i < out->sample_count; i++) {
        if (out->samples[i].done) {
            room[n++] = l->year[i * out->rival_count + index];
        }
    }
    rival->energy_year = range_of(room, n);
}

static gw_status count_done(const ledger *l, gw_uncertainty *out, gw_err *err)
{
    size_t held = 0;
    for (size_t i = 0; i < out->sample_count; i++) {
        out->done += l->samples[i].done ? 1 : 0;
        held += l->samples[i].done && l->samples[i].holds ? 1 : 0;
        if (!l->samples[i].done && out->first_failure.code == GW_OK) {
            out->first_failure = l->errs[i];
        }
    }
    if (out->first_failure.code == GW_ERR_NOMEM) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "%s", out->first_failure.text);
    }
    if (20 * (out->sample_count - out->done) > out->sample_count) {
        return gw_fail(err, GW_ERR_CONVERGE, "samples",
                       "%zu of %zu samples could not be designed; the first: %.250s",
                       out->sample_count - out->done, out->sample_count, out->first_failure.text);
    }
    out->holds_frac = (double)held / (double)out->done;
    return GW_OK;
}

static gw_status summarise(gw_arena *arena, const ledger *l, gw_uncertainty_rival *rivals,
                           gw_uncertainty *out, gw_err *err)
{
    double *const room = gw_arena_alloc(arena, out->sample_count, sizeof *room);
    if (room == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory for the ranges");
    }
    const gw_status st = count_done(l, out, err);
    if (st != GW_OK) {
        return st;
    }
    set_ranges(out, room);
    for (size_t i = 0; i < out->rival_count; i++) {
        set_rival(out, l, i, &rivals[i], room);
    }
    for (size_t i = 1; i < out->rival_count; i++) {
        const gw_uncertainty_rival rival = rivals[i];
        size_t at = i;
        for (; at > 0 && rivals[at - 1].present_cost.p50 < rival.present_cost.p50; at--) {
            rivals[at] = rivals[at - 1];
        }
        rivals[at] = rival;
    }
    return GW_OK;
}

// ---------------------------------------------------------------- start

static gw_status list_rivals(gw_arena *arena, const gw_design *design, study *s,
                             gw_uncertainty_rival **out, gw_err *err)
{
    gw_uncertainty_rival *const rivals =
        gw_arena_alloc(arena, design->alternatives.count + 1, sizeof *rivals);
    if (rivals == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory listing the alternatives");
    }
    for (size_t i = 0; i < design->alternatives.count; i++) {
        const gw_alternative_year *const row = &design->alternatives.rows[i];
        if (strcmp(row->key, GW_ALTERNATIVE_GROUND_SOURCE) != 0) {
            rivals[s->rival_count++] = (gw_uncertainty_rival){.key = row->key, .name = row->name};
        }
    }
    s->rivals = rivals;
    *out = rivals;
    return GW_OK;
}

static gw_status full_book(gw_arena *arena, const gw_price_book *own, gw_price_book *out,
                           gw_err *err)
{
    gw_price_book builtin;
    const gw_status st = gw_price_book_builtin(arena, &builtin, err);
    *out = builtin;
    return st == GW_OK && own != NULL ? gw_price_book_merge(arena, own, &builtin, out, err) : st;
}

static gw_status read_soils(gw_arena *arena, gw_table *out, gw_err *err)
{
    gw_builtin_file file;
    if (!gw_builtin("soils.csv", &file)) {
        return gw_fail(err, GW_ERR_IO, "soils.csv", "the built-in table is missing");
    }
    return gw_table_read(arena, file.name, file.text, file.length, out, err);
}

static bool is_drawn(const gw_uncertainty_input *in, gw_uncertain_what what)
{
    for (size_t i = 0; i < in->variable_count; i++) {
        if (in->variables[i].what == what) {
            return true;
        }
    }
    return false;
}

// The loop held as designed, or the job's plan left free.
static gw_status start_from(gw_arena *arena, const gw_uncertainty_input *in,
                            gw_study_priv_held *held, gw_study_priv_start *start, gw_err *err)
{
    gw_status st = gw_study_priv_hold(arena, &in->design, in->loop, held, err);
    if (st != GW_OK) {
        return st;
    }
    start->fuels = &held->design->fuels;
    start->station = held->design->station;
    start->typical = held->design->weather;
    start->job = &held->copy.job;
    start->pump = held->copy.job.plant.own;
    if (in->mode == GW_UNCERTAINTY_RESIZED) {
        const size_t loop = in->loop < in->design.job->loop_count ? in->loop : held->loop;
        gw_study_priv_job *const free = gw_arena_alloc(arena, 1, sizeof *free);
        if (free == NULL) {
            return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory starting the study");
        }
        st = gw_study_priv_copy(arena, in->design.job, free, err);
        if (st != GW_OK) {
            return st;
        }
        gw_study_priv_keep_loop(free, loop);
        start->job = &free->job;
        start->pump = held->design->heat_pump;
    }
    if (is_drawn(in, GW_UNCERTAIN_WEATHER_YEAR) && in->design.weather == NULL) {
        st = gw_study_priv_make_years(arena, held->design->station, start, err);
    }
    return st;
}

static gw_status check_input(const gw_uncertainty_input *in, gw_err *err)
{
    if (in->samples < 10 || in->samples > GW_UNCERTAINTY_SAMPLES_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "samples", "found %zu samples, expected 10 to %d",
                       in->samples, (int)GW_UNCERTAINTY_SAMPLES_MAX);
    }
    return check_variables(in, err);
}

gw_status gw_uncertainty_run(gw_arena *arena, const gw_uncertainty_input *input,
                             gw_uncertainty *out, gw_err *err)
{
    gw_status st = check_input(input, err);
    study s = {.in = input};
    gw_study_priv_held held;
    gw_price_book book;
    gw_table soils;
    gw_uncertainty_rival *rivals = NULL;
    ledger l;
    if (st == GW_OK) {
        st = start_from(arena, input, &held, &s.start, err);
    }
    if (st == GW_OK) {
        st = full_book(arena, input->design.price_book, &book, err);
    }
    if (st == GW_OK) {
        st = read_soils(arena, &soils, err);
    }
    if (st == GW_OK) {
        st = list_rivals(arena, held.design, &s, &rivals, err);
    }
    if (st == GW_OK) {
        st = make_ledger(arena, &s, &l, err);
    }
    if (st != GW_OK) {
        return st;
    }
    s.start.book = &book;
    s.start.soils = &soils;
    *out = (gw_uncertainty){.loop = held.copy.loops[0].name,
                            .mode = input->mode,
                            .seed = input->seed,
                            .samples = l.samples,
                            .drawn = l.drawn,
                            .sample_count = input->samples,
                            .variable_count = input->variable_count,
                            .rivals = rivals,
                            .rival_count = s.rival_count};
    if (!run_all(&s, &l)) {
        out->stopped = true;
        return GW_OK;
    }
    st = summarise(arena, &l, rivals, out, err);
    return st == GW_OK ? run_bars(arena, &s, out, err) : st;
}
