// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "report/load_sheet.h"

#include "report/prose.h"

#include <math.h>
#include <string.h>

enum { BAR = 20, NAME_MOST = 28 };

static const char *const MONTHS[12] = {"January",   "February", "March",    "April",
                                       "May",       "June",     "July",     "August",
                                       "September", "October",  "November", "December"};

typedef struct {
    gw_prose text;
    const gw_load_sheet *sheet;
} page;

#define Q(kind, value) gw_prose_quantity(&p->text, GW_QTY_##kind, (value))

// The first letters of a name, no letter cut in two.
static const char *short_name(page *p, const char *name)
{
    size_t bytes = 0;
    size_t letters = 0;
    while (name[bytes] != '\0' &&
           (letters < NAME_MOST || ((unsigned char)name[bytes] & 0xC0U) == 0x80U)) {
        letters += ((unsigned char)name[bytes] & 0xC0U) != 0x80U ? 1 : 0;
        bytes++;
    }
    const char *const s = gw_arena_strndup(p->text.arena, name, bytes);
    return s != NULL ? s : "?";
}

// A bar for a share of the whole; what takes heat away has none.
static void bar(page *p, double share)
{
    const long count = lround(fmin(fmax(share, 0.0), 1.0) * BAR);
    for (long i = 0; i < count; i++) {
        gw_prose_add(&p->text, "█");
    }
}

static double share_of(double part, double whole)
{
    return whole > 0.0 ? part / whole : 0.0;
}

static void conditions(page *p)
{
    const gw_load_sheet *const s = p->sheet;
    const gw_house_design_result *const d = &s->design;
    gw_prose_heading(&p->text, "Design conditions");
    gw_prose_add(&p->text, "  %s%s%s. Heating: %s indoors, %s outdoors, wind %s.\n",
                 s->station->name, s->station->region[0] != '\0' ? ", " : "", s->station->region,
                 Q(TEMPERATURE, d->heating_indoor_degc), Q(TEMPERATURE, d->heating_outdoor_degc),
                 Q(VELOCITY, s->conditions.heating_wind_m_s));
    gw_prose_add(&p->text, "  Cooling: %s indoors, %s outdoors, daily range %s.\n",
                 Q(TEMPERATURE, d->cooling_indoor_degc), Q(TEMPERATURE, d->cooling_outdoor_degc),
                 Q(TEMPERATURE_DIFFERENCE, s->conditions.daily_range_k));
    gw_prose_add(&p->text, "  Hours of the year: %s.\n",
                 s->weather_made ? "made from the station's normals" : s->weather->name);
}

// ---- Components and rooms -----------------------------------------------------------------------

static bool in_ground(const char *kind)
{
    return strncmp(kind, "basement", 8) == 0 || strcmp(kind, "slab") == 0;
}

static void component(page *p, size_t index)
{
    const gw_load_sheet *const s = p->sheet;
    const gw_house_design_result *const d = &s->design;
    const gw_house_row *const row = &d->rows[index];
    const bool part = !d->given && index < s->job->house.envelope_count;
    gw_prose_add(&p->text, "  %s", short_name(p, row->name));
    gw_prose_cell(&p->text, 32, row->area_m2 > 0.0 ? Q(AREA, row->area_m2) : "");
    gw_prose_cell(&p->text, 42,
                  part ? Q(INSULATION, s->job->house.envelope[index].insulation_m2k_w) : "");
    gw_prose_cell(&p->text, 52,
                  !part                  ? ""
                  : in_ground(row->kind) ? "soil"
                                         : Q(TEMPERATURE_DIFFERENCE,
                                             d->heating_indoor_degc - d->heating_outdoor_degc));
    gw_prose_cell(&p->text, 66, Q(POWER, row->loss_w));
    gw_prose_cell(&p->text, 80, Q(POWER, row->gain_w));
    gw_prose_pad(&p->text, 93);
    bar(p, share_of(row->loss_w, d->loss_w));
    gw_prose_add(&p->text, "\n");
}

static void components(page *p)
{
    const gw_house_design_result *const d = &p->sheet->design;
    gw_prose_heading(&p->text, "Loss and gain by component");
    gw_prose_add(&p->text, "  component");
    gw_prose_cell(&p->text, 32, "area");
    gw_prose_cell(&p->text, 42, "insul.");
    gw_prose_cell(&p->text, 52, "difference");
    gw_prose_cell(&p->text, 66, "loss");
    gw_prose_cell(&p->text, 80, "gain");
    gw_prose_cell(&p->text, 93, "share of the loss\n");
    for (size_t i = 0; i < d->row_count; i++) {
        if (d->rows[i].loss_w != 0.0 || d->rows[i].gain_w != 0.0) {
            component(p, i);
        }
    }
    gw_prose_add(&p->text, "  together");
    gw_prose_cell(&p->text, 66, Q(POWER, d->loss_w));
    gw_prose_cell(&p->text, 80, Q(POWER, d->gain_w));
    gw_prose_add(
        &p->text,
        "\n  Gain at %d h solar time of the cooling design day; on top of it %s of moisture.\n",
        d->gain_hour, Q(POWER, d->latent_gain_w));
    if (!d->given) {
        const double ach =
            3600.0 * d->infiltration_m3_s / gw_house_volume_m3(&p->sheet->job->house);
        gw_prose_add(&p->text,
                     "  No credit for sun or people in the loss. Air leakage at the heating design "
                     "hour: %.2f air changes an hour.\n",
                     ach);
    }
}

static void rooms(page *p)
{
    const gw_house_design_result *const d = &p->sheet->design;
    if (d->room_count == 0) {
        return;
    }
    gw_prose_heading(&p->text, "Room by room, at the same hours");
    for (size_t i = 0; i < d->room_count; i++) {
        const gw_house_room_load *const room = &d->rooms[i];
        gw_prose_add(&p->text, "  %s", short_name(p, room->name));
        gw_prose_cell(&p->text, 32, Q(AREA, room->floor_area_m2));
        gw_prose_cell(&p->text, 66, Q(POWER, room->loss_w));
        gw_prose_cell(&p->text, 80, Q(POWER, room->gain_w));
        gw_prose_pad(&p->text, 93);
        bar(p, share_of(room->loss_w, d->loss_w));
        gw_prose_add(&p->text, "\n");
    }
    gw_prose_add(&p->text, "  A room that faces east or west may peak at another hour: its own "
                           "highest gain is then above this.\n");
}

// ---- The year -----------------------------------------------------------------------------------

static void hour_of(page *p, const char *what, double power_w, int hour)
{
    const int month = gw_weather_month_of_hour(hour);
    const int in_month = hour - gw_weather_hours_before_month(month);
    gw_prose_add(&p->text, "  Hardest hour of %s: %s on %d %s, %02d:00.\n", what, Q(POWER, power_w),
                 in_month / 24 + 1, MONTHS[month], in_month % 24);
}

static void months(page *p)
{
    const gw_load_sheet *const s = p->sheet;
    double most_j = 0.0;
    gw_prose_heading(&p->text, "The year, month by month");
    for (int m = 0; m < 12; m++) {
        most_j = fmax(most_j, fmax(s->heating_j[m], s->cooling_j[m]));
    }
    gw_prose_add(&p->text, "  month");
    gw_prose_cell(&p->text, 16, "heating");
    gw_prose_cell(&p->text, 30, "cooling\n");
    for (int m = 0; m < 12; m++) {
        gw_prose_add(&p->text, "  %s", MONTHS[m]);
        gw_prose_cell(&p->text, 16, Q(ENERGY, s->heating_j[m]));
        gw_prose_cell(&p->text, 30, Q(ENERGY, s->cooling_j[m]));
        gw_prose_pad(&p->text, 44);
        bar(p, share_of(s->heating_j[m], most_j));
        gw_prose_pad(&p->text, 66);
        bar(p, share_of(s->cooling_j[m], most_j));
        gw_prose_add(&p->text, "\n");
    }
    gw_prose_add(&p->text, "  year");
    gw_prose_cell(&p->text, 16, Q(ENERGY, s->year.heating_j));
    gw_prose_cell(&p->text, 30, Q(ENERGY, s->year.cooling_j));
    gw_prose_add(&p->text, "\n");
}

static void year(page *p)
{
    const gw_load_sheet *const s = p->sheet;
    months(p);
    if (s->year.peak_heating_w > 0.0) {
        hour_of(p, "heating", s->year.peak_heating_w, s->year.peak_heating_hour);
    }
    if (s->year.peak_cooling_w > 0.0) {
        hour_of(p, "cooling", s->year.peak_cooling_w, s->year.peak_cooling_hour);
    }
    if (s->year.duct_heating_j > 0.0 || s->year.duct_cooling_j > 0.0) {
        gw_prose_add(&p->text,
                     "  Ducts outside the heated space lose %s of heat and %s of cooling of it.\n",
                     Q(ENERGY, s->year.duct_heating_j), Q(ENERGY, s->year.duct_cooling_j));
    }
    if (s->year.free_cooling_j > 0.0) {
        gw_prose_add(&p->text, "  Open windows do another %s of cooling.\n",
                     Q(ENERGY, s->year.free_cooling_j));
    }
    if (s->has_open) {
        gw_prose_add(&p->text,
                     "  Windows are taken as shut; opened when it is cooler outside (%.0f "
                     "air changes an hour), %s of cooling would be left.\n",
                     GW_LOAD_SHEET_OPEN_ACH, Q(ENERGY, s->open_cooling_j));
    }
}

// ---- Bills --------------------------------------------------------------------------------------

static void interval(page *p, const char *name, gw_quantity_kind kind, gw_bills_interval i)
{
    gw_prose_add(&p->text, "  %s", name);
    gw_prose_cell(&p->text, 30, gw_prose_quantity(&p->text, kind, i.value));
    if (i.low < i.high) {
        gw_prose_cell(&p->text, 44, gw_prose_quantity(&p->text, kind, i.low));
        gw_prose_add(&p->text, " to %s", gw_prose_quantity(&p->text, kind, i.high));
    } else {
        gw_prose_cell(&p->text, 44, "given, or held");
    }
    gw_prose_add(&p->text, "\n");
}

static void bills(page *p)
{
    const gw_load_sheet_bills *const b = &p->sheet->bills;
    if (!b->given) {
        return;
    }
    gw_prose_heading(&p->text, "What the bills say (95 % intervals)");
    if (!b->fitted) {
        gw_prose_wrap(&p->text, 2, 100, "The bills cannot be used:");
        gw_prose_wrap(&p->text, 2, 100, b->why.text);
        return;
    }
    interval(p, "heat loss per kelvin", GW_QTY_HEAT_LOSS_RATE, b->fit.ua_w_k);
    interval(p, "balance temperature", GW_QTY_TEMPERATURE, b->fit.balance_degc);
    interval(p, "load at any weather", GW_QTY_POWER, b->fit.base_w);
    gw_prose_add(&p->text, "  components, same season");
    gw_prose_cell(&p->text, 30, Q(HEAT_LOSS_RATE, b->comparison.component_ua_w_k));
    gw_prose_add(&p->text, "   (%s outdoors, wind %s)\n", Q(TEMPERATURE, b->season_degc),
                 Q(VELOCITY, b->season_wind_m_s));
    gw_prose_add(
        &p->text,
        "  %zu periods (%zu of the bills left out, %zu joined); scatter %.0f %% of the mean.\n",
        b->fit.period_count, b->fit.left_out, b->fit.joined, 100.0 * b->fit.cv_rmse_frac);
    gw_prose_wrap(&p->text, 2, 100, b->comparison.sentence);
    gw_prose_wrap(&p->text, 2, 100,
                  "Temperatures are those of a typical year, not of the bills' own years.");
}

gw_status gw_load_sheet_text(gw_arena *arena, const gw_load_sheet *sheet, gw_unit_system units,
                             const char **out, gw_err *err)
{
    page own = {.text = {.arena = arena, .units = units}, .sheet = sheet};
    page *const p = &own;
    gw_prose_add(&p->text, "%s: load sheet\n", sheet->job->name);
    gw_prose_add(&p->text, "Design heat loss %s, design heat gain %s.\n",
                 Q(POWER, sheet->design.loss_w), Q(POWER, sheet->design.gain_w));
    conditions(p);
    components(p);
    rooms(p);
    year(p);
    bills(p);
    gw_prose_add(&p->text,
                 "\nDesign aid, not a sealed design. Local codes overrule every default.\n");
    *out = gw_prose_finish(&p->text);
    return *out != NULL ? GW_OK : gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory writing");
}
