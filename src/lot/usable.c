// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "lot/usable.h"

#include "lot/lot_geos.h"
#include "lot/plane.h"

#include <math.h>
#include <stdlib.h>

static const double WIDEST_HALF_M = 10;
static const double WIDEST_RIG_M = 20;
static const double LARGEST_CLEARANCE_M = 30;

static gw_status check_need(const gw_lot_need *need, gw_err *err)
{
    if ((unsigned)need->loop >= GW_LOT_LOOP_COUNT) {
        return gw_fail(err, GW_ERR_RANGE, "need.loop", "no such kind of loop");
    }
    if (!(need->half_width_m >= 0 && need->half_width_m <= WIDEST_HALF_M)) {
        return gw_fail(err, GW_ERR_RANGE, "need.half_width_m", "half width %g m must be 0 to %g m",
                       need->half_width_m, WIDEST_HALF_M);
    }
    if (!(need->least_area_m2 >= 0 && isfinite(need->least_area_m2))) {
        return gw_fail(err, GW_ERR_RANGE, "need.least_area_m2",
                       "least area %g m2 must be 0 or more", need->least_area_m2);
    }
    const gw_lot_rig *const rig = need->rig;
    if (rig == NULL) {
        return GW_OK;
    }
    if (!(rig->width_m > 0 && rig->width_m <= WIDEST_RIG_M)) {
        return gw_fail(err, GW_ERR_RANGE, "need.rig.width_m", "lane %g m must be over 0 to %g m",
                       rig->width_m, WIDEST_RIG_M);
    }
    if (!(rig->clearance_m >= 0 && rig->clearance_m <= LARGEST_CLEARANCE_M)) {
        return gw_fail(err, GW_ERR_RANGE, "need.rig.clearance_m",
                       "clearance %g m must be 0 to %g m", rig->clearance_m, LARGEST_CLEARANCE_M);
    }
    if (!isfinite(rig->enters_at.x_m) || !isfinite(rig->enters_at.y_m)) {
        return gw_fail(err, GW_ERR_RANGE, "need.rig.enters_at", "the entrance is not a place");
    }
    return GW_OK;
}

// ---- what blocks -----------------------------------------------------------------------------

static bool stands_under_mast(gw_lot_kind kind)
{
    return kind == GW_LOT_HOUSE || kind == GW_LOT_BUILDING || kind == GW_LOT_TREE ||
           kind == GW_LOT_POWER_LINE;
}

static bool stops_a_rig(gw_lot_kind kind)
{
    switch (kind) {
    case GW_LOT_HOUSE:
    case GW_LOT_BUILDING:
    case GW_LOT_SEPTIC_TANK:
    case GW_LOT_SEPTIC_FIELD:
    case GW_LOT_SEPTIC_RESERVE:
    case GW_LOT_WELL:
    case GW_LOT_TREE:
    case GW_LOT_STEEP_SLOPE:
    case GW_LOT_ROCK_OUTCROP:
    case GW_LOT_POND:
    case GW_LOT_WATERCOURSE:
        return true;
    case GW_LOT_DRIVEWAY:
    case GW_LOT_WATER_LINE:
    case GW_LOT_SEWER_LINE:
    case GW_LOT_GAS_LINE:
    case GW_LOT_POWER_LINE:
    case GW_LOT_TELECOM_LINE:
    case GW_LOT_DRAIN:
    case GW_LOT_EASEMENT:
    case GW_LOT_PROPERTY_LINE:
    case GW_LOT_KIND_COUNT:
        return false;
    }
    return false;
}

// Distance from a feature's core within which no centre line may lie, or -1: it asks for none.
static double reach_of(const gw_lot_site *site, const gw_lot_need *need,
                       const gw_lot_feature *feature)
{
    gw_lot_setback setback;
    double clear_m = -1;
    if (gw_lot_find_setback(site->rules, feature, need->loop, &setback)) {
        clear_m = setback.distance_m + need->half_width_m;
    }
    if (need->rig != NULL && stands_under_mast(feature->kind)) {
        clear_m = fmax(clear_m, need->rig->clearance_m);
    }
    return clear_m < 0 ? -1 : clear_m + feature->geometry.radius_m;
}

static double inset_of(const gw_lot_site *site, const gw_lot_need *need)
{
    gw_lot_setback setback;
    const bool asked = gw_lot_find_setback(site->rules, NULL, need->loop, &setback);
    return (asked ? setback.distance_m : 0) + need->half_width_m;
}

// The blockers, and which feature each one is (owners may be NULL).
static size_t list_blockers(const gw_lot_site *site, const gw_lot_need *need,
                            gw_lot_blocker *blockers, long *owners)
{
    size_t count = 0;
    for (size_t i = 0; i < site->lot->count; i++) {
        const gw_lot_feature *const feature = &site->lot->features[i];
        const double reach_m = reach_of(site, need, feature);
        if (reach_m < 0 || (reach_m == 0 && feature->geometry.shape != GW_LOT_POLYGON)) {
            continue;
        }
        blockers[count] = (gw_lot_blocker){&feature->geometry, reach_m};
        if (owners != NULL) {
            owners[count] = (long)i;
        }
        count++;
    }
    return count;
}

static gw_lot_blocker *make_blockers(gw_arena *arena, const gw_lot *lot, gw_err *err)
{
    gw_lot_blocker *const blockers = gw_arena_alloc(arena, lot->count, sizeof *blockers);
    if (blockers == NULL) {
        (void)gw_fail(err, GW_ERR_NOMEM, "lot", "no memory for %zu features", lot->count);
    }
    return blockers;
}

// ---- where a rig can drive -------------------------------------------------------------------

// The connected ground a rig reaches from its entrance. Its lane may touch the boundary, so the
// boundary is not taken in.
static gw_status find_drivable(gw_arena *arena, const gw_lot_site *site, const gw_lot_rig *rig,
                               gw_lot_region *out, gw_err *err)
{
    gw_lot_blocker *const blockers = make_blockers(arena, site->lot, err);
    if (blockers == NULL) {
        return GW_ERR_NOMEM;
    }
    size_t count = 0;
    for (size_t i = 0; i < site->lot->count; i++) {
        const gw_lot_feature *const feature = &site->lot->features[i];
        if (stops_a_rig(feature->kind)) {
            blockers[count++] = (gw_lot_blocker){&feature->geometry,
                                                 feature->geometry.radius_m + 0.5 * rig->width_m};
        }
    }
    const gw_lot_cut cut = {.boundary = &site->lot->boundary, .blockers = blockers, .count = count};
    gw_lot_region open;
    const gw_status st = gw_lot_geos_cut(arena, &cut, &open, err);
    if (st != GW_OK) {
        return st;
    }
    for (size_t i = 0; i < open.count; i++) {
        const gw_lot_region piece = {&open.polygons[i], 1, open.polygons[i].area_m2};
        const gw_lot_point near = gw_lot_nearest_on_region(&piece, rig->enters_at);
        if (gw_lot_region_contains(&piece, rig->enters_at) ||
            gw_lot_distance_m(near, rig->enters_at) <= rig->width_m) {
            *out = piece;
            return GW_OK;
        }
    }
    return gw_fail(err, GW_ERR_GEOMETRY, "need.rig.enters_at",
                   "no ground a rig %.1f m wide can drive on begins at (%.2f, %.2f) m",
                   rig->width_m, rig->enters_at.x_m, rig->enters_at.y_m);
}

// ---- the public face -------------------------------------------------------------------------

gw_status gw_lot_find_usable(gw_arena *arena, const gw_lot_site *site, const gw_lot_need *need,
                             gw_lot_region *out, gw_err *err)
{
    gw_status st = check_need(need, err);
    if (st != GW_OK) {
        return st;
    }
    gw_lot_blocker *const blockers = make_blockers(arena, site->lot, err);
    if (blockers == NULL) {
        return GW_ERR_NOMEM;
    }
    const gw_lot_cut cut = {
        .boundary = &site->lot->boundary,
        .inset_m = inset_of(site, need),
        .blockers = blockers,
        .count = list_blockers(site, need, blockers, NULL),
        .least_area_m2 = need->least_area_m2,
    };
    st = gw_lot_geos_cut(arena, &cut, out, err);
    if (st != GW_OK || need->rig == NULL || out->count == 0) {
        return st;
    }
    gw_lot_region drivable;
    st = find_drivable(arena, site, need->rig, &drivable, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_lot_region before = *out;
    return gw_lot_geos_common(arena, &before, &drivable, out, err);
}

// Largest first; the property line, then the order of the lot, breaks ties.
static int by_area(const void *left, const void *right)
{
    const gw_lot_taker *const a = left;
    const gw_lot_taker *const b = right;
    if (a->area_m2 != b->area_m2) {
        return a->area_m2 < b->area_m2 ? 1 : -1;
    }
    return (a->feature > b->feature) - (a->feature < b->feature);
}

static const char *taker_name(const gw_lot *lot, const gw_lot_taker *taker)
{
    return taker->feature == GW_LOT_NO_FEATURE
               ? "the property line"
               : gw_lot_feature_name(&lot->features[taker->feature]);
}

static const char *tell_shares(gw_arena *arena, const gw_lot *lot, const gw_lot_shares *shares)
{
    const char *const whole = gw_arena_printf(arena, "%.0f m2 of %.0f m2 can take the loop",
                                              shares->usable_area_m2, shares->lot_area_m2);
    if (whole == NULL || shares->count == 0) {
        return whole;
    }
    const char *text = gw_arena_printf(arena, "%s; most is taken, setbacks included, by", whole);
    for (size_t i = 0; i < shares->count && i < 3 && text != NULL; i++) {
        const gw_lot_taker *const taker = &shares->takers[i];
        text = gw_arena_printf(arena, "%s%s %s (%.0f m2)", text, i == 0 ? "" : ",",
                               taker_name(lot, taker), taker->area_m2);
    }
    return text;
}

// takers[0] is the property line's place; owners and taken are by blocker.
static void fill_takers(const gw_lot_cut *cut, const long *owners, const double *taken_m2,
                        gw_lot_taker *takers, gw_lot_shares *out)
{
    const double strip_m2 = takers[0].area_m2;
    takers[0] = (gw_lot_taker){GW_LOT_NO_FEATURE, strip_m2, strip_m2 / out->lot_area_m2};
    out->count = strip_m2 > 0 ? 1 : 0;
    for (size_t i = 0; i < cut->count; i++) {
        if (taken_m2[i] > 0) {
            takers[out->count++] =
                (gw_lot_taker){owners[i], taken_m2[i], taken_m2[i] / out->lot_area_m2};
        }
    }
    qsort(takers, out->count, sizeof *takers, by_area);
    out->takers = takers;
}

static gw_status fill_shares(gw_arena *arena, const gw_lot_cut *cut, const long *owners,
                             gw_lot_shares *out, gw_err *err)
{
    double *const taken_m2 = gw_arena_alloc(arena, cut->count, sizeof *taken_m2);
    gw_lot_taker *const takers = gw_arena_alloc(arena, cut->count + 1, sizeof *takers);
    if (taken_m2 == NULL || takers == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "lot", "no memory for %zu features", cut->count);
    }
    double inset_m2 = 0;
    // Each thing's share is of the whole lot, not of what the property line has left.
    const gw_lot_cut whole = {
        .boundary = cut->boundary, .blockers = cut->blockers, .count = cut->count};
    const gw_lot_cut strip = {.boundary = cut->boundary, .inset_m = cut->inset_m};
    gw_status st = gw_lot_geos_shares(&whole, taken_m2, &out->lot_area_m2, err);
    if (st == GW_OK) {
        st = gw_lot_geos_shares(&strip, NULL, &inset_m2, err);
    }
    if (st != GW_OK) {
        return st;
    }
    takers[0].area_m2 = out->lot_area_m2 - inset_m2;
    fill_takers(cut, owners, taken_m2, takers, out);
    return GW_OK;
}

gw_status gw_lot_find_shares(gw_arena *arena, const gw_lot_site *site, const gw_lot_need *need,
                             gw_lot_shares *out, gw_err *err)
{
    *out = (gw_lot_shares){0};
    gw_lot_need plain = *need;
    plain.rig = NULL;
    gw_lot_region usable;
    gw_status st = gw_lot_find_usable(arena, site, &plain, &usable, err);
    if (st != GW_OK) {
        return st;
    }
    gw_lot_blocker *const blockers = make_blockers(arena, site->lot, err);
    long *const owners = gw_arena_alloc(arena, site->lot->count, sizeof *owners);
    if (blockers == NULL || owners == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "lot", "no memory for %zu features", site->lot->count);
    }
    const gw_lot_cut cut = {
        .boundary = &site->lot->boundary,
        .inset_m = inset_of(site, &plain),
        .blockers = blockers,
        .count = list_blockers(site, &plain, blockers, owners),
    };
    st = fill_shares(arena, &cut, owners, out, err);
    if (st != GW_OK) {
        return st;
    }
    out->usable_area_m2 = usable.area_m2;
    out->text = tell_shares(arena, site->lot, out);
    return out->text != NULL ? GW_OK
                             : gw_fail(err, GW_ERR_NOMEM, "lot", "no memory for a sentence");
}
