// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "climate/solar.h"

#include <math.h>
#include <stdbool.h>

#define PI 3.14159265358979323846
#define RAD (PI / 180.0)

// Spencer (1971): B = 2 pi n/365, n = days since 1 January (his n - 1 with n from 1).
static double day_angle(double day)
{
    return 2.0 * PI * day / 365.0;
}

double gw_solar_declination_deg(double day)
{
    const double b = day_angle(day);
    const double rad = 0.006918 - 0.399912 * cos(b) + 0.070257 * sin(b) - 0.006758 * cos(2.0 * b) +
                       0.000907 * sin(2.0 * b) - 0.002697 * cos(3.0 * b) + 0.00148 * sin(3.0 * b);
    return rad / RAD;
}

double gw_solar_equation_of_time_min(double day)
{
    const double b = day_angle(day);
    return 229.18 * (0.000075 + 0.001868 * cos(b) - 0.032077 * sin(b) - 0.014615 * cos(2.0 * b) -
                     0.04089 * sin(2.0 * b));
}

double gw_solar_extraterrestrial_w_m2(double day)
{
    const double b = day_angle(day);
    return GW_SOLAR_CONSTANT_W_M2 * (1.000110 + 0.034221 * cos(b) + 0.001280 * sin(b) +
                                     0.000719 * cos(2.0 * b) + 0.000077 * sin(2.0 * b));
}

// What holds for all hours of a day and a place.
typedef struct {
    double declination_deg, extraterrestrial_w_m2, equation_of_time_min;
    double sin_lat, cos_lat, sin_dec, cos_dec;
} day_of_sun;

static day_of_sun day_at(double latitude_deg, double day)
{
    const double declination_deg = gw_solar_declination_deg(day);
    return (day_of_sun){
        .declination_deg = declination_deg,
        .extraterrestrial_w_m2 = gw_solar_extraterrestrial_w_m2(day),
        .equation_of_time_min = gw_solar_equation_of_time_min(day),
        .sin_lat = sin(latitude_deg * RAD),
        .cos_lat = cos(latitude_deg * RAD),
        .sin_dec = sin(declination_deg * RAD),
        .cos_dec = cos(declination_deg * RAD),
    };
}

static gw_sun sun_in_day(const day_of_sun *d, double solar_hour)
{
    const double hour_angle_deg = 15.0 * (solar_hour - 12.0);
    const double cos_hour = cos(hour_angle_deg * RAD);
    // Components of the direction to the sun: up, north, east.
    const double up = d->sin_lat * d->sin_dec + d->cos_lat * d->cos_dec * cos_hour;
    const double north = d->cos_lat * d->sin_dec - d->sin_lat * d->cos_dec * cos_hour;
    const double east = -d->cos_dec * sin(hour_angle_deg * RAD);
    const double azimuth_deg = atan2(east, north) / RAD;
    return (gw_sun){
        .cos_zenith = up,
        .azimuth_deg = azimuth_deg < 0.0 ? azimuth_deg + 360.0 : azimuth_deg,
        .declination_deg = d->declination_deg,
        .hour_angle_deg = hour_angle_deg,
        .extraterrestrial_w_m2 = d->extraterrestrial_w_m2,
    };
}

gw_sun gw_solar_sun_at_solar_time(double latitude_deg, double day, double solar_hour)
{
    const day_of_sun d = day_at(latitude_deg, day);
    return sun_in_day(&d, solar_hour);
}

// Sun of local standard time, the day's own values at hand.
static gw_sun sun_at(const gw_solar_site *site, const day_of_sun *d, double hour)
{
    const double day = floor(hour / 24.0);
    const double meridian_deg = 15.0 * site->timezone_h;
    const double solar_hour = hour - 24.0 * day + (site->longitude_deg - meridian_deg) / 15.0 +
                              d->equation_of_time_min / 60.0;
    return sun_in_day(d, solar_hour);
}

gw_sun gw_solar_sun_at(const gw_solar_site *site, double hour)
{
    const day_of_sun d = day_at(site->latitude_deg, floor(hour / 24.0));
    return sun_at(site, &d, hour);
}

double gw_solar_incidence_cosine(const gw_sun *sun, const gw_surface *surface)
{
    const double sin_zenith = sqrt(fmax(0.0, 1.0 - sun->cos_zenith * sun->cos_zenith));
    const double tilt = surface->tilt_deg * RAD;
    return sun->cos_zenith * cos(tilt) +
           sin_zenith * sin(tilt) * cos((sun->azimuth_deg - surface->facing_deg) * RAD);
}

double gw_solar_on_surface(const gw_sun *sun, const gw_sky *sky, const gw_surface *surface)
{
    const double incidence = gw_solar_incidence_cosine(sun, surface);
    const double cos_tilt = cos(surface->tilt_deg * RAD);
    const bool lit = incidence > 0.0 && sun->cos_zenith > 0.0;
    const double beam_w_m2 = lit ? sky->direct_normal_w_m2 * incidence : 0.0;
    return beam_w_m2 + sky->diffuse_horizontal_w_m2 * 0.5 * (1.0 + cos_tilt) +
           sky->global_horizontal_w_m2 * surface->ground_albedo * 0.5 * (1.0 - cos_tilt);
}

// Duffie & Beckman eq. 1.10.3; the sunset angle is held within 0 to 180° beyond the polar circle.
double gw_solar_daily_extraterrestrial_j_m2(double latitude_deg, double day)
{
    const double declination = gw_solar_declination_deg(day) * RAD;
    const double latitude = latitude_deg * RAD;
    const double cos_sunset = -tan(latitude) * tan(declination);
    const double sunset = acos(fmax(-1.0, fmin(1.0, cos_sunset)));
    return 86400.0 / PI * gw_solar_extraterrestrial_w_m2(day) *
           (cos(latitude) * cos(declination) * sin(sunset) +
            sunset * sin(latitude) * sin(declination));
}

// What: clear-sky beam and diffuse irradiance.
// Method: Hottel (1976), Solar Energy 18:129, visibility 23 km, elevation up to 2.5 km:
//   tau_b = a0 + a1 exp(-k/cos z), with climate factors r for mid-latitude summer and winter;
//   Liu & Jordan (1960): tau_d = 0.271 - 0.294 tau_b. Duffie & Beckman eqs 2.8.1 to 2.8.5.
gw_sky gw_solar_clear_sky(const gw_sun *sun, double elevation_m, int winter)
{
    if (!(sun->cos_zenith > 0.0)) {
        return (gw_sky){0};
    }
    const double a_km = fmin(fmax(elevation_m, 0.0), 2500.0) / 1000.0;
    const double r0 = winter ? 1.03 : 0.97;
    const double r1 = winter ? 1.01 : 0.99;
    const double rk = winter ? 1.00 : 1.02;
    const double a0 = r0 * (0.4237 - 0.00821 * (6.0 - a_km) * (6.0 - a_km));
    const double a1 = r1 * (0.5055 + 0.00595 * (6.5 - a_km) * (6.5 - a_km));
    const double k = rk * (0.2711 + 0.01858 * (2.5 - a_km) * (2.5 - a_km));
    const double tau_beam = a0 + a1 * exp(-k / sun->cos_zenith);
    const double tau_diffuse = 0.271 - 0.294 * tau_beam;
    const double beam_w_m2 = sun->extraterrestrial_w_m2 * tau_beam;
    const double diffuse_w_m2 = sun->extraterrestrial_w_m2 * sun->cos_zenith * tau_diffuse;
    return (gw_sky){
        .direct_normal_w_m2 = beam_w_m2,
        .diffuse_horizontal_w_m2 = diffuse_w_m2,
        .global_horizontal_w_m2 = beam_w_m2 * sun->cos_zenith + diffuse_w_m2,
    };
}

double gw_solar_diffuse_frac(double clearness)
{
    const double k = clearness;
    if (k <= 0.22) {
        return 1.0 - 0.09 * k;
    }
    if (k <= 0.80) {
        return 0.9511 - 0.1604 * k + 4.388 * k * k - 16.638 * k * k * k + 12.336 * k * k * k * k;
    }
    return 0.165;
}

// Sun for the hour that begins at `hour`: at its middle, or, where the sun rises or sets within
// the hour, at the middle of the part with the sun up (found on six steps). Otherwise low beams
// that the file reports would meet a sun that is still below the horizon.
static gw_sun sun_of_hour(const gw_solar_site *site, const day_of_sun *d, int hour)
{
    const gw_sun middle = sun_at(site, d, hour + 0.5);
    if (middle.cos_zenith > 0.14 || middle.cos_zenith < -0.14) {
        return middle; // more than half an hour (8°) away from the horizon
    }
    double sum_h = 0.0;
    int up = 0;
    for (int i = 0; i < 6; i++) {
        const double offset_h = (i + 0.5) / 6.0;
        if (sun_at(site, d, hour + offset_h).cos_zenith > 0.0) {
            sum_h += offset_h;
            up++;
        }
    }
    return up == 0 ? middle : sun_at(site, d, hour + sum_h / up);
}

static gw_sky sky_of(const gw_weather *weather, int hour)
{
    return (gw_sky){weather->direct_normal_w_m2[hour], weather->diffuse_horizontal_w_m2[hour],
                    weather->global_horizontal_w_m2[hour]};
}

static bool is_dark(const gw_sky *sky)
{
    return sky->global_horizontal_w_m2 <= 0.0 && sky->direct_normal_w_m2 <= 0.0 &&
           sky->diffuse_horizontal_w_m2 <= 0.0;
}

void gw_solar_sun_year(const gw_weather *weather, gw_sun out[GW_HOURS_PER_YEAR])
{
    const gw_solar_site site = {weather->latitude_deg, weather->longitude_deg, weather->timezone_h,
                                weather->elevation_m};
    day_of_sun d = {0};
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        if (h % 24 == 0) {
            d = day_at(site.latitude_deg, h / 24);
        }
        const gw_sky sky = sky_of(weather, h);
        out[h] = is_dark(&sky) ? sun_at(&site, &d, h + 0.5) : sun_of_hour(&site, &d, h);
    }
}

void gw_solar_surface_year(const gw_weather *weather, const gw_sun suns[GW_HOURS_PER_YEAR],
                           const gw_surface *surface, double out_w_m2[GW_HOURS_PER_YEAR])
{
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        const gw_sky sky = sky_of(weather, h);
        out_w_m2[h] = is_dark(&sky) ? 0.0 : gw_solar_on_surface(&suns[h], &sky, surface);
    }
}
