// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Tables of the plant: catalogue or own heat pump, hot water.
#include "job/job_priv.h"

#define PLANT(member) GW_FORM_AT(gw_job_plant, member)
#define PUMP(member) GW_FORM_AT(gw_heat_pump, member)
#define POINT(member) GW_FORM_AT(gw_plant_rating, member)
#define WATER(member) .key = #member, .offset = offsetof(gw_job_hot_water, use.member)

// clang-format off
static const gw_form_field POINT_FIELDS[] = {
    {POINT(entering_water_degc), QUANTITY(TEMPERATURE), LIMITS(-15, 45), REQUIRED, .doc = "Water entering the unit from the loop."},
    {POINT(capacity_w), QUANTITY(COOLING_POWER), LIMITS(0, 200000), .open_below = true, USUAL(1000, 60000), REQUIRED, .doc = "Net heat to or from the house, blower heat included."},
    {POINT(power_w), QUANTITY(POWER), LIMITS(0, 80000), .open_below = true, USUAL(200, 20000), REQUIRED, .doc = "Compressor and controls only, without blower and pumps."},
};

static const gw_form POINT_FORM = {
    .name = "rating",
    .doc = "One rating point at the rated flow.",
    .size = sizeof(gw_plant_rating),
    ROWS(POINT_FIELDS),
};

// NOLINTBEGIN(bugprone-macro-parentheses): names of members
#define CURVE(member, words)                                                                       \
    {.key = #member, .offset = offsetof(gw_heat_pump, member.points), .type = GW_FORM_LIST,        \
     .form = &POINT_FORM, .home = GW_FORM_IN_PLACE, .least = 2, .most = GW_PLANT_POINTS_MAX,     \
     .count_offset = offsetof(gw_heat_pump, member.count), OPTIONAL(0), .doc = words}
// NOLINTEND(bugprone-macro-parentheses)

static const gw_form_field PUMP_FIELDS[] = {
    {PUMP(id), .type = GW_FORM_TEXT, .least = 1, OPTIONAL(0), .fallback_text = "own", .doc = "Short name in lists; left out, \"own\"."},
    {PUMP(name), .type = GW_FORM_TEXT, .least = 1, REQUIRED, .doc = "Maker and model as printed."},
    {PUMP(source), .type = GW_FORM_TEXT, .least = 1, OPTIONAL(0), .doc = "Where the rating points come from."},
    CURVE(heating, "Heating at full capacity, entering water rising."),
    CURVE(heating_low, "Heating at low stage."),
    CURVE(cooling, "Cooling at full capacity, entering water rising."),
    CURVE(cooling_low, "Cooling at low stage."),
    {PUMP(blower_power_w), QUANTITY(POWER), LIMITS(0, 5000), USUAL(0, 1200), DEFAULT(0), .doc = "While running; 0 for water-to-water units."},
    {PUMP(rated_flow_m3_s), QUANTITY(FLOW), LIMITS(1e-5, 0.02), USUAL(1e-4, 3e-3), REQUIRED, .doc = "Loop fluid through one unit at the rating points."},
    {PUMP(pressure_drop_pa), QUANTITY(PRESSURE), LIMITS(0, 200000), USUAL(5000, 80000), DEFAULT(30000), .doc = "Of the loop side at the rated flow."},
    {PUMP(min_entering_degc), QUANTITY(TEMPERATURE), LIMITS(-15, 20), DEFAULT(-7), .doc = "Coldest entering water the maker allows."},
    {PUMP(max_entering_degc), QUANTITY(TEMPERATURE), LIMITS(20, 60), DEFAULT(43), .doc = "Warmest entering water the maker allows."},
};
// clang-format on

static void finish_pump(gw_form_reader *reader, void *object)
{
    gw_err err = {0};
    if (gw_plant_check_pump(object, &err) != GW_OK) {
        gw_job_priv_hand_on(reader, &err, "pump.");
    }
}

static const gw_form PUMP_FORM = {
    .name = "own_heat_pump",
    .doc = "A heat pump by its rating points.",
    .rules =
        "At least two heating points; entering water rises from point to point; power is below "
        "capacity.",
    .size = sizeof(gw_heat_pump),
    ROWS(PUMP_FIELDS),
    .finish = finish_pump,
};

// clang-format off
static const gw_form_field WATER_FIELDS[] = {
    {WATER(daily_volume_m3), QUANTITY(VOLUME), LIMITS(0, 5), USUAL(0.05, 0.6), DEFAULT(0.2), .doc = "Drawn per day."},
    {WATER(cold_degc), QUANTITY(TEMPERATURE), LIMITS(0, 30), DEFAULT(8), .doc = "Mains or well water."},
    {WATER(hot_degc), QUANTITY(TEMPERATURE), LIMITS(20, 70), USUAL(45, 62), DEFAULT(55), .doc = "At the tap."},
    {WATER(standby_loss_w), QUANTITY(POWER), LIMITS(0, 1000), DEFAULT(60), .doc = "Of the tank."},
    {WATER(heat_pump_share_frac), QUANTITY(FRACTION), LIMITS(0, 1), DEFAULT(0.5), .doc = "Of the heat, made by the heat pump."},
    {GW_FORM_AT(gw_job_hot_water, cop_ratio), QUANTITY(FRACTION), LIMITS(0.3, 1), DEFAULT(0.75), .doc = "COP for hot water over that for space heat at the same entering water."},
};
// clang-format on

static void finish_water(gw_form_reader *reader, void *object)
{
    const gw_job_hot_water *const water = object;
    if (!(water->use.hot_degc > water->use.cold_degc)) {
        gw_form_complain(reader, GW_ERR_RANGE, "hot_degc",
                         "found %.1f degC, expected more than the cold water's %.1f degC",
                         water->use.hot_degc, water->use.cold_degc);
    }
}

static const gw_form WATER_FORM = {
    .name = "hot_water",
    .doc = "Hot water that the heat pump helps to make.",
    .rules = "Hot is above cold.",
    .size = sizeof(gw_job_hot_water),
    ROWS(WATER_FIELDS),
    .finish = finish_water,
};

// clang-format off
static const gw_form_field PLANT_FIELDS[] = {
    {PLANT(heat_pump), .type = GW_FORM_ID, .table = "heat_pumps.csv", .column = "id", OPTIONAL(0), .derived = true,
     .doc = "Generic curve of the catalogue; left out, generic_two_stage (unless own_heat_pump is given)."},
    {.key = "own_heat_pump", .offset = offsetof(gw_job_plant, own), .type = GW_FORM_OBJECT, .form = &PUMP_FORM, .home = GW_FORM_POINTED, OPTIONAL(0),
     .doc = "The chosen unit by its rating points, in place of a catalogue curve."},
    {PLANT(unit_count), WHOLE(INT), LIMITS(1, GW_PLANT_UNITS_MAX), USUAL(1, 4), DEFAULT(1), .doc = "Equal units, loaded one after the other."},
    {PLANT(share_of_design_loss), QUANTITY(FRACTION), LIMITS(0, 1.5), USUAL(0.6, 1.2), OPTIONAL(0), .derived = true,
     .doc = "Heating capacity of all units at the coldest entering water over the design loss, the curve scaled to it; 0 takes the curve as it is. Left out, 0.9, or 0 with own_heat_pump."},
    {PLANT(cycling_coefficient), QUANTITY(FRACTION), LIMITS(0, 0.5), DEFAULT(GW_PLANT_CYCLING_DEFAULT), .doc = "Loss of part-load efficiency by starting and stopping."},
    {PLANT(circulator_power_w), QUANTITY(POWER), LIMITS(0, 5000), USUAL(40, 800), NOT_GIVEN, .doc = "Of the loop pump of one unit; left out, from the head of the pipes."},
    {PLANT(circulator_heat_frac), QUANTITY(FRACTION), LIMITS(0, 1), DEFAULT(0.5), .doc = "Share of that power that warms the fluid."},
    {PLANT(flow_m3_s), QUANTITY(FLOW), LIMITS(2e-5, 0.05), USUAL(2e-4, 5e-3), NOT_GIVEN, .doc = "Loop flow of all units together; left out, their rated flow."},
    {PLANT(hot_water), .type = GW_FORM_OBJECT, .form = &WATER_FORM, .home = GW_FORM_POINTED, OPTIONAL(0), .doc = "Left out, hot water is made by something else."},
};
// clang-format on

static void finish_plant(gw_form_reader *reader, void *object)
{
    const gw_job_plant *const plant = object;
    if (plant->own != NULL && gw_form_has(reader, "heat_pump")) {
        gw_form_complain(reader, GW_ERR_KEY, "heat_pump",
                         "found both \"heat_pump\" and \"own_heat_pump\", expected one of them");
        return;
    }
    if (plant->own == NULL && plant->heat_pump == NULL) {
        gw_form_settle_text(reader, NULL, "heat_pump", "generic_two_stage");
    }
    if (!gw_form_has(reader, "share_of_design_loss")) {
        gw_form_settle(reader, NULL, "share_of_design_loss", plant->own != NULL ? 0.0 : 0.9);
    }
}

const gw_form GW_JOB_PRIV_PLANT = {
    .name = "plant",
    .doc = "The heat pump and what goes with it.",
    .rules = "Either heat_pump or own_heat_pump.",
    .size = sizeof(gw_job_plant),
    ROWS(PLANT_FIELDS),
    .finish = finish_plant,
};
