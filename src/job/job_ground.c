// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Tables of the ground and of the loop fluid and pipes.
#include "job/job_priv.h"

#define SOIL(member) GW_FORM_AT(gw_job_soil, member)
#define GROUND(member) GW_FORM_AT(gw_job_ground, member)
#define FLUID(member) GW_FORM_AT(gw_job_fluid, member)

static const char *const LEVEL_WORDS[] = {"low", "typical", "high"};
static const char *const DRILLING_WORDS[] = {"soft_rock", "hard_rock"};
static const char *const FLUID_WORDS[] = {
#define X(code, id) id,
    GW_FLUID_KIND_LIST(X)
#undef X
};

// clang-format off
static const gw_form_field SOIL_FIELDS[] = {
    {.key = "class", .offset = offsetof(gw_job_soil, soil_class), .type = GW_FORM_ID, .table = "soils.csv", .column = "id", OPTIONAL(0), .derived = true,
     .doc = "Class of soil or rock; the values below replace its own one by one."},
    {SOIL(level), .type = GW_FORM_CHOICE, WORDS(LEVEL_WORDS), OPTIONAL(GW_SOIL_TYPICAL), .derived = true,
     .doc = "End of the published range of the class: low is the cautious one for a loop; left out, typical."},
    {SOIL(conductivity_w_mk), QUANTITY(CONDUCTIVITY), LIMITS(0.1, 10), USUAL(0.3, 5), NOT_GIVEN, .doc = "Unfrozen, e.g. from a response test."},
    {SOIL(volumetric_heat_j_m3k), QUANTITY(VOLUMETRIC_HEAT), LIMITS(5e5, 5e6), USUAL(1e6, 4e6), NOT_GIVEN, .doc = "Heat capacity per volume, unfrozen."},
    {SOIL(frozen_conductivity_w_mk), QUANTITY(CONDUCTIVITY), LIMITS(0.1, 10), NOT_GIVEN, .doc = "With all freezable water frozen; without a class left out, as unfrozen."},
    {SOIL(frozen_volumetric_heat_j_m3k), QUANTITY(VOLUMETRIC_HEAT), LIMITS(5e5, 5e6), NOT_GIVEN, .doc = "With all freezable water frozen; without a class left out, as unfrozen."},
    {SOIL(latent_heat_j_m3), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(0, 3.34e8), NOT_GIVEN, .doc = "Of the water that freezes, J per m3 of ground; without a class left out, none."},
};
// clang-format on

static void finish_soil(gw_form_reader *reader, void *object)
{
    const gw_job_soil *const soil = object;
    if (gw_form_is_left_out(reader)) {
        gw_form_settle_text(reader, NULL, "class", "heavy-soil-damp");
    }
    const bool has_own =
        gw_job_is_given(soil->conductivity_w_mk) && gw_job_is_given(soil->volumetric_heat_j_m3k);
    if (soil->soil_class == NULL && !has_own) {
        gw_form_complain(reader, GW_ERR_MISSING, "class",
                         "found no complete soil, expected \"class\", or \"conductivity_w_mk\" and "
                         "\"volumetric_heat_j_m3k\"");
    } else if (!gw_form_has(reader, "level") && !gw_job_is_given(soil->conductivity_w_mk)) {
        gw_form_settle(reader, NULL, "level", GW_SOIL_TYPICAL);
    }
}

static const gw_form SOIL_FORM = {
    .name = "soil",
    .doc = "Thermal properties of one ground.",
    .rules = "A class, or at least conductivity_w_mk and volumetric_heat_j_m3k.",
    .size = sizeof(gw_job_soil),
    ROWS(SOIL_FIELDS),
    .finish = finish_soil,
};

// clang-format off
static const gw_form_field LAYER_FIELDS[] = {
    {GW_FORM_AT(gw_job_layer, thickness_m), QUANTITY(LENGTH), LIMITS(0, 500), .open_below = true, USUAL(0.3, 300), REQUIRED,
     .doc = "The last layer reaches as deep as the bores."},
    {GW_FORM_AT(gw_job_layer, soil), .type = GW_FORM_OBJECT, .form = &SOIL_FORM, REQUIRED, .doc = "What it is made of."},
};

static const gw_form LAYER_FORM = {
    .name = "layer",
    .doc = "One layer of the ground, from the surface down.",
    .size = sizeof(gw_job_layer),
    ROWS(LAYER_FIELDS),
};

static const gw_form_field GROUND_FIELDS[] = {
    {GROUND(soil), .type = GW_FORM_OBJECT, .form = &SOIL_FORM, .presence = GW_FORM_DEFAULT,
     .doc = "Around trenches, and around bores where neither rock nor layers are given; left out, heavy-soil-damp."},
    {GROUND(rock), .type = GW_FORM_OBJECT, .form = &SOIL_FORM, .home = GW_FORM_POINTED, OPTIONAL(0), .doc = "Around bores."},
    {GROUND(layers), .type = GW_FORM_LIST, .form = &LAYER_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_job_ground, layer_count),
     .least = 1, .most = 40, OPTIONAL(0), .doc = "Around bores, in place of rock: a driller's log."},
    {GROUND(drilling), .type = GW_FORM_CHOICE, WORDS(DRILLING_WORDS), DEFAULT(GW_JOB_DRILL_HARD_ROCK), .doc = "What the drill meets below the overburden, for the price."},
};
// clang-format on

static void finish_ground(gw_form_reader *reader, void *object)
{
    const gw_job_ground *const ground = object;
    if (ground->rock != NULL && ground->layer_count > 0) {
        gw_form_complain(reader, GW_ERR_KEY, "layers",
                         "found both \"rock\" and \"layers\", expected one of them");
    }
}

const gw_form GW_JOB_PRIV_GROUND = {
    .name = "ground",
    .doc = "What the loop lies in.",
    .rules = "At most one of rock and layers.",
    .size = sizeof(gw_job_ground),
    ROWS(GROUND_FIELDS),
    .finish = finish_ground,
};

void gw_job_apply_soil(const gw_job_soil *own, gw_soil *soil)
{
    const bool has_class = own->soil_class != NULL;
    if (gw_job_is_given(own->conductivity_w_mk)) {
        // A class keeps its ratio of frozen to unfrozen; without one there is none to keep.
        const double ratio = has_class && soil->conductivity_w_mk > 0.0
                                 ? soil->frozen_conductivity_w_mk / soil->conductivity_w_mk
                                 : 1.0;
        soil->conductivity_w_mk = own->conductivity_w_mk;
        soil->frozen_conductivity_w_mk = ratio * own->conductivity_w_mk;
    }
    if (gw_job_is_given(own->volumetric_heat_j_m3k)) {
        soil->volumetric_heat_j_m3k = own->volumetric_heat_j_m3k;
        if (!has_class) {
            soil->frozen_volumetric_heat_j_m3k = own->volumetric_heat_j_m3k;
        }
    }
    if (gw_job_is_given(own->frozen_conductivity_w_mk)) {
        soil->frozen_conductivity_w_mk = own->frozen_conductivity_w_mk;
    }
    if (gw_job_is_given(own->frozen_volumetric_heat_j_m3k)) {
        soil->frozen_volumetric_heat_j_m3k = own->frozen_volumetric_heat_j_m3k;
    }
    if (gw_job_is_given(own->latent_heat_j_m3)) {
        soil->latent_heat_j_m3 = own->latent_heat_j_m3;
    }
}

// ---------------------------------------------------------------- fluid and pipes

// clang-format off
static const gw_form_field FLUID_FIELDS[] = {
    {FLUID(kind), .type = GW_FORM_CHOICE, WORDS(FLUID_WORDS), DEFAULT(GW_FLUID_PROPYLENE_GLYCOL), .doc = "Water, or what is dissolved in it."},
    {FLUID(freeze_point_degc), QUANTITY(TEMPERATURE), LIMITS(-45, 0), USUAL(-20, 0), OPTIONAL(GW_FORM_NOT_GIVEN), .derived = true,
     .doc = "Freezing point wanted, from which the dose follows; left out with mass_frac, 9 K below limits.min_entering_degc."},
    {FLUID(mass_frac), QUANTITY(FRACTION), LIMITS(0, 0.7), USUAL(0.05, 0.4), NOT_GIVEN, .derived = true, .doc = "Antifreeze by mass of the mixture, in place of freeze_point_degc."},
};
// clang-format on

// The most that the property formulas of this kind reach.
static void check_dose(gw_form_reader *reader, const gw_job_fluid *fluid)
{
    double most = 0.0;
    const gw_form_cell cell = {"fluid_kinds.csv", "id", FLUID_WORDS[fluid->kind], "max_mass_frac"};
    if (gw_form_lookup(reader, &cell, &most) && fluid->mass_frac > most) {
        gw_form_complain(reader, GW_ERR_RANGE, "mass_frac",
                         "found %.3g of %s, expected at most %.3g", fluid->mass_frac, cell.key,
                         most);
    }
}

static void finish_fluid(gw_form_reader *reader, void *object)
{
    const gw_job_fluid *const fluid = object;
    const bool has_point = gw_job_is_given(fluid->freeze_point_degc);
    const bool has_dose = gw_job_is_given(fluid->mass_frac);
    if (has_point && has_dose) {
        gw_form_complain(
            reader, GW_ERR_KEY, "mass_frac",
            "found both \"freeze_point_degc\" and \"mass_frac\", expected one of them");
    }
    if (fluid->kind == GW_FLUID_WATER && has_point && fluid->freeze_point_degc < 0.0) {
        gw_form_complain(reader, GW_ERR_RANGE, "freeze_point_degc",
                         "found %.1f degC for plain water, expected 0 or an antifreeze",
                         fluid->freeze_point_degc);
    }
    if (has_dose) {
        check_dose(reader, fluid);
    }
}

const gw_form GW_JOB_PRIV_FLUID = {
    .name = "fluid",
    .doc = "What circulates in the loop.",
    .rules = "At most one of freeze_point_degc and mass_frac; plain water has neither.",
    .size = sizeof(gw_job_fluid),
    ROWS(FLUID_FIELDS),
    .finish = finish_fluid,
};

// clang-format off
static const gw_form_field PIPES_FIELDS[] = {
    {GW_FORM_AT(gw_job_pipes, header_pipe), PIPE_ID, .presence = GW_FORM_DEFAULT, .fallback_text = "1-1/4in-dr11", .doc = "Between the field and the house."},
    {GW_FORM_AT(gw_job_pipes, wire_to_water_frac), QUANTITY(FRACTION), LIMITS(0.02, 0.9), USUAL(0.1, 0.6), DEFAULT(0.3), .doc = "Of the circulator: hydraulic over electric power."},
};
// clang-format on

const gw_form GW_JOB_PRIV_PIPES = {
    .name = "pipes",
    .doc = "The hydraulics outside the field.",
    .size = sizeof(gw_job_pipes),
    ROWS(PIPES_FIELDS),
};
