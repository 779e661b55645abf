// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "design/lot_json.h"

#include <math.h>

static json_t *number(double value)
{
    return isfinite(value) ? json_real(value) : json_null();
}

static json_t *text(const char *s)
{
    return s != NULL ? json_string(s) : json_null();
}

static json_t *point(gw_lot_point p)
{
    json_t *const row = json_array();
    json_array_append_new(row, number(p.x_m));
    json_array_append_new(row, number(p.y_m));
    return row;
}

static json_t *path(const gw_lot_path *p)
{
    json_t *const list = json_array();
    for (size_t i = 0; i < p->count; i++) {
        json_array_append_new(list, point(p->points[i]));
    }
    return list;
}

// Rings of the usable ground, outer first: [[[x, y], …], …] per piece.
static json_t *region(const gw_lot_region *r)
{
    json_t *const list = json_array();
    for (size_t i = 0; i < r->count; i++) {
        const gw_lot_polygon *const p = &r->polygons[i];
        json_t *const rings = json_array();
        json_array_append_new(rings, path(&p->outer));
        for (size_t k = 0; k < p->hole_count; k++) {
            json_array_append_new(rings, path(&p->holes[k]));
        }
        json_array_append_new(list, rings);
    }
    return list;
}

static const char *feature_id(const gw_design *design, long index)
{
    return index == GW_LOT_NO_FEATURE ? NULL : design->job->lot->lot.features[index].id;
}

static json_t *takers(const gw_design *design, const gw_lot_shares *s)
{
    json_t *const list = json_array();
    for (size_t i = 0; i < s->count; i++) {
        json_t *const row = json_object();
        json_object_set_new(row, "feature", text(feature_id(design, s->takers[i].feature)));
        json_object_set_new(row, "area_m2", number(s->takers[i].area_m2));
        json_object_set_new(row, "area_frac", number(s->takers[i].area_frac));
        json_array_append_new(list, row);
    }
    return list;
}

static json_t *violations(const gw_design *design, const gw_design_on_lot *on)
{
    json_t *const list = json_array();
    for (size_t i = 0; i < on->violations.count; i++) {
        const gw_lot_violation *const v = &on->violations.items[i];
        json_t *const row = json_object();
        json_object_set_new(row, "item", text(on->items.items[v->item].name));
        json_object_set_new(row, "feature", text(feature_id(design, v->feature)));
        json_object_set_new(row, "found_m", number(v->found_m));
        json_object_set_new(row, "required_m", number(v->required_m));
        json_object_set_new(row, "source",
                            text(v->setback.rule != NULL ? v->setback.rule->source : NULL));
        json_object_set_new(row, "from", point(v->at_item));
        json_object_set_new(row, "to", point(v->at_feature));
        json_object_set_new(row, "text", text(v->text));
        json_array_append_new(list, row);
    }
    return list;
}

static json_t *items(const gw_design_on_lot *on)
{
    static const char *const SHAPES[] = {"polygon", "line", "circle"};
    json_t *const list = json_array();
    for (size_t i = 0; i < on->items.count; i++) {
        const gw_lot_item *const item = &on->items.items[i];
        json_t *const row = json_object();
        json_object_set_new(row, "name", text(item->name));
        json_object_set_new(row, "kind", text(gw_lot_loop_name(item->loop)));
        json_object_set_new(row, "shape", text(SHAPES[item->geometry.shape]));
        json_object_set_new(row, "points", path(&item->geometry.path));
        json_object_set_new(row, "radius_m", number(item->geometry.radius_m));
        json_object_set_new(row, "deep", json_boolean(item->deep));
        json_array_append_new(list, row);
    }
    return list;
}

static json_t *header(const gw_design_on_lot *on)
{
    if (!on->has_header) {
        return json_null();
    }
    json_t *const o = json_object();
    json_t *const legs = json_array();
    for (size_t i = 0; i < on->header.count; i++) {
        json_array_append_new(legs, path(&on->header.legs[i].route.path));
    }
    json_object_set_new(o, "length_m", number(on->header.length_m));
    json_object_set_new(o, "legs", legs);
    return o;
}

static json_t *lot(const gw_design *design, const gw_design_on_lot *on)
{
    json_t *const o = json_object();
    json_object_set_new(o, "placed", json_boolean(on->placed));
    json_object_set_new(o, "by_hand", json_boolean(on->by_hand));
    json_object_set_new(o, "fits", json_boolean(on->fits));
    json_object_set_new(o, "placing", text(on->placing));
    json_object_set_new(o, "spacing_m", number(on->spacing_m));
    json_object_set_new(o, "lot_m2", number(on->shares.lot_area_m2));
    json_object_set_new(o, "usable_m2", number(on->usable_m2));
    json_object_set_new(o, "usable", region(&on->usable));
    json_object_set_new(o, "taken_by", takers(design, &on->shares));
    json_object_set_new(o, "items", items(on));
    json_object_set_new(o, "header", header(on));
    json_object_set_new(o, "no_header", text(on->has_header ? NULL : on->no_header));
    json_object_set_new(o, "violations", violations(design, on));
    return o;
}

// ---- neighbours ---------------------------------------------------------------------------------

static json_t *day(const gw_design_day *d)
{
    json_t *const o = json_object();
    json_object_set_new(o, "degc", number(d->degc));
    json_object_set_new(o, "year", json_integer((json_int_t)d->year));
    json_object_set_new(o, "day_of_year", json_integer((json_int_t)d->day));
    return o;
}

// Hundredths as whole numbers: 300 months of twenty things stay readable.
static json_t *hundredths(const double *values, size_t count)
{
    json_t *const list = json_array();
    for (size_t i = 0; i < count; i++) {
        json_array_append_new(list, json_integer((json_int_t)lround(100.0 * values[i])));
    }
    return list;
}

static json_t *neighbour(const gw_design *design, const gw_design_neighbour *n, size_t months)
{
    json_t *const o = json_object();
    json_object_set_new(o, "name", text(n->name));
    json_object_set_new(o, "kind", text(gw_lot_kind_name(n->kind)));
    json_object_set_new(o, "feature", text(feature_id(design, n->feature)));
    json_object_set_new(o, "at", point((gw_lot_point){n->at.x_m, n->at.y_m}));
    json_object_set_new(o, "depth_m", number(n->at.z_m));
    json_object_set_new(o, "depth_usual", json_boolean(n->depth_usual));
    json_object_set_new(o, "distance_m", number(n->distance_m));
    json_object_set_new(o, "state", text(n->fails ? "fails" : n->mind ? "caution" : "holds"));
    json_object_set_new(o, "because", text(n->because));
    json_object_set_new(o, "coldest", day(&n->coldest));
    json_object_set_new(o, "coldest_without", day(&n->coldest_without));
    json_object_set_new(o, "greatest_drop_k", number(n->greatest_drop_k));
    json_object_set_new(o, "greatest_month", json_integer((json_int_t)n->greatest_month));
    json_object_set_new(o, "frost_days", json_integer((json_int_t)n->frost_days));
    json_object_set_new(o, "frost_days_without", json_integer((json_int_t)n->frost_days_without));
    json_object_set_new(o, "months_centidegc", hundredths(n->degc, months));
    json_object_set_new(o, "months_drop_centik", hundredths(n->drop_k, months));
    return o;
}

void gw_design_json_lot(json_t *object, const gw_design *design, const gw_design_loop *loop)
{
    if (loop->on_lot == NULL) {
        json_object_set_new(object, "lot", json_null());
        json_object_set_new(object, "neighbours", json_null());
        return;
    }
    json_t *const list = json_array();
    for (size_t i = 0; i < loop->neighbours.count; i++) {
        json_array_append_new(
            list, neighbour(design, &loop->neighbours.items[i], loop->neighbours.months));
    }
    json_object_set_new(object, "lot", lot(design, loop->on_lot));
    json_object_set_new(object, "neighbours", list);
}
