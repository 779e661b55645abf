// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// ISO 13790:2008 annex C: exact properties of the five-resistance, one-capacity model.
#include "house/zone.h"

#include "harness.h"

#include <math.h>

static const gw_zone zone = {.floor_area_m2 = 120.0,
                             .mass_area_m2 = 300.0,
                             .capacity_j_k = 165e3 * 120.0,
                             .window_w_k = 30.0,
                             .opaque_w_k = 90.0};

static gw_zone_input quiet_input(void)
{
    return (gw_zone_input){.ventilation_w_k = 40.0,
                           .supply_degc = -10.0,
                           .outdoor_degc = -10.0,
                           .opaque_degc = -10.0,
                           .heating_degc = 20.0,
                           .cooling_degc = 26.0};
}

static gw_zone_result run(gw_zone_input input, int hours, double *mass_degc)
{
    gw_zone_result result = {0};
    for (int h = 0; h < hours; h++) {
        gw_zone_hour(&zone, &input, mass_degc, &result);
    }
    return result;
}

// need = (Ti - Te)(H_ve + 1/(1/H_is + 1/(H_w + H_op))), by reduction of the network.
START_TEST(steady_need_is_the_reduced_network)
{
    double mass_degc = 20.0;
    const gw_zone_result r = run(quiet_input(), 3000, &mass_degc);
    const double h_is = 3.45 * 4.5 * 120.0;
    const double h = 40.0 + 1.0 / (1.0 / h_is + 1.0 / (30.0 + 90.0));
    ck_close(r.need_w, 30.0 * h, 1e-9);
    ck_close(r.air_degc, 20.0, 1e-12);
}
END_TEST

// Free float: the mass falls by the same ratio every hour, (C - (H3 + H_em)/2)/(C + (H3 + H_em)/2).
START_TEST(free_float_decays_by_the_exact_ratio)
{
    gw_zone_input input = quiet_input();
    input.free_float = 1;
    const double h_is = 3.45 * 4.5 * 120.0;
    const double h_ms = 9.1 * 300.0;
    const double h1 = 1.0 / (1.0 / 40.0 + 1.0 / h_is);
    const double h3 = 1.0 / (1.0 / (h1 + 30.0) + 1.0 / h_ms);
    const double h_em = 1.0 / (1.0 / 90.0 - 1.0 / h_ms);
    const double c = 165e3 * 120.0 / 3600.0;
    const double want = (c - 0.5 * (h3 + h_em)) / (c + 0.5 * (h3 + h_em));
    ck_close(gw_zone_decay_ratio(&zone, 40.0), want, 1e-12);
    double mass_degc = 25.0;
    for (int i = 0; i < 50; i++) {
        const double before_k = mass_degc + 10.0;
        run(input, 1, &mass_degc);
        ck_close((mass_degc + 10.0) / before_k, want, 1e-12);
    }
}
END_TEST

// Without exchange of heat by air the gains leave through the envelope: energy balance.
START_TEST(steady_gains_balance_the_losses)
{
    gw_zone_input input = quiet_input();
    input.internal_w = 500.0;
    input.solar_w = 800.0;
    double mass_degc = 20.0;
    const gw_zone_result with = run(input, 5000, &mass_degc);
    const gw_zone_result without = run(quiet_input(), 5000, &mass_degc);
    // Part of a gain at the surfaces goes straight out: never more than the gain is saved.
    const double saved_w = without.need_w - with.need_w;
    ck_assert_double_le(saved_w, 1300.0);
    ck_assert_double_gt(saved_w, 0.85 * 1300.0);
}
END_TEST

START_TEST(need_holds_the_setpoint_in_one_hour)
{
    for (double mass_degc = 5.0; mass_degc < 40.0; mass_degc += 2.5) {
        gw_zone_input input = quiet_input();
        input.outdoor_degc = input.supply_degc = input.opaque_degc = 15.0;
        input.solar_w = 1500.0;
        double mass = mass_degc;
        gw_zone_result r;
        gw_zone_hour(&zone, &input, &mass, &r);
        ck_assert_double_ge(r.air_degc, 20.0 - 1e-9);
        ck_assert_double_le(r.air_degc, 26.0 + 1e-9);
        if (r.need_w > 0.0) {
            ck_close(r.air_degc, 20.0, 1e-12);
        }
        if (r.need_w < 0.0) {
            ck_close(r.air_degc, 26.0, 1e-12);
        }
    }
}
END_TEST

START_TEST(no_air_exchange_is_accepted)
{
    gw_zone_input input = quiet_input();
    input.ventilation_w_k = 0.0;
    double mass_degc = 20.0;
    const gw_zone_result r = run(input, 3000, &mass_degc);
    const double h_is = 3.45 * 4.5 * 120.0;
    ck_close(r.need_w, 30.0 / (1.0 / h_is + 1.0 / 120.0), 1e-4);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("house/zone");
    TCase *const cases = tcase_create("all");
    tcase_add_test(cases, steady_need_is_the_reduced_network);
    tcase_add_test(cases, free_float_decays_by_the_exact_ratio);
    tcase_add_test(cases, steady_gains_balance_the_losses);
    tcase_add_test(cases, need_holds_the_setpoint_in_one_hour);
    tcase_add_test(cases, no_air_exchange_is_accepted);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
