// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "ground/kernel.h"

static const double SQRT_PI = 1.7724538509055160273;
static const double PARALLEL_SINE2 = 1e-20; // below: the two directions are the same

void gw_gauss_legendre(size_t n, double *node, double *weight)
{
    for (size_t i = 0; i < n; ++i) {
        // Newton from the usual first guess; P_n and its derivative by the three-term recurrence.
        double x = cos(M_PI * ((double)i + 0.75) / ((double)n + 0.5));
        double slope = 1.0;
        for (int turn = 0; turn < 8; ++turn) {
            double p = 1.0, before = 0.0;
            for (size_t k = 1; k <= n; ++k) {
                const double next =
                    ((2.0 * (double)k - 1.0) * x * p - ((double)k - 1.0) * before) / (double)k;
                before = p;
                p = next;
            }
            slope = (double)n * (x * p - before) / (x * x - 1.0);
            x -= p / slope;
        }
        node[n - 1 - i] = x;
        weight[n - 1 - i] = 2.0 / ((1.0 - x * x) * slope * slope);
    }
}

// Taylor coefficients at x: derivatives of g = (2/√π) e^(−x²) are (−1)^n H_n(x) g, with the
// Hermite polynomials H_n by recurrence; erfc' = −g and (∫_x^∞ erfc)' = −erfc.
void gw_kernel_table_init(gw_kernel_table *table)
{
    for (int i = 0; i < GW_KERNEL_NODES; ++i) {
        const double x = (double)i / GW_KERNEL_PER_UNIT;
        const double g = 2.0 / SQRT_PI * exp(-x * x);
        double hermite = 1.0, before = 0.0, factorial = 1.0, sign = 1.0;
        table->erfc[i][0] = erfc(x);
        table->ierfc[i][0] = 0.5 * g - x * erfc(x);
        table->ierfc[i][1] = -erfc(x);
        for (int n = 0; n + 1 < GW_KERNEL_TERMS; ++n) {
            factorial *= n + 1.0; // (n + 1)!
            table->erfc[i][n + 1] = -sign * hermite * g / factorial;
            if (n + 2 < GW_KERNEL_TERMS) {
                table->ierfc[i][n + 2] = sign * hermite * g / (factorial * (n + 2.0));
            }
            const double next = 2.0 * x * hermite - 2.0 * n * before;
            before = hermite;
            hermite = next;
            sign = -sign;
        }
    }
}

gw_segment gw_kernel_mirror(const gw_segment *segment)
{
    gw_segment mirror = *segment;
    mirror.z_m = -mirror.z_m;
    mirror.dz = -mirror.dz;
    return mirror;
}

static double cosine_of(const gw_segment *a, const gw_segment *b)
{
    return a->dx * b->dx + a->dy * b->dy + a->dz * b->dz;
}

// |a × b|² of the unit directions; the cross product keeps its digits where 1 − cos² has none.
static double sine2_of(const gw_segment *a, const gw_segment *b)
{
    const double x = a->dy * b->dz - a->dz * b->dy;
    const double y = a->dz * b->dx - a->dx * b->dz;
    const double z = a->dx * b->dy - a->dy * b->dx;
    return x * x + y * y + z * z;
}

static double larger_radius(const gw_segment *a, const gw_segment *b)
{
    return a->radius_m > b->radius_m ? a->radius_m : b->radius_m;
}

// Square of the distance between two parallel axes.
static double parallel_distance2(const gw_segment *a, const gw_segment *b)
{
    const double x = b->x_m - a->x_m, y = b->y_m - a->y_m, z = b->z_m - a->z_m;
    const double along = x * a->dx + y * a->dy + z * a->dz;
    const double px = x - along * a->dx, py = y - along * a->dy, pz = z - along * a->dz;
    return px * px + py * py + pz * pz;
}

double gw_kernel_pair_gap_m(const gw_segment *a, const gw_segment *b)
{
    return fmax(gw_segment_gap_m(a, b), larger_radius(a, b));
}

// Closed in space (parallel lines): with the four differences x of the ends along the axis,
// f = e^(−ρ²s²)/s² × Σ ± ierf(x s), ierf(x) = |x| − 1/√π + ierfc(|x|). The linear part sums to
// twice the overlap and is kept apart, so that distant collinear pieces keep their digits.
static void add_parallel(const gw_kernel_at *at, const gw_segment *a, const gw_segment *b,
                         double sign, double *f)
{
    const double radius = larger_radius(a, b);
    const double rho2 = fmax(parallel_distance2(a, b), radius * radius);
    const double start =
        (b->x_m - a->x_m) * a->dx + (b->y_m - a->y_m) * a->dy + (b->z_m - a->z_m) * a->dz;
    const double end = start + (cosine_of(a, b) > 0.0 ? b->length_m : -b->length_m);
    const double low = fmin(start, end), high = fmax(start, end);
    const double x1 = fabs(a->length_m - low), x2 = fabs(high);
    const double x3 = fabs(a->length_m - high), x4 = fabs(low);
    const double overlap2 = x1 + x2 - x3 - x4; // 2 × overlap, or rounding
    const double linear = overlap2 > 1e-12 * (x1 + x2) ? overlap2 : 0.0;
    const gw_kernel_table *const table = at->table;
    for (size_t q = 0; q < at->count; ++q) {
        const double s = at->s[q], power = rho2 * s * s;
        if (power > GW_KERNEL_EXP_END) {
            continue;
        }
        const double sum =
            linear * s + ((gw_kernel_ierfc(table, x1 * s) - gw_kernel_ierfc(table, x3 * s)) +
                          (gw_kernel_ierfc(table, x2 * s) - gw_kernel_ierfc(table, x4 * s)));
        f[q] += sign * exp(-power) * sum / (s * s);
    }
}

// erf(high) − erf(low) without loss of digits.
static double erf_between(const gw_kernel_table *table, double low, double high)
{
    if (low >= 0.0) {
        return gw_kernel_erfc(table, low) - gw_kernel_erfc(table, high);
    }
    if (high <= 0.0) {
        return gw_kernel_erfc(table, -high) - gw_kernel_erfc(table, -low);
    }
    return 2.0 - gw_kernel_erfc(table, high) - gw_kernel_erfc(table, -low);
}

// One point against a line, closed: weight × e^(−ρ²s²)/s × [erf(s b) − erf(s a)].
static void add_point(const gw_kernel_at *at, gw_position p, const gw_segment *source,
                      double weight, double add2, double *f)
{
    const double x = p.x_m - source->x_m, y = p.y_m - source->y_m, z = p.z_m - source->z_m;
    const double along = x * source->dx + y * source->dy + z * source->dz;
    const double px = x - along * source->dx, py = y - along * source->dy;
    const double pz = z - along * source->dz;
    const double rho2 = px * px + py * py + pz * pz + add2;
    const double low = -along, high = source->length_m - along;
    // Beyond the ends of the source the nearest distance is larger than ρ.
    const double beyond = low > 0.0 ? low : high < 0.0 ? -high : 0.0;
    const double near2 = rho2 + beyond * beyond;
    for (size_t q = 0; q < at->count; ++q) {
        const double s = at->s[q], s2 = s * s;
        if (near2 * s2 > GW_KERNEL_EXP_END) {
            continue;
        }
        f[q] += weight * exp(-rho2 * s2) * erf_between(at->table, low * s, high * s) / s;
    }
}

enum { PANEL_POINTS = 10, PANEL_DEPTH = 24 };
static const double PANEL_PER_GAP = 1.6;

// Points that leave the same error of about 1e-9 on a panel this long against its distance.
static size_t points_for(double size_per_gap)
{
    return size_per_gap < 0.02  ? 2
           : size_per_gap < 0.1 ? 3
           : size_per_gap < 0.3 ? 4
           : size_per_gap < 0.8 ? 6
                                : PANEL_POINTS;
}

static void add_panel(const gw_kernel_at *at, const gw_segment *panel, const gw_segment *source,
                      size_t points, double sign, double add2, double *f)
{
    double node[PANEL_POINTS], weight[PANEL_POINTS];
    gw_gauss_legendre(points, node, weight);
    const double half = 0.5 * panel->length_m;
    for (size_t i = 0; i < points; ++i) {
        add_point(at, gw_segment_point(panel, half * (1.0 + node[i])), source,
                  sign * half * weight[i], add2, f);
    }
}

// Any directions: Gauss–Legendre along `line`, closed along `source`. A panel is halved until it
// is no longer than 1.6 times its distance from the source: the nearest singular point of the
// integrand then lies outside the Bernstein ellipse of parameter 2.8, and ten points leave
// 2.8^(−20) ≈ 1e-9.
static void add_general(const gw_kernel_at *at, const gw_segment *line, const gw_segment *source,
                        double sign, double *f)
{
    const double radius = larger_radius(line, source), gap = gw_segment_gap_m(line, source);
    const double add2 = fmax(0.0, radius * radius - gap * gap);
    double from[PANEL_DEPTH], length[PANEL_DEPTH];
    size_t depth = 1;
    from[0] = 0.0;
    length[0] = line->length_m;
    while (depth > 0) {
        --depth;
        const double start = from[depth], size = length[depth];
        gw_segment panel = *line;
        const gw_position corner = gw_segment_point(line, start);
        panel.x_m = corner.x_m;
        panel.y_m = corner.y_m;
        panel.z_m = corner.z_m;
        panel.length_m = size;
        const double near = gw_segment_gap_m(&panel, source);
        const double size_per_gap = size / sqrt(near * near + add2);
        if (size_per_gap > PANEL_PER_GAP && depth + 2 <= PANEL_DEPTH) {
            from[depth] = start + 0.5 * size;
            from[depth + 1] = start;
            length[depth] = length[depth + 1] = 0.5 * size;
            depth += 2;
            continue;
        }
        add_panel(at, &panel, source, points_for(size_per_gap), sign, add2, f);
    }
}

static void add_part(const gw_kernel_at *at, const gw_segment *a, const gw_segment *b, double sign,
                     double *f)
{
    if (sine2_of(a, b) < PARALLEL_SINE2) {
        add_parallel(at, a, b, sign, f);
    } else if (a->length_m <= b->length_m) {
        add_general(at, a, b, sign, f);
    } else {
        add_general(at, b, a, sign, f);
    }
}

void gw_kernel_pair(const gw_kernel_at *at, const gw_segment *a, const gw_segment *b, double *f)
{
    for (size_t q = 0; q < at->count; ++q) {
        f[q] = 0.0;
    }
    add_part(at, a, b, 1.0, f);
    if (!at->without_mirror) {
        const gw_segment mirror = gw_kernel_mirror(b);
        add_part(at, a, &mirror, -1.0, f);
    }
}

double gw_kernel_point_gap_m(const gw_position *point, const gw_segment *source)
{
    gw_segment dot = *source;
    dot.x_m = point->x_m;
    dot.y_m = point->y_m;
    dot.z_m = point->z_m;
    dot.length_m = 0.0;
    return fmax(gw_segment_gap_m(&dot, source), source->radius_m);
}

void gw_kernel_point(const gw_kernel_at *at, const gw_position *point, const gw_segment *source,
                     double *f)
{
    for (size_t q = 0; q < at->count; ++q) {
        f[q] = 0.0;
    }
    gw_segment dot = *source;
    dot.x_m = point->x_m;
    dot.y_m = point->y_m;
    dot.z_m = point->z_m;
    dot.length_m = 0.0;
    const double gap = gw_segment_gap_m(&dot, source);
    const double add2 = fmax(0.0, source->radius_m * source->radius_m - gap * gap);
    add_point(at, *point, source, 1.0, add2, f);
    if (!at->without_mirror) {
        const gw_segment mirror = gw_kernel_mirror(source);
        add_point(at, *point, &mirror, -1.0, add2, f);
    }
}
