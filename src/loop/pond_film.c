// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Water's properties for quick use, and heat from pipe to water by natural convection.
#include "loop/pond.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double GRAVITY_M_S2 = 9.80665;
static const double STEP_K = 0.25;
static const double DENSEST_DEGC = 3.98; // of water at atmospheric pressure (Kell 1975)

gw_status gw_pond_water_init(const gw_fluid_table *fluids, gw_pond_water *out, gw_err *err)
{
    const gw_fluid_mix water = {.kind = GW_FLUID_WATER};
    for (size_t i = 0; i < GW_POND_WATER_NODES; i++) {
        gw_fluid_props props;
        const gw_status st = gw_fluid_at(fluids, water, STEP_K * (double)i, &props, err);
        if (st != GW_OK) {
            return st;
        }
        out->density_kg_m3[i] = props.density_kg_m3;
        out->heat_j_kgk[i] = props.specific_heat_j_kgk;
        out->conductivity_w_mk[i] = props.conductivity_w_mk;
        out->viscosity_pa_s[i] = props.viscosity_pa_s;
    }
    return GW_OK;
}

static double between(const double *nodes, double degc)
{
    const double x = fmin(fmax(degc / STEP_K, 0.0), GW_POND_WATER_NODES - 1.0);
    const size_t i = x < GW_POND_WATER_NODES - 1.0 ? (size_t)x : GW_POND_WATER_NODES - 2;
    return nodes[i] + (x - (double)i) * (nodes[i + 1] - nodes[i]);
}

double gw_pond_water_density(const gw_pond_water *water, double degc)
{
    return between(water->density_kg_m3, degc);
}

double gw_pond_nusselt(double rayleigh, double prandtl)
{
    const double f = pow(1.0 + pow(0.559 / prandtl, 9.0 / 16.0), 8.0 / 27.0);
    const double root = 0.60 + 0.387 * pow(rayleigh, 1.0 / 6.0) / f;
    return root * root;
}

// Greatest difference in density between the pond and any water between it and the wall: of water
// that passes 4 °C on the way it is the densest that moves.
static double density_difference(const gw_pond_water *water, double pond_degc, double wall_degc)
{
    const double pond_kg_m3 = gw_pond_water_density(water, pond_degc);
    const double wall_kg_m3 = gw_pond_water_density(water, wall_degc);
    double most = fabs(wall_kg_m3 - pond_kg_m3);
    if ((pond_degc - DENSEST_DEGC) * (wall_degc - DENSEST_DEGC) < 0.0) {
        const double densest = gw_pond_water_density(water, DENSEST_DEGC);
        most = fmax(most, densest - pond_kg_m3);
    }
    return most;
}

static void film_at(const gw_pond_water *water, double diameter_m, double pond_degc,
                    gw_pond_film *out)
{
    const double middle_degc = 0.5 * (pond_degc + out->wall_degc);
    const double density = between(water->density_kg_m3, middle_degc);
    const double heat = between(water->heat_j_kgk, middle_degc);
    const double conductivity = between(water->conductivity_w_mk, middle_degc);
    const double viscosity = between(water->viscosity_pa_s, middle_degc);
    const double buoyancy = density_difference(water, pond_degc, out->wall_degc) / density;
    const double kinematic = viscosity / density;
    const double diffusivity = conductivity / (density * heat);
    out->rayleigh = GRAVITY_M_S2 * buoyancy * pow(diameter_m, 3.0) / (kinematic * diffusivity);
    out->nusselt = gw_pond_nusselt(out->rayleigh, kinematic / diffusivity);
    out->film_w_m2k = out->nusselt * conductivity / diameter_m;
}

static gw_status check_pipe(const gw_pond_pipe *p, const gw_pond_moment *at, gw_err *err)
{
    if (!(p->inner_diameter_m > 0.005 && p->outer_diameter_m > p->inner_diameter_m &&
          p->outer_diameter_m <= 0.2)) {
        return gw_fail(err, GW_ERR_RANGE, "pond.pipe",
                       "found a pipe of %.1f/%.1f mm, expected outer over inner over 5 mm",
                       1000.0 * p->outer_diameter_m, 1000.0 * p->inner_diameter_m);
    }
    if (!(p->conductivity_w_mk > 0.0 && p->inner_film_w_m2k > 0.0)) {
        return gw_fail(err, GW_ERR_RANGE, "pond.pipe",
                       "found a pipe wall of %g W/(m·K) and a film inside of %g W/(m²·K), "
                       "expected more than none",
                       p->conductivity_w_mk, p->inner_film_w_m2k);
    }
    if (!(at->water_degc >= 0.0 && at->water_degc <= 40.0)) {
        return gw_fail(err, GW_ERR_RANGE, "water_degc",
                       "found pond water at %g °C, expected 0 to 40 °C", at->water_degc);
    }
    if (!(fabs(at->heat_w_m) <= 500.0)) {
        return gw_fail(err, GW_ERR_RANGE, "heat_w_m",
                       "found %g W from a metre of pipe, expected at most 500 W either way",
                       at->heat_w_m);
    }
    return GW_OK;
}

gw_status gw_pond_resistance(const gw_pond_water *water, const gw_pond_pipe *pipe,
                             const gw_pond_moment *at, gw_pond_film *out, gw_err *err)
{
    *out = (gw_pond_film){0};
    const gw_status st = check_pipe(pipe, at, err);
    if (st != GW_OK) {
        return st;
    }
    // The flux rises with the wall's distance from the water: halve until it fits.
    const double flux_w_m2 = fabs(at->heat_w_m) / (PI * pipe->outer_diameter_m);
    const double sign = at->heat_w_m >= 0.0 ? -1.0 : 1.0;
    double near_k = 0.0, far_k = 200.0;
    for (int i = 0; i < 60; i++) {
        const double middle_k = 0.5 * (near_k + far_k);
        out->wall_degc = at->water_degc + sign * middle_k;
        film_at(water, pipe->outer_diameter_m, at->water_degc, out);
        if (out->film_w_m2k * middle_k < flux_w_m2) {
            near_k = middle_k;
        } else {
            far_k = middle_k;
        }
    }
    out->wall_degc = at->water_degc + sign * far_k;
    film_at(water, pipe->outer_diameter_m, at->water_degc, out);
    out->ice = out->wall_degc < 0.0;
    out->outside_mk_w = 1.0 / (PI * pipe->outer_diameter_m * out->film_w_m2k);
    out->total_mk_w = out->outside_mk_w +
                      log(pipe->outer_diameter_m / pipe->inner_diameter_m) /
                          (2.0 * PI * pipe->conductivity_w_mk) +
                      1.0 / (PI * pipe->inner_diameter_m * pipe->inner_film_w_m2k);
    out->fluid_degc = at->water_degc - at->heat_w_m * out->total_mk_w;
    return GW_OK;
}
