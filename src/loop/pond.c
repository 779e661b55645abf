// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The pond's plan, and the rules of the trade held against it.
#include "loop/pond_priv.h"

#include <math.h>
#include <string.h>

static const double OFF_BOTTOM_M = 0.45; // 1 to 2 ft, where the plan says nothing

double gw_pond_coil_depth_m(const gw_pond_plan *pond)
{
    return pond->coil_depth_m > 0.0 ? pond->coil_depth_m : pond->depth_m - OFF_BOTTOM_M;
}

gw_status gw_pond_check(const gw_pond_plan *p, double pipe_diameter_m, gw_err *err)
{
    const struct {
        const char *field, *unit;
        double value, low, high;
    } ranges[] = {
        {"pond.area_m2", "m²", p->area_m2, 50.0, 1e6},
        {"pond.depth_m", "m", p->depth_m, 0.5, 30.0},
        {"pond.bundle_m", "m", p->bundle_m, 0.0, 500.0},
        {"pond.spacing_m", "m", p->spacing_m, 0.0, 20.0},
        {"pond.inflow_m3_s", "m³/s", p->inflow_m3_s, 0.0, 10.0},
        {"pond.inflow_degc", "°C", p->inflow_degc, 0.0, 25.0},
        {"pond.snow_m", "m", p->snow_m, 0.0, 1.0},
        {"pond.clearness_m", "m", p->clearness_m, 0.2, 15.0},
        {"pond.pipe", "m", pipe_diameter_m, 0.01, 0.1},
    };
    for (size_t i = 0; i < sizeof ranges / sizeof ranges[0]; i++) {
        if (!(ranges[i].value >= ranges[i].low && ranges[i].value <= ranges[i].high)) {
            return gw_fail(err, GW_ERR_RANGE, ranges[i].field, "found %s %g %s, expected %g to %g",
                           ranges[i].field, ranges[i].value, ranges[i].unit, ranges[i].low,
                           ranges[i].high);
        }
    }
    if (p->bundle_m > 0.0 && p->bundle_m < 10.0) {
        return gw_fail(err, GW_ERR_RANGE, "pond.bundle_m",
                       "found bundles of %.1f m of pipe, expected 10 to 500 m", p->bundle_m);
    }
    if (p->bundles < 1 || p->bundles > 200) {
        return gw_fail(err, GW_ERR_RANGE, "pond.bundles", "found %zu bundles, expected 1 to 200",
                       p->bundles);
    }
    if (p->mean_depth_m != 0.0 &&
        !(p->mean_depth_m >= p->depth_m / 3.0 - 1e-9 && p->mean_depth_m <= p->depth_m)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "pond.mean_depth_m",
                       "found a mean depth of %.2f m in a pond %.2f m deep, expected %.2f to "
                       "%.2f m",
                       p->mean_depth_m, p->depth_m, p->depth_m / 3.0, p->depth_m);
    }
    const double coil_m = gw_pond_coil_depth_m(p);
    if (!(coil_m >= 0.3 && coil_m <= p->depth_m - pipe_diameter_m)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "pond.coil_depth_m",
                       "the coils would lie %.2f m deep in a pond of %.2f m, expected 0.3 m to a "
                       "pipe's diameter off the bottom",
                       coil_m, p->depth_m);
    }
    return GW_OK;
}

// ---------------------------------------------------------------- rules

enum { QUANTITIES = 12 };

typedef struct {
    const char *id;
    double value;
    bool known;
} quantity;

static void list_quantities(const gw_pond_case *about, quantity list[static QUANTITIES])
{
    const gw_pond_plan *const p = about->pond;
    const double coil_m = gw_pond_coil_depth_m(p);
    const bool with = about->with != NULL;
    const bool both = with && about->without != NULL;
    const quantity all[QUANTITIES] = {
        {"depth_m", p->depth_m, true},
        {"cover_m", coil_m, true},
        {"area_m2", p->area_m2, true},
        {"capacity_w_m2", about->capacity_w / p->area_m2, true},
        {"pipe_m_w", (double)p->bundles * p->bundle_m / about->capacity_w, p->bundle_m > 0.0},
        {"off_bottom_m", p->depth_m - coil_m, true},
        {"spacing_m", p->spacing_m, p->bundles > 1},
        {"moving_water", p->moving_water ? 1.0 : 0.0, true},
        {"ice_to_coils_m", with ? coil_m - about->with->thickest_ice_m : 0.0, with},
        {"coldest_with_degc", with ? about->with->coldest_degc : 0.0, with},
        {"warmest_with_degc", with ? about->with->warmest_degc : 0.0, with},
        {"drop_k", both ? about->without->coldest_degc - about->with->coldest_degc : 0.0, both},
    };
    memcpy(list, all, sizeof all);
}

typedef struct {
    const char *quantity, *bound, *breach;
    gw_pond_verdict verdict;
} rule;

static gw_status read_rule(const gw_table *rules, size_t row, rule *out, gw_err *err)
{
    *out = (rule){0};
    const struct {
        const char *column;
        const char **cell;
    } texts[] = {
        {"id", &out->verdict.id},         {"quantity", &out->quantity},
        {"bound", &out->bound},           {"breach", &out->breach},
        {"unit", &out->verdict.unit},     {"text", &out->verdict.text},
        {"source", &out->verdict.source},
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        const gw_status st = gw_table_text(rules, row, texts[i].column, texts[i].cell, err);
        if (st != GW_OK) {
            return st;
        }
    }
    if (strcmp(out->bound, "least") != 0 && strcmp(out->bound, "most") != 0) {
        return gw_fail(err, GW_ERR_KEY, "bound",
                       "%s: found the bound \"%s\" in rule %s, expected "
                       "\"least\" or \"most\"",
                       rules->name, out->bound, out->verdict.id);
    }
    if (strcmp(out->breach, "refuse") != 0 && strcmp(out->breach, "warn") != 0) {
        return gw_fail(err, GW_ERR_KEY, "breach",
                       "%s: found the breach \"%s\" in rule %s, "
                       "expected \"refuse\" or \"warn\"",
                       rules->name, out->breach, out->verdict.id);
    }
    out->verdict.refuses = strcmp(out->breach, "refuse") == 0;
    return gw_table_number(rules, row, "limit", &out->verdict.limit, err);
}

static const quantity *find_quantity(const quantity list[static QUANTITIES], const char *id)
{
    for (size_t i = 0; i < QUANTITIES; i++) {
        if (strcmp(list[i].id, id) == 0) {
            return &list[i];
        }
    }
    return NULL;
}

gw_status gw_pond_judge(const gw_table *rules, const gw_pond_case *about,
                        gw_pond_verdict verdicts[static GW_POND_RULES_MAX], size_t *count,
                        gw_err *err)
{
    *count = 0;
    if (!(about->capacity_w > 0.0)) {
        return gw_fail(err, GW_ERR_RANGE, "capacity_w",
                       "found a heating capacity of %g W, expected more than none",
                       about->capacity_w);
    }
    quantity list[QUANTITIES];
    list_quantities(about, list);
    for (size_t row = 0; row < rules->rows; row++) {
        rule r;
        const gw_status st = read_rule(rules, row, &r, err);
        if (st != GW_OK) {
            return st;
        }
        const quantity *const q = find_quantity(list, r.quantity);
        if (q == NULL) {
            return gw_fail(err, GW_ERR_KEY, "quantity", "%s: found the unknown quantity \"%s\"",
                           rules->name, r.quantity);
        }
        if (!q->known) {
            continue;
        }
        if (*count == GW_POND_RULES_MAX) {
            return gw_fail(err, GW_ERR_RANGE, rules->name, "found more than %d rules",
                           (int)GW_POND_RULES_MAX);
        }
        gw_pond_verdict *const v = &verdicts[(*count)++];
        *v = r.verdict;
        v->value = q->value;
        v->least = strcmp(r.bound, "least") == 0;
        v->holds = v->least ? v->value >= v->limit : v->value <= v->limit;
    }
    return GW_OK;
}
