// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "pipes/friction.h"

#include "base/range.h"

#include "pipes/friction_priv.h"

#include <math.h>
#include <stddef.h>

#define PI 3.14159265358979323846

// Below this the formula is 64/Re to the last bit, and its powers would overflow.
#define CREEPING_REYNOLDS 1.0

// Churchill 1977: f = 8 [(8/Re)^12 + (A + B)^(−3/2)]^(1/12),
// A = [2.457 ln 1/((7/Re)^0.9 + 0.27 ε/D)]^16, B = (37530/Re)^16. (Darcy factor.)
// Its slope d ln f/d ln Re follows by the chain rule.
gw_pipe_priv_factor gw_pipes_priv_churchill(double reynolds, double relative_roughness)
{
    if (reynolds < CREEPING_REYNOLDS) {
        return (gw_pipe_priv_factor){.factor = 64.0 / reynolds, .slope = -1.0};
    }
    const double inertia = pow(7.0 / reynolds, 0.9);
    const double inner = inertia + 0.27 * relative_roughness;
    const double log_inner = -log(inner); // ln(1/inner); ≤ 0 only far inside laminar flow
    const double a = pow(2.457 * log_inner, 16.0);
    const double b = pow(37530.0 / reynolds, 16.0);
    const double laminar = pow(8.0 / reynolds, 12.0);
    const double turbulent = pow(a + b, -1.5);
    const double sum = laminar + turbulent;
    // d ln A/d ln Re = 16 · 0.9 inertia/(inner ln(1/inner)); times A it is finite where ln is 0.
    const double d_a = log_inner != 0.0 ? a * 16.0 * 0.9 * inertia / (inner * log_inner) : 0.0;
    const double d_log_ab = (d_a - 16.0 * b) / (a + b);
    return (gw_pipe_priv_factor){
        .factor = 8.0 * pow(sum, 1.0 / 12.0),
        .slope = (-12.0 * laminar - 1.5 * d_log_ab * turbulent) / (12.0 * sum),
    };
}

double gw_pipes_friction_churchill(double reynolds, double relative_roughness)
{
    return gw_pipes_priv_churchill(reynolds, relative_roughness).factor;
}

// 1/√f = −2 log10(ε/(3.7 D) + 2.51/(Re √f)); Newton on x = 1/√f from Haaland's value: the
// left side less the right is convex and steep, six steps reach the last bit.
double gw_pipes_friction_colebrook(double reynolds, double relative_roughness)
{
    const double rough = relative_roughness / 3.7;
    const double per_ln = 2.0 / log(10.0);
    double x = -1.8 * log10(pow(rough, 1.11) + 6.9 / reynolds);
    for (int i = 0; i < 8; ++i) {
        const double inner = rough + 2.51 * x / reynolds;
        const double residual = x + per_ln * log(inner);
        const double slope = 1.0 + per_ln * 2.51 / (reynolds * inner);
        x -= residual / slope;
    }
    return 1.0 / (x * x);
}

gw_pipe_regime gw_pipes_regime(double reynolds)
{
    if (reynolds < GW_PIPES_REYNOLDS_LAMINAR) {
        return GW_PIPES_LAMINAR;
    }
    return reynolds < GW_PIPES_REYNOLDS_TURBULENT ? GW_PIPES_TRANSITION : GW_PIPES_TURBULENT;
}

const char *gw_pipes_regime_text(gw_pipe_regime regime)
{
    static const char *const texts[] = {"laminar", "transition", "turbulent"};
    return (unsigned)regime <= (unsigned)GW_PIPES_TURBULENT ? texts[regime] : "unknown";
}

static gw_status check_run(const gw_pipe_run *run, gw_err *err)
{
    const gw_unit_range limits[] = {
        {"flow_m3_s", run->flow_m3_s, 0.0, 10.0, "m3/s"},
        {"diameter_m", run->diameter_m, 0.0005, 5.0, "m"},
        {"length_m", run->length_m, 0.0, 1e6, "m"},
        {"roughness_m", run->roughness_m, 0.0, 0.1 * run->diameter_m, "m"},
        {"loss_coefficient", run->loss_coefficient, 0.0, 1e6, ""},
        {"density_kg_m3", run->density_kg_m3, 0.1, 5000.0, "kg/m3"},
        {"viscosity_pa_s", run->viscosity_pa_s, 1e-6, 100.0, "Pa·s"},
    };
    return gw_unit_range_check(limits, sizeof limits / sizeof limits[0], err);
}

// h = (f L/D + K) v²/2g; with v proportional to the flow Q, dh/dQ = (f L/D (2 + n) + 2 K) v²/(2gQ),
// n = d ln f/d ln Re. As Q → 0 friction is laminar: dh/dQ = 128 μ L/(π ρ g D⁴).
void gw_pipes_priv_flow(const gw_pipe_run *run, gw_pipe_flow *out)
{
    const double d_m = run->diameter_m;
    const double area_m2 = 0.25 * PI * d_m * d_m;
    const double velocity_m_s = run->flow_m3_s / area_m2;
    const double reynolds = run->density_kg_m3 * velocity_m_s * d_m / run->viscosity_pa_s;
    *out = (gw_pipe_flow){
        .velocity_m_s = velocity_m_s, .reynolds = reynolds, .regime = gw_pipes_regime(reynolds)};
    if (!(reynolds > 1e-9)) {
        out->d_head_loss_s_m2 =
            128.0 * run->viscosity_pa_s * run->length_m /
            (PI * run->density_kg_m3 * GW_PIPES_GRAVITY_M_S2 * d_m * d_m * d_m * d_m);
        out->head_loss_m = out->d_head_loss_s_m2 * run->flow_m3_s;
    } else {
        const gw_pipe_priv_factor f = gw_pipes_priv_churchill(reynolds, run->roughness_m / d_m);
        const double velocity_head_m = velocity_m_s * velocity_m_s / (2.0 * GW_PIPES_GRAVITY_M_S2);
        const double friction = f.factor * run->length_m / d_m;
        out->friction_factor = f.factor;
        out->head_loss_m = (friction + run->loss_coefficient) * velocity_head_m;
        out->d_head_loss_s_m2 = (friction * (2.0 + f.slope) + 2.0 * run->loss_coefficient) *
                                velocity_head_m / run->flow_m3_s;
    }
    out->pressure_loss_pa = out->head_loss_m * run->density_kg_m3 * GW_PIPES_GRAVITY_M_S2;
}

gw_status gw_pipes_flow(const gw_pipe_run *run, gw_pipe_flow *out, gw_err *err)
{
    const gw_status st = check_run(run, err);
    if (st == GW_OK) {
        gw_pipes_priv_flow(run, out);
    }
    return st;
}

double gw_pipes_flow_at_reynolds_m3_s(const gw_pipe_reynolds *input)
{
    return input->reynolds * PI * input->diameter_m * input->viscosity_pa_s /
           (4.0 * input->density_kg_m3);
}

double gw_pipes_flow_at_velocity_m3_s(double inner_diameter_m, double velocity_m_s)
{
    return 0.25 * PI * inner_diameter_m * inner_diameter_m * velocity_m_s;
}
