// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "loop/well.h"

#include <math.h>

static const double WATER_KG_M3 = 1000.0;
static const double GRAVITY_M_S2 = 9.80665;
static const double DAY_S = 86400.0;
static const double LEAST_CHANGE_K = 2.0; // below it the flow is out of all proportion
static const double SEASON_S = 182.5 * 86400.0;

// ---------------------------------------------------------------- checks

typedef struct {
    const char *field;
    double value, low, high;
    const char *unit;
} range;

static gw_status check_ranges(const range *ranges, size_t count, gw_err *err)
{
    for (size_t i = 0; i < count; i++) {
        const range *const r = &ranges[i];
        if (!(r->value >= r->low && r->value <= r->high)) {
            return gw_fail(err, GW_ERR_RANGE, r->field, "found %s %g %s, expected %g to %g %s",
                           r->field, r->value, r->unit, r->low, r->high, r->unit);
        }
    }
    return GW_OK;
}

static gw_status check_places(const gw_well_plan *w, gw_err *err)
{
    if (!(w->pump_depth_m > w->static_level_m)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "well.pump_depth_m",
                       "the pump hangs at %.1f m, above the water at %.1f m", w->pump_depth_m,
                       w->static_level_m);
    }
    if (w->boundary != GW_WELL_NO_BOUNDARY && !(w->boundary_m >= 1.0 && w->boundary_m <= 1e5)) {
        return gw_fail(err, GW_ERR_RANGE, "well.boundary_m",
                       "found the aquifer's edge at %g m, expected 1 to 100000 m", w->boundary_m);
    }
    if (w->back == GW_WELL_RETURN_WELL &&
        !(w->return_distance_m > w->well_diameter_m && w->return_distance_m <= 5000.0)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "well.return_distance_m",
                       "found the return well at %g m, expected more than the well's diameter "
                       "%.2f m to 5000 m",
                       w->return_distance_m, w->well_diameter_m);
    }
    return GW_OK;
}

gw_status gw_well_check(const gw_well_plan *w, gw_err *err)
{
    const range ranges[] = {
        {"well.water_degc", w->water_degc, 1.0, 30.0, "°C"},
        {"well.yield_m3_s", w->yield_m3_s, 1e-6, 1.0, "m³/s"},
        {"well.static_level_m", w->static_level_m, 0.0, 300.0, "m"},
        {"well.pump_depth_m", w->pump_depth_m, 0.5, 600.0, "m"},
        {"well.well_diameter_m", w->well_diameter_m, 0.05, 2.0, "m"},
        {"well.aquifer.transmissivity_m2_s", w->aquifer.transmissivity_m2_s, 1e-7, 10.0, "m²/s"},
        {"well.aquifer.storativity", w->aquifer.storativity, 1e-6, 0.4, ""},
        {"well.thickness_m", w->thickness_m, 0.5, 300.0, "m"},
        {"well.aquifer_heat_j_m3k", w->aquifer_heat_j_m3k, 1e6, 4e6, "J/(m³·K)"},
        {"well.loss_s2_m5", w->loss_s2_m5, 0.0, 1e9, "s²/m⁵"},
        {"well.return_loss_s2_m5", w->return_loss_s2_m5, 0.0, 1e9, "s²/m⁵"},
        {"well.gradient", w->gradient, 0.0, 0.1, ""},
        {"well.domestic_m3_s", w->domestic_m3_s, 0.0, 0.1, "m³/s"},
    };
    const gw_status st = check_ranges(ranges, sizeof ranges / sizeof ranges[0], err);
    return st != GW_OK ? st : check_places(w, err);
}

gw_status gw_well_check_demand(const gw_well_demand *d, gw_err *err)
{
    const range ranges[] = {
        {"demand.peak_heat_w", d->peak_heat_w, 100.0, 1e6, "W"},
        {"demand.week_heat_w", d->week_heat_w, 0.0, d->peak_heat_w, "W"},
        {"demand.year_flow_hours", d->year_flow_hours, 1.0, 8760.0, "h"},
        {"demand.greatest_change_k", d->greatest_change_k, LEAST_CHANGE_K, 12.0, "K"},
        {"demand.least_leaving_degc", d->least_leaving_degc, 0.5, 10.0, "°C"},
        {"demand.resistance_pa", d->resistance_pa, 0.0, 1e6, "Pa"},
        {"demand.pump_efficiency", d->pump_efficiency, 0.1, 0.85, ""},
    };
    return check_ranges(ranges, sizeof ranges / sizeof ranges[0], err);
}

// ---------------------------------------------------------------- levels

// A flow that is stepped up in time: `from_s` before the moment looked at.
typedef struct {
    double flow_m3_s;
    double from_s;
} flow_step;

enum { STEPS = 3 };

static double stepped_m(const gw_well_aquifer *aquifer, const flow_step steps[static STEPS],
                        double distance_m)
{
    double sum = 0.0;
    for (size_t i = 0; i < STEPS; i++) {
        sum += gw_well_drawdown_m(aquifer, &(gw_well_pumping){.flow_m3_s = steps[i].flow_m3_s,
                                                              .distance_m = distance_m,
                                                              .time_s = steps[i].from_s});
    }
    return sum;
}

// Drawdown with the image beyond the aquifer's edge: of the same sign behind a barrier, of the
// other behind water. Wells stand side by side along the edge.
static double with_edge_m(const gw_well_plan *w, const flow_step steps[static STEPS],
                          double distance_m)
{
    const double real_m = stepped_m(&w->aquifer, steps, distance_m);
    if (w->boundary == GW_WELL_NO_BOUNDARY) {
        return real_m;
    }
    const double image_m = stepped_m(&w->aquifer, steps, hypot(distance_m, 2.0 * w->boundary_m));
    return w->boundary == GW_WELL_BARRIER ? real_m + image_m : real_m - image_m;
}

static void set_levels(const gw_well_plan *w, gw_well_answer *out)
{
    const flow_step loop[STEPS] = {{out->year_flow_m3_s, 365.0 * DAY_S},
                                   {out->week_flow_m3_s - out->year_flow_m3_s, 7.0 * DAY_S},
                                   {out->flow_m3_s - out->week_flow_m3_s, DAY_S}};
    const flow_step house[STEPS] = {{w->domestic_m3_s, 365.0 * DAY_S}};
    const double radius_m = 0.5 * w->well_diameter_m;
    const double pumped_m3_s = out->flow_m3_s + w->domestic_m3_s;
    const double supply_m = with_edge_m(w, loop, radius_m) + with_edge_m(w, house, radius_m);
    out->loss_m = w->loss_s2_m5 * pumped_m3_s * pumped_m3_s;
    out->alone_m = supply_m + out->loss_m;
    out->drawdown_m = out->alone_m;
    out->return_level_m = w->static_level_m;
    if (w->back == GW_WELL_RETURN_WELL) {
        out->drawdown_m -= with_edge_m(w, loop, w->return_distance_m);
        out->rise_m = with_edge_m(w, loop, radius_m) - with_edge_m(w, loop, w->return_distance_m) -
                      with_edge_m(w, house, w->return_distance_m) +
                      w->return_loss_s2_m5 * out->flow_m3_s * out->flow_m3_s;
        out->return_level_m -= out->rise_m;
    }
    out->level_m = w->static_level_m + out->drawdown_m;
}

// ---------------------------------------------------------------- the answer

static void set_flows(const gw_well_plan *w, const gw_well_demand *d, gw_well_answer *out)
{
    const double room_k = w->water_degc - d->least_leaving_degc;
    out->change_k = fmin(d->greatest_change_k, room_k);
    if (!(out->change_k >= LEAST_CHANGE_K)) {
        out->change_k = LEAST_CHANGE_K;
        out->flags |= GW_WELL_COLD;
    }
    out->flow_m3_s_per_w = gw_well_flow_m3_s(1.0, out->change_k);
    out->flow_m3_s = d->peak_heat_w * out->flow_m3_s_per_w;
    out->week_flow_m3_s = d->week_heat_w * out->flow_m3_s_per_w;
    out->year_flow_m3_s = out->flow_m3_s * d->year_flow_hours / 8760.0;
}

static void set_pump(const gw_well_plan *w, const gw_well_demand *d, gw_well_answer *out)
{
    const double inject_m = w->back == GW_WELL_RETURN_WELL ? fmax(0.0, -out->return_level_m) : 0.0;
    out->head_m = out->level_m + d->resistance_pa / (WATER_KG_M3 * GRAVITY_M_S2) + inject_m;
    out->pump_w = WATER_KG_M3 * GRAVITY_M_S2 * out->flow_m3_s * out->head_m / d->pump_efficiency;
    out->pump_year_j = out->pump_w * d->year_flow_hours * 3600.0;
}

static void set_return_heat(const gw_well_plan *w, gw_well_answer *out)
{
    const gw_well_doublet doublet = {.distance_m = w->return_distance_m,
                                     .flow_m3_s = out->year_flow_m3_s,
                                     .thickness_m = w->thickness_m,
                                     .aquifer_heat_j_m3k = w->aquifer_heat_j_m3k,
                                     .transmissivity_m2_s = w->aquifer.transmissivity_m2_s,
                                     .gradient = w->gradient};
    out->heat = gw_well_return_heat_of(&doublet);
    if (out->heat.feedback && out->heat.breakthrough_s < SEASON_S) {
        out->flags |= GW_WELL_FEEDS_BACK;
    }
}

gw_status gw_well_assess(const gw_well_plan *w, const gw_well_demand *d, gw_well_answer *out,
                         gw_err *err)
{
    *out = (gw_well_answer){0};
    gw_status st = gw_well_check(w, err);
    if (st == GW_OK) {
        st = gw_well_check_demand(d, err);
    }
    if (st != GW_OK) {
        return st;
    }
    set_flows(w, d, out);
    set_levels(w, out);
    if (w->back == GW_WELL_RETURN_WELL) {
        set_return_heat(w, out);
        out->flags |= out->return_level_m < 0.0 ? GW_WELL_FLOODS : 0;
    }
    const double house_m3_s = w->domestic_m3_s;
    out->flags |= out->flow_m3_s + house_m3_s > w->yield_m3_s ? GW_WELL_SHORT_PEAK : 0;
    out->flags |= out->week_flow_m3_s + house_m3_s > w->yield_m3_s ? GW_WELL_SHORT_WEEK : 0;
    out->flags |= out->level_m >= w->pump_depth_m ? GW_WELL_DRY : 0;
    set_pump(w, d, out);
    return GW_OK;
}

// ---------------------------------------------------------------- words

const char *gw_well_flag_text(unsigned flag)
{
    static const struct {
        unsigned flag;
        const char *text;
    } rows[] = {
        {GW_WELL_SHORT_PEAK, "The well gives less water than the heat pump draws in the coldest "
                             "hour: it runs short of flow or on its auxiliary heat then."},
        {GW_WELL_SHORT_WEEK, "The well gives less water than the coldest week asks for, day and "
                             "night: it does not carry the house."},
        {GW_WELL_DRY, "The water falls to the pump's inlet: hang the pump lower, pump less or "
                      "find a better aquifer."},
        {GW_WELL_FLOODS, "The return well cannot take the water: it rises above the ground."},
        {GW_WELL_FEEDS_BACK, "Cooled water reaches the supply well within a heating season: set "
                             "the wells farther apart."},
        {GW_WELL_COLD, "The ground water is too cold: it cannot be cooled by 2 K and stay above "
                       "the coldest water allowed out of the unit."},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (rows[i].flag == flag) {
            return rows[i].text;
        }
    }
    return NULL;
}

const char *gw_well_caution(void)
{
    return "Taking ground water and giving it back needs the authority's permission in many places "
           "and is forbidden in some. Ask, before a well is drilled, about: the right to the water "
           "and the greatest flow; whether a return well into the same aquifer is required, how "
           "far away and built to which standard; whether water may be let out on the surface; "
           "tests and reports; distances to septic systems, wells and property lines. The figures "
           "here rest on the stated yield and aquifer: have the well tested for as long as the "
           "coldest week lasts, and the water analysed, before a heat pump is bought.";
}
