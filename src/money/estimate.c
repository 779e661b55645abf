// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "money/estimate.h"

#include <stdbool.h>
#include <stddef.h>
#include <string.h>

// Quantities beyond this are taken as slips of the pen.
#define QUANTITY_LIMIT 1e7

typedef struct {
    const char *field;
    const char *key;
    size_t offset;
} field_row;

static const field_row fields[] = {
#define X(field, key) {#field, key, offsetof(gw_estimate_quantities, field)},
    GW_ESTIMATE_FIELD_LIST(X)
#undef X
};
enum { FIELD_COUNT = sizeof fields / sizeof fields[0] };

// Keys of what lies in the ground and lives as long as the loop.
static const char *const ground_families[] = {"drilling.", "bore.",         "trench.", "header.",
                                              "pond.",     "well.drilling", "pipe.",   "fluid."};
enum { GROUND_COUNT = sizeof ground_families / sizeof ground_families[0] };

static bool in_ground(const char *key)
{
    for (size_t i = 0; i < GROUND_COUNT; i++) {
        if (strncmp(key, ground_families[i], strlen(ground_families[i])) == 0) {
            return true;
        }
    }
    return false;
}

static const gw_estimate_quantity *field_at(const gw_estimate_quantities *quantities, size_t i)
{
    const char *const base = (const char *)quantities;
    return (const gw_estimate_quantity *)(const void *)(base + fields[i].offset);
}

static gw_status check_amount(const char *field, double amount, gw_err *err)
{
    if (!(amount >= 0.0 && amount <= QUANTITY_LIMIT)) {
        return gw_fail(err, GW_ERR_RANGE, field, "quantity %s %.6g must be 0 to %.0f", field,
                       amount, QUANTITY_LIMIT);
    }
    return GW_OK;
}

static gw_status check_quantities(const gw_estimate_quantities *quantities, gw_err *err)
{
    gw_status st = GW_OK;
    for (size_t i = 0; i < FIELD_COUNT && st == GW_OK; i++) {
        st = check_amount(fields[i].field, field_at(quantities, i)->amount, err);
    }
    for (size_t i = 0; i < quantities->item_count && st == GW_OK; i++) {
        st = check_amount(quantities->items[i].key, quantities->items[i].amount, err);
    }
    if (st == GW_OK && quantities->trench_m.amount > 0.0 &&
        quantities->excavation_m3.amount > 0.0) {
        return gw_fail(err, GW_ERR_RANGE, "excavation_m3",
                       "give trench_m or excavation_m3, not both: digging would count twice");
    }
    return st;
}

static gw_status price_amount(const gw_price_row *row, double quantity, gw_money_range *out,
                              gw_err *err)
{
    gw_status st = gw_money_from_rate(row->low, quantity, &out->low, err);
    if (st == GW_OK) {
        st = gw_money_from_rate(row->typical, quantity, &out->typical, err);
    }
    if (st == GW_OK) {
        st = gw_money_from_rate(row->high, quantity, &out->high, err);
    }
    return st;
}

static void add_range(gw_money_range *sum, gw_money_range amount)
{
    sum->low = gw_money_add(sum->low, amount.low);
    sum->typical = gw_money_add(sum->typical, amount.typical);
    sum->high = gw_money_add(sum->high, amount.high);
}

// One line; a quantity of zero adds none.
static gw_status add_line(const gw_price_book *book, const gw_estimate_item *item,
                          gw_estimate_line *lines, gw_estimate *out, gw_err *err)
{
    if (item->amount <= 0.0) {
        return GW_OK;
    }
    const gw_price_row *row = NULL;
    gw_status st = gw_price_book_find(book, item->key, &row, err);
    if (st != GW_OK) {
        return st;
    }
    gw_estimate_line *const line = &lines[out->line_count];
    *line = (gw_estimate_line){
        .key = row->key,
        .what = row->what,
        .quantity = item->amount,
        .unit = row->unit,
        .unit_price = row->typical,
        .origin = item->origin == NULL ? "not stated" : item->origin,
        .price_source = row->source,
    };
    st = price_amount(row, item->amount, &line->amount, err);
    if (st == GW_OK) {
        out->line_count++;
        add_range(&out->subtotal, line->amount);
        if (in_ground(row->key)) {
            add_range(&out->ground, line->amount);
        }
    }
    return st;
}

static gw_status scale_range(gw_money_range base, const gw_price_row *share, gw_money_range *out,
                             gw_err *err)
{
    gw_status st = gw_money_scale(base.low, share->low, &out->low, err);
    if (st == GW_OK) {
        st = gw_money_scale(base.typical, share->typical, &out->typical, err);
    }
    if (st == GW_OK) {
        st = gw_money_scale(base.high, share->high, &out->high, err);
    }
    return st;
}

static gw_status close_estimate(const gw_price_book *book, gw_estimate *out, gw_err *err)
{
    const gw_price_row *contingency = NULL, *tax = NULL;
    gw_status st = gw_price_book_find(book, "share.contingency", &contingency, err);
    if (st == GW_OK) {
        st = gw_price_book_find(book, "share.tax", &tax, err);
    }
    if (st == GW_OK) {
        st = scale_range(out->subtotal, contingency, &out->contingency, err);
    }
    if (st != GW_OK) {
        return st;
    }
    gw_money_range taxed = out->subtotal;
    add_range(&taxed, out->contingency);
    st = scale_range(taxed, tax, &out->tax, err);
    out->contingency_frac = contingency->typical;
    out->tax_frac = tax->typical;
    out->total = taxed;
    add_range(&out->total, out->tax);
    return st;
}

gw_status gw_estimate_build(gw_arena *arena, const gw_price_book *book,
                            const gw_estimate_quantities *quantities, gw_estimate *out, gw_err *err)
{
    gw_estimate result = {0};
    gw_status st = check_quantities(quantities, err);
    if (st != GW_OK) {
        return st;
    }
    gw_estimate_line *const lines =
        gw_arena_alloc(arena, FIELD_COUNT + quantities->item_count, sizeof *lines);
    if (lines == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "estimate", "out of memory for the estimate");
    }
    for (size_t i = 0; i < FIELD_COUNT && st == GW_OK; i++) {
        const gw_estimate_quantity *const q = field_at(quantities, i);
        const gw_estimate_item item = {fields[i].key, q->amount, q->origin};
        st = add_line(book, &item, lines, &result, err);
    }
    for (size_t i = 0; i < quantities->item_count && st == GW_OK; i++) {
        st = add_line(book, &quantities->items[i], lines, &result, err);
    }
    if (st == GW_OK) {
        result.lines = lines;
        st = close_estimate(book, &result, err);
    }
    if (st == GW_OK) {
        *out = result;
    }
    return st;
}

double gw_estimate_ground_share(const gw_estimate *estimate)
{
    return gw_money_ratio(estimate->ground.typical, estimate->subtotal.typical);
}
