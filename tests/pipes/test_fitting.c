// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "harness.h"
#include "pipes/fitting.h"

#include <math.h>
#include <string.h>

static gw_arena *arena;
static gw_pipe_fittings fittings;

static void open_table(void)
{
    arena = gw_arena_create(0);
    gw_err err = {0};
    ck_assert_msg(gw_pipes_read_fittings_builtin(arena, &fittings, &err) == GW_OK, "%s", err.text);
}

static void close_table(void)
{
    gw_arena_destroy(arena);
}

// One return bend and four elbows: (50 + 4 × 40) diameters (fitting factors from memory).
START_TEST(lengths_add_up_in_diameters)
{
    const gw_pipe_fitting_count used[] = {{"u_bend", 1}, {"elbow_90", 4}};
    const gw_pipe_fitting_list list = {used, 2, 0.0273};
    double length_m;
    ck_assert(gw_pipes_equivalent_length(&fittings, &list, &length_m, NULL) == GW_OK);
    ck_close(length_m, 210 * 0.0273, 1e-12);
    const gw_pipe_fitting_list none = {NULL, 0, 0.0273};
    ck_assert(gw_pipes_equivalent_length(&fittings, &none, &length_m, NULL) == GW_OK);
    ck_assert_double_eq(length_m, 0.0);
}
END_TEST

START_TEST(branch_loses_more_than_run_and_valves_say_their_source)
{
    double by_id[2] = {0};
    for (size_t i = 0; i < fittings.count; ++i) {
        ck_assert_uint_gt(strlen(fittings.items[i].source), 10);
        by_id[0] +=
            strcmp(fittings.items[i].id, "tee_run") == 0 ? fittings.items[i].length_diameters : 0;
        by_id[1] += strcmp(fittings.items[i].id, "tee_branch") == 0
                        ? fittings.items[i].length_diameters
                        : 0;
    }
    ck_assert(by_id[0] > 0 && by_id[1] > by_id[0]);
}
END_TEST

START_TEST(unknown_or_impossible_fitting_is_refused)
{
    gw_pipe_fitting_count used[] = {{"elbow_9", 1}};
    gw_pipe_fitting_list list = {used, 1, 0.0273};
    double length_m = -1;
    gw_err err = {0};
    ck_assert(gw_pipes_equivalent_length(&fittings, &list, &length_m, &err) == GW_ERR_KEY);
    ck_assert_ptr_nonnull(strstr(err.text, "elbow_90"));
    used[0] = (gw_pipe_fitting_count){"elbow_90", (double)NAN};
    ck_assert(gw_pipes_equivalent_length(&fittings, &list, &length_m, &err) == GW_ERR_RANGE);
    used[0].count = 1;
    list.inner_diameter_m = 0;
    ck_assert(gw_pipes_equivalent_length(&fittings, &list, &length_m, &err) == GW_ERR_RANGE);
    ck_assert_double_eq(length_m, -1.0);
    const char text[] = "id,name,length_diameters,source\na,a,-3,none\n";
    gw_table table;
    gw_pipe_fittings out;
    ck_assert(gw_table_read(arena, "x.csv", text, sizeof text - 1, &table, &err) == GW_OK);
    ck_assert(gw_pipes_read_fittings(arena, &table, &out, &err) == GW_ERR_RANGE);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("fitting");
    TCase *const tc = tcase_create("fitting");
    tcase_add_checked_fixture(tc, open_table, close_table);
    tcase_add_test(tc, lengths_add_up_in_diameters);
    tcase_add_test(tc, branch_loses_more_than_run_and_valves_say_their_source);
    tcase_add_test(tc, unknown_or_impossible_fitting_is_refused);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
