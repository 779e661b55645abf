// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Quantities as people write them, to and from SI.
//
// Reading takes "300 ft", "3.5 ton" (refrigeration where power is meant), "12 USgal/min",
// "45 degF", "R-20", "RSI 3.5" and checks the dimension expected at that place. The unit algebra
// is that of udunits2; the trade's own spellings (gpm, ton, kWh, W/m-K, R-20 …) are turned into
// its words first by a table. Printing chooses one unit per kind in either system, by exact
// factors. Money is not a quantity: see money/.
//
//   gw_units *units = gw_units_create(err);
//   st = gw_quantity_read(units, GW_QTY_LENGTH, "300 ft", &depth_m, err);     // 91.44
//   gw_quantity_print(GW_QTY_LENGTH, GW_UNITS_IMPERIAL, depth_m, buf, sizeof buf);  // "300 ft"
//   gw_units_destroy(units);
#ifndef GW_QUANTITY_H
#define GW_QUANTITY_H

#include "base/err.h"

#include <stddef.h>

// Kinds of quantity. Columns: name, SI unit (udunits spelling), metric print unit, imperial print
// unit, factors from SI (printed = si × factor + offset), digits after the point.
// clang-format off
#define GW_QUANTITY_LIST(X)                                                                                    \
    X(NUMBER,          "1",           "",         1.0, 0.0, 3,         "",               1.0, 0.0, 3)          \
    X(FRACTION,        "1",           "%",      100.0, 0.0, 1,         "%",            100.0, 0.0, 1)          \
    X(LENGTH,          "m",           "m",        1.0, 0.0, 1,         "ft",           1.0 / 0.3048, 0.0, 0)   \
    X(SMALL_LENGTH,    "m",           "mm",    1000.0, 0.0, 1,         "in",           1.0 / 0.0254, 0.0, 2)   \
    X(AREA,            "m2",          "m²",       1.0, 0.0, 0,         "ft²",          1.0 / 0.09290304, 0.0, 0) \
    X(VOLUME,          "m3",          "L",     1000.0, 0.0, 0,         "USgal",        1.0 / 0.003785411784, 0.0, 0) \
    X(TEMPERATURE,     "degC",        "°C",       1.0, 0.0, 1,         "°F",           1.8, 32.0, 1)           \
    X(TEMPERATURE_DIFFERENCE, "K",    "K",        1.0, 0.0, 1,         "°F diff",      1.8, 0.0, 1)            \
    X(POWER,           "W",           "kW",     0.001, 0.0, 2,         "Btu/h",        1.0 / 0.29307107017222, 0.0, 0) \
    X(COOLING_POWER,   "W",           "kW",     0.001, 0.0, 2,         "ton",          1.0 / 3516.8528420667, 0.0, 2) \
    X(ENERGY,          "J",           "kWh", 1.0 / 3.6e6, 0.0, 0,      "kWh",          1.0 / 3.6e6, 0.0, 0)    \
    X(FLOW,            "m3/s",        "L/s",   1000.0, 0.0, 3,         "USgal/min",    60.0 / 0.003785411784, 0.0, 2) \
    X(CONDUCTIVITY,    "W/m/K",       "W/(m·K)",  1.0, 0.0, 2,         "Btu/(h·ft·°F)", 1.0 / 1.7307346663714, 0.0, 3) \
    X(DIFFUSIVITY,     "m2/s",        "m²/day", 86400.0, 0.0, 4,       "ft²/day",      86400.0 / 0.09290304, 0.0, 3) \
    X(VOLUMETRIC_HEAT, "J/m3/K",      "MJ/(m³·K)", 1e-6, 0.0, 2,       "Btu/(ft³·°F)", 1.0 / 67066.1024540963, 0.0, 1) \
    X(INSULATION,      "m2.K/W",      "RSI",      1.0, 0.0, 2,         "R",            1.0 / 0.17611018368230, 0.0, 1) \
    X(TRANSMITTANCE,   "W/m2/K",      "W/(m²·K)", 1.0, 0.0, 2,         "Btu/(h·ft²·°F)", 0.17611018368230, 0.0, 3) \
    X(HEAT_LOSS_RATE,  "W/K",         "W/K",      1.0, 0.0, 1,         "Btu/(h·°F)",   1.0 / 0.52752792631, 0.0, 0) \
    X(LINE_RESISTANCE, "m.K/W",       "m·K/W",    1.0, 0.0, 4,         "h·ft·°F/Btu",  1.7307346663714, 0.0, 3) \
    X(LINE_POWER,      "W/m",         "W/m",      1.0, 0.0, 1,         "Btu/(h·ft)",   1.0 / 0.96151925876, 0.0, 1) \
    X(PRESSURE,        "Pa",          "kPa",    0.001, 0.0, 1,         "psi",          1.0 / 6894.7572931684, 0.0, 1) \
    X(HEAD,            "m",           "m",        1.0, 0.0, 2,         "ft",           1.0 / 0.3048, 0.0, 1)   \
    X(VELOCITY,        "m/s",         "m/s",      1.0, 0.0, 2,         "ft/s",         1.0 / 0.3048, 0.0, 2)   \
    X(VISCOSITY,       "Pa.s",        "mPa·s", 1000.0, 0.0, 2,         "cP",        1000.0, 0.0, 2)            \
    X(DENSITY,         "kg/m3",       "kg/m³",    1.0, 0.0, 0,         "lb/ft³",       1.0 / 16.018463373960, 0.0, 1) \
    X(MASS,            "kg",          "kg",       1.0, 0.0, 0,         "lb",           1.0 / 0.45359237, 0.0, 0) \
    X(DURATION,        "s",           "h", 1.0 / 3600.0, 0.0, 0,       "h",      1.0 / 3600.0, 0.0, 0)         \
    X(ANGLE,           "degree",      "°",        1.0, 0.0, 1,         "°",            1.0, 0.0, 1)            \
    X(IRRADIANCE,      "W/m2",        "W/m²",     1.0, 0.0, 0,         "Btu/(h·ft²)",  1.0 / 3.1545907451, 0.0, 0)
// clang-format on

typedef enum {
#define X(name, si, mu, mf, mo, md, iu, jf, jo, jd) GW_QTY_##name,
    GW_QUANTITY_LIST(X)
#undef X
        GW_QTY_COUNT
} gw_quantity_kind;

typedef enum { GW_UNITS_METRIC, GW_UNITS_IMPERIAL } gw_unit_system;

typedef struct {
    const char *unit;  // as printed
    double factor;     // printed = si × factor + offset
    double offset;
    int digits;  // after the decimal point
} gw_print_unit;

typedef struct gw_units gw_units;

// Opens the units database. Errors: GW_ERR_IO (database not installed), GW_ERR_NOMEM.
gw_units *gw_units_create(gw_err *err);
void gw_units_destroy(gw_units *units);  // NULL is fine

// Reads number and unit, gives SI. A bare number in the text is taken as the SI unit of the kind
// (temperature: °C). Errors: GW_ERR_SYNTAX, GW_ERR_UNIT (says which dimension was expected and an
// example), GW_ERR_RANGE (not finite). *out is left alone on error.
gw_status gw_quantity_read(gw_units *units, gw_quantity_kind kind, const char *text, double *out,
                           gw_err *err) GW_MUST_USE;

// SI unit of a kind, e.g. "W/m/K"; the name of a kind in words, e.g. "length".
const char *gw_quantity_si_unit(gw_quantity_kind kind);
const char *gw_quantity_name(gw_quantity_kind kind);
gw_print_unit gw_quantity_print_unit(gw_quantity_kind kind, gw_unit_system system);

// Writes "91.4 m" or "300 ft" (thousands are separated by a thin rule: "1 380 ft").
// Returns buffer, always NUL-terminated; a value that is not finite prints as "–".
const char *gw_quantity_print(gw_quantity_kind kind, gw_unit_system system, double si, char *buffer,
                              size_t size);

#endif
