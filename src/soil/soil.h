// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Thermal properties of soil and rock: the built-in classes, and layers reduced to one ground.
//
// It does not know temperatures, loops or moisture that moves; a soil is five numbers. How those
// numbers follow from density and water content is in soil/moisture.h.
//
// Method and sources: docs/methods/soil.md. Each class of data/soils.csv names its own source.
//
//   gw_builtin_file file;
//   if (!gw_builtin("soils.csv", &file)) { … }
//   st = gw_table_read(arena, file.name, file.text, file.length, &table, err);
//   st = gw_soil_class_find(&table, "clay-moist", &found, err);
//   gw_soil soil = gw_soil_of_class(&found, GW_SOIL_TYPICAL);
//   double alpha_m2_s = gw_soil_diffusivity_m2_s(&soil);
#ifndef GW_SOIL_H
#define GW_SOIL_H

#include "base/err.h"
#include "base/table.h"

#include <stddef.h>

// One homogeneous ground. Frozen values equal the unfrozen ones where there is no water to freeze.
typedef struct gw_soil {
    double conductivity_w_mk;            // unfrozen, 0.1 to 10
    double volumetric_heat_j_m3k;        // unfrozen, 5e5 to 5e6
    double frozen_conductivity_w_mk;     // all freezable water frozen, 0.1 to 10
    double frozen_volumetric_heat_j_m3k; // all freezable water frozen, 5e5 to 5e6
    double latent_heat_j_m3;             // of the water per volume of ground, 0 to 3.34e8
} gw_soil;

typedef enum { GW_SOIL_KIND_SOIL, GW_SOIL_KIND_ROCK } gw_soil_kind;

// Which end of the published range: the low conductivity is the cautious one for a loop, the high
// one for a house's heat loss into the ground.
typedef enum { GW_SOIL_LOW, GW_SOIL_TYPICAL, GW_SOIL_HIGH } gw_soil_level;

// One row of data/soils.csv. Texts are borrowed from the table.
typedef struct gw_soil_class {
    const char *id;   // "sand-saturated"
    const char *name; // plain English
    gw_soil_kind kind;
    double conductivity_w_mk[3];  // by gw_soil_level
    double volumetric_heat_j_m3k; // unfrozen
    double dry_density_kg_m3;
    double moisture_frac;            // kg water per kg dry soil
    double frozen_conductivity_w_mk; // that goes with the typical conductivity
    const char *source;
} gw_soil_class;

// Thermal diffusivity of the unfrozen and of the frozen ground.
double gw_soil_diffusivity_m2_s(const gw_soil *soil);
double gw_soil_frozen_diffusivity_m2_s(const gw_soil *soil);

// Refuses values outside the ranges given at gw_soil (GW_ERR_RANGE, field = member name).
gw_status gw_soil_check(const gw_soil *soil, gw_err *err) GW_MUST_USE;

// Reads row `row` of the table (columns as in data/soils.csv), checking ranges and order.
gw_status gw_soil_class_read(const gw_table *table, size_t row, gw_soil_class *out,
                             gw_err *err) GW_MUST_USE;

// The class of that id; GW_ERR_KEY suggests the nearest one.
gw_status gw_soil_class_find(const gw_table *table, const char *id, gw_soil_class *out,
                             gw_err *err) GW_MUST_USE;

// The ground a class stands for. Frozen conductivity is scaled by the same ratio as the unfrozen
// one; latent heat and frozen heat capacity follow from dry density and moisture
// (soil/moisture.h), for rock too: its pore water is small.
gw_soil gw_soil_of_class(const gw_soil_class *soil_class, gw_soil_level level);

// One layer of a profile, counted from the surface down.
typedef struct gw_soil_layer {
    double thickness_m; // > 0; the last layer reaches as deep as asked
    gw_soil soil;
} gw_soil_layer;

typedef struct gw_soil_profile {
    const gw_soil_layer *layers;
    size_t count;
} gw_soil_profile;

typedef struct gw_soil_interval {
    double top_m;    // depth, ≥ 0
    double bottom_m; // depth, > top
} gw_soil_interval;

// The ground at a depth. A depth on a boundary belongs to the layer below it.
gw_status gw_soil_at_depth(const gw_soil_profile *profile, double depth_m, gw_soil *out,
                           gw_err *err) GW_MUST_USE;

// One equivalent ground for a vertical bore between two depths: every property is the mean
// weighted by length. Right in the limit of purely radial flow with equal heat per metre only in
// part: see docs/methods/soil.md for how good it is.
gw_status gw_soil_equivalent(const gw_soil_profile *profile, gw_soil_interval interval,
                             gw_soil *out, gw_err *err) GW_MUST_USE;

#endif
