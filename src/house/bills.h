// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What past fuel bills say about a house: its heat-loss coefficient, the outdoor temperature below
// which it needs heat, and the load that does not depend on the weather; each with a 95 % interval.
//
// It reads no dates as text and no weather file: bills carry a day number, the temperatures are one
// array of daily means, fuel energy and efficiency are plain numbers. It does not split a second
// fuel (a wood stove beside the furnace): the coefficient is then that of the billed fuel only.
// Sun and people are inside the balance temperature, not apart.
//
// Method: variable-base degree-day regression (Fels 1986, "PRISM: an introduction", Energy and
// Buildings 9:5; Kissock, Haberl & Claridge 2003, ASHRAE Trans. 109(2):425). For a period of n days
//   mean heat = UA · Σ max(0, T_balance − T_day) / n + base
// by least squares weighted with n (each day is as uncertain as any other). The balance temperature
// is searched on a grid and then by golden section; the base load is held at zero where the best
// would be negative. Intervals: linearised at the optimum, Student's t, and the greater of the
// classical and the heteroskedasticity-consistent variance (docs/methods/study.md).
// Tanks: a delivery that fills the tank to its usual mark replaces what was burnt since the last
// such fill. So the first fill only opens the account (what it replaced was burnt before), a
// partial delivery is added to the next fill, partial deliveries after the last fill are left out,
// and fills closer than GW_BILLS_LEAST_DAYS are joined (how full is "full" weighs too much there).
//
//   const gw_bills_input input = {.kind = GW_BILLS_DELIVERIES, .bills = bills, .bill_count = 9,
//       .daily_mean_degc = t, .day_count = 760, .energy_j = 38.2e6, .efficiency_frac = 0.78};
//   st = gw_bills_solve(arena, &input, &fit, err);      // fit.ua_w_k.low … .high
//   gw_bills_comparison both;
//   st = gw_bills_compare(&fit, 228.0, &both, err);      // both.sentence
#ifndef GW_BILLS_H
#define GW_BILLS_H

#include "base/arena.h"
#include "base/err.h"

#include <stdbool.h>
#include <stddef.h>

enum { GW_BILLS_LEAST_DAYS = 10, GW_BILLS_MOST = 2000, GW_BILLS_SENTENCE = 480 };

typedef enum {
    GW_BILLS_USE,        // quantity = used since the bill before; that of the first is not counted
    GW_BILLS_METER,      // quantity = register of a meter that counts up
    GW_BILLS_DELIVERIES, // quantity = put into the tank
} gw_bills_kind;

typedef struct {
    size_t day;      // at the start of this day of the temperatures, 0 to day_count
    double quantity; // units of fuel, ≥ 0
    bool partial;    // a delivery that did not fill the tank to its usual mark
} gw_bill;

typedef struct {
    gw_bills_kind kind;
    const gw_bill *bills;          // [bill_count] in order of day
    size_t bill_count;             // 2 to GW_BILLS_MOST
    const double *daily_mean_degc; // [day_count], -70 to 60
    size_t day_count;
    double energy_j;        // per unit of fuel, gross; > 0
    double efficiency_frac; // seasonal, heat to the house / gross energy: 0.1 to 6 (heat pumps)
    bool balance_given;     // the balance temperature is known, not searched
    double balance_degc;    // 0 to 30
    bool base_given;        // likewise the weather-independent load
    double base_w;          // ≥ 0, as heat (fuel power × efficiency)
} gw_bills_input;

// Estimate and the ends of its 95 % interval (all three equal where the value was given).
typedef struct {
    double value;
    double low;
    double high;
} gw_bills_interval;

typedef struct {
    size_t first_day;
    size_t days;
    double quantity;  // units of fuel
    double heat_w;    // mean over the period
    double fitted_w;  // by the model
    double mean_degc; // outdoors
    double degree_k;  // degree-days to the balance temperature / days
} gw_bills_period;

typedef struct {
    gw_bills_interval ua_w_k;
    gw_bills_interval balance_degc;
    gw_bills_interval base_w;
    const gw_bills_period *periods; // [period_count]
    size_t period_count;
    size_t left_out;     // bills that open the account, or that no fill followed
    size_t joined;       // bills added to the following period
    size_t freedom;      // periods less fitted values
    double r2;           // weighted
    double cv_rmse_frac; // root mean square of the residuals / mean heat
    bool base_held;      // at zero
} gw_bills_fit;

// Errors: GW_ERR_RANGE with the bill or field named (negative quantity, day not after the one
// before, day beyond the temperatures, meter that runs back, use that does not grow with cold),
// GW_ERR_MISSING (too few periods; only winter bills, from which balance and base cannot be told
// apart: give one of them), GW_ERR_NOMEM.
gw_status gw_bills_solve(gw_arena *arena, const gw_bills_input *input, gw_bills_fit *out,
                         gw_err *err) GW_MUST_USE;

typedef enum { GW_BILLS_TRUST_BILLS, GW_BILLS_TRUST_COMPONENTS } gw_bills_trust;

typedef struct {
    double component_ua_w_k;
    double ratio; // bills / components
    bool agree;   // the component figure lies within the interval
    bool vague;   // the interval is wider than ± 30 %: the bills decide nothing
    gw_bills_trust trust;
    char sentence[GW_BILLS_SENTENCE]; // which one, and why
} gw_bills_comparison;

// component_ua_w_k: of the whole house with its mean winter infiltration, not with that of the
// windy design hour. Errors: GW_ERR_RANGE.
gw_status gw_bills_compare(const gw_bills_fit *fit, double component_ua_w_k,
                           gw_bills_comparison *out, gw_err *err) GW_MUST_USE;

// Days since 1 January 2000 of a date of the Gregorian calendar (negative before).
long gw_bills_day_number(int year, int month, int day);

// 365 daily means of a typical year laid out for a period that begins on a day of the year
// (0 = 1 January); leap days are not counted. For bills without weather of their own years.
void gw_bills_lay_typical(const double daily_degc[365], size_t first_day_of_year, double *out_degc,
                          size_t day_count);

// 97.5 % point of Student's t. Within 1e-4 for any number of degrees of freedom.
double gw_bills_student_975(size_t freedom);

#endif
