// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "soil/soil.h"

#include "base/range.h"

#include "soil/moisture.h"

#include <math.h>
#include <string.h>

double gw_soil_diffusivity_m2_s(const gw_soil *soil)
{
    return soil->conductivity_w_mk / soil->volumetric_heat_j_m3k;
}

double gw_soil_frozen_diffusivity_m2_s(const gw_soil *soil)
{
    return soil->frozen_conductivity_w_mk / soil->frozen_volumetric_heat_j_m3k;
}

gw_status gw_soil_check(const gw_soil *soil, gw_err *err)
{
    const gw_range items[] = {
        {"conductivity_w_mk", soil->conductivity_w_mk, 0.1, 10.0},
        {"volumetric_heat_j_m3k", soil->volumetric_heat_j_m3k, 5e5, 5e6},
        {"frozen_conductivity_w_mk", soil->frozen_conductivity_w_mk, 0.1, 10.0},
        {"frozen_volumetric_heat_j_m3k", soil->frozen_volumetric_heat_j_m3k, 5e5, 5e6},
        {"latent_heat_j_m3", soil->latent_heat_j_m3, 0.0, 3.34e8},
    };
    return gw_range_check(items, sizeof items / sizeof items[0], err);
}

// Classes

static gw_status read_kind(const gw_table *table, size_t row, gw_soil_kind *out, gw_err *err)
{
    const char *text;
    const gw_status st = gw_table_text(table, row, "kind", &text, err);
    if (st != GW_OK) {
        return st;
    }
    if (strcmp(text, "soil") == 0) {
        *out = GW_SOIL_KIND_SOIL;
    } else if (strcmp(text, "rock") == 0) {
        *out = GW_SOIL_KIND_ROCK;
    } else {
        return gw_fail(err, GW_ERR_KEY, "kind", "kind '%s' must be soil or rock", text);
    }
    return GW_OK;
}

static gw_status check_class(const gw_soil_class *c, gw_err *err)
{
    const double *k = c->conductivity_w_mk;
    const gw_range items[] = {
        {"conductivity_low_w_mk", k[GW_SOIL_LOW], 0.1, 10.0},
        {"conductivity_w_mk", k[GW_SOIL_TYPICAL], k[GW_SOIL_LOW], 10.0},
        {"conductivity_high_w_mk", k[GW_SOIL_HIGH], k[GW_SOIL_TYPICAL], 10.0},
        {"volumetric_heat_j_m3k", c->volumetric_heat_j_m3k, 5e5, 5e6},
        {"dry_density_kg_m3", c->dry_density_kg_m3, 100.0, 3200.0},
        {"moisture_frac", c->moisture_frac, 0.0, 5.0},
        {"frozen_conductivity_w_mk", c->frozen_conductivity_w_mk, 0.1, 10.0},
    };
    return gw_range_check(items, sizeof items / sizeof items[0], err);
}

gw_status gw_soil_class_read(const gw_table *table, size_t row, gw_soil_class *out, gw_err *err)
{
    *out = (gw_soil_class){0};
    const struct {
        const char *column;
        const char **target;
    } texts[] = {{"id", &out->id}, {"name", &out->name}, {"source", &out->source}};
    const struct {
        const char *column;
        double *target;
    } numbers[] = {
        {"conductivity_low_w_mk", &out->conductivity_w_mk[GW_SOIL_LOW]},
        {"conductivity_w_mk", &out->conductivity_w_mk[GW_SOIL_TYPICAL]},
        {"conductivity_high_w_mk", &out->conductivity_w_mk[GW_SOIL_HIGH]},
        {"volumetric_heat_j_m3k", &out->volumetric_heat_j_m3k},
        {"dry_density_kg_m3", &out->dry_density_kg_m3},
        {"moisture_frac", &out->moisture_frac},
        {"frozen_conductivity_w_mk", &out->frozen_conductivity_w_mk},
    };
    gw_status st = read_kind(table, row, &out->kind, err);
    for (size_t i = 0; st == GW_OK && i < sizeof texts / sizeof texts[0]; ++i) {
        st = gw_table_text(table, row, texts[i].column, texts[i].target, err);
    }
    for (size_t i = 0; st == GW_OK && i < sizeof numbers / sizeof numbers[0]; ++i) {
        st = gw_table_number(table, row, numbers[i].column, numbers[i].target, err);
    }
    return st != GW_OK ? st : check_class(out, err);
}

gw_status gw_soil_class_find(const gw_table *table, const char *id, gw_soil_class *out, gw_err *err)
{
    size_t row;
    const gw_status st = gw_table_find(table, "id", id, &row, err);
    return st != GW_OK ? st : gw_soil_class_read(table, row, out, err);
}

gw_soil gw_soil_of_class(const gw_soil_class *soil_class, gw_soil_level level)
{
    const double rho = soil_class->dry_density_kg_m3;
    const double w = soil_class->moisture_frac;
    const double ratio =
        soil_class->conductivity_w_mk[level] / soil_class->conductivity_w_mk[GW_SOIL_TYPICAL];
    // The published heat capacity is kept; freezing takes away what water loses to ice.
    const double lost_j_m3k =
        gw_soil_heat_unfrozen_j_m3k(rho, w) - gw_soil_heat_frozen_j_m3k(rho, w);
    return (gw_soil){
        .conductivity_w_mk = soil_class->conductivity_w_mk[level],
        .volumetric_heat_j_m3k = soil_class->volumetric_heat_j_m3k,
        .frozen_conductivity_w_mk = soil_class->frozen_conductivity_w_mk * ratio,
        .frozen_volumetric_heat_j_m3k = soil_class->volumetric_heat_j_m3k - lost_j_m3k,
        .latent_heat_j_m3 = gw_soil_latent_j_m3(rho, w),
    };
}

// Layers

static gw_status check_profile(const gw_soil_profile *profile, gw_err *err)
{
    if (profile->count == 0) {
        return gw_fail(err, GW_ERR_MISSING, "layers", "a profile needs at least one layer");
    }
    for (size_t i = 0; i < profile->count; ++i) {
        const double thickness_m = profile->layers[i].thickness_m;
        if (!(thickness_m > 0.0)) {
            return gw_fail(err, GW_ERR_RANGE, "thickness_m",
                           "thickness %g m of layer %zu must be above 0 m", thickness_m, i + 1);
        }
        const gw_status st = gw_soil_check(&profile->layers[i].soil, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

gw_status gw_soil_at_depth(const gw_soil_profile *profile, double depth_m, gw_soil *out,
                           gw_err *err)
{
    const gw_status st = check_profile(profile, err);
    if (st != GW_OK) {
        return st;
    }
    if (!(depth_m >= 0.0)) {
        return gw_fail(err, GW_ERR_RANGE, "depth_m", "depth %g m must not be negative", depth_m);
    }
    size_t i = 0;
    double bottom_m = profile->layers[0].thickness_m;
    while (i + 1 < profile->count && depth_m >= bottom_m) {
        bottom_m += profile->layers[++i].thickness_m;
    }
    *out = profile->layers[i].soil;
    return GW_OK;
}

static void add_share(gw_soil *sum, const gw_soil *soil, double share)
{
    sum->conductivity_w_mk += share * soil->conductivity_w_mk;
    sum->volumetric_heat_j_m3k += share * soil->volumetric_heat_j_m3k;
    sum->frozen_conductivity_w_mk += share * soil->frozen_conductivity_w_mk;
    sum->frozen_volumetric_heat_j_m3k += share * soil->frozen_volumetric_heat_j_m3k;
    sum->latent_heat_j_m3 += share * soil->latent_heat_j_m3;
}

gw_status gw_soil_equivalent(const gw_soil_profile *profile, gw_soil_interval interval,
                             gw_soil *out, gw_err *err)
{
    const gw_status st = check_profile(profile, err);
    if (st != GW_OK) {
        return st;
    }
    if (!(interval.top_m >= 0.0 && interval.bottom_m > interval.top_m &&
          isfinite(interval.bottom_m))) {
        return gw_fail(err, GW_ERR_RANGE, "interval", "interval %g to %g m must go down from >= 0",
                       interval.top_m, interval.bottom_m);
    }
    const double length_m = interval.bottom_m - interval.top_m;
    gw_soil sum = {0};
    double top_m = 0.0;
    for (size_t i = 0; i < profile->count; ++i) {
        const bool last = i + 1 == profile->count;
        const double bottom_m =
            last ? fmax(interval.bottom_m, top_m) : top_m + profile->layers[i].thickness_m;
        const double inside_m = fmin(bottom_m, interval.bottom_m) - fmax(top_m, interval.top_m);
        if (inside_m > 0.0) {
            add_share(&sum, &profile->layers[i].soil, inside_m / length_m);
        }
        top_m = bottom_m;
    }
    *out = sum;
    return GW_OK;
}
