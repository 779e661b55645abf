// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Model of the mean fluid temperature, with q_j the heat per metre since sample j − 1:
//   T(t_i) = T0 + Σ_j (q_j − q_(j−1)) G(t_i − t_(j−1)),   G = line source + Rb or short-time.
// G is tabulated over ln t once per trial of the two parameters and interpolated by cubics.
#include "ground/test_bore.h"

#include <math.h>
#include <stdbool.h>

static const double PI = 3.14159265358979323846;
static const double EULER = 0.57721566490153286061;

enum { SAMPLES_MAX = 2000, TABLE = 512, LEAST_SAMPLES = 12, TRIALS_MAX = 60 };

// The record as used: thinned, per metre, with the fitted span marked.
typedef struct {
    size_t count;
    double *time_s;
    double *heat_w_m;
    double *rise_k;     // measured mean fluid over undisturbed
    double *model_k;    // scratch: the model's
    double *slope_k[2]; // scratch: change of the model by each parameter
    size_t first;       // fitted: first ≤ i < end
    size_t end;
} prepared;

typedef struct {
    double log_k; // ln of W/mK
    double rb_mk_w;
} parameters;

// Reading the record

static gw_status check_bore(const gw_test_record *record, gw_err *err)
{
    const gw_test_bore *const bore = &record->bore;
    const struct {
        const char *field;
        double value, least, most;
    } items[] = {
        {"length_m", bore->length_m, 1.0, 3000.0},
        {"radius_m", bore->radius_m, 0.01, 1.0},
        {"undisturbed_degc", bore->undisturbed_degc, -20.0, 60.0},
        {"ground_heat_j_m3k", bore->ground_heat_j_m3k, 5e5, 5e6},
        {"start_s", record->options.start_s, 0.0, 1e8},
        {"end_s", record->options.end_s, 0.0, 1e8},
    };
    for (size_t i = 0; i < sizeof items / sizeof items[0]; ++i) {
        if (!(items[i].value >= items[i].least && items[i].value <= items[i].most)) {
            return gw_fail(err, GW_ERR_RANGE, items[i].field, "%s %g must be %g to %g",
                           items[i].field, items[i].value, items[i].least, items[i].most);
        }
    }
    return record->options.short_bore == NULL
               ? GW_OK
               : gw_short_bore_check(record->options.short_bore, err);
}

static gw_status check_sample(const gw_test_series *series, size_t i, gw_err *err)
{
    const gw_test_sample *const s = &series->samples[i];
    const double before_s = i == 0 ? 0.0 : series->samples[i - 1].time_s;
    if (!(s->time_s > before_s && s->time_s <= 1e8)) {
        return gw_fail(err, GW_ERR_RANGE, "time_s", "time %g s of sample %zu must rise", s->time_s,
                       i + 1);
    }
    if (!(fabs(s->power_w) <= 1e6)) {
        return gw_fail(err, GW_ERR_RANGE, "power_w", "power %g W of sample %zu is out of range",
                       s->power_w, i + 1);
    }
    if (!(fabs(s->inlet_degc) <= 120.0)) {
        return gw_fail(err, GW_ERR_RANGE, "inlet_degc", "inlet %g degC of sample %zu",
                       s->inlet_degc, i + 1);
    }
    if (!(fabs(s->outlet_degc) <= 120.0)) {
        return gw_fail(err, GW_ERR_RANGE, "outlet_degc", "outlet %g degC of sample %zu",
                       s->outlet_degc, i + 1);
    }
    if (!(s->flow_m3_s > 0.0 && s->flow_m3_s < 1.0)) {
        return gw_fail(err, GW_ERR_RANGE, "flow_m3_s",
                       "flow %g m3/s of sample %zu must be above 0: the pump stood still",
                       s->flow_m3_s, i + 1);
    }
    return GW_OK;
}

static gw_status check_record(const gw_test_record *record, gw_err *err)
{
    gw_status st = check_bore(record, err);
    for (size_t i = 0; st == GW_OK && i < record->series.count; ++i) {
        st = check_sample(&record->series, i, err);
    }
    return st;
}

static double last_time_s(const gw_test_record *record)
{
    return record->options.end_s > 0.0 ? record->options.end_s : (double)INFINITY;
}

// Keeps every n-th sample, its power the mean since the one kept before.
static void thin(const gw_test_record *record, size_t every, prepared *out)
{
    const gw_test_sample *const s = record->series.samples;
    double energy_j = 0.0, before_s = 0.0, kept_s = 0.0;
    for (size_t i = 0; i < record->series.count; ++i) {
        energy_j += s[i].power_w * (s[i].time_s - before_s);
        before_s = s[i].time_s;
        if ((i + 1) % every != 0) {
            continue;
        }
        out->time_s[out->count] = s[i].time_s;
        out->heat_w_m[out->count] = energy_j / (s[i].time_s - kept_s) / record->bore.length_m;
        out->rise_k[out->count] =
            0.5 * (s[i].inlet_degc + s[i].outlet_degc) - record->bore.undisturbed_degc;
        out->count += 1;
        energy_j = 0.0;
        kept_s = s[i].time_s;
    }
}

static gw_status prepare(gw_arena *arena, const gw_test_record *record, prepared *out, gw_err *err)
{
    const gw_status st = check_record(record, err);
    if (st != GW_OK) {
        return st;
    }
    const size_t every = (record->series.count + SAMPLES_MAX - 1) / SAMPLES_MAX;
    const size_t room = record->series.count / (every == 0 ? 1 : every) + 1;
    *out = (prepared){0};
    double **const arrays[] = {&out->time_s,  &out->heat_w_m,   &out->rise_k,
                               &out->model_k, &out->slope_k[0], &out->slope_k[1]};
    for (size_t i = 0; i < sizeof arrays / sizeof arrays[0]; ++i) {
        *arrays[i] = gw_arena_alloc(arena, room, sizeof(double));
        if (*arrays[i] == NULL) {
            return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for %zu samples", room);
        }
    }
    thin(record, every == 0 ? 1 : every, out);
    while (out->first < out->count && out->time_s[out->first] < record->options.start_s) {
        out->first += 1;
    }
    out->end = out->first;
    while (out->end < out->count && out->time_s[out->end] <= last_time_s(record)) {
        out->end += 1;
    }
    if (out->end - out->first < LEAST_SAMPLES) {
        return gw_fail(err, GW_ERR_MISSING, "samples",
                       "%zu samples from %g s on are too few: at least %d are needed",
                       out->end - out->first, record->options.start_s, LEAST_SAMPLES);
    }
    return GW_OK;
}

// The model

typedef struct {
    double first; // ln of the first time
    double step;
    double value[TABLE];
} response_table;

static gw_status fill_table(const gw_test_record *record, const parameters *p,
                            response_table *table, gw_err *err)
{
    const double k = exp(p->log_k);
    if (record->options.short_bore == NULL) {
        const gw_line_source line = {k, k / record->bore.ground_heat_j_m3k, record->bore.radius_m};
        for (size_t i = 0; i < TABLE; ++i) {
            const double t = exp(table->first + (double)i * table->step);
            table->value[i] = gw_line_source_response(&line, t) + p->rb_mk_w;
        }
        return GW_OK;
    }
    gw_short_bore bore = *record->options.short_bore;
    bore.ground_w_mk = k;
    bore.ground_heat_j_m3k = record->bore.ground_heat_j_m3k;
    bore.bore_radius_m = record->bore.radius_m;
    gw_short_bore matched;
    const gw_status st = gw_short_time_match(&bore, p->rb_mk_w, &matched, err);
    if (st != GW_OK) {
        return st;
    }
    double time_s[TABLE];
    for (size_t i = 0; i < TABLE; ++i) {
        time_s[i] = exp(table->first + (double)i * table->step);
    }
    return gw_short_time_response(&matched, time_s, TABLE, table->value, err);
}

// Cubic through the four nearest entries.
static double table_at(const response_table *table, double time_s)
{
    const double x = (log(time_s) - table->first) / table->step;
    const double cell = fmin(fmax(floor(x), 1.0), (double)(TABLE - 3));
    const double f = x - cell;
    const double *const v = table->value + (size_t)cell;
    return -f * (f - 1.0) * (f - 2.0) / 6.0 * v[-1] + (f * f - 1.0) * (f - 2.0) / 2.0 * v[0] -
           f * (f + 1.0) * (f - 2.0) / 2.0 * v[1] + f * (f * f - 1.0) / 6.0 * v[2];
}

// Fills model[first .. end).
static gw_status eval_model(const gw_test_record *record, const prepared *data, const parameters *p,
                            double *model, gw_err *err)
{
    double least_s = data->time_s[0];
    for (size_t i = 1; i < data->end; ++i) {
        least_s = fmin(least_s, data->time_s[i] - data->time_s[i - 1]);
    }
    response_table table = {.first = log(0.9 * least_s)};
    table.step = (log(1.1 * data->time_s[data->end - 1]) - table.first) / (TABLE - 1);
    const gw_status st = fill_table(record, p, &table, err);
    if (st != GW_OK) {
        return st;
    }
    for (size_t i = data->first; i < data->end; ++i) {
        double sum = 0.0, heat_before = 0.0, began_s = 0.0;
        for (size_t j = 0; j <= i; ++j) {
            const double change = data->heat_w_m[j] - heat_before;
            if (change != 0.0) {
                sum += change * table_at(&table, data->time_s[i] - began_s);
            }
            heat_before = data->heat_w_m[j];
            began_s = data->time_s[j];
        }
        model[i] = sum;
    }
    return GW_OK;
}

static double square_sum(const prepared *data, const double *model)
{
    double sum = 0.0;
    for (size_t i = data->first; i < data->end; ++i) {
        const double e = data->rise_k[i] - model[i];
        sum += e * e;
    }
    return sum;
}

// Least squares

// Normal equations of the two parameters.
typedef struct {
    double a, b, c; // JᵀJ = [a b; b c]
    double g, h;    // Jᵀe
} normal;

static normal normal_of(const prepared *data)
{
    normal n = {0};
    for (size_t i = data->first; i < data->end; ++i) {
        const double e = data->rise_k[i] - data->model_k[i];
        const double u = data->slope_k[0][i], v = data->slope_k[1][i];
        n.a += u * u;
        n.b += u * v;
        n.c += v * v;
        n.g += u * e;
        n.h += v * e;
    }
    return n;
}

static gw_status fill_slopes(const gw_test_record *record, const prepared *data,
                             const parameters *p, gw_err *err)
{
    const double steps[] = {1e-4, 1e-4 * p->rb_mk_w};
    for (size_t k = 0; k < 2; ++k) {
        parameters moved = *p;
        *(k == 0 ? &moved.log_k : &moved.rb_mk_w) += steps[k];
        const gw_status st = eval_model(record, data, &moved, data->slope_k[k], err);
        if (st != GW_OK) {
            return st;
        }
        for (size_t i = data->first; i < data->end; ++i) {
            data->slope_k[k][i] = (data->slope_k[k][i] - data->model_k[i]) / steps[k];
        }
    }
    return GW_OK;
}

static bool allowed(const parameters *p)
{
    return p->log_k > log(0.1) && p->log_k < log(20.0) && p->rb_mk_w > 1e-3 && p->rb_mk_w < 2.0;
}

// One damped step (Levenberg–Marquardt); true when it made the sum smaller. On success the model
// is that of the new parameters.
static bool try_step(const gw_test_record *record, const prepared *data, double damping,
                     parameters *p, double *sum)
{
    const normal n = normal_of(data);
    const double a = n.a * (1.0 + damping), c = n.c * (1.0 + damping);
    const double det = a * c - n.b * n.b;
    parameters next = {p->log_k + (c * n.g - n.b * n.h) / det,
                       p->rb_mk_w + (a * n.h - n.b * n.g) / det};
    if (!allowed(&next) || eval_model(record, data, &next, data->slope_k[0], NULL) != GW_OK) {
        return false;
    }
    const double tried = square_sum(data, data->slope_k[0]);
    if (!(tried <= *sum)) {
        return false;
    }
    for (size_t i = data->first; i < data->end; ++i) {
        data->model_k[i] = data->slope_k[0][i];
    }
    *sum = tried;
    *p = next;
    return true;
}

static gw_status solve(const gw_test_record *record, const prepared *data, parameters *p,
                       gw_err *err)
{
    gw_status st = eval_model(record, data, p, data->model_k, err);
    if (st != GW_OK) {
        return st;
    }
    double sum = square_sum(data, data->model_k), damping = 1e-3;
    for (int trial = 0; trial < TRIALS_MAX; ++trial) {
        st = fill_slopes(record, data, p, err);
        if (st != GW_OK) {
            return st;
        }
        const parameters before = *p;
        if (try_step(record, data, damping, p, &sum)) {
            damping *= 0.1;
            const double moved =
                fmax(fabs(p->log_k - before.log_k), fabs(p->rb_mk_w / before.rb_mk_w - 1.0));
            if (moved < 1e-9) {
                return GW_OK;
            }
        } else {
            damping *= 10.0;
            if (damping > 1e10) {
                return GW_OK; // no downhill step is left: the least sum to rounding
            }
        }
    }
    return gw_fail(err, GW_ERR_CONVERGE, "samples",
                   "no conductivity fits the test: last try %.3g W/mK with %.3g mK/W",
                   exp(p->log_k), p->rb_mk_w);
}

// Statistics

static double correlation_of(const prepared *data, double sum)
{
    double lagged = 0.0;
    for (size_t i = data->first + 1; i < data->end; ++i) {
        lagged +=
            (data->rise_k[i] - data->model_k[i]) * (data->rise_k[i - 1] - data->model_k[i - 1]);
    }
    return sum > 0.0 ? fmin(fmax(lagged / sum, 0.0), 0.99) : 0.0;
}

// Student's 97.5 % point by the first Cornish–Fisher term (Abramowitz & Stegun 26.7.5).
static double student(double freedom)
{
    const double z = 1.959963984540054;
    return z + (z * z * z + z) / (4.0 * freedom);
}

static void fill_heat(const prepared *data, gw_test_fit *out)
{
    const double n = (double)(data->end - data->first);
    double sum = 0.0, square = 0.0;
    for (size_t i = data->first; i < data->end; ++i) {
        sum += data->heat_w_m[i];
    }
    out->mean_w_m = sum / n;
    for (size_t i = data->first; i < data->end; ++i) {
        const double d = data->heat_w_m[i] - out->mean_w_m;
        square += d * d;
    }
    out->power_spread_frac = sqrt(square / n) / fmax(fabs(out->mean_w_m), 1e-300);
    out->samples = data->end - data->first;
}

// From parameters whose model and slopes are in `data`.
static void fill_fit(const prepared *data, const parameters *p, gw_test_fit *out)
{
    const double n = (double)(data->end - data->first);
    const double sum = square_sum(data, data->model_k);
    const normal m = normal_of(data);
    fill_heat(data, out);
    out->conductivity_w_mk = exp(p->log_k);
    out->resistance_mk_w = p->rb_mk_w;
    out->residual_k = sqrt(sum / n);
    out->lag_one_correlation = correlation_of(data, sum);
    const double rho = out->lag_one_correlation;
    const double effective = fmax(n * (1.0 - rho) / (1.0 + rho), 3.0);
    const double variance = sum / (n - 2.0) * n / effective;
    const double t = student(effective - 2.0);
    const double det = m.a * m.c - m.b * m.b;
    out->conductivity_half_w_mk = out->conductivity_w_mk * t * sqrt(variance * m.c / det);
    out->resistance_half_mk_w = t * sqrt(variance * m.a / det);
}

// Slope

// Straight line of rise over ln t; the model and slopes are left as for fill_fit.
static gw_status slope_of(const gw_test_record *record, const prepared *data, parameters *p,
                          gw_err *err)
{
    const double n = (double)(data->end - data->first);
    double x = 0.0, y = 0.0, xx = 0.0, xy = 0.0, q = 0.0;
    for (size_t i = data->first; i < data->end; ++i) {
        x += log(data->time_s[i]) / n;
        y += data->rise_k[i] / n;
        q += data->heat_w_m[i] / n;
    }
    for (size_t i = data->first; i < data->end; ++i) {
        const double d = log(data->time_s[i]) - x;
        xx += d * d;
        xy += d * (data->rise_k[i] - y);
    }
    const double slope = xy / xx;
    const double k = q / (4.0 * PI * slope);
    if (!(k > 0.05 && k < 50.0)) {
        return gw_fail(err, GW_ERR_CONVERGE, "samples",
                       "the slope of %g K per ln t at %g W/m gives no conductivity", slope, q);
    }
    const double r = record->bore.radius_m;
    const double level = log(4.0 * k / (record->bore.ground_heat_j_m3k * r * r)) - EULER;
    p->log_k = log(k);
    p->rb_mk_w = y / q - (x + level) / (4.0 * PI * k);
    for (size_t i = data->first; i < data->end; ++i) {
        const double log_t = log(data->time_s[i]);
        data->model_k[i] = y + slope * (log_t - x);
        data->slope_k[0][i] = -q / (4.0 * PI * k) * (log_t + level - 1.0);
        data->slope_k[1][i] = q;
    }
    return GW_OK;
}

gw_status gw_test_bore_slope(gw_arena *arena, const gw_test_record *record, gw_test_fit *out,
                             gw_err *err)
{
    prepared data;
    parameters p;
    gw_status st = prepare(arena, record, &data, err);
    if (st == GW_OK) {
        st = slope_of(record, &data, &p, err);
    }
    if (st == GW_OK) {
        fill_fit(&data, &p, out);
    }
    return st;
}

// The fit

gw_status gw_test_bore_fit(gw_arena *arena, const gw_test_record *record, gw_test_fit *out,
                           gw_err *err)
{
    prepared data;
    gw_status st = prepare(arena, record, &data, err);
    if (st != GW_OK) {
        return st;
    }
    parameters p = {0};
    // A poor slope (varying power) is no reason to give up: the middle of the field's range then.
    if (slope_of(record, &data, &p, NULL) != GW_OK || !allowed(&p)) {
        p = (parameters){log(2.0), 0.12};
    }
    if (record->options.short_bore != NULL) {
        // Within what the equivalent pipe can stand for.
        const gw_short_bore *const b = record->options.short_bore;
        const double grout = 1.0 / (2.0 * PI * b->grout_w_mk);
        p.rb_mk_w = fmin(fmax(p.rb_mk_w, b->pipe_resistance_mk_w + 0.1 * grout),
                         b->pipe_resistance_mk_w + 2.2 * grout);
    }
    st = solve(record, &data, &p, err);
    if (st == GW_OK) {
        st = fill_slopes(record, &data, &p, err);
    }
    if (st == GW_OK) {
        fill_fit(&data, &p, out);
    }
    return st;
}

gw_status gw_test_bore_start_sensitivity(gw_arena *arena, const gw_test_record *record,
                                         const gw_test_starts *starts, gw_err *err)
{
    gw_test_record moved = *record;
    for (size_t i = 0; i < starts->count; ++i) {
        moved.options.start_s = starts->starts_s[i];
        const gw_status st = gw_test_bore_fit(arena, &moved, &starts->fits[i], err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

gw_status gw_test_bore_model(gw_arena *arena, const gw_test_record *record, const gw_test_fit *fit,
                             double *out_degc, gw_err *err)
{
    gw_test_record whole = *record;
    whole.options.start_s = 0.0;
    whole.options.end_s = 0.0;
    prepared data;
    gw_status st = prepare(arena, &whole, &data, err);
    if (st != GW_OK) {
        return st;
    }
    const parameters p = {log(fit->conductivity_w_mk), fit->resistance_mk_w};
    if (!allowed(&p)) {
        return gw_fail(err, GW_ERR_RANGE, "fit", "conductivity %g W/mK or resistance %g mK/W",
                       fit->conductivity_w_mk, fit->resistance_mk_w);
    }
    st = eval_model(&whole, &data, &p, data.model_k, err);
    // Thinned records are filled in by straight lines between the samples kept.
    size_t k = 0;
    for (size_t i = 0; st == GW_OK && i < record->series.count; ++i) {
        const double t = record->series.samples[i].time_s;
        while (k + 2 < data.count && data.time_s[k + 1] < t) {
            ++k;
        }
        const double share = (t - data.time_s[k]) / (data.time_s[k + 1] - data.time_s[k]);
        out_degc[i] = record->bore.undisturbed_degc + data.model_k[k] +
                      share * (data.model_k[k + 1] - data.model_k[k]);
    }
    return st;
}
