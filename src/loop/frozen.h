// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What freezing of the ground does to a trench loop: water that freezes around the pipes gives up
// its heat and conducts better, so the fluid stays warmer than line sources in unfrozen ground say.
//
// Method: the heat that the last simulated year took, day by day, is drawn from two cross-sections
// of the trench (ground/freeze.h) that differ only in whether the water can freeze. The difference
// of their fluid temperatures is the correction; grid and neighbours cancel in it. The caller adds
// it to the undisturbed temperature and simulates again. Both a trench
// alone and one of an endless row are taken, and the lesser gain counts. All pipes of a trench
// carry the same heat, and days are the shortest time: hours ride on top by the line sources. Two
// years are run, the second one counts.
//
//   if (gw_loop_may_freeze(&sized.response, &sized.result)) {
//       st = gw_loop_freeze(arena, &site, &sized.result, &(gw_loop_freeze_case){8, 1.0}, &frozen,
//       err); task.correction_k = frozen.correction_k;
//   }
#ifndef GW_LOOP_FROZEN_H
#define GW_LOOP_FROZEN_H

#include "loop/simulate.h"

typedef struct {
    double *correction_k;        // [8760]
    double greatest_radius_m;    // of the ice around one pipe (circle of the same area)
    int greatest_month;          // 0 = January: at its end the ice is thickest
    double month_radius_m[12];   // at the end of each calendar month
    bool joins_pipe;             // ice of two pipes meets
    bool joins_surface;          // ice reaches the surface's own frost
    bool thaws;                  // no ice is left at the end of some month
    double coldest_gain_k;       // correction on the coldest day
    double worst_imbalance_frac; // of the heat in any step
} gw_loop_frozen;

// Does the ground at a pipe's wall come below freezing by the line sources?
bool gw_loop_may_freeze(const gw_loop_response *response, const gw_loop_result *result);

typedef struct {
    size_t first_month; // in which the loop starts, 0 = January to 11
    double heat_scale;  // the result's heat per metre is multiplied by this; 1 = as it is
} gw_loop_freeze_case;

// Errors: GW_ERR_RANGE (not a trench), those of the ground room, GW_ERR_NOMEM.
gw_status gw_loop_freeze(gw_arena *arena, const gw_loop_site *site, const gw_loop_result *result,
                         const gw_loop_freeze_case *at, gw_loop_frozen *out,
                         gw_err *err) GW_MUST_USE;

#endif
