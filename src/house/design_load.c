// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "house/design_load.h"

#include "climate/solar.h"
#include "climate/weather.h"
#include "house/duct.h"
#include "house/envelope_priv.h"
#include "house/foundation.h"
#include "house/infiltration.h"
#include "house/zone.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846
#define WARMEST_HOUR 15.0 // solar time of the day's highest temperature
#define COLDEST_DAY 20.0  // of the outdoor air in the north
#define HALF_YEAR_DAY 182.0
#define SETTLING_DAYS 200
#define EXTRA_ROWS 4 // infiltration, ventilation, internal, mass

gw_house_conditions gw_house_conditions_from_station(const gw_station *station)
{
    return (gw_house_conditions){
        .heating_outdoor_degc = station->heating_design_degc,
        .cooling_outdoor_degc = station->cooling_design_degc,
        .daily_range_k = station->daily_range_k,
        .air_mean_degc = gw_station_mean_degc(station),
        .air_amplitude_k = gw_station_amplitude_k(station),
        .latitude_deg = station->latitude_deg,
        .elevation_m = station->elevation_m,
        .heating_wind_m_s = 6.7,
        .cooling_wind_m_s = 3.4,
    };
}

gw_status gw_house_conditions_check(const gw_house_conditions *c, gw_err *err)
{
    const struct {
        const char *name;
        double value, low, high;
    } bounds[] = {
        {"heating_outdoor_degc", c->heating_outdoor_degc, -60, 20},
        {"cooling_outdoor_degc", c->cooling_outdoor_degc, 10, 50},
        {"daily_range_k", c->daily_range_k, 0, 25},
        {"air_mean_degc", c->air_mean_degc, -30, 35},
        {"air_amplitude_k", c->air_amplitude_k, 0, 40},
        {"latitude_deg", c->latitude_deg, -75, 75},
        {"elevation_m", c->elevation_m, -500, 5000},
        {"heating_wind_m_s", c->heating_wind_m_s, 0, 40},
        {"cooling_wind_m_s", c->cooling_wind_m_s, 0, 40},
    };
    for (size_t i = 0; i < sizeof bounds / sizeof bounds[0]; i++) {
        if (!(bounds[i].value >= bounds[i].low && bounds[i].value <= bounds[i].high)) {
            return gw_fail(err, GW_ERR_RANGE, bounds[i].name, "%s %g must be %g to %g",
                           bounds[i].name, bounds[i].value, bounds[i].low, bounds[i].high);
        }
    }
    return GW_OK;
}

static double air_w_k(const gw_house_conditions *conditions, double flow_m3_s)
{
    return GW_HOUSE_PRIV_AIR_J_M3K * gw_weather_pressure_ratio(conditions->elevation_m) * flow_m3_s;
}

static double ventilation_w_k(const gw_house *house, const gw_house_conditions *conditions)
{
    return air_w_k(conditions, house->ventilation_m3_s * (1.0 - house->heat_recovery_frac));
}

// ---- Heat loss ----------------------------------------------------------------------------------

static void lose(gw_house_row *row, double loss_w, double difference_k)
{
    row->loss_w = loss_w;
    row->ua_w_k = loss_w / difference_k;
}

static void fill_losses(const gw_house *house, const gw_house_conditions *conditions,
                        gw_house_row *rows, gw_house_design_result *out)
{
    const double indoor_degc = house->heating_setpoint_degc;
    const double difference_k = indoor_degc - conditions->heating_outdoor_degc;
    const size_t n = house->envelope_count;
    for (size_t i = 0; i < n; i++) {
        const gw_house_component *const c = &house->envelope[i];
        // Ground: the yearly mean and the worst day of the wave, one month after the air's.
        const gw_foundation_loss ground = gw_foundation_component(house, i);
        const double loss_w = gw_house_priv_ua_w_k(c) * difference_k +
                              ground.steady_w_k * (indoor_degc - conditions->air_mean_degc) +
                              ground.periodic_w_k * conditions->air_amplitude_k;
        rows[i].name = c->name != NULL ? c->name : gw_house_kind_word(c->kind);
        rows[i].kind = gw_house_kind_word(c->kind);
        rows[i].area_m2 = c->area_m2;
        lose(&rows[i], loss_w, difference_k);
    }
    out->infiltration_m3_s =
        gw_infiltration_of_house_m3_s(house, difference_k, conditions->heating_wind_m_s);
    rows[n] = (gw_house_row){.name = "infiltration", .kind = "air"};
    lose(&rows[n], air_w_k(conditions, out->infiltration_m3_s) * difference_k, difference_k);
    rows[n + 1] = (gw_house_row){.name = "ventilation", .kind = "air"};
    lose(&rows[n + 1], ventilation_w_k(house, conditions) * difference_k, difference_k);
    rows[n + 2] = (gw_house_row){.name = "people and appliances", .kind = "internal"};
    rows[n + 3] = (gw_house_row){.name = "heat stored in the fabric", .kind = "mass"};
}

// ---- Heat gain ----------------------------------------------------------------------------------

typedef struct {
    double day; // of the year
    double outdoor_degc;
    double infiltration_w_k;
    gw_sun sun;
    gw_sky sky;
} design_hour;

// 21 July and 21 August have the year's highest temperatures; August's lower sun reaches deeper
// through south windows. Half a year later in the south.
static double summer_day(const gw_house_conditions *conditions, int second)
{
    const double day = second ? 232.0 : 201.0;
    return conditions->latitude_deg >= 0.0 ? day : day - HALF_YEAR_DAY;
}

static double ground_sink_degc(const gw_house_conditions *conditions, gw_foundation_loss ground,
                               double day)
{
    const bool north = conditions->latitude_deg >= 0.0;
    const gw_foundation_air air = {
        .air_mean_degc = conditions->air_mean_degc,
        .air_amplitude_k = conditions->air_amplitude_k,
        .coldest_day = north ? COLDEST_DAY : COLDEST_DAY + HALF_YEAR_DAY,
    };
    return gw_foundation_sink_degc(ground, air, day);
}

// Outdoor temperature: a cosine over the day, highest at 15 h solar time.
static design_hour hour_of_day(const gw_house *house, const gw_house_conditions *conditions,
                               double day, int hour)
{
    const double solar_hour = hour + 0.5;
    design_hour h = {.day = day};
    h.outdoor_degc = conditions->cooling_outdoor_degc -
                     0.5 * conditions->daily_range_k *
                         (1.0 - cos(2.0 * PI * (solar_hour - WARMEST_HOUR) / 24.0));
    h.sun = gw_solar_sun_at_solar_time(conditions->latitude_deg, day, solar_hour);
    h.sky = gw_solar_clear_sky(&h.sun, conditions->elevation_m, 0);
    const double flow_m3_s = gw_infiltration_of_house_m3_s(
        house, h.outdoor_degc - house->cooling_setpoint_degc, conditions->cooling_wind_m_s);
    h.infiltration_w_k = air_w_k(conditions, flow_m3_s);
    return h;
}

static double solar_gain_w(const gw_house *house, const gw_house_component *component,
                           const design_hour *hour)
{
    gw_surface surface[4];
    const int sides = gw_house_priv_surfaces(component, surface);
    double irradiance_w_m2 = 0.0;
    for (int i = 0; i < sides; i++) {
        irradiance_w_m2 += gw_solar_on_surface(&hour->sun, &hour->sky, &surface[i]) / sides;
    }
    return gw_house_priv_aperture_m2(house, component) * irradiance_w_m2 -
           gw_house_priv_sky_loss_w(component);
}

static gw_zone_input zone_input(const gw_house *house, const gw_house_conditions *conditions,
                                const design_hour *hour)
{
    double solar_w = 0.0;
    for (size_t i = 0; i < house->envelope_count; i++) {
        solar_w += solar_gain_w(house, &house->envelope[i], hour);
    }
    const gw_foundation_loss ground = gw_foundation_total(house);
    const double opaque_air_w_k = gw_house_priv_opaque_air_w_k(house);
    const double opaque_w_k = opaque_air_w_k + ground.steady_w_k;
    const double ground_share = opaque_w_k > 0.0 ? ground.steady_w_k / opaque_w_k : 0.0;
    return (gw_zone_input){
        .ventilation_w_k = hour->infiltration_w_k + ventilation_w_k(house, conditions),
        .supply_degc = hour->outdoor_degc,
        .outdoor_degc = hour->outdoor_degc,
        .opaque_degc =
            hour->outdoor_degc +
            ground_share * (ground_sink_degc(conditions, ground, hour->day) - hour->outdoor_degc),
        .internal_w = gw_house_internal_gain_w(house),
        .solar_w = solar_w,
        .heating_degc = house->heating_setpoint_degc,
        .cooling_degc = house->cooling_setpoint_degc,
    };
}

typedef struct {
    gw_zone_input input[24];
} zone_day;

// Repeats the day until the mass comes round to where it began; gives need and hour of the peak.
static double peak_of_day(const gw_zone *zone, const zone_day *day, int *peak_hour)
{
    double mass_degc = day->input[0].cooling_degc;
    double peak_w = 0.0;
    for (int d = 0; d < SETTLING_DAYS; d++) {
        const double begin_degc = mass_degc;
        double warmest_degc = -1e9;
        peak_w = 0.0;
        *peak_hour = 0;
        for (int h = 0; h < 24; h++) {
            gw_zone_result result;
            gw_zone_hour(zone, &day->input[h], &mass_degc, &result);
            const double cooling_w = result.need_w < 0.0 ? -result.need_w : 0.0;
            if (cooling_w > peak_w || (peak_w <= 0.0 && result.air_degc > warmest_degc)) {
                peak_w = cooling_w;
                *peak_hour = h;
            }
            warmest_degc = fmax(warmest_degc, result.air_degc);
        }
        if (fabs(mass_degc - begin_degc) < 1e-7) {
            break;
        }
    }
    return peak_w;
}

// What the peak hour brings in by each way; the fabric takes up or gives back the rest.
static void split_gain(const gw_house *house, const gw_house_conditions *conditions,
                       const design_hour *hour, double total_w, gw_house_row *rows)
{
    const double indoor_degc = house->cooling_setpoint_degc;
    const double difference_k = hour->outdoor_degc - indoor_degc;
    const size_t n = house->envelope_count;
    double sum_w = 0.0;
    for (size_t i = 0; i < n; i++) {
        const gw_house_component *const c = &house->envelope[i];
        const gw_foundation_loss ground = gw_foundation_component(house, i);
        const double sink_k = ground_sink_degc(conditions, ground, hour->day) - indoor_degc;
        rows[i].gain_w = gw_house_priv_ua_w_k(c) * difference_k + ground.steady_w_k * sink_k +
                         solar_gain_w(house, c, hour);
        sum_w += rows[i].gain_w;
    }
    rows[n].gain_w = hour->infiltration_w_k * difference_k;
    rows[n + 1].gain_w = ventilation_w_k(house, conditions) * difference_k;
    rows[n + 2].gain_w = gw_house_internal_gain_w(house);
    sum_w += rows[n].gain_w + rows[n + 1].gain_w + rows[n + 2].gain_w;
    rows[n + 3].gain_w = total_w - sum_w;
}

static gw_status fill_gains(const gw_house *house, const gw_house_conditions *conditions,
                            gw_house_row *rows, gw_house_design_result *out, gw_err *err)
{
    gw_zone zone;
    const gw_status st = gw_house_priv_zone(house, &zone, err);
    if (st != GW_OK) {
        return st;
    }
    design_hour best = {0};
    for (int second = 0; second < 2; second++) {
        design_hour hours[24];
        zone_day day;
        for (int h = 0; h < 24; h++) {
            hours[h] = hour_of_day(house, conditions, summer_day(conditions, second), h);
            day.input[h] = zone_input(house, conditions, &hours[h]);
        }
        int hour = 0;
        const double peak_w = peak_of_day(&zone, &day, &hour);
        if (second == 0 || peak_w > out->gain_w) {
            out->gain_w = peak_w;
            out->gain_hour = hour;
            out->gain_day = (int)hours[hour].day;
            best = hours[hour];
        }
    }
    split_gain(house, conditions, &best, out->gain_w, rows);
    return GW_OK;
}

// ---- Ducts and rooms ----------------------------------------------------------------------------

static bool has_ducts(const gw_house *house)
{
    return house->ducts.air_flow_m3_s > 0.0;
}

// Both at the design hours, the fan running all the time.
static void add_ducts(const gw_house *house, const gw_house_conditions *conditions,
                      gw_house_row *row, gw_house_design_result *out)
{
    const double air_j_m3k = air_w_k(conditions, 1.0);
    const gw_duct_run heating = {.load_w = out->loss_w,
                                 .indoor_degc = out->heating_indoor_degc,
                                 .outdoor_degc = out->heating_outdoor_degc,
                                 .run_frac = 1.0};
    const gw_duct_run cooling = {.load_w = -out->gain_w,
                                 .indoor_degc = out->cooling_indoor_degc,
                                 .outdoor_degc = out->cooling_outdoor_degc,
                                 .run_frac = 1.0};
    *row = (gw_house_row){.name = "ducts",
                          .kind = "ducts",
                          .area_m2 = house->ducts.supply_area_m2 + house->ducts.return_area_m2};
    row->gain_w = -gw_duct_extra_w(&house->ducts, air_j_m3k, &cooling);
    lose(row, gw_duct_extra_w(&house->ducts, air_j_m3k, &heating),
         out->heating_indoor_degc - out->heating_outdoor_degc);
    out->loss_w += row->loss_w;
    out->ua_total_w_k += row->ua_w_k;
    out->gain_w += row->gain_w;
}

// Share of a room in what belongs to no room.
static double common_frac(const gw_house *house, size_t room)
{
    double air = 0.0;
    double floor_m2 = 0.0;
    for (size_t i = 0; i < house->room_count; i++) {
        air += house->rooms[i].air_frac;
        floor_m2 += house->rooms[i].floor_area_m2;
    }
    return air > 0.0 ? house->rooms[room].air_frac / air
                     : house->rooms[room].floor_area_m2 / floor_m2;
}

static gw_status share_out(gw_arena *arena, const gw_house *house, gw_house_design_result *out,
                           gw_err *err)
{
    const size_t count = house->room_count;
    gw_house_room_load *const rooms = gw_arena_alloc(arena, count, sizeof *rooms);
    if (rooms == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "house", "no memory for %zu rooms", count);
    }
    for (size_t r = 0; r < count; r++) {
        const double common = common_frac(house, r);
        rooms[r] = (gw_house_room_load){.name = house->rooms[r].name,
                                        .floor_area_m2 = house->rooms[r].floor_area_m2};
        for (size_t i = 0; i < out->row_count; i++) {
            const bool part = !out->given && i < house->envelope_count;
            const char *const home = part ? house->envelope[i].room : NULL;
            const double share =
                home == NULL ? common : (strcmp(home, rooms[r].name) == 0 ? 1.0 : 0.0);
            rooms[r].loss_w += share * out->rows[i].loss_w;
            rooms[r].gain_w += share * out->rows[i].gain_w;
        }
    }
    out->rooms = rooms;
    out->room_count = count;
    return GW_OK;
}

// ---- Together -----------------------------------------------------------------------------------

static gw_status check_temperatures(const gw_house *house, const gw_house_conditions *conditions,
                                    gw_err *err)
{
    const double difference_k = house->heating_setpoint_degc - conditions->heating_outdoor_degc;
    if (!(difference_k >= 1.0)) {
        return gw_fail(err, GW_ERR_RANGE, "heating_outdoor_degc",
                       "the heating setpoint %g must be at least 1 K above the outdoor design "
                       "temperature %g",
                       house->heating_setpoint_degc, conditions->heating_outdoor_degc);
    }
    return GW_OK;
}

static void fill_given(const gw_house *house, const gw_house_conditions *conditions,
                       gw_house_row *rows, gw_house_design_result *out)
{
    const double difference_k = house->heating_setpoint_degc - conditions->heating_outdoor_degc;
    rows[0] = (gw_house_row){.name = "design loads as given",
                             .kind = "given",
                             .loss_w = house->design_loss_w,
                             .ua_w_k = house->design_loss_w / difference_k,
                             .gain_w = house->design_gain_w};
    out->gain_w = house->design_gain_w;
    out->gain_hour = (int)WARMEST_HOUR;
    out->gain_day = (int)summer_day(conditions, 0);
    out->given = true;
}

gw_status gw_house_design(gw_arena *arena, const gw_house *house,
                          const gw_house_conditions *conditions, gw_house_design_result *out,
                          gw_err *err)
{
    gw_status st = gw_house_check(house, err);
    if (st == GW_OK) {
        st = gw_house_conditions_check(conditions, err);
    }
    if (st == GW_OK) {
        st = check_temperatures(house, conditions, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const bool given = gw_house_is_given(house);
    const size_t plain = given ? 1 : house->envelope_count + EXTRA_ROWS;
    const size_t count = plain + (!given && has_ducts(house) ? 1 : 0);
    gw_house_row *const rows = gw_arena_alloc(arena, count, sizeof *rows);
    if (rows == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "house", "no memory for %zu rows", count);
    }
    *out = (gw_house_design_result){
        .rows = rows,
        .row_count = count,
        .heating_indoor_degc = house->heating_setpoint_degc,
        .heating_outdoor_degc = conditions->heating_outdoor_degc,
        .cooling_indoor_degc = house->cooling_setpoint_degc,
        .cooling_outdoor_degc = conditions->cooling_outdoor_degc,
    };
    if (given) {
        fill_given(house, conditions, rows, out);
    } else {
        fill_losses(house, conditions, rows, out);
        st = fill_gains(house, conditions, rows, out, err);
    }
    for (size_t i = 0; i < plain; i++) {
        out->loss_w += rows[i].loss_w;
        out->ua_total_w_k += rows[i].ua_w_k;
    }
    if (st == GW_OK && count > plain) {
        add_ducts(house, conditions, &rows[plain], out);
    }
    out->latent_gain_w = house->latent_gain_frac * out->gain_w;
    return st == GW_OK && house->room_count > 0 ? share_out(arena, house, out, err) : st;
}
