// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "money/alternative.h"

#include "money/money_priv.h"

#include <string.h>

// Energy bought in a year.
typedef struct {
    double fuel_j; // of a heating fuel that is not electricity
    double heating_electricity_j;
    double cooling_electricity_j;
    double fan_pump_electricity_j;
} energy_use;

static bool heated_by_electricity(const gw_alternative *a)
{
    return strcmp(a->fuel_key, GW_FUEL_ELECTRICITY) == 0;
}

static const gw_alternative_known *find_known(const gw_alternative_input *in, const char *key)
{
    for (size_t i = 0; i < in->known_count; i++) {
        if (strcmp(in->known[i].key, key) == 0) {
            return &in->known[i];
        }
    }
    return NULL;
}

gw_alternative_known gw_alternative_from_air_source(const gw_alternative *row,
                                                    const gw_air_source_result *result)
{
    return (gw_alternative_known){
        .key = row->key,
        .heating_electricity_j = result->compressor_j + result->backup_j,
        .cooling_electricity_j = result->cooling_electricity_j,
        .fan_pump_electricity_j = row->fan_frac * (result->heating_j + result->cooling_j),
    };
}

static gw_status check_need(const gw_alternative_need *need, gw_err *err)
{
    const struct {
        double value;
        gw_money_priv_range range;
    } rows[] = {{need->heating_j, {"need.heating_j", 0.0, 1e15}},
                {need->cooling_j, {"need.cooling_j", 0.0, 1e15}},
                {need->design_heating_w, {"need.design_heating_w", 0.0, 1e7}},
                {need->design_cooling_w, {"need.design_cooling_w", 0.0, 1e7}}};
    gw_status st = GW_OK;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0] && st == GW_OK; i++) {
        st = gw_money_priv_within(rows[i].range.column, rows[i].value, rows[i].range, err);
    }
    return st;
}

static gw_status check_known(const gw_alternative_input *in, const gw_alternative_known *known,
                             gw_err *err)
{
    const gw_alternative_list list = {in->alternatives, in->count};
    const gw_money_priv_range range = {"known electricity", 0.0, 1e15};
    gw_alternative row;
    gw_status st = gw_alternative_find(&list, known->key, &row, err);
    if (st == GW_OK && !heated_by_electricity(&row)) {
        return gw_fail(err, GW_ERR_RANGE, known->key,
                       "\"%s\" is heated by %s: its electricity cannot be passed in", known->key,
                       row.fuel_key);
    }
    const double value[] = {known->heating_electricity_j, known->cooling_electricity_j,
                            known->fan_pump_electricity_j};
    for (size_t i = 0; i < 3 && st == GW_OK; i++) {
        st = gw_money_priv_within(known->key, value[i], range, err);
    }
    return st;
}

static gw_status check_input(const gw_alternative_input *in, gw_err *err)
{
    gw_status st = check_need(&in->need, err);
    if (st == GW_OK && (in->fuels == NULL || in->grid == NULL || in->count == 0)) {
        st = gw_fail(err, GW_ERR_MISSING, "input", "fuels, grid and alternatives must be given");
    }
    for (size_t i = 0; i < in->count && st == GW_OK; i++) {
        st = gw_alternative_check(&in->alternatives[i], err);
        for (size_t j = 0; j < i && st == GW_OK; j++) {
            if (strcmp(in->alternatives[i].key, in->alternatives[j].key) == 0) {
                st = gw_fail(err, GW_ERR_KEY, in->alternatives[i].key,
                             "alternative \"%s\" is given twice", in->alternatives[i].key);
            }
        }
    }
    for (size_t i = 0; i < in->known_count && st == GW_OK; i++) {
        st = check_known(in, &in->known[i], err);
    }
    return st;
}

static gw_status use_energy(const gw_alternative_input *in, const gw_alternative *a,
                            energy_use *out, gw_err *err)
{
    const gw_alternative_known *const known = find_known(in, a->key);
    if (known != NULL) {
        *out = (energy_use){0.0, known->heating_electricity_j, known->cooling_electricity_j,
                            known->fan_pump_electricity_j};
        return GW_OK;
    }
    if (strcmp(a->key, GW_ALTERNATIVE_AIR_SOURCE) == 0 ||
        strcmp(a->key, GW_ALTERNATIVE_GROUND_SOURCE) == 0) {
        return gw_fail(err, GW_ERR_MISSING, a->key, "\"%s\" needs its yearly electricity passed in",
                       a->key);
    }
    const double bought_j = in->need.heating_j / a->efficiency_frac;
    const bool electric = heated_by_electricity(a);
    *out = (energy_use){
        .fuel_j = electric ? 0.0 : bought_j,
        .heating_electricity_j = electric ? bought_j : 0.0,
        .cooling_electricity_j = a->cooling_cop > 0.0 ? in->need.cooling_j / a->cooling_cop : 0.0,
        .fan_pump_electricity_j = a->fan_frac * in->need.heating_j,
    };
    return GW_OK;
}

// Electricity cost by use: flat price, or the shares of a bill; the last takes the rounding.
static gw_status price_electricity(const energy_use *use, const gw_fuel *electricity,
                                   const gw_money *bill, gw_money out[static 3], gw_err *err)
{
    const double part_j[3] = {use->heating_electricity_j, use->cooling_electricity_j,
                              use->fan_pump_electricity_j};
    const double all_j = part_j[0] + part_j[1] + part_j[2];
    gw_status st = GW_OK;
    for (size_t i = 0; i < 3 && st == GW_OK; i++) {
        if (bill == NULL) {
            st = gw_money_from_rate(electricity->price, part_j[i] / electricity->energy_j, &out[i],
                                    err);
        } else {
            st = gw_money_scale(*bill, all_j > 0.0 ? part_j[i] / all_j : 0.0, &out[i], err);
        }
    }
    if (st == GW_OK && bill != NULL) {
        out[2] = gw_money_subtract(*bill, gw_money_add(out[0], out[1]));
    }
    return st;
}

static gw_status price_capital(const gw_alternative_input *in, const gw_alternative *a,
                               const gw_alternative_known *known, gw_money *out, gw_err *err)
{
    if (known != NULL && known->capital != NULL) {
        *out = *known->capital;
        return GW_OK;
    }
    double units = a->heating.base + a->heating.per_w * in->need.design_heating_w;
    if (in->need.design_cooling_w > 0.0 && a->cooling_cop > 0.0) {
        units += a->cooling.base + a->cooling.per_w * in->need.design_cooling_w;
    }
    return gw_money_from_units(units, out, err);
}

// What the energy of one alternative costs.
typedef struct {
    gw_fuel fuel; // of heating
    gw_fuel electricity;
    const gw_money *bill; // of electricity; NULL: flat price
} prices;

static gw_status price_energy(const gw_alternative *a, const energy_use *use, const prices *at,
                              gw_alternative_year *out, gw_err *err)
{
    const gw_fuel *const fuel = &at->fuel;
    gw_money part[3] = {{0}, {0}, {0}}, fuel_cost = {0};
    gw_status st = price_electricity(use, &at->electricity, at->bill, part, err);
    if (st == GW_OK) {
        st = gw_money_from_rate(fuel->price, use->fuel_j / fuel->energy_j, &fuel_cost, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const double fuel_j = heated_by_electricity(a) ? use->heating_electricity_j : use->fuel_j;
    out->fuel_name = fuel->name;
    out->fuel_unit = fuel->unit;
    out->fuel_quantity = fuel_j / fuel->energy_j;
    out->heating_cost = gw_money_add(gw_money_add(fuel_cost, a->fixed_charge), part[0]);
    out->cooling_cost = part[1];
    out->fan_pump_cost = part[2];
    out->energy_cost =
        gw_money_add(out->heating_cost, gw_money_add(out->cooling_cost, out->fan_pump_cost));
    out->maintenance = a->maintenance;
    out->year_cost = gw_money_add(out->energy_cost, out->maintenance);
    return GW_OK;
}

static gw_status fill_year(const gw_alternative_input *in, const gw_alternative *a,
                           gw_alternative_year *out, gw_err *err)
{
    const gw_alternative_known *const known = find_known(in, a->key);
    prices at = {.bill = known == NULL ? NULL : known->electricity_bill};
    energy_use use = {0};
    gw_status st = gw_fuel_find(in->fuels, a->fuel_key, &at.fuel, err);
    if (st == GW_OK) {
        st = gw_fuel_find(in->fuels, GW_FUEL_ELECTRICITY, &at.electricity, err);
    }
    if (st == GW_OK) {
        st = use_energy(in, a, &use, err);
    }
    if (st != GW_OK) {
        return st;
    }
    *out = (gw_alternative_year){.key = a->key, .name = a->name, .life_year = a->life_year};
    st = price_energy(a, &use, &at, out, err);
    if (st == GW_OK) {
        st = price_capital(in, a, known, &out->capital, err);
    }
    out->electricity_j =
        use.heating_electricity_j + use.cooling_electricity_j + use.fan_pump_electricity_j;
    out->co2e_kg = use.fuel_j / at.fuel.energy_j * at.fuel.co2e_kg +
                   out->electricity_j / GW_FUEL_J_PER_KWH * in->grid->co2e_kg_kwh;
    const double heating_in_j = use.fuel_j + use.heating_electricity_j + use.fan_pump_electricity_j;
    out->performance = heating_in_j > 0.0 ? in->need.heating_j / heating_in_j : 0.0;
    out->cools = use.cooling_electricity_j > 0.0 || (known == NULL && a->cooling_cop > 0.0);
    return st;
}

static bool comes_before(const gw_alternative_year *a, const gw_alternative_year *b)
{
    const int by_cost = gw_money_compare(b->energy_cost, a->energy_cost);
    return by_cost != 0 ? by_cost < 0 : strcmp(a->key, b->key) < 0;
}

// Insertion sort: a dozen rows, and the order is the same everywhere.
static void sort_rows(gw_alternative_year *rows, size_t count)
{
    for (size_t i = 1; i < count; i++) {
        const gw_alternative_year row = rows[i];
        size_t j = i;
        for (; j > 0 && comes_before(&row, &rows[j - 1]); j--) {
            rows[j] = rows[j - 1];
        }
        rows[j] = row;
    }
}

static gw_status fill_savings(gw_alternative_year *rows, gw_alternative_table *table,
                              const char *chosen, gw_err *err)
{
    gw_money_priv_guess guess = {.wanted = chosen};
    table->chosen = table->count;
    for (size_t i = 0; i < table->count; i++) {
        gw_money_priv_consider(&guess, rows[i].key);
        if (strcmp(rows[i].key, chosen) == 0) {
            table->chosen = i;
        }
    }
    if (table->chosen == table->count) {
        return gw_money_priv_fail_key(&guess, "alternative", err);
    }
    const gw_alternative_year *const own = &rows[table->chosen];
    for (size_t i = 0; i < table->count; i++) {
        rows[i].saving = gw_money_subtract(rows[i].energy_cost, own->energy_cost);
        rows[i].saving_frac = gw_money_ratio(rows[i].saving, rows[i].energy_cost);
        rows[i].co2e_saving_kg = rows[i].co2e_kg - own->co2e_kg;
    }
    return GW_OK;
}

gw_status gw_alternative_compare(gw_arena *arena, const gw_alternative_input *input,
                                 gw_alternative_table *out, gw_err *err)
{
    gw_status st = check_input(input, err);
    if (st != GW_OK) {
        return st;
    }
    gw_alternative_year *const rows = gw_arena_alloc(arena, input->count, sizeof *rows);
    if (rows == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "alternatives", "out of memory for the comparison");
    }
    for (size_t i = 0; i < input->count && st == GW_OK; i++) {
        st = fill_year(input, &input->alternatives[i], &rows[i], err);
    }
    if (st != GW_OK) {
        return st;
    }
    sort_rows(rows, input->count);
    gw_alternative_table table = {.rows = rows, .count = input->count};
    st = fill_savings(rows, &table,
                      input->chosen == NULL ? GW_ALTERNATIVE_GROUND_SOURCE : input->chosen, err);
    if (st == GW_OK) {
        *out = table;
    }
    return st;
}
