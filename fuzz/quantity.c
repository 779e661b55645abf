// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Quantities as text. What is taken is finite, and written in SI it reads back to the same number.
#include "fuzz.h"

#include "base/quantity.h"
#include "base/text.h"

#include <math.h>
#include <string.h>

static gw_units *units;

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    gw_err err = {0};
    units = gw_units_create(&err);
    fuzz_must(units != NULL, "%s", err.text);
    return 0;
}

static void go_round(gw_quantity_kind kind, double si)
{
    enum { ROOM = 40 };
    char number[ROOM];
    char buffer[200];
    gw_err err = {0};
    double again = 0.0;
    gw_text_from_number(si, number, sizeof number);
    fuzz_must(gw_quantity_read(units, kind, number, &again, &err) == GW_OK, "%s: %s", number,
              err.text);
    fuzz_must(again >= si && again <= si, "%s gave %.17g", number, again);
    for (int system = GW_UNITS_METRIC; system <= GW_UNITS_IMPERIAL; system++) {
        gw_quantity_print(kind, (gw_unit_system)system, si, buffer, sizeof buffer);
        fuzz_must(memchr(buffer, '\0', sizeof buffer) != NULL, "no end");
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    if (length == 0) {
        return 0;
    }
    const gw_quantity_kind kind = (gw_quantity_kind)(data[0] % GW_QTY_COUNT);
    char *const text = malloc(length);
    if (text == NULL) {
        return 0;
    }
    memcpy(text, data + 1, length - 1);
    text[length - 1] = '\0';
    gw_err err = {0};
    double si = 0.0;
    if (gw_quantity_read(units, kind, text, &si, &err) == GW_OK) {
        fuzz_must(isfinite(si), "%s", text);
        go_round(kind, si);
    } else {
        fuzz_must(err.text[0] != '\0', "refused without a word");
    }
    free(text);
    return 0;
}
