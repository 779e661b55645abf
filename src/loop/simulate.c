// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "loop/simulate.h"

#include "climate/weather.h"
#include "plant/hot.h"

#include <math.h>

enum { NEWTON_MAX = 40, WEEK_DAYS = 7, MONTHS = 12 };
static const double PI = 3.14159265358979323846;
static const double HOUR_S = 3600.0;
// A step this small is taken along the slopes instead of working the plant out again. What is left
// is the square of the step times the curve's bend (some W/K²): under 0.0001 K of entering water.
static const double NEWTON_STEP_K = 0.1;

static inline double larger(double a, double b)
{
    return a > b ? a : b;
}

static inline double smaller(double a, double b)
{
    return a < b ? a : b;
}

static gw_status check_run(const gw_loop_run *run, gw_err *err)
{
    if (run->years < 1 || run->years > 60) {
        return gw_fail(err, GW_ERR_RANGE, "limits.years",
                       "found a horizon of %zu years, expected 1 to 60", run->years);
    }
    if (run->first_month > 11) {
        return gw_fail(err, GW_ERR_RANGE, "first_month", "found month %zu, expected 0 to 11",
                       run->first_month);
    }
    for (size_t h = 0; h < GW_LOOP_HOURS; h++) {
        const double water_w = run->hot_water_w != NULL ? run->hot_water_w[h] : 0.0;
        const double sum_w = run->heating_w[h] + run->cooling_w[h] + water_w;
        if (!(run->heating_w[h] >= 0.0 && run->cooling_w[h] >= 0.0 && water_w >= 0.0 &&
              sum_w < 1e8)) {
            return gw_fail(err, GW_ERR_RANGE, "loads",
                           "the loads of hour %zu are %g and %g W, expected 0 or more", h,
                           run->heating_w[h], run->cooling_w[h]);
        }
    }
    return GW_OK;
}

// Temperature the fluid would have with no heat taken, hour by hour of the calendar year.
static double *undisturbed_year(gw_arena *arena, const gw_loop_response *r)
{
    double *const t_degc = gw_arena_alloc(arena, GW_LOOP_HOURS, sizeof *t_degc);
    if (t_degc == NULL) {
        return NULL;
    }
    for (size_t h = 0; h < GW_LOOP_HOURS; h++) {
        const double phase = 2.0 * PI * ((double)h + 1.0) / GW_LOOP_HOURS;
        const double ice_k = r->correction_k != NULL ? r->correction_k[h] : 0.0;
        t_degc[h] =
            r->undisturbed_degc + ice_k + r->wave.real_k * cos(phase) - r->wave.imag_k * sin(phase);
    }
    return t_degc;
}

typedef struct {
    double still_degc; // entering water if no heat passed this hour
    double slope_k_w;  // E = still − slope × Q(E)
    double guess_degc;
    gw_plant_loads loads;
} hour_problem;

typedef struct {
    double entering_degc;
    gw_plant_flow flow;
    bool converged;
} hour_answer;

// Every part moves along its slope, so that the heat balance still closes: below capacity what
// ground and compressor give less is made up by the blower's and circulator's longer run; at
// capacity by the auxiliary (in cooling: by the load left unmet).
static inline void move_along(const gw_plant *plant, gw_plant_flow *flow, double step_k)
{
    const double more_w = (flow->d_ground_w_k + flow->d_compressor_w_k) * step_k;
    const double side_w =
        plant->blower_power_w + plant->circulator_heat_frac * plant->circulator_power_w;
    flow->ground_w += flow->d_ground_w_k * step_k;
    flow->compressor_w += flow->d_compressor_w_k * step_k;
    if (flow->auxiliary_w > 0.0) {
        flow->auxiliary_w = larger(flow->auxiliary_w - more_w, 0.0);
    } else if (flow->unmet_w > 0.0) {
        flow->unmet_w = larger(flow->unmet_w + more_w, 0.0);
    } else if (side_w > 0.0) {
        const double run = -more_w / side_w;
        flow->blower_w += run * plant->blower_power_w;
        flow->circulator_w += run * plant->circulator_power_w;
        flow->run_frac += run / plant->units;
    }
}

// E + slope Q(E) = still. Q rises with E (warmer water, more heat from the ground), so the left
// side has slope 1 + slope·Q′ > 0 wherever Q′ is not steeply negative (cooling): the step is
// halved while the residual grows.
static inline hour_answer solve_hour(const gw_plant *plant, const hour_problem *p)
{
    double e = p->guess_degc;
    gw_plant_flow flow = gw_plant_hour(plant, p->loads, e);
    for (int i = 0; i < NEWTON_MAX; i++) {
        const double residual = e + p->slope_k_w * flow.ground_w - p->still_degc;
        const double steepness = 1.0 + p->slope_k_w * flow.d_ground_w_k;
        const double step = -residual / (steepness > 0.2 ? steepness : 0.2);
        e += step;
        if (fabs(step) < NEWTON_STEP_K) {
            move_along(plant, &flow, step);
            return (hour_answer){e, flow, true};
        }
        flow = gw_plant_hour(plant, p->loads, e);
    }
    return (hour_answer){e, flow, false};
}

// ---------------------------------------------------------------- tallies

typedef struct {
    double sum_degc;
    double least_degc;
    double greatest_degc;
    size_t hours;
} month_tally;

typedef struct {
    const gw_loop_run *run;
    gw_loop_result *out;
    month_tally month;
    double day_degc;  // sum of the entering water of today's running hours
    size_t day_hours; // and their number
    struct {
        double sum_degc;
        size_t hours;
    } week[WEEK_DAYS];
    size_t day;
} tally;

typedef struct {
    size_t year; // of operation, from 1
    size_t hour; // of the calendar year
} moment;

static void tally_energy(gw_loop_energy *y, const gw_plant_loads *loads, const gw_plant_flow *f)
{
    const double heat_w = loads->heating_w + loads->hot_water_w;
    const double share = loads->cooling_w > 0.0 ? heat_w / (heat_w + loads->cooling_w) : 1.0;
    const double machine_w = f->compressor_w + f->blower_w + f->circulator_w;
    y->heating_j += loads->heating_w;
    y->cooling_j += loads->cooling_w - f->unmet_w;
    y->hot_water_j += loads->hot_water_w;
    y->ground_j += f->ground_w;
    y->extracted_j += f->ground_w > 0.0 ? f->ground_w : 0.0;
    y->rejected_j += f->ground_w < 0.0 ? -f->ground_w : 0.0;
    y->compressor_j += f->compressor_w;
    y->blower_j += f->blower_w;
    y->circulator_j += f->circulator_w;
    y->auxiliary_j += f->auxiliary_w;
    y->unmet_j += f->unmet_w;
    y->heating_electricity_j += share * machine_w + f->auxiliary_w;
    y->cooling_electricity_j += (1.0 - share) * machine_w;
    y->run_hours += f->run_frac;
    y->short_hours += f->auxiliary_w > 0.0 ? 1.0 : 0.0;
}

// Powers were summed over hours: to joules.
static void close_energy(gw_loop_energy *y)
{
    double *const sums[] = {
        &y->heating_j,
        &y->cooling_j,
        &y->hot_water_j,
        &y->ground_j,
        &y->extracted_j,
        &y->rejected_j,
        &y->compressor_j,
        &y->blower_j,
        &y->circulator_j,
        &y->auxiliary_j,
        &y->unmet_j,
        &y->heating_electricity_j,
        &y->cooling_electricity_j,
    };
    for (size_t i = 0; i < sizeof sums / sizeof sums[0]; i++) {
        *sums[i] *= HOUR_S;
    }
}

static void note_cold(gw_loop_moment *m, moment now, double e_degc)
{
    if (e_degc < m->degc) {
        *m = (gw_loop_moment){now.year, now.hour, e_degc};
    }
}

static void note_warm(gw_loop_moment *m, moment now, double e_degc)
{
    if (e_degc > m->degc) {
        *m = (gw_loop_moment){now.year, now.hour, e_degc};
    }
}

// Entering water counts only while the unit runs: a resting pipe is at ground temperature.
static void tally_water(tally *t, moment now, double e_degc)
{
    gw_loop_result *const out = t->out;
    note_cold(&out->coldest, now, e_degc);
    note_warm(&out->warmest, now, e_degc);
    if (now.year == 1) {
        note_cold(&out->coldest_first, now, e_degc);
        note_warm(&out->warmest_first, now, e_degc);
    }
    if (now.year == t->run->years) {
        note_cold(&out->coldest_last, now, e_degc);
        note_warm(&out->warmest_last, now, e_degc);
    }
    t->day_degc += e_degc;
    t->day_hours++;
}

// Mean over the running hours of seven days in a row; a week in which the unit hardly ran tells
// nothing about the loop.
static void close_day(tally *t)
{
    t->week[t->day % WEEK_DAYS].sum_degc = t->day_degc;
    t->week[t->day % WEEK_DAYS].hours = t->day_hours;
    t->day++;
    t->day_degc = 0.0;
    t->day_hours = 0;
    double sum_degc = 0.0;
    size_t hours = 0;
    for (size_t i = 0; i < WEEK_DAYS; i++) {
        sum_degc += t->week[i].sum_degc;
        hours += t->week[i].hours;
    }
    if (hours >= WEEK_DAYS * 24 / 2 && sum_degc / (double)hours < t->out->coldest_week_degc) {
        t->out->coldest_week_degc = sum_degc / (double)hours;
    }
}

static void tally_month(month_tally *m, double e_degc)
{
    m->sum_degc += e_degc;
    m->least_degc = m->hours == 0 || e_degc < m->least_degc ? e_degc : m->least_degc;
    m->greatest_degc = m->hours == 0 || e_degc > m->greatest_degc ? e_degc : m->greatest_degc;
    m->hours++;
}

static gw_loop_month close_month(month_tally *m)
{
    const gw_loop_month month = {.mean_degc = m->sum_degc / (double)m->hours,
                                 .least_degc = m->least_degc,
                                 .greatest_degc = m->greatest_degc};
    *m = (month_tally){0};
    return month;
}

static gw_status start_result(gw_arena *arena, const gw_loop_run *run, gw_loop_result *out,
                              gw_err *err)
{
    const gw_loop_moment cold = {0, 0, HUGE_VAL};
    const gw_loop_moment warm = {0, 0, -HUGE_VAL};
    *out = (gw_loop_result){.coldest = cold,
                            .coldest_first = cold,
                            .coldest_last = cold,
                            .warmest = warm,
                            .warmest_first = warm,
                            .warmest_last = warm,
                            .coldest_week_degc = HUGE_VAL,
                            .leaving_degc = HUGE_VAL};
    out->months = gw_arena_alloc(arena, MONTHS * run->years, sizeof *out->months);
    out->day_heat_w_m = gw_arena_alloc(arena, GW_DAYS_PER_YEAR, sizeof *out->day_heat_w_m);
    out->day_fluid_degc = gw_arena_alloc(arena, GW_DAYS_PER_YEAR, sizeof *out->day_fluid_degc);
    if (out->months == NULL || out->day_heat_w_m == NULL || out->day_fluid_degc == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory simulating the loop");
    }
    return GW_OK;
}

// A loop that never ran has no entering water: report the ground's own temperature.
static void finish_result(const gw_loop_run *run, gw_loop_result *out)
{
    gw_loop_moment *const moments[] = {&out->coldest, &out->coldest_first, &out->coldest_last,
                                       &out->warmest, &out->warmest_first, &out->warmest_last};
    for (size_t i = 0; i < sizeof moments / sizeof moments[0]; i++) {
        if (!isfinite(moments[i]->degc)) {
            moments[i]->degc = run->response->undisturbed_degc;
        }
    }
    out->coldest_week_degc = fmin(out->coldest_week_degc, out->warmest.degc);
    out->leaving_degc = fmin(out->leaving_degc, out->coldest.degc);
    close_energy(&out->first);
    if (run->years > 1) {
        close_energy(&out->last);
    } else {
        out->last = out->first;
    }
    const gw_loop_energy *const y = &out->last;
    if (y->heating_electricity_j > 0.0) {
        out->heating_spf = (y->heating_j + y->hot_water_j) / y->heating_electricity_j;
    }
}

// ---------------------------------------------------------------- the march

// What the ground says before the hour is solved: drop of the fluid with no heat this hour, and
// the further drop per W/m of heat.
typedef struct {
    double base_k;
    double gain_mk_w;
} ground_state;

// The plant at one hour of the calendar year, as last worked out: Q(E) ≈ ground + slope (E − at).
typedef struct {
    double at_degc; // NAN: not worked out yet
    double ground_w;
    double slope_w_k;
    double share; // 1/(1 + slope of the problem × slope)
} tangent;
static const double TANGENT_REACH_K = 0.15;

typedef struct {
    tally tally;
    tangent *tangents;              // [8760]
    const bool *idle;               // [8760] hours without any load
    const double *undisturbed_degc; // [8760]
    double inverse_length_1_m;
    double half_capacity_k_w; // 1/(2 C)
    double own_cooling_k_w;   // the same where the water comes back, 0 where it is used once
    double last_degc;         // entering water of the hour before
    double heat_ratio;        // heat from the ground over load, as last seen in heating
    double cool_ratio;        // and in cooling
} march;

static gw_status fail_hour(const march *m, moment now, gw_err *err)
{
    return gw_fail(
        err, GW_ERR_CONVERGE, NULL,
        "heat pump and ground found no common temperature in hour %zu of year %zu (last %.2f °C)",
        now.hour, now.year, m->last_degc);
}

typedef struct {
    double entering_degc;
    double ground_w;
    bool converged;
} hour_heat;

// Solves the hour with the plant itself and books everything.
static inline hour_heat work_out(march *m, moment now, hour_problem *problem)
{
    const gw_loop_run *const run = m->tally.run;
    gw_loop_result *const out = m->tally.out;
    const gw_plant_loads *const loads = &problem->loads;
    const double load_w = loads->heating_w + loads->hot_water_w - loads->cooling_w;
    double *const ratio = load_w > 0.0 ? &m->heat_ratio : &m->cool_ratio;
    problem->guess_degc = problem->still_degc - problem->slope_k_w * *ratio * load_w;
    const hour_answer a = solve_hour(run->plant, problem);
    if (load_w != 0.0) {
        *ratio = a.flow.ground_w / load_w;
    }
    m->tangents[now.hour] = (tangent){a.entering_degc, a.flow.ground_w, a.flow.d_ground_w_k,
                                      1.0 / (1.0 + problem->slope_k_w * a.flow.d_ground_w_k)};
    out->flags |= a.flow.flags;
    if (now.year == 1) {
        tally_energy(&out->first, loads, &a.flow);
    }
    if (now.year == run->years && run->years > 1) {
        tally_energy(&out->last, loads, &a.flow);
    }
    return (hour_heat){a.entering_degc, a.flow.ground_w, a.converged};
}

static inline gw_plant_loads loads_of(const gw_loop_run *run, size_t hour)
{
    return (gw_plant_loads){.heating_w = run->heating_w[hour],
                            .cooling_w = run->cooling_w[hour],
                            .hot_water_w = run->hot_water_w != NULL ? run->hot_water_w[hour] : 0.0};
}

// From the tangent where that is near enough, else worked out.
static inline hour_heat find_hour(march *m, moment now, double still_degc, double slope_k_w)
{
    const gw_loop_run *const run = m->tally.run;
    if (!run->exact && now.year > 1 && now.year < run->years) {
        const tangent *const t = &m->tangents[now.hour];
        const double move_k = (still_degc - slope_k_w * t->ground_w - t->at_degc) * t->share;
        if (fabs(move_k) < TANGENT_REACH_K) {
            return (hour_heat){t->at_degc + move_k, t->ground_w + t->slope_w_k * move_k, true};
        }
    }
    hour_problem problem = {
        .still_degc = still_degc, .slope_k_w = slope_k_w, .loads = loads_of(run, now.hour)};
    return work_out(m, now, &problem);
}

static inline void tally_last_day(gw_loop_result *out, size_t hour, double heat_w_m,
                                  double fluid_degc)
{
    out->day_heat_w_m[hour / 24] += heat_w_m / 24.0;
    out->day_fluid_degc[hour / 24] += fluid_degc / 24.0;
}

// Solves one hour and books it; *q_w_m is the heat taken per metre.
static inline bool step_hour(march *m, moment now, ground_state ground, double *q_w_m)
{
    gw_loop_result *const out = m->tally.out;
    const double still_degc = m->undisturbed_degc[now.hour] - ground.base_k;
    const double slope_k_w = ground.gain_mk_w * m->inverse_length_1_m - m->own_cooling_k_w;
    if (m->idle[now.hour]) {
        *q_w_m = 0.0;
        tally_month(&m->tally.month, still_degc);
        if (now.year == m->tally.run->years) {
            tally_last_day(out, now.hour, 0.0, still_degc);
        }
        return true;
    }
    const hour_heat a = find_hour(m, now, still_degc, slope_k_w);
    *q_w_m = a.ground_w * m->inverse_length_1_m;
    m->last_degc = a.entering_degc;
    out->peak_extraction_w = larger(out->peak_extraction_w, a.ground_w);
    out->peak_rejection_w = larger(out->peak_rejection_w, -a.ground_w);
    out->leaving_degc =
        smaller(out->leaving_degc, a.entering_degc - 2.0 * m->half_capacity_k_w * a.ground_w);
    tally_water(&m->tally, now, a.entering_degc);
    tally_month(&m->tally.month, a.entering_degc);
    if (now.year == m->tally.run->years) {
        tally_last_day(out, now.hour, *q_w_m, a.entering_degc - m->half_capacity_k_w * a.ground_w);
    }
    return a.converged;
}

// Idle hours of the year, marked once.
static const bool *idle_hours(gw_arena *arena, const gw_loop_run *run)
{
    bool *const idle = gw_arena_alloc(arena, GW_LOOP_HOURS, sizeof *idle);
    for (size_t h = 0; idle != NULL && h < GW_LOOP_HOURS; h++) {
        const gw_plant_loads loads = loads_of(run, h);
        idle[h] = loads.heating_w + loads.cooling_w + loads.hot_water_w == 0.0;
    }
    return idle;
}

static gw_status start_march(gw_arena *arena, const gw_loop_run *run, gw_loop_result *out, march *m,
                             gw_err *err)
{
    gw_status st = check_run(run, err);
    if (st == GW_OK) {
        st = start_result(arena, run, out, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const gw_loop_response *const r = run->response;
    *m = (march){.tally = {.run = run, .out = out},
                 .tangents = gw_arena_alloc(arena, GW_LOOP_HOURS, sizeof *m->tangents),
                 .idle = idle_hours(arena, run),
                 .undisturbed_degc = undisturbed_year(arena, r),
                 .inverse_length_1_m = 1.0 / r->length_m,
                 .half_capacity_k_w = 0.5 / r->capacity_w_k,
                 .own_cooling_k_w = r->once_through ? 0.0 : 0.5 / r->capacity_w_k,
                 .last_degc = r->undisturbed_degc,
                 .heat_ratio = 0.75,
                 .cool_ratio = 1.2};
    if (m->undisturbed_degc == NULL || m->tangents == NULL || m->idle == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory simulating the loop");
    }
    for (size_t h = 0; h < GW_LOOP_HOURS; h++) {
        m->tangents[h].at_degc = (double)NAN;
    }
    return GW_OK;
}

gw_status gw_loop_simulate(gw_arena *arena, const gw_loop_run *run, gw_loop_result *out,
                           gw_err *err)
{
    march m;
    const gw_status st = start_march(arena, run, out, &m, err);
    if (st != GW_OK) {
        return st;
    }
    gw_exp_stepper ground;
    gw_exp_stepper_init(&ground, &run->response->step, HOUR_S);
    for (size_t i = 0; i < MONTHS * run->years; i++) {
        const int month = (int)((run->first_month + i) % MONTHS);
        const size_t start = (size_t)gw_weather_hours_before_month(month);
        const size_t hours = 24 * (size_t)gw_weather_days_of_month(month);
        for (size_t h = 0; h < hours; h++) {
            const moment now = {.year = i / MONTHS + 1, .hour = start + h};
            double q_w_m = 0.0;
            if (!step_hour(&m, now, (ground_state){ground.base, ground.gain}, &q_w_m)) {
                return fail_hour(&m, now, err);
            }
            gw_exp_advance(&ground, q_w_m);
            if (h % 24 == 23) {
                close_day(&m.tally);
            }
        }
        out->months[i] = close_month(&m.tally.month);
    }
    finish_result(run, out);
    return GW_OK;
}

gw_status gw_loop_simulate_directly(gw_arena *arena, const gw_loop_run *run, gw_loop_result *out,
                                    gw_err *err)
{
    march m;
    const gw_status st = start_march(arena, run, out, &m, err);
    if (st != GW_OK) {
        return st;
    }
    const size_t total = run->years * GW_LOOP_HOURS;
    double *const q_w_m = gw_arena_alloc(arena, total, sizeof *q_w_m);
    double *const response = gw_arena_alloc(arena, total, sizeof *response);
    if (q_w_m == NULL || response == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory simulating the loop");
    }
    for (size_t n = 0; n < total; n++) {
        response[n] = gw_exp_step(&run->response->step, ((double)n + 1.0) * HOUR_S);
    }
    size_t n = 0;
    for (size_t i = 0; i < MONTHS * run->years; i++) {
        const int month = (int)((run->first_month + i) % MONTHS);
        const size_t start = (size_t)gw_weather_hours_before_month(month);
        const size_t hours = 24 * (size_t)gw_weather_days_of_month(month);
        for (size_t h = 0; h < hours; h++, n++) {
            const moment now = {.year = i / MONTHS + 1, .hour = start + h};
            const ground_state ground = {gw_history_superpose(response, q_w_m, n), response[0]};
            if (!step_hour(&m, now, ground, &q_w_m[n])) {
                return fail_hour(&m, now, err);
            }
            if (h % 24 == 23) {
                close_day(&m.tally);
            }
        }
        out->months[i] = close_month(&m.tally.month);
    }
    finish_result(run, out);
    return GW_OK;
}
