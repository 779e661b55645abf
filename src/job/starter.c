// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "job/starter.h"

// clang-format off
static const char STARTER[] =
    "{\n"
    "  \"$schema\": \"job.schema.json\",\n"
    "  \"groundwright\": 1,\n"
    "  \"name\": \"New job\",\n"
    "  \"notes\": \"\",\n"
    "  \"site\": {\n"
    "    \"station\": \"halifax\",\n"
    "    \"usable_length_m\": \"200 ft\",\n"
    "    \"usable_width_m\": \"100 ft\",\n"
    "    \"entry_distance_m\": \"40 ft\"\n"
    "  },\n"
    "  \"house\": {\n"
    "    \"floor_area_m2\": \"2000 ft2\",\n"
    "    \"storeys\": 2,\n"
    "    \"envelope\": [\n"
    "      {\"name\": \"walls\", \"kind\": \"wall\", \"area_m2\": \"1700 ft2\", \"insulation_m2k_w\": \"R-16\"},\n"
    "      {\"name\": \"attic\", \"kind\": \"roof\", \"area_m2\": \"1000 ft2\", \"insulation_m2k_w\": \"R-40\"},\n"
    "      {\"name\": \"windows\", \"kind\": \"window\", \"area_m2\": \"200 ft2\", \"insulation_m2k_w\": \"R-3\"},\n"
    "      {\"name\": \"doors\", \"kind\": \"door\", \"area_m2\": \"40 ft2\", \"insulation_m2k_w\": \"R-5\"},\n"
    "      {\"name\": \"basement walls\", \"kind\": \"basement_wall\", \"area_m2\": \"850 ft2\", \"insulation_m2k_w\": \"R-12\", \"depth_m\": \"6 ft\"},\n"
    "      {\"name\": \"basement floor\", \"kind\": \"basement_floor\", \"area_m2\": \"1000 ft2\", \"insulation_m2k_w\": \"R-2.5\", \"depth_m\": \"6 ft\", \"perimeter_m\": \"130 ft\"}\n"
    "    ],\n"
    "    \"leakage\": {\"tightness\": \"average\"}\n"
    "  },\n"
    "  \"plant\": {\n"
    "    \"heat_pump\": \"generic_two_stage\",\n"
    "    \"share_of_design_loss\": \"90 %\"\n"
    "  },\n"
    "  \"ground\": {\n"
    "    \"soil\": {\"class\": \"heavy-soil-damp\"},\n"
    "    \"rock\": {\"class\": \"average-rock\"}\n"
    "  },\n"
    "  \"fluid\": {\"kind\": \"propylene_glycol\"},\n"
    "  \"limits\": {\"min_entering_degc\": \"30 degF\", \"max_entering_degc\": \"90 degF\", \"years\": 25},\n"
    "  \"loops\": [\n"
    "    {\n"
    "      \"name\": \"trenches\",\n"
    "      \"kind\": \"trench\",\n"
    "      \"trench\": {\"count\": 4, \"depth_m\": \"6 ft\", \"width_m\": \"2 ft\", \"spacing_m\": \"10 ft\", \"pipes\": 2}\n"
    "    },\n"
    "    {\n"
    "      \"name\": \"bores\",\n"
    "      \"kind\": \"bores\",\n"
    "      \"bores\": {\"count\": 4, \"spacing_m\": \"20 ft\", \"max_depth_m\": \"400 ft\"}\n"
    "    }\n"
    "  ],\n"
    "  \"money\": {\n"
    "    \"electricity_price_per_kwh\": 0.15,\n"
    "    \"fuel_prices\": [{\"fuel\": \"heating_oil\", \"price\": 1.6}],\n"
    "    \"compare_with\": \"oil_old\"\n"
    "  }\n"
    "}\n";
// clang-format on

const char *gw_job_starter(void)
{
    return STARTER;
}
