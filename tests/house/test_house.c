// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "house/house.h"

#include "harness.h"
#include "house/example_house.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

START_TEST(example_and_defaults_are_sound)
{
    example e;
    example_house(&e);
    gw_err err = {0};
    ck_assert_msg(gw_house_check(&e.house, &err) == GW_OK, "%s", err.text);
    ck_assert(!gw_house_is_given(&e.house));
}
END_TEST

// ISO 13790:2008 table 12.
START_TEST(mass_classes_are_those_of_the_standard)
{
    static const double want[][2] = {
        {2.5, 80e3}, {2.5, 110e3}, {2.5, 165e3}, {3.0, 260e3}, {3.5, 370e3}};
    for (int i = 0; i < GW_HOUSE_MASS_COUNT; i++) {
        ck_assert_double_eq(gw_house_mass_area_ratio((gw_house_mass)i), want[i][0]);
        ck_assert_double_eq(gw_house_mass_capacity_j_m2k((gw_house_mass)i), want[i][1]);
    }
}
END_TEST

START_TEST(words_follow_the_enumerators)
{
    ck_assert_str_eq(gw_house_kind_word(GW_HOUSE_WALL), "wall");
    ck_assert_str_eq(gw_house_kind_word(GW_HOUSE_SLAB), "slab");
    ck_assert_str_eq(gw_house_mass_word(GW_HOUSE_MASS_VERY_HEAVY), "very_heavy");
    ck_assert_str_eq(gw_house_tightness_word(GW_HOUSE_TIGHT_LOOSE), "loose");
}
END_TEST

START_TEST(derived_values_follow_what_is_given)
{
    gw_house house = gw_house_default();
    house.floor_area_m2 = 100.0;
    ck_close(gw_house_volume_m3(&house), 250.0, 1e-12);
    ck_close(gw_house_internal_gain_w(&house), 400.0, 1e-12);
    house.volume_m3 = 300.0;
    house.internal_gain_w = 0.0;
    ck_close(gw_house_volume_m3(&house), 300.0, 1e-12);
    ck_assert_double_eq(gw_house_internal_gain_w(&house), 0.0);
    // 200 litres raised by 45 K: 200 kg x 4.19 kJ/(kg K) x 45 K = 37.7 MJ (10.5 kWh).
    house.hot_water_m3_day = 0.2;
    ck_close(gw_house_hot_water_j_day(&house), 37.71e6, 1e-9);
    house.leakage.kind = GW_HOUSE_LEAKAGE_ACH50;
    house.leakage.ach50 = 1.1;
    ck_close(gw_house_ach50(&house), 1.1, 1e-12);
    house.leakage.kind = GW_HOUSE_LEAKAGE_CLASS;
    house.leakage.tightness = GW_HOUSE_TIGHT_VERY_TIGHT;
    ck_close(gw_house_ach50(&house), 0.6, 1e-12);
}
END_TEST

static void refuse(const gw_house *house, const char *field)
{
    gw_err err = {0};
    ck_assert_msg(gw_house_check(house, &err) == GW_ERR_RANGE, "%s was accepted", field);
    ck_assert_str_eq(err.field, field);
}

START_TEST(each_number_out_of_range_is_refused)
{
    static const char *const names[] = {
        "floor_area_m2",     "volume_m3",          "heating_setpoint_degc",  "setback_degc",
        "internal_gain_w",   "latent_gain_frac",   "soil_conductivity_w_mk", "opaque_absorptance",
        "ventilation_m3_s",  "heat_recovery_frac", "design_loss_w",          "design_gain_w",
        "heating_base_degc", "cooling_base_degc",  "hot_water_m3_day",       "hot_water_rise_k",
        "leakage.ach50",     "leakage.natural_ach"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        example e;
        example_house(&e);
        gw_house *const h = &e.house;
        double *const fields[] = {
            &h->floor_area_m2,          &h->volume_m3,          &h->heating_setpoint_degc,
            &h->setback_degc,           &h->internal_gain_w,    &h->latent_gain_frac,
            &h->soil_conductivity_w_mk, &h->opaque_absorptance, &h->ventilation_m3_s,
            &h->heat_recovery_frac,     &h->design_loss_w,      &h->design_gain_w,
            &h->heating_base_degc,      &h->cooling_base_degc,  &h->hot_water_m3_day,
            &h->hot_water_rise_k,       &h->leakage.ach50,      &h->leakage.natural_ach};
        *fields[i] = -2.0;
        refuse(h, names[i]);
        *fields[i] = (double)NAN;
        refuse(h, names[i]);
    }
    example e;
    example_house(&e);
    e.house.cooling_setpoint_degc = 20.0; // below heating
    refuse(&e.house, "cooling_setpoint_degc");
}
END_TEST

START_TEST(each_class_out_of_range_is_refused)
{
    example e;
    example_house(&e);
    gw_house bad = e.house;
    bad.storeys = 0;
    refuse(&bad, "storeys");
    bad = e.house;
    bad.leakage.shelter_class = 6;
    refuse(&bad, "leakage.shelter_class");
    bad = e.house;
    bad.setback_start_h = 25;
    refuse(&bad, "setback_start_h");
    bad = e.house;
    bad.mass = GW_HOUSE_MASS_COUNT;
    refuse(&bad, "mass");
    bad = e.house;
    bad.leakage.tightness = GW_HOUSE_TIGHT_COUNT;
    refuse(&bad, "leakage.tightness");
}
END_TEST

START_TEST(each_component_field_out_of_range_is_refused)
{
    static const char *const names[] = {"area_m2",    "insulation_m2k_w", "solar_gain_frac",
                                        "facing_deg", "shading_frac",     "depth_m",
                                        "perimeter_m"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        example e;
        example_house(&e);
        gw_house_component *const c = &e.parts[6]; // basement floor
        double *const fields[] = {&c->area_m2,    &c->insulation_m2k_w, &c->solar_gain_frac,
                                  &c->facing_deg, &c->shading_frac,     &c->depth_m,
                                  &c->perimeter_m};
        *fields[i] = -400.0;
        char field[64];
        snprintf(field, sizeof field, "envelope[6].%s", names[i]);
        refuse(&e.house, field);
        *fields[i] = (double)NAN;
        refuse(&e.house, field);
    }
    example e;
    example_house(&e);
    e.parts[6].perimeter_m = 0.0; // a basement floor needs its outline
    refuse(&e.house, "envelope[6].perimeter_m");
    example_house(&e);
    e.parts[5].depth_m = 0.0; // a basement wall needs its depth
    refuse(&e.house, "envelope[5].depth_m");
    example_house(&e);
    e.parts[2].kind = GW_HOUSE_KIND_COUNT;
    refuse(&e.house, "envelope[2].kind");
}
END_TEST

START_TEST(neither_envelope_nor_loads_is_missing)
{
    gw_house house = gw_house_default();
    house.floor_area_m2 = 150.0;
    gw_err err = {0};
    ck_assert_int_eq(gw_house_check(&house, &err), GW_ERR_MISSING);
    ck_assert_str_eq(err.field, "envelope");
    house.design_loss_w = 12000.0;
    ck_assert_int_eq(gw_house_check(&house, &err), GW_OK);
    ck_assert(gw_house_is_given(&house));
    example e;
    example_house(&e);
    e.house.design_gain_w = 5000.0;
    ck_assert_int_eq(gw_house_check(&e.house, &err), GW_ERR_MISSING);
    ck_assert_str_eq(err.field, "design_loss_w");
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("house/house");
    TCase *const cases = tcase_create("all");
    tcase_add_test(cases, example_and_defaults_are_sound);
    tcase_add_test(cases, mass_classes_are_those_of_the_standard);
    tcase_add_test(cases, words_follow_the_enumerators);
    tcase_add_test(cases, derived_values_follow_what_is_given);
    tcase_add_test(cases, each_number_out_of_range_is_refused);
    tcase_add_test(cases, each_class_out_of_range_is_refused);
    tcase_add_test(cases, each_component_field_out_of_range_is_refused);
    tcase_add_test(cases, neither_envelope_nor_loads_is_missing);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
