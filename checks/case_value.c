// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "case_value.h"

#include "base/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// Length of the decimal number at the start of text; *decimals and *exponent of it. 0: no number.
static size_t number_length(const char *text, int *decimals, int *exponent)
{
    size_t i = text[0] == '-' || text[0] == '+' ? 1 : 0;
    const size_t whole = strspn(text + i, "0123456789");
    size_t part = 0;
    i += whole;
    if (text[i] == '.') {
        part = strspn(text + i + 1, "0123456789");
        i += 1 + part;
    }
    *decimals = (int)part;
    *exponent = 0;
    if (whole + part == 0) {
        return 0;
    }
    if (text[i] == 'e' || text[i] == 'E') {
        const size_t sign = text[i + 1] == '-' || text[i + 1] == '+' ? 1 : 0;
        const size_t digits = strspn(text + i + 1 + sign, "0123456789");
        if (digits > 0) {
            *exponent = (int)strtol(text + i + 1, NULL, 10);
            i += 1 + sign + digits;
        }
    }
    return i;
}

static bool all_numbers(const char *text)
{
    double number = 0.0;
    while (*text != '\0') {
        const size_t length = strcspn(text, " \t");
        if (!gw_text_to_number(text, length, &number)) {
            return false;
        }
        text += length;
        text += strspn(text, " \t");
    }
    return true;
}

static const char *trim(char *text)
{
    text += strspn(text, " \t");
    size_t end = strlen(text);
    while (end > 0 && strchr(" \t", text[end - 1]) != NULL) {
        text[--end] = '\0';
    }
    return text;
}

gw_status gw_case_split(const gw_case_context *with, const char *text, const char ***texts,
                        size_t *count, gw_err *err)
{
    const char *marks = strchr(text, ',') != NULL ? "," : all_numbers(text) ? " \t" : "";
    char *copy = gw_arena_strdup(with->arena, text);
    *texts = gw_arena_alloc(with->arena, strlen(text) + 1, sizeof **texts);
    if (copy == NULL || *texts == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for values");
    }
    *count = 0;
    while (*copy != '\0') {
        char *end = copy + strcspn(copy, marks);
        char *next = *end == '\0' ? end : end + 1;
        *end = '\0';
        (*texts)[*count] = trim(copy);
        if ((*texts)[*count][0] != '\0') {
            ++*count;
        }
        copy = next;
    }
    return GW_OK;
}

static gw_status read_one(const gw_case_context *with, int kind, const char *text, double *number,
                          double *last_half, gw_err *err)
{
    gw_status st = gw_quantity_read(with->units, (gw_quantity_kind)kind, text, number, err);
    int decimals = 0, exponent = 0;
    const size_t length = number_length(text, &decimals, &exponent);
    *last_half = 0.0;
    if (st != GW_OK || length == 0) {
        return st;
    }
    double written = 0.0, moved = 0.0;
    if (!gw_text_to_number(text, length, &written)) {
        return GW_OK;
    }
    const double half = 0.5 * pow(10.0, exponent - decimals);
    const char *other = gw_arena_printf(with->arena, "%.17g%s", written + half, text + length);
    if (other == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for values");
    }
    st = gw_quantity_read(with->units, (gw_quantity_kind)kind, other, &moved, err);
    *last_half = fabs(moved - *number);
    return st;
}

gw_status gw_case_read_numbers(const gw_case_context *with, int kind, const char *text,
                               gw_case_numbers *out, gw_err *err)
{
    const char **texts = NULL;
    gw_status st = gw_case_split(with, text, &texts, &out->count, err);
    if (st != GW_OK) {
        return st;
    }
    out->numbers = gw_arena_alloc(with->arena, out->count, sizeof *out->numbers);
    out->last_half = gw_arena_alloc(with->arena, out->count, sizeof *out->last_half);
    if (out->numbers == NULL || out->last_half == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for values");
    }
    for (size_t i = 0; i < out->count && st == GW_OK; ++i) {
        st = read_one(with, kind, texts[i], &out->numbers[i], &out->last_half[i], err);
    }
    return st;
}

gw_status gw_case_read_tolerance(const char *text, gw_case_tolerance *out, gw_err *err)
{
    static const struct {
        const char *word;
        gw_case_tolerance_kind kind;
        double factor;
    } words[] = {{"relative", GW_CASE_RELATIVE, 1.0},
                 {"absolute", GW_CASE_ABSOLUTE, 1.0},
                 {"%", GW_CASE_RELATIVE, 0.01}};
    if (strcmp(text, "the printed digits") == 0) {
        *out = (gw_case_tolerance){.kind = GW_CASE_PRINTED};
        return GW_OK;
    }
    const size_t length = strcspn(text, " \t%");
    const char *word = text + length + strspn(text + length, " \t");
    double amount = 0.0;
    if (gw_text_to_number(text, length, &amount) && amount >= 0.0) {
        for (size_t i = 0; i < sizeof words / sizeof words[0]; ++i) {
            if (strcmp(word, words[i].word) == 0) {
                *out =
                    (gw_case_tolerance){.kind = words[i].kind, .amount = amount * words[i].factor};
                return GW_OK;
            }
        }
    }
    return gw_fail(err, GW_ERR_SYNTAX, NULL,
                   "found tolerance \"%s\", expected e.g. \"1e-6 relative\", \"0.05 absolute\", "
                   "\"0.5 %%\" or \"the printed digits\"",
                   text);
}

static gw_status read_edge(const gw_case_context *with, int kind, const char *text, double *out,
                           gw_err *err)
{
    return gw_quantity_read(with->units, (gw_quantity_kind)kind, text, out, err);
}

static gw_status read_between(const gw_case_context *with, int kind, const char *text,
                              gw_case_tolerance *out, gw_err *err)
{
    const char *middle = strstr(text, " and ");
    if (middle == NULL) {
        return gw_fail(err, GW_ERR_SYNTAX, NULL, "found \"between %s\", expected between A and B",
                       text);
    }
    const char *low = gw_arena_strndup(with->arena, text, (size_t)(middle - text));
    if (low == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for values");
    }
    gw_status st = read_edge(with, kind, low, &out->low, err);
    if (st == GW_OK) {
        st = read_edge(with, kind, middle + strlen(" and "), &out->high, err);
    }
    if (st == GW_OK && !(out->low < out->high)) {
        st = gw_fail(err, GW_ERR_RANGE, NULL, "found \"between %s\", expected the lower one first",
                     text);
    }
    return st;
}

bool gw_case_read_band(const gw_case_context *with, int kind, const char *text,
                       gw_case_tolerance *out, gw_status *st, gw_err *err)
{
    *out = (gw_case_tolerance){.kind = GW_CASE_BETWEEN, .low = -HUGE_VAL, .high = HUGE_VAL};
    if (strncmp(text, "between ", 8) == 0) {
        *st = read_between(with, kind, text + 8, out, err);
    } else if (strncmp(text, "at least ", 9) == 0) {
        *st = read_edge(with, kind, text + 9, &out->low, err);
    } else if (strncmp(text, "at most ", 8) == 0) {
        *st = read_edge(with, kind, text + 8, &out->high, err);
    } else {
        return false;
    }
    return true;
}

double gw_case_allowed(const gw_case_tolerance *tolerance, double expected, double last_half)
{
    switch (tolerance->kind) {
    case GW_CASE_RELATIVE:
        return tolerance->amount * fabs(expected);
    case GW_CASE_ABSOLUTE:
        return tolerance->amount;
    case GW_CASE_PRINTED:
        return last_half * (1.0 + 1e-9);
    case GW_CASE_BETWEEN:
        break;
    }
    return 0.0;
}
