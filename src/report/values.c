// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The design's figures by key, as the checklist and the test schedule show them.
#include "report/papers.h"

#include <math.h>
#include <string.h>

#define Q(kind, value) gw_papers_quantity(p, GW_QTY_##kind, (value))

typedef const char *(*value_maker)(gw_papers *p);

static double flow_m3_s(const gw_design_loop *loop)
{
    const gw_circuit_result *const h = &loop->hydraulics;
    return loop->sized.response.capacity_w_k /
           (h->props.density_kg_m3 * h->props.specific_heat_j_kgk);
}

static const char *design_loss(gw_papers *p)
{
    const gw_house_design_result *const h = &p->design->house;
    return gw_papers_text(p, "Loss %s at %s outside; sensible gain %s. Method here: %s",
                          Q(POWER, h->loss_w), Q(TEMPERATURE, h->heating_outdoor_degc),
                          Q(POWER, h->gain_w),
                          h->given ? "given by the designer" : "component method, whole house");
}

static const char *entering_water(gw_papers *p)
{
    const gw_loop_result *const r = &p->loop->sized.result;
    const gw_loop_limits *const l = &p->design->job->limits;
    return gw_papers_text(p, "%s to %s over %.0f years; limits %s to %s",
                          Q(TEMPERATURE, r->coldest.degc), Q(TEMPERATURE, r->warmest.degc),
                          l->years, Q(TEMPERATURE, l->min_entering_degc),
                          Q(TEMPERATURE, l->max_entering_degc));
}

static const char *heat_pump(gw_papers *p)
{
    const gw_plant_rated rated = gw_plant_rated_heating(&p->loop->plant, 0.0);
    return gw_papers_text(p, "%s: %s at 0 °C water, COP %.2f with blower",
                          p->design->heat_pump->name, Q(POWER, rated.capacity_w), rated.cop);
}

static const char *pipe(gw_papers *p)
{
    const gw_design_loop *const l = p->loop;
    return gw_papers_text(p, "Loop %s, header %s (%s), rated %s", l->pipe->name, l->header->name,
                          l->pipe->standard, Q(PRESSURE, l->pipe->pressure_rating_pa));
}

static const char *joints(gw_papers *p)
{
    return gw_papers_text(p, "Fusion throughout the ground; %zu circuit%s on the header",
                          p->loop->sized.response.circuits,
                          p->loop->sized.response.circuits == 1 ? "" : "s");
}

static const char *grout(gw_papers *p)
{
    const gw_bores_plan *const b = &p->loop->sized.plan.bores;
    return gw_papers_text(p, "%s of each bore, from %s below grade down", Q(LENGTH, b->depth_m),
                          Q(LENGTH, b->top_m));
}

static const char *grout_volume(gw_papers *p)
{
    const double each_m3 = gw_papers_grout_m3(p->loop);
    return gw_papers_text(p, "%s a bore in theory, %s in all", Q(VOLUME, each_m3),
                          Q(VOLUME, each_m3 * (double)p->loop->sized.plan.bores.count));
}

static const char *grout_conductivity(gw_papers *p)
{
    return Q(CONDUCTIVITY, p->loop->sized.plan.bores.grout_conductivity_w_mk);
}

static const char *bore_spacing(gw_papers *p)
{
    const gw_bores_plan *const b = &p->loop->sized.plan.bores;
    return b->count < 2 ? "One bore"
                        : gw_papers_text(p,
                                         "%s between bores; distances to the lot's features as "
                                         "on the plan and the table of distances",
                                         Q(LENGTH, b->spacing_m));
}

static const char *foot_pressure(gw_papers *p)
{
    const gw_bores_plan *const b = &p->loop->sized.plan.bores;
    const double depth_m = b->top_m + b->depth_m;
    const double foot_pa = gw_pipes_pressure_at_depth_pa(GW_PAPERS_TEST_PA, 1000.0, depth_m);
    return gw_papers_text(
        p, "%s at %s under test in an empty hole; rating %s%s", Q(PRESSURE, foot_pa),
        Q(LENGTH, depth_m), Q(PRESSURE, p->loop->pipe->pressure_rating_pa),
        foot_pa > p->loop->pipe->pressure_rating_pa ? ": test with the hole full of water or grout"
                                                    : "");
}

static const char *pipe_cover(gw_papers *p)
{
    const gw_trench_plan *const t = &p->loop->sized.plan.trench;
    gw_loop_section_pipe pipes[GW_LOOP_PIPES_MAX];
    gw_err ignored = {0};
    double least_m = t->depth_m;
    if (gw_loop_trench_section(t, p->loop->pipe->outer_diameter_m, pipes, &ignored) == GW_OK) {
        for (size_t i = 0; i < t->pipes; i++) {
            least_m = fmin(least_m, pipes[i].depth_m);
        }
    }
    return gw_papers_text(p, "Highest pipe %s, lowest %s below grade", Q(LENGTH, least_m),
                          Q(LENGTH, t->depth_m));
}

static const char *trench_spacing(gw_papers *p)
{
    const gw_trench_plan *const t = &p->loop->sized.plan.trench;
    return t->count < 2 ? "One trench"
                        : gw_papers_text(p, "%s between centres, %s wide: %s between walls",
                                         Q(LENGTH, t->spacing_m), Q(LENGTH, t->width_m),
                                         Q(LENGTH, t->spacing_m - t->width_m));
}

static const char *trench_depth(gw_papers *p)
{
    return gw_papers_text(p, "%s deep", Q(LENGTH, p->loop->sized.plan.trench.depth_m));
}

static const char *wall_insulation(gw_papers *p)
{
    const bool metric = p->style.units == GW_UNITS_METRIC;
    return gw_papers_text(p, "Shown at the house entry: %s from the wall",
                          gw_papers_measure(p, metric ? 1.5 : 1.524));
}

static const char *test_pressure(gw_papers *p)
{
    return gw_papers_text(p, "%s at the header, water, 15 minutes or as the code in force says",
                          Q(PRESSURE, GW_PAPERS_TEST_PA));
}

static const char *test_water(gw_papers *p)
{
    (void)p;
    return "Water only; air is never used";
}

static const char *flow_and_drop(gw_papers *p)
{
    const gw_circuit_result *const h = &p->loop->hydraulics;
    return gw_papers_text(p, "%s in all, %s a circuit; %s of head at the coldest fluid",
                          Q(FLOW, flow_m3_s(p->loop)), Q(FLOW, h->circuit_flow_m3_s),
                          Q(HEAD, h->total_head_m));
}

static const char *purge(gw_papers *p)
{
    const gw_circuit_result *const h = &p->loop->hydraulics;
    return gw_papers_text(p, "%s at %s of head (water)", Q(FLOW, h->purge_flow_m3_s),
                          Q(HEAD, h->purge_head_m));
}

static const char *fluid(gw_papers *p)
{
    const gw_design *const d = p->design;
    return gw_papers_text(p, "%s, %.0f %% by mass, freezes at %s; loop holds %s",
                          d->fluid_data->name, 100.0 * d->fluid.mass_frac,
                          Q(TEMPERATURE, d->freeze_degc),
                          Q(VOLUME, p->loop->hydraulics.total_volume_m3));
}

static const char *freeze_margin(gw_papers *p)
{
    const double leaving_degc = p->loop->sized.result.leaving_degc;
    return gw_papers_text(p, "Coldest leaving water %s, fluid freezes at %s: %s apart",
                          Q(TEMPERATURE, leaving_degc), Q(TEMPERATURE, p->design->freeze_degc),
                          Q(TEMPERATURE_DIFFERENCE, leaving_degc - p->design->freeze_degc));
}

static const char *tape(gw_papers *p)
{
    (void)p;
    return "Shown in the sections, over header and loop";
}

static const char *label(gw_papers *p)
{
    (void)p;
    return "Shown at the house entry";
}

static const char *record(gw_papers *p)
{
    (void)p;
    return "Record sheet to be filled in before the fill goes back";
}

static const char *filing(gw_papers *p)
{
    (void)p;
    return "By the designer after start-up; the rules of the place to be confirmed";
}

static const char *start_up(gw_papers *p)
{
    const gw_loop_result *const r = &p->loop->sized.result;
    return gw_papers_text(p, "Entering water of the first winter not below %s; flow %s",
                          Q(TEMPERATURE, r->coldest_first.degc), Q(FLOW, flow_m3_s(p->loop)));
}

static const struct {
    const char *key;
    value_maker make;
} VALUES[] = {
    {"design_loss", design_loss},
    {"entering_water", entering_water},
    {"heat_pump", heat_pump},
    {"pipe", pipe},
    {"joints", joints},
    {"grout", grout},
    {"grout_volume", grout_volume},
    {"grout_conductivity", grout_conductivity},
    {"bore_spacing", bore_spacing},
    {"foot_pressure", foot_pressure},
    {"pipe_cover", pipe_cover},
    {"trench_spacing", trench_spacing},
    {"trench_depth", trench_depth},
    {"wall_insulation", wall_insulation},
    {"test_pressure", test_pressure},
    {"test_water", test_water},
    {"flow_and_drop", flow_and_drop},
    {"purge", purge},
    {"fluid", fluid},
    {"freeze_margin", freeze_margin},
    {"tape", tape},
    {"label", label},
    {"record", record},
    {"filing", filing},
    {"start_up", start_up},
};

gw_status gw_papers_value(gw_papers *p, const char *key, const char **out, gw_err *err)
{
    for (size_t i = 0; i < sizeof VALUES / sizeof VALUES[0]; i++) {
        if (strcmp(VALUES[i].key, key) == 0) {
            *out = VALUES[i].make(p);
            return GW_OK;
        }
    }
    return gw_fail(err, GW_ERR_KEY, "value", "the papers know no figure called \"%s\"", key);
}
