// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Heat-transfer coefficient between a fluid and the wall of a smooth pipe or annulus.
//
// It takes fluid property numbers, not a fluid's name. Fully developed forced flow only: no entry
// length, no buoyancy, no fins, no property variation across the pipe.
//
// Method: laminar Nu 3.66 (uniform wall temperature; Nu 4.36 of uniform flux is 19 % higher, so the
// lower one is the cautious choice for a pipe in the ground, which lies between the two); turbulent
// Gnielinski 1976 with the smooth-pipe friction factor (1.82 log10 Re − 1.64)^−2 above
// Re 4000; linear in Re between Re 2300 and 4000 (Gnielinski 2013, Int. J. Heat Mass Transfer
// 63:134). Annulus on the hydraulic diameter: laminar 3.66 + 1.2 a^−0.8 at the inner and
// 3.66 + 1.2 a^0.5 at the outer wall, a = inner over outer diameter; turbulent times
// 0.86 a^−0.16 and 1 − 0.14 a^0.6 (Petukhov & Roizen 1964; both in VDI Heat Atlas G2, from memory).
//
//   gw_film film;
//   st = gw_film_in_pipe(&water, &(gw_film_pipe){.flow_m3_s = 2e-4, .inner_diameter_m = 0.0272},
//                        &film, err);
#ifndef GW_GROUND_FILM_H
#define GW_GROUND_FILM_H

#include "base/err.h"

typedef struct {
    double density_kg_m3;     // > 0
    double heat_j_kgk;        // > 0
    double conductivity_w_mk; // > 0
    double viscosity_pa_s;    // > 0
} gw_film_fluid;

typedef enum { GW_FILM_LAMINAR, GW_FILM_TRANSITION, GW_FILM_TURBULENT } gw_film_regime;

typedef struct {
    double reynolds;
    double prandtl;
    double nusselt;
    double film_w_m2k;
    double velocity_m_s;
    gw_film_regime regime;
} gw_film;

typedef struct {
    double flow_m3_s;        // ≥ 0; 0 counts as laminar
    double inner_diameter_m; // > 0
} gw_film_pipe;

typedef struct {
    double flow_m3_s;        // ≥ 0
    double inner_diameter_m; // outer diameter of the inner pipe
    double outer_diameter_m; // inner diameter of the outer pipe
} gw_film_annulus;

// Nusselt number of a round pipe; both numbers > 0. Continuous, and never falling with Re.
double gw_film_nusselt(double reynolds, double prandtl);

gw_status gw_film_in_pipe(const gw_film_fluid *fluid, const gw_film_pipe *pipe, gw_film *out,
                          gw_err *err) GW_MUST_USE;

// Both surfaces of the annulus; diameters in Re and Nu are hydraulic.
typedef struct {
    gw_film inner_wall;
    gw_film outer_wall;
} gw_film_annulus_pair;

gw_status gw_film_in_annulus(const gw_film_fluid *fluid, const gw_film_annulus *annulus,
                             gw_film_annulus_pair *out, gw_err *err) GW_MUST_USE;

#endif
