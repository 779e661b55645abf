// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/modes.h"

#include <math.h>

static const double SURFACE_SHARE = 10.0; // of depth²/α
static const double LARGEST_Z = 12.0;
static const double EXACT_Z = 4.0;    // to here the quadrature over s is good to 1e-9 of e^(−Z)
static const double LARGEST_X = 20.0; // r²/4αt; E1(20) is 1e-10

static gw_status no_memory(gw_err *err)
{
    return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for the field");
}

double gw_modes_length_m(const gw_field *field)
{
    double sum = 0.0;
    for (size_t i = 0; i < field->count; ++i) {
        sum += field->segments[i].length_m;
    }
    return sum;
}

double gw_modes_ratio(const gw_field *field)
{
    const double sum = gw_modes_length_m(field);
    return field->total_length_m > 0.0 ? field->total_length_m / sum : 1.0;
}

// Shortest time constant that matters: a share of the first time; but segments that differ in
// radius or resistance share the load unequally from the very start, down to about r²/200α
// (1e-5 to 5e-5 is lost by stopping at r²/10α).
static double fastest_s(const gw_field *field, double first_s, gw_modes_kind kind)
{
    const double share = kind == GW_MODES_LARGE ? 3e-3 : 1e-3;
    double radius = HUGE_VAL;
    bool alike = kind != GW_MODES_UNLIKE;
    for (size_t i = 0; i < field->count; ++i) {
        radius = fmin(radius, field->segments[i].radius_m);
        alike = alike && field->segments[i].radius_m == field->segments[0].radius_m;
        alike = alike && (field->resistance_mk_w == NULL ||
                          field->resistance_mk_w[i] == field->resistance_mk_w[0]);
    }
    const double start = 0.005 * radius * radius / field->medium.diffusivity_m2_s;
    return alike ? share * first_s : fmin(share * first_s, start);
}

// Longest time constant: beyond the last time, and beyond what the surface lets live. (p = 0 stands
// for all slower ones, which does not do while they are strong: 1e-4 was lost that way.)
static double slowest_s(const gw_field *field, double last_s, double share)
{
    double depth = 0.0;
    for (size_t i = 0; i < field->count; ++i) {
        const gw_segment *const s = &field->segments[i];
        depth = fmax(depth, fmax(s->z_m, s->z_m + s->length_m * s->dz));
    }
    return fmax(share * last_s, SURFACE_SHARE * depth * depth / field->medium.diffusivity_m2_s);
}

// Largest radius of the segments that meet the fluid without a resistance; zero if none does. At p
// their walls answer as e^(−Z), Z = r√(p/α), and from Z = 12 on there is nothing to be solved for.
static double bare_radius_m(const gw_field *field)
{
    double radius = 0.0;
    for (size_t i = 0; i < field->count; ++i) {
        if (field->resistance_mk_w == NULL || !(field->resistance_mk_w[i] > 0.0)) {
            radius = fmax(radius, field->segments[i].radius_m);
        }
    }
    return radius;
}

gw_status gw_modes_spectrum(gw_arena *arena, const gw_field *field, const gw_field_times *times,
                            gw_modes_kind kind, gw_spectrum *out, gw_err *err)
{
    const bool large = kind == GW_MODES_LARGE;
    double last = times->times_s[times->count - 1];
    if (isinf(last)) {
        last = times->count > 1 ? times->times_s[times->count - 2] : 1e9;
    }
    const double first = fmin(times->times_s[0], last);
    const double bare = bare_radius_m(field);
    const double spread_s = bare * bare / field->medium.diffusivity_m2_s;
    if (!(first >= spread_s / (4.0 * LARGEST_X))) {
        return gw_fail(err, GW_ERR_RANGE, "times[0]",
                       "time %g s is too short: a wall of radius %g m feels its load after %.2g s",
                       first, bare, spread_s / (4.0 * LARGEST_X));
    }
    const gw_spectrum_range range = {
        .fastest_s = fmax(fastest_s(field, first, kind), spread_s / (LARGEST_Z * LARGEST_Z)),
        .slowest_s = slowest_s(field, last, large ? 10.0 : 30.0),
        .per_decade = large ? 4.0 : 5.0};
    return gw_spectrum_init(arena, &range, out, err);
}

static const gw_segment *longest_of(const gw_field *field)
{
    const gw_segment *longest = &field->segments[0];
    for (size_t i = 1; i < field->count; ++i) {
        longest = field->segments[i].length_m > longest->length_m ? &field->segments[i] : longest;
    }
    return longest;
}

// The response of the longest segment on itself is known in time and at p, and carries the early
// part of the field's; only the difference (ends, neighbours) is fitted.
static gw_status subtract_reference(gw_arena *arena, const gw_modes *modes,
                                    const gw_segment *reference, double *difference, gw_err *err)
{
    const gw_transfer *const t = modes->transfer;
    double *const f = gw_arena_alloc(arena, t->nodes, sizeof *f);
    double *const factor = gw_arena_alloc(arena, t->nodes, sizeof *factor);
    if (f == NULL || factor == NULL) {
        return no_memory(err);
    }
    gw_kernel_pair(&(gw_kernel_at){&t->table, t->s, t->nodes, false}, reference, reference, f);
    for (size_t m = 0; m < modes->spectrum.count; ++m) {
        gw_transfer_factors(t, modes->spectrum.p[m], factor);
        double sum = 0.0;
        for (size_t q = 0; q < t->nodes; ++q) {
            sum += t->w[q] * f[q] * factor[q];
        }
        difference[m] -= sum / reference->length_m;
    }
    return GW_OK;
}

// What is left to fit, and what errors count against: relative to the response, but not below that
// of the first time, above which the transfer function falls off exponentially and no longer shows
// (nor is exact any more).
static void left_to_fit(const gw_modes *modes, double first_s, double *difference, double *scale)
{
    const gw_field *const field = modes->transfer->field;
    const double bare = modes->instant > 0.0 ? 0.0 : bare_radius_m(field);
    const double exact_s = bare * bare / (field->medium.diffusivity_m2_s * EXACT_Z * EXACT_Z);
    size_t start = modes->spectrum.count - 1;
    while (start > 0 && modes->spectrum.p[start] * fmax(first_s, exact_s) > 1.0) {
        --start;
    }
    for (size_t m = 0; m < modes->spectrum.count; ++m) {
        difference[m] = modes->drop[m] - modes->instant;
        scale[m] = modes->drop[m] + modes->drop[start];
    }
}

gw_status gw_modes_to_times(gw_arena *arena, const gw_modes *modes, const gw_field_times *times,
                            gw_field_step *out, gw_err *err)
{
    const gw_field *const field = modes->transfer->field;
    const size_t n = modes->spectrum.count;
    double *const difference = gw_arena_alloc(arena, 3 * n, sizeof *difference);
    double *const h = gw_arena_alloc(arena, times->count, sizeof *h);
    if (difference == NULL || h == NULL) {
        return no_memory(err);
    }
    double *const scale = difference + n, *const weight = difference + 2 * n;
    const double ratio = gw_modes_ratio(field);
    const gw_segment *const reference = longest_of(field);
    left_to_fit(modes, times->times_s[0], difference, scale);
    gw_status st = subtract_reference(arena, modes, reference, difference, err);
    out->h_mk_w = h;
    out->steady_mk_w = ratio * modes->drop[0];
    out->instant_mk_w = ratio * modes->instant;
    if (st == GW_OK) {
        st = gw_spectrum_fit(arena, &modes->spectrum, &(gw_spectrum_data){difference, scale, NULL},
                             weight, &out->fit_error_frac, err);
    }
    if (st == GW_OK) {
        const gw_response_case with = {field->medium, times->times_s, times->count, false};
        st = gw_response_between(&with, reference, reference, h, err);
    }
    for (size_t i = 0; i < times->count && st == GW_OK; ++i) {
        const double rest = gw_spectrum_step(&modes->spectrum, weight, times->times_s[i]);
        h[i] = ratio * (h[i] + rest + modes->instant);
    }
    return st;
}
