// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "pipes/network.h"

#include "pipes/friction_priv.h"

#include <math.h>
#include <stdio.h>

#define PI 3.14159265358979323846
#define START_VELOCITY_M_S 0.3 // first guess in every pipe
#define STEP_TOLERANCE 1e-10   // greatest change of a flow over the greatest flow
#define FLAT_FRACTION 1e-7     // of the first guess: below it a quadratic law is a line
#define REST_FRACTION 1e-3     // of the first guess: flows are not resolved finer than this allows

enum { ITERATIONS_MAX = 100, ITERATIONS_UNDAMPED = 30, NO_ROW = -1 };

// Everything the iteration works on; arrays live in the arena.
typedef struct {
    const gw_network *network;
    int *row; // [node_count] row in the matrix, or NO_ROW where the head is given
    size_t rows;
    double *matrix; // [rows × rows], lower triangle
    double *right;  // [rows]
    double *start;  // [link_count] first guess, m³/s
    double *ease;   // [link_count] 1/(dh/dQ)
    double *drive;  // [link_count] flow at equal heads: Q + (gain − h)/(dh/dQ)
    gw_network_solution out;
} work;

static gw_status refuse(gw_err *err, const char *what, size_t index, const char *why)
{
    char field[GW_ERR_FIELD_SIZE];
    snprintf(field, sizeof field, "network.%s[%zu]", what, index);
    return gw_fail(err, GW_ERR_RANGE, field, "%s", why);
}

static gw_status check_link(const gw_network *network, size_t i, gw_err *err)
{
    const gw_network_link *const link = &network->links[i];
    if (link->from >= network->node_count || link->to >= network->node_count ||
        link->from == link->to) {
        return refuse(err, "links", i, "must join two different nodes of the network");
    }
    const bool pipe = link->diameter_m != 0.0;
    if (pipe && !(link->diameter_m >= 0.0005 && link->diameter_m <= 5.0 && link->length_m >= 0.0 &&
                  link->length_m <= 1e6 && link->roughness_m >= 0.0 &&
                  link->roughness_m <= 0.1 * link->diameter_m && link->loss_coefficient >= 0.0 &&
                  link->loss_coefficient <= 1e6)) {
        return refuse(err, "links", i,
                      "diameter must be 0.0005 to 5 m, length and loss coefficient 0 to 1e6, "
                      "roughness at most a tenth of the diameter");
    }
    if (!(link->quadratic_s2_m5 >= 0.0 && isfinite(link->quadratic_s2_m5) &&
          isfinite(link->gain_m))) {
        return refuse(err, "links", i, "quadratic loss must be 0 or more, gain a finite number");
    }
    if (!(pipe && link->length_m > 0.0) && !(link->quadratic_s2_m5 > 0.0)) {
        return refuse(err, "links", i,
                      "must have a resistance: a length of pipe or a quadratic loss");
    }
    return GW_OK;
}

static gw_status check_network(const gw_network *network, gw_err *err)
{
    if (network->node_count < 2 || network->node_count > GW_PIPES_NODES_MAX ||
        network->link_count < 1) {
        return gw_fail(err, GW_ERR_RANGE, "network", "%zu nodes must be 2 to %d, with a link",
                       network->node_count, (int)GW_PIPES_NODES_MAX);
    }
    if (!(network->density_kg_m3 > 0.1 && network->density_kg_m3 < 5000.0 &&
          network->viscosity_pa_s > 1e-6 && network->viscosity_pa_s < 100.0)) {
        return gw_fail(err, GW_ERR_RANGE, "network.density_kg_m3",
                       "density %g kg/m3 must be 0.1 to 5000, viscosity %g Pa·s 1e-6 to 100",
                       network->density_kg_m3, network->viscosity_pa_s);
    }
    for (size_t i = 0; i < network->node_count; ++i) {
        const gw_network_node *const node = &network->nodes[i];
        if (!isfinite(node->has_head ? node->head_m : node->demand_m3_s)) {
            return refuse(err, "nodes", i, "head or demand must be a finite number");
        }
    }
    for (size_t i = 0; i < network->link_count; ++i) {
        const gw_status st = check_link(network, i, err);
        if (st != GW_OK) {
            return st;
        }
    }
    return GW_OK;
}

// A node without a way to a given head has no defined head. Marks spread over the links until
// nothing changes.
static gw_status check_reach(gw_arena *arena, const gw_network *network, gw_err *err)
{
    bool *const reached = gw_arena_alloc(arena, network->node_count, sizeof *reached);
    if (reached == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "network", "no memory for the network");
    }
    for (size_t i = 0; i < network->node_count; ++i) {
        reached[i] = network->nodes[i].has_head;
    }
    for (bool changed = true; changed;) {
        changed = false;
        for (size_t k = 0; k < network->link_count; ++k) {
            const size_t a = network->links[k].from;
            const size_t b = network->links[k].to;
            if (reached[a] != reached[b]) {
                reached[a] = reached[b] = true;
                changed = true;
            }
        }
    }
    for (size_t i = 0; i < network->node_count; ++i) {
        if (!reached[i]) {
            return gw_fail(err, GW_ERR_GEOMETRY, "network",
                           "node %zu has no way to a node with a given head", i);
        }
    }
    return GW_OK;
}

// Signed head loss of a link and its slope at the present flow.
static void link_loss(const work *w, size_t i, double *loss_m, double *slope_s_m2)
{
    const gw_network_link *const link = &w->network->links[i];
    const double flow_m3_s = w->out.flow_m3_s[i];
    const double size_m3_s = fabs(flow_m3_s);
    // K Q² has no slope at rest: a very small flow follows a line instead.
    const double flat_m3_s = FLAT_FRACTION * w->start[i];
    const bool flat = size_m3_s < flat_m3_s;
    double loss = link->quadratic_s2_m5 * size_m3_s * (flat ? flat_m3_s : size_m3_s);
    double slope = link->quadratic_s2_m5 * (flat ? flat_m3_s : 2.0 * size_m3_s);
    if (link->diameter_m > 0.0) {
        gw_pipe_flow pipe;
        gw_pipes_priv_flow(&(gw_pipe_run){.flow_m3_s = size_m3_s,
                                          .diameter_m = link->diameter_m,
                                          .length_m = link->length_m,
                                          .roughness_m = link->roughness_m,
                                          .loss_coefficient = link->loss_coefficient,
                                          .density_kg_m3 = w->network->density_kg_m3,
                                          .viscosity_pa_s = w->network->viscosity_pa_s},
                           &pipe);
        loss += pipe.head_loss_m;
        slope += pipe.d_head_loss_s_m2;
    }
    *loss_m = flow_m3_s < 0.0 ? -loss : loss;
    *slope_s_m2 = slope;
}

static gw_status prepare(gw_arena *arena, const gw_network *network, work *w, gw_err *err)
{
    const size_t nodes = network->node_count;
    const size_t links = network->link_count;
    *w = (work){.network = network};
    w->row = gw_arena_alloc(arena, nodes, sizeof *w->row);
    w->right = gw_arena_alloc(arena, nodes, sizeof *w->right);
    w->matrix = gw_arena_alloc(arena, nodes * nodes, sizeof *w->matrix);
    w->start = gw_arena_alloc(arena, links, sizeof *w->start);
    w->ease = gw_arena_alloc(arena, links, sizeof *w->ease);
    w->drive = gw_arena_alloc(arena, links, sizeof *w->drive);
    w->out.head_m = gw_arena_alloc(arena, nodes, sizeof *w->out.head_m);
    w->out.flow_m3_s = gw_arena_alloc(arena, links, sizeof *w->out.flow_m3_s);
    w->out.loss_m = gw_arena_alloc(arena, links, sizeof *w->out.loss_m);
    if (w->row == NULL || w->right == NULL || w->matrix == NULL || w->start == NULL ||
        w->ease == NULL || w->drive == NULL || w->out.head_m == NULL || w->out.flow_m3_s == NULL ||
        w->out.loss_m == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "network", "no memory for %zu nodes", nodes);
    }
    for (size_t i = 0; i < nodes; ++i) {
        const bool given = network->nodes[i].has_head;
        w->row[i] = given ? NO_ROW : (int)w->rows++;
        w->out.head_m[i] = given ? network->nodes[i].head_m : 0.0;
    }
    for (size_t i = 0; i < links; ++i) {
        const gw_network_link *const link = &network->links[i];
        w->start[i] = link->diameter_m > 0.0
                          ? 0.25 * PI * link->diameter_m * link->diameter_m * START_VELOCITY_M_S
                          : 1.0 / sqrt(link->quadratic_s2_m5); // loses 1 m
        w->out.flow_m3_s[i] = w->start[i];
    }
    return GW_OK;
}

static void add_node(work *w, int row, size_t other, double ease)
{
    const size_t r = (size_t)row;
    w->matrix[r * w->rows + r] += ease;
    const int column = w->row[other];
    if (column == NO_ROW) {
        w->right[r] += ease * w->out.head_m[other];
    } else if (column < row) {
        w->matrix[r * w->rows + (size_t)column] -= ease;
    }
}

// Node equations of the linearised links: (Σ p) H − Σ p H_other = Σ_in c − Σ_out c − demand,
// p = 1/(dh/dQ), c = Q + p (gain − h)  (Todini & Pilati 1988).
static void assemble(work *w)
{
    const gw_network *const network = w->network;
    for (size_t i = 0; i < w->rows * w->rows; ++i) {
        w->matrix[i] = 0.0;
    }
    for (size_t i = 0; i < network->node_count; ++i) {
        if (w->row[i] != NO_ROW) {
            w->right[w->row[i]] = -network->nodes[i].demand_m3_s;
        }
    }
    for (size_t i = 0; i < network->link_count; ++i) {
        const gw_network_link *const link = &network->links[i];
        double loss_m;
        double slope_s_m2;
        link_loss(w, i, &loss_m, &slope_s_m2);
        w->ease[i] = 1.0 / slope_s_m2;
        w->drive[i] = w->out.flow_m3_s[i] + w->ease[i] * (link->gain_m - loss_m);
        if (w->row[link->from] != NO_ROW) {
            add_node(w, w->row[link->from], link->to, w->ease[i]);
            w->right[w->row[link->from]] -= w->drive[i];
        }
        if (w->row[link->to] != NO_ROW) {
            add_node(w, w->row[link->to], link->from, w->ease[i]);
            w->right[w->row[link->to]] += w->drive[i];
        }
    }
}

// Cholesky in place, then forward and back substitution. False when the matrix is not positive.
static bool solve_heads(work *w)
{
    const size_t n = w->rows;
    double *const a = w->matrix;
    double *const x = w->right;
    for (size_t i = 0; i < n; ++i) {
        for (size_t j = 0; j <= i; ++j) {
            double sum = a[i * n + j];
            for (size_t k = 0; k < j; ++k) {
                sum -= a[i * n + k] * a[j * n + k];
            }
            if (i == j && !(sum > 0.0)) {
                return false;
            }
            a[i * n + j] = i == j ? sqrt(sum) : sum / a[j * n + j];
        }
    }
    for (size_t i = 0; i < n; ++i) {
        for (size_t k = 0; k < i; ++k) {
            x[i] -= a[i * n + k] * x[k];
        }
        x[i] /= a[i * n + i];
    }
    for (size_t i = n; i-- > 0;) {
        for (size_t k = i + 1; k < n; ++k) {
            x[i] -= a[k * n + i] * x[k];
        }
        x[i] /= a[i * n + i];
    }
    return true;
}

// New heads and flows; returns the greatest change of a flow over the greatest flow.
static double advance(work *w, double damping)
{
    const gw_network *const network = w->network;
    for (size_t i = 0; i < network->node_count; ++i) {
        if (w->row[i] != NO_ROW) {
            w->out.head_m[i] = w->right[w->row[i]];
        }
    }
    double greatest = 0.0;
    double worst = -1.0;
    for (size_t i = 0; i < network->link_count; ++i) {
        const gw_network_link *const link = &network->links[i];
        const double fall_m = w->out.head_m[link->from] - w->out.head_m[link->to];
        const double change = w->drive[i] + w->ease[i] * fall_m - w->out.flow_m3_s[i];
        w->out.flow_m3_s[i] += damping * change;
        greatest = fmax(greatest, fmax(fabs(w->out.flow_m3_s[i]), REST_FRACTION * w->start[i]));
        if (fabs(change) > worst) {
            worst = fabs(change);
            w->out.worst_link = i;
        }
    }
    return worst / greatest;
}

static void finish(work *w)
{
    const gw_network *const network = w->network;
    for (size_t i = 0; i < network->link_count; ++i) {
        double slope_s_m2;
        link_loss(w, i, &w->out.loss_m[i], &slope_s_m2);
    }
    for (size_t n = 0; n < network->node_count; ++n) {
        double surplus_m3_s = -network->nodes[n].demand_m3_s;
        for (size_t i = 0; i < network->link_count; ++i) {
            const double flow_m3_s = w->out.flow_m3_s[i];
            surplus_m3_s += network->links[i].to == n ? flow_m3_s : 0.0;
            surplus_m3_s -= network->links[i].from == n ? flow_m3_s : 0.0;
        }
        if (w->row[n] != NO_ROW) {
            w->out.imbalance_m3_s = fmax(w->out.imbalance_m3_s, fabs(surplus_m3_s));
        }
    }
}

gw_status gw_pipes_solve_network(gw_arena *arena, const gw_network *network,
                                 gw_network_solution *out, gw_err *err)
{
    work w;
    gw_status st = check_network(network, err);
    if (st == GW_OK) {
        st = check_reach(arena, network, err);
    }
    if (st == GW_OK) {
        st = prepare(arena, network, &w, err);
    }
    if (st != GW_OK) {
        return st;
    }
    for (w.out.iterations = 1; w.out.iterations <= ITERATIONS_MAX; ++w.out.iterations) {
        assemble(&w);
        if (!solve_heads(&w)) {
            return gw_fail(err, GW_ERR_CONVERGE, "network", "the node equations are singular");
        }
        // Where friction turns from laminar to turbulent Newton may swing to and fro: halve it.
        const double damping = w.out.iterations <= ITERATIONS_UNDAMPED ? 1.0 : 0.5;
        if (advance(&w, damping) <= STEP_TOLERANCE) {
            finish(&w);
            *out = w.out;
            return GW_OK;
        }
    }
    return gw_fail(err, GW_ERR_CONVERGE, "network",
                   "flows still change after %d steps, most in link %zu (%g m3/s)",
                   (int)ITERATIONS_MAX, w.out.worst_link, w.out.flow_m3_s[w.out.worst_link]);
}
