// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "house/bills.h"

#include <math.h>
#include <stdio.h>

enum { DAY_S = 86400 };

// The search for the balance temperature.
static const double LEAST_BALANCE_DEGC = 0.0;
static const double GREATEST_BALANCE_DEGC = 26.0;
static const double GRID_K = 0.1;
// Columns of the linearised problem, each of unit length: a smaller determinant of their products
// means that two of them are the same for any purpose (winter bills only: about 1e-16).
static const double LEAST_DETERMINANT = 1e-7;

// ---------------------------------------------------------------- small helpers

long gw_bills_day_number(int year, int month, int day)
{
    // Years from March, so that the leap day comes last.
    const long y = month <= 2 ? year - 1L : year;
    const long m = month <= 2 ? month + 9L : month - 3L;
    const long before = 365L * y + y / 4 - y / 100 + y / 400;
    return before + (153L * m + 2) / 5 + day - 1 - 730425L;
}

void gw_bills_lay_typical(const double daily_degc[365], size_t first_day_of_year, double *out_degc,
                          size_t day_count)
{
    for (size_t i = 0; i < day_count; i++) {
        out_degc[i] = daily_degc[(first_day_of_year + i) % 365];
    }
}

double gw_bills_student_975(size_t freedom)
{
    // Standard tables for few degrees of freedom; Abramowitz & Stegun 26.7.5 beyond.
    static const double FEW[] = {12.706204736, 4.302652730, 3.182446305, 2.776445105,
                                 2.570581836,  2.446911851, 2.364624252, 2.306004135};
    enum { FEW_COUNT = sizeof FEW / sizeof FEW[0] };
    if (freedom == 0) {
        return HUGE_VAL;
    }
    if (freedom <= FEW_COUNT) {
        return FEW[freedom - 1];
    }
    const double x = 1.959963984540054;
    const double n = (double)freedom;
    const double x3 = x * x * x;
    const double x5 = x3 * x * x;
    const double x7 = x5 * x * x;
    return x + (x3 + x) / (4.0 * n) + (5.0 * x5 + 16.0 * x3 + 3.0 * x) / (96.0 * n * n) +
           (3.0 * x7 + 19.0 * x5 + 17.0 * x3 - 15.0 * x) / (384.0 * n * n * n) +
           (79.0 * x7 * x * x + 776.0 * x7 + 1482.0 * x5 - 1920.0 * x3 - 945.0 * x) /
               (92160.0 * n * n * n * n);
}

// ---------------------------------------------------------------- bills into periods

static gw_status check_numbers(const gw_bills_input *in, gw_err *err)
{
    if (!(in->energy_j > 0.0 && in->energy_j < 1e12)) {
        return gw_fail(err, GW_ERR_RANGE, "energy_j",
                       "found %g J in a unit of fuel, expected above 0 and below 1e12",
                       in->energy_j);
    }
    if (!(in->efficiency_frac >= 0.1 && in->efficiency_frac <= 6.0)) {
        return gw_fail(err, GW_ERR_RANGE, "efficiency_frac",
                       "found an efficiency of %g, expected 0.1 to 6", in->efficiency_frac);
    }
    if (in->balance_given && !(in->balance_degc >= 0.0 && in->balance_degc <= 30.0)) {
        return gw_fail(err, GW_ERR_RANGE, "balance_degc",
                       "found a balance temperature of %g °C, expected 0 to 30", in->balance_degc);
    }
    if (in->base_given && !(in->base_w >= 0.0 && in->base_w <= 1e6)) {
        return gw_fail(err, GW_ERR_RANGE, "base_w", "found a base load of %g W, expected 0 to 1e6",
                       in->base_w);
    }
    for (size_t i = 0; i < in->day_count; i++) {
        if (!(in->daily_mean_degc[i] >= -70.0 && in->daily_mean_degc[i] <= 60.0)) {
            return gw_fail(err, GW_ERR_RANGE, "daily_mean_degc",
                           "found %g °C on day %zu, expected -70 to 60", in->daily_mean_degc[i], i);
        }
    }
    return GW_OK;
}

static gw_status fail_bill(gw_err *err, size_t index, const char *member, const char *what,
                           double found)
{
    char field[GW_ERR_FIELD_SIZE];
    snprintf(field, sizeof field, "bills[%zu].%s", index, member);
    return gw_fail(err, GW_ERR_RANGE, field, "found %g, expected %s", found, what);
}

static gw_status check_bills(const gw_bills_input *in, gw_err *err)
{
    if (in->bill_count < 2 || in->bill_count > GW_BILLS_MOST) {
        return gw_fail(err, GW_ERR_RANGE, "bills", "found %zu bills, expected 2 to %d",
                       in->bill_count, (int)GW_BILLS_MOST);
    }
    for (size_t i = 0; i < in->bill_count; i++) {
        const gw_bill *const b = &in->bills[i];
        if (!(b->quantity >= 0.0 && b->quantity < 1e9)) {
            return fail_bill(err, i, "quantity", "0 or more, below 1e9", b->quantity);
        }
        if (b->day > in->day_count) {
            return fail_bill(err, i, "day", "a day within the temperatures", (double)b->day);
        }
        const bool same_day_is_fine = in->kind == GW_BILLS_DELIVERIES;
        if (i > 0 && (b->day < b[-1].day || (b->day == b[-1].day && !same_day_is_fine))) {
            return fail_bill(err, i, "day", "a day after that of the bill before", (double)b->day);
        }
        if (i > 0 && in->kind == GW_BILLS_METER && b->quantity < b[-1].quantity) {
            return fail_bill(err, i, "quantity",
                             "a meter that counts up (was it replaced? then fit each part)",
                             b->quantity);
        }
    }
    return GW_OK;
}

typedef struct {
    const gw_bills_input *in;
    gw_bills_period *periods;
    size_t count;
    size_t left_out;
    size_t joined;
} account;

static void add_period(account *a, size_t from, size_t to, double quantity)
{
    a->periods[a->count++] =
        (gw_bills_period){.first_day = from, .days = to - from, .quantity = quantity};
}

static void open_readings(account *a)
{
    const gw_bill *const b = a->in->bills;
    for (size_t i = 1; i < a->in->bill_count; i++) {
        const double used =
            a->in->kind == GW_BILLS_METER ? b[i].quantity - b[i - 1].quantity : b[i].quantity;
        add_period(a, b[i - 1].day, b[i].day, used);
    }
    a->left_out = 1;
}

// From fill to fill. What is delivered between two fills was burnt between them.
static void open_deliveries(account *a)
{
    const gw_bill *const b = a->in->bills;
    const size_t n = a->in->bill_count;
    size_t i = 0;
    while (i < n && b[i].partial) {
        i++; // before the first fill nothing is known of the level
    }
    a->left_out = i < n ? i + 1 : n;
    size_t since = i < n ? b[i].day : 0;
    double sum = 0.0;
    size_t pending = 0;
    for (i++; i < n && b[i].day == since; i++) {
        a->left_out++; // a second truck on the day the account opens
    }
    for (; i < n; i++) {
        sum += b[i].quantity;
        pending++;
        if (!b[i].partial && b[i].day - since >= GW_BILLS_LEAST_DAYS) {
            add_period(a, since, b[i].day, sum);
            a->joined += pending - 1;
            since = b[i].day;
            sum = 0.0;
            pending = 0;
        }
    }
    a->left_out += pending;
}

static void measure(account *a)
{
    for (size_t i = 0; i < a->count; i++) {
        gw_bills_period *const p = &a->periods[i];
        double sum = 0.0;
        for (size_t d = 0; d < p->days; d++) {
            sum += a->in->daily_mean_degc[p->first_day + d];
        }
        p->mean_degc = sum / (double)p->days;
        p->heat_w = p->quantity * a->in->energy_j * a->in->efficiency_frac /
                    ((double)p->days * (double)DAY_S);
    }
}

// ---------------------------------------------------------------- the fit

typedef struct {
    double ua_w_k;
    double base_w;
    double balance_degc;
    double square_sum; // weighted, of the residuals
    bool base_held;
} point;

// Mean kelvin below the balance temperature in a period, and the share of its days below.
static double degrees_below(const account *a, const gw_bills_period *p, double balance_degc,
                            double *cold_share)
{
    const double *const t = a->in->daily_mean_degc + p->first_day;
    double sum = 0.0;
    size_t cold = 0;
    for (size_t d = 0; d < p->days; d++) {
        const double below_k = balance_degc - t[d];
        if (below_k > 0.0) {
            sum += below_k;
            cold++;
        }
    }
    *cold_share = (double)cold / (double)p->days;
    return sum / (double)p->days;
}

// UA and base for one balance temperature, by weighted least squares about the means.
static point fit_at(const account *a, double balance_degc)
{
    double w = 0.0, wx = 0.0, wy = 0.0, wxx = 0.0, wxy = 0.0;
    for (size_t i = 0; i < a->count; i++) {
        gw_bills_period *const p = &a->periods[i];
        double cold = 0.0;
        p->degree_k = degrees_below(a, p, balance_degc, &cold);
        const double n = (double)p->days;
        w += n;
        wx += n * p->degree_k;
        wy += n * p->heat_w;
        wxx += n * p->degree_k * p->degree_k;
        wxy += n * p->degree_k * p->heat_w;
    }
    point out = {.balance_degc = balance_degc, .base_w = a->in->base_w};
    const double sxx = wxx - wx * wx / w;
    const double sxy = wxy - wx * wy / w;
    if (!a->in->base_given) {
        out.ua_w_k = sxx > 0.0 ? sxy / sxx : 0.0;
        out.base_w = (wy - out.ua_w_k * wx) / w;
        out.base_held = out.base_w < 0.0;
        out.base_w = out.base_held ? 0.0 : out.base_w;
    }
    if (a->in->base_given || out.base_held) {
        out.ua_w_k = wxx > 0.0 ? (wxy - out.base_w * wx) / wxx : 0.0;
    }
    // The residuals themselves, not the difference of sums: it is zero for exact bills.
    for (size_t i = 0; i < a->count; i++) {
        gw_bills_period *const p = &a->periods[i];
        p->fitted_w = out.ua_w_k * p->degree_k + out.base_w;
        const double off_w = p->heat_w - p->fitted_w;
        out.square_sum += (double)p->days * off_w * off_w;
    }
    return out;
}

static double golden(const account *a, double low, double high)
{
    const double ratio = 0.6180339887498949;
    double x1 = high - ratio * (high - low);
    double x2 = low + ratio * (high - low);
    double f1 = fit_at(a, x1).square_sum;
    double f2 = fit_at(a, x2).square_sum;
    while (high - low > 1e-9) {
        if (f1 <= f2) {
            high = x2;
            x2 = x1;
            f2 = f1;
            x1 = high - ratio * (high - low);
            f1 = fit_at(a, x1).square_sum;
        } else {
            low = x1;
            x1 = x2;
            f1 = f2;
            x2 = low + ratio * (high - low);
            f2 = fit_at(a, x2).square_sum;
        }
    }
    return 0.5 * (low + high);
}

static point fit_best(const account *a)
{
    if (a->in->balance_given) {
        return fit_at(a, a->in->balance_degc);
    }
    double best_degc = LEAST_BALANCE_DEGC;
    double best_sum = HUGE_VAL;
    const int steps = (int)lround((GREATEST_BALANCE_DEGC - LEAST_BALANCE_DEGC) / GRID_K);
    for (int i = 0; i <= steps; i++) {
        const double at = LEAST_BALANCE_DEGC + GRID_K * (double)i;
        const double sum = fit_at(a, at).square_sum;
        if (sum < best_sum) {
            best_sum = sum;
            best_degc = at;
        }
    }
    return fit_at(a, golden(a, best_degc - GRID_K, best_degc + GRID_K));
}

// ---------------------------------------------------------------- intervals

enum { VALUES = 3 }; // UA, base, balance

typedef struct {
    int count;
    int column[VALUES]; // which of the three are fitted
    double product[VALUES][VALUES];
} normal;

// How the model's mean heat of one period moves with each fitted value.
typedef struct {
    double slope[VALUES];
} gradient;

static gradient gradient_of(const account *a, const point *at, const gw_bills_period *p)
{
    double cold = 0.0;
    const double below_k = degrees_below(a, p, at->balance_degc, &cold);
    return (gradient){{below_k, 1.0, at->ua_w_k * cold}};
}

static normal normal_of(const account *a, const point *at)
{
    normal out = {0};
    const bool fitted[VALUES] = {true, !a->in->base_given && !at->base_held, !a->in->balance_given};
    for (int i = 0; i < VALUES; i++) {
        if (fitted[i]) {
            out.column[out.count++] = i;
        }
    }
    for (size_t k = 0; k < a->count; k++) {
        const gw_bills_period *const p = &a->periods[k];
        const gradient g = gradient_of(a, at, p);
        for (int i = 0; i < out.count; i++) {
            for (int j = 0; j < out.count; j++) {
                out.product[i][j] +=
                    (double)p->days * g.slope[out.column[i]] * g.slope[out.column[j]];
            }
        }
    }
    return out;
}

// Inverse by elimination of the matrix scaled to a unit diagonal; returns its determinant.
static double invert(normal *m)
{
    const int n = m->count;
    double scale[VALUES], a[VALUES][2 * VALUES] = {{0}};
    for (int i = 0; i < n; i++) {
        if (!(m->product[i][i] > 0.0)) {
            return 0.0;
        }
        scale[i] = sqrt(m->product[i][i]);
    }
    for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
            a[i][j] = m->product[i][j] / (scale[i] * scale[j]);
        }
        a[i][n + i] = 1.0;
    }
    double determinant = 1.0;
    for (int c = 0; c < n; c++) {
        const double pivot = a[c][c]; // positive definite: the diagonal serves as pivot
        determinant *= pivot;
        if (!(determinant > LEAST_DETERMINANT)) {
            return determinant;
        }
        for (int j = 0; j < 2 * n; j++) {
            a[c][j] /= pivot;
        }
        for (int r = 0; r < n; r++) {
            const double factor = a[r][c];
            for (int j = 0; r != c && j < 2 * n; j++) {
                a[r][j] -= factor * a[c][j];
            }
        }
    }
    for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
            m->product[i][j] = a[i][n + j] / (scale[i] * scale[j]);
        }
    }
    return determinant;
}

// Variance of each fitted value that does not suppose equal noise (bills err in proportion to their
// size): MacKinnon & White 1985, "Some heteroskedasticity-consistent covariance matrix estimators
// with improved finite sample properties", J. Econometrics 29:305, the form known as HC3.
static void robust_variance(const account *a, const point *at, const normal *inverse,
                            double variance[VALUES])
{
    for (size_t k = 0; k < a->count; k++) {
        const gw_bills_period *const p = &a->periods[k];
        const gradient g = gradient_of(a, at, p);
        double influence[VALUES] = {0.0}; // of this period on each value
        double leverage = 0.0;
        for (int i = 0; i < inverse->count; i++) {
            for (int j = 0; j < inverse->count; j++) {
                influence[i] += inverse->product[i][j] * g.slope[inverse->column[j]];
            }
            influence[i] *= (double)p->days;
            leverage += influence[i] * g.slope[inverse->column[i]];
        }
        const double off_w = (p->heat_w - p->fitted_w) / fmax(1.0 - leverage, 0.01);
        for (int i = 0; i < inverse->count; i++) {
            variance[i] += influence[i] * influence[i] * off_w * off_w;
        }
    }
}

// Of the classical variance and the robust one, the greater.
static gw_status set_intervals(const account *a, const point *at, gw_bills_fit *out, gw_err *err)
{
    normal m = normal_of(a, at);
    if (a->count <= (size_t)m.count) {
        return gw_fail(err, GW_ERR_MISSING, "bills",
                       "found %zu usable periods, expected at least %d to fit %d values with an "
                       "interval",
                       a->count, m.count + 1, m.count);
    }
    if (!(invert(&m) > LEAST_DETERMINANT)) {
        return gw_fail(err, GW_ERR_MISSING, "bills",
                       "the periods are too much alike (only winter bills?): balance temperature "
                       "and base load cannot be told apart; add summer bills or give one of them");
    }
    out->freedom = a->count - (size_t)m.count;
    const double noise = at->square_sum / (double)out->freedom;
    const double t = gw_bills_student_975(out->freedom);
    const double values[VALUES] = {at->ua_w_k, at->base_w, at->balance_degc};
    gw_bills_interval *const ends[VALUES] = {&out->ua_w_k, &out->base_w, &out->balance_degc};
    double robust[VALUES] = {0.0};
    robust_variance(a, at, &m, robust);
    for (int i = 0; i < VALUES; i++) {
        *ends[i] = (gw_bills_interval){values[i], values[i], values[i]};
    }
    for (int i = 0; i < m.count; i++) {
        const double half = t * sqrt(fmax(noise * m.product[i][i], robust[i]));
        gw_bills_interval *const e = ends[m.column[i]];
        e->low -= half;
        e->high += half;
    }
    out->base_w.low = fmax(out->base_w.low, 0.0);
    return GW_OK;
}

static void set_quality(const account *a, const point *at, gw_bills_fit *out)
{
    double w = 0.0, mean_w = 0.0, spread = 0.0;
    for (size_t i = 0; i < a->count; i++) {
        w += (double)a->periods[i].days;
        mean_w += (double)a->periods[i].days * a->periods[i].heat_w;
    }
    mean_w /= w;
    for (size_t i = 0; i < a->count; i++) {
        const double off_w = a->periods[i].heat_w - mean_w;
        spread += (double)a->periods[i].days * off_w * off_w;
    }
    out->r2 = spread > 0.0 ? 1.0 - at->square_sum / spread : 0.0;
    out->cv_rmse_frac = mean_w > 0.0 ? sqrt(at->square_sum / w) / mean_w : 0.0;
}

gw_status gw_bills_solve(gw_arena *arena, const gw_bills_input *input, gw_bills_fit *out,
                         gw_err *err)
{
    gw_status st = check_numbers(input, err);
    if (st == GW_OK) {
        st = check_bills(input, err);
    }
    if (st != GW_OK) {
        return st;
    }
    account a = {.in = input,
                 .periods = gw_arena_alloc(arena, input->bill_count, sizeof *a.periods)};
    if (a.periods == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory reading the bills");
    }
    if (input->kind == GW_BILLS_DELIVERIES) {
        open_deliveries(&a);
    } else {
        open_readings(&a);
    }
    if (a.count < 2) {
        return gw_fail(err, GW_ERR_MISSING, "bills",
                       "found %zu usable periods, expected at least 2", a.count);
    }
    measure(&a);
    const point at = fit_best(&a);
    if (!(at.ua_w_k > 0.0)) {
        return gw_fail(err, GW_ERR_RANGE, "bills",
                       "found no use that grows with cold in %zu periods: is this the fuel that "
                       "heats the house?",
                       a.count);
    }
    *out = (gw_bills_fit){.periods = a.periods,
                          .period_count = a.count,
                          .left_out = a.left_out,
                          .joined = a.joined,
                          .base_held = at.base_held};
    set_quality(&a, &at, out);
    return set_intervals(&a, &at, out, err);
}

// ---------------------------------------------------------------- beside the components

static const double VAGUE_FRAC = 0.30;

static const char *reason(const gw_bills_fit *fit, const gw_bills_comparison *c)
{
    if (c->vague) {
        return "is too wide to decide anything: trust the components, and collect the bills of "
               "another winter";
    }
    if (c->agree) {
        return "holds the component figure: trust the bills for the house as it is lived in, and "
               "the components for what a change would bring";
    }
    if (fit->ua_w_k.value < c->component_ua_w_k) {
        return "lies below the component figure: the house is better than assumed, or part of it "
               "was cold, or another fuel helped; trust the bills if this fuel alone heated all "
               "of the house, otherwise the components";
    }
    return "lies above the component figure: it leaks or is insulated worse than assumed, or the "
           "old equipment is less efficient than stated; trust the bills and size on them until a "
           "blower-door test says otherwise";
}

gw_status gw_bills_compare(const gw_bills_fit *fit, double component_ua_w_k,
                           gw_bills_comparison *out, gw_err *err)
{
    if (!(component_ua_w_k > 0.0 && component_ua_w_k < 1e6)) {
        return gw_fail(err, GW_ERR_RANGE, "component_ua_w_k",
                       "found %g W/K by components, expected above 0 and below 1e6",
                       component_ua_w_k);
    }
    const gw_bills_interval *const ua = &fit->ua_w_k;
    *out = (gw_bills_comparison){
        .component_ua_w_k = component_ua_w_k,
        .ratio = ua->value / component_ua_w_k,
        .agree = ua->low <= component_ua_w_k && component_ua_w_k <= ua->high,
        .vague = 0.5 * (ua->high - ua->low) > VAGUE_FRAC * ua->value,
    };
    out->trust = out->vague ? GW_BILLS_TRUST_COMPONENTS : GW_BILLS_TRUST_BILLS;
    snprintf(out->sentence, sizeof out->sentence,
             "Bills say %.0f W/K (%.0f to %.0f, 95 %%), components %.0f W/K. The interval %s.",
             ua->value, ua->low, ua->high, component_ua_w_k, reason(fit, out));
    return GW_OK;
}
