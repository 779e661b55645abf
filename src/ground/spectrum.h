// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the ground room: from transfer functions at real Laplace p to times and to periods.
//
// Diffusion relaxes with real, negative rates only, so a p-multiplied transfer function is
// G(p) = G(∞) + Σ a_k/(1 + pτ_k) and its step response G(∞) + Σ a_k (1 − e^(−t/τ_k)). The a_k on
// log-spaced τ_k follow from G at log-spaced p and at p = 0 by least squares. The step back to
// time amplifies a disturbance of ω radians per e-fold by e^(πω/2) only, about 1e3 at the spacing
// used, and G is known to 1e-10.
#ifndef GW_GROUND_SPECTRUM_H
#define GW_GROUND_SPECTRUM_H

#include "ground/least.h"

#define GW_SPECTRUM_PER_DECADE 4.0
#define GW_SPECTRUM_EARLY 300.0 // largest p, in 1/first time
#define GW_SPECTRUM_LATE 10.0   // smallest p above zero, in 1/last time, divides

typedef struct {
    size_t count;
    const double *p; // [count] 1/s; p[0] = 0, then rising
} gw_spectrum;

typedef struct {
    double fastest_s;  // shortest time constant that matters at the first of them
    double slowest_s;  // longest; p = 0 stands for all beyond
    double per_decade; // p per decade: 4 gives about 5e-6 in time, 5 about 1e-6
} gw_spectrum_range;

gw_status gw_spectrum_init(gw_arena *arena, const gw_spectrum_range *range, gw_spectrum *out,
                           gw_err *err) GW_MUST_USE;

// Room kept between fits on one spectrum; zero to begin with.
typedef struct {
    double *matrix, *right;
    gw_least_room least;
} gw_spectrum_room;

typedef struct {
    const double *transfer; // [spectrum count] what is to be turned into a step response
    const double *scale;    // [spectrum count] > 0: errors count relative to this
    gw_spectrum_room *room; // NULL: for this fit alone
} gw_spectrum_data;

// weight[count − 1] for the time constants 1/p[1…]; *residual_frac, the largest, may be NULL.
gw_status gw_spectrum_fit(gw_arena *arena, const gw_spectrum *spectrum,
                          const gw_spectrum_data *data, double *weight, double *residual_frac,
                          gw_err *err) GW_MUST_USE;

double gw_spectrum_step(const gw_spectrum *spectrum, const double *weight, double time_s);

// Numbers c with Σ c_m/(1 + p_m τ) ≈ 1/(1 + iωτ) for all τ: the transfer function at iω out of
// those at p_m = omega × ratio[m].
enum { GW_SPECTRUM_TURN = 25 };
gw_status gw_spectrum_turn(gw_arena *arena, double ratio[GW_SPECTRUM_TURN],
                           double real[GW_SPECTRUM_TURN], double imaginary[GW_SPECTRUM_TURN],
                           gw_err *err) GW_MUST_USE;

#endif
