// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Setbacks: how far a loop must stay from each thing, by which rule, and where the rule is written.
//
// It does not know where anything lies (violation.h measures), and no shipped row replaces reading
// the local bylaw: rows called "typical" say so in their note.
//
// Method: table look-up. Which of several fitting rules applies, first to last: a rule of the job,
// a rule of the jurisdiction, a typical rule. Among the rules of one of these: a rule for this very
// feature, then one for its variant, then one for its kind; the last one written wins a tie, so
// that a job can correct itself. Rows and sources: data/setbacks.csv.
// A raised septic bed is a case of its own: Ottawa adds twice the height of the raise to every
// distance (Ottawa Septic System Office), hence raise_factor.
//
//   st = gw_lot_rules_read(arena, &table, &rules, err);
//   const gw_lot_ruleset set = {.shipped = &rules, .jurisdiction = "us-me"};
//   if (gw_lot_find_setback(&set, &well, GW_LOT_BORE, &setback)) { … setback.distance_m … }
#ifndef GW_LOT_SETBACK_H
#define GW_LOT_SETBACK_H

#include "base/table.h"
#include "lot/lot.h"

typedef enum {
    GW_LOT_BORE,
    GW_LOT_TRENCH,
    GW_LOT_COIL,
    GW_LOT_HEADER,    // pipes between the loop and the house
    GW_LOT_POND_LOOP, // coils in a pond
    GW_LOT_LOOP_COUNT
} gw_lot_loop;

// "bore", "trench", "coil", "header", "pond". Never NULL.
const char *gw_lot_loop_name(gw_lot_loop loop);

typedef struct gw_lot_rule {
    const char *jurisdiction; // "typical", "us-me", …; not looked at in a job's own rules
    gw_lot_kind kind;         // GW_LOT_PROPERTY_LINE for the boundary
    const char *variant;      // "" or NULL: any
    const char *feature_id;   // NULL: any feature of the kind; used by a job's own rules
    bool loops[GW_LOT_LOOP_COUNT];
    double distance_m;   // ≥ 0; 0: may touch, not overlap
    double raise_factor; // ≥ 0, metres of distance per metre of raise
    const char *source;
    const char *note;
} gw_lot_rule;

typedef struct gw_lot_rules {
    const gw_lot_rule *items;
    size_t count;
} gw_lot_rules;

// Reads a table with the columns of data/setbacks.csv. Texts are borrowed from the table.
// Errors: GW_ERR_KEY (kind, loop), GW_ERR_RANGE, GW_ERR_TYPE, GW_ERR_MISSING (no source), each with
// the line of the table.
gw_status gw_lot_rules_read(gw_arena *arena, const gw_table *table, gw_lot_rules *out,
                            gw_err *err) GW_MUST_USE;

typedef struct gw_lot_ruleset {
    const gw_lot_rules *shipped;
    const char *jurisdiction; // NULL or "typical": typical rules only
    gw_lot_rules own;         // of the job; empty when there are none
} gw_lot_ruleset;

// Refuses a jurisdiction without a single rule (GW_ERR_KEY, nearest one suggested) and own rules
// with a negative or infinite distance (GW_ERR_RANGE, "lot.setbacks[2].distance_m").
gw_status gw_lot_ruleset_check(const gw_lot_ruleset *set, gw_err *err) GW_MUST_USE;

typedef enum { GW_LOT_OWN_RULE, GW_LOT_LOCAL_RULE, GW_LOT_TYPICAL_RULE } gw_lot_origin;

typedef struct gw_lot_setback {
    double distance_m;       // raise included
    const gw_lot_rule *rule; // borrowed from the set
    gw_lot_origin origin;
} gw_lot_setback;

// The distance a loop of this kind keeps from the feature (NULL: the property line).
// Returns false, and leaves *out alone, when no rule asks for one.
bool gw_lot_find_setback(const gw_lot_ruleset *set, const gw_lot_feature *feature, gw_lot_loop loop,
                         gw_lot_setback *out);

#endif
