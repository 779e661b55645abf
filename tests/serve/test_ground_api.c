// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Ground temperatures over HTTP are those of the library.
#include "client.h"

#include "design/ground_map.h"
#include "job/node.h"

#include <math.h>

static const char *village(void)
{
    FILE *const file = fopen(GW_SOURCE_DIR "/examples/village.json", "rb");
    ck_assert_ptr_nonnull(file);
    char *const text = gw_arena_alloc(arena, 65536, 1);
    ck_assert_uint_lt(fread(text, 1, 65535, file), 65535);
    fclose(file);
    return text;
}

static const char *body_with(const char *rest)
{
    return gw_arena_printf(arena, "{\"note\": \"\xc3\xa9\\\\\", \"job\": %s, %s}", village(), rest);
}

static const gw_node *read_json(const answer *a)
{
    const gw_node *root = NULL;
    ck_ok(gw_node_read(arena, a->body, a->length, &root, &err));
    return root;
}

// One value of a base64 text of 16-bit numbers.
static double value_of(const char *text, size_t index)
{
    static const char LETTERS[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    unsigned byte[2];
    for (size_t b = 0; b < 2; b++) {
        const size_t at = 2 * index + b;
        unsigned three = 0;
        for (size_t k = 0; k < 4; k++) {
            const char *const letter = strchr(LETTERS, text[at / 3 * 4 + k]);
            three = three << 6 | (letter != NULL ? (unsigned)(letter - LETTERS) : 0U);
        }
        byte[b] = three >> (16 - 8 * (at % 3)) & 255U;
    }
    const int value = (int)(byte[0] | byte[1] << 8);
    return (value > 32767 ? value - 65536 : value) / 100.0;
}

static const gw_design *design_here(void)
{
    gw_units *const units = gw_units_create(&err);
    const char *const text = village();
    const gw_job_source source = {
        .arena = arena, .units = units, .text = text, .length = strlen(text)};
    const gw_job *job = NULL;
    gw_form_report report;
    ck_ok(gw_job_read(&source, &job, &report, &err));
    gw_units_destroy(units);
    const gw_design *design = NULL;
    ck_ok(gw_design_run(arena, &(gw_design_input){.job = job}, &design, &err));
    return design;
}

START_TEST(map_is_that_of_the_library)
{
    const answer a =
        post("/api/ground",
             body_with("\"loop\": 0, \"depth_m\": 2, \"nx\": 7, \"ny\": 5, \"months\": [5, 300]"));
    ck_status(a, 200);
    const gw_node *const root = read_json(&a);
    const gw_node *const maps = gw_node_member(root, "centidegc");
    ck_assert_uint_eq(maps->count, 2);
    ck_assert_uint_eq(strlen(maps->items[0].text), 96); // 70 bytes
    const gw_design *const design = design_here();
    static const size_t MONTHS[] = {5, 300};
    double degc[70];
    gw_ground_map map = {.depth_m = 2, .nx = 7, .ny = 5, .months = MONTHS, .month_count = 2};
    ck_ok(gw_design_map_ground(arena, design, 0, &map, degc, &err));
    for (size_t i = 0; i < 70; i++) {
        ck_assert_double_lt(fabs(value_of(maps->items[i / 35].text, i % 35) - degc[i]), 0.0051);
    }
    const gw_node *const months = gw_node_member(root, "months");
    ck_assert(gw_node_deepest(months, "[0].calendar_month")->number == 2);
    ck_assert(gw_node_deepest(months, "[1].year")->number == 26);
    ck_assert(gw_node_member(root, "east_m")->number == map.east_m);
}
END_TEST

START_TEST(section_is_that_of_the_library)
{
    const answer a = post(
        "/api/ground", body_with("\"loop\": 1, \"months\": [17], \"section\": {\"from\": [0, "
                                 "22], \"to\": [18, 22], \"deep_m\": 20, \"nx\": 6, \"nz\": 4}"));
    ck_status(a, 200);
    const gw_node *const root = read_json(&a);
    ck_assert(gw_node_member(root, "length_m")->number == 18);
    const size_t month = 17;
    double degc[24];
    const gw_ground_section section = {.from = {0, 22},
                                       .to = {18, 22},
                                       .deep_m = 20,
                                       .nx = 6,
                                       .nz = 4,
                                       .months = &month,
                                       .month_count = 1};
    ck_ok(gw_design_section_ground(arena, design_here(), 1, &section, degc, &err));
    const char *const text = gw_node_member(root, "centidegc")->items[0].text;
    for (size_t i = 0; i < 24; i++) {
        ck_assert_double_lt(fabs(value_of(text, i) - degc[i]), 0.0051);
    }
}
END_TEST

static const struct {
    const char *rest;
    int status;
    const char *piece;
} BAD[] = {
    {"\"loop\": 9, \"depth_m\": 2, \"nx\": 7, \"ny\": 5, \"months\": [5]", 400, "\"loop\""},
    {"\"depth_m\": 2, \"nx\": 7, \"ny\": 5, \"months\": [5]", 400, "\"loop\""},
    {"\"loop\": 0, \"nx\": 7, \"ny\": 5, \"months\": [5]", 400, "\"depth_m\""},
    {"\"loop\": 0, \"depth_m\": -2, \"nx\": 7, \"ny\": 5, \"months\": [5]", 400, "depth_m"},
    {"\"loop\": 0, \"depth_m\": 2, \"nx\": 0, \"ny\": 5, \"months\": [5]", 400, "\"nx\""},
    {"\"loop\": 0, \"depth_m\": 2, \"nx\": 7, \"ny\": 5.5, \"months\": [5]", 400, "\"ny\""},
    {"\"loop\": 0, \"depth_m\": 2, \"nx\": 7, \"ny\": 5, \"months\": []", 400, "\"months\""},
    {"\"loop\": 0, \"depth_m\": 2, \"nx\": 7, \"ny\": 5, \"months\": [-1]", 400, "\"months\""},
    {"\"loop\": 0, \"depth_m\": 2, \"nx\": 7, \"ny\": 5, \"months\": [360]", 400, "below 360"},
    {"\"loop\": 0, \"depth_m\": 2, \"nx\": 7, \"ny\": 5, \"months\": \"all\"", 400, "\"months\""},
    {"\"loop\": 0, \"depth_m\": 2, \"nx\": 7, \"ny\": 5, \"months\": [1], \"box\": {}", 400,
     "west_m"},
    {"\"loop\": 0, \"months\": [1], \"section\": {\"from\": [0], \"to\": [1, 1]}", 400, "from"},
};

START_TEST(bad_requests_are_told)
{
    const answer a = post("/api/ground", body_with(BAD[_i].rest));
    ck_status(a, BAD[_i].status);
    ck_has(a.body, BAD[_i].piece);
}
END_TEST

START_TEST(job_is_looked_at_as_everywhere)
{
    ck_status(post("/api/ground", "{"), 400);
    ck_status(post("/api/ground", "{\"months\": [1], \"loop\": 0, \"depth_m\": 1, \"nx\": 2, "
                                  "\"ny\": 2, \"job\": 7}"),
              400);
    const answer a = post("/api/ground", "{\"months\": [1], \"loop\": 0, \"depth_m\": 1, \"nx\": "
                                         "2, \"ny\": 2, \"job\": {\"name\": \"}\\\"{\"}}");
    ck_status(a, 422);
    ck_has(a.body, "groundwright");
    ck_status(post("/api/ground",
                   body_with("\"loop\": 0, \"depth_m\": 2, \"nx\": 400, \"ny\": 400, \"months\": "
                             "[1,2,3,4,5,6,7,8,9,10,11,12,13,14,15,16,17,18,19,20,21,22,23,24,25,"
                             "26]")),
              400);
    ck_status(get("/api/ground"), 405);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("serve ground");
    TCase *const tc = tcase_create("ground");
    tcase_add_checked_fixture(tc, open_server, close_server);
    tcase_set_timeout(tc, 300);
    tcase_add_test(tc, map_is_that_of_the_library);
    tcase_add_test(tc, section_is_that_of_the_library);
    tcase_add_loop_test(tc, bad_requests_are_told, 0, (int)(sizeof BAD / sizeof BAD[0]));
    tcase_add_test(tc, job_is_looked_at_as_everywhere);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
