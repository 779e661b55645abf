// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Designs and built-in tables over HTTP are those of the library, byte for byte.
#include "client.h"

#include "base/builtin.h"
#include "base/table.h"
#include "design/design.h"
#include "job/node.h"
#include "job/starter.h"

#include <pthread.h>

static const gw_node *read_json(const answer *a)
{
    const gw_node *root = NULL;
    const gw_status st = gw_node_read(arena, a->body, a->length, &root, &err);
    ck_assert_msg(st == GW_OK, "%d:%d %s", err.line, err.column, err.text);
    return root;
}

static const char *text_of(const gw_node *root, const char *path)
{
    const gw_node *const node = gw_node_deepest(root, path);
    ck_assert_msg(node->type == GW_NODE_TEXT, "%s is no text", path);
    return node->text;
}

static const char *read_file(const char *path)
{
    FILE *const file = fopen(path, "rb");
    ck_assert_ptr_nonnull(file);
    char *const text = gw_arena_alloc(arena, 65536, 1);
    ck_assert_uint_lt(fread(text, 1, 65535, file), 65535);
    fclose(file);
    return text;
}

static const char *farmhouse(void)
{
    return read_file(GW_SOURCE_DIR "/examples/farmhouse.json");
}

// What the command line prints with --json.
static const char *design_here(const char *text)
{
    gw_units *const units = gw_units_create(&err);
    const gw_job_source source = {
        .arena = arena, .units = units, .text = text, .length = strlen(text)};
    const gw_job *job = NULL;
    gw_form_report report;
    ck_ok(gw_job_read(&source, &job, &report, &err));
    gw_units_destroy(units);
    const gw_design_input input = {.job = job};
    const gw_design *design = NULL;
    const gw_status st = gw_design_run(arena, &input, &design, &err);
    ck_assert(st == GW_OK || st == GW_ERR_CAPACITY);
    const char *out = NULL;
    ck_ok(gw_design_write_json(arena, design, &out, &err));
    return out;
}

START_TEST(design_is_that_of_the_command_line)
{
    const char *const text = farmhouse();
    const answer a = post("/api/design", text);
    ck_status(a, 200);
    ck_has(a.heads, "Cache-Control: no-store");
    const char *const want = gw_arena_printf(
        arena, "{\"stands\": true, \"because\": null, \"warnings\": [],\n\"design\": %s}\n",
        design_here(text));
    ck_assert_uint_eq(a.length, strlen(want));
    ck_assert(memcmp(a.body, want, a.length) == 0);
    ck_has(get("/api/jobs").body, "\"jobs\": []"); // nothing is kept
}
END_TEST

static void *ask_design(void *text)
{
    // The arena of the test is for one thread: each has its own and its own bytes on the wire.
    gw_arena *const own = gw_arena_create(0);
    const size_t length = strlen(text);
    const char *const head = gw_arena_printf(
        own,
        "POST /api/design HTTP/1.1\r\nHost: 127.0.0.1:%u\r\nOrigin: http://127.0.0.1:%u\r\n"
        "Content-Type: application/json\r\nContent-Length: %zu\r\nConnection: close\r\n\r\n",
        port, port, length);
    const int s = dial();
    put(s, head, strlen(head));
    put(s, text, length);
    char *const reply = calloc(1, REPLY_MOST + 1);
    size_t got = 0;
    for (ssize_t n = 1; n > 0; got += n > 0 ? (size_t)n : 0) {
        n = recv(s, reply + got, REPLY_MOST - got, 0);
    }
    close(s);
    gw_arena_destroy(own);
    return reply;
}

START_TEST(designs_at_the_same_time_have_the_same_bytes)
{
    char *const text = gw_arena_strdup(arena, farmhouse());
    const char *const want = design_here(text);
    pthread_t threads[6];
    for (size_t i = 0; i < 6; i++) {
        ck_assert_int_eq(pthread_create(&threads[i], NULL, ask_design, text), 0);
    }
    for (size_t i = 0; i < 6; i++) {
        void *reply = NULL;
        pthread_join(threads[i], &reply);
        ck_assert_ptr_nonnull(strstr(reply, want));
        free(reply);
    }
}
END_TEST

START_TEST(job_with_errors_is_422_with_all_of_them)
{
    const answer a =
        post("/api/design", "{\n  \"groundwright\": 1,\n  \"name\": 3,\n  \"sit\": {}\n}");
    ck_status(a, 422);
    const gw_node *const root = read_json(&a);
    const gw_node *const errors = gw_node_member(root, "errors");
    ck_assert_uint_ge(errors->count, 4);
    bool seen = false;
    for (size_t i = 0; i < errors->count; i++) {
        const gw_node *const e = &errors->items[i];
        if (strcmp(gw_node_member(e, "path")->text, "name") == 0) {
            ck_assert(gw_node_member(e, "line")->number == 3.0);
            ck_assert(gw_node_member(e, "column")->number == 11.0);
            ck_has(gw_node_member(e, "text")->text, "expected");
            seen = true;
        }
    }
    ck_assert(seen);
    const answer broken = post("/api/design", "{\n \"a\": }");
    ck_status(broken, 422);
    ck_has(broken.body, "\"line\": 2, ");
}
END_TEST

START_TEST(loop_that_cannot_stand_is_an_answer)
{
    // The farmhouse on a lot that holds next to nothing.
    char *const text = gw_arena_strdup(arena, farmhouse());
    static const char *const KEYS[] = {"\"usable_length_m\": \"", "\"usable_width_m\": \""};
    for (size_t i = 0; i < 2; i++) {
        char *const at = strstr(text, KEYS[i]);
        ck_assert_ptr_nonnull(at);
        memcpy(at + strlen(KEYS[i]), " 10", 3); // of "300 ft"
    }
    const answer a = post("/api/design", text);
    ck_status(a, 200);
    const gw_node *const root = read_json(&a);
    ck_assert(!gw_node_member(root, "stands")->yes);
    ck_has(text_of(root, "because"), "none of the 3 loops");
    ck_assert_int_eq(gw_node_deepest(root, "design.best")->type, GW_NODE_NULL);
}
END_TEST

// The farmhouse with another key in an object of it.
static const char *with_key(const char *object, const char *key)
{
    const char *const text = farmhouse();
    const char *const at = strstr(text, object);
    ck_assert_ptr_nonnull(at);
    const size_t before = (size_t)(at - text) + strlen(object);
    return gw_arena_printf(arena, "%.*s %s,%s", (int)before, text, key, text + before);
}

START_TEST(paths_of_the_machine_are_never_opened)
{
    static const char *const NAMES[] = {"/etc/passwd", "../../etc/passwd", "town.epw", ".",
                                        "file:///etc/passwd"};
    for (size_t i = 0; i < sizeof NAMES / sizeof NAMES[0]; i++) {
        const answer a = post(
            "/api/design",
            with_key("\"site\": {", gw_arena_printf(arena, "\"weather_file\": \"%s\"", NAMES[i])));
        ck_status(a, 422);
        ck_has(a.body, "{\"path\": \"site.weather_file\", ");
        ck_has(a.body, "opens no files of this machine");
        const answer b = post(
            "/api/design",
            with_key("\"money\": {", gw_arena_printf(arena, "\"price_book\": \"%s\"", NAMES[i])));
        ck_status(b, 422);
        ck_has(b.body, "{\"path\": \"money.price_book\", ");
    }
}
END_TEST

static void upload(const char *name, const char *text, size_t length)
{
    const request r = {.method = "PUT",
                       .path = gw_arena_printf(arena, "/api/files/%s", name),
                       .type = "text/csv",
                       .body = text,
                       .length = length};
    ck_status(ask(&r), 201);
}

START_TEST(uploaded_price_book_is_used)
{
    gw_builtin_file prices;
    ck_assert(gw_builtin("prices.csv", &prices));
    upload("mine.csv", prices.text, prices.length);
    const answer own =
        post("/api/design", with_key("\"money\": {", "\"price_book\": \"mine.csv\""));
    ck_status(own, 200);
    const answer plain = post("/api/design", farmhouse());
    const gw_node *const a = read_json(&own);
    const gw_node *const b = read_json(&plain);
    static const char TOTAL[] = "design.loops[0].estimate.total.typical_cents";
    ck_assert(gw_node_deepest(a, TOTAL)->number > 0.0);
    ck_assert(gw_node_deepest(a, TOTAL)->number == gw_node_deepest(b, TOTAL)->number);
    const char *const bad = "key,unit\nx,m\n";
    const request worse = {
        .method = "PUT", .path = "/api/files/mine.csv", .type = "text/csv", .body = bad};
    ck_status(ask(&worse), 200);
    const answer c = post("/api/design", with_key("\"money\": {", "\"price_book\": \"mine.csv\""));
    ck_status(c, 422);
    ck_has(c.body, "\"path\": \"money.price_book\"");
}
END_TEST

START_TEST(uploaded_weather_file_that_is_none_is_told_with_its_line)
{
    static const char TEXT[] = "LOCATION,Nowhere\nthis is no weather\n";
    upload("town.epw", TEXT, sizeof TEXT - 1);
    const answer a = post("/api/design", with_key("\"site\": {", "\"weather_file\": \"town.epw\""));
    ck_status(a, 422);
    ck_has(a.body, "\"path\": \"site.weather_file\"");
    ck_has(a.body, "town.epw");
}
END_TEST

START_TEST(verify_answers_good_and_bad_jobs_alike)
{
    const answer good = post("/api/verify", farmhouse());
    ck_status(good, 200);
    const gw_node *const root = read_json(&good);
    ck_assert(gw_node_member(root, "valid")->yes);
    ck_assert_uint_eq(gw_node_member(root, "errors")->count, 0);
    ck_assert_uint_gt(gw_node_member(root, "defaults")->count, 3);
    ck_assert_str_ne(text_of(root, "defaults[0].path"), "");
    ck_assert_str_ne(text_of(root, "defaults[0].value"), "");
    const answer bad = post("/api/verify", "not json");
    ck_status(bad, 200);
    const gw_node *const no = read_json(&bad);
    ck_assert(!gw_node_member(no, "valid")->yes);
    ck_assert_uint_eq(gw_node_member(no, "errors")->count, 1);
}
END_TEST

START_TEST(starter_schema_and_examples_are_valid_json)
{
    ck_assert_str_eq(get("/api/starter").body, gw_job_starter());
    const answer schema = get("/api/schema");
    ck_status(schema, 200);
    ck_assert_int_eq(read_json(&schema)->type, GW_NODE_OBJECT);
    const answer list = get("/api/examples");
    const gw_node *const examples = gw_node_member(read_json(&list), "examples");
    ck_assert_uint_ge(examples->count, 3);
    for (size_t i = 0; i < examples->count; i++) {
        const char *const name = gw_node_member(&examples->items[i], "name")->text;
        const answer e = get(gw_arena_printf(arena, "/api/examples/%s", name));
        ck_status(e, 200);
        ck_assert_str_eq(
            e.body, read_file(gw_arena_printf(arena, GW_SOURCE_DIR "/examples/%s.json", name)));
        ck_assert_str_eq(gw_node_member(read_json(&e), "name")->text,
                         gw_node_member(&examples->items[i], "title")->text);
        ck_has(post("/api/verify", e.body).body, "{\"valid\": true");
    }
    ck_status(get("/api/examples/nowhere"), 404);
    ck_status(get("/api/examples/farmhouse.json"), 404);
}
END_TEST

START_TEST(lists_have_every_row_and_column_of_their_table)
{
    static const char *const FILES[][2] = {
        {"stations", "stations.csv"},  {"soils", "soils.csv"},
        {"pipes", "pipes.csv"},        {"heat-pumps", "heat_pumps.csv"},
        {"fluids", "fluid_kinds.csv"}, {"fuels", "fuels.csv"},
        {"prices", "prices.csv"},      {"setbacks", "setbacks.csv"},
        {"grid", "grid.csv"},          {"alternatives", "alternatives.csv"}};
    for (size_t i = 0; i < sizeof FILES / sizeof FILES[0]; i++) {
        gw_builtin_file file;
        gw_table table;
        ck_assert(gw_builtin(FILES[i][1], &file));
        ck_ok(gw_table_read(arena, file.name, file.text, file.length, &table, &err));
        const answer a = get(gw_arena_printf(arena, "/api/lists/%s", FILES[i][0]));
        ck_status(a, 200);
        const gw_node *const root = read_json(&a);
        const gw_node *const rows = gw_node_member(root, "rows");
        ck_assert_uint_eq(gw_node_member(root, "columns")->count, table.columns);
        ck_assert_uint_eq(rows->count, table.rows);
        for (size_t r = 0; r < table.rows; r++) {
            ck_assert_uint_eq(rows->items[r].count, table.columns);
            const gw_node *const source = gw_node_member(&rows->items[r], "source");
            ck_assert_int_eq(source->type, GW_NODE_TEXT);
        }
    }
    const answer stations = get("/api/lists/stations");
    const gw_node *const root = read_json(&stations);
    ck_assert_str_eq(text_of(root, "rows[0].id"), "halifax");
    ck_assert(gw_node_deepest(root, "rows[0].jan_degc")->number == -5.9);
    ck_status(get("/api/lists/nothing"), 404);
    ck_status(get("/api/lists/heat_pumps.csv"), 404);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("serve designs");
    TCase *const tc = tcase_create("designs");
    tcase_add_checked_fixture(tc, open_server, close_server);
    tcase_set_timeout(tc, 300);
    tcase_add_test(tc, design_is_that_of_the_command_line);
    tcase_add_test(tc, designs_at_the_same_time_have_the_same_bytes);
    tcase_add_test(tc, job_with_errors_is_422_with_all_of_them);
    tcase_add_test(tc, loop_that_cannot_stand_is_an_answer);
    tcase_add_test(tc, paths_of_the_machine_are_never_opened);
    tcase_add_test(tc, uploaded_price_book_is_used);
    tcase_add_test(tc, uploaded_weather_file_that_is_none_is_told_with_its_line);
    tcase_add_test(tc, verify_answers_good_and_bad_jobs_alike);
    tcase_add_test(tc, starter_schema_and_examples_are_valid_json);
    tcase_add_test(tc, lists_have_every_row_and_column_of_their_table);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
