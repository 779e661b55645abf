// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Reading one scalar value by its row.
#include "base/builtin.h"
#include "base/text.h"
#include "job/form_priv.h"
#include "money/program.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { SHOWN_BYTES = 100, LIMITS_BYTES = 80 };

static void complain_type(gw_form_reader *reader, const gw_node *node, const char *expected)
{
    char shown[SHOWN_BYTES];
    gw_form_priv_complain(reader, node, GW_ERR_TYPE, "found %s, expected %s",
                          gw_node_print(node, shown, sizeof shown), expected);
}

// ---------------------------------------------------------------- numbers

// Within the limits? Complains, or warns where the value is merely unusual.
static bool check_limits(gw_form_reader *reader, const gw_form_field *field, const gw_node *node,
                         double value)
{
    char shown[SHOWN_BYTES];
    char limits[LIMITS_BYTES];
    char unit[24];
    gw_form_priv_unit(field, unit, sizeof unit);
    if (node->type == GW_NODE_TEXT) {
        snprintf(shown, sizeof shown, "\"%.40s\" (%.6g%s)", node->text, value, unit);
    } else {
        snprintf(shown, sizeof shown, "%.9g%s", value, unit);
    }
    const bool inside = field->open_below ? value > field->lowest : value >= field->lowest;
    if (!inside || !(value <= field->highest)) {
        gw_form_priv_complain(reader, node, GW_ERR_RANGE, "found %s, expected %s", shown,
                              gw_form_priv_limits(field, limits, sizeof limits));
        return false;
    }
    const bool has_usual = field->usual_low != 0.0 || field->usual_high != 0.0;
    if (has_usual && (value < field->usual_low || value > field->usual_high)) {
        gw_form_priv_note_unusual(reader, node, "%s is possible but unusual: mostly %.6g to %.6g%s",
                                  shown, field->usual_low, field->usual_high, unit);
    }
    return true;
}

bool gw_form_priv_read_quantity(gw_form_reader *reader, const gw_form_field *field,
                                const gw_node *node, double *out)
{
    double value = 0.0;
    const bool may_have_unit = field->kind != GW_QTY_NUMBER;
    if (node->type == GW_NODE_NUMBER) {
        value = node->number;
    } else if (node->type == GW_NODE_TEXT && may_have_unit) {
        gw_err err = {0};
        const gw_status st = gw_quantity_read(reader->units, field->kind, node->text, &value, &err);
        if (st != GW_OK) {
            gw_form_priv_complain(reader, node, st, "%s", err.text);
            return false;
        }
    } else {
        char expected[LIMITS_BYTES];
        char unit[24];
        snprintf(expected, sizeof expected, "a number%s%s%s", may_have_unit ? " in" : "",
                 may_have_unit ? gw_form_priv_unit(field, unit, sizeof unit) : "",
                 may_have_unit ? " or a text with a unit" : "");
        if (field->kind == GW_QTY_FRACTION) {
            snprintf(expected, sizeof expected, "a fraction, or a text such as \"35 %%\"");
        }
        complain_type(reader, node, expected);
        return false;
    }
    if (!check_limits(reader, field, node, value)) {
        return false;
    }
    *out = value;
    return true;
}

static void read_whole(gw_form_reader *reader, const gw_form_field *field, const gw_node *node,
                       void *member)
{
    if (node->type != GW_NODE_NUMBER || floor(node->number) != node->number) {
        char expected[LIMITS_BYTES];
        char limits[LIMITS_BYTES];
        snprintf(expected, sizeof expected, "a whole number, %.50s",
                 gw_form_priv_limits(field, limits, sizeof limits));
        complain_type(reader, node, expected);
    } else if (check_limits(reader, field, node, node->number)) {
        gw_form_priv_set_number(field, member, node->number);
    }
}

static void read_money(gw_form_reader *reader, const gw_form_field *field, const gw_node *node,
                       void *member)
{
    if (node->type != GW_NODE_NUMBER) {
        complain_type(reader, node, "an amount as a number, e.g. 1250.50");
    } else if (check_limits(reader, field, node, node->number)) {
        gw_form_priv_set_number(field, member, node->number);
    }
}

// ---------------------------------------------------------------- words

static void list_words(const char *const *words, size_t count, char *out, size_t size)
{
    out[0] = '\0';
    for (size_t i = 0; i < count; i++) {
        const size_t length = strlen(out);
        snprintf(out + length, size - length, "%s\"%s\"",
                 i == 0           ? ""
                 : i + 1 == count ? " or "
                                  : ", ",
                 words[i]);
    }
}

static void read_choice(gw_form_reader *reader, const gw_form_field *field, const gw_node *node,
                        void *member)
{
    char words[GW_ERR_TEXT_SIZE / 2];
    list_words(field->words, field->word_count, words, sizeof words);
    if (node->type != GW_NODE_TEXT) {
        complain_type(reader, node, words);
        return;
    }
    for (size_t i = 0; i < field->word_count; i++) {
        if (strcmp(field->words[i], node->text) == 0) {
            gw_form_priv_set_number(field, member, (double)i);
            return;
        }
    }
    const size_t near = gw_text_nearest(node->text, field->words, field->word_count);
    if (near < field->word_count) {
        gw_form_priv_complain(reader, node, GW_ERR_KEY,
                              "found \"%.60s\", expected \"%s\"? Known: %s", node->text,
                              field->words[near], words);
    } else {
        gw_form_priv_complain(reader, node, GW_ERR_KEY, "found \"%.60s\", expected %s", node->text,
                              words);
    }
}

gw_status gw_form_priv_open_table(gw_form_reader *reader, const char *name, const gw_table **out,
                                  gw_err *err)
{
    for (size_t i = 0; i < reader->table_count; i++) {
        if (strcmp(reader->tables[i].file, name) == 0) {
            *out = &reader->tables[i].table;
            return GW_OK;
        }
    }
    gw_builtin_file file;
    if (!gw_builtin(name, &file) || reader->table_count == GW_FORM_PRIV_TABLES) {
        return gw_fail(err, GW_ERR_IO, "", "the built-in table %s is missing", name);
    }
    gw_form_priv_table *const next = &reader->tables[reader->table_count];
    const gw_status st =
        gw_table_read(reader->arena, file.name, file.text, file.length, &next->table, err);
    if (st != GW_OK) {
        reader->out_of_memory = reader->out_of_memory || st == GW_ERR_NOMEM;
        return st;
    }
    next->file = name;
    reader->table_count++;
    *out = &next->table;
    return GW_OK;
}

bool gw_form_lookup(gw_form_reader *reader, const gw_form_cell *cell, double *out)
{
    const gw_table *table = NULL;
    size_t row = 0;
    return cell->key != NULL &&
           gw_form_priv_open_table(reader, cell->file, &table, NULL) == GW_OK &&
           gw_table_find(table, cell->key_column, cell->key, &row, NULL) == GW_OK &&
           gw_table_number(table, row, cell->column, out, NULL) == GW_OK;
}

static void read_id(gw_form_reader *reader, const gw_form_field *field, const gw_node *node,
                    void *member)
{
    if (node->type != GW_NODE_TEXT) {
        complain_type(reader, node, "a text: the name of a row of a built-in table");
        return;
    }
    const gw_table *table = NULL;
    size_t row = 0;
    gw_err err = {0};
    gw_status st = gw_form_priv_open_table(reader, field->table, &table, &err);
    if (st == GW_OK) {
        st = gw_table_find(table, field->column, node->text, &row, &err);
    }
    if (st != GW_OK) {
        gw_form_priv_complain(reader, node, st, "found \"%.60s\": %.250s", node->text, err.text);
        return;
    }
    memcpy(member, &node->text, sizeof node->text);
}

static void read_text(gw_form_reader *reader, const gw_form_field *field, const gw_node *node,
                      void *member)
{
    if (node->type != GW_NODE_TEXT) {
        complain_type(reader, node, "a text");
        return;
    }
    const size_t length = strlen(node->text);
    const size_t most = gw_form_priv_text_most(field);
    if (length < field->least || length > most) {
        gw_form_priv_complain(reader, node, GW_ERR_RANGE,
                              "found a text of %zu bytes, expected %zu to %zu", length,
                              field->least, most);
        return;
    }
    memcpy(member, &node->text, sizeof node->text);
}

// Digits only, so that " 1" and "+1" are no month.
static bool take_digits(const char *s, size_t count, int *out)
{
    *out = 0;
    for (size_t i = 0; i < count; i++) {
        if (!isdigit((unsigned char)s[i])) {
            return false;
        }
        *out = 10 * *out + (s[i] - '0');
    }
    return true;
}

static void read_date(gw_form_reader *reader, const gw_node *node, void *member)
{
    static const char EXPECTED[] = "a day such as \"2026-11-25\"";
    gw_date date = {0};
    if (node->type != GW_NODE_TEXT) {
        complain_type(reader, node, EXPECTED);
        return;
    }
    const char *const s = node->text;
    const bool ok = strlen(s) == 10 && s[4] == '-' && s[7] == '-' &&
                    take_digits(s, 4, &date.year) && take_digits(s + 5, 2, &date.month) &&
                    take_digits(s + 8, 2, &date.day);
    if (!ok || !gw_date_valid(date)) {
        gw_form_priv_complain(reader, node, ok ? GW_ERR_RANGE : GW_ERR_SYNTAX,
                              "found \"%.40s\", expected %s", s, EXPECTED);
        return;
    }
    memcpy(member, &date, sizeof date);
}

void gw_form_priv_read_scalar(gw_form_reader *reader, const gw_form_field *field,
                              const gw_node *node, void *member)
{
    double value = 0.0;
    switch (field->type) {
    case GW_FORM_QUANTITY:
        if (gw_form_priv_read_quantity(reader, field, node, &value)) {
            gw_form_priv_set_number(field, member, value);
        }
        return;
    case GW_FORM_WHOLE:
        read_whole(reader, field, node, member);
        return;
    case GW_FORM_MONEY:
        read_money(reader, field, node, member);
        return;
    case GW_FORM_YES_NO:
        if (node->type != GW_NODE_YES_NO) {
            complain_type(reader, node, "true or false");
        } else {
            gw_form_priv_set_number(field, member, node->yes ? 1.0 : 0.0);
        }
        return;
    case GW_FORM_CHOICE:
        read_choice(reader, field, node, member);
        return;
    case GW_FORM_ID:
        read_id(reader, field, node, member);
        return;
    case GW_FORM_TEXT:
        read_text(reader, field, node, member);
        return;
    case GW_FORM_DATE:
        read_date(reader, node, member);
        return;
    case GW_FORM_NUMBERS:
    case GW_FORM_OBJECT:
    case GW_FORM_LIST:
        return;
    }
}
