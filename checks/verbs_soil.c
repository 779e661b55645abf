// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Soil from density and moisture; the built-in classes.
#include "base/builtin.h"
#include "check.h"
#include "soil/moisture.h"
#include "soil/soil.h"

static gw_soil_moist moist_of(const gw_check_call *call)
{
    static const gw_soil_texture textures[] = {GW_SOIL_COARSE, GW_SOIL_FINE};
    gw_soil_moist moist = {
        .dry_density_kg_m3 = gw_check_number(call, "dry_density_kg_m3"),
        .moisture_frac = gw_check_number(call, "moisture_frac"),
        .quartz_frac = gw_check_number(call, "quartz_frac"),
        .texture = textures[gw_check_choice(call, "texture")],
    };
    size_t count = 0;
    const double *saturation = gw_check_list(call, "saturation_frac", &count);
    if (count == 1) { // moisture by the share of the pores that water fills
        moist.moisture_frac = saturation[0] * 1000.0 *
                              gw_soil_porosity_frac(moist.dry_density_kg_m3) /
                              moist.dry_density_kg_m3;
    }
    return moist;
}

static gw_status run_conductivity(gw_check_call *call, gw_err *err)
{
    const gw_soil_moist moist = moist_of(call);
    gw_soil_conductivity k = {0};
    const gw_status st = gw_check_choice(call, "method") == 0 ? gw_soil_johansen(&moist, &k, err)
                                                              : gw_soil_kersten(&moist, &k, err);
    gw_check_give(call, "unfrozen_w_mk", k.unfrozen_w_mk);
    gw_check_give(call, "frozen_w_mk", k.frozen_w_mk);
    gw_check_give(call, "pores_filled_frac", gw_soil_saturation_frac(&moist));
    return st;
}

static gw_status run_heat(gw_check_call *call, gw_err *err)
{
    (void)err;
    const double density_kg_m3 = gw_check_number(call, "dry_density_kg_m3");
    const double moisture_frac = gw_check_number(call, "moisture_frac");
    gw_check_give(call, "latent_j_m3", gw_soil_latent_j_m3(density_kg_m3, moisture_frac));
    gw_check_give(call, "unfrozen_j_m3k",
                  gw_soil_heat_unfrozen_j_m3k(density_kg_m3, moisture_frac));
    gw_check_give(call, "frozen_j_m3k", gw_soil_heat_frozen_j_m3k(density_kg_m3, moisture_frac));
    return GW_OK;
}

static gw_status run_class(gw_check_call *call, gw_err *err)
{
    gw_builtin_file file;
    gw_table table;
    gw_soil_class found;
    if (!gw_builtin("soils.csv", &file)) {
        return gw_fail(err, GW_ERR_MISSING, NULL, "no built-in soils");
    }
    gw_status st = gw_table_read(call->arena, file.name, file.text, file.length, &table, err);
    if (st == GW_OK) {
        st = gw_soil_class_find(&table, gw_check_word(call, "soil"), &found, err);
    }
    if (st == GW_OK) {
        const gw_soil soil = gw_soil_of_class(&found, GW_SOIL_TYPICAL);
        gw_check_give(call, "low_w_mk", found.conductivity_w_mk[GW_SOIL_LOW]);
        gw_check_give(call, "typical_w_mk", found.conductivity_w_mk[GW_SOIL_TYPICAL]);
        gw_check_give(call, "high_w_mk", found.conductivity_w_mk[GW_SOIL_HIGH]);
        gw_check_give(call, "heat_j_m3k", found.volumetric_heat_j_m3k);
        gw_check_give(call, "diffusivity_m2_s", gw_soil_diffusivity_m2_s(&soil));
    }
    return st;
}

const gw_check_verb gw_verbs_soil[] = {
    {.name = "soil_conductivity",
     .what = "conductivity from dry density and moisture (or the filled share of the pores)",
     .run = run_conductivity,
     .givens = {{.name = "method", .kind = GW_CHECK_WORD, .words = "johansen|kersten"},
                {.name = "dry_density_kg_m3", .kind = GW_QTY_DENSITY},
                {.name = "moisture_frac", .kind = GW_QTY_FRACTION, .otherwise = "0"},
                {.name = "saturation_frac", .kind = GW_QTY_FRACTION, .list = true, .otherwise = ""},
                {.name = "quartz_frac", .kind = GW_QTY_FRACTION, .otherwise = "0.5"},
                {.name = "texture", .kind = GW_CHECK_WORD, .words = "coarse|fine"}},
     .results = {{"unfrozen_w_mk", GW_QTY_CONDUCTIVITY},
                 {"frozen_w_mk", GW_QTY_CONDUCTIVITY},
                 {"pores_filled_frac", GW_QTY_FRACTION}}},
    {.name = "soil_heat",
     .what = "heat capacities and latent heat by water content",
     .run = run_heat,
     .givens = {{.name = "dry_density_kg_m3", .kind = GW_QTY_DENSITY},
                {.name = "moisture_frac", .kind = GW_QTY_FRACTION}},
     .results = {{"latent_j_m3", GW_QTY_NUMBER},
                 {"unfrozen_j_m3k", GW_QTY_VOLUMETRIC_HEAT},
                 {"frozen_j_m3k", GW_QTY_VOLUMETRIC_HEAT}}},
    {.name = "soil_class",
     .what = "a class of the built-in list",
     .run = run_class,
     .givens = {{.name = "soil", .kind = GW_CHECK_WORD}},
     .results = {{"low_w_mk", GW_QTY_CONDUCTIVITY},
                 {"typical_w_mk", GW_QTY_CONDUCTIVITY},
                 {"high_w_mk", GW_QTY_CONDUCTIVITY},
                 {"heat_j_m3k", GW_QTY_VOLUMETRIC_HEAT},
                 {"diffusivity_m2_s", GW_QTY_DIFFUSIVITY}}},
    {0},
};
