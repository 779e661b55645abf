// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What the tests of the lot share: shapes in one line, the shipped rules, turning a lot.
#ifndef GW_TEST_LOTS_H
#define GW_TEST_LOTS_H

#include "base/builtin.h"
#include "harness.h"
#include "lot/plane.h"
#include "lot/setback.h"
#include "lot/usable.h"
#include "lot/violation.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846
#define NOT_A_NUMBER ((double)NAN)

static gw_arena *arena;
static gw_err err;

static inline void begin(void)
{
    arena = gw_arena_create(0);
    memset(&err, 0, sizeof err);
}

static inline void end(void)
{
    gw_arena_destroy(arena);
}

static inline gw_lot_path path_of(const double *xy, size_t count)
{
    gw_lot_point *const points = gw_arena_alloc(arena, count, sizeof *points);
    for (size_t i = 0; i < count; i++) {
        points[i] = (gw_lot_point){xy[2 * i], xy[2 * i + 1]};
    }
    return (gw_lot_path){points, count};
}

#define PATH(...) path_of((const double[]){__VA_ARGS__}, sizeof((const double[]){__VA_ARGS__}) / 16)

static inline gw_lot_path box_path(double west, double south, double east, double north)
{
    return PATH(west, south, east, south, east, north, west, north, west, south);
}

static inline gw_lot_geometry box_shape(double west, double south, double east, double north)
{
    return (gw_lot_geometry){GW_LOT_POLYGON, box_path(west, south, east, north), 0};
}

static inline gw_lot_geometry disc(double x, double y, double radius)
{
    return (gw_lot_geometry){GW_LOT_CIRCLE, PATH(x, y), radius};
}

static inline gw_lot_geometry line(double ax, double ay, double bx, double by, double half)
{
    return (gw_lot_geometry){GW_LOT_LINE, PATH(ax, ay, bx, by), half};
}

// A rule for every kind of loop.
static inline gw_lot_rule rule(gw_lot_kind kind, double distance)
{
    return (gw_lot_rule){.jurisdiction = "typical",
                         .kind = kind,
                         .loops = {true, true, true, true, true},
                         .distance_m = distance,
                         .source = "test"};
}

static inline gw_lot_rules shipped(void)
{
    gw_builtin_file file;
    gw_table table;
    gw_lot_rules rules;
    ck_assert(gw_builtin("setbacks.csv", &file));
    ck_assert_int_eq(gw_table_read(arena, file.name, file.text, file.length, &table, &err), GW_OK);
    ck_assert_msg(gw_lot_rules_read(arena, &table, &rules, &err) == GW_OK, "line %d: %s", err.line,
                  err.text);
    return rules;
}

static inline gw_lot_point turn(gw_lot_point p, double angle, double dx, double dy)
{
    return (gw_lot_point){p.x_m * cos(angle) - p.y_m * sin(angle) + dx,
                          p.x_m * sin(angle) + p.y_m * cos(angle) + dy};
}

static inline gw_lot_path turn_path(const gw_lot_path *path, double angle, double dx, double dy)
{
    gw_lot_point *const points = gw_arena_alloc(arena, path->count, sizeof *points);
    for (size_t i = 0; i < path->count; i++) {
        points[i] = turn(path->points[i], angle, dx, dy);
    }
    return (gw_lot_path){points, path->count};
}

static inline gw_lot turn_lot(const gw_lot *lot, double angle, double dx, double dy)
{
    gw_lot_feature *const features = gw_arena_alloc(arena, lot->count, sizeof *features);
    for (size_t i = 0; i < lot->count; i++) {
        features[i] = lot->features[i];
        features[i].geometry.path = turn_path(&lot->features[i].geometry.path, angle, dx, dy);
    }
    return (gw_lot){turn_path(&lot->boundary, angle, dx, dy), features, lot->count};
}

// A region of one polygon without holes.
static inline gw_lot_region ground_of(gw_lot_path ring)
{
    gw_lot_polygon *const polygon = gw_arena_alloc(arena, 1, sizeof *polygon);
    *polygon = (gw_lot_polygon){.outer = ring, .area_m2 = gw_lot_ring_area_m2(&ring)};
    ck_assert(polygon->area_m2 > 0);
    return (gw_lot_region){polygon, 1, polygon->area_m2};
}

#endif
