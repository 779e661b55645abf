// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Money over time: present worth, replacement and residual value, payback, rate of return, loans.
//
// It gives no tax advice and forecasts nothing: discount and escalation rates are the caller's, and
// both are real or both nominal. Flows fall at the end of years 1…n, first costs in year 0.
// Method: NIST Handbook 135 (Fuller & Petersen 1996) and ASTM E917. With discount d, escalation e:
//   SPV = (1+d)^−n      UPV = (1 − (1+d)^−n)/d      UCR = 1/UPV
//   UPV* = (1+e)/(d−e) · [1 − ((1+e)/(1+d))^n],  n when d = e
// Rate of return by Brent's method (1973, "Algorithms for minimization without derivatives", ch.
// 4).
//
//   gw_life_cycle_plan plan = {.horizon_year = 25, .discount_frac = 0.03, .parts = parts,
//       .part_count = 2, .flows = flows, .flow_count = 2, .heat_j_per_year = 80e9};
//   st = gw_life_cycle_cost(&plan, &cost, err);
#ifndef GW_LIFE_CYCLE_H
#define GW_LIFE_CYCLE_H

#include "money/money.h"

#include <stdbool.h>

enum { GW_LIFE_CYCLE_YEARS_MAX = 100 };

// Factors. discount and escalation −0.5 to 1 (fractions per year); n ≥ 0 years. d = 0 is exact.
double gw_life_cycle_spv(double discount_frac, double years);
double gw_life_cycle_upv(double discount_frac, double years);
double gw_life_cycle_ucr(double discount_frac, double years);
double gw_life_cycle_upv_star(double discount_frac, double escalation_frac, double years);
// Real rate that goes with a nominal one at a rate of inflation: (1+D)/(1+I) − 1 (Handbook 135).
double gw_life_cycle_real_rate(double nominal_frac, double inflation_frac);

// Something bought in year 0 and again in the year in which its life runs out, as long as that is
// before the horizon. What is left of its life at the horizon counts back as a share of what was
// paid for it (straight line).
typedef struct {
    const char *name;       // "loop", "heat pump", "design and permit"
    gw_money cost;          // at today's prices
    double life_year;       // ≥ 1; 0: never replaced and nothing left (papers, mobilisation)
    double escalation_frac; // of its price
} gw_life_cycle_part;

// A cost (positive) or income (negative) of every year, at today's prices.
typedef struct {
    const char *name; // "electricity", "maintenance"
    gw_money per_year;
    double escalation_frac;
    bool energy; // counted under energy in the result
} gw_life_cycle_flow;

// A single cost or income, e.g. a grant paid in year 1 (negative amount).
typedef struct {
    const char *name;
    gw_money amount;
    int year; // 0 to horizon, end of that year
} gw_life_cycle_event;

typedef struct {
    int horizon_year;     // 1 to 100
    double discount_frac; // −0.5 to 1
    const gw_life_cycle_part *parts;
    size_t part_count;
    const gw_life_cycle_flow *flows;
    size_t flow_count;
    const gw_life_cycle_event *events;
    size_t event_count;
    double heat_j_per_year; // useful heat delivered; 0: no levelized cost
} gw_life_cycle_plan;

typedef struct {
    gw_money present_cost;        // all below, summed
    gw_money first_cost;          // parts in year 0
    gw_money energy;              // present worth of energy flows
    gw_money upkeep;              // present worth of the other flows
    gw_money replacement;         // present worth
    gw_money residual;            // present worth at the horizon, ≥ 0; subtracted in present_cost
    gw_money events;              // present worth
    gw_money per_year;            // present_cost × UCR
    double levelized_per_gj;      // present cost / present worth of heat, currency per GJ
    gw_money residual_at_horizon; // undiscounted
    size_t year_count;            // horizon + 1
    gw_money by_year[GW_LIFE_CYCLE_YEARS_MAX + 1]; // undiscounted outlay, residual left out
} gw_life_cycle_result;

// Errors: GW_ERR_RANGE with the field named.
gw_status gw_life_cycle_cost(const gw_life_cycle_plan *plan, gw_life_cycle_result *out,
                             gw_err *err) GW_MUST_USE;

// Net flows at the ends of years 0…count−1: negative is paid, positive is received.
typedef struct {
    const gw_money *net;
    size_t count; // 2 to 101
} gw_life_cycle_cash;

// Net present value. Errors: GW_ERR_RANGE.
gw_status gw_life_cycle_npv(const gw_life_cycle_cash *cash, double discount_frac, gw_money *out,
                            gw_err *err) GW_MUST_USE;

// Internal rate of return between −0.99 and 10. Errors: GW_ERR_CONVERGE when no rate, or more than
// one rate, makes the net present value zero (the message says which).
gw_status gw_life_cycle_irr(const gw_life_cycle_cash *cash, double *irr_frac,
                            gw_err *err) GW_MUST_USE;

// Years until the running sum of discounted flows reaches zero for good, interpolated within the
// year; discount 0 gives the simple payback. GW_ERR_CAPACITY when it never does.
gw_status gw_life_cycle_payback(const gw_life_cycle_cash *cash, double discount_frac, double *years,
                                gw_err *err) GW_MUST_USE;

// An investment against a base case, both by the same horizon and discount.
typedef struct {
    gw_money extra_first_cost;    // year-0 outlay of the investment minus that of the base
    gw_money first_year_saving;   // year 1 outlay of the base minus that of the investment
    gw_money net_saving;          // present cost of the base minus that of the investment
    double savings_to_investment; // SIR (Handbook 135): PV of operating savings (energy, upkeep)
                                  // / PV of extra investment (first, replacement, residual, events)
                                  // 0 when there is no extra investment
    double adjusted_return_frac;  // AIRR = (1+d) SIR^(1/n) − 1; −1 when SIR ≤ 0
    double irr_frac;              // residual values counted
    double simple_payback_year;   // residual values not counted, replacements counted
    double discounted_payback_year;                           // likewise
    bool has_irr, has_simple_payback, has_discounted_payback; // false: the field is 0
} gw_life_cycle_comparison;

// Errors: GW_ERR_RANGE when horizons or discount rates differ.
gw_status gw_life_cycle_compare(const gw_life_cycle_plan *base,
                                const gw_life_cycle_plan *investment, gw_life_cycle_comparison *out,
                                gw_err *err) GW_MUST_USE;

// A loan with level payments at the end of each period.
typedef struct {
    gw_money principal;   // > 0
    double interest_frac; // nominal per year, 0 to 1; per period = interest / periods_per_year
    double term_year;     // > 0; term × periods_per_year is a whole number
    int periods_per_year; // 1 to 365; 12 for monthly
} gw_life_cycle_loan;

typedef struct {
    gw_money payment;        // per period, rounded to the cent
    gw_money last_payment;   // the last period takes up the cents of rounding
    gw_money total_interest; // over the whole term
    int periods;
} gw_life_cycle_loan_terms;

// Errors: GW_ERR_RANGE.
gw_status gw_life_cycle_loan_solve(const gw_life_cycle_loan *loan, gw_life_cycle_loan_terms *out,
                                   gw_err *err) GW_MUST_USE;

#endif
