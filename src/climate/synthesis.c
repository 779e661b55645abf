// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "climate/synthesis.h"

#include "base/random.h"
#include "climate/degree_days.h"
#include "climate/solar.h"

#include <math.h>

#define PI 3.14159265358979323846

// Lag-one correlation of daily mean temperature. The lag-one matrix that Richardson & Wright
// (1984), USDA ARS-8, give for daily maxima and minima makes 0.70 (from memory); typical-year files
// of Montréal, Denver and Chicago have 0.57, 0.61 and 0.70 about their monthly means.
#define DAY_TO_DAY_TEMPERATURE 0.65
// Of daily clearness: Graham, Hollands & Brunger (1988), Solar Energy 40:83 (from memory).
#define DAY_TO_DAY_CLEARNESS 0.29
#define DEFAULT_WIND_M_S 4.0
#define SPREAD_PASSES 60
#define SPREAD_ENOUGH 1e-4

// ---- A continuous curve with given monthly means ------------------------------------------------

// Straight lines between knots at mid-month. Each hour lies between two knots; the monthly means
// depend on the knots by a matrix close to (1, 6, 1)/8 on its three diagonals.
typedef struct {
    unsigned char left[GW_HOURS_PER_YEAR];  // knot before the hour, 0 to 11
    unsigned char month[GW_HOURS_PER_YEAR]; // of the hour
    double share[GW_HOURS_PER_YEAR];        // of the knot after it
    double before[GW_MONTHS];               // mean of month m = before[m] k[m - 1] + own[m] k[m]
    double own[GW_MONTHS];                  //                  + after[m] k[m + 1]
    double after[GW_MONTHS];
} curve_grid;

typedef struct {
    double knot[GW_MONTHS];
} monthly_curve;

static double middle_h(int month)
{
    return gw_weather_hours_before_month(month) + 12.0 * gw_weather_days_of_month(month);
}

static void place_hour(curve_grid *grid, int hour, int month)
{
    const double t_h = hour + 0.5;
    const int left = t_h < middle_h(month) ? (month + 11) % 12 : month;
    const int right = (left + 1) % 12;
    double from_h = middle_h(left);
    double to_h = middle_h(right);
    if (to_h < from_h && t_h < to_h) { // December to January
        from_h -= GW_HOURS_PER_YEAR;
    } else if (to_h < from_h) {
        to_h += GW_HOURS_PER_YEAR;
    }
    const double share = (t_h - from_h) / (to_h - from_h);
    const double weight = 1.0 / (24.0 * gw_weather_days_of_month(month));
    grid->left[hour] = (unsigned char)left;
    grid->month[hour] = (unsigned char)month;
    grid->share[hour] = share;
    if (left == month) {
        grid->own[month] += weight * (1.0 - share);
        grid->after[month] += weight * share;
    } else {
        grid->before[month] += weight * (1.0 - share);
        grid->own[month] += weight * share;
    }
}

static void prepare_grid(curve_grid *grid)
{
    *grid = (curve_grid){0};
    int hour = 0;
    for (int month = 0; month < GW_MONTHS; month++) {
        for (int k = 0; k < 24 * gw_weather_days_of_month(month); k++) {
            place_hour(grid, hour++, month);
        }
    }
}

static double curve_at(const curve_grid *grid, const monthly_curve *curve, int hour)
{
    const double a = curve->knot[grid->left[hour]];
    const double b = curve->knot[(grid->left[hour] + 1) % 12];
    return a + grid->share[hour] * (b - a);
}

// A factor that stays at its knot for most of the month and passes to the next within the middle
// fifth between two knots, so that each month's own knot governs its spread.
static double factor_at(const curve_grid *grid, const monthly_curve *curve, int hour)
{
    const double a = curve->knot[grid->left[hour]];
    const double b = curve->knot[(grid->left[hour] + 1) % 12];
    const double steep = fmin(fmax(5.0 * (grid->share[hour] - 0.4), 0.0), 1.0);
    return a + steep * (b - a);
}

// Knots whose curve has the monthly means `want`: Gauss-Seidel sweeps, error down by more than 4
// each (the matrix is strongly diagonal).
static monthly_curve curve_of_means(const curve_grid *grid, const double want[GW_MONTHS])
{
    monthly_curve curve = {0};
    for (int sweep = 0; sweep < 40; sweep++) {
        for (int m = 0; m < GW_MONTHS; m++) {
            const double others = grid->before[m] * curve.knot[(m + 11) % 12] +
                                  grid->after[m] * curve.knot[(m + 1) % 12];
            curve.knot[m] = (want[m] - others) / grid->own[m];
        }
    }
    return curve;
}

static void set_monthly_means(const curve_grid *grid, const double want[GW_MONTHS], double *series)
{
    double change[GW_MONTHS];
    gw_weather_monthly_means(series, change);
    for (int m = 0; m < GW_MONTHS; m++) {
        change[m] = want[m] - change[m];
    }
    const monthly_curve curve = curve_of_means(grid, change);
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        series[h] += curve_at(grid, &curve, h);
    }
}

static double month_deviation(const double *series, int month)
{
    const int first = gw_weather_hours_before_month(month);
    const int hours = 24 * gw_weather_days_of_month(month);
    double mean = 0.0;
    for (int k = 0; k < hours; k++) {
        mean += series[first + k] / hours;
    }
    double variance = 0.0;
    for (int k = 0; k < hours; k++) {
        const double d = series[first + k] - mean;
        variance += d * d / hours;
    }
    return sqrt(variance);
}

// ---- Temperature --------------------------------------------------------------------------------

// Mean diurnal curve, Erbs, Klein & Beckman (1983): deviation from the daily mean by local hour
// (1 = first hour), peak to peak A = 25.8 KT - 5.21.
static double diurnal_k(double clearness, int hour_of_day)
{
    const double swing_k = fmax(2.0, 25.8 * clearness - 5.21);
    const double t = 2.0 * PI * hour_of_day / 24.0;
    return swing_k * (0.4632 * cos(t - 3.805) + 0.0984 * cos(2.0 * t - 0.360) +
                      0.0168 * cos(3.0 * t - 0.822) + 0.0138 * cos(4.0 * t - 3.513));
}

// Daily normal deviates of unit variance with lag-one correlation phi.
static void draw_days(gw_random *random, double phi, double out[GW_DAYS_PER_YEAR])
{
    const double fresh = sqrt(1.0 - phi * phi);
    double x = gw_random_normal(random);
    for (int d = 0; d < GW_DAYS_PER_YEAR; d++) {
        x = phi * x + fresh * gw_random_normal(random);
        out[d] = x;
    }
}

// Normal deviate to one of the logistic distribution of Erbs et al., both of unit variance.
static double logistic_of_normal(double z)
{
    const double below = 0.5 * erfc(-z / sqrt(2.0));
    const double above = 0.5 * erfc(z / sqrt(2.0));
    return sqrt(3.0) / PI * log(below / above);
}

// Weather of every hour: straight line between the values of the days' noons.
static void spread_days(const double day[GW_DAYS_PER_YEAR], double *out)
{
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        const double at = (h + 0.5) / 24.0 - 0.5;
        const int before = (int)floor(at);
        const double share = at - before;
        const double a = day[(before + GW_DAYS_PER_YEAR) % GW_DAYS_PER_YEAR];
        const double b = day[(before + 1) % GW_DAYS_PER_YEAR];
        out[h] = a + share * (b - a);
    }
}

typedef struct {
    curve_grid grid;
    double normals_degc[GW_MONTHS];
    double spread_k[GW_MONTHS];      // wanted standard deviation of the hours of a month
    double diurnal_k[GW_MONTHS][24]; //
    double wave[GW_HOURS_PER_YEAR];  // day-to-day weather, unit variance
} temperature_plan;

static void compose(const temperature_plan *plan, const monthly_curve *scale, double *out_degc)
{
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        out_degc[h] = plan->diurnal_k[plan->grid.month[h]][h % 24] +
                      factor_at(&plan->grid, scale, h) * plan->wave[h];
    }
    set_monthly_means(&plan->grid, plan->normals_degc, out_degc);
}

// The scale of the day-to-day part is moved until the hours of each month spread as wanted; in a
// month whose slope and diurnal swing already exceed that, it goes down to a twentieth. The power
// 3/2 makes up for the part of the spread that the scale does not move.
static void make_temperature(const temperature_plan *plan, double *out_degc)
{
    monthly_curve scale;
    for (int m = 0; m < GW_MONTHS; m++) {
        scale.knot[m] = plan->spread_k[m];
    }
    double worst = 1.0;
    for (int pass = 0; pass < SPREAD_PASSES && worst > SPREAD_ENOUGH; pass++) {
        compose(plan, &scale, out_degc);
        worst = 0.0;
        for (int m = 0; m < GW_MONTHS; m++) {
            const double ratio = plan->spread_k[m] / month_deviation(out_degc, m);
            const double lowest = 0.05 * plan->spread_k[m];
            scale.knot[m] = fmax(lowest, scale.knot[m] * ratio * sqrt(ratio));
            worst = fmax(worst, fabs(ratio - 1.0));
        }
    }
    compose(plan, &scale, out_degc);
}

// ---- Sunshine -----------------------------------------------------------------------------------

double gw_synthesis_clearness(double daily_range_k)
{
    const double clearness = 0.16 * sqrt(daily_range_k);
    return fmin(fmax(clearness, 0.30), 0.65);
}

// What: daily clearness of given rank (0 to 1) in a month of mean clearness K.
// Method: Bendt, Collares-Pereira & Rabl (1981), Solar Energy 27:1, exponential distribution
// between K_min = 0.05 and K_max of Hollands & Huget (1983); Duffie & Beckman eqs 2.9.6, 2.9.7.
static double daily_clearness(double mean, double rank)
{
    const double low = 0.05;
    const double high = 0.6313 + 0.267 * mean - 11.9 * pow(mean - 0.75, 8.0);
    const double xi = (high - low) / (high - mean);
    const double gamma = -1.498 + (1.184 * xi - 27.182 * exp(-1.5 * xi)) / (high - low);
    if (fabs(gamma) < 1e-6) {
        return low + rank * (high - low);
    }
    const double e_low = exp(gamma * low);
    const double e_high = exp(gamma * high);
    return log(e_low - rank * (e_low - e_high)) / gamma;
}

// Share of a day's global irradiation that falls in the hour around a solar hour angle
// (Collares-Pereira & Rabl 1979; Duffie & Beckman eq. 2.13.2).
static double hour_share(double hour_angle_rad, double sunset_rad)
{
    const double bracket =
        (cos(hour_angle_rad) - cos(sunset_rad)) / (sin(sunset_rad) - sunset_rad * cos(sunset_rad));
    if (!(bracket > 0.0) || fabs(hour_angle_rad) >= sunset_rad) {
        return 0.0;
    }
    const double a = 0.409 + 0.5016 * sin(sunset_rad - PI / 3.0);
    const double b = 0.6609 - 0.4767 * sin(sunset_rad - PI / 3.0);
    return PI / 24.0 * (a + b * cos(hour_angle_rad)) * bracket;
}

static gw_sky sky_of_hour(const gw_sun *sun, double global_w_m2)
{
    const double outside_w_m2 = sun->extraterrestrial_w_m2 * sun->cos_zenith;
    if (!(global_w_m2 > 0.0) || !(outside_w_m2 > 1.0)) {
        return (gw_sky){0};
    }
    const double held_w_m2 = fmin(global_w_m2, 0.82 * outside_w_m2);
    const double diffuse_w_m2 = held_w_m2 * gw_solar_diffuse_frac(held_w_m2 / outside_w_m2);
    return (gw_sky){
        .direct_normal_w_m2 = (held_w_m2 - diffuse_w_m2) / sun->cos_zenith,
        .diffuse_horizontal_w_m2 = diffuse_w_m2,
        .global_horizontal_w_m2 = held_w_m2,
    };
}

static void make_day_of_sun(const gw_solar_site *site, int day, double clearness, gw_weather *out)
{
    const double total_j_m2 =
        clearness * gw_solar_daily_extraterrestrial_j_m2(site->latitude_deg, day);
    const double declination = gw_solar_declination_deg(day) * PI / 180.0;
    const double cos_sunset = -tan(site->latitude_deg * PI / 180.0) * tan(declination);
    const double sunset_rad = acos(fmax(-1.0, fmin(1.0, cos_sunset)));
    for (int k = 0; k < 24; k++) {
        const int h = 24 * day + k;
        const gw_sun sun = gw_solar_sun_at(site, h + 0.5);
        const double share = hour_share(sun.hour_angle_deg * PI / 180.0, sunset_rad);
        const gw_sky sky = sky_of_hour(&sun, total_j_m2 * share / 3600.0);
        out->direct_normal_w_m2[h] = sky.direct_normal_w_m2;
        out->diffuse_horizontal_w_m2[h] = sky.diffuse_horizontal_w_m2;
        out->global_horizontal_w_m2[h] = sky.global_horizontal_w_m2;
    }
}

// Ranks from correlated normal deviates, then spread evenly within each month so that the month's
// mean clearness comes out whatever the seed: day of rank r among n stands for (r + 0.5)/n.
static void make_sunshine(const double clearness[GW_MONTHS], const double day[GW_DAYS_PER_YEAR],
                          gw_weather *out)
{
    const gw_solar_site site = {out->latitude_deg, out->longitude_deg, out->timezone_h,
                                out->elevation_m};
    int first = 0;
    for (int m = 0; m < GW_MONTHS; m++) {
        const int days = gw_weather_days_of_month(m);
        for (int i = first; i < first + days; i++) {
            int below = 0;
            for (int j = first; j < first + days; j++) {
                below += day[j] < day[i] || (day[j] == day[i] && j < i) ? 1 : 0;
            }
            make_day_of_sun(&site, i, daily_clearness(clearness[m], (below + 0.5) / days), out);
        }
        first += days;
    }
}

// ---- The year -----------------------------------------------------------------------------------

static void make_dew_point(gw_weather *out)
{
    for (int first = 0; first < GW_HOURS_PER_YEAR; first += 24) {
        double lowest_degc = out->dry_bulb_degc[first];
        for (int h = first; h < first + 24; h++) {
            lowest_degc = fmin(lowest_degc, out->dry_bulb_degc[h]);
        }
        for (int h = first; h < first + 24; h++) {
            out->dew_point_degc[h] = lowest_degc;
        }
    }
}

static gw_status check_input(const gw_synthesis *how, gw_err *err)
{
    if (how->station == NULL) {
        return gw_fail(err, GW_ERR_MISSING, "station", "a station is needed");
    }
    for (size_t m = 0; m < GW_MONTHS; m++) {
        const double k = how->clearness[m];
        if (!(k == 0.0 || (k >= 0.2 && k <= 0.8))) {
            return gw_fail(err, GW_ERR_RANGE, "clearness",
                           "clearness %g of month %zu must be 0.2 to 0.8, or 0 for an estimate", k,
                           m + 1);
        }
    }
    if (!(how->wind_m_s >= 0.0 && how->wind_m_s <= 20.0)) {
        return gw_fail(err, GW_ERR_RANGE, "wind_m_s", "wind %g must be 0 to 20 m/s", how->wind_m_s);
    }
    return gw_station_check(how->station, err);
}

static gw_status prepare(gw_arena *arena, const gw_synthesis *how, gw_weather *out, gw_err *err)
{
    gw_status st = check_input(how, err);
    if (st == GW_OK) {
        st = gw_weather_init(arena, out, err);
    }
    if (st != GW_OK) {
        return st;
    }
    out->name = how->station->name;
    out->source = "made from monthly normals";
    out->latitude_deg = how->station->latitude_deg;
    out->longitude_deg = how->station->longitude_deg;
    out->timezone_h = how->station->timezone_h;
    out->elevation_m = how->station->elevation_m;
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        out->wind_m_s[h] = how->wind_m_s > 0.0 ? how->wind_m_s : DEFAULT_WIND_M_S;
    }
    return GW_OK;
}

static void plan_temperature(const gw_synthesis *how, const double clearness[GW_MONTHS],
                             gw_random *random, temperature_plan *plan)
{
    const double *const normals_degc = how->station->monthly_mean_degc;
    const double sigma_year_k = gw_degree_days_sigma_year_k(normals_degc);
    prepare_grid(&plan->grid);
    for (int m = 0; m < GW_MONTHS; m++) {
        plan->normals_degc[m] = normals_degc[m];
        plan->spread_k[m] = gw_degree_days_sigma_hours_k(normals_degc[m], sigma_year_k,
                                                         gw_weather_days_of_month(m));
        for (int k = 0; k < 24; k++) {
            plan->diurnal_k[m][k] = diurnal_k(clearness[m], k);
        }
    }
    double day[GW_DAYS_PER_YEAR];
    draw_days(random, DAY_TO_DAY_TEMPERATURE, day);
    for (int d = 0; d < GW_DAYS_PER_YEAR; d++) {
        day[d] = logistic_of_normal(day[d]);
    }
    spread_days(day, plan->wave);
    const double none[GW_MONTHS] = {0};
    set_monthly_means(&plan->grid, none, plan->wave);
}

gw_status gw_weather_synthesize(gw_arena *arena, const gw_synthesis *how, gw_weather *out,
                                gw_err *err)
{
    const gw_status st = prepare(arena, how, out, err);
    if (st != GW_OK) {
        return st;
    }
    temperature_plan *const plan = gw_arena_alloc(arena, 1, sizeof *plan);
    if (plan == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "weather", "no memory to make an hourly year");
    }
    double clearness[GW_MONTHS];
    for (int m = 0; m < GW_MONTHS; m++) {
        clearness[m] = how->clearness[m] > 0.0
                           ? how->clearness[m]
                           : gw_synthesis_clearness(how->station->daily_range_k);
    }
    gw_random random;
    gw_random_init(&random, how->seed);
    plan_temperature(how, clearness, &random, plan);
    make_temperature(plan, out->dry_bulb_degc);
    make_dew_point(out);
    double day[GW_DAYS_PER_YEAR];
    draw_days(&random, DAY_TO_DAY_CLEARNESS, day);
    make_sunshine(clearness, day, out);
    return GW_OK;
}
