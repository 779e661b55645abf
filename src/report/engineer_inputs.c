// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Climate, house and heat pump, as the design used them.
#include "report/engineer_priv.h"

#include <math.h>

#define Q(kind, value) gw_papers_quantity(p, GW_QTY_##kind, (value))

void gw_engineer_priv_climate(gw_engineer_priv *r)
{
    static const gw_ruled_column MONTHS[] = {
        {"Jan", 1, GW_ANCHOR_END}, {"Feb", 1, GW_ANCHOR_END}, {"Mar", 1, GW_ANCHOR_END},
        {"Apr", 1, GW_ANCHOR_END}, {"May", 1, GW_ANCHOR_END}, {"Jun", 1, GW_ANCHOR_END},
        {"Jul", 1, GW_ANCHOR_END}, {"Aug", 1, GW_ANCHOR_END}, {"Sep", 1, GW_ANCHOR_END},
        {"Oct", 1, GW_ANCHOR_END}, {"Nov", 1, GW_ANCHOR_END}, {"Dec", 1, GW_ANCHOR_END}};
    gw_papers *const p = &r->p;
    const gw_design *const d = p->design;
    const gw_station *const s = d->station;
    gw_leaf_heading(&r->leaf, 1, "2 Climate");
    gw_engineer_priv_begin_list(r);
    gw_engineer_priv_pair(r, "Station",
                          gw_papers_text(p, "%s, %s (%.2f°, %.2f°, %s)", s->name, s->region,
                                         s->latitude_deg, s->longitude_deg,
                                         Q(LENGTH, s->elevation_m)));
    gw_engineer_priv_pair(r, "Source of normals and design temperatures", s->source);
    gw_engineer_priv_pair(r, "Hourly weather",
                          d->weather_made
                              ? "made from the monthly normals (docs/methods/climate.md)"
                              : d->weather->name);
    gw_engineer_priv_pair(r, "Heating design, cooling design, daily range",
                          gw_papers_text(p, "%s, %s, %s", Q(TEMPERATURE, s->heating_design_degc),
                                         Q(TEMPERATURE, s->cooling_design_degc),
                                         Q(TEMPERATURE_DIFFERENCE, s->daily_range_k)));
    gw_engineer_priv_pair(r, "Ground surface: mean, half swing, day of minimum",
                          gw_papers_text(p, "%s, %s, day %.0f", Q(TEMPERATURE, s->ground_mean_degc),
                                         Q(TEMPERATURE_DIFFERENCE, s->ground_amplitude_k),
                                         s->ground_phase_day));
    gw_engineer_priv_pair(r, "Source of the ground values", s->ground_source);
    gw_engineer_priv_end(r, true);
    gw_leaf_heading(&r->leaf, 2, "Monthly mean air temperature");
    const char *cells[12];
    for (int i = 0; i < 12; i++) {
        cells[i] = Q(TEMPERATURE, s->monthly_mean_degc[i]);
    }
    gw_engineer_priv_begin(r, MONTHS, 12);
    gw_engineer_priv_row(r, cells);
    gw_engineer_priv_end(r, false);
}

static void house_rows(gw_engineer_priv *r)
{
    static const gw_ruled_column COLUMNS[] = {
        {"Component", 2.2, GW_ANCHOR_START}, {"Kind", 1.3, GW_ANCHOR_START},
        {"Area", 0.9, GW_ANCHOR_END},        {"UA", 1.0, GW_ANCHOR_END},
        {"Loss", 1.0, GW_ANCHOR_END},        {"Gain", 1.0, GW_ANCHOR_END}};
    gw_papers *const p = &r->p;
    const gw_house_design_result *const h = &p->design->house;
    gw_engineer_priv_begin(r, COLUMNS, 6);
    for (size_t i = 0; i < h->row_count; i++) {
        const gw_house_row *const row = &h->rows[i];
        const char *const cells[] = {row->name,
                                     gw_papers_tidy(p, row->kind),
                                     row->area_m2 > 0.0 ? Q(AREA, row->area_m2) : "",
                                     Q(HEAT_LOSS_RATE, row->ua_w_k),
                                     Q(POWER, row->loss_w),
                                     Q(POWER, row->gain_w)};
        gw_engineer_priv_row(r, cells);
    }
    const char *const sum[] = {"Sum",
                               "",
                               "",
                               Q(HEAT_LOSS_RATE, h->ua_total_w_k),
                               Q(POWER, h->loss_w),
                               Q(POWER, h->gain_w)};
    gw_engineer_priv_row(r, sum);
    gw_engineer_priv_end(r, false);
}

void gw_engineer_priv_house(gw_engineer_priv *r)
{
    gw_papers *const p = &r->p;
    const gw_design *const d = p->design;
    const gw_house_design_result *const h = &d->house;
    gw_leaf_heading(&r->leaf, 1, "3 House");
    gw_engineer_priv_method(
        r, "component losses A ΔT / R; below grade by ISO 13370; infiltration by Sherman & "
           "Grimsrud 1980; hourly loads by the one-mass model of ISO 13790:2008 annex C "
           "(docs/methods/house.md). No credit for sun or people in the design loss.");
    house_rows(r);
    gw_engineer_priv_begin_list(r);
    gw_engineer_priv_pair(r, "Indoor, outdoor for heating",
                          gw_papers_text(p, "%s, %s", Q(TEMPERATURE, h->heating_indoor_degc),
                                         Q(TEMPERATURE, h->heating_outdoor_degc)));
    gw_engineer_priv_pair(
        r, "Check: UA total × difference",
        gw_papers_text(
            p, "%s × %s = %s", Q(HEAT_LOSS_RATE, h->ua_total_w_k),
            Q(TEMPERATURE_DIFFERENCE, h->heating_indoor_degc - h->heating_outdoor_degc),
            Q(POWER, h->ua_total_w_k * (h->heating_indoor_degc - h->heating_outdoor_degc))));
    gw_engineer_priv_pair(r, "Latent allowance", Q(POWER, h->latent_gain_w));
    gw_engineer_priv_pair(r, "Heat in the year", Q(ENERGY, d->loads.heating_j));
    gw_engineer_priv_pair(r, "Cooling in the year, sensible", Q(ENERGY, d->loads.cooling_j));
    gw_engineer_priv_pair(r, "Highest hour of heating, of cooling",
                          gw_papers_text(p, "%s on %s; %s on %s", Q(POWER, d->loads.peak_heating_w),
                                         gw_papers_hour(p, (size_t)d->loads.peak_heating_hour),
                                         Q(POWER, d->loads.peak_cooling_w),
                                         gw_papers_hour(p, (size_t)d->loads.peak_cooling_hour)));
    gw_engineer_priv_end(r, true);
}

static void curve(gw_engineer_priv *r, const char *name, const gw_plant_curve *c)
{
    gw_papers *const p = &r->p;
    const double scale = p->loop->plant.scale;
    for (size_t i = 0; i < c->count; i++) {
        const gw_plant_rating *const x = &c->points[i];
        const char *const cells[] = {i == 0 ? name : "",
                                     Q(TEMPERATURE, x->entering_water_degc),
                                     Q(POWER, x->capacity_w),
                                     gw_papers_text(p, "%.0f W", x->power_w),
                                     gw_papers_text(p, "%.2f", x->capacity_w / x->power_w),
                                     Q(POWER, scale * x->capacity_w)};
        gw_engineer_priv_row(r, cells);
    }
}

void gw_engineer_priv_plant(gw_engineer_priv *r)
{
    static const gw_ruled_column COLUMNS[] = {
        {"Curve", 1.3, GW_ANCHOR_START},          {"Entering water", 1.0, GW_ANCHOR_END},
        {"Capacity", 1.0, GW_ANCHOR_END},         {"Power", 1.0, GW_ANCHOR_END},
        {"Capacity / power", 1.1, GW_ANCHOR_END}, {"Capacity as sized", 1.2, GW_ANCHOR_END}};
    gw_papers *const p = &r->p;
    const gw_heat_pump *const hp = p->design->heat_pump;
    const gw_plant *const plant = &p->loop->plant;
    gw_leaf_heading(&r->leaf, 1, "4 Heat pump");
    gw_engineer_priv_method(
        r, "linear between rating points at rated flow, part load factor 1 − Cd (1 − PLR); "
           "docs/methods/plant.md.");
    gw_engineer_priv_begin(r, COLUMNS, 6);
    curve(r, "Heating, full", &hp->heating);
    curve(r, "Heating, low", &hp->heating_low);
    curve(r, "Cooling, full", &hp->cooling);
    curve(r, "Cooling, low", &hp->cooling_low);
    gw_engineer_priv_end(r, false);
    gw_engineer_priv_begin_list(r);
    gw_engineer_priv_pair(
        r, "Unit", gw_papers_text(p, "%s. %s", hp->name, hp->source != NULL ? hp->source : ""));
    gw_engineer_priv_pair(r, "Units, factor on the curve",
                          gw_papers_text(p, "%.0f, %.4f", plant->units, plant->scale));
    gw_engineer_priv_pair(r, "Cycling coefficient Cd",
                          gw_papers_text(p, "%.3f", plant->cycling_coefficient));
    gw_engineer_priv_pair(
        r, "Blower, circulator of one unit",
        gw_papers_text(p, "%.0f W, %.0f W", plant->blower_power_w, plant->circulator_power_w));
    gw_engineer_priv_pair(r, "Rated flow, pressure drop",
                          gw_papers_text(p, "%s, %s", Q(FLOW, plant->rated_flow_m3_s),
                                         Q(PRESSURE, plant->pressure_drop_pa)));
    gw_engineer_priv_pair(r, "Entering water of the unit",
                          gw_papers_text(p, "%s to %s", Q(TEMPERATURE, plant->min_entering_degc),
                                         Q(TEMPERATURE, plant->max_entering_degc)));
    gw_engineer_priv_end(r, true);
}
