// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/measures.h"

#include "desk.h"

#include <math.h>
#include <omp.h>

// The village's bores over a few years: quick.
static gw_job *quick_job(desk *d)
{
    gw_job *const job = open_job(d, "village");
    job->loop_count = 1;
    job->limits.years = 3.0;
    return job;
}

static gw_measures run(desk *d, const gw_job *job, const gw_measure *items, size_t count)
{
    const gw_measures_input in = {
        .design = {.job = job}, .loop = job->loop_count, .list = {items, count}};
    gw_measures out;
    ck_ok(gw_measures_run(d->arena, &in, &out, &d->err), *d);
    return out;
}

static const gw_measure ATTIC = {.key = "attic",
                                 .name = "attic",
                                 .component = "attic",
                                 .insulation_m2k_w = 10.0,
                                 .solar_gain_frac = -1.0,
                                 .cost = {200000}};

START_TEST(the_base_is_the_design)
{
    desk d;
    open_desk(&d);
    const gw_job *const job = quick_job(&d);
    const gw_design *design = NULL;
    const gw_design_input in = {.job = job};
    ck_ok(gw_design_run(d.arena, &in, &design, &d.err), d);
    const gw_measures m = run(&d, job, &ATTIC, 1);
    const gw_design_loop *const loop = &design->loops[0];
    ck_assert(m.base.at.loss_w == design->house.loss_w);
    ck_assert(m.base.at.length_m == loop->sized.response.length_m);
    ck_assert_int_eq(m.base.present_cost.cents, loop->life_cycle.present_cost.cents);
    ck_assert_int_eq(m.base.present_system.cents,
                     gw_money_add(loop->life_cycle.present_cost, loop->against.net_saving).cents);
    ck_assert_int_eq(m.base.spent.cents, 0);
    ck_assert_uint_eq(m.base.measure, 1); // none
    close_desk(&d);
}
END_TEST

// By hand: area 71.3 m2, from R-40 (RSI 7.044) to RSI 10, between 21 °C and the design outdoors.
START_TEST(an_attic_saves_its_own_conduction)
{
    desk d;
    open_desk(&d);
    const gw_job *const job = quick_job(&d);
    const gw_design *design = NULL;
    const gw_design_input in = {.job = job};
    ck_ok(gw_design_run(d.arena, &in, &design, &d.err), d);
    const gw_measures m = run(&d, job, &ATTIC, 1);
    const double drop_k = design->house.heating_indoor_degc - design->house.heating_outdoor_degc;
    const double hand_w = 71.3 * (1.0 / (40.0 * 0.1761101836823) - 1.0 / 10.0) * drop_k;
    ck_close(m.base.at.loss_w - m.alone[0].at.loss_w, hand_w, 1e-6);
    ck_assert(m.alone[0].at.length_m <= m.base.at.length_m);
    ck_assert(m.alone[0].at.capacity_w < m.base.at.capacity_w); // sized by its share of the loss
    ck_assert_int_eq(m.alone[0].spent.cents, 200000);
    ck_assert_int_eq(m.alone[0].first_cost.cents, 200000 + m.alone[0].at.installed.cents);
    ck_assert_int_eq(m.alone[0].saved.cents,
                     m.base.at.present_cost.cents - m.alone[0].at.present_cost.cents);
    ck_close(m.alone[0].per_unit, (double)m.alone[0].saved.cents / 200000.0, 1e-12);
    ck_assert_int_eq(memcmp(&m.alone[0], &m.curve[1], sizeof m.curve[1]), 0);
    close_desk(&d);
}
END_TEST

START_TEST(the_usual_list_fits_the_house)
{
    desk d;
    open_desk(&d);
    const gw_job *const job = open_job(&d, "farmhouse");
    gw_measure_list list;
    ck_ok(gw_measures_usual(d.arena, job, &list, &d.err), d);
    ck_assert_uint_ge(list.count, 5);
    for (size_t i = 0; i < list.count; i++) {
        ck_assert(list.items[i].cost.cents > 0 && list.items[i].cost_from != NULL);
        ck_assert(strcmp(list.items[i].key, "floor_exposed") != 0); // the house has none
    }
    // Attic of 884 ft2 at 20 a square metre and 400 for coming.
    for (size_t i = 0; i < list.count; i++) {
        if (strcmp(list.items[i].key, "attic") == 0) {
            ck_close(gw_money_to_units(list.items[i].cost), 400.0 + 20.0 * 884.0 * 0.09290304,
                     1e-5);
        }
    }
    // A house that has it all is offered nothing in those parts.
    gw_job *const good = open_job(&d, "farmhouse");
    gw_house_component parts[16];
    for (size_t i = 0; i < good->house.envelope_count; i++) {
        parts[i] = good->house.envelope[i];
        parts[i].insulation_m2k_w = 40.0;
    }
    good->house.envelope = parts;
    good->house.leakage.ach50 = 0.6;
    gw_measure_list none;
    ck_ok(gw_measures_usual(d.arena, good, &none, &d.err), d);
    ck_assert_uint_eq(none.count, 0);
    close_desk(&d);
}
END_TEST

// Greedy: first comes the best alone; every measure comes once; the end is all of them, whatever
// the order; loss and loop shrink all the way.
START_TEST(the_curve_is_greedy_and_ends_with_all)
{
    desk d;
    open_desk(&d);
    const gw_job *const job = quick_job(&d);
    gw_measure_list list;
    ck_ok(gw_measures_usual(d.arena, job, &list, &d.err), d);
    ck_assert_uint_ge(list.count, 4);
    const gw_measures m = run(&d, job, list.items, 4);
    ck_assert_uint_eq(m.designs, 1 + 4 + 3 + 2 + 1);
    bool seen[4] = {false};
    for (size_t i = 0; i < 4; i++) {
        ck_assert(m.alone[i].per_unit <= m.curve[1].per_unit);
    }
    for (size_t k = 1; k <= 4; k++) {
        ck_assert(!seen[m.curve[k].measure]);
        seen[m.curve[k].measure] = true;
        ck_assert(m.curve[k].at.loss_w < m.curve[k - 1].at.loss_w);
        ck_assert(m.curve[k].at.length_m <= m.curve[k - 1].at.length_m);
        ck_assert_int_gt(m.curve[k].spent.cents, m.curve[k - 1].spent.cents);
        ck_assert(!m.curve[m.best].at.stands ||
                  m.curve[m.best].present_cost.cents <= m.curve[k].present_cost.cents);
    }
    // Turned round, the list gives the same curve's end.
    gw_measure turned[4];
    for (size_t i = 0; i < 4; i++) {
        turned[i] = list.items[3 - i];
    }
    const gw_measures back = run(&d, job, turned, 4);
    ck_close(back.curve[4].at.loss_w, m.curve[4].at.loss_w, 1e-12);
    ck_assert_int_eq(back.curve[4].spent.cents, m.curve[4].spent.cents);
    ck_assert_uint_eq(back.curve[1].measure, 3 - m.curve[1].measure);
    close_desk(&d);
}
END_TEST

START_TEST(a_cheap_measure_pays_and_a_dear_one_does_not)
{
    desk d;
    open_desk(&d);
    const gw_job *const job = quick_job(&d);
    gw_measure items[2] = {ATTIC, ATTIC};
    items[0].cost.cents = 100;       // a dollar
    items[1].component = "doors";    // 3.7 m2
    items[1].cost.cents = 100000000; // a million
    const gw_measures m = run(&d, job, items, 2);
    ck_assert_uint_eq(m.curve[1].measure, 0);
    ck_assert_uint_eq(m.best, 1);
    ck_assert(m.curve[1].present_cost.cents < m.base.present_cost.cents);
    ck_assert(m.curve[2].present_cost.cents > m.curve[1].present_cost.cents);
    close_desk(&d);
}
END_TEST

START_TEST(measures_never_make_the_house_worse)
{
    desk d;
    open_desk(&d);
    const gw_job *const job = quick_job(&d);
    gw_house house = job->house;
    gw_house_component parts[16];
    memcpy(parts, house.envelope, house.envelope_count * sizeof *parts);
    gw_measure m = ATTIC;
    m.insulation_m2k_w = 1.0;
    gw_measure_apply(&m, &house, parts);
    ck_assert_int_eq(memcmp(parts, job->house.envelope, house.envelope_count * sizeof *parts), 0);
    m = (gw_measure){.part = GW_MEASURE_TIGHTEN, .ach50 = 9.0};
    gw_measure_apply(&m, &house, parts);
    ck_assert(gw_house_ach50(&house) == 4.0);
    m.ach50 = 1.5;
    gw_measure_apply(&m, &house, parts);
    ck_assert(gw_house_ach50(&house) == 1.5);
    close_desk(&d);
}
END_TEST

START_TEST(the_same_on_any_number_of_threads)
{
    desk d;
    open_desk(&d);
    const gw_job *const job = quick_job(&d);
    gw_measure_list list;
    ck_ok(gw_measures_usual(d.arena, job, &list, &d.err), d);
    omp_set_num_threads(1);
    const gw_measures one = run(&d, job, list.items, 3);
    omp_set_num_threads(3);
    const gw_measures three = run(&d, job, list.items, 3);
    for (size_t k = 0; k <= 3; k++) {
        ck_assert(one.curve[k].measure == three.curve[k].measure);
        ck_assert(one.curve[k].at.coldest_degc == three.curve[k].at.coldest_degc);
        ck_assert_int_eq(one.curve[k].present_cost.cents, three.curve[k].present_cost.cents);
    }
    close_desk(&d);
}
END_TEST

static void expect_refused(desk *d, const gw_job *job, const gw_measure *m, const char *field,
                           gw_status status)
{
    const gw_measures_input in = {.design = {.job = job}, .list = {m, 1}};
    gw_measures out;
    ck_assert_int_eq(gw_measures_run(d->arena, &in, &out, &d->err), status);
    ck_assert_msg(strcmp(d->err.field, field) == 0, "%s, want %s", d->err.field, field);
}

START_TEST(bad_measures_are_refused_by_name)
{
    desk d;
    open_desk(&d);
    gw_job *const job = quick_job(&d);
    gw_measure m = ATTIC;
    m.cost.cents = 0;
    expect_refused(&d, job, &m, "measures[0].cost", GW_ERR_RANGE);
    m = ATTIC;
    m.insulation_m2k_w = (double)NAN;
    expect_refused(&d, job, &m, "measures[0].insulation_m2k_w", GW_ERR_RANGE);
    m = ATTIC;
    m.insulation_added_m2k_w = -1.0;
    expect_refused(&d, job, &m, "measures[0].insulation_added_m2k_w", GW_ERR_RANGE);
    m = ATTIC;
    m.solar_gain_frac = (double)NAN;
    expect_refused(&d, job, &m, "measures[0].solar_gain_frac", GW_ERR_RANGE);
    m = ATTIC;
    m.component = "turret";
    expect_refused(&d, job, &m, "measures[0].component", GW_ERR_KEY);
    m = (gw_measure){.part = GW_MEASURE_TIGHTEN, .ach50 = 0.0, .cost = {100}};
    expect_refused(&d, job, &m, "measures[0].ach50", GW_ERR_RANGE);
    job->house.design_loss_w = 9000.0;
    job->house.envelope_count = 0;
    expect_refused(&d, job, &ATTIC, "house.envelope", GW_ERR_MISSING);
    gw_measure_list list;
    ck_assert_int_eq(gw_measures_usual(d.arena, job, &list, &d.err), GW_ERR_MISSING);
    close_desk(&d);
}
END_TEST

START_TEST(a_bad_table_is_told_with_its_line)
{
    desk d;
    open_desk(&d);
    const gw_job *const job = quick_job(&d);
    static const char TEXT[] =
        "key,name,applies_to,rsi_target_m2k_w,rsi_added_m2k_w,solar_gain_frac,ach50_factor,"
        "ach50_least,price_per_m2,price_fixed,source\n"
        "x,moat,moat,3,,,,,10,0,invented\n";
    gw_table table;
    gw_measure_list list;
    ck_ok(gw_table_read(d.arena, "own.csv", TEXT, sizeof TEXT - 1, &table, &d.err), d);
    ck_assert_int_eq(gw_measures_read(d.arena, &table, job, &list, &d.err), GW_ERR_KEY);
    ck_assert_ptr_nonnull(strstr(d.err.text, "own.csv line 2"));
    close_desk(&d);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("measures");
    TCase *const tc = tcase_create("measures");
    tcase_set_timeout(tc, 300.0);
    tcase_add_test(tc, the_base_is_the_design);
    tcase_add_test(tc, an_attic_saves_its_own_conduction);
    tcase_add_test(tc, the_usual_list_fits_the_house);
    tcase_add_test(tc, the_curve_is_greedy_and_ends_with_all);
    tcase_add_test(tc, a_cheap_measure_pays_and_a_dear_one_does_not);
    tcase_add_test(tc, measures_never_make_the_house_worse);
    tcase_add_test(tc, the_same_on_any_number_of_threads);
    tcase_add_test(tc, bad_measures_are_refused_by_name);
    tcase_add_test(tc, a_bad_table_is_told_with_its_line);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
