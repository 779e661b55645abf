// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Who is answered and who is not: hosts, origins, paths, bodies, framing, slow clients.
#include "client.h"

#include <time.h>

static const char *here(void)
{
    return gw_arena_printf(arena, "127.0.0.1:%u", port);
}

START_TEST(every_reply_carries_the_security_headers)
{
    static const char *const PATHS[] = {"/", "/api/version", "/api/nothing"};
    for (size_t i = 0; i < 3; i++) {
        const answer a = get(PATHS[i]);
        ck_has(a.heads, "Content-Security-Policy: default-src 'self'; ");
        ck_has(a.heads, "frame-ancestors 'none'");
        ck_has(a.heads, "X-Content-Type-Options: nosniff");
        ck_has(a.heads, "Referrer-Policy: no-referrer");
        ck_has(a.heads, "Cross-Origin-Resource-Policy: same-origin");
        ck_assert_ptr_null(strstr(a.heads, "Access-Control-"));
        ck_assert_ptr_null(strstr(a.heads, "Set-Cookie"));
    }
    ck_has(get("/api/version").heads, "Cache-Control: no-store");
}
END_TEST

START_TEST(root_is_a_page_and_its_mark_saves_the_second_trip)
{
    const answer a = get("/");
    ck_status(a, 200);
    ck_has(a.heads, "Content-Type: text/html; charset=utf-8");
    ck_has(a.body, "<!doctype html>");
    const char *const mark = strstr(a.heads, "ETag: ");
    ck_assert_ptr_nonnull(mark);
    const char *const more = gw_arena_printf(arena, "If-None-Match: %.18s\r\n", mark + 6);
    const answer again = ask(&(request){.method = "GET", .path = "/", .more = more});
    ck_status(again, 304);
    ck_assert_uint_eq(again.length, 0);
}
END_TEST

START_TEST(version_tells_program_interface_and_store)
{
    const answer a = get("/api/version");
    ck_status(a, 200);
    ck_has(a.heads, "Content-Type: application/json; charset=utf-8");
    ck_has(a.body, "\"version\": \"1.2.3\", \"api\": 1, \"job_format\": 1");
    ck_has(a.body, folder);
    ck_has(a.body, "\"read_only\": false, \"open\": null}");
}
END_TEST

START_TEST(head_is_get_without_the_body)
{
    const answer a = ask(&(request){.method = "HEAD", .path = "/api/lists"});
    ck_status(a, 200);
    ck_assert_uint_eq(a.length, 0);
    const answer full = get("/api/lists");
    ck_has(a.heads, gw_arena_printf(arena, "Content-Length: %zu", full.length));
}
END_TEST

START_TEST(unknown_method_says_what_is_allowed)
{
    const answer a = ask(&(request){.method = "DELETE", .path = "/api/jobs"});
    ck_status(a, 405);
    ck_has(a.heads, "Allow: GET, HEAD, POST");
    ck_status(ask(&(request){.method = "OPTIONS", .path = "/api/design"}), 405);
    ck_status(ask(&(request){.method = "TRACE", .path = "/"}), 404);
    ck_status(ask(&(request){.method = "POST", .path = "/", .body = "{}"}), 404);
}
END_TEST

START_TEST(only_the_exact_host_is_answered)
{
    const char *const good[] = {here(), gw_arena_printf(arena, "localhost:%u", port)};
    for (size_t i = 0; i < 2; i++) {
        ck_status(ask(&(request){.method = "GET", .path = "/api/version", .host = good[i]}), 200);
    }
    const char *const bad[] = {
        "127.0.0.1",
        "localhost",
        "evil.example",
        gw_arena_printf(arena, "evil.example:%u", port),
        gw_arena_printf(arena, "127.0.0.1:%u.evil.example", port),
        gw_arena_printf(arena, "127.0.0.1.evil.example:%u", port),
        gw_arena_printf(arena, "127.0.0.1:%u0", port),
        gw_arena_printf(arena, "127.0.0.1:0%u", port),
        gw_arena_printf(arena, "user@127.0.0.1:%u", port),
        gw_arena_printf(arena, "127.1:%u", port),
        gw_arena_printf(arena, "[::1]:%u", port),
        gw_arena_printf(arena, "LOCALHOST:%u", port),
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        static const char *const PATHS[] = {"/", "/api/version"};
        for (size_t p = 0; p < 2; p++) {
            const answer a = ask(&(request){.method = "GET", .path = PATHS[p], .host = bad[i]});
            ck_assert_msg(a.status == 421, "%s: %d", bad[i], a.status);
        }
    }
    ck_status(say("GET /api/version HTTP/1.0\r\n\r\n"), 421);
}
END_TEST

START_TEST(two_hosts_are_none)
{
    const char *const text =
        gw_arena_printf(arena,
                        "GET /api/version HTTP/1.1\r\nHost: %s\r\nHost: %s\r\nConnection: "
                        "close\r\n\r\n",
                        here(), here());
    ck_status(say(text), 400);
}
END_TEST

START_TEST(changes_from_another_site_are_refused)
{
    const char *const bad[] = {
        "",
        "null",
        "https://evil.example",
        gw_arena_printf(arena, "https://127.0.0.1:%u", port),
        gw_arena_printf(arena, "http://127.0.0.1:%u.evil.example", port),
        gw_arena_printf(arena, "http://127.0.0.1:%u/", port),
        "http://127.0.0.1",
        "http://localhost:1",
    };
    static const char *const WAYS[][2] = {
        {"POST", "/api/jobs"},           {"POST", "/api/design"},      {"PUT", "/api/jobs/1"},
        {"DELETE", "/api/jobs/1"},       {"POST", "/api/jobs/1/copy"}, {"PUT", "/api/files/a"},
        {"POST", "/api/jobs/1/restore"}, {"DELETE", "/api/files/a"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        for (size_t w = 0; w < sizeof WAYS / sizeof WAYS[0]; w++) {
            const bool has_body = strcmp(WAYS[w][0], "DELETE") != 0;
            const answer a = ask(&(request){.method = WAYS[w][0],
                                            .path = WAYS[w][1],
                                            .origin = bad[i],
                                            .body = has_body ? "{\"name\": \"x\"}" : NULL});
            ck_assert_msg(a.status == 403, "%s %s from %s: %d", WAYS[w][0], WAYS[w][1], bad[i],
                          a.status);
        }
    }
    gw_store_jobs found;
    ck_ok(gw_store_find_jobs(store, arena, &(gw_store_query){.most = 9}, &found, &err));
    ck_assert_uint_eq(found.count, 0);
    ck_status(ask(&(request){.method = "POST",
                             .path = "/api/jobs",
                             .origin = gw_arena_printf(arena, "http://localhost:%u", port),
                             .body = "{}"}),
              201);
}
END_TEST

START_TEST(reading_from_another_site_is_refused_where_the_browser_says_so)
{
    static const struct {
        const char *line;
        int status;
    } WANT[] = {{"Sec-Fetch-Site: same-origin\r\n", 200},
                {"Sec-Fetch-Site: none\r\n", 200},
                {"Sec-Fetch-Site: same-site\r\n", 403},
                {"Sec-Fetch-Site: cross-site\r\n", 403}};
    for (size_t i = 0; i < 4; i++) {
        const request r = {.method = "GET", .path = "/api/jobs", .more = WANT[i].line};
        ck_status(ask(&r), WANT[i].status);
    }
    const request link = {.method = "GET", .path = "/", .more = WANT[3].line};
    ck_status(ask(&link), 200); // following a link to the page is fine
}
END_TEST

START_TEST(content_type_must_be_json)
{
    static const struct {
        const char *type;
        int status;
    } WANT[] = {{"application/json", 201},
                {"application/json; charset=utf-8", 201},
                {"Application/JSON;charset=UTF-8", 201},
                {"text/plain", 415},
                {"application/x-www-form-urlencoded", 415},
                {"multipart/form-data; boundary=x", 415},
                {"application/json; charset=latin1", 415},
                {"application/jsonp", 415},
                {"", 415}};
    for (size_t i = 0; i < sizeof WANT / sizeof WANT[0]; i++) {
        const request r = {
            .method = "POST", .path = "/api/jobs", .type = WANT[i].type, .body = "{}"};
        ck_status(ask(&r), WANT[i].status);
    }
}
END_TEST

START_TEST(paths_are_taken_byte_for_byte)
{
    static const char *const BAD[] = {
        "?index.html",
        "xindex.html",
        "/../etc/passwd",
        "/..%2f..%2fetc/passwd",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/api/../index.html",
        "/api/%6aobs",
        "/api//jobs",
        "/api/jobs/",
        "/api/jobs/01",
        "/api/jobs/0",
        "/api/jobs/-1",
        "/api/jobs/+1",
        "/api/jobs/1%00",
        "/api/jobs/9999999999999999999",
        "/api/jobs/1x",
        "/API/jobs",
        "/api/files/..",
        "/api/files/.hidden",
        "/api/files/a/b",
        "/api/files/%2e%2e",
        "/api/files/..%2f",
        "/api/files/",
        "/api/examples/../version",
        "/api/examples/",
        "/api/lists/stations.csv",
        "/assets/../index.html",
        "/assets/",
        "//",
        "/index.html/",
        "/api",
        "/api/",
        "/api/jobs/1/revisions/",
        "/api/jobs/1/revisions/x",
        "/.git/config",
        "/api/examples/farm\\house",
        "http://evil.example/",
    };
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        const answer a = get(BAD[i]);
        ck_assert_msg(a.status == 404 || a.status == 400, "%s: %d", BAD[i], a.status);
        ck_assert_ptr_null(strstr(a.body, "root:"));
        const request write = {
            .method = "PUT", .path = BAD[i], .type = "application/octet-stream", .body = "x"};
        const answer w = ask(&write);
        ck_assert_msg(w.status == 404 || w.status == 400 || w.status == 405, "PUT %s: %d", BAD[i],
                      w.status);
    }
    gw_store_files files;
    ck_ok(gw_store_get_files(store, arena, &files, &err));
    ck_assert_uint_eq(files.count, 0);
}
END_TEST

START_TEST(body_over_the_limit_is_refused_before_it_is_sent)
{
    const int s = dial();
    const char *const head = gw_arena_printf(
        arena,
        "POST /api/design HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nContent-Type: "
        "application/json\r\nContent-Length: 8388609\r\n\r\n",
        here(), here());
    put(s, head, strlen(head));
    ck_status(hear(s), 413);
    const char *const huge = gw_arena_printf(
        arena,
        "POST /api/design HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nContent-Type: "
        "application/json\r\nContent-Length: 99999999999999999999999999\r\n\r\n",
        here(), here());
    const answer a = say(huge);
    ck_assert_msg(a.status == 413 || a.status == 400, "%d", a.status);
}
END_TEST

// `count` chunks of 64 KiB, then the end.
static answer send_chunks(size_t count)
{
    enum { CHUNK = 65536 };
    const int s = dial();
    const char *const head = gw_arena_printf(
        arena,
        "POST /api/verify HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nContent-Type: "
        "application/json\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\n",
        here(), here());
    char *const blanks = gw_arena_alloc(arena, CHUNK, 1);
    memset(blanks, ' ', CHUNK);
    bool open = put(s, head, strlen(head));
    for (size_t i = 0; open && i < count; i++) {
        open = put(s, "10000\r\n", 7) && put(s, blanks, CHUNK) && put(s, "\r\n", 2);
    }
    if (open) {
        put(s, "0\r\n\r\n", 5);
    }
    return hear(s);
}

START_TEST(chunked_body_is_taken_and_its_limit_holds)
{
    const answer small = send_chunks(1);
    ck_status(small, 200);
    ck_has(small.body, "\"valid\": false");
    ck_status(send_chunks(140), 413);
    const answer endless = send_chunks(4000); // cut off at twice the limit
    ck_assert_int_eq(endless.status, 0);
    ck_status(get("/api/version"), 200);
}
END_TEST

START_TEST(bad_framing_is_refused_and_the_server_lives)
{
    static const char *const BAD[] = {
        "\r\n\r\n\r\n",
        "NONSENSE\r\n\r\n",
        "GET\r\n\r\n",
        "GET /api/version\r\n\r\n",
        "GET /api/version HTTP/9.9\r\nHost: %s\r\n\r\n",
        "GET /api/version HTTP/1.1\r\n\r\n",
        "GET /api/version HTTP/1.1\r\nHost %s\r\n\r\n",
        "GET /api/version HTTP/1.1\r\nHost: %s\r\nContent-Length: 3\r\n\r\nabc",
        "POST /api/verify HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nContent-Type: "
        "application/json\r\nContent-Length: -1\r\n\r\n{}",
        "POST /api/verify HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nContent-Type: "
        "application/json\r\nContent-Length: 2, 2\r\n\r\n{}",
        "POST /api/verify HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nContent-Type: "
        "application/json\r\nContent-Length: 2\r\nContent-Length: 3\r\n\r\n{}",
        "POST /api/verify HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nContent-Type: "
        "application/json\r\nContent-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n{}",
        "POST /api/verify HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nContent-Type: "
        "application/json\r\nTransfer-Encoding: gzip\r\n\r\n{}",
        "POST /api/verify HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nContent-Type: "
        "application/json\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n{}\r\n0\r\n\r\n",
    };
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        char text[600];
        size_t length = 0;
        for (const char *p = BAD[i]; *p != '\0' && length < sizeof text - 40;) {
            if (p[0] == '%' && p[1] == 's') {
                length += (size_t)snprintf(text + length, 40, "%s", here());
                p += 2;
            } else {
                text[length++] = *p++;
            }
        }
        text[length] = '\0';
        const answer a = say(text);
        ck_assert_msg(a.status == 0 || (a.status >= 400 && a.status < 600), "%s: %d %s", text,
                      a.status, a.body);
    }
    ck_status(get("/api/version"), 200);
}
END_TEST

START_TEST(head_too_long_is_refused)
{
    char *const filler = gw_arena_alloc(arena, 200001, 1);
    memset(filler, 'a', 200000);
    const char *const path = gw_arena_printf(arena, "/%s", filler);
    const answer a = get(path);
    ck_assert_msg(a.status == 0 || a.status == 414 || a.status == 431 || a.status == 413, "%d",
                  a.status);
    const char *const more = gw_arena_printf(arena, "X-Long: %s\r\n", filler);
    const answer b = ask(&(request){.method = "GET", .path = "/", .more = more});
    ck_assert_msg(b.status == 0 || b.status == 431 || b.status == 413, "%d", b.status);
    ck_status(get("/api/version"), 200);
}
END_TEST

static double seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

// The server of the test closes after one silent second; WAIT_S would be over long after.
START_TEST(silent_client_is_let_go_and_holds_nobody_up)
{
    int silent[20];
    for (size_t i = 0; i < 20; i++) {
        silent[i] = dial();
        put(silent[i], "GET /api/ver", 12);
    }
    ck_status(get("/api/version"), 200);
    const double begun = seconds();
    for (size_t i = 0; i < 20; i++) {
        const answer a = hear(silent[i]);
        ck_assert_msg(a.status == 0 || a.status == 408, "%d", a.status);
    }
    ck_assert_msg(seconds() - begun < WAIT_S / 2, "not let go");
}
END_TEST

START_TEST(body_that_drips_is_cut_off)
{
    const int s = dial();
    const char *const head = gw_arena_printf(
        arena,
        "POST /api/verify HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nContent-Type: "
        "application/json\r\nContent-Length: 1000\r\n\r\n",
        here(), here());
    put(s, head, strlen(head));
    size_t drops = 0;
    while (drops < 200 && put(s, " ", 1)) {
        drops++;
        nanosleep(&(struct timespec){.tv_nsec = 100000000}, NULL);
    }
    ck_assert_uint_lt(drops, 200);
    ck_assert_int_eq(hear(s).status, 0);
}
END_TEST

START_TEST(connection_carries_many_requests)
{
    const int s = dial();
    const char *const one =
        gw_arena_printf(arena, "GET /api/lists HTTP/1.1\r\nHost: %s\r\n\r\n", here());
    const char *const last = gw_arena_printf(
        arena, "GET /api/lists HTTP/1.1\r\nHost: %s\r\nConnection: close\r\n\r\n", here());
    for (int i = 0; i < 50; i++) {
        ck_assert(put(s, one, strlen(one)));
    }
    ck_assert(put(s, last, strlen(last)));
    const answer a = hear(s);
    size_t replies = 1;
    for (const char *p = a.body; (p = strstr(p, "HTTP/1.1 200 OK")) != NULL; p++) {
        replies++;
    }
    ck_assert_uint_eq(replies, 51);
}
END_TEST

START_TEST(another_address_or_port_is_refused)
{
    static const char *const BAD[] = {"0.0.0.0", "127.0.0.2", "::1", "localhost", ""};
    gw_serve_config config = {.version = "1", .store = store, .now_unix_s = fixed_clock};
    gw_serve *second = NULL;
    for (size_t i = 0; i < 5; i++) {
        config.address = BAD[i];
        ck_assert_int_eq(gw_serve_start(&config, &second, &err), GW_ERR_RANGE);
        ck_assert_str_eq(err.field, "address");
    }
    config.address = "127.0.0.1";
    config.port = 65536;
    ck_assert_int_eq(gw_serve_start(&config, &second, &err), GW_ERR_RANGE);
    config.port = port; // taken by the first one
    ck_assert_int_eq(gw_serve_start(&config, &second, &err), GW_ERR_IO);
    ck_has(err.text, "cannot be listened on");
    ck_assert_ptr_null(second);
}
END_TEST

// A second server cannot be reached from another address of this machine either.
START_TEST(only_the_loopback_address_listens)
{
    const int s = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    struct sockaddr_in there = {.sin_family = AF_INET, .sin_port = htons((uint16_t)port)};
    ck_assert_int_eq(inet_pton(AF_INET, "127.0.0.2", &there.sin_addr), 1);
    ck_assert_int_ne(connect(s, (const struct sockaddr *)&there, sizeof there), 0);
    close(s);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("serve http");
    TCase *const tc = tcase_create("http");
    silence_s = 1;
    tcase_add_checked_fixture(tc, open_server, close_server);
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, every_reply_carries_the_security_headers);
    tcase_add_test(tc, root_is_a_page_and_its_mark_saves_the_second_trip);
    tcase_add_test(tc, version_tells_program_interface_and_store);
    tcase_add_test(tc, head_is_get_without_the_body);
    tcase_add_test(tc, unknown_method_says_what_is_allowed);
    tcase_add_test(tc, only_the_exact_host_is_answered);
    tcase_add_test(tc, two_hosts_are_none);
    tcase_add_test(tc, changes_from_another_site_are_refused);
    tcase_add_test(tc, reading_from_another_site_is_refused_where_the_browser_says_so);
    tcase_add_test(tc, content_type_must_be_json);
    tcase_add_test(tc, paths_are_taken_byte_for_byte);
    tcase_add_test(tc, body_over_the_limit_is_refused_before_it_is_sent);
    tcase_add_test(tc, chunked_body_is_taken_and_its_limit_holds);
    tcase_add_test(tc, bad_framing_is_refused_and_the_server_lives);
    tcase_add_test(tc, head_too_long_is_refused);
    tcase_add_test(tc, silent_client_is_let_go_and_holds_nobody_up);
    tcase_add_test(tc, body_that_drips_is_cut_off);
    tcase_add_test(tc, connection_carries_many_requests);
    tcase_add_test(tc, another_address_or_port_is_refused);
    tcase_add_test(tc, only_the_loopback_address_listens);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
