// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "lot/kinds.h"

#include "base/text.h"

#include <string.h>

typedef struct {
    const char *name;
    const char *shapes;
    bool inside;
} kind_row;

static const kind_row KINDS[GW_LOT_KIND_COUNT] = {
#define X(kind, name, shapes, inside) [kind] = {name, shapes, inside},
    GW_LOT_KIND_LIST(X)
#undef X
        [GW_LOT_PROPERTY_LINE] = {"property_line", "", false},
};

const char *gw_lot_kind_name(gw_lot_kind kind)
{
    return (unsigned)kind < GW_LOT_KIND_COUNT ? KINDS[kind].name : "unknown";
}

gw_status gw_lot_kind_find(const char *name, gw_lot_kind *out, gw_err *err)
{
    const char *names[GW_LOT_KIND_COUNT];
    for (size_t i = 0; i < GW_LOT_KIND_COUNT; i++) {
        names[i] = KINDS[i].name;
        if (strcmp(name, names[i]) == 0) {
            *out = (gw_lot_kind)i;
            return GW_OK;
        }
    }
    const size_t near = gw_text_nearest(name, names, GW_LOT_KIND_COUNT);
    if (near < GW_LOT_KIND_COUNT) {
        return gw_fail(err, GW_ERR_KEY, "kind",
                       "no kind of feature is called \"%s\"; did you mean \"%s\"?", name,
                       names[near]);
    }
    return gw_fail(err, GW_ERR_KEY, "kind", "no kind of feature is called \"%s\"", name);
}

const char *gw_lot_feature_name(const gw_lot_feature *feature)
{
    return feature->name != NULL && feature->name[0] != '\0' ? feature->name
                                                             : gw_lot_kind_name(feature->kind);
}

bool gw_lot_kind_takes(gw_lot_kind kind, gw_lot_shape shape)
{
    static const char LETTERS[] = {
        [GW_LOT_POLYGON] = 'P', [GW_LOT_LINE] = 'L', [GW_LOT_CIRCLE] = 'C'};
    return (unsigned)kind < GW_LOT_KIND_COUNT && (unsigned)shape < sizeof LETTERS &&
           strchr(KINDS[kind].shapes, LETTERS[shape]) != NULL;
}

bool gw_lot_kind_stays_inside(gw_lot_kind kind)
{
    return KINDS[kind].inside;
}
