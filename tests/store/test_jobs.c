// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What is put in comes out again, in order, also after the file was closed.
#include "store_case.h"

START_TEST(job_comes_back_byte_for_byte_after_reopening)
{
    static const char TEXT[] = "{\n  \"name\": \"Brook \xc3\xa9t\xc3\xa9\", \"x\": 0.1\r\n}\n";
    gw_store *store = open_store();
    const int64_t id = add(store, "Brook", TEXT, 1000);
    gw_store_close(store);
    store = open_store();
    gw_store_job job;
    gw_store_revision revision;
    ck_ok(gw_store_get_job(store, arena, id, &job, &err));
    ck_assert_str_eq(job.name, "Brook");
    ck_assert(job.revision == 1 && job.created_unix_s == 1000 && job.saved_unix_s == 1000);
    ck_assert(!job.hidden);
    ck_ok(gw_store_get_revision(store, arena, (gw_store_place){.id = id}, &revision, &err));
    ck_assert_uint_eq(revision.length, sizeof TEXT - 1);
    ck_assert_str_eq(revision.text, TEXT);
    ck_assert_ptr_null(revision.note);
    gw_store_close(store);
}
END_TEST

START_TEST(every_save_adds_a_revision_latest_first)
{
    gw_store *const store = open_store();
    const int64_t id = add(store, "A", "{\"v\":1}", 10);
    for (int i = 2; i <= 70; i++) {
        const char *const text = gw_arena_printf(arena, "{\"v\":%d}", i);
        gw_store_change change = change_of(i == 70 ? "B" : "A", text, 10 * i);
        change.id = id;
        change.revision = i - 1;
        gw_store_job job;
        ck_ok(gw_store_save(store, arena, &change, &job, &err));
        ck_assert_int_eq(job.revision, i);
    }
    gw_store_revisions list;
    ck_ok(gw_store_get_revisions(store, arena, id, &list, &err));
    ck_assert_uint_eq(list.count, 70);
    for (int64_t i = 0; i < 70; i++) {
        ck_assert_int_eq(list.items[i].revision, 70 - i);
        ck_assert_int_eq(list.items[i].saved_unix_s, 10 * (70 - i));
        ck_assert_uint_eq(list.items[i].length, 70 - i < 10 ? 7 : 8);
        ck_assert_ptr_null(list.items[i].text);
    }
    ck_assert_str_eq(list.items[0].name, "B");
    gw_store_revision old;
    ck_ok(gw_store_get_revision(store, arena, (gw_store_place){id, 3}, &old, &err));
    ck_assert_str_eq(old.text, "{\"v\":3}");
    gw_store_close(store);
}
END_TEST

START_TEST(same_text_again_adds_no_revision)
{
    gw_store *const store = open_store();
    const int64_t id = add(store, "A", "{}", 10);
    gw_store_change change = change_of("A", "{}", 20);
    change.id = id;
    gw_store_job job;
    ck_ok(gw_store_save(store, arena, &change, &job, &err));
    ck_assert(job.revision == 1 && job.saved_unix_s == 10);
    gw_store_close(store);
}
END_TEST

START_TEST(save_from_an_old_revision_is_refused)
{
    gw_store *const store = open_store();
    const int64_t id = add(store, "A", "{}", 10);
    gw_store_change change = change_of("A", "{\"mine\":1}", 20);
    change.id = id;
    change.revision = 1;
    gw_store_job job;
    ck_ok(gw_store_save(store, arena, &change, &job, &err));
    change.text = "{\"late\":1}";
    ck_assert_int_eq(gw_store_save(store, arena, &change, &job, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "revision");
    ck_assert_int_eq(job.revision, 2);
    gw_store_revision latest;
    ck_ok(gw_store_get_revision(store, arena, (gw_store_place){.id = id}, &latest, &err));
    ck_assert_str_eq(latest.text, "{\"mine\":1}");
    gw_store_close(store);
}
END_TEST

START_TEST(search_finds_by_part_of_the_name_and_by_text)
{
    gw_store *const store = open_store();
    add(store, "Larch Ridge farmhouse", "{\"a\":1}", 10);
    const int64_t cottage = add(store, "Lake cottage 100% new", "{\"a\":2}", 30);
    add(store, "Village hall", "{\"a\":3}", 20);
    static const struct {
        const char *search;
        size_t count;
    } WANT[] = {{NULL, 3}, {"", 3}, {"LA", 3}, {"lake", 1}, {"0%", 1}, {"_", 0}, {"'", 0}};
    for (size_t i = 0; i < sizeof WANT / sizeof WANT[0]; i++) {
        gw_store_jobs found;
        const gw_store_query query = {.search = WANT[i].search, .most = 10};
        ck_ok(gw_store_find_jobs(store, arena, &query, &found, &err));
        ck_assert_msg(found.count == WANT[i].count, "%s: %zu", WANT[i].search, found.count);
    }
    gw_store_jobs found;
    ck_ok(gw_store_find_jobs(store, arena, &(gw_store_query){.most = 2}, &found, &err));
    ck_assert(found.count == 2 && found.more);
    ck_assert_int_eq(found.items[0].id, cottage);
    ck_assert_int_eq(found.items[1].saved_unix_s, 20);
    const gw_store_query by_text = {.text = "{\"a\":2}", .most = 2};
    ck_ok(gw_store_find_jobs(store, arena, &by_text, &found, &err));
    ck_assert(found.count == 1 && !found.more && found.items[0].id == cottage);
    gw_store_close(store);
}
END_TEST

START_TEST(hidden_job_leaves_the_list_and_restore_brings_it_back)
{
    gw_store *const store = open_store();
    const int64_t id = add(store, "A", "{\"v\":1}", 10);
    gw_store_change change = change_of("A", "{\"v\":2}", 20);
    change.id = id;
    gw_store_job job;
    ck_ok(gw_store_save(store, arena, &change, &job, &err));
    ck_ok(gw_store_hide(store, arena, &(gw_store_change){.id = id}, &job, &err));
    ck_assert(job.hidden && job.revision == 2);
    gw_store_jobs found;
    ck_ok(gw_store_find_jobs(store, arena, &(gw_store_query){.most = 9}, &found, &err));
    ck_assert_uint_eq(found.count, 0);
    ck_ok(gw_store_find_jobs(store, arena, &(gw_store_query){.hidden = true, .most = 9}, &found,
                             &err));
    ck_assert_uint_eq(found.count, 1);

    const gw_store_change back = {.id = id, .revision = 1, .now_unix_s = 30};
    ck_ok(gw_store_restore(store, arena, &back, &job, &err));
    ck_assert(!job.hidden && job.revision == 3 && job.saved_unix_s == 30);
    gw_store_revision latest;
    ck_ok(gw_store_get_revision(store, arena, (gw_store_place){.id = id}, &latest, &err));
    ck_assert_str_eq(latest.text, "{\"v\":1}");
    ck_assert_str_eq(latest.note, "restored from revision 1");
    const gw_store_change nowhere = {.id = id, .revision = 9};
    ck_assert_int_eq(gw_store_restore(store, arena, &nowhere, &job, &err), GW_ERR_KEY);
    gw_store_close(store);
}
END_TEST

START_TEST(copy_is_a_job_of_its_own)
{
    gw_store *const store = open_store();
    const int64_t id = add(store, "A", "{\"v\":1}", 10);
    gw_store_job job;
    const gw_store_change copy = {.id = id, .name = "A (copy)", .now_unix_s = 20};
    ck_ok(gw_store_copy(store, arena, &copy, &job, &err));
    ck_assert(job.id != id && job.revision == 1 && job.created_unix_s == 20);
    ck_assert_str_eq(job.name, "A (copy)");
    gw_store_revision first;
    ck_ok(gw_store_get_revision(store, arena, (gw_store_place){.id = job.id}, &first, &err));
    ck_assert_str_eq(first.text, "{\"v\":1}");
    ck_assert_str_eq(first.note, "copy of job 1");
    gw_store_close(store);
}
END_TEST

START_TEST(what_is_not_there_is_said_so)
{
    gw_store *const store = open_store();
    gw_store_job job;
    gw_store_revision revision;
    gw_store_revisions revisions;
    gw_store_change change = change_of("A", "{}", 1);
    change.id = 5;
    ck_assert_int_eq(gw_store_get_job(store, arena, 5, &job, &err), GW_ERR_KEY);
    ck_assert_str_eq(err.text, "there is no job 5 in the store");
    ck_assert_int_eq(gw_store_save(store, arena, &change, &job, &err), GW_ERR_KEY);
    ck_assert_int_eq(gw_store_copy(store, arena, &change, &job, &err), GW_ERR_KEY);
    ck_assert_int_eq(gw_store_hide(store, arena, &change, &job, &err), GW_ERR_KEY);
    ck_assert_int_eq(gw_store_restore(store, arena, &change, &job, &err), GW_ERR_KEY);
    ck_assert_int_eq(gw_store_get_revisions(store, arena, 5, &revisions, &err), GW_ERR_KEY);
    ck_assert_int_eq(
        gw_store_get_revision(store, arena, (gw_store_place){.id = 5}, &revision, &err),
        GW_ERR_KEY);
    const int64_t id = add(store, "A", "{}", 1);
    ck_assert_int_eq(gw_store_get_revision(store, arena, (gw_store_place){id, 2}, &revision, &err),
                     GW_ERR_KEY);
    ck_assert_str_eq(err.text, "job 1 has no revision 2");
    gw_store_close(store);
}
END_TEST

START_TEST(names_and_texts_out_of_range_are_refused)
{
    gw_store *const store = open_store();
    gw_store_job job;
    gw_store_change change = change_of("", "{}", 1);
    ck_assert_int_eq(gw_store_add(store, arena, &change, &job, &err), GW_ERR_RANGE);
    char long_name[202];
    memset(long_name, 'x', 201);
    long_name[201] = '\0';
    change.name = long_name;
    ck_assert_int_eq(gw_store_add(store, arena, &change, &job, &err), GW_ERR_RANGE);
    change.name = "A";
    change.length = (size_t)GW_STORE_TEXT_MAX + 1;
    ck_assert_int_eq(gw_store_add(store, arena, &change, &job, &err), GW_ERR_RANGE);
    gw_store_jobs found;
    ck_ok(gw_store_find_jobs(store, arena, &(gw_store_query){.most = 9}, &found, &err));
    ck_assert_uint_eq(found.count, 0);
    gw_store_close(store);
}
END_TEST

START_TEST(file_is_put_replaced_listed_and_removed)
{
    gw_store *const store = open_store();
    bool replaced = true;
    const gw_store_file file = {"b.epw", "one\0two", 7, 10};
    ck_ok(gw_store_put_file(store, &file, &replaced, &err));
    ck_assert(!replaced);
    ck_ok(gw_store_put_file(store, &(gw_store_file){"a.csv", "", 0, 20}, &replaced, &err));
    ck_ok(gw_store_put_file(store, &(gw_store_file){"a.csv", "xyz", 3, 30}, &replaced, &err));
    ck_assert(replaced);
    gw_store_files list;
    ck_ok(gw_store_get_files(store, arena, &list, &err));
    ck_assert_uint_eq(list.count, 2);
    ck_assert_str_eq(list.items[0].name, "a.csv");
    ck_assert(list.items[0].length == 3 && list.items[0].saved_unix_s == 30);
    gw_store_file got;
    ck_ok(gw_store_get_file(store, arena, "b.epw", &got, &err));
    ck_assert_uint_eq(got.length, 7);
    ck_assert_mem_eq(got.content, "one\0two", 8);
    ck_ok(gw_store_remove_file(store, "b.epw", &err));
    ck_assert_int_eq(gw_store_get_file(store, arena, "b.epw", &got, &err), GW_ERR_KEY);
    ck_assert_int_eq(gw_store_remove_file(store, "b.epw", &err), GW_ERR_KEY);
    gw_store_close(store);
}
END_TEST

START_TEST(file_names_that_look_like_paths_are_refused)
{
    static const char *const BAD[] = {"",    ".",    "..",  ".hidden", "a/b",      "a\\b",
                                      "a b", "../x", "a:b", "a%2fb",   "\xc3\xa9", "x\ny"};
    gw_store *const store = open_store();
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        bool replaced = false;
        const gw_store_file file = {BAD[i], "x", 1, 1};
        ck_assert_msg(gw_store_put_file(store, &file, &replaced, &err) == GW_ERR_RANGE, "%s",
                      BAD[i]);
    }
    ck_assert(gw_store_is_file_name("CAN_NB.Fredericton-1.epw"));
    gw_store_close(store);
}
END_TEST

START_TEST(default_path_follows_the_environment)
{
    const char *found = NULL;
    setenv("XDG_DATA_HOME", folder, 1);
    ck_ok(gw_store_default_path(arena, &found, &err));
    ck_assert_str_eq(found, gw_arena_printf(arena, "%s/groundwright/store.db", folder));
    ck_assert_int_eq(rmdir(gw_arena_printf(arena, "%s/groundwright", folder)), 0);
    setenv("XDG_DATA_HOME", "not/absolute", 1);
    setenv("HOME", folder, 1);
    ck_ok(gw_store_default_path(arena, &found, &err));
    ck_assert_str_eq(found,
                     gw_arena_printf(arena, "%s/.local/share/groundwright/store.db", folder));
    static const char *const MADE[] = {".local/share/groundwright", ".local/share", ".local"};
    for (size_t i = 0; i < 3; i++) {
        ck_assert_int_eq(rmdir(gw_arena_printf(arena, "%s/%s", folder, MADE[i])), 0);
    }
    unsetenv("HOME");
    ck_assert_int_eq(gw_store_default_path(arena, &found, &err), GW_ERR_MISSING);
}
END_TEST

START_TEST(failing_memory_is_reported_and_changes_nothing)
{
    gw_store *const store = open_store();
    const int64_t id = add(store, "A", "{\"v\":1}", 10);
    size_t failed = 0;
    for (size_t n = 0; n < 40; n++) {
        gw_arena *const small = gw_arena_create(0);
        gw_store_change change = change_of("A", gw_arena_printf(arena, "{\"n\":%zu}", n), 20);
        change.id = id;
        gw_arena_fail_after(small, n);
        gw_store_job before;
        gw_store_job after;
        gw_store_job job;
        ck_ok(gw_store_get_job(store, arena, id, &before, &err));
        const gw_status st = gw_store_save(store, small, &change, &job, &err);
        ck_ok(gw_store_get_job(store, arena, id, &after, &err));
        ck_assert(st == GW_OK || st == GW_ERR_NOMEM);
        ck_assert_int_eq(after.revision, before.revision + (st == GW_OK ? 1 : 0));
        failed += st != GW_OK;
        gw_arena_destroy(small);
    }
    ck_assert(failed >= 3 && failed < 40);
    gw_store_close(store);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("store jobs");
    TCase *const tc = tcase_create("jobs");
    tcase_add_checked_fixture(tc, open_case, close_case);
    tcase_add_test(tc, job_comes_back_byte_for_byte_after_reopening);
    tcase_add_test(tc, every_save_adds_a_revision_latest_first);
    tcase_add_test(tc, same_text_again_adds_no_revision);
    tcase_add_test(tc, save_from_an_old_revision_is_refused);
    tcase_add_test(tc, search_finds_by_part_of_the_name_and_by_text);
    tcase_add_test(tc, hidden_job_leaves_the_list_and_restore_brings_it_back);
    tcase_add_test(tc, copy_is_a_job_of_its_own);
    tcase_add_test(tc, what_is_not_there_is_said_so);
    tcase_add_test(tc, names_and_texts_out_of_range_are_refused);
    tcase_add_test(tc, file_is_put_replaced_listed_and_removed);
    tcase_add_test(tc, file_names_that_look_like_paths_are_refused);
    tcase_add_test(tc, default_path_follows_the_environment);
    tcase_add_test(tc, failing_memory_is_reported_and_changes_nothing);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
