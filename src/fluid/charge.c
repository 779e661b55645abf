// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Volume fractions and what to pour.
#include "fluid/fluid.h"

#include <math.h>

// Everything is measured out at this temperature.
#define POUR_DEGC 20.0

static gw_status water_density(const gw_fluid_table *table, double *out_kg_m3, gw_err *err)
{
    gw_fluid_props water;
    const gw_status st =
        gw_fluid_at(table, (gw_fluid_mix){.kind = GW_FLUID_WATER}, POUR_DEGC, &water, err);
    *out_kg_m3 = st == GW_OK ? water.density_kg_m3 : 0.0;
    return st;
}

static gw_status has_volume(const gw_fluid_data *data, gw_err *err)
{
    if (!(data->additive_density_kg_m3 > 0.0)) {
        return gw_fail(err, GW_ERR_RANGE, "fluid.kind",
                       "%s is dosed by mass: it has no fraction by volume", data->name);
    }
    return GW_OK;
}

gw_status gw_fluid_volume_frac(const gw_fluid_table *table, gw_fluid_mix mix, double *out_frac,
                               gw_err *err)
{
    gw_status st = gw_fluid_check_mix(table, mix, err);
    if (st == GW_OK && mix.kind == GW_FLUID_WATER) {
        *out_frac = 0.0;
        return GW_OK;
    }
    double water_kg_m3;
    if (st == GW_OK) {
        st = water_density(table, &water_kg_m3, err);
    }
    if (st == GW_OK) {
        st = has_volume(&table->kinds[mix.kind], err);
    }
    if (st != GW_OK) {
        return st;
    }
    const double additive = mix.mass_frac / table->kinds[mix.kind].additive_density_kg_m3;
    const double water = (1.0 - mix.mass_frac) / water_kg_m3;
    *out_frac = additive / (additive + water);
    return GW_OK;
}

gw_status gw_fluid_mass_frac(const gw_fluid_table *table, gw_fluid_kind kind, double volume_frac,
                             double *out_mass_frac, gw_err *err)
{
    if (!((unsigned)kind < (unsigned)GW_FLUID_KIND_COUNT)) {
        return gw_fail(err, GW_ERR_KEY, "fluid.kind", "fluid number %d is unknown", (int)kind);
    }
    if (!(volume_frac >= 0.0 && volume_frac <= 1.0)) {
        return gw_fail(err, GW_ERR_RANGE, "fluid.volume_frac",
                       "fraction by volume %g must be 0 to 1", volume_frac);
    }
    if (volume_frac == 0.0) {
        *out_mass_frac = 0.0;
        return GW_OK;
    }
    const gw_fluid_data *const data = &table->kinds[kind];
    double water_kg_m3;
    gw_status st = has_volume(data, err);
    if (st == GW_OK) {
        st = water_density(table, &water_kg_m3, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const double additive_kg = volume_frac * data->additive_density_kg_m3;
    *out_mass_frac = additive_kg / (additive_kg + (1.0 - volume_frac) * water_kg_m3);
    return GW_OK;
}

gw_status gw_fluid_charge_of(const gw_fluid_table *table, gw_fluid_mix mix, double volume_m3,
                             gw_fluid_charge *out, gw_err *err)
{
    if (!(volume_m3 >= 0.0 && volume_m3 <= 1e4)) {
        return gw_fail(err, GW_ERR_RANGE, "fluid.volume_m3", "loop volume %g m3 must be 0 to 10000",
                       volume_m3);
    }
    gw_fluid_props props;
    double water_kg_m3;
    gw_status st = gw_fluid_at(table, mix, POUR_DEGC, &props, err);
    if (st == GW_OK) {
        st = water_density(table, &water_kg_m3, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const double additive_kg_m3 = table->kinds[mix.kind].additive_density_kg_m3;
    const double mixture_kg = volume_m3 * props.density_kg_m3;
    const double antifreeze_kg = mixture_kg * mix.mass_frac;
    *out = (gw_fluid_charge){
        .mixture_kg = mixture_kg,
        .antifreeze_kg = antifreeze_kg,
        .antifreeze_m3 = additive_kg_m3 > 0.0 ? antifreeze_kg / additive_kg_m3 : 0.0,
        .water_kg = mixture_kg - antifreeze_kg,
        .water_m3 = (mixture_kg - antifreeze_kg) / water_kg_m3,
    };
    return GW_OK;
}
