// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Tables of the house. Limits are those of gw_house, whose own check is the last.
#include "job/job_priv.h"

#define HOUSE(member) GW_FORM_AT(gw_house, member)
#define PART(member) GW_FORM_AT(gw_house_component, member)
#define LEAKAGE(member) GW_FORM_AT(gw_house_leakage, member)

static const char *const KIND_WORDS[] = {
#define X(code, word, side) word,
    GW_HOUSE_KIND_LIST(X)
#undef X
};
static const char *const MASS_WORDS[] = {
#define X(code, word, am, cm) word,
    GW_HOUSE_MASS_LIST(X)
#undef X
};
static const char *const TIGHTNESS_WORDS[] = {
#define X(code, word, ach50) word,
    GW_HOUSE_TIGHTNESS_LIST(X)
#undef X
};

static const char *const SKY_WORDS[] = {
#define X(code, word) word,
    GW_HOUSE_SKY_LIST(X)
#undef X
};

#define ATTIC(member) GW_FORM_AT(gw_house_attic, member)
#define ROOM(member) GW_FORM_AT(gw_house_room, member)
#define DUCTS(member) GW_FORM_AT(gw_house_ducts, member)

// clang-format off
static const gw_form_field ATTIC_FIELDS[] = {
    {ATTIC(roof_area_m2), QUANTITY(AREA), LIMITS(1, 10000), USUAL(10, 1000), REQUIRED, .doc = "Of the roof above, gables included."},
    {ATTIC(roof_insulation_m2k_w), QUANTITY(INSULATION), LIMITS(0.05, 50), USUAL(0.15, 8), REQUIRED, .doc = "Of that roof, films included; bare boards and shingles have about RSI 0.35."},
    {ATTIC(volume_m3), QUANTITY(VOLUME), LIMITS(0, 10000), OPTIONAL(0), .derived = true, .doc = "Of the space; left out, 1 m times the ceiling."},
    {ATTIC(air_changes_h), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(0, 50), USUAL(0, 20), DEFAULT(5), .doc = "With outside air, per hour; a vented attic has 2 to 10 (common practice, no source)."},
};
static const gw_form ATTIC_FORM = {
    .name = "attic",
    .doc = "An unheated space between ceiling and roof.",
    .size = sizeof(gw_house_attic),
    ROWS(ATTIC_FIELDS),
};

static const gw_form_field ROOM_FIELDS[] = {
    {ROOM(name), .type = GW_FORM_TEXT, .least = 1, .most = 60, REQUIRED, .doc = "As components name it."},
    {ROOM(floor_area_m2), QUANTITY(AREA), LIMITS(0.5, 5000), USUAL(2, 200), REQUIRED, .doc = "Its floor; shares out what belongs to no room."},
    {ROOM(air_frac), QUANTITY(FRACTION), LIMITS(0, 1), OPTIONAL(0), .doc = "Share in air leakage, ventilation and all else that belongs to no room; left out in all rooms, by floor area."},
};
static const gw_form ROOM_FORM = {
    .name = "room",
    .doc = "A room, for loss and gain room by room.",
    .size = sizeof(gw_house_room),
    ROWS(ROOM_FIELDS),
};

static const gw_form_field DUCT_FIELDS[] = {
    {DUCTS(air_flow_m3_s), QUANTITY(FLOW), LIMITS(0.02, 5), USUAL(0.1, 2), REQUIRED, .doc = "Air while the fan runs; \"1200 cfm\" is understood."},
    {DUCTS(supply_area_m2), QUANTITY(AREA), LIMITS(0, 500), DEFAULT(0), .doc = "Surface of supply ducts outside the heated space."},
    {DUCTS(return_area_m2), QUANTITY(AREA), LIMITS(0, 500), DEFAULT(0), .doc = "Surface of return ducts there."},
    {DUCTS(insulation_m2k_w), QUANTITY(INSULATION), LIMITS(0.05, 10), USUAL(0.1, 3), DEFAULT(0.7), .doc = "Of their walls, films included."},
    {DUCTS(supply_leak_frac), QUANTITY(FRACTION), LIMITS(0, 0.5), USUAL(0, 0.25), DEFAULT(0.05), .doc = "Of the air, lost outside the heated space."},
    {DUCTS(return_leak_frac), QUANTITY(FRACTION), LIMITS(0, 0.5), USUAL(0, 0.25), DEFAULT(0.05), .doc = "Drawn in from there."},
    {DUCTS(outdoor_share), QUANTITY(FRACTION), LIMITS(0, 1), DEFAULT(1), .doc = "Temperature round the ducts: 1 as outdoors, 0 as indoors."},
};
static const gw_form DUCT_FORM = {
    .name = "ducts",
    .doc = "Ducts outside the heated space.",
    .size = sizeof(gw_house_ducts),
    ROWS(DUCT_FIELDS),
};

static const gw_form_field PART_FIELDS[] = {
    {PART(name), .type = GW_FORM_TEXT, .least = 1, REQUIRED, .doc = "As printed in the list of losses."},
    {PART(kind), .type = GW_FORM_CHOICE, WORDS(KIND_WORDS), REQUIRED, .doc = "What it is, and so what it borders on."},
    {PART(area_m2), QUANTITY(AREA), LIMITS(0.01, 10000), USUAL(0.2, 600), REQUIRED,
     .doc = "Net area; windows and doors are taken off the wall they stand in."},
    {PART(insulation_m2k_w), QUANTITY(INSULATION), LIMITS(0.05, 50), USUAL(0.14, 18), OPTIONAL(0), .derived = true,
     .doc = "From air to air, films included (below grade: to the soil); \"R-20\" and \"RSI 3.5\" are understood. Left out, that of the assembly."},
    {PART(assembly), .type = GW_FORM_OBJECT, .form = &GW_JOB_PRIV_ASSEMBLY, .home = GW_FORM_POINTED, OPTIONAL(0),
     .doc = "Layers and framing, in place of insulation_m2k_w."},
    {PART(solar_gain_frac), QUANTITY(FRACTION), LIMITS(0, 1), OPTIONAL(0), .derived = true,
     .doc = "Windows: solar heat gain coefficient; left out, 0.5."},
    {PART(facing_deg), QUANTITY(ANGLE), LIMITS(0, 360), OPTIONAL(-1),
     .doc = "Windows, walls, doors: outward direction, 0 north, 90 east; left out, spread over the four sides."},
    {PART(shading_frac), QUANTITY(FRACTION), LIMITS(0, 1), OPTIONAL(0),
     .doc = "Part of the sun that trees and overhangs keep off; left out, none."},
    {PART(depth_m), QUANTITY(LENGTH), LIMITS(0.1, 10), USUAL(0.5, 4), OPTIONAL(0),
     .doc = "Basement wall and floor: depth of the floor below grade."},
    {PART(perimeter_m), QUANTITY(LENGTH), LIMITS(0.1, 1000), OPTIONAL(0),
     .doc = "Basement floor and slab: outline that borders on outside ground."},
    {PART(attic), .type = GW_FORM_OBJECT, .form = &ATTIC_FORM, OPTIONAL(0),
     .doc = "Roofs: the space above the ceiling, which is neither heated nor cooled; left out, the component borders on outside air."},
    {PART(room), .type = GW_FORM_TEXT, .least = 1, .most = 60, OPTIONAL(0), .doc = "Name of the room it belongs to; left out, all rooms share in it."},
};

static const gw_form_field LEAKAGE_FIELDS[] = {
    {LEAKAGE(tightness), .type = GW_FORM_CHOICE, WORDS(TIGHTNESS_WORDS), OPTIONAL(GW_HOUSE_TIGHT_AVERAGE), .derived = true,
     .doc = "How tight, where no blower-door test was made; left out together with the two below, average."},
    {LEAKAGE(ach50), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(0, 50), USUAL(0.3, 20), OPTIONAL(0), .derived = true,
     .doc = "Air changes per hour at 50 Pa, from a blower-door test."},
    {LEAKAGE(natural_ach), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(0, 5), USUAL(0.02, 1.5), OPTIONAL(0), .derived = true,
     .doc = "Air changes per hour without a fan, the same in every hour."},
    {LEAKAGE(shelter_class), WHOLE(INT), LIMITS(1, 5), DEFAULT(4),
     .doc = "1 open country, 3 moderate, 5 very sheltered."},
};
// clang-format on

// Which of the three was given decides the kind; only one may be.
static void finish_leakage(gw_form_reader *reader, void *object)
{
    gw_house_leakage *const leakage = object;
    const bool by_class = gw_form_has(reader, "tightness");
    const bool by_test = gw_form_has(reader, "ach50");
    const bool by_rate = gw_form_has(reader, "natural_ach");
    if (by_class + by_test + by_rate > 1) {
        gw_form_complain(reader, GW_ERR_KEY, by_rate ? "natural_ach" : "ach50",
                         "found more than one measure of leakage, expected only one of "
                         "\"tightness\", \"ach50\", \"natural_ach\"");
        return;
    }
    leakage->kind = by_test   ? GW_HOUSE_LEAKAGE_ACH50
                    : by_rate ? GW_HOUSE_LEAKAGE_NATURAL
                              : GW_HOUSE_LEAKAGE_CLASS;
    if (leakage->kind == GW_HOUSE_LEAKAGE_CLASS && !by_class) {
        gw_form_settle(reader, NULL, "tightness", GW_HOUSE_TIGHT_AVERAGE);
    }
}

static const gw_form LEAKAGE_FORM = {
    .name = "leakage",
    .doc = "How air-tight the house is.",
    .rules = "Only one of tightness, ach50 and natural_ach.",
    .size = sizeof(gw_house_leakage),
    ROWS(LEAKAGE_FIELDS),
    .finish = finish_leakage,
};

static void refuse_for_kind(gw_form_reader *reader, const gw_house_component *part, const char *key)
{
    if (gw_form_has(reader, key)) {
        gw_form_complain(reader, GW_ERR_KEY, key, "found \"%s\" of a %s, expected none", key,
                         KIND_WORDS[part->kind]);
    }
}

static void need_for_kind(gw_form_reader *reader, const gw_house_component *part, const char *key)
{
    if (!gw_form_has(reader, key)) {
        gw_form_complain(reader, GW_ERR_MISSING, key, "found no \"%s\", expected it of a %s", key,
                         KIND_WORDS[part->kind]);
    }
}

static void finish_part(gw_form_reader *reader, void *object)
{
    gw_house_component *const part = object;
    const bool is_window = part->kind == GW_HOUSE_WINDOW;
    const bool below =
        part->kind == GW_HOUSE_BASEMENT_WALL || part->kind == GW_HOUSE_BASEMENT_FLOOR;
    const bool has_outline = part->kind == GW_HOUSE_BASEMENT_FLOOR || part->kind == GW_HOUSE_SLAB;
    gw_job_priv_finish_insulation(reader, part);
    if (part->kind != GW_HOUSE_ROOF) {
        refuse_for_kind(reader, part, "attic");
    } else if (gw_form_has(reader, "attic") && !(part->attic.volume_m3 > 0.0)) {
        gw_form_settle(reader, &(gw_form_target){"attic", &ATTIC_FORM, &part->attic}, "volume_m3",
                       part->area_m2);
    }
    if (!is_window) {
        refuse_for_kind(reader, part, "solar_gain_frac");
    } else if (!gw_form_has(reader, "solar_gain_frac")) {
        gw_form_settle(reader, NULL, "solar_gain_frac", 0.5);
    }
    if (below) {
        need_for_kind(reader, part, "depth_m");
    } else {
        refuse_for_kind(reader, part, "depth_m");
    }
    if (has_outline) {
        need_for_kind(reader, part, "perimeter_m");
    } else {
        refuse_for_kind(reader, part, "perimeter_m");
    }
}

static const gw_form PART_FORM = {
    .name = "component",
    .doc = "One part of the envelope.",
    .rules = "Either insulation_m2k_w or assembly, the latter not for windows; attic only for "
             "roofs; solar_gain_frac only for windows; depth_m for basement walls and floors; "
             "perimeter_m "
             "for basement floors and slabs.",
    .size = sizeof(gw_house_component),
    ROWS(PART_FIELDS),
    .finish = finish_part,
};

// clang-format off
static const gw_form_field HOUSE_FIELDS[] = {
    {HOUSE(floor_area_m2), QUANTITY(AREA), LIMITS(10, 5000), USUAL(40, 600), REQUIRED, .doc = "Heated floor area, a heated basement included."},
    {HOUSE(volume_m3), QUANTITY(VOLUME), LIMITS(20, 25000), OPTIONAL(0), .doc = "Heated volume; left out, 2.5 m times the floor area."},
    {HOUSE(storeys), WHOLE(INT), LIMITS(1, 3), DEFAULT(1), .doc = "Storeys above grade."},
    {HOUSE(mass), .type = GW_FORM_CHOICE, WORDS(MASS_WORDS), DEFAULT(GW_HOUSE_MASS_MEDIUM), .doc = "Thermal mass: how slowly the house warms and cools."},
    {HOUSE(heating_setpoint_degc), QUANTITY(TEMPERATURE), LIMITS(5, 30), USUAL(17, 24), DEFAULT(21), .doc = "Indoor temperature in the heating season."},
    {HOUSE(cooling_setpoint_degc), QUANTITY(TEMPERATURE), LIMITS(6, 35), USUAL(22, 29), DEFAULT(25), .doc = "Indoor temperature in the cooling season, above the heating setpoint."},
    {HOUSE(setback_degc), QUANTITY(TEMPERATURE), LIMITS(5, 30), OPTIONAL(0), .doc = "Heating setpoint at night; left out, no setback."},
    {HOUSE(setback_start_h), WHOLE(INT), LIMITS(0, 24), OPTIONAL(0), .doc = "Hour at which the setback begins."},
    {HOUSE(setback_end_h), WHOLE(INT), LIMITS(0, 24), OPTIONAL(0), .doc = "Hour at which it ends."},
    {HOUSE(internal_gain_w), QUANTITY(POWER), LIMITS(0, 20000), USUAL(100, 3000), OPTIONAL(-1), .doc = "Heat of people, lights and appliances, the year's mean; left out, 4 W per m2 of floor."},
    {HOUSE(latent_gain_frac), QUANTITY(FRACTION), LIMITS(0, 1), DEFAULT(0.3), .doc = "Latent share on top of the sensible cooling load."},
    {HOUSE(envelope), .type = GW_FORM_LIST, .form = &PART_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_house, envelope_count), .least = 1, .most = 200, OPTIONAL(0), .doc = "Parts that lose heat."},
    {HOUSE(soil_conductivity_w_mk), QUANTITY(CONDUCTIVITY), LIMITS(0.2, 6), USUAL(0.5, 3), DEFAULT(1.5), .doc = "Of the ground at the foundation."},
    {HOUSE(opaque_absorptance), QUANTITY(FRACTION), LIMITS(0, 1), DEFAULT(0.6), .doc = "Share of the sun that walls and roof take up."},
    {HOUSE(sky), .type = GW_FORM_CHOICE, WORDS(SKY_WORDS), DEFAULT(GW_HOUSE_SKY_ISOTROPIC), .doc = "Sky of the hourly loads: the same from everywhere, or brighter round the sun and at the horizon (Perez et al. 1990)."},
    {HOUSE(rooms), .type = GW_FORM_LIST, .form = &ROOM_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_house, room_count), .least = 1, .most = GW_HOUSE_ROOMS_MOST, OPTIONAL(0), .doc = "For loss and gain room by room; left out, the house as a whole."},
    {HOUSE(ducts), .type = GW_FORM_OBJECT, .form = &DUCT_FORM, OPTIONAL(0), .doc = "Ducts outside the heated space; left out, none."},
    {HOUSE(leakage), .type = GW_FORM_OBJECT, .form = &LEAKAGE_FORM, .presence = GW_FORM_DEFAULT, .doc = "Air-tightness."},
    {HOUSE(ventilation_m3_s), QUANTITY(FLOW), LIMITS(0, 2), USUAL(0, 0.15), DEFAULT(0), .doc = "Balanced mechanical ventilation."},
    {HOUSE(heat_recovery_frac), QUANTITY(FRACTION), LIMITS(0, 0.98), DEFAULT(0), .doc = "Share of its sensible heat that is recovered."},
    {HOUSE(window_opening_ach), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(0, 30), USUAL(0, 12), DEFAULT(0), .doc = "Air changes per hour with windows open, used instead of cooling while it is cooler outside; 0: they stay shut, and cooling comes out on the high side."},
    {HOUSE(design_loss_w), QUANTITY(POWER), LIMITS(500, 500000), USUAL(2000, 60000), OPTIONAL(0), .doc = "Design heat loss worked out elsewhere, in place of the envelope."},
    {HOUSE(design_gain_w), QUANTITY(COOLING_POWER), LIMITS(0, 500000), USUAL(0, 60000), OPTIONAL(0), .doc = "Design sensible gain, with design_loss_w; left out, no cooling."},
    {HOUSE(heating_base_degc), QUANTITY(TEMPERATURE), LIMITS(1, 25), OPTIONAL(0), .doc = "With design_loss_w: outdoor temperature above which no heat is needed; left out, 3 K below the setpoint."},
    {HOUSE(cooling_base_degc), QUANTITY(TEMPERATURE), LIMITS(5, 30), OPTIONAL(0), .doc = "With design_gain_w: outdoor temperature above which cooling begins; left out, 3 K below the setpoint."},
};
// clang-format on

static void check_glass(gw_form_reader *reader, const gw_house *house)
{
    double glass_m2 = 0.0;
    for (size_t i = 0; i < house->envelope_count; i++) {
        glass_m2 += house->envelope[i].kind == GW_HOUSE_WINDOW ? house->envelope[i].area_m2 : 0.0;
    }
    if (glass_m2 > 2.0 * house->floor_area_m2) {
        gw_form_complain(reader, GW_ERR_GEOMETRY, "envelope",
                         "found %.0f m2 of windows on %.0f m2 of floor, expected at most twice the "
                         "floor",
                         glass_m2, house->floor_area_m2);
    } else if (glass_m2 > 0.35 * house->floor_area_m2) {
        gw_form_warn(reader, "envelope",
                     "%.0f m2 of windows on %.0f m2 of floor is possible but unusual: mostly less "
                     "than 35 %%",
                     glass_m2, house->floor_area_m2);
    }
}

static void check_setback(gw_form_reader *reader, const gw_house *house)
{
    static const char *const KEYS[] = {"setback_degc", "setback_start_h", "setback_end_h"};
    size_t given = 0;
    for (size_t i = 0; i < 3; i++) {
        given += gw_form_has(reader, KEYS[i]) ? 1 : 0;
    }
    for (size_t i = 0; given > 0 && i < 3; i++) {
        if (!gw_form_has(reader, KEYS[i])) {
            gw_form_complain(reader, GW_ERR_MISSING, KEYS[i],
                             "found only part of a setback, expected temperature, start and end");
        }
    }
    if (given == 3 && house->setback_degc > house->heating_setpoint_degc) {
        gw_form_complain(reader, GW_ERR_RANGE, "setback_degc",
                         "found %.1f degC, expected no more than the heating setpoint of %.1f degC",
                         house->setback_degc, house->heating_setpoint_degc);
    }
}

static void finish_house(gw_form_reader *reader, void *object)
{
    const gw_house *const house = object;
    const bool has_loss = gw_form_has(reader, "design_loss_w");
    const bool has_envelope = house->envelope_count > 0;
    if (has_loss && has_envelope) {
        gw_form_complain(reader, GW_ERR_KEY, "design_loss_w",
                         "found both \"envelope\" and \"design_loss_w\", expected one of them");
    } else if (!has_loss && !has_envelope) {
        gw_form_complain(reader, GW_ERR_MISSING, "envelope",
                         "found neither \"envelope\" nor \"design_loss_w\", expected one of them");
    }
    if (gw_form_has(reader, "design_gain_w") && !has_loss) {
        gw_form_complain(reader, GW_ERR_MISSING, "design_loss_w",
                         "found \"design_gain_w\" alone, expected \"design_loss_w\" with it");
    }
    if (!(house->cooling_setpoint_degc > house->heating_setpoint_degc)) {
        gw_form_complain(reader, GW_ERR_RANGE, "cooling_setpoint_degc",
                         "found %.1f degC, expected more than the heating setpoint of %.1f degC",
                         house->cooling_setpoint_degc, house->heating_setpoint_degc);
    }
    check_setback(reader, house);
    check_glass(reader, house);
    gw_err err = {0};
    if (has_loss != has_envelope && gw_house_check(house, &err) != GW_OK) {
        gw_job_priv_hand_on(reader, &err, "");
    }
}

const gw_form GW_JOB_PRIV_HOUSE = {
    .name = "house",
    .doc = "What is heated: its envelope, or design loads worked out elsewhere.",
    .rules =
        "Either envelope or design_loss_w. The cooling setpoint is above the heating setpoint. "
        "A setback needs its temperature and both hours.",
    .size = sizeof(gw_house),
    ROWS(HOUSE_FIELDS),
    .finish = finish_house,
};
