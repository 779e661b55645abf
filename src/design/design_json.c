// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The design as JSON, for machines. Keys carry the SI unit, as the C fields do; money is in cents.
#include "design/design.h"
#include "design/lot_json.h"

#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { DESIGN_FORMAT = 1 };

// A number that is not finite has no place in JSON: null says "not known".
static json_t *number(double value)
{
    return isfinite(value) ? json_real(value) : json_null();
}

static json_t *text(const char *s)
{
    return s != NULL ? json_string(s) : json_null();
}

static json_t *cents(gw_money amount)
{
    return json_integer((json_int_t)amount.cents);
}

static json_t *numbers(const double *values, size_t count)
{
    json_t *const list = json_array();
    for (size_t i = 0; i < count; i++) {
        json_array_append_new(list, number(values[i]));
    }
    return list;
}

static const char *state_word(gw_verdict_state state)
{
    switch (state) {
    case GW_VERDICT_HOLDS:
        return "holds";
    case GW_VERDICT_CAUTION:
        return "caution";
    case GW_VERDICT_FAILS:
        return "fails";
    }
    return "";
}

static json_t *verdict(const gw_verdict *v)
{
    json_t *const o = json_object();
    json_object_set_new(o, "state", text(state_word(v->state)));
    json_object_set_new(o, "what", text(v->what));
    json_object_set_new(o, "unit", text(gw_quantity_si_unit(v->kind)));
    json_object_set_new(o, "found", number(v->found));
    if (v->side != GW_LIMIT_NONE) {
        json_object_set_new(o, v->side == GW_LIMIT_AT_LEAST ? "at_least" : "at_most",
                            number(v->limit));
    }
    json_object_set_new(o, "because", text(v->because));
    return o;
}

static json_t *moment(const gw_loop_moment *m)
{
    json_t *const o = json_object();
    json_object_set_new(o, "degc", number(m->degc));
    json_object_set_new(o, "year", json_integer((json_int_t)m->year));
    json_object_set_new(o, "hour_of_year", json_integer((json_int_t)m->hour));
    return o;
}

static json_t *energy(const gw_loop_energy *y)
{
    const struct {
        const char *key;
        double value;
    } rows[] = {
        {"heating_j", y->heating_j},
        {"hot_water_j", y->hot_water_j},
        {"cooling_j", y->cooling_j},
        {"ground_j", y->ground_j},
        {"compressor_j", y->compressor_j},
        {"blower_j", y->blower_j},
        {"circulator_j", y->circulator_j},
        {"auxiliary_j", y->auxiliary_j},
        {"heating_electricity_j", y->heating_electricity_j},
        {"cooling_electricity_j", y->cooling_electricity_j},
        {"unmet_j", y->unmet_j},
        {"run_hours", y->run_hours},
    };
    json_t *const o = json_object();
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        json_object_set_new(o, rows[i].key, number(rows[i].value));
    }
    return o;
}

static json_t *months(const gw_loop_result *r, size_t years)
{
    json_t *const list = json_array();
    for (size_t i = 0; i < 12 * years; i++) {
        const double row[] = {r->months[i].mean_degc, r->months[i].least_degc,
                              r->months[i].greatest_degc};
        json_array_append_new(list, numbers(row, 3));
    }
    return list;
}

typedef struct {
    const char *key;
    double value;
} member;

static void set_numbers(json_t *o, const member *rows, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        json_object_set_new(o, rows[i].key, number(rows[i].value));
    }
}

#define SET_NUMBERS(o, rows) set_numbers(o, rows, sizeof(rows) / sizeof((rows)[0]))

static void plan_bores(json_t *o, const gw_bores_plan *b)
{
    const member rows[] = {{"depth_m", b->depth_m},
                           {"top_m", b->top_m},
                           {"diameter_m", b->diameter_m},
                           {"spacing_m", b->spacing_m}};
    SET_NUMBERS(o, rows);
}

static void plan_trench(json_t *o, const gw_trench_plan *t)
{
    const member rows[] = {
        {"length_m", t->length_m},
        {"spacing_m", t->spacing_m},
        {"depth_m", t->depth_m},
        {"width_m", t->width_m},
        {"fill_m", t->fill_m},
        {"backfill_w_mk", t->backfill_w_mk > 0.0 ? t->backfill_w_mk : (double)NAN}};
    SET_NUMBERS(o, rows);
    json_object_set_new(o, "pipes", json_integer((json_int_t)t->pipes));
}

static void plan_coil(json_t *o, const gw_coil_plan *c)
{
    const gw_coil_extent extent = gw_coil_extent_of(c);
    const member rows[] = {{"length_m", c->length_m},
                           {"spacing_m", c->spacing_m},
                           {"depth_m", c->depth_m},
                           {"width_m", c->width_m},
                           {"ring_diameter_m", c->ring_diameter_m},
                           {"pitch_m", c->pitch_m},
                           {"rings", extent.rings},
                           {"ring_pipe_m", extent.ring_pipe_m}};
    SET_NUMBERS(o, rows);
    json_object_set_new(o, "lie", text(c->lie == GW_COIL_FLAT ? "flat" : "upright"));
}

static void plan_pond(json_t *o, const gw_pond_plan *p)
{
    const member rows[] = {{"bundle_m", p->bundle_m},
                           {"area_m2", p->area_m2},
                           {"depth_m", p->depth_m},
                           {"coil_depth_m", gw_pond_coil_depth_m(p)},
                           {"spacing_m", p->spacing_m}};
    SET_NUMBERS(o, rows);
}

static void plan_well(json_t *o, const gw_open_well_plan *open)
{
    const gw_well_plan *const w = &open->well;
    const member rows[] = {{"depth_m", open->depth_m > 0.0 ? open->depth_m : w->pump_depth_m + 3.0},
                           {"pump_depth_m", w->pump_depth_m},
                           {"static_level_m", w->static_level_m},
                           {"water_degc", w->water_degc},
                           {"yield_m3_s", w->yield_m3_s},
                           {"return_distance_m", w->return_distance_m}};
    SET_NUMBERS(o, rows);
    json_object_set_new(o, "return_to", text(w->back == GW_WELL_RETURN_WELL ? "well" : "surface"));
}

// A kind's own numbers; `count` is that of bores, trenches, bundles or wells.
static json_t *plan(const gw_loop_plan *p)
{
    json_t *const o = json_object();
    json_object_set_new(o, "kind", text(gw_loop_kind_row_of(p->kind)->id));
    json_object_set_new(o, "count", json_integer((json_int_t)gw_loop_count_of(p)));
    switch (p->kind) {
    case GW_LOOP_BORES:
        plan_bores(o, &p->bores);
        break;
    case GW_LOOP_TRENCH:
        plan_trench(o, &p->trench);
        break;
    case GW_LOOP_COIL:
        plan_coil(o, &p->coil);
        break;
    case GW_LOOP_POND:
        plan_pond(o, &p->pond);
        break;
    case GW_LOOP_WELL:
        plan_well(o, &p->well);
        break;
    case GW_LOOP_MIXED:
        break;
    }
    return o;
}

static json_t *whole_plan(const gw_loop_plan *p)
{
    json_t *const o = plan(p);
    json_object_set_new(o, "header_m", number(p->header_m));
    if (p->kind == GW_LOOP_MIXED) {
        json_t *const parts = json_array();
        for (size_t i = 0; i < p->mixed.part_count; i++) {
            const gw_loop_plan part = gw_loop_part(p, i);
            json_t *const one = plan(&part);
            json_object_set_new(one, "flow_frac", number(p->mixed.flow_frac[i]));
            json_array_append_new(parts, one);
        }
        json_object_set_new(o, "parts", parts);
    }
    return o;
}

// The pond's year with and without the loop, and the balance of its heat.
static json_t *pond(const gw_design_pond *p)
{
    const gw_pond_balance *const b = &p->with.balance;
    const member rows[] = {{"coldest_without_degc", p->without.coldest_degc},
                           {"coldest_with_degc", p->with.coldest_degc},
                           {"warmest_with_degc", p->with.warmest_degc},
                           {"thickest_ice_m", p->with.thickest_ice_m},
                           {"ice_hours", (double)p->with.ice_hours},
                           {"sun_j", b->sun_j},
                           {"longwave_j", b->longwave_j},
                           {"evaporation_j", b->evaporation_j},
                           {"convection_j", b->convection_j},
                           {"sediment_j", b->sediment_j},
                           {"inflow_j", b->inflow_j},
                           {"loop_j", b->coils_j}};
    json_t *const o = json_object();
    SET_NUMBERS(o, rows);
    return o;
}

static json_t *well(const gw_well_answer *a)
{
    const member rows[] = {{"flow_m3_s", a->flow_m3_s},
                           {"week_flow_m3_s", a->week_flow_m3_s},
                           {"year_flow_m3_s", a->year_flow_m3_s},
                           {"change_k", a->change_k},
                           {"drawdown_m", a->drawdown_m},
                           {"level_m", a->level_m},
                           {"return_level_m", a->return_level_m},
                           {"head_m", a->head_m},
                           {"pump_w", a->pump_w},
                           {"pump_year_j", a->pump_year_j},
                           {"breakthrough_s", a->heat.breakthrough_s}};
    json_t *const o = json_object();
    SET_NUMBERS(o, rows);
    return o;
}

static json_t *pipes(const gw_design_loop *loop)
{
    const gw_circuit_result *const h = &loop->hydraulics;
    const char grade[2] = {h->grade.grade, '\0'};
    json_t *const o = json_object();
    json_object_set_new(o, "circuits", json_integer((json_int_t)loop->sized.response.circuits));
    json_object_set_new(o, "circuit_pipe", text(loop->pipe->id));
    json_object_set_new(o, "circuit_length_m", number(loop->sized.response.circuit_pipe_m));
    json_object_set_new(o, "header_pipe", text(loop->header->id));
    json_object_set_new(o, "circuit_flow_m3_s", number(h->circuit_flow_m3_s));
    json_object_set_new(o, "least_reynolds", number(h->least_reynolds));
    json_object_set_new(o, "total_head_m", number(h->total_head_m));
    json_object_set_new(o, "total_pressure_pa", number(h->total_pressure_pa));
    json_object_set_new(o, "circulator_w", number(h->pump_w));
    json_object_set_new(o, "pumping_grade", text(grade));
    json_object_set_new(o, "volume_m3", number(h->total_volume_m3));
    json_object_set_new(o, "antifreeze_m3", number(h->charge.antifreeze_m3));
    json_object_set_new(o, "antifreeze_kg", number(h->charge.antifreeze_kg));
    json_object_set_new(o, "purge_flow_m3_s", number(h->purge_flow_m3_s));
    json_object_set_new(o, "purge_head_m", number(h->purge_head_m));
    return o;
}

static json_t *range(const gw_money_range *r)
{
    json_t *const o = json_object();
    json_object_set_new(o, "low_cents", cents(r->low));
    json_object_set_new(o, "typical_cents", cents(r->typical));
    json_object_set_new(o, "high_cents", cents(r->high));
    return o;
}

static json_t *estimate(const gw_estimate *e)
{
    json_t *const o = json_object();
    json_t *const lines = json_array();
    for (size_t i = 0; i < e->line_count; i++) {
        const gw_estimate_line *const line = &e->lines[i];
        json_t *const row = json_object();
        json_object_set_new(row, "key", text(line->key));
        json_object_set_new(row, "what", text(line->what));
        json_object_set_new(row, "quantity", number(line->quantity));
        json_object_set_new(row, "unit", text(line->unit));
        json_object_set_new(row, "amount", range(&line->amount));
        json_object_set_new(row, "origin", text(line->origin));
        json_object_set_new(row, "price_source", text(line->price_source));
        json_array_append_new(lines, row);
    }
    json_object_set_new(o, "lines", lines);
    json_object_set_new(o, "contingency", range(&e->contingency));
    json_object_set_new(o, "tax", range(&e->tax));
    json_object_set_new(o, "total", range(&e->total));
    return o;
}

static json_t *tries(const gw_loop_sized *s)
{
    json_t *const list = json_array();
    for (size_t i = 0; i < s->try_count; i++) {
        json_t *const o = json_object();
        json_object_set_new(o, "each_m", number(s->tries[i].each_m));
        json_object_set_new(o, "count", json_integer((json_int_t)s->tries[i].count));
        json_object_set_new(o, "least_degc", number(s->tries[i].least_degc));
        json_object_set_new(o, "greatest_degc", number(s->tries[i].greatest_degc));
        json_array_append_new(list, o);
    }
    return list;
}

static json_t *water(const gw_design_loop *loop, size_t years)
{
    const gw_loop_result *const r = &loop->sized.result;
    json_t *const o = json_object();
    json_object_set_new(o, "coldest", moment(&r->coldest));
    json_object_set_new(o, "warmest", moment(&r->warmest));
    json_object_set_new(o, "coldest_first_year", moment(&r->coldest_first));
    json_object_set_new(o, "coldest_last_year", moment(&r->coldest_last));
    json_object_set_new(o, "coldest_week_degc", number(r->coldest_week_degc));
    json_object_set_new(o, "coldest_leaving_degc", number(r->leaving_degc));
    json_object_set_new(o, "first_month", json_integer(GW_LOOP_FIRST_MONTH + 1));
    json_object_set_new(o, "months_mean_least_greatest_degc", months(r, years));
    return o;
}

// Bores or pipes as straight lines: [x, y, depth] of both ends, metres from the job's origin.
static json_t *lines(const gw_loop_response *r)
{
    json_t *const list = json_array();
    for (size_t i = 0; i + r->pieces <= r->segment_count; i += r->pieces) {
        const gw_segment *const first = &r->segments[i];
        const gw_segment *const last = &r->segments[i + r->pieces - 1];
        const gw_position end = gw_segment_point(last, last->length_m);
        const double row[] = {first->x_m, first->y_m, first->z_m, end.x_m, end.y_m, end.z_m};
        json_array_append_new(list, numbers(row, 6));
    }
    return list;
}

static json_t *ground(const gw_design_loop *loop)
{
    const gw_loop_response *const r = &loop->sized.response;
    json_t *const o = json_object();
    json_object_set_new(o, "conductivity_w_mk", number(r->soil.conductivity_w_mk));
    json_object_set_new(o, "volumetric_heat_j_m3k", number(r->soil.volumetric_heat_j_m3k));
    json_object_set_new(o, "undisturbed_degc", number(r->undisturbed_degc));
    json_object_set_new(o, "resistance_mk_w", number(r->resistance_mk_w));
    json_object_set_new(o, "steady_mk_w", number(r->steady_mk_w));
    json_object_set_new(o, "fit_error_frac", number(r->step.fit_error_frac));
    json_object_set_new(o, "handbook_length_m",
                        loop->handbook.length_m > 0.0 ? number(loop->handbook.length_m)
                                                      : json_null());
    json_object_set_new(o, "handbook", text(loop->handbook.what));
    return o;
}

static json_t *one_loop(const gw_design_loop *loop, size_t years)
{
    json_t *const o = json_object();
    json_t *const verdicts = json_array();
    for (size_t i = 0; i < loop->verdicts.count; i++) {
        json_array_append_new(verdicts, verdict(&loop->verdicts.items[i]));
    }
    json_object_set_new(o, "name", text(loop->name));
    json_object_set_new(o, "stands", json_boolean(loop->stands));
    json_object_set_new(o, "plan", whole_plan(&loop->sized.plan));
    if (loop->pond != NULL) {
        json_object_set_new(o, "pond", pond(loop->pond));
    }
    if (loop->well != NULL) {
        json_object_set_new(o, "well", well(&loop->well->answer));
    }
    json_object_set_new(o, "length_m", number(loop->sized.response.length_m));
    json_object_set_new(o, "land_length_m", number(loop->land_length_m));
    json_object_set_new(o, "land_width_m", number(loop->land_width_m));
    json_object_set_new(o, "lines_m", lines(&loop->sized.response));
    json_object_set_new(o, "entering_water", water(loop, years));
    json_object_set_new(o, "ground", ground(loop));
    json_object_set_new(o, "first_year", energy(&loop->sized.result.first));
    json_object_set_new(o, "last_year", energy(&loop->sized.result.last));
    json_object_set_new(o, "heating_spf", number(loop->sized.result.heating_spf));
    json_object_set_new(o, "pipes", pipes(loop));
    json_object_set_new(o, "estimate", estimate(&loop->estimate));
    json_object_set_new(o, "electricity_year_cents", cents(loop->electricity_year));
    json_object_set_new(o, "life_cycle_cents", cents(loop->life_cycle.present_cost));
    json_object_set_new(o, "simple_payback_year",
                        loop->against.has_simple_payback ? number(loop->against.simple_payback_year)
                                                         : json_null());
    json_object_set_new(o, "sizing_tries", tries(&loop->sized));
    json_object_set_new(o, "verdicts", verdicts);
    return o;
}

static json_t *house(const gw_design *d)
{
    json_t *const o = json_object();
    json_t *const rows = json_array();
    for (size_t i = 0; i < d->house.row_count; i++) {
        const gw_house_row *const r = &d->house.rows[i];
        json_t *const row = json_object();
        json_object_set_new(row, "name", text(r->name));
        json_object_set_new(row, "kind", text(r->kind));
        json_object_set_new(row, "loss_w", number(r->loss_w));
        json_object_set_new(row, "gain_w", number(r->gain_w));
        json_array_append_new(rows, row);
    }
    json_object_set_new(o, "design_loss_w", number(d->house.loss_w));
    json_object_set_new(o, "design_gain_w", number(d->house.gain_w));
    json_object_set_new(o, "latent_gain_w", number(d->house.latent_gain_w));
    json_object_set_new(o, "heating_outdoor_degc", number(d->house.heating_outdoor_degc));
    json_object_set_new(o, "heating_j", number(d->loads.heating_j));
    json_object_set_new(o, "cooling_j", number(d->loads.cooling_j));
    json_object_set_new(o, "components", rows);
    return o;
}

static json_t *alternatives(const gw_alternative_table *t)
{
    json_t *const list = json_array();
    for (size_t i = 0; i < t->count; i++) {
        const gw_alternative_year *const r = &t->rows[i];
        json_t *const row = json_object();
        json_object_set_new(row, "key", text(r->key));
        json_object_set_new(row, "name", text(r->name));
        json_object_set_new(row, "fuel", text(r->fuel_name));
        json_object_set_new(row, "fuel_unit", text(r->fuel_unit));
        json_object_set_new(row, "fuel_quantity", number(r->fuel_quantity));
        json_object_set_new(row, "electricity_j", number(r->electricity_j));
        json_object_set_new(row, "energy_cost_cents", cents(r->energy_cost));
        json_object_set_new(row, "maintenance_cents", cents(r->maintenance));
        json_object_set_new(row, "capital_cents", cents(r->capital));
        json_object_set_new(row, "co2e_kg", number(r->co2e_kg));
        json_object_set_new(row, "saving_frac", number(r->saving_frac));
        json_array_append_new(list, row);
    }
    return list;
}

static json_t *notes(const gw_design *d)
{
    json_t *const o = json_object();
    json_t *const warnings = json_array();
    json_t *const defaults = json_array();
    json_t *const cautions = json_array();
    for (size_t i = 0; i < d->warnings.count; i++) {
        json_t *const row = json_object();
        json_object_set_new(row, "path", text(d->warnings.items[i].field));
        json_object_set_new(row, "text", text(d->warnings.items[i].text));
        json_array_append_new(warnings, row);
    }
    for (size_t i = 0; i < d->job->default_count; i++) {
        json_t *const row = json_object();
        json_object_set_new(row, "path", text(d->job->defaults[i].path));
        json_object_set_new(row, "value", text(d->job->defaults[i].text));
        json_array_append_new(defaults, row);
    }
    for (size_t i = 0; i < d->caution_count; i++) {
        json_array_append_new(cautions, text(d->cautions[i]));
    }
    json_object_set_new(o, "warnings", warnings);
    json_object_set_new(o, "defaults", defaults);
    json_object_set_new(o, "cautions", cautions);
    return o;
}

static json_t *whole(const gw_design *d)
{
    json_t *const o = json_object();
    json_t *const loops = json_array();
    const size_t years = (size_t)d->job->limits.years;
    for (size_t i = 0; i < d->loop_count; i++) {
        json_t *const one = one_loop(&d->loops[i], years);
        gw_design_json_lot(one, d, &d->loops[i]);
        json_array_append_new(loops, one);
    }
    json_object_set_new(o, "groundwright_design", json_integer(DESIGN_FORMAT));
    json_object_set_new(o, "job", text(d->job->name));
    json_object_set_new(o, "station", text(d->station->id));
    json_object_set_new(o, "weather",
                        text(d->weather_made ? "made from monthly normals" : d->weather->name));
    json_object_set_new(o, "house", house(d));
    json_object_set_new(o, "heat_pump", text(d->heat_pump->name));
    json_object_set_new(o, "fluid", text(d->fluid_data->id));
    json_object_set_new(o, "fluid_mass_frac", number(d->fluid.mass_frac));
    json_object_set_new(o, "fluid_freeze_degc", number(d->freeze_degc));
    json_object_set_new(o, "best",
                        d->best < d->loop_count ? json_integer((json_int_t)d->best) : json_null());
    json_object_set_new(o, "loops", loops);
    json_object_set_new(o, "alternatives", alternatives(&d->alternatives));
    json_object_set_new(o, "notes", notes(d));
    return o;
}

gw_status gw_design_write_json(gw_arena *arena, const gw_design *design, const char **out,
                               gw_err *err)
{
    json_t *const tree = whole(design);
    char *const dumped =
        tree != NULL ? json_dumps(tree, JSON_INDENT(1) | JSON_REAL_PRECISION(17)) : NULL;
    json_decref(tree);
    *out = dumped != NULL ? gw_arena_printf(arena, "%s\n", dumped) : NULL;
    free(dumped);
    return *out != NULL ? GW_OK
                        : gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory writing the design");
}
