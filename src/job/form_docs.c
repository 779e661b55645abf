// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The tables as Markdown.
#include "job/form_priv.h"

#include <string.h>

static void put_kind(gw_sink *sink, const gw_form_field *field)
{
    char limits[80];
    gw_form_priv_limits(field, limits, sizeof limits);
    switch (field->type) {
    case GW_FORM_QUANTITY:
    case GW_FORM_WHOLE:
    case GW_FORM_MONEY:
        gw_sink_printf(sink, "%s%s",
                       field->type == GW_FORM_WHOLE   ? "whole number, "
                       : field->type == GW_FORM_MONEY ? "amount, "
                                                      : "",
                       limits);
        break;
    case GW_FORM_YES_NO:
        gw_sink_put(sink, "true or false");
        break;
    case GW_FORM_TEXT:
        gw_sink_put(sink, "text");
        break;
    case GW_FORM_ID:
        gw_sink_printf(sink, "an entry of `%s` (`%s`)", field->table, field->column);
        break;
    case GW_FORM_DATE:
        gw_sink_put(sink, "day, \"2026-11-25\"");
        break;
    case GW_FORM_CHOICE:
        for (size_t i = 0; i < field->word_count; i++) {
            gw_sink_printf(sink, "%s`%s`", i > 0 ? ", " : "", field->words[i]);
        }
        break;
    case GW_FORM_NUMBERS:
        gw_sink_printf(sink, "list of numbers, each %s", limits);
        break;
    case GW_FORM_OBJECT:
        gw_sink_printf(sink, "[%s](#%s)", field->form->name, field->form->name);
        break;
    case GW_FORM_LIST:
        gw_sink_printf(sink, "list of [%s](#%s)", field->form->name, field->form->name);
        break;
    }
    if (field->type == GW_FORM_NUMBERS || field->type == GW_FORM_LIST) {
        gw_sink_printf(sink, field->least == field->most ? "; exactly %zu" : "; %zu to %zu",
                       field->least, field->most);
    }
    if (field->usual_low != 0.0 || field->usual_high != 0.0) {
        gw_sink_printf(sink, "; mostly %.6g to %.6g", field->usual_low, field->usual_high);
    }
}

static void put_presence(gw_sink *sink, const gw_form_field *field)
{
    char text[64];
    if (field->presence == GW_FORM_REQUIRED) {
        gw_sink_put(sink, "**required**");
    } else if (field->presence == GW_FORM_DEFAULT && field->type == GW_FORM_OBJECT) {
        gw_sink_put(sink, "its own defaults");
    } else if (field->presence == GW_FORM_DEFAULT && gw_form_priv_is_number(field)) {
        gw_form_priv_print_number(field, field->fallback, text, sizeof text);
        gw_sink_printf(sink, "`%s`", text);
    } else if (field->presence == GW_FORM_DEFAULT) {
        gw_sink_printf(sink, "`\"%s\"`", field->fallback_text);
    } else {
        gw_sink_put(sink, "–");
    }
}

static void put_section(gw_sink *sink, const gw_form *form)
{
    gw_sink_printf(sink, "## %s\n\n%s\n", form->name, form->doc);
    if (form->rules != NULL) {
        gw_sink_printf(sink, "%s\n", form->rules);
    }
    gw_sink_put(sink, "\n| key | value | left out | meaning |\n|---|---|---|---|\n");
    for (size_t i = 0; i < form->field_count; i++) {
        const gw_form_field *const field = &form->fields[i];
        gw_sink_printf(sink, "| `%s` | ", field->key);
        put_kind(sink, field);
        gw_sink_put(sink, " | ");
        put_presence(sink, field);
        gw_sink_printf(sink, " | %s |\n", field->doc);
    }
    gw_sink_put(sink, "\n");
}

gw_status gw_form_docs(gw_arena *arena, const gw_form *form, const char **out, gw_err *err)
{
    gw_sink sink = {.arena = arena};
    const gw_form_set set = gw_form_all(form);
    for (size_t i = 0; i < set.count; i++) {
        put_section(&sink, set.items[i]);
    }
    const char *const text = gw_sink_text(&sink);
    if (text == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "", "out of memory writing the documentation");
    }
    *out = text;
    return GW_OK;
}
