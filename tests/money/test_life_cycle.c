// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "harness.h"
#include "money/life_cycle.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>

// Discount factor tables of NIST Handbook 135 (and any text of engineering economy), from memory
// and recomputed with agreement; printed to 4 and 5 decimals.
static const struct {
    double d;
    double upv10, upv15, upv20, upv25, upv30;
    double spv25;
    double ucr25;
} tables[] = {
    {0.02, 8.9826, 12.8493, 16.3514, 19.5235, 22.3965, 0.6095, 0.05122},
    {0.03, 8.5302, 11.9379, 14.8775, 17.4131, 19.6004, 0.4776, 0.05743},
    {0.04, 8.1109, 11.1184, 13.5903, 15.6221, 17.2920, 0.3751, 0.06401},
    {0.05, 7.7217, 10.3797, 12.4622, 14.0939, 15.3725, 0.2953, 0.07095},
    {0.06, 7.3601, 9.7122, 11.4699, 12.7834, 13.7648, 0.2330, 0.07823},
    {0.07, 7.0236, 9.1079, 10.5940, 11.6536, 12.4090, 0.1842, 0.08581},
    {0.08, 6.7101, 8.5595, 9.8181, 10.6748, 11.2578, 0.1460, 0.09368},
    {0.10, 6.1446, 7.6061, 8.5136, 9.0770, 9.4269, 0.0923, 0.11017},
};

#define ck_printed(got, want, half_digit)                                                          \
    ck_assert_msg(fabs((got) - (want)) <= (half_digit), "%s: got %.8g, table %.8g", #got, (got),   \
                  (want))

START_TEST(factors_agree_with_the_printed_tables)
{
    const double d = tables[_i].d;
    ck_printed(gw_life_cycle_upv(d, 10.0), tables[_i].upv10, 0.501e-4);
    ck_printed(gw_life_cycle_upv(d, 15.0), tables[_i].upv15, 0.501e-4);
    ck_printed(gw_life_cycle_upv(d, 20.0), tables[_i].upv20, 0.501e-4);
    ck_printed(gw_life_cycle_upv(d, 25.0), tables[_i].upv25, 0.501e-4);
    ck_printed(gw_life_cycle_upv(d, 30.0), tables[_i].upv30, 0.501e-4);
    ck_printed(gw_life_cycle_spv(d, 25.0), tables[_i].spv25, 0.501e-4);
    ck_printed(gw_life_cycle_ucr(d, 25.0), tables[_i].ucr25, 0.501e-5);
}
END_TEST

// Compound amounts 1.03^25 = 2.0938, 1.05^20 = 2.6533, 1.04^10 = 1.4802, 1.06^15 = 2.3966 (printed
// present-value tables), monthly table at 0.25 %: P/A 25 = 24.2055, A/P 25 = 0.04131.
START_TEST(factors_agree_with_compound_amount_tables)
{
    ck_printed(1.0 / gw_life_cycle_spv(0.03, 25.0), 2.0938, 0.501e-4);
    ck_printed(1.0 / gw_life_cycle_spv(0.05, 20.0), 2.6533, 0.501e-4);
    ck_printed(1.0 / gw_life_cycle_spv(0.04, 10.0), 1.4802, 0.501e-4);
    ck_printed(1.0 / gw_life_cycle_spv(0.06, 15.0), 2.3966, 0.501e-4);
    ck_printed(gw_life_cycle_upv(0.0025, 25.0), 24.2055, 0.501e-4);
    ck_printed(gw_life_cycle_ucr(0.0025, 25.0), 0.04131, 0.501e-5);
}
END_TEST

// UPV* computed from the formula of ASTM E917.
START_TEST(escalated_factors_agree_with_the_formula)
{
    ck_printed(gw_life_cycle_upv_star(0.03, 0.01, 25.0), 19.5689, 0.501e-4);
    ck_printed(gw_life_cycle_upv_star(0.03, 0.02, 25.0), 22.0766, 0.501e-4);
    ck_printed(gw_life_cycle_upv_star(0.03, -0.01, 25.0), 15.5556, 0.501e-4);
    ck_printed(gw_life_cycle_upv_star(0.05, 0.02, 20.0), 14.9587, 0.501e-4);
    ck_printed(gw_life_cycle_upv_star(0.08, 0.03, 20.0), 12.6175, 0.501e-4);
    ck_printed(gw_life_cycle_upv_star(0.06, 0.04, 30.0), 22.6352, 0.501e-4);
}
END_TEST

START_TEST(factors_have_their_exact_limits)
{
    ck_close(gw_life_cycle_upv(0.0, 25.0), 25.0, 0.0);
    ck_close(gw_life_cycle_upv(1e-12, 25.0), 25.0, 1e-10);
    ck_close(gw_life_cycle_upv_star(0.04, 0.04, 17.0), 17.0, 0.0);
    ck_close(gw_life_cycle_upv_star(0.05, 0.0, 20.0), gw_life_cycle_upv(0.05, 20.0), 1e-14);
    ck_close(gw_life_cycle_spv(0.07, 0.0), 1.0, 0.0);
    ck_close(gw_life_cycle_real_rate(1.03 * 1.02 - 1.0, 0.02), 0.03, 1e-12);
    double sum = 0.0; // UPV* is the sum of its years
    for (int t = 1; t <= 25; t++) {
        sum += pow(1.02, t) * gw_life_cycle_spv(0.05, (double)t);
    }
    ck_close(gw_life_cycle_upv_star(0.05, 0.02, 25.0), sum, 1e-13);
}
END_TEST

static gw_life_cycle_cash row_of(gw_money *net, const double *units, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        ck_assert_int_eq(gw_money_from_units(units[i], &net[i], NULL), GW_OK);
    }
    return (gw_life_cycle_cash){net, count};
}

// −1000, then 300 for five years: 15.238 % (exact to the digits given).
START_TEST(rate_of_return_of_an_even_row)
{
    gw_money net[6];
    const double units[] = {-1000.0, 300.0, 300.0, 300.0, 300.0, 300.0};
    const gw_life_cycle_cash cash = row_of(net, units, 6);
    double irr = 0.0;
    gw_money npv = {1};
    ck_assert_int_eq(gw_life_cycle_irr(&cash, &irr, NULL), GW_OK);
    ck_printed(irr, 0.15238, 0.501e-5);
    ck_assert_int_eq(gw_life_cycle_npv(&cash, irr, &npv, NULL), GW_OK);
    ck_assert_int_eq(npv.cents, 0);
}
END_TEST

START_TEST(rate_of_return_of_two_flows_is_their_ratio)
{
    gw_money net[2];
    double irr = 0.0;
    const double gain[] = {-100.0, 110.0}, loss[] = {-100.0, 40.0}, tenfold[] = {-100.0, 1000.0};
    gw_life_cycle_cash cash = row_of(net, gain, 2);
    ck_assert_int_eq(gw_life_cycle_irr(&cash, &irr, NULL), GW_OK);
    ck_close(irr, 0.10, 1e-12);
    cash = row_of(net, loss, 2);
    ck_assert_int_eq(gw_life_cycle_irr(&cash, &irr, NULL), GW_OK);
    ck_close(irr, -0.60, 1e-12);
    cash = row_of(net, tenfold, 2);
    ck_assert_int_eq(gw_life_cycle_irr(&cash, &irr, NULL), GW_OK);
    ck_close(irr, 9.0, 1e-12);
}
END_TEST

static double npv_of_row(double rate, void *context)
{
    const gw_life_cycle_cash *const cash = context;
    double sum = 0.0;
    for (size_t i = 0; i < cash->count; i++) {
        sum += (double)cash->net[i].cents * pow(1.0 + rate, -(double)i);
    }
    return sum;
}

// An uneven row with a replacement, against the Brent solver of the GNU Scientific Library.
START_TEST(rate_of_return_agrees_with_another_solver)
{
    double units[26];
    units[0] = -18000.0;
    for (int i = 1; i <= 25; i++) {
        units[i] = 1400.0 * pow(1.015, i);
    }
    units[15] += -300.0;
    gw_money net[26];
    gw_life_cycle_cash cash = row_of(net, units, 26);
    double irr = 0.0;
    ck_assert_int_eq(gw_life_cycle_irr(&cash, &irr, NULL), GW_OK);

    gsl_function f = {npv_of_row, &cash};
    gsl_root_fsolver *const solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    gsl_root_fsolver_set(solver, &f, 0.0, 0.5);
    for (int i = 0; i < 100; i++) {
        gsl_root_fsolver_iterate(solver);
    }
    const double want = gsl_root_fsolver_root(solver);
    gsl_root_fsolver_free(solver);
    ck_close(irr, want, 1e-10);
}
END_TEST

// −1600, +10000, −10000 has two rates, 25 % and 400 % (textbook example of Lorie and Savage 1955).
START_TEST(two_rates_of_return_are_not_one)
{
    gw_money net[3];
    gw_err err = {0};
    double irr = 7.0;
    const double two[] = {-1600.0, 10000.0, -10000.0}, none[] = {100.0, 100.0, 100.0};
    gw_life_cycle_cash cash = row_of(net, two, 3);
    ck_assert_int_eq(gw_life_cycle_irr(&cash, &irr, &err), GW_ERR_CONVERGE);
    cash = row_of(net, none, 3);
    ck_assert_int_eq(gw_life_cycle_irr(&cash, &irr, &err), GW_ERR_CONVERGE);
    ck_assert(irr >= 7.0 && irr <= 7.0);
    cash.count = 1;
    ck_assert_int_eq(gw_life_cycle_irr(&cash, &irr, &err), GW_ERR_RANGE);
}
END_TEST

START_TEST(payback_is_cost_over_saving)
{
    gw_money net[6];
    const double units[] = {-1000.0, 300.0, 300.0, 300.0, 300.0, 300.0};
    const gw_life_cycle_cash cash = row_of(net, units, 6);
    double years = 0.0;
    ck_assert_int_eq(gw_life_cycle_payback(&cash, 0.0, &years, NULL), GW_OK);
    ck_close(years, 3.0 + 100.0 / 300.0, 1e-12);
    // At 5 %: UPV 3 = 2.72325, 4 = 3.54595; 1000/300 = 3.33333; within year 4.
    ck_assert_int_eq(gw_life_cycle_payback(&cash, 0.05, &years, NULL), GW_OK);
    ck_close(years, 3.0 + (1000.0 / 300.0 - 2.723248) / 0.822702, 1e-6);
    // 15.238 % is the rate of return: a little more and it never pays back.
    ck_assert_int_eq(gw_life_cycle_payback(&cash, 0.1523, &years, NULL), GW_OK);
    ck_assert_int_eq(gw_life_cycle_payback(&cash, 0.1525, &years, NULL), GW_ERR_CAPACITY);
}
END_TEST

START_TEST(replacement_puts_payback_off)
{
    gw_money net[6];
    const double units[] = {-100.0, 120.0, -50.0, 20.0, 20.0, 20.0};
    const gw_life_cycle_cash cash = row_of(net, units, 6);
    double years = 0.0;
    ck_assert_int_eq(gw_life_cycle_payback(&cash, 0.0, &years, NULL), GW_OK);
    ck_close(years, 3.0 + 10.0 / 20.0, 1e-12);
}
END_TEST

// 25 000 at 5 %, 15 years, monthly: 197.70.
START_TEST(monthly_payment_of_a_loan)
{
    const gw_life_cycle_loan loan = {{2500000}, 0.05, 15.0, 12};
    gw_life_cycle_loan_terms terms;
    ck_assert_int_eq(gw_life_cycle_loan_solve(&loan, &terms, NULL), GW_OK);
    ck_assert_int_eq(terms.payment.cents, 19770);
    ck_assert_int_eq(terms.periods, 180);
    // Everything paid is principal and interest, to the cent.
    ck_assert_int_eq(179 * terms.payment.cents + terms.last_payment.cents,
                     loan.principal.cents + terms.total_interest.cents);
    ck_assert(llabs(terms.last_payment.cents - terms.payment.cents) < 180);
}
END_TEST

START_TEST(loan_without_interest_is_principal_over_periods)
{
    const gw_life_cycle_loan loan = {{100000}, 0.0, 0.25, 12};
    gw_life_cycle_loan_terms terms;
    ck_assert_int_eq(gw_life_cycle_loan_solve(&loan, &terms, NULL), GW_OK);
    ck_assert_int_eq(terms.payment.cents, 33333);
    ck_assert_int_eq(terms.last_payment.cents, 33334);
    ck_assert_int_eq(terms.total_interest.cents, 0);
}
END_TEST

START_TEST(impossible_loan_is_refused)
{
    const gw_life_cycle_loan loans[] = {
        {{0}, 0.05, 15.0, 12},       {{100}, 0.05, 100.0, 365},
        {{100000}, -0.01, 15.0, 12}, {{100000}, (double)NAN, 15.0, 12},
        {{100000}, 0.05, 0.03, 12},  {{100000}, 0.05, 1.0 / 24.0, 12},
        {{100000}, 0.05, 15.0, 0}};
    gw_life_cycle_loan_terms terms;
    for (size_t i = 0; i < sizeof loans / sizeof loans[0]; i++) {
        ck_assert_msg(gw_life_cycle_loan_solve(&loans[i], &terms, NULL) == GW_ERR_RANGE, "loan %zu",
                      i);
    }
}
END_TEST

// A loop that lives 50 years and a heat pump that lives 20, over 25 years at 3 %.
static const gw_life_cycle_part ground_parts[] = {{"loop", {2000000}, 50.0, 0.0},
                                                  {"heat pump", {1000000}, 20.0, 0.0},
                                                  {"design and permit", {200000}, 0.0, 0.0}};
static const gw_life_cycle_flow ground_flows[] = {{"electricity", {120000}, 0.01, true},
                                                  {"maintenance", {15000}, 0.0, false}};
static const gw_life_cycle_event ground_events[] = {{"grant", {-500000}, 1}};

static gw_life_cycle_plan ground_plan(void)
{
    return (gw_life_cycle_plan){.horizon_year = 25,
                                .discount_frac = 0.03,
                                .parts = ground_parts,
                                .part_count = 3,
                                .flows = ground_flows,
                                .flow_count = 2,
                                .events = ground_events,
                                .event_count = 1,
                                .heat_j_per_year = 80e9};
}

START_TEST(present_cost_matches_hand_calculation)
{
    const gw_life_cycle_plan plan = ground_plan();
    gw_life_cycle_result r;
    ck_assert_int_eq(gw_life_cycle_cost(&plan, &r, NULL), GW_OK);
    ck_assert_int_eq(r.first_cost.cents, 3200000);
    ck_close(gw_money_to_units(r.energy), 1200.0 * 19.5689, 1e-5);
    ck_close(gw_money_to_units(r.upkeep), 150.0 * 17.4131, 1e-5);
    // Heat pump again in year 20: SPV 0.553676. Left in year 25: half the loop, 15/20 of the unit.
    ck_close(gw_money_to_units(r.replacement), 10000.0 * 0.553676, 1e-5);
    ck_assert_int_eq(r.residual_at_horizon.cents, 1000000 + 750000);
    ck_close(gw_money_to_units(r.residual), 17500.0 * 0.477606, 1e-5);
    ck_close(gw_money_to_units(r.events), -5000.0 / 1.03, 1e-6);
    const double sum =
        32000.0 + 1200.0 * 19.56893 + 150.0 * 17.413148 + 5536.76 - 8358.10 - 4854.37;
    ck_close(gw_money_to_units(r.present_cost), sum, 1e-6);
    ck_close(gw_money_to_units(r.per_year), sum * 0.0574279, 1e-5);
    ck_close(r.levelized_per_gj, sum / (80.0 * 17.413148), 1e-6);
    ck_assert_uint_eq(r.year_count, 26);
    ck_assert_int_eq(r.by_year[0].cents, 3200000);
    ck_assert_int_eq(r.by_year[1].cents, 121200 + 15000 - 500000);
    ck_close(gw_money_to_units(r.by_year[20]), 10000.0 + 150.0 + 1200.0 * pow(1.01, 20.0), 1e-6);
}
END_TEST

START_TEST(present_cost_is_the_net_present_value_of_its_years)
{
    const gw_life_cycle_plan plan = ground_plan();
    gw_life_cycle_result r;
    gw_money npv = {0};
    ck_assert_int_eq(gw_life_cycle_cost(&plan, &r, NULL), GW_OK);
    r.by_year[25] = gw_money_subtract(r.by_year[25], r.residual_at_horizon);
    const gw_life_cycle_cash cash = {r.by_year, r.year_count};
    ck_assert_int_eq(gw_life_cycle_npv(&cash, 0.03, &npv, NULL), GW_OK);
    ck_assert(llabs(npv.cents - r.present_cost.cents) <= 15); // cents of rounding, 25 years
}
END_TEST

START_TEST(part_that_ends_with_the_horizon_is_not_bought_again)
{
    const gw_life_cycle_part part = {"furnace", {100000}, 12.5, 0.02};
    gw_life_cycle_plan plan = {
        .horizon_year = 25, .discount_frac = 0.03, .parts = &part, .part_count = 1};
    gw_life_cycle_result r;
    ck_assert_int_eq(gw_life_cycle_cost(&plan, &r, NULL), GW_OK);
    ck_assert_int_eq(r.residual_at_horizon.cents, 0);
    // Bought once more, in the 13th year, at 1.02^13 of today's price.
    ck_close(gw_money_to_units(r.by_year[13]), 1000.0 * 1.293607, 1e-5);
    ck_assert_int_eq(r.by_year[25].cents, 0);
    // Of that second one, 5 of 12.5 years are left in year 20.
    plan.horizon_year = 20;
    ck_assert_int_eq(gw_life_cycle_cost(&plan, &r, NULL), GW_OK);
    ck_close(gw_money_to_units(r.residual_at_horizon), 0.4 * 1293.607, 2e-5);
    plan.horizon_year = 12;
    ck_assert_int_eq(gw_life_cycle_cost(&plan, &r, NULL), GW_OK);
    ck_assert_int_eq(r.residual_at_horizon.cents, 4000); // 0.5 of 12.5 years left
}
END_TEST

START_TEST(investment_against_oil_has_consistent_measures)
{
    const gw_life_cycle_part furnace[] = {{"furnace and cooling", {800000}, 20.0, 0.0}};
    const gw_life_cycle_flow oil[] = {{"oil and electricity", {450000}, 0.01, true},
                                      {"maintenance", {25000}, 0.0, false}};
    const gw_life_cycle_plan base = {.horizon_year = 25,
                                     .discount_frac = 0.03,
                                     .parts = furnace,
                                     .part_count = 1,
                                     .flows = oil,
                                     .flow_count = 2,
                                     .heat_j_per_year = 80e9};
    gw_life_cycle_plan invest = ground_plan();
    gw_life_cycle_comparison c;
    ck_assert_int_eq(gw_life_cycle_compare(&base, &invest, &c, NULL), GW_OK);
    ck_assert_int_eq(c.extra_first_cost.cents, 2400000);
    ck_assert_int_eq(c.first_year_saving.cents, 454500 + 25000 - 121200 - 15000 + 500000);
    ck_assert(c.net_saving.cents > 0 && c.savings_to_investment > 1.0);
    ck_assert(c.has_irr && c.irr_frac > 0.03);
    ck_assert(c.has_simple_payback && c.has_discounted_payback);
    ck_assert(c.simple_payback_year < c.discounted_payback_year);
    // AIRR = (1+d) SIR^(1/n) − 1 exceeds d exactly when SIR > 1 (Handbook 135).
    ck_close(pow((1.0 + c.adjusted_return_frac) / 1.03, 25.0), c.savings_to_investment, 1e-9);
    // 24 000 extra, 5 000 grant and 3 433 saved in year 1, then 3 466.33, 3 500 …
    const double year1 = 24000.0 - 8433.0;
    double left = year1, years = 1.0, saving = 0.0;
    for (int t = 2;; t++) {
        saving = 3300.0 * pow(1.01, t) + 100.0;
        if (left <= saving) {
            break;
        }
        left -= saving;
        years += 1.0;
    }
    ck_close(c.simple_payback_year, years + left / saving, 1e-5);
    invest.horizon_year = 20;
    ck_assert_int_eq(gw_life_cycle_compare(&base, &invest, &c, NULL), GW_ERR_RANGE);
}
END_TEST

START_TEST(plan_against_itself_saves_nothing)
{
    const gw_life_cycle_plan plan = ground_plan();
    gw_life_cycle_comparison c;
    ck_assert_int_eq(gw_life_cycle_compare(&plan, &plan, &c, NULL), GW_OK);
    ck_assert_int_eq(c.net_saving.cents, 0);
    ck_assert(!c.has_irr);
    ck_close(c.savings_to_investment, 0.0, 0.0);
}
END_TEST

START_TEST(impossible_plan_is_refused_by_name)
{
    gw_life_cycle_result r;
    gw_err err = {0};
    gw_life_cycle_plan plan = ground_plan();
    plan.horizon_year = 0;
    ck_assert_int_eq(gw_life_cycle_cost(&plan, &r, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "horizon_year");
    plan = ground_plan();
    plan.discount_frac = (double)NAN;
    ck_assert_int_eq(gw_life_cycle_cost(&plan, &r, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "discount_frac");
    const gw_life_cycle_part part = {"p", {100}, 0.5, 0.0};
    plan = ground_plan();
    plan.parts = &part;
    plan.part_count = 1;
    ck_assert_int_eq(gw_life_cycle_cost(&plan, &r, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "parts.life_year");
    const gw_life_cycle_event event = {"e", {100}, 26};
    plan = ground_plan();
    plan.events = &event;
    ck_assert_int_eq(gw_life_cycle_cost(&plan, &r, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "events.year");
    plan = ground_plan();
    plan.heat_j_per_year = -1.0;
    ck_assert_int_eq(gw_life_cycle_cost(&plan, &r, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "heat_j_per_year");
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("life cycle");
    TCase *const tc = tcase_create("money over time");
    tcase_add_loop_test(tc, factors_agree_with_the_printed_tables, 0,
                        (int)(sizeof tables / sizeof tables[0]));
    tcase_add_test(tc, factors_agree_with_compound_amount_tables);
    tcase_add_test(tc, escalated_factors_agree_with_the_formula);
    tcase_add_test(tc, factors_have_their_exact_limits);
    tcase_add_test(tc, rate_of_return_of_an_even_row);
    tcase_add_test(tc, rate_of_return_of_two_flows_is_their_ratio);
    tcase_add_test(tc, rate_of_return_agrees_with_another_solver);
    tcase_add_test(tc, two_rates_of_return_are_not_one);
    tcase_add_test(tc, payback_is_cost_over_saving);
    tcase_add_test(tc, replacement_puts_payback_off);
    tcase_add_test(tc, monthly_payment_of_a_loan);
    tcase_add_test(tc, loan_without_interest_is_principal_over_periods);
    tcase_add_test(tc, impossible_loan_is_refused);
    tcase_add_test(tc, present_cost_matches_hand_calculation);
    tcase_add_test(tc, present_cost_is_the_net_present_value_of_its_years);
    tcase_add_test(tc, part_that_ends_with_the_horizon_is_not_bought_again);
    tcase_add_test(tc, investment_against_oil_has_consistent_measures);
    tcase_add_test(tc, plan_against_itself_saves_nothing);
    tcase_add_test(tc, impossible_plan_is_refused_by_name);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
