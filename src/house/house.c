// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "house/house.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define CEILING_M 2.5
#define INTERNAL_GAIN_W_M2 4.0             // sensible, whole floor (common practice, no source)
#define WATER_HEAT_J_M3K (1000.0 * 4190.0) // cold to tap temperature, rounded

gw_house gw_house_default(void)
{
    return (gw_house){
        .storeys = 1,
        .mass = GW_HOUSE_MASS_MEDIUM,
        .heating_setpoint_degc = 21.0,
        .cooling_setpoint_degc = 25.0,
        .setback_degc = 21.0,
        .internal_gain_w = -1.0,
        .latent_gain_frac = 0.3,
        .soil_conductivity_w_mk = 1.5,
        .opaque_absorptance = 0.6,
        .leakage = {.kind = GW_HOUSE_LEAKAGE_CLASS,
                    .tightness = GW_HOUSE_TIGHT_AVERAGE,
                    .shelter_class = 4},
        .hot_water_rise_k = 45.0,
    };
}

// ---- Words and tables ---------------------------------------------------------------------------

const char *gw_house_kind_word(gw_house_kind kind)
{
    switch (kind) {
#define X(code, word, side)                                                                        \
    case code:                                                                                     \
        return word;
        GW_HOUSE_KIND_LIST(X)
#undef X
    case GW_HOUSE_KIND_COUNT:
        break;
    }
    return "?";
}

const char *gw_house_mass_word(gw_house_mass mass)
{
    switch (mass) {
#define X(code, word, am, cm)                                                                      \
    case code:                                                                                     \
        return word;
        GW_HOUSE_MASS_LIST(X)
#undef X
    case GW_HOUSE_MASS_COUNT:
        break;
    }
    return "?";
}

const char *gw_house_tightness_word(gw_house_tightness tightness)
{
    switch (tightness) {
#define X(code, word, ach50)                                                                       \
    case code:                                                                                     \
        return word;
        GW_HOUSE_TIGHTNESS_LIST(X)
#undef X
    case GW_HOUSE_TIGHT_COUNT:
        break;
    }
    return "?";
}

const char *gw_house_sky_word(gw_house_sky sky)
{
    switch (sky) {
#define X(code, word)                                                                              \
    case code:                                                                                     \
        return word;
        GW_HOUSE_SKY_LIST(X)
#undef X
    case GW_HOUSE_SKY_COUNT:
        break;
    }
    return "?";
}

double gw_house_mass_area_ratio(gw_house_mass mass)
{
    static const double ratio[GW_HOUSE_MASS_COUNT] = {
#define X(code, word, am, cm) am,
        GW_HOUSE_MASS_LIST(X)
#undef X
    };
    return ratio[mass];
}

double gw_house_mass_capacity_j_m2k(gw_house_mass mass)
{
    static const double capacity[GW_HOUSE_MASS_COUNT] = {
#define X(code, word, am, cm) cm,
        GW_HOUSE_MASS_LIST(X)
#undef X
    };
    return capacity[mass];
}

// ---- Derived values -----------------------------------------------------------------------------

bool gw_house_is_given(const gw_house *house)
{
    return house->design_loss_w > 0.0 || (house->envelope_count == 0 && house->design_gain_w > 0.0);
}

double gw_house_volume_m3(const gw_house *house)
{
    return house->volume_m3 > 0.0 ? house->volume_m3 : CEILING_M * house->floor_area_m2;
}

double gw_house_internal_gain_w(const gw_house *house)
{
    return house->internal_gain_w >= 0.0 ? house->internal_gain_w
                                         : INTERNAL_GAIN_W_M2 * house->floor_area_m2;
}

double gw_house_ach50(const gw_house *house)
{
    static const double by_class[GW_HOUSE_TIGHT_COUNT] = {
#define X(code, word, ach50) ach50,
        GW_HOUSE_TIGHTNESS_LIST(X)
#undef X
    };
    return house->leakage.kind == GW_HOUSE_LEAKAGE_ACH50 ? house->leakage.ach50
                                                         : by_class[house->leakage.tightness];
}

double gw_house_hot_water_j_day(const gw_house *house)
{
    return WATER_HEAT_J_M3K * house->hot_water_m3_day * house->hot_water_rise_k;
}

// ---- Checking -----------------------------------------------------------------------------------

typedef struct {
    const char *name;
    double value;
    double low;
    double high;
} bound;

static gw_status check_bounds(const char *prefix, const bound *bounds, size_t count, gw_err *err)
{
    for (size_t i = 0; i < count; i++) {
        const bound b = bounds[i];
        if (!(b.value >= b.low && b.value <= b.high)) {
            char field[GW_ERR_FIELD_SIZE];
            snprintf(field, sizeof field, "%s%s", prefix, b.name);
            return gw_fail(err, GW_ERR_RANGE, field, "%s %g must be %g to %g", field, b.value,
                           b.low, b.high);
        }
    }
    return GW_OK;
}

static bool attic_given(const gw_house_attic *attic)
{
    return attic->roof_area_m2 != 0.0 || attic->roof_insulation_m2k_w != 0.0 ||
           attic->volume_m3 != 0.0 || attic->air_changes_h != 0.0;
}

static gw_status check_attic(const char *prefix, const gw_house_component *c, gw_err *err)
{
    if (!attic_given(&c->attic)) {
        return GW_OK;
    }
    if (c->kind != GW_HOUSE_ROOF) {
        char field[GW_ERR_FIELD_SIZE];
        snprintf(field, sizeof field, "%sattic", prefix);
        return gw_fail(err, GW_ERR_RANGE, field, "only a roof has an attic, not a %s",
                       gw_house_kind_word(c->kind));
    }
    const bound bounds[] = {
        {"attic.roof_area_m2", c->attic.roof_area_m2, 1, 10000},
        {"attic.roof_insulation_m2k_w", c->attic.roof_insulation_m2k_w, 0.05, 50},
        {"attic.volume_m3", c->attic.volume_m3, 0, 10000},
        {"attic.air_changes_h", c->attic.air_changes_h, 0, 50},
    };
    return check_bounds(prefix, bounds, sizeof bounds / sizeof bounds[0], err);
}

static bool has_room(const gw_house *house, const char *name)
{
    for (size_t i = 0; i < house->room_count; i++) {
        if (strcmp(house->rooms[i].name, name) == 0) {
            return true;
        }
    }
    return false;
}

static gw_status check_component(const gw_house *house, size_t index, gw_err *err)
{
    const gw_house_component *const c = &house->envelope[index];
    char prefix[64];
    snprintf(prefix, sizeof prefix, "envelope[%zu].", index);
    if (!((int)c->kind >= 0 && c->kind < GW_HOUSE_KIND_COUNT)) {
        char field[96];
        snprintf(field, sizeof field, "%skind", prefix);
        return gw_fail(err, GW_ERR_RANGE, field, "kind %d is none of the %d known", (int)c->kind,
                       (int)GW_HOUSE_KIND_COUNT);
    }
    const bool buried = c->kind == GW_HOUSE_BASEMENT_WALL || c->kind == GW_HOUSE_BASEMENT_FLOOR;
    const bool flat = c->kind == GW_HOUSE_BASEMENT_FLOOR || c->kind == GW_HOUSE_SLAB;
    const bound bounds[] = {
        {"area_m2", c->area_m2, 0.01, 10000},
        {"insulation_m2k_w", c->insulation_m2k_w, 0.05, 50},
        {"solar_gain_frac", c->solar_gain_frac, 0, 1},
        {"facing_deg", c->facing_deg, -360, 360},
        {"shading_frac", c->shading_frac, 0, 1},
        {"depth_m", c->depth_m, buried ? 0.1 : 0, 10},
        {"perimeter_m", c->perimeter_m, flat ? 0.1 : 0, 1000},
    };
    gw_status st = check_bounds(prefix, bounds, sizeof bounds / sizeof bounds[0], err);
    if (st == GW_OK) {
        st = check_attic(prefix, c, err);
    }
    if (st == GW_OK && c->room != NULL && !has_room(house, c->room)) {
        char field[96];
        snprintf(field, sizeof field, "%sroom", prefix);
        return gw_fail(err, GW_ERR_KEY, field, "the house has no room \"%.60s\"", c->room);
    }
    return st;
}

static gw_status check_room(const gw_house *house, size_t index, gw_err *err)
{
    const gw_house_room *const room = &house->rooms[index];
    char prefix[64];
    snprintf(prefix, sizeof prefix, "rooms[%zu].", index);
    bool fresh = room->name != NULL && room->name[0] != '\0';
    for (size_t i = 0; i < index && fresh; i++) {
        fresh = strcmp(house->rooms[i].name, room->name) != 0;
    }
    if (!fresh) {
        char field[96];
        snprintf(field, sizeof field, "%sname", prefix);
        return gw_fail(err, GW_ERR_KEY, field, "rooms need names, each its own");
    }
    const bound bounds[] = {
        {"floor_area_m2", room->floor_area_m2, 0.5, 5000},
        {"air_frac", room->air_frac, 0, 1},
    };
    return check_bounds(prefix, bounds, sizeof bounds / sizeof bounds[0], err);
}

// Shares of the air are given in no room, or make up the whole within one per cent.
static gw_status check_rooms(const gw_house *house, gw_err *err)
{
    if (house->room_count > GW_HOUSE_ROOMS_MOST) {
        return gw_fail(err, GW_ERR_RANGE, "rooms", "found %zu rooms, expected at most %d",
                       house->room_count, (int)GW_HOUSE_ROOMS_MOST);
    }
    double air = 0.0;
    for (size_t i = 0; i < house->room_count; i++) {
        const gw_status st = check_room(house, i, err);
        if (st != GW_OK) {
            return st;
        }
        air += house->rooms[i].air_frac;
    }
    if (air > 0.0 && !(fabs(air - 1.0) <= 0.01)) {
        return gw_fail(err, GW_ERR_RANGE, "rooms",
                       "the rooms' shares of air make %.3f together, they must make 1 (or be left "
                       "out in all)",
                       air);
    }
    return GW_OK;
}

static gw_status check_ducts(const gw_house_ducts *ducts, gw_err *err)
{
    const bool given = ducts->air_flow_m3_s != 0.0;
    const bound bounds[] = {
        {"ducts.air_flow_m3_s", ducts->air_flow_m3_s, given ? 0.02 : 0.0, 5},
        {"ducts.supply_area_m2", ducts->supply_area_m2, 0, 500},
        {"ducts.return_area_m2", ducts->return_area_m2, 0, 500},
        {"ducts.insulation_m2k_w", ducts->insulation_m2k_w, given ? 0.05 : 0.0, 10},
        {"ducts.supply_leak_frac", ducts->supply_leak_frac, 0, 0.5},
        {"ducts.return_leak_frac", ducts->return_leak_frac, 0, 0.5},
        {"ducts.outdoor_share", ducts->outdoor_share, 0, 1},
    };
    return check_bounds("", bounds, sizeof bounds / sizeof bounds[0], err);
}

static gw_status check_classes(const gw_house *house, gw_err *err)
{
    const bound bounds[] = {
        {"storeys", house->storeys, 1, 3},
        {"mass", (int)house->mass, 0, GW_HOUSE_MASS_COUNT - 1},
        {"sky", (int)house->sky, 0, GW_HOUSE_SKY_COUNT - 1},
        {"leakage.kind", (int)house->leakage.kind, 0, GW_HOUSE_LEAKAGE_NATURAL},
        {"leakage.tightness", (int)house->leakage.tightness, 0, GW_HOUSE_TIGHT_COUNT - 1},
        {"leakage.shelter_class", house->leakage.shelter_class, 1, 5},
        {"leakage.ach50", house->leakage.ach50, 0, 50},
        {"leakage.natural_ach", house->leakage.natural_ach, 0, 5},
        {"setback_start_h", house->setback_start_h, 0, 24},
        {"setback_end_h", house->setback_end_h, 0, 24},
    };
    return check_bounds("", bounds, sizeof bounds / sizeof bounds[0], err);
}

static gw_status check_numbers(const gw_house *house, gw_err *err)
{
    const bound bounds[] = {
        {"floor_area_m2", house->floor_area_m2, 10, 5000},
        {"volume_m3", house->volume_m3, 0, 30000},
        {"heating_setpoint_degc", house->heating_setpoint_degc, 5, 30},
        {"cooling_setpoint_degc", house->cooling_setpoint_degc, house->heating_setpoint_degc, 35},
        {"setback_degc", house->setback_degc, 0, 30},
        {"internal_gain_w", house->internal_gain_w, -1, 50000},
        {"latent_gain_frac", house->latent_gain_frac, 0, 1},
        {"soil_conductivity_w_mk", house->soil_conductivity_w_mk, 0.2, 6},
        {"opaque_absorptance", house->opaque_absorptance, 0, 1},
        {"ventilation_m3_s", house->ventilation_m3_s, 0, 2},
        {"heat_recovery_frac", house->heat_recovery_frac, 0, 0.98},
        {"window_opening_ach", house->window_opening_ach, 0, 30},
        {"design_loss_w", house->design_loss_w, 0, 1e6},
        {"design_gain_w", house->design_gain_w, 0, 1e6},
        {"heating_base_degc", house->heating_base_degc, 0, 25},
        {"cooling_base_degc", house->cooling_base_degc, 0, 30},
        {"hot_water_m3_day", house->hot_water_m3_day, 0, 5},
        {"hot_water_rise_k", house->hot_water_rise_k, 0, 80},
    };
    return check_bounds("", bounds, sizeof bounds / sizeof bounds[0], err);
}

gw_status gw_house_check(const gw_house *house, gw_err *err)
{
    gw_status st = check_numbers(house, err);
    if (st == GW_OK) {
        st = check_classes(house, err);
    }
    if (st == GW_OK) {
        st = check_rooms(house, err);
    }
    if (st == GW_OK) {
        st = check_ducts(&house->ducts, err);
    }
    if (st != GW_OK) {
        return st;
    }
    if (house->envelope_count == 0 && !gw_house_is_given(house)) {
        return gw_fail(err, GW_ERR_MISSING, "envelope",
                       "either the envelope or the design heat loss must be given");
    }
    if (house->design_gain_w > 0.0 && house->design_loss_w == 0.0 && house->envelope_count > 0) {
        return gw_fail(err, GW_ERR_MISSING, "design_loss_w",
                       "a design gain given directly needs the design loss given too");
    }
    for (size_t i = 0; i < house->envelope_count; i++) {
        st = check_component(house, i, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}
