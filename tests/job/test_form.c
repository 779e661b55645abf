// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The engine by itself, on a small document of its own.
#include "job/form.h"
#include "money/program.h"

#include "harness.h"

#include <stdio.h>
#include <string.h>

// ---------------------------------------------------------------- a document about boats

typedef struct {
    double length_m;
    int masts;
} hull;

typedef enum { CALM, ROUGH } sea;

typedef struct {
    const char *name;
    double speed_m_s;
    double load_frac;
    double draught_m; // derived
    size_t crew;
    double age;
    gw_money price;
    bool leaks;
    sea water;
    gw_date launched;
    const char *pipe;
    hull main;
    hull spare;         // optional, in place
    const hull *tender; // optional, pointed
    hull floats[3];     // in place
    size_t float_count;
    const hull *barges;
    size_t barge_count;
    double monthly[3];
    const double *depths_m;
    size_t depth_count;
} boat;

static const char *const SEAS[] = {"calm", "rough"};

#define HULL(member) GW_FORM_AT(hull, member)
#define BOAT(member) GW_FORM_AT(boat, member)

// clang-format off
static const gw_form_field HULL_ROWS[] = {
    {HULL(length_m), .type = GW_FORM_QUANTITY, .kind = GW_QTY_LENGTH, .lowest = 1, .highest = 100, .usual_low = 3, .usual_high = 30, .presence = GW_FORM_REQUIRED, .doc = "Over all."},
    {HULL(masts), .type = GW_FORM_WHOLE, .store = GW_FORM_STORE_INT, .lowest = 0, .highest = 5, .presence = GW_FORM_DEFAULT, .fallback = 1, .doc = "Masts."},
};
static const gw_form HULL_FORM = {.name = "hull", .doc = "A hull.", .size = sizeof(hull), .fields = HULL_ROWS, .field_count = 2};

static const gw_form_field BOAT_ROWS[] = {
    {BOAT(name), .type = GW_FORM_TEXT, .least = 1, .presence = GW_FORM_REQUIRED, .doc = "Name."},
    {BOAT(speed_m_s), .type = GW_FORM_QUANTITY, .kind = GW_QTY_VELOCITY, .lowest = 0, .highest = 50, .open_below = true, .presence = GW_FORM_DEFAULT, .fallback = 2.5, .doc = "Speed."},
    {BOAT(load_frac), .type = GW_FORM_QUANTITY, .kind = GW_QTY_FRACTION, .lowest = 0, .highest = 1, .presence = GW_FORM_OPTIONAL, .fallback = GW_FORM_NOT_GIVEN, .doc = "Load."},
    {BOAT(draught_m), .type = GW_FORM_QUANTITY, .kind = GW_QTY_LENGTH, .lowest = 0.1, .highest = 20, .presence = GW_FORM_OPTIONAL, .derived = true, .doc = "Draught."},
    {BOAT(crew), .type = GW_FORM_WHOLE, .store = GW_FORM_STORE_SIZE, .lowest = 1, .highest = 30, .presence = GW_FORM_DEFAULT, .fallback = 2, .doc = "Crew."},
    {BOAT(age), .type = GW_FORM_WHOLE, .store = GW_FORM_STORE_DOUBLE, .lowest = 0, .highest = 200, .presence = GW_FORM_OPTIONAL, .fallback = -1, .doc = "Age."},
    {BOAT(price), .type = GW_FORM_MONEY, .lowest = 0, .highest = 1e6, .presence = GW_FORM_DEFAULT, .fallback = 10.25, .doc = "Price."},
    {BOAT(leaks), .type = GW_FORM_YES_NO, .presence = GW_FORM_DEFAULT, .fallback = 1, .doc = "Leaks."},
    {BOAT(water), .type = GW_FORM_CHOICE, .words = SEAS, .word_count = 2, .presence = GW_FORM_DEFAULT, .fallback = ROUGH, .doc = "Sea."},
    {BOAT(launched), .type = GW_FORM_DATE, .presence = GW_FORM_OPTIONAL, .doc = "Day."},
    {BOAT(pipe), .type = GW_FORM_ID, .table = "pipes.csv", .column = "id", .presence = GW_FORM_DEFAULT, .fallback_text = "1in-dr11", .doc = "Bilge pipe."},
    {BOAT(main), .type = GW_FORM_OBJECT, .form = &HULL_FORM, .presence = GW_FORM_REQUIRED, .doc = "Hull."},
    {BOAT(spare), .type = GW_FORM_OBJECT, .form = &HULL_FORM, .presence = GW_FORM_OPTIONAL, .doc = "Spare."},
    {BOAT(tender), .type = GW_FORM_OBJECT, .form = &HULL_FORM, .home = GW_FORM_POINTED, .presence = GW_FORM_OPTIONAL, .doc = "Tender."},
    {BOAT(floats), .type = GW_FORM_LIST, .form = &HULL_FORM, .home = GW_FORM_IN_PLACE, .count_offset = offsetof(boat, float_count), .most = 3, .presence = GW_FORM_OPTIONAL, .doc = "Floats."},
    {BOAT(barges), .type = GW_FORM_LIST, .form = &HULL_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(boat, barge_count), .most = 3, .presence = GW_FORM_OPTIONAL, .doc = "Barges."},
    {BOAT(monthly), .type = GW_FORM_NUMBERS, .kind = GW_QTY_NUMBER, .lowest = -9, .highest = 9, .home = GW_FORM_IN_PLACE, .count_offset = GW_FORM_NO_COUNT, .least = 3, .most = 3, .presence = GW_FORM_OPTIONAL, .doc = "Use."},
    {BOAT(depths_m), .type = GW_FORM_NUMBERS, .kind = GW_QTY_LENGTH, .lowest = 0, .highest = 90, .home = GW_FORM_POINTED, .count_offset = offsetof(boat, depth_count), .most = 9, .presence = GW_FORM_OPTIONAL, .doc = "Depths."},
};
// clang-format on

static void finish_boat(gw_form_reader *reader, void *object)
{
    const boat *const b = object;
    if (!gw_form_has(reader, "draught_m")) {
        gw_form_settle(reader, NULL, "draught_m", 0.1 * b->main.length_m);
    }
    if (b->tender != NULL && b->tender->length_m > b->main.length_m) {
        gw_form_complain(reader, GW_ERR_GEOMETRY, "tender.length_m", "longer than the boat");
    }
    if (b->leaks && b->barge_count > 1) {
        gw_form_warn(reader, "barges[1]", "a leaky boat tows %zu barges", b->barge_count);
    }
    gw_form_lookup(reader, &(gw_form_cell){"pipes.csv", "id", b->pipe, "outer_diameter_m"},
                   &(double){0.0});
}

static const gw_form BOAT_FORM = {.name = "boat",
                                  .doc = "A boat.",
                                  .rules = "A tender is shorter than its boat.",
                                  .size = sizeof(boat),
                                  .fields = BOAT_ROWS,
                                  .field_count = sizeof BOAT_ROWS / sizeof BOAT_ROWS[0],
                                  .finish = finish_boat};

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

static gw_status read_boat(const char *text, boat *out, gw_form_report *report)
{
    const gw_form_source source = {
        .arena = arena, .units = units, .form = &BOAT_FORM, .text = text, .length = strlen(text)};
    return gw_form_read(&source, out, report, NULL);
}

static const char FULL[] =
    "{\"name\": \"Tern \\\"II\\\"\\n\\u00e9\", \"speed_m_s\": \"6 ft/s\", \"load_frac\": \"40 "
    "%\",\n"
    " \"draught_m\": 1.25, \"crew\": 4, \"age\": 12, \"price\": 1999.99, \"leaks\": false,\n"
    " \"water\": \"calm\", \"launched\": \"1996-02-29\", \"pipe\": \"3/4in-dr11\",\n"
    " \"main\": {\"length_m\": \"30 ft\", \"masts\": 2}, \"spare\": {\"length_m\": 4},\n"
    " \"tender\": {\"length_m\": 3, \"masts\": 0},\n"
    " \"floats\": [{\"length_m\": 5}, {\"length_m\": 6}], \"barges\": [{\"length_m\": 7}],\n"
    " \"monthly\": [1, -2.5, 3], \"depths_m\": [10, \"20 ft\"]}";

START_TEST(every_type_is_read_into_its_member)
{
    boat b;
    gw_form_report report;
    ck_assert_int_eq(read_boat(FULL, &b, &report), GW_OK);
    ck_assert_str_eq(b.name, "Tern \"II\"\n\xc3\xa9");
    ck_close(b.speed_m_s, 1.8288, 1e-12);
    ck_close(b.load_frac, 0.4, 1e-12);
    ck_assert(b.draught_m == 1.25);
    ck_assert_uint_eq(b.crew, 4);
    ck_assert(b.age == 12.0);
    ck_assert_int_eq(b.price.cents, 199999);
    ck_assert(!b.leaks && b.water == CALM);
    ck_assert(b.launched.year == 1996 && b.launched.month == 2 && b.launched.day == 29);
    ck_assert_str_eq(b.pipe, "3/4in-dr11");
    ck_close(b.main.length_m, 9.144, 1e-12);
    ck_assert_int_eq(b.main.masts, 2);
    ck_assert_int_eq(b.spare.masts, 1);
    ck_assert_ptr_nonnull(b.tender);
    ck_assert_int_eq(b.tender->masts, 0);
    ck_assert_uint_eq(b.float_count, 2);
    ck_assert(b.floats[1].length_m == 6.0);
    ck_assert_uint_eq(b.barge_count, 1);
    ck_assert(b.monthly[1] == -2.5);
    ck_assert_uint_eq(b.depth_count, 2);
    ck_close(b.depths_m[1], 6.096, 1e-12);
    ck_assert_uint_eq(report.warnings.count, 0);
}
END_TEST

START_TEST(what_is_left_out_takes_its_default_and_is_listed)
{
    boat b;
    gw_form_report report;
    ck_assert_int_eq(read_boat("{\"name\": \"Gull\", \"main\": {\"length_m\": 8}}", &b, &report),
                     GW_OK);
    ck_assert(b.speed_m_s == 2.5 && b.crew == 2 && b.price.cents == 1025 && b.leaks);
    ck_assert(b.load_frac == GW_FORM_NOT_GIVEN && b.age == -1.0 && b.water == ROUGH);
    ck_assert_str_eq(b.pipe, "1in-dr11");
    ck_assert(b.tender == NULL && b.barges == NULL && b.float_count == 0);
    ck_close(b.draught_m, 0.8, 1e-12);
    static const char *const WANT[][2] = {
        {"speed_m_s", "2.5"}, {"crew", "2"},          {"price", "10.25"},
        {"leaks", "true"},    {"water", "\"rough\""}, {"pipe", "\"1in-dr11\""},
        {"main.masts", "1"},  {"draught_m", "0.8"},
    };
    ck_assert_uint_eq(report.default_count, sizeof WANT / sizeof WANT[0]);
    for (size_t i = 0; i < report.default_count; i++) {
        ck_assert_str_eq(report.defaults[i].path, WANT[i][0]);
        ck_assert_str_eq(report.defaults[i].text, WANT[i][1]);
        ck_assert(report.defaults[i].field->doc[0] != '\0');
    }
}
END_TEST

static const char *write_boat(const boat *b, const gw_form_given *given)
{
    const char *text = NULL;
    ck_assert_int_eq(gw_form_write(arena, &BOAT_FORM, b, given, &text, NULL), GW_OK);
    return text;
}

START_TEST(written_text_reads_back_to_the_same_text_and_values)
{
    static const char *const TEXTS[] = {
        FULL, "{\"name\": \"Gull\", \"main\": {\"length_m\": 8}}",
        "{\"name\": \"x\", \"main\": {\"length_m\": 8, \"masts\": 1}, \"speed_m_s\": 2.5, "
        "\"leaks\": true, \"floats\": [], \"depths_m\": []}"};
    for (size_t i = 0; i < 3; i++) {
        boat first;
        boat second;
        gw_form_report report;
        gw_form_report again;
        ck_assert_int_eq(read_boat(TEXTS[i], &first, &report), GW_OK);
        const char *const text = write_boat(&first, &report.given);
        ck_assert_int_eq(read_boat(text, &second, &again), GW_OK);
        ck_assert_str_eq(write_boat(&second, &again.given), text);
        ck_assert(first.speed_m_s == second.speed_m_s &&
                  first.main.length_m == second.main.length_m &&
                  first.price.cents == second.price.cents && first.draught_m == second.draught_m);
        ck_assert_uint_eq(report.default_count, again.default_count);
        ck_assert_uint_eq(report.given.count, again.given.count);
    }
}
END_TEST

START_TEST(given_values_are_written_even_where_they_equal_the_default)
{
    boat b;
    gw_form_report report;
    ck_assert_int_eq(
        read_boat("{\"name\": \"x\", \"main\": {\"length_m\": 8}, \"crew\": 2}", &b, &report),
        GW_OK);
    const char *const text = write_boat(&b, &report.given);
    ck_assert_ptr_nonnull(strstr(text, "\"crew\": 2"));
    ck_assert_ptr_null(strstr(text, "speed_m_s"));
    ck_assert_ptr_null(strstr(text, "draught_m"));
    // A copy has no memory of what was given: only what differs is written, derived values too.
    const boat copy = b;
    const char *const other = write_boat(&copy, &report.given);
    ck_assert_ptr_null(strstr(other, "crew"));
    ck_assert_ptr_nonnull(strstr(other, "\"draught_m\": 0.8"));
}
END_TEST

START_TEST(unusual_values_and_rules_warn_without_refusing)
{
    boat b;
    gw_form_report report;
    ck_assert_int_eq(read_boat("{\"name\": \"x\", \"main\": {\"length_m\": \"150 ft\"},\n"
                               "\"barges\": [{\"length_m\": 8},\n {\"length_m\": 9}]}",
                               &b, &report),
                     GW_OK);
    ck_assert_uint_eq(report.warnings.count, 2);
    ck_assert_str_eq(report.warnings.items[0].field, "main.length_m");
    ck_assert_int_eq(report.warnings.items[0].line, 1);
    ck_assert_ptr_nonnull(
        strstr(report.warnings.items[0].text, "\"150 ft\" (45.72 m) is possible but unusual"));
    ck_assert_str_eq(report.warnings.items[1].field, "barges[1]");
    ck_assert_int_eq(report.warnings.items[1].line, 3);
    ck_assert_int_eq(report.warnings.items[1].column, 2);
}
END_TEST

START_TEST(a_rule_between_members_points_at_the_member)
{
    boat b;
    gw_form_report report;
    ck_assert_int_eq(read_boat("{\"name\": \"x\", \"main\": {\"length_m\": 8},\n"
                               "  \"tender\": {\"masts\": 1,\n   \"length_m\": 9}}",
                               &b, &report),
                     GW_ERR_GEOMETRY);
    ck_assert_str_eq(report.errors.items[0].field, "tender.length_m");
    ck_assert_int_eq(report.errors.items[0].line, 3);
    ck_assert_int_eq(report.errors.items[0].column, 16);
}
END_TEST

START_TEST(a_fixed_list_must_have_its_length)
{
    boat b;
    gw_form_report report;
    ck_assert_int_eq(
        read_boat("{\"name\": \"x\", \"main\": {\"length_m\": 8}, \"monthly\": [1, 2]}", &b,
                  &report),
        GW_ERR_RANGE);
    ck_assert_int_eq(read_boat("{\"name\": \"x\", \"main\": {\"length_m\": 8}, \"floats\": "
                               "[{\"length_m\": 8},{\"length_m\": 8},{\"length_m\": 8},"
                               "{\"length_m\": 8}]}",
                               &b, &report),
                     GW_ERR_RANGE);
    ck_assert_str_eq(report.errors.items[0].field, "floats");
}
END_TEST

START_TEST(limits_are_closed_unless_the_row_says_open)
{
    boat b;
    gw_form_report report;
    ck_assert_int_eq(read_boat("{\"name\": \"x\", \"main\": {\"length_m\": 1}}", &b, &report),
                     GW_OK);
    ck_assert_int_eq(read_boat("{\"name\": \"x\", \"main\": {\"length_m\": 100}}", &b, &report),
                     GW_OK);
    ck_assert_int_eq(read_boat("{\"name\": \"x\", \"main\": {\"length_m\": 100.001}}", &b, &report),
                     GW_ERR_RANGE);
    ck_assert_int_eq(
        read_boat("{\"name\": \"x\", \"main\": {\"length_m\": 8}, \"speed_m_s\": 0}", &b, &report),
        GW_ERR_RANGE);
}
END_TEST

START_TEST(faulty_tables_are_found)
{
    ck_assert_int_eq(gw_form_check_tables(&BOAT_FORM, NULL), GW_OK);
    gw_form_field rows[2] = {HULL_ROWS[0], HULL_ROWS[1]};
    const gw_form form = {.name = "hull", .size = sizeof(hull), .fields = rows, .field_count = 2};
    gw_err err = {0};
    rows[1].key = rows[0].key;
    ck_assert_int_ne(gw_form_check_tables(&form, &err), GW_OK);
    ck_assert_str_eq(err.field, "hull.length_m");
    rows[1] = HULL_ROWS[1];
    rows[1].doc = "no full stop";
    ck_assert_int_ne(gw_form_check_tables(&form, NULL), GW_OK);
    rows[1] = HULL_ROWS[1];
    rows[1].fallback = 9;
    ck_assert_int_ne(gw_form_check_tables(&form, NULL), GW_OK);
    rows[1] = HULL_ROWS[1];
    rows[0].usual_high = 200;
    ck_assert_int_ne(gw_form_check_tables(&form, NULL), GW_OK);
    rows[0] = HULL_ROWS[0];
    rows[0].presence = GW_FORM_OPTIONAL;
    rows[0].fallback = 5; // a possible value cannot mean "not given"
    ck_assert_int_ne(gw_form_check_tables(&form, NULL), GW_OK);
}
END_TEST

START_TEST(running_out_of_memory_anywhere_is_reported)
{
    size_t n = 0;
    for (;; n++) {
        gw_arena *const small = gw_arena_create(0);
        gw_arena_fail_after(small, n);
        boat b;
        gw_form_report report;
        const char *text = NULL;
        const gw_form_source source = {.arena = small,
                                       .units = units,
                                       .form = &BOAT_FORM,
                                       .text = FULL,
                                       .length = sizeof FULL - 1};
        gw_status st = gw_form_read(&source, &b, &report, NULL);
        if (st == GW_OK) {
            st = gw_form_write(small, &BOAT_FORM, &b, &report.given, &text, NULL);
        }
        gw_arena_destroy(small);
        if (st == GW_OK) {
            break;
        }
        ck_assert_int_eq(st, GW_ERR_NOMEM);
        ck_assert_uint_lt(n, 2000);
    }
    ck_assert_uint_gt(n, 20);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("form");
    TCase *const tcase = tcase_create("all");
    tcase_add_unchecked_fixture(tcase, open_all, close_all);
    tcase_add_test(tcase, every_type_is_read_into_its_member);
    tcase_add_test(tcase, what_is_left_out_takes_its_default_and_is_listed);
    tcase_add_test(tcase, written_text_reads_back_to_the_same_text_and_values);
    tcase_add_test(tcase, given_values_are_written_even_where_they_equal_the_default);
    tcase_add_test(tcase, unusual_values_and_rules_warn_without_refusing);
    tcase_add_test(tcase, a_rule_between_members_points_at_the_member);
    tcase_add_test(tcase, a_fixed_list_must_have_its_length);
    tcase_add_test(tcase, limits_are_closed_unless_the_row_says_open);
    tcase_add_test(tcase, faulty_tables_are_found);
    tcase_add_test(tcase, running_out_of_memory_anywhere_is_reported);
    suite_add_tcase(suite, tcase);
    return harness_run(suite);
}
