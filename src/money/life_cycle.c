// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "money/life_cycle.h"

#include "money/money_priv.h"

#include <math.h>
#include <string.h>

// A life that ends within this of the horizon ends with it: no replacement.
#define YEAR_EPSILON 1e-9

// Undiscounted outlays of the plan's years in cents, and the present worths they add up to.
typedef struct {
    const gw_life_cycle_plan *plan;
    double year_cents[GW_LIFE_CYCLE_YEARS_MAX + 1];
    double energy_cents;
    double upkeep_cents;
    double replacement_cents;
    double residual_cents; // at the horizon
    double event_cents;
    gw_money first_cost;
} ledger;

static gw_status check_rate(const char *field, double rate_frac, gw_err *err)
{
    return gw_money_priv_within(field, rate_frac, (gw_money_priv_range){field, -0.5, 1.0}, err);
}

static gw_status check_money(const char *field, gw_money amount, gw_err *err)
{
    if (amount.cents < -GW_MONEY_LIMIT_CENTS || amount.cents > GW_MONEY_LIMIT_CENTS) {
        return gw_fail(err, GW_ERR_RANGE, field, "%s is too large", field);
    }
    return GW_OK;
}

static gw_status check_parts(const gw_life_cycle_plan *plan, gw_err *err)
{
    gw_status st = GW_OK;
    for (size_t i = 0; i < plan->part_count && st == GW_OK; i++) {
        const gw_life_cycle_part *const p = &plan->parts[i];
        st = check_money("parts.cost", p->cost, err);
        if (st == GW_OK) {
            st = check_rate("parts.escalation_frac", p->escalation_frac, err);
        }
        if (st == GW_OK && p->life_year != 0.0) {
            st = gw_money_priv_within("parts.life_year", p->life_year,
                                      (gw_money_priv_range){"life_year", 1.0, 1000.0}, err);
        }
    }
    return st;
}

static gw_status check_plan(const gw_life_cycle_plan *plan, gw_err *err)
{
    gw_status st = gw_money_priv_within(
        "horizon_year", (double)plan->horizon_year,
        (gw_money_priv_range){"horizon_year", 1.0, GW_LIFE_CYCLE_YEARS_MAX}, err);
    if (st == GW_OK) {
        st = check_rate("discount_frac", plan->discount_frac, err);
    }
    if (st == GW_OK) {
        st = gw_money_priv_within("heat_j_per_year", plan->heat_j_per_year,
                                  (gw_money_priv_range){"heat_j_per_year", 0.0, 1e18}, err);
    }
    if (st == GW_OK) {
        st = check_parts(plan, err);
    }
    for (size_t i = 0; i < plan->flow_count && st == GW_OK; i++) {
        st = check_money("flows.per_year", plan->flows[i].per_year, err);
        if (st == GW_OK) {
            st = check_rate("flows.escalation_frac", plan->flows[i].escalation_frac, err);
        }
    }
    for (size_t i = 0; i < plan->event_count && st == GW_OK; i++) {
        st = check_money("events.amount", plan->events[i].amount, err);
        if (st == GW_OK) {
            st = gw_money_priv_within(
                "events.year", (double)plan->events[i].year,
                (gw_money_priv_range){"events.year", 0.0, (double)plan->horizon_year}, err);
        }
    }
    return st;
}

// Purchase in year 0, replacements, and what is left of the last one at the horizon.
static void add_part(ledger *l, const gw_life_cycle_part *part)
{
    const double horizon = (double)l->plan->horizon_year;
    const double cost = (double)part->cost.cents;
    l->first_cost = gw_money_add(l->first_cost, part->cost);
    l->year_cents[0] += cost;
    if (part->life_year == 0.0) {
        return;
    }
    double bought = 0.0, paid = cost;
    for (int k = 1; (double)k * part->life_year < horizon - YEAR_EPSILON; k++) {
        bought = (double)k * part->life_year;
        const size_t year = (size_t)ceil(bought - YEAR_EPSILON);
        paid = cost * pow(1.0 + part->escalation_frac, (double)year);
        l->year_cents[year] += paid;
        l->replacement_cents += paid * gw_life_cycle_spv(l->plan->discount_frac, (double)year);
    }
    const double used_frac = fmin(1.0, (horizon - bought) / part->life_year);
    l->residual_cents += paid * (1.0 - used_frac);
}

static void add_flow(ledger *l, const gw_life_cycle_flow *flow)
{
    const double cents = (double)flow->per_year.cents;
    double price = 1.0;
    for (int year = 1; year <= l->plan->horizon_year; year++) {
        price *= 1.0 + flow->escalation_frac;
        l->year_cents[year] += cents * price;
    }
    const double worth =
        cents * gw_life_cycle_upv_star(l->plan->discount_frac, flow->escalation_frac,
                                       (double)l->plan->horizon_year);
    if (flow->energy) {
        l->energy_cents += worth;
    } else {
        l->upkeep_cents += worth;
    }
}

static void add_event(ledger *l, const gw_life_cycle_event *event)
{
    const double cents = (double)event->amount.cents;
    l->year_cents[event->year] += cents;
    l->event_cents += cents * gw_life_cycle_spv(l->plan->discount_frac, (double)event->year);
}

static gw_status close_ledger(const ledger *l, gw_life_cycle_result *out, gw_err *err)
{
    const double horizon = (double)l->plan->horizon_year, d = l->plan->discount_frac;
    const struct {
        double cents;
        gw_money *target;
    } rows[] = {{l->energy_cents, &out->energy},
                {l->upkeep_cents, &out->upkeep},
                {l->replacement_cents, &out->replacement},
                {l->residual_cents, &out->residual_at_horizon},
                {l->residual_cents * gw_life_cycle_spv(d, horizon), &out->residual},
                {l->event_cents, &out->events}};
    gw_status st = GW_OK;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0] && st == GW_OK; i++) {
        st = gw_money_from_units(rows[i].cents / 100.0, rows[i].target, err);
    }
    out->year_count = (size_t)l->plan->horizon_year + 1;
    for (size_t y = 0; y < out->year_count && st == GW_OK; y++) {
        st = gw_money_from_units(l->year_cents[y] / 100.0, &out->by_year[y], err);
    }
    if (st != GW_OK) {
        return st;
    }
    out->first_cost = l->first_cost;
    gw_money sum = gw_money_add(out->first_cost, gw_money_add(out->energy, out->upkeep));
    sum = gw_money_add(sum, gw_money_add(out->replacement, out->events));
    out->present_cost = gw_money_subtract(sum, out->residual);
    if (l->plan->heat_j_per_year > 0.0) {
        out->levelized_per_gj = gw_money_to_units(out->present_cost) /
                                (gw_life_cycle_upv(d, horizon) * l->plan->heat_j_per_year * 1e-9);
    }
    return gw_money_scale(out->present_cost, gw_life_cycle_ucr(d, horizon), &out->per_year, err);
}

gw_status gw_life_cycle_cost(const gw_life_cycle_plan *plan, gw_life_cycle_result *out, gw_err *err)
{
    gw_status st = check_plan(plan, err);
    if (st != GW_OK) {
        return st;
    }
    ledger l = {.plan = plan};
    for (size_t i = 0; i < plan->part_count; i++) {
        add_part(&l, &plan->parts[i]);
    }
    for (size_t i = 0; i < plan->flow_count; i++) {
        add_flow(&l, &plan->flows[i]);
    }
    for (size_t i = 0; i < plan->event_count; i++) {
        add_event(&l, &plan->events[i]);
    }
    gw_life_cycle_result result = {0};
    st = close_ledger(&l, &result, err);
    if (st == GW_OK) {
        *out = result;
    }
    return st;
}

// Savings-to-investment ratio and adjusted rate of return, Handbook 135, ch. 6.
static void fill_ratio(const gw_life_cycle_result *base, const gw_life_cycle_result *investment,
                       const gw_life_cycle_plan *plan, gw_life_cycle_comparison *out)
{
    const gw_money saved = gw_money_subtract(gw_money_add(base->energy, base->upkeep),
                                             gw_money_add(investment->energy, investment->upkeep));
    const gw_money extra = gw_money_subtract(saved, out->net_saving);
    if (extra.cents > 0) {
        out->savings_to_investment = gw_money_ratio(saved, extra);
    }
    out->adjusted_return_frac =
        out->savings_to_investment > 0.0
            ? (1.0 + plan->discount_frac) *
                      pow(out->savings_to_investment, 1.0 / (double)plan->horizon_year) -
                  1.0
            : -1.0;
}

gw_status gw_life_cycle_compare(const gw_life_cycle_plan *base,
                                const gw_life_cycle_plan *investment, gw_life_cycle_comparison *out,
                                gw_err *err)
{
    if (base->horizon_year != investment->horizon_year ||
        base->discount_frac < investment->discount_frac ||
        base->discount_frac > investment->discount_frac) {
        return gw_fail(err, GW_ERR_RANGE, "horizon_year",
                       "both plans must have one horizon and one discount rate");
    }
    gw_life_cycle_result b = {0}, v = {0};
    gw_status st = gw_life_cycle_cost(base, &b, err);
    if (st == GW_OK) {
        st = gw_life_cycle_cost(investment, &v, err);
    }
    if (st != GW_OK) {
        return st;
    }
    gw_money net[GW_LIFE_CYCLE_YEARS_MAX + 1] = {{0}};
    for (size_t y = 0; y < b.year_count; y++) {
        net[y] = gw_money_subtract(b.by_year[y], v.by_year[y]);
    }
    gw_life_cycle_comparison result = {
        .extra_first_cost = gw_money_negate(net[0]),
        .first_year_saving = net[1],
        .net_saving = gw_money_subtract(b.present_cost, v.present_cost),
    };
    fill_ratio(&b, &v, base, &result);
    const gw_life_cycle_cash cash = {net, b.year_count};
    result.has_simple_payback =
        gw_life_cycle_payback(&cash, 0.0, &result.simple_payback_year, NULL) == GW_OK;
    result.has_discounted_payback =
        gw_life_cycle_payback(&cash, base->discount_frac, &result.discounted_payback_year, NULL) ==
        GW_OK;
    const size_t last = b.year_count - 1;
    net[last] =
        gw_money_add(net[last], gw_money_subtract(v.residual_at_horizon, b.residual_at_horizon));
    result.has_irr = gw_life_cycle_irr(&cash, &result.irr_frac, NULL) == GW_OK;
    *out = result;
    return GW_OK;
}
