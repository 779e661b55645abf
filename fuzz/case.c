// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Files of published values: the reader, and of every case its numbers and tolerances.
#include "fuzz.h"

#include "case_file.h"
#include "case_value.h"

#include <string.h>

static gw_units *units;

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    units = gw_units_create(NULL);
    return units != NULL ? 0 : 1;
}

static void read_lines(const gw_case_context *with, const gw_case_lines *lines)
{
    for (size_t i = 0; i < lines->count; i++) {
        gw_err err = {0};
        gw_status st = GW_OK;
        gw_case_numbers numbers;
        gw_case_tolerance tolerance;
        for (int kind = 0; kind <= GW_QTY_TEMPERATURE; kind++) {
            st = gw_case_read_numbers(with, kind, lines->at[i].text, &numbers, &err);
            fuzz_must(st == GW_OK || err.text[0] != '\0', "refused without a word");
        }
        st = gw_case_read_tolerance(lines->at[i].text, &tolerance, &err);
        fuzz_must(st == GW_OK || err.text[0] != '\0', "refused without a word");
        (void)gw_case_read_band(with, GW_QTY_LENGTH, lines->at[i].text, &tolerance, &st, &err);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    gw_arena *const arena = gw_arena_create(FUZZ_ARENA_BYTES);
    gw_err err = {0};
    gw_case_file file;
    const gw_case_context with = {arena, units};
    const char *const text = gw_arena_strndup(arena, (const char *)data, length);
    if (text != NULL && gw_case_read(arena, "a.case", text, &file, &err) == GW_OK) {
        for (size_t i = 0; i < file.count; i++) {
            read_lines(&with, &file.cases[i].givens);
            read_lines(&with, &file.cases[i].expects);
            read_lines(&with, &file.cases[i].withins);
        }
    }
    gw_arena_destroy(arena);
    return 0;
}
