// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// On the branch cut p = −u² the square roots are imaginary and the modified Bessel functions turn
// into J and Y. With all heat entering the fluid node the transfer function is
//   F(p) = 1/(C p + 1/(Rp + Z(p))),   Z = (A + B Ks)/(C' + D Ks)
// where A, B, C', D is the chain matrix of the grout annulus (real on the cut) and Ks the
// admittance of the endless ground. Then (Javed & Claesson 2011, the real inversion integral)
//   T(t) = (2/π) ∫ (1 − e^(−u² t))/u · (−Im F(−u²)) du,  u from 0 to ∞.
#include "ground/short_time.h"

#include <complex.h>
#include <float.h>
#include <math.h>
#include <stdbool.h>

static const double PI = 3.14159265358979323846;
static const double EULER = 0.57721566490153286061;

typedef double complex dcomplex;

// Abramowitz & Stegun 5.1.11 below 1, continued fraction 5.1.22 above (Lentz).
double gw_exponential_integral(double x)
{
    if (!(x > 0.0)) {
        return (double)INFINITY;
    }
    if (x <= 1.0) {
        double sum = -EULER - log(x);
        double term = 1.0;
        for (int n = 1; n < 40; ++n) {
            term *= -x / (double)n;
            sum -= term / (double)n;
        }
        return sum;
    }
    if (x > 740.0) {
        return 0.0;
    }
    double b = x + 1.0;
    double c = 1.0 / DBL_MIN;
    double d = 1.0 / b;
    double h = d;
    for (int n = 1; n < 500; ++n) {
        const double a = -(double)n * (double)n;
        b += 2.0;
        d = 1.0 / (a * d + b);
        c = b + a / c;
        const double delta = c * d;
        h *= delta;
        if (fabs(delta - 1.0) < 1e-16) {
            break;
        }
    }
    return h * exp(-x);
}

double gw_line_source_response(const gw_line_source *line, double time_s)
{
    if (!(time_s > 0.0)) {
        return 0.0;
    }
    const double x = line->radius_m * line->radius_m / (4.0 * line->diffusivity_m2_s * time_s);
    return gw_exponential_integral(x) / (4.0 * PI * line->conductivity_w_mk);
}

gw_status gw_short_bore_check(const gw_short_bore *bore, gw_err *err)
{
    const struct {
        const char *field;
        double value, least, most;
    } items[] = {
        {"bore_radius_m", bore->bore_radius_m, 0.01, 1.0},
        {"equivalent_radius_m", bore->equivalent_radius_m, 1e-3, 1.0},
        {"pipe_resistance_mk_w", bore->pipe_resistance_mk_w, 0.0, 10.0},
        {"fluid_capacity_j_mk", bore->fluid_capacity_j_mk, 10.0, 1e7},
        {"grout_w_mk", bore->grout_w_mk, 0.05, 20.0},
        {"grout_heat_j_m3k", bore->grout_heat_j_m3k, 1e5, 1e7},
        {"ground_w_mk", bore->ground_w_mk, 0.05, 20.0},
        {"ground_heat_j_m3k", bore->ground_heat_j_m3k, 1e5, 1e7},
    };
    for (size_t i = 0; i < sizeof items / sizeof items[0]; ++i) {
        if (!(items[i].value >= items[i].least && items[i].value <= items[i].most)) {
            return gw_fail(err, GW_ERR_RANGE, items[i].field, "%s %g must be %g to %g",
                           items[i].field, items[i].value, items[i].least, items[i].most);
        }
    }
    if (!(bore->equivalent_radius_m < 0.999 * bore->bore_radius_m)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "equivalent_radius_m",
                       "equivalent pipe of radius %.4f m does not fit in a bore of %.4f m",
                       bore->equivalent_radius_m, bore->bore_radius_m);
    }
    return GW_OK;
}

double gw_short_time_steady_resistance(const gw_short_bore *bore)
{
    return bore->pipe_resistance_mk_w +
           log(bore->bore_radius_m / bore->equivalent_radius_m) / (2.0 * PI * bore->grout_w_mk);
}

gw_status gw_short_time_match(const gw_short_bore *bore, double bore_mk_w, gw_short_bore *out,
                              gw_err *err)
{
    const double grout_mk_w = bore_mk_w - bore->pipe_resistance_mk_w;
    const double ratio = exp(-2.0 * PI * bore->grout_w_mk * grout_mk_w);
    if (!(ratio >= 0.1 && ratio <= 0.98)) {
        return gw_fail(err, GW_ERR_RANGE, "bore_mk_w",
                       "bore resistance %.4f mK/W with pipes of %.4f mK/W gives an equivalent pipe "
                       "of %.3f bore radii, which must be 0.1 to 0.98",
                       bore_mk_w, bore->pipe_resistance_mk_w, ratio);
    }
    *out = *bore;
    out->equivalent_radius_m = ratio * bore->bore_radius_m;
    return gw_short_bore_check(out, err);
}

// Bessel functions at one argument.
typedef struct {
    double j0, j1, y0, y1;
} bessel;

static bessel bessel_at(double x)
{
    return (bessel){j0(x), j1(x), y0(x), y1(x)};
}

typedef struct {
    double root_grout; // 1/√α of grout and ground, s^0.5/m
    double root_ground;
} roots;

// −Im F on the cut.
static double cut_value(const gw_short_bore *bore, const roots *r, double u)
{
    const double xp = u * bore->equivalent_radius_m * r->root_grout;
    const double xb = u * bore->bore_radius_m * r->root_grout;
    const double xs = u * bore->bore_radius_m * r->root_ground;
    const bessel p = bessel_at(xp), b = bessel_at(xb), s = bessel_at(xs);
    const double kg = bore->grout_w_mk;
    const double chain_a = 0.5 * PI * xb * (b.j1 * p.y0 - b.y1 * p.j0);
    const double chain_b = (p.j0 * b.y0 - p.y0 * b.j0) / (4.0 * kg);
    const double chain_c = PI * PI * kg * xp * xb * (b.j1 * p.y1 - p.j1 * b.y1);
    const double chain_d = 0.5 * PI * xp * (p.j1 * b.y0 - p.y1 * b.j0);
    const dcomplex i_unit = (dcomplex)I;
    // Ks = 2π k σ K1(σ)/K0(σ), σ = i xs.
    const dcomplex ks = 2.0 * PI * bore->ground_w_mk * i_unit * xs * (s.j1 - i_unit * s.y1) /
                        (s.y0 + i_unit * s.j0);
    const dcomplex z =
        bore->pipe_resistance_mk_w + (chain_a + chain_b * ks) / (chain_c + chain_d * ks);
    return -cimag(1.0 / (1.0 / z - bore->fluid_capacity_j_mk * u * u));
}

// Ten-point Gauss–Legendre (Abramowitz & Stegun table 25.4), positive half.
static const double GAUSS_X[] = {0.1488743389816312, 0.4333953941292472, 0.6794095682990244,
                                 0.8650633666889845, 0.9739065285171717};
static const double GAUSS_W[] = {0.2955242247147529, 0.2692667193099963, 0.2190863625159820,
                                 0.1494513491505806, 0.0666713443086881};

typedef struct {
    const double *time_s;
    size_t count;
    double *sum;
} outputs;

// Adds ∫ over [from, to] to every output; returns the part that the longest time can get.
static double add_panel(const gw_short_bore *bore, const roots *r, const double span[2],
                        const outputs *out)
{
    const double middle = 0.5 * (span[0] + span[1]), half = 0.5 * (span[1] - span[0]);
    double size = 0.0;
    for (size_t i = 0; i < 10; ++i) {
        const double side = i % 2 == 0 ? 1.0 : -1.0;
        const double u = middle + side * half * GAUSS_X[i / 2];
        const double weight = 2.0 / PI * half * GAUSS_W[i / 2] * cut_value(bore, r, u) / u;
        size += fabs(weight);
        for (size_t k = 0; k < out->count; ++k) {
            const double decay = u * u * out->time_s[k];
            out->sum[k] += decay > 40.0 ? weight : -weight * expm1(-decay);
        }
    }
    return size;
}

// Panels grow by half from far below the slowest rate until the grout's reflections set the
// width, and go on until three in a row bring nothing.
static gw_status integrate(const gw_short_bore *bore, double longest_s, const outputs *out,
                           gw_err *err)
{
    const roots r = {sqrt(bore->grout_heat_j_m3k / bore->grout_w_mk),
                     sqrt(bore->ground_heat_j_m3k / bore->ground_w_mk)};
    const double reach = fmax((bore->bore_radius_m - bore->equivalent_radius_m) * r.root_grout,
                              0.25 * bore->bore_radius_m * r.root_ground);
    const double widest = 1.0 / reach;
    double from = 1e-5 / sqrt(longest_s);
    double total = 0.0;
    int quiet = 0;
    for (int panel = 0; panel < 40000; ++panel) {
        const double to = from + fmin(0.5 * from, widest);
        const double size = add_panel(bore, &r, (const double[]){from, to}, out);
        total += size;
        quiet = size < 1e-11 * total && to > 10.0 * widest ? quiet + 1 : 0;
        if (quiet == 3) {
            return GW_OK;
        }
        from = to;
    }
    return gw_fail(err, GW_ERR_CONVERGE, "fluid_capacity_j_mk",
                   "short-time response with a fluid capacity of %g J/mK did not converge",
                   bore->fluid_capacity_j_mk);
}

static gw_status check_times(const double *time_s, size_t count, gw_err *err)
{
    if (count == 0) {
        return gw_fail(err, GW_ERR_MISSING, "time_s", "a response needs at least one time");
    }
    for (size_t i = 0; i < count; ++i) {
        if (!(time_s[i] > 0.0 && time_s[i] <= 1e10)) {
            return gw_fail(err, GW_ERR_RANGE, "time_s", "time %g s must be 0 to 1e10 s", time_s[i]);
        }
    }
    return GW_OK;
}

gw_status gw_short_time_response(const gw_short_bore *bore, const double *time_s, size_t count,
                                 double *out_mk_w, gw_err *err)
{
    gw_status st = gw_short_bore_check(bore, err);
    if (st == GW_OK) {
        st = check_times(time_s, count, err);
    }
    if (st != GW_OK) {
        return st;
    }
    double longest_s = 0.0;
    for (size_t i = 0; i < count; ++i) {
        out_mk_w[i] = 0.0;
        longest_s = fmax(longest_s, time_s[i]);
    }
    return integrate(bore, longest_s, &(outputs){time_s, count, out_mk_w}, err);
}

gw_status gw_short_time_join(const gw_short_bore *bore, const gw_short_series *series,
                             double *out_mk_w, gw_err *err)
{
    const double steady_mk_w = gw_short_time_steady_resistance(bore);
    const double excess_mk_w = series->effective_mk_w - steady_mk_w;
    if (!(excess_mk_w >= -1e-6 && excess_mk_w < 10.0)) {
        return gw_fail(err, GW_ERR_RANGE, "effective_mk_w",
                       "effective resistance %.4f mK/W must not be below the bore's %.4f mK/W",
                       series->effective_mk_w, steady_mk_w);
    }
    if (!(series->circulation_s > 0.0)) {
        return gw_fail(err, GW_ERR_RANGE, "circulation_s", "circulation time %g s must be above 0",
                       series->circulation_s);
    }
    const gw_status st = gw_short_time_response(bore, series->time_s, series->count, out_mk_w, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_line_source line = {bore->ground_w_mk, bore->ground_w_mk / bore->ground_heat_j_m3k,
                                 bore->bore_radius_m};
    for (size_t i = 0; i < series->count; ++i) {
        const double t = series->time_s[i];
        if (!isfinite(series->wall_mk_w[i])) {
            return gw_fail(err, GW_ERR_RANGE, "wall_mk_w", "wall response %zu is not a number",
                           i + 1);
        }
        out_mk_w[i] += series->wall_mk_w[i] - gw_line_source_response(&line, t) -
                       excess_mk_w * expm1(-t / series->circulation_s);
    }
    return GW_OK;
}
