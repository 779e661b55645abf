// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the room: what the table of kinds says about a kind.
#ifndef GW_LOT_KINDS_H
#define GW_LOT_KINDS_H

#include "lot/lot.h"

bool gw_lot_kind_takes(gw_lot_kind kind, gw_lot_shape shape);
bool gw_lot_kind_stays_inside(gw_lot_kind kind);

#endif
