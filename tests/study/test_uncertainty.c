// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/uncertainty.h"

#include "desk.h"

#include <math.h>
#include <omp.h>

enum { SAMPLES = 24 };

// The village's first loop over a few years: quick.
static gw_job *quick_job(desk *d)
{
    gw_job *const job = open_job(d, "village");
    job->loop_count = 1;
    job->limits.years = 4.0;
    return job;
}

static gw_uncertainty_input input_of(const gw_job *job, const gw_uncertain *list, size_t count)
{
    return (gw_uncertainty_input){.design = {.job = job},
                                  .loop = job->loop_count,
                                  .variables = list,
                                  .variable_count = count,
                                  .samples = SAMPLES,
                                  .seed = 42};
}

static void run(desk *d, const gw_uncertainty_input *in, gw_uncertainty *out)
{
    ck_ok(gw_uncertainty_run(d->arena, in, out, &d->err), *d);
}

// With nothing uncertain every sample is the design itself.
START_TEST(without_width_every_sample_is_the_design)
{
    desk d;
    open_desk(&d);
    gw_job *const job = quick_job(&d);
    gw_uncertain list[GW_UNCERTAIN_COUNT];
    size_t n = gw_uncertainty_usual(list);
    for (size_t i = 0; i < n; i++) {
        const bool factor = gw_uncertain_how_of(list[i].what) == GW_UNCERTAIN_FACTOR;
        list[i].distribution =
            (gw_distribution){GW_DISTRIBUTION_NORMAL, factor ? 1.0 : 0.0, 0.0, 0.0};
    }
    n--; // the weather year is a pick: there is no neutral one
    ck_assert_int_eq(list[n].what, GW_UNCERTAIN_WEATHER_YEAR);
    const gw_design *design = NULL;
    const gw_design_input plain = {.job = job};
    ck_ok(gw_design_run(d.arena, &plain, &design, &d.err), d);
    const gw_design_loop *const loop = &design->loops[0];
    gw_uncertainty_input in = input_of(job, list, n);
    in.samples = 10;
    for (int mode = 0; mode < 2; mode++) {
        in.mode = mode == 0 ? GW_UNCERTAINTY_FIXED : GW_UNCERTAINTY_RESIZED;
        gw_uncertainty out;
        run(&d, &in, &out);
        for (size_t i = 0; i < in.samples; i++) {
            const gw_uncertainty_sample *const s = &out.samples[i];
            ck_assert(s->done && s->holds);
            ck_close(s->coldest_degc, loop->sized.result.coldest.degc, 1e-9);
            ck_close(s->length_m, loop->sized.response.length_m, 1e-12);
            ck_close(s->installed, gw_money_to_units(loop->estimate.total.typical), 1e-9);
            ck_close(s->electricity_year, gw_money_to_units(loop->electricity_year), 1e-9);
            ck_close(s->present_cost, gw_money_to_units(loop->life_cycle.present_cost), 1e-9);
        }
        ck_assert(out.bars[0].cost_swing == 0.0);
        ck_close(out.present_cost.p90, out.present_cost.p10, 1e-12);
    }
    close_desk(&d);
}
END_TEST

// The cost of the present system here is that of the design's own comparison.
START_TEST(rival_costs_are_those_of_the_design)
{
    desk d;
    open_desk(&d);
    gw_job *const job = quick_job(&d);
    const gw_design *design = NULL;
    const gw_design_input plain = {.job = job};
    ck_ok(gw_design_run(d.arena, &plain, &design, &d.err), d);
    const gw_design_loop *const loop = &design->loops[0];
    gw_money cost;
    ck_ok(gw_study_alternative_cost(job, gw_study_alternative_row(design, job->money.compare_with),
                                    &cost, &d.err),
          d);
    ck_assert_int_eq(cost.cents,
                     gw_money_add(loop->life_cycle.present_cost, loop->against.net_saving).cents);
    ck_assert_ptr_null(gw_study_alternative_row(design, "no such system"));
    close_desk(&d);
}
END_TEST

START_TEST(same_seed_same_numbers_on_any_number_of_threads)
{
    desk d;
    open_desk(&d);
    gw_job *const job = quick_job(&d);
    gw_uncertain list[GW_UNCERTAIN_COUNT];
    const size_t n = gw_uncertainty_usual(list);
    gw_uncertainty_input in = input_of(job, list, n);
    gw_uncertainty one, three, other;
    omp_set_num_threads(1);
    run(&d, &in, &one);
    omp_set_num_threads(3);
    run(&d, &in, &three);
    in.seed = 43;
    run(&d, &in, &other);
    ck_assert_int_eq(memcmp(one.samples, three.samples, SAMPLES * sizeof *one.samples), 0);
    ck_assert(one.drawn[0] == three.drawn[0] && one.drawn[0] != other.drawn[0]);
    ck_assert(one.present_cost.p50 == three.present_cost.p50);
    ck_assert(one.bars[0].cost_swing == three.bars[0].cost_swing);
    ck_assert(one.rivals[0].beaten_frac == three.rivals[0].beaten_frac);
    ck_assert(one.present_cost.p50 != other.present_cost.p50);
    close_desk(&d);
}
END_TEST

// Ranges are in order, shares are shares, and what must move does.
START_TEST(the_usual_spreads_give_a_plausible_picture)
{
    desk d;
    open_desk(&d);
    gw_job *const job = quick_job(&d);
    gw_uncertain list[GW_UNCERTAIN_COUNT];
    const size_t n = gw_uncertainty_usual(list);
    ck_assert_uint_eq(n, GW_UNCERTAIN_COUNT);
    const gw_uncertainty_input in = input_of(job, list, n);
    gw_uncertainty out;
    run(&d, &in, &out);
    ck_assert_uint_eq(out.done, SAMPLES);
    ck_assert(out.coldest_degc.p10 < out.coldest_degc.p50 &&
              out.coldest_degc.p50 < out.coldest_degc.p90);
    ck_assert(out.present_cost.p10 < out.present_cost.p90);
    ck_assert(out.holds_frac > 0.0 && out.holds_frac < 1.0);
    ck_assert(out.length_m.p10 == out.length_m.p90); // built as designed
    ck_assert_uint_eq(out.bar_count, n);
    for (size_t i = 1; i < n; i++) {
        ck_assert(out.bars[i - 1].cost_swing >= out.bars[i].cost_swing);
    }
    ck_assert_uint_ge(out.rival_count, 8);
    for (size_t i = 0; i < out.rival_count; i++) {
        const gw_uncertainty_rival *const r = &out.rivals[i];
        ck_assert(r->beaten_frac >= 0.0 && r->beaten_frac <= 1.0 && r->present_cost.p50 > 0.0);
        ck_assert(i == 0 || out.rivals[i - 1].present_cost.p50 >= r->present_cost.p50);
    }
    close_desk(&d);
}
END_TEST

static const gw_uncertainty_bar *bar_of(const gw_uncertainty *out, gw_uncertain_what what)
{
    for (size_t i = 0; i < out->bar_count; i++) {
        if (out->bars[i].what == what) {
            return &out->bars[i];
        }
    }
    ck_abort_msg("no bar");
    return NULL;
}

// Each variable pushes the way physics and arithmetic say.
START_TEST(each_variable_pushes_the_right_way)
{
    desk d;
    open_desk(&d);
    gw_job *const job = quick_job(&d);
    gw_uncertain list[GW_UNCERTAIN_COUNT];
    const size_t n = gw_uncertainty_usual(list);
    gw_uncertainty_input in = input_of(job, list, n);
    in.samples = 10;
    gw_uncertainty out;
    run(&d, &in, &out);
    const gw_uncertainty_bar *b = bar_of(&out, GW_UNCERTAIN_CONDUCTIVITY);
    ck_assert(b->high.coldest_degc > b->low.coldest_degc);
    b = bar_of(&out, GW_UNCERTAIN_GROUND_TEMPERATURE);
    ck_assert(b->high.coldest_degc > b->low.coldest_degc);
    b = bar_of(&out, GW_UNCERTAIN_LOAD);
    ck_assert(b->high.coldest_degc < b->low.coldest_degc && b->high.heat_j > b->low.heat_j);
    b = bar_of(&out, GW_UNCERTAIN_INFILTRATION);
    ck_assert(b->high.heat_j > b->low.heat_j);
    b = bar_of(&out, GW_UNCERTAIN_INDOOR_TEMPERATURE);
    ck_assert(b->high.heat_j > b->low.heat_j);
    b = bar_of(&out, GW_UNCERTAIN_INTERNAL_GAIN);
    ck_assert(b->high.heat_j < b->low.heat_j);
    b = bar_of(&out, GW_UNCERTAIN_OUTDOOR_TEMPERATURE);
    ck_assert(b->high.heat_j < b->low.heat_j);
    b = bar_of(&out, GW_UNCERTAIN_WEATHER_YEAR); // from cold to mild
    ck_assert(b->high.heat_j < b->low.heat_j);
    b = bar_of(&out, GW_UNCERTAIN_HEAT_PUMP_POWER);
    ck_assert(b->high.performance < b->low.performance);
    b = bar_of(&out, GW_UNCERTAIN_ELECTRICITY_PRICE);
    ck_close(b->high.electricity_year / b->low.electricity_year, b->high_value / b->low_value,
             1e-3);
    ck_assert(b->high.installed == b->low.installed && b->water_swing_k == 0.0);
    b = bar_of(&out, GW_UNCERTAIN_ELECTRICITY_ESCALATION);
    ck_assert(b->high.present_cost > b->low.present_cost);
    b = bar_of(&out, GW_UNCERTAIN_DISCOUNT);
    ck_assert(b->high.present_cost < b->low.present_cost);
    b = bar_of(&out, GW_UNCERTAIN_FUEL_PRICE); // electric baseboard is the present system
    ck_assert(b->cost_swing == 0.0 && b->water_swing_k == 0.0);
    // Ground and indoor prices together are all prices but the shares.
    const double ground = bar_of(&out, GW_UNCERTAIN_GROUND_PRICE)->high.installed -
                          bar_of(&out, GW_UNCERTAIN_GROUND_PRICE)->low.installed;
    ck_assert(ground > 0.0);
    ck_assert(bar_of(&out, GW_UNCERTAIN_INDOOR_PRICE)->high.installed >
              bar_of(&out, GW_UNCERTAIN_INDOOR_PRICE)->low.installed);
    close_desk(&d);
}
END_TEST

// Sized again, the water stays at its limit and the length moves.
START_TEST(resizing_moves_the_length_and_holds_the_water)
{
    desk d;
    open_desk(&d);
    gw_job *const job = quick_job(&d);
    const gw_uncertain list[] = {
        {GW_UNCERTAIN_CONDUCTIVITY, {GW_DISTRIBUTION_UNIFORM, 0.8, 1.2, 0.0}}};
    gw_uncertainty_input in = input_of(job, list, 1);
    in.mode = GW_UNCERTAINTY_RESIZED;
    in.samples = 12;
    gw_uncertainty out;
    run(&d, &in, &out);
    ck_assert(out.length_m.p10 < out.length_m.p90 && out.holds_frac == 1.0);
    ck_assert(out.coldest_degc.p90 - out.coldest_degc.p10 < 0.2);
    for (size_t i = 0; i < in.samples; i++) {
        for (size_t j = 0; j < in.samples; j++) {
            if (out.drawn[i] < out.drawn[j]) {
                ck_assert(out.samples[i].length_m >= out.samples[j].length_m);
            }
        }
    }
    close_desk(&d);
}
END_TEST

static bool stop_at_five(void *context, size_t done, size_t all)
{
    *(size_t *)context = done;
    return done < 5 && all == SAMPLES;
}

START_TEST(a_watch_can_stop_it)
{
    desk d;
    open_desk(&d);
    gw_job *const job = quick_job(&d);
    gw_uncertain list[GW_UNCERTAIN_COUNT];
    gw_uncertainty_input in = input_of(job, list, gw_uncertainty_usual(list));
    size_t seen = 0;
    const gw_study_watch watch = {stop_at_five, &seen};
    in.watch = &watch;
    gw_uncertainty out;
    run(&d, &in, &out);
    ck_assert(out.stopped);
    ck_assert(seen >= 5 && seen < SAMPLES);
    close_desk(&d);
}
END_TEST

START_TEST(bad_input_is_refused_by_name)
{
    desk d;
    open_desk(&d);
    gw_job *const job = quick_job(&d);
    gw_uncertain list[GW_UNCERTAIN_COUNT];
    const size_t n = gw_uncertainty_usual(list);
    gw_uncertainty_input in = input_of(job, list, n);
    gw_uncertainty out;
    in.samples = 9;
    ck_assert_int_eq(gw_uncertainty_run(d.arena, &in, &out, &d.err), GW_ERR_RANGE);
    ck_assert_str_eq(d.err.field, "samples");
    in.samples = SAMPLES;
    list[3] = list[2];
    ck_assert_int_eq(gw_uncertainty_run(d.arena, &in, &out, &d.err), GW_ERR_KEY);
    ck_assert_str_eq(d.err.field, "variables[3]");
    gw_uncertainty_usual(list);
    list[7].distribution.b = (double)NAN;
    ck_assert_int_eq(gw_uncertainty_run(d.arena, &in, &out, &d.err), GW_ERR_RANGE);
    ck_assert_str_eq(d.err.field, "variables[7]");
    gw_uncertainty_usual(list);
    list[0].distribution = (gw_distribution){GW_DISTRIBUTION_NORMAL, 1.0, 0.4, 0.0}; // below zero
    ck_assert_int_eq(gw_uncertainty_run(d.arena, &in, &out, &d.err), GW_ERR_RANGE);
    ck_assert_str_eq(d.err.field, "variables[0]");
    close_desk(&d);
}
END_TEST

// A factor that the ground room refuses in most draws is told with the sample's own words.
START_TEST(draws_outside_physics_are_told)
{
    desk d;
    open_desk(&d);
    gw_job *const job = quick_job(&d);
    const gw_uncertain list[] = {
        {GW_UNCERTAIN_CONDUCTIVITY, {GW_DISTRIBUTION_UNIFORM, 1.0, 20.0, 0.0}}};
    const gw_uncertainty_input in = input_of(job, list, 1);
    gw_uncertainty out;
    ck_assert_int_eq(gw_uncertainty_run(d.arena, &in, &out, &d.err), GW_ERR_CONVERGE);
    ck_assert_ptr_nonnull(strstr(d.err.text, "could not be designed"));
    close_desk(&d);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("uncertainty");
    TCase *const tc = tcase_create("uncertainty");
    tcase_set_timeout(tc, 300.0);
    tcase_add_test(tc, without_width_every_sample_is_the_design);
    tcase_add_test(tc, rival_costs_are_those_of_the_design);
    tcase_add_test(tc, same_seed_same_numbers_on_any_number_of_threads);
    tcase_add_test(tc, the_usual_spreads_give_a_plausible_picture);
    tcase_add_test(tc, each_variable_pushes_the_right_way);
    tcase_add_test(tc, resizing_moves_the_length_and_holds_the_water);
    tcase_add_test(tc, a_watch_can_stop_it);
    tcase_add_test(tc, bad_input_is_refused_by_name);
    tcase_add_test(tc, draws_outside_physics_are_told);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
