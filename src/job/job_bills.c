// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Tables of the fuel bills.
#include "job/job_priv.h"

#include <stdio.h>

#define BILL(member) GW_FORM_AT(gw_job_bill, member)
#define BILLS(member) GW_FORM_AT(gw_job_bills, member)

static const char *const KIND_WORDS[] = {"use", "meter", "deliveries"}; // as gw_bills_kind

// clang-format off
static const gw_form_field BILL_FIELDS[] = {
    {BILL(date), .type = GW_FORM_DATE, REQUIRED, .doc = "Day of the delivery, of the reading, or to which the use counts."},
    {BILL(quantity), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(0, 1e7), REQUIRED, .doc = "In the fuel's unit as sold: used since the bill before, the meter's register, or put into the tank."},
    {BILL(partial), .type = GW_FORM_YES_NO, DEFAULT(0), .doc = "A delivery that did not fill the tank to its usual mark."},
};

static const gw_form BILL_FORM = {
    .name = "bill",
    .doc = "One bill, reading or delivery.",
    .size = sizeof(gw_job_bill),
    ROWS(BILL_FIELDS),
};

static const gw_form_field BILLS_FIELDS[] = {
    {BILLS(fuel), .type = GW_FORM_ID, .table = "fuels.csv", .column = "key", REQUIRED, .doc = "What was burnt."},
    {BILLS(kind), .type = GW_FORM_CHOICE, WORDS(KIND_WORDS), DEFAULT(GW_BILLS_DELIVERIES), .doc = "What the quantities are."},
    {BILLS(efficiency_frac), QUANTITY(FRACTION), LIMITS(0.1, 6), USUAL(0.5, 4), REQUIRED, .doc = "Heat to the house over energy in the fuel, of the season; above 1 for a heat pump."},
    {BILLS(list), .type = GW_FORM_LIST, .form = &BILL_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_job_bills, count), .least = 2, .most = GW_BILLS_MOST, REQUIRED, .doc = "In order of date."},
    {BILLS(balance_degc), QUANTITY(TEMPERATURE), LIMITS(0, 30), USUAL(8, 20), NOT_GIVEN, .doc = "Outdoor temperature below which the house needs heat, where it is known; left out, fitted."},
    {BILLS(base_w), QUANTITY(POWER), LIMITS(0, 50000), NOT_GIVEN, .doc = "Heat that does not depend on the weather, such as hot water by the same fuel, where it is known; left out, fitted."},
};
// clang-format on

static void finish_bills(gw_form_reader *reader, void *object)
{
    gw_job_bills *const bills = object;
    double energy_mj = 0.0;
    const gw_form_cell cell = {"fuels.csv", "key", bills->fuel, "energy_mj"};
    if (gw_form_lookup(reader, &cell, &energy_mj)) {
        bills->energy_j = 1e6 * energy_mj;
    }
    for (size_t i = 1; i < bills->count; i++) {
        char path[64];
        char before[16];
        char after[16];
        if (gw_date_compare(bills->list[i - 1].date, bills->list[i].date) >= 0) {
            snprintf(path, sizeof path, "list[%zu].date", i);
            gw_form_complain(reader, GW_ERR_RANGE, path,
                             "found %s, expected a day after %s of the bill before",
                             gw_date_print(bills->list[i].date, after, sizeof after),
                             gw_date_print(bills->list[i - 1].date, before, sizeof before));
        }
        if (bills->kind == GW_BILLS_METER &&
            bills->list[i].quantity < bills->list[i - 1].quantity) {
            snprintf(path, sizeof path, "list[%zu].quantity", i);
            gw_form_complain(reader, GW_ERR_RANGE, path,
                             "found %g, expected at least %g: a meter counts up",
                             bills->list[i].quantity, bills->list[i - 1].quantity);
        }
    }
}

const gw_form GW_JOB_PRIV_BILLS = {
    .name = "bills",
    .doc = "What the house burnt, to hold against its components.",
    .rules = "Dates ascend; a meter counts up.",
    .size = sizeof(gw_job_bills),
    ROWS(BILLS_FIELDS),
    .finish = finish_bills,
};
