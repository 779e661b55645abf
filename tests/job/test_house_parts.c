// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Assemblies, attic, rooms, ducts and bills in a job: what is read, what comes back, what is
// refused.
#include "house/assembly.h"
#include "job/job.h"

#include "harness.h"

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

// Line numbers of the cases below count in this text.
static const char GOOD[] =
    "{\"groundwright\": 1, \"name\": \"Test\",\n"
    " \"site\": {\"station\": \"halifax\", \"usable_length_m\": 60, \"usable_width_m\": 30},\n"
    " \"house\": {\"floor_area_m2\": 180, \"sky\": \"perez\", \"window_opening_ach\": 3,\n"
    "  \"rooms\": [{\"name\": \"up\", \"floor_area_m2\": 90}, {\"name\": \"down\", "
    "\"floor_area_m2\": 90}],\n"
    "  \"envelope\": [\n"
    "   {\"name\": \"walls\", \"kind\": \"wall\", \"area_m2\": 150, \"assembly\": {\"ready\": "
    "\"wall-2x6-r20\"}},\n"
    "   {\"name\": \"gable\", \"kind\": \"wall\", \"area_m2\": 20, \"room\": \"up\", "
    "\"assembly\": {\"layers\": [\n"
    "     {\"material\": \"gypsum-board\"},\n"
    "     {\"material\": \"batt-r20\", \"member\": \"softwood\", \"member_frac\": \"23 %\"},\n"
    "     {\"material\": \"osb\", \"thickness_m\": \"11.1 mm\"},\n"
    "     {\"material\": \"vinyl-siding\"}]}},\n"
    "   {\"name\": \"ceiling\", \"kind\": \"roof\", \"area_m2\": 90, \"insulation_m2k_w\": 7,\n"
    "    \"attic\": {\"roof_area_m2\": 110, \"roof_insulation_m2k_w\": 0.35}},\n"
    "   {\"name\": \"glass\", \"kind\": \"window\", \"area_m2\": 20, \"insulation_m2k_w\": "
    "\"R-3\"}],\n"
    "  \"ducts\": {\"air_flow_m3_s\": \"1200 cfm\", \"supply_area_m2\": 20}},\n"
    " \"bills\": {\"fuel\": \"heating_oil\", \"efficiency_frac\": 0.78, \"list\": [\n"
    "   {\"date\": \"2023-10-01\", \"quantity\": 500},\n"
    "   {\"date\": \"2023-12-01\", \"quantity\": 700},\n"
    "   {\"date\": \"2024-02-01\", \"quantity\": 900, \"partial\": true}]},\n"
    " \"loops\": [{\"name\": \"a\", \"kind\": \"bores\", \"bores\": {\"count\": 4, "
    "\"diameter_m\": 0.15}}]}\n";

static gw_status read(const char *text, const gw_job **job, gw_form_report *report, gw_err *err)
{
    const gw_job_source source = {
        .arena = arena, .units = units, .text = text, .length = strlen(text)};
    return gw_job_read(&source, job, report, err);
}

static const gw_job *good(void)
{
    gw_form_report report;
    const gw_job *job = NULL;
    gw_err err = {0};
    ck_assert_msg(read(GOOD, &job, &report, &err) == GW_OK, "line %d %s: %s", err.line, err.field,
                  err.text);
    return job;
}

START_TEST(assemblies_become_resistances)
{
    const gw_job *const job = good();
    const gw_house_component *const walls = &job->house.envelope[0];
    const gw_house_component *const gable = &job->house.envelope[1];
    // 2x6 studs 23 % with RSI 3.52: 2.43 (National Building Code of Canada, from memory), board,
    // sheathing, siding and films 0.448.
    ck_assert_double_eq_tol(walls->insulation_m2k_w, 2.43 + 0.448, 0.01);
    ck_close(gable->insulation_m2k_w, walls->insulation_m2k_w, 1e-12);
    ck_assert_str_eq(walls->assembly->ready, "wall-2x6-r20");
    ck_assert_uint_eq(gable->assembly->layer_count, 4);
    ck_assert_str_eq(gable->room, "up");
    ck_assert_double_eq(job->house.envelope[2].attic.volume_m3, 90.0);
    ck_assert_double_eq(job->house.envelope[2].attic.air_changes_h, 5.0);
    ck_close(job->house.ducts.air_flow_m3_s, 1200.0 * 0.3048 * 0.3048 * 0.3048 / 60.0, 1e-9);
    ck_assert_double_eq(job->house.ducts.insulation_m2k_w, 0.7);
    ck_assert_int_eq(job->house.sky, GW_HOUSE_SKY_PEREZ);
    ck_assert_double_eq(job->house.window_opening_ach, 3.0);
    ck_assert_uint_eq(job->house.room_count, 2);
}
END_TEST

START_TEST(bills_bring_their_fuel_s_energy)
{
    const gw_job *const job = good();
    ck_assert_ptr_nonnull(job->bills);
    ck_assert_uint_eq(job->bills->count, 3);
    ck_close(job->bills->energy_j, 38.2e6, 1e-12); // data/fuels.csv
    ck_assert(job->bills->list[2].partial && !job->bills->list[1].partial);
    ck_assert(!gw_job_is_given(job->bills->balance_degc));
}
END_TEST

START_TEST(the_document_comes_back_the_same)
{
    gw_form_report report;
    const gw_job *back = NULL;
    const char *text = NULL;
    const char *again = NULL;
    const gw_job *const job = good();
    ck_assert_int_eq(gw_job_write(arena, job, &text, NULL), GW_OK);
    ck_assert_ptr_null(strstr(text, "\"insulation_m2k_w\": 2."));
    ck_assert_int_eq(read(text, &back, &report, NULL), GW_OK);
    ck_assert_int_eq(gw_job_write(arena, back, &again, NULL), GW_OK);
    ck_assert_str_eq(again, text);
    // A copy writes the resistance beside the assembly that it comes from: understood.
    const gw_job copy = *job;
    ck_assert_int_eq(gw_job_write(arena, &copy, &text, NULL), GW_OK);
    gw_err err = {0};
    ck_assert_msg(read(text, &back, &report, &err) == GW_OK, "%s: %s", err.field, err.text);
    ck_close(back->house.envelope[0].insulation_m2k_w, job->house.envelope[0].insulation_m2k_w,
             1e-12);
}
END_TEST

typedef struct {
    const char *find;
    const char *put;
    gw_status status;
    const char *path;
    int line;
    const char *piece;
} bad;

// clang-format off
static const bad BAD[] = {
    {"\"insulation_m2k_w\": 7,", "", GW_ERR_MISSING, "house.envelope[2].insulation_m2k_w", 12, "no \"assembly\""},
    {"\"area_m2\": 150,", "\"area_m2\": 150, \"insulation_m2k_w\": 3,", GW_ERR_KEY, "house.envelope[0].insulation_m2k_w", 6, "found both"},
    {"\"wall-2x6-r20\"", "\"wall-2x6-r21\"", GW_ERR_KEY, "house.envelope[0].assembly.ready", 6, "did you mean"},
    {"{\"ready\": \"wall-2x6-r20\"}", "{}", GW_ERR_MISSING, "house.envelope[0].assembly.layers", 6, "neither"},
    {"{\"ready\": \"wall-2x6-r20\"}", "{\"ready\": \"wall-2x6-r20\", \"layers\": [{\"material\": \"osb\"}]}", GW_ERR_KEY, "house.envelope[0].assembly.layers", 6, "both"},
    {"{\"material\": \"gypsum-board\"}", "{\"material\": \"gypsum-bored\"}", GW_ERR_KEY, "house.envelope[1].assembly.layers[0].material", 8, "did you mean \"gypsum-board\"?"},
    {"\"member\": \"softwood\", ", "", GW_ERR_MISSING, "house.envelope[1].assembly.layers[1].member_frac", 9, "together"},
    {"\"member\": \"softwood\"", "\"member\": \"steel\"", GW_ERR_RANGE, "house.envelope[1].assembly.layers[1].member", 9, "is no wood"},
    {"\"23 %\"", "\"123 %\"", GW_ERR_RANGE, "house.envelope[1].assembly.layers[1].member_frac", 9, "0 to 0.95"},
    {"\"11.1 mm\"", "\"11.1 m\"", GW_ERR_RANGE, "house.envelope[1].assembly.layers[2].thickness_m", 10, "found"},
    {"\"area_m2\": 20, \"insulation_m2k_w\": \"R-3\"", "\"area_m2\": 20, \"assembly\": {\"ready\": \"slab-bare\"}", GW_ERR_RANGE, "house.envelope[3].assembly.layers", 14, "tested resistance"},
    {"\"kind\": \"roof\"", "\"kind\": \"wall\"", GW_ERR_KEY, "house.envelope[2].attic", 13, "found \"attic\" of a wall"},
    {"\"room\": \"up\"", "\"room\": \"loft\"", GW_ERR_KEY, "house.envelope[1].room", 7, "no room \"loft\""},
    {"{\"name\": \"down\",", "{\"name\": \"up\",", GW_ERR_KEY, "house.rooms[1].name", 4, "each its own"},
    {"\"1200 cfm\"", "\"1200 W\"", GW_ERR_UNIT, "house.ducts.air_flow_m3_s", 15, "dimension"},
    {"\"perez\"", "\"blue\"", GW_ERR_KEY, "house.sky", 3, "isotropic"},
    {"\"heating_oil\"", "\"heating-oil\"", GW_ERR_KEY, "bills.fuel", 16, "did you mean"},
    {"\"2023-12-01\"", "\"2023-09-30\"", GW_ERR_RANGE, "bills.list[1].date", 18, "expected a day after 2023-10-01"},
    {"\"2023-12-01\"", "\"2023-10-01\"", GW_ERR_RANGE, "bills.list[1].date", 18, "expected a day after"},
    {"\"2023-12-01\"", "\"2023-02-29\"", GW_ERR_RANGE, "bills.list[1].date", 18, "2023-02-29"},
    {"\"quantity\": 700", "\"quantity\": -700", GW_ERR_RANGE, "bills.list[1].quantity", 18, "found -700"},
    {"\"heating_oil\",", "\"heating_oil\", \"kind\": \"meter\", ", GW_ERR_RANGE, "bills.list[2].quantity", 19, "counts up"},
    {"0.78", "\"7.8 %\"", GW_ERR_RANGE, "bills.efficiency_frac", 16, "0.1 to 6"},
};
// clang-format on

START_TEST(bad_parts_are_told_by_path_and_line)
{
    const bad *const b = &BAD[_i];
    char text[8192];
    const char *const at = strstr(GOOD, b->find);
    ck_assert_msg(at != NULL, "%s is not in the document", b->find);
    snprintf(text, sizeof text, "%.*s%s%s", (int)(at - GOOD), GOOD, b->put, at + strlen(b->find));
    if (strcmp(b->find, "\"heating_oil\",") == 0) { // a register that falls
        char *const nine = strstr(text, "900");
        memcpy(nine, "600", 3);
    }
    gw_form_report report;
    const gw_job *job = NULL;
    gw_err err = {0};
    const gw_status st = read(text, &job, &report, &err);
    ck_assert_msg(st == b->status, "case %d: status %d, %s: %s", _i, (int)st, err.field, err.text);
    ck_assert_str_eq(err.field, b->path);
    ck_assert_msg(err.line == b->line, "case %d: line %d", _i, err.line);
    ck_assert_msg(strstr(err.text, b->piece) != NULL, "case %d: %s", _i, err.text);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("job/house_parts");
    TCase *const cases = tcase_create("all");
    tcase_add_checked_fixture(cases, open_all, close_all);
    tcase_add_test(cases, assemblies_become_resistances);
    tcase_add_test(cases, bills_bring_their_fuel_s_energy);
    tcase_add_test(cases, the_document_comes_back_the_same);
    tcase_add_loop_test(cases, bad_parts_are_told_by_path_and_line, 0,
                        (int)(sizeof BAD / sizeof BAD[0]));
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
