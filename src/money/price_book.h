// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The price book: what one unit of work or material costs, with a low and a high price.
//
// It contains no fuel prices (see fuel.h), no taxes by place, and no exchange rates. The built-in
// book (data/prices.csv) is invented for demonstration: plausible, not an offer. A firm brings its
// own book as a text with the same columns:
//
//   key,unit,low,typical,high,region,year,what,source
//   drilling.hard_rock,m,74,88,110,our county,2026,drilling in hard rock,quotation of 3 March
//
// Prices may be given per m, ft, m3, L, USgal, yd3, W, kW, ton, kg, lb, m2, ft2, each, share or %;
// they are turned into prices per SI unit (m, m3, W, kg, m2, each, share) by exact factors.
// Every key must be one that the book knows (gw_price_key_list), or start with "pipe.", "fluid." or
// "other." — the open families, for pipe sizes, antifreezes and anything else.
//
//   gw_price_book book;
//   st = gw_price_book_builtin(arena, &book, err);
//   st = gw_price_book_find(&book, "drilling.hard_rock", &row, err);   // row->typical per metre
#ifndef GW_PRICE_BOOK_H
#define GW_PRICE_BOOK_H

#include "base/arena.h"
#include "base/err.h"

#include <stddef.h>

// Keys with a fixed meaning: key, SI unit, meaning.
// clang-format off
#define GW_PRICE_KEY_LIST(X)                                                                             \
    X("drilling.soil",             "m",     "drilling in soil above the rock, casing not counted")       \
    X("drilling.soft_rock",        "m",     "drilling in soft or medium rock")                           \
    X("drilling.hard_rock",        "m",     "drilling in hard rock")                                     \
    X("drilling.casing",           "m",     "steel casing left in the ground")                           \
    X("drilling.mobilisation",     "each",  "drill rig brought to the lot and taken away")               \
    X("bore.loop_setting",         "each",  "U-tube made up, tested and set in one bore")                \
    X("bore.grout",                "m3",    "grout, mixed and pumped from the bottom up")                \
    X("trench.digging",            "m",     "trench dug and backfilled, about 1.7 m deep and 0.6 m wide") \
    X("trench.volume",             "m3",    "excavation by volume, dug and backfilled")                  \
    X("trench.rock",               "m3",    "rock broken out of a trench")                               \
    X("trench.mobilisation",       "each",  "excavator brought to the lot and taken away")               \
    X("trench.sand",               "m3",    "sand around the pipes")                                     \
    X("trench.imported_fill",      "m3",    "fill brought in over the loop")                             \
    X("trench.restoration",        "m2",    "topsoil and seed over disturbed ground")                    \
    X("header.run",                "m",     "header trench with both pipes, laid and backfilled")        \
    X("header.manifold_circuit",   "each",  "manifold, valves and fusion, one circuit")                  \
    X("header.wall_entry",         "each",  "sleeve and seal through the wall of the house")             \
    X("pond.coil",                 "each",  "pond coil made up, weighted and sunk (pipe not counted)")   \
    X("well.drilling",             "m",     "open-loop water well, drilled and cased")                   \
    X("well.pump",                 "each",  "well pump with drop pipe and control")                      \
    X("fluid.flush_and_fill",      "each",  "flushing, purging, pressure test and filling")              \
    X("plant.heat_pump_base",      "each",  "heat pump, the part of its price that does not grow with size") \
    X("plant.heat_pump_capacity",  "W",     "heat pump, the part that grows with rated heating capacity") \
    X("plant.heat_pump_setting",   "each",  "heat pump set, piped and started")                          \
    X("plant.circulator",          "each",  "ground-loop circulator with flanges and valves")            \
    X("plant.auxiliary",           "W",     "electric auxiliary heater")                                 \
    X("plant.hot_water",           "each",  "desuperheater tank and piping")                             \
    X("plant.buffer",              "each",  "buffer tank")                                               \
    X("plant.controls",            "each",  "thermostat and control wiring")                             \
    X("house.ductwork",            "W",     "ductwork, new or altered, by heating capacity")             \
    X("house.hydronic",            "m2",    "heated floor or radiators, by floor area")                  \
    X("house.electrical",          "each",  "electrical supply, disconnects, wiring")                    \
    X("house.panel",               "each",  "service panel enlarged")                                    \
    X("house.old_system_removal",  "each",  "old furnace and tank taken away")                           \
    X("paper.design",              "each",  "design, heat-loss calculation and drawings")                \
    X("paper.permit",              "each",  "permits and fees")                                          \
    X("paper.locate",              "each",  "utility locates and survey")                                \
    X("paper.as_built",            "each",  "as-built record and commissioning report")                  \
    X("paper.audit",               "each",  "home energy audit")                                         \
    X("share.contingency",         "share", "contingency, share of the lines")                           \
    X("share.tax",                 "share", "sales tax, share of lines and contingency")
// clang-format on

typedef struct {
    const char *key;  // e.g. "drilling.hard_rock"
    const char *unit; // SI: "m", "m2", "m3", "W", "kg", "each", "share"
    const char *what;
} gw_price_key;

typedef struct {
    const char *key;
    const char *unit; // SI unit; prices are per this unit
    double low;       // currency per unit (rate), 0 ≤ low ≤ typical ≤ high; a share is 0 to 1
    double typical;
    double high;
    const char *region;
    int year; // of the price, 1950 to 2200
    const char *what;
    const char *source;
    int line; // in the text read
} gw_price_row;

typedef struct {
    const char *name; // of the text, for messages
    size_t count;
    const gw_price_row *rows; // in the order of the text
} gw_price_book;

// The fixed keys; *count is set.
const gw_price_key *gw_price_key_list(size_t *count);

// Reads a book. Everything read lives in the arena.
// Errors: GW_ERR_SYNTAX, GW_ERR_KEY (unknown column or key, key twice), GW_ERR_TYPE, GW_ERR_UNIT,
// GW_ERR_RANGE, GW_ERR_MISSING (empty what or source, no rows), GW_ERR_NOMEM. Line set.
gw_status gw_price_book_read(gw_arena *arena, const char *name, const char *text, size_t length,
                             gw_price_book *out, gw_err *err) GW_MUST_USE;

// The built-in book, data/prices.csv.
gw_status gw_price_book_builtin(gw_arena *arena, gw_price_book *out, gw_err *err) GW_MUST_USE;

// A book made of `own` with the rows of `fallback` that it lacks: the firm's prices first.
gw_status gw_price_book_merge(gw_arena *arena, const gw_price_book *own,
                              const gw_price_book *fallback, gw_price_book *out,
                              gw_err *err) GW_MUST_USE;

// Errors: GW_ERR_KEY with the nearest key suggested.
gw_status gw_price_book_find(const gw_price_book *book, const char *key, const gw_price_row **out,
                             gw_err *err) GW_MUST_USE;

#endif
