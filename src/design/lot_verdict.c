// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Verdicts on where the loop lies and on what it does to the things around it.
#include "design/lot_priv.h"

#include <math.h>
#include <string.h>

enum { VIOLATIONS_SHOWN = 12, OTHERS = 4 };

typedef struct {
    gw_design_priv *d;
    gw_verdict *items;
    size_t count;
} bench;

static void add(bench *b, gw_verdict v)
{
    b->items[b->count++] = v;
}

static const char *thing_of(const gw_design_priv *d, const gw_lot_violation *v)
{
    return v->feature == GW_LOT_NO_FEATURE
               ? "the property line"
               : gw_lot_feature_name(&d->input->job->lot->lot.features[v->feature]);
}

static void room_verdict(bench *b, const gw_design_on_lot *on)
{
    if (!on->placed) {
        return;
    }
    const char *const what = "usable ground for this loop on the lot";
    const char *const shares = on->shares.text != NULL ? on->shares.text : "";
    add(b, (gw_verdict){.state = on->fits ? GW_VERDICT_HOLDS : GW_VERDICT_FAILS,
                        .what = what,
                        .kind = GW_QTY_AREA,
                        .found = on->usable_m2,
                        .because = gw_arena_printf(
                            b->d->arena, "%s%s; %s", on->fits ? "" : "the lot is too small: ",
                            on->placing != NULL ? on->placing : "", shares)});
    if (on->fits && on->spacing_m > 0.0 && on->spacing_m < on->wanted_spacing_m - 0.01) {
        add(b, (gw_verdict){.state = GW_VERDICT_CAUTION,
                            .what = "least distance between bores on this lot",
                            .kind = GW_QTY_LENGTH,
                            .found = on->spacing_m,
                            .side = GW_LIMIT_AT_LEAST,
                            .limit = on->wanted_spacing_m,
                            .because = "the usable ground does not take the spacing that the plan "
                                       "asks; the loop is sized at this one"});
    }
    if (on->fits && !on->has_header) {
        add(b, (gw_verdict){.state = GW_VERDICT_CAUTION,
                            .what = "header to the house",
                            .kind = GW_QTY_LENGTH,
                            .found = 0.0,
                            .because = gw_arena_printf(
                                b->d->arena,
                                "no allowed way was found: %s. The length of the plan is kept",
                                on->no_header != NULL ? on->no_header : "unknown")});
    }
}

static void distance_verdicts(bench *b, const gw_design_on_lot *on)
{
    const size_t shown =
        on->violations.count < VIOLATIONS_SHOWN ? on->violations.count : VIOLATIONS_SHOWN;
    for (size_t i = 0; i < shown; i++) {
        const gw_lot_violation *const v = &on->violations.items[i];
        const bool more = i + 1 == shown && on->violations.count > shown;
        add(b, (gw_verdict){
                   .state = GW_VERDICT_FAILS,
                   .what = gw_arena_printf(b->d->arena, "distance to %.44s", thing_of(b->d, v)),
                   .kind = GW_QTY_LENGTH,
                   .found = v->found_m,
                   .side = GW_LIMIT_AT_LEAST,
                   .limit = v->required_m,
                   .because = more ? gw_arena_printf(b->d->arena,
                                                     "%s; and %zu more distances are "
                                                     "broken",
                                                     v->text, on->violations.count - shown)
                                   : v->text});
    }
}

static void neighbour_verdicts(bench *b, const gw_design_neighbours *all)
{
    for (size_t i = 0; i < all->count; i++) {
        const gw_design_neighbour *const n = &all->items[i];
        add(b,
            (gw_verdict){.state = n->fails  ? GW_VERDICT_FAILS
                                  : n->mind ? GW_VERDICT_CAUTION
                                            : GW_VERDICT_HOLDS,
                         .what = gw_arena_printf(b->d->arena, "ground colder at %.40s by", n->name),
                         .kind = GW_QTY_TEMPERATURE_DIFFERENCE,
                         .found = n->greatest_drop_k,
                         .because = n->because});
    }
}

gw_status gw_design_priv_judge_lot(gw_design_priv *d, gw_design_loop *loop)
{
    const gw_design_on_lot *const on = loop->on_lot;
    if (on == NULL) {
        return GW_OK;
    }
    const gw_verdict_list *const before = &loop->verdicts;
    const size_t room = before->count + loop->neighbours.count + VIOLATIONS_SHOWN + OTHERS;
    bench b = {.d = d, .items = gw_arena_alloc(d->arena, room, sizeof *b.items)};
    if (b.items == NULL) {
        return gw_fail(d->err, GW_ERR_NOMEM, "lot", "out of memory judging the loop on its lot");
    }
    memcpy(b.items, before->items, before->count * sizeof *b.items);
    b.count = before->count;
    room_verdict(&b, on);
    distance_verdicts(&b, on);
    neighbour_verdicts(&b, &loop->neighbours);
    for (size_t i = before->count; i < b.count; i++) {
        if (b.items[i].because == NULL || b.items[i].what == NULL) {
            return gw_fail(d->err, GW_ERR_NOMEM, "lot", "out of memory judging the loop");
        }
        if (b.items[i].state > loop->verdicts.worst) {
            loop->verdicts.worst = b.items[i].state;
        }
    }
    loop->verdicts.items = b.items;
    loop->verdicts.count = b.count;
    loop->fits_lot = on->fits && on->violations.count == 0;
    loop->stands = loop->stands && loop->verdicts.worst != GW_VERDICT_FAILS;
    return GW_OK;
}
