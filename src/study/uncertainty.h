// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// How sure the answer is: what nobody knows exactly is drawn from distributions, and every draw
// runs through the whole design.
//
// Two questions, two modes. FIXED: the loop is built as designed; what may its water, its bills and
// its life-cycle cost turn out to be? RESIZED: the designer knows better before building; how long
// might the loop have to be? It knows no correlation between its variables, and the distributions
// of gw_uncertainty_usual are assumptions, marked so: a firm has its own.
//
// Method: Latin hypercube (distribution.h); each sample is one design in an arena of its own;
// results are stored by index, so that the numbers do not depend on threads. Tornado: each variable
// alone at the 10 % and 90 % points of its distribution, the others at their medians.
// The weather variable picks one of GW_UNCERTAINTY_YEARS years made from the same normals, put in
// order of their cold (degree-days below 18 °C); a job with an hourly file has only that one.
//
//   gw_uncertain list[GW_UNCERTAIN_COUNT];
//   const size_t n = gw_uncertainty_usual(list);
//   gw_uncertainty_input in = {.design = design_input, .variables = list, .variable_count = n,
//                              .loop = job->loop_count, .samples = 1000, .seed = 1};
//   st = gw_uncertainty_run(arena, &in, &out, err);      // out.coldest_degc.p10 …
#ifndef GW_STUDY_UNCERTAINTY_H
#define GW_STUDY_UNCERTAINTY_H

#include "study/distribution.h"
#include "study/outcome.h"

#include <stdint.h>

// What can be uncertain: enumerator, word in a document, what it is, FACTOR on the job's value,
// SHIFT added to it, or PICK.
// clang-format off
#define GW_UNCERTAIN_LIST(X)                                                                        \
    X(ELECTRICITY_PRICE,      "electricity_price",      FACTOR, "price of electricity")             \
    X(FUEL_PRICE,             "fuel_price",             FACTOR, "prices of all fuels")              \
    X(ELECTRICITY_ESCALATION, "electricity_escalation", SHIFT,  "yearly rise of electricity")       \
    X(FUEL_ESCALATION,        "fuel_escalation",        SHIFT,  "yearly rise of fuels")             \
    X(DISCOUNT,               "discount",               SHIFT,  "discount rate")                    \
    X(GROUND_PRICE,           "ground_price",           FACTOR, "prices of the work in the ground") \
    X(INDOOR_PRICE,           "indoor_price",           FACTOR, "prices of the work indoors")       \
    X(CONDUCTIVITY,           "conductivity",           FACTOR, "conductivity of the ground")       \
    X(GROUND_TEMPERATURE,     "ground_temperature",     SHIFT,  "temperature of the ground")        \
    X(LOAD,                   "load",                   FACTOR, "heat loss through the envelope")   \
    X(INFILTRATION,           "infiltration",           FACTOR, "air leakage")                      \
    X(INDOOR_TEMPERATURE,     "indoor_temperature",     SHIFT,  "temperature kept indoors")         \
    X(INTERNAL_GAIN,          "internal_gain",          FACTOR, "heat of people and appliances")    \
    X(HEAT_PUMP_POWER,        "heat_pump_power",        FACTOR, "electricity of the heat pump")     \
    X(OUTDOOR_TEMPERATURE,    "outdoor_temperature",    SHIFT,  "outdoor air against the normals")  \
    X(WEATHER_YEAR,           "weather_year",           PICK,   "which weather year (0 cold to 1 mild)")
// clang-format on

typedef enum {
#define X(code, word, how, what) GW_UNCERTAIN_##code,
    GW_UNCERTAIN_LIST(X)
#undef X
        GW_UNCERTAIN_COUNT
} gw_uncertain_what;

typedef enum { GW_UNCERTAIN_FACTOR, GW_UNCERTAIN_SHIFT, GW_UNCERTAIN_PICK } gw_uncertain_how;

enum { GW_UNCERTAINTY_YEARS = 20, GW_UNCERTAINTY_SAMPLES_MAX = 100000 };

typedef struct {
    gw_uncertain_what what;
    gw_distribution distribution;
} gw_uncertain;

const char *gw_uncertain_word(gw_uncertain_what what);
const char *gw_uncertain_text(gw_uncertain_what what);
gw_uncertain_how gw_uncertain_how_of(gw_uncertain_what what);

// Every variable with a spread that is usual at the kitchen table (assumed, no source). Returns the
// number written, GW_UNCERTAIN_COUNT.
size_t gw_uncertainty_usual(gw_uncertain out[GW_UNCERTAIN_COUNT]);

typedef enum { GW_UNCERTAINTY_FIXED, GW_UNCERTAINTY_RESIZED } gw_uncertainty_mode;

typedef struct {
    gw_design_input design;
    size_t loop;                   // of the job; its count: the best one
    const gw_uncertain *variables; // [variable_count], each at most once
    size_t variable_count;
    size_t samples; // 10 to GW_UNCERTAINTY_SAMPLES_MAX
    uint64_t seed;
    gw_uncertainty_mode mode;
    const gw_study_watch *watch; // or NULL
} gw_uncertainty_input;

typedef struct {
    bool done;  // false: this draw could not be designed
    bool holds; // entering water within the job's limits
    double coldest_degc;
    double warmest_degc;
    double length_m;
    double performance;
    double heat_j;
    double installed; // currency units, here and below
    double electricity_year;
    double present_cost;
} gw_uncertainty_sample;

typedef struct {
    double mean;
    double p10;
    double p50;
    double p90;
} gw_uncertainty_range;

// One of the other systems.
typedef struct {
    const char *key;
    const char *name;
    gw_uncertainty_range present_cost;
    gw_uncertainty_range energy_year;
    double beaten_frac;      // share of samples in which the loop's life-cycle cost is less
    double beaten_year_frac; // … in which its energy of a year costs less
} gw_uncertainty_rival;

// One bar of the tornado: the variable at its low and at its high end.
typedef struct {
    gw_uncertain_what what;
    double low_value;
    double high_value;
    gw_uncertainty_sample low;
    gw_uncertainty_sample high;
    double cost_swing; // |difference| of the present cost
    double water_swing_k;
} gw_uncertainty_bar;

typedef struct {
    const char *loop;
    gw_uncertainty_mode mode;
    uint64_t seed;
    gw_uncertainty_sample central;        // every variable at its median
    const gw_uncertainty_sample *samples; // [sample_count]
    const double *drawn;                  // [sample_count × variable_count], sample by sample
    size_t sample_count;
    size_t variable_count;
    size_t done;          // samples that could be designed; the rest are left out of all ranges
    gw_err first_failure; // of those that could not; code GW_OK: none
    double holds_frac;
    gw_uncertainty_range coldest_degc;
    gw_uncertainty_range warmest_degc;
    gw_uncertainty_range length_m;
    gw_uncertainty_range performance;
    gw_uncertainty_range heat_j;
    gw_uncertainty_range installed;
    gw_uncertainty_range electricity_year;
    gw_uncertainty_range present_cost;
    const gw_uncertainty_rival *rivals; // [rival_count], dearest in the middle first
    size_t rival_count;
    const gw_uncertainty_bar *bars; // [variable_count], widest swing of the present cost first
    size_t bar_count;
    bool stopped; // by the watch: what was done until then is not returned
} gw_uncertainty;

// Errors: GW_ERR_RANGE (field named: "samples", "variables[3]"), GW_ERR_KEY (variable twice),
// GW_ERR_CONVERGE (more than one sample in twenty could not be designed; the text is of the first),
// those of the design, GW_ERR_NOMEM. A watch that says stop gives GW_OK with `stopped`.
gw_status gw_uncertainty_run(gw_arena *arena, const gw_uncertainty_input *input,
                             gw_uncertainty *out, gw_err *err) GW_MUST_USE;

#endif
