// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "plant/plant.h"

#include "base/range.h"

#include "plant/hot.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define BTU_H_PER_W 3.412141633 // one hour over the international-table Btu of 1055.05585262 J

typedef enum { HEATING, COOLING } mode_kind;

// What a curve is, for its checks and its messages.
typedef struct {
    const char *field; // "pump.heating"
    mode_kind kind;
    double blower_w;
} curve_role;

static gw_status check_point(const gw_plant_curve *curve, size_t i, const curve_role *role,
                             gw_err *err)
{
    char field[GW_ERR_FIELD_SIZE];
    snprintf(field, sizeof field, "%s.points[%zu]", role->field, i);
    const gw_plant_rating *const p = &curve->points[i];
    if (!(p->entering_water_degc >= -15.0 && p->entering_water_degc <= 45.0)) {
        return gw_fail(err, GW_ERR_RANGE, field, "entering water %g °C must be -15 to 45",
                       p->entering_water_degc);
    }
    if (!(p->capacity_w > 0.0 && p->capacity_w < 1e7 && p->power_w > 0.0 && p->power_w < 1e7)) {
        return gw_fail(err, GW_ERR_RANGE, field, "capacity %g W and power %g W must be above 0",
                       p->capacity_w, p->power_w);
    }
    if (role->kind == HEATING && !(p->capacity_w > p->power_w + role->blower_w)) {
        return gw_fail(err, GW_ERR_RANGE, field,
                       "heating capacity %g W must exceed compressor and blower power, %g W",
                       p->capacity_w, p->power_w + role->blower_w);
    }
    return GW_OK;
}

// Warmer entering water may not lower heating capacity or COP, nor lower the power or raise the COP
// of cooling: the loop is solved on the strength of that.
static gw_status check_order(const gw_plant_curve *curve, size_t i, const curve_role *role,
                             gw_err *err)
{
    char field[GW_ERR_FIELD_SIZE];
    snprintf(field, sizeof field, "%s.points[%zu]", role->field, i);
    const gw_plant_rating *const a = &curve->points[i - 1];
    const gw_plant_rating *const b = &curve->points[i];
    if (!(b->entering_water_degc >= a->entering_water_degc + 0.1)) {
        return gw_fail(err, GW_ERR_RANGE, field,
                       "entering water %g °C must be above that of the point before, %g °C",
                       b->entering_water_degc, a->entering_water_degc);
    }
    const double cop_a = a->capacity_w / (a->power_w + role->blower_w);
    const double cop_b = b->capacity_w / (b->power_w + role->blower_w);
    if (role->kind == HEATING && !(b->capacity_w >= a->capacity_w && cop_b >= cop_a)) {
        return gw_fail(err, GW_ERR_RANGE, field,
                       "heating capacity (%g W) and COP (%.3f) may not fall as the entering water "
                       "rises; the point before has %g W and %.3f",
                       b->capacity_w, cop_b, a->capacity_w, cop_a);
    }
    if (role->kind == COOLING && !(b->power_w >= a->power_w && cop_b <= cop_a)) {
        return gw_fail(err, GW_ERR_RANGE, field,
                       "cooling power (%g W) may not fall nor COP (%.3f) rise as the entering "
                       "water rises; the point before has %g W and %.3f",
                       b->power_w, cop_b, a->power_w, cop_a);
    }
    return GW_OK;
}

static gw_status check_curve(const gw_plant_curve *curve, const curve_role *role, gw_err *err)
{
    if (curve->count == 0) {
        return GW_OK;
    }
    if (curve->count < 2 || curve->count > GW_PLANT_POINTS_MAX) {
        return gw_fail(err, GW_ERR_RANGE, role->field, "%zu rating points must be 2 to %d",
                       curve->count, (int)GW_PLANT_POINTS_MAX);
    }
    for (size_t i = 0; i < curve->count; ++i) {
        gw_status st = check_point(curve, i, role, err);
        if (st == GW_OK && i > 0) {
            st = check_order(curve, i, role, err);
        }
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

// How far a curve is carried on beyond its first and last point.
typedef struct {
    double down_k;
    double up_k;
} reach;

// Interval i: the line through (t, value) with that slope, as value at 0 °C.
static void set_interval(gw_plant_stage *stage, int i, const gw_plant_rating *through,
                         const gw_plant_rating *slope)
{
    const double t_degc = through->entering_water_degc;
    stage->capacity_slope_w_k[i] = slope->capacity_w;
    stage->power_slope_w_k[i] = slope->power_w;
    stage->capacity_at_0_w[i] = through->capacity_w - slope->capacity_w * t_degc;
    stage->power_at_0_w[i] = through->power_w - slope->power_w * t_degc;
}

static gw_plant_rating moved(const gw_plant_rating *from, const gw_plant_rating *slope, double d_k)
{
    return (gw_plant_rating){.entering_water_degc = from->entering_water_degc + d_k,
                             .capacity_w = from->capacity_w + slope->capacity_w * d_k,
                             .power_w = from->power_w + slope->power_w * d_k};
}

// Rating points into intervals: held, one between each two points (the outer ones reaching further
// by `ends`), held.
static void build_stage(const gw_plant_curve *curve, double scale, reach ends, gw_plant_stage *out)
{
    memset(out, 0, sizeof *out);
    if (curve->count < 2) {
        out->last = -1;
        return;
    }
    const gw_plant_rating level = {0};
    const int count = (int)curve->count;
    out->last = count;
    for (int i = 1; i < count; ++i) {
        gw_plant_rating a = curve->points[i - 1];
        gw_plant_rating b = curve->points[i];
        const double span_k = b.entering_water_degc - a.entering_water_degc;
        const gw_plant_rating slope = {.capacity_w = scale * (b.capacity_w - a.capacity_w) / span_k,
                                       .power_w = scale * (b.power_w - a.power_w) / span_k};
        a.capacity_w *= scale;
        a.power_w *= scale;
        set_interval(out, i, &a, &slope);
        out->knot_degc[i] = a.entering_water_degc;
        if (i == 1) {
            const gw_plant_rating end = moved(&a, &slope, -ends.down_k);
            set_interval(out, 0, &end, &level);
            out->low_degc = out->knot_degc[1] = end.entering_water_degc;
        }
        if (i == count - 1) {
            const gw_plant_rating end = moved(&a, &slope, span_k + ends.up_k);
            set_interval(out, count, &end, &level);
            out->high_degc = out->knot_degc[count] = end.entering_water_degc;
        }
    }
}

// Usable at this temperature: capacity and power above 0, more heat than power in heating, and the
// low stage clearly below the full one.
static bool is_usable_at(const gw_plant_mode *mode, const curve_role *role, double at_degc)
{
    const gw_plant_point full = gw_plant_stage_at(&mode->full, at_degc);
    if (!(full.capacity_w > 0.0 && full.power_w > 0.0) ||
        (role->kind == HEATING && !(full.capacity_w > full.power_w + role->blower_w))) {
        return false;
    }
    if (mode->low.last >= 0) {
        const gw_plant_point low = gw_plant_stage_at(&mode->low, at_degc);
        return low.capacity_w > 0.0 && low.capacity_w < 0.98 * full.capacity_w &&
               low.power_w > 0.0 && low.power_w < full.power_w;
    }
    return true;
}

// Both curves of a mode.
typedef struct {
    const gw_plant_curve *full;
    const gw_plant_curve *low;
    const curve_role *role;
} curve_pair;

static void build_mode(const curve_pair *pair, double scale, reach ends, gw_plant_mode *out)
{
    build_stage(pair->full, scale, ends, &out->full);
    build_stage(pair->low, scale, ends, &out->low);
    if (pair->full->count > 0) {
        out->first_degc = pair->full->points[0].entering_water_degc;
        out->final_degc = pair->full->points[pair->full->count - 1].entering_water_degc;
    }
}

// The ends carry on for GW_PLANT_EXTRAPOLATE_K, less where the curve stops being usable.
static void build_mode_carried_on(const curve_pair *pair, double scale, gw_plant_mode *out)
{
    const double step_k = 0.5;
    const double steps = GW_PLANT_EXTRAPOLATE_K / step_k;
    reach ends = {.down_k = GW_PLANT_EXTRAPOLATE_K, .up_k = GW_PLANT_EXTRAPOLATE_K};
    gw_plant_mode wide;
    build_mode(pair, 1.0, ends, &wide);
    for (double k = 1.0; pair->full->count > 0 && k <= steps; k += 1.0) {
        if (!is_usable_at(&wide, pair->role, wide.first_degc - k * step_k)) {
            ends.down_k = fmin(ends.down_k, (k - 1.0) * step_k);
        }
        if (!is_usable_at(&wide, pair->role, wide.final_degc + k * step_k)) {
            ends.up_k = fmin(ends.up_k, (k - 1.0) * step_k);
        }
    }
    build_mode(pair, scale, ends, out);
}

// The two stages must cover the same water temperatures and stay apart there.
static gw_status check_stages(const curve_pair *pair, gw_err *err)
{
    const gw_plant_curve *const full = pair->full;
    const gw_plant_curve *const low = pair->low;
    if (low->count == 0) {
        return GW_OK;
    }
    if (full->count == 0 ||
        low->points[0].entering_water_degc != full->points[0].entering_water_degc ||
        low->points[low->count - 1].entering_water_degc !=
            full->points[full->count - 1].entering_water_degc) {
        return gw_fail(err, GW_ERR_RANGE, pair->role->field,
                       "the low stage needs a full stage with the same first and last entering "
                       "water");
    }
    gw_plant_mode mode;
    build_mode(pair, 1.0, (reach){0}, &mode);
    for (size_t i = 0; i < full->count + low->count; ++i) {
        const double at_degc = i < full->count ? full->points[i].entering_water_degc
                                               : low->points[i - full->count].entering_water_degc;
        if (!is_usable_at(&mode, pair->role, at_degc)) {
            return gw_fail(err, GW_ERR_RANGE, pair->role->field,
                           "at %g °C the low stage must have less capacity and power than the full",
                           at_degc);
        }
    }
    return GW_OK;
}

gw_status gw_plant_check_pump(const gw_heat_pump *pump, gw_err *err)
{
    if (pump->heating.count == 0) {
        return gw_fail(err, GW_ERR_MISSING, "pump.heating", "a heating curve is required");
    }
    const gw_unit_range limits[] = {
        {"pump.blower_power_w", pump->blower_power_w, 0.0, 5000.0, "W"},
        {"pump.rated_flow_m3_s", pump->rated_flow_m3_s, 0.0, 0.1, "m3/s"},
        {"pump.pressure_drop_pa", pump->pressure_drop_pa, 0.0, 5e5, "Pa"},
        {"pump.min_entering_degc", pump->min_entering_degc, -20.0, 20.0, "°C"},
        {"pump.max_entering_degc", pump->max_entering_degc, 20.0, 60.0, "°C"},
    };
    gw_status st = gw_unit_range_check(limits, sizeof limits / sizeof limits[0], err);
    const curve_role heating = {"pump.heating", HEATING, pump->blower_power_w};
    const curve_role heating_low = {"pump.heating_low", HEATING, pump->blower_power_w};
    const curve_role cooling = {"pump.cooling", COOLING, pump->blower_power_w};
    const curve_role cooling_low = {"pump.cooling_low", COOLING, pump->blower_power_w};
    const struct {
        const gw_plant_curve *curve;
        const curve_role *role;
    } curves[] = {{&pump->heating, &heating},
                  {&pump->heating_low, &heating_low},
                  {&pump->cooling, &cooling},
                  {&pump->cooling_low, &cooling_low}};
    for (size_t i = 0; st == GW_OK && i < 4; ++i) {
        st = check_curve(curves[i].curve, curves[i].role, err);
    }
    if (st == GW_OK) {
        st = check_stages(&(curve_pair){&pump->heating, &pump->heating_low, &heating_low}, err);
    }
    if (st == GW_OK) {
        st = check_stages(&(curve_pair){&pump->cooling, &pump->cooling_low, &cooling_low}, err);
    }
    return st;
}

static gw_status check_input(const gw_plant_input *input, gw_err *err)
{
    const gw_unit_range limits[] = {
        {"unit_count", (double)input->unit_count, 1.0, GW_PLANT_UNITS_MAX, "units"},
        {"cycling_coefficient", input->cycling_coefficient, 0.0, 0.5, ""},
        {"circulator_power_w", input->circulator_power_w, 0.0, 10000.0, "W"},
        {"circulator_heat_frac", input->circulator_heat_frac, 0.0, 1.0, ""},
        {"share_of_design_loss", input->share_of_design_loss, 0.0, 1.5, ""},
    };
    gw_status st = gw_unit_range_check(limits, sizeof limits / sizeof limits[0], err);
    if (st == GW_OK && input->share_of_design_loss > 0.0) {
        const gw_unit_range sizing[] = {
            {"design_loss_w", input->design_loss_w, 100.0, 1e7, "W"},
            {"sizing_entering_degc", input->sizing_entering_degc, -15.0, 30.0, "°C"},
        };
        st = gw_unit_range_check(sizing, 2, err);
    }
    if (st == GW_OK && input->hot_water_cop_ratio != 0.0) {
        const gw_unit_range ratio = {"hot_water_cop_ratio", input->hot_water_cop_ratio, 0.3, 1.0,
                                     ""};
        st = gw_unit_range_check(&ratio, 1, err);
    }
    return st == GW_OK ? gw_plant_check_pump(&input->pump, err) : st;
}

// Factor on the catalogue curve so that all units give the wanted share of the design loss.
static double scale_for(const gw_plant_input *input)
{
    if (!(input->share_of_design_loss > 0.0)) {
        return 1.0;
    }
    gw_plant_mode mode;
    const curve_role role = {"pump.heating", HEATING, input->pump.blower_power_w};
    build_mode_carried_on(&(curve_pair){&input->pump.heating, &input->pump.heating_low, &role}, 1.0,
                          &mode);
    const gw_plant_point at = gw_plant_stage_at(&mode.full, input->sizing_entering_degc);
    return input->share_of_design_loss * input->design_loss_w /
           (at.capacity_w * (double)input->unit_count);
}

gw_status gw_plant_build(const gw_plant_input *input, gw_plant *out, gw_err *err)
{
    const gw_status st = check_input(input, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_heat_pump *const pump = &input->pump;
    const double scale = scale_for(input);
    const double ratio = input->hot_water_cop_ratio;
    *out = (gw_plant){
        .per_unit = 1.0 / (double)input->unit_count,
        .units = (double)input->unit_count,
        .cycling_coefficient = input->cycling_coefficient,
        .blower_power_w = scale * pump->blower_power_w,
        .circulator_power_w = input->circulator_power_w,
        .circulator_heat_frac = input->circulator_heat_frac,
        .hot_water_cop_ratio = ratio > 0.0 ? ratio : 1.0,
        .min_entering_degc = pump->min_entering_degc,
        .max_entering_degc = pump->max_entering_degc,
        .scale = scale,
        .rated_flow_m3_s = scale * pump->rated_flow_m3_s * (double)input->unit_count,
        .pressure_drop_pa = pump->pressure_drop_pa,
    };
    const curve_role heating = {"pump.heating", HEATING, pump->blower_power_w};
    const curve_role cooling = {"pump.cooling", COOLING, pump->blower_power_w};
    build_mode_carried_on(&(curve_pair){&pump->heating, &pump->heating_low, &heating}, scale,
                          &out->heating);
    build_mode_carried_on(&(curve_pair){&pump->cooling, &pump->cooling_low, &cooling}, scale,
                          &out->cooling);
    return GW_OK;
}

static gw_plant_rated rated(const gw_plant *plant, const gw_plant_mode *mode, double entering_degc)
{
    if (mode->full.last < 0) {
        return (gw_plant_rated){0};
    }
    const gw_plant_point at = gw_plant_stage_at(&mode->full, entering_degc);
    const double power_w = at.power_w + plant->blower_power_w;
    return (gw_plant_rated){.capacity_w = plant->units * at.capacity_w,
                            .power_w = plant->units * power_w,
                            .cop = at.capacity_w / power_w};
}

gw_plant_rated gw_plant_rated_heating(const gw_plant *plant, double entering_degc)
{
    return rated(plant, &plant->heating, entering_degc);
}

gw_plant_rated gw_plant_rated_cooling(const gw_plant *plant, double entering_degc)
{
    return rated(plant, &plant->cooling, entering_degc);
}

double gw_plant_eer_from_cop(double cop)
{
    return BTU_H_PER_W * cop;
}

double gw_plant_cop_from_eer(double eer)
{
    return eer / BTU_H_PER_W;
}
