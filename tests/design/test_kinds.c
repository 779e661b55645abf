// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Coils, ponds, open wells and mixed loops through the whole design: they stand on the examples, or
// say why not.
#include "design/design.h"

#include "harness.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct {
    gw_arena *arena;
    gw_units *units;
    gw_err err;
} desk;

static desk open_desk(void)
{
    desk d = {.arena = gw_arena_create(0)};
    d.units = gw_units_create(&d.err);
    ck_assert(d.units != NULL);
    return d;
}

static void close_desk(desk *d)
{
    gw_units_destroy(d->units);
    gw_arena_destroy(d->arena);
}

// A copy of an example with one of its loops, both free to change.
typedef struct {
    gw_job job;
    gw_loop_plan loop;
} one_loop;

static one_loop *open_job(desk *d, const char *name, size_t loop)
{
    enum { MOST = 1 << 16 };
    char path[512];
    snprintf(path, sizeof path, "%s/examples/%s.json", GW_SOURCE_DIR, name);
    FILE *const file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s cannot be opened", path);
    char *const text = gw_arena_alloc(d->arena, MOST, 1);
    const size_t length = fread(text, 1, MOST - 1, file);
    fclose(file);
    const gw_job_source source = {
        .arena = d->arena, .units = d->units, .text = text, .length = length};
    gw_form_report report;
    const gw_job *job = NULL;
    ck_assert_msg(gw_job_read(&source, &job, &report, &d->err) == GW_OK, "%s: %s", d->err.field,
                  d->err.text);
    one_loop *const out = gw_arena_alloc(d->arena, 1, sizeof *out);
    out->job = *job;
    out->loop = job->loops[loop];
    out->job.loops = &out->loop;
    out->job.loop_count = 1;
    return out;
}

// Stands or not: the loop as designed.
static const gw_design *design_of(desk *d, const one_loop *o)
{
    const gw_design *design = NULL;
    const gw_design_input input = {.job = &o->job};
    const gw_status st = gw_design_run(d->arena, &input, &design, &d->err);
    ck_assert_msg(st == GW_OK || st == GW_ERR_CAPACITY, "%s: %s", d->err.field, d->err.text);
    ck_assert_int_eq(st == GW_OK, design->loops[0].stands);
    for (size_t i = 0; i < design->loops[0].verdicts.count; i++) {
        const gw_verdict *const v = &design->loops[0].verdicts.items[i];
        ck_assert_msg(isfinite(v->found) && v->what != NULL && v->because != NULL, "%s", v->what);
    }
    return design;
}

static const gw_verdict *verdict_of(const gw_design_loop *loop, const char *what)
{
    for (size_t i = 0; i < loop->verdicts.count; i++) {
        if (strstr(loop->verdicts.items[i].what, what) != NULL) {
            return &loop->verdicts.items[i];
        }
    }
    ck_abort_msg("no verdict on %s", what);
    return NULL;
}

static double amount_of(const gw_design_loop *loop, const char *key)
{
    for (size_t i = 0; i < loop->estimate.line_count; i++) {
        if (strcmp(loop->estimate.lines[i].key, key) == 0) {
            return loop->estimate.lines[i].quantity;
        }
    }
    return 0.0;
}

// What the house gets is what the ground gives and the meter sells (half of the circulator's power
// ends in the fluid).
static void check_balance(const gw_design_loop *loop)
{
    const gw_loop_energy *const y = &loop->sized.result.last;
    const double in_j =
        y->ground_j + y->compressor_j + y->blower_j + 0.5 * y->circulator_j + y->auxiliary_j;
    ck_close(in_j, y->heating_j + y->hot_water_j - y->cooling_j, 1e-5);
}

// ---------------------------------------------------------------- coil

START_TEST(coils_of_the_farmhouse_stand)
{
    desk d = open_desk();
    const gw_design *const design = design_of(&d, open_job(&d, "farmhouse", 2));
    const gw_design_loop *const loop = &design->loops[0];
    ck_assert(loop->stands && loop->sized.holds && loop->kind == GW_LOOP_COIL);
    ck_assert_uint_le(loop->sized.try_count, 12);
    ck_assert(loop->freezes_uncounted && !loop->freezes);
    ck_assert_int_eq(verdict_of(loop, "ice not counted")->state, GW_VERDICT_CAUTION);
    const gw_coil_plan *const c = &loop->sized.plan.coil;
    ck_close(loop->land_length_m, c->length_m, 1e-12);
    ck_close(amount_of(loop, "trench.volume"),
             (double)c->count * c->length_m * c->width_m * c->depth_m, 1e-9);
    // All pipe that is bought: rings and straight returns.
    ck_close(amount_of(loop, "pipe.dn20"), 1.05 * (double)c->count * gw_coil_extent_of(c).pipe_m,
             1e-9);
    check_balance(loop);
    close_desk(&d);
}
END_TEST

START_TEST(a_lot_too_short_for_coils_says_so)
{
    desk d = open_desk();
    one_loop *const o = open_job(&d, "farmhouse", 2);
    o->job.site.usable_length_m = 15.0;
    o->job.site.usable_width_m = 15.0;
    const gw_design_loop *const loop = &design_of(&d, o)->loops[0];
    ck_assert(!loop->stands && !loop->sized.holds);
    ck_assert_int_eq(verdict_of(loop, "coldest entering water")->state, GW_VERDICT_FAILS);
    ck_assert_double_le(loop->sized.plan.coil.length_m, 15.0);
    close_desk(&d);
}
END_TEST

// ---------------------------------------------------------------- trench

START_TEST(fill_saves_digging_and_shallow_pipes_are_told)
{
    desk d = open_desk();
    one_loop *const o = open_job(&d, "farmhouse", 0);
    o->loop.free = GW_FREE_NOTHING;
    o->loop.trench.length_m = 90.0;
    const gw_design_loop *const flat = &design_of(&d, o)->loops[0];
    o->loop.trench.fill_m = 0.8;
    const gw_design_loop *const filled = &design_of(&d, o)->loops[0];
    const gw_trench_plan *const t = &filled->sized.plan.trench;
    const double run_m2 = (double)t->count * t->length_m * t->width_m;
    ck_close(amount_of(filled, "trench.volume"), run_m2 * (t->depth_m - 0.8), 1e-9);
    ck_close(amount_of(filled, "trench.imported_fill"), run_m2 * 0.8, 1e-9);
    ck_assert_double_eq(amount_of(flat, "trench.imported_fill"), 0.0);
    // The same pipes at the same depth below finished grade: the same water.
    ck_assert_double_eq(filled->sized.result.coldest.degc, flat->sized.result.coldest.degc);
    ck_assert_int_eq(verdict_of(flat, "cover over")->state, GW_VERDICT_HOLDS);
    o->loop.trench.depth_m = 1.0;
    o->loop.trench.fill_m = 0.0;
    const gw_verdict *const cover = verdict_of(&design_of(&d, o)->loops[0], "cover over");
    ck_assert(cover->state == GW_VERDICT_CAUTION && cover->found == 1.0);
    close_desk(&d);
}
END_TEST

// ---------------------------------------------------------------- pond

START_TEST(bundles_in_the_bay_stand_and_the_pond_balances)
{
    desk d = open_desk();
    const gw_design *const design = design_of(&d, open_job(&d, "cottage", 2));
    const gw_design_loop *const loop = &design->loops[0];
    ck_assert(loop->stands && loop->pond != NULL && loop->pond->refused == NULL);
    ck_assert_uint_le(loop->sized.try_count, 12);
    const gw_pond_year *const with = &loop->pond->with;
    ck_assert_double_le(with->coldest_degc, loop->pond->without.coldest_degc);
    // What the loop took is in the pond's balance.
    ck_close(-with->balance.coils_j, loop->sized.result.last.ground_j, 1e-3);
    ck_assert_double_lt(fabs(with->balance.residual_j), 1e-9 * with->balance.sun_j);
    // Bottom water of a deep pond under ice (trade): near 4 degC, never below freezing.
    ck_assert(loop->pond->without.coldest_degc > 1.0 && loop->pond->without.coldest_degc < 4.1);
    // 300 to 500 ft of pipe a ton, cold climates more (trade pages; from memory).
    const double tons = gw_plant_rated_heating(&loop->plant, 0.0).capacity_w / 3516.85;
    const double ft_per_ton = loop->sized.response.length_m / 0.3048 / tons;
    ck_assert_msg(ft_per_ton > 250.0 && ft_per_ton < 700.0, "%.0f ft a ton", ft_per_ton);
    ck_close(amount_of(loop, "pond.coil"), (double)loop->sized.plan.pond.bundles, 1e-12);
    ck_assert_double_eq(loop->land_length_m, 0.0);
    check_balance(loop);
    close_desk(&d);
}
END_TEST

START_TEST(a_smaller_pond_is_colder_and_a_puddle_is_refused)
{
    desk d = open_desk();
    one_loop *const o = open_job(&d, "cottage", 2);
    o->loop.free = GW_FREE_NOTHING;
    o->loop.pond.bundle_m = 100.0;
    double before_degc = 10.0;
    static const double AREA_M2[] = {20000.0, 3000.0, 1000.0};
    for (int i = 0; i < 3; i++) {
        o->loop.pond.area_m2 = AREA_M2[i];
        const gw_design_loop *const loop = &design_of(&d, o)->loops[0];
        ck_assert_double_lt(loop->pond->with.coldest_degc, before_degc);
        before_degc = loop->pond->with.coldest_degc;
    }
    ck_assert_int_eq(verdict_of(&design_of(&d, o)->loops[0], "surface of the pond")->state,
                     GW_VERDICT_CAUTION);
    o->loop.pond.depth_m = 1.5; // under the least depth of the trade
    const gw_design_loop *const shallow = &design_of(&d, o)->loops[0];
    ck_assert(!shallow->stands);
    ck_assert_int_eq(verdict_of(shallow, "depth of the pond")->state, GW_VERDICT_FAILS);
    o->loop.pond.area_m2 = 60.0; // freezes to the bundles under the load
    o->loop.pond.depth_m = 1.2;
    o->loop.pond.snow_m = 0.0;
    const gw_design_loop *const puddle = &design_of(&d, o)->loops[0];
    ck_assert(!puddle->stands && puddle->pond->refused != NULL);
    ck_assert_ptr_nonnull(strstr(verdict_of(puddle, "stays open")->because, "freezes"));
    close_desk(&d);
}
END_TEST

// ---------------------------------------------------------------- open well

START_TEST(the_well_by_the_road_stands)
{
    desk d = open_desk();
    const gw_design *const design = design_of(&d, open_job(&d, "cottage", 3));
    const gw_design_loop *const loop = &design->loops[0];
    ck_assert(loop->stands && loop->well != NULL);
    const gw_well_answer *const a = &loop->well->answer;
    // TRADE: 1.5 to 3 gpm for each ton (common practice, no source).
    const double tons = gw_plant_rated_heating(&loop->plant, 8.0).capacity_w / 3516.85;
    const double gpm_per_ton = a->flow_m3_s / 6.30902e-5 / tons;
    ck_assert_msg(gpm_per_ton > 1.5 && gpm_per_ton < 3.2, "%.2f gpm a ton", gpm_per_ton);
    // The flow of the simulation is that of the well, and its pump the circulator.
    ck_close(loop->sized.response.capacity_w_k / 4.19e6, a->flow_m3_s, 0.03);
    ck_close(loop->circulator_w, a->pump_w, 0.1);
    ck_close(loop->sized.result.last.circulator_j, a->pump_year_j, 0.1);
    ck_assert_double_ge(loop->sized.result.leaving_degc, 2.0);
    ck_assert(loop->fluid.kind == GW_FLUID_WATER);
    ck_assert_double_eq(amount_of(loop, "fluid.methanol"), 0.0);
    ck_assert_double_eq(amount_of(loop, "plant.circulator"), 0.0);
    ck_assert_double_eq(amount_of(loop, "well.pump"), 1.0);
    ck_close(amount_of(loop, "well.drilling"), 140 * 0.3048, 1e-9); // the return well only
    bool told = false;
    for (size_t i = 0; i < design->caution_count; i++) {
        told = told || strcmp(design->cautions[i], gw_well_caution()) == 0;
    }
    ck_assert(told);
    check_balance(loop);
    close_desk(&d);
}
END_TEST

START_TEST(a_well_that_does_not_do_says_why)
{
    static const struct {
        const char *what;
        double yield_m3_s, pump_m, apart_m, water_degc;
    } CASES[] = {
        {"water drawn in the coldest week", 1e-4, 33.5, 24.0, 7.0},
        {"depth of the water while pumping", 1e-3, 7.8, 24.0, 7.0},
        {"returned water reaches", 1e-3, 33.5, 4.0, 7.0},
        {"temperature of the ground water", 1e-3, 33.5, 24.0, 3.0},
    };
    desk d = open_desk();
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        one_loop *const o = open_job(&d, "cottage", 3);
        o->loop.well.well.yield_m3_s = CASES[i].yield_m3_s;
        o->loop.well.well.pump_depth_m = CASES[i].pump_m;
        o->loop.well.well.return_distance_m = CASES[i].apart_m;
        o->loop.well.well.water_degc = CASES[i].water_degc;
        const gw_design_loop *const loop = &design_of(&d, o)->loops[0];
        ck_assert_msg(!loop->stands, "%s", CASES[i].what);
        ck_assert_msg(verdict_of(loop, CASES[i].what)->state == GW_VERDICT_FAILS, "%s",
                      CASES[i].what);
    }
    one_loop *const o = open_job(&d, "cottage", 3);
    const gw_well_analysis iron[] = {{"iron_mg_l", 3.0}, {"ph", 7.0}};
    o->loop.well.analysis = iron;
    o->loop.well.analysis_count = 2;
    const gw_design_loop *const loop = &design_of(&d, o)->loops[0];
    ck_assert(!loop->stands);
    ck_assert_int_eq(verdict_of(loop, "water: iron-fouling")->state, GW_VERDICT_FAILS);
    ck_assert_int_eq(verdict_of(loop, "water: ph")->state, GW_VERDICT_HOLDS);
    close_desk(&d);
}
END_TEST

START_TEST(water_from_deeper_costs_more_pump)
{
    double before_w = 0.0;
    desk d = open_desk();
    for (double level_m = 5.0; level_m < 50.0; level_m += 20.0) {
        one_loop *const o = open_job(&d, "cottage", 3);
        o->loop.well.well.static_level_m = level_m;
        o->loop.well.well.pump_depth_m = level_m + 20.0;
        o->loop.well.depth_m = 0.0;
        const gw_design_loop *const loop = &design_of(&d, o)->loops[0];
        ck_assert_double_gt(loop->circulator_w, before_w);
        before_w = loop->circulator_w;
    }
    close_desk(&d);
}
END_TEST

// ---------------------------------------------------------------- mixed

START_TEST(bores_and_a_trench_on_one_header_stand)
{
    desk d = open_desk();
    one_loop *const o = open_job(&d, "farmhouse", 0);
    gw_loop_plan parts[2] = {open_job(&d, "farmhouse", 1)->loop, o->loop};
    parts[0].free = GW_FREE_NOTHING;
    parts[0].bores.count = 2;
    parts[0].bores.depth_m = 80.0;
    parts[1].free = GW_FREE_LENGTH;
    o->loop.kind = GW_LOOP_MIXED;
    o->loop.mixed = (gw_mixed_plan){.parts = parts, .part_count = 2, .free_part = 1};
    const gw_design_loop *const loop = &design_of(&d, o)->loops[0];
    ck_assert(loop->stands && loop->sized.holds);
    ck_assert_uint_le(loop->sized.try_count, 12);
    const gw_mixed_plan *const m = &loop->sized.plan.mixed;
    ck_close(m->flow_frac[0] + m->flow_frac[1], 1.0, 1e-6);
    ck_assert(m->flow_frac[0] > 0.1 && m->flow_frac[1] > 0.1);
    ck_assert(m->free_each_m > 5.0 && m->free_each_m < 90.0);
    ck_assert(amount_of(loop, "bore.loop_setting") == 2.0 &&
              amount_of(loop, "trench.volume") > 0.0);
    ck_assert(amount_of(loop, "pipe.dn20") > 0.0 && amount_of(loop, "pipe.dn25") > 0.0);
    // Volume is that of both sizes of pipe.
    ck_close(loop->hydraulics.total_volume_m3,
             loop->hydraulics.circuit_volume_m3 + loop->hydraulics.header_volume_m3 + 0.02, 1e-9);
    const char *text = NULL;
    const gw_design *const design = design_of(&d, o);
    ck_assert_int_eq(gw_design_write_json(d.arena, design, &text, &d.err), GW_OK);
    ck_assert(strstr(text, "\"parts\"") != NULL && strstr(text, "NaN") == NULL);
    check_balance(loop);
    close_desk(&d);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("kinds");
    TCase *const tc = tcase_create("kinds of loop");
    tcase_set_timeout(tc, 300.0);
    tcase_add_test(tc, coils_of_the_farmhouse_stand);
    tcase_add_test(tc, a_lot_too_short_for_coils_says_so);
    tcase_add_test(tc, fill_saves_digging_and_shallow_pipes_are_told);
    tcase_add_test(tc, bundles_in_the_bay_stand_and_the_pond_balances);
    tcase_add_test(tc, a_smaller_pond_is_colder_and_a_puddle_is_refused);
    tcase_add_test(tc, the_well_by_the_road_stands);
    tcase_add_test(tc, a_well_that_does_not_do_says_why);
    tcase_add_test(tc, water_from_deeper_costs_more_pump);
    tcase_add_test(tc, bores_and_a_trench_on_one_header_stand);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
