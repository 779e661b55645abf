// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Money as whole cents: exact sums, one rounding rule, and printing.
//
// It knows no currency and no exchange rate: the symbol is a parameter of printing. A double never
// holds an amount; rates (price per metre, per litre) are doubles, and rate × quantity becomes an
// amount once, by gw_money_from_rate.
// Rounding: to the nearest cent, half a cent away from zero (commercial rounding). A binary product
// that lies within 4 units in the last place of half a cent counts as half a cent, so that
// 1.005 × 1 gives 1.01 as on paper.
//
//   gw_money total = gw_money_from_cents(0), line;
//   st = gw_money_from_rate(86.0, 325.0, &line, err);              // 27 950.00
//   total = gw_money_add(total, line);
//   gw_money_print(total, &(gw_money_style){.symbol = "$"}, buf, sizeof buf);  // "27 950 $"
#ifndef GW_MONEY_MONEY_H
#define GW_MONEY_MONEY_H

#include "base/err.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct {
    int64_t cents;
} gw_money;

// A sum with its plausible bounds; low ≤ typical ≤ high.
typedef struct {
    gw_money low;
    gw_money typical;
    gw_money high;
} gw_money_range;

// No amount that is made from a number may pass this many cents (ten thousand million units), so
// that millions of them add without overflow.
#define GW_MONEY_LIMIT_CENTS INT64_C(1000000000000)

typedef struct {
    const char *symbol; // after the number, "$", "CAD", "€"; NULL or "" prints no symbol
    const char *group;  // between thousands; NULL means a plain space
    const char *point;  // decimal mark; NULL means "."
    bool cents;         // true prints two decimals, false rounds to whole units
    bool symbol_first;  // "$24,310" instead of "24 310 $"
} gw_money_style;

gw_money gw_money_from_cents(int64_t cents);

// Amount in whole units (dollars), rounded to cents. Errors: GW_ERR_RANGE (not finite, too large).
gw_status gw_money_from_units(double units, gw_money *out, gw_err *err) GW_MUST_USE;

// Price per unit × quantity, rounded once. Errors: GW_ERR_RANGE.
gw_status gw_money_from_rate(double price_per_unit, double quantity, gw_money *out,
                             gw_err *err) GW_MUST_USE;

// Exact. Sums outside int64 saturate; amounts within GW_MONEY_LIMIT_CENTS never get there in
// fewer than nine million additions.
gw_money gw_money_add(gw_money a, gw_money b);
gw_money gw_money_subtract(gw_money a, gw_money b);
gw_money gw_money_negate(gw_money a);

// -1, 0, 1 as a is less than, equal to, more than b.
int gw_money_compare(gw_money a, gw_money b);

// a × factor, rounded. Errors: GW_ERR_RANGE.
gw_status gw_money_scale(gw_money a, double factor, gw_money *out, gw_err *err) GW_MUST_USE;

// a × numerator / denominator in integers, rounded once: exact shares such as 13/100.
// |numerator| and denominator up to 1e9, denominator > 0. Errors: GW_ERR_RANGE.
gw_status gw_money_scale_ratio(gw_money a, int64_t numerator, int64_t denominator, gw_money *out,
                               gw_err *err) GW_MUST_USE;

// Rounded to a multiple of step_cents (> 0), half away from zero: 100 for whole units, 5 for
// five-cent coins.
gw_money gw_money_round(gw_money a, int64_t step_cents);

// For ratios and charts only: an amount in whole units.
double gw_money_to_units(gw_money a);

// a / b as a plain number; NaN never: b of zero gives 0.
double gw_money_ratio(gw_money a, gw_money b);

// Writes e.g. "24 310 $", "-1 250.50 $"; returns buffer, always NUL-terminated. 64 bytes hold any
// amount with a symbol of up to 8 bytes. `style` NULL means whole units without a symbol.
const char *gw_money_print(gw_money a, const gw_money_style *style, char *buffer, size_t size);

#endif
