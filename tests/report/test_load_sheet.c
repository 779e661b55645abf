// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The load sheet adds up, agrees with the design's own numbers, and says what bills are worth.
#include "report/load_sheet.h"

#include "harness.h"
#include "job/starter.h"

#include <jansson.h>
#include <stdio.h>
#include <string.h>

static gw_units *units;
static gw_arena *arena;

static void open_all(void)
{
    units = gw_units_create(NULL);
    arena = gw_arena_create(0);
    ck_assert(units != NULL && arena != NULL);
}

static void close_all(void)
{
    gw_arena_destroy(arena);
    gw_units_destroy(units);
}

static gw_job *starter(void)
{
    const char *const text = gw_job_starter();
    const gw_job_source source = {
        .arena = arena, .units = units, .text = text, .length = strlen(text)};
    gw_form_report report;
    const gw_job *job = NULL;
    gw_err err = {0};
    ck_assert_msg(gw_job_read(&source, &job, &report, &err) == GW_OK, "%s: %s", err.field,
                  err.text);
    gw_job *const copy = gw_arena_alloc(arena, 1, sizeof *copy);
    *copy = *job;
    return copy;
}

static gw_load_sheet sheet_of(const gw_job *job)
{
    gw_load_sheet sheet;
    gw_err err = {0};
    ck_assert_msg(gw_load_sheet_run(arena, &(gw_load_sheet_input){.job = job}, &sheet, &err) ==
                      GW_OK,
                  "%s: %s", err.field, err.text);
    return sheet;
}

START_TEST(months_and_rows_add_up)
{
    const gw_load_sheet s = sheet_of(starter());
    double heating_j = 0.0;
    double cooling_j = 0.0;
    double loss_w = 0.0;
    for (int m = 0; m < 12; m++) {
        heating_j += s.heating_j[m];
        cooling_j += s.cooling_j[m];
    }
    for (size_t i = 0; i < s.design.row_count; i++) {
        loss_w += s.design.rows[i].loss_w;
    }
    ck_close(heating_j, s.year.heating_j, 1e-9);
    ck_close(cooling_j, s.year.cooling_j, 1e-9);
    ck_close(loss_w, s.design.loss_w, 1e-9);
    ck_assert(s.weather_made && s.has_open && !s.bills.given);
    ck_assert_double_lt(s.open_cooling_j, s.year.cooling_j);
}
END_TEST

// Deliveries that a house of the sheet's own loss would have needed, a month each over two years:
// the bills are fitted and agree with the components; of a house half as lossy they do not.
static gw_job_bills *made_bills(const gw_load_sheet *s, double share)
{
    enum { COUNT = 25 };
    static const int DAYS[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    gw_job_bill *const list = gw_arena_alloc(arena, COUNT, sizeof *list);
    gw_job_bills *const bills = gw_arena_alloc(arena, 1, sizeof *bills);
    for (int i = 0; i < COUNT; i++) {
        list[i].date = (gw_date){2022 + i / 12, i % 12 + 1, 1};
        const double heat_j = i == 0 ? 0.0 : s->heating_j[(i - 1) % 12];
        list[i].quantity =
            (share * heat_j + 300.0 * 86400.0 * DAYS[(i + 11) % 12]) / (38.2e6 * 0.8);
    }
    *bills = (gw_job_bills){.fuel = "heating_oil",
                            .energy_j = 38.2e6,
                            .kind = GW_BILLS_USE,
                            .efficiency_frac = 0.8,
                            .list = list,
                            .count = COUNT,
                            .balance_degc = GW_FORM_NOT_GIVEN,
                            .base_w = GW_FORM_NOT_GIVEN};
    return bills;
}

START_TEST(bills_of_the_same_house_agree_with_its_components)
{
    gw_job *const job = starter();
    const gw_load_sheet plain = sheet_of(job);
    job->bills = made_bills(&plain, 1.0);
    const gw_load_sheet s = sheet_of(job);
    ck_assert_msg(s.bills.fitted, "%s", s.bills.why.text);
    ck_assert_msg(s.bills.comparison.ratio > 0.8 && s.bills.comparison.ratio < 1.2, "%s",
                  s.bills.comparison.sentence);
    job->bills = made_bills(&plain, 0.5);
    const gw_load_sheet half = sheet_of(job);
    ck_close(half.bills.fit.ua_w_k.value, 0.5 * s.bills.fit.ua_w_k.value, 0.02);
    ck_assert(!half.bills.comparison.agree);
}
END_TEST

START_TEST(bills_that_say_nothing_are_told_and_the_sheet_stands)
{
    gw_job *const job = starter();
    const gw_load_sheet plain = sheet_of(job);
    gw_job_bills *const bills = made_bills(&plain, 1.0);
    bills->count = 2;
    job->bills = bills;
    const gw_load_sheet s = sheet_of(job);
    ck_assert(s.bills.given && !s.bills.fitted && s.bills.why.text[0] != '\0');
    const char *text = NULL;
    ck_assert_int_eq(gw_load_sheet_text(arena, &s, GW_UNITS_METRIC, &text, NULL), GW_OK);
    ck_assert_ptr_nonnull(strstr(text, "The bills cannot be used"));
}
END_TEST

START_TEST(text_and_json_hold_the_same_numbers)
{
    gw_job *const job = starter();
    const gw_load_sheet plain = sheet_of(job);
    job->bills = made_bills(&plain, 1.0);
    gw_house_room rooms[2] = {{.name = "up", .floor_area_m2 = 60.0},
                              {.name = "down", .floor_area_m2 = 100.0}};
    job->house.rooms = rooms;
    job->house.room_count = 2;
    const gw_load_sheet s = sheet_of(job);
    const char *text = NULL;
    const char *json = NULL;
    char buffer[64];
    ck_assert_int_eq(gw_load_sheet_text(arena, &s, GW_UNITS_IMPERIAL, &text, NULL), GW_OK);
    ck_assert_int_eq(gw_load_sheet_json(arena, &s, &json, NULL), GW_OK);
    const char *const loss =
        gw_quantity_print(GW_QTY_POWER, GW_UNITS_IMPERIAL, s.design.loss_w, buffer, sizeof buffer);
    ck_assert_msg(strstr(text, loss) != NULL, "no %s in\n%s", loss, text);
    ck_assert(strstr(text, "Room by room") != NULL && strstr(text, "What the bills say") != NULL);
    json_t *const root = json_loads(json, 0, NULL);
    ck_assert_ptr_nonnull(root);
    ck_assert_double_eq(json_number_value(json_object_get(root, "loss_w")), s.design.loss_w);
    ck_assert_uint_eq(json_array_size(json_object_get(root, "components")), s.design.row_count);
    ck_assert_uint_eq(json_array_size(json_object_get(root, "rooms")), 2);
    ck_assert_uint_eq(json_array_size(json_object_get(root, "heating_month_j")), 12);
    json_t *const bills = json_object_get(root, "bills");
    ck_assert_str_eq(json_string_value(json_object_get(bills, "sentence")),
                     s.bills.comparison.sentence);
    json_decref(root);
}
END_TEST

START_TEST(no_memory_is_reported)
{
    const gw_job *const job = starter();
    gw_load_sheet sheet;
    const gw_load_sheet_input input = {.job = job};
    for (size_t after = 0; after < 12; after += 2) {
        gw_arena_fail_after(arena, after);
        ck_assert_int_eq(gw_load_sheet_run(arena, &input, &sheet, NULL), GW_ERR_NOMEM);
    }
    gw_arena_fail_after(arena, (size_t)-1);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("report/load_sheet");
    TCase *const cases = tcase_create("all");
    tcase_set_timeout(cases, 60);
    tcase_add_checked_fixture(cases, open_all, close_all);
    tcase_add_test(cases, months_and_rows_add_up);
    tcase_add_test(cases, bills_of_the_same_house_agree_with_its_components);
    tcase_add_test(cases, bills_that_say_nothing_are_told_and_the_sheet_stands);
    tcase_add_test(cases, text_and_json_hold_the_same_numbers);
    tcase_add_test(cases, no_memory_is_reported);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
