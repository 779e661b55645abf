// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "house/assembly.h"

#include <stdio.h>
#include <string.h>

#define WOOD_AT_MOST_W_MK 1.0
#define OUTSIDE_FILM_M2K_W 0.03
#define INSIDE_FILM_M2K_W 0.12
#define CEILING_FILM_M2K_W 0.11
#define FLOOR_FILM_M2K_W 0.16

// ---- From the tables ----------------------------------------------------------------------------

typedef struct {
    double conductivity, resistance, thickness, density, capacity;
} material;

static gw_status find_material(const gw_table *table, const char *id, material *out, gw_err *err)
{
    size_t row = 0;
    gw_status st = gw_table_find(table, "id", id, &row, err);
    const struct {
        const char *column;
        double *value;
    } cells[] = {{"conductivity_w_mk", &out->conductivity},
                 {"resistance_m2k_w", &out->resistance},
                 {"thickness_m", &out->thickness},
                 {"density_kg_m3", &out->density},
                 {"heat_capacity_j_kgk", &out->capacity}};
    for (size_t i = 0; i < sizeof cells / sizeof cells[0] && st == GW_OK; i++) {
        st = gw_table_number(table, row, cells[i].column, cells[i].value, err);
    }
    return st;
}

gw_status gw_assembly_fill_layer(const gw_table *materials, gw_assembly_layer *layer, gw_err *err)
{
    material m = {0};
    gw_status st = find_material(materials, layer->material, &m, err);
    if (st != GW_OK) {
        return st;
    }
    if (!(layer->thickness_m > 0.0)) {
        layer->thickness_m = m.thickness;
    }
    if (!(layer->resistance_m2k_w > 0.0)) {
        layer->resistance_m2k_w = m.resistance;
    }
    layer->conductivity_w_mk = m.conductivity;
    layer->density_kg_m3 = m.density;
    layer->heat_capacity_j_kgk = m.capacity;
    if (layer->member == NULL) {
        return GW_OK;
    }
    st = find_material(materials, layer->member, &m, err);
    layer->member_conductivity_w_mk = m.conductivity;
    layer->member_density_kg_m3 = m.density;
    layer->member_heat_capacity_j_kgk = m.capacity;
    return st;
}

static gw_status read_row(const gw_assembly_tables *tables, size_t row, gw_assembly_layer *out,
                          gw_err *err)
{
    const gw_table *const t = tables->assemblies;
    gw_status st = gw_table_text(t, row, "material", &out->material, err);
    if (st == GW_OK) {
        st = gw_table_number(t, row, "thickness_m", &out->thickness_m, err);
    }
    if (st == GW_OK) {
        st = gw_table_text(t, row, "member", &out->member, err);
    }
    if (st == GW_OK) {
        st = gw_table_number(t, row, "member_frac", &out->member_frac, err);
    }
    if (st == GW_OK && out->member[0] == '\0') {
        out->member = NULL;
    }
    return st == GW_OK ? gw_assembly_fill_layer(tables->materials, out, err) : st;
}

gw_status gw_assembly_read(gw_arena *arena, const gw_assembly_tables *tables, const char *id,
                           gw_assembly *out, gw_err *err)
{
    size_t first = 0;
    gw_status st = gw_table_find(tables->assemblies, "assembly", id, &first, err);
    if (st != GW_OK) {
        return st;
    }
    gw_assembly_layer *const layers =
        gw_arena_alloc(arena, GW_ASSEMBLY_LAYERS_MOST, sizeof *layers);
    if (layers == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "assembly", "no memory for layers");
    }
    *out = (gw_assembly){.ready = id, .layers = layers};
    for (size_t row = first; row < tables->assemblies->rows && st == GW_OK; row++) {
        const char *name = NULL;
        st = gw_table_text(tables->assemblies, row, "assembly", &name, err);
        if (st != GW_OK || strcmp(name, id) != 0 || out->layer_count == GW_ASSEMBLY_LAYERS_MOST) {
            break;
        }
        st = read_row(tables, row, &layers[out->layer_count++], err);
    }
    return st;
}

// ---- Checking -----------------------------------------------------------------------------------

typedef struct {
    const char *name;
    double value, low, high;
} bound;

static gw_status check_layer(const gw_assembly_layer *l, size_t index, gw_err *err)
{
    const bool fixed = l->resistance_m2k_w > 0.0;
    const bool framed = l->member_frac > 0.0;
    const bound bounds[] = {
        {"thickness_m", l->thickness_m, 0.00005, 2},
        {"resistance_m2k_w", l->resistance_m2k_w, 0, 30},
        {"conductivity_w_mk", l->conductivity_w_mk, fixed ? 0 : 0.005, 400},
        {"member_frac", l->member_frac, 0, 0.95},
        {"density_kg_m3", l->density_kg_m3, 0, 10000},
        {"heat_capacity_j_kgk", l->heat_capacity_j_kgk, 0, 5000},
        {"member_density_kg_m3", l->member_density_kg_m3, 0, 10000},
        {"member_heat_capacity_j_kgk", l->member_heat_capacity_j_kgk, 0, 5000},
    };
    char field[GW_ERR_FIELD_SIZE];
    for (size_t i = 0; i < sizeof bounds / sizeof bounds[0]; i++) {
        if (!(bounds[i].value >= bounds[i].low && bounds[i].value <= bounds[i].high)) {
            snprintf(field, sizeof field, "layers[%zu].%s", index, bounds[i].name);
            return gw_fail(err, GW_ERR_RANGE, field, "%s %g must be %g to %g", bounds[i].name,
                           bounds[i].value, bounds[i].low, bounds[i].high);
        }
    }
    const double k = l->member_conductivity_w_mk;
    if (framed && !(k >= 0.02 && k <= WOOD_AT_MOST_W_MK)) {
        snprintf(field, sizeof field, "layers[%zu].member", index);
        return gw_fail(err, GW_ERR_RANGE, field,
                       "a member of %g W/(m·K) is no wood: metal needs a zone method, so give the "
                       "tested resistance of the whole instead",
                       k);
    }
    return GW_OK;
}

static gw_status check(const gw_assembly *assembly, gw_house_kind kind, gw_err *err)
{
    const size_t count = assembly->layer_count;
    if (count < 1 || count > GW_ASSEMBLY_LAYERS_MOST) {
        return gw_fail(err, GW_ERR_RANGE, "layers", "found %zu layers, expected 1 to %d", count,
                       (int)GW_ASSEMBLY_LAYERS_MOST);
    }
    if (kind == GW_HOUSE_WINDOW) {
        return gw_fail(err, GW_ERR_RANGE, "layers",
                       "a window is no assembly of layers: give its tested resistance");
    }
    size_t framed = 0;
    for (size_t i = 0; i < count; i++) {
        const gw_status st = check_layer(&assembly->layers[i], i, err);
        if (st != GW_OK) {
            return st;
        }
        framed += assembly->layers[i].member_frac > 0.0 ? 1 : 0;
    }
    if (framed > GW_ASSEMBLY_FRAMED_MOST) {
        return gw_fail(err, GW_ERR_RANGE, "layers", "%zu layers have members, at most %d may",
                       framed, (int)GW_ASSEMBLY_FRAMED_MOST);
    }
    return GW_OK;
}

// ---- Resistance ---------------------------------------------------------------------------------

static double clear_m2k_w(const gw_assembly_layer *l)
{
    return l->resistance_m2k_w > 0.0 ? l->resistance_m2k_w : l->thickness_m / l->conductivity_w_mk;
}

static double member_m2k_w(const gw_assembly_layer *l)
{
    return l->thickness_m / l->member_conductivity_w_mk;
}

// Heat flow straight through: every combination of member and gap is a path of its own.
static double parallel_m2k_w(const gw_assembly *assembly, double films_m2k_w)
{
    double u_w_m2k = 0.0;
    for (unsigned path = 0; path < 1U << GW_ASSEMBLY_FRAMED_MOST; path++) {
        double share = 1.0;
        double r_m2k_w = films_m2k_w;
        unsigned bit = 0;
        for (size_t i = 0; i < assembly->layer_count; i++) {
            const gw_assembly_layer *const l = &assembly->layers[i];
            const bool framed = l->member_frac > 0.0;
            const bool member = framed && (path >> bit & 1U) != 0;
            share *= member ? l->member_frac : 1.0 - l->member_frac;
            r_m2k_w += member ? member_m2k_w(l) : clear_m2k_w(l);
            bit += framed ? 1 : 0;
        }
        // Bits beyond the framed layers would count the same path again.
        u_w_m2k += path < 1U << bit ? share / r_m2k_w : 0.0;
    }
    return 1.0 / u_w_m2k;
}

static void films_of(gw_house_kind kind, gw_assembly_result *out)
{
    const bool buried =
        kind == GW_HOUSE_BASEMENT_WALL || kind == GW_HOUSE_BASEMENT_FLOOR || kind == GW_HOUSE_SLAB;
    const bool floor =
        kind == GW_HOUSE_BASEMENT_FLOOR || kind == GW_HOUSE_SLAB || kind == GW_HOUSE_FLOOR_EXPOSED;
    out->outside_film_m2k_w = buried ? 0.0 : OUTSIDE_FILM_M2K_W;
    out->inside_film_m2k_w = floor                   ? FLOOR_FILM_M2K_W
                             : kind == GW_HOUSE_ROOF ? CEILING_FILM_M2K_W
                                                     : INSIDE_FILM_M2K_W;
}

gw_status gw_assembly_solve(const gw_assembly *assembly, gw_house_kind kind,
                            gw_assembly_result *out, gw_err *err)
{
    const gw_status st = check(assembly, kind, err);
    if (st != GW_OK) {
        return st;
    }
    *out = (gw_assembly_result){0};
    films_of(kind, out);
    const double films_m2k_w = out->inside_film_m2k_w + out->outside_film_m2k_w;
    out->clear_m2k_w = films_m2k_w;
    out->isothermal_m2k_w = films_m2k_w;
    for (size_t i = 0; i < assembly->layer_count; i++) {
        const gw_assembly_layer *const l = &assembly->layers[i];
        const double f = l->member_frac;
        const double clear = clear_m2k_w(l);
        out->clear_m2k_w += clear;
        out->isothermal_m2k_w += f > 0.0 ? 1.0 / (f / member_m2k_w(l) + (1.0 - f) / clear) : clear;
        out->thickness_m += l->thickness_m;
        out->heat_capacity_j_m2k +=
            l->thickness_m * ((1.0 - f) * l->density_kg_m3 * l->heat_capacity_j_kgk +
                              f * l->member_density_kg_m3 * l->member_heat_capacity_j_kgk);
    }
    out->parallel_m2k_w = parallel_m2k_w(assembly, films_m2k_w);
    out->resistance_m2k_w = out->isothermal_m2k_w;
    return GW_OK;
}
