// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// For tests: a whole EPW text of a simple year, and reading a real file where it is present.
#ifndef GW_EPW_TEXT_H
#define GW_EPW_TEXT_H

#include "climate/weather.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// Line number of an hour in the text: 8 header lines, then hours from 0.
static inline int epw_line_of(int hour)
{
    return 9 + hour;
}

// A year with T = -5 - 10 cos(2π h/8760) and sun from 8 to 16 h. free() the result.
static inline char *epw_text(void)
{
    char *const text = malloc(2u << 20);
    if (text == NULL) {
        abort();
    }
    size_t at =
        (size_t)sprintf(text, "LOCATION,Testville,NB,CAN,test,000000,46.00,-66.00,-4.0,50.0\n");
    for (int i = 1; i < 8; i++) {
        at += (size_t)sprintf(text + at, "HEADER LINE %d,with,commas\n", i + 1);
    }
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        const int month = gw_weather_month_of_hour(h);
        const int left = h - gw_weather_hours_before_month(month);
        const int hour = left % 24 + 1;
        const int sun = hour > 8 && hour <= 16;
        at += (size_t)sprintf(
            text + at,
            "2001,%d,%d,%d,60,flags,%.4f,%.1f,80,101000,%d,%d,300,%d,%d,%d,0,0,0,0,180,3.5,5,5,16,"
            "2000,0,999999999,10,0.1,0,88,0.2,0.0,0.0\n",
            month + 1, left / 24 + 1, hour, -5.0 - 10.0 * cos(6.283185307179586 * h / 8760.0),
            -20.0, sun ? 500 : 0, sun ? 1300 : 0, sun ? 300 : 0, sun ? 400 : 0, sun ? 100 : 0);
    }
    return text;
}

// Start of a line (1-based) in the text.
static inline char *epw_line(char *text, int line)
{
    for (int i = 1; i < line; i++) {
        text = strchr(text, '\n') + 1;
    }
    return text;
}

// Start of a field (0-based) of a line.
static inline char *epw_field(char *text, int line, int field)
{
    char *at = epw_line(text, line);
    for (int i = 0; i < field; i++) {
        at = strchr(at, ',') + 1;
    }
    return at;
}

// Replaces a field by a text that may be longer or shorter.
static inline void epw_put(char *text, int line, int field, const char *value)
{
    char *const at = epw_field(text, line, field);
    const size_t old = strcspn(at, ",\n");
    memmove(at + strlen(value), at + old, strlen(at + old) + 1);
    memcpy(at, value, strlen(value));
}

// The whole of a real hourly file, or NULL (then the test says so and passes). free() the result.
static inline char *epw_real(const char *name, size_t *length)
{
    char path[512];
    snprintf(path, sizeof path, "%s/../shared/data/weather/%s", GW_SOURCE_DIR, name);
    FILE *const file = fopen(path, "rb");
    if (file == NULL) {
        fprintf(stderr, "skipped: no hourly file %s\n", name);
        return NULL;
    }
    char *const text = malloc(4u << 20);
    if (text == NULL) {
        abort();
    }
    *length = fread(text, 1, (4u << 20) - 1, file);
    text[*length] = '\0';
    fclose(file);
    return text;
}

#endif
