// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private: the times at which responses are taken, and what each weighs in each wanted drop.
#ifndef GW_LOOP_GROUND_AT_PRIV_H
#define GW_LOOP_GROUND_AT_PRIV_H

#include "loop/ground_at.h"

enum { GW_GROUND_NODES_MAX = 64 };

typedef struct {
    double times_s[GW_GROUND_NODES_MAX];
    size_t count;
    double *weight_w_m; // [span_count × count] drop = Σ weight × response at the node
} gw_ground_nodes;

// Checks past and spans, lays the nodes and finds the weights.
gw_status gw_ground_priv_nodes(gw_arena *arena, const gw_ground_past *past,
                               const gw_ground_ask *ask, gw_ground_nodes *out,
                               gw_err *err) GW_MUST_USE;

#endif
