// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Properties of water and of water with antifreeze, at atmospheric pressure, inside stated limits.
//
// It does not extrapolate (outside the range it says so and gives nothing), knows no inhibitors,
// and does not say what a local rule allows: see the cautions of each fluid.
//
// Method. Mixtures: polynomial of 18 terms in concentration and temperature, A. Melinder,
// Properties of Secondary Working Fluids for Indirect Systems, IIR 2010 (coefficients in
// data/fluids.csv). Water: density by Kell, J. Chem. Eng. Data 20 (1975) 97; specific heat,
// viscosity and conductivity by IAPWS SR6-08(2011) (Pátek et al., J. Phys. Chem. Ref. Data 38
// (2009) 21). See docs/methods/fluid.md.
//
//   gw_fluid_table fluids;
//   st = gw_fluid_read_builtin(arena, &fluids, err);
//   const gw_fluid_mix mix = {.kind = GW_FLUID_ETHANOL, .mass_frac = 0.20};
//   gw_fluid_props props;
//   st = gw_fluid_at(&fluids, mix, -3.0, &props, err);
//   st = gw_fluid_freeze_degc(&fluids, mix, &freeze_degc, err);          // −11.1
#ifndef GW_FLUID_H
#define GW_FLUID_H

#include "base/arena.h"
#include "base/err.h"
#include "base/table.h"

#include <stdbool.h>

// Columns: enumerator, id in data/fluid_kinds.csv and in the job document.
#define GW_FLUID_KIND_LIST(X)                                                                      \
    X(GW_FLUID_WATER, "water")                                                                     \
    X(GW_FLUID_PROPYLENE_GLYCOL, "propylene_glycol")                                               \
    X(GW_FLUID_ETHANOL, "ethanol")                                                                 \
    X(GW_FLUID_METHANOL, "methanol")                                                               \
    X(GW_FLUID_POTASSIUM_CARBONATE, "potassium_carbonate")                                         \
    X(GW_FLUID_CALCIUM_CHLORIDE, "calcium_chloride")                                               \
    X(GW_FLUID_ETHYLENE_GLYCOL, "ethylene_glycol")                                                 \
    X(GW_FLUID_POTASSIUM_FORMATE, "potassium_formate")                                             \
    X(GW_FLUID_POTASSIUM_ACETATE, "potassium_acetate")

typedef enum {
#define X(code, id) code,
    GW_FLUID_KIND_LIST(X)
#undef X
        GW_FLUID_KIND_COUNT
} gw_fluid_kind;

// What is in the loop. Water has mass_frac 0.
typedef struct {
    gw_fluid_kind kind;
    double mass_frac; // antifreeze by mass of the whole mixture, 0 to the limit of the kind
} gw_fluid_mix;

typedef struct {
    double density_kg_m3;
    double specific_heat_j_kgk;
    double conductivity_w_mk;
    double viscosity_pa_s; // dynamic
} gw_fluid_props;

enum { GW_FLUID_TERMS = 18 };

// One kind of fluid: limits, cautions and coefficients. Texts are borrowed from the tables read.
typedef struct {
    const char *id;
    const char *name;     // for people, e.g. "propylene glycol"
    double min_mass_frac; // below this (and above 0) the polynomial is not used
    double max_mass_frac;
    double max_degc;               // highest temperature of the polynomial
    double center_mass_percent;    // xm
    double center_degc;            // Tm
    double additive_density_kg_m3; // of the pure (or stock) antifreeze at 20 °C; 0 for a salt
    bool flammable;                // the concentrate as delivered
    const char *cautions;          // plain sentences
    const char *source;
    double freeze[GW_FLUID_TERMS]; // coefficients, in the order of gw_fluid_term_x/_t
    double density[GW_FLUID_TERMS];
    double specific_heat[GW_FLUID_TERMS];
    double conductivity[GW_FLUID_TERMS];
    double log_viscosity[GW_FLUID_TERMS]; // natural logarithm of mPa·s
} gw_fluid_data;

typedef struct {
    gw_fluid_data kinds[GW_FLUID_KIND_COUNT];
} gw_fluid_table;

// Fills the table from parsed fluid_kinds.csv and fluids.csv; texts stay borrowed from `kinds`.
// Errors: GW_ERR_KEY (unknown fluid or column), GW_ERR_TYPE, GW_ERR_MISSING (a term is missing).
gw_status gw_fluid_read_tables(const gw_table *kinds, const gw_table *coefficients,
                               gw_fluid_table *out, gw_err *err) GW_MUST_USE;

// The same from the built-in data files.
gw_status gw_fluid_read_builtin(gw_arena *arena, gw_fluid_table *out, gw_err *err) GW_MUST_USE;

// Id text to kind and back. An unknown id is GW_ERR_KEY with the nearest known one suggested.
gw_status gw_fluid_kind_from_id(const char *id, gw_fluid_kind *out, gw_err *err) GW_MUST_USE;
const char *gw_fluid_kind_id(gw_fluid_kind kind);

// Concentration within the limits of the kind? GW_ERR_RANGE names the limits.
gw_status gw_fluid_check_mix(const gw_fluid_table *table, gw_fluid_mix mix,
                             gw_err *err) GW_MUST_USE;

// Properties at a temperature from the freezing point up to the limit of the kind.
// Errors: GW_ERR_RANGE (says freezing point or limit).
gw_status gw_fluid_at(const gw_fluid_table *table, gw_fluid_mix mix, double temp_degc,
                      gw_fluid_props *out, gw_err *err) GW_MUST_USE;

// Temperature at which the first ice forms, °C.
gw_status gw_fluid_freeze_degc(const gw_fluid_table *table, gw_fluid_mix mix, double *out_degc,
                               gw_err *err) GW_MUST_USE;

// Smallest mass fraction whose freezing point is `freeze_degc` or lower. A freezing point at or
// above 0 °C gives 0 (plain water). Errors: GW_ERR_RANGE when the kind cannot reach it.
gw_status gw_fluid_dose(const gw_fluid_table *table, gw_fluid_kind kind, double freeze_degc,
                        double *out_mass_frac, gw_err *err) GW_MUST_USE;

// Parts by volume: volume of antifreeze at 20 °C over the sum of the volumes poured together (the
// way "25 % by volume" is meant on labels), and back. Salts have no such fraction: GW_ERR_RANGE.
gw_status gw_fluid_volume_frac(const gw_fluid_table *table, gw_fluid_mix mix, double *out_frac,
                               gw_err *err) GW_MUST_USE;
gw_status gw_fluid_mass_frac(const gw_fluid_table *table, gw_fluid_kind kind, double volume_frac,
                             double *out_mass_frac, gw_err *err) GW_MUST_USE;

// What to pour for a loop of a given volume at 20 °C.
typedef struct {
    double mixture_kg;
    double antifreeze_kg;
    double antifreeze_m3; // 0 for a salt (sold by mass)
    double water_kg;
    double water_m3;
} gw_fluid_charge;

gw_status gw_fluid_charge_of(const gw_fluid_table *table, gw_fluid_mix mix, double volume_m3,
                             gw_fluid_charge *out, gw_err *err) GW_MUST_USE;

#endif
