// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "check.h"

#include <assert.h>
#include <string.h>

static const gw_check_verb *const tables[] = {
    gw_verbs_climate, gw_verbs_field,   gw_verbs_fluid,      gw_verbs_freeze, gw_verbs_house,
    gw_verbs_loop,    gw_verbs_pond,    gw_verbs_money,      gw_verbs_pipes,  gw_verbs_plant,
    gw_verbs_soil,    gw_verbs_segment, gw_verbs_resistance,
};

const gw_check_verb *gw_check_verb_at(size_t index)
{
    for (size_t t = 0; t < sizeof tables / sizeof tables[0]; ++t) {
        for (const gw_check_verb *verb = tables[t]; verb->name != NULL; ++verb) {
            if (index-- == 0) {
                return verb;
            }
        }
    }
    return NULL;
}

const gw_check_verb *gw_check_find_verb(const char *name)
{
    const gw_check_verb *verb = NULL;
    for (size_t i = 0; (verb = gw_check_verb_at(i)) != NULL; ++i) {
        if (strcmp(verb->name, name) == 0) {
            return verb;
        }
    }
    return NULL;
}

size_t gw_check_given_index(const gw_check_verb *verb, const char *name)
{
    for (size_t i = 0; i < GW_CHECK_GIVENS_MAX && verb->givens[i].name != NULL; ++i) {
        if (strcmp(verb->givens[i].name, name) == 0) {
            return i;
        }
    }
    return GW_CHECK_GIVENS_MAX;
}

size_t gw_check_result_index(const gw_check_verb *verb, const char *name)
{
    for (size_t i = 0; i < GW_CHECK_RESULTS_MAX && verb->results[i].name != NULL; ++i) {
        if (strcmp(verb->results[i].name, name) == 0) {
            return i;
        }
    }
    return GW_CHECK_RESULTS_MAX;
}

static const gw_check_value *given_of(const gw_check_call *call, const char *name)
{
    const size_t i = gw_check_given_index(call->verb, name);
    assert(i < GW_CHECK_GIVENS_MAX);
    return &call->givens[i];
}

double gw_check_number(const gw_check_call *call, const char *name)
{
    const gw_check_value *value = given_of(call, name);
    assert(value->count == 1);
    return value->numbers[0];
}

const char *gw_check_word(const gw_check_call *call, const char *name)
{
    const gw_check_value *value = given_of(call, name);
    assert(value->word != NULL);
    return value->word;
}

const double *gw_check_list(const gw_check_call *call, const char *name, size_t *count)
{
    const gw_check_value *value = given_of(call, name);
    *count = value->count;
    return value->numbers;
}

size_t gw_check_choice(const gw_check_call *call, const char *name)
{
    const char *word = gw_check_word(call, name);
    const char *words = call->verb->givens[gw_check_given_index(call->verb, name)].words;
    assert(words != NULL);
    const size_t length = strlen(word);
    for (size_t choice = 0;; ++choice) {
        if (strncmp(words, word, length) == 0 && (words[length] == '|' || words[length] == '\0')) {
            return choice;
        }
        words = strchr(words, '|');
        assert(words != NULL); // case_run.c let the word in
        ++words;
    }
}

void gw_check_give(gw_check_call *call, const char *name, double value)
{
    gw_check_give_list(call, name, &value, 1);
}

void gw_check_give_list(gw_check_call *call, const char *name, const double *values, size_t count)
{
    const size_t i = gw_check_result_index(call->verb, name);
    assert(i < GW_CHECK_RESULTS_MAX);
    double *copy = gw_arena_alloc(call->arena, count, sizeof *copy);
    if (copy != NULL && count > 0) {
        memcpy(copy, values, count * sizeof *copy);
        call->results[i] = (gw_check_value){.numbers = copy, .count = count};
    }
}
