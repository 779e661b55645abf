// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Steady flow in a general network of nodes and links.
//
// It does not model valves that open and close. Method: global gradient algorithm (E. Todini and
// S. Pilati, 1988), Newton's method on all heads and flows together; the symmetric node matrix is
// solved by dense Cholesky (networks here have some tens of nodes, at most GW_PIPES_NODES_MAX).
//
//   const gw_network_node nodes[] = {{.has_head = true, .head_m = 20.3}, {.has_head = true}};
//   const gw_network_link links[] = {{.from = 0, .to = 1, .diameter_m = 0.08, .length_m = 100,
//                                     .roughness_m = 0.00024}};
//   const gw_network network = {nodes, 2, links, 1, 1000.0, 1.02e-3};
//   st = gw_pipes_solve_network(arena, &network, &solution, err);
#ifndef GW_PIPES_NETWORK_H
#define GW_PIPES_NETWORK_H

#include "base/arena.h"
#include "base/err.h"

#include <stdbool.h>
#include <stddef.h>

enum { GW_PIPES_NODES_MAX = 400 };

typedef struct {
    bool has_head;      // head given (reservoir, reference) or demand given
    double head_m;      // used when has_head
    double demand_m3_s; // taken out of the network at this node (negative: fed in)
} gw_network_node;

// A link loses head from `from` to `to`: pipe friction and fittings (diameter_m > 0) plus
// quadratic_s2_m5 × Q|Q|, less a constant gain (a pump).
typedef struct {
    size_t from;
    size_t to;
    double diameter_m; // 0: no pipe friction, only the quadratic law
    double length_m;
    double roughness_m;
    double loss_coefficient;
    double quadratic_s2_m5; // ≥ 0
    double gain_m;
} gw_network_link;

typedef struct {
    const gw_network_node *nodes;
    size_t node_count;
    const gw_network_link *links;
    size_t link_count;
    double density_kg_m3;
    double viscosity_pa_s;
} gw_network;

typedef struct {
    double *head_m;    // [node_count]
    double *flow_m3_s; // [link_count], positive from → to
    double *loss_m;    // [link_count], signed head loss without the gain
    int iterations;
    double imbalance_m3_s; // greatest |inflow − outflow − demand| of the nodes without a given head
    size_t worst_link;     // where the last correction was greatest
} gw_network_solution;

// Arrays of the solution live in the arena. Errors: GW_ERR_RANGE (bad link or node, named),
// GW_ERR_GEOMETRY (a node with no way to a given head), GW_ERR_CONVERGE (names the worst link).
gw_status gw_pipes_solve_network(gw_arena *arena, const gw_network *network,
                                 gw_network_solution *out, gw_err *err) GW_MUST_USE;

#endif
