// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "study/study_json.h"

#include <jansson.h>
#include <math.h>
#include <stdlib.h>

enum { STUDY_FORMAT = 1 };

// ---------------------------------------------------------------- small helpers

static void put(json_t *o, const char *key, double value)
{
    json_object_set_new(o, key, isfinite(value) ? json_real(value) : json_null());
}

static void put_text(json_t *o, const char *key, const char *s)
{
    json_object_set_new(o, key, s != NULL ? json_string(s) : json_null());
}

static void put_cents(json_t *o, const char *key, gw_money amount)
{
    json_object_set_new(o, key, json_integer((json_int_t)amount.cents));
}

static void put_count(json_t *o, const char *key, size_t count)
{
    json_object_set_new(o, key, json_integer((json_int_t)count));
}

static void put_bool(json_t *o, const char *key, bool value)
{
    json_object_set_new(o, key, json_boolean(value));
}

static json_t *document(const char *kind)
{
    json_t *const o = json_object();
    put_text(o, "groundwright_study", kind);
    put_count(o, "format", STUDY_FORMAT);
    return o;
}

// Takes `root`. A member that could not be set leaves a hole only when memory is gone: the dump
// then fails as well.
static gw_status finish(gw_arena *arena, json_t *root, const char **out, gw_err *err)
{
    char *const text =
        json_dumps(root, JSON_INDENT(2) | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(17));
    json_decref(root);
    *out = text != NULL ? gw_arena_printf(arena, "%s\n", text) : NULL;
    free(text);
    return *out != NULL ? GW_OK : gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory writing JSON");
}

static json_t *outcome(const gw_study_outcome *o)
{
    json_t *const j = json_object();
    put_text(j, "name", o->name);
    put_bool(j, "designed", o->done);
    put_bool(j, "stands", o->stands);
    put_count(j, "cautions", o->cautions);
    put_text(j, "ruled_out", o->ruled_out);
    put(j, "loss_w", o->loss_w);
    put(j, "heat_j", o->heat_j);
    put(j, "capacity_w", o->capacity_w);
    put_count(j, "count", o->count);
    put(j, "each_m", o->each_m);
    put(j, "length_m", o->length_m);
    put(j, "land_length_m", o->land_length_m);
    put(j, "land_width_m", o->land_width_m);
    put(j, "coldest_degc", o->coldest_degc);
    put(j, "warmest_degc", o->warmest_degc);
    put(j, "coldest_first_degc", o->coldest_first_degc);
    put(j, "performance", o->performance);
    put(j, "circulator_w", o->circulator_w);
    put_cents(j, "installed_cents", o->installed);
    put_cents(j, "electricity_year_cents", o->electricity_year);
    put_cents(j, "present_cost_cents", o->present_cost);
    return j;
}

// ---------------------------------------------------------------- the studies

gw_status gw_compare_write_json(gw_arena *arena, const gw_compare *c, const char **out, gw_err *err)
{
    json_t *const root = document("compare");
    json_t *const loops = json_array();
    for (size_t i = 0; i < c->count; i++) {
        json_array_append_new(loops, outcome(&c->loops[i]));
    }
    json_object_set_new(root, "loops", loops);
    json_object_set_new(root, "best",
                        c->best < c->count ? json_integer((json_int_t)c->best) : json_null());
    put_text(root, "present_system", c->present);
    put_cents(root, "present_system_cost_cents", c->present_cost);
    put_cents(root, "present_system_energy_year_cents", c->present_energy_year);
    return finish(arena, root, out, err);
}

static json_t *spread_row(const gw_spread_row *r)
{
    json_t *const j = json_object();
    put_text(j, "what", r->what);
    put_bool(j, "designed", r->done);
    put_text(j, "why_not", r->why_not);
    if (!r->done) {
        return j;
    }
    put_bool(j, "freezes", r->freezes);
    put_count(j, "count", r->count);
    put(j, "each_m", r->each_m);
    put(j, "spacing_m", r->spacing_m);
    put(j, "length_m", r->length_m);
    put(j, "area_m2", r->area_m2);
    put(j, "drift_k", r->drift_k);
    put(j, "first_below_year", r->first_below_year);
    put(j, "undisturbed_degc", r->undisturbed_degc);
    json_t *const list = json_array();
    for (int t = 0; t < GW_SPREAD_TIMES; t++) {
        json_t *const m = json_object();
        put(m, "year", r->at[t].year);
        put(m, "ground_degc", r->at[t].ground_degc);
        put(m, "coldest_degc", r->at[t].coldest_degc);
        json_array_append_new(list, m);
    }
    json_object_set_new(j, "at", list);
    return j;
}

gw_status gw_spread_write_json(gw_arena *arena, const gw_spread *s, const char **out, gw_err *err)
{
    json_t *const root = document("spread");
    put_text(root, "loop", s->loop);
    put(root, "limit_degc", s->limit_degc);
    json_t *const rows = json_array();
    for (size_t i = 0; i < s->count; i++) {
        json_array_append_new(rows, spread_row(&s->rows[i]));
    }
    json_object_set_new(root, "rows", rows);
    return finish(arena, root, out, err);
}

static json_t *step(const gw_measures *m, const gw_measures_step *s)
{
    json_t *const j = json_object();
    if (s->measure < m->count) {
        put_text(j, "key", m->list.items[s->measure].key);
        put_text(j, "measure", m->list.items[s->measure].name);
        put_cents(j, "cost_cents", m->list.items[s->measure].cost);
        put_text(j, "cost_from", m->list.items[s->measure].cost_from);
    }
    put_cents(j, "spent_cents", s->spent);
    put_cents(j, "first_cost_cents", s->first_cost);
    put_cents(j, "present_cost_cents", s->present_cost);
    put_cents(j, "present_system_cost_cents", s->present_system);
    put_cents(j, "saved_cents", s->saved);
    put(j, "saved_per_unit", s->per_unit);
    json_object_set_new(j, "design", outcome(&s->at));
    return j;
}

gw_status gw_measures_write_json(gw_arena *arena, const gw_measures *m, const char **out,
                                 gw_err *err)
{
    json_t *const root = document("measures");
    put_text(root, "loop", m->loop);
    json_object_set_new(root, "base", step(m, &m->base));
    json_t *const alone = json_array();
    json_t *const curve = json_array();
    for (size_t i = 0; i < m->count; i++) {
        json_array_append_new(alone, step(m, &m->alone[i]));
    }
    for (size_t k = 0; k <= m->count; k++) {
        json_array_append_new(curve, step(m, &m->curve[k]));
    }
    json_object_set_new(root, "alone", alone);
    json_object_set_new(root, "curve", curve);
    put_count(root, "stop_after", m->best);
    put_count(root, "designs", m->designs);
    return finish(arena, root, out, err);
}

static void put_range(json_t *o, const char *key, gw_uncertainty_range r)
{
    json_t *const j = json_object();
    put(j, "mean", r.mean);
    put(j, "p10", r.p10);
    put(j, "p50", r.p50);
    put(j, "p90", r.p90);
    json_object_set_new(o, key, j);
}

static json_t *sample(const gw_uncertainty_sample *s)
{
    json_t *const j = json_object();
    put_bool(j, "designed", s->done);
    put_bool(j, "holds", s->holds);
    put(j, "coldest_degc", s->coldest_degc);
    put(j, "warmest_degc", s->warmest_degc);
    put(j, "length_m", s->length_m);
    put(j, "performance", s->performance);
    put(j, "heat_j", s->heat_j);
    put(j, "installed", s->installed);
    put(j, "electricity_year", s->electricity_year);
    put(j, "present_cost", s->present_cost);
    return j;
}

static json_t *bars(const gw_uncertainty *u)
{
    json_t *const list = json_array();
    for (size_t i = 0; i < u->bar_count; i++) {
        const gw_uncertainty_bar *const b = &u->bars[i];
        json_t *const j = json_object();
        put_text(j, "variable", gw_uncertain_word(b->what));
        put_text(j, "what", gw_uncertain_text(b->what));
        put(j, "low_value", b->low_value);
        put(j, "high_value", b->high_value);
        put(j, "present_cost_swing", b->cost_swing);
        put(j, "coldest_swing_k", b->water_swing_k);
        json_object_set_new(j, "low", sample(&b->low));
        json_object_set_new(j, "high", sample(&b->high));
        json_array_append_new(list, j);
    }
    return list;
}

static json_t *rivals(const gw_uncertainty *u)
{
    json_t *const list = json_array();
    for (size_t i = 0; i < u->rival_count; i++) {
        const gw_uncertainty_rival *const r = &u->rivals[i];
        json_t *const j = json_object();
        put_text(j, "key", r->key);
        put_text(j, "name", r->name);
        put_range(j, "present_cost", r->present_cost);
        put_range(j, "energy_year", r->energy_year);
        put(j, "beaten_frac", r->beaten_frac);
        put(j, "beaten_year_frac", r->beaten_year_frac);
        json_array_append_new(list, j);
    }
    return list;
}

gw_status gw_uncertainty_write_json(gw_arena *arena, const gw_uncertainty *u, bool samples,
                                    const char **out, gw_err *err)
{
    json_t *const root = document("uncertainty");
    put_text(root, "loop", u->loop);
    put_text(root, "length", u->mode == GW_UNCERTAINTY_FIXED ? "fixed" : "resized");
    put_count(root, "samples", u->sample_count);
    put_count(root, "samples_designed", u->done);
    json_object_set_new(root, "seed", json_integer((json_int_t)u->seed));
    put(root, "holds_frac", u->holds_frac);
    json_object_set_new(root, "central", sample(&u->central));
    put_range(root, "coldest_degc", u->coldest_degc);
    put_range(root, "warmest_degc", u->warmest_degc);
    put_range(root, "length_m", u->length_m);
    put_range(root, "performance", u->performance);
    put_range(root, "heat_j", u->heat_j);
    put_range(root, "installed", u->installed);
    put_range(root, "electricity_year", u->electricity_year);
    put_range(root, "present_cost", u->present_cost);
    json_object_set_new(root, "alternatives", rivals(u));
    json_object_set_new(root, "tornado", bars(u));
    if (samples) {
        json_t *const list = json_array();
        for (size_t i = 0; i < u->sample_count; i++) {
            json_array_append_new(list, sample(&u->samples[i]));
        }
        json_object_set_new(root, "draws", list);
    }
    return finish(arena, root, out, err);
}
