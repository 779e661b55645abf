// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "money/tariff.h"

#include "money/money_priv.h"

#include <math.h>

static const int month_days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

static gw_status check_blocks(const gw_tariff *tariff, gw_err *err)
{
    const gw_money_priv_range price = {"blocks.price_per_kwh", -10.0, 10.0};
    double edge_kwh = 0.0;
    gw_status st = GW_OK;
    for (size_t i = 0; i < tariff->block_count && st == GW_OK; i++) {
        const gw_tariff_block *const b = &tariff->blocks[i];
        st = gw_money_priv_within("blocks.price_per_kwh", b->price_per_kwh, price, err);
        const bool last = i + 1 == tariff->block_count;
        if (st == GW_OK && (last ? b->upto_kwh != 0.0 : !(b->upto_kwh > edge_kwh))) {
            st = gw_fail(err, GW_ERR_RANGE, "blocks.upto_kwh",
                         last ? "the last block (%zu) must have no edge (0), found %.6g kWh"
                              : "edge of block %zu, %.6g kWh, must be above the one before",
                         i, b->upto_kwh);
        }
        edge_kwh = b->upto_kwh;
    }
    return st;
}

static gw_status check_periods(const gw_tariff *tariff, gw_err *err)
{
    const gw_money_priv_range price = {"periods.price_per_kwh", -10.0, 10.0};
    gw_status st = GW_OK;
    for (size_t i = 0; i < tariff->period_count && st == GW_OK; i++) {
        const gw_tariff_period *const p = &tariff->periods[i];
        st = gw_money_priv_within("periods.price_per_kwh", p->price_per_kwh, price, err);
        if (st == GW_OK && (p->from_hour < 0 || p->from_hour > 23 || p->to_hour < 1 ||
                            p->to_hour > 24 || p->from_hour == p->to_hour)) {
            st = gw_fail(err, GW_ERR_RANGE, "periods.from_hour",
                         "period %zu, hours %d to %d, must be 0-23 to 1-24 and not empty", i,
                         p->from_hour, p->to_hour);
        }
        if (st == GW_OK && p->months > 0xfffU) {
            st = gw_fail(err, GW_ERR_RANGE, "periods.months", "period %zu: months has 12 bits", i);
        }
    }
    return st;
}

gw_status gw_tariff_check(const gw_tariff *tariff, gw_err *err)
{
    if (tariff->block_count > GW_TARIFF_BLOCKS_MAX ||
        tariff->period_count > GW_TARIFF_PERIODS_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "blocks", "a tariff has at most %d blocks, %d periods",
                       GW_TARIFF_BLOCKS_MAX, GW_TARIFF_PERIODS_MAX);
    }
    if (tariff->block_count + tariff->period_count == 0) {
        return gw_fail(err, GW_ERR_MISSING, "blocks", "a tariff needs blocks or periods");
    }
    const struct {
        double value;
        gw_money_priv_range range;
    } rows[] = {{gw_money_to_units(tariff->monthly_charge), {"monthly_charge", 0.0, 1e5}},
                {tariff->demand_per_kw, {"demand_per_kw", 0.0, 1e4}},
                {tariff->demand_free_kw, {"demand_free_kw", 0.0, 1e5}},
                {tariff->tax_frac, {"tax_frac", 0.0, 0.5}},
                {(double)tariff->first_weekday, {"first_weekday", 0.0, 6.0}}};
    gw_status st = GW_OK;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0] && st == GW_OK; i++) {
        st = gw_money_priv_within(rows[i].range.column, rows[i].value, rows[i].range, err);
    }
    if (st == GW_OK) {
        st = check_blocks(tariff, err);
    }
    return st == GW_OK ? check_periods(tariff, err) : st;
}

typedef struct {
    int month;   // 0 to 11
    int weekday; // 0 Monday
    int hour;    // 0 to 23
} moment;

static bool period_holds(const gw_tariff_period *p, moment at)
{
    const bool month = p->months == 0U || (p->months >> at.month & 1U) != 0U;
    const bool day =
        p->days == GW_TARIFF_EVERY_DAY || (p->days == GW_TARIFF_WEEKENDS) == (at.weekday >= 5);
    const bool hour = p->from_hour < p->to_hour ? at.hour >= p->from_hour && at.hour < p->to_hour
                                                : at.hour >= p->from_hour || at.hour < p->to_hour;
    return month && day && hour;
}

static gw_status price_at(const gw_tariff *tariff, moment at, double *price_per_kwh, gw_err *err)
{
    *price_per_kwh = 0.0;
    if (tariff->period_count == 0) {
        return GW_OK;
    }
    for (size_t i = 0; i < tariff->period_count; i++) {
        if (period_holds(&tariff->periods[i], at)) {
            *price_per_kwh = tariff->periods[i].price_per_kwh;
            return GW_OK;
        }
    }
    return gw_fail(err, GW_ERR_MISSING, "periods",
                   "no period covers month %d, weekday %d (0 Monday), hour %d", at.month + 1,
                   at.weekday, at.hour);
}

// Cost of a month's energy by blocks; each block prices what lies between its edges.
static double block_cost(const gw_tariff *tariff, double month_kwh, int days)
{
    const double scale = tariff->blocks_per_day ? (double)days : 1.0;
    double cost = 0.0, below_kwh = 0.0;
    for (size_t i = 0; i < tariff->block_count && month_kwh > below_kwh; i++) {
        const gw_tariff_block *const b = &tariff->blocks[i];
        const double edge_kwh = b->upto_kwh > 0.0 ? b->upto_kwh * scale : month_kwh;
        const double upto_kwh = fmin(edge_kwh, month_kwh);
        cost += (upto_kwh - below_kwh) * b->price_per_kwh;
        below_kwh = upto_kwh;
    }
    return cost;
}

// A month's use: energy, greatest hour, and its cost by periods.
typedef struct {
    double kwh;
    double peak_kw;
    double period_cost;
} month_use;

static double power_at(const gw_tariff_load *load, size_t hour)
{
    return load == NULL || load->power_w == NULL ? 0.0 : load->power_w[hour];
}

static gw_status add_hour(const gw_tariff *tariff, moment at, double power_w, month_use *use,
                          gw_err *err)
{
    double price_per_kwh = 0.0;
    const gw_status st = price_at(tariff, at, &price_per_kwh, err);
    const double kw = power_w * 1e-3;
    use->kwh += kw;
    use->peak_kw = fmax(use->peak_kw, kw);
    use->period_cost += kw * price_per_kwh;
    return st;
}

static gw_status close_month(const gw_tariff *tariff, int month, const month_use *use,
                             gw_tariff_result *out, gw_err *err)
{
    gw_money energy = {0}, demand = {0}, tax = {0};
    const double cost = use->period_cost + block_cost(tariff, use->kwh, month_days[month]);
    const double billed_kw = fmax(0.0, use->peak_kw - tariff->demand_free_kw);
    gw_status st = gw_money_from_units(cost, &energy, err);
    if (st == GW_OK) {
        st = gw_money_from_rate(tariff->demand_per_kw, billed_kw, &demand, err);
    }
    const gw_money net = gw_money_add(gw_money_add(energy, demand), tariff->monthly_charge);
    if (st == GW_OK) {
        st = gw_money_scale(net, tariff->tax_frac, &tax, err);
    }
    out->month_kwh[month] = use->kwh;
    out->month_peak_kw[month] = use->peak_kw;
    out->month[month] = gw_money_add(net, tax);
    out->energy = gw_money_add(out->energy, energy);
    out->demand = gw_money_add(out->demand, demand);
    out->charges = gw_money_add(out->charges, tariff->monthly_charge);
    out->tax = gw_money_add(out->tax, tax);
    out->year = gw_money_add(out->year, out->month[month]);
    out->year_kwh += use->kwh;
    return st;
}

// Bill of the sum of two loads; either may be absent.
static gw_status bill_sum(const gw_tariff *tariff, const gw_tariff_load *a, const gw_tariff_load *b,
                          gw_tariff_result *out, gw_err *err)
{
    gw_status st = gw_tariff_check(tariff, err);
    gw_tariff_result result = {0};
    size_t hour = 0;
    int day_of_year = 0;
    for (int month = 0; month < 12 && st == GW_OK; month++) {
        month_use use = {0.0, 0.0, 0.0};
        for (int h = 0; h < 24 * month_days[month] && st == GW_OK; h++, hour++) {
            const double power_w = power_at(a, hour) + power_at(b, hour);
            if (!(power_w >= 0.0 && power_w <= 1e9)) {
                return gw_fail(err, GW_ERR_RANGE, "power_w", "hour %zu: %.6g W must be 0 to 1e9",
                               hour, power_w);
            }
            const moment at = {month, (tariff->first_weekday + day_of_year + h / 24) % 7, h % 24};
            st = add_hour(tariff, at, power_w, &use, err);
        }
        day_of_year += month_days[month];
        if (st == GW_OK) {
            st = close_month(tariff, month, &use, &result, err);
        }
    }
    if (st == GW_OK) {
        result.mean_price_per_kwh =
            result.year_kwh > 0.0 ? gw_money_to_units(result.year) / result.year_kwh : 0.0;
        *out = result;
    }
    return st;
}

gw_status gw_tariff_bill(const gw_tariff *tariff, const gw_tariff_load *load, gw_tariff_result *out,
                         gw_err *err)
{
    return bill_sum(tariff, load, NULL, out, err);
}

gw_status gw_tariff_added_cost(const gw_tariff *tariff, const gw_tariff_load *base,
                               const gw_tariff_load *added, gw_money *out, gw_err *err)
{
    gw_tariff_result without = {0}, with = {0};
    gw_status st = bill_sum(tariff, base, NULL, &without, err);
    if (st == GW_OK) {
        st = bill_sum(tariff, base, added, &with, err);
    }
    if (st == GW_OK) {
        *out = gw_money_subtract(with.year, without.year);
    }
    return st;
}
