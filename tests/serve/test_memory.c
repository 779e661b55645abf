// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Every handler with memory that runs out at the first, second, third … allocation: an answer that
// is whole or none at all, and never a half-done change.
#include "client.h"

#include "serve/serve_priv.h"

static gw_serve_priv_state state;

static void open_state(void)
{
    open_server();
    state = (gw_serve_priv_state){
        .config = {.version = "1", .store = store, .now_unix_s = fixed_clock}, .port = port};
    state.units = gw_units_create(&err);
    ck_assert_ptr_nonnull(state.units);
    ck_assert_int_eq(pthread_mutex_init(&state.units_lock, NULL), 0);
}

static void close_state(void)
{
    gw_units_destroy(state.units);
    pthread_mutex_destroy(&state.units_lock);
    close_server();
}

typedef struct {
    const char *method, *path, *body;
} ask_row;

// The status of one request whose memory ends after `allowed` allocations; 0: no answer.
static unsigned try_once(const ask_row *row, size_t allowed)
{
    gw_arena *const small = gw_arena_create(0);
    gw_serve_priv_request r = {.state = &state,
                               .arena = small,
                               .method = row->method,
                               .path = row->path,
                               .body = row->body,
                               .length = row->body != NULL ? strlen(row->body) : 0};
    r.heads.if_match = "*";
    gw_serve_priv_reply reply = {0};
    gw_arena_fail_after(small, allowed);
    if (!gw_serve_priv_page(&r, &reply)) {
        const gw_serve_priv_route *const route = gw_serve_priv_find_route(&r, &reply);
        if (route != NULL) {
            route->run(&r, &reply);
        }
    }
    const unsigned status = reply.status;
    if (status != 0) {
        ck_assert_uint_eq(strlen(reply.text), reply.length);
    }
    gw_arena_destroy(small);
    return status;
}

START_TEST(handlers_survive_memory_that_runs_out)
{
    static const ask_row ROWS[] = {
        {"GET", "/", NULL},
        {"GET", "/nothing", NULL},
        {"GET", "/api/version", NULL},
        {"GET", "/api/schema", NULL},
        {"GET", "/api/examples", NULL},
        {"GET", "/api/lists/grid", NULL},
        {"GET", "/api/lists/nothing", NULL},
        {"GET", "/api/jobs", NULL},
        {"GET", "/api/jobs/1", NULL},
        {"GET", "/api/jobs/1/revisions", NULL},
        {"GET", "/api/jobs/1/revisions/1", NULL},
        {"GET", "/api/jobs/1/export", NULL},
        {"GET", "/api/files", NULL},
        {"GET", "/api/files/a.csv", NULL},
        {"POST", "/api/verify", "{\"groundwright\": 1, \"name\": 4}"},
        {"POST", "/api/design", "{\"groundwright\": 1, \"name\": 4}"},
    };
    post("/api/jobs", "{\"name\": \"A\"}");
    bool replaced = false;
    ck_ok(gw_store_put_file(store, &(gw_store_file){"a.csv", "x", 1, 1}, &replaced, &err));
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        const unsigned whole = try_once(&ROWS[i], SIZE_MAX);
        ck_assert_uint_ne(whole, 0);
        size_t allowed = 0;
        size_t failed = 0;
        for (unsigned status = 0; status != whole; allowed++) {
            status = try_once(&ROWS[i], allowed);
            failed += status != whole ? 1 : 0;
            ck_assert_msg(status == whole || status == 0 || status >= 500, "%s: %u", ROWS[i].path,
                          status);
        }
        ck_assert_msg(failed >= 1, "%s needs no memory", ROWS[i].path);
    }
}
END_TEST

// A change is made when its answer says so, and at no other time: but an answer may be lost after
// the change, which the next look at the job then shows.
START_TEST(changes_are_whole_or_not_there)
{
    static const ask_row ROWS[] = {
        {"POST", "/api/jobs", "{\"name\": \"B\"}"},
        {"PUT", "/api/jobs/1", "{\"name\": \"C\"}"},
        {"POST", "/api/jobs/1/copy", "{}"},
        {"POST", "/api/jobs/1/restore", "{\"revision\": 1}"},
        {"DELETE", "/api/jobs/1", NULL},
    };
    post("/api/jobs", "{\"name\": \"A\"}");
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        unsigned status = 0;
        for (size_t allowed = 0; status != 200 && status != 201; allowed++) {
            status = try_once(&ROWS[i], allowed);
            ck_assert_uint_lt(allowed, 200);
        }
    }
    gw_store_jobs found;
    ck_ok(gw_store_find_jobs(store, arena, &(gw_store_query){.most = 500}, &found, &err));
    for (size_t i = 0; i < found.count; i++) { // every head has its latest revision
        gw_store_revision r;
        const gw_store_place place = {found.items[i].id, found.items[i].revision};
        ck_ok(gw_store_get_revision(store, arena, place, &r, &err));
        ck_assert_str_eq(r.name, found.items[i].name);
    }
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("serve memory");
    TCase *const tc = tcase_create("memory");
    tcase_add_checked_fixture(tc, open_state, close_state);
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, handlers_survive_memory_that_runs_out);
    tcase_add_test(tc, changes_are_whole_or_not_there);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
