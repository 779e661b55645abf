// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Hourly weather files. First byte 0: the rest is the file. Else the rest is a list of changes to a
// whole made year, one a line, "line field text" (field 36: the whole line), since no chance bytes
// make 8,760 lines. A file that is taken passes the check that every user of it relies on.
#include "fuzz.h"

#include "climate/weather.h"

#include <string.h>

enum { HEAD = 8, LINES = HEAD + GW_HOURS_PER_YEAR, FIELDS = 35, TEXT_MOST = 4 << 20 };

static char *lines[LINES]; // of the made year
static char text[TEXT_MOST];

static void make_hour(int hour)
{
    const int month = gw_weather_month_of_hour(hour);
    const int day = (hour - gw_weather_hours_before_month(month)) / 24;
    char line[256];
    snprintf(line, sizeof line,
             "2001,%d,%d,%d,60,?9?9,%d.5,%d.0,80,101325,0,0,300,100,200,80,0,0,0,0,180,3.0,5,5,20,"
             "77777,9,"
             "999999999,99,0.1,0,88,0.2,0,0",
             month + 1, day + 1, hour % 24 + 1, hour % 24 - 15, hour % 24 - 17);
    lines[HEAD + hour] = strdup(line);
}

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    lines[0] = strdup("LOCATION,Made,QC,CAN,made,000000,45.4,-71.9,-5.0,241.0");
    for (int i = 1; i < HEAD; i++) {
        lines[i] = strdup("DESIGN CONDITIONS,0");
    }
    for (int hour = 0; hour < GW_HOURS_PER_YEAR; hour++) {
        make_hour(hour);
    }
    return 0;
}

typedef struct {
    size_t line, field;
    const char *with;
    size_t length;
} edit;

// "1000 6 99.9\n"
static bool next_edit(const char **at, const char *end, edit *out)
{
    size_t numbers[2] = {0, 0};
    for (int i = 0; i < 2; i++) {
        while (*at < end && **at >= '0' && **at <= '9') {
            numbers[i] = (numbers[i] * 10 + (size_t)(**at - '0')) % 100000;
            (*at)++;
        }
        if (*at == end || **at != ' ') {
            return false;
        }
        (*at)++;
    }
    *out = (edit){.line = numbers[0] % LINES, .field = numbers[1] % (FIELDS + 2), .with = *at};
    while (*at < end && **at != '\n') {
        (*at)++;
    }
    out->length = (size_t)(*at - out->with);
    *at += *at < end ? 1 : 0;
    return true;
}

static size_t put(size_t used, const char *bytes, size_t length)
{
    if (length > TEXT_MOST - used) {
        return used;
    }
    memcpy(text + used, bytes, length);
    return used + length;
}

static size_t put_changed(size_t used, const char *line, const edit *e)
{
    if (e->field > FIELDS) {
        return put(used, e->with, e->length);
    }
    size_t field = 0;
    for (const char *s = line; *s != '\0' || field <= FIELDS;) {
        const size_t width = strcspn(s, ",");
        used = field == e->field ? put(used, e->with, e->length) : put(used, s, width);
        s += width;
        field++;
        if (*s == '\0') {
            break;
        }
        used = put(used, ",", 1);
        s++;
    }
    return used;
}

static size_t changed_year(const char *at, const char *end)
{
    enum { EDITS_MOST = 16 };
    edit edits[EDITS_MOST];
    size_t count = 0;
    while (count < EDITS_MOST && next_edit(&at, end, &edits[count])) {
        count++;
    }
    size_t used = 0;
    for (size_t i = 0; i < LINES; i++) {
        const edit *found = NULL;
        for (size_t k = 0; k < count; k++) {
            found = edits[k].line == i ? &edits[k] : found;
        }
        used = found != NULL ? put_changed(used, lines[i], found)
                             : put(used, lines[i], strlen(lines[i]));
        used = put(used, "\n", 1);
    }
    return used;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    if (length == 0) {
        return 0;
    }
    const char *const rest = (const char *)data + 1;
    const bool whole = data[0] == 0;
    const gw_weather_text file = {"a.epw", whole ? rest : text,
                                  whole ? length - 1 : changed_year(rest, rest + length - 1)};
    gw_arena *const arena = gw_arena_create(FUZZ_ARENA_BYTES);
    gw_err err = {0};
    gw_weather weather;
    if (gw_weather_read_epw(arena, file, &weather, &err) == GW_OK) {
        fuzz_must(gw_weather_check(&weather, &err) == GW_OK, "%s: %s", err.field, err.text);
    } else {
        fuzz_must(err.text[0] != '\0', "refused without a word");
    }
    gw_arena_destroy(arena);
    return 0;
}
