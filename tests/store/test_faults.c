// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Damaged, foreign, full, read-only, shared and killed: nothing acknowledged is lost, and what
// cannot be used is refused in words and left as it is.
#include "store_case.h"

#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <sqlite3.h>
#include <sys/resource.h>
#include <sys/wait.h>

static void run_sql(const char *sql)
{
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    char *why = NULL;
    ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, &why) == SQLITE_OK, "%s", why);
    sqlite3_close(db);
}

static gw_status try_to_open(bool read_only)
{
    gw_store *store = NULL;
    const gw_store_config config = {.path = path, .read_only = read_only};
    const gw_status st = gw_store_open(&config, &store, &err);
    gw_store_close(store);
    return st;
}

static size_t read_whole(char *out, size_t size)
{
    FILE *const file = fopen(path, "rb");
    ck_assert_ptr_nonnull(file);
    const size_t length = fread(out, 1, size, file);
    fclose(file);
    return length;
}

START_TEST(file_that_is_no_database_is_refused_and_kept)
{
    static const char TEXT[] = "This is a letter, and long enough to be taken for a database head "
                               "of one hundred bytes by a program that does not look.";
    FILE *const file = fopen(path, "wb");
    fputs(TEXT, file);
    fclose(file);
    ck_assert_int_eq(try_to_open(false), GW_ERR_SYNTAX);
    ck_assert_msg(strstr(err.text, "is damaged or no store at all") != NULL, "%s", err.text);
    ck_assert_ptr_nonnull(strstr(err.text, path));
    char after[400] = "";
    read_whole(after, sizeof after - 1);
    ck_assert_str_eq(after, TEXT);
}
END_TEST

START_TEST(damaged_page_is_refused)
{
    gw_store *const store = open_store();
    for (int i = 0; i < 200; i++) {
        add(store, "A", "{\"some\": \"text that fills pages of the file one after another\"}", i);
    }
    gw_store_close(store);
    const int file = open(path, O_WRONLY);
    char noise[4096];
    memset(noise, 0x5A, sizeof noise);
    for (off_t page = 2; page < 6; page++) {
        ck_assert_int_eq(pwrite(file, noise, sizeof noise, page * 4096), sizeof noise);
    }
    close(file);
    ck_assert_int_eq(try_to_open(false), GW_ERR_SYNTAX);
    ck_assert_msg(strstr(err.text, "put a backup in its place") != NULL, "%s", err.text);
}
END_TEST

START_TEST(cut_file_is_refused)
{
    gw_store *const store = open_store();
    for (int i = 0; i < 200; i++) {
        add(store, "A", "{\"some\": \"text that fills pages of the file one after another\"}", i);
    }
    gw_store_close(store);
    ck_assert_int_eq(truncate(path, 3 * 4096 + 100), 0);
    ck_assert_int_eq(try_to_open(false), GW_ERR_SYNTAX);
}
END_TEST

START_TEST(database_of_another_program_is_refused)
{
    run_sql("CREATE TABLE birds (name TEXT)");
    ck_assert_int_eq(try_to_open(false), GW_ERR_TYPE);
    ck_assert_msg(strstr(err.text, "belongs to another program") != NULL, "%s", err.text);
}
END_TEST

START_TEST(store_of_a_newer_version_is_refused)
{
    gw_store_close(open_store());
    run_sql("PRAGMA user_version = 900");
    ck_assert_int_eq(try_to_open(false), GW_ERR_TYPE);
    ck_assert_msg(strstr(err.text, "newer version") != NULL, "%s", err.text);
}
END_TEST

START_TEST(read_only_store_reads_and_refuses_changes)
{
    ck_assert_int_eq(try_to_open(true), GW_ERR_IO); // not there: not made
    gw_store *store = open_store();
    const int64_t id = add(store, "A", "{}", 1);
    gw_store_close(store);
    ck_ok(gw_store_open(&(gw_store_config){.path = path, .read_only = true}, &store, &err));
    gw_store_job job;
    ck_ok(gw_store_get_job(store, arena, id, &job, &err));
    const gw_store_change change = change_of("B", "{}", 2);
    ck_assert_int_eq(gw_store_add(store, arena, &change, &job, &err), GW_ERR_IO);
    ck_assert_msg(strstr(err.text, "may only be read") != NULL, "%s", err.text);
    bool replaced = false;
    const gw_store_file file = {"a", "x", 1, 1};
    ck_assert_int_eq(gw_store_put_file(store, &file, &replaced, &err), GW_ERR_IO);
    gw_store_close(store);
}
END_TEST

START_TEST(file_is_for_its_owner_only)
{
    gw_store *const store = open_store();
    add(store, "A", "{}", 1);
    static const char *const ENDINGS[] = {"", "-wal", "-shm"};
    for (size_t i = 0; i < 3; i++) {
        struct stat info;
        ck_assert_int_eq(stat(gw_arena_printf(arena, "%s%s", path, ENDINGS[i]), &info), 0);
        ck_assert_int_eq(info.st_mode & 0777, 0600);
    }
    gw_store_close(store);
}
END_TEST

START_TEST(revisions_cannot_be_changed_even_by_hand)
{
    gw_store *const store = open_store();
    add(store, "A", "{}", 1);
    gw_store_close(store);
    static const char *const SQL[] = {"UPDATE revisions SET text = 'x'", "DELETE FROM revisions"};
    for (size_t i = 0; i < 2; i++) {
        sqlite3 *db = NULL;
        ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
        ck_assert_int_eq(sqlite3_exec(db, SQL[i], NULL, NULL, NULL), SQLITE_CONSTRAINT);
        sqlite3_close(db);
    }
}
END_TEST

START_TEST(two_connections_see_each_other_and_cannot_overwrite)
{
    gw_store *const one = open_store();
    gw_store *const two = open_store();
    const int64_t id = add(one, "A", "{}", 1);
    gw_store_change change = change_of("A", "{\"two\":1}", 2);
    change.id = id;
    change.revision = 1;
    gw_store_job job;
    ck_ok(gw_store_save(two, arena, &change, &job, &err));
    change.text = "{\"one\":1}";
    ck_assert_int_eq(gw_store_save(one, arena, &change, &job, &err), GW_ERR_RANGE);
    change.revision = job.revision;
    ck_ok(gw_store_save(one, arena, &change, &job, &err));
    ck_assert_int_eq(job.revision, 3);
    gw_store_close(one);
    gw_store_close(two);
}
END_TEST

enum { THREADS = 4, SAVES = 25 };

static void *save_many(void *store)
{
    gw_arena *const own = gw_arena_create(0);
    size_t *const failed = gw_arena_alloc(own, 1, sizeof *failed);
    for (int i = 0; i < SAVES; i++) {
        gw_err why = {0};
        gw_store_job job;
        gw_store_change change =
            change_of("A", gw_arena_printf(own, "{\"%p\":%d}", (void *)own, i), i);
        change.id = 1;
        *failed += gw_store_save(store, own, &change, &job, &why) != GW_OK;
    }
    const bool ok = *failed == 0;
    gw_arena_destroy(own);
    return ok ? store : NULL;
}

START_TEST(saves_of_threads_and_of_two_handles_are_all_kept)
{
    gw_store *const one = open_store();
    gw_store *const two = open_store();
    add(one, "A", "{}", 1);
    pthread_t threads[THREADS];
    for (size_t i = 0; i < THREADS; i++) {
        ck_assert_int_eq(pthread_create(&threads[i], NULL, save_many, i % 2 == 0 ? one : two), 0);
    }
    for (size_t i = 0; i < THREADS; i++) {
        void *result = NULL;
        pthread_join(threads[i], &result);
        ck_assert_ptr_nonnull(result);
    }
    gw_store_job job;
    ck_ok(gw_store_get_job(one, arena, 1, &job, &err));
    ck_assert_int_eq(job.revision, 1 + THREADS * SAVES);
    gw_store_close(one);
    gw_store_close(two);
}
END_TEST

// The child saves and says so through the pipe after each; it never stops by itself.
static void save_until_killed(int tell)
{
    gw_store *const store = open_store();
    for (int32_t i = 1;; i++) {
        const char *const text = gw_arena_printf(arena, "{\"v\":%d}", i);
        const gw_store_change change = change_of("A", text, i);
        gw_store_job job;
        if (gw_store_add(store, arena, &change, &job, &err) != GW_OK ||
            write(tell, &i, sizeof i) != sizeof i) {
            _exit(1);
        }
    }
}

START_TEST(nothing_acknowledged_is_lost_when_killed)
{
    int32_t before = 0;
    for (int round = 0; round < 5; round++) {
        int ends[2];
        ck_assert_int_eq(pipe(ends), 0);
        const pid_t child = fork();
        ck_assert_int_ge(child, 0);
        if (child == 0) {
            close(ends[0]);
            save_until_killed(ends[1]);
        }
        close(ends[1]);
        int32_t told = 0;
        const int32_t enough = 20 + 7 * round;
        int32_t value = 0;
        while (told < enough && read(ends[0], &value, sizeof value) == sizeof value) {
            told = value;
        }
        kill(child, SIGKILL);
        while (read(ends[0], &value, sizeof value) == sizeof value) {
            told = value; // acknowledged before the kill arrived
        }
        close(ends[0]);
        waitpid(child, NULL, 0);
        gw_store *const store = open_store();
        gw_store_jobs found;
        ck_ok(gw_store_find_jobs(store, arena, &(gw_store_query){.most = 100000}, &found, &err));
        const int32_t kept = (int32_t)found.count - before;
        ck_assert_msg(kept == told || kept == told + 1, "told %d, kept %d", told, kept);
        before = (int32_t)found.count;
        gw_store_close(store);
    }
    ck_assert_int_ge(before, 100);
}
END_TEST

// A limit on the size of files stands in for a full disk: the write fails in the same place.
START_TEST(full_disk_says_so_and_keeps_the_last_good_revision)
{
    gw_store *const store = open_store();
    const int64_t id = add(store, "A", "{\"v\":1}", 1);
    signal(SIGXFSZ, SIG_IGN);
    struct rlimit limit;
    ck_assert_int_eq(getrlimit(RLIMIT_FSIZE, &limit), 0);
    const rlim_t all = limit.rlim_cur;
    limit.rlim_cur = 300 * 1024;
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &limit), 0);
    const size_t size = 1 << 20;
    char *const large = gw_arena_alloc(arena, size + 1, 1);
    memset(large, ' ', size);
    gw_store_change change = change_of("A", large, 2);
    change.id = id;
    gw_store_job job;
    const gw_status st = gw_store_save(store, arena, &change, &job, &err);
    limit.rlim_cur = all;
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &limit), 0);
    ck_assert_int_eq(st, GW_ERR_IO);
    ck_assert_msg(err.text[0] != '\0', "no sentence");
    gw_store_revision latest;
    ck_ok(gw_store_get_revision(store, arena, (gw_store_place){.id = id}, &latest, &err));
    ck_assert_str_eq(latest.text, "{\"v\":1}");
    ck_ok(gw_store_save(store, arena, &change, &job, &err)); // room again: it goes on
    ck_assert_int_eq(job.revision, 2);
    gw_store_close(store);
    gw_store_close(open_store());
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("store faults");
    TCase *const tc = tcase_create("faults");
    tcase_add_checked_fixture(tc, open_case, close_case);
    tcase_set_timeout(tc, 60);
    tcase_add_test(tc, file_that_is_no_database_is_refused_and_kept);
    tcase_add_test(tc, damaged_page_is_refused);
    tcase_add_test(tc, cut_file_is_refused);
    tcase_add_test(tc, database_of_another_program_is_refused);
    tcase_add_test(tc, store_of_a_newer_version_is_refused);
    tcase_add_test(tc, read_only_store_reads_and_refuses_changes);
    tcase_add_test(tc, file_is_for_its_owner_only);
    tcase_add_test(tc, revisions_cannot_be_changed_even_by_hand);
    tcase_add_test(tc, two_connections_see_each_other_and_cannot_overwrite);
    tcase_add_test(tc, saves_of_threads_and_of_two_handles_are_all_kept);
    tcase_add_test(tc, nothing_acknowledged_is_lost_when_killed);
    tcase_add_test(tc, full_disk_says_so_and_keeps_the_last_good_revision);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
