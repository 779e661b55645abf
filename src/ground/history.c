// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/history.h"

#include "ground/least.h"

#include <math.h>
#include <stdio.h>

static const double WORST_FIT = 0.05;

void gw_exp_sample_times(double step_s, double horizon_s, double times_s[GW_EXP_SAMPLES])
{
    double multiple = 0.0;
    for (size_t i = 0; i < GW_EXP_SAMPLES; ++i) {
        const double share = (double)i / (GW_EXP_SAMPLES - 1);
        multiple = fmax(multiple + 1.0, round(pow(horizon_s / step_s, share)));
        times_s[i] = multiple * step_s;
    }
}

// A response sets in faster than any sum of these time constants before about an hour: such
// samples would spoil the fit of the later ones.
static size_t count_early(const gw_step_samples *samples)
{
    size_t early = 0;
    while (early < samples->count && samples->times_s[early] < GW_EXP_TRUE_FROM_S * (1.0 - 1e-9)) {
        ++early;
    }
    return early;
}

static gw_status check_samples(const gw_step_samples *samples, double horizon_s, gw_err *err)
{
    double before = 0.0;
    for (size_t i = 0; i < samples->count; ++i) {
        char field[48];
        (void)snprintf(field, sizeof field, "samples[%zu]", i);
        if (!(samples->times_s[i] > before)) {
            return gw_fail(err, GW_ERR_RANGE, field, "time %g s must be above %g s",
                           samples->times_s[i], before);
        }
        before = samples->times_s[i];
        if (!(samples->value[i] > 0.0 && isfinite(samples->value[i]))) {
            return gw_fail(err, GW_ERR_RANGE, field, "value %g must be above zero and finite",
                           samples->value[i]);
        }
    }
    if (samples->count - count_early(samples) < 8) {
        return gw_fail(err, GW_ERR_MISSING, "samples",
                       "%zu samples from one hour on, 8 or more are needed",
                       samples->count - count_early(samples));
    }
    if (!(samples->offset >= 0.0 && isfinite(samples->offset))) {
        return gw_fail(err, GW_ERR_RANGE, "offset", "offset %g must be zero or more",
                       samples->offset);
    }
    if (!(horizon_s >= 10.0 * GW_EXP_FIRST_S && horizon_s <= 1000.0 * GW_YEAR_S)) {
        return gw_fail(err, GW_ERR_RANGE, "horizon", "horizon %g s must be %g s to 1000 years",
                       horizon_s, 10.0 * GW_EXP_FIRST_S);
    }
    return GW_OK;
}

// Log-spaced from the first to ten horizons, three or a few more per decade so that the number is
// a multiple of 4 (two or four at a time in the hot loop).
static void choose_time_constants(double horizon_s, gw_exp_response *out)
{
    const double last_s = GW_EXP_LAST_HORIZONS * horizon_s;
    const double decades = log10(last_s / GW_EXP_FIRST_S);
    size_t terms = (size_t)ceil(GW_EXP_PER_DECADE * decades) + 1;
    terms = (terms + 3) / 4 * 4;
    out->terms = terms < GW_EXP_MAX ? terms : GW_EXP_MAX;
    for (size_t k = 0; k < out->terms; ++k) {
        const double share = (double)k / (double)(out->terms - 1);
        out->time_constant_s[k] = GW_EXP_FIRST_S * pow(last_s / GW_EXP_FIRST_S, share);
    }
}

gw_status gw_exp_fit(gw_arena *arena, const gw_step_samples *samples, double horizon_s,
                     gw_exp_response *out, gw_err *err)
{
    const gw_status st = check_samples(samples, horizon_s, err);
    if (st != GW_OK) {
        return st;
    }
    gw_exp_response fit = {.offset = samples->offset};
    choose_time_constants(horizon_s, &fit);
    const size_t early = count_early(samples), rows = samples->count - early;
    const double *const time_s = samples->times_s + early, *const value = samples->value + early;
    double *const matrix = gw_arena_alloc(arena, rows * fit.terms, sizeof *matrix);
    double *const right = gw_arena_alloc(arena, rows + fit.terms, sizeof *right);
    if (matrix == NULL || right == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a fit of %zu samples", rows);
    }
    for (size_t i = 0; i < rows; ++i) {
        for (size_t k = 0; k < fit.terms; ++k) {
            matrix[k * rows + i] = -expm1(-time_s[i] / fit.time_constant_s[k]) / value[i];
        }
        right[i] = 1.0;
    }
    // Weights of nearly equal columns could grow huge with opposite signs; singular directions
    // below 1e-5 of the largest are left out.
    const gw_status solved =
        gw_least_squares(arena, &(gw_least){rows, fit.terms, matrix, right, 1e-5}, err);
    if (solved != GW_OK) {
        return solved;
    }
    for (size_t k = 0; k < fit.terms; ++k) {
        fit.weight[k] = right[k];
    }
    for (size_t i = 0; i < rows; ++i) {
        const double got = gw_exp_step(&fit, time_s[i]) - fit.offset;
        fit.fit_error_frac = fmax(fit.fit_error_frac, fabs(got / value[i] - 1.0));
    }
    if (!(fit.fit_error_frac <= WORST_FIT)) {
        return gw_fail(err, GW_ERR_CONVERGE, "samples",
                       "sum of exponentials is %.3g from the samples, must be %.3g or less",
                       fit.fit_error_frac, WORST_FIT);
    }
    *out = fit;
    return GW_OK;
}

double gw_exp_step(const gw_exp_response *response, double time_s)
{
    double sum = 0.0;
    for (size_t k = 0; k < response->terms; ++k) {
        sum -= response->weight[k] * expm1(-time_s / response->time_constant_s[k]);
    }
    return response->offset + sum;
}

gw_complex gw_exp_periodic(const gw_exp_response *response, double angular_frequency_rad_s)
{
    gw_complex sum = {response->offset, 0.0};
    for (size_t k = 0; k < response->terms; ++k) {
        const double x = angular_frequency_rad_s * response->time_constant_s[k];
        const double share = response->weight[k] / (1.0 + x * x);
        sum.re += share;
        sum.im -= share * x;
    }
    return sum;
}

void gw_exp_stepper_init(gw_exp_stepper *stepper, const gw_exp_response *response, double step_s)
{
    *stepper = (gw_exp_stepper){.terms = response->terms, .gain = response->offset};
    for (size_t k = 0; k < response->terms; ++k) {
        const double x = step_s / response->time_constant_s[k];
        stepper->decay[k] = exp(-x);
        stepper->growth[k] = -expm1(-x);
        stepper->outcome[k] =
            response->weight[k] * stepper->decay[k] * stepper->decay[k] * stepper->growth[k];
        stepper->gain += response->weight[k] * stepper->growth[k];
        stepper->carry += response->weight[k] * stepper->decay[k] * stepper->growth[k];
    }
}

double gw_exp_observe(const gw_exp_stepper *stepper, const gw_exp_response *place, double load)
{
    double sum = place->offset * load;
    for (size_t k = 0; k < stepper->terms; ++k) {
        sum += place->weight[k] * stepper->growth[k] * stepper->state[k];
    }
    return sum;
}

double gw_history_superpose(const double *step_response, const double *loads, size_t n)
{
    // Σ q_m [h(n − m + 1) − h(n − m)], h(0) = 0; the newest load meets the shortest time.
    double sum = loads[n] * step_response[0];
    for (size_t m = 0; m < n; ++m) {
        sum += loads[m] * (step_response[n - m] - step_response[n - m - 1]);
    }
    return sum;
}
