// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What a study keeps of one designed loop, and what the other systems cost over the same years.
//
// A study designs many variants of a job, each in an arena of its own that dies with the variant;
// an outcome is the part that outlives it: plain numbers and short texts, no pointers but the
// loop's name, which belongs to the job.
#ifndef GW_STUDY_OUTCOME_H
#define GW_STUDY_OUTCOME_H

#include "design/design.h"

enum { GW_STUDY_REASON = 400 };

typedef struct {
    const char *name; // of the loop, borrowed from the job
    gw_loop_kind kind;
    bool done;       // false: it could not be designed at all, and `ruled_out` says why
    bool stands;     // sized, on the lot, no verdict fails
    size_t cautions; // verdicts that ask for attention
    char ruled_out[GW_STUDY_REASON]; // "" or what fails, each with its reason
    double loss_w;                   // design heat loss of the house
    double heat_j;                   // useful heat and hot water of the last year
    double capacity_w;               // heat pump(s), heating at 0 °C water
    size_t count;                    // bores or trenches
    double each_m;                   // of them
    double length_m;                 // that exchanges heat
    double land_length_m;            //
    double land_width_m;             //
    double coldest_degc;             // entering water over the horizon
    double warmest_degc;             //
    double coldest_first_degc;       // of the first year
    double performance;              // heat / all electricity for heating, last year
    double circulator_w;             //
    gw_money installed;              //
    gw_money electricity_year;       //
    gw_money present_cost;           // life cycle
} gw_study_outcome;

// Of loop `index` of a design.
gw_study_outcome gw_study_outcome_of(const gw_design *design, size_t index);

// Life-cycle cost of another system as the design reckons it for the present one: bought new in
// year 0 and whenever its life runs out, energy and upkeep every year. Errors: GW_ERR_RANGE.
gw_status gw_study_alternative_cost(const gw_job *job, const gw_alternative_year *row,
                                    gw_money *present_cost, gw_err *err) GW_MUST_USE;

// Row of the comparison by key, or NULL.
const gw_alternative_year *gw_study_alternative_row(const gw_design *design, const char *key);

// Something long asks now and then whether to go on; `done` of `all` parts. May be called from any
// thread, one at a time. NULL: no watching.
typedef struct {
    bool (*go_on)(void *context, size_t done, size_t all);
    void *context;
} gw_study_watch;

#endif
