// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/study_json.h"

#include "desk.h"

#include <jansson.h>
#include <math.h>

static json_t *parse(const char *text)
{
    json_error_t error;
    json_t *const root = json_loads(text, 0, &error);
    ck_assert_msg(root != NULL, "%s at line %d", error.text, error.line);
    return root;
}

static double number_at(const json_t *o, const char *key)
{
    const json_t *const v = json_object_get(o, key);
    ck_assert_msg(json_is_number(v), "%s is no number", key);
    return json_number_value(v);
}

START_TEST(numbers_go_through_exactly)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_err err = {0};
    const gw_study_outcome loops[2] = {{.name = "a \"quoted\" loop, 30 °C",
                                        .done = true,
                                        .stands = true,
                                        .length_m = 1.0 / 3.0,
                                        .coldest_degc = -1.25,
                                        .installed = {123456}},
                                       {.name = "b", .ruled_out = "too long"}};
    const gw_compare c = {.loops = loops, .count = 2, .best = 0, .present = "oil"};
    const char *text = NULL;
    ck_assert_int_eq(gw_compare_write_json(arena, &c, &text, &err), GW_OK);
    json_t *const root = parse(text);
    const json_t *const first = json_array_get(json_object_get(root, "loops"), 0);
    ck_assert_str_eq(json_string_value(json_object_get(first, "name")), loops[0].name);
    ck_assert(number_at(first, "length_m") == 1.0 / 3.0);
    ck_assert(number_at(first, "installed_cents") == 123456.0);
    ck_assert(json_is_false(
        json_object_get(json_array_get(json_object_get(root, "loops"), 1), "stands")));
    json_decref(root);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(what_is_not_finite_is_null)
{
    gw_arena *const arena = gw_arena_create(0);
    gw_err err = {0};
    const gw_spread_row row = {.what = "as designed", .done = true, .drift_k = (double)NAN};
    const gw_spread s = {.loop = "x", .rows = &row, .count = 1};
    const char *text = NULL;
    ck_assert_int_eq(gw_spread_write_json(arena, &s, &text, &err), GW_OK);
    json_t *const root = parse(text);
    const json_t *const first = json_array_get(json_object_get(root, "rows"), 0);
    ck_assert(json_is_null(json_object_get(first, "drift_k")));
    ck_assert_ptr_null(strstr(text, "nan"));
    json_decref(root);
    gw_arena_destroy(arena);
}
END_TEST

START_TEST(running_out_of_memory_is_an_error_everywhere)
{
    gw_err err = {0};
    desk d;
    open_desk(&d);
    gw_job *const job = open_job(&d, "village");
    job->loop_count = 1;
    job->limits.years = 2.0;
    const gw_design_input design = {.job = job};
    for (size_t allowed = 0; allowed < 400; allowed = allowed * 3 / 2 + 3) {
        gw_arena *const arena = gw_arena_create(0);
        gw_arena_fail_after(arena, allowed);
        gw_compare c;
        gw_measure_list list;
        const gw_measure one = {.part = GW_MEASURE_TIGHTEN, .ach50 = 1.0, .cost = {100}};
        gw_measures m;
        const gw_measures_input in = {.design = design, .list = {&one, 1}};
        gw_spread s;
        const gw_spread_input si = {.design = design, .years = {1, 2, 3, 4}};
        const gw_status st[] = {
            gw_compare_loops(arena, &design, &c, &err), gw_measures_usual(arena, job, &list, &err),
            gw_measures_run(arena, &in, &m, &err), gw_spread_run(arena, &si, &s, &err)};
        for (size_t i = 0; i < sizeof st / sizeof st[0]; i++) {
            ck_assert_msg(st[i] == GW_OK || st[i] == GW_ERR_NOMEM, "study %zu after %zu: %s", i,
                          allowed, err.text);
        }
        gw_arena_destroy(arena);
    }
    close_desk(&d);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("study JSON");
    TCase *const tc = tcase_create("json");
    tcase_set_timeout(tc, 120.0);
    tcase_add_test(tc, numbers_go_through_exactly);
    tcase_add_test(tc, what_is_not_finite_is_null);
    tcase_add_test(tc, running_out_of_memory_is_an_error_everywhere);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
