// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A store of layout 1, made here by hand as it was written then, opens and keeps everything.
#include "store_case.h"

#include <sqlite3.h>

static const char LAYOUT_1[] =
    "PRAGMA application_id = 1735881588;"
    "CREATE TABLE jobs (id INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT NOT NULL, revision INTEGER "
    "NOT NULL CHECK (revision >= 1), created_unix_s INTEGER NOT NULL, saved_unix_s INTEGER NOT "
    "NULL, hidden INTEGER NOT NULL DEFAULT 0 CHECK (hidden IN (0, 1))) STRICT;"
    "CREATE TABLE revisions (job INTEGER NOT NULL REFERENCES jobs (id), revision INTEGER NOT NULL "
    "CHECK (revision >= 1), saved_unix_s INTEGER NOT NULL, name TEXT NOT NULL, text TEXT NOT NULL, "
    "PRIMARY KEY (job, revision)) STRICT;"
    "CREATE TRIGGER revisions_stay BEFORE UPDATE OF job, revision, saved_unix_s, name, text ON "
    "revisions BEGIN SELECT RAISE (ABORT, 'a revision is never changed'); END;"
    "CREATE TRIGGER revisions_remain BEFORE DELETE ON revisions BEGIN SELECT RAISE (ABORT, 'a "
    "revision is never removed'); END;"
    "CREATE INDEX jobs_by_time ON jobs (hidden, saved_unix_s);"
    "PRAGMA user_version = 1;"
    "INSERT INTO jobs VALUES (4, 'Old barn', 2, 100, 200, 0), (9, 'Gone', 1, 50, 50, 1);"
    "INSERT INTO revisions VALUES (4, 1, 100, 'Barn', '{\"v\":1}'), "
    "(4, 2, 200, 'Old barn', '{\"v\":2}'), (9, 1, 50, 'Gone', '{}');";

static void make_layout_1(const char *extra)
{
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    char *why = NULL;
    ck_assert_msg(sqlite3_exec(db, LAYOUT_1, NULL, NULL, &why) == SQLITE_OK, "%s", why);
    ck_assert_msg(sqlite3_exec(db, extra, NULL, NULL, &why) == SQLITE_OK, "%s", why);
    sqlite3_close(db);
}

static int64_t ask(const char *file, const char *sql)
{
    sqlite3 *db = NULL;
    sqlite3_stmt *statement = NULL;
    ck_assert_int_eq(sqlite3_open_v2(file, &db, SQLITE_OPEN_READWRITE, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_prepare_v2(db, sql, -1, &statement, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(statement), SQLITE_ROW);
    const int64_t value = sqlite3_column_int64(statement, 0);
    sqlite3_finalize(statement);
    sqlite3_close(db);
    return value;
}

START_TEST(store_of_layout_1_opens_with_everything_and_a_backup)
{
    make_layout_1("");
    gw_store *store = open_store();
    gw_store_job job;
    ck_ok(gw_store_get_job(store, arena, 4, &job, &err));
    ck_assert(job.revision == 2 && job.created_unix_s == 100 && job.saved_unix_s == 200);
    gw_store_revision old;
    ck_ok(gw_store_get_revision(store, arena, (gw_store_place){4, 1}, &old, &err));
    ck_assert_str_eq(old.text, "{\"v\":1}");
    ck_assert_ptr_null(old.note);
    ck_ok(gw_store_get_job(store, arena, 9, &job, &err));
    ck_assert(job.hidden);
    bool replaced = false; // what layout 2 brought
    ck_ok(gw_store_put_file(store, &(gw_store_file){"a", "x", 1, 1}, &replaced, &err));
    ck_assert_int_eq(add(store, "New", "{}", 300), 10);
    gw_store_close(store);
    ck_assert_int_eq(ask(path, "PRAGMA user_version"), 2);

    const char *const backup = gw_arena_printf(arena, "%s.version-1.backup", path);
    ck_assert_int_eq(ask(backup, "PRAGMA user_version"), 1);
    ck_assert_int_eq(ask(backup, "SELECT count(*) FROM revisions"), 3);
    ck_assert_int_eq(ask(backup, "SELECT count(*) FROM sqlite_schema WHERE name = 'files'"), 0);
    struct stat info;
    ck_assert_int_eq(stat(backup, &info), 0);
    ck_assert_int_eq(info.st_mode & 0777, 0600);
    store = open_store(); // up to date: no second backup
    gw_store_close(store);
    ck_assert_int_ne(access(gw_arena_printf(arena, "%s.version-1-2.backup", path), F_OK), 0);
}
END_TEST

START_TEST(earlier_backup_is_never_overwritten)
{
    make_layout_1("");
    const char *const first = gw_arena_printf(arena, "%s.version-1.backup", path);
    FILE *const file = fopen(first, "wb");
    fputs("precious", file);
    fclose(file);
    gw_store_close(open_store());
    char kept[32] = "";
    FILE *const again = fopen(first, "rb");
    ck_assert_uint_eq(fread(kept, 1, sizeof kept - 1, again), 8);
    fclose(again);
    ck_assert_str_eq(kept, "precious");
    ck_assert_int_eq(
        ask(gw_arena_printf(arena, "%s.version-1-2.backup", path), "PRAGMA user_version"), 1);
}
END_TEST

START_TEST(migration_that_fails_leaves_the_store_as_it_was)
{
    make_layout_1("CREATE TABLE files (odd TEXT);"); // in the way of layout 2
    gw_store *store = NULL;
    ck_assert_int_eq(gw_store_open(&(gw_store_config){.path = path}, &store, &err), GW_ERR_IO);
    ck_assert_ptr_null(store);
    ck_assert_int_eq(ask(path, "PRAGMA user_version"), 1);
    ck_assert_int_eq(
        ask(path, "SELECT count(*) FROM pragma_table_info('revisions') WHERE name = 'note'"), 0);
    ck_assert_int_eq(ask(path, "SELECT count(*) FROM revisions"), 3);
}
END_TEST

START_TEST(read_only_store_of_layout_1_is_refused)
{
    make_layout_1("");
    gw_store *store = NULL;
    const gw_store_config config = {.path = path, .read_only = true};
    ck_assert_int_eq(gw_store_open(&config, &store, &err), GW_ERR_TYPE);
    ck_assert_ptr_nonnull(strstr(err.text, "older layout"));
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("store migration");
    TCase *const tc = tcase_create("migration");
    tcase_add_checked_fixture(tc, open_case, close_case);
    tcase_add_test(tc, store_of_layout_1_opens_with_everything_and_a_backup);
    tcase_add_test(tc, earlier_backup_is_never_overwritten);
    tcase_add_test(tc, migration_that_fails_leaves_the_store_as_it_was);
    tcase_add_test(tc, read_only_store_of_layout_1_is_refused);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
