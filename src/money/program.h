// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Incentive programs: what a grant, matching grant or tax credit pays, on which conditions, by
// when.
//
// It knows no program of any government: a job brings them. It decides nothing about eligibility
// beyond the conditions written down, and it counts no grant whose conditions are not met.
// An unknown date is not a failure: the condition is open, with the day it must be met by.
// Programs pay in the order given, and together never more than the eligible cost; an open one
// is counted as paying when later shares and the rest are worked out.
//
//   gw_program federal = {.key = "grant", .kind = GW_PROGRAM_FIXED, .amount = {500000},
//       .needs_audit_before = true, .window_month = 18, .needs_audit_after = true};
//   st = gw_program_assess(arena, &input, &assessment, err);
#ifndef GW_PROGRAM_H
#define GW_PROGRAM_H

#include "base/arena.h"
#include "money/money.h"

#include <stdbool.h>

// A day of the Gregorian calendar; year 0 means not known.
typedef struct {
    int year;  // 1990 to 2200
    int month; // 1 to 12
    int day;   // 1 to 31
} gw_date;

bool gw_date_known(gw_date date);
bool gw_date_valid(gw_date date);          // a real day, leap years counted
int gw_date_compare(gw_date a, gw_date b); // −1, 0, 1; both known
// Months later; a day that the month lacks becomes its last day. Months −1200 to 1200.
gw_date gw_date_add_months(gw_date date, int months);
// "2026-11-25"; returns buffer (11 bytes or more).
const char *gw_date_print(gw_date date, char *buffer, size_t size);

typedef enum {
    GW_PROGRAM_FIXED, // amount
    GW_PROGRAM_SHARE, // share of the eligible cost
    GW_PROGRAM_PER_W, // rate_per_w × rated heating capacity
    GW_PROGRAM_MATCH, // share of what another program (match_key) pays
    GW_PROGRAM_CREDIT // tax credit: share of the eligible cost, only up to the tax owed
} gw_program_kind;

typedef struct {
    const char *key;
    const char *name;
    gw_program_kind kind;
    gw_money amount;   // FIXED
    double share_frac; // SHARE, MATCH, CREDIT: 0 to 1 (MATCH up to 2)
    double rate_per_w; // PER_W
    const char *match_key;
    gw_money cap;               // greatest payment; 0: none
    bool reduces_eligible_cost; // what it pays is taken off the eligible cost of later programs
    // conditions
    bool needs_audit_before; // audit on or before the day work starts
    bool needs_audit_after;  // audit on or after the day work finishes, within the window
    int window_month;        // from the first audit (or work start) to the last step; 0: no window
    bool needs_accredited_installer;
    bool needs_sign_off;
    double least_seasonal_performance; // 0: none
    gw_date opens, closes;             // work must start within; unknown: always open
    int paid_year;                     // year of the cash flow it falls in, 0 to 5
} gw_program;

// What is known of the work. A date that is not known leaves its condition open.
typedef struct {
    gw_money eligible_cost;
    double capacity_w;
    double seasonal_performance;
    gw_money tax_owed; // for credits
    bool accredited_installer;
    gw_date audit_before, work_start, work_finish, audit_after, sign_off;
    gw_date today; // the day of the assessment; overdue open conditions fail. Unknown: none fail
} gw_program_case;

typedef enum { GW_PROGRAM_MET, GW_PROGRAM_OPEN, GW_PROGRAM_FAILED } gw_program_state;

typedef struct {
    const char *text; // "energy audit before work starts"
    gw_program_state state;
    gw_date deadline; // unknown: none
} gw_program_condition;

enum { GW_PROGRAM_CONDITIONS_MAX = 8 };

typedef struct {
    const gw_program *program;
    gw_program_state state; // worst of its conditions
    gw_money payment;       // when all conditions are met; 0 when one has failed
    gw_program_condition conditions[GW_PROGRAM_CONDITIONS_MAX];
    size_t condition_count;
} gw_program_verdict;

typedef struct {
    const gw_program *programs; // [count], in the order in which they pay
    size_t count;
    gw_program_case work;
} gw_program_input;

typedef struct {
    const gw_program_verdict *verdicts; // [count], same order
    size_t count;
    gw_money certain;  // payments whose conditions are all met
    gw_money possible; // those and the open ones
} gw_program_assessment;

// Errors: GW_ERR_RANGE (field named), GW_ERR_KEY (match_key that is not an earlier program).
gw_status gw_program_assess(gw_arena *arena, const gw_program_input *input,
                            gw_program_assessment *out, gw_err *err) GW_MUST_USE;

#endif
