// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Installed cost by line item: quantities × price book, contingency, tax, and bounds.
//
// It measures nothing: quantities come from the loop, the pipes and the lot, each with a sentence
// that says where it came from. It has no incentives (program.h) and no yearly costs
// (alternative.h). The low and high totals take every line at its low or high price at once: outer
// bounds, not a probability range. Contingency = share × subtotal; tax = share × (subtotal +
// contingency).
//
//   gw_estimate_quantities q = {
//       .bore_soil_m = {30.0, "5 bores x 6 m of overburden"},
//       .bore_hard_rock_m = {320.0, "5 bores x 64 m in granite"},
//       .bores = {5, "loop"}, .rig_visits = {1, "one visit"}, …};
//   st = gw_estimate_build(arena, &book, &q, &estimate, err);
#ifndef GW_ESTIMATE_H
#define GW_ESTIMATE_H

#include "money/money.h"
#include "money/price_book.h"

// A quantity in SI and where it came from. Amount ≥ 0, at most 1e7; 0 means the line is left out.
typedef struct {
    double amount;
    const char *origin; // one short sentence; NULL prints as "not stated"
} gw_estimate_quantity;

// A line of an open family: pipe by size, antifreeze by kind, anything else.
typedef struct {
    const char *key; // full price key, e.g. "pipe.dn25", "fluid.propylene_glycol", "other.crane"
    double amount; // in the unit of the price: m of pipe (single pipe, not pair), m3 of pure fluid
    const char *origin;
} gw_estimate_item;

// Quantity fields: field, price key.
// clang-format off
#define GW_ESTIMATE_FIELD_LIST(X)                                                                        \
    X(bore_soil_m,              "drilling.soil")                                                         \
    X(bore_soft_rock_m,         "drilling.soft_rock")                                                    \
    X(bore_hard_rock_m,         "drilling.hard_rock")                                                    \
    X(casing_m,                 "drilling.casing")                                                       \
    X(rig_visits,               "drilling.mobilisation")                                                 \
    X(bores,                    "bore.loop_setting")                                                     \
    X(grout_m3,                 "bore.grout")                                                            \
    X(trench_m,                 "trench.digging")                                                        \
    X(excavation_m3,            "trench.volume")                                                         \
    X(rock_excavation_m3,       "trench.rock")                                                           \
    X(excavator_visits,         "trench.mobilisation")                                                   \
    X(sand_m3,                  "trench.sand")                                                           \
    X(imported_fill_m3,         "trench.imported_fill")                                                  \
    X(restoration_m2,           "trench.restoration")                                                    \
    X(header_m,                 "header.run")                                                            \
    X(manifold_circuits,        "header.manifold_circuit")                                               \
    X(wall_entries,             "header.wall_entry")                                                     \
    X(pond_coils,               "pond.coil")                                                             \
    X(well_m,                   "well.drilling")                                                         \
    X(well_pumps,               "well.pump")                                                             \
    X(flush_and_fill,           "fluid.flush_and_fill")                                                  \
    X(heat_pumps,               "plant.heat_pump_base")                                                  \
    X(heat_pump_capacity_w,     "plant.heat_pump_capacity")                                              \
    X(heat_pump_settings,       "plant.heat_pump_setting")                                               \
    X(circulators,              "plant.circulator")                                                      \
    X(auxiliary_w,              "plant.auxiliary")                                                       \
    X(hot_water_tanks,          "plant.hot_water")                                                       \
    X(buffer_tanks,             "plant.buffer")                                                          \
    X(controls,                 "plant.controls")                                                        \
    X(ductwork_w,               "house.ductwork")                                                        \
    X(hydronic_m2,              "house.hydronic")                                                        \
    X(electrical,               "house.electrical")                                                      \
    X(panels,                   "house.panel")                                                           \
    X(old_systems_removed,      "house.old_system_removal")                                              \
    X(designs,                  "paper.design")                                                          \
    X(permits,                  "paper.permit")                                                          \
    X(locates,                  "paper.locate")                                                          \
    X(as_built_records,         "paper.as_built")                                                        \
    X(audits,                   "paper.audit")
// clang-format on

// Unit by suffix: _m metres, _m2, _m3, _w rated heating capacity in all; no suffix: a count.
// trench_m (standard cross-section) and excavation_m3 (any other) exclude each other.
typedef struct {
#define X(field, key) gw_estimate_quantity field;
    GW_ESTIMATE_FIELD_LIST(X)
#undef X
    const gw_estimate_item *items; // [item_count], may be NULL when item_count is 0
    size_t item_count;
} gw_estimate_quantities;

typedef struct {
    const char *key;
    const char *what;
    double quantity;
    const char *unit;
    double unit_price; // typical, currency per unit
    gw_money_range amount;
    const char *origin;       // of the quantity
    const char *price_source; // of the unit price
} gw_estimate_line;

typedef struct {
    const gw_estimate_line *lines; // in the order of GW_ESTIMATE_FIELD_LIST, then items
    size_t line_count;
    gw_money_range subtotal;
    double contingency_frac; // typical
    gw_money_range contingency;
    double tax_frac; // typical
    gw_money_range tax;
    gw_money_range total;
    gw_money_range ground; // part of the subtotal below ground (drilling, bore, trench, header,
                           // pond, well, pipe, fluid): what lives as long as the loop
} gw_estimate;

// Errors: GW_ERR_KEY (no price for a quantity that is not zero), GW_ERR_RANGE (quantity negative,
// not finite, too large; trench_m and excavation_m3 both given), GW_ERR_NOMEM.
gw_status gw_estimate_build(gw_arena *arena, const gw_price_book *book,
                            const gw_estimate_quantities *quantities, gw_estimate *out,
                            gw_err *err) GW_MUST_USE;

// Share of the total (with contingency and tax) that belongs to the ground; 0 to 1.
double gw_estimate_ground_share(const gw_estimate *estimate);

#endif
