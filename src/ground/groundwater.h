// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Screening for moving groundwater: does it matter to these bores, and by how much does the wall
// temperature differ from that of still ground?
//
// It is not a design method: one uniform horizontal flow through all depths, no dispersion, equal
// load per metre, no freezing. What it finds must not be counted on unless the flow is known from
// wells; flow may also fail in dry years.
//
// Method: moving finite line source (Molina-Giraldo, Blum, Zhu, Bayer & Fang 2011, Int. J. Thermal
// Sci. 50:2506), the infinite one (Carslaw & Jaeger 1959, §10.7; Sutton, Nutter & Couvillion 2003,
// J. Energy Resour. Technol. 125:183) being its limit for long bores: point sources carried along
// at the speed of heat, with the mirror image above the surface. Mean over depth and around the
// wall. In the variable s of response.h the flow is one more factor in the integrand.
// Thresholds: Péclet number with the bore's length, Pe = U L/α (equal to the Darcy flux times the
// water's heat capacity times L over k): below 1.2 groundwater is negligible, above 10 the ends of
// the bore are (Molina-Giraldo et al. 2011, abstract). With the spacing as the length, from 1 on
// flow carries more heat than conduction (Chiasson, Rees & Spitler 2000, ASHRAE Trans. 106(1):380,
// from memory).
//
//   const gw_groundwater water = {.darcy_m_s = 1e-7, .to_x = 1.0};
//   const gw_groundwater_case with = {bores, 4, {2.0, 1e-6}, water, times_s, 3};
//   gw_groundwater_change change[3];
//   gw_groundwater_screening found;
//   st = gw_groundwater_screen(&with, &found, change, err);
#ifndef GW_GROUND_GROUNDWATER_H
#define GW_GROUND_GROUNDWATER_H

#include "ground/response.h"

typedef struct {
    double darcy_m_s;        // specific discharge, 0 to 1e-3
    double to_x, to_y;       // where the water goes; any length above zero
    double water_heat_j_m3k; // 0: 4.19e6
} gw_groundwater;

typedef struct {
    const gw_segment *bores; // [count] whole vertical bores, 1 to 500
    size_t count;
    gw_ground_medium medium;
    gw_groundwater water;
    const double *times_s; // [times] strictly increasing, > 0
    size_t times;          // ≥ 1; usually 1, 10 and 50 years
} gw_groundwater_case;

typedef enum {
    GW_GROUNDWATER_NEGLIGIBLE, // Pe < 1.2: design as still ground
    GW_GROUNDWATER_FELT,       // flow and ends together
    GW_GROUNDWATER_STRONG,     // Pe > 10: the ends no longer matter, the response stops rising
} gw_groundwater_class;

typedef struct {
    double heat_m_s;       // speed at which heat is carried
    double peclet_length;  // with the mean length of the bores
    double peclet_spacing; // with the least distance between bores; 0 for one bore
    gw_groundwater_class class;
} gw_groundwater_screening;

// Temperature drop at the wall per W/m on every bore.
typedef struct {
    double still_mk_w;   // mean of the bores, without flow
    double moving_mk_w;  // mean of the bores, with flow
    double coldest_mk_w; // of the bore that suffers most, with flow
} gw_groundwater_change;

// change[with->times]. Errors: GW_ERR_RANGE; GW_ERR_GEOMETRY for bores that are not vertical and
// those of gw_segments_check.
gw_status gw_groundwater_screen(const gw_groundwater_case *with, gw_groundwater_screening *out,
                                gw_groundwater_change *change, gw_err *err) GW_MUST_USE;

#endif
