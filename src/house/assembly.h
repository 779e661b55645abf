// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The resistance of a wall, ceiling or floor from its layers, films included.
//
// Layers lie one behind the other from the inside out; a layer may be crossed by wood framing that
// takes a share of its area. Two bounds are given: heat that flows straight through (parallel path,
// upper) and heat that spreads freely between layers (isothermal planes, lower). The value used is
// the lower: it is the effective resistance of the National Building Code of Canada, A-9.36.2.4
// (from memory; a public account of its isothermal-planes choice was read). Framing that crosses
// in two layers is taken as crosswise: shares multiply.
// Not for members of steel (they need a zone method: type the tested resistance), nor for windows.
//
// Films in m2·K/W (NBC A-9.36.2.4 and ASHRAE Handbook of Fundamentals, from memory): outdoors 0.03;
// indoors walls and doors 0.12, ceilings 0.11, floors 0.16; none towards the soil.
//
//   gw_assembly_layer layers[] = {{.material = "gypsum-board"},
//       {.material = "batt-r20", .member = "softwood", .member_frac = 0.23}, {.material = "osb"}};
//   for (…) { st = gw_assembly_fill_layer(&materials, &layers[i], err); }
//   const gw_assembly wall = {.layers = layers, .layer_count = 3};
//   st = gw_assembly_solve(&wall, GW_HOUSE_WALL, &result, err);   // result.resistance_m2k_w
#ifndef GW_ASSEMBLY_H
#define GW_ASSEMBLY_H

#include "base/arena.h"
#include "base/err.h"
#include "base/table.h"
#include "house/house.h"

enum { GW_ASSEMBLY_LAYERS_MOST = 16, GW_ASSEMBLY_FRAMED_MOST = 4 };

typedef struct {
    const char *material;     // id in data/materials.csv, or any name
    double thickness_m;       // 0.00005 to 2; 0 = the table's usual one (gw_assembly_fill_layer)
    double resistance_m2k_w;  // of the layer as it stands, 0 to 30; 0 = thickness/conductivity
    const char *member;       // material of framing across the layer, or NULL
    double member_frac;       // its share of the area, 0 to 0.95
    double conductivity_w_mk; // 0.005 to 400; 0 with resistance_m2k_w
    double density_kg_m3;     // 0 to 10000
    double heat_capacity_j_kgk;
    double member_conductivity_w_mk; // 0.02 to 1: wood
    double member_density_kg_m3;
    double member_heat_capacity_j_kgk;
} gw_assembly_layer;

typedef struct gw_assembly {
    const char *ready;               // id in data/assemblies.csv, or NULL
    const gw_assembly_layer *layers; // [layer_count] from the inside out
    size_t layer_count;              // 1 to GW_ASSEMBLY_LAYERS_MOST
} gw_assembly;

typedef struct {
    double resistance_m2k_w; // air to air (to the soil below grade): the isothermal value
    double parallel_m2k_w;   // upper bound
    double isothermal_m2k_w; // lower bound
    double clear_m2k_w;      // between the members
    double inside_film_m2k_w;
    double outside_film_m2k_w;
    double thickness_m;
    double heat_capacity_j_m2k; // of all layers
} gw_assembly_result;

// Takes what the layer leaves open from the row of its material and of its member.
// Errors: GW_ERR_KEY with the nearest id suggested.
gw_status gw_assembly_fill_layer(const gw_table *materials, gw_assembly_layer *layer,
                                 gw_err *err) GW_MUST_USE;

typedef struct {
    const gw_table *materials;  // data/materials.csv
    const gw_table *assemblies; // data/assemblies.csv
} gw_assembly_tables;

// The ready assembly of that id, layers filled. Errors: GW_ERR_KEY, GW_ERR_NOMEM.
gw_status gw_assembly_read(gw_arena *arena, const gw_assembly_tables *tables, const char *id,
                           gw_assembly *out, gw_err *err) GW_MUST_USE;

// Errors: GW_ERR_RANGE ("layers[2].thickness_m"; a member that conducts like metal; a window).
gw_status gw_assembly_solve(const gw_assembly *assembly, gw_house_kind kind,
                            gw_assembly_result *out, gw_err *err) GW_MUST_USE;

#endif
