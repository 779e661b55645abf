// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/text.h"

#include <ctype.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LONGEST_NUMBER = 64, LONGEST_NAME = 63 };

// sign? digits ('.' digits?)? (e sign? digits)? or sign? '.' digits …, and nothing else.
static bool is_decimal(const char *s)
{
    size_t i = (s[0] == '+' || s[0] == '-') ? 1 : 0;
    size_t digits = 0;
    for (; isdigit((unsigned char)s[i]); i++) {
        digits++;
    }
    if (s[i] == '.') {
        for (i++; isdigit((unsigned char)s[i]); i++) {
            digits++;
        }
    }
    if (digits == 0) {
        return false;
    }
    if (s[i] == 'e' || s[i] == 'E') {
        i++;
        i += (s[i] == '+' || s[i] == '-') ? 1 : 0;
        if (!isdigit((unsigned char)s[i])) {
            return false;
        }
        while (isdigit((unsigned char)s[i])) {
            i++;
        }
    }
    return s[i] == '\0';
}

// The host may have set a locale with a decimal comma: put its own mark in place of ours.
static void swap_point(char *s, char from, char to)
{
    char *const at = strchr(s, from);
    if (at != NULL) {
        *at = to;
    }
}

static char host_point(void)
{
    const struct lconv *const conventions = localeconv();
    return conventions->decimal_point[0] != '\0' ? conventions->decimal_point[0] : '.';
}

bool gw_text_to_number(const char *text, size_t length, double *out)
{
    char copy[LONGEST_NUMBER];
    if (length == 0 || length >= sizeof copy) {
        return false;
    }
    memcpy(copy, text, length);
    copy[length] = '\0';
    if (strlen(copy) != length || !is_decimal(copy)) {
        return false;
    }
    swap_point(copy, '.', host_point());
    const double value = strtod(copy, NULL);
    if (!isfinite(value)) {
        return false;
    }
    *out = value;
    return true;
}

size_t gw_text_from_number(double value, char *buffer, size_t size)
{
    int written = 0;
    for (int digits = 15; digits <= 17; digits++) {
        written = snprintf(buffer, size, "%.*g", digits, value);
        if (strtod(buffer, NULL) == value) {
            break;
        }
    }
    swap_point(buffer, host_point(), '.');
    return written > 0 ? (size_t)written : 0;
}

static size_t smaller(size_t a, size_t b)
{
    return a < b ? a : b;
}

static bool same_letter(char a, char b)
{
    return tolower((unsigned char)a) == tolower((unsigned char)b);
}

// Optimal string alignment: Levenshtein's table with the swap of two neighbours as one edit.
size_t gw_text_distance(const char *a, const char *b)
{
    const size_t na = strlen(a);
    const size_t nb = strlen(b);
    if (na > LONGEST_NAME || nb > LONGEST_NAME) {
        return na + nb;
    }
    size_t rows[3][LONGEST_NAME + 1];
    size_t *before = rows[0];
    size_t *above = rows[1];
    size_t *here = rows[2];
    for (size_t j = 0; j <= nb; j++) {
        above[j] = j;
        before[j] = 0;
    }
    for (size_t i = 1; i <= na; i++) {
        here[0] = i;
        for (size_t j = 1; j <= nb; j++) {
            const size_t change = above[j - 1] + (same_letter(a[i - 1], b[j - 1]) ? 0 : 1);
            here[j] = smaller(change, smaller(above[j], here[j - 1]) + 1);
            if (i > 1 && j > 1 && same_letter(a[i - 1], b[j - 2]) &&
                same_letter(a[i - 2], b[j - 1])) {
                here[j] = smaller(here[j], before[j - 2] + 1);
            }
        }
        size_t *const spare = before;
        before = above;
        above = here;
        here = spare;
    }
    return above[nb];
}

size_t gw_text_nearest(const char *name, const char *const *names, size_t count)
{
    size_t best = count;
    size_t best_distance = 0;
    for (size_t i = 0; i < count; i++) {
        const size_t distance = gw_text_distance(name, names[i]);
        if (best == count || distance < best_distance) {
            best = i;
            best_distance = distance;
        }
    }
    const size_t third = strlen(name) / 3;
    const size_t limit = third > 2 ? third : 2;
    return best < count && best_distance <= limit ? best : count;
}
