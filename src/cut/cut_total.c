/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sums of log-normal terms with shared factors. Mean and covariance of such a sum are
 * exact; its quantiles are those of the log-normal with the same mean and variance
 * (Fenton, IRE Trans. Comm. Syst. 8 (1960) 57), good to a few per cent here. */
#include <math.h>

#include "cut_coef.h"

/* Covariance of the logarithms of two terms. */
static double shared(const lev_cut_term *a, const lev_cut_term *b)
{
    double sum = 0.0;
    for (int f = 0; f < LEV_CUT_FACTORS; f++)
        if (f != LEV_CUT_F_REMOVAL || a->drive_slot == b->drive_slot)
            sum += a->lnsd[f] * b->lnsd[f];
    return sum;
}

static double own_variance(const lev_cut_term *t)
{
    return shared(t, t) + t->lnsd_own * t->lnsd_own;
}

static double mean_of(const lev_cut_term *t)
{
    return t->median * exp(0.5 * own_variance(t));
}

lev_spread lev_cut_total(const lev_cut_term *terms, ptrdiff_t n)
{
    double mean = 0.0, variance = 0.0;
    for (ptrdiff_t i = 0; i < n; i++) {
        const double here = mean_of(&terms[i]);
        mean += here;
        variance += here * here * expm1(own_variance(&terms[i]));
        for (ptrdiff_t k = 0; k < i; k++)
            variance +=
                2.0 * here * mean_of(&terms[k]) * expm1(shared(&terms[i], &terms[k]));
    }
    if (!(mean > 0.0))
        return (lev_spread){0};
    const double ln2 = log1p(fmax(variance, 0.0) / (mean * mean));
    return lev_spread_lognormal(mean * exp(-0.5 * ln2), sqrt(ln2));
}

static lev_cut_term term_of(const lev_cut_pass *pass, double median, double by_removal,
                            double by_life, bool clear)
{
    lev_cut_term t = {.median = median, .drive_slot = pass->drive_slot};
    t.lnsd[LEV_CUT_F_REMOVAL] = by_removal * pass->lnsd[LEV_CUT_F_REMOVAL];
    t.lnsd[LEV_CUT_F_LIFE] = by_life * pass->lnsd[LEV_CUT_F_LIFE];
    t.lnsd[LEV_CUT_F_RELAX] = clear ? pass->lnsd[LEV_CUT_F_RELAX] : 0.0;
    return t;
}

lev_cut_term lev_cut_time_term(const lev_cut_pass *pass, const lev_cut_cost *cost,
                               bool clear)
{
    return term_of(pass, cost->time_s, cost->time_by_removal, cost->time_by_life,
                   clear);
}

lev_cut_term lev_cut_sheet_term(const lev_cut_pass *pass, const lev_cut_cost *cost,
                                bool clear)
{
    return term_of(pass, cost->sheets, cost->sheets_by_removal, cost->sheets_by_life,
                   clear);
}
