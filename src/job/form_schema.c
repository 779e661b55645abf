// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The tables as JSON Schema, draft 2020-12, with two annotations of our own: "x-unit" is the SI
// unit of a bare number, "x-table" the built-in table whose keys a text must be one of.
#include "job/form_priv.h"

#include <string.h>

static void put_member_string(gw_sink *sink, const char *key, const char *value)
{
    gw_sink_printf(sink, ", \"%s\": ", key);
    gw_sink_json_string(sink, value);
}

static void put_member_number(gw_sink *sink, const char *key, double value)
{
    gw_sink_printf(sink, ", \"%s\": ", key);
    gw_sink_number(sink, value);
}

static void put_limits(gw_sink *sink, const gw_form_field *field)
{
    put_member_number(sink, field->open_below ? "exclusiveMinimum" : "minimum", field->lowest);
    put_member_number(sink, "maximum", field->highest);
}

// A number, or text with a unit where the kind has one.
static void put_quantity(gw_sink *sink, const gw_form_field *field)
{
    gw_sink_put(sink, field->kind == GW_QTY_NUMBER ? "\"type\": \"number\""
                                                   : "\"type\": [\"number\", \"string\"]");
    put_limits(sink, field);
    const char *const unit = gw_quantity_si_unit(field->kind);
    if (unit[0] != '1') {
        put_member_string(sink, "x-unit", unit);
    }
}

static void put_length(gw_sink *sink, const char *what, size_t least, size_t most)
{
    if (least > 0) {
        gw_sink_printf(sink, ", \"min%s\": %zu", what, least);
    }
    gw_sink_printf(sink, ", \"max%s\": %zu", what, most);
}

static void put_type(gw_sink *sink, const gw_form_field *field)
{
    switch (field->type) {
    case GW_FORM_QUANTITY:
        put_quantity(sink, field);
        break;
    case GW_FORM_WHOLE:
        gw_sink_put(sink, "\"type\": \"integer\"");
        put_limits(sink, field);
        break;
    case GW_FORM_MONEY:
        gw_sink_put(sink, "\"type\": \"number\"");
        put_limits(sink, field);
        break;
    case GW_FORM_YES_NO:
        gw_sink_put(sink, "\"type\": \"boolean\"");
        break;
    case GW_FORM_TEXT:
    case GW_FORM_ID:
        gw_sink_put(sink, "\"type\": \"string\"");
        put_length(sink, "Length", field->least, gw_form_priv_text_most(field));
        if (field->type == GW_FORM_ID) {
            put_member_string(sink, "x-table", field->table);
        }
        break;
    case GW_FORM_DATE:
        gw_sink_put(sink, "\"type\": \"string\", \"format\": \"date\"");
        break;
    case GW_FORM_CHOICE:
        gw_sink_put(sink, "\"enum\": [");
        for (size_t i = 0; i < field->word_count; i++) {
            gw_sink_put(sink, i > 0 ? ", " : "");
            gw_sink_json_string(sink, field->words[i]);
        }
        gw_sink_put(sink, "]");
        break;
    case GW_FORM_NUMBERS:
        gw_sink_put(sink, "\"type\": \"array\", \"items\": {");
        put_quantity(sink, field);
        gw_sink_put(sink, "}");
        put_length(sink, "Items", field->least, field->most);
        break;
    case GW_FORM_OBJECT:
        gw_sink_printf(sink, "\"$ref\": \"#/$defs/%s\"", field->form->name);
        break;
    case GW_FORM_LIST:
        gw_sink_printf(sink, "\"type\": \"array\", \"items\": {\"$ref\": \"#/$defs/%s\"}",
                       field->form->name);
        put_length(sink, "Items", field->least, field->most);
        break;
    }
}

static void put_default(gw_sink *sink, const gw_form_field *field)
{
    char text[64];
    if (field->presence != GW_FORM_DEFAULT) {
        return;
    }
    if (gw_form_priv_is_number(field)) {
        gw_sink_printf(sink, ", \"default\": %s",
                       gw_form_priv_print_number(field, field->fallback, text, sizeof text));
    } else if (field->fallback_text != NULL) {
        put_member_string(sink, "default", field->fallback_text);
    }
}

static void put_property(gw_sink *sink, const gw_form_field *field, int depth)
{
    gw_sink_indent(sink, depth);
    gw_sink_json_string(sink, field->key);
    gw_sink_put(sink, ": {");
    put_type(sink, field);
    put_default(sink, field);
    put_member_string(sink, "description", field->doc);
    gw_sink_put(sink, "}");
}

static void put_required(gw_sink *sink, const gw_form *form, int depth)
{
    bool first = true;
    for (size_t i = 0; i < form->field_count; i++) {
        if (form->fields[i].presence == GW_FORM_REQUIRED) {
            if (first) {
                gw_sink_indent(sink, depth);
                gw_sink_put(sink, "\"required\": [");
            }
            gw_sink_put(sink, first ? "" : ", ");
            gw_sink_json_string(sink, form->fields[i].key);
            first = false;
        }
    }
    gw_sink_put(sink, first ? "" : "],\n");
}

// The members of an object's schema, without the enclosing braces.
static void put_object(gw_sink *sink, const gw_form *form, int depth)
{
    gw_sink_indent(sink, depth);
    gw_sink_put(sink, "\"type\": \"object\",\n");
    gw_sink_indent(sink, depth);
    gw_sink_put(sink, "\"description\": ");
    const char *const rules = form->rules;
    const char *const both =
        rules != NULL ? gw_arena_printf(sink->arena, "%s %s", form->doc, rules) : form->doc;
    gw_sink_json_string(sink, both != NULL ? both : "");
    gw_sink_put(sink, ",\n");
    put_required(sink, form, depth);
    gw_sink_indent(sink, depth);
    gw_sink_put(sink, "\"additionalProperties\": false,\n");
    gw_sink_indent(sink, depth);
    gw_sink_put(sink, "\"properties\": {\n");
    for (size_t i = 0; i < form->field_count; i++) {
        put_property(sink, &form->fields[i], depth + 1);
        gw_sink_put(sink, i + 1 < form->field_count ? ",\n" : "\n");
    }
    gw_sink_indent(sink, depth);
    gw_sink_put(sink, "}");
}

gw_status gw_form_schema(gw_arena *arena, const gw_form *form, const gw_form_title *title,
                         const char **out, gw_err *err)
{
    gw_sink sink = {.arena = arena};
    const gw_form_set set = gw_form_all(form);
    gw_sink_put(&sink, "{\n  \"$schema\": \"https://json-schema.org/draft/2020-12/schema\",\n");
    gw_sink_put(&sink, "  \"$id\": ");
    gw_sink_json_string(&sink, title->id);
    gw_sink_put(&sink, ",\n  \"title\": ");
    gw_sink_json_string(&sink, title->title);
    gw_sink_put(&sink, ",\n");
    put_object(&sink, form, 1);
    gw_sink_put(&sink, ",\n  \"$defs\": {\n");
    for (size_t i = 1; i < set.count; i++) {
        gw_sink_indent(&sink, 2);
        gw_sink_json_string(&sink, set.items[i]->name);
        gw_sink_put(&sink, ": {\n");
        put_object(&sink, set.items[i], 3);
        gw_sink_put(&sink, i + 1 < set.count ? "\n    },\n" : "\n    }\n");
    }
    gw_sink_put(&sink, "  }\n}\n");
    const char *const text = gw_sink_text(&sink);
    if (text == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "", "out of memory writing the schema");
    }
    *out = text;
    return GW_OK;
}
