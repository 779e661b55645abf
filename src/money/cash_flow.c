// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Net present value, rate of return and payback of a row of yearly flows; loans.
#include "money/life_cycle.h"
#include "money/money_priv.h"

#include <float.h>
#include <math.h>

// Rates of return are sought between these.
#define IRR_LOW (-0.99)
#define IRR_HIGH 10.0

static gw_status check_cash(const gw_life_cycle_cash *cash, gw_err *err)
{
    if (cash->count < 2 || cash->count > GW_LIFE_CYCLE_YEARS_MAX + 1) {
        return gw_fail(err, GW_ERR_RANGE, "count", "flows %zu must be 2 to %d", cash->count,
                       GW_LIFE_CYCLE_YEARS_MAX + 1);
    }
    return GW_OK;
}

// Net present value in cents. Horner's rule from the last year: no powers, no overflow at low rates
// of short rows.
static double npv_cents(const gw_life_cycle_cash *cash, double rate)
{
    double value = 0.0;
    for (size_t i = cash->count; i-- > 0;) {
        value = value / (1.0 + rate) + (double)cash->net[i].cents;
    }
    return value;
}

gw_status gw_life_cycle_npv(const gw_life_cycle_cash *cash, double discount_frac, gw_money *out,
                            gw_err *err)
{
    gw_status st = check_cash(cash, err);
    if (st == GW_OK) {
        st = gw_money_priv_within("discount_frac", discount_frac,
                                  (gw_money_priv_range){"discount_frac", -0.5, 1.0}, err);
    }
    if (st != GW_OK) {
        return st;
    }
    return gw_money_from_units(npv_cents(cash, discount_frac) / 100.0, out, err);
}

typedef struct {
    double a, fa;
    double b, fb;
} bracket;

// Zero of the net present value within a bracket (fa, fb of opposite sign). Brent (1973), ch. 4,
// "zeroin": inverse quadratic or secant steps, halving when they do not shrink fast enough.
static double brent_zero(const gw_life_cycle_cash *cash, bracket k)
{
    double a = k.a, b = k.b, fa = k.fa, fb = k.fb;
    double c = a, fc = fa, d = b - a, e = d;
    for (int i = 0; i < 200; i++) {
        if ((fb > 0.0) == (fc > 0.0)) {
            c = a, fc = fa, d = b - a, e = d;
        }
        if (fabs(fc) < fabs(fb)) {
            a = b, b = c, c = a;
            fa = fb, fb = fc, fc = fa;
        }
        const double tol = 2.0 * DBL_EPSILON * fabs(b) + 1e-14;
        const double m = 0.5 * (c - b);
        if (fabs(m) <= tol || fb == 0.0) {
            return b;
        }
        if (fabs(e) >= tol && fabs(fa) > fabs(fb)) {
            const double s = fb / fa, q = fa / fc, r = fb / fc;
            double p = a == c ? 2.0 * m * s : s * (2.0 * m * q * (q - r) - (b - a) * (r - 1.0));
            double t = a == c ? 1.0 - s : (q - 1.0) * (r - 1.0) * (s - 1.0);
            t = p > 0.0 ? -t : t;
            p = fabs(p);
            const bool fast = 2.0 * p < fmin(3.0 * m * t - fabs(tol * t), fabs(e * t));
            e = fast ? d : m;
            d = fast ? p / t : m;
        } else {
            d = m, e = m;
        }
        a = b, fa = fb;
        b += fabs(d) > tol ? d : copysign(tol, m);
        fb = npv_cents(cash, b);
    }
    return b;
}

static size_t sign_changes(const gw_life_cycle_cash *cash)
{
    size_t changes = 0;
    int64_t last = 0;
    for (size_t i = 0; i < cash->count; i++) {
        const int64_t c = cash->net[i].cents;
        if (c != 0) {
            changes += last != 0 && (c > 0) != (last > 0);
            last = c;
        }
    }
    return changes;
}

gw_status gw_life_cycle_irr(const gw_life_cycle_cash *cash, double *irr_frac, gw_err *err)
{
    const gw_status st = check_cash(cash, err);
    if (st != GW_OK) {
        return st;
    }
    // Steps of equal ratio in 1 + rate. One change of sign in the flows means one rate at most
    // (Descartes); with more, every bracket of the scan is counted.
    enum { STEPS = 400 };
    const double ratio = pow((1.0 + IRR_HIGH) / (1.0 + IRR_LOW), 1.0 / STEPS);
    const size_t changes = sign_changes(cash);
    size_t found = 0;
    double rate[2] = {0.0, 0.0};
    double a = IRR_LOW, fa = npv_cents(cash, a);
    for (int i = 0; i < STEPS && changes > 0 && found < 2; i++) {
        const double b = (1.0 + a) * ratio - 1.0, fb = npv_cents(cash, b);
        if ((fa > 0.0) != (fb > 0.0)) {
            rate[found++] = brent_zero(cash, (bracket){a, fa, b, fb});
        }
        a = b, fa = fb;
    }
    if (found == 0) {
        return gw_fail(err, GW_ERR_CONVERGE, "irr",
                       "no rate between %.0f %% and %.0f %% makes the "
                       "net present value zero",
                       IRR_LOW * 100.0, IRR_HIGH * 100.0);
    }
    if (found > 1) {
        return gw_fail(err, GW_ERR_CONVERGE, "irr",
                       "more than one rate makes the net present value "
                       "zero: %.2f %% and %.2f %%",
                       rate[0] * 100.0, rate[1] * 100.0);
    }
    *irr_frac = rate[0];
    return GW_OK;
}

gw_status gw_life_cycle_payback(const gw_life_cycle_cash *cash, double discount_frac, double *years,
                                gw_err *err)
{
    gw_status st = check_cash(cash, err);
    if (st == GW_OK) {
        st = gw_money_priv_within("discount_frac", discount_frac,
                                  (gw_money_priv_range){"discount_frac", -0.5, 1.0}, err);
    }
    if (st != GW_OK) {
        return st;
    }
    // The last year in which the running sum comes up through zero: a later replacement may take it
    // below again, and then it has not paid back yet.
    double sum = 0.0, back = -1.0;
    for (size_t i = 0; i < cash->count; i++) {
        const double flow =
            (double)cash->net[i].cents * gw_life_cycle_spv(discount_frac, (double)i);
        const double before = sum;
        sum += flow;
        // A discounted sum that ends within a thousandth of a cent of zero counts as zero.
        if (sum < -1e-3) {
            back = -1.0;
        } else if (back < 0.0) {
            back = i == 0 ? 0.0 : (double)(i - 1) + (flow > 0.0 ? fmin(1.0, -before / flow) : 0.0);
        }
    }
    if (back < 0.0) {
        return gw_fail(err, GW_ERR_CAPACITY, "payback", "not paid back within %zu years",
                       cash->count - 1);
    }
    *years = back;
    return GW_OK;
}

static gw_status check_loan(const gw_life_cycle_loan *loan, double *periods, gw_err *err)
{
    if (loan->principal.cents <= 0 || loan->principal.cents > GW_MONEY_LIMIT_CENTS) {
        return gw_fail(err, GW_ERR_RANGE, "principal", "principal must be more than 0");
    }
    gw_status st = gw_money_priv_within("interest_frac", loan->interest_frac,
                                        (gw_money_priv_range){"interest_frac", 0.0, 1.0}, err);
    if (st == GW_OK) {
        st = gw_money_priv_within("periods_per_year", (double)loan->periods_per_year,
                                  (gw_money_priv_range){"periods_per_year", 1.0, 365.0}, err);
    }
    if (st == GW_OK) {
        st = gw_money_priv_within("term_year", loan->term_year,
                                  (gw_money_priv_range){"term_year", 1.0 / 365.0, 100.0}, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const double exact = loan->term_year * (double)loan->periods_per_year;
    *periods = round(exact);
    if (!(fabs(exact - *periods) < 1e-6) || *periods < 1.0) {
        return gw_fail(err, GW_ERR_RANGE, "term_year",
                       "term %.6g years with %d payments a year is not a whole number of payments",
                       loan->term_year, loan->periods_per_year);
    }
    return GW_OK;
}

// Level payment = principal × UCR at the period's rate. The books are kept in whole cents: each
// period's interest is rounded, and the last payment takes what is left.
gw_status gw_life_cycle_loan_solve(const gw_life_cycle_loan *loan, gw_life_cycle_loan_terms *out,
                                   gw_err *err)
{
    double periods = 0.0;
    gw_status st = check_loan(loan, &periods, err);
    if (st != GW_OK) {
        return st;
    }
    const double rate = loan->interest_frac / (double)loan->periods_per_year;
    gw_life_cycle_loan_terms terms = {.periods = (int)periods};
    st = gw_money_scale(loan->principal, gw_life_cycle_ucr(rate, periods), &terms.payment, err);
    gw_money balance = loan->principal;
    for (int i = 0; i < terms.periods && st == GW_OK; i++) {
        gw_money interest = {0};
        st = gw_money_scale(balance, rate, &interest, err);
        terms.total_interest = gw_money_add(terms.total_interest, interest);
        balance = gw_money_add(balance, interest);
        terms.last_payment = i + 1 < terms.periods ? terms.payment : balance;
        balance = gw_money_subtract(balance, terms.last_payment);
    }
    if (st == GW_OK && (terms.payment.cents < 1 || terms.last_payment.cents < 0)) {
        return gw_fail(err, GW_ERR_RANGE, "principal",
                       "principal is too small for %d payments of whole cents", terms.periods);
    }
    if (st == GW_OK) {
        *out = terms;
    }
    return st;
}
