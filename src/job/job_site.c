// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Table of the site: climate and free ground. Limits of climate values are those of gw_station.
#include "job/job_priv.h"

#include <string.h>

#define SITE(member) GW_FORM_AT(gw_job_site, member)

// clang-format off
static const gw_form_field SITE_FIELDS[] = {
    {SITE(station), .type = GW_FORM_ID, .table = "stations.csv", .column = "id", OPTIONAL(0),
     .doc = "Climate station: design temperatures, monthly means and the yearly wave of the ground."},
    {SITE(weather_file), .type = GW_FORM_TEXT, .least = 1, .most = 1000, OPTIONAL(0),
     .doc = "Path of an hourly weather file (EPW); left out, the hours are made from the monthly means."},
    {SITE(latitude_deg), QUANTITY(ANGLE), LIMITS(-90, 90), NOT_GIVEN,
     .doc = "North positive; replaces the station's."},
    {SITE(longitude_deg), QUANTITY(ANGLE), LIMITS(-180, 180), NOT_GIVEN,
     .doc = "East positive; replaces the station's."},
    {SITE(elevation_m), QUANTITY(LENGTH), LIMITS(-430, 5000), NOT_GIVEN,
     .doc = "Above sea level; replaces the station's."},
    {SITE(timezone_h), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(-12, 14), NOT_GIVEN,
     .doc = "Local standard time minus UTC in hours; replaces the station's."},
    {SITE(monthly_mean_degc), .type = GW_FORM_NUMBERS, .kind = GW_QTY_TEMPERATURE, LIMITS(-60, 50),
     .home = GW_FORM_POINTED, .count_offset = offsetof(gw_job_site, month_count), .least = 12, .most = 12,
     OPTIONAL(0), .doc = "Mean air temperature of the months, January first; replaces the station's."},
    {SITE(heating_design_degc), QUANTITY(TEMPERATURE), LIMITS(-60, 20), NOT_GIVEN,
     .doc = "Outdoor temperature of the heating design; replaces the station's."},
    {SITE(cooling_design_degc), QUANTITY(TEMPERATURE), LIMITS(10, 50), NOT_GIVEN,
     .doc = "Outdoor temperature of the cooling design; replaces the station's."},
    {SITE(daily_range_k), QUANTITY(TEMPERATURE_DIFFERENCE), LIMITS(1, 25), NOT_GIVEN,
     .doc = "Mean daily range of the warmest month; replaces the station's."},
    {SITE(ground_mean_degc), QUANTITY(TEMPERATURE), LIMITS(-20, 30), USUAL(1, 18), NOT_GIVEN,
     .doc = "Yearly mean temperature of the undisturbed ground, e.g. measured in a well; replaces the station's."},
    {SITE(ground_amplitude_k), QUANTITY(TEMPERATURE_DIFFERENCE), LIMITS(0, 40), USUAL(4, 20), NOT_GIVEN,
     .doc = "Half the yearly swing at the ground surface; replaces the station's."},
    {SITE(ground_phase_day), .type = GW_FORM_QUANTITY, .kind = GW_QTY_NUMBER, LIMITS(0, 365), NOT_GIVEN,
     .doc = "Day of the year on which the ground surface is coldest; replaces the station's."},
    {SITE(usable_length_m), QUANTITY(LENGTH), LIMITS(0, 2000), .open_below = true, NOT_GIVEN,
     .doc = "Longest side of the free ground for trenches or bores, setbacks taken off."},
    {SITE(usable_width_m), QUANTITY(LENGTH), LIMITS(0, 2000), .open_below = true, NOT_GIVEN,
     .doc = "Other side of the free ground."},
    {SITE(entry_distance_m), QUANTITY(LENGTH), LIMITS(0, 300), USUAL(0, 80), DEFAULT(10),
     .doc = "From the free ground to where the pipes enter the house."},
};
// clang-format on

static void need(gw_form_reader *reader, const char *key)
{
    if (!gw_form_has(reader, key)) {
        gw_form_complain(reader, GW_ERR_MISSING, key,
                         "found no \"%s\", expected a station or all the climate values of one",
                         key);
    }
}

static void finish_site(gw_form_reader *reader, void *object)
{
    const gw_job_site *const site = object;
    if (site->station == NULL) {
        static const char *const NEEDED[] = {
            "latitude_deg",  "monthly_mean_degc", "heating_design_degc", "cooling_design_degc",
            "daily_range_k", "ground_mean_degc",  "ground_amplitude_k",  "ground_phase_day",
        };
        const size_t count = sizeof NEEDED / sizeof NEEDED[0];
        size_t given = 0;
        for (size_t i = 0; i < count; i++) {
            given += gw_form_has(reader, NEEDED[i]) ? 1 : 0;
        }
        if (given == 0) {
            need(reader, "station");
        }
        for (size_t i = 0; given > 0 && i < count; i++) {
            need(reader, NEEDED[i]);
        }
    }
    if (gw_job_is_given(site->heating_design_degc) && gw_job_is_given(site->cooling_design_degc) &&
        !(site->heating_design_degc < site->cooling_design_degc)) {
        gw_form_complain(reader, GW_ERR_RANGE, "heating_design_degc",
                         "found %.1f degC, expected it below the %.1f degC of cooling_design_degc",
                         site->heating_design_degc, site->cooling_design_degc);
    }
    if (gw_job_is_given(site->usable_length_m) != gw_job_is_given(site->usable_width_m)) {
        const bool has_length = gw_job_is_given(site->usable_length_m);
        gw_form_complain(reader, GW_ERR_MISSING, has_length ? "usable_width_m" : "usable_length_m",
                         "found only one side of the free ground, expected both or none");
    }
}

const gw_form GW_JOB_PRIV_SITE = {
    .name = "site",
    .doc = "Where the house stands: climate and free ground.",
    .rules = "Name a station, or give latitude_deg, monthly_mean_degc, both design temperatures, "
             "daily_range_k and the three ground values.",
    .size = sizeof(gw_job_site),
    ROWS(SITE_FIELDS),
    .finish = finish_site,
};

static void take(double own, double *value)
{
    if (gw_job_is_given(own)) {
        *value = own;
    }
}

void gw_job_apply_climate(const gw_job_site *site, gw_station *station)
{
    take(site->latitude_deg, &station->latitude_deg);
    take(site->longitude_deg, &station->longitude_deg);
    take(site->elevation_m, &station->elevation_m);
    take(site->timezone_h, &station->timezone_h);
    take(site->heating_design_degc, &station->heating_design_degc);
    take(site->cooling_design_degc, &station->cooling_design_degc);
    take(site->daily_range_k, &station->daily_range_k);
    take(site->ground_mean_degc, &station->ground_mean_degc);
    take(site->ground_amplitude_k, &station->ground_amplitude_k);
    take(site->ground_phase_day, &station->ground_phase_day);
    if (site->month_count == GW_MONTHS) {
        memcpy(station->monthly_mean_degc, site->monthly_mean_degc,
               sizeof station->monthly_mean_degc);
    }
}
