// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The plant's answer for one hour, inline: the hot path of the hourly simulation.
//
// It validates nothing (gw_plant_build did) and allocates nothing. Loads must be ≥ 0 and finite.
// Units are loaded one after the other: all but the last run steadily, the last one cycles (single
// stage), or cycles in low stage and above that changes between low and full (two stages).
//
//   const gw_plant_flow flow = gw_plant_hour(&plant, (gw_plant_loads){.heating_w = 8000.0}, 2.5);
//   // energy: heating = ground + compressor + blower + auxiliary (+ circulator heat)
#ifndef GW_PLANT_HOT_H
#define GW_PLANT_HOT_H

#include "plant/plant.h"

// Compilers leave these out of line by size, and a call costs as much as the arithmetic.
#if defined(__GNUC__)
#define GW_PLANT_INLINE static inline __attribute__((always_inline))
#else
#define GW_PLANT_INLINE static inline
#endif

// Capacity and power of one stage and their slopes with entering water.
typedef struct {
    double capacity_w;
    double d_capacity_w_k;
    double power_w;
    double d_power_w_k;
} gw_plant_point;

GW_PLANT_INLINE gw_plant_point gw_plant_stage_at(const gw_plant_stage *stage, double entering_degc)
{
    int i = 0; // counted, not searched: no branch depends on the temperature
    for (int k = 1; k <= stage->last; ++k) {
        i += entering_degc >= stage->knot_degc[k];
    }
    return (gw_plant_point){
        .capacity_w = stage->capacity_at_0_w[i] + stage->capacity_slope_w_k[i] * entering_degc,
        .d_capacity_w_k = stage->capacity_slope_w_k[i],
        .power_w = stage->power_at_0_w[i] + stage->power_slope_w_k[i] * entering_degc,
        .d_power_w_k = stage->power_slope_w_k[i],
    };
}

GW_PLANT_INLINE unsigned gw_plant_flags(const gw_plant *plant, const gw_plant_mode *mode,
                                        double entering_degc)
{
    unsigned flags = 0;
    if (entering_degc < mode->first_degc || entering_degc > mode->final_degc) {
        flags |= GW_PLANT_EXTRAPOLATED;
        if (entering_degc < mode->full.low_degc || entering_degc > mode->full.high_degc) {
            flags |= GW_PLANT_HELD;
        }
    }
    if (entering_degc < plant->min_entering_degc) {
        flags |= GW_PLANT_TOO_COLD;
    } else if (entering_degc > plant->max_entering_degc) {
        flags |= GW_PLANT_TOO_WARM;
    }
    return flags;
}

// What the units draw for a load they can meet, before it is shared out between ground and house.
typedef struct {
    double compressor_w;
    double d_compressor_w_k;
    double run; // full runs of units, 0 to unit_count
    double d_run_per_k;
    double met_w;
    double d_met_w_k;
} gw_plant_draw;

// The last unit cycles between off and a stage of capacity c, meeting r ≤ c:
// run = x/(1 − Cd (1 − x)) with x = r/c, which is r/((1 − Cd) c + Cd r): one division.
GW_PLANT_INLINE void gw_plant_cycle(gw_plant_draw *draw, double cd, const gw_plant_point *at,
                                    double r_w, double d_r_w_k)
{
    const double per_w = 1.0 / ((1.0 - cd) * at->capacity_w + cd * r_w);
    const double run = r_w * per_w;
    const double d_run =
        (1.0 - cd) * per_w * per_w * (d_r_w_k * at->capacity_w - r_w * at->d_capacity_w_k);
    draw->compressor_w += run * at->power_w;
    draw->d_compressor_w_k += run * at->d_power_w_k + d_run * at->power_w;
    draw->run += run;
    draw->d_run_per_k += d_run;
}

// The last unit runs on, changing between low and full stage so that r_w is met.
GW_PLANT_INLINE void gw_plant_mix(gw_plant_draw *draw, const gw_plant_point *low,
                                  const gw_plant_point *full, double r_w, double d_r_w_k)
{
    const double span_w = full->capacity_w - low->capacity_w;
    const double d_span_w_k = full->d_capacity_w_k - low->d_capacity_w_k;
    const double f = (r_w - low->capacity_w) / span_w;
    const double d_f = (d_r_w_k - low->d_capacity_w_k - f * d_span_w_k) / span_w;
    const double more_w = full->power_w - low->power_w;
    draw->compressor_w += low->power_w + f * more_w;
    draw->d_compressor_w_k +=
        low->d_power_w_k + f * (full->d_power_w_k - low->d_power_w_k) + d_f * more_w;
    draw->run += 1.0;
}

GW_PLANT_INLINE gw_plant_draw gw_plant_draw_at(const gw_plant *plant, const gw_plant_mode *mode,
                                               double load_w, double entering_degc)
{
    const gw_plant_point full = gw_plant_stage_at(&mode->full, entering_degc);
    if (load_w >= plant->units * full.capacity_w) {
        return (gw_plant_draw){.compressor_w = plant->units * full.power_w,
                               .d_compressor_w_k = plant->units * full.d_power_w_k,
                               .run = plant->units,
                               .met_w = plant->units * full.capacity_w,
                               .d_met_w_k = plant->units * full.d_capacity_w_k};
    }
    // Units that run without a stop.
    const double steady = load_w < full.capacity_w ? 0.0 : (double)(int)(load_w / full.capacity_w);
    gw_plant_draw draw = {.compressor_w = steady * full.power_w,
                          .d_compressor_w_k = steady * full.d_power_w_k,
                          .run = steady,
                          .met_w = load_w};
    const double r_w = load_w - steady * full.capacity_w;
    const double d_r_w_k = -steady * full.d_capacity_w_k;
    if (mode->low.last >= 0) {
        const gw_plant_point low = gw_plant_stage_at(&mode->low, entering_degc);
        if (r_w > low.capacity_w) {
            gw_plant_mix(&draw, &low, &full, r_w, d_r_w_k);
        } else {
            gw_plant_cycle(&draw, plant->cycling_coefficient, &low, r_w, d_r_w_k);
        }
    } else {
        gw_plant_cycle(&draw, plant->cycling_coefficient, &full, r_w, d_r_w_k);
    }
    return draw;
}

// Heating: ground_w is what the loop fluid gives up, after the circulator's own heat.
GW_PLANT_INLINE gw_plant_flow gw_plant_heat(const gw_plant *plant, double load_w,
                                            double entering_degc)
{
    const gw_plant_mode *const mode = &plant->heating;
    if (mode->full.last < 0) {
        return (gw_plant_flow){.auxiliary_w = load_w, .flags = GW_PLANT_NO_MODE};
    }
    const gw_plant_draw draw = gw_plant_draw_at(plant, mode, load_w, entering_degc);
    // Both run with the compressor; only part of the circulator's power warms the fluid.
    const double blower_w = draw.run * plant->blower_power_w;
    const double circulator_w = draw.run * plant->circulator_power_w;
    const double side_w =
        plant->blower_power_w + plant->circulator_heat_frac * plant->circulator_power_w;
    return (gw_plant_flow){
        .ground_w = draw.met_w - draw.compressor_w - draw.run * side_w,
        .d_ground_w_k = draw.d_met_w_k - draw.d_compressor_w_k - draw.d_run_per_k * side_w,
        .compressor_w = draw.compressor_w,
        .d_compressor_w_k = draw.d_compressor_w_k,
        .blower_w = blower_w,
        .circulator_w = circulator_w,
        .auxiliary_w = load_w - draw.met_w,
        .run_frac = draw.run * plant->per_unit,
        .flags = gw_plant_flags(plant, mode, entering_degc) |
                 (load_w > draw.met_w ? (unsigned)GW_PLANT_SHORT : 0U),
    };
}

// Cooling: ground_w is the heat rejected to the loop fluid (> 0), the circulator's heat included.
GW_PLANT_INLINE gw_plant_flow gw_plant_cool(const gw_plant *plant, double load_w,
                                            double entering_degc)
{
    const gw_plant_mode *const mode = &plant->cooling;
    if (mode->full.last < 0) {
        return (gw_plant_flow){.unmet_w = load_w, .flags = GW_PLANT_NO_MODE};
    }
    const gw_plant_draw draw = gw_plant_draw_at(plant, mode, load_w, entering_degc);
    const double side_w =
        plant->blower_power_w + plant->circulator_heat_frac * plant->circulator_power_w;
    return (gw_plant_flow){
        .ground_w = draw.met_w + draw.compressor_w + draw.run * side_w,
        .d_ground_w_k = draw.d_met_w_k + draw.d_compressor_w_k + draw.d_run_per_k * side_w,
        .compressor_w = draw.compressor_w,
        .d_compressor_w_k = draw.d_compressor_w_k,
        .blower_w = draw.run * plant->blower_power_w,
        .circulator_w = draw.run * plant->circulator_power_w,
        .unmet_w = load_w - draw.met_w,
        .run_frac = draw.run * plant->per_unit,
        .flags = gw_plant_flags(plant, mode, entering_degc) |
                 (load_w > draw.met_w ? (unsigned)GW_PLANT_SHORT : 0U),
    };
}

// Hot water is heating at a lower COP: more compressor, less ground, by the share the heat pump
// makes. Returns the heating flow of space and water together.
GW_PLANT_INLINE gw_plant_flow gw_plant_heat_and_water(const gw_plant *plant, double heating_w,
                                                      double hot_water_w, double entering_degc)
{
    const double load_w = heating_w + hot_water_w;
    gw_plant_flow flow = gw_plant_heat(plant, load_w, entering_degc);
    if (hot_water_w > 0.0) {
        const double more = hot_water_w / load_w * (1.0 / plant->hot_water_cop_ratio - 1.0);
        flow.ground_w -= more * flow.compressor_w;
        flow.d_ground_w_k -= more * flow.d_compressor_w_k;
        flow.compressor_w *= 1.0 + more;
        flow.d_compressor_w_k *= 1.0 + more;
    }
    return flow;
}

// The whole hour. ground_w is the net extraction: rejected heat counts negative. Heating and
// cooling in one hour are added; run_frac is the sum and may then exceed 1.
GW_PLANT_INLINE gw_plant_flow gw_plant_hour(const gw_plant *plant, gw_plant_loads loads,
                                            double entering_degc)
{
    if (!(loads.cooling_w > 0.0)) {
        return gw_plant_heat_and_water(plant, loads.heating_w, loads.hot_water_w, entering_degc);
    }
    const gw_plant_flow cool = gw_plant_cool(plant, loads.cooling_w, entering_degc);
    const gw_plant_flow heat =
        gw_plant_heat_and_water(plant, loads.heating_w, loads.hot_water_w, entering_degc);
    return (gw_plant_flow){
        .ground_w = heat.ground_w - cool.ground_w,
        .d_ground_w_k = heat.d_ground_w_k - cool.d_ground_w_k,
        .compressor_w = heat.compressor_w + cool.compressor_w,
        .d_compressor_w_k = heat.d_compressor_w_k + cool.d_compressor_w_k,
        .blower_w = heat.blower_w + cool.blower_w,
        .circulator_w = heat.circulator_w + cool.circulator_w,
        .auxiliary_w = heat.auxiliary_w,
        .unmet_w = cool.unmet_w,
        .run_frac = heat.run_frac + cool.run_frac,
        .flags = heat.flags | cool.flags,
    };
}

#endif
