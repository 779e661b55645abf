// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What is refused, and how: each case changes one thing in a good document, or gives a whole text,
// and names path, line, status and a piece of the message of the first error.
#include "job/job.h"

#include "harness.h"

#include <stdio.h>
#include <string.h>

// Line numbers of the cases below count in this text.
static const char GOOD[] =
    "{\n"
    "  \"groundwright\": 1,\n"
    "  \"name\": \"Test\",\n"
    "  \"site\": {\n"
    "    \"station\": \"halifax\",\n"
    "    \"usable_length_m\": 60, \"usable_width_m\": 30\n"
    "  },\n"
    "  \"house\": {\n"
    "    \"floor_area_m2\": 180,\n"
    "    \"envelope\": [\n"
    "      {\"name\": \"walls\", \"kind\": \"wall\", \"area_m2\": 150, \"insulation_m2k_w\": 3},\n"
    "      {\"name\": \"glass\", \"kind\": \"window\", \"area_m2\": 20, \"insulation_m2k_w\": "
    "\"R-3\"},\n"
    "      {\"name\": \"floor\", \"kind\": \"slab\", \"area_m2\": 90, \"insulation_m2k_w\": 2, "
    "\"perimeter_m\": 38}\n"
    "    ],\n"
    "    \"leakage\": {\"ach50\": 4}\n"
    "  },\n"
    "  \"plant\": {\"share_of_design_loss\": 0.9},\n"
    "  \"ground\": {\"soil\": {\"class\": \"loam\"}},\n"
    "  \"fluid\": {\"kind\": \"methanol\"},\n"
    "  \"limits\": {\"min_entering_degc\": 0, \"max_entering_degc\": 30},\n"
    "  \"loops\": [\n"
    "    {\"name\": \"a\", \"kind\": \"bores\",\n"
    "     \"bores\": {\"count\": 4, \"diameter_m\": 0.15}},\n"
    "    {\"name\": \"b\", \"kind\": \"trench\",\n"
    "     \"trench\": {\"count\": 3, \"depth_m\": 1.8, \"pipes\": 2}}\n"
    "  ],\n"
    "  \"money\": {\"compare_with\": \"propane\"}\n"
    "}\n";

typedef struct {
    const char *find; // NULL: `put` is the whole text
    const char *put;
    gw_status status;
    const char *path;
    int line;
    const char *piece; // of the message
} bad;

#define WHOLE(text) NULL, (text)
// The second loop, in one line instead of two.
#define OTHER_LOOP(text)                                                                           \
    "\"kind\": \"trench\",\n     \"trench\": {\"count\": 3, \"depth_m\": 1.8, \"pipes\": 2}}", text

// clang-format off
static const bad SYNTAX[] = {
    {WHOLE(""), GW_ERR_SYNTAX, "", 1, "empty text"},
    {WHOLE("  \n\t "), GW_ERR_SYNTAX, "", 1, "empty text"},
    {WHOLE("{"), GW_ERR_SYNTAX, "", 1, "ends too early"},
    {WHOLE("{\n  \"groundwright\": 1,\n  \"name\": \"x"), GW_ERR_SYNTAX, "", 3, "ends too early"},
    {WHOLE("{\"groundwright\": 1,}"), GW_ERR_SYNTAX, "", 1, "'}'"},
    {WHOLE("{\"groundwright\": NaN}"), GW_ERR_SYNTAX, "", 1, "NaN"},
    {WHOLE("{\"groundwright\": Infinity}"), GW_ERR_SYNTAX, "", 1, "Infinity"},
    {WHOLE("{\"groundwright\": 1} x"), GW_ERR_SYNTAX, "", 1, "end of file"},
    {WHOLE("{\"groundwright\": 01}"), GW_ERR_SYNTAX, "", 1, "found"},
    {WHOLE("{\"name\": \"\xff\xfe\"}"), GW_ERR_SYNTAX, "", 1, "UTF-8"},
    {WHOLE("{\"name\": \"a\\u0000b\"}"), GW_ERR_SYNTAX, "", 1, "found"},
    {WHOLE("{\n  // a comment\n  \"groundwright\": 1}"), GW_ERR_SYNTAX, "", 2, "found"},
    {WHOLE("[[[[[[[[[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]]]]]]]]"), GW_ERR_SYNTAX, "", 1, "deeper than 20"},
    {WHOLE("[]"), GW_ERR_TYPE, "", 1, "expected an object"},
    {WHOLE("7"), GW_ERR_TYPE, "", 1, "expected an object"},
    {WHOLE("null"), GW_ERR_TYPE, "", 1, "expected an object"},
    {"\"floor_area_m2\": 180", "\"floor_area_m2\": 1e999", GW_ERR_RANGE, "", 9, "1e999"},
    {"\"floor_area_m2\": 180", "\"floor_area_m2\": 180, \"floor_area_m2\": 190", GW_ERR_KEY, "", 9, "once"},
    {"\"kind\": \"wall\",", "\"kind\": \"wall\", \"kind\": \"roof\",", GW_ERR_KEY, "", 11, "once"},
    {"\"name\": \"Test\",", "\"name\": \"Test\"", GW_ERR_SYNTAX, "", 4, "found"},
};

static const bad VALUES[] = {
    // types
    {"180", "true", GW_ERR_TYPE, "house.floor_area_m2", 9, "found true, expected a number in m2"},
    {"180", "[180]", GW_ERR_TYPE, "house.floor_area_m2", 9, "a list of 1"},
    {"180", "null", GW_ERR_TYPE, "house.floor_area_m2", 9, "found null"},
    {"180", "{\"value\": 180}", GW_ERR_TYPE, "house.floor_area_m2", 9, "an object"},
    {"\"Test\"", "12", GW_ERR_TYPE, "name", 3, "found 12, expected a text"},
    {"\"halifax\"", "44.6", GW_ERR_TYPE, "site.station", 5, "expected a text"},
    {"\"kind\": \"wall\"", "\"kind\": 1", GW_ERR_TYPE, "house.envelope[0].kind", 11, "expected \"wall\""},
    {"\"count\": 4", "\"count\": 4.5", GW_ERR_TYPE, "loops[0].bores.count", 23, "a whole number"},
    {"\"count\": 4", "\"count\": \"4\"", GW_ERR_TYPE, "loops[0].bores.count", 23, "a whole number"},
    {"{\"class\": \"loam\"}", "\"loam\"", GW_ERR_TYPE, "ground.soil", 18, "expected an object"},
    {"{\"ach50\": 4}", "[]", GW_ERR_TYPE, "house.leakage", 15, "expected an object"},
    {"{\"compare_with\": \"propane\"}", "{\"programs\": {}}", GW_ERR_TYPE, "money.programs", 27, "expected a list"},
    // units
    {"180", "\"180 kg\"", GW_ERR_UNIT, "house.floor_area_m2", 9, "another dimension"},
    {"180", "\"180 m\"", GW_ERR_UNIT, "house.floor_area_m2", 9, "another dimension"},
    {"180", "\"180 blobs\"", GW_ERR_UNIT, "house.floor_area_m2", 9, "not known"},
    {"180", "\"\"", GW_ERR_SYNTAX, "house.floor_area_m2", 9, "empty text"},
    {"180", "\"about 180 m2\"", GW_ERR_SYNTAX, "house.floor_area_m2", 9, "expected a number"},
    {"180", "\"1,800 ft2\"", GW_ERR_SYNTAX, "house.floor_area_m2", 9, "no comma"},
    {"180", "\"nan m2\"", GW_ERR_SYNTAX, "house.floor_area_m2", 9, "expected a number"},
    {"\"R-3\"", "\"U-zero\"", GW_ERR_SYNTAX, "house.envelope[1].insulation_m2k_w", 12, "U-zero"},
    {"{\"ach50\": 4}", "{\"ach50\": \"4 per hour\"}", GW_ERR_TYPE, "house.leakage.ach50", 15, "expected a number"},
    {"\"min_entering_degc\": 0", "\"min_entering_degc\": \"5 m\"", GW_ERR_UNIT, "limits.min_entering_degc", 20, "degC"},
    // ranges
    {"\"area_m2\": 150", "\"area_m2\": -150", GW_ERR_RANGE, "house.envelope[0].area_m2", 11, "found -150 m2, expected 0.01 to 10000 m2"},
    {"\"area_m2\": 150", "\"area_m2\": 0", GW_ERR_RANGE, "house.envelope[0].area_m2", 11, "found 0 m2"},
    {"\"R-3\"", "\"R-3000\"", GW_ERR_RANGE, "house.envelope[1].insulation_m2k_w", 12, "\"R-3000\" (528.331 m2.K/W)"},
    {"180", "\"3 ft2\"", GW_ERR_RANGE, "house.floor_area_m2", 9, "\"3 ft2\" (0.278709 m2), expected 10 to 5000 m2"},
    {"\"usable_length_m\": 60", "\"usable_length_m\": 0", GW_ERR_RANGE, "site.usable_length_m", 6, "above 0"},
    {"\"usable_length_m\": 60", "\"usable_length_m\": \"-60 ft\"", GW_ERR_RANGE, "site.usable_length_m", 6, "above 0"},
    {"\"count\": 4", "\"count\": 0", GW_ERR_RANGE, "loops[0].bores.count", 23, "1 to 400"},
    {"\"count\": 4", "\"count\": -4", GW_ERR_RANGE, "loops[0].bores.count", 23, "1 to 400"},
    {"\"count\": 4", "\"count\": 1e30", GW_ERR_RANGE, "loops[0].bores.count", 23, "1 to 400"},
    {"\"depth_m\": 1.8", "\"depth_m\": \"15 ft\"", GW_ERR_RANGE, "loops[1].trench.depth_m", 25, "0.6 to 4 m"},
    {"\"share_of_design_loss\": 0.9", "\"share_of_design_loss\": 90", GW_ERR_RANGE, "plant.share_of_design_loss", 17, "0 to 1.5"},
    {"\"groundwright\": 1", "\"groundwright\": 2", GW_ERR_RANGE, "groundwright", 2, "found 2, expected 1"},
    {"\"Test\"", "\"\"", GW_ERR_RANGE, "name", 3, "0 bytes"},
    // names
    {"\"floor_area_m2\"", "\"flor_area_m2\"", GW_ERR_KEY, "house.flor_area_m2", 9, "expected \"floor_area_m2\"?"},
    {"\"pipes\": 2", "\"pipes\": 2, \"depth\": 1.8", GW_ERR_KEY, "loops[1].trench.depth", 25, "expected \"depth_m\"?"},
    {"\"pipes\": 2", "\"pipes\": 2, \"width_ft\": 2", GW_ERR_KEY, "loops[1].trench.width_ft", 25, "expected \"width_m\"?"},
    {"\"plant\": {", "\"plant\": {\"qwertyuiop\": 1, ", GW_ERR_KEY, "plant.qwertyuiop", 17, "expected one of heat_pump"},
    {"\"halifax\"", "\"halifacs\"", GW_ERR_KEY, "site.station", 5, "did you mean \"halifax\"?"},
    {"\"halifax\"", "\"atlantis-on-sea\"", GW_ERR_KEY, "site.station", 5, "stations.csv has no"},
    {"\"loam\"", "\"lome\"", GW_ERR_KEY, "ground.soil.class", 18, "did you mean \"loam\"?"},
    {"\"pipes\": 2", "\"pipes\": 2, \"pipe\": \"3/4in-dr12\"", GW_ERR_KEY, "loops[1].trench.pipe", 25, "did you mean \"3/4in-dr"},
    {"\"propane\"", "\"propan\"", GW_ERR_KEY, "money.compare_with", 27, "did you mean \"propane\"?"},
    {"\"plant\": {", "\"plant\": {\"heat_pump\": \"generic_two_stages\", ", GW_ERR_KEY, "plant.heat_pump", 17, "did you mean \"generic_two_stage\"?"},
    {"\"methanol\"", "\"metanol\"", GW_ERR_KEY, "fluid.kind", 19, "expected \"methanol\"?"},
    {"\"methanol\"", "\"brandy and soda\"", GW_ERR_KEY, "fluid.kind", 19, "expected \"water\", "},
    {"\"kind\": \"wall\"", "\"kind\": \"walls\"", GW_ERR_KEY, "house.envelope[0].kind", 11, "expected \"wall\"?"},
};

static const bad RULES[] = {
    // missing
    {"\"groundwright\": 1,", "", GW_ERR_MISSING, "groundwright", 1, "found no \"groundwright\""},
    {"\"floor_area_m2\": 180,", "", GW_ERR_MISSING, "house.floor_area_m2", 8, "found no \"floor_area_m2\""},
    {"\"kind\": \"wall\", ", "", GW_ERR_MISSING, "house.envelope[0].kind", 11, "found no \"kind\""},
    {"\"money\": {\"compare_with\": \"propane\"}", "\"money\": {\"fuel_prices\": [{\"fuel\": \"propane\"}]}", GW_ERR_MISSING, "money.fuel_prices[0].price", 27, "found no \"price\""},
    {"\"station\": \"halifax\",", "", GW_ERR_MISSING, "site.station", 4, "expected a station"},
    {"\"station\": \"halifax\",", "\"latitude_deg\": 46,", GW_ERR_MISSING, "site.monthly_mean_degc", 4, "all the climate values"},
    {"\"count\": 4, ", "", GW_ERR_MISSING, "loops[0].bores.count", 23, "unless \"free\" is \"count\""},
    {"\"kind\": \"trench\",", "\"kind\": \"trench\", \"free\": \"nothing\",", GW_ERR_MISSING, "loops[1].trench.length_m", 25, "unless \"free\" is \"length\""},
    {"\"loops\": [", "\"loops\": [], \"x\": [", GW_ERR_RANGE, "loops", 21, "a list of 0"},
    {", \"usable_width_m\": 30", "", GW_ERR_MISSING, "site.usable_width_m", 4, "both or none"},
    {", \"perimeter_m\": 38", "", GW_ERR_MISSING, "house.envelope[2].perimeter_m", 13, "of a slab"},
    {"{\"class\": \"loam\"}", "{\"conductivity_w_mk\": 1.2}", GW_ERR_MISSING, "ground.soil.class", 18, "volumetric_heat_j_m3k"},
    // between members
    {"\"min_entering_degc\": 0, \"max_entering_degc\": 30", "\"min_entering_degc\": 12, \"max_entering_degc\": 16", GW_ERR_RANGE, "limits.max_entering_degc", 20, "5 K more"},
    {"\"area_m2\": 20,", "\"area_m2\": 20, \"perimeter_m\": 4,", GW_ERR_KEY, "house.envelope[1].perimeter_m", 12, "of a window, expected none"},
    {"\"area_m2\": 150,", "\"area_m2\": 150, \"solar_gain_frac\": 0.5,", GW_ERR_KEY, "house.envelope[0].solar_gain_frac", 11, "of a wall"},
    {"\"area_m2\": 20,", "\"area_m2\": 400,", GW_ERR_GEOMETRY, "house.envelope", 10, "400 m2 of windows"},
    {"{\"ach50\": 4}", "{\"ach50\": 4, \"natural_ach\": 0.2}", GW_ERR_KEY, "house.leakage.natural_ach", 15, "only one of"},
    {"\"floor_area_m2\": 180,", "\"floor_area_m2\": 180, \"design_loss_w\": 9000,", GW_ERR_KEY, "house.design_loss_w", 9, "expected one of them"},
    {"\"floor_area_m2\": 180,", "\"floor_area_m2\": 180, \"design_gain_w\": 9000,", GW_ERR_MISSING, "house.design_loss_w", 8, "alone"},
    {"\"floor_area_m2\": 180,", "\"floor_area_m2\": 180, \"cooling_setpoint_degc\": 20,", GW_ERR_RANGE, "house.cooling_setpoint_degc", 9, "more than the heating setpoint"},
    {"\"floor_area_m2\": 180,", "\"floor_area_m2\": 180, \"setback_degc\": 18,", GW_ERR_MISSING, "house.setback_start_h", 8, "part of a setback"},
    {"\"count\": 4,", "\"count\": 4, \"places\": [{\"x_m\": 0, \"y_m\": 0}, {\"x_m\": 6, \"y_m\": 0}],", GW_ERR_GEOMETRY, "loops[0].bores.places", 23, "places for 2 bores"},
    {"\"count\": 4,", "\"places\": [{\"x_m\": 0, \"y_m\": 0},\n{\"x_m\": 0, \"y_m\": 0.1}],", GW_ERR_GEOMETRY, "loops[0].bores.places[1]", 24, "two bores apart"},
    {"\"diameter_m\": 0.15", "\"diameter_m\": 0.08", GW_ERR_GEOMETRY, "loops[0].bores.pipe", 23, "wider bore"},
    {"\"diameter_m\": 0.15", "\"diameter_m\": 0.15, \"shank_m\": 0.12", GW_ERR_GEOMETRY, "loops[0].bores.shank_m", 23, "between legs"},
    {"\"diameter_m\": 0.15", "\"depth_m\": 200", GW_ERR_RANGE, "loops[0].bores.depth_m", 23, "max_depth_m"},
    {"\"diameter_m\": 0.15", "\"rows\": 5", GW_ERR_GEOMETRY, "loops[0].bores.rows", 23, "no more rows than bores"},
    {"\"pipes\": 2", "\"pipes\": 6, \"width_m\": 0.1", GW_ERR_GEOMETRY, "loops[1].trench.pipes", 25, "overlap"},
    {"\"pipes\": 2", "\"pipes\": 6, \"arrangement\": \"stacked\"", GW_ERR_GEOMETRY, "loops[1].trench.pipe_gap_m", 25, "top pipe"},
    {"\"pipes\": 2", "\"pipes\": 3, \"arrangement\": \"two_sides\"", GW_ERR_GEOMETRY, "loops[1].trench.pipes", 25, "even number"},
    {"\"pipes\": 2", "\"pipes\": 2, \"spacing_m\": 1, \"width_m\": 1.2", GW_ERR_GEOMETRY, "loops[1].trench.spacing_m", 25, "not to overlap"},
    {"\"kind\": \"trench\"", "\"kind\": \"bores\"", GW_ERR_KEY, "loops[1].trench", 25, "expected only \"bores\""},
    {OTHER_LOOP("\"kind\": \"coil\", \"coil\": {\"count\": 2, \"width_m\": 0.5}}"), GW_ERR_GEOMETRY, "loops[1].coil.width_m", 24, "need a trench"},
    {OTHER_LOOP("\"kind\": \"coil\", \"coil\": {\"count\": 2, \"depth_m\": 0.9, \"lie\": \"upright\"}}"), GW_ERR_GEOMETRY, "loops[1].coil.depth_m", 24, "top of the rings"},
    {OTHER_LOOP("\"kind\": \"coil\", \"coil\": {\"count\": 2, \"pitch_m\": 0.05}}"), GW_ERR_GEOMETRY, "loops[1].coil.pitch_m", 24, "two pipe diameters"},
    {OTHER_LOOP("\"kind\": \"coil\", \"coil\": {\"count\": 2, \"spacing_m\": 0.9}}"), GW_ERR_GEOMETRY, "loops[1].coil.spacing_m", 24, "between centres"},
    {OTHER_LOOP("\"kind\": \"coil\", \"coil\": {\"length_m\": 30}}"), GW_ERR_MISSING, "loops[1].coil.count", 24, "unless \"free\" is \"count\""},
    {OTHER_LOOP("\"kind\": \"coil\", \"coil\": {\"count\": 2, \"ring_diameter_m\": 3}}"), GW_ERR_RANGE, "loops[1].coil.ring_diameter_m", 24, "0.3 to 2"},
    {OTHER_LOOP("\"kind\": \"pond\", \"pond\": {\"depth_m\": 3, \"bundles\": 3}}"), GW_ERR_MISSING, "loops[1].pond.area_m2", 24, "found no"},
    {OTHER_LOOP("\"kind\": \"pond\", \"pond\": {\"area_m2\": 2000, \"depth_m\": 0.2, \"bundles\": 3}}"), GW_ERR_RANGE, "loops[1].pond.depth_m", 24, "0.5 to 30"},
    {OTHER_LOOP("\"kind\": \"pond\", \"pond\": {\"area_m2\": 2000, \"depth_m\": 3, \"mean_depth_m\": 0.5, \"bundles\": 3}}"), GW_ERR_GEOMETRY, "loops[1].pond.mean_depth_m", 24, "mean depth"},
    {OTHER_LOOP("\"kind\": \"pond\", \"pond\": {\"area_m2\": 2000, \"depth_m\": 3, \"coil_depth_m\": 3.2, \"bundles\": 3}}"), GW_ERR_GEOMETRY, "loops[1].pond.coil_depth_m", 24, "off the bottom"},
    {OTHER_LOOP("\"kind\": \"pond\", \"pond\": {\"area_m2\": 2000, \"depth_m\": 3}}"), GW_ERR_MISSING, "loops[1].pond.bundles", 24, "unless \"free\" is \"count\""},
    {OTHER_LOOP("\"kind\": \"pond\", \"free\": \"count\", \"pond\": {\"area_m2\": 2000, \"depth_m\": 3}}"), GW_ERR_MISSING, "loops[1].pond.bundle_m", 24, "unless \"free\" is \"length\""},
    {OTHER_LOOP("\"kind\": \"well\", \"well\": {\"yield_m3_s\": 1e-3, \"static_level_m\": 12, \"pump_depth_m\": 10, \"transmissivity_m2_s\": 1e-3}}"), GW_ERR_GEOMETRY, "loops[1].well.pump_depth_m", 24, "above the water"},
    {OTHER_LOOP("\"kind\": \"well\", \"well\": {\"yield_m3_s\": 0, \"static_level_m\": 2, \"pump_depth_m\": 10, \"transmissivity_m2_s\": 1e-3}}"), GW_ERR_RANGE, "loops[1].well.yield_m3_s", 24, "found"},
    {OTHER_LOOP("\"kind\": \"well\", \"well\": {\"static_level_m\": 2, \"pump_depth_m\": 10, \"transmissivity_m2_s\": 1e-3}}"), GW_ERR_MISSING, "loops[1].well.yield_m3_s", 24, "found no"},
    {OTHER_LOOP("\"kind\": \"well\", \"well\": {\"yield_m3_s\": 1e-3, \"static_level_m\": 2, \"pump_depth_m\": 10, \"transmissivity_m2_s\": 1e-3, \"boundary\": \"barrier\"}}"), GW_ERR_RANGE, "loops[1].well.boundary_m", 24, "edge"},
    {OTHER_LOOP("\"kind\": \"well\", \"well\": {\"yield_m3_s\": 1e-3, \"static_level_m\": 2, \"pump_depth_m\": 10, \"transmissivity_m2_s\": 1e-3, \"return_distance_m\": 0.1}}"), GW_ERR_GEOMETRY, "loops[1].well.return_distance_m", 24, "return well"},
    {OTHER_LOOP("\"kind\": \"well\", \"well\": {\"yield_m3_s\": 1e-3, \"static_level_m\": 2, \"pump_depth_m\": 10, \"transmissivity_m2_s\": 1e-3, \"depth_m\": 5}}"), GW_ERR_GEOMETRY, "loops[1].well.depth_m", 24, "pump in the well"},
    {OTHER_LOOP("\"kind\": \"well\", \"well\": {\"yield_m3_s\": 1e-3, \"static_level_m\": 2, \"pump_depth_m\": 10, \"transmissivity_m2_s\": 1e-3, \"analysis\": [{\"key\": \"irn_mg_l\", \"value\": 1}]}}"), GW_ERR_KEY, "loops[1].well.analysis[0].key", 24, "iron_mg_l"},
    {OTHER_LOOP("\"kind\": \"well\", \"well\": {\"yield_m3_s\": 1e-3, \"static_level_m\": 2, \"pump_depth_m\": 10, \"transmissivity_m2_s\": 1e-3, \"analysis\": [{\"key\": \"ph\", \"value\": 7}, {\"key\": \"ph\", \"value\": 8}]}}"), GW_ERR_KEY, "loops[1].well.analysis", 24, "twice"},
    {OTHER_LOOP("\"kind\": \"well\", \"free\": \"count\", \"well\": {\"yield_m3_s\": 1e-3, \"static_level_m\": 2, \"pump_depth_m\": 10, \"transmissivity_m2_s\": 1e-3}}"), GW_ERR_KEY, "loops[1].free", 24, "none to find"},
    {OTHER_LOOP("\"kind\": \"mixed\", \"parts\": [{\"kind\": \"coil\", \"coil\": {\"count\": 1, \"length_m\": 20}}]}"), GW_ERR_RANGE, "loops[1].parts", 24, "a list of 1"},
    {OTHER_LOOP("\"kind\": \"mixed\", \"parts\": [{\"kind\": \"coil\", \"coil\": {\"count\": 1, \"length_m\": 20}}, {\"kind\": \"pond\", \"pond\": {}}]}"), GW_ERR_KEY, "loops[1].parts[1].kind", 24, "coil"},
    {OTHER_LOOP("\"kind\": \"mixed\", \"parts\": [{\"kind\": \"coil\", \"coil\": {\"count\": 1}}, {\"kind\": \"trench\", \"trench\": {\"count\": 1, \"length_m\": 20}}]}"), GW_ERR_MISSING, "loops[1].parts[0].coil.length_m", 24, "unless \"free\" is \"length\""},
    {OTHER_LOOP("\"kind\": \"mixed\", \"parts\": [{\"kind\": \"coil\", \"free\": \"length\", \"coil\": {\"count\": 1}}, {\"kind\": \"trench\", \"free\": \"length\", \"trench\": {\"count\": 1}}]}"), GW_ERR_KEY, "loops[1].parts[1].free", 24, "second part"},
    {OTHER_LOOP("\"kind\": \"mixed\", \"bores\": {\"count\": 1}}"), GW_ERR_KEY, "loops[1].bores", 24, "expected only \"parts\""},
    {"\"pipes\": 2", "\"pipes\": 2, \"fill_m\": 2", GW_ERR_GEOMETRY, "loops[1].trench.fill_m", 25, "pipes in the ground"},
    {"\"pipes\": 2", "\"pipes\": 2, \"backfill_height_m\": 0.5", GW_ERR_MISSING, "loops[1].trench.backfill_w_mk", 25, "conductivity"},
    {"\"pipes\": 2", "\"pipes\": 2, \"backfill_w_mk\": 20", GW_ERR_RANGE, "loops[1].trench.backfill_w_mk", 25, "0.1 to 5"},
    {"\"name\": \"b\"", "\"name\": \"a\"", GW_ERR_KEY, "loops[1].name", 24, "twice"},
    {"\"kind\": \"methanol\"", "\"kind\": \"methanol\", \"mass_frac\": 0.2, \"freeze_point_degc\": -9", GW_ERR_KEY, "fluid.mass_frac", 19, "expected one of them"},
    {"\"kind\": \"methanol\"", "\"kind\": \"water\", \"freeze_point_degc\": -9", GW_ERR_RANGE, "fluid.freeze_point_degc", 19, "plain water"},
    {"\"kind\": \"methanol\"", "\"kind\": \"water\", \"mass_frac\": 0.1", GW_ERR_RANGE, "fluid.mass_frac", 19, "of water"},
    {"\"kind\": \"methanol\"", "\"kind\": \"methanol\", \"mass_frac\": \"69 %\"", GW_ERR_RANGE, "fluid.mass_frac", 19, "of methanol"},
    {"\"plant\": {", "\"plant\": {\"hot_water\": {\"hot_degc\": 25, \"cold_degc\": 28}, ", GW_ERR_RANGE, "plant.hot_water.hot_degc", 17, "cold water"},
    {"\"plant\": {", "\"plant\": {\"own_heat_pump\": {\"name\": \"x\", \"rated_flow_m3_s\": 5e-4}, ", GW_ERR_MISSING, "plant.own_heat_pump.heating", 17, "heating curve"},
    {"\"plant\": {", "\"plant\": {\"own_heat_pump\": {\"name\": \"x\", \"rated_flow_m3_s\": 5e-4, \"heating\": [\n{\"entering_water_degc\": 10, \"capacity_w\": 9000, \"power_w\": 2000},\n{\"entering_water_degc\": 0, \"capacity_w\": 7000, \"power_w\": 2000}]}, ", GW_ERR_RANGE, "plant.own_heat_pump.heating[1]", 19, "must be above"},
    {"\"money\": {", "\"money\": {\"tariff\": {}, ", GW_ERR_MISSING, "money.tariff.blocks", 27, "blocks or periods"},
    {"\"money\": {", "\"money\": {\"fuel_prices\": [{\"fuel\": \"propane\", \"price\": 1},\n{\"fuel\": \"propane\", \"price\": 2}], ", GW_ERR_KEY, "money.fuel_prices[1].fuel", 28, "twice"},
    {"\"money\": {", "\"money\": {\"programs\": [{\"key\": \"a\", \"name\": \"A\", \"kind\": \"match\", \"match_key\": \"b\", \"share_frac\": 1}], ", GW_ERR_KEY, "money.programs[0].match_key", 27, "earlier program"},
    {"\"money\": {", "\"money\": {\"programs\": [{\"key\": \"a\", \"name\": \"A\", \"kind\": \"fixed\"}], ", GW_ERR_MISSING, "money.programs[0].amount", 27, "of kind \"fixed\""},
    {"\"money\": {", "\"money\": {\"work\": {\"work_start\": \"2027-02-30\"}, ", GW_ERR_RANGE, "money.work.work_start", 27, "2027-02-30"},
    {"\"money\": {", "\"money\": {\"work\": {\"work_start\": \"3 May 2027\"}, ", GW_ERR_SYNTAX, "money.work.work_start", 27, "a day such as"},
    {"\"station\": \"halifax\",", "\"station\": \"halifax\", \"monthly_mean_degc\": [1, 2, 3],", GW_ERR_RANGE, "site.monthly_mean_degc", 5, "a list of 3"},
    {"\"station\": \"halifax\",", "\"station\": \"halifax\", \"monthly_mean_degc\": [-5,-5,0,5,10,15,\n99,19,15,9,4,-2],", GW_ERR_RANGE, "site.monthly_mean_degc[6]", 6, "found 99 degC"},
};
// clang-format on

static gw_units *units;

static void open_units(void)
{
    units = gw_units_create(NULL);
    ck_assert_ptr_nonnull(units);
}

static void close_units(void)
{
    gw_units_destroy(units);
}

// The good text with one piece replaced.
static size_t make_text(const bad *b, char *out, size_t size)
{
    if (b->find == NULL) {
        return (size_t)snprintf(out, size, "%s", b->put);
    }
    const char *const at = strstr(GOOD, b->find);
    ck_assert_msg(at != NULL, "the good document has no %s", b->find);
    return (size_t)snprintf(out, size, "%.*s%s%s", (int)(at - GOOD), GOOD, b->put,
                            at + strlen(b->find));
}

static void check_case(const bad *b)
{
    char text[8192];
    gw_arena *const arena = gw_arena_create(0);
    const gw_job_source source = {
        .arena = arena, .units = units, .text = text, .length = make_text(b, text, sizeof text)};
    gw_form_report report;
    gw_err err = {0};
    const gw_job *job = NULL;
    const gw_status st = gw_job_read(&source, &job, &report, &err);
    const char *const name = b->put;
    ck_assert_msg(st != GW_OK && report.errors.count > 0, "taken: %s", name);
    const gw_err *const first = &report.errors.items[0];
    ck_assert_msg(st == first->code && strcmp(err.text, first->text) == 0,
                  "err is not the first error: %s", name);
    ck_assert_msg(st == b->status && strcmp(first->field, b->path) == 0 && first->line == b->line &&
                      strstr(first->text, b->piece) != NULL,
                  "for %s\n got %s, \"%s\" line %d: %s\nwant %s, \"%s\" line %d: …%s…", name,
                  gw_status_text(st), first->field, first->line, first->text,
                  gw_status_text(b->status), b->path, b->line, b->piece);
    ck_assert_msg(first->column > 0, "no column: %s", name);
    ck_assert_ptr_null(job);
    gw_arena_destroy(arena);
}

START_TEST(text_that_is_no_json_is_refused)
{
    check_case(&SYNTAX[_i]);
}
END_TEST

START_TEST(wrong_values_are_refused_at_their_place)
{
    check_case(&VALUES[_i]);
}
END_TEST

START_TEST(rules_between_members_are_kept)
{
    check_case(&RULES[_i]);
}
END_TEST

START_TEST(the_good_document_itself_is_taken_without_warning)
{
    gw_arena *const arena = gw_arena_create(0);
    const gw_job_source source = {
        .arena = arena, .units = units, .text = GOOD, .length = sizeof GOOD - 1};
    gw_form_report report;
    gw_err err = {0};
    const gw_job *job = NULL;
    const gw_status st = gw_job_read(&source, &job, &report, &err);
    ck_assert_msg(st == GW_OK, "%s: %s", err.field, err.text);
    ck_assert_uint_eq(report.warnings.count, 0);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(all_errors_of_a_document_are_collected_in_order_of_lines)
{
    static const char TEXT[] = "{\n"
                               "  \"groundwright\": 1, \"name\": \"x\",\n"
                               "  \"site\": {\"station\": \"nowhere-at-all\"},\n"
                               "  \"house\": {\"floor_area_m2\": -1, \"flor\": 2,\n"
                               "    \"storeys\": 9},\n"
                               "  \"loops\": [{\"name\": \"a\", \"kind\": \"river\"}]\n"
                               "}\n";
    gw_arena *const arena = gw_arena_create(0);
    const gw_job_source source = {
        .arena = arena, .units = units, .text = TEXT, .length = sizeof TEXT - 1};
    gw_form_report report;
    const gw_job *job = NULL;
    ck_assert_int_eq(gw_job_read(&source, &job, &report, NULL), GW_ERR_KEY);
    ck_assert_uint_eq(report.errors.count, 5);
    static const int LINES[] = {3, 4, 4, 5, 6};
    for (size_t i = 0; i < 5; i++) {
        ck_assert_int_eq(report.errors.items[i].line, LINES[i]);
    }
    ck_assert_str_eq(report.errors.items[1].field, "house.floor_area_m2");
    ck_assert_int_eq(report.errors.items[1].column, 30);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(a_flood_of_errors_is_cut_off_and_counted)
{
    char text[16384] = "{\"groundwright\": 1";
    size_t length = strlen(text);
    for (int i = 0; i < 200; i++) {
        length += (size_t)snprintf(text + length, sizeof text - length, ",\n\"bad%d\": 1", i);
    }
    length += (size_t)snprintf(text + length, sizeof text - length, "}");
    gw_arena *const arena = gw_arena_create(0);
    const gw_job_source source = {.arena = arena, .units = units, .text = text, .length = length};
    gw_form_report report;
    const gw_job *job = NULL;
    ck_assert_int_ne(gw_job_read(&source, &job, &report, NULL), GW_OK);
    ck_assert_uint_eq(report.errors.count, GW_FORM_ERRORS_MAX);
    ck_assert_uint_ge(report.unlisted, 150);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(a_text_of_many_megabytes_is_refused)
{
    const size_t length = GW_NODE_TEXT_MAX + 1;
    char *const text = malloc(length);
    ck_assert_ptr_nonnull(text);
    memset(text, ' ', length);
    gw_arena *const arena = gw_arena_create(0);
    const gw_job_source source = {.arena = arena, .units = units, .text = text, .length = length};
    gw_form_report report;
    gw_err err = {0};
    const gw_job *job = NULL;
    ck_assert_int_eq(gw_job_read(&source, &job, &report, &err), GW_ERR_SYNTAX);
    ck_assert_ptr_nonnull(strstr(err.text, "4 MiB"));
    gw_arena_destroy(arena);
    free(text);
}
END_TEST

START_TEST(quoted_pieces_of_the_document_stay_good_text)
{
    // 59 letters, then a character of three bytes: the cut at 60 bytes goes through it.
    static const char TEXT[] =
        "{\"groundwright\": 1, \"a\\nb\": 1, \"currency\": "
        "\"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\xe2\x82\xac\", \"loops\": "
        "\"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\xe2\x82\xac\", \"limits\": "
        "\"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\xe2\x82\xac\"}";
    gw_arena *const arena = gw_arena_create(0);
    const gw_job_source source = {
        .arena = arena, .units = units, .text = TEXT, .length = sizeof TEXT - 1};
    gw_form_report report;
    const gw_job *job = NULL;
    ck_assert_int_ne(gw_job_read(&source, &job, &report, NULL), GW_OK);
    bool saw_limits = false;
    for (size_t i = 0; i < report.errors.count; i++) {
        const gw_err *const e = &report.errors.items[i];
        for (const char *s = e->text; *s != '\0'; s++) {
            ck_assert_msg((unsigned char)*s >= 0x20, "control character in: %s", e->text);
            ck_assert_msg((unsigned char)*s != 0xe2 || (unsigned char)s[2] == 0xa6 ||
                              (unsigned char)s[2] == 0xac,
                          "half a character in: %s", e->text);
        }
        saw_limits = saw_limits || strcmp(e->field, "limits") == 0;
        ck_assert_ptr_null(strchr(e->field, '\n'));
    }
    ck_assert(saw_limits);
    gw_arena_destroy(arena);
}
END_TEST

// A NUL that no JSON escape hides.
START_TEST(a_raw_nul_is_refused)
{
    static const char TEXT[] = "{\"groundwright\": 1, \"name\": \"a\0b\"}";
    gw_arena *const arena = gw_arena_create(0);
    const gw_job_source source = {
        .arena = arena, .units = units, .text = TEXT, .length = sizeof TEXT - 1};
    gw_form_report report;
    const gw_job *job = NULL;
    ck_assert_int_eq(gw_job_read(&source, &job, &report, NULL), GW_ERR_SYNTAX);
    gw_arena_destroy(arena);
}
END_TEST

// Every prefix of a good document, and every single byte of it replaced, is read or refused, never
// a crash: the sanitizers watch.
START_TEST(damaged_documents_never_crash)
{
    static const char WRONG[] = {'"', '{', ']', '0', '-', 'x', '\\', '\n', (char)0xC3, '\0'};
    char text[sizeof GOOD];
    for (size_t i = 0; i + 1 < sizeof GOOD; i += 3) {
        gw_arena *const arena = gw_arena_create(0);
        memcpy(text, GOOD, sizeof GOOD);
        text[i] = WRONG[i / 3 % sizeof WRONG];
        const gw_job_source whole = {
            .arena = arena, .units = units, .text = text, .length = sizeof GOOD - 1};
        const gw_job_source start = {.arena = arena, .units = units, .text = GOOD, .length = i};
        gw_form_report report;
        const gw_job *job = NULL;
        gw_err err = {0};
        if (gw_job_read(&whole, &job, &report, &err) != GW_OK) {
            ck_assert_int_gt(err.line, 0);
        }
        ck_assert_int_ne(gw_job_read(&start, &job, &report, NULL), GW_OK);
        gw_arena_destroy(arena);
    }
}
END_TEST

#define COUNT(table) (int)(sizeof(table) / sizeof((table)[0]))

int main(void)
{
    Suite *const suite = suite_create("bad input");
    TCase *const tcase = tcase_create("all");
    tcase_set_timeout(tcase, 60);
    tcase_add_unchecked_fixture(tcase, open_units, close_units);
    tcase_add_loop_test(tcase, text_that_is_no_json_is_refused, 0, COUNT(SYNTAX));
    tcase_add_loop_test(tcase, wrong_values_are_refused_at_their_place, 0, COUNT(VALUES));
    tcase_add_loop_test(tcase, rules_between_members_are_kept, 0, COUNT(RULES));
    tcase_add_test(tcase, the_good_document_itself_is_taken_without_warning);
    tcase_add_test(tcase, all_errors_of_a_document_are_collected_in_order_of_lines);
    tcase_add_test(tcase, a_flood_of_errors_is_cut_off_and_counted);
    tcase_add_test(tcase, a_text_of_many_megabytes_is_refused);
    tcase_add_test(tcase, quoted_pieces_of_the_document_stay_good_text);
    tcase_add_test(tcase, a_raw_nul_is_refused);
    tcase_add_test(tcase, damaged_documents_never_crash);
    suite_add_tcase(suite, tcase);
    return harness_run(suite);
}
