// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/layers.h"

#include "ground/response.h"
#include "ground/short_time.h"

#include <math.h>
#include <stdbool.h>

static gw_status check_case(const gw_layers_case *with, gw_err *err)
{
    const struct {
        const char *field;
        double value, least, most;
    } ranges[] = {
        {"bore", with->bore.bottom_m - with->bore.top_m, 1.0, 2000.0},
        {"radius_m", with->radius_m, 0.01, 1.0},
        {"resistance_mk_w", with->resistance_mk_w, 0.0, 10.0},
        {"time_s", with->time_s, 3600.0, 1e10},
    };
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; ++i) {
        if (!(ranges[i].value >= ranges[i].least && ranges[i].value <= ranges[i].most)) {
            return gw_fail(err, GW_ERR_RANGE, ranges[i].field, "%s %g must be %g to %g",
                           ranges[i].field, ranges[i].value, ranges[i].least, ranges[i].most);
        }
    }
    return GW_OK;
}

// Fluid over undisturbed beside an endless line, per W/m.
static double radial_response(const gw_layers_case *with, double k_w_mk, double heat_j_m3k)
{
    const gw_line_source line = {k_w_mk, k_w_mk / heat_j_m3k, with->radius_m};
    return gw_line_source_response(&line, with->time_s) + with->resistance_mk_w;
}

typedef struct {
    double across_m2k_w; // Σ share/k
    double upper_m2k_w;  // Σ thickness/k from the surface to the middle of the bore
    double conductance;  // Σ share/response of the layer by itself
    double least_w_mk;   // smallest conductivity
} sums;

static sums sum_layers(const gw_layers_case *with)
{
    sums s = {.least_w_mk = HUGE_VAL};
    const double middle_m = 0.5 * (with->bore.top_m + with->bore.bottom_m);
    const double length_m = with->bore.bottom_m - with->bore.top_m;
    double top_m = 0.0;
    for (size_t i = 0; i < with->profile->count; ++i) {
        const gw_soil_layer *const layer = &with->profile->layers[i];
        const bool last = i + 1 == with->profile->count;
        const double bottom_m =
            last ? fmax(with->bore.bottom_m, top_m) : top_m + layer->thickness_m;
        const double upper_m = fmin(bottom_m, middle_m) - top_m;
        s.upper_m2k_w += fmax(upper_m, 0.0) / layer->soil.conductivity_w_mk;
        const double inside_m = fmin(bottom_m, with->bore.bottom_m) - fmax(top_m, with->bore.top_m);
        if (inside_m > 0.0) {
            const double k = layer->soil.conductivity_w_mk, share = inside_m / length_m;
            s.across_m2k_w += share / k;
            s.conductance += share / radial_response(with, k, layer->soil.volumetric_heat_j_m3k);
            s.least_w_mk = fmin(s.least_w_mk, k);
        }
        top_m = bottom_m;
    }
    return s;
}

// Conductivity whose radial response is `target`; it falls as conductivity rises.
static double conductivity_of(const gw_layers_case *with, double heat_j_m3k, double target,
                              const double between[2])
{
    double low = between[0], high = between[1];
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        if (radial_response(with, middle, heat_j_m3k) > target) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return 0.5 * (low + high);
}

// Mean wall response of the bore as a finite line, all depths `stretch` times as long.
static gw_status finite_response(const gw_layers_case *with, const gw_layers_equivalent *ground,
                                 double stretch, double *out, gw_err *err)
{
    const gw_segment bore = {.z_m = stretch * with->bore.top_m,
                             .dz = 1.0,
                             .length_m =
                                 fmin(stretch * (with->bore.bottom_m - with->bore.top_m), 2000.0),
                             .radius_m = with->radius_m};
    const double k = ground->conductivity_w_mk;
    const gw_response_case at = {{k, k / ground->volumetric_heat_j_m3k}, &with->time_s, 1, false};
    return gw_response_between(&at, &bore, &bore, out, err);
}

// What the layers make of the ends: less heat to the surface, and ends that lie in layers of their
// own. Sets the response too.
static gw_status ends_error(const gw_layers_case *with, const sums *s, gw_layers_equivalent *out,
                            double *ends_mk_w, gw_err *err)
{
    double line = 0.0, stretched = 0.0;
    gw_soil top, foot;
    const double upper_w_mk = 0.5 * (with->bore.top_m + with->bore.bottom_m) / s->upper_m2k_w;
    const double ratio = out->conductivity_w_mk / fmin(out->across_w_mk, upper_w_mk);
    gw_status st = gw_soil_at_depth(with->profile, with->bore.top_m, &top, err);
    if (st == GW_OK) {
        st = gw_soil_at_depth(with->profile, with->bore.bottom_m, &foot, err);
    }
    if (st == GW_OK) {
        st = finite_response(with, out, 1.0, &line, err);
    }
    if (st == GW_OK) {
        st = finite_response(with, out, sqrt(fmax(1.0, ratio)), &stretched, err);
    }
    if (st != GW_OK) {
        return st;
    }
    out->response_mk_w = line + with->resistance_mk_w;
    const double endless =
        radial_response(with, out->conductivity_w_mk, out->volumetric_heat_j_m3k);
    const double at_ends = 0.5 * (top.conductivity_w_mk + foot.conductivity_w_mk);
    *ends_mk_w = fabs(stretched - line) +
                 fabs(endless - out->response_mk_w) * fabs(at_ends / out->conductivity_w_mk - 1.0);
    return GW_OK;
}

gw_status gw_layers_reduce(const gw_layers_case *with, gw_layers_equivalent *out, gw_err *err)
{
    gw_soil mean = {0};
    gw_status st = check_case(with, err);
    if (st == GW_OK) {
        st = gw_soil_equivalent(with->profile, with->bore, &mean, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const sums s = sum_layers(with);
    *out = (gw_layers_equivalent){.volumetric_heat_j_m3k = mean.volumetric_heat_j_m3k,
                                  .mean_w_mk = mean.conductivity_w_mk,
                                  .across_w_mk = 1.0 / s.across_m2k_w};
    const double cut = 1.0 / s.conductance;
    const double shorted =
        radial_response(with, mean.conductivity_w_mk, mean.volumetric_heat_j_m3k);
    const double between[2] = {s.least_w_mk, mean.conductivity_w_mk};
    out->conductivity_w_mk = conductivity_of(with, mean.volumetric_heat_j_m3k, cut, between);
    double ends = 0.0;
    st = ends_error(with, &s, out, &ends, err);
    out->error_frac = (0.5 * fabs(cut - shorted) + ends) / out->response_mk_w;
    return st;
}
