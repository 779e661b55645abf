// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "plant/plant.h"

// Water between 10 and 60 °C: 4186 J/(kg·K) within 0.2 %, and 1000 kg/m³ at the meter (cold).
#define WATER_HEAT_J_M3K (1000.0 * 4186.0)
#define DAY_S 86400.0

gw_status gw_plant_hot_water_eval(const gw_plant_hot_water *input, gw_plant_hot_water_heat *out,
                                  gw_err *err)
{
    if (!(input->daily_volume_m3 >= 0.0 && input->daily_volume_m3 <= 5.0)) {
        return gw_fail(err, GW_ERR_RANGE, "daily_volume_m3", "%g m3 a day must be 0 to 5",
                       input->daily_volume_m3);
    }
    if (!(input->cold_degc >= 0.0 && input->cold_degc <= 30.0)) {
        return gw_fail(err, GW_ERR_RANGE, "cold_degc", "mains water %g °C must be 0 to 30",
                       input->cold_degc);
    }
    if (!(input->hot_degc > input->cold_degc && input->hot_degc <= 70.0)) {
        return gw_fail(err, GW_ERR_RANGE, "hot_degc",
                       "hot water %g °C must be above the mains (%g °C) and at most 70",
                       input->hot_degc, input->cold_degc);
    }
    if (!(input->standby_loss_w >= 0.0 && input->standby_loss_w <= 1000.0)) {
        return gw_fail(err, GW_ERR_RANGE, "standby_loss_w", "standby loss %g W must be 0 to 1000",
                       input->standby_loss_w);
    }
    if (!(input->heat_pump_share_frac >= 0.0 && input->heat_pump_share_frac <= 1.0)) {
        return gw_fail(err, GW_ERR_RANGE, "heat_pump_share_frac", "share %g must be 0 to 1",
                       input->heat_pump_share_frac);
    }
    const double rise_k = input->hot_degc - input->cold_degc;
    const double mean_w =
        input->daily_volume_m3 * WATER_HEAT_J_M3K * rise_k / DAY_S + input->standby_loss_w;
    *out = (gw_plant_hot_water_heat){
        .mean_w = mean_w,
        .heat_pump_w = mean_w * input->heat_pump_share_frac,
        .electric_w = mean_w * (1.0 - input->heat_pump_share_frac),
    };
    return GW_OK;
}
