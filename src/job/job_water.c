// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Tables of the loops that take their heat from water: pond and open well. The rooms' own checks
// say what fits.
#include "job/job_priv.h"
#include "loop/kind.h"

#include <string.h>

#define POND(member) GW_FORM_AT(gw_pond_plan, member)
#define OPEN(member) GW_FORM_AT(gw_open_well_plan, member)
#define WELL(member) .key = #member, .offset = offsetof(gw_open_well_plan, well.member)
#define AQUIFER(member) .key = #member, .offset = offsetof(gw_open_well_plan, well.aquifer.member)
#define ANALYSIS(member) GW_FORM_AT(gw_well_analysis, member)

static const char *const RETURN_WORDS[] = {"well", "surface"};
static const char *const BOUNDARY_WORDS[] = {"none", "recharge", "barrier"};

// ---------------------------------------------------------------- pond

// clang-format off
static const gw_form_field POND_FIELDS[] = {
    {POND(area_m2), QUANTITY(AREA), LIMITS(50, 1e6), USUAL(500, 200000), REQUIRED, .doc = "Surface in the driest, coldest time."},
    {POND(depth_m), QUANTITY(LENGTH), LIMITS(0.5, 30), USUAL(1.8, 15), REQUIRED, .doc = "Deepest, in that time."},
    {POND(mean_depth_m), QUANTITY(LENGTH), LIMITS(0.15, 30), OPTIONAL(0), .doc = "Volume over surface; left out, half the depth."},
    {POND(coil_depth_m), QUANTITY(LENGTH), LIMITS(0.3, 30), OPTIONAL(0), .doc = "Surface to the axis of the bundles; left out, 0.45 m off the bottom."},
    {POND(bundles), WHOLE(SIZE), LIMITS(1, 200), USUAL(1, 40), OPTIONAL(0), .doc = "Bundles of pipe, each a circuit; left out only where it is free."},
    {POND(bundle_m), QUANTITY(LENGTH), LIMITS(10, 500), USUAL(60, 200), OPTIONAL(0), .doc = "Pipe of each bundle; left out where it is free."},
    {POND(spacing_m), QUANTITY(LENGTH), LIMITS(0, 20), DEFAULT(0.9), .doc = "Clear water between bundles."},
    {POND(pipe), PIPE_ID, .presence = GW_FORM_DEFAULT, .fallback_text = "3/4in-dr11", .doc = "Of the bundles."},
    {POND(moving_water), .type = GW_FORM_YES_NO, DEFAULT(0), .doc = "A stream, floods or a strong current."},
    {POND(inflow_m3_s), QUANTITY(FLOW), LIMITS(0, 10), DEFAULT(0), .doc = "From springs and brooks, mean of the year; leaves at the surface."},
    {POND(inflow_degc), QUANTITY(TEMPERATURE), LIMITS(0, 25), DEFAULT(8), .doc = "Of that water."},
    {POND(snow_m), QUANTITY(LENGTH), LIMITS(0, 1), DEFAULT(0.15), .doc = "Mean depth of snow on the ice in winter."},
    {POND(clearness_m), QUANTITY(LENGTH), LIMITS(0.2, 15), DEFAULT(2), .doc = "Depth to which a white plate can be seen."},
};
// clang-format on

static void finish_pond(gw_form_reader *reader, void *object)
{
    gw_pond_plan pond = *(const gw_pond_plan *)object;
    double pipe_m = 0.0;
    const gw_form_cell cell = {"pipes.csv", "id", pond.pipe, "outer_diameter_m"};
    gw_err err = {0};
    if (!gw_form_lookup(reader, &cell, &pipe_m)) {
        return;
    }
    pond.bundles = pond.bundles > 0 ? pond.bundles : 1; // free
    if (gw_pond_check(&pond, pipe_m, &err) != GW_OK) {
        gw_job_priv_hand_on(reader, &err, "pond.");
    }
}

const gw_form GW_JOB_PRIV_POND = {
    .name = "pond",
    .doc = "Bundles of pipe on the bottom of a pond.",
    .rules = "mean_depth_m is a third of depth_m to depth_m; the bundles lie above the bottom. "
             "data/pond_rules.csv says what pond the trade takes.",
    .size = sizeof(gw_pond_plan),
    ROWS(POND_FIELDS),
    .finish = finish_pond,
};

// ---------------------------------------------------------------- open well

// clang-format off
static const gw_form_field ANALYSIS_FIELDS[] = {
    {ANALYSIS(key), .type = GW_FORM_ID, .table = "water_quality.csv", .column = "key", REQUIRED, .doc = "What was measured."},
    {ANALYSIS(value), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(-10, 1e6), REQUIRED, .doc = "In the unit of the table: mostly mg/l."},
};

static const gw_form ANALYSIS_FORM = {
    .name = "analysis",
    .doc = "One value of the water's analysis.",
    .size = sizeof(gw_well_analysis),
    ROWS(ANALYSIS_FIELDS),
};

static const gw_form_field WELL_FIELDS[] = {
    {WELL(water_degc), QUANTITY(TEMPERATURE), LIMITS(1, 30), USUAL(4, 18), OPTIONAL(0), .doc = "Of the ground water; left out, the ground's mean."},
    {WELL(yield_m3_s), QUANTITY(FLOW), LIMITS(1e-6, 1), USUAL(1e-4, 0.01), REQUIRED, .doc = "That the well gives for days, by test."},
    {WELL(static_level_m), QUANTITY(LENGTH), LIMITS(0, 300), USUAL(0, 60), REQUIRED, .doc = "Ground surface to the water at rest."},
    {WELL(pump_depth_m), QUANTITY(LENGTH), LIMITS(0.5, 600), USUAL(3, 150), REQUIRED, .doc = "Ground surface to the pump's inlet."},
    {WELL(well_diameter_m), QUANTITY(SMALL_LENGTH), LIMITS(0.05, 2), DEFAULT(0.15), .doc = "Of the bore or screen."},
    {AQUIFER(transmissivity_m2_s), QUANTITY(DIFFUSIVITY), LIMITS(1e-7, 10), USUAL(1e-5, 0.1), REQUIRED, .doc = "Of the aquifer, by pumping test."},
    {AQUIFER(storativity), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(1e-6, 0.4), DEFAULT(0.001), .doc = "Of the aquifer."},
    {WELL(thickness_m), QUANTITY(LENGTH), LIMITS(0.5, 300), DEFAULT(10), .doc = "Of the aquifer."},
    {WELL(aquifer_heat_j_m3k), QUANTITY(VOLUMETRIC_HEAT), LIMITS(1e6, 4e6), DEFAULT(2.5e6), .doc = "Of aquifer and water together."},
    {WELL(loss_s2_m5), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(0, 1e9), DEFAULT(0), .doc = "Well loss over flow squared, s2/m5, by a stepped test."},
    {WELL(boundary), .type = GW_FORM_CHOICE, WORDS(BOUNDARY_WORDS), DEFAULT(GW_WELL_NO_BOUNDARY), .doc = "Edge of the aquifer: none near, water that holds its level, or tight ground."},
    {WELL(boundary_m), QUANTITY(LENGTH), LIMITS(1, 1e5), OPTIONAL(0), .doc = "From the supply well to that edge."},
    {.key = "return_to", .offset = offsetof(gw_open_well_plan, well.back), .type = GW_FORM_CHOICE, WORDS(RETURN_WORDS), DEFAULT(GW_WELL_RETURN_WELL), .doc = "Where the water goes: a second well, or a pond, stream or drain."},
    {WELL(return_distance_m), QUANTITY(LENGTH), LIMITS(0, 5000), USUAL(5, 200), DEFAULT(30), .doc = "From the supply well to it."},
    {WELL(return_loss_s2_m5), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(0, 1e9), DEFAULT(0), .doc = "Loss of the return well over flow squared, s2/m5."},
    {WELL(gradient), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(0, 0.1), DEFAULT(0), .doc = "Natural slope of the water from supply to return."},
    {WELL(domestic_m3_s), QUANTITY(FLOW), LIMITS(0, 0.1), DEFAULT(0), .doc = "That the house draws from the same well besides."},
    {OPEN(depth_m), QUANTITY(LENGTH), LIMITS(1, 600), OPTIONAL(0), .doc = "Of each well as drilled, for its price; left out, 3 m below the pump."},
    {OPEN(existing), .type = GW_FORM_YES_NO, DEFAULT(0), .doc = "The supply well is there already and is not drilled."},
    {OPEN(greatest_change_k), QUANTITY(TEMPERATURE_DIFFERENCE), LIMITS(2, 12), USUAL(2.5, 6), DEFAULT(4), .doc = "By which the unit may cool the water."},
    {OPEN(least_leaving_degc), QUANTITY(TEMPERATURE), LIMITS(0.5, 10), DEFAULT(2), .doc = "Coldest water allowed out of the unit."},
    {OPEN(pump_efficiency), QUANTITY(FRACTION), LIMITS(0.1, 0.85), DEFAULT(0.4), .doc = "Of the well pump, wire to water."},
    {OPEN(pipe), PIPE_ID, .presence = GW_FORM_DEFAULT, .fallback_text = "1-1/4in-dr11", .doc = "Of the lines to the house and back."},
    {OPEN(material), .type = GW_FORM_ID, .table = "water_quality.csv", .column = "material", OPTIONAL(0), .doc = "Of the unit's coil, for the limits of the water; left out, only those of any material."},
    {OPEN(analysis), .type = GW_FORM_LIST, .form = &ANALYSIS_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_open_well_plan, analysis_count), .least = 1, .most = GW_WELL_RULES_MAX, OPTIONAL(0), .doc = "What the laboratory found in the water."},
};
// clang-format on

static void finish_well(gw_form_reader *reader, void *object)
{
    const gw_open_well_plan *const open = object;
    gw_well_plan well = open->well;
    gw_err err = {0};
    well.water_degc = well.water_degc > 0.0 ? well.water_degc : 10.0; // the ground's
    if (gw_well_check(&well, &err) != GW_OK) {
        gw_job_priv_hand_on(reader, &err, "well.");
    }
    if (open->depth_m > 0.0 && open->depth_m < well.pump_depth_m) {
        gw_form_complain(reader, GW_ERR_GEOMETRY, "depth_m",
                         "found a well %.1f m deep with its pump at %.1f m, expected the pump in "
                         "the well",
                         open->depth_m, well.pump_depth_m);
    }
    for (size_t i = 0; i < open->analysis_count; i++) {
        for (size_t j = 0; j < i; j++) {
            if (strcmp(open->analysis[i].key, open->analysis[j].key) == 0) {
                gw_form_complain(reader, GW_ERR_KEY, "analysis",
                                 "found \"%.40s\" twice, expected each value once",
                                 open->analysis[i].key);
            }
        }
    }
}

const gw_form GW_JOB_PRIV_WELL = {
    .name = "well",
    .doc = "Ground water pumped through the heat pump and given back.",
    .rules = "The pump hangs below the water at rest and in the well; boundary_m goes with a "
             "boundary; the return well is outside the supply well; each value of the analysis "
             "once.",
    .size = sizeof(gw_open_well_plan),
    ROWS(WELL_FIELDS),
    .finish = finish_well,
};
