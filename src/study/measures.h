// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Envelope first: what insulation, windows and air sealing do to the loop, and in which order the
// next dollar is spent best.
//
// Each measure alone, and a row of growing sets, is designed in full: house, heat pump (when its
// size follows the loss), loop, cost, life cycle. The sets grow greedily: of what is left, the
// measure that saves most of the other costs' present worth per unit of its own price comes next.
// Greedy is not always best (Minoux 1978 tells how far it may miss); with a dozen measures it is
// near. It ages no measure: each lasts the study, with nothing left at its end. It does not count
// comfort, moisture or the permit; and it changes nothing of the ventilation, which a tight house
// needs.
//
//   gw_measure_list list;
//   st = gw_measures_usual(arena, job, &list, err);          // from data/measures.csv
//   gw_measures_input in = {.design = input, .loop = job->loop_count, .list = list};
//   st = gw_measures_run(arena, &in, &out, err);
//   out.curve[k].present_cost, k = 0 … out.count             // out.best: where to stop
#ifndef GW_STUDY_MEASURES_H
#define GW_STUDY_MEASURES_H

#include "study/outcome.h"

enum { GW_MEASURES_MOST = 32 };

typedef enum { GW_MEASURE_INSULATE, GW_MEASURE_TIGHTEN } gw_measure_part;

typedef struct {
    const char *key;
    const char *name; // as printed
    gw_measure_part part;
    // INSULATE:
    const char *component;         // its name; NULL: every component of `kind`
    gw_house_kind kind;            //
    double insulation_m2k_w;       // at least this after it; 0: not used
    double insulation_added_m2k_w; // on top of what is there; 0: not used
    double solar_gain_frac;        // of new windows; below 0: as it was
    // TIGHTEN:
    double ach50; // air changes at 50 Pa after it; never makes the house leakier
    // Both:
    gw_money cost;         // of the whole measure, > 0
    const char *cost_from; // one short sentence, or NULL
} gw_measure;

typedef struct {
    const gw_measure *items;
    size_t count;
} gw_measure_list;

// The built-in measures that would improve this house, priced by its areas. Components at least as
// good as 85 % of the target are left alone. Errors: GW_ERR_MISSING (loss given directly, so that
// there is nothing to improve), those of the table.
gw_status gw_measures_usual(gw_arena *arena, const gw_job *job, gw_measure_list *out,
                            gw_err *err) GW_MUST_USE;

// The same from a table of one's own, with the columns of data/measures.csv.
gw_status gw_measures_read(gw_arena *arena, const gw_table *table, const gw_job *job,
                           gw_measure_list *out, gw_err *err) GW_MUST_USE;

typedef struct {
    gw_design_input design;
    size_t loop; // of the job; its count: the best one before any measure
    gw_measure_list list;
    const gw_study_watch *watch; // or NULL
} gw_measures_input;

typedef struct {
    size_t measure;          // index in the list; of a base: the list's count
    gw_study_outcome at;     // the design with it (and on the curve with all before it)
    gw_money spent;          // on measures in all
    gw_money first_cost;     // spent + installed
    gw_money present_cost;   // spent + life cycle of the ground-source system
    gw_money present_system; // spent + life cycle of the present system kept
    gw_money saved;  // by this step: life-cycle cost before − after, its own price not counted
    double per_unit; // saved / its price
} gw_measures_step;

typedef struct {
    const char *loop;
    gw_measure_list list;
    gw_measures_step base;
    const gw_measures_step *alone; // [count] in the list's order, each against the base
    const gw_measures_step *curve; // [count + 1]; the first is the base
    size_t count;
    size_t best;    // on the curve: least present_cost of those that stand
    size_t designs; // made in all
    bool stopped;   // by the watch; alone and curve are then not filled
} gw_measures;

// Errors: GW_ERR_RANGE ("measures[2].cost": the field named), GW_ERR_KEY (component unknown),
// GW_ERR_MISSING (no envelope), those of the design.
gw_status gw_measures_run(gw_arena *arena, const gw_measures_input *input, gw_measures *out,
                          gw_err *err) GW_MUST_USE;

// The house with one measure done; `envelope` is the caller's copy of its components and becomes
// the house's.
void gw_measure_apply(const gw_measure *measure, gw_house *house, gw_house_component *envelope);

#endif
