// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "lot/spread.h"

#include "base/random.h"
#include "lot/plane.h"

#include <math.h>
#include <string.h>

enum { DIRECTIONS = 8, RANDOM_STARTS = 6, MOST_EXCHANGES = 200, START_POINTS = 240 };
static const double GAIN_M = 1e-9; // an exchange must widen the closest pair by more

static double square_m2(gw_lot_point a, gw_lot_point b)
{
    const double dx_m = b.x_m - a.x_m;
    const double dy_m = b.y_m - a.y_m;
    return dx_m * dx_m + dy_m * dy_m;
}

double gw_lot_spread_nearest_m(const gw_lot_candidates *from, const gw_lot_point *points,
                               size_t count, size_t index)
{
    double least_m2 = HUGE_VAL;
    for (size_t i = 0; i < count; i++) {
        if (i != index) {
            least_m2 = fmin(least_m2, square_m2(points[i], points[index]));
        }
    }
    for (size_t i = 0; i < from->fixed_count; i++) {
        least_m2 = fmin(least_m2, square_m2(from->fixed[i], points[index]));
    }
    return sqrt(least_m2);
}

double gw_lot_spread_least_m(const gw_lot_candidates *from, const gw_lot_point *points,
                             size_t count)
{
    double least_m = HUGE_VAL;
    for (size_t i = 0; i < count; i++) {
        least_m = fmin(least_m, gw_lot_spread_nearest_m(from, points, count, i));
    }
    return least_m;
}

// Squared distance of each candidate to what stands already.
static void lower_to(const gw_lot_candidates *from, gw_lot_point p, double *near_m2)
{
    for (size_t c = 0; c < from->count; c++) {
        near_m2[c] = fmin(near_m2[c], square_m2(from->points[c], p));
    }
}

static size_t farthest(const double *near_m2, size_t count)
{
    size_t best = 0;
    for (size_t c = 1; c < count; c++) {
        if (near_m2[c] > near_m2[best]) {
            best = c;
        }
    }
    return best;
}

static void start_near(const gw_lot_candidates *from, double *near_m2)
{
    for (size_t c = 0; c < from->count; c++) {
        near_m2[c] = HUGE_VAL;
    }
    for (size_t i = 0; i < from->fixed_count; i++) {
        lower_to(from, from->fixed[i], near_m2);
    }
}

static void insert_all(const gw_lot_candidates *from, size_t wanted, gw_lot_point first,
                       gw_lot_point *chosen, double *near_m2)
{
    start_near(from, near_m2);
    chosen[0] = first;
    for (size_t n = 1; n < wanted; n++) {
        lower_to(from, chosen[n - 1], near_m2);
        chosen[n] = from->points[farthest(near_m2, from->count)];
    }
}

// The candidate that stands farthest from everything but chosen[left_out].
static gw_lot_point best_place(const gw_lot_candidates *from, const gw_lot_point *chosen,
                               size_t wanted, size_t left_out, double *near_m2)
{
    start_near(from, near_m2);
    for (size_t i = 0; i < wanted; i++) {
        if (i != left_out) {
            lower_to(from, chosen[i], near_m2);
        }
    }
    return from->points[farthest(near_m2, from->count)];
}

// Moves one of the points that stand at the least distance to where it stands farther; false when
// none can be moved with gain.
static bool exchange_one(const gw_lot_candidates *from, size_t wanted, gw_lot_point *chosen,
                         double *near_m2)
{
    const double least_m = gw_lot_spread_least_m(from, chosen, wanted);
    for (size_t i = 0; i < wanted; i++) {
        if (gw_lot_spread_nearest_m(from, chosen, wanted, i) > least_m + GAIN_M) {
            continue;
        }
        const gw_lot_point keep = chosen[i];
        chosen[i] = best_place(from, chosen, wanted, i, near_m2);
        if (gw_lot_spread_nearest_m(from, chosen, wanted, i) > least_m + GAIN_M) {
            return true;
        }
        chosen[i] = keep;
    }
    return false;
}

static gw_lot_point middle_of(const gw_lot_candidates *from)
{
    gw_lot_point sum = {0, 0};
    for (size_t c = 0; c < from->count; c++) {
        sum.x_m += from->points[c].x_m - from->points[0].x_m;
        sum.y_m += from->points[c].y_m - from->points[0].y_m;
    }
    const double n = (double)from->count;
    return (gw_lot_point){from->points[0].x_m + sum.x_m / n, from->points[0].y_m + sum.y_m / n};
}

// Start number k: the candidate farthest out in one of eight directions (turned with the first
// candidate, so that a turned lot starts alike), the one nearest the middle, then random ones.
static gw_lot_point start_of(const gw_lot_candidates *from, size_t k, gw_random *random)
{
    const gw_lot_point middle = middle_of(from);
    const gw_lot_point first = from->points[0];
    if (k > DIRECTIONS) {
        const double pick = gw_random_uniform(random) * (double)from->count;
        return from->points[(size_t)pick];
    }
    const double turn_rad = atan2(first.y_m - middle.y_m, first.x_m - middle.x_m) +
                            (double)k * 2 * acos(-1.0) / DIRECTIONS;
    size_t best = 0;
    double best_m = -HUGE_VAL;
    for (size_t c = 0; c < from->count; c++) {
        const double x_m = from->points[c].x_m - middle.x_m;
        const double y_m = from->points[c].y_m - middle.y_m;
        const double far_m =
            k == DIRECTIONS ? -hypot(x_m, y_m) : x_m * cos(turn_rad) + y_m * sin(turn_rad);
        if (far_m > best_m + GAIN_M) {
            best_m = far_m;
            best = c;
        }
    }
    return from->points[best];
}

gw_status gw_lot_spread(gw_arena *arena, const gw_lot_candidates *from, size_t wanted,
                        gw_lot_point *chosen, gw_err *err)
{
    double *const near_m2 = gw_arena_alloc(arena, from->count, sizeof *near_m2);
    gw_lot_point *const trial = gw_arena_alloc(arena, wanted, sizeof *trial);
    if (near_m2 == NULL || trial == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "lot", "no memory for %zu candidates", from->count);
    }
    gw_random random;
    gw_random_init(&random, 1);
    double best_m = -1;
    // Large fields get fewer starts: the work grows with the square of their number.
    const size_t all = DIRECTIONS + 1 + RANDOM_STARTS;
    const size_t starts = wanted * all <= START_POINTS ? all : START_POINTS / wanted + 1;
    for (size_t k = 0; k < starts; k++) {
        insert_all(from, wanted, start_of(from, k, &random), trial, near_m2);
        for (size_t n = 0; n < MOST_EXCHANGES; n++) {
            if (!exchange_one(from, wanted, trial, near_m2)) {
                break;
            }
        }
        const double least_m = gw_lot_spread_least_m(from, trial, wanted);
        if (least_m > best_m + GAIN_M) {
            best_m = least_m;
            memcpy(chosen, trial, wanted * sizeof *trial);
        }
    }
    return GW_OK;
}
