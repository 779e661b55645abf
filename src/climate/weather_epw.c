// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Reader of EPW text. The file is walked once; each line is cut into fields in place (no copies).
// Field numbers below count from 0: year, month, day, hour, minute, flags, dry bulb, …
#include "base/text.h"
#include "climate/weather.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

enum {
    HEADER_LINES = 8,
    FIELDS = 35,
    FIELD_MONTH = 1,
    FIELD_DAY = 2,
    FIELD_HOUR = 3,
    FIELD_DRY_BULB = 6,
    FIELD_DEW_POINT = 7,
    FIELD_HUMIDITY = 8,
    FIELD_GLOBAL = 13,
    FIELD_DIRECT = 14,
    FIELD_DIFFUSE = 15,
    FIELD_WIND = 21
};

typedef struct {
    const char *name;
    const char *at;  // next line
    const char *end; // of the text
    const char *line;
    size_t line_length;
    int line_number;
    const char *field[FIELDS];
    size_t field_length[FIELDS];
    int fields;
    gw_err *err;
} reader;

static gw_status fail_at(const reader *r, const char *where, gw_status code)
{
    if (r->err != NULL) {
        r->err->code = code;
        r->err->line = r->line_number;
        r->err->column = where == NULL ? 0 : (int)(where - r->line) + 1;
    }
    return code;
}

// ---- Lines and fields ---------------------------------------------------------------------------

static bool next_line(reader *r)
{
    if (r->at >= r->end) {
        return false;
    }
    const char *const stop = memchr(r->at, '\n', (size_t)(r->end - r->at));
    const char *const line_end = stop == NULL ? r->end : stop;
    r->line = r->at;
    r->line_length = (size_t)(line_end - r->at);
    if (r->line_length > 0 && r->line[r->line_length - 1] == '\r') {
        r->line_length--;
    }
    r->line_number++;
    r->at = stop == NULL ? r->end : stop + 1;
    return true;
}

static void trim(const char **text, size_t *length)
{
    while (*length > 0 && (**text == ' ' || **text == '\t')) {
        (*text)++;
        (*length)--;
    }
    while (*length > 0 && ((*text)[*length - 1] == ' ' || (*text)[*length - 1] == '\t')) {
        (*length)--;
    }
}

// Cuts the line at commas; fields beyond FIELDS are counted, not kept.
static void cut_fields(reader *r)
{
    const char *at = r->line;
    const char *const end = r->line + r->line_length;
    r->fields = 0;
    for (;;) {
        const char *const comma = at < end ? memchr(at, ',', (size_t)(end - at)) : NULL;
        const char *const stop = comma == NULL ? end : comma;
        if (r->fields < FIELDS) {
            r->field[r->fields] = at;
            r->field_length[r->fields] = (size_t)(stop - at);
            trim(&r->field[r->fields], &r->field_length[r->fields]);
        }
        r->fields++;
        if (comma == NULL) {
            return;
        }
        at = comma + 1;
    }
}

static gw_status number(const reader *r, int index, const char *what, double *out)
{
    if (gw_text_to_number(r->field[index], r->field_length[index], out)) {
        return GW_OK;
    }
    const int shown = r->field_length[index] > 24 ? 24 : (int)r->field_length[index];
    gw_fail(r->err, GW_ERR_TYPE, what, "%s line %d: %s \"%.*s\" is not a number", r->name,
            r->line_number, what, shown, r->field[index]);
    return fail_at(r, r->field[index], GW_ERR_TYPE);
}

// ---- Header -------------------------------------------------------------------------------------

static gw_status read_location(reader *r, gw_arena *arena, gw_weather *out)
{
    static const char *const what[4] = {"latitude_deg", "longitude_deg", "timezone_h",
                                        "elevation_m"};
    cut_fields(r);
    if (r->fields < 10 || r->field_length[0] != 8 || memcmp(r->field[0], "LOCATION", 8) != 0) {
        gw_fail(r->err, GW_ERR_SYNTAX, "LOCATION",
                "%s line %d: expected a LOCATION line of 10 fields, found %d fields", r->name,
                r->line_number, r->fields);
        return fail_at(r, r->line, GW_ERR_SYNTAX);
    }
    double *const target[4] = {&out->latitude_deg, &out->longitude_deg, &out->timezone_h,
                               &out->elevation_m};
    for (int i = 0; i < 4; i++) {
        const gw_status st = number(r, 6 + i, what[i], target[i]);
        if (st != GW_OK) {
            return st;
        }
    }
    out->name = gw_arena_strndup(arena, r->field[1], r->field_length[1]);
    out->source = gw_arena_printf(arena, "hourly file %s", r->name);
    if (out->name == NULL || out->source == NULL) {
        return gw_fail(r->err, GW_ERR_NOMEM, "weather", "no memory for a name");
    }
    return GW_OK;
}

static gw_status read_header(reader *r, gw_arena *arena, gw_weather *out)
{
    for (int i = 0; i < HEADER_LINES; i++) {
        if (!next_line(r)) {
            gw_fail(r->err, GW_ERR_SYNTAX, "header",
                    "%s ends in line %d, inside its 8 header lines", r->name, r->line_number);
            return fail_at(r, NULL, GW_ERR_SYNTAX);
        }
        if (i == 0) {
            const gw_status st = read_location(r, arena, out);
            if (st != GW_OK) {
                return st;
            }
        }
    }
    return GW_OK;
}

// ---- Hours --------------------------------------------------------------------------------------

typedef struct {
    int month; // 1 to 12
    int day;   // 1 to 31
    int hour;  // 1 to 24, the hour's end
} hour_stamp;

static hour_stamp stamp_of(int hour_of_year)
{
    const int month = gw_weather_month_of_hour(hour_of_year);
    const int left = hour_of_year - gw_weather_hours_before_month(month);
    return (hour_stamp){month + 1, left / 24 + 1, left % 24 + 1};
}

static gw_status read_stamp(const reader *r, hour_stamp *out)
{
    double value[3] = {0};
    static const char *const what[3] = {"month", "day", "hour"};
    for (int i = 0; i < 3; i++) {
        const gw_status st = number(r, FIELD_MONTH + i, what[i], &value[i]);
        if (st != GW_OK) {
            return st;
        }
        if (!(value[i] >= 0.0 && value[i] <= 31.0)) {
            gw_fail(r->err, GW_ERR_RANGE, what[i], "%s line %d: %s %g is no %s", r->name,
                    r->line_number, what[i], value[i], what[i]);
            return fail_at(r, r->field[FIELD_MONTH + i], GW_ERR_RANGE);
        }
    }
    *out = (hour_stamp){(int)value[0], (int)value[1], (int)value[2]};
    return GW_OK;
}

static gw_status expect_stamp(const reader *r, hour_stamp found, hour_stamp want)
{
    if (found.month == want.month && found.day == want.day && found.hour == want.hour) {
        return GW_OK;
    }
    gw_fail(r->err, GW_ERR_SYNTAX, "hours",
            "%s line %d: expected month %d day %d hour %d, found month %d day %d hour %d "
            "(an hour is missing, doubled or out of order)",
            r->name, r->line_number, want.month, want.day, want.hour, found.month, found.day,
            found.hour);
    return fail_at(r, r->field[FIELD_MONTH], GW_ERR_SYNTAX);
}

static gw_status missing_value(const reader *r, int index, const char *what)
{
    gw_fail(r->err, GW_ERR_MISSING, what,
            "%s line %d: %s is missing (code %.*s); month %.*s day %.*s hour %.*s", r->name,
            r->line_number, what, (int)r->field_length[index], r->field[index],
            (int)r->field_length[FIELD_MONTH], r->field[FIELD_MONTH],
            (int)r->field_length[FIELD_DAY], r->field[FIELD_DAY], (int)r->field_length[FIELD_HOUR],
            r->field[FIELD_HOUR]);
    return fail_at(r, r->field[index], GW_ERR_MISSING);
}

static gw_status out_of_range(const reader *r, int index, const char *what)
{
    gw_fail(r->err, GW_ERR_RANGE, what, "%s line %d: %s %.*s is out of range", r->name,
            r->line_number, what, (int)r->field_length[index], r->field[index]);
    return fail_at(r, r->field[index], GW_ERR_RANGE);
}

// Dry bulb must be there; dew point falls back on relative humidity (999 = missing), then on
// saturation, which only the latent side would notice.
static gw_status read_air(const reader *r, int hour, gw_weather *out)
{
    double dry_degc = 0.0;
    double dew_degc = 0.0;
    double humidity_percent = 0.0;
    gw_status st = number(r, FIELD_DRY_BULB, "dry_bulb_degc", &dry_degc);
    if (st == GW_OK) {
        st = number(r, FIELD_DEW_POINT, "dew_point_degc", &dew_degc);
    }
    if (st == GW_OK) {
        st = number(r, FIELD_HUMIDITY, "relative_humidity", &humidity_percent);
    }
    if (st != GW_OK) {
        return st;
    }
    if (dry_degc >= 99.9) {
        return missing_value(r, FIELD_DRY_BULB, "dry_bulb_degc");
    }
    if (!(dry_degc > -70.0 && dry_degc < 70.0)) {
        return out_of_range(r, FIELD_DRY_BULB, "dry_bulb_degc");
    }
    const bool humid = humidity_percent > 0.0 && humidity_percent <= 110.0;
    if (!(dew_degc > -70.0 && dew_degc < 70.0)) {
        dew_degc = humid ? gw_weather_dew_point_degc(dry_degc, humidity_percent / 100.0) : dry_degc;
    }
    out->dry_bulb_degc[hour] = dry_degc;
    out->dew_point_degc[hour] = dew_degc < dry_degc ? dew_degc : dry_degc;
    return GW_OK;
}

// 9999 is the code of missing irradiance; night hours often carry it. Day is where the file's own
// extraterrestrial irradiance on the horizontal (field 10) is above zero.
static gw_status read_irradiance(const reader *r, int index, const char *what, double *out)
{
    double value_w_m2 = 0.0;
    double outside_w_m2 = 0.0;
    gw_status st = number(r, index, what, &value_w_m2);
    if (st == GW_OK) {
        st = number(r, 10, "extraterrestrial_horizontal", &outside_w_m2);
    }
    if (st != GW_OK) {
        return st;
    }
    if (value_w_m2 >= 9999.0) {
        if (outside_w_m2 > 0.0) {
            return missing_value(r, index, what);
        }
        value_w_m2 = 0.0;
    }
    if (!(value_w_m2 >= 0.0 && value_w_m2 <= 1500.0)) {
        return out_of_range(r, index, what);
    }
    *out = value_w_m2;
    return GW_OK;
}

static gw_status read_wind(const reader *r, double *out)
{
    gw_status st = number(r, FIELD_WIND, "wind_m_s", out);
    if (st != GW_OK) {
        return st;
    }
    if (*out >= 999.0) {
        *out = 0.0;
    }
    if (!(*out >= 0.0 && *out <= 60.0)) {
        return out_of_range(r, FIELD_WIND, "wind_m_s");
    }
    return GW_OK;
}

static gw_status read_hour(const reader *r, int hour, gw_weather *out)
{
    gw_status st = read_air(r, hour, out);
    if (st == GW_OK) {
        st = read_irradiance(r, FIELD_GLOBAL, "global_horizontal_w_m2",
                             &out->global_horizontal_w_m2[hour]);
    }
    if (st == GW_OK) {
        st = read_irradiance(r, FIELD_DIRECT, "direct_normal_w_m2", &out->direct_normal_w_m2[hour]);
    }
    if (st == GW_OK) {
        st = read_irradiance(r, FIELD_DIFFUSE, "diffuse_horizontal_w_m2",
                             &out->diffuse_horizontal_w_m2[hour]);
    }
    if (st == GW_OK) {
        st = read_wind(r, &out->wind_m_s[hour]);
    }
    return st;
}

// Next line that is not blank, cut into exactly 35 fields.
static gw_status next_record(reader *r, int hour)
{
    const hour_stamp want = stamp_of(hour < GW_HOURS_PER_YEAR ? hour : GW_HOURS_PER_YEAR - 1);
    do {
        if (!next_line(r)) {
            gw_fail(r->err, GW_ERR_SYNTAX, "hours",
                    "%s ends after line %d; expected month %d day %d hour %d (%d of 8760 hours "
                    "read)",
                    r->name, r->line_number, want.month, want.day, want.hour, hour);
            return fail_at(r, NULL, GW_ERR_SYNTAX);
        }
    } while (r->line_length == 0);
    cut_fields(r);
    if (r->fields != FIELDS) {
        gw_fail(r->err, GW_ERR_SYNTAX, "fields", "%s line %d: expected 35 fields, found %d",
                r->name, r->line_number, r->fields);
        const int last = r->fields < FIELDS ? r->fields - 1 : FIELDS - 1;
        return fail_at(r, r->field[last], GW_ERR_SYNTAX);
    }
    return GW_OK;
}

static gw_status expect_end(reader *r)
{
    while (next_line(r)) {
        if (r->line_length > 0) {
            gw_fail(r->err, GW_ERR_SYNTAX, "hours", "%s line %d: text after the 8760th hour",
                    r->name, r->line_number);
            return fail_at(r, r->line, GW_ERR_SYNTAX);
        }
    }
    return GW_OK;
}

gw_status gw_weather_read_epw(gw_arena *arena, gw_weather_text file, gw_weather *out, gw_err *err)
{
    reader r = {.name = file.name, .at = file.text, .end = file.text + file.length, .err = err};
    gw_status st = gw_weather_init(arena, out, err);
    if (st == GW_OK) {
        st = read_header(&r, arena, out);
    }
    int hour = 0;
    while (st == GW_OK && hour < GW_HOURS_PER_YEAR) {
        hour_stamp found = {0};
        st = next_record(&r, hour);
        if (st == GW_OK) {
            st = read_stamp(&r, &found);
        }
        if (st == GW_OK && found.month == 2 && found.day == 29) {
            continue;
        }
        if (st == GW_OK) {
            st = expect_stamp(&r, found, stamp_of(hour));
        }
        if (st == GW_OK) {
            st = read_hour(&r, hour, out);
            hour++;
        }
    }
    if (st == GW_OK) {
        st = expect_end(&r);
    }
    return st == GW_OK ? gw_weather_check(out, err) : st;
}
