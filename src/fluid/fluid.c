// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "fluid/fluid.h"

#include "base/text.h"
#include "fluid/water.h"

#include <math.h>
#include <string.h>

static const char *const kind_ids[GW_FLUID_KIND_COUNT] = {
#define X(code, id) id,
    GW_FLUID_KIND_LIST(X)
#undef X
};

gw_status gw_fluid_kind_from_id(const char *id, gw_fluid_kind *out, gw_err *err)
{
    for (size_t i = 0; i < GW_FLUID_KIND_COUNT; ++i) {
        if (strcmp(id, kind_ids[i]) == 0) {
            *out = (gw_fluid_kind)i;
            return GW_OK;
        }
    }
    const size_t near = gw_text_nearest(id, kind_ids, GW_FLUID_KIND_COUNT);
    if (near < GW_FLUID_KIND_COUNT) {
        return gw_fail(err, GW_ERR_KEY, "fluid.kind",
                       "fluid \"%s\" is unknown; did you mean \"%s\"?", id, kind_ids[near]);
    }
    return gw_fail(err, GW_ERR_KEY, "fluid.kind", "fluid \"%s\" is unknown", id);
}

static bool known(gw_fluid_kind kind)
{
    return (unsigned)kind < (unsigned)GW_FLUID_KIND_COUNT;
}

const char *gw_fluid_kind_id(gw_fluid_kind kind)
{
    return known(kind) ? kind_ids[kind] : "unknown";
}

gw_status gw_fluid_check_mix(const gw_fluid_table *table, gw_fluid_mix mix, gw_err *err)
{
    if (!known(mix.kind)) {
        return gw_fail(err, GW_ERR_KEY, "fluid.kind", "fluid number %d is unknown", (int)mix.kind);
    }
    const gw_fluid_data *const data = &table->kinds[mix.kind];
    if (mix.kind == GW_FLUID_WATER) {
        if (!(mix.mass_frac == 0.0)) {
            return gw_fail(err, GW_ERR_RANGE, "fluid.mass_frac",
                           "water has no antifreeze: mass fraction must be 0, not %g",
                           mix.mass_frac);
        }
        return GW_OK;
    }
    if (!(mix.mass_frac >= data->min_mass_frac && mix.mass_frac <= data->max_mass_frac)) {
        return gw_fail(err, GW_ERR_RANGE, "fluid.mass_frac",
                       "%s: mass fraction %g must be %g to %g", data->name, mix.mass_frac,
                       data->min_mass_frac, data->max_mass_frac);
    }
    return GW_OK;
}

// The 18 terms in the order of the published tables: power of concentration, power of temperature.
static const struct {
    unsigned char x;
    unsigned char t;
} terms[GW_FLUID_TERMS] = {{0, 0}, {0, 1}, {0, 2}, {0, 3}, {1, 0}, {1, 1}, {1, 2}, {1, 3}, {2, 0},
                           {2, 1}, {2, 2}, {2, 3}, {3, 0}, {3, 1}, {3, 2}, {4, 0}, {4, 1}, {5, 0}};

// Melinder 2010: f = Σ C_ij (x − xm)^i (T − Tm)^j, x in mass percent, T in °C.
static double polynomial(const double c[static GW_FLUID_TERMS], double x, double t)
{
    const double xp[6] = {1.0, x, x * x, x * x * x, x * x * x * x, x * x * x * x * x};
    const double tp[4] = {1.0, t, t * t, t * t * t};
    double sum = 0.0;
    for (size_t k = 0; k < GW_FLUID_TERMS; ++k) {
        sum += c[k] * xp[terms[k].x] * tp[terms[k].t];
    }
    return sum;
}

// Freezing point of a mixture inside its limits. The terms with T are residue of the fit: left out.
static double freeze_at(const gw_fluid_data *data, double mass_frac)
{
    return polynomial(data->freeze, 100.0 * mass_frac - data->center_mass_percent, 0.0);
}

gw_status gw_fluid_freeze_degc(const gw_fluid_table *table, gw_fluid_mix mix, double *out_degc,
                               gw_err *err)
{
    const gw_status st = gw_fluid_check_mix(table, mix, err);
    if (st != GW_OK) {
        return st;
    }
    *out_degc =
        mix.kind == GW_FLUID_WATER ? 0.0 : freeze_at(&table->kinds[mix.kind], mix.mass_frac);
    return GW_OK;
}

gw_status gw_fluid_at(const gw_fluid_table *table, gw_fluid_mix mix, double temp_degc,
                      gw_fluid_props *out, gw_err *err)
{
    double freeze_degc;
    const gw_status st = gw_fluid_freeze_degc(table, mix, &freeze_degc, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_fluid_data *const data = &table->kinds[mix.kind];
    if (!(temp_degc >= freeze_degc)) {
        return gw_fail(err, GW_ERR_RANGE, "fluid.temp_degc",
                       "%s, %.1f %% by mass, at %.2f °C is below its freezing point of %.2f °C",
                       data->name, 100.0 * mix.mass_frac, temp_degc, freeze_degc);
    }
    if (!(temp_degc <= data->max_degc)) {
        return gw_fail(err, GW_ERR_RANGE, "fluid.temp_degc",
                       "%s at %.2f °C is above %.0f °C, the limit of its properties", data->name,
                       temp_degc, data->max_degc);
    }
    if (mix.kind == GW_FLUID_WATER) {
        gw_fluid_priv_water(temp_degc, out);
        return GW_OK;
    }
    const double x = 100.0 * mix.mass_frac - data->center_mass_percent;
    const double t = temp_degc - data->center_degc;
    *out = (gw_fluid_props){
        .density_kg_m3 = polynomial(data->density, x, t),
        .specific_heat_j_kgk = polynomial(data->specific_heat, x, t),
        .conductivity_w_mk = polynomial(data->conductivity, x, t),
        .viscosity_pa_s = 1e-3 * exp(polynomial(data->log_viscosity, x, t)),
    };
    return GW_OK;
}

// Bisection: the freezing point falls all the way with concentration inside the limits of a kind
// (a test walks every kind), so 60 halvings give the last bit.
static double bisect_dose(const gw_fluid_data *data, double freeze_degc)
{
    double weak = data->min_mass_frac;
    double strong = data->max_mass_frac;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (weak + strong);
        if (freeze_at(data, middle) > freeze_degc) {
            weak = middle;
        } else {
            strong = middle;
        }
    }
    return strong;
}

gw_status gw_fluid_dose(const gw_fluid_table *table, gw_fluid_kind kind, double freeze_degc,
                        double *out_mass_frac, gw_err *err)
{
    if (!known(kind)) {
        return gw_fail(err, GW_ERR_KEY, "fluid.kind", "fluid number %d is unknown", (int)kind);
    }
    if (freeze_degc >= 0.0 && isfinite(freeze_degc)) {
        *out_mass_frac = 0.0;
        return GW_OK;
    }
    const gw_fluid_data *const data = &table->kinds[kind];
    const double lowest_degc = kind == GW_FLUID_WATER ? 0.0 : freeze_at(data, data->max_mass_frac);
    if (!(freeze_degc >= lowest_degc)) {
        return gw_fail(err, GW_ERR_RANGE, "fluid.freeze_degc",
                       "%s cannot be given a freezing point of %.1f °C; its lowest is %.1f °C",
                       data->name, freeze_degc, lowest_degc);
    }
    *out_mass_frac = freeze_at(data, data->min_mass_frac) <= freeze_degc
                         ? data->min_mass_frac
                         : bisect_dose(data, freeze_degc);
    return GW_OK;
}
