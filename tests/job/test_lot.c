// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The lot in a job, and from GeoJSON.
#include "job/job.h"
#include "job/lot_geojson.h"

#include "harness.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static gw_arena *arena;
static gw_units *units;
static gw_form_report report;
static gw_err err;

#define ck_ok(call) ck_assert_msg((call) == GW_OK, "%s: %s", err.field, err.text)

static void begin(void)
{
    memset(&err, 0, sizeof err);
    arena = gw_arena_create(0);
    units = gw_units_create(&err);
}

static void end(void)
{
    gw_units_destroy(units);
    gw_arena_destroy(arena);
}

static const char LOT[] =
    "{\n"
    " \"boundary\": [{\"x_m\": 0, \"y_m\": 0}, {\"x_m\": 60, \"y_m\": 0}, {\"x_m\": 60, \"y_m\": "
    "\"40 m\"}, {\"x_m\": 0, \"y_m\": 40}],\n"
    " \"features\": [\n"
    "  {\"id\": \"house\", \"kind\": \"house\", \"points\": [{\"x_m\": 10, \"y_m\": 10}, {\"x_m\": "
    "20, \"y_m\": 10}, {\"x_m\": 20, \"y_m\": 18}, {\"x_m\": 10, \"y_m\": 18}]},\n"
    "  {\"id\": \"well\", \"kind\": \"well\", \"shape\": \"circle\", \"points\": [{\"x_m\": 5, "
    "\"y_m\": 35}], \"radius_m\": \"3 in\"},\n"
    "  {\"id\": \"main\", \"kind\": \"water_line\", \"shape\": \"line\", \"points\": [{\"x_m\": "
    "10, "
    "\"y_m\": 12}, {\"x_m\": -5, \"y_m\": 12}], \"depth_m\": \"6 ft\"}\n"
    " ],\n"
    " \"jurisdiction\": \"us-me\",\n"
    " \"setbacks\": [{\"kind\": \"well\", \"feature\": \"well\", \"loop\": \"bore\", "
    "\"distance_m\": 20, \"source\": \"letter\"}, {\"kind\": \"property_line\", \"distance_m\": "
    "2}],\n"
    " \"entry\": {\"x_m\": 20, \"y_m\": 14},\n"
    " \"rig\": {\"enters_at\": {\"x_m\": 30, \"y_m\": 0}},\n"
    " \"lanes\": [{\"loop\": \"t\", \"from\": {\"x_m\": 30, \"y_m\": 20}, \"to\": {\"x_m\": 55, "
    "\"y_m\": 20}}]\n"
    "}";

static const char *job_with(const char *lot)
{
    return gw_arena_printf(
        arena,
        "{\"groundwright\": 1, \"name\": \"x\", \"site\": {\"station\": \"halifax\"}, \"house\": "
        "{\"floor_area_m2\": 150, \"envelope\": [{\"name\": \"w\", \"kind\": \"wall\", "
        "\"area_m2\": 150, \"insulation_m2k_w\": 3}]}, \"ground\": {\"soil\": {\"class\": "
        "\"loam\"}}, \"loops\": [{\"name\": \"t\", \"kind\": \"trench\", \"trench\": {\"count\": "
        "1}}, {\"name\": \"b\", \"kind\": \"bores\", \"bores\": {\"count\": 2}}],\n\"lot\": %s}",
        lot);
}

static gw_status read_job(const char *text, const gw_job **out)
{
    memset(&err, 0, sizeof err);
    const gw_job_source source = {
        .arena = arena, .units = units, .text = text, .length = strlen(text)};
    return gw_job_read(&source, out, &report, &err);
}

START_TEST(lot_is_read_and_rings_close)
{
    begin();
    const gw_job *job = NULL;
    ck_ok(read_job(job_with(LOT), &job));
    const gw_job_lot *const lot = job->lot;
    ck_assert_ptr_nonnull(lot);
    ck_assert_uint_eq(lot->lot.boundary.count, 5);
    ck_assert(lot->lot.boundary.points[4].x_m == 0 && lot->lot.boundary.points[4].y_m == 0);
    ck_assert_uint_eq(lot->lot.count, 3);
    ck_assert_uint_eq(lot->lot.features[0].geometry.path.count, 5);
    ck_assert_uint_eq(lot->lot.features[1].geometry.path.count, 1);
    ck_close(lot->lot.features[1].geometry.radius_m, 0.0762, 1e-9);
    ck_assert_int_eq(lot->lot.features[2].kind, GW_LOT_WATER_LINE);
    ck_close(lot->lot.features[2].depth_m, 1.8288, 1e-9);
    ck_assert_str_eq(lot->jurisdiction, "us-me");
    ck_assert_double_eq(lot->rig->width_m, 3.0);
    gw_lot_rules own;
    ck_ok(gw_job_lot_rules(arena, lot, &own, &err));
    ck_assert_uint_eq(own.count, 2);
    ck_assert(own.items[0].loops[GW_LOT_BORE] && !own.items[0].loops[GW_LOT_TRENCH]);
    ck_assert(own.items[1].loops[GW_LOT_HEADER] && own.items[1].kind == GW_LOT_PROPERTY_LINE);
    ck_assert_str_eq(own.items[1].source, "given in the job");
    end();
}
END_TEST

START_TEST(lot_written_and_read_again_is_the_same)
{
    begin();
    const gw_job *job = NULL;
    const gw_job *again = NULL;
    const char *first = NULL;
    const char *second = NULL;
    ck_ok(read_job(job_with(LOT), &job));
    ck_ok(gw_job_write(arena, job, &first, &err));
    ck_ok(read_job(first, &again));
    ck_ok(gw_job_write(arena, again, &second, &err));
    ck_assert_str_eq(first, second);
    ck_assert_uint_eq(again->lot->lot.boundary.count, 5);
    ck_assert_double_eq(again->lot->lanes[0].to.x_m, 55);
    end();
}
END_TEST

static const char *replaced(const char *text, const char *find, const char *put)
{
    const char *const at = strstr(text, find);
    ck_assert_msg(at != NULL, "%s", find);
    return gw_arena_printf(arena, "%.*s%s%s", (int)(at - text), text, put, at + strlen(find));
}

static const struct {
    const char *find, *put;
    gw_status status;
    const char *path, *piece;
} BAD[] = {
    {"{\"x_m\": 60, \"y_m\": 0}", "{\"x_m\": 60, \"y_m\": 50}", GW_ERR_GEOMETRY, "lot.boundary",
     "crosses itself"},
    {"{\"x_m\": 60, \"y_m\": 0}", "{\"x_m\": 60}", GW_ERR_MISSING, "lot.boundary[1].y_m", "y_m"},
    {"\"40 m\"", "\"40 kg\"", GW_ERR_UNIT, "lot.boundary[2].y_m", "dimension"},
    {"\"40 m\"", "9000", GW_ERR_RANGE, "lot.boundary[2].y_m", "5000"},
    {"{\"x_m\": 20, \"y_m\": 18}", "{\"x_m\": 80, \"y_m\": 18}", GW_ERR_GEOMETRY,
     "lot.features[0].points", "house"},
    {"\"kind\": \"well\", \"shape\"", "\"kind\": \"wel\", \"shape\"", GW_ERR_KEY,
     "lot.features[1].kind", "well"},
    {"\"kind\": \"well\", \"shape\"", "\"kind\": \"property_line\", \"shape\"", GW_ERR_KEY,
     "lot.features[1].kind", "expected"},
    {"\"shape\": \"circle\"", "\"shape\": \"line\"", GW_ERR_GEOMETRY, "lot.features[1].shape",
     "cannot be drawn"},
    {"\"id\": \"main\"", "\"id\": \"well\"", GW_ERR_KEY, "lot.features[2].id", "well"},
    {"\"radius_m\": \"3 in\"", "\"radius_m\": -1", GW_ERR_RANGE, "lot.features[1].radius_m",
     "0 to 500"},
    {"us-me", "us-mee", GW_ERR_KEY, "lot.jurisdiction", "us-me"},
    {"\"feature\": \"well\"", "\"feature\": \"house\"", GW_ERR_KEY, "lot.setbacks[0].feature",
     "id of a well"},
    {"\"distance_m\": 20", "\"distance_m\": -20", GW_ERR_RANGE, "lot.setbacks[0].distance_m",
     "0 to 500"},
    {"\"entry\": {\"x_m\": 20, \"y_m\": 14},\n", "", GW_ERR_MISSING, "lot.entry", "entry"},
    {"\"loop\": \"t\"", "\"loop\": \"b\"", GW_ERR_KEY, "lot.lanes[0].loop", "in trenches"},
    {"{\"enters_at\"", "{\"width_m\": 99, \"enters_at\"", GW_ERR_RANGE, "lot.rig.width_m",
     "0.5 to 20"},
};

START_TEST(bad_lot_is_named)
{
    begin();
    const gw_job *job = NULL;
    const char *const text = job_with(replaced(LOT, BAD[_i].find, BAD[_i].put));
    const gw_status st = read_job(text, &job);
    ck_assert_msg(st == BAD[_i].status && strcmp(err.field, BAD[_i].path) == 0 &&
                      strstr(err.text, BAD[_i].piece) != NULL && err.line > 1,
                  "%d %s line %d: %s", (int)st, err.field, err.line, err.text);
    end();
}
END_TEST

// ---- GeoJSON ------------------------------------------------------------------------------------

static const char WORLD[] =
    "{\"type\": \"FeatureCollection\", \"features\": [\n"
    " {\"type\": \"Feature\", \"properties\": {\"kind\": \"boundary\"}, \"geometry\": {\"type\": "
    "\"Polygon\", \"coordinates\": [[[-64.5, 45.0], [-64.499, 45.0], [-64.499, 45.001], [-64.5, "
    "45.001], [-64.5, 45.0]]]}},\n"
    " {\"type\": \"Feature\", \"properties\": {\"kind\": \"entry\"}, \"geometry\": {\"type\": "
    "\"Point\", \"coordinates\": [-64.4995, 45.0005]}},\n"
    " {\"type\": \"Feature\", \"id\": \"w\", \"properties\": {\"kind\": \"well\", \"radius_m\": "
    "0.1, \"name\": \"old \\\"well\\\"\"}, \"geometry\": {\"type\": \"Point\", \"coordinates\": "
    "[-64.4992, 45.0002, 31.5]}},\n"
    " {\"type\": \"Feature\", \"id\": \"p\", \"properties\": {\"kind\": \"power_line\", "
    "\"depth_m\": 0.9}, \"geometry\": {\"type\": \"LineString\", \"coordinates\": [[-64.4998, "
    "45.0005], [-64.501, 45.0005]]}}\n"
    "]}";

// Lengths of a degree at 45 N on WGS 84: 111,131.8 m of latitude (meridian arc about 45 N) and
// 78,846.8 m of longitude (published tables of the degree, from memory; both follow from the radii
// of curvature M = a(1 − e²)/(1 − e² sin²φ)^1.5 and N cos φ).
START_TEST(degrees_become_metres_on_the_touching_plane)
{
    begin();
    gw_lot_geojson read;
    ck_ok(gw_lot_from_geojson(arena, WORLD, strlen(WORLD), &read, &err));
    const gw_lot_point *const p = read.lot.lot.boundary.points;
    ck_assert_double_lt(hypot(p[0].x_m, p[0].y_m), 1e-9);
    ck_close(p[1].x_m, 78.8468, 1e-6);
    ck_close(p[3].y_m, 111.1320, 3e-6);
    // The parallel bends away from the plane's x axis: x² tan φ / 2N.
    ck_close(p[1].y_m, 78.8468 * 78.8468 / (2.0 * 6388838.0), 1e-3);
    ck_assert(read.has_entry && read.lot.lot.count == 2);
    ck_assert_str_eq(read.lot.lot.features[0].name, "old \"well\"");
    ck_assert_double_eq(read.lot.lot.features[0].geometry.radius_m, 0.1);
    ck_assert_double_eq(read.lot.lot.features[1].depth_m, 0.9);
    end();
}
END_TEST

START_TEST(geojson_comes_back)
{
    begin();
    gw_lot_geojson read, again;
    const char *text = NULL;
    ck_ok(gw_lot_from_geojson(arena, WORLD, strlen(WORLD), &read, &err));
    ck_ok(gw_lot_to_geojson(arena, &read.lot, &read.frame, &text, &err));
    ck_ok(gw_lot_from_geojson(arena, text, strlen(text), &again, &err));
    ck_assert_uint_eq(again.lot.lot.count, 2);
    ck_assert_str_eq(again.lot.lot.features[0].name, "old \"well\"");
    for (size_t i = 0; i < 5; i++) {
        const gw_lot_point a = read.lot.lot.boundary.points[i];
        const gw_lot_point b = again.lot.lot.boundary.points[i];
        ck_assert_double_lt(hypot(a.x_m - b.x_m, a.y_m - b.y_m), 2e-4);
    }
    double at[2];
    gw_lot_frame_from_local(&read.frame, (gw_lot_point){3000, -2000}, at);
    const gw_lot_point p = gw_lot_frame_to_local(&read.frame, at[0], at[1]);
    ck_assert_double_lt(hypot(p.x_m - 3000, p.y_m + 2000), 1e-6);
    end();
}
END_TEST

START_TEST(projected_metres_are_shifted_to_the_lot)
{
    begin();
    static const char TEXT[] =
        "{\"type\": \"FeatureCollection\", \"crs\": {\"type\": \"name\", \"properties\": "
        "{\"name\": \"urn:ogc:def:crs:EPSG::32620\"}}, \"features\": [{\"type\": \"Feature\", "
        "\"properties\": {\"kind\": \"boundary\"}, \"geometry\": {\"type\": \"Polygon\", "
        "\"coordinates\": [[[400000, 4980000], [400030, 4980000], [400030, 4980020], [400000, "
        "4980020], [400000, 4980000]]]}}]}";
    gw_lot_geojson read;
    ck_ok(gw_lot_from_geojson(arena, TEXT, strlen(TEXT), &read, &err));
    ck_assert_double_eq(read.lot.lot.boundary.points[2].x_m, 30);
    ck_assert_double_eq(read.lot.lot.boundary.points[2].y_m, 20);
    const char *text = NULL;
    ck_ok(gw_lot_to_geojson(arena, &read.lot, &read.frame, &text, &err));
    ck_assert_ptr_nonnull(strstr(text, "400030.0000, 4980020.0000"));
    ck_assert_ptr_nonnull(strstr(text, "EPSG::32620"));
    end();
}
END_TEST

static const struct {
    const char *find, *put;
    gw_status status;
    const char *piece;
} BAD_WORLD[] = {
    {"FeatureCollection", "Feature", GW_ERR_TYPE, "FeatureCollection"},
    {"\"kind\": \"boundary\"", "\"kind\": \"boundry\"", GW_ERR_MISSING, "boundary"},
    {"\"kind\": \"entry\"", "\"kind\": \"boundary\"", GW_ERR_KEY, "second boundary"},
    {"\"kind\": \"well\"", "\"kind\": \"wel\"", GW_ERR_KEY, "well"},
    {"\"kind\": \"well\", ", "", GW_ERR_MISSING, "old"},
    {"\"radius_m\": 0.1", "\"radius_m\": \"4 in\"", GW_ERR_TYPE, "number in metres"},
    {"[-64.5, 45.001], ", "", GW_ERR_GEOMETRY, "crosses"},
    {", [-64.5, 45.0]]]", "]]", GW_ERR_GEOMETRY, "not closed"},
    {"[-64.4992, 45.0002, 31.5]", "[-64.4, 45.2]", GW_ERR_RANGE, "within 5 km"},
    {"[-64.4992, 45.0002, 31.5]", "[400000, 4980000]", GW_ERR_RANGE, "degrees"},
    {"[-64.4992, 45.0002, 31.5]", "[\"a\", 1]", GW_ERR_TYPE, "two numbers"},
    {"[-64.4992, 45.0002, 31.5]", "[-64.502, 45.0002]", GW_ERR_GEOMETRY, "outside"},
    {"\"LineString\"", "\"MultiLineString\"", GW_ERR_TYPE, "MultiLineString"},
    {"\"type\": \"FeatureCollection\",", "\"type\": \"FeatureCollection\", \"crs\": \"EPSG:2056\",",
     GW_ERR_KEY, "EPSG:2056"},
    {"45.0]]]}}",
     "45.0]], [[-64.4996, 45.0003], [-64.4995, 45.0003], [-64.4995, 45.0004], "
     "[-64.4996, 45.0003]]]}}",
     GW_ERR_GEOMETRY, "hole"},
    {"]}}\n]}", "]}}\n]", GW_ERR_SYNTAX, "early"},
};

START_TEST(bad_geojson_is_named)
{
    begin();
    char *text = gw_arena_strdup(arena, replaced(WORLD, BAD_WORLD[_i].find, BAD_WORLD[_i].put));
    if (_i == 6) { // two corners exchanged
        text = gw_arena_strdup(arena, replaced(WORLD, "[-64.499, 45.0], [-64.499, 45.001]",
                                               "[-64.499, 45.001], [-64.499, 45.0]"));
    }
    gw_lot_geojson read;
    const gw_status st = gw_lot_from_geojson(arena, text, strlen(text), &read, &err);
    ck_assert_msg(st == BAD_WORLD[_i].status && strstr(err.text, BAD_WORLD[_i].piece) != NULL,
                  "%d: %s", (int)st, err.text);
    end();
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("lot in a job");
    TCase *const all = tcase_create("all");
    tcase_add_test(all, lot_is_read_and_rings_close);
    tcase_add_test(all, lot_written_and_read_again_is_the_same);
    tcase_add_loop_test(all, bad_lot_is_named, 0, (int)(sizeof BAD / sizeof BAD[0]));
    tcase_add_test(all, degrees_become_metres_on_the_touching_plane);
    tcase_add_test(all, geojson_comes_back);
    tcase_add_test(all, projected_metres_are_shifted_to_the_lot);
    tcase_add_loop_test(all, bad_geojson_is_named, 0,
                        (int)(sizeof BAD_WORLD / sizeof BAD_WORLD[0]));
    suite_add_tcase(suite, all);
    return harness_run(suite);
}
