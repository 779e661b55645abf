// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Load history as a sum of exponentials. A step response is written
//
//   h(t) = offset + Σ_k weight_k (1 − e^(−t/τ_k)),
//
// with fixed time constants τ_k (about three per decade) and weights fitted by least squares on
// relative error. The past of any load is then one number per time constant,
// S_k ← S_k e_k + q (1 − e_k) with e_k = e^(−Δt/τ_k): exact for a load constant in each step, at
// a cost that does not grow with the number of steps.
//
// A recurrence of this kind is in Lamarche & Beauchamp 2007, "A fast algorithm for the simulation
// of GCHP systems", ASHRAE Trans. 113(1) (there for one source; here fitted to any response).
//
// It does not say what the response is: that comes from field.h, or any table of the caller's.
//
//   double times_s[GW_EXP_SAMPLES], h_mk_w[GW_EXP_SAMPLES];
//   gw_exp_sample_times(3600.0, 25.0 * GW_YEAR_S, times_s);
//   … the response at these times, without what follows the load at once …
//   gw_exp_response fit;
//   const gw_step_samples samples = {times_s, h_mk_w, GW_EXP_SAMPLES, resistance_mk_w};
//   st = gw_exp_fit(arena, &samples, 25.0 * GW_YEAR_S, &fit, err);
//   gw_exp_stepper step;
//   gw_exp_stepper_init(&step, &fit, 3600.0);
//   for (each hour) {
//       // change at the end of this hour = step.base + step.gain × q, so q can be chosen with it
//       change_k = gw_exp_advance(&step, q_w_m);
//   }
#ifndef GW_GROUND_HISTORY_H
#define GW_GROUND_HISTORY_H

#include "base/arena.h"
#include "base/err.h"

#include <stddef.h>
#include <string.h>

enum { GW_EXP_MAX = 32, GW_EXP_SAMPLES = 64 }; // room for time constants; good number of samples
#define GW_YEAR_S 31536000.0                   // 365 days
#define GW_EXP_TRUE_FROM_S 3600.0              // earlier samples are not used
#define GW_EXP_FIRST_S 720.0                   // shortest time constant: 0.2 h
#define GW_EXP_LAST_HORIZONS 10.0              // longest, in horizons
#define GW_EXP_PER_DECADE 3.0

typedef struct {
    size_t terms;                       // in use; always a multiple of 4 (unused weights are 0)
    double time_constant_s[GW_EXP_MAX]; // increasing
    double weight[GW_EXP_MAX];          // unit of the response; may be negative
    double offset;                      // what follows the load at once, e.g. a resistance
    double fit_error_frac;              // largest relative error at the samples from one hour on
} gw_exp_response;

typedef struct {
    const double *times_s; // [count] increasing, > 0, log-spaced (5 or more per decade)
    const double *value;   // [count] > 0, any unit per unit load, without the offset
    size_t count;          // ≥ 8
    double offset;         // instantaneous part, ≥ 0
} gw_step_samples;

// The times to sample a response at: multiples of the step, about log-spaced, the last within a
// step of the horizon. A march in that step uses the response at multiples only, so nothing else
// has to be fitted. Needs a horizon of at least 200 steps.
void gw_exp_sample_times(double step_s, double horizon_s, double times_s[GW_EXP_SAMPLES]);

// Fits the samples over a horizon (s, at least ten times GW_EXP_FIRST_S). The samples should run
// from one hour (the time step) to the horizon, see gw_exp_sample_times; at multiples of the step
// the response is then as good as fit_error_frac says (about 1e-5), between the first of them to
// 1e-4. Before one hour it is not meant to be used, beyond the last sample it is an extrapolation
// (one more at INFINITY, the steady value, helps). Errors: GW_ERR_RANGE, GW_ERR_CONVERGE (fit worse
// than 5 %), GW_ERR_NOMEM.
gw_status gw_exp_fit(gw_arena *arena, const gw_step_samples *samples, double horizon_s,
                     gw_exp_response *out, gw_err *err) GW_MUST_USE;

// The fitted step response at one time (t ≥ 0), offset included.
double gw_exp_step(const gw_exp_response *response, double time_s);

// Change per unit of a periodic load: the complex number G with change = Re(G q e^(iωt)) for load
// Re(q e^(iωt)). G = offset + Σ weight_k / (1 + iωτ_k).
typedef struct {
    double re;
    double im;
} gw_complex;
gw_complex gw_exp_periodic(const gw_exp_response *response, double angular_frequency_rad_s);

// One load marching in equal steps.
typedef struct {
    size_t terms;
    double gain;                // change at the end of the coming step per unit load in it
    double base;                // change at the end of the coming step if its load were zero
    double ahead;               // what `base` will be after a step without load
    double carry;               // what a unit load in the coming step adds to that
    double state[GW_EXP_MAX];   // S_k/(1 − e_k): the load as time constant k remembers it
    double decay[GW_EXP_MAX];   // e_k
    double growth[GW_EXP_MAX];  // 1 − e_k
    double outcome[GW_EXP_MAX]; // weight_k e_k² (1 − e_k)
} gw_exp_stepper;

// Starts at rest (no load before). step_s > 0.
void gw_exp_stepper_init(gw_exp_stepper *stepper, const gw_exp_response *response, double step_s);

// Two neighbouring time constants at once (SSE2 and the like).
typedef double gw_exp_lanes __attribute__((vector_size(2 * sizeof(double))));

static inline gw_exp_lanes gw_exp_load(const double *from)
{
    gw_exp_lanes lanes;
    memcpy(&lanes, from, sizeof lanes);
    return lanes;
}

// Takes the load of the coming step as known; returns the change at its end (base + gain × load)
// and makes the stepper ready for the next one. The base is known two steps ahead but for the
// loads between, so that a plant that needs it does not wait for the sum over the history.
static inline double gw_exp_advance(gw_exp_stepper *stepper, double load)
{
    const double change = stepper->base + stepper->gain * load;
    stepper->base = stepper->ahead + stepper->carry * load;
    const gw_exp_lanes loads = {load, load};
    gw_exp_lanes even = {0.0, 0.0}, odd = {0.0, 0.0};
    for (size_t k = 0; k < stepper->terms; k += 4) {
        double *const state = stepper->state + k;
        const gw_exp_lanes first = gw_exp_load(state) * gw_exp_load(stepper->decay + k) + loads;
        const gw_exp_lanes second =
            gw_exp_load(state + 2) * gw_exp_load(stepper->decay + k + 2) + loads;
        memcpy(state, &first, sizeof first);
        memcpy(state + 2, &second, sizeof second);
        even += first * gw_exp_load(stepper->outcome + k);
        odd += second * gw_exp_load(stepper->outcome + k + 2);
    }
    even += odd;
    stepper->ahead = even[0] + even[1];
    return change;
}

// Change now at another place with the same time constants (another fit over the same horizon)
// caused by the stepper's load; `load` is that of the step just taken (for the offset).
double gw_exp_observe(const gw_exp_stepper *stepper, const gw_exp_response *place, double load);

// Direct superposition, the check: change at the end of step n (0-based) for loads[0…n] constant
// in each step. step_response[m] is h((m + 1) Δt), offset included. Work grows with n.
double gw_history_superpose(const double *step_response, const double *loads, size_t n);

#endif
