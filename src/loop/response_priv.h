// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Private to the loop room: the responses of the kinds, and what they share.
#ifndef GW_LOOP_RESPONSE_PRIV_H
#define GW_LOOP_RESPONSE_PRIV_H

#include "loop/kind.h"
#include "loop/response.h"

enum { GW_LOOP_TIMES_MAX = 96 };

// Log-spaced times from the first step of the march to past the horizon; returns their number.
size_t gw_loop_priv_times(double years, double times_s[static GW_LOOP_TIMES_MAX]);

// Film and wall of one pipe that carries `flow_m3_s`.
gw_status gw_loop_priv_pipe(const gw_loop_site *site, double flow_m3_s, gw_film *film,
                            double *out_mk_w, gw_err *err) GW_MUST_USE;

double gw_loop_priv_capacity_w_k(const gw_loop_fluid *fluid);

// A response with no memory: the fluid follows what is about it at once.
gw_exp_response gw_loop_priv_at_once(double offset_mk_w);

// One for each kind. The site has been checked and capacity_w_k is set.
gw_status gw_loop_priv_bores(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                             gw_err *err) GW_MUST_USE;
gw_status gw_loop_priv_trench(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                              gw_err *err) GW_MUST_USE;
gw_status gw_loop_priv_coil(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                            gw_err *err) GW_MUST_USE;
gw_status gw_loop_priv_pond(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                            gw_err *err) GW_MUST_USE;
gw_status gw_loop_priv_well(const gw_loop_site *site, gw_loop_response *out,
                            gw_err *err) GW_MUST_USE;
gw_status gw_loop_priv_mixed(gw_arena *arena, const gw_loop_site *site, gw_loop_response *out,
                             gw_err *err) GW_MUST_USE;

#endif
