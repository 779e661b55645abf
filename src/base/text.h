// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Numbers and names as text, independent of the host's locale.
#ifndef GW_TEXT_H
#define GW_TEXT_H

#include <stdbool.h>
#include <stddef.h>

// Reads one finite decimal number that fills the whole of text[0..length). No hexadecimal, no
// "inf", no "nan", no surrounding blanks. Returns false otherwise and leaves *out alone.
bool gw_text_to_number(const char *text, size_t length, double *out);

// Shortest decimal text that reads back to the same double, at most 17 significant digits.
// Returns the number of characters written (without NUL). `size` must be at least 32.
size_t gw_text_from_number(double value, char *buffer, size_t size);

// Number of single-letter edits (insert, delete, replace, swap of neighbours) between two names;
// letter case is ignored. Names longer than 63 characters count as far apart.
size_t gw_text_distance(const char *a, const char *b);

// Index of the nearest of `count` names, or `count` when none is close enough to be a likely
// slip of the pen (distance over a third of the length, at least 2).
size_t gw_text_nearest(const char *name, const char *const *names, size_t count);

#endif
