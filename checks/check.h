// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Verbs: what a line `when …` of a case file can ask for. A verb is one row of a table: its name,
// what may be given to it (with kind, and what holds when it is left out), what it gives back, and
// the function that calls the library.
//
// It judges nothing: case_run.h compares. A verb computes nothing of its own beyond putting the
// library's functions together; where it does more, the row says so.
//
//   static gw_status run_damping(gw_check_call *call, gw_err *err)
//   {
//       (void)err;
//       gw_check_give(call, "depth_m",
//                     gw_ground_damping_depth_m(gw_check_number(call, "diffusivity_m2_s")));
//       return GW_OK;
//   }
//   const gw_check_verb gw_verbs_climate[] = {
//       {.name = "damping_depth", .what = "…", .run = run_damping,
//        .givens = {{.name = "diffusivity_m2_s", .kind = GW_QTY_DIFFUSIVITY}},
//        .results = {{"depth_m", GW_QTY_LENGTH}}},
//       {0}};
#ifndef GW_CHECK_H
#define GW_CHECK_H

#include "base/arena.h"
#include "base/err.h"
#include "base/quantity.h"

#include <stdbool.h>
#include <stddef.h>

enum { GW_CHECK_GIVENS_MAX = 24, GW_CHECK_RESULTS_MAX = 24 };

// Kinds of a given beyond those of base/quantity.h.
enum { GW_CHECK_WORD = GW_QTY_COUNT };

typedef struct {
    const char *name;      // with the unit of SI at its end
    int kind;              // gw_quantity_kind or GW_CHECK_WORD
    const char *words;     // of a word: those allowed, "a|b|c"; NULL: any
    const char *otherwise; // what holds when it is left out, as text; NULL: it must be given
    bool list;             // one or more values; `otherwise` "" is the empty list
} gw_check_given;

typedef struct {
    const char *name;
    int kind; // gw_quantity_kind
} gw_check_result;

typedef struct gw_check_call gw_check_call;

typedef struct {
    const char *name;
    const char *what; // one line for people
    gw_status (*run)(gw_check_call *call, gw_err *err);
    gw_check_given givens[GW_CHECK_GIVENS_MAX];    // ended by a NULL name
    gw_check_result results[GW_CHECK_RESULTS_MAX]; // ended by a NULL name
} gw_check_verb;

typedef struct {
    const double *numbers; // [count]
    size_t count;
    const char *word;
} gw_check_value;

// One evaluation. Values stand in the order of the verb's givens and results.
struct gw_check_call {
    gw_arena *arena;
    const gw_check_verb *verb;
    gw_check_value givens[GW_CHECK_GIVENS_MAX];
    gw_check_value results[GW_CHECK_RESULTS_MAX];
};

// The verb of that name, or NULL. The count of verbs and one by index (NULL at the end), for lists.
const gw_check_verb *gw_check_find_verb(const char *name);
const gw_check_verb *gw_check_verb_at(size_t index);

// Place of a given or result in its table; GW_CHECK_…_MAX when there is none.
size_t gw_check_given_index(const gw_check_verb *verb, const char *name);
size_t gw_check_result_index(const gw_check_verb *verb, const char *name);

// For the verbs' functions. A name that is not in the verb's row is a mistake of the verb: assert.
double gw_check_number(const gw_check_call *call, const char *name);
const char *gw_check_word(const gw_check_call *call, const char *name);
size_t gw_check_choice(const gw_check_call *call, const char *name); // place among its words
const double *gw_check_list(const gw_check_call *call, const char *name, size_t *count);

void gw_check_give(gw_check_call *call, const char *name, double value);
void gw_check_give_list(gw_check_call *call, const char *name, const double *values, size_t count);

// The tables, one per file verbs_*.c, each ended by a NULL name.
extern const gw_check_verb gw_verbs_climate[];
extern const gw_check_verb gw_verbs_field[];
extern const gw_check_verb gw_verbs_fluid[];
extern const gw_check_verb gw_verbs_freeze[];
extern const gw_check_verb gw_verbs_house[];
extern const gw_check_verb gw_verbs_loop[];
extern const gw_check_verb gw_verbs_money[];
extern const gw_check_verb gw_verbs_pipes[];
extern const gw_check_verb gw_verbs_plant[];
extern const gw_check_verb gw_verbs_pond[];
extern const gw_check_verb gw_verbs_resistance[];
extern const gw_check_verb gw_verbs_segment[];
extern const gw_check_verb gw_verbs_soil[];

#endif
