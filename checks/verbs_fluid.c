// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Properties of water and of water with antifreeze.
#include "check.h"
#include "fluid/fluid.h"

static gw_status mix_of(gw_check_call *call, gw_fluid_table *table, gw_fluid_mix *mix, gw_err *err)
{
    gw_status st = gw_fluid_read_builtin(call->arena, table, err);
    if (st == GW_OK) {
        st = gw_fluid_kind_from_id(gw_check_word(call, "fluid"), &mix->kind, err);
    }
    size_t count = 0;
    const double *volume_frac = gw_check_list(call, "volume_frac", &count);
    mix->mass_frac = gw_check_number(call, "mass_frac");
    if (st == GW_OK && count == 1) {
        st = gw_fluid_mass_frac(table, mix->kind, volume_frac[0], &mix->mass_frac, err);
    }
    return st;
}

static gw_status run_properties(gw_check_call *call, gw_err *err)
{
    gw_fluid_table table;
    gw_fluid_mix mix;
    gw_fluid_props props = {0};
    gw_status st = mix_of(call, &table, &mix, err);
    if (st == GW_OK) {
        st = gw_fluid_at(&table, mix, gw_check_number(call, "temp_degc"), &props, err);
    }
    gw_check_give(call, "density_kg_m3", props.density_kg_m3);
    gw_check_give(call, "specific_heat_j_kgk", props.specific_heat_j_kgk);
    gw_check_give(call, "conductivity_w_mk", props.conductivity_w_mk);
    gw_check_give(call, "viscosity_pa_s", props.viscosity_pa_s);
    return st;
}

static gw_status run_freezing(gw_check_call *call, gw_err *err)
{
    gw_fluid_table table;
    gw_fluid_mix mix;
    double freeze_degc = 0.0;
    gw_status st = mix_of(call, &table, &mix, err);
    if (st == GW_OK) {
        st = gw_fluid_freeze_degc(&table, mix, &freeze_degc, err);
    }
    gw_check_give(call, "freeze_degc", freeze_degc);
    return st;
}

const gw_check_verb gw_verbs_fluid[] = {
    {.name = "fluid_properties",
     .what = "density, specific heat, conductivity, viscosity of a loop fluid",
     .run = run_properties,
     .givens = {{.name = "fluid", .kind = GW_CHECK_WORD},
                {.name = "mass_frac", .kind = GW_QTY_FRACTION, .otherwise = "0"},
                {.name = "volume_frac", .kind = GW_QTY_FRACTION, .list = true, .otherwise = ""},
                {.name = "temp_degc", .kind = GW_QTY_TEMPERATURE}},
     .results = {{"density_kg_m3", GW_QTY_DENSITY},
                 {"specific_heat_j_kgk", GW_QTY_NUMBER},
                 {"conductivity_w_mk", GW_QTY_CONDUCTIVITY},
                 {"viscosity_pa_s", GW_QTY_VISCOSITY}}},
    {.name = "fluid_freezing",
     .what = "temperature at which the first ice forms",
     .run = run_freezing,
     .givens = {{.name = "fluid", .kind = GW_CHECK_WORD},
                {.name = "mass_frac", .kind = GW_QTY_FRACTION, .otherwise = "0"},
                {.name = "volume_frac", .kind = GW_QTY_FRACTION, .list = true, .otherwise = ""}},
     .results = {{"freeze_degc", GW_QTY_TEMPERATURE}}},
    {0},
};
