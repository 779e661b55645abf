// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The first hours of a bore against an independent finite-volume model: a node of fluid, the pipe's
// resistance, rings of grout, rings of ground, marched in time.
#include "ground/short_time.h"
#include "harness.h"

#include <math.h>
#include <stdbool.h>

enum { GROUT_RINGS = 60, GROUND_RINGS = 340, CELLS = 1 + GROUT_RINGS + GROUND_RINGS };

typedef struct {
    double heat[CELLS]; // J/(m·K): heat capacity per metre of bore
    double link[CELLS]; // W/(m·K): from cell i to i + 1
} rings;

// Temperature of a ring stands at the mean of ln r over its area (exact under steady flow).
static double node_m(double inner, double outer)
{
    const double a = inner * inner, b = outer * outer;
    return exp(0.5 * ((b * log(b) - a * log(a)) / (b - a) - 1.0));
}

static rings cut_rings(const gw_short_bore *bore)
{
    rings r = {{0.0}, {0.0}};
    double face[CELLS], node[CELLS] = {0.0}, k[CELLS] = {0.0};
    face[0] = bore->equivalent_radius_m;
    for (size_t i = 1; i < CELLS; ++i) {
        const double share =
            i <= GROUT_RINGS ? (double)i / GROUT_RINGS : (double)(i - GROUT_RINGS) / GROUND_RINGS;
        face[i] = i <= GROUT_RINGS ? face[0] * pow(bore->bore_radius_m / face[0], share)
                                   : bore->bore_radius_m * pow(40.0 / bore->bore_radius_m, share);
        const bool grout = i <= GROUT_RINGS;
        k[i] = grout ? bore->grout_w_mk : bore->ground_w_mk;
        node[i] = node_m(face[i - 1], face[i]);
        r.heat[i] = (grout ? bore->grout_heat_j_m3k : bore->ground_heat_j_m3k) * M_PI *
                    (face[i] * face[i] - face[i - 1] * face[i - 1]);
    }
    r.heat[0] = bore->fluid_capacity_j_mk;
    r.link[0] = 1.0 / (bore->pipe_resistance_mk_w +
                       log(node[1] / face[0]) / (2.0 * M_PI * bore->grout_w_mk));
    for (size_t i = 1; i + 1 < CELLS; ++i) {
        r.link[i] =
            2.0 * M_PI / (log(face[i] / node[i]) / k[i] + log(node[i + 1] / face[i]) / k[i + 1]);
    }
    return r;
}

// One step of weight `late` on the new time (1: implicit Euler, 1/2: Crank–Nicolson), 1 W/m in.
static void step(const rings *r, double *t, double dt, double late)
{
    double upper[CELLS], right[CELLS];
    for (size_t i = 0; i < CELLS; ++i) {
        const double before = i > 0 ? r->link[i - 1] : 0.0, after = r->link[i];
        const double flow = (i > 0 ? before * (t[i - 1] - t[i]) : 1.0) +
                            (i + 1 < CELLS ? after * (t[i + 1] - t[i]) : 0.0);
        const double now = i > 0 ? (1.0 - late) * flow : (1.0 - late) * (flow - 1.0) + 1.0;
        double diagonal = r->heat[i] / dt + late * (before + (i + 1 < CELLS ? after : 0.0));
        right[i] = r->heat[i] / dt * t[i] + now;
        if (i > 0) {
            diagonal -= late * before * upper[i - 1];
            right[i] += late * before * right[i - 1];
        }
        upper[i] = late * after / diagonal;
        right[i] /= diagonal;
    }
    t[CELLS - 1] = right[CELLS - 1];
    for (size_t i = CELLS - 1; i-- > 0;) {
        t[i] = right[i] + upper[i] * t[i + 1];
    }
}

static const gw_short_bore BORES[3] = {
    // Single U in grout and in enhanced grout; a wide water-filled bore with little resistance.
    {0.055, 0.0226, 0.045, 4300.0, 0.8, 3.2e6, 2.2, 2.3e6},
    {0.075, 0.030, 0.030, 5600.0, 2.0, 2.4e6, 3.5, 2.2e6},
    {0.070, 0.060, 0.004, 3.0e4, 0.6, 4.1e6, 1.3, 2.6e6},
};

START_TEST(short_time_agrees_with_rings)
{
    const gw_short_bore *const bore = &BORES[_i];
    static const double wanted[8] = {60.0, 180.0, 600.0, 1800.0, 3600.0, 14400.0, 86400.0, 1e6};
    double model[8], t[CELLS] = {0.0};
    ck_assert(gw_short_time_response(bore, wanted, 8, model, NULL) == GW_OK);
    const rings r = cut_rings(bore);
    double now = 0.0, dt = 0.02;
    size_t at = 0, steps = 0;
    while (at < 8) {
        double next = fmin(now + dt, wanted[at]);
        step(&r, t, next - now, steps < 20 ? 1.0 : 0.5);
        now = next;
        ++steps;
        dt = fmax(0.02, 0.004 * now);
        if (now >= wanted[at]) {
            ck_assert_msg(fabs(t[0] / model[at] - 1.0) < 1e-4, "bore %d, %g s: %.6f, rings %.6f",
                          _i, now, model[at], t[0]);
            ++at;
        }
    }
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("ground first hours in rings");
    TCase *const all = tcase_create("all");
    tcase_add_loop_test(all, short_time_agrees_with_rings, 0, (int)(sizeof BORES / sizeof *BORES));
    suite_add_tcase(suite, all);
    return harness_run(suite);
}
