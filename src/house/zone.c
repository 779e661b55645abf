// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Symbols follow ISO 13790:2008 annex C: equation numbers (C.n) beside the lines.
#include "house/zone.h"

#define H_IS_W_M2K 3.45       // between air and surfaces, per m2 of A_t (7.2.2.2)
#define H_MS_W_M2K 9.1        // between surfaces and mass, per m2 of A_m (12.2.2)
#define SURFACE_PER_FLOOR 4.5 // A_t / A_f (7.2.2.2)
#define TRIAL_W_M2 10.0       // heating power of the trial step (C.4.2)
#define SHARE_TO_AIR 0.5      // of internal gains (C.1)

typedef struct {
    double h_is, h_ms, h_em, h_ve, h_w; // W/K
    double h1, h2, h3;                  // (C.6) to (C.8)
    double c_w_k;                       // C_m / 3600
    double to_mass, to_surface;         // shares of the gains not given to the air
} coupling;

static coupling couple(const gw_zone *zone, double ventilation_w_k)
{
    const double a_t_m2 = SURFACE_PER_FLOOR * zone->floor_area_m2;
    coupling c = {.h_is = H_IS_W_M2K * a_t_m2,
                  .h_ms = H_MS_W_M2K * zone->mass_area_m2,
                  .h_w = zone->window_w_k};
    // Without any air exchange (C.6) divides by zero; a thousandth of a watt stands for none.
    c.h_ve = ventilation_w_k > 1e-3 ? ventilation_w_k : 1e-3;
    // An opaque envelope better than the mass coupling cannot occur in a house; none at all can.
    c.h_em = zone->opaque_w_k > 0.0 ? 1.0 / (1.0 / zone->opaque_w_k - 1.0 / c.h_ms) : 0.0;
    c.h1 = 1.0 / (1.0 / c.h_ve + 1.0 / c.h_is);
    c.h2 = c.h1 + c.h_w;
    c.h3 = 1.0 / (1.0 / c.h2 + 1.0 / c.h_ms);
    c.c_w_k = zone->capacity_j_k / 3600.0;
    c.to_mass = zone->mass_area_m2 / a_t_m2;                        // (C.2)
    c.to_surface = 1.0 - c.to_mass - c.h_w / (H_MS_W_M2K * a_t_m2); // (C.3)
    return c;
}

typedef struct {
    double air_degc;
    double mass_degc;      // mean of the hour (C.9)
    double mass_next_degc; // at its end (C.4)
} state;

static state step(const coupling *c, const gw_zone_input *in, double mass_degc, double power_w)
{
    const double to_air_w = SHARE_TO_AIR * in->internal_w; // (C.1)
    const double rest_w = (1.0 - SHARE_TO_AIR) * in->internal_w + in->solar_w;
    const double to_mass_w = c->to_mass * rest_w;
    const double to_surface_w = c->to_surface * rest_w;
    const double air_side_degc = in->supply_degc + (to_air_w + power_w) / c->h_ve;
    const double total_w =
        to_mass_w + c->h_em * in->opaque_degc +
        c->h3 * (to_surface_w + c->h_w * in->outdoor_degc + c->h1 * air_side_degc) / c->h2; // (C.5)
    const double half_w_k = 0.5 * (c->h3 + c->h_em);
    state s;
    s.mass_next_degc =
        (mass_degc * (c->c_w_k - half_w_k) + total_w) / (c->c_w_k + half_w_k); // (C.4)
    s.mass_degc = 0.5 * (mass_degc + s.mass_next_degc);                        // (C.9)
    const double surface_degc =
        (c->h_ms * s.mass_degc + to_surface_w + c->h_w * in->outdoor_degc + c->h1 * air_side_degc) /
        (c->h_ms + c->h_w + c->h1); // (C.10)
    s.air_degc = (c->h_is * surface_degc + c->h_ve * in->supply_degc + to_air_w + power_w) /
                 (c->h_is + c->h_ve); // (C.11)
    return s;
}

void gw_zone_hour(const gw_zone *zone, const gw_zone_input *input, double *mass_degc,
                  gw_zone_result *out)
{
    const coupling c = couple(zone, input->ventilation_w_k);
    state s = step(&c, input, *mass_degc, 0.0);
    double need_w = 0.0;
    const int cold = s.air_degc < input->heating_degc;
    const int warm = s.air_degc > input->cooling_degc;
    if (!input->free_float && (cold || warm)) {
        const double set_degc = cold ? input->heating_degc : input->cooling_degc;
        const double trial_w = TRIAL_W_M2 * zone->floor_area_m2;
        const state trial = step(&c, input, *mass_degc, trial_w);
        need_w = trial_w * (set_degc - s.air_degc) / (trial.air_degc - s.air_degc); // (C.13)
        s = step(&c, input, *mass_degc, need_w);
    }
    *mass_degc = s.mass_next_degc;
    *out = (gw_zone_result){.need_w = need_w, .air_degc = s.air_degc, .mass_degc = s.mass_degc};
}

double gw_zone_mass_coupling_w_k(const gw_zone *zone)
{
    return H_MS_W_M2K * zone->mass_area_m2;
}

double gw_zone_decay_ratio(const gw_zone *zone, double ventilation_w_k)
{
    const coupling c = couple(zone, ventilation_w_k);
    const double half_w_k = 0.5 * (c.h3 + c.h_em);
    return (c.c_w_k - half_w_k) / (c.c_w_k + half_w_k);
}
