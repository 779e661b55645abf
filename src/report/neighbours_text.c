// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "report/neighbours_text.h"

enum { WIDTH = 100 };

static void place(gw_prose *text, const gw_design_on_lot *on)
{
    if (on->placing != NULL) {
        gw_prose_wrap(text, 2, WIDTH,
                      gw_arena_printf(text->arena, "On the lot: %s; %s.", on->placing,
                                      on->shares.text != NULL ? on->shares.text : ""));
    }
    if (on->has_header) {
        gw_prose_add(text, "  Header trench from the house: %s over allowed ground.\n",
                     gw_prose_quantity(text, GW_QTY_LENGTH, on->header.length_m));
    }
}

static void row(gw_prose *text, const gw_design_neighbour *n)
{
    static const char *const WORDS[] = {"holds", "mind this", "FAILS"};
    gw_prose_add(text, "  %s", WORDS[n->fails ? 2 : n->mind ? 1 : 0]);
    gw_prose_pad(text, 13);
    gw_prose_add(text, "%.36s", n->name);
    const struct {
        size_t column;
        gw_quantity_kind kind;
        double value;
    } cells[] = {{51, GW_QTY_LENGTH, n->distance_m},
                 {61, GW_QTY_LENGTH, n->at.z_m},
                 {70, GW_QTY_TEMPERATURE, n->coldest.degc},
                 {81, GW_QTY_TEMPERATURE, n->coldest_without.degc},
                 {92, GW_QTY_TEMPERATURE_DIFFERENCE, n->greatest_drop_k}};
    for (size_t i = 0; i < sizeof cells / sizeof cells[0]; i++) {
        gw_prose_pad(text, cells[i].column);
        gw_prose_add(text, "%s", gw_prose_quantity(text, cells[i].kind, cells[i].value));
    }
    gw_prose_add(text, "\n");
    if (n->fails || n->mind) {
        gw_prose_wrap(text, 15, WIDTH, n->because);
    }
}

void gw_report_neighbours(gw_prose *text, const gw_design *design)
{
    const size_t index = design->best < design->loop_count ? design->best : 0;
    const gw_design_loop *const loop = &design->loops[index];
    if (loop->on_lot == NULL) {
        return;
    }
    gw_prose_add(text, "\nNeighbours of %s\n--------------", loop->name);
    for (const char *c = loop->name; *c != '\0'; c++) {
        gw_prose_add(text, (*c & 0xC0) != 0x80 ? "-" : "");
    }
    gw_prose_add(text, "\n");
    place(text, loop->on_lot);
    if (loop->neighbours.count == 0) {
        gw_prose_add(text, "  Nothing on the lot is watched.\n");
        return;
    }
    static const struct {
        size_t column;
        const char *title;
    } TITLES[] = {{51, "away"}, {61, "deep"}, {70, "coldest"}, {81, "without"}, {92, "lowered"}};
    for (size_t i = 0; i < sizeof TITLES / sizeof TITLES[0]; i++) {
        gw_prose_pad(text, TITLES[i].column);
        gw_prose_add(text, "%s", TITLES[i].title);
    }
    gw_prose_add(text, "\n");
    for (size_t i = 0; i < loop->neighbours.count; i++) {
        row(text, &loop->neighbours.items[i]);
    }
    gw_prose_wrap(text, 2, WIDTH,
                  "Ground temperature where the loop lowers it most, coldest day of the horizon, "
                  "with the heat of the last simulated year in every year. A septic bed's own "
                  "warmth and ice at the pipes are not counted: both make the ground warmer than "
                  "it says here.");
}
