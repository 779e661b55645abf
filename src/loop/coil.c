// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "loop/coil.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double LEAST_TOP_M = 0.45; // cover of the highest pipe

// ---------------------------------------------------------------- the plan

static gw_status check_ranges(const gw_coil_plan *c, gw_err *err)
{
    if (c->count < 1 || c->count > 60) {
        return gw_fail(err, GW_ERR_RANGE, "coil.count", "found %zu coil trenches, expected 1 to 60",
                       c->count);
    }
    const struct {
        const char *field, *what;
        double value, low, high;
    } ranges[] = {
        {"coil.ring_diameter_m", "a ring diameter", c->ring_diameter_m, 0.3, 2.0},
        {"coil.length_m", "a coil trench length", c->length_m, c->ring_diameter_m, 500.0},
        {"coil.depth_m", "a coil trench depth", c->depth_m, 0.6, 4.0},
        {"coil.width_m", "a coil trench width", c->width_m, 0.1, 3.0},
    };
    for (size_t i = 0; i < sizeof ranges / sizeof ranges[0]; i++) {
        if (!(ranges[i].value >= ranges[i].low && ranges[i].value <= ranges[i].high)) {
            return gw_fail(err, GW_ERR_RANGE, ranges[i].field,
                           "found %s of %.3g m, expected %.3g to %.3g m", ranges[i].what,
                           ranges[i].value, ranges[i].low, ranges[i].high);
        }
    }
    return GW_OK;
}

static gw_status check_fit(const gw_coil_plan *c, double pipe_diameter_m, gw_err *err)
{
    const double need_m = pipe_diameter_m + (c->lie == GW_COIL_FLAT ? c->ring_diameter_m : 0.0);
    if (!(c->width_m >= need_m)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "coil.width_m",
                       "rings %.2f m across of pipe %.0f mm thick need a trench %.2f m wide, found "
                       "%.2f m",
                       c->ring_diameter_m, 1000.0 * pipe_diameter_m, need_m, c->width_m);
    }
    const double top_m = gw_coil_extent_of(c).top_depth_m;
    if (!(top_m >= LEAST_TOP_M)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "coil.depth_m",
                       "the top of the rings would lie %.2f m deep, expected at least %.2f m: "
                       "smaller rings or a deeper trench",
                       top_m, LEAST_TOP_M);
    }
    if (!(c->pitch_m >= 2.0 * pipe_diameter_m && c->pitch_m <= 3.0 * c->ring_diameter_m)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "coil.pitch_m",
                       "found rings every %.3f m, expected %.3f m (two pipe diameters) to %.2f m "
                       "(three rings)",
                       c->pitch_m, 2.0 * pipe_diameter_m, 3.0 * c->ring_diameter_m);
    }
    if (c->count > 1 && !(c->spacing_m >= c->width_m && c->spacing_m <= 30.0)) {
        return gw_fail(err, GW_ERR_GEOMETRY, "coil.spacing_m",
                       "coil trenches %.2f m wide lie %.2f m between centres, expected %.2f to "
                       "30 m",
                       c->width_m, c->spacing_m, c->width_m);
    }
    return GW_OK;
}

gw_status gw_coil_check(const gw_coil_plan *coil, double pipe_diameter_m, gw_err *err)
{
    if (!(pipe_diameter_m >= 0.01 && pipe_diameter_m <= 0.1)) {
        return gw_fail(err, GW_ERR_RANGE, "coil.pipe",
                       "found a pipe %.1f mm thick, expected 10 to "
                       "100 mm",
                       1000.0 * pipe_diameter_m);
    }
    if (coil->lie != GW_COIL_FLAT && coil->lie != GW_COIL_UPRIGHT) {
        return gw_fail(err, GW_ERR_RANGE, "coil.lie", "found an unknown way to lay a coil");
    }
    const gw_status st = check_ranges(coil, err);
    return st != GW_OK ? st : check_fit(coil, pipe_diameter_m, err);
}

// Length of one turn of the curve (R cos θ, R sin θ + pitch θ/2π): the speed's mean over the turn,
// by the trapezoidal rule (exact to rounding for this smooth periodic function).
static double turn_m(const gw_coil_plan *c)
{
    enum { POINTS = 64 };
    const double r_m = 0.5 * c->ring_diameter_m;
    const double drift_m = c->pitch_m / (2.0 * PI);
    double sum = 0.0;
    for (int i = 0; i < POINTS; i++) {
        const double angle = 2.0 * PI * i / POINTS;
        sum += hypot(r_m * sin(angle), r_m * cos(angle) + drift_m);
    }
    return 2.0 * PI * sum / POINTS;
}

gw_coil_extent gw_coil_extent_of(const gw_coil_plan *c)
{
    const double up_m = c->lie == GW_COIL_UPRIGHT ? 0.5 * c->ring_diameter_m : 0.0;
    const double rings = (c->length_m - c->ring_diameter_m) / c->pitch_m + 1.0;
    const double turn = turn_m(c);
    return (gw_coil_extent){.rings = rings,
                            .turn_m = turn,
                            .ring_pipe_m = rings * turn,
                            .pipe_m = rings * turn + c->length_m,
                            .centre_depth_m = c->depth_m - up_m,
                            .top_depth_m = c->depth_m - 2.0 * up_m};
}

// ---------------------------------------------------------------- response

typedef struct {
    double ring_radius_m;
    double pipe_radius_m;
    double depth_m; // of the centres
    double pitch_m;
    double rings; // along each trench
    double spacing_m;
    double trenches;
    bool upright;
    bool without_mirror;
} ring_field;

// Two rings of one flat floor, real minus image.
static double flat_pair(const ring_field *f, double s, double offset_m)
{
    const double depth2_m = 2.0 * f->depth_m;
    const double left = f->without_mirror ? 1.0 : -expm1(-s * s * depth2_m * depth2_m);
    return left * gw_coil_ring_mean(s, f->ring_radius_m, offset_m);
}

// Two rings of one upright plane: the image of a ring is a ring of the same plane.
static double upright_image(const ring_field *f, double s, double along_m)
{
    const double offset_m = hypot(along_m, 2.0 * f->depth_m);
    return f->without_mirror ? 0.0 : gw_coil_ring_mean(s, f->ring_radius_m, offset_m);
}

// Rings that overlap cannot lie in one plane where they cross: there the pipes lie one on the
// other, a pipe's diameter between the axes.
static double overlap(const ring_field *f, double s, double along_m)
{
    const double gap_m = 2.0 * f->pipe_radius_m;
    return along_m < 2.0 * f->ring_radius_m + gap_m ? exp(-s * s * gap_m * gap_m) : 1.0;
}

// Beyond this distance between centres nothing is left.
static double reach_m(const ring_field *f, double s)
{
    return 6.2 / s + 2.0 * f->ring_radius_m;
}

// Of N rings in a row a pair m apart occurs with weight 2 (1 − m/N) in the mean; the same across
// trenches.
static double pair_share(double apart, double count)
{
    return 2.0 * (1.0 - apart / count);
}

static double flat_rings(const ring_field *f, double s)
{
    const double depth2_m = 2.0 * f->depth_m;
    const double self = gw_coil_ring_self(s, f->ring_radius_m, f->pipe_radius_m);
    double sum = f->without_mirror ? self : -self * expm1(-s * s * depth2_m * depth2_m);
    for (double m = 1.0; m < f->rings && m * f->pitch_m < reach_m(f, s); m += 1.0) {
        const double along_m = m * f->pitch_m;
        sum += pair_share(m, f->rings) * overlap(f, s, along_m) * flat_pair(f, s, along_m);
    }
    for (double k = 1.0; k < f->trenches && k * f->spacing_m < reach_m(f, s); k += 1.0) {
        const double across_m = k * f->spacing_m;
        double row = flat_pair(f, s, across_m);
        for (double m = 1.0; m < f->rings && m * f->pitch_m < reach_m(f, s); m += 1.0) {
            row += pair_share(m, f->rings) * flat_pair(f, s, hypot(m * f->pitch_m, across_m));
        }
        sum += pair_share(k, f->trenches) * row;
    }
    return sum;
}

// Planes along the trench: from trench to trench the distance across is the same for all pairs of
// points and comes out as a factor.
static double upright_rings(const ring_field *f, double s)
{
    const double image = upright_image(f, s, 0.0);
    double own = gw_coil_ring_self(s, f->ring_radius_m, f->pipe_radius_m) - image;
    double other = gw_coil_ring_mean(s, f->ring_radius_m, 0.0) - image;
    for (double m = 1.0; m < f->rings && m * f->pitch_m < reach_m(f, s); m += 1.0) {
        const double along_m = m * f->pitch_m;
        const double real = gw_coil_ring_mean(s, f->ring_radius_m, along_m);
        const double share = pair_share(m, f->rings);
        const double mirror = upright_image(f, s, along_m);
        own += share * (overlap(f, s, along_m) * real - mirror);
        other += share * (real - mirror);
    }
    double across = 0.0;
    for (double k = 1.0; k < f->trenches && k * f->spacing_m < reach_m(f, s); k += 1.0) {
        const double x = s * k * f->spacing_m;
        across += pair_share(k, f->trenches) * exp(-x * x);
    }
    return own + across * other;
}

// Mean of the kernel from all rings to the mean ring.
static double all_rings(const ring_field *f, double s)
{
    return f->upright ? upright_rings(f, s) : flat_rings(f, s);
}

// ∫ all_rings ds between two values of ln s: Gauss–Legendre, 8 points to each panel of at most 0.4;
// 4 points do for one of at most 0.2.
static double integrate(const ring_field *f, double low, double high)
{
    static const double node[2][4] = {
        {0.3399810435848563, 0.8611363115940526},
        {0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363}};
    static const double weight[2][4] = {
        {0.6521451548625461, 0.3478548451374538},
        {0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763}};
    const size_t panels = 1 + (size_t)((high - low) / 0.4);
    const double half = 0.5 * (high - low) / (double)panels;
    const size_t rule = half > 0.1 ? 1 : 0;
    double sum = 0.0;
    for (size_t p = 0; p < panels; p++) {
        const double middle = low + (2.0 * (double)p + 1.0) * half;
        for (size_t i = 0; i < 2 + 2 * rule; i++) {
            const double below = exp(middle - half * node[rule][i]);
            const double above = exp(middle + half * node[rule][i]);
            sum += weight[rule][i] * half *
                   (below * all_rings(f, below) + above * all_rings(f, above));
        }
    }
    return sum;
}

// Below this ln s nothing is left: rings and images cancel, or (no surface) the whole field is a
// point and the rest of the integral is proportional to s.
static double least_log_s(const ring_field *f)
{
    const double size_m = f->depth_m + f->rings * f->pitch_m + f->trenches * f->spacing_m;
    return log(f->without_mirror ? 1e-8 / size_m : 1e-4 / size_m);
}

gw_status gw_coil_step_response(const gw_response_case *with, const gw_coil_plan *coil,
                                double pipe_diameter_m, double *wall_mk_w, gw_err *err)
{
    gw_status st = gw_response_check(with, err);
    if (st == GW_OK) {
        st = gw_coil_check(coil, pipe_diameter_m, err);
    }
    if (st != GW_OK) {
        return st;
    }
    const gw_coil_extent extent = gw_coil_extent_of(coil);
    const ring_field f = {.ring_radius_m = 0.5 * coil->ring_diameter_m,
                          .pipe_radius_m = 0.5 * pipe_diameter_m,
                          .depth_m = extent.centre_depth_m,
                          .pitch_m = coil->pitch_m,
                          .rings = extent.rings,
                          .spacing_m = coil->spacing_m,
                          .trenches = (double)coil->count,
                          .upright = coil->lie == GW_COIL_UPRIGHT,
                          .without_mirror = with->without_mirror};
    // A ring carries turn_m of pipe. Step response: 1/(4πk) · 2/√π · turn · ∫ mean ds.
    const double scale = extent.turn_m / (2.0 * PI * sqrt(PI) * with->medium.conductivity_w_mk);
    double upper = log(6.5 / f.pipe_radius_m);
    double sum = 0.0;
    for (size_t i = 0; i < with->count; i++) {
        const double t_s = with->times_s[i];
        const double lower =
            isinf(t_s) ? least_log_s(&f) : -0.5 * log(4.0 * with->medium.diffusivity_m2_s * t_s);
        if (lower < upper) {
            sum += integrate(&f, lower, upper);
            upper = lower;
        }
        wall_mk_w[i] = scale * sum;
    }
    return GW_OK;
}

// ---------------------------------------------------------------- at rest, and as segments

gw_status gw_coil_undisturbed(const gw_coil_plan *coil, const gw_ground_climate *surface,
                              double diffusivity_m2_s, gw_coil_rest *out, gw_err *err)
{
    enum { POINTS = 16 }; // over the ring; the wave is smooth over it
    if (!(diffusivity_m2_s >= 1e-8 && diffusivity_m2_s <= 1e-5)) {
        return gw_fail(err, GW_ERR_RANGE, "diffusivity_m2_s",
                       "found a diffusivity of %g m²/s, expected 1e-8 to 1e-5", diffusivity_m2_s);
    }
    const gw_status st = gw_ground_climate_check(surface, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_coil_extent extent = gw_coil_extent_of(coil);
    const double up_m = 0.5 * (coil->depth_m - extent.top_depth_m);
    *out = (gw_coil_rest){.mean_depth_m = extent.centre_depth_m};
    for (int i = 0; i < POINTS; i++) {
        const double depth_m = extent.centre_depth_m + up_m * sin(2.0 * PI * (i + 0.5) / POINTS);
        const gw_ground_wave w = gw_ground_wave_at(surface, depth_m, diffusivity_m2_s);
        out->wave.real_k += w.real_k / POINTS;
        out->wave.imag_k += w.imag_k / POINTS;
    }
    return GW_OK;
}

gw_status gw_coil_lines_of(const gw_coil_plan *coil, double pipe_diameter_m, gw_coil_lines *out,
                           gw_err *err)
{
    const gw_status st = gw_coil_check(coil, pipe_diameter_m, err);
    if (st != GW_OK) {
        return st;
    }
    const gw_coil_extent extent = gw_coil_extent_of(coil);
    // The mean square of a ring's points from its axis is R²/2, that of two lines their distance².
    const double off_m = 0.5 * coil->ring_diameter_m / sqrt(2.0);
    // One pitch of line for each ring, so that the heat per metre is right along the middle.
    const double row_m = extent.rings * coil->pitch_m;
    for (int i = 0; i < 2; i++) {
        const double side_m = i == 0 ? -off_m : off_m;
        const bool upright = coil->lie == GW_COIL_UPRIGHT;
        out->line[i] = (gw_segment){.x_m = upright ? 0.0 : side_m,
                                    .y_m = 0.5 * (coil->length_m - row_m),
                                    .z_m = extent.centre_depth_m + (upright ? side_m : 0.0),
                                    .dy = 1.0,
                                    .length_m = row_m,
                                    .radius_m = 0.5 * pipe_diameter_m};
    }
    out->load_ratio = extent.turn_m / (2.0 * coil->pitch_m);
    return GW_OK;
}

gw_status gw_coil_ring_chords(const gw_coil_plan *coil, double pipe_diameter_m, size_t count,
                              gw_segment *chords, gw_err *err)
{
    const gw_status st = gw_coil_check(coil, pipe_diameter_m, err);
    if (st != GW_OK) {
        return st;
    }
    if (count < 3 || count > 200) {
        return gw_fail(err, GW_ERR_RANGE, "chords",
                       "found %zu chords for a ring, expected 3 to "
                       "200",
                       count);
    }
    const double half = PI / (double)count;
    const double corner_m = 0.5 * coil->ring_diameter_m * half / sin(half); // equal perimeter
    const double depth_m = gw_coil_extent_of(coil).centre_depth_m;
    gw_position corner[2] = {{0}};
    for (size_t i = 0; i <= count; i++) {
        const double angle = 2.0 * half * (double)i;
        const double a_m = corner_m * cos(angle), b_m = corner_m * sin(angle);
        corner[0] = corner[1];
        corner[1] = coil->lie == GW_COIL_FLAT ? (gw_position){b_m, a_m, depth_m}
                                              : (gw_position){0.0, a_m, depth_m + b_m};
        if (i > 0) {
            chords[i - 1] = gw_segment_between(corner[0], corner[1], 0.5 * pipe_diameter_m);
        }
    }
    return GW_OK;
}
