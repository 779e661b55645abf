// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Positions of values and keys, and the questions to the tree.
#include "job/node.h"

#include "harness.h"

#include <string.h>

static gw_arena *arena;

static void open_arena(void)
{
    arena = gw_arena_create(0);
}

static void close_arena(void)
{
    gw_arena_destroy(arena);
}

static const gw_node *read_text(const char *text)
{
    const gw_node *root = NULL;
    gw_err err = {0};
    const gw_status st = gw_node_read(arena, text, strlen(text), &root, &err);
    ck_assert_msg(st == GW_OK, "%s", err.text);
    return root;
}

START_TEST(values_and_keys_have_their_line_and_column)
{
    const gw_node *const root = read_text("{\n"
                                          "  \"a\" : 1 ,\n"
                                          "  \"b\\\"{\": [ true, {\"c\":null} ,\n"
                                          "\t\"x]\" ],\n"
                                          "  \"\xc3\xa9\": \"\xc3\xa9\xc3\xa9\", \"d\": -1.5e3\n"
                                          "}");
    static const struct {
        const char *path;
        int line, column, key_line, key_column;
    } WANT[] = {
        {"a", 2, 9, 2, 3},        {"b\"{", 3, 11, 3, 3},       {"b\"{[0]", 3, 13, 0, 0},
        {"b\"{[1]", 3, 19, 0, 0}, {"b\"{[1].c", 3, 24, 3, 20}, {"b\"{[2]", 4, 2, 0, 0},
        {"\xc3\xa9", 5, 8, 5, 3}, {"d", 5, 19, 5, 14},
    };
    ck_assert(root->line == 1 && root->column == 1);
    for (size_t i = 0; i < sizeof WANT / sizeof WANT[0]; i++) {
        const gw_node *const node = gw_node_deepest(root, WANT[i].path);
        ck_assert_msg(node->line == WANT[i].line && node->column == WANT[i].column &&
                          node->key_line == WANT[i].key_line &&
                          node->key_column == WANT[i].key_column,
                      "%s: %d:%d, key %d:%d", WANT[i].path, node->line, node->column,
                      node->key_line, node->key_column);
    }
    ck_assert(gw_node_member(root, "d")->number == -1500.0);
}
END_TEST

START_TEST(the_deepest_value_of_a_path_is_found)
{
    const gw_node *const root = read_text("{\"a\": {\"b\": [1, {\"c\": 2}]}}");
    ck_assert(gw_node_deepest(root, "a.b[1].c")->number == 2.0);
    ck_assert_int_eq(gw_node_deepest(root, "a.b[7].c")->type, GW_NODE_LIST);
    ck_assert_int_eq(gw_node_deepest(root, "a.z")->type, GW_NODE_OBJECT);
    ck_assert_ptr_eq(gw_node_deepest(root, "")->items, root->items);
    ck_assert_ptr_null(gw_node_deepest(NULL, "a"));
    ck_assert_ptr_null(gw_node_member(gw_node_member(root, "a"), "c"));
    ck_assert_ptr_null(gw_node_member(NULL, "a"));
}
END_TEST

START_TEST(a_byte_order_mark_is_skipped)
{
    const gw_node *const root = read_text("\xEF\xBB\xBF{\"a\": 1}");
    ck_assert_int_eq(gw_node_member(root, "a")->column, 7);
}
END_TEST

START_TEST(numbers_keep_every_digit)
{
    const gw_node *const root =
        read_text("[0.1, 12345678901234567890, 1e-320, -0, 2.2250738585072014e-308]");
    ck_assert(root->items[0].number == 0.1 && root->items[1].number == 12345678901234567890.0);
    ck_assert(root->items[2].number == 1e-320 && root->items[4].number == 2.2250738585072014e-308);
}
END_TEST

START_TEST(nesting_is_allowed_up_to_the_limit_and_brackets_in_text_do_not_count)
{
    char text[64] = "";
    for (int depth = 20; depth <= 21; depth++) {
        memset(text, '[', (size_t)depth);
        memset(text + depth, ']', (size_t)depth);
        text[2 * depth] = '\0';
        const gw_node *root = NULL;
        gw_err err = {0};
        const gw_status st = gw_node_read(arena, text, strlen(text), &root, &err);
        ck_assert_int_eq(st, depth == 20 ? GW_OK : GW_ERR_SYNTAX);
        ck_assert_int_eq(err.column, depth == 20 ? 0 : 21);
    }
    read_text("\"[[[[[[[[[[[[[[[[[[[[[[[[[[[[\\\"[[[[[[[[\"");
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("node");
    TCase *const tcase = tcase_create("all");
    tcase_add_unchecked_fixture(tcase, open_arena, close_arena);
    tcase_add_test(tcase, values_and_keys_have_their_line_and_column);
    tcase_add_test(tcase, the_deepest_value_of_a_path_is_found);
    tcase_add_test(tcase, a_byte_order_mark_is_skipped);
    tcase_add_test(tcase, numbers_keep_every_digit);
    tcase_add_test(tcase, nesting_is_allowed_up_to_the_limit_and_brackets_in_text_do_not_count);
    suite_add_tcase(suite, tcase);
    return harness_run(suite);
}
