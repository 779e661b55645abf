// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private: "lot" and "neighbours" of one loop as JSON, null when the job describes no lot.
#ifndef GW_DESIGN_LOT_JSON_H
#define GW_DESIGN_LOT_JSON_H

#include "design/design.h"

#include <jansson.h>

void gw_design_json_lot(json_t *object, const gw_design *design, const gw_design_loop *loop);

#endif
