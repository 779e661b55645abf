// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The farmhouse from its components and from its oil bills: two ways to one heat-loss coefficient.
// The bills are made from the hourly loads (one-mass model with sun, people and the ground), filled
// at odd dates, with a tank gauge that errs.
#include "house/bills.h"

#include "base/random.h"
#include "desk.h"

#include <math.h>

enum { DAYS = 730, FILLS = 15 };
static const double OIL_J = 38.2e6; // a litre
static const double EFFICIENCY = 0.78;
static const double HOT_WATER_W = 300.0;

// Days of the fills of two years, from 1 January.
static const size_t FILL_DAYS[FILLS] = {4,   31,  52,  80,  118, 199, 290, 333,
                                        361, 390, 421, 455, 500, 640, 729};

typedef struct {
    double outdoor_degc[DAYS];
    double litres[DAYS];
    const gw_design *design;
} record;

static void keep_record(desk *d, const gw_job *job, record *r)
{
    const gw_design_input in = {.job = job};
    ck_ok(gw_design_run(d->arena, &in, &r->design, &d->err), *d);
    double outdoor[GW_DAYS_PER_YEAR];
    double heat_w[GW_DAYS_PER_YEAR];
    gw_weather_daily_means(r->design->weather->dry_bulb_degc, outdoor);
    gw_weather_daily_means(r->design->loads.heating_w, heat_w);
    for (size_t i = 0; i < DAYS; i++) {
        r->outdoor_degc[i] = outdoor[i % GW_DAYS_PER_YEAR];
        r->litres[i] =
            (heat_w[i % GW_DAYS_PER_YEAR] + HOT_WATER_W) * 86400.0 / (OIL_J * EFFICIENCY);
    }
}

static void fill_tank(const record *r, uint64_t seed, double gauge_litres, gw_bill *bills)
{
    gw_random random;
    gw_random_init(&random, seed);
    double before = 0.0;
    size_t day = 0;
    for (size_t i = 0; i < FILLS; i++) {
        double used = i == 0 ? 700.0 : 0.0;
        for (; day < FILL_DAYS[i]; day++) {
            used += r->litres[day];
        }
        const double off = gauge_litres * gw_random_normal(&random);
        bills[i] = (gw_bill){.day = FILL_DAYS[i], .quantity = used + off - before};
        before = off;
    }
}

// Components with the mean wind and outdoor temperature of the heating season instead of those of
// the design hour.
static double component_ua(desk *d, const gw_job *job, const record *r)
{
    double sum_degc = 0.0;
    size_t days = 0;
    for (size_t i = 0; i < GW_DAYS_PER_YEAR; i++) {
        if (r->outdoor_degc[i] < 12.0) {
            sum_degc += r->outdoor_degc[i];
            days++;
        }
    }
    gw_house_conditions mean = r->design->conditions;
    mean.heating_outdoor_degc = sum_degc / (double)days;
    mean.heating_wind_m_s = r->design->weather->wind_m_s[0]; // the made year's wind is steady
    gw_house_design_result result;
    ck_ok(gw_house_design(d->arena, &job->house, &mean, &result, &d->err), *d);
    return result.ua_total_w_k;
}

START_TEST(components_and_bills_of_the_farmhouse_agree)
{
    desk d;
    open_desk(&d);
    const gw_job *const job = open_job(&d, "farmhouse");
    record r;
    keep_record(&d, job, &r);
    const double ua = component_ua(&d, job, &r);
    gw_bill bills[FILLS];
    fill_tank(&r, 3, 25.0, bills);
    const gw_bills_input in = {.kind = GW_BILLS_DELIVERIES,
                               .bills = bills,
                               .bill_count = FILLS,
                               .daily_mean_degc = r.outdoor_degc,
                               .day_count = DAYS,
                               .energy_j = OIL_J,
                               .efficiency_frac = EFFICIENCY};
    gw_bills_fit fit;
    ck_ok(gw_bills_solve(d.arena, &in, &fit, &d.err), d);
    gw_bills_comparison c;
    ck_ok(gw_bills_compare(&fit, ua, &c, &d.err), d);
    ck_assert_msg(c.agree && !c.vague, "%s (balance %.1f °C, base %.0f W, %zu periods, cv %.3f)",
                  c.sentence, fit.balance_degc.value, fit.base_w.value, fit.period_count,
                  fit.cv_rmse_frac);
    // Sun and people carry the house some kelvin below its setpoint of 21.1 °C.
    ck_assert(fit.balance_degc.value > 12.0 && fit.balance_degc.value < 19.0);
    ck_assert(fit.base_w.low < HOT_WATER_W && HOT_WATER_W < fit.base_w.high);
    close_desk(&d);
}
END_TEST

// Tighter by two fifths in the bills only: the comparison notices.
START_TEST(bills_of_another_house_do_not_agree)
{
    desk d;
    open_desk(&d);
    gw_job *const job = open_job(&d, "farmhouse");
    const gw_job stated = *job;
    job->house.leakage.ach50 *= 0.4;
    record r;
    keep_record(&d, job, &r);
    const double ua = component_ua(&d, &stated, &r);
    gw_bill bills[FILLS];
    fill_tank(&r, 3, 10.0, bills);
    const gw_bills_input in = {.kind = GW_BILLS_DELIVERIES,
                               .bills = bills,
                               .bill_count = FILLS,
                               .daily_mean_degc = r.outdoor_degc,
                               .day_count = DAYS,
                               .energy_j = OIL_J,
                               .efficiency_frac = EFFICIENCY};
    gw_bills_fit fit;
    ck_ok(gw_bills_solve(d.arena, &in, &fit, &d.err), d);
    gw_bills_comparison c;
    ck_ok(gw_bills_compare(&fit, ua, &c, &d.err), d);
    ck_assert_msg(!c.agree && strstr(c.sentence, "below the component figure") != NULL, "%s",
                  c.sentence);
    close_desk(&d);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("bills of an example");
    TCase *const tc = tcase_create("bills");
    tcase_set_timeout(tc, 120.0);
    tcase_add_test(tc, components_and_bills_of_the_farmhouse_agree);
    tcase_add_test(tc, bills_of_another_house_do_not_agree);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
