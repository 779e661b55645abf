// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Open loops: well function and drawdown against tables and worked examples, return wells, heat
// balance, and a house of 3 tons as a whole.
#include "loop/well.h"

#include "base/builtin.h"

#include "harness.h"

#include <gsl/gsl_sf_expint.h>
#include <math.h>
#include <string.h>

static const double DAY_S = 86400.0;
static const double PI_TEST = 3.14159265358979323846;
#define GPM_M3_S 6.30901964e-5 // US gallon (231 cubic inches) a minute
#define TON_W 3516.8528        // 12,000 Btu/h

// E1(u) to 15 digits with mpmath, as rounded in the checks.
START_TEST(well_function_has_its_tabulated_values)
{
    static const double rows[][2] = {
        {1e-10, 22.44864}, {1e-8, 17.84347}, {1e-7, 15.54088}, {1e-6, 13.23830}, {1e-5, 10.93572},
        {1e-4, 8.633225},  {2e-4, 7.940178}, {5e-4, 7.024187}, {1e-3, 6.331539}, {2e-3, 5.639391},
        {5e-3, 4.726095},  {.01, 4.037930},  {.02, 3.354708},  {.05, 2.467898},  {.1, 1.822924},
        {.2, 1.222651},    {.3, .9056767},   {.5, .5597736},   {.7, .3737688},   {1, .2193839},
        {1.5, .1000196},   {2, .04890051},   {3, .01304838},   {4, .003779352},  {5, .001148296},
        {9, 1.244735e-5},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        ck_close(gw_well_function(rows[i][0]), rows[i][1], 5e-7);
    }
    // Fair, Geyer & Okun, table 3.2, as printed (2e-10 is misprinted there and left out).
    static const double printed[][2] = {
        {1e-15, 33.96}, {1e-14, 31.66}, {1e-13, 29.36}, {1e-12, 27.05}, {1e-11, 24.75},
        {1e-10, 22.45}, {1e-9, 20.15},  {1e-8, 17.84},  {2e-8, 17.15},  {5e-8, 16.23},
    };
    for (size_t i = 0; i < sizeof printed / sizeof printed[0]; i++) {
        ck_assert(fabs(gw_well_function(printed[i][0]) - printed[i][1]) <= 0.0051);
    }
    for (double u = 1e-12; u < 50.0; u *= 1.3) {
        ck_close(gw_well_function(u), gsl_sf_expint_E1(u), 2e-14);
    }
}
END_TEST

static double drawdown_m(double flow_m3_day, double t_m2_day, double s, double r_m, double days)
{
    return gw_well_drawdown_m(
        &(gw_well_aquifer){.transmissivity_m2_s = t_m2_day / DAY_S, .storativity = s},
        &(gw_well_pumping){
            .flow_m3_s = flow_m3_day / DAY_S, .distance_m = r_m, .time_s = days * DAY_S});
}

START_TEST(drawdown_agrees_with_worked_examples)
{
    // Fetter, Applied Hydrogeology (inputs from memory; the book rounds to 5.7 m).
    ck_close(drawdown_m(2725.0, 14.9 * 20.1, 0.0051, 7.0, 1.0), 5.719, 1e-4);
    // A web page's example (calcdomain.com), exact value.
    ck_close(drawdown_m(500.0, 200.0, 1e-4, 100.0, 10.0), 1.67314, 3e-6);
    // Three tons at 9 gpm, 50 m²/day.
    ck_close(drawdown_m(49.06, 50.0, 0.1, 0.1, 30.0), 1.17357, 5e-6);
    ck_close(drawdown_m(49.06, 50.0, 0.1, 15.0, 30.0), 0.391385, 5e-6);
    ck_close(drawdown_m(49.06, 50.0, 0.1, 30.0, 100.0), 0.377208, 5e-6);
    ck_close(drawdown_m(49.06, 50.0, 1e-3, 0.1, 30.0), 1.53315, 5e-6);
    ck_close(drawdown_m(49.06, 50.0, 1e-3, 15.0, 30.0), 0.750674, 5e-6);
    ck_close(drawdown_m(49.06, 50.0, 1e-3, 30.0, 100.0), 0.736439, 5e-6);
    // The US form s = 114.6 Q W/T, u = 1.87 r² S/(T t) (UFC 3-220-05 eq. C-4): 400 gpm,
    // 50,000 gpd/ft, 1e-4, 100 ft, 1 day: 8.8166 ft. Its constants are rounded.
    const double gpd_ft_m2_s = 0.003785411784 / DAY_S / 0.3048;
    const double s_m =
        gw_well_drawdown_m(&(gw_well_aquifer){50000.0 * gpd_ft_m2_s, 1e-4},
                           &(gw_well_pumping){400.0 * GPM_M3_S, 100.0 * 0.3048, DAY_S});
    ck_close(s_m / 0.3048, 8.8166, 3e-4);
    // No pumping yet, no drawdown.
    ck_assert(drawdown_m(500.0, 200.0, 1e-4, 100.0, 0.0) == 0.0);
}
END_TEST

// gpm per ton = 12,000 (1 ∓ 1/COP)/(500 ΔT°F); 500 Btu/(h·gpm·°F) is 4.1806 MJ/(m³·K).
static double gpm_per_ton(double cop, double change_f, bool cooling)
{
    const double rounded = 500.0 * 1055.05585262 / 3600.0 * 1.8 / GPM_M3_S;
    const double flow_m3_s = gw_well_flow_per_watt_m3_s(cop, change_f / 1.8, cooling) * TON_W;
    return flow_m3_s / GPM_M3_S * GW_WELL_WATER_J_M3K / rounded;
}

START_TEST(flow_per_ton_follows_the_heat_balance)
{
    ck_close(gpm_per_ton(3.5, 7.0, false), 2.449, 2e-4);
    ck_close(gpm_per_ton(3.5, 5.5, false), 3.117, 2e-4);
    ck_close(gpm_per_ton(4.0, 6.0, false), 3.0, 1e-6);
    ck_close(gpm_per_ton(4.0, 10.0, true), 3.0, 1e-6);
    ck_close(gpm_per_ton(4.0, 15.0, true), 2.0, 1e-6);
    ck_close(gw_well_flow_m3_s(4190.0, 1.0), 0.001, 1e-12);
}
END_TEST

// Gringarten & Sauty 1975 and Clyde & Madabhushi 1983 (equations from memory), D 30 m, b 10 m,
// aquifer 2.6, water 4.18 MJ/(m³·K).
START_TEST(doublet_has_the_published_times_and_distance)
{
    gw_well_doublet d = {.distance_m = 30.0,
                         .flow_m3_s = 86.4 / DAY_S,
                         .thickness_m = 10.0,
                         .aquifer_heat_j_m3k = 2.6e6,
                         .transmissivity_m2_s = 50.0 / DAY_S};
    const double water = GW_WELL_WATER_J_M3K / 4.18e6;
    gw_well_return_heat heat = gw_well_return_heat_of(&d);
    ck_close(heat.breakthrough_s / DAY_S * water, 67.851, 1e-5);
    ck_assert(isinf(heat.feedback_distance_m) && heat.feedback);
    d.flow_m3_s = 49.06 / DAY_S;
    d.gradient = 0.002;
    heat = gw_well_return_heat_of(&d);
    ck_close(heat.breakthrough_s / DAY_S * water, 119.493, 1e-5);
    ck_close(heat.feedback_distance_m, 312.33, 2e-5);
    ck_assert(heat.feedback);
    d.distance_m = 320.0;
    ck_assert(!gw_well_return_heat_of(&d).feedback);
}
END_TEST

static gw_well_plan made_well(void)
{
    return (gw_well_plan){.water_degc = 9.0,
                          .yield_m3_s = 12.0 * GPM_M3_S,
                          .static_level_m = 6.0,
                          .pump_depth_m = 30.0,
                          .well_diameter_m = 0.15,
                          .aquifer = {50.0 / DAY_S, 1e-3},
                          .thickness_m = 10.0,
                          .aquifer_heat_j_m3k = 2.6e6,
                          .back = GW_WELL_RETURN_WELL,
                          .return_distance_m = 30.0};
}

static gw_well_demand made_demand(void)
{
    return (gw_well_demand){.peak_heat_w = 3.0 * TON_W * (1.0 - 1.0 / 3.5),
                            .week_heat_w = 5500.0,
                            .year_flow_hours = 2200.0,
                            .greatest_change_k = 3.5,
                            .least_leaving_degc = 4.0,
                            .resistance_pa = 60e3,
                            .pump_efficiency = 0.35};
}

static gw_well_answer assess(const gw_well_plan *well, const gw_well_demand *demand)
{
    gw_err err = {0};
    gw_well_answer answer;
    ck_assert_msg(gw_well_assess(well, demand, &answer, &err) == GW_OK, "%s", err.text);
    return answer;
}

START_TEST(a_three_ton_house_draws_what_the_trade_says)
{
    const gw_well_plan well = made_well();
    const gw_well_demand demand = made_demand();
    const gw_well_answer a = assess(&well, &demand);
    // 1.5 to 3 gpm a ton (maker's manual, utility guide).
    const double gpm_ton = a.flow_m3_s / GPM_M3_S / 3.0;
    ck_assert(gpm_ton > 1.5 && gpm_ton < 3.0);
    ck_close(a.flow_m3_s * GW_WELL_WATER_J_M3K * a.change_k, demand.peak_heat_w, 1e-12);
    // The whole by hand.
    const double steps_m3_day[] = {a.year_flow_m3_s * DAY_S,
                                   (a.week_flow_m3_s - a.year_flow_m3_s) * DAY_S,
                                   (a.flow_m3_s - a.week_flow_m3_s) * DAY_S};
    const double days[] = {365.0, 7.0, 1.0};
    double own_m = 0.0, across_m = 0.0;
    for (int i = 0; i < 3; i++) {
        own_m += drawdown_m(steps_m3_day[i], 50.0, 1e-3, 0.075, days[i]);
        across_m += drawdown_m(steps_m3_day[i], 50.0, 1e-3, 30.0, days[i]);
    }
    ck_close(a.alone_m, own_m, 1e-12);
    ck_close(a.drawdown_m, own_m - across_m, 1e-12);
    ck_close(a.rise_m, a.drawdown_m, 1e-12);
    ck_close(a.level_m, 6.0 + a.drawdown_m, 1e-12);
    ck_close(a.return_level_m, 6.0 - a.rise_m, 1e-12);
    ck_close(a.head_m, a.level_m + 60e3 / 9806.65, 1e-12);
    ck_close(a.pump_w, 9806.65 * a.flow_m3_s * a.head_m / 0.35, 1e-12);
    ck_close(a.pump_year_j, a.pump_w * 2200.0 * 3600.0, 1e-12);
    ck_assert(a.flags == 0);
    // Breakthrough grows with the square of the distance.
    gw_well_plan far = well;
    far.return_distance_m = 60.0;
    ck_close(assess(&far, &demand).heat.breakthrough_s, 4.0 * a.heat.breakthrough_s, 1e-12);
}
END_TEST

START_TEST(edges_and_losses_move_the_level_the_right_way)
{
    const gw_well_plan well = made_well();
    const gw_well_demand demand = made_demand();
    const double plain_m = assess(&well, &demand).drawdown_m;
    gw_well_plan w = well;
    w.boundary = GW_WELL_RECHARGE;
    w.boundary_m = 40.0;
    const double recharge_m = assess(&w, &demand).drawdown_m;
    w.boundary = GW_WELL_BARRIER;
    const double barrier_m = assess(&w, &demand).drawdown_m;
    ck_assert(recharge_m < plain_m && plain_m < barrier_m);
    // The two images are equal and opposite.
    ck_close(plain_m - recharge_m, barrier_m - plain_m, 1e-9);
    w.boundary_m = 1e5;
    ck_close(assess(&w, &demand).drawdown_m, plain_m, 1e-9);
    w = well;
    w.loss_s2_m5 = 1e6;
    const gw_well_answer lossy = assess(&w, &demand);
    ck_close(lossy.drawdown_m - plain_m, 1e6 * lossy.flow_m3_s * lossy.flow_m3_s, 1e-9);
    w = well;
    w.back = GW_WELL_RETURN_SURFACE;
    const gw_well_answer alone = assess(&w, &demand);
    ck_close(alone.drawdown_m, alone.alone_m, 1e-12);
    ck_assert(alone.drawdown_m > plain_m && alone.rise_m == 0.0);
    w = well;
    w.domestic_m3_s = 2e-5;
    ck_assert(assess(&w, &demand).drawdown_m > plain_m);
    ck_assert(assess(&w, &demand).rise_m < assess(&well, &demand).rise_m);
}
END_TEST

START_TEST(a_well_that_does_not_do_says_why)
{
    const gw_well_demand demand = made_demand();
    gw_well_plan w = made_well();
    gw_well_answer a = assess(&w, &demand);
    ck_assert(a.week_flow_m3_s < a.flow_m3_s);
    w.yield_m3_s = 0.5 * a.week_flow_m3_s;
    ck_assert_uint_eq(assess(&w, &demand).flags, GW_WELL_SHORT_PEAK | GW_WELL_SHORT_WEEK);
    w.yield_m3_s = 0.5 * (a.week_flow_m3_s + a.flow_m3_s);
    ck_assert_uint_eq(assess(&w, &demand).flags, GW_WELL_SHORT_PEAK);
    w = made_well();
    w.pump_depth_m = 6.5;
    ck_assert_uint_eq(assess(&w, &demand).flags, GW_WELL_DRY);
    w = made_well();
    w.static_level_m = 0.3;
    a = assess(&w, &demand);
    ck_assert_uint_eq(a.flags, GW_WELL_FLOODS);
    ck_close(a.head_m, a.level_m - a.return_level_m + 60e3 / 9806.65, 1e-12);
    w = made_well();
    w.return_distance_m = 10.0;
    ck_assert_uint_eq(assess(&w, &demand).flags, GW_WELL_FEEDS_BACK);
    w = made_well();
    w.water_degc = 5.0;
    a = assess(&w, &demand);
    ck_assert(a.flags & GW_WELL_COLD);
    ck_close(a.change_k, 2.0, 1e-12);
    for (unsigned flag = 1; flag <= GW_WELL_COLD; flag *= 2) {
        ck_assert(gw_well_flag_text(flag) != NULL);
    }
    ck_assert(gw_well_flag_text(3) == NULL);
    ck_assert(strstr(gw_well_caution(), "permission") != NULL);
}
END_TEST

START_TEST(cold_water_is_cooled_less_and_drawn_more)
{
    gw_well_plan w = made_well();
    const gw_well_demand demand = made_demand();
    const double before_m3_s = assess(&w, &demand).flow_m3_s;
    w.water_degc = 6.5; // 2.5 K above the coldest leaving
    const gw_well_answer a = assess(&w, &demand);
    ck_close(a.change_k, 2.5, 1e-12);
    ck_close(a.flow_m3_s / before_m3_s, 3.5 / 2.5, 1e-12);
    ck_assert(!(a.flags & GW_WELL_COLD));
}
END_TEST

static void refuse_well(const gw_well_plan *w, gw_status want, const char *field)
{
    gw_err err = {0};
    gw_well_answer answer;
    const gw_well_demand demand = made_demand();
    const gw_status st = gw_well_assess(w, &demand, &answer, &err);
    ck_assert_msg(st == want && strcmp(err.field, field) == 0, "%s: got %d %s: %s", field, (int)st,
                  err.field, err.text);
}

START_TEST(impossible_wells_are_refused_by_name)
{
    struct {
        size_t at;
        const char *field;
        double value;
    } rows[] = {
        {offsetof(gw_well_plan, water_degc), "well.water_degc", 0.0},
        {offsetof(gw_well_plan, yield_m3_s), "well.yield_m3_s", 0.0},
        {offsetof(gw_well_plan, static_level_m), "well.static_level_m", -1.0},
        {offsetof(gw_well_plan, pump_depth_m), "well.pump_depth_m", (double)NAN},
        {offsetof(gw_well_plan, well_diameter_m), "well.well_diameter_m", 3.0},
        {offsetof(gw_well_plan, aquifer.transmissivity_m2_s), "well.aquifer.transmissivity_m2_s",
         0.0},
        {offsetof(gw_well_plan, aquifer.storativity), "well.aquifer.storativity", 0.9},
        {offsetof(gw_well_plan, thickness_m), "well.thickness_m", 0.0},
        {offsetof(gw_well_plan, aquifer_heat_j_m3k), "well.aquifer_heat_j_m3k", 1.0},
        {offsetof(gw_well_plan, loss_s2_m5), "well.loss_s2_m5", -1.0},
        {offsetof(gw_well_plan, return_loss_s2_m5), "well.return_loss_s2_m5", -1.0},
        {offsetof(gw_well_plan, gradient), "well.gradient", 0.5},
        {offsetof(gw_well_plan, domestic_m3_s), "well.domestic_m3_s", -1.0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        gw_well_plan w = made_well();
        memcpy((char *)&w + rows[i].at, &rows[i].value, sizeof(double));
        refuse_well(&w, GW_ERR_RANGE, rows[i].field);
    }
    gw_well_plan w = made_well();
    w.pump_depth_m = 5.0;
    refuse_well(&w, GW_ERR_GEOMETRY, "well.pump_depth_m");
    w = made_well();
    w.return_distance_m = 0.1;
    refuse_well(&w, GW_ERR_GEOMETRY, "well.return_distance_m");
    w = made_well();
    w.boundary = GW_WELL_BARRIER;
    refuse_well(&w, GW_ERR_RANGE, "well.boundary_m");
}
END_TEST

START_TEST(impossible_demands_are_refused_by_name)
{
    struct {
        size_t at;
        const char *field;
        double value;
    } rows[] = {
        {offsetof(gw_well_demand, peak_heat_w), "demand.peak_heat_w", 0.0},
        {offsetof(gw_well_demand, week_heat_w), "demand.week_heat_w", 1e5},
        {offsetof(gw_well_demand, year_flow_hours), "demand.year_flow_hours", 9000.0},
        {offsetof(gw_well_demand, greatest_change_k), "demand.greatest_change_k", 0.0},
        {offsetof(gw_well_demand, least_leaving_degc), "demand.least_leaving_degc", -2.0},
        {offsetof(gw_well_demand, resistance_pa), "demand.resistance_pa", (double)NAN},
        {offsetof(gw_well_demand, pump_efficiency), "demand.pump_efficiency", 1.0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        gw_well_demand d = made_demand();
        memcpy((char *)&d + rows[i].at, &rows[i].value, sizeof(double));
        gw_err err = {0};
        ck_assert(gw_well_check_demand(&d, &err) == GW_ERR_RANGE);
        ck_assert_str_eq(err.field, rows[i].field);
    }
}
END_TEST

// ---------------------------------------------------------------- water

typedef struct {
    gw_arena *arena;
    gw_table rules;
    gw_well_quality verdicts[GW_WELL_RULES_MAX];
    size_t count;
} water_case;

static void read_rules(water_case *c)
{
    gw_builtin_file file;
    gw_err err = {0};
    c->arena = gw_arena_create(0);
    ck_assert(gw_builtin("water_quality.csv", &file));
    ck_assert_msg(gw_table_read(c->arena, file.name, file.text, file.length, &c->rules, &err) ==
                      GW_OK,
                  "%s", err.text);
}

static const gw_well_quality *verdict(water_case *c, const gw_well_sample *sample, const char *id)
{
    gw_err err = {0};
    ck_assert_msg(gw_well_judge_water(&c->rules, sample, c->verdicts, &c->count, &err) == GW_OK,
                  "%s", err.text);
    for (size_t i = 0; i < c->count; i++) {
        if (strcmp(c->verdicts[i].id, id) == 0) {
            return &c->verdicts[i];
        }
    }
    return NULL;
}

START_TEST(water_is_judged_by_material_temperature_and_use)
{
    static water_case c;
    read_rules(&c);
    const gw_well_analysis items[] = {{"ph", 7.2},
                                      {"chloride_mg_l", 300.0},
                                      {"iron_mg_l", 0.9},
                                      {"hydrogen_sulphide_mg_l", 0.3},
                                      {"particles_mg_l", 5.0}};
    gw_well_sample s = {.items = items, .count = 5, .material = "copper", .water_degc = 9.0};
    ck_assert(verdict(&c, &s, "ph")->holds);
    ck_assert(!verdict(&c, &s, "iron-fouling")->holds);
    ck_assert(!verdict(&c, &s, "chloride-copper-cold")->holds);
    ck_assert(verdict(&c, &s, "sulphide")->holds);
    ck_assert(!verdict(&c, &s, "sulphide-copper")->holds);
    ck_assert(verdict(&c, &s, "particles")->holds);
    ck_assert(verdict(&c, &s, "particles-reinjected") == NULL);
    ck_assert(verdict(&c, &s, "chloride-316-cold") == NULL);
    const gw_well_quality *const ryznar = verdict(&c, &s, "ryznar");
    ck_assert(!ryznar->measured && !ryznar->holds); // not analysed is not passed
    s.reinjected = true;
    ck_assert(!verdict(&c, &s, "particles-reinjected")->holds);
    ck_assert(verdict(&c, &s, "particles") == NULL);
    s.material = "stainless-304"; // 400, 250, 150 mg/l at 10, 24, 38 °C
    ck_assert(verdict(&c, &s, "chloride-304-cold")->holds);
    s.water_degc = 20.0;
    ck_assert(!verdict(&c, &s, "chloride-304-mild")->holds);
    ck_assert(verdict(&c, &s, "chloride-304-cold") == NULL);
    s.water_degc = 30.0;
    ck_close(verdict(&c, &s, "chloride-304-warm")->high, 150.0, 1e-12);
    s.material = "copper"; // not recommended when warm, whatever the chloride
    ck_assert(!verdict(&c, &s, "chloride-copper-warm")->holds);
    s.material = NULL;
    ck_assert(verdict(&c, &s, "chloride-copper-warm") == NULL);
    gw_arena_destroy(c.arena);
}
END_TEST

START_TEST(a_misspelt_analysis_is_refused)
{
    static water_case c;
    read_rules(&c);
    gw_err err = {0};
    const gw_well_analysis wrong[] = {{"chlorid_mg_l", 3.0}};
    gw_well_sample s = {.items = wrong, .count = 1, .water_degc = 9.0};
    ck_assert(gw_well_judge_water(&c.rules, &s, c.verdicts, &c.count, &err) == GW_ERR_KEY);
    ck_assert(strstr(err.text, "chloride_mg_l") != NULL);
    const gw_well_analysis nan_value[] = {{"ph", (double)NAN}};
    s.items = nan_value;
    ck_assert(gw_well_judge_water(&c.rules, &s, c.verdicts, &c.count, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "ph");
    s.count = 0;
    s.material = "brass";
    ck_assert(gw_well_judge_water(&c.rules, &s, c.verdicts, &c.count, &err) == GW_ERR_KEY);
    s.material = NULL;
    s.water_degc = (double)NAN;
    ck_assert(gw_well_judge_water(&c.rules, &s, c.verdicts, &c.count, &err) == GW_ERR_RANGE);
    gw_arena_destroy(c.arena);
}
END_TEST

START_TEST(no_flow_step_leaves_the_superposed_level_behind)
{
    // A flow that never changes is the plain Theis drawdown, whatever the steps.
    gw_well_plan w = made_well();
    gw_well_demand d = made_demand();
    d.week_heat_w = d.peak_heat_w;
    d.year_flow_hours = 8760.0;
    w.back = GW_WELL_RETURN_SURFACE;
    const gw_well_answer a = assess(&w, &d);
    ck_close(a.drawdown_m, drawdown_m(a.flow_m3_s * DAY_S, 50.0, 1e-3, 0.075, 365.0), 1e-12);
    // Far below 1 in u it is Jacob's straight line in log t.
    const double want =
        a.flow_m3_s / (4.0 * PI_TEST * w.aquifer.transmissivity_m2_s) *
        log(2.2458 * w.aquifer.transmissivity_m2_s * 365.0 * DAY_S / (0.075 * 0.075 * 1e-3));
    ck_close(a.drawdown_m, want, 1e-5);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("well");
    TCase *const tc = tcase_create("well");
    tcase_add_test(tc, well_function_has_its_tabulated_values);
    tcase_add_test(tc, drawdown_agrees_with_worked_examples);
    tcase_add_test(tc, flow_per_ton_follows_the_heat_balance);
    tcase_add_test(tc, doublet_has_the_published_times_and_distance);
    tcase_add_test(tc, a_three_ton_house_draws_what_the_trade_says);
    tcase_add_test(tc, edges_and_losses_move_the_level_the_right_way);
    tcase_add_test(tc, a_well_that_does_not_do_says_why);
    tcase_add_test(tc, cold_water_is_cooled_less_and_drawn_more);
    tcase_add_test(tc, impossible_wells_are_refused_by_name);
    tcase_add_test(tc, impossible_demands_are_refused_by_name);
    tcase_add_test(tc, water_is_judged_by_material_temperature_and_use);
    tcase_add_test(tc, a_misspelt_analysis_is_refused);
    tcase_add_test(tc, no_flow_step_leaves_the_superposed_level_behind);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
