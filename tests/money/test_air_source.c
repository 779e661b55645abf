// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "harness.h"
#include "money/air_source.h"

#include <math.h>
#include <string.h>

enum { HOURS = 8760 };

// Hours of the year at Montreal by outdoor temperature, bins of 5 K from −30 °C, counted from the
// hourly file CAN_PQ_Montreal.Intl.AP.716270_CWEC (Environment and Climate Change Canada).
static const int montreal_bins[] = {6,    88,   346,  540, 722, 974, 1208,
                                    1027, 1272, 1275, 988, 288, 26};

typedef struct {
    double outdoor_degc[HOURS];
    double heating_w[HOURS];
    double cooling_w[HOURS];
    double hdd18;
} year_data;

// A house that loses 12 kW at the design temperature and needs no heat above 15 °C; hours spread
// evenly over each bin; the whole climate moved by shift_k.
static void fill_year(year_data *year, double shift_k)
{
    const double design_degc = -23.7 + shift_k; // 99.6 % by the head of the file
    const double loss_w_k = 12000.0 / (15.0 - design_degc);
    size_t h = 0;
    year->hdd18 = 0.0;
    for (size_t b = 0; b < sizeof montreal_bins / sizeof montreal_bins[0]; b++) {
        for (int i = 0; i < montreal_bins[b]; i++, h++) {
            const double inside_k = 5.0 * ((double)i + 0.5) / (double)montreal_bins[b];
            const double t_degc = -30.0 + 5.0 * (double)b + inside_k + shift_k;
            year->outdoor_degc[h] = t_degc;
            year->heating_w[h] = fmax(0.0, loss_w_k * (15.0 - t_degc));
            year->cooling_w[h] = fmax(0.0, loss_w_k * (t_degc - 22.0));
            year->hdd18 += fmax(0.0, 18.0 - t_degc) / 24.0;
        }
    }
    ck_assert_uint_eq(h, HOURS);
}

static gw_air_source_result run(const gw_air_source *unit, const year_data *year, double *power_w)
{
    const gw_air_source_year in = {year->outdoor_degc, year->heating_w, year->cooling_w, HOURS};
    gw_air_source_result r;
    gw_err err = {0};
    ck_assert_msg(gw_air_source_run(unit, &in, power_w, &r, &err) == GW_OK, "%s", err.text);
    return r;
}

static year_data year;

// Field studies of cold-climate units: yearly COP about 2.0-2.8 at 4 500 degree-days (means of 2.3
// to 2.5 in houses of the north-eastern United States, Cadmus 2016 and 2022; from memory, a
// plausibility range), 1.6-2.2 above 6 000.
START_TEST(yearly_cop_lies_in_the_range_of_field_studies)
{
    const gw_air_source unit = gw_air_source_cold_climate(12000.0);
    fill_year(&year, 0.0);
    ck_close(year.hdd18, 4562.2, 0.01); // the file's own count
    const gw_air_source_result mild = run(&unit, &year, NULL);
    ck_assert_msg(mild.heating_cop >= 2.0 && mild.heating_cop <= 2.8, "%.3f", mild.heating_cop);
    // A house near Minneapolis: the unit gave more than 90 % of the heat and halved the energy
    // (Center for Energy and Environment, Minnesota, 2018).
    ck_assert_msg(mild.backup_frac < 0.10, "%.3f", mild.backup_frac);
    ck_assert_msg(mild.heating_cop > 2.0, "%.3f", mild.heating_cop);
    fill_year(&year, -7.0);
    ck_assert_msg(year.hdd18 > 6000.0, "%.0f", year.hdd18);
    const gw_air_source_result cold = run(&unit, &year, NULL);
    ck_assert_msg(cold.heating_cop >= 1.6 && cold.heating_cop <= 2.2, "%.3f", cold.heating_cop);
    ck_assert(cold.backup_frac > mild.backup_frac);
}
END_TEST

// Specification for cold-climate units of the Northeast Energy Efficiency Partnerships: COP at
// least 1.75 at −15 °C (5 °F) at greatest capacity; from memory.
START_TEST(default_unit_meets_the_cold_climate_floor)
{
    const gw_air_source unit = gw_air_source_cold_climate(10000.0);
    const double t_degc = -15.0, load_w = 7000.0;
    const gw_air_source_year in = {&t_degc, &load_w, NULL, 1};
    gw_air_source_result r;
    ck_assert_int_eq(gw_air_source_run(&unit, &in, NULL, &r, NULL), GW_OK);
    ck_assert_msg(r.heating_cop >= 1.75, "%.3f", r.heating_cop);
    ck_close(r.backup_j, 0.0, 0.0);
}
END_TEST

START_TEST(energy_and_hourly_power_balance)
{
    static double power_w[HOURS];
    const gw_air_source unit = gw_air_source_cold_climate(9000.0);
    fill_year(&year, 0.0);
    const gw_air_source_result r = run(&unit, &year, power_w);
    double need_j = 0.0, cool_j = 0.0, sum_j = 0.0, peak_w = 0.0;
    for (size_t h = 0; h < HOURS; h++) {
        need_j += 3600.0 * year.heating_w[h];
        cool_j += 3600.0 * year.cooling_w[h];
        sum_j += 3600.0 * power_w[h];
        peak_w = fmax(peak_w, power_w[h]);
    }
    ck_close(r.compressor_heat_j + r.backup_j, need_j, 1e-12);
    ck_close(r.heating_j, need_j, 1e-12);
    ck_close(r.cooling_j + r.cooling_unmet_j, cool_j, 1e-12);
    ck_close(r.compressor_j + r.backup_j + r.cooling_electricity_j, sum_j, 1e-12);
    ck_close(r.peak_w, peak_w, 0.0);
    ck_assert(r.backup_hours > 0 && r.backup_hours < HOURS / 4);
}
END_TEST

START_TEST(one_hour_matches_hand_calculation)
{
    const gw_air_source unit = {.rated_capacity_w = 10000.0,
                                .heating = {{-10.0, 0.6, 2.0}, {10.0, 1.0, 4.0}},
                                .heating_count = 2,
                                .cooling = {{35.0, 0.9, 3.0}},
                                .cooling_count = 1,
                                .lowest_degc = -20.0,
                                .least_load_frac = 0.5,
                                .cycling_cd = 0.2};
    // At 0 °C capacity 8 kW, COP 3: full load and 1 kW of backup.
    // At −10 °C 0.6 kW, a fifth of the least load of 3 kW: part-load factor 0.84, power 600/1.68.
    // Below −20 °C all is backup. In between the points' ends the curve is level (−15 °C: 6 kW, COP
    // 2).
    const double t_degc[] = {0.0, -10.0, -21.0, -15.0, 35.0};
    const double heat_w[] = {9000.0, 600.0, 4000.0, 6000.0, 0.0};
    const double cool_w[] = {0.0, 0.0, 0.0, 0.0, 10000.0};
    const double want_w[] = {8000.0 / 3.0 + 1000.0, 600.0 / 1.68, 4000.0, 3000.0, 3000.0};
    double power_w[5];
    const gw_air_source_year in = {t_degc, heat_w, cool_w, 5};
    gw_air_source_result r;
    ck_assert_int_eq(gw_air_source_run(&unit, &in, power_w, &r, NULL), GW_OK);
    for (size_t i = 0; i < 5; i++) {
        ck_close(power_w[i], want_w[i], 1e-12);
    }
    ck_close(r.cooling_unmet_j, 1000.0 * 3600.0, 1e-12);
    ck_close(r.backup_j, 5000.0 * 3600.0, 1e-12);
    ck_assert_uint_eq(r.backup_hours, 2);
    ck_close(r.cooling_cop, 3.0, 1e-12);
}
END_TEST

START_TEST(larger_unit_needs_less_backup)
{
    fill_year(&year, 0.0);
    double before = 1.0;
    for (double capacity_w = 6000.0; capacity_w <= 24000.0; capacity_w += 3000.0) {
        const gw_air_source unit = gw_air_source_cold_climate(capacity_w);
        const gw_air_source_result r = run(&unit, &year, NULL);
        ck_assert(r.backup_frac <= before);
        before = r.backup_frac;
    }
}
END_TEST

START_TEST(year_without_load_uses_nothing)
{
    const gw_air_source unit = gw_air_source_cold_climate(9000.0);
    const double t_degc = 18.0, zero_w = 0.0;
    const gw_air_source_year in = {&t_degc, &zero_w, &zero_w, 1};
    gw_air_source_result r;
    ck_assert_int_eq(gw_air_source_run(&unit, &in, NULL, &r, NULL), GW_OK);
    ck_close(r.peak_w, 0.0, 0.0);
    ck_close(r.heating_cop, 0.0, 0.0);
    ck_close(r.backup_frac, 0.0, 0.0);
}
END_TEST

START_TEST(impossible_input_is_refused_by_name)
{
    gw_air_source_result r;
    gw_err err = {0};
    const double t_degc[2] = {0.0, 0.0}, bad_degc[2] = {0.0, (double)NAN};
    const double load_w[2] = {0.0, 0.0}, bad_w[2] = {0.0, -1.0};
    gw_air_source unit = gw_air_source_cold_climate(9000.0);
    gw_air_source_year in = {bad_degc, load_w, load_w, 2};
    ck_assert_int_eq(gw_air_source_run(&unit, &in, NULL, &r, &err), GW_ERR_RANGE);
    ck_assert_ptr_nonnull(strstr(err.text, "hour 1"));
    in = (gw_air_source_year){t_degc, bad_w, load_w, 2};
    ck_assert_int_eq(gw_air_source_run(&unit, &in, NULL, &r, &err), GW_ERR_RANGE);
    in = (gw_air_source_year){t_degc, load_w, bad_w, 2};
    ck_assert_int_eq(gw_air_source_run(&unit, &in, NULL, &r, &err), GW_ERR_RANGE);
    in = (gw_air_source_year){t_degc, load_w, load_w, 0};
    ck_assert_int_eq(gw_air_source_run(&unit, &in, NULL, &r, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "hours");
    in.hours = 2;
    unit.cycling_cd = 0.6;
    ck_assert_int_eq(gw_air_source_run(&unit, &in, NULL, &r, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "cycling_cd");
    unit = gw_air_source_cold_climate(-1.0);
    ck_assert_int_eq(gw_air_source_check(&unit, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "rated_capacity_w");
    unit = gw_air_source_cold_climate(9000.0);
    unit.heating[1].outdoor_degc = -40.0;
    ck_assert_int_eq(gw_air_source_check(&unit, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "heating");
    unit = gw_air_source_cold_climate(9000.0);
    unit.heating_count = 13;
    ck_assert_int_eq(gw_air_source_check(&unit, &err), GW_ERR_RANGE);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("air source");
    TCase *const tc = tcase_create("a year of hours");
    tcase_add_test(tc, yearly_cop_lies_in_the_range_of_field_studies);
    tcase_add_test(tc, default_unit_meets_the_cold_climate_floor);
    tcase_add_test(tc, energy_and_hourly_power_balance);
    tcase_add_test(tc, one_hour_matches_hand_calculation);
    tcase_add_test(tc, larger_unit_needs_less_backup);
    tcase_add_test(tc, year_without_load_uses_nothing);
    tcase_add_test(tc, impossible_input_is_refused_by_name);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
