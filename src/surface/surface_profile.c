/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parameters of a roughness profile, ISO 21920-2 and ISO 4287. */
#include "surface_inner.h"

#include <math.h>

#include "units.h"

enum { SECTIONS_MAX = 40 };

/* Sums, then means, of a run of samples about 0, and its ends. */
typedef struct run {
    double m1, m2, m3, m4; /* of |z|, z^2, z^3, z^4 */
    double low, high;
    ptrdiff_t n;
} run;

static const run NO_RUN = {.low = (double)INFINITY, .high = -(double)INFINITY};

/* One walk for the sums of a section and of the whole length. */
static void add_run(const double *z, ptrdiff_t n, run *section, run *whole)
{
    run s = *section, w = *whole;
    for (ptrdiff_t i = 0; i < n; i++) {
        const double x = z[i], x1 = fabs(x), x2 = x * x, x3 = x2 * x, x4 = x2 * x2;
        if (isnan(x))
            continue;
        s.m1 += x1;
        w.m1 += x1;
        s.m2 += x2;
        w.m2 += x2;
        s.m3 += x3;
        w.m3 += x3;
        s.m4 += x4;
        w.m4 += x4;
        s.low = x < s.low ? x : s.low;
        s.high = x > s.high ? x : s.high;
        s.n++;
    }
    w.low = fmin(w.low, s.low);
    w.high = fmax(w.high, s.high);
    w.n += s.n;
    *section = s;
    *whole = w;
}

static void run_means(run *r)
{
    r->m1 /= (double)r->n;
    r->m2 /= (double)r->n;
    r->m3 /= (double)r->n;
    r->m4 /= (double)r->n;
}

static lev_status without_mean(const lev_trace *t, lev_trace *out, double *mean,
                               lev_error *err)
{
    double sum = 0.0;
    ptrdiff_t n = 0;
    for (ptrdiff_t i = 0; i < t->n; i++) {
        if (isnan(t->z_um[i]))
            continue;
        sum += t->z_um[i];
        n++;
    }
    if (n == 0) {
        (void)lev_fail(err, LEV_E_RANGE, "no measured height");
        return LEV_E_RANGE;
    }
    const lev_status st = lev_trace_raw(out, t->n, t->dx_um, err);
    if (st < 0)
        return st;
    *mean = sum / (double)n;
    for (ptrdiff_t i = 0; i < t->n; i++)
        out->z_um[i] = t->z_um[i] - *mean;
    return LEV_OK;
}

static void whole_length(const run *r, lev_profile *p)
{
    p->Ra_um = r->m1;
    p->Rq_um = sqrt(r->m2);
    p->Rsk = r->m3 / (r->m2 * p->Rq_um);
    p->Rku = r->m4 / (r->m2 * r->m2);
    p->Rpt_um = r->high;
    p->Rvt_um = -r->low;
    p->Rt_um = r->high - r->low;
}

/* What is taken over the whole length, what both standards take section by section,
 * and what only the older one does. */
static lev_status heights(const lev_trace *t, lev_rule rule, lev_profile *p,
                          lev_error *err)
{
    double q = 0.0, sk = 0.0, ku = 0.0, a = 0.0;
    const double k = (double)p->sections;
    run all = NO_RUN;
    for (int s = 0; s < p->sections; s++) {
        const ptrdiff_t from = t->n * s / p->sections;
        run r = NO_RUN;
        add_run(t->z_um + from, t->n * (s + 1) / p->sections - from, &r, &all);
        run_means(&r);
        if (r.n == 0)
            return lev_fail(err, LEV_E_RANGE, "section %d of %d has no measured height",
                            s + 1, p->sections);
        p->Ra_section_um[s] = r.m1;
        p->Rz_section_um[s] = r.high - r.low;
        p->Rp_um += r.high / k;
        p->Rv_um -= r.low / k;
        p->Rz_um += p->Rz_section_um[s] / k;
        p->Rzx_um = fmax(p->Rzx_um, p->Rz_section_um[s]);
        a += r.m1 / k;
        q += sqrt(r.m2) / k;
        sk += r.m3 / (r.m2 * sqrt(r.m2)) / k;
        ku += r.m4 / (r.m2 * r.m2) / k;
    }
    run_means(&all);
    whole_length(&all, p);
    if (rule == LEV_RULE_ISO4287) {
        p->Ra_um = a;
        p->Rq_um = q;
        p->Rsk = sk;
        p->Rku = ku;
    }
    return LEV_OK;
}

/* Sums over slopes laid out one after the other, in LANES that a compiler may take at
 * once; a NaN is left out. */
enum { LANES = 4, SLOPES = 256 }; /* the second a multiple of the first */

typedef struct slope_sums {
    double squares, sizes, lengths;
    ptrdiff_t n;
} slope_sums;

static double add_lanes(const double x[LANES])
{
    return x[0] + x[1] + x[2] + x[3];
}

/* Room behind the last slope is filled with NaN up to whole lanes. */
static ptrdiff_t whole_lanes(double *d, ptrdiff_t n)
{
    for (; n % LANES != 0; n++)
        d[n] = (double)NAN;
    return n;
}

static void add_slopes(double *d, ptrdiff_t many, slope_sums *s)
{
    double squares[LANES] = {0.0}, sizes[LANES] = {0.0}, good[LANES] = {0.0};
    const ptrdiff_t n = whole_lanes(d, many);
    for (ptrdiff_t i = 0; i < n; i += LANES) {
        for (ptrdiff_t k = 0; k < LANES; k++) {
            const double x = d[i + k], here = x == x ? x : 0.0; /* NaN is not itself */
            squares[k] += here * here;
            sizes[k] += fabs(here);
            good[k] += x == x ? 1.0 : 0.0;
        }
    }
    s->squares += add_lanes(squares);
    s->sizes += add_lanes(sizes);
    s->n += (ptrdiff_t)add_lanes(good);
}

static void add_lengths(double *d, ptrdiff_t many, slope_sums *s)
{
    double lengths[LANES] = {0.0}, good[LANES] = {0.0};
    const ptrdiff_t n = whole_lanes(d, many);
    for (ptrdiff_t i = 0; i < n; i++)
        d[i] = sqrt(1.0 + d[i] * d[i]) - 1.0;
    for (ptrdiff_t i = 0; i < n; i += LANES) {
        for (ptrdiff_t k = 0; k < LANES; k++) {
            const double x = d[i + k];
            lengths[k] += x == x ? x : 0.0;
            good[k] += x == x ? 1.0 : 0.0;
        }
    }
    s->lengths += add_lanes(lengths);
    s->n += (ptrdiff_t)add_lanes(good);
}

/* Slopes by seven points and the length of the joined samples. A NaN among the points
 * leaves the place out. */
static void slopes(const lev_trace *t, lev_profile *p)
{
    double d[SLOPES];
    const double *z = t->z_um;
    slope_sums seven = {0}, joined = {0};
    for (ptrdiff_t from = 3; from + 3 < t->n; from += SLOPES) {
        const ptrdiff_t left = t->n - 3 - from, n = left < SLOPES ? left : SLOPES;
        for (ptrdiff_t k = 0; k < n; k++) {
            const double *at = z + from + k;
            d[k] = (at[3] - 9.0 * at[2] + 45.0 * at[1] - 45.0 * at[-1] + 9.0 * at[-2] -
                    at[-3]) /
                   (60.0 * t->dx_um);
        }
        add_slopes(d, n, &seven);
    }
    for (ptrdiff_t from = 0; from + 1 < t->n; from += SLOPES) {
        const ptrdiff_t left = t->n - 1 - from, n = left < SLOPES ? left : SLOPES;
        for (ptrdiff_t k = 0; k < n; k++)
            d[k] = (z[from + k + 1] - z[from + k]) / t->dx_um;
        add_lengths(d, n, &joined);
    }
    const double many = (double)seven.n;
    p->Rdq = seven.n > 0 ? sqrt(seven.squares / many) : (double)NAN;
    p->Rda = seven.n > 0 ? seven.sizes / many : (double)NAN;
    p->Rdr_pct = joined.n > 0 ? 100.0 * joined.lengths / (double)joined.n : (double)NAN;
}

static void elements(const lev_trace *t, lev_rule rule, lev_profile *p)
{
    lev_elements e;
    const double share = lev_texture("rsm_height");
    const bool older = rule == LEV_RULE_ISO4287;
    const double section_um = (double)t->n * t->dx_um / p->sections;
    lev_elements_of(t->z_um, t->n, t->dx_um, share * (older ? p->Rz_um : p->Rp_um),
                    share * (older ? p->Rz_um : p->Rv_um),
                    lev_texture("rsm_width") * section_um, &e);
    p->RSm_um = e.width_um;
    p->Rc_um = e.height_um;
    p->RSm_count = e.count;
}

lev_status lev_profile_of(const lev_trace *t, lev_rule rule, int sections,
                          lev_profile *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_trace z = {0};
    lev_ratio ratio = {0};
    lev_profile p = {.sections =
                         sections > 0 ? sections : (int)lev_texture("sections")};

    if (p.sections > SECTIONS_MAX || sections < 0 || t->n < p.sections)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "%d sections of %td points; 1 to %d",
                         p.sections, t->n, SECTIONS_MAX));
    LEV_TRY(without_mean(t, &z, &p.mean_um, err));
    LEV_TRY(heights(&z, rule, &p, err));
    slopes(&z, &p);
    elements(&z, rule, &p);
    LEV_TRY(lev_ratio_take(&z, &ratio, err)); /* z is spent */
    lev_ratio_core(&ratio, &p.core);
    lev_ratio_plateau(&ratio, &p.plateau);
    *out = p;
out:
    lev_ratio_release(&ratio);
    lev_trace_release(&z);
    return st;
}

double lev_trace_ratio(const lev_trace *t, double height_um)
{
    double sum = 0.0, mean = 0.0;
    ptrdiff_t n = 0, measured = 0;
    for (ptrdiff_t i = 0; i < t->n; i++) {
        if (isnan(t->z_um[i]))
            continue;
        mean += t->z_um[i];
        measured++;
    }
    const double c = height_um + mean / (double)measured;
    for (ptrdiff_t i = 0; i + 1 < t->n; i++) {
        const double a = t->z_um[i], b = t->z_um[i + 1];
        if (isnan(a) || isnan(b))
            continue;
        const double high = fmax(a, b), low = fmin(a, b);
        n++;
        if (low >= c)
            sum += 1.0;
        else if (high >= c)
            sum += high > low ? (high - c) / (high - low) : 1.0;
    }
    return n > 0 ? sum / (double)n : (double)NAN;
}
