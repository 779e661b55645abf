// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Ponds: heat from pipe to water, the pond's own year, and the rules of the trade.
#include "loop/pond.h"

#include "base/builtin.h"
#include "climate/solar.h"
#include "loop/pond_priv.h"

#include "harness.h"

#include <math.h>
#include <string.h>

static const double PI_TEST = 3.14159265358979323846;
#define TON_W 3516.8528

typedef struct {
    gw_arena *arena;
    gw_pond_water water;
    gw_weather weather;
    gw_pond_plan pond;
} pond_case;

// Cold continental: mean 6.5 °C, coldest day −11 °C at the end of January, day swing 4 K.
static void fill_weather(gw_weather *w)
{
    w->latitude_deg = 45.4;
    w->longitude_deg = -75.7;
    w->timezone_h = -5.0;
    w->elevation_m = 100.0;
    const gw_solar_site site = {45.4, -75.7, -5.0, 100.0};
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        const double season = cos(2.0 * PI_TEST * (h / 24.0 - 28.0) / 365.0);
        const double day = cos(2.0 * PI_TEST * (h % 24 - 5) / 24.0);
        const double spell = cos(2.0 * PI_TEST * h / 24.0 / 15.2);
        w->dry_bulb_degc[h] = 6.5 - 15.0 * season - 4.0 * day - 4.0 * spell;
        w->dew_point_degc[h] = 6.5 - 15.0 * season - 4.0 * spell - 5.0;
        const gw_sun sun = gw_solar_sun_at(&site, h + 0.5);
        const double up = fmax(sun.cos_zenith, 0.0);
        w->global_horizontal_w_m2[h] = 0.5 * sun.extraterrestrial_w_m2 * up;
        w->diffuse_horizontal_w_m2[h] = w->global_horizontal_w_m2[h];
        w->wind_m_s[h] = 3.0;
    }
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        w->dew_point_degc[h] = fmin(w->dew_point_degc[h], w->dry_bulb_degc[h]);
    }
}

static pond_case *made_case(void)
{
    static pond_case c;
    memset(&c, 0, sizeof c);
    c.arena = gw_arena_create(0);
    gw_err err = {0};
    gw_fluid_table *const fluids = gw_arena_alloc(c.arena, 1, sizeof *fluids);
    ck_assert(gw_fluid_read_builtin(c.arena, fluids, &err) == GW_OK);
    ck_assert_msg(gw_pond_water_init(fluids, &c.water, &err) == GW_OK, "%s", err.text);
    ck_assert(gw_weather_init(c.arena, &c.weather, &err) == GW_OK);
    c.weather.name = "made";
    c.weather.source = "made for the test";
    fill_weather(&c.weather);
    // Half an acre, 12 ft deep.
    c.pond = (gw_pond_plan){.area_m2 = 2023.0,
                            .depth_m = 3.66,
                            .bundles = 4,
                            .bundle_m = 91.44,
                            .spacing_m = 0.9,
                            .inflow_degc = 8.0,
                            .clearness_m = 2.0};
    return &c;
}

static gw_pond_year simulate(pond_case *c, const double *heat_w)
{
    const gw_pond_run run = {.pond = &c->pond,
                             .weather = &c->weather,
                             .water = &c->water,
                             .ground_degc = 8.0,
                             .heat_w = heat_w,
                             .years = 4};
    gw_pond_year year;
    gw_err err = {0};
    ck_assert_msg(gw_pond_simulate(c->arena, &run, &year, &err) == GW_OK, "%s", err.text);
    return year;
}

// ---------------------------------------------------------------- pipe to water

// Churchill & Chu 1975 with the properties of water (mpmath): Ra, Pr, Nu.
START_TEST(nusselt_number_has_its_computed_values)
{
    static const double rows[][3] = {{5.79e4, 11.18, 8.346},
                                     {4.542e5, 9.449, 14.53},
                                     {5.334e5, 9.449, 15.20},
                                     {1.344e6, 7.009, 19.48},
                                     {2.953e6, 6.13, 24.29}};
    for (int i = 0; i < 5; i++) {
        ck_close(gw_pond_nusselt(rows[i][0], rows[i][1]), rows[i][2], 4e-4);
    }
    ck_close(gw_pond_nusselt(0.0, 10.0), 0.36, 1e-12);
}
END_TEST

// Film of water at the table's film temperatures and differences; its properties are rounded
// handbook values, ours the fluid room's.
START_TEST(film_has_its_computed_values_at_ten_to_twenty_five_degrees)
{
    static const double rows[][4] = {// film °C, difference K, pipe m, film W/(m²·K)
                                     {10.0, 5.0, 0.0267, 315.6},
                                     {10.0, 3.0, 0.0334, 264.0},
                                     {20.0, 5.0, 0.0267, 436.3},
                                     {25.0, 8.0, 0.0267, 552.3}};
    pond_case *const c = made_case();
    for (int i = 0; i < 4; i++) {
        const gw_pond_pipe pipe = {rows[i][2], 0.02, 0.4, 1500.0};
        const gw_pond_moment at = {.water_degc = rows[i][0] + 0.5 * rows[i][1],
                                   .heat_w_m = rows[i][3] * rows[i][1] * PI_TEST * rows[i][2]};
        gw_pond_film film;
        gw_err err = {0};
        ck_assert(gw_pond_resistance(&c->water, &pipe, &at, &film, &err) == GW_OK);
        ck_close(film.film_w_m2k, rows[i][3], 0.003);
        ck_close(at.water_degc - film.wall_degc, rows[i][1], 0.003);
    }
    gw_arena_destroy(c->arena);
}
END_TEST

START_TEST(resistances_add_up_and_the_wall_is_exact)
{
    pond_case *const c = made_case();
    // DR-11 pipe: ln(11/9)/(2π k) = 0.079844 at 0.40 and 0.070973 at 0.45 W/(m·K).
    gw_pond_pipe pipe = {0.0267, 0.0267 * 9.0 / 11.0, 0.40, 1e9};
    const gw_pond_moment at = {.water_degc = 4.0, .heat_w_m = 20.0};
    gw_pond_film film;
    gw_err err = {0};
    ck_assert(gw_pond_resistance(&c->water, &pipe, &at, &film, &err) == GW_OK);
    ck_close(film.total_mk_w - film.outside_mk_w, 0.079844, 1e-5);
    ck_close(film.fluid_degc, 4.0 - 20.0 * film.total_mk_w, 1e-12);
    ck_close(film.outside_mk_w * 20.0, 4.0 - film.wall_degc, 1e-9);
    pipe.conductivity_w_mk = 0.45;
    ck_assert(gw_pond_resistance(&c->water, &pipe, &at, &film, &err) == GW_OK);
    ck_close(film.total_mk_w - film.outside_mk_w, 0.070973, 1e-5);
    gw_arena_destroy(c->arena);
}
END_TEST

START_TEST(water_at_four_degrees_takes_little_and_more_load_never_lowers_the_film)
{
    pond_case *const c = made_case();
    const gw_pond_pipe pipe = {0.0334, 0.0273, 0.40, 1000.0};
    gw_err err = {0};
    gw_pond_film cold, warm;
    ck_assert(gw_pond_resistance(&c->water, &pipe, &(gw_pond_moment){4.0, 15.0}, &cold, &err) ==
              GW_OK);
    ck_assert(gw_pond_resistance(&c->water, &pipe, &(gw_pond_moment){18.0, 15.0}, &warm, &err) ==
              GW_OK);
    ck_assert(cold.film_w_m2k < 0.6 * warm.film_w_m2k);
    for (double water_degc = 0.5; water_degc < 30.0; water_degc += 0.7) {
        double before_k = 0.0;
        for (double q_w_m = -60.0; q_w_m <= 60.0; q_w_m += 2.0) {
            gw_pond_film film;
            ck_assert(gw_pond_resistance(&c->water, &pipe, &(gw_pond_moment){water_degc, q_w_m},
                                         &film, &err) == GW_OK);
            const double drop_k = water_degc - film.fluid_degc;
            ck_assert(q_w_m == -60.0 || drop_k > before_k);
            ck_assert(film.ice == (film.wall_degc < 0.0));
            before_k = drop_k;
        }
    }
    // No heat, no difference.
    ck_assert(gw_pond_resistance(&c->water, &pipe, &(gw_pond_moment){4.0, 0.0}, &cold, &err) ==
              GW_OK);
    ck_close(cold.fluid_degc, 4.0, 1e-12);
    gw_arena_destroy(c->arena);
}
END_TEST

// ---------------------------------------------------------------- the year

START_TEST(heat_is_conserved_to_rounding)
{
    pond_case *const c = made_case();
    static double heat_w[GW_HOURS_PER_YEAR];
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        heat_w[h] = 4000.0 * cos(2.0 * PI_TEST * (h / 24.0 - 20.0) / 365.0) + 2000.0;
    }
    c->pond.inflow_m3_s = 2e-4;
    const gw_pond_year year = simulate(c, heat_w);
    const gw_pond_balance *const b = &year.balance;
    double taken_j = 0.0;
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        taken_j += 3600.0 * heat_w[h];
    }
    ck_close(-b->coils_j, taken_j, 1e-12);
    ck_assert_msg(fabs(b->residual_j) < 1e-9 * b->sun_j, "residual %g of %g", b->residual_j,
                  b->sun_j);
    // Settled: what is stored over a year is little.
    ck_assert(fabs(b->stored_j) < 2e-3 * b->sun_j);
    ck_assert(b->sun_j > 0.0 && b->longwave_j < 0.0 && b->evaporation_j < 0.0);
    gw_arena_destroy(c->arena);
}
END_TEST

// groundloop.com and the trade: about 39 °F (4 °C) at the bottom under ice.
START_TEST(bottom_water_winters_at_about_four_degrees_under_ice)
{
    pond_case *const c = made_case();
    c->pond.snow_m = 0.15;
    const gw_pond_year year = simulate(c, NULL);
    ck_assert(year.thickest_ice_m > 0.1 && year.thickest_ice_m < 1.0);
    ck_assert(year.ice_hours > 60 * 24 && year.ice_hours < 180 * 24);
    for (int h = 0; h < 60 * 24; h++) { // January and February
        ck_assert(year.ice_m[h] > 0.0);
        ck_assert(year.coil_degc[h] > 3.2 && year.coil_degc[h] < 4.4);
        ck_assert(year.surface_degc[h] < 4.0);
    }
    // Ice that lets the sun through keeps the water at 4 °C, no warmer, and is thicker.
    c->pond.snow_m = 0.0;
    const gw_pond_year bare = simulate(c, NULL);
    ck_assert(bare.thickest_ice_m > year.thickest_ice_m);
    for (int h = 0; h < 60 * 24; h++) {
        ck_assert(bare.coil_degc[h] < 4.4);
    }
    gw_arena_destroy(c->arena);
}
END_TEST

static void winter_heat(double peak_w, double *heat_w)
{
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        heat_w[h] = peak_w * fmax(0.0, cos(2.0 * PI_TEST * (h / 24.0 - 20.0) / 365.0));
    }
}

START_TEST(a_smaller_pond_or_a_greater_load_costs_temperature_and_adds_ice)
{
    static double none_w[GW_HOURS_PER_YEAR], some_w[GW_HOURS_PER_YEAR], more_w[GW_HOURS_PER_YEAR];
    pond_case *const c = made_case();
    c->pond.snow_m = 0.15;
    winter_heat(0.0, none_w);
    winter_heat(6e3, some_w);
    winter_heat(12e3, more_w);
    const gw_pond_year rest = simulate(c, NULL);
    const gw_pond_year none = simulate(c, none_w);
    const gw_pond_year some = simulate(c, some_w);
    const gw_pond_year more = simulate(c, more_w);
    ck_close(none.coldest_degc, rest.coldest_degc, 1e-12);
    ck_assert(rest.coldest_degc > some.coldest_degc && some.coldest_degc > more.coldest_degc);
    ck_assert(rest.thickest_ice_m < some.thickest_ice_m &&
              some.thickest_ice_m < more.thickest_ice_m);
    c->pond.area_m2 *= 0.5;
    const gw_pond_year half = simulate(c, some_w);
    // Half the pond with half the load is the same pond.
    ck_close(half.coldest_degc, more.coldest_degc, 1e-9);
    ck_close(half.thickest_ice_m, more.thickest_ice_m, 1e-9);
    gw_arena_destroy(c->arena);
}
END_TEST

START_TEST(summer_heat_warms_the_pond_a_little)
{
    static double heat_w[GW_HOURS_PER_YEAR];
    pond_case *const c = made_case();
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        heat_w[h] = h > 150 * 24 && h < 250 * 24 ? -6e3 : 0.0;
    }
    const gw_pond_year rest = simulate(c, NULL);
    const gw_pond_year year = simulate(c, heat_w);
    ck_assert(year.warmest_degc > rest.warmest_degc);
    ck_assert(year.warmest_degc < rest.warmest_degc + 0.5); // 3 W/m² on 25 W/(m²·K) of exchange
    gw_arena_destroy(c->arena);
}
END_TEST

// Saturated overcast air of one temperature, no sun: the pond takes on that temperature.
static void flat_weather(gw_weather *w, double degc)
{
    for (int h = 0; h < GW_HOURS_PER_YEAR; h++) {
        w->dry_bulb_degc[h] = w->dew_point_degc[h] = degc;
        w->global_horizontal_w_m2[h] = w->diffuse_horizontal_w_m2[h] = 0.0;
        w->wind_m_s[h] = 3.0;
    }
}

START_TEST(still_weather_gives_its_own_temperature)
{
    pond_case *const c = made_case();
    flat_weather(&c->weather, 10.0);
    const gw_pond_run run = {.pond = &c->pond,
                             .weather = &c->weather,
                             .water = &c->water,
                             .ground_degc = 10.0,
                             .years = 3};
    gw_pond_year year;
    gw_err err = {0};
    ck_assert(gw_pond_simulate(c->arena, &run, &year, &err) == GW_OK);
    // Sky and surface differ by the surface's emissivity alone, which both sides share.
    ck_assert_msg(fabs(year.coldest_degc - 10.0) < 1e-3 && fabs(year.warmest_degc - 10.0) < 1e-3,
                  "%.6f to %.6f", year.coldest_degc, year.warmest_degc);
    ck_assert(fabs(year.evaporated_m) < 1e-3);
    gw_arena_destroy(c->arena);
}
END_TEST

// Stefan's growth with a surface resistance, between two times: h² + 2hk/g grows by 2kΔT Δt/(ρL),
// g from the surface's own exchange about −20 °C.
START_TEST(ice_grows_as_stefan_says)
{
    pond_case *const c = made_case();
    flat_weather(&c->weather, -20.0);
    c->pond.depth_m = 30.0;
    const gw_pond_run run = {.pond = &c->pond,
                             .weather = &c->weather,
                             .water = &c->water,
                             .ground_degc = 0.0,
                             .years = 4};
    gw_pond_year year;
    gw_err err = {0};
    ck_assert_msg(gw_pond_simulate(c->arena, &run, &year, &err) == GW_OK, "%s", err.text);
    const gw_pond_air air = gw_pond_priv_air(&c->weather, 0, 0.0);
    const gw_pond_surface s = gw_pond_priv_surface(&air, -20.0, true);
    ck_assert(fabs(s.longwave_w_m2) < 0.01 && fabs(s.convection_w_m2) < 1e-9);
    const double g_w_m2k = -(s.d_longwave_w_m2k + s.d_evaporation_w_m2k + s.d_convection_w_m2k);
    const double first_m = year.ice_m[0], last_m = year.ice_m[8759];
    const double k_w_mk = 2.2;
    const double grown_m2 =
        last_m * last_m - first_m * first_m + 2.0 * k_w_mk / g_w_m2k * (last_m - first_m);
    const double want_m2 = 2.0 * k_w_mk * 20.0 * 8759.0 * 3600.0 / GW_POND_LATENT_J_M3;
    ck_assert(first_m > 1.0);
    // What the water below still gives up (from the year's balance) is taken off at the mean ice.
    const double latent_j_m3 = GW_POND_LATENT_J_M3;
    const double water_j_m2 =
        -(year.balance.stored_j / c->pond.area_m2 + (last_m - first_m) * latent_j_m3);
    const double mean_m = 0.5 * (first_m + last_m) + k_w_mk / g_w_m2k;
    ck_assert(water_j_m2 > 0.0);
    ck_close(grown_m2, want_m2 - 2.0 * mean_m * water_j_m2 / latent_j_m3, 0.005);
    gw_arena_destroy(c->arena);
}
END_TEST

START_TEST(a_strong_spring_rules_the_pond)
{
    pond_case *const c = made_case();
    c->pond.inflow_m3_s = 0.5; // the pond's volume every two hours
    c->pond.inflow_degc = 8.0;
    const gw_pond_year year = simulate(c, NULL);
    ck_assert(year.coldest_degc > 7.5 && year.warmest_degc < 8.5);
    ck_assert(year.thickest_ice_m == 0.0);
    gw_arena_destroy(c->arena);
}
END_TEST

START_TEST(a_load_the_pond_cannot_give_freezes_it_and_is_refused)
{
    static double heat_w[GW_HOURS_PER_YEAR];
    pond_case *const c = made_case();
    c->pond.area_m2 = 100.0;
    c->pond.depth_m = 1.5;
    winter_heat(20e3, heat_w);
    const gw_pond_run run = {.pond = &c->pond,
                             .weather = &c->weather,
                             .water = &c->water,
                             .ground_degc = 8.0,
                             .heat_w = heat_w,
                             .years = 2};
    gw_pond_year year;
    gw_err err = {0};
    ck_assert(gw_pond_simulate(c->arena, &run, &year, &err) == GW_ERR_CAPACITY);
    ck_assert_str_eq(err.field, "pond");
    ck_assert(strstr(err.text, "freezes") != NULL);
    gw_arena_destroy(c->arena);
}
END_TEST

START_TEST(four_years_settle_the_pond)
{
    pond_case *const c = made_case();
    gw_pond_run run = {.pond = &c->pond,
                       .weather = &c->weather,
                       .water = &c->water,
                       .ground_degc = 8.0,
                       .years = 3};
    gw_pond_year few, many;
    gw_err err = {0};
    ck_assert(gw_pond_simulate(c->arena, &run, &few, &err) == GW_OK);
    run.years = 8;
    ck_assert(gw_pond_simulate(c->arena, &run, &many, &err) == GW_OK);
    for (int h = 0; h < GW_HOURS_PER_YEAR; h += 100) {
        ck_assert(fabs(few.coil_degc[h] - many.coil_degc[h]) < 0.15);
    }
    ck_close(few.thickest_ice_m, many.thickest_ice_m, 0.02);
    gw_arena_destroy(c->arena);
}
END_TEST

// ---------------------------------------------------------------- rules and refusals

static const gw_pond_verdict *find(const gw_pond_verdict *list, size_t count, const char *id)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(list[i].id, id) == 0) {
            return &list[i];
        }
    }
    return NULL;
}

START_TEST(rules_of_the_trade_are_held_against_the_pond)
{
    pond_case *const c = made_case();
    gw_builtin_file file;
    gw_table rules;
    gw_err err = {0};
    ck_assert(gw_builtin("pond_rules.csv", &file));
    ck_assert(gw_table_read(c->arena, file.name, file.text, file.length, &rules, &err) == GW_OK);
    gw_pond_verdict v[GW_POND_RULES_MAX];
    size_t n = 0;
    gw_pond_case about = {.pond = &c->pond, .capacity_w = 4.0 * TON_W};
    ck_assert_msg(gw_pond_judge(&rules, &about, v, &n, &err) == GW_OK, "%s", err.text);
    ck_assert(find(v, n, "depth-least")->holds && find(v, n, "depth-good")->holds);
    ck_close(find(v, n, "area-per-ton")->value, 4.0 * TON_W / 2023.0, 1e-12);
    ck_assert(find(v, n, "area-per-ton")->holds); // 5,444 sq ft a ton
    ck_assert(find(v, n, "moving-water")->holds);
    ck_assert(find(v, n, "drop") == NULL && find(v, n, "winter-water") == NULL);
    // 300 ft of pipe a ton, four bundles for four tons: just so.
    ck_close(find(v, n, "pipe")->value, 0.026, 1e-3);
    // A shallow stream.
    c->pond.depth_m = 1.5;
    c->pond.moving_water = true;
    c->pond.area_m2 = 500.0;
    ck_assert(gw_pond_judge(&rules, &about, v, &n, &err) == GW_OK);
    ck_assert(!find(v, n, "depth-least")->holds && find(v, n, "depth-least")->refuses);
    ck_assert(!find(v, n, "moving-water")->holds && !find(v, n, "moving-water")->refuses);
    ck_assert(!find(v, n, "area-per-ton")->holds && !find(v, n, "area-house")->holds);
    const gw_pond_year without = {.coldest_degc = 3.5},
                       with = {.coldest_degc = 0.2, .thickest_ice_m = 0.9};
    about.without = &without;
    about.with = &with;
    ck_assert(gw_pond_judge(&rules, &about, v, &n, &err) == GW_OK);
    ck_close(find(v, n, "drop")->value, 3.3, 1e-12);
    ck_assert(!find(v, n, "drop")->holds && !find(v, n, "winter-water")->holds);
    ck_assert(find(v, n, "summer-water")->holds);
    ck_assert(!find(v, n, "ice-clearance")->holds && find(v, n, "ice-clearance")->refuses);
    for (size_t i = 0; i < n; i++) {
        ck_assert(strlen(v[i].source) > 0 && strlen(v[i].text) > 0);
    }
    about.capacity_w = 0.0;
    ck_assert(gw_pond_judge(&rules, &about, v, &n, &err) == GW_ERR_RANGE);
    gw_arena_destroy(c->arena);
}
END_TEST

START_TEST(a_rule_that_is_not_known_is_refused)
{
    pond_case *const c = made_case();
    static const char text[] = "id,quantity,bound,limit,unit,breach,text,source\n"
                               "x,colour,least,1,,warn,t,s\n";
    gw_table rules;
    gw_err err = {0};
    ck_assert(gw_table_read(c->arena, "r.csv", text, sizeof text - 1, &rules, &err) == GW_OK);
    const gw_pond_case about = {.pond = &c->pond, .capacity_w = 1e4};
    gw_pond_verdict v[GW_POND_RULES_MAX];
    size_t n = 0;
    ck_assert(gw_pond_judge(&rules, &about, v, &n, &err) == GW_ERR_KEY);
    ck_assert(strstr(err.text, "colour") != NULL);
    gw_arena_destroy(c->arena);
}
END_TEST

START_TEST(impossible_ponds_are_refused_by_name)
{
    pond_case *const c = made_case();
    gw_err err = {0};
    ck_assert_msg(gw_pond_check(&c->pond, 0.0267, &err) == GW_OK, "%s", err.text);
    const struct {
        size_t at;
        const char *field;
        double value;
    } rows[] = {
        {offsetof(gw_pond_plan, area_m2), "pond.area_m2", 10.0},
        {offsetof(gw_pond_plan, depth_m), "pond.depth_m", (double)NAN},
        {offsetof(gw_pond_plan, bundle_m), "pond.bundle_m", -1.0},
        {offsetof(gw_pond_plan, bundle_m), "pond.bundle_m", 5.0},
        {offsetof(gw_pond_plan, spacing_m), "pond.spacing_m", 50.0},
        {offsetof(gw_pond_plan, inflow_m3_s), "pond.inflow_m3_s", -1.0},
        {offsetof(gw_pond_plan, inflow_degc), "pond.inflow_degc", 40.0},
        {offsetof(gw_pond_plan, snow_m), "pond.snow_m", 2.0},
        {offsetof(gw_pond_plan, clearness_m), "pond.clearness_m", 0.0},
        {offsetof(gw_pond_plan, mean_depth_m), "pond.mean_depth_m", 1.0},
        {offsetof(gw_pond_plan, coil_depth_m), "pond.coil_depth_m", 3.66},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        gw_pond_plan p = c->pond;
        memcpy((char *)&p + rows[i].at, &rows[i].value, sizeof(double));
        ck_assert(gw_pond_check(&p, 0.0267, &err) != GW_OK);
        ck_assert_str_eq(err.field, rows[i].field);
    }
    gw_pond_plan p = c->pond;
    p.bundles = 0;
    ck_assert(gw_pond_check(&p, 0.0267, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "pond.bundles");
    const gw_pond_pipe pipe = {0.0267, 0.02, 0.4, 1000.0};
    gw_pond_film film;
    ck_assert(gw_pond_resistance(&c->water, &pipe, &(gw_pond_moment){-1.0, 10.0}, &film, &err) ==
              GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "water_degc");
    ck_assert(gw_pond_resistance(&c->water, &pipe, &(gw_pond_moment){5.0, (double)NAN}, &film,
                                 &err) == GW_ERR_RANGE);
    const gw_pond_pipe thin = {0.02, 0.0267, 0.4, 1000.0};
    ck_assert(gw_pond_resistance(&c->water, &thin, &(gw_pond_moment){5.0, 1.0}, &film, &err) ==
              GW_ERR_RANGE);
    gw_pond_year year;
    gw_pond_run run = {.pond = &c->pond,
                       .weather = &c->weather,
                       .water = &c->water,
                       .ground_degc = 8.0,
                       .years = 1};
    ck_assert(gw_pond_simulate(c->arena, &run, &year, &err) == GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "years");
    run.years = 3;
    run.ground_degc = (double)NAN;
    ck_assert(gw_pond_simulate(c->arena, &run, &year, &err) == GW_ERR_RANGE);
    static double heat_w[GW_HOURS_PER_YEAR];
    heat_w[77] = (double)NAN;
    run.ground_degc = 8.0;
    run.heat_w = heat_w;
    ck_assert(gw_pond_simulate(c->arena, &run, &year, &err) == GW_ERR_RANGE);
    ck_assert(strstr(err.text, "77") != NULL);
    run.heat_w = NULL;
    gw_arena_fail_after(c->arena, 0);
    ck_assert(gw_pond_simulate(c->arena, &run, &year, &err) == GW_ERR_NOMEM);
    gw_arena_destroy(c->arena);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("pond");
    TCase *const tc = tcase_create("pond");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, nusselt_number_has_its_computed_values);
    tcase_add_test(tc, film_has_its_computed_values_at_ten_to_twenty_five_degrees);
    tcase_add_test(tc, resistances_add_up_and_the_wall_is_exact);
    tcase_add_test(tc, water_at_four_degrees_takes_little_and_more_load_never_lowers_the_film);
    tcase_add_test(tc, heat_is_conserved_to_rounding);
    tcase_add_test(tc, bottom_water_winters_at_about_four_degrees_under_ice);
    tcase_add_test(tc, a_smaller_pond_or_a_greater_load_costs_temperature_and_adds_ice);
    tcase_add_test(tc, summer_heat_warms_the_pond_a_little);
    tcase_add_test(tc, still_weather_gives_its_own_temperature);
    tcase_add_test(tc, ice_grows_as_stefan_says);
    tcase_add_test(tc, a_strong_spring_rules_the_pond);
    tcase_add_test(tc, a_load_the_pond_cannot_give_freezes_it_and_is_refused);
    tcase_add_test(tc, four_years_settle_the_pond);
    tcase_add_test(tc, rules_of_the_trade_are_held_against_the_pond);
    tcase_add_test(tc, a_rule_that_is_not_known_is_refused);
    tcase_add_test(tc, impossible_ponds_are_refused_by_name);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
