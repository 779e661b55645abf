// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Heat pump: heat balance, cycling, ratings of the generic curves.
#include "check.h"
#include "plant/catalogue.h"
#include "plant/hot.h"

// A unit whose capacity and COP do not change with entering water.
static gw_plant_input level_pump(const gw_check_call *call)
{
    const double capacity_w = gw_check_number(call, "capacity_w");
    const double power_w = capacity_w / gw_check_number(call, "cop");
    gw_heat_pump pump = {.id = "level",
                         .name = "level",
                         .source = "the case file",
                         .rated_flow_m3_s = 6e-4,
                         .pressure_drop_pa = 30e3,
                         .min_entering_degc = -10.0,
                         .max_entering_degc = 40.0};
    pump.heating = (gw_plant_curve){
        .count = 2, .points = {{-5.0, capacity_w, power_w}, {20.0, capacity_w, power_w}}};
    return (gw_plant_input){.pump = pump,
                            .unit_count = 1,
                            .cycling_coefficient = gw_check_number(call, "cycling_coefficient")};
}

static gw_status run_level(gw_check_call *call, gw_err *err)
{
    const gw_plant_input input = level_pump(call);
    gw_plant plant;
    const gw_status st = gw_plant_build(&input, &plant, err);
    if (st != GW_OK) {
        return st;
    }
    const double load_w = gw_check_number(call, "load_w");
    const gw_plant_flow flow = gw_plant_heat(&plant, load_w, 5.0);
    const double full_w = gw_check_number(call, "capacity_w") / gw_check_number(call, "cop");
    const double ratio = load_w / gw_check_number(call, "capacity_w");
    gw_check_give(call, "ground_w", flow.ground_w);
    gw_check_give(call, "compressor_w", flow.compressor_w);
    gw_check_give(call, "auxiliary_w", flow.auxiliary_w);
    gw_check_give(call, "part_load_factor", ratio * full_w / flow.compressor_w);
    return GW_OK;
}

static gw_status run_generic(gw_check_call *call, gw_err *err)
{
    gw_plant_catalogue pumps;
    const gw_heat_pump *pump = NULL;
    gw_plant plant;
    gw_status st = gw_plant_read_builtin(call->arena, &pumps, err);
    if (st == GW_OK) {
        st = gw_plant_find(&pumps, gw_check_word(call, "pump"), &pump, err);
    }
    if (st == GW_OK) {
        const gw_plant_input input = {.pump = *pump, .unit_count = 1};
        st = gw_plant_build(&input, &plant, err);
    }
    if (st == GW_OK) {
        const double entering_degc = gw_check_number(call, "entering_degc");
        const gw_plant_rated heating = gw_plant_rated_heating(&plant, entering_degc);
        const gw_plant_rated cooling = gw_plant_rated_cooling(&plant, entering_degc);
        gw_check_give(call, "heating_cop", heating.cop);
        gw_check_give(call, "cooling_cop", cooling.cop);
        gw_check_give(call, "cooling_eer", gw_plant_eer_from_cop(cooling.cop));
    }
    return st;
}

static gw_status run_eer(gw_check_call *call, gw_err *err)
{
    (void)err;
    gw_check_give(call, "cop", gw_plant_cop_from_eer(gw_check_number(call, "eer")));
    return GW_OK;
}

const gw_check_verb gw_verbs_plant[] = {
    {.name = "heat_pump_hour",
     .what = "an hour of heating by one unit of constant capacity and COP",
     .run = run_level,
     .givens = {{.name = "capacity_w", .kind = GW_QTY_POWER},
                {.name = "cop", .kind = GW_QTY_NUMBER},
                {.name = "load_w", .kind = GW_QTY_POWER},
                {.name = "cycling_coefficient", .kind = GW_QTY_NUMBER, .otherwise = "0.18"}},
     .results = {{"ground_w", GW_QTY_POWER},
                 {"compressor_w", GW_QTY_POWER},
                 {"auxiliary_w", GW_QTY_POWER},
                 {"part_load_factor", GW_QTY_NUMBER}}},
    {.name = "generic_heat_pump",
     .what = "COP of a built-in generic curve (compressor and blower)",
     .run = run_generic,
     .givens = {{.name = "pump", .kind = GW_CHECK_WORD},
                {.name = "entering_degc", .kind = GW_QTY_TEMPERATURE}},
     .results = {{"heating_cop", GW_QTY_NUMBER},
                 {"cooling_cop", GW_QTY_NUMBER},
                 {"cooling_eer", GW_QTY_NUMBER}}},
    {.name = "cop_from_eer",
     .what = "cooling COP of an EER",
     .run = run_eer,
     .givens = {{.name = "eer", .kind = GW_QTY_NUMBER}},
     .results = {{"cop", GW_QTY_NUMBER}}},
    {0},
};
