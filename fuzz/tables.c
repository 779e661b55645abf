// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Comma-separated tables, and every reader that takes one. The first byte chooses the reader.
#include "fuzz.h"

#include "climate/station.h"
#include "lot/setback.h"
#include "money/alternative.h"
#include "money/fuel.h"
#include "money/price_book.h"
#include "pipes/fitting.h"
#include "pipes/size.h"
#include "plant/catalogue.h"
#include "soil/soil.h"

#include <math.h>
#include <string.h>

typedef struct {
    gw_arena *arena;
    const char *text;
    size_t length;
    gw_err *err;
} input;

static gw_status read_table(const input *in, gw_table *table)
{
    return gw_table_read(in->arena, "t.csv", in->text, in->length, table, in->err);
}

// Every cell can be asked for, as text and as a number; what is a number is finite.
static gw_status cells(const input *in)
{
    gw_table table;
    const gw_status st = read_table(in, &table);
    for (size_t i = 0; st == GW_OK && i < table.rows; i++) {
        for (size_t k = 0; k < table.columns; k++) {
            const char *text = NULL;
            double number = 0.0;
            gw_err err = {0};
            fuzz_must(gw_table_text(&table, i, table.head[k], &text, &err) == GW_OK, "%s",
                      err.text);
            if (gw_table_number(&table, i, table.head[k], &number, &err) == GW_OK) {
                fuzz_must(isfinite(number), "%s", text);
            }
        }
    }
    return st;
}

static gw_status prices(const input *in)
{
    gw_price_book own;
    gw_price_book builtin;
    gw_price_book both;
    gw_status st = gw_price_book_read(in->arena, "p.csv", in->text, in->length, &own, in->err);
    if (st == GW_OK) {
        gw_err err = {0};
        fuzz_must(gw_price_book_builtin(in->arena, &builtin, &err) == GW_OK, "%s", err.text);
        fuzz_must(gw_price_book_merge(in->arena, &own, &builtin, &both, &err) == GW_OK, "%s",
                  err.text);
    }
    return st;
}

static gw_status alternatives(const input *in)
{
    gw_alternative_list list;
    return gw_alternative_read(in->arena, "a.csv", in->text, in->length, &list, in->err);
}

static gw_status fuels(const input *in)
{
    gw_fuel_table list;
    return gw_fuel_read(in->arena, "f.csv", in->text, in->length, &list, in->err);
}

static gw_status grid(const input *in)
{
    gw_grid_table list;
    return gw_grid_read(in->arena, "g.csv", in->text, in->length, &list, in->err);
}

#define FROM_TABLE(name, type, call)                                                               \
    static gw_status name(const input *in)                                                         \
    {                                                                                              \
        gw_table table;                                                                            \
        type out;                                                                                  \
        const gw_status st = read_table(in, &table);                                               \
        return st == GW_OK ? call(in->arena, &table, &out, in->err) : st;                          \
    }

FROM_TABLE(stations, gw_stations, gw_stations_read)
FROM_TABLE(setbacks, gw_lot_rules, gw_lot_rules_read)
FROM_TABLE(fittings, gw_pipe_fittings, gw_pipes_read_fittings)
FROM_TABLE(pipes, gw_pipe_catalogue, gw_pipes_read_table)
FROM_TABLE(heat_pumps, gw_plant_catalogue, gw_plant_read_table)

static gw_status soils(const input *in)
{
    gw_table table;
    gw_status st = read_table(in, &table);
    for (size_t i = 0; st == GW_OK && i < table.rows; i++) {
        gw_soil_class found;
        st = gw_soil_class_read(&table, i, &found, in->err);
    }
    return st;
}

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    return 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    static gw_status (*const READERS[])(const input *) = {cells, prices,     alternatives, fuels,
                                                          grid,  stations,   setbacks,     fittings,
                                                          pipes, heat_pumps, soils};
    enum { COUNT = sizeof READERS / sizeof READERS[0] };
    if (length == 0) {
        return 0;
    }
    gw_err err = {0};
    const input in = {.arena = gw_arena_create(FUZZ_ARENA_BYTES),
                      .text = (const char *)data + 1,
                      .length = length - 1,
                      .err = &err};
    if (READERS[data[0] % COUNT](&in) != GW_OK) {
        fuzz_must(err.text[0] != '\0', "refused without a word");
    }
    gw_arena_destroy(in.arena);
    return 0;
}
