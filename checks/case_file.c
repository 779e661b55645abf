// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "case_file.h"

#include "base/text.h"

#include <stdbool.h>
#include <string.h>

enum { CASES_MAX = 400, ROWS_MAX = 400, SHARED_MAX = 16 };

typedef struct {
    gw_arena *arena;
    gw_err *err;
    int line;
    const char *source;
    const char *mark;
    gw_case *cases;
    size_t case_count;
    gw_case *now;          // the case being read, or NULL
    gw_case_row *rows;     // [ROWS_MAX] of `now`
    gw_case_lines *shared; // blocks, one per source
    size_t shared_count;
} reader;

static const char *const marks[] = {"computed", "read", "from memory",
                                    "common practice, no source"};

static gw_status bad(reader *in, gw_status code, const char *found, const char *expected)
{
    gw_status st = gw_fail(in->err, code, NULL, "found \"%s\", expected %s", found, expected);
    if (in->err != NULL) {
        in->err->line = in->line;
    }
    return st;
}

// Cuts the first word off `text`; returns what follows it without leading blanks.
static char *cut_word(char *text)
{
    char *end = text + strcspn(text, " \t");
    if (*end != '\0') {
        *end++ = '\0';
    }
    return end + strspn(end, " \t");
}

static gw_case_lines *given_lines(reader *in)
{
    return in->now != NULL ? &in->now->givens : &in->shared[in->shared_count - 1];
}

static gw_status add_line(reader *in, gw_case_lines *lines, char *rest)
{
    char *text = cut_word(rest);
    if (*rest == '\0' || *text == '\0') {
        return bad(in, GW_ERR_SYNTAX, rest, "a name and a value");
    }
    if (lines->count == GW_CASE_LINES_MAX) {
        return bad(in, GW_ERR_SYNTAX, rest, "no more lines of this kind (split the case)");
    }
    for (size_t i = 0; i < lines->count; ++i) {
        if (strcmp(lines->at[i].name, rest) == 0 && lines->at[i].used == NULL) {
            return bad(in, GW_ERR_SYNTAX, rest, "each name once");
        }
    }
    lines->at[lines->count++] = (gw_case_line){.name = rest, .text = text, .line = in->line};
    return GW_OK;
}

static gw_status on_source(reader *in, char *rest)
{
    if (in->shared_count == SHARED_MAX) {
        return bad(in, GW_ERR_SYNTAX, rest, "fewer sources in one file");
    }
    in->source = rest;
    in->mark = NULL;
    in->now = NULL;
    ++in->shared_count;
    return GW_OK;
}

static gw_status on_mark(reader *in, char *rest)
{
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; ++i) {
        if (strcmp(rest, marks[i]) == 0) {
            if (in->now != NULL) {
                in->now->mark = marks[i];
            } else {
                in->mark = marks[i];
            }
            return GW_OK;
        }
    }
    return bad(in, GW_ERR_KEY, rest, "computed, read, from memory, or common practice, no source");
}

static gw_status share_givens(reader *in)
{
    gw_case_lines *shared = &in->shared[in->shared_count - 1];
    for (size_t i = 0; i < shared->count; ++i) {
        if (shared->at[i].used == NULL) {
            shared->at[i].used = gw_arena_alloc(in->arena, 1, sizeof(int));
            if (shared->at[i].used == NULL) {
                return gw_fail(in->err, GW_ERR_NOMEM, NULL, "no memory for a case file");
            }
        }
    }
    in->now->givens = *shared;
    return GW_OK;
}

static gw_status on_case(reader *in, char *rest)
{
    if (in->source == NULL || in->mark == NULL) {
        return bad(in, GW_ERR_MISSING, rest, "a source and a mark before the first case");
    }
    if (in->case_count == CASES_MAX) {
        return bad(in, GW_ERR_SYNTAX, rest, "fewer cases in one file");
    }
    in->now = &in->cases[in->case_count++];
    in->rows = gw_arena_alloc(in->arena, ROWS_MAX, sizeof *in->rows);
    if (in->rows == NULL) {
        return gw_fail(in->err, GW_ERR_NOMEM, NULL, "no memory for a case file");
    }
    *in->now = (gw_case){
        .source = in->source, .mark = in->mark, .name = rest, .line = in->line, .rows = in->rows};
    return share_givens(in);
}

static gw_status on_when(reader *in, char *rest)
{
    if (in->now->when != NULL) {
        return bad(in, GW_ERR_SYNTAX, rest, "one `when` in a case");
    }
    in->now->when = rest;
    in->now->when_line = in->line;
    return GW_OK;
}

static gw_status on_given(reader *in, char *rest)
{
    if (in->source == NULL) {
        return bad(in, GW_ERR_MISSING, rest, "a source first");
    }
    return add_line(in, given_lines(in), rest);
}

static gw_status on_expect(reader *in, char *rest)
{
    return add_line(in, &in->now->expects, rest);
}

static gw_status on_within(reader *in, char *rest)
{
    return add_line(in, &in->now->withins, rest);
}

static void give_reason(gw_case_lines *lines, const char *reason)
{
    for (size_t i = 0; i < lines->count; ++i) {
        if (lines->at[i].reason == NULL) {
            lines->at[i].reason = reason;
        }
    }
}

static gw_status on_because(reader *in, char *rest)
{
    if (in->now->expects.count + in->now->withins.count == 0) {
        return bad(in, GW_ERR_SYNTAX, rest, "`because` below the expect or within it explains");
    }
    give_reason(&in->now->expects, rest);
    give_reason(&in->now->withins, rest);
    return GW_OK;
}

static gw_status on_columns(reader *in, char *rest)
{
    in->now->columns_line = in->line;
    while (*rest != '\0') {
        char *next = cut_word(rest);
        rest[strcspn(rest, ",")] = '\0'; // commas as in the rows do no harm
        if (strcmp(rest, "|") != 0) {
            if (in->now->column_count == GW_CASE_COLUMNS_MAX) {
                return bad(in, GW_ERR_SYNTAX, rest, "fewer columns");
            }
            in->now->columns[in->now->column_count++] = rest;
        }
        rest = next;
    }
    return GW_OK;
}

static gw_status on_row(reader *in, char *rest)
{
    if (in->now->column_count == 0) {
        return bad(in, GW_ERR_SYNTAX, rest, "a `columns` line before the rows");
    }
    if (in->now->row_count == ROWS_MAX) {
        return bad(in, GW_ERR_SYNTAX, rest, "fewer rows (split the case)");
    }
    in->rows[in->now->row_count++] = (gw_case_row){.text = rest, .line = in->line};
    return GW_OK;
}

static const struct {
    const char *word;
    gw_status (*take)(reader *in, char *rest);
    bool in_case; // only inside a case
} words[] = {
    {"source", on_source, false}, {"mark", on_mark, false},      {"case", on_case, false},
    {"given", on_given, false},   {"when", on_when, true},       {"expect", on_expect, true},
    {"within", on_within, true},  {"because", on_because, true}, {"columns", on_columns, true},
    {"row", on_row, true},
};

static gw_status read_line(reader *in, char *text)
{
    char *rest = cut_word(text);
    for (size_t i = 0; i < sizeof words / sizeof words[0]; ++i) {
        if (strcmp(text, words[i].word) == 0) {
            if (words[i].in_case && in->now == NULL) {
                return bad(in, GW_ERR_SYNTAX, text, "a `case` line first");
            }
            if (*rest == '\0') {
                return bad(in, GW_ERR_SYNTAX, text, "something after this word");
            }
            return words[i].take(in, rest);
        }
    }
    return bad(in, GW_ERR_KEY, text,
               "source, mark, case, when, given, expect, within, because, columns or row");
}

// One line without its end, comment and outer blanks; "" when nothing is left. A '#' starts a
// comment at the beginning of a line or after a blank.
static char *clean_line(reader *in, const char *from, size_t length)
{
    char *text = gw_arena_strndup(in->arena, from, length);
    if (text == NULL) {
        return NULL;
    }
    for (char *at = text; (at = strchr(at, '#')) != NULL; ++at) {
        if (at == text || at[-1] == ' ' || at[-1] == '\t') {
            *at = '\0';
            break;
        }
    }
    text += strspn(text, " \t");
    size_t end = strlen(text);
    while (end > 0 && strchr(" \t\r", text[end - 1]) != NULL) {
        text[--end] = '\0';
    }
    return text;
}

static gw_status finish(reader *in, gw_case_file *out)
{
    for (size_t i = 0; i < in->case_count; ++i) {
        const gw_case *it = &in->cases[i];
        in->line = it->line;
        if (it->when == NULL) {
            return bad(in, GW_ERR_MISSING, it->name, "a `when` line in this case");
        }
        if (it->expects.count == 0 && it->row_count == 0) {
            return bad(in, GW_ERR_MISSING, it->name, "an `expect` line or rows in this case");
        }
    }
    if (in->case_count == 0) {
        return bad(in, GW_ERR_MISSING, "no case", "at least one case in the file");
    }
    out->cases = in->cases;
    out->count = in->case_count;
    out->shared = in->shared;
    out->shared_count = in->shared_count;
    return GW_OK;
}

gw_status gw_case_read(gw_arena *arena, const char *name, const char *text, gw_case_file *out,
                       gw_err *err)
{
    *out = (gw_case_file){.name = name};
    reader in = {.arena = arena, .err = err};
    in.cases = gw_arena_alloc(arena, CASES_MAX, sizeof *in.cases);
    in.shared = gw_arena_alloc(arena, SHARED_MAX, sizeof *in.shared);
    if (in.cases == NULL || in.shared == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a case file");
    }
    while (*text != '\0') {
        const size_t length = strcspn(text, "\n");
        ++in.line;
        char *line = clean_line(&in, text, length);
        if (line == NULL) {
            return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a case file");
        }
        const gw_status st = *line == '\0' ? GW_OK : read_line(&in, line);
        if (st != GW_OK) {
            return st;
        }
        text += length + (text[length] == '\n' ? 1 : 0);
    }
    return finish(&in, out);
}
