// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Tables of a component's assembly, and how it becomes the component's resistance.
#include "house/assembly.h"
#include "job/form_priv.h"
#include "job/job_priv.h"

#include <math.h>
#include <stdio.h>

#define LAYER(member) GW_FORM_AT(gw_assembly_layer, member)
#define MATERIAL_ID .type = GW_FORM_ID, .table = "materials.csv", .column = "id"
#define SAME_FRAC 1e-6 // a document written by the program may hold both

// clang-format off
static const gw_form_field LAYER_FIELDS[] = {
    {LAYER(material), MATERIAL_ID, REQUIRED, .doc = "What it is made of."},
    {LAYER(thickness_m), QUANTITY(SMALL_LENGTH), LIMITS(0.00005, 2), OPTIONAL(0), .derived = true, .doc = "Left out, the usual one of the material."},
    {LAYER(resistance_m2k_w), QUANTITY(INSULATION), LIMITS(0, 30), USUAL(0, 15), OPTIONAL(0), .doc = "Of the layer as it stands, in place of thickness and conductivity."},
    {LAYER(member), MATERIAL_ID, OPTIONAL(0), .doc = "Wood framing that crosses the layer."},
    {LAYER(member_frac), QUANTITY(FRACTION), LIMITS(0, 0.95), USUAL(0.04, 0.35), OPTIONAL(0), .doc = "Its share of the area, plates and headers counted; 0.23 is usual for a wall with studs at 16 in."},
};
// clang-format on

// The list was made by this reading: const only for those who use the job.
static void finish_layer(gw_form_reader *reader, void *object)
{
    gw_assembly_layer *const layer = object;
    const bool thick = gw_form_has(reader, "thickness_m");
    if ((layer->member != NULL) != gw_form_has(reader, "member_frac")) {
        const bool alone = layer->member != NULL;
        gw_form_complain(reader, GW_ERR_MISSING, alone ? "member" : "member_frac",
                         "found %s alone, expected \"member\" and \"member_frac\" together",
                         alone ? "\"member\"" : "\"member_frac\"");
        return;
    }
    const gw_table *materials = NULL;
    gw_err err = {0};
    gw_status st = gw_form_priv_open_table(reader, "materials.csv", &materials, &err);
    if (st == GW_OK) {
        st = gw_assembly_fill_layer(materials, layer, &err);
    }
    if (st != GW_OK) {
        gw_form_complain(reader, st, "", "%s", err.text);
    } else if (!thick) {
        gw_form_settle(reader, NULL, "thickness_m", layer->thickness_m);
    }
}

static const gw_form LAYER_FORM = {
    .name = "assembly_layer",
    .doc = "One layer of an assembly.",
    .rules = "member and member_frac only together.",
    .size = sizeof(gw_assembly_layer),
    ROWS(LAYER_FIELDS),
    .finish = finish_layer,
};

// clang-format off
static const gw_form_field ASSEMBLY_FIELDS[] = {
    {GW_FORM_AT(gw_assembly, ready), .type = GW_FORM_ID, .table = "assemblies.csv", .column = "assembly", OPTIONAL(0), .doc = "A usual one."},
    {GW_FORM_AT(gw_assembly, layers), .type = GW_FORM_LIST, .form = &LAYER_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_assembly, layer_count), .least = 1, .most = GW_ASSEMBLY_LAYERS_MOST, OPTIONAL(0), .doc = "From the inside out, without films."},
};
// clang-format on

static void finish_assembly(gw_form_reader *reader, void *object)
{
    const gw_assembly *const assembly = object;
    if ((assembly->ready != NULL) == (assembly->layer_count > 0)) {
        gw_form_complain(reader, assembly->ready != NULL ? GW_ERR_KEY : GW_ERR_MISSING, "layers",
                         "found %s, expected either \"ready\" or \"layers\"",
                         assembly->ready != NULL ? "both" : "neither");
    }
}

const gw_form GW_JOB_PRIV_ASSEMBLY = {
    .name = "assembly",
    .doc = "What a component is made of.",
    .rules = "Either ready or layers.",
    .size = sizeof(gw_assembly),
    ROWS(ASSEMBLY_FIELDS),
    .finish = finish_assembly,
};

// Resistance of the assembly, ready or of its own layers.
static gw_status solve(gw_form_reader *reader, const gw_house_component *part,
                       gw_assembly_result *out, gw_err *err)
{
    gw_assembly whole = *part->assembly;
    gw_status st = GW_OK;
    if (whole.ready != NULL) {
        gw_assembly_tables tables = {0};
        st = gw_form_priv_open_table(reader, "materials.csv", &tables.materials, err);
        if (st == GW_OK) {
            st = gw_form_priv_open_table(reader, "assemblies.csv", &tables.assemblies, err);
        }
        if (st == GW_OK) {
            st = gw_assembly_read(reader->arena, &tables, whole.ready, &whole, err);
        }
    }
    return st == GW_OK ? gw_assembly_solve(&whole, part->kind, out, err) : st;
}

void gw_job_priv_finish_insulation(gw_form_reader *reader, gw_house_component *part)
{
    const bool typed = gw_form_has(reader, "insulation_m2k_w");
    if (part->assembly == NULL) {
        if (!typed) {
            gw_form_complain(reader, GW_ERR_MISSING, "insulation_m2k_w",
                             "found no \"insulation_m2k_w\" and no \"assembly\", expected one of "
                             "them");
        }
        return;
    }
    gw_assembly_result result;
    gw_err err = {0};
    const gw_status st = solve(reader, part, &result, &err);
    if (st != GW_OK) {
        char path[GW_ERR_FIELD_SIZE];
        snprintf(path, sizeof path, "assembly.%.80s", err.field);
        gw_form_complain(reader, st, path, "%s", err.text);
        return;
    }
    const double made_m2k_w = result.resistance_m2k_w;
    if (typed && !(fabs(part->insulation_m2k_w - made_m2k_w) <= SAME_FRAC * made_m2k_w)) {
        gw_form_complain(reader, GW_ERR_KEY, "insulation_m2k_w",
                         "found both \"insulation_m2k_w\" and \"assembly\", expected one of them");
        return;
    }
    part->insulation_m2k_w = made_m2k_w;
}
