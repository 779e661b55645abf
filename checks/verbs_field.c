// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// g of fields of vertical bores on a grid.
#include "check.h"
#include "ground/field.h"

#include <math.h>

#define PI 3.14159265358979323846
#define DIFFUSIVITY_M2_S 1e-6 // g is without dimension: any will do

static gw_status cut_grid(gw_check_call *call, gw_field *field, gw_err *err)
{
    static const gw_cut cuts[] = {GW_CUT_EQUAL, GW_CUT_COSINE};
    const size_t columns = (size_t)gw_check_number(call, "columns");
    const size_t rows = (size_t)gw_check_number(call, "rows");
    const size_t pieces = (size_t)gw_check_number(call, "pieces");
    const double spacing_m = gw_check_number(call, "spacing_m");
    const double top_m = gw_check_number(call, "top_m");
    const double bottom_m = top_m + gw_check_number(call, "length_m");
    field->count = columns * rows * pieces;
    gw_segment *part = gw_arena_alloc(call->arena, field->count, sizeof *part);
    size_t *bore_of = gw_arena_alloc(call->arena, field->count, sizeof *bore_of);
    if (part == NULL || bore_of == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a field");
    }
    gw_status st = GW_OK;
    for (size_t b = 0; b < columns * rows && st == GW_OK; ++b) {
        const double x_m = spacing_m * (double)(b % columns);
        const double y_m = spacing_m * (double)(b / columns);
        const gw_segment bore =
            gw_segment_between((gw_position){x_m, y_m, top_m}, (gw_position){x_m, y_m, bottom_m},
                               gw_check_number(call, "radius_m"));
        st = gw_segment_cut(&bore, pieces, cuts[gw_check_choice(call, "cut")], part + b * pieces,
                            err);
        for (size_t i = 0; i < pieces; ++i) {
            bore_of[b * pieces + i] = b;
        }
    }
    field->segments = part;
    field->circuit = bore_of;
    return st;
}

static gw_status run_field_g(gw_check_call *call, gw_err *err)
{
    static const gw_field_boundary boundaries[] = {GW_FIELD_EQUAL_FLUX, GW_FIELD_CIRCUIT_FLUX,
                                                   GW_FIELD_EQUAL_TEMPERATURE};
    gw_field field = {.medium = {1.0, DIFFUSIVITY_M2_S},
                      .boundary = boundaries[gw_check_choice(call, "boundary")]};
    gw_status st = cut_grid(call, &field, err);
    size_t count = 0;
    const double *ln_times = gw_check_list(call, "ln_times", &count);
    double *work = gw_arena_alloc(call->arena, count, sizeof *work);
    if (st == GW_OK && work == NULL) {
        st = gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for times");
    }
    if (st != GW_OK) {
        return st;
    }
    const double length_m = gw_check_number(call, "length_m");
    for (size_t i = 0; i < count; ++i) {
        work[i] = exp(ln_times[i]) * length_m * length_m / (9.0 * DIFFUSIVITY_M2_S);
    }
    gw_field_step step;
    st = gw_field_step_response(call->arena, &field, &(gw_field_times){work, count}, &step, err);
    if (st == GW_OK) {
        for (size_t i = 0; i < count; ++i) {
            work[i] = 2.0 * PI * step.h_mk_w[i];
        }
        gw_check_give_list(call, "g", work, count);
        gw_check_give(call, "steady_g", 2.0 * PI * step.steady_mk_w);
    }
    return st;
}

const gw_check_verb gw_verbs_field[] = {
    {.name = "field_g",
     .what = "g of a grid of vertical bores; ln_times = ln(9 alpha t/H2)",
     .run = run_field_g,
     .givens =
         {{.name = "columns", .kind = GW_QTY_NUMBER},
          {.name = "rows", .kind = GW_QTY_NUMBER},
          {.name = "spacing_m", .kind = GW_QTY_LENGTH},
          {.name = "length_m", .kind = GW_QTY_LENGTH},
          {.name = "top_m", .kind = GW_QTY_LENGTH},
          {.name = "radius_m", .kind = GW_QTY_SMALL_LENGTH},
          {.name = "pieces", .kind = GW_QTY_NUMBER, .otherwise = "1"},
          {.name = "cut", .kind = GW_CHECK_WORD, .words = "equal|cosine", .otherwise = "equal"},
          {.name = "boundary",
           .kind = GW_CHECK_WORD,
           .words = "equal_flux|bore_flux|equal_temperature"},
          {.name = "ln_times", .kind = GW_QTY_NUMBER, .list = true}},
     .results = {{"g", GW_QTY_NUMBER}, {"steady_g", GW_QTY_NUMBER}}},
    {0},
};
