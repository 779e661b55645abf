// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Loops: a coil's ring, open wells, and a loop sized for a house with all the rooms behind it.
#include "base/builtin.h"
#include "check.h"
#include "climate/synthesis.h"
#include "fluid/fluid.h"
#include "house/hourly_load.h"
#include "loop/coil.h"
#include "loop/size.h"
#include "loop/well.h"
#include "pipes/size.h"
#include "plant/catalogue.h"

static const double PI = 3.14159265358979323846;

enum { TIMES_MAX = 32 };

// ---- one ring of a coil ------------------------------------------------------------------------

// A turn is drawn out by the pitch and has more pipe than the circle: the answer is per circle.
// With a neighbour it is what the second ring adds.
static gw_status coil_of(const gw_response_case *with, const gw_coil_plan *coil, double pipe_m,
                         double *h_mk_w, gw_err *err)
{
    const gw_status st = gw_coil_step_response(with, coil, pipe_m, h_mk_w, err);
    const double more = gw_coil_extent_of(coil).turn_m / (PI * coil->ring_diameter_m);
    for (size_t i = 0; i < with->count && st == GW_OK; ++i) {
        h_mk_w[i] /= more;
    }
    return st;
}

static gw_status run_coil_ring(gw_check_call *call, gw_err *err)
{
    size_t count = 0;
    const double *times_s = gw_check_list(call, "times_s", &count);
    const double ring_m = 2.0 * gw_check_number(call, "ring_radius_m");
    const double pipe_m = 2.0 * gw_check_number(call, "pipe_radius_m");
    const double offset_m = gw_check_number(call, "offset_m");
    gw_coil_plan coil = {.count = 1,
                         .length_m = ring_m,
                         .depth_m = gw_check_number(call, "depth_m"),
                         .width_m = 1.2 * ring_m,
                         .ring_diameter_m = ring_m,
                         .pitch_m = offset_m > 0.0 ? offset_m : 0.5 * ring_m,
                         .lie = GW_COIL_FLAT};
    const gw_response_case with = {.medium = {gw_check_number(call, "conductivity_w_mk"),
                                              gw_check_number(call, "diffusivity_m2_s")},
                                   .times_s = times_s,
                                   .count = count,
                                   .without_mirror = gw_check_choice(call, "surface") == 1};
    double alone[TIMES_MAX] = {0.0}, pair[TIMES_MAX];
    if (count > TIMES_MAX) {
        return gw_fail(err, GW_ERR_RANGE, "times_s", "%zu times, at most %d", count, TIMES_MAX);
    }
    gw_status st = coil_of(&with, &coil, pipe_m, alone, err);
    if (st == GW_OK && offset_m > 0.0) {
        coil.length_m += coil.pitch_m;
        st = coil_of(&with, &coil, pipe_m, pair, err);
    }
    for (size_t i = 0; i < count; ++i) {
        alone[i] =
            gw_check_number(call, "heat_w_m") * (offset_m > 0.0 ? pair[i] - alone[i] : alone[i]);
    }
    if (st == GW_OK) {
        gw_check_give_list(call, "change_k", alone, count);
    }
    return st;
}

// ---- a loop for a house ------------------------------------------------------------------------

typedef struct {
    gw_check_call *call;
    const gw_station *station;
    gw_house_load_year loads;
    gw_plant plant;
    gw_soil_layer layer;
    gw_loop_ground ground;
    gw_loop_pipe pipe;
    gw_loop_fluid fluid;
    gw_loop_limits limits;
} whole;

static gw_status find_station(whole *w, gw_err *err)
{
    gw_builtin_file file;
    gw_table table;
    gw_stations stations;
    if (!gw_builtin("stations.csv", &file)) {
        return gw_fail(err, GW_ERR_MISSING, NULL, "no built-in stations");
    }
    gw_status st = gw_table_read(w->call->arena, file.name, file.text, file.length, &table, err);
    if (st == GW_OK) {
        st = gw_stations_read(w->call->arena, &table, &stations, err);
    }
    if (st == GW_OK) {
        st = gw_station_find(&stations, gw_check_word(w->call, "station"), &w->station, err);
    }
    return st;
}

// A house whose design loss and gain are given, in a year made from the station's normals.
static gw_status make_loads(whole *w, gw_err *err)
{
    gw_weather weather;
    const gw_synthesis how = {.station = w->station, .seed = 1};
    const gw_house_conditions conditions = gw_house_conditions_from_station(w->station);
    gw_house house = gw_house_default();
    house.floor_area_m2 = 180.0;
    house.design_loss_w = gw_check_number(w->call, "loss_w");
    house.design_gain_w = gw_check_number(w->call, "gain_w");
    const gw_status st = gw_weather_synthesize(w->call->arena, &how, &weather, err);
    return st != GW_OK
               ? st
               : gw_house_loads(w->call->arena, &house,
                                &(gw_house_year){.weather = &weather, .conditions = &conditions},
                                &w->loads, err);
}

static gw_status make_plant(whole *w, gw_err *err)
{
    gw_plant_catalogue pumps;
    const gw_heat_pump *pump = NULL;
    gw_status st = gw_plant_read_builtin(w->call->arena, &pumps, err);
    if (st == GW_OK) {
        st = gw_plant_find(&pumps, gw_check_word(w->call, "pump"), &pump, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const gw_plant_input input = {.pump = *pump,
                                  .unit_count = 1,
                                  .cycling_coefficient = GW_PLANT_CYCLING_DEFAULT,
                                  .circulator_power_w = gw_check_number(w->call, "circulator_w"),
                                  .circulator_heat_frac = 0.5,
                                  .design_loss_w = gw_check_number(w->call, "loss_w"),
                                  .share_of_design_loss = gw_check_number(w->call, "share"),
                                  .sizing_entering_degc =
                                      gw_check_number(w->call, "min_entering_degc")};
    return gw_plant_build(&input, &w->plant, err);
}

static gw_status make_fluid_and_pipe(whole *w, gw_err *err)
{
    gw_fluid_table table;
    gw_fluid_mix mix = {.mass_frac = gw_check_number(w->call, "mass_frac")};
    gw_fluid_props props;
    gw_pipe_catalogue pipes;
    const gw_pipe_size *pipe = NULL;
    gw_status st = gw_fluid_read_builtin(w->call->arena, &table, err);
    if (st == GW_OK) {
        st = gw_fluid_kind_from_id(gw_check_word(w->call, "fluid"), &mix.kind, err);
    }
    if (st == GW_OK) {
        st = gw_fluid_at(&table, mix, 0.0, &props, err);
    }
    if (st == GW_OK) {
        st = gw_pipes_read_builtin(w->call->arena, &pipes, err);
    }
    if (st == GW_OK) {
        st = gw_pipes_find(&pipes, gw_check_word(w->call, "pipe"), &pipe, err);
    }
    if (st == GW_OK) {
        w->fluid = (gw_loop_fluid){.props = {props.density_kg_m3, props.specific_heat_j_kgk,
                                             props.conductivity_w_mk, props.viscosity_pa_s},
                                   .flow_m3_s = w->plant.rated_flow_m3_s};
        w->pipe =
            (gw_loop_pipe){pipe->outer_diameter_m, pipe->inner_diameter_m, pipe->conductivity_w_mk};
    }
    return st;
}

static void make_ground(whole *w)
{
    const double k_w_mk = gw_check_number(w->call, "conductivity_w_mk");
    const double heat_j_m3k = gw_check_number(w->call, "heat_j_m3k");
    w->layer = (gw_soil_layer){.thickness_m = 1.0,
                               .soil = {.conductivity_w_mk = k_w_mk,
                                        .volumetric_heat_j_m3k = heat_j_m3k,
                                        .frozen_conductivity_w_mk = k_w_mk,
                                        .frozen_volumetric_heat_j_m3k = heat_j_m3k}};
    w->ground = (gw_loop_ground){.profile = {.layers = &w->layer, .count = 1},
                                 .surface = {.mean_degc = w->station->ground_mean_degc,
                                             .amplitude_k = w->station->ground_amplitude_k,
                                             .phase_day = w->station->ground_phase_day},
                                 .gradient_k_m = gw_check_number(w->call, "gradient_k_m")};
    w->limits = (gw_loop_limits){.min_entering_degc = gw_check_number(w->call, "min_entering_degc"),
                                 .max_entering_degc = 35.0,
                                 .years = gw_check_number(w->call, "years")};
}

static gw_loop_plan plan_of(const gw_check_call *call)
{
    const size_t count = (size_t)gw_check_number(call, "count");
    const double spacing_m = gw_check_number(call, "spacing_m");
    gw_loop_plan plan = {.name = "case", .free = GW_FREE_LENGTH};
    if (gw_check_choice(call, "kind") == 0) {
        plan.kind = GW_LOOP_BORES;
        plan.bores = (gw_bores_plan){.count = count,
                                     .top_m = 1.5,
                                     .diameter_m = 0.15,
                                     .spacing_m = spacing_m,
                                     .rows = 1,
                                     .u_tubes = 1,
                                     .grout_conductivity_w_mk = gw_check_number(call, "grout_w_mk"),
                                     .grout_volumetric_heat_j_m3k = 2.9e6,
                                     .max_depth_m = 300.0};
    } else {
        plan.kind = GW_LOOP_TRENCH;
        plan.trench = (gw_trench_plan){.count = count,
                                       .spacing_m = spacing_m,
                                       .depth_m = gw_check_number(call, "depth_m"),
                                       .width_m = 0.61,
                                       .pipes = 2,
                                       .arrangement = GW_PIPES_ON_FLOOR,
                                       .pipe_gap_m = 0.5,
                                       .max_length_m = 400.0};
    }
    return plan;
}

static void give_sized(gw_check_call *call, const whole *w, const gw_loop_sized *sized)
{
    const gw_loop_plan *plan = &sized->plan;
    const double length_m = gw_loop_length_m(plan);
    gw_check_give(call, "holds", sized->holds ? 1.0 : 0.0);
    gw_check_give(call, "length_m", length_m);
    gw_check_give(call, "each_m",
                  plan->kind == GW_LOOP_BORES ? plan->bores.depth_m : plan->trench.length_m);
    gw_check_give(call, "trench_m",
                  plan->kind == GW_LOOP_BORES ? 0.0
                                              : (double)plan->trench.count * plan->trench.length_m);
    gw_check_give(call, "peak_w_m", sized->result.peak_extraction_w / length_m);
    gw_check_give(call, "year_kwh_m", sized->result.last.extracted_j / 3.6e6 / length_m);
    gw_check_give(call, "full_hours",
                  sized->result.last.extracted_j / 3600.0 / sized->result.peak_extraction_w);
    gw_check_give(call, "coldest_degc", sized->result.coldest.degc);
    gw_check_give(call, "heating_spf", sized->result.heating_spf);
    gw_check_give(call, "heating_kwh", w->loads.heating_j / 3.6e6);
}

static gw_status run_sized_loop(gw_check_call *call, gw_err *err)
{
    whole *w = gw_arena_alloc(call->arena, 1, sizeof *w);
    gw_loop_sized *sized = gw_arena_alloc(call->arena, 1, sizeof *sized);
    if (w == NULL || sized == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "no memory for a loop");
    }
    w->call = call;
    gw_status st = find_station(w, err);
    st = st == GW_OK ? make_loads(w, err) : st;
    st = st == GW_OK ? make_plant(w, err) : st;
    st = st == GW_OK ? make_fluid_and_pipe(w, err) : st;
    if (st != GW_OK) {
        return st;
    }
    make_ground(w);
    const gw_loop_plan plan = plan_of(call);
    const gw_loop_task task = {.plan = &plan,
                               .ground = &w->ground,
                               .pipe = &w->pipe,
                               .fluid = &w->fluid,
                               .limits = &w->limits,
                               .heating_w = w->loads.heating_w,
                               .cooling_w = w->loads.cooling_w,
                               .plant = &w->plant,
                               .first_month = GW_LOOP_FIRST_MONTH};
    st = gw_loop_size(call->arena, &task, sized, err);
    if (st == GW_OK) {
        give_sized(call, w, sized);
    }
    return st;
}

// ---- open wells --------------------------------------------------------------------------------

static gw_status run_well_function(gw_check_call *call, gw_err *err)
{
    (void)err;
    gw_check_give(call, "w", gw_well_function(gw_check_number(call, "u")));
    return GW_OK;
}

static gw_status run_drawdown(gw_check_call *call, gw_err *err)
{
    (void)err;
    const gw_well_aquifer aquifer = {gw_check_number(call, "transmissivity_m2_s"),
                                     gw_check_number(call, "storativity")};
    const gw_well_pumping pumping = {gw_check_number(call, "flow_m3_s"),
                                     gw_check_number(call, "distance_m"),
                                     gw_check_number(call, "time_s")};
    gw_check_give(call, "drawdown_m", gw_well_drawdown_m(&aquifer, &pumping));
    return GW_OK;
}

static gw_status run_doublet(gw_check_call *call, gw_err *err)
{
    (void)err;
    const gw_well_doublet doublet = {
        .distance_m = gw_check_number(call, "distance_m"),
        .flow_m3_s = gw_check_number(call, "flow_m3_s"),
        .thickness_m = gw_check_number(call, "thickness_m"),
        .aquifer_heat_j_m3k = gw_check_number(call, "aquifer_heat_j_m3k"),
        .transmissivity_m2_s = gw_check_number(call, "transmissivity_m2_s"),
        .gradient = gw_check_number(call, "gradient"),
    };
    const gw_well_return_heat heat = gw_well_return_heat_of(&doublet);
    gw_check_give(call, "breakthrough_s", heat.breakthrough_s);
    gw_check_give(call, "feedback_distance_m", heat.feedback_distance_m);
    return GW_OK;
}

static gw_status run_well_flow(gw_check_call *call, gw_err *err)
{
    (void)err;
    gw_check_give(call, "flow_m3_s",
                  gw_check_number(call, "capacity_w") *
                      gw_well_flow_per_watt_m3_s(gw_check_number(call, "cop"),
                                                 gw_check_number(call, "change_k"),
                                                 gw_check_choice(call, "for") == 1));
    return GW_OK;
}

const gw_check_verb gw_verbs_loop[] = {
    {.name = "well_function",
     .what = "W(u) of Theis",
     .run = run_well_function,
     .givens = {{.name = "u", .kind = GW_QTY_NUMBER}},
     .results = {{"w", GW_QTY_NUMBER}}},
    {.name = "drawdown",
     .what = "drawdown of a pumped well by Theis",
     .run = run_drawdown,
     .givens = {{.name = "flow_m3_s", .kind = GW_QTY_FLOW},
                {.name = "transmissivity_m2_s", .kind = GW_QTY_DIFFUSIVITY},
                {.name = "storativity", .kind = GW_QTY_NUMBER},
                {.name = "distance_m", .kind = GW_QTY_LENGTH},
                {.name = "time_s", .kind = GW_QTY_DURATION}},
     .results = {{"drawdown_m", GW_QTY_LENGTH}}},
    {.name = "doublet",
     .what = "thermal breakthrough of supply and return well",
     .run = run_doublet,
     .givens = {{.name = "distance_m", .kind = GW_QTY_LENGTH},
                {.name = "flow_m3_s", .kind = GW_QTY_FLOW},
                {.name = "thickness_m", .kind = GW_QTY_LENGTH, .otherwise = "10"},
                {.name = "aquifer_heat_j_m3k",
                 .kind = GW_QTY_VOLUMETRIC_HEAT,
                 .otherwise = "2.6e6"},
                {.name = "transmissivity_m2_s", .kind = GW_QTY_DIFFUSIVITY, .otherwise = "1e-3"},
                {.name = "gradient", .kind = GW_QTY_NUMBER, .otherwise = "0"}},
     .results = {{"breakthrough_s", GW_QTY_DURATION}, {"feedback_distance_m", GW_QTY_LENGTH}}},
    {.name = "well_flow",
     .what = "well water for a unit's capacity",
     .run = run_well_flow,
     .givens = {{.name = "capacity_w", .kind = GW_QTY_COOLING_POWER},
                {.name = "cop", .kind = GW_QTY_NUMBER},
                {.name = "change_k", .kind = GW_QTY_TEMPERATURE_DIFFERENCE},
                {.name = "for",
                 .kind = GW_CHECK_WORD,
                 .words = "heating|cooling",
                 .otherwise = "heating"}},
     .results = {{"flow_m3_s", GW_QTY_FLOW}}},
    {.name = "coil_ring",
     .what = "one ring of a coil as the loop room computes it; with an offset, what a second ring "
             "beside it adds",
     .run = run_coil_ring,
     .givens = {{.name = "conductivity_w_mk", .kind = GW_QTY_CONDUCTIVITY},
                {.name = "diffusivity_m2_s", .kind = GW_QTY_DIFFUSIVITY},
                {.name = "times_s", .kind = GW_QTY_DURATION, .list = true},
                {.name = "surface",
                 .kind = GW_CHECK_WORD,
                 .words = "isothermal|none",
                 .otherwise = "isothermal"},
                {.name = "ring_radius_m", .kind = GW_QTY_LENGTH},
                {.name = "pipe_radius_m", .kind = GW_QTY_SMALL_LENGTH},
                {.name = "depth_m", .kind = GW_QTY_LENGTH},
                {.name = "offset_m", .kind = GW_QTY_LENGTH, .otherwise = "0"},
                {.name = "heat_w_m", .kind = GW_QTY_LINE_POWER}},
     .results = {{"change_k", GW_QTY_TEMPERATURE_DIFFERENCE}}},
    {.name = "sized_loop",
     .what = "a loop sized for a house of given design loss, in a year made from a station's "
             "normals, with a generic heat pump; trenches have two pipes on their floor and no "
             "ice",
     .run = run_sized_loop,
     .givens = {{.name = "kind", .kind = GW_CHECK_WORD, .words = "bores|trenches"},
                {.name = "station", .kind = GW_CHECK_WORD},
                {.name = "loss_w", .kind = GW_QTY_COOLING_POWER},
                {.name = "gain_w", .kind = GW_QTY_COOLING_POWER, .otherwise = "0"},
                {.name = "pump", .kind = GW_CHECK_WORD, .otherwise = "generic_two_stage"},
                {.name = "share", .kind = GW_QTY_FRACTION, .otherwise = "0.9"},
                {.name = "circulator_w", .kind = GW_QTY_POWER, .otherwise = "150"},
                {.name = "fluid", .kind = GW_CHECK_WORD, .otherwise = "ethanol"},
                {.name = "mass_frac", .kind = GW_QTY_FRACTION, .otherwise = "0.2"},
                {.name = "pipe", .kind = GW_CHECK_WORD},
                {.name = "count", .kind = GW_QTY_NUMBER},
                {.name = "spacing_m", .kind = GW_QTY_LENGTH},
                {.name = "depth_m", .kind = GW_QTY_LENGTH, .otherwise = "1.7"},
                {.name = "grout_w_mk", .kind = GW_QTY_CONDUCTIVITY, .otherwise = "1.4"},
                {.name = "conductivity_w_mk", .kind = GW_QTY_CONDUCTIVITY},
                {.name = "heat_j_m3k", .kind = GW_QTY_VOLUMETRIC_HEAT, .otherwise = "2.3e6"},
                {.name = "gradient_k_m", .kind = GW_QTY_NUMBER, .otherwise = "0.02"},
                {.name = "min_entering_degc", .kind = GW_QTY_TEMPERATURE, .otherwise = "-1"},
                {.name = "years", .kind = GW_QTY_NUMBER, .otherwise = "25"}},
     .results = {{"holds", GW_QTY_NUMBER},
                 {"length_m", GW_QTY_LENGTH},
                 {"each_m", GW_QTY_LENGTH},
                 {"trench_m", GW_QTY_LENGTH},
                 {"peak_w_m", GW_QTY_LINE_POWER},
                 {"year_kwh_m", GW_QTY_NUMBER},
                 {"full_hours", GW_QTY_NUMBER},
                 {"coldest_degc", GW_QTY_TEMPERATURE},
                 {"heating_spf", GW_QTY_NUMBER},
                 {"heating_kwh", GW_QTY_NUMBER}}},
    {0},
};
