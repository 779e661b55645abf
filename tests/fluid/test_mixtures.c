// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/builtin.h"
#include "fluid/fluid.h"
#include "harness.h"

#include <math.h>
#include <string.h>

static gw_arena *arena;
static gw_fluid_table fluids;

static void open_table(void)
{
    arena = gw_arena_create(0);
    gw_err err = {0};
    ck_assert_msg(gw_fluid_read_builtin(arena, &fluids, &err) == GW_OK, "%s", err.text);
}

static void close_table(void)
{
    gw_arena_destroy(arena);
}

static gw_fluid_mix mix_of(gw_fluid_kind kind, double percent)
{
    return (gw_fluid_mix){.kind = kind, .mass_frac = percent / 100.0};
}

// Half a unit of the last digit printed.
#define ck_digits(got, want, half)                                                                 \
    ck_assert_msg(fabs((got) - (want)) <= (half)*1.0001, "row %d %s: got %.10g, want %.10g", _i,   \
                  #got, (double)(got), (double)(want))

typedef struct {
    gw_fluid_kind kind;
    double percent;
    double freeze_degc;
    double temp_degc;
    double density_kg_m3;
    double specific_heat_j_kgk;
    double conductivity_w_mk;
    double viscosity_mpa_s;
} computed_point;

// Melinder 2010 polynomial evaluated apart from this program, all digits printed.
static const computed_point computed_points[] = {
    {GW_FLUID_PROPYLENE_GLYCOL, 20.0, -7.17, -5.0, 1020.8, 3926.0, 0.4657, 5.410},
    {GW_FLUID_PROPYLENE_GLYCOL, 20.0, -7.17, 0.0, 1020.1, 3936.0, 0.4711, 4.312},
    {GW_FLUID_PROPYLENE_GLYCOL, 20.0, -7.17, 10.0, 1017.9, 3956.0, 0.4818, 2.875},
    {GW_FLUID_PROPYLENE_GLYCOL, 25.0, -9.79, 0.0, 1025.8, 3872.0, 0.4496, 5.515},
    {GW_FLUID_PROPYLENE_GLYCOL, 30.0, -12.79, -5.0, 1033.0, 3789.0, 0.4245, 9.272},
    {GW_FLUID_PROPYLENE_GLYCOL, 30.0, -12.79, 0.0, 1031.6, 3803.0, 0.4285, 7.117},
    {GW_FLUID_PROPYLENE_GLYCOL, 30.0, -12.79, 20.0, 1023.8, 3857.0, 0.4444, 2.965},
    {GW_FLUID_ETHANOL, 15.0, -7.39, 0.0, 980.2, 4413.0, 0.4747, 4.281},
    {GW_FLUID_ETHANOL, 20.0, -11.12, -5.0, 976.8, 4377.0, 0.4432, 6.977},
    {GW_FLUID_ETHANOL, 20.0, -11.12, 0.0, 975.8, 4369.0, 0.4478, 5.249},
    {GW_FLUID_ETHANOL, 20.0, -11.12, 10.0, 972.8, 4349.0, 0.4571, 3.224},
    {GW_FLUID_ETHANOL, 25.0, -15.45, 0.0, 970.8, 4282.0, 0.4221, 6.093},
    {GW_FLUID_ETHANOL, 30.0, -20.14, -10.0, 969.4, 4124.0, 0.3911, 12.258},
    {GW_FLUID_METHANOL, 15.0, -10.57, -5.0, 978.8, 4159.0, 0.4791, 3.582},
    {GW_FLUID_METHANOL, 15.0, -10.57, 0.0, 978.3, 4163.0, 0.4855, 2.905},
    {GW_FLUID_METHANOL, 20.0, -15.08, 0.0, 972.5, 4068.0, 0.4621, 3.230},
    {GW_FLUID_METHANOL, 20.0, -15.08, 10.0, 970.0, 4095.0, 0.4728, 2.211},
    {GW_FLUID_METHANOL, 25.0, -20.11, 0.0, 966.6, 3969.0, 0.4393, 3.480},
    {GW_FLUID_POTASSIUM_CARBONATE, 20.0, -8.79, 0.0, 1198.0, 3278.0, 0.5459, 2.791},
    {GW_FLUID_POTASSIUM_CARBONATE, 20.0, -8.79, 10.0, 1194.5, 3294.0, 0.5620, 2.145},
    {GW_FLUID_POTASSIUM_CARBONATE, 30.0, -18.60, -10.0, 1311.2, 2911.0, 0.5199, 5.903},
    {GW_FLUID_POTASSIUM_CARBONATE, 30.0, -18.60, 0.0, 1307.7, 2926.0, 0.5362, 4.245},
    {GW_FLUID_CALCIUM_CHLORIDE, 15.0, -11.05, 0.0, 1135.4, 3293.0, 0.5508, 2.605},
    {GW_FLUID_CALCIUM_CHLORIDE, 20.0, -18.26, -10.0, 1186.9, 3023.0, 0.5312, 4.336},
    {GW_FLUID_CALCIUM_CHLORIDE, 20.0, -18.26, 0.0, 1184.8, 3056.0, 0.5456, 3.183},
    {GW_FLUID_ETHYLENE_GLYCOL, 25.0, -10.97, 0.0, 1037.0, 3763.0, 0.4648, 3.698},
    {GW_FLUID_ETHYLENE_GLYCOL, 30.0, -14.58, 0.0, 1045.0, 3658.0, 0.4459, 4.298},
};

START_TEST(polynomial_gives_every_computed_digit)
{
    const computed_point *const p = &computed_points[_i];
    gw_fluid_props props;
    gw_err err = {0};
    const gw_fluid_mix mix = mix_of(p->kind, p->percent);
    ck_assert_msg(gw_fluid_at(&fluids, mix, p->temp_degc, &props, &err) == GW_OK, "%s", err.text);
    ck_digits(props.density_kg_m3, p->density_kg_m3, 0.05);
    ck_digits(props.specific_heat_j_kgk, p->specific_heat_j_kgk, 0.5);
    ck_digits(props.conductivity_w_mk, p->conductivity_w_mk, 0.5e-4);
    ck_digits(1e3 * props.viscosity_pa_s, p->viscosity_mpa_s, 0.5e-3);
    double freeze_degc;
    ck_assert(gw_fluid_freeze_degc(&fluids, mix, &freeze_degc, NULL) == GW_OK);
    ck_digits(freeze_degc, p->freeze_degc, 0.5e-2);
}
END_TEST

typedef struct {
    gw_fluid_kind kind;
    double percent;
    double temp_degc;
    double density_kg_m3;
    double specific_heat_j_kgk;
    double conductivity_w_mk;
    double viscosity_mpa_s;
} tabled_point;

// Older Melinder table data, carried as text in the open CoolProp sources (SecCool tables).
static const tabled_point tabled_points[] = {
    {GW_FLUID_PROPYLENE_GLYCOL, 17.0, -5.0, 1017.31, 4073.6, 0.47929, 4.6558},
    {GW_FLUID_PROPYLENE_GLYCOL, 17.0, 0.0, 1016.92, 4065.0, 0.48521, 3.7504},
    {GW_FLUID_PROPYLENE_GLYCOL, 17.0, 20.0, 1012.13, 4049.9, 0.50692, 1.8586},
    {GW_FLUID_PROPYLENE_GLYCOL, 22.0, -5.0, 1023.09, 4015.5, 0.45923, 5.9850},
    {GW_FLUID_PROPYLENE_GLYCOL, 22.0, 0.0, 1022.35, 4009.2, 0.46424, 4.7254},
    {GW_FLUID_PROPYLENE_GLYCOL, 22.0, 20.0, 1016.64, 4002.6, 0.48328, 2.2342},
    {GW_FLUID_PROPYLENE_GLYCOL, 27.0, -5.0, 1029.51, 3951.0, 0.43743, 7.7979},
    {GW_FLUID_PROPYLENE_GLYCOL, 27.0, 0.0, 1028.37, 3947.5, 0.44174, 6.0256},
    {GW_FLUID_PROPYLENE_GLYCOL, 27.0, 20.0, 1021.49, 3950.0, 0.45856, 2.6875},
    {GW_FLUID_ETHANOL, 15.0, -5.0, 980.48, 4393.5, 0.46890, 5.6371},
    {GW_FLUID_ETHANOL, 15.0, 0.0, 980.00, 4383.7, 0.47440, 4.2492},
    {GW_FLUID_ETHANOL, 15.0, 20.0, 975.01, 4355.0, 0.49637, 1.8604},
    {GW_FLUID_ETHANOL, 20.0, -5.0, 976.92, 4352.1, 0.44309, 6.8632},
    {GW_FLUID_ETHANOL, 20.0, 0.0, 975.91, 4348.8, 0.44786, 5.1616},
    {GW_FLUID_ETHANOL, 20.0, 20.0, 968.69, 4341.7, 0.46678, 2.1578},
    {GW_FLUID_ETHANOL, 25.0, -5.0, 973.00, 4270.3, 0.41873, 7.8689},
    {GW_FLUID_ETHANOL, 25.0, 0.0, 971.34, 4273.9, 0.42273, 5.9216},
    {GW_FLUID_ETHANOL, 25.0, 20.0, 961.82, 4290.7, 0.43851, 2.4245},
    {GW_FLUID_METHANOL, 12.4, -5.0, 981.77, 4248.4, 0.49072, 3.4144},
    {GW_FLUID_METHANOL, 12.4, 0.0, 981.37, 4231.7, 0.49852, 2.7608},
    {GW_FLUID_METHANOL, 12.4, 20.0, 977.86, 4189.4, 0.52568, 1.3903},
    {GW_FLUID_METHANOL, 17.4, -5.0, 976.33, 4148.8, 0.46785, 3.8641},
    {GW_FLUID_METHANOL, 17.4, 0.0, 975.50, 4144.3, 0.47409, 3.1213},
    {GW_FLUID_METHANOL, 17.4, 20.0, 970.50, 4136.6, 0.49726, 1.5341},
    {GW_FLUID_METHANOL, 22.4, -5.0, 971.07, 4036.8, 0.44575, 4.1856},
    {GW_FLUID_METHANOL, 22.4, 0.0, 969.79, 4039.7, 0.45071, 3.3933},
    {GW_FLUID_METHANOL, 22.4, 20.0, 963.22, 4054.3, 0.47023, 1.6639},
    {GW_FLUID_POTASSIUM_CARBONATE, 19.0, -5.0, 1187.82, 3314.6, 0.53923, 3.1586},
    {GW_FLUID_POTASSIUM_CARBONATE, 19.0, 0.0, 1186.13, 3322.4, 0.54720, 2.7152},
    {GW_FLUID_POTASSIUM_CARBONATE, 19.0, 20.0, 1177.74, 3352.6, 0.58042, 1.6434},
    {GW_FLUID_POTASSIUM_CARBONATE, 29.0, -5.0, 1298.78, 2950.7, 0.52908, 4.7817},
    {GW_FLUID_POTASSIUM_CARBONATE, 29.0, 0.0, 1296.72, 2958.8, 0.53722, 4.0839},
    {GW_FLUID_POTASSIUM_CARBONATE, 29.0, 20.0, 1287.22, 2990.1, 0.56973, 2.4187},
    {GW_FLUID_CALCIUM_CHLORIDE, 14.4, -5.0, 1131.38, 3308.1, 0.54395, 2.9383},
    {GW_FLUID_CALCIUM_CHLORIDE, 14.4, 0.0, 1130.07, 3321.4, 0.55142, 2.5243},
    {GW_FLUID_CALCIUM_CHLORIDE, 14.4, 20.0, 1123.60, 3369.9, 0.58186, 1.4864},
    {GW_FLUID_CALCIUM_CHLORIDE, 19.4, -5.0, 1181.35, 3068.1, 0.53807, 3.5910},
    {GW_FLUID_CALCIUM_CHLORIDE, 19.4, 0.0, 1179.90, 3083.2, 0.54547, 3.0948},
    {GW_FLUID_CALCIUM_CHLORIDE, 19.4, 20.0, 1172.23, 3136.4, 0.57526, 1.8555},
};

START_TEST(polynomial_agrees_with_older_tables)
{
    const tabled_point *const p = &tabled_points[_i];
    gw_fluid_props props;
    gw_err err = {0};
    const gw_fluid_mix mix = mix_of(p->kind, p->percent);
    ck_assert_msg(gw_fluid_at(&fluids, mix, p->temp_degc, &props, &err) == GW_OK, "%s", err.text);
    ck_close(props.density_kg_m3, p->density_kg_m3, 0.004);
    ck_close(props.specific_heat_j_kgk, p->specific_heat_j_kgk, 0.04);
    ck_close(props.conductivity_w_mk, p->conductivity_w_mk, 0.006);
    ck_close(1e3 * props.viscosity_pa_s, p->viscosity_mpa_s, 0.05);
}
END_TEST

// Freezing points of the same older tables; the two sources differ by up to 0.6 K.
static const struct {
    gw_fluid_kind kind;
    double percent;
    double freeze_degc;
} freezing[] = {
    {GW_FLUID_PROPYLENE_GLYCOL, 15, -5.00},
    {GW_FLUID_PROPYLENE_GLYCOL, 20, -7.16},
    {GW_FLUID_PROPYLENE_GLYCOL, 25, -9.97},
    {GW_FLUID_PROPYLENE_GLYCOL, 30, -13.08},
    {GW_FLUID_PROPYLENE_GLYCOL, 35, -16.58},
    {GW_FLUID_PROPYLENE_GLYCOL, 40, -20.79},
    {GW_FLUID_ETHANOL, 11, -5.00},
    {GW_FLUID_ETHANOL, 16, -7.66},
    {GW_FLUID_ETHANOL, 21, -11.84},
    {GW_FLUID_ETHANOL, 26, -16.58},
    {GW_FLUID_ETHANOL, 31, -21.34},
    {GW_FLUID_METHANOL, 7.8, -5.00},
    {GW_FLUID_METHANOL, 12.8, -8.86},
    {GW_FLUID_METHANOL, 17.8, -13.08},
    {GW_FLUID_METHANOL, 22.8, -17.78},
    {GW_FLUID_METHANOL, 27.8, -23.02},
    {GW_FLUID_POTASSIUM_CARBONATE, 10, -3.12},
    {GW_FLUID_POTASSIUM_CARBONATE, 15, -5.97},
    {GW_FLUID_POTASSIUM_CARBONATE, 20, -9.00},
    {GW_FLUID_POTASSIUM_CARBONATE, 25, -12.90},
    {GW_FLUID_POTASSIUM_CARBONATE, 30, -18.63},
    {GW_FLUID_POTASSIUM_CARBONATE, 35, -26.83},
    {GW_FLUID_CALCIUM_CHLORIDE, 9, -4.99},
    {GW_FLUID_CALCIUM_CHLORIDE, 14, -9.77},
    {GW_FLUID_CALCIUM_CHLORIDE, 19, -16.66},
    {GW_FLUID_CALCIUM_CHLORIDE, 24, -26.35},
};

START_TEST(freezing_point_agrees_with_older_tables)
{
    double got_degc;
    ck_assert(gw_fluid_freeze_degc(&fluids, mix_of(freezing[_i].kind, freezing[_i].percent),
                                   &got_degc, NULL) == GW_OK);
    ck_digits(got_degc, freezing[_i].freeze_degc, 0.6);
}
END_TEST

START_TEST(freezing_point_falls_with_concentration)
{
    const gw_fluid_kind kind = (gw_fluid_kind)_i;
    const gw_fluid_data *const data = &fluids.kinds[kind];
    double before_degc = 0.0;
    for (int i = 0; i <= 200; ++i) {
        const double frac =
            data->min_mass_frac + (data->max_mass_frac - data->min_mass_frac) * i / 200.0;
        double freeze_degc;
        ck_assert(gw_fluid_freeze_degc(&fluids, (gw_fluid_mix){kind, frac}, &freeze_degc, NULL) ==
                  GW_OK);
        ck_assert_msg(freeze_degc < before_degc, "%s at %g", data->name, frac);
        before_degc = freeze_degc;
    }
}
END_TEST

START_TEST(properties_stay_physical_over_the_whole_range)
{
    const gw_fluid_kind kind = (gw_fluid_kind)_i;
    const gw_fluid_data *const data = &fluids.kinds[kind];
    for (int i = 0; i <= 20; ++i) {
        const double frac =
            data->min_mass_frac + (data->max_mass_frac - data->min_mass_frac) * i / 20.0;
        const gw_fluid_mix mix = {kind, frac};
        double freeze_degc;
        ck_assert(gw_fluid_freeze_degc(&fluids, mix, &freeze_degc, NULL) == GW_OK);
        double before_pa_s = (double)INFINITY;
        for (double t = fmax(freeze_degc, -25.0); t <= 40.0; t += 2.5) {
            gw_fluid_props p;
            ck_assert(gw_fluid_at(&fluids, mix, t, &p, NULL) == GW_OK);
            ck_assert_msg(p.density_kg_m3 > 850.0 && p.density_kg_m3 < 1500.0, "%s %g %g: %g",
                          data->name, frac, t, p.density_kg_m3);
            ck_assert_msg(p.specific_heat_j_kgk > 2000.0 && p.specific_heat_j_kgk < 4600.0,
                          "%s %g %g: %g", data->name, frac, t, p.specific_heat_j_kgk);
            ck_assert_msg(p.conductivity_w_mk > 0.2 && p.conductivity_w_mk < 0.7, "%s %g %g: %g",
                          data->name, frac, t, p.conductivity_w_mk);
            ck_assert_msg(p.viscosity_pa_s > 0.0 && p.viscosity_pa_s < before_pa_s, "%s %g %g: %g",
                          data->name, frac, t, p.viscosity_pa_s);
            before_pa_s = p.viscosity_pa_s;
        }
    }
}
END_TEST

START_TEST(dose_brings_the_freezing_point_asked_for)
{
    const gw_fluid_kind kind = (gw_fluid_kind)_i;
    const gw_fluid_data *const data = &fluids.kinds[kind];
    for (double want_degc = -3.5; want_degc > -40.0; want_degc -= 3.0) {
        double frac;
        double freeze_degc;
        const gw_status st = gw_fluid_dose(&fluids, kind, want_degc, &frac, NULL);
        if (st == GW_ERR_RANGE) {
            ck_assert(gw_fluid_freeze_degc(&fluids, (gw_fluid_mix){kind, data->max_mass_frac},
                                           &freeze_degc, NULL) == GW_OK);
            ck_assert(freeze_degc > want_degc);
            continue;
        }
        ck_assert(st == GW_OK);
        ck_assert(gw_fluid_freeze_degc(&fluids, (gw_fluid_mix){kind, frac}, &freeze_degc, NULL) ==
                  GW_OK);
        ck_assert(freeze_degc <= want_degc);
        if (frac > data->min_mass_frac) {
            ck_assert_double_eq_tol(freeze_degc, want_degc, 1e-9);
        }
    }
}
END_TEST

START_TEST(dose_is_zero_when_no_frost_is_asked_for)
{
    double frac = 9.0;
    ck_assert(gw_fluid_dose(&fluids, GW_FLUID_ETHANOL, 0.0, &frac, NULL) == GW_OK);
    ck_assert_double_eq(frac, 0.0);
    frac = 9.0;
    ck_assert(gw_fluid_dose(&fluids, GW_FLUID_WATER, 2.0, &frac, NULL) == GW_OK);
    ck_assert_double_eq(frac, 0.0);
    // A light frost is met by the weakest mixture the polynomial holds for.
    ck_assert(gw_fluid_dose(&fluids, GW_FLUID_ETHANOL, -0.5, &frac, NULL) == GW_OK);
    ck_assert_double_eq(frac, 0.05);
}
END_TEST

START_TEST(dose_out_of_reach_is_refused)
{
    double frac = 9.0;
    gw_err err = {0};
    ck_assert(gw_fluid_dose(&fluids, GW_FLUID_WATER, -1.0, &frac, &err) == GW_ERR_RANGE);
    ck_assert(gw_fluid_dose(&fluids, GW_FLUID_PROPYLENE_GLYCOL, -80.0, &frac, &err) ==
              GW_ERR_RANGE);
    ck_assert(gw_fluid_dose(&fluids, GW_FLUID_PROPYLENE_GLYCOL, (double)NAN, &frac, &err) ==
              GW_ERR_RANGE);
    ck_assert_double_eq(frac, 9.0);
}
END_TEST

// Percent by volume for freezing points of 10, 15, 20 and 25 °F, from a heat-pump installation
// manual (its table 4). It rounds and its densities are unknown: within 1.5 K. Its 23 % ethanol for
// 10 °F (0 here) is left out: see the next test.
static const struct {
    gw_fluid_kind kind;
    double volume_percent[4];
} installer_rows[] = {
    {GW_FLUID_METHANOL, {21, 17, 13, 8}},
    {GW_FLUID_PROPYLENE_GLYCOL, {29, 24, 18, 12}},
    {GW_FLUID_ETHANOL, {0, 20, 16, 11}},
};

START_TEST(installers_volume_table_protects_as_printed)
{
    for (int k = 0; k < 4; ++k) {
        if (installer_rows[_i].volume_percent[k] == 0.0) {
            continue;
        }
        gw_fluid_mix mix = {.kind = installer_rows[_i].kind};
        double freeze_degc;
        ck_assert(gw_fluid_mass_frac(&fluids, mix.kind,
                                     installer_rows[_i].volume_percent[k] / 100.0, &mix.mass_frac,
                                     NULL) == GW_OK);
        ck_assert(gw_fluid_freeze_degc(&fluids, mix, &freeze_degc, NULL) == GW_OK);
        const double want_degc = (10.0 + 5.0 * k - 32.0) / 1.8;
        ck_assert_msg(fabs(freeze_degc - want_degc) <= 1.5, "kind %d, %g vol%%: %g, table %g",
                      (int)mix.kind, installer_rows[_i].volume_percent[k], freeze_degc, want_degc);
    }
}
END_TEST

// The manual's 23 % ethanol by volume for 10 °F (−12.2 °C) promises too much: the polynomial gives
// −10.4 °C, and the older Melinder table, between 16 % (−7.66) and 21 % by mass (−11.84), −10.25
// °C.
START_TEST(ethanol_of_23_percent_by_volume_freezes_above_the_manuals_value)
{
    gw_fluid_mix mix = {.kind = GW_FLUID_ETHANOL};
    double freeze_degc;
    ck_assert(gw_fluid_mass_frac(&fluids, mix.kind, 0.23, &mix.mass_frac, NULL) == GW_OK);
    ck_assert(gw_fluid_freeze_degc(&fluids, mix, &freeze_degc, NULL) == GW_OK);
    const double older_degc = -7.66 + (100.0 * mix.mass_frac - 16.0) / 5.0 * (-11.84 + 7.66);
    ck_assert_double_eq_tol(freeze_degc, older_degc, 0.6);
    ck_assert_double_gt(freeze_degc, -12.2 + 1.5);
}
END_TEST

// ASHRAE Handbook Fundamentals, tables of glycol solutions (from memory): 30 % by mass is 29.2 % by
// volume for propylene glycol, 27.7 % for ethylene glycol.
START_TEST(volume_fraction_matches_handbook_tables)
{
    double frac;
    ck_assert(gw_fluid_volume_frac(&fluids, mix_of(GW_FLUID_PROPYLENE_GLYCOL, 30), &frac, NULL) ==
              GW_OK);
    ck_assert_double_eq_tol(frac, 0.292, 0.001);
    ck_assert(gw_fluid_volume_frac(&fluids, mix_of(GW_FLUID_ETHYLENE_GLYCOL, 30), &frac, NULL) ==
              GW_OK);
    ck_assert_double_eq_tol(frac, 0.277, 0.001);
}
END_TEST

START_TEST(mass_and_volume_fraction_turn_back)
{
    for (double percent = 5.0; percent <= 60.0; percent += 5.0) {
        double volume_frac;
        double mass_frac;
        ck_assert(gw_fluid_volume_frac(&fluids, mix_of(GW_FLUID_METHANOL, percent), &volume_frac,
                                       NULL) == GW_OK);
        ck_assert(gw_fluid_mass_frac(&fluids, GW_FLUID_METHANOL, volume_frac, &mass_frac, NULL) ==
                  GW_OK);
        ck_close(mass_frac, percent / 100.0, 1e-14);
    }
}
END_TEST

START_TEST(salt_has_no_volume_fraction)
{
    double frac;
    gw_err err = {0};
    ck_assert(gw_fluid_volume_frac(&fluids, mix_of(GW_FLUID_CALCIUM_CHLORIDE, 20), &frac, &err) ==
              GW_ERR_RANGE);
    ck_assert(gw_fluid_mass_frac(&fluids, GW_FLUID_CALCIUM_CHLORIDE, 0.2, &frac, &err) ==
              GW_ERR_RANGE);
    ck_assert(gw_fluid_mass_frac(&fluids, GW_FLUID_ETHANOL, 1.2, &frac, &err) == GW_ERR_RANGE);
}
END_TEST

START_TEST(charge_balances_mass)
{
    gw_fluid_charge charge;
    const gw_fluid_mix mix = mix_of(GW_FLUID_ETHANOL, 20);
    ck_assert(gw_fluid_charge_of(&fluids, mix, 0.5, &charge, NULL) == GW_OK);
    gw_fluid_props props;
    ck_assert(gw_fluid_at(&fluids, mix, 20.0, &props, NULL) == GW_OK);
    ck_close(charge.mixture_kg, 0.5 * props.density_kg_m3, 1e-14);
    ck_close(charge.antifreeze_kg + charge.water_kg, charge.mixture_kg, 1e-14);
    ck_close(charge.antifreeze_kg, 0.2 * charge.mixture_kg, 1e-14);
    // Alcohol and water shrink when mixed: more is poured than the loop holds.
    ck_assert_double_gt(charge.antifreeze_m3 + charge.water_m3, 0.5);
    ck_assert_double_lt(charge.antifreeze_m3 + charge.water_m3, 0.52);
    ck_assert(gw_fluid_charge_of(&fluids, mix, -1.0, &charge, NULL) == GW_ERR_RANGE);
}
END_TEST

START_TEST(frozen_hot_strong_or_weak_mixture_is_refused)
{
    gw_fluid_props props;
    gw_err err = {0};
    const gw_fluid_mix good = mix_of(GW_FLUID_ETHANOL, 20);
    ck_assert(gw_fluid_at(&fluids, good, -11.2, &props, &err) == GW_ERR_RANGE);
    ck_assert_ptr_nonnull(strstr(err.text, "freezing point"));
    ck_assert(gw_fluid_at(&fluids, good, 40.1, &props, &err) == GW_ERR_RANGE);
    ck_assert(gw_fluid_at(&fluids, good, (double)NAN, &props, &err) == GW_ERR_RANGE);
    ck_assert(gw_fluid_at(&fluids, mix_of(GW_FLUID_ETHANOL, 61), 0, &props, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "fluid.mass_frac");
    ck_assert(gw_fluid_at(&fluids, mix_of(GW_FLUID_ETHANOL, 3), 0, &props, &err) == GW_ERR_RANGE);
    ck_assert(gw_fluid_at(&fluids, mix_of(GW_FLUID_WATER, 3), 5, &props, &err) == GW_ERR_RANGE);
    ck_assert(gw_fluid_at(&fluids, (gw_fluid_mix){(gw_fluid_kind)77, 0.2}, 5, &props, &err) ==
              GW_ERR_KEY);
}
END_TEST

START_TEST(every_kind_has_cautions_and_source)
{
    const gw_fluid_data *const data = &fluids.kinds[_i];
    ck_assert(strlen(data->cautions) > 20 && strlen(data->source) > 5 && strlen(data->name) > 2);
    gw_fluid_kind kind;
    ck_assert(gw_fluid_kind_from_id(data->id, &kind, NULL) == GW_OK);
    ck_assert_int_eq((int)kind, _i);
}
END_TEST

START_TEST(unknown_fluid_suggests_the_nearest)
{
    gw_err err = {0};
    gw_fluid_kind kind;
    ck_assert(gw_fluid_kind_from_id("etanol", &kind, &err) == GW_ERR_KEY);
    ck_assert_ptr_nonnull(strstr(err.text, "\"ethanol\""));
}
END_TEST

START_TEST(missing_or_doubled_coefficient_is_refused)
{
    static const char text[] = "fluid,x_power,t_power,freeze_degc,density_kg_m3,"
                               "specific_heat_j_kgk,conductivity_w_mk,log_viscosity,source\n"
                               "ethanol,0,0,1,1,1,1,1,none\n";
    static const char twice[] = "fluid,x_power,t_power,freeze_degc,density_kg_m3,"
                                "specific_heat_j_kgk,conductivity_w_mk,log_viscosity,source\n"
                                "ethanol,0,0,1,1,1,1,1,none\nethanol,0,0,1,1,1,1,1,none\n";
    gw_builtin_file file;
    ck_assert(gw_builtin("fluid_kinds.csv", &file));
    gw_table kinds;
    gw_table table;
    gw_fluid_table out;
    gw_err err = {0};
    ck_assert(gw_table_read(arena, file.name, file.text, file.length, &kinds, &err) == GW_OK);
    ck_assert(gw_table_read(arena, "x.csv", text, sizeof text - 1, &table, &err) == GW_OK);
    ck_assert(gw_fluid_read_tables(&kinds, &table, &out, &err) == GW_ERR_MISSING);
    ck_assert(gw_table_read(arena, "x.csv", twice, sizeof twice - 1, &table, &err) == GW_OK);
    ck_assert(gw_fluid_read_tables(&kinds, &table, &out, &err) == GW_ERR_RANGE);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("mixtures");
    TCase *const tc = tcase_create("mixtures");
    tcase_add_checked_fixture(tc, open_table, close_table);
    const int first = GW_FLUID_WATER + 1;
    const int kinds = GW_FLUID_KIND_COUNT;
    tcase_add_loop_test(tc, polynomial_gives_every_computed_digit, 0,
                        (int)(sizeof computed_points / sizeof computed_points[0]));
    tcase_add_loop_test(tc, polynomial_agrees_with_older_tables, 0,
                        (int)(sizeof tabled_points / sizeof tabled_points[0]));
    tcase_add_loop_test(tc, freezing_point_agrees_with_older_tables, 0,
                        (int)(sizeof freezing / sizeof freezing[0]));
    tcase_add_loop_test(tc, freezing_point_falls_with_concentration, first, kinds);
    tcase_add_loop_test(tc, properties_stay_physical_over_the_whole_range, first, kinds);
    tcase_add_loop_test(tc, dose_brings_the_freezing_point_asked_for, first, kinds);
    tcase_add_test(tc, dose_is_zero_when_no_frost_is_asked_for);
    tcase_add_test(tc, dose_out_of_reach_is_refused);
    tcase_add_loop_test(tc, installers_volume_table_protects_as_printed, 0, 3);
    tcase_add_test(tc, ethanol_of_23_percent_by_volume_freezes_above_the_manuals_value);
    tcase_add_test(tc, volume_fraction_matches_handbook_tables);
    tcase_add_test(tc, mass_and_volume_fraction_turn_back);
    tcase_add_test(tc, salt_has_no_volume_fraction);
    tcase_add_test(tc, charge_balances_mass);
    tcase_add_test(tc, frozen_hot_strong_or_weak_mixture_is_refused);
    tcase_add_loop_test(tc, every_kind_has_cautions_and_source, 0, kinds);
    tcase_add_test(tc, unknown_fluid_suggests_the_nearest);
    tcase_add_test(tc, missing_or_doubled_coefficient_is_refused);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
