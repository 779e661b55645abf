// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "groundwright.h"

#include "harness.h"

#include <stdio.h>
#include <string.h>

enum { MOST = 1 << 16 };

static size_t read_example(const char *name, char text[static MOST])
{
    char path[512];
    snprintf(path, sizeof path, "%s/examples/%s.json", GW_SOURCE_DIR, name);
    FILE *const file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s cannot be opened", path);
    const size_t length = fread(text, 1, MOST - 1, file);
    fclose(file);
    text[length] = '\0';
    return length;
}

START_TEST(a_job_goes_in_and_a_design_comes_out)
{
    static char text[MOST];
    const size_t length = read_example("cottage", text);
    groundwright *const work = groundwright_open(text, length);
    ck_assert_ptr_nonnull(work);
    ck_assert_ptr_null(groundwright_json(work)); // not run yet
    ck_assert_int_eq(groundwright_run(work), GROUNDWRIGHT_DONE);
    ck_assert_ptr_nonnull(strstr(groundwright_json(work), "\"groundwright_design\": 1"));
    ck_assert_ptr_nonnull(strstr(groundwright_text(work, GROUNDWRIGHT_IMPERIAL), "°F"));
    ck_assert_ptr_nonnull(strstr(groundwright_text(work, GROUNDWRIGHT_METRIC), "Cautions"));
    groundwright_close(work);
}
END_TEST

START_TEST(a_bad_job_tells_everything_that_is_wrong)
{
    static const char *const BAD = "{\"groundwright\": 1, \"nmae\": \"x\", \"loops\": []}";
    groundwright *const work = groundwright_open(BAD, strlen(BAD));
    ck_assert_int_eq(groundwright_run(work), GROUNDWRIGHT_BAD_INPUT);
    ck_assert_uint_ge(groundwright_problem_count(work), 3);
    int found = 0;
    for (size_t i = 0; i < groundwright_problem_count(work); i++) {
        const groundwright_problem p = groundwright_problem_at(work, i);
        ck_assert(!p.warning && p.text[0] != '\0' && p.line == 1);
        found += strcmp(p.path, "nmae") == 0 ? 1 : 0;
    }
    ck_assert_int_eq(found, 1);
    ck_assert_ptr_null(groundwright_text(work, GROUNDWRIGHT_METRIC));
    groundwright_close(work);
    groundwright_close(NULL);
}
END_TEST

START_TEST(a_named_file_must_be_given)
{
    static char text[MOST];
    read_example("cottage", text);
    char *const site = strstr(text, "\"site\": {");
    ck_assert_ptr_nonnull(site);
    static char with[MOST + 64];
    const int head = (int)(site - text) + 9;
    snprintf(with, sizeof with, "%.*s\"weather_file\": \"a.epw\",%s", head, text, text + head);
    groundwright *const work = groundwright_open(with, strlen(with));
    ck_assert_str_eq(groundwright_weather_name(work), "a.epw");
    ck_assert_int_eq(groundwright_run(work), GROUNDWRIGHT_BAD_INPUT);
    ck_assert_int_eq(groundwright_give_weather(work, "no such thing", 13), GROUNDWRIGHT_BAD_INPUT);
    ck_assert_uint_ge(groundwright_problem_count(work), 2);
    groundwright_close(work);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("library");
    TCase *const tc = tcase_create("face");
    tcase_set_timeout(tc, 120.0);
    tcase_add_test(tc, a_job_goes_in_and_a_design_comes_out);
    tcase_add_test(tc, a_bad_job_tells_everything_that_is_wrong);
    tcase_add_test(tc, a_named_file_must_be_given);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
