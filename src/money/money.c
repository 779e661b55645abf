// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "money/money.h"

#include <float.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

gw_money gw_money_from_cents(int64_t cents)
{
    return (gw_money){cents};
}

// Nearest whole number, half away from zero. A product of two decimal fractions is off by at most
// a few units in the last place, so what lies that close below a half is taken as the half.
static gw_status round_cents(double cents, gw_money *out, gw_err *err)
{
    const double magnitude = fabs(cents);
    if (!(magnitude <= (double)GW_MONEY_LIMIT_CENTS)) {
        return gw_fail(err, GW_ERR_RANGE, "amount", "amount %.6g must be within +-%.0f",
                       cents / 100.0, (double)GW_MONEY_LIMIT_CENTS / 100.0);
    }
    const int64_t whole = (int64_t)floor(magnitude * (1.0 + 4.0 * DBL_EPSILON) + 0.5);
    out->cents = cents < 0.0 ? -whole : whole;
    return GW_OK;
}

gw_status gw_money_from_units(double units, gw_money *out, gw_err *err)
{
    return round_cents(units * 100.0, out, err);
}

gw_status gw_money_from_rate(double price_per_unit, double quantity, gw_money *out, gw_err *err)
{
    return round_cents(price_per_unit * quantity * 100.0, out, err);
}

gw_money gw_money_add(gw_money a, gw_money b)
{
    int64_t sum = 0;
    if (__builtin_add_overflow(a.cents, b.cents, &sum)) {
        sum = a.cents < 0 ? INT64_MIN : INT64_MAX;
    }
    return (gw_money){sum};
}

gw_money gw_money_negate(gw_money a)
{
    return (gw_money){a.cents == INT64_MIN ? INT64_MAX : -a.cents};
}

gw_money gw_money_subtract(gw_money a, gw_money b)
{
    return gw_money_add(a, gw_money_negate(b));
}

int gw_money_compare(gw_money a, gw_money b)
{
    return (a.cents > b.cents) - (a.cents < b.cents);
}

gw_status gw_money_scale(gw_money a, double factor, gw_money *out, gw_err *err)
{
    return round_cents((double)a.cents * factor, out, err);
}

static uint64_t magnitude_of(int64_t value)
{
    return value < 0 ? 0U - (uint64_t)value : (uint64_t)value;
}

gw_status gw_money_scale_ratio(gw_money a, int64_t numerator, int64_t denominator, gw_money *out,
                               gw_err *err)
{
    const int64_t limit = 1000000000;
    if (denominator < 1 || denominator > limit || numerator < -limit || numerator > limit) {
        return gw_fail(err, GW_ERR_RANGE, "ratio",
                       "ratio %" PRId64 "/%" PRId64 " must have terms up to 1e9 and a positive "
                       "denominator",
                       numerator, denominator);
    }
    // cents = quotient × denominator + rest, so that neither product passes 64 bits unseen.
    const uint64_t cents = magnitude_of(a.cents), num = magnitude_of(numerator);
    const uint64_t den = (uint64_t)denominator;
    uint64_t whole = 0;
    const uint64_t rounded = (2U * (cents % den) * num + den) / (2U * den);
    if (__builtin_mul_overflow(cents / den, num, &whole) ||
        __builtin_add_overflow(whole, rounded, &whole) || whole > (uint64_t)INT64_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "amount",
                       "amount times %" PRId64 "/%" PRId64 " is too large", numerator, denominator);
    }
    out->cents = (a.cents < 0) != (numerator < 0) ? -(int64_t)whole : (int64_t)whole;
    return GW_OK;
}

gw_money gw_money_round(gw_money a, int64_t step_cents)
{
    if (step_cents < 1) {
        return a;
    }
    const uint64_t step = (uint64_t)step_cents, cents = magnitude_of(a.cents);
    const uint64_t rest = cents % step;
    const uint64_t down = cents - rest;
    const uint64_t rounded = rest >= step - rest && rest > 0 ? down + step : down;
    if (rounded > (uint64_t)INT64_MAX) {
        return a;
    }
    return (gw_money){a.cents < 0 ? -(int64_t)rounded : (int64_t)rounded};
}

double gw_money_to_units(gw_money a)
{
    return (double)a.cents / 100.0;
}

double gw_money_ratio(gw_money a, gw_money b)
{
    return b.cents == 0 ? 0.0 : (double)a.cents / (double)b.cents;
}

// Digits of `whole` in groups of three, most significant first.
static size_t print_groups(uint64_t whole, const char *group, char *text, size_t size)
{
    char digits[24];
    const int count = snprintf(digits, sizeof digits, "%" PRIu64, whole);
    size_t n = 0;
    text[0] = '\0';
    for (int i = 0; i < count; i++) {
        const char *const gap = i > 0 && (count - i) % 3 == 0 ? group : "";
        const int written = snprintf(text + n, size - n, "%s%c", gap, digits[i]);
        if (written < 0 || (size_t)written >= size - n) {
            break;
        }
        n += (size_t)written;
    }
    return n;
}

const char *gw_money_print(gw_money a, const gw_money_style *style, char *buffer, size_t size)
{
    static const gw_money_style plain = {0};
    const gw_money_style *const s = style == NULL ? &plain : style;
    const char *const symbol = s->symbol == NULL ? "" : s->symbol;
    const gw_money shown = s->cents ? a : gw_money_round(a, 100);
    const uint64_t cents = magnitude_of(shown.cents);
    char number[96], tail[16] = "";
    print_groups(cents / 100U, s->group == NULL ? " " : s->group, number, sizeof number);
    if (s->cents) {
        (void)snprintf(tail, sizeof tail, "%.4s%02u", s->point == NULL ? "." : s->point,
                       (unsigned)(cents % 100U));
    }
    const char *const sign = shown.cents < 0 ? "-" : "";
    if (s->symbol_first) {
        (void)snprintf(buffer, size, "%s%s%s%s", sign, symbol, number, tail);
    } else {
        (void)snprintf(buffer, size, "%s%s%s%s%s", sign, number, tail, symbol[0] != '\0' ? " " : "",
                       symbol);
    }
    return buffer;
}
