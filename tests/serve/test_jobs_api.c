// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Jobs, revisions and files over HTTP, as docs/api.md says.
#include "client.h"

static answer put_job(const char *path, const char *mark, const char *body)
{
    const char *const more = mark != NULL ? gw_arena_printf(arena, "If-Match: %s\r\n", mark) : NULL;
    return ask(&(request){.method = "PUT", .path = path, .more = more, .body = body});
}

START_TEST(job_is_made_read_saved_and_exported)
{
    static const char TEXT[] = "{\"name\": \"Larch \\\"Ridge\\\" \xc3\xa9t\xc3\xa9\",\n \"x\": "
                               "1.50}\n";
    const answer made = post("/api/jobs", TEXT);
    ck_status(made, 201);
    ck_has(made.heads, "Location: /api/jobs/1");
    ck_has(made.heads, "ETag: \"1\"");
    ck_assert_str_eq(made.body,
                     "{\"id\": 1, \"name\": \"Larch \\\"Ridge\\\" \xc3\xa9t\xc3\xa9\", "
                     "\"revision\": 1, \"created_unix_s\": 1790000000, \"saved_unix_s\": "
                     "1790000000, \"hidden\": false}\n");
    const answer got = get("/api/jobs/1");
    ck_status(got, 200);
    ck_has(got.heads, "ETag: \"1\"");
    ck_has(got.body, gw_arena_printf(arena, ", \"job\": %s}\n", TEXT));
    const answer out = get("/api/jobs/1/export");
    ck_status(out, 200);
    ck_assert_uint_eq(out.length, sizeof TEXT - 1);
    ck_assert_str_eq(out.body, TEXT);
    ck_has(out.heads, "Content-Disposition: attachment; filename=\"larch-ridge-t.json\"");

    const answer saved = put_job("/api/jobs/1", "\"1\"", "{\"name\": \"B\"}");
    ck_status(saved, 200);
    ck_has(saved.heads, "ETag: \"2\"");
    ck_has(saved.body, "\"name\": \"B\", \"revision\": 2");
    const answer list = get("/api/jobs/1/revisions");
    ck_status(list, 200);
    const char *const second = strstr(list.body, "\"revision\": 2");
    const char *const first = strstr(list.body, "\"revision\": 1");
    ck_assert(second != NULL && first != NULL && second < first);
    const answer old = get("/api/jobs/1/revisions/1");
    ck_status(old, 200);
    ck_has(old.body, TEXT);
}
END_TEST

START_TEST(two_windows_cannot_overwrite_each_other)
{
    post("/api/jobs", "{\"v\": 1}");
    ck_status(put_job("/api/jobs/1", NULL, "{\"v\": 2}"), 428);
    ck_status(put_job("/api/jobs/1", "\"1\"", "{\"v\": 2}"), 200);
    const answer late = put_job("/api/jobs/1", "\"1\"", "{\"v\": 3}");
    ck_status(late, 412);
    ck_has(late.heads, "ETag: \"2\"");
    ck_has(late.body, "\"path\": \"revision\"");
    ck_status(put_job("/api/jobs/1", "1", "{\"v\": 3}"), 412);
    ck_status(put_job("/api/jobs/1", "W/\"2\"", "{\"v\": 3}"), 412);
    ck_status(put_job("/api/jobs/1", "\"0\"", "{\"v\": 3}"), 412);
    ck_has(get("/api/jobs/1").body, "\"job\": {\"v\": 2}");
    ck_status(put_job("/api/jobs/1", "*", "{\"v\": 3}"), 200);
    const answer same = put_job("/api/jobs/1", "\"3\"", "{\"v\": 3}");
    ck_status(same, 200);
    ck_has(same.heads, "ETag: \"3\"");
}
END_TEST

START_TEST(known_revision_is_not_sent_again)
{
    post("/api/jobs", "{}");
    const request r = {.method = "GET", .path = "/api/jobs/1", .more = "If-None-Match: \"1\"\r\n"};
    const answer a = ask(&r);
    ck_status(a, 304);
    ck_assert_uint_eq(a.length, 0);
}
END_TEST

START_TEST(what_is_no_object_is_not_saved)
{
    static const char *const BAD[] = {"",
                                      "  ",
                                      "[1]",
                                      "3",
                                      "{\"a\": }",
                                      "{",
                                      "{} {}",
                                      "nul",
                                      "{\"a\":1,\"a\":2}",
                                      "{\"name\": \"\xff\"}",
                                      "\"text\"",
                                      "{\"x\": 1e999}"};
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        const answer a = post("/api/jobs", BAD[i]);
        ck_assert_msg(a.status == 422, "%s: %d", BAD[i], a.status);
        ck_has(a.body, "{\"errors\": [{\"path\": \"\", \"line\": 1, \"column\": ");
    }
    const request with_nul = {
        .method = "POST", .path = "/api/jobs", .body = "{\"a\": \"x\0y\"}", .length = 12};
    ck_status(ask(&with_nul), 422);
    ck_has(get("/api/jobs").body, "{\"jobs\": [], \"more\": false}");
}
END_TEST

START_TEST(text_over_4_mib_is_refused)
{
    const size_t length = (size_t)GW_STORE_TEXT_MAX + 1;
    char *const text = gw_arena_alloc(arena, length + 1, 1);
    memset(text, ' ', length);
    text[0] = '{';
    text[length - 1] = '}';
    ck_status(
        ask(&(request){.method = "POST", .path = "/api/jobs", .body = text, .length = length}),
        422);
    text[length - 1] = ' ';
    text[length - 2] = '}';
    ck_status(
        ask(&(request){.method = "POST", .path = "/api/jobs", .body = text, .length = length - 1}),
        201);
}
END_TEST

START_TEST(byte_order_mark_is_kept_in_export_and_left_out_in_json)
{
    static const char TEXT[] = "\xEF\xBB\xBF{\"name\": \"A\"}";
    ck_status(post("/api/jobs", TEXT), 201);
    ck_assert_str_eq(get("/api/jobs/1/export").body, TEXT);
    ck_has(get("/api/jobs/1").body, ", \"job\": {\"name\": \"A\"}}");
    ck_status(post("/api/jobs/1/copy", "{}"), 201);
    ck_assert_str_eq(get("/api/jobs/2/export").body, "\xEF\xBB\xBF{\"name\": \"A (copy)\"}");
}
END_TEST

START_TEST(name_comes_from_the_text)
{
    static const struct {
        const char *text, *name;
    } WANT[] = {{"{}", "Unnamed job"},
                {"{\"name\": 5}", "Unnamed job"},
                {"{\"name\": \"\"}", "Unnamed job"},
                {"{\"house\": {\"name\": \"no\"}, \"name\": \"yes\"}", "yes"}};
    for (size_t i = 0; i < 4; i++) {
        ck_has(post("/api/jobs", WANT[i].text).body,
               gw_arena_printf(arena, "\"name\": \"%s\"", WANT[i].name));
    }
    // 150 letters of two bytes: cut at 200 bytes, between letters
    char long_name[400] = "{\"name\": \"";
    for (int i = 0; i < 150; i++) {
        strcat(long_name, "\xc3\xa9");
    }
    strcat(long_name, "\"}");
    const answer a = post("/api/jobs", long_name);
    ck_status(a, 201);
    ck_has(a.body, "\xc3\xa9\", \"revision\"");
}
END_TEST

START_TEST(copy_changes_the_name_and_nothing_else)
{
    static const struct {
        const char *text, *body, *want;
    } WANT[] = {
        {"{\r\n\t\"a\": \"\xc3\xa9\", \"name\"  :  \"A \\\"x\\\" \\\\\" , \"b\": 1.50 }\n", "{}",
         "{\r\n\t\"a\": \"\xc3\xa9\", \"name\"  :  \"A \\\"x\\\" \\\\ (copy)\" , \"b\": 1.50 }\n"},
        {"{\"b\": {\"name\": \"no\"}, \"name\": \"A\"}", "{\"name\": \"new \\\"one\\\"\"}",
         "{\"b\": {\"name\": \"no\"}, \"name\": \"new \\\"one\\\"\"}"},
        {" { }", "{\"name\": \"B\"}", " {\"name\": \"B\" }"},
        {"{\"b\": 1}", "{\"name\": \"B\"}", "{\"name\": \"B\",\"b\": 1}"},
        {"{\"name\": 5}", "{}", "{\"name\": 5}"},
    };
    for (size_t i = 0; i < sizeof WANT / sizeof WANT[0]; i++) {
        ck_status(post("/api/jobs", WANT[i].text), 201);
        const char *const source = gw_arena_printf(arena, "/api/jobs/%zu/copy", 2 * i + 1);
        const answer made = post(source, WANT[i].body);
        ck_status(made, 201);
        const char *const copy = gw_arena_printf(arena, "/api/jobs/%zu", 2 * i + 2);
        ck_has(made.heads, gw_arena_printf(arena, "Location: %s", copy));
        ck_assert_str_eq(get(gw_arena_printf(arena, "%s/export", copy)).body, WANT[i].want);
        ck_has(get(gw_arena_printf(arena, "%s/revisions", copy)).body, "\"note\": \"copy of job ");
    }
    static const char *const BAD[] = {"{\"name\": 5}",
                                      "{\"name\": \"\"}",
                                      "{\"nam\": \"x\"}",
                                      "[]",
                                      "",
                                      "{\"name\": \"x\", \"y\": 1}"};
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        ck_status(post("/api/jobs/1/copy", BAD[i]), 400);
    }
}
END_TEST

START_TEST(hidden_job_is_restored_with_an_old_revision)
{
    post("/api/jobs", "{\"v\": 1}");
    put_job("/api/jobs/1", "*", "{\"v\": 2}");
    const answer gone = ask(&(request){.method = "DELETE", .path = "/api/jobs/1"});
    ck_status(gone, 200);
    ck_has(gone.body, "\"hidden\": true");
    ck_has(get("/api/jobs").body, "\"jobs\": []");
    ck_has(get("/api/jobs?hidden=1").body, "\"id\": 1");
    ck_status(get("/api/jobs/1"), 200);
    ck_has(post("/api/jobs/1/restore", "{}").body, "\"revision\": 2");
    const answer back = post("/api/jobs/1/restore", "{\"revision\": 1}");
    ck_status(back, 200);
    ck_has(back.body, "\"revision\": 3");
    ck_has(get("/api/jobs/1").body, "\"job\": {\"v\": 1}");
    ck_has(get("/api/jobs/1/revisions").body, "\"note\": \"restored from revision 1\"");
    ck_status(post("/api/jobs/1/restore", "{\"revision\": 9}"), 404);
    static const char *const BAD[] = {
        "{\"revision\": 0}",     "{\"revision\": 1.5}", "{\"revision\": \"1\"}",
        "{\"revision\": 1e300}", "{\"x\": 1}",          "[1]"};
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        ck_status(post("/api/jobs/1/restore", BAD[i]), 400);
    }
}
END_TEST

START_TEST(search_takes_any_text)
{
    post("/api/jobs", "{\"name\": \"Larch Ridge 100% \xc3\xa9t\xc3\xa9\"}");
    static const struct {
        const char *query;
        int status;
        bool found;
    } WANT[] = {{"search=ridge", 200, true},
                {"search=h+r", 200, true},
                {"search=h%20R", 200, true},
                {"search=100%25", 200, true},
                {"search=%C3%A9t%c3%A9", 200, true},
                {"search=", 200, true},
                {"search=%27%20OR%201=1", 200, false},
                {"search=%", 400, false},
                {"search=%4", 400, false},
                {"search=%zz", 400, false},
                {"search=%00", 400, false},
                {"hidden=0", 200, true},
                {"hidden=2", 400, false},
                {"hidden=1", 200, false},
                {"other=1", 200, true}};
    for (size_t i = 0; i < sizeof WANT / sizeof WANT[0]; i++) {
        const answer a = get(gw_arena_printf(arena, "/api/jobs?%s", WANT[i].query));
        ck_assert_msg(a.status == WANT[i].status, "%s: %d", WANT[i].query, a.status);
        ck_assert_msg((strstr(a.body, "\"id\": 1") != NULL) == WANT[i].found, "%s: %s",
                      WANT[i].query, a.body);
    }
}
END_TEST

START_TEST(unknown_job_or_revision_is_404_everywhere)
{
    post("/api/jobs", "{}");
    static const char *const GETS[] = {"/api/jobs/7",
                                       "/api/jobs/7/revisions",
                                       "/api/jobs/7/revisions/1",
                                       "/api/jobs/1/revisions/2",
                                       "/api/jobs/7/export",
                                       "/api/jobs/999999999999999999"};
    for (size_t i = 0; i < sizeof GETS / sizeof GETS[0]; i++) {
        const answer a = get(GETS[i]);
        ck_assert_msg(a.status == 404, "%s: %d", GETS[i], a.status);
        ck_has(a.body, "{\"errors\": [{\"path\": \"\", \"line\": 0, \"column\": 0, \"text\": \"");
    }
    ck_status(put_job("/api/jobs/7", "*", "{}"), 404);
    ck_status(post("/api/jobs/7/copy", "{}"), 404);
    ck_status(post("/api/jobs/7/restore", "{}"), 404);
    ck_status(ask(&(request){.method = "DELETE", .path = "/api/jobs/7"}), 404);
}
END_TEST

START_TEST(file_is_put_listed_read_and_removed)
{
    const request put = {.method = "PUT",
                         .path = "/api/files/Town-1.epw",
                         .type = "application/octet-stream",
                         .body = "one\0two",
                         .length = 7};
    ck_status(ask(&put), 201);
    const answer again = ask(&put);
    ck_status(again, 200);
    ck_assert_str_eq(again.body,
                     "{\"name\": \"Town-1.epw\", \"bytes\": 7, \"saved_unix_s\": 1790000000}\n");
    ck_has(get("/api/files").body, "{\"name\": \"Town-1.epw\", \"bytes\": 7");
    const answer got = get("/api/files/Town-1.epw");
    ck_status(got, 200);
    ck_assert_uint_eq(got.length, 7);
    ck_assert_mem_eq(got.body, "one\0two", 7);
    ck_has(got.heads, "Content-Type: application/octet-stream");
    ck_has(got.heads, "Content-Disposition: attachment; filename=\"Town-1.epw\"");
    ck_status(
        ask(&(request){.method = "PUT", .path = "/api/files/a", .type = "text/html", .body = "x"}),
        415);
    ck_status(ask(&(request){.method = "DELETE", .path = "/api/files/Town-1.epw"}), 200);
    ck_status(ask(&(request){.method = "DELETE", .path = "/api/files/Town-1.epw"}), 404);
    ck_status(get("/api/files/Town-1.epw"), 404);
}
END_TEST

START_TEST(store_that_may_only_be_read_answers_507)
{
    post("/api/jobs", "{\"v\": 1}");
    gw_serve_stop(server);
    const char *const path = gw_arena_strdup(arena, gw_store_path(store));
    gw_store_close(store);
    ck_ok(gw_store_open(&(gw_store_config){.path = path, .read_only = true}, &store, &err));
    const gw_serve_config config = {.version = "1", .store = store, .now_unix_s = fixed_clock};
    ck_ok(gw_serve_start(&config, &server, &err));
    port = gw_serve_port(server);
    ck_has(get("/api/version").body, "\"read_only\": true");
    const answer a = post("/api/jobs", "{\"v\": 2}");
    ck_status(a, 507);
    ck_has(a.body, "nothing was saved");
    ck_status(put_job("/api/jobs/1", "*", "{\"v\": 2}"), 507);
    ck_has(get("/api/jobs/1").body, "\"job\": {\"v\": 1}");
}
END_TEST

START_TEST(imported_job_is_not_doubled)
{
    static const char TEXT[] = "{\"name\": \"A\"}";
    gw_serve_import what = {.store = store, .text = TEXT, .length = sizeof TEXT - 1};
    int64_t one = 0;
    int64_t two = 0;
    ck_ok(gw_serve_import_job(arena, &what, &one, &err));
    ck_ok(gw_serve_import_job(arena, &what, &two, &err));
    ck_assert(one == 1 && two == 1);
    what.text = "{\"name\": \"B\"}";
    ck_ok(gw_serve_import_job(arena, &what, &two, &err));
    ck_assert_int_eq(two, 2);
    what.text = "[\"name\", \"B\"]";
    ck_assert_int_eq(gw_serve_import_job(arena, &what, &two, &err), GW_ERR_TYPE);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("serve jobs");
    TCase *const tc = tcase_create("jobs");
    tcase_add_checked_fixture(tc, open_server, close_server);
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, job_is_made_read_saved_and_exported);
    tcase_add_test(tc, two_windows_cannot_overwrite_each_other);
    tcase_add_test(tc, known_revision_is_not_sent_again);
    tcase_add_test(tc, what_is_no_object_is_not_saved);
    tcase_add_test(tc, text_over_4_mib_is_refused);
    tcase_add_test(tc, byte_order_mark_is_kept_in_export_and_left_out_in_json);
    tcase_add_test(tc, name_comes_from_the_text);
    tcase_add_test(tc, copy_changes_the_name_and_nothing_else);
    tcase_add_test(tc, hidden_job_is_restored_with_an_old_revision);
    tcase_add_test(tc, search_takes_any_text);
    tcase_add_test(tc, unknown_job_or_revision_is_404_everywhere);
    tcase_add_test(tc, file_is_put_listed_read_and_removed);
    tcase_add_test(tc, store_that_may_only_be_read_answers_507);
    tcase_add_test(tc, imported_job_is_not_doubled);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
