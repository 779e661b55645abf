// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/quantity.h"

#include "harness.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct {
    gw_quantity_kind kind;
    const char *text;
    double si;
} example;

// Expected values worked by hand from the definitions: foot 0.3048 m, US gallon 3.785411784 L,
// ton of refrigeration 12,000 Btu(IT)/h, Btu(IT) 1055.05585262 J.
static const example GOOD[] = {
    {GW_QTY_LENGTH, "300 ft", 91.44},
    {GW_QTY_LENGTH, "300ft", 91.44},
    {GW_QTY_LENGTH, "300'", 91.44},
    {GW_QTY_LENGTH, "5 ft 6 in", 1.6764},
    {GW_QTY_LENGTH, "5' 6\"", 1.6764},
    {GW_QTY_LENGTH, "12", 12.0},
    {GW_QTY_LENGTH, "1.5e2 m", 150.0},
    {GW_QTY_SMALL_LENGTH, "6 in", 0.1524},
    {GW_QTY_SMALL_LENGTH, "150 mm", 0.150},
    {GW_QTY_POWER, "3.5 ton", 3.5 * 12000.0 * 1055.05585262 / 3600.0},
    {GW_QTY_POWER, "40000 Btu/h", 40000.0 * 1055.05585262 / 3600.0},
    {GW_QTY_POWER, "40000 BTUH", 40000.0 * 1055.05585262 / 3600.0},
    {GW_QTY_POWER, "12 kW", 12000.0},
    {GW_QTY_MASS, "1 ton", 907.18474},
    {GW_QTY_FLOW, "12 USgal/min", 12.0 * 0.003785411784 / 60.0},
    {GW_QTY_FLOW, "12 gpm", 12.0 * 0.003785411784 / 60.0},
    {GW_QTY_FLOW, "0.75 L/s", 0.00075},
    {GW_QTY_FLOW, "80 cfm", 80.0 * 0.3048 * 0.3048 * 0.3048 / 60.0},
    {GW_QTY_TEMPERATURE, "45 degF", (45.0 - 32.0) / 1.8},
    {GW_QTY_TEMPERATURE, "45 °F", (45.0 - 32.0) / 1.8},
    {GW_QTY_TEMPERATURE, "-5 C", -5.0},
    {GW_QTY_TEMPERATURE_DIFFERENCE, "18 degF", 10.0},
    {GW_QTY_INSULATION, "R-20", 20.0 * 0.17611018368230},
    {GW_QTY_INSULATION, "R20", 20.0 * 0.17611018368230},
    {GW_QTY_INSULATION, "RSI 3.5", 3.5},
    {GW_QTY_INSULATION, "20 h ft2 degF/Btu", 20.0 * 0.17611018368230},
    {GW_QTY_TRANSMITTANCE, "U-0.30", 0.30 / 0.17611018368230},
    {GW_QTY_TRANSMITTANCE, "USI 1.7", 1.7},
    {GW_QTY_INSULATION, "U-0.30", 0.17611018368230 / 0.30},
    {GW_QTY_TRANSMITTANCE, "RSI 2", 0.5},
    {GW_QTY_TEMPERATURE, "32 degF", 0.0},
    {GW_QTY_CONDUCTIVITY, "1 Btu/(h ft degF)", 1.7307346663714},
    {GW_QTY_CONDUCTIVITY, "1 Btu/h-ft-F", 1.7307346663714},
    {GW_QTY_CONDUCTIVITY, "2.4 W/m-K", 2.4},
    {GW_QTY_CONDUCTIVITY, "2.4 W/m·K", 2.4},
    {GW_QTY_CONDUCTIVITY, "2.4 W/(m·K)", 2.4},
    {GW_QTY_DIFFUSIVITY, "0.9 ft2/day", 0.9 * 0.09290304 / 86400.0},
    {GW_QTY_ENERGY, "12000 kWh", 4.32e10},
    {GW_QTY_AREA, "1 acre", 43560.0 * 0.09290304},
    {GW_QTY_VOLUME, "1 cord", 128.0 * 0.028316846592},
    {GW_QTY_PRESSURE, "100 psi", 689475.7293168},
    {GW_QTY_FRACTION, "35 %", 0.35},
    {GW_QTY_FRACTION, "0.35", 0.35},
    {GW_QTY_LINE_RESISTANCE, "0.1 m·K/W", 0.1},
    {GW_QTY_ANGLE, "180", 180.0},
};

START_TEST(reads_the_trades_spellings)
{
    gw_err err = {0};
    gw_units *const units = gw_units_create(&err);
    ck_assert_msg(units != NULL, "%s", err.text);
    const example *const e = &GOOD[_i];
    double got = NAN;
    ck_assert_msg(gw_quantity_read(units, e->kind, e->text, &got, &err) == GW_OK, "%s", err.text);
    ck_close(got, e->si, 1e-12);
    gw_units_destroy(units);
}
END_TEST

typedef struct {
    gw_quantity_kind kind;
    const char *text;
    gw_status code;
} refusal;

static const refusal BAD[] = {
    {GW_QTY_LENGTH, "", GW_ERR_SYNTAX},           {GW_QTY_LENGTH, "   ", GW_ERR_SYNTAX},
    {GW_QTY_LENGTH, "ft", GW_ERR_SYNTAX},         {GW_QTY_LENGTH, "300 kg", GW_ERR_UNIT},
    {GW_QTY_LENGTH, "300 furlogs", GW_ERR_UNIT},  {GW_QTY_LENGTH, "1,200 ft", GW_ERR_SYNTAX},
    {GW_QTY_LENGTH, "nan m", GW_ERR_SYNTAX},      {GW_QTY_LENGTH, "inf", GW_ERR_SYNTAX},
    {GW_QTY_LENGTH, "1e999 m", GW_ERR_SYNTAX},    {GW_QTY_LENGTH, "0x10 m", GW_ERR_UNIT},
    {GW_QTY_POWER, "3.5 ft", GW_ERR_UNIT},        {GW_QTY_TEMPERATURE, "3 kW", GW_ERR_UNIT},
    {GW_QTY_INSULATION, "2 W/m2/K", GW_ERR_UNIT}, {GW_QTY_TRANSMITTANCE, "R-0", GW_ERR_SYNTAX},
    {GW_QTY_INSULATION, "R-", GW_ERR_SYNTAX},     {GW_QTY_FLOW, "12 gal", GW_ERR_UNIT},
    {GW_QTY_NUMBER, "5 m", GW_ERR_UNIT},          {GW_QTY_LENGTH, "5 ft 14 in", GW_ERR_UNIT},
};

START_TEST(refuses_with_a_reason_and_keeps_the_output)
{
    gw_err err = {0};
    gw_units *const units = gw_units_create(&err);
    const refusal *const r = &BAD[_i];
    double got = -77.0;
    ck_assert_msg(gw_quantity_read(units, r->kind, r->text, &got, &err) == r->code,
                  "\"%s\" gave status %d: %s", r->text, (int)err.code, err.text);
    ck_assert(got == -77.0);
    ck_assert_msg(strstr(err.text, "expected") != NULL, "%s", err.text);
    gw_units_destroy(units);
}
END_TEST

// The factors for printing are checked against the units library that does the reading.
START_TEST(what_is_printed_reads_back)
{
    gw_err err = {0};
    gw_units *const units = gw_units_create(&err);
    const gw_quantity_kind kind = (gw_quantity_kind)_i;
    for (int s = 0; s < 2; s++) {
        const gw_print_unit unit = gw_quantity_print_unit(kind, (gw_unit_system)s);
        const char *const spelled = strcmp(unit.unit, "RSI") == 0       ? "m2.K/W"
                                    : strcmp(unit.unit, "R") == 0       ? "h ft2 degF/Btu"
                                    : strcmp(unit.unit, "°F diff") == 0 ? "degF"
                                                                        : unit.unit;
        char text[64];
        snprintf(text, sizeof text, "%.17g %s", 7.25 * unit.factor + unit.offset, spelled);
        double got = 0.0;
        ck_assert_msg(gw_quantity_read(units, kind, text, &got, &err) == GW_OK, "%s: %s", text,
                      err.text);
        ck_close(got, 7.25, 1e-9);
    }
    gw_units_destroy(units);
}
END_TEST

START_TEST(prints_either_system)
{
    char b[64];
    ck_assert_str_eq(gw_quantity_print(GW_QTY_LENGTH, GW_UNITS_IMPERIAL, 91.44, b, sizeof b),
                     "300 ft");
    ck_assert_str_eq(gw_quantity_print(GW_QTY_LENGTH, GW_UNITS_METRIC, 91.44, b, sizeof b),
                     "91.4 m");
    ck_assert_str_eq(gw_quantity_print(GW_QTY_LENGTH, GW_UNITS_IMPERIAL, 4206.24, b, sizeof b),
                     "13 800 ft");
    ck_assert_str_eq(gw_quantity_print(GW_QTY_TEMPERATURE, GW_UNITS_IMPERIAL, 0.0, b, sizeof b),
                     "32.0 °F");
    ck_assert_str_eq(gw_quantity_print(GW_QTY_TEMPERATURE, GW_UNITS_METRIC, -0.001, b, sizeof b),
                     "0.0 °C");
    ck_assert_str_eq(gw_quantity_print(GW_QTY_POWER, GW_UNITS_METRIC, NAN, b, sizeof b), "–");
    ck_assert_str_eq(
        gw_quantity_print(GW_QTY_INSULATION, GW_UNITS_IMPERIAL, 3.522203673646, b, sizeof b),
        "20.0 R");
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("quantity");
    TCase *const tc = tcase_create("reading");
    tcase_add_loop_test(tc, reads_the_trades_spellings, 0, (int)(sizeof GOOD / sizeof GOOD[0]));
    tcase_add_loop_test(tc, refuses_with_a_reason_and_keeps_the_output, 0,
                        (int)(sizeof BAD / sizeof BAD[0]));
    tcase_add_loop_test(tc, what_is_printed_reads_back, 0, GW_QTY_COUNT);
    tcase_add_test(tc, prints_either_system);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
