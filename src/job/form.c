// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Members of structs by row, and walks over the tables.
#include "job/form.h"

#include "base/text.h"
#include "job/form_priv.h"
#include "money/money.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

// ---------------------------------------------------------------- members

bool gw_form_priv_is_number(const gw_form_field *field)
{
    return field->type == GW_FORM_QUANTITY || field->type == GW_FORM_WHOLE ||
           field->type == GW_FORM_MONEY || field->type == GW_FORM_YES_NO ||
           field->type == GW_FORM_CHOICE;
}

// Members are copied by bytes: the row knows their type, the compiler does not.
static double whole_number(const gw_form_field *field, const void *member)
{
    int small = 0;
    size_t size = 0;
    double real = 0.0;
    switch (field->store) {
    case GW_FORM_STORE_INT:
        memcpy(&small, member, sizeof small);
        return small;
    case GW_FORM_STORE_SIZE:
        memcpy(&size, member, sizeof size);
        return (double)size;
    case GW_FORM_STORE_DOUBLE:
        memcpy(&real, member, sizeof real);
        return real;
    }
    return 0.0;
}

static void set_whole_number(const gw_form_field *field, void *member, double value)
{
    const int small = (int)value;
    const size_t size = value > 0.0 ? (size_t)value : 0;
    switch (field->store) {
    case GW_FORM_STORE_INT:
        memcpy(member, &small, sizeof small);
        break;
    case GW_FORM_STORE_SIZE:
        memcpy(member, &size, sizeof size);
        break;
    case GW_FORM_STORE_DOUBLE:
        memcpy(member, &value, sizeof value);
        break;
    }
}

double gw_form_priv_number(const gw_form_field *field, const void *member)
{
    double real = 0.0;
    gw_money money = {0};
    bool yes = false;
    unsigned choice = 0;
    switch (field->type) {
    case GW_FORM_WHOLE:
        return whole_number(field, member);
    case GW_FORM_MONEY:
        memcpy(&money, member, sizeof money);
        return (double)money.cents / 100.0;
    case GW_FORM_YES_NO:
        memcpy(&yes, member, sizeof yes);
        return yes ? 1.0 : 0.0;
    case GW_FORM_CHOICE:
        memcpy(&choice, member, sizeof choice);
        return (double)choice;
    case GW_FORM_QUANTITY:
    case GW_FORM_TEXT:
    case GW_FORM_ID:
    case GW_FORM_DATE:
    case GW_FORM_NUMBERS:
    case GW_FORM_OBJECT:
    case GW_FORM_LIST:
        break;
    }
    memcpy(&real, member, sizeof real);
    return real;
}

void gw_form_priv_set_number(const gw_form_field *field, void *member, double value)
{
    const gw_money money = {.cents = llround(100.0 * value)};
    const bool yes = value > 0.5;
    const unsigned choice = value > 0.0 ? (unsigned)value : 0;
    switch (field->type) {
    case GW_FORM_WHOLE:
        set_whole_number(field, member, value);
        return;
    case GW_FORM_MONEY:
        memcpy(member, &money, sizeof money);
        return;
    case GW_FORM_YES_NO:
        memcpy(member, &yes, sizeof yes);
        return;
    case GW_FORM_CHOICE:
        memcpy(member, &choice, sizeof choice);
        return;
    case GW_FORM_QUANTITY:
    case GW_FORM_TEXT:
    case GW_FORM_ID:
    case GW_FORM_DATE:
    case GW_FORM_NUMBERS:
    case GW_FORM_OBJECT:
    case GW_FORM_LIST:
        break;
    }
    memcpy(member, &value, sizeof value);
}

size_t gw_form_priv_count(const gw_form_field *field, const void *owner)
{
    if (field->count_offset == GW_FORM_NO_COUNT) {
        return field->most;
    }
    size_t count = 0;
    memcpy(&count, (const char *)owner + field->count_offset, sizeof count);
    return count;
}

const char *gw_form_priv_elements(const gw_form_field *field, const void *owner)
{
    const char *const member = (const char *)owner + field->offset;
    if (field->home == GW_FORM_IN_PLACE) {
        return member;
    }
    const char *elements = NULL;
    memcpy(&elements, member, sizeof elements);
    return elements;
}

size_t gw_form_priv_text_most(const gw_form_field *field)
{
    return field->most > 0 ? field->most : GW_FORM_PRIV_TEXT_BYTES;
}

const char *gw_form_priv_print_number(const gw_form_field *field, double value, char *buffer,
                                      size_t size)
{
    if (field->type == GW_FORM_YES_NO) {
        snprintf(buffer, size, "%s", value > 0.5 ? "true" : "false");
    } else if (field->type == GW_FORM_CHOICE) {
        const size_t index = (size_t)value;
        snprintf(buffer, size, "\"%s\"", index < field->word_count ? field->words[index] : "");
    } else {
        gw_text_from_number(value, buffer, size);
    }
    return buffer;
}

const char *gw_form_priv_unit(const gw_form_field *field, char *buffer, size_t size)
{
    const bool has_kind = field->type == GW_FORM_QUANTITY || field->type == GW_FORM_NUMBERS;
    const char *const unit = has_kind ? gw_quantity_si_unit(field->kind) : "1";
    snprintf(buffer, size, "%s%s", unit[0] == '1' ? "" : " ", unit[0] == '1' ? "" : unit);
    return buffer;
}

const char *gw_form_priv_limits(const gw_form_field *field, char *buffer, size_t size)
{
    char unit[24];
    gw_form_priv_unit(field, unit, sizeof unit);
    if (field->lowest == field->highest) {
        snprintf(buffer, size, "%.9g%s", field->lowest, unit);
    } else if (field->open_below) {
        snprintf(buffer, size, "above %.9g, up to %.9g%s", field->lowest, field->highest, unit);
    } else {
        snprintf(buffer, size, "%.9g to %.9g%s", field->lowest, field->highest, unit);
    }
    return buffer;
}

// ---------------------------------------------------------------- tables

gw_form_set gw_form_all(const gw_form *root)
{
    gw_form_set set = {.items = {root}, .count = 1};
    for (size_t i = 0; i < set.count; i++) {
        for (size_t j = 0; j < set.items[i]->field_count; j++) {
            const gw_form *const next = set.items[i]->fields[j].form;
            bool known = next == NULL;
            for (size_t k = 0; k < set.count && !known; k++) {
                known = set.items[k] == next;
            }
            if (!known && set.count < sizeof set.items / sizeof set.items[0]) {
                set.items[set.count++] = next;
            }
        }
    }
    return set;
}

static const char *fault_of(const gw_form *form, size_t index)
{
    const gw_form_field *const f = &form->fields[index];
    for (size_t i = 0; i < index; i++) {
        if (strcmp(form->fields[i].key, f->key) == 0) {
            return "key twice";
        }
    }
    if (f->doc == NULL || f->doc[0] == '\0' || f->doc[strlen(f->doc) - 1] != '.') {
        return "no sentence that explains it";
    }
    const bool limited = f->type == GW_FORM_QUANTITY || f->type == GW_FORM_WHOLE ||
                         f->type == GW_FORM_MONEY || f->type == GW_FORM_NUMBERS;
    if (limited && !(f->lowest <= f->highest)) {
        return "no limits";
    }
    const bool has_usual = f->usual_low != 0.0 || f->usual_high != 0.0;
    if (has_usual && !(f->usual_low >= f->lowest && f->usual_high <= f->highest &&
                       f->usual_low < f->usual_high)) {
        return "usual values outside the limits";
    }
    const bool has_fallback = limited && f->type != GW_FORM_NUMBERS;
    if (has_fallback && f->presence == GW_FORM_DEFAULT &&
        !(f->fallback >= f->lowest && f->fallback <= f->highest)) {
        return "default outside the limits";
    }
    if (has_fallback && f->presence == GW_FORM_OPTIONAL && !f->derived && f->fallback > f->lowest &&
        f->fallback < f->highest) {
        return "the mark of a missing value is a possible value";
    }
    if (f->type == GW_FORM_CHOICE && f->fallback >= (double)f->word_count) {
        return "default is no choice";
    }
    if ((f->type == GW_FORM_OBJECT || f->type == GW_FORM_LIST) && f->form == NULL) {
        return "no object";
    }
    if (f->type == GW_FORM_ID && (f->table == NULL || f->column == NULL)) {
        return "no table";
    }
    if ((f->type == GW_FORM_LIST || f->type == GW_FORM_NUMBERS) &&
        (f->most == 0 || f->least > f->most)) {
        return "no number of elements";
    }
    if (f->offset >= form->size) {
        return "outside its struct";
    }
    return NULL;
}

gw_status gw_form_check_tables(const gw_form *form, gw_err *err)
{
    const gw_form_set set = gw_form_all(form);
    for (size_t i = 0; i < set.count; i++) {
        for (size_t j = 0; j < set.items[i]->field_count; j++) {
            const char *const fault = fault_of(set.items[i], j);
            if (fault != NULL) {
                char path[GW_ERR_FIELD_SIZE];
                snprintf(path, sizeof path, "%s.%s", set.items[i]->name,
                         set.items[i]->fields[j].key);
                return gw_fail(err, GW_ERR_RANGE, path, "%s", fault);
            }
        }
    }
    return GW_OK;
}
