// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Sizing on a made house of 12 kW (3.4 tons) in a cold climate: 8 °C ground, rock of 2.4 W/(m·K),
// loam of 1.2 W/(m·K).
#include "loop/size.h"

#include "loop/frozen.h"

#include "harness.h"

#include <math.h>
#include <string.h>

static const double PI_TEST = 3.14159265358979323846;

typedef struct {
    gw_arena *arena;
    double heating_w[GW_LOOP_HOURS];
    double cooling_w[GW_LOOP_HOURS];
    gw_plant plant;
    gw_soil_layer layer;
    gw_loop_ground ground;
    gw_loop_pipe pipe;
    gw_loop_fluid fluid;
    gw_loop_limits limits;
} site;

static gw_plant made_plant(void)
{
    const gw_plant_input input = {
        .pump = {.id = "made",
                 .name = "made for the test",
                 .source = "invented",
                 .heating = {.points = {{-5.0, 9300.0, 2400.0},
                                        {0.0, 10500.0, 2550.0},
                                        {10.0, 13500.0, 2750.0}},
                             .count = 3},
                 .cooling = {.points = {{10.0, 13000.0, 1900.0}, {25.0, 11500.0, 2600.0}},
                             .count = 2},
                 .blower_power_w = 300.0,
                 .rated_flow_m3_s = 5.7e-4,
                 .min_entering_degc = -8.0,
                 .max_entering_degc = 40.0},
        .unit_count = 1,
        .cycling_coefficient = 0.18,
        .circulator_power_w = 150.0,
        .circulator_heat_frac = 0.5,
    };
    gw_plant plant;
    gw_err err = {0};
    ck_assert_msg(gw_plant_build(&input, &plant, &err) == GW_OK, "%s", err.text);
    return plant;
}

static site *made_site(double conductivity_w_mk)
{
    static site s;
    memset(&s, 0, sizeof s);
    s.arena = gw_arena_create(0);
    for (size_t h = 0; h < GW_LOOP_HOURS; h++) {
        // Outdoor temperature of a made year: season, day, and a cold spell every two weeks; 240
        // W/K below 16 °C, cooling above 22 °C. Design hour about −21 °C, January mean −9 °C.
        const double season = cos(2.0 * PI_TEST * ((double)h / 24.0 - 20.0) / 365.0);
        const double daily = cos(2.0 * PI_TEST * ((double)h - 5.0) / 24.0);
        const double spell = cos(2.0 * PI_TEST * (double)h / 24.0 / 15.2);
        const double out_degc = 5.5 - 14.5 * season - 4.0 * daily - 8.0 * spell;
        s.heating_w[h] = fmax(330.0 * (14.0 - out_degc), 0.0);
        s.cooling_w[h] = fmax(330.0 * (out_degc - 22.0), 0.0);
    }
    s.plant = made_plant();
    s.layer = (gw_soil_layer){.thickness_m = 1.0,
                              .soil = {.conductivity_w_mk = conductivity_w_mk,
                                       .volumetric_heat_j_m3k = 2.3e6,
                                       .frozen_conductivity_w_mk = conductivity_w_mk,
                                       .frozen_volumetric_heat_j_m3k = 2.0e6}};
    s.ground =
        (gw_loop_ground){.profile = {.layers = &s.layer, .count = 1},
                         .surface = {.mean_degc = 8.0, .amplitude_k = 11.0, .phase_day = 40.0}};
    s.pipe = (gw_loop_pipe){
        .outer_diameter_m = 0.0334, .inner_diameter_m = 0.0273, .conductivity_w_mk = 0.4};
    // Ethanol 20 % by mass at 0 °C (Melinder 2010).
    s.fluid = (gw_loop_fluid){.flow_m3_s = 5.7e-4,
                              .props = {.density_kg_m3 = 975.8,
                                        .heat_j_kgk = 4369.0,
                                        .conductivity_w_mk = 0.4478,
                                        .viscosity_pa_s = 5.249e-3}};
    s.limits =
        (gw_loop_limits){.min_entering_degc = -1.0, .max_entering_degc = 32.0, .years = 25.0};
    return &s;
}

static gw_loop_plan bores_plan(void)
{
    return (gw_loop_plan){.name = "bores",
                          .kind = GW_LOOP_BORES,
                          .free = GW_FREE_LENGTH,
                          .bores = {.count = 5,
                                    .top_m = 1.5,
                                    .diameter_m = 0.15,
                                    .spacing_m = 6.0,
                                    .rows = 1,
                                    .u_tubes = 1,
                                    .grout_conductivity_w_mk = 1.4,
                                    .grout_volumetric_heat_j_m3k = 2.9e6,
                                    .max_depth_m = 200.0}};
}

static gw_loop_plan trench_plan(void)
{
    return (gw_loop_plan){.name = "trench",
                          .kind = GW_LOOP_TRENCH,
                          .free = GW_FREE_LENGTH,
                          .trench = {.count = 4,
                                     .spacing_m = 3.0,
                                     .depth_m = 1.8,
                                     .width_m = 0.6,
                                     .pipes = 2,
                                     .arrangement = GW_PIPES_ON_FLOOR,
                                     .pipe_gap_m = 0.6,
                                     .max_length_m = 300.0}};
}

static gw_loop_task task_of(site *s, const gw_loop_plan *plan)
{
    return (gw_loop_task){.plan = plan,
                          .ground = &s->ground,
                          .pipe = &s->pipe,
                          .fluid = &s->fluid,
                          .limits = &s->limits,
                          .heating_w = s->heating_w,
                          .cooling_w = s->cooling_w,
                          .plant = &s->plant,
                          .first_month = GW_LOOP_FIRST_MONTH};
}

static void size_plan(site *s, const gw_loop_plan *plan, gw_loop_sized *out)
{
    gw_err err = {0};
    const gw_loop_task task = task_of(s, plan);
    ck_assert_msg(gw_loop_size(s->arena, &task, out, &err) == GW_OK, "%s: %s", err.field, err.text);
}

// TRADE: a 3–4 ton cold-climate house lands on 5–6 bores of 200–300 ft (common practice, no
// source).
START_TEST(bores_of_a_house_land_where_the_trade_puts_them)
{
    site *const s = made_site(2.4);
    const gw_loop_plan plan = bores_plan();
    gw_loop_sized sized;
    size_plan(s, &plan, &sized);
    ck_assert(sized.holds && sized.governor == GW_GOVERNED_BY_COLD);
    ck_assert_msg(sized.plan.bores.depth_m > 40.0 && sized.plan.bores.depth_m < 95.0,
                  "5 bores of %.1f m", sized.plan.bores.depth_m);
    ck_assert_msg(sized.try_count <= 12, "%zu horizons", sized.try_count);
    ck_assert_double_ge(sized.margin_k, 0.0);
    // A metre less does not hold: the sizing is not generous.
    gw_loop_plan less = sized.plan;
    less.free = GW_FREE_NOTHING;
    less.bores.depth_m -= 2.0;
    gw_loop_sized shorter;
    size_plan(s, &less, &shorter);
    ck_assert(!shorter.holds);
    gw_arena_destroy(s->arena);
}
END_TEST

// Methanol 17 % by mass at −3 °C (Melinder 2010), turbulent in the pipes; water down to 25 °F.
static void thin_fluid_and_cold_limit(site *s)
{
    s->fluid.props = (gw_film_fluid){.density_kg_m3 = 975.9,
                                     .heat_j_kgk = 4139.0,
                                     .conductivity_w_mk = 0.472,
                                     .viscosity_pa_s = 3.44e-3};
    s->limits.min_entering_degc = -3.9;
}

// Ice: the ground gives up its latent heat, so the fluid is warmer; none of it where nothing
// freezes.
START_TEST(ice_warms_the_coldest_day_and_balances)
{
    site *const s = made_site(1.3);
    thin_fluid_and_cold_limit(s);
    s->layer.soil.frozen_conductivity_w_mk = 1.6;
    s->layer.soil.latent_heat_j_m3 = 64e6;
    gw_loop_plan plan = trench_plan();
    plan.free = GW_FREE_NOTHING;
    plan.trench.length_m = 80.0;
    gw_loop_sized sized;
    size_plan(s, &plan, &sized);
    ck_assert(gw_loop_may_freeze(&sized.response, &sized.result));
    const gw_loop_site at = {.plan = &sized.plan,
                             .ground = &s->ground,
                             .pipe = &s->pipe,
                             .fluid = &s->fluid,
                             .years = s->limits.years};
    const gw_loop_freeze_case by = {.first_month = GW_LOOP_FIRST_MONTH, .heat_scale = 1.0};
    gw_loop_frozen frozen;
    gw_err err = {0};
    ck_assert_msg(gw_loop_freeze(s->arena, &at, &sized.result, &by, &frozen, &err) == GW_OK, "%s",
                  err.text);
    ck_assert(frozen.coldest_gain_k > 0.3 && frozen.greatest_radius_m > 0.1 &&
              frozen.greatest_radius_m < 1.5);
    ck_assert(frozen.worst_imbalance_frac < 1e-6);
    // Simulated again with the ice, the loop is warmer, by no more than the ice gave.
    gw_loop_task task = task_of(s, &plan);
    task.correction_k = frozen.correction_k;
    gw_loop_sized again;
    ck_assert_int_eq(gw_loop_size(s->arena, &task, &again, &err), GW_OK);
    const double gain_k = again.result.coldest.degc - sized.result.coldest.degc;
    ck_assert_msg(gain_k > 0.3 && gain_k < frozen.coldest_gain_k + 0.5, "%.2f K of %.2f K", gain_k,
                  frozen.coldest_gain_k);
    // A loop far too long freezes nothing.
    plan.trench.length_m = 600.0;
    plan.trench.depth_m = 2.4;
    size_plan(s, &plan, &sized);
    ck_assert(!gw_loop_may_freeze(&sized.response, &sized.result));
    const gw_loop_site bores = {.plan = &(gw_loop_plan){.kind = GW_LOOP_BORES},
                                .ground = &s->ground};
    ck_assert_int_eq(gw_loop_freeze(s->arena, &bores, &sized.result, &by, &frozen, &err),
                     GW_ERR_RANGE);
    gw_arena_destroy(s->arena);
}
END_TEST

// Same trenches and heat, half the spacing: colder ground, so never warmer water, ice or no ice.
START_TEST(crowding_trenches_never_warms_the_water)
{
    const size_t counts[] = {2, 4, 8};
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        double coldest_degc[2];
        for (int half = 0; half < 2; half++) {
            site *const s = made_site(1.3);
            thin_fluid_and_cold_limit(s);
            s->layer.soil.frozen_conductivity_w_mk = 1.6;
            s->layer.soil.latent_heat_j_m3 = 64e6;
            gw_loop_plan plan = trench_plan();
            plan.free = GW_FREE_NOTHING;
            plan.trench.count = counts[i];
            plan.trench.length_m = 320.0 / (double)counts[i];
            plan.trench.spacing_m = half ? 1.8 : 3.6;
            plan.circuits = 4;
            gw_loop_task task = task_of(s, &plan);
            const gw_loop_freeze_case by = {.first_month = GW_LOOP_FIRST_MONTH, .heat_scale = 1.0};
            gw_loop_sized sized;
            gw_loop_frozen frozen;
            gw_err err = {0};
            for (int round = 0; round < 3; round++) {
                ck_assert_int_eq(gw_loop_size(s->arena, &task, &sized, &err), GW_OK);
                const gw_loop_site at = {.plan = &sized.plan,
                                         .ground = &s->ground,
                                         .pipe = &s->pipe,
                                         .fluid = &s->fluid,
                                         .years = s->limits.years};
                ck_assert_int_eq(gw_loop_freeze(s->arena, &at, &sized.result, &by, &frozen, &err),
                                 GW_OK);
                task.correction_k = frozen.correction_k;
            }
            coldest_degc[half] = sized.result.coldest.degc;
            gw_arena_destroy(s->arena);
        }
        ck_assert_msg(coldest_degc[1] <= coldest_degc[0] + 0.02,
                      "%zu trenches: %.2f at half the spacing, %.2f", counts[i], coldest_degc[1],
                      coldest_degc[0]);
    }
}
END_TEST

START_TEST(number_of_bores_can_be_the_free_one)
{
    site *const s = made_site(2.4);
    gw_loop_plan plan = bores_plan();
    plan.free = GW_FREE_COUNT;
    plan.bores.depth_m = 60.0;
    gw_loop_sized sized;
    size_plan(s, &plan, &sized);
    ck_assert(sized.holds);
    gw_loop_plan less = sized.plan;
    less.free = GW_FREE_NOTHING;
    less.bores.count -= 1;
    gw_loop_sized fewer;
    size_plan(s, &less, &fewer);
    ck_assert(!fewer.holds);
    gw_arena_destroy(s->arena);
}
END_TEST

START_TEST(better_ground_never_needs_a_longer_loop)
{
    double before_m = INFINITY;
    for (double k = 1.2; k < 3.7; k += 0.8) {
        site *const s = made_site(k);
        const gw_loop_plan plan = bores_plan();
        gw_loop_sized sized;
        size_plan(s, &plan, &sized);
        ck_assert(sized.plan.bores.depth_m <= before_m);
        before_m = sized.plan.bores.depth_m;
        gw_arena_destroy(s->arena);
    }
}
END_TEST

START_TEST(a_loop_that_cannot_hold_says_so)
{
    site *const s = made_site(1.0);
    gw_loop_plan plan = bores_plan();
    plan.bores.max_depth_m = 40.0;
    gw_loop_sized sized;
    size_plan(s, &plan, &sized);
    ck_assert(!sized.holds && sized.margin_k < 0.0);
    ck_assert(sized.plan.bores.depth_m == 40.0);
    gw_arena_destroy(s->arena);
}
END_TEST

START_TEST(impossible_plans_name_the_field)
{
    site *const s = made_site(2.4);
    gw_loop_sized sized;
    gw_err err = {0};
    gw_loop_plan plan = bores_plan();
    plan.bores.spacing_m = 0.1;
    gw_loop_task task = task_of(s, &plan);
    ck_assert_int_eq(gw_loop_size(s->arena, &task, &sized, &err), GW_ERR_GEOMETRY);
    plan = bores_plan();
    plan.bores.shank_m = 0.14; // the pipes would leave the bore
    task = task_of(s, &plan);
    ck_assert_int_ne(gw_loop_size(s->arena, &task, &sized, &err), GW_OK);
    plan = trench_plan();
    plan.trench.pipes = 6; // on the floor of 0.6 m they fit; three layers 0.6 m apart do not
    plan.trench.arrangement = GW_PIPES_STACKED;
    task = task_of(s, &plan);
    ck_assert_int_eq(gw_loop_size(s->arena, &task, &sized, &err), GW_ERR_GEOMETRY);
    ck_assert_str_eq(err.field, "trench.pipe_gap_m");
    plan = trench_plan();
    plan.trench.spacing_m = 0.4;
    task = task_of(s, &plan);
    ck_assert_int_eq(gw_loop_size(s->arena, &task, &sized, &err), GW_ERR_GEOMETRY);
    ck_assert_str_eq(err.field, "trench.spacing_m");
    gw_arena_destroy(s->arena);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("size");
    TCase *const tc = tcase_create("sizing");
    tcase_set_timeout(tc, 120.0);
    tcase_add_test(tc, bores_of_a_house_land_where_the_trade_puts_them);
    tcase_add_test(tc, ice_warms_the_coldest_day_and_balances);
    tcase_add_test(tc, crowding_trenches_never_warms_the_water);
    tcase_add_test(tc, number_of_bores_can_be_the_free_one);
    tcase_add_test(tc, better_ground_never_needs_a_longer_loop);
    tcase_add_test(tc, a_loop_that_cannot_hold_says_so);
    tcase_add_test(tc, impossible_plans_name_the_field);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
