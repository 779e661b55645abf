// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Kinds of loop beside each other: their responses, mixed loops, backfill, water used once.
#include "loop/kind.h"
#include "loop/size.h"

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
    gw_loop_pipe pipes[GW_LOOP_PARTS_MAX];
    gw_loop_fluid fluid;
    gw_loop_limits limits;
} site;

static gw_plant made_plant(void)
{
    const gw_plant_input input = {
        .pump = {.id = "made",
                 .name = "made for the test",
                 .source = "invented",
                 .heating = {.points = {{-5.0, 9300.0, 2400.0}, {10.0, 13500.0, 2750.0}},
                             .count = 2},
                 .cooling = {.points = {{10.0, 13000.0, 1900.0}, {25.0, 11500.0, 2600.0}},
                             .count = 2},
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

static site *made_site(void)
{
    static site s;
    memset(&s, 0, sizeof s);
    s.arena = gw_arena_create(0);
    for (size_t h = 0; h < GW_LOOP_HOURS; h++) {
        const double season = cos(2.0 * PI_TEST * ((double)h / 24.0 - 20.0) / 365.0);
        const double daily = cos(2.0 * PI_TEST * ((double)h - 5.0) / 24.0);
        const double out_degc = 5.5 - 16.0 * season - 5.0 * daily;
        s.heating_w[h] = fmax(330.0 * (14.0 - out_degc), 0.0);
        s.cooling_w[h] = fmax(330.0 * (out_degc - 22.0), 0.0);
    }
    s.plant = made_plant();
    s.layer = (gw_soil_layer){.thickness_m = 1.0,
                              .soil = {.conductivity_w_mk = 1.6,
                                       .volumetric_heat_j_m3k = 2.3e6,
                                       .frozen_conductivity_w_mk = 1.6,
                                       .frozen_volumetric_heat_j_m3k = 2.3e6}};
    s.ground =
        (gw_loop_ground){.profile = {.layers = &s.layer, .count = 1},
                         .surface = {.mean_degc = 8.0, .amplitude_k = 11.0, .phase_day = 40.0}};
    for (size_t i = 0; i < GW_LOOP_PARTS_MAX; i++) {
        s.pipes[i] = (gw_loop_pipe){0.0267, 0.0218, 0.4};
    }
    s.fluid = (gw_loop_fluid){.flow_m3_s = 7e-4, // methanol 17 % by mass at −3 °C, Melinder 2010
                              .props = {.density_kg_m3 = 975.9,
                                        .heat_j_kgk = 4139.0,
                                        .conductivity_w_mk = 0.472,
                                        .viscosity_pa_s = 3.44e-3}};
    s.limits = (gw_loop_limits){.min_entering_degc = -3.0, .max_entering_degc = 32.0, .years = 5.0};
    return &s;
}

static gw_loop_plan trench_plan(size_t count)
{
    return (gw_loop_plan){.name = "trench",
                          .kind = GW_LOOP_TRENCH,
                          .free = GW_FREE_NOTHING,
                          .trench = {.count = count,
                                     .length_m = 90.0,
                                     .spacing_m = 4.0,
                                     .depth_m = 1.8,
                                     .width_m = 0.6,
                                     .pipes = 2,
                                     .arrangement = GW_PIPES_ON_FLOOR,
                                     .pipe_gap_m = 0.4,
                                     .max_length_m = 400.0}};
}

static gw_loop_plan coil_plan(void)
{
    return (gw_loop_plan){.name = "coil",
                          .kind = GW_LOOP_COIL,
                          .free = GW_FREE_LENGTH,
                          .coil = {.count = 4,
                                   .length_m = 40.0,
                                   .spacing_m = 4.0,
                                   .depth_m = 1.8,
                                   .width_m = 1.0,
                                   .ring_diameter_m = 0.9,
                                   .pitch_m = 0.6,
                                   .max_length_m = 200.0}};
}

static gw_loop_plan bores_plan(void)
{
    return (gw_loop_plan){.name = "bores",
                          .kind = GW_LOOP_BORES,
                          .free = GW_FREE_NOTHING,
                          .bores = {.count = 2,
                                    .depth_m = 80.0,
                                    .top_m = 1.5,
                                    .diameter_m = 0.15,
                                    .spacing_m = 6.0,
                                    .u_tubes = 1,
                                    .grout_conductivity_w_mk = 1.4,
                                    .grout_volumetric_heat_j_m3k = 2.9e6}};
}

static gw_loop_response respond(site *s, const gw_loop_plan *plan, double flow_m3_s)
{
    gw_loop_fluid fluid = s->fluid;
    fluid.flow_m3_s = flow_m3_s;
    const gw_loop_site at = {.plan = plan,
                             .ground = &s->ground,
                             .pipe = s->pipes,
                             .fluid = &fluid,
                             .years = s->limits.years};
    gw_loop_response out;
    gw_err err = {0};
    ck_assert_msg(gw_loop_respond(s->arena, &at, &out, &err) == GW_OK, "%s: %s", err.field,
                  err.text);
    return out;
}

static gw_loop_plan mixed_of(const gw_loop_plan *parts, size_t count)
{
    return (gw_loop_plan){.name = "mixed",
                          .kind = GW_LOOP_MIXED,
                          .free = GW_FREE_NOTHING,
                          .mixed = {.parts = parts, .part_count = count, .free_part = count}};
}

static gw_status size_plan(site *s, const gw_loop_plan *plan, gw_loop_sized *out, gw_err *err)
{
    const gw_loop_task task = {.plan = plan,
                               .ground = &s->ground,
                               .pipe = s->pipes,
                               .fluid = &s->fluid,
                               .limits = &s->limits,
                               .heating_w = s->heating_w,
                               .cooling_w = s->cooling_w,
                               .plant = &s->plant,
                               .first_month = GW_LOOP_FIRST_MONTH};
    return gw_loop_size(s->arena, &task, out, err);
}

// ---------------------------------------------------------------- rows

START_TEST(every_kind_has_its_row_and_its_doubles)
{
    for (int kind = GW_LOOP_BORES; kind <= GW_LOOP_MIXED; kind++) {
        const gw_loop_kind_row *const row = gw_loop_kind_row_of((gw_loop_kind)kind);
        ck_assert(row != NULL && row->id != NULL && row->one != NULL && row->many != NULL);
        gw_loop_plan plan = {.kind = (gw_loop_kind)kind};
        ck_assert((gw_loop_count(&plan) != NULL) == (row->number != NULL));
    }
    ck_assert_ptr_null(gw_loop_kind_row_of((gw_loop_kind)(GW_LOOP_MIXED + 1)));
    gw_loop_plan pond = {.kind = GW_LOOP_POND, .pond = {.bundles = 3}};
    *gw_loop_each(&pond) = 50.0;
    ck_close(gw_loop_length_m(&pond), 150.0, 1e-12);
    gw_loop_plan well = {.kind = GW_LOOP_WELL, .well = {.well = {.pump_depth_m = 20.0}}};
    ck_assert_ptr_null(gw_loop_each(&well));
    ck_close(gw_loop_length_m(&well), 46.0, 1e-12); // two wells, 3 m below the pump
}
END_TEST

// ---------------------------------------------------------------- mixed loops

// Two equal halves far apart are one loop with half the flow each: the response of one half, as
// its heat per metre is the same.
START_TEST(two_equal_halves_are_one_whole)
{
    site *const s = made_site();
    const gw_loop_plan parts[] = {trench_plan(2), trench_plan(2)};
    const gw_loop_plan both = mixed_of(parts, 2);
    const gw_loop_response half = respond(s, &parts[0], 0.5 * s->fluid.flow_m3_s);
    const gw_loop_response whole = respond(s, &both, s->fluid.flow_m3_s);
    ck_close(whole.length_m, 2.0 * half.length_m, 1e-12);
    ck_close(whole.capacity_w_k, 2.0 * half.capacity_w_k, 1e-12);
    ck_close(whole.undisturbed_degc, half.undisturbed_degc, 1e-12);
    ck_close(whole.wave.real_k, half.wave.real_k, 1e-9);
    ck_close(whole.wave.imag_k, half.wave.imag_k, 1e-9);
    for (double t_s = 3600.0; t_s < 5.0 * GW_YEAR_S; t_s *= 2.0) {
        ck_close(gw_exp_step(&whole.step, t_s), gw_exp_step(&half.step, t_s), 1e-4);
    }
    ck_assert_uint_eq(whole.circuits, 4);
    gw_arena_destroy(s->arena);
}
END_TEST

// A part of almost no length gives almost nothing, with the flow that then goes through it.
START_TEST(a_tiny_part_changes_nothing)
{
    site *const s = made_site();
    gw_loop_plan parts[] = {trench_plan(4), trench_plan(1)};
    parts[1].trench.length_m = 2.0;
    parts[1].trench.pipes = 1;
    gw_loop_plan both = mixed_of(parts, 2);
    both.mixed.flow_frac[0] = 1.0 - 1e-3;
    both.mixed.flow_frac[1] = 1e-3;
    const gw_loop_response alone = respond(s, &parts[0], s->fluid.flow_m3_s);
    const gw_loop_response whole = respond(s, &both, s->fluid.flow_m3_s);
    ck_close(whole.undisturbed_degc, alone.undisturbed_degc, 1e-6);
    // Per watt of the whole loop.
    for (double t_s = 86400.0; t_s < 5.0 * GW_YEAR_S; t_s *= 3.0) {
        ck_close(gw_exp_step(&whole.step, t_s) / whole.length_m,
                 gw_exp_step(&alone.step, t_s) / alone.length_m, 0.01);
    }
    gw_arena_destroy(s->arena);
}
END_TEST

// Steady state of two unlike parts by hand: Z = 1/Σ 1/(h/L + 1/2C).
START_TEST(unlike_parts_share_steady_heat_by_their_conductance)
{
    site *const s = made_site();
    const gw_loop_plan parts[] = {bores_plan(), trench_plan(2)};
    gw_loop_plan both = mixed_of(parts, 2);
    both.mixed.flow_frac[0] = 0.4;
    both.mixed.flow_frac[1] = 0.6;
    const double flow_m3_s = s->fluid.flow_m3_s;
    const gw_loop_response a = respond(s, &parts[0], 0.4 * flow_m3_s);
    const gw_loop_response b = respond(s, &parts[1], 0.6 * flow_m3_s);
    const gw_loop_response whole = respond(s, &both, flow_m3_s);
    const double ga = 1.0 / (gw_exp_step(&a.step, 1e30) / a.length_m + 0.5 / a.capacity_w_k);
    const double gb = 1.0 / (gw_exp_step(&b.step, 1e30) / b.length_m + 0.5 / b.capacity_w_k);
    const double want = 1.0 / (ga + gb) - 0.5 / whole.capacity_w_k;
    ck_close(gw_exp_step(&whole.step, 1e30) / whole.length_m, want, 1e-4);
    ck_close(whole.undisturbed_degc,
             (ga * a.undisturbed_degc + gb * b.undisturbed_degc) / (ga + gb), 1e-9);
    ck_assert(whole.step.fit_error_frac < 5e-3);
    // Between the two, in watts for each kelvin, at every time: more than either alone.
    for (double t_s = 7200.0; t_s < 5.0 * GW_YEAR_S; t_s *= 4.0) {
        const double z = gw_exp_step(&whole.step, t_s) / whole.length_m + 0.5 / whole.capacity_w_k;
        ck_assert_double_lt(z, gw_exp_step(&a.step, t_s) / a.length_m + 0.5 / a.capacity_w_k);
        ck_assert_double_lt(z, gw_exp_step(&b.step, t_s) / b.length_m + 0.5 / b.capacity_w_k);
    }
    gw_arena_destroy(s->arena);
}
END_TEST

START_TEST(the_free_part_of_a_mixed_loop_is_sized)
{
    site *const s = made_site();
    gw_loop_plan parts[] = {bores_plan(), trench_plan(3)};
    gw_loop_plan both = mixed_of(parts, 2);
    both.free = GW_FREE_LENGTH;
    both.mixed.free_part = 1;
    gw_loop_sized sized;
    gw_err err = {0};
    ck_assert_msg(size_plan(s, &both, &sized, &err) == GW_OK, "%s", err.text);
    ck_assert(sized.holds && sized.try_count <= 12);
    const gw_loop_plan trench = gw_loop_part(&sized.plan, 1);
    ck_assert_double_eq(trench.trench.length_m, sized.plan.mixed.free_each_m);
    ck_assert_double_eq(parts[1].trench.length_m, 90.0); // the job's own plan is not touched
    // More bores beside it, less trench.
    parts[0].bores.count = 3;
    gw_loop_sized more;
    ck_assert_int_eq(size_plan(s, &both, &more, &err), GW_OK);
    ck_assert_double_le(more.plan.mixed.free_each_m, sized.plan.mixed.free_each_m);
    gw_arena_destroy(s->arena);
}
END_TEST

// ---------------------------------------------------------------- coils

START_TEST(a_coil_is_sized_and_a_metre_less_does_not_hold)
{
    site *const s = made_site();
    const gw_loop_plan plan = coil_plan();
    gw_loop_sized sized;
    gw_err err = {0};
    ck_assert_msg(size_plan(s, &plan, &sized, &err) == GW_OK, "%s", err.text);
    ck_assert(sized.holds && sized.governor == GW_GOVERNED_BY_COLD && sized.try_count <= 12);
    gw_loop_plan less = sized.plan;
    less.free = GW_FREE_NOTHING;
    less.coil.length_m -= 2.0;
    gw_loop_sized shorter;
    ck_assert_int_eq(size_plan(s, &less, &shorter, &err), GW_OK);
    ck_assert(!shorter.holds);
    // Rings closer together need less trench, and more pipe.
    gw_loop_plan tight = plan;
    tight.coil.pitch_m = 0.3;
    gw_loop_sized dense;
    ck_assert_int_eq(size_plan(s, &tight, &dense, &err), GW_OK);
    ck_assert_double_lt(dense.plan.coil.length_m, sized.plan.coil.length_m);
    ck_assert_double_gt(gw_loop_length_m(&dense.plan), gw_loop_length_m(&sized.plan));
    gw_arena_destroy(s->arena);
}
END_TEST

START_TEST(coil_trenches_are_drawn_with_two_lines_of_their_heat)
{
    site *const s = made_site();
    const gw_loop_plan plan = coil_plan();
    const gw_loop_response r = respond(s, &plan, s->fluid.flow_m3_s);
    ck_assert_uint_eq(r.segment_count, 2 * plan.coil.count);
    double heat_w = 0.0; // for 1 W/m of ring pipe
    for (size_t i = 0; i < r.segment_count; i++) {
        heat_w += r.load_ratio * r.segments[i].length_m;
    }
    ck_close(heat_w, r.length_m, 1e-9);
    ck_assert_uint_eq(r.circuits, plan.coil.count);
    gw_arena_destroy(s->arena);
}
END_TEST

// ---------------------------------------------------------------- backfill

START_TEST(backfill_like_the_soil_changes_nothing_and_poor_backfill_costs)
{
    site *const s = made_site();
    gw_loop_plan plan = trench_plan(2);
    const gw_loop_response native = respond(s, &plan, s->fluid.flow_m3_s);
    double before = 0.0;
    static const double K[] = {3.0, 1.6, 0.8};
    for (int i = 0; i < 3; i++) {
        plan.trench.backfill_w_mk = K[i];
        plan.trench.backfill_height_m = 0.4;
        const gw_loop_response r = respond(s, &plan, s->fluid.flow_m3_s);
        const double month = gw_exp_step(&r.step, 30.0 * 86400.0);
        ck_assert_double_gt(month, before);
        ck_assert_double_gt(gw_exp_step(&r.step, 3600.0), 0.0);
        before = month;
        if (K[i] == 1.6) {
            ck_close(month, gw_exp_step(&native.step, 30.0 * 86400.0), 1e-9);
            ck_close(r.steady_mk_w, native.steady_mk_w, 1e-12);
        }
    }
    gw_arena_destroy(s->arena);
}
END_TEST

START_TEST(four_pipes_lie_in_the_corners)
{
    gw_loop_plan plan = trench_plan(1);
    plan.trench.pipes = 4;
    plan.trench.arrangement = GW_PIPES_TWO_SIDES;
    gw_loop_section_pipe p[GW_LOOP_PIPES_MAX];
    gw_err err = {0};
    ck_assert_int_eq(gw_loop_trench_section(&plan.trench, 0.0267, p, &err), GW_OK);
    ck_assert(p[0].x_m == -p[1].x_m && p[2].x_m == p[0].x_m && p[3].x_m == p[1].x_m);
    ck_assert(p[0].depth_m == 1.8 && p[1].depth_m == 1.8);
    ck_close(p[2].depth_m, 1.4, 1e-12);
}
END_TEST

// ---------------------------------------------------------------- water

START_TEST(water_used_once_enters_at_its_own_temperature)
{
    site *const s = made_site();
    gw_loop_plan plan = {.name = "well",
                         .kind = GW_LOOP_WELL,
                         .free = GW_FREE_LENGTH,
                         .header_m = 20.0,
                         .well = {.well = {.water_degc = 9.0,
                                           .yield_m3_s = 1e-3,
                                           .static_level_m = 5.0,
                                           .pump_depth_m = 20.0,
                                           .well_diameter_m = 0.15,
                                           .aquifer = {1e-3, 1e-3},
                                           .thickness_m = 10.0,
                                           .aquifer_heat_j_m3k = 2.5e6,
                                           .return_distance_m = 30.0}}};
    gw_loop_sized sized;
    gw_err err = {0};
    ck_assert_msg(size_plan(s, &plan, &sized, &err) == GW_OK, "%s", err.text);
    ck_assert(sized.try_count == 1 && sized.holds && sized.response.once_through);
    ck_assert_double_eq(sized.result.coldest.degc, 9.0);
    ck_assert_double_eq(sized.result.warmest.degc, 9.0);
    ck_close(9.0 - sized.result.leaving_degc,
             sized.result.peak_extraction_w / sized.response.capacity_w_k, 1e-9);
    plan.well.well.water_degc = 0.0;
    ck_assert_int_eq(size_plan(s, &plan, &sized, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "well.water_degc");
    gw_arena_destroy(s->arena);
}
END_TEST

START_TEST(pond_and_mixed_plans_without_what_they_need_are_refused)
{
    site *const s = made_site();
    gw_loop_sized sized;
    gw_err err = {0};
    gw_loop_plan pond = {.name = "pond",
                         .kind = GW_LOOP_POND,
                         .free = GW_FREE_NOTHING,
                         .pond = {.area_m2 = 2000.0,
                                  .depth_m = 3.0,
                                  .bundles = 3,
                                  .bundle_m = 100.0,
                                  .clearness_m = 2.0}};
    ck_assert_int_eq(size_plan(s, &pond, &sized, &err), GW_ERR_MISSING); // no water
    const gw_loop_plan parts[] = {bores_plan(), pond};
    gw_loop_plan mixed = mixed_of(parts, 1);
    ck_assert_int_eq(size_plan(s, &mixed, &sized, &err), GW_ERR_RANGE);
    mixed = mixed_of(parts, 2);
    ck_assert_int_eq(size_plan(s, &mixed, &sized, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "parts[1].kind");
    gw_loop_plan coil = coil_plan();
    coil.coil.ring_diameter_m = 1.2; // wider than the trench
    ck_assert_int_eq(size_plan(s, &coil, &sized, &err), GW_ERR_GEOMETRY);
    ck_assert_str_eq(err.field, "coil.width_m");
    gw_arena_destroy(s->arena);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("kinds");
    TCase *const tc = tcase_create("kinds of loop");
    tcase_set_timeout(tc, 120.0);
    tcase_add_test(tc, every_kind_has_its_row_and_its_doubles);
    tcase_add_test(tc, two_equal_halves_are_one_whole);
    tcase_add_test(tc, a_tiny_part_changes_nothing);
    tcase_add_test(tc, unlike_parts_share_steady_heat_by_their_conductance);
    tcase_add_test(tc, the_free_part_of_a_mixed_loop_is_sized);
    tcase_add_test(tc, a_coil_is_sized_and_a_metre_less_does_not_hold);
    tcase_add_test(tc, coil_trenches_are_drawn_with_two_lines_of_their_heat);
    tcase_add_test(tc, backfill_like_the_soil_changes_nothing_and_poor_backfill_costs);
    tcase_add_test(tc, four_pipes_lie_in_the_corners);
    tcase_add_test(tc, water_used_once_enters_at_its_own_temperature);
    tcase_add_test(tc, pond_and_mixed_plans_without_what_they_need_are_refused);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
