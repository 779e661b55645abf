// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/film.h"

#include <math.h>
#include <stddef.h>

static const double PI = 3.14159265358979323846;
static const double RE_LAMINAR = 2300.0;
static const double RE_TURBULENT = 4000.0;
static const double NU_LAMINAR = 3.66;

// Gnielinski 1976, smooth wall.
static double turbulent_nusselt(double reynolds, double prandtl)
{
    const double friction = pow(1.82 * log10(reynolds) - 1.64, -2.0);
    const double eighth = friction / 8.0;
    return eighth * (reynolds - 1000.0) * prandtl /
           (1.0 + 12.7 * sqrt(eighth) * (pow(prandtl, 2.0 / 3.0) - 1.0));
}

// The same three-part curve serves the pipe and both walls of an annulus: they differ in the
// laminar value and in a factor on the turbulent one.
static double nusselt_with(double reynolds, double prandtl, double laminar, double factor)
{
    if (reynolds <= RE_LAMINAR) {
        return laminar;
    }
    if (reynolds >= RE_TURBULENT) {
        return fmax(laminar, factor * turbulent_nusselt(reynolds, prandtl));
    }
    const double share = (reynolds - RE_LAMINAR) / (RE_TURBULENT - RE_LAMINAR);
    const double upper = fmax(laminar, factor * turbulent_nusselt(RE_TURBULENT, prandtl));
    return (1.0 - share) * laminar + share * upper;
}

double gw_film_nusselt(double reynolds, double prandtl)
{
    return nusselt_with(reynolds, prandtl, NU_LAMINAR, 1.0);
}

static gw_status check_fluid(const gw_film_fluid *fluid, gw_err *err)
{
    const struct {
        const char *field;
        double value;
    } items[] = {
        {"density_kg_m3", fluid->density_kg_m3},
        {"heat_j_kgk", fluid->heat_j_kgk},
        {"conductivity_w_mk", fluid->conductivity_w_mk},
        {"viscosity_pa_s", fluid->viscosity_pa_s},
    };
    for (size_t i = 0; i < sizeof items / sizeof items[0]; ++i) {
        if (!(items[i].value > 0.0 && isfinite(items[i].value))) {
            return gw_fail(err, GW_ERR_RANGE, items[i].field, "%s %g must be above 0",
                           items[i].field, items[i].value);
        }
    }
    return GW_OK;
}

static gw_status check_flow(double flow_m3_s, gw_err *err)
{
    if (!(flow_m3_s >= 0.0 && isfinite(flow_m3_s))) {
        return gw_fail(err, GW_ERR_RANGE, "flow_m3_s", "flow %g m3/s must not be negative",
                       flow_m3_s);
    }
    return GW_OK;
}

typedef struct {
    double diameter_m; // hydraulic
    double area_m2;
    double flow_m3_s;
    double laminar;
    double factor;
} passage;

static gw_film film_of(const gw_film_fluid *fluid, const passage *way)
{
    gw_film film = {0};
    film.velocity_m_s = way->flow_m3_s / way->area_m2;
    film.reynolds =
        fluid->density_kg_m3 * film.velocity_m_s * way->diameter_m / fluid->viscosity_pa_s;
    film.prandtl = fluid->viscosity_pa_s * fluid->heat_j_kgk / fluid->conductivity_w_mk;
    film.nusselt = nusselt_with(film.reynolds, film.prandtl, way->laminar, way->factor);
    film.film_w_m2k = film.nusselt * fluid->conductivity_w_mk / way->diameter_m;
    film.regime = film.reynolds <= RE_LAMINAR    ? GW_FILM_LAMINAR
                  : film.reynolds < RE_TURBULENT ? GW_FILM_TRANSITION
                                                 : GW_FILM_TURBULENT;
    return film;
}

gw_status gw_film_in_pipe(const gw_film_fluid *fluid, const gw_film_pipe *pipe, gw_film *out,
                          gw_err *err)
{
    gw_status st = check_fluid(fluid, err);
    if (st == GW_OK) {
        st = check_flow(pipe->flow_m3_s, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const double d = pipe->inner_diameter_m;
    if (!(d > 0.0 && isfinite(d))) {
        return gw_fail(err, GW_ERR_RANGE, "inner_diameter_m", "diameter %g m must be above 0", d);
    }
    *out = film_of(fluid, &(passage){d, PI / 4.0 * d * d, pipe->flow_m3_s, NU_LAMINAR, 1.0});
    return GW_OK;
}

gw_status gw_film_in_annulus(const gw_film_fluid *fluid, const gw_film_annulus *annulus,
                             gw_film_annulus_pair *out, gw_err *err)
{
    gw_status st = check_fluid(fluid, err);
    if (st == GW_OK) {
        st = check_flow(annulus->flow_m3_s, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const double di = annulus->inner_diameter_m;
    const double d0 = annulus->outer_diameter_m;
    if (!(di > 0.0 && d0 > di && isfinite(d0))) {
        return gw_fail(err, GW_ERR_GEOMETRY, "outer_diameter_m",
                       "annulus from %g to %g m has no room", di, d0);
    }
    const double a = di / d0;
    passage way = {d0 - di, PI / 4.0 * (d0 * d0 - di * di), annulus->flow_m3_s, 0.0, 0.0};
    way.laminar = 3.66 + 1.2 * pow(a, -0.8);
    way.factor = 0.86 * pow(a, -0.16);
    out->inner_wall = film_of(fluid, &way);
    way.laminar = 3.66 + 1.2 * sqrt(a);
    way.factor = 1.0 - 0.14 * pow(a, 0.6);
    out->outer_wall = film_of(fluid, &way);
    return GW_OK;
}
