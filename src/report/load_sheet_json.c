// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "report/load_sheet.h"

#include "job/sink.h"

typedef struct {
    gw_sink sink;
    bool fresh; // no member yet in the present object or list
} writer;

static void begin_item(writer *w)
{
    gw_sink_put(&w->sink, w->fresh ? "" : ", ");
    w->fresh = false;
}

static void key(writer *w, const char *name)
{
    begin_item(w);
    gw_sink_json_string(&w->sink, name);
    gw_sink_put(&w->sink, ": ");
}

static void number(writer *w, const char *name, double value)
{
    key(w, name);
    gw_sink_number(&w->sink, value);
}

static void text(writer *w, const char *name, const char *value)
{
    key(w, name);
    gw_sink_json_string(&w->sink, value);
}

static void flag(writer *w, const char *name, bool value)
{
    key(w, name);
    gw_sink_put(&w->sink, value ? "true" : "false");
}

static void open(writer *w, const char *bracket)
{
    gw_sink_put(&w->sink, bracket);
    w->fresh = true;
}

static void close(writer *w, const char *bracket)
{
    gw_sink_put(&w->sink, bracket);
    w->fresh = false;
}

static void numbers(writer *w, const char *name, const double *values, size_t count)
{
    key(w, name);
    open(w, "[");
    for (size_t i = 0; i < count; i++) {
        begin_item(w);
        gw_sink_number(&w->sink, values[i]);
    }
    close(w, "]");
}

static void components(writer *w, const gw_load_sheet *s)
{
    const gw_house_design_result *const d = &s->design;
    key(w, "components");
    open(w, "[");
    for (size_t i = 0; i < d->row_count; i++) {
        const gw_house_row *const row = &d->rows[i];
        begin_item(w);
        open(w, "\n  {");
        text(w, "name", row->name);
        text(w, "kind", row->kind);
        number(w, "area_m2", row->area_m2);
        if (!d->given && i < s->job->house.envelope_count) {
            number(w, "insulation_m2k_w", s->job->house.envelope[i].insulation_m2k_w);
        }
        number(w, "ua_w_k", row->ua_w_k);
        number(w, "loss_w", row->loss_w);
        number(w, "gain_w", row->gain_w);
        close(w, "}");
    }
    close(w, "]");
}

static void rooms(writer *w, const gw_house_design_result *d)
{
    key(w, "rooms");
    open(w, "[");
    for (size_t i = 0; i < d->room_count; i++) {
        begin_item(w);
        open(w, "\n  {");
        text(w, "name", d->rooms[i].name);
        number(w, "floor_area_m2", d->rooms[i].floor_area_m2);
        number(w, "loss_w", d->rooms[i].loss_w);
        number(w, "gain_w", d->rooms[i].gain_w);
        close(w, "}");
    }
    close(w, "]");
}

static void interval(writer *w, const char *name, gw_bills_interval i)
{
    const double three[3] = {i.low, i.value, i.high};
    numbers(w, name, three, 3);
}

static void bills(writer *w, const gw_load_sheet_bills *b)
{
    key(w, "bills");
    if (!b->given) {
        gw_sink_put(&w->sink, "null");
        return;
    }
    open(w, "\n  {");
    flag(w, "fitted", b->fitted);
    if (b->fitted) {
        interval(w, "ua_w_k", b->fit.ua_w_k);
        interval(w, "balance_degc", b->fit.balance_degc);
        interval(w, "base_w", b->fit.base_w);
        number(w, "periods", (double)b->fit.period_count);
        number(w, "cv_rmse_frac", b->fit.cv_rmse_frac);
        number(w, "component_ua_w_k", b->comparison.component_ua_w_k);
        flag(w, "agree", b->comparison.agree);
        flag(w, "vague", b->comparison.vague);
        text(w, "trust", b->comparison.trust == GW_BILLS_TRUST_BILLS ? "bills" : "components");
        text(w, "sentence", b->comparison.sentence);
    } else {
        text(w, "why", b->why.text);
    }
    close(w, "}");
}

static void design(writer *w, const gw_load_sheet *s)
{
    const gw_house_design_result *const d = &s->design;
    number(w, "loss_w", d->loss_w);
    number(w, "gain_w", d->gain_w);
    number(w, "latent_gain_w", d->latent_gain_w);
    number(w, "gain_hour", d->gain_hour);
    number(w, "heating_indoor_degc", d->heating_indoor_degc);
    number(w, "heating_outdoor_degc", d->heating_outdoor_degc);
    number(w, "cooling_indoor_degc", d->cooling_indoor_degc);
    number(w, "cooling_outdoor_degc", d->cooling_outdoor_degc);
    number(w, "infiltration_m3_s", d->infiltration_m3_s);
}

gw_status gw_load_sheet_json(gw_arena *arena, const gw_load_sheet *s, const char **out, gw_err *err)
{
    writer own = {.sink = {.arena = arena}, .fresh = true};
    writer *const w = &own;
    open(w, "{");
    text(w, "groundwright_sheet", "loads");
    text(w, "name", s->job->name);
    text(w, "station", s->station->name);
    flag(w, "weather_made", s->weather_made);
    design(w, s);
    components(w, s);
    rooms(w, &s->design);
    numbers(w, "heating_month_j", s->heating_j, 12);
    numbers(w, "cooling_month_j", s->cooling_j, 12);
    number(w, "heating_j", s->year.heating_j);
    number(w, "cooling_j", s->year.cooling_j);
    number(w, "free_cooling_j", s->year.free_cooling_j);
    number(w, "duct_heating_j", s->year.duct_heating_j);
    number(w, "duct_cooling_j", s->year.duct_cooling_j);
    number(w, "peak_heating_w", s->year.peak_heating_w);
    number(w, "peak_heating_hour", s->year.peak_heating_hour);
    number(w, "peak_cooling_w", s->year.peak_cooling_w);
    number(w, "peak_cooling_hour", s->year.peak_cooling_hour);
    if (s->has_open) {
        number(w, "open_window_cooling_j", s->open_cooling_j);
    }
    bills(w, &s->bills);
    close(w, "}\n");
    *out = gw_sink_text(&w->sink);
    return *out != NULL ? GW_OK : gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory writing");
}
