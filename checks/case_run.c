// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "case_run.h"

#include "base/text.h"
#include "check.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define LOOSE_FRAC 0.01 // a looser tolerance needs a reason

typedef struct {
    const gw_case_file *file;
    const gw_case *it;
    const gw_check_verb *verb;
    const gw_case_listener *to;
    gw_case_context with;
    const char *row; // cells as written, or NULL
    int line;        // to which troubles belong
    const char **cells;
    gw_check_call call;
} runner;

// The tolerance and the reason of one expectation.
typedef struct {
    const char *values;
    gw_case_tolerance tolerance;
    const char *reason;
} expectation;

static void tell(const runner *run, int line, const char *text)
{
    run->to->trouble(run->to->context, run->file, line, text);
}

static void tell_nearest(const runner *run, int line, const char *found, const char *const *names,
                         size_t count)
{
    char text[256];
    const size_t near = gw_text_nearest(found, names, count);
    snprintf(text, sizeof text, "found \"%s\", expected a name that `when %s` knows%s%s%s", found,
             run->verb->name, near < count ? " (perhaps \"" : "", near < count ? names[near] : "",
             near < count ? "\")" : "");
    tell(run, line, text);
}

static void tell_unknown(const runner *run, int line, const char *found)
{
    const char *names[GW_CHECK_GIVENS_MAX + GW_CHECK_RESULTS_MAX];
    size_t count = 0;
    for (size_t i = 0; i < GW_CHECK_GIVENS_MAX && run->verb->givens[i].name != NULL; ++i) {
        names[count++] = run->verb->givens[i].name;
    }
    for (size_t i = 0; i < GW_CHECK_RESULTS_MAX && run->verb->results[i].name != NULL; ++i) {
        names[count++] = run->verb->results[i].name;
    }
    tell_nearest(run, line, found, names, count);
}

// ---- what is given ---------------------------------------------------------------------------

static bool word_is_allowed(const char *words, const char *word)
{
    const size_t length = strlen(word);
    for (const char *at = words; at != NULL; at = strchr(at, '|')) {
        at += *at == '|' ? 1 : 0;
        if (strncmp(at, word, length) == 0 && (at[length] == '|' || at[length] == '\0')) {
            return true;
        }
    }
    return false;
}

static bool bind_value(runner *run, const gw_check_given *given, gw_check_value *value,
                       const char *text, int line)
{
    char message[512];
    if (given->kind == GW_CHECK_WORD) {
        value->word = text;
        if (given->words == NULL || word_is_allowed(given->words, text)) {
            return true;
        }
        snprintf(message, sizeof message, "%s: found \"%s\", expected one of %s", given->name, text,
                 given->words);
        tell(run, line, message);
        return false;
    }
    gw_err err = {0};
    gw_case_numbers numbers = {0};
    const gw_status st = gw_case_read_numbers(&run->with, given->kind, text, &numbers, &err);
    if (st != GW_OK) {
        snprintf(message, sizeof message, "%s: %s", given->name, err.text);
        tell(run, line, message);
        return false;
    }
    if (!given->list && numbers.count != 1) {
        snprintf(message, sizeof message, "%s: found \"%s\", expected one value", given->name,
                 text);
        tell(run, line, message);
        return false;
    }
    *value = (gw_check_value){.numbers = numbers.numbers, .count = numbers.count};
    return true;
}

// Text of a given: from the row's cell, else the case's own line, else the shared one.
static const char *text_of(runner *run, const char *name, int *line)
{
    const char *text = NULL;
    for (size_t i = 0; i < run->it->givens.count; ++i) {
        const gw_case_line *at = &run->it->givens.at[i];
        if (strcmp(at->name, name) == 0) {
            text = at->text;
            *line = at->line;
            if (at->used != NULL) {
                ++*at->used;
            }
        }
    }
    for (size_t i = 0; run->cells != NULL && i < run->it->column_count; ++i) {
        if (strcmp(run->it->columns[i], name) == 0 && strcmp(run->cells[i], "-") != 0) {
            text = run->cells[i];
            *line = run->line;
        }
    }
    return text;
}

static bool bind_givens(runner *run)
{
    bool good = true;
    for (size_t i = 0; i < GW_CHECK_GIVENS_MAX && run->verb->givens[i].name != NULL; ++i) {
        const gw_check_given *given = &run->verb->givens[i];
        int line = run->it->line;
        const char *text = text_of(run, given->name, &line);
        if (text == NULL) {
            text = given->otherwise;
        }
        if (text == NULL) {
            char message[256];
            snprintf(message, sizeof message, "found no %s, expected it given (`when %s` needs it)",
                     given->name, run->verb->name);
            tell(run, run->line, message);
            good = false;
            continue;
        }
        good = bind_value(run, given, &run->call.givens[i], text, line) && good;
    }
    return good;
}

// ---- what is expected ------------------------------------------------------------------------

static const char *strip_within(runner *run, const char *text, const char **tolerance)
{
    const char *at = strstr(text, " within ");
    *tolerance = NULL;
    if (at == NULL) {
        return text;
    }
    *tolerance = at + strlen(" within ");
    return gw_arena_strndup(run->with.arena, text, (size_t)(at - text));
}

// Fills tolerance and reason from the line itself or the case's `within` line for that name.
static bool read_expectation(runner *run, const gw_case_line *line, expectation *out)
{
    gw_err err = {0};
    gw_status st = GW_OK;
    const size_t result = gw_check_result_index(run->verb, line->name);
    if (result == GW_CHECK_RESULTS_MAX) {
        tell_unknown(run, line->line, line->name);
        return false;
    }
    *out = (expectation){.values = line->text, .reason = line->reason};
    if (gw_case_read_band(&run->with, run->verb->results[result].kind, line->text, &out->tolerance,
                          &st, &err)) {
        out->values = NULL;
    } else {
        const char *tolerance = NULL;
        out->values = strip_within(run, line->text, &tolerance);
        for (size_t i = 0; tolerance == NULL && i < run->it->withins.count; ++i) {
            const gw_case_line *within = &run->it->withins.at[i];
            if (strcmp(within->name, line->name) == 0) {
                tolerance = within->text;
                out->reason = within->reason;
            }
        }
        st = tolerance == NULL
                 ? gw_fail(&err, GW_ERR_MISSING, NULL,
                           "found no tolerance for %s, expected "
                           "`within …` at the end of the line or in a line of its own",
                           line->name)
                 : gw_case_read_tolerance(tolerance, &out->tolerance, &err);
    }
    if (st != GW_OK) {
        tell(run, line->line, err.text);
    }
    return st == GW_OK;
}

static bool is_loose(const gw_case_verdict *verdict)
{
    return verdict->tolerance.kind == GW_CASE_BETWEEN ||
           (verdict->tolerance.kind != GW_CASE_PRINTED &&
            verdict->allowed > LOOSE_FRAC * fabs(verdict->expected) * (1.0 + 1e-9));
}

static double middle_of(const gw_case_tolerance *band)
{
    return isinf(band->low)    ? band->high
           : isinf(band->high) ? band->low
                               : 0.5 * (band->low + band->high);
}

static bool judge(gw_case_verdict *verdict)
{
    if (verdict->tolerance.kind == GW_CASE_BETWEEN) {
        return verdict->got >= verdict->tolerance.low && verdict->got <= verdict->tolerance.high;
    }
    return fabs(verdict->got - verdict->expected) <= verdict->allowed;
}

static void compare_one(runner *run, const gw_case_line *line, const expectation *want,
                        gw_case_verdict verdict)
{
    if (is_loose(&verdict) && want->reason == NULL) {
        char message[256];
        snprintf(message, sizeof message,
                 "%s: found a tolerance looser than 1 %% without a reason, expected a line "
                 "`because …` below it",
                 line->name);
        tell(run, line->line, message);
        return;
    }
    verdict.pass = judge(&verdict);
    run->to->verdict(run->to->context, &verdict);
}

static void compare(runner *run, const gw_case_line *line, bool called)
{
    expectation want;
    if (!read_expectation(run, line, &want)) {
        return;
    }
    const size_t result = gw_check_result_index(run->verb, line->name);
    const gw_check_value *got = &run->call.results[result];
    gw_err err = {0};
    gw_case_numbers numbers = {.count = 1};
    if (want.values != NULL && gw_case_read_numbers(&run->with, run->verb->results[result].kind,
                                                    want.values, &numbers, &err) != GW_OK) {
        tell(run, line->line, err.text);
        return;
    }
    if (called && got->count != numbers.count) {
        char message[256];
        snprintf(message, sizeof message, "%s: found %zu expected values, the verb gave %zu",
                 line->name, numbers.count, got->count);
        tell(run, line->line, message);
        return;
    }
    for (size_t i = 0; i < numbers.count; ++i) {
        const double expected =
            want.values == NULL ? middle_of(&want.tolerance) : numbers.numbers[i];
        const double last_half = want.values == NULL ? 0.0 : numbers.last_half[i];
        compare_one(run, line, &want,
                    (gw_case_verdict){
                        .of = run->it,
                        .row = run->row,
                        .quantity = line->name,
                        .index = i,
                        .count = numbers.count,
                        .tolerance = want.tolerance,
                        .expected = expected,
                        .got = called ? got->numbers[i] : (double)NAN,
                        .allowed = gw_case_allowed(&want.tolerance, expected, last_half),
                    });
    }
}

// ---- one case --------------------------------------------------------------------------------

static bool call_verb(runner *run)
{
    gw_err err = {0};
    const gw_status st = run->verb->run(&run->call, &err);
    if (st != GW_OK) {
        char message[GW_ERR_TEXT_SIZE + GW_ERR_FIELD_SIZE + 64];
        snprintf(message, sizeof message, "refused: %s %s: %s", gw_status_text(st), err.field,
                 err.text);
        tell(run, run->line, message);
    }
    return st == GW_OK;
}

static void run_once(runner *run)
{
    run->call = (gw_check_call){.arena = run->with.arena, .verb = run->verb};
    if (!bind_givens(run)) {
        return;
    }
    const bool called = call_verb(run);
    for (size_t i = 0; i < run->it->expects.count; ++i) {
        compare(run, &run->it->expects.at[i], called);
    }
    for (size_t c = 0; run->cells != NULL && c < run->it->column_count; ++c) {
        const bool is_given =
            gw_check_given_index(run->verb, run->it->columns[c]) < GW_CHECK_GIVENS_MAX;
        if (!is_given && strcmp(run->cells[c], "-") != 0) {
            const gw_case_line line = {
                .name = run->it->columns[c], .text = run->cells[c], .line = run->line};
            compare(run, &line, called);
        }
    }
}

// Every name that the case uses must be known to the verb; shared givens may be for other cases.
static bool names_are_known(const runner *run)
{
    bool good = true;
    for (size_t i = 0; i < run->it->givens.count; ++i) {
        const gw_case_line *at = &run->it->givens.at[i];
        if (at->used == NULL && gw_check_given_index(run->verb, at->name) == GW_CHECK_GIVENS_MAX) {
            tell_unknown(run, at->line, at->name);
            good = false;
        }
    }
    for (size_t i = 0; i < run->it->withins.count; ++i) {
        const gw_case_line *at = &run->it->withins.at[i];
        if (gw_check_result_index(run->verb, at->name) == GW_CHECK_RESULTS_MAX) {
            tell_unknown(run, at->line, at->name);
            good = false;
        }
    }
    for (size_t i = 0; i < run->it->column_count; ++i) {
        if (gw_check_given_index(run->verb, run->it->columns[i]) == GW_CHECK_GIVENS_MAX &&
            gw_check_result_index(run->verb, run->it->columns[i]) == GW_CHECK_RESULTS_MAX) {
            tell_unknown(run, run->it->columns_line, run->it->columns[i]);
            good = false;
        }
    }
    return good;
}

// Cells are separated by commas when there are any, else by blanks; bars only please the eye.
static gw_status cut_cells(runner *run, const char *text, gw_err *err)
{
    char *copy = gw_arena_strdup(run->with.arena, text);
    run->cells = gw_arena_alloc(run->with.arena, GW_CASE_COLUMNS_MAX + 1, sizeof *run->cells);
    if (copy == NULL || run->cells == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a row");
    }
    const char *marks = strchr(text, ',') != NULL ? ",|" : " \t|";
    size_t count = 0;
    while (count <= GW_CASE_COLUMNS_MAX) {
        copy += strspn(copy, strchr(text, ',') != NULL ? " \t" : marks);
        if (*copy == '\0') {
            break;
        }
        char *end = copy + strcspn(copy, marks);
        char *next = *end == '\0' ? end : end + 1;
        *end = '\0';
        for (char *last = end; last > copy && (last[-1] == ' ' || last[-1] == '\t');) {
            *--last = '\0';
        }
        run->cells[count++] = copy;
        copy = next;
    }
    if (count != run->it->column_count) {
        return gw_fail(err, GW_ERR_SYNTAX, NULL, "found %zu cells, expected %zu as in `columns`",
                       count, run->it->column_count);
    }
    return GW_OK;
}

static gw_status with_arena(runner *run, const gw_case_row *row, gw_err *err)
{
    run->with.arena = gw_arena_create(0);
    if (run->with.arena == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a case");
    }
    run->row = row == NULL ? NULL : row->text;
    run->line = row == NULL ? run->it->line : row->line;
    run->cells = NULL;
    gw_err local = {0};
    if (row != NULL && cut_cells(run, row->text, &local) != GW_OK) {
        tell(run, row->line, local.text);
    } else {
        run_once(run);
    }
    gw_arena_destroy(run->with.arena);
    return GW_OK;
}

static gw_status run_case(runner *run, gw_err *err)
{
    run->verb = gw_check_find_verb(run->it->when);
    if (run->verb == NULL) {
        char message[256];
        snprintf(message, sizeof message,
                 "found \"when %s\", expected a verb (list them with --verbs)", run->it->when);
        tell(run, run->it->when_line, message);
        return GW_OK;
    }
    if (!names_are_known(run)) {
        return GW_OK;
    }
    gw_status st = run->it->row_count == 0 ? with_arena(run, NULL, err) : GW_OK;
    for (size_t r = 0; r < run->it->row_count && st == GW_OK; ++r) {
        st = with_arena(run, &run->it->rows[r], err);
    }
    return st;
}

static void tell_unused(const runner *run)
{
    for (size_t s = 0; s < run->file->shared_count; ++s) {
        for (size_t i = 0; i < run->file->shared[s].count; ++i) {
            const gw_case_line *at = &run->file->shared[s].at[i];
            if (at->used == NULL || *at->used == 0) {
                char message[256];
                snprintf(message, sizeof message,
                         "found \"given %s\" before the cases, expected a case that takes it",
                         at->name);
                tell(run, at->line, message);
            }
        }
    }
}

gw_status gw_case_run(const gw_case_file *file, gw_units *units, const gw_case_listener *to,
                      gw_err *err)
{
    runner run = {.file = file, .to = to, .with = {.units = units}};
    for (size_t i = 0; i < file->count; ++i) {
        run.it = &file->cases[i];
        const gw_status st = run_case(&run, err);
        if (st != GW_OK) {
            return st;
        }
    }
    tell_unused(&run);
    return GW_OK;
}
