// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "climate/perez.h"

#include <math.h>
#include <stddef.h>

#define RAD (3.14159265358979323846 / 180.0)
#define ZENITH_WEIGHT 1.041 // of the cubed zenith angle in radians (eq. 1)

enum { BINS = 8 };

// Upper edges of the clearness classes (table 1), and F11 F12 F13 F21 F22 F23 of each (table 6).
static const double EDGES[BINS - 1] = {1.065, 1.230, 1.500, 1.950, 2.800, 4.500, 6.200};
static const double F[BINS][6] = {
    {-0.008, 0.588, -0.062, -0.060, 0.072, -0.022}, {0.130, 0.683, -0.151, -0.019, 0.066, -0.029},
    {0.330, 0.487, -0.221, 0.055, -0.064, -0.026},  {0.568, 0.187, -0.295, 0.109, -0.152, -0.014},
    {0.873, -0.392, -0.362, 0.226, -0.462, 0.001},  {1.132, -1.237, -0.412, 0.288, -0.823, 0.056},
    {1.060, -1.600, -0.359, 0.264, -1.127, 0.131},  {0.678, -0.327, -0.250, 0.156, -1.377, 0.251}};

// Kasten & Young (1989): m = 1/(cos z + 0.50572 (96.07995 - z)^-1.6364), z in degrees.
static double air_mass(double cos_zenith, double zenith_deg)
{
    return 1.0 / (cos_zenith + 0.50572 * pow(96.07995 - zenith_deg, -1.6364));
}

gw_perez gw_perez_of(const gw_sun *sun, const gw_sky *sky)
{
    const double diffuse = sky->diffuse_horizontal_w_m2;
    if (!(diffuse > 0.0) || !(sun->cos_zenith > 0.0)) {
        return (gw_perez){0};
    }
    const double zenith = acos(fmin(sun->cos_zenith, 1.0));
    const double weight = ZENITH_WEIGHT * zenith * zenith * zenith;
    const double clearness =
        ((diffuse + sky->direct_normal_w_m2) / diffuse + weight) / (1.0 + weight); // (1)
    size_t bin = 0;
    while (bin < BINS - 1 && clearness >= EDGES[bin]) {
        bin++;
    }
    const double brightness =
        diffuse * air_mass(sun->cos_zenith, zenith / RAD) / sun->extraterrestrial_w_m2; // (2)
    const double *const f = F[bin];
    return (gw_perez){
        .circumsolar_frac = fmin(fmax(f[0] + f[1] * brightness + f[2] * zenith, 0.0), 1.0),
        .horizon_frac = f[3] + f[4] * brightness + f[5] * zenith,
    };
}

// Sky light = D ((1 - F1)(1 + cos tilt)/2 + F1 a/b + F2 sin tilt), a = max(0, cos incidence),
// b = max(cos 85°, cos zenith) (eq. 9).
double gw_perez_on_surface(const gw_sun *sun, const gw_sky *sky, const gw_perez *shape,
                           const gw_surface *surface)
{
    const double incidence = gw_solar_incidence_cosine(sun, surface);
    const double cos_tilt = cos(surface->tilt_deg * RAD);
    const double sin_tilt = sin(surface->tilt_deg * RAD);
    const double f1 = shape->circumsolar_frac;
    const double a = sun->cos_zenith > 0.0 ? fmax(incidence, 0.0) : 0.0;
    const double b = fmax(0.08715574274765817, sun->cos_zenith); // cos 85°
    const double sky_frac =
        (1.0 - f1) * 0.5 * (1.0 + cos_tilt) + f1 * a / b + shape->horizon_frac * sin_tilt;
    return sky->direct_normal_w_m2 * a + sky->diffuse_horizontal_w_m2 * fmax(sky_frac, 0.0) +
           sky->global_horizontal_w_m2 * surface->ground_albedo * 0.5 * (1.0 - cos_tilt);
}

static gw_sky sky_of(const gw_weather *weather, int hour)
{
    return (gw_sky){weather->direct_normal_w_m2[hour], weather->diffuse_horizontal_w_m2[hour],
                    weather->global_horizontal_w_m2[hour]};
}

void gw_perez_year(const gw_weather *weather, const gw_sun suns[GW_HOURS_PER_YEAR],
                   gw_perez out[GW_HOURS_PER_YEAR])
{
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        const gw_sky sky = sky_of(weather, h);
        out[h] = gw_perez_of(&suns[h], &sky);
    }
}

void gw_perez_surface_year(const gw_weather *weather, const gw_sun suns[GW_HOURS_PER_YEAR],
                           const gw_perez shapes[GW_HOURS_PER_YEAR], const gw_surface *surface,
                           double out_w_m2[GW_HOURS_PER_YEAR])
{
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        const gw_sky sky = sky_of(weather, h);
        const int dark = sky.global_horizontal_w_m2 <= 0.0 && sky.direct_normal_w_m2 <= 0.0 &&
                         sky.diffuse_horizontal_w_m2 <= 0.0;
        out_w_m2[h] = dark ? 0.0 : gw_perez_on_surface(&suns[h], &sky, &shapes[h], surface);
    }
}
